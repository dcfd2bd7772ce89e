//! The one file through which every number of a briefing goes: how far it is rounded and how it is written.

use toeline_model::units::{DEG, gap_floor, knots, round_to};
use toeline_model::{Bearing, Xy};

/// Metres as people read them, to 0.1 m.
pub(crate) fn metres(m: f64) -> f64 {
    round_to(m, 1)
}

/// Degrees to 0.01, so that true, magnetic and declination still add up after rounding.
pub(crate) fn degrees(deg: f64) -> f64 {
    round_to(deg, 2)
}

/// A bearing in degrees to 0.01, kept below 360.
pub(crate) fn bearing(b: Bearing) -> f64 {
    let deg = degrees(b.deg());
    if deg >= 360.0 { 0.0 } else { deg }
}

/// An angle in radians as degrees to 0.1.
pub(crate) fn angle_deg(rad: f64) -> f64 {
    round_to(rad / DEG, 1)
}

/// Metres per second as knots to 0.1.
pub(crate) fn speed_kt(mps: f64) -> f64 {
    round_to(knots(mps), 1)
}

/// Knots to 0.1.
pub(crate) fn kt(knots: f64) -> f64 {
    round_to(knots, 1)
}

/// Seconds to a whole second.
pub(crate) fn seconds(s: f64) -> f64 {
    round_to(s, 0)
}

/// A gap in metres, down to 0.1 m.
pub(crate) fn gap(m: f64) -> f64 {
    gap_floor(m)
}

/// A gap in metres for a program: down to a millionth, so that rounding never makes it larger.
pub(crate) fn gap_fine(m: f64) -> f64 {
    let down = (m * 1e6).floor() / 1e6;
    if down <= 0.0 { 0.0 } else { down }
}

/// Metres for a program, to a millionth.
pub(crate) fn fine(m: f64) -> f64 {
    round_to(m, 6)
}

/// Radians for a program, to a thousand-millionth.
pub(crate) fn fine_rad(rad: f64) -> f64 {
    round_to(rad, 9)
}

/// A local place for a program.
pub(crate) fn fine_xy(p: Xy) -> [f64; 2] {
    [fine(p.x), fine(p.y)]
}

/// Longitude or latitude to seven decimals (about a centimetre).
pub(crate) fn lonlat(deg: f64) -> f64 {
    round_to(deg, 7)
}

/// Whole degrees of a bearing as three figures; north is 360.
pub(crate) fn three(deg: f64) -> String {
    format!("{:03}", Bearing::from_deg(deg).spoken())
}

/// A bearing, or the first and the last of a winding stretch where they differ, with a dash between.
pub(crate) fn from_to(first: f64, last: Option<f64>, dash: char) -> String {
    let first = three(first);
    match last.map(three) {
        Some(last) if last != first => format!("{first}{dash}{last}"),
        _ => first,
    }
}

/// Minutes and seconds, "2:05".
pub(crate) fn clock(s: f64) -> String {
    let whole = s.max(0.0).round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// Minutes and seconds in words.
pub(crate) fn duration(s: f64) -> String {
    let whole = s.max(0.0).round() as u64;
    match (whole / 60, whole % 60) {
        (0, s) => format!("{s} s"),
        (m, 0) => format!("{m} min"),
        (m, s) => format!("{m} min {s} s"),
    }
}

/// A declination as people write it, "1.2 E".
pub(crate) fn declination(deg: f64) -> String {
    let size = round_to(deg.abs(), 1);
    format!("{size:.1} {}", if deg < 0.0 { 'W' } else { 'E' })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_are_never_rounded_up() {
        for (m, shown) in [(3.199, 3.1), (3.2, 3.2), (0.09, 0.0), (2.999_999, 2.9), (-0.4, 0.0)] {
            assert_eq!(gap(m), shown, "{m}");
            assert!(gap_fine(m) <= m.max(0.0));
        }
        assert_eq!(gap_fine(1.234_567_9), 1.234_567);
    }

    #[test]
    fn bearings_stay_below_360_and_north_is_said_360() {
        assert_eq!(bearing(Bearing::from_deg(359.999)), 0.0);
        assert_eq!(three(0.2), "360");
        assert_eq!(three(359.6), "360");
        assert_eq!(three(7.4), "007");
    }

    #[test]
    fn times_read_as_minutes_and_seconds() {
        assert_eq!(clock(125.4), "2:05");
        assert_eq!(duration(59.6), "1 min");
        assert_eq!(duration(61.0), "1 min 1 s");
    }
}
