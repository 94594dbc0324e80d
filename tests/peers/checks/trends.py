"""Mann-Kendall and Theil-Sen, and the answer across annuals."""

import math
from functools import lru_cache
from itertools import permutations

import numpy as np
from scipy import stats

from .harness import Near, short, statistic


@lru_cache(maxsize=None)
def orders(n):
    return np.array(list(permutations(range(n))), dtype=np.int8)


def score(x):
    """S of each row."""
    x = np.atleast_2d(x)
    n = x.shape[1]
    return sum(np.sign(x[:, j] - x[:, i]).astype(int) for i in range(n) for j in range(i + 1, n))


def exact_p(x):
    """By every order of the values where some are equal, else by scipy's exact Kendall test."""
    if len(set(x)) == len(x):
        return stats.kendalltau(np.arange(len(x)), x, method="exact").pvalue
    everything = score(np.array(x)[orders(len(x))])
    return np.mean(np.abs(everything) >= abs(score(x)[0]))


def normal_p(x):
    n, ties = len(x), np.unique(x, return_counts=True)[1]
    variance = (n * (n - 1) * (2 * n + 5) - np.sum(ties * (ties - 1) * (2 * ties + 5))) / 18
    s = score(x)[0]
    return 1.0 if s == 0 or variance <= 0 else min(1.0, 2 * stats.norm.sf((abs(s) - 1) / math.sqrt(variance)))


@statistic("mann_kendall", 400, why="equal values up to 8: every order counted; above 10 values: normal approximation")
def mann_kendall(rng):
    n = int(rng.integers(2, 11)) if rng.random() < 0.8 else int(rng.integers(11, 40))
    x = short(rng.normal(0, 1, n) + rng.uniform(-0.5, 0.5) * np.arange(n))
    if n <= 8 and rng.random() < 0.5 or n > 10 and rng.random() < 0.5:
        x = short(np.round(x))
    s = int(score(x)[0])
    p = exact_p(x) if n <= 10 else normal_p(x)
    return {"values": x}, {"s": s, "tau": s / (n * (n - 1) / 2), "p": p, "exact": n <= 10}


def years(rng, n):
    return short(2000 + np.cumsum(rng.uniform(0.7, 1.3, n)), 9)


@statistic("theil_sen", 400)
def theil_sen(rng):
    n = int(rng.integers(4, 25))
    t = years(rng, n)
    y = short(rng.normal(10, 1, n) + rng.normal(0, 0.3) * np.arange(n))
    if rng.random() < 0.3:
        y = short(np.round(y))
    if rng.random() < 0.2:
        t[1] = t[0]
    confidence = short(rng.choice([0.9, 0.95, 0.99]))
    peer = stats.theilslopes(y, t, confidence, method="separate")
    scale = np.ptp(y) / np.ptp(t)
    return {"t": t, "y": y, "confidence": confidence}, {
        "slope": Near(peer.slope, scale),
        # Value at the year 0, two thousand years away.
        "intercept": Near(peer.intercept, 2000 * scale),
        "interval": [Near(peer.low_slope, scale), Near(peer.high_slope, scale)],
    }


@statistic("trend", 400)
def trend(rng):
    n = int(rng.integers(1, 13))
    t, u = years(rng, n), short(rng.uniform(0.05, 0.3, n))
    x = short(rng.normal(10, 0.2, n) + rng.choice([0, 0.03, 0.15, -0.2]) * np.arange(n))
    start = int(rng.integers(1, n)) if n > 2 and rng.random() < 0.3 else None
    args = {"years": t, "values": x, "u": u, "break_at": start}
    t, x, u = t[start or 0:], x[start or 0:], u[start or 0:]
    n, total = len(x), None
    expected = {"annuals": n, "p": None, "slope": None}
    if n < 2:
        return args, {**expected, "answer": "InsufficientData"}
    if n < 5:
        changed = abs(x[-1] - x[0]) > 2 * math.hypot(u[0], u[-1])
        return args, {**expected, "answer": "Changed" if changed else "NoChangeLarger"}
    p = exact_p(x) if n <= 10 else normal_p(x)
    slope = stats.theilslopes(x, t).slope
    total = slope * (t[-1] - t[0])
    if p >= 0.05:
        answer = "NoTrendShown"
    elif abs(total) < 2 * max(u):
        answer = "BelowMeasurementUncertainty"
    else:
        answer = "TrendUp" if score(x)[0] > 0 else "TrendDown"
    return args, {"annuals": n, "p": p, "slope": Near(slope, np.ptp(x) / np.ptp(t)), "answer": answer}
