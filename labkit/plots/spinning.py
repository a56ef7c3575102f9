"""How long powder takes to come down, by the size of its grains: in a jar that stands, and spun."""

from dataclasses import replace
from functools import cache
from math import log

import numpy as np

from labkit.errors import RangeProblem
from labkit.plots.live import LivePicture
from labkit.plots.places import Places
from labkit.plots.style import GUESS, MAIN, SECOND, new_figure, styled
from labkit.units import Q, number_text
from labkit.uptake.settling import time_text
from labkit.uptake.sinking import GRAVITY, plain_speed

ALONE, SPUN = replace(MAIN, opacity=0.2), replace(SECOND, opacity=0.2)  # roles of the two lines
_ACROSS, _UP = (0.05, 50.0), (0.3, 3e9)  # µm, s
_TICKS = {
    1: "1 s",
    60: "1 min",
    3600: "1 h",
    86400: "1 day",
    604800: "1 week",
    31557600: "1 year",
    631152000: "20 years",
}
_SIZES = tuple(np.geomspace(*_ACROSS, 25).tolist())  # µm


def sinking_times(powder, height, turning=None):
    """Return (µm, least s, longest s): sizes of grains, and how long until those are down.

    Parameters
    ----------
    powder : labkit.uptake.sinking.Powder
        Its density, shape and liquid are used, and of each size so much as lies in the picture.
    height : float
        In m, of the liquid in the jar.
    turning : (rad/s, m, m), optional
        Angular speed, inner and outer radius; without it the powder sinks by itself.

    A size for which no law of slow drag holds has times that are not a number.

    Examples
    --------
    >>> from labkit.uptake.sinking import powder
    >>> sizes, least, longest = sinking_times(powder(liquid="water"), 0.06)
    >>> bool((longest > least).all())
    True
    """
    solid, slowed = powder.powder_density.m_as("kg/m**3"), powder.shape.m_as("dimensionless")
    way, force = height, 1.0
    if turning:
        omega, inner, outer = turning
        way, force = outer * log(outer / inner), omega**2 * outer / GRAVITY
    times = [
        [way / (slowed[end] * _speed(size * 1e-6, solid[end] - powder.fluid, powder, force)) for size in _SIZES]
        for end in (2, 0)
    ]
    return np.array(_SIZES), np.array(times[0]), np.array(times[1])


def _speed(width, heavier, powder, force):
    try:
        return plain_speed(width, heavier, powder.fluid, powder.viscosity, force)[0]
    except RangeProblem:
        return np.nan


def spinning_figure(powder, height, turning=None, axes=None):
    """Return a Figure: time until the powder is down against the size of its grains, as bands of all that is guessed.

    Arguments as for ``sinking_times``.  With ``axes`` it is drawn there and its figure returned.  Show it
    with ``alt=spinning_words(powder, height, turning)``.
    """
    figure, axes = _stage(axes)
    low, _, high = powder.diameter.m_as("µm")
    with styled():
        axes.axvspan(max(low, _ACROSS[0]), min(high, _ACROSS[1]), **GUESS.fill)
        for role, name, way in _ways(turning):
            sizes, least, longest = sinking_times(powder, height, way)
            axes.fill_between(sizes, least, longest, **role.fill)
            axes.plot(sizes, np.sqrt(least * longest), label=name, **role.line)
        axes.legend(loc="upper right")
    return figure


def _ways(turning):
    return [(ALONE, "in a jar that stands", None)] + ([(SPUN, "spun", turning)] if turning else [])


def spinning_words(powder, height, turning=None):
    """Return the words for ``spinning_figure``, with its numbers.

    >>> from labkit.uptake.sinking import powder
    >>> spinning_words(powder("0.3 to 4 µm", liquid="water"), 0.06)[:61]
    'Time until powder is down against the width of its grains, in'
    """
    low, _, high = powder.diameter.m_as("µm")
    said = [
        f"Time until powder is down against the width of its grains, in {powder.liquid}, {number_text(low, 2)} to {number_text(high, 2)} µm marked."
    ]
    for _, name, way in _ways(turning):
        sizes, least, longest = sinking_times(powder, height, way)
        ends = [_at(sizes, times, 1.0) for times in (least, longest)]
        if np.isfinite(ends).all():
            first, last = (time_text(Q(end, "s")) for end in ends)
            said.append(f"Grains of 1 µm are down after {first} to {last} {name}.")
    return " ".join(said)


def _at(sizes, times, size):
    good = np.isfinite(times)
    return np.exp(np.interp(np.log(size), np.log(sizes[good]), np.log(times[good]))) if good.any() else np.nan


def spinning_picture(powder, height, turning, alt):
    """Return SVG text: the bands of ``spinning_figure`` and the sizes guessed.  ``turning`` may be None."""
    picture, places = _frame(), _places().copy()
    low, likely, high = powder.diameter.m_as("µm")
    elements, wanted = [picture.band(max(low, _ACROSS[0]), min(max(high, _ACROSS[0] * 1.02), _ACROSS[1]), GUESS)], []
    for role, name, way in _ways(turning):
        sizes, least, longest = sinking_times(powder, height, way)
        middle = np.sqrt(least * longest)
        elements += [picture.area(sizes, least, longest, role), picture.line(sizes, middle, role)]
        places.line(sizes, middle)
        wanted.append((role, name, sizes, middle))
    for role, _, sizes, middle in wanted:
        time = _at(sizes, middle, likely)
        if _ACROSS[0] <= likely <= _ACROSS[1] and _UP[0] <= time <= _UP[1]:
            elements.append(picture.marker(likely, time, role))
            places.mark(likely, time)
    for _, name, sizes, middle in wanted:
        elements.append(places.text(*_beside(sizes, middle, name)))
    elements.append(places.text(*((at, _UP[level], "grains as guessed", anchor, bool(level)) for level in (1, 0)
                                  for at, anchor in ((max(low, _ACROSS[0]), "start"), (min(high, _ACROSS[1]), "end"),
                                                     (_ACROSS[0], "start"), (_ACROSS[1], "end")))))  # fmt: skip
    return picture.svg(elements, alt)


def _beside(sizes, middle, name):
    """Return places for the name of a falling line: right above it or left below it, along all of its way."""
    good = [
        place
        for place in range(1, len(sizes) - 1)
        if np.isfinite(middle[place]) and _UP[0] * 5 < middle[place] < _UP[1] / 5
    ]
    order = sorted(good, key=lambda place: abs(place - len(sizes) * 0.3)) or [1]
    for shift in (1.0, 3.0, 10.0):
        for place in order:
            time = middle[place] if np.isfinite(middle[place]) else _UP[0]
            yield sizes[place], time * shift, name, "start", False
            yield sizes[place], time / shift, name, "end", True


def _stage(axes=None):
    figure, axes = new_figure(6.4, 4.0) if axes is None else (axes.figure, axes)
    with styled():
        axes.set(
            xscale="log",
            yscale="log",
            xlim=_ACROSS,
            ylim=_UP,
            xlabel="Width of the grains / µm",
            ylabel="Time until they are down",
        )
        widths = [0.1, 0.3, 1, 3, 10, 30]
        axes.set_xticks(widths, [f"{width:g}" for width in widths])
        axes.set_yticks(list(_TICKS), list(_TICKS.values()))
        axes.minorticks_off()
    return figure, axes


@cache
def _frame():
    return LivePicture(*_stage())


@cache
def _places():
    return Places(_frame(), _ACROSS, _UP)
