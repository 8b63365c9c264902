"""Reliability and change by numpy, scipy and statsmodels, by other routes than the program's.

Run:  python oracles/repeat_tests.py > testdata/golden/repeat_tests.json
Run in the root of the repository; reads testdata/open/countermovement_jump_twice.csv.
"""
import datetime, json, sys
import numpy as np, pandas as pd, scipy, statsmodels
import statsmodels.formula.api as smf
from scipy import stats, integrate


def twice(path):
    table = pd.read_csv(path)[["pre", "meso1"]].to_numpy()
    n = len(table)
    d = table[:, 1] - table[:, 0]
    te = d.std(ddof=1) / np.sqrt(2)
    chi = stats.chi2.ppf([0.95, 0.05], n - 1)
    log_te = np.diff(np.log(table), axis=1).std(ddof=1) / np.sqrt(2)
    shift = stats.t.interval(0.9, n - 1, d.mean(), d.std(ddof=1) / np.sqrt(n))
    return {
        "typical_error": te, "interval_90": list(te * np.sqrt((n - 1) / chi)),
        "cv_percent": 100 * np.expm1(log_te), "shift": d.mean(), "shift_90": list(shift),
    }


def with_holes():
    """Additive model with missing cells, by ordinary least squares on dummies."""
    rows = [(0, 0, 38.1), (0, 1, 38.9), (0, 2, 37.2), (1, 0, 30.2), (1, 2, 31.9), (2, 1, 44.0),
            (2, 2, 43.1), (3, 0, 27.4), (3, 1, 29.1), (3, 2, 28.0), (4, 2, 35.0)]
    frame = pd.DataFrame(rows, columns=["s", "t", "y"])
    fit = smf.ols("y ~ C(s) + C(t)", frame).fit()
    return {"cells": rows, "residual_sd": float(np.sqrt(fit.mse_resid)), "df": float(fit.df_resid)}


def nested():
    """Unbalanced trials in sessions in athletes; expected mean squares by hand, sums by numpy."""
    data = [[[38.2, 38.9, 37.9], [39.4, 39.0]], [[30.1, 30.6], [29.2, 29.8, 29.4], [31.0, 30.2]],
            [[44.1, 43.2, 44.4], [42.0, 42.9, 42.5]]]
    ss_t = df_t = ss_s = df_s = n0 = 0.0
    for sessions in data:
        everything = np.concatenate([np.array(s) for s in sessions])
        for s in sessions:
            ss_t += np.var(s) * len(s); df_t += len(s) - 1
            ss_s += len(s) * (np.mean(s) - everything.mean()) ** 2
        df_s += len(sessions) - 1
        n0 += len(everything) - sum(len(s) ** 2 for s in sessions) / len(everything)
    n0 /= df_s
    return {"data": data, "trial_variance": ss_t / df_t,
            "day_variance": max(0.0, (ss_s / df_s - ss_t / df_t) / n0)}


def change(values, shares, te, df, prior, swc):
    """Posterior of the change by brute force over (change, noise); level integrated out exactly."""
    y, r = np.array(values), np.array(shares)
    grid = np.linspace(-25, 25, 4001)
    # Midpoints of 4000 equal shares of the prior of the noise.
    scales = ([1.0] if df is None
              else df / stats.chi2.ppf((np.arange(4000) + 0.5) / 4000, df))
    density = np.zeros_like(grid)
    for scale in scales:
        v = te ** 2 * scale
        e = y[None, :] - grid[:, None] * r[None, :]
        q = ((e - e.mean(axis=1, keepdims=True)) ** 2).sum(axis=1) / v
        density += np.exp(-0.5 * q) * v ** (-(len(y) - 1) / 2)
    if prior is not None:
        density *= stats.norm.pdf(grid, *prior)
    density /= integrate.trapezoid(density, grid)
    cdf = integrate.cumulative_trapezoid(density, grid, initial=0)
    below = lambda x: float(np.interp(x, grid, cdf))
    return {
        "values": values, "shares": shares, "typical_error": te, "df": df, "prior": prior,
        "swc": swc, "mean": float(integrate.trapezoid(density * grid, grid)),
        "rise": 1 - below(swc), "fall": below(-swc),
        "interval_90": [float(np.interp(p, cdf, grid)) for p in (0.05, 0.95)],
    }


cases = [
    change([38.0, 40.5], [0, 1], 1.5, None, None, 1.0),
    change([38.0, 41.0], [0, 1], 1.5, 19, None, 1.0),
    change([38.0, 41.0], [0, 1], 1.5, 9, None, 1.0),
    change([38.0, 41.0], [0, 1], 1.5, None, (0, 2), 1.0),
    change([38.0, 41.0], [0, 1], 1.5, 9, (0, 2), 1.0),
    change([38.0, 38.6, 37.5, 41.0], [0, 0, 0, 1], 1.5, None, None, 1.0),
    change([38.0, 38.9, 39.2, 40.6, 41.0], [0, 0.25, 0.5, 0.75, 1], 1.5, 12, (0.5, 1.5), 1.0),
    change([38.0, 38.9, 39.2, 40.6, 41.0], [0, 0.25, 0.5, 0.75, 1], 1.5, 12, None, 1.0),
]
json.dump({
    "origin": {
        "script": "oracles/repeat_tests.py", "python": sys.version.split()[0],
        "numpy": np.__version__, "scipy": scipy.__version__,
        "statsmodels": statsmodels.__version__, "date": datetime.date.today().isoformat(),
    },
    "jumps_twice": twice("testdata/open/countermovement_jump_twice.csv"),
    "with_holes": with_holes(), "nested": nested(), "change": cases,
}, sys.stdout, indent=1)
