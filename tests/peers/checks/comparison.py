"""One airframe against references, against one other value, and several findings together."""

import math

import numpy as np
from scipy import stats
from statsmodels.stats.multitest import multipletests

from .distributions import critical, exact_shift, two_sided_tolerance
from .harness import Near, short, statistic

ROOT = "the smallest loss rests on a root of scipy's noncentral t"


def question(rng):
    logarithmic = bool(rng.random() < 0.7)
    return {
        "logarithmic": logarithmic,
        "softer_when_lower": bool(rng.random() < 0.7),
        "two_sided": bool(rng.random() < 0.7),
        "alpha": short(rng.choice([0.05, 0.05, 0.01, 0.1])),
        "power": short(rng.choice([0.8, 0.8, 0.9])),
        "loss_that_matters": short(rng.choice([0.15, 0.3]) if logarithmic else rng.uniform(0.5, 5)),
    }


class Scale:
    def __init__(self, q):
        self.q, self.log = q, q["logarithmic"]
        self.y = math.log if self.log else float
        self.back = math.exp if self.log else float

    def u(self, value, u):
        return u / abs(value) if self.log else u

    def loss(self, shift):
        if not self.log:
            return shift
        return 1 - math.exp(-shift) if self.q["softer_when_lower"] else math.exp(shift) - 1

    def shift_that_matters(self):
        loss = self.q["loss_that_matters"]
        if not self.log:
            return loss
        return -math.log(1 - loss) if self.q["softer_when_lower"] else math.log(1 + loss)

    def verdict(self, difference, half, shift):
        softening = -difference if self.q["softer_when_lower"] else difference
        if softening > half:
            return "softer"
        if self.q["two_sided"] and -softening > half:
            return "stiffer"
        return "consistent" if shift <= self.shift_that_matters() else "cannot tell LossTooSmallToShow"


def references(rng):
    """One to twelve airframes, some measured twice, some of another build standard."""
    found = []
    for n in range(rng.integers(1, 13) if rng.random() < 0.6 else rng.integers(1, 4)):
        stiff = 12 * math.exp(rng.normal(0, 0.05))
        for _ in range(1 + (rng.random() < 0.3)):
            value, u = short(stiff * math.exp(rng.normal(0, 0.01))), short(rng.uniform(0.05, 0.5))
            found.append({"airframe": f"R{n}", "build_standard": "B", "value": value, "u": u})
    if rng.random() < 0.3:
        found.insert(0, {"airframe": "other", "build_standard": "C", "value": 20.0, "u": 0.1})
    return found


def empty(n, why):
    keys = ["spread", "nu", "half_width", "prediction", "smallest_shift", "smallest_loss", "fleet_band"]
    return {"n": n, "verdict": f"cannot tell {why}", **dict.fromkeys(keys)}


@statistic("compare", 800, 1e-8, ROOT)
def compare(rng):
    q = question(rng)
    scale = Scale(q)
    refs = references(rng)
    stated = None
    if rng.random() < 0.5:
        spread = short(rng.uniform(0.01, 0.08) * (1 if scale.log else 12))
        stated = {"spread": spread, "doubt": short(rng.uniform(0.15, 0.6)), "measurement_u": short(spread * rng.uniform(0, 0.5))}
    value = [short(12 * math.exp(rng.normal(-0.1, 0.15))), short(rng.uniform(0.05, 0.9)), 6.0]
    args = {"value": value, "references": refs, "stated": stated, **q}

    names = dict.fromkeys(r["airframe"] for r in refs if r["build_standard"] == "B")
    of = [[r for r in refs if r["airframe"] == name] for name in names]
    y = [float(np.mean([scale.y(r["value"]) for r in group])) for group in of]
    u2_ref = np.mean([
        scale.u(scale.back(y_i), math.sqrt(np.mean([r["u"] ** 2 for r in group]))) ** 2 for y_i, group in zip(y, of)
    ])
    n = len(y)
    own, own_nu = (stats.tvar(y), n - 1) if n > 1 else (0.0, 0)
    s2, nu0, contradicted = 0.0, 0.0, False
    if stated:
        between = math.log(1 + stated["spread"] ** 2) if scale.log else stated["spread"] ** 2
        s2, nu0 = between + stated["measurement_u"] ** 2, 1 / (2 * stated["doubt"] ** 2)
        contradicted = n >= 3 and own / s2 > stats.f.ppf(0.975, own_nu, nu0)
        if contradicted:
            s2 = nu0 = 0.0
    nu = nu0 + own_nu
    if nu == 0:
        return args, empty(n, "InsufficientData")
    pooled = (nu0 * s2 + own_nu * own) / nu
    variance = max(pooled, u2_ref)
    poorer = max(scale.u(value[0], value[1]) ** 2 - u2_ref, 0.0)
    u = math.sqrt(variance * (1 + 1 / n) + poorer)
    half = critical(q["alpha"], nu, q["two_sided"]) * u
    shift = exact_shift(nu, q["alpha"], q["power"], q["two_sided"]) * u
    mean, difference = np.mean(y), scale.y(value[0]) - np.mean(y)
    ends = [safe(scale.back, mean - half), safe(scale.back, mean + half)]
    if not q["two_sided"]:
        if q["softer_when_lower"]:
            ends[1] = math.inf
        else:
            ends[0] = 0.0 if scale.log else -math.inf
    band = None
    if n >= 5:
        reach = two_sided_tolerance(n, 0.95, 0.95) * stats.tstd(y)
        band = [scale.back(mean - reach), scale.back(mean + reach)]
    return args, {
        "n": n,
        "verdict": scale.verdict(difference, half, shift),
        "reference_mean": scale.back(mean),
        "spread": Near(math.sqrt(variance), 1e-3),
        "nu": nu,
        "difference": Near(difference, 1.0),
        "relative_difference": Near(math.expm1(difference) if scale.log else difference, 1.0),
        "half_width": Near(half, 1e-3),
        "prediction": ends,
        "smallest_shift": Near(shift, 1e-3),
        "smallest_loss": Near(scale.loss(shift), 1e-3),
        "fleet_band": band,
        "contradicted": bool(contradicted),
        "from_measurement": bool(pooled < u2_ref),
    }


def safe(f, x):
    try:
        return f(x)
    except OverflowError:
        return math.inf


@statistic("compare_pair", 400, 1e-8, ROOT)
def compare_pair(rng):
    q = question(rng)
    scale = Scale(q)
    def draw():
        nu = "inf" if rng.random() < 0.1 else short(rng.integers(1, 15))
        return [short(12 * math.exp(rng.normal(0, 0.1))), short(rng.uniform(0.05, 0.5)), nu]
    value, other, set_up = draw(), draw(), short(rng.choice([0.0, 0.01, 0.02]))
    u = np.array([scale.u(value[0], value[1]), scale.u(other[0], other[1]), set_up])
    nus = np.array([float(value[2]), float(other[2]), math.inf])
    doubt = np.sum(u**4 / nus)
    total = math.sqrt(np.sum(u**2))
    free = total**4 / doubt if doubt > 0 else math.inf
    if math.isfinite(free) and abs(free - round(free)) < 1e-6:
        return compare_pair(rng)
    nu = max(1.0, math.floor(free)) if math.isfinite(free) else math.inf
    difference = scale.y(value[0]) - scale.y(other[0])
    # scipy's noncentral t with very many degrees of freedom is the normal distribution.
    shift = (exact_shift(nu, q["alpha"], q["power"], q["two_sided"]) if nu < 1e6 else normal_shift(q)) * total
    reach = stats.t.isf(q["alpha"] / 2, nu) * total
    half = critical(q["alpha"], nu, q["two_sided"]) * total
    back = math.exp if scale.log else float
    args = {"value": value, "other": other, "set_up_u": set_up, **q}
    return args, {
        "difference": Near(difference, 1.0),
        "u": total,
        "nu": nu,
        "interval": [Near(back(difference - reach), 1e-3), Near(back(difference + reach), 1e-3)],
        "smallest_loss": Near(scale.loss(shift), 1e-3),
        "verdict": scale.verdict(difference, half, shift),
    }


def normal_shift(q):
    from scipy.optimize import brentq

    z = stats.norm.isf(q["alpha"] / 2 if q["two_sided"] else q["alpha"])
    lower = (lambda d: stats.norm.cdf(-z - d)) if q["two_sided"] else (lambda d: 0.0)
    return brentq(lambda d: stats.norm.sf(z - d) + lower(d) - q["power"], 0, 20, xtol=1e-13)


@statistic("holm", 400)
def holm(rng):
    p = short(10 ** rng.uniform(-5, 0, rng.integers(1, 12)))
    if len(p) > 2 and rng.random() < 0.3:
        p[1] = p[0]
    alpha = short(rng.choice([0.01, 0.05, 0.1]))
    stands, adjusted, *_ = multipletests(p, alpha, method="holm")
    return {"p": p, "alpha": alpha}, {"adjusted": adjusted, "stands": [bool(s) for s in stands]}
