//! Cuts aerodromes out: of each all that is used and lies in its area, or within `AROUND_M` of that or of its pavement. Many
//! are cut out in the same readings.

use super::cutting::Cutting;
use super::element::{Element, Kind, Wants};
use super::listing::{self, Found};
use super::places::{Numbers, Places};
use super::source::Source;
use super::{AROUND_LIMIT, CarrierError, Cut};
use std::collections::BTreeSet;

/// Most aerodromes that are cut out in the same readings. Ours: each node is held against so many boxes.
const AT_ONCE: usize = 256;

/// How much is held is counted after so many elements. Ours.
const LOOK_EACH: usize = 1024;

/// Cuts one out.
pub(super) fn cut(source: &mut Source<'_>, found: &Found) -> Result<Cut, CarrierError> {
    let mut one = together(source, &[found], usize::MAX)?.unwrap_or_default();
    // One went in.
    one.pop().unwrap_or(Err(CarrierError::None))
}

/// What is done with each cut, by the aerodrome's number in the list; the answer says whether to go on.
type Take<'t> = dyn FnMut(usize, Result<Cut, CarrierError>) -> bool + 't;

/// Cuts several out and hands each over in order.
pub(super) fn cut_each(source: &mut Source<'_>, found: &[&Found], take: &mut Take<'_>) -> Result<(), CarrierError> {
    within(source, found, 2 * AROUND_LIMIT, take)
}

/// The same with at most so many nodes held at once, but for one aerodrome alone.
fn within(source: &mut Source<'_>, found: &[&Found], most: usize, take: &mut Take<'_>) -> Result<(), CarrierError> {
    let (mut next, mut size) = (0, AT_ONCE);
    while next < found.len() {
        let some = &found[next..found.len().min(next + size)];
        // Where one alone holds so much, that is for its own limits to say.
        let most = if some.len() == 1 { usize::MAX } else { most };
        let Some(cuts) = together(source, some, most)? else {
            size = some.len().div_ceil(2);
            continue;
        };
        for (i, cut) in cuts.into_iter().enumerate() {
            if !take(next + i, cut) {
                return Ok(());
            }
        }
        next += some.len();
        size = AT_ONCE.min(2 * size);
    }
    Ok(())
}

/// Those that are being cut out, each until something is too large for it.
type All<'f> = Vec<Result<Cutting<'f>, CarrierError>>;

/// Shows an element to each; tells how many nodes they hold.
fn show(all: &mut All<'_>, mut what: impl FnMut(&mut Cutting<'_>) -> Result<(), CarrierError>) {
    for one in all {
        if let Ok(cutting) = one
            && let Err(e) = what(cutting)
        {
            // Lets go of what it held.
            *one = Err(e);
        }
    }
}

fn held(all: &All<'_>) -> usize {
    all.iter().flatten().map(Cutting::held).sum()
}

/// Cuts some out in the same readings; `None` when they would hold more nodes than `most` together.
fn together(
    source: &mut Source<'_>,
    found: &[&Found],
    most: usize,
) -> Result<Option<Vec<Result<Cut, CarrierError>>>, CarrierError> {
    let mut all: All<'_> = found.iter().map(|f| Ok(Cutting::of(f))).collect();
    let mut reading = Reading::default();
    let whole = reading
        .nodes(source, &mut all, most)
        .and_then(|()| reading.ways(source, &mut all, most));
    match whole {
        Err(_) if reading.too_much => return Ok(None),
        whole => whole?,
    }
    let mut unlike = BTreeSet::new();
    let missing = all.iter().flatten().flat_map(Cutting::missing_ways).collect();
    let ways = listing::ways(source, Numbers::of(missing), &mut unlike)?;
    all.iter_mut().flatten().for_each(|c| c.take_ways(&ways, &unlike));
    let missing: Vec<i64> = all.iter().flatten().flat_map(Cutting::missing_nodes).collect();
    if !missing.is_empty() {
        let places: Places = listing::nodes(source, &Numbers::of(missing))?;
        all.iter_mut().flatten().for_each(|c| c.take_nodes(&places));
    }
    Ok(Some(all.into_iter().map(|c| c?.cut()).collect()))
}

/// Whether a way may come into a box at all.
struct Somewhere {
    /// The nodes in all boxes; `None` of one box alone, which asks for itself.
    nodes: Option<Numbers>,
}

impl Somewhere {
    fn of(all: &All<'_>) -> Somewhere {
        Somewhere {
            nodes: (all.len() > 1).then(|| Numbers::of(all.iter().flatten().flat_map(Cutting::nodes_in_box).collect())),
        }
    }

    fn has(&self, e: &Element<'_>) -> bool {
        // Places beside the numbers are for each box to look at.
        let beside = e.inline.iter().any(Option::is_some);
        self.nodes
            .as_ref()
            .is_none_or(|n| beside || e.refs.iter().any(|id| n.has(*id)))
    }
}

/// The readings that fill the boxes.
#[derive(Default)]
struct Reading {
    /// Whether one was given up because all together held too much.
    too_much: bool,
}

impl Reading {
    /// Ends a reading when all together hold too much; asked now and then.
    fn check(&mut self, seen: &mut usize, all: &All<'_>, most: usize) -> Result<(), CarrierError> {
        *seen += 1;
        if seen.is_multiple_of(LOOK_EACH) && held(all) > most {
            self.too_much = true;
            return Err(CarrierError::None);
        }
        Ok(())
    }

    /// The places of the nodes in the boxes, and the features among them.
    fn nodes(&mut self, source: &mut Source<'_>, all: &mut All<'_>, most: usize) -> Result<(), CarrierError> {
        let mut seen = 0;
        source.each(Wants::NODES, &mut |e| {
            let Some(place) = e.place else { return Ok(()) };
            show(all, |c| c.node(e, place));
            self.check(&mut seen, all, most)
        })?;
        all.iter_mut().flatten().for_each(Cutting::settle);
        Ok(())
    }

    /// The ways that come into the boxes, and the features among them and among the relations that they draw.
    fn ways(&mut self, source: &mut Source<'_>, all: &mut All<'_>, most: usize) -> Result<(), CarrierError> {
        let somewhere = Somewhere::of(all);
        let mut seen_ways = BTreeSet::new();
        let (mut after_a_relation, mut relations, mut seen) = (false, false, 0);
        let relation = |e: &Element<'_>, all: &mut All<'_>| show(all, |c| c.relation(e));
        source.each(Wants::of(false, true, true), &mut |e| {
            match e.id.0 {
                Kind::Way => {
                    after_a_relation |= relations;
                    // Most ways of a country come into no box.
                    if somewhere.has(e) || seen_ways.contains(&e.id.1) {
                        seen_ways.insert(e.id.1);
                        show(all, |c| c.way(e));
                    }
                }
                Kind::Relation => {
                    relations = true;
                    relation(e, all);
                }
                Kind::Node => {}
            }
            self.check(&mut seen, all, most)
        })?;
        // Relations that were seen before their ways are looked at once more.
        if after_a_relation {
            source.each(Wants::of(false, false, true), &mut |e| {
                relation(e, all);
                Ok(())
            })?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Cursor;

    /// Fields of one runway in a row, each with 600 nodes of buildings around it.
    fn country(fields: usize) -> String {
        use std::fmt::Write;
        let (mut text, mut ways) = (String::from("<osm>"), String::new());
        for f in 0..fields {
            let id = 1000 * (f + 1);
            for n in 0..600 {
                let (lon, lat) = (5.0 + 0.1 * f as f64, 45.0 + 1e-5 * n as f64);
                let _ = write!(text, "<node id=\"{}\" lon=\"{lon:.7}\" lat=\"{lat:.7}\"/>", id + n);
            }
            let _ = write!(
                ways,
                "<way id=\"{id}\"><nd ref=\"{id}\"/><nd ref=\"{}\"/><tag k=\"aeroway\" v=\"runway\"/></way>",
                id + 599
            );
        }
        text + &ways + "</osm>"
    }

    #[test]
    fn fewer_at_once_cut_the_same() {
        let text = country(7);
        let mut bytes = Cursor::new(text.as_bytes());
        let mut told = Vec::new();
        let mut progress = |p: crate::carrier::Progress| told.push(p.reading);
        let mut source = Source::open(&mut bytes, &mut progress).unwrap();
        let found = listing::list(&mut source).unwrap();
        let found: Vec<&Found> = found.iter().collect();
        assert_eq!(found.len(), 7);
        let alone: Vec<Cut> = found.iter().map(|f| cut(&mut source, f).unwrap()).collect();
        // All, three, two, and not even one within the bound.
        for most in [usize::MAX, 2000, 1300, 100] {
            let mut cuts = Vec::new();
            let mut take = |i: usize, cut: Result<Cut, CarrierError>| {
                assert_eq!(i, cuts.len());
                cuts.push(cut.unwrap());
                true
            };
            within(&mut source, &found, most, &mut take).unwrap();
            assert_eq!(cuts, alone, "{most}");
        }
        let mut seen = 0;
        let mut stop = |_: usize, _: Result<Cut, CarrierError>| {
            seen += 1;
            seen < 3
        };
        within(&mut source, &found, 1300, &mut stop).unwrap();
        assert_eq!(seen, 3);
    }
}
