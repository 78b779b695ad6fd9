//! The sound device itself, opened for one call: an open output costs processor time even in silence.

use std::{num::NonZero, time::Duration};

use rodio::{DeviceSinkBuilder, buffer::SamplesBuffer};

use super::Job;
use crate::alert::{RATE, stop::Stop};

/// What a device still has in its buffers when the last sample was handed over.
const TAIL: Duration = Duration::from_millis(200);

/// Plays on the default output.
pub(super) fn play(job: &Job, stop: &Stop, started: &dyn Fn()) -> Result<(), String> {
    let samples: Vec<f32> = job.samples.iter().map(|sample| sample * job.gain).collect();
    let rate = NonZero::new(RATE).ok_or("no rate")?;
    // A device that fails in the middle may say so a million times; it is noticed by the ear.
    let mut output = DeviceSinkBuilder::from_default_device()
        .map_err(|error| error.to_string())?
        .with_error_callback(|_| {})
        .open_stream()
        .map_err(|error| error.to_string())?;
    output.log_on_drop(false);
    output
        .mixer()
        .add(SamplesBuffer::new(NonZero::<u16>::MIN, rate, samples));
    started();
    // To wait for the end by the library never returns when the device is gone.
    stop.wait(job.length + TAIL);
    Ok(())
}
