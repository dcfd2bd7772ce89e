//! Which elements are features of ours, and which closed ways are areas.

use super::element::{Element, Tag};

/// What an aeroplane rolls on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Paved {
    Runway,
    Lane,
    Stand,
}

fn tag<'t>(tags: &'t [Tag<'_>], key: &str) -> &'t str {
    tags.iter().find(|(k, _)| k == key).map_or("", |(_, v)| v.as_ref())
}

fn is(value: &str) -> bool {
    !matches!(value, "" | "no")
}

pub(super) fn paved(e: &Element<'_>) -> Option<Paved> {
    match e.tag("aeroway") {
        "runway" if !matches!(e.tag("runway"), "blast_pad" | "blastpad") => Some(Paved::Runway),
        "taxiway" | "taxilane" => Some(Paved::Lane),
        "parking_position" => Some(Paved::Stand),
        _ => None,
    }
}

pub(super) fn aerodrome(e: &Element<'_>) -> bool {
    e.tag("aeroway") == "aerodrome"
}

/// Whether a key and its value can make a feature that is read (`docs/map-format.md`): more than are used in the end, so
/// that the reader decides and says why.
pub(super) fn used(tags: &[Tag<'_>]) -> bool {
    tags.iter().any(|(key, value)| match key.as_ref() {
        "aeroway" | "building" => is(value),
        "barrier" => matches!(
            value.as_ref(),
            "fence" | "wall" | "city_wall" | "retaining_wall" | "hedge"
        ),
        "natural" => matches!(value.as_ref(), "tree" | "tree_row"),
        "power" => matches!(value.as_ref(), "pole" | "tower"),
        "highway" => value == "street_lamp",
        "man_made" => matches!(value.as_ref(), "mast" | "tower" | "flagpole"),
        key => key.ends_with(":aeroway") || key.ends_with(":building") || key.starts_with("toeline:"),
    })
}

/// Whether a relation draws an area.
pub(super) fn draws_area(e: &Element<'_>) -> bool {
    matches!(e.tag("type"), "multipolygon" | "boundary")
}

/// Whether a closed way with these tags is an area: the open map's published convention (its wiki's key `area` and its list
/// of polygon features, from memory) for the keys that are read. Barriers are lines unless `area=yes` says otherwise.
pub(super) fn area_when_closed(tags: &[Tag<'_>]) -> bool {
    match tag(tags, "area") {
        "yes" => return true,
        "no" => return false,
        _ => {}
    }
    tags.iter().any(|(key, value)| match key.as_ref() {
        "building" | "area:aeroway" | "toeline:area" | "toeline:obstacle" => is(value),
        "natural" => is(value) && !matches!(value.as_ref(), "tree_row" | "coastline" | "cliff" | "ridge" | "arete"),
        "man_made" => is(value) && !matches!(value.as_ref(), "cutline" | "embankment" | "pipeline"),
        "power" => matches!(value.as_ref(), "plant" | "substation" | "generator" | "transformer"),
        key if key == "aeroway" || key.ends_with(":aeroway") => {
            is(value) && !matches!(value.as_ref(), "taxiway" | "taxilane" | "jet_bridge")
        }
        key => key.ends_with(":building") && is(value),
    })
}
