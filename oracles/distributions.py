"""Quantiles and probabilities of the four distributions, by scipy.stats.

Run:  python oracles/distributions.py > testdata/golden/distributions.json
"""
import datetime, json, sys
import scipy
from scipy import stats

PROBABILITIES = [0.001, 0.025, 0.05, 0.2, 0.5, 0.7, 0.9, 0.95, 0.975, 0.999]
DEGREES = [1, 2, 3, 5, 8, 13, 30, 119, 1000]

rows = []
for p in PROBABILITIES:
    rows.append(["normal", p, [], stats.norm.ppf(p)])
    for n in DEGREES:
        rows.append(["student_t", p, [n], stats.t.ppf(p, n)])
        rows.append(["chi_square", p, [n], stats.chi2.ppf(p, n)])
        for m in (2, 7, 40):
            rows.append(["f", p, [n, m], stats.f.ppf(p, n, m)])
densities = [[t, n, stats.t.pdf(t, n)] for t in (-3.0, 0.0, 0.7, 5.0) for n in (2, 8, 30)]

json.dump({
    "origin": {
        "script": "oracles/distributions.py",
        "python": sys.version.split()[0], "scipy": scipy.__version__,
        "date": datetime.date.today().isoformat(),
    },
    "columns": ["distribution", "probability", "degrees_of_freedom", "quantile"],
    "quantiles": [[d, p, df, float(q)] for d, p, df, q in rows],
    "student_t_density": [[t, n, float(d)] for t, n, d in densities],
}, sys.stdout, indent=0)
