"""Statistics of a series by numpy and scipy, for the measures of a drive.

In: {"weighed": [[value, weight], …], "share": …, "least": …}. Out: weighed mean, spread, root of the mean square, the least
size that holds a share of the weight, and the indices where the values turn back by at least "least" on both sides.
"""

import json
import sys

import numpy as np
from scipy.signal import find_peaks

asked = json.load(sys.stdin)
values, weights = np.array(asked["weighed"], dtype=float).T
mean = np.average(values, weights=weights)
spread = np.sqrt(np.cov(values, aweights=weights, ddof=0))
rms = np.sqrt(np.average(values**2, weights=weights))
within = np.quantile(np.abs(values), asked["share"], method="inverted_cdf", weights=weights)
up, _ = find_peaks(values, prominence=asked["least"])
down, _ = find_peaks(-values, prominence=asked["least"])
json.dump(
    {
        "mean": float(mean),
        "spread": float(spread),
        "rms": float(rms),
        "within": float(within),
        "turning": sorted(int(i) for i in [*up, *down]),
    },
    sys.stdout,
)
