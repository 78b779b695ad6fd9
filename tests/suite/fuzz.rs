//! A short run of the fuzz targets on broken copies of good files; the seed of a failure is printed.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by it"
)]

use std::{fs, path::Path};

use mealtide::{
    engine::core::{Core, Effort},
    live::Event,
    log::{Stamped, line::encode},
    plan::solver::Search,
};
use rand_pcg::{Pcg64, rand_core::Rng};

#[path = "../fuzz/targets.rs"]
pub mod targets;

use targets::Target;

/// Runs of each target; the fuzzer itself does millions.
const RUNS: u64 = 1_000;

/// Words that matter to one reader or another.
const WORDS: [&str; 16] = [
    "[[step]]",
    "takes = ",
    "\"90 min\"",
    "after = []",
    "= [",
    "{",
    "}",
    "\n",
    "\0",
    "\u{1b}[2J",
    "\u{202e}",
    "99999999999999999999",
    "-1",
    "1e400",
    "\"seq\":1",
    "\"undone\"",
];

/// Calls `target` with the inputs and with many broken copies of them.
fn run(inputs: &[Vec<u8>], target: Target) {
    for input in inputs {
        target(input);
    }
    for seed in 0..RUNS {
        let mut random = Pcg64::new(u128::from(seed), 3);
        let mut below = |bound: usize| (random.next_u64() % bound.max(1) as u64) as usize;
        let mut bytes = inputs[below(inputs.len())].clone();
        for _ in 0..=below(4) {
            let at = below(bytes.len());
            match below(6) {
                0 => bytes.truncate(at),
                1 if !bytes.is_empty() => bytes[at] ^= 1 << below(8),
                2 => drop(bytes.drain(at..bytes.len().min(at + below(40)))),
                3 => {
                    let again = bytes[at..bytes.len().min(at + below(200))].to_vec();
                    let to = below(bytes.len());
                    bytes.splice(to..to, again);
                }
                _ => {
                    let word = WORDS[below(WORDS.len())].bytes();
                    bytes.splice(at..at, word);
                }
            }
        }
        let survived = std::panic::catch_unwind(|| target(&bytes));
        assert!(
            survived.is_ok(),
            "seed {seed}: {}",
            String::from_utf8_lossy(&bytes)
        );
    }
}

fn files(folder: &str, suffix: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let entries = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let mut paths: Vec<_> = entries
        .filter(|path| path.to_string_lossy().ends_with(suffix))
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| fs::read(path).unwrap())
        .collect()
}

/// The events of a small session: its plan, and a few lines of what a cook may do.
fn events() -> Vec<Event> {
    let first = targets::opened();
    let Event::Opened(opening) = first.event else {
        panic!("it opens");
    };
    let name = opening.session.dishes[0].steps[0].id.clone();
    let dish = opening.session.dishes[0].id.clone();
    let effort = Effort { first: 1, again: 1 };
    let mut core = Core::open(*opening, Search::new(), effort).unwrap();
    let mut events: Vec<Event> = core
        .drain()
        .into_iter()
        .map(|record| record.event)
        .collect();
    let step = format!("{{\"dish\":\"{dish}\",\"step\":\"{name}\"}}");
    let named = serde_json::from_str::<mealtide::menu::StepRef>(&step).is_ok();
    let step = if named {
        step
    } else {
        format!("\"{dish}/{name}\"")
    };
    for text in [
        format!("{{\"begun\":{{\"step\":{step}}}}}"),
        format!("{{\"extended\":{{\"step\":{step},\"by\":120000}}}}"),
        format!("{{\"done\":{{\"step\":{step}}}}}"),
        "\"undone\"".to_owned(),
        "{\"noted\":{\"text\":\"more salt\"}}".to_owned(),
        "{\"clock_jumped\":{\"kind\":\"suspend\",\"by\":60000}}".to_owned(),
        "{\"resumed\":{\"away\":60000}}".to_owned(),
        "{\"served\":{\"course\":0}}".to_owned(),
        "\"closed\"".to_owned(),
    ] {
        events.push(serde_json::from_str(&text).unwrap());
    }
    events
}

#[test]
fn any_bytes_as_a_log() {
    let at = targets::opened().at;
    let mut log = Vec::new();
    for (event, seq) in events().into_iter().zip(0..) {
        let stamped = Stamped {
            at: at.clone(),
            ms: seq as i64 * 1_000,
            event,
        };
        encode(&mut log, seq, &stamped).unwrap();
    }
    run(&[log, Vec::new()], targets::log);
}

#[test]
fn any_events_as_a_session() {
    let mut lines = Vec::new();
    for event in events().split_off(1) {
        lines.extend_from_slice(b"A\0");
        serde_json::to_writer(&mut lines, &event).unwrap();
        lines.push(b'\n');
    }
    run(&[lines], targets::records);
}

#[test]
fn any_bytes_as_a_session_file() {
    run(&files("sessions", ".toml"), targets::session);
}

#[test]
fn any_bytes_as_a_dish() {
    run(&files("sessions/dishes", ".toml"), targets::dish);
}

#[test]
fn any_bytes_as_a_kitchen() {
    run(&files("sessions/kitchens", ".toml"), targets::kitchen);
}

#[test]
fn any_bytes_as_a_config() {
    run(&files("assets", "config.toml"), targets::config);
}

#[test]
fn any_bytes_as_notes() {
    run(&files("assets", "sounds.toml"), targets::notes);
}

#[test]
fn any_bytes_as_a_theme() {
    run(&files("assets/themes", ".toml"), targets::theme);
}

#[test]
fn any_bytes_as_a_pantry() {
    let pantry = b"[have]\nbutter = \"7 tbsp\"\neggs = 3\nsalt = \"plenty\"\n";
    run(&[pantry.to_vec()], targets::pantry);
}

#[test]
fn any_bytes_as_a_history() {
    run(
        &[b"{\"format\":1,\"history\":{\"evenings\":[]}}".to_vec()],
        targets::history,
    );
}

#[test]
fn any_typed_lines() {
    let lines = b"begin\ndone\nmore 2 min\nskip fish\noven 200 C\ncore 70 C\nheard yes\nundo\n";
    run(&[lines.to_vec()], targets::typed);
}

#[test]
fn any_measures() {
    let measures = [
        "2 kg",
        "1 1/2 tsp",
        "2 x 400 g tins",
        "70 to 90 min",
        "PT15M",
        "gas 7",
        "fan 200 C",
        "10 C/min",
    ];
    run(
        &measures.map(|text| text.as_bytes().to_vec()),
        targets::measures,
    );
}

#[test]
fn any_bytes_as_a_page() {
    let mut inputs = Vec::new();
    for suffix in [".html", ".json", ".jsonld"] {
        inputs.extend(files("tests/data/recipes", suffix));
    }
    run(&inputs, targets::page);
}

/// What the fuzzer itself came upon: a few inputs of each target, by the paths that they take through a reader.
#[test]
fn inputs_that_the_fuzzer_found() {
    for (name, target) in targets::ALL {
        let inputs = files(&format!("tests/fuzz/corpus/{name}"), "");
        assert!(!inputs.is_empty(), "{name} has no inputs");
        inputs.iter().for_each(|input| target(input));
    }
}
