//! Lines on different levels: a bridge or a tunnel goes on where another line ends, and passes where neither ends.

use super::net::{Net, grid};
use crate::notice::{Notice, NoticeKind};
use std::collections::{BTreeSet, HashMap};

/// Joins the lines that share a point on different levels, where at least one of them ends; doubts the other such points.
pub(super) fn join(net: &mut Net<'_>) {
    let Some(first) = net.strands.first().map(|s| s.level) else {
        return;
    };
    if net.strands.iter().all(|s| s.level == first) {
        return;
    }
    let ends: BTreeSet<usize> = net
        .strands
        .iter()
        .flat_map(|s| [s.v.first(), s.v.last()])
        .flatten()
        .copied()
        .collect();
    // Looked up, never walked through.
    let mut by_grid: HashMap<(i64, i64), Vec<usize>> = HashMap::new();
    let mut pairs = Vec::new();
    for v in (0..net.place_count()).filter(|v| !net.users(*v).is_empty()) {
        let here = by_grid.entry(grid(net.at(v))).or_default();
        pairs.extend(here.iter().map(|other| (v, *other)));
        here.push(v);
    }
    for (a, b) in pairs {
        if ends.contains(&a) || ends.contains(&b) {
            net.unite(a, b);
            continue;
        }
        let (one, two) = (net.users(b)[0], net.users(a)[0]);
        let (one, two) = (one.min(two), one.max(two));
        let text = format!(
            "{} and {} share a point but are on levels {} and {}; not joined",
            net.name(one),
            net.name(two),
            net.strands[one].level,
            net.strands[two].level
        );
        let notice = Notice::new(NoticeKind::Doubt, net.id(two), text).with_place(Some(net.at(a)));
        net.say(notice.with_size(0.0).with_assumption("one passes over the other"));
    }
    net.settle();
}
