//! One answer for each stand, runway end and aeroplane: the loop of the whole plan itself, run on what is shared.

use super::reasons;
use super::{Cell, FitAsked, Fits, MOST_REASONS, Reason, ReasonKind, StandRow};
use crate::clearance::{self, Clearance};
use crate::planning::{self, Outcome, PlanError};
use crate::route::{Priced, Route, RouteError, World};
use std::cell::RefCell;
use toeline_model::Bearing;
use toeline_model::units::round_to;

/// One stand and one aeroplane.
pub(super) struct OneStand<'a> {
    pub(super) world: World<'a>,
    pub(super) priced: &'a Priced,
    pub(super) asked: &'a FitAsked,
    pub(super) aircraft: usize,
    pub(super) row: usize,
    pub(super) stand: &'a StandRow,
}

/// What came of one request.
struct Answer {
    fits: Fits,
    reasons: Vec<Reason>,
    least_gap_m: Option<f64>,
    way_m: Option<f64>,
}

impl Answer {
    fn without_way(fits: Fits, reasons: Vec<Reason>) -> Answer {
        Answer {
            fits,
            reasons,
            least_gap_m: None,
            way_m: None,
        }
    }
}

/// How many checked ways are kept to be met again from the same stand.
const KEPT: usize = 8;

impl OneStand<'_> {
    /// The answers for every runway end.
    ///
    /// # Errors
    /// Those of a plan that are no answer about this stand or runway.
    pub(super) fn cells(&self, runways: &[String]) -> Result<Vec<Cell>, PlanError> {
        // Ways already checked: two ends of a runway are often reached by the same way.
        let known = RefCell::new(Vec::new());
        runways
            .iter()
            .enumerate()
            .map(|(runway, to)| {
                let mut answer = self.answer(to, &known)?;
                let more = answer.reasons.len().saturating_sub(MOST_REASONS);
                answer.reasons.truncate(MOST_REASONS);
                Ok(Cell {
                    aircraft: self.aircraft,
                    stand: self.row,
                    runway,
                    fits: answer.fits,
                    reasons: answer.reasons,
                    more,
                    least_gap_m: answer.least_gap_m,
                    way_m: answer.way_m,
                })
            })
            .collect()
    }

    fn answer(&self, to: &str, known: &RefCell<Vec<(Route, Clearance)>>) -> Result<Answer, PlanError> {
        let s = &self.world.field.stands[self.stand.stand];
        let Some(from) = &self.stand.ask else {
            let text = format!("{}: another stand has the same name and feature", self.stand.name);
            let reason = reasons::about_stand(ReasonKind::Stand, s, &self.stand.name, &text);
            return Ok(Answer::without_way(Fits::NotKnown, vec![reason]));
        };
        if let Some(reason) = reasons::stand_limit(self.world, self.stand) {
            return Ok(Answer::without_way(Fits::DoesNot, vec![reason]));
        }
        match self.parked(from, to, None, known) {
            Err(PlanError::Route(RouteError::NeedsHeading { out_deg, in_deg, .. })) => {
                let out = self.told(self.parked(from, to, Some(Bearing::from_deg(f64::from(out_deg))), known))?;
                let nose_in = self.told(self.parked(from, to, Some(Bearing::from_deg(f64::from(in_deg))), known))?;
                Ok(self.either(out, nose_in, s))
            }
            other => self.told(other),
        }
    }

    /// A request that the map cannot answer is an answer here when it is about the stand or the runway.
    fn told(&self, answer: Result<Answer, PlanError>) -> Result<Answer, PlanError> {
        let Err(PlanError::Route(why)) = answer else {
            return answer;
        };
        let s = &self.world.field.stands[self.stand.stand];
        let (fits, kind) = match &why {
            RouteError::NotJoined { .. } | RouteError::NoEntry { .. } => (Fits::DoesNot, ReasonKind::NoWay),
            _ => (Fits::NotKnown, ReasonKind::Stand),
        };
        let reason = reasons::about_stand(kind, s, &self.stand.name, &why.to_string());
        Ok(Answer::without_way(fits, vec![reason]))
    }

    /// The map does not say how it is parked: the answer when both ways agree, else not known.
    fn either(&self, out: Answer, nose_in: Answer, s: &toeline_model::airfield::Stand) -> Answer {
        if out.fits == nose_in.fits {
            // The worse figures of the two, with the reasons of each.
            let least_gap_m = out.least_gap_m.into_iter().chain(nose_in.least_gap_m).reduce(f64::min);
            let mut reasons = out.reasons;
            let new: Vec<Reason> = nose_in.reasons.into_iter().filter(|r| !reasons.contains(r)).collect();
            reasons.extend(new);
            return Answer {
                fits: out.fits,
                reasons,
                least_gap_m,
                way_m: out.way_m,
            };
        }
        let word = |f: Fits| match f {
            Fits::Fits => "fits",
            Fits::NotKnown => "not known",
            Fits::DoesNot => "does not fit",
        };
        let text = format!(
            "{}: no heading on the map; parked nose out: {}, nose in: {}",
            self.stand.name,
            word(out.fits),
            word(nose_in.fits)
        );
        let mut reasons = vec![reasons::about_stand(ReasonKind::Stand, s, &self.stand.name, &text)];
        reasons.extend(out.reasons);
        reasons.extend(nose_in.reasons);
        Answer::without_way(Fits::NotKnown, reasons)
    }

    fn parked(
        &self,
        from: &str,
        to: &str,
        heading: Option<Bearing>,
        known: &RefCell<Vec<(Route, Clearance)>>,
    ) -> Result<Answer, PlanError> {
        let request = self.asked.over_laid(self.world.aircraft, from, to, heading);
        let margins = planning::margins(self.world, &request);
        let check = |route: &Route| {
            let found = known
                .borrow()
                .iter()
                .find(|(r, _)| same_way(r, route))
                .map(|(_, c)| c.clone());
            if let Some(clearance) = found {
                return Ok(clearance);
            }
            let clearance = clearance::judge(self.world.field, self.world.aircraft, route, &margins)?;
            let mut known = known.borrow_mut();
            if known.len() == KEPT {
                known.remove(0);
            }
            known.push((route.clone(), clearance.clone()));
            Ok(clearance)
        };
        // No engine check lies on the way, so no declination is needed.
        let outcome = planning::search_clear_by(self.world, self.priced, &request, 0.0, &check)?;
        Ok(match outcome {
            Outcome::NoWay(why) => Answer::without_way(Fits::DoesNot, reasons::no_way(&why)),
            Outcome::Way(way) => {
                let reasons = reasons::of_way(&way.route, &way.clearance);
                // A turn that cannot be made is no way, whatever the wings clear.
                let turns = reasons.iter().any(|r| r.kind == ReasonKind::Turn);
                Answer {
                    fits: if turns {
                        Fits::DoesNot
                    } else {
                        way.clearance.verdict.into()
                    },
                    reasons,
                    least_gap_m: way.clearance.gaps.first().map(|g| g.gap_m),
                    way_m: Some(round_to(way.route.path.length_m(), 1)),
                }
            }
        })
    }
}

/// Whether the check of two ways cannot differ: same path, legs and stops. What the stops are called does not enter it.
fn same_way(a: &Route, b: &Route) -> bool {
    let stops = |r: &Route| -> Vec<_> {
        let one = |s: &crate::route::Stop| (s.kind, s.at_m.to_bits(), s.pose, s.line_at);
        r.stops.iter().map(one).collect()
    };
    a.path == b.path && a.legs == b.legs && a.turns == b.turns && stops(a) == stops(b)
}
