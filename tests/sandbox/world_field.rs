//! The field as drawn: signs, holding positions, lamps, parked aeroplanes.

use crate::demo;
use crate::practice;
use crate::scene;
use bevy::prelude::*;
use toeline_engine::clearance::{Against, parked_pose};
use toeline_engine::planning::Outcome;
use toeline_model::Xy;
use toeline_model::airfield::*;
use toeline_model::frame::xy;
use toeline_model::planar::{closest_on_line, inside_ring};
use toeline_sandbox::scene::Scene;
use toeline_sandbox::view::edge_lights::{LampKind, field_lamps};
use toeline_sandbox::view::field::layer;
use toeline_sandbox::view::markings;
use toeline_sandbox::view::parked::parked;
use toeline_sandbox::view::signs::{BoardKind, Sign, signs};
use toeline_sandbox::view::sketch::Sketch;

fn words(sign: &Sign) -> String {
    let word = |b: &toeline_sandbox::view::signs::Board| {
        let kind = match b.kind {
            BoardKind::Mandatory => "!",
            BoardKind::Location => "@",
            BoardKind::Direction => ">",
        };
        let arrow = b
            .arrow_rad
            .map_or(String::new(), |turn| format!("{:.0}", turn.to_degrees()));
        format!("{kind}{}{arrow}", b.text)
    };
    sign.boards.iter().map(word).collect::<Vec<_>>().join(" ")
}

fn near(list: &[Sign], at: Xy, within_m: f64) -> Vec<String> {
    list.iter()
        .filter(|s| s.at.distance(at) < within_m)
        .map(words)
        .collect()
}

#[test]
fn a_runway_end_is_named_alone_and_elsewhere_both_the_left_threshold_first() {
    let mut field = practice::field();
    let all = signs(&field);
    // A1 lies 20 m from the threshold of 27: mandatory board nearest to the pavement, on both sides.
    let mut at_a1 = near(&all, xy(480.0, -38.0), 15.0);
    // The third is for those who come off the runway.
    assert_eq!(at_a1.pop().as_deref(), Some("@A1 >A-90"));
    assert_eq!(at_a1, ["@A1 !27", "!27 @A1"]);
    // A lane to the middle of the runway, from the south: the threshold of 09 lies to the left.
    for (south, text) in [(true, "!09-27"), (false, "!27-09")] {
        let far = if south { -75.0 } else { 75.0 };
        let at = xy(100.0, far / 2.0);
        let mut lane = field.lanes[1].clone();
        lane.id = format!("middle {south}");
        lane.letters = vec!["K".into()];
        lane.line = vec![xy(100.0, far), xy(100.0, 0.0)];
        field.lanes.push(lane);
        field.holding_positions.push(HoldingPosition {
            id: format!("K{south}"),
            name: Some("K1".into()),
            kind: HoldingKind::Runway,
            at,
            facing: None,
        });
        let found = near(&signs(&field), at, 15.0);
        assert!(found.contains(&format!("@K1 {text}")), "{found:?}");
    }
}

#[test]
fn at_a_junction_every_other_letter_has_its_arrow_on_its_own_side() {
    let all = signs(&practice::field());
    // Northbound on B toward A: A leads away to both sides.
    let toward_a = near(&all, xy(0.0, -103.0), 14.0);
    assert_eq!(toward_a, [">A90 @B >A-90"]);
    // No sign names a closed lane, and none stands where the map gives no letter.
    assert!(all.iter().all(|s| !words(s).contains('D')));
    let mut unnamed = practice::field();
    unnamed.lanes.iter_mut().for_each(|l| l.letters.clear());
    unnamed.holding_positions.iter_mut().for_each(|h| h.name = None);
    assert!(
        signs(&unnamed)
            .iter()
            .all(|s| s.boards.iter().all(|b| b.kind == BoardKind::Mandatory))
    );
}

#[test]
fn no_sign_and_no_lamp_stands_where_wheels_roll() {
    let field = practice::field();
    let lamps = field_lamps(&field, 30.0);
    let places: Vec<Xy> = lamps
        .iter()
        .map(|l| l.at)
        .chain(signs(&field).iter().map(|s| s.at))
        .collect();
    assert!(places.len() > 100);
    for p in places {
        let on = |line: &[Xy], half: f64| closest_on_line(p, line).is_some_and(|(q, _, _)| q.distance(p) < half);
        assert!(!field.lanes.iter().any(|l| on(&l.line, 5.0)), "{p:?} on a lane");
        // The runway ends square at x -400 and 500.
        let beside = (-400.0..500.0).contains(&p.x);
        assert!(
            !beside || !field.runways.iter().any(|r| on(&r.line, 11.5)),
            "{p:?} on the runway"
        );
        assert!(
            !field.aprons.iter().any(|a| inside_ring(p, &a.outer)),
            "{p:?} on an apron"
        );
    }
}

#[test]
fn lamps_have_the_published_colours_places_and_gaps() {
    let field = practice::field();
    let lamps = field_lamps(&field, 30.0);
    let of = |kind: LampKind| lamps.iter().filter(move |l| l.kind == kind);
    // Taxiway A runs from x -380 to 480 at y -75 and is 10 m wide: blue on both edges, at most 60 m apart (Annex 14).
    let mut south: Vec<f64> = of(LampKind::Taxiway)
        .filter(|l| (l.at.y + 80.6).abs() < 0.01)
        .map(|l| l.at.x)
        .collect();
    south.sort_by(f64::total_cmp);
    assert!(south.len() > 20, "{south:?}");
    assert!(south.windows(2).all(|w| w[1] - w[0] <= 60.0), "{south:?}");
    // The runway is 900 m long and 23 m wide: white along both edges, 60 m at most, where no lane joins.
    let north: Vec<f64> = of(LampKind::RunwayEdge)
        .filter(|l| l.at.y > 0.0)
        .map(|l| l.at.x)
        .collect();
    assert!(north.len() >= 15 && of(LampKind::RunwayEdge).all(|l| (l.at.y.abs() - 12.1).abs() < 0.01));
    assert!(of(LampKind::RunwayEnd).all(|l| l.at.x < -400.0 || l.at.x > 500.0));
    assert!(of(LampKind::RunwayEnd).count() >= 12);
    // Grass lane E and closed lane D have none.
    assert!(of(LampKind::Taxiway).all(|l| l.at.y > -175.0 || l.at.x > -370.0));
    assert!(field_lamps(&field, 60.0).len() < lamps.len());
}

#[test]
fn a_runway_holding_position_is_pattern_a2_with_the_solid_lines_on_the_holding_side() {
    let mut sketch = Sketch::default();
    markings::draw(&mut sketch, &practice::field());
    let mesh = sketch.mesh();
    let at = mesh
        .attribute(Mesh::ATTRIBUTE_POSITION)
        .and_then(|a| a.as_float3())
        .expect("positions");
    // A1 at x 480, y -38 on a lane 10 m wide that leads north; z south, so y is -z.
    let high = layer::PAINT as f32;
    let here: Vec<(f32, f32)> = at
        .iter()
        .filter(|p| (p[1] - high).abs() < 1e-4 && (p[0] - 480.0).abs() < 5.1 && (p[2] - 37.0).abs() < 3.0)
        .map(|p| (p[0], -p[2]))
        .collect();
    let row = |low: f32| -> Vec<f32> {
        let mut x: Vec<f32> = here.iter().filter(|p| (p.1 - low).abs() < 0.01).map(|p| p.0).collect();
        x.sort_by(f32::total_cmp);
        x.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
        x
    };
    // Lines 0.3 m wide with gaps of 0.3 m: 2.1 m in all (ICAO Annex 14 figure 5-8, standards from memory).
    let mut edges: Vec<f32> = here.iter().map(|p| p.1).collect();
    edges.sort_by(f32::total_cmp);
    edges.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    let want = [-38.0, -37.7, -37.4, -37.1, -36.8, -36.5, -36.2, -35.9];
    assert_eq!(edges.len(), want.len(), "{edges:?}");
    assert!(edges.iter().zip(want).all(|(a, b)| (a - b).abs() < 0.01), "{edges:?}");
    // Whole across on the holding side, dashes of 0.9 m with gaps of 0.9 m on the runway's side.
    for solid in [-38.0, -37.4] {
        let x = row(solid);
        assert!(
            (x[0] - 475.0).abs() < 0.01 && (x[x.len() - 1] - 485.0).abs() < 0.01,
            "{x:?}"
        );
        assert_eq!(x.len(), 2);
    }
    for broken in [-36.8, -36.2] {
        let x = row(broken);
        assert!(
            x.len() > 8 && x.windows(2).all(|w| (w[1] - w[0] - 0.9).abs() < 0.01),
            "{x:?}"
        );
    }
}

#[test]
fn aeroplanes_stand_on_the_other_stands_only() {
    let mut field = practice::field();
    field.stands[3].closed = Some("works".into());
    field.stands[1].span_limit_m = Some(9.0);
    field.stands[0].span_limit_m = Some(60.0);
    let s = scene(field);
    let list = parked(&s);
    // Stand 3 is ours, stand 4 is closed: 1 and 2 are left.
    assert_eq!(list.len(), 2, "{list:?}");
    assert_eq!(
        list[0].span_m, s.aircraft.wing.span_m,
        "no trainer with the wing of an airliner"
    );
    assert_eq!(list[1].span_m, 9.0, "never wider than the planner reckons with");
    for (p, stand) in list.iter().zip(&s.field.stands) {
        assert_eq!(Some(p.pose), parked_pose(&s.field, stand));
    }
}

#[test]
fn what_the_planner_reckons_with_on_the_demo_field_is_what_is_drawn() {
    let plan = demo::plan();
    let Outcome::Way(way) = &plan.outcome else {
        panic!("a way on the demo field")
    };
    let taken: Vec<String> = way
        .clearance
        .considered
        .iter()
        .filter(|c| c.against == Against::OccupiedStand && c.sure)
        .map(|c| c.feature.clone())
        .collect();
    assert!(taken.len() > 8, "{taken:?}");
    let s = Scene::from_plan(plan, toeline_dynamics::Faults::default(), serde_json::Value::Null).expect("a scene");
    let list = parked(&s);
    for stand in &s.field.stands {
        let Some(pose) = parked_pose(&s.field, stand) else {
            continue;
        };
        let drawn = list.iter().find(|p| p.pose == pose);
        if taken.contains(&stand.id) {
            let drawn = drawn.unwrap_or_else(|| panic!("nothing stands on {}", stand.id));
            let limit = stand.span_limit_m.unwrap_or(s.aircraft.wing.span_m);
            assert!(drawn.span_m <= limit + 1e-9, "{} on {}", drawn.span_m, stand.id);
        }
        if stand.name.as_deref() == Some("4") {
            assert_eq!(drawn, None, "our own stand is empty");
        }
    }
    // The map's own tied-down aeroplane is drawn inside its box.
    let tied = list.iter().find(|p| p.scale < 1.0).expect("the tied-down one");
    let o = s
        .field
        .obstacles
        .iter()
        .find(|o| o.kind == ObstacleKind::ParkedAeroplane);
    let toeline_model::planar::Shape::Area { outer, .. } = &o.expect("in the map").shape else {
        panic!("an outline")
    };
    for part in toeline_model::aircraft::parts::parts(&s.aircraft) {
        for p in part.outline {
            let at = tied
                .pose
                .place(s.aircraft.gear.wheelbase_m * tied.scale, p * tied.scale);
            let out = if inside_ring(at, outer) {
                0.0
            } else {
                let edges: Vec<Xy> = outer.iter().chain(outer.first()).copied().collect();
                closest_on_line(at, &edges).map_or(0.0, |(q, _, _)| q.distance(at))
            };
            assert!(out < 0.05, "{} sticks out by {out} m", part.name);
        }
    }
}
