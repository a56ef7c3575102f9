"""The plot a gap is read from: points, the line through the straight part, the baseline, the crossing."""

from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor, log10

import numpy as np

from labkit.light.tauc import GapFit
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, MAIN, QUIET, SECOND, new_figure, styled
from labkit.units import number_text, printed_range

LABELS = {"direct": ("(F·E)²", "eV²"), "indirect": ("√(F·E)", "√eV"), "both": ("Each curve, scaled", "")}
_ROLES = {"direct": MAIN, "indirect": SECOND}
_MARKS = {"direct": "●", "indirect": "■"}  # the shape of its points and of its gap: no colour is needed to tell them
_BEFORE, _AFTER = 0.9, 0.9  # eV shown below and above where the reflectance begins to fall
_ROOM = 1.25  # of the height of the points
_MOST_POINTS = 320
_NICE = (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10)
_DOT, _FAINT = 2.1, 0.6  # points; opacity, so that a line over them is seen


@dataclass(frozen=True)
class Trail:
    """One fit as it is drawn: plain numbers on the axes of the picture."""

    fit: GapFit
    role: object
    x: np.ndarray
    y: np.ndarray
    line: tuple | None
    foot: tuple | None
    crossing: tuple | None
    words: str
    dots: object


@dataclass(frozen=True)
class Scene:
    """What is drawn, and between which ends."""

    kind: str
    left: float
    right: float
    top: float
    trails: tuple


def tauc_figure(found):
    """Return the picture of a GapFit, or of both fits of a GapReport, each scaled to its height.

    Show it with ``alt=tauc_words(found)``.

    Examples
    --------
    >>> import numpy as np
    >>> from labkit.light import Reflectance, tauc_gap
    >>> nm = np.arange(350, 700, 5.0)
    >>> figure = tauc_figure(tauc_gap(Reflectance(nm, 0.5 + 0.4 * np.tanh((nm - 440) / 20)), "direct"))
    >>> figure.axes[0].get_xlabel()
    'Energy of a photon E / eV'
    """
    scene = _scene(found)
    figure, axes = _stage(scene)
    with styled():
        for trail in scene.trails:
            if trail.crossing and len(scene.trails) == 1:
                axes.axvspan(*trail.fit.region, **GUESS.fill)
            axes.plot(trail.x, trail.y, **(trail.dots.points | {"markersize": 3.6, "alpha": _FAINT}))
            for ends, role in ((trail.foot, QUIET), (trail.line, trail.role)):
                if ends:
                    axes.plot(*ends, **role.line)
            if trail.crossing:
                low, _, high = trail.fit.gap.m_as("eV")
                axes.plot([low, high], [trail.crossing[1]] * 2, color=trail.role.colour, linewidth=6, alpha=0.45)
                axes.plot(*trail.crossing, clip_on=False, zorder=5, **trail.role.points)
        for place, trail in enumerate(scene.trails):
            axes.text(0.02, 0.95 - 0.075 * place, trail.words, color=trail.role.ink, transform=axes.transAxes, va="top", fontsize=12)  # fmt: skip
    return figure


def tauc_svg(found):
    """Return the same picture as SVG text for a panel; takes what ``tauc_figure`` does."""
    scene = _scene(found)
    picture = _live(scene.kind, scene.left, scene.right, scene.top)
    elements = []
    for trail in scene.trails:
        if trail.crossing and len(scene.trails) == 1:
            elements.append(picture.band(*trail.fit.region, GUESS))
    for trail in scene.trails:
        elements.append(_dots(picture, trail))
        if trail.foot:
            elements.append(picture.line(*trail.foot, QUIET))
        if trail.line:
            elements.append(picture.line(*trail.line, trail.role))
    for trail in scene.trails:
        if trail.crossing:
            low, _, high = trail.fit.gap.m_as("eV")
            half = scene.top * 0.012
            level = trail.crossing[1]
            elements.append(picture.area([low, high], [level - half] * 2, [level + half] * 2, trail.role))
            elements.append(picture.marker(*trail.crossing, trail.role))
    for place, trail in enumerate(scene.trails):
        height = scene.top * (0.93 - 0.075 * place)
        elements.append(picture.text(scene.left, height, trail.words, trail.role, anchor="start"))
    return picture.svg(elements, alt=_said(scene))


def tauc_words(found):
    """Return what ``tauc_figure`` shows, in words with its numbers."""
    return _said(_scene(found))


def _fits(found):
    return (found,) if isinstance(found, GapFit) else (found.indirect, found.direct)


def _scene(found):
    fits = _fits(found)
    kind = fits[0].transition if len(fits) == 1 else "both"
    energy = fits[0].energy
    left, right = (energy[0], energy[-1]) if energy.size else (1.5, 3.5)
    if any(
        fit.gap is not None for fit in fits
    ):  # the same for any straight part, so that nothing jumps when that is moved
        left, right = max(left, fits[0].onset - _BEFORE), min(right, fits[0].onset + _AFTER)
    left, right = floor(left * 10 + 1e-6) / 10, ceil(right * 10 - 1e-6) / 10
    heights = [_height(fit, left, right) for fit in fits]
    top = _ROOM if kind == "both" else _nice(heights[0] * _ROOM)
    scales = heights if kind == "both" else [1.0]
    return Scene(kind, left, right, top, tuple(_trail(fit, scale, left, right, top, kind) for fit, scale in zip(fits, scales)))  # fmt: skip


def _height(fit, left, right):
    """Return how high the points go that are shown, but for the wildest."""
    inside = fit.values[(fit.energy >= left) & (fit.energy <= right)]
    highest = float(np.quantile(inside, 0.97)) if inside.size else 0.0
    return highest if highest > 0 else 1.0


def _nice(top):
    power = 10.0 ** floor(log10(top))
    return float(f"{next(nice for nice in _NICE if nice * power >= top * (1 - 1e-9)) * power:.3g}")


def _trail(fit, scale, left, right, top, kind):
    y = fit.values / scale
    dots = _ROLES[fit.transition] if kind == "both" else QUIET  # one curve needs no colour: its line has it
    inside = np.flatnonzero((fit.energy >= left) & (fit.energy <= right) & (y <= top) & (y >= -0.05 * top))
    inside = inside[:: max(ceil(inside.size / _MOST_POINTS), 1)]
    name = f"{_MARKS[fit.transition]} {fit.transition}: " if kind == "both" else ""
    if fit.gap is None:
        words = f"{name}no gap can be told"
        return Trail(fit, _ROLES[fit.transition], fit.energy[inside], y[inside], None, None, None, words, dots)
    slope, start = fit.line[0] / scale, fit.line[1] / scale
    gap = fit.gap.likely.m_as("eV")
    level = slope * gap + start
    end = min(fit.region[1] + 0.08, right, (top - start) / slope)
    line = ([gap, end], [level, slope * end + start])
    foot = None
    if fit.foot:
        low = max(fit.below[0], left)
        foot = ([low, gap], [(fit.foot[0] * at + fit.foot[1]) / scale for at in (low, gap)])
    return Trail(fit, _ROLES[fit.transition], fit.energy[inside], y[inside], line, foot, (gap, level),
                 f"{name}gap {printed_range(fit.gap, 3, 'eV')}", dots)  # fmt: skip


def _stage(scene):
    return _axes(scene.kind, scene.left, scene.right, scene.top)


def _axes(kind, left, right, top):
    name, unit = LABELS[kind]
    figure, axes = new_figure()
    with styled():
        axes.set(xlim=(left, right), ylim=(-0.05 * top, top), xlabel="Energy of a photon E / eV", ylabel=f"{name} / {unit}" if unit else name)  # fmt: skip
        axes.axhline(0, color=QUIET.colour, linewidth=1.2)
        if kind == "both":
            axes.set_yticks([0, 0.5, 1])
    return figure, axes


@lru_cache(48)  # each keeps a figure
def _live(kind, left, right, top):
    return LivePicture(*_axes(kind, left, right, top))


def _dots(picture, trail):
    """Return all points as one filled path, which is quicker than hundreds of circles or squares."""
    places = picture.points(trail.x, trail.y)
    places = places[np.isfinite(places).all(axis=1)]
    shape = f"m-{_DOT} 0a{_DOT} {_DOT} 0 1 0 {2 * _DOT} 0a{_DOT} {_DOT} 0 1 0-{2 * _DOT} 0"
    if trail.dots.marker == "s":
        shape = f"m-{_DOT}-{_DOT}h{2 * _DOT}v{2 * _DOT}h-{2 * _DOT}z"
    path = (f"M%.1f %.1f{shape}" * len(places)) % tuple(places.ravel().tolist())
    return f'<path d="{path}" fill="{trail.dots.colour}" fill-opacity="{_FAINT}"/>'


def _said(scene):
    name, unit = LABELS[scene.kind]
    axes = f"{name} in {unit}" if unit else "the values of both plots, each scaled to its height,"
    parts = [f"Points of {axes} against the energy of a photon, from {scene.left:.1f} to {scene.right:.1f} eV."]
    for trail in scene.trails:
        fit = trail.fit
        if fit.gap is None:
            parts.append(f"No line is drawn for a {fit.transition} gap, because none can be told.")
            continue
        low, high = fit.region
        foot = "a baseline" if fit.foot else "the axis"
        off = ", after absorption below the edge was taken off," if fit.baseline == "subtract" else ""
        parts.append(f"A line through the straight part from {low:.2f} to {high:.2f} eV{off} meets {foot} at {number_text(fit.gap.likely.m_as('eV'), 3)} eV: "
                     f"the {fit.transition} gap, {printed_range(fit.gap, 3, 'eV')}.")  # fmt: skip
    return " ".join(parts)
