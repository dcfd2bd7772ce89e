//! The deviation card of a magnetic compass, as such cards are printed: "for N steer 002".

use super::check::AircraftProblem;
use crate::Bearing;
use serde::{Deserialize, Serialize};

/// One line of the card.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardEntry {
    /// Magnetic heading that is wanted, degrees.
    pub for_magnetic_deg: f64,
    /// What the compass shows on it, degrees.
    pub steer_deg: f64,
}

/// Fewest headings of a card (ours: the four quarters).
pub const FEWEST_HEADINGS: usize = 4;
/// Widest gap between two headings that lie next to each other on the card, degrees (ours).
pub const WIDEST_GAP_DEG: f64 = 90.0;
/// Greatest deviation on any heading, degrees (14 CFR 23.1327, and 23.1547 with its card, before the rewrite of 2017; from
/// memory).
pub const MOST_DEVIATION_DEG: f64 = 10.0;

impl CardEntry {
    /// What the compass shows more than the magnetic heading, degrees, -180..=180.
    pub fn deviation_deg(&self) -> f64 {
        Bearing::from_deg(self.for_magnetic_deg).to_deg(Bearing::from_deg(self.steer_deg))
    }
}

/// What a compass with this card shows, steady, on a magnetic heading. Between two headings of the card the deviation goes
/// in a straight line, round through north (ours). An empty card changes nothing.
///
/// ```
/// use toeline_model::aircraft::compass_card::{CardEntry, steer};
/// use toeline_model::Bearing;
/// let card = [(0.0, 2.0), (90.0, 90.0), (180.0, 178.0), (270.0, 270.0)]
///     .map(|(for_magnetic_deg, steer_deg)| CardEntry { for_magnetic_deg, steer_deg });
/// assert_eq!(steer(&card, Bearing::from_deg(45.0)).deg(), 46.0);
/// ```
pub fn steer(card: &[CardEntry], magnetic: Bearing) -> Bearing {
    let clockwise = |from: f64, to: f64| Bearing::from_deg(to - from).deg();
    let after = card.iter().cycle().skip(1);
    for (a, b) in card.iter().zip(after) {
        let along = clockwise(a.for_magnetic_deg, magnetic.deg());
        let width = match clockwise(a.for_magnetic_deg, b.for_magnetic_deg) {
            0.0 => 360.0,
            width => width,
        };
        if along <= width {
            let (first, last) = (a.deviation_deg(), b.deviation_deg());
            return Bearing::from_deg(magnetic.deg() + first + (last - first) * along / width);
        }
    }
    magnetic
}

/// Everything in a card that cannot be.
pub(super) fn problems(card: &[CardEntry]) -> Vec<AircraftProblem> {
    let mut list = Vec::new();
    let mut say = |key: String, text: String| list.push(AircraftProblem { key, text });
    if card.len() < FEWEST_HEADINGS {
        let count = card.len();
        say(
            "compass_card".into(),
            format!("{count} headings given; a card needs {FEWEST_HEADINGS} or more"),
        );
    }
    let mut sound = true;
    for (i, e) in card.iter().enumerate() {
        for (key, deg) in [("for_magnetic_deg", e.for_magnetic_deg), ("steer_deg", e.steer_deg)] {
            if !(0.0..=360.0).contains(&deg) {
                sound = false;
                say(
                    format!("compass_card[{i}].{key}"),
                    format!("{deg} deg is outside 0 to 360 deg"),
                );
            }
        }
    }
    if !sound {
        return list;
    }
    for (i, e) in card.iter().enumerate() {
        let off = e.deviation_deg();
        if off.abs() > MOST_DEVIATION_DEG {
            say(
                format!("compass_card[{i}].steer_deg"),
                format!(
                    "for {} steer {} is a deviation of {} deg; the limit is {MOST_DEVIATION_DEG} deg either way",
                    e.for_magnetic_deg,
                    e.steer_deg,
                    crate::units::round_to(off, 2)
                ),
            );
        }
    }
    let mut in_order = true;
    for (i, w) in card.windows(2).enumerate() {
        let (before, here) = (w[0].for_magnetic_deg, w[1].for_magnetic_deg);
        if here <= before {
            in_order = false;
            let what = if here == before {
                format!("{here} deg stands twice")
            } else {
                format!("{here} deg stands after {before} deg; headings must rise")
            };
            say(format!("compass_card[{}].for_magnetic_deg", i + 1), what);
        }
    }
    let ends = (card.first(), card.last());
    if let (Some(first), Some(last)) = ends
        && in_order
    {
        if first.for_magnetic_deg == 0.0 && last.for_magnetic_deg == 360.0 {
            say(
                format!("compass_card[{}].for_magnetic_deg", card.len() - 1),
                "360 deg and 0 deg are both north: give one of them".into(),
            );
        }
        let next = card.iter().skip(1).chain(card.first());
        for (i, (a, b)) in card.iter().zip(next).enumerate() {
            let gap = Bearing::from_deg(b.for_magnetic_deg - a.for_magnetic_deg).deg();
            if gap > WIDEST_GAP_DEG && card.len() >= FEWEST_HEADINGS {
                say(
                    format!("compass_card[{i}]"),
                    format!(
                        "{} deg without a heading between {} and {} deg; the limit is {WIDEST_GAP_DEG} deg",
                        crate::units::round_to(gap, 2),
                        a.for_magnetic_deg,
                        b.for_magnetic_deg
                    ),
                );
            }
        }
    }
    list
}
