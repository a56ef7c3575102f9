"""What share of its power a kiln had to give along a course that was read and not planned.

Readings scatter, so that the slope from one to the next says little: means over some minutes are taken instead.
"""

import numpy as np

from labkit.errors import RangeProblem
from labkit.units import Q, clock_text

SHORTEST_MEAN, LONGEST_LINE = 5.0, 10.0  # min over which means are taken, our choice: the scatter fades, a ramp stays
CLEAR = 0.05  # of the time on: what asks for more than this beyond full power is not of this kiln; our choice


def means_along(trace, lines):
    """Return arrays of length (min), mean °C, mean rate (°C/min), end (min) and end (°C) of windows along a trace.

    A window ends at the first reading 5 min on or later, and none runs across a gap.

    Parameters
    ----------
    trace : Trace
    lines : bool
        The straight lines are meant as they stand, so that a long one is cut; of a log nobody knows what was in between.

    Raises
    ------
    RangeProblem
        If there is nothing but gaps.

    Examples
    --------
    >>> from labkit.heat.trace import Trace
    >>> means_along(Trace([0, 3, 6, 9, 12], [20, 26, 32, 38, 44]), lines=False)[2].tolist()
    [2.0, 2.0]
    """
    breaks = np.flatnonzero(~trace.counted) + 1
    runs = zip(np.split(trace.minutes, breaks), np.split(trace.celsius, breaks))
    found = [_means(*(_cut(*run) if lines else run)) for run in runs if run[0].size > 1]
    if not found:
        raise RangeProblem("There is nothing but gaps in this log, so no energy can be told from it.")
    return tuple(np.concatenate(part) for part in zip(*found))


def _cut(minutes, celsius):
    """Return times and readings with points added, so that no line is longer than ``LONGEST_LINE``."""
    added = [np.linspace(start, end, int(np.ceil((end - start) / LONGEST_LINE)) + 1)[1:-1]
             for start, end in zip(minutes[:-1], minutes[1:]) if end - start > LONGEST_LINE]  # fmt: skip
    every = np.unique(np.concatenate([minutes, *added]))
    return every, np.interp(every, minutes, celsius)


def _means(minutes, celsius):
    last, nodes = minutes.size - 1, [0]
    while nodes[-1] < last:
        on = int(np.searchsorted(minutes, minutes[nodes[-1]] + SHORTEST_MEAN - 1e-9))
        nodes.append(min(on, last))
    if len(nodes) > 2 and minutes[last] - minutes[nodes[-2]] < SHORTEST_MEAN - 1e-6:
        del nodes[-2]  # what is left at the end goes with the window before it
    areas = np.concatenate([[0.0], np.cumsum((celsius[1:] + celsius[:-1]) / 2 * np.diff(minutes))])
    length, ends = np.diff(minutes[nodes]), nodes[1:]
    return length, np.diff(areas[nodes]) / length, np.diff(celsius[nodes]) / length, minutes[ends], celsius[ends]


def mean_minutes_on(kiln, length, celsius, rate, minutes, end):
    """Return the minutes at full power that a kiln, as ``plain_kiln`` gives it, needs for windows of ``means_along``.

    The share of each is what its mean loses and stores, from 0 to 1; RangeProblem if they clearly ask for more.

    >>> from labkit.heat.trace import Trace
    >>> round(mean_minutes_on((80.0, 900.0, 20.0), *means_along(Trace([0, 60], [460, 460]), lines=True)), 6)
    30.0
    """
    tau, ceiling, ambient = kiln
    share = (celsius - ambient + tau * rate) / (ceiling - ambient)
    on = float(np.clip(share, 0, 1) @ length)
    if float(np.maximum(share - 1, 0) @ length) > CLEAR * on:
        worst = int(np.argmax((share - 1) * length))
        most = max(ceiling - celsius[worst], 0) / tau
        raise RangeProblem(
            f"This firing asks for more than the kiln can give: {clock_text(Q(minutes[worst], 'min'), np.round)} from the start it was at "
            f"{end[worst]:.0f} °C and rose by {rate[worst]:.2g} °C/min, but a kiln with a time constant of {tau:.0f} min and a ceiling of "
            f"{ceiling:.0f} °C rises by {most:.2g} °C/min there at most. Is it the log of another kiln, or was the kiln fitted far from there?"
        )
    return on
