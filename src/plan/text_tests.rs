//! Golden pages of a hand-made supper: timetable, timeline, run sheet, JSON.

use super::{
    Built, Options, build, cost,
    json::{self, Remedy},
    knobs, markdown,
    schedule::Schedule,
    solver::Solution,
    testing::{dish, in_oven, moment, needing, session, step, whole},
    text, timeline,
    timetable::{Timetable, minutes},
    verify,
};
use crate::menu::{Course, Hands, Ingredient, Session};

/// A roast that goes in hot and is turned down, roots beside it, a soup before, with one cook and one oven.
fn supper() -> Session {
    let mut roast = dish(
        "roast",
        vec![
            needing(step("season", (10, 10)), &[("large tray", 1)]),
            needing(
                in_oven(step("roast", (60, 80)), 220, &[(20, 190)]),
                &[("large tray", 1)],
            ),
            step("rest", (15, 15)),
        ],
    );
    roast.title = "Roast chicken".into();
    roast.ingredients = vec![Ingredient {
        item: "chicken".into(),
        amount: Some("2 kg".into()),
        note: Some("whole".into()),
        or: Vec::new(),
    }];
    roast.steps[0].uses = vec!["chicken".into()];
    roast.steps[1].until = Some("the juices run clear".into());
    roast.steps[1].core = Some(whole(74));
    roast.steps[2].hands = Hands::Off;
    roast.steps[2].keeps = Some(whole(900));
    let mut roots = dish(
        "roots",
        vec![
            step("peel", (15, 15)),
            in_oven(step("bake", (40, 40)), 190, &[]),
        ],
    );
    roots.title = "Roast roots".into();
    roots.steps[1].keeps = Some(whole(600));
    let mut soup = dish(
        "soup",
        vec![needing(
            step("heat", (10, 12)),
            &[("pot", 1), ("burner", 1)],
        )],
    );
    soup.title = "Celeriac soup".into();
    soup.steps[0].hands = Hands::Check(whole(240));
    soup.steps[0].keeps = Some(whole(900));
    let mut s = session(vec![soup, roast, roots]);
    s.title = "Winter supper".into();
    s.courses = vec![
        Course {
            name: "First".into(),
            gap: whole(0),
            plating: whole(120),
            dishes: vec!["soup".into()],
        },
        Course {
            name: "Main".into(),
            gap: whole(1800),
            plating: whole(120),
            dishes: vec!["roast".into(), "roots".into()],
        },
    ];
    s
}

struct Page {
    session: Session,
    built: Built,
    solution: Solution,
    turns: Vec<knobs::Turn>,
}

impl Page {
    fn new(session: Session, now: &str, starts: Vec<i32>, served: Vec<i32>) -> Self {
        let built = build(&session, &moment(now), &Options::default()).expect("a problem");
        let ovens = built
            .problem
            .steps
            .iter()
            .map(|s| s.oven.as_ref().map(|_| 0))
            .collect();
        let schedule = Schedule {
            starts,
            ovens,
            served,
        };
        assert_eq!(verify::verify(&built.problem, &schedule), []);
        let cost = cost::cost(&built.problem, &schedule);
        let total = cost::total(&built.problem, &cost);
        let turns = knobs::turns(&built.problem, &schedule, &[]);
        let solution = Solution {
            schedule,
            cost,
            total,
            bound: total,
            least: Default::default(),
            relaxed: false,
        };
        Self {
            session,
            built,
            solution,
            turns,
        }
    }

    fn table(&self) -> Timetable<'_> {
        Timetable {
            session: &self.session,
            built: &self.built,
            solution: &self.solution,
            turns: &self.turns,
            units: crate::measure::units::Units::default(),
        }
    }
}

/// Steps: soup heat 22 ticks, season 20, roast 140, rest 30, peel 30, bake 80. Promised 360 and 420 from 16:30.
fn on_time() -> Page {
    Page::new(
        supper(),
        "2026-12-21T16:30[Europe/Berlin]",
        vec![330, 215, 238, 380, 270, 300],
        vec![360, 420],
    )
}

#[test]
fn the_timetable_reads_by_the_clock() {
    insta::assert_snapshot!(text::timetable(&on_time().table(), &[], 80));
}

#[test]
fn the_timeline_fits_its_width() {
    use unicode_width::UnicodeWidthStr;
    let page = on_time();
    for width in [40, 60, 80, 133, 200] {
        let drawn = timeline::timeline(&page.table(), width);
        assert!(
            drawn.lines().all(|l| l.width() <= width),
            "{width}\n{drawn}"
        );
    }
    insta::assert_snapshot!(timeline::timeline(&page.table(), 80));
}

#[test]
fn the_run_sheet_is_a_table_with_boxes() {
    insta::assert_snapshot!(markdown::markdown(&on_time().table()));
}

#[test]
fn the_json_has_every_key_of_the_reference() {
    let page = on_time();
    let document = json::document(&page.table(), 12, Vec::new());
    insta::assert_snapshot!(serde_json::to_string_pretty(&document).expect("text"));
}

#[test]
fn a_late_and_over_kept_meal_says_so_and_what_would_help() {
    let page = Page::new(
        supper(),
        "2026-12-21T18:50[Europe/Berlin]",
        vec![60, 0, 38, 178, 20, 100],
        vec![82, 208],
    );
    let remedy = Remedy {
        what: "A cook more (2 in all)".into(),
        late_minutes: 4.5,
        over_minutes: -1.0,
        broken_minutes: 0.0,
    };
    assert!(!page.table().good());
    insta::assert_snapshot!(text::timetable(&page.table(), &[remedy], 80));
}

#[test]
fn another_day_is_named() {
    let page = Page::new(
        supper(),
        "2026-12-20T23:00[Europe/Berlin]",
        vec![2430, 100, 2340, 2480, 130, 2402],
        vec![2460, 2520],
    );
    let table = page.table();
    assert_eq!(table.clock(100), "Sun 23:50");
    assert_eq!(table.clock(2461), "19:30:30");
}

#[test]
fn lengths_are_said_in_hours_minutes_and_halves() {
    let said: Vec<String> = [1, 2, 5, 120, 121, 150].into_iter().map(minutes).collect();
    assert_eq!(
        said,
        [
            "30 s",
            "1 min",
            "2 1/2 min",
            "1 h",
            "1 h 0 1/2 min",
            "1 h 15 min"
        ]
    );
}
