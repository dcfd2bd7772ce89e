//! The series as CSV after RFC 4180: a header line, CRLF, numbers with a point. What is not known is empty.

use super::Debrief;
use std::fmt::Write as _;

const HEADER: &str = "time_s,way_m,x_m,y_m,heading_deg,speed_mps,offset_m,gap_m,rudder,left_brake,right_brake,throttle,aileron,\
                      elevator,rpm,nose_wheel_deg,left_brake_c,right_brake_c,heading_indicator_deg,compass_deg";

fn known(value: Option<f64>, decimals: usize) -> String {
    value.map_or(String::new(), |v| format!("{v:.decimals$}"))
}

/// Writes the series of a debrief as CSV.
pub fn csv(d: &Debrief) -> String {
    let mut out = String::from(HEADER);
    out.push_str("\r\n");
    for (k, s) in d.series.samples.iter().enumerate() {
        let c = &s.controls;
        let [left, right] = c.brakes();
        let felt = s.felt.as_ref();
        let shown = felt.and_then(|f| f.headings);
        let _ = write!(
            out,
            "{:.3},{:.2},{:.3},{:.3},{:.2},{:.3},{},{},{:.3},{left:.3},{right:.3},{:.3},{:.3},{:.3},{},{},{},{},{},{}\r\n",
            s.time_s,
            s.way_m,
            s.nose.x,
            s.nose.y,
            s.heading_rad.bearing().deg(),
            s.speed_mps,
            known(s.offset_m, 3),
            known(d.gaps.get(k).copied().flatten(), 2),
            c.rudder,
            c.throttle,
            c.aileron,
            c.elevator,
            known(felt.map(|f| f.rpm), 0),
            known(felt.map(|f| f.nose_wheel_rad.to_degrees()), 2),
            known(felt.map(|f| f.brake_c[0]), 1),
            known(felt.map(|f| f.brake_c[1]), 1),
            known(shown.map(|h| h.indicator_rad.to_degrees()), 1),
            known(shown.map(|h| h.compass_rad.to_degrees()), 1),
        );
    }
    out
}
