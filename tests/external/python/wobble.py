"""Wobbling drives, written a second time with numpy, and what scipy knows of tails and intervals.

Reads one question as JSON from standard input and writes the answer as JSON.
"""

import json
import sys

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.stats import beta, norm

GRID_M = 0.5
STEP_M = 0.05
LOOK_EVERY = 4


def kernel(r, length):
    """Matern's kernel, nu = 5/2, and its first four derivatives by r >= 0."""
    a = np.sqrt(5.0) / length
    t = a * r
    e = np.exp(-t)
    return (
        (1 + t + t * t / 3) * e,
        -a * t * (1 + t) / 3 * e,
        a**2 * (-1 - t + t * t) / 3 * e,
        a**3 * t * (3 - t) / 3 * e,
        a**4 * (3 - 5 * t + t * t) / 3 * e,
    )


def deviations(asked, total, rng, drives):
    """One row a drive: a spline of the deviation over the way."""
    s = np.arange(0.0, total + 2 * GRID_M, GRID_M)
    k = kernel(np.abs(s[:, None] - s[None, :]), asked["correlation_m"])[0]
    mean = np.full(len(s), asked["offset_m"], dtype=float)
    if asked["parked"]:
        # Given that value, slope and bend are 0 at the start.
        k0, k1, k2, _, k4 = kernel(s, asked["correlation_m"])
        with_start = np.stack([k0, -k1, k2], axis=1)
        z = kernel(np.zeros(1), asked["correlation_m"])
        start = np.array([[z[0][0], 0, z[2][0]], [0, -z[2][0], 0], [z[2][0], 0, z[4][0]]])
        gain = np.linalg.solve(start, with_start.T).T
        k = k - gain @ with_start.T
        mean = mean + gain @ np.array([-asked["offset_m"], 0.0, 0.0])
    values, vectors = np.linalg.eigh(k)
    root = vectors * np.sqrt(np.maximum(values, 0.0))
    draws = mean + asked["spread_m"] * rng.standard_normal((drives, len(s))) @ root.T
    return CubicSpline(s, draws, axis=1)


def line(pieces):
    """Position, direction along the way on the fine grid, exact for straights and arcs."""
    x, y, th, at = 0.0, 0.0, 0.0, 0.0
    s, p, d = [0.0], [(0.0, 0.0)], [0.0]
    for length, k in pieces:
        n = int(np.ceil(length / STEP_M))
        for i in range(1, n + 1):
            u = length * i / n
            if k == 0.0:
                q = (x + u * np.cos(th), y + u * np.sin(th))
            else:
                q = (x + (np.sin(th + k * u) - np.sin(th)) / k, y - (np.cos(th + k * u) - np.cos(th)) / k)
            s.append(at + u)
            p.append(q)
            d.append(th + k * u)
        x, y = q
        th += k * length
        at += length
    return np.array(s), np.array(p), np.array(d)


def to_convex(points, ring):
    """Distance of points (n, 2) from a convex ring, 0 inside."""
    best = np.full(len(points), np.inf)
    inside = np.ones(len(points), dtype=bool)
    for a, b in zip(ring, np.roll(ring, -1, axis=0)):
        ab = b - a
        t = np.clip(((points - a) @ ab) / (ab @ ab), 0.0, 1.0)
        best = np.minimum(best, np.hypot(*(points - a - t[:, None] * ab).T))
        inside &= ab[0] * (points[:, 1] - a[1]) - ab[1] * (points[:, 0] - a[0]) >= 0
    return np.where(inside, 0.0, best)


def drive(asked):
    rng = np.random.default_rng(5)
    s, p, th = line(asked["pieces"])
    n, d = asked["drives"], asked["wheelbase_m"]
    y = deviations(asked, s[-1], rng, n)(s)
    nose_x = p[:, 0] - np.sin(th) * y
    nose_y = p[:, 1] + np.cos(th) * y
    rings = [np.array(r) for r in asked["parts"]]
    reach = max(np.max(np.hypot(r[:, 0] - d, r[:, 1])) for r in rings)
    posts = [(np.array(at), r) for at, r in asked["posts"]]
    hit = np.zeros((n, len(posts)), dtype=bool)
    heading = np.zeros(n)
    if not asked["parked"]:
        heading = np.arctan2(nose_y[:, 1] - nose_y[:, 0], nose_x[:, 1] - nose_x[:, 0])
    for i in range(len(s)):
        if i:
            # The axle cannot slide sideways: psi' = (velocity of the nose across the axis) / d, by the midpoint rule.
            dx, dy = nose_x[:, i] - nose_x[:, i - 1], nose_y[:, i] - nose_y[:, i - 1]
            half = heading + 0.5 * (dy * np.cos(heading) - dx * np.sin(heading)) / d
            heading = heading + (dy * np.cos(half) - dx * np.sin(half)) / d
        if i % LOOK_EVERY:
            continue
        c, q = np.cos(heading), np.sin(heading)
        for k, (at, r) in enumerate(posts):
            rx, ry = at[0] - nose_x[:, i], at[1] - nose_y[:, i]
            near = np.flatnonzero((np.hypot(rx, ry) <= reach + r) & ~hit[:, k])
            if len(near) == 0:
                continue
            # The post in the aeroplane's axes, the middle of the main axle at 0.
            rx, ry, cn, qn = rx[near], ry[near], c[near], q[near]
            body = np.stack([rx * cn + ry * qn + d, -rx * qn + ry * cn], axis=1)
            for ring in rings:
                hit[near, k] |= to_convex(body, ring) <= r
    return {"any": float(hit.any(axis=1).mean()), "posts": [float(v) for v in hit.mean(axis=0)]}


def main():
    asked = json.load(sys.stdin)
    if asked["what"] == "tails":
        out = [float(norm.sf((gap - offset) / spread)) for gap, offset, spread in asked["rows"]]
    elif asked["what"] == "intervals":
        out = [
            [
                float(beta.ppf(0.025, k, n - k + 1)) if k > 0 else 0.0,
                float(beta.ppf(0.975, k + 1, n - k)) if k < n else 1.0,
            ]
            for n, k in asked["rows"]
        ]
    else:
        out = drive(asked)
    json.dump(out, sys.stdout)


if __name__ == "__main__":
    main()
