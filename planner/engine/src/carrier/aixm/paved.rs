//! Pavement: elements of runways, taxiways and aprons, and work areas on it.

use super::desk::{Desk, Draft, named};
use super::store::Kind;
use super::tree::Space;
use super::usage::usage;
use crate::clean;

/// Elements of runways and taxiways that carry an aeroplane's wheels.
pub(super) fn elements(desk: &mut Desk<'_>) {
    let kinds = [
        (Kind::RunwayElement, "associatedRunway", Kind::Runway),
        (Kind::TaxiwayElement, "associatedTaxiway", Kind::Taxiway),
    ];
    for (kind, property, whole) in kinds {
        for (id, live) in desk.each(kind) {
            match live.node.value(Space::Aixm, "type") {
                Some("SHOULDER") => {
                    desk.leave_out(format!("{} of the type SHOULDER, which is not for wheels", kind.word()));
                    continue;
                }
                Some(word @ ("STOPWAY" | "CLEARWAY" | "BLAST_PAD" | "RESA" | "OVERRUN")) => {
                    desk.leave_out(format!(
                        "{} of the type {}, not to be rolled on",
                        kind.word(),
                        clean::name(word)
                    ));
                    continue;
                }
                _ => {}
            }
            let mut draft = Draft::of(id, live);
            draft.tag("toeline:area", "pavement");
            for (part_of, _) in desk.linked(&mut draft, &live.node, property, whole) {
                draft.also(&part_of.1);
            }
            draft.surface(&live.node);
            match desk.areas(live, "extent", &mut draft) {
                Some(area) => desk.put(draft, live, area),
                None => desk.leave_out(format!("{} without an extent", kind.word())),
            }
        }
    }
}

pub(super) fn aprons(desk: &mut Desk<'_>) {
    for (id, live) in desk.each(Kind::ApronElement) {
        let mut draft = Draft::of(id, live);
        draft.tag("aeroway", "apron");
        let mut allowed = usage(&live.node);
        let mut name = None;
        for (apron, a) in desk.linked(&mut draft, &live.node, "associatedApron", Kind::Apron) {
            draft.also(&apron.1);
            allowed = allowed.and(desk.usage(apron, a));
            name = name.or(named(&a.node, "name"));
        }
        draft.tag_some("name", name);
        draft.surface(&live.node);
        // Spans limit what taxies there: lines and stands bear it.
        allowed.span_m = None;
        draft.usage(allowed);
        match desk.areas(live, "extent", &mut draft) {
            Some(area) => desk.put(draft, live, area),
            None => desk.leave_out("ApronElement without an extent"),
        }
    }
}

/// Work areas, closed while one of their activities is in force.
pub(super) fn work_areas(desk: &mut Desk<'_>) {
    for (id, live) in desk.each(Kind::WorkArea) {
        let node = &live.node;
        let mut draft = Draft::of(id, live);
        let activities: Vec<_> = node.all(Space::Aixm, "activation").flat_map(|a| &a.children).collect();
        let active: Vec<_> = activities
            .iter()
            .filter(|a| a.value(Space::Aixm, "isActive") != Some("NO"))
            .collect();
        if !activities.is_empty() && active.is_empty() {
            desk.leave_out("WorkArea that is not active");
            continue;
        }
        let timed = |a: &&&&super::tree::Node| a.all(Space::Aixm, "timeInterval").any(|t| !t.children.is_empty());
        if !active.is_empty() && active.iter().filter(timed).count() == active.len() {
            draft.doubt("it is active by a timetable, which is not read; taken as closed all the time");
        }
        draft.tag("toeline:area", "closed");
        let works = node.value(Space::Aixm, "type").unwrap_or("works");
        let mut reason = clean::name(works).to_lowercase().replace('_', " ");
        if let Some(day) = node.value(Space::Aixm, "plannedOperational") {
            reason += &format!(", planned in operation {}", clean::name(day));
        }
        draft.tag("toeline:closed", reason);
        match desk.areas(live, "extent", &mut draft) {
            Some(area) => desk.put(draft, live, area),
            // In silence it would be driven through.
            None => desk.problems.push(format!(
                "{} ({}): it has no extent, so what it closes is not known",
                draft.id, live.place
            )),
        }
    }
}
