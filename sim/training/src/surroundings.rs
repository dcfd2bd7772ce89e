//! What stands around a drive and where the pavement is: the planner's own list, made ready for the drive.

use toeline_dynamics::contacts::{Pavement, Solid, Surroundings, Thing};
use toeline_engine::clearance::{self, Against, Considered};
use toeline_engine::planning::{Plan, Way};
use toeline_engine::route;
use toeline_model::airfield::Surface;
use toeline_model::{Airfield, Xy};

/// Pavement width that is drawn and driven on where the map gives none, metres. Ours; a drive takes the field as if it
/// were so, the planner's verdict says "not known".
pub const LANE_WIDTH_M: f64 = 7.5;
/// The same for runways, metres. Ours.
pub const RUNWAY_WIDTH_M: f64 = 18.0;
/// The same for the pavement along a stand line, metres. Ours.
pub const STAND_WIDTH_M: f64 = 6.0;

/// Everything that stands on the field of a plan and can be touched: what clearance considers, near the way or not, less
/// the circles that stand for a parked aeroplane of unknown heading. Those are room to be kept, not a thing.
pub fn standing(plan: &Plan, way: &Way) -> Vec<Considered> {
    let own_stand = route::stand(&plan.field, &plan.request.from).ok();
    let mut all = clearance::standing(&plan.field, &plan.request.aircraft, &way.route, own_stand);
    all.retain(|c| c.sure);
    all
}

/// Surroundings of a drive along a plan's way.
pub fn of(plan: &Plan, way: &Way) -> Surroundings {
    let mut paved = pavement(&plan.field);
    let legs = way.route.legs.iter();
    paved.extend(legs.filter_map(|l| l.width_m.map(|width_m| strip(&l.mapped_line, width_m))));
    Surroundings::new(&things(&standing(plan, way)), &paved)
}

/// Surroundings of a drive without a plan: what the map shows, with nobody on the stands.
pub fn on_field(field: &Airfield) -> Surroundings {
    let shown = field.obstacles.iter().map(|o| Thing {
        name: o.name.clone().unwrap_or_else(|| o.id.clone()),
        solids: vec![Solid {
            shape: o.shape.clone(),
            bottom_m: o.bottom_m,
            top_m: o.top_m,
        }],
    });
    Surroundings::new(&shown.collect::<Vec<_>>(), &pavement(field))
}

/// One thing for each that is considered; the parts of one parked aeroplane are one thing.
fn things(standing: &[Considered]) -> Vec<Thing> {
    let mut list: Vec<(&Considered, Thing)> = Vec::new();
    for c in standing {
        let solid = Solid {
            shape: c.shape.clone(),
            bottom_m: c.bottom_m,
            top_m: c.top_m,
        };
        match list.last_mut() {
            Some((of, thing)) if c.against == Against::OccupiedStand && of.feature == c.feature => {
                thing.solids.push(solid);
            }
            _ => list.push((
                c,
                Thing {
                    name: c.name.clone(),
                    solids: vec![solid],
                },
            )),
        }
    }
    list.into_iter().map(|(_, thing)| thing).collect()
}

fn strip(line: &[Xy], width_m: f64) -> Pavement {
    Pavement::Strip {
        line: line.to_vec(),
        width_m,
    }
}

/// What wheels may be on, whatever it is made of but water: runways, lanes (closed ones too), stand lines, aprons, check
/// areas.
pub fn pavement(field: &Airfield) -> Vec<Pavement> {
    let mut all = Vec::new();
    let dry = |surface: Surface| surface != Surface::Water;
    for r in field.runways.iter().filter(|r| dry(r.surface)) {
        all.push(strip(&r.line, r.width_m.unwrap_or(RUNWAY_WIDTH_M)));
    }
    for l in field.lanes.iter().filter(|l| dry(l.surface)) {
        all.push(strip(&l.line, l.width_m.unwrap_or(LANE_WIDTH_M)));
    }
    for s in &field.stands {
        all.push(strip(&s.line, s.width_m.unwrap_or(STAND_WIDTH_M)));
    }
    let areas = field.aprons.iter().chain(&field.check_areas);
    let areas = areas.filter(|a| dry(a.surface));
    all.extend(areas.map(|a| Pavement::Area { outer: a.outer.clone() }));
    all
}
