//! The plan for programs: complete enough to check every figure without our code. Lengths in metres, angles in radians
//! or degrees, each with its unit in the key; the order of keys and lists is fixed.

use super::json_form::*;
use super::number::{fine, fine_rad, fine_xy, gap, gap_fine};
use super::{Briefing, shape_json};
use crate::clearance::{Clearance, Compared, Considered, Gap, HoldRoom, RowFound};
use crate::notice::Notice;
use crate::planning::{Outcome, Plan, Way};
use crate::route::{BLAST_HALF_ANGLE_DEG, BlastOn, Block, CheckOther, CheckStand, CostTerm, Leg, Route, Stop, Turn};
use toeline_model::aircraft::parts;
use toeline_model::planar::signed_area;

/// Version of this form.
pub const FORMAT: u32 = 1;

/// Writes a plan as JSON on one line.
pub fn json(plan: &Plan, briefing: &Briefing) -> String {
    let field = &plan.field;
    let document = Document {
        toeline_plan: FORMAT,
        made_by: format!("toeline {}", env!("CARGO_PKG_VERSION")),
        caution: &briefing.caution,
        attribution: briefing.attribution.as_deref(),
        frame: Frame {
            kind: "azimuthal equidistant, WGS 84",
            axes: "x east, y north at the origin, metres; angles anticlockwise from x, bearings clockwise from true north",
            body_axes: "x forward of the middle of the main axle, y left, z up from the ground, metres",
            origin_lon_deg: fine_rad(field.origin.lon_deg),
            origin_lat_deg: fine_rad(field.origin.lat_deg),
        },
        field: FieldOut {
            name: &field.name,
            invented: field.invented,
            elevation_m: field.elevation_m,
            accuracy_m: fine(field.accuracy_m),
            accuracy_stated: field.accuracy_stated,
        },
        declination: DeclinationOut {
            east_deg: fine(plan.declination.deg),
            source: &plan.declination.source,
        },
        request: &plan.request,
        parts: parts::parts(&plan.request.aircraft)
            .iter()
            .map(shape_json::part)
            .collect(),
        outcome: match &plan.outcome {
            Outcome::Way(way) => OutcomeOut::Way(Box::new(way_out(way))),
            Outcome::NoWay(none) => OutcomeOut::NoWay {
                unreachable: &none.unreachable,
                from: &none.from,
                blocks: none.blocks.iter().map(block).collect(),
                fewest: none.fewest,
            },
        },
        notices: plan.notices.iter().map(notice).collect(),
        briefing,
    };
    // A struct of strings and numbers always serialises.
    let mut out = serde_json::to_string(&document).unwrap_or_default();
    out.push('\n');
    out
}

fn block(b: &Block) -> BlockOut<'_> {
    BlockOut {
        feature: &b.feature,
        text: &b.text,
        at_xy_m: fine_xy(b.at),
    }
}

fn way_out(way: &Way) -> WayOut<'_> {
    let (r, c): (&Route, &Clearance) = (&way.route, &way.clearance);
    WayOut {
        verdict: c.verdict,
        parts_verdict: c.parts_verdict,
        edge_verdict: c.edge_verdict,
        hold_verdict: c.hold_verdict,
        rule: c.rule,
        margin_m: fine(c.margin_m),
        vertical_margin_m: fine(c.vertical_margin_m),
        accuracy_m: fine(c.accuracy_m),
        accuracy_from: &c.accuracy_from,
        length_m: fine(r.path.length_m()),
        wheelbase_m: fine(r.path.wheelbase_m),
        start: shape_json::pose(&r.path.start),
        pieces: r.path.pieces.iter().map(shape_json::piece).collect(),
        track: shape_json::track(&r.path),
        legs: r
            .legs
            .iter()
            .enumerate()
            .map(|(i, l)| LegOut {
                number: i + 1,
                leg: leg(l),
            })
            .collect(),
        turns: r.turns.iter().map(turn).collect(),
        stops: r.stops.iter().map(stop).collect(),
        engine_check: r.check.as_ref().map(check),
        costs: r.costs.iter().map(cost).collect(),
        cost_ms: r.cost_ms,
        obstacles: c.considered.iter().enumerate().map(obstacle).collect(),
        gaps: c.gaps.iter().map(gap_out).collect(),
        odds: &way.odds,
        curve: c
            .curve
            .iter()
            .map(|x| CellOut {
                from_m: fine(x.from_m),
                to_m: fine(x.to_m),
                gap_m: shape_json::bound(x.gap_m),
            })
            .collect(),
        edges: c
            .edges
            .iter()
            .map(|e| EdgeOut {
                leg: e.leg + 1,
                room_m: e.room_m.map(fine),
                at_m: fine(e.at_m),
                verdict: e.verdict,
            })
            .collect(),
        holds: c.holds.iter().map(hold).collect(),
        compared: c.compared.iter().map(compared).collect(),
        remedies: &c.remedies,
        swept: c
            .swept
            .iter()
            .map(|ring| SweptOut {
                hole: signed_area(ring) < 0.0,
                ring_xy_m: shape_json::ring(ring),
            })
            .collect(),
        lacks: &c.lacks,
        doubts: &r.doubts,
        given_up: &way.given_up,
        gone_around: &way.gone_around,
    }
}

fn leg(l: &Leg) -> LegPlain<'_> {
    LegPlain {
        kind: l.kind,
        name: &l.name,
        letters: &l.letters,
        feature: &l.feature,
        from_m: fine(l.from_m),
        to_m: fine(l.to_m),
        width_m: l.width_m.map(fine),
        surface: l.surface,
        speed_mps: fine(l.speed_mps),
        slope_percent: l.slope_percent,
        mapped_line_xy_m: shape_json::ring(&l.mapped_line),
    }
}

fn turn(t: &Turn) -> TurnOut {
    TurnOut {
        from_m: fine(t.from_m),
        to_m: fine(t.to_m),
        left_rad: fine_rad(t.left_rad),
        radius_m: fine(t.radius_m),
        nose_wheel_rad: fine_rad(t.nose_wheel_rad),
        means: t.means,
        off_line_m: fine(t.off_line_m),
        off_tracking_m: fine(t.off_tracking_m),
        edge_room_m: t.edge_room_m.map(fine),
    }
}

fn stop(s: &Stop) -> StopOut<'_> {
    StopOut {
        kind: s.kind,
        name: &s.name,
        of: &s.of,
        at_m: fine(s.at_m),
        pose: shape_json::pose(&s.pose),
        line_at_xy_m: s.line_at.map(fine_xy),
        derived: s.derived,
    }
}

fn cost(c: &CostTerm) -> CostOut<'_> {
    CostOut {
        what: &c.what,
        at_xy_m: fine_xy(c.at),
        cost_ms: c.cost_ms,
    }
}

fn obstacle((i, o): (usize, &Considered)) -> ObstacleOut<'_> {
    ObstacleOut {
        number: i + 1,
        feature: &o.feature,
        name: &o.name,
        against: o.against,
        shape: shape_json::shape(&o.shape),
        bottom_m: fine(o.bottom_m),
        top_m: o.top_m.map(fine),
        sure: o.sure,
    }
}

fn gap_out(g: &Gap) -> GapOut<'_> {
    GapOut {
        obstacle: g.obstacle + 1,
        part: &g.part,
        gap_m: gap_fine(g.gap_m),
        gap_shown_m: gap(g.gap_m),
        at_m: fine(g.at_m),
        on_aircraft_xy_m: fine_xy(g.on_aircraft),
        on_obstacle_xy_m: fine_xy(g.on_obstacle),
        heading_true_deg: fine(g.heading.deg()),
        verdict: g.verdict,
        contact_m: g.contact_m.map(|[a, b]| [fine(a), fine(b)]),
    }
}

fn hold(h: &HoldRoom) -> HoldOut<'_> {
    HoldOut {
        stop: h.stop + 1,
        part: &h.part,
        behind_m: fine(h.behind_m),
        at_m: fine(h.at_m),
        verdict: h.verdict,
    }
}

fn compared(p: &Compared) -> ComparedOut<'_> {
    let row = |r: &RowFound| RowOut {
        leg: r.leg + 1,
        row: r.row,
        assumed: r.assumed,
        asked_m: fine(r.asked_m),
        found_m: r.found_m.map(fine),
        obstacle: r.obstacle.map(|k| k + 1),
        verdict: r.verdict,
    };
    ComparedOut {
        id: &p.id,
        source: &p.source,
        class: p.class.as_deref(),
        decides: p.decides,
        verdict: p.verdict,
        rows: p.rows.iter().map(row).collect(),
    }
}

fn notice(n: &Notice) -> NoticeOut<'_> {
    NoticeOut {
        kind: n.kind,
        feature: &n.feature,
        at_xy_m: n.at.map(fine_xy),
        text: &n.text,
    }
}

fn check(c: &CheckStand) -> CheckOut<'_> {
    CheckOut {
        area: &c.area,
        heading_true_deg: fine(c.heading.deg()),
        wind_from_true_deg: c.wind_from.map(|b| fine(b.deg())),
        off_wind_deg: c.off_wind_deg.map(fine),
        why: &c.why,
        blast_m: fine(c.blast_m),
        blast_half_angle_deg: BLAST_HALF_ANGLE_DEG,
        blast_on: c.blast_on.iter().map(blast_on).collect(),
        others: c.others.iter().map(other).collect(),
    }
}

fn other(o: &CheckOther) -> OtherOut<'_> {
    OtherOut {
        nose_m: fine_xy(o.nose),
        heading_true_deg: fine(o.heading.deg()),
        off_wind_deg: o.off_wind_deg.map(fine),
        why_worse: &o.why,
    }
}

fn blast_on(b: &BlastOn) -> BlastOut<'_> {
    BlastOut {
        name: &b.name,
        harm: b.harm,
        behind_m: fine(b.behind_m),
    }
}
