//! What is drawn over the field: the swept outline, the way leg by leg, the tightest gaps, the chosen points.

use super::ends::{Ends, Role};
use super::ink::{FINE, cased, closed};
use super::look;
use super::pick::{Place, spot};
use crate::view::sketch::{Dashes, Sketch};
use toeline_engine::clearance::Against;
use toeline_engine::planning::Way;
use toeline_model::frame::xy;
use toeline_model::planar::Shape;
use toeline_model::{Airfield, Xy};

/// Gaps that are drawn, tightest first.
pub const GAPS_DRAWN: usize = 3;

/// The swept outline and the way, the lit leg over the others; `px_m` is the length of a pixel in metres.
pub fn way(way: &Way, lines: &[Vec<Xy>], lit: Option<usize>, px_m: f64) -> Sketch {
    let mut s = Sketch::default();
    let dashes = Dashes {
        dash_m: 5.0 * px_m,
        gap_m: 3.0 * px_m,
        start_m: 0.0,
    };
    for ring in &way.clearance.swept {
        s.dashes(&closed(ring), dashes, 1.4 * px_m, FINE + 1.0, look::SWEPT);
    }
    for line in lines {
        cased(&mut s, line, 3.0 * px_m, px_m, FINE + 2.0, [look::WAY, look::EDGE]);
    }
    if let Some(line) = lit.and_then(|i| lines.get(i)) {
        cased(&mut s, line, 5.0 * px_m, 2.0 * px_m, FINE + 3.0, [look::LIT, look::INK]);
    }
    // Aeroplanes that are taken to stand on other stands are on no map; the ones that matter are drawn.
    for g in way.clearance.gaps.iter().take(GAPS_DRAWN) {
        let other = way.clearance.considered.get(g.obstacle);
        if let Some(c) = other.filter(|c| c.against == Against::OccupiedStand)
            && let Shape::Area { outer, .. } = &c.shape
        {
            s.ribbon(&closed(outer), px_m, FINE + 1.0, look::INK);
        }
        let line = [g.on_aircraft, g.on_obstacle];
        cased(
            &mut s,
            &line,
            2.0 * px_m,
            1.2 * px_m,
            FINE + 4.0,
            [look::INK, look::LIT],
        );
    }
    s
}

/// The chosen points, each with a shape of its own; a held one is drawn at `held_at`.
pub fn points(field: &Airfield, ends: &Ends, held: Option<(Role, Xy)>, over: Option<Place>, px_m: f64) -> Sketch {
    let mut s = Sketch::default();
    if let Some(at) = over.and_then(|p| spot(field, p)) {
        let ring: Vec<Xy> = (0..=24)
            .map(|i| at + xy(11.0 * px_m, 0.0).rotated(f64::from(i) * std::f64::consts::TAU / 24.0))
            .collect();
        cased(&mut s, &ring, 2.0 * px_m, px_m, FINE + 5.0, [look::INK, look::LIT]);
    }
    for (role, place) in ends.all() {
        let at = match held {
            Some((h, at)) if h == role => Some(at),
            _ => spot(field, place),
        };
        if let Some(at) = at {
            point(&mut s, role, at, px_m);
        }
    }
    s
}

fn point(s: &mut Sketch, role: Role, at: Xy, px_m: f64) {
    let corners = |n: u32, turn: f64, r: f64| -> Vec<Xy> {
        (0..n)
            .map(|i| at + xy(0.0, r * px_m).rotated(turn + f64::from(i) * std::f64::consts::TAU / f64::from(n)))
            .collect()
    };
    let (n, turn) = match role {
        Role::From => (20, 0.0),
        Role::Via(_) => (4, std::f64::consts::FRAC_PI_4),
        Role::To => (3, 0.0),
    };
    for (r, up, colour) in [(9.5, 6.0, look::EDGE), (8.0, 6.1, look::INK), (3.0, 6.2, look::LIT)] {
        s.patch(&corners(n, turn, r), FINE + up, colour);
    }
}
