//! The drives in which the step and the same equations in Python are compared.

use serde_json::{Value, json};
use toeline_dynamics::faults::BrakeFault;
use toeline_dynamics::{Air, Controls, Faults, Ground, Gust, Params, State, TICK_S, TowBar, advance, step};
use toeline_model::aircraft::catalog;
use toeline_model::airfield::Surface;
use toeline_model::{Bearing, Pose, Xy, Yaw};

use crate::python::params_json;

/// Comparisons a second.
const PER_SECOND: u32 = 20;

/// What is compared, in the order of every bound.
pub(crate) const COMPARED: [&str; 12] = [
    "place, m",
    "heading, rad",
    "speed ahead, m/s",
    "speed across, m/s",
    "yaw rate, rad/s",
    "heave, m",
    "pitch, rad",
    "roll, rad",
    "load over weight",
    "nose wheel, rad",
    "engine, rpm",
    "brake, K",
];

/// A number for each thing compared.
pub(crate) type Off = [f64; COMPARED.len()];

/// One drive: piecewise steady controls.
pub(crate) struct Manoeuvre {
    pub(crate) name: &'static str,
    pub(crate) plane: &'static str,
    pub(crate) faults: Faults,
    pub(crate) engine_stands: bool,
    /// Parts of a tick from which on the error is seen to be of first order.
    pub(crate) from_parts: u32,
    pub(crate) speed_mps: f64,
    pub(crate) ground: Ground,
    pub(crate) air: Air,
    /// Seconds at which each leg ends, and its controls.
    pub(crate) legs: Vec<(f64, Controls)>,
    /// How far the step may be off at the tick in use: one and a half times what was measured, but at least 1 mm, 0.1 mrad
    /// and so on where next to nothing happens. That what was measured is the tick's is shown by a test of its own.
    pub(crate) bound: Off,
}

impl Manoeuvre {
    pub(crate) fn params(&self) -> Params {
        let aircraft = catalog::find(self.plane).unwrap_or_else(|| panic!("no aeroplane {}", self.plane));
        Params {
            faults: self.faults,
            ..Params::from_aircraft(&aircraft)
        }
    }

    fn start(&self) -> State {
        let pose = Pose {
            nose: Xy { x: 3.0, y: -2.0 },
            heading_rad: Yaw::from_rad(0.7),
        };
        let mut state = State::rolling(&self.params(), pose, self.speed_mps);
        if self.engine_stands {
            state.engine.rpm = 0.0;
        }
        state
    }

    /// The question to `full_model.py`, with an aeroplane that need not be the true one.
    pub(crate) fn question(&self, p: &Params) -> Value {
        let legs: Vec<Value> = self
            .legs
            .iter()
            .map(|(until, held)| json!({"until_s": until, "controls": held}))
            .collect();
        let wind = self.air.velocity_mps();
        json!({
            "name": self.name,
            "params": params_json(p),
            "ground": {
                "friction": self.ground.friction(),
                "rolling": self.ground.rolling(),
                "rise": self.ground.rise,
            },
            "wind": [wind.x, wind.y],
            "gust": self.air.gust,
            "start": self.start(),
            "legs": legs,
            "samples_per_second": PER_SECOND,
        })
    }

    /// The step's states, as often as they are compared; with shorter ticks when a tick is cut in more parts than one.
    pub(crate) fn drive(&self, parts: u32) -> Vec<State> {
        let p = self.params();
        let per_sample = u64::from(240 / PER_SECOND * parts);
        let mut state = self.start();
        let mut states = vec![state];
        for (until, held) in &self.legs {
            let end = (until * 240.0).round() as u64 * u64::from(parts);
            while state.tick < end {
                state = if parts == 1 {
                    step(&p, &self.ground, &self.air, &state, held)
                } else {
                    advance(&p, &self.ground, &self.air, &state, held, TICK_S / f64::from(parts))
                };
                if state.tick.is_multiple_of(per_sample) {
                    states.push(state);
                }
            }
        }
        states
    }
}

/// The drives: at 0, 0.5, 3 and 10 m/s, with pedals, brakes, throttle, wind and slope; a wheel that locks, a nose wheel that
/// comes to its stop, a free caster, an aeroplane that breaks away and one that comes to stand, faults, a gust, a tow bar.
pub(crate) fn all() -> Vec<Manoeuvre> {
    let free = Controls::default();
    let grass = |wet: bool, rise: [f64; 2]| Ground {
        surface: Surface::Grass,
        wet,
        rise,
    };
    let plain = Manoeuvre {
        name: "",
        plane: "",
        faults: Faults::default(),
        engine_stands: false,
        from_parts: 1,
        speed_mps: 0.0,
        ground: Ground::default(),
        air: Air::default(),
        legs: Vec::new(),
        bound: [0.0; COMPARED.len()],
    };
    let held = |rudder: f64, [left_brake, right_brake]: [f64; 2], throttle: f64| Controls {
        rudder,
        left_brake,
        right_brake,
        throttle,
        ..free
    };
    let towed = |pull_n: f64, angle_rad: f64| Controls {
        mixture: 0.0,
        tow_bar: Some(TowBar { pull_n, angle_rad }),
        ..free
    };
    vec![
        Manoeuvre {
            name: "breaks away from rest",
            plane: "trainer-high-2",
            legs: vec![(1.0, free), (4.0, held(0.3, [0.0; 2], 0.6))],
            bound: [
                6.5e-3, 2.7e-4, 1.9e-3, 2.9e-4, 1.6e-3, 2.7e-5, 1.2e-4, 2.1e-5, 6.5e-4, 2.6e-3, 1.8e0, 1.0e-3,
            ],
            ..plain
        },
        Manoeuvre {
            name: "pedal and inside brake, to the stop",
            plane: "trainer-high-2",
            speed_mps: 0.5,
            legs: vec![(0.5, held(0.0, [0.0; 2], 0.3)), (5.0, held(-1.0, [0.25, 0.0], 0.3))],
            bound: [
                3.0e-2, 1.3e-2, 7.4e-3, 1.3e-3, 4.5e-3, 4.3e-5, 1.8e-4, 7.4e-5, 1.2e-3, 7.2e-3, 8.1e-1, 3.4e-3,
            ],
            ..plain
        },
        Manoeuvre {
            name: "free caster, inside brake",
            plane: "caster-low-2",
            speed_mps: 0.5,
            legs: vec![(0.5, held(0.0, [0.0; 2], 0.3)), (4.0, held(0.0, [0.0, 0.2], 0.4))],
            bound: [
                4.2e-3, 3.0e-3, 4.8e-3, 6.3e-4, 7.3e-4, 4.7e-5, 2.1e-4, 2.6e-5, 1.3e-3, 2.7e-3, 1.2e0, 1.8e-3,
            ],
            ..plain
        },
        Manoeuvre {
            name: "pedal, then brakes",
            plane: "tourer-low-4",
            speed_mps: 3.0,
            ground: grass(false, [0.0; 2]),
            legs: vec![
                (0.5, free),
                (2.5, held(0.5, [0.0; 2], 0.1)),
                (4.0, held(0.5, [0.15, 0.25], 0.0)),
            ],
            bound: [
                7.9e-3, 8.2e-4, 1.8e-3, 3.6e-4, 6.6e-4, 4.4e-5, 1.8e-4, 1.9e-5, 1.3e-3, 2.1e-3, 2.9e-1, 2.6e-3,
            ],
            ..plain
        },
        Manoeuvre {
            name: "brakes until it stands",
            plane: "tourer-low-4",
            speed_mps: 3.0,
            legs: vec![(4.0, held(-0.5, [0.3, 0.2], 0.0))],
            bound: [
                1.2e-2, 7.7e-4, 2.1e-3, 4.8e-4, 1.5e-3, 7.7e-5, 3.0e-4, 3.4e-5, 2.1e-3, 2.8e-3, 1.0e-1, 6.3e-3,
            ],
            ..plain
        },
        Manoeuvre {
            name: "small pedal",
            plane: "trainer-high-2",
            speed_mps: 10.0,
            legs: vec![(0.5, free), (3.5, held(-0.15, [0.0; 2], 0.2))],
            bound: [
                1.8e-3, 1.8e-4, 4.9e-4, 1.2e-3, 3.8e-4, 4.7e-5, 1.6e-4, 5.7e-5, 8.8e-4, 2.7e-4, 5.3e-1, 1.0e-3,
            ],
            ..plain
        },
        Manoeuvre {
            name: "straight braking",
            plane: "tourer-high-4",
            speed_mps: 10.0,
            legs: vec![(0.5, free), (2.5, held(0.0, [0.5; 2], 0.0))],
            bound: [
                1.6e-2, 1.0e-4, 2.4e-3, 1.0e-4, 1.0e-4, 8.8e-5, 6.2e-4, 1.0e-5, 3.7e-3, 1.0e-4, 1.0e-1, 1.6e-2,
            ],
            ..plain
        },
        Manoeuvre {
            name: "wheels lock and slide",
            plane: "twin-light-6",
            speed_mps: 10.0,
            ground: grass(true, [0.0; 2]),
            legs: vec![(1.0, held(0.4, [0.0; 2], 0.0)), (4.0, held(0.4, [0.7, 1.0], 0.0))],
            bound: [
                3.3e-2, 1.9e-3, 4.4e-3, 5.6e-3, 1.2e-3, 5.6e-5, 1.4e-4, 6.1e-5, 1.3e-3, 1.7e-3, 1.0e-1, 1.8e-2,
            ],
            ..plain
        },
        Manoeuvre {
            name: "cross wind and slope",
            plane: "motorglider-15",
            speed_mps: 10.0,
            ground: grass(true, [0.01, -0.02]),
            air: Air {
                wind_from: Some(Bearing::from_deg(310.0)),
                wind_mps: 7.0,
                ..Air::default()
            },
            legs: vec![(
                3.0,
                Controls {
                    elevator: -0.5,
                    aileron: -0.4,
                    ..held(0.1, [0.0; 2], 0.5)
                },
            )],
            bound: [
                1.8e-2, 6.0e-4, 9.2e-4, 8.8e-3, 9.6e-4, 3.5e-5, 1.5e-4, 1.4e-4, 1.2e-3, 2.9e-4, 2.1e0, 1.0e-3,
            ],
            ..plain
        },
        Manoeuvre {
            name: "flat tyre, dragging brake, play, gust",
            plane: "tourer-high-4",
            faults: Faults {
                brake: [BrakeFault::Weak, BrakeFault::Seized],
                flat_tyre: [false, true, false],
                steering_play_rad: 0.02,
                ..Faults::default()
            },
            speed_mps: 3.0,
            air: Air {
                wind_from: Some(Bearing::from_deg(120.0)),
                wind_mps: 4.0,
                gust: Some(Gust {
                    extra_mps: 6.0,
                    length_s: 2.0,
                    begins_s: 0.5,
                    repeats: false,
                }),
                ..Air::default()
            },
            legs: vec![(2.0, held(0.3, [0.0; 2], 0.6)), (3.0, held(-0.3, [0.4, 0.1], 0.2))],
            bound: [
                8.6e-3, 2.4e-3, 2.0e-3, 3.6e-3, 2.9e-3, 4.6e-4, 2.5e-4, 3.9e-4, 7.1e-3, 2.8e-3, 1.7e0, 2.0e-3,
            ],
            ..plain
        },
        Manoeuvre {
            name: "on a tow bar",
            plane: "motorglider-15",
            engine_stands: true,
            // Hands on the bar swing the nose wheel within a few ticks.
            from_parts: 4,
            legs: vec![(2.0, towed(450.0, 0.3)), (3.5, towed(-300.0, -0.4))],
            bound: [
                2.5e-3, 3.4e-3, 1.2e-2, 7.4e-3, 2.6e-2, 1.3e-4, 7.5e-4, 1.5e-4, 6.3e-3, 3.2e-2, 1.0e-1, 1.0e-3,
            ],
            ..plain
        },
    ]
}
