"""Local metres of places by PROJ (pyproj): azimuthal equidistant about an origin on WGS 84, which PROJ computes with its own
geodesic. Reads [[origin, place], ...] as [longitude, latitude] pairs, writes [[x, y], ...]."""

import json
import sys

from pyproj import Proj

answers = []
for (lon0, lat0), (lon, lat) in json.load(sys.stdin):
    x, y = Proj(proj="aeqd", lon_0=lon0, lat_0=lat0, ellps="WGS84")(lon, lat)
    answers.append([x, y])
json.dump(answers, sys.stdout)
