"""Random draws from a guessed range, for a Monte Carlo through a chain of guesses."""

import numpy as np

from labkit.errors import RangeProblem
from labkit.units.dimensions import is_reading

DRAWS = 100_000  # enough for two figures of a 95 % interval; a million takes a fraction of a second


def draws(span, count=DRAWS, seed=1):
    """Return random values of a guessed Range: half of them below its likely value, half above.

    Parameters
    ----------
    span : Range
        Its ends are taken as the least and the most there can be.
    count : int
    seed : int or numpy.random.Generator
        The same seed gives the same draws, so that a page prints the same figures twice.

    Returns
    -------
    numpy array of ``count`` plain numbers, in the unit of the likely value

    Raises
    ------
    RangeProblem
        If fewer than one draw is asked for.

    Notes
    -----
    On either side of the likely value the draws lie evenly: by ratio where both ends of that side are above
    zero, so that a guess over decades fills each decade alike, else by difference, and so for °C and °F, whose zero
    is nothing special.  The likely value is the median
    and not the mode.  That is our choice: a triangle over 0.1 to 4.3 % with its peak at 0.3 % has
    95 % of its area above 0.3 %, which is not what “likely” means.

    Examples
    --------
    >>> from labkit.units import Q, Range
    >>> found = draws(Range(Q(0.1, "percent"), Q(0.3, "percent"), Q(4.3, "percent")), 1001)
    >>> bool(found.min() >= 0.1 and found.max() <= 4.3), round(float((found < 0.3).mean()), 1)
    (True, 0.5)
    """
    if count < 1 or count != int(count):
        raise RangeProblem(f"draws() needs a count of at least 1, but it is {count}.")
    generator = np.random.default_rng(seed)
    low, likely, high = span.m_as(span.likely.units)
    place = generator.random(count)
    if low == high:
        return np.full(count, float(likely))
    below = place < 0.5
    place = 2 * np.where(below, place, place - 0.5)
    ratio = not is_reading(span.likely)
    return np.where(below, _between(low, likely, place, ratio), _between(likely, high, place, ratio))


def _between(start, end, place, ratio):
    """Return the value at a place, 0 to 1, between two ends: by ratio where they have one."""
    if ratio and start > 0:
        return start * (end / start) ** place
    return start + (end - start) * place
