"""Lines drawn from one population, by statsmodels and by brute force.

Run:  python oracles/mixed_line.py > testdata/golden/mixed_line.json
Run in the root of the repository; reads testdata/open/sleepstudy.csv. Takes a few minutes.
`lme4` holds the estimates of R 4.2, lme4 1.1-31, lmer(Reaction ~ Days + (Days | Subject)), REML,
copied from its printed summary, as that program is not at hand here.
"""
import datetime, itertools, json, sys, warnings
import numpy as np, pandas as pd, scipy, statsmodels
import statsmodels.formula.api as smf
from scipy import stats

warnings.simplefilter("ignore")


def mixed(frame, formula):
    model = smf.mixedlm(formula, frame, groups=frame["g"], re_formula="~x")
    fit = model.fit(reml=True, method=["lbfgs", "bfgs"], gtol=1e-10)
    cov = fit.cov_re.to_numpy()
    # Generalised least squares at the fitted variances; its own come from the curvature of the
    # whole likelihood and differ by some per cent in small samples.
    information = 0.0
    for group in model.group_labels:
        rows = model.row_indices[group]
        X, Z = model.exog[rows], model.exog_re[rows]
        information = information + X.T @ np.linalg.inv(Z @ cov @ Z.T + fit.scale * np.eye(len(X))) @ X
    standard_errors = np.sqrt(np.diag(np.linalg.inv(information)))
    return {
        "effects": fit.fe_params.tolist(), "standard_errors": standard_errors.tolist(),
        "between": [cov[0, 0], cov[0, 1], cov[1, 1]], "residual_variance": fit.scale,
        "criterion": -2 * fit.llf,
        "modes": [fit.random_effects[g].tolist() for g in sorted(fit.random_effects)[:3]],
    }


def sleepstudy():
    frame = pd.read_csv("testdata/open/sleepstudy.csv").rename(
        columns={"Subject": "g", "Days": "x", "Reaction": "y"})
    return mixed(frame, "y ~ x")


def uneven_squad(seed=20261125):
    """Two kinds of people, one to six loads each; kept with its data."""
    rng = np.random.default_rng(seed)
    rows = []
    for g in range(30):
        kind = 0.5 if g % 3 else -0.5
        u = rng.multivariate_normal([0, 0], [[0.03, -0.0006], [-0.0006, 0.00002]])
        for x in rng.choice([0, 20, 30, 40, 60, 80], size=rng.integers(1, 7), replace=False):
            y = 2.7 + 0.4 * kind + u[0] + (-0.018 + u[1]) * x + rng.normal(0, 0.06)
            rows.append([g, kind, float(x), round(float(y), 4)])
    frame = pd.DataFrame(rows, columns=["g", "kind", "x", "y"])
    return {"rows": rows, **mixed(frame, "y ~ x + kind")}


def small_squad(seed=7):
    """Six people, three loads, one more with two: the whole posterior on a grid of parameters.

    Marginal likelihood from the dense covariance of each person's values, fixed effects integrated
    out; priors as documented in the program. Answers: the height of person 0's line at 40 and of a
    newcomer's after (0, 2.9), (40, 2.0); where each falls to 1.5.
    """
    rng = np.random.default_rng(seed)
    people = []
    for _ in range(6):
        a, b = rng.multivariate_normal([2.7, -0.018], [[0.04, -0.0002], [-0.0002, 0.000009]])
        people.append([(x, round(float(a + b * x + rng.normal(0, 0.05)), 3)) for x in (0.0, 30.0, 60.0)])
    own = [(0.0, 2.9), (40.0, 2.0)]
    x = np.array([p[0] for person in people for p in person])
    y = np.array([p[1] for person in people for p in person])
    cx, sx, cy, sy = x.mean(), x.std(), y.mean(), y.std()
    std = lambda pts: (np.array([(p[0] - cx) / sx for p in pts]), np.array([(p[1] - cy) / sy for p in pts]))
    data = [std(p) for p in people]
    # Scales of the priors.
    means = np.array([v.mean() for _, v in data])
    gxx = sum(((t - t.mean()) ** 2).sum() for t, _ in data)
    gxy = sum(((t - t.mean()) * v).sum() for t, v in data)
    left = sum(((v - np.polyval(np.polyfit(t, v, 1), t)) ** 2).sum() for t, v in data)
    scale_a, scale_b = max(0.1, 2 * means.std()), max(0.1, 0.5 * abs(gxy / gxx))
    scale_s = 2 * np.sqrt(left / 6)
    axis = lambda centre, low, high, n: np.linspace(np.log(centre) + low, np.log(centre) + high, n)
    grid = np.array(list(itertools.product(
        axis(scale_a, -4.0, 2.0, 28), axis(scale_b, -6.0, 2.0, 28), np.linspace(-2.8, 2.8, 17),
        axis(scale_s, -2.2, 1.0, 21))))
    sd_a, sd_b, rho, s = np.exp(grid[:, 0]), np.exp(grid[:, 1]), np.tanh(grid[:, 2]), np.exp(grid[:, 3])
    half_t = lambda sd, scale: np.log(sd) - 2 * np.log(1 + (sd / scale) ** 2 / 3)
    logp = half_t(sd_a, scale_a) + half_t(sd_b, scale_b) + half_t(s, scale_s) + 2 * np.log(1 - rho ** 2)
    G = np.empty((len(grid), 2, 2))
    G[:, 0, 0], G[:, 1, 1] = sd_a ** 2, sd_b ** 2
    G[:, 0, 1] = G[:, 1, 0] = rho * sd_a * sd_b

    def evidence(sets, logp):
        """log posterior and, for each grid point, mean and covariance of the fixed effects."""
        A = np.zeros((len(grid), 2, 2)); c = np.zeros((len(grid), 2)); q = np.zeros(len(grid)); ld = np.zeros(len(grid))
        for t, v in sets:
            Z = np.column_stack([np.ones_like(t), t])
            V = Z @ G @ Z.T + (s ** 2)[:, None, None] * np.eye(len(t))
            W = np.linalg.inv(V)
            A += Z.T @ W @ Z; c += (Z.T @ W @ v); q += np.einsum("i,nij,j->n", v, W, v)
            ld += np.linalg.slogdet(V)[1]
        C = np.linalg.inv(A)
        beta = np.einsum("nij,nj->ni", C, c)
        lp = logp - 0.5 * (ld + np.linalg.slogdet(A)[1] + q - np.einsum("ni,ni->n", c, beta))
        return lp, beta, C

    def line(sets, mine):
        """Weights, means and covariances of the line of a set in `sets`, by augmenting it."""
        lp, beta, C = evidence(sets, logp)
        w = np.exp(lp - lp.max()); w /= w.sum()
        t, v = mine
        others = [d for d in sets if d is not mine]
        _, b0, C0 = evidence(others, logp)
        P0 = np.linalg.inv(G + C0)
        Z = np.column_stack([np.ones_like(t), t])
        cov = np.linalg.inv(P0 + Z.T @ Z / (s ** 2)[:, None, None])
        mean = np.einsum("nij,nj->ni", cov, np.einsum("nij,nj->ni", P0, b0) + (Z.T @ v)[None] / (s ** 2)[:, None])
        return w, mean, cov

    def answers(w, mean, cov):
        h = np.array([1.0, (40.0 - cx) / sx])
        m = cy + sy * mean @ h
        sd = sy * np.sqrt(np.einsum("i,nij,j->n", h, cov, h))
        grid_y = np.linspace(1.0, 3.0, 4001)
        cdf = np.array([(w * stats.norm.cdf((g - m) / sd)).sum() for g in grid_y])
        def reached(r):
            h = np.array([1.0, (r - cx) / sx])
            m = cy + sy * mean @ h
            sd = sy * np.sqrt(np.einsum("i,nij,j->n", h, cov, h))
            return (w * stats.norm.cdf((1.5 - m) / sd)).sum()
        rs = np.linspace(20, 150, 521)
        cr = np.array([reached(r) for r in rs])
        inv = lambda c, g: [float(np.interp(p, c, g)) for p in (0.05, 0.5, 0.95)]
        return {"height_at_40": inv(cdf, grid_y), "falls_to_1_5": inv(cr, rs)}

    mine = std(own)
    return {"people": people, "own": own, "member_0": answers(*line(data, data[0])),
            "newcomer": answers(*line(data + [mine], mine))}


json.dump({
    "origin": {
        "script": "oracles/mixed_line.py", "python": sys.version.split()[0],
        "numpy": np.__version__, "scipy": scipy.__version__,
        "statsmodels": statsmodels.__version__, "date": datetime.date.today().isoformat(),
    },
    "lme4": {
        "effects": [251.4051048485, 10.4672859596], "standard_errors": [6.82459670, 1.54578964],
        "effects_covariance": -1.45108842,
        "between_variances": [612.10015802, 35.07171445], "correlation": 0.06555124,
        "residual_variance": 654.94000826, "criterion": 1743.62827196,
        "modes": {"308": [2.25855, 9.19898], "309": [-40.3987, -8.6197], "330": [23.6906, -4.8143],
                  "335": [-0.33367, -10.75217]},
        "mode_308_conditional": [145.70559, -21.44450, 5.31228],
    },
    "sleepstudy": sleepstudy(), "uneven_squad": uneven_squad(), "small_squad": small_squad(),
}, sys.stdout, indent=1)
