"""A kiln that is switched on and off, and the course that it takes; how it holds a window is in labkit.heat.hold.

The kiln is one lump with a first-order lag.  Left on it settles at its ceiling, switched off at
the air around it, and both with one time constant.  A real kiln radiates, so a hot one cools faster
than that, and its probe, its walls and its crucible each follow with a lag of their own: the crucible
lags behind what the probe shows.  Fit your own kiln (labkit.heat.fit) near the temperature that counts.
"""

import math
from dataclasses import dataclass

import numpy as np

from labkit.errors import LabError, RangeProblem, UnitProblem
from labkit.heat.trace import Trace
from labkit.units import Q, Range, as_range, checked, is_quantity, nominal, number, printed, read, refuse_array, takes

MOST_SEGMENTS = 100_000
MOST_SAMPLES = 1_000_000


@dataclass(frozen=True)
class Kiln:
    """A kiln with a first-order lag.

    Parameters
    ----------
    time_constant : quantity [time], text or Range
        More than zero.
    ceiling : quantity [thermometer reading], text or Range
        What it would settle at if left on; above ``ambient``.
    ambient : quantity [thermometer reading] or text
        The air around it.

    Ranges (``"60 to 100 min"``) are taken by ``duty_to_hold``, ``hold_verdict`` and ``firing_energy``; for the course
    of one kiln take ``.likely``.

    Raises
    ------
    UnitProblem, ReadingProblem, RangeProblem
        If a value is of another kind, can't be read, or the ceiling is not above the ambient.

    Examples
    --------
    >>> print(Kiln("80 min", "900 °C"))
    Kiln: time constant 1.33 h, ceiling 900 °C, in air of 20.0 °C
    """

    time_constant: object
    ceiling: object
    ambient: object = "20 °C"

    def __post_init__(self):
        for name, need in (("time_constant", "[time] > 0"), ("ceiling", "[temperature]")):
            span = as_range(getattr(self, name), need, name)
            object.__setattr__(self, name, span.likely if span.low == span.high else span)
        ambient = nominal(checked(self.ambient, "[temperature]", "ambient", "Kiln"))
        refuse_array("Kiln", ambient=ambient)
        object.__setattr__(self, "ambient", ambient)
        if number(as_range(self.ceiling, "[temperature]").low, "degC") <= number(ambient, "degC"):
            raise RangeProblem(f"Left on, a kiln settles above the air around it, but this ceiling is {_shown(self.ceiling)} "
                               f"in air of {printed(ambient)}. Type for instance 900 °C as its ceiling.")  # fmt: skip

    def __str__(self):
        return (f"Kiln: time constant {_shown(self.time_constant)}, ceiling {_shown(self.ceiling)}, "
                f"in air of {printed(self.ambient)}")  # fmt: skip

    @property
    def ranges(self):
        """What is only guessed: name to Range."""
        pairs = {"time_constant": self.time_constant, "ceiling": self.ceiling}
        return {name: value for name, value in pairs.items() if isinstance(value, Range)}

    @property
    def likely(self):
        """The kiln with the likely value of each Range."""
        return Kiln(*(as_range(value, need).likely for value, need in
                      ((self.time_constant, "[time]"), (self.ceiling, "[temperature]"))), self.ambient)  # fmt: skip

    @property
    def corners(self):
        """The kilns at every combination of the ends of its ranges; itself alone if it has none."""
        times, ceilings = (
            (span.low, span.high) if isinstance(span, Range) else (span,) for span in (self.time_constant, self.ceiling)
        )
        return [Kiln(time, ceiling, self.ambient) for time in times for ceiling in ceilings]


def _shown(value):
    return str(value) if isinstance(value, Range) else printed(value)


def needs_kiln(kiln, function):
    """Return the kiln given to a function; LabError if it is none."""
    if not isinstance(kiln, Kiln):
        raise LabError(f"{function}() needs a Kiln for ‘kiln’, but this is of type {type(kiln).__name__}. "
                       "Type for instance Kiln('80 min', '900 °C').")  # fmt: skip
    return kiln


def plain_kiln(kiln, function):
    """Return time constant (min), ceiling and ambient (°C) of one kiln, as plain numbers.

    Raises LabError for what is no kiln, RangeProblem for one with ranges; both name the function.

    >>> plain_kiln(Kiln("80 min", "900 °C"), "course")
    (80.0, 900.0, 20.0)
    """
    if needs_kiln(kiln, function).ranges:
        raise RangeProblem(f"{function}() follows one kiln, but this one has a range for its "
                           f"{' and '.join(kiln.ranges).replace('_', ' ')}. Take kiln.likely, or one of kiln.corners.")  # fmt: skip
    return number(kiln.time_constant, "min"), number(kiln.ceiling, "degC"), number(kiln.ambient, "degC")


def kiln_from_power(power, loss, heat_capacity, ambient="20 °C"):
    """Return the Kiln that a heating power, a loss and a heat capacity make.

    The ceiling is the ambient plus power / loss, the time constant heat capacity / loss.  The loss
    is taken as the same at every temperature, so a ceiling far above where it was found is too high.

    Parameters
    ----------
    power : quantity [power]
    loss : quantity [power per temperature change]
        What the wall lets through, such as ``"1.5 W/K"``: conductivity times area / thickness.
    heat_capacity : quantity [energy per temperature change]
        Of everything that warms, such as ``"8 kJ/K"``: brick, crucible and charge.
    ambient : quantity [thermometer reading]

    Raises
    ------
    UnitProblem, ReadingProblem, RangeProblem
        If a value is of another kind, can't be read, or is not more than zero.

    Examples
    --------
    >>> print(kiln_from_power("1.2 kW", "1.5 W/K", "7.2 kJ/K"))
    Kiln: time constant 1.33 h, ceiling 820 °C, in air of 20.0 °C
    """
    watts = number(checked(power, "[power] > 0", "power", "kiln_from_power"), "W")
    per_kelvin = _per_kelvin(loss, "W/K", "loss", "1.5 W/K")
    stored = _per_kelvin(heat_capacity, "J/K", "heat_capacity", "8 kJ/K")
    ambient = checked(ambient, "[temperature]", "ambient", "kiln_from_power")
    refuse_array("kiln_from_power", power=Q(watts, "W"), ambient=ambient)
    ceiling = Q(number(ambient, "degC") + watts / per_kelvin, "degC")
    return Kiln(Q(stored / per_kelvin / 60, "min"), ceiling, ambient)


def _per_kelvin(value, unit, name, example):
    """Return the number of something per kelvin, for which there is no word among the dimensions."""
    value = read(value, None, name) if isinstance(value, str) else value
    if not is_quantity(value) or not value.is_compatible_with(unit) or np.ndim(value.magnitude):
        raise UnitProblem(
            f"kiln_from_power() needs one value in {unit} for ‘{name}’. Type for instance {name}={example!r}."
        )
    found = number(value, unit)
    if not (math.isfinite(found) and found > 0):
        raise RangeProblem(
            f"kiln_from_power() needs ‘{name}’ to be more than zero. Type for instance {name}={example!r}."
        )
    return found


# ------------------------------------------------------------------------------------------- course
def cycles(on, off, count=1):
    """Return ``count`` times on and off as a switching for ``course``: ((time, True), (time, False), ...).

    >>> cycles("4 min", "6 min", 2)
    (('4 min', True), ('6 min', False), ('4 min', True), ('6 min', False))
    """
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST_SEGMENTS // 2:
        raise RangeProblem(
            f"cycles() needs a whole number from 1 to {MOST_SEGMENTS // 2} for ‘count’. Type for instance 20."
        )
    return ((on, True), (off, False)) * count


def course(kiln, switching, start=None):
    """Return the Course of a kiln that is switched on and off; exact, an exponential for each piece.

    Parameters
    ----------
    kiln : Kiln
        Without ranges.
    switching : sequence of (time, on)
        In order; ``on`` is True, False, or a share of the power from 0 to 1.
    start : quantity [thermometer reading], optional
        The ambient if left out.

    Raises
    ------
    RangeProblem
        If the kiln has ranges, the switching is empty, or a share lies outside 0 to 1.
    UnitProblem, ReadingProblem
        If a time is none or can't be read.

    Examples
    --------
    >>> firing = course(Kiln("80 min", "900 °C"), [("80 min", True), ("40 min", False)])
    >>> print(printed(firing.peak[0]), "at", printed(firing.peak[1]), "and at the end", printed(firing.at("2 h")))
    576 °C at 1.33 h and at the end 357 °C
    """
    tau, ceiling, ambient = plain_kiln(kiln, "course")
    times, shares = read_switching(switching, "course")
    start = kiln.ambient if start is None else checked(start, "[temperature]", "start", "course")
    refuse_array("course", start=start)
    targets = ambient + shares * (ceiling - ambient)
    at, starts = number(start, "degC"), []
    for minutes, target in zip(times.tolist(), targets.tolist()):
        starts.append(at)
        at = target + (at - target) * math.exp(-minutes / tau)
    return Course(kiln, np.concatenate([[0.0], np.cumsum(times)]), np.array([*starts, at]), targets)


def read_switching(switching, function):
    """Return the minutes of each piece of a switching and its share of the power, as arrays; a fault names the function."""
    try:
        pairs = [(time, on) for time, on in switching]
    except (TypeError, ValueError):
        raise RangeProblem(
            f"{function}() needs ‘switching’ as pairs of a time and on or off. "
            "Type for instance [('2 h', True), ('30 min', False)], or use cycles()."
        ) from None
    if not 1 <= len(pairs) <= MOST_SEGMENTS:
        raise RangeProblem(f"{function}() takes 1 to {MOST_SEGMENTS} pieces of switching, but it got {len(pairs)}.")
    known, times, shares = {}, [], []  # cycles repeat the same few texts thousands of times
    for time, on in pairs:
        minutes = known.get(time) if isinstance(time, str) else None
        if minutes is None:
            quantity = checked(time, "[time] > 0", "switching", function)
            refuse_array(function, switching=quantity)
            minutes = number(quantity, "min")
            if isinstance(time, str):
                known[time] = minutes
        if not isinstance(on, (bool, int, float, np.bool_, np.number)) or not 0 <= on <= 1:
            raise RangeProblem(
                f"In ‘switching’, on is True, False, or a share of the power from 0 to 1, but this is {str(on)[:20]!r}."
            )
        times.append(minutes)
        shares.append(float(on))
    return np.array(times), np.array(shares)


@dataclass(frozen=True, eq=False, repr=False)
class Course:
    """The course of a switched kiln, exact at every time.

    ``minutes`` are the times of switching with the start and the end, ``celsius`` the temperatures
    at them, ``targets`` what the kiln heads for in each piece.
    """

    kiln: Kiln
    minutes: np.ndarray
    celsius: np.ndarray
    targets: np.ndarray

    def __repr__(self):
        return f"Course of {len(self.targets)} pieces over {printed(self.duration)}, up to {printed(self.peak[0])}"

    @property
    def duration(self):
        """Time from start to end; quantity [time]."""
        return Q(float(self.minutes[-1]), "min")

    @property
    def peak(self):
        """Highest temperature and the time it is first reached: (quantity in °C, quantity [time])."""
        first = int(np.argmax(self.celsius))
        return Q(float(self.celsius[first]), "degC"), Q(float(self.minutes[first]), "min")

    @takes(times="[time]")
    def at(self, times):
        """Return the temperature at a time or at each of many; RangeProblem outside the course."""
        minutes = np.asarray(number(times, "min"), dtype=float)
        if np.any(minutes < 0) or np.any(minutes > self.minutes[-1]):
            raise RangeProblem(f"This course runs from 0 to {printed(self.duration)}. Ask for a time inside it.")
        found = self._at(minutes)
        return Q(found if np.ndim(found) else float(found), "degC")

    def _at(self, minutes):
        piece = np.clip(np.searchsorted(self.minutes, minutes, side="right") - 1, 0, len(self.targets) - 1)
        left = np.exp(-(minutes - self.minutes[piece]) / self._tau)
        return self.targets[piece] + (self.celsius[piece] - self.targets[piece]) * left

    @property
    def _tau(self):
        return number(self.kiln.time_constant, "min")

    @takes(limit="[temperature]")
    def time_above(self, limit):
        """Return the time above a limit, the crossings solved; quantity [time]."""
        refuse_array("time_above", limit=limit)
        return Q(float(self._above(number(limit, "degC"), at_it=False).sum()), "min")

    @takes(low="[temperature]", high="[temperature]")
    def time_inside(self, low, high):
        """Return the time from ``low`` to ``high``, both counted as inside; quantity [time]."""
        low, high = plain_window("time_inside", low, high)
        return Q(float((self._above(low, at_it=True) - self._above(high, at_it=False)).sum()), "min")

    def _above(self, limit, at_it):
        """Return for each piece the minutes above ``limit``; a level piece just at it counts if ``at_it``."""
        first, last, target = self.celsius[:-1], self.celsius[1:], self.targets
        whole = np.diff(self.minutes)
        crosses = (first - limit) * (last - limit) < 0
        with np.errstate(divide="ignore", invalid="ignore"):
            crossing = self._tau * np.log((first - target) / (limit - target))
        crossing = np.clip(np.where(crosses, crossing, 0), 0, whole)
        stays_above = (np.maximum(first, last) > limit) | (at_it & (first == limit) & (last == limit))
        found = np.where(crosses & (first < limit), whole - crossing, crossing)
        return np.where(crosses, found, np.where(stays_above, whole, 0.0))

    @takes(step="[time] > 0")
    def trace(self, step="1 min"):
        """Return a Trace for pictures and reports: a point every ``step`` and one at each switching.

        Its straight lines cut the curve: with a step of h by at most (h / time constant)²/8 of the
        distance to where the kiln heads, which for 1 min and 1 h is 0.03 K in 900 K.
        """
        refuse_array("trace", step=step)
        size, end = number(step, "min"), float(self.minutes[-1])
        if end / size > MOST_SAMPLES:
            raise RangeProblem(
                f"A step of {printed(step)} would give more than {MOST_SAMPLES} points. Take a longer one."
            )
        minutes = np.unique(np.concatenate([np.arange(0, end, size), self.minutes]))
        minutes = minutes[np.concatenate([[True], np.diff(minutes) > 1e-9 * max(end, 1e-6)])]
        return Trace(minutes, self._at(minutes))


def plain_window(function, low, high):
    """Return the ends of a window in °C, as plain numbers; RangeProblem if the lower does not come first."""
    refuse_array(function, low=low, high=high)
    ends = number(low, "degC"), number(high, "degC")
    if ends[0] >= ends[1]:
        raise RangeProblem(f"{function}() needs the lower end first, but it got {printed(low)} and {printed(high)}. "
                           "Type for instance '520 °C', '580 °C'.")  # fmt: skip
    return ends


def trace_of(thing):
    """Return the Trace of a Trace, or of a log, schedule or course, which carry one; LabError otherwise."""
    found = getattr(thing, "trace", thing)
    found = found() if callable(found) else found
    if not isinstance(found, Trace):
        raise LabError(f"A log, a schedule or a trace is needed here, but this is of type {type(thing).__name__}.")
    return found
