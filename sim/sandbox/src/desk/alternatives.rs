//! The ways that one may pick from: the planned one and the engine's alternatives to it. Map, list, verdict and drive follow
//! the picked one.

use toeline_engine::Plan;
use toeline_engine::planning::{self, Outcome};

/// Most ways offered beside the planned one.
const MOST: usize = 3;

/// One way as a plan of its own.
#[derive(Clone, Debug)]
pub struct Alternative {
    /// One line that tells it from the others.
    pub title: String,
    /// The plan whose outcome is this way.
    pub plan: Plan,
}

/// The planned way of an answer; `None` when there is none.
pub fn planned(plan: &Plan) -> Option<Alternative> {
    let Outcome::Way(way) = &plan.outcome else { return None };
    Some(Alternative {
        title: format!("as planned: {:.0} m", way.route.path.length_m()),
        plan: plan.clone(),
    })
}

/// Other ways than a plan's: several searches and sweeps.
pub fn others(plan: &Plan) -> Vec<Alternative> {
    let told = |other: planning::Alternative| Alternative {
        title: other.words,
        plan: Plan {
            outcome: Outcome::Way(Box::new(other.way)),
            radio: None,
            ..plan.clone()
        },
    };
    planning::alternatives(plan, MOST).into_iter().map(told).collect()
}
