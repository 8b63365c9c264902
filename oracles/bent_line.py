"""A falling line that may be bent, by brute force: every rep's covariance written out in full.

The same model as crates/core/src/stats/bent_line.rs by another road: bends as a Gaussian process on
the reps (scipy's multivariate normal), level integrated out by a very wide normal, the fall and the
noise on fine grids of their own, no least squares and no coefficients.

Run:  python oracles/bent_line.py > testdata/golden/bent_line.json
"""
import datetime, json, sys
import numpy as np, scipy
from scipy import optimize, stats

BENDS = ((0.0, 0.25), (1.0, 0.35), (2.5, 0.40))
ORDERS = np.array([1.0, 0.7, 0.4])
BEND, TYPICAL = 0.055, 0.03
WIDE = 5.0  # standard deviation of the level, m/s: no knowledge of it

def basis(u):
    """Legendre polynomials of order two to four, straight on beyond the ends."""
    inside = np.clip(u, -1, 1)
    rows = []
    for order in (2, 3, 4):
        p = np.polynomial.legendre.Legendre.basis(order)
        rows.append(p(inside) + (u - inside) * p.deriv()(inside))
    return np.array(rows).T

def case(name, x, y, asked):
    x, y = np.asarray(x, float), np.asarray(y, float)
    low, high = x.min(), x.max()
    u = (x - (low + high) / 2) / ((high - low) / 2)
    slope, intercept = np.polyfit(x, y, 1)
    unit = BEND * (slope * (high - low)) ** 2 / intercept / 1.5
    least = 0.005 * y.mean()
    falls = np.exp(np.linspace(np.log(least), np.log(4 * y.mean()), 601))
    sds = np.exp(np.linspace(np.log(0.002), np.log(0.6), 81))
    grid = np.array([0.0, *asked["loads"]])
    parts = []
    for size, probability in BENDS:
        kernel = basis(u) @ np.diag((size * unit * ORDERS) ** 2) @ basis(u).T + WIDE ** 2
        for sd in sds:
            law = stats.multivariate_normal(np.zeros(len(x)), kernel + sd ** 2 * np.eye(len(x)))
            logs = law.logpdf(y[None, :] + falls[:, None] * u[None, :])
            prior = -np.log(sd) - 0.5 * (TYPICAL / sd) ** 2
            parts.append((size, sd, kernel, logs + prior + np.log(probability)))
    top = max(part[3].max() for part in parts)
    weights = np.array([np.exp(part[3] - top) for part in parts])
    weights /= weights.sum()

    def spread(load):
        """Mean and standard deviation of the curve at a load, for each part and fall."""
        at = (load - (low + high) / 2) / ((high - low) / 2)
        means, deviations = [], []
        for size, sd, kernel, _ in parts:
            prior = np.diag((size * unit * ORDERS) ** 2)
            b = basis(np.array([at]))[0]
            k = basis(u) @ prior @ b + WIDE ** 2
            solved = np.linalg.solve(kernel + sd ** 2 * np.eye(len(x)), k)
            means.append((y[None, :] + falls[:, None] * u[None, :]) @ solved - falls * at)
            deviations.append(np.sqrt(b @ prior @ b + WIDE ** 2 - k @ solved))
        return np.array(means), np.array(deviations)[:, None]

    def below(load, velocity, sd=0.0, new=0):
        means, deviations = spread(load)
        noise = np.array([part[1] for part in parts])[:, None]
        total = np.sqrt(deviations ** 2 + sd ** 2 + (noise ** 2 / new if new else 0.0))
        return float((weights * stats.norm.cdf((velocity - means) / total)).sum())

    ends = (0.05, 0.5, 0.95)
    loads = [{"velocity": v, "sd": sd, "load": [optimize.brentq(
        lambda load: below(load, v, sd) - p, 0.0, 3 * high, xtol=1e-5) for p in ends]}
        for v, sd in asked["velocities"]]
    at = [{"load": load, "next": new, "velocity": [optimize.brentq(
        lambda v: below(load, v, 0.0, new) - p, -3.0, 6.0, xtol=1e-7) for p in (0.05, 0.95)]}
        for load in asked["loads"] for new in (0, 1)]
    bent = sum(w.sum() for w, part in zip(weights, parts) if part[0] > 0)
    noise = float(np.exp(sum(w.sum() * np.log(part[1]) for w, part in zip(weights, parts))))
    return {"name": name, "x": x.tolist(), "y": y.tolist(), "bent": float(bent),
            "noise_sd": noise, "loads": loads, "velocities": at}

four = [20.0, 40.0, 60.0, 80.0]
cases = [
    case("four loads", four, [1.30, 1.06, .79, .55],
         {"velocities": [(1.0, 0.0), (0.7, 0.0), (0.3, 0.04)], "loads": [30.0, 70.0, 90.0]}),
    case("three, three, two, one, one", [20, 20, 20, 35, 35, 35, 50, 50, 65, 80],
         [1.25, 1.21, 1.28, 1.10, 1.04, 1.07, .93, .86, .74, .52],
         {"velocities": [(1.0, 0.0), (0.6, 0.0)], "loads": [25.0, 60.0]}),
    case("bent", [20, 20, 35, 35, 50, 50, 65, 65, 80, 80],
         [1.21, 1.19, 1.15, 1.17, 1.06, 1.04, .86, .88, .60, .58],
         {"velocities": [(1.1, 0.0), (0.7, 0.0)], "loads": [40.0, 75.0]}),
    case("two loads", [40, 80], [1.06, .55],
         {"velocities": [(0.8, 0.0)], "loads": [60.0]}),
]
json.dump({
    "origin": {
        "script": "oracles/bent_line.py", "python": sys.version.split()[0],
        "numpy": np.__version__, "scipy": scipy.__version__,
        "date": datetime.date.today().isoformat(), "level": 0.9,
    },
    "cases": cases,
}, sys.stdout, indent=1)
