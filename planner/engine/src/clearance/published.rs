//! The published design rows, read from `data/separations`: one file a publication, with its edition, its table and
//! where the figures are from. They size new pavement; the pilot's own margin stands beside them.

use crate::request::MarginRule;
use serde::Deserialize;
use std::sync::LazyLock;
use toeline_model::Aircraft;
use toeline_model::units::FOOT_M;

const FILES: [&str; 3] = [
    include_str!("../../data/separations/faa-13b.json"),
    include_str!("../../data/separations/faa-13a.json"),
    include_str!("../../data/separations/icao-annex-14.json"),
];

static ALL: LazyLock<Vec<Publication>> = LazyLock::new(|| {
    let read = |text: &&str| serde_json::from_str::<Publication>(text).ok();
    FILES.iter().filter_map(read).map(Publication::in_metres).collect()
});

/// One publication. Lengths in metres once read, whatever the file's unit.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Publication {
    /// Version of the file format: 1.
    pub toeline_separations: u32,
    /// Short name, for example "faa-13b".
    pub id: String,
    /// The rule that it belongs to.
    pub rule: MarginRule,
    /// Whether it decides when that rule is asked for: the edition in force does, a cancelled one is shown beside it.
    pub decides: bool,
    /// Title.
    pub publication: String,
    /// Edition.
    pub edition: String,
    /// Table or paragraph.
    pub table: String,
    /// Where the figures are from: read, or from memory.
    pub basis: String,
    /// What the publication calls its classes.
    pub class_word: String,
    /// Unit of the file: "m" or "ft".
    unit: String,
    /// Classes by span, smallest first.
    pub groups: Vec<Group>,
    /// Classes by outer main gear, smallest first.
    pub gear: Vec<GearClass>,
}

/// A class by wingspan (and tail height, where the publication has one).
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Group {
    /// Its letter or number.
    pub name: String,
    /// Spans below this belong to it; exactly this is the next class.
    pub span_below: f64,
    /// Tail heights below this belong to it.
    #[serde(default)]
    pub tail_below: Option<f64>,
    /// Taxiway centreline to any object.
    pub taxiway_to_object: f64,
    /// Taxilane centreline to any object.
    pub taxilane_to_object: f64,
    /// Wing tip to object on a taxiway, where the publication has such a row.
    #[serde(default)]
    pub taxiway_tip: Option<f64>,
    /// Wing tip to object on a taxilane, where the publication has such a row.
    #[serde(default)]
    pub taxilane_tip: Option<f64>,
    /// Any part to any object on a stand, where the publication has such a row.
    #[serde(default)]
    pub stand_tip: Option<f64>,
}

/// A class by the distance between the outsides of the main tyres.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GearClass {
    /// What it is called.
    pub name: String,
    /// Below this.
    #[serde(default)]
    pub outer_gear_below: Option<f64>,
    /// Up to and including this.
    #[serde(default)]
    pub outer_gear_up_to: Option<f64>,
    /// Outside of a main tyre to the pavement edge.
    pub wheel_to_edge: f64,
}

impl Group {
    /// Wing tip to object on a taxiway, metres: the row, or what the centreline row leaves the widest wing of the class.
    pub fn taxiway_tip_m(&self) -> f64 {
        self.taxiway_tip
            .unwrap_or(self.taxiway_to_object - self.span_below / 2.0)
    }

    /// The same on a taxilane, metres.
    pub fn taxilane_tip_m(&self) -> f64 {
        self.taxilane_tip
            .unwrap_or(self.taxilane_to_object - self.span_below / 2.0)
    }
}

impl Publication {
    fn in_metres(mut self) -> Publication {
        let unit_m = if self.unit == "ft" { FOOT_M } else { 1.0 };
        for g in &mut self.groups {
            for v in [&mut g.span_below, &mut g.taxiway_to_object, &mut g.taxilane_to_object] {
                *v *= unit_m;
            }
            for v in [
                &mut g.tail_below,
                &mut g.taxiway_tip,
                &mut g.taxilane_tip,
                &mut g.stand_tip,
            ] {
                *v = v.map(|m| m * unit_m);
            }
        }
        for g in &mut self.gear {
            g.outer_gear_below = g.outer_gear_below.map(|m| m * unit_m);
            g.outer_gear_up_to = g.outer_gear_up_to.map(|m| m * unit_m);
            g.wheel_to_edge *= unit_m;
        }
        self.unit = "m".to_string();
        self
    }

    /// The class of an aeroplane by span and tail height, the more demanding of the two; `None` beyond the table.
    pub fn group(&self, aircraft: &Aircraft) -> Option<&Group> {
        self.group_of(aircraft.wing.span_m, aircraft.fin.top_z_m)
    }

    /// The same for a span and a tail height, metres. A length within a thousand-millionth of a boundary is on it: the
    /// boundaries in feet have no exact value in metres.
    pub fn group_of(&self, span_m: f64, tail_m: f64) -> Option<&Group> {
        let below = |value: f64, limit: f64| value < limit - 1e-9;
        let fits = |g: &&Group| below(span_m, g.span_below) && g.tail_below.is_none_or(|t| below(tail_m, t));
        self.groups.iter().find(fits)
    }

    /// The class by main gear; `None` beyond the table.
    pub fn gear_class(&self, outer_gear_m: f64) -> Option<&GearClass> {
        let fits = |g: &&GearClass| {
            g.outer_gear_below.is_none_or(|b| outer_gear_m < b - 1e-9)
                && g.outer_gear_up_to.is_none_or(|b| outer_gear_m <= b + 1e-9)
        };
        self.gear.iter().find(fits)
    }
}

/// Every publication, in the order in which they are shown.
pub fn publications() -> &'static [Publication] {
    &ALL
}
