"""Whether the program and the pipeline find the same numbers.

Run: python compare.py OURS.csv PIPELINE.csv
Both have a row a file; every metric of the pipeline is compared, a blank with a blank only. Prints
the largest difference of each as a share of its median size, and fails over the tolerance: both add
the same 5000 numbers in different orders, which costs each some 5000 roundings at worst.
"""

import sys

import numpy as np
import pandas as pd

TOLERANCE = 5000 * np.finfo(float).eps

ours, theirs = (pd.read_csv(path).set_index("file") for path in sys.argv[1:3])
if set(ours.index) != set(theirs.index):
    sys.exit(f"{len(ours)} files against {len(theirs)}")
ours = ours.loc[theirs.index]
worst = 0.0
for metric in theirs.columns:
    a, b = ours[metric].to_numpy(float), theirs[metric].to_numpy(float)
    if (np.isnan(a) != np.isnan(b)).any():
        sys.exit(f"{metric} is there in one and absent in the other")
    share = np.nanmax(np.abs(a - b)) / np.nanmedian(np.abs(b))
    worst = max(worst, share)
    print(f"{metric:36} {share:.1e}")
print(f"{len(theirs)} files, {len(theirs.columns)} metrics, at most {worst:.1e} apart")
sys.exit(0 if worst <= TOLERANCE else f"more than {TOLERANCE:.1e}")
