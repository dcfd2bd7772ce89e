"""Checks the GeoJSON form of plans against RFC 7946 with shapely and pyproj.

In: [{"name": ..., "text": GeoJSON, "lon": ..., "lat": ..., "end": [x, y] or null}, ...]; lon and lat are the origin of the plan's
local plane, end is where the nose wheel's way ends there. Out: for each what is wrong, in sentences.
"""

import json
import sys

import pyproj
from shapely.geometry import Polygon, shape
from shapely.validation import explain_validity

# Farthest that a field may reach from its origin, degrees; a swap of longitude and latitude is farther off on every field of the tests.
FIELD_DEG = 0.2
# What seven decimals of a degree round away, metres, with the azimuthal equidistant plane's own millimetre.
ROUNDED_M = 0.02


def positions(coordinates):
    if isinstance(coordinates[0], (int, float)):
        yield coordinates
    else:
        for inner in coordinates:
            yield from positions(inner)


def ring_faults(ring, outer):
    if len(ring) < 4 or ring[0] != ring[-1]:
        return ["a ring of fewer than four positions or not closed (3.1.6)"]
    if Polygon(ring).exterior.is_ccw != outer:
        return ["a ring against the right-hand rule (3.1.6)"]
    return []


def geometry_faults(g, lon, lat):
    found = []
    if set(g) != {"type", "coordinates"}:
        return [f"members {sorted(g)}"]
    for p in positions(g["coordinates"]):
        if len(p) != 2 or not -180.0 <= p[0] <= 180.0 or not -90.0 <= p[1] <= 90.0:
            found.append(f"position {p}")
        elif abs(p[0] - lon) > FIELD_DEG or abs(p[1] - lat) > FIELD_DEG:
            found.append(f"position {p} far from {lon}, {lat} (3.1.1: longitude first)")
        if found:
            return found
    polygons = {"Polygon": [g["coordinates"]], "MultiPolygon": g["coordinates"]}.get(g["type"], [])
    for polygon in polygons:
        for i, ring in enumerate(polygon):
            found += ring_faults(ring, i == 0)
    if found:
        return found
    if g["type"] == "LineString":
        if len(g["coordinates"]) < 2:
            return ["a line of one position (3.1.4)"]
        # Two equal positions are a line by RFC 7946, where nothing moves or where it touches; shapely has none such.
        if all(p == g["coordinates"][0] for p in g["coordinates"]):
            return []
    s = shape(g)
    if s.is_empty or not s.is_valid:
        found.append(explain_validity(s))
    return found


def faults(asked):
    document = json.loads(asked["text"])
    if document.get("type") != "FeatureCollection" or "crs" in document:
        return ["no FeatureCollection of RFC 7946"]
    found, ids = [], set()
    for f in document["features"]:
        said = f.get("id", "?")
        if set(f) != {"type", "id", "geometry", "properties"} or f["type"] != "Feature":
            found.append(f"{said}: members {sorted(f)}")
            continue
        if said in ids:
            found.append(f"{said}: the id is there twice")
        ids.add(said)
        properties = f["properties"]
        if not isinstance(properties, dict) or not properties.get("toeline:what"):
            found.append(f"{said}: no properties")
        found += [f"{said}: {why}" for why in geometry_faults(f["geometry"], asked["lon"], asked["lat"])]
    if asked["end"] is not None:
        ways = [f for f in document["features"] if f.get("id") == "way"]
        if len(ways) != 1:
            return found + ["not one way"]
        plane = pyproj.Proj(proj="aeqd", lon_0=asked["lon"], lat_0=asked["lat"], ellps="WGS84")
        x, y = plane(*ways[0]["geometry"]["coordinates"][-1])
        off = ((x - asked["end"][0]) ** 2 + (y - asked["end"][1]) ** 2) ** 0.5
        if not off < ROUNDED_M:
            found.append(f"way: ends {off} m from where the plan ends")
    return found


json.dump([faults(a) for a in json.load(sys.stdin)], sys.stdout)
