//! The peer of the step's bench: one chassis with three ray-cast wheels of a general physics engine on a plane.
//!
//! Built with the cargo feature `peer` alone, because its engine takes minutes to compile.

use rapier3d::control::{DynamicRayCastVehicleController, WheelTuning};
use rapier3d::prelude::*;
use toeline_dynamics::{Controls, Params};

/// Rest length of the suspension, metres: long enough for every travel of the drive.
const REST_M: f32 = 0.3;

/// An aeroplane's mass, inertia, struts and places of wheels, driven by its controls.
pub(crate) struct Vehicle {
    world: PhysicsWorld,
    chassis: RigidBodyHandle,
    controller: DynamicRayCastVehicleController,
    thrust_n: f32,
    idles: f32,
    brake_ns: f32,
    steer_rad: f32,
}

impl Vehicle {
    pub(crate) fn new(p: &Params, dt_s: f64) -> Vehicle {
        let mut world = PhysicsWorld::new();
        world.integration_parameters.dt = dt_s as f32;
        world.insert(
            RigidBodyBuilder::fixed().translation(Vector::new(0.0, -0.5, 0.0)),
            ColliderBuilder::cuboid(5000.0, 0.5, 5000.0),
        );
        let (mass, high) = (p.mass_kg as f32, p.cg_height_m as f32);
        // x forward, y up, z right.
        let inertia = Vector::new(
            p.roll_inertia_kgm2 as f32,
            p.yaw_inertia_kgm2 as f32,
            p.pitch_inertia_kgm2 as f32,
        );
        let (chassis, _) = world.insert(
            RigidBodyBuilder::dynamic()
                .translation(Vector::new(0.0, high, 0.0))
                .can_sleep(false)
                .additional_mass_properties(MassProperties::new(Vector::ZERO, mass, inertia)),
            ColliderBuilder::cuboid(2.0, 0.2, 0.5).density(0.0),
        );
        let mut controller = DynamicRayCastVehicleController::new(chassis);
        let half = p.track_m as f32 / 2.0;
        let places = [
            (p.nose_ahead_m as f32, 0.0),
            (-p.axle_behind_m as f32, -half),
            (-p.axle_behind_m as f32, half),
        ];
        for (i, (x, z)) in places.into_iter().enumerate() {
            let radius = p.wheel_radius_m[i] as f32;
            let sinks = (p.static_load_n()[i] / p.strut_n_per_m[i]) as f32;
            // Stiffness and damping are taken over the mass of the chassis.
            let tuning = WheelTuning {
                suspension_stiffness: p.strut_n_per_m[i] as f32 / mass,
                suspension_compression: p.strut_damping_nspm[i] as f32 / mass,
                suspension_damping: p.strut_damping_nspm[i] as f32 / mass,
                max_suspension_travel: REST_M,
                friction_slip: 0.7,
                max_suspension_force: 1e6,
                ..WheelTuning::default()
            };
            let top = radius + REST_M - sinks - high;
            controller.add_wheel(Vector::new(x, top, z), -Vector::Y, Vector::Z, REST_M, radius, &tuning);
        }
        Vehicle {
            world,
            chassis,
            controller,
            thrust_n: p.static_thrust_n as f32,
            idles: (p.idle_rpm / p.full_rpm) as f32,
            brake_ns: (p.full_brake_nm / p.wheel_radius_m[1] * dt_s) as f32,
            steer_rad: p.pedal_limit_rad as f32,
        }
    }

    pub(crate) fn step(&mut self, c: &Controls) {
        let throttle = c.throttle as f32;
        let dt = self.world.integration_parameters.dt;
        let share = self.idles + (1.0 - self.idles) * throttle;
        let thrust = self.thrust_n * share * share;
        let body = &mut self.world.bodies[self.chassis];
        body.apply_impulse(body.rotation() * Vector::new(thrust * dt, 0.0, 0.0), true);
        let wheels = self.controller.wheels_mut();
        wheels[0].steering = -(c.rudder as f32) * self.steer_rad;
        let [left, right] = c.brakes();
        wheels[1].brake = left as f32 * self.brake_ns;
        wheels[2].brake = right as f32 * self.brake_ns;
        let chassis = self.chassis;
        let queries = self.world.broad_phase.as_query_pipeline_mut(
            self.world.narrow_phase.query_dispatcher(),
            &mut self.world.bodies,
            &mut self.world.colliders,
            QueryFilter::new().exclude_rigid_body(chassis),
        );
        self.controller.update_vehicle(dt, queries);
        self.world.step();
    }

    /// Place on the plane and height, metres; speed, m/s; how upright it stands, 1 when level.
    pub(crate) fn stands(&self) -> ([f32; 3], f32, f32) {
        let body = &self.world.bodies[self.chassis];
        let at = body.translation();
        let upright = (body.rotation() * Vector::Y).y;
        ([at.x, at.y, at.z], body.linvel().length(), upright)
    }
}
