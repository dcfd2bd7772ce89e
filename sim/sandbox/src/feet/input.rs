//! The eight things that hands and feet move, and the keys that move each of them.

use crate::keys::Action;
use serde::{Deserialize, Serialize};

/// One of the eight inputs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Input {
    /// Rudder pedals as one bar: -1 left foot fully forward to 1 right foot fully forward.
    Rudder,
    /// Left toe brake, 0..=1.
    LeftBrake,
    /// Right toe brake, 0..=1.
    RightBrake,
    /// Control column to the side: -1 left to 1 right.
    Aileron,
    /// Control column along: -1 forward to 1 back.
    Elevator,
    /// Throttle, 0 closed to 1 open.
    Throttle,
    /// Mixture, 0 lean to 1 rich.
    Mixture,
    /// Carburettor heat, 0 cold to 1 hot.
    CarburettorHeat,
}

impl Input {
    /// All of them, in the order of the screens.
    pub const ALL: [Input; 8] = [
        Input::Rudder,
        Input::LeftBrake,
        Input::RightBrake,
        Input::Aileron,
        Input::Elevator,
        Input::Throttle,
        Input::Mixture,
        Input::CarburettorHeat,
    ];

    /// Its name on the screens.
    pub fn words(self) -> &'static str {
        match self {
            Input::Rudder => "rudder",
            Input::LeftBrake => "left brake",
            Input::RightBrake => "right brake",
            Input::Aileron => "aileron",
            Input::Elevator => "elevator",
            Input::Throttle => "throttle",
            Input::Mixture => "mixture",
            Input::CarburettorHeat => "carburettor heat",
        }
    }

    /// What a positive value means, where the name does not say it.
    pub fn positive(self) -> &'static str {
        match self {
            Input::Rudder => "right foot forward",
            Input::Aileron => "column right",
            Input::Elevator => "column back",
            Input::Mixture => "rich",
            Input::CarburettorHeat => "hot",
            _ => "more",
        }
    }

    /// Whether it has a middle, with values from -1 to 1; the others go from 0 to 1.
    pub fn has_middle(self) -> bool {
        matches!(self, Input::Rudder | Input::Aileron | Input::Elevator)
    }

    /// The least value, -1 or 0.
    pub fn least(self) -> f64 {
        if self.has_middle() { -1.0 } else { 0.0 }
    }

    /// The key actions that move it down and up; brakes let go by themselves.
    pub fn actions(self) -> (Option<Action>, Action) {
        match self {
            Input::Rudder => (Some(Action::LeftPedal), Action::RightPedal),
            Input::LeftBrake => (None, Action::LeftToe),
            Input::RightBrake => (None, Action::RightToe),
            Input::Aileron => (Some(Action::ColumnLeft), Action::ColumnRight),
            Input::Elevator => (Some(Action::ColumnForward), Action::ColumnBack),
            Input::Throttle => (Some(Action::ThrottleClose), Action::ThrottleOpen),
            Input::Mixture => (Some(Action::MixtureLeaner), Action::MixtureRicher),
            Input::CarburettorHeat => (Some(Action::HeatLess), Action::HeatMore),
        }
    }
}
