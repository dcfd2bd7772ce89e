//! Noise: a repeatable hiss, filtered into tyre scrub, wind and rumble.

/// White noise from a fixed seed: the same every time.
#[derive(Clone, Copy, Debug)]
pub struct Hiss(u64);

impl Hiss {
    /// A hiss of its own for every seed.
    pub fn new(seed: u64) -> Hiss {
        Hiss(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// The next sample, -1 to 1.
    pub fn sample(&mut self) -> f64 {
        // xorshift64*, by G. Marsaglia and S. Vigna.
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let high = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 32;
        high as f64 / f64::from(u32::MAX) * 2.0 - 1.0
    }
}

/// A low pass of one pole.
#[derive(Clone, Copy, Debug, Default)]
pub struct LowPass(f64);

impl LowPass {
    /// Lets pass what lies below a frequency, at a sample rate, both hertz.
    pub fn pass(&mut self, input: f64, below_hz: f64, rate_hz: f64) -> f64 {
        let share = 1.0 - (-std::f64::consts::TAU * below_hz / rate_hz).exp();
        self.0 += (input - self.0) * share;
        self.0
    }
}

/// Slip of all tyres at which scrub is as loud as it gets, metres per second. Ours.
const FULL_SCRUB_MPS: f64 = 2.0;
/// Slip that is not heard: a rolling tyre always slips a little, metres per second. Ours.
const QUIET_SCRUB_MPS: f64 = 0.05;

/// Loudness of tyre scrub, 0 to 1, from the slip speed weighed with load.
pub fn scrub_level(scrub_mps: f64) -> f64 {
    ((scrub_mps - QUIET_SCRUB_MPS) / FULL_SCRUB_MPS).clamp(0.0, 1.0).sqrt()
}

/// Loudness of the wind, 0 to 1: with the square of the airspeed, all of it at 30 m/s. Ours.
pub fn wind_level(air_mps: f64) -> f64 {
    (air_mps / 30.0).clamp(0.0, 1.0).powi(2)
}

/// Loudness of the wheels' rumble, 0 to 1: faint on pavement, strong on grass. Ours.
pub fn rumble_level(ground_mps: f64, off_pavement: bool) -> f64 {
    let full = if off_pavement { 1.0 } else { 0.12 };
    full * (ground_mps / 8.0).clamp(0.0, 1.0)
}
