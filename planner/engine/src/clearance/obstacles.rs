//! Which obstacles count: everything fixed that the map shows near the way, and aeroplanes taken to stand on other
//! stands.

use super::solid::Solid;
use super::sound;
use super::stands;
use super::sweep::{Walk, box_gap};
use super::{Against, Considered, Margins};
use crate::route::Route;
use crate::standing::{self, Occupant, Placed, bands_meet, obstacle_name};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use toeline_model::airfield::{Obstacle, Stand};
use toeline_model::planar::Shape;
use toeline_model::{Aircraft, Airfield, Xy};

/// What counts, and what had to be assumed.
#[derive(Clone, Debug, Default)]
pub(super) struct Gathered {
    /// Obstacles as reported.
    pub(super) considered: Vec<Considered>,
    /// The same ones, ready for distance questions.
    pub(super) solids: Vec<Solid>,
    /// Indices in the field's obstacles of the fixed ones, in the order of `considered`.
    pub(super) fixed: Vec<usize>,
    /// How many stands were taken as occupied.
    pub(super) occupied: usize,
    /// What was assumed about stands, and what the map draws wrongly, in sentences.
    pub(super) assumed: Vec<String>,
    /// How many obstacles of the map have no place: nothing can then be called clear.
    pub(super) unplaced: usize,
}

impl Gathered {
    fn add(
        &mut self,
        considered: Considered,
        walk: &Walk,
        vertical_margin_m: f64,
        assumed_radius_m: f64,
        flawed: bool,
    ) {
        let meets = |&k: &usize| bands_meet(&walk.parts[k], considered.bottom_m, considered.top_m, vertical_margin_m);
        let parts = (0..walk.parts.len()).filter(meets).collect();
        let mut solid = Solid::new(considered.shape.clone(), parts, considered.sure, assumed_radius_m);
        solid.flawed = flawed;
        self.solids.push(solid);
        self.considered.push(considered);
    }
}

/// The boxes of the way's cells, to ask what lies near it.
struct Corridor(RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>);

impl Corridor {
    fn new(walk: &Walk) -> Corridor {
        let boxed = walk.cells.iter().enumerate().map(|(i, c)| {
            let (low, high) = c.bounds;
            GeomWithData::new(Rectangle::from_corners([low.x, low.y], [high.x, high.y]), i)
        });
        Corridor(RTree::bulk_load(boxed.collect()))
    }

    fn near(&self, walk: &Walk, (low, high): (Xy, Xy)) -> bool {
        let r = walk.look_m;
        let around = AABB::from_corners([low.x - r, low.y - r], [high.x + r, high.y + r]);
        let mut cells = self.0.locate_in_envelope_intersecting(around);
        cells.any(|g| box_gap(walk.cells[g.data].bounds, (low, high)) <= r)
    }
}

/// Gathers what counts: the map's own obstacles in file order, then aeroplanes on stands in file order.
pub(super) fn gather(field: &Airfield, aircraft: &Aircraft, route: &Route, margins: &Margins, walk: &Walk) -> Gathered {
    let corridor = Corridor::new(walk);
    let mut all = Gathered::default();
    for (i, o) in field.obstacles.iter().enumerate() {
        let (low, high) = o.shape.bounds();
        let placed = sound::placed(&o.shape);
        // The outline of what is far off need not be looked through.
        if placed && !corridor.near(walk, (low, high)) {
            continue;
        }
        let flaw = sound::flaw(o);
        all.assumed
            .extend(flaw.iter().map(|words| format!("{} {words}", obstacle_name(o))));
        if !placed {
            all.unplaced += 1;
            continue;
        }
        all.fixed.push(i);
        let assumed_radius_m = match o.shape {
            Shape::Disc { radius_m, .. } if o.radius_assumed => radius_m,
            _ => 0.0,
        };
        all.add(
            fixed(o),
            walk,
            margins.vertical_margin_m,
            assumed_radius_m,
            flaw.is_some(),
        );
    }
    for (i, stand) in field.stands.iter().enumerate() {
        if Some(i) == margins.own_stand {
            continue;
        }
        let Occupant { outlines, sure, note } = standing::occupant(field, i, aircraft);
        if !outlines.iter().any(|o| corridor.near(walk, o.shape.bounds())) {
            continue;
        }
        let name = standing::name(stand);
        if let Some(reason) = stand.closed.as_ref().filter(|_| field.is_empty_stand(stand)) {
            all.assumed.push(format!("{name} is closed ({reason}): taken as empty"));
            continue;
        }
        if let Some(place) = stands::shares_ground(&outlines, route, walk) {
            all.assumed
                .push(format!("{name} shares its ground with {place}: taken as empty"));
            continue;
        }
        all.assumed.extend(note);
        all.occupied += 1;
        for o in outlines {
            all.add(parked(stand, o, sure), walk, margins.vertical_margin_m, 0.0, false);
        }
    }
    all
}

/// Everything that stands on the field by the rules of this stage, near the way or not.
pub(super) fn standing(
    field: &Airfield,
    aircraft: &Aircraft,
    route: &Route,
    own_stand: Option<usize>,
) -> Vec<Considered> {
    let walk = Walk::new(aircraft, &route.path);
    let placed = |o: &&Obstacle| sound::placed(&o.shape);
    let mut all: Vec<Considered> = field.obstacles.iter().filter(placed).map(fixed).collect();
    for (i, stand) in field.stands.iter().enumerate() {
        if Some(i) == own_stand || field.is_empty_stand(stand) {
            continue;
        }
        let Occupant { outlines, sure, .. } = standing::occupant(field, i, aircraft);
        if stands::shares_ground(&outlines, route, &walk).is_none() {
            all.extend(outlines.into_iter().map(|o| parked(stand, o, sure)));
        }
    }
    all
}

fn fixed(o: &Obstacle) -> Considered {
    // A band that cannot be is taken as all heights; `sound` says so.
    let sound = o.bottom_m >= 0.0 && o.top_m.unwrap_or(f64::INFINITY) > o.bottom_m;
    let (bottom_m, top_m) = if sound { (o.bottom_m, o.top_m) } else { (0.0, None) };
    Considered {
        feature: o.id.clone(),
        name: obstacle_name(o),
        against: Against::Fixed(o.kind),
        shape: o.shape.clone(),
        bottom_m,
        top_m,
        sure: true,
    }
}

fn parked(stand: &Stand, placed: Placed, sure: bool) -> Considered {
    Considered {
        feature: stand.id.clone(),
        name: format!("aeroplane on {}", standing::name(stand)),
        against: Against::OccupiedStand,
        shape: placed.shape,
        bottom_m: placed.bottom_m,
        top_m: Some(placed.top_m),
        sure,
    }
}
