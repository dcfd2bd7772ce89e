//! What touches what, against brute force with a general-purpose geometry library (`geo`), which shares no code with ours.

use crate::help::pose;
use geo::{Coord, Distance, Euclidean, Geometry, LineString, Point, Polygon};
use proptest::prelude::*;
use toeline_dynamics::contacts::{Body, Look, Pavement, Solid, Surroundings, Thing, Touch};
use toeline_dynamics::{Params, State};
use toeline_model::aircraft::{catalog, parts::parts};
use toeline_model::frame::xy;
use toeline_model::planar::Shape;
use toeline_model::{Aircraft, Pose, Xy, Yaw};

/// A distance below which two ways of reckoning may differ about touching, metres.
const HAIR_M: f64 = 1e-9;

fn built_in(id: &str) -> Aircraft {
    catalog::find(id).unwrap_or_else(|| panic!("no aeroplane {id}"))
}

fn thing(shape: Shape, bottom_m: f64, top_m: Option<f64>) -> Thing {
    Thing {
        name: "thing".into(),
        solids: vec![Solid { shape, bottom_m, top_m }],
    }
}

fn wall(points: &[Xy], top_m: Option<f64>) -> Thing {
    thing(
        Shape::Line {
            points: points.to_vec(),
        },
        0.0,
        top_m,
    )
}

fn seen(a: &Aircraft, around: &Surroundings, state: &State) -> Look {
    let body = Body::of(a);
    let mut look = Look::new(&body);
    around.look(&body, &Params::from_aircraft(a), state, [0.0; 3], &mut look);
    look
}

fn names(a: &Aircraft, touches: &[Touch]) -> Vec<String> {
    let body = Body::of(a);
    touches.iter().map(|t| body.part_name(t.part).to_string()).collect()
}

/// Parked at the origin with the nose to the east: the aeroplane's own axes less the wheelbase.
fn at_origin(a: &Aircraft) -> State {
    let nose = xy(a.gear.wheelbase_m, 0.0);
    let heading_rad = Yaw::from_rad(0.0);
    State::parked(&Params::from_aircraft(a), Pose { nose, heading_rad })
}

fn ring(points: &[Xy]) -> LineString {
    LineString(points.iter().map(|p| Coord { x: p.x, y: p.y }).collect())
}

/// The shape for `geo`, and how much farther it reaches on all sides.
fn to_geo(shape: &Shape) -> (Geometry, f64) {
    match shape {
        Shape::Disc { at, radius_m } => (Point::new(at.x, at.y).into(), *radius_m),
        Shape::Line { points } => (ring(points).into(), 0.0),
        Shape::Area { outer, holes } => {
            let holes = holes.iter().map(|h| ring(h)).collect();
            (Polygon::new(ring(outer), holes).into(), 0.0)
        }
    }
}

/// The part of a state's aeroplane in local metres with its height band, worked out corner by corner: a point `z` above
/// the ground moves by `-z` times pitch forward and `-z` times roll to the left of where it stands at rest.
fn placed(a: &Aircraft, p: &Params, state: &State, part: usize) -> (Polygon, f64, f64) {
    let part = &parts(a)[part];
    let at = state.pose(p);
    let wheel = part.name.ends_with("wheel");
    let share = if wheel { 0.0 } else { 1.0 };
    let z = share * (part.low_m + part.high_m) / 2.0;
    let moved = |q: &Xy| at.place(p.wheelbase_m, xy(q.x - z * state.pitch_rad, q.y - z * state.roll_rad));
    let rises = part.outline.iter().map(|q| {
        // From the centre of gravity, which lies ahead of the main axle.
        let ahead = q.x - (a.gear.wheelbase_m - a.mass.cg_aft_of_nose_wheel_m);
        share * (state.heave_m + ahead * state.pitch_rad + q.y * state.roll_rad)
    });
    let (least, most) = rises.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), r| (r.min(l), r.max(h)));
    let outline: Vec<Xy> = part.outline.iter().map(moved).collect();
    (
        Polygon::new(ring(&outline), vec![]),
        part.low_m + least,
        part.high_m + most,
    )
}

/// Gap between a part and a solid, metres: in plan where the bands meet, otherwise at least the gap of the bands.
fn gap(a: &Aircraft, p: &Params, state: &State, part: usize, solid: &Solid) -> f64 {
    let (outline, low_m, high_m) = placed(a, p, state, part);
    let (geometry, radius_m) = to_geo(&solid.shape);
    let across = (Euclidean.distance(&Geometry::from(outline), &geometry) - radius_m).max(0.0);
    let over = low_m - solid.top_m.unwrap_or(f64::INFINITY);
    across.max(over).max(solid.bottom_m - high_m)
}

fn a_shape() -> impl Strategy<Value = Shape> {
    let corner = (-14.0..14.0_f64, -14.0..14.0_f64).prop_map(|(x, y)| xy(x, y));
    let star = (corner.clone(), 1.0..6.0_f64, 3..60_usize, 0.2..1.0_f64, any::<bool>()).prop_map(
        |(at, radius_m, corners, dent, court)| {
            let point = |i: usize, size: f64| {
                let r = if i.is_multiple_of(2) { radius_m } else { radius_m * dent };
                at + Xy::unit(Yaw::from_rad(std::f64::consts::TAU * i as f64 / corners as f64)) * (r * size)
            };
            let outer: Vec<Xy> = (0..corners).map(|i| point(i, 1.0)).collect();
            let hole: Vec<Xy> = (0..corners).map(|i| point(i, 0.6)).collect();
            Shape::Area {
                outer,
                holes: if court { vec![hole] } else { vec![] },
            }
        },
    );
    prop_oneof![
        (corner.clone(), 0.0..3.0_f64).prop_map(|(at, radius_m)| Shape::Disc { at, radius_m }),
        prop::collection::vec(corner, 2..40).prop_map(|points| Shape::Line { points }),
        star,
    ]
}

fn a_solid() -> impl Strategy<Value = Solid> {
    (a_shape(), 0.0..2.5_f64, prop::option::of(0.0..2.5_f64)).prop_map(|(shape, bottom, high)| Solid {
        shape,
        bottom_m: if high.is_some() { bottom / 3.0 } else { 0.0 },
        top_m: high.map(|h| bottom / 3.0 + h),
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_look_finds_what_brute_force_finds(
        kind in 0..6_usize,
        things in prop::collection::vec(prop::collection::vec(a_solid(), 1..3), 1..8),
        (yaw, x, y) in (-3.1..3.1_f64, -9.0..9.0_f64, -9.0..9.0_f64),
        (roll_rad, pitch_rad, heave_m) in (-0.2..0.2_f64, -0.1..0.1_f64, -0.1..0.1_f64),
    ) {
        let a = &catalog::all()[kind];
        let p = Params::from_aircraft(a);
        let at = Pose { nose: xy(x, y), heading_rad: Yaw::from_rad(yaw) };
        let state = State { roll_rad, pitch_rad, heave_m, ..State::parked(&p, at) };
        let list: Vec<Thing> = things.iter().map(|s| Thing { name: String::new(), solids: s.clone() }).collect();
        let look = seen(a, &Surroundings::new(&list, &[]), &state);
        for part in 0..parts(a).len() {
            for (k, solids) in things.iter().enumerate() {
                let least = solids.iter().map(|s| gap(a, &p, &state, part, s)).fold(f64::INFINITY, f64::min);
                let found: Vec<&Touch> = look.touches.iter().filter(|t| t.part == part && t.thing == k).collect();
                prop_assert!(found.len() <= 1, "told {} times", found.len());
                if least == 0.0 {
                    prop_assert_eq!(found.len(), 1, "{} against {}: {:?}", &parts(a)[part].name, k, solids);
                } else if least > HAIR_M {
                    prop_assert!(found.is_empty(), "{} against {}: gap {least}", &parts(a)[part].name, k);
                }
                // The place told lies on the part.
                if let Some(touch) = found.first() {
                    let (outline, _, _) = placed(a, &p, &state, part);
                    let off = Euclidean.distance(&Geometry::from(outline), &Geometry::from(Point::new(touch.at.x, touch.at.y)));
                    prop_assert!(off < 1e-6, "told a place {off} m off the part");
                }
            }
        }
    }

    #[test]
    fn a_wheel_is_on_pavement_where_brute_force_says_so(
        strips in prop::collection::vec((prop::collection::vec((-20.0..20.0_f64, -20.0..20.0_f64), 2..6), 1.0..12.0_f64), 0..5),
        area in prop::option::of(a_shape()),
        (yaw, x, y) in (-3.1..3.1_f64, -9.0..9.0_f64, -9.0..9.0_f64),
        inset_m in prop_oneof![Just(0.0), 0.0..1.0_f64],
    ) {
        let a = built_in("trainer-high-2");
        let (p, body) = (Params::from_aircraft(&a), Body::of(&a));
        let at = Pose { nose: xy(x, y), heading_rad: Yaw::from_rad(yaw) };
        let mut pavement: Vec<Pavement> = strips
            .iter()
            .map(|(line, width_m)| Pavement::Strip { line: line.iter().map(|(x, y)| xy(*x, *y)).collect(), width_m: *width_m })
            .collect();
        if let Some(Shape::Area { outer, .. }) = area {
            pavement.push(Pavement::Area { outer });
        }
        let mut look = Look::new(&body);
        let state = State::parked(&p, at);
        Surroundings::new(&[], &pavement).look(&body, &p, &state, [inset_m; 3], &mut look);
        let half = (2.25 + a.gear.main_tyre_width_m) / 2.0;
        for (wheel, own) in [xy(1.52, 0.0), xy(0.0, half), xy(0.0, -half)].into_iter().enumerate() {
            let q = at.place(1.52, own);
            let point = Point::new(q.x, q.y);
            // How deep inside the deepest piece.
            let depth = pavement.iter().map(|piece| match piece {
                Pavement::Strip { line, width_m } => width_m / 2.0 - Euclidean.distance(&point, &ring(line)),
                Pavement::Area { outer } => {
                    let polygon = Polygon::new(ring(outer), vec![]);
                    let edge = Euclidean.distance(&point, polygon.exterior());
                    if Euclidean.distance(&point, &polygon) == 0.0 { edge } else { -edge }
                }
            }).fold(f64::NEG_INFINITY, f64::max);
            if (depth - inset_m).abs() > HAIR_M {
                prop_assert_eq!(look.off[wheel], depth < inset_m, "wheel {} at depth {}", wheel, depth);
            }
        }
    }
}

#[test]
fn a_high_wing_passes_over_a_low_fence_and_a_low_wing_meets_it() {
    // Beside the wheels, clear of fuselage and tailplane: only a wing can meet it.
    let fence = |top_m| Surroundings::new(&[wall(&[xy(-9.0, 3.5), xy(9.0, 3.5)], top_m)], &[]);
    let (high, low) = (built_in("trainer-high-2"), built_in("tourer-low-4"));
    assert_eq!(seen(&high, &fence(Some(1.2)), &at_origin(&high)).touches, []);
    let met = seen(&low, &fence(Some(1.2)), &at_origin(&low)).touches;
    assert_eq!(names(&low, &met), ["left wing"]);
    // A fence without a height has no upper end, as for the planner; a height that just reaches touches.
    for top_m in [None, Some(2.05)] {
        let met = seen(&high, &fence(top_m), &at_origin(&high)).touches;
        assert_eq!(names(&high, &met), ["left wing"], "{top_m:?}");
    }
    assert_eq!(seen(&high, &fence(Some(2.049)), &at_origin(&high)).touches, []);
}

#[test]
fn a_wing_that_goes_down_meets_what_it_would_have_passed_over() {
    let a = built_in("trainer-high-2");
    let left = Surroundings::new(&[wall(&[xy(-9.0, 4.0), xy(9.0, 4.0)], Some(1.8))], &[]);
    let right = Surroundings::new(&[wall(&[xy(-9.0, -4.0), xy(9.0, -4.0)], Some(1.8))], &[]);
    let rolled = |roll_rad: f64| State {
        roll_rad,
        ..at_origin(&a)
    };
    // The tip's 5.05 m times 0.06 is 0.30 m: 2.05 m less that is below 1.8 m. Positive roll is to the right.
    for (roll_rad, on_left, on_right) in [(0.0, 0, 0), (0.04, 0, 0), (0.06, 0, 1), (-0.06, 1, 0)] {
        let state = rolled(roll_rad);
        assert_eq!(seen(&a, &left, &state).touches.len(), on_left, "left at {roll_rad}");
        assert_eq!(seen(&a, &right, &state).touches.len(), on_right, "right at {roll_rad}");
    }
}

#[test]
fn a_wheel_is_off_as_soon_as_the_outside_of_its_tyre_is() {
    let a = built_in("trainer-high-2");
    let (p, body) = (Params::from_aircraft(&a), Body::of(&a));
    let strip = Pavement::Strip {
        line: vec![xy(-50.0, 0.0), xy(50.0, 0.0)],
        width_m: 8.0,
    };
    let around = Surroundings::new(&[], &[strip]);
    let mut look = Look::new(&body);
    let half = (a.gear.track_m + a.gear.main_tyre_width_m) / 2.0;
    for (aside_m, off) in [
        (4.0 - half - 0.001, [false, false, false]),
        (4.0 - half + 0.001, [false, true, false]),
        (3.999, [false, true, false]),
        (4.001, [true, true, false]),
        (4.0 + half + 0.001, [true, true, true]),
        (-(4.0 - half + 0.001), [false, false, true]),
    ] {
        let nose = xy(0.0, aside_m);
        let state = State::parked(&p, Pose { nose, ..pose(0.0) });
        around.look(&body, &p, &state, [0.0; 3], &mut look);
        assert_eq!(look.off, off, "{aside_m} m left of the middle");
    }
}

#[test]
fn far_things_are_not_touched_and_a_look_forgets_the_last_one() {
    let a = built_in("trainer-high-2");
    let (p, body) = (Params::from_aircraft(&a), Body::of(&a));
    let far: Vec<Thing> = (0..500)
        .map(|i| {
            let at = Xy::unit(Yaw::from_rad(f64::from(i) * 0.7)) * (12.0 + f64::from(i));
            thing(Shape::Disc { at, radius_m: 1.0 }, 0.0, None)
        })
        .collect();
    let mut with_near = far.clone();
    with_near.push(wall(&[xy(2.3, -3.0), xy(2.3, 3.0)], None));
    let mut look = Look::new(&body);
    Surroundings::new(&with_near, &[]).look(&body, &p, &at_origin(&a), [0.0; 3], &mut look);
    assert_eq!(names(&a, &look.touches), ["propeller"]);
    assert!(look.touches.iter().all(|t| t.thing == 500));
    Surroundings::new(&far, &[]).look(&body, &p, &at_origin(&a), [0.0; 3], &mut look);
    assert_eq!(look.touches, []);
    assert_eq!(look.off, [true; 3], "a field without pavement carries no wheel");
    // A state that is no number touches nothing and ends no program.
    let broken = State {
        x_m: f64::NAN,
        ..at_origin(&a)
    };
    Surroundings::new(&with_near, &[]).look(&body, &p, &broken, [0.0; 3], &mut look);
    assert_eq!(look.touches, []);
}

#[test]
fn at_25_metres_a_second_nothing_thin_is_passed_through_between_two_ticks() {
    let a = built_in("trainer-high-2");
    let (p, body) = (Params::from_aircraft(&a), Body::of(&a));
    let mut look = Look::new(&body);
    let pole = |y: f64| {
        let at = xy(0.0, y);
        Surroundings::new(&[thing(Shape::Disc { at, radius_m: 0.0 }, 0.0, None)], &[])
    };
    let step_m = 25.0 / 240.0;
    for (y, part) in [(0.3, "propeller"), (-0.8, "propeller"), (4.9, "left wing")] {
        for phase in 0..50 {
            let begin = -12.0 + step_m * f64::from(phase) / 50.0;
            let met = (0..200).any(|tick| {
                let nose = xy(begin + step_m * f64::from(tick), 0.0);
                let state = State::parked(&p, Pose { nose, ..pose(0.0) });
                pole(y).look(&body, &p, &state, [0.0; 3], &mut look);
                names(&a, &look.touches).contains(&part.to_string())
            });
            assert!(met, "{part} went through a pole at {y} m, phase {phase}");
        }
    }
}
