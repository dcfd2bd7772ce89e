//! Steps per second on one core, against the ray-cast vehicle of a general physics engine on the same controls in the same
//! run. Both answers are checked before the time is told: a fast wrong answer is worth nothing.
//!
//! `cargo bench -p toeline-tests --bench step --features peer`; without the feature the step is timed alone.

#![allow(clippy::print_stdout)]

#[path = "../dynamics/golden_drive.rs"]
mod golden_drive;
#[cfg(feature = "peer")]
mod ray_cast_vehicle;

use golden_drive::{GOLDEN, TICKS};
use std::sync::LazyLock;
use std::time::Instant;

static BEGAN: LazyLock<Instant> = LazyLock::new(Instant::now);

/// Seconds that a core has worked for this program, where the system tells (Linux: nanoseconds, first of schedstat), or
/// else on the clock: other programs must not count.
fn core_s() -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let worked_ns = told.and_then(|text| text.split(' ').next()?.parse::<f64>().ok());
    worked_ns.map_or_else(|| BEGAN.elapsed().as_secs_f64(), |ns| ns / 1e9)
}

/// Rounds; ours and the peer's take turns.
const ROUNDS: usize = 9;

/// Steps per second of ours in one round.
fn ours() -> f64 {
    let began = core_s();
    let (hash, ends) = golden_drive::drive();
    let seconds = core_s() - began;
    assert_eq!(hash, GOLDEN, "got {hash:#018x}");
    (TICKS * ends.len() as u64) as f64 / seconds
}

/// Steps per second of the peer in one round: the same controls, one aeroplane's numbers.
#[cfg(feature = "peer")]
fn theirs() -> f64 {
    use toeline_dynamics::{Params, TICK_S};
    let aircraft = toeline_model::aircraft::catalog::find("trainer-high-2").expect("built in");
    let p = Params::from_aircraft(&aircraft);
    let mut vehicle = ray_cast_vehicle::Vehicle::new(&p, TICK_S);
    let (mut way_m, mut last) = (0.0, vehicle.stands().0);
    let began = core_s();
    for second in 0..TICKS / 240 {
        for tick in second * 240..(second + 1) * 240 {
            vehicle.step(&golden_drive::controls(tick));
        }
        let (at, _, upright) = vehicle.stands();
        assert!(upright > 0.98, "the peer leans after {second} s: {upright}");
        way_m += (at[0] - last[0]).hypot(at[2] - last[2]);
        last = at;
    }
    let seconds = core_s() - began;
    let (at, speed, _) = vehicle.stands();
    assert!(way_m > 20.0, "the peer went {way_m} m");
    assert!(speed < 0.05, "the peer does {speed} m/s on its parking brake");
    assert!(
        (f64::from(at[1]) - p.cg_height_m).abs() < 0.05,
        "the peer stands at {at:?}"
    );
    TICKS as f64 / seconds
}

fn median(mut all: Vec<f64>) -> f64 {
    all.sort_by(f64::total_cmp);
    all[all.len() / 2]
}

fn main() {
    let mut rates = Vec::new();
    #[cfg(feature = "peer")]
    let (mut peers, mut ratios) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        let rate = ours();
        rates.push(rate);
        #[cfg(feature = "peer")]
        {
            let peer = theirs();
            peers.push(peer);
            ratios.push(rate / peer);
        }
    }
    let rate = median(rates);
    println!(
        "step: {rate:.0} steps a core-second, {:.0} simulated seconds a core-second (median of {ROUNDS} rounds)",
        rate / 240.0
    );
    #[cfg(feature = "peer")]
    println!(
        "step: rapier's ray-cast vehicle with three wheels {:.0} steps a core-second; ours {:.1} times that (median ratio)",
        median(peers),
        median(ratios)
    );
    #[cfg(not(feature = "peer"))]
    println!("step: peer not built: add --features peer");
}
