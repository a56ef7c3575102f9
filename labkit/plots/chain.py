"""The chain from light to hydrogen as a fall over decades, what drives it, and what random draws give."""

from functools import lru_cache
from math import ceil, floor, log10

import numpy as np
from matplotlib.ticker import MaxNLocator

from labkit.hydrogen import link_text
from labkit.plots.hydrogen import Decades
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, QUIET, Role, new_figure, styled
from labkit.units import number_text, printed

FALL = ("area", "gap", "absorbed share", "quantum yield", "electrons")  # the links that are drawn, all in mol
_ZERO, _BREAK = -1.1, -0.55  # places left of the lowest decade, as in the picture of a day
_LEAST = 9  # decades at least, so that the axis keeps still while a slider moves
_NAMES = {  # power of ten to its name at the axis; decades between have a line and no name
    "mol": {-12: "1 pmol", -9: "1 nmol", -6: "1 µmol", -3: "1 mmol", 0: "1 mol", 3: "1000 mol", 6: "10⁶ mol"},
    "L": {-12: "1 pL", -9: "1 nL", -6: "1 µL", -3: "1 mL", 0: "1 L", 3: "1 m³", 6: "1000 m³"},
}
_GAP = Role("gap", "#FFFFFF", opacity=1.0)
_WORDS_UP = 0.17  # of the distance of two rows, from a bar to the words above it
_FALLS = Role("falls", LIMIT.colour, (1, 2.2), width=1.4)


def axis_decades(sizes, unit, least=_LEAST):
    """Return the Decades that hold all sizes that are above zero, at least so many of them."""
    found = [size for size in sizes if size > 0]
    top = ceil(log10(1.3 * max(found))) if found else 0
    return Decades(min(floor(log10(min(found, default=1)) + 0.3), top - least), top, unit)


def _dressed(axes, decades, rows, label):
    places = range(decades.top - decades.bottom + 1)
    names = [_NAMES[decades.unit].get(power, "") for power in range(decades.bottom, decades.top + 1)]
    axes.axvspan(_ZERO - 0.5, _BREAK, facecolor=QUIET.colour, alpha=0.15)
    for shift in (-0.07, 0.07):  # the two strokes that say: the axis is cut here
        axes.plot([_BREAK + shift - 0.05, _BREAK + shift + 0.05], [-0.025, 0.025], color=LIMIT.colour, linestyle="-", linewidth=1.6, zorder=6,
                  transform=axes.get_xaxis_transform(), clip_on=False)  # fmt: skip
    axes.set(xlim=(_ZERO - 0.5, places[-1] + 0.15), ylim=(-0.4, rows - 0.1), yticks=[], xticks=[_ZERO, *places],
             xticklabels=["0", *names], xlabel=f"{label} (ten times more at each line)")  # fmt: skip
    axes.spines["left"].set_visible(False)
    return axes


# --------------------------------------------------------------------------------------- the fall
def _fall(chain):
    """Return [(words, (low, likely, high) in mol), …], the light first."""
    links = {link.name: link for link in chain.links}
    rows = [(f"{links[name].words}: {_short(links[name].value)}", links[name].value.m_as("mol")) for name in FALL[:-1]]
    return [*rows, (f"hydrogen: {_short(chain.volume)}", links[FALL[-1]].value.m_as("mol"))]


def _short(span):
    return link_text(span) if span.likely.magnitude else f"0, at most {printed(span.high, 2)}"


def fall_decades(chain):
    """Return the Decades of the picture of a chain, in mol."""
    return _decades_of(_fall(chain))


def _decades_of(rows):
    return axis_decades([size for _, ends in rows for size in ends], "mol")


def _drawn_fall(rows, decades):
    """Yield (height, look, low, likely, high, words) for each link, the light on top."""
    for place, (words, ends) in enumerate(rows):
        look = MAIN if place == len(rows) - 1 else GUESS if ends[0] < 0.97 * ends[2] else QUIET
        yield len(rows) - 1 - place, look, *map(decades.place, ends), words


def chain_figure(chain, axes=None):
    """Return a Figure of a Chain: photons of the light on top, hydrogen at the bottom, on an axis of decades.

    A bar runs from low to high, a mark stands at the likely value, and a dotted line follows the fall from link to
    link.  Zero has a place of its own, for “nothing” is an answer.
    """
    fall = _fall(chain)
    decades = _decades_of(fall)
    figure = None
    if axes is None:
        figure, axes = new_figure(6.4, 4.6)
    with styled():
        _dressed(axes, decades, len(FALL), "Photons, electrons or molecules")
        rows = list(_drawn_fall(fall, decades))
        for (height, _, _, likely, _, _), (lower, _, _, following, _, _) in zip(rows, rows[1:]):
            axes.plot([likely, following, following], [height, height, lower], **_FALLS.line, zorder=3)
        for height, look, low, likely, high, words in rows:
            axes.barh(height, high - low, 0.26, low, facecolor=look.pale, edgecolor=look.colour, linewidth=2, zorder=4)
            axes.plot(likely, height, **look.points, markeredgecolor="#FFFFFF", zorder=5)
            axes.text(_ZERO - 0.45, height + 0.22, words, fontsize=12, va="bottom", zorder=6,
                      bbox={"facecolor": "#FFFFFF", "edgecolor": "none", "pad": 1.0, "alpha": 0.85}).set_in_layout(False)  # fmt: skip
        axes.axvspan(_BREAK - 0.07, _BREAK + 0.07, facecolor="#FFFFFF", zorder=3.5)
    return figure or axes.figure


@lru_cache(32)  # each keeps a figure
def _fall_frame(decades):
    figure, axes = new_figure(6.4, 4.6)
    with styled():
        _dressed(axes, decades, len(FALL), "Photons, electrons or molecules")
    return LivePicture(figure, axes)


def chain_picture(chain):
    """Return SVG text of what ``chain_figure`` draws, on a frame that is kept for the next call."""
    fall = _fall(chain)
    decades = _decades_of(fall)
    picture, rows = _fall_frame(decades), list(_drawn_fall(fall, decades))
    elements = [picture.line([likely, following, following], [height, height, _landing(picture, following, lower, words)], _FALLS)
                for (height, _, _, likely, _, _), (lower, _, _, following, _, words) in zip(rows, rows[1:])]  # fmt: skip
    elements.append(picture.band(_BREAK - 0.07, _BREAK + 0.07, _GAP))
    for height, look, low, likely, high, words in rows:
        elements += [
            picture.box(low, high, height - 0.13, height + 0.13, look),
            picture.marker(likely, height, look),
            picture.text(_ZERO - 0.5, height + _WORDS_UP, words, anchor="start"),
        ]
    return picture.svg(elements, _fall_words(fall))


def _landing(picture, x, height, words):
    """Return where a dotted line that falls to a mark ends: on it, or over the words above it if they are in the way."""
    if x > _ZERO - 0.5 + picture.breadth(words) + 0.05:
        return height
    (_, down), (_, up) = picture.points([x, x], [height, height + 1])
    return height + _WORDS_UP + 20 / (down - up)  # points: words stand 7 above their place and are 10 high


def chain_words(chain):
    """Return the words for either picture of a chain, with its numbers."""
    return _fall_words(_fall(chain))


def _fall_words(fall):
    rows = "; ".join(words for words, _ in fall)
    return f"A fall over decades, from the light down to hydrogen, with a place for zero: {rows}."


# ------------------------------------------------------------------------------------ what drives it
def _bars(chain):
    """Return [(name, low, high), …] of the volume in L, widest first, then all together; what moves nothing is left out."""
    bars = [(name, low.m_as("L"), high.m_as("L")) for name, low, high in chain.volume.drivers]
    low, _, high = chain.volume.m_as("L")
    return [*(bar for bar in bars if _volume(bar[1]) != _volume(bar[2])), ("all together", low, high)]


def tornado_figure(chain):
    """Return a Figure of what drives the volume of a Chain, on an axis of decades.

    Each bar shows the volume when one input alone runs over its range and the others stay at their likely values;
    the lowest lets all of them run together.  An upright line marks the likely volume.
    """
    bars = _bars(chain)
    likely = chain.volume.m_as("L")[1]
    decades = axis_decades([likely, *(end for _, *ends in bars for end in ends)], "L", least=3)
    figure, axes = new_figure(6.4, 1.3 + 0.62 * len(bars))
    with styled():
        _dressed(axes, decades, len(bars), "Hydrogen")
        for height, (name, low, high) in enumerate(reversed(bars)):
            look = GUESS if name == "all together" else MAIN
            left, right = decades.place(low), decades.place(high)
            axes.barh(
                height, right - left, 0.3, left, facecolor=look.pale, edgecolor=look.colour, linewidth=2, zorder=4
            )
            words = f"{name}: {_volume(low)} to {_volume(high)}"
            axes.text(_ZERO - 0.45, height + 0.2, words, fontsize=12, va="bottom", zorder=6).set_in_layout(False)
        if likely:
            axes.axvline(decades.place(likely), **{**LIMIT.line, "zorder": 3})
    return figure


def tornado_words(chain):
    """Return the words for ``tornado_figure``, with its numbers."""
    *bars, whole = _bars(chain)
    parts = ", ".join(f"{name} alone {_volume(low)} to {_volume(high)}" for name, low, high in bars)
    told = (
        f" What moves it, one at a time: {parts}."
        if parts
        else " With the likely values of the others, nothing moves it."
    )
    return f"Bars of what drives {_volume(whole[1])} to {_volume(whole[2])} of hydrogen, on an axis of decades.{told}"


def _volume(litres):
    if not litres:
        return "0"
    size, unit = next(
        (litres / 10**power, unit)
        for power, unit in ((3, "m³"), (0, "L"), (-3, "mL"), (-6, "µL"), (-99, "µL"))
        if litres >= 10**power or power == -99
    )
    return f"{number_text(litres * 1e6 if unit == 'µL' else size, 2)} {unit}"


# --------------------------------------------------------------------------------------- the draws
_BINS = 8  # to a decade
_CROWDED = 0.3  # decades: nearer than this there is no room for the words of the middle line


def spread_figure(spread):
    """Return a Figure of a Spread: how many of 100 draws fall on each eighth of a decade, and how many on zero."""
    litres = np.asarray(spread.volumes) / 1000
    some = litres[litres > 0]
    edges = np.percentile(some, [0.2, 99.9]) if some.size else np.array([1e-6, 1e-3])
    decades = axis_decades(edges, "L", least=3)
    places = np.log10(some) - decades.bottom if some.size else np.array([])
    bins = np.arange(0, (decades.top - decades.bottom) * _BINS + 1) / _BINS
    counts = np.histogram(np.clip(places, bins[0], bins[-1]), bins)[0] / litres.size * 100
    nothing = 100 * spread.zero
    figure, axes = new_figure(6.4, 3.6)
    with styled():
        _dressed(axes, decades, 1, "Hydrogen")
        axes.bar(bins[:-1] + 0.5 / _BINS, counts, 1 / _BINS, facecolor=GUESS.pale, edgecolor=GUESS.colour, linewidth=1)
        if nothing:
            axes.bar(_ZERO, nothing, 0.6, facecolor=MAIN.pale, edgecolor=MAIN.colour, linewidth=2)
        ends = [decades.place(size.m_as("L")) for size in (spread.low, spread.median, spread.high)]
        crowded = min(ends[1] - ends[0], ends[2] - ends[1]) < _CROWDED
        # The outer words lean outwards, so that a narrow spread leaves room for the middle ones.
        for size, words, side in (
            (spread.low, "2.5 %", "right"),
            (spread.median, "half", "center"),
            (spread.high, "97.5 %", "left"),
        ):
            at = decades.place(size.m_as("L"))
            if size.magnitude:
                axes.axvline(at, ymax=0.82, **LIMIT.line)
            if size.magnitude and not (words == "half" and crowded):
                axes.annotate(f"{words}\n{printed(size, 2)}", (at, 0.84), xycoords=("data", "axes fraction"), ha=side,
                              va="bottom", fontsize=12)  # fmt: skip
        axes.set(ylim=(0, 1.3 * max([*counts, nothing])), ylabel="Of 100 draws")
        axes.yaxis.set_major_locator(MaxNLocator(5))
        axes.spines["left"].set_visible(True)
    return figure


def spread_words(spread):
    """Return the words for ``spread_figure``, with its numbers."""
    return f"Bars of how often random draws give so much hydrogen, on an axis of decades with a place for zero. {spread.sentence}"
