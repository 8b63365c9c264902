"""Second implementation of the countermovement jump, in numpy and scipy.

    cargo run --release -p cornerwork-core --example trace_accuracy -- 10000 DIRECTORY
    python oracles/trace_accuracy.py DIRECTORY [GOLDEN.csv]

Reads the forces the example wrote, computes the metrics from the published rules with arrays,
and prints quantiles of the differences: Rust against this, and both against the closed forms.
With a third argument, writes its own numbers of the first 200 trials there.
"""

import csv
import datetime
import platform
import sys

import numpy as np
import scipy
from scipy.integrate import cumulative_trapezoid, trapezoid

G, FS = 9.80665, 1000.0
DT = 1.0 / FS


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


def piece(x, a, b):
    """Samples between fractional indices, ends interpolated, and their times."""
    inner = np.arange(int(np.floor(a)) + 1, int(np.ceil(b)))
    p = np.concatenate(([a], inner, [b]))
    return np.interp(p, np.arange(len(x)), x), p * DT


def jump(f):
    low = f < 20.0
    edges = np.flatnonzero(np.diff(low.astype(int)))
    starts, ends = edges[::2] + 1, edges[1::2] + 1
    a, b = next((s, e) for s, e in zip(starts, ends) if e - s >= 100)
    q = (b - a) // 4
    unloaded = f[a + q : b - q]
    assert abs(np.median(unloaded)) <= 5.0
    threshold = unloaded.mean() + max(5 * unloaded.std(ddof=1), 5.0)
    mid = a + (b - a) // 2
    back = held((f[:mid] >= threshold)[::-1], 3)
    take_off = cross(f, mid - 1 - back, threshold)
    landing = cross(f, mid + held(f[mid:] >= threshold, 3) - 1, threshold)

    windows = np.lib.stride_tricks.sliding_window_view(f[: int(take_off) + 1], 1000)
    keep = np.flatnonzero(windows.mean(axis=1) >= 200.0)
    sd = windows.std(axis=1, ddof=1)
    limit = 1.01 * sd[keep].min() + 1e-3
    w0 = int(keep[sd[keep] <= limit][-1])
    weight, noise = windows[w0].mean(), sd[w0]
    moved = np.abs(f[w0 + 1000 : int(take_off) + 1] - weight) > max(5 * noise, 5.0)
    onset = max(w0 + 1000 + held(moved, 10) - 30, 0)

    m = weight / G
    v = np.zeros_like(f)
    v[onset:] = cumulative_trapezoid((f[onset:] - weight) / m, dx=DT, initial=0)
    y = np.zeros_like(f)
    y[onset:] = cumulative_trapezoid(v[onset:], dx=DT, initial=0)
    last = int(take_off)
    i_min = onset + int(np.argmin(v[onset : last + 1]))
    up = i_min + 1 + int(np.argmax(v[i_min + 1 :] >= 0))
    bottom = cross(v, up - 1, 0.0)
    v_to = at(v, take_off)
    height = v_to**2 / (2 * G)
    inner = np.arange(int(np.ceil(bottom)), last + 1)
    fp, t = piece(f, bottom, take_off)
    vp, _ = piece(v, bottom, take_off)
    flight = (landing - take_off) * DT
    return {
        "body_mass_kg": m,
        "onset_s": onset * DT,
        "take_off_s": take_off * DT,
        "landing_s": landing * DT,
        "take_off_velocity_m_s": v_to,
        "height_from_impulse_m": height,
        "height_from_flight_time_m": G * flight**2 / 8,
        "countermovement_depth_m": -min(y[onset : last + 1].min(), at(y, take_off)),
        "braking_duration_s": (bottom - i_min) * DT,
        "propulsion_duration_s": (take_off - bottom) * DT,
        "peak_force_n": f[onset : last + 1].max(),
        "peak_power_w": (f[inner] * v[inner]).max(),
        "mean_power_w": trapezoid(fp * vp, t) / (t[-1] - t[0]),
        "reactive_strength_index_modified": height / ((take_off - onset) * DT),
    }


def quantiles(errors):
    e = np.abs(np.asarray(errors))
    return " | ".join(f"{x:.2g}" for x in (*np.quantile(e, [0.5, 0.75, 0.99]), e.max()))


def main():
    directory = sys.argv[1]
    rows = list(csv.DictReader(open(f"{directory}/trials.csv")))
    force = np.memmap(f"{directory}/force.f64", dtype="<f8", mode="r")
    start, mine = 0, []
    for row in rows:
        n = int(row["samples"])
        mine.append(jump(np.array(force[start : start + n])))
        start += n
    versions = f"Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}"
    print(f"{len(rows)} trials, {versions}\n")
    print("Rust against numpy and scipy (absolute differences):\n")
    print("| metric | median | q75 | q99 | max |\n|---|---|---|---|---|")
    for key in mine[0]:
        rust = np.array([float(row[key]) for row in rows])
        print(f"| `{key}` | {quantiles(rust - [m[key] for m in mine])} |")
    print("\nAgainst the closed forms (absolute errors):\n")
    print("| metric | by | median | q75 | q99 | max |\n|---|---|---|---|---|---|")
    for key, truth in [
        ("body_mass_kg", "truth_mass_kg"),
        ("height_from_impulse_m", "truth_height_m"),
        ("height_from_flight_time_m", "truth_height_m"),
        ("countermovement_depth_m", "truth_depth_m"),
    ]:
        true = np.array([float(row[truth]) for row in rows])
        print(f"| `{key}` | Rust | {quantiles([float(r[key]) for r in rows] - true)} |")
        print(f"| `{key}` | numpy | {quantiles([m[key] for m in mine] - true)} |")
    if len(sys.argv) > 2:
        with open(sys.argv[2], "w", newline="") as out:
            out.write(f"# ORIGIN: oracles/trace_accuracy.py, {versions}, {datetime.date.today()};")
            out.write(" forces from the example trace_accuracy, one seed a row\n")
            writer = csv.writer(out, lineterminator="\n")
            writer.writerow(["seed", *mine[0]])
            for row, m in list(zip(rows, mine))[:200]:
                writer.writerow([row["seed"], *(repr(float(x)) for x in m.values())])


main()
