"""Whether a spectrum can carry a gap at all: what speaks against it, in words.  Plain numbers in eV."""

import numpy as np

USABLE, WEAK, NONE = "usable", "weak", "cannot tell"
# All of these are our choice: where a person with a ruler would begin to doubt, and where to stop.
DROP = (0.15, 0.05)  # fall of the reflectance over the edge: below the first weak, below the second nothing
DARK = (0.06, 0.02)  # reflectance at the middle of the straight part
FLAT = (0.15, 0.35)  # steepness below the edge, as a part of the steepest on it
FALLING = (0.4, 0.6)  # steepness at the end of the spectrum, as a part of the steepest on the edge
SHORT = 0.35  # eV above the gap
AFTER = (0.25, 0.12)  # eV measured above the gap
POINTS = (7, 5)  # points of the straight part
WIDTH = (0.10, 0.06)  # eV of the straight part
CROOKED = (0.03, 0.08)  # bend or scatter of the straight part, of its rise
UNSURE = (0.05, 0.15)  # eV, standard uncertainty
NOISE = (15.0, 8.0)  # fall of the reflectance over its noise
BELOW = 0.12  # eV below the gap that have to be measured to see whether it is flat there
_STEP = 0.02  # eV


def before_fit(curve):
    """Return (level, reasons) from the reflectance alone."""
    found = []
    lowest = int(np.argmin(curve.smooth))
    fall = float(curve.smooth[: lowest + 1].max() - curve.smooth[lowest])
    rise = float(curve.smooth.max() - curve.smooth[0])
    if curve.energy[-1] - curve.energy[0] < 0.3:
        found.append((NONE, "The spectrum is too short: an edge needs some 0.3 eV on either side of it"))
    if fall < DROP[1]:
        found.append((NONE, "The reflectance rises towards short wavelengths, as an absorbance does: export the reflectance" if rise > DROP[0]
                      else f"There is no edge: the reflectance falls by {100 * max(fall, 0):.1f} % points only"))  # fmt: skip
    elif fall < DROP[0]:
        found.append((WEAK, f"The edge is shallow: the reflectance falls by {100 * fall:.0f} % points only"))
    if DROP[1] <= fall < NOISE[1] * curve.noise:
        found.append(
            (NONE, f"The noise of {100 * curve.noise:.1f} % is too large beside a fall of {100 * fall:.0f} % points")
        )
    elif DROP[1] <= fall < NOISE[0] * curve.noise:
        found.append((WEAK, f"The noise is {100 * curve.noise:.1f} % beside a fall of {100 * fall:.0f} % points"))
    if curve.smooth.max() < 0.1:
        found.append((NONE, "The powder is nearly black everywhere: dilute it in a white powder and measure again"))
    return found


def after_fit(curve, crossing):
    """Return (level, reasons) that speak against a crossing that was found."""
    stretch, gap, found = crossing.stretch, crossing.gap, []
    first, last = float(curve.energy[0]), float(curve.energy[-1])
    if not first <= gap <= last:
        return [(NONE, f"The line meets its foot at {gap:.2f} eV, where nothing was measured")]
    below, end = _steepness(curve, gap)
    if below is None:
        found.append((NONE, "The spectrum begins inside the edge, or so close below it that nobody sees where it begins: measure to longer "
                      "wavelengths"))  # fmt: skip
    else:
        found += _graded(below, FLAT, "There is no edge: the reflectance falls all the way",
                         "The reflectance is not flat below the edge", rising=True)  # fmt: skip
        if last - gap < SHORT:  # further up, a fall that goes on is the powder's own
            found += _graded(end, FALLING, "The spectrum ends inside the edge: measure to shorter wavelengths",
                             "The spectrum ends before the reflectance has levelled off: measure to shorter wavelengths", rising=True)  # fmt: skip
    found += _graded(last - gap, AFTER, "The spectrum ends inside the edge: measure to shorter wavelengths",
                     "The spectrum ends soon after the edge: measure to shorter wavelengths")  # fmt: skip
    dark = float(np.interp(stretch.middle, curve.energy, curve.smooth))
    found += _graded(dark, DARK, f"The powder is too dark on the edge, {100 * dark:.1f} %: dilute it in a white powder",
                     f"The powder is dark on the edge, {100 * dark:.1f} %: diluted in a white powder it would tell more")  # fmt: skip
    found += _graded(stretch.points, POINTS, f"Only {stretch.points} points lie on the straight part: measure in smaller steps",
                     f"Only {stretch.points} points lie on the straight part")  # fmt: skip
    wide = stretch.high - stretch.low
    found += _graded(
        wide + 1e-9,
        WIDTH,
        f"The straight part is only {wide:.2f} eV long",
        f"The straight part is only {wide:.2f} eV long",
    )
    crooked = max(abs(stretch.bend), stretch.misfit)
    found += _graded(
        crooked, CROOKED, "No part of the edge is straight", "The straight part is not quite straight", rising=True
    )
    if crossing.banded:
        found.append((WEAK, "The reflectance humps or bends below the edge, as from a band of a dopant: how much of that lies under the edge "
                      "cannot be told"))  # fmt: skip
    unsure = crossing.uncertainty
    worst = (
        f"The standard uncertainty is {unsure:.2f} eV: too much for a gap"
        if np.isfinite(unsure)
        else "What is absorbed below the edge hides it"
    )
    if crossing.banded:
        worst += ", as the reflectance humps or bends below the edge, perhaps from a band of a dopant"
    found += _graded(unsure, UNSURE, worst, f"The standard uncertainty is {unsure:.2f} eV", rising=True)
    if abs(crossing.shift) > 0.01:
        found.append(
            (
                WEAK,
                f"Absorption below the edge was left in: taking it off first moves the gap by {-crossing.shift:+.2f} eV",
            )
        )
    return found


def level_of(found):
    """Return the worst level of some findings.

    >>> level_of([]), level_of([(WEAK, "dark"), (NONE, "no edge")])
    ('usable', 'cannot tell')
    """
    levels = [level for level, _ in found]
    return NONE if NONE in levels else WEAK if WEAK in levels else USABLE


def _graded(value, limits, worst, bad, rising=False):
    """Return the finding for a value that should be above two limits, or below them if ``rising``."""
    first, second = limits
    if (value > second) if rising else (value < second):
        return [(NONE, worst)]
    return [(WEAK, bad)] if ((value > first) if rising else (value < first)) else []


def _steepness(curve, gap):
    """Return how steep the reflectance is where it is flattest below a gap, and at its end, against the steepest on the edge.

    (None, 0) if too little below the gap was measured.
    """
    grid = np.arange(curve.energy[0], min(curve.energy[-1], gap + 0.6), _STEP)
    if gap - curve.energy[0] < BELOW or grid.size < 12:
        return None, 0.0
    slope = np.convolve(-np.gradient(np.interp(grid, curve.energy, curve.smooth), _STEP), np.ones(3) / 3, mode="valid")
    middle = grid[1:-1]
    on = (middle >= gap - 0.2) & (middle <= gap + 0.6)
    under = np.flatnonzero((middle >= gap - 0.8) & (middle <= gap - 0.02))
    many = round(BELOW / _STEP) - 1
    if under.size < many or not on.any() or slope[on].max() <= 0:
        return None, 0.0
    flattest = np.convolve(slope[under], np.ones(many) / many, mode="valid").min()
    steepest = float(slope[on].max())
    return max(float(flattest), 0.0) / steepest, float(slope[-3:].mean()) / steepest
