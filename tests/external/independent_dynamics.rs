//! The shipped `step()` against its own equations, written a second time, in Python, and integrated by scipy.
//!
//! Source: `docs/dynamics.md` and the modules' notes for the equations; scipy's `solve_ivp` (Radau, fifth order, relative
//! tolerance 1e-7) for their solution. `python/aeroplane.py` has forces as plain functions of the state and knows nothing
//! of ticks, sweeps or constraints. So this shows that the step solves the equations it says it solves, not that they are
//! the world's: for that see the published models and closed forms in the other files.
//!
//! The step is of first order: its error goes with the tick. The first test states how large that is at the tick in use;
//! the second cuts the tick in four and in sixteen and sees the difference do nearly the same, in every figure of every drive.
//! So the limit of ever shorter ticks is the solution of the equations. A tyre that sticks, a brake that holds and a stop are
//! rigid here and very stiff there: that is smaller than what the second test can see.

use std::ffi::OsString;
use std::sync::OnceLock;

use serde_json::Value;
use toeline_dynamics::{End, LEFT, Params, RIGHT, State};
use toeline_model::angle;
use toeline_model::units::G_MPS2;

use crate::manoeuvres::{COMPARED, Manoeuvre, Off, all};
use crate::python::{answer, python};

/// What the solver's tolerances come to, at most, whatever is compared.
const TOLERANCE: f64 = 1e-7;

/// A figure 5 per cent off: which, the drive in which it must be seen, and how.
type Falsified = (&'static str, &'static str, fn(Params) -> Params);

fn falsified() -> [Falsified; 3] {
    [
        ("wheelbase", "pedal, then brakes", |p| Params {
            wheelbase_m: 1.05 * p.wheelbase_m,
            nose_ahead_m: p.nose_ahead_m + 0.05 * p.wheelbase_m,
            ..p
        }),
        ("tyre stiffness", "small pedal", |p| Params {
            tyre_per_load: p.tyre_per_load.map(|c| 1.05 * c),
            ..p
        }),
        ("brake", "straight braking", |p| Params {
            full_brake_nm: 1.05 * p.full_brake_nm,
            ..p
        }),
    ]
}

fn find<'a>(all: &'a [Manoeuvre], name: &str) -> (usize, &'a Manoeuvre) {
    let at = all.iter().position(|m| m.name == name);
    let at = at.unwrap_or_else(|| panic!("no drive {name}"));
    (at, &all[at])
}

/// Python's answers to all drives, then to the falsified ones; asked once for all tests.
fn answers(python: &OsString) -> &'static [Value] {
    static ANSWERS: OnceLock<Value> = OnceLock::new();
    let answers = ANSWERS.get_or_init(|| {
        let all = all();
        let mut asked: Vec<Value> = all.iter().map(|m| m.question(&m.params())).collect();
        for (_, name, wrong) in falsified() {
            let (_, m) = find(&all, name);
            asked.push(m.question(&wrong(m.params())));
        }
        answer(python, "full_model.py", &Value::Array(asked))
    });
    answers.as_array().expect("an answer a question")
}

/// Greatest differences over a drive. Loads are a tick's result, so the start has none to compare; all else is given there.
fn differences(m: &Manoeuvre, mine: &[State], answer: &Value) -> Off {
    let weight = m.params().mass_kg * G_MPS2;
    let theirs = answer["samples"].as_array().expect("samples");
    assert_eq!((answer["name"].as_str(), theirs.len()), (Some(m.name), mine.len()));
    let mut worst = [0.0_f64; COMPARED.len()];
    for (a, b) in mine.iter().zip(theirs).skip(1) {
        let n = |key: &str| b[key].as_f64().unwrap_or_else(|| panic!("{}: no {key}", m.name));
        let load = (0..3).map(|i| (a.load_n[i] - b["load_n"][i].as_f64().expect("a load")).abs());
        let rpm = n("engine_radps") * 30.0 / std::f64::consts::PI;
        let heat = (a.brake_c[0] - n("left_c"))
            .abs()
            .max((a.brake_c[1] - n("right_c")).abs());
        let now = [
            (a.x_m - n("x_m")).hypot(a.y_m - n("y_m")),
            angle::wrap(a.yaw_rad - n("yaw_rad")),
            a.forward_mps - n("forward_mps"),
            a.left_mps - n("left_mps"),
            a.yaw_radps - n("yaw_radps"),
            a.heave_m - n("heave_m"),
            a.pitch_rad - n("pitch_rad"),
            a.roll_rad - n("roll_rad"),
            load.fold(0.0, f64::max) / weight,
            a.nose_wheel_rad - n("nose_wheel_rad"),
            a.engine.rpm - rpm,
            heat,
        ];
        for (w, d) in worst.iter_mut().zip(now) {
            *w = w.max(d.abs());
        }
    }
    worst
}

/// The first thing that is further off than allowed.
fn too_far(off: &Off, allowed: &Off) -> Option<String> {
    let i = (0..COMPARED.len()).find(|i| off[*i] > allowed[*i])?;
    Some(format!("{}: {:.3e}, allowed {:.3e}", COMPARED[i], off[i], allowed[i]))
}

fn shown(off: &Off) -> String {
    off.map(|d| format!("{d:.2e}")).join(" ")
}

#[test]
fn the_step_follows_its_equations_solved_by_another_program() {
    let Some(python) = python() else { return };
    println!("{}", COMPARED.join("; "));
    for (m, answer) in all().iter().zip(answers(&python)) {
        let off = differences(m, &m.drive(1), answer);
        println!("{:>5} m/s, {:<36} {}", m.speed_mps, m.name, shown(&off));
        if let Some(what) = too_far(&off, &m.bound) {
            panic!("{} at {} m/s: {what}", m.name, m.speed_mps);
        }
    }
}

#[test]
fn a_quarter_of_the_tick_leaves_a_quarter_of_the_difference() {
    let Some(python) = python() else { return };
    for (m, answer) in all().iter().zip(answers(&python)) {
        let [whole, quarter, sixteenth] = [1, 4, 16].map(|n| differences(m, &m.drive(n * m.from_parts), answer));
        println!("{:<36} at a sixteenth {}", m.name, shown(&sixteenth));
        let allowed = |share: f64| -> Off { std::array::from_fn(|i| share * whole[i] + TOLERANCE) };
        // First order: 1/4 and 1/16 but for what is of second order in the tick.
        for (share, off) in [(0.29, &quarter), (0.075, &sixteenth)] {
            if let Some(what) = too_far(off, &allowed(share)) {
                panic!("{}: {what}", m.name);
            }
        }
    }
}

#[test]
fn five_per_cent_on_one_figure_would_be_seen() {
    let Some(python) = python() else { return };
    let (all, answers) = (all(), answers(&python));
    for (k, (figure, name, _)) in falsified().into_iter().enumerate() {
        let (at, m) = find(&all, name);
        let mine = m.drive(1);
        let wrong = differences(m, &mine, &answers[all.len() + k]);
        let seen = too_far(&wrong, &m.bound);
        println!(
            "{figure} 5 % off in \"{name}\": {}",
            seen.as_deref().unwrap_or("not seen")
        );
        assert!(seen.is_some(), "{figure}: {}", shown(&wrong));
        assert_eq!(
            too_far(&differences(m, &mine, &answers[at]), &m.bound),
            None,
            "and only then"
        );
    }
}

#[test]
fn the_drives_do_what_they_are_for() {
    let all = all();
    let ends = |name: &str| {
        let (_, m) = find(&all, name);
        (m.params(), m.drive(1))
    };
    let (_, states) = ends("breaks away from rest");
    assert!(states[20].spin_radps == [0.0; 3] && states[states.len() - 1].forward_mps > 2.0);
    let (p, states) = ends("pedal and inside brake, to the stop");
    assert!(states.iter().any(|s| s.nose_wheel_rad == p.caster_stop_rad));
    let (_, states) = ends("brakes until it stands");
    // The wheels stand while the body still rocks on its struts.
    assert_eq!(states[states.len() - 1].spin_radps, [0.0; 3]);
    let (_, states) = ends("wheels lock and slide");
    assert!(
        states
            .iter()
            .any(|s| s.spin_radps[LEFT] == 0.0 && s.spin_radps[RIGHT] == 0.0 && s.forward_mps > 2.0)
    );
    let (_, states) = ends("cross wind and slope");
    assert!(states.iter().all(|s| s.end == End::No) && states.iter().any(|s| s.roll_rad > 0.01));
    let (_, states) = ends("on a tow bar");
    let speeds: Vec<f64> = states.iter().map(|s| s.forward_mps).collect();
    assert!(
        speeds.iter().any(|v| *v > 0.3) && speeds[speeds.len() - 1] < -0.03,
        "pulled, then pushed back"
    );
}
