//! The way over the field: swept outline, the nose wheel's line leg by leg, the aeroplane where it stands, what is tight.

use super::place::spaced;
use super::trace::{Frame, Pt, STEADY, Trace, thinned};
use crate::briefing::shape_json::steps;
use crate::briefing::{GapBriefing, LegBriefing, Units, WayBriefing, gaps};
use crate::clearance::{Gap, Verdict};
use crate::drawing::sheet::escape;
use crate::planning::Way;
use crate::route::StopKind;
use std::fmt::Write as _;
use toeline_model::aircraft::parts;
use toeline_model::frame::Xy;
use toeline_model::{Aircraft, Pose};

/// How far the drawn line may lie from the driven one, metres.
const WITHIN_M: f64 = 0.02;
/// Tight places that bear a letter on map and curve.
const LETTERED: usize = 12;
/// Way between two arrows along the way at the printed scale, px, and their greatest number.
const ARROWS_EVERY_PX: f64 = 110.0;
const ARROWS: usize = 60;

/// The nose wheel's line of every leg, local metres.
pub(super) fn leg_lines(way: &Way) -> Vec<Vec<Xy>> {
    let path = &way.route.path;
    let mut all: Vec<(f64, Xy)> = vec![(0.0, path.start.nose)];
    for piece in &path.pieces {
        let at = |s: f64| (piece.from_m + s, piece.pose(path.wheelbase_m, s).nose);
        all.extend(steps(piece.length_m, 1.0).map(at));
    }
    let lines = way.route.legs.iter().map(|leg| {
        let (from, to) = (leg.from_m, leg.to_m.max(leg.from_m));
        let mut line = vec![path.pose_at(from).nose];
        let (a, b) = (
            all.partition_point(|(s, _)| *s <= from),
            all.partition_point(|(s, _)| *s < to),
        );
        line.extend(all.get(a..b).unwrap_or_default().iter().map(|(_, p)| *p));
        line.push(path.pose_at(to).nose);
        thinned(&line, WITHIN_M)
    });
    lines.collect()
}

/// The tightest places by name, smallest first, each with its letter.
pub(super) fn lettered<'a>(way: &'a Way, told: &'a WayBriefing) -> Vec<(char, &'a Gap, &'a GapBriefing)> {
    let tight = gaps::by_name(&told.gaps);
    let letters = ('a'..='z').zip(tight.into_iter().take(LETTERED));
    letters
        .filter_map(|(letter, said)| {
            let i = told.gaps.iter().position(|g| std::ptr::eq(g, said))?;
            Some((letter, way.clearance.gaps.get(i)?, said))
        })
        .collect()
}

/// A gap in few words, as it stands on the map.
pub(super) fn gap_words(g: &GapBriefing, units: Units) -> String {
    let gap = units.gap(g.gap_m);
    match (g.touches, g.verdict) {
        (true, _) => "TOUCHES".to_string(),
        (_, Verdict::Clear) => gap,
        (_, Verdict::NotClear) => format!("{gap} NOT CLEAR"),
        (_, Verdict::NotKnown) => format!("{gap} ?"),
    }
}

/// What a leg is called by a screen reader and a pointer.
pub(super) fn leg_words(leg: &LegBriefing) -> String {
    format!("Leg {}, {}", leg.number, leg.name)
}

/// Draws the swept outline, the aeroplane and the legs.
pub(super) fn draw(
    out: &mut String,
    frame: Frame,
    way: &Way,
    told: &WayBriefing,
    lines: &[Vec<Xy>],
    aircraft: &Aircraft,
) {
    let mut swept = Trace::fine(frame);
    for ring in &way.clearance.swept {
        // The outline is true to a centimetre; a pixel at the closest zoom is about two.
        swept.add(&thinned(ring, WITHIN_M), true);
    }
    out.push_str("<g aria-hidden=\"true\">\n");
    swept.path(out, "swept");
    for stop in way.route.stops.iter().filter(|s| s.kind != StopKind::HoldShort) {
        let class = if stop.kind == StopKind::EngineCheck {
            "plane check"
        } else {
            "plane"
        };
        aeroplane(frame, aircraft, &stop.pose).path(out, class);
    }
    out.push_str("</g>\n<defs>\n");
    for (i, line) in lines.iter().enumerate() {
        let mut trace = Trace::fine(frame);
        trace.add(line, false);
        let _ = writeln!(out, "<path id=\"p{}\" {STEADY} d=\"{}\"/>", i + 1, trace.finish());
    }
    out.push_str("</defs>\n");
    for leg in told.legs.iter().take(lines.len()) {
        let n = leg.number;
        let _ = writeln!(
            out,
            "<a id=\"m{n}\" class=\"leg\" href=\"#leg-{n}\" data-i=\"{n}\" aria-label=\"{}\"><use class=\"hit\" href=\"#p{n}\"/>\
             <use class=\"rim\" href=\"#p{n}\"/><use class=\"line\" href=\"#p{n}\"/></a>",
            escape(&leg_words(leg))
        );
    }
}

/// The outline of the aeroplane in a pose.
fn aeroplane(frame: Frame, aircraft: &Aircraft, pose: &Pose) -> Trace {
    let mut trace = Trace::fine(frame);
    for part in parts::parts(aircraft) {
        let place = |p: &Xy| pose.place(aircraft.gear.wheelbase_m, *p);
        let placed: Vec<Xy> = part.outline.iter().map(place).collect();
        trace.add(&placed, true);
    }
    trace
}

/// Arrows along the way, so that its sense is seen.
pub(super) fn arrows(out: &mut String, lines: &[Vec<Pt>], scale: f64) {
    let whole: Vec<Pt> = lines.iter().flatten().copied().collect();
    let mut number = 0;
    spaced(&whole, scale, ARROWS_EVERY_PX / 2.0, |(x, y), (dx, dy)| {
        number += 1;
        // Every other place, so that none stands at the start.
        if number % 2 == 0 && number <= 2 * ARROWS {
            let _ = writeln!(
                out,
                "<g transform=\"translate({:.2} {:.2})rotate({:.0})\"><path class=\"u arrow\" d=\"M-4-4.5 4 0-4 4.5\"/></g>",
                x / scale,
                y / scale,
                dy.atan2(dx).to_degrees()
            );
        }
    });
}

/// Marks of the stops: a bar across where it holds short, a ring where it starts, a diamond for the engine check.
pub(super) fn stop_marks(out: &mut String, frame: Frame, way: &Way) {
    for (i, stop) in way.route.stops.iter().enumerate() {
        let (x, y) = frame.pt(stop.pose.nose);
        let deg = -stop.pose.heading_rad.rad().to_degrees();
        let d = match stop.kind {
            StopKind::Start => "M-6 0a6 6 0 1 0 12 0a6 6 0 1 0-12 0z",
            StopKind::EngineCheck => "M0-8 8 0 0 8-8 0z",
            StopKind::HoldShort | StopKind::End => "M-2-11h5v22h-5z",
            StopKind::Place => "M-6-6h12v12h-12z",
        };
        let dark = matches!(stop.kind, StopKind::HoldShort | StopKind::End);
        let class = if dark { "u stop dark" } else { "u stop" };
        let _ = writeln!(
            out,
            "<g id=\"ms{i}\" data-i=\"s{i}\" transform=\"translate({x:.2} {y:.2})rotate({deg:.1})\"><path class=\"{class}\" d=\"{d}\"/></g>"
        );
    }
}

/// Lines of the tight places, with a bar across each end.
pub(super) fn gap_lines(out: &mut String, frame: Frame, tight: &[(char, &Gap, &GapBriefing)]) {
    for (letter, gap, _) in tight {
        let mut trace = Trace::fine(frame);
        trace.add(&[gap.on_aircraft, gap.on_obstacle], false);
        let d = trace.finish();
        let _ = write!(
            out,
            "<g id=\"mg{letter}\" class=\"gap\" data-i=\"g{letter}\"><path class=\"rim\" {STEADY} d=\"{d}\"/><path class=\"line\" {STEADY} d=\"{d}\"/>"
        );
        let along = gap.on_obstacle - gap.on_aircraft;
        let deg = -along.direction().rad().to_degrees();
        for p in [gap.on_aircraft, gap.on_obstacle] {
            let (x, y) = frame.pt(p);
            let _ = write!(
                out,
                "<g transform=\"translate({x:.2} {y:.2})rotate({deg:.0})\"><path class=\"u end\" d=\"M0-5V5\"/></g>"
            );
        }
        out.push_str("</g>\n");
    }
}
