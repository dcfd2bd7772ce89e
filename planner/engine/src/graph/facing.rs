//! Which traffic a holding position is for, where the map says so.

use super::Source;
use super::holds::Placed;
use super::net::Net;
use crate::notice::Notice;
use crate::notice::NoticeKind::Doubt;
use toeline_model::Yaw;
use toeline_model::airfield::Facing;

/// Whether two directions are less than a right angle apart.
pub(super) fn agree(a: Yaw, b: Yaw) -> bool {
    a.to_rad(b).abs() < core::f64::consts::FRAC_PI_2
}

/// Direction of travel that a mapped holding position is for; `None` where the map does not say.
pub(super) fn travel(net: &Net<'_>, h: &Placed) -> Option<Yaw> {
    let forward = match net.field.holding_positions[h.position?].facing? {
        Facing::Toward(bearing) => return Some(bearing.yaw()),
        Facing::Forward => true,
        Facing::Backward => false,
    };
    // The sense is that of the lane it is mapped on: the first one through its place.
    let strand = net
        .users(h.vertex)
        .iter()
        .map(|s| &net.strands[*s])
        .find(|s| matches!(s.source, Source::Lane(..)))?;
    let at = strand.v.iter().position(|v| *v == h.vertex)?;
    let ends = (
        strand.v[at.saturating_sub(1)],
        strand.v[(at + 1).min(strand.v.len() - 1)],
    );
    let along = (net.at(ends.1) - net.at(ends.0)).direction();
    Some(if forward {
        along
    } else {
        along.turned(core::f64::consts::PI)
    })
}

/// Doubts those that face away from the runway that they are found to guard.
pub(super) fn doubt(net: &mut Net<'_>, list: &[Placed]) {
    for h in list {
        let (Some(p), Some(toward), Some(_)) = (h.position, h.toward, h.guards) else {
            continue;
        };
        let Some(facing) = travel(net, h).filter(|yaw| !agree(*yaw, toward)) else {
            continue;
        };
        let position = &net.field.holding_positions[p];
        let text = format!(
            "holding position {} faces traffic on {:03} deg, but the runway that it leads to lies on {:03} deg; the runway decides",
            position.name.as_ref().unwrap_or(&position.id),
            facing.bearing().spoken(),
            toward.bearing().spoken()
        );
        let at = net.at(h.vertex);
        net.say(Notice::new(Doubt, position.id.clone(), text).with_place(Some(at)));
    }
}
