//! The time of day that is wished for; the view draws it.

use bevy::prelude::Resource;

/// How light it is.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TimeOfDay {
    /// Full daylight.
    #[default]
    Day,
    /// The sun is down, the sky is not dark.
    Dusk,
    /// Dark: lights only.
    Night,
}

impl TimeOfDay {
    /// All of them, lightest first.
    pub const ALL: [TimeOfDay; 3] = [TimeOfDay::Day, TimeOfDay::Dusk, TimeOfDay::Night];

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            TimeOfDay::Day => "Day",
            TimeOfDay::Dusk => "Dusk",
            TimeOfDay::Night => "Night",
        }
    }
}
