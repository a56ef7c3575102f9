"""The computed colour of clean powder at each gap, named in words, and one powder held beside white paper."""

from functools import cache, lru_cache

import numpy as np

from labkit.data import table
from labkit.light import powder_colour, wavelength_from_gap
from labkit.plots.live import LivePicture
from labkit.plots.style import GREY, GRID, MAIN, Role, new_figure, styled
from labkit.units import Q, printed_range

LOW, HIGH, STEP = 1.60, 3.40, 0.02  # eV, the gaps that are drawn
STRIP = (0.0, 2.2)  # the picture is ten units wide
SPAN, WORDS = 2.75, 3.2  # where the range and the words for colours stand
PAPER = (6.5, 9.6, 2.60, 3.36)  # left, right, and from which gap to which: only a place
POWDER = (7.05, 9.05, 2.70, 3.26)
_EDGES = (400, 450, 500, 550, 600, 700)  # nm, on the right-hand side
RIM = Role("rim", GREY, width=1.5)


def colours_figure(verdict=None):
    """Return the picture of the computed colours of clean powder against its gap.

    Parameters
    ----------
    verdict : ColourVerdict, optional
        From ``colour_verdict``: its range stands beside the strip, and its powder on white paper.

    Returns
    -------
    matplotlib.figure.Figure
        Show it with ``alt=colours_words(verdict)``.

    References
    ----------
    powder_colour, cie_observer_table, iec_srgb_1999

    Examples
    --------
    >>> colours_figure().axes[0].get_ylabel()
    'Gap / eV'
    """
    with styled():
        figure, axes = _stage() if verdict is not None else _stage(width=4.6, across=6.0)
        if verdict is not None:
            for (left, right, low, high), colour, _ in _swatches(verdict):
                axes.fill_between([left, right], low, high, facecolor=colour, edgecolor=GREY, linewidth=1.5)
            for x, y, words in _labels(verdict):
                axes.text(x, y, words, va="top", fontsize=12)
            for line in _span(verdict):
                axes.plot(*line, **MAIN.line)
            if verdict.gap is not None:
                axes.plot([SPAN], [_shown(verdict)[1]], **MAIN.points)
    return figure


def colours_svg(verdict):
    """Return the same picture as SVG text for a panel; only what follows the powder is drawn anew."""
    picture, elements = _live(), []
    for (left, right, low, high), colour, _ in _swatches(verdict):
        elements.append(picture.box(left, right, low, high, _swatch_role(colour)))
        elements.append(picture.line([left, right, right, left, left], [low, low, high, high, low], RIM))
    for x, y, words in _labels(verdict):
        elements.append(picture.text(x, y, words, below=True, anchor="start"))
    elements += [picture.line(*line) for line in _span(verdict)]
    if verdict.gap is not None:
        elements.append(picture.marker(SPAN, _shown(verdict)[1]))
    return picture.svg(elements, alt=colours_words(verdict))


def colours_words(verdict=None):
    """Return what ``colours_figure`` shows, in words with its numbers.

    Examples
    --------
    >>> colours_words().split(": ")[1]
    'near white above 3.00 eV, whitish yellow from 2.85 to 3.00 eV, pale yellow from 2.65 to 2.85 eV, yellow from 2.45 to 2.65 eV, orange-yellow from 2.25 to 2.45 eV, orange from 2.10 to 2.25 eV, orange-red from 1.90 to 2.10 eV, red-brown from 1.65 to 1.90 eV, near black below 1.65 eV.'
    """
    bands = [(row["name"], row["band_low_eV"], row["band_high_eV"]) for row in table("colours")]
    first, *middle, last = bands
    listed = [f"{first[0]} above {first[1]} eV", *(f"{name} from {low} to {high} eV" for name, low, high in middle),
              f"{last[0]} below {last[2]} eV"]  # fmt: skip
    said = f"Strip of the computed colours of clean powder in daylight against its gap: {', '.join(listed)}."
    return (
        said
        if verdict is None
        else f"{said} Beside it a powder of colour {verdict.balanced} on white paper. {verdict.sentence}"
    )


@cache
def _strip():
    """The gaps at the middles of the steps, and their colours on a screen."""
    gaps = np.round(np.arange(LOW + STEP / 2, HIGH, STEP), 3)
    return gaps, tuple(powder_colour(Q(float(gap), "eV")).hex for gap in gaps)


def _stage(width=6.4, across=10.0):
    """Return (figure, axes) with all that stays: the strip, its two scales and the words."""
    figure, axes = new_figure(width, height=4.6)
    gaps, shades = _strip()
    axes.barh(gaps, STRIP[1] - STRIP[0], height=STEP, left=STRIP[0], color=shades, edgecolor=shades, linewidth=0.6)
    for row in table("colours"):
        low, high = max(float(row["band_low_eV"]), LOW), min(float(row["band_high_eV"]), HIGH)
        if high - low > 0.1:
            axes.text(WORDS, (low + high) / 2, row["name"], va="center", fontsize=12)
        if low > LOW:
            axes.plot([STRIP[0], WORDS + 2.6], [low, low], color=GRID, linestyle="-", linewidth=0.8, zorder=0)
    axes.plot(
        [STRIP[0], STRIP[1], STRIP[1], STRIP[0]], [LOW, LOW, HIGH, HIGH], color=GREY, linestyle="-", linewidth=1.2
    )
    axes.set(xlim=(0, across), ylim=(LOW, HIGH), ylabel="Gap / eV", yticks=np.arange(1.6, 3.41, 0.2))
    axes.grid(False)
    axes.xaxis.set_visible(False)
    axes.spines["bottom"].set_visible(False)
    edges = axes.secondary_yaxis("right", functions=(_turned, _turned))
    edges.set_yticks(_EDGES)
    edges.set_ylabel("Edge / nm")
    return figure, axes


def _turned(size):
    """Return nm of eV, and eV of nm: the same sum either way."""
    return wavelength_from_gap(Q(1.0, "eV")).magnitude / np.maximum(np.asarray(size, dtype=float), 1e-3)


@cache
def _live():
    with styled():
        return LivePicture(*_stage())


@lru_cache(maxsize=64)
def _swatch_role(colour):
    return Role("swatch", colour, opacity=1.0)


def _swatches(verdict):
    """Return (place, colour, what) of the white paper and the powder on it, as seen beside true white."""
    return (PAPER, "#FFFFFF", "paper"), (POWDER, verdict.balanced, "powder")


def _labels(verdict):
    gap = verdict.gap
    if gap is None:
        said = "no clean edge"
    elif verdict.kind == "at least":
        said = f"{gap.low.magnitude:.2f} eV or more"
    else:
        ends, likely = printed_range(gap, 3, "eV").split(", ")
        said = f"{ends},\n{likely}"
    return (PAPER[0], 2.57, f"your powder,\n{verdict.balanced}, on\nwhite paper"), (PAPER[0], 2.22, said)


def _shown(verdict):
    """Return the ends and the likely value in eV, kept inside the picture."""
    return np.clip(verdict.gap.m_as("eV"), LOW, HIGH)


def _span(verdict):
    """Return the lines of the range: upright, with a bar at each end that is one."""
    if verdict.gap is None:
        return []
    low, _, high = _shown(verdict)
    ends = [low] if verdict.kind == "at least" else [low, high]
    bars = [([SPAN - 0.18, SPAN + 0.18], [end, end]) for end in ends]
    return [([SPAN, SPAN], [low, high]), *bars]
