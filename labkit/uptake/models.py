"""Curves for uptake: two isotherms and two courses in time, each a size times a form with one more number in it.

Plain numbers inside; the units come from whoever fits.  That a curve fits is no proof of how the metal is held.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import log

import numpy as np

from labkit.errors import RangeProblem


@dataclass(frozen=True)
class Curve:
    """A curve ``y = value(x, *parameters)`` with parameters that have names.

    Where ``form`` is given the curve is a size times ``form(x, pace)``: ``split`` turns the parameters into size and pace,
    ``joined`` turns those back (it takes arrays too), ``bend`` is what the form changes by when the logarithm of the pace grows by one, and
    ``slow`` and ``fast`` are the forms, each of any height, that it nears as the pace goes to nothing and to endless.
    ``paces`` gives the least and the most pace that readings at such x (above zero) could show.  ``reach`` gives the x at
    which a share of the ceiling is reached, None for a curve without a ceiling.
    """

    name: str
    parameters: tuple
    value: Callable
    formula: str = ""
    form: Callable | None = None
    bend: Callable | None = None
    split: Callable | None = None
    joined: Callable | None = None
    slow: Callable | None = None
    fast: Callable | None = None
    paces: Callable | None = None
    reach: Callable | None = None

    def __call__(self, x, *parameters):
        """Return the curve at ``x``, a number or an array.

        >>> float(LANGMUIR(10.0, 40.0, 0.1)), round(float(FIRST_ORDER(2.0, 30.0, 0.5)), 3)
        (20.0, 18.964)
        """
        if len(parameters) != len(self.parameters):
            raise RangeProblem(
                f"The {self.name} curve needs {len(self.parameters)} parameters: {', '.join(self.parameters)}."
            )
        return self.value(np.asarray(x, dtype=float), *parameters)[()]

    def __repr__(self):
        return f"{self.name}: {self.formula}"


def _saturating(x, pace):
    return pace * x / (1 + pace * x)


def _saturating_bend(x, pace):
    return pace * x / (1 + pace * x) ** 2


def _dying(x, pace):
    return -np.expm1(-pace * x)


def _dying_bend(x, pace):
    return pace * x * np.exp(-pace * x)


def _power(x, pace):
    return np.power(x, pace)


def _power_bend(x, pace):
    return np.power(x, pace) * pace * np.log(np.where(x > 0, x, 1.0))  # at x = 0 the curve is 0 whatever the pace


def _proportional(x):
    return x


def _step(x):
    return (x > 0).astype(float)


def _highest(x):
    return (x >= x.max()).astype(float)


def _seen(x):
    return 1e-3 / x.max(), 1e4 / x.min()  # all but straight to the last reading, all but done before the first


def _same(size, pace):
    return size, pace


LANGMUIR = Curve(
    "Langmuir",
    ("capacity", "affinity"),
    lambda x, capacity, affinity: capacity * _saturating(x, affinity),
    "q = capacity·K·c/(1 + K·c), K the affinity",
    _saturating, _saturating_bend, _same, _same, _proportional, _step, _seen, lambda share, pace: share / (1 - share) / pace,
)  # fmt: skip
FREUNDLICH = Curve(
    "Freundlich",
    ("factor", "exponent"),
    lambda x, factor, exponent: factor * _power(x, exponent),
    "q = K·c^(1/n), K the factor and 1/n the exponent",
    _power, _power_bend, _same, _same, _step, _highest, lambda x: (0.02, 10.0),
)  # fmt: skip
FIRST_ORDER = Curve(
    "pseudo-first order",
    ("equilibrium", "rate"),
    lambda x, equilibrium, rate: equilibrium * _dying(x, rate),
    "q = equilibrium·(1 − e^(−k·t)), k the rate",
    _dying, _dying_bend, _same, _same, _proportional, _step, _seen, lambda share, pace: -log(1 - share) / pace,
)  # fmt: skip
SECOND_ORDER = Curve(
    "pseudo-second order",
    ("equilibrium", "rate"),
    lambda x, equilibrium, rate: equilibrium * _saturating(x, rate * equilibrium),
    "q = equilibrium²·k·t/(1 + equilibrium·k·t), k the rate",
    _saturating, _saturating_bend, lambda equilibrium, rate: (equilibrium, rate * equilibrium),
    lambda size, pace: (size, pace / size), _proportional, _step, _seen, lambda share, pace: share / (1 - share) / pace,
)  # fmt: skip
ISOTHERMS = (LANGMUIR, FREUNDLICH)
COURSES = (FIRST_ORDER, SECOND_ORDER)
