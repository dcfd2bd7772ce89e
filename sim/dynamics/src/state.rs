//! Everything that the next tick depends on.

use crate::engine::EngineState;
use crate::{End, LEFT, NOSE, Params, RIGHT, brakes, struts};
use serde::{Deserialize, Serialize};
use toeline_model::units::G_MPS2;
use toeline_model::{Pose, Xy, Yaw, math};

/// The whole state of the aeroplane at a tick. Per-wheel arrays are in the order nose, left, right.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Ticks since the start.
    pub tick: u64,
    /// Centre of gravity, metres east.
    pub x_m: f64,
    /// Centre of gravity, metres north.
    pub y_m: f64,
    /// Heading, radians anticlockwise from east, -π..π.
    pub yaw_rad: f64,
    /// Velocity of the centre of gravity along the body's axis, m/s.
    pub forward_mps: f64,
    /// Velocity of the centre of gravity to the left, m/s.
    pub left_mps: f64,
    /// Yaw rate, rad/s, left positive.
    pub yaw_radps: f64,
    /// Centre of gravity above where it rests on level ground, metres.
    pub heave_m: f64,
    /// Nose up from the rest, radians.
    pub pitch_rad: f64,
    /// Roll to the right from the rest, radians.
    pub roll_rad: f64,
    /// Rate of `heave_m`, m/s.
    pub heave_mps: f64,
    /// Rate of `pitch_rad`, rad/s.
    pub pitch_radps: f64,
    /// Rate of `roll_rad`, rad/s.
    pub roll_radps: f64,
    /// Nose-wheel angle, radians, left positive.
    pub nose_wheel_rad: f64,
    /// Its rate, rad/s.
    pub nose_wheel_radps: f64,
    /// Nose-wheel angle that the pedals ask for after the lag of the linkage, radians.
    pub linkage_rad: f64,
    /// Spin of each wheel, rad/s, positive rolling forward.
    pub spin_radps: [f64; 3],
    /// The engine.
    pub engine: EngineState,
    /// Brake pressure left and right, 0 to 1.
    pub brake: [f64; 2],
    /// Temperature of left and right brake, degrees Celsius.
    pub brake_c: [f64; 2],
    /// Whether and how the run has ended.
    pub end: End,
    /// Load on each wheel in the last tick, N, as its friction was reckoned with.
    pub load_n: [f64; 3],
    /// Friction limit of each wheel in the last tick, N.
    pub grip_n: [f64; 3],
    /// Force of the ground on each tyre in the last tick, N along and across the wheel (left positive).
    pub tyre_n: [[f64; 2]; 3],
    /// Acceleration of the centre of gravity in the last tick, m/s² forward and left.
    pub accel_mps2: [f64; 2],
}

/// Name and bits of one number of a state.
type Field = (&'static str, u64);

impl State {
    /// Standing still at a pose, engine at idle, nose wheel straight, brakes free.
    pub fn parked(p: &Params, pose: Pose) -> State {
        let cg = pose.nose - Xy::unit(pose.heading_rad) * p.nose_ahead_m;
        State {
            tick: 0,
            x_m: cg.x,
            y_m: cg.y,
            yaw_rad: pose.heading_rad.rad(),
            forward_mps: 0.0,
            left_mps: 0.0,
            yaw_radps: 0.0,
            heave_m: 0.0,
            pitch_rad: 0.0,
            roll_rad: 0.0,
            heave_mps: 0.0,
            pitch_radps: 0.0,
            roll_radps: 0.0,
            nose_wheel_rad: 0.0,
            nose_wheel_radps: 0.0,
            linkage_rad: 0.0,
            spin_radps: [0.0; 3],
            engine: EngineState::idling(&p.engine),
            brake: [0.0; 2],
            brake_c: [brakes::COLD_C; 2],
            end: End::No,
            load_n: p.static_load_n(),
            grip_n: [0.0; 3],
            tyre_n: [[0.0; 2]; 3],
            accel_mps2: [0.0; 2],
        }
    }

    /// The same, rolling straight ahead at a speed with the wheels turning.
    pub fn rolling(p: &Params, pose: Pose, speed_mps: f64) -> State {
        let mut state = State::parked(p, pose);
        state.forward_mps = speed_mps;
        for (spin, radius) in state.spin_radps.iter_mut().zip(p.wheel_radius_m) {
            *spin = speed_mps / radius;
        }
        state
    }

    /// The same state leaning as it does when the ground pushes forward and left with these forces for long, N. A wheel
    /// that would lift is left where its spring would pull: use it within what three wheels can carry.
    #[must_use]
    pub fn leaning(&self, p: &Params, ground_n: [f64; 2]) -> State {
        let k = p.strut_n_per_m;
        let main = k[LEFT] + k[RIGHT];
        let (a, b) = (p.nose_ahead_m, p.axle_behind_m);
        // Springs in heave and pitch: no force and the moment h·F; the centre of gravity moves over the wheels by h·θ.
        let weight = p.mass_kg * G_MPS2;
        let (zz, zt) = (k[NOSE] + main, k[NOSE] * a - main * b);
        let tt = k[NOSE] * a * a + main * b * b - weight * p.cg_height_m;
        let pitch_rad = p.cg_height_m * ground_n[0] / (tt - zt * zt / zz);
        let stiff = main * p.track_m * p.track_m / 4.0 - weight * p.cg_height_m;
        let roll_rad = p.cg_height_m * ground_n[1] / stiff;
        let sag = p.cg_height_m * (pitch_rad * pitch_rad + roll_rad * roll_rad) / 2.0;
        let mut leaning = State {
            heave_m: -zt * pitch_rad / zz - sag,
            pitch_rad,
            roll_rad,
            ..*self
        };
        leaning.load_n = struts::spring_n(p, &leaning).map(|n| n.max(0.0));
        leaning
    }

    /// Where the nose wheel touches the ground, and the heading. Centre of gravity and wheels sway against each other as
    /// the body pitches and rolls; this is the place on the ground.
    pub fn pose(&self, p: &Params) -> Pose {
        let heading_rad = Yaw::from_rad(self.yaw_rad);
        let sway = Xy {
            x: p.nose_ahead_m + p.cg_height_m * self.pitch_rad,
            y: p.cg_height_m * self.roll_rad,
        };
        let ahead = Xy::unit(heading_rad);
        Pose {
            nose: Xy {
                x: self.x_m + (ahead.x * sway.x - ahead.y * sway.y),
                y: self.y_m + (ahead.y * sway.x + ahead.x * sway.y),
            },
            heading_rad,
        }
    }

    /// Speed of the centre of gravity over the ground, m/s.
    pub fn speed_mps(&self) -> f64 {
        math::hypot(self.forward_mps, self.left_mps)
    }

    /// Energy of motion of body, wheels and swivel, and what struts, height and the bent steering linkage hold, joules.
    pub fn energy_j(&self, p: &Params) -> f64 {
        let half = |inertia: f64, rate: f64| 0.5 * inertia * rate * rate;
        let wheels: f64 = (0..3).map(|i| half(p.wheel_inertia_kgm2[i], self.spin_radps[i])).sum();
        let asked_rad = p.faults.asked_after_play(self.linkage_rad, self.nose_wheel_rad);
        let bend = (self.nose_wheel_rad - asked_rad).abs();
        // A plain spring up to where the linkage gives way, a constant torque beyond.
        let stored = if p.linkage_nm_per_rad > 0.0 {
            let elastic = bend.min(p.linkage_limit_nm / p.linkage_nm_per_rad);
            half(p.linkage_nm_per_rad, elastic) + p.linkage_limit_nm * (bend - elastic)
        } else {
            0.0
        };
        let springs: f64 = (0..3)
            .map(|i| {
                let n = struts::spring_n(p, self)[i].max(0.0);
                n * n / (2.0 * p.strut_n_per_m[i])
            })
            .sum();
        let sprung = half(p.mass_kg, self.heave_mps)
            + half(p.pitch_inertia_kgm2, self.pitch_radps)
            + half(p.roll_inertia_kgm2, self.roll_radps)
            + springs
            + p.mass_kg * G_MPS2 * self.heave_m;
        sprung
            + half(p.mass_kg, self.forward_mps)
            + half(p.mass_kg, self.left_mps)
            + half(p.yaw_inertia_kgm2, self.yaw_radps)
            + half(p.swivel_inertia_kgm2, self.nose_wheel_radps)
            + wheels
            + stored
    }

    fn fields(&self) -> [Field; 44] {
        let b = f64::to_bits;
        let [rpm, oil_c, oil_kpa, suction_kpa, ice, firing] = self.engine.fields();
        [
            ("tick", self.tick),
            ("x_m", b(self.x_m)),
            ("y_m", b(self.y_m)),
            ("yaw_rad", b(self.yaw_rad)),
            ("forward_mps", b(self.forward_mps)),
            ("left_mps", b(self.left_mps)),
            ("yaw_radps", b(self.yaw_radps)),
            ("heave_m", b(self.heave_m)),
            ("pitch_rad", b(self.pitch_rad)),
            ("roll_rad", b(self.roll_rad)),
            ("heave_mps", b(self.heave_mps)),
            ("pitch_radps", b(self.pitch_radps)),
            ("roll_radps", b(self.roll_radps)),
            ("nose_wheel_rad", b(self.nose_wheel_rad)),
            ("nose_wheel_radps", b(self.nose_wheel_radps)),
            ("linkage_rad", b(self.linkage_rad)),
            ("spin_radps (nose)", b(self.spin_radps[NOSE])),
            ("spin_radps (left)", b(self.spin_radps[LEFT])),
            ("spin_radps (right)", b(self.spin_radps[RIGHT])),
            rpm,
            oil_c,
            oil_kpa,
            suction_kpa,
            ice,
            firing,
            ("brake (left)", b(self.brake[0])),
            ("brake (right)", b(self.brake[1])),
            ("brake_c (left)", b(self.brake_c[0])),
            ("brake_c (right)", b(self.brake_c[1])),
            ("end", b(f64::from(self.end as u8))),
            ("load_n (nose)", b(self.load_n[NOSE])),
            ("load_n (left)", b(self.load_n[LEFT])),
            ("load_n (right)", b(self.load_n[RIGHT])),
            ("grip_n (nose)", b(self.grip_n[NOSE])),
            ("grip_n (left)", b(self.grip_n[LEFT])),
            ("grip_n (right)", b(self.grip_n[RIGHT])),
            ("tyre_n (nose, along)", b(self.tyre_n[NOSE][0])),
            ("tyre_n (nose, across)", b(self.tyre_n[NOSE][1])),
            ("tyre_n (left, along)", b(self.tyre_n[LEFT][0])),
            ("tyre_n (left, across)", b(self.tyre_n[LEFT][1])),
            ("tyre_n (right, along)", b(self.tyre_n[RIGHT][0])),
            ("tyre_n (right, across)", b(self.tyre_n[RIGHT][1])),
            ("accel_mps2 (forward)", b(self.accel_mps2[0])),
            ("accel_mps2 (left)", b(self.accel_mps2[1])),
        ]
    }

    /// A fingerprint over the bits of all fields (FNV-1a, 64 bit, bytes from the low end).
    pub fn hash(&self) -> u64 {
        let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
        for (_, bits) in self.fields() {
            for byte in bits.to_le_bytes() {
                hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
            }
        }
        hash
    }

    /// The first field whose bits differ from another state's; `None` when all are the same.
    pub fn first_difference(&self, other: &State) -> Option<&'static str> {
        let (mine, theirs) = (self.fields(), other.fields());
        mine.iter().zip(&theirs).find(|(a, b)| a.1 != b.1).map(|(a, _)| a.0)
    }

    /// Whether every number is finite.
    pub fn is_finite(&self) -> bool {
        self.fields()[1..]
            .iter()
            .all(|(_, bits)| f64::from_bits(*bits).is_finite())
    }

    /// The first number that is not finite; `None` when all are.
    pub fn first_not_finite(&self) -> Option<&'static str> {
        self.fields()[1..]
            .iter()
            .find(|(_, bits)| !f64::from_bits(*bits).is_finite())
            .map(|(name, _)| *name)
    }

    /// The same state seen in a mirror along the x axis: left and right exchanged.
    pub fn mirrored(&self) -> State {
        let swap = |w: [f64; 3]| [w[NOSE], w[RIGHT], w[LEFT]];
        let flip = |[x, y]: [f64; 2]| [x, -y];
        State {
            y_m: -self.y_m,
            yaw_rad: -self.yaw_rad,
            left_mps: -self.left_mps,
            yaw_radps: -self.yaw_radps,
            roll_rad: -self.roll_rad,
            roll_radps: -self.roll_radps,
            nose_wheel_rad: -self.nose_wheel_rad,
            nose_wheel_radps: -self.nose_wheel_radps,
            linkage_rad: -self.linkage_rad,
            spin_radps: swap(self.spin_radps),
            brake: [self.brake[1], self.brake[0]],
            brake_c: [self.brake_c[1], self.brake_c[0]],
            load_n: swap(self.load_n),
            grip_n: swap(self.grip_n),
            tyre_n: [
                flip(self.tyre_n[NOSE]),
                flip(self.tyre_n[RIGHT]),
                flip(self.tyre_n[LEFT]),
            ],
            accel_mps2: flip(self.accel_mps2),
            ..*self
        }
    }
}
