//! Pieces of the plan as plain rounded data for programs, with the unit in every key.

use super::number::{fine, fine_rad, fine_xy, gap_fine};
use serde::Serialize;
use toeline_model::Xy;
use toeline_model::aircraft::parts::Part;
use toeline_model::path::{DrivenPath, Motion, Piece, Pose};
use toeline_model::planar::Shape;

/// Longest step between two samples of the track, metres of way.
pub(crate) const STEP_M: f64 = 0.25;

#[derive(Serialize)]
pub(crate) struct PoseOut {
    nose_xy_m: [f64; 2],
    heading_rad: f64,
    heading_true_deg: f64,
}

pub(crate) fn pose(p: &Pose) -> PoseOut {
    PoseOut {
        nose_xy_m: fine_xy(p.nose),
        heading_rad: fine_rad(p.heading_rad.rad()),
        heading_true_deg: fine(p.heading_rad.bearing().deg()),
    }
}

pub(crate) fn ring(points: &[Xy]) -> Vec<[f64; 2]> {
    points.iter().map(|p| fine_xy(*p)).collect()
}

#[derive(Serialize)]
#[serde(tag = "type", rename_all = "snake_case")]
pub(crate) enum ShapeOut {
    Disc {
        at_xy_m: [f64; 2],
        radius_m: f64,
    },
    Line {
        points_xy_m: Vec<[f64; 2]>,
    },
    Area {
        outer_xy_m: Vec<[f64; 2]>,
        holes_xy_m: Vec<Vec<[f64; 2]>>,
    },
}

pub(crate) fn shape(s: &Shape) -> ShapeOut {
    match s {
        Shape::Disc { at, radius_m } => ShapeOut::Disc {
            at_xy_m: fine_xy(*at),
            radius_m: fine(*radius_m),
        },
        Shape::Line { points } => ShapeOut::Line {
            points_xy_m: ring(points),
        },
        Shape::Area { outer, holes } => ShapeOut::Area {
            outer_xy_m: ring(outer),
            holes_xy_m: holes.iter().map(|h| ring(h)).collect(),
        },
    }
}

#[derive(Serialize)]
pub(crate) struct PartOut {
    name: String,
    outline_xy_m: Vec<[f64; 2]>,
    low_m: f64,
    high_m: f64,
}

pub(crate) fn part(p: &Part) -> PartOut {
    PartOut {
        name: p.name.clone(),
        outline_xy_m: ring(&p.outline),
        low_m: fine(p.low_m),
        high_m: fine(p.high_m),
    }
}

#[derive(Serialize)]
pub(crate) struct PieceOut {
    motion: &'static str,
    from_m: f64,
    length_m: f64,
    leg: usize,
    start: PoseOut,
    direction_rad: f64,
    curvature_left_per_m: f64,
    swing_left_rad: f64,
}

pub(crate) fn piece(p: &Piece) -> PieceOut {
    let (motion, curvature, swing) = match p.motion {
        Motion::Straight => ("straight", 0.0, 0.0),
        Motion::Arc { curvature_per_m } => ("arc", curvature_per_m, 0.0),
        Motion::PushBack => ("push_back", 0.0, 0.0),
        Motion::PushSwing { left_rad } => ("push_swing", 0.0, left_rad),
    };
    PieceOut {
        motion,
        from_m: fine(p.from_m),
        length_m: fine(p.length_m),
        leg: p.leg + 1,
        start: pose(&p.start),
        direction_rad: fine_rad(p.direction_rad.rad()),
        curvature_left_per_m: fine_rad(curvature),
        swing_left_rad: fine_rad(swing),
    }
}

/// The track as a table: small, and easy to read into anything.
#[derive(Serialize)]
pub(crate) struct Track {
    columns: [&'static str; 7],
    rows: Vec<(usize, f64, f64, f64, f64, f64, f64)>,
}

/// Samples at most [`STEP_M`] apart; the end of one piece and the start of the next are both there.
pub(crate) fn track(path: &DrivenPath) -> Track {
    let d = path.wheelbase_m;
    let mut rows = Vec::new();
    let mut row = |piece: usize, way: f64, p: Pose| {
        let axle = p.axle(d);
        let heading = fine_rad(p.heading_rad.rad());
        rows.push((
            piece,
            fine(way),
            fine(p.nose.x),
            fine(p.nose.y),
            fine(axle.x),
            fine(axle.y),
            heading,
        ));
    };
    if path.pieces.is_empty() {
        row(0, 0.0, path.start);
    }
    for (i, piece) in path.pieces.iter().enumerate() {
        for s in steps(piece.length_m, STEP_M) {
            row(i + 1, piece.from_m + s, piece.pose(d, s));
        }
    }
    Track {
        columns: [
            "piece",
            "way_m",
            "nose_x_m",
            "nose_y_m",
            "axle_x_m",
            "axle_y_m",
            "heading_rad",
        ],
        rows,
    }
}

/// Even steps from 0 to a length, none longer than `most`, both ends included.
pub(crate) fn steps(length_m: f64, most: f64) -> impl Iterator<Item = f64> {
    let count = (length_m / most).ceil().max(1.0) as usize;
    (0..=count).map(move |i| length_m * i as f64 / count as f64)
}

/// A certified lower bound stays one after rounding.
pub(crate) fn bound(gap_m: Option<f64>) -> Option<f64> {
    gap_m.map(gap_fine)
}
