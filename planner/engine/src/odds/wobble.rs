//! How a pupil wobbles, and what is asked about it: plain data.

use serde::{Deserialize, Serialize};
use toeline_model::Aircraft;

/// Spread of the default pupil's nose wheel about his own line, metres. Ours, no source.
pub const DEFAULT_SPREAD_M: f64 = 0.4;
/// Way over which the default pupil's wandering forgets itself, metres. Ours, no source.
pub const DEFAULT_CORRELATION_M: f64 = 20.0;
/// Drives simulated when nothing else is asked.
pub const DEFAULT_DRIVES: u32 = 10_000;
/// Seed when none is asked for.
pub const DEFAULT_SEED: u64 = 1;
/// Most drives that may be asked for.
const MOST_DRIVES: u32 = 10_000_000;

/// Where a wobble's figures are from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WobbleFrom {
    /// Assumed by this program: ours, without a source.
    Ours,
    /// Given by the user.
    Given,
    /// Measured from a pupil's stored drives.
    Measured,
}

impl WobbleFrom {
    /// As it is printed.
    pub fn words(self) -> &'static str {
        match self {
            WobbleFrom::Ours => "ours, no source",
            WobbleFrom::Given => "given",
            WobbleFrom::Measured => "measured",
        }
    }
}

/// A pupil's wobble: a steady offset and a wandering deviation of the nose wheel from the line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wobble {
    /// Steady offset of the nose wheel from the line, metres, left positive.
    pub offset_m: f64,
    /// Standard deviation of the wandering about that, metres.
    pub spread_m: f64,
    /// Correlation length of the wandering along the way, metres.
    pub correlation_m: f64,
    /// Where the three are from.
    pub from: WobbleFrom,
}

impl Wobble {
    /// The default pupil in an aeroplane: a beginner who puts himself, not the nose wheel, on the line.
    pub fn beginner(aircraft: &Aircraft) -> Wobble {
        Wobble {
            // He sits left of the middle by this, so the nose wheel runs right of the line by as much.
            offset_m: -aircraft.seats.pilot_eye_y_m,
            spread_m: DEFAULT_SPREAD_M,
            correlation_m: DEFAULT_CORRELATION_M,
            from: WobbleFrom::Ours,
        }
    }

    /// Reads "0.25R/0.4/20": the steady offset to the right (R) or left (L) of the line, the spread of the wandering and its
    /// correlation length, all in metres.
    ///
    /// ```
    /// use toeline_engine::odds::Wobble;
    /// let w = Wobble::parse("0.25R/0.4/20").unwrap();
    /// assert_eq!((w.offset_m, w.spread_m, w.correlation_m), (-0.25, 0.4, 20.0));
    /// assert!(Wobble::parse("0.25/0.4/20").unwrap_err().contains("R or L"));
    /// ```
    ///
    /// # Errors
    /// A sentence that says what is wrong with which figure, and what is expected.
    pub fn parse(text: &str) -> Result<Wobble, String> {
        let wrong = |why: &str| {
            format!("wobble \"{text}\": {why}; write offset/spread/correlation length in metres, as 0.25R/0.4/20")
        };
        let fields: Vec<&str> = text.trim().split('/').collect();
        let [offset, spread, correlation] = fields[..] else {
            return Err(wrong("three figures are wanted"));
        };
        let number = |what: &str, text: &str| {
            let value = text.trim().parse::<f64>().ok().filter(|v| v.is_finite());
            value.ok_or_else(|| wrong(&format!("{what} \"{text}\" is no number")))
        };
        let offset = offset.trim();
        let offset_m = if let Some(right) = offset.strip_suffix(['R', 'r']) {
            -number("offset", right)?
        } else if let Some(left) = offset.strip_suffix(['L', 'l']) {
            number("offset", left)?
        } else {
            let bare = number("offset", offset)?;
            if bare != 0.0 {
                return Err(wrong("the offset needs its side, R or L"));
            }
            0.0
        };
        let wobble = Wobble {
            offset_m,
            spread_m: number("spread", spread)?,
            correlation_m: number("correlation length", correlation)?,
            from: WobbleFrom::Given,
        };
        wobble.problem().map_or(Ok(wobble), Err)
    }

    /// What is out of range, in a sentence with value, unit and limit.
    pub fn problem(&self) -> Option<String> {
        // Shorter than a few metres no nose wheel can follow; see the notes on what can be driven in docs/odds.md.
        [
            ("offset", self.offset_m, -10.0, 10.0),
            ("spread", self.spread_m, 0.0, 10.0),
            ("correlation length", self.correlation_m, 5.0, 1000.0),
        ]
        .into_iter()
        .find(|(_, value, low, high)| !(low..=high).contains(&value))
        .map(|(what, value, low, high)| format!("wobble: {what} of {value} m is outside {low} to {high} m"))
    }

    /// "0.3 m right of the line, spread 0.4 m, correlated over 20 m (ours, no source)".
    pub fn words(&self) -> String {
        let offset = match self.offset_m {
            o if o.abs() < 0.005 => "on the line".to_string(),
            o if o > 0.0 => format!("{o:.2} m left of the line"),
            o => format!("{:.2} m right of the line", -o),
        };
        format!(
            "nose wheel {offset}, spread {:.2} m, correlated over {:.0} m ({})",
            self.spread_m,
            self.correlation_m,
            self.from.words()
        )
    }
}

/// What is asked about wobble.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OddsAsked {
    /// The wobble; `None` for [`Wobble::beginner`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wobble: Option<Wobble>,
    /// Drives to simulate; 0 for no odds at all.
    pub drives: u32,
    /// Seed of the random numbers.
    pub seed: u64,
}

impl Default for OddsAsked {
    fn default() -> OddsAsked {
        OddsAsked {
            wobble: None,
            drives: DEFAULT_DRIVES,
            seed: DEFAULT_SEED,
        }
    }
}

impl OddsAsked {
    /// What is out of range, in a sentence.
    pub fn problem(&self) -> Option<String> {
        if self.drives > MOST_DRIVES {
            return Some(format!(
                "{} drives are more than the {MOST_DRIVES} that may be asked for",
                self.drives
            ));
        }
        self.wobble.and_then(|w| w.problem())
    }
}
