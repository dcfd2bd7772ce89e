//! From the mapped line to the driven path: corners rounded as this aeroplane can.

use super::corner::Corners;
use super::guide::{Guide, along_path};
use super::{Turn, TurnMeans};
use toeline_model::aircraft::SteeringKind;
use toeline_model::frame::Xy;
use toeline_model::path::{Motion, Piece};
use toeline_model::units::DEG;
use toeline_model::{Aircraft, DrivenPath, planar};

/// Below this a change of direction is carried by the tractrix alone and gets no arc, radians (0.5 degree, ours).
const CORNER_RAD: f64 = 0.5 * DEG;
/// How far from a mapped corner the rounded way may be carried when neighbouring corners have to be taken as one, metres
/// (ours). The distance is reported with the turn.
const MERGE_M: f64 = 5.0;
/// Below this a turn is not worth telling, radians (5 degrees, ours).
const TELL_RAD: f64 = 5.0 * DEG;
/// Arcs of one sense no farther apart than this are one turn to a pilot, metres (ours).
const ONE_TURN_M: f64 = 6.0;
/// Bends of a curve drawn as a polygon lie no farther apart, metres, and are no sharper, radians (25 m and 40 degrees, ours).
const CURVE_GAP_M: f64 = 25.0;
const CURVE_BEND_RAD: f64 = 40.0 * DEG;
/// Mapped points that lie this near to the straight between their neighbours bend nothing, metres (ours): lines are
/// densified to follow the ellipsoid, and junctions lie within straight lanes.
const STRAIGHT_M: f64 = 0.005;

/// Change of direction at point `i` of a line, radians, left positive.
fn bend(line: &[Xy], i: usize) -> f64 {
    (line[i] - line[i - 1])
        .direction()
        .to_rad((line[i + 1] - line[i]).direction())
}

/// Tangent lengths at every point for the wanted radii, shortened so that neighbours fit on the piece between them.
fn tangents(line: &[Xy], corners: &Corners<'_>) -> Vec<f64> {
    let n = line.len();
    let mut want = vec![0.0; n];
    for (i, w) in want.iter_mut().enumerate().take(n.saturating_sub(1)).skip(1) {
        let turn = bend(line, i).abs();
        if turn > CORNER_RAD {
            *w = corners.radius_m(line[i], turn) * toeline_model::math::tan((turn / 2.0).min(1.55));
        }
    }
    let mut fit = want.clone();
    for i in 0..n.saturating_sub(1) {
        let length = line[i].distance(line[i + 1]);
        let sum = want[i] + want[i + 1];
        if sum > length {
            fit[i] = fit[i].min(length * want[i] / sum);
            fit[i + 1] = fit[i + 1].min(length * want[i + 1] / sum);
        }
    }
    fit
}

fn radius_of(tangent_m: f64, turn_rad: f64) -> f64 {
    tangent_m / toeline_model::math::tan((turn_rad.abs() / 2.0).min(1.55))
}

/// Takes short pieces between corners together until every corner has the radius or nothing more can be done.
fn merge_corners(mut line: Vec<Xy>, corners: &Corners<'_>) -> Vec<Xy> {
    for _ in 0..line.len() {
        let fit = tangents(&line, corners);
        let mut tight: Vec<(f64, usize)> = (1..line.len().saturating_sub(1))
            .filter(|i| bend(&line, *i).abs() > CORNER_RAD)
            .map(|i| (radius_of(fit[i], bend(&line, i)), i))
            .filter(|(r, i)| *r < corners.enough_m(line[*i], bend(&line, *i).abs()))
            .collect();
        tight.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let Some(better) = tight.into_iter().find_map(|(_, i)| merged_at(&line, i)) else {
            return line;
        };
        line = better;
    }
    line
}

/// The line with the shorter piece next to corner `i` taken away; `None` when that is not possible.
fn merged_at(line: &[Xy], i: usize) -> Option<Vec<Xy>> {
    let mut pieces: Vec<(f64, usize)> = [i - 1, i]
        .into_iter()
        .filter(|j| *j >= 1 && *j + 2 < line.len())
        .map(|j| (line[j].distance(line[j + 1]), j))
        .collect();
    pieces.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (length, j) in pieces {
        let (before, a, b, after) = (line[j - 1], line[j], line[j + 1], line[j + 2]);
        let corner = if bend(line, j) * bend(line, j + 1) > 0.0 {
            let (into, back) = (a - before, b - after);
            let across = into.cross(back);
            if across == 0.0 {
                continue;
            }
            let t = (after - before).cross(back) / across;
            let u = (after - before).cross(into) / across;
            // Ahead of the first line's end and behind the second one's beginning.
            if t < 1.0 || u < 1.0 {
                continue;
            }
            before + into * t
        } else if length < MERGE_M / 2.0 {
            a.lerp(b, 0.5)
        } else {
            continue;
        };
        if planar::closest_on_segment(corner, a, b).0.distance(corner) > MERGE_M {
            continue;
        }
        let mut out = line.to_vec();
        out.splice(j..=j + 1, [corner]);
        return Some(out);
    }
    None
}

/// Tells every piece from `first_piece` on which leg of the guide it follows: straights are cut where a leg ends, and an
/// arc belongs to the leg that it ends.
fn give_legs(path: &mut DrivenPath, first_piece: usize, start_m: f64, guide: &Guide) {
    // Where each leg begins along the path, in order.
    let mut begins: Vec<(f64, usize)> = guide.legs.first().map(|l| (start_m, *l)).into_iter().collect();
    let ends = ((0.0, start_m), (guide.length_m(), path.length_m()));
    let mut guide_m = 0.0;
    for i in 1..guide.legs.len() {
        guide_m += guide.points[i].distance(guide.points[i - 1]);
        if guide.legs[i] != guide.legs[i - 1] {
            let from = begins.last().map_or(start_m, |b| b.0);
            if let Some(s) = along_path(path, guide.points[i], guide_m, ends, from) {
                begins.push((s, guide.legs[i]));
            }
        }
    }
    let wheelbase_m = path.wheelbase_m;
    let mut cut: Vec<Piece> = Vec::new();
    for mut piece in path.pieces.split_off(first_piece) {
        let from_m = piece.from_m;
        piece.leg = begins
            .iter()
            .take_while(|b| b.0 <= from_m + 1e-6)
            .last()
            .map_or(0, |b| b.1);
        if piece.motion == Motion::Straight {
            let end_m = from_m + piece.length_m;
            for (s, leg) in begins.iter().filter(|b| b.0 > from_m + 1e-6 && b.0 < end_m - 1e-6) {
                let mut rest = piece.clone();
                piece.length_m = s - piece.from_m;
                rest.start = piece.pose(wheelbase_m, piece.length_m);
                rest.from_m = *s;
                rest.length_m = end_m - s;
                rest.leg = *leg;
                cut.push(core::mem::replace(&mut piece, rest));
            }
        }
        cut.push(piece);
    }
    path.pieces.extend(cut);
}

/// The guide's points without those that bend nothing.
fn without_idle_points(points: &[Xy]) -> Vec<Xy> {
    let mut kept: Vec<Xy> = Vec::with_capacity(points.len());
    let mut from = 0;
    kept.extend(points.first());
    for to in 2..points.len() {
        let idle = points[from + 1..to]
            .iter()
            .all(|p| planar::closest_on_segment(*p, points[from], points[to]).0.distance(*p) <= STRAIGHT_M);
        if !idle {
            from = to - 1;
            kept.push(points[from]);
        }
    }
    if points.len() > 1 {
        kept.extend(points.last());
    }
    kept
}

/// Appends the guide to the path, which must stand at its first point, and lists the turns made.
pub(super) fn follow(path: &mut DrivenPath, guide: &Guide, corners: &Corners<'_>, turns: &mut Vec<Turn>) {
    let line = merge_corners(without_idle_points(&guide.points), corners);
    let fit = tangents(&line, corners);
    let (first_piece, start_m) = (path.pieces.len(), path.length_m());
    let mut arcs: Vec<Turn> = Vec::new();
    for i in 0..line.len().saturating_sub(1) {
        let piece = line[i + 1] - line[i];
        let direction = piece.direction();
        path.straight(direction, (piece.norm() - fit[i] - fit[i + 1]).max(0.0), 0);
        if i + 2 < line.len() {
            let turn = bend(&line, i + 1);
            if turn.abs() > CORNER_RAD && fit[i + 1] > 0.0 {
                let from_m = path.length_m();
                let radius_m = radius_of(fit[i + 1], turn);
                path.arc(direction, radius_m, turn, 0);
                arcs.push(turn_of(path, from_m, turn, radius_m, &guide.points, corners.aircraft));
            }
        }
    }
    give_legs(path, first_piece, start_m, guide);
    let mut bend_before = 0.0;
    for arc in arcs {
        let bend_here: f64 = arc.left_rad;
        match turns.last_mut() {
            Some(last) if one_turn(arc.from_m - last.to_m, bend_before, bend_here) => {
                last.to_m = arc.to_m;
                last.left_rad += arc.left_rad;
                last.radius_m = (last.to_m - last.from_m) / last.left_rad.abs();
                last.nose_wheel_rad = last.nose_wheel_rad.max(arc.nose_wheel_rad);
                last.off_line_m = last.off_line_m.max(arc.off_line_m);
                last.means = last.means.max(arc.means);
            }
            _ => turns.push(arc),
        }
        bend_before = bend_here;
    }
    turns.retain(|t| t.left_rad.abs() >= TELL_RAD || t.means != TurnMeans::Steering);
}

/// The turns on a path laid without a mapped line, from a piece on.
pub(super) fn turns_of_arcs(path: &DrivenPath, from_piece: usize, aircraft: &Aircraft) -> Vec<Turn> {
    let d = path.wheelbase_m;
    let told = path.pieces[from_piece..].iter().filter_map(|p| {
        let Motion::Arc { curvature_per_m } = p.motion else {
            return None;
        };
        let nose_wheel_rad = p.beta(d, 0.0).abs().max(p.beta(d, p.length_m).abs());
        let turn = Turn {
            from_m: p.from_m,
            to_m: p.from_m + p.length_m,
            left_rad: curvature_per_m * p.length_m,
            radius_m: 1.0 / curvature_per_m.abs(),
            nose_wheel_rad,
            means: means(aircraft, nose_wheel_rad),
            // There is no line to be off.
            off_line_m: 0.0,
            off_tracking_m: 0.0,
            edge_room_m: None,
        };
        (turn.left_rad.abs() >= TELL_RAD || turn.means != TurnMeans::Steering).then_some(turn)
    });
    told.collect()
}

/// Whether a bend (radians, left positive) goes on with the turn that the bend before it belongs to: close behind, or
/// another corner of a curve that the map draws as a polygon.
fn one_turn(gap_m: f64, before: f64, here: f64) -> bool {
    let curve = before.abs().max(here.abs()) < CURVE_BEND_RAD;
    before * here > 0.0 && (gap_m < ONE_TURN_M || (curve && gap_m < CURVE_GAP_M))
}

/// How the last piece of the path, an arc, is made.
fn turn_of(path: &DrivenPath, from_m: f64, bend: f64, radius_m: f64, mapped: &[Xy], aircraft: &Aircraft) -> Turn {
    let mut off_line_m: f64 = 0.0;
    let to_m = path.length_m();
    for k in 0..=8 {
        let p = path.pose_at(from_m + (to_m - from_m) * f64::from(k) / 8.0).nose;
        if let Some((q, _, _)) = planar::closest_on_line(p, mapped) {
            off_line_m = off_line_m.max(q.distance(p));
        }
    }
    let nose_wheel_rad = greatest_nose_wheel_rad(path, from_m);
    Turn {
        from_m,
        to_m,
        left_rad: bend,
        radius_m,
        nose_wheel_rad,
        means: means(aircraft, nose_wheel_rad),
        off_line_m,
        // Measured when the whole way stands.
        off_tracking_m: 0.0,
        edge_room_m: None,
    }
}

/// Greatest nose-wheel angle on the last piece of the path: it never turns back within a piece, so the ends bound it.
pub(super) fn greatest_nose_wheel_rad(path: &DrivenPath, from_m: f64) -> f64 {
    path.pieces
        .iter()
        .filter(|p| p.from_m >= from_m)
        .flat_map(|p| [p.beta(path.wheelbase_m, 0.0), p.beta(path.wheelbase_m, p.length_m)])
        .fold(0.0, |m: f64, b| m.max(b.abs()))
}

/// How a nose-wheel angle is reached.
pub(super) fn means(aircraft: &Aircraft, nose_wheel_rad: f64) -> TurnMeans {
    // A thousandth of a degree for rounding.
    let slack = 1e-3 * DEG;
    let pivot = toeline_model::turning::pivot_angle_rad(aircraft.gear.wheelbase_m, aircraft.gear.track_m);
    let stop = pivot.min(aircraft.steering.caster_stop_deg * DEG);
    if nose_wheel_rad > stop + slack {
        TurnMeans::NotPossible
    } else if aircraft.steering.kind == SteeringKind::FreeCaster
        || nose_wheel_rad > aircraft.steering.pedal_limit_deg * DEG + slack
    {
        TurnMeans::InsideBrake
    } else {
        TurnMeans::Steering
    }
}
