//! An instruction followed exactly: no taxiway that was not said, no runway met without its word, and otherwise the same
//! limits, prices and driven path as every way.

use super::Instruction;
use super::check::findings;
use super::error::InstructionError;
use super::meaning::{Meaning, meaning, up_to};
use super::names::Names;
use super::product::{Lifted, Product, State};
use super::way::{add_stops, before_first, never_met, segments, unclear_joins};
use crate::request::Request;
use crate::route::{
    Avoid, Block, Directed, NoWay, Query, Route, RouteError, World, closed_end, destination, finish, prepare,
};

/// What following an instruction gives.
#[derive(Clone, Debug, PartialEq)]
pub enum Followed {
    /// The way.
    Way {
        /// The way.
        route: Box<Route>,
        /// What was unclear, or used without having been said, in sentences. Empty when nothing was.
        notes: Vec<String>,
        /// Whether the instruction has to be asked about: it can be meant otherwise, or says no more of the way.
        unclear: bool,
        /// Where it ends, in a form that a request takes.
        to: String,
    },
    /// It cannot be followed; the blocks say why, each with the words and the place.
    NoWay(NoWay),
}

/// Why an instruction has no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum FollowError {
    /// It names what the map does not have, or can be read in several ways.
    Instruction(InstructionError),
    /// The request names what the map does not have.
    Route(RouteError),
}

impl From<InstructionError> for FollowError {
    fn from(e: InstructionError) -> FollowError {
        FollowError::Instruction(e)
    }
}

impl From<RouteError> for FollowError {
    fn from(e: RouteError) -> FollowError {
        FollowError::Route(e)
    }
}

/// Follows an instruction from the request's stand, by way of its areas. `request.to` is the end where the instruction
/// names none. Only `avoid.check_stands` is heeded: what was said is not changed because a part comes near something.
///
/// # Errors
/// Names that the map does not have, with the place in the text; a stand or an area that is not there.
pub fn follow(
    world: World<'_>,
    request: &Request,
    declination_deg: f64,
    said: &Instruction,
    avoid: &Avoid,
) -> Result<Followed, FollowError> {
    let names = Names::of(world.field, world.graph);
    if let Some((end, block)) = closed(world, &names, said)? {
        return Ok(Followed::NoWay(told(world, request, &end, vec![block])));
    }
    let whole = meaning(world, &names, request, said)?;
    let mut prepared = match prepare(world, request, whole.destination.clone())? {
        Ok(prepared) => prepared,
        Err(why) => return Ok(Followed::NoWay(why)),
    };
    let avoid = Avoid {
        check_stands: avoid.check_stands,
        ..Avoid::default()
    };
    let base = Product {
        world,
        names: &names,
        meaning: &whole,
        query: &prepared.query,
        avoid: &avoid,
        lifted: Lifted::default(),
        not_at: None,
        up_to_ms: None,
    };
    let mut notes = Vec::new();
    let mut found = base.cheapest();
    // "Taxi via A, hold short of runway 18" and no more of the way: it ends there for now.
    let short = (found.is_none()).then(|| last_short(world, &names, &whole)).flatten();
    let mut shorter_query = None;
    if let Some(shorter) = &short {
        let query = Query {
            ends: shorter.destination.ends.clone(),
            ..prepared.query.clone()
        };
        let product = Product {
            meaning: shorter,
            query: &query,
            ..base
        };
        found = product.cheapest();
        if found.is_some() {
            notes.push(format!(
                "the instruction says no more of the way to {} after holding short: this way ends at {}",
                whole.end, shorter.end
            ));
            shorter_query = Some(query);
        }
    }
    let meaning = match (&short, &shorter_query) {
        (Some(shorter), Some(_)) => shorter,
        _ => &whole,
    };
    let query = shorter_query.as_ref().unwrap_or(&prepared.query);
    let product = Product { meaning, query, ..base };
    let Some((price, way)) = found else {
        return Ok(Followed::NoWay(no_way(&product, request, said)));
    };
    let list = segments(&way);
    let never = never_met(&names, world, meaning, said, &list);
    if !never.is_empty() {
        return Ok(Followed::NoWay(told(world, request, &meaning.end, never)));
    }
    let joins = unclear_joins(&product, price, &way);
    let ends_short = shorter_query.is_some();
    let unclear = !joins.is_empty() || ends_short;
    notes.extend(joins);
    notes.extend(before_first(&product, &way));
    notes.extend(unnamed_end(&product));
    notes.extend(elsewhere(world, request, &list, &meaning.end));
    let on = way.iter().map(|s: &State| (s.layer, s.on)).collect();
    let end = meaning.destination.clone();
    prepared.end_at(end);
    let mut route = finish(world, request, declination_deg, &prepared, on, avoid.check_stands);
    let to = match (&said.holding_point, &route.stops.last()) {
        (None, _) if !ends_short => said
            .runway
            .as_ref()
            .map_or(Ok(request.to.clone()), |r| names.runway(&said.text, r).map(|r| r.1))?,
        (_, Some(end)) => end.name.clone(),
        (_, None) => request.to.clone(),
    };
    add_stops(&names, world, meaning, &list, &mut route);
    Ok(Followed::Way {
        route: Box::new(route),
        notes,
        unclear,
        to,
    })
}

/// The segments of the way that an instruction means, when there is one.
pub(super) fn segments_of(
    world: World<'_>,
    names: &Names<'_>,
    request: &Request,
    said: &Instruction,
) -> Option<Vec<Directed>> {
    let meaning = meaning(world, names, request, said).ok()?;
    let prepared = prepare(world, request, meaning.destination.clone()).ok()?.ok()?;
    let avoid = Avoid::default();
    let product = Product {
        world,
        names,
        meaning: &meaning,
        query: &prepared.query,
        avoid: &avoid,
        lifted: Lifted::default(),
        not_at: None,
        up_to_ms: None,
    };
    product.cheapest().map(|(_, way)| segments(&way))
}

/// The instruction up to its last word, when that is to hold short of a runway.
fn last_short(world: World<'_>, names: &Names<'_>, whole: &Meaning) -> Option<Meaning> {
    let k = whole.words.len().checked_sub(1)?;
    (!whole.words[k].crosses && !whole.free)
        .then(|| up_to(world, names, whole, k))
        .flatten()
}

/// Where the end is only one of several that the name could mean.
fn unnamed_end(product: &Product<'_>) -> Option<String> {
    let holds: std::collections::BTreeSet<usize> = product.meaning.destination.holds.values().copied().collect();
    let several = holds.len() > 1 && product.meaning.end.starts_with("holding position");
    several.then(|| {
        format!(
            "{} places answer to {}; the way goes to the one that is reached first by what was said",
            holds.len(),
            product.meaning.end
        )
    })
}

/// Where the instruction ends elsewhere than was asked.
fn elsewhere(world: World<'_>, request: &Request, list: &[Directed], end: &str) -> Option<String> {
    let asked = destination(world.field, world.graph, &request.to).ok()?;
    let there = list.last().is_some_and(|d| asked.ends.contains_key(d));
    (!there).then(|| format!("the instruction ends at {end}, not at {} as asked", request.to))
}

/// The end of the instruction, when it is closed, and why.
fn closed(world: World<'_>, names: &Names<'_>, said: &Instruction) -> Result<Option<(String, Block)>, FollowError> {
    let runway = said.runway.as_ref().map(|r| names.runway(&said.text, r)).transpose()?;
    let mut ends = Vec::new();
    ends.extend(runway.as_ref().map(|r| (format!("runway {}", r.1), r.1.clone())));
    if let Some(name) = &said.holding_point {
        let holds = names.holding_positions(&said.text, name, runway.as_ref().map(|r| r.0))?;
        if let [one] = holds.as_slice() {
            let hold = &world.graph.holds[*one];
            let id = hold.position.map(|p| world.field.holding_positions[p].id.clone());
            ends.extend(id.map(|id| (format!("holding position {}", hold.name), id)));
        }
    }
    let shut = ends
        .into_iter()
        .find_map(|(end, asked)| Some((end, closed_end(world.field, world.graph, &asked)?)));
    Ok(shut)
}

fn told(world: World<'_>, request: &Request, end: &str, blocks: Vec<Block>) -> NoWay {
    NoWay {
        unreachable: format!("{end} by the way instructed"),
        from: crate::route::stand(world.field, &request.from)
            .map_or_else(|_| request.from.clone(), |s| crate::route::stand_name(world.field, s)),
        blocks,
        fewest: None,
    }
}

/// Why there is no way as instructed.
fn no_way(product: &Product<'_>, request: &Request, said: &Instruction) -> NoWay {
    // Is it only the area that the way instructed does not pass?
    for (k, area) in request.via.iter().enumerate() {
        let query = Query {
            via: product.query.via[..k].to_vec(),
            ..product.query.clone()
        };
        let without = Product {
            query: &query,
            ..*product
        };
        let more = Query {
            via: product.query.via[..=k].to_vec(),
            ..product.query.clone()
        };
        let with = Product {
            query: &more,
            ..*product
        };
        if let (Some((_, way)), None) = (without.cheapest(), with.cheapest()) {
            let blocks = way.last().map(|s| Block {
                feature: area.clone(),
                text: format!("the way instructed does not pass engine-check area {area}"),
                at: product.world.graph.at(s.on.end(product.world.graph)),
            });
            return told(
                product.world,
                request,
                &product.meaning.end,
                blocks.into_iter().collect(),
            );
        }
    }
    told(product.world, request, &product.meaning.end, findings(product, said))
}
