"""Every statistic of `src/measure` computed a second time with scipy, statsmodels and numpy."""

from . import comparison, counts, distributions, load_deflection, regression, signals, taps, trends, uncertainty

__all__ = [
    "comparison", "counts", "distributions", "load_deflection", "regression", "signals", "taps", "trends", "uncertainty",
]
