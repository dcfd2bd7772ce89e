//! Devices as text, without a window: what is seen, and what is made of it. For finding out why pedals do not work.

use super::device::{Attached, DeviceSource, Rack, Report, axis_name};
use super::guess::guess;
use super::input::Input;
use super::lead::Lead;
use super::settings::{Settings, from_text};
use super::{Source, store};
use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;
use std::time::{Duration, Instant};

/// Time in which every device that is plugged in has been found, or is known to be locked.
const LOOK_FOR: Duration = Duration::from_secs(3);
const PAUSE: Duration = Duration::from_millis(10);

/// One device and its axes, as lines.
fn describe(a: &Attached, settings: &Settings) -> String {
    let known = settings.devices.get(&a.info.key());
    let setting = known.cloned().unwrap_or_else(|| guess(&a.info));
    let mut lines = vec![format!(
        "{} ({}), {} buttons{}",
        a.info.name,
        a.info.key(),
        a.info.buttons.len(),
        if setting.guessed { ", assigned by guess" } else { "" }
    )];
    for axis in &a.info.axes {
        let drives = setting.axes.get(&axis.code).and_then(|x| x.drives);
        lines.push(format!(
            "  {}: raw {} to {}, now {}, drives {}",
            axis_name(axis.code),
            axis.least,
            axis.greatest,
            axis.now,
            drives.map_or("nothing", Input::words)
        ));
    }
    lines.join("\n")
}

/// Lists or watches the devices of this computer on the terminal.
pub fn run(settings: Option<&Path>, watch_s: Option<f64>) -> ExitCode {
    let usual = store::usual_file();
    // Only looked at: whatever is wrong with the file is left to the window, which keeps it aside.
    let file = settings.or(usual.as_deref()).filter(|f| f.exists());
    let read = file.map(|f| match std::fs::read_to_string(f) {
        Ok(text) => from_text(&text).map_err(|list| list.join("; ")),
        Err(e) => Err(e.to_string()),
    });
    let settings = match (read, file) {
        (Some(Ok((_, settings))), _) => settings,
        (Some(Err(words)), Some(f)) => {
            let _ = writeln!(
                io::stderr(),
                "toeline-sandbox: {}: {words}; defaults are used",
                f.display()
            );
            Settings::default()
        }
        _ => Settings::default(),
    };
    let source = Source::of_this_computer();
    let Ok(mut source) = source.0.lock() else {
        return ExitCode::from(2);
    };
    let mut out = std::io::stdout();
    let done = match watch_s {
        Some(seconds) => watch(source.as_mut(), &settings, seconds, &mut out),
        None => list(source.as_mut(), &settings, &mut out),
    };
    // A reader that closed the pipe has read enough.
    done.map_or(ExitCode::from(2), |()| ExitCode::SUCCESS)
}

/// Lists what is plugged in.
///
/// # Errors
/// When the text cannot be written.
pub fn list(source: &mut dyn DeviceSource, settings: &Settings, out: &mut dyn Write) -> io::Result<()> {
    let begun = Instant::now();
    let mut rack = Rack::default();
    let mut trouble = Vec::new();
    while begun.elapsed() < LOOK_FOR {
        for report in source.poll() {
            // Only what stands there counts, not what it does meanwhile.
            match &report {
                Report::Here(..) | Report::Gone(_) => rack.take(&report),
                Report::Locked(words) | Report::NoSource(words) => trouble.push(words.clone()),
                Report::Axis(..) | Report::Button(..) => {}
            }
        }
        std::thread::sleep(PAUSE);
    }
    if rack.list.is_empty() && trouble.is_empty() {
        writeln!(out, "No pedals, stick or gamepad is plugged in.")?;
    }
    for a in &rack.list {
        writeln!(out, "{}", describe(a, settings))?;
    }
    for words in trouble {
        writeln!(out, "{words}")?;
    }
    Ok(())
}

/// Prints every change of an input for some seconds, with the raw value that made it.
///
/// # Errors
/// When the text cannot be written.
pub fn watch(source: &mut dyn DeviceSource, settings: &Settings, seconds: f64, out: &mut dyn Write) -> io::Result<()> {
    let begun = Instant::now();
    let (mut rack, mut lead) = (Rack::default(), Lead::default());
    let mut settings = settings.clone();
    while begun.elapsed().as_secs_f64() < seconds {
        for report in source.poll() {
            match &report {
                Report::Here(id, info) => {
                    let setting = settings.devices.entry(info.key()).or_insert_with(|| guess(info));
                    lead.meet(*id, info, setting);
                    writeln!(out, "here: {} ({})", info.name, info.key())?;
                }
                Report::Gone(id) => {
                    let name = rack.get(*id).map_or("", |a| a.info.name.as_str());
                    let lost: Vec<&str> = lead.gone(*id, None).into_iter().map(Input::words).collect();
                    writeln!(out, "gone: {name}; to the keys: {}", lost.join(", "))?;
                }
                Report::Axis(id, code, raw) => {
                    let axis = rack
                        .get(*id)
                        .and_then(|a| settings.devices.get(&a.info.key()))
                        .and_then(|d| d.axes.get(code));
                    if let Some((a, input)) = axis.and_then(|a| a.drives.map(|i| (a, i))) {
                        let value = a.calibration.value(f64::from(*raw), input);
                        lead.axis(input, *id, *code, value);
                        writeln!(out, "{}: raw {raw} is {} {value:.3}", axis_name(*code), input.words())?;
                    } else {
                        writeln!(out, "{}: raw {raw} drives nothing", axis_name(*code))?;
                    }
                }
                Report::Button(_, code, down) => {
                    writeln!(out, "button {code} {}", if *down { "down" } else { "up" })?;
                }
                Report::Locked(words) | Report::NoSource(words) => writeln!(out, "{words}")?,
            }
            rack.take(&report);
            out.flush()?;
        }
        std::thread::sleep(PAUSE);
    }
    Ok(())
}
