//! Places of nodes by their numbers, and what is drawn through them.

use super::element::{Element, Place};

/// Places by number; looked up once they are settled.
#[derive(Default)]
pub(super) struct Places(Vec<(i64, Place)>);

impl Places {
    pub(super) fn push(&mut self, id: i64, place: Place) {
        self.0.push((id, place));
    }

    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    /// Puts them in order. Of a number that is there twice the first counts.
    pub(super) fn settle(&mut self) {
        if !self.0.is_sorted_by(|a, b| a.0 < b.0) {
            self.0.sort_by_key(|(id, _)| *id);
            self.0.dedup_by_key(|(id, _)| *id);
        }
        self.0.shrink_to_fit();
    }

    pub(super) fn get(&self, id: i64) -> Option<Place> {
        let i = self.0.binary_search_by_key(&id, |(id, _)| *id).ok()?;
        Some(self.0[i].1)
    }
}

/// Numbers that are looked for.
#[derive(Default)]
pub(super) struct Numbers(Vec<i64>);

impl Numbers {
    pub(super) fn of(mut list: Vec<i64>) -> Numbers {
        list.sort_unstable();
        list.dedup();
        Numbers(list)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn has(&self, id: i64) -> bool {
        self.0.binary_search(&id).is_ok()
    }
}

/// A way's nodes, or its places where the carrier writes them.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Drawn {
    refs: Vec<i64>,
    inline: Vec<Option<Place>>,
}

impl Drawn {
    pub(super) fn of(e: &Element<'_>) -> Drawn {
        Drawn {
            // The numbers of the nodes tell more than their places where some of those are left out.
            refs: e.refs.to_vec(),
            inline: e.inline.to_vec(),
        }
    }

    pub(super) fn inline(inline: &[Option<Place>]) -> Drawn {
        Drawn {
            refs: Vec::new(),
            inline: inline.to_vec(),
        }
    }

    /// Numbers of the nodes whose places the carrier does not write beside them.
    pub(super) fn needs(&self) -> impl Iterator<Item = i64> + '_ {
        let open = self.refs.iter().enumerate();
        open.filter(|(i, _)| !matches!(self.inline.get(*i), Some(Some(_))))
            .map(|(_, id)| *id)
    }

    /// How many nodes it has.
    pub(super) fn len(&self) -> usize {
        self.refs.len().max(self.inline.len())
    }

    /// Its places, as far as they are known.
    pub(super) fn places(&self, known: &Places) -> Vec<Option<Place>> {
        (0..self.len())
            .map(|i| {
                let beside = self.inline.get(i).copied().flatten();
                beside.or_else(|| known.get(*self.refs.get(i)?))
            })
            .collect()
    }

    /// Whether it ends at the node where it begins.
    pub(super) fn is_closed(&self) -> bool {
        match (self.refs.as_slice(), self.inline.as_slice()) {
            ([first, .., last], _) => first == last,
            ([], [Some(first), .., Some(last)]) => first == last,
            _ => false,
        }
    }
}

impl Places {
    /// Each with its number.
    pub(super) fn each(self, mut take: impl FnMut(i64, Place)) {
        for (id, place) in self.0 {
            take(id, place);
        }
    }
}
