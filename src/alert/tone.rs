//! From notes to samples.

use std::{sync::Arc, time::Duration};

use rodio::{Source, source::SineWave};

use super::Pattern;

/// Samples a second, one channel.
pub const RATE: u32 = 48_000;

/// With each repetition a sound grows by this much, up to the loudest.
const RISE_DB: f32 = 2.0;

/// A sound, ready to be played: one channel at [`RATE`], its peak at 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Tone {
    samples: Arc<[f32]>,
    level_db: f32,
}

impl Tone {
    /// Synthesises the pulses of a pattern.
    pub fn of(pattern: &Pattern) -> Self {
        let mut pulse = pulse(pattern);
        let peak = pulse
            .iter()
            .fold(f32::EPSILON, |peak, sample| peak.max(sample.abs()));
        for sample in &mut pulse {
            *sample /= peak;
        }
        let mut samples = Vec::new();
        for onset in pattern.onsets_ms() {
            samples.resize(count(onset), 0.0);
            samples.extend_from_slice(&pulse);
        }
        Self {
            samples: samples.into(),
            level_db: pattern.level_db,
        }
    }

    /// How long it takes.
    pub fn length(&self) -> Duration {
        Duration::from_secs_f64(self.samples.len() as f64 / f64::from(RATE))
    }

    /// The samples at a loudness of 0 to 1, risen with each repetition; none lies outside of -1 to 1.
    pub fn samples(&self, loudness: f32, repeat: u32) -> Vec<f32> {
        let gain = self.gain(loudness, repeat);
        self.samples.iter().map(|sample| sample * gain).collect()
    }

    /// The samples as they are, their peak at 1.
    pub(super) fn raw(&self) -> Arc<[f32]> {
        Arc::clone(&self.samples)
    }

    /// What makes the samples as loud as wanted: 0 to 1.
    pub(super) fn gain(&self, loudness: f32, repeat: u32) -> f32 {
        let risen = (self.level_db + RISE_DB * repeat.min(20) as f32).min(0.0);
        loudness.clamp(0.0, 1.0) * amplitude(risen)
    }
}

/// One pulse with its harmonics and its edges, of any peak.
fn pulse(pattern: &Pattern) -> Vec<f32> {
    let length = Duration::from_millis(pattern.length_ms.into());
    let mut voices: Box<dyn Source> = Box::new(SineWave::new(pattern.pitch_hz));
    for (number, &level) in pattern.overtones_db.iter().enumerate() {
        let pitch = pattern.pitch_hz * (number + 2) as f32;
        // What lies above half of the rate would come back as another pitch.
        if pitch < RATE as f32 / 2.0 {
            voices = Box::new(voices.mix(SineWave::new(pitch).amplify(amplitude(level))));
        }
    }
    let mut pulse: Vec<f32> = voices.take_duration(length).collect();
    let total = pulse.len();
    for (position, sample) in pulse.iter_mut().enumerate() {
        *sample *= edge(position, count(pattern.rise_ms.into()))
            * edge(total - 1 - position, count(pattern.fall_ms.into()));
    }
    pulse
}

/// A raised cosine from 0 to 1 over `width` samples: a pulse neither begins nor ends with a click.
fn edge(position: usize, width: usize) -> f32 {
    if position >= width {
        return 1.0;
    }
    let phase = std::f32::consts::PI * position as f32 / width as f32;
    0.5 - 0.5 * phase.cos()
}

fn amplitude(db: f32) -> f32 {
    10f32.powf(db / 20.0)
}

fn count(ms: u64) -> usize {
    usize::try_from(ms * u64::from(RATE) / 1000).unwrap_or(usize::MAX)
}

/// Samples times a gain, as signed 16-bit little-endian bytes.
pub(super) fn pcm(samples: &[f32], gain: f32) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(samples.len() * 2);
    for sample in samples {
        let scaled = ((sample * gain).clamp(-1.0, 1.0) * f32::from(i16::MAX)) as i16;
        bytes.extend_from_slice(&scaled.to_le_bytes());
    }
    bytes
}

/// A WAV file of one channel at [`RATE`] in signed 16-bit samples (RIFF, `WAVE_FORMAT_PCM`).
pub(super) fn wav(samples: &[f32], gain: f32) -> Vec<u8> {
    let data = pcm(samples, gain);
    let length = u32::try_from(data.len()).unwrap_or(u32::MAX);
    let mut file = Vec::with_capacity(44 + data.len());
    file.extend_from_slice(b"RIFF");
    file.extend_from_slice(&length.saturating_add(36).to_le_bytes());
    file.extend_from_slice(b"WAVEfmt ");
    file.extend_from_slice(&16u32.to_le_bytes());
    file.extend_from_slice(&1u16.to_le_bytes());
    file.extend_from_slice(&1u16.to_le_bytes());
    file.extend_from_slice(&RATE.to_le_bytes());
    file.extend_from_slice(&(RATE * 2).to_le_bytes());
    file.extend_from_slice(&2u16.to_le_bytes());
    file.extend_from_slice(&16u16.to_le_bytes());
    file.extend_from_slice(b"data");
    file.extend_from_slice(&length.to_le_bytes());
    file.extend_from_slice(&data);
    file
}

#[cfg(test)]
mod tests;
