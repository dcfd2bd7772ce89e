//! Looks at what the parts touch, per second on one core. Asserts a way without contact: a fast wrong answer is worth nothing.

use std::time::Instant;
use toeline_dynamics::contacts::{Body, Look};
use toeline_dynamics::{Params, State};
use toeline_engine::plan;
use toeline_engine::planning::Outcome;
use toeline_model::Pose;
use toeline_training::surroundings;

/// Looks at every tick's length of the demo way at 10 m/s, past everything that stands there.
#[allow(clippy::print_stdout)]
fn main() {
    let request = toeline_tests::request("trainer-high-2", "4", &["E"], "26", "calm");
    let plan = plan(&toeline_tests::demo_field(), &request).expect("a plan");
    let Outcome::Way(way) = &plan.outcome else {
        panic!("no way")
    };
    let (p, body) = (Params::from_aircraft(&request.aircraft), Body::of(&request.aircraft));
    let around = surroundings::of(&plan, way);
    let path = &way.route.path;
    let poses: Vec<Pose> = (0..(path.length_m() * 24.0) as usize)
        .map(|i| path.pose_at(i as f64 / 24.0))
        .collect();
    let mut look = Look::new(&body);
    let began = Instant::now();
    for pose in &poses {
        around.look(&body, &p, &State::parked(&p, *pose), [0.0; 3], &mut look);
        assert!(look.touches.is_empty(), "{:?}", look.touches);
    }
    let seconds = began.elapsed().as_secs_f64();
    println!(
        "look: {} looks in {seconds:.3} s on one core: {:.0} looks/s among {} things",
        poses.len(),
        poses.len() as f64 / seconds,
        around.thing_count()
    );
}
