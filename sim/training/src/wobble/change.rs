//! What a pupil's own wobble does to the odds of a plan.

use super::Measured;
use serde::Serialize;
use toeline_engine::clearance::Clearance;
use toeline_engine::odds::{self, Begin, Chance, OddsAsked, Wobble};
use toeline_model::Aircraft;
use toeline_model::path::DrivenPath;

/// The odds of touching anything on a way, everything where the map has it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// The default wobble.
    pub default_wobble: Wobble,
    /// With it.
    pub by_default: Chance,
    /// With his own.
    pub by_own: Chance,
    /// Least and most with his offset and spread at the ends of the intervals of what was taken; the length as taken.
    pub between: Option<[Chance; 2]>,
}

impl Change {
    /// The odds of a way whose clearance is known; `None` when no drives are asked for.
    pub fn of(
        aircraft: &Aircraft,
        path: &DrivenPath,
        clearance: &Clearance,
        asked: &OddsAsked,
        begin: Begin,
        measured: &Measured,
    ) -> Option<Change> {
        let with = |wobble: Wobble| {
            let asked = OddsAsked {
                wobble: Some(wobble),
                ..*asked
            };
            odds::odds(aircraft, path, clearance, &asked, begin).map(|o| o.as_mapped)
        };
        let default_wobble = Wobble::beginner(aircraft);
        let by_default = with(default_wobble)?;
        let by_own = with(measured.wobble)?;
        let between = measured.figures.and_then(|f| {
            let (o, s) = (f.offset_m, f.spread_m);
            let corners = [
                (o.taken_low, s.taken_low),
                (o.taken_low, s.taken_high),
                (o.taken_high, s.taken_low),
                (o.taken_high, s.taken_high),
                (o.taken, s.taken_low),
            ];
            let all: Option<Vec<Chance>> = corners
                .into_iter()
                .map(|(offset_m, spread_m)| {
                    with(Wobble {
                        offset_m,
                        spread_m,
                        ..measured.wobble
                    })
                })
                .collect();
            let mut all = all?;
            all.push(by_own.clone());
            all.sort_by_key(|c| c.touched);
            Some([all.first()?.clone(), all.last()?.clone()])
        });
        Some(Change {
            default_wobble,
            by_default,
            by_own,
            between,
        })
    }
}
