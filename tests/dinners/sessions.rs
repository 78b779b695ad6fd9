//! Session files made up from a seed: dinners of a few courses whose steps take as long as they take.
#![allow(dead_code)]

use std::fmt::Write;

use rand_pcg::{
    Pcg64,
    rand_core::{Rng, SeedableRng},
};

struct Maker {
    dice: Pcg64,
    text: String,
}

impl Maker {
    /// From `lo` to `hi`, both possible.
    fn span(&mut self, lo: u64, hi: u64) -> u64 {
        lo + self.dice.next_u64() % (hi - lo + 1)
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.span(0, 99) < percent
    }

    /// A range around some minutes: often none, sometimes wide.
    fn minutes(&mut self, lo: u64, hi: u64) -> String {
        let about = self.span(lo, hi);
        match self.span(0, 2) {
            0 => format!("{about} min"),
            1 => format!("{about} to {} min", about + 1 + about / 6),
            _ => format!("{about} to {} min", about + 2 + about / 3),
        }
    }

    fn step(&mut self, id: &str, takes: &str, rest: &str) {
        let _ = writeln!(
            self.text,
            "\n[[dish.step]]\nid = \"{id}\"\ndo = \"{id}\"\ntakes = \"{takes}\"\n{rest}"
        );
    }

    fn baked(&mut self) {
        let takes = self.minutes(5, 15);
        self.step("season", &takes, "after = []");
        let heat = [150, 160, 180, 200, 220][self.span(0, 4) as usize];
        let takes = self.minutes(18, 70);
        let cue = if self.chance(50) {
            "until = \"it is brown\"\n"
        } else {
            ""
        };
        let rest = format!(
            "hands = \"off\"\noven = {{ at = \"{heat} C\" }}\nneeds = [\"tray\"]\nkeeps = \"20 min\"\n{cue}"
        );
        self.step("bake", &takes, &rest);
        let takes = self.minutes(2, 5);
        self.step("carve", &takes, "keeps = \"12 min\"");
    }

    fn simmered(&mut self) {
        let takes = self.minutes(4, 12);
        self.step("cut", &takes, "after = []");
        let takes = self.minutes(3, 8);
        self.step("fry", &takes, "needs = [\"pot\", \"burner\"]");
        let takes = self.minutes(10, 35);
        let cue = if self.chance(50) {
            "until = \"it is tender\"\n"
        } else {
            ""
        };
        let rest = format!("hands = \"off\"\nneeds = [\"pot\", \"burner\"]\n{cue}");
        self.step("simmer", &takes, &rest);
        let takes = self.minutes(2, 6);
        self.step("finish", &takes, "needs = [\"pot\"]\nkeeps = \"15 min\"");
    }

    fn cold(&mut self) {
        let takes = self.minutes(5, 12);
        self.step("mix", &takes, "after = []");
        let takes = self.minutes(20, 60);
        self.step("chill", &takes, "hands = \"off\"");
        let takes = self.minutes(2, 6);
        self.step("arrange", &takes, "keeps = \"30 min\"");
    }
}

/// A session file; the same seed gives the same text.
pub fn text(seed: u64) -> String {
    let mut maker = Maker {
        dice: Pcg64::seed_from_u64(seed),
        text: String::new(),
    };
    let cooks = maker.span(1, 2);
    let courses = maker.span(1, 3);
    let start = maker.span(0, 2) * 45;
    let _ = write!(
        maker.text,
        "title = \"Made up {seed}\"\nguests = 4\nserve = \"19:30\"\nstart = \"{:02}:{:02}\"\n\
         \n[kitchen]\ncooks = {cooks}\n\n[[kitchen.ware]]\nname = \"tray\"\ncount = 2\n\n[[kitchen.ware]]\nname = \"pot\"\ncount = 3\n",
        18 - (30 + start) / 60,
        (60 - (30 + start) % 60) % 60,
    );
    let mut dishes = 0;
    for course in 0..courses {
        let count = maker.span(1, 3);
        let names: Vec<String> = (dishes..dishes + count)
            .map(|d| format!("\"d{d}\""))
            .collect();
        dishes += count;
        let _ = write!(
            maker.text,
            "\n[[course]]\nname = \"course {course}\"\ndishes = [{}]\n",
            names.join(", ")
        );
        if course > 0 {
            let gap = maker.span(4, 9) * 5;
            let _ = writeln!(maker.text, "gap = \"{gap} min\"");
        }
    }
    for d in 0..dishes {
        let _ = write!(
            maker.text,
            "\n[[dish]]\nid = \"d{d}\"\ntitle = \"Dish {d}\"\n"
        );
        match maker.span(0, 9) {
            0..=3 => maker.baked(),
            4..=7 => maker.simmered(),
            _ => maker.cold(),
        }
    }
    maker.text
}
