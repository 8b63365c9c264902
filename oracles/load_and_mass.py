"""Weekly monotony and strain of training load, and a line through body masses, by numpy and scipy.

Run:  python oracles/load_and_mass.py > testdata/golden/load_and_mass.json
"""
import datetime, json, sys
import numpy as np, scipy
from scipy import stats

def week(loads):
    loads = np.array(loads, float)
    monotony = loads.mean() / loads.std(ddof=1)
    return {"daily_loads": loads.tolist(), "load": loads.sum(), "monotony": monotony, "strain": loads.sum() * monotony}

def masses(kilograms, ahead, most):
    """OLS on the day; the line's share of the prediction error widened by sqrt((1+r)/(1-r)) for r > 0."""
    y = np.array(kilograms, float)
    x = np.arange(len(y), dtype=float)
    fit = stats.linregress(x, y)
    residuals = y - (fit.intercept + fit.slope * x)
    df = len(y) - 2
    s = np.sqrt((residuals ** 2).sum() / df)
    r = (residuals[:-1] * residuals[1:]).sum() / (residuals ** 2).sum()
    used = min(max(r, 0.0), 0.8)
    widening = np.sqrt((1 + used) / (1 - used))
    t = stats.t.ppf(0.95, df)
    reach = t * fit.stderr * widening
    per_week = lambda slope: 700 * slope / fit.intercept
    day = len(y) - 1 + ahead
    line_error = s * np.sqrt(1 / len(y) + (day - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum()) * widening
    error = np.hypot(line_error, s)
    predicted = fit.intercept + fit.slope * day
    return {
        "kilograms": y.tolist(), "ahead_days": ahead, "most_kg": most, "autocorrelation": r,
        "percent_a_week": per_week(fit.slope),
        "percent_a_week_90": [per_week(fit.slope - reach), per_week(fit.slope + reach)],
        "predicted_kg": predicted, "predicted_90_kg": [predicted - t * error, predicted + t * error],
        "chance_within": stats.t.cdf((most - predicted) / error, df),
    }

json.dump({
    "ORIGIN": f"oracles/load_and_mass.py, numpy {np.__version__}, scipy {scipy.__version__}, {datetime.date.today()}",
    "weeks": [week([400, 0, 600, 300, 500, 0, 700]), week([350, 420, 0, 600, 0, 510, 0])],
    "masses": [
        masses([78.4, 78.0, 78.1, 78.2, 77.8, 77.7, 77.9, 77.4, 77.5, 77.6, 77.2, 76.9, 77.1, 77.0], 14, 76.2036),
        # Runs of days that lie to one side: a positive autocorrelation.
        masses([80.2, 80.3, 80.3, 80.1, 79.8, 79.6, 79.5, 79.5, 79.6, 79.5, 79.2, 78.9], 20, 78.0),
    ],
}, sys.stdout, indent=1)
