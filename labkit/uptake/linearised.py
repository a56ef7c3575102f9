"""Curves bent into straight lines, as older papers have it: shown only to see why not.

A line through c/q counts each reading by its c/q, so that small uptakes with large doubts count most or least, and the wrong way round.
"""

from dataclasses import dataclass
from math import floor

import numpy as np

from labkit.errors import RangeProblem, chosen
from labkit.units import number_text, straight_line, wrapped
from labkit.uptake.fit import Fit, fitted
from labkit.uptake.models import COURSES, FREUNDLICH, ISOTHERMS, LANGMUIR, SECOND_ORDER, Curve

CURVES = {curve.name: curve for curve in (*ISOTHERMS, *COURSES)}


@dataclass(frozen=True)
class Bent:
    """One straight line: its axes in words, the parameters it gives, the sum of squares of the uptakes about the curve that has those
    parameters, the readings it could take, and R² of the line in its own plot."""

    axes: str
    parameters: dict
    squares: float
    count: int
    r_squared: float


@dataclass(frozen=True, repr=False, eq=False)
class Linearised:
    """The curve as it should be fitted (``fit``) and the lines (``lines``, each a Bent) beside it."""

    fit: Fit
    lines: tuple

    def rows(self):
        """Return rows of (way, one column for each parameter, sum of squares, R² of the line)."""
        own = [("the curve itself", self.fit.parameters, self.fit.squares, "")]
        ways = own + [
            (line.axes, line.parameters, line.squares, f"{floor(line.r_squared * 1e4) / 1e4:.4f}")
            for line in self.lines
        ]
        return [
            (way, *(number_text(size, 4) for size in parameters.values()), number_text(squares, 3), r)
            for way, parameters, squares, r in ways
        ]

    def sentence(self):
        """Return in words by how much the lines miss."""
        name = next(iter(self.fit.parameters))
        best = self.fit.parameters[name]
        parts = [
            f"{number_text(line.parameters[name], 4)} by {line.axes} ({100 * (line.parameters[name] / best - 1):+.1f} %)"
            for line in self.lines
        ]
        worst = max(line.squares for line in self.lines) / max(self.fit.squares, 1e-300)
        left = self.fit.x.size - min(line.count for line in self.lines)
        lost = f" {left} of {self.fit.x.size} readings at or below zero had to be left out." if left else ""
        return (f"The {name} is {number_text(best, 4)} by the curve itself, and {' and '.join(parts)}. The worst of these leaves {number_text(worst, 2)} "
                f"times the sum of squares.{lost}")  # fmt: skip

    def __str__(self):
        head = ("", *self.fit.parameters, "squares", "R²")
        lines = [
            wrapped("; ".join(f"{what} {cell}".strip() for what, cell in zip(head, row) if cell), hanging="  ")
            for row in self.rows()
        ]
        return "\n".join([wrapped(self.sentence()), *lines])

    __repr__ = __str__


def linearised(curve, x, y):
    """Return the Linearised of readings: what straight lines make of them, beside the curve itself.

    Parameters
    ----------
    curve : str or Curve
        “Langmuir”, “Freundlich” or “pseudo-second order”.
    x, y : sequences of plain numbers
        As for ``fitted``; readings at zero cannot stand in these plots and are left out of the lines.

    Raises
    ------
    RangeProblem, ChoiceProblem
        If fewer than three readings can stand in them, or there is no such curve, or a line gives no such curve at all.

    Examples
    --------
    >>> found = linearised("Langmuir", [2, 5, 10, 20, 40, 80], [8.0, 13.0, 21.0, 26.0, 32.5, 35.0])
    >>> [round(line.parameters["capacity"], 1) for line in found.lines], round(found.fit.parameters["capacity"], 1)
    ([39.0, 35.2], 39.2)
    """
    curve = curve if isinstance(curve, Curve) else CURVES[chosen(curve, CURVES, "curve")]
    fit = fitted(curve, x, y)
    good = (fit.x > 0) & (fit.y > 0)
    if good.sum() < 3:
        raise RangeProblem("A line needs three readings or more above zero.")
    ways = [_bent(fit, axes, *parts) for axes, *parts in _WAYS.get(curve, lambda x, y: [])(fit.x[good], fit.y[good])]
    if not ways:
        raise RangeProblem(f"The {curve.name} curve has no straight line without a guess of its ceiling.")
    return Linearised(fit, tuple(ways))


def _bent(fit, axes, across, up, parameters):
    line = straight_line(across, up)
    off = up - line.intercept - line.slope * across
    with np.errstate(all="ignore"):
        found = dict(
            zip(fit.curve.parameters, map(float, parameters(np.float64(line.slope), np.float64(line.intercept))))
        )
        squares = float(((fit.y - fit.curve(fit.x, *found.values())) ** 2).sum())
    spread = float(((up - up.mean()) ** 2).sum())
    if not np.isfinite([*found.values(), squares]).all() or not spread > 0:
        raise RangeProblem(f"The line by {axes} gives no {fit.curve.name} curve: its slope or its intercept is zero.")
    return Bent(axes, found, squares, int(across.size), 1 - float(off @ off) / spread)


_WAYS = {
    LANGMUIR: lambda c, q: [("c/q against c", c, c / q, lambda slope, start: (1 / slope, slope / start)),
                            ("1/q against 1/c", 1 / c, 1 / q, lambda slope, start: (1 / start, start / slope))],
    FREUNDLICH: lambda c, q: [("log q against log c", np.log10(c), np.log10(q), lambda slope, start: (10.0**start, slope))],
    SECOND_ORDER: lambda t, q: [("t/q against t", t, t / q, lambda slope, start: (1 / slope, slope**2 / start))],
}  # fmt: skip
