"""Least squares with indicator columns, against statsmodels OLS."""

import numpy as np
import statsmodels.api as sm

from .harness import Near, short, statistic


def columns(rng, n):
    """Loads, half-cycle and branch indicators, as the push test uses them, and plain columns."""
    load = rng.choice([50.0, 100.0, 150.0], n) * rng.choice([-1, 1], n) + rng.normal(0, 2, n)
    sign = np.sign(load)
    candidates = [load, sign / 2, sign * rng.choice([-0.5, 0.5], n), np.abs(load), rng.normal(0, 1, n), rng.uniform(3, 4, n)]
    return candidates[: rng.integers(1, 7)]


@statistic("least_squares", 600)
def least_squares(rng):
    n = int(rng.integers(12, 60))
    cols = [short(c) for c in columns(rng, n)]
    y = short(0.08 * np.array(cols[0]) + rng.normal(0.5, 0.2, n))
    intercept = bool(rng.random() < 0.8)
    X = np.column_stack(([np.ones(n)] if intercept else []) + cols)
    if np.linalg.cond(X / np.linalg.norm(X, axis=0)) > 1e3:
        return least_squares(rng)
    fit = sm.OLS(np.array(y), X, hasconst=intercept).fit()
    row = short(rng.normal(0, 1, len(cols)))
    at = fit.get_prediction(np.array([([1.0] if intercept else []) + row]))
    cov = fit.normalized_cov_params
    size = np.sqrt(np.diag(cov))
    # A coefficient or correlation near zero is a difference: held against its own uncertainty or against 1.
    scale = np.linalg.norm(y)
    args = {"columns": cols, "y": y, "intercept": intercept, "row": row}
    terms = np.abs(np.array([([1.0] if intercept else []) + row])[0] * fit.params).sum()
    return args, {
        "coefficients": [Near(b, u) for b, u in zip(fit.params, fit.bse)],
        "covariance": [[Near(cov[i, j], size[i] * size[j]) for j in range(len(size))] for i in range(len(size))],
        "residuals": [Near(r, scale) for r in fit.resid],
        "residual_ss": fit.ssr,
        "regression_ss": fit.ess,
        "degrees_of_freedom": fit.df_resid,
        "residual_sd": np.sqrt(fit.scale),
        "r_squared": fit.rsquared,
        "f_statistic": fit.fvalue,
        "u": fit.bse,
        "correlation": Near(cov[0, -1] / (size[0] * size[-1]), 1.0),
        "mean": Near(at.predicted_mean[0], terms),
        "u_mean": at.se_mean[0],
        "u_prediction": at.se_obs[0],
    }
