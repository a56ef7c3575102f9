"""The air over a solvent: its share of vapour against temperature, and the range of shares that burns."""

from dataclasses import replace
from functools import cache

import numpy as np

from labkit.air.fire import flammable_range
from labkit.air.vapour import DENSITY_TO, antoine_range, boiling_kelvin, saturated_fraction
from labkit.plots.live import LivePicture
from labkit.plots.places import Places
from labkit.plots.style import BLACK, LIMIT, MAIN, SECOND, Role, new_figure, styled
from labkit.units import Q, number, number_text

BURNS = replace(SECOND, opacity=0.2)  # the range that burns
WARM = Role("warmed", BLACK, marker="D")
_UP = (0.7, 500.0)  # percent; above 100 there is room for words and no curve
_RICH, _LEAN = "too rich inside, burns where air gets in", "too lean, until it is warmed"
_ATMOSPHERE = 101325  # Pa


@cache
def vapour_curve(solvent):
    """Return (temperatures in °C, percent of vapour over the liquid at 1 atm), up to boiling or 75 °C.

    >>> temperature, percent = vapour_curve("acetone")
    >>> print(f"{percent[-1]:.0f} % at {temperature[-1]:.0f} °C")
    100 % at 56 °C
    """
    coldest, _ = antoine_range(solvent)
    boils = boiling_kelvin(solvent, _ATMOSPHERE)
    last = min(boils * (1 - 1e-9), DENSITY_TO + 273.15)
    kelvin = np.linspace(coldest, last, 70)
    curve = kelvin - 273.15, saturated_fraction(solvent, Q(kelvin, "K")).m_as("percent")
    for numbers in curve:  # kept for every later picture
        numbers.setflags(write=False)
    return curve


def jar_figure(solvent, axes=None):
    """Return a Figure: vapour over the liquid against temperature, beside the range that burns.

    With ``axes`` it is drawn there and its figure returned.  Show it with ``alt=jar_words(solvent)``.

    References
    ----------
    nist_antoine, poling_2001; iec_60079_20_1_2010, nfpa_497_2008
    """
    figure, axes = _stage(solvent, axes)
    (lower, upper), ends = _limits(solvent), _across(solvent)
    with styled():
        axes.fill_between(ends, lower, upper, **BURNS.fill)
        for limit in (lower, upper):
            axes.axhline(limit, **LIMIT.line)
        axes.plot(*vapour_curve(solvent), **MAIN.line)
        axes.text(ends[1] - 1, lower * 1.12, _band_words(lower, upper), ha="right", va="bottom", fontsize=12)
        axes.text(ends[0] + 1, _UP[1] * 0.8, _RICH, va="top", fontsize=12)
        axes.text(ends[1] - 1, lower * 0.9, _LEAN, ha="right", va="top", fontsize=12)
    return figure


def jar_words(solvent):
    """Return the words for ``jar_figure``, with its numbers.

    >>> jar_words("ethanol")[-48:]
    ' 3.1 to 19 %, which it crosses from 10 to 41 °C.'
    """
    temperature, percent = vapour_curve(solvent)
    limits = _limits(solvent)
    first, last = (np.interp(limit, percent, temperature) for limit in limits)
    return (f"Percent of {solvent} vapour in the air over the liquid against temperature: from {percent[0]:.2g} % at "
            f"{temperature[0]:.0f} °C up to {percent[-1]:.2g} % at {temperature[-1]:.0f} °C. The range that burns is "
            f"{limits[0]:g} to {limits[1]:g} %, which it crosses from {first:.0f} to {last:.0f} °C.")  # fmt: skip


def jar_picture(solvent, shut, warmed, alt):
    """Return SVG text: the curve of a solvent, the range that burns, and a jar at two temperatures.

    ``shut`` and ``warmed`` are (°C, percent of vapour at the pressure of the room), plain numbers;
    at 100 percent the solvent boils once the lid is off.
    """
    picture, (lower, upper), ends = _frame(solvent), _limits(solvent), _across(solvent)
    places = _places(solvent).copy()
    marks = []
    for role, (celsius, percent) in ((MAIN, shut), (WARM, warmed)):
        marks.append((role, celsius, max(percent, _UP[0] * 1.15)))
        places.mark(*marks[-1][1:])
    elements = [*_fixed(solvent), *(picture.marker(celsius, height, role) for role, celsius, height in marks)]
    left, right = ends
    written = _mark_words("shut at", shut), _mark_words("warmed to", warmed)
    # The words of the marks have the most places to stand at, so they come last.
    band = _band_words(lower, upper)
    middles = [lower * (upper / lower) ** part for part in (0.0, 0.25, 0.5)]
    elements.append(places.text(
        *((right, height, band, "end", False) for height in middles),
        *((left, height, band, "start", False) for height in middles),
        *(((left + right) / 2, height, band, "middle", False) for height in middles),
    ))  # fmt: skip
    elements += [
        places.text((left, _UP[1], _RICH, "start", True), (right, _UP[1], _RICH, "end", True),
                    (right, upper, _RICH, "end", False), (left, upper, _RICH, "start", False)),
        places.text(*((at, height, _LEAN, anchor, below) for height, below in ((lower, True), (_UP[0], False))
                      for at, anchor in ((right, "end"), ((left + right) / 2, "middle"), (left, "start")))),
    ]  # fmt: skip
    for (_, celsius, height), said in zip(marks, written):
        elements.append(places.text(*_around(celsius, height, said, ends)))
    return picture.svg(elements, alt)


@cache
def _fixed(solvent):
    """Return the elements that are the same for every jar: the range that burns, the curve, both limits."""
    picture, (lower, upper), ends = _frame(solvent), _limits(solvent), _across(solvent)
    return (
        picture.area(ends, lower, upper, BURNS),
        picture.line(*vapour_curve(solvent), MAIN),
        *(picture.line(ends, [limit, limit], LIMIT) for limit in (lower, upper)),
    )


@cache
def _places(solvent):
    ends = _across(solvent)
    places = Places(_frame(solvent), ends, _UP)
    places.line(*vapour_curve(solvent))
    for edge in _limits(solvent):
        places.line(ends, [edge, edge])
    return places


def _around(celsius, height, said, ends):
    """Return places beside a mark: on top to the left and below to the right first, for every curve rises."""
    near = (1, 1.25, 0.8, 1.6, 0.62, 2.1, 0.48, 3, 0.33)
    for shift in near:
        at = height * shift
        yield celsius, at, said, "end", False
        yield celsius, at, said, "start", True
        yield celsius, at, said, "start", False
        yield celsius, at, said, "end", True
    for shift in (*near, 4.5, 0.22, 7, 0.14):
        yield ends[1], height * shift, said, "end", True
        yield ends[0], height * shift, said, "start", False


def _mark_words(what, state):
    celsius, percent = state
    share = "boils once opened" if percent >= 100 else f"{number_text(percent, 2)} %"
    return f"{what} {celsius:.3g} °C:\n{share}"


def _band_words(lower, upper):
    return f"burns: {lower:g} to {upper:g} %"


def _across(solvent):
    coldest, _ = antoine_range(solvent)
    return float(round(coldest - 273.15)) - 1, DENSITY_TO + 1.0


def _stage(solvent, axes=None):
    figure, axes = new_figure(6.4, 4.0) if axes is None else (axes.figure, axes)
    with styled():
        axes.set(yscale="log", xlim=_across(solvent), ylim=_UP, xlabel="Temperature / °C",
                 ylabel=f"{solvent.capitalize()} vapour in the air / %")  # fmt: skip
        ticks = [1, 2, 5, 10, 20, 50, 100]
        axes.set_yticks(ticks, [f"{tick}" for tick in ticks])
        axes.minorticks_off()
    return figure, axes


@cache
def _limits(solvent):
    limits = flammable_range(solvent)
    return number(limits.lower, "percent"), number(limits.upper, "percent")


@cache
def _frame(solvent):
    return LivePicture(*_stage(solvent))
