//! `toeline inspect`: what a map file holds, every repair and doubt.

use crate::args::InspectArgs;
use crate::files;
use toeline_engine::graph;
use toeline_engine::notice::{Notice, NoticeKind};
use toeline_engine::read;
use toeline_model::Airfield;

pub(crate) fn run(args: &InspectArgs) -> Result<u8, String> {
    let text = files::read_text(&args.field)?;
    let mut line = files::ReadingLine::new();
    let found = read::read_with(&text, &mut |p| line.tell(p)).map_err(|e| format!("{}: {e}", args.field.display()))?;
    drop(line);
    let (taxi_graph, repairs) = graph::build(&found.field);
    let mut notices = found.notices;
    notices.extend(repairs);
    if args.json {
        let value = serde_json::json!({
            "toeline_inspect": 1,
            "field": found.field,
            "segments": taxi_graph.graph.edge_count(),
            "junctions": taxi_graph.graph.node_count(),
            "notices": notices,
        });
        let text = serde_json::to_string_pretty(&value).map_err(|e| e.to_string())?;
        files::say(&format!("{text}\n"));
    } else {
        files::say(&report(&found.field, &taxi_graph, &notices));
    }
    Ok(u8::from(notices.iter().any(|n| n.kind == NoticeKind::Doubt)))
}

fn report(field: &Airfield, taxi_graph: &graph::TaxiGraph, notices: &[Notice]) -> String {
    let mut out = format!("{}\n", field.name.as_deref().unwrap_or("airfield without a name"));
    let (lat, lon) = (field.origin.lat_deg, field.origin.lon_deg);
    let (ns, ew) = (if lat < 0.0 { 'S' } else { 'N' }, if lon < 0.0 { 'W' } else { 'E' });
    out += &format!(
        "  origin of the local plane: {:.6} {ns}, {:.6} {ew}\n",
        lat.abs(),
        lon.abs()
    );
    let letters: std::collections::BTreeSet<&str> = field
        .lanes
        .iter()
        .flat_map(|l| l.letters.iter().map(String::as_str))
        .collect();
    let joined = letters.into_iter().collect::<Vec<_>>().join(" ");
    let derived = taxi_graph.holds.iter().filter(|h| h.position.is_none()).count();
    for (what, count, more) in [
        ("runways", field.runways.len(), runways(field)),
        ("taxiways and taxilanes", field.lanes.len(), joined),
        (
            "closed of these",
            field.lanes.iter().filter(|l| l.closed.is_some()).count(),
            String::new(),
        ),
        (
            "stands",
            field.stands.len(),
            format!("{} joined to a lane", taxi_graph.stands.len()),
        ),
        (
            "holding positions",
            field.holding_positions.len(),
            format!("{derived} more derived"),
        ),
        ("engine-check areas", field.check_areas.len(), names(&field.check_areas)),
        ("hot spots", field.hot_spots.len(), names(&field.hot_spots)),
        ("aprons", field.aprons.len(), names(&field.aprons)),
        ("obstacles", field.obstacles.len(), heights(field)),
        (
            "pieces of way",
            taxi_graph.graph.edge_count(),
            format!("{} junctions and ends", taxi_graph.graph.node_count()),
        ),
    ] {
        out += format!("  {count:>5}  {what:<24} {more}").trim_end();
        out += "\n";
    }
    for (kind, title) in [
        (NoticeKind::Repair, "repaired"),
        (NoticeKind::Doubt, "doubtful"),
        (NoticeKind::LeftOut, "not used"),
    ] {
        let list: Vec<&Notice> = notices.iter().filter(|n| n.kind == kind).collect();
        if !list.is_empty() {
            out += &format!("{title}: {}\n", list.len());
            for n in list {
                let place =
                    n.at.map(|p| format!(" at {:.1} m east, {:.1} m north", p.x, p.y))
                        .unwrap_or_default();
                out += &format!("  {}{place}: {}\n", n.feature, n.text);
            }
        }
    }
    out
}

fn names(areas: &[toeline_model::airfield::NamedArea]) -> String {
    areas
        .iter()
        .filter_map(|a| a.name.as_deref())
        .collect::<Vec<_>>()
        .join(", ")
}

fn runways(field: &Airfield) -> String {
    let list: Vec<String> = field
        .runways
        .iter()
        .map(|r| {
            r.designators
                .iter()
                .flatten()
                .map(String::as_str)
                .collect::<Vec<_>>()
                .join("/")
        })
        .filter(|n| !n.is_empty())
        .collect();
    list.join(", ")
}

fn heights(field: &Airfield) -> String {
    let without = field.obstacles.iter().filter(|o| o.top_m.is_none()).count();
    format!("{without} without a height")
}
