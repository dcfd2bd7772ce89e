"""Lines noded and aprons cut by shapely (GEOS), by the rules that tests/external/noding.rs states.

Reads {"lines": [{"points": [[x, y], ...], "level": n, "lane": bool}, ...], "aprons": [[[x, y], ...], ...],
"obstacles": [...], rules...} as JSON and answers {"nodes", "length_m", "parts", "snapped", "free_m2"}.
"""

import json
import math
import sys

import networkx
from shapely import LineString, Point, Polygon, STRtree, make_valid, unary_union
from shapely.geometry import box


def snapped(lines, snap_m):
    """Rule 1: a loose end of a lane moves to the nearest point of another line of its level within snap_m."""
    shapes = [LineString(line["points"]) for line in lines]
    tree = STRtree(shapes)
    held = {}
    for i, line in enumerate(lines):
        for p in line["points"]:
            held.setdefault((round(p[0], 4), round(p[1], 4)), []).append(i)
    moved = 0
    out = [[tuple(p) for p in line["points"]] for line in lines]
    # Points to be put into the other line, so that the joint is a vertex of both.
    for i, line in enumerate(lines):
        points = line["points"]
        if not line["lane"] or points[0] == points[-1]:
            continue
        for at in (0, -1):
            p = points[at]
            if len(held[(round(p[0], 4), round(p[1], 4))]) > 1:
                continue
            best = None
            for j in tree.query(Point(p).buffer(snap_m)):
                if j == i or lines[j]["level"] != line["level"]:
                    continue
                d = shapes[j].distance(Point(p))
                if d <= snap_m and (best is None or d < best[0]):
                    best = (d, int(j))
            if best is None:
                continue
            foot = shapes[best[1]].interpolate(shapes[best[1]].project(Point(p)))
            out[i][at] = (foot.x, foot.y)
            out[best[1]] = out[best[1]] + [("foot", foot)]
            moved += 1
    result = []
    for line, points in zip(lines, out):
        own = [p for p in points if p[0] != "foot"]
        shape = LineString(own)
        # Vertices are put in order of their distance along the line, the old ones at theirs.
        along, run = [], 0.0
        for k, p in enumerate(own):
            if k:
                run += math.dist(own[k - 1], p)
            along.append((run, p))
        for mark, foot in (p for p in points if p[0] == "foot"):
            along.append((shape.project(foot), (foot.x, foot.y)))
        along.sort(key=lambda a: a[0])
        result.append([p for _, p in along])
    return result, moved


def noded(lines, same_m, snap_m):
    points, moved = snapped(lines, snap_m)
    pieces, ends = [], []
    levels = sorted({line["level"] for line in lines})
    for level in levels:
        own = [LineString(p) for p, line in zip(points, lines) if line["level"] == level and LineString(p).length > 0]
        # Rule 2: what crosses, touches or runs over another on one level is split there, doubles fall together.
        union = unary_union(own)
        pieces += list(union.geoms) if union.geom_type == "MultiLineString" else [union]
        ends += [end for p in own for end in (p.coords[0], p.coords[-1])]
    # Rule 3: places nearer than same_m are one; found on a grid of that size and its neighbours.
    cells, number = {}, []

    def place(p):
        key = (math.floor(p[0] / same_m), math.floor(p[1] / same_m))
        for dx in (-1, 0, 1):
            for dy in (-1, 0, 1):
                for n in cells.get((key[0] + dx, key[1] + dy), ()):
                    if math.dist(number[n], p) <= same_m:
                        return n
        number.append(p)
        cells.setdefault(key, []).append(len(number) - 1)
        return len(number) - 1

    graph = networkx.Graph()
    for piece in pieces:
        for a, b in zip(piece.coords, piece.coords[1:]):
            u, v = place(a), place(b)
            if u != v:
                graph.add_edge(u, v, length=math.dist(number[u], number[v]))
    ends = {place(p) for p in ends}
    # Rule 4: a node is where a line ends or not exactly two pieces meet.
    nodes = sum(1 for n in graph if graph.degree(n) != 2 or n in ends)
    length = sum(d["length"] for _, _, d in graph.edges(data=True))
    return {
        "nodes": nodes,
        "length_m": length,
        "parts": networkx.number_connected_components(graph) if len(graph) else 0,
        "snapped": moved,
    }


def free(aprons, obstacles, half_width_m, corners):
    ground = unary_union([make_valid(Polygon(ring)) for ring in aprons])
    taken = []
    for o in obstacles:
        if o["kind"] == "area":
            taken.append(make_valid(Polygon(o["outer"], o["holes"])))
        elif o["kind"] == "line":
            for a, b in zip(o["points"], o["points"][1:]):
                if a != b:
                    taken.append(LineString([a, b]).buffer(half_width_m, cap_style="square"))
        elif o["radius_m"] > 0:
            r = o["radius_m"] / math.cos(math.pi / corners)
            turn = [2 * math.pi * i / corners for i in range(corners)]
            x, y = o["at"]
            taken.append(Polygon([(x + r * math.cos(t), y + r * math.sin(t)) for t in turn]))
    reach = box(*ground.bounds) if not ground.is_empty else ground
    taken = unary_union([t for t in taken if t.intersects(reach)])
    return ground.difference(taken).area


def main():
    asked = json.load(sys.stdin)
    answer = []
    for field in asked["fields"]:
        one = {"nodes": 0, "length_m": 0.0, "parts": 0, "snapped": 0, "free_m2": 0.0}
        if field["lines"]:
            one.update(noded(field["lines"], asked["same_m"], asked["snap_m"]))
        if field["aprons"]:
            one["free_m2"] = free(field["aprons"], field["obstacles"], asked["half_width_m"], asked["corners"])
        answer.append(one)
    json.dump(answer, sys.stdout)


main()
