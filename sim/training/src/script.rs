//! Driving from a text, exact to the tick, so that a test or a demonstration needs no window.
//!
//! One order a line, `#` begins a remark. Positions hold until they are changed; before the first order all controls are
//! as in `Controls::default()`.
//!
//! ```text
//! at 0    throttle 0.3
//! at 480  rudder -1 left_brake 0.4
//! at 960  parking_brake on throttle 0
//! end 1200
//! ```

use crate::attempt::{Attempt, Environment, MOST_TICKS};
use crate::recorder::Recorder;
use std::sync::Arc;
use toeline_dynamics::contacts::Surroundings;
use toeline_dynamics::controls::MOST_PUSH_N;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::{Air, Controls, Ground, State, TowBar, step};
use toeline_model::Aircraft;
use toeline_model::units::DEG;

/// What to hold from which tick on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Script {
    /// Ticks, counted from the start, with the controls that hold from there; ticks rise.
    pub orders: Vec<(u64, Controls)>,
    /// Number of ticks to drive.
    pub ticks: u64,
}

/// One thing wrong in a script.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScriptProblem {
    /// Line, counted from 1.
    pub line: usize,
    /// What is wrong, with value and limit.
    pub text: String,
}

impl core::fmt::Display for ScriptProblem {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "line {}: {}", self.line, self.text)
    }
}

const NAMES: &str = "rudder, left_brake, right_brake, throttle, aileron, elevator, mixture, carburettor_heat, \
    parking_brake, magnetos, starter, tow_bar, tow_pull_n, tow_angle_deg";

fn set(controls: &mut Controls, name: &str, value: &str) -> Result<(), String> {
    if matches!(name, "parking_brake" | "starter" | "tow_bar") {
        let on = match value {
            "on" => true,
            "off" => false,
            _ => return Err(format!("{name} \"{value}\": write on or off")),
        };
        match name {
            "starter" => controls.starter = on,
            "tow_bar" => controls.tow_bar = on.then(TowBar::default),
            _ => controls.parking_brake = on,
        }
        return Ok(());
    }
    if matches!(name, "tow_pull_n" | "tow_angle_deg") {
        let most = if name == "tow_pull_n" { MOST_PUSH_N } else { 90.0 };
        let number = match value.parse::<f64>() {
            Ok(number) if number.abs() <= most => number,
            Ok(number) => return Err(format!("{name} {number} is outside -{most} to {most}")),
            Err(_) => return Err(format!("{name} \"{value}\" is not a number")),
        };
        let bar = controls.tow_bar.get_or_insert_default();
        match name {
            "tow_pull_n" => bar.pull_n = number,
            _ => bar.angle_rad = number * DEG,
        }
        return Ok(());
    }
    if name == "magnetos" {
        controls.magnetos = match value {
            "off" => MagnetoSwitch::Off,
            "right" => MagnetoSwitch::Right,
            "left" => MagnetoSwitch::Left,
            "both" => MagnetoSwitch::Both,
            _ => return Err(format!("magnetos \"{value}\": write off, right, left or both")),
        };
        return Ok(());
    }
    let (place, low) = match name {
        "rudder" => (&mut controls.rudder, -1.0),
        "left_brake" => (&mut controls.left_brake, 0.0),
        "right_brake" => (&mut controls.right_brake, 0.0),
        "throttle" => (&mut controls.throttle, 0.0),
        "aileron" => (&mut controls.aileron, -1.0),
        "elevator" => (&mut controls.elevator, -1.0),
        "mixture" => (&mut controls.mixture, 0.0),
        "carburettor_heat" => (&mut controls.carburettor_heat, 0.0),
        _ => return Err(format!("\"{name}\" is no control; there are {NAMES}")),
    };
    match value.parse::<f64>() {
        Ok(number) if (low..=1.0).contains(&number) => {
            *place = number;
            Ok(())
        }
        Ok(number) => Err(format!("{name} {number} is outside {low} to 1")),
        Err(_) => Err(format!("{name} \"{value}\" is not a number")),
    }
}

fn tick(word: Option<&str>) -> Result<u64, String> {
    let word = word.ok_or("a tick number is missing")?;
    match word.parse::<u64>() {
        Ok(tick) if tick <= MOST_TICKS => Ok(tick),
        Ok(tick) => Err(format!("tick {tick} is above {MOST_TICKS} (24 h)")),
        Err(_) => Err(format!(
            "\"{word}\" is not a tick: write a whole number, 240 for each second"
        )),
    }
}

impl Script {
    /// Reads a script.
    ///
    /// # Errors
    /// Everything that is wrong in it, in the order of the lines; at least one problem.
    pub fn parse(text: &str) -> Result<Script, Vec<ScriptProblem>> {
        let mut script = Script::default();
        let mut problems = Vec::new();
        let (mut held, mut end) = (Controls::default(), None);
        let mut last_line = 0;
        for (number, line) in text.lines().enumerate() {
            let line_number = number + 1;
            last_line = line_number;
            let mut say = |text: String| {
                problems.push(ScriptProblem {
                    line: line_number,
                    text,
                })
            };
            let mut words = line.split('#').next().unwrap_or("").split_whitespace();
            let Some(order) = words.next() else { continue };
            if end.is_some() {
                say("nothing can follow the line with \"end\"".to_string());
                break;
            }
            let at = match order {
                "at" | "end" => tick(words.next()),
                _ => Err(format!(
                    "\"{order}\" is not an order: write at TICK CONTROL VALUE, or end TICK"
                )),
            };
            let at = match at {
                Ok(at) => at,
                Err(text) => {
                    say(text);
                    continue;
                }
            };
            if let Some((before, _)) = script.orders.last()
                && at <= *before
            {
                say(format!("tick {at} does not come after tick {before}"));
                continue;
            }
            if order == "end" {
                if let Some(more) = words.next() {
                    say(format!("\"{more}\" after the last tick"));
                }
                end = Some(at);
                continue;
            }
            let mut any = false;
            while let Some(name) = words.next() {
                any = true;
                let result = match words.next() {
                    Some(value) => set(&mut held, name, value),
                    None => Err(format!("{name} has no value")),
                };
                if let Err(text) = result {
                    say(text);
                }
            }
            if !any {
                say(format!("no control after tick {at}; there are {NAMES}"));
            }
            script.orders.push((at, held));
        }
        match end {
            Some(end) => script.ticks = end,
            None => problems.push(ScriptProblem {
                line: last_line.max(1),
                text: "the script has no line \"end TICK\"".to_string(),
            }),
        }
        if problems.is_empty() { Ok(script) } else { Err(problems) }
    }

    /// The controls tick by tick.
    pub fn controls(&self) -> impl Iterator<Item = Controls> + '_ {
        let mut ahead = self.orders.iter().peekable();
        let mut held = Controls::default();
        (0..self.ticks).map(move |tick| {
            while let Some((_, controls)) = ahead.next_if(|(at, _)| *at <= tick) {
                held = *controls;
            }
            held
        })
    }
}

/// Drives a script from a state and records it, a sound aeroplane with nothing around it. The aeroplane is taken whole,
/// since an attempt keeps it whole.
pub fn run_script(aircraft: &Aircraft, ground: Ground, air: Air, start: &State, script: &Script) -> Attempt {
    let environment = Environment {
        ground,
        air,
        ..Environment::default()
    };
    run_script_among(aircraft, environment, None, start, script)
}

/// The same in any environment, with what stands around when that is to be watched.
pub fn run_script_among(
    aircraft: &Aircraft,
    environment: Environment,
    surroundings: Option<Arc<Surroundings>>,
    start: &State,
    script: &Script,
) -> Attempt {
    let params = environment.params(aircraft);
    let mut recorder = Recorder::new(aircraft, environment, start, None);
    if let Some(surroundings) = surroundings {
        recorder = recorder.among(surroundings);
    }
    let mut state = *start;
    for controls in script.controls() {
        state = step(&params, &environment.ground, &environment.air, &state, &controls);
        // Every tick comes once and in order, and a script is no longer than an attempt may be.
        if recorder.push(&controls, &state).is_err() {
            break;
        }
    }
    recorder.finish()
}
