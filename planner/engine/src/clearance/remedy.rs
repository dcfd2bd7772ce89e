//! What would make a way clear that is not: another way, another aeroplane, a shorter wing, somebody walking at the tip,
//! a push by hand. Each with its figures, worked out by the same sweep.

use super::advance::{self, Near};
use super::obstacles::{self, Gathered};
use super::sweep::Walk;
use super::verdict::{self, Rule};
use super::{Clearance, Gap, Margins, Verdict};
use crate::route::Route;
use crate::standing::like_ours;
use serde::{Deserialize, Serialize};
use toeline_model::aircraft::catalog;
use toeline_model::path::{DrivenPath, Motion};
use toeline_model::units::gap_floor;
use toeline_model::{Aircraft, Airfield};

/// The largest span is found to within this, metres.
const SPAN_M: f64 = 0.004;
/// Narrowest wing that is tried, metres (ours: the least that an aircraft file may say).
const LEAST_SPAN_M: f64 = 3.0;
/// How closely the bounds on one cell must come when the stretch to walk or push is looked for, metres.
const STRETCH_M: f64 = 0.01;

/// What kind of help it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RemedyKind {
    /// Another way on this map.
    AnotherWay,
    /// Another aeroplane on the same line.
    AnotherAeroplane,
    /// The same aeroplane with less span.
    LessSpan,
    /// Somebody walking at the wing tip.
    WingWalker,
    /// By hand with the engine off.
    HandPush,
}

/// One thing that would help, or why it would not.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Remedy {
    /// Kind.
    pub kind: RemedyKind,
    /// Whether it helps.
    pub helps: bool,
    /// What it means here, in a sentence with its figures.
    pub text: String,
}

struct Scene<'a> {
    field: &'a Airfield,
    aircraft: &'a Aircraft,
    route: &'a Route,
    margins: &'a Margins,
    rule: Rule,
}

/// One aeroplane on the line of the way, with what counts for it.
struct Swept {
    walk: Walk,
    gathered: Gathered,
    near: Vec<Near>,
}

/// What would make a way clear whose parts come too near something; empty when they do not. `tried` is how many other
/// ways were tried and given up.
pub fn remedies(
    field: &Airfield,
    aircraft: &Aircraft,
    route: &Route,
    margins: &Margins,
    found: &Clearance,
    tried: usize,
) -> Vec<Remedy> {
    let failing: Vec<&Gap> = found.gaps.iter().filter(|g| g.verdict == Verdict::NotClear).collect();
    let Some(worst) = failing.first() else {
        return Vec::new();
    };
    let scene = Scene {
        field,
        aircraft,
        route,
        margins,
        rule: Rule {
            margin_m: found.margin_m,
            accuracy_m: found.accuracy_m,
        },
    };
    let mut list = vec![another_way(tried)];
    // The other aeroplanes and spans are held against the pilot's margin; under a published rule the class would change
    // with the span and the figure with it, so nothing is said of them.
    if found.rule == crate::request::MarginRule::Pilot {
        list.push(scene.another_aeroplane());
        list.extend(scene.less_span());
    }
    list.extend(scene.on_foot(found, &failing, worst));
    list
}

fn another_way(tried: usize) -> Remedy {
    let text = match tried {
        0 => "Another way: there is none on this map.".to_string(),
        1 => "Another way: one other was tried, and it does not clear either.".to_string(),
        n => format!("Another way: {n} others were tried, and none clears."),
    };
    Remedy {
        kind: RemedyKind::AnotherWay,
        helps: false,
        text,
    }
}

/// The same line of the nose wheel with another wheelbase, and whether this aeroplane can make its turns.
fn led_along(path: &DrivenPath, aircraft: &Aircraft) -> Option<DrivenPath> {
    let mut other = DrivenPath::new(aircraft.gear.wheelbase_m, path.start);
    for p in &path.pieces {
        match p.motion {
            Motion::Straight => other.straight(p.direction_rad, p.length_m, p.leg),
            Motion::Arc { curvature_per_m } => {
                let radius_m = 1.0 / curvature_per_m.abs();
                if radius_m < aircraft.tightest_radius_m() - 1e-9 {
                    return None;
                }
                other.arc(p.direction_rad, radius_m, p.length_m * curvature_per_m, p.leg);
            }
            // By hand the nose wheel ends elsewhere with another wheelbase: no longer the same line.
            Motion::PushBack | Motion::PushSwing { .. } => return None,
        }
    }
    Some(other)
}

impl Scene<'_> {
    fn swept(&self, aircraft: &Aircraft, path: &DrivenPath) -> Swept {
        let walk = Walk::new(aircraft, path).looking(super::look_m(self.field, self.margins));
        let gathered = obstacles::gather(self.field, aircraft, self.route, self.margins, &walk);
        let near = advance::near(&walk, &gathered.solids);
        Swept { walk, gathered, near }
    }

    /// Worst verdict of an aeroplane's parts along a path.
    fn verdict(&self, aircraft: &Aircraft, path: &DrivenPath) -> Verdict {
        let s = self.swept(aircraft, path);
        let gaps = advance::gaps(&s.walk, &s.gathered.solids, &s.near, &self.rule);
        verdict::worst(gaps.iter().map(|g| g.verdict))
    }

    fn another_aeroplane(&self) -> Remedy {
        let mut clear: Vec<String> = Vec::new();
        let mut unknown: Vec<String> = Vec::new();
        let mut others = catalog::all();
        others.retain(|a| a.id != self.aircraft.id);
        others.sort_by(|a, b| a.wing.span_m.total_cmp(&b.wing.span_m).then(a.id.cmp(&b.id)));
        for a in &others {
            let Some(path) = led_along(&self.route.path, a) else {
                continue;
            };
            let called = format!("{} ({}, span {} m)", a.name, a.id, a.wing.span_m);
            match self.verdict(a, &path) {
                Verdict::Clear => clear.push(called),
                Verdict::NotKnown => unknown.push(called),
                Verdict::NotClear => {}
            }
        }
        let mut text = if clear.is_empty() {
            "Another aeroplane: no other built-in one is known to clear on this line.".to_string()
        } else {
            format!(
                "Another aeroplane: clear on this line by the same margin: {}.",
                clear.join(", ")
            )
        };
        if !unknown.is_empty() {
            text += &format!(" Not known: {}.", unknown.join(", "));
        }
        Remedy {
            kind: RemedyKind::AnotherAeroplane,
            helps: !clear.is_empty(),
            text,
        }
    }

    /// The largest span of this aeroplane that clears, by halving; the tail shrinks with the wing.
    fn less_span(&self) -> Option<Remedy> {
        let clears =
            |span_m: f64| self.verdict(&like_ours(self.aircraft, Some(span_m)), &self.route.path) == Verdict::Clear;
        let (mut low, mut high) = (
            LEAST_SPAN_M.max(self.aircraft.gear.track_m * 1.01),
            self.aircraft.wing.span_m,
        );
        let text = if low >= high || !clears(low) {
            "Less span: a shorter wing would not clear here.".to_string()
        } else {
            while high - low > SPAN_M {
                let middle = (low + high) / 2.0;
                if clears(middle) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            format!(
                "Less span: this aeroplane would clear with {:.2} m, it has {} m.",
                // Down to the centimetre.
                (low * 100.0).floor() / 100.0,
                self.aircraft.wing.span_m
            )
        };
        Some(Remedy {
            kind: RemedyKind::LessSpan,
            helps: !text.contains("would not"),
            text,
        })
    }

    /// Where to stop, and what walking at the tip or pushing by hand would do.
    fn on_foot(&self, found: &Clearance, failing: &[&Gap], worst: &Gap) -> Vec<Remedy> {
        let s = self.swept(self.aircraft, &self.route.path);
        let name = &found.considered[worst.obstacle].name;
        // An aeroplane on a stand has an outline a part.
        let same = |g: &&&Gap| found.considered[g.obstacle].name == *name;
        let solids: Vec<usize> = failing.iter().filter(same).map(|g| g.obstacle).collect();
        let Some((from_m, to_m)) = self.stretch(&s, &solids, worst) else {
            return Vec::new();
        };
        let touches = worst.contact_m.is_some();
        let stop = if from_m <= 0.0 {
            "too near from the start on: leave the engine off".to_string()
        } else {
            format!("stop before {from_m:.0} m of the way, engine off")
        };
        let walker = if touches {
            format!("Wing walker: no help, the {} touches {name}.", worst.part)
        } else {
            format!(
                "Wing walker: somebody at the {} from {from_m:.0} m to {to_m:.0} m of the way; {:.1} m is left to {name} there.",
                worst.part,
                gap_floor(worst.gap_m)
            )
        };
        let push = if touches {
            format!("Hand-push: {stop}; pushed along the same line it touches, so it must be moved aside by hand.")
        } else {
            format!(
                "Hand-push: {stop}; by hand with somebody at the {} for {:.0} m, to {to_m:.0} m, then on.",
                worst.part,
                to_m - from_m
            )
        };
        let one = |kind, helps, text| Remedy { kind, helps, text };
        vec![
            one(RemedyKind::WingWalker, !touches, walker),
            one(RemedyKind::HandPush, true, push),
        ]
    }

    /// The stretch of way around the worst place where some part may be nearer than the margin, to whole cells: a metre
    /// or less too long at either end, never too short.
    fn stretch(&self, s: &Swept, solids: &[usize], worst: &Gap) -> Option<(f64, f64)> {
        let mut tight: Vec<(f64, f64)> = Vec::new();
        for (i, c) in s.walk.cells.iter().enumerate() {
            let pairs: Vec<&Near> = s
                .near
                .iter()
                .filter(|n| n.cell == i && solids.contains(&n.solid))
                .collect();
            if pairs.is_empty() {
                continue;
            }
            let found = advance::least(&s.walk, &s.gathered.solids, pairs, STRETCH_M);
            if found.best.is_some() && found.lower_m < self.rule.margin_m {
                match tight.last_mut() {
                    Some(last) if c.from_m <= last.1 + 1e-6 => last.1 = c.to_m,
                    _ => tight.push((c.from_m, c.to_m)),
                }
            }
        }
        tight
            .iter()
            .copied()
            .find(|(a, b)| (a - 1e-6..=b + 1e-6).contains(&worst.at_m))
            .or_else(|| tight.first().copied())
    }
}
