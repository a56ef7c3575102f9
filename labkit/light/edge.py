"""Where the straight part of an absorption edge meets the axis, and how far that could be moved: plain numbers in eV.

Every stretch that could be taken for the straight part is tried.  The longest straight one near the
steepest slope gives the crossing; the others that would do nearly as well give what the choice is worth.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

KNOTS, FEW_KNOTS = 56, 28  # places where a stretch may begin or end; fewer where only a difference is wanted
SHORTEST, FEWEST = 0.06, 5  # eV and points of a stretch; our choice
SURE = 4  # standard errors that a slope is taken to be less, as there are a thousand to be misled by; our choice
STEEP = 0.8  # part of the steepest slope that a stretch needs; our choice
BENT = 0.008  # sag of a stretch that is allowed for, as a part of its rise; our choice
PLAUSIBLE = 0.3  # of the best mark: such stretches count towards the spread; our choice
COARSEST = 0.01  # of reflectance: readings in steps larger than a whole percent are no rounding
WEIGHTLESS = 0.002  # of the rise of a curve: noise below this is no reason to trust a point more


@dataclass(frozen=True)
class Curve:
    """Energies (eV, rising), reflectance up to 1 and Kubelka-Munk function at each, the same smoothed, the noise of it and what was measured."""

    energy: np.ndarray
    reflectance: np.ndarray
    absorbed: np.ndarray
    smooth: np.ndarray
    noise: float
    measured: np.ndarray

    @cached_property
    def scatter(self):
        """Standard deviation of the Kubelka-Munk function at each point."""
        return (1 - self.smooth**2) / (2 * self.smooth**2) * self.noise


@dataclass(frozen=True)
class Baseline:
    """A straight line under the edge: ``level`` at ``pivot`` (eV), ``slope`` per eV, their standard errors, where it was fitted."""

    level: float
    slope: float
    pivot: float
    level_error: float
    slope_error: float
    low: float
    high: float

    def at(self, energy):
        return self.level + self.slope * (energy - self.pivot)


@dataclass(frozen=True)
class Stretch:
    """A straight line through a part of a curve and where it meets zero, with the standard error of that."""

    low: float
    high: float
    points: int
    slope: float
    middle: float
    height: float
    crossing: float
    error: float
    bend: float
    misfit: float

    def at(self, energy):
        return self.height + self.slope * (energy - self.middle)


def curve_from(energy, reflectance):
    """Return the Curve of energies (eV) and reflectances above 0; what is brighter than white is taken for white.

    The noise is taken from third differences, which a smooth edge leaves nearly alone, and from the
    smallest step that the readings have.
    """
    order = np.argsort(energy, kind="stable")
    energy, measured = energy[order], reflectance[order]
    reflectance = np.minimum(measured, 1.0)
    steps = np.diff(np.unique(reflectance))
    digit = min(steps.min(), COARSEST) / np.sqrt(12) if steps.size else 0.0
    thirds = np.abs(np.diff(reflectance, 3))
    noise = np.median(thirds) / (0.6745 * np.sqrt(20)) if thirds.size else 0.0
    smooth = smoothed(energy, reflectance)
    return Curve(energy, reflectance, absorption(reflectance), smooth, float(np.hypot(noise, digit)), measured)


def absorption(reflectance):
    """Return the Kubelka-Munk function of plain numbers."""
    return (1 - reflectance) ** 2 / (2 * reflectance)


def smoothed(energy, values, width=0.03):
    """Return values averaged over about ``width`` eV, and over at least three points."""
    wide = 2 * int(np.clip(round(width / np.median(np.diff(energy)) / 2), 1, max(energy.size // 20, 1))) + 1
    half = wide // 2
    padded = np.concatenate((2 * values[0] - values[half:0:-1], values, 2 * values[-1] - values[-2 : -half - 2 : -1]))
    total = np.cumsum(np.concatenate(([0.0], padded)))
    return np.clip((total[wide:] - total[:-wide]) / wide, 1e-4, 1.0)


def tauc_values(curve, power, baseline=None):
    """Return y = (F E)^power after a baseline was taken off F, and the standard deviation of each value.

    What is below the baseline comes out negative, so that noise around it has no preferred sign.
    """
    under = baseline.at(curve.energy) if baseline else 0.0
    rest = (curve.absorbed - under) * curve.energy
    scatter = curve.scatter * curve.energy
    likely = np.maximum((absorption(curve.smooth) - under) * curve.energy, np.maximum(scatter, 1e-9))
    return np.sign(rest) * np.abs(rest) ** power, power * likely ** (power - 1) * scatter


def stretches(x, y, sigma, knots):
    """Return what straight lines through all parts of a curve between two knots give, as arrays by name.

    ``x`` rises; ``knots`` are indices of points.  Each point weighs as the inverse square of ``sigma``.
    """
    start = knots[0]
    x, y, sigma, knots = (*(values[start : knots[-1] + 1] for values in (x, y, sigma)), knots - start)
    middle, weight = x.mean(), 1 / sigma**2
    first, last = (index.ravel() for index in np.meshgrid(knots, knots, indexing="ij"))
    enough = (last - first >= FEWEST - 1) & (x[last] - x[first] >= SHORTEST - 1e-9)
    first, last = first[enough], last[enough]
    sums = np.zeros((9, x.size + 1))
    moved, columns = x - middle, weight.copy()
    for power in range(5):
        sums[power, 1:] = columns
        if power < 3:
            sums[5 + power, 1:] = columns * y
        columns = columns * moved
    sums[8, 1:] = weight * y * y
    sums = np.cumsum(sums, axis=1)
    s0, s1, s2, s3, s4, t0, t1, t2, tt = sums[:, last + 1] - sums[:, first]
    m = s1 / s0
    c2 = s2 - m * s1
    c3 = s3 - 3 * m * s2 + 3 * m**2 * s1 - m**3 * s0
    c4 = s4 - 4 * m * s3 + 6 * m**2 * s2 - 4 * m**3 * s1 + m**4 * s0
    height = t0 / s0
    xy = t1 - m * t0
    slope = xy / c2
    rest = np.maximum(tt - t0 * height - slope * xy, 0.0)
    # The part of a curve square in x that is no straight line, and how much of it there is.
    norm = np.maximum(c4 - c3**2 / c2 - c2**2 / s0, 1e-300)
    square = (t2 - 2 * m * t1 + m**2 * t0) - c3 / c2 * xy - c2 / s0 * t0
    points = last - first + 1
    spread = np.maximum(rest / np.maximum(points - 2, 1), 1.0)
    with np.errstate(all="ignore"):
        zero = m - height / slope
        error = np.sqrt(spread / slope**2 * (1 / s0 + (zero - m) ** 2 / c2))
    return {"first": first + start, "last": last + start, "points": points, "wide": x[last] - x[first], "slope": slope, "height": height, "middle": m + middle,
            "crossing": zero + middle, "error": error, "slope error": np.sqrt(spread / c2), "bend": square / norm,
            "bend error": np.sqrt(1 / norm), "rest": rest, "weight": s0, "level error": np.sqrt(spread / s0)}  # fmt: skip


def _marks(found, rise, bent):
    """Return how good each stretch is: its width, less what it bends and scatters beyond its noise."""
    sag = found["bend"] * found["wide"] ** 2 / 8 / rise
    doubt = found["bend error"] * found["wide"] ** 2 / 8 / rise
    dof = np.maximum(found["points"] - 2, 1)
    misfit = np.maximum(found["rest"] - dof, 0) / found["weight"] / rise**2
    chance = np.sqrt(2 * dof) / found["weight"] / rise**2
    penalty = sag**2 / (bent**2 + doubt**2) + misfit / ((0.6 * bent) ** 2 + chance)
    return found["wide"] * np.exp(-penalty / 2), sag, np.sqrt(misfit)


def _stretch(found, place, x, sag, misfit):
    one = {name: values[place] for name, values in found.items()}
    return Stretch(float(x[one["first"]]), float(x[one["last"]]), int(one["points"]), float(one["slope"]), float(one["middle"]),
                   float(one["height"]), float(one["crossing"]), float(one["error"]), float(sag[place]), float(misfit[place]))  # fmt: skip


def knots_between(x, low, high, most=KNOTS):
    """Return up to ``most`` indices of points from ``low`` to ``high``, evenly in x."""
    inside = np.flatnonzero((x >= low - 1e-9) & (x <= high + 1e-9))
    if inside.size <= most:
        return inside
    wanted = np.linspace(x[inside[0]], x[inside[-1]], most)
    return np.unique(np.clip(np.searchsorted(x, wanted), inside[0], inside[-1]))


def straight_part(x, y, sigma, low, high, most=KNOTS):
    """Return (best Stretch, crossings of all plausible ones, their weights) between two energies; None if none rises.

    The best is the longest that is straight and not much less steep than the steepest.
    """
    knots = knots_between(x, low, high, most)
    if knots.size < 2:
        return None
    inside = slice(knots[0], knots[-1] + 1)
    sigma = np.hypot(sigma, WEIGHTLESS * np.ptp(y[inside]) + 1e-12)
    found = stretches(x, y, sigma, knots)
    rising = found["slope"] > SURE * found["slope error"]
    if not rising.any():
        return None
    sure = found["slope"] - SURE * found["slope error"]
    steepest = sure.max()
    rise = np.maximum(found["slope"] * found["wide"], 1e-9 * np.ptp(y[inside]) + 1e-30)
    marks, sag, misfit = _marks(found, rise, BENT)
    marks = marks * np.minimum(found["slope"] / steepest, 1.0) ** 4
    marks[(found["slope"] < STEEP * steepest) | ~rising] = 0
    best = int(np.argmax(marks))
    if not marks[best] > 0:
        return None
    near = marks >= PLAUSIBLE * marks[best]
    return _stretch(found, best, x, sag, misfit), found["crossing"][near], marks[near]


def line_between(x, y, sigma, low, high):
    """Return the Stretch through all points from ``low`` to ``high``; None if there are fewer than three."""
    inside = (x >= low - 1e-9) & (x <= high + 1e-9)
    if inside.sum() < 3:
        return None
    x, y = x[inside], y[inside]
    sigma = np.hypot(sigma[inside], WEIGHTLESS * np.ptp(y) + 1e-12)
    weight = 1 / sigma**2
    total = weight.sum()
    middle, height = (weight * x).sum() / total, (weight * y).sum() / total
    about = (weight * (x - middle) ** 2).sum()
    slope = (weight * (x - middle) * y).sum() / about
    left = y - height - slope * (x - middle)
    spread = max((weight * left**2).sum() / max(x.size - 2, 1), 1.0)
    with np.errstate(all="ignore"):
        zero = middle - height / slope
        error = np.sqrt(spread / slope**2 * (1 / total + (zero - middle) ** 2 / about)) * _kinship(left)
        misfit = np.sqrt(max((weight * left**2).sum() - x.size + 2, 0) / total) / abs(slope * np.ptp(x))
    return Stretch(float(x[0]), float(x[-1]), int(x.size), float(slope), float(middle), float(height), float(zero), float(error), 0.0, float(misfit))  # fmt: skip


def _kinship(left):
    """Return the factor by which errors grow because neighbours scatter alike, as in a spectrum that was smoothed."""
    if left.size < 8:
        return 1.0
    kin = float(np.clip((left[1:] * left[:-1]).sum() / max((left**2).sum(), 1e-300), 0.0, 0.9))
    return np.sqrt((1 + kin) / (1 - kin))


def baseline_below(curve, high, scale, low=None):
    """Return the Baseline of the Kubelka-Munk function below an edge; None if there is no straight part of it.

    Parameters
    ----------
    curve : Curve
    high : float
        Energy (eV) above which the edge may have begun.
    scale : float
        Kubelka-Munk function on the edge; a bend much smaller than this is no bend.
    low : float, optional
        With it, everything from here to ``high`` is taken, straight or not.
    """
    x, y = curve.energy, curve.absorbed
    sigma = np.hypot(curve.scatter, WEIGHTLESS * scale)
    if low is not None:
        inside = np.flatnonzero((x >= low - 1e-9) & (x <= high + 1e-9))
        if inside.size < 3:
            return None
        knots = inside[[0, -1]]
        found = stretches(x, y, sigma, knots)
        if not found["slope"].size:
            return None
        place = 0
    else:
        knots = knots_between(x, x[0], high)
        if knots.size < 2:
            return None
        found = stretches(x, y, sigma, knots)
        early = x[found["first"]] <= x[0] + 0.35 * (high - x[0])
        marks, sag, _ = _marks(found, scale, 0.004)
        marks = np.where(early, marks, 0)
        if not marks.size or not marks.max() > 0.05:
            return None
        place = int(np.argmax(marks))
    return Baseline(float(found["height"][place]), float(found["slope"][place]), float(found["middle"][place]), float(found["level error"][place]),
                    float(found["slope error"][place]), float(x[found["first"][place]]), float(x[found["last"][place]]))  # fmt: skip


def baseline_again(curve, under):
    """Return a Baseline fitted to another curve where one was fitted before, level if that was."""
    inside = (curve.energy >= under.low - 1e-9) & (curve.energy <= under.high + 1e-9)
    x, y = curve.energy[inside], curve.absorbed[inside]
    weight = 1 / (curve.scatter[inside] + WEIGHTLESS) ** 2
    middle, level = np.average(x, weights=weight), np.average(y, weights=weight)
    slope = np.sum(weight * (x - middle) * y) / np.sum(weight * (x - middle) ** 2) if under.slope else 0.0
    return Baseline(float(level), float(slope), float(middle), 0.0, 0.0, under.low, under.high)


def straightest(x, y, sigma, knots, bent):
    """Return (low, high) of the longest straight stretch that begins early among ``knots``; None if there is none.

    ``bent`` is the sag that is allowed for, in the unit of y.
    """
    found = stretches(x, y, sigma, knots)
    early = x[found["first"]] <= x[knots[0]] + 0.35 * (x[knots[-1]] - x[knots[0]])
    marks = np.where(early, _marks(found, 1.0, bent)[0], 0)
    if not marks.size or not marks.max() > 0:
        return None
    place = int(np.argmax(marks))
    return float(x[found["first"][place]]), float(x[found["last"][place]])


def onset(curve):
    """Return the energy (eV) above which the edge rises, seen without any plot: F / (1 + F) leaves its low level there.

    That share is square in the little absorption below an edge and levels off where a powder is black.
    """
    share = (1 - curve.smooth) ** 2 / (1 + curve.smooth**2)
    peak = int(np.argmax(share))
    low = share[: peak + 1].min()
    early = np.flatnonzero(share[: peak + 1] <= low + 0.15 * (share[peak] - low))
    return float(curve.energy[early[-1]])
