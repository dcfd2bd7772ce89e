//! How much is drawn. For a weak graphics card, or none, the lowest level leaves every costly thing out; what a pilot has to
//! see (paint, signs, lights, obstacles, aeroplanes) is there at every level.

use bevy::prelude::*;

/// Level of detail.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum Quality {
    /// No smoothed edges, no cast shadows, no grain on the ground, plain trees, few edge lights.
    Low,
    /// Smoothed edges where a graphics card draws, grain, full trees, all edge lights.
    #[default]
    Medium,
    /// The same, with shadows cast by the sun.
    High,
}

impl Quality {
    /// Whether edges may be smoothed without being asked for.
    pub fn smooth_edges(self) -> bool {
        self != Quality::Low
    }

    /// Whether the sun casts shadows by a map of depths.
    pub fn shadows(self) -> bool {
        self == Quality::High
    }

    /// Whether the ground is grained.
    pub fn grain(self) -> bool {
        self != Quality::Low
    }

    /// Sides of a tree's crown and of its trunk.
    pub fn tree_sides(self) -> usize {
        match self {
            Quality::Low => 4,
            Quality::Medium => 8,
            Quality::High => 12,
        }
    }

    /// Metres between taxiway edge lights on a straight; ICAO Annex 14 5.3.18 asks for 60 at most (from memory).
    pub fn edge_light_spacing_m(self) -> f64 {
        match self {
            Quality::Low => 60.0,
            Quality::Medium | Quality::High => 30.0,
        }
    }
}
