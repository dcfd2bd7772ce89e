//! Plays the sound on the computer's default device. Without one there is a message and silence.

use super::Heard;
use super::mix::Mix;
use crate::drive::{Drive, Phase};
use bevy::prelude::*;
use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{FromSample, SampleFormat, SizedSample, Stream, StreamConfig};
use std::sync::{Arc, Mutex};

/// What the device's own thread is told to play.
#[derive(Resource, Clone, Default)]
struct Played(Arc<Mutex<Heard>>);

/// The open device; it plays as long as it is kept.
struct Open(#[expect(dead_code, reason = "kept alive, never read")] Stream);

/// Opens the device and tells it every frame what is heard.
pub fn sound_plugin(app: &mut App) {
    let played = Played::default();
    match open(&played) {
        Ok(stream) => {
            app.insert_non_send(Open(stream));
        }
        Err(why) => warn!("no sound: {why}"),
    }
    app.insert_resource(played).add_systems(Update, tell);
}

fn tell(drive: Res<Drive>, phase: Res<Phase>, played: Res<Played>) {
    let heard = if *phase == Phase::Driving {
        Heard::of(&drive)
    } else {
        Heard::default()
    };
    if let Ok(mut slot) = played.0.lock() {
        *slot = heard;
    }
}

fn open(played: &Played) -> Result<Stream, String> {
    let device = cpal::default_host()
        .default_output_device()
        .ok_or("this computer has no sound device")?;
    let config = device.default_output_config().map_err(|e| e.to_string())?;
    let stream = match config.sample_format() {
        SampleFormat::F32 => build::<f32>(&device, config.into(), played),
        SampleFormat::I16 => build::<i16>(&device, config.into(), played),
        SampleFormat::U16 => build::<u16>(&device, config.into(), played),
        SampleFormat::I32 => build::<i32>(&device, config.into(), played),
        other => Err(format!(
            "the sound device wants samples of the kind {other}, which is not one of f32, i16, u16, i32"
        )),
    }?;
    stream.play().map_err(|e| e.to_string())?;
    Ok(stream)
}

fn build<T: SizedSample + FromSample<f32>>(
    device: &cpal::Device,
    config: StreamConfig,
    played: &Played,
) -> Result<Stream, String> {
    let channels = usize::from(config.channels).max(1);
    let mut mix = Mix::new(f64::from(config.sample_rate));
    let played = played.0.clone();
    let mut heard = Heard::default();
    let mut one = Vec::new();
    let fill = move |out: &mut [T], _: &cpal::OutputCallbackInfo| {
        // Never waits for the window: an old value is better than a gap.
        if let Ok(now) = played.try_lock() {
            heard = *now;
        }
        one.resize(out.len() / channels, 0.0);
        mix.render(&heard, &mut one);
        for (frame, sample) in out.chunks_mut(channels).zip(&one) {
            frame.fill(T::from_sample(*sample));
        }
    };
    let failed = |e: cpal::Error| warn!("the sound device: {e}");
    device
        .build_output_stream(config, fill, failed, None)
        .map_err(|e| e.to_string())
}
