//! Which of the things we know a feature is.

use super::lifecycle;
use super::tags::Tags;
use toeline_model::airfield::{LaneKind, ObstacleKind};

/// What a feature is to us.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Kind {
    /// The aerodrome itself: properties only.
    Aerodrome,
    /// A runway's centreline or outline.
    Runway,
    /// A taxiway's or taxilane's centreline or outline.
    Lane(LaneKind),
    /// A stand.
    Stand,
    /// A holding position.
    Hold,
    /// An apron.
    Apron,
    /// An engine-check area.
    CheckArea,
    /// A hot spot.
    HotSpot,
    /// Pavement of any kind: it carries wheels, and no way leads along it.
    Pavement,
    /// An area that closes what lies in it.
    ClosedArea,
    /// A helipad.
    Helipad,
    /// An obstacle.
    Obstacle(ObstacleKind),
    /// Known, not used, and worth a notice with this text.
    LeftOut(String),
    /// Nothing to do with taxiing.
    Other,
}

/// `aeroway` values whose loss is worth a word.
const USED: [&str; 10] = [
    "runway",
    "taxiway",
    "taxilane",
    "parking_position",
    "holding_position",
    "apron",
    "hangar",
    "terminal",
    "windsock",
    "helipad",
];
/// Of those, what still stands when it is no longer used.
const STANDS: [&str; 2] = ["hangar", "terminal"];

/// What the tags make it.
pub(super) fn kind(tags: &Tags<'_>) -> Kind {
    match tags.word("toeline:area").as_ref() {
        "" => {}
        "engine_check" => return Kind::CheckArea,
        "hot_spot" => return Kind::HotSpot,
        "closed" => return Kind::ClosedArea,
        "pavement" => return Kind::Pavement,
        other => {
            return Kind::LeftOut(format!(
                "toeline:area=\"{other}\" is not known (engine_check, hot_spot, closed or pavement); left out"
            ));
        }
    }
    match tags.word("toeline:obstacle").as_ref() {
        "" => {}
        "parked_aeroplane" => return Kind::Obstacle(ObstacleKind::ParkedAeroplane),
        other => {
            return Kind::LeftOut(format!(
                "toeline:obstacle=\"{other}\" is not known (parked_aeroplane); left out"
            ));
        }
    }
    match tags.word("aeroway").as_ref() {
        "aerodrome" => return Kind::Aerodrome,
        "runway" => {
            return match tags.word("runway").as_ref() {
                "blast_pad" | "blastpad" => Kind::LeftOut("a blast pad, not a runway to roll on; left out".to_string()),
                _ => Kind::Runway,
            };
        }
        "taxiway" => return Kind::Lane(LaneKind::Taxiway),
        "taxilane" => return Kind::Lane(LaneKind::Taxilane),
        "parking_position" => return Kind::Stand,
        // A mark on the ground that is out of use is no longer there; a closed one bears toeline:closed.
        what @ ("holding_position" | "apron" | "helipad") => {
            return match (lifecycle::marker(tags), what) {
                (Some(word), _) => Kind::LeftOut(format!("{} marked {word}; left out", a(what))),
                (None, "holding_position") => Kind::Hold,
                (None, "apron") => Kind::Apron,
                (None, _) => Kind::Helipad,
            };
        }
        what @ ("hangar" | "terminal" | "windsock") => {
            return match (lifecycle::gone(tags), what) {
                (Some(word), _) => Kind::LeftOut(format!("{} marked {word}; left out", a(what))),
                (None, "hangar") => Kind::Obstacle(ObstacleKind::Hangar),
                (None, "terminal") => Kind::Obstacle(ObstacleKind::Terminal),
                (None, _) => Kind::Obstacle(ObstacleKind::Windsock),
            };
        }
        "stopway" => return Kind::LeftOut("a stopway, not a runway to roll on; left out".to_string()),
        _ => {}
    }
    if let Some((word, was)) = lifecycle::former(tags)
        && USED.contains(&was.as_str())
        && !tags.says("building")
    {
        if STANDS.contains(&was.as_str()) && matches!(word, "disused" | "abandoned" | "closed" | "construction") {
            return Kind::Obstacle(if was == "hangar" {
                ObstacleKind::Hangar
            } else {
                ObstacleKind::Terminal
            });
        }
        return Kind::LeftOut(format!("{} marked {word}; left out", a(&was)));
    }
    obstacle(tags)
}

/// "an apron", "a holding position".
fn a(what: &str) -> String {
    let article = if what.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {}", what.replace('_', " "))
}

/// An obstacle, unless something says that it is gone.
fn obstacle(tags: &Tags<'_>) -> Kind {
    match (standing(tags), lifecycle::gone(tags)) {
        (Kind::Obstacle(kind), Some(word)) => {
            Kind::LeftOut(format!("{} marked {word}; left out", a(super::obstacle::word(kind))))
        }
        (kind, _) => kind,
    }
}

fn standing(tags: &Tags<'_>) -> Kind {
    use ObstacleKind as K;
    // Out of use, a building stands as it did.
    let empty = ["disused:building", "abandoned:building"]
        .into_iter()
        .any(|key| tags.says(key));
    if tags.says("building") || empty {
        if tags.word("location") == "underground" {
            return Kind::LeftOut("an underground building; left out".to_string());
        }
        return Kind::Obstacle(match tags.word("building").as_ref() {
            "hangar" => K::Hangar,
            "terminal" => K::Terminal,
            _ => K::Building,
        });
    }
    match (tags.word("barrier").as_ref(), tags.word("natural").as_ref()) {
        ("fence", _) => return Kind::Obstacle(K::Fence),
        ("wall" | "city_wall" | "retaining_wall", _) => return Kind::Obstacle(K::Wall),
        ("hedge", _) => return Kind::Obstacle(K::Hedge),
        (_, "tree") => return Kind::Obstacle(K::Tree),
        (_, "tree_row") => return Kind::Obstacle(K::TreeRow),
        _ => {}
    }
    match (
        tags.word("power").as_ref(),
        tags.word("highway").as_ref(),
        tags.word("man_made").as_ref(),
    ) {
        ("pole", _, _) | (_, "street_lamp", _) | (_, _, "flagpole") => Kind::Obstacle(K::Pole),
        ("tower", _, _) | (_, _, "mast" | "tower") => Kind::Obstacle(K::Mast),
        _ => Kind::Other,
    }
}
