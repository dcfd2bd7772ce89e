//! Identities that several features share.

use crate::notice::{Notice, NoticeKind};
use std::collections::BTreeMap;

/// Most places that a notice lists. Ours.
const LISTED: usize = 5;

/// A doubt for every identity that more than one feature bears, with the place of its first feature: the number in the
/// file from 0.
pub(super) fn repeated<'a>(features: impl Iterator<Item = (usize, &'a str)>) -> Vec<(usize, Notice)> {
    let mut places: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (index, id) in features {
        places.entry(id).or_default().push(index);
    }
    places
        .into_iter()
        .filter(|(_, list)| list.len() > 1)
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
