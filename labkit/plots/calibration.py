"""Standards, their line with what is sure of it, a sample dropped to the axis, and below what the line misses."""

from dataclasses import dataclass

import numpy as np

from labkit.plots.panes import HIGH, axis_end, stage, staged
from labkit.plots.places import Places
from labkit.plots.style import GUESS, MAIN, MEASURED, QUIET, SECOND, styled
from labkit.units import number_text, rounded_up, unit_text
from labkit.uptake.concentration import ends_text
from labkit.uptake.photo import PhotoScale

SURE, READING = "95 % for the line", "95 % for one reading"
_POINTS = 41
_BAR = 5.0  # points, half the height of the ends of an interval


@dataclass(frozen=True, eq=False)
class _Scene:
    """What is drawn, as plain numbers on the axes; ``sample`` is (y, x, low, high, words) or None."""

    x: np.ndarray
    y: np.ndarray
    left: tuple
    residuals: np.ndarray
    grid: np.ndarray
    curve: np.ndarray
    sure: np.ndarray | None
    reading: np.ndarray
    words: str
    sample: tuple | None
    axes: tuple  # right, bottom, top, half height of the strip, unit, label of the upright axis


def calibration_figure(found, sample=None):
    """Return a Figure of a Calibration or a PhotoScale, with a Concentration that was read from it if one is given.

    Show it with ``alt=calibration_words(found, sample)``.

    Examples
    --------
    >>> from labkit.uptake import calibration
    >>> line = calibration("mg/L;A\\n0;0.003\\n4;0.124\\n8;0.249\\n12;0.366\\n16;0.490")
    >>> figure = calibration_figure(line, line.concentration(0.3))
    >>> [axes.get_ylabel() for axes in figure.axes]
    ['Absorbance', 'Missed by']
    """
    scene = _scene(found, sample)
    figure, main, strip = stage(*_ends(scene))
    figure.set_figheight(HIGH + 0.5)
    with styled():
        main.fill_between(
            scene.grid, scene.curve - scene.reading, scene.curve + scene.reading, label=READING, **QUIET.fill
        )
        if scene.sure is not None:
            main.fill_between(scene.grid, scene.curve - scene.sure, scene.curve + scene.sure, label=SURE, **GUESS.fill)
        main.plot(scene.grid, scene.curve, label=scene.words, **MAIN.line)
        main.plot(scene.x, scene.y, label="standards", **(MEASURED.points | {"markersize": 5}))
        if scene.left[0].size:
            main.plot(*scene.left, label="left out", **(QUIET.points | {"markersize": 5, "fillstyle": "none"}))
        if scene.sample:
            y, x, low, high, words = scene.sample
            main.plot([0, x, x], [y, y, scene.axes[1]], **(SECOND.line | {"linewidth": 1.6}))
            main.plot(
                [low, high],
                [scene.axes[1]] * 2,
                color=SECOND.colour,
                linewidth=6,
                clip_on=False,
                label=words,
                solid_capstyle="butt",
            )
        # Above the axes: the line of a sample crosses every corner of them.
        figure.legend(*main.get_legend_handles_labels(), loc="outside upper left", ncols=2)
        strip.plot([0, scene.axes[0]], [0, 0], **MAIN.line)
        strip.plot(scene.x, scene.residuals, **(MEASURED.points | {"markersize": 5}))
    return figure


def calibration_picture(found, sample=None, alt=""):
    """Return the same picture as SVG text, for a panel."""
    scene = _scene(found, sample)
    live, panes = staged(*_ends(scene))
    main, strip = panes
    right, bottom, top, *_ = scene.axes
    elements = [live.area(*_band(main, scene, scene.reading), QUIET)]
    if scene.sure is not None:
        elements.append(live.area(*_band(main, scene, scene.sure), GUESS))
    line = main.at(scene.grid, scene.curve)
    elements.append(live.line(*line, MAIN))
    places = Places(live, (0, 1), (0, 1))
    places.line(*line)
    if scene.sample:
        y, x, low, high, _ = scene.sample
        drop = main.at([0, x, x], [y, y, bottom])
        elements.append(live.line(*drop, SECOND))
        places.line(*drop)
        elements.append(_bar(live, main, low, high, bottom))
    elements.append(live.line(*strip.at([0, right], [0, 0]), MAIN))
    for pane, across, up in ((main, scene.x, scene.y), (strip, scene.x, scene.residuals)):
        for x, y in zip(*pane.at(across, up)):
            elements.append(_dot(live, x, y))
            places.mark(x, y)
    for x, y in zip(*main.at(*scene.left)):
        elements.append(_dot(live, x, y, hollow=True))
        places.mark(x, y)
    elements += _key(live, main, places, scene)
    if scene.sample:
        elements.append(places.text(*_choices(main, scene.sample[4], scene.axes, scene.sample[1])))
    return live.svg(elements, alt or calibration_words(found, sample))


def calibration_words(found, sample=None):
    """Return what the picture shows, in words.

    >>> from labkit.uptake import calibration
    >>> line = calibration("mg/L;A\\n0;0.003\\n4;0.124\\n8;0.249\\n12;0.366\\n16;0.490")
    >>> calibration_words(line)
    'Absorbance of 5 standards from 0 to 16.0 mg/L, 0.00300 to 0.490. The line misses them by up to 0.00260.'
    """
    scene = _scene(found, sample)
    what = f"Depth in {found.channel}" if isinstance(found, PhotoScale) else "Absorbance"
    low, high = (number_text(float(end), 3) for end in (scene.x.min(), scene.x.max()))
    ends = " to ".join(number_text(float(end), 3) for end in (scene.y.min(), scene.y.max()))
    curve = "curve" if isinstance(found, PhotoScale) and found.curved else "line"
    said = [f"{what} of {scene.x.size} standards from {low} to {high} {scene.axes[4]}, {ends}.",
            f"The {curve} misses them by up to {number_text(float(np.abs(scene.residuals).max()), 3)}."]  # fmt: skip
    if scene.left[0].size:
        said.append(f"{scene.left[0].size} more are drawn but not used.")
    if getattr(found, "level", "") == "bends":
        said.append("They lie on a bend: those in the middle above the line, those at the ends below it.")
    if scene.sample:
        y, _, low, high, words = scene.sample
        span = f", with its interval from {' to '.join(ends_text(low, high))} {scene.axes[4]}"
        said.append(f"A sample at {number_text(y, 3)} is dropped to the axis: {words}{span}.")
    return " ".join(said)


def _scene(found, sample):
    photo = isinstance(found, PhotoScale)
    if photo:
        x, y, unit = found.concentrations, found.depths, found.unit
        left, label = (np.empty(0), np.empty(0)), f"Depth in {found.channel}"
    else:
        x, y, unit = found.standards["concentration"], found.standards["absorbance"], found.unit
        left = (
            (np.empty(0), np.empty(0))
            if found.left is None
            else (found.left["concentration"], found.left["absorbance"])
        )
        label = "Absorbance"
    reach = max(
        [
            float(x.max()),
            *(float(end) for end in left[0]),
            *([sample.high.magnitude / sample.dilution] if sample else []),
        ]
    )
    right = axis_end(reach * 1.03)
    grid = np.linspace(0.0, right if not left[0].size else max(float(x.max()), 1e-12), _POINTS)
    if photo:
        curve, sure = found.curve(grid), None
        wide = found.half_width * np.array([found.error_at(place) for place in grid.tolist()]) / found.error
        reading = wide * np.maximum(2 * found.parts[0] * grid + found.parts[1], 0)
        residuals = y - found.curve(x)
    else:
        curve, u = found.line.predict(grid)
        t = found.line.coverage(0.95)
        own = np.array([found.doubt_at(height) for height in curve]) if found.u is not None else found.line.s
        sure, reading, residuals = t * u, t * np.hypot(u, own), found.residuals
    drawn = _sample(sample, unit) if sample else None
    highest = max(
        float(y.max()), float((curve + reading).max()), *(float(end) for end in left[1]), drawn[0] if drawn else 0.0
    )
    lowest = min(float(y.min()), float((curve - reading).min()), drawn[0] if drawn else 0.0)
    top = axis_end(highest * 1.12)
    bottom = 0.0 if lowest >= 0 else -axis_end(-lowest)
    if 0 > lowest > -0.03 * top:
        bottom = -0.05 * top
    half = axis_end(float(np.abs(residuals).max()) * 1.25 + 1e-6)
    words = ("curve" if photo and found.curved else "line") + f" through {x.size} standards"
    return _Scene(
        x,
        y,
        left,
        residuals,
        grid,
        curve,
        sure,
        reading,
        words,
        drawn,
        (right, bottom, top, half, unit_text(_unit(unit)), label),
    )


def _unit(unit):
    from labkit.units import Q

    return Q(1, unit).units


def _sample(sample, unit):
    fold, size = sample.dilution, sample.value.magnitude / sample.dilution
    diluted = "" if fold == 1 else ", as diluted"
    if sample.kind == "below":
        upper = sample.upper.magnitude / fold
        return (
            sample.absorbance,
            max(size, 0.0),
            0.0,
            upper,
            f"sample: below {rounded_up(upper, 2)} {unit_text(_unit(unit))}{diluted}",
        )
    return (sample.absorbance, size, max(sample.low.magnitude / fold, 0.0), sample.high.magnitude / fold,
            f"sample: {number_text(size, 3)} {unit_text(_unit(unit))}{diluted}")  # fmt: skip


def _band(pane, scene, half):
    x, low = pane.at(scene.grid, scene.curve - half)
    return x, low, pane.at(scene.grid, scene.curve + half)[1]


def _key(live, pane, places, scene):
    """Return what tells the line and its bands apart, in the upper left, where a line that rises leaves room."""
    right, bottom, top, *_ = scene.axes
    items = [(scene.words, MAIN), *([] if scene.sure is None else [(SURE, GUESS)]), (READING, QUIET)]
    elements = []
    for row, (words, role) in enumerate(items):
        up = top - (top - bottom) * (0.075 + 0.085 * row)
        left, middle = pane.at([0.02 * right, 0.075 * right], [up, up])
        if role is MAIN:
            elements.append(live.line(left, middle, MAIN))
        else:
            half = 0.009
            elements.append(live.box(*left, middle[0] - half, middle[0] + half, role))
        elements.append(places.text((float(left[1]), float(middle[0]) - 0.03, words, "start", False)))
    return elements


def _choices(pane, words, axes, near):
    """Return places for words beside a line dropped at ``near``, and elsewhere on the axes, the likeliest first."""
    right, bottom, top, *_ = axes
    heights = (0.14, 0.23, 0.32, 0.41, 0.5, 0.59, 0.68, 0.77, 0.86)
    found = [
        (near / right + away, height, anchor)
        for height in heights
        for away, anchor in ((0.01, "start"), (-0.01, "end"))
    ]
    found += [
        (share, height, anchor)
        for height in heights
        for share, anchor in ((0.98, "end"), (0.02, "start"), (0.5, "middle"))
    ]
    spots = []
    for share, height, anchor in found:
        x, y = pane.at(share * right, bottom + height * (top - bottom))
        spots.append((float(x), float(y), words, anchor, False))
    return spots


def _bar(live, pane, low, high, bottom):
    """Return a thick bar on the axis between two ends, each with a stroke across."""
    ends = live.points(*pane.at([low, high], [bottom, bottom]))
    (left, down), (far, _) = ends.tolist()
    return (f'<path d="M{left:.1f} {down:.1f}H{far:.1f}" stroke="{SECOND.colour}" stroke-width="6"/>'
            f'<path d="M{left:.1f} {down - _BAR:.1f}v{2 * _BAR:.0f}M{far:.1f} {down - _BAR:.1f}v{2 * _BAR:.0f}" stroke="{SECOND.colour}" stroke-width="2"/>')  # fmt: skip


def _dot(live, x, y, hollow=False):
    ((right, down),) = live.points([x], [y]).tolist()
    fill = f'fill="#FFFFFF" stroke="{QUIET.colour}" stroke-width="1.4"' if hollow else f'fill="{MEASURED.colour}"'
    return f'<circle cx="{right:.1f}" cy="{down:.1f}" r="3.2" {fill}/>'


def _ends(scene):
    *ends, unit, label = scene.axes
    return (*ends, f"Concentration / {unit}", label)
