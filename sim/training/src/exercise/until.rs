//! What ends a stage.

use serde::{Deserialize, Serialize};

/// Share of a control's travel that counts as its end (ours).
pub(super) const ENDS_AT: f64 = 0.95;
/// Throttle that counts as full, and as closed (ours).
pub(super) const FULL_FROM: f64 = 0.95;
/// See [`FULL_FROM`].
pub(super) const CLOSED_TO: f64 = 0.05;
/// Toe pressure from which a toe counts as pressed (ours).
pub(super) const TOE: f64 = 0.05;

/// Something that is seen once, from the stored track, the controls and the events.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Until {
    /// Rolled so far along the way, metres.
    PassedM(f64),
    /// The nose wheel is past the place of a stop, by its name, or `check`, or `end`.
    Passed(String),
    /// Stood still.
    Stood(Stood),
    /// The heading has gone so far to the left and so far to the right, degrees.
    TurnedDeg(f64),
    /// Both toes pressed with the throttle closed, and so many knots lost meanwhile.
    SlowedKt(f64),
    /// A reading of the engine check taken: the levers held as it takes for two seconds, standing.
    Reading(Reading),
    /// These controls moved to both ends, standing.
    FullAndFree(Vec<Control>),
    /// Looked there: one of [`crate::attempt::LOOKS`].
    Looked(String),
    /// Said that: one of [`crate::attempt::CALLS`].
    Said(String),
    /// Was told that: one of [`crate::attempt::ANSWERS`].
    Told(String),
    /// Judged the engine check: `fit` or `unfit`.
    Judged(String),
    /// Put a switch to a position.
    Switched(Switched),
    /// The throttle.
    Power(Power),
    /// At least so fast, knots.
    ReachedKt(f64),
    /// At least this share of the speed at which the wing can carry the weight ([`super::lift_off_mps`]).
    LiftOffShare(f64),
    /// Stopped after something broke.
    StoppedAfterFault(StoppedAfterFault),
}

/// Standing still.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stood {
    /// At this stop, by its name, or `check`, or `end`; `None`: anywhere.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// How long, seconds.
    pub for_s: f64,
    /// How near to the stop, metres of way before it; beyond it 0.3 m count as there (ours).
    #[serde(default = "near", skip_serializing_if = "is_near")]
    pub within_m: f64,
}

/// How near before a stop counts as there when nothing is said, metres (ours).
const NEAR_M: f64 = 2.0;

fn near() -> f64 {
    NEAR_M
}

fn is_near(m: &f64) -> bool {
    *m == NEAR_M
}

/// A reading of the engine check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Reading {
    /// Both magnetos at check power.
    CheckRpm,
    /// Left magneto alone at check power.
    LeftMagneto,
    /// Right magneto alone at check power.
    RightMagneto,
    /// Carburettor heat at check power; an engine without it has nothing to read.
    CarburettorHeat,
    /// Throttle closed, after check power.
    Idle,
}

/// A control that has two ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Control {
    /// Yoke left and right.
    Aileron,
    /// Yoke back and forward.
    Elevator,
    /// Pedals.
    Rudder,
}

/// A switch that no input of an attempt holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Switched {
    /// The switch.
    pub switch: String,
    /// Its new position.
    pub to: String,
}

/// Where the throttle is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Power {
    /// All the way forward.
    Full,
    /// All the way back.
    Closed,
}

/// Stopped after something broke.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StoppedAfterFault {
    /// Throttle closed within so many seconds of the fault.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub throttle_closed_within_s: Option<f64>,
    /// Mixture pulled to cut-off after the fault.
    #[serde(default)]
    pub mixture_off: bool,
}

impl Until {
    /// The same in words, for lists and for what was not done.
    pub fn words(&self) -> String {
        match self {
            Until::PassedM(m) => format!("rolled {m} m along the way"),
            Until::Passed(stop) => format!("past {}", stop_words(stop)),
            Until::Stood(Stood { at, for_s, .. }) => match at {
                Some(at) => format!("stood {for_s} s at {}", stop_words(at)),
                None => format!("stood still for {for_s} s"),
            },
            Until::TurnedDeg(deg) => format!("turned {deg} degrees to the left and to the right"),
            Until::SlowedKt(kt) => format!("both brakes pressed with the throttle closed, {kt} kt lost"),
            Until::Reading(reading) => match reading {
                Reading::CheckRpm => "check power read on both magnetos",
                Reading::LeftMagneto => "left magneto read at check power",
                Reading::RightMagneto => "right magneto read at check power",
                Reading::CarburettorHeat => "carburettor heat read at check power",
                Reading::Idle => "idle read after check power",
            }
            .to_string(),
            Until::FullAndFree(list) => {
                let names: Vec<&str> = list
                    .iter()
                    .map(|c| match c {
                        Control::Aileron => "aileron",
                        Control::Elevator => "elevator",
                        Control::Rudder => "rudder",
                    })
                    .collect();
                format!("moved to both ends, standing: {}", names.join(", "))
            }
            Until::Looked(to) => format!("looked to the {to}"),
            Until::Said(what) => format!("said on the radio: {what}"),
            Until::Told(what) => format!("told by the tower: {what}"),
            Until::Judged(what) => format!("the engine judged {what}"),
            Until::Switched(Switched { switch, to }) => format!("{switch} {to}"),
            Until::Power(Power::Full) => "throttle full forward".to_string(),
            Until::Power(Power::Closed) => "throttle closed".to_string(),
            Until::ReachedKt(kt) => format!("{kt} kt reached"),
            Until::LiftOffShare(share) if *share == 1.0 => "lift-off speed reached".to_string(),
            Until::LiftOffShare(share) => format!("{share} of lift-off speed reached"),
            Until::StoppedAfterFault(s) => {
                let mut text = "stopped after the fault".to_string();
                if let Some(within_s) = s.throttle_closed_within_s {
                    text += &format!(", throttle closed within {within_s} s of it");
                }
                if s.mixture_off {
                    text += ", mixture off";
                }
                text
            }
        }
    }

    /// The stop that it names.
    pub fn stop(&self) -> Option<&str> {
        match self {
            Until::Passed(stop) => Some(stop),
            Until::Stood(stood) => stood.at.as_deref(),
            _ => None,
        }
    }

    /// Whether it is seen only while the aeroplane stands.
    pub fn needs_standstill(&self) -> bool {
        matches!(
            self,
            Until::Stood(_) | Until::Reading(_) | Until::FullAndFree(_) | Until::StoppedAfterFault(_)
        )
    }
}

fn stop_words(name: &str) -> String {
    match name {
        "end" => "the end of the way".to_string(),
        "check" => "the place of the engine check".to_string(),
        _ => name.to_string(),
    }
}
