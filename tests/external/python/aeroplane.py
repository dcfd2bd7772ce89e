"""The equations of motion of an aeroplane on three wheels, as docs/dynamics.md and the comments of sim/dynamics state
them, written as one system of ordinary differential equations for a solver of scipy.

Nothing here is taken from the program's own solver: that one advances tick by tick with contacts solved by sweeps; here
forces are plain functions of the state. Two things have no force law at a standstill and are smoothed, as stated below:
the tyre (which sticks) and the torque of rolling resistance and brake (which holds).

Axes: x forward, y left, yaw to the left, pitch nose-up, roll to the right. SI units and radians.
"""

from math import copysign, cos, hypot, pi, sin, sqrt, tanh

G = 9.80665
AIR = 1.225
RPM = pi / 30.0

# Smoothing. A tyre's force goes with slip speed over rolling speed V: here sqrt(V^2 + V_SMALL^2) stands for |V|, so a
# standing tyre creeps under load with some hundredths of this speed. Coulomb torque: tanh(spin / SPIN_SMALL) for the sign.
V_SMALL = 1e-5
SPIN_SMALL = 1e-5
# The stop of the nose wheel is rigid; here it is a spring with damping, N m/rad and N m s/rad.
STOP_SPRING = 5e5
STOP_DAMPING = 500.0

# Figures that belong to the model and to no aeroplane (docs/dynamics.md and the modules' own notes).
PEDAL_LAG_S = 0.06
BRAKE_LAG_S = 0.12
COLD_C, FADES_FROM_C, FADED_C, FADED_SHARE = 15.0, 200.0, 450.0, 0.4
COOLS_STANDING, COOLS_MOVING = 2.0, 1.0
MOST_LIFT, REVERSED_WING, TAIL_FEELS, CROSS_ON_WING = 1.4, -0.5, 0.6, 0.3
TORQUE_FALL, DROOP = 0.25, 2.0
BAR_SPRING, BAR_LIMIT = 2000.0, 150.0
# A flat tyre: rolling resistance, stiffness and radius over those of a sound one; a weak brake; one that drags.
FLAT_ROLLING, FLAT_STIFFNESS, FLAT_RADIUS = 5.0, 0.4, 0.8
BRAKE_SHARE = {"none": 1.0, "weak": 0.35, "failed": 0.0, "seized": 1.0}
SEIZED_DRAGS = 0.3

NAMES = (
    "x_m y_m yaw_rad forward_mps left_mps yaw_radps heave_m pitch_rad roll_rad heave_mps pitch_radps roll_radps "
    "nose_wheel_rad nose_wheel_radps linkage_rad spin_nose spin_left spin_right engine_radps brake_left brake_right "
    "left_c right_c"
).split()


def start_vector(state):
    """State of the program, as it writes it, to the vector that is integrated."""
    spin, brake, heat = state["spin_radps"], state["brake"], state["brake_c"]
    plain = [state[name] for name in NAMES[:15]]
    return plain + spin + [state["engine"]["rpm"] * RPM] + brake + heat


class Aeroplane:
    """Right-hand side for one aeroplane on one ground in one wind with at most one gust."""

    def __init__(self, params, ground, wind, gust=None):
        self.p = params
        self.friction, self.rolling, self.rise = ground["friction"], ground["rolling"], ground["rise"]
        self.steady, self.gust = wind, gust
        self.flat, self.brake_faults = params["faults"]["flat_tyre"], params["faults"]["brake"]
        half = params["track_m"] / 2.0
        back = -params["axle_behind_m"]
        self.places = [(params["nose_ahead_m"], 0.0), (back, half), (back, -half)]
        weight = params["mass_kg"] * G
        nose = weight * params["axle_behind_m"] / params["wheelbase_m"]
        self.rests = [nose, (weight - nose) / 2.0, (weight - nose) / 2.0]

    def wind(self, t):
        """Velocity of the air over the ground: the gust is 1 - cos, on top and from the same direction."""
        wx, wy = self.steady
        if not self.gust:
            return wx, wy
        share = (t - self.gust["begins_s"]) / self.gust["length_s"]
        if not 0.0 <= share <= 1.0:
            return wx, wy
        more = self.gust["extra_mps"] * (1.0 - cos(2.0 * pi * share)) / 2.0 / hypot(wx, wy)
        return wx * (1.0 + more), wy * (1.0 + more)

    # Struts -----------------------------------------------------------------------------------------------------------

    def loads(self, s):
        """N = N0 - k d - c d', never less than nothing, with the rise d = z + x th + y ph + h (th^2 + ph^2)/2."""
        p = self.p
        h = p["cg_height_m"]
        z, th, ph, dz, dth, dph = s[6:12]
        out = []
        for i, (x, y) in enumerate(self.places):
            d = z + x * th + y * ph + h * (th * th + ph * ph) / 2.0
            if self.flat[i]:
                d += (1.0 - FLAT_RADIUS) * p["wheel_radius_m"][i]
            rate = dz + (x + h * th) * dth + (y + h * ph) * dph
            spring = self.rests[i] - p["strut_n_per_m"][i] * d
            force = spring - p["strut_damping_nspm"][i] * rate
            out.append(force if spring > 0.0 and force > 0.0 else 0.0)
        return out

    # Tyres ------------------------------------------------------------------------------------------------------------

    def tyre(self, i, load, along, across, spin):
        """Brush tyre: friction times load times 1 - (1 - x/3)^3, straight against the slip, x = C/(mu N) slip/|V|."""
        p = self.p
        slip = (along - p["wheel_radius_m"][i] * spin, across)
        size = hypot(*slip)
        if size == 0.0 or load <= 0.0:
            return 0.0, 0.0
        stiffness = p["tyre_per_load"][i] * (FLAT_STIFFNESS if self.flat[i] else 1.0)
        x = stiffness / self.friction * size / sqrt(along * along + V_SMALL * V_SMALL)
        share = 1.0 - (1.0 - x / 3.0) ** 3 if x < 3.0 else 1.0
        force = -self.friction * load * share / size
        return force * slip[0], force * slip[1]

    # Air and power ----------------------------------------------------------------------------------------------------

    def thrust(self, share, u):
        p = self.p
        rest = p["static_thrust_n"] * share * share
        thrust = p["static_thrust_n"] * share * (share - u / p["no_thrust_mps"])
        return min(max(thrust, -0.5 * rest), 1.2 * rest)

    def engine_torque(self, speed, throttle, u, burns):
        """Torque on the shaft less what propeller and friction take, N m, at a speed in rad/s."""
        e = self.p["engine"]
        full = e["static_rpm"] * RPM

        def propeller(at, wind):
            share, fall = at / full, TORQUE_FALL * max(wind, 0.0) / e["no_thrust_mps"]
            return e["full_torque_nm"] * share * (share - fall) if share > fall else 0.0

        net = -propeller(speed, u) - e["friction_nm"]
        if burns:
            rigged = (e["idle_rpm"] + (e["static_rpm"] - e["idle_rpm"]) * throttle) * RPM
            asked = propeller(rigged, 0.0)
            indicated = asked + DROOP * (1.0 - throttle) * asked * (1.0 - speed / rigged) + e["friction_nm"]
            net += min(max(indicated, 0.0), e["full_torque_nm"] + e["friction_nm"])
        return net

    def air(self, u, v, s, c, thrust):
        """Forces forward, left, up and moments yaw, pitch, roll about the centre of gravity."""
        p = self.p
        half = AIR / 2.0
        yaw_rate, pitch, dpitch, droll = s[5], s[7], s[10], s[11]
        q = half * u * abs(u)
        blown = max(thrust, 0.0)
        lift_c = min(max(p["rest_lift"] + p["lift_slope"] * pitch, -MOST_LIFT), MOST_LIFT)
        wing = abs(q) * p["wing_area_m2"] * lift_c
        lift = wing * (REVERSED_WING if u < 0.0 else 1.0)
        induced = copysign(abs(q) * p["wing_area_m2"] * lift_c * lift_c * p["lift_drag"], u)
        forward = -half * p["drag_area_m2"] * hypot(u, v) * u - induced

        side = -half * p["side_area_m2"] * (abs(v) + 0.1 * abs(u)) * v
        at_fin = v - p["fin_behind_m"] * yaw_rate
        fin = -half * p["fin_area_m2"] * (abs(u) + 0.4 * abs(at_fin)) * at_fin
        fin += p["rudder_area_m2"] * (q + p["slipstream_per_m2"] * blown) * c["rudder"]

        tail = p["elevator_area_m2"] * (q + p["tail_blown_per_m2"] * blown) * c["elevator"]
        tail += p["tail_area_m2"] * (q * TAIL_FEELS * pitch + half * abs(u) * p["tail_behind_m"] * dpitch)

        roll = p["aileron_volume_m3"] * q * c["aileron"]
        roll += p["dihedral_volume_m3"] * half * (abs(u) + CROSS_ON_WING * abs(v)) * v
        roll -= p["roll_damping_m4"] * half * abs(u) * droll
        roll -= (p["side_height_m"] - p["cg_height_m"]) * (side + fin)
        return (
            forward,
            side + fin,
            lift + tail,
            p["side_ahead_m"] * side - p["fin_behind_m"] * fin,
            -p["tail_behind_m"] * tail,
            roll,
        )

    # Everything -------------------------------------------------------------------------------------------------------

    def rates(self, t, s, c):
        """Time derivative of the state vector at a time with the controls c held."""
        p = self.p
        h, m = p["cg_height_m"], p["mass_kg"]
        (_, _, yaw, u, v, r, _, th, ph, dz, dth, dph, delta, ddelta, link, *rest) = s
        spins, engine, brakes, heat = rest[0:3], rest[3], rest[4:6], rest[6:8]
        cy, sy = cos(yaw), sin(yaw)

        # Air: velocity through it in body axes.
        wx, wy = self.wind(t)
        ua, va = u - (wx * cy + wy * sy), v - (wy * cy - wx * sy)
        share = engine / RPM / p["full_rpm"]
        thrust = self.thrust(share, ua)
        fx, fy, fz, n_yaw, n_pitch, n_roll = self.air(ua, va, s, c, thrust)
        fx += thrust - m * G * (self.rise[0] * cy + self.rise[1] * sy)
        fy -= m * G * (self.rise[1] * cy - self.rise[0] * sy)
        n_yaw += p["slipstream_lever_m"] * max(thrust, 0.0)
        n_yaw += p["blade_lever_ns"] * ua * th * max(share - ua / (2.0 * p["no_thrust_mps"]), 0.0)
        n_pitch -= (p["thrust_height_m"] - h) * thrust
        n_roll -= p["torque_nm"] * share * share

        # Wheels.
        loads = self.loads(s)
        dspin, heating = [], []
        n_swivel = 0.0
        sum_x = sum_y = 0.0
        for i, (x, y) in enumerate(self.places):
            # The body leans over its wheels; its contacts are carried along by pitching and rolling.
            x, y = x + h * th, y + h * ph
            ux, uy = u + h * dth - y * r, v + h * dph + x * r
            a = delta if i == 0 else 0.0
            ca, sa = cos(a), sin(a)
            along, across = ux * ca + uy * sa, uy * ca - ux * sa
            if i == 0:
                across -= p["trail_m"] * ddelta
            f_along, f_across = self.tyre(i, loads[i], along, across, spins[i])
            gx, gy = f_along * ca - f_across * sa, f_along * sa + f_across * ca
            sum_x, sum_y = sum_x + gx, sum_y + gy
            n_yaw += x * gy - y * gx
            n_pitch += loads[i] * x
            n_roll += loads[i] * y
            fz += loads[i]
            if i == 0:
                n_swivel -= p["trail_m"] * f_across
            torque = self.rolling * loads[i] * p["wheel_radius_m"][i] * (FLAT_ROLLING if self.flat[i] else 1.0)
            if i > 0:
                hot = (heat[i - 1] - FADES_FROM_C) / (FADED_C - FADES_FROM_C)
                fade = 1.0 - (1.0 - FADED_SHARE) * min(max(hot, 0.0), 1.0)
                fault = self.brake_faults[i - 1]
                brake = brakes[i - 1] * p["full_brake_nm"] * fade * BRAKE_SHARE[fault]
                if fault == "seized":
                    brake = max(brake, SEIZED_DRAGS * p["full_brake_nm"])
                torque += brake
                cooling = (COOLS_STANDING + COOLS_MOVING * abs(u)) * (heat[i - 1] - COLD_C)
                heating.append((brake * abs(spins[i]) - cooling) / p["brake_jpk"])
            held = torque * tanh(spins[i] / SPIN_SMALL)
            dspin.append((-p["wheel_radius_m"][i] * f_along - held) / p["wheel_inertia_kgm2"][i])

        # Nose wheel: a spring that gives way, with play or none, or a tow bar in its place; damping, stop.
        bar = c.get("tow_bar") if engine == 0.0 else None
        if bar:
            stop = p["caster_stop_rad"]
            pull, most = BAR_SPRING * (min(max(bar["angle_rad"], -stop), stop) - delta), BAR_LIMIT
            bx, by = bar["pull_n"] * cos(delta), bar["pull_n"] * sin(delta)
            # People pull at the height of the axle, at the place of the nose wheel.
            below = h - p["wheel_radius_m"][0]
            fx, fy = fx + bx, fy + by
            n_yaw += p["nose_ahead_m"] * by
            n_pitch, n_roll = n_pitch + below * bx, n_roll + below * by
        else:
            play = p["faults"]["steering_play_rad"]
            bend = link - delta
            bend = 0.0 if abs(bend) <= play else bend - copysign(play, bend)
            pull, most = p["linkage_nm_per_rad"] * bend, p["linkage_limit_nm"]
        n_swivel += min(max(pull, -most), most)
        n_swivel -= p["swivel_damping_nms"] * ddelta
        beyond = abs(delta) - p["caster_stop_rad"]
        if beyond > 0.0:
            n_swivel -= copysign(STOP_SPRING * beyond, delta) + STOP_DAMPING * ddelta

        turning = self.engine_torque(engine, c["throttle"], ua, c["mixture"] >= 0.05 and engine > 80.0 * RPM)
        if engine <= 0.0 and turning < 0.0:
            turning = 0.0
        toes = (c["left_brake"], c["right_brake"])
        return [
            u * cy - v * sy,
            u * sy + v * cy,
            r,
            (fx + sum_x) / m + r * v,
            (fy + sum_y) / m - r * u,
            n_yaw / p["yaw_inertia_kgm2"],
            dz,
            dth,
            dph,
            fz / m - G,
            (n_pitch + h * sum_x) / p["pitch_inertia_kgm2"],
            (n_roll + h * sum_y) / p["roll_inertia_kgm2"],
            ddelta,
            n_swivel / p["swivel_inertia_kgm2"],
            (-c["rudder"] * p["pedal_limit_rad"] - link) / PEDAL_LAG_S,
            *dspin,
            turning / p["engine"]["inertia_kgm2"],
            (toes[0] - brakes[0]) / BRAKE_LAG_S,
            (toes[1] - brakes[1]) / BRAKE_LAG_S,
            *heating,
        ]
