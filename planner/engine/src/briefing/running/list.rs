//! The list being made, and what its stages ask about the plan and the way.

use super::super::{WayBriefing, legs, number};
use super::{RUNNING_STAGES, RunningItem, RunningStage};
use crate::planning::Plan;
use crate::route::{LegKind, Route, Stop, StopKind, runway_name, stand_name};
use toeline_model::aircraft::{Aircraft, Light};
use toeline_model::{Bearing, Xy};

/// How far apart a stop and the seam of two legs may lie and still be one place, metres.
const SEAM_M: f64 = 0.01;

/// Whether a stop is one behind the holding line of a runway, met on the way.
pub(super) fn holds_short(stop: &Stop) -> bool {
    match stop.kind {
        StopKind::HoldShort => true,
        // Asked for by its name.
        StopKind::Place => stop.of.is_some(),
        StopKind::Start | StopKind::EngineCheck | StopKind::End => false,
    }
}

/// A runway as the way's end names it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct RunwayEnd {
    /// Index in the airfield.
    pub(super) runway: usize,
    /// Which of its ends is taken off from; `None` where the way does not say.
    pub(super) end: Option<usize>,
}

/// The list being made.
pub(super) struct List<'a> {
    pub(super) plan: &'a Plan,
    pub(super) route: &'a Route,
    pub(super) told: &'a WayBriefing,
    pub(super) stages: Vec<RunningStage>,
    /// Whether the preparation for take-off has been listed.
    pub(super) prepared: bool,
    /// How many of the hot spots entered have been told.
    pub(super) spots_told: usize,
    /// Where the way ends, when that is at or on a runway.
    pub(super) ends_at: Option<RunwayEnd>,
}

impl<'a> List<'a> {
    pub(super) fn new(plan: &'a Plan, route: &'a Route, told: &'a WayBriefing) -> List<'a> {
        let mut list = List {
            plan,
            route,
            told,
            stages: Vec::new(),
            prepared: false,
            spots_told: 0,
            ends_at: None,
        };
        list.ends_at = list.runway_at_end();
        list
    }

    pub(super) fn aircraft(&self) -> &'a Aircraft {
        &self.plan.request.aircraft
    }

    /// Adds a stage at a way of the nose wheel; beyond the end of the way for `None`.
    pub(super) fn stage(&mut self, id: &'static str, title: String, at_m: Option<f64>, items: Vec<RunningItem>) {
        debug_assert!(RUNNING_STAGES.contains(&id), "{id}");
        self.stages.push(RunningStage {
            id: id.to_string(),
            title,
            at_m: at_m.map(number::metres),
            leg: at_m.map(|m| legs::leg_at(self.route, m) + 1),
            items,
        });
    }

    /// Way at which a push by hand ends that begins after a stop and before the next one, metres.
    pub(super) fn pushed_to_m(&self, after_m: f64, next_m: f64) -> Option<f64> {
        let pushed = self.route.legs.iter().filter(|l| l.kind == LegKind::HandPush);
        let here = pushed.filter(|l| l.from_m > after_m - SEAM_M && l.from_m < next_m - SEAM_M);
        here.last().map(|l| l.to_m)
    }

    /// The runway of a name, as the way's stops name it.
    pub(super) fn runway(&self, of: &str) -> Option<RunwayEnd> {
        let runways = || self.plan.field.runways.iter().enumerate();
        let by_end = runways().find_map(|(runway, r)| {
            let named = |d: &Option<String>| d.as_ref().is_some_and(|d| format!("runway {d}") == of);
            let end = r.designators.iter().position(named)?;
            Some(RunwayEnd { runway, end: Some(end) })
        });
        by_end.or_else(|| {
            let (runway, _) = runways().find(|(i, _)| runway_name(&self.plan.field, *i) == of)?;
            Some(RunwayEnd { runway, end: None })
        })
    }

    fn runway_at_end(&self) -> Option<RunwayEnd> {
        let stop = self.route.stops.last().filter(|s| s.kind == StopKind::End)?;
        match (&stop.of, stop.name.strip_prefix("threshold ")) {
            (Some(of), _) => self.runway(of),
            (None, Some(designator)) if self.on_runway_at_end() => self.runway(&format!("runway {designator}")),
            _ => None,
        }
    }

    /// Whether the last leg lies on a runway.
    pub(super) fn on_runway_at_end(&self) -> bool {
        self.route.legs.last().is_some_and(|l| l.kind == LegKind::Runway)
    }

    /// Whether the way ends where a take-off begins.
    pub(super) fn departs(&self) -> bool {
        self.ends_at.is_some()
    }

    /// Index of the stop from which the runway of the take-off is entered.
    pub(super) fn enters_at(&self) -> Option<usize> {
        let ends_at = self.ends_at?;
        let stops = &self.route.stops;
        let last = stops.len().checked_sub(1)?;
        if stops[last].of.is_some() {
            return Some(last);
        }
        // It ends on the runway: the last line before that.
        let guards = |of: &Option<String>| of.as_deref().and_then(|o| self.runway(o)).map(|r| r.runway);
        let line = stops
            .iter()
            .rposition(|s| holds_short(s) && guards(&s.of) == Some(ends_at.runway));
        line.or(Some(last))
    }

    /// Whether the way begins where an aeroplane that has landed leaves its runway.
    pub(super) fn off_runway(&self) -> bool {
        let field = &self.plan.field;
        let Some(start) = self.route.stops.first() else {
            return false;
        };
        let designators = field.runways.iter().flat_map(|r| r.designators.iter().flatten());
        let mut names = designators.map(|d| format!("runway {d}"));
        start.name.starts_with("holding position ") || names.any(|n| n == start.name)
    }

    /// Whether the way ends on a stand.
    pub(super) fn ends_on_stand(&self) -> bool {
        let field = &self.plan.field;
        let end = self.route.stops.last().filter(|s| s.of.is_none());
        end.is_some_and(|s| (0..field.stands.len()).any(|i| stand_name(field, i) == s.name))
    }

    /// Direction of a take-off from an end of a runway, from true north.
    pub(super) fn direction(&self, runway: usize, end: usize) -> Option<Bearing> {
        let line = &self.plan.field.runways.get(runway)?.line;
        let along: Xy = *line.last()? - *line.first()?;
        let along = if end == 0 { along } else { along * -1.0 };
        (along.norm() > 0.0).then(|| along.direction().bearing())
    }

    /// "081", or "081 (compass 083)" where the compass deviates.
    pub(super) fn heading(&self, magnetic_deg: f64, compass_deg: f64) -> String {
        let (heading, compass) = (number::three(magnetic_deg), number::three(compass_deg));
        if heading == compass {
            heading
        } else {
            format!("{heading} (compass {compass})")
        }
    }

    /// The same of a true bearing.
    pub(super) fn heading_of(&self, true_bearing: Bearing) -> String {
        let magnetic_deg = number::bearing(legs::magnetic(true_bearing, self.plan.declination.deg));
        self.heading(magnetic_deg, magnetic_deg)
    }

    /// The lights of a list that are fitted, in words; `None` when the file says that none is.
    pub(super) fn lights(&self, wanted: &[Light]) -> Option<String> {
        let names = |list: &[&Light]| list.iter().map(|l| l.words()).collect::<Vec<_>>().join(", ");
        match &self.aircraft().lights {
            None => Some(format!("{}, as fitted", names(&wanted.iter().collect::<Vec<_>>()))),
            Some(fitted) => {
                let both: Vec<&Light> = wanted.iter().filter(|l| fitted.contains(l)).collect();
                (!both.is_empty()).then(|| names(&both))
            }
        }
    }

    /// Whether there are several engines.
    pub(super) fn several(&self) -> bool {
        self.aircraft().propellers.len() > 1
    }
}

/// A line.
pub(super) fn item(what: impl Into<String>, to_be: impl Into<String>) -> RunningItem {
    RunningItem {
        what: what.into(),
        to_be: Some(to_be.into()),
    }
}

/// "205 to 620 kPa".
pub(super) fn range_kpa(range: &[f64; 2]) -> String {
    format!("{} to {} kPa", range[0], range[1])
}
