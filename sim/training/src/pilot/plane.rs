//! The pilot's own aeroplane as he knows it: the figures that his feet and hands reckon with.

use super::gains;
use toeline_dynamics::tyre::STIFFNESS_PER_LOAD;
use toeline_dynamics::{Ground, Params};
use toeline_model::units::G_MPS2;
use toeline_model::{Aircraft, math};

/// Figures of one aeroplane, SI.
#[derive(Clone, Debug)]
pub(super) struct Plane {
    pub(super) params: Params,
    pub(super) aircraft: Aircraft,
    /// Wheelbase, metres.
    pub(super) wheelbase_m: f64,
    /// Half the track, metres.
    pub(super) half_track_m: f64,
    /// Weight over g, kilograms.
    pub(super) mass_kg: f64,
    /// Centre of gravity ahead of the main axle, metres.
    pub(super) ahead_m: f64,
    /// Moment of inertia about the middle of the main axle, kg·m²: the axle cannot go sideways.
    pub(super) inertia_kgm2: f64,
    /// Whether the nose wheel is steered by the pedals.
    pub(super) steered: bool,
    /// Greatest moment that one brake may be asked for in a turn, N·m.
    pub(super) most_moment_nm: f64,
}

impl Plane {
    pub(super) fn new(aircraft: &Aircraft) -> Plane {
        let p = Params::from_aircraft(aircraft);
        let main_n = p.mass_kg * G_MPS2 * p.nose_ahead_m / p.wheelbase_m / 2.0;
        let most_n = (gains::MOST_BRAKE_SHARE * main_n).min(p.full_brake_nm / p.wheel_radius_m[toeline_dynamics::LEFT]);
        Plane {
            wheelbase_m: p.wheelbase_m,
            half_track_m: p.track_m / 2.0,
            mass_kg: p.mass_kg,
            ahead_m: p.axle_behind_m,
            inertia_kgm2: p.yaw_inertia_kgm2 + p.mass_kg * p.axle_behind_m * p.axle_behind_m,
            steered: p.pedal_limit_rad > 0.0,
            most_moment_nm: most_n * p.track_m / 2.0,
            params: p,
            aircraft: aircraft.clone(),
        }
    }

    /// Moment about the main axle that turning takes, N·m, at a rate and its growth.
    pub(super) fn turning_nm(&self, axle_mps: f64, turn_radps: f64, turn_radps2: f64) -> f64 {
        self.inertia_kgm2 * turn_radps2 + self.mass_kg * self.ahead_m * axle_mps * turn_radps
    }

    /// How far pedals and nose wheel's way are apart for each newton across the nose wheel, rad/N: bend of the linkage and
    /// slip of the tyre.
    fn gives_rad_per_n(&self) -> f64 {
        let p = &self.params;
        let nose_n = p.mass_kg * G_MPS2 * p.axle_behind_m / p.wheelbase_m;
        p.trail_m / p.linkage_nm_per_rad + 1.0 / (STIFFNESS_PER_LOAD * nose_n)
    }

    /// Force across the nose wheel at which the linkage gives way, N; 0 for a free caster.
    fn most_nose_n(&self) -> f64 {
        self.params.linkage_limit_nm / self.params.trail_m
    }

    /// Angle that the pedals have to lead the nose wheel's way by for a moment about the main axle, radians; nose wheel at
    /// an angle.
    pub(super) fn bend_rad(&self, moment_nm: f64, wheel_rad: f64) -> f64 {
        let force_n = moment_nm / (self.wheelbase_m * math::cos(wheel_rad).max(0.3));
        force_n.clamp(-self.most_nose_n(), self.most_nose_n()) * self.gives_rad_per_n()
    }

    /// The same angle where the steering linkage gives way, radians.
    pub(super) fn yields_rad(&self) -> f64 {
        self.most_nose_n() * self.gives_rad_per_n()
    }

    /// Moment about the main axle for each radian of that angle, N·m/rad, nose wheel straight.
    pub(super) fn linkage_nm_per_rad(&self) -> f64 {
        self.wheelbase_m / self.gives_rad_per_n()
    }

    /// Most moment about the main axle that the nose wheel gives, N·m.
    pub(super) fn most_nose_nm(&self) -> f64 {
        self.most_nose_n() * self.wheelbase_m
    }

    /// Moment about the main axle that the nose wheel gives when the pedals ask for `pulls_rad` and it goes at
    /// `wheel_rad`, N·m; nothing from a free caster.
    pub(super) fn nose_moment_nm(&self, pulls_rad: f64, wheel_rad: f64) -> f64 {
        if !self.steered {
            return 0.0;
        }
        let most_n = self.most_nose_n();
        let force_n = ((pulls_rad - wheel_rad) / self.gives_rad_per_n()).clamp(-most_n, most_n);
        force_n * self.wheelbase_m * math::cos(wheel_rad)
    }

    /// Moment of full left rudder, N·m, at a speed through the air and a thrust.
    pub(super) fn rudder_nm(&self, through_mps: f64, thrust_n: f64) -> f64 {
        let p = &self.params;
        let flow = toeline_model::units::AIR_KGPM3 / 2.0 * through_mps * through_mps.abs()
            + p.air.slipstream_per_m2 * thrust_n.max(0.0);
        (p.air.fin_behind_m + self.ahead_m) * p.air.rudder_area_m2 * flow
    }

    /// Toe pressure for a force that one main wheel holds back with, 0 to 1.
    pub(super) fn pressure(&self, force_n: f64) -> f64 {
        (force_n * self.params.wheel_radius_m[toeline_dynamics::LEFT] / self.params.full_brake_nm).clamp(0.0, 1.0)
    }

    /// Force that each main wheel may hold back with on ground of a friction without locking, N.
    ///
    /// Braking with both at the limit moves load to the nose wheel: what is left on the main wheels is the share l/(L + µ·h) of
    /// the weight, with the centre of gravity l behind the nose wheel and h high (statics). Some of it is kept back for lift
    /// and for the wind that leans on one side. Soft ground turns the wheel back too, and that much is taken off.
    pub(super) fn rolls_below_n(&self, ground: &Ground) -> f64 {
        let (p, friction) = (&self.params, ground.friction());
        let share = p.nose_ahead_m / (p.wheelbase_m + friction * p.cg_height_m);
        let held_back = (gains::NO_LOCK_SHARE * friction - ground.rolling()).max(0.0);
        held_back * p.mass_kg * G_MPS2 * share / 2.0
    }

    /// Throttle for a thrust standing still, 0 to 1.
    pub(super) fn throttle(&self, thrust_n: f64) -> f64 {
        let rpm = (thrust_n.max(0.0) / self.params.static_thrust_n).sqrt() * self.params.full_rpm;
        self.throttle_for_rpm(rpm)
    }

    /// Throttle for an engine speed standing still, 0 to 1.
    pub(super) fn throttle_for_rpm(&self, rpm: f64) -> f64 {
        ((rpm - self.params.idle_rpm) / (self.params.full_rpm - self.params.idle_rpm)).clamp(0.0, 1.0)
    }

    /// Thrust at an engine speed standing still, N.
    pub(super) fn thrust_n(&self, rpm: f64) -> f64 {
        let share = rpm / self.params.full_rpm;
        self.params.static_thrust_n * share * share
    }
}
