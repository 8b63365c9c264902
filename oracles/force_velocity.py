"""Force-velocity profiles from jump heights: scipy's regression, numpy's polynomial roots, and a
simulation of the doubt.

Run:  python oracles/force_velocity.py > testdata/golden/force_velocity.json
"""
import datetime, json, sys
import numpy as np, scipy
from scipy import stats

G = 9.81

def answers(mass, push_off, loads, heights):
    v = np.sqrt(G * heights / 2)
    f = (mass + loads) * G * (heights / push_off + 1)
    fit = stats.linregress(v, f)
    f0, v0 = fit.intercept, -fit.intercept / fit.slope
    power = f0 * v0 / 4
    roots = np.roots([1, 0, 2 * G * push_off, -4 * push_off * power / mass])
    v_best = float(roots[np.abs(roots.imag) < 1e-9].real[0])
    slope, best = fit.slope / mass, -4 * power / mass / v_best ** 2
    return dict(force=f0, velocity=v0, power=power, slope=slope, best_slope=best,
                balance=100 * slope / best, best_height=v_best ** 2 / (2 * G), r_squared=fit.rvalue ** 2)

def simulated(mass, push_off, loads, heights, counts, sd, push_off_sd, draws=200_000):
    random = np.random.default_rng(11)
    h = heights + random.normal(0, sd, (draws, len(loads))) / np.sqrt(counts)
    d = push_off + random.normal(0, push_off_sd, (draws, 1))
    v = np.sqrt(G * h / 2)
    f = (mass + loads) * G * (h / d + 1)
    dv, df = v - v.mean(1, keepdims=True), f - f.mean(1, keepdims=True)
    slope = (dv * df).sum(1) / (dv ** 2).sum(1)
    f0 = f.mean(1) - slope * v.mean(1)
    v0 = -f0 / slope
    power = f0 * v0 / 4
    good = (slope < 0) & (f0 > mass * G)
    q = lambda x: np.quantile(x[good], [0.05, 0.95]).tolist()
    return dict(force=q(f0), velocity=q(v0), power=q(power), slope=q(slope / mass))

cases = []
for name, mass, push_off, loads, heights in [
    ("80 kg", 80.0, 0.40, [0, 20, 40, 60, 80], [.38000, .28993, .22220, .16941, .12724]),
    ("66 kg", 66.0, 0.36, [0, 15, 30, 45], [.352, .281, .224, .171]),
    ("97 kg, scattered", 97.0, 0.43, [0, 20, 40, 60, 80], [.401, .331, .262, .221, .162]),
]:
    loads, heights = np.array(loads, float), np.array(heights)
    case = dict(name=name, body_mass=mass, push_off=push_off,
                loads=loads.tolist(), heights=heights.tolist())
    case.update(answers(mass, push_off, loads, heights))
    case["simulated"] = simulated(mass, push_off, loads, heights, np.full(len(loads), 2), 0.01, 0.015)
    cases.append(case)

json.dump({
    "origin": {
        "script": "oracles/force_velocity.py", "python": sys.version.split()[0],
        "numpy": np.__version__, "scipy": scipy.__version__,
        "date": datetime.date.today().isoformat(), "gravity": G,
        "simulated": "5 and 95 % quantiles, two jumps a load, height sd 1 cm, push-off sd 1.5 cm",
    },
    "cases": cases,
}, sys.stdout, indent=1)
