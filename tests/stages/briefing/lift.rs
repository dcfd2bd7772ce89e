//! The margin before the wind lifts a wheel, as it is told. The physics is in `tests/dynamics/lift.rs`.

use super::{sample, way};
use toeline_engine::briefing::wind::{Quarter, controls, quarter};
use toeline_engine::briefing::{self, LIFT_LOOKED_TO_KT, LiftBriefing, held_right, held_wrong};
use toeline_model::Bearing;
use toeline_model::air::{OnWheels, first_lift};
use toeline_model::units::{KNOT_MPS, knots};

fn lifts(wind: &str) -> Vec<LiftBriefing> {
    let b = briefing::brief(&sample::plan("4", wind));
    way(&b).legs.iter().filter_map(|l| l.lift.clone()).collect()
}

#[test]
fn right_is_the_published_rule_and_wrong_turns_every_part_of_it_round() {
    use Quarter::*;
    for q in [
        Ahead,
        LeftHeadwind,
        RightHeadwind,
        LeftAbeam,
        RightAbeam,
        LeftTailwind,
        RightTailwind,
        Behind,
    ] {
        let (right, wrong) = (held_right(q), held_wrong(q));
        let (yoke, elevator) = controls(q);
        assert_eq!(
            right.elevator,
            if elevator == briefing::wind::Elevator::Down {
                1.0
            } else {
                0.0
            }
        );
        assert_eq!(wrong.aileron, -right.aileron, "{q:?}");
        assert_ne!(wrong.elevator, right.elevator, "{q:?}");
        assert_eq!((right.rudder, wrong.rudder), (0.0, 0.0));
        assert_eq!(yoke == briefing::wind::Yoke::Neutral, right.aileron == 0.0);
    }
    // In a headwind wrong is what is right in a tailwind from the same side.
    assert_eq!(held_wrong(LeftHeadwind), held_right(LeftTailwind));
    assert_eq!(held_wrong(RightHeadwind), held_right(RightTailwind));
}

/// Every degree all round: held wrong never lets a wheel bear more wind than held right, except within some degrees of
/// straight behind, where full down elevator presses the tail down so well that the nose comes up.
#[test]
fn held_wrong_lifts_sooner_all_round_but_near_straight_behind() {
    for a in toeline_model::aircraft::catalog::all() {
        let on = OnWheels::of(&a);
        let mut exceptions = Vec::new();
        for deg in -179..=180 {
            let angle = f64::from(deg);
            let q = quarter(angle);
            let lift = |held| first_lift(&on, angle.to_radians(), 0.0, &held, 120.0 * KNOT_MPS).map(|l| l.wind_mps);
            let (right, wrong) = (lift(held_right(q)), lift(held_wrong(q)));
            let sooner = match (right, wrong) {
                (Some(r), Some(w)) => w <= r,
                (None, _) => true,
                (Some(_), None) => false,
            };
            if !sooner {
                exceptions.push(deg);
            }
        }
        assert!(
            exceptions.iter().all(|d: &i32| d.abs() >= 150),
            "{}: {exceptions:?}",
            a.id
        );
    }
}

#[test]
fn calm_and_variable_winds_have_no_margin_to_tell() {
    assert!(lifts("calm").is_empty());
    assert!(lifts("VRB/04G15").is_empty());
    assert_eq!(lifts("240/12T").len(), 3);
}

#[test]
fn the_margin_is_the_least_over_the_headings_driven_rounded_down_and_counted_from_wind_and_gust() {
    let plan = sample::plan("4", "240/12G20T");
    let b = briefing::brief(&plan);
    let on = OnWheels::of(&plan.request.aircraft);
    let from = Bearing::from_deg(240.0);
    // The headings that each leg passes through: the turns bring all between.
    for (leg, [low, high]) in way(&b).legs.iter().zip([[0, 50], [40, 92], [0, 50]]) {
        let told = leg.lift.as_ref().expect("a margin");
        for (margin, held) in [
            (&told.held_right, held_right as fn(Quarter) -> _),
            (&told.held_wrong, held_wrong),
        ] {
            let at = margin.lifts_at_kt.expect("lifts below 60 kt");
            assert_eq!(at, at.floor());
            assert_eq!(margin.above_steady_kt, Some(at - 12.0));
            assert_eq!(margin.above_gust_kt, Some(at - 20.0));
            // At the heading and speed told it lifts within the knot told.
            let heading = Bearing::from_deg(margin.heading_magnetic_deg.expect("told") + 3.27);
            let speed_mps = margin.speed_kt.expect("told") * KNOT_MPS;
            let lift = |heading: Bearing, speed_mps: f64| {
                let angle = heading.to_deg(from);
                first_lift(&on, angle.to_radians(), speed_mps, &held(quarter(angle)), 40.0)
                    .map_or(99.0, |l| knots(l.wind_mps))
            };
            let exact = lift(heading, speed_mps);
            assert!((at - 0.02..at + 1.02).contains(&exact), "{at} {exact}");
            // No heading on the leg, standing or at its speed, lifts more than a whole knot below it.
            for deg in low..=high {
                for speed_mps in [0.0, leg.speed_kt * KNOT_MPS] {
                    let here = lift(Bearing::from_deg(f64::from(deg)), speed_mps);
                    assert!(here > at - 0.3, "{} {deg}: {here} below {at}", leg.name);
                }
            }
        }
    }
}

#[test]
fn what_is_said_names_wheel_wind_and_what_is_left() {
    let told = &lifts("240/12G20T")[0];
    let (right, wrong) = (&told.held_right, &told.held_wrong);
    let at = |kt: Option<f64>| format!("{:.0}", kt.expect("a figure"));
    assert!(
        told.say.contains(&format!(
            "the {} lifts at about {} kt of this wind with the controls right",
            right.wheel.as_ref().expect("a wheel"),
            at(right.lifts_at_kt)
        )),
        "{}",
        told.say
    );
    assert!(
        told.say.contains(&format!(
            "{} kt more than the wind, {} more than the gust",
            at(right.above_steady_kt),
            at(right.above_gust_kt)
        )),
        "{}",
        told.say
    );
    // More wind than it bears: said, with how much.
    let told = &lifts("240/38G55T")[0];
    assert!(told.held_right.above_gust_kt.expect("told") < 0.0);
    assert!(
        told.say.contains("LESS than the gust") && told.say.ends_with("TOO MUCH WIND: do not taxi"),
        "{}",
        told.say
    );
    // A wind in which nothing lifts below the limit.
    let mut plan = sample::plan("4", "200/05T");
    plan.request.aircraft.mass.taxi_kg *= 4.0;
    let b = briefing::brief(&plan);
    let told = way(&b).legs[0].lift.as_ref().expect("a margin");
    assert_eq!((&told.held_right.wheel, told.held_right.lifts_at_kt), (&None, None));
    assert!(
        told.say
            .starts_with(&format!("no wheel lifts below {LIFT_LOOKED_TO_KT:.0} kt")),
        "{}",
        told.say
    );
    assert_eq!(wrong.wheel.is_some(), wrong.lifts_at_kt.is_some());
}
