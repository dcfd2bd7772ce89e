//! Which units a reader wants: metric, or feet and the pressures and temperatures that go with them. Speeds are knots in both.
//!
//! A [`Briefing`] is made in metric units. [`in_units`] turns its sentences; its figures stay as they are, because their keys
//! carry the unit, and each form writes them through [`Units`]. Factors: the international foot of 0.3048 m exactly; the
//! pound per square inch and the inch of mercury by NIST SP 811, appendix B.8 (from memory).

use super::Briefing;
use crate::clean;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use toeline_model::Airfield;

/// Feet to a metre.
const FEET: f64 = 1.0 / 0.3048;
/// Pounds per square inch to a kilopascal.
const PSI: f64 = 1.0 / 6.894_757;
/// Inches of mercury (at 0 C) to a kilopascal.
const INCHES_OF_MERCURY: f64 = 1.0 / 3.386_389;
/// Pressures below this many kilopascals are those of suction, written in inches of mercury (ours: oil has hundreds).
const SUCTION_BELOW_KPA: f64 = 40.0;
/// Pounds to a kilogram.
const POUNDS: f64 = 1.0 / toeline_model::units::POUND_KG;

/// Units for reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Metres, kilopascals, degrees Celsius.
    #[default]
    Metric,
    /// Feet, pounds per square inch, inches of mercury, degrees Fahrenheit.
    Imperial,
}

impl Units {
    /// Whether nothing is to be turned.
    pub(crate) fn is_metric(&self) -> bool {
        *self == Units::Metric
    }

    /// The word behind a length: "m" or "ft".
    pub fn length_unit(self) -> &'static str {
        match self {
            Units::Metric => "m",
            Units::Imperial => "ft",
        }
    }

    /// A length without its unit, to the nearest.
    pub fn bare(self, metres: f64, decimals: usize) -> String {
        let value = match self {
            Units::Metric => metres,
            Units::Imperial => metres * FEET,
        };
        format!("{value:.decimals$}")
    }

    /// A length with its unit, to the nearest: "20 m", "66 ft".
    pub fn length(self, metres: f64, decimals: usize) -> String {
        format!("{} {}", self.bare(metres, decimals), self.length_unit())
    }

    /// A sentence of our own figures, without names of the map, in these units.
    pub(crate) fn sentence(self, text: &str) -> String {
        if self.is_metric() {
            text.to_string()
        } else {
            turned(text, &[])
        }
    }

    /// Metres that one of the length unit has.
    pub(crate) fn unit_m(self) -> f64 {
        match self {
            Units::Metric => 1.0,
            Units::Imperial => 1.0 / FEET,
        }
    }

    /// A gap or a room, without its unit, rounded down to a tenth. Metres come rounded down already.
    pub fn bare_gap(self, metres: f64) -> String {
        match self {
            Units::Metric => format!("{metres:.1}"),
            Units::Imperial => format!("{:.1}", down(metres * FEET, 1)),
        }
    }

    /// The same with its unit: "6.9 m", "22.6 ft".
    pub fn gap(self, metres: f64) -> String {
        format!("{} {}", self.bare_gap(metres), self.length_unit())
    }
}

/// Rounded toward less, to so many decimals; a value that stands on a step but for the arithmetic stays on it.
fn down(value: f64, decimals: i32) -> f64 {
    let step = 10f64.powi(decimals);
    (value * step + 1e-9).floor() / step
}

/// Keys of a briefing whose texts (not what lies deeper) are names or words for programs, never sentences with figures.
const NAMES: [&str; 22] = [
    "aeroplane",
    "answer",
    "area",
    "date",
    "direction",
    "elevator",
    "field",
    "from",
    "id",
    "kind",
    "means",
    "name",
    "obstacle",
    "of",
    "part",
    "quarter",
    "surface",
    "to",
    "verdict",
    "via",
    "wheel",
    "yoke",
];

/// The briefing for a reader: the sentences turned into these units. What the map calls things stays as it is, also where a
/// name looks like a figure with a unit ("Hangar 5 m"). Lengths with decimals are rounded down, as gaps are; whole ones to
/// the nearest.
#[must_use]
pub fn in_units(briefing: &Briefing, units: Units, field: &Airfield) -> Briefing {
    let mut out = briefing.clone();
    if units.is_metric() {
        return out;
    }
    let names = names(field);
    let kept: Vec<&str> = names.iter().map(String::as_str).collect();
    let value = serde_json::to_value(&out).map(|mut v| {
        turn(&mut v, &kept);
        v
    });
    // A briefing of strings and numbers always goes there and back.
    if let Ok(back) = value.and_then(serde_json::from_value) {
        out = back;
    }
    out.units = units;
    out
}

/// Names and notes of the map that look like figures with units, as the forms show them; the longest first, so that a name
/// within another is not taken for it.
fn names(field: &Airfield) -> Vec<String> {
    let mut list: Vec<String> = Vec::new();
    let mut keep = |text: &str| {
        for shown in [clean::name(text), clean::sentence(text)] {
            if turned(&shown, &[]) != shown {
                list.push(shown);
            }
        }
    };
    field.name.iter().for_each(|n| keep(n));
    for r in &field.runways {
        keep(&r.id);
        r.designators.iter().flatten().chain(&r.closed).for_each(|n| keep(n));
    }
    for l in &field.lanes {
        keep(&l.id);
        l.letters.iter().chain(&l.closed).for_each(|n| keep(n));
    }
    for s in &field.stands {
        keep(&s.id);
        s.name.iter().chain(&s.closed).for_each(|n| keep(n));
    }
    for h in &field.holding_positions {
        keep(&h.id);
        h.name.iter().for_each(|n| keep(n));
    }
    for a in [
        &field.aprons,
        &field.check_areas,
        &field.hot_spots,
        &field.helipads,
        &field.outlines,
    ]
    .into_iter()
    .flatten()
    {
        keep(&a.id);
        a.name.iter().chain(&a.note).for_each(|n| keep(n));
    }
    for c in &field.closures {
        [&c.id, &c.name, &c.reason].into_iter().for_each(|n| keep(n));
    }
    for o in &field.obstacles {
        keep(&o.id);
        o.name.iter().for_each(|n| keep(n));
    }
    list.sort_by(|a, b| b.len().cmp(&a.len()).then(a.cmp(b)));
    list.dedup();
    list
}

fn turn(value: &mut Value, kept: &[&str]) {
    match value {
        Value::String(text) => *text = turned(text, kept),
        Value::Array(list) => list.iter_mut().for_each(|v| turn(v, kept)),
        Value::Object(map) => {
            for (key, v) in map.iter_mut() {
                let names = match &*v {
                    Value::String(_) => true,
                    Value::Array(list) => list.iter().all(Value::is_string),
                    _ => false,
                };
                if !(names && NAMES.contains(&key.as_str())) {
                    turn(v, kept);
                }
            }
        }
        _ => {}
    }
}

/// One sentence with its figures turned.
fn turned(text: &str, kept: &[&str]) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut rest = text;
    let mut before = ' ';
    while let Some(c) = rest.chars().next() {
        if let Some(name) = kept.iter().find(|n| !n.is_empty() && rest.starts_with(**n)) {
            out.push_str(name);
            before = name.chars().last().unwrap_or(' ');
            rest = &rest[name.len()..];
            continue;
        }
        let fresh = !(before.is_alphanumeric() || before == '.' || before == '/');
        if fresh && let Some((figure, after)) = quantity(rest) {
            out.push_str(&figure);
            rest = after;
            before = 't';
            continue;
        }
        out.push(c);
        before = c;
        rest = &rest[c.len_utf8()..];
    }
    out
}

/// A figure, or two with "to" between them, with its unit at the head of a text: the same turned, and what follows.
fn quantity(text: &str) -> Option<(String, &str)> {
    let (first, mut after) = number(text)?;
    let mut second = None;
    if let Some(tail) = after.strip_prefix(" to ")
        && let Some((n, tail)) = number(tail)
    {
        second = Some(n);
        after = tail;
    }
    let tail = after.strip_prefix(' ')?;
    let end = tail.find(|c: char| !c.is_alphanumeric()).unwrap_or(tail.len());
    let (unit, tail) = tail.split_at(end);
    // A place in the local plane stays in metres, as its axes are.
    if tail.starts_with(" (east") || tail.starts_with('/') {
        return None;
    }
    let least = first.0.parse::<f64>().ok()?;
    let (factor, offset, word) = match unit {
        "m" => (FEET, 0.0, "ft"),
        "kPa" if least.abs() < SUCTION_BELOW_KPA => (INCHES_OF_MERCURY, 0.0, "inHg"),
        "kPa" => (PSI, 0.0, "psi"),
        "C" => (1.8, 32.0, "F"),
        "kg" => (POUNDS, 0.0, "lb"),
        _ => return None,
    };
    let say = |(n, decimals): (&str, usize)| -> Option<String> {
        let value = n.parse::<f64>().ok()? * factor + offset;
        Some(match decimals {
            0 => format!("{value:.0}"),
            d => format!("{:.d$}", down(value, d as i32)),
        })
    };
    let mut figure = say(first)?;
    if let Some(second) = second {
        figure = format!("{figure} to {}", say(second)?);
    }
    Some((format!("{figure} {word}"), tail))
}

/// A plain number at the head of a text with the count of its decimals, and what follows.
fn number(text: &str) -> Option<((&str, usize), &str)> {
    let signed = usize::from(text.starts_with('-'));
    let digits = |from: usize| text[from..].bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(signed);
    if whole == 0 {
        return None;
    }
    let mut end = signed + whole;
    let mut decimals = 0;
    if text[end..].starts_with('.') && digits(end + 1) > 0 {
        decimals = digits(end + 1);
        end += 1 + decimals;
    }
    Some(((&text[..end], decimals), &text[end..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn t(text: &str) -> String {
        turned(text, &[])
    }

    #[test]
    fn figures_with_units_are_turned_and_nothing_else() {
        assert_eq!(t("keeps 3.0 m, even"), "keeps 9.8 ft, even");
        assert_eq!(t("stop at 872 m"), "stop at 2861 ft");
        assert_eq!(t("from 10 m to 20 m of the way"), "from 33 ft to 66 ft of the way");
        assert_eq!(t("oil pressure 205 to 620 kPa"), "oil pressure 30 to 90 psi");
        assert_eq!(t("suction 15.2 to 18.3 kPa"), "suction 4.4 to 5.4 inHg");
        assert_eq!(t("oil at 24 C or more"), "oil at 75 F or more");
        assert_eq!(
            t("turn 90 deg, 12 kt, 1700 rpm, 1 in 10 000"),
            "turn 90 deg, 12 kt, 1700 rpm, 1 in 10 000"
        );
        assert_eq!(t("taxiway M 5"), "taxiway M 5");
        assert_eq!(t("A1.5 m"), "A1.5 m");
        assert_eq!(
            t("crosses itself at 3.5, 8.25 m (east, north)"),
            "crosses itself at 3.5, 8.25 m (east, north)"
        );
        assert_eq!(t("5 mm, 5 min, 5 m/s"), "5 mm, 5 min, 5 m/s");
        assert_eq!(t("Grüße 4 m – 東 6 m"), "Grüße 13 ft – 東 20 ft");
    }

    #[test]
    fn a_gap_in_feet_is_never_above_the_gap() {
        for tenth in 0..2000 {
            let m = f64::from(tenth) / 10.0;
            let shown: f64 = Units::Imperial.bare_gap(m).parse().unwrap();
            assert!(shown * 0.3048 <= m + 1e-9, "{m}");
            assert!(m - shown * 0.3048 < 0.0306, "{m}");
        }
    }

    #[test]
    fn a_name_that_looks_like_a_figure_stays() {
        assert_eq!(
            turned("Hangar 5 m: 5 m from it", &["Hangar 5 m"]),
            "Hangar 5 m: 16 ft from it"
        );
    }
}
