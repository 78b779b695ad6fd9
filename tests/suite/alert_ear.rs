//! Reads pulses back from a recording.

use std::{io::Write, process::Command};

use super::server::{LOUD, RATE};

/// What an ear makes of a recording.
#[derive(Clone, Debug, Default)]
pub struct Ear {
    /// Begin of each pulse, ms.
    pub onsets: Vec<f64>,
    /// Fundamental of the first pulse, Hz; 0 when there is none.
    pub pitch: f64,
}

/// Listens to a recording: pulses are parted by at least 40 ms below the threshold.
pub fn listen(samples: &[i16]) -> Ear {
    let window = RATE / 200;
    let mut onsets: Vec<f64> = Vec::new();
    let mut quiet = usize::MAX;
    for (index, part) in samples.chunks(window).enumerate() {
        if part
            .iter()
            .any(|sample| sample.unsigned_abs() > LOUD as u16)
        {
            if quiet >= 8 {
                onsets.push(index as f64 * 5.0);
            }
            quiet = 0;
        } else {
            quiet = quiet.saturating_add(1);
        }
    }
    let pitch = onsets.first().map_or(0.0, |&onset| {
        let begin = (onset as usize + 25) * RATE / 1000;
        let end = (begin + RATE / 10).min(samples.len());
        fundamental(&samples[begin.min(end)..end])
    });
    Ear { onsets, pitch }
}

impl Ear {
    /// Whether it heard these pulses, at most 10 ms too early or too late, at this pitch within 1 %.
    pub fn heard(&self, onsets_ms: &[u64], pitch: f64) -> Result<(), String> {
        if self.onsets.len() != onsets_ms.len() {
            return Err(format!(
                "{} pulses instead of {}: {self:?}",
                self.onsets.len(),
                onsets_ms.len()
            ));
        }
        let first = self.onsets.first().copied().unwrap_or_default();
        for (heard, &played) in self.onsets.iter().zip(onsets_ms) {
            if (heard - first - played as f64).abs() > 10.0 {
                return Err(format!(
                    "a pulse at {} ms instead of {played} ms",
                    heard - first
                ));
            }
        }
        if (self.pitch / pitch - 1.0).abs() > 0.01 {
            return Err(format!("{} Hz instead of {pitch} Hz", self.pitch));
        }
        Ok(())
    }
}

/// The lowest frequency whose level is within 6 dB of the strongest, by a discrete Fourier transform with a Hann window.
fn fundamental(samples: &[i16]) -> f64 {
    let spectrum: Vec<f64> = (140..2600)
        .map(|hertz| level(samples, f64::from(hertz)))
        .collect();
    let strongest = spectrum.iter().copied().fold(0.0, f64::max);
    let peak = (1..spectrum.len() - 1).find(|&index| {
        spectrum[index] > strongest / 2.0
            && spectrum[index] >= spectrum[index - 1]
            && spectrum[index] > spectrum[index + 1]
    });
    peak.map_or(0.0, |index| 140.0 + index as f64)
}

fn level(samples: &[i16], hertz: f64) -> f64 {
    let omega = std::f64::consts::TAU * hertz / RATE as f64;
    let (mut before, mut last) = (0.0, 0.0);
    for (index, &sample) in samples.iter().enumerate() {
        let hann = 0.5 - 0.5 * (std::f64::consts::TAU * index as f64 / samples.len() as f64).cos();
        (before, last) = (
            last,
            f64::from(sample) * hann + 2.0 * omega.cos() * last - before,
        );
    }
    (before * before + last * last - 2.0 * omega.cos() * before * last)
        .max(0.0)
        .sqrt()
}

/// The level of a band of a recording, by sox: a measure that is not ours.
pub fn sox_level(samples: &[i16], low: f64, high: f64) -> f64 {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    let bytes: Vec<u8> = samples
        .iter()
        .flat_map(|sample| sample.to_le_bytes())
        .collect();
    file.write_all(&bytes).unwrap();
    let said = Command::new("sox")
        .args([
            "-t", "raw", "-r", "48000", "-e", "signed", "-b", "16", "-c", "1",
        ])
        .arg(file.path())
        .args(["-n", "sinc", "-t", "30", &format!("{low}-{high}"), "stat"])
        .output()
        .unwrap();
    let text = String::from_utf8_lossy(&said.stderr).into_owned();
    let line = text
        .lines()
        .find(|line| line.starts_with("RMS") && line.contains("amplitude"));
    line.and_then(|line| line.split_whitespace().last()?.parse().ok())
        .unwrap_or_else(|| panic!("sox said {text:?}"))
}
