//! What a frame costs: built, compared with the one before and written as bytes, at 120x40 with twenty timers that
//! run in seconds; beside it a bare ratatui loop of the same size. Run with `cargo bench --bench frame`.
//! Then the whole program on a terminal of the system, in `evening.rs`; that part takes four minutes.
//!
//! The figures to reach: a frame under 300 us at p99, with 10,000 timers less than twice as much as with 10; with twenty
//! timers at most 30 ms of processor time and 140 voluntary context switches a minute, 0 and 0 when nothing counts; the
//! first frame within 15 ms of exec and the plan's own time; at most 12 MB resident after four simulated hours.

#[path = "../suite/screen_boards/mod.rs"]
#[allow(dead_code, unused_imports)]
mod boards;
#[cfg(target_os = "linux")]
mod evening;

use std::{
    io::{self, Write},
    time::{Duration, Instant},
};

use mealtide::{
    live::Board,
    screen::{Keys, Theme, Ui, paint, terminal::Screen},
};
use ratatui::{
    Frame, Terminal, TerminalOptions, Viewport,
    backend::CrosstermBackend,
    layout::{Constraint, Layout, Rect, Size},
    widgets::{Gauge, Paragraph},
};

const SIZE: Size = Size::new(120, 40);

/// Counts bytes and writes.
#[derive(Default)]
struct Sink {
    bytes: usize,
    writes: usize,
}

impl Write for Sink {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.bytes += bytes.len();
        self.writes += 1;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

fn board(timers: usize, second: i64) -> Board {
    let mut board = boards::busy();
    board.now += second * 1000;
    board.clock = boards::blank(board.now).clock;
    let one = board.countdowns.remove(1);
    board.countdowns = (0..timers)
        .map(|i| {
            let mut countdown = one.clone();
            countdown.step = i;
            countdown.due = boards::busy().now + 40_000 + 977 * i as i64;
            countdown
        })
        .collect();
    board
}

fn report(name: &str, mut times: Vec<Duration>, sink: &Sink) {
    times.sort_unstable();
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    println!(
        "{name:<34} median {:>9.1?}  p99 {:>9.1?}  {:>6} bytes and {:.2} writes a frame",
        at(0.5),
        at(0.99),
        sink.bytes / times.len(),
        sink.writes as f64 / times.len() as f64,
    );
}

fn ours(timers: usize, rounds: i64) {
    let ui = Ui::new(
        Theme::named("dark").unwrap_or_else(|e| panic!("{e}")),
        Keys::shipped(),
    );
    let mut sink = Sink::default();
    let mut times = Vec::new();
    let all: Vec<Board> = (0..60).map(|s| board(timers, s)).collect();
    {
        let mut screen = Screen::new(&mut sink, SIZE);
        for i in 0..rounds {
            let board = &all[usize::try_from(i % 60).unwrap_or(0)];
            let begun = Instant::now();
            let drawn = screen.draw(|buffer| paint(buffer, board, &ui).cursor);
            times.push(begun.elapsed());
            assert!(drawn.is_ok());
        }
    }
    report(&format!("mealtide, {timers} timers"), times, &sink);
}

fn bare(rounds: i64) {
    let mut sink = Sink::default();
    let mut times = Vec::new();
    {
        let viewport = Viewport::Fixed(Rect::new(0, 0, SIZE.width, SIZE.height));
        let backend = CrosstermBackend::new(&mut sink);
        let Ok(mut terminal) = Terminal::with_options(backend, TerminalOptions { viewport }) else {
            return;
        };
        for i in 0..rounds {
            let begun = Instant::now();
            let drawn = terminal.draw(|frame| gauges(frame, i));
            times.push(begun.elapsed());
            assert!(drawn.is_ok());
        }
    }
    report("bare ratatui, 20 gauges, 20 lines", times, &sink);
}

/// Twenty gauges and as many lines, as a bare loop draws them.
fn gauges(frame: &mut Frame, second: i64) {
    let rows = Layout::vertical([Constraint::Length(1); 40]).split(frame.area());
    for (n, row) in (0_i32..).zip(rows.iter()).take(20) {
        let left = 3600 - second % 60 + i64::from(n) * 61;
        let label = format!("{}:{:02}", left / 60, left % 60);
        let gauge = Gauge::default().ratio(left as f64 / 6000.0);
        frame.render_widget(gauge.label(label), *row);
    }
    for row in rows.iter().skip(20) {
        let words = "a line of text as long as most of them are";
        frame.render_widget(Paragraph::new(words), *row);
    }
}

fn main() {
    #[cfg(target_os = "linux")]
    if std::env::args().any(|a| a == evening::BARE) {
        return evening::bare_loop();
    }
    // Without `--bench` it is being tested, not measured.
    let rounds = if std::env::args().any(|a| a == "--bench") {
        20_000
    } else {
        20
    };
    bare(rounds);
    ours(20, rounds);
    ours(10, rounds);
    ours(10_000, rounds.min(2_000));
    #[cfg(target_os = "linux")]
    if rounds > 20 {
        evening::measure();
    }
}
