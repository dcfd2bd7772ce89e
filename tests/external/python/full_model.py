"""Reads cases from standard input, integrates each with scipy, writes the trajectories to standard output (JSON).

A case: params, ground (friction, rolling, rise), wind (m/s east and north), gust (or null), start (a state as the program writes it), legs
(until_s and the controls held until then) and samples_per_second.
"""

import json
import sys

import numpy
from aeroplane import NAMES, Aeroplane, start_vector
from scipy.integrate import solve_ivp

# Metres, m/s, radians: far below what is compared.
RELATIVE, ABSOLUTE = 1e-7, 1e-9


def trajectory(case):
    plane = Aeroplane(case["params"], case["ground"], case["wind"], case["gust"])
    y = numpy.array(start_vector(case["start"]), dtype=float)
    t, samples = 0.0, []

    def note(y):
        samples.append(dict(zip(NAMES, map(float, y))) | {"load_n": plane.loads(y.tolist())})

    note(y)
    every = 1.0 / case["samples_per_second"]
    for leg in case["legs"]:
        controls = leg["controls"]
        at = [(k + 1) * every for k in range(round(t / every), round(leg["until_s"] / every))]
        # Controls jump between legs: the solver starts anew there and never looks across.
        done = solve_ivp(
            lambda t, y: plane.rates(t, y.tolist(), controls),
            (t, at[-1]),
            y,
            method="Radau",
            t_eval=at,
            rtol=RELATIVE,
            atol=ABSOLUTE,
        )
        if not done.success:
            raise RuntimeError(f"{case['name']}: {done.message}")
        for column in done.y.T:
            note(column)
        t, y = at[-1], done.y[:, -1]
    return {"name": case["name"], "samples": samples}


if __name__ == "__main__":
    json.dump([trajectory(case) for case in json.load(sys.stdin)], sys.stdout)
