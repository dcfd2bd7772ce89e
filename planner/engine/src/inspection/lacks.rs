//! What a map lacks, with counts, and what follows from it for a plan.

use super::called;
use serde::Serialize;
use toeline_model::Airfield;
use toeline_model::airfield::{HoldingKind, ObstacleKind, Surface};

/// One thing that the map does not say, or not everywhere.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lack {
    /// "L1" and so on; the same in every form.
    pub number: String,
    /// What it is about.
    pub what: String,
    /// How many have it; 0 of 0 where the map shows none at all.
    pub known: usize,
    /// Of how many.
    pub of: usize,
    /// What follows for a plan.
    pub follows: &'static str,
}

impl Lack {
    /// "width on 3 of 40 taxiways and taxilanes", "no windsock".
    pub fn said(&self) -> String {
        match self.of {
            0 => format!("no {}", self.what),
            of => match self.what.split_once(" of ") {
                Some((value, things)) => format!("{value} on {} of {of} {things}", self.known),
                None => format!("{}: {} of {of}", self.what, self.known),
            },
        }
    }
}

/// Everything lacking.
pub(super) fn lacks(field: &Airfield) -> Vec<Lack> {
    let lanes: Vec<_> = field.lanes.iter().filter(|l| l.closed.is_none()).collect();
    let runways: Vec<_> = field
        .runways
        .iter()
        .filter(|r| r.closed.is_none() && r.surface != Surface::Water)
        .collect();
    let stands: Vec<_> = field.stands.iter().filter(|s| s.closed.is_none()).collect();
    let mut list: Vec<Lack> = Vec::new();
    let mut share = |what: &str, known: usize, of: usize, follows: &'static str| {
        if known < of {
            list.push(Lack {
                number: String::new(),
                what: what.to_string(),
                known,
                of,
                follows,
            });
        }
    };
    share(
        "width of taxiways and taxilanes",
        lanes.iter().filter(|l| l.width_m.is_some()).count(),
        lanes.len(),
        "outside aprons the room beside the wheels is not known on the others, so the verdict there is \"not known\"",
    );
    share(
        "width of runways",
        runways.iter().filter(|r| r.width_m.is_some()).count(),
        runways.len(),
        "the same holds where a way runs along one of the others",
    );
    share(
        "surface of taxiways and taxilanes",
        lanes.iter().filter(|l| l.surface != Surface::Unknown).count(),
        lanes.len(),
        "the others are taxied on by every aeroplane, also by one that must keep off grass or loose ground",
    );
    share(
        "letter of taxiways and taxilanes",
        lanes.iter().filter(|l| !l.letters.is_empty()).count(),
        lanes.len(),
        "the others are called \"unnamed\", cannot be asked for, and are taken at apron speed",
    );
    share(
        "designator of runways",
        runways
            .iter()
            .filter(|r| r.designators.iter().any(Option::is_some))
            .count(),
        runways.len(),
        "the others cannot be asked for by name",
    );
    share(
        "name of stands",
        stands.iter().filter(|s| s.name.is_some()).count(),
        stands.len(),
        "the others must be asked for by their feature id",
    );
    share(
        "heading of stands",
        stands
            .iter()
            .filter(|s| s.heading.is_some() || s.nose.is_some())
            .count(),
        stands.len(),
        "how an aeroplane is parked there is asked or assumed, and said",
    );
    share(
        "span limit of stands",
        stands.iter().filter(|s| s.span_limit_m.is_some()).count(),
        stands.len(),
        "a neighbour there is taken to be an aeroplane like the one planned for",
    );
    let holds = &field.holding_positions;
    share(
        "type of holding positions",
        holds.iter().filter(|h| h.kind != HoldingKind::Unknown).count(),
        holds.len(),
        "what the others guard is found by following the lanes to the first runway",
    );
    let fixed = &field.obstacles;
    share(
        "height of obstacles",
        fixed.iter().filter(|o| o.top_m.is_some()).count(),
        fixed.len(),
        "the others have no upper end: no wing passes over them",
    );
    share(
        "outline of obstacles",
        fixed.iter().filter(|o| !o.radius_assumed).count(),
        fixed.len(),
        "the radius of the others is ours",
    );
    let shows = |kind: ObstacleKind| fixed.iter().any(|o| o.kind == kind);
    for (there, what, follows) in [
        (!runways.is_empty(), "runway in use", "there is nothing to taxi to"),
        (!stands.is_empty(), "stand in use", "there is nowhere to start from"),
        (
            !field.check_areas.is_empty(),
            "engine-check area",
            "none can be gone by (--via): the engine check is not planned",
        ),
        (
            !field.aprons.is_empty(),
            "apron",
            "all ground beside the widths of lanes is unknown",
        ),
        (
            shows(ObstacleKind::Windsock),
            "windsock",
            "nothing on the picture shows where to look for the wind",
        ),
        (
            shows(ObstacleKind::Fence),
            "fence",
            "where there is one in truth, the wings are not checked against it",
        ),
        (
            shows(ObstacleKind::ParkedAeroplane),
            "parked aeroplane",
            "every other stand near a way is taken as occupied",
        ),
        (
            !fixed.is_empty(),
            "obstacle at all",
            "\"clear\" then says little: there is nothing on the map to touch",
        ),
        (
            field.name.is_some(),
            "name of the airfield",
            "pictures and texts say \"unnamed airfield\"",
        ),
        (
            field.elevation_m.is_some(),
            "elevation",
            "0 m is taken; the magnetic model hardly changes with it",
        ),
        (
            field.accuracy_stated,
            "accuracy of the map",
            "2 m is taken, ours for an open map",
        ),
    ] {
        if !there {
            list.push(Lack {
                number: String::new(),
                what: what.to_string(),
                known: 0,
                of: 0,
                follows,
            });
        }
    }
    for (i, lack) in list.iter_mut().enumerate() {
        lack.number = format!("L{}", i + 1);
    }
    list
}

/// "Quillmere", "unnamed airfield".
pub(super) fn title(field: &Airfield) -> String {
    let name = field.name.as_deref().map(crate::clean::name);
    name.unwrap_or_else(|| "unnamed airfield".to_string())
}

/// One sentence of what the parts are: "all in one part" or "3 parts that are not joined: …".
pub(super) fn parts_said(parts: &[super::Part]) -> String {
    match parts {
        [] => "no way that wheels may use".to_string(),
        [_] => "all that is in use is joined".to_string(),
        many => {
            let each: Vec<String> = many
                .iter()
                .map(|p| {
                    let lanes = called::count(p.lanes.len(), "lane", "lanes");
                    let runways = called::count(p.runways.len(), "runway", "runways");
                    let stands = called::count(p.stands.len(), "stand", "stands");
                    format!("{}: {runways}, {lanes}, {stands}", p.number)
                })
                .take(8)
                .collect();
            let more = if many.len() > 8 { "; …" } else { "" };
            format!("{} parts that are not joined: {}{more}", many.len(), each.join("; "))
        }
    }
}
