//! The gap along the way: the certified lower bound as steps, the margin, the legs and the tightest places.

use super::way;
use crate::briefing::{GapBriefing, WayBriefing, number};
use crate::clearance::{CurveCell, Gap, LOOK_AROUND_M};
use crate::drawing::sheet::{escape, text_width};
use crate::planning::Way;
use std::fmt::Write as _;

/// Steps that the curve is drawn with at most; each shows the least bound within it.
const COLUMNS: usize = 600;
/// Size of the plot that the names are laid out for, px; narrower ones show letters only.
const PLOT: (f64, f64) = (640.0, 120.0);

/// The bound in equal steps of the way: the least within each, metres rounded down; absent where nothing comes near.
fn columns(cells: &[CurveCell], length_m: f64, count: usize) -> Vec<Option<f64>> {
    let mut list = vec![None; count];
    let per_m = count as f64 / length_m.max(1e-9);
    for c in cells {
        let Some(gap) = c.gap_m.map(number::gap) else { continue };
        let (from, to) = ((c.from_m * per_m).floor(), (c.to_m * per_m).ceil());
        let (from, to) = (from.max(0.0) as usize, (to.max(from + 1.0) as usize).min(count));
        for v in list.iter_mut().take(to).skip(from) {
            *v = Some(v.map_or(gap, |before: f64| before.min(gap)));
        }
    }
    list
}

/// Steps as path data on a sheet of 1000 by 100.
fn steps(list: &[Option<f64>], top_m: f64) -> String {
    let mut d = String::new();
    let x = |i: usize| i as f64 / list.len() as f64 * 1000.0;
    let mut before: Option<f64> = None;
    for (i, v) in list.iter().enumerate() {
        let Some(gap) = v.filter(|g| *g < top_m) else {
            if before.is_some() {
                let _ = write!(d, "H{:.1}", x(i));
            }
            before = None;
            continue;
        };
        let y = 100.0 - gap / top_m * 100.0;
        match before {
            None => {
                let _ = write!(d, "M{:.1} {y:.1}", x(i));
            }
            Some(b) if b != gap => {
                let _ = write!(d, "H{:.1}V{y:.1}", x(i));
            }
            Some(_) => {}
        }
        before = Some(gap);
    }
    if before.is_some() {
        d.push_str("H1000");
    }
    d
}

/// A round step so that a length has four to ten of them, metres.
fn tick_m(length_m: f64) -> f64 {
    let nice = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
    nice.into_iter().find(|m| length_m / m <= 8.0).unwrap_or(2000.0)
}

/// Draws the plot; nothing for a way without length.
pub(super) fn curve(out: &mut String, planned: &Way, told: &WayBriefing) {
    let length_m = planned.route.path.length_m();
    if length_m <= 0.0 {
        return;
    }
    let top_m = LOOK_AROUND_M.max(told.margin_m * 1.5);
    let list = columns(&planned.clearance.curve, length_m, COLUMNS);
    let tight = way::lettered(planned, told);
    let least = tight.first().map_or_else(
        || format!("Nothing comes within {LOOK_AROUND_M:.0} m anywhere."),
        |(_, _, g)| {
            format!(
                "Least: {:.1} m on leg {}, {:.0} m along, {} to {}.",
                g.gap_m, g.leg, g.at_m, g.part, g.obstacle
            )
        },
    );
    let _ = writeln!(
        out,
        "<h2 id=\"h-curve\">Gap along the way</h2>\n<p class=\"small\">{} The line is never above the true gap; where there is none, \
         nothing comes within {LOOK_AROUND_M:.0} m. Dashes: margin of {:.1} m.</p>",
        escape(&least),
        told.margin_m
    );
    out.push_str("<div class=\"plot\" id=\"curve\" aria-hidden=\"true\"><div class=\"strip\">");
    let percent = |m: f64| (m / length_m * 100.0).clamp(0.0, 100.0);
    let legs = planned.route.legs.iter().enumerate();
    let bands: Vec<(usize, f64, f64)> = legs.map(|(i, l)| (i + 1, percent(l.from_m), percent(l.to_m))).collect();
    for (n, from, to) in &bands {
        let _ = write!(
            out,
            "<a href=\"#leg-{n}\" tabindex=\"-1\" data-i=\"{n}\" style=\"left:{from:.2}%;width:{:.2}%\">{n}</a>",
            to - from
        );
    }
    out.push_str("</div><div class=\"box\"><svg viewBox=\"0 0 1000 100\" preserveAspectRatio=\"none\">");
    for (n, from, to) in &bands {
        let _ = write!(
            out,
            "<a href=\"#leg-{n}\" tabindex=\"-1\" class=\"band\" data-i=\"{n}\"><rect x=\"{:.1}\" y=\"0\" width=\"{:.1}\" height=\"100\"/></a>",
            from * 10.0,
            (to - from) * 10.0
        );
    }
    let mut grid = String::new();
    for m in (1..4).map(|i| f64::from(i) * 5.0).filter(|m| *m < top_m) {
        let _ = write!(grid, "M0 {:.1}H1000", 100.0 - m / top_m * 100.0);
    }
    let margin = 100.0 - told.margin_m / top_m * 100.0;
    let _ = writeln!(
        out,
        "<path class=\"grid\" d=\"{grid}\"/><path class=\"margin\" d=\"M0 {margin:.1}H1000\"/><path class=\"bound\" d=\"{}\"/></svg>",
        steps(&list, top_m)
    );
    marks(out, &tight, length_m, top_m);
    let _ = write!(out, "<span class=\"y\" style=\"top:0\">{top_m:.0} m</span>");
    for m in [5.0, 10.0, 15.0].iter().filter(|m| **m < top_m - 2.0) {
        let _ = write!(
            out,
            "<span class=\"y\" style=\"bottom:{:.1}%\">{m:.0}</span>",
            m / top_m * 100.0
        );
    }
    out.push_str("</div><div class=\"ways\">");
    let tick = tick_m(length_m);
    for i in 0..=(length_m / tick) as usize {
        let m = i as f64 * tick;
        let unit = if i == 0 { " m" } else { "" };
        let _ = write!(out, "<span style=\"left:{:.2}%\">{m:.0}{unit}</span>", percent(m));
    }
    out.push_str("</div></div>\n");
}

/// Letters of the tightest places on the curve, and their names where there is room.
fn marks(out: &mut String, tight: &[(char, &Gap, &GapBriefing)], length_m: f64, top_m: f64) {
    let mut taken: Vec<[f64; 4]> = Vec::new();
    let mut take = |x: f64, y: f64, w: f64, h: f64| {
        let b = [x - w / 2.0, y - h / 2.0, x + w / 2.0, y + h / 2.0];
        let inside = b[0] >= 26.0 && b[2] <= PLOT.0 && b[1] >= 0.0 && b[3] <= PLOT.1;
        let free = !taken
            .iter()
            .any(|t| t[0] < b[2] && b[0] < t[2] && t[1] < b[3] && b[1] < t[3]);
        if inside && free {
            taken.push(b);
        }
        inside && free
    };
    let spot = |g: &Gap| (g.at_m / length_m * PLOT.0, (1.0 - (g.gap_m / top_m).min(1.0)) * PLOT.1);
    let mut placed: Vec<(usize, f64, f64)> = Vec::new();
    for (i, (letter, gap, _)) in tight.iter().enumerate() {
        let (x, y) = spot(gap);
        // Above its place, else to a side of it.
        let sides = [0.0, 18.0, -18.0, 36.0, -36.0, 54.0, 72.0, 90.0, 108.0];
        let offs = [-12.0, 12.0, -30.0].into_iter().flat_map(|dy| sides.map(|dx| (dx, dy)));
        let found = offs.into_iter().find(|(dx, dy)| take(x + dx, y + dy, 17.0, 17.0));
        let Some((dx, dy)) = found else { continue };
        let _ = write!(
            out,
            "<a class=\"badge\" href=\"#gap-{letter}\" tabindex=\"-1\" data-i=\"g{letter}\" style=\"left:calc({:.2}% + {dx:.0}px);top:calc({:.1}% + {dy:.0}px)\">{letter}</a>",
            x / PLOT.0 * 100.0,
            y / PLOT.1 * 100.0
        );
        placed.push((i, dx, dy));
    }
    for (i, dx, dy) in placed {
        let (_, gap, said) = &tight[i];
        let (x, y) = spot(gap);
        let width = text_width(&said.obstacle, 11.0, false) + 4.0;
        let beside = 10.0 + width / 2.0;
        if let Some(side) = [beside, -beside]
            .into_iter()
            .find(|s| take(x + dx + s, y + dy, width, 14.0))
        {
            let _ = write!(
                out,
                "<span class=\"name\" style=\"left:calc({:.2}% + {:.0}px);top:calc({:.1}% + {dy:.0}px)\">{}</span>",
                x / PLOT.0 * 100.0,
                dx + side,
                y / PLOT.1 * 100.0,
                escape(&said.obstacle)
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_shows_the_least_bound_within_it() {
        let cell = |from_m, to_m, gap_m| CurveCell { from_m, to_m, gap_m };
        let cells = [
            cell(0.0, 3.0, Some(9.19)),
            cell(3.0, 3.1, Some(2.99)),
            cell(3.1, 8.0, None),
            cell(8.0, 10.0, Some(5.0)),
        ];
        let found = columns(&cells, 10.0, 5);
        assert_eq!(found, [Some(9.1), Some(2.9), None, None, Some(5.0)]);
        assert_eq!(steps(&found, 20.0), "M0.0 54.5H200.0V85.5H400.0M800.0 75.0H1000");
    }
}
