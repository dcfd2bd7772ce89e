"""Mean, spread and correlation length of stretches, written a second time with whole matrices, numpy and scipy.

Reads one question as JSON from standard input and writes the answer as JSON.
"""

import json
import sys

import numpy as np
from scipy.linalg import block_diag, toeplitz
from scipy.optimize import minimize_scalar
from scipy.special import gamma, kv
from scipy.stats import kurtosis


def kernel(r, length):
    """Matern's kernel from its definition by the Bessel function, nu = 5/2."""
    nu = 2.5
    x = np.sqrt(2 * nu) * np.maximum(r, 1e-9) / length
    return np.where(r == 0, 1.0, 2 ** (1 - nu) / gamma(nu) * x**nu * kv(nu, x))


def autocovariance(series, mean, lags):
    sums, pairs = np.zeros(lags + 1), np.zeros(lags + 1)
    for y in series:
        d = np.asarray(y) - mean
        full = np.correlate(d, d, mode="full")[len(d) - 1 :]
        n = min(lags + 1, len(d))
        sums[:n] += full[:n]
        pairs[:n] += len(d) - np.arange(n)
    return sums / np.maximum(pairs, 1), pairs


def expected(lengths, lags, length):
    """Mean autocovariance about the measured mean, unit spread, and the variance of that mean."""
    k = block_diag(*[toeplitz(kernel(np.arange(n, dtype=float), length)) for n in lengths])
    total = k.shape[0]
    away = np.eye(total) - np.ones((total, total)) / total
    shown = away @ k @ away
    sums, pairs, at = np.zeros(lags + 1), np.zeros(lags + 1), 0
    for n in lengths:
        block = shown[at : at + n, at : at + n]
        for lag in range(min(lags, n - 1) + 1):
            diagonal = np.diagonal(block, lag)
            sums[lag] += diagonal.sum()
            pairs[lag] += len(diagonal)
        at += n
    return sums / np.maximum(pairs, 1), k.sum() / total**2


def measured(series):
    lengths = [len(y) for y in series]
    flat = np.concatenate([np.asarray(y) for y in series])
    mean = flat.mean()
    lags = min(150, max(lengths) // 2)
    cov, pairs = autocovariance(series, mean, lags)
    below = np.nonzero(cov < 0.5 * cov[0])[0]
    half = below[0] if len(below) else lags
    most = min(max(int(np.ceil(1.5 * half)), 6), lags)
    c, w = cov[: most + 1], pairs[: most + 1]

    def at(log_length):
        m, of_mean = expected(lengths, lags, np.exp(log_length))
        m = m[: most + 1]
        s = max((w * c * m).sum() / (w * m * m).sum(), 0.0)
        return (w * (c - s * m) ** 2).sum(), s, of_mean

    bounds = (np.log(5.0), np.log(100.0))
    rough = np.linspace(*bounds, 40)
    best = rough[np.argmin([at(x)[0] for x in rough])]
    step = rough[1] - rough[0]
    low, high = max(bounds[0], best - step), min(bounds[1], best + step)
    found = minimize_scalar(lambda x: at(x)[0], bounds=(low, high), method="bounded", options={"xatol": 1e-5}).x
    _, s, of_mean = at(found)
    return {
        "mean": mean,
        "autocovariance": cov[:20].tolist(),
        "spread": float(np.sqrt(s)),
        "length": float(np.exp(found)),
        "error": float(np.sqrt(s * of_mean)),
        "kurtosis": float(kurtosis(flat)),
    }


if __name__ == "__main__":
    print(json.dumps([measured(series) for series in json.load(sys.stdin)]))
