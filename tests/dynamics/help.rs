//! What these tests share.

use toeline_dynamics::{Air, Controls, Ground, Params, State, step};
use toeline_model::air::AirShape;
use toeline_model::airfield::Surface;
use toeline_model::{Aircraft, Pose, Xy, Yaw, aircraft::catalog};

pub(crate) const CALM: Air = Air {
    wind_from: None,
    wind_mps: 0.0,
    gust: None,
    blast: None,
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
    Ground {
        surface,
        wet,
        ..Ground::default()
    }
}

/// The aeroplane on struts twenty times as stiff: it hardly leans, as the formulas of rigid bodies have it.
pub(crate) fn stiff(p: &Params) -> Params {
    Params {
        strut_n_per_m: p.strut_n_per_m.map(|k| 20.0 * k),
        strut_damping_nspm: p.strut_damping_nspm.map(|c| c * 20.0_f64.sqrt()),
        ..*p
    }
}

/// The aeroplane with a steering linkage that holds the nose wheel straight whatever pushes it.
pub(crate) fn held_straight(p: &Params) -> Params {
    Params {
        linkage_nm_per_rad: 20_000.0,
        linkage_limit_nm: 5_000.0,
        ..*p
    }
}

/// The aeroplane in air that neither lifts nor rolls it: what is left is the drag and side force of the plane motion.
pub(crate) fn without_lift(p: &Params) -> Params {
    let air = AirShape {
        rest_lift: 0.0,
        lift_slope: 0.0,
        tail_area_m2: 0.0,
        elevator_area_m2: 0.0,
        aileron_volume_m3: 0.0,
        dihedral_volume_m3: 0.0,
        ..p.air
    };
    Params { air, ..*p }
}

/// Engine stopped and cut.
pub(crate) fn engine_off(mut state: State) -> (State, Controls) {
    state.engine.rpm = 0.0;
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
