"""What may lie under an absorption edge, and what light may never have arrived: plain numbers in eV.

Light that is missing below the edge was absorbed by something else, or was lost: a white reference or
a lamp that drifts takes a part of all light.  One spectrum does not tell which, and each way of reading
it gives another gap.
"""

from dataclasses import dataclass, replace

import numpy as np

from labkit.light.edge import FEW_KNOTS, absorption, knots_between, line_between, smoothed, straightest

DIMMEST, BRIGHTEST = 0.8, 1.25  # of the light: a white reference is not further off; our guess from memory
STEEPEST = 0.25  # of the light over 1 eV: nor does it or a lamp drift more; our guess from memory
LEAST = 0.3  # of the light is left wherever that line is drawn on; our choice
CALM = 0.004  # of the reflectance: a sag of that line that is none; our choice
UNDER = 0.1  # eV below a gap, from where on only the foot of the edge is left of it; our choice
TAILS = np.array([0.04, 0.06, 0.08, 0.1])  # eV over which that foot may die away by e; our choice
BINS, FEWEST = 12, 12  # parts of the spectrum below the edge in which a band is looked for, and points needed
UNEVEN = 0.005  # of the reflectance: a hump that is none; our choice
FASTEST = 0.2  # eV: what grows by e over less is the edge itself; our choice
NEARLY = 1.5  # times the squares left by a straight line: as good; our choice


@dataclass(frozen=True)
class Growth:
    """An absorption that grows by e over each ``scale`` (eV), from ``level`` at ``start`` (eV)."""

    level: float
    start: float
    scale: float

    def at(self, energy):
        return self.level * np.exp(np.minimum((energy - self.start) / self.scale, 20.0))


def light_kept(curve, high):
    """Return the share of light at each energy if what is missing below ``high`` (eV) was lost; None if nobody can say.

    That is a straight line through the reflectance below the edge, drawn on.  Over energy, as over wavelength it
    would fall less towards the edge: the range has to reach either.
    """
    x, sigma = curve.energy, np.full(curve.energy.size, np.hypot(curve.noise, CALM / 2))
    knots = knots_between(x, x[0], high, FEW_KNOTS)
    ends = straightest(x, curve.measured, sigma, knots, CALM) if knots.size > 1 else None
    line = line_between(x, curve.measured, sigma, *ends) if ends else None
    if line is None:
        return None
    slope = float(np.clip(line.slope, -STEEPEST, STEEPEST))
    top = line.height + max(slope * (line.low - line.middle), slope * (line.high - line.middle))
    level = line.height + float(np.clip(top, DIMMEST, BRIGHTEST)) - top
    return np.clip(level + slope * (x - line.middle), LEAST, BRIGHTEST)


def seen_through(curve, kept, added=0.0):
    """Return the Curve that would have been measured with all of the light, and without ``added`` to it."""
    measured = np.maximum((curve.measured - added) / kept, 1e-4)
    reflectance = np.minimum(measured, 1.0)
    return replace(curve, reflectance=reflectance, absorbed=absorption(reflectance), smooth=smoothed(curve.energy, reflectance),
                   measured=measured)  # fmt: skip


def growth_instead(curve, under):
    """Return the Growth that fits nearly as well where a straight Baseline was fitted; None if none does."""
    inside = (curve.energy >= under.low - 1e-9) & (curve.energy <= under.high + 1e-9)
    x, absorbed = curve.energy[inside], curve.absorbed[inside]
    if x.size < FEWEST or under.slope <= 0:
        return None
    straight = under.at(x)
    ends = np.maximum(straight[[0, -1]], 1e-4)
    sigma = np.hypot(curve.scatter[inside], 0.01 * np.maximum(straight, 1e-4))
    level, rate = ends[0], min(np.log(ends[1] / ends[0]) / (x[-1] - x[0]), 1 / FASTEST)
    for _ in range(4):  # steps of least squares from where the straight line begins and ends
        grown = level * np.exp((x - x[0]) * rate) / sigma
        tilted, rest = grown * (x - x[0]), absorbed / sigma - grown
        own, both, other = grown @ grown, grown @ tilted, tilted @ tilted
        norm = max(own * other - both**2, 1e-300)
        change = ((other * (grown @ rest) - both * (tilted @ rest)) / norm, (own * (tilted @ rest) - both * (grown @ rest)) / norm)  # fmt: skip
        level, rate = level * (1 + min(max(change[0], -0.5), 0.5)), min(max(rate + change[1], 1e-3), 1 / FASTEST)
    if rate >= 1 / FASTEST:
        return None
    left = [np.sum(((absorbed - shape) / sigma) ** 2) for shape in (level * np.exp((x - x[0]) * rate), straight)]
    return Growth(float(level), float(x[0]), float(1 / rate)) if left[0] <= NEARLY * max(left[1], x.size) else None


def unevenness(curve, gap):
    """Return by how much of the reflectance the spectrum below a gap departs from an even background; 0 if too little is there.

    Even is an absorption straight in energy, or a loss of light straight in wavelength, with the foot of an edge.
    What noise does is taken off.
    """
    inside = curve.energy <= gap - UNDER
    x = curve.energy[inside]
    if x.size < FEWEST:
        return 0.0
    count = min(BINS, x.size // 3)
    place = np.minimum(((x - x[0]) / (x[-1] - x[0]) * count).astype(int), count - 1)
    many = np.maximum(np.bincount(place, minlength=count), 1)
    smooth = curve.smooth[inside]
    steepness = (1 - smooth**2) / (2 * smooth**2)  # of the absorption over the reflectance
    ways = ((curve.absorbed[inside], x - gap, 1 / (steepness + 0.05), 1), (curve.measured[inside], 1 / x - 1 / gap, np.ones(x.size), 2))  # fmt: skip
    least = np.inf
    for values, across, weight, root in ways:  # a little absorption lowers the reflectance as its root
        foot = np.exp((x - gap) / (root * TAILS)[:, None])
        columns = np.stack(np.broadcast_arrays(1.0, across, foot), axis=1) * weight  # tails, terms, points
        values = weight * values
        terms = np.linalg.solve(
            columns @ columns.transpose(0, 2, 1) + 1e-12 * np.eye(3), (columns @ values)[:, :, None]
        )
        for rest in values - (terms * columns).sum(axis=1):
            hump = np.abs(np.bincount(place, rest, minlength=count)) / many - 3 * curve.noise / np.sqrt(many)
            least = min(least, float(hump.max()))
    return max(least, 0.0)


def levels_below(curve, gap):
    """Return the lowest and the highest absorption that was measured below a gap."""
    absorbed = absorption(curve.smooth[curve.energy <= gap - UNDER])
    return (float(absorbed.min()), float(absorbed.max())) if absorbed.size else (0.0, 0.0)
