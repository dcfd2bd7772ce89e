//! The loop over ways: the cheapest that clears.
//!
//! Ways are taken in order of their price. Where one fails, the failure is a fact about the segments around that place in
//! their order, and about nothing else: how the corners there are rounded, and the heading that the aeroplane brings, do
//! not depend on what lies farther than [`CONTEXT_M`] away. That sequence alone is barred (`route::Barred`) and the next
//! cheapest way is taken. So no way is passed over that does not contain a sequence seen to fail, and the first one that
//! clears is the cheapest that does, among the ways that run over no directed segment twice between two places to go by.

use super::faults::{Fault, FaultKind, faults};
use super::{Outcome, PlanError, Way, margins};
use crate::clearance::{self, Clearance, ClearanceError, Margins};
use crate::request::Request;
use crate::route::{
    self, Avoid, Barred, Driven, Found, GaveUp, LegKind, NoWay, Place, Priced, Route, Searching, World,
};
use petgraph::graph::{EdgeIndex, NodeIndex};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// How many ways are driven and swept at most (ours); a way with another stand for the engine check counts again.
pub(super) const MOST_TRIES: usize = 48;
/// How often each place of the search graph is looked at on average while ways are searched for one question (ours: four
/// times for each try). Beyond that the proof that no other way clears can take hours where rounds lead everywhere.
const LOOKS_A_PLACE: usize = 4 * MOST_TRIES;
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
    found: Found,
    route: Route,
}

/// A way as it was driven and judged.
#[derive(Clone)]
struct Tried {
    driven: Driven,
    /// Worst first.
    faults: Rc<Vec<Fault>>,
}

/// A request with everything that was learnt about its ways: what is learnt for one question holds for the next.
pub(super) struct Tries<'a> {
    world: World<'a>,
    margins: Margins,
    ready: Searching<'a>,
    /// How ways are judged; absent where that is [`clearance::judge`] by the margins of the request.
    judge: Option<Judge<'a>>,
    /// Sequences seen to fail, in the order in which they were.
    facts: Vec<Vec<NodeIndex>>,
    failed: Vec<Failed>,
    /// Ways driven, by their places.
    known: BTreeMap<Vec<NodeIndex>, Tried>,
    left: usize,
    /// How many beginnings of ways may still be looked at.
    looks: usize,
}

/// How the loop over ways ended.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ended {
    /// Every way that could matter was looked at.
    Proven,
    /// At the limit of tries.
    Tries,
    /// At the limit of the search for the next way.
    Search,
}

/// One question: the cheapest way that clears without some places.
struct Asked {
    /// Places that are not to be used.
    without: BTreeSet<NodeIndex>,
    barred: Barred,
    best: Option<Route>,
}

/// A way picked as an answer, not yet looked at for all that is shown of it.
pub(super) struct Picked {
    pub(super) route: Route,
    given_up: Vec<String>,
}

impl Picked {
    fn with(self, clearance: Clearance) -> Way {
        Way {
            route: self.route,
            clearance,
            given_up: self.given_up,
            gone_around: Vec::new(),
            odds: None,
        }
    }
}

/// What a question gives.
pub(super) enum Answered {
    /// A way that clears.
    Clear(Picked),
    /// None does: the least bad of those tried.
    LeastBad(Picked),
    /// There is none to try.
    None,
}

/// The cheapest way that clears; otherwise the least bad of those tried.
pub(super) fn search_clear(world: World<'_>, request: &Request, declination_deg: f64) -> Result<Outcome, PlanError> {
    let mut tries = match Tries::new(world, request, declination_deg)? {
        Ok(tries) => tries,
        Err(why) => return Ok(Outcome::NoWay(why)),
    };
    Ok(match tries.answer(&BTreeSet::new())? {
        Answered::Clear(picked) | Answered::LeastBad(picked) => Outcome::Way(Box::new(tries.shown(picked)?)),
        Answered::None => Outcome::NoWay(tries.ready.no_way()),
    })
}

/// How the loop has a way judged.
pub(crate) type Judge<'a> = &'a dyn Fn(&Route) -> Result<Clearance, ClearanceError>;

/// The same with prices worked out before, and ways judged by `judge` and no more: who fits where asks for many ways of one
/// aeroplane.
pub(crate) fn search_clear_by(
    world: World<'_>,
    priced: &Priced,
    request: &Request,
    declination_deg: f64,
    judge: Judge<'_>,
) -> Result<Outcome, PlanError> {
    let ready = route::searching_priced(world, priced, request, declination_deg).map_err(PlanError::Route)?;
    let mut tries = match ready {
        Ok(ready) => Tries::over(world, request, ready),
        Err(why) => return Ok(Outcome::NoWay(why)),
    };
    tries.judge = Some(judge);
    Ok(match tries.answer(&BTreeSet::new())? {
        Answered::Clear(picked) | Answered::LeastBad(picked) => {
            let clearance = judge(&picked.route).map_err(PlanError::Clearance)?;
            Outcome::Way(Box::new(picked.with(clearance)))
        }
        Answered::None => Outcome::NoWay(tries.ready.no_way()),
    })
}

impl<'a> Tries<'a> {
    /// Looks a request up; or why a place of it is closed.
    pub(super) fn new(
        world: World<'a>,
        request: &'a Request,
        declination_deg: f64,
    ) -> Result<Result<Tries<'a>, NoWay>, PlanError> {
        let ready = route::searching(world, request, declination_deg, &Avoid::default()).map_err(PlanError::Route)?;
        Ok(ready.map(|ready| Tries::over(world, request, ready)))
    }

    fn over(world: World<'a>, request: &Request, ready: Searching<'a>) -> Tries<'a> {
        Tries {
            world,
            margins: margins(world, request),
            ready,
            judge: None,
            facts: Vec::new(),
            failed: Vec::new(),
            known: BTreeMap::new(),
            left: 0,
            looks: 0,
        }
    }

    /// The cheapest way that clears and uses none of these segments, in either sense.
    pub(super) fn answer(&mut self, without: &BTreeSet<EdgeIndex>) -> Result<Answered, PlanError> {
        let search = &self.ready.search;
        let avoided = |n: &NodeIndex| match search.graph[*n] {
            Place::On(_, d) => without.contains(&d.edge),
            Place::Source | Place::Sink => false,
        };
        let mut asked = Asked {
            without: search.graph.node_indices().filter(avoided).collect(),
            barred: Barred::default(),
            best: None,
        };
        self.left = MOST_TRIES;
        self.looks = LOOKS_A_PLACE * search.graph.node_count();
        asked.barred = asked.places_barred();
        for fact in &self.facts {
            asked.barred.bar(fact);
        }
        let mut ended = self.until_clear(&mut asked)?;
        let known: Vec<&Failed> = self.failed.iter().filter(|f| asked.allows(&f.found)).collect();
        if asked.best.is_none() && known.is_empty() {
            return Ok(Answered::None);
        }
        if asked.best.is_none() && ended != Ended::Tries {
            let then = self.around_what_cannot_be_helped(&mut asked)?;
            if ended == Ended::Proven {
                ended = then;
            }
        }
        Ok(self.picked(asked, ended))
    }

    /// Takes ways in order of price.
    fn until_clear(&mut self, asked: &mut Asked) -> Result<Ended, PlanError> {
        loop {
            let found = match self.ready.cheapest(&asked.barred, &mut self.looks) {
                Ok(Some(found)) => found,
                Ok(None) => return Ok(Ended::Proven),
                Err(GaveUp) => return Ok(Ended::Search),
            };
            let dearer = |best: &Route| found.price_ms >= best.cost_ms;
            if asked.best.as_ref().is_some_and(dearer) {
                return Ok(Ended::Proven);
            }
            if self.left == 0 {
                return Ok(Ended::Tries);
            }
            let tried = self.drive(&found)?;
            let driven = &tried.driven;
            if tried.faults.is_empty() {
                // The detour into an engine-check area is not in the price of the search: ways that pass it in the same
                // manner pay the same and are dearer, one that passes it otherwise may still be cheaper.
                let check = driven.route.legs.iter().find(|l| l.kind == LegKind::CheckArea);
                let same = check.map(|l| self.around(&found, driven, (l.from_m, l.to_m)));
                let (cost_ms, price_ms) = (driven.route.cost_ms, found.price_ms);
                if asked.best.as_ref().is_none_or(|b| cost_ms < b.cost_ms) {
                    asked.best = Some(driven.route.clone());
                }
                match same {
                    Some(sequence) if cost_ms > price_ms => asked.barred.bar(&sequence),
                    _ => return Ok(Ended::Proven),
                };
                continue;
            }
            for fact in self.failed_by(&found, &tried) {
                asked.barred.bar(&fact);
            }
        }
    }

    /// Keeps a way that failed, and gives the sequences that its faults are facts about.
    fn failed_by(&mut self, found: &Found, tried: &Tried) -> Vec<Vec<NodeIndex>> {
        let facts = self.facts_of(found, &tried.driven, &tried.faults);
        for fact in &facts {
            if !self.facts.contains(fact) {
                self.facts.push(fact.clone());
            }
        }
        if let Some(first) = tried.faults.first()
            && self.failed.iter().all(|f| f.found.places != found.places)
        {
            self.failed.push(Failed {
                worst: first.kind,
                reason: first.reason.clone(),
                found: found.clone(),
                route: tried.driven.route.clone(),
            });
        }
        facts
    }

    /// Nothing clears: what no way can do without (the stand itself) is borne, and the rest still mended.
    fn around_what_cannot_be_helped(&mut self, asked: &mut Asked) -> Result<Ended, PlanError> {
        asked.barred = asked.places_barred();
        self.looks = LOOKS_A_PLACE * self.ready.search.graph.node_count();
        let mut looked_at = 0;
        loop {
            for fact in &self.facts[looked_at..] {
                let mut alone = asked.places_barred();
                alone.bar(fact);
                if matches!(self.ready.cheapest(&alone, &mut self.looks), Ok(Some(_))) {
                    asked.barred.bar(fact);
                }
            }
            looked_at = self.facts.len();
            let found = match self.ready.cheapest(&asked.barred, &mut self.looks) {
                Ok(Some(found)) => found,
                Ok(None) => return Ok(Ended::Proven),
                Err(GaveUp) => return Ok(Ended::Search),
            };
            if self.left == 0 {
                return Ok(Ended::Tries);
            }
            let tried = self.drive(&found)?;
            if tried.faults.is_empty() {
                asked.best = Some(tried.driven.route);
                return Ok(Ended::Proven);
            }
            self.failed_by(&found, &tried);
            if self.facts.len() == looked_at {
                return Ok(Ended::Proven);
            }
        }
    }

    /// Drives a way and sweeps it, with the best way to stand for the engine check that clears.
    fn drive(&mut self, found: &Found) -> Result<Tried, PlanError> {
        if let Some(known) = self.known.get(&found.places) {
            return Ok(known.clone());
        }
        let mut first: Option<Tried> = None;
        for stand in 0.. {
            let driven = self.ready.drive(found, stand);
            let clearance = match self.judge {
                Some(judge) => judge(&driven.route),
                None => clearance::judge(self.world.field, self.world.aircraft, &driven.route, &self.margins),
            };
            let clearance = clearance.map_err(PlanError::Clearance)?;
            let faults = faults(&driven.route, &clearance);
            self.left = self.left.saturating_sub(1);
            let in_area = |f: &Fault| driven.route.legs.iter().any(|l| within_area(l, f));
            let other = faults.iter().any(|f| !in_area(f));
            let clear = faults.is_empty();
            let tried = Tried {
                driven,
                faults: Rc::new(faults),
            };
            // Where something fails outside the area, or nowhere to stand is left, the best place is told of.
            let tried = match first.take() {
                None => tried,
                Some(_) if clear => tried,
                Some(best) => best,
            };
            if clear || other || self.left == 0 {
                self.known.insert(found.places.clone(), tried.clone());
                return Ok(tried);
            }
            first = Some(tried);
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
        // One piece without a hole, and never nothing: otherwise barring it would leave the way as it is, to be found again.
        let near = |s: &(f64, f64)| s.1 >= low && s.0 <= high;
        match (driven.spans.iter().position(near), driven.spans.iter().rposition(near)) {
            (Some(first), Some(last)) => found.places[first..=last].to_vec(),
            _ => found.places.clone(),
        }
    }

    /// What clears, or the least bad.
    fn picked(&self, asked: Asked, ended: Ended) -> Answered {
        let mut failed: Vec<&Failed> = self.failed.iter().filter(|f| asked.allows(&f.found)).collect();
        failed.sort_by_key(|f| f.found.price_ms);
        let clears = asked.best.is_some();
        let mut route = match asked.best {
            Some(best) => {
                failed.retain(|f| f.route.cost_ms <= best.cost_ms);
                best
            }
            None => {
                // The least bad, and of equals the cheapest, is told with its own findings.
                let order = |i: &usize| (failed[*i].worst, failed[*i].route.cost_ms, *i);
                let Some(least) = (0..failed.len()).min_by_key(order) else {
                    return Answered::None;
                };
                failed.remove(least).route.clone()
            }
        };
        match ended {
            Ended::Proven => {}
            Ended::Tries => route.doubts.push(format!(
                "not proven the cheapest way that clears: {MOST_TRIES} tries were made, which is the limit"
            )),
            Ended::Search => route
                .doubts
                .push("not proven the cheapest way that clears: the search for the next way met its limit".to_string()),
        }
        let given_up = failed.into_iter().map(|f| f.reason.clone()).collect();
        let picked = Picked { route, given_up };
        if clears {
            Answered::Clear(picked)
        } else {
            Answered::LeastBad(picked)
        }
    }

    /// An answer with all that is shown of it.
    pub(super) fn shown(&self, picked: Picked) -> Result<Way, PlanError> {
        let clearance = clearance::check(self.world.field, self.world.aircraft, &picked.route, &self.margins);
        Ok(picked.with(clearance.map_err(PlanError::Clearance)?))
    }
}

impl Asked {
    /// The places that are not to be used, barred, and nothing else.
    fn places_barred(&self) -> Barred {
        let mut barred = Barred::default();
        for place in &self.without {
            barred.bar(&[*place]);
        }
        barred
    }

    /// Whether a way uses none of them.
    fn allows(&self, found: &Found) -> bool {
        !found.places.iter().any(|p| self.without.contains(p))
    }
}

fn within_area(leg: &route::Leg, fault: &Fault) -> bool {
    leg.kind == LegKind::CheckArea && leg.from_m <= fault.at_m.0 && fault.at_m.1 <= leg.to_m
}
