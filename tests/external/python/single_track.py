"""Drives the published single-track models of the package commonroad-vehicle-models with a given history of steering
angle. JSON in, JSON out, as full_model.py.

The package: M. Althoff, M. Koschi, S. Manzinger, "CommonRoad: Composable benchmarks for motion planning on roads", IEEE
Intelligent Vehicles Symposium 2017, and its vehicle-models documentation; BSD licence. Its functions are called as they
are; only its parameters are set.
"""

import json
import sys
from types import SimpleNamespace

from scipy.integrate import solve_ivp
from vehiclemodels.vehicle_dynamics_ks import vehicle_dynamics_ks
from vehiclemodels.vehicle_dynamics_st import vehicle_dynamics_st

G = 9.80665
PACKAGE_G = 9.81


def package_parameters(p):
    """Only what the two models read, by the package's names; none of its own figures is used."""
    stiffness = -p["tyre_per_load"] * G / PACKAGE_G
    return SimpleNamespace(
        a=p["nose_ahead_m"],
        b=p["axle_behind_m"],
        m=p["mass_kg"],
        I_z=p["yaw_inertia_kgm2"],
        h_s=p["cg_height_m"],
        # Stiffness of an axle there is -p_ky1 times its load, for both axles alike; loads are reckoned with 9.81.
        tire=SimpleNamespace(p_dy1=1.0, p_ky1=stiffness),
        # Its limits are those of a motor car; none is to be met.
        steering=SimpleNamespace(min=-2.0, max=2.0, v_min=-100.0, v_max=100.0),
        longitudinal=SimpleNamespace(v_min=-1.0, v_max=99.0, v_switch=50.0, a_max=50.0),
    )


def trajectory(case):
    q = package_parameters(case)
    dt, steer, speed = case["tick_s"], case["nose_wheel_rad"], case["speed_mps"]
    end = (len(steer) - 1) * dt

    def held(t):
        """Rate of steering and acceleration: the angle runs in straight lines between its ticks."""
        k = min(int(t / dt), len(steer) - 2)
        return [(steer[k + 1] - steer[k]) / dt, 0.0]

    # States of both: x, y, steering angle, speed, heading; with slip also yaw rate and slip angle. The one without slip
    # counts from the rear axle, the other from the centre of gravity.
    model, start = {
        "with slip": (vehicle_dynamics_st, [0.0, 0.0, steer[0], speed, 0.0, 0.0, 0.0]),
        "without slip": (vehicle_dynamics_ks, [-q.b, 0.0, steer[0], speed, 0.0]),
    }[case["model"]]
    done = solve_ivp(
        lambda t, x: model(x, held(t), q),
        (0.0, end),
        start,
        t_eval=[min(k * dt, end) for k in range(0, len(steer), case["ticks_per_sample"])],
        max_step=dt,
        rtol=1e-8,
        atol=1e-11,
    )
    if not done.success:
        raise RuntimeError(done.message)
    return done.y.T.tolist()


if __name__ == "__main__":
    json.dump([trajectory(case) for case in json.load(sys.stdin)], sys.stdout)
