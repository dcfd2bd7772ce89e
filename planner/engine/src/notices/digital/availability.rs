//! What an availability says: closed, or limited, when, and to whom it stays open.

use super::{Change, timesheet, usage};
use crate::carrier::aixm::tree::{Node, Space};
use crate::clean;
use crate::notices::condition::Condition;
use crate::notices::notam::{Effect, Notam, Target};

/// Elements of a slice that tell nothing about what is closed.
const BESIDE: [&str; 12] = [
    "validTime",
    "interpretation",
    "sequenceNumber",
    "correctionNumber",
    "featureLifetime",
    "availability",
    "extension",
    "annotation",
    "timeSliceMetadata",
    "designator",
    "associatedAirportHeliport",
    "name",
];

/// The effects of a change.
pub(super) fn effects(change: &Change, on: &Target, notam: &mut Notam, list: &mut Vec<Effect>) {
    let other = change
        .slice
        .children
        .iter()
        .filter(|c| !BESIDE.contains(&c.name.as_str()) && !c.is_nil());
    for o in other {
        let said = clean::name(&o.name);
        let text = format!("{}: it changes {said} too, which is not read", on.words());
        if !notam.unread.contains(&text) {
            notam.unread.push(text);
        }
    }
    let mut any = false;
    for property in change.slice.all(Space::Aixm, "availability") {
        for a in &property.children {
            any = true;
            if let Some(e) = one(change, on, a, notam) {
                list.push(e);
            }
        }
    }
    if !any {
        notam
            .unread
            .push(format!("{}: it says nothing of whether that is open", on.words()));
    }
}

fn one(change: &Change, on: &Target, a: &Node, notam: &mut Notam) -> Option<Effect> {
    let status = a
        .value(Space::Aixm, "operationalStatus")
        .unwrap_or_default()
        .to_ascii_uppercase();
    if status == "NORMAL" {
        return None;
    }
    let mut sheets = Vec::new();
    for t in a
        .all(Space::Aixm, "timeInterval")
        .filter(|t| !t.is_nil())
        .flat_map(|t| &t.children)
    {
        let (sheet, assumed) = timesheet::sheet(t);
        for text in assumed {
            let text = clean::sentence(&text);
            if !notam.assumed.contains(&text) {
                notam.assumed.push(text);
            }
        }
        sheets.extend(sheet);
    }
    if a.child(Space::Aixm, "specialDateAuthority")
        .is_some_and(|s| !s.is_nil())
    {
        let text = "its hours depend on holidays that are not known here; every day counts".to_string();
        if !notam.assumed.contains(&text) {
            notam.assumed.push(text);
        }
    }
    let usages: Vec<&Node> = a
        .all(Space::Aixm, "usage")
        .filter(|u| !u.is_nil())
        .flat_map(|u| &u.children)
        .collect();
    let open_to = match status.as_str() {
        "CLOSED" => usage::open_to(&usages, true),
        "LIMITED" | "" if !usages.is_empty() => usage::open_to(&usages, false),
        "LIMITED" => Some(Condition::Unknown(
            "what its limit allows, which stands in the text only".to_string(),
        )),
        other => Some(Condition::Unknown(format!(
            "what its status {} allows",
            if other.is_empty() {
                "(none given)".to_string()
            } else {
                clean::name(other)
            }
        ))),
    };
    Some(Effect {
        on: Target {
            said: described(a),
            ..on.clone()
        },
        from: change.period.from,
        until: change.period.until,
        schedule: sheets,
        open_to,
    })
}

/// The part that is meant, where a note describes it.
fn described(a: &Node) -> Option<String> {
    let notes = a.all(Space::Aixm, "annotation").flat_map(|n| &n.children);
    let mut found = notes.filter(|n| n.value(Space::Aixm, "purpose") == Some("DESCRIPTION"));
    let texts: Vec<String> = found
        .next()?
        .all(Space::Aixm, "translatedNote")
        .flat_map(|t| &t.children)
        .filter_map(|l| l.value(Space::Aixm, "note"))
        .map(clean::sentence)
        .collect();
    Some(
        texts
            .first()
            .cloned()
            .unwrap_or_else(|| "(a description without text)".to_string()),
    )
}
