//! The heading instruments in a turn each way, and what they showed.

use super::{Drive, Kind, Measure, NO_COURSE, Sample, Source};
use toeline_model::angle::wrap;
use toeline_model::units::DEG;

/// Turn each way in which the instruments can be checked, radians (ours: 45 degrees).
const TURN_RAD: f64 = 45.0 * DEG;
/// Speed that counts as taxiing, m/s (ours), and rate of turn, rad/s (ours: 3 degrees a second), in such a turn.
const TAXIING_MPS: f64 = 1.0;
const RATE_RADPS: f64 = 3.0 * DEG;
/// How far an instrument may be behind the aeroplane over such a turn, radians (ours: 20 degrees; a compass swings).
const FOLLOWS_RAD: f64 = 20.0 * DEG;

const HEADINGS: Kind = Kind {
    key: "headings_in_turns",
    title: "A turn each way to check the heading instruments in",
    source: Source::Common,
    reference: "instrument check while taxiing, common practice, no source: heading indicator and compass move the right way in a turn \
                each way. Counted are turns of 45 degrees at 1 m/s and more before the holding position, ours; whether the pilot looked \
                at them is not in an attempt",
    practise: "instrument checks in a turn each way: turning left, headings fall, needle left, ball right; then to the right",
    exercise: Some("instruments-in-turns"),
};

/// One turn that was made.
struct Made<'a> {
    from: &'a Sample,
    to: &'a Sample,
    left_rad: f64,
}

/// Turns at speed up to a sample: stretches in which the heading goes one way.
fn made<'a>(samples: &'a [Sample]) -> Vec<Made<'a>> {
    let mut list = Vec::new();
    let mut now: Option<(usize, f64)> = None;
    for (k, w) in samples.windows(2).enumerate() {
        let swept = w[0].heading_rad.to_rad(w[1].heading_rad);
        let turning = w[1].speed_mps >= TAXIING_MPS && swept.abs() >= RATE_RADPS * w[1].lasts_s.max(1e-9);
        let same = now.is_some_and(|(_, so_far)| so_far * swept >= 0.0);
        if let (Some((from, so_far)), false) = (now, turning && same) {
            if so_far.abs() >= TURN_RAD {
                list.push(Made {
                    from: &samples[from],
                    to: &samples[k],
                    left_rad: so_far,
                });
            }
            now = None;
        }
        now = match now {
            _ if !turning => None,
            None => Some((k, swept)),
            Some((from, so_far)) => Some((from, so_far + swept)),
        };
    }
    if let (Some((from, so_far)), Some(to)) = (now, samples.last())
        && so_far.abs() >= TURN_RAD
    {
        list.push(Made {
            from: &samples[from],
            to,
            left_rad: so_far,
        });
    }
    list
}

/// What an instrument that reads clockwise did in a turn that it did not follow.
fn stood(turn: &Made<'_>, of: impl Fn(&Sample) -> Option<f64>) -> Option<bool> {
    let shown = wrap(of(turn.to)? - of(turn.from)?);
    Some(wrap(shown + turn.left_rad).abs() > FOLLOWS_RAD)
}

pub(super) fn headings(drive: &Drive<'_>) -> Measure {
    let Some(course) = drive.course else {
        return HEADINGS.left_out(NO_COURSE);
    };
    let Some(hold) = course.lines.iter().find(|l| l.is_end) else {
        return HEADINGS.left_out("left out: this way ends at no holding position");
    };
    let samples = &drive.series.samples;
    let there = samples.iter().position(|s| s.way_m >= hold.stop_at_m - 3.0);
    let Some(there) = there else {
        return HEADINGS.left_out("left out: it did not come to the holding position");
    };
    let planned = |sign: f64| course.turns.iter().any(|t| t.left_rad * sign >= TURN_RAD);
    let asked_for = planned(1.0) && planned(-1.0);
    let all = made(&samples[..=there]);
    let most = |sign: f64| all.iter().map(|t| t.left_rad * sign).fold(0.0, f64::max);
    let (left, right) = (most(1.0), most(-1.0));
    let both = left > 0.0 && right > 0.0;
    if !both && !asked_for {
        return HEADINGS.left_out("left out: the way itself has no turn of 45 degrees each way");
    }
    let mut sentence = match (left > 0.0, right > 0.0) {
        (true, true) => format!(
            "turned {:.0} degrees left and {:.0} right at taxi speed",
            left / DEG,
            right / DEG
        ),
        (true, false) => "no turn of 45 degrees to the right at taxi speed".to_string(),
        (false, true) => "no turn of 45 degrees to the left at taxi speed".to_string(),
        (false, false) => "no turn of 45 degrees at taxi speed".to_string(),
    };
    let mut told = HEADINGS.judged(both, "");
    for (name, of) in [
        (
            "heading indicator",
            &(|s: &Sample| s.felt.and_then(|f| f.headings).map(|h| h.indicator_rad)) as &dyn Fn(&Sample) -> Option<f64>,
        ),
        ("compass", &|s: &Sample| {
            s.felt.and_then(|f| f.headings).map(|h| h.compass_rad)
        }),
    ] {
        let odd = all.iter().find(|t| stood(t, of) == Some(true));
        if let Some(t) = odd {
            sentence += &format!("; the {name} did not go with a turn");
            told = told.at(t.to, format!("turned, and the {name} did not go with it"));
        }
    }
    told.sentence = sentence;
    told.figure("left_deg", left / DEG).figure("right_deg", right / DEG)
}
