//! GeoJSON text of what was cut out.

use super::element::{Id, Place};
use super::rings::Area;
use super::{ATTRIBUTION, DOUBT};

/// A feature to be written.
pub(super) struct Feature {
    pub(super) id: Id,
    pub(super) tags: Vec<(String, String)>,
    pub(super) shape: Shape,
    /// What is doubtful about it.
    pub(super) doubt: Option<String>,
}

/// Its geometry.
pub(super) enum Shape {
    Nothing,
    Point(Place),
    /// Each of at least two places.
    Lines(Vec<Vec<Place>>),
    /// Each ring of at least three places.
    Areas(Vec<Area>),
}

/// Writes a collection, one feature a line.
pub(super) fn collection(features: &[Feature]) -> String {
    let mut out = format!(
        "{{\"type\":\"FeatureCollection\",\"attribution\":{},\"features\":[",
        quoted(ATTRIBUTION)
    );
    for (i, f) in features.iter().enumerate() {
        out += if i == 0 { "\n" } else { ",\n" };
        out += &format!("{{\"type\":\"Feature\",\"id\":\"{}\",\"properties\":{{", f.id);
        let doubt = f.doubt.as_deref().map(|d| (DOUBT, d));
        let tags = f.tags.iter().map(|(k, v)| (k.as_str(), v.as_str()));
        for (k, (key, value)) in tags.chain(doubt).enumerate() {
            if k > 0 {
                out.push(',');
            }
            out += &quoted(key);
            out.push(':');
            out += &quoted(value);
        }
        out += "},\"geometry\":";
        geometry(&f.shape, &mut out);
        out.push('}');
    }
    out += "\n]}\n";
    out
}

fn quoted(text: &str) -> String {
    // A text always serialises.
    serde_json::to_string(text).unwrap_or_default()
}

fn geometry(shape: &Shape, out: &mut String) {
    let kind = match shape {
        Shape::Nothing => {
            *out += "null";
            return;
        }
        Shape::Point(_) => "Point",
        Shape::Lines(list) if list.len() == 1 => "LineString",
        Shape::Lines(_) => "MultiLineString",
        Shape::Areas(list) if list.len() == 1 => "Polygon",
        Shape::Areas(_) => "MultiPolygon",
    };
    *out += &format!("{{\"type\":\"{kind}\",\"coordinates\":");
    match shape {
        Shape::Nothing => {}
        Shape::Point(p) => place(*p, out),
        Shape::Lines(list) => match list.as_slice() {
            [one] => places(one, false, out),
            _ => each(list, out, |l, out| places(l, false, out)),
        },
        Shape::Areas(list) => match list.as_slice() {
            [one] => rings(one, out),
            _ => each(list, out, rings),
        },
    }
    out.push('}');
}

fn each<T>(list: &[T], out: &mut String, write: impl Fn(&T, &mut String)) {
    out.push('[');
    for (i, item) in list.iter().enumerate() {
        if i > 0 {
            out.push(',');
        }
        write(item, out);
    }
    out.push(']');
}

fn rings(area: &Area, out: &mut String) {
    let all: Vec<&Vec<Place>> = core::iter::once(&area.outer).chain(&area.holes).collect();
    each(&all, out, |ring, out| places(ring, true, out));
}

fn places(list: &[Place], closed: bool, out: &mut String) {
    let again = list.first().filter(|_| closed);
    let all: Vec<&Place> = list.iter().chain(again).collect();
    each(&all, out, |p, out| place(**p, out));
}

fn place(p: Place, out: &mut String) {
    out.push('[');
    degrees(p.lon_nano, out);
    out.push(',');
    degrees(p.lat_nano, out);
    out.push(']');
}

/// Billionths of a degree as degrees, exactly.
fn degrees(nano: i64, out: &mut String) {
    let whole = nano.unsigned_abs();
    if nano < 0 {
        out.push('-');
    }
    let text = format!("{}.{:09}", whole / 1_000_000_000, whole % 1_000_000_000);
    *out += text.trim_end_matches('0').trim_end_matches('.');
}
