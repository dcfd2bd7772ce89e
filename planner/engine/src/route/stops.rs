//! Where the way stops: before every holding line on it, and at its end.

use super::assemble::{Assembly, Trip};
use super::resolve::Destination;
use super::search::World;
use super::{Stop, StopKind, limits};
use toeline_model::airfield::Nose;

/// How far behind a holding line the foremost part stops, metres (ours).
pub(crate) const HOLD_MARGIN_M: f64 = 1.0;

impl Assembly<'_> {
    /// Stops before every holding line that guards a runway, except the last.
    pub(super) fn hold_stops(&mut self, trip: &Trip<'_>) {
        let World { field, graph, aircraft } = self.world;
        let mut stops = Vec::new();
        let Some(end_node) = trip.on.last().map(|(_, d)| d.end(graph)) else {
            return;
        };
        for (node, way) in self.nodes.iter().filter(|n| n.0 != end_node) {
            for hold in graph.holds.iter().filter(|h| h.node == *node) {
                let Some(runway) = hold.guards else { continue };
                let stands_there = |s: &Stop| s.kind == StopKind::Place && s.line_at == Some(graph.at(*node));
                if self.stops.iter().any(stands_there) {
                    continue;
                }
                // A little before the node, so that a corner at it does not decide the direction.
                let Some((_, direction)) = self.guide.at((way - 0.05).max(0.0)) else {
                    continue;
                };
                if hold.toward.is_some_and(|t| t.to_rad(direction).abs() > 1.6) {
                    continue;
                }
                let Some(line_m) = self.along_path(graph.at(*node), *way, 0.0) else {
                    continue;
                };
                let at_m = (line_m - aircraft.foremost_ahead_of_nose_m() - HOLD_MARGIN_M).max(0.0);
                stops.push(Stop {
                    kind: StopKind::HoldShort,
                    name: hold.name.clone(),
                    of: Some(limits::runway_name(field, runway)),
                    at_m,
                    pose: self.path.pose_at(at_m),
                    line_at: Some(graph.at(*node)),
                    derived: hold.position.is_none(),
                });
            }
        }
        self.stops.extend(stops);
    }

    /// Stops at the end of the way.
    pub(super) fn end_stop(&mut self, destination: &Destination) {
        let World { field, graph, .. } = self.world;
        let Some((node, _)) = self.nodes.last() else { return };
        if let Some(stand) = destination.stand {
            self.end_at_stand(stand);
            return;
        }
        if let Some(designator) = &destination.threshold {
            self.end_at_threshold(designator);
            return;
        }
        let hold = destination.holds.get(node).map(|i| &graph.holds[*i]);
        let of = match (&destination.runway, hold.and_then(|h| h.guards)) {
            (Some((_, designator)), _) => Some(format!("runway {designator}")),
            (None, Some(i)) => Some(limits::runway_name(field, i)),
            (None, None) => None,
        };
        if let Some(past) = destination.past_threshold_m.get(node).filter(|m| **m > 60.0) {
            self.doubts.push(format!(
                "this way joins the runway {past:.0} m past the threshold: that much runway is left behind unless you backtrack"
            ));
        }
        self.stops.push(Stop {
            kind: StopKind::End,
            name: hold.map_or_else(|| self.request.to.clone(), |h| h.name.clone()),
            of,
            at_m: self.path.length_m(),
            pose: self.path.end(),
            line_at: Some(graph.at(*node)),
            derived: hold.is_some_and(|h| h.position.is_none()),
        });
    }

    /// Stops on the runway before its end.
    fn end_at_threshold(&mut self, designator: &str) {
        let name = format!("threshold {designator}");
        self.doubts.push(format!(
            "{name}: this way ends on the runway; turning about there and lining up is not in it"
        ));
        self.stops.push(Stop {
            kind: StopKind::End,
            name,
            of: None,
            at_m: self.path.length_m(),
            pose: self.path.end(),
            line_at: None,
            derived: false,
        });
    }

    /// Stops with the nose wheel on a stand's mark.
    fn end_at_stand(&mut self, stand: usize) {
        let World { field, .. } = self.world;
        let (name, pose) = (limits::stand_name(field, stand), self.path.end());
        let mapped = &field.stands[stand];
        let turned = mapped
            .heading
            .is_some_and(|h| h.yaw().to_rad(pose.heading_rad).abs() > core::f64::consts::FRAC_PI_2);
        if turned || (mapped.heading.is_none() && mapped.nose == Some(Nose::Out)) {
            self.doubts.push(format!(
                "{name} is for parking with the nose the other way: this way drives in nose first, turn the aeroplane by hand"
            ));
        }
        self.stops.push(Stop {
            kind: StopKind::End,
            name,
            of: None,
            at_m: self.path.length_m(),
            pose,
            line_at: None,
            derived: false,
        });
    }
}
