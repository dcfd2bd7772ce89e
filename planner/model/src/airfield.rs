//! An airfield as data: what a map file said, in local metres, before anything is joined or routed.

use crate::angle::Bearing;
use crate::date::Moment;
use crate::frame::{LonLat, Xy};
use crate::planar::{Shape, inside_ring};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// The identity of a feature in its file: its `id` when it has one, otherwise its place in the file ("feature 17").
pub type FeatureId = String;

/// What a pavement or strip is made of, as far as taxiing cares.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// Asphalt, concrete, paving.
    Paved,
    /// Grass.
    Grass,
    /// Gravel, dirt, sand and other loose ground.
    Loose,
    /// Ice, or pavement tagged as such. Only ever tagged, never assumed.
    Ice,
    /// Water: never for wheels.
    Water,
    /// Not tagged.
    Unknown,
}

/// Whether a lane is a taxiway or a taxilane; the published separations differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LaneKind {
    /// `aeroway=taxiway`.
    Taxiway,
    /// `aeroway=taxilane`.
    Taxilane,
}

/// In which sense of its drawing a lane may be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Both.
    Both,
    /// Only from its first point to its last.
    Forward,
    /// Only from its last point to its first.
    Backward,
}

/// A taxiway or taxilane centreline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lane {
    /// Identity in the file.
    pub id: FeatureId,
    /// Taxiway or taxilane.
    pub kind: LaneKind,
    /// Letters it is known by, as mapped (`ref`, else a short `name`); several when it bears a list.
    pub letters: Vec<String>,
    /// Centreline, local metres, at least two points.
    pub line: Vec<Xy>,
    /// Pavement width, metres.
    pub width_m: Option<f64>,
    /// Surface.
    pub surface: Surface,
    /// Permitted sense.
    pub way: Way,
    /// Why it must not be used, when it is closed.
    pub closed: Option<String>,
    /// Greatest wingspan admitted, metres.
    pub span_limit_m: Option<f64>,
    /// Speed limit, metres per second.
    pub speed_limit_mps: Option<f64>,
    /// Slope from the first point of the line to the last, percent, positive where it rises.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slope_percent: Option<f64>,
    /// Level: lanes on different levels never join (`layer`, or 1 on a bridge and -1 in a tunnel).
    pub level: i32,
}

/// A runway centreline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Runway {
    /// Identity in the file.
    pub id: FeatureId,
    /// The designator used when moving from the first point to the last, and the one for the other way.
    pub designators: [Option<String>; 2],
    /// Centreline from threshold to threshold, local metres.
    pub line: Vec<Xy>,
    /// Width, metres.
    pub width_m: Option<f64>,
    /// Surface.
    pub surface: Surface,
    /// Why it must not be used, when it is closed.
    pub closed: Option<String>,
    /// Level, as for lanes.
    pub level: i32,
}

/// Which way the nose points on a stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Nose {
    /// Toward the lane: taxi straight out.
    Out,
    /// Away from the lane: pushed back by hand first.
    In,
}

/// A parking stand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Stand {
    /// Identity in the file.
    pub id: FeatureId,
    /// What it is called; refs are not unique on real fields.
    pub name: Option<String>,
    /// The stand's point, or its line as drawn, local metres: one point or at least two.
    pub line: Vec<Xy>,
    /// Heading of an aeroplane parked there, from true north.
    pub heading: Option<Bearing>,
    /// Which way the nose points.
    pub nose: Option<Nose>,
    /// Greatest wingspan admitted, metres.
    pub span_limit_m: Option<f64>,
    /// Width of its pavement, metres.
    pub width_m: Option<f64>,
    /// Why it must not be used, when it is closed.
    pub closed: Option<String>,
}

/// What a holding position guards.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HoldingKind {
    /// A runway.
    Runway,
    /// Another taxiway.
    Intermediate,
    /// Not tagged: geometry decides.
    Unknown,
}

/// Which traffic a holding position is for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Facing {
    /// Traffic that runs along the line of its lane as drawn.
    Forward,
    /// Traffic that runs against it.
    Backward,
    /// Traffic on this bearing, from true north.
    Toward(Bearing),
}

/// A holding position.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HoldingPosition {
    /// Identity in the file.
    pub id: FeatureId,
    /// What it is called (`ref`).
    pub name: Option<String>,
    /// What it guards.
    pub kind: HoldingKind,
    /// Where the line is painted, local metres.
    pub at: Xy,
    /// Which traffic it is for, when the map says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub facing: Option<Facing>,
}

/// A named area: apron, engine-check area, hot spot, helipad or the outline of a runway or taxiway.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NamedArea {
    /// Identity in the file.
    pub id: FeatureId,
    /// What it is called.
    pub name: Option<String>,
    /// Why it matters, for a hot spot.
    pub note: Option<String>,
    /// Outer ring, local metres, open.
    pub outer: Vec<Xy>,
    /// Holes in it (a grass island), local metres, open rings.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holes: Vec<Vec<Xy>>,
    /// Surface.
    pub surface: Surface,
}

impl NamedArea {
    /// Whether a place is on it: within its ring and in none of its holes.
    pub fn holds(&self, p: Xy) -> bool {
        inside_ring(p, &self.outer) && !self.holes.iter().any(|h| inside_ring(p, h))
    }
}

/// What a closure closes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Closed {
    /// The feature that bears it: a runway, lane, stand or holding position.
    Itself,
    /// Everything that lies in an area or reaches into it: its outer ring, local metres, open.
    Within(Vec<Xy>),
    /// A piece of pavement with every line that leads over it, and not what only touches its edge: its outer ring, local
    /// metres, open.
    Pavement(Vec<Xy>),
    /// A stretch of a lane and nothing beside it: its line, local metres.
    Stretch(Vec<Xy>),
}

impl Closed {
    /// The ring of what is closed as an area.
    pub fn ring(&self) -> Option<&[Xy]> {
        match self {
            Closed::Within(ring) | Closed::Pavement(ring) => Some(ring),
            Closed::Itself | Closed::Stretch(_) => None,
        }
    }
}

/// Something closed, for a time or for good.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Closure {
    /// Identity of the feature that bears it.
    pub id: FeatureId,
    /// What it is called ("apron North", "closed area W1").
    pub name: String,
    /// What it closes.
    pub closed: Closed,
    /// Why: "resurfacing".
    pub reason: String,
    /// From when on, UTC; `None`: since ever.
    pub from: Option<Moment>,
    /// Until when, UTC, that minute not included; `None`: for good.
    pub until: Option<Moment>,
}

impl Closure {
    /// "resurfacing, 2026-12-01T06:00Z to 2026-12-04T18:00Z".
    pub fn words(&self) -> String {
        match (self.from, self.until) {
            (None, None) => self.reason.clone(),
            (Some(a), None) => format!("{}, from {a}", self.reason),
            (None, Some(b)) => format!("{}, until {b}", self.reason),
            (Some(a), Some(b)) => format!("{}, {a} to {b}", self.reason),
        }
    }
}

/// What kind of thing an obstacle is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ObstacleKind {
    /// A building.
    Building,
    /// A hangar.
    Hangar,
    /// A terminal.
    Terminal,
    /// A fence.
    Fence,
    /// A wall.
    Wall,
    /// A single tree.
    Tree,
    /// A row of trees.
    TreeRow,
    /// A hedge.
    Hedge,
    /// A pole or lamp post.
    Pole,
    /// A mast or tower.
    Mast,
    /// A windsock on its pole.
    Windsock,
    /// A parked aeroplane that the map itself shows.
    ParkedAeroplane,
}

/// Something fixed that a part of an aeroplane can meet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Obstacle {
    /// Identity in the file.
    pub id: FeatureId,
    /// Kind.
    pub kind: ObstacleKind,
    /// What it is called.
    pub name: Option<String>,
    /// Plan view, local metres.
    pub shape: Shape,
    /// Lower edge above the ground, metres; 0 when nothing is tagged.
    pub bottom_m: f64,
    /// Upper edge above the ground, metres; `None` when not tagged (then it is taken to have no upper end).
    pub top_m: Option<f64>,
    /// Whether the radius of a disc is ours because none was tagged.
    pub radius_assumed: bool,
}

/// An airfield as a map file gives it, in local metres about `origin`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Airfield {
    /// Name.
    pub name: Option<String>,
    /// Origin of the local plane: azimuthal equidistant from the geodesic, x east and y north there.
    pub origin: LonLat,
    /// Elevation above mean sea level, metres.
    pub elevation_m: Option<f64>,
    /// What the aerodrome is called in notices: its location indicators and codes, as the file has them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub codes: Vec<String>,
    /// Horizontal accuracy of what the map shows, metres.
    pub accuracy_m: f64,
    /// Whether the file states that accuracy (otherwise it is ours for open maps).
    pub accuracy_stated: bool,
    /// Whether the places and stories are invented.
    pub invented: bool,
    /// Credit that the map's data must be given wherever they or a picture of them are shown, as the file says it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attribution: Option<String>,
    /// Magnetic declination that the file gives in place of the model, degrees east.
    pub declination_deg: Option<f64>,
    /// Runways.
    pub runways: Vec<Runway>,
    /// Taxiways and taxilanes.
    pub lanes: Vec<Lane>,
    /// Aprons.
    pub aprons: Vec<NamedArea>,
    /// Stands.
    pub stands: Vec<Stand>,
    /// Holding positions.
    pub holding_positions: Vec<HoldingPosition>,
    /// Engine-check areas.
    pub check_areas: Vec<NamedArea>,
    /// Hot spots.
    pub hot_spots: Vec<NamedArea>,
    /// Helipads: no place to pass without asking.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub helipads: Vec<NamedArea>,
    /// Outlines of runways and taxiways that the map draws as areas: pavement, and no line to follow.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub outlines: Vec<NamedArea>,
    /// What is closed for a time, and closed areas and holding positions. Each counts as in force: a caller that knows the
    /// time drops the others first. What is closed for good bears that itself (`closed`) where it can.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub closures: Vec<Closure>,
    /// Identities (UUIDs) by which a notice can name a feature, by the feature: its own, and those of what it is a piece of.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub identities: BTreeMap<FeatureId, Vec<String>>,
    /// Stands that a notice closes: it does not say that they are empty, so they count as occupied all the same.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub closed_by_notice: BTreeSet<FeatureId>,
    /// Greatest wingspan, metres, that a notice admits on a lane or stand which stays open to the aeroplane at hand, by feature.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub notice_spans_m: BTreeMap<FeatureId, f64>,
    /// Notices in force that could not be laid on this map, or not whole, in sentences: what they close is somewhere on it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unplaced: Vec<String>,
    /// Obstacles.
    pub obstacles: Vec<Obstacle>,
}

impl Airfield {
    /// Whether a stand is closed in a way that leaves it empty.
    pub fn is_empty_stand(&self, stand: &Stand) -> bool {
        stand.closed.is_some() && !self.closed_by_notice.contains(&stand.id)
    }

    /// A field with nothing on it, of accuracy `accuracy_m` metres that the map does not state.
    pub fn bare(origin: LonLat, accuracy_m: f64) -> Airfield {
        Airfield {
            name: None,
            origin,
            elevation_m: None,
            codes: Vec::new(),
            accuracy_m,
            accuracy_stated: false,
            invented: false,
            attribution: None,
            declination_deg: None,
            runways: Vec::new(),
            lanes: Vec::new(),
            aprons: Vec::new(),
            stands: Vec::new(),
            holding_positions: Vec::new(),
            check_areas: Vec::new(),
            hot_spots: Vec::new(),
            helipads: Vec::new(),
            outlines: Vec::new(),
            closures: Vec::new(),
            identities: BTreeMap::new(),
            closed_by_notice: BTreeSet::new(),
            notice_spans_m: BTreeMap::new(),
            unplaced: Vec::new(),
            obstacles: Vec::new(),
        }
    }
}
