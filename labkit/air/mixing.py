"""A well mixed room in plain numbers: exact exponentials, one for each step of a release.

Hours and fractions of the room's air, above what the air from outside already carries.  In a step
with inflow ``g`` (fraction per hour) and ``n`` effective air changes per hour the excess ``u`` obeys
du/dt = g - n u, so u = u0 exp(-nt) + g (1 - exp(-nt))/n.  Everything below is that line, its
integral and its roots, written so that they hold for n = 0 (a shut room) too.
"""

import numpy as np

_SMALL = 1e-2  # below this n·t the series is the more exact: its next term is 1e-11 of the first


def _fill(changes, time):
    """Return (1 - exp(-nt))/n, in h; t where n is zero."""
    return time if changes == 0 else -np.expm1(-changes * time) / changes


def _fill_integral(changes, time):
    """Return the integral of ``_fill`` from 0 to t, in h²."""
    x = changes * time
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        exact = (x + np.expm1(-x)) / x**2
        series = 1 / 2 - x / 6 + x**2 / 24 - x**3 / 120 + x**4 / 720
    return np.where(np.abs(x) < _SMALL, series, exact) * time**2


class Mixed:
    """The excess of a gas in a room: ``edges`` (h), ``rates`` (1/h, the last one zero) and ``levels`` at the edges."""

    def __init__(self, hours, rates, start, changes):
        self.changes = float(changes)
        self.edges = np.concatenate(([0.0], np.cumsum(hours)))
        self.rates = np.concatenate((np.asarray(rates, dtype=float), [0.0]))
        levels = [float(start)]
        for hour, rate in zip(hours, rates):
            levels.append(levels[-1] * np.exp(-self.changes * hour) + rate * _fill(self.changes, hour))
        self.levels = np.array(levels)
        lengths = np.diff(self.edges)
        areas = self._area(np.arange(lengths.size), lengths)
        self.areas = np.concatenate(([0.0], np.cumsum(areas)))

    def _area(self, step, time):
        """Return the integral of the excess over the first ``time`` of a step."""
        return self.levels[step] * _fill(self.changes, time) + self.rates[step] * _fill_integral(self.changes, time)

    def _step(self, times, side="right"):
        return np.searchsorted(self.edges, times, side=side) - 1

    def at(self, times, side="right"):
        """Return the excess at times; nothing before the start.  ``side`` matters only at the start itself."""
        times = np.asarray(times, dtype=float)
        step = self._step(times, side)
        since = np.where(step < 0, 0.0, times - self.edges[step])
        level = self.levels[step] * np.exp(-self.changes * since) + self.rates[step] * _fill(self.changes, since)
        return np.where(step < 0, 0.0, level)

    def area(self, times):
        """Return the integral of the excess from the start to each time, in h."""
        times = np.maximum(np.asarray(times, dtype=float), 0.0)
        step = self._step(times)
        return self.areas[step] + self._area(step, times - self.edges[step])

    def peak(self):
        """Return (highest excess, its time): each step rises or falls throughout, so it lies at an edge."""
        place = int(np.argmax(self.levels))
        return float(self.levels[place]), float(self.edges[place])

    def highest_mean(self, window):
        """Return the highest mean excess over any stretch of ``window`` hours.  Exact.

        The mean over t to t + w is stationary where the excess at both ends is the same.  Between
        neighbouring edges that difference is a constant plus one exponential, with one root at most.
        """
        if (
            window <= 1e-6 * self.edges[-1]
        ):  # too short beside the release for a difference of areas: the peak bounds it
            return float(self.levels.max())
        points = np.unique(np.concatenate((self.edges, self.edges - window)))
        left, right = points[:-1], points[1:]
        begin = self.at(left + window) - self.at(left)
        end = self.at(right + window, "left") - self.at(right, "left")
        crossing = (begin > 0) & (end < 0)
        part, length = begin[crossing] / (begin[crossing] - end[crossing]), (right - left)[crossing]
        if self.changes:
            roots = -np.log1p(part * np.expm1(-self.changes * length)) / self.changes
        else:
            roots = part * length
        starts = np.concatenate((points, left[crossing] + np.minimum(roots, length)))
        # A mean can't be over the peak; rounding in a difference of two large areas could make it so.
        means = (self.area(starts + window) - self.area(starts)) / window
        return float(min(means.max(), self.levels.max()))

    def time_over(self, excess):
        """Return the hours at or over an excess, until it is gone; infinite where it never goes."""
        if excess <= 0:
            return np.inf
        lengths, rates, low, high = np.diff(self.edges), self.rates[:-1], self.levels[:-1], self.levels[1:]
        crosses = (low >= excess) != (high >= excess)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            if self.changes:
                when = -np.log1p(self.changes * (excess - low) / (self.changes * low - rates)) / self.changes
            else:
                when = (excess - low) / rates
        when = np.clip(np.where(crosses, when, 0.0), 0.0, lengths)
        inside = np.where(
            low >= excess, np.where(high >= excess, lengths, when), np.where(crosses, lengths - when, 0.0)
        )
        return float(inside.sum() + self.time_to_clear(excess))

    def time_to_clear(self, excess):
        """Return the hours from the end of the release until the excess is down to ``excess``."""
        last = self.levels[-1]
        if last <= excess:
            return 0.0
        if not self.changes or excess <= 0:
            return np.inf
        return float(np.log(last / excess) / self.changes)
