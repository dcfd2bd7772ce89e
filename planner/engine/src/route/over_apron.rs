//! A way that begins over unpainted apron: how the place is left, and the leg that it becomes.

use super::apron::{self, Join, Off};
use super::assemble::Assembly;
use super::departure::Departure;
use super::rounding::turns_of_arcs;
use super::search::{Directed, World};
use super::{Block, LegKind};
use crate::request::Request;
use std::collections::BTreeMap;
use toeline_model::path::Piece;
use toeline_model::units::KNOT_MPS;

/// The ways over the apron from a start that no line leads to.
#[derive(Debug, Default)]
pub(super) struct Over {
    joins: Vec<Join>,
    /// What the search is charged too much for every one of them, so that none is charged less than nothing: a lane joined
    /// at its end costs less than the whole lane, milliseconds.
    pub(super) credit_ms: u64,
    /// Why there is none.
    pub(super) refused: Option<Block>,
}

impl Over {
    /// The way onto a segment.
    pub(super) fn onto(&self, first: Option<Directed>) -> Option<&Join> {
        self.joins.iter().find(|j| Some(j.onto) == first)
    }
}

/// Where a way over the apron joins its first segment.
pub(super) struct Joined {
    /// Length of the way over the apron, metres.
    pub(super) over_m: f64,
    /// How much of the time along the segment is not driven, milliseconds.
    pub(super) skipped_ms: u64,
}

/// Leaving a start that no line leads to.
pub(super) fn leaving(world: World<'_>, request: &Request, off: &Off) -> Departure {
    let mut departure = Departure {
        name: off.name.clone(),
        pose: Some(off.pose),
        starts: BTreeMap::new(),
        at: off.pose.nose,
        pushed: None,
        over: None,
        doubts: Vec::new(),
    };
    let joins = match apron::join_lanes(world, request, off) {
        Ok(joins) => joins,
        Err(refused) => {
            departure.over = Some(Over {
                refused: Some(refused.block),
                ..Over::default()
            });
            return departure;
        }
    };
    departure.doubts.push(format!(
        "{}: the way over the unpainted apron was found by a search in position and heading; it is not proven the shortest",
        off.name
    ));
    if joins.iter().any(|j| !j.room.parked) {
        departure.doubts.push(format!(
            "{}: with aeroplanes on all the other stands no way was found over the apron; this one takes them as empty",
            off.name
        ));
    }
    let credit_ms = joins.iter().map(|j| j.skipped_ms(world)).max().unwrap_or(0);
    let price = |j: &Join| j.cost_ms + credit_ms - j.skipped_ms(world);
    departure.starts = joins.iter().map(|j| (j.onto, price(j))).collect();
    departure.over = Some(Over {
        joins,
        credit_ms,
        refused: None,
    });
    departure
}

impl Assembly<'_> {
    /// Drives over unpainted apron to where a lane is joined.
    pub(super) fn cross_apron(&mut self, join: &Join) {
        let World { field, aircraft, .. } = self.world;
        let at = join.path.start.nose;
        let apron = field.aprons.iter().find(|a| a.holds(at));
        let name = match apron.and_then(|a| a.name.as_deref()) {
            Some(name) => format!("unpainted apron {name}"),
            None => "unpainted apron".to_string(),
        };
        let feature = apron.map_or_else(String::new, |a| a.id.clone());
        let leg = self.extra_leg(LegKind::Apron, name.clone(), feature, aircraft.taxi.apron_kt * KNOT_MPS);
        let from_piece = self.path.pieces.len();
        let over = join.path.pieces.iter().map(|p| Piece { leg, ..*p });
        self.path.pieces.extend(over);
        self.turns.extend(turns_of_arcs(&self.path, from_piece, aircraft));
        let over_m = join.path.length_m();
        let what = format!("{name}, {over_m:.1} m and looking out");
        self.charge(vec![(what, join.cost_ms)], at);
        self.joined = Some(Joined {
            over_m,
            skipped_ms: join.skipped_ms(self.world),
        });
    }
}
