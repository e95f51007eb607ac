"""Weibull fits to interval-censored, left-truncated lives by general survival libraries, on the records of our bench.

Each answer is compared with ours, by `witnessmark fit life` on the same records: the log likelihoods agree to one in a million,
or the script fails. One thread.
"""

import json
import os
import subprocess
import sys
import tempfile
import time
import warnings

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import numpy as np
import surpyval
from lifelines import WeibullFitter

SIZES = (1_000, 100_000, 1_000_000)
REPEATS = {1_000: 5, 100_000: 3, 1_000_000: 1}

def spread(k, step):
    """A number between zero and one that looks like chance and is always the same (Weyl's sequence)."""
    return (k * step) % 1.0

def records(count):
    """Last seen good, first seen bad (infinite: still good), and when watching began: as in the bench of the room."""
    k = np.arange(count)
    life = 100.0 * (-np.log1p(-spread(k + 1.0, 0.6180339887))) ** (1 / 3.0)
    gap = 5.0 + 20.0 * spread(k + 1.0, 0.4142135624)
    last = 30.0 + 170.0 * spread(k + 1.0, 0.7320508076)
    good = np.floor(life / gap) * gap
    still_good = good + gap > last
    lower = np.where(still_good, np.floor(last / gap) * gap, good)
    upper = np.where(still_good, np.inf, good + gap)
    entry = np.where(k % 4 == 0, 0.3 * lower, 0.0)
    return lower, upper, entry

def by_lifelines(lower, upper, entry):
    fitter = WeibullFitter()
    fitter.fit_interval_censoring(lower, upper, entry=entry)
    return fitter.log_likelihood_

def by_surpyval(lower, upper, entry):
    still_good = np.isinf(upper)
    between = np.c_[lower, np.where(still_good, lower, upper)]
    model = surpyval.Weibull.fit(x=between, c=np.where(still_good, 1, 2), tl=entry)
    return -model.neg_ll()

def ours(lower, upper, entry):
    """The log likelihood of our fit, on the same records by a file."""
    with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
        file.write("lower,upper,entry\n")
        for low, high, since in zip(lower.tolist(), upper.tolist(), entry.tolist(), strict=True):
            file.write(f"{low!r},{'' if high == np.inf else repr(high)},{since!r}\n")
        file.flush()
        command = ["cargo", "run", "--quiet", "--release", "-p", "witnessmark", "--", "fit", "life", file.name]
        told = subprocess.run([*command, "--model", "weibull", "--json"], capture_output=True, check=True, text=True)
    return json.loads(told.stdout)["log_likelihood"]

def main():
    warnings.simplefilter("ignore")
    for count in SIZES:
        data = records(count)
        want = ours(*data)
        for name, fit in (("lifelines 0.30.3", by_lifelines), ("surpyval 0.25", by_surpyval)):
            took = []
            for _ in range(REPEATS[count]):
                start = time.perf_counter()
                got = fit(*data)
                took.append(time.perf_counter() - start)

            if got > want + 1e-6 * abs(want) or got < want - 1e-6 * abs(want):
                sys.exit(f"{count} records: log likelihood {got} by {name}, {want} ours")
            print(f"figure prognosis/life_fit/{count} {np.median(took):.6f} s {name}", flush=True)

if __name__ == "__main__":
    main()
