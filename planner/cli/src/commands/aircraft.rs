//! `toeline aircraft`: list, show, check.

use crate::args::{AircraftArgs, AircraftCommand};
use crate::{files, wish};
use toeline_model::aircraft::{SteeringKind, catalog};

pub(crate) fn run(args: &AircraftArgs) -> Result<u8, String> {
    match args.what.as_ref().unwrap_or(&AircraftCommand::List) {
        AircraftCommand::List => files::say(&list()),
        AircraftCommand::Show { name } => {
            let aircraft = wish::aircraft(name)?;
            let text = serde_json::to_string_pretty(&aircraft).map_err(|e| e.to_string())?;
            files::say(&format!("{text}\n"));
        }
        AircraftCommand::Check { file } => {
            let a = wish::from_file(file)?;
            files::say(&format!(
                "{}: sound: {} ({}), span {} m\n",
                file.display(),
                a.name,
                a.id,
                a.wing.span_m
            ));
        }
    }
    Ok(0)
}

fn list() -> String {
    let mut text = format!(
        "{:<16} {:<46} {:>6} {:>6} {:>7} {:>8}\n",
        "name", "aeroplane (generic, fictional)", "span m", "mass kg", "radius m", "tightest"
    );
    for a in catalog::all() {
        let steering = match a.steering.kind {
            SteeringKind::FreeCaster => "caster".to_string(),
            SteeringKind::Linked => format!("{:.1}", a.steering_radius_m()),
        };
        text += &format!(
            "{:<16} {:<46} {:>6.1} {:>7.0} {:>8} {:>8.1}\n",
            a.id,
            a.name,
            a.wing.span_m,
            a.mass.taxi_kg,
            steering,
            a.tightest_radius_m()
        );
    }
    text + "radius: smallest way of the nose wheel with steering alone; tightest: with inside brake.\n"
}
