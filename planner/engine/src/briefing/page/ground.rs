//! The field under the way: in full near it, thinned out and without what stands on it farther away. Widths of pavements
//! are true; lines are a few pixels wide at every zoom.

use super::trace::{Frame, STEADY, Trace, clipped, meets, thinned};
use crate::boxes::Boxes;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use toeline_model::Airfield;
use toeline_model::airfield::{Closed, HoldingPosition, ObstacleKind, Surface};
use toeline_model::frame::Xy;
use toeline_model::planar::{Shape, bounds, closest_on_line};

/// Width drawn for a runway whose width is not mapped, metres; only drawn, never reckoned with.
const RUNWAY_DRAWN_M: f64 = 18.0;
/// How far a drawn line may lie from the mapped one, metres: near the way and elsewhere (ours).
const NEAR_WITHIN_M: f64 = 0.1;
const FAR_WITHIN_M: f64 = 4.0;
/// Half the length of a cross on what is closed, and the way between two of them, metres.
const CROSS_M: f64 = 4.0;
const CROSSES_EVERY_M: f64 = 30.0;

fn ground(surface: Surface) -> &'static str {
    match surface {
        Surface::Grass => "grass",
        Surface::Loose => "loose",
        _ => "paved",
    }
}

/// A pavement's true width as a style; its edge is a pixel wider on each side, whatever one pixel shows (`--u`).
fn width(width_m: f64, edge: bool) -> String {
    if edge {
        format!("stroke-width:calc({width_m}px + (2px*var(--u)))")
    } else {
        format!("stroke-width:{width_m}px")
    }
}

/// What is drawn: which ground is near, and where the middle of the map is.
pub(super) struct Scene<'a> {
    pub(super) frame: Frame,
    pub(super) near: (Xy, Xy),
    pub(super) field: &'a Airfield,
}

impl Scene<'_> {
    fn within_m(&self, points: &[Xy]) -> f64 {
        if meets(points, &self.near) {
            NEAR_WITHIN_M
        } else {
            FAR_WITHIN_M
        }
    }

    fn line(&self, trace: &mut Trace, line: &[Xy]) {
        trace.add(&thinned(line, self.within_m(line)), false);
    }

    fn ring(&self, trace: &mut Trace, ring: &[Xy]) {
        trace.add(&thinned(ring, self.within_m(ring)), true);
    }

    fn coarse(&self) -> Trace {
        Trace::coarse(self.frame)
    }

    /// Draws all of it.
    pub(super) fn draw(&self, out: &mut String) {
        for apron in &self.field.aprons {
            let mut trace = self.coarse();
            self.ring(&mut trace, &apron.outer);
            for hole in &apron.holes {
                self.ring(&mut trace, hole);
            }
            trace.path(out, &format!("apron {}", ground(apron.surface)));
        }
        self.lanes(out);
        self.runways(out);
        self.centrelines(out);
        for (list, class) in [
            (&self.field.check_areas, "area check"),
            (&self.field.hot_spots, "area hot"),
            (&self.field.helipads, "area pad"),
        ] {
            for a in list.iter().filter(|a| meets(&a.outer, &self.near)) {
                let mut trace = self.coarse();
                self.ring(&mut trace, &a.outer);
                trace.path(out, class);
            }
        }
        self.closures(out);
        let mut stands = self.coarse();
        for stand in self.field.stands.iter().filter(|s| meets(&s.line, &self.near)) {
            self.line(&mut stands, &stand.line);
        }
        stands.path(out, "stand");
        self.obstacles(out);
        self.holding_lines(out);
    }

    /// Pavements of lanes by width and surface: the edges of all first, so that junctions are open.
    fn lanes(&self, out: &mut String) {
        let mut pavements: BTreeMap<(&str, i64), Trace> = BTreeMap::new();
        for lane in self.field.lanes.iter().filter(|l| l.closed.is_none()) {
            let Some(width_m) = lane.width_m.filter(|w| w.is_finite()) else {
                continue;
            };
            let key = (ground(lane.surface), (width_m * 10.0).round() as i64);
            let trace = pavements.entry(key).or_insert_with(|| self.coarse());
            self.line(trace, &lane.line);
        }
        let drawn: Vec<_> = pavements
            .into_iter()
            .map(|((surface, dm), trace)| (surface, dm as f64 / 10.0, trace.finish()))
            .collect();
        for inner in [false, true] {
            for (surface, width_m, d) in &drawn {
                let class = if inner { surface } else { "edge" };
                let _ = writeln!(
                    out,
                    "<path class=\"lane {class}\" style=\"{}\" d=\"{d}\"/>",
                    width(*width_m, !inner)
                );
            }
        }
    }

    fn runways(&self, out: &mut String) {
        for runway in &self.field.runways {
            let width_m = runway.width_m.unwrap_or(RUNWAY_DRAWN_M);
            let mut trace = self.coarse();
            self.line(&mut trace, &runway.line);
            let d = trace.finish();
            let soft = matches!(runway.surface, Surface::Grass | Surface::Loose);
            let kind = if soft { ground(runway.surface) } else { "hard" };
            let _ = writeln!(
                out,
                "<path class=\"lane edge dark\" style=\"{}\" d=\"{d}\"/><path class=\"lane runway {kind}\" style=\"{}\" d=\"{d}\"/>\
                 <path class=\"dashes {kind}\" {STEADY} d=\"{d}\"/>",
                width(width_m, true),
                width(width_m, false)
            );
            if runway.closed.is_some() {
                let mut crosses = self.coarse();
                self.crosses(&mut crosses, &runway.line, 2.0);
                crosses.path(out, "cross");
            }
        }
    }

    fn centrelines(&self, out: &mut String) {
        let (mut open, mut far, mut shut, mut crosses) = (self.coarse(), self.coarse(), self.coarse(), self.coarse());
        for lane in &self.field.lanes {
            if lane.closed.is_some() {
                self.line(&mut shut, &lane.line);
                self.crosses(&mut crosses, &lane.line, 1.0);
            } else if meets(&lane.line, &self.near) {
                self.line(&mut open, &lane.line);
            } else {
                self.line(&mut far, &lane.line);
            }
        }
        far.path(out, "centre");
        open.path(out, "centre");
        shut.path(out, "shut");
        crosses.path(out, "cross");
    }

    fn crosses(&self, trace: &mut Trace, line: &[Xy], times: f64) {
        let (half, every) = (CROSS_M * times, CROSSES_EVERY_M * times);
        let mut left_over = every / 2.0;
        for w in line.windows(2) {
            let length = w[0].distance(w[1]);
            let mut at = left_over;
            while at < length {
                let p = w[0].lerp(w[1], at / length);
                if meets(&[p], &self.near) {
                    for (dx, dy) in [(half, half), (half, -half)] {
                        let d = toeline_model::frame::xy(dx, dy);
                        trace.add(&[p - d, p + d], false);
                    }
                }
                at += every;
            }
            left_over = at - length;
        }
    }

    fn closures(&self, out: &mut String) {
        let (mut shut, mut crosses) = (self.coarse(), self.coarse());
        for c in &self.field.closures {
            if let Closed::Stretch(line) = &c.closed {
                self.line(&mut shut, line);
                self.crosses(&mut crosses, line, 1.0);
            }
            if let Some(ring) = c.closed.ring() {
                self.ring(&mut shut, ring);
                self.crosses(&mut crosses, ring, 1.0);
            }
        }
        shut.path(out, "shut");
        crosses.path(out, "cross");
    }

    fn obstacles(&self, out: &mut String) {
        let (mut fences, mut walls, mut hedges, mut trees, mut masts) = (
            self.coarse(),
            self.coarse(),
            self.coarse(),
            self.coarse(),
            Trace::fine(self.frame),
        );
        for o in &self.field.obstacles {
            let (lo, hi) = o.shape.bounds();
            if !meets(&[lo, hi], &self.near) {
                continue;
            }
            match (&o.shape, o.kind) {
                (Shape::Area { outer, holes }, kind) => {
                    let mut trace = self.coarse();
                    self.ring(&mut trace, outer);
                    for hole in holes {
                        self.ring(&mut trace, hole);
                    }
                    let class = match kind {
                        ObstacleKind::Hangar => "thing hangar",
                        ObstacleKind::ParkedAeroplane => "thing parked",
                        ObstacleKind::Tree | ObstacleKind::TreeRow | ObstacleKind::Hedge => "thing tree",
                        _ => "thing",
                    };
                    trace.path(out, class);
                }
                (Shape::Line { points }, kind) => {
                    let trace = match kind {
                        ObstacleKind::TreeRow | ObstacleKind::Hedge => &mut hedges,
                        ObstacleKind::Wall => &mut walls,
                        _ => &mut fences,
                    };
                    // A fence may run around the whole field: only what is near the way is drawn.
                    for part in clipped(points, &self.near) {
                        trace.add(&thinned(part, NEAR_WITHIN_M), false);
                    }
                }
                (Shape::Disc { at, radius_m }, ObstacleKind::Tree) => trees.disc(*at, *radius_m),
                (Shape::Disc { at, .. }, ObstacleKind::Windsock) => {
                    let (x, y) = self.frame.pt(*at);
                    let _ = writeln!(
                        out,
                        "<g transform=\"translate({x:.1} {y:.1})\"><path class=\"u sock\" d=\"M0 0v-12l13 2.5v4L0-3\"/></g>"
                    );
                }
                (Shape::Disc { at, .. }, _) => masts.add(&[*at, *at], false),
            }
        }
        trees.path(out, "thing tree");
        hedges.path(out, "hedge");
        walls.path(out, "wall");
        // A fence is a line with posts.
        let fences = fences.finish();
        if !fences.is_empty() {
            let _ = writeln!(
                out,
                "<path id=\"fence\" class=\"fence\" {STEADY} d=\"{fences}\"/><use href=\"#fence\" class=\"posts\"/>"
            );
        }
        masts.path(out, "mast");
    }

    /// Holding lines across the lane they lie on.
    fn holding_lines(&self, out: &mut String) {
        let lanes: Vec<&[Xy]> = self
            .field
            .lanes
            .iter()
            .map(|l| l.line.as_slice())
            .filter(|l| meets(l, &self.near))
            .collect();
        let boxes = Boxes::new(lanes.iter().filter_map(|l| bounds(l.iter().copied())).collect());
        let mut trace = Trace::fine(self.frame);
        let near = |h: &&HoldingPosition| meets(&[h.at], &self.near);
        for hold in self.field.holding_positions.iter().filter(near) {
            let around = boxes.all_meeting((hold.at, hold.at), 5.0).into_iter();
            let nearest = around
                .filter_map(|i| closest_on_line(hold.at, lanes[i]).map(|(q, k, _)| (q.distance(hold.at), lanes[i], k)))
                .min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, line, k)) = nearest else { continue };
            let along = line[k + 1] - line[k];
            let half = along.left() * (HOLDING_HALF_M / along.norm().max(1e-9));
            trace.add(&[hold.at - half, hold.at + half], false);
        }
        trace.path(out, "hold");
    }
}

/// Half the length drawn for a holding line, metres.
const HOLDING_HALF_M: f64 = 6.0;
