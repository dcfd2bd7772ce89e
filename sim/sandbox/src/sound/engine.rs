//! The engine's note: one push at each firing of a four-stroke engine, rich in overtones with the throttle open.

use std::f64::consts::TAU;

/// Firings a second of a four-stroke engine: each cylinder fires once in two turns.
pub fn firing_hz(rpm: f64, cylinders: u8) -> f64 {
    rpm.max(0.0) / 60.0 * f64::from(cylinders) / 2.0
}

/// Speed below which a turning engine fades into silence, rpm. Ours.
const FADES_BELOW_RPM: f64 = 300.0;
/// Highest overtone. Ours.
const OVERTONES: u32 = 7;

/// The engine as a sounding thing: how far its cycle has gone.
#[derive(Clone, Copy, Debug, Default)]
pub struct Engine {
    /// Firings since the start of a cycle, 0 to the number of cylinders.
    cycle: f64,
}

impl Engine {
    /// The next sample, about -1 to 1, at a sample rate of `rate_hz`. A cylinder that does not fire leaves its push out.
    pub fn sample(&mut self, rpm: f64, cylinders: u8, firing: u8, throttle: f64, rate_hz: f64) -> f64 {
        let hz = firing_hz(rpm, cylinders);
        if hz <= 0.0 || cylinders == 0 {
            return 0.0;
        }
        self.cycle = (self.cycle + hz / rate_hz) % f64::from(cylinders);
        let fires = self.cycle.floor() < f64::from(firing.min(cylinders));
        // A push that is left out is still a turning engine with its pumping.
        let push = if fires { 1.0 } else { 0.22 };
        let open = throttle.clamp(0.0, 1.0);
        let mut sum = 0.0;
        for n in 1..=OVERTONES {
            // Overtones above half the sample rate would come back as wrong notes.
            if f64::from(n) * hz > rate_hz / 2.0 {
                break;
            }
            let share = f64::from(n).powf(-(1.6 - 0.6 * open));
            sum += share * (TAU * self.cycle * f64::from(n)).sin();
        }
        let loud = 0.45 + 0.55 * open;
        push * loud * sum * (rpm / FADES_BELOW_RPM).min(1.0) / 2.0
    }
}
