"""Times statsmodels MixedLM on lines like those of crates/core/benches/mixed_line.rs.

Run:  python oracles/time_mixed_line.py
"""
import time, warnings
import numpy as np, pandas as pd, statsmodels, statsmodels.formula.api as smf

warnings.simplefilter("ignore")
rng = np.random.default_rng(20261125)
print("statsmodels", statsmodels.__version__)
for athletes in (10, 1000):
    g = np.repeat(np.arange(athletes), 5)
    x = np.tile([20.0, 35.0, 50.0, 65.0, 80.0], athletes)
    a, b = 1.70 + 0.14 * rng.normal(size=athletes), -0.0100 + 0.0016 * rng.normal(size=athletes)
    frame = pd.DataFrame({"g": g, "x": x, "y": a[g] + b[g] * x + 0.06 * rng.normal(size=len(g))})
    start = time.perf_counter()
    fit = smf.mixedlm("y ~ x", frame, groups=frame["g"], re_formula="~x").fit(reml=True)
    print(f"{athletes} athletes: {1000 * (time.perf_counter() - start):.0f} ms, converged {fit.converged}")
