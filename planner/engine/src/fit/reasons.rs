//! What blocks an aeroplane, in figures and in words.

use super::{Reason, ReasonKind, StandRow};
use crate::clean;
use crate::clearance::{Clearance, Considered, Gap, Verdict};
use crate::request::MarginRule;
use crate::route::{NoWay, Route, TurnMeans, World};
use toeline_model::airfield::Stand;
use toeline_model::units::{gap_floor, round_to};

/// A reason about a stand.
pub(super) fn about_stand(kind: ReasonKind, stand: &Stand, name: &str, text: &str) -> Reason {
    Reason {
        kind,
        feature: clean::name(&stand.id),
        name: clean::name(name),
        value_m: None,
        limit_m: None,
        text: clean::sentence(text),
        at: stand.line.first().copied(),
    }
}

/// A stand that is closed, or marked for narrower wings: so for an aeroplane pushed off it by hand too, whose way does
/// not run along the stand's line.
pub(super) fn stand_limit(world: World<'_>, row: &StandRow) -> Option<Reason> {
    let s = &world.field.stands[row.stand];
    if let Some(why) = &s.closed {
        let text = format!("{}: closed ({why})", row.name);
        return Some(about_stand(ReasonKind::Limit, s, &row.name, &text));
    }
    let (span_m, limit_m) = (world.aircraft.wing.span_m, s.span_limit_m?);
    (span_m > limit_m).then(|| Reason {
        value_m: Some(span_m),
        limit_m: Some(limit_m),
        ..span_limit(&s.id, &row.name, limit_m, Some(span_m))
    })
}

/// A span limit of the map.
pub(super) fn span_limit(feature: &str, name: &str, limit_m: f64, span_m: Option<f64>) -> Reason {
    let ours = span_m.map_or(String::new(), |s| format!(", this wing has {s} m"));
    Reason {
        kind: ReasonKind::Limit,
        feature: clean::name(feature),
        name: clean::name(name),
        value_m: span_m,
        limit_m: Some(limit_m),
        text: clean::sentence(&format!("{name}: spans up to {limit_m} m only{ours}")),
        at: None,
    }
}

/// Why there is no way: the limits next to what can be reached.
pub(super) fn no_way(why: &NoWay) -> Vec<Reason> {
    let mut list: Vec<Reason> = why
        .blocks
        .iter()
        .map(|b| Reason {
            kind: ReasonKind::Limit,
            feature: clean::name(&b.feature),
            name: clean::name(b.text.split(':').next().unwrap_or("")),
            value_m: None,
            limit_m: None,
            text: clean::sentence(&b.text),
            at: Some(b.at),
        })
        .collect();
    if list.is_empty() {
        list.push(Reason {
            kind: ReasonKind::NoWay,
            feature: String::new(),
            name: clean::name(&why.unreachable),
            value_m: None,
            limit_m: None,
            text: clean::sentence(&format!(
                "no lane in use leads from {} to {}",
                why.from, why.unreachable
            )),
            at: None,
        });
    }
    list
}

/// Everything that keeps a way from being clear, worst first: what cannot be before what is not known.
pub(super) fn of_way(route: &Route, c: &Clearance) -> Vec<Reason> {
    let mut list: Vec<(bool, Reason)> = Vec::new();
    for t in route.turns.iter().filter(|t| t.means == TurnMeans::NotPossible) {
        let leg = route.legs.iter().find(|l| l.to_m >= t.from_m);
        let name = leg.map_or("the way", |l| l.name.as_str());
        let reason = Reason {
            kind: ReasonKind::Turn,
            feature: clean::name(leg.map_or("", |l| l.feature.as_str())),
            name: clean::name(name),
            value_m: Some(round_to(t.radius_m, 1)),
            limit_m: None,
            text: clean::sentence(&format!(
                "{name}: a turn of {:.1} m radius, tighter than this aeroplane can make",
                t.radius_m
            )),
            at: Some(route.path.pose_at(t.from_m).nose),
        };
        list.push((false, reason));
    }
    for verdict in [Verdict::NotClear, Verdict::NotKnown] {
        let known = verdict == Verdict::NotKnown;
        // Gaps come smallest first; the parts of one parked aeroplane are told once.
        let mut told: Vec<&str> = Vec::new();
        for g in c.gaps.iter().filter(|g| g.verdict == verdict) {
            let about = &c.considered[g.obstacle];
            if !told.contains(&about.name.as_str()) {
                told.push(&about.name);
                list.push((known, gap(g, about, c)));
            }
        }
        for e in c.edges.iter().filter(|e| e.verdict == verdict) {
            let leg = &route.legs[e.leg];
            // A lane without letters is told from others by its feature.
            let called = if leg.letters.is_empty() {
                format!("{} ({})", leg.name, leg.feature)
            } else {
                leg.name.clone()
            };
            let (text, value_m) = match e.room_m {
                Some(room) if room < 0.0 => (
                    format!("{called}: a main wheel runs {:.1} m off the pavement", -room),
                    Some(round_to(room, 1)),
                ),
                Some(room) => (
                    format!(
                        "{called}: a main wheel comes within {:.1} m of the pavement edge",
                        gap_floor(room)
                    ),
                    Some(gap_floor(room)),
                ),
                None => (format!("{called}: its width is not on the map"), None),
            };
            let reason = Reason {
                kind: ReasonKind::Wheel,
                feature: clean::name(&leg.feature),
                name: clean::name(&leg.name),
                value_m,
                limit_m: value_m.map(|_| 0.0),
                text: clean::sentence(&text),
                at: Some(route.path.pose_at(e.at_m).nose),
            };
            // A way comes to one leg several times; the same is told once.
            if !list.iter().any(|(_, r)| r.text == reason.text) {
                list.push((known, reason));
            }
        }
        for h in c.holds.iter().filter(|h| h.verdict == verdict) {
            let stop = &route.stops[h.stop];
            list.push((
                known,
                Reason {
                    kind: ReasonKind::Hold,
                    feature: String::new(),
                    name: clean::name(&stop.name),
                    value_m: Some(round_to(h.behind_m, 1)),
                    limit_m: Some(0.0),
                    text: clean::sentence(&format!(
                        "{}: the {} stands {:.1} m over the holding line",
                        stop.name, h.part, -h.behind_m
                    )),
                    at: Some(stop.pose.nose),
                },
            ));
        }
    }
    for text in &c.unplaced {
        list.push((
            true,
            Reason {
                kind: ReasonKind::Notice,
                feature: String::new(),
                name: String::new(),
                value_m: None,
                limit_m: None,
                text: clean::sentence(text),
                at: None,
            },
        ));
    }
    if list.is_empty() && c.verdict != Verdict::Clear {
        // Nothing near fails, and still it is not clear: what is drawn without a place could be anywhere.
        let text = if c.rule == MarginRule::Pilot {
            "the map has an obstacle without a place: nothing can be called clear"
        } else {
            "the published rows do not reach this aeroplane, or the map has an obstacle without a place"
        };
        list.push((
            true,
            Reason {
                kind: ReasonKind::Gap,
                feature: String::new(),
                name: String::new(),
                value_m: None,
                limit_m: None,
                text: text.to_string(),
                at: None,
            },
        ));
    }
    list.sort_by_key(|(known, _)| *known);
    list.into_iter().map(|(_, r)| r).collect()
}

/// A gap that is too small, or too small to be sure of.
pub(super) fn gap(g: &Gap, about: &Considered, c: &Clearance) -> Reason {
    let shown = gap_floor(g.gap_m);
    let limit = c.rule == MarginRule::Pilot;
    let asked = if limit {
        format!("{} m asked", c.margin_m)
    } else {
        "the published row asks more".to_string()
    };
    let text = match g.verdict {
        _ if g.contact_m.is_some() && about.sure => format!("the {} touches {}", g.part, about.name),
        Verdict::NotClear => format!("{shown:.1} m from the {} to {}, {asked}", g.part, about.name),
        _ if !about.sure => format!(
            "{shown:.1} m from the {} to {}, which may stand otherwise; {asked}",
            g.part, about.name
        ),
        _ => format!(
            "{shown:.1} m from the {} to {}, {asked}: not sure, because the map may be off by {} m",
            g.part, about.name, c.accuracy_m
        ),
    };
    Reason {
        kind: ReasonKind::Gap,
        feature: clean::name(&about.feature),
        name: clean::name(&about.name),
        value_m: Some(shown),
        limit_m: limit.then_some(c.margin_m),
        text: clean::sentence(&text),
        at: Some(g.on_obstacle),
    }
}
