//! Loose ends of lanes: joined to the line they nearly touch, or doubted when they only come near it.

use super::near::Near;
use super::net::{Net, SAME_M};
use super::{NEAR_MISS_M, SNAP_M, Source};
use crate::notice::NoticeKind;

/// Joins every loose lane end that is within [`SNAP_M`] of another lane or runway.
pub(super) fn snap(net: &mut Net<'_>) {
    let near = Near::new(net, |n, s| !n.strands[s].is_stand());
    for strand in 0..net.strands.len() {
        if !matches!(net.strands[strand].source, Source::Lane(..)) {
            continue;
        }
        for at_start in [true, false] {
            one_end(net, &near, strand, at_start);
        }
    }
}

fn one_end(net: &mut Net<'_>, near: &Near, strand: usize, at_start: bool) {
    let s = &net.strands[strand];
    if s.v.len() < 2 || s.is_loop() {
        return;
    }
    let (end, other_end) = if at_start {
        (s.v[0], s.v[s.v.len() - 1])
    } else {
        (s.v[s.v.len() - 1], s.v[0])
    };
    let joined = |n: &Net<'_>, user: &usize| *user != strand && !n.strands[*user].is_stand();
    if net.users(end).iter().any(|u| joined(net, u)) || net.users(end).iter().filter(|u| **u == strand).count() > 1 {
        return;
    }
    let (level, p) = (s.level, net.at(end));
    let foot = near
        .feet(net, p, NEAR_MISS_M)
        .into_iter()
        .find(|f| f.strand != strand && net.strands[f.strand].level == level);
    let Some(foot) = foot else { return };
    let (id, name, other) = (net.id(strand), net.name(strand), net.name(foot.strand));
    let d = foot.distance_m;
    if d > SNAP_M {
        let text = format!(
            "an end of {name} is {d:.1} m from {other} without touching it; not joined (ends within {SNAP_M} m are)"
        );
        return net.tell(NoticeKind::Doubt, id, p, text);
    }
    let place = net.open(foot, SAME_M);
    // A lane shorter than the gap would vanish.
    if place == other_end && net.length_m(strand) > SNAP_M {
        return;
    }
    net.unite(end, place);
    net.tell(
        NoticeKind::Repair,
        id,
        net.at(place),
        format!("an end of {name} was {d:.2} m from {other}; joined"),
    );
}
