//! The air that the body meets at a tick. Its loads are the model's (`toeline_model::air`), which the planner's margins in
//! wind use too.

use crate::{Air, Params, State};
use toeline_model::air::{AirFlow, AirLoad, Surfaces};

/// Velocity of the air over the ground at the aeroplane, in body axes, m/s: wind with its gust, and another's blast.
pub(crate) fn wind_on_body(air: &Air, state: &State, cos: f64, sin: f64, time_s: f64) -> [f64; 2] {
    let wind = air.velocity_at(state.x_m, state.y_m, time_s);
    [wind.x * cos + wind.y * sin, wind.y * cos - wind.x * sin]
}

/// Loads for the body's velocity through the air (m/s, body axes), its attitude and rates, the surfaces and the thrust.
pub(crate) fn air_load(p: &Params, through: [f64; 2], state: &State, held: &Surfaces, thrust_n: f64) -> AirLoad {
    let flow = AirFlow {
        through_mps: through,
        pitch_rad: state.pitch_rad,
        yaw_radps: state.yaw_radps,
        pitch_radps: state.pitch_radps,
        roll_radps: state.roll_radps,
    };
    toeline_model::air::air_load(&p.air, p.cg_height_m, &flow, held, thrust_n)
}
