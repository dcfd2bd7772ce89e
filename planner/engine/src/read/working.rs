//! The stage itself: take the text apart, say what each feature is, find the plane, build the airfield.

use super::credit::is_open_map_id;
use super::document::{RawFeature, features};
use super::geometry::{Part, parts};
use super::kind::{Kind, kind};
use super::project::{Plane, Roughly};
use super::properties::{ACCURACY, DECLINATION, ELEVATION, IDENTITIES, Property, SURFACE};
use super::tags::{Tags, Value};
use super::{
    DEFAULT_ACCURACY_M, FeatureProblem, Progress, ReadError, ReadField, WIDTH_LIMIT_M, area, number, obstacle, outline,
    pavement, project, repeated, runway, swapped,
};
use crate::carrier::{DOUBT, LEFT_OUT};
use crate::notice::{Notice, NoticeKind};
use std::borrow::Cow;
use toeline_model::airfield::Surface;
use toeline_model::planar::inside_ring;
use toeline_model::{Airfield, LonLat, Xy};

/// A feature that is used.
pub(super) struct Item<'t> {
    index: usize,
    pub(super) id: Cow<'t, str>,
    pub(super) tags: Tags<'t>,
    pub(super) parts: Vec<Part>,
}

impl Item<'_> {
    /// Identity of its part number `i`: the first part has the feature's own.
    pub(super) fn part_id(&self, i: usize) -> String {
        if i == 0 {
            self.id.to_string()
        } else {
            format!("{} (part {})", self.id, i + 1)
        }
    }
}

/// What every builder needs: the plane, and a place for notices.
pub(super) struct Desk {
    pub(super) plane: Plane,
    origin: LonLat,
    notices: Vec<(usize, Notice)>,
}

impl Desk {
    /// Adds a notice about a feature.
    pub(super) fn tell(&mut self, kind: NoticeKind, item: &Item<'_>, text: impl Into<String>) {
        let at = item
            .parts
            .iter()
            .flat_map(Part::positions)
            .next()
            .map(|p| self.plane.to_xy(p));
        self.tell_at(kind, item, at, text);
    }

    /// The same with a place.
    pub(super) fn tell_at(&mut self, kind: NoticeKind, item: &Item<'_>, at: Option<Xy>, text: impl Into<String>) {
        let notice = Notice::new(kind, item.id.as_ref(), text).with_place(at);
        self.notices.push((item.index, notice));
    }

    /// The same about the first place of the feature, with a size and what was assumed.
    pub(super) fn tell_sized(&mut self, kind: NoticeKind, item: &Item<'_>, size_m: f64, assumed: &str, text: String) {
        self.tell(kind, item, text);
        if let Some((_, notice)) = self.notices.last_mut() {
            *notice = notice.clone().with_size(size_m).with_assumption(assumed);
        }
    }

    /// `value` is in the property's own unit, and `what` says what it should be.
    fn ranged(&mut self, item: &Item<'_>, property: &Property, value: Option<f64>, what: &str) -> Option<f64> {
        let key = property.key;
        item.tags.raw(key)?;
        let shown = item.tags.text(key).unwrap_or_else(|| "a list or an object".to_string());
        let Some(v) = value else {
            self.tell(
                NoticeKind::Doubt,
                item,
                format!("{key}=\"{shown}\" is not a {what}; left out"),
            );
            return None;
        };
        match property.range() {
            Some((low, high, unit)) if !(low..=high).contains(&v) => {
                let text = format!("{key}=\"{shown}\" is outside {low} to {high} {unit}; left out");
                self.tell(NoticeKind::Doubt, item, text);
                None
            }
            _ => Some(v),
        }
    }

    /// A length in metres, left out with a doubt when it is nonsense or beyond belief.
    pub(super) fn length(&mut self, item: &Item<'_>, property: &Property) -> Option<f64> {
        let value = item.tags.raw(property.key).and_then(number::length_m);
        self.ranged(
            item,
            property,
            value,
            "length (such as 23, \"23 m\", \"75 ft\" or \"75'\")",
        )
    }

    /// A speed in metres per second, likewise.
    pub(super) fn speed(&mut self, item: &Item<'_>, property: &Property) -> Option<f64> {
        const KMH_MPS: f64 = 1.0 / 3.6;
        let value = item.tags.raw(property.key).and_then(number::speed_mps);
        // Rounded, so that the limits themselves are within.
        let value_kmh = value.map(|v| toeline_model::units::round_to(v / KMH_MPS, 6));
        self.ranged(
            item,
            property,
            value_kmh,
            "speed (such as 20, \"20 km/h\" or \"10 kt\")",
        )
        .and(value)
    }

    /// A direction in degrees, likewise.
    pub(super) fn angle(&mut self, item: &Item<'_>, property: &Property) -> Option<f64> {
        let value = item.tags.raw(property.key).and_then(number::degrees);
        self.ranged(item, property, value, "direction (such as 270 or W)")
    }

    /// A slope in percent, likewise.
    pub(super) fn percent(&mut self, item: &Item<'_>, property: &Property) -> Option<f64> {
        let value = item.tags.raw(property.key).and_then(number::percent);
        self.ranged(item, property, value, "slope in percent (such as 1.5 or \"-2%\")")
    }

    /// Surface, unknown with a doubt when the value is not known.
    pub(super) fn surface(&mut self, item: &Item<'_>) -> Surface {
        item.tags.surface().unwrap_or_else(|value| {
            self.tell(
                NoticeKind::Doubt,
                item,
                format!("{}=\"{value}\" is not known; taken as not tagged", SURFACE.key),
            );
            Surface::Unknown
        })
    }
}

/// Reads a map file's text.
pub(super) fn read(text: &str, progress: &mut dyn FnMut(Progress)) -> Result<ReadField, ReadError> {
    let (raw, said) = features(text, progress)?;
    let numbered = raw.iter().any(|f| is_open_map_id(&f.id));
    let count = raw.len();
    let mut problems = Vec::new();
    let mut early: Vec<(usize, Notice)> = Vec::new();
    let mut items: Vec<(Kind, Item<'_>)> = Vec::new();
    for (
        index,
        RawFeature {
            id,
            tags,
            geometry,
            broken,
        },
    ) in raw.into_iter().enumerate()
    {
        let kind = if broken.is_some() { Kind::Other } else { kind(&tags) };
        let left_out = |text: String| Notice::new(NoticeKind::LeftOut, id.as_ref(), text);
        match (parts(geometry), &kind) {
            _ if broken.is_some() => {
                early.push((index, left_out(format!("{}; left out", broken.unwrap_or_default()))));
            }
            // An aerodrome is its properties; two islands drawn badly around it do no harm.
            (parts, Kind::Aerodrome) => items.push((
                kind,
                Item {
                    index,
                    id,
                    tags,
                    parts: parts.unwrap_or_default(),
                },
            )),
            (Err(e), Kind::Other | Kind::LeftOut(_)) => {
                early.push((index, left_out(format!("{e}; not used, so left out"))))
            }
            (Err(text), _) => problems.push(FeatureProblem {
                feature: id.into_owned(),
                text,
            }),
            (Ok(_), Kind::Other) => {}
            (Ok(parts), Kind::LeftOut(_)) => items.push((kind, Item { index, id, tags, parts })),
            (Ok(parts), _) if parts.is_empty() => {
                early.push((index, left_out("has no geometry; left out".to_string())));
            }
            (Ok(parts), _) => items.push((kind, Item { index, id, tags, parts })),
        }
    }
    if !problems.is_empty() {
        return Err(ReadError::Features(problems));
    }
    let pavement = |kind: &Kind| matches!(kind, Kind::Runway | Kind::Lane(_) | Kind::Stand);
    let first_lon_deg = items
        .iter()
        .filter(|(k, _)| pavement(k))
        .flat_map(|(_, i)| &i.parts)
        .flat_map(Part::positions)
        .next();
    let nothing = ReadError::NothingToTaxiOn { features: count };
    let Some(first) = first_lon_deg else {
        return Err(nothing);
    };
    for (_, item) in &mut items {
        project::unwrap(&mut item.parts, first.lon_deg);
    }
    let places = items
        .iter()
        .filter(|(k, _)| pavement(k))
        .flat_map(|(_, i)| &i.parts)
        .flat_map(Part::positions);
    let Some(origin) = project::origin(places)? else {
        return Err(nothing);
    };
    let roughly = Roughly::from(origin);
    items.retain(|(kind, item)| {
        let far_m = item
            .parts
            .iter()
            .flat_map(Part::positions)
            .map(|p| roughly.metres(p))
            .fold(0.0, f64::max);
        let keep = *kind == Kind::Aerodrome || far_m <= WIDTH_LIMIT_M;
        if !keep {
            let text = format!(
                "reaches {:.0} km from the middle of the field; the limit is {:.0} km, so left out",
                far_m / 1000.0,
                WIDTH_LIMIT_M / 1000.0
            );
            early.push((item.index, Notice::new(NoticeKind::LeftOut, item.id.as_ref(), text)));
        }
        keep
    });
    let known = items.iter().map(|(_, item)| (item.index, item.id.as_ref()));
    early.extend(repeated::repeated(known));
    let mut desk = Desk {
        plane: Plane::new(origin),
        origin,
        notices: early,
    };
    let mut field = build(&mut desk, &items, progress);
    field.attribution = said.credit(numbered && !field.invented);
    if let Some(doubt) = swapped::swapped(&desk.plane, &field.runways) {
        desk.notices.push((0, doubt));
    }
    if field.runways.iter().all(|r| r.closed.is_some()) && field.lanes.iter().all(|l| l.closed.is_some()) {
        return Err(nothing);
    }
    let mut notices = desk.notices;
    notices.sort_by_key(|(index, _)| *index);
    Ok(ReadField {
        field,
        notices: notices.into_iter().map(|(_, n)| n).collect(),
    })
}

/// Most identities of one feature (ours: its own, and those of what it is a piece of).
const MOST_IDENTITIES: usize = 32;
/// Keys of an aerodrome whose values are codes by which a notice can name it.
const CODES: [&str; 4] = ["icao", "iata", "faa", "local_ref"];
/// Progress is told after as many features.
const TELL_FEATURES: usize = 5000;

fn build(desk: &mut Desk, items: &[(Kind, Item<'_>)], progress: &mut dyn FnMut(Progress)) -> Airfield {
    let mut field = Airfield::bare(desk.origin, DEFAULT_ACCURACY_M);
    let main = main_aerodrome(desk, items);
    let mut pieces = Vec::new();
    let mut outlines = Vec::new();
    let mut stands = Vec::new();
    for (i, (kind, item)) in items.iter().enumerate() {
        if i % TELL_FEATURES == TELL_FEATURES - 1 {
            progress(Progress::Features {
                done: i + 1,
                of: items.len(),
            });
        }
        // What a carrier had to assume or left out before the feature was GeoJSON.
        for (key, sort) in [(DOUBT, NoticeKind::Doubt), (LEFT_OUT, NoticeKind::LeftOut)] {
            for text in item.tags.sentences(key) {
                desk.tell(sort, item, text);
            }
        }
        identify(desk, item, &mut field);
        match kind {
            Kind::Aerodrome if main == Some(item.index) => aerodrome(desk, item, &mut field),
            Kind::Aerodrome => {
                desk.tell(
                    NoticeKind::LeftOut,
                    item,
                    "another aerodrome in the file; its name and figures are left out",
                );
            }
            Kind::Runway => runway::pieces(desk, item, &mut pieces, &mut outlines),
            Kind::Lane(lane) => pavement::lanes(desk, item, *lane, &mut field, &mut outlines),
            Kind::Stand => {
                stands.push(item);
                pavement::stands(desk, item, &mut field);
            }
            Kind::Hold => pavement::holds(desk, item, &mut field),
            Kind::Apron => area::areas(desk, item, "an apron", &mut field.aprons, &mut field.closures),
            Kind::CheckArea => area::areas(
                desk,
                item,
                "an engine-check area",
                &mut field.check_areas,
                &mut field.closures,
            ),
            Kind::HotSpot => area::areas(desk, item, "a hot spot", &mut field.hot_spots, &mut field.closures),
            Kind::Pavement => area::pavement(desk, item, &mut field),
            Kind::ClosedArea => area::closed(desk, item, &mut field.closures),
            Kind::Helipad => area::helipads(desk, item, &mut field.helipads),
            Kind::Obstacle(kind) => obstacle::obstacles(desk, item, *kind, &mut field.obstacles),
            Kind::LeftOut(text) => desk.tell(NoticeKind::LeftOut, item, text.clone()),
            Kind::Other => {}
        }
    }
    field.runways = runway::merged(desk, pieces, &mut field.closures);
    outline::settle(desk, outlines, &mut field);
    pavement::shared_names(desk, &stands, &field.stands);
    field
}

/// Keeps the identities of a feature for the notices that name them.
fn identify(desk: &mut Desk, item: &Item<'_>, field: &mut Airfield) {
    let Some(said) = item.tags.raw(IDENTITIES.key) else {
        return;
    };
    let list: Vec<String> = match said {
        Value::String(text) => text
            .split_whitespace()
            .take(MOST_IDENTITIES + 1)
            .map(str::to_lowercase)
            .collect(),
        _ => Vec::new(),
    };
    let sound = |t: &String| t.len() <= 64 && t.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_.:/".contains(&b));
    if list.is_empty() || list.len() > MOST_IDENTITIES || !list.iter().all(sound) {
        let text = format!(
            "{} is not a list of 1 to {MOST_IDENTITIES} identities with blanks between them; left out, so a notice cannot name this by them",
            IDENTITIES.key
        );
        return desk.tell(NoticeKind::Doubt, item, text);
    }
    for i in 0..item.parts.len().max(1) {
        field.identities.insert(item.part_id(i), list.clone());
    }
}

/// Of several aerodromes the one that most taxiways begin in, else the one nearest to the middle of the field; then the
/// first in the file.
fn main_aerodrome(desk: &Desk, items: &[(Kind, Item<'_>)]) -> Option<usize> {
    let mut all = items.iter().filter(|(kind, _)| *kind == Kind::Aerodrome);
    match (all.next(), all.next()) {
        (Some(_), Some(_)) => {}
        (one, _) => return one.map(|(_, item)| item.index),
    }
    let begin = |item: &Item<'_>| {
        item.parts
            .iter()
            .flat_map(Part::positions)
            .next()
            .map(|p| desk.plane.to_xy(p))
    };
    let lanes: Vec<Xy> = items
        .iter()
        .filter(|(k, _)| matches!(k, Kind::Lane(_)))
        .filter_map(|(_, i)| begin(i))
        .collect();
    let rank = |item: &Item<'_>| {
        let rings: Vec<Vec<Xy>> = item
            .parts
            .iter()
            .filter_map(|part| match part {
                // Straight from corner to corner: no width limit holds for an aerodrome, and points added for its bend would
                // be without number.
                Part::Area { outer, .. } => Some(outer.iter().map(|p| desk.plane.to_xy(*p)).collect()),
                _ => None,
            })
            .collect();
        let within = lanes
            .iter()
            .filter(|p| rings.iter().any(|r| inside_ring(**p, r)))
            .count();
        let places = item
            .parts
            .iter()
            .flat_map(Part::positions)
            .map(|p| desk.plane.to_xy(p).norm());
        (within, places.fold(f64::MAX, f64::min))
    };
    let list = items
        .iter()
        .filter(|(kind, _)| *kind == Kind::Aerodrome)
        .map(|(_, item)| (rank(item), item.index));
    list.min_by(|(a, i), (b, j)| b.0.cmp(&a.0).then(a.1.total_cmp(&b.1)).then(i.cmp(j)))
        .map(|(_, index)| index)
}

fn aerodrome(desk: &mut Desk, item: &Item<'_>, field: &mut Airfield) {
    field.name = item.tags.text("name").or_else(|| item.tags.text("icao"));
    field.codes = CODES.iter().filter_map(|key| item.tags.text(key)).collect();
    field.elevation_m = desk.length(item, &ELEVATION);
    if let Some(accuracy_m) = desk.length(item, &ACCURACY) {
        field.accuracy_m = accuracy_m;
        field.accuracy_stated = true;
    }
    field.invented = item.tags.says("toeline:invented");
    field.declination_deg = desk.angle(item, &DECLINATION);
}
