//! What is asked to be closed, by name or feature id.

use crate::route::{self, RouteError, same};
use toeline_model::Xy;
use toeline_model::airfield::{Airfield, Closed, Closure, FeatureId, LaneKind, NamedArea};

/// The reason that is written on an asked closure.
const REASON: &str = "as asked";

/// What kind of thing is to be closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Taxiways and taxilanes of a letter, or one by its feature.
    Lane,
    /// A runway, by either designator, both ("08/26") or its feature.
    Runway,
    /// A stand.
    Stand,
    /// A holding position.
    HoldingPosition,
    /// An area of the map with all that lies in it or reaches into it: a closed area on any day, an apron, an engine-check
    /// area, a hot spot, a helipad.
    Area,
}

impl What {
    fn words(self) -> &'static str {
        match self {
            What::Lane => "taxiway or taxilane",
            What::Runway => "runway",
            What::Stand => "stand",
            What::HoldingPosition => "holding position",
            What::Area => "area",
        }
    }
}

/// One thing to close.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Its kind.
    pub what: What,
    /// Its name or feature id, whatever the letter case.
    pub name: String,
}

/// One thing to close, found.
pub(super) struct Found {
    /// "taxiway B".
    pub(super) name: String,
    /// The closures it becomes.
    pub(super) closures: Vec<Closure>,
}

impl Found {
    pub(super) fn features(&self) -> Vec<FeatureId> {
        self.closures.iter().map(|c| c.id.clone()).collect()
    }

    /// A note for each feature of it that is closed before.
    pub(super) fn closed_before(&self, field: &Airfield) -> Vec<String> {
        let lanes = field.lanes.iter().map(|l| (&l.id, &l.closed));
        let runways = field.runways.iter().map(|r| (&r.id, &r.closed));
        let stands = field.stands.iter().map(|s| (&s.id, &s.closed));
        let mut list: Vec<String> = Vec::new();
        for (id, why) in lanes.chain(runways).chain(stands) {
            let own = |c: &Closure| c.closed == Closed::Itself && c.id == *id;
            if let Some(why) = why
                && self.closures.iter().any(own)
            {
                let note = format!(
                    "{} ({id}) is closed already ({why}); closing it changes nothing",
                    self.name
                );
                if !list.contains(&note) {
                    list.push(note);
                }
            }
        }
        list
    }
}

/// One thing of the map that could be meant: the names it answers to, its feature, what it is called, what is closed.
struct Thing {
    names: Vec<String>,
    id: FeatureId,
    called: String,
    closed: Closed,
}

/// The closures that an asked thing becomes. A letter takes every lane that bears it; any other name must be one thing's.
pub(super) fn find(field: &Airfield, asked: &Asked) -> Result<Found, RouteError> {
    let things = things(field, asked.what);
    let wanted = asked.name.trim();
    let named: Vec<&Thing> = things
        .iter()
        .filter(|t| t.names.iter().any(|n| same(n, wanted)))
        .collect();
    let found: Vec<&Thing> = if named.is_empty() {
        things.iter().filter(|t| same(&t.id, wanted)).collect()
    } else {
        named
    };
    let Some(first) = found.first() else {
        let names = things.iter().flat_map(|t| t.names.iter().chain([&t.id]));
        return Err(RouteError::Unknown {
            what: asked.what.words(),
            asked: wanted.to_string(),
            near: route::near(wanted, names.map(String::as_str)),
            count: things.len(),
        });
    };
    let mut ids: Vec<&str> = found.iter().map(|t| t.id.as_str()).collect();
    ids.dedup();
    if ids.len() > 1 && asked.what != What::Lane {
        return Err(RouteError::Ambiguous {
            what: asked.what.words(),
            asked: wanted.to_string(),
            choices: ids.into_iter().map(str::to_string).collect(),
        });
    }
    let mut closures: Vec<Closure> = Vec::new();
    for t in &found {
        let c = Closure {
            id: t.id.clone(),
            name: t.called.clone(),
            closed: t.closed.clone(),
            reason: REASON.to_string(),
            from: None,
            until: None,
        };
        if !closures.contains(&c) {
            closures.push(c);
        }
    }
    Ok(Found {
        name: first.called.clone(),
        closures,
    })
}

fn things(field: &Airfield, what: What) -> Vec<Thing> {
    match what {
        What::Lane => field
            .lanes
            .iter()
            .map(|l| {
                let word = match l.kind {
                    LaneKind::Taxiway => "taxiway",
                    LaneKind::Taxilane => "taxilane",
                };
                let called = match l.letters.is_empty() {
                    true => format!("unnamed {word} {}", l.id),
                    false => format!("{word} {}", l.letters.join("/")),
                };
                thing(l.letters.clone(), &l.id, called)
            })
            .collect(),
        What::Runway => (0..field.runways.len())
            .map(|i| {
                let r = &field.runways[i];
                let mut names: Vec<String> = r.designators.iter().flatten().cloned().collect();
                if let [Some(a), Some(b)] = &r.designators {
                    names.extend([format!("{a}/{b}"), format!("{b}/{a}")]);
                }
                thing(names, &r.id, route::runway_name(field, i))
            })
            .collect(),
        What::Stand => (0..field.stands.len())
            .map(|i| {
                let s = &field.stands[i];
                thing(s.name.iter().cloned().collect(), &s.id, route::stand_name(field, i))
            })
            .collect(),
        What::HoldingPosition => field
            .holding_positions
            .iter()
            .map(|h| {
                let called = format!("holding position {}", h.name.as_ref().unwrap_or(&h.id));
                thing(h.name.iter().cloned().collect(), &h.id, called)
            })
            .collect(),
        What::Area => areas(field),
    }
}

fn thing(names: Vec<String>, id: &str, called: String) -> Thing {
    Thing {
        names,
        id: id.to_string(),
        called,
        closed: Closed::Itself,
    }
}

fn areas(field: &Airfield) -> Vec<Thing> {
    let mut list: Vec<Thing> = Vec::new();
    // A closure of the map's own is called by its kind and its name, "closed area W1": it answers to the name alone too.
    let kinds_of = ["closed area ", "apron ", "engine-check area ", "hot spot ", "helipad "];
    for c in &field.closures {
        if let Closed::Within(ring) = &c.closed {
            let short = kinds_of.iter().find_map(|k| c.name.strip_prefix(k)).unwrap_or(&c.name);
            list.push(Thing {
                names: vec![c.name.clone(), short.to_string()],
                id: c.id.clone(),
                called: c.name.clone(),
                closed: Closed::Within(ring.clone()),
            });
        }
    }
    let kinds: [(&str, &[NamedArea]); 4] = [
        ("apron", &field.aprons),
        ("engine-check area", &field.check_areas),
        ("hot spot", &field.hot_spots),
        ("helipad", &field.helipads),
    ];
    for (kind, areas) in kinds {
        for a in areas {
            // One that bears dates is among the closures already.
            if list.iter().any(|t| t.id == a.id && t.closed == within(&a.outer)) {
                continue;
            }
            list.push(Thing {
                names: a.name.iter().cloned().collect(),
                id: a.id.clone(),
                called: format!("{kind} {}", a.name.as_ref().unwrap_or(&a.id)),
                closed: within(&a.outer),
            });
        }
    }
    list
}

fn within(ring: &[Xy]) -> Closed {
    Closed::Within(ring.to_vec())
}
