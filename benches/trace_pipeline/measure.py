"""The program and the pipeline in turn over the same files; medians of both.

Run: python measure.py FOLDER PROGRAM [ROUNDS]
FOLDER holds csv/ and parquet/ of make_trials.py. Seconds of processor are user and system together;
they stay fair when other work keeps the machine busy, seconds on the clock do not. The program is
counted from its start to its end, the pipeline without the start of Python and its libraries.
The program's memory is taken with /usr/bin/time, since a child begins with the size of its parent.
"""

import os
import re
import statistics
import subprocess
import sys
import time
from pathlib import Path

PIPELINE = Path(__file__).with_name("pipeline.py")
PRINTED = re.compile(r"trials, ([\d.]+) s, ([\d.]+) s of processor, (\d+) MiB")


def ours(program, folder, workers):
    command = [program, "import", folder, "--kind", "countermovement-jump", "--workers", workers]
    began = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    if status != 0:
        sys.exit(f"{command} failed")
    return time.perf_counter() - began, used.ru_utime + used.ru_stime


def theirs(folder, workers):
    command = [sys.executable, PIPELINE, folder, workers]
    text = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    return tuple(float(number) for number in PRINTED.search(text).groups())


def main():
    root, program = sys.argv[1:3]
    rounds = int(sys.argv[3]) if len(sys.argv) > 3 else 5
    print("| files | workers | ours: processor, clock | pipeline: processor, clock, memory | ratio of processor, clock |")
    print("|---|---|---|---|---|")
    for kind in ("csv", "parquet"):
        folder = f"{root}/{kind}"
        for workers in ("1", "2"):
            runs = [(ours(program, folder, workers), theirs(folder, workers)) for _ in range(rounds)]
            (a, a_busy), (b, b_busy, b_mib) = (
                [statistics.median(column) for column in zip(*side)] for side in zip(*runs)
            )
            count = len(os.listdir(folder))
            print(
                f"| {count} {kind} | {workers} | {a_busy:.3f} s, {a:.3f} s | "
                f"{b_busy:.2f} s, {b:.2f} s, {b_mib:.0f} MiB | {b_busy / a_busy:.1f}, {b / a:.1f} |",
                flush=True,
            )


main()
