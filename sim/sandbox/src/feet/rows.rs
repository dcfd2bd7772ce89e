//! What stands on the screen of controls, as plain rows: so that a test can see that every control is there.

use super::deeds::Deed;
use super::desk::{Desk, Waiting};
use super::device::{Attached, Rack, axis_name};
use super::input::Input;
use super::lead::{Lead, Who};
use super::settings::{MouseAxis, Settings};
use crate::feel::Hands;
use crate::keys::{Action, Bindings};

/// Something that can be done in a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// What it shows.
    pub words: String,
    /// What it does.
    pub deed: Deed,
    /// Whether it is being waited for.
    pub waiting: bool,
}

/// A bar that shows a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Where it begins, share of its length.
    pub from: f64,
    /// Where it ends, share of its length.
    pub to: f64,
}

impl Bar {
    fn of(value: f64, least: f64) -> Bar {
        let share = |v: f64| ((v - least) / (1.0 - least)).clamp(0.0, 1.0);
        let (zero, at) = (share(0.0), share(value));
        Bar {
            from: zero.min(at),
            to: zero.max(at),
        }
    }
}

/// One row. Without cells it is a heading or a remark.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is about.
    pub title: String,
    /// Whether it heads a part of the list.
    pub heading: bool,
    /// Live figures.
    pub live: String,
    /// A live bar, if it has a value.
    pub bar: Option<Bar>,
    /// What can be done.
    pub cells: Vec<Cell>,
}

fn heading(title: impl Into<String>) -> Row {
    Row {
        title: title.into(),
        heading: true,
        live: String::new(),
        bar: None,
        cells: Vec::new(),
    }
}

struct Page<'a> {
    bindings: &'a Bindings,
    settings: &'a Settings,
    rack: &'a Rack,
    lead: &'a Lead,
    hands: &'a Hands,
    desk: &'a Desk,
    narrow: bool,
}

/// All rows of the screen, in few words for a narrow one.
pub fn rows(
    bindings: &Bindings,
    settings: &Settings,
    rack: &Rack,
    lead: &Lead,
    hands: &Hands,
    desk: &Desk,
    narrow: bool,
) -> Vec<Row> {
    let page = Page {
        bindings,
        settings,
        rack,
        lead,
        hands,
        desk,
        narrow,
    };
    let mut list = vec![Row {
        title: "this screen".into(),
        heading: false,
        live: String::new(),
        bar: None,
        cells: vec![
            page.cell("close", Deed::Close),
            page.cell("keyboard check", Deed::KeyboardCheck),
            page.cell("all to default", Deed::Defaults),
        ],
    }];
    list.push(heading("Feet and hands: key for less, key for more, axis"));
    list.extend(Input::ALL.into_iter().map(|i| page.input(i)));
    if rack.list.is_empty() {
        list.push(heading("No pedals, stick or gamepad is plugged in"));
    }
    for a in &rack.list {
        page.device(a, &mut list);
    }
    list.push(heading("Mouse: what it drives, direction, travel"));
    list.extend(MouseAxis::ALL.into_iter().map(|m| page.mouse(m)));
    list.push(heading("Switches, views and the rest: key or button"));
    let by_input = |action: Action| {
        Input::ALL.into_iter().any(|i| {
            let (down, up) = i.actions();
            up == action || down == Some(action)
        })
    };
    for b in bindings.0.iter().filter(|b| !by_input(b.action)) {
        list.push(Row {
            title: b.words.into(),
            heading: false,
            live: String::new(),
            bar: None,
            cells: vec![page.trigger(b.action)],
        });
    }
    list
}

impl Page<'_> {
    /// The longer or the shorter of two ways to say it.
    fn say(&self, long: impl Into<String>, short: impl Into<String>) -> String {
        if self.narrow { short.into() } else { long.into() }
    }

    fn direction(&self, inverted: bool) -> String {
        if inverted {
            self.say("inverted", "inv")
        } else {
            self.say("not inverted", "as is")
        }
    }

    fn drives(&self, input: Option<Input>) -> String {
        match input {
            None => "nothing".into(),
            Some(Input::CarburettorHeat) => self.say("carburettor heat", "carb heat"),
            Some(input) => input.words().into(),
        }
    }

    fn cell(&self, words: impl Into<String>, deed: Deed) -> Cell {
        let waiting = match (&self.desk.waiting, deed) {
            (Some(Waiting::Trigger(a)), Deed::Rebind(b)) => *a == b,
            (Some(Waiting::Axis(a, _)), Deed::FindAxis(b)) => *a == b,
            (Some(Waiting::Ends(a, c, _)), Deed::Calibrate(b, d)) => (*a, *c) == (b, d),
            _ => false,
        };
        Cell {
            words: if waiting { "...".into() } else { words.into() },
            deed,
            waiting,
        }
    }

    /// The key of an action, and the device buttons that do it too.
    fn trigger(&self, action: Action) -> Cell {
        let mut words: Vec<String> = self
            .bindings
            .of(action)
            .and_then(|b| b.trigger)
            .map(|t| t.label())
            .into_iter()
            .collect();
        for a in &self.rack.list {
            if let Some(d) = self.settings.devices.get(&a.info.key()) {
                let codes = d.buttons.iter().filter(|(_, x)| **x == action);
                words.extend(codes.map(|(code, _)| format!("button {code}")));
            }
        }
        let words = if words.is_empty() {
            "none".into()
        } else {
            words.join(", ")
        };
        self.cell(words, Deed::Rebind(action))
    }

    fn input(&self, input: Input) -> Row {
        let (down, up) = input.actions();
        let value = self.lead.value(input).unwrap_or_else(|| self.hands.get(input));
        let who = match self.lead.who(input) {
            Who::Keys => "keys",
            Who::Mouse => "mouse",
            Who::Axis(..) => "axis",
        };
        let axes: Vec<String> = self
            .rack
            .list
            .iter()
            .filter_map(|a| self.settings.devices.get(&a.info.key()))
            .flat_map(|d| &d.axes)
            .filter(|(_, x)| x.drives == Some(input))
            .map(|(code, _)| axis_name(*code))
            .collect();
        let axes = if axes.is_empty() {
            "no axis".to_string()
        } else {
            format!("axis {}", axes.join(", "))
        };
        let mut cells: Vec<Cell> = down.into_iter().map(|a| self.trigger(a)).collect();
        cells.push(self.trigger(up));
        cells.push(self.cell(axes, Deed::FindAxis(input)));
        Row {
            title: input.words().into(),
            heading: false,
            live: format!("{value:+.2} {who}"),
            bar: Some(Bar::of(value, input.least())),
            cells,
        }
    }

    fn device(&self, a: &Attached, list: &mut Vec<Row>) {
        let setting = self.settings.devices.get(&a.info.key());
        let guessed = if setting.is_some_and(|s| s.guessed) {
            ", our guess"
        } else {
            ""
        };
        let name: String = a.info.name.chars().take(if self.narrow { 24 } else { 60 }).collect();
        list.push(heading(self.say(
            format!(
                "{name} ({}{guessed}): drives, ends, direction, dead zone, curve",
                a.info.key()
            ),
            format!("{name} ({}{guessed})", a.info.key()),
        )));
        for (code, raw) in &a.raw {
            let (code, axis) = (*code, setting.and_then(|s| s.axes.get(code)));
            let info = a.info.axis(code);
            let drives = axis.and_then(|x| x.drives);
            let value = match (axis, drives) {
                (Some(x), Some(input)) => format!("{raw} > {:+.2}", x.calibration.value(f64::from(*raw), input)),
                _ => raw.to_string(),
            };
            let share = info.map_or(0.0, |i| {
                let full = f64::from(i.greatest) - f64::from(i.least);
                if full > 0.0 {
                    (f64::from(*raw) - f64::from(i.least)) / full
                } else {
                    0.0
                }
            });
            let read = axis.map(|x| x.calibration);
            list.push(Row {
                title: axis_name(code),
                heading: false,
                live: value,
                bar: Some(Bar::of(share, 0.0)),
                cells: vec![
                    self.cell(self.drives(drives), Deed::Drives(a.id, code)),
                    self.cell(self.say("set ends", "ends"), Deed::Calibrate(a.id, code)),
                    self.cell(
                        self.direction(read.is_some_and(|r| r.inverted)),
                        Deed::Invert(a.id, code),
                    ),
                    self.cell(
                        {
                            let share = read.map_or(0.0, |r| r.dead_zone) * 100.0;
                            self.say(format!("dead {share:.0} %"), format!("{share:.0} %"))
                        },
                        Deed::DeadZone(a.id, code),
                    ),
                    self.cell(
                        {
                            let curve = read.map_or(0.0, |r| r.curve);
                            self.say(format!("curve {curve:.1}"), format!("{curve:.1}"))
                        },
                        Deed::Curve(a.id, code),
                    ),
                ],
            });
        }
    }

    fn mouse(&self, axis: MouseAxis) -> Row {
        let m = self.settings.mouse.get(&axis);
        Row {
            title: axis.words().into(),
            heading: false,
            live: String::new(),
            bar: None,
            cells: vec![
                self.cell(self.drives(m.and_then(|m| m.drives)), Deed::MouseDrives(axis)),
                self.cell(self.direction(m.is_some_and(|m| m.inverted)), Deed::MouseInvert(axis)),
                self.cell(
                    format!("travel {:.1}", m.map_or(0.0, |m| m.travel)),
                    Deed::MouseTravel(axis),
                ),
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_action_and_every_input_can_be_changed_here() {
        let (b, s) = (Bindings::default(), Settings::default());
        let list = rows(
            &b,
            &s,
            &Rack::default(),
            &Lead::default(),
            &Hands::default(),
            &Desk::default(),
            false,
        );
        let deeds: Vec<Deed> = list.iter().flat_map(|r| &r.cells).map(|c| c.deed).collect();
        for binding in &b.0 {
            let times = deeds.iter().filter(|d| **d == Deed::Rebind(binding.action)).count();
            assert_eq!(times, 1, "{:?}", binding.action);
        }
        for input in Input::ALL {
            assert!(deeds.contains(&Deed::FindAxis(input)), "{input:?}");
        }
    }
}
