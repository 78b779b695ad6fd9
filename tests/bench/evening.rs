//! What the whole program costs on a terminal of the system: processor time, wake-ups, memory and the first frame, read
//! from /proc; beside it a bare ratatui loop that draws twenty gauges once a second.

#![allow(clippy::unwrap_used, reason = "a benchmark may fail")]

#[path = "../suite/pty.rs"]
#[allow(dead_code)]
mod pty;

use std::{
    fmt::Write as _,
    fs,
    path::Path,
    time::{Duration, Instant},
};

use mealtide::{
    engine::core::{Core, Effort},
    live::Opening,
    measure::Ratio,
    menu::builtin,
    plan::{Part, solver::Search},
};
use portable_pty::CommandBuilder;
use pty::{Pty, command};

const PROGRAM: &str = env!("CARGO_BIN_EXE_mealtide");
/// The argument that makes this benchmark the bare loop.
pub const BARE: &str = "--bare-loop";
const OPENED: &str = "2026-12-21 09:00";
const ROWS: u16 = 40;
const COLUMNS: u16 = 120;
const TIMERS: usize = 20;
/// What only the screen after the meal says.
const LAST: &str = "to close the evening";
/// How long processor time and wake-ups are counted.
const WINDOW: Duration = Duration::from_secs(60);

/// Processor time in ms, and voluntary context switches, of all threads of a process so far.
fn spent(pid: u32) -> (f64, u64) {
    let mut all = (0.0, 0);
    for thread in fs::read_dir(format!("/proc/{pid}/task")).unwrap().flatten() {
        let read = |name: &str| fs::read_to_string(thread.path().join(name)).unwrap_or_default();
        let ran = read("schedstat");
        let ran = ran.split(' ').next().and_then(|ns| ns.parse::<f64>().ok());
        all.0 += ran.unwrap_or(0.0) / 1e6;
        all.1 += field(&read("status"), "voluntary_ctxt_switches:");
    }
    all
}

fn field(status: &str, name: &str) -> u64 {
    let line = status.lines().find_map(|line| line.strip_prefix(name));
    let word = line.and_then(|line| line.split_whitespace().next());
    word.and_then(|word| word.parse().ok()).unwrap_or(0)
}

fn resident(pid: u32) -> f64 {
    let status = fs::read_to_string(format!("/proc/{pid}/status")).unwrap_or_default();
    field(&status, "VmRSS:") as f64 / 1024.0
}

/// The process of a program that still runs: of one that has ended nothing is to be read.
fn alive(pty: &mut Pty) -> u32 {
    assert!(pty.child.try_wait().unwrap().is_none(), "it has ended");
    pty.child.process_id().unwrap()
}

/// Waits until all keys so far are done: help is opened and closed behind them.
fn settle(pty: &mut Pty) {
    const HELP: &str = "closes this, the arrows scroll it";
    pty.keys("?");
    pty.wait_for(HELP);
    pty.keys("?");
    while pty.drawn.contains(HELP) {
        assert!(pty.frame_after(pty.frames()));
    }
}

fn count(name: &str, pty: &mut Pty) {
    let pid = alive(pty);
    // What was begun just now is finished, and drawn, first.
    std::thread::sleep(Duration::from_secs(2));
    let before = spent(pid);
    std::thread::sleep(WINDOW);
    let after = spent(pid);
    alive(pty);
    println!(
        "{name:<44} {:>6.1} ms  {:>4} switches a minute, {:.1} MB resident",
        after.0 - before.0,
        after.1 - before.1,
        resident(pid)
    );
}

/// A program in a terminal of the size that is measured, silent and with a dark ground.
fn start(mut command: CommandBuilder, home: &Path) -> Pty {
    let config = home.join("config/mealtide");
    fs::create_dir_all(&config).unwrap();
    let silent = "theme = 'dark'\n[alert]\nsound = false\nnotification = false\nspeech = false\n";
    fs::write(config.join("config.toml"), silent).unwrap();
    command.env("COLORTERM", "truecolor");
    Pty::start_in(command, ROWS, COLUMNS)
}

fn bare(home: &Path) -> Pty {
    let this = std::env::current_exe().unwrap();
    let mut command = command(&this.display().to_string(), home);
    command.arg(BARE);
    start(command, home)
}

/// Twenty dishes of one unattended step each, as long as is said.
fn twenty(takes: &str) -> String {
    let mut text =
        "title = 'Twenty pans'\nguests = 2\nserve = '2026-12-21 20:00'\n[kitchen]\nburners = 20\n"
            .to_owned();
    let dishes: Vec<String> = (0..TIMERS).map(|i| format!("'d{i}'")).collect();
    let _ = writeln!(
        text,
        "[[course]]\nname = 'All'\ndishes = [{}]",
        dishes.join(", ")
    );
    for i in 0..TIMERS {
        let _ = writeln!(
            text,
            "[[dish]]\nid = 'd{i}'\ntitle = 'Pan {i} of twenty'\n[[dish.step]]\nid = 'simmer'\ndo = 'Simmer with the lid on'\n\
             takes = '{takes}'\nhands = 'off'\nneeds = ['burner']\nuntil = 'it is tender'\nlead = '0 min'"
        );
    }
    text
}

fn running(home: &Path, takes: &str) -> Pty {
    let file = home.join("twenty.toml");
    fs::write(&file, twenty(takes)).unwrap();
    let mut command = command(PROGRAM, home);
    command.args(["cook", "--now", "2026-12-21 18:00", "--log"]);
    command.arg(home.join(format!("twenty {takes}.jsonl")));
    command.arg(&file);
    let mut pty = start(command, home);
    pty.wait_for("Twenty pans");
    for _ in 0..TIMERS {
        assert!(pty.press("b"));
    }
    pty
}

fn dinner(home: &Path, log: &str, more: &[&str]) -> CommandBuilder {
    let mut command = command(PROGRAM, home);
    command.args(["cook", "midwinter-supper", "--now", OPENED, "--log"]);
    command.arg(home.join(log));
    command.args(more);
    command
}

/// The plan that the first frame shows, made alone.
fn plan() -> Duration {
    let opening = Opening {
        program: "benchmark".into(),
        session: builtin::find("midwinter-supper")
            .unwrap()
            .load()
            .unwrap()
            .session,
        part: Part::Service,
        quantile: Ratio::new(1, 2),
        opened: "2026-12-21T09:00:00+01:00[Europe/Berlin]".parse().unwrap(),
    };
    let begun = Instant::now();
    let core = Core::open(opening, Search::new(), Effort::default());
    let took = begun.elapsed();
    assert!(core.is_ok());
    took
}

fn median(mut times: Vec<Duration>) -> f64 {
    times.sort_unstable();
    times[times.len() / 2].as_secs_f64() * 1e3
}

/// From before the program is begun until the first whole frame has been read.
fn first_frame(begin: impl Fn(usize) -> Pty) -> f64 {
    let one = |i| {
        let begun = Instant::now();
        let mut pty = begin(i);
        assert!(pty.frame_after(0));
        let took = begun.elapsed();
        let _ = pty.child.kill();
        took
    };
    median((0..20).map(one).collect())
}

/// All of it.
pub fn measure() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path();
    let bare_first = first_frame(|_| bare(home));
    let first = first_frame(|i| start(dinner(home, &format!("first{i}.jsonl"), &[]), home));
    let plan = median((0..20).map(|_| plan()).collect());
    println!("first frame of a bare loop                   {bare_first:>6.1} ms");
    println!(
        "first frame of Midwinter supper              {first:>6.1} ms, of which its plan {plan:.1} ms: {:.1} ms beside it",
        first - plan
    );

    let mut ours = start(dinner(home, "memory.jsonl", &["--virtual"]), home);
    ours.wait_for("Midwinter supper");
    // On the last screen Space would end the program.
    for _ in 0..300 {
        if ours.drawn.contains(LAST) {
            break;
        }
        ours.keys(" ");
        settle(&mut ours);
    }
    assert!(ours.drawn.contains(LAST), "the meal is not over");
    println!(
        "a whole Midwinter supper                     {:>6.1} MB resident",
        resident(alive(&mut ours))
    );
    count("after the meal: nothing counts", &mut ours);
    let _ = ours.child.kill();

    let mut pty = bare(home);
    count("a bare loop, 20 gauges once a second", &mut pty);
    for (takes, name) in [
        ("90 min", "20 timers, far off"),
        ("2 min 10 s", "20 timers, all in their last two minutes"),
    ] {
        let mut pty = running(home, takes);
        count(name, &mut pty);
        let _ = pty.child.kill();
    }
}

/// A loop that does nothing but draw gauges once a second and wait for keys.
pub fn bare_loop() {
    use futures_util::StreamExt;
    use std::io::Write;
    let mut terminal = ratatui::init();
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    runtime.block_on(async {
        let mut events = crossterm::event::EventStream::new();
        let mut ticks = tokio::time::interval(Duration::from_secs(1));
        for second in 0.. {
            tokio::select! {
                _ = ticks.tick() => {}
                event = events.next() => if event.is_none() { break },
            }
            let begin = crossterm::terminal::BeginSynchronizedUpdate;
            let end = crossterm::terminal::EndSynchronizedUpdate;
            let mut out = std::io::stdout();
            let _ = crossterm::queue!(out, begin);
            let _ = terminal.draw(|frame| super::gauges(frame, second));
            let _ = crossterm::queue!(out, end);
            let _ = out.flush();
        }
    });
    ratatui::restore();
}
