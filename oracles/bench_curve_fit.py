"""Time of scipy's curve_fit of the same falls on the jumps of crates/core/benches/profile.rs.

Four least-squares fits (unloaded height and one steepness each), the best by residual: no prior,
no doubt of the peak, no next load.

Run:  python oracles/bench_curve_fit.py
"""
import sys, timeit
import numpy as np, scipy
from scipy.optimize import curve_fit

BODY_MASS = 80.0
LOADS = np.array([0, 0, 40, 80, 80, 60.0])
HEIGHTS = np.array([.380, .372, .225, .130, .122, .171])


def fall(n):
    if np.isinf(n):
        return lambda load, h0, r: h0 * r ** (2 * load / BODY_MASS)
    return lambda load, h0, r: h0 * np.clip(1 - 2 * load / BODY_MASS * (1 - r ** (1 / n)), 0, None) ** n


def fit():
    best = None
    for n in (1, 2, 4, np.inf):
        f = fall(n)
        parameters, covariance = curve_fit(f, LOADS, HEIGHTS, p0=(.38, .57), bounds=([.05, .3], [.9, .85]))
        residual = ((HEIGHTS - f(LOADS, *parameters)) ** 2).sum()
        if best is None or residual < best[0]:
            best = residual, n, parameters, covariance
    return best


times = timeit.repeat(fit, number=20, repeat=7)
print(f"scipy {scipy.__version__}, python {sys.version.split()[0]}: four curve_fit calls "
      f"{min(times) / 20 * 1e3:.2f} ms (best of 7), best fall n = {fit()[1]}")
