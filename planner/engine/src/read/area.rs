//! Aprons, engine-check areas and hot spots.

use super::geometry::Part;
use super::project;
use super::working::{Desk, Item};
use crate::notice::NoticeKind::{Doubt, LeftOut};
use toeline_model::airfield::NamedArea;

/// The areas of a feature. A closed line counts as the area it encloses.
pub(super) fn areas(desk: &mut Desk, item: &Item, what: &str, list: &mut Vec<NamedArea>) {
    let surface = desk.surface(item);
    for (i, part) in item.parts.iter().enumerate() {
        let outer = match part {
            Part::Area { outer, holes } => {
                if !holes.is_empty() {
                    desk.tell(
                        Doubt,
                        item,
                        format!("{what} with {} holes; the holes are not kept", holes.len()),
                    );
                }
                outer.clone()
            }
            other => match other.as_ring() {
                Some(ring) => ring,
                None => {
                    desk.tell(LeftOut, item, format!("{what} must be drawn as an area; left out"));
                    continue;
                }
            },
        };
        list.push(NamedArea {
            id: item.part_id(i),
            name: item.tags.called(),
            note: item.tags.text("description"),
            outer: project::ring(&desk.plane, &outer),
            surface,
        });
    }
}
