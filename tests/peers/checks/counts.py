"""Counted events per load cycle."""

import math

import numpy as np
from scipy import stats
from statsmodels.stats.rates import confint_poisson

from .harness import Near, short, statistic


def count(rng, mean=8):
    return {"events": int(rng.poisson(mean * rng.uniform(0, 2))), "exposure": short(rng.uniform(2, 30))}


def share(first, second):
    return first["exposure"] / (first["exposure"] + second["exposure"])


def doubled_tail(first, second):
    k, n, p0 = first["events"], first["events"] + second["events"], share(first, second)
    if n == 0:
        return 1.0
    one_sided = [stats.binomtest(k, n, p0, alternative=side).pvalue for side in ("less", "greater")]
    return min(1.0, 2 * min(one_sided))


def exact_ratio(first, second, confidence):
    """Clopper-Pearson of scipy's binomial test, turned into a ratio of rates."""
    k, n = first["events"], first["events"] + second["events"]
    low, high = (0.0, 1.0)
    if n > 0:
        low, high = stats.binomtest(k, n).proportion_ci(confidence, method="exact")
    per = second["exposure"] / first["exposure"]
    ends = [q / (1 - q) * per if q < 1 else math.inf for q in (low, high)]
    ratio = k / second["events"] * per if second["events"] else math.inf
    # 1 - q of an upper end near 1 has lost digits in both programs.
    return {"ratio": ratio, "interval": [ends[0], Near(ends[1], ends[1] / (1 - high) * 1e-3 if high < 1 else 0.0)]}


@statistic("rate_ratio", 500)
def rate_ratio(rng):
    first, second = count(rng), count(rng)
    if first["events"] + second["events"] == 0:
        return rate_ratio(rng)
    confidence = short(rng.choice([0.9, 0.95, 0.99]))
    expected = {**exact_ratio(first, second, confidence), "p": doubled_tail(first, second)}
    return {"first": first, "second": second, "confidence": confidence}, expected


@statistic("p_not_above", 200)
def p_not_above(rng):
    first, second = count(rng), count(rng)
    n = first["events"] + second["events"]
    if n == 0:
        return p_not_above(rng)
    return {"first": first, "second": second}, stats.binomtest(first["events"], n, share(first, second), "greater").pvalue


@statistic("poisson_interval", 200)
def poisson_interval(rng):
    k, confidence = int(rng.integers(0, 80)), short(rng.choice([0.9, 0.95, 0.99]))
    low, high = confint_poisson(k, 1, method="exact-c", alpha=1 - confidence)
    return {"events": k, "confidence": confidence}, [0.0 if k == 0 else float(low), float(high)]


@statistic("upper_rate_without_event", 100)
def upper_rate_without_event(rng):
    exposure, confidence = short(rng.uniform(1, 40)), short(rng.uniform(0.8, 0.999))
    return {"exposure": exposure, "confidence": confidence}, stats.expon.ppf(confidence) / exposure


@statistic("fewest_events", 150)
def fewest_events(rng):
    first, second, alpha = short(rng.uniform(1, 20)), short(rng.uniform(1, 20)), short(rng.choice([0.01, 0.05, 0.1]))
    a, b = {"exposure": first}, {"exposure": second}
    k = 1
    while min(doubled_tail({**a, "events": k}, {**b, "events": 0}), doubled_tail({**a, "events": 0}, {**b, "events": k})) >= alpha:
        k += 1
    return {"first": first, "second": second, "alpha": alpha}, k


@statistic("dispersion", 300, why="scipy's chi-square test of equal counts")
def dispersion(rng):
    counts = counts_per_cycle(rng, rng.integers(4, 20))
    if sum(counts) == 0:
        return dispersion(rng)
    peer = stats.chisquare(counts)
    return {"counts": counts}, {"index": peer.statistic, "phi": peer.statistic / (len(counts) - 1), "p": peer.pvalue}


def counts_per_cycle(rng, m):
    mean = rng.uniform(0.2, 8)
    if rng.random() < 0.4:
        return [int(k) for k in rng.negative_binomial(1.0, 1 / (1 + mean), m)]
    return [int(k) for k in rng.poisson(mean, m)]


def clustered(first, second, phi, confidence):
    log = math.log(first["events"] / first["exposure"]) - math.log(second["events"] / second["exposure"])
    se = math.sqrt(max(phi, 1.0) * (1 / first["events"] + 1 / second["events"]))
    low, high = stats.norm.interval(confidence, log, se)
    p = 2 * stats.norm.sf(abs(log) / se)
    return {"ratio": math.exp(log), "interval": [math.exp(low), math.exp(high)], "p": p}


@statistic("clustered_ratio", 200)
def clustered_ratio(rng):
    first, second = count(rng), count(rng)
    if 0 in (first["events"], second["events"]):
        return clustered_ratio(rng)
    phi, confidence = short(rng.uniform(0.5, 5)), short(rng.choice([0.9, 0.95]))
    return {"first": first, "second": second, "phi": phi, "confidence": confidence}, clustered(first, second, phi, confidence)


def recording(rng):
    counts = counts_per_cycle(rng, rng.integers(2, 12))
    control = {"events": int(rng.integers(0, 6)), "exposure": short(rng.uniform(3, 12))} if rng.random() < 0.5 else None
    return {
        "counts": counts,
        "exposure": short(len(counts) * rng.uniform(0.7, 1)),
        "masked": short(rng.choice([0.0, 0.1, 0.2, 0.3])),
        "quiet_db": short(rng.choice([-60.0, -58.0, -55.0, -53.0])),
        "set_up": "microphone" if rng.random() < 0.95 else "telephone",
        "control": control,
    }


@statistic("burst_comparison", 500)
def burst_comparison(rng):
    a, b = recording(rng), recording(rng)
    first, second = ({"events": sum(r["counts"]), "exposure": r["exposure"]} for r in (a, b))
    total = first["events"] + second["events"]
    if total == 0:
        return burst_comparison(rng)
    tests = [stats.chisquare(r["counts"]) for r in (a, b) if len(r["counts"]) >= 4 and sum(r["counts"])]
    sizes = [len(r["counts"]) - 1 for r in (a, b) if len(r["counts"]) >= 4 and sum(r["counts"])]
    phi = 1.0
    if any(t.pvalue < 0.05 for t in tests):
        phi = max(1.0, float(np.mean([t.statistic / m for t, m in zip(tests, sizes)])))
    exact = {**exact_ratio(first, second, 0.95), "p": doubled_tail(first, second)}
    logarithm_fails = phi > 1 and 0 in (first["events"], second["events"])
    ratio = exact if phi == 1.0 or logarithm_fails else clustered(first, second, phi, 0.95)
    needed = fewest(first, second)
    louder = (a, first) if first["events"] / first["exposure"] >= second["events"] / second["exposure"] else (b, second)
    answer = doubt(a, b, phi, logarithm_fails, total < needed, louder)
    if answer is None:
        more = first["events"] / first["exposure"] > second["events"] / second["exposure"]
        answer = "no difference" if ratio["p"] >= 0.05 else "more" if more else "fewer"
    return {"first": a, "second": b}, {"answer": answer, "phi": phi, "ratio": ratio}


def fewest(first, second):
    k = 1
    while min(doubled_tail({**first, "events": k}, {**second, "events": 0}),
              doubled_tail({**first, "events": 0}, {**second, "events": k})) >= 0.05:
        k += 1
    return k


def doubt(a, b, phi, logarithm_fails, too_few, louder):
    if max(a["masked"], b["masked"]) > 0.25:
        return "Masked"
    if abs(a["quiet_db"] - b["quiet_db"]) > 6 or a["set_up"] != b["set_up"]:
        return "RecordingsDiffer"
    if too_few:
        return "TooFew"
    test, counted = louder
    if test["control"] is not None:
        n = counted["events"] + test["control"]["events"]
        if stats.binomtest(counted["events"], n, share(counted, test["control"]), "greater").pvalue > 0.05:
            return "Background"
    return "Clustered" if phi > 5 or logarithm_fails else None
