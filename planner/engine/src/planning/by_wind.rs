//! The runway for the wind, when a request leaves it open: of the directions within the aeroplane's own limits for wind
//! across and from behind, the one with most wind from ahead.
//!
//! Limits are held against the gust where one is reported, and a variable wind may come from anywhere. Wind from ahead is
//! compared in whole knots (ours: no report is finer); of equal directions the cheapest way decides.

use super::instructed::{Radio, with_radio};
use super::{Outcome, PlanError};
use crate::clearance::Verdict;
use crate::request::Request;
use crate::route::{Block, NoWay, World};
use toeline_model::Wind;
use toeline_model::math;
use toeline_model::units::KNOT_MPS;

/// What [`Request::to`] holds when the runway is to be chosen by the wind.
pub const INTO_WIND: &str = "into-wind";

/// One direction of a runway in the wind, knots.
struct Direction {
    runway: usize,
    designator: String,
    /// Steady wind from ahead, whole knots; negative from behind.
    ahead_kt: i64,
    /// Greatest wind across, and from behind.
    across_kt: f64,
    behind_kt: f64,
}

fn directions(world: World<'_>, wind: &Wind, declination_deg: f64) -> Vec<Direction> {
    let steady_kt = wind.speed_mps() / KNOT_MPS;
    let most_kt = wind.gust_mps().map_or(steady_kt, |g| (g / KNOT_MPS).max(steady_kt));
    let mut list = Vec::new();
    for (runway, r) in world.field.runways.iter().enumerate() {
        let (Some(first), Some(last)) = (r.line.first(), r.line.last()) else {
            continue;
        };
        for (end, designator) in r.designators.iter().enumerate() {
            let Some(designator) = designator else { continue };
            let way = if end == 0 { *last - *first } else { *first - *last };
            let (ahead_kt, across_kt, behind_kt) = match (wind, wind.from_true(declination_deg)) {
                (_, Some(from)) => {
                    let off = way.direction().to_rad(from.yaw());
                    let (ahead, across) = (math::cos(off), math::sin(off).abs());
                    (steady_kt * ahead, most_kt * across, (-most_kt * ahead).max(0.0))
                }
                (Wind::Calm, None) => (0.0, 0.0, 0.0),
                (_, None) => (0.0, most_kt, most_kt),
            };
            list.push(Direction {
                runway,
                designator: designator.clone(),
                ahead_kt: ahead_kt.round() as i64,
                across_kt,
                behind_kt,
            });
        }
    }
    // Most wind from ahead first; the order of the map where it is equal.
    list.sort_by_key(|d| core::cmp::Reverse(d.ahead_kt));
    list
}

/// Why an aeroplane may not take off in a direction.
fn refused(world: World<'_>, d: &Direction) -> Option<Block> {
    let limits = &world.aircraft.wind_limits;
    let over = [
        ("across", d.across_kt, limits.crosswind_kt),
        ("from behind", d.behind_kt, limits.tailwind_kt),
    ];
    // A tenth of a knot is what is printed.
    let (what, value, limit) = over.into_iter().find(|(_, value, limit)| value - limit > 0.05)?;
    let runway = &world.field.runways[d.runway];
    Some(Block {
        feature: runway.id.clone(),
        text: format!(
            "runway {}: {value:.1} kt of wind {what}, this aeroplane's limit is {limit:.1} kt",
            d.designator
        ),
        at: runway.line[0],
    })
}

/// A request with the runway chosen, its outcome and what is said for it.
pub(super) type Chosen = (Request, Outcome, Radio);

/// Plans as [`with_radio`] does, with the runway chosen by the wind where the request leaves it open.
pub(super) fn with_runway(world: World<'_>, request: &Request, declination_deg: f64) -> Result<Chosen, PlanError> {
    if !request.to.trim().eq_ignore_ascii_case(INTO_WIND) {
        let (outcome, radio) = with_radio(world, request, declination_deg)?;
        return Ok((request.clone(), outcome, radio));
    }
    let all = directions(world, &request.wind, declination_deg);
    let (mut blocks, mut fit) = (Vec::new(), Vec::new());
    for d in all {
        match refused(world, &d) {
            Some(block) => blocks.push(block),
            None => fit.push(d),
        }
    }
    let mut none: Option<Chosen> = None;
    for equal in fit.chunk_by(|a, b| a.ahead_kt == b.ahead_kt) {
        let mut best: Option<((bool, u64), Chosen)> = None;
        for d in equal {
            let own = Request {
                to: d.designator.clone(),
                ..request.clone()
            };
            let (mut outcome, radio) = match with_radio(world, &own, declination_deg) {
                // A runway that no lane leads to is not to be chosen.
                Err(PlanError::Route(crate::route::RouteError::NoEntry { .. })) if fit.len() > 1 => continue,
                other => other?,
            };
            let rank = match &mut outcome {
                Outcome::Way(way) => {
                    way.route.doubts.push(told(world, d));
                    Some((way.clearance.verdict == Verdict::NotClear, way.route.cost_ms))
                }
                Outcome::NoWay(_) => None,
            };
            let chosen = (own, outcome, radio);
            match rank {
                Some(rank) if best.as_ref().is_none_or(|b| rank < b.0) => best = Some((rank, chosen)),
                Some(_) => {}
                None => none = none.or(Some(chosen)),
            }
        }
        if let Some((_, chosen)) = best {
            return Ok(chosen);
        }
    }
    if let Some(chosen) = none {
        return Ok(chosen);
    }
    let why = NoWay {
        unreachable: format!("a runway within the wind limits of {}", world.aircraft.name),
        from: request.from.clone(),
        blocks,
        fewest: None,
    };
    Ok((request.clone(), Outcome::NoWay(why), Radio::nothing()))
}

/// What the choice was made by, in a sentence.
fn told(world: World<'_>, d: &Direction) -> String {
    let limits = &world.aircraft.wind_limits;
    format!(
        "runway {} was chosen for the wind: {} kt from ahead, up to {:.1} kt across and {:.1} kt from behind (this aeroplane's limits \
         {:.0} and {:.0} kt); the tower's and the field's own choice comes first",
        d.designator, d.ahead_kt, d.across_kt, d.behind_kt, limits.crosswind_kt, limits.tailwind_kt
    )
}
