//! Cuts one aerodrome out: all that is used and lies in its area, or within `AROUND_M` of that or of its pavement.

use super::element::{Element, Id, Kind, Place, Wants};
use super::features;
use super::flat::Flat;
use super::listing::{self, Found};
use super::places::{Drawn, Numbers, Places};
use super::shapes::{Parts, shape};
use super::source::Source;
use super::write::{Feature, collection};
use super::{AROUND_LIMIT, AROUND_M, ATTRIBUTION, BOX_M, CarrierError, Cut, FEATURE_LIMIT, POSITION_LIMIT};
use rstar::RTree;
use rstar::primitives::Line;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::Xy;
use toeline_model::planar::{bounds, inside_ring};

/// The ground of an aerodrome.
struct Ground {
    flat: Flat,
    rings: Vec<Vec<Xy>>,
    edges: RTree<Line<[f64; 2]>>,
    low: Xy,
    high: Xy,
}

impl Ground {
    fn of(found: &Found) -> Ground {
        let flat = Flat::about(found.place);
        let rings: Vec<Vec<Xy>> = found.area.iter().map(|r| flat.line(r)).collect();
        let lines = found.lines.iter().map(|l| flat.line(l));
        let closed = rings.iter().map(|r| {
            let mut r = r.clone();
            r.extend(r.first().copied());
            r
        });
        let own = vec![flat.to_xy(found.place)];
        let all: Vec<Vec<Xy>> = lines.chain(closed).chain([own]).collect();
        let edge = |a: Xy, b: Xy| Line::new([a.x, a.y], [b.x, b.y]);
        let edges = all.iter().flat_map(|l| match l.as_slice() {
            [one] => vec![edge(*one, *one)],
            many => many.windows(2).map(|w| edge(w[0], w[1])).collect(),
        });
        let edges = RTree::bulk_load(edges.collect());
        let (low, high) = bounds(all.into_iter().flatten()).unwrap_or_default();
        Ground {
            flat,
            rings,
            edges,
            low,
            high,
        }
    }

    /// Whether a place is in the box around it.
    fn in_box(&self, place: Place) -> bool {
        let p = self.flat.to_xy(place);
        let r = BOX_M;
        p.x >= self.low.x - r && p.x <= self.high.x + r && p.y >= self.low.y - r && p.y <= self.high.y + r
    }

    fn is_near(&self, p: Xy) -> bool {
        let near = |at: [f64; 2]| {
            self.edges
                .locate_within_distance(at, AROUND_M * AROUND_M)
                .next()
                .is_some()
        };
        near([p.x, p.y]) || self.rings.iter().any(|r| inside_ring(p, r))
    }

    /// Whether a line, looked at every half of the distance, comes near.
    fn meets(&self, line: &[Option<Place>]) -> bool {
        let line: Vec<Xy> = line.iter().flatten().map(|p| self.flat.to_xy(*p)).collect();
        if line.iter().any(|p| self.is_near(*p)) {
            return true;
        }
        line.windows(2).any(|w| {
            let steps = (w[0].distance(w[1]) / (AROUND_M / 2.0)).ceil().clamp(1.0, 200.0) as usize;
            (1..steps).any(|k| self.is_near(w[0] + (w[1] - w[0]) * (k as f64 / steps as f64)))
        })
    }
}

/// A feature before its places are known.
struct Kept {
    tags: Vec<(String, String)>,
    parts: Parts,
}

pub(super) fn cut(source: &mut Source<'_>, found: &Found) -> Result<Cut, CarrierError> {
    let ground = Ground::of(found);
    let mut kept = Keeping::default();
    let mut known = around(source, &ground, found, &mut kept)?;
    let mut ways = features_of(source, &ground, found, &known, &mut kept)?;
    let Keeping {
        features: mut kept,
        mut unlike,
    } = kept;
    // Ways that relations need and that do not come into the box.
    let wanted = kept.values().flat_map(|k| match &k.parts {
        Parts::Relation(list) => list.as_slice(),
        _ => &[],
    });
    let missing = wanted
        .filter(|(_, id, d)| d.is_none() && !ways.contains_key(id))
        .map(|(_, id, _)| *id);
    let missing = Numbers::of(missing.collect());
    ways.extend(listing::ways(source, missing, &mut unlike)?);
    kept.retain(|_, k| near(k, &ground, &ways, &known));
    // Nodes outside of the box.
    let needed = kept
        .values()
        .flat_map(|k| drawn(k, &ways))
        .flat_map(|d| d.needs().collect::<Vec<_>>());
    let needed: Vec<i64> = needed.filter(|id| known.get(*id).is_none()).collect();
    if !needed.is_empty() {
        known = known.and(listing::nodes(source, &Numbers::of(needed))?);
    }
    let count: usize = kept.values().flat_map(|k| drawn(k, &ways)).map(Drawn::len).sum();
    if count > POSITION_LIMIT {
        return Err(too_large(found, count, "nodes", POSITION_LIMIT));
    }
    let features: Vec<Feature> = kept
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
        aerodrome: found.aerodrome.clone(),
        text: collection(ATTRIBUTION, &features),
    })
}

fn too_large(found: &Found, count: usize, what: &str, limit: usize) -> CarrierError {
    CarrierError::TooLarge {
        found: format!(
            "{count} {what} around the aerodrome {}; the limit is {limit}",
            found.aerodrome.feature
        ),
    }
}

fn borrowed(tags: &[(String, String)]) -> Vec<super::element::Tag<'_>> {
    tags.iter()
        .map(|(k, v)| (k.as_str().into(), v.as_str().into()))
        .collect()
}

fn owned(e: &Element<'_>) -> Vec<(String, String)> {
    let mut tags: Vec<(String, String)> = e.tags.iter().map(|(k, v)| (k.to_string(), v.to_string())).collect();
    tags.sort();
    tags
}

/// Whether an element is a feature: used, and not another aerodrome.
fn is_feature(e: &Element<'_>, found: &Found) -> bool {
    features::used(e.tags) && (Some(e.id) == found.id || !features::aerodrome(e))
}

/// The places of the nodes in the box, and the features among them.
fn around(source: &mut Source<'_>, ground: &Ground, found: &Found, kept: &mut Keeping) -> Result<Places, CarrierError> {
    let mut known = Places::default();
    source.each(Wants::NODES, &mut |e| {
        let Some(place) = e.place else { return Ok(()) };
        if !ground.in_box(place) {
            return Ok(());
        }
        known.push(e.id.1, place);
        if known.len() > AROUND_LIMIT {
            return Err(too_large(found, known.len(), "nodes", AROUND_LIMIT));
        }
        if !e.tags.is_empty() && is_feature(e, found) && ground.is_near(ground.flat.to_xy(place)) {
            kept.keep(e, found, Parts::Point(place))?;
        }
        Ok(())
    })?;
    known.settle();
    Ok(known)
}

/// What is kept, and what is in the file more than once and not the same each time.
#[derive(Default)]
struct Keeping {
    features: BTreeMap<Id, Kept>,
    unlike: BTreeSet<Id>,
}

impl Keeping {
    /// Keeps a feature, unless it is there: then its first counts.
    fn keep(&mut self, e: &Element<'_>, found: &Found, parts: Parts) -> Result<(), CarrierError> {
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
            return Err(too_large(found, count, "features", FEATURE_LIMIT));
        }
        Ok(())
    }
}

/// The ways that come into the box, and the features among them and among the relations that they draw.
fn features_of(
    source: &mut Source<'_>,
    ground: &Ground,
    found: &Found,
    known: &Places,
    kept: &mut Keeping,
) -> Result<BTreeMap<i64, Drawn>, CarrierError> {
    let mut ways: BTreeMap<i64, Drawn> = BTreeMap::new();
    let (mut nodes, mut after_a_relation, mut relations) = (0, false, false);
    let way = |e: &Element<'_>, ways: &mut BTreeMap<i64, Drawn>, kept: &mut Keeping, nodes: &mut usize| {
        let beside = e.inline.iter().flatten().any(|p| ground.in_box(*p));
        let again = ways.get(&e.id.1);
        if !beside && again.is_none() && !e.refs.iter().any(|id| known.get(*id).is_some()) {
            return Ok(());
        }
        let drawn = Drawn::of(e);
        let (is_kept, is_used) = (kept.features.contains_key(&e.id), is_feature(e, found));
        if again.is_some_and(|first| *first != drawn || is_kept != is_used) {
            kept.unlike.insert(e.id);
        }
        *nodes += drawn.len();
        if *nodes > 2 * AROUND_LIMIT {
            return Err(too_large(found, *nodes, "nodes of ways", 2 * AROUND_LIMIT));
        }
        if is_used && ground.meets(&drawn.places(known)) {
            kept.keep(e, found, Parts::Way(drawn.clone()))?;
        }
        ways.entry(e.id.1).or_insert(drawn);
        Ok(())
    };
    let relation = |e: &Element<'_>, ways: &BTreeMap<i64, Drawn>, kept: &mut Keeping| {
        if !features::draws_area(e) || !is_feature(e, found) {
            return Ok(());
        }
        let parts: Vec<(bool, i64, Option<Drawn>)> = e
            .members
            .iter()
            .filter(|m| m.kind == Kind::Way)
            .map(|m| (m.inner, m.id, (!m.inline.is_empty()).then(|| Drawn::inline(&m.inline))))
            .collect();
        let here = Some(e.id) == found.id
            || parts.iter().any(|(_, id, drawn)| match drawn {
                Some(d) => ground.meets(&d.places(known)),
                None => ways.contains_key(id),
            });
        if here {
            kept.keep(e, found, Parts::Relation(parts))
        } else {
            Ok(())
        }
    };
    source.each(Wants::of(false, true, true), &mut |e| match e.id.0 {
        Kind::Way => {
            after_a_relation |= relations;
            way(e, &mut ways, kept, &mut nodes)
        }
        Kind::Relation => {
            relations = true;
            relation(e, &ways, kept)
        }
        Kind::Node => Ok(()),
    })?;
    // Relations that were seen before their ways are looked at once more.
    if after_a_relation {
        source.each(Wants::of(false, false, true), &mut |e| relation(e, &ways, kept))?;
    }
    Ok(ways)
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

fn near(k: &Kept, ground: &Ground, ways: &BTreeMap<i64, Drawn>, known: &Places) -> bool {
    match &k.parts {
        Parts::Relation(_) => drawn(k, ways).iter().any(|d| ground.meets(&d.places(known))),
        // Looked at when it was kept.
        Parts::Point(_) | Parts::Way(_) => true,
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
