"""The course of a temperature: readings joined by straight lines, and what can be said of them exactly.

Crossings of a limit are solved on the straight lines and not counted by readings, so that a log
with one reading a minute is not wrong by half a minute at each crossing.
"""

from dataclasses import dataclass

import numpy as np

from labkit.errors import RangeProblem
from labkit.units import Q, is_quantity, number, printed, refuse_array, takes

FEWEST = 2  # readings; one alone has no course


@dataclass(frozen=True, eq=False, repr=False)
class Trace:
    """Temperature against time, straight between the points.

    Parameters
    ----------
    minutes : array of numbers (min), or quantity [time]
        Strictly increasing.
    celsius : array of numbers (°C), or quantity [temperature]
        One for each time.
    counted : array of bool, optional
        One for each stretch between neighbours, so one fewer than there are points.  False where a
        gap is too long to say what happened: nothing is counted there, and no stretch runs across it.

    Raises
    ------
    RangeProblem
        If the arrays do not fit each other, there are fewer than two points, a number is not
        finite, or the times do not increase.

    Examples
    --------
    >>> firing = Trace([0, 100, 280, 400], [20, 550, 550, 70])
    >>> print(firing.time_inside("520 °C", "580 °C").round(2), firing.duration, firing.peak[0])
    193.16 minute 400.0 minute 550.0 degree_Celsius
    """

    minutes: np.ndarray
    celsius: np.ndarray
    counted: np.ndarray | None = None

    def __post_init__(self):
        minutes, celsius = _numbers(self.minutes, "min", "minutes"), _numbers(self.celsius, "degC", "celsius")
        if minutes.shape != celsius.shape:
            raise RangeProblem(f"Trace() needs a temperature for each time, but it got {minutes.size} times and "
                               f"{celsius.size} temperatures.")  # fmt: skip
        if minutes.size < FEWEST:
            raise RangeProblem(f"Trace() needs at least {FEWEST} points, but it got {minutes.size}.")
        if not (np.isfinite(minutes).all() and np.isfinite(celsius).all()):
            raise RangeProblem("Trace() needs finite times and temperatures. Leave out the points that are missing.")
        steps = np.diff(minutes)
        if not (steps > 0).all():
            first = int(np.argmin(steps > 0))
            raise RangeProblem(f"Trace() needs times that increase, but {minutes[first]:g} min is followed by "
                               f"{minutes[first + 1]:g} min. Sort them, and keep one of each.")  # fmt: skip
        counted = np.ones(steps.size, dtype=bool) if self.counted is None else np.array(self.counted, dtype=bool)
        if counted.shape != steps.shape:
            raise RangeProblem(f"Trace() needs ‘counted’ for each stretch between two points: {steps.size}, "
                               f"but it got {counted.size}.")  # fmt: skip
        for name, array in (("minutes", minutes), ("celsius", celsius), ("counted", counted)):
            array.flags.writeable = False
            object.__setattr__(self, name, array)

    def __len__(self):
        return self.minutes.size

    def __repr__(self):
        return (f"Trace of {len(self)} points over {printed(self.duration)}, "
                f"{self.celsius.min():.0f} to {self.celsius.max():.0f} °C")  # fmt: skip

    @property
    def duration(self):
        """Time from the first point to the last, gaps included; quantity [time]."""
        return Q(float(self.minutes[-1] - self.minutes[0]), "min")

    @property
    def gap_time(self):
        """Time that is not counted because nobody knows what happened; quantity [time]."""
        return Q(float(np.diff(self.minutes)[~self.counted].sum()), "min")

    @property
    def peak(self):
        """Highest temperature and the time it is first reached: (quantity in °C, quantity [time])."""
        first = int(np.argmax(self.celsius))
        return Q(float(self.celsius[first]), "degC"), Q(float(self.minutes[first]), "min")

    @takes(time="[time]")
    def at(self, time):
        """Return the temperature at a time, or at each of many, as a quantity in °C.

        Raises RangeProblem for a time before the first point, after the last, or in a gap that is not counted.
        """
        found = self._at(number(time, "min"))
        if np.isnan(found).any():
            raise RangeProblem(f"The temperature is known from {self.minutes[0]:g} to {self.minutes[-1]:g} min, and in no "
                               "gap that is not counted. Ask for a time in which there are readings.")  # fmt: skip
        return Q(found if np.ndim(found) else float(found), "degC")

    @takes(low="[temperature]", high="[temperature]")
    def time_inside(self, low, high):
        """Return the time from ``low`` to ``high``, both counted as inside; quantity [time] in min."""
        return Q(self.plain_time_inside(*_ends("time_inside", low, high)), "min")

    @takes(limit="[temperature]")
    def time_above(self, limit):
        """Return the time above a limit; quantity [time] in min.  A level stretch exactly at it is not above."""
        return Q(self.plain_time_above(_limit("time_above", limit)), "min")

    @takes(limit="[temperature]")
    def time_below(self, limit):
        """Return the time below a limit; quantity [time] in min.  A level stretch exactly at it is not below."""
        return Q(self.plain_time_below(_limit("time_below", limit)), "min")

    @takes(low="[temperature]", high="[temperature]")
    def longest_inside(self, low, high):
        """Return the longest stretch inside without a break; a gap breaks it; quantity [time] in min."""
        return Q(self.plain_longest_inside(*_ends("longest_inside", low, high)), "min")

    @takes(over="[time] > 0")
    def fastest(self, over=None):
        """Return the fastest heating and the fastest cooling, both positive: quantities [temperature rate].

        With ``over``, a time, the mean rate over any window that long is taken, so that the last
        digit of a reading that flickers is not mistaken for a rate; no window runs across a gap.
        Without it, or if no window fits, the steepest straight line decides.
        """
        heating, cooling = self.plain_fastest(None if over is None else number(over, "min"))
        return Q(heating, "delta_degC/min"), Q(cooling, "delta_degC/min")

    # The same on plain numbers, in minutes and °C, for those who ask a thousand times.
    def _at(self, minutes):
        minutes = np.asarray(minutes, dtype=float)
        found = np.interp(minutes, self.minutes, self.celsius, left=np.nan, right=np.nan)
        if self.counted.all():
            return found
        after = np.clip(np.searchsorted(self.minutes, minutes), 1, len(self) - 1)
        in_gap = ~self.counted[after - 1] & (minutes > self.minutes[after - 1]) & (minutes < self.minutes[after])
        return np.where(in_gap, np.nan, found)

    def _pieces(self, low, high):
        """Return for each stretch the minutes of it that lie from ``low`` to ``high``."""
        start, end = self.celsius[:-1], self.celsius[1:]
        bottom, top = np.minimum(start, end), np.maximum(start, end)
        rise, level = top - bottom, start == end
        overlap = np.clip(np.minimum(top, high) - np.maximum(bottom, low), 0, rise)
        share = np.where(level, (start >= low) & (start <= high), overlap / np.where(level, 1, rise))
        return share * np.diff(self.minutes) * self.counted

    def plain_time_inside(self, low, high):
        """Return ``time_inside`` in min, for ends in °C."""
        return float(self._pieces(low, high).sum())

    def plain_time_above(self, limit):
        """Return ``time_above`` in min, for a limit in °C."""
        return float(self._pieces(np.nextafter(limit, np.inf), np.inf).sum())

    def plain_time_below(self, limit):
        """Return ``time_below`` in min, for a limit in °C."""
        return float(self._pieces(-np.inf, np.nextafter(limit, -np.inf)).sum())

    def plain_longest_inside(self, low, high):
        """Return ``longest_inside`` in min, for ends in °C."""
        pieces, inside = self._pieces(low, high), (self.celsius >= low) & (self.celsius <= high)
        # A stretch goes on over a point only if the point is inside and both neighbours are counted.
        goes_on = inside[1:-1] & self.counted[1:] & self.counted[:-1]
        starts = np.flatnonzero(np.concatenate(([True], ~goes_on)))
        return float(np.add.reduceat(pieces, starts).max())

    def plain_fastest(self, over=None):
        """Return ``fastest`` in °C/min, for a time in min."""
        rates = self._window_rates(over) if over else np.array([])
        if not rates.size:
            rates = (np.diff(self.celsius) / np.diff(self.minutes))[self.counted]
        if not rates.size:
            raise RangeProblem("There is nothing but gaps, so no rate can be told.")
        return max(float(rates.max()), 0.0), max(-float(rates.min()), 0.0)

    def _window_rates(self, over):
        """Return the mean rates over all windows that start or end at a point: one of them is the fastest."""
        starts, ends = (
            np.concatenate(both) for both in ((self.minutes, self.minutes - over), (self.minutes + over, self.minutes))
        )
        whole = (starts >= self.minutes[0]) & (ends <= self.minutes[-1])
        starts, ends = starts[whole], ends[whole]
        first = np.searchsorted(self.minutes, starts, side="right") - 1
        last = np.searchsorted(self.minutes, ends, side="left")
        gaps = np.concatenate(([0], np.cumsum(~self.counted)))
        clear = gaps[last] == gaps[first]
        rises = np.interp(ends[clear], self.minutes, self.celsius) - np.interp(
            starts[clear], self.minutes, self.celsius
        )
        return rises / over


def _numbers(values, unit, name):
    """Return a new array of floats, of quantities in ``unit``."""
    if is_quantity(values):
        values = number(values, unit)
    try:
        array = np.array(values, dtype=float)
    except (TypeError, ValueError):
        raise RangeProblem(f"Trace() needs a list of numbers for ‘{name}’.") from None
    if array.ndim != 1:
        raise RangeProblem(f"Trace() needs a plain list of numbers for ‘{name}’, but it got {array.ndim} dimensions.")
    return array


def _limit(function, limit):
    refuse_array(function, limit=limit)
    return number(limit, "degC")


def _ends(function, low, high):
    refuse_array(function, low=low, high=high)
    low, high = number(low, "degC"), number(high, "degC")
    if low > high:
        raise RangeProblem(f"The window runs from low to high, but {low:g} °C is above {high:g} °C. Swap them.")
    return low, high
