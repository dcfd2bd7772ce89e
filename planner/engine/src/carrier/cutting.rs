//! One aerodrome while it is being cut out: what is kept of the elements that a reading shows.

use super::element::{Element, Id, Kind, Place, Tag};
use super::features;
use super::ground::Ground;
use super::listing::Found;
use super::places::{Drawn, Places};
use super::shapes::{Parts, shape};
use super::write::{Feature, collection};
use super::{AROUND_LIMIT, ATTRIBUTION, CarrierError, Cut, FEATURE_LIMIT, POSITION_LIMIT};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

/// A feature before its places are known.
struct Kept {
    tags: Vec<(String, String)>,
    parts: Parts,
}

/// What is kept for an aerodrome.
pub(super) struct Cutting<'f> {
    found: &'f Found,
    ground: Ground,
    /// Places of the nodes in the box around it.
    known: Places,
    features: BTreeMap<Id, Kept>,
    /// What is in the file more than once and not the same each time.
    unlike: BTreeSet<Id>,
    /// The ways that come into the box, and those that relations need.
    ways: BTreeMap<i64, Drawn>,
    way_nodes: usize,
}

impl<'f> Cutting<'f> {
    pub(super) fn of(found: &'f Found) -> Cutting<'f> {
        Cutting {
            found,
            ground: Ground::of(found),
            known: Places::default(),
            features: BTreeMap::new(),
            unlike: BTreeSet::new(),
            ways: BTreeMap::new(),
            way_nodes: 0,
        }
    }

    /// How many nodes are held for it.
    pub(super) fn held(&self) -> usize {
        self.known.len() + self.way_nodes
    }

    /// The numbers of the nodes in the box around it.
    pub(super) fn nodes_in_box(&self) -> impl Iterator<Item = i64> + '_ {
        self.known.numbers()
    }

    fn too_large(&self, count: usize, what: &str, limit: usize) -> CarrierError {
        CarrierError::TooLarge {
            found: format!(
                "{count} {what} around the aerodrome {}; the limit is {limit}",
                self.found.aerodrome.feature
            ),
        }
    }

    /// Whether an element is a feature: used, and not another aerodrome.
    fn is_feature(&self, e: &Element<'_>) -> bool {
        features::used(e.tags) && (Some(e.id) == self.found.id || !features::aerodrome(e))
    }

    /// Keeps a feature, unless it is there: then its first counts.
    fn keep(&mut self, e: &Element<'_>, parts: Parts) -> Result<(), CarrierError> {
        let tags = owned(e);
        match self.features.entry(e.id) {
            Entry::Vacant(v) => {
                v.insert(Kept { tags, parts });
            }
            Entry::Occupied(first) if first.get().tags != tags || first.get().parts != parts => {
                self.unlike.insert(e.id);
            }
            Entry::Occupied(_) => {}
        }
        let count = self.features.len();
        if count > FEATURE_LIMIT {
            return Err(self.too_large(count, "features", FEATURE_LIMIT));
        }
        Ok(())
    }

    /// A node: its place, if it is in the box, and whether it is a feature.
    pub(super) fn node(&mut self, e: &Element<'_>, place: Place) -> Result<(), CarrierError> {
        if !self.ground.in_box(place) {
            return Ok(());
        }
        self.known.push(e.id.1, place);
        if self.known.len() > AROUND_LIMIT {
            return Err(self.too_large(self.known.len(), "nodes", AROUND_LIMIT));
        }
        if !e.tags.is_empty() && self.is_feature(e) && self.ground.is_near(place) {
            self.keep(e, Parts::Point(place))?;
        }
        Ok(())
    }

    /// Ends the reading of the nodes.
    pub(super) fn settle(&mut self) {
        self.known.settle();
    }

    /// A way: kept if it comes into the box, and as a feature if it comes near.
    pub(super) fn way(&mut self, e: &Element<'_>) -> Result<(), CarrierError> {
        let beside = e.inline.iter().flatten().any(|p| self.ground.in_box(*p));
        let again = self.ways.get(&e.id.1);
        if !beside && again.is_none() && !e.refs.iter().any(|id| self.known.get(*id).is_some()) {
            return Ok(());
        }
        let drawn = Drawn::of(e);
        let (is_kept, is_used) = (self.features.contains_key(&e.id), self.is_feature(e));
        if again.is_some_and(|first| *first != drawn || is_kept != is_used) {
            self.unlike.insert(e.id);
        }
        self.way_nodes += drawn.len();
        if self.way_nodes > 2 * AROUND_LIMIT {
            return Err(self.too_large(self.way_nodes, "nodes of ways", 2 * AROUND_LIMIT));
        }
        if is_used && self.ground.meets(&drawn.places(&self.known)) {
            self.keep(e, Parts::Way(drawn.clone()))?;
        }
        self.ways.entry(e.id.1).or_insert(drawn);
        Ok(())
    }

    /// A relation: kept if it is a feature and one of its ways comes into the box.
    pub(super) fn relation(&mut self, e: &Element<'_>) -> Result<(), CarrierError> {
        if !features::draws_area(e) || !self.is_feature(e) {
            return Ok(());
        }
        let parts: Vec<(bool, i64, Option<Drawn>)> = e
            .members
            .iter()
            .filter(|m| m.kind == Kind::Way)
            .map(|m| (m.inner, m.id, (!m.inline.is_empty()).then(|| Drawn::inline(&m.inline))))
            .collect();
        let here = Some(e.id) == self.found.id
            || parts.iter().any(|(_, id, drawn)| match drawn {
                Some(d) => self.ground.meets(&d.places(&self.known)),
                None => self.ways.contains_key(id),
            });
        if here {
            self.keep(e, Parts::Relation(parts))
        } else {
            Ok(())
        }
    }

    /// Ways that relations need and that do not come into the box.
    pub(super) fn missing_ways(&self) -> Vec<i64> {
        let wanted = self.features.values().flat_map(|k| match &k.parts {
            Parts::Relation(list) => list.as_slice(),
            _ => &[],
        });
        wanted
            .filter(|(_, id, d)| d.is_none() && !self.ways.contains_key(id))
            .map(|(_, id, _)| *id)
            .collect()
    }

    /// Takes those of some ways that it needs, and lets go of relations that do not come near. `unlike` are those of the
    /// ways that are there again and not the same.
    pub(super) fn take_ways(&mut self, found: &BTreeMap<i64, Drawn>, unlike: &BTreeSet<Id>) {
        for id in self.missing_ways() {
            if let Some(way) = found.get(&id) {
                self.ways.insert(id, way.clone());
                self.unlike.extend(unlike.get(&Id(Kind::Way, id)));
            }
        }
        let (ground, ways, known) = (&self.ground, &self.ways, &self.known);
        self.features.retain(|_, k| match &k.parts {
            Parts::Relation(_) => drawn(k, ways).iter().any(|d| ground.meets(&d.places(known))),
            // Looked at when it was kept.
            Parts::Point(_) | Parts::Way(_) => true,
        });
    }

    /// Nodes of its features outside of the box.
    pub(super) fn missing_nodes(&self) -> Vec<i64> {
        let needed = self
            .features
            .values()
            .flat_map(|k| drawn(k, &self.ways))
            .flat_map(|d| d.needs().collect::<Vec<_>>());
        needed.filter(|id| self.known.get(*id).is_none()).collect()
    }

    /// Takes those of some places that it needs.
    pub(super) fn take_nodes(&mut self, found: &Places) {
        let missing = self.missing_nodes();
        if !missing.is_empty() {
            self.known = std::mem::take(&mut self.known).and(found.only(missing));
        }
    }

    /// What has come of it.
    pub(super) fn cut(self) -> Result<Cut, CarrierError> {
        let every = self.features.values().flat_map(|k| drawn(k, &self.ways));
        let count: usize = every.map(Drawn::len).sum();
        if count > POSITION_LIMIT {
            return Err(self.too_large(count, "nodes", POSITION_LIMIT));
        }
        let (ways, known, unlike) = (self.ways, self.known, self.unlike);
        let features: Vec<Feature> = self
            .features
            .into_iter()
            .map(|(id, k)| {
                let area = features::area_when_closed(&borrowed(&k.tags));
                let (shape, lacking) = shape(&k.parts, area, &ways, &known);
                let doubts = [lacking, twice(id, &k, &ways, &known, &unlike)];
                let doubts: Vec<String> = doubts.into_iter().flatten().collect();
                Feature {
                    id: id.to_string(),
                    tags: k.tags,
                    shape,
                    doubt: (!doubts.is_empty()).then(|| doubts.join("; ")),
                }
            })
            .collect();
        Ok(Cut {
            aerodrome: self.found.aerodrome.clone(),
            text: collection(ATTRIBUTION, &features),
        })
    }
}

fn borrowed(tags: &[(String, String)]) -> Vec<Tag<'_>> {
    tags.iter()
        .map(|(k, v)| (k.as_str().into(), v.as_str().into()))
        .collect()
}

fn owned(e: &Element<'_>) -> Vec<(String, String)> {
    let mut tags: Vec<(String, String)> = e.tags.iter().map(|(k, v)| (k.to_string(), v.to_string())).collect();
    tags.sort();
    tags
}

/// The ways that a feature is drawn by.
fn drawn<'k>(k: &'k Kept, ways: &'k BTreeMap<i64, Drawn>) -> Vec<&'k Drawn> {
    match &k.parts {
        Parts::Point(_) => Vec::new(),
        Parts::Way(d) => vec![d],
        Parts::Relation(list) => list
            .iter()
            .filter_map(|(_, id, d)| d.as_ref().or_else(|| ways.get(id)))
            .collect(),
    }
}

/// What is in the file more than once and not the same each time, of a feature and of what it is drawn by.
fn twice(id: Id, k: &Kept, ways: &BTreeMap<i64, Drawn>, known: &Places, unlike: &BTreeSet<Id>) -> Option<String> {
    let itself = unlike.contains(&id) || (id.0 == Kind::Node && known.is_unlike(id.1));
    let nodes: usize = drawn(k, ways).iter().map(|d| d.unlike(known)).sum();
    let by = match &k.parts {
        Parts::Relation(list) => list
            .iter()
            .filter(|(_, way, _)| unlike.contains(&Id(Kind::Way, *way)))
            .count(),
        _ => 0,
    };
    let told = |n: usize, what: &str| (n > 0).then(|| format!("{n} of its {what}"));
    let what = [itself.then(|| "it".to_string()), told(nodes, "nodes"), told(by, "ways")];
    let what: Vec<String> = what.into_iter().flatten().collect();
    let is = if itself && nodes + by == 0 || nodes + by == 1 && !itself {
        "is"
    } else {
        "are"
    };
    (!what.is_empty()).then(|| {
        format!(
            "{} {is} in the file more than once and not the same each time; the first that is used counts",
            what.join(", ")
        )
    })
}
