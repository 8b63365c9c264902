"""A folder of countermovement jumps, 5 s at 1000 Hz, as CSV and as Parquet.

Run: python make_trials.py FOLDER COUNT [DISTINCT]
Writes FOLDER/csv/*.csv and FOLDER/parquet/*.parquet; needs numpy, pandas, pyarrow. Beyond DISTINCT,
files are hard links to the first ones again, so that a large folder need not fill the disk.
"""

import pathlib
import sys

import numpy as np
import pandas as pd

RATE_HZ, DURATION_S, GRAVITY = 1000, 5.0, 9.80665


def jump(mass_kg, depth, drive, rng):
    """Standing, a sine of unweighting, a sine of driving, a ramp to zero, flight, landing."""
    weight = mass_kg * GRAVITY
    time = np.arange(int(RATE_HZ * DURATION_S)) / RATE_HZ
    force = np.full(time.shape, weight)
    start, dip, push, release = 1.7, 0.34, 0.42, 0.04
    net = (-depth * dip + drive * push) * 2 / np.pi - release / 2
    flight = 2 * net  # take-off velocity over gravity is the net impulse over weight
    u = time - start
    part = (u >= 0) & (u < dip)
    force[part] = weight * (1 - depth * np.sin(np.pi * u[part] / dip))
    u = u - dip
    part = (u >= 0) & (u < push)
    force[part] = weight * (1 + drive * np.sin(np.pi * u[part] / push))
    u = u - push
    part = (u >= 0) & (u < release)
    force[part] = weight * (1 - u[part] / release)
    u = u - release
    force[(u >= 0) & (u < flight)] = 0.0
    u = u - flight
    part = (u >= 0) & (u < 0.3)
    impact = np.pi * (mass_kg * GRAVITY * net + weight * 0.15) / 0.6
    force[part] = weight * u[part] / 0.3 + impact * np.sin(np.pi * u[part] / 0.3)
    return time, force + rng.normal(0.0, 1.5, time.shape)


folder, count = pathlib.Path(sys.argv[1]), int(sys.argv[2])
distinct = int(sys.argv[3]) if len(sys.argv) > 3 else count
rng = np.random.default_rng(7)
tables = {"csv": folder / "csv", "parquet": folder / "parquet"}
for place in tables.values():
    place.mkdir(parents=True, exist_ok=True)
for index in range(count):
    paths = {kind: place / f"trial{index:06}.{kind}" for kind, place in tables.items()}
    if index >= distinct:
        for kind, path in paths.items():
            path.hardlink_to(tables[kind] / f"trial{index % distinct:06}.{kind}")
        continue
    time, force = jump(rng.uniform(55, 100), rng.uniform(0.5, 0.7), rng.uniform(1.3, 1.6), rng)
    table = pd.DataFrame({"time_s": time, "force_n": force.round(3)})
    table.to_csv(paths["csv"], index=False, float_format="%.3f")
    table.to_parquet(paths["parquet"], index=False)
