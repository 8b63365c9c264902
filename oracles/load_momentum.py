"""The load-momentum estimator a second time, by another road.

Nothing conjugate is used: take-off velocities given a fall are one multivariate Student's t, whose density
scipy evaluates; predictions are its conditionals; peaks and ends of bands are searched for; the
value of one more jump is a fine integral.

Run:  python oracles/load_momentum.py > testdata/golden/load_momentum.json
"""
import datetime, json, sys
import numpy as np, scipy
from scipy import optimize, stats

GRAVITY = 9.80665
LIMIT = 1.25
SHARES = np.linspace(.30, .95, 53)
STEP = SHARES[1] - SHARES[0]
KNEE_STEP = .025
FAMILIES = [("power", .15), ("square", .18), ("fourth", .12), ("exponential", .20),
            ("dome", .10), ("sigmoid", .10), ("knee", .15)]
HEIGHT, HEIGHT_SD, NOISE, SHAPE = .38, .07, .012, 3.
UNLOADED = np.sqrt(2 * GRAVITY * HEIGHT)
PER_METRE = UNLOADED / (2 * HEIGHT)
SPREAD, STRAY = HEIGHT_SD * PER_METRE, NOISE * PER_METRE
RATE = (SHAPE - 1) * STRAY ** 2


def variants(family):
    """Bends, widths, or places and turns of a knee, in the order of the program."""
    return {"power": [1.], "square": [2.], "fourth": [4.], "exponential": [1.], "dome": [1.5, 2.2],
            "sigmoid": [.06, .08, .10, .125, .155, .19, .23],
            "knee": [(.15 + KNEE_STEP * i, turn) for i in range(37) for turn in (.5, 1.8, 2.7, 4., 6.)]}[family]


def height_share(family, v, r, x):
    """Height at x body masses over unloaded height, of the fall that leaves r at half of one."""
    x = np.asarray(x, float)
    if family in ("power", "square", "fourth"):
        return np.clip(1 - 2 * x * (1 - r ** (1 / v)), 0, None) ** v
    if family in ("exponential", "dome"):
        return r ** ((2 * x) ** v)
    if family == "sigmoid":
        middle = optimize.brentq(lambda c: (1 + np.exp(-c / v)) / (1 + np.exp((.5 - c) / v)) - r, -9, 9, xtol=1e-15)
        return (1 + np.exp(-middle / v)) / (1 + np.exp((x - middle) / v))
    knee, turn = v
    bend = lambda at: np.minimum(at, knee) + turn * np.maximum(at - knee, 0)
    return np.clip(1 - (1 - r) * bend(x) / bend(.5), 0, None)


def peak(family, v, r):
    """Load of the peak in body masses, by search; a knee has a top on either side."""
    f = lambda x: -(1 + x) * np.sqrt(height_share(family, v, r, x))
    cuts = [0., v[0], LIMIT] if family == "knee" else [0., LIMIT]
    found = list(cuts)
    for low, high in zip(cuts, cuts[1:]):
        grid = np.linspace(low, high, 41)
        i = int(np.argmin(f(grid)))
        found.append(optimize.minimize_scalar(f, bounds=(grid[max(i - 1, 0)], grid[min(i + 1, 40)]),
                                              method="bounded", options={"xatol": 1e-11}).x)
    best = min(found, key=f)
    # The search creeps up to an end without reaching it.
    return next((c for c in cuts if abs(c - best) < 1e-7), best)


def lay_out():
    out = []
    for family, weight in FAMILIES:
        every = 2 if family == "knee" else 1
        for r in SHARES[::every]:
            for v in variants(family):
                at = peak(family, v, r)
                if family == "knee":
                    past = v[1] > 1 and v[0] > at + .05
                    if past or height_share(family, v, r, v[0]) < .10:
                        continue
                if family == "knee" and abs(at - v[0]) < 1e-9:
                    ends = [at - KNEE_STEP / 2, min(at + KNEE_STEP / 2, LIMIT)]
                else:
                    ends = [peak(family, v, r + s * every * STEP / 2) for s in (-1, 1)]
                ends = [at if abs(e - at) > .15 else e for e in ends]
                out.append((family, v, r, at, min(ends[0], at), max(ends[1], at)))
    return out


NODES = lay_out()
AT = np.array([n[3] for n in NODES])
OWN = np.array([n[2] for n in NODES])
PEAK_GAIN = np.array([(1 + n[3]) * np.sqrt(height_share(*n[:3], n[3])) for n in NODES])


def speed_share(x):
    return np.array([np.sqrt(height_share(*n[:3], x)) for n in NODES])


def solve(body_mass, jumps, prior_mean, prior_sd, level=.90):
    prior = np.zeros(len(NODES))
    for family, weight in FAMILIES:
        mine = np.array([n[0] == family for n in NODES])
        density = stats.t.pdf((OWN[mine] - prior_mean) / prior_sd, 3)
        prior[mine] = weight * density / density.sum()
    x = np.array([load for load, _ in jumps]) / body_mass
    y = np.sqrt(2 * GRAVITY * np.array([height for _, height in jumps]))
    S = speed_share(x)
    spread = (SPREAD / STRAY) ** 2
    cov = lambda s: RATE / SHAPE * (np.eye(len(s)) + spread * np.outer(s, s))
    logs = np.log(prior) + [stats.multivariate_t.logpdf(y, loc=UNLOADED * s, shape=cov(s), df=2 * SHAPE) for s in S]
    w = np.exp(logs - logs.max()); w /= w.sum()
    kg = body_mass * AT
    low, high = (body_mass * np.array([n[i] for n in NODES]) for i in (4, 5))
    gain = lambda load: (1 + load / body_mass) * speed_share(load / body_mass)
    loss = lambda load: float(w @ (1 - gain(load) / PEAK_GAIN))

    def peak_cdf(load):
        width = high - low
        inside = np.clip((load - low) / np.where(width > 0, width, 1), 0, 1)
        return float(w @ np.where(width > 0, inside, load >= kg))

    df = 2 * SHAPE + len(y)

    def conditional(new, noise):
        """Location and scale, by fall, of a velocity whose share of the unloaded one is `new`."""
        out = []
        for s, u in zip(S, new):
            K = cov(s)
            K12 = RATE / SHAPE * spread * u * s
            K22 = RATE / SHAPE * (noise + spread * u * u)
            solved = np.linalg.solve(K, y - UNLOADED * s)
            stretch = (2 * SHAPE + (y - UNLOADED * s) @ solved) / df
            out.append((UNLOADED * u + K12 @ solved,
                        np.sqrt(max(stretch * (K22 - K12 @ np.linalg.solve(K, K12)), 1e-30))))
        return np.array(out).T

    def estimate(new, noise):
        loc, scale = conditional(new, noise)
        mean = float(w @ loc)
        sd = np.sqrt(w @ (scale ** 2 * df / (df - 2) + (loc - mean) ** 2))
        cdf = lambda v: float(w @ stats.t.cdf((v - loc) / scale, df))
        ends = [optimize.brentq(lambda v: cdf(v) - p, mean - 40 * sd, mean + 40 * sd, xtol=1e-13)
                for p in ((1 - level) / 2, (1 + level) / 2)]
        return {"mean": mean, "sd": float(sd), "low": min(ends[0], mean), "high": max(ends[1], mean)}

    heights = lambda e: {k: max(e[k], 0) ** 2 / (2 * GRAVITY) for k in ("mean", "low", "high")}

    def sd_after(load):
        loc, scale = conditional(speed_share(load / body_mass), 1.)
        e = estimate(speed_share(load / body_mass), 1.)
        grid = np.linspace(e["mean"] - 12 * e["sd"], e["mean"] + 12 * e["sd"], 3001)
        f = w[:, None] * stats.t.pdf((grid - loc[:, None]) / scale[:, None], df) / scale[:, None]
        total = f.sum(0)
        variance = (kg ** 2) @ f / total - (kg @ f / total) ** 2
        return float(np.sqrt((total * variance).sum() / total.sum()))

    mean_kg = float(w @ kg)
    grid = np.arange(0, 101) / 100 * LIMIT * body_mass
    losses = [loss(g) for g in grid]
    least = grid[int(np.argmin(losses))]

    def band(fraction):
        if min(losses) >= fraction:
            return None
        f = lambda load: loss(load) - fraction
        top = LIMIT * body_mass
        return [0. if f(0) < 0 else optimize.brentq(f, 0, least, xtol=1e-9),
                top if f(top) < 0 else optimize.brentq(f, least, top, xtol=1e-9)]

    inside = lambda p: optimize.brentq(lambda load: peak_cdf(load) - p, 0, LIMIT * body_mass, xtol=1e-9) \
        if peak_cdf(0.) < p < peak_cdf(LIMIT * body_mass - 1e-9) else (0. if peak_cdf(0.) >= p else LIMIT * body_mass)
    half = .5 * body_mass
    at_half = speed_share(.5)
    at_peak = estimate(PEAK_GAIN, 0.)
    return {
        "families": [float(sum(w[i] for i, n in enumerate(NODES) if n[0] == family)) for family, _ in FAMILIES],
        "peak_kg": mean_kg, "peak_sd_kg": float(np.sqrt(w @ (kg - mean_kg) ** 2)),
        "peak_low_kg": inside((1 - level) / 2), "peak_high_kg": inside((1 + level) / 2),
        "share_at_half": float(w @ OWN),
        "unloaded_height_m": heights(estimate(np.ones(len(NODES)), 0.))["mean"],
        "height_at_peak_m": heights(estimate(speed_share(mean_kg / body_mass), 0.))["mean"],
        "loss_at_half": loss(half), "least_loss_kg": float(least),
        "chance_1_percent_at_half": float(w @ (1 - gain(half) / PEAK_GAIN > .01)),
        "band_1_percent_kg": band(.01), "band_2_percent_kg": band(.02),
        "mean_height_at_half": heights(estimate(at_half, 0.)), "next_height_at_half": heights(estimate(at_half, 1.)),
        "momentum_at_peak": [body_mass * at_peak[k] for k in ("mean", "low", "high")],
        "sd_after_one_at_half_kg": sd_after(half), "sd_after_one_at_body_mass_kg": sd_after(body_mass),
    }


random = np.random.default_rng(20261201)
cases = []
for number in range(12):
    body_mass = float(np.round(random.uniform(48, 120), 1))
    hexagonal = number % 3 == 2
    prior_mean, prior_sd = (.62, .09) if hexagonal else (.57, .08)
    family, v = [("power", 1.), ("square", 2.), ("fourth", 4.), ("exponential", 1.),
                 ("sigmoid", .14), ("knee", (.45, 3.))][number % 6]
    r, h0 = random.normal(.60, .06), random.normal(.38, .06)
    count = int(random.integers(1, 10))
    loads = [0.] + [float(v) for v in np.round(random.uniform(0, 1.0, count) * body_mass / 2.5) * 2.5]
    heights = [float(np.round(max(h0 * float(height_share(family, v, r, load / body_mass)) + random.normal(0, .012), .03), 3)) for load in loads]
    jumps = list(zip(loads, heights))
    cases.append({"body_mass_kg": body_mass, "hex_bar": hexagonal, "loads_kg": loads, "heights_m": heights,
                  **solve(body_mass, jumps, prior_mean, prior_sd)})

json.dump({
    "origin": {"script": "oracles/load_momentum.py", "python": sys.version.split()[0],
               "numpy": np.__version__, "scipy": scipy.__version__,
               "date": datetime.date.today().isoformat()},
    "cases": cases,
}, sys.stdout, indent=0)
