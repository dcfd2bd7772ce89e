//! What must hold in a stage: broken or kept, and by how much.

use super::Limits;
use toeline_model::Xy;
use toeline_model::units::{DEG, KNOT_MPS, knots};

/// Speed from which a heading is looked at, m/s (ours).
const ROLLS_MPS: f64 = 0.2;

/// Which limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Which {
    Speed,
    OffLine,
    Heading,
}

/// A limit that was broken in a stage: where first, and the most.
#[derive(Clone, Copy, Debug)]
pub(super) struct Excess {
    pub(super) which: Which,
    /// The most, SI units.
    pub(super) most: f64,
    /// Tick, way from where driving begins and place at which it was first broken.
    pub(super) tick: u64,
    pub(super) way_m: f64,
    pub(super) at: Xy,
}

/// What is held to the limits at a moment.
pub(super) struct Kept {
    pub(super) speed_mps: f64,
    pub(super) off_line_m: f64,
    pub(super) off_heading_rad: f64,
}

impl Kept {
    /// Notes what is broken; `first` fills in when and where something is broken for the first time.
    pub(super) fn held_to(&self, limits: &Limits, list: &mut Vec<Excess>, first: impl Fn(Excess) -> Excess) {
        let rolls = self.speed_mps > ROLLS_MPS;
        let checks = [
            (Which::Speed, limits.most_kt.map(|kt| kt * KNOT_MPS), self.speed_mps),
            (Which::OffLine, limits.off_line_m, self.off_line_m),
            (
                Which::Heading,
                limits.heading_deg.map(|deg| deg * DEG).filter(|_| rolls),
                self.off_heading_rad,
            ),
        ];
        for (which, limit, value) in checks {
            if limit.is_none_or(|limit| value <= limit) {
                continue;
            }
            match list.iter_mut().find(|e| e.which == which) {
                Some(e) => e.most = e.most.max(value),
                None => list.push(first(Excess {
                    which,
                    most: value,
                    tick: 0,
                    way_m: 0.0,
                    at: Xy { x: 0.0, y: 0.0 },
                })),
            }
        }
    }
}

impl Excess {
    /// Which limit, and by how much at most.
    pub(super) fn words(&self, l: &Limits) -> String {
        match self.which {
            Which::Speed => format!(
                "{:.1} kt at most, limit {} kt",
                knots(self.most),
                l.most_kt.unwrap_or_default()
            ),
            Which::OffLine => format!(
                "nose wheel {:.2} m off the line at most, limit {} m",
                self.most,
                l.off_line_m.unwrap_or_default()
            ),
            Which::Heading => format!(
                "heading {:.0} degrees off at most, limit {} degrees",
                self.most / DEG,
                l.heading_deg.unwrap_or_default()
            ),
        }
    }
}

/// Why a stage can no longer be done: too long, too far, or past the stop by which it had to be.
pub(super) fn missed(l: &Limits, lasted_s: f64, way_m: f64, past_stop: bool) -> Option<String> {
    match (l.within_s, l.by_m, &l.by_stop) {
        (Some(most), _, _) if lasted_s > most => Some(format!("not within {most} s")),
        (_, Some(by), _) if way_m > by => Some(format!("not before {by} m along")),
        (_, _, Some(stop)) if past_stop => Some(format!("not before {stop}")),
        _ => None,
    }
}
