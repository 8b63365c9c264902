"""Least-squares lines and prediction, by statsmodels.

Run:  python oracles/lines.py > testdata/golden/lines.json
"""
import datetime, json, sys
import numpy as np, scipy, statsmodels
import statsmodels.api as sm

LEVEL = 0.90
random = np.random.default_rng(20260923)

def case(name, x, y):
    fit = sm.OLS(y, sm.add_constant(x)).fit()
    a, b = fit.params
    s2 = fit.mse_resid

    at = float(np.mean(x) + np.ptp(x))
    frame = fit.get_prediction([[1.0, at]]).summary_frame(alpha=1 - LEVEL)
    return {
        "name": name, "x": list(map(float, x)), "y": list(map(float, y)),
        "intercept": a, "slope": b, "residual_sd": float(np.sqrt(s2)),
        "intercept_se": fit.bse[0], "slope_se": fit.bse[1], "r_squared": fit.rsquared,
        "prediction": {"x": at, "y": float(frame["mean"].iloc[0]),
                       "line": [float(frame["mean_ci_lower"].iloc[0]), float(frame["mean_ci_upper"].iloc[0])],
                       "one": [float(frame["obs_ci_lower"].iloc[0]), float(frame["obs_ci_upper"].iloc[0])]},
    }

bench = np.array([20.0, 40.0, 60.0, 80.0])
ladder = np.repeat([0.0, 20.0, 40.0, 60.0], 2)
spread = np.sort(random.uniform(20, 140, 11))
cases = [
    case("four loads", bench, np.array([1.30, 1.06, 0.79, 0.55])),
    case("falling heights", ladder,
         np.array([.381, .370, .322, .310, .259, .263, .199, .208])),
    case("eleven scattered", spread, 1.5 - 0.009 * spread + random.normal(0, 0.04, 11)),
    case("rising", bench, np.array([0.2, 0.33, 0.61, 0.74])),
]
json.dump({
    "origin": {
        "script": "oracles/lines.py", "python": sys.version.split()[0],
        "numpy": np.__version__, "scipy": scipy.__version__, "statsmodels": statsmodels.__version__,
        "date": datetime.date.today().isoformat(), "level": LEVEL,
    },
    "cases": cases,
}, sys.stdout, indent=1)
