//! What these tests share.

use toeline_dynamics::{Air, Controls, Ground, Params, State, step};
use toeline_model::airfield::Surface;
use toeline_model::{Aircraft, Pose, Xy, Yaw, aircraft::catalog};

pub(crate) const CALM: Air = Air {
    wind_from: None,
    wind_mps: 0.0,
};

pub(crate) fn fleet() -> Vec<(Aircraft, Params)> {
    let fleet: Vec<_> = catalog::all()
        .into_iter()
        .map(|a| (Params::from_aircraft(&a), a))
        .map(|(p, a)| (a, p))
        .collect();
    assert_eq!(fleet.len(), catalog::file_count());
    fleet
}

pub(crate) fn plane(id: &str) -> Params {
    Params::from_aircraft(&catalog::find(id).unwrap_or_else(|| panic!("no aeroplane {id}")))
}

pub(crate) fn pose(heading_rad: f64) -> Pose {
    Pose {
        nose: Xy { x: 3.0, y: -2.0 },
        heading_rad: Yaw::from_rad(heading_rad),
    }
}

pub(crate) fn ground(surface: Surface, wet: bool) -> Ground {
    Ground { surface, wet }
}

/// Engine stopped and cut.
pub(crate) fn engine_off(mut state: State) -> (State, Controls) {
    state.rpm = 0.0;
    (
        state,
        Controls {
            mixture: 0.0,
            ..Controls::default()
        },
    )
}

pub(crate) fn drive(p: &Params, ground: &Ground, mut state: State, controls: &Controls, ticks: usize) -> State {
    for _ in 0..ticks {
        state = step(p, ground, &CALM, &state, controls);
    }
    state
}
