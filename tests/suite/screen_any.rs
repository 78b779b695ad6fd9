//! Any board at any size: no panic, no broken column.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::too_many_arguments)]

use mealtide::{
    live::{
        Action, Board,
        board::{Choice, Phase, Progress},
    },
    screen::{
        Command, Keys, Theme, Ui,
        app::{next_redraw, obey},
        paint, plain,
        text::width,
    },
};
use proptest::prelude::*;
use rand_pcg::{
    Pcg64Mcg,
    rand_core::{Rng, SeedableRng},
};
use ratatui::{buffer::Buffer, layout::Rect};

use crate::screen_boards as boards;

struct Dice(Pcg64Mcg);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0.next_u64() % n.max(1)
    }

    fn chance(&mut self) -> bool {
        self.below(2) == 0
    }

    fn ms(&mut self) -> i64 {
        match self.below(8) {
            0 => i64::MAX,
            1 => i64::MIN,
            2 => -1,
            _ => i64::try_from(self.below(30_000_000)).unwrap() - 5_000_000,
        }
    }

    /// Words that a name may be made of: long, wide, combining, from right to left, joined, empty, hostile.
    fn words(&mut self) -> String {
        const PARTS: [&str; 14] = [
            "",
            "stir",
            "Donaudampfschifffahrtsgesellschaftskapit\u{e4}n",
            "\u{84b8}\u{3057}\u{9b5a}",
            "\u{5d0}\u{5e4}\u{5d5}\u{5d9}",
            "\u{645}\u{634}\u{648}\u{64a}",
            "e\u{301}",
            "\u{1f468}\u{200d}\u{1f373}",
            "\u{202e}abc",
            "\x1b[31m",
            "\t",
            "\u{fe0f}\u{200b}",
            "a\nb",
            "\u{ff77}\u{ff9e}",
        ];
        let n = self.below(6);
        let parts: Vec<&str> = (0..n).map(|_| PARTS[self.below(14) as usize]).collect();
        parts.join(if self.chance() { " " } else { "" })
    }
}

/// A board of the evening with its words, moments and numbers thrown about.
fn any_board(seed: u64) -> Board {
    let mut dice = Dice(Pcg64Mcg::seed_from_u64(seed));
    let mut all = boards::all();
    let n = dice.below(all.len() as u64) as usize;
    let mut board = all.swap_remove(n).1;
    if dice.chance() {
        board.title = dice.words();
        board.focus.sentence = dice.words();
        board.focus.subject = dice.words();
        board.focus.amounts = (0..dice.below(9)).map(|_| dice.words()).collect();
        board.focus.cue = Some(dice.words());
        board.focus.cautions = (0..dice.below(4)).map(|_| dice.words()).collect();
        board.focus.choices = (0..dice.below(12))
            .map(|_| Choice {
                action: Action::Undo,
                words: dice.words(),
            })
            .collect();
    }
    board.focus.moment = dice.chance().then(|| dice.ms());
    for countdown in &mut board.countdowns {
        (countdown.dish, countdown.place) = (dice.words(), dice.words());
        (countdown.begun, countdown.due) = (dice.ms(), dice.ms());
    }
    for next in &mut board.upcoming {
        (next.subject, next.sentence) = (dice.words(), dice.words());
        (next.at, next.length) = (dice.ms(), dice.ms());
        next.waits_for = dice.chance().then(|| dice.words());
    }
    for call in &mut board.calls {
        (call.subject, call.sentence, call.since) = (dice.words(), dice.words(), dice.ms());
    }
    for oven in &mut board.ovens {
        (oven.name, oven.set_words) = (dice.words(), dice.words());
        oven.inside = (0..dice.below(5))
            .map(|_| (dice.words(), dice.ms()))
            .collect();
        oven.ready = dice.chance().then(|| dice.ms());
    }
    for course in &mut board.courses {
        (course.name, course.promised, course.expected) = (dice.words(), dice.ms(), dice.ms());
        course.moved = dice.ms();
    }
    for lane in &mut board.lanes {
        lane.name = dice.words();
        for bar in &mut lane.bars {
            (bar.from, bar.to, bar.label) = (dice.ms(), dice.ms(), dice.words());
            if dice.below(9) == 0 {
                bar.progress = Progress::Skipped;
            }
        }
    }
    match &mut board.phase {
        Phase::Before { begin, get_out } => {
            *begin = dice.ms();
            *get_out = (0..dice.below(60)).map(|_| dice.words()).collect();
        }
        Phase::After { lines } => *lines = (0..dice.below(20)).map(|_| dice.words()).collect(),
        Phase::Cooking => {}
    }
    if dice.below(6) == 0 {
        board = boards::blank(board.now);
    }
    board
}

/// Each row is exactly as wide as the terminal when its cells are printed one after the other.
fn assert_columns(buffer: &Buffer) {
    let area = *buffer.area();
    for y in 0..area.height {
        let mut x = 0;
        while x < area.width {
            let symbol = buffer[(x, y)].symbol();
            assert!(
                !symbol.chars().any(char::is_control),
                "control in {symbol:?}"
            );
            let wide = u16::try_from(width(symbol)).unwrap();
            assert!(wide >= 1, "no width: {symbol:?} at {x},{y}");
            for i in 1..wide {
                assert!(
                    x + i < area.width,
                    "half a letter at the edge: {symbol:?} at {x},{y}"
                );
                let hidden = buffer[(x + i, y)].symbol();
                assert!(
                    hidden.trim().is_empty(),
                    "{hidden:?} over half of {symbol:?} at {x},{y}"
                );
            }
            x += wide;
        }
    }
}

/// Draws a seed's board at a size, in one of the views of the screen.
fn draw_any(seed: u64, width: u16, height: u16, view: usize) {
    let board = any_board(seed);
    let mut ui = Ui::new(Theme::named("dark").unwrap(), Keys::shipped());
    let commands = [
        "back", "glance", "help", "lanes", "note", "core", "quit", "down", "later",
    ];
    obey(&commands[view].parse::<Command>().unwrap(), &board, &mut ui);
    let mut buffer = Buffer::empty(Rect::new(0, 0, width, height));
    paint(&mut buffer, &board, &ui);
    assert_columns(&buffer);
    next_redraw(&board, &ui);
    plain::lines(&board);
    plain::changes(&board, &any_board(seed.wrapping_add(1)));
}

/// A bar, and a word, over the second half of a wide letter once left half of it.
#[test]
fn a_wide_letter_gives_way_to_what_is_drawn_over_half_of_it() {
    draw_any(13_617_801_071_299_276_377, 151, 22, 0);
    draw_any(5_861_171_594_801_271_779, 16, 1, 3);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_board_fits_any_size(seed: u64, width in 1_u16..221, height in 1_u16..71, view in 0_usize..9) {
        draw_any(seed, width, height, view);
    }
}
