//! A fixed tree of boxes in the plane, laid out so that a question walks it from front to back without a stack.

use toeline_model::Xy;

/// A box with sides along the axes, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bounds {
    /// Lower-left corner.
    pub(super) low: Xy,
    /// Upper-right corner.
    pub(super) high: Xy,
}

impl Bounds {
    /// A box that holds nothing and meets nothing.
    pub(super) const NOTHING: Bounds = Bounds {
        low: Xy {
            x: f64::INFINITY,
            y: f64::INFINITY,
        },
        high: Xy {
            x: f64::NEG_INFINITY,
            y: f64::NEG_INFINITY,
        },
    };

    /// The smallest box around points.
    pub(super) fn around(points: impl IntoIterator<Item = Xy>) -> Bounds {
        points.into_iter().fold(Bounds::NOTHING, |b, p| b.with(p, p))
    }

    /// The smallest box around this one and two corners.
    pub(super) fn with(self, low: Xy, high: Xy) -> Bounds {
        Bounds {
            low: Xy {
                x: self.low.x.min(low.x),
                y: self.low.y.min(low.y),
            },
            high: Xy {
                x: self.high.x.max(high.x),
                y: self.high.y.max(high.y),
            },
        }
    }

    /// Whether two boxes have a point in common. One with a corner that is no number meets nothing.
    pub(super) fn meets(&self, other: &Bounds) -> bool {
        self.low.x <= other.high.x
            && other.low.x <= self.high.x
            && self.low.y <= other.high.y
            && other.low.y <= self.high.y
    }
}

/// A box of the tree: all that follows up to `skip` lies inside it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Node {
    bounds: Bounds,
    skip: usize,
    item: Option<usize>,
}

/// The tree, every box before those inside it.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Boxes {
    nodes: Vec<Node>,
}

impl Boxes {
    /// The tree of a list of boxes.
    pub(super) fn new(list: &[Bounds]) -> Boxes {
        let mut boxes = Boxes {
            nodes: Vec::with_capacity(2 * list.len()),
        };
        let mut order: Vec<usize> = (0..list.len()).collect();
        if !order.is_empty() {
            boxes.grow(list, &mut order);
        }
        boxes
    }

    fn grow(&mut self, list: &[Bounds], order: &mut [usize]) {
        let bounds = order
            .iter()
            .fold(Bounds::NOTHING, |b, i| b.with(list[*i].low, list[*i].high));
        let here = self.nodes.len();
        let item = (order.len() == 1).then(|| order[0]);
        self.nodes.push(Node { bounds, skip: 0, item });
        if item.is_none() {
            let wide = bounds.high.x - bounds.low.x >= bounds.high.y - bounds.low.y;
            let middle = |i: usize| {
                let b = &list[i];
                if wide { b.low.x + b.high.x } else { b.low.y + b.high.y }
            };
            order.sort_unstable_by(|a, b| middle(*a).total_cmp(&middle(*b)).then(a.cmp(b)));
            let (first, second) = order.split_at_mut(order.len() / 2);
            self.grow(list, first);
            self.grow(list, second);
        }
        self.nodes[here].skip = self.nodes.len();
    }

    /// Indices of the boxes that meet one, always in the same order.
    pub(super) fn meeting(&self, asked: Bounds) -> impl Iterator<Item = usize> + '_ {
        let mut next = 0;
        core::iter::from_fn(move || {
            while let Some(node) = self.nodes.get(next) {
                if node.bounds.meets(&asked) {
                    next += 1;
                    if node.item.is_some() {
                        return node.item;
                    }
                } else {
                    next = node.skip;
                }
            }
            None
        })
    }
}
