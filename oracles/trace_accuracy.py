"""Second implementation of every kind of trial, in numpy and scipy.

    cargo run --release -p cornerwork-core --example trace_accuracy -- KIND COUNT DIRECTORY
    python oracles/trace_accuracy.py KIND DIRECTORY [GOLDEN.csv]

Reads the samples the example wrote, computes the metrics from the published rules with arrays, and
prints quantiles of the differences: Rust against this, and both against the closed forms. For
jumps from standing it also splits the error of height from impulse into its causes. With a third
argument, writes its own numbers of the first trials there.
"""

import csv
import datetime
import platform
import sys

import numpy as np
import scipy
from scipy.integrate import cumulative_trapezoid, trapezoid
from scipy.signal import butter, filtfilt

G = 9.80665
GOLDEN_TRIALS = {"countermovement-jump": 200}
FEW_GOLDEN_TRIALS = 60


def held(mask, hold):
    """First index of the first run of at least `hold` true values."""
    runs = np.convolve(mask.astype(int), np.ones(hold, int), "valid")
    found = np.flatnonzero(runs == hold)
    return int(found[0]) if len(found) else None


def cross(x, i, level):
    """Fractional index between i and i + 1 at which x passes level."""
    return i + (level - x[i]) / (x[i + 1] - x[i])


def at(x, p):
    return float(np.interp(p, np.arange(len(x)), x))


def area(x, a, b, dt):
    """Trapezoid area between fractional indices, ends interpolated."""
    inner = np.arange(int(np.floor(a)) + 1, int(np.ceil(b)))
    p = np.concatenate(([a], inner, [b]))
    return trapezoid(np.interp(p, np.arange(len(x)), x), p * dt)


def spans(mask, shortest):
    edges = np.flatnonzero(np.diff(np.concatenate(([0], mask.astype(int), [0]))))
    return [(s, e) for s, e in zip(edges[::2], edges[1::2]) if e - s >= shortest]


def light(f, dt, shortest):
    """Stretches under 20 N; more force for under 30 ms does not end one."""
    merged = []
    for a, b in spans(f < 20.0, 1):
        if merged and a - merged[-1][1] < round(0.030 / dt):
            merged[-1] = (merged[-1][0], b)
        else:
            merged.append((a, b))
    return [(a, b) for a, b in merged if b - a >= shortest]


def empty_level(unloaded):
    q = len(unloaded) // 4
    middle = unloaded[q : len(unloaded) - q]
    assert abs(np.median(middle)) <= 5.0
    return middle.mean() + max(5 * middle.std(ddof=1), 5.0)


def flights(f, dt):
    """(take-off, landing) of every flight as fractional indices."""
    hold = round(0.003 / dt)
    found = []
    for a, b in light(f, dt, round(0.10 / dt)):
        if a == 0 or b == len(f) or b - a > round(1.0 / dt):
            continue
        level, mid = empty_level(f[a:b]), a + (b - a) // 2
        back = held((f[:mid] >= level)[::-1], hold)
        found.append((cross(f, mid - 1 - back, level),
                      cross(f, mid + held(f[mid:] >= level, hold) - 1, level)))
    return found


def weigh(f, start, end, dt, low=200.0, high=np.inf):
    """Latest of the quietest seconds: its first sample, mean and spread."""
    x, n = f[start:end] - f[start:end].mean(), round(1.0 / dt)
    c1, c2 = (np.concatenate(([0.0], np.cumsum(y))) for y in (x, x * x))
    s1, s2 = c1[n:] - c1[:-n], c2[n:] - c2[:-n]
    sd = np.sqrt(np.maximum(s2 - s1 * s1 / n, 0.0) / (n - 1))
    mean = s1 / n + f[start:end].mean()
    keep = np.flatnonzero((mean >= low) & (mean <= high))
    w0 = start + int(keep[sd[keep] <= 1.01 * sd[keep].min() + 1e-3][-1])
    window = f[w0 : w0 + n]
    return w0, window.mean(), window.std(ddof=1)


def motion(f, start, weight, dt):
    """Velocity and displacement from rest at a sample on."""
    v, y = np.zeros_like(f), np.zeros_like(f)
    v[start:] = cumulative_trapezoid(G * (f[start:] / weight - 1.0), dx=dt, initial=0)
    y[start:] = cumulative_trapezoid(v[start:], dx=dt, initial=0)
    return v, y


# Sway: Matern 5/2 for the height of the centre of mass, by its rate, and sizes over the weight.
RATE, SIZES, PARTS = 2.4, (0.0, 0.0002, 0.0006, 0.002, 0.006), 16


def velocity_covariance(t):
    x = RATE * np.abs(t)
    return (G / RATE) ** 2 / 3 * (1 + x - x * x) * np.exp(-x)


def stance(x, dt, at_end):
    """Weight, velocity at an edge, covariance of relative weight and velocity, and noise."""
    size = len(x) // PARTS
    x = x[len(x) - PARTS * size :] if at_end else x[: PARTS * size][::-1]
    parts = x.reshape(PARTS, size)
    middle, inside, part = parts.mean(), parts.var(axis=1, ddof=1).mean(), size * dt
    y = parts.mean(axis=1) / middle - 1
    noise = max(inside / size / middle**2, 1e-14)
    # Each part's mean is a difference of velocities over g times its length.
    ends = -part * (PARTS - np.arange(PARTS + 1))
    among = velocity_covariance(ends[:, None] - ends[None, :])
    d = np.diff(np.eye(PARTS + 1), axis=0) / (G * part)
    apart, leads = d @ among @ d.T, d @ velocity_covariance(ends)
    fits = []
    for s in SIZES:
        inverse = np.linalg.inv(s * s * apart + noise * np.eye(PARTS))
        one = np.ones(PARTS)
        information = one @ inverse @ one
        w = one @ inverse @ y / information
        r, c = y - w, s * s * leads
        _, log_determinant = np.linalg.slogdet(s * s * apart + noise * np.eye(PARTS))
        evidence = -0.5 * (log_determinant + np.log(information) + r @ inverse @ r)
        lean = c @ inverse @ one
        fits.append((evidence, w, c @ inverse @ r, np.array([
            [1 / information, -lean / information],
            [-lean / information,
             s * s * velocity_covariance(0) - c @ inverse @ c + lean**2 / information]])))
    share = np.exp([f[0] - max(f[0] for f in fits) for f in fits])
    share /= share.sum()
    mean = sum(p * np.array(f[1:3]) for p, f in zip(share, fits))
    doubt = sum(p * (f[3] + np.outer(f[1:3] - mean, f[1:3] - mean)) for p, f in zip(share, fits))
    turn = np.diag([1.0, 1.0 if at_end else -1.0])
    return middle * (1 + mean[0]), turn[1, 1] * mean[1], turn @ doubt @ turn, np.sqrt(inside)


def around(f, first, end, weight, low, high, dt):
    """A quiet stretch taken on, then back, in tenths of a second within 1 % of its weight."""
    step, longest = round(0.1 / dt), round(4.0 / dt)
    near = lambda a: abs(f[a : a + step].mean() - weight) <= 0.01 * weight
    while end + step <= high and end + step - first <= longest and near(end):
        end += step
    while first >= low + step and end + step - first <= longest and near(first - step):
        first -= step
    return first, end


def release_s(f, take_off, landing, dt):
    """Seconds from the threshold until a line through the last 8 ms reaches the empty plate."""
    a, b = int(np.ceil(take_off)), int(landing)
    quarter = (b - a) // 4
    i = np.arange(int(take_off) + 1 - max(round(0.008 / dt), 4), int(take_off) + 1)
    slope, level = np.polyfit(i - i.mean(), f[i], 1)
    left = (f[a + quarter : b - quarter].mean() - level) / slope - (take_off - i.mean())
    return left * dt if slope < 0 and 0 <= left * dt <= 0.010 else 0.0


def again(f, v, landing, weight, dt):
    """The standing after a landing."""
    first, last = int(np.ceil(landing)), min(int(landing + 1.0 / dt), len(f) - 1)
    highest = v[first : last + 1].max()
    level = 0.0 if highest >= 0 else highest - 0.001
    up = int(landing) + 1 + int(np.argmax(v[int(landing) + 1 : last + 1] >= level))
    start = int(np.ceil(cross(v, up - 1, level)))
    n = round(0.5 / dt)
    x = f[start:] - weight
    c1, c2 = (np.concatenate(([0.0], np.cumsum(y))) for y in (x, x * x))
    s1, s2 = c1[n:] - c1[:-n], c2[n:] - c2[:-n]
    sd = np.sqrt(np.maximum(s2 - s1 * s1 / n, 0.0) / (n - 1))
    keep = np.flatnonzero(np.abs(s1 / n) <= 0.1 * weight)
    q = start + int(keep[sd[keep] <= 1.01 * sd[keep].min() + 1e-3][-1])
    return around(f, q, q + n, f[q : q + n].mean(), start, len(f), dt)


def standing_start(f, dt):
    take_off, landing = flights(f, dt)[0]
    w0, quiet, noise = weigh(f, 0, int(take_off) + 1, dt)
    after = w0 + round(1.0 / dt)
    moved = np.abs(f[after : int(take_off) + 1] - quiet) > max(5 * noise, 5.0)
    onset = max(after + held(moved, round(0.010 / dt)) - round(0.030 / dt), 0)
    low = min(max(onset - round(4.0 / dt), 0), w0)
    first = around(f, w0, onset, quiet, low, onset, dt)[0] if onset >= after else w0
    weight, v0, p, inside = stance(f[first : max(onset, after)], dt, True)
    v, y = motion(f, onset, weight, dt)
    v[onset:] += v0
    a, b = again(f, v, landing, weight, dt)
    weight_b, v_b, q, _ = stance(f[a:b], dt, False)
    # Both have one weight, and the velocity integrated between them must close.
    slope = -(v[a] - v0 + G * (a - onset) * dt)
    h = np.array([[1.0, 0.0], [slope, 1.0]])
    r = q + np.diag([0.0, 0.004**2 + (G * inside / weight) ** 2 * dt * (a - onset) * dt])
    surprise = np.array([weight_b / weight - 1, v_b - v[a]])
    gain = p @ h.T @ np.linalg.inv(h @ p @ h.T + r)
    change = gain @ surprise
    misfit = surprise @ np.linalg.inv(h @ p @ h.T + r) @ surprise
    p = (p - gain @ h @ p) * max(misfit / 9.21, 1.0)
    weight, v0 = weight * (1 + change[0]), v0 + change[1]
    v, y = motion(f, onset, weight, dt)
    v[onset:] += v0
    y[onset:] += v0 * dt * np.arange(len(f) - onset)
    left = release_s(f, take_off, landing, dt)
    threshold = empty_level_of(f, dt)
    v_to = at(v, take_off) - G * left * (1 - threshold / (2 * weight))
    flight = (landing - take_off) * dt
    last = int(take_off)
    common = {
        "body_mass_kg": weight / G,
        "onset_s": onset * dt,
        "take_off_s": take_off * dt,
        "landing_s": landing * dt,
        "take_off_velocity_m_s": v_to,
        "height_from_impulse_m": v_to**2 / (2 * G),
        "height_from_flight_time_m": G * flight**2 / 8,
        "take_off_rise_m": at(y, take_off) + v_to * left,
        "peak_force_n": f[onset : last + 1].max(),
    }
    return common, f, v, y, onset, take_off


def empty_level_of(f, dt):
    """The threshold of the first flight."""
    return next(empty_level(f[a:b]) for a, b in light(f, dt, round(0.10 / dt))
                if a > 0 and b < len(f) and b - a <= round(1.0 / dt))


def push(f, v, start, take_off, dt):
    inner = np.arange(int(np.ceil(start)), int(take_off) + 1)
    p = np.concatenate(([start], np.arange(int(np.floor(start)) + 1, int(take_off) + 1), [take_off]))
    power = np.interp(p, np.arange(len(f)), f) * np.interp(p, np.arange(len(v)), v)
    return {
        "peak_power_w": (f[inner] * v[inner]).max(),
        "mean_power_w": trapezoid(power, p * dt) / ((take_off - start) * dt),
        "propulsion_duration_s": (take_off - start) * dt,
    }


def countermovement_jump(f, dt):
    found, f, v, y, onset, take_off = standing_start(f, dt)
    last = int(take_off)
    i_min = onset + int(np.argmin(v[onset : last + 1]))
    up = i_min + 1 + int(np.argmax(v[i_min + 1 :] >= 0))
    bottom = cross(v, up - 1, 0.0)
    return found | push(f, v, bottom, take_off, dt) | {
        "countermovement_depth_m": -min(y[onset : last + 1].min(), at(y, take_off)),
        "braking_duration_s": (bottom - i_min) * dt,
        "reactive_strength_index_modified":
            found["height_from_impulse_m"] / ((take_off - onset) * dt),
    }


def squat_jump(f, dt):
    found, f, v, y, onset, take_off = standing_start(f, dt)
    return found | push(f, v, onset, take_off, dt)


def drop_jump(f, dt):
    hold = round(0.003 / dt)
    take_off, landing = flights(f, dt)[0]
    # The empty plate before: the last light stretch that ends before take-off.
    a, b = [s for s in light(f, dt, round(0.10 / dt)) if s[1] <= int(take_off)][-1]
    level, mid = empty_level(f[a:b]), a + (b - a) // 2
    down = cross(f, mid + held(f[mid:] >= level, hold) - 1, level)
    w0, weight, _ = weigh(f, int(np.ceil(landing)), len(f), dt)
    v, y = np.zeros_like(f), np.zeros_like(f)
    first, end = int(down), w0 + round(1.0 / dt)
    v[first:end] = cumulative_trapezoid(G * (f[first:end] / weight - 1.0), dx=dt, initial=0)
    v[first:end] -= v[w0]
    y[first:end] = cumulative_trapezoid(v[first:end], dx=dt, initial=0)
    up = first + 1 + int(np.argmax(v[first + 1 : end] >= 0))
    bottom = cross(v, up - 1, 0.0)
    contact, flight = (take_off - down) * dt, (landing - take_off) * dt
    v_down, v_up = at(v, down), at(v, take_off)
    inner = y[int(np.ceil(down)) : int(take_off) + 1]
    lowest = min(at(y, down), inner.min(), at(y, take_off))
    peak = f[int(np.ceil(down)) : int(take_off) + 1].max()
    return {
        "body_mass_kg": weight / G,
        "touch_down_s": down * dt,
        "contact_time_s": contact,
        "flight_time_s": flight,
        "height_from_flight_time_m": G * flight**2 / 8,
        "height_from_impulse_m": v_up**2 / (2 * G),
        "drop_height_m": v_down**2 / (2 * G),
        "reactive_strength_index": G * flight**2 / 8 / contact,
        "braking_duration_s": (bottom - down) * dt,
        "peak_force_n": peak,
        "stiffness_contact_n_m": peak / (at(y, down) - lowest),
        "net_impulse_n_s": area(f - weight, down, take_off, dt),
    }


def repeated_jump(f, dt):
    found = flights(f, dt)
    contact = np.array([(b[0] - a[1]) * dt for a, b in zip(found, found[1:])])
    flight = np.array([(b[1] - b[0]) * dt for b in found[1:]])
    index = G * flight**2 / 8 / contact
    best = np.argsort(-index, kind="stable")[:5]
    return {
        "hops": len(index),
        "reactive_strength_index_all_hops": index.mean(),
        "reactive_strength_index": index[best].mean(),
        "contact_time_s": contact[best].mean(),
        "flight_time_s": flight[best].mean(),
        "flight_contact_ratio": (flight / contact)[best].mean(),
        "reactive_strength_index_spread_percent": 100 * index[best].std(ddof=1) / index[best].mean(),
    }


def isometric(f, dt):
    peak = int(np.argmax(f))
    w0, base, noise = weigh(f, 0, peak, dt, high=0.8 * f[peak])
    after = w0 + round(1.0 / dt)
    onset = after + held(f[after:] > base + max(5 * noise, 5.0), round(0.010 / dt))
    ms = lambda t: onset + t / dt / 1000.0
    rate = lambda a, b: (at(f, ms(b)) - at(f, ms(a))) / ((b - a) / 1000.0)
    starts = np.arange(onset, min(onset + round(0.5 / dt), peak) + 1)
    starts = starts[starts + round(0.020 / dt) < len(f)]
    return {
        "onset_s": onset * dt,
        "baseline_force_n": base,
        "peak_force_n": f[peak],
        "net_peak_force_n": f[peak] - base,
        "time_to_peak_force_s": (peak - onset) * dt,
        **{f"force_n_at.{t}": at(f, ms(t)) for t in (50, 100, 150, 200, 250)},
        **{f"rate_of_force_development_n_s.0_{t}": rate(0, t) for t in (30, 50, 90, 100, 150, 200, 250)},
        "rate_of_force_development_n_s.100_200": rate(100, 200),
        "peak_rate_of_force_development_n_s.20":
            ((f[starts + round(0.020 / dt)] - f[starts]) / 0.020).max(),
        **{f"impulse_over_baseline_n_s.0_{t}": area(f - base, onset, ms(t), dt) for t in (100, 200, 250)},
    }


def bar(x, dt):
    fs = 1.0 / dt
    warped = np.tan(np.pi * 10.0 / fs) / (np.sqrt(2) - 1) ** 0.25
    b, a = butter(2, np.arctan(warped) / np.pi * fs, fs=fs)
    x = filtfilt(b, a, x, padtype="odd", padlen=min(int(fs / 2), len(x) - 1))
    v = np.gradient(x, dt)
    acc = np.gradient(v, dt)
    start, end = next(
        (s, e) for s, e in spans(v > 0.02, 2)
        if (v[s:e] > 0.10).any() and x[e - 1] - x[s] >= 0.15
    )
    begin, finish = cross(v, start - 1, 0.02), cross(v, end - 1, 0.02)
    top = start + int(np.argmax(v[start:end]))
    braking = held(acc[top:end] < -G, round(0.020 * fs))
    pushed = finish
    if braking is not None:
        first = top + braking
        pushed = cross(acc, first - 1, -G) if acc[first - 1] >= -G else first
    y0, y1, y2 = v[top - 1 : top + 2]
    bend = y0 - 2 * y1 + y2
    shift = 0.5 * (y0 - y2) / bend
    mean = lambda to: (at(x, to) - at(x, begin)) / ((to - begin) * dt)
    return {
        "mean_velocity_m_s": mean(finish),
        "mean_propulsive_velocity_m_s": mean(min(pushed, finish)),
        "peak_velocity_m_s": y1 - 0.25 * (y0 - y2) * shift,
        "time_to_peak_velocity_s": (top + shift - begin) * dt,
        "range_m": at(x, finish) - at(x, begin),
        "lift_duration_s": (finish - begin) * dt,
    }


READERS = {
    "countermovement-jump": countermovement_jump,
    "squat-jump": squat_jump,
    "drop-jump": drop_jump,
    "repeated-jump": repeated_jump,
    "isometric": isometric,
    "bar": bar,
}


def quantiles(errors):
    e = np.abs(np.asarray(errors))
    return " | ".join(f"{x:.2g}" for x in (*np.quantile(e, [0.5, 0.75, 0.99]), e.max()))


def load(directory):
    """Seed, length, rate, noise, truth and what Rust read, a trial each."""
    trials = {}
    for row in csv.DictReader(open(f"{directory}/trials.csv")):
        trial = trials.setdefault(int(row["seed"]), {
            "n": int(row["samples"]), "fs": float(row["rate_hz"]), "noise": float(row["noise"]),
            "truth": {}, "read": {},
        })
        trial[row["what"]][row["id"]] = float(row["value"])
    return trials


def causes(trials):
    """Error of height from impulse = weighing + the rest, and what an early take-off would add."""
    t, r = [[trial[k] for trial in trials.values()] for k in ("truth", "read")]
    get = lambda rows, key: np.array([row[key] for row in rows])
    v, h = get(t, "take_off_velocity_m_s"), get(t, "height_from_impulse_m")
    error = get(r, "height_from_impulse_m") - h
    early = v * (get(t, "take_off_s") - get(r, "take_off_s"))
    wrong = get(r, "body_mass_kg") / get(t, "body_mass_kg") - 1.0
    took = get(r, "take_off_s") - get(r, "onset_s")
    weighing = -wrong * (2 * h + v * took)
    rest = error - weighing
    print("\nCauses of the error of height from impulse (signed mean, then absolute, metres):\n")
    print("| cause | mean | median | q75 | q99 | max |\n|---|---|---|---|---|---|")
    for name, part in [("all", error), ("weighing: -dW/W (2h + v T)", weighing),
                       ("the rest: velocity at the onset, end of the push, clock", rest),
                       ("not among them: v t of a take-off read early, carried on", early)]:
        print(f"| {name} | {part.mean():.2g} | {quantiles(part)} |")
    print(f"\nOver 4 mm: {100 * np.mean(np.abs(error) > 0.004):.1f} %")


def main():
    kind, directory = sys.argv[1], sys.argv[2]
    trials = load(directory)
    samples = np.memmap(f"{directory}/samples.f64", dtype="<f8", mode="r")
    start, mine = 0, []
    for trial in trials.values():
        x = np.array(samples[start : start + trial["n"]])
        mine.append(READERS[kind](x, 1.0 / trial["fs"]))
        start += trial["n"]
    versions = f"Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}"
    print(f"### {kind}\n\n{len(trials)} trials, {versions}\n")
    print("Rust against numpy and scipy (absolute differences):\n")
    print("| metric | median | q75 | q99 | max |\n|---|---|---|---|---|")
    for key in mine[0]:
        rust = np.array([trial["read"][key] for trial in trials.values()])
        print(f"| `{key}` | {quantiles(rust - [m[key] for m in mine])} |")
    print("\nAgainst the closed forms (signed mean, then absolute errors; numpy gives the same):\n")
    print("| metric | mean | median | q75 | q99 | max |\n|---|---|---|---|---|---|")
    for key in next(iter(trials.values()))["truth"]:
        error = np.array([trial["read"][key] - trial["truth"][key] for trial in trials.values()])
        print(f"| `{key}` | {error.mean():.2g} | {quantiles(error)} |")
    if kind == "countermovement-jump":
        causes(trials)
    if len(sys.argv) > 3:
        with open(sys.argv[3], "w", newline="") as out:
            out.write(f"# ORIGIN: oracles/trace_accuracy.py {kind}, {versions}, {datetime.date.today()};")
            out.write(" samples from the example trace_accuracy, one seed a row\n")
            writer = csv.writer(out, lineterminator="\n")
            writer.writerow(["seed", *mine[0]])
            for seed, m in list(zip(trials, mine))[: GOLDEN_TRIALS.get(kind, FEW_GOLDEN_TRIALS)]:
                writer.writerow([seed, *(repr(float(x)) for x in m.values())])


main()
