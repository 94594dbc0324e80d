"""Frequencies by numpy's transform, the burst filter and detector by scipy's, tables and balances by numpy."""

import math

import numpy as np
from scipy import signal, stats

from .harness import Near, Refused, short, statistic


def db(x):
    return 20 * np.log10(x)


class Spectrum:
    """Hann-windowed magnitudes and the strongest line of a band."""

    def __init__(self, x, fs, low, high):
        self.n, self.fs = len(x), fs
        x = np.array(x)
        self.m = np.abs(np.fft.rfft((x - x.mean()) * signal.windows.hann(self.n, sym=False)))
        self.bin_hz = fs / self.n
        self.low = max(3, math.ceil(min(low, 0.4 * fs) / self.bin_hz))
        self.high = math.floor(min(high, 0.4 * fs) / self.bin_hz)
        self.top = self.low + int(np.argmax(self.m[self.low:self.high + 1]))
        self.middle = np.median(self.m[self.low:self.high + 1])
        self.edge = self.m[self.top - 1] > self.m[self.top] or self.m[self.top + 1] > self.m[self.top]

    def vertex(self, i):
        """Vertex of the parabola through the logarithms of three bins, and the logarithm there."""
        a, b, c = np.polyfit([-1, 0, 1], np.log(self.m[i - 1:i + 2]), 2)
        return -b / (2 * a), c - b * b / (4 * a)

    def noise_rms(self):
        # Median of an exponential distribution with mean sigma^2 sum w^2.
        power = np.sum(signal.windows.hann(self.n, sym=False) ** 2)
        return self.middle / math.sqrt(stats.expon.median() * power)

    def prominence(self):
        return db(self.m[self.top] / self.middle)

    def width(self):
        level, total = db(self.m) - (db(self.m[self.top]) - 3.0), 0.0
        for part in (level[self.top::-1], level[self.top:]):
            under = np.flatnonzero(part < 0)
            total += len(part) - 1 if len(under) == 0 else under[0] - 1 + part[under[0] - 1] / (part[under[0] - 1] - part[under[0]])
        return total

    def maxima(self, start, stop):
        return [i for i in range(start, stop) if self.m[i] > self.m[i - 1] and self.m[i] >= self.m[i + 1]]

    def unresolved(self):
        near = self.maxima(max(self.top - 3, 1), min(self.top + 4, len(self.m) - 1))
        return any(abs(i - self.top) >= 2 and db(self.m[self.top] / self.m[i]) < 3 for i in near)

    def second(self):
        others = [i for i in self.maxima(self.low, self.high) if abs(i - self.top) >= 4]
        best = max(others, key=lambda i: self.m[i], default=None)
        if best is None or db(self.m[self.top] / self.m[best]) > 6:
            return None
        return (best + self.vertex(best)[0]) * self.bin_hz

    def hz(self):
        return (self.top + self.vertex(self.top)[0]) * self.bin_hz

    def amplitude(self):
        return 4 / self.n * math.exp(self.vertex(self.top)[1])

    def u(self):
        bias = 0.016 * self.bin_hz / math.sqrt(3)
        return math.hypot(bias, 2 * bound(self.amplitude(), self.noise_rms(), self.n, self.fs))


def bound(amplitude, rms, n, fs):
    """Cramér-Rao bound of the frequency of one tone, amplitude and phase unknown."""
    snr = amplitude**2 / (2 * rms**2)
    return fs * math.sqrt(12 / (snr * n * (n**2 - 1))) / (2 * math.pi)


def vibration(rng):
    """Decaying or steady tones in noise; free numbers of samples."""
    fs, n = short(rng.choice([50.0, 100.0, 200.0])), int(rng.integers(200, 2500))
    t = np.arange(n) / fs
    x = rng.normal(0, 10 ** rng.uniform(-3, -1), n) + rng.normal()
    for _ in range(rng.integers(1, 3)):
        f, tau = rng.uniform(3, 0.35 * fs), 10 ** rng.uniform(-0.3, 2)
        x += rng.uniform(0.3, 1) * np.exp(-t / tau) * np.sin(2 * np.pi * f * t + rng.uniform(0, 6))
    return {"samples": short(x), "fs": fs, "low_hz": short(rng.uniform(1, 2.5)), "high_hz": short(0.45 * fs)}


@statistic("spectrum_peak", 150, 1e-8, "two transforms of different make; logarithms of small bins lose digits")
def spectrum_peak(rng):
    a = vibration(rng)
    s = Spectrum(a["samples"], a["fs"], a["low_hz"], a["high_hz"])
    if s.edge:
        return a, Refused()
    return a, {
        "hz": s.hz(),
        "bin": s.top,
        "fraction": Near(s.vertex(s.top)[0], 1.0),
        "amplitude": s.amplitude(),
        "noise_rms": s.noise_rms(),
        "prominence_db": s.prominence(),
        "width_bins": s.width(),
        "unresolved": s.unresolved(),
        "second_hz": s.second(),
        "u": s.u(),
    }


@statistic("natural_frequency", 100, 1e-8, "as spectrum_peak")
def natural_frequency(rng):
    a = vibration(rng)
    s = Spectrum(a["samples"], a["fs"], a["low_hz"], a["high_hz"])
    if s.edge or s.prominence() < 10 or s.unresolved():
        return a, Refused()
    x, frame = np.array(a["samples"]), max(1, math.floor(a["fs"] / s.hz() + 0.5))
    power = np.mean(((x - x.mean())[: len(x) // frame * frame].reshape(-1, frame)) ** 2, axis=1)
    loud, best = power > power.max() * 0.01, int(np.argmax(power))
    quiet = np.flatnonzero(~loud)
    first = quiet[quiet < best].max(initial=-1) + 1
    last = quiet[quiet > best].min(initial=len(loud))
    if (last - first) * frame / a["fs"] * s.hz() < 8:
        return a, Refused()
    hum = any(
        round(s.hz() / mains) >= 1 and abs(s.hz() - round(s.hz() / mains) * mains) <= min(s.bin_hz, 0.5) for mains in (50, 60)
    )
    if hum and s.bin_hz <= 5 and s.width() < 2:
        return a, Refused()
    return a, {"hz": s.hz(), "u": s.u()}


@statistic("noise_bound", 100)
def noise_bound(rng):
    amplitude, rms, n, fs = short(rng.uniform(0.1, 2)), short(rng.uniform(0.001, 0.5)), int(rng.integers(64, 9000)), 100.0
    return {"amplitude": amplitude, "rms": rms, "n": n, "fs": fs}, bound(amplitude, rms, n, fs)


@statistic("frequency_from_counts", 200)
def frequency_from_counts(rng):
    row = lambda: [float(rng.integers(10, 40)), short(rng.uniform(2, 8)), short(rng.choice([0.15, 0.05])), short(rng.choice([0, 0.3]))]
    rows = [row() for _ in range(rng.integers(1, 6))]
    c = np.array(rows)
    f = c[:, 0] / c[:, 1]
    single = np.mean(f * np.hypot(c[:, 3] / c[:, 0], c[:, 2] / c[:, 1]))
    scatter = stats.sem(f) if len(f) > 1 else 0.0
    return {"counts": rows}, {"hz": f.mean(), "u": max(single, scatter)}


@statistic("frequency_change", 200)
def frequency_change(rng):
    new, old = ([short(rng.uniform(5, 7)), short(rng.uniform(0.005, 0.2))] for _ in range(2))
    set_up = short(rng.choice([0.0, 0.01, 0.03]))
    u = math.sqrt((new[1] / new[0]) ** 2 + (old[1] / old[0]) ** 2 + set_up**2)
    r = math.log(new[0]) - math.log(old[0])
    verdict = "none" if abs(r) <= 2 * u else "lower" if r < 0 else "higher"
    change = Near((new[0] / old[0]) ** 2 - 1, 1.0)
    args = {"new": new, "old": old, "set_up": set_up}
    return args, {"ln_ratio": Near(r, 1.0), "u": u, "stiffness_change": change, "verdict": verdict}


@statistic("band_pass", 60, 1e-9, "the whole response of scipy's Butterworth sections, held against its largest value")
def band_pass(rng):
    fs, low, high = short(rng.choice([22050.0, 44100.0, 48000.0])), short(rng.uniform(300, 3000)), short(rng.uniform(4000, 8500))
    x = short(rng.normal(0, 1, 400))
    y = signal.sosfilt(signal.butter(2, [low, high], "bandpass", fs=fs, output="sos"), x)
    scale = np.abs(y).max()
    return {"samples": x, "fs": fs, "low_hz": low, "high_hz": high}, [Near(v, scale) for v in y]


@statistic("bursts", 12, 1e-9, "levels in dB of recordings in single precision")
def bursts(rng):
    fs = 22050.0
    n = int(fs * rng.uniform(2.4, 3.5))
    x = rng.normal(0, 0.003, n)
    if rng.random() < 0.3:
        x[: n // 3] += rng.normal(0, 0.03, n // 3)
    for at in rng.integers(0, n - 5000, 8):
        length = int(rng.choice([150, 400, 5000], p=[0.5, 0.4, 0.1]))
        x[at:at + length] += rng.normal(0, rng.uniform(0.02, 0.3), length) * np.exp(-np.arange(length) / (length / 2))
    x = [float(v) for v in x.astype(np.float32)]
    heard = detected(np.array(x), fs)
    return {"samples": x, "fs": fs}, heard


def detected(x, fs):
    """The detector written down again with arrays: frames, held median floor, two thresholds, joining, masking."""
    y = signal.sosfilt(signal.butter(2, [1500, min(12000, 0.4 * fs)], "bandpass", fs=fs, output="sos"), x)
    hop = int(0.0025 * fs)
    energy = np.sum(y[: len(y) // hop * hop].reshape(-1, hop) ** 2, axis=1)
    level = 10 * np.log10((energy[:-1] + energy[1:]) / (2 * hop) + 1e-12)
    frame, n = hop / fs, len(level)
    half = int(1.0 / frame)
    held = [np.median(level[max(0, at - half):at + half + 1]) for at in range(0, n, 40)]
    floor = np.repeat(held, 40)[:n]
    quiet = np.percentile(level, 10)
    masked = floor > quiet + 6
    spans, start = [], None
    for j in range(n):
        if start is None and level[j] > floor[j] + 10:
            start = j
        elif start is not None and level[j] < floor[j] + 5:
            spans, start = joined(spans, start, j, frame), None
    if start is not None:
        spans = joined(spans, start, n, frame)
    kept = [(a, b) for a, b in spans if (b - a) * frame <= 0.2 and not masked[a]]
    return {
        "starts": [a * frame for a, _ in kept],
        "ends": [b * frame for _, b in kept],
        "heights": [float(np.max(level[a:b] - floor[a:b])) for a, b in kept],
        "masked_share": masked.mean(),
        "quiet_db": quiet,
    }


def joined(spans, start, end, frame):
    if spans and (start - spans[-1][1]) * frame < 0.025:
        return spans[:-1] + [(spans[-1][0], end)]
    return spans + [(start, end)]


@statistic("tension", 100)
def tension(rng):
    n = int(rng.integers(2, 8))
    t = short(np.cumsum(rng.uniform(3, 12, n)) - 20)
    f = short(rng.uniform(80, 300, n))
    at = short(rng.uniform(t[0], t[-1]), 9)
    at = min(max(at, t[0]), t[-1])
    return {"temperatures": t, "tensions": f, "at": at}, np.interp(at, t, f)


@statistic("weighing", 100)
def weighing(rng):
    n = int(rng.integers(2, 5))
    gross = short([rng.uniform(150, 350)] + list(rng.uniform(-15, 60, n - 1)))
    tare, arm = short(rng.uniform(0, 5, n)), short(rng.uniform(-1, 4.5, n))
    net = np.array(gross) - np.array(tare)
    return {"gross": gross, "tare": tare, "arm": arm}, {"mass": net.sum(), "cg": Near(np.average(arm, weights=net), 1.0)}
