//! All meetings of the lines, in rounds: a joint within the tolerance bends a line, and what is bent may cross its neighbour
//! anew. So the bent lines are looked at again until a round bends nothing.

use super::crossings::{Look, MEETING_LIMIT, Told, split, touch};
use super::net::{EXACT_M, Net, SAME_M};
use super::{Rules, ends};
use crate::notice::{Notice, NoticeKind};
use std::collections::BTreeSet;

/// Most rounds that join within the tolerance. Ours.
const ROUNDS: usize = 8;
/// Most rounds after those, in which lines get a place where they meet and nothing moves farther than [`EXACT_M`]. Ours.
const EXACT_ROUNDS: usize = 4;

/// Joins the lines wherever they cross or touch. Afterwards no two of them meet but at a place that both hold, unless a
/// doubt says so.
pub(super) fn meet(net: &mut Net<'_>, rules: Rules) {
    let mut told = (Told::default(), Told::default());
    net.take_bent();
    let all = Look {
        bent: None,
        reach_m: SAME_M,
    };
    split(net, rules, &all, &mut told.0);
    // After the crossings: a lane that crosses a runway at its end is a crossing.
    ends::snap(net, ends::Of::Runways);
    touch(net, rules, &all, &mut told.1);
    finish(net, rules, &mut told);
}

/// Joins what lines that were added or bent since meet, as the ways of stands to their lanes.
pub(super) fn again(net: &mut Net<'_>, rules: Rules) {
    finish(net, rules, &mut (Told::default(), Told::default()));
    if net.meetings_left == 0 {
        let text = format!(
            "the lines meet at more than {MEETING_LIMIT} places, as lines do that are drawn many times over; the rest of them may \
             meet unjoined"
        );
        net.say(Notice::new(NoticeKind::Doubt, "airfield", text));
    }
}

fn finish(net: &mut Net<'_>, rules: Rules, told: &mut (Told, Told)) {
    until_joined(net, rules, told);
    told.0
        .rest(net, "places where they cross without a shared point; joined there");
    told.1
        .rest(net, "points within the tolerance of a line that has none there; joined");
}

fn until_joined(net: &mut Net<'_>, rules: Rules, told: &mut (Told, Told)) {
    let bent = net.take_bent();
    let mut left = until_still(net, rules, (SAME_M, ROUNDS), bent, told);
    // Lines whose places may not become one are still to meet where they cross.
    for v in net.refused.iter().flat_map(|(a, b)| [*a, *b]) {
        left[net.now(v)] = true;
    }
    let left = until_still(net, rules, (EXACT_M, EXACT_ROUNDS), left, told);
    let mut told = BTreeSet::new();
    for v in (0..left.len()).filter(|v| left[*v]) {
        let Some(s) = net.users(v).first().copied().filter(|s| told.insert(*s)) else {
            continue;
        };
        let text = format!(
            "{} lies so close to other lines that joining them came to no end in {} rounds; it may meet one of them unjoined",
            net.name(s),
            ROUNDS + EXACT_ROUNDS
        );
        let notice = Notice::new(NoticeKind::Doubt, net.id(s), text);
        net.say(notice.with_place(Some(net.at(v))));
    }
}

/// Looks at the bent lines again until a round bends none, at most so many times; gives what the last round has bent.
fn until_still(
    net: &mut Net<'_>,
    rules: Rules,
    (reach_m, most): (f64, usize),
    mut bent: Vec<bool>,
    (crossed, touched): &mut (Told, Told),
) -> Vec<bool> {
    for _ in 0..most {
        if !bent.contains(&true) || net.meetings_left == 0 {
            break;
        }
        let look = Look {
            bent: Some(&bent),
            reach_m,
        };
        split(net, rules, &look, crossed);
        // What this round's crossings have bent is looked at by it too, and places go by the numbers they have now.
        let mut both = net.bent.clone();
        for v in (0..bent.len()).filter(|v| bent[*v]) {
            both[net.now(v)] = true;
        }
        bent = both;
        let look = Look {
            bent: Some(&bent),
            reach_m,
        };
        touch(net, rules, &look, touched);
        bent = net.take_bent();
    }
    bent
}
