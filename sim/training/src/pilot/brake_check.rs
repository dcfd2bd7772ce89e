//! The brake check in the first metres: throttle closed, both toes, and feel what comes of it.

use super::Pilot;
use super::plane::Plane;
use super::seen::Seen;
use serde::{Deserialize, Serialize};
use toeline_model::angle::wrap;
use toeline_model::math;
use toeline_model::units::{DEG, G_MPS2, KNOT_MPS};

/// Way rolled before the check, metres, and speed for it, m/s (ours: fast enough to feel it, slow enough to stop at once).
const AFTER_M: f64 = 1.0;
const FROM_MPS: f64 = 0.8;
/// Deceleration that the toes are pressed for, m/s² (ours), and the share of it that has to come.
const PRESSES_FOR_MPS2: f64 = 1.2;
const LEAST_SHARE: f64 = 0.35;
/// How long they are pressed at most, seconds (ours), and the speed at which they come off.
const PRESSES_S: f64 = 0.8;
const OFF_AT_MPS: f64 = 0.25;
/// Swing that tells of one weak brake with the feet held still, radians: in light wind sound brakes stay below 0.002, and
/// one at a third of its torque gives 0.016 and more (ours).
const MOST_SWING_RAD: f64 = 0.012;
/// Shortest that one who feels late must have felt the press to judge it, seconds (ours): below, it stood before he could.
const LEAST_FELT_S: f64 = 0.3;
/// Wind above which a swing may be the wind's, m/s (ours: 12 kt); the deceleration alone is judged then.
const LIGHT_WIND_MPS: f64 = 12.0 * KNOT_MPS;
/// The same where the nose wheel casters and holds no heading (ours: half): pressed alike, sound brakes swung by 0.9 degrees in
/// 12 kt from the side.
const LIGHT_WIND_CASTERING_MPS: f64 = 6.0 * KNOT_MPS;

/// What the brake check showed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BrakeReading {
    /// Way at which the toes were pressed, metres.
    pub at_m: f64,
    /// Deceleration that came, m/s².
    pub slowed_mps2: f64,
    /// Swing meanwhile, radians, left positive.
    pub swung_rad: f64,
    /// What was wrong, in words; `None` when the brakes hold and pull alike.
    pub finding: Option<String>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Stage {
    Due,
    Closing,
    /// The toes are on: felt for so long, from a speed and a heading; below 0 it is not felt yet.
    Pressing {
        for_s: f64,
        from_mps: f64,
        heading_rad: f64,
    },
    Done,
}

impl Pilot {
    /// The same pilot without the brake check. Its judgement supposes feet as quick as his own: wishes that reach the brakes
    /// through something slower, such as keys, would look like weak brakes.
    #[must_use]
    pub fn without_brake_check(mut self) -> Pilot {
        self.brake_check.stage = Stage::Done;
        self
    }

    /// The same pilot for eyes that see late and feet that come late, each by so many seconds. He makes up for late eyes by
    /// looking as much farther ahead; of his feet he does not know. In the brake check he keeps the toes on until he has felt
    /// what they do: judged by the clock, a press that has hardly begun would look like weak brakes.
    #[must_use]
    pub fn who_is_late(mut self, eyes_s: f64, feet_s: f64) -> Pilot {
        self.feet = super::Feet::seeing_late(eyes_s);
        self.brake_check.late_s = eyes_s + feet_s;
        self
    }
}

/// The check under way.
#[derive(Clone, Debug)]
pub(super) struct BrakeCheck {
    stage: Stage,
    at_m: f64,
    /// How late he feels what his toes do, seconds.
    late_s: f64,
    pub(super) reading: Option<BrakeReading>,
}

impl BrakeCheck {
    pub(super) fn due() -> BrakeCheck {
        BrakeCheck {
            stage: Stage::Due,
            at_m: 0.0,
            late_s: 0.0,
            reading: None,
        }
    }

    /// Whether the toes are pressed for the check now.
    pub(super) fn pressing(&self) -> bool {
        matches!(self.stage, Stage::Pressing { .. })
    }

    /// Force that each main wheel is to hold back with, N, while the check takes the throttle; `None` while it does not. On
    /// soft ground the toes press no harder than `most_n`, and no more is looked for than that gives.
    pub(super) fn decide(
        &mut self,
        plane: &Plane,
        most_n: f64,
        seen: &Seen,
        (rolled_m, way_m): (f64, f64),
        throttle: f64,
        dt_s: f64,
    ) -> Option<f64> {
        match self.stage {
            Stage::Due if rolled_m >= AFTER_M && seen.nose_mps >= FROM_MPS => {
                self.stage = Stage::Closing;
                Some(0.0)
            }
            Stage::Due | Stage::Done => None,
            Stage::Closing => {
                if throttle <= 0.0 {
                    self.at_m = way_m;
                    self.stage = Stage::Pressing {
                        for_s: -self.late_s,
                        from_mps: seen.nose_mps,
                        heading_rad: seen.heading_rad,
                    };
                }
                Some(0.0)
            }
            Stage::Pressing {
                for_s,
                from_mps,
                heading_rad,
            } => {
                let felt = for_s >= 0.0;
                let for_s = for_s + dt_s;
                let rolls_n = super::gains::ROLLS_AT * plane.mass_kg * G_MPS2;
                let wanted_n = (plane.mass_kg * PRESSES_FOR_MPS2 + seen.thrust_n - rolls_n).max(0.0) / 2.0;
                let each_n = wanted_n.min(most_n);
                if felt && (for_s > PRESSES_S || seen.nose_mps < OFF_AT_MPS) {
                    let pressed_mps2 = PRESSES_FOR_MPS2.min((2.0 * each_n + rolls_n - seen.thrust_n) / plane.mass_kg);
                    let light_mps = if plane.steered {
                        LIGHT_WIND_MPS
                    } else {
                        LIGHT_WIND_CASTERING_MPS
                    };
                    self.read(from_mps, heading_rad, seen, (for_s, pressed_mps2, light_mps));
                    self.stage = Stage::Done;
                    return Some(0.0);
                }
                self.stage = Stage::Pressing {
                    for_s,
                    from_mps: if felt { from_mps } else { seen.nose_mps },
                    heading_rad: if felt { heading_rad } else { seen.heading_rad },
                };
                Some(each_n)
            }
        }
    }

    fn read(
        &mut self,
        from_mps: f64,
        heading_rad: f64,
        seen: &Seen,
        (for_s, pressed_mps2, light_mps): (f64, f64, f64),
    ) {
        let slowed_mps2 = (from_mps - seen.nose_mps) / for_s.max(1e-6);
        let swung_rad = wrap(seen.heading_rad - heading_rad);
        let wind_mps = math::hypot(seen.wind_mps[0], seen.wind_mps[1]);
        let finding = if swung_rad.abs() > MOST_SWING_RAD && wind_mps < light_mps {
            let (side, weak) = if swung_rad > 0.0 {
                ("left", "right")
            } else {
                ("right", "left")
            };
            Some(format!(
                "pressed alike it swings {:.1} degrees to the {side}: the {weak} brake is weak",
                swung_rad.abs() / DEG
            ))
        } else if slowed_mps2 < LEAST_SHARE * pressed_mps2 && (self.late_s <= 0.0 || for_s >= LEAST_FELT_S) {
            Some(format!(
                "the brakes slow it by {slowed_mps2:.2} m/s2, pressed for {pressed_mps2:.1}"
            ))
        } else {
            None
        };
        self.reading = Some(BrakeReading {
            at_m: self.at_m,
            slowed_mps2,
            swung_rad,
            finding,
        });
    }
}
