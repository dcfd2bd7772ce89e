//! The shape of the JSON form: what stands in it, in which order, under which key. Numbers in lists count from 1.

use super::Briefing;
use super::shape_json::{PartOut, PieceOut, PoseOut, ShapeOut, Track};
use crate::clearance::{Against, Remedy, Row, Verdict};
use crate::notice::NoticeKind;
use crate::odds::Odds;
use crate::request::{MarginRule, Request};
use crate::route::{BlastHarm, LegKind, StopKind, TurnMeans};
use serde::Serialize;
use toeline_model::airfield::Surface;

#[derive(Serialize)]
pub(super) struct Document<'a> {
    pub(super) toeline_plan: u32,
    pub(super) made_by: String,
    pub(super) caution: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) attribution: Option<&'a str>,
    pub(super) frame: Frame,
    pub(super) field: FieldOut<'a>,
    pub(super) declination: DeclinationOut<'a>,
    pub(super) request: &'a Request,
    pub(super) parts: Vec<PartOut>,
    pub(super) outcome: OutcomeOut<'a>,
    pub(super) notices: Vec<NoticeOut<'a>>,
    pub(super) briefing: &'a Briefing,
}

#[derive(Serialize)]
pub(super) struct Frame {
    pub(super) kind: &'static str,
    pub(super) axes: &'static str,
    pub(super) body_axes: &'static str,
    pub(super) origin_lon_deg: f64,
    pub(super) origin_lat_deg: f64,
}

#[derive(Serialize)]
pub(super) struct FieldOut<'a> {
    pub(super) name: &'a Option<String>,
    pub(super) invented: bool,
    pub(super) elevation_m: Option<f64>,
    pub(super) accuracy_m: f64,
    pub(super) accuracy_stated: bool,
}

#[derive(Serialize)]
#[serde(tag = "outcome", rename_all = "snake_case")]
pub(super) enum OutcomeOut<'a> {
    Way(Box<WayOut<'a>>),
    NoWay {
        unreachable: &'a str,
        from: &'a str,
        blocks: Vec<BlockOut<'a>>,
        #[serde(skip_serializing_if = "Option::is_none")]
        fewest: Option<bool>,
    },
}

#[derive(Serialize)]
pub(super) struct BlockOut<'a> {
    pub(super) feature: &'a str,
    pub(super) text: &'a str,
    pub(super) at_xy_m: [f64; 2],
}

#[derive(Serialize)]
pub(super) struct WayOut<'a> {
    pub(super) verdict: Verdict,
    pub(super) parts_verdict: Verdict,
    pub(super) edge_verdict: Verdict,
    pub(super) hold_verdict: Verdict,
    pub(super) rule: MarginRule,
    pub(super) margin_m: f64,
    pub(super) vertical_margin_m: f64,
    pub(super) accuracy_m: f64,
    pub(super) accuracy_from: &'a str,
    pub(super) length_m: f64,
    pub(super) wheelbase_m: f64,
    pub(super) start: PoseOut,
    pub(super) pieces: Vec<PieceOut>,
    pub(super) track: Track,
    pub(super) legs: Vec<LegOut<'a>>,
    pub(super) turns: Vec<TurnOut>,
    pub(super) stops: Vec<StopOut<'a>>,
    pub(super) engine_check: Option<CheckOut<'a>>,
    pub(super) costs: Vec<CostOut<'a>>,
    pub(super) cost_ms: u64,
    pub(super) obstacles: Vec<ObstacleOut<'a>>,
    pub(super) gaps: Vec<GapOut<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) odds: &'a Option<Odds>,
    pub(super) curve: Vec<CellOut>,
    pub(super) edges: Vec<EdgeOut>,
    pub(super) holds: Vec<HoldOut<'a>>,
    pub(super) compared: Vec<ComparedOut<'a>>,
    pub(super) remedies: &'a [Remedy],
    pub(super) swept: Vec<SweptOut>,
    pub(super) lacks: &'a [String],
    pub(super) doubts: &'a [String],
    pub(super) given_up: &'a [String],
    pub(super) gone_around: &'a [String],
}

#[derive(Serialize)]
pub(super) struct LegOut<'a> {
    pub(super) number: usize,
    #[serde(flatten)]
    pub(super) leg: LegPlain<'a>,
}

#[derive(Serialize)]
pub(super) struct LegPlain<'a> {
    pub(super) kind: LegKind,
    pub(super) name: &'a str,
    pub(super) letters: &'a [String],
    pub(super) feature: &'a str,
    pub(super) from_m: f64,
    pub(super) to_m: f64,
    pub(super) width_m: Option<f64>,
    pub(super) surface: Surface,
    pub(super) speed_mps: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) slope_percent: Option<f64>,
    pub(super) mapped_line_xy_m: Vec<[f64; 2]>,
}

#[derive(Serialize)]
pub(super) struct TurnOut {
    pub(super) from_m: f64,
    pub(super) to_m: f64,
    pub(super) left_rad: f64,
    pub(super) radius_m: f64,
    pub(super) nose_wheel_rad: f64,
    pub(super) means: TurnMeans,
    pub(super) off_line_m: f64,
    pub(super) off_tracking_m: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) edge_room_m: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct StopOut<'a> {
    pub(super) kind: StopKind,
    pub(super) name: &'a str,
    pub(super) of: &'a Option<String>,
    pub(super) at_m: f64,
    pub(super) pose: PoseOut,
    pub(super) line_at_xy_m: Option<[f64; 2]>,
    pub(super) derived: bool,
}

#[derive(Serialize)]
pub(super) struct CostOut<'a> {
    pub(super) what: &'a str,
    pub(super) at_xy_m: [f64; 2],
    pub(super) cost_ms: u64,
}

#[derive(Serialize)]
pub(super) struct ObstacleOut<'a> {
    pub(super) number: usize,
    pub(super) feature: &'a str,
    pub(super) name: &'a str,
    pub(super) against: Against,
    pub(super) shape: ShapeOut,
    pub(super) bottom_m: f64,
    pub(super) top_m: Option<f64>,
    pub(super) sure: bool,
}

#[derive(Serialize)]
pub(super) struct GapOut<'a> {
    pub(super) obstacle: usize,
    pub(super) part: &'a str,
    pub(super) gap_m: f64,
    pub(super) gap_shown_m: f64,
    pub(super) at_m: f64,
    pub(super) on_aircraft_xy_m: [f64; 2],
    pub(super) on_obstacle_xy_m: [f64; 2],
    pub(super) heading_true_deg: f64,
    pub(super) verdict: Verdict,
    pub(super) contact_m: Option<[f64; 2]>,
}

#[derive(Serialize)]
pub(super) struct CellOut {
    pub(super) from_m: f64,
    pub(super) to_m: f64,
    pub(super) gap_m: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct EdgeOut {
    pub(super) leg: usize,
    pub(super) room_m: Option<f64>,
    pub(super) at_m: f64,
    pub(super) verdict: Verdict,
}

#[derive(Serialize)]
pub(super) struct HoldOut<'a> {
    pub(super) stop: usize,
    pub(super) part: &'a str,
    pub(super) behind_m: f64,
    pub(super) at_m: f64,
    pub(super) verdict: Verdict,
}

#[derive(Serialize)]
pub(super) struct ComparedOut<'a> {
    pub(super) id: &'a str,
    pub(super) source: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) class: Option<&'a str>,
    pub(super) decides: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) verdict: Option<Verdict>,
    pub(super) rows: Vec<RowOut>,
}

#[derive(Serialize)]
pub(super) struct RowOut {
    pub(super) leg: usize,
    pub(super) row: Row,
    pub(super) assumed: bool,
    pub(super) asked_m: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) found_m: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) obstacle: Option<usize>,
    pub(super) verdict: Verdict,
}

#[derive(Serialize)]
pub(super) struct SweptOut {
    pub(super) hole: bool,
    pub(super) ring_xy_m: Vec<[f64; 2]>,
}

#[derive(Serialize)]
pub(super) struct DeclinationOut<'a> {
    pub(super) east_deg: f64,
    pub(super) source: &'a str,
}

#[derive(Serialize)]
pub(super) struct NoticeOut<'a> {
    pub(super) kind: NoticeKind,
    pub(super) feature: &'a str,
    pub(super) at_xy_m: Option<[f64; 2]>,
    pub(super) text: &'a str,
}

#[derive(Serialize)]
pub(super) struct CheckOut<'a> {
    pub(super) area: &'a str,
    pub(super) heading_true_deg: f64,
    pub(super) wind_from_true_deg: Option<f64>,
    pub(super) off_wind_deg: Option<f64>,
    pub(super) why: &'a str,
    pub(super) blast_m: f64,
    pub(super) blast_half_angle_deg: f64,
    pub(super) blast_on: Vec<BlastOut<'a>>,
    pub(super) others: Vec<OtherOut<'a>>,
}

#[derive(Serialize)]
pub(super) struct OtherOut<'a> {
    pub(super) nose_m: [f64; 2],
    pub(super) heading_true_deg: f64,
    pub(super) off_wind_deg: Option<f64>,
    pub(super) why_worse: &'a str,
}

#[derive(Serialize)]
pub(super) struct BlastOut<'a> {
    pub(super) name: &'a str,
    pub(super) harm: BlastHarm,
    pub(super) behind_m: f64,
}
