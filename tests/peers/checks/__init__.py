"""Every statistic of `src/measure`, and the least hangar order, computed a second time with scipy, statsmodels and numpy."""

from . import comparison, counts, distributions, load_deflection, order, regression, signals, taps, trends, uncertainty

__all__ = [
    "comparison", "counts", "distributions", "load_deflection", "order", "regression", "signals", "taps", "trends",
    "uncertainty",
]
