"""Uptake against concentration or time: readings, both curves, what is read from them, and below what they miss."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from labkit.plots.course import time_axis
from labkit.plots.panes import axis_end, stage, staged
from labkit.plots.places import Places
from labkit.plots.style import GUESS, LIMIT, MAIN, MEASURED, SECOND, styled
from labkit.units import clock_text, number, number_text
from labkit.uptake.beside import span_text
from labkit.uptake.isotherm import IsothermReport
from labkit.uptake.kinetics import times_text

READINGS = "readings"
_POINTS = 81
_FAR = 1.7  # times the highest reading up to which a capacity is still drawn
_ROW, _SAMPLE = 0.085, 0.075  # of the axes: a row of the key, and the piece of a line in it
_BAR = 5.0  # points that an error bar has to reach beyond its mark to be seen


@dataclass(frozen=True, eq=False)
class _Scene:
    """What is drawn, as plain numbers on the axes; ``curves`` are (words, role, heights, residuals)."""

    x: np.ndarray
    y: np.ndarray
    reach: np.ndarray
    grid: np.ndarray
    curves: tuple
    ceiling: tuple | None  # low, likely, high, words: across the axes
    when: tuple | None  # the same, upright
    asked: tuple | None  # x, words
    axes: tuple  # right, bottom, top, half height of the strip, labels across and up


def uptake_fit_figure(report):
    """Return a Figure of an IsothermReport or a KineticsReport.  Show it with ``alt=uptake_fit_words(report)``.

    Examples
    --------
    >>> from labkit.units import Q
    >>> from labkit.uptake import isotherm_report
    >>> found = isotherm_report(Q([2, 5, 10, 20, 40, 80], "mg/L"), Q([3.1, 6.4, 9.7, 13.2, 15.8, 17.9], "mg/g"))
    >>> [axes.get_ylabel() for axes in uptake_fit_figure(found).axes]
    ['Uptake / mg/g', 'Missed by']
    """
    scene = _scene(report)
    figure, main, strip = stage(*scene.axes)
    with styled():
        if scene.ceiling:
            main.axhspan(*scene.ceiling[:3:2], label=scene.ceiling[3], **GUESS.fill)
        if scene.when:
            main.axvspan(*scene.when[:3:2], label=scene.when[3], **GUESS.fill)
        if scene.asked:
            main.axvline(scene.asked[0], label=scene.asked[1], **LIMIT.line)
        for words, role, heights, residuals in scene.curves:
            main.plot(scene.grid, heights, label=words, **role.line)
            strip.plot(
                scene.x,
                residuals,
                **(role.points | {"markersize": 5 if role is MAIN else 7, "zorder": 3 if role is MAIN else 2}),
            )
        main.errorbar(
            scene.x,
            scene.y,
            yerr=scene.reach,
            label=READINGS,
            capsize=2,
            elinewidth=1.2,
            **(MEASURED.points | {"markersize": 5}),
        )
        main.legend(loc="best", frameon=True, framealpha=1, edgecolor="none")
        strip.axhline(0, color=MEASURED.colour, linewidth=1.2)
    return figure


def uptake_fit_words(report):
    """Return what the picture shows, in words with its numbers.

    >>> from labkit.units import Q
    >>> from labkit.uptake import kinetics_report
    >>> found = kinetics_report(Q([5, 10, 20, 40, 80, 120], "min"), Q([1.1, 2.0, 3.4, 5.0, 6.1, 6.3], "mg/g"), check="90 min")
    >>> uptake_fit_words(found)[:62]
    'Uptake of 6 readings from 5.00 to 120 min, 1.10 to 6.30 mg/g. '
    """
    pairs = report.pairs
    ends = " to ".join(number_text(float(end), 3) for end in (pairs.x.min(), pairs.x.max()))
    heights = " to ".join(number_text(float(end), 3) for end in (pairs.y.min(), pairs.y.max()))
    said = [f"Uptake of {pairs.x.size} readings from {ends} {pairs.x_unit}, {heights} {pairs.y_unit}."]
    for fit in _fits(report):
        off = number_text(float(np.abs(fit.residuals).max()), 2)
        said.append(f"A {fit.curve.name} curve misses them by up to {off} {pairs.y_unit}; {fit.verdict}.")
    scene = _scene(report)
    for part in (scene.ceiling, scene.when):
        if part:
            said.append(f"A band: {part[3]}.")
    if scene.asked:
        said.append(f"A line: {scene.asked[1]}.")
    return " ".join(said)


def uptake_fit_picture(report, alt=""):
    """Return the same picture as SVG text, for a panel."""
    scene = _scene(report)
    live, (main, strip) = staged(*scene.axes)
    right, bottom, top, *_ = scene.axes
    elements, places = [], Places(live, (0, 1), (0, 1))
    if scene.ceiling:
        low, _, high, _ = scene.ceiling
        across, down = main.at([0, right], [low, low])
        elements.append(live.area(across, down, main.at([0, right], [high, high])[1], GUESS))
    if scene.when:
        low, _, high, _ = scene.when
        across, down = main.at([low, high], [bottom, bottom])
        elements.append(live.area(across, down, main.at([low, high], [top, top])[1], GUESS))
    if scene.asked:
        line = main.at([scene.asked[0]] * 2, [bottom, top])
        elements.append(live.line(*line, LIMIT))
        places.line(*line)
    for _, role, heights, _ in scene.curves:
        line = main.at(scene.grid, heights)
        elements.append(live.line(*line, role))
        places.line(*line)
    elements += _dots(live, main, scene)
    for across, up in zip(*(part.tolist() for part in main.at(scene.x, scene.y))):
        places.mark(across, up)
    elements.append(_zero(live, strip, right))
    for _, role, _, residuals in reversed(scene.curves):  # the smaller marks over the larger ones
        elements += _missed(live, strip, scene.x, residuals, role)
    elements += _key(live, main, places, scene)
    for part in (scene.ceiling, scene.when, scene.asked):
        if part:
            elements.append(places.text(*_choices(main, part[-1], scene, part)))
    return live.svg(elements, alt or uptake_fit_words(report))


def _fits(report):
    return (report.langmuir, report.freundlich) if isinstance(report, IsothermReport) else (report.first, report.second)


@lru_cache(16)  # a report is drawn and put into words
def _scene(report):
    pairs, isotherm = report.pairs, isinstance(report, IsothermReport)
    unit, size, right = (
        (pairs.x_unit, 1.0, axis_end(pairs.x.max() * 1.05)) if isotherm else time_axis(pairs.x.max() * 1.02)
    )
    fits = _fits(report)
    grid = np.linspace(0, float(pairs.x.max()), _POINTS)
    curves = tuple((fit.curve.name, role, fit.at(grid), fit.residuals) for fit, role in zip(fits, (MAIN, SECOND)))
    u = np.full(pairs.x.size, min(fit.s for fit in fits)) if pairs.u is None else pairs.u
    highest = max(float((pairs.y + 2 * u).max()), *(float(heights.max()) for _, _, heights, _ in curves))
    ceiling = when = asked = None
    if isotherm and report.capacity is not None:
        low, likely, high = report.capacity.m_as(pairs.y_unit)
        if high < _FAR * highest:
            ceiling = (low, likely, high, f"capacity {span_text(report.capacity, pairs.y_unit).split(',')[0]}")
            highest = max(highest, high)
    if not isotherm and report.time_to_95 is not None:
        low, likely, high = (end / size for end in report.time_to_95.m_as("min"))
        if high <= right:
            when = (low, likely, high, f"95 % after {times_text(report.time_to_95).split(',')[0]}")
    if not isotherm and report.checked is not None and number(report.checked, "min") / size <= right:
        asked = (number(report.checked, "min") / size, f"after {clock_text(report.checked)}")
    lowest = min(0.0, float((pairs.y - 2 * u).min()), *(float(heights.min()) for _, _, heights, _ in curves))
    top = axis_end(highest * 1.08)
    bottom = 0.0 if lowest > -0.001 * top else -0.05 * top if lowest > -0.05 * top else -axis_end(-lowest)
    half = axis_end(max(float(np.abs(residuals).max()) for *_, residuals in curves) * 1.25 + 1e-9)
    labels = (f"Left in the liquid / {unit}" if isotherm else f"Time / {unit}", f"Uptake / {pairs.y_unit}")
    return _Scene(
        pairs.x / size, pairs.y, 2 * u, grid / size, curves, ceiling, when, asked, (right, bottom, top, half, *labels)
    )


def _key(live, pane, places, scene):
    """Return what tells the curves apart, where least is in its way."""
    right, bottom, top, *_ = scene.axes
    met = np.vstack([np.column_stack(part) for part in (
        *((scene.grid / right, (heights - bottom) / (top - bottom)) for _, _, heights, _ in scene.curves),
        (scene.x / right, (scene.y - bottom) / (top - bottom)),
        *([] if not scene.asked else [(np.full(40, scene.asked[0] / right), np.linspace(0, 1, 40))]))])  # fmt: skip
    high = _ROW * len(scene.curves) + 0.03
    ends = pane.at([0, right], [bottom, bottom])[0]
    wide = _SAMPLE + max(live.breadth(words) for words, *_ in scene.curves) / float(ends[1] - ends[0])
    spots = [(left, foot) for left in (0.99 - wide, 0.3, 0.15, 0.45, 0.02) for foot in (0.03, 0.15, 0.98 - high)]

    def met_at(spot):
        left, foot = spot
        inside = (met > (left - 0.01, foot)) & (met < (left + wide, foot + high))
        return int(inside.all(axis=1).sum())

    left, foot = min(spots, key=met_at)
    elements = []
    for row, (words, role, *_) in enumerate(reversed(scene.curves)):
        up = bottom + (top - bottom) * (foot + 0.035 + _ROW * row)
        across, middle = pane.at([left * right, (left + _SAMPLE) * right], [up, up])
        elements.append(live.line(across, middle, role))
        elements.append(places.text((float(across[1]), float(middle[0]) - 0.024, words, "start", False)))
    return elements


def _choices(pane, words, scene, part):
    """Return places for words, the likeliest first: beside what is upright, or on what lies across, and elsewhere."""
    right, bottom, top, *_ = scene.axes
    heights = (0.9, 0.8, 0.7, 0.05, 0.14, 0.23, 0.32, 0.41, 0.5, 0.6)
    shares = (0.02, 0.98, 0.1, 0.25, 0.4, 0.55)
    if part is scene.ceiling:
        levels = [(high - bottom) / (top - bottom) for high in (part[2], part[0])]
        found = [(share, levels[0], "end" if share > 0.9 else "start", False) for share in shares]
        found += [(share, levels[1], "end" if share > 0.9 else "start", True) for share in shares]
    else:
        ends = (part[0] / right, part[2] / right) if part is scene.when else (part[0] / right,) * 2
        found = [
            (at, height, anchor, False)
            for height in heights
            for at, anchor in ((ends[1] + 0.005, "start"), (ends[0] - 0.005, "end"))
        ]
    found += [(share, height, "end" if share > 0.9 else "start", False) for height in heights for share in shares]
    across, up = pane.at(
        [share * right for share, *_ in found], [bottom + height * (top - bottom) for _, height, *_ in found]
    )
    # In two lines where one is too long for every free place.
    said = dict.fromkeys((words, words.replace(" after ", " after\n"), words.replace(" to ", " to\n")))
    return [
        (x, y, text, anchor, below)
        for text in said
        for x, y, (_, _, anchor, below) in zip(across.tolist(), up.tolist(), found)
    ]


def _zero(live, strip, right):
    (left, down), (far, _) = live.points(*strip.at([0, right], [0, 0])).tolist()
    return f'<path d="M{left:.1f} {down:.1f}H{far:.1f}" stroke="{MEASURED.colour}" stroke-width="1.2"/>'


def _dots(live, pane, scene):
    """Return the readings with their error bars, those that reach beyond their marks."""
    middle, low, high = (live.points(*pane.at(scene.x, scene.y + side * scene.reach)).tolist() for side in (0, -1, 1))
    elements = []
    for (right, down), (_, foot), (_, head) in zip(middle, low, high):
        if foot - head > 2 * _BAR:
            elements.append(
                f'<path d="M{right:.1f} {foot:.1f}V{head:.1f}" stroke="{MEASURED.colour}" stroke-width="1.2"/>'
            )
        elements.append(f'<circle cx="{right:.1f}" cy="{down:.1f}" r="3.2" fill="{MEASURED.colour}"/>')
    return elements


def _missed(live, pane, x, residuals, role):
    """Return marks for what a curve misses: small circles for the first, larger squares under them for the second."""
    places = live.points(*pane.at(x, residuals)).tolist()
    if role is MAIN:
        look = f'r="2.6" fill="{role.colour}" stroke="#FFFFFF" stroke-width="0.8"'
        return [f'<circle cx="{right:.1f}" cy="{down:.1f}" {look}/>' for right, down in places]
    return [
        f'<path d="M{right - 3.3:.1f} {down - 3.3:.1f}h6.6v6.6h-6.6z" fill="{role.colour}"/>' for right, down in places
    ]
