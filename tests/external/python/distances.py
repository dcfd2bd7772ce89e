"""Least distances of a moving outline to obstacles with shapely: placed parts at given poses, a tree of boxes to choose.

Reads {"parts", "poses" (x and y of the parts' origin, heading), "obstacles", "around"} from standard input; writes the least
distance to each obstacle and the seconds it took, reading and writing apart. Used by the bench of the clearance.
"""

import json
import math
import sys
import time

import numpy
import shapely

asked = json.load(sys.stdin)
parts = [numpy.array(p) for p in asked["parts"]]
things = numpy.array(
    [
        shapely.Polygon(o["points"]) if len(o["points"]) > 1 else shapely.Point(o["points"][0])
        for o in asked["obstacles"]
    ]
)
radii = numpy.array([o["radius"] for o in asked["obstacles"]])
least = numpy.full(len(things), math.inf)
begin = time.perf_counter()
tree = shapely.STRtree(things)
for x, y, heading in asked["poses"]:
    c, s = math.cos(heading), math.sin(heading)
    turn = numpy.array([[c, s], [-s, c]])
    placed = numpy.array([shapely.Polygon(p @ turn + (x, y)) for p in parts])
    r = asked["around"]
    near = tree.query(shapely.box(x - r, y - r, x + r, y + r))
    if len(near):
        gaps = shapely.distance(placed[:, None], things[near][None, :]).min(axis=0)
        numpy.minimum.at(least, near, gaps)
seconds = time.perf_counter() - begin
least = numpy.maximum(0.0, least - radii)
json.dump({"seconds": seconds, "least": [None if math.isinf(v) else v for v in least.tolist()]}, sys.stdout)
