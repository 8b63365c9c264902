"""Times statsmodels MixedLM on the squads that the program was timed on.

Run:  cargo run --release -p cornerwork-testkit --bin inference_speed -- FOLDER
      python oracles/time_mixed_line.py FOLDER [SIZE ...]
Prints wall and processor seconds of the fit alone, and the estimates. Loads are taken about 50 kg in
steps of 20 kg, without which MixedLM does not converge on these data, and the estimates put back.
"""
import sys, time, warnings
import numpy as np, pandas as pd, statsmodels, statsmodels.formula.api as smf

warnings.simplefilter("ignore")
folder, sizes = sys.argv[1], sys.argv[2:] or ["10", "100", "1000"]
print("statsmodels", statsmodels.__version__)
for size in sizes:
    frame = pd.read_csv(f"{folder}/squad_{size}.csv")
    frame["z"] = (frame["x"] - 50) / 20
    model = smf.mixedlm("y ~ z", frame, groups=frame["g"], re_formula="~z")
    wall, processor = time.perf_counter(), time.process_time()
    fit = model.fit(reml=True, method=["bfgs", "lbfgs"])
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    back = np.array([[1, -50 / 20], [0, 1 / 20]])
    line = back @ fit.fe_params.to_numpy()
    cov = back @ fit.cov_re.to_numpy() @ back.T
    print(
        f"| {size} | {wall:.4f} | {processor:.4f} | {line[0]:.8e} {line[1]:.8e} | "
        f"{cov[0, 0]:.6e} {cov[0, 1]:.6e} {cov[1, 1]:.6e} | {fit.scale:.7e} | {-2 * fit.llf + 2 * np.log(20):.6f} | converged {fit.converged}",
        flush=True,
    )
