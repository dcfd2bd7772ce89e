//! What the hands do to the engine.

use serde::{Deserialize, Serialize};

/// Mixture below which the engine stops.
pub const MIXTURE_CUT: f64 = 0.05;

/// The magneto switch, in the order of its positions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MagnetoSwitch {
    /// Both magnetos earthed.
    Off,
    /// The right one alone.
    Right,
    /// The left one alone.
    Left,
    /// Both.
    #[default]
    Both,
}

impl MagnetoSwitch {
    /// Whether the switch lets the left and the right magneto spark.
    pub fn selects(self) -> [bool; 2] {
        [
            matches!(self, MagnetoSwitch::Left | MagnetoSwitch::Both),
            matches!(self, MagnetoSwitch::Right | MagnetoSwitch::Both),
        ]
    }
}

/// Positions of the engine's controls.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EngineControls {
    /// Throttle, 0 (idle) to 1 (full).
    pub throttle: f64,
    /// Mixture, 0 (cut) to 1 (rich).
    pub mixture: f64,
    /// Carburettor heat, 0 (cold) to 1 (hot).
    pub carburettor_heat: f64,
    /// Magneto switch.
    pub magnetos: MagnetoSwitch,
    /// Starter engaged.
    pub starter: bool,
}

impl Default for EngineControls {
    /// Idle, rich, cold, both magnetos, starter off.
    fn default() -> EngineControls {
        EngineControls {
            throttle: 0.0,
            mixture: 1.0,
            carburettor_heat: 0.0,
            magnetos: MagnetoSwitch::Both,
            starter: false,
        }
    }
}

impl EngineControls {
    /// Every lever inside 0 to 1; one that is no number stands where [`EngineControls::default`] has it.
    pub fn clamped(self) -> EngineControls {
        let neutral = EngineControls::default();
        let lever = |value: f64, neutral: f64| if value.is_nan() { neutral } else { value.clamp(0.0, 1.0) };
        EngineControls {
            throttle: lever(self.throttle, neutral.throttle),
            mixture: lever(self.mixture, neutral.mixture),
            carburettor_heat: lever(self.carburettor_heat, neutral.carburettor_heat),
            ..self
        }
    }
}
