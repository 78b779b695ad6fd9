//! Forecasts from partial traces of a core thermometer. The finish times are computed outside this program (scipy, series
//! solutions); the noisy traces are synthetic (see tests/data/physics/PROVENANCE.md), not measured.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use mealtide::safety::{
    heat::{Body, Shape, series::Solution},
    thermometer::{Medium, Prediction, Reading, Setup, predict},
};

/// Which column of the synthetic traces.
#[derive(Clone, Copy, PartialEq)]
enum Column {
    Exact,
    Noisy,
}

/// Readings of a synthetic trace, until the true core has covered `share` of the rise from 5 C to the target.
fn trace(name: &str, column: Column, target: f64, share: f64) -> Vec<Reading> {
    let csv = include_str!("../data/physics/synthetic_probe_traces.csv");
    let rows = csv
        .lines()
        .skip(1)
        .map(|line| line.split(',').collect::<Vec<_>>())
        .filter(|row| row[0] == name);
    let number = |text: &str| text.parse::<f64>().unwrap();
    let mut readings = Vec::new();
    for row in rows {
        let cell = if column == Column::Exact {
            row[2]
        } else {
            row[3]
        };
        readings.push(Reading {
            at_ms: (number(row[1]) * 1000.0) as i64,
            celsius: number(cell),
        });
        if number(row[2]) >= 5.0 + share * (target - 5.0) {
            break;
        }
    }
    readings
}

const TRACES: [(&str, Shape, f64, f64); 3] = [
    ("roast_cyl_r50_160C", Shape::Cylinder, 54.0, 4432.8),
    ("sphere_r50_180C", Shape::Sphere, 60.0, 3400.0),
    ("slab_L15_200C", Shape::Slab, 74.0, 1335.4),
];

fn setup(shape: Option<Shape>) -> Setup {
    Setup {
        begun_ms: Some(0),
        shape,
        ..Setup::default()
    }
}

/// How far the forecast is from the finish, in percent of the whole time; negative: early.
fn off(prediction: &Prediction, finish: f64) -> f64 {
    (prediction.at_ms as f64 / 1000.0 / finish - 1.0) * 100.0
}

/// Without noise: within 5 % once half of the rise is covered, within 2 % at 80 %.
#[test]
fn exact_traces_are_forecast_well() {
    for (name, shape, target, finish) in TRACES {
        for (share, within) in [(0.5, 5.0), (0.6, 5.0), (0.8, 2.0), (0.9, 2.0)] {
            let readings = trace(name, Column::Exact, target, share);
            let prediction = predict(&readings, target, &setup(Some(shape))).unwrap();
            let off = off(&prediction, finish);
            assert!(off.abs() <= within, "{name} at {share}: {off:.2} %");
            assert!(
                prediction.early_ms <= prediction.at_ms && prediction.at_ms <= prediction.late_ms
            );
            let finish_ms = (finish * 1000.0) as i64;
            assert!(
                prediction.early_ms <= finish_ms && finish_ms <= prediction.late_ms,
                "{name} at {share}: {prediction:?}"
            );
        }
    }
}

/// With noise of 0.2 C: never more than 5 % early after half of the rise; the shape known or not.
#[test]
fn noisy_traces_are_never_forecast_much_too_early() {
    for (name, shape, target, finish) in TRACES {
        for share in [0.5, 0.55, 0.6, 0.7, 0.8, 0.9] {
            let readings = trace(name, Column::Noisy, target, share);
            for shape in [Some(shape), None] {
                let prediction = predict(&readings, target, &setup(shape)).unwrap();
                let off = off(&prediction, finish);
                assert!(
                    (-5.0..=8.0).contains(&off),
                    "{name} at {share}, shape {shape:?}: {off:.2} %"
                );
            }
        }
    }
}

/// Readings of a cook: five of them, from the middle of the trace on.
#[test]
fn a_few_readings_from_the_middle_are_enough() {
    for (name, shape, target, finish) in TRACES {
        let all = trace(name, Column::Noisy, target, 0.75);
        let late = &all[all.len() / 2..];
        let few: Vec<_> = late
            .iter()
            .step_by((late.len() / 5).max(1))
            .copied()
            .collect();
        let prediction = predict(&few, target, &setup(Some(shape))).unwrap();
        let off = off(&prediction, finish);
        assert!(
            off.abs() <= 7.0,
            "{name}, {} readings: {off:.2} %",
            few.len()
        );
    }
}

/// A trace from the series solution, as exact as it is, until `share` of the rise.
fn series(body: &Body, h: f64, from: f64, medium: f64, target: f64, share: f64) -> Vec<Reading> {
    let solution = Solution::new(body.shape, body.biot(h)).unwrap();
    let at = |seconds: f64| medium - (medium - from) * solution.theta(body.fourier(seconds));
    let times = (0..).map(|i| f64::from(i) * 30.0);
    times
        .map(|seconds| Reading {
            at_ms: (seconds * 1000.0) as i64,
            celsius: at(seconds),
        })
        .take_while(|reading| reading.celsius < from + share * (target - from))
        .collect()
}

/// A slab in a bath of 60 C to 54 C takes 2116.1 s, a sphere in boiling water of 100 C to 95 C 3137.5 s. So close to the
/// medium nobody can forecast without knowing it; a cook does.
#[test]
fn a_bath_is_known_exactly() {
    let slab = Body {
        shape: Shape::Slab,
        size: 0.0125,
        conductivity: 0.48,
        diffusivity: 0.133e-6,
    };
    let sphere = Body {
        shape: Shape::Sphere,
        size: 0.035,
        conductivity: 0.55,
        diffusivity: 0.14e-6,
    };
    for (body, h, from, medium, target, finish) in [
        (slab, 100.0, 5.0, 60.0, 54.0, 2116.1),
        (sphere, 1500.0, 20.0, 100.0, 95.0, 3137.5),
    ] {
        for (share, within) in [(0.5, 5.0), (0.8, 2.0)] {
            let readings = series(&body, h, from, medium, target, share);
            let setup = Setup {
                medium: Medium::Exactly(medium),
                ..setup(Some(body.shape))
            };
            let prediction = predict(&readings, target, &setup).unwrap();
            let off = off(&prediction, finish);
            assert!(
                off.abs() <= within,
                "{:?} at {share}: {off:.2} %",
                body.shape
            );
        }
    }
}

/// A core above the bath is never reached: no forecast.
#[test]
fn what_never_gets_there_has_no_forecast() {
    let slab = Body {
        shape: Shape::Slab,
        size: 0.0125,
        conductivity: 0.48,
        diffusivity: 0.133e-6,
    };
    let readings = series(&slab, 100.0, 5.0, 60.0, 54.0, 0.8);
    let setup = Setup {
        medium: Medium::Exactly(60.0),
        ..setup(Some(Shape::Slab))
    };
    assert_eq!(predict(&readings, 62.0, &setup), None);
}

/// Soup cooling in the refrigerator from 57 C: a slab of 25 mm in air of 3 C with h 20 takes 0.92 h to 21 C.
#[test]
fn cooling_is_forecast_too() {
    let layer = Body {
        shape: Shape::Slab,
        size: 0.0125,
        conductivity: 0.55,
        diffusivity: 0.14e-6,
    };
    let solution = Solution::new(Shape::Slab, layer.biot(20.0)).unwrap();
    let readings: Vec<_> = (0..7)
        .map(|i| {
            let seconds = f64::from(i) * 300.0;
            let celsius = 3.0 + 54.0 * solution.theta(layer.fourier(seconds));
            Reading {
                at_ms: (seconds * 1000.0) as i64,
                celsius,
            }
        })
        .collect();
    let setup = Setup {
        start_c: Some(57.0),
        medium: Medium::AtMost(3.0),
        ..setup(Some(Shape::Slab))
    };
    let prediction = predict(&readings, 21.0, &setup).unwrap();
    let off = off(&prediction, 0.92 * 3600.0);
    assert!(off.abs() <= 5.0, "{off:.2} %");
    assert_eq!(prediction.pull_at_c, None);
}

/// Trade practice puts the carryover of large roasts at up to 14 K (read in copies); dry conduction fed with the oven's air says
/// 33 K: the advice stays within practice, and on this side of the target.
#[test]
fn carryover_is_counted_on_with_care() {
    for (name, shape, target, _) in TRACES {
        let readings = trace(name, Column::Noisy, target, 0.8);
        let pull = predict(&readings, target, &setup(Some(shape)))
            .unwrap()
            .pull_at_c
            .unwrap();
        assert!((target - 14.0..=target).contains(&pull), "{name}: {pull}");
    }
}

/// The later the readings, the narrower the forecast.
#[test]
fn readings_narrow_the_forecast() {
    for (name, shape, target, _) in TRACES {
        let width = |share: f64| {
            let p = predict(
                &trace(name, Column::Noisy, target, share),
                target,
                &setup(Some(shape)),
            )
            .unwrap();
            p.late_ms - p.early_ms
        };
        assert!(
            width(0.9) < width(0.6) && width(0.6) < width(0.3),
            "{name}: {} {} {}",
            width(0.3),
            width(0.6),
            width(0.9)
        );
    }
}
