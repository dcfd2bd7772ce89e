//! The engine check as a pilot does it, one thing after the other, with what he read kept.

use super::gains;
use super::plane::Plane;
use serde::{Deserialize, Serialize};
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::{Controls, State};

/// How long an engine speed must hold before it is read, seconds (ours).
const SETTLES_S: f64 = 2.0;
/// Change of the engine speed that counts as settled, rpm a second (ours).
const STEADY_RPM_PER_S: f64 = 8.0;
/// How long a reading is waited for at most, seconds (ours).
const MOST_WAIT_S: f64 = 20.0;
/// How long the oil is waited for, seconds (ours).
const MOST_WARMING_S: f64 = 900.0;
/// How near the check rpm is set (ours: a needle's width).
const SET_WITHIN_RPM: f64 = 10.0;
/// How fast the hand closes in on the check rpm, throttle a second for each rpm (ours).
const SETS: f64 = 0.0006;
/// Share of the check rpm below which an engine on one magneto counts as dying (ours).
const DIES_BELOW: f64 = 0.6;
/// Way that an aeroplane on its brakes may move in the check, metres (ours): beyond, the check is broken off.
const MOST_CREEP_M: f64 = 0.3;

/// One step of the check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckStep {
    /// Brakes on, throttle at idle.
    BrakesOn,
    /// Waiting for the oil.
    OilWarms,
    /// Throttle up to the check rpm.
    CheckRpm,
    /// Left magneto alone.
    LeftMagneto,
    /// Both again.
    BothAfterLeft,
    /// Right magneto alone.
    RightMagneto,
    /// Both again.
    BothAfterRight,
    /// Carburettor heat on.
    CarburettorHeat,
    /// Carburettor heat off.
    CarburettorCold,
    /// Throttle closed.
    Idle,
    /// Over.
    Done,
}

/// What was read. Engine speeds in rpm, oil in degrees Celsius and kPa, suction in kPa.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct CheckReadings {
    /// Where.
    pub place: String,
    /// Engine speed set, both magnetos.
    pub both_rpm: Option<f64>,
    /// On the left magneto alone.
    pub left_rpm: Option<f64>,
    /// On the right magneto alone.
    pub right_rpm: Option<f64>,
    /// With carburettor heat; `None` also when there is none.
    pub heat_rpm: Option<f64>,
    /// Throttle closed.
    pub idle_rpm: Option<f64>,
    /// Oil temperature at the check rpm.
    pub oil_c: Option<f64>,
    /// Oil pressure at the check rpm.
    pub oil_kpa: Option<f64>,
    /// Suction at the check rpm; `None` also without suction-driven instruments.
    pub suction_kpa: Option<f64>,
    /// What was not as the aeroplane's file says, in words; empty when all was.
    pub findings: Vec<String>,
}

/// The check under way.
#[derive(Clone, Debug)]
pub(super) struct EngineCheck {
    pub(super) step: CheckStep,
    pub(super) readings: CheckReadings,
    throttle: f64,
    since_s: f64,
    steady_s: f64,
    last_rpm: f64,
    begun_at: [f64; 2],
}

impl EngineCheck {
    pub(super) fn new(place: &str, state: &State) -> EngineCheck {
        EngineCheck {
            step: CheckStep::BrakesOn,
            readings: CheckReadings {
                place: place.to_string(),
                ..CheckReadings::default()
            },
            throttle: 0.0,
            since_s: 0.0,
            steady_s: 0.0,
            last_rpm: state.engine.rpm,
            begun_at: [state.x_m, state.y_m],
        }
    }

    fn go(&mut self, step: CheckStep) {
        self.step = step;
        self.since_s = 0.0;
        self.steady_s = 0.0;
    }

    /// The next position of the controls; `held` carries yoke and pedals.
    pub(super) fn decide(&mut self, plane: &Plane, state: &State, held: Controls, dt_s: f64) -> Controls {
        let rpm = state.engine.rpm;
        let check = &plane.aircraft.engine_check;
        self.since_s += dt_s;
        let steady = (rpm - self.last_rpm).abs() < STEADY_RPM_PER_S * dt_s;
        self.steady_s = if steady { self.steady_s + dt_s } else { 0.0 };
        self.last_rpm = rpm;
        // An engine that dies on one magneto is not watched until it stands still.
        let one_magneto = matches!(self.step, CheckStep::LeftMagneto | CheckStep::RightMagneto);
        let dies = one_magneto && rpm < DIES_BELOW * check.check_rpm;
        let read = self.steady_s > SETTLES_S || self.since_s > MOST_WAIT_S || dies;

        let crept = toeline_model::math::hypot(state.x_m - self.begun_at[0], state.y_m - self.begun_at[1]);
        if crept > MOST_CREEP_M && !matches!(self.step, CheckStep::Idle | CheckStep::Done) {
            self.finding(format!("the brakes do not hold against {rpm:.0} rpm: check broken off"));
            self.go(CheckStep::Done);
        }
        let r = &mut self.readings;
        match self.step {
            CheckStep::BrakesOn if self.since_s > SETTLES_S => self.go(CheckStep::OilWarms),
            CheckStep::OilWarms if state.engine.oil_c >= check.oil_least_c => {
                self.throttle = plane.throttle_for_rpm(check.check_rpm);
                self.go(CheckStep::CheckRpm);
            }
            CheckStep::OilWarms if self.since_s > MOST_WARMING_S => {
                let (oil, least) = (state.engine.oil_c, check.oil_least_c);
                self.finding(format!(
                    "oil at {oil:.0} C after a quarter of an hour, least for high power {least:.0} C"
                ));
                self.go(CheckStep::Idle);
            }
            CheckStep::CheckRpm => {
                let short = check.check_rpm - rpm;
                if (held.throttle - self.throttle).abs() < 1e-9 {
                    self.throttle = (self.throttle + SETS * short * dt_s).clamp(0.0, 1.0);
                }
                if read && (short.abs() < SET_WITHIN_RPM || self.since_s > MOST_WAIT_S) {
                    r.both_rpm = Some(rpm);
                    r.oil_c = Some(state.engine.oil_c);
                    r.oil_kpa = Some(state.engine.oil_kpa);
                    r.suction_kpa = check.suction_kpa.map(|_| state.engine.suction_kpa);
                    self.go(CheckStep::LeftMagneto);
                }
            }
            CheckStep::LeftMagneto if read => {
                r.left_rpm = Some(rpm);
                self.go(CheckStep::BothAfterLeft);
            }
            CheckStep::BothAfterLeft if read => self.go(CheckStep::RightMagneto),
            CheckStep::RightMagneto if read => {
                r.right_rpm = Some(rpm);
                self.go(CheckStep::BothAfterRight);
            }
            CheckStep::BothAfterRight if read => {
                let heat = plane.aircraft.engine.carburettor_heat;
                self.go(if heat {
                    CheckStep::CarburettorHeat
                } else {
                    CheckStep::Idle
                });
            }
            CheckStep::CarburettorHeat if read => {
                r.heat_rpm = Some(rpm);
                self.go(CheckStep::CarburettorCold);
            }
            CheckStep::CarburettorCold if read => self.go(CheckStep::Idle),
            CheckStep::Idle if read => {
                r.idle_rpm = Some(rpm);
                self.judge(plane);
                self.go(CheckStep::Done);
            }
            _ => {}
        }
        let magnetos = match self.step {
            CheckStep::LeftMagneto => MagnetoSwitch::Left,
            CheckStep::RightMagneto => MagnetoSwitch::Right,
            _ => MagnetoSwitch::Both,
        };
        let up = !matches!(
            self.step,
            CheckStep::BrakesOn | CheckStep::OilWarms | CheckStep::Idle | CheckStep::Done
        );
        let wanted = if up { self.throttle } else { 0.0 };
        let most = gains::THROTTLE_PER_S * dt_s;
        Controls {
            throttle: held.throttle + (wanted - held.throttle).clamp(-most, most),
            carburettor_heat: if self.step == CheckStep::CarburettorHeat {
                1.0
            } else {
                0.0
            },
            magnetos,
            parking_brake: true,
            // Never pushed under power: the blast on the tail would take the load off the braked wheels.
            elevator: 0.0,
            ..held
        }
    }

    fn finding(&mut self, text: String) {
        self.readings.findings.push(text);
    }

    /// Compares what was read with the aeroplane's own figures.
    fn judge(&mut self, plane: &Plane) {
        let limits = &plane.aircraft.engine_check;
        let r = self.readings.clone();
        let (Some(both), Some(left), Some(right)) = (r.both_rpm, r.left_rpm, r.right_rpm) else {
            return;
        };
        let mut say = |wrong: bool, text: String| {
            if wrong {
                self.readings.findings.push(text);
            }
        };
        let (short, set) = ((limits.check_rpm - both).abs(), limits.check_rpm);
        say(
            short > 2.0 * SET_WITHIN_RPM,
            format!("{both:.0} rpm set instead of {set:.0}"),
        );
        for (name, drop) in [("left", both - left), ("right", both - right)] {
            let most = limits.magneto_drop_rpm;
            say(
                drop > most,
                format!("{name} magneto drops {drop:.0} rpm, at most {most:.0}"),
            );
            say(
                drop < 1.0,
                format!("{name} magneto drops nothing: is the other one ever off?"),
            );
        }
        let (apart, most) = ((left - right).abs(), limits.magneto_difference_rpm);
        say(
            apart > most,
            format!("magnetos {apart:.0} rpm apart, at most {most:.0}"),
        );
        if let Some(heat) = r.heat_rpm {
            say(heat > both - 1.0, "carburettor heat drops nothing".to_string());
        }
        if let Some(kpa) = r.oil_kpa {
            let [low, high] = limits.oil_pressure_kpa;
            say(
                !(low..=high).contains(&kpa),
                format!("oil pressure {kpa:.0} kPa, range {low:.0} to {high:.0}"),
            );
        }
        if let Some(c) = r.oil_c {
            let most = limits.oil_most_c;
            say(c > most, format!("oil at {c:.0} C, at most {most:.0}"));
        }
        if let (Some(kpa), Some([low, high])) = (r.suction_kpa, limits.suction_kpa) {
            say(
                !(low..=high).contains(&kpa),
                format!("suction {kpa:.1} kPa, range {low:.1} to {high:.1}"),
            );
        }
    }
}

impl CheckReadings {
    /// The readings in one line.
    pub fn say(&self) -> String {
        let rpm = |v: Option<f64>| v.map_or("-".to_string(), |v| format!("{v:.0}"));
        let drop = |v: Option<f64>| match (self.both_rpm, v) {
            (Some(both), Some(one)) => format!("{:.0}", both - one),
            _ => "-".to_string(),
        };
        let mut text = format!(
            "engine check at {}: {} rpm; drop on left {}, on right {}, with carburettor heat {}; idle {}; oil {} C, {} kPa",
            self.place,
            rpm(self.both_rpm),
            drop(self.left_rpm),
            drop(self.right_rpm),
            drop(self.heat_rpm),
            rpm(self.idle_rpm),
            rpm(self.oil_c),
            rpm(self.oil_kpa),
        );
        if let Some(kpa) = self.suction_kpa {
            text += &format!("; suction {kpa:.1} kPa");
        }
        text += if self.findings.is_empty() {
            "; all as it should be"
        } else {
            "; "
        };
        text + &self.findings.join("; ")
    }
}
