//! What these tests share.

use toeline_dynamics::{Air, Ground, Params, State};
use toeline_model::airfield::Surface;
use toeline_model::{Aircraft, Bearing, Pose, Xy, Yaw, aircraft::catalog};
use toeline_training::{Attempt, Script, run_script};

pub(crate) const WEAVE: &str = "
# out, a turn by pedal and inside brake, a stop
at 0     throttle 0.45
at 400   rudder -0.333333333333333315
at 700   rudder -1 left_brake 0.35
at 1100  rudder 0.1 left_brake 0 throttle 0.1
at 1500  left_brake 1 right_brake 1 throttle 0
at 2300  parking_brake on mixture 0
end 2600
";

pub(crate) fn aeroplane() -> Aircraft {
    catalog::find("tourer-high-4").expect("built in")
}

pub(crate) fn start(aircraft: &Aircraft) -> State {
    let pose = Pose {
        nose: Xy { x: 100.1, y: -7.3 },
        heading_rad: Yaw::from_rad(2.0),
    };
    State::parked(&Params::from_aircraft(aircraft), pose)
}

pub(crate) fn air() -> Air {
    Air {
        wind_from: Some(Bearing::from_deg(200.0)),
        wind_mps: 4.1,
        ..Air::default()
    }
}

pub(crate) fn dry() -> Ground {
    Ground {
        surface: Surface::Paved,
        wet: false,
        ..Ground::default()
    }
}

pub(crate) fn driven() -> Attempt {
    let aircraft = aeroplane();
    let script = Script::parse(WEAVE).expect("the script is sound");
    run_script(&aircraft, dry(), air(), &start(&aircraft), &script)
}
