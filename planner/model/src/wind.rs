//! Wind as it is reported, with its reference: true north (METAR, TAF) or magnetic north (tower, ATIS).

use crate::angle::Bearing;
use crate::units::KNOT_MPS;
use serde::{Deserialize, Serialize};

/// Which north a wind direction is counted from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum North {
    /// True north: METAR, TAF, forecasts.
    True,
    /// Magnetic north: tower and ATIS.
    Magnetic,
}

/// A reported surface wind. Speeds in knots, as reported.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Wind {
    /// No wind.
    Calm,
    /// No single direction.
    Variable {
        /// Steady speed, knots.
        speed_kt: f64,
        /// Gust, knots, when reported.
        gust_kt: Option<f64>,
    },
    /// From one direction.
    From {
        /// Direction the wind blows from, degrees clockwise from the stated north.
        from_deg: f64,
        /// Which north that is.
        north: North,
        /// Steady speed, knots.
        speed_kt: f64,
        /// Gust, knots, when reported.
        gust_kt: Option<f64>,
    },
}

/// Greatest wind speed that is taken for a report and not for a slip of the finger, knots (ours).
pub const MOST_WIND_KT: f64 = 99.0;

impl Wind {
    /// Reads `240/12T`, `240/12G20M`, `VRB/04`, `VRB/04G15` or `calm`.
    ///
    /// ```
    /// use toeline_model::Wind;
    /// assert!(Wind::parse("240/12T").is_ok());
    /// assert!(Wind::parse("240/12").unwrap_err().contains("240/12T"));
    /// ```
    ///
    /// # Errors
    /// A sentence that says what is wrong and what to write.
    pub fn parse(text: &str) -> Result<Wind, String> {
        let t = text.trim().to_ascii_uppercase();
        if t == "CALM" {
            return Ok(Wind::Calm);
        }
        let shape = || {
            format!(
                "wind \"{text}\" is not read: write direction/speed and its north, for example 240/12T (true: METAR, TAF) or \
                 240/12G20M (magnetic: tower, ATIS), or VRB/04, or calm"
            )
        };
        let (direction, rest) = t.split_once('/').ok_or_else(shape)?;
        let (speeds, north) = match rest.char_indices().last() {
            Some((i, 'T')) => (&rest[..i], Some(North::True)),
            Some((i, 'M')) => (&rest[..i], Some(North::Magnetic)),
            _ => (rest, None),
        };
        let (speed, gust) = match speeds.split_once('G') {
            Some((s, g)) => (s, Some(g)),
            None => (speeds, None),
        };
        let number = |s: &str| -> Result<f64, String> {
            if s.is_empty() || s.len() > 3 || !s.bytes().all(|b| b.is_ascii_digit()) {
                return Err(shape());
            }
            let n: f64 = s.parse().map_err(|_| shape())?;
            if n > MOST_WIND_KT {
                return Err(format!(
                    "wind \"{text}\": {n} kt is above {MOST_WIND_KT} kt, the most that is taken for a report"
                ));
            }
            Ok(n)
        };
        let speed_kt = number(speed)?;
        let gust_kt = gust.map(number).transpose()?;
        if let Some(g) = gust_kt
            && g <= speed_kt
        {
            return Err(format!(
                "wind \"{text}\": the gust of {g} kt is not above the steady {speed_kt} kt"
            ));
        }
        if direction == "VRB" {
            return Ok(Wind::Variable { speed_kt, gust_kt });
        }
        if direction.len() != 3 || !direction.bytes().all(|b| b.is_ascii_digit()) {
            return Err(shape());
        }
        let from_deg: f64 = direction.parse().map_err(|_| shape())?;
        if from_deg > 360.0 {
            return Err(format!("wind \"{text}\": direction {direction} is above 360 degrees"));
        }
        let Some(north) = north else {
            return Err(format!(
                "wind \"{text}\" does not say which north it is counted from: write {direction}/{speeds}T for true (METAR, TAF) or \
                 {direction}/{speeds}M for magnetic (tower, ATIS)"
            ));
        };
        Ok(Wind::From {
            from_deg,
            north,
            speed_kt,
            gust_kt,
        })
    }

    /// Direction the wind blows from, clockwise from true north; `None` when calm or variable.
    /// `declination_deg` is east positive.
    pub fn from_true(&self, declination_deg: f64) -> Option<Bearing> {
        match *self {
            Wind::From {
                from_deg,
                north: North::True,
                ..
            } => Some(Bearing::from_deg(from_deg)),
            Wind::From {
                from_deg,
                north: North::Magnetic,
                ..
            } => Some(Bearing::from_deg(from_deg + declination_deg)),
            _ => None,
        }
    }

    /// Steady speed, metres per second.
    pub fn speed_mps(&self) -> f64 {
        match *self {
            Wind::Calm => 0.0,
            Wind::Variable { speed_kt, .. } | Wind::From { speed_kt, .. } => speed_kt * KNOT_MPS,
        }
    }

    /// Gust, metres per second; `None` when none is reported.
    pub fn gust_mps(&self) -> Option<f64> {
        match *self {
            Wind::Calm => None,
            Wind::Variable { gust_kt, .. } | Wind::From { gust_kt, .. } => gust_kt.map(|kt| kt * KNOT_MPS),
        }
    }
}

impl core::fmt::Display for Wind {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let gust = |g: &Option<f64>| g.map(|g| format!("G{g:02.0}")).unwrap_or_default();
        match self {
            Wind::Calm => write!(f, "calm"),
            Wind::Variable { speed_kt, gust_kt } => write!(f, "VRB/{speed_kt:02.0}{}", gust(gust_kt)),
            Wind::From {
                from_deg,
                north,
                speed_kt,
                gust_kt,
            } => {
                let letter = if *north == North::True { 'T' } else { 'M' };
                write!(f, "{from_deg:03.0}/{speed_kt:02.0}{}{letter}", gust(gust_kt))
            }
        }
    }
}

impl TryFrom<String> for Wind {
    type Error = String;
    fn try_from(text: String) -> Result<Wind, String> {
        Wind::parse(&text)
    }
}

impl From<Wind> for String {
    fn from(wind: Wind) -> String {
        wind.to_string()
    }
}
