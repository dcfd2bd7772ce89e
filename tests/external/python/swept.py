"""Swept areas and least gaps with shapely, on poses integrated numerically: nothing shared with the planner.

Reads a list of scenes from standard input and writes, for each, the least gap over all poses, how much a gap can be hidden
between two poses, the area of the union of the parts at all poses, and how much area that union can miss between poses.
"""

import json
import math
import sys

import shapely
from shapely.geometry import LineString, MultiPoint, Point, Polygon

STEP = 0.01  # metres of way between poses


def poses(scene):
    """Nose wheel and heading, every STEP or less; Runge-Kutta of the fourth order on the heading."""
    d = scene["wheelbase"]
    (x, y), heading = scene["nose"], scene["heading"]
    yield x, y, heading
    for piece in scene["pieces"]:
        if piece["how"] == "led":
            n = max(1, math.ceil(piece["length"] / STEP))
            h = piece["length"] / n
            along, bend = piece["along"], piece["bend"]
            x0, y0 = x, y

            def rate(s, psi):
                # The nose wheel moves along the line, the axle only along the aeroplane.
                return math.sin(along + bend * s - psi) / d

            for i in range(n):
                s = i * h
                k1 = rate(s, heading)
                k2 = rate(s + h / 2, heading + h / 2 * k1)
                k3 = rate(s + h / 2, heading + h / 2 * k2)
                k4 = rate(s + h, heading + h * k3)
                heading += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
                s += h
                if bend == 0:
                    x, y = x0 + s * math.cos(along), y0 + s * math.sin(along)
                else:
                    x = x0 + (math.sin(along + bend * s) - math.sin(along)) / bend
                    y = y0 - (math.cos(along + bend * s) - math.cos(along)) / bend
                yield x, y, heading
        elif piece["how"] == "back":
            n = max(1, math.ceil(piece["length"] / STEP))
            x0, y0 = x, y
            for i in range(1, n + 1):
                s = piece["length"] * i / n
                x, y = x0 - s * math.cos(heading), y0 - s * math.sin(heading)
                yield x, y, heading
        else:
            n = max(1, math.ceil(abs(piece["left"]) * d / STEP))
            ax, ay, h0 = x - d * math.cos(heading), y - d * math.sin(heading), heading
            for i in range(1, n + 1):
                heading = h0 + piece["left"] * i / n
                x, y = ax + d * math.cos(heading), ay + d * math.sin(heading)
                yield x, y, heading


def shape(told):
    points = told["points"]
    if len(points) == 1:
        return Point(points[0])
    return LineString(points) if len(points) == 2 else Polygon(points)


def answer(scene):
    d = scene["wheelbase"]
    thing, radius = shape(scene["shape"]), scene["shape"]["radius"]
    reach = max(math.hypot(px - d, py) for part in scene["parts"] for px, py in part)
    gap, hulls, union = math.inf, [], []
    for i, (x, y, heading) in enumerate(poses(scene)):
        c, s = math.cos(heading), math.sin(heading)
        placed = [
            Polygon([(x + (px - d) * c - py * s, y + (px - d) * s + py * c) for px, py in part])
            for part in scene["parts"]
        ]
        gap = min(gap, max(0.0, min(p.distance(thing) for p in placed) - radius))
        if i % 10 == 0:
            union.extend(placed)
        hulls.append(placed)
    union.extend(hulls[-1])
    # Every pose lies between two of the coarse ones, so the union of the hulls of neighbours holds all that is swept (to
    # the sagitta of a tenth of a metre).
    kept = hulls[::10] + [hulls[-1]]
    outer = shapely.union_all(
        [
            MultiPoint(list(a.exterior.coords) + list(b.exterior.coords)).convex_hull
            for one, other in zip(kept, kept[1:])
            for a, b in zip(one, other)
        ]
        + kept[0]
    )
    inner = shapely.union_all(union)
    return {
        "gap": gap,
        "unseen": (1 + reach / d) * STEP / 2,
        "area": inner.area,
        "missed": max(0.0, outer.area - inner.area),
    }


json.dump([answer(scene) for scene in json.load(sys.stdin)], sys.stdout)
