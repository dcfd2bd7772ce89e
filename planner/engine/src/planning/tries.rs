//! The loop over ways: the cheapest that clears.
//!
//! Ways are taken in order of their price. Where one fails, the failure is a fact about the segments around that place in
//! their order, and about nothing else: how the corners there are rounded, and the heading that the aeroplane brings, do
//! not depend on what lies farther than [`CONTEXT_M`] away. That sequence alone is barred (`route::Barred`) and the next
//! cheapest way is taken. So no way is passed over that does not contain a sequence seen to fail, and the first one that
//! clears is the cheapest that does, among the ways that run over no directed segment twice between two places to go by.

use super::faults::{Fault, FaultKind, faults};
use super::{Outcome, PlanError, Way, margins};
use crate::clearance::{self, Clearance, ClearanceError};
use crate::request::Request;
use crate::route::{self, Avoid, Barred, Driven, Found, LegKind, NoWay, Priced, Route, Searching, World};
use petgraph::graph::NodeIndex;

/// How many ways are driven and swept at most (ours); a way with another stand for the engine check counts again.
pub(super) const MOST_TRIES: usize = 48;
/// How far around a place the segments decide about it, metres (ours). The widest tangents of two neighbouring corners of
/// 120 degrees at an easy radius take 42 m; over 60 m a wheelbase of 3 m forgets all but exp(-20) of its heading.
const CONTEXT_M: f64 = 60.0;
/// A failure by less than this, metres, is taken as a fact about the whole way: what the heading remembers from farther
/// away moves a wing tip by less than a hundredth of it.
const SURE_M: f64 = 1e-5;

/// A way that failed.
struct Failed {
    worst: FaultKind,
    reason: String,
    route: Route,
    clearance: Clearance,
}

/// The tries so far.
struct Tries<'a> {
    check: Checked<'a>,
    ready: Searching<'a>,
    /// What is barred, and each fact by itself.
    barred: Barred,
    facts: Vec<Vec<NodeIndex>>,
    failed: Vec<Failed>,
    best: Option<(Route, Clearance)>,
    left: usize,
}

/// The cheapest way that clears, without what is to be avoided; otherwise the least bad of those tried.
pub(super) fn search_clear(
    world: World<'_>,
    request: &Request,
    declination_deg: f64,
    avoid: &Avoid,
) -> Result<Outcome, PlanError> {
    let ready = route::searching(world, request, declination_deg, avoid).map_err(PlanError::Route)?;
    let margins = margins(world, request);
    let check = |route: &Route| clearance::check(world.field, world.aircraft, route, &margins);
    search_by(ready, &check)
}

/// How the loop has a way checked.
pub(crate) type Checked<'a> = &'a dyn Fn(&Route) -> Result<Clearance, ClearanceError>;

/// The same with prices worked out before and ways checked by `check`: who fits where asks for many ways of one aeroplane.
pub(crate) fn search_clear_by(
    world: World<'_>,
    priced: &Priced,
    request: &Request,
    declination_deg: f64,
    check: Checked<'_>,
) -> Result<Outcome, PlanError> {
    let ready = route::searching_priced(world, priced, request, declination_deg).map_err(PlanError::Route)?;
    search_by(ready, check)
}

fn search_by<'a>(ready: Result<Searching<'a>, NoWay>, check: Checked<'a>) -> Result<Outcome, PlanError> {
    let ready = match ready {
        Ok(ready) => ready,
        Err(why) => return Ok(Outcome::NoWay(why)),
    };
    let mut tries = Tries {
        check,
        ready,
        barred: Barred::default(),
        facts: Vec::new(),
        failed: Vec::new(),
        best: None,
        left: MOST_TRIES,
    };
    let done = tries.until_clear()?;
    if tries.best.is_none() && tries.failed.is_empty() {
        return Ok(Outcome::NoWay(tries.ready.no_way()));
    }
    if tries.best.is_none() && done {
        tries.around_what_cannot_be_helped()?;
    }
    Ok(Outcome::Way(Box::new(tries.answer(done))))
}

impl<'a> Tries<'a> {
    /// Takes ways in order of price. False when the limit of tries was met first.
    fn until_clear(&mut self) -> Result<bool, PlanError> {
        loop {
            let Some(found) = self.ready.cheapest(&self.barred) else {
                return Ok(true);
            };
            let dearer = |best: &(Route, Clearance)| found.price_ms >= best.0.cost_ms;
            if self.best.as_ref().is_some_and(dearer) {
                return Ok(true);
            }
            if self.left == 0 {
                return Ok(false);
            }
            let (driven, clearance, faults) = self.drive(&found)?;
            let Some(first) = faults.first() else {
                // The detour into an engine-check area is not in the price of the search: ways that pass it in the same
                // manner pay the same and are dearer, one that passes it otherwise may still be cheaper.
                let check = driven.route.legs.iter().find(|l| l.kind == LegKind::CheckArea);
                let same = check.map(|l| self.around(&found, &driven, (l.from_m, l.to_m)));
                let cost_ms = driven.route.cost_ms;
                if self.best.as_ref().is_none_or(|b| cost_ms < b.0.cost_ms) {
                    self.best = Some((driven.route, clearance));
                }
                match same {
                    Some(sequence) if cost_ms > found.price_ms => self.barred.bar(&sequence),
                    _ => return Ok(true),
                };
                continue;
            };
            let (worst, reason) = (first.kind, first.reason.clone());
            for fact in self.facts_of(&found, &driven, &faults) {
                self.barred.bar(&fact);
                self.facts.push(fact);
            }
            self.failed.push(Failed {
                worst,
                reason,
                route: driven.route,
                clearance,
            });
        }
    }

    /// Nothing clears: what no way can do without (the stand itself) is borne, and the rest still mended.
    fn around_what_cannot_be_helped(&mut self) -> Result<(), PlanError> {
        let mut borne: Vec<Vec<NodeIndex>> = Vec::new();
        loop {
            let mut barred = Barred::default();
            for fact in &self.facts {
                let mut alone = Barred::default();
                alone.bar(fact);
                if borne.contains(fact) || self.ready.cheapest(&alone).is_none() {
                    borne.push(fact.clone());
                } else {
                    barred.bar(fact);
                }
            }
            let Some(found) = self.ready.cheapest(&barred) else {
                return Ok(());
            };
            if self.left == 0 {
                return Ok(());
            }
            let (driven, clearance, faults) = self.drive(&found)?;
            let Some(first) = faults.first() else {
                self.best = Some((driven.route, clearance));
                return Ok(());
            };
            let (worst, reason) = (first.kind, first.reason.clone());
            let facts = self.facts_of(&found, &driven, &faults);
            let known = self.failed.iter().any(|f| f.route.segments == driven.route.segments);
            if !known {
                self.failed.push(Failed {
                    worst,
                    reason,
                    route: driven.route,
                    clearance,
                });
            }
            let before = self.facts.len();
            for fact in facts {
                if !self.facts.contains(&fact) {
                    self.facts.push(fact);
                }
            }
            if self.facts.len() == before {
                return Ok(());
            }
        }
    }

    /// Drives a way and sweeps it, with the best way to stand for the engine check that clears.
    fn drive(&mut self, found: &Found) -> Result<(Driven, Clearance, Vec<Fault>), PlanError> {
        let mut first: Option<(Driven, Clearance, Vec<Fault>)> = None;
        for stand in 0.. {
            let driven = self.ready.drive(found, stand);
            let clearance = (self.check)(&driven.route).map_err(PlanError::Clearance)?;
            let faults = faults(&driven.route, &clearance);
            self.left = self.left.saturating_sub(1);
            let in_area = |f: &Fault| driven.route.legs.iter().any(|l| within_area(l, f));
            let other = faults.iter().any(|f| !in_area(f));
            if faults.is_empty() || (other && first.is_none()) {
                return Ok((driven, clearance, faults));
            }
            // Without an area to stand in elsewhere, another try would be the same again.
            let last = other || self.left == 0;
            let kept = first.get_or_insert((driven, clearance, faults));
            if last {
                return Ok((kept.0.clone(), kept.1.clone(), core::mem::take(&mut kept.2)));
            }
        }
        Err(PlanError::Request("no way was tried".to_string()))
    }

    /// The sequences that a way's faults are facts about.
    fn facts_of(&self, found: &Found, driven: &Driven, faults: &[Fault]) -> Vec<Vec<NodeIndex>> {
        let fact = |f: &Fault| {
            if f.short_m < SURE_M {
                found.places.clone()
            } else {
                self.around(found, driven, f.at_m)
            }
        };
        faults.iter().map(fact).collect()
    }

    /// The places of a way around a stretch of its path.
    fn around(&self, found: &Found, driven: &Driven, at_m: (f64, f64)) -> Vec<NodeIndex> {
        let (mut low, mut high) = (at_m.0 - CONTEXT_M, at_m.1 + CONTEXT_M);
        for area in driven.route.legs.iter().filter(|l| l.kind == LegKind::CheckArea) {
            if area.from_m > high || area.to_m < low {
                continue;
            }
            if self.ready.check_areas() > 1 {
                return found.places.clone();
            }
            low = low.min(area.from_m - CONTEXT_M);
            high = high.max(area.to_m + CONTEXT_M);
        }
        let near = |i: &usize| driven.spans[*i].1 >= low && driven.spans[*i].0 <= high;
        (0..found.places.len()).filter(near).map(|i| found.places[i]).collect()
    }

    /// The answer: what clears, or the least bad.
    fn answer(mut self, done: bool) -> Way {
        let (mut route, clearance) = match self.best.take() {
            Some(best) => {
                self.failed.retain(|f| f.route.cost_ms <= best.0.cost_ms);
                best
            }
            None => {
                // The least bad, and of equals the cheapest, is told with its own findings.
                let order = |i: &usize| (self.failed[*i].worst, self.failed[*i].route.cost_ms, *i);
                let least = (0..self.failed.len()).min_by_key(order).unwrap_or(0);
                let least = self.failed.remove(least);
                (least.route, least.clearance)
            }
        };
        if !done {
            route.doubts.push(format!(
                "not proven the cheapest way that clears: {MOST_TRIES} tries were made, which is the limit"
            ));
        }
        Way {
            route,
            clearance,
            given_up: self.failed.into_iter().map(|f| f.reason).collect(),
            odds: None,
        }
    }
}

fn within_area(leg: &route::Leg, fault: &Fault) -> bool {
    leg.kind == LegKind::CheckArea && leg.from_m <= fault.at_m.0 && fault.at_m.1 <= leg.to_m
}
