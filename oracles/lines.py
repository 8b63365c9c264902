"""Least-squares lines, prediction and inverse prediction, by statsmodels and a root finder.

The inverse intervals are not computed by the closed form: scipy's brentq looks for the x at which
the t statistic of statsmodels' own prediction error equals the critical value.

Run:  python oracles/lines.py > testdata/golden/lines.json
"""
import datetime, json, sys
import numpy as np, scipy, statsmodels
import statsmodels.api as sm
from scipy import optimize, stats

LEVEL = 0.90
random = np.random.default_rng(20260923)

def case(name, x, y, targets):
    fit = sm.OLS(y, sm.add_constant(x)).fit()
    a, b = fit.params
    s2 = fit.mse_resid
    t = stats.t.ppf(1 - (1 - LEVEL) / 2, fit.df_resid)

    def inverse(target, sd, new):
        """Ends of the set of x with |a + b x - target| <= t se(x)."""
        def excess(x):
            row = np.array([1.0, x])
            variance = row @ fit.cov_params() @ row + sd ** 2 + (s2 / new if new else 0.0)
            return (a + b * x - target) ** 2 - t ** 2 * variance
        centre = (target - a) / b
        step = 1e-3 * abs(x[-1] - x[0])
        ends = []
        for sign in (-1, 1):
            far = step
            while excess(centre + sign * far) < 0:
                far *= 1.5
            ends.append(optimize.brentq(excess, centre, centre + sign * far, xtol=1e-12, rtol=1e-14))
        return sorted(ends)

    inverses = []
    for target in targets:
        for sd in (0.0, 0.03):
            for new in (0, 1, 3):
                low, high = inverse(target, sd, new)
                inverses.append({"y": target, "sd": sd, "new": new,
                                 "x": (target - a) / b, "low": low, "high": high})
    at = float(np.mean(x) + np.ptp(x))
    frame = fit.get_prediction([[1.0, at]]).summary_frame(alpha=1 - LEVEL)
    return {
        "name": name, "x": list(map(float, x)), "y": list(map(float, y)),
        "intercept": a, "slope": b, "residual_sd": float(np.sqrt(s2)),
        "intercept_se": fit.bse[0], "slope_se": fit.bse[1], "r_squared": fit.rsquared,
        "prediction": {"x": at, "y": float(frame["mean"].iloc[0]),
                       "line": [float(frame["mean_ci_lower"].iloc[0]), float(frame["mean_ci_upper"].iloc[0])],
                       "one": [float(frame["obs_ci_lower"].iloc[0]), float(frame["obs_ci_upper"].iloc[0])]},
        "inverse": inverses,
    }

bench = np.array([20.0, 40.0, 60.0, 80.0])
ladder = np.repeat([0.0, 20.0, 40.0, 60.0], 2)
spread = np.sort(random.uniform(20, 140, 11))
cases = [
    case("four loads", bench, np.array([1.30, 1.06, 0.79, 0.55]), [0.17, 0.30, 1.0]),
    case("falling heights", ladder,
         np.array([.381, .370, .322, .310, .259, .263, .199, .208]), [0.0, 0.2]),
    case("eleven scattered", spread, 1.5 - 0.009 * spread + random.normal(0, 0.04, 11), [0.3, 0.8]),
    case("rising", bench, np.array([0.2, 0.33, 0.61, 0.74]), [0.5]),
]
json.dump({
    "origin": {
        "script": "oracles/lines.py", "python": sys.version.split()[0],
        "numpy": np.__version__, "scipy": scipy.__version__, "statsmodels": statsmodels.__version__,
        "date": datetime.date.today().isoformat(), "level": LEVEL,
    },
    "cases": cases,
}, sys.stdout, indent=1)
