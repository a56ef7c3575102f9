"""Whether standards lie on a straight line, how far the lower part of them does, and absorbances as they are typed."""

from dataclasses import replace
from math import sqrt

import numpy as np

from labkit.errors import LabError, RangeProblem, ReadingProblem
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
    sizes = np.array([_absorbance(one, name) for one in given], dtype=float)
    if not sizes.size or (np.abs(sizes) > ABSORBANCE.most).any():
        raise RangeProblem(
            f"An absorbance is a number of at most {ABSORBANCE.most:g}; one of the {name} is not, or there is none."
        )
    return sizes


def _absorbance(given, name):
    try:
        found = checked(given, "[]", name, "calibration")
    except LabError as problem:
        said = str(problem).split(" Needed for")[0].split(" Type for instance")[0]
        raise ReadingProblem(f"{said} An absorbance is a plain number: type for instance 0.412.") from None
    if str(found.units) != "dimensionless":
        raise ReadingProblem(
            "A percentage is a share of light and no absorbance. Absorbance = 2 - log10 of the percentage."
        )
    if getattr(found.magnitude, "std_dev", 0.0):
        raise ReadingProblem(
            f"Type one of the {name} without a ±. Its doubt comes from the standards, or from several readings of it."
        )
    return number(nominal(found), "dimensionless")


def mean_of(absorbance, readings):
    """Return (mean, number of readings, their scatter) of what was read of one sample.

    >>> mean_of(0.3, 2), mean_of([0.3, 0.3], None)
    ((0.3, 2, 0.0), (0.3, 2, 0.0))
    """
    sizes = absorbances(absorbance, "absorbance")
    count = sizes.size if readings is None else readings
    try:
        wrong = count != int(count) or count < 1 or (sizes.size > 1 and count != sizes.size)
    except (TypeError, ValueError, OverflowError):
        wrong = True
    if wrong:
        raise ReadingProblem(
            "‘readings’ is how many readings the absorbance is the mean of: 1 or more, or as many as are listed."
        )
    return float(sizes.mean()), int(count), float(sizes.std(ddof=1)) if sizes.size > 1 else 0.0


def widened(x, y, doubts):
    """Return (line, uncertainties of the readings) by the uncertainties that were given, or more where the readings scatter more.

    Where the scatter is larger than the uncertainties allow (5 % chance) it has to be taken from the few readings there are, and so
    Student's t comes in.

    >>> line, doubts = widened(np.arange(5.0), np.array([0.0, 1.2, 1.9, 3.2, 3.9]), np.full(5, 0.01))
    >>> line.given, bool(doubts[0] > 0.1)
    (False, True)
    """
    from scipy.special import chdtrc

    line = straight_line(x, y, doubts)
    if line.s <= 1:
        return line, doubts
    doubts = doubts * line.s
    odd = chdtrc(line.dof, line.s**2 * line.dof) < 1 - _COVER
    return replace(straight_line(x, y, doubts), given=not odd, s=line.s), doubts


def farthest(x, y):
    """Return the place of a reading that is off the line through the others, surely, None if there is none.

    By Student's t of its distance from that line, beyond 99 % for any of the readings.

    >>> farthest(np.arange(7.0), np.array([0.0, 1.01, 1.99, 3.02, 4.9, 5.0, 6.01]))
    4
    """
    if x.size < 5:
        return None
    far = []
    for place in range(x.size):
        rest = np.arange(x.size) != place
        if np.unique(x[rest]).size < 2:
            return None
        line = straight_line(x[rest], y[rest])
        height, u = line.predict(x[place])
        cover = coverage_factor(1 - 0.01 / x.size, line.dof) * np.hypot(u, max(line.s, 1e-12))
        far.append(abs(y[place] - height) / cover)
    place = int(np.argmax(far))
    return place if far[place] > 1 else None


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
