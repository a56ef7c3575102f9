"""Where in a run the gas comes steadily: a start without gas, a straight part, and an end without growth.

A course of more parts than one fits any readings better, so it is only believed if the evidence is strong;
with few readings nothing can be told.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import log, sqrt

import numpy as np

FEWEST = 10  # readings below which the parts of a run cannot be told; our choice
# Fall of the information criterion (AICc) that is asked for before one more part is believed.  Over 10 the simpler course
# has “essentially no support” (rule of thumb of Burnham and Anderson, from memory).
EVIDENCE = 10.0
LEAST_FLAT, LEAST_STRAIGHT = 3, 4  # readings in a part; our choice
BEND = 4.0  # standard uncertainties by which a bend has to differ from none; our choice
_MOST, _CORNERS = 60, 80  # points and places of a corner looked at; more are averaged in groups, or left out


@dataclass(frozen=True)
class Parts:
    """The straight part, from ``start`` to ``end``, as places of the first and the last reading in it.

    ``told`` is False if there are too few readings to tell its ends.  ``begins`` and ``stops`` are the times at which the growth
    begins and stops, None where it is not seen to; ``falls`` is how fast the volume falls after that (per time, at least 0).  ``likeness`` is the correlation of neighbouring readings about
    the course, 0 if they are independent, and ``bend`` by how many standard uncertainties the straight part bends,
    negative if the gas comes ever slower.
    """

    start: int
    end: int
    told: bool
    begins: float | None = None
    stops: float | None = None
    falls: float = 0.0
    likeness: float = 0.0
    bend: float = 0.0


def straight_part(times, volumes):
    """Return the Parts of a run.

    Parameters
    ----------
    times, volumes : arrays of plain numbers
        Times rise.

    Notes
    -----
    Level, then rising steadily, then level or falling: the least squares for every pair of corners are compared by AICc with those of
    a line without corners.  Readings that lean the same way as their neighbours count for fewer.  On straight lines
    with independent scatter fewer than 1 in 100 are given a corner that is not there.

    Examples
    --------
    >>> times = np.arange(0, 200, 10.0)
    >>> found = straight_part(times, 0.02 * np.clip(times - 60, 0, 80) + 0.005 * np.sin(times**2))
    >>> print(found.told, f"{found.begins:.0f} {found.stops:.0f}")
    True 60 140
    """
    times, volumes = np.asarray(times, dtype=float), np.asarray(volumes, dtype=float)
    if times.size < FEWEST:
        return Parts(0, times.size - 1, False)
    return _parts(times.tobytes(), volumes.tobytes())


@lru_cache(32)  # a panel asks for the same run again and again
def _parts(times, volumes):
    times, volumes = np.frombuffer(times), np.frombuffer(volumes)
    size = times.size
    groups = np.array_split(np.arange(size), min(size, _MOST))
    t, v = (np.array([part[group].mean() for group in groups]) for part in (times, volumes))
    floor = _least_squares_possible(volumes, v.size)
    start, end = _corners(t, LEAST_FLAT, LEAST_STRAIGHT), _corners(t, LEAST_STRAIGHT, LEAST_FLAT)
    courses = [  # (squares, first corner, last corner, fall after it), parameters with the scatter among them
        (_finest(t, v, t[:1], t[-1:]), 3),
        (_finest(t, v, start, t[-1:]), 4),
        (_finest(t, v, t[:1], end), 4),
        (_finest(t, v, start, end), 5),
        (_finest(t, v, t[:1], end, falling=True), 5),
        (_finest(t, v, start, end, falling=True), 6),
    ]
    fullest = min(course for course, _ in courses)
    likeness = _likeness(t, v, *fullest[1:], floor)
    worth = (1 - likeness) / (1 + likeness)
    scores = [
        _criterion(course[0] + floor, t.size, count) * worth + EVIDENCE * (count - 3) for course, count in courses
    ]
    _, first, last, fall = courses[int(np.argmin(scores))][0]
    begins, stops = (first if first > t[0] else None), (last if last < t[-1] else None)
    inside = np.flatnonzero((times >= first - 1e-9) & (times <= last + 1e-9))
    bend = _bend(times[inside], volumes[inside]) if inside.size >= FEWEST else 0.0
    return Parts(int(inside[0]), int(inside[-1]), True, begins, stops, fall, likeness, bend)


def _corners(t, before, after):
    """Return places for a corner, with so many points at least before and after it."""
    inner = t[before - 1 : t.size - after + 1]
    fine = np.sort(np.concatenate((inner, (inner[:-1] + inner[1:]) / 2)))
    return fine[:: -(-fine.size // _CORNERS)]


def _finest(t, v, firsts, lasts, falling=False):
    """Return what ``_best`` does, with corners looked for between the places given as well."""
    found = _best(t, v, firsts, lasts, falling)
    near = [place if place.size == 1 else np.clip(corner + np.linspace(-1, 1, 9) * np.diff(place).max(), place[0], place[-1])
            for place, corner in ((firsts, found[1]), (lasts, found[2]))]  # fmt: skip
    return min(found, _best(t, v, *near, falling))


def _best(t, v, firsts, lasts, falling=False):
    """Return (sum of squares, first corner, last corner, fall) of the best course that rises between two corners alone.

    With ``falling`` it goes down after the last corner, else it stays level.
    """
    first, last = (part.ravel() for part in np.meshgrid(firsts, lasts, indexing="ij"))
    wide = last - first >= (LEAST_STRAIGHT - 1.5) * np.median(np.diff(t))
    first, last = first[wide], last[wide]
    if not first.size:
        return np.inf, float(t[0]), float(t[-1]), 0.0
    rise, away = _centred(np.clip(t, first[:, None], last[:, None])), v - v.mean()
    along = rise @ away / np.einsum("ij,ij->i", rise, rise)
    squares, falls = away @ away - along * (rise @ away), np.zeros(first.size)
    if falling:
        tail = _centred(np.maximum(t - last[:, None], 0))
        shared = np.einsum("ij,ij->i", tail, rise) / np.einsum("ij,ij->i", rise, rise)
        tail -= shared[:, None] * rise
        falls = -(tail @ away) / np.einsum("ij,ij->i", tail, tail)
        squares = np.where(falls > 0, squares + falls * (tail @ away), np.inf)
    place = int(np.argmin(squares))
    return max(float(squares[place]), 0.0), float(first[place]), float(last[place]), float(falls[place])


def _centred(rows):
    return rows - rows.mean(axis=1, keepdims=True)


def _criterion(squares, size, count):
    """Return the corrected Akaike criterion of a course with ``count`` parameters, its scatter among them."""
    return size * log(squares / size) + 2 * count + 2 * count * (count + 1) / (size - count - 1)


def _least_squares_possible(volumes, size):
    """Return the sum of squares that the last digit of the readings leaves at the least."""
    steps = np.diff(np.unique(volumes))
    digit = float(steps[steps > 1e-9].min(initial=np.inf)) if steps.size else 0.0
    digit = 0.0 if not np.isfinite(digit) else min(digit, float(np.ptp(volumes)) / 50)
    return size * max(digit**2 / 12, 1e-16)


def _likeness(t, v, first, last, fall, floor):
    """Return the correlation of neighbours about a course, 0 to 0.9; what the last digit may hide does not count."""
    rise = np.clip(t, first, last)
    v = v + fall * np.maximum(t - last, 0)
    slope, height = np.polyfit(rise, v, 1)
    off = v - height - slope * rise
    return min(max(float(off[1:] @ off[:-1]) / (float(off @ off) + floor), 0.0), 0.9)


def _bend(t, v):
    """Return by how many standard uncertainties a parabola bends away from the straight line."""
    place = (t - t.mean()) / np.ptp(t)
    factors = np.polynomial.polynomial.polyfit(place, v, 2)
    powers = np.vander(place, 3, increasing=True)
    off = v - powers @ factors
    scatter = float(off @ off) / (t.size - 3)
    covariance = np.linalg.inv(powers.T @ powers)
    likeness = min(max(float(off[1:] @ off[:-1]) / max(float(off @ off), 1e-30), 0.0), 0.9)
    u = sqrt(max(scatter, 1e-16) * covariance[2, 2] * (1 + likeness) / (1 - likeness))
    return float(factors[2] / u)
