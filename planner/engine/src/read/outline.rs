//! Runways and taxiways drawn as areas: an outline is pavement and never an edge. It lends its width and surface to the
//! line in it; a runway that has no line gets one along its long axis.

use super::lifecycle::Shut;
use super::properties::WIDTH;
use super::runway::designators;
use super::working::{Desk, Item};
use crate::notice::NoticeKind::{Doubt, LeftOut, Repair};
use toeline_model::Xy;
use toeline_model::airfield::{Airfield, Closed, NamedArea, Runway, Surface};
use toeline_model::planar::{bounds, closest_on_line, convex_hull, crossing, line_length, ring_edges};
use toeline_model::units::round_to;

/// How much of a line must lie in an outline for the outline to be its own, of 1. Ours.
const OWN_SHARE: f64 = 0.9;
/// Distance between the places where the width is measured, metres. Ours.
const STATION_M: f64 = 5.0;
/// A ray across finds no edge beyond this, metres: half the widest pavement believed.
const ACROSS_M: f64 = 100.0;
/// A runway is at least this many times as long as wide; an area less long has no direction to roll in. Ours.
const LONG_BY: f64 = 4.0;

/// An outline with what its feature says.
pub(super) struct Outline<'a> {
    pub(super) item: &'a Item<'a>,
    pub(super) area: NamedArea,
    /// Whether of a runway; else of a taxiway or taxilane.
    pub(super) runway: bool,
    /// Width that its feature bears.
    pub(super) width_m: Option<f64>,
    pub(super) shut: Shut,
    pub(super) level: i32,
}

/// Gives every outline its place in the field.
pub(super) fn settle(desk: &mut Desk, mut outlines: Vec<Outline<'_>>, field: &mut Airfield) {
    // Runways first: the outline of a taxiway ends at their edge, its line at their middle.
    outlines.sort_by_key(|o| !o.runway);
    for o in outlines {
        if o.runway {
            of_runway(desk, &o, field)
        } else {
            of_lanes(desk, &o, field)
        }
        // Closed pavement carries no wheel.
        if o.shut.for_good().is_none() && o.area.surface != Surface::Water {
            field.outlines.push(o.area);
        }
    }
}

fn of_lanes(desk: &mut Desk, o: &Outline<'_>, field: &mut Airfield) {
    let mut lent = 0;
    let strips: Vec<(Vec<Xy>, f64)> = field
        .runways
        .iter()
        .filter_map(|r| r.width_m.map(|w| (r.line.clone(), w / 2.0)))
        .collect();
    let on_runway = |p: Xy| {
        let off_m = |line: &[Xy]| closest_on_line(p, line).map_or(f64::INFINITY, |(q, _, _)| q.distance(p));
        strips.iter().any(|(line, half_m)| off_m(line) <= *half_m)
    };
    for lane in field.lanes.iter_mut().filter(|l| l.level == o.level) {
        let Some(width_m) = width_around(&lane.line, &o.area, &on_runway) else {
            continue;
        };
        lent += 1;
        if lane.surface == Surface::Unknown {
            lane.surface = o.area.surface;
        }
        if lane.width_m.is_none() {
            lane.width_m = Some(width_m);
            let text = format!("lends its width of {width_m} m to {}, which has none", lane.id);
            desk.tell_sized(
                Repair,
                o.item,
                width_m,
                "twice the distance from the line to the nearer edge",
                text,
            );
        }
    }
    if lent == 0 {
        desk.tell(
            LeftOut,
            o.item,
            "a taxiway drawn as an area, with no line along it inside: kept as pavement, and no way leads along it",
        );
    }
    let name = match &o.area.name {
        Some(name) => format!("taxiway area {name}"),
        None => format!("taxiway area ({})", o.area.id),
    };
    let within = Closed::Within(o.area.outer.clone());
    field.closures.extend(o.shut.closure(&o.area.id, name, within));
}

fn of_runway(desk: &mut Desk, o: &Outline<'_>, field: &mut Airfield) {
    let mut closures = Vec::new();
    let mut own = 0;
    for r in field.runways.iter_mut() {
        let Some(width_m) = width_around(&r.line, &o.area, &|_| false) else {
            continue;
        };
        own += 1;
        if r.surface == Surface::Unknown {
            r.surface = o.area.surface;
        }
        if r.width_m.is_none() {
            let width_m = o.width_m.unwrap_or(width_m);
            r.width_m = Some(width_m);
            let text = format!("lends its width of {width_m} m to {}, which has none", r.id);
            desk.tell_sized(Repair, o.item, width_m, "the outline is that of the runway in it", text);
        }
        if r.closed.is_none() {
            r.closed = o.shut.for_good();
        }
        closures.extend(o.shut.dated(&r.id, super::runway::called(r)));
    }
    if own == 0 {
        match axis(&o.area.outer) {
            Some((line, across_m)) => {
                let width_m = o.width_m.unwrap_or(across_m);
                let designators = designators(desk, o.item, &line);
                let text = format!(
                    "a runway drawn as an area only; taken to run along its long axis, {:.0} m long and {width_m} m wide",
                    line_length(&line)
                );
                desk.tell_sized(Repair, o.item, across_m, "a centreline in the middle of the outline", text);
                let runway = Runway {
                    id: o.area.id.clone(),
                    designators,
                    line,
                    width_m: Some(width_m),
                    surface: o.area.surface,
                    closed: o.shut.for_good(),
                    level: o.level,
                };
                closures.extend(o.shut.dated(&runway.id, super::runway::called(&runway)));
                field.runways.push(runway);
            }
            None => desk.tell(
                Doubt,
                o.item,
                format!(
                    "a runway drawn as an area less than {LONG_BY} times as long as wide; no direction to roll in can be told, so it is \
                     kept as pavement only"
                ),
            ),
        }
    }
    field.closures.extend(closures);
}

/// Width of an outline about a line that runs in it, metres to the centimetre, rounded down: twice the distance to the
/// nearer edge at the narrowest of the places where it is measured, so that a strip about the line does not reach beyond the
/// edge there. `None` when the line is not its own. Places that are `elsewhere` do not count.
fn width_around(line: &[Xy], area: &NamedArea, elsewhere: &dyn Fn(Xy) -> bool) -> Option<f64> {
    let (lo, hi) = bounds(area.outer.iter().copied())?;
    let (a, b) = bounds(line.iter().copied())?;
    if a.x > hi.x || b.x < lo.x || a.y > hi.y || b.y < lo.y {
        return None;
    }
    let (mut inside, mut all) = (0_usize, 0_usize);
    let mut half_m = f64::INFINITY;
    for w in line.windows(2) {
        let length_m = w[0].distance(w[1]);
        let count = (length_m / STATION_M).ceil().max(1.0) as usize;
        for k in 0..count {
            let p = w[0].lerp(w[1], (k as f64 + 0.5) / count as f64);
            if elsewhere(p) {
                continue;
            }
            all += 1;
            if !area.holds(p) {
                continue;
            }
            inside += 1;
            let along = (w[1] - w[0]) * (1.0 / length_m);
            let across = Xy {
                x: -along.y,
                y: along.x,
            };
            for side in [across, across * -1.0] {
                let far = p + side * ACROSS_M;
                let edges = core::iter::once(&area.outer)
                    .chain(&area.holes)
                    .flat_map(|r| ring_edges(r));
                let near = edges
                    .filter_map(|(c, d)| crossing(p, far, c, d))
                    .map(|(t, _)| t * ACROSS_M);
                half_m = near.fold(half_m, f64::min);
            }
        }
    }
    let own = all > 0 && inside as f64 >= OWN_SHARE * all as f64;
    let width_m = (2.0 * half_m * 100.0).floor() / 100.0;
    // A line along the edge of an area is no line in it.
    let believed = WIDTH
        .range()
        .is_some_and(|(low, high, _)| (low..=high).contains(&width_m));
    (own && believed).then_some(width_m)
}

/// The line along the middle of the smallest rectangle around a ring, and the width of that rectangle, metres to the
/// decimetre: a long edge that is straight in longitude and latitude bulges by a centimetre.
fn axis(ring: &[Xy]) -> Option<(Vec<Xy>, f64)> {
    let hull = convex_hull(ring);
    let mut best: Option<(f64, Vec<Xy>, f64, f64)> = None;
    for (a, b) in ring_edges(&hull) {
        let length_m = a.distance(b);
        if length_m == 0.0 {
            continue;
        }
        let u = (b - a) * (1.0 / length_m);
        let v = Xy { x: -u.y, y: u.x };
        let span = |d: Xy| {
            let all = hull.iter().map(|p| p.dot(d));
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), t| (lo.min(t), hi.max(t)))
        };
        let ((u0, u1), (v0, v1)) = (span(u), span(v));
        let area = (u1 - u0) * (v1 - v0);
        // Rounded, so that parallel edges tie the same everywhere.
        if best.as_ref().is_none_or(|b| round_to(area, 3) < round_to(b.0, 3)) {
            let (line, long, short) = if u1 - u0 >= v1 - v0 {
                let m = v * ((v0 + v1) / 2.0);
                (vec![u * u0 + m, u * u1 + m], u1 - u0, v1 - v0)
            } else {
                let m = u * ((u0 + u1) / 2.0);
                (vec![v * v0 + m, v * v1 + m], v1 - v0, u1 - u0)
            };
            best = Some((area, line, long, short));
        }
    }
    let (_, line, long, short) = best?;
    (short > 0.0 && long >= LONG_BY * short).then(|| (line, round_to(short, 1)))
}
