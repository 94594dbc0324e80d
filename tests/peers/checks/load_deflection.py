"""The push test, fitted by statsmodels, with tags, loop, set and bend worked out a second time."""

import math
from itertools import groupby

import numpy as np
import statsmodels.api as sm
from scipy import integrate, stats

from .harness import EXACT, Near, short, statistic


def draw(rng):
    """A hangar test: levels up and down, one way or both, one to three cycles, with play, friction, noise and a step."""
    levels = np.sort(short(rng.choice(np.arange(30, 161, 10), rng.integers(3, 6), replace=False)))
    both, down, zeros = rng.random() < 0.85, rng.random() < 0.85, rng.random() < 0.3
    load, unloading = [], []
    for _ in range(rng.integers(1, 4)):
        for sign in [1, -1] if both else [1]:
            up = ([0.0] if zeros and not load else []) + list(sign * levels)
            fall = list(sign * levels[-2::-1]) if down else []
            load += up + fall + ([0.0] if zeros else [])
            unloading += [0] * len(up) + [1] * (len(fall) + zeros)
    F, q = np.array(load), np.array(unloading) - 0.5
    s = np.sign(F)
    c = 0.08 * np.where(F < 0, rng.choice([1.0, 1.0, 1.0, 1.4]), 1.0)
    bend = rng.choice([0, 0, 0, 4e-4]) * F * np.abs(F)
    d = rng.normal() + c * F + bend + abs(rng.normal()) * s / 2 + abs(rng.normal(0, 0.5)) * s * q
    d = d + rng.normal(0, 10 ** rng.uniform(-3, -0.7), len(F))
    step = float(rng.choice([0.01, 0.1, 0.5]))
    support = rng.random() < 0.25
    args = {
        "load_n": [float(f) for f in F],
        "deflection_mm": short(np.round(d / step) * step),
        "support_mm": short(rng.normal(0, 0.02, len(F)) + 0.005 * F) if support else None,
        "unloading": unloading if not zeros and rng.random() < 0.6 else None,
        "resolution_mm": step,
        "support_resolution_mm": short(rng.choice([0.01, 0.05])),
        "take_up_fraction": short(rng.choice([0.1, 0.1, 0.3])),
        "take_up_min_n": short(rng.choice([0.0, 0.0, 35.0])),
        "unloading_limit_fraction": None if rng.random() < 0.3 else 0.8,
        "pull_angle_deg": short(rng.choice([0.0, 0.0, 12.5])),
        "load_scale_relative_u": short(rng.choice([0.0, 0.01])),
        "confidence": short(rng.choice([0.9, 0.95, 0.99])),
    }
    return args


class Points:
    """Readings with sign, branch and half cycle; `used` are those that are fitted."""

    def __init__(self, a):
        raw = np.array(a["load_n"])
        self.F = raw * math.cos(math.radians(a["pull_angle_deg"]))
        support = a["support_mm"]
        self.d = np.array(a["deflection_mm"]) - (np.array(support) if support else 0.0)
        self.s = self._signs(raw)
        turns = np.flatnonzero(np.diff(self.s)) + 1
        self.half = np.searchsorted(turns, np.arange(len(raw)), side="right")
        self.down = np.array(a["unloading"]) == 1 if a["unloading"] else self._falling(np.abs(raw), turns)
        size = np.abs(self.F)
        self.same = 0.02 * size.max()
        take_up = max(a["take_up_fraction"] * size.max(), a["take_up_min_n"])
        peaks = np.array([size[self.half == h].max() for h in self.half])
        limit = a["unloading_limit_fraction"]
        near_peak = self.down & (size > limit * peaks) if limit is not None else np.zeros(len(raw), bool)
        self.used = (size > 0) & (size >= take_up) & ~near_peak
        steps = [a["resolution_mm"]] + ([a["support_resolution_mm"]] if support else [])
        self.floor = math.sqrt(sum(stats.uniform(0, t).var() for t in steps))

    @staticmethod
    def _signs(raw):
        """A zero load belongs to the half cycle before it, at the start to the one after."""
        signs, last = np.sign(raw), np.sign(raw)[np.flatnonzero(raw)[0]]
        for i, s in enumerate(signs):
            last = signs[i] = s or last
        return signs

    @staticmethod
    def _falling(size, turns):
        falling = np.concatenate(([False], np.diff(size) < 0))
        falling[turns] = False
        return falling


class Model:
    """deflection = zero + compliance F [+ lost motion s/2] [+ width s q] [+ split |F|]."""

    def __init__(self, p, both, split):
        u = p.used
        F, s, down = p.F[u], p.s[u], p.down[u]
        columns = {"zero": np.ones(len(F)), "c": F}
        if both:
            columns["lost"] = s / 2
        if down.any() and not down.all():
            columns["width"] = s * np.where(down, 0.5, -0.5)
        if split:
            columns["split"] = np.abs(F)
        self.at = {name: i for i, name in enumerate(columns)}
        X = np.column_stack(list(columns.values()))
        self.df = len(F) - X.shape[1]
        self.solvable = self.df > 0 and np.linalg.cond(X / np.linalg.norm(X, axis=0)) < 1e4
        if self.solvable:
            self.fit = sm.OLS(p.d[u], X, hasconst=True).fit()
            self.s = max(math.sqrt(self.fit.scale), p.floor)
            self.cov = self.fit.normalized_cov_params * self.s**2
            self.size = np.linalg.norm(p.d[u])

    def estimate(self, name):
        i = self.at[name]
        return self.fit.params[i], math.sqrt(self.cov[i, i])

    def with_interval(self, name, confidence):
        if name not in self.at:
            return None
        value, u = self.estimate(name)
        half = stats.t.ppf(0.5 + confidence / 2, self.df) * u
        scale = max(abs(value), u)
        return [Near(v, scale) for v in (value, u, value - half, value + half)]


def stiffness(c, u, df, a):
    half = stats.t.ppf(0.5 + a["confidence"] / 2, df) * u
    if c - half <= 0:
        return None
    k, scale = 1 / c, a["load_scale_relative_u"]
    extra = stats.norm.ppf(0.5 + a["confidence"] / 2) * scale * k
    low, high = k - math.hypot(k - 1 / (c + half), extra), k + math.hypot(1 / (c - half) - k, extra)
    # The ends are differences from k, and the upper one of a barely resolved slope has lost digits in c - half.
    return [k, k * math.hypot(u / c, scale), Near(low, k), Near(high, high * c / (c - half))]


def slopes(common, split, a):
    gain, s2 = max(common.fit.ssr - split.fit.ssr, 0.0), split.s**2
    f = gain / s2
    p = stats.f.sf(f, 1, split.df)
    c, u = split.estimate("c")
    d, _ = split.estimate("split")
    i, j = split.at["c"], split.at["split"]
    var = [split.cov[i, i] + split.cov[j, j] + 2 * sign * split.cov[i, j] for sign in (1, -1)]
    up, un = np.sqrt(var)
    # The gain is a difference of two sums of squares of residuals, which are differences themselves; p then differs by
    # what the allowed difference of F makes of it.
    near = (common.fit.ssr + 1e-9 * common.size**2) / s2
    p_moves = stats.f.sf(max(f - EXACT * near, 0.0), 1, split.df) - stats.f.sf(f + EXACT * near, 1, split.df)
    written = {
        "f": Near(f, near),
        "p": Near(p, 1.0 + p_moves / EXACT),
        "differ": bool(p < 0.05),
        "relative_difference": Near((c - d) / (c + d) - 1, 1.0),
        "u_positive": up,
        "u_negative": un,
        "positive": stiffness(c + d, up, split.df, a),
        "negative": stiffness(c - d, un, split.df, a),
    }
    return written


def closed_area(F, d):
    """Shoelace: the trapezoids of load over deflection with the last point joined to the first."""
    return np.sum((F + np.roll(F, -1)) / 2 * (np.roll(d, -1) - d))


def area_u(F, u):
    return u * np.linalg.norm((np.roll(F, 1) - np.roll(F, -1)) / 2)


def loop(p, s):
    if not p.down.any():
        return None

    def closed(part):
        return len(part) > 1 and abs(p.F[part[0]] - p.F[part[-1]]) <= p.same

    everything = np.arange(len(p.F))
    halves = [np.array(list(g)) for _, g in groupby(everything, key=lambda i: p.half[i])]
    if closed(everything):
        parts, whole = [everything], True
    elif all(closed(h) for h in halves):
        parts, whole = halves, False
    else:
        return None
    area = sum(closed_area(p.F[i], p.d[i]) for i in parts)
    u = math.sqrt(sum(area_u(p.F[i], s) ** 2 for i in parts))
    if area < -2 * u:
        return None
    work = sum(
        (p.F[i[k - 1]] + p.F[i[k]]) / 2 * (p.d[i[k]] - p.d[i[k - 1]])
        for i in parts for k in range(1, len(i)) if not p.down[i[k]]
    )
    size = np.abs(p.F).max() * np.ptp(p.d)
    loss = Near(area / work, size / work) if work > 0 else None
    return {"area": Near(area, size), "u": u, "work_in": Near(work, size), "loss_fraction": loss, "whole": whole}


def residual_set(p, s):
    used = np.flatnonzero(p.used)
    best = None
    for n, i in enumerate(used):
        for j in used[:n:-1]:
            alike = p.s[i] == p.s[j] and p.down[i] == p.down[j] and abs(p.F[i] - p.F[j]) <= p.same
            between = [k for k in range(i, j) if p.s[k] == p.s[i] and abs(p.F[k]) > abs(p.F[i]) + p.same]
            if alike and between:
                if best is None or abs(p.F[i]) < abs(p.F[best[0]]) - p.same:
                    best = (i, j)
                break
    same_branch = best is not None
    if best is None:
        unloaded = abs(p.F[0]) <= p.same and abs(p.F[-1]) <= p.same and len(set(p.s)) == 1
        if not unloaded:
            return None
        best = (0, len(p.F) - 1)
    moved, u = p.d[best[1]] - p.d[best[0]], math.sqrt(2) * s
    return {"set": Near(moved, np.ptp(p.d)), "u": u, "real": bool(abs(moved) > 2 * u), "same_branch": same_branch}


def linearity(p, model, step):
    residual = np.full(len(p.F), np.nan)
    residual[p.used] = model.fit.resid
    bends = []
    for sign in (1, -1):
        for down in (False, True):
            branch = p.used & (p.s == sign) & (p.down == down)
            levels = sorted(set(np.abs(p.F[branch])))
            if len(levels) < 3:
                continue
            m = [sign * residual[branch & (np.abs(p.F) == level)].mean() for level in levels]
            bend = np.mean(m[1:-1]) - (m[0] + m[-1]) / 2
            # Whether an exact nothing or an exact step counts is a question of rounding: such a case is drawn anew.
            if min(abs(v) for v in [*m, abs(bend) - step]) < 1e-9:
                return None
            ends, middle = np.sign([m[0], m[-1]]), np.sign(m[1:-1])
            seen = (ends == -np.sign(bend)).all() and (middle == np.sign(bend)).all() and abs(bend) > step
            bends.append(np.sign(bend) if seen else 0)
    if len(bends) < 2:
        return "not judged"
    return "not linear" if bends[0] != 0 and len(set(bends)) == 1 else "no bend"


@statistic("load_deflection", 1500)
def load_deflection(rng):
    a = draw(rng)
    p = Points(a)
    per_sign = [len(set(p.F[p.used & (p.s == s)])) for s in (1, -1)]
    both = min(per_sign) > 0
    common = Model(p, both, False)
    if 1 in per_sign or not common.solvable:
        return load_deflection(rng)
    split = Model(p, both, True) if both else None
    if split is not None and not split.solvable and split.df > 0:
        return load_deflection(rng)
    compared = slopes(common, split, a) if split is not None and split.solvable else None
    best = split if compared and compared["differ"] else common
    confidence = a["confidence"]
    bent = linearity(p, best, a["resolution_mm"])
    if bent is None:
        return load_deflection(rng)
    zero = common.estimate("zero")
    c, u = common.estimate("c")
    expected = {
        "left_out": [int(i) for i in np.flatnonzero(~p.used)],
        "points_used": int(p.used.sum()),
        "degrees_of_freedom": common.df,
        "residual_sd": Near(math.sqrt(common.fit.scale), common.size),
        "s_used": Near(common.s, common.size),
        "zero": [Near(v, max(abs(zero[0]), zero[1])) for v in zero],
        "compliance": common.with_interval("c", confidence),
        "stiffness": stiffness(c, u, common.df, a),
        "lost_motion": best.with_interval("lost", confidence),
        "hysteresis": best.with_interval("width", confidence),
        "slopes": compared,
        "loop_area": loop(p, best.s),
        "residual_set": residual_set(p, best.s),
        "linearity": bent,
    }
    return a, expected


@statistic("loop_area", 200)
def loop_area(rng):
    n = int(rng.integers(3, 30))
    F, d, u = short(rng.normal(0, 100, n)), short(rng.normal(0, 8, n)), short(rng.uniform(0.01, 0.2))
    area = closed_area(np.array(F), np.array(d))
    return {"load_n": F, "deflection_mm": d, "u_mm": u}, {"area": Near(area, 1000.0), "u": area_u(np.array(F), u)}


@statistic("detection_theory", 150, 1e-9, "power printed by the detection study: scipy's noncentral t, held against 1")
def detection_theory(rng):
    levels, k, n = short([50, 100, 150][: rng.integers(2, 4)] + [200.0]), short(rng.uniform(5, 30)), int(rng.integers(2, 12))
    noise, gauge, step = short(rng.uniform(0, 4)), short(rng.uniform(0.01, 0.3)), short(rng.choice([0.0, 0.1, 0.5]))
    set_up, cv, loss = short(rng.uniform(0, 0.03)), short(rng.uniform(0.01, 0.1)), short(rng.uniform(0, 0.4))
    alpha, two_sided = short(rng.choice([0.01, 0.05, 0.1])), bool(rng.random() < 0.7)
    # The readings that a complete card leaves: all loading ones, unloading ones up to 80 % of the peak.
    F = [s * f for s in (1, -1) for f in levels] + [s * f for s in (1, -1) for f in levels[:-1] if f <= 0.8 * levels[-1]]
    down = np.array([-0.5] * (2 * len(levels)) + [0.5] * (len(F) - 2 * len(levels)))
    F = np.array(F)
    X = np.column_stack([np.ones(len(F)), F, np.sign(F) / 2, np.sign(F) * down])
    scatter = math.sqrt((noise / k) ** 2 + gauge**2 + stats.uniform(0, max(step, 1e-300)).var())
    relative = scatter * math.sqrt(np.linalg.inv(X.T @ X)[1, 1]) * k
    sigma = math.sqrt(math.log1p(cv**2) + set_up**2 + relative**2)
    delta = -math.log1p(-loss) / (sigma * math.sqrt(1 + 1 / n))
    t = stats.t.isf(alpha / 2 if two_sided else alpha, n - 1)
    args = {
        "levels_n": levels, "stiffness": k, "references": n, "loss": loss, "alpha": alpha, "two_sided": two_sided,
        "load_noise_n": noise, "gauge_noise_mm": gauge, "gauge_step_mm": step,
        "set_up_relative": set_up, "between_airframe_cv": cv,
    }
    other = stats.nct.sf(t, n - 1, -delta) if two_sided else 0.0

    def floored(shift):
        """Over the spread that the references show, never below what they were measured to."""
        least = relative / sigma
        w = lambda x: math.sqrt(x / (n - 1))
        f = lambda x: stats.chi2.pdf(x, n - 1) * stats.norm.cdf(shift - t * max(w(x), least))
        # chi-square of one degree of freedom is infinite at 0: below the floor its distribution function is enough.
        kink = least**2 * (n - 1)
        ends = [kink, *(kink + np.array([0.5, 2, 6, 15, 40, 120]))]
        above = sum(integrate.quad(f, a, b, epsabs=1e-14, epsrel=1e-12, limit=200)[0] for a, b in zip(ends, ends[1:]))
        return stats.chi2.cdf(kink, n - 1) * stats.norm.cdf(shift - t * least) + above

    softer, alarm = stats.nct.sf(t, n - 1, delta), stats.nct.sf(t, n - 1, delta) + other
    careful = floored(delta)
    return args, {
        "softer": Near(softer, 1.0),
        "alarm": Near(alarm, 1.0),
        "softer_with_floor": Near(careful, 1.0),
        "alarm_with_floor": Near(careful + (floored(-delta) if two_sided else 0.0), 1.0),
    }
