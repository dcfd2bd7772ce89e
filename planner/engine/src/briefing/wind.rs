//! What the wind does on a heading: components, quarter and where the controls are held.
//!
//! Rule (nose-wheel aeroplanes, FAA Airplane Flying Handbook, chapter 2, restated in training texts): wind from ahead of
//! abeam: yoke toward the wind, so that the aileron on the wind's side is up, elevator neutral. Wind from behind abeam:
//! yoke away from the wind, so that the aileron on the wind's side is down, elevator down (forward).
//!
//! The published figure has four quarters only. Ours, for the directions between them: exactly abeam as for a headwind;
//! exactly ahead all neutral; exactly behind ailerons neutral and elevator down. Calm and variable: all neutral.

use super::number;
use serde::{Deserialize, Serialize};
use toeline_model::math;
use toeline_model::units::{DEG, knots, round_to};
use toeline_model::{Bearing, Wind};

/// Where the wind is from, as seen from the seat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Quarter {
    /// From straight ahead.
    Ahead,
    /// From ahead and the left.
    LeftHeadwind,
    /// From ahead and the right.
    RightHeadwind,
    /// From the left, exactly abeam.
    LeftAbeam,
    /// From the right, exactly abeam.
    RightAbeam,
    /// From behind and the left.
    LeftTailwind,
    /// From behind and the right.
    RightTailwind,
    /// From straight behind.
    Behind,
}

/// Which way the yoke is turned (or the stick moved).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Yoke {
    /// Left aileron up, right aileron down.
    Left,
    /// Neither.
    Neutral,
    /// Right aileron up, left aileron down.
    Right,
}

/// Where the elevator is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Elevator {
    /// Neutral.
    Neutral,
    /// Down: yoke forward.
    Down,
}

/// The wind on one heading, unrounded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnHeading {
    /// Angle from the nose to where the wind is from, degrees, right positive; `None` when calm or variable.
    pub angle_deg: Option<f64>,
    /// From ahead, knots; negative from behind.
    pub head_kt: f64,
    /// From the right, knots; negative from the left.
    pub cross_from_right_kt: f64,
    /// Quarter; `None` when calm or variable.
    pub quarter: Option<Quarter>,
    /// Yoke.
    pub yoke: Yoke,
    /// Elevator.
    pub elevator: Elevator,
}

/// What a wind does on a heading counted from true north; `declination_deg` is east positive.
pub fn on_heading(wind: &Wind, declination_deg: f64, heading: Bearing) -> OnHeading {
    let from = wind.from_true(declination_deg).filter(|_| wind.speed_mps() > 0.0);
    let Some(from) = from else {
        return OnHeading {
            angle_deg: None,
            head_kt: 0.0,
            cross_from_right_kt: 0.0,
            quarter: None,
            yoke: Yoke::Neutral,
            elevator: Elevator::Neutral,
        };
    };
    let angle_deg = heading.to_deg(from);
    let speed_kt = knots(wind.speed_mps());
    let quarter = quarter(angle_deg);
    let (yoke, elevator) = controls(quarter);
    OnHeading {
        angle_deg: Some(angle_deg),
        head_kt: speed_kt * math::cos(angle_deg * DEG),
        cross_from_right_kt: speed_kt * math::sin(angle_deg * DEG),
        quarter: Some(quarter),
        yoke,
        elevator,
    }
}

/// The quarter of an angle from the nose, degrees, right positive, -180..=180. "Exactly" means to a millionth.
pub fn quarter(angle_deg: f64) -> Quarter {
    let a = round_to(angle_deg, 6);
    let right = a > 0.0;
    match a.abs() {
        0.0 => Quarter::Ahead,
        180.0 => Quarter::Behind,
        90.0 if right => Quarter::RightAbeam,
        90.0 => Quarter::LeftAbeam,
        size if size < 90.0 && right => Quarter::RightHeadwind,
        size if size < 90.0 => Quarter::LeftHeadwind,
        _ if right => Quarter::RightTailwind,
        _ => Quarter::LeftTailwind,
    }
}

/// How the controls are held for a quarter.
pub fn controls(quarter: Quarter) -> (Yoke, Elevator) {
    match quarter {
        Quarter::Ahead => (Yoke::Neutral, Elevator::Neutral),
        Quarter::LeftHeadwind | Quarter::LeftAbeam => (Yoke::Left, Elevator::Neutral),
        Quarter::RightHeadwind | Quarter::RightAbeam => (Yoke::Right, Elevator::Neutral),
        Quarter::LeftTailwind => (Yoke::Right, Elevator::Down),
        Quarter::RightTailwind => (Yoke::Left, Elevator::Down),
        Quarter::Behind => (Yoke::Neutral, Elevator::Down),
    }
}

/// The wind on a leg as it is told, rounded.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WindBriefing {
    /// Heading it is worked out for, degrees true.
    pub heading_true_deg: f64,
    /// Angle from the nose to the wind, degrees, right positive; absent when calm or variable.
    pub from_nose_deg: Option<f64>,
    /// From ahead, knots; negative from behind.
    pub head_kt: f64,
    /// From the right, knots; negative from the left.
    pub cross_from_right_kt: f64,
    /// Quarter; absent when calm or variable.
    pub quarter: Option<Quarter>,
    /// Yoke.
    pub yoke: Yoke,
    /// Elevator.
    pub elevator: Elevator,
    /// One line for the pilot.
    pub say: String,
}

/// Tells the wind on a heading.
pub(crate) fn tell(wind: &Wind, declination_deg: f64, heading: Bearing) -> WindBriefing {
    let w = on_heading(wind, declination_deg, heading);
    WindBriefing {
        heading_true_deg: number::bearing(heading),
        from_nose_deg: w.angle_deg.map(number::degrees),
        head_kt: number::kt(w.head_kt),
        cross_from_right_kt: number::kt(w.cross_from_right_kt),
        quarter: w.quarter,
        yoke: w.yoke,
        elevator: w.elevator,
        say: say(&w),
    }
}

/// Control position in words.
pub(crate) fn control_words(yoke: Yoke, elevator: Elevator, quarter: Option<Quarter>) -> String {
    let tail = matches!(quarter, Some(Quarter::LeftTailwind | Quarter::RightTailwind));
    let ailerons = match (yoke, tail) {
        (Yoke::Neutral, _) => "yoke neutral".to_string(),
        (Yoke::Left, false) => "yoke left (left aileron up)".to_string(),
        (Yoke::Right, false) => "yoke right (right aileron up)".to_string(),
        (Yoke::Left, true) => "yoke left (right aileron down)".to_string(),
        (Yoke::Right, true) => "yoke right (left aileron down)".to_string(),
    };
    let elevator = match elevator {
        Elevator::Neutral => "elevator neutral",
        Elevator::Down => "elevator down (yoke forward)",
    };
    format!("{ailerons}, {elevator}")
}

/// Control position in few words.
pub(crate) fn control_short(yoke: Yoke, elevator: Elevator) -> String {
    let yoke = match yoke {
        Yoke::Left => "yoke left",
        Yoke::Neutral => "yoke neutral",
        Yoke::Right => "yoke right",
    };
    match elevator {
        Elevator::Neutral => format!("{yoke}, elevator neutral"),
        Elevator::Down => format!("{yoke} and forward"),
    }
}

fn say(w: &OnHeading) -> String {
    let (Some(angle), Some(quarter)) = (w.angle_deg, w.quarter) else {
        return "no steady wind: controls neutral".to_string();
    };
    let side = if angle < 0.0 { "left" } else { "right" };
    let whole = angle.abs().round();
    let place = match quarter {
        Quarter::Ahead => "wind on the nose".to_string(),
        Quarter::Behind => "wind from straight behind".to_string(),
        Quarter::LeftAbeam | Quarter::RightAbeam => format!("wind abeam from the {side}"),
        Quarter::LeftHeadwind | Quarter::RightHeadwind => {
            format!("{side} quartering headwind, {whole:.0} deg off the nose")
        }
        Quarter::LeftTailwind | Quarter::RightTailwind => {
            format!("{side} quartering tailwind, {whole:.0} deg off the nose")
        }
    };
    let along = if w.head_kt < 0.0 { "tail" } else { "head" };
    format!(
        "{place} ({along} {:.0} kt, cross {:.0} kt): {}",
        w.head_kt.abs(),
        w.cross_from_right_kt.abs(),
        control_words(w.yoke, w.elevator, w.quarter)
    )
}
