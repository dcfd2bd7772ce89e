//! The field drawn from above as a flat sheet: areas once, fine lines again whenever the zoom has changed, so that they
//! keep their width on the screen.

use super::look;
use super::pick::{Place, spot};
use crate::surface::{LANE_WIDTH_M, RUNWAY_WIDTH_M, STAND_WIDTH_M};
use crate::view::sketch::{Dashes, Sketch};
use bevy::prelude::Color;
use toeline_model::airfield::{ObstacleKind, Surface};
use toeline_model::planar::{Shape, closest_on_line};
use toeline_model::{Airfield, Xy};

/// Heights of the layers; only their order matters.
mod layer {
    pub(super) const APRON: f64 = 1.0;
    pub(super) const CHECK: f64 = 2.0;
    pub(super) const LANE: f64 = 3.0;
    pub(super) const RUNWAY: f64 = 4.0;
    pub(super) const SOLID: f64 = 5.0;
}

/// Height of the fine lines and of everything drawn over the field.
pub const FINE: f64 = 6.0;

fn soft(surface: Surface) -> bool {
    matches!(surface, Surface::Grass | Surface::Loose)
}

/// Pavement, areas and solid things.
pub fn areas(field: &Airfield) -> Sketch {
    let mut s = Sketch::default();
    for a in &field.aprons {
        s.area(
            &a.outer,
            layer::APRON,
            if soft(a.surface) { look::SOFT } else { look::APRON },
        );
    }
    for st in &field.stands {
        s.ribbon(&st.line, st.width_m.unwrap_or(STAND_WIDTH_M), layer::CHECK, look::APRON);
    }
    for a in &field.check_areas {
        s.area(&a.outer, layer::CHECK, look::CHECK);
    }
    for l in &field.lanes {
        let width = l.width_m.unwrap_or(LANE_WIDTH_M);
        let colour = if soft(l.surface) { look::SOFT } else { look::LANE };
        s.ribbon(&l.line, width, layer::LANE, colour);
        for end in l.line.first().into_iter().chain(l.line.last()) {
            s.disc(*end, width / 2.0, layer::LANE, colour);
        }
    }
    for r in &field.runways {
        let colour = if soft(r.surface) {
            look::SOFT_RUNWAY
        } else {
            look::RUNWAY
        };
        s.ribbon(&r.line, r.width_m.unwrap_or(RUNWAY_WIDTH_M), layer::RUNWAY, colour);
    }
    for o in &field.obstacles {
        let colour = match o.kind {
            ObstacleKind::Tree | ObstacleKind::TreeRow | ObstacleKind::Hedge => look::GREEN,
            _ => look::SOLID,
        };
        match &o.shape {
            Shape::Disc { at, radius_m } => s.disc(*at, radius_m.max(0.6), layer::SOLID, colour),
            Shape::Area { outer, .. } => s.area(outer, layer::SOLID, colour),
            Shape::Line { points } => s.ribbon(points, 1.0, layer::SOLID, colour),
        }
    }
    s
}

/// A closed outline as a line.
pub fn closed(ring: &[Xy]) -> Vec<Xy> {
    let mut line = ring.to_vec();
    line.extend(ring.first());
    line
}

/// Centrelines, edges of areas, stands, holding positions and the crosses of what is closed; `px_m` is the length of a
/// pixel in metres.
pub fn fine(field: &Airfield, px_m: f64) -> Sketch {
    let mut s = Sketch::default();
    let dash = |on: f64, off: f64| Dashes {
        dash_m: on * px_m,
        gap_m: off * px_m,
        start_m: 0.0,
    };
    for l in &field.lanes {
        s.ribbon(&l.line, px_m.max(0.15), FINE, look::CENTRELINE);
        if l.closed.is_some() {
            crosses(&mut s, &l.line, px_m);
        }
    }
    for r in &field.runways {
        let width = (1.5 * px_m).max(0.3);
        s.dashes(&r.line, dash(14.0, 10.0), width, FINE, look::PAPER);
        if r.closed.is_some() {
            crosses(&mut s, &r.line, px_m);
        }
    }
    for a in &field.check_areas {
        s.dashes(&closed(&a.outer), dash(6.0, 4.0), 1.3 * px_m, FINE, look::INK);
    }
    for h in &field.hot_spots {
        s.dashes(&closed(&h.outer), dash(2.0, 3.0), 1.6 * px_m, FINE, look::INK);
    }
    for (i, st) in field.stands.iter().enumerate() {
        s.ribbon(&st.line, 1.2 * px_m, FINE, look::INK);
        if let Some(at) = spot(field, Place::Stand(i)) {
            s.disc(at, 3.0 * px_m, FINE, look::INK);
        }
    }
    for h in &field.holding_positions {
        hold_bar(&mut s, field, h.at, px_m);
    }
    s
}

/// A bar across the lane.
fn hold_bar(s: &mut Sketch, field: &Airfield, at: Xy, px_m: f64) {
    let lane = field
        .lanes
        .iter()
        .filter_map(|l| closest_on_line(at, &l.line).map(|(q, i, _)| (q.distance(at), l, i)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let Some((_, lane, i)) = lane else { return };
    let Some(w) = lane.line.get(i..i + 2) else { return };
    let across = Xy::unit((w[1] - w[0]).direction()).left();
    let half = (lane.width_m.unwrap_or(LANE_WIDTH_M) / 2.0).max(5.0 * px_m);
    s.ribbon(
        &[at - across * half, at + across * half],
        (2.4 * px_m).max(0.4),
        FINE,
        look::INK,
    );
}

fn crosses(s: &mut Sketch, line: &[Xy], px_m: f64) {
    let size = 6.0 * px_m;
    let whole = toeline_model::planar::line_length(line);
    let count = (whole / (60.0 * px_m)).floor().max(1.0) as usize;
    for i in 0..count {
        let along = whole * (i as f64 + 0.5) / count as f64;
        let part = crate::view::sketch::part_of(line, along, (along + px_m).min(whole));
        let Some(at) = part.first() else { continue };
        for turn in [0.25, 0.75] {
            let arm = toeline_model::frame::xy(size, 0.0).rotated(turn * std::f64::consts::PI);
            s.ribbon(&[*at - arm, *at + arm], 1.8 * px_m, FINE, look::INK);
        }
    }
}

/// A line with an edge around it, so that it is seen on light and dark alike.
pub fn cased(s: &mut Sketch, line: &[Xy], width_m: f64, edge_m: f64, up: f64, colours: [Color; 2]) {
    for (width, colour, lift) in [(width_m + 2.0 * edge_m, colours[1], 0.0), (width_m, colours[0], 0.1)] {
        s.ribbon(line, width, up + lift, colour);
        for end in line.first().into_iter().chain(line.last()) {
            s.disc(*end, width / 2.0, up + lift, colour);
        }
    }
}
