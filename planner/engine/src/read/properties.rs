//! Every property that is read, in one table: key, what it may stand on, how it is written and which values are believed.
//!
//! The reader takes its ranges from here; a test holds the tables of `docs/map-format.md` and the JSON Schema beside it to
//! the same list, which is why it is long and stays in one file. All ranges are ours: outside them a value is a slip of the keyboard or of a unit.

/// What a property may stand on: the headings of `docs/map-format.md`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum On {
    /// `aeroway=aerodrome`.
    Aerodrome,
    /// `aeroway=runway`.
    Runway,
    /// `aeroway=taxiway` and `aeroway=taxilane`.
    Lane,
    /// `aeroway=parking_position`.
    Stand,
    /// `aeroway=holding_position`.
    Hold,
    /// Aprons and our own areas.
    Area,
    /// `aeroway=helipad`.
    Helipad,
    /// Buildings, fences, trees and the like.
    Obstacle,
}

/// How a value is written and which values are believed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// A name or a sentence.
    Text,
    /// Anything but `no`, `false` and `0` says yes.
    Flag,
    /// One of some words, whatever their letter case.
    Words(&'static [&'static str]),
    /// A length, metres unless a unit is written.
    Length(f64, f64),
    /// A speed, km/h unless a unit is written; the range in km/h.
    Speed(f64, f64),
    /// A direction, degrees or a point of the compass.
    Direction(f64, f64),
    /// `forward`, `backward` or a direction.
    Facing(f64, f64),
    /// Percent; the sign `%` may follow.
    Percent(f64, f64),
    /// A whole number.
    Whole,
    /// A moment in UTC (ISO 8601), or a whole day.
    Moment,
}

/// One property.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Property {
    /// Its key.
    pub key: &'static str,
    /// What it may stand on.
    pub on: &'static [On],
    /// How it is written.
    pub form: Form,
    /// What counts without it.
    pub without: &'static str,
    /// A value as one would write it.
    pub example: &'static str,
}

impl Property {
    /// Least and greatest value believed, with the unit; `None` where the form has no range.
    pub fn range(&self) -> Option<(f64, f64, &'static str)> {
        match self.form {
            Form::Length(low, high) => Some((low, high, "m")),
            Form::Speed(low, high) => Some((low, high, "km/h")),
            Form::Direction(low, high) | Form::Facing(low, high) => Some((low, high, "deg")),
            Form::Percent(low, high) => Some((low, high, "%")),
            Form::Text | Form::Flag | Form::Words(_) | Form::Whole | Form::Moment => None,
        }
    }

    /// Form and range in words, as the documentation has them.
    pub fn written(&self) -> String {
        let range = |what: &str| match self.range() {
            Some((low, high, unit)) => format!("{what}, {low} to {high} {unit}"),
            None => what.to_string(),
        };
        match self.form {
            Form::Text => "text".to_string(),
            Form::Flag => "yes or no".to_string(),
            Form::Words(words) => words.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(", "),
            Form::Length(..) => range("length"),
            Form::Speed(..) => range("speed"),
            Form::Direction(..) => range("direction"),
            Form::Facing(..) => range("`forward`, `backward` or a direction"),
            Form::Percent(..) => range("percent"),
            Form::Whole => "whole number".to_string(),
            Form::Moment => "moment or day in UTC".to_string(),
        }
    }
}

/// Words of `surface`. What follows a colon or semicolon is passed over.
pub const SURFACES: [&str; 35] = [
    "asphalt",
    "concrete",
    "paved",
    "paving_stones",
    "sett",
    "cobblestone",
    "tarmac",
    "bitumen",
    "bituminous",
    "metal",
    "chipseal",
    "asphalt/concrete",
    "concrete/asphalt",
    "ice",
    "grass",
    "turf",
    "grass_paver",
    "gravel",
    "fine_gravel",
    "unpaved",
    "compacted",
    "dirt",
    "earth",
    "ground",
    "soil",
    "sand",
    "clay",
    "mud",
    "coral",
    "laterite",
    "pebblestone",
    "rock",
    "shells",
    "water",
    "unknown",
];

const fn property(
    key: &'static str,
    on: &'static [On],
    form: Form,
    without: &'static str,
    example: &'static str,
) -> Property {
    Property {
        key,
        on,
        form,
        without,
        example,
    }
}

const NAMED: &[On] = &[
    On::Aerodrome,
    On::Lane,
    On::Stand,
    On::Hold,
    On::Area,
    On::Helipad,
    On::Obstacle,
];
const NUMBERED: &[On] = &[
    On::Runway,
    On::Lane,
    On::Stand,
    On::Hold,
    On::Area,
    On::Helipad,
    On::Obstacle,
];
const IDENTIFIED: &[On] = &[
    On::Aerodrome,
    On::Runway,
    On::Lane,
    On::Stand,
    On::Hold,
    On::Area,
    On::Helipad,
];
const CLOSABLE: &[On] = &[On::Runway, On::Lane, On::Stand, On::Hold, On::Area];
const LINES: &[On] = &[On::Runway, On::Lane];

/// Name.
pub const NAME: Property = property("name", NAMED, Form::Text, "no name", "Quillmere");
/// Location indicator, where there is no name.
pub const ICAO: Property = property("icao", &[On::Aerodrome], Form::Text, "no name", "ZZZZ");
/// Identities (UUIDs) by which a digital notice can mean this feature, with blanks between them.
pub const IDENTITIES: Property = property(
    "toeline:identities",
    IDENTIFIED,
    Form::Text,
    "no notice names it by identity",
    "0f5c2a7e-3d41-4c19-9a52-6b8de1f70a33",
);
/// Elevation above mean sea level: the highest aerodrome is below 4500 m, the lowest above -400 m.
pub const ELEVATION: Property = property("ele", &[On::Aerodrome], Form::Length(-450.0, 6000.0), "not known", "34");
/// Horizontal accuracy of what the file draws.
pub const ACCURACY: Property = property(
    "toeline:accuracy_m",
    &[On::Aerodrome],
    Form::Length(0.0, 100.0),
    "2 m, ours for open maps",
    "0.1",
);
/// Magnetic declination in place of the model's, east positive.
pub const DECLINATION: Property = property(
    "toeline:declination_deg",
    &[On::Aerodrome],
    Form::Direction(-180.0, 180.0),
    "the World Magnetic Model; east is positive",
    "-5.5",
);
/// Whether places and stories are made up.
pub const INVENTED: Property = property("toeline:invented", &[On::Aerodrome], Form::Flag, "no", "yes");
/// Designators of a runway, letters of a lane, number of a stand.
pub const REF: Property = property("ref", NUMBERED, Form::Text, "`name`, else none", "B");
/// What a runway's line is a piece of.
pub const RUNWAY_PIECE: Property = property(
    "runway",
    &[On::Runway],
    Form::Words(&["displaced_threshold", "blast_pad"]),
    "the runway itself",
    "displaced_threshold",
);
/// Width of the pavement, or across a helipad.
pub const WIDTH: Property = property(
    "width",
    &[On::Runway, On::Lane, On::Stand, On::Helipad],
    Form::Length(1.0, 200.0),
    "not known; an outline drawn around it gives one; a helipad drawn as a point is 20 m across",
    "10.5",
);
/// What it is made of.
pub const SURFACE: Property = property(
    "surface",
    &[On::Runway, On::Lane, On::Area],
    Form::Words(&SURFACES),
    "not known; that of an outline drawn around it",
    "asphalt",
);
/// Slope along the line as drawn, rising positive. Ours: ICAO Annex 14 admits 3 % on the steepest taxiway (from memory).
pub const INCLINE: Property = property("incline", &[On::Lane], Form::Percent(-15.0, 15.0), "not known", "1.5%");
/// Level.
pub const LAYER: Property = property(
    "layer",
    LINES,
    Form::Whole,
    "1 with `bridge`, -1 with `tunnel`, else 0",
    "1",
);
/// On a bridge.
pub const BRIDGE: Property = property("bridge", LINES, Form::Flag, "no", "yes");
/// In a tunnel.
pub const TUNNEL: Property = property("tunnel", LINES, Form::Flag, "no", "yes");
/// Whether a closed line is the outline of an area.
pub const AREA: Property = property(
    "area",
    LINES,
    Form::Flag,
    "a closed line is a loop to taxi round",
    "yes",
);
/// Permitted sense.
pub const ONEWAY: Property = property(
    "oneway",
    &[On::Lane],
    Form::Words(&["yes", "no", "-1"]),
    "both ways",
    "yes",
);
/// Greatest wingspan admitted: the widest aeroplane built is below 120 m.
pub const SPAN: Property = property(
    "maxspan",
    &[On::Lane, On::Stand],
    Form::Length(2.0, 120.0),
    "no limit",
    "12",
);
/// Speed limit.
pub const SPEED: Property = property("maxspeed", &[On::Lane], Form::Speed(1.0, 150.0), "no limit", "10 kt");
/// Heading of the parked aeroplane.
pub const HEADING: Property = property(
    "direction",
    &[On::Stand],
    Form::Direction(-360.0, 360.0),
    "the route asks, or says what it took",
    "350",
);
/// Which traffic a holding position is for.
pub const FACING: Property = property(
    "direction",
    &[On::Hold],
    Form::Facing(-360.0, 360.0),
    "toward the runway it guards; both ways where it guards none",
    "forward",
);
/// Which way the nose points on a stand.
pub const NOSE: Property = property(
    "toeline:nose",
    &[On::Stand],
    Form::Words(&["out", "in"]),
    "not known; `out` is toward the lane",
    "out",
);
/// What a holding position guards.
pub const HOLD_KIND: Property = property(
    "holding_position:type",
    &[On::Hold],
    Form::Words(&["runway", "ILS", "intermediate", "LAHSO"]),
    "geometry decides; so it does for `LAHSO`",
    "runway",
);
/// Closed, and why.
pub const CLOSED: Property = property(
    "toeline:closed",
    CLOSABLE,
    Form::Text,
    "open, unless a date or a marker says otherwise",
    "resurfacing",
);
/// From when on.
pub const CLOSED_FROM: Property = property(
    "toeline:closed_from",
    CLOSABLE,
    Form::Moment,
    "since ever",
    "2026-12-01T06:00Z",
);
/// Until when.
pub const CLOSED_TO: Property = property("toeline:closed_to", CLOSABLE, Form::Moment, "for good", "2026-12-04");
/// What sort of area of ours it is.
pub const OUR_AREA: Property = property(
    "toeline:area",
    &[On::Area],
    Form::Words(&["engine_check", "hot_spot", "closed", "pavement"]),
    "an apron, by `aeroway=apron`",
    "engine_check",
);
/// Why an area matters.
pub const DESCRIPTION: Property = property(
    "description",
    &[On::Area],
    Form::Text,
    "nothing is said",
    "look both ways",
);
/// An obstacle of ours.
pub const OUR_OBSTACLE: Property = property(
    "toeline:obstacle",
    &[On::Obstacle],
    Form::Words(&["parked_aeroplane"]),
    "by the open tags below",
    "parked_aeroplane",
);
/// Upper edge above the ground: the tallest building is below 900 m.
pub const HEIGHT: Property = property(
    "height",
    &[On::Obstacle],
    Form::Length(0.0, 900.0),
    "it has no upper end",
    "7.5",
);
/// Lower edge above the ground.
pub const MIN_HEIGHT: Property = property(
    "min_height",
    &[On::Obstacle],
    Form::Length(0.0, 900.0),
    "it begins at the ground",
    "3",
);
/// Diameter of a tree's crown.
pub const CROWN: Property = property(
    "diameter_crown",
    &[On::Obstacle],
    Form::Length(0.1, 60.0),
    "5 m, ours",
    "8",
);
/// Wing span of a parked aeroplane given as a point.
pub const PARKED_SPAN: Property = property(
    "toeline:wingspan_m",
    &[On::Obstacle],
    Form::Length(2.0, 120.0),
    "12 m, ours",
    "10.9",
);
/// Length of a parked aeroplane given as a point.
pub const PARKED_LENGTH: Property = property(
    "toeline:length_m",
    &[On::Obstacle],
    Form::Length(2.0, 120.0),
    "no longer than its wing is wide",
    "8.3",
);

/// Where a building is; one under the ground is no obstacle.
pub const LOCATION: Property = property(
    "location",
    &[On::Obstacle],
    Form::Words(&[
        "underground",
        "surface",
        "roof",
        "overhead",
        "underwater",
        "indoor",
        "outdoor",
    ]),
    "it stands on the ground",
    "underground",
);

/// All of them.
pub const PROPERTIES: [&Property; 35] = [
    &NAME,
    &ICAO,
    &ELEVATION,
    &ACCURACY,
    &DECLINATION,
    &INVENTED,
    &REF,
    &RUNWAY_PIECE,
    &WIDTH,
    &SURFACE,
    &INCLINE,
    &LAYER,
    &BRIDGE,
    &TUNNEL,
    &AREA,
    &ONEWAY,
    &SPAN,
    &SPEED,
    &HEADING,
    &FACING,
    &NOSE,
    &HOLD_KIND,
    &CLOSED,
    &CLOSED_FROM,
    &CLOSED_TO,
    &OUR_AREA,
    &DESCRIPTION,
    &OUR_OBSTACLE,
    &HEIGHT,
    &MIN_HEIGHT,
    &CROWN,
    &PARKED_SPAN,
    &PARKED_LENGTH,
    &LOCATION,
    &IDENTITIES,
];
