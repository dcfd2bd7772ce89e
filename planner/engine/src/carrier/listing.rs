//! The aerodromes of a file, each with the runways, lanes and stands that are its own.

use super::element::{Element, Id, Kind, Place, Wants};
use super::features::{self, Paved};
use super::flat;
use super::groups::{self, Owner};
use super::places::{Drawn, Numbers, Places};
use super::rings;
use super::source::Source;
use super::{AERODROME_LIMIT, CarrierError, DRAWN_LIMIT, FEATURE_LIMIT};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::LonLat;
use toeline_model::airfield::FeatureId;

/// One aerodrome of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Aerodrome {
    /// Its feature, "way/123" or "AirportHeliport/…"; of runways and lanes that lie in no aerodrome the first one's.
    pub feature: FeatureId,
    /// Whether the file has it as an aerodrome (`aeroway=aerodrome`, an `AirportHeliport`).
    pub tagged: bool,
    /// `name`, as it is in the file.
    pub name: Option<String>,
    /// `name:en`, where that is another.
    pub english: Option<String>,
    /// `icao`.
    pub icao: Option<String>,
    /// `iata`.
    pub iata: Option<String>,
    /// `faa`, `local_ref` or `ref`.
    pub local: Option<String>,
    /// `aerodrome:type`, else `aerodrome`.
    pub kind: Option<String>,
    /// Its point, or the middle of what is drawn.
    pub place: LonLat,
    /// How many features are runways; one runway may be several.
    pub runways: usize,
    /// How many features are taxiways or taxilanes.
    pub lanes: usize,
    /// How many features are stands.
    pub stands: usize,
    /// What its data must be credited to wherever they are shown.
    pub credit: String,
}

impl Aerodrome {
    /// Whether it has anything to taxi on.
    pub fn has_ground(&self) -> bool {
        self.runways + self.lanes > 0
    }
}

/// An aerodrome with what it lies on.
pub(super) struct Found {
    pub(super) aerodrome: Aerodrome,
    /// Its number in the open map.
    pub(super) id: Option<Id>,
    pub(super) place: Place,
    /// Its outer rings.
    pub(super) area: Vec<Vec<Place>>,
    /// Its runways, lanes and stands.
    pub(super) lines: Vec<Vec<Place>>,
}

/// An aerodrome as the file has it.
struct Tagged {
    id: Id,
    about: Aerodrome,
    place: Option<Place>,
    ways: Vec<(bool, Way)>,
}

/// A way that draws one.
enum Way {
    Here(Drawn),
    Elsewhere(i64),
}

/// A runway, lane or stand.
struct Piece {
    id: Id,
    what: Paved,
    place: Option<Place>,
    drawn: Drawn,
}

/// Lists them: those with most lanes first, then with most runways, then with most stands, then by feature.
pub(super) fn list(source: &mut Source<'_>) -> Result<Vec<Found>, CarrierError> {
    let (tagged, pieces) = gather(source)?;
    let elsewhere: Vec<i64> = tagged
        .iter()
        .flat_map(|t| &t.ways)
        .filter_map(|(_, w)| match w {
            Way::Elsewhere(id) => Some(*id),
            Way::Here(_) => None,
        })
        .collect();
    let drawing = ways(source, Numbers::of(elsewhere), &mut BTreeSet::new())?;
    let needed = tagged
        .iter()
        .flat_map(|t| &t.ways)
        .filter_map(|(_, w)| drawn(w, &drawing))
        .chain(pieces.iter().map(|p| &p.drawn))
        .flat_map(Drawn::needs)
        .collect();
    let known = nodes(source, &Numbers::of(needed))?;
    let lines: Vec<Vec<Place>> = pieces
        .iter()
        .map(|p| match p.place {
            Some(place) => vec![place],
            None => p.drawn.places(&known).into_iter().flatten().collect(),
        })
        .collect();
    let mut found: Vec<Found> = tagged
        .into_iter()
        .filter_map(|t| on_the_ground(t, &drawing, &known))
        .collect();
    found.sort_by_key(|f| f.id);
    let owners = groups::owners(&found, &lines)?;
    let named = found.len();
    for ((piece, line), owner) in pieces.into_iter().zip(lines).zip(owners) {
        let i = match owner {
            Owner::Aerodrome(i) => i,
            Owner::Group(g) => named + g,
            Owner::Nobody => continue,
        };
        // Groups are numbered in the order of their first piece.
        if i == found.len() {
            found.push(group(piece.id));
        }
        let f = &mut found[i];
        match piece.what {
            Paved::Runway => f.aerodrome.runways += 1,
            Paved::Lane => f.aerodrome.lanes += 1,
            Paved::Stand => f.aerodrome.stands += 1,
        }
        f.lines.push(line);
    }
    for f in &mut found[named..] {
        if let Some(place) = flat::middle(f.lines.iter().flatten().copied()) {
            f.place = place;
            f.aerodrome.place = place.lonlat();
        }
    }
    // Stands by themselves are no aerodrome.
    found.retain(|f| f.aerodrome.tagged || f.aerodrome.has_ground());
    if found.is_empty() {
        return Err(CarrierError::None);
    }
    let rank = |f: &Found| (f.aerodrome.lanes, f.aerodrome.runways, f.aerodrome.stands);
    found.sort_by(|a, b| rank(b).cmp(&rank(a)).then(a.id.cmp(&b.id)));
    Ok(found)
}

/// The first reading.
fn gather(source: &mut Source<'_>) -> Result<(Vec<Tagged>, Vec<Piece>), CarrierError> {
    let mut tagged: BTreeMap<Id, Tagged> = BTreeMap::new();
    let mut pieces: BTreeMap<Id, Piece> = BTreeMap::new();
    let mut drawn_nodes = 0;
    source.each(Wants::ALL, &mut |e| {
        if e.tags.is_empty() {
            return Ok(());
        }
        if features::aerodrome(e) {
            // What is there twice counts as it is there first, as another kind of thing too.
            if pieces.contains_key(&e.id) {
                return Ok(());
            }
            let about = about(e);
            let ways: Vec<(bool, Way)> = match e.id.0 {
                Kind::Node => Vec::new(),
                Kind::Way => vec![(false, Way::Here(Drawn::of(e)))],
                Kind::Relation => e
                    .members
                    .iter()
                    .filter(|m| m.kind == Kind::Way)
                    .map(|m| match m.inline.as_slice() {
                        [] => (m.inner, Way::Elsewhere(m.id)),
                        places => (m.inner, Way::Here(Drawn::inline(places))),
                    })
                    .collect(),
            };
            drawn_nodes +=
                e.refs.len().max(e.inline.len()) + e.members.iter().map(|m| 1 + m.inline.len()).sum::<usize>();
            tagged.entry(e.id).or_insert(Tagged {
                id: e.id,
                about,
                place: e.place,
                ways,
            });
        } else if let Some(what) = features::paved(e)
            && e.id.0 != Kind::Relation
            && !tagged.contains_key(&e.id)
        {
            drawn_nodes += e.refs.len().max(e.inline.len()).max(1);
            pieces.entry(e.id).or_insert_with(|| Piece {
                id: e.id,
                what,
                place: e.place,
                drawn: Drawn::of(e),
            });
        }
        let limit = |found: usize, most: usize, what: &str| match found > most {
            true => Err(CarrierError::TooLarge {
                found: format!("more than {most} {what}; take the file of a smaller region"),
            }),
            false => Ok(()),
        };
        limit(tagged.len(), AERODROME_LIMIT, "aerodromes")?;
        limit(pieces.len(), FEATURE_LIMIT, "runways, taxiways and stands")?;
        limit(
            drawn_nodes,
            DRAWN_LIMIT,
            "nodes of aerodromes, runways, taxiways and stands",
        )
    })?;
    Ok((tagged.into_values().collect(), pieces.into_values().collect()))
}

fn about(e: &Element<'_>) -> Aerodrome {
    let text = |key: &str| {
        let value = e.tag(key).trim();
        (!value.is_empty()).then(|| crate::clean::name(value))
    };
    let name = text("name");
    Aerodrome {
        feature: e.id.to_string(),
        tagged: true,
        english: text("name:en").filter(|t| Some(t) != name.as_ref()),
        name,
        icao: text("icao"),
        iata: text("iata"),
        local: text("faa").or_else(|| text("local_ref")).or_else(|| text("ref")),
        kind: text("aerodrome:type").or_else(|| text("aerodrome")),
        place: LonLat {
            lon_deg: 0.0,
            lat_deg: 0.0,
        },
        runways: 0,
        lanes: 0,
        stands: 0,
        credit: super::ATTRIBUTION.to_string(),
    }
}

/// Runways and lanes of no aerodrome, called by the first of them.
fn group(first: Id) -> Found {
    let nowhere = Element {
        id: first,
        place: None,
        tags: &[],
        refs: &[],
        inline: &[],
        members: &[],
    };
    Found {
        aerodrome: Aerodrome {
            tagged: false,
            ..about(&nowhere)
        },
        id: Some(first),
        place: Place {
            lon_nano: 0,
            lat_nano: 0,
        },
        area: Vec::new(),
        lines: Vec::new(),
    }
}

/// Ways by number; those that are there again and not the same are noted.
pub(super) fn ways(
    source: &mut Source<'_>,
    wanted: Numbers,
    unlike: &mut BTreeSet<Id>,
) -> Result<BTreeMap<i64, Drawn>, CarrierError> {
    let mut found: BTreeMap<i64, Drawn> = BTreeMap::new();
    if wanted.is_empty() {
        return Ok(found);
    }
    let mut count = 0;
    source.each(Wants::WAYS, &mut |e| {
        if wanted.has(e.id.1) {
            let way = Drawn::of(e);
            count += way.len();
            if count > DRAWN_LIMIT {
                return Err(CarrierError::TooLarge {
                    found: format!("the relations of aerodromes have more than {DRAWN_LIMIT} nodes"),
                });
            }
            match found.entry(e.id.1) {
                Entry::Vacant(v) => {
                    v.insert(way);
                }
                Entry::Occupied(first) if *first.get() != way => {
                    unlike.insert(e.id);
                }
                Entry::Occupied(_) => {}
            }
        }
        Ok(())
    })?;
    Ok(found)
}

/// Places of nodes by number.
pub(super) fn nodes(source: &mut Source<'_>, wanted: &Numbers) -> Result<Places, CarrierError> {
    let mut found = Places::default();
    if wanted.is_empty() {
        return Ok(found);
    }
    source.each(Wants::NODES, &mut |e| {
        if let Some(place) = e.place
            && wanted.has(e.id.1)
        {
            found.push(e.id.1, place);
            if found.len() > 2 * DRAWN_LIMIT {
                return Err(CarrierError::TooLarge {
                    found: format!("nodes are repeated: more than {} in all", 2 * DRAWN_LIMIT),
                });
            }
        }
        Ok(())
    })?;
    found.settle();
    Ok(found)
}

fn drawn<'w>(way: &'w Way, elsewhere: &'w BTreeMap<i64, Drawn>) -> Option<&'w Drawn> {
    match way {
        Way::Here(drawn) => Some(drawn),
        Way::Elsewhere(id) => elsewhere.get(id),
    }
}

/// Where an aerodrome lies; `None` where nothing says so.
fn on_the_ground(t: Tagged, elsewhere: &BTreeMap<i64, Drawn>, known: &Places) -> Option<Found> {
    let ways: Vec<(bool, Vec<Place>)> = t
        .ways
        .iter()
        .filter_map(|(inner, w)| {
            Some((
                *inner,
                drawn(w, elsewhere)?.places(known).into_iter().flatten().collect(),
            ))
        })
        .collect();
    let everywhere: Vec<Place> = ways.iter().flat_map(|(_, w)| w).copied().collect();
    let area: Vec<Vec<Place>> = rings::assemble(ways).areas.into_iter().map(|a| a.outer).collect();
    let place = t.place.or_else(|| flat::middle(everywhere))?;
    Some(Found {
        aerodrome: Aerodrome {
            place: place.lonlat(),
            ..t.about
        },
        id: Some(t.id),
        place,
        area,
        lines: Vec::new(),
    })
}
