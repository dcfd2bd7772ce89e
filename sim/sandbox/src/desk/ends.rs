//! The points that were chosen: where the way starts, what it goes by, where it ends; and the planner's request made of
//! them.

use super::pick::{Place, asked};
use bevy::prelude::Resource;
use toeline_engine::Request;
use toeline_engine::odds::OddsAsked;
use toeline_engine::request::{DEFAULT_MARGIN_M, DEFAULT_VERTICAL_MARGIN_M};
use toeline_model::date::Date;
use toeline_model::{Aircraft, Airfield, Wind};

/// What a chosen point is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The start.
    From,
    /// The n-th place to go by.
    Via(usize),
    /// The end.
    To,
}

impl Role {
    /// Whether a place can have this role.
    pub fn admits(self, place: Place) -> bool {
        match self {
            Role::From => matches!(place, Place::Stand(_)),
            Role::Via(_) => matches!(place, Place::CheckArea(_)),
            Role::To => matches!(place, Place::Hold(_) | Place::RunwayEnd(..)),
        }
    }

    /// What the map writes beside the point.
    pub fn word(self) -> &'static str {
        match self {
            Role::From => "START",
            Role::Via(_) => "CHECK",
            Role::To => "END",
        }
    }
}

/// The chosen points.
#[derive(Resource, Clone, Debug, Default, PartialEq, Eq)]
pub struct Ends {
    /// Start: a stand.
    pub from: Option<Place>,
    /// Engine-check areas, in order.
    pub via: Vec<Place>,
    /// End: a holding position or a runway.
    pub to: Option<Place>,
}

impl Ends {
    /// A click on a place: a stand starts, an area is gone by (a second click takes it out), a holding position or a runway
    /// ends.
    pub fn click(&mut self, place: Place) {
        match place {
            Place::Stand(_) => self.from = Some(place),
            Place::CheckArea(_) => match self.via.iter().position(|v| *v == place) {
                Some(i) => {
                    self.via.remove(i);
                }
                None => self.via.push(place),
            },
            Place::Hold(_) | Place::RunwayEnd(..) => self.to = Some(place),
        }
    }

    /// All chosen points with their roles.
    pub fn all(&self) -> Vec<(Role, Place)> {
        let mut list: Vec<(Role, Place)> = self.from.iter().map(|p| (Role::From, *p)).collect();
        list.extend(self.via.iter().enumerate().map(|(i, p)| (Role::Via(i), *p)));
        list.extend(self.to.iter().map(|p| (Role::To, *p)));
        list
    }

    /// The same points with one of them moved to another place; unchanged when the place cannot have that role.
    pub fn moved(&self, role: Role, to: Place) -> Ends {
        let mut ends = self.clone();
        if !role.admits(to) {
            return ends;
        }
        match role {
            Role::From => ends.from = Some(to),
            Role::To => ends.to = Some(to),
            Role::Via(i) => {
                if let Some(v) = ends.via.get_mut(i) {
                    *v = to;
                }
                let mut seen: Vec<Place> = Vec::new();
                ends.via.retain(|v| {
                    let new = !seen.contains(v);
                    seen.push(*v);
                    new
                });
            }
        }
        ends
    }

    /// What is still to be clicked, in words; `None` when a way can be asked for.
    pub fn missing(&self) -> Option<&'static str> {
        match (self.from, self.to) {
            (None, _) => Some("Click the stand where the aeroplane is parked."),
            (_, None) => Some(
                "Click the engine-check area to go by, if any, and then the holding position or the runway to end at.",
            ),
            _ => None,
        }
    }

    /// The points of a request, as far as the field has them.
    pub fn of(field: &Airfield, request: &Request) -> Ends {
        let find = |word: &str, role: Role| {
            let runways = (0..field.runways.len()).flat_map(|i| [Place::RunwayEnd(i, 0), Place::RunwayEnd(i, 1)]);
            let mut places = runways
                .chain((0..field.stands.len()).map(Place::Stand))
                .chain((0..field.check_areas.len()).map(Place::CheckArea))
                .chain((0..field.holding_positions.len()).map(Place::Hold));
            places.find(|p| role.admits(*p) && asked(field, *p).eq_ignore_ascii_case(word.trim()))
        };
        Ends {
            from: find(&request.from, Role::From),
            via: request.via.iter().filter_map(|v| find(v, Role::Via(0))).collect(),
            to: find(&request.to, Role::To),
        }
    }

    /// The planner's request; `None` while a point is missing.
    pub fn request(&self, field: &Airfield, aircraft: &Aircraft, wind: Wind, date: Date) -> Option<Request> {
        Some(Request {
            aircraft: aircraft.clone(),
            from: asked(field, self.from?),
            parked_heading: None,
            via: self.via.iter().map(|v| asked(field, *v)).collect(),
            to: asked(field, self.to?),
            wind,
            date,
            margin_m: DEFAULT_MARGIN_M,
            vertical_margin_m: DEFAULT_VERTICAL_MARGIN_M,
            accuracy_m: None,
            rule: Default::default(),
            instruction: None,
            notams: Vec::new(),
            time_utc: None,
            // The map answers while a point is dragged; thousands of simulated drives would keep it waiting.
            odds: OddsAsked {
                drives: 0,
                ..OddsAsked::default()
            },
        })
    }
}
