//! The model pilot finds what is broken, gives up where a pilot would, and is not tuned to one aeroplane or one surface.

use crate::pilot_watch::{Limits, Seen, planned, way};
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::faults::BrakeFault;
use toeline_dynamics::{Controls, End, Faults, Ground, Params, State, step};
use toeline_engine::Plan;
use toeline_model::aircraft::catalog;
use toeline_model::airfield::Surface;
use toeline_model::units::KNOT_MPS;
use toeline_model::{DrivenPath, Pose, Yaw, frame::xy};
use toeline_training::Environment;
use toeline_training::journey::environment;
use toeline_training::pilot::{Doing, Pilot, Task};

/// Drives a plan in an aeroplane that is not quite the one the pilot knows. Gives the pilot, the last state and what was
/// seen of it.
fn drive(plan: &Plan, ground: Ground, change: impl FnOnce(&mut Params)) -> (Pilot, State, Seen, Vec<Controls>) {
    let aircraft = &plan.request.aircraft;
    let Environment { air, .. } = environment(plan, way(plan));
    let task = Task::of(plan, way(plan));
    let mut params = Params::from_aircraft(aircraft);
    change(&mut params);
    let mut state = State::parked(&params, task.path.pose_at(task.from_m));
    let (mut seen, mut pilot) = (Seen::new(aircraft, &task), Pilot::new(aircraft, task));
    let mut held = Vec::new();
    for _ in 0..240 * 900 {
        let controls = pilot.next(&state);
        state = step(&params, &ground, &air, &state, &controls);
        seen.look(&controls, &state);
        held.push(controls);
        let over = matches!(pilot.doing(), Doing::Arrived | Doing::GaveUp(_));
        if over && state.speed_mps() < 0.01 || state.end != End::No {
            break;
        }
    }
    (pilot, state, seen, held)
}

fn faulty(faults: Faults) -> (Pilot, State, Vec<Controls>) {
    let plan = planned("trainer-high-2", "5", "W", "08", "calm").unwrap();
    let (pilot, state, _, held) = drive(&plan, Ground::default(), |p| p.faults = faults);
    (pilot, state, held)
}

fn gave_up(pilot: &Pilot) -> &str {
    match pilot.doing() {
        Doing::GaveUp(why) => why,
        other => panic!(
            "it did not give up: {other:?}, {:?}, {:?}",
            pilot.brake_reading(),
            pilot.readings()
        ),
    }
}

#[test]
fn a_bad_brake_shows_in_the_first_metres() {
    for (brake, said) in [
        ([BrakeFault::Failed, BrakeFault::None], "right: the left brake is weak"),
        ([BrakeFault::None, BrakeFault::Failed], "left: the right brake is weak"),
        ([BrakeFault::Weak, BrakeFault::None], "right: the left brake is weak"),
        ([BrakeFault::Failed, BrakeFault::Failed], "the brakes slow it by"),
    ] {
        let (pilot, _, _) = faulty(Faults {
            brake,
            ..Faults::default()
        });
        assert!(gave_up(&pilot).contains(said), "{brake:?}: {:?}", pilot.doing());
        let at_m = pilot.brake_reading().unwrap().at_m;
        assert!(at_m < 5.0, "{brake:?}: checked only {at_m} m along");
        assert!(pilot.stops_made().is_empty());
    }
}

#[test]
fn a_bad_magneto_shows_in_the_engine_check() {
    let (off, on) = ([false, false], [true, false]);
    for (fouled_plug, dead_magneto, live_magneto, said) in [
        (on, off, off, "left magneto drops"),
        (off, on, off, "left magneto drops"),
        // The left one cannot be switched off: no drop with the right one selected.
        (off, off, on, "right magneto drops nothing"),
    ] {
        let faults = Faults {
            fouled_plug,
            dead_magneto,
            live_magneto,
            ..Faults::default()
        };
        let (pilot, state, _) = faulty(faults);
        assert!(gave_up(&pilot).contains(said), "{faults:?}: {:?}", pilot.doing());
        assert_eq!(pilot.stops_made().len(), 1, "it stays where the check was made");
        assert!(state.speed_mps() < 0.01);
    }
}

/// Brakes on, check rpm, left, both, right, both, carburettor heat, cold, idle: in that order, standing all the while.
#[test]
fn the_engine_check_goes_one_thing_after_the_other() {
    let (pilot, _, held) = faulty(Faults::default());
    assert_eq!(*pilot.doing(), Doing::Arrived);
    let check: Vec<&Controls> = held.iter().filter(|c| c.parking_brake).collect();
    let mut order: Vec<(MagnetoSwitch, bool)> = check.iter().map(|c| (c.magnetos, c.carburettor_heat > 0.5)).collect();
    order.dedup();
    use MagnetoSwitch::{Both, Left, Right};
    let expected = [
        (Both, false),
        (Left, false),
        (Both, false),
        (Right, false),
        (Both, false),
        (Both, true),
        (Both, false),
    ];
    assert_eq!(order, expected);
    // The lever does not move from the first magneto to the last.
    let alone: Vec<f64> = check
        .iter()
        .filter(|c| c.magnetos != Both)
        .map(|c| c.throttle)
        .collect();
    assert!(alone.len() > 480 && alone.iter().all(|t| *t == alone[0] && *t > 0.3));
    // Outside the check both magnetos, no heat.
    assert!(
        held.iter()
            .filter(|c| !c.parking_brake)
            .all(|c| c.magnetos == Both && c.carburettor_heat == 0.0)
    );
}

/// Heavier by 8 per cent, a tenth less thrust, a propeller that yaws more, and ground that rolls harder or is slippery:
/// the pilot knows nothing of it and is held to the same figures.
#[test]
fn another_aeroplane_and_other_ground_make_no_difference() {
    for aircraft in catalog::all() {
        let from = if aircraft.wing.span_m > 12.0 { "1" } else { "H4" };
        let plan = planned(&aircraft.id, from, "E", "26", "165/10T").unwrap();
        for (surface, wet) in [(Surface::Grass, false), (Surface::Paved, true)] {
            let ground = Ground {
                surface,
                wet,
                ..Ground::default()
            };
            let (pilot, _, seen, _) = drive(&plan, ground, |p| {
                p.mass_kg *= 1.08;
                p.static_thrust_n *= 0.9;
                p.slipstream_lever_m += 0.08;
            });
            let told = format!("{} on {surface:?}, wet {wet}", aircraft.id);
            println!("{told}: {}", seen.say());
            assert_eq!(*pilot.doing(), Doing::Arrived, "{told}");
            seen.hold_to(&told, &Limits::default());
        }
    }
}

/// 20 kt across the taxiway, more than either is flown in: apron speed, and a brake against the weathervaning.
#[test]
fn strong_wind_is_taxied_slowly() {
    for id in ["trainer-high-2", "motorglider-15"] {
        let plan = planned(id, "1", "E", "26", "165/20T").unwrap();
        let (pilot, _, seen, _) = drive(&plan, Ground::default(), |_| {});
        println!("{id}: {}", seen.say());
        assert_eq!(*pilot.doing(), Doing::Arrived, "{id}");
        assert!(seen.most_off_between(0.0, f64::INFINITY) < 0.5, "{id}: {}", seen.say());
        assert!(seen.hottest_c < 200.0, "{id}: {}", seen.say());
        let apron_mps = plan.request.aircraft.taxi.apron_kt * KNOT_MPS;
        assert!(seen.fastest_mps < apron_mps + 0.5, "{id}: {}", seen.say());
    }
}

#[test]
fn it_ends_before_what_is_pushed_by_hand_and_stands_where_there_is_nothing_to_drive() {
    let aircraft = catalog::find("trainer-high-2").unwrap();
    let heading = Yaw::from_rad(0.0);
    let mut path = DrivenPath::new(
        aircraft.gear.wheelbase_m,
        Pose {
            nose: xy(0.0, 0.0),
            heading_rad: heading,
        },
    );
    assert_eq!(
        *Pilot::new(&aircraft, Task::along(path.clone(), &aircraft)).doing(),
        Doing::Arrived
    );
    path.straight(heading, 30.0, 0);
    path.push_back(5.0, 0);
    let task = Task::along(path, &aircraft);
    assert_eq!((task.stops.len(), task.stops[0].at_m), (1, 30.0));
}
