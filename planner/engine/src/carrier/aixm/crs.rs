//! The reference system of positions: which number comes first.

use super::tree::{Node, Space};
use crate::clean;
use toeline_model::LonLat;

/// How positions are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Crs {
    /// Whether latitude comes first.
    pub(super) lat_first: bool,
    /// Numbers of a position; those after the first two are heights and not used.
    pub(super) dimension: usize,
}

/// The system of a `srsName`. Names that writers use with either order of axes are refused, not guessed.
pub(super) fn named(name: &str) -> Result<Crs, String> {
    let of = |lat_first, dimension| Ok(Crs { lat_first, dimension });
    let plain = name.trim().to_ascii_lowercase();
    let urn: Vec<&str> = plain.split(':').collect();
    let uri: Vec<&str> = plain
        .strip_prefix("http://")
        .or_else(|| plain.strip_prefix("https://"))
        .and_then(|r| r.strip_prefix("www.opengis.net/def/crs/"))
        .map(|r| r.split('/').collect())
        .unwrap_or_default();
    let (authority, code) = match (urn.as_slice(), uri.as_slice()) {
        (["urn", "ogc" | "x-ogc", "def", "crs", authority, _, code], _) => (*authority, *code),
        (_, [authority, _, code]) => (*authority, *code),
        _ => ("", ""),
    };
    match (authority, code) {
        ("epsg", "4326") => of(true, 2),
        ("epsg", "4979") => of(true, 3),
        ("ogc", "crs84") => of(false, 2),
        _ => Err(format!(
            "the reference system \"{}\" is not known: urn:ogc:def:crs:EPSG::4326 (latitude first) and \
             urn:ogc:def:crs:OGC:1.3:CRS84 (longitude first) are read, both on WGS 84",
            clean::name(name)
        )),
    }
}

/// The system that an element states, else the one around it.
pub(super) fn of(node: &Node, around: Option<Crs>) -> Result<Option<Crs>, String> {
    let own = node.attribute(Space::None, "srsName").map(named).transpose()?;
    let mut crs = own.or(around);
    if let (Some(crs), Some(text)) = (&mut crs, node.attribute(Space::None, "srsDimension")) {
        crs.dimension = match text.trim() {
            "2" => 2,
            "3" => 3,
            other => return Err(format!("srsDimension=\"{}\" is neither 2 nor 3", clean::name(other))),
        };
    }
    Ok(crs)
}

/// The positions of a list of numbers.
pub(super) fn positions(text: &str, crs: Option<Crs>) -> Result<Vec<LonLat>, String> {
    let crs = crs.ok_or(
        "its positions have no reference system: neither they nor anything around them has a srsName, so the order of latitude and \
         longitude is not known",
    )?;
    let mut list = Vec::new();
    let mut words = text.split_ascii_whitespace().peekable();
    while words.peek().is_some() {
        let mut numbers = [0.0; 3];
        for (k, place) in numbers.iter_mut().enumerate().take(crs.dimension) {
            let word = words.next().ok_or_else(|| {
                format!(
                    "its position {} has {k} numbers; {} are needed",
                    list.len() + 1,
                    crs.dimension
                )
            })?;
            let number = word.parse::<f64>().ok().filter(|n| n.is_finite());
            *place = number.ok_or_else(|| {
                format!(
                    "its position {} has \"{}\", which is not a number",
                    list.len() + 1,
                    clean::name(word)
                )
            })?;
        }
        let [a, b, _] = numbers;
        let place = if crs.lat_first {
            LonLat { lon_deg: b, lat_deg: a }
        } else {
            LonLat { lon_deg: a, lat_deg: b }
        };
        check(place, crs).map_err(|e| format!("its position {} {e}", list.len() + 1))?;
        list.push(place);
    }
    Ok(list)
}

fn check(p: LonLat, crs: Crs) -> Result<(), String> {
    if !(-90.0..=90.0).contains(&p.lat_deg) {
        let order = if crs.lat_first { "latitude" } else { "longitude" };
        let turned = if p.lat_deg.abs() <= 180.0 && p.lon_deg.abs() <= 90.0 {
            format!(" (its reference system has {order} first: are the two swapped?)")
        } else {
            String::new()
        };
        return Err(format!(
            "has the latitude {}, outside -90 to 90 degrees{turned}",
            p.lat_deg
        ));
    }
    if !(-180.0..=180.0).contains(&p.lon_deg) {
        return Err(format!("has the longitude {}, outside -180 to 180 degrees", p.lon_deg));
    }
    Ok(())
}
