"""What a general library for OpenStreetMap data (pyosmium, on libosmium) finds in files.

Asked: {"files": [path, …]}. Answered, for each file: how many nodes, ways and relations of each value of aeroway there are,
and, of every way with such a tag, its nodes' places in whole 1e-7 degrees; and the areas it assembles from closed ways and
multipolygon relations with aeroway or building tags: outer rings, holes, and the area enclosed in square degrees.
"""

import json
import sys

import osmium


def counts(path):
    found = {"node": {}, "way": {}, "relation": {}}
    ways = {}
    words = {"n": "node", "w": "way", "r": "relation"}
    for e in osmium.FileProcessor(path).with_locations():
        value = e.tags.get("aeroway")
        if value is None:
            continue
        kind = found[words[e.type_str()]]
        kind[value] = kind.get(value, 0) + 1
        if e.is_way():
            ways[e.id] = [[n.location.x, n.location.y] if n.location.valid() else None for n in e.nodes]
    return found, ways


def size(ring):
    points = [(n.lon, n.lat) for n in ring]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:])) / 2


def areas(path):
    found = {}
    for e in osmium.FileProcessor(path).with_areas():
        if not e.is_area() or not ("building" in e.tags or "aeroway" in e.tags):
            continue
        outer, holes, enclosed = 0, 0, 0.0
        for ring in e.outer_rings():
            outer += 1
            enclosed += abs(size(ring))
            for hole in e.inner_rings(ring):
                holes += 1
                enclosed -= abs(size(hole))
        name = ("way/" if e.from_way() else "relation/") + str(e.orig_id())
        found[name] = [outer, holes, enclosed]
    return found


answer = []
for path in json.load(sys.stdin)["files"]:
    found, ways = counts(path)
    answer.append({"counts": found, "ways": ways, "areas": areas(path)})
json.dump(answer, sys.stdout)
