"""Robust outliers, tap maps, and the decay and tone of taps."""

import math

import numpy as np
from scipy import stats

from .harness import Near, Refused, short, statistic
from .signals import Spectrum


@statistic("median", 200)
def median(rng):
    x = short(rng.normal(0, 5, rng.integers(1, 30)))
    return {"values": x}, Near(np.median(x), 1e-3)


def robust(x, floor):
    """Median, scale, whether the scale is that of the median deviation, and z."""
    x = np.array(x)
    centre, scale = np.median(x), stats.median_abs_deviation(x, scale="normal")
    by_median = bool(scale >= floor and scale > 0)
    if not by_median:
        # Mean absolute deviation of a standard normal value: sqrt(2/pi).
        mean = np.mean(np.abs(x - centre)) / stats.foldnorm.mean(0)
        scale = max(mean, floor)
    return centre, scale, by_median, (x - centre) / scale if scale > 0 else np.zeros(len(x))


@statistic("robust_z", 400)
def robust_z(rng):
    x = rng.normal(7, 0.02, rng.integers(3, 40))
    x[0] += rng.choice([0, 0.3])
    if rng.random() < 0.3:
        x = np.round(x, 2)
    x, floor = short(x), short(rng.choice([0.0, 0.01, 0.05]))
    centre, scale, by_median, z = robust(x, floor)
    # z is a small difference of values near 7.
    expected = {"median": centre, "scale": Near(scale, 1e-2), "by_median": by_median, "z": [Near(v, max(1, 1 / max(scale, 1e-2))) for v in z]}
    return {"values": x, "floor": floor}, expected


def map_of(rng, n):
    hz = short(1500 * np.exp(rng.normal(0, 0.02, n)))
    if rng.random() < 0.5:
        hz[int(rng.integers(n))] = short(1500 * math.exp(rng.choice([-0.3, 0.2])))
    return [None if rng.random() < 0.1 else f for f in hz]


@statistic("tap_outliers", 200)
def tap_outliers(rng):
    hz, u = map_of(rng, int(rng.integers(6, 40))), short(rng.choice([0.0, 0.01, 0.03]))
    logs = [math.log(f) for f in hz if f is not None]
    if len(logs) < 8:
        return {"hz": hz, "u_ln": u}, {"z": [None] * len(hz), "flagged": []}
    z = placed(hz, robust(logs, u)[3])
    return {"hz": hz, "u_ln": u}, {"z": near(z), "flagged": [i for i, v in enumerate(z) if v is not None and abs(v) > 3.5]}


def placed(cells, z):
    z = iter(z)
    return [None if c is None else float(next(z)) for c in cells]


def near(z):
    """Logarithms near 7 are subtracted and divided by a scale of a hundredth: 700 units of the last place."""
    return [None if v is None else Near(v, 1.0) for v in z]


@statistic("tap_mirror", 200)
def tap_mirror(rng):
    n, s = int(rng.integers(6, 40)), short(rng.choice([0.0, 0.01, 0.03]))
    left, right = map_of(rng, n), map_of(rng, n)
    if rng.random() < 0.3:
        left = [None if f is None else short(f * 0.95) for f in left]
    delta = [None if None in (a, b) else math.log(a) - math.log(b) for a, b in zip(left, right)]
    values = [d for d in delta if d is not None]
    args = {"left": left, "right": right, "s_tap": s}
    if len(values) < 8:
        offset = Near(np.median(values), 1.0) if values else 0.0
        return args, {"z": [None] * n, "flagged": [], "offset": offset, "whole_side": False}
    centre, scale, _, z = robust(values, math.sqrt(2) * s)
    z = placed(delta, z)
    smallest = max(0.05, 2 * math.sqrt(2) * s)
    flagged = [i for i in range(n) if z[i] is not None and abs(z[i]) > 3.5 and abs(delta[i]) > smallest]
    whole = abs(centre) > 2 * 1.2533 * scale / math.sqrt(len(values))
    return args, {"z": near(z), "flagged": flagged, "offset": Near(centre, 1.0), "whole_side": bool(whole)}


def ring(rng, fs, n, f=None, noise=1e-4):
    t = np.arange(n) / fs
    f = rng.uniform(400, 3000) if f is None else f
    return np.exp(-t / rng.uniform(0.004, 0.03)) * np.cos(2 * np.pi * f * t) + rng.normal(0, noise, n)


def decay(x, fs, frame):
    """Decay time by numpy's straight line through ln(rms), and the frames used."""
    level = np.sqrt(np.mean(np.array(x)[: len(x) // frame * frame].reshape(-1, frame) ** 2, axis=1))
    floor = np.median(level[len(level) - math.ceil(len(level) / 4):])
    stop = np.flatnonzero(level <= max(0.1 * level[0], 2 * floor))
    used = int(stop[0]) if len(stop) else len(level)
    if used < 4:
        return None, used
    slope = np.polyfit(np.arange(used) * frame / fs, np.log(level[:used]), 1)[0]
    return (-1 / slope if slope < 0 else None), used


@statistic("tap_decay", 150)
def tap_decay(rng):
    fs, frame = 16000.0, int(rng.integers(16, 48))
    x = short(ring(rng, fs, int(rng.integers(600, 2400)), noise=10 ** rng.uniform(-4, -1.5)))
    tau, used = decay(x, fs, frame)
    return {"samples": x, "fs": fs, "frame": frame}, {"tau": tau, "frames": used}


def one_tap(x, fs, low, high):
    """Frequency and decay of one tap, or nothing without a clear tone."""
    x = np.array(x)[: int(0.1 * fs)]
    s = Spectrum(x, fs, low, high)
    if s.edge or s.prominence() < 10:
        return None
    return s.hz(), decay(x - x.mean(), fs, int(0.002 * fs))[0]


@statistic("tap", 100, 1e-8, "as spectrum_peak")
def tap(rng):
    fs = 16000.0
    x = short(ring(rng, fs, int(rng.integers(800, 2400)), noise=10 ** rng.uniform(-4, -0.5)))
    args = {"samples": x, "fs": fs, "low_hz": 200.0, "high_hz": 6000.0}
    found = one_tap(x, fs, 200, 6000)
    if found is None:
        return args, Refused()
    hz, tau = found
    return args, {"hz": hz, "tau": tau, "damping": None if tau is None else 1 / (2 * math.pi * hz * tau)}


def starts(x, fs):
    """Largest sample of each group louder than a quarter of the loudest; groups parted by a tenth of a second."""
    size = np.abs(x)
    loud = np.flatnonzero(size > size.max() / 4)
    groups = np.split(loud, np.flatnonzero(np.diff(loud) > round(0.1 * fs)) + 1)
    return [int(g[np.argmax(size[g])]) for g in groups]


@statistic("tap_point", 30, 1e-8, "as spectrum_peak")
def tap_point(rng):
    fs, f = 16000.0, rng.uniform(500, 2500)
    taps = [ring(rng, fs, 3500, f * math.exp(rng.normal(0, rng.choice([0.01, 0.06])))) for _ in range(rng.integers(2, 6))]
    x = short(np.concatenate([rng.normal(0, 1e-4, 500)] + taps))
    args = {"samples": x, "fs": fs, "low_hz": 200.0, "high_hz": 6000.0}
    at = starts(np.array(x), fs) + [len(x)]
    found = [one_tap(x[a:b], fs, 200, 6000) for a, b in zip(at, at[1:])]
    found = [t for t in found if t is not None]
    if len(found) < 3:
        return args, {"kind": "too few", "taps": len(found)}
    hz = [t[0] for t in found]
    if max(hz) - min(hz) > 0.1 * np.median(hz):
        return args, {"kind": "no clear tone", "lowest": min(hz), "highest": max(hz)}
    tau = [t[1] for t in found if t[1] is not None]
    return args, {"kind": "tone", "hz": np.median(hz), "tau": np.median(tau) if tau else None, "taps": len(found)}
