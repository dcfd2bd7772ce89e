//! The aerodromes of a file as people and programs read them.

use super::listing::Aerodrome;
use serde::Serialize;
use serde_json::json;

/// Version of the JSON.
const FORMAT: u32 = 1;

/// "1 aerodrome", "22 aerodromes".
pub(super) fn count(n: usize) -> String {
    format!("{n} aerodrome{}", if n == 1 { "" } else { "s" })
}

fn of(n: usize, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}

/// What one is called.
fn called(a: &Aerodrome) -> String {
    let name = match (&a.name, &a.english) {
        (Some(name), Some(english)) => format!("{english} ({name})"),
        (Some(name), None) => name.clone(),
        (None, Some(english)) => english.clone(),
        (None, None) if a.tagged => "(no name)".to_string(),
        (None, None) => "(runways or lanes in no aerodrome)".to_string(),
    };
    // One code may be tagged twice over.
    let mut codes: Vec<&str> = Vec::new();
    for code in [&a.icao, &a.iata, &a.local].into_iter().flatten() {
        if !codes.contains(&code.as_str()) {
            codes.push(code);
        }
    }
    let mut all = vec![name];
    if !codes.is_empty() {
        all.push(codes.join(" "));
    }
    all.extend(a.kind.clone());
    all.join(", ")
}

/// Two lines for each of the first few, and how many more there are.
pub(super) fn lines(list: &[Aerodrome], most: usize) -> String {
    let mut text = String::new();
    for a in list.iter().take(most) {
        text += &format!(
            "  {}\n      {} at {:.5},{:.5}: {}, {}, {}\n",
            called(a),
            a.feature,
            a.place.lon_deg,
            a.place.lat_deg,
            of(a.runways, "runway line"),
            of(a.lanes, "lane"),
            of(a.stands, "stand"),
        );
    }
    if list.len() > most {
        text += &format!("  and {} more\n", list.len() - most);
    }
    text.pop();
    text
}

/// What their data must be credited to.
fn credits(list: &[Aerodrome]) -> String {
    let mut all: Vec<&str> = list.iter().map(|a| a.credit.as_str()).collect();
    all.dedup();
    all.join("; ")
}

/// All of them as text.
pub fn text(list: &[Aerodrome]) -> String {
    let listed = lines(list, usize::MAX);
    format!("{}\n{listed}\nmap data: {}\n", count(list.len()), credits(list))
}

/// One as programs read it.
#[derive(Serialize)]
pub(crate) struct AerodromeOut {
    feature: String,
    tagged: bool,
    name: Option<String>,
    name_en: Option<String>,
    icao: Option<String>,
    iata: Option<String>,
    local: Option<String>,
    kind: Option<String>,
    lon_deg: f64,
    lat_deg: f64,
    runway_lines: usize,
    lanes: usize,
    stands: usize,
}

impl AerodromeOut {
    pub(crate) fn of(a: &Aerodrome) -> AerodromeOut {
        AerodromeOut {
            feature: a.feature.clone(),
            tagged: a.tagged,
            name: a.name.clone(),
            name_en: a.english.clone(),
            icao: a.icao.clone(),
            iata: a.iata.clone(),
            local: a.local.clone(),
            kind: a.kind.clone(),
            lon_deg: a.place.lon_deg,
            lat_deg: a.place.lat_deg,
            runway_lines: a.runways,
            lanes: a.lanes,
            stands: a.stands,
        }
    }
}

/// All of them as JSON: `{"toeline_aerodromes": 1, "attribution": …, "aerodromes": […]}`.
pub fn json(list: &[Aerodrome]) -> String {
    let all: Vec<AerodromeOut> = list.iter().map(AerodromeOut::of).collect();
    let whole = json!({
        "toeline_aerodromes": FORMAT,
        "attribution": credits(list),
        "aerodromes": all,
    });
    // Texts and numbers always serialise.
    serde_json::to_string_pretty(&whole).unwrap_or_default() + "\n"
}
