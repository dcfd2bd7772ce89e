//! Which of the things we know a feature is.

use super::tags::Tags;
use toeline_model::airfield::{LaneKind, ObstacleKind};

/// What a feature is to us.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Kind {
    /// The aerodrome itself: properties only.
    Aerodrome,
    /// A runway centreline.
    Runway,
    /// A taxiway or taxilane centreline.
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
    /// An obstacle.
    Obstacle(ObstacleKind),
    /// Known, not used, and worth a notice with this text.
    LeftOut(String),
    /// Nothing to do with taxiing.
    Other,
}

/// `aeroway` values whose loss is worth a word.
const USED: [&str; 9] = [
    "runway",
    "taxiway",
    "taxilane",
    "parking_position",
    "holding_position",
    "apron",
    "hangar",
    "terminal",
    "windsock",
];

/// What the tags make it.
pub(super) fn kind(tags: &Tags) -> Kind {
    match tags.word("toeline:area").as_str() {
        "" => {}
        "engine_check" => return Kind::CheckArea,
        "hot_spot" => return Kind::HotSpot,
        other => {
            return Kind::LeftOut(format!(
                "toeline:area=\"{other}\" is not known (engine_check or hot_spot); left out"
            ));
        }
    }
    match tags.word("toeline:obstacle").as_str() {
        "" => {}
        "parked_aeroplane" => return Kind::Obstacle(ObstacleKind::ParkedAeroplane),
        other => {
            return Kind::LeftOut(format!(
                "toeline:obstacle=\"{other}\" is not known (parked_aeroplane); left out"
            ));
        }
    }
    match tags.word("aeroway").as_str() {
        "aerodrome" => return Kind::Aerodrome,
        "runway" => {
            return match tags.word("runway").as_str() {
                "blast_pad" => Kind::LeftOut("a blast pad, not a runway to roll on; left out".to_string()),
                _ => Kind::Runway,
            };
        }
        "taxiway" => return Kind::Lane(LaneKind::Taxiway),
        "taxilane" => return Kind::Lane(LaneKind::Taxilane),
        "parking_position" => return Kind::Stand,
        "holding_position" => return Kind::Hold,
        "apron" => return Kind::Apron,
        "hangar" => return Kind::Obstacle(ObstacleKind::Hangar),
        "terminal" => return Kind::Obstacle(ObstacleKind::Terminal),
        "windsock" => return Kind::Obstacle(ObstacleKind::Windsock),
        "stopway" => return Kind::LeftOut("a stopway, not a runway to roll on; left out".to_string()),
        _ => {}
    }
    if let Some((word, was)) = tags.former()
        && USED.contains(&was.as_str())
    {
        return Kind::LeftOut(format!("a {was} marked {word}; left out"));
    }
    obstacle(tags)
}

fn obstacle(tags: &Tags) -> Kind {
    use ObstacleKind as K;
    if tags.says("building") {
        if tags.says("razed") || tags.says("demolished") {
            return Kind::LeftOut("a building marked as gone; left out".to_string());
        }
        if tags.word("location") == "underground" {
            return Kind::LeftOut("an underground building; left out".to_string());
        }
        return Kind::Obstacle(match tags.word("building").as_str() {
            "hangar" => K::Hangar,
            "terminal" => K::Terminal,
            _ => K::Building,
        });
    }
    match (tags.word("barrier").as_str(), tags.word("natural").as_str()) {
        ("fence", _) => return Kind::Obstacle(K::Fence),
        ("wall", _) => return Kind::Obstacle(K::Wall),
        ("hedge", _) => return Kind::Obstacle(K::Hedge),
        (_, "tree") => return Kind::Obstacle(K::Tree),
        (_, "tree_row") => return Kind::Obstacle(K::TreeRow),
        _ => {}
    }
    match (
        tags.word("power").as_str(),
        tags.word("highway").as_str(),
        tags.word("man_made").as_str(),
    ) {
        ("pole", _, _) | (_, "street_lamp", _) | (_, _, "flagpole") => Kind::Obstacle(K::Pole),
        ("tower", _, _) | (_, _, "mast" | "tower") => Kind::Obstacle(K::Mast),
        _ => Kind::Other,
    }
}
