"""Whether standards lie on a straight line, how far the lower part of them does, and absorbances as they are typed."""

from math import sqrt

import numpy as np

from labkit.errors import RangeProblem
from labkit.units import checked, coverage_factor, nominal, number, straight_line
from labkit.uptake.readings import ABSORBANCE

BENT = 0.02  # our choice: a bend that shifts no standard by more than this share of the highest is let pass
_COVER = 0.95


def absorbances(given, name):
    """Return an absorbance, or a list of them, as an array of plain numbers; ``name`` is what a message calls them.

    >>> absorbances(["0,412", 0.5], "sample").tolist()
    [0.412, 0.5]
    """
    given = [given] if isinstance(given, str) or np.ndim(given) == 0 else list(given)
    sizes = np.array(
        [number(nominal(checked(one, "[]", name, "calibration")), "dimensionless") for one in given], dtype=float
    )
    if not sizes.size or (np.abs(sizes) > ABSORBANCE.most).any():
        raise RangeProblem(
            f"An absorbance is a number of at most {ABSORBANCE.most:g}; one of the {name} is not, or there is none."
        )
    return sizes


def doubts_of(u, y):
    """Return the standard uncertainty of each of the absorbances ``y``, from numbers or a share such as ``"2 %"``.

    >>> doubts_of("2 %", np.array([0.0, 0.5, 1.0])).tolist()
    [0.002, 0.01, 0.02]
    """
    if isinstance(u, str) and "%" in u:
        share = number(checked(u, "[] > 0", "u", "calibration"), "dimensionless")
        # A share of nothing is nothing: a blank is read no better than a tenth of the highest.
        return share * np.maximum(np.abs(y), np.abs(y).max() / 10)
    given = absorbances(u, "u")
    return np.full(y.size, given[0]) if given.size == 1 else given


def bend_of(x, y, doubts=None):
    """Return (largest shift as a share of the highest standard, whether it is surely there) of a parabola.

    Surely: Student's t of its square term lies beyond 95 %.  Plain numbers; (0.0, False) with fewer than four.

    >>> bend, sure = bend_of(np.arange(6.0), np.array([0.0, 0.1, 0.195, 0.28, 0.355, 0.42]))
    >>> round(bend, 3), sure
    (0.036, True)
    """
    if x.size < 4 or np.unique(x).size < 3:
        return 0.0, False
    scale = x.max()
    design = np.vander(x / scale, 3)
    weights = np.ones_like(y) if doubts is None else 1 / doubts
    parts, *_ = np.linalg.lstsq(design * weights[:, None], y * weights, rcond=None)
    rest = (y - design @ parts) * weights
    dof = x.size - 3
    s = 1.0 if doubts is not None else sqrt(float(rest @ rest) / dof)
    unit_u = sqrt(np.linalg.inv((design * weights[:, None]).T @ (design * weights[:, None]))[0, 0])
    sure = abs(parts[0]) > coverage_factor(_COVER, np.inf if doubts is not None else dof) * max(s, 1e-12) * unit_u
    line = straight_line(x, y, doubts)
    shift = np.abs(design @ parts - line.predict(x)[0]).max() / abs(line.slope) if line.slope else np.inf
    return float(shift / scale), bool(sure)


def straight_up_to(x, y, doubts=None):
    """Return the highest concentration up to which no bend is seen, None if that leaves fewer than four standards."""
    for top in np.unique(x)[-2::-1]:
        inside = x <= top
        if inside.sum() < 4 or np.unique(x[inside]).size < 3:
            return None
        bend, sure = bend_of(x[inside], y[inside], None if doubts is None else doubts[inside])
        if not (sure and bend > BENT):
            return float(top)
    return None
