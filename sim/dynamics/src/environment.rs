//! The ground as far as a taxiing aeroplane feels it, and the friction table.

use serde::{Deserialize, Serialize};
use toeline_model::airfield::Surface;

/// What the wheels stand on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ground {
    /// Surface.
    pub surface: Surface,
    /// Whether it is wet.
    pub wet: bool,
    /// How it rises to the east and to the north, metres a metre; 0 when level. Small: a slope's cosine counts as 1.
    #[serde(default, skip_serializing_if = "level")]
    pub rise: [f64; 2],
}

fn level(rise: &[f64; 2]) -> bool {
    *rise == [0.0; 2]
}

impl Default for Ground {
    /// Dry level pavement.
    fn default() -> Ground {
        Ground {
            surface: Surface::Paved,
            wet: false,
            rise: [0.0; 2],
        }
    }
}

impl Ground {
    /// Greatest friction of a tyre in any direction, as a share of its load.
    ///
    /// Dry pavement 0.7: the usual figure for a sound tyre, from memory; 14 CFR 25.493 designs brakes for 0.8, and
    /// performance programs count on 0.3 to 0.5 (light braking by a careful pilot, not the tyre's limit). Hard turf 0.4,
    /// firm dirt 0.3, wet grass 0.2: Raymer, *Aircraft Design*, take-off analysis, from memory. Wet pavement 0.4: above
    /// Raymer's 0.15 to 0.3 for wet concrete, which again is what performance counts on; ours. Wet loose ground 0.25 and water
    /// 0.1: ours. Ice 0.08: the middle of Raymer's 0.06 to 0.10, wet or not, from memory. Untagged ground counts as pavement.
    pub fn friction(&self) -> f64 {
        match (self.surface, self.wet) {
            (Surface::Paved | Surface::Unknown, false) => 0.7,
            (Surface::Paved | Surface::Unknown, true) => 0.4,
            (Surface::Grass, false) => 0.4,
            (Surface::Grass, true) => 0.2,
            (Surface::Loose, false) => 0.3,
            (Surface::Loose, true) => 0.25,
            (Surface::Ice, _) => 0.08,
            (Surface::Water, _) => 0.1,
        }
    }

    /// Rolling resistance as a share of the load.
    ///
    /// Pavement 0.04: the middle of the 0.03 to 0.05 that Raymer, *Aircraft Design*, gives for dry concrete (from memory;
    /// Mason's note below has 0.02, motor-car tyres 0.008). Short dry grass 0.05: Raymer's hard turf, and notes in a
    /// published take-off program's input file (Mason, Virginia Tech, 1997). Wet grass 0.08: Raymer. Wet loose ground 0.06:
    /// Moyer, in Marks' Handbook (motor-car tyres); dry 0.05: ours, between that and the 0.04 of both others for firm
    /// gravel and dirt. Ice 0.02: Raymer. Water 0.3: the upper end of Mason's soft ground.
    pub fn rolling(&self) -> f64 {
        match (self.surface, self.wet) {
            (Surface::Paved | Surface::Unknown, _) => 0.04,
            (Surface::Ice, _) => 0.02,
            (Surface::Grass, false) => 0.05,
            (Surface::Grass, true) => 0.08,
            (Surface::Loose, false) => 0.05,
            (Surface::Loose, true) => 0.06,
            (Surface::Water, _) => 0.3,
        }
    }
}
