"""How long a fit of 14 readings takes, beside a plain one from one good start.

Run ``python tests/benchmarks/curves.py``.  The fit here looks at every pace, gives lopsided intervals and a verdict;
``curve_fit`` of scipy gives parameters and a covariance from the start it is given.
"""

import time

import numpy as np
from scipy.optimize import curve_fit

from labkit.uptake import FIRST_ORDER, FREUNDLICH, LANGMUIR, SECOND_ORDER, fitted

X = np.geomspace(2, 300, 14)
TRUE = {LANGMUIR: (40, 0.05), FREUNDLICH: (5, 0.4), FIRST_ORDER: (40, 0.05), SECOND_ORDER: (40, 0.001)}
RUNS = 200


def milliseconds(sum_):
    """Return the median time of a call."""
    took = []
    for _ in range(RUNS):
        start = time.perf_counter()
        sum_()
        took.append(1000 * (time.perf_counter() - start))
    return float(np.median(took))


def main():
    print(f"{'fit of 14 readings':22} here/ms  plain/ms  ratio")
    for curve, true in TRUE.items():
        y = curve(X, *true) + np.random.default_rng(1).normal(0, 0.5, X.size)
        here = milliseconds(lambda: fitted(curve, X, y))  # noqa: B023
        plain = milliseconds(lambda: curve_fit(curve.value, X, y, p0=np.array(true) * 1.3))  # noqa: B023
        print(f"{curve.name:22} {here:7.2f} {plain:9.2f} {here / plain:6.1f}")


if __name__ == "__main__":
    main()
