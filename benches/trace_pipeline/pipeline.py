"""Countermovement jumps of a folder by numpy, scipy and pandas: what `cornerwork import` does.

Run: python pipeline.py FOLDER [WORKERS [NUMBERS.csv]]
Prints the number of trials, seconds on the clock and of processor, and the peak memory, and writes
the numbers for compare.py; starting Python and its libraries is not counted. The rules are those of
the program: quietest second, onset 30 ms before five standard deviations, take-off and landing at
five standard deviations of the empty plate (at least 5 N), trapezoids.
"""

import pathlib
import resource
import sys
import time
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pandas as pd
from scipy.integrate import cumulative_trapezoid

GRAVITY = 9.80665


def held(mask, count):
    """Starts of runs of at least `count` true samples."""
    edges = np.diff(np.concatenate(([0], mask.astype(np.int8), [0])))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    keep = ends - starts >= count
    return starts[keep], ends[keep]


def crossing(t, x, before, level):
    return t[before] + (level - x[before]) / (x[before + 1] - x[before]) * (t[before + 1] - t[before])


def analyse(t, f):
    rate = 1.0 / np.median(np.diff(t))
    second = int(round(rate))
    starts, ends = held(f < 20.0, int(0.1 * rate))
    start, end = next((a, b) for a, b in zip(starts, ends) if a > 0 and b < len(f))
    middle = slice(start + (end - start) // 4, end - (end - start) // 4)
    level = f[middle].mean() + max(5 * f[middle].std(ddof=1), 5.0)
    centre = (start + end) // 2
    off = np.flatnonzero(f[:centre] >= level)[-1]
    on = centre + np.flatnonzero(f[centre:] >= level)[0] - 1
    take_off, landing = crossing(t, f, off, level), crossing(t, f, on, level)
    # quietest second before take-off, by running sums; of equally quiet ones the latest
    g = f[: off + 1] - f[off]
    s1, s2 = np.cumsum(np.insert(g, 0, 0.0)), np.cumsum(np.insert(g * g, 0, 0.0))
    m = (s1[second:] - s1[:-second]) / second
    variance = (s2[second:] - s2[:-second] - second * m * m) / (second - 1)
    sd = np.sqrt(np.maximum(variance, 0.0))
    quiet = np.flatnonzero(sd <= 1.01 * sd.min() + 1e-3)[-1]
    standing = f[quiet : quiet + second]
    weight, noise = standing.mean(), standing.std(ddof=1)
    mass = weight / GRAVITY
    moving, _ = held(np.abs(f[quiet + second : off + 1] - weight) > max(5 * noise, 5.0), int(0.01 * rate))
    onset = max(quiet + second + moving[0] - int(round(0.03 * rate)), 0)
    ts, fs = t[onset:], f[onset:]
    v = cumulative_trapezoid(GRAVITY * (fs / weight - 1.0), ts, initial=0.0)
    y = cumulative_trapezoid(v, ts, initial=0.0)
    p = fs * v
    at = lambda x, when: np.interp(when, ts, x)

    def between(a, b, *factors):
        """Area under a product of signals, with the part steps at both ends."""
        inside = slice(*np.searchsorted(ts, [a, b], side="right"))
        ends = [np.prod([at(x, when) for x in factors]) for when in (a, b)]
        x = np.concatenate((ends[:1], np.prod([x[inside] for x in factors], axis=0), ends[1:]))
        return np.trapezoid(x, np.concatenate(([a], ts[inside], [b])))

    up, down = off - onset, on - onset
    lowest = np.argmin(v[: up + 1])
    bottom = lowest + np.flatnonzero(v[lowest:] >= 0.0)[0]
    zero = crossing(ts, v, bottom - 1, 0.0)
    v_off = at(v, take_off)
    height = v_off * v_off / (2 * GRAVITY)
    flight = landing - take_off
    net = lambda a, b: between(a, b, fs) - weight * (b - a)
    # the fall ends where it is stopped or, short of that by an error of weight, nearly is
    until = np.searchsorted(ts, landing + 1.0, side="right")
    highest = v[down + 1 : until].max()
    level = 0.0 if highest >= 0.0 else highest - 0.001
    stop = down + 1 + np.flatnonzero(v[down + 1 : until] >= level)[0]
    lowest_y = min(y[down + 1 : stop].min(), at(y, crossing(ts, v, stop - 1, level)))
    return {
        "body_mass_kg": mass, "onset_s": t[onset], "take_off_s": take_off, "landing_s": landing,
        "height_from_impulse_m": height, "height_from_flight_time_m": GRAVITY * flight**2 / 8,
        "take_off_velocity_m_s": v_off, "net_impulse_n_s": mass * v_off,
        "peak_force_n": fs[: up + 1].max(), "peak_power_w": p[bottom : up + 1].max(),
        "mean_power_w": between(zero, take_off, fs, v) / (take_off - zero),
        "countermovement_depth_m": -y[: up + 1].min(),
        "unweighting_net_impulse_n_s": net(ts[0], ts[lowest]),
        "braking_net_impulse_n_s": net(ts[lowest], zero),
        "propulsion_net_impulse_n_s": net(zero, take_off),
        "braking_duration_s": zero - ts[lowest], "propulsion_duration_s": take_off - zero,
        "braking_mean_force_n": between(ts[lowest], zero, fs) / (zero - ts[lowest]),
        "propulsion_mean_force_n": between(zero, take_off, fs) / (take_off - zero),
        "reactive_strength_index_modified": height / (take_off - t[onset]),
        "stiffness_fitted_n_m": -np.polyfit(y[lowest:bottom], fs[lowest:bottom], 1)[0],
        "landing_peak_force_n": fs[down + 1 : stop].max(), "flight_time_s": flight,
        "landing_depth_m": at(y, landing) - lowest_y,
    }


def read(path):
    table = pd.read_csv(path) if path.suffix == ".csv" else pd.read_parquet(path)
    numbers = analyse(table["time_s"].to_numpy(), table["force_n"].to_numpy())
    return {"file": path.name} | numbers


def processor_s():
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def main():
    files = sorted(pathlib.Path(sys.argv[1]).iterdir())
    workers = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    began, busy = time.perf_counter(), processor_s()
    if workers == 1:
        rows = [read(path) for path in files]
    else:
        with ProcessPoolExecutor(workers) as pool:
            rows = list(pool.map(read, files, chunksize=8))
    seconds = time.perf_counter() - began
    busy = processor_s() - busy
    who = resource.RUSAGE_SELF if workers == 1 else resource.RUSAGE_CHILDREN
    memory = resource.getrusage(who).ru_maxrss / 1024
    print(f"{len(rows)} trials, {seconds:.3f} s, {busy:.3f} s of processor, {memory:.0f} MiB a process")
    if len(sys.argv) > 3:
        pd.DataFrame(rows).to_csv(sys.argv[3], index=False)


if __name__ == "__main__":
    main()
