//! The words for a way: the instruction in the published order, the read-back, and the announcements at a field without a
//! tower. An instruction that is written here is read and followed again before it is given out: it leads along the same
//! segments, or it says that it does not.

use super::names::Names;
use super::parts::{Parts, Word, of_instruction};
use super::{Instruction, follow, read};
use crate::graph::Source;
use crate::request::Request;
use crate::route::{Directed, Route, StopKind, World, runway_name};
use serde::{Deserialize, Serialize};

/// What is said on the radio for a way. "(callsign)" stands for the aeroplane's own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Said {
    /// The instruction in ICAO order: holding position, runway, taxiways, words about runways.
    pub instruction: String,
    /// The same in FAA order: runway, taxiways, words about runways.
    pub runway_first: String,
    /// Why the instruction does not name this way alone, when it does not.
    pub doubt: Option<String>,
    /// What the student says back.
    pub read_back: String,
    /// The read-back with letters and figures spelled as they are spoken.
    pub spoken: String,
    /// What of it must be read back.
    pub must: Vec<String>,
    /// What is said later, where the way meets a runway: what the tower says, and what the student says back.
    pub later: Vec<(String, String)>,
    /// Announcements at a field without a tower, in order.
    pub without_tower: Vec<String>,
}

/// The words for a way that was found from `request`; `given` is the instruction that it follows, when it follows one.
pub fn say(world: World<'_>, request: &Request, route: &Route, given: Option<&Instruction>) -> Said {
    let names = Names::of(world.field, world.graph);
    let way = of_way(world, &names, route);
    let (parts, doubt) = match given.and_then(|g| of_instruction(&names, g)) {
        Some(parts) => (parts, None),
        None => {
            let wanted: Vec<Directed> = route
                .segments
                .iter()
                .map(|(edge, forward)| Directed {
                    edge: *edge,
                    forward: *forward,
                })
                .collect();
            unmistakable(world, &names, request, &way, &wanted)
        }
    };
    Said {
        instruction: parts.icao(),
        runway_first: parts.faa(),
        doubt,
        read_back: parts.read_back(),
        spoken: parts.spoken(),
        must: parts.must(),
        later: later(&parts),
        without_tower: without_tower(world, route, &way),
    }
}

/// The first of several ways of putting it that leads along exactly these segments.
fn unmistakable(
    world: World<'_>,
    names: &Names<'_>,
    request: &Request,
    way: &Parts,
    wanted: &[Directed],
) -> (Parts, Option<String>) {
    let mut tries = Vec::new();
    for places in [false, true] {
        if way.hold.is_some() {
            tries.push(Parts {
                runway_on: None,
                places,
                ..way.clone()
            });
        }
        if way.runway.is_some() {
            tries.push(Parts {
                hold: None,
                runway_on: None,
                places,
                ..way.clone()
            });
            tries.push(Parts {
                hold: None,
                places,
                ..way.clone()
            });
        }
    }
    let leads = |p: &Parts| {
        let said = read(&p.icao()).ok()?;
        follow::segments_of(world, names, request, &said)
    };
    for p in &tries {
        if leads(p).is_some_and(|list| list == wanted) {
            return (p.clone(), None);
        }
    }
    let why = "these words alone do not lead along this way (a place has no letter or name on the map, or another way fits \
        them as well): ask for step-by-step directions (progressive taxi, FAA AIM 4-3-18 b 3)";
    (
        tries.into_iter().next().unwrap_or_else(|| way.clone()),
        Some(why.to_string()),
    )
}

/// The parts of the instruction for a way.
fn of_way(world: World<'_>, names: &Names<'_>, route: &Route) -> Parts {
    let graph = world.graph;
    let list: Vec<Directed> = route
        .segments
        .iter()
        .map(|(edge, forward)| Directed {
            edge: *edge,
            forward: *forward,
        })
        .collect();
    let mut parts = Parts::default();
    if let Some(end) = route.stops.last().filter(|s| s.kind == StopKind::End) {
        parts.hold = (!end.derived && end.line_at.is_some()).then(|| end.name.clone());
        let runway = end.of.as_deref().and_then(|o| o.strip_prefix("runway "));
        // Both designators: no runway was assigned.
        parts.runway = runway.filter(|r| !r.contains('/')).map(String::from);
    }
    let mut last: Option<String> = None;
    for (i, d) in list.iter().enumerate() {
        if let Some(before) = i.checked_sub(1).map(|k| list[k]) {
            for runway in names.runways_at(before.end(graph)) {
                let on = |d: Directed| graph.segment(d.edge).source == Source::Runway(runway);
                if !on(before) && !on(*d) {
                    let lane = names
                        .of_segment(before.edge)
                        .first()
                        .or(names.of_segment(d.edge).first());
                    parts.words.push(Word {
                        crosses: false,
                        what: runway_name(world.field, runway),
                        runway: true,
                        on: lane.map(|l| names.shown(l).to_string()),
                    });
                }
            }
        }
        let piece = match graph.segment(d.edge).source {
            Source::Runway(r) => Some(runway_name(world.field, r)),
            Source::Stand(_) => None,
            Source::Lane(..) => lane_of(names, &list[i..], last.as_deref()),
        };
        if let Some(piece) = piece
            && last.as_ref() != Some(&piece)
        {
            parts.via.push(match names.lanes.get(&piece) {
                Some(shown) => shown.clone(),
                None => piece.clone(),
            });
            last = Some(piece);
        }
    }
    parts.runway_on = last.as_ref().and_then(|l| names.lanes.get(l)).cloned();
    parts
}

/// Which of a segment's names to say: the one already being followed, else the one that goes on longest.
fn lane_of(names: &Names<'_>, ahead: &[Directed], last: Option<&str>) -> Option<String> {
    let letters = names.of_segment(ahead[0].edge);
    if let Some(same) = letters.iter().find(|l| Some(l.as_str()) == last) {
        return Some(same.clone());
    }
    let run = |l: &String| {
        ahead
            .iter()
            .take_while(|d| names.of_segment(d.edge).contains(l))
            .count()
    };
    let mut best: Option<&String> = None;
    for l in letters {
        if best.is_none_or(|b| run(l) > run(b)) {
            best = Some(l);
        }
    }
    best.cloned()
}

/// What is said later, before each runway that is held short of on the way.
fn later(parts: &Parts) -> Vec<(String, String)> {
    let assigned = |w: &Word| {
        let runway = w.what.strip_prefix("runway ").unwrap_or_default();
        runway.split('/').any(|d| Some(d) == parts.runway.as_deref())
    };
    let words = parts.words.iter().filter(|w| w.runway && !w.crosses && !assigned(w));
    words
        .map(|w| {
            let crossing = Word {
                crosses: true,
                ..w.clone()
            }
            .written(true);
            (crossing.clone(), format!("{crossing}, {}", super::words::CALLSIGN))
        })
        .collect()
}

/// Announcements at a field without a tower: who is called, who calls, where, what, and who is called again (FAA AIM 4-1-9,
/// from memory).
fn without_tower(world: World<'_>, route: &Route, parts: &Parts) -> Vec<String> {
    let place = world.field.name.as_deref().unwrap_or("(field)");
    let call = |what: &str| format!("{place} traffic, {}, {what}, {place}", super::words::CALLSIGN);
    let start = route.stops.first().map_or("(place)", |s| s.name.as_str());
    let to = match (&parts.runway, &parts.hold) {
        (Some(r), _) => format!("runway {r}"),
        (None, Some(h)) => format!("holding point {h}"),
        (None, None) => "the runway".to_string(),
    };
    let via = if parts.via.is_empty() {
        String::new()
    } else {
        format!(" via {}", parts.via.join(", "))
    };
    let mut list = vec![call(&format!("{start}, taxiing to {to}{via}"))];
    for w in parts.words.iter().filter(|w| w.runway) {
        let on = w.on.as_ref().map(|l| format!(" at {l}")).unwrap_or_default();
        list.push(call(&format!("crossing {}{on}", w.what)));
        list.push(call(&format!("clear of {}", w.what)));
    }
    for v in parts.via.iter().filter(|v| v.starts_with("runway ")) {
        list.push(call(&format!("entering {v} to taxi along it")));
        list.push(call(&format!("clear of {v}")));
    }
    list
}
