"""The load-momentum estimator a second time, by another road.

Nothing conjugate is used: the jumps given a fall are one multivariate Student's t, whose density
scipy evaluates; predictions are its conditionals; peaks and ends of bands are searched for; the
value of one more jump is a fine integral.

Run:  python oracles/load_momentum.py > testdata/golden/load_momentum.json
"""
import datetime, json, sys
import numpy as np, scipy
from scipy import optimize, stats

GRAVITY = 9.80665
FAMILIES = [(1, .15), (2, .25), (4, .30), (np.inf, .30)]
GRID = np.linspace(.30, .85, 45)
STEP = GRID[1] - GRID[0]
LIMIT = 1.25
MU0, SD0, NOISE, A0 = .38, .07, .012, 4.
KAPPA, B0 = (SD0 / NOISE) ** 2, (A0 - 1) * NOISE ** 2


def share(n, r, x):
    """Height at x body masses over unloaded height."""
    if np.isinf(n):
        return r ** (2 * np.asarray(x, float))
    return np.clip(1 - 2 * np.asarray(x, float) * (1 - r ** (1 / n)), 0, None) ** n


def peak(n, r):
    """Load of the peak in body masses, by search."""
    top = LIMIT if np.isinf(n) else min(LIMIT, .5 / (1 - r ** (1 / n)))
    f = lambda x: -(np.log1p(x) + .5 * np.log(share(n, r, x)))
    found = optimize.minimize_scalar(f, bounds=(0, top * (1 - 1e-12)), method="bounded",
                                     options={"xatol": 1e-11}).x
    return min((0., found, LIMIT), key=lambda x: f(x) if share(n, r, x) > 0 else np.inf)


def solve(body_mass, jumps, prior_mean, prior_sd, level=.90):
    nodes = [(n, r) for n, _ in FAMILIES for r in GRID]
    density = stats.norm.pdf(GRID, prior_mean, prior_sd)
    prior = np.concatenate([w * density / density.sum() for _, w in FAMILIES])
    x = np.array([load for load, _ in jumps]) / body_mass
    y = np.array([height for _, height in jumps])
    S = np.array([share(n, r, x) for n, r in nodes])
    cov = lambda s: B0 / A0 * (np.eye(len(s)) + KAPPA * np.outer(s, s))
    logs = np.log(prior) + [stats.multivariate_t.logpdf(y, loc=MU0 * s, shape=cov(s), df=2 * A0) for s in S]
    w = np.exp(logs - logs.max()); w /= w.sum()
    kg = body_mass * np.array([peak(n, r) for n, r in nodes])
    low = body_mass * np.array([peak(n, r - STEP / 2) for n, r in nodes])
    high = body_mass * np.array([peak(n, r + STEP / 2) for n, r in nodes])
    gain = lambda load: (1 + load / body_mass) * np.sqrt([float(share(n, r, load / body_mass)) for n, r in nodes])
    best = np.array([(1 + k / body_mass) * np.sqrt(float(share(n, r, k / body_mass))) for (n, r), k in zip(nodes, kg)])
    loss = lambda load: float(w @ (1 - gain(load) / best))

    def peak_cdf(load):
        width = high - low
        inside = np.clip((load - low) / np.where(width > 0, width, 1), 0, 1)
        return float(w @ np.where(width > 0, inside, load >= kg))

    def conditional(load, noise):
        """Location and scale, by fall, of a height at a load given the jumps; df 2 a0 + N."""
        out = []
        for (n, r), s in zip(nodes, S):
            new = float(share(n, r, load / body_mass))
            K = cov(s)
            K12 = B0 / A0 * KAPPA * new * s
            K22 = B0 / A0 * (noise + KAPPA * new * new)
            solved = np.linalg.solve(K, y - MU0 * s)
            loc = MU0 * new + K12 @ solved
            stretch = (2 * A0 + (y - MU0 * s) @ solved) / (2 * A0 + len(y))
            out.append((loc, np.sqrt(stretch * (K22 - K12 @ np.linalg.solve(K, K12)))))
        return np.array(out).T

    df = 2 * A0 + len(y)

    def estimate(load, noise):
        loc, scale = conditional(load, noise)
        mean = float(w @ loc)
        sd = np.sqrt(w @ (scale ** 2 * df / (df - 2) + (loc - mean) ** 2))
        cdf = lambda h: float(w @ stats.t.cdf((h - loc) / scale, df))
        ends = [optimize.brentq(lambda h: cdf(h) - p, mean - 12 * sd, mean + 12 * sd, xtol=1e-13)
                for p in ((1 - level) / 2, (1 + level) / 2)]
        return {"mean": mean, "sd": float(sd), "low": ends[0], "high": ends[1]}

    def sd_after(load):
        loc, scale = conditional(load, 1.)
        e = estimate(load, 1.)
        grid = np.linspace(e["mean"] - 12 * e["sd"], e["mean"] + 12 * e["sd"], 6001)
        f = w[:, None] * stats.t.pdf((grid - loc[:, None]) / scale[:, None], df) / scale[:, None]
        total = f.sum(0)
        variance = (kg ** 2) @ f / total - (kg @ f / total) ** 2
        return float(np.sqrt((total * variance).sum() / total.sum()))

    mean_kg = float(w @ kg)
    height = lambda load: float(w @ conditional(load, 0.)[0])
    grid = np.arange(0, 101) / 100 * LIMIT * body_mass
    least = grid[np.argmin([loss(g) for g in grid])]

    def band(fraction):
        if loss(least) >= fraction:
            return None
        f = lambda load: loss(load) - fraction
        top = LIMIT * body_mass
        return [0. if f(0) < 0 else optimize.brentq(f, 0, least, xtol=1e-9),
                top if f(top) < 0 else optimize.brentq(f, least, top, xtol=1e-9)]

    inside = lambda p: optimize.brentq(lambda load: peak_cdf(load) - p, 0, LIMIT * body_mass, xtol=1e-9) \
        if peak_cdf(0.) < p < peak_cdf(LIMIT * body_mass - 1e-9) else (0. if peak_cdf(0.) >= p else LIMIT * body_mass)
    half = .5 * body_mass
    return {
        "families": [float(w[i * 45:(i + 1) * 45].sum()) for i in range(4)],
        "peak_kg": mean_kg, "peak_sd_kg": float(np.sqrt(w @ (kg - mean_kg) ** 2)),
        "peak_low_kg": inside((1 - level) / 2), "peak_high_kg": inside((1 + level) / 2),
        "share_at_half": float(w @ np.array([r for _, r in nodes])),
        "unloaded_height_m": height(0.), "height_at_peak_m": height(mean_kg),
        "loss_at_half": loss(half),
        "chance_1_percent_at_half": float(w @ (1 - gain(half) / best > .01)),
        "band_1_percent_kg": band(.01), "band_2_percent_kg": band(.02),
        "mean_height_at_half": estimate(half, 0.), "next_height_at_half": estimate(half, 1.),
        "momentum_at_peak": [(body_mass + mean_kg) * np.sqrt(2 * GRAVITY * h)
                             for h in (lambda e: (e["mean"], e["low"], e["high"]))(estimate(mean_kg, 0.))],
        "sd_after_one_at_half_kg": sd_after(half), "sd_after_one_at_body_mass_kg": sd_after(body_mass),
    }


random = np.random.default_rng(20260924)
cases = []
for number in range(12):
    body_mass = float(np.round(random.uniform(48, 120), 1))
    hexagonal = number % 3 == 2
    prior_mean, prior_sd = (.62, .09) if hexagonal else (.57, .08)
    n = [1, 2, 4, np.inf][number % 4]
    r, h0 = random.normal(.58, .06), random.normal(.38, .06)
    count = int(random.integers(1, 10))
    loads = [0.] + [float(v) for v in np.round(random.uniform(0, 1.0, count) * body_mass / 2.5) * 2.5]
    heights = [float(np.round(max(h0 * share(n, r, load / body_mass) + random.normal(0, .012), .03), 3)) for load in loads]
    jumps = list(zip(loads, heights))
    cases.append({"body_mass_kg": body_mass, "hex_bar": hexagonal, "loads_kg": loads, "heights_m": heights,
                  **solve(body_mass, jumps, prior_mean, prior_sd)})

json.dump({
    "origin": {"script": "oracles/load_momentum.py", "python": sys.version.split()[0],
               "numpy": np.__version__, "scipy": scipy.__version__,
               "date": datetime.date.today().isoformat()},
    "cases": cases,
}, sys.stdout, indent=0)
