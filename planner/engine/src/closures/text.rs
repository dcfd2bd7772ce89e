//! The answer as plain text: what is lost, what becomes longer, what stays.

use super::{Broken, Change, Row};
use crate::briefing::CAUTION;
use crate::clean;
use std::collections::BTreeMap;

/// What the answer is about and what it is not.
pub(super) const SCOPE: &str = "By the price of the way and the limits of the map alone: taxi time and stated penalties, width, \
    surface, span limits, closures. The gaps beside the wings are not looked at; toeline plan does that.";

/// Writes the answer as text, with a line end.
pub fn text(broken: &Broken) -> String {
    let names: Vec<String> = broken.closed.iter().map(|c| clean::name(&c.0)).collect();
    let field = clean::name(broken.field.as_deref().unwrap_or("field without a name"));
    let when = broken.time_utc.map_or(String::new(), |t| format!(" {t}"));
    let mut out = format!(
        "{CAUTION}\n\n{field}: what is lost with {} closed\n{SCOPE}\n",
        names.join(" and ")
    );
    out += &match broken.also_closed.as_slice() {
        [] => format!("The map's own closures on {}{when}: none in force.\n", broken.date),
        list => format!(
            "The map's own closures on {}{when}, before and after: {}.\n",
            broken.date,
            list.iter().map(|w| clean::sentence(w)).collect::<Vec<_>>().join("; ")
        ),
    };
    if let Some(credit) = &broken.attribution {
        out += &format!("Map data: {credit}.\n");
    }
    for n in &broken.notams {
        out += &format!("Notice: {}\n", n.line());
    }
    if broken.not_known() {
        out +=
            "NOT KNOWN: a notice in force could not be laid on this map whole; more may be lost than is told here.\n";
    }
    for note in &broken.notes {
        out += &format!("Note: {}.\n", clean::sentence(note));
    }
    out += "\nLOST\n";
    let lost = grouped(broken, broken.of(Change::Lost), |_| String::new());
    out += &lines(&lost);
    let mut places: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for p in &broken.places {
        let named = clean::name(&p.place);
        places.entry(named).or_default().push(&p.aircraft);
    }
    for (place, of) in &places {
        out += &format!("  {place}: no stand leads to it, {}\n", for_whom(broken, of));
    }
    if lost.is_empty() && places.is_empty() {
        out += "  nothing\n";
    }
    out += "\nSTILL REACHED, DEARER\n";
    let dearer = grouped(broken, broken.of(Change::Dearer), longer);
    out += &lines(&dearer);
    if dearer.is_empty() {
        out += "  nothing\n";
    }
    let count = |c| broken.of(c).count();
    out += &format!(
        "\nOf {} ways (stand, runway end, aeroplane): {} lost, {} dearer, {} the same, {} without a way before.\n",
        broken.rows.len(),
        count(Change::Lost),
        count(Change::Dearer),
        count(Change::Same),
        count(Change::NeverHad)
    );
    out
}

/// "52 m longer, 12 s dearer, by taxilane L, taxiway A".
fn longer(row: &Row) -> String {
    let (Some(b), Some(a)) = (&row.before, &row.after) else {
        return String::new();
    };
    let by = a.by.iter().map(|n| clean::name(n)).collect::<Vec<_>>().join(", ");
    let more_s = (a.cost_ms.saturating_sub(b.cost_ms) as f64 / 1000.0).ceil();
    let more_m = (a.length_m - b.length_m).round();
    let length = if more_m < 0.0 {
        format!("{} m shorter", -more_m)
    } else {
        format!("{more_m} m longer")
    };
    format!("{length}, {more_s} s dearer, by {by}")
}

/// Equal lines of several aeroplanes in one, in the order of the rows: stand, runway, what is said, the aeroplanes.
type Line<'a> = (String, String, Vec<&'a str>);

fn grouped<'a>(
    broken: &'a Broken,
    rows: impl Iterator<Item = &'a Row>,
    said: impl Fn(&Row) -> String,
) -> Vec<Line<'a>> {
    let place: BTreeMap<(&str, &str), usize> = broken
        .rows
        .iter()
        .enumerate()
        .rev()
        .map(|(i, r)| ((r.feature.as_str(), r.runway.as_str()), i))
        .collect();
    let mut by: BTreeMap<(usize, String), Line<'a>> = BTreeMap::new();
    for r in rows {
        let at = place
            .get(&(r.feature.as_str(), r.runway.as_str()))
            .copied()
            .unwrap_or(0);
        let what = said(r);
        let way = format!("{} to runway {}", clean::name(&r.stand), clean::name(&r.runway));
        by.entry((at, what.clone()))
            .or_insert_with(|| (way, what, Vec::new()))
            .2
            .push(&r.aircraft);
    }
    // What is lost for the same aeroplanes to several runways is told in one line for each runway: a reader looks for his.
    by.into_values()
        .map(|(way, what, of)| {
            let whom = for_whom(broken, &of);
            let said = if what.is_empty() {
                whom
            } else {
                format!("{what}; {whom}")
            };
            (way, said, of)
        })
        .collect()
}

fn for_whom(broken: &Broken, of: &[&str]) -> String {
    if of.len() == broken.aircraft.len() {
        match of {
            [one] => format!("for {one}"),
            _ => format!("for all {} aeroplanes", of.len()),
        }
    } else {
        format!("for {}", of.join(", "))
    }
}

fn lines(list: &[Line<'_>]) -> String {
    list.iter().map(|(way, said, _)| format!("  {way}: {said}\n")).collect()
}
