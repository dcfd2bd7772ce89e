//! What one aeroplane may roll and swing over where nothing is painted: wheels on mapped pavement, parts clear of what
//! stands there. It only guides the search; clearance sweeps and judges what was found.

use super::super::limits;
use super::super::search::World;
use super::bits::{Bit, Boxes, around, bands_meet, bits_of, boxes, parked, word};
use crate::graph::Source;
use rstar::RTree;
use std::cell::RefCell;
use std::collections::HashMap;
use toeline_model::Xy;
use toeline_model::aircraft::parts::{Part, parts};
use toeline_model::frame::xy;
use toeline_model::path::Pose;
use toeline_model::{DrivenPath, planar};

/// A box with the thing and the bit that it is around.
type Boxed = ((Xy, Xy), (usize, usize));

/// Pavement left beside the outer main tyres, metres (ours).
const TYRE_LEFT_M: f64 = 0.3;
/// Pavement width taken for a lane whose width is not mapped, metres: the least that ICAO Annex 14 gives a taxiway.
const UNKNOWN_WIDTH_M: f64 = 7.5;
/// Poses along a path are tried so far apart, metres (ours).
const STEP_M: f64 = 0.3;
/// What is nearer than asked at the start already must not come nearer by more than this, metres: rounding.
const HAIR_M: f64 = 0.01;
/// Cells of the memory of what is ground, metres.
const CELL_M: f64 = 1.0;

/// How much room is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Beside every part, metres.
    pub margin_m: f64,
    /// Between height bands, metres.
    pub vertical_margin_m: f64,
    /// Whether the other stands are taken as occupied.
    pub parked: bool,
}

/// A thing to keep clear of.
#[derive(Clone, Debug, PartialEq)]
pub struct Thing {
    /// What it is called.
    pub name: String,
    /// Its feature.
    pub feature: String,
    /// Gap asked for beside it, metres.
    pub margin_m: f64,
    /// Half the width of the widest part that meets its height band, metres.
    pub half_m: f64,
    parts: Vec<usize>,
}

/// A strip of pavement beside a straight piece of lane.
#[derive(Clone, Copy, Debug)]
struct Strip {
    a: Xy,
    b: Xy,
    half_m: f64,
}

/// What carries and what stands in the way.
pub struct Ground {
    wheelbase_m: f64,
    half_gear_m: f64,
    reach_m: f64,
    parts: Vec<Part>,
    /// What stands there.
    pub things: Vec<Thing>,
    bits: Boxes<(usize, usize)>,
    list: Vec<Bit>,
    widest_m: f64,
    areas: Vec<(Vec<Xy>, Vec<Vec<Xy>>)>,
    area_boxes: Boxes<usize>,
    edges: Boxes<usize>,
    edge_list: Vec<(Xy, Xy)>,
    strips: Vec<Strip>,
    strip_boxes: Boxes<usize>,
    shut: Vec<Vec<Xy>>,
    known: RefCell<HashMap<(i64, i64), Option<bool>>>,
}

impl Ground {
    /// For an aeroplane that starts at a pose, from the stand `own` where it does.
    pub fn new(world: World<'_>, room: Room, start: &Pose, own: Option<usize>) -> Ground {
        let (field, graph, aircraft) = (world.field, world.graph, world.aircraft);
        let list_of_parts = parts(aircraft);
        let mut ground = Ground {
            wheelbase_m: aircraft.gear.wheelbase_m,
            half_gear_m: aircraft.outer_gear_m() / 2.0 + TYRE_LEFT_M,
            reach_m: aircraft.reach_m(),
            parts: list_of_parts,
            things: Vec::new(),
            bits: RTree::new(),
            list: Vec::new(),
            widest_m: 0.0,
            areas: Vec::new(),
            area_boxes: RTree::new(),
            edges: RTree::new(),
            edge_list: Vec::new(),
            strips: Vec::new(),
            strip_boxes: RTree::new(),
            shut: Vec::new(),
            known: RefCell::new(HashMap::new()),
        };
        let mut boxed: Vec<Boxed> = Vec::new();
        for o in &field.obstacles {
            let name = format!("{} ({})", o.name.as_deref().unwrap_or(word(o.kind)), o.id);
            let bits = bits_of(&o.shape);
            ground.add(
                room,
                (name, o.id.clone()),
                &bits,
                (o.bottom_m, o.top_m),
                Some(start),
                &mut boxed,
            );
        }
        for (i, s) in field.stands.iter().enumerate() {
            if room.parked
                && own != Some(i)
                && !field.is_empty_stand(s)
                && let Some((at, radius_m)) = parked(aircraft, s)
                // What would overlap the aeroplane itself cannot be there.
                && !ground.touches(start, &[Bit::Disc(at, radius_m)])
            {
                let name = format!("aeroplane on {}", limits::stand_name(field, i));
                let bits = [Bit::Disc(at, radius_m)];
                ground.add(room, (name, s.id.clone()), &bits, (0.0, None), Some(start), &mut boxed);
            }
        }
        ground.bits = boxes(&boxed);
        ground.lay(world);
        let mut lanes: Vec<((Xy, Xy), usize)> = Vec::new();
        for edge in graph.graph.edge_indices() {
            let s = graph.segment(edge);
            let lane = matches!(s.source, Source::Lane(..));
            if !lane || limits::blocked(field, graph, aircraft, edge).is_some() {
                continue;
            }
            let half_m = s.width_m.unwrap_or(UNKNOWN_WIDTH_M) / 2.0;
            for w in s.line.windows(2) {
                let (lo, hi) = Bit::Edge(w[0], w[1]).bounds();
                let h = xy(half_m, half_m);
                lanes.push(((lo - h, hi + h), ground.strips.len()));
                ground.strips.push(Strip {
                    a: w[0],
                    b: w[1],
                    half_m,
                });
            }
        }
        ground.strip_boxes = boxes(&lanes);
        ground
    }

    /// Lays the pavement that has an outline.
    fn lay(&mut self, world: World<'_>) {
        let field = world.field;
        let free = world.graph.free.iter().map(|f| (f.outer.clone(), f.holes.clone()));
        let named = field.check_areas.iter().chain(&field.outlines);
        let named = named.map(|a| (a.outer.clone(), a.holes.clone()));
        self.areas = free.chain(named).collect();
        let all = self.areas.iter().enumerate();
        let around: Vec<_> = all
            .filter_map(|(i, a)| Some((planar::bounds(a.0.iter().copied())?, i)))
            .collect();
        self.area_boxes = boxes(&around);
        self.shut = field
            .closures
            .iter()
            .filter_map(|c| c.closed.ring().map(<[Xy]>::to_vec))
            .collect();
        let rings = self
            .areas
            .iter()
            .flat_map(|a| core::iter::once(&a.0).chain(&a.1))
            .chain(&self.shut);
        self.edge_list = rings.flat_map(|r| planar::ring_edges(r)).collect();
        let edges = self.edge_list.iter().enumerate();
        let edges: Vec<_> = edges.map(|(i, e)| (Bit::Edge(e.0, e.1).bounds(), i)).collect();
        self.edges = boxes(&edges);
    }

    fn add(
        &mut self,
        room: Room,
        (name, feature): (String, String),
        bits: &[Bit],
        (bottom_m, top_m): (f64, Option<f64>),
        start: Option<&Pose>,
        boxed: &mut Vec<Boxed>,
    ) {
        let meets = |k: &usize| bands_meet(&self.parts[*k], bottom_m, top_m, room.vertical_margin_m);
        let which: Vec<usize> = (0..self.parts.len()).filter(meets).collect();
        if which.is_empty() || bits.is_empty() {
            return;
        }
        let half = |k: &usize| self.parts[*k].outline.iter().map(|p| p.y.abs()).fold(0.0, f64::max);
        let half_m = which.iter().map(half).fold(0.0, f64::max);
        // Parked nearer than the margin already: it must not come nearer.
        let now = start.map_or(f64::INFINITY, |pose| {
            let far = self.reach_m + room.margin_m;
            let near = bits.iter().filter(|b| b.nearest(pose.nose).distance(pose.nose) <= far);
            near.map(|b| self.gap(pose, &which, b)).fold(f64::INFINITY, f64::min)
        });
        let margin_m = room.margin_m.min((now - HAIR_M).max(0.0));
        let thing = self.things.len();
        self.widest_m = self.widest_m.max(half_m + margin_m);
        for b in bits {
            boxed.push((b.bounds(), (thing, self.list.len())));
            self.list.push(*b);
        }
        self.things.push(Thing {
            name,
            feature,
            margin_m,
            half_m,
            parts: which,
        });
    }

    fn touches(&self, pose: &Pose, bits: &[Bit]) -> bool {
        let all: Vec<usize> = (0..self.parts.len()).collect();
        bits.iter().any(|b| self.gap(pose, &all, b) <= 0.0)
    }

    /// Least gap between some parts at a pose and a bit, metres.
    fn gap(&self, pose: &Pose, which: &[usize], bit: &Bit) -> f64 {
        let mut least = f64::INFINITY;
        for k in which {
            let ring: Vec<Xy> = self.parts[*k]
                .outline
                .iter()
                .map(|p| pose.place(self.wheelbase_m, *p))
                .collect();
            let (centre, less_m) = match bit {
                Bit::Edge(a, _) => (*a, 0.0),
                Bit::Disc(at, r) => (*at, *r),
            };
            if planar::inside_ring(centre, &ring) {
                return 0.0;
            }
            for (c, d) in planar::ring_edges(&ring) {
                let away = match bit {
                    Bit::Edge(a, b) => planar::between_segments(*a, *b, c, d).distance_m,
                    Bit::Disc(at, _) => planar::closest_on_segment(*at, c, d).0.distance(*at),
                };
                least = least.min((away - less_m).max(0.0));
            }
        }
        least
    }

    pub(super) fn wheelbase_m(&self) -> f64 {
        self.wheelbase_m
    }

    /// Whether all wheels stand on pavement and every part keeps its gap at a pose.
    pub fn fits(&self, pose: &Pose) -> bool {
        let wheels = [
            xy(self.wheelbase_m, 0.0),
            xy(0.0, self.half_gear_m),
            xy(0.0, -self.half_gear_m),
        ];
        if !wheels.iter().all(|b| self.carries(pose.place(self.wheelbase_m, *b))) {
            return false;
        }
        let widest = self.things.iter().map(|t| t.margin_m).fold(0.0, f64::max);
        let near = self
            .bits
            .locate_in_envelope_intersecting(around(pose.nose, self.reach_m + widest));
        near.map(|g| g.data).all(|(thing, bit)| {
            let (t, b) = (&self.things[thing], &self.list[bit]);
            b.nearest(pose.nose).distance(pose.nose) > self.reach_m + t.margin_m
                || self.gap(pose, &t.parts, b) >= t.margin_m.max(1e-9)
        })
    }

    /// Whether a path fits all along from a way on, metres.
    pub fn path_fits(&self, path: &DrivenPath, from_m: f64) -> bool {
        let length_m = path.length_m();
        let steps = ((length_m - from_m) / STEP_M).ceil().max(1.0) as usize;
        // From the far end: what is new lies there more often.
        (0..=steps)
            .rev()
            .all(|k| self.fits(&path.pose_at(from_m + (length_m - from_m) * k as f64 / steps as f64)))
    }

    /// Whether a wheel may stand at a point.
    pub fn carries(&self, p: Xy) -> bool {
        let cell = ((p.x / CELL_M).floor() as i64, (p.y / CELL_M).floor() as i64);
        let known = self.known.borrow().get(&cell).copied();
        let known = known.unwrap_or_else(|| {
            let middle = xy((cell.0 as f64 + 0.5) * CELL_M, (cell.1 as f64 + 0.5) * CELL_M);
            let half = around(middle, CELL_M / 2.0);
            // Where no edge passes, the whole cell is as its middle.
            let mixed = self.edges.locate_in_envelope_intersecting(half).next().is_some()
                || self.strip_boxes.locate_in_envelope_intersecting(half).next().is_some();
            let answer = (!mixed).then(|| self.carries_exactly(middle));
            self.known.borrow_mut().insert(cell, answer);
            answer
        });
        known.unwrap_or_else(|| self.carries_exactly(p))
    }

    fn carries_exactly(&self, p: Xy) -> bool {
        if self.shut.iter().any(|r| planar::inside_ring(p, r)) {
            return false;
        }
        let mut areas = self.area_boxes.locate_in_envelope_intersecting(around(p, 0.0));
        let on_area = areas.any(|g| {
            let (outer, holes) = &self.areas[g.data];
            planar::inside_ring(p, outer) && !holes.iter().any(|h| planar::inside_ring(p, h))
        });
        on_area
            || self
                .strip_boxes
                .locate_in_envelope_intersecting(around(p, 0.0))
                .any(|g| {
                    let s = &self.strips[g.data];
                    planar::closest_on_segment(p, s.a, s.b).0.distance(p) <= s.half_m
                })
    }

    /// How much more room than it needs an aeroplane has whose middle runs over a place, metres, at most `most_m`; negative
    /// where something is too near. With the thing and the bit that say so.
    pub(super) fn slack(&self, p: Xy, most_m: f64) -> (f64, Option<(usize, usize)>) {
        let mut least = (most_m, None);
        let reach = self.widest_m + most_m;
        for g in self.bits.locate_in_envelope_intersecting(around(p, reach)) {
            let (thing, bit) = g.data;
            let t = &self.things[thing];
            let s = self.list[bit].nearest(p).distance(p) - t.half_m - t.margin_m;
            // Of equals the first of the map, whatever the order of the tree.
            if s < least.0 || (s == least.0 && least.1.is_some_and(|l| g.data < l)) {
                least = (s, Some(g.data));
            }
        }
        least
    }

    /// How far the nearest thing is from a place, metres, at most `most_m`.
    pub(super) fn away_m(&self, p: Xy, most_m: f64) -> f64 {
        let near = self.bits.locate_in_envelope_intersecting(around(p, most_m));
        near.map(|g| self.list[g.data.1].nearest(p).distance(p))
            .fold(most_m, f64::min)
    }

    /// Bits near a place with their things, in the map's order.
    pub(super) fn near(&self, p: Xy, reach_m: f64) -> Vec<(usize, Bit)> {
        let mut list: Vec<(usize, usize)> = self
            .bits
            .locate_in_envelope_intersecting(around(p, reach_m))
            .map(|g| g.data)
            .collect();
        list.sort_unstable();
        list.into_iter().map(|(thing, bit)| (thing, self.list[bit])).collect()
    }
}
