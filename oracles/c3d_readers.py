"""Vertical force of C3D force plates by two general readers: testdata/golden/c3d.json.

Run: python oracles/c3d_readers.py FOLDER, FOLDER holding bmc_jumps/ and c3d_samples/.
Needs c3d 0.6.0, ezc3d 1.7.2, numpy.
"""

import datetime
import importlib.metadata
import json
import pathlib
import sys

import c3d
import ezc3d
import numpy as np

FOLDER = pathlib.Path(sys.argv[1])


def by_c3d(path):
    """The plate's own vertical channels, uncalibrated; none for type 4."""
    with open(path, "rb") as file:
        reader = c3d.Reader(file)
        analog = np.concatenate([a for _, _, a in reader.read_frames()], axis=1)
        used = reader.get("FORCE_PLATFORM:USED").int16_value
        kinds = reader.get("FORCE_PLATFORM:TYPE").int16_array.ravel().tolist()[:used]
        # dimensions come in the order of the array: plates, then channels of a plate
        channels = reader.get("FORCE_PLATFORM:CHANNEL").int16_array
        channels = np.asarray(channels).reshape(used, -1)
        plates = []
        for kind, row in zip(kinds, channels):
            if kind == 4:
                plates.append(None)
                continue
            vertical = row[4:8] if kind == 3 else row[2:3]
            force = sum(analog[int(channel) - 1] for channel in vertical)
            plates.append({
                "min": float(force.min()), "max": float(force.max()),
                "mean": float(force.mean()), "first": [float(v) for v in force[:3]],
            })
        return {"analog_rate": float(reader.analog_rate), "n_analog": int(analog.shape[1]),
                "used": int(used), "type": [int(k) for k in kinds], "plates": plates}


def by_ezc3d(path):
    """Force in the axes of the laboratory, calibration applied."""
    file = ezc3d.c3d(str(path), extract_forceplat_data=True)
    plates = []
    for plate in file["data"]["platform"]:
        vertical = np.asarray(plate["force"])[2]
        plates.append({
            "unit": plate["unit_force"],
            "Fz_min": float(vertical.min()), "Fz_max": float(vertical.max()),
            "Fz_mean": float(vertical.mean()), "Fz_first": [float(v) for v in vertical[:3]],
        })
    return {"analog_rate": float(file["header"]["analogs"]["frame_rate"]), "plates": plates}


def attempt(reader, path):
    try:
        return reader(path)
    except Exception as error:
        return {"error": repr(error)}


versions = ", ".join(f"{n} {importlib.metadata.version(n)}" for n in ("c3d", "ezc3d", "numpy"))
answer = {"origin": f"oracles/c3d_readers.py, {versions}, {datetime.date.today()}"}
for path in sorted(FOLDER.rglob("*")):
    if path.suffix.lower() == ".c3d":
        answer[str(path.relative_to(FOLDER))] = {
            "pyc3d": attempt(by_c3d, path), "ezc3d": attempt(by_ezc3d, path),
        }
json.dump(answer, sys.stdout, indent=1)
