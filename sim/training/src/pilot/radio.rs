//! What the pilot says and is told on a way. Nobody is there to answer: with a taxi instruction a tower's answers are
//! supposed, and the text says so; without one he announces what he does.

use super::lookout::Lookout;
use super::task::TaskStop;
use toeline_engine::instruction::{Step, read};
use toeline_engine::planning::{Plan, Way};
use toeline_engine::route::StopKind;

/// Whether there is a tower, what it said at the start, and which stops are before a runway.
#[derive(Clone, Debug, Default)]
pub(super) struct Radio {
    instruction: Option<String>,
    holds_short: bool,
    /// Ways of stops that guard something else than a runway, metres.
    no_runway_m: Vec<f64>,
}

impl Radio {
    pub(super) fn of(plan: &Plan, way: &Way) -> Radio {
        let instruction = plan.request.instruction.clone();
        let said = instruction.as_deref().and_then(|text| read(text).ok());
        let holds_short = said.is_some_and(|s| s.steps.iter().any(|s| matches!(s, Step::HoldShort { .. })));
        // A holding position at a crossing of taxiways guards no runway.
        let runway = |of: &Option<String>| of.as_ref().is_some_and(|of| of.starts_with("runway"));
        let no_runway_m = way.route.stops.iter().filter(|s| !runway(&s.of)).map(|s| s.at_m);
        Radio {
            instruction,
            holds_short,
            no_runway_m: no_runway_m.collect(),
        }
    }

    /// The instruction, read back before it moves.
    pub(super) fn before_moving(&self, lookout: &mut Lookout) {
        let Some(text) = &self.instruction else { return };
        if self.holds_short {
            lookout.hear("hold short", format!("told (supposed): {text}"));
        }
        lookout.say("read back", format!("read back: {text}"));
    }

    /// At a stop on the way.
    pub(super) fn at_a_stop(&self, stop: &TaskStop, lookout: &mut Lookout) {
        let runway = stop.kind == StopKind::HoldShort && !self.no_runway_m.contains(&stop.at_m);
        if !runway {
            return lookout.before_moving();
        }
        let name = &stop.name;
        if self.instruction.is_some() {
            lookout.say("request", format!("at {name}, request to cross"));
            lookout.hear("cross", format!("told (supposed): cross at {name}"));
            lookout.say("read back", format!("read back: cross at {name}"));
        } else {
            lookout.say("announce", format!("announced: crossing at {name}"));
        }
        lookout.before_runway(name);
    }

    /// At the end of the way: ready for departure, where there is a tower and a runway.
    pub(super) fn at_the_end(&self, stop: &TaskStop, lookout: &mut Lookout) {
        let runway = stop.kind == StopKind::End && !self.no_runway_m.contains(&stop.at_m);
        if runway && self.instruction.is_some() {
            lookout.say("ready", format!("at {}, ready for departure", stop.name));
        }
    }
}
