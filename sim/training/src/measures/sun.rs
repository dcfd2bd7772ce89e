//! How high the sun stands: whether position lights are due.

use core::f64::consts::TAU;
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::frame::LonLat;
use toeline_model::math::{asin, cos, sin};
use toeline_model::units::DEG;

/// Height of the sun's middle at which its upper edge sets, degrees: half its width and the refraction at the horizon, as
/// every almanac takes it.
pub const SETS_AT_DEG: f64 = -0.833;

/// Height of the sun over the horizon, degrees, to about half a degree. Declination and equation of time by Spencer's
/// series (Search 2(5), 1971; from memory).
pub fn height_deg(at: LonLat, date: Date, time: TimeOfDay) -> f64 {
    let hours = f64::from(time.minute) / 60.0;
    let day = TAU / 365.0 * (f64::from(date.day_of_year) - 1.0 + (hours - 12.0) / 24.0);
    let declination = 0.006_918 - 0.399_912 * cos(day) + 0.070_257 * sin(day) - 0.006_758 * cos(2.0 * day)
        + 0.000_907 * sin(2.0 * day)
        - 0.002_697 * cos(3.0 * day)
        + 0.001_48 * sin(3.0 * day);
    let equation_min = 229.18
        * (0.000_075 + 0.001_868 * cos(day)
            - 0.032_077 * sin(day)
            - 0.014_615 * cos(2.0 * day)
            - 0.040_849 * sin(2.0 * day));
    let sun_time_min = f64::from(time.minute) + equation_min + 4.0 * at.lon_deg;
    let hour_angle = (sun_time_min / 4.0 - 180.0) * DEG;
    let latitude = at.lat_deg * DEG;
    let height = sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * cos(hour_angle);
    asin(height.clamp(-1.0, 1.0)) / DEG
}
