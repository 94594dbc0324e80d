"""Repeated readings, combined uncertainty by Welch and Satterthwaite, guard bands."""

import math

import numpy as np
from scipy import stats

from .harness import Near, short, statistic


@statistic("repeats", 300)
def repeats(rng):
    x = short(rng.normal(100, 10 ** rng.uniform(-2, 1), rng.integers(2, 12)))
    step = short(rng.choice([0.0, 0.01, 0.1, 1.0]))
    a, u, nu = np.array(x), stats.sem(x), len(x) - 1
    floor = stats.uniform(0, step).std() if step > 0 else 0.0
    if u < floor:
        u, nu = floor, math.inf
    # Deviations from a mean of 100: their digits are those that the subtraction leaves.
    sd = a.std(ddof=1)
    expected = {"mean": a.mean(), "u": Near(u, 1e-4), "nu": nu, "sd": Near(sd, 1e-4), "range": Near(np.ptp(a), 1e-4)}
    return {"readings": x, "resolution": step}, expected


@statistic("pooled_repeatability", 200)
def pooled_repeatability(rng):
    sets = [short(rng.normal(0, 1, rng.integers(1, 7))) for _ in range(rng.integers(2, 6))] + [short(rng.normal(0, 1, 3))]
    used = [s for s in sets if len(s) > 1]
    # The within mean square of a one-way analysis of variance.
    within, nu = sum(stats.describe(s).variance * (len(s) - 1) for s in used), sum(len(s) - 1 for s in used)
    return {"sets": sets}, {"sd": math.sqrt(within / nu), "nu": nu}


@statistic("type_b", 100)
def type_b(rng):
    a, k, doubt = short(rng.uniform(0.01, 5)), short(rng.uniform(1.6, 3)), short(rng.uniform(0.05, 0.9))
    expected = {
        "rectangular": stats.uniform(-a, 2 * a).std(),
        "triangular": stats.triang(0.5, -a, 2 * a).std(),
        "digital_step": stats.uniform(0, a).std(),
        "certificate": a / k,
        "nu_of_doubt": 0.5 * doubt**-2,
    }
    return {"half_width": a, "coverage": k, "doubt": doubt}, expected


@statistic("combine", 400, why="half of the cases are Welch's t test of scipy, with its degrees of freedom")
def combine(rng):
    confidence = short(rng.choice([0.9, 0.95, 0.99]))
    if rng.random() < 0.5:
        x, y = rng.normal(0, 1, rng.integers(3, 12)), rng.normal(0, 10 ** rng.uniform(-1, 1), rng.integers(3, 12))
        parts = [[stats.sem(x), 1.0, len(x) - 1.0], [stats.sem(y), -1.0, len(y) - 1.0]]
        df = stats.ttest_ind(x, y, equal_var=False).df
    else:
        size = rng.integers(1, 6)
        parts = [[short(rng.uniform(0.1, 2)), short(rng.normal()), short(rng.uniform(1, 30))] for _ in range(size)]
        v = np.array([(c * u) ** 2 for u, c, _ in parts])
        df = v.sum() ** 2 / np.sum(v**2 / np.array([nu for *_, nu in parts]))
        if rng.random() < 0.3:
            parts.append([0.5, 1.0, "inf"])
            df = (v.sum() + 0.25) ** 2 / np.sum(v**2 / np.array([nu for *_, nu in parts[:-1]]))
    u = math.sqrt(sum((p[0] * p[1]) ** 2 for p in parts))
    if abs(df - round(df)) < 1e-6:
        return combine(rng)
    t = stats.t.ppf(0.5 + confidence / 2, max(1, math.floor(df)))
    return {"components": parts, "confidence": confidence}, {"u": u, "nu": df, "coverage": t, "expanded": t * u}


def limits(rng, y, u):
    lower, upper = y - abs(rng.normal(0, 4)) * u, y + abs(rng.normal(0, 4)) * u
    kind = rng.integers(3)
    return short(lower) if kind != 0 else "-inf", short(upper) if kind != 1 else "inf"


@statistic("p_conform", 400)
def p_conform(rng):
    y, u = short(rng.normal(0, 5)), short(rng.uniform(0.05, 3))
    lower, upper = limits(rng, y + rng.normal(0, 3) * u, u)
    a, b = (float(lower) - y) / u, (float(upper) - y) / u
    # In whichever tail both probabilities are small.
    p = stats.norm.sf(a) - stats.norm.sf(b) if a > 0 else stats.norm.cdf(b) - stats.norm.cdf(a)
    return {"y": y, "u": u, "lower": lower, "upper": upper}, p


@statistic("judge", 400)
def judge(rng):
    y, u, nu = short(rng.normal(10, 5)), short(rng.uniform(0.05, 2)), short(rng.uniform(1, 60))
    lower, upper = limits(rng, y + rng.normal(0, 3) * u, u)
    rule = str(rng.choice(["conformance", "expanded", "allowance"]))
    factor = short(rng.uniform(0.6, 0.99) if rule == "conformance" else rng.uniform(1, 3))
    q = {"conformance": stats.t.ppf(factor, math.floor(nu)), "expanded": factor, "allowance": 0.0}[rule]
    a, b = float(lower), float(upper)
    g = q * u
    if b - a < 4 * u:
        verdict = "cannot decide"
    elif a + g <= y <= b - g:
        verdict = "within"
    elif y <= a - g or y >= b + g:
        verdict = "outside"
    else:
        verdict = "cannot decide"
    p = stats.norm.cdf((b - y) / u) - stats.norm.cdf((a - y) / u)
    args = {"y": y, "u": u, "nu": nu, "lower": lower, "upper": upper, "rule": rule, "factor": factor}
    return args, {
        "guard": g,
        "accept_from": Near(a + g, abs(a)) if math.isfinite(a) else a,
        "accept_to": Near(b - g, abs(b)) if math.isfinite(b) else b,
        "p_conform": Near(p, 1.0),
        "verdict": verdict,
    }
