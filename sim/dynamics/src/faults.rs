//! What an instructor can break, and what the pilot will see of it.

use serde::{Deserialize, Serialize};

/// Share of its torque that a weak brake still gives (ours).
const WEAK_BRAKE: f64 = 0.35;
/// Share of its full torque with which a seized brake drags all the time (ours: a firm push still moves the aeroplane).
const SEIZED_BRAKE: f64 = 0.3;
/// Rolling resistance of a flat tyre over that of a sound one (ours).
const FLAT_ROLLING: f64 = 5.0;
/// Cornering stiffness of a flat tyre over that of a sound one (ours).
const FLAT_STIFFNESS: f64 = 0.4;
/// Axle height of a flat tyre over that of a sound one (ours).
const FLAT_RADIUS: f64 = 0.8;

/// Index of the left side in every pair.
pub const LEFT_SIDE: usize = 0;
/// Index of the right side in every pair.
pub const RIGHT_SIDE: usize = 1;

/// State of one main wheel's brake.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BrakeFault {
    /// Sound.
    #[default]
    None,
    /// Worn or with air in its line. Shows at the brake check in the first metres: the aeroplane turns away from it when
    /// both pedals are pressed alike, and creeps round at engine-check power.
    Weak,
    /// No pressure at all. Shows as a pedal without effect: both pedals together swing the aeroplane to the good side.
    Failed,
    /// The pads do not let go. Shows as a pull to that side with the feet off the brakes, and more rpm to keep rolling.
    Seized,
}

/// All faults at once; [`Faults::default`] is the sound aeroplane. Pairs are left, right; wheels nose, left, right.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Faults {
    /// The two brakes; see [`BrakeFault`] for how each shows.
    pub brake: [BrakeFault; 2],
    /// A tyre without air. Shows as more rpm to start and keep rolling, a pull to that side (a main wheel), a wing low, or
    /// heavy slow steering (the nose wheel).
    pub flat_tyre: [bool; 3],
    /// Free play of the steering linkage each way, radians. Shows as small pedal movements without an answer and a nose
    /// that wanders between two corrections.
    pub steering_play_rad: f64,
    /// A fouled plug on the magneto of that side. Shows as a drop beyond the limit, with rough running, when that magneto
    /// runs alone, and as next to nothing on both.
    pub fouled_plug: [bool; 2],
    /// A magneto without spark. Shows as rpm already low on both, no further drop on the other one, and an engine that
    /// stops when this one is selected alone.
    pub dead_magneto: [bool; 2],
    /// A magneto whose earth lead is broken: the switch cannot silence it. Shows as no drop at all when the other side is
    /// selected, and as an engine that runs on at Off: the dangerous one, since the propeller is then never safe to touch.
    pub live_magneto: [bool; 2],
    /// How strongly the air makes carburettor ice, 0 (dry) to 1. Shows as rpm sinking slowly at a fixed throttle; with
    /// carburettor heat as the ordinary drop and then a rise, and afterwards more rpm than before.
    pub carburettor_ice: f64,
    /// Extra drift of the heading indicator, rad/s, positive reading ever higher. Shows as a heading indicator that leaves
    /// the compass within minutes of being set (common practice: more than 3 degrees in 15 minutes is too much).
    pub heading_drift_radps: f64,
    /// A compass card that does not turn. Shows as a compass that keeps one figure in a turn while the heading indicator
    /// and the turn indicator move, and that disagrees with the taxiway's known direction.
    pub stuck_compass: bool,
    /// A blocked airspeed tube: the needle keeps what it shows. Shows in the take-off roll as a needle that stays on its peg.
    pub dead_airspeed: bool,
}

fn within(value: f64, most: f64) -> f64 {
    if value.is_finite() {
        value.clamp(-most, most)
    } else {
        0.0
    }
}

impl Faults {
    /// Every figure inside its range; one that is no number counts as no fault.
    pub fn clamped(self) -> Faults {
        Faults {
            steering_play_rad: within(self.steering_play_rad, 0.3).max(0.0),
            carburettor_ice: within(self.carburettor_ice, 1.0).max(0.0),
            heading_drift_radps: within(self.heading_drift_radps, 0.1),
            ..self
        }
    }

    /// The sound aeroplane?
    pub fn is_none(&self) -> bool {
        *self == Faults::default()
    }

    /// Share of its torque that the brake of a side gives for the pressure asked of it: 1 when sound.
    pub fn brake_share(&self, side: usize) -> f64 {
        match self.brake[side] {
            BrakeFault::None | BrakeFault::Seized => 1.0,
            BrakeFault::Weak => WEAK_BRAKE,
            BrakeFault::Failed => 0.0,
        }
    }

    /// Torque of the brake of a side, N·m, when a sound one would give `sound_nm` of its full `full_nm`.
    pub fn brake_nm(&self, side: usize, sound_nm: f64, full_nm: f64) -> f64 {
        let dragging = if self.brake[side] == BrakeFault::Seized {
            SEIZED_BRAKE * full_nm
        } else {
            0.0
        };
        (self.brake_share(side) * sound_nm).max(dragging)
    }

    /// Factor on the rolling resistance of a wheel: 1 with a sound tyre.
    pub fn rolling_factor(&self, wheel: usize) -> f64 {
        if self.flat_tyre[wheel] { FLAT_ROLLING } else { 1.0 }
    }

    /// Factor on the slip stiffness of a wheel: 1 with a sound tyre.
    pub fn stiffness_factor(&self, wheel: usize) -> f64 {
        if self.flat_tyre[wheel] { FLAT_STIFFNESS } else { 1.0 }
    }

    /// Height of a wheel's axle over that of a sound one: how far a flat tyre lets its corner down. It keeps its rolling radius.
    pub fn radius_factor(&self, wheel: usize) -> f64 {
        if self.flat_tyre[wheel] { FLAT_RADIUS } else { 1.0 }
    }

    /// Free play of the steering linkage each way, radians.
    pub fn play_rad(&self) -> f64 {
        self.clamped().steering_play_rad
    }

    /// Where the linkage pulls the nose wheel, radians, when the pedals ask for `asked_rad` and it stands at `wheel_rad`:
    /// nowhere inside the play, and to the near edge of it outside.
    pub fn asked_after_play(&self, asked_rad: f64, wheel_rad: f64) -> f64 {
        let (bend, play) = (asked_rad - wheel_rad, self.play_rad());
        if play == 0.0 {
            asked_rad
        } else if bend.abs() <= play {
            wheel_rad
        } else {
            asked_rad - play.copysign(bend)
        }
    }

    /// The same faults seen in a mirror: wheels and brakes exchange sides. Engine and instruments are no mirror images and
    /// stay, but a heading that reads ever higher then reads ever lower.
    pub fn mirrored(self) -> Faults {
        Faults {
            brake: [self.brake[RIGHT_SIDE], self.brake[LEFT_SIDE]],
            flat_tyre: [
                self.flat_tyre[crate::NOSE],
                self.flat_tyre[crate::RIGHT],
                self.flat_tyre[crate::LEFT],
            ],
            heading_drift_radps: -self.heading_drift_radps,
            ..self
        }
    }
}
