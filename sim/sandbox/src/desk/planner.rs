//! Planning in the background: one request at a time, and only the newest one counts. Every answer is the engine's own.

use super::{alternatives, legs};
use bevy::prelude::*;
use bevy::tasks::{AsyncComputeTaskPool, Task, block_on, poll_once};
use std::sync::Arc;
use toeline_engine::briefing::{self, Answer, Briefing};
use toeline_engine::planning::{Outcome, Way};
use toeline_engine::{Plan, Request};
use toeline_model::Xy;

/// What turns a map's text and a request into a plan: the engine, or in a test something slower.
pub type Solver = Arc<dyn Fn(&str, &Request) -> Result<Plan, String> + Send + Sync>;

/// One answer of the planner, ready to be drawn.
#[derive(Clone, Debug)]
pub struct Found {
    /// What was asked.
    pub request: Request,
    /// The briefing of the whole answer, in the engine's words.
    pub briefing: Briefing,
    /// Ways to pick from; empty when there is none.
    pub ways: Vec<alternatives::Alternative>,
    /// The briefing of each way, in the same order.
    pub briefings: Vec<Briefing>,
    /// Legs of each way as lines of local metres.
    pub lines: Vec<Vec<Vec<Xy>>>,
}

impl Found {
    fn new(request: Request, plan: &Plan) -> Found {
        let briefing = briefing::brief(plan);
        let mut found = Found {
            request,
            briefings: Vec::new(),
            ways: Vec::new(),
            lines: Vec::new(),
            briefing,
        };
        found.add(alternatives::planned(plan));
        found
    }

    /// Adds ways to pick from.
    fn add(&mut self, ways: impl IntoIterator<Item = alternatives::Alternative>) {
        for w in ways {
            self.lines.push(match &w.plan.outcome {
                Outcome::Way(way) => legs::lines(&way.route),
                Outcome::NoWay(_) => Vec::new(),
            });
            self.briefings.push(briefing::brief(&w.plan));
            self.ways.push(w);
        }
    }

    /// Why there is no way, in the engine's words; empty when there is one.
    pub fn reasons(&self) -> Vec<String> {
        match &self.briefing.answer {
            Answer::Way(_) => Vec::new(),
            Answer::NoWay(none) => {
                let mut list = vec![format!(
                    "NO WAY: {} cannot be reached from {}.",
                    none.unreachable, none.from
                )];
                if none.blocks.is_empty() {
                    list.push(
                        "Nothing that blocks it is on the map: no lane leads on from what can be reached.".into(),
                    );
                }
                list.extend(none.blocks.iter().cloned());
                list
            }
        }
    }
}

type Job = (u64, Task<Result<Box<Found>, String>>);
type MoreWays = (u64, Task<Vec<alternatives::Alternative>>);

/// The planner's desk: what was asked last, what is being worked on, what was answered.
#[derive(Resource)]
pub struct Planner {
    solver: Solver,
    asked: u64,
    /// Counts every change of what is to be shown.
    serial: u64,
    waiting: Option<(Arc<str>, Request)>,
    running: Option<Job>,
    /// Other ways than the one that was answered. They take several times as long, and the answer does not wait for them.
    others: Option<MoreWays>,
    answer: Option<Result<Box<Found>, String>>,
    picked: usize,
}

impl Default for Planner {
    fn default() -> Planner {
        Planner::with(Arc::new(|text, request| {
            toeline_engine::plan(text, request).map_err(|e| e.to_string())
        }))
    }
}

impl Planner {
    /// A planner that uses `solver`.
    pub fn with(solver: Solver) -> Planner {
        Planner {
            solver,
            asked: 0,
            serial: 0,
            waiting: None,
            running: None,
            others: None,
            answer: None,
            picked: 0,
        }
    }

    /// Asks for a way. Whatever was asked before is dropped; the last answer stays on the map until the new one is there.
    pub fn ask(&mut self, field_text: Arc<str>, request: Request) {
        self.asked += 1;
        self.waiting = Some((field_text, request));
    }

    /// Drops question and answer.
    pub fn clear(&mut self) {
        self.asked += 1;
        self.serial += 1;
        self.waiting = None;
        self.others = None;
        self.answer = None;
        self.picked = 0;
    }

    /// A number that is another one whenever the answer is another one.
    pub fn serial(&self) -> u64 {
        self.serial
    }

    /// Picks one of the ways.
    pub fn pick(&mut self, way: usize) {
        if self.found().is_some_and(|f| way < f.ways.len()) {
            self.picked = way;
            self.serial += 1;
        }
    }

    /// The picked way as the briefing tells it; the engine's other words about the answer stay in [`Found::briefing`].
    pub fn shown(&self) -> Option<(&Found, &Way, &[Vec<Xy>])> {
        let found = self.found()?;
        match &found.ways.get(self.picked)?.plan.outcome {
            Outcome::Way(way) => Some((found, way, found.lines.get(self.picked)?)),
            Outcome::NoWay(_) => None,
        }
    }

    /// Which of the ways is picked.
    pub fn picked(&self) -> usize {
        self.picked
    }

    /// The briefing of the picked way; that of the answer where there is no way.
    pub fn told(&self) -> Option<&Briefing> {
        let found = self.found()?;
        Some(found.briefings.get(self.picked).unwrap_or(&found.briefing))
    }

    /// Whether an answer is still to come.
    pub fn busy(&self) -> bool {
        self.waiting.is_some() || self.running.as_ref().is_some_and(|(number, _)| *number == self.asked)
    }

    /// The last answer.
    pub fn answer(&self) -> Option<Result<&Found, &str>> {
        self.answer.as_ref().map(|a| match a {
            Ok(found) => Ok(found.as_ref()),
            Err(e) => Err(e.as_str()),
        })
    }

    /// The last answer, when it has a way or says why there is none.
    pub fn found(&self) -> Option<&Found> {
        self.answer().and_then(Result::ok)
    }

    /// The plan of the picked way, when it is there and nothing newer was asked.
    pub fn to_drive(&self) -> Option<&Plan> {
        if self.busy() {
            return None;
        }
        self.found()?.ways.get(self.picked).map(|w| &w.plan)
    }

    fn start(&mut self) {
        if self.running.is_some() {
            // One at a time: a second would only take the processor from the first, and hovering asks often.
            return;
        }
        if let Some((text, request)) = self.waiting.take() {
            let solver = self.solver.clone();
            let task = AsyncComputeTaskPool::get().spawn(async move {
                let plan = solver(&text, &request)?;
                Ok(Box::new(Found::new(request, &plan)))
            });
            self.running = Some((self.asked, task));
        }
    }

    fn look(&mut self) {
        let Some((number, task)) = &mut self.running else {
            return;
        };
        if let Some(result) = block_on(poll_once(task)) {
            // An answer to a question that is no longer asked is not shown.
            if *number == self.asked {
                let plan = result
                    .as_ref()
                    .ok()
                    .and_then(|f| f.ways.first())
                    .map(|w| w.plan.clone());
                self.others = plan.map(|plan| {
                    let search = async move { alternatives::others(&plan) };
                    (*number, AsyncComputeTaskPool::get().spawn(search))
                });
                self.answer = Some(result);
                self.picked = 0;
                self.serial += 1;
            }
            self.running = None;
        }
    }

    /// Takes up the other ways, unless something newer has been asked since.
    fn look_for_others(&mut self) {
        let Some((number, task)) = &mut self.others else {
            return;
        };
        let number = *number;
        if let Some(ways) = block_on(poll_once(task)) {
            self.others = None;
            if let (true, Some(Ok(found))) = (number == self.asked && !ways.is_empty(), &mut self.answer) {
                found.add(ways);
                self.serial += 1;
            }
        }
    }
}

/// Starts what waits and takes up what is done.
pub fn work(mut planner: ResMut<Planner>) {
    if planner.running.is_none() && planner.waiting.is_none() && planner.others.is_none() {
        return;
    }
    planner.look();
    planner.look_for_others();
    planner.start();
}
