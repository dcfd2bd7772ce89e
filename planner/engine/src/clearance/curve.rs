//! The certified lower bound of the gap along the way, cell by cell.

use super::CurveCell;
use super::advance::{self, Near};
use super::solid::Solid;
use super::sweep::Walk;

/// How near lower and upper bound of a cell must come, metres.
const CURVE_TOLERANCE_M: f64 = 0.01;

/// The curve. `near` is in the order of the cells.
pub(super) fn curve(walk: &Walk, solids: &[Solid], near: &[Near]) -> Vec<CurveCell> {
    let mut rest = near;
    let mut list = Vec::with_capacity(walk.cells.len());
    for (i, cell) in walk.cells.iter().enumerate() {
        let count = rest.iter().take_while(|n| n.cell == i).count();
        let (here, later) = rest.split_at(count);
        rest = later;
        let found = advance::least(walk, solids, here, CURVE_TOLERANCE_M);
        list.push(CurveCell {
            from_m: cell.from_m,
            to_m: cell.to_m,
            gap_m: found.best.map(|_| found.lower_m),
        });
    }
    list
}
