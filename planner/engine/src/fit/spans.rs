//! The largest span of every segment and every stand, by halving the bracket between a span that clears and one that
//! does not, to a whole centimetre. The aeroplane tried is otherwise like the one asked for: wing and tailplane are
//! stretched ([`clearance::like_ours`]), wheels, fuselage and heights stay.
//!
//! A segment's figure is for driving along its line from end to end with the aeroplane straight behind the nose wheel at
//! the start. It bounds nothing by itself: a way may turn off before a tight end, and the turn from one segment into the
//! next sweeps ground that belongs to neither. The table's answers are the exact ones.

use super::reasons;
use super::{FitAsked, Largest, MOST_SPAN_M, Reason, ReasonKind, SegmentSpan, Spans, StandRow, StandSpan};
use crate::clearance::{self, Clearance, Margins, Verdict};
use crate::graph::{Source, TaxiGraph};
use crate::request::MarginRule;
use crate::route::{self, Attempted, Directed, LegKind, Priced, Route, RouteError, World};
use petgraph::graph::EdgeIndex;
use rayon::prelude::*;
use std::collections::BTreeMap;
use toeline_model::airfield::Way;
use toeline_model::{Aircraft, Airfield, Bearing};

/// Narrowest span tried, metres (ours: the least that an aircraft file may say), unless the wheels stand farther apart.
const LEAST_SPAN_M: f64 = 3.0;

/// The segments that have a figure: all but runways.
pub(super) fn segments(graph: &TaxiGraph) -> Vec<EdgeIndex> {
    let taxied = |e: &EdgeIndex| !matches!(graph.segment(*e).source, Source::Runway(_));
    graph.graph.edge_indices().filter(taxied).collect()
}

/// All largest spans for one aeroplane.
pub(super) fn spans(
    world: World<'_>,
    asked: &FitAsked,
    edges: &[EdgeIndex],
    stands: &[StandRow],
    step: &(dyn Fn() + Sync),
) -> Spans {
    let scale = Scale::new(world.aircraft);
    let narrow = scale.aircraft(scale.low_cm);
    let thin = World {
        aircraft: &narrow,
        ..world
    };
    let priced = Priced::new(thin);
    let tried = Tried {
        thin,
        scale: &scale,
        asked,
        priced: &priced,
    };
    let segments = edges
        .par_iter()
        .map(|e| {
            let span = tried.segment(*e);
            step();
            span
        })
        .collect();
    let stands = (0..stands.len())
        .into_par_iter()
        .map(|i| {
            let span = tried.stand(i, &stands[i]);
            step();
            span
        })
        .collect();
    Spans { segments, stands }
}

/// Spans in whole centimetres of aeroplanes otherwise like one.
pub(super) struct Scale<'a> {
    ours: &'a Aircraft,
    low_cm: u32,
    high_cm: u32,
}

impl<'a> Scale<'a> {
    fn new(ours: &'a Aircraft) -> Scale<'a> {
        // Wings must reach beyond the wheels.
        let low_m = LEAST_SPAN_M.max(ours.outer_gear_m() + 0.01);
        Scale {
            ours,
            low_cm: (low_m * 100.0).ceil() as u32,
            high_cm: (MOST_SPAN_M * 100.0) as u32,
        }
    }

    fn aircraft(&self, cm: u32) -> Aircraft {
        clearance::like_ours(self.ours, Some(metres(cm)))
    }
}

fn metres(cm: u32) -> f64 {
    f64::from(cm) / 100.0
}

/// What all searches for one aeroplane share.
struct Tried<'a> {
    /// The field for the narrowest of them: the limits that are no matter of span.
    thin: World<'a>,
    scale: &'a Scale<'a>,
    asked: &'a FitAsked,
    priced: &'a Priced,
}

impl Tried<'_> {
    fn margins(&self, own_stand: Option<usize>) -> Margins {
        Margins {
            margin_m: self.asked.margin_m,
            vertical_margin_m: self.asked.vertical_margin_m,
            accuracy_m: self.asked.accuracy_m,
            rule: MarginRule::Pilot,
            own_stand,
        }
    }

    /// Checks the ways with a span; the best of several.
    fn look(&self, ways: &[Vec<Route>], margins: &Margins, cm: u32) -> Option<Clearance> {
        let aircraft = self.scale.aircraft(cm);
        let worst_of = |all: &Vec<Route>| {
            let each = all
                .iter()
                .filter_map(|r| clearance::judge_parts(self.thin.field, &aircraft, r, margins).ok());
            each.max_by_key(|c| super::Fits::from(c.parts_verdict))
        };
        ways.iter()
            .filter_map(worst_of)
            .min_by_key(|c| super::Fits::from(c.parts_verdict))
    }

    /// The largest spans over some ways, each driven in all its senses: every sense must clear, one way is enough.
    fn largest(&self, ways: &[Vec<Route>], margins: &Margins, tag: Option<(f64, Reason)>) -> Largest {
        let mut seen: BTreeMap<u32, Option<Clearance>> = BTreeMap::new();
        let mut verdict = |cm: u32| {
            let c = seen.entry(cm).or_insert_with(|| self.look(ways, margins, cm));
            c.as_ref().map_or(Verdict::NotClear, |c| c.parts_verdict)
        };
        let (low, high) = (self.scale.low_cm, self.scale.high_cm);
        let mut search = |good: &dyn Fn(Verdict) -> bool| {
            if good(verdict(high)) {
                return Some(high);
            }
            if !good(verdict(low)) {
                return None;
            }
            let (mut yes, mut no) = (low, high);
            while no - yes > 1 {
                let middle = yes + (no - yes) / 2;
                if good(verdict(middle)) {
                    yes = middle;
                } else {
                    no = middle;
                }
            }
            Some(yes)
        };
        let fits = search(&|v| v == Verdict::Clear);
        let perhaps = search(&|v| v != Verdict::NotClear);
        let next = fits.map_or(low, |cm| cm + 1);
        let found = seen.get(&next).and_then(Option::as_ref);
        let mut limited_by = found.and_then(|c| {
            let g = c.gaps.iter().find(|g| g.verdict != Verdict::Clear)?;
            Some(reasons::gap(g, &c.considered[g.obstacle], c))
        });
        let (mut fits_m, mut perhaps_m) = (fits.map(metres), perhaps.map(metres));
        if let Some((limit_m, reason)) = tag {
            // A limit of the map holds whatever the gaps are.
            if fits_m.is_some_and(|m| m > limit_m) {
                fits_m = Some(limit_m);
                limited_by = Some(reason);
            }
            perhaps_m = perhaps_m.map(|m| m.min(limit_m));
        }
        Largest {
            fits_m,
            perhaps_m,
            tried_from_m: metres(low),
            limited_by,
        }
    }

    fn segment(&self, edge: EdgeIndex) -> SegmentSpan {
        let (field, s) = (self.thin.field, self.thin.graph.segment(edge));
        let (feature, name) = (route::feature_of(field, s), route::name_of(field, s));
        let blocked = route::blocked(field, self.thin.graph, self.thin.aircraft, edge).map(|text| Reason {
            kind: ReasonKind::Limit,
            feature: crate::clean::name(&feature),
            name: crate::clean::name(&name),
            value_m: None,
            limit_m: None,
            text: crate::clean::sentence(&text),
            at: s.line.first().copied(),
        });
        let largest = match blocked {
            Some(reason) => Err(reason),
            None => {
                let senses = [true, false].into_iter().filter(|forward| match s.way {
                    Way::Forward => *forward,
                    Way::Backward => !*forward,
                    Way::Both => true,
                });
                let ways = senses.filter_map(|forward| route::along(self.thin, &[Directed { edge, forward }]));
                let own = match s.source {
                    Source::Stand(i) => Some(i),
                    _ => None,
                };
                let tag = span_limit(field, &feature, s.span_limit_m)
                    .map(|m| (m, reasons::span_limit(&feature, &name, m, None)));
                Ok(self.largest(&[ways.collect()], &self.margins(own), tag))
            }
        };
        SegmentSpan {
            segment: edge.index(),
            feature: crate::clean::name(&feature),
            name: crate::clean::name(&name),
            of_stand: matches!(s.source, Source::Stand(_)),
            line: s.line.clone(),
            largest,
        }
    }

    fn stand(&self, index: usize, row: &StandRow) -> StandSpan {
        let s = &self.thin.field.stands[row.stand];
        let ways = self.ways_out(row);
        let largest = match ways {
            Err(reason) => Err(reason),
            Ok(ways) => {
                let margins = self.margins(Some(row.stand));
                let tag = span_limit(self.thin.field, &s.id, s.span_limit_m)
                    .map(|m| (m, reasons::span_limit(&s.id, &row.name, m, None)));
                Ok(self.largest(&ways, &margins, tag))
            }
        };
        let place = self.thin.graph.stands.iter().find(|p| p.stand == row.stand);
        StandSpan {
            stand: index,
            at: place.map(|p| self.thin.graph.at(p.node)).or(s.line.last().copied()),
            largest,
        }
    }

    /// The ways off a stand, cut where the whole aeroplane has left the stand's line, each once; a stand without a
    /// heading has one for nose out and one for nose in, and both must clear.
    #[allow(clippy::result_large_err)] // asked once a stand
    fn ways_out(&self, row: &StandRow) -> Result<Vec<Vec<Route>>, Reason> {
        let s = &self.thin.field.stands[row.stand];
        let told = |kind, text: &str| reasons::about_stand(kind, s, &row.name, text);
        if let Some(reason) = reasons::stand_limit(self.thin, row) {
            return Err(reason);
        }
        let Some(from) = &row.ask else {
            return Err(told(ReasonKind::Stand, "another stand has the same name and feature"));
        };
        let (mut ways, mut why): (Vec<Vec<Route>>, Option<Reason>) = (Vec::new(), None);
        for to in super::rows::runways(self.thin.field).0 {
            let one = |heading: Option<Bearing>| {
                let request = self.asked.over_laid(self.thin.aircraft, from, &to, heading);
                route::find_priced(self.thin, self.priced, &request, 0.0)
            };
            let found = match one(None) {
                Err(RouteError::NeedsHeading { out_deg, in_deg, .. }) => {
                    let headings = [out_deg, in_deg].map(|d| Some(Bearing::from_deg(f64::from(d))));
                    headings.into_iter().map(one).collect::<Result<Vec<_>, _>>()
                }
                other => other.map(|a| vec![a]),
            };
            let mut routes = Vec::new();
            match found {
                Err(e) => why = why.or(Some(told(ReasonKind::NoWay, &e.to_string()))),
                Ok(list) => {
                    for attempted in list {
                        match attempted {
                            Attempted::Way(r) => routes.push(self.leaving(&r)),
                            Attempted::NoWay(n) => why = why.or(reasons::no_way(&n).into_iter().next()),
                        }
                    }
                }
            }
            let new = !routes.is_empty() && !ways.iter().any(|w| same(w, &routes));
            if new {
                ways.push(routes);
            }
        }
        if ways.is_empty() {
            return Err(why.unwrap_or_else(|| told(ReasonKind::NoWay, "the map has no runway with a designator")));
        }
        Ok(ways)
    }

    /// The start of a way, until the tail has left the line of the stand.
    fn leaving(&self, route: &Route) -> Route {
        let a = self.thin.aircraft;
        let on_stand = route
            .legs
            .iter()
            .take_while(|l| matches!(l.kind, LegKind::Stand | LegKind::HandPush));
        let off_m = on_stand.last().map_or(0.0, |l| l.to_m);
        let tail_m = a.gear.wheelbase_m
            - a.fuselage
                .tail_x_m
                .min(a.tailplane.leading_edge_x_m - a.tailplane.chord_m);
        let to_m = off_m + tail_m;
        let mut cut = route.clone();
        cut.path.pieces.retain(|p| p.from_m < to_m);
        if let Some(last) = cut.path.pieces.last_mut() {
            last.length_m = last.length_m.min(to_m - last.from_m);
        }
        cut.legs.retain(|l| l.from_m < to_m);
        cut.stops.truncate(1);
        cut.turns.retain(|t| t.from_m < to_m);
        cut
    }
}

fn same(a: &[Route], b: &[Route]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.path.pieces == b.path.pieces)
}

/// The span limit of the map or of a notice, whichever is narrower.
fn span_limit(field: &Airfield, feature: &str, mapped_m: Option<f64>) -> Option<f64> {
    let noticed = field.notice_spans_m.get(feature).copied();
    match (mapped_m, noticed) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}
