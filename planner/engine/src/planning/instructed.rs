//! What is said on the radio: a taxi instruction followed and compared with our own choice, or the words for our own choice.

use super::alternatives::compare;
use super::faults::faults;
use super::tries::{MOST_TRIES, search_clear};
use super::{Outcome, PlanError, Way, margins};
use crate::clearance;
use crate::instruction::{self, FollowError, Followed, Said};
use crate::request::Request;
use crate::route::{Avoid, LegKind, Route, World};
use serde::{Deserialize, Serialize};

/// What is said on the radio for a plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Radio {
    /// The instruction as it was given, when one was.
    pub given: Option<String>,
    /// The words for the way; absent where there is no way.
    pub said: Option<Said>,
    /// Parts of the given instruction that are understood as remarks and not planned.
    pub remarks: Vec<String>,
    /// What was unclear in the given instruction, or used without having been said, in sentences.
    pub notes: Vec<String>,
    /// Whether the given instruction has to be asked about.
    pub unclear: bool,
    /// The way instructed against our own choice, in one sentence.
    pub compared: Option<String>,
}

impl Radio {
    /// Nothing is said.
    pub(super) fn nothing() -> Radio {
        Radio {
            given: None,
            said: None,
            remarks: Vec::new(),
            notes: Vec::new(),
            unclear: false,
            compared: None,
        }
    }
}

impl From<FollowError> for PlanError {
    fn from(e: FollowError) -> PlanError {
        match e {
            FollowError::Instruction(e) => PlanError::Instruction(e),
            FollowError::Route(e) => PlanError::Route(e),
        }
    }
}

/// The way of a request, as instructed or of our own choice, and what is said on the radio for it.
pub(super) fn with_radio(
    world: World<'_>,
    request: &Request,
    declination_deg: f64,
) -> Result<(Outcome, Radio), PlanError> {
    let Some(text) = &request.instruction else {
        let outcome = search_clear(world, request, declination_deg)?;
        let said = match &outcome {
            Outcome::Way(way) => Some(instruction::say(world, request, &way.route, None)),
            Outcome::NoWay(_) => None,
        };
        return Ok((
            outcome,
            Radio {
                said,
                ..Radio::nothing()
            },
        ));
    };
    let said = instruction::read(text).map_err(PlanError::Instruction)?;
    let mut radio = Radio {
        given: Some(text.clone()),
        said: None,
        remarks: said.remarks.iter().map(|at| said.words(at).to_string()).collect(),
        notes: Vec::new(),
        unclear: false,
        compared: None,
    };
    let mut given_up = Vec::new();
    let mut best: Option<(Way, String)> = None;
    // The way is as instructed; only how it stands for the engine check is ours to choose.
    for check_stands in 0..MOST_TRIES {
        let avoid = Avoid {
            check_stands,
            ..Avoid::default()
        };
        let (route, notes, unclear, to) = match instruction::follow(world, request, declination_deg, &said, &avoid)? {
            Followed::Way {
                route,
                notes,
                unclear,
                to,
            } => (*route, notes, unclear, to),
            Followed::NoWay(why) => return Ok((Outcome::NoWay(why), radio)),
        };
        (radio.notes, radio.unclear) = (notes, unclear);
        let clearance = clearance::check(world.field, world.aircraft, &route, &margins(world, request))
            .map_err(PlanError::Clearance)?;
        let wrong = faults(&route, &clearance);
        let at_check = wrong
            .iter()
            .find(|f| in_check_area(&route, f.at_m.0))
            .map(|f| f.reason.clone());
        let way = Way {
            route,
            clearance,
            given_up: Vec::new(),
            gone_around: Vec::new(),
            odds: None,
        };
        let first = best.is_none();
        match at_check {
            Some(_) if check_stands > 0 && way.route.check.is_none() => break,
            Some(reason) => {
                given_up.push(reason);
                if first {
                    best = Some((way, to));
                }
            }
            None => {
                best = Some((Way { given_up, ..way }, to));
                break;
            }
        }
    }
    let Some((way, to)) = best else {
        return Err(PlanError::Request("no way was tried".to_string()));
    };
    radio.said = Some(instruction::say(world, request, &way.route, Some(&said)));
    let own = Request {
        to,
        instruction: None,
        ..request.clone()
    };
    if let Outcome::Way(own) = search_clear(world, &own, declination_deg)? {
        radio.compared = Some(if own.route.segments == way.route.segments {
            "the same way as our own choice".to_string()
        } else {
            format!("against our own choice: {}", compare(&own, &way))
        });
    }
    Ok((Outcome::Way(Box::new(way)), radio))
}

fn in_check_area(route: &Route, at_m: f64) -> bool {
    let leg = route.legs.iter().find(|l| l.from_m <= at_m && at_m <= l.to_m);
    leg.is_some_and(|l| l.kind == LegKind::CheckArea)
}
