//! AIXM 5.1 and 5.1.1, the aeronautical exchange standard (GML 3.2): messages of features become the GeoJSON text of one
//! aerodrome as it is at a time.
//!
//! | file | what |
//! |---|---|
//! | `tree` | the XML, one member at a time |
//! | `kinds`, `store`, `time` | what is kept; time slices put together |
//! | `crs`, `geodesic`, `shapes`, `units` | positions, lines along the geodesic, measures |
//! | `owners` | which aerodrome a feature belongs to |
//! | `lanes`, `paved`, `runways`, `structures`, `usage` | what becomes of each kind |

mod crs;
mod desk;
mod geodesic;
mod kinds;
mod lanes;
mod lines;
mod owners;
mod paved;
mod runways;
mod shapes;
mod store;
mod structures;
mod time;
pub(crate) mod tree;
pub(crate) mod units;
mod usage;

pub use desk::IDENTITIES;
pub use time::At;

use super::listing::{Aerodrome, Found};
use super::source::{Carried, Teller};
use super::write::{Feature, Shape, collection};
use super::{CarrierError, Cut, LEFT_OUT, Progress, TakeCut, pick};
use core::cell::{Cell, RefCell};
use desk::{Desk, Draft, named};
use shapes::Shapes;
use std::collections::{BTreeMap, BTreeSet};
use std::io::SeekFrom;
use store::{Id, Kind, Live, Store};
use toeline_model::LonLat;
use tree::{Node, Space};

/// One of the files that hold the messages, with the name that errors call it by.
pub struct Message<'r> {
    /// Name; empty where there is one file only.
    pub name: String,
    /// What is in it.
    pub bytes: &'r mut dyn Carried,
}

/// The credit of messages that state none.
pub const NO_CREDIT: &str = "AIXM data: no credit stated in the file";
/// Most sentences about single features that are not there at the time.
const ABSENT_TOLD: usize = 10;

/// What is read of the messages.
struct Set {
    live: BTreeMap<Id, Live>,
    absent: store::Absent,
    passed_over: BTreeMap<String, usize>,
    credit: String,
    found: Vec<Found>,
    /// Which of them each feature belongs to; those of none are not in it.
    owner: BTreeMap<Id, String>,
}

fn set(messages: &mut [Message<'_>], at: At, progress: &mut dyn FnMut(Progress)) -> Result<Set, CarrierError> {
    let mut of_bytes = 0;
    for m in messages.iter_mut() {
        of_bytes += m.bytes.seek(SeekFrom::End(0))?;
    }
    let mut teller = Teller::new(progress, of_bytes);
    let (mut store, mut before) = (Store::default(), 0);
    for m in messages.iter_mut() {
        m.bytes.seek(SeekFrom::Start(0))?;
        store.read(&m.name, &mut m.bytes, &mut teller, before)?;
        before += m.bytes.stream_position()?;
    }
    let passed_over = core::mem::take(&mut store.passed_over);
    let credit = core::mem::take(&mut store.credit);
    let credit = if credit.is_empty() {
        NO_CREDIT.to_string()
    } else {
        credit.join("; ")
    };
    let (live, absent) = store.live(at)?;
    let (found, owner) = owners::owners(&live, &credit);
    if found.is_empty() {
        return Err(match absent.first() {
            Some((id, why)) => CarrierError::Features {
                list: vec![format!(
                    "{}/{}: {why}; so it is with all of them",
                    id.0.word(),
                    crate::clean::name(&id.1)
                )],
            },
            None => CarrierError::None,
        });
    }
    Ok(Set {
        live,
        absent,
        passed_over,
        credit,
        found,
        owner,
    })
}

/// The aerodromes of the messages.
pub(super) fn list(
    messages: &mut [Message<'_>],
    at: At,
    progress: &mut dyn FnMut(Progress),
) -> Result<Vec<Aerodrome>, CarrierError> {
    let set = set(messages, at, progress)?;
    Ok(set.found.into_iter().map(|f| f.aerodrome).collect())
}

/// Cuts one out.
pub(super) fn cut(
    messages: &mut [Message<'_>],
    asked: Option<&str>,
    at: At,
    progress: &mut dyn FnMut(Progress),
) -> Result<Cut, CarrierError> {
    let set = set(messages, at, progress)?;
    one(&set, &pick::pick(&set.found, asked)?.aerodrome, at)
}

/// Cuts all out, in their order; those with nothing to taxi on are handed over as none.
pub(super) fn cut_each(
    messages: &mut [Message<'_>],
    at: At,
    progress: &mut dyn FnMut(Progress),
    take: &mut TakeCut<'_>,
) -> Result<(), CarrierError> {
    let set = set(messages, at, progress)?;
    for (i, found) in set.found.iter().enumerate() {
        let aerodrome = &found.aerodrome;
        let cut = aerodrome.has_ground().then(|| one(&set, aerodrome, at));
        if !take(i, set.found.len(), aerodrome, cut) {
            break;
        }
    }
    Ok(())
}

fn one(set: &Set, aerodrome: &Aerodrome, at: At) -> Result<Cut, CarrierError> {
    let (own, beyond, failed) = owned(set, aerodrome);
    let points = points(set, &own);
    let made = Cell::new(0);
    let mut desk = Desk {
        live: &set.live,
        own: &own,
        shapes: Shapes {
            points: &points,
            made: &made,
        },
        usages: RefCell::default(),
        elevation_m: None,
        made: Vec::new(),
        problems: failed,
        left_out: BTreeMap::new(),
    };
    let head = head(&mut desk, aerodrome);
    runways::runways(&mut desk);
    paved::elements(&mut desk);
    lanes::guidance(&mut desk);
    lanes::holds(&mut desk);
    paved::aprons(&mut desk);
    lanes::stands(&mut desk);
    paved::work_areas(&mut desk);
    structures::structures(&mut desk);
    if !desk.problems.is_empty() {
        return Err(CarrierError::Features { list: desk.problems });
    }
    let mut features = vec![with_notes(head, &desk.left_out, set, beyond, at)];
    features.append(&mut desk.made);
    Ok(Cut {
        aerodrome: aerodrome.clone(),
        text: collection(&set.credit, &features),
    })
}

/// The features of an aerodrome with the obstacles near it; how many obstacles are not near; what is wrong with places.
fn owned<'s>(set: &'s Set, aerodrome: &Aerodrome) -> (BTreeSet<&'s Id>, usize, Vec<String>) {
    let of_it = |id: &Id| set.owner.get(id) == Some(&aerodrome.feature);
    let mut own: BTreeSet<&Id> = set
        .live
        .keys()
        .filter(|id| id.0 != Kind::VerticalStructure && of_it(id))
        .collect();
    let boxes = own
        .iter()
        .filter_map(|id| set.live.get(*id))
        .filter_map(|l| owners::bounds(l).ok().flatten());
    let ground = boxes.reduce(owners::Box2::and);
    let (mut beyond, mut failed) = (0, Vec::new());
    for (id, live) in set.live.iter().filter(|(id, _)| id.0 == Kind::VerticalStructure) {
        match owners::bounds(live) {
            Ok(Some(b)) if ground.is_some_and(|g| g.is_near(b)) => {
                own.insert(id);
            }
            Ok(_) => beyond += 1,
            Err(e) => failed.push(format!(
                "{}/{} ({}): {e}",
                id.0.word(),
                crate::clean::name(&id.1),
                live.place
            )),
        }
    }
    (own, beyond, failed)
}

/// The points of the features that are used, by their `gml:id`.
fn points(set: &Set, own: &BTreeSet<&Id>) -> BTreeMap<String, Result<LonLat, String>> {
    let mut found = BTreeMap::new();
    for live in own.iter().filter_map(|id| set.live.get(*id)) {
        gather(&live.node, live.crs, &mut found);
    }
    found
}

fn gather(node: &Node, around: Option<crs::Crs>, found: &mut BTreeMap<String, Result<LonLat, String>>) {
    if shapes::is_point(node)
        && let Some(id) = node.attribute(Space::Gml, "id")
    {
        found
            .entry(id.to_string())
            .or_insert_with(|| shapes::point_of(node, around));
    }
    let around = crs::of(node, around).unwrap_or(around);
    node.children.iter().for_each(|c| gather(c, around, found));
}

/// The aerodrome itself, and its elevation.
fn head(desk: &mut Desk<'_>, aerodrome: &Aerodrome) -> (Draft, Shape<LonLat>) {
    let Some((id, live)) = desk.each(Kind::AirportHeliport).into_iter().next() else {
        let nameless = Live {
            node: Node::named("AirportHeliport"),
            doubts: Vec::new(),
            crs: None,
            place: String::new(),
        };
        let mut draft = Draft::of(&(Kind::AirportHeliport, "unnamed".to_string()), &nameless);
        draft.tag("aeroway", "aerodrome");
        draft.doubt(format!(
            "the message has no AirportHeliport; all that is in it counts ({})",
            aerodrome.feature
        ));
        return (draft, Shape::Nothing);
    };
    let mut draft = Draft::of(id, live);
    draft.tag("aeroway", "aerodrome");
    draft.tag_some("name", named(&live.node, "name"));
    draft.tag_some("icao", named(&live.node, "locationIndicatorICAO"));
    let elevation = live.node.child(Space::Aixm, "fieldElevation");
    desk.elevation_m = elevation.and_then(|e| units::length_m(e).ok());
    draft.length("ele", elevation);
    draft.tag_some("toeline:accuracy_m", accuracy(desk).map(units::shown));
    let boundary = desk.areas(live, "aviationBoundary", &mut draft);
    let shape = match boundary.or_else(|| desk.point(live, "ARP").map(|p| p.map(Shape::Point))) {
        Some(Ok(shape)) => shape,
        Some(Err(e)) => {
            desk.problems.push(format!("{} ({}): {e}", draft.id, live.place));
            Shape::Nothing
        }
        None => Shape::Nothing,
    };
    (draft, shape)
}

/// The worst horizontal accuracy of the guidance lines, where all of them state it.
fn accuracy(desk: &Desk<'_>) -> Option<f64> {
    let mut worst: Option<f64> = None;
    for (_, live) in desk.each(Kind::GuidanceLine) {
        let curve = live.node.child(Space::Aixm, "extent")?.children.first()?;
        let m = units::length_m(curve.child(Space::Aixm, "horizontalAccuracy")?).ok()?;
        worst = Some(worst.map_or(m, |w| w.max(m)));
    }
    worst
}

/// What is not used, said with the aerodrome: one sentence a line.
fn with_notes(
    (mut draft, shape): (Draft, Shape<LonLat>),
    left_out: &BTreeMap<String, usize>,
    set: &Set,
    beyond: usize,
    at: At,
) -> Feature<LonLat> {
    let mut notes: Vec<String> = left_out
        .iter()
        .map(|(what, n)| format!("not used: {n} {what}"))
        .collect();
    if beyond > 0 {
        notes.push(format!(
            "not used: {beyond} VerticalStructure more than {:.0} m from the box around the aerodrome's runways, lines and areas",
            super::AROUND_M
        ));
    }
    let nobodys = set
        .live
        .keys()
        .filter(|id| id.0 != Kind::VerticalStructure && !set.owner.contains_key(*id))
        .count();
    if nobodys > 0 {
        let what = if nobodys == 1 {
            "feature that belongs"
        } else {
            "features that belong"
        };
        notes.push(format!("not used: {nobodys} {what} to no aerodrome"));
    }
    for (id, why) in set.absent.iter().take(ABSENT_TOLD) {
        notes.push(format!(
            "not there: {}/{}: {why}",
            id.0.word(),
            crate::clean::name(&id.1)
        ));
    }
    if set.absent.len() > ABSENT_TOLD {
        notes.push(format!(
            "not there on {at}: {} more features",
            set.absent.len() - ABSENT_TOLD
        ));
    }
    if !set.passed_over.is_empty() {
        let list: Vec<String> = set.passed_over.iter().map(|(name, n)| format!("{n} {name}")).collect();
        notes.push(format!("kinds of members that are not read: {}", list.join(", ")));
    }
    if !notes.is_empty() {
        draft.tag(LEFT_OUT, notes.join("\n"));
    }
    draft.drawn(shape)
}
