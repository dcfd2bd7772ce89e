//! The program `toeline`: what was typed becomes what it means, the engine is asked, and the answer goes to the terminal
//! and into files. Exit codes: 0 found and clear of everything the map shows, 1 answered with a finding, 2 no answer.

mod args;
mod commands;
mod files;
mod pdf;
mod when;
mod wish;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let typed = args::Typed::parse();
    let answer = match typed.command {
        args::Command::Inspect(a) => commands::inspect::run(&a),
        args::Command::Plan(a) => commands::plan::run(&a),
        args::Command::Closing(a) => commands::closing::run(&a),
        args::Command::Fit(a) => commands::fit::run(&a),
        args::Command::Drive(a) => commands::drive::run(&a),
        args::Command::Debrief(a) => commands::debrief::run(&a),
        args::Command::Exercise(a) => commands::exercise::run(&a),
        args::Command::Aircraft(a) => commands::aircraft::run(&a),
        args::Command::Logbook(a) => commands::logbook::run(&a),
    };
    match answer {
        Ok(code) => ExitCode::from(code),
        Err(why) => {
            files::say_error(&why);
            ExitCode::from(2)
        }
    }
}
