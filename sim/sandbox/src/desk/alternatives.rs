//! The ways that one may pick from. The planner gives one way today, so the list has one entry and nothing is offered to
//! pick. When [`toeline_engine::plan()`] gives several, they are put into this list here and nowhere else: map, list,
//! verdict and drive already follow the picked one.

use toeline_engine::Plan;
use toeline_engine::planning::Outcome;

/// One way as a plan of its own.
#[derive(Clone, Debug)]
pub struct Alternative {
    /// One line that tells it from the others.
    pub title: String,
    /// The plan whose outcome is this way.
    pub plan: Plan,
}

/// Every way of an answer, the planner's first choice first; empty when there is none.
pub fn of(plan: &Plan) -> Vec<Alternative> {
    match &plan.outcome {
        Outcome::Way(way) => vec![Alternative {
            title: format!("{:.0} m", way.route.path.length_m()),
            plan: plan.clone(),
        }],
        Outcome::NoWay(_) => Vec::new(),
    }
}
