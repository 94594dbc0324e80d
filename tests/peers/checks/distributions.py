"""Distribution functions, noncentral t, power and tolerance factors."""

import math
from functools import lru_cache

import numpy as np
from scipy import optimize, special, stats

from .harness import Near, short, statistic

# The program integrates numerically; it and scipy's series are both good to about 1e-12 of the whole probability, not of
# a small one, so probabilities are held against 1.
NONCENTRAL = "noncentral t: numerical integration here, series in scipy; probabilities held against 1"


def probability(rng):
    """Half of them in the tails."""
    p = rng.uniform(0.001, 0.999) if rng.random() < 0.5 else 10 ** rng.uniform(-9, -2)
    return short(1 - p if rng.random() < 0.5 else p)


# A quantile near the middle is a difference from 0: it is held against a tenth of the standard deviation at least.


def degrees(rng, largest=1e4):
    """Whole, broken, small and large; those of chi-square and F are counted in readings, so 10 000 is plenty."""
    return short(rng.integers(1, 60)) if rng.random() < 0.5 else short(10 ** rng.uniform(-0.2, np.log10(largest)))


def effective_degrees(rng):
    """Those of Student t come from Welch and Satterthwaite too, where they grow without bound."""
    return degrees(rng, 3e6)


@statistic("normal_cdf", 300)
def normal_cdf(rng):
    x = short(rng.uniform(-37, 9))
    return {"x": x}, stats.norm.cdf(x)


@statistic("normal_quantile", 300)
def normal_quantile(rng):
    p = probability(rng)
    return {"p": p}, Near(stats.norm.ppf(p), 0.1)


@statistic("t_cdf", 300)
def t_cdf(rng):
    x, nu = short(rng.normal() * 10 ** rng.uniform(-1, 2)), effective_degrees(rng)
    if stats.t.cdf(x, nu) < 1e-100:
        return t_cdf(rng)
    return {"x": x, "nu": nu}, stats.t.cdf(x, nu)


@statistic("t_two_sided_p", 300)
def t_two_sided_p(rng):
    x, nu = short(rng.normal() * 5), effective_degrees(rng)
    return {"x": x, "nu": nu}, 2 * stats.t.sf(abs(x), nu)


@statistic("t_quantile", 400)
def t_quantile(rng):
    p, nu = probability(rng), effective_degrees(rng)
    if rng.random() < 0.05:
        return {"p": p, "nu": "inf"}, Near(stats.norm.ppf(p), 0.1)
    return {"p": p, "nu": nu}, Near(stats.t.ppf(p, nu), 0.1)


@statistic("chi_square_cdf", 300)
def chi_square_cdf(rng):
    nu = degrees(rng)
    x = short(nu * rng.uniform(0.1, 3))
    return {"x": x, "nu": nu}, stats.chi2.cdf(x, nu)


@statistic("chi_square_upper", 300)
def chi_square_upper(rng):
    nu = short(rng.uniform(0.7, 200))
    x = short(nu * rng.uniform(0.1, 4))
    return {"x": x, "nu": nu}, stats.chi2.sf(x, nu)


@statistic("chi_square_quantile", 300)
def chi_square_quantile(rng):
    p, nu = probability(rng), degrees(rng)
    return {"p": p, "nu": nu}, stats.chi2.ppf(p, nu)


@statistic("f_upper", 300)
def f_upper(rng):
    d1, d2 = short(rng.integers(1, 30)), degrees(rng)
    x = short(10 ** rng.uniform(-2, 1.5))
    return {"x": x, "d1": d1, "d2": d2}, stats.f.sf(x, d1, d2)


@statistic("f_quantile", 300)
def f_quantile(rng):
    p, d1, d2 = short(rng.uniform(0.005, 0.995)), short(rng.integers(1, 30)), short(rng.uniform(0.7, 200))
    return {"p": p, "d1": d1, "d2": d2}, stats.f.ppf(p, d1, d2)


@statistic("beta_quantile", 300)
def beta_quantile(rng):
    p = short(rng.choice([0.005, 0.025, 0.05, 0.95, 0.975, 0.995, rng.uniform(0.01, 0.99)]))
    a, b = short(rng.integers(1, 200)), short(rng.integers(1, 200))
    return {"p": p, "a": a, "b": b}, stats.beta.ppf(p, a, b)


@statistic("binomial_lower", 300)
def binomial_lower(rng):
    n, p = int(rng.integers(1, 200)), short(rng.uniform(0.02, 0.98))
    k = int(rng.binomial(n, p))
    return {"k": k, "n": n, "p": p}, stats.binom.cdf(k, n, p)


@statistic("binomial_upper", 300)
def binomial_upper(rng):
    n, p = int(rng.integers(1, 200)), short(rng.uniform(0.02, 0.98))
    k = int(rng.binomial(n, p))
    return {"k": k, "n": n, "p": p}, stats.binom.sf(k - 1, n, p)


@statistic("noncentral_t_cdf", 400, 1e-9, NONCENTRAL)
def noncentral_t_cdf(rng):
    nu, delta = short(rng.uniform(0.6, 60)), short(rng.uniform(0, 20))
    x = short(delta * rng.uniform(0.3, 3) + rng.normal() * 2)
    return {"x": x, "nu": nu, "delta": delta}, Near(stats.nct.cdf(x, nu, delta), 1.0)


def critical(alpha, nu, two_sided):
    return stats.t.isf(alpha / 2 if two_sided else alpha, nu)


def exact_power(delta, nu, alpha, two_sided):
    t = critical(alpha, nu, two_sided)
    found = stats.nct.sf(t, nu, delta)
    # P(T < -t | delta) = P(T > t | -delta).
    return found + (stats.nct.sf(t, nu, -delta) if two_sided else 0.0)


@lru_cache(maxsize=None)
def exact_shift(nu, alpha, power, two_sided):
    high = 2 * (critical(alpha, nu, two_sided) + 1)
    while exact_power(high, nu, alpha, two_sided) < power:
        high *= 2
    return optimize.brentq(lambda d: exact_power(d, nu, alpha, two_sided) - power, 1e-9, high, xtol=1e-13, rtol=1e-14)


def test_level(rng):
    return short(rng.choice([0.01, 0.02, 0.05, 0.1])), bool(rng.random() < 0.6)


@statistic("critical_t", 200)
def critical_t(rng):
    (alpha, two_sided), nu = test_level(rng), effective_degrees(rng)
    return {"alpha": alpha, "nu": nu, "two_sided": two_sided}, critical(alpha, nu, two_sided)


@statistic("power", 300, 1e-9, NONCENTRAL)
def power(rng):
    (alpha, two_sided), nu = test_level(rng), short(rng.uniform(0.8, 40))
    delta = short(rng.uniform(0.05, 8))
    expected = exact_power(delta, nu, alpha, two_sided)
    return {"delta": delta, "nu": nu, "alpha": alpha, "two_sided": two_sided}, Near(expected, 1.0)


@statistic("detectable_shift", 200, 1e-8, "root of a noncentral t that is itself good to 1e-10 or so in scipy")
def detectable_shift(rng):
    (alpha, two_sided), nu = test_level(rng), short(rng.uniform(1, 30))
    wanted = short(rng.choice([0.5, 0.8, 0.9]))
    args = {"nu": nu, "alpha": alpha, "power": wanted, "two_sided": two_sided}
    return args, exact_shift(nu, alpha, wanted, two_sided)


def sample(rng):
    return int(rng.integers(2, 40)), short(rng.choice([0.9, 0.95, 0.99])), short(rng.choice([0.9, 0.95, 0.99]))


@lru_cache(maxsize=None)
def two_sided_tolerance(n, share, confidence):
    """k of mean ± k s by adaptive quadrature over the error of the mean."""

    # Nodes once, because the half-widths do not depend on k: Gauss-Legendre of high order on the whole range.
    x, w = np.polynomial.legendre.leggauss(120)
    end = 9 / math.sqrt(n)
    z, w = (x + 1) * end / 2, w * end / 2
    low, high = np.zeros_like(z), z + stats.norm.ppf((1 + share) / 2) + 1
    for _ in range(60):
        r = (low + high) / 2
        short_of = special.ndtr(z + r) - special.ndtr(z - r) < share
        low, high = np.where(short_of, r, low), np.where(short_of, high, r)
    density = stats.norm.pdf(z, scale=1 / math.sqrt(n))

    def covered(k):
        return 2 * np.sum(w * density * stats.chi2.sf((n - 1) * r**2 / k**2, n - 1))

    return optimize.brentq(lambda k: covered(k) - confidence, 0.05, 1e5, xtol=1e-13, rtol=1e-14)


@statistic("tolerance_one_sided", 100, 1e-8, "quantile of scipy's noncentral t by root search")
def tolerance_one_sided(rng):
    n, share, confidence = sample(rng)
    delta = stats.norm.ppf(share) * math.sqrt(n)
    low, high = delta * 0.2, delta * 3 + 5
    while stats.nct.cdf(high, n - 1, delta) < confidence:
        high *= 2
    t = optimize.brentq(lambda t: stats.nct.cdf(t, n - 1, delta) - confidence, low, high, xtol=1e-13, rtol=1e-14)
    return {"n": n, "share": share, "confidence": confidence}, t / math.sqrt(n)


@statistic("tolerance_two_sided", 60, 1e-9, "two different quadratures over the error of the mean")
def tolerance_two_sided(rng):
    n, share, confidence = sample(rng)
    return {"n": n, "share": share, "confidence": confidence}, two_sided_tolerance(n, share, confidence)


@statistic("tolerance_howe", 100)
def tolerance_howe(rng):
    n, share, confidence = sample(rng)
    chi = stats.chi2.ppf(1 - confidence, n - 1)
    k = stats.norm.ppf((1 + share) / 2) * math.sqrt((n - 1) * (1 + 1 / n) / chi)
    return {"n": n, "share": share, "confidence": confidence}, k


