"""AIXM messages read independently (the standard library's ElementTree, pyproj for geodesics), and held against the GeoJSON
that was cut out of them.

Asked: {"folder": path, "text": GeoJSON}. Answered: how many features of each kind the folder's *.xml hold; for the features of
the GeoJSON how many positions were compared, which are not found in their order, and how far, in millimetres, the lines between
(straight in longitude and latitude) are from the geodesic at worst; how far the points of circles are from their radius; the
designator, speed and direction of each guidance line.
"""

import glob
import json
import math
import sys
import xml.etree.ElementTree as ET

from pyproj import Geod

AIXM = "{http://www.aixm.aero/schema/5.1.1}"
GML = "{http://www.opengis.net/gml/3.2}"
EARTH = Geod(ellps="WGS84")
# The mean radius is enough for the small angle that it is used for.
RADIUS_M = 6_371_000.0

asked = json.load(sys.stdin)
features = {}
counts = {}
for path in sorted(glob.glob(asked["folder"] + "/*.xml")):
    for member in ET.parse(path).getroot().iter("{http://www.aixm.aero/schema/5.1.1/message}hasMember"):
        for feature in member:
            kind = feature.tag.split("}")[1]
            counts[kind] = counts.get(kind, 0) + 1
            features[feature.find(GML + "identifier").text] = (kind, feature)


def positions(node):
    """Every position under a node, longitude first."""
    found = []
    for element in node.iter():
        if element.tag in (GML + "pos", GML + "posList"):
            numbers = [float(word) for word in element.text.split()]
            found += list(zip(numbers[1::2], numbers[::2]))
    return found


def parts(geometry):
    """Lines of a GeoJSON geometry."""
    kind, c = geometry["type"], geometry["coordinates"]
    return {"Point": lambda: [[c]], "LineString": lambda: [c], "Polygon": lambda: c,
            "MultiPolygon": lambda: [r for p in c for r in p]}[kind]()


def off_m(a, b, q):
    """How far a place is from the geodesic between two, metres."""
    along, _, _ = EARTH.inv(*a, *b)
    toward, _, distance = EARTH.inv(*a, *q)
    if distance == 0.0:
        return 0.0
    return abs(RADIUS_M * math.asin(math.sin(distance / RADIUS_M) * math.sin(math.radians(toward - along))))


PROPERTIES = {
    "GuidanceLine": ["extent"], "TaxiwayElement": ["extent"], "RunwayElement": ["extent"], "ApronElement": ["extent"],
    "WorkArea": ["extent"], "TaxiHoldingPosition": ["location"], "AircraftStand": ["location"], "AirportHeliport": ["aviationBoundary"],
    "VerticalStructure": ["horizontalProjection_location", "horizontalProjection_linearExtent", "horizontalProjection_surfaceExtent"],
}

compared, missing, worst_mm, circle_mm, seen, lines = 0, [], 0.0, 0.0, {}, {}
for feature in json.loads(asked["text"])["features"]:
    name = feature["id"].split("/")
    kind, source = features[name[1]]
    if kind not in PROPERTIES:
        continue
    properties = PROPERTIES[kind]
    if name[2:] == ["extent"]:
        properties = ["extent"]
    scope = source
    if kind == "VerticalStructure":
        scope = list(source.iter(AIXM + "VerticalStructurePart"))[int(name[2]) - 1 if len(name) > 2 else 0]
    node = next(n for p in properties for n in scope.iter(AIXM + p) if len(n))
    seen[kind] = seen.get(kind, 0) + 1
    if kind == "GuidanceLine":
        tags, slice_ = feature["properties"], source.find(f"{AIXM}timeSlice/{AIXM}GuidanceLineTimeSlice")
        lines[feature["id"]] = [
            slice_.find(AIXM + "designator").text, tags.get("name"),
            slice_.find(AIXM + "maxSpeed").text + " kt", tags.get("maxspeed"),
            {"FORWARD": "yes", "BACKWARD": "-1"}.get(slice_.find(AIXM + "usageDirection").text), tags.get("oneway"),
        ]
    made = [p for line in parts(feature["geometry"]) for p in line]
    theirs = positions(node)
    circle = node.find(".//" + GML + "CircleByCenterPoint")
    radius = scope.find(f".//{AIXM}radius")
    if circle is not None:
        for place in made:
            _, _, m = EARTH.inv(*theirs[0], *place)
            circle_mm = max(circle_mm, 1000 * abs(m - float(circle.find(GML + "radius").text)))
        compared += 1
        continue
    if feature["geometry"]["type"] != "Point" and len(theirs) == 1:
        # A point drawn as a circle of the structure's radius: its corners lie around it.
        compared += 1
        continue
    at, last = 0, None
    for place in theirs:
        begin = at
        while at < len(made) and tuple(made[at]) != place:
            at += 1
        if at == len(made):
            missing.append(feature["id"])
            break
        if last is not None:
            # Straight in longitude and latitude from point to point of ours, looked at on the way.
            for p, q in zip(made[begin:at], made[begin + 1:at + 1]):
                for k in range(9):
                    t = k / 8
                    on = (p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t)
                    worst_mm = max(worst_mm, 1000 * off_m(last, place, on))
        last = place
        compared += 1

json.dump({"counts": counts, "compared": compared, "missing": missing, "worst_mm": worst_mm, "circle_mm": circle_mm,
           "seen": seen, "lines": lines}, sys.stdout)
