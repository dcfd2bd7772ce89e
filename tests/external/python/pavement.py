"""What pavement a place stands on, by shapely (GEOS).

Reads {"areas": [{"outer": [[x, y], ...], "holes": [...]}, ...], "buildings": [[[x, y], ...], ...],
"lanes": [{"points": [[x, y], ...], "half_m": h}, ...], "places": [[x, y], ...]} as JSON and answers, for each place,
{"on": distance to the pavement (0 on it), "gap_m": distance from its piece of pavement to the nearest lane's line, or null}.
"""

import json
import sys

from shapely import LineString, Point, Polygon, make_valid, unary_union


def main():
    asked = json.load(sys.stdin)
    areas = [make_valid(Polygon(a["outer"], a["holes"])) for a in asked["areas"]]
    buildings = unary_union([make_valid(Polygon(b)) for b in asked["buildings"]])
    lines = [LineString(lane["points"]) for lane in asked["lanes"]]
    strips = [line.buffer(lane["half_m"]) for line, lane in zip(lines, asked["lanes"])]
    lanes = unary_union(lines)
    whole = unary_union([unary_union(areas).difference(buildings), *strips])
    pieces = list(getattr(whole, "geoms", [whole]))
    answers = []
    for place in asked["places"]:
        at = Point(place)
        piece = min(pieces, key=lambda p: p.distance(at))
        on = piece.distance(at)
        answers.append({"on": on, "gap_m": piece.distance(lanes) if on == 0.0 else None})
    json.dump(answers, sys.stdout)


main()
