//! The shipped `step()` against its own equations, written a second time in Python and integrated by scipy.

use serde_json::{Value, json};
use toeline_dynamics::{Air, Controls, Ground, LEFT, NOSE, Params, RIGHT, State, TICK_S, advance, step};
use toeline_model::airfield::Surface;
use toeline_model::aircraft::catalog;
use toeline_model::{Bearing, Pose, Xy, Yaw};

use crate::python::{answer, params_json};

const PER_SECOND: u32 = 20;

struct Case {
    name: &'static str,
    plane: &'static str,
    speed_mps: f64,
    ground: Ground,
    air: Air,
    legs: Vec<(f64, Controls)>,
}

impl Case {
    fn params(&self) -> Params {
        Params::from_aircraft(&catalog::find(self.plane).unwrap_or_else(|| panic!("no aeroplane {}", self.plane)))
    }

    fn start(&self, p: &Params) -> State {
        let pose = Pose { nose: Xy { x: 3.0, y: -2.0 }, heading_rad: Yaw::from_rad(0.7) };
        State::rolling(p, pose, self.speed_mps)
    }

    fn json(&self, name: &str, p: &Params) -> Value {
        let legs: Vec<Value> = self.legs.iter().map(|(until, c)| json!({"until_s": until, "controls": c})).collect();
        let wind = self.air.velocity_mps();
        json!({
            "name": name,
            "params": params_json(p),
            "ground": {"friction": self.ground.friction(), "rolling": self.ground.rolling(), "rise": self.ground.rise},
            "wind": [wind.x, wind.y],
            // The start is the true aeroplane's.
            "start": self.start(&self.params()),
            "legs": legs,
            "samples_per_second": PER_SECOND,
        })
    }

    fn drive(&self, parts: u32) -> Vec<State> {
        let p = self.params();
        let per_sample = 240 / PER_SECOND * parts;
        let dt = TICK_S / f64::from(parts);
        let mut states = vec![self.start(&p)];
        let mut state = states[0];
        let mut tick = 0;
        for (until, controls) in &self.legs {
            let end = (until * 240.0).round() as u32 * parts;
            while tick < end {
                state = if parts == 1 {
                    step(&p, &self.ground, &self.air, &state, controls)
                } else {
                    advance(&p, &self.ground, &self.air, &state, controls, dt)
                };
                tick += 1;
                if tick % per_sample == 0 {
                    states.push(state);
                }
            }
        }
        states
    }
}

fn cases() -> Vec<Case> {
    let paved = Ground::default();
    let grass = Ground { surface: Surface::Grass, wet: false, rise: [0.0; 2] };
    let calm = Air::default();
    let idle = Controls::default();
    vec![
        Case { name: "from rest with throttle", plane: "trainer-high-2", speed_mps: 0.0, ground: paved, air: calm,
            legs: vec![(1.0, Controls { throttle: 0.15, ..idle }), (4.0, Controls { throttle: 0.6, rudder: 0.3, ..idle })] },
        Case { name: "walking, pedal and inside brake", plane: "trainer-high-2", speed_mps: 0.5, ground: paved, air: calm,
            legs: vec![(0.5, Controls { throttle: 0.3, ..idle }), (5.0, Controls { rudder: -1.0, left_brake: 0.25, throttle: 0.3, ..idle })] },
        Case { name: "caster, inside brake", plane: "caster-low-2", speed_mps: 0.5, ground: paved, air: calm,
            legs: vec![(0.5, Controls { throttle: 0.3, ..idle }), (4.0, Controls { right_brake: 0.2, throttle: 0.4, ..idle })] },
        Case { name: "3 m/s, pedal, then brakes", plane: "tourer-low-4", speed_mps: 3.0, ground: grass, air: calm,
            legs: vec![(0.5, idle), (2.5, Controls { rudder: 0.5, throttle: 0.1, ..idle }),
                (4.0, Controls { rudder: 0.5, left_brake: 0.15, right_brake: 0.25, ..idle })] },
        Case { name: "10 m/s, pedal", plane: "trainer-high-2", speed_mps: 10.0, ground: paved, air: calm,
            legs: vec![(0.5, idle), (3.5, Controls { rudder: -0.15, throttle: 0.2, ..idle })] },
        Case { name: "10 m/s, brakes", plane: "tourer-high-4", speed_mps: 10.0, ground: paved, air: calm,
            legs: vec![(0.5, idle), (2.5, Controls { left_brake: 0.5, right_brake: 0.5, ..idle })] },
        Case { name: "10 m/s, cross wind, slope, elevator and aileron", plane: "motorglider-15", speed_mps: 10.0,
            ground: Ground { surface: Surface::Grass, wet: true, rise: [0.01, -0.02] },
            air: Air { wind_from: Some(Bearing::from_deg(310.0)), wind_mps: 7.0, ..Air::default() },
            legs: vec![(3.0, Controls { throttle: 0.5, elevator: -0.5, aileron: -0.4, rudder: 0.1, ..idle })] },
    ]
}

fn off(case: &Case, mine: &[State], theirs: &Value) -> [f64; 12] {
    let p = case.params();
    let mut worst = [0.0_f64; 12];
    let theirs = theirs["samples"].as_array().expect("samples");
    assert_eq!(mine.len(), theirs.len());
    for (a, b) in mine.iter().zip(theirs) {
        let n = |k: &str| b[k].as_f64().unwrap();
        let turn = a.yaw_rad - n("yaw_rad");
        let now = [
            (a.x_m - n("x_m")).hypot(a.y_m - n("y_m")),
            turn.sin().atan2(turn.cos()),
            a.forward_mps - n("forward_mps"),
            a.left_mps - n("left_mps"),
            a.yaw_radps - n("yaw_radps"),
            a.pitch_rad - n("pitch_rad"),
            a.roll_rad - n("roll_rad"),
            (0..3).map(|i| (a.load_n[i] - b["load_n"][i].as_f64().unwrap()).abs()).fold(0.0, f64::max) / (p.mass_kg * 9.8),
            a.nose_wheel_rad - n("nose_wheel_rad"),
            a.heave_m - n("heave_m"),
            a.engine.rpm - n("engine_radps") * 30.0 / std::f64::consts::PI,
            a.brake_c[0] - n("left_c"),
        ];
        for (w, d) in worst.iter_mut().zip(now) {
            *w = w.max(d.abs());
        }
    }
    worst
}

#[test]
fn explore() {
    let _ = (LEFT, NOSE, RIGHT);
    let cases = cases();
    let mut asked: Vec<Value> = cases.iter().map(|c| c.json(c.name, &c.params())).collect();
    for c in &cases {
        let p = c.params();
        for (what, wrong) in [
            ("wheelbase", Params { wheelbase_m: 1.05 * p.wheelbase_m, nose_ahead_m: p.nose_ahead_m + 0.05 * p.wheelbase_m, ..p }),
            ("tyre", Params { tyre_per_load: p.tyre_per_load.map(|c| 1.05 * c), ..p }),
            ("brake", Params { full_brake_nm: 1.05 * p.full_brake_nm, ..p }),
        ] {
            asked.push(c.json(what, &wrong));
        }
    }
    let started = std::time::Instant::now();
    let Some(answers) = answer("full_model.py", &Value::Array(asked)) else { return };
    println!("python {:?}", started.elapsed());
    println!("{:>8} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9} {:>9}", "", "pos", "yaw", "u", "v", "r", "pitch", "roll", "load/W", "nose", "heave","rpm","brakeC");
    for (i, c) in cases.iter().enumerate() {
        println!("{}", c.name);
        for parts in [1, 4, 16, 64] {
            let states = c.drive(parts);
            let d = off(c, &states, &answers[i]);
            println!("{parts:>8} {}", d.map(|x| format!("{x:9.2e}")).join(" "));
            if parts == 64 { let e = states.last().unwrap(); println!("   end u {:.3} r {:.3} nose {:.3} pitch {:.4} roll {:.4} load {:.0?} end {:?}", e.forward_mps, e.yaw_radps, e.nose_wheel_rad, e.pitch_rad, e.roll_rad, e.load_n, e.end); }
        }
        let states = c.drive(1);
        for (k, what) in ["wheelbase", "tyre", "brake"].iter().enumerate() {
            let d = off(c, &states, &answers[cases.len() + 3 * i + k]);
            println!("{what:>9} {}", d.map(|x| format!("{x:9.2e}")).join(" "));
        }
    }
}
