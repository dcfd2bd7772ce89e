//! What the hands and feet did, run-length coded per control: a control that rests costs one run however long it rests.

use serde::{Deserialize, Serialize};
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_dynamics::{Controls, TowBar};

/// The course of one control: pairs of a number of ticks and the position held for so long.
type Course<T> = Vec<(u64, T)>;

/// The positions of all controls at every tick.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inputs {
    ticks: u64,
    rudder: Course<f64>,
    left_brake: Course<f64>,
    right_brake: Course<f64>,
    throttle: Course<f64>,
    aileron: Course<f64>,
    elevator: Course<f64>,
    mixture: Course<f64>,
    carburettor_heat: Course<f64>,
    parking_brake: Course<bool>,
    /// Absent in attempts older than the magneto switch: both, all the way.
    #[serde(default)]
    magnetos: Course<MagnetoSwitch>,
    /// Absent in attempts older than the starter: never.
    #[serde(default)]
    starter: Course<bool>,
    /// Absent in attempts without a tow bar.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    tow_bar: Course<Option<TowBar>>,
}

fn extend<T: PartialEq>(course: &mut Course<T>, value: T) {
    match course.last_mut() {
        Some((ticks, last)) if *last == value => *ticks += 1,
        _ => course.push((1, value)),
    }
}

/// Total of a course's runs; `None` when a run is empty or the total does not fit.
fn total<T>(course: &Course<T>) -> Option<u64> {
    course.iter().try_fold(
        0_u64,
        |sum, (ticks, _)| {
            if *ticks == 0 { None } else { sum.checked_add(*ticks) }
        },
    )
}

impl Inputs {
    /// Number of ticks.
    pub fn ticks(&self) -> u64 {
        self.ticks
    }

    /// Number of runs in all controls together: what the record's size goes with.
    pub fn runs(&self) -> usize {
        self.numbers().iter().map(|(_, c)| c.len()).sum::<usize>()
            + self.parking_brake.len()
            + self.magnetos.len()
            + self.starter.len()
            + self.tow_bar.len()
    }

    /// Adds a tick. Positions are put into their range first; a position in range keeps its bits.
    pub fn push(&mut self, controls: &Controls) {
        let c = controls.clamped();
        self.ticks += 1;
        extend(&mut self.rudder, c.rudder);
        extend(&mut self.left_brake, c.left_brake);
        extend(&mut self.right_brake, c.right_brake);
        extend(&mut self.throttle, c.throttle);
        extend(&mut self.aileron, c.aileron);
        extend(&mut self.elevator, c.elevator);
        extend(&mut self.mixture, c.mixture);
        extend(&mut self.carburettor_heat, c.carburettor_heat);
        extend(&mut self.parking_brake, c.parking_brake);
        extend(&mut self.magnetos, c.magnetos);
        extend(&mut self.starter, c.starter);
        // Most attempts never see a bar: its course begins with the first one.
        if c.tow_bar.is_some() && self.tow_bar.is_empty() && self.ticks > 1 {
            self.tow_bar.push((self.ticks - 1, None));
        }
        if c.tow_bar.is_some() || !self.tow_bar.is_empty() {
            extend(&mut self.tow_bar, c.tow_bar);
        }
    }

    /// Adds what was done next. The result is the same, run for run, as if every tick had been pushed here.
    pub fn append(&mut self, next: &Inputs) {
        for controls in next.iter() {
            self.push(&controls);
        }
    }

    fn numbers(&self) -> [(&'static str, &Course<f64>); 8] {
        [
            ("rudder", &self.rudder),
            ("left_brake", &self.left_brake),
            ("right_brake", &self.right_brake),
            ("throttle", &self.throttle),
            ("aileron", &self.aileron),
            ("elevator", &self.elevator),
            ("mixture", &self.mixture),
            ("carburettor_heat", &self.carburettor_heat),
        ]
    }

    /// What does not fit together, in words; empty when all is sound.
    pub fn problems(&self) -> Vec<String> {
        let mut list = Vec::new();
        let mut check = |name: &str, sum: Option<u64>| match sum {
            None => list.push(format!(
                "inputs.{name}: a run of 0 ticks, or more ticks than can be counted"
            )),
            Some(sum) if sum != self.ticks => list.push(format!(
                "inputs.{name}: its runs add up to {sum} ticks; the attempt has {}",
                self.ticks
            )),
            Some(_) => {}
        };
        for (name, course) in self.numbers() {
            check(name, total(course));
        }
        check("parking_brake", total(&self.parking_brake));
        if !self.magnetos.is_empty() {
            check("magnetos", total(&self.magnetos));
        }
        if !self.starter.is_empty() {
            check("starter", total(&self.starter));
        }
        if !self.tow_bar.is_empty() {
            check("tow_bar", total(&self.tow_bar));
        }
        list
    }

    /// The positions tick by tick. Ends early where a control's runs end early (see [`Inputs::problems`]).
    pub fn iter(&self) -> impl Iterator<Item = Controls> + '_ {
        let mut numbers = self.numbers().map(|(_, course)| Cursor::new(course));
        let mut parking = Cursor::new(&self.parking_brake);
        let mut magnetos = (!self.magnetos.is_empty()).then(|| Cursor::new(&self.magnetos));
        let mut starter = (!self.starter.is_empty()).then(|| Cursor::new(&self.starter));
        let mut tow_bar = (!self.tow_bar.is_empty()).then(|| Cursor::new(&self.tow_bar));
        (0..self.ticks).map_while(move |_| {
            let mut at = [0.0; 8];
            for (value, cursor) in at.iter_mut().zip(&mut numbers) {
                *value = cursor.next()?;
            }
            let [
                rudder,
                left_brake,
                right_brake,
                throttle,
                aileron,
                elevator,
                mixture,
                carburettor_heat,
            ] = at;
            Some(Controls {
                rudder,
                left_brake,
                right_brake,
                throttle,
                aileron,
                elevator,
                mixture,
                carburettor_heat,
                parking_brake: parking.next()?,
                magnetos: match &mut magnetos {
                    Some(cursor) => cursor.next()?,
                    None => MagnetoSwitch::Both,
                },
                starter: match &mut starter {
                    Some(cursor) => cursor.next()?,
                    None => false,
                },
                tow_bar: match &mut tow_bar {
                    Some(cursor) => cursor.next()?,
                    None => None,
                },
            })
        })
    }
}

struct Cursor<'a, T> {
    course: &'a [(u64, T)],
    used: u64,
}

impl<'a, T: Copy> Cursor<'a, T> {
    fn new(course: &'a [(u64, T)]) -> Cursor<'a, T> {
        Cursor { course, used: 0 }
    }

    fn next(&mut self) -> Option<T> {
        while self.course.first().is_some_and(|(ticks, _)| self.used >= *ticks) {
            self.course = &self.course[1..];
            self.used = 0;
        }
        self.used += 1;
        self.course.first().map(|(_, value)| *value)
    }
}
