//! Places of nodes by their numbers, and what is drawn through them.

use super::element::{Element, Place};

/// Places by number; looked up once they are settled.
#[derive(Default)]
pub(super) struct Places {
    list: Vec<(i64, Place)>,
    /// Numbers that are there with more than one place.
    unlike: Vec<i64>,
}

impl Places {
    pub(super) fn push(&mut self, id: i64, place: Place) {
        self.list.push((id, place));
    }

    pub(super) fn len(&self) -> usize {
        self.list.len()
    }

    pub(super) fn numbers(&self) -> impl Iterator<Item = i64> + '_ {
        self.list.iter().map(|(id, _)| *id)
    }

    /// Puts them in order. Of a number that is there twice the first counts.
    pub(super) fn settle(&mut self) {
        if !self.list.is_sorted_by(|a, b| a.0 < b.0) {
            self.list.sort_by_key(|(id, _)| *id);
            let unlike = &mut self.unlike;
            self.list.dedup_by(|again, first| {
                if again.0 == first.0 && again.1 != first.1 {
                    unlike.push(first.0);
                }
                again.0 == first.0
            });
            unlike.sort_unstable();
            unlike.dedup();
        }
        self.list.shrink_to_fit();
    }

    pub(super) fn get(&self, id: i64) -> Option<Place> {
        let i = self.list.binary_search_by_key(&id, |(id, _)| *id).ok()?;
        Some(self.list[i].1)
    }

    /// Those of some numbers, which are all wanted.
    pub(super) fn only(&self, wanted: Vec<i64>) -> Places {
        let wanted = Numbers::of(wanted).0;
        Places {
            list: wanted.iter().filter_map(|id| Some((*id, self.get(*id)?))).collect(),
            unlike: wanted.iter().copied().filter(|id| self.is_unlike(*id)).collect(),
        }
    }

    /// Whether the file has a number with more than one place.
    pub(super) fn is_unlike(&self, id: i64) -> bool {
        self.unlike.binary_search(&id).is_ok()
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

    /// How many of its nodes the file has with more than one place.
    pub(super) fn unlike(&self, known: &Places) -> usize {
        self.needs().filter(|id| known.is_unlike(*id)).count()
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
    /// These and others, whose numbers are not among these.
    pub(super) fn and(mut self, others: Places) -> Places {
        self.list.extend(others.list);
        self.unlike.extend(others.unlike);
        self.unlike.sort_unstable();
        self.settle();
        self
    }
}
