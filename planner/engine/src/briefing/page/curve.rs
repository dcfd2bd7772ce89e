//! The gap along the way: the certified lower bound as steps, the margin, the legs and the tightest places.

use super::trace::STEADY;
use super::way;
use crate::briefing::{Units, WayBriefing, number};
use crate::clearance::{CurveCell, LOOK_AROUND_M};
use crate::drawing::sheet::escape;
use crate::planning::Way;
use std::fmt::Write as _;

/// Steps that the curve is drawn with at most; each shows the least bound within it.
const COLUMNS: usize = 600;
/// Tightest places that are named below the plot.
const NAMED: usize = 4;

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

/// A round step so that a length has at most eight of them.
fn tick(length: f64) -> f64 {
    let nice = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];
    nice.into_iter().find(|step| length / step <= 8.0).unwrap_or(5000.0)
}

/// The reader's unit of length, metres.
pub(super) fn one_m(units: Units) -> f64 {
    match units {
        Units::Metric => 1.0,
        Units::Imperial => 0.3048,
    }
}

/// Draws the plot; nothing for a way without length.
pub(super) fn curve(out: &mut String, planned: &Way, told: &WayBriefing, units: Units) {
    let length_m = planned.route.path.length_m();
    if length_m <= 0.0 {
        return;
    }
    let top_m = LOOK_AROUND_M.max(told.margin_m * 1.5);
    let list = columns(&planned.clearance.curve, length_m, COLUMNS);
    let tight = way::lettered(planned, told);
    let least = tight.first().map_or_else(
        || format!("Nothing comes within {} anywhere.", units.length(LOOK_AROUND_M, 0)),
        |(_, _, g)| {
            format!(
                "Least: {} on leg {}, {} along, {} to {}.",
                units.gap(g.gap_m),
                g.leg,
                units.length(g.at_m, 0),
                g.part,
                g.obstacle
            )
        },
    );
    let _ = writeln!(
        out,
        "<h2 id=\"h-curve\">Gap along the way</h2>\n<p class=\"small\">{} The line is never above the true gap; where there is none, \
         nothing comes within {}. Dashes: margin of {}.</p>",
        escape(&least),
        units.length(LOOK_AROUND_M, 0),
        units.length(told.margin_m, 1)
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
    out.push_str("</div><div class=\"letters\">");
    let at: Vec<f64> = tight.iter().map(|(_, g, _)| percent(g.at_m)).collect();
    let spots = spread(&at);
    for ((letter, _, _), x) in tight.iter().zip(&spots) {
        let _ = write!(
            out,
            "<a class=\"badge\" href=\"#gap-{letter}\" tabindex=\"-1\" data-i=\"g{letter}\" style=\"left:{x:.2}%\">{letter}</a>"
        );
    }
    out.push_str("</div><div class=\"box\"><svg viewBox=\"0 0 1000 100\" preserveAspectRatio=\"none\">");
    for (n, from, to) in &bands {
        let _ = write!(
            out,
            "<a href=\"#leg-{n}\" tabindex=\"-1\" class=\"band\" data-i=\"{n}\"><rect {STEADY} x=\"{:.1}\" y=\"0\" width=\"{:.1}\" height=\"100\"/></a>",
            from * 10.0,
            (to - from) * 10.0
        );
    }
    let one_m = one_m(units);
    let grid_m: Vec<f64> = match units {
        Units::Metric => vec![5.0, 10.0, 15.0],
        Units::Imperial => [20.0, 40.0].map(|ft| ft * one_m).to_vec(),
    };
    let mut grid = String::new();
    for m in grid_m.iter().filter(|m| **m < top_m) {
        let _ = write!(grid, "M0 {:.1}H1000", 100.0 - m / top_m * 100.0);
    }
    let margin = 100.0 - told.margin_m / top_m * 100.0;
    let _ = writeln!(
        out,
        "<path class=\"grid\" {STEADY} d=\"{grid}\"/><path class=\"margin\" {STEADY} d=\"M0 {margin:.1}H1000\"/><path class=\"bound\" {STEADY} d=\"{}\"/>",
        steps(&list, top_m)
    );
    for ((letter, gap, _), (x, at)) in tight.iter().zip(spots.iter().zip(&at)) {
        let y = 100.0 - (gap.gap_m / top_m).min(1.0) * 100.0;
        let _ = write!(
            out,
            "<path class=\"drop\" {STEADY} data-i=\"g{letter}\" d=\"M{:.1} 0L{:.1} {y:.1}\"/><path class=\"dot\" {STEADY} d=\"M{:.1} {y:.1}h0\"/>",
            x * 10.0,
            at * 10.0,
            at * 10.0
        );
    }
    out.push_str("</svg>");
    let _ = write!(out, "<span class=\"y\">{}</span>", units.length(top_m, 0));
    for m in grid_m.iter().filter(|m| **m < top_m - 2.0) {
        let _ = write!(
            out,
            "<span class=\"y up\" style=\"bottom:{:.1}%\">{}</span>",
            m / top_m * 100.0,
            units.bare(*m, 0)
        );
    }
    out.push_str("</div><div class=\"ways\">");
    let tick = tick(length_m / one_m);
    for i in 0..=(length_m / one_m / tick) as usize {
        let n = i as f64 * tick;
        let unit = if i == 0 {
            format!(" {}", units.length_unit())
        } else {
            String::new()
        };
        let _ = write!(
            out,
            "<span style=\"left:{:.2}%\">{n:.0}{unit}</span>",
            percent(n * one_m)
        );
    }
    out.push_str("</div></div>\n");
    if !tight.is_empty() {
        out.push_str("<p class=\"small tight\">");
        for (letter, _, g) in tight.iter().take(NAMED) {
            let _ = write!(
                out,
                "<span data-i=\"g{letter}\"><b>{letter}</b> {} {}</span> ",
                units.gap(g.gap_m),
                escape(&g.obstacle)
            );
        }
        out.push_str("</p>\n");
    }
}

/// Places for letters in a row, percent: in the order of the way, never nearer to one another than a narrow screen allows.
fn spread(at: &[f64]) -> Vec<f64> {
    const APART: f64 = 5.2;
    let mut order: Vec<usize> = (0..at.len()).collect();
    order.sort_by(|a, b| at[*a].total_cmp(&at[*b]));
    let mut places = vec![0.0; at.len()];
    let mut least = APART / 2.0;
    for i in &order {
        places[*i] = at[*i].max(least);
        least = places[*i] + APART;
    }
    let mut most = 100.0 - APART / 2.0;
    for i in order.iter().rev() {
        places[*i] = places[*i].min(most);
        most = places[*i] - APART;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_keep_apart_and_in_order() {
        let at = [0.9, 0.9, 3.0, 98.0, 99.0, 50.0];
        let places = spread(&at);
        let mut sorted = places.clone();
        sorted.sort_by(f64::total_cmp);
        assert!(sorted.windows(2).all(|w| w[1] - w[0] > 5.2 - 1e-9), "{sorted:?}");
        // Where the steps were taken back a sum may round.
        assert!(sorted[0] >= 2.6 - 1e-9 && sorted[5] <= 97.4, "{sorted:?}");
        assert!(places[2] > places[1] && places[5] == 50.0);
    }

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
