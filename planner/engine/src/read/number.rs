//! Numbers as people tag them: "23 m", "75 ft", "75'", "5'6\"", "36,0".

use super::tags::Value;
use toeline_model::units::{FOOT_M, KNOT_MPS};

const INCH_M: f64 = FOOT_M / 12.0;
const KMH_MPS: f64 = 1.0 / 3.6;
const MILE_AN_HOUR_MPS: f64 = 1609.344 / 3600.0;

/// Metres of a length; `None` when it is no length.
pub(super) fn length_m(value: &Value<'_>) -> Option<f64> {
    let text = match value {
        Value::Number(n) => return n.as_f64(),
        Value::String(s) => s.trim(),
        _ => return None,
    };
    if let Some((feet, rest)) = text.split_once(['\'', '′']) {
        let feet = plain(feet)?;
        let rest = rest.trim();
        if rest.is_empty() {
            return Some(feet * FOOT_M);
        }
        let inches = plain(rest.trim_end_matches(['"', '″', '\'']))?;
        return ((0.0..12.0).contains(&inches) && feet >= 0.0).then_some(feet * FOOT_M + inches * INCH_M);
    }
    let (number, unit) = split(text);
    let factor = match unit.to_lowercase().as_str() {
        "" | "m" | "metre" | "metres" | "meter" | "meters" => 1.0,
        "ft" | "foot" | "feet" => FOOT_M,
        "in" | "\"" | "″" => INCH_M,
        "cm" => 0.01,
        "km" => 1000.0,
        _ => return None,
    };
    Some(plain(number)? * factor)
}

/// Metres per second of a speed, kilometres an hour unless a unit is given; `None` when it is no speed.
pub(super) fn speed_mps(value: &Value<'_>) -> Option<f64> {
    let text = match value {
        Value::Number(n) => return n.as_f64().map(|v| v * KMH_MPS),
        Value::String(s) => s.trim(),
        _ => return None,
    };
    let (number, unit) = split(text);
    let factor = match unit.to_lowercase().as_str() {
        "" | "km/h" | "kmh" | "kph" => KMH_MPS,
        "kt" | "kts" | "knot" | "knots" => KNOT_MPS,
        "mph" => MILE_AN_HOUR_MPS,
        "m/s" => 1.0,
        _ => return None,
    };
    Some(plain(number)? * factor)
}

/// Degrees of a direction: a number, or one of the sixteen points of the compass.
pub(super) fn degrees(value: &Value<'_>) -> Option<f64> {
    const POINTS: [&str; 16] = [
        "n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw",
    ];
    let text = match value {
        Value::Number(n) => return n.as_f64(),
        Value::String(s) => s.trim().to_lowercase(),
        _ => return None,
    };
    if let Some(i) = POINTS.iter().position(|p| *p == text) {
        return Some(i as f64 * 22.5);
    }
    let (number, unit) = split(&text);
    matches!(unit, "" | "°" | "deg" | "degrees")
        .then(|| plain(number))
        .flatten()
}

/// Percent of a slope: a number, with `%` or without; `None` when it is no figure ("up", "down").
pub(super) fn percent(value: &Value<'_>) -> Option<f64> {
    let text = match value {
        Value::Number(n) => return n.as_f64(),
        Value::String(s) => s.trim(),
        _ => return None,
    };
    let (number, unit) = split(text);
    matches!(unit, "" | "%").then(|| plain(number)).flatten()
}

/// A whole number, as `layer` has it.
pub(super) fn whole(value: &Value<'_>) -> Option<i32> {
    match value {
        Value::Number(n) => n.as_i64().and_then(|i| i32::try_from(i).ok()),
        Value::String(s) => s.trim().parse().ok(),
        _ => None,
    }
}

fn split(text: &str) -> (&str, &str) {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
        .unwrap_or(text.len());
    (&text[..end], text[end..].trim())
}

/// A decimal number with a point or a comma. "1,200" is refused: it may mean 1.2 or 1200.
fn plain(text: &str) -> Option<f64> {
    let text = text.trim();
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let ok = match unsigned.split_once(['.', ',']) {
        None => digits(unsigned),
        Some((whole, part)) => {
            let comma = unsigned.contains(',');
            digits(whole) && digits(part) && !(comma && part.len() == 3 && whole != "0")
        }
    };
    if !ok {
        return None;
    }
    text.replace(',', ".").parse::<f64>().ok().filter(|v| v.is_finite())
}
