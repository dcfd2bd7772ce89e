//! Says on the terminal what is shown, line by line, for those who drive the window by a program.

use super::hand::Grip;
use super::pick::{Place, label, spot};
use super::sheet::Sheet;
use super::shown::Shown;
use super::side::state_words;
use crate::drive::Phase;
use bevy::prelude::*;
use std::io::Write;

/// Insert this to have the states said.
#[derive(Resource, Clone, Copy, Debug, Default)]
pub struct Reports;

/// What was said last.
#[derive(Default)]
pub struct Said {
    phase: Option<Phase>,
    state: String,
    sheet: Option<Sheet>,
    grip: Grip,
    lit: Option<usize>,
    over: Option<Place>,
}

/// Says what has changed. Places are given in pixels of the window, once the sheet lies still.
pub fn report(phase: Res<Phase>, on: Shown, ui_scale: Res<UiScale>, mut said: Local<Said>) {
    let Shown {
        table,
        sheet,
        ends,
        hand,
        planner,
        trouble,
        lit,
        sizes,
        ..
    } = on;
    let mut lines: Vec<String> = Vec::new();
    if said.phase != Some(*phase) {
        said.phase = Some(*phase);
        lines.push(format!("shown: {:?}, room {:?}", *phase, sizes.room));
    }
    if *phase == Phase::Choosing && said.state != trouble.0 {
        said.state = trouble.0.clone();
        lines.push(format!("trouble: {}", trouble.0));
    }
    if let (Phase::Drawing, Some(table)) = (*phase, table) {
        let state = state_words(&table, &ends, &planner, &trouble);
        if said.state != state {
            lines.push(format!("state: {state}"));
            said.state = state;
        }
        if sheet.view.width > 0.0 && said.sheet != Some(*sheet) {
            said.sheet = Some(*sheet);
            let f = &table.field;
            let places = (0..f.stands.len())
                .map(Place::Stand)
                .chain((0..f.check_areas.len()).map(Place::CheckArea))
                .chain((0..f.holding_positions.len()).map(Place::Hold))
                .chain((0..f.runways.len()).flat_map(|i| [Place::RunwayEnd(i, 0), Place::RunwayEnd(i, 1)]));
            let k = f64::from(ui_scale.0);
            for p in places {
                if let Some(px) = spot(f, p).map(|s| sheet.px(s) * k) {
                    lines.push(format!("place: {} at {:.0} {:.0}", label(f, p), px.x, px.y));
                }
            }
            lines.push("sheet: lies still".into());
        }
        if said.grip != hand.grip {
            said.grip = hand.grip;
            match hand.grip {
                Grip::Point(role) => lines.push(format!("held: {role:?}")),
                Grip::Pressed(..) => lines.push("pressed".into()),
                Grip::Open | Grip::Sheet(_) => {}
            }
        }
        if said.over != hand.over {
            said.over = hand.over;
            let words = hand.over.map_or_else(|| "nothing".into(), |p| label(&table.field, p));
            lines.push(format!("over: {words}"));
        }
        if said.lit != lit.0 {
            said.lit = lit.0;
            lines.push(format!("lit: {:?}", lit.0));
        }
    }
    let mut out = std::io::stdout();
    for line in lines {
        let _ = writeln!(out, "{line}");
    }
    let _ = out.flush();
}
