//! Everything together: engine, scrub, wind and rumble as one stream of samples between -1 and 1.

use super::Heard;
use super::engine::Engine;
use super::noise::{Hiss, LowPass, rumble_level, scrub_level, wind_level};
use crate::convert::narrow;

/// Loudness of each part in the mix. Ours.
const ENGINE: f64 = 0.60;
const SCRUB: f64 = 0.9;
const WIND: f64 = 0.8;
const RUMBLE: f64 = 2.6;
/// Time in which a change is two thirds done, seconds: no clicks.
const SETTLES_S: f64 = 0.03;

/// The sound as it goes on.
#[derive(Clone, Debug)]
pub struct Mix {
    rate_hz: f64,
    now: Heard,
    engine: Engine,
    hiss: [Hiss; 3],
    scrub: [LowPass; 2],
    wind: [LowPass; 2],
    rumble: [LowPass; 2],
    levels: [f64; 3],
}

impl Mix {
    /// Silence at a sample rate, hertz.
    pub fn new(rate_hz: f64) -> Mix {
        Mix {
            rate_hz: rate_hz.max(8000.0),
            now: Heard::default(),
            engine: Engine::default(),
            hiss: [1, 2, 3].map(Hiss::new),
            scrub: Default::default(),
            wind: Default::default(),
            rumble: Default::default(),
            levels: [0.0; 3],
        }
    }

    /// Fills a buffer with the next samples of one channel.
    pub fn render(&mut self, heard: &Heard, out: &mut [f32]) {
        for slot in out {
            *slot = narrow(self.sample(heard));
        }
    }

    fn sample(&mut self, heard: &Heard) -> f64 {
        let rate = self.rate_hz;
        let share = 1.0 - (-1.0 / (SETTLES_S * rate)).exp();
        let toward = |from: f64, to: f64| from + (to - from) * share;
        let now = &mut self.now;
        let finite = |v: f64| if v.is_finite() { v } else { 0.0 };
        now.rpm = toward(now.rpm, finite(heard.rpm));
        now.throttle = toward(now.throttle, finite(heard.throttle));
        now.air_mps = toward(now.air_mps, finite(heard.air_mps));
        now.cylinders = heard.cylinders;
        now.firing = heard.firing;
        let wanted = [
            scrub_level(finite(heard.scrub_mps)),
            wind_level(now.air_mps),
            rumble_level(finite(heard.ground_mps), heard.off_pavement),
        ];
        for (level, to) in self.levels.iter_mut().zip(wanted) {
            *level = toward(*level, to);
        }
        // Below a ten-thousandth there is nothing to be heard; let it end.
        let [scrub, wind, rumble] = self.levels.map(|l| if l < 1e-4 { 0.0 } else { l });
        let rpm = if now.rpm < 0.5 { 0.0 } else { now.rpm };
        let note = self.engine.sample(rpm, now.cylinders, now.firing, now.throttle, rate);
        let [a, b, c] = &mut self.hiss;
        // Scrub: a hoarse band between 350 and 1500 Hz.
        let bright = self.scrub[0].pass(a.sample(), 1500.0, rate);
        let hoarse = bright - self.scrub[1].pass(bright, 350.0, rate);
        // Wind: a dull roar that gets brighter with speed.
        let edge = 180.0 + 25.0 * now.air_mps;
        let once = self.wind[0].pass(b.sample(), edge, rate);
        let roar = self.wind[1].pass(once, edge, rate);
        let once = self.rumble[0].pass(c.sample(), 70.0, rate);
        let rolling = self.rumble[1].pass(once, 70.0, rate);
        let sum = ENGINE * note + SCRUB * scrub * hoarse + WIND * wind * roar + RUMBLE * rumble * rolling;
        // Never beyond full scale, however much comes together.
        sum / (1.0 + sum.abs())
    }
}
