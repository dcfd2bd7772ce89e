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
            out[i][at if at == 0 else len(points) - 1] = (foot.x, foot.y)
            out[best[1]] = out[best[1]] + [("foot", foot)]
            moved += 1
    result = []
    for line, points, shape in zip(lines, out, shapes):
        # In order of the distance along the line as drawn; an end that moved keeps its place in the order.
        along, run = [], 0.0
        for k, drawn in enumerate(line["points"]):
            if k:
                run += math.dist(line["points"][k - 1], drawn)
            along.append((run, points[k]))
        along += [(shape.project(foot), (foot.x, foot.y)) for _, foot in points[len(line["points"]) :]]
        along.sort(key=lambda a: a[0])
        result.append([p for _, p in along])
    return result, moved


class Places:
    """Places of one level that are one when nearer than same_m, found on a grid of that size and its neighbours."""

    def __init__(self, same_m):
        self.same_m, self.cells, self.at = same_m, {}, []

    def find(self, p):
        x, y = math.floor(p[0] / self.same_m), math.floor(p[1] / self.same_m)
        for cell in ((x + dx, y + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1)):
            for n in self.cells.get(cell, ()):
                if math.dist(self.at[n], p) <= self.same_m:
                    return n
        return None

    def number(self, p):
        n = self.find(p)
        if n is None:
            n = len(self.at)
            self.at.append(p)
            cell = (math.floor(p[0] / self.same_m), math.floor(p[1] / self.same_m))
            self.cells.setdefault(cell, []).append(n)
        return n


def level_graph(lines, same_m):
    """Rules 2 and 3 on one level: nodes are the numbers of places."""
    # Rule 2: what crosses, touches or runs over another is split there, and doubles fall together.
    union = unary_union([LineString(p) for p in lines if LineString(p).length > 0])
    pieces = list(union.geoms) if union.geom_type == "MultiLineString" else [union]
    # Rule 3: places nearer than same_m are one, and a piece that passes a place so near goes through it.
    places, graph = Places(same_m), networkx.Graph()
    for piece in pieces:
        for a, b in zip(piece.coords, piece.coords[1:]):
            u, v = places.number(a), places.number(b)
            if u != v:
                graph.add_edge(u, v)
    edges = list(graph.edges)
    tree = STRtree([LineString([places.at[u], places.at[v]]) for u, v in edges])
    cuts = {}
    for n in graph:
        for e in tree.query(Point(places.at[n]), predicate="dwithin", distance=same_m):
            if n not in edges[e]:
                cuts.setdefault(int(e), []).append(n)
    for e, through in cuts.items():
        u, v = edges[e]
        graph.remove_edge(u, v)
        chain = [u, *sorted(through, key=lambda n: math.dist(places.at[u], places.at[n])), v]
        graph.add_edges_from(zip(chain, chain[1:]))
    for u, v in graph.edges:
        graph.edges[u, v]["length"] = math.dist(places.at[u], places.at[v])
    return places, graph


def noded(lines, same_m, snap_m):
    points, moved = snapped(lines, snap_m)
    levels = sorted({line["level"] for line in lines})
    places, whole = {}, networkx.Graph()
    for level in levels:
        places[level], graph = level_graph([p for p, line in zip(points, lines) if line["level"] == level], same_m)
        whole = networkx.union(whole, networkx.relabel_nodes(graph, {n: (level, n) for n in graph}))
    # Rule 4: lines of different levels meet at an input point that both hold and at which one ends.
    held = {}
    for line in lines:
        for k, p in enumerate(line["points"]):
            end = k in (0, len(line["points"]) - 1)
            held.setdefault((round(p[0], 4), round(p[1], 4)), []).append((line["level"], end, p))
    same = networkx.utils.UnionFind(whole.nodes)
    for users in held.values():
        if len({level for level, _, _ in users}) > 1:
            ends = [u for u in users if u[1]]
            for level, _, p in users if ends else ():
                one, two = places[level].find(p), places[ends[0][0]].find(ends[0][2])
                if one is not None and two is not None:
                    same.union((level, one), (ends[0][0], two))
    whole = networkx.relabel_nodes(whole, {n: same[n] for n in whole})
    # Rule 5: a node is where not exactly two pieces meet, or where a line as drawn ends.
    ends = set()
    for line in lines:
        for p in (line["points"][0], line["points"][-1]):
            n = places[line["level"]].find(p)
            if n is not None and (line["level"], n) in same.parents:
                ends.add(same[(line["level"], n)])
    return {
        "nodes": sum(1 for n in whole if whole.degree(n) != 2 or n in ends),
        "length_m": sum(d["length"] for _, _, d in whole.edges(data=True)),
        "parts": networkx.number_connected_components(whole) if len(whole) else 0,
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


if __name__ == "__main__":
    main()
