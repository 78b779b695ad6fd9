use super::*;
use crate::alert::Notes;

/// The level of one frequency in samples (Goertzel's algorithm), as an amplitude.
fn amplitude_at(samples: &[f32], hertz: f64) -> f64 {
    let omega = std::f64::consts::TAU * hertz / f64::from(RATE);
    let (mut before, mut last) = (0.0, 0.0);
    // A Hann window keeps a strong partial from leaking over a weak one.
    for (index, &sample) in samples.iter().enumerate() {
        let window =
            0.5 - 0.5 * (std::f64::consts::TAU * index as f64 / samples.len() as f64).cos();
        let next = f64::from(sample) * window + 2.0 * omega.cos() * last - before;
        (before, last) = (last, next);
    }
    let power = before * before + last * last - 2.0 * omega.cos() * before * last;
    4.0 * power.max(0.0).sqrt() / samples.len() as f64
}

/// Pulses as begin and end in ms: where the level is above a tenth of the peak.
fn pulses(samples: &[f32]) -> Vec<(f64, f64)> {
    let window = RATE as usize / 200;
    let peak = samples
        .iter()
        .fold(0f32, |peak, sample| peak.max(sample.abs()));
    let mut found: Vec<(f64, f64)> = Vec::new();
    let mut loud_before = false;
    for (index, part) in samples.chunks(window).enumerate() {
        let loud = part.iter().any(|sample| sample.abs() > peak / 10.0);
        let (begin, end) = (index as f64 * 5.0, (index + 1) as f64 * 5.0);
        match (loud, loud_before) {
            (true, false) => found.push((begin, end)),
            (true, true) => found.last_mut().unwrap().1 = end,
            _ => {}
        }
        loud_before = loud;
    }
    found
}

fn shipped() -> [(&'static str, Pattern); 3] {
    let Notes { low, medium, high } = Notes::built_in().unwrap();
    [("low", low), ("medium", medium), ("high", high)]
}

/// A1 to A6 and A10, A15 (sources in `assets/sounds.toml`), measured in the samples.
#[test]
fn pulses_are_as_many_as_long_and_as_far_apart_as_the_guidance_says() {
    let lengths = [(125.0, 250.0), (125.0, 250.0), (75.0, 200.0)];
    let pauses = [(125.0, 250.0), (125.0, 250.0), (50.0, 125.0)];
    for (((name, pattern), length), pause) in shipped().iter().zip(lengths).zip(pauses) {
        let found = pulses(&Tone::of(pattern).samples(1.0, 20));
        let expected = match *name {
            "low" => 2,
            "medium" => 3,
            _ => 10,
        };
        assert_eq!(found.len(), expected, "{name}: {found:?}");
        // The faint beginning and end of a pulse lie below the threshold: 30 ms of tolerance.
        for (begin, end) in &found {
            let long = end - begin;
            assert!(
                (length.0 - 30.0..=length.1 + 5.0).contains(&long),
                "{name}: a pulse of {long} ms"
            );
        }
        for (index, pair) in found.windows(2).enumerate() {
            let between = pair[1].0 - pair[0].1;
            let limits = match (*name, index) {
                ("high", 4) => (350.0, 1300.0),
                ("high", 2 | 7) => (200.0, 600.0),
                _ => pause,
            };
            assert!(
                (limits.0 - 5.0..=limits.1 + 35.0).contains(&between),
                "{name}, after pulse {index}: {between} ms"
            );
        }
        let pace = 1000.0 / (found[1].0 - found[0].0);
        assert!(
            (0.5..=4.05).contains(&pace),
            "{name}: {pace} pulses a second"
        );
    }
}

#[test]
fn a_fundamental_has_at_least_four_harmonics_near_its_level() {
    for (name, pattern) in shipped() {
        let samples = Tone::of(&pattern).samples(1.0, 20);
        let pulse = &samples[..pattern.length_ms as usize * RATE as usize / 1000];
        let pitch = f64::from(pattern.pitch_hz);
        assert!((150.0..=1000.0).contains(&pitch), "{name}: {pitch} Hz");
        let fundamental = amplitude_at(pulse, pitch);
        assert!(fundamental > 0.1, "{name}: {fundamental}");
        let near = (2..=12)
            .map(|number| f64::from(number) * pitch)
            .filter(|hertz| (300.0..=4000.0).contains(hertz))
            .filter(|&hertz| {
                (20.0 * (amplitude_at(pulse, hertz) / fundamental).log10()).abs() <= 15.0
            })
            .count();
        assert!(near >= 4, "{name}: {near} harmonics");
        // Between two harmonics there is nothing: the measure itself can say no.
        assert!(
            amplitude_at(pulse, pitch * 1.5) < fundamental / 100.0,
            "{name}"
        );
    }
}

#[test]
fn the_priorities_differ_in_number_pace_and_pitch() {
    let [low, medium, high] = shipped().map(|(_, pattern)| {
        let onsets = pattern.onsets_ms();
        (onsets.len(), onsets[1] - onsets[0], pattern.pitch_hz)
    });
    for (less, more) in [(low, medium), (medium, high)] {
        assert!(
            less.0 < more.0 && less.1 > more.1 && less.2 < more.2,
            "{less:?} {more:?}"
        );
        // A third at least: intervals that people who don't play music hear (common practice, no source).
        assert!(more.2 / less.2 > 1.25);
    }
}

#[test]
fn a_sound_rises_to_the_loudest_and_never_clips() {
    let tone = Tone::of(&Notes::built_in().unwrap().low);
    let peak = |repeat| {
        tone.samples(0.5, repeat)
            .iter()
            .fold(0f32, |peak, sample| peak.max(sample.abs()))
    };
    let peaks: Vec<f32> = (0..10).map(peak).collect();
    assert!(peaks.windows(2).all(|pair| pair[0] <= pair[1]), "{peaks:?}");
    assert!(peaks[0] < 0.3 && (peaks[9] - 0.5).abs() < 1e-4, "{peaks:?}");
    assert_eq!(
        tone.samples(9.0, u32::MAX)
            .iter()
            .filter(|sample| sample.abs() > 1.0)
            .count(),
        0
    );
    assert!(tone.samples(0.0, 3).iter().all(|&sample| sample == 0.0));
}

#[test]
fn pulses_begin_and_end_without_a_click() {
    for (name, pattern) in shipped() {
        let samples = Tone::of(&pattern).samples(1.0, 20);
        let edges = [0, samples.len() - 1];
        assert!(
            edges.iter().all(|&edge| samples[edge].abs() < 1e-3),
            "{name}"
        );
        assert!(
            samples[..RATE as usize / 1000]
                .iter()
                .all(|sample| sample.abs() < 0.1),
            "{name}"
        );
    }
}

/// RIFF: sizes in the header are those of what follows.
#[test]
fn a_file_says_how_long_it_is() {
    let file = wav(&[0.0, 1.0, -1.0], 1.0);
    assert_eq!(file.len(), 44 + 6);
    assert_eq!(&file[4..8], &42u32.to_le_bytes());
    assert_eq!(&file[40..44], &6u32.to_le_bytes());
    assert_eq!(&file[44..], [0, 0, 0xff, 0x7f, 0x01, 0x80]);
}
