//! Pushing and pulling by hand with a tow bar.
//!
//! Source of the radii: R = L/tan δ, standards D1; of the forces: statics.

use crate::help::{CALM, drive, engine_off, fleet, ground, pose};
use toeline_dynamics::{Controls, NOSE, Params, State, TowBar, step};
use toeline_model::airfield::Surface;
use toeline_model::units::{DEG, G_MPS2};
use toeline_model::{math, turning};

fn bar(pull_n: f64, angle_deg: f64) -> Controls {
    let (_, off) = engine_off(State::parked(&fleet()[0].1, pose(0.0)));
    Controls {
        tow_bar: Some(TowBar {
            pull_n,
            angle_rad: angle_deg * DEG,
        }),
        ..off
    }
}

fn parked(p: &Params) -> State {
    engine_off(State::parked(p, pose(0.0))).0
}

#[test]
fn people_move_it_when_they_pull_harder_than_it_rolls_and_back_it_goes_the_same_way() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet() {
        let rolls = on.rolling() * p.mass_kg * G_MPS2;
        if 1.3 * rolls > 600.0 {
            // Too heavy for two people; the bar gives no more than that.
            let end = drive(&p, &on, parked(&p), &bar(5000.0, 0.0), 480);
            let most = 600.0 / p.mass_kg * 2.0;
            assert!(end.forward_mps < most, "{}: {} m/s", a.id, end.forward_mps);
            continue;
        }
        // It rocks on its struts when the bar takes hold; then it stands.
        let still = drive(&p, &on, parked(&p), &bar(0.9 * rolls, 0.0), 2400);
        assert!(
            still.speed_mps() < 1e-6 && still.x_m - parked(&p).x_m < 0.01,
            "{}: {still:?}",
            a.id
        );
        for way in [1.0, -1.0] {
            let end = drive(&p, &on, parked(&p), &bar(way * 1.3 * rolls, 0.0), 960);
            // Four seconds at (1.3 - 1) of its rolling resistance, wheels' inertia and the struts' swing apart.
            let want = 0.3 * on.rolling() * G_MPS2 * 4.0;
            assert!(
                (end.forward_mps * way / want - 1.0).abs() < 0.1,
                "{}: {} m/s, want {want}",
                a.id,
                end.forward_mps
            );
        }
    }
}

#[test]
fn the_bar_turns_the_nose_wheel_further_than_the_pedals_and_it_follows_the_geometry() {
    let on = ground(Surface::Paved, false);
    for (a, p) in fleet().into_iter().filter(|(_, p)| p.mass_kg < 900.0) {
        let angle_deg = (p.caster_stop_rad / DEG - 3.0).min(40.0);
        assert!(angle_deg * DEG > p.pedal_limit_rad);
        let rolls = on.rolling() * p.mass_kg * G_MPS2;
        let pull = bar(-1.25 * rolls, angle_deg);
        let mut state = drive(&p, &on, parked(&p), &pull, 720);
        // The line that the middle of the axle goes on, from the turn of the body and its speed there.
        let before = state.pose(&p);
        for _ in 0..120 {
            state = step(&p, &on, &CALM, &state, &pull);
        }
        let after = state.pose(&p);
        let way = before.axle(p.wheelbase_m).distance(after.axle(p.wheelbase_m));
        let turned = before.heading_rad.to_rad(after.heading_rad);
        let radius = way / turned.abs();
        let want = turning::axle_radius_m(p.wheelbase_m, state.nose_wheel_rad).abs();
        println!(
            "{}: bar at {angle_deg:.0} deg, wheel at {:.1}, R {radius:.3} m",
            a.id,
            state.nose_wheel_rad / DEG
        );
        assert!(
            (state.nose_wheel_rad / DEG - angle_deg).abs() < 2.5,
            "{}: {}",
            a.id,
            state.nose_wheel_rad / DEG
        );
        assert!(
            turned < 0.0 && state.forward_mps < 0.0,
            "{}: pushed back, nose to the right",
            a.id
        );
        // People pull along the wheel, the resistance acts along the body: the difference across is for the nose tyre, which
        // slips by pull·tan δ over its stiffness. 1 per cent for the inertia of a body that gathers speed, ours.
        let c = math::cos(state.nose_wheel_rad);
        let slack = 1.25 * rolls / (p.tyre_per_load[NOSE] * state.load_n[NOSE] * c * c) + 0.01;
        assert!(
            (radius / want - 1.0).abs() < slack,
            "{}: {radius} m, L/tan δ {want} m, slack {slack}",
            a.id
        );
    }
}

#[test]
fn nobody_holds_a_bar_before_a_turning_propeller() {
    let on = ground(Surface::Grass, true);
    for (a, p) in fleet() {
        let running = State::parked(&p, pose(0.0));
        let with = Controls {
            tow_bar: bar(600.0, 20.0).tow_bar,
            ..Controls::default()
        };
        let (one, other) = (
            drive(&p, &on, running, &with, 480),
            drive(&p, &on, running, &Controls::default(), 480),
        );
        assert_eq!(one, other, "{}", a.id);
    }
}
