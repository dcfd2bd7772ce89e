//! Magnetic declination and dip by the World Magnetic Model.

use toeline_model::LonLat;
use toeline_model::date::Date;
use world_magnetic_model::GeomagneticField;
use world_magnetic_model::time;
use world_magnetic_model::uom::si::angle::degree;
use world_magnetic_model::uom::si::f32::{Angle, Length};
use world_magnetic_model::uom::si::length::meter;

/// Declination in degrees, east positive, at a place, a height above the ellipsoid and a day.
///
/// # Errors
/// A sentence when the day lies outside the models that the library carries.
pub fn declination_deg(at: LonLat, height_m: f64, date: Date) -> Result<f64, String> {
    Ok(f64::from(field(at, height_m, date)?.declination().get::<degree>()))
}

/// Dip in degrees, north end down positive, at a place, a height above the ellipsoid and a day.
///
/// # Errors
/// A sentence when the day lies outside the models that the library carries.
pub fn dip_deg(at: LonLat, height_m: f64, date: Date) -> Result<f64, String> {
    Ok(f64::from(field(at, height_m, date)?.inclination().get::<degree>()))
}

fn field(at: LonLat, height_m: f64, date: Date) -> Result<GeomagneticField, String> {
    let day = time::Date::from_ordinal_date(date.year, date.day_of_year).map_err(|e| format!("day {date}: {e}"))?;
    let lon_deg = at.lon_deg - 360.0 * ((at.lon_deg + 180.0) / 360.0).floor();
    GeomagneticField::new(
        Length::new::<meter>(height_m as f32),
        Angle::new::<degree>(at.lat_deg as f32),
        Angle::new::<degree>(lon_deg as f32),
        day,
    )
    .map_err(|e| format!("no magnetic model for {date} at this place: {e}"))
}
