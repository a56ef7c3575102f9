"""A straight line through readings, with the uncertainties and the correlation of its two parameters."""

from dataclasses import dataclass, field
from math import sqrt

import numpy as np

from labkit.errors import RangeProblem, UnitProblem
from labkit.units.propagation import coverage_factor
from labkit.units.registry import is_quantity
from labkit.units.rounding import number_text


@dataclass(frozen=True, repr=False)
class Line:
    """A fitted line ``y = intercept + slope·x``, all as plain numbers in the units of the readings.

    ``u_slope`` and ``u_intercept`` are standard uncertainties and ``covariance`` is that of the two.  ``s`` is the
    scatter of the readings about the line (residual standard deviation) if no uncertainties of theirs were given;
    else it is the scatter in units of those, which is near 1 if they are right.  ``dof`` are the degrees of freedom
    and ``count`` is the number of readings.  ``given`` is True if the uncertainties of the readings were given.
    """

    slope: float
    intercept: float
    u_slope: float
    u_intercept: float
    covariance: float
    s: float
    dof: int
    count: int
    given: bool = False
    middle: float = field(default=0.0, repr=False)  # about which height and slope are not correlated
    u_middle: float = field(default=0.0, repr=False)

    @property
    def correlation(self):
        """Correlation of slope and intercept, -1 to 1; 0 where there is no uncertainty."""
        both = self.u_slope * self.u_intercept
        return self.covariance / both if both else 0.0

    def predict(self, x):
        """Return (y, standard uncertainty of y) of the line at ``x``, a number or an array.

        The uncertainty is that of the line, and not of a further reading, which scatters about it.

        Examples
        --------
        >>> y, u = straight_line([0, 1, 2, 3], [0.1, 0.9, 2.1, 2.9]).predict(10)
        >>> print(f"{y:.2f} ± {u:.2f}")
        9.66 ± 0.48
        """
        # By the distance from the middle: far from it the terms of the covariance nearly cancel.
        away = np.asarray(x, dtype=float) - self.middle
        height = self.intercept + self.slope * np.asarray(x, dtype=float)
        return height[()], np.hypot(self.u_middle, away * self.u_slope)[()]

    def coverage(self, share=0.95):
        """Return by what a standard uncertainty is multiplied to cover a share of cases (Student's t)."""
        return coverage_factor(share, np.inf if self.given else self.dof)

    def __str__(self):
        slope, intercept = (
            f"{number_text(size, 5)} ± {number_text(u, 2)}"
            for size, u in ((self.slope, self.u_slope), (self.intercept, self.u_intercept))
        )
        told = f"{number_text(self.s, 2)}{' times what was given' if self.given else ''}"
        return (f"slope {slope}\nintercept {intercept}\ncorrelation {self.correlation:.2f}\n"
                f"scatter {told}, {self.count} readings")  # fmt: skip

    __repr__ = __str__


def straight_line(x, y, u=None):
    r"""Return the Line of least squares through readings.

    Parameters
    ----------
    x, y : sequences of plain numbers
        At least three readings, at two or more places ``x``, which are taken to be exact.
    u : number or sequence of plain numbers, optional
        Standard uncertainties of the ``y``, independent of each other: each reading then counts by
        :math:`1/u^2`, and they alone make the uncertainties of the line.  Left out, all readings count alike and
        their own scatter makes the uncertainties.

    Raises
    ------
    RangeProblem
        If there are fewer than three readings or all at one place, a number is missing or endless, the lengths differ,
        or an uncertainty is not more than zero.
    UnitProblem
        If quantities are given: their units would be lost without a word.

    Notes
    -----
    .. math:: u^2(\text{slope}) = s^2 / \sum (x - \bar x)^2,\quad s^2 = \sum r^2 / (n - 2)

    With weights :math:`w = 1/u^2` the sums and the mean are weighted and :math:`s^2` gives way to 1.

    References
    ----------
    jcgm_100_2008, H.3

    Examples
    --------
    >>> straight_line([0, 1, 2, 3], [0.1, 0.9, 2.1, 2.9])
    slope 0.96000 ± 0.057
    intercept 0.060000 ± 0.11
    correlation -0.80
    scatter 0.13, 4 readings
    """
    x, y = _plain(x, "x"), _plain(y, "y")
    weights = np.ones_like(y) if u is None else _weights(u, y.size)
    if x.size != y.size:
        raise RangeProblem(f"straight_line() needs as many x as y, but there are {x.size} and {y.size}.")
    if x.size < 3:
        raise RangeProblem(f"straight_line() needs three readings or more, but there are {x.size}: two points are "
                           "always in line, and tell nothing of their uncertainty.")  # fmt: skip
    if x.min() == x.max():
        raise RangeProblem("straight_line() needs readings at two places or more, but all have the same x.")
    total = weights.sum()
    middle, height = float(weights @ x / total), float(weights @ y / total)
    away = x - middle
    with np.errstate(over="ignore"):
        spread, rise = float(weights @ away**2), float(weights @ (y - height) ** 2)
    if not (1e-280 < spread < 1e280 and rise < 1e280):
        raise RangeProblem("straight_line() cannot hold numbers of this size. Take other units.")
    slope = float(weights @ (away * (y - height)) / spread)
    squares = float(weights @ (y - height - slope * away) ** 2)
    dof = x.size - 2
    s = sqrt(squares / dof)
    factor = s if u is None else 1.0
    u_slope, u_middle = factor / sqrt(spread), factor / sqrt(total)
    return Line(
        slope=slope,
        intercept=height - slope * middle,
        u_slope=u_slope,
        u_intercept=sqrt(u_middle**2 + (middle * u_slope) ** 2),
        covariance=-middle * u_slope**2,
        s=s,
        dof=dof,
        count=int(x.size),
        given=u is not None,
        middle=middle,
        u_middle=u_middle,
    )


def _plain(numbers, name):
    if is_quantity(numbers) or np.iterable(numbers) and any(map(is_quantity, numbers)):
        raise UnitProblem(f"straight_line() takes plain numbers, but ‘{name}’ has a unit. Type for instance "
                          f"{name}=time.m_as('h').")  # fmt: skip
    try:
        found = np.asarray(numbers, dtype=float)
    except (TypeError, ValueError):
        raise RangeProblem(f"straight_line() needs numbers for ‘{name}’, one for each reading.") from None
    if found.ndim != 1 or not np.isfinite(found).all():
        raise RangeProblem(f"straight_line() needs a row of numbers for ‘{name}’, none missing and none endless.")
    return found


def _weights(u, size):
    given = _plain(np.ravel(u), "u")
    if given.size == 1:
        given = np.full(size, given[0])
    if given.size != size:
        raise RangeProblem(f"straight_line() needs one ‘u’, or one for each of the {size} readings, not {given.size}.")
    if not (given > 1e-100).all():
        raise RangeProblem("straight_line() needs uncertainties ‘u’ of more than zero.")
    return 1 / given**2
