//! From the raw number of an axis to a share of full travel: ends, middle, dead zone, curve, direction. Pure, and safe for
//! any numbers: a range that is no range gives the value at rest.

use super::input::Input;
use serde::{Deserialize, Serialize};

/// Largest dead zone, share of travel from rest.
pub const MOST_DEAD_ZONE: f64 = 0.5;
/// Farthest raw value from zero.
const MOST_RAW: f64 = 2_147_483_648.0;
/// Least share of its range that an axis must have moved to be calibrated or chosen by moving it. Ours.
pub const LEAST_MOVE: f64 = 0.2;

/// How one axis is read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calibration {
    /// Raw value at the lower end.
    pub low: f64,
    /// Raw value at rest in the middle; half way between the ends when not known. Only used by inputs that have a middle.
    #[serde(default)]
    pub centre: Option<f64>,
    /// Raw value at the upper end.
    pub high: f64,
    /// Share of the travel from rest in which nothing happens, 0..=0.5.
    #[serde(default)]
    pub dead_zone: f64,
    /// How soft it begins: 0 is a straight line, 1 a cubic.
    #[serde(default)]
    pub curve: f64,
    /// Whether the ends are exchanged.
    #[serde(default)]
    pub inverted: bool,
}

impl Calibration {
    /// The whole range of an axis, with a dead zone that hides a worn middle.
    pub fn of_range(least: i32, greatest: i32, input: Option<Input>) -> Calibration {
        Calibration {
            low: f64::from(least),
            centre: None,
            high: f64::from(greatest),
            dead_zone: if input.is_some_and(Input::has_middle) {
                0.03
            } else {
                0.02
            },
            curve: 0.0,
            inverted: false,
        }
    }

    /// What is wrong with the numbers, in words.
    pub fn fault(&self) -> Option<String> {
        // Raw values are whole numbers of 32 bits, whatever the system.
        if let Some(end) = [self.low, self.high]
            .into_iter()
            .find(|e| e.is_nan() || e.abs() > MOST_RAW)
        {
            return Some(format!("end {end} is not from -{MOST_RAW} to {MOST_RAW}"));
        }
        if self.low >= self.high {
            return Some(format!("low {} is not below high {}", self.low, self.high));
        }
        if let Some(c) = self.centre
            && !(self.low < c && c < self.high)
        {
            return Some(format!(
                "centre {c} is not between low {} and high {}",
                self.low, self.high
            ));
        }
        if !(0.0..=MOST_DEAD_ZONE).contains(&self.dead_zone) {
            return Some(format!(
                "dead_zone {} is not from 0 to {MOST_DEAD_ZONE}",
                self.dead_zone
            ));
        }
        if !(0.0..=1.0).contains(&self.curve) {
            return Some(format!("curve {} is not from 0 to 1", self.curve));
        }
        None
    }

    /// The value for an input, in its own range; at rest when the numbers make no sense.
    pub fn value(&self, raw: f64, input: Input) -> f64 {
        if self.fault().is_some() || !raw.is_finite() {
            return 0.0;
        }
        if !input.has_middle() {
            let share = ((raw - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
            return self.shaped(if self.inverted { 1.0 - share } else { share });
        }
        let centre = self.centre.unwrap_or(0.5 * (self.low + self.high));
        let side = if raw < centre {
            centre - self.low
        } else {
            self.high - centre
        };
        let share = ((raw - centre) / side).clamp(-1.0, 1.0);
        let value = self.shaped(share.abs()).copysign(share);
        if self.inverted { -value } else { value }
    }

    /// Dead zone and curve on a share of travel from rest, 0..=1.
    fn shaped(&self, share: f64) -> f64 {
        let live = ((share - self.dead_zone) / (1.0 - self.dead_zone)).clamp(0.0, 1.0);
        live * (1.0 - self.curve + self.curve * live * live)
    }
}

/// Watching an axis while its owner moves it from end to end and back to rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Watch {
    started_at: f64,
    now: f64,
    /// Least raw value seen.
    pub least: f64,
    /// Greatest raw value seen.
    pub greatest: f64,
}

impl Watch {
    /// Begins. The first value may be stale: many devices tell none before they are moved.
    pub fn start(raw: i32) -> Watch {
        let raw = f64::from(raw);
        Watch {
            started_at: raw,
            now: raw,
            least: raw,
            greatest: raw,
        }
    }

    /// Takes a raw value.
    pub fn see(&mut self, raw: i32) {
        self.now = f64::from(raw);
        self.least = self.least.min(self.now);
        self.greatest = self.greatest.max(self.now);
    }

    /// The calibration: ends as seen; the middle where it came to rest, halved with where it rested before if that was near;
    /// a toe brake or lever rests at its zero end, so the end nearer to where it stands now is zero. Dead zone and curve stay as they were.
    ///
    /// # Errors
    /// When it hardly moved: a guess would be worse than the old calibration.
    pub fn finish(&self, was: &Calibration, range: (i32, i32), input: Option<Input>) -> Result<Calibration, String> {
        let (moved, full) = (self.greatest - self.least, f64::from(range.1) - f64::from(range.0));
        if moved <= 0.0 || moved < LEAST_MOVE * full {
            return Err(format!(
                "it moved from {} to {}, less than {:.0} % of its range {} to {}: nothing was changed",
                self.least,
                self.greatest,
                LEAST_MOVE * 100.0,
                range.0,
                range.1
            ));
        }
        let mut new = Calibration {
            low: self.least,
            high: self.greatest,
            centre: None,
            ..*was
        };
        if input.is_some_and(Input::has_middle) {
            let near = (self.started_at - self.now).abs() < 0.15 * moved;
            let rest = if near {
                0.5 * (self.started_at + self.now)
            } else {
                self.now
            };
            // A rest at one end is no middle: the axis was not let go, or it has none.
            let share = (rest - self.least) / moved;
            new.centre = (0.2..=0.8).contains(&share).then_some(rest);
        } else if input.is_some() {
            new.inverted = self.now - self.least > self.greatest - self.now;
        }
        Ok(new)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: Calibration = Calibration {
        low: 0.0,
        centre: None,
        high: 255.0,
        dead_zone: 0.0,
        curve: 0.0,
        inverted: false,
    };

    #[test]
    fn ends_and_middle_are_exact() {
        for (raw, middle, end) in [
            (0.0, -1.0, 0.0),
            (127.5, 0.0, 0.5),
            (255.0, 1.0, 1.0),
            (999.0, 1.0, 1.0),
        ] {
            assert_eq!(PLAIN.value(raw, Input::Rudder), middle, "rudder at {raw}");
            assert_eq!(PLAIN.value(raw, Input::LeftBrake), end, "brake at {raw}");
        }
        let turned = Calibration {
            inverted: true,
            centre: Some(100.0),
            ..PLAIN
        };
        assert_eq!(turned.value(0.0, Input::Rudder), 1.0);
        assert_eq!(turned.value(50.0, Input::Rudder), 0.5);
        assert_eq!(turned.value(255.0, Input::Throttle), 0.0);
    }

    #[test]
    fn dead_zone_and_curve_keep_the_ends_and_never_turn_back() {
        let c = Calibration {
            dead_zone: 0.1,
            curve: 0.7,
            ..PLAIN
        };
        assert_eq!(c.value(127.5 + 12.0, Input::Rudder), 0.0, "inside the dead zone");
        assert_eq!(c.value(25.0, Input::LeftBrake), 0.0);
        for input in [Input::Rudder, Input::LeftBrake] {
            assert_eq!(c.value(255.0, input), 1.0);
            let values: Vec<f64> = (0..=255).map(|r| c.value(f64::from(r), input)).collect();
            assert!(values.windows(2).all(|w| w[0] <= w[1]), "{input:?} turns back");
            assert!(values.windows(2).all(|w| w[1] - w[0] < 0.03), "{input:?} jumps");
        }
        let straight = Calibration { curve: 0.0, ..c };
        assert!(
            c.value(200.0, Input::Rudder) < straight.value(200.0, Input::Rudder),
            "a curve is softer"
        );
    }

    #[test]
    fn no_numbers_make_it_fail() {
        let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -3.0, 1e308, f64::MAX];
        for low in odd {
            for high in odd {
                for x in odd {
                    let c = Calibration {
                        low,
                        high,
                        centre: Some(x),
                        dead_zone: x,
                        curve: x,
                        inverted: true,
                    };
                    for input in Input::ALL {
                        for raw in odd {
                            let v = c.value(raw, input);
                            assert!((input.least()..=1.0).contains(&v), "{c:?} at {raw}: {v}");
                            let plain = Calibration {
                                centre: None,
                                dead_zone: 0.0,
                                curve: 0.0,
                                ..c
                            };
                            let v = plain.value(raw, input);
                            assert!((input.least()..=1.0).contains(&v), "{plain:?} at {raw}: {v}");
                        }
                    }
                }
            }
        }
        let none = Calibration { high: 0.0, ..PLAIN };
        assert!(none.fault().is_some_and(|f| f.contains("low 0 is not below high 0")));
    }

    #[test]
    fn watching_finds_ends_middle_and_which_end_is_rest() {
        let see = |start: i32, path: &[i32]| {
            let mut w = Watch::start(start);
            path.iter().for_each(|r| w.see(*r));
            w
        };
        let brake = see(250, &[120, 9, 80, 248]);
        let c = brake
            .finish(&PLAIN, (0, 255), Some(Input::LeftBrake))
            .expect("a full press");
        assert_eq!((c.low, c.high, c.inverted), (9.0, 250.0, true));
        assert_eq!(
            (c.value(250.0, Input::LeftBrake), c.value(9.0, Input::LeftBrake)),
            (0.0, 1.0)
        );
        let rudder = see(510, &[20, 900, 490]);
        let c = rudder
            .finish(&PLAIN, (0, 1023), Some(Input::Rudder))
            .expect("both ways");
        assert_eq!((c.low, c.centre, c.high), (20.0, Some(500.0), 900.0));
        let stale = see(0, &[20, 900, 500]);
        let c = stale.finish(&PLAIN, (0, 1023), Some(Input::Rudder)).expect("both ways");
        assert_eq!(
            (c.low, c.centre, c.high),
            (0.0, Some(500.0), 900.0),
            "a stale first value is no rest"
        );
        let still = see(510, &[512, 509]);
        let said = still
            .finish(&PLAIN, (0, 1023), Some(Input::Rudder))
            .expect_err("it did not move");
        assert!(
            said.contains("509 to 512") && said.contains("nothing was changed"),
            "{said}"
        );
        assert!(
            see(0, &[0]).finish(&PLAIN, (0, 0), None).is_err(),
            "an axis without a range"
        );
    }
}
