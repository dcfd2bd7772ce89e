//! The kinds of features that are used, and which of their properties.

/// The kinds that are used, in the order in which features are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    AirportHeliport,
    Runway,
    RunwayDirection,
    RunwayCentrelinePoint,
    RunwayElement,
    Taxiway,
    TaxiwayElement,
    GuidanceLine,
    TaxiHoldingPosition,
    Apron,
    ApronElement,
    AircraftStand,
    WorkArea,
    VerticalStructure,
}

/// Every kind with its name and the properties that are read, beside those of the time slice itself.
const KINDS: [(Kind, &str, &[&str]); 14] = [
    (
        Kind::AirportHeliport,
        "AirportHeliport",
        &[
            "designator",
            "name",
            "locationIndicatorICAO",
            "designatorIATA",
            "type",
            "fieldElevation",
            "ARP",
            "aviationBoundary",
        ],
    ),
    (
        Kind::Runway,
        "Runway",
        &[
            "designator",
            "type",
            "nominalWidth",
            "abandoned",
            "surfaceProperties",
            "associatedAirportHeliport",
        ],
    ),
    (
        Kind::RunwayDirection,
        "RunwayDirection",
        &["designator", "usedRunway", "availability"],
    ),
    (
        Kind::RunwayCentrelinePoint,
        "RunwayCentrelinePoint",
        &["role", "designator", "location", "onRunway"],
    ),
    (
        Kind::RunwayElement,
        "RunwayElement",
        &[
            "type",
            "surfaceProperties",
            "associatedRunway",
            "extent",
            "availability",
        ],
    ),
    (
        Kind::Taxiway,
        "Taxiway",
        &[
            "designator",
            "type",
            "width",
            "abandoned",
            "surfaceProperties",
            "associatedAirportHeliport",
            "availability",
        ],
    ),
    (
        Kind::TaxiwayElement,
        "TaxiwayElement",
        &[
            "type",
            "surfaceProperties",
            "associatedTaxiway",
            "extent",
            "availability",
        ],
    ),
    (
        Kind::GuidanceLine,
        "GuidanceLine",
        &[
            "designator",
            "type",
            "maxSpeed",
            "usageDirection",
            "connectedRunwayCentrelinePoint",
            "connectedApron",
            "connectedStand",
            "connectedTaxiway",
            "extent",
        ],
    ),
    (
        Kind::TaxiHoldingPosition,
        "TaxiHoldingPosition",
        &[
            "landingCategory",
            "status",
            "associatedGuidanceLine",
            "protectedRunway",
            "location",
        ],
    ),
    (
        Kind::Apron,
        "Apron",
        &[
            "name",
            "abandoned",
            "surfaceProperties",
            "associatedAirportHeliport",
            "availability",
        ],
    ),
    (
        Kind::ApronElement,
        "ApronElement",
        &["type", "associatedApron", "surfaceProperties", "extent", "availability"],
    ),
    (
        Kind::AircraftStand,
        "AircraftStand",
        &[
            "designator",
            "type",
            "location",
            "apronLocation",
            "extent",
            "surfaceProperties",
            "availability",
        ],
    ),
    (
        Kind::WorkArea,
        "WorkArea",
        &[
            "type",
            "plannedOperational",
            "associatedAirportHeliport",
            "extent",
            "activation",
        ],
    ),
    (
        Kind::VerticalStructure,
        "VerticalStructure",
        &["name", "type", "radius", "part"],
    ),
];

/// Properties of every time slice.
pub(super) const OF_SLICES: [&str; 5] = [
    "validTime",
    "interpretation",
    "sequenceNumber",
    "correctionNumber",
    "featureLifetime",
];
/// Elements inside of properties that say nothing to us and may be long.
pub(super) const INSIDE: [&str; 3] = ["annotation", "lighting", "metadata"];

impl Kind {
    pub(super) fn word(self) -> &'static str {
        KINDS.iter().find(|k| k.0 == self).map_or("", |k| k.1)
    }

    pub(super) fn of(name: &str) -> Option<(Kind, &'static [&'static str])> {
        KINDS.iter().find(|k| k.1 == name).map(|k| (k.0, k.2))
    }
}
