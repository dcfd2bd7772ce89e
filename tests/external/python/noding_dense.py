"""A net that was joined within a tolerance, held against shapely's (GEOS) union of the lines it was made from.

The rules are stated in tests/external/noding_dense.rs. Reads {"fields": [{"lines": [[[x, y], ...],
...], "segments": [{"points": [[x, y], ...], "ends": [n, n], "of": [line, ...]}, ...]}, ...], "same_m", "snap_m"} as JSON and
answers one object of figures a field.
"""

import json
import sys

import networkx
import numpy
import shapely
from noding import snapped
from shapely import LineString, MultiLineString, Point, STRtree, unary_union

# What two programs' sums may differ by, metres.
ROUNDING_M = 1e-6
# How far apart along a piece its distance from the other shape is taken, metres.
EVERY_M = 0.25


def pieces_of(shape):
    """The straight pieces of a union, as pairs of places."""
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    return [(a, b) for part in parts for a, b in zip(part.coords, part.coords[1:]) if a != b]


def numbered(pieces):
    """Places by number, and the pieces by the numbers of their places: GEOS gives equal places equal coordinates."""
    number, ends = {}, []
    for a, b in pieces:
        ends.append((number.setdefault(a, len(number)), number.setdefault(b, len(number))))
    return list(number), ends


def noded(field):
    """The net by itself: places where its segments meet away from the ends of all of them, and its parts both ways."""
    segments = [LineString(s["points"]) for s in field["segments"]]
    union = unary_union(segments)
    places, ends = numbered(pieces_of(union))
    drawn = STRtree([Point(p) for s in field["segments"] for p in s["points"]])
    joints = STRtree([Point(s["points"][at]) for s in field["segments"] for at in (0, -1)])
    graph = networkx.Graph(ends)
    at = [Point(p) for p in places]
    far = lambda tree, n: len(tree.query(at[n], predicate="dwithin", distance=ROUNDING_M)) == 0
    loose = [n for n in graph if far(drawn, n) or (graph.degree(n) > 2 and far(joints, n))]
    own = networkx.Graph([tuple(s["ends"]) for s in field["segments"]])
    return {
        "nodes": len(own),
        "unjoined": len(loose),
        "unjoined_at": [places[n] for n in loose[:3]],
        "parts": networkx.number_connected_components(own),
        "drawn_parts": networkx.number_connected_components(graph),
        "length_m": sum(s.length for s in segments),
        "drawn_length_m": union.length,
    }, union


def widest(places, link_m):
    """The greatest width of places that hang together by steps of at most link_m, and who has such a neighbour."""
    points = shapely.points(places)
    one, two = STRtree(points).query(points, predicate="dwithin", distance=link_m)
    graph = networkx.Graph()
    graph.add_nodes_from(range(len(places)))
    graph.add_edges_from((a, b) for a, b in zip(one.tolist(), two.tolist()) if a != b)
    groups = [numpy.array([places[n] for n in g]) for g in networkx.connected_components(graph) if len(g) > 1]
    wide = max((float(numpy.linalg.norm(g.max(axis=0) - g.min(axis=0))) for g in groups), default=0.0)
    return wide, {n for n in graph if graph.degree(n) > 0}


def quiet(turned, places, ends, reach_m):
    """Pieces that nothing comes near: neither end has a place within reach_m, no other place is that near the piece, and the
    piece is no part of a stretch that a joined end turns."""
    _, crowded = widest(places, reach_m)
    shapes = [LineString([places[a], places[b]]) for a, b in ends]
    which, _ = STRtree([Point(p) for p in places]).query(shapes, predicate="dwithin", distance=reach_m)
    held = numpy.bincount(which, minlength=len(shapes))
    middles = [s.interpolate(0.5, normalized=True) for s in shapes]
    of_end = set(turned.query(middles, predicate="dwithin", distance=ROUNDING_M)[0].tolist())
    still = [held[i] == 2 and i not in of_end and not crowded & set(ends[i]) for i in range(len(shapes))]
    return [s for s, calm in zip(shapes, still) if calm]


def farthest(shape, other):
    """The greatest distance of one shape from another, at its places and every so often between them, metres."""
    pieces = [LineString(p) for p in pieces_of(other)]
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(shape, EVERY_M)))
    _, distances = STRtree(pieces).query_nearest(points, return_distance=True, all_matches=False)
    return float(distances.max(initial=0.0))


def grouped(shapes, reach_m):
    """Which shapes hang together by gaps of at most reach_m."""
    one, two = STRtree(shapes).query(shapes, predicate="dwithin", distance=reach_m)
    graph = networkx.Graph()
    graph.add_nodes_from(range(len(shapes)))
    graph.add_edges_from(zip(one.tolist(), two.tolist()))
    return list(networkx.connected_components(graph))


def within(groups, others):
    """How many of the groups lie in more than one of the others; members that the others lack are left out."""
    other = {m: n for n, group in enumerate(others) for m in group}
    return sum(1 for g in groups if len({other[m] for m in g if m in other}) > 1)


def checked(field, same_m, snap_m):
    drawn = [{"points": points, "level": 0, "lane": True} for points in field["lines"]]
    lines = [LineString(points) for points in snapped(drawn, snap_m)[0]]
    union = unary_union(lines)
    answer, net = noded(field)
    places, ends = numbered(pieces_of(union))
    width, _ = widest(places, 2 * same_m)
    reach_m = width + 3 * same_m
    # The first and the last straight stretch of every line, as the joined ends have turned them.
    turned = [(l.coords[0], p[1]) for l, p in zip(lines, field["lines"])]
    turned += [(p[-2], l.coords[-1]) for l, p in zip(lines, field["lines"])]
    still = MultiLineString(quiet(STRtree([LineString(t) for t in turned]), places, ends, 2 * reach_m))
    # Lines by what of the net is theirs.
    own = networkx.Graph()
    of = {}
    for s in field["segments"]:
        own.add_edge(*s["ends"])
        for line in s["of"]:
            of.setdefault(line, s["ends"][0])
    part = {n: i for i, group in enumerate(networkx.connected_components(own)) for n in group}
    ours = {}
    for line, node in of.items():
        ours.setdefault(part[node], set()).add(line)
    ours = list(ours.values())
    answer.update(
        geos_length_m=union.length,
        geos_pieces=len(ends),
        reach_m=reach_m,
        quiet_m=still.length,
        quiet_pieces=len(still.geoms),
        quiet_moved_m=farthest(still, net),
        added_m=farthest(net, union),
        lost_m=farthest(union, net),
        line_parts=len(ours),
        touching=len(grouped(lines, 0.0)),
        near=[len(grouped(lines, same_m * (1 - e))) for e in (0.5, 0.0, -0.5)],
        reached=len(grouped(lines, same_m + 2 * reach_m)),
        torn=within(grouped(lines, ROUNDING_M), ours),
        tied=within(ours, grouped(lines, same_m + 2 * reach_m)),
    )
    return answer


def main():
    asked = json.load(sys.stdin)
    json.dump([checked(f, asked["same_m"], asked["snap_m"]) for f in asked["fields"]], sys.stdout)


if __name__ == "__main__":
    main()
