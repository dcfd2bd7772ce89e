//! Whose a runway, lane or stand is.
//!
//! 1. That of the smallest aerodrome's area in which its middle node lies.
//! 2. Else that of what shares a place with it.
//! 3. Else that of the nearest aerodrome: one drawn as a point within `OWN_M`, one with an area within `AROUND_M` of its edge.
//!    What lies in one square of `SQUARE_DEG`, or in touching ones, goes together.
//! 4. Else it belongs to a group without an aerodrome.

use super::element::{NANO, Place};
use super::flat::Flat;
use super::listing::Found;
use super::{AROUND_M, CarrierError, OWN_M, SQUARE_DEG};
use core::cell::Cell;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use std::collections::{BTreeMap, BTreeSet};
use toeline_model::Xy;
use toeline_model::planar::{closest_on_line, inside_ring, signed_area};

/// Most corners of aerodromes' areas that are looked at. Ours: no real country comes near it.
const WORK_LIMIT: usize = 500_000_000;

/// Whose it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Owner {
    Aerodrome(usize),
    Group(usize),
    /// It has no place.
    Nobody,
}

/// An aerodrome as it is asked about.
struct Ground {
    flat: Flat,
    rings: Vec<Vec<Xy>>,
    size_m2: f64,
    reach_m: f64,
}

type Reach = GeomWithData<Rectangle<[f64; 2]>, usize>;

pub(super) fn owners(found: &[Found], lines: &[Vec<Place>]) -> Result<Vec<Owner>, CarrierError> {
    let grounds: Vec<Ground> = found.iter().map(ground).collect();
    let near = RTree::bulk_load(found.iter().zip(&grounds).enumerate().map(reach).collect());
    let work = Cell::new(0_usize);
    let mut owners: Vec<Option<usize>> = Vec::with_capacity(lines.len());
    for line in lines {
        owners.push(
            line.get(line.len() / 2)
                .and_then(|p| within(&near, &grounds, *p, &work)),
        );
        enough(&work)?;
    }
    let touching = Sets::by(lines.iter().map(|l| l.iter().copied()));
    spread(&mut owners, &touching);
    // Squares of those that are left.
    let left: Vec<usize> = (0..lines.len())
        .filter(|i| owners[*i].is_none() && !lines[*i].is_empty())
        .collect();
    let mut sets = Sets::by(left.iter().map(|i| {
        let squares: BTreeSet<(i64, i64)> = lines[*i].iter().map(|p| square(*p)).collect();
        // Each square and three of its neighbours: two that touch share one.
        squares
            .into_iter()
            .flat_map(|(x, y)| [(x, y), (x + 1, y), (x, y + 1), (x + 1, y + 1)].map(|(x, y)| (turned(x), y)))
    }));
    let mut nearest: BTreeMap<usize, (f64, usize)> = BTreeMap::new();
    for (k, i) in left.iter().enumerate() {
        for place in &lines[*i] {
            for (m, a) in beside(&near, &grounds, *place, &work) {
                let best = nearest.entry(sets.root(k)).or_insert((m, a));
                if m < best.0 {
                    *best = (m, a);
                }
            }
        }
        enough(&work)?;
    }
    let mut numbers: BTreeMap<usize, usize> = BTreeMap::new();
    let mut list: Vec<Owner> = owners
        .iter()
        .map(|o| o.map_or(Owner::Nobody, Owner::Aerodrome))
        .collect();
    for (k, i) in left.iter().enumerate() {
        let root = sets.root(k);
        list[*i] = match nearest.get(&root) {
            Some((_, a)) => Owner::Aerodrome(*a),
            None => {
                let next = numbers.len();
                Owner::Group(*numbers.entry(root).or_insert(next))
            }
        };
    }
    Ok(list)
}

fn enough(work: &Cell<usize>) -> Result<(), CarrierError> {
    if work.get() > WORK_LIMIT {
        return Err(CarrierError::TooLarge {
            found: "too many areas of aerodromes lie over one another; take the file of a smaller region".to_string(),
        });
    }
    Ok(())
}

fn ground(found: &Found) -> Ground {
    let flat = Flat::about(found.place);
    let rings: Vec<Vec<Xy>> = found.area.iter().map(|r| flat.line(r)).collect();
    Ground {
        flat,
        size_m2: rings.iter().map(|r| signed_area(r).abs()).sum(),
        reach_m: if rings.is_empty() { OWN_M } else { AROUND_M },
        rings,
    }
}

/// The box that an aerodrome reaches over, degrees.
fn reach((i, (found, ground)): (usize, (&Found, &Ground))) -> Reach {
    let (lon, lat) = ground.flat.degrees(ground.reach_m);
    let middle = found.place.lonlat();
    let corners = found.area.iter().flatten().map(|p| p.lonlat());
    let (mut low, mut high) = ([middle.lon_deg, middle.lat_deg], [middle.lon_deg, middle.lat_deg]);
    for c in corners {
        // On the same side of the 180th meridian as the middle.
        let turn = ((middle.lon_deg - c.lon_deg) / 360.0).round() * 360.0;
        let c = [c.lon_deg + turn, c.lat_deg];
        low = [low[0].min(c[0]), low[1].min(c[1])];
        high = [high[0].max(c[0]), high[1].max(c[1])];
    }
    let rectangle = Rectangle::from_corners([low[0] - lon, low[1] - lat], [high[0] + lon, high[1] + lat]);
    GeomWithData::new(rectangle, i)
}

/// The aerodromes that reach over a place.
fn reaching<'t>(near: &'t RTree<Reach>, place: Place) -> impl Iterator<Item = usize> + 't {
    let at = place.lonlat();
    [-360.0, 0.0, 360.0].into_iter().flat_map(move |turn| {
        let point = AABB::from_point([at.lon_deg + turn, at.lat_deg]);
        near.locate_in_envelope_intersecting(point).map(|b| b.data)
    })
}

/// The smallest area that holds a place.
fn within(near: &RTree<Reach>, grounds: &[Ground], place: Place, work: &Cell<usize>) -> Option<usize> {
    reaching(near, place)
        .filter(|i| {
            let g = &grounds[*i];
            let at = g.flat.to_xy(place);
            g.rings.iter().any(|r| {
                work.set(work.get() + r.len());
                inside_ring(at, r)
            })
        })
        .min_by(|a, b| grounds[*a].size_m2.total_cmp(&grounds[*b].size_m2).then(a.cmp(b)))
}

/// The aerodromes whose point, or whose edge, is near enough, with the distance.
fn beside(near: &RTree<Reach>, grounds: &[Ground], place: Place, work: &Cell<usize>) -> Vec<(f64, usize)> {
    let mut list: Vec<(f64, usize)> = reaching(near, place)
        .filter_map(|i| {
            let g = &grounds[i];
            let at = g.flat.to_xy(place);
            let edges = g.rings.iter().filter_map(|r| {
                work.set(work.get() + r.len());
                let mut closed = r.clone();
                closed.extend(r.first().copied());
                closest_on_line(at, &closed).map(|(p, _, _)| p.distance(at))
            });
            let m = match g.rings.is_empty() {
                true => at.norm(),
                false => edges.fold(f64::MAX, f64::min),
            };
            (m <= g.reach_m).then_some((m, i))
        })
        .collect();
    list.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    list
}

fn square(place: Place) -> (i64, i64) {
    let side = (SQUARE_DEG * NANO) as i64;
    (place.lon_nano.div_euclid(side), place.lat_nano.div_euclid(side))
}

/// A column of squares, the same on both sides of the 180th meridian.
fn turned(x: i64) -> i64 {
    x.rem_euclid((360.0 / SQUARE_DEG).round() as i64)
}

/// What touches something that has an owner gets that owner.
fn spread(owners: &mut [Option<usize>], touching: &Sets) {
    let mut first: BTreeMap<usize, usize> = BTreeMap::new();
    for (i, owner) in owners.iter().enumerate() {
        if let Some(a) = owner {
            first.entry(touching.root_of(i)).or_insert(*a);
        }
    }
    for (i, owner) in owners.iter_mut().enumerate() {
        if owner.is_none() {
            *owner = first.get(&touching.root_of(i)).copied();
        }
    }
}

/// Sets of things that share a mark.
struct Sets(Vec<usize>);

impl Sets {
    fn by<M: Ord>(marks: impl Iterator<Item = impl Iterator<Item = M>>) -> Sets {
        let mut sets = Sets(Vec::new());
        let mut first: BTreeMap<M, usize> = BTreeMap::new();
        for (i, list) in marks.enumerate() {
            sets.0.push(i);
            for mark in list {
                let other = *first.entry(mark).or_insert(i);
                sets.join(i, other);
            }
        }
        for i in 0..sets.0.len() {
            sets.root(i);
        }
        sets
    }

    fn root(&mut self, i: usize) -> usize {
        let mut root = i;
        while self.0[root] != root {
            root = self.0[root];
        }
        let mut at = i;
        while self.0[at] != root {
            at = core::mem::replace(&mut self.0[at], root);
        }
        root
    }

    /// Once every root is known.
    fn root_of(&self, i: usize) -> usize {
        self.0[i]
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        // The earlier one is the root, so that groups are numbered by their first.
        self.0[a.max(b)] = a.min(b);
    }
}
