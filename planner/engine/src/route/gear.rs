//! Where the main wheels run in a turn: how far inside the nose wheel's way, and how near the edge of the pavement.
//!
//! The steady figure is R - √(R² - d²) for the nose wheel's radius R and the wheelbase d; a turn that is short for that
//! stays below it, and the greatest is met behind the arc. Figures are sampled; whether the wheels stay on the pavement is
//! for clearance to say, which certifies it.

use super::{Leg, Turn};
use toeline_model::airfield::Airfield;
use toeline_model::frame::{Xy, xy};
use toeline_model::path::Pose;
use toeline_model::{Aircraft, DrivenPath, planar};

/// Way between samples, metres (ours).
const STEP_M: f64 = 0.1;
/// Into how many parts a step is cut about the least room (ours).
const FINER: usize = 20;
/// How far behind the arc the wheels are watched, in wheelbases (ours): after three the tractrix leaves one twentieth.
const BEHIND_WHEELBASES: f64 = 3.0;

/// Fills in where the main wheels run in every turn. Turns must be in order, and legs settled.
pub(super) fn measure(field: &Airfield, aircraft: &Aircraft, path: &DrivenPath, legs: &[Leg], turns: &mut [Turn]) {
    let begins: Vec<f64> = turns.iter().map(|t| t.from_m).collect();
    for (i, t) in turns.iter_mut().enumerate() {
        let next = begins.get(i + 1).copied().unwrap_or(f64::INFINITY).max(t.to_m);
        let until = (t.to_m + BEHIND_WHEELBASES * path.wheelbase_m)
            .min(next)
            .min(path.length_m());
        let (off, room) = watch(field, aircraft, path, legs, t, until);
        t.off_tracking_m = off;
        t.edge_room_m = room;
    }
}

fn watch(
    field: &Airfield,
    aircraft: &Aircraft,
    path: &DrivenPath,
    legs: &[Leg],
    turn: &Turn,
    until_m: f64,
) -> (f64, Option<f64>) {
    let d = path.wheelbase_m;
    let half_m = aircraft.outer_gear_m() / 2.0;
    let on: Vec<&Leg> = legs
        .iter()
        .filter(|l| l.to_m > turn.from_m && l.from_m < until_m)
        .collect();
    let known = !on.is_empty() && on.iter().all(|l| l.width_m.is_some() && l.mapped_line.len() > 1);
    let inside = turn.left_rad.signum();
    let tyres = |pose: &Pose| [half_m, -half_m].map(|side| pose.place(d, xy(0.0, side)));
    let room_at = |pose: &Pose| {
        let one = |p: Xy| {
            let beside = on.iter().filter_map(|l| {
                let (q, _, _) = planar::closest_on_line(p, &l.mapped_line)?;
                Some(l.width_m? / 2.0 - q.distance(p))
            });
            beside.fold(f64::NEG_INFINITY, f64::max)
        };
        tyres(pose).map(one).into_iter().fold(f64::INFINITY, f64::min)
    };
    let (mut off, mut room, mut least_at, mut open) = (0.0_f64, f64::INFINITY, turn.from_m, !known);
    let steps = ((until_m - turn.from_m) / STEP_M).ceil().max(1.0) as usize;
    for k in 0..=steps {
        let s = turn.from_m + (until_m - turn.from_m) * k as f64 / steps as f64;
        let pose = path.pose_at(s);
        // The axle follows a little more than a wheelbase behind; another lap of the way must not be taken for this one.
        let axle = pose.axle(d);
        if let Some((foot, left)) = path.nearest(axle, s - 2.0 * d, s)
            // Behind the start of the way there is nothing to be inside of.
            && foot > 1e-6
        {
            off = off.max(left * inside);
        }
        if open {
            continue;
        }
        let areas = || field.aprons.iter().chain(&field.check_areas);
        open = tyres(&pose).iter().any(|p| areas().any(|a| a.holds(*p)));
        let here = room_at(&pose);
        if here < room {
            (room, least_at) = (here, s);
        }
    }
    if !open {
        // Where two lanes meet the least has a corner: it is looked for more closely about the sample.
        for k in 0..=2 * FINER {
            let s = least_at + STEP_M * (k as f64 / FINER as f64 - 1.0);
            room = room.min(room_at(&path.pose_at(s.clamp(turn.from_m, until_m))));
        }
    }
    (off, (!open && room.is_finite()).then_some(room))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::{LegKind, TurnMeans};
    use toeline_model::airfield::Surface;
    use toeline_model::{Yaw, math};

    fn turn(from_m: f64, to_m: f64, left_rad: f64, radius_m: f64) -> Turn {
        Turn {
            from_m,
            to_m,
            left_rad,
            radius_m,
            nose_wheel_rad: 0.0,
            means: TurnMeans::Steering,
            off_line_m: 0.0,
            off_tracking_m: 0.0,
            edge_room_m: None,
        }
    }

    fn field() -> Airfield {
        let text = r#"{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"aeroway":"runway","ref":"09/27"},
            "geometry":{"type":"LineString","coordinates":[[11.0,47.0],[11.01,47.0]]}}]}"#;
        crate::read::read(text).unwrap().field
    }

    #[test]
    fn a_long_turn_reaches_the_steady_figure_and_a_short_one_the_tractrix() {
        let aircraft = toeline_model::aircraft::catalog::find("trainer-high-2").unwrap();
        let d = aircraft.gear.wheelbase_m;
        let east = Yaw::from_rad(0.0);
        for (radius, left) in [(8.0, 6.0), (8.0, -6.0), (12.0, 5.0)] {
            let mut path = DrivenPath::new(
                d,
                Pose {
                    nose: xy(0.0, 0.0),
                    heading_rad: east,
                },
            );
            path.arc(east, radius, left, 0);
            let mut turns = [turn(0.0, path.length_m(), left, radius)];
            measure(&field(), &aircraft, &path, &[], &mut turns);
            let steady = radius - (radius * radius - d * d).sqrt();
            assert!(
                (turns[0].off_tracking_m - steady).abs() < 1e-3,
                "{} against {steady}",
                turns[0].off_tracking_m
            );
            // Short: while the axle's foot lies on the arc its distance from the centre is √(R² + d² - 2Rd sin β).
            let short = left.signum() * 1.0;
            let mut path = DrivenPath::new(
                d,
                Pose {
                    nose: xy(0.0, 0.0),
                    heading_rad: east,
                },
            );
            path.arc(east, radius, short, 0);
            let beta = toeline_model::tractrix::beta_after(0.0, left.signum() / radius, d, radius);
            let closed = radius - (radius * radius + d * d - 2.0 * radius * d * math::sin(beta.abs())).sqrt();
            let mut turns = [turn(0.0, path.length_m(), short, radius)];
            measure(&field(), &aircraft, &path, &[], &mut turns);
            assert!(
                (turns[0].off_tracking_m - closed).abs() < 1e-6 && closed < steady,
                "{} against {closed}",
                turns[0].off_tracking_m
            );
        }
    }

    #[test]
    fn the_room_to_the_edge_is_half_the_width_less_the_gear_and_the_cut() {
        let aircraft = toeline_model::aircraft::catalog::find("trainer-high-2").unwrap();
        let d = aircraft.gear.wheelbase_m;
        let radius = 10.0;
        let east = Yaw::from_rad(0.0);
        let mut path = DrivenPath::new(
            d,
            Pose {
                nose: xy(0.0, 0.0),
                heading_rad: east,
            },
        );
        path.arc(east, radius, 6.0, 0);
        // The mapped line is the circle itself, finely.
        let circle: Vec<_> = core::iter::once(xy(-20.0, 0.0))
            .chain((0..=6000).map(|i| {
                let a = f64::from(i) / 1000.0;
                xy(radius * math::sin(a), radius * (1.0 - math::cos(a)))
            }))
            .collect();
        let leg = |width_m| Leg {
            kind: LegKind::Taxiway,
            name: "taxiway C".into(),
            letters: vec!["C".into()],
            feature: "1".into(),
            from_m: 0.0,
            to_m: path.length_m(),
            width_m,
            surface: Surface::Paved,
            mapped_line: circle.clone(),
            speed_mps: 3.0,
            slope_percent: None,
        };
        let mut turns = [turn(0.0, path.length_m(), 6.0, radius)];
        measure(&field(), &aircraft, &path, &[leg(Some(7.5))], &mut turns);
        let steady = radius - (radius * radius - d * d).sqrt();
        let closed = 7.5 / 2.0 - aircraft.outer_gear_m() / 2.0 - steady;
        let room = turns[0].edge_room_m.unwrap();
        assert!((room - closed).abs() < 2e-3, "{room} against {closed}");
        measure(&field(), &aircraft, &path, &[leg(None)], &mut turns);
        assert_eq!(turns[0].edge_room_m, None);
    }
}
