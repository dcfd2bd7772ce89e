//! The open intervals of a branch and bound: the smallest lower bound comes out first, and of equal ones the one that
//! went in first, so that the order of work is the same every time.

use core::cmp::Ordering;
use std::collections::BinaryHeap;

#[derive(Debug)]
struct Entry<T> {
    lower: f64,
    order: usize,
    item: T,
}

impl<T> PartialEq for Entry<T> {
    fn eq(&self, other: &Entry<T>) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl<T> Eq for Entry<T> {}

impl<T> PartialOrd for Entry<T> {
    fn partial_cmp(&self, other: &Entry<T>) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<T> Ord for Entry<T> {
    // Reversed, because the standard heap hands out the greatest.
    fn cmp(&self, other: &Entry<T>) -> Ordering {
        other.lower.total_cmp(&self.lower).then(other.order.cmp(&self.order))
    }
}

/// Open intervals with their lower bounds, and the smallest bound among those laid aside.
#[derive(Debug)]
pub(super) struct Queue<T> {
    heap: BinaryHeap<Entry<T>>,
    order: usize,
    aside: f64,
}

impl<T> Queue<T> {
    pub(super) fn new() -> Queue<T> {
        Queue {
            heap: BinaryHeap::new(),
            order: 0,
            aside: f64::INFINITY,
        }
    }

    /// Keeps an interval for later, or lays it aside for good when its lower bound is not below `enough`.
    pub(super) fn keep(&mut self, lower: f64, enough: f64, item: T) {
        if lower >= enough {
            self.aside = self.aside.min(lower);
        } else {
            self.order += 1;
            self.heap.push(Entry {
                lower,
                order: self.order,
                item,
            });
        }
    }

    /// The interval with the smallest lower bound, when that is below `enough`.
    pub(super) fn next(&mut self, enough: f64) -> Option<(f64, T)> {
        let entry = self.heap.pop()?;
        if entry.lower >= enough {
            // All others are no smaller.
            self.aside = self.aside.min(entry.lower);
            self.heap.clear();
            return None;
        }
        Some((entry.lower, entry.item))
    }

    /// Lays an interval aside that cannot be halved any more.
    pub(super) fn lay_aside(&mut self, lower: f64) {
        self.aside = self.aside.min(lower);
    }

    /// Lower bound over everything, kept or laid aside, that was ever put in and not halved.
    pub(super) fn lower(&self) -> f64 {
        self.heap.peek().map_or(self.aside, |e| e.lower.min(self.aside))
    }
}
