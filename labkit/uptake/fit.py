"""A curve through readings by least squares, with what it is worth: intervals, and a verdict in words.

Plain numbers, as in ``labkit.units.straight_line``; ``isotherm_report`` and ``kinetics_report`` put the units round it.
"""

from dataclasses import dataclass
from math import log, sqrt

import numpy as np

from labkit.errors import RangeProblem, UnitProblem
from labkit.units import is_quantity, number_text
from labkit.units.propagation import coverage_factor
from labkit.uptake.doubts import doubts, free_doubts, level_of, misfit
from labkit.uptake.models import Curve
from labkit.uptake.profile import Span, Squares

SHARE = 0.95
_SMALL, _LARGE = 1e-9, 1e9  # beyond it other units are asked for


@dataclass(frozen=True, eq=False, repr=False)
class Fit:
    """A curve fitted to readings ``x``, ``y`` with standard uncertainties ``u`` (None if not given).

    ``parameters`` and ``errors`` (standard errors) are dicts by name, ``covariance`` is in the same order.  ``squares`` is the
    sum of squares, weighted if ``u`` was given, and ``s`` the residual standard deviation (then in units of ``u``).  ``ends`` are the
    95 % interval of each parameter, lopsided as it is; an end is endless if the readings do not bound it.  ``span`` is the same for the pace
    (see ``labkit.uptake.models``), None for a curve without one.  ``aicc`` is the corrected information criterion of
    Akaike, smaller is better, endless where there are too few readings for it, and ``rivals`` has that of simpler curves.  ``verdict`` is “usable”, “weak” or
    “cannot tell”, ``reasons`` say why.
    """

    curve: Curve
    x: np.ndarray
    y: np.ndarray
    u: np.ndarray | None
    parameters: dict
    errors: dict
    covariance: np.ndarray
    squares: float
    s: float
    dof: int
    aicc: float
    ends: dict
    verdict: str
    reasons: tuple
    span: Span | None = None
    rivals: dict | None = None

    @property
    def values(self):
        """The parameters as a tuple, in the order of the curve."""
        return tuple(self.parameters.values())

    @property
    def pace(self):
        """The pace of the form; see ``labkit.uptake.models``."""
        return float(self.curve.split(*self.values)[1])

    @property
    def factor(self):
        """By what a standard error is multiplied to cover 95 %: Student's t, or 1.96 where ``u`` was given and holds."""
        return _factor(self.u, self.s, self.dof)

    @property
    def residuals(self):
        """Readings less the curve, in the unit of ``y``."""
        return self.y - self.at(self.x)

    def interval(self, name):
        """Return (low, high) of a parameter by its standard error: symmetric, as most programs print it."""
        half = self.factor * self.errors[name]
        return self.parameters[name] - half, self.parameters[name] + half

    def at(self, x):
        """Return the curve at ``x``, a number or an array."""
        return self.curve(x, *self.values)

    def predict(self, x):
        """Return (y, standard uncertainty) of the curve at ``x``; not of a further reading, which scatters about it."""
        slopes = _slopes(self.curve, np.atleast_1d(np.asarray(x, dtype=float)), self.values)
        u = np.sqrt(np.einsum("ij,jk,ik->i", slopes, self.covariance, slopes))
        return self.at(x), u.reshape(np.shape(x))[()]

    def share(self, x):
        """Return (low, likely, high): what share of its ceiling the curve has at ``x``, with its 95 % interval.

        RangeProblem for a curve without a ceiling.
        """
        self._ceiling()
        x = np.array([float(x)])
        paces = self.span.low, self.pace, self.span.high
        return tuple(1.0 if np.isinf(pace) and x[0] > 0 else float(self.curve.form(x, pace)[0]) for pace in paces)

    def reach(self, share=SHARE):
        """Return (low, likely, high): the x at which a share of the ceiling is reached, with its 95 % interval."""
        self._ceiling()
        found = (self.span.high, self.pace, self.span.low)
        return tuple(
            0.0 if np.isinf(pace) else np.inf if pace == 0 else self.curve.reach(share, pace) for pace in found
        )

    def _ceiling(self):
        if self.curve.reach is None:
            raise RangeProblem(f"The {self.curve.name} curve has no ceiling, so there is no share of it.")

    def __str__(self):
        rows = [f"{self.curve.name}, {self.x.size} readings: {self.verdict}"]
        for name, size in self.parameters.items():
            low, high = (number_text(end, 3) if np.isfinite(end) else "no end seen" for end in self.ends[name])
            rows.append(f"{name} {number_text(size, 4)} (95 %: {low} to {high})")
        return "\n".join([*rows, f"scatter {number_text(self.s, 2)}", *(f"{reason}." for reason in self.reasons)])

    __repr__ = __str__


def fitted(curve, x, y, u=None, starts=None):
    """Return the Fit of a curve to readings by least squares.

    Parameters
    ----------
    curve : Curve
        Such as ``labkit.uptake.models.LANGMUIR``.
    x, y : sequences of plain numbers
        Three readings or more; ``x`` is taken as exact, and is zero or more.
    u : number or sequence of plain numbers, optional
        Standard uncertainties of ``y``.  They alone make the errors, unless the scatter is larger than they allow: then it does,
        and the fit is weak.
    starts : sequence of sequences, optional
        Parameters to start from.  The curves of ``labkit.uptake.models`` need none; for any other curve they are asked for.

    Raises
    ------
    RangeProblem, UnitProblem
        If these are no readings a curve can be fitted to.

    Notes
    -----
    For a size times a form with one pace, every pace is looked at, so that no start leads astray.  Other curves are fitted from each start,
    each start stretched, and from beside the best.  Intervals are where the sum of squares rises by ``t²·s²``.  The verdict is against curves
    that need no fit worth the name: nothing, a level, a line through zero; and against the same curve with ``x`` raised to a power, which
    shows a rise that is slower or steeper than the curve can be.  A fit only says that a curve goes through the readings.

    References
    ----------
    nist_strd

    Examples
    --------
    >>> from labkit.uptake.models import LANGMUIR
    >>> fit = fitted(LANGMUIR, [2, 5, 10, 20, 40, 80, 160], [6.3, 13.6, 20.1, 26.2, 31.9, 35.7, 37.4])
    >>> print(f"{fit.parameters['capacity']:.1f} ± {fit.errors['capacity']:.1f}", fit.verdict)
    39.9 ± 0.3 usable
    """
    if not isinstance(curve, Curve):
        raise UnitProblem("fitted() takes a curve such as LANGMUIR or FIRST_ORDER, and not its name.")
    x, y, u = _readings(x, y, u)
    given = [_start(curve, start) for start in ([] if starts is None else starts)]
    if curve.form is None:
        return _free(curve, x, y, u, given)
    weights = np.ones_like(y) if u is None else 1 / u**2
    squares = Squares(curve, x, y, weights)
    pace, bound = squares.best([float(curve.split(*start)[1]) for start in given])
    least, sizes, _ = squares.at([pace])
    # A reading of nothing at zero is where every curve starts, and no measure of the scatter.
    count = int(((x > 0) | (y != 0)).sum())
    if count < 3:
        raise RangeProblem("fitted() needs three readings or more beside the start at zero, where every curve is zero.")
    least, size, dof = float(least[0]), float(sizes[0]), count - 2
    s = sqrt(least / dof)
    scale, factor = _scale(u, s), _factor(u, s, dof)
    # Readings without any scatter have been rounded: their last bit is no measure of how well they are known.
    floor = 1e-26 * float(weights @ y**2)
    span = squares.span(pace, least + (factor * scale) ** 2 + floor)
    values, covariance = _joined(curve, size, pace, squares.covariance(size, pace), scale)
    ends = _ends(curve, span)
    criterion = _criterion(least + floor, count, 2, u)
    rivals = {
        what: _criterion(squares.of(form) + floor if form is not None else float(weights @ y**2) + floor, count, numbers, u)
        for what, form, numbers in (("nothing at all", None, 0), ("the same uptake everywhere", np.ones_like(x), 1),
                                  ("the same uptake at every reading above zero", (x > 0).astype(float), 1), ("a straight line through zero", x, 1))
    }  # fmt: skip
    crooked = _criterion(_line_squares(x, y, weights) + floor, count, 2, u)
    shares = None if curve.reach is None else [float(curve.form(np.array([x.max()]), end)[0]) if np.isfinite(end) else 1.0 for end in (span.low, pace)]  # fmt: skip
    found = doubts(x, size, bound, covariance, dict(zip(curve.parameters, values)), ends, criterion, rivals, crooked, shares, None if u is None else (s, dof), count)  # fmt: skip
    if curve.reach and not bound and least > floor:
        found += misfit(squares.stretch(size, pace), None if u is not None and s <= 1 else dof - 1)
    return _fit(curve, x, y, u, values, covariance, least, s, criterion, ends, found, span, rivals, dof)


def _fit(curve, x, y, u, values, covariance, squares, s, criterion, ends, found, span=None, rivals=None, dof=None):
    level = level_of(found)
    covariance = np.full((len(values),) * 2, np.inf) if covariance is None else covariance
    errors = np.sqrt(np.diag(covariance))
    return Fit(
        curve, x, y, u, dict(zip(curve.parameters, map(float, values))), dict(zip(curve.parameters, map(float, errors))), covariance,
        squares, s, x.size - len(values) if dof is None else dof, criterion, ends, level, tuple(dict.fromkeys(reason for one, reason in found if one == level)), span, rivals or {},
    )  # fmt: skip


def _free(curve, x, y, u, starts):
    """Return the Fit of a curve that is no size times a form, from starts."""
    from scipy.optimize import least_squares

    if not starts:
        raise RangeProblem(
            f"fitted() needs starts for the {curve.name} curve, one guess of each parameter: starts=[(1, 2, …)]."
        )
    if x.size <= len(curve.parameters):
        raise RangeProblem(
            f"fitted() needs more readings than the {len(curve.parameters)} parameters, but there are {x.size}."
        )
    weight = 1.0 if u is None else 1 / u

    def off(values):
        with np.errstate(all="ignore"):
            return np.nan_to_num((y - curve(x, *values)) * weight, nan=1e100, posinf=1e100, neginf=-1e100)

    def steepness(values):
        with np.errstate(all="ignore"):
            return -np.nan_to_num(
                _slopes(curve, x, values) * np.reshape(weight, (-1, 1)), nan=0.0, posinf=1e100, neginf=-1e100
            )

    def ended(start):
        # Slopes of our own, by steps to both sides: not every scipy takes those for this method.
        found = least_squares(off, start, method="lm", jac=steepness, xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=4000)
        return 2 * float(found.cost), found.x

    tried = [ended(np.asarray(start) * stretch) for start in starts for stretch in (1.0, 0.3, 3.0)]
    nearby = min(tried, key=lambda one: one[0])[1]
    tried += [ended(nearby * stretch) for stretch in (0.8, 1.3)]
    squares, values = min(tried, key=lambda one: one[0])
    agreed = sum(one <= squares * (1 + 1e-6) + 1e-30 for one, _ in tried)
    dof = x.size - len(values)
    s = sqrt(squares / dof)
    slopes = _slopes(curve, x, values) * np.reshape(weight, (-1, 1))
    covariance = _inverse(slopes, _scale(u, s))
    floor = 1e-26 * float(((y * weight) ** 2).sum())
    criterion = _criterion(squares + floor, x.size, len(values), u)
    weights = np.broadcast_to(np.asarray(weight, dtype=float) ** 2, x.shape)
    middle = float(weights @ y / weights.sum())
    level = _criterion(float(weights @ (y - middle) ** 2) + floor, x.size, 1, u)
    errors = np.full(len(values), np.inf) if covariance is None else np.sqrt(np.diag(covariance))
    half = _factor(u, s, dof) * errors
    ends = {name: (float(low), float(high)) for name, low, high in zip(curve.parameters, values - half, values + half)}
    reasons = free_doubts(
        x.size, dict(zip(curve.parameters, values)), ends, covariance, criterion, level, agreed, len(tried)
    )
    return _fit(curve, x, y, u, values, covariance, squares, s, criterion, ends, reasons)


def _scale(u, s):
    return s if u is None else max(1.0, s)


def _factor(u, s, dof):
    return coverage_factor(SHARE, dof if u is None or s > 1 else np.inf)


def _criterion(squares, size, count, u):
    """Return the corrected information criterion of Akaike; the scatter counts as a parameter where it is found from the readings."""
    known = u is not None
    count += not known
    left = size - count - 1
    if left <= 0:
        return np.inf
    fit = squares if known else size * log(squares / size)
    return fit + 2 * count + 2 * count * (count + 1) / left


def _joined(curve, size, pace, covariance, scale):
    """Return (parameters, their covariance or None) from size and pace and the covariance of size and the logarithm of the pace."""
    values = curve.joined(size, pace)
    if covariance is None or not size:
        return values, None
    tiny = 1e-20  # a complex step: the slopes are exact to the last bits
    by_size = [part.imag / tiny for part in map(complex, curve.joined(size + 1j * tiny, pace))]
    by_pace = [part.imag / tiny * pace for part in map(complex, curve.joined(size, pace + 1j * tiny))]
    slopes = np.column_stack([by_size, by_pace])
    return values, slopes @ covariance @ slopes.T * scale**2


def _ends(curve, span):
    """Return the 95 % interval of each parameter, endless where the pace is open."""
    found = {}
    for place, name in enumerate(curve.parameters):
        low, high = span.ends(lambda sizes, paces: curve.joined(sizes, paces)[place])  # noqa: B023
        if span.low == 0:
            low, high = (low, np.inf if curve.reach else high) if place == 0 else (0.0, high)
        if np.isinf(span.high) and place == 1:
            high = np.inf
        found[name] = (low, high)
    return found


def _slopes(curve, x, values):
    """Return the slopes of a curve by its parameters at each x, by central differences."""
    columns = []
    for place, value in enumerate(values):
        step = 6e-6 * (abs(value) or 1.0)
        up, down = ([*values[:place], value + side * step, *values[place + 1 :]] for side in (1, -1))
        with np.errstate(all="ignore"):
            columns.append((curve(x, *up) - curve(x, *down)) / (2 * step))
    return np.column_stack(columns)


def _inverse(slopes, scale):
    """Return the covariance of the parameters, None where the readings do not tell them apart."""
    size = np.sqrt((slopes**2).sum(axis=0))
    if not (np.isfinite(size).all() and (size > 0).all()):
        return None
    _, worth, axes = np.linalg.svd(slopes / size, full_matrices=False)
    if worth[-1] < 1e-7 * worth[0]:
        return None
    return (axes.T / worth**2) @ axes / np.outer(size, size) * scale**2


def _line_squares(x, y, weights):
    """Return the least sum of squares about a straight line that need not start at zero."""
    total = weights.sum()
    away, high = x - weights @ x / total, y - weights @ y / total
    spread = float(weights @ away**2)
    return float(weights @ (high - away * (float(weights @ (away * high)) / spread if spread else 0.0)) ** 2)


def _start(curve, start):
    start = [float(value) for value in start]
    if len(start) != len(curve.parameters) or not np.isfinite(start).all():
        raise RangeProblem(
            f"A start for the {curve.name} curve has one number for each of: {', '.join(curve.parameters)}."
        )
    if curve.split is not None and min(start) <= 0:
        raise RangeProblem(f"A start for the {curve.name} curve needs numbers above zero.")
    return tuple(start)


def _readings(x, y, u):
    x, y = _plain(x, "x"), _plain(y, "y")
    if x.size != y.size:
        raise RangeProblem(f"fitted() needs as many x as y, but there are {x.size} and {y.size}.")
    if x.size < 3:
        raise RangeProblem(
            f"fitted() needs three readings or more, but there are {x.size}: a curve of two numbers goes through any two points."
        )
    if x.min() < 0:
        raise RangeProblem(
            "fitted() needs x of zero or more: a concentration or a time below zero is a slip, or a blank that took off too much."
        )
    if np.unique(x[x > 0]).size < 2:
        raise RangeProblem("fitted() needs readings at two places x or more that are above zero.")
    if not (x[x > 0].min() > _SMALL and x.max() < _LARGE and np.abs(y).max() < _LARGE):
        raise RangeProblem("fitted() cannot hold numbers of this size. Take other units.")
    if not np.abs(y).max() > _SMALL:
        raise RangeProblem("fitted() needs uptake to fit, but all of it is zero here.")
    if u is not None:
        u = _plain(np.ravel(u), "u")
        u = np.full(x.size, u[0]) if u.size == 1 else u
        if u.size != x.size or not (u > _SMALL * np.abs(y).max()).all():
            raise RangeProblem(f"fitted() needs one ‘u’, or one for each of the {x.size} readings, all above zero.")
    return x, y, u


def _plain(numbers, name):
    if is_quantity(numbers) or np.iterable(numbers) and any(map(is_quantity, numbers)):
        raise UnitProblem(
            f"fitted() takes plain numbers, but ‘{name}’ has a unit. Type for instance {name}=uptake.m_as('mg/g')."
        )
    try:
        found = np.asarray(numbers, dtype=float)
    except (TypeError, ValueError):
        raise RangeProblem(f"fitted() needs numbers for ‘{name}’, one for each reading.") from None
    if found.ndim != 1 or not np.isfinite(found).all():
        raise RangeProblem(f"fitted() needs a row of numbers for ‘{name}’, none missing and none endless.")
    return found
