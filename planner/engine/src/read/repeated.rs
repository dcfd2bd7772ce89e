//! Identities that several features share.

use crate::notice::{Notice, NoticeKind};
use foldhash::fast::RandomState;
use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, HashMap};

/// Most places that a notice lists. Ours.
const LISTED: usize = 5;

/// A doubt for every identity that more than one feature bears, with the place of its first feature: the number in the
/// file from 0.
pub(super) fn repeated<'a>(features: impl Iterator<Item = (usize, &'a str)>) -> Vec<(usize, Notice)> {
    // Looked up, never walked through: nearly every identity is borne once.
    let mut first: HashMap<&str, usize, RandomState> =
        HashMap::with_capacity_and_hasher(features.size_hint().0, RandomState::default());
    let mut places: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (index, id) in features {
        match first.entry(id) {
            Entry::Vacant(place) => {
                place.insert(index);
            }
            Entry::Occupied(place) => places.entry(id).or_insert_with(|| vec![*place.get()]).push(index),
        }
    }
    places
        .into_iter()
        .map(|(id, list)| {
            let shown: Vec<String> = list.iter().take(LISTED).map(|i| (i + 1).to_string()).collect();
            let more = if list.len() > LISTED { " and more" } else { "" };
            let text = format!(
                "{} features of the file have this identity (numbers {}{more}); what is asked for by it is ambiguous",
                list.len(),
                shown.join(", ")
            );
            (list[0], Notice::new(NoticeKind::Doubt, id, text))
        })
        .collect()
}
