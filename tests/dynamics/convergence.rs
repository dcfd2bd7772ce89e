//! Shorter ticks lead to one limit, and the tick in use is near it.

use crate::help::{CALM, ground, plane, pose};
use toeline_dynamics::{Controls, Params, State, advance};
use toeline_model::Xy;
use toeline_model::airfield::Surface;

/// Five seconds of weaving with a dab of brake; the controls go with time, not with ticks.
fn weave(p: &Params, per_second: u32) -> Xy {
    let dt = 1.0 / f64::from(per_second);
    let mut state = State::rolling(p, pose(0.0), 5.0);
    for tick in 0..per_second * 5 {
        let t = f64::from(tick) * dt;
        let controls = Controls {
            rudder: 0.6 * (1.7 * t).sin(),
            left_brake: 0.3 * (t - 2.0).clamp(0.0, 0.5),
            throttle: 0.2,
            ..Controls::default()
        };
        state = advance(p, &ground(Surface::Paved, false), &CALM, &state, &controls, dt);
    }
    state.pose(p).nose
}

#[test]
fn halving_the_tick_halves_the_error() {
    for id in ["trainer-high-2", "tourer-low-4", "caster-low-2"] {
        let p = plane(id);
        let limit = weave(&p, 240 * 64);
        let errors: Vec<f64> = [240, 480, 960, 1920]
            .iter()
            .map(|n| weave(&p, *n).distance(limit))
            .collect();
        println!("{id}: errors after 5 s and 25 m {errors:.5?} m");
        for pair in errors.windows(2) {
            assert!(pair[1] < 0.65 * pair[0], "{id}: {errors:?}");
        }
        assert!(errors[0] < 0.1, "{id}: {} m off at the tick in use", errors[0]);
    }
}
