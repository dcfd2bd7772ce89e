//! Random ways past random obstacles. The yardstick is brute force with the distance between polygons of the `geo`
//! crate, which shares no code with ours.

use super::world::*;
use geo::{Coord, Distance, Euclidean, Geometry, LineString, Point, Polygon};
use proptest::prelude::*;
use toeline_model::aircraft::parts::{self, Part};
use toeline_model::airfield::{Obstacle, ObstacleKind};
use toeline_model::frame::xy;
use toeline_model::path::DrivenPath;
use toeline_model::planar::{self, Shape};
use toeline_model::{Aircraft, Pose, Xy, Yaw};

/// What to do next: how, how far, and by what angle.
#[derive(Clone, Copy, Debug)]
enum Move {
    Straight(f64),
    Arc(f64, f64),
    PushBack(f64),
    Swing(f64),
}

fn a_move() -> impl Strategy<Value = Move> {
    prop_oneof![
        3 => (1.0..25.0).prop_map(Move::Straight),
        4 => (3.0..25.0, prop_oneof![-2.0..-0.1, 0.1..2.0]).prop_map(|(r, a): (f64, f64)| Move::Arc(r, a)),
        1 => (1.0..8.0).prop_map(Move::PushBack),
        1 => prop_oneof![-1.5..-0.1, 0.1..1.5].prop_map(Move::Swing),
    ]
}

fn drive(a: &Aircraft, moves: &[Move], sign: f64) -> DrivenPath {
    let mut path = DrivenPath::new(
        a.gear.wheelbase_m,
        Pose {
            nose: xy(0.0, 0.0),
            heading_rad: east(),
        },
    );
    let mut direction = east();
    for m in moves {
        match *m {
            Move::Straight(length) => path.straight(direction, length, 0),
            Move::Arc(radius, angle) => {
                path.arc(direction, radius, sign * angle, 0);
                direction = direction.turned(sign * angle);
            }
            Move::PushBack(length) => {
                path.push_back(length, 0);
                direction = path.end().heading_rad;
            }
            Move::Swing(angle) => {
                path.push_swing(sign * angle, 0);
                direction = path.end().heading_rad;
            }
        }
    }
    path
}

/// A shape about a place: disc, open line, or a star-shaped polygon, perhaps with a hole.
fn a_shape() -> impl Strategy<Value = (f64, f64, Shape)> {
    let round = (0.0..3.0).prop_map(|radius_m| Shape::Disc {
        at: xy(0.0, 0.0),
        radius_m,
    });
    let line = prop::collection::vec((-12.0..12.0, -12.0..12.0), 2..6).prop_map(|p| Shape::Line {
        points: p.into_iter().map(|(x, y)| xy(x, y)).collect(),
    });
    let area = (prop::collection::vec(1.0..8.0, 3..40), any::<bool>()).prop_map(|(radii, hole)| {
        let n = radii.len() as f64;
        let ring = |k: f64| {
            let corner =
                |(i, r): (usize, &f64)| Xy::unit(Yaw::from_rad(i as f64 / n * core::f64::consts::TAU)) * (r * k);
            radii.iter().enumerate().map(corner).collect::<Vec<_>>()
        };
        Shape::Area {
            outer: ring(1.0),
            holes: if hole { vec![ring(0.5)] } else { Vec::new() },
        }
    });
    (0.0..1.0, -25.0..25.0, prop_oneof![round, line, area])
}

fn moved(shape: &Shape, by: Xy) -> Shape {
    let all = |ring: &Vec<Xy>| ring.iter().map(|p| *p + by).collect::<Vec<_>>();
    match shape {
        Shape::Disc { at, radius_m } => Shape::Disc {
            at: *at + by,
            radius_m: *radius_m,
        },
        Shape::Line { points } => Shape::Line { points: all(points) },
        Shape::Area { outer, holes } => Shape::Area {
            outer: all(outer),
            holes: holes.iter().map(all).collect(),
        },
    }
}

fn mirrored(shape: &Shape) -> Shape {
    let all = |ring: &Vec<Xy>| ring.iter().map(|p| xy(p.x, -p.y)).collect::<Vec<_>>();
    match shape {
        Shape::Disc { at, radius_m } => Shape::Disc {
            at: xy(at.x, -at.y),
            radius_m: *radius_m,
        },
        Shape::Line { points } => Shape::Line { points: all(points) },
        Shape::Area { outer, holes } => Shape::Area {
            outer: all(outer),
            holes: holes.iter().map(all).collect(),
        },
    }
}

/// The shape beside a place of the way, so that most of them come near.
fn beside(path: &DrivenPath, (along, across, shape): &(f64, f64, Shape)) -> Obstacle {
    let pose = path.pose_at(path.length_m() * along);
    let at = pose.nose + Xy::unit(pose.heading_rad).left() * *across;
    obstacle(ObstacleKind::Building, moved(shape, at), 0.0, None)
}

fn ring_of(points: &[Xy]) -> LineString {
    let mut ring: Vec<Coord> = points.iter().map(|p| Coord { x: p.x, y: p.y }).collect();
    ring.push(ring[0]);
    LineString::new(ring)
}

fn to_geo(shape: &Shape) -> (Geometry, f64) {
    match shape {
        Shape::Disc { at, radius_m } => (Point::new(at.x, at.y).into(), *radius_m),
        Shape::Line { points } => (
            LineString::new(points.iter().map(|p| Coord { x: p.x, y: p.y }).collect()).into(),
            0.0,
        ),
        Shape::Area { outer, holes } => (
            Polygon::new(ring_of(outer), holes.iter().map(|h| ring_of(h)).collect()).into(),
            0.0,
        ),
    }
}

/// Gap at one way by the other crate, placing the parts with plain trigonometry.
fn gap_at(list: &[Part], path: &DrivenPath, (geometry, radius_m): &(Geometry, f64), s: f64) -> f64 {
    let pose = path.pose_at(s);
    let (sin, cos) = pose.heading_rad.rad().sin_cos();
    let placed = |q: &Xy| {
        let x = q.x - path.wheelbase_m;
        xy(pose.nose.x + x * cos - q.y * sin, pose.nose.y + x * sin + q.y * cos)
    };
    let gap = |p: &Part| {
        let outline: Vec<Xy> = p.outline.iter().map(placed).collect();
        Euclidean.distance(&Geometry::from(Polygon::new(ring_of(&outline), Vec::new())), geometry)
    };
    (list.iter().map(gap).fold(f64::INFINITY, f64::min) - radius_m).max(0.0)
}

/// Least gap over samples, coarse ones first and then fine ones wherever the least could hide.
fn brute_force(a: &Aircraft, path: &DrivenPath, shape: &Shape) -> (f64, f64) {
    let (list, other) = (parts::parts(a), to_geo(shape));
    let rate = 1.0 + a.reach_m() / path.wheelbase_m;
    let mut step = 0.25;
    let count = (path.length_m() / step).ceil().max(1.0) as usize;
    step = path.length_m() / count as f64;
    let mut open: Vec<f64> = (0..count).map(|i| (i as f64 + 0.5) * step).collect();
    loop {
        let gaps: Vec<f64> = open.iter().map(|s| gap_at(&list, path, &other, *s)).collect();
        let least = gaps.iter().copied().fold(f64::INFINITY, f64::min);
        // A sample stands for half a step to each side.
        let unseen = rate * step / 2.0;
        if unseen < 1e-3 || open.len() > 20_000 || least == 0.0 {
            return (least, if least == 0.0 { 0.0 } else { unseen });
        }
        let near = open
            .iter()
            .zip(&gaps)
            .filter(|(_, g)| **g <= least + unseen)
            .map(|(s, _)| *s);
        open = near.flat_map(|s| [s - step / 3.0, s, s + step / 3.0]).collect();
        step /= 3.0;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn reported_gap_is_certified(
        which in 0_usize..6,
        moves in prop::collection::vec(a_move(), 1..6),
        thing in a_shape(),
    ) {
        let a = toeline_model::aircraft::catalog::all()[which].clone();
        let path = drive(&a, &moves, 1.0);
        let o = beside(&path, &thing);
        let c = among(&a, &path, vec![o.clone()]);
        let (sampled_m, unseen_m) = brute_force(&a, &path, &o.shape);
        match c.gaps.first() {
            Some(g) => {
                prop_assert!(g.gap_m <= sampled_m + 1e-9, "reported {} sampled {}", g.gap_m, sampled_m);
                prop_assert!(g.gap_m >= sampled_m - 1e-3 - unseen_m - 1e-9, "reported {} sampled {}", g.gap_m, sampled_m);
                // The points named are that far apart.
                prop_assert!((g.on_aircraft.distance(g.on_obstacle) - g.gap_m).abs() < 2e-3);
                let curve_m = c.curve.iter().filter_map(|x| x.gap_m).fold(f64::INFINITY, f64::min);
                prop_assert!(curve_m <= sampled_m + 1e-9 && curve_m >= g.gap_m - 0.01 - 1e-9, "{} {}", curve_m, g.gap_m);
                if let Some([first, last]) = g.contact_m {
                    let (list, other) = (parts::parts(&a), to_geo(&o.shape));
                    for i in 0..200 {
                        let s = path.length_m() * f64::from(i) / 199.0;
                        prop_assert!((first - 1e-9..=last + 1e-9).contains(&s) || gap_at(&list, &path, &other, s) > 0.0);
                    }
                }
            }
            None => prop_assert!(sampled_m > 20.0 - unseen_m - 1e-3, "not reported, sampled {}", sampled_m),
        }
    }

    #[test]
    fn every_cell_of_the_curve_is_a_lower_bound(moves in prop::collection::vec(a_move(), 1..4), thing in a_shape()) {
        let a = built_in("tourer-low-4");
        let path = drive(&a, &moves, 1.0);
        let o = beside(&path, &thing);
        let (list, other) = (parts::parts(&a), to_geo(&o.shape));
        for cell in among(&a, &path, vec![o]).curve {
            for t in [0.0, 0.31, 0.5, 0.77, 1.0] {
                let gap_m = gap_at(&list, &path, &other, cell.from_m + (cell.to_m - cell.from_m) * t);
                prop_assert!(gap_m >= cell.gap_m.unwrap_or(20.0) - 1e-9);
            }
        }
    }

    #[test]
    fn clearance_never_grows_with_the_span(
        moves in prop::collection::vec(a_move(), 1..5),
        thing in a_shape(),
        more in 0.1..4.0,
        which in 0_usize..6,
        top in prop::option::of(0.2..4.0),
    ) {
        // High and low wings, with their dihedral, past things of every height.
        let mut a = toeline_model::aircraft::catalog::all()[which].clone();
        let path = drive(&a, &moves, 1.0);
        let o = Obstacle { top_m: top, ..beside(&path, &thing) };
        let gap = |a: &Aircraft| among(a, &path, vec![o.clone()]).gaps.first().map_or(20.0, |g| g.gap_m);
        let before_m = gap(&a);
        // Without taper or sweep the wing covers the tapered one, and a greater span only adds to it.
        a.wing.tip_chord_m = a.wing.root_chord_m;
        a.wing.tip_leading_edge_x_m = a.wing.root_leading_edge_x_m;
        let plain_m = gap(&a);
        prop_assert!(plain_m <= before_m + 1e-3);
        a.wing.span_m += more;
        prop_assert!(gap(&a) <= plain_m + 1e-3);
    }

    #[test]
    fn left_and_right_are_alike(moves in prop::collection::vec(a_move(), 1..5), thing in a_shape()) {
        let a = built_in("motorglider-15");
        let (left, right) = (drive(&a, &moves, 1.0), drive(&a, &moves, -1.0));
        let o = beside(&left, &thing);
        let other = Obstacle { shape: mirrored(&o.shape), ..o.clone() };
        let (one, two) = (among(&a, &left, vec![o]), among(&a, &right, vec![other]));
        let gap = |c: &toeline_engine::clearance::Clearance| c.gaps.first().map_or(20.0, |g| g.gap_m);
        prop_assert!((gap(&one) - gap(&two)).abs() <= 1e-3, "{} {}", gap(&one), gap(&two));
    }

    #[test]
    fn swept_outline_holds_every_part_at_every_pose(moves in prop::collection::vec(a_move(), 1..5)) {
        let a = built_in("trainer-high-2");
        let path = drive(&a, &moves, 1.0);
        let swept = among(&a, &path, Vec::new()).swept;
        let inside = |p: Xy| swept.iter().filter(|ring| planar::inside_ring(p, ring)).count() % 2 == 1;
        let to_edge = |p: Xy| {
            let edges = swept.iter().flat_map(|r| planar::ring_edges(r));
            edges.map(|(u, v)| planar::closest_on_segment(p, u, v).0.distance(p)).fold(f64::INFINITY, f64::min)
        };
        for i in 0..=60 {
            let pose = path.pose_at(path.length_m() * f64::from(i) / 60.0);
            for corner in parts::parts(&a).iter().flat_map(|p| p.outline.clone()) {
                let p = pose.place(path.wheelbase_m, corner);
                prop_assert!(inside(p) || to_edge(p) < 0.01, "{:?} is {} m outside", p, to_edge(p));
            }
        }
        for ring in &swept {
            prop_assert!(ring.len() >= 3 && ring.first() != ring.last());
        }
    }
}
