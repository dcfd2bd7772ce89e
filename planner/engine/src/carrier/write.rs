//! GeoJSON text of what was cut out.

use super::DOUBT;
use super::element::Place;
use super::rings::Area;
use toeline_model::LonLat;

/// A feature to be written.
pub(super) struct Feature<P = Place> {
    pub(super) id: String,
    pub(super) tags: Vec<(String, String)>,
    pub(super) shape: Shape<P>,
    /// What is doubtful about it, one sentence a line.
    pub(super) doubt: Option<String>,
}

/// Its geometry.
pub(super) enum Shape<P = Place> {
    Nothing,
    Point(P),
    /// Each of at least two places.
    Lines(Vec<Vec<P>>),
    /// Each ring of at least three places.
    Areas(Vec<Area<P>>),
}

/// A position as it is written.
pub(super) trait Written {
    fn write(&self, out: &mut String);
}

impl Written for Place {
    fn write(&self, out: &mut String) {
        out.push('[');
        degrees(self.lon_nano, out);
        out.push(',');
        degrees(self.lat_nano, out);
        out.push(']');
    }
}

/// In the fewest digits that are read as the same number.
impl Written for LonLat {
    fn write(&self, out: &mut String) {
        *out += &format!("[{},{}]", self.lon_deg, self.lat_deg);
    }
}

/// Writes a collection, one feature a line.
pub(super) fn collection<P: Written>(attribution: &str, features: &[Feature<P>]) -> String {
    let mut out = format!(
        "{{\"type\":\"FeatureCollection\",\"attribution\":{},\"features\":[",
        quoted(attribution)
    );
    for (i, f) in features.iter().enumerate() {
        out += if i == 0 { "\n" } else { ",\n" };
        out += &format!("{{\"type\":\"Feature\",\"id\":{},\"properties\":{{", quoted(&f.id));
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

fn geometry<P: Written>(shape: &Shape<P>, out: &mut String) {
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
        Shape::Point(p) => p.write(out),
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

fn rings<P: Written>(area: &Area<P>, out: &mut String) {
    let all: Vec<&Vec<P>> = core::iter::once(&area.outer).chain(&area.holes).collect();
    each(&all, out, |ring, out| places(ring, true, out));
}

fn places<P: Written>(list: &[P], closed: bool, out: &mut String) {
    let again = list.first().filter(|_| closed);
    let all: Vec<&P> = list.iter().chain(again).collect();
    each(&all, out, |p, out| p.write(out));
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
