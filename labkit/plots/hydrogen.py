"""Hydrogen in a day, from nothing to electrolysis, on an axis of decades that has a place for zero."""

from dataclasses import dataclass
from math import ceil, floor, log10

import numpy as np

from labkit.hydrogen import cases_in_short, efficiency_ceiling
from labkit.plots.style import GUESS, LIMIT, MAIN, MEASURED, QUIET, SECOND, THIRD, new_figure, styled
from labkit.units import Q, as_range, number_text, printed, printed_range, unit_text

ROWS = {  # what is drawn, from the top row down, and its words
    "cells": "Solar cells and electrolysis",
    "ceiling": "Ceiling of the light",
    **dict(reversed(cases_in_short().items())),
}
_LOOKS = {"cells": SECOND, "ceiling": LIMIT}
_DECADES = 7  # from the best to the least of the rows it is a little over five
# Up to ten to this many mL, this unit, which is ten to this many mL.
_UNITS = ((1, "µL", -3), (5, "mL", 0), (8, "L", 3), (99, "m**3", 6))
_SYMBOLS = {unit: unit_text(Q(1, unit).units) for _, unit, _ in _UNITS}
_MILLILITRE = Q(1, "mL").units
_ZERO, _BREAK, _FIRST = -1.1, -0.55, -0.4  # places left of the lowest decade


@dataclass(frozen=True)
class Decades:
    """The axis: decades from ``bottom`` to ``top`` in ``unit``, and a zero of its own at the left.

    A logarithm has no zero, but “nothing” is the likeliest answer here and has to be seen.
    """

    bottom: int
    top: int
    unit: str

    def place(self, size):
        """Return where so many units stand: decades above the lowest one, or left of the break for zero."""
        return max(log10(size) - self.bottom, _FIRST) if size > 0 else _ZERO


def day_decades(volumes):
    """Return the Decades that hold all of these Ranges of volumes."""
    sizes = [size for ends in _millilitres(volumes).values() for size in ends if size > 0]
    top = ceil(log10(1.25 * max(sizes)))
    bottom = min(floor(log10(min(sizes)) - _FIRST), top - _DECADES)
    unit, shift = next((unit, shift) for most, unit, shift in _UNITS if top <= most)
    return Decades(bottom - shift, top - shift, unit)


def _millilitres(volumes):
    # By the unit itself and not by its name: pint then has nothing to read, and a slider can be followed.
    return {key: span.m_as(_MILLILITRE) for key, span in volumes.items()}


def _sizes(volumes, unit):
    """Return row to (low, likely, high) in ``unit``, in the order of ``ROWS``."""
    shift = next(shift for _, name, shift in _UNITS if name == unit)
    found = _millilitres(volumes)
    return {key: tuple(size / 10**shift for size in found[key]) for key in ROWS if key in found}


def _range_text(low, likely, high, unit):
    symbol = _SYMBOLS[unit]
    if low == high:
        return f"{number_text(likely, 3)} {symbol}"
    low, likely, high = (number_text(size, 2) for size in (low, likely, high))
    return f"{low} to {high} {symbol}, likely {likely} {symbol}"


def _dressed(axes, decades):
    places = range(decades.top - decades.bottom + 1)
    names = [number_text(10.0**power, 1) for power in range(decades.bottom, decades.top + 1)]
    axes.axvspan(_ZERO - 0.45, _BREAK, facecolor=QUIET.colour, alpha=0.15)
    for shift in (-0.06, 0.06):  # the two strokes that say: the axis is cut here
        axes.plot([_BREAK + shift - 0.05, _BREAK + shift + 0.05], [-0.025, 0.025], color=LIMIT.colour, linestyle="-", linewidth=1.6, zorder=6,
                  transform=axes.get_xaxis_transform(), clip_on=False)  # fmt: skip
    axes.set(xlim=(_ZERO - 0.45, places[-1] + 0.1), ylim=(-0.35, len(ROWS) - 0.15), yticks=[],
             xticks=[_ZERO, *places], xticklabels=["0", *names],
             xlabel=f"Hydrogen in a day / {_SYMBOLS[decades.unit]} (ten times more at each line)")  # fmt: skip
    axes.spines["left"].set_visible(False)
    return axes


def _drawn_rows(volumes, chosen, decades):
    """Yield (height, look, low, likely, high, words) for each row that is there, lowest first."""
    for height, (key, sizes) in enumerate(reversed(_sizes(volumes, decades.unit).items())):
        look = MAIN if key == chosen else _LOOKS.get(key, QUIET)
        yield height, look, *map(decades.place, sizes), f"{ROWS[key]}: {_range_text(*sizes, decades.unit)}"


def day_figure(volumes, chosen=""):
    """Return a Figure of the hydrogen of a day: one bar from low to high for each row, a mark at the likely value.

    Parameters
    ----------
    volumes : dict
        From keys of ``ROWS`` to Ranges of volumes, all at one temperature and pressure.
    chosen : str
        The row to bring out.
    """
    decades = day_decades(volumes)
    figure, axes = new_figure(6.4, 4.4)
    with styled():
        _dressed(axes, decades)
        for height, look, low, likely, high, words in _drawn_rows(volumes, chosen, decades):
            axes.barh(height, high - low, 0.3, low, facecolor=look.pale, edgecolor=look.colour, linewidth=2)
            axes.plot(likely, height, **look.points, markeredgecolor="#FFFFFF", zorder=4)
            axes.text(_ZERO - 0.4, height + 0.24, words, fontsize=12, va="bottom", zorder=5)
        axes.axvspan(_BREAK - 0.06, _BREAK + 0.06, facecolor="#FFFFFF", zorder=3)
    return figure


def day_words(volumes):
    """Return the words for ``day_figure``, with its numbers."""
    unit = day_decades(volumes).unit
    rows = "; ".join(f"{ROWS[key].lower()} {_range_text(*sizes, unit)}" for key, sizes in _sizes(volumes, unit).items())
    return f"Bars of the hydrogen of a day on an axis of decades with a place for zero: {rows}."


def ceiling_figure(gap=None, measured=None):
    """Return a Figure of the solar-to-hydrogen ceiling against the gap, on an axis of decades.

    Parameters
    ----------
    gap : text, quantity or Range [energy], optional
        Drawn as a band.
    measured : dict, optional
        Name to (gap, efficiency) of panels that were measured.
    """
    gaps = np.linspace(1.7, 3.5, 181)
    figure, axes = new_figure(6.4, 3.8)
    with styled():
        axes.plot(gaps, efficiency_ceiling(Q(gaps, "eV")).m_as("percent"), **MAIN.line)
        axes.text(1.75, 2.2, "ceiling: every photon above\nthe gap moves one electron", fontsize=12, color=MAIN.ink)
        if gap is not None:
            gap = as_range(gap, "[energy] > 0", "gap")
            low, likely, high = gap.m_as("eV")
            axes.axvspan(low, high, **GUESS.fill)
            axes.text(likely, 0.06, "this gap", ha="center", fontsize=12)
        notes = []
        for look, (name, (place, efficiency)) in zip((MEASURED, THIRD, SECOND), (measured or {}).items()):
            spot = place.m_as("eV"), efficiency.m_as("percent")
            axes.plot(*spot, **look.points)
            notes.append(axes.annotate(name.replace(", ", ",\n"), spot, (0, -9), textcoords="offset points", ha="center",
                                       va="top", fontsize=12))  # fmt: skip
        axes.set(xlim=(1.7, 3.5), ylim=(0.05, 50), yscale="log", xlabel="Gap / eV", ylabel="Solar to hydrogen / %",
                 yticks=[0.1, 1, 10], yticklabels=["0.1", "1", "10"])  # fmt: skip
        figure.draw_without_rendering()
        for note in notes:
            _keep_clear(note, axes, [] if gap is None else [low, high])
    return figure


def _keep_clear(note, axes, band):
    """Move words under a mark to the side, so that they stay inside the axes and out of an upright band."""
    words, frame = note.get_window_extent(), axes.bbox
    left, right = frame.x0, frame.x1
    if band:
        start, end = (axes.transData.transform((at, 1))[0] for at in band)
        mark = axes.transData.transform(note.xy)[0]
        left, right = (end, right) if mark > end else (left, start) if mark < start else (left, right)
    room = 6 * axes.figure.dpi / 72
    shift = min(max(0, left + room - words.x0), right - words.x1)
    note.xyann = (note.xyann[0] + shift * 72 / axes.figure.dpi, note.xyann[1])


def ceiling_words(gap=None, measured=None):
    """Return the words for ``ceiling_figure``, with its numbers."""
    ends = ", ".join(
        f"{number_text(efficiency_ceiling(Q(at, 'eV')).m_as('percent'), 2)} % at {at} eV" for at in (1.8, 2.7, 3.4)
    )
    words = f"Curve of the highest solar-to-hydrogen efficiency, falling as the gap widens: {ends}."
    if gap is not None:
        words += f" A band marks the gap, {printed_range(as_range(gap, '[energy] > 0', 'gap'), 3)}."
    for name, (place, efficiency) in (measured or {}).items():
        words += f" Measured: {name}, {printed(efficiency, 2)} at {printed(place, 2)}."
    return words
