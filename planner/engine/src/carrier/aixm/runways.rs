//! Runways: the line through the centreline points of both directions.

use super::desk::{Desk, Draft, named};
use super::geodesic;
use super::store::{Id, Kind, Live};
use super::tree::{Node, Space};
use crate::carrier::write::Shape;
use crate::clean;
use crate::plane::LocalPlane;
use std::collections::BTreeMap;
use toeline_model::LonLat;

/// Centreline points nearer than this are one, metres. Ours.
const SAME_M: f64 = 0.05;
/// A centreline point farther beside the line than this is told, metres. Ours.
const BESIDE_M: f64 = 1.0;

/// A centreline point with its role.
struct Mark<'l> {
    id: &'l Id,
    live: &'l Live,
    role: &'l str,
    at: LonLat,
}

pub(super) fn runways(desk: &mut Desk<'_>) {
    let directions = by_reference(desk, Kind::RunwayDirection, "usedRunway");
    let points = by_reference(desk, Kind::RunwayCentrelinePoint, "onRunway");
    let elements = by_reference(desk, Kind::RunwayElement, "associatedRunway");
    for (id, live) in desk.each(Kind::Runway) {
        let node = &live.node;
        if node.value(Space::Aixm, "type") == Some("FATO") {
            desk.leave_out("Runway of the type FATO, for helicopters");
            continue;
        }
        let mut draft = Draft::of(id, live);
        let directions = of(&directions, &id.1);
        let mut marks = Vec::new();
        for (point, p) in directions.iter().flat_map(|(d, _)| of(&points, &d.1)) {
            let role = p.node.value(Space::Aixm, "role").unwrap_or_default();
            match desk.point(p, "location") {
                Some(Ok(at)) => marks.push(Mark {
                    id: point,
                    live: p,
                    role,
                    at,
                }),
                Some(Err(e)) => {
                    desk.problems.push(format!(
                        "{}/{} ({}): {e}",
                        point.0.word(),
                        clean::name(&point.1),
                        p.place
                    ));
                }
                None => desk.leave_out("RunwayCentrelinePoint without a location"),
            }
        }
        describe(&mut draft, node, directions);
        match ends(&marks) {
            Some(ends) => draw(desk, draft, (id, live), ends, &marks),
            None => without_points(desk, draft, live, of(&elements, &id.1)),
        }
    }
}

type Found<'l> = (&'l Id, &'l Live);

/// The features of a kind by what they refer to.
fn by_reference<'l>(desk: &Desk<'l>, kind: Kind, property: &str) -> BTreeMap<String, Vec<Found<'l>>> {
    let mut found: BTreeMap<String, Vec<Found<'l>>> = BTreeMap::new();
    for (id, live) in desk.each(kind) {
        if let Some(uuid) = live.node.child(Space::Aixm, property).and_then(Node::reference) {
            found.entry(uuid).or_default().push((id, live));
        }
    }
    found
}

fn of<'f, 'l>(found: &'f BTreeMap<String, Vec<Found<'l>>>, uuid: &str) -> &'f [Found<'l>] {
    found.get(uuid).map_or(&[], Vec::as_slice)
}

/// Its properties, but for the line.
fn describe(draft: &mut Draft, node: &Node, directions: &[(&Id, &Live)]) {
    draft.tag("aeroway", "runway");
    let mut names: Vec<String> = directions
        .iter()
        .filter_map(|(_, d)| named(&d.node, "designator"))
        .collect();
    names.sort();
    names.dedup();
    match names.len() {
        2 => draft.tag("ref", names.join("/")),
        _ => draft.tag_some("ref", named(node, "designator").or(names.pop())),
    }
    draft.length("width", node.child(Space::Aixm, "nominalWidth"));
    draft.surface(node);
    if node.value(Space::Aixm, "abandoned") == Some("YES") {
        draft.tag("abandoned", "yes");
    }
    let shut = |d: &&(&Id, &Live)| {
        let all = d.1.node.all(Space::Aixm, "availability").flat_map(|a| &a.children);
        all.into_iter()
            .any(|a| a.value(Space::Aixm, "operationalStatus") == Some("CLOSED"))
    };
    let closed: Vec<String> = directions
        .iter()
        .filter(shut)
        .map(|d| named(&d.1.node, "designator").unwrap_or_default())
        .collect();
    if !closed.is_empty() && closed.len() == directions.len() {
        draft.tag("toeline:closed", "operationalStatus CLOSED");
    } else if !closed.is_empty() {
        draft.doubt(format!(
            "its direction {} is closed and the other is not; taken as open to taxi on",
            closed.join(", ")
        ));
    }
}

/// The two ends: the start, end and thresholds that lie farthest apart; of other points where there are no such ones.
fn ends(marks: &[Mark<'_>]) -> Option<(LonLat, LonLat)> {
    let of = |roles: &[&str]| {
        let list = || {
            marks
                .iter()
                .filter(|m| roles.is_empty() || roles.contains(&m.role))
                .map(|m| m.at)
        };
        // Of points on a line the farthest from any is an end, and the farthest from that the other.
        let farthest = |from: LonLat| {
            list().fold((SAME_M, None), |(most, best), p| {
                let m = geodesic::distance_m(from, p);
                if m > most { (m, Some(p)) } else { (most, best) }
            })
        };
        let first = farthest(list().next()?).1?;
        let last = farthest(first).1?;
        // From west to east, whichever point came first in the file.
        let key = |p: LonLat| (p.lon_deg, p.lat_deg);
        Some(if key(last) < key(first) {
            (last, first)
        } else {
            (first, last)
        })
    };
    of(&["START", "END", "THR", "DISTHR"]).or_else(|| of(&[]))
}

fn draw(
    desk: &mut Desk<'_>,
    mut draft: Draft,
    (id, live): (&Id, &Live),
    (first, last): (LonLat, LonLat),
    marks: &[Mark<'_>],
) {
    let length_m = geodesic::distance_m(first, last);
    // From an end, geodesics are straight in this plane.
    let plane = LocalPlane::new(first);
    let along = plane.to_xy(last) * (1.0 / length_m);
    let mut displaced: Vec<(f64, &Mark<'_>)> = Vec::new();
    for m in marks {
        let p = plane.to_xy(m.at);
        let (t, beside) = (p.dot(along), (p.x * along.y - p.y * along.x).abs());
        if beside > BESIDE_M || t < -BESIDE_M || t > length_m + BESIDE_M {
            draft.doubt(format!(
                "its centreline point {} ({}) lies {beside:.1} m beside the line from end to end",
                named(&m.live.node, "designator").unwrap_or_default(),
                clean::name(m.role)
            ));
        } else if m.role == "DISTHR" && t > SAME_M && t < length_m - SAME_M {
            displaced.push((t, m));
        }
    }
    displaced.sort_by(|a, b| a.0.total_cmp(&b.0));
    // A threshold before the middle is displaced from the first end.
    let (near, far): (Vec<_>, Vec<_>) = displaced.into_iter().partition(|(t, _)| *t < length_m / 2.0);
    let (near, far) = (near.last().map(|(_, m)| *m), far.first().map(|(_, m)| *m));
    let pieces = [(near.map(|m| (m, first, m.at))), (far.map(|m| (m, m.at, last)))];
    let line = |a: LonLat, b: LonLat| {
        let mut list = vec![a];
        geodesic::between(a, b, &mut list)?;
        list.push(b);
        Ok(Shape::Lines(vec![list]))
    };
    let from = near.map_or(first, |m| m.at);
    let to = far.map_or(last, |m| m.at);
    for (mark, a, b) in pieces.into_iter().flatten() {
        let mut piece = Draft::of(mark.id, mark.live);
        piece.also(&id.1);
        describe(&mut piece, &live.node, &[]);
        piece.doubts.clone_from(&mark.live.doubts);
        piece.tag("runway", "displaced_threshold");
        desk.put(piece, mark.live, line(a, b));
    }
    desk.put(draft, live, line(from, to));
}

/// A runway with one element and no points is drawn as that area; the reader takes its long axis and says so.
fn without_points(desk: &mut Desk<'_>, mut draft: Draft, live: &Live, elements: &[Found<'_>]) {
    let normal = elements
        .iter()
        .filter(|(_, e)| matches!(e.node.value(Space::Aixm, "type"), None | Some("NORMAL")))
        .collect::<Vec<_>>();
    match normal.as_slice() {
        [(_, only)] if only.node.child(Space::Aixm, "extent").is_some() => {
            if let Some(area) = desk.areas(only, "extent", &mut draft) {
                desk.put(draft, live, area);
            }
        }
        _ => desk.leave_out(format!(
            "Runway without two centreline points ({}); no way ends at it",
            named(&live.node, "designator").unwrap_or_else(|| "no designator".to_string())
        )),
    }
}
