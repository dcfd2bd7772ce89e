//! A plan made by hand for the briefing's tests: a hangar, a runway, an apron, and a way of straights and arcs whose gaps
//! and swept outline are found here by plain sampling.

use geo::algorithm::unary_union;
use geo::{Coord, LineString, Polygon};
use std::sync::OnceLock;
use toeline_engine::clearance::{Against, Clearance, Considered, CurveCell, EdgeRoom, Gap, Verdict};
use toeline_engine::notice::{Notice, NoticeKind};
use toeline_engine::planning::{Declination, Outcome, Plan, Way};
use toeline_engine::route::{CheckStand, CostTerm, Leg, LegKind, Route, Stop, StopKind, Turn, TurnMeans};
use toeline_model::aircraft::{catalog, parts};
use toeline_model::airfield::*;
use toeline_model::frame::{LonLat, Xy, xy};
use toeline_model::planar::{Shape, convex_hull, outline_to_shape};
use toeline_model::{Airfield, Bearing, DrivenPath, Pose, Yaw};

/// Radii of the two turns, metres.
const R1: f64 = 6.0;
const R2: f64 = 12.0;

fn area(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Xy> {
    vec![xy(x0, y0), xy(x1, y0), xy(x1, y1), xy(x0, y1)]
}

fn named(id: &str, name: &str, outer: Vec<Xy>) -> NamedArea {
    NamedArea {
        id: id.into(),
        name: Some(name.into()),
        note: None,
        outer,
        surface: Surface::Paved,
        holes: Vec::new(),
    }
}

fn lane(id: &str, letter: &str, line: Vec<Xy>, closed: Option<&str>) -> Lane {
    Lane {
        id: id.into(),
        kind: LaneKind::Taxiway,
        letters: vec![letter.into()],
        line,
        width_m: Some(10.0),
        surface: Surface::Paved,
        way: toeline_model::airfield::Way::Both,
        closed: closed.map(str::to_string),
        span_limit_m: None,
        speed_limit_mps: None,
        level: 0,
        slope_percent: None,
    }
}

/// The field; `name` is what the hangar, the stand and the field are called.
pub(crate) fn field(name: &str) -> Airfield {
    let obstacle = |id: &str, kind, shape, top_m| Obstacle {
        id: id.into(),
        kind,
        name: (kind == ObstacleKind::Hangar).then(|| name.to_string()),
        shape,
        bottom_m: 0.0,
        top_m,
        radius_assumed: false,
    };
    let stand = |id: &str, called: &str, x: f64| Stand {
        id: id.into(),
        name: Some(called.into()),
        line: vec![xy(x, 26.0), xy(x, 0.0)],
        heading: Some(Bearing::from_deg(0.0)),
        nose: Some(Nose::Out),
        span_limit_m: None,
        width_m: None,
        closed: None,
    };
    Airfield {
        codes: vec![],
        identities: Default::default(),
        closed_by_notice: Default::default(),
        notice_spans_m: Default::default(),
        unplaced: vec![],
        name: Some(name.into()),
        origin: LonLat {
            lon_deg: 8.5,
            lat_deg: 47.25,
        },
        elevation_m: Some(430.0),
        accuracy_m: 2.0,
        accuracy_stated: false,
        invented: true,
        attribution: None,
        declination_deg: None,
        runways: vec![Runway {
            id: "runway".into(),
            designators: [Some("08".into()), Some("26".into())],
            line: vec![xy(-400.0, 180.0), xy(900.0, 180.0)],
            width_m: Some(23.0),
            surface: Surface::Paved,
            closed: None,
            level: 0,
        }],
        lanes: vec![
            lane("b", "B", vec![xy(-60.0, 26.0), xy(160.0, 26.0)], None),
            lane("a", "A", vec![xy(160.0, 26.0), xy(160.0, 180.0)], None),
            lane("c", "C", vec![xy(60.0, 26.0), xy(60.0, 180.0)], Some("resurfacing")),
        ],
        aprons: vec![named("apron", "Apron south", area(-60.0, -20.0, 60.0, 21.0))],
        stands: vec![stand("s4", name, 0.0), stand("s5", "5", 18.0), stand("s6", "6", -18.0)],
        holding_positions: vec![HoldingPosition {
            id: "h".into(),
            name: Some("A1".into()),
            kind: HoldingKind::Runway,
            at: xy(160.0, 140.0),
            facing: None,
        }],
        check_areas: vec![named("check", "E1", area(166.0, 90.0, 190.0, 115.0))],
        helipads: vec![],
        outlines: vec![],
        closures: vec![],
        hot_spots: vec![NamedArea {
            note: Some("narrow".into()),
            ..named("hs", "HS1", area(140.0, 18.0, 170.0, 45.0))
        }],
        obstacles: vec![
            obstacle(
                "hangar",
                ObstacleKind::Hangar,
                Shape::Area {
                    outer: area(9.0, 38.0, 40.0, 55.0),
                    holes: vec![],
                },
                Some(6.0),
            ),
            obstacle(
                "fence",
                ObstacleKind::Fence,
                Shape::Line {
                    points: vec![xy(-60.0, 64.0), xy(120.0, 64.0)],
                },
                None,
            ),
            obstacle(
                "tree",
                ObstacleKind::Tree,
                Shape::Disc {
                    at: xy(148.0, 60.0),
                    radius_m: 3.0,
                },
                None,
            ),
        ],
    }
}

fn path() -> DrivenPath {
    let wheelbase = catalog::find("trainer-high-2").expect("built in").gear.wheelbase_m;
    let north = Yaw::from_rad(std::f64::consts::FRAC_PI_2);
    let mut p = DrivenPath::new(
        wheelbase,
        Pose {
            nose: xy(0.0, 0.0),
            heading_rad: north,
        },
    );
    p.straight(north, 26.0 - R1, 0);
    p.arc(north, R1, -std::f64::consts::FRAC_PI_2, 0);
    let east = Yaw::from_rad(0.0);
    p.straight(east, 160.0 - R1 - R2, 1);
    p.arc(east, R2, std::f64::consts::FRAC_PI_2, 1);
    p.straight(north, 140.0 - 26.0 - R2 - 1.0, 2);
    p
}

fn poses(p: &DrivenPath) -> Vec<(f64, Pose)> {
    let mut list = vec![];
    for piece in &p.pieces {
        let n = (piece.length_m / 0.5).ceil() as usize;
        list.extend((0..=n).map(|i| {
            let s = piece.length_m * i as f64 / n as f64;
            (piece.from_m + s, piece.pose(p.wheelbase_m, s))
        }));
    }
    list
}

/// The sample's clearance, found once: it does not hang on names.
fn clearance_of(field: &Airfield, path: &DrivenPath, legs: &[Leg]) -> Clearance {
    static FOUND: OnceLock<Clearance> = OnceLock::new();
    let mut found = FOUND.get_or_init(|| clearance(field, path, legs)).clone();
    for (considered, o) in found.considered.iter_mut().zip(&field.obstacles) {
        considered.name = format!("{} ({})", o.name.as_ref().unwrap_or(&o.id), o.id);
    }
    found
}

fn clearance(field: &Airfield, path: &DrivenPath, legs: &[Leg]) -> Clearance {
    let aircraft = catalog::find("trainer-high-2").expect("built in");
    let (parts, poses) = (parts::parts(&aircraft), poses(path));
    let placed =
        |pose: &Pose, outline: &[Xy]| -> Vec<Xy> { outline.iter().map(|q| pose.place(path.wheelbase_m, *q)).collect() };
    let mut considered = vec![];
    let mut gaps = vec![];
    for (i, o) in field.obstacles.iter().enumerate() {
        considered.push(Considered {
            feature: o.id.clone(),
            name: String::new(),
            against: Against::Fixed(o.kind),
            shape: o.shape.clone(),
            bottom_m: o.bottom_m,
            top_m: o.top_m,
            sure: true,
        });
        let mut best: Option<Gap> = None;
        for (s, pose) in &poses {
            for part in &parts {
                let c = outline_to_shape(&placed(pose, &part.outline), &o.shape);
                if best.as_ref().is_none_or(|b| c.distance_m < b.gap_m) {
                    best = Some(Gap {
                        obstacle: i,
                        part: part.name.clone(),
                        gap_m: c.distance_m,
                        at_m: *s,
                        on_aircraft: c.on_first,
                        on_obstacle: c.on_second,
                        heading: pose.heading_rad.bearing(),
                        verdict: if c.distance_m < 3.0 {
                            Verdict::NotClear
                        } else {
                            Verdict::Clear
                        },
                        contact_m: None,
                    });
                }
            }
        }
        gaps.extend(best.filter(|g| g.gap_m < 20.0));
    }
    gaps.sort_by(|a, b| a.gap_m.total_cmp(&b.gap_m));
    let mut hulls = vec![];
    // Two hulls per step cover it: both wings, and everything along the axis.
    for pair in poses.windows(2) {
        for wings in [true, false] {
            let of_group = parts.iter().filter(|p| p.name.ends_with("wing") == wings);
            let points: Vec<Xy> = of_group
                .flat_map(|p| [placed(&pair[0].1, &p.outline), placed(&pair[1].1, &p.outline)].concat())
                .collect();
            let ring: LineString<f64> = convex_hull(&points).iter().map(|p| Coord { x: p.x, y: p.y }).collect();
            hulls.push(Polygon::new(ring, vec![]));
        }
    }
    let mut swept: Vec<Vec<Xy>> = vec![];
    for polygon in &unary_union(&hulls) {
        for ring in std::iter::once(polygon.exterior()).chain(polygon.interiors()) {
            let mut open: Vec<Xy> = ring.coords().map(|c| xy(c.x, c.y)).collect();
            open.pop();
            swept.push(open);
        }
    }
    let worst = if gaps.iter().any(|g| g.verdict == Verdict::NotClear) {
        Verdict::NotClear
    } else {
        Verdict::Clear
    };
    let least = |from: f64, to: f64| {
        gaps.iter()
            .filter(|g| (from..=to).contains(&g.at_m))
            .map(|g| g.gap_m)
            .min_by(f64::total_cmp)
    };
    Clearance {
        verdict: worst,
        parts_verdict: worst,
        edge_verdict: Verdict::Clear,
        hold_verdict: Verdict::Clear,
        margin_m: 3.0,
        vertical_margin_m: 0.5,
        accuracy_m: 2.0,
        rule: Default::default(),
        accuracy_from: "ours, for open maps".into(),
        considered,
        curve: legs
            .iter()
            .map(|l| CurveCell {
                from_m: l.from_m,
                to_m: l.to_m,
                gap_m: least(l.from_m, l.to_m),
            })
            .collect(),
        edges: vec![EdgeRoom {
            leg: 1,
            room_m: Some(3.24),
            at_m: 80.0,
            verdict: Verdict::Clear,
        }],
        gaps,
        holds: vec![],
        compared: vec![],
        remedies: vec![],
        swept,
        lacks: vec!["height of the fence".into(), "whether stand 5 is taken".into()],
        unplaced: vec![],
    }
}

/// The plan of the sample, with the given name in every place where a map's name can stand.
pub(crate) fn plan(name: &str, wind: &str) -> Plan {
    let (field, path) = (field(name), path());
    let length = path.length_m();
    let ends = [
        0.0,
        path.pieces[1].from_m + R1 * 0.785,
        path.pieces[3].from_m + R2 * 0.785,
        length,
    ];
    let leg = |i: usize, kind, name: &str, mapped_line, speed_mps| Leg {
        kind,
        name: name.into(),
        letters: vec![],
        feature: format!("feature {i}"),
        from_m: ends[i],
        to_m: ends[i + 1],
        width_m: (i > 0).then_some(10.0),
        surface: Surface::Paved,
        mapped_line,
        speed_mps,
        slope_percent: None,
    };
    let legs = vec![
        leg(
            0,
            LegKind::Stand,
            &format!("stand {name}"),
            vec![xy(0.0, 0.0), xy(0.0, 26.0)],
            3.0,
        ),
        leg(
            1,
            LegKind::Taxiway,
            "taxiway B",
            vec![xy(0.0, 26.0), xy(160.0, 26.0)],
            6.0,
        ),
        leg(
            2,
            LegKind::Taxiway,
            "taxiway A",
            vec![xy(160.0, 26.0), xy(160.0, 140.0)],
            6.0,
        ),
    ];
    let turn = |piece: usize, left_deg: f64, radius_m, means| Turn {
        from_m: path.pieces[piece].from_m,
        to_m: path.pieces[piece + 1].from_m,
        left_rad: left_deg.to_radians(),
        radius_m,
        nose_wheel_rad: 0.25,
        means,
        off_line_m: 2.5,
        off_tracking_m: 0.25,
        edge_room_m: Some(1.27),
    };
    let stop = |kind, name: &str, of: Option<&str>, at_m| Stop {
        kind,
        name: name.into(),
        of: of.map(str::to_string),
        at_m,
        pose: path.pose_at(at_m),
        line_at: None,
        derived: false,
    };
    let cost = |what: &str, cost_ms| CostTerm {
        what: what.into(),
        at: xy(0.0, 0.0),
        cost_ms,
    };
    let route = Route {
        turns: vec![
            turn(1, -90.0, R1, TurnMeans::InsideBrake),
            turn(3, 90.0, R2, TurnMeans::Steering),
        ],
        stops: vec![
            stop(StopKind::Start, name, None, 0.0),
            stop(StopKind::EngineCheck, "E1", None, 240.0),
            stop(StopKind::End, "A1", Some("runway 08/26"), length),
        ],
        costs: vec![
            cost("stand", 8_120),
            cost("taxiway B", 27_400),
            cost("taxiway A", 21_003),
        ],
        cost_ms: 56_523,
        check: Some(CheckStand {
            area: "E1".into(),
            heading: Bearing::from_deg(0.0),
            wind_from: Some(Bearing::from_deg(240.0)),
            off_wind_deg: Some(120.0),
            why: "The area is too narrow to turn further into the wind.".into(),
            blast_m: 24.3,
            blast_on: vec![],
            others: vec![],
        }),
        doubts: vec![],
        segments: vec![],
        path: path.clone(),
        legs,
    };
    let clearance = clearance_of(&field, &path, &route.legs);
    let aircraft = catalog::find("trainer-high-2").expect("built in");
    Plan {
        request: toeline_tests::request_of(aircraft, name, &["E1"], "26", wind),
        declination: Declination {
            deg: 3.27,
            source: "given by hand".into(),
        },
        notices: vec![
            Notice::new(NoticeKind::Repair, "b", format!("end joined to {name}")),
            Notice::new(NoticeKind::Doubt, "tree", "no height").with_place(Some(xy(1.0 / 3.0, 0.0))),
        ],
        notams: vec![],
        outcome: Outcome::Way(Box::new(Way {
            route,
            clearance,
            given_up: vec!["by way of C: 0.4 m to the fence".into()],
            gone_around: vec![
                "taxiway G: closed (works): the cheapest way leads there; going around it costs 40 s more".into(),
            ],
            odds: None,
        })),
        field,
        radio: None,
    }
}
