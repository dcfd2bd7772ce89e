//! Paint on the ground as an aerodrome has it, and nothing more. Dimensions: ICAO Annex 14 chapter 5, from memory where
//! not marked otherwise.

use super::field::layer;
use super::glyphs::{self, Hand};
use super::palette;
use super::sketch::{Dashes, Sketch, part_of};
use crate::convert::world;
use crate::surface::{LANE_WIDTH_M, RUNWAY_WIDTH_M};
use bevy::prelude::Vec3;
use toeline_engine::clearance::parked_pose;
use toeline_model::airfield::{HoldingKind, HoldingPosition, Lane, Runway, Stand, Surface};
use toeline_model::planar::{closest_on_line, line_length};
use toeline_model::{Airfield, Xy};

/// Width of a taxiway centreline, metres (Annex 14 5.2.8).
const CENTRELINE_M: f64 = 0.15;
/// Lines and gaps of the runway-holding position marking, metres (pattern A2, Annex 14 fig. 5-8).
const HOLDING_LINE_M: f64 = 0.30;
/// Its dashes and their gaps, metres.
const HOLDING_DASH_M: f64 = 0.9;

/// Draws all paint.
pub fn draw(sketch: &mut Sketch, field: &Airfield) {
    for l in field.lanes.iter().filter(|l| painted(l.surface)) {
        sketch.ribbon(&l.line, CENTRELINE_M, layer::LANE_PAINT, palette::YELLOW);
    }
    for s in &field.stands {
        stand(sketch, field, s);
    }
    for r in &field.runways {
        runway(sketch, r);
    }
    for h in &field.holding_positions {
        if let Some(place) = holding_place(field, h) {
            holding(sketch, &place, guards_runway(h, &place));
            if guards_runway(h, &place) {
                enhanced(sketch, &place);
            }
        }
    }
    for l in field.lanes.iter().filter(|l| l.closed.is_some()) {
        crosses(
            sketch,
            &l.line,
            l.width_m.unwrap_or(LANE_WIDTH_M) * 0.7,
            35.0,
            palette::YELLOW,
        );
    }
    for r in field.runways.iter().filter(|r| r.closed.is_some()) {
        crosses(
            sketch,
            &r.line,
            r.width_m.unwrap_or(RUNWAY_WIDTH_M) * 0.8,
            150.0,
            palette::WHITE,
        );
    }
}

fn painted(surface: Surface) -> bool {
    matches!(surface, Surface::Paved | Surface::Unknown)
}

fn stand(sketch: &mut Sketch, field: &Airfield, s: &Stand) {
    if s.line.len() > 1 {
        sketch.ribbon(&s.line, CENTRELINE_M, layer::LANE_PAINT, palette::YELLOW);
    }
    // The same rule as the planner's, so that paint and parked aeroplane agree.
    let Some(pose) = parked_pose(field, s) else {
        return;
    };
    let (place, way) = (pose.nose, Xy::unit(pose.heading_rad));
    // The nose wheel's place: a short bar across the line.
    let across = way.left();
    let bar = [place + across, place - across];
    sketch.ribbon(&bar, CENTRELINE_M, layer::LANE_PAINT, palette::YELLOW);
    if let Some(name) = &s.name {
        // Beside the line, read from the seat of an aeroplane that rolls in or stands there.
        let hand = Hand {
            foot: world(place + across * 2.0 + way * 0.6, layer::LANE_PAINT),
            right: flat(across * -1.0),
            up: flat(way),
            height: 1.2,
            stroke: 0.15,
        };
        glyphs::write(sketch, name, hand, palette::YELLOW);
    }
}

/// Number of threshold stripes for a runway's width (Annex 14 table in 5.2.4).
fn stripe_count(width_m: f64) -> u32 {
    match width_m {
        w if w < 20.0 => 4,
        w if w < 26.0 => 6,
        w if w < 37.0 => 8,
        w if w < 52.0 => 12,
        _ => 16,
    }
}

fn runway(sketch: &mut Sketch, r: &Runway) {
    let width = r.width_m.unwrap_or(RUNWAY_WIDTH_M);
    let whole = line_length(&r.line);
    if !painted(r.surface) {
        // Grass and gravel carry flat white boards along their edges instead of paint.
        edge_boards(sketch, &r.line, width);
        return;
    }
    let edge = if width >= 30.0 { 0.9 } else { 0.45 };
    for side in [-1.0, 1.0] {
        let line = beside(&r.line, side * (width - edge) / 2.0);
        sketch.ribbon(&line, edge, layer::PAINT, palette::WHITE);
    }
    let reversed: Vec<Xy> = r.line.iter().rev().copied().collect();
    for (line, designator) in [(&r.line, &r.designators[0]), (&reversed, &r.designators[1])] {
        threshold(sketch, line, width, designator.as_deref());
    }
    let bare = 6.0 + 30.0 + 12.0 + 9.0 + 12.0;
    if whole > 2.0 * bare + 60.0 {
        let dashes = Dashes {
            dash_m: 30.0,
            gap_m: 20.0,
            start_m: bare,
        };
        sketch.dashes(&r.line, dashes, 0.45, layer::PAINT, palette::WHITE);
    }
}

fn threshold(sketch: &mut Sketch, line: &[Xy], width_m: f64, designator: Option<&str>) {
    let (Some(first), Some(second)) = (line.first(), line.get(1)) else {
        return;
    };
    let along = Xy::unit((*second - *first).direction());
    let left = along.left();
    let count = stripe_count(width_m);
    // Stripes 1.8 m wide and as far apart, a double gap in the middle, 6 m from the threshold, 30 m long; on a narrow
    // runway both shrink together so that they stay inside the edges.
    let pitch = (3.6_f64).min((width_m - 3.0) / f64::from(count + 1));
    for i in 0..count / 2 {
        for side in [-1.0, 1.0] {
            let off = side * (pitch + f64::from(i) * pitch);
            let a = *first + along * 6.0 + left * off;
            sketch.ribbon(&[a, a + along * 30.0], pitch / 2.0, layer::PAINT, palette::WHITE);
        }
    }
    if let Some(text) = designator {
        let up = world(along, 0.0);
        let hand = Hand {
            foot: world(*first + along * 48.0, layer::PAINT),
            right: world(left * -1.0, 0.0),
            up,
            height: 9.0,
            stroke: 0.8,
        };
        glyphs::write(sketch, text, hand, palette::WHITE);
    }
}

fn edge_boards(sketch: &mut Sketch, line: &[Xy], width_m: f64) {
    for side in [-1.0, 1.0] {
        let boards = Dashes {
            dash_m: 3.0,
            gap_m: 57.0,
            start_m: 0.0,
        };
        let edge = beside(line, side * width_m / 2.0);
        sketch.dashes(&edge, boards, 1.0, layer::PAINT, palette::WHITE);
    }
}

/// A line shifted sideways, left positive, corner by corner along the mean of the two directions there.
fn beside(line: &[Xy], left_m: f64) -> Vec<Xy> {
    (0..line.len())
        .map(|i| {
            let a = line[i.saturating_sub(1)];
            let b = line[(i + 1).min(line.len() - 1)];
            line[i] + Xy::unit((b - a).direction()).left() * left_m
        })
        .collect()
}

fn crosses(sketch: &mut Sketch, line: &[Xy], size_m: f64, every_m: f64, colour: bevy::prelude::Color) {
    let whole = line_length(line);
    let count = (whole / every_m).ceil().max(1.0);
    let mut s = whole / count / 2.0;
    while s < whole {
        let piece = part_of(line, (s - 0.5).max(0.0), (s + 0.5).min(whole));
        if let [a, .., b] = piece[..] {
            let (at, along) = (a.lerp(b, 0.5), Xy::unit((b - a).direction()));
            for diagonal in [along + along.left(), along - along.left()] {
                let arm = diagonal * (size_m / 2.0 / diagonal.norm());
                sketch.ribbon(&[at - arm, at + arm], 0.9, layer::CLOSED, colour);
            }
        }
        s += whole / count;
    }
}

/// A holding position with the lane it lies across.
pub struct HoldingPlace<'a> {
    /// Where the holding-side edge of the marking lies on the lane's line.
    pub at: Xy,
    /// Unit vector along the lane toward what is guarded.
    pub toward: Xy,
    /// Width of the lane, metres.
    pub width_m: f64,
    /// The lane.
    pub lane: &'a Lane,
    /// The nearest runway, if there is one.
    pub runway: Option<&'a Runway>,
}

/// The lane nearest to a holding position and the sense along it that leads to the runway.
pub fn holding_place<'a>(field: &'a Airfield, h: &HoldingPosition) -> Option<HoldingPlace<'a>> {
    let nearest = |line: &[Xy]| closest_on_line(h.at, line).map(|(q, i, _)| (q.distance(h.at), q, i));
    let (lane, (_, at, i)) = field
        .lanes
        .iter()
        .filter_map(|l| nearest(&l.line).map(|n| (l, n)))
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
    let runway = field
        .runways
        .iter()
        .filter_map(|r| nearest(&r.line).map(|n| (r, n)))
        .min_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let mut toward = Xy::unit((lane.line[i + 1] - lane.line[i]).direction());
    if let Some((_, (_, on_runway, _))) = runway
        && toward.dot(on_runway - at) < 0.0
    {
        toward = toward * -1.0;
    }
    Some(HoldingPlace {
        at,
        toward,
        width_m: lane.width_m.unwrap_or(LANE_WIDTH_M),
        lane,
        runway: runway.map(|(r, _)| r),
    })
}

/// Farthest from a runway's centreline that a holding position without a type is taken to guard it, metres: beyond the 90 m
/// of ICAO Annex 14 table 3-2 with room for elevation and slanted lanes (ours).
const GUARDS_WITHIN_M: f64 = 130.0;

/// Whether a holding position guards a runway. Where the map does not say, its distance from the nearest runway does.
pub fn guards_runway(h: &HoldingPosition, place: &HoldingPlace) -> bool {
    match h.kind {
        HoldingKind::Runway => true,
        HoldingKind::Intermediate => false,
        HoldingKind::Unknown => place
            .runway
            .and_then(|r| closest_on_line(place.at, &r.line))
            .is_some_and(|(q, _, _)| q.distance(place.at) < GUARDS_WITHIN_M),
    }
}

/// Length of the enhanced centreline before a runway-holding position, its dashes, gaps and their distance from the line,
/// metres (AIM 2-3-4: at most 150 ft; 9 ft, 3 ft, 6 in).
const ENHANCED_M: f64 = 45.0;
const ENHANCED_DASH_M: f64 = 2.74;
const ENHANCED_GAP_M: f64 = 0.91;
const ENHANCED_OFF_M: f64 = 0.15;

/// Dashes on both sides of the centreline on the way to a runway-holding position.
fn enhanced(sketch: &mut Sketch, place: &HoldingPlace) {
    let line = &place.lane.line;
    if !painted(place.lane.surface) {
        return;
    }
    let Some((_, i, _)) = closest_on_line(place.at, line) else {
        return;
    };
    // The lane backward from the marking, whichever way it was drawn.
    let drawn_toward = place.toward.dot(line[i + 1] - line[i]) > 0.0;
    let mut back = vec![place.at];
    if drawn_toward {
        back.extend(line[..=i].iter().rev());
    } else {
        back.extend(&line[i + 1..]);
    }
    let part = part_of(&back, 1.0, ENHANCED_M);
    if part.len() < 2 {
        return;
    }
    let dashes = Dashes {
        dash_m: ENHANCED_DASH_M,
        gap_m: ENHANCED_GAP_M,
        start_m: 0.0,
    };
    for side in [-1.0, 1.0] {
        let off = side * (CENTRELINE_M + ENHANCED_OFF_M);
        sketch.dashes(
            &beside(&part, off),
            dashes,
            CENTRELINE_M,
            layer::LANE_PAINT,
            palette::YELLOW,
        );
    }
}

fn holding(sketch: &mut Sketch, place: &HoldingPlace, runway: bool) {
    let left = place.toward.left() * (place.width_m / 2.0);
    let across = |ahead_m: f64| {
        let middle = place.at + place.toward * ahead_m;
        [middle + left, middle - left]
    };
    let broken = Dashes {
        dash_m: HOLDING_DASH_M,
        gap_m: HOLDING_DASH_M,
        start_m: 0.0,
    };
    let w = HOLDING_LINE_M;
    let grass = !painted(place.lane.surface);
    if !runway {
        if !grass {
            sketch.dashes(&across(0.0), broken, w, layer::PAINT, palette::YELLOW);
        }
        return;
    }
    if grass {
        // Paint does not hold on grass: boards at both sides of the lane mark the place.
        for end in across(0.0) {
            let half = place.toward * 0.5;
            sketch.ribbon(&[end - half, end + half], 1.0, layer::PAINT, palette::YELLOW);
        }
        return;
    }
    // The centreline is broken here, 0.9 m to each side of the four lines.
    let back = place.at - place.toward * 0.9;
    let front = place.at + place.toward * (7.0 * w + 0.9);
    sketch.ribbon(&[back, front], 1.0, layer::BACKING, palette::ASPHALT);
    for (i, solid) in [true, true, false, false].into_iter().enumerate() {
        let line = across(w / 2.0 + 2.0 * w * i as f64);
        if solid {
            sketch.ribbon(&line, w, layer::PAINT, palette::YELLOW);
        } else {
            sketch.dashes(&line, broken, w, layer::PAINT, palette::YELLOW);
        }
    }
}

/// A unit vector of the plane in Bevy's world.
pub fn flat(direction: Xy) -> Vec3 {
    world(direction, 0.0)
}
