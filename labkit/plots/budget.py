"""Where the doubt in a result comes from: a bar for each input, and the random draws beside the bell."""

from functools import cache

import numpy as np

from labkit.errors import RangeProblem
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, SECOND, new_figure, styled
from labkit.units import converted, handy, number_text, printed, printed_ends, printed_with, unit_text

MOST = 6  # bars; what is left is put together in the last
WIDEST = 4.0  # standard uncertainties to either side of the value that the draws are shown for
_FARTHEST = 12.0  # the same, for draws that reach farther out on one side
_BINS, _TALL = 8, 0.62  # to each standard uncertainty; the top of the picture
_WHOLE = "all together"


def contributions(found):
    """Return [(name, contribution as a plain number, the same over the whole), …] and the unit, widest first.

    At most ``MOST``, the last of which puts together what is left, as the root of the sum of squares; the whole
    itself is not among them.
    """
    unit = handy(found.uncertainty if found.uncertainty.magnitude else found.spread or found.uncertainty).units
    whole = converted(found.uncertainty, unit).magnitude
    sizes = [(part.name, converted(part.contribution, unit).magnitude) for part in found.parts]
    if len(sizes) > MOST:
        rest = sizes[MOST - 1 :]
        sizes = [*sizes[: MOST - 1], (f"the other {len(rest)}", float(np.hypot.reduce([size for _, size in rest])))]
    return [(name, size, size / whole if whole else 0.0) for name, size in sizes], unit


def budget_figure(found, label):
    """Return a Figure of a Budget: a bar for what each input brings, and one for all together.

    Parameters
    ----------
    found : Budget
    label : str
        What the result is, for the axis: ``"dry gas"``.
    """
    rows, unit = contributions(found)
    whole = converted(found.uncertainty, unit).magnitude
    bars = [*((name, size) for name, size, _ in rows), (_WHOLE, whole)]
    figure, axes = new_figure(6.4, 1.2 + 0.45 * len(bars))
    with styled():
        for place, (name, size) in enumerate(reversed(bars)):
            look = GUESS if name == _WHOLE else MAIN
            axes.barh(place, size, height=0.55, facecolor=look.pale, edgecolor=look.colour, linewidth=2)
            axes.annotate(
                number_text(size, 2), (size, place), (7, 0), va="center", textcoords="offset points", fontsize=12
            )
        symbol = unit_text(unit)
        axes.set(yticks=range(len(bars)), yticklabels=[name for name, _ in reversed(bars)], ylim=(-0.6, len(bars) - 0.4),
                 xlim=(0, max([size for _, size in bars] + [1e-300]) * 1.25),
                 xlabel=f"Standard uncertainty of the {label}" + (f" / {symbol}" if symbol else ""))  # fmt: skip
        axes.tick_params(axis="y", length=0)
        axes.grid(axis="y", visible=False)
    return figure


def budget_words(found, label):
    """Return the words for ``budget_figure``, with its numbers."""
    rows, unit = contributions(found)
    symbol = unit_text(unit)
    parts = ", ".join(f"{name} {number_text(size, 2)} {symbol}".strip() for name, size, _ in rows)
    return (f"Bars of what each input brings to the standard uncertainty of the {label}, "
            f"{printed_with(found.value, found.uncertainty)}: {parts}; all together "
            f"{number_text(converted(found.uncertainty, unit).magnitude, 2)} {symbol}".rstrip() + ".")  # fmt: skip


@cache
def _bar_frame(rows):
    figure, axes = new_figure(6.4, 0.9 + 0.52 * rows)
    with styled():
        axes.set(xlim=(0, 112), ylim=(0, rows), yticks=[], xlabel="Contribution / % of the whole standard uncertainty")
        axes.spines["left"].set_visible(False)
        axes.grid(axis="y", visible=False)
    return LivePicture(figure, axes)


def budget_picture(found, alt):
    """Return SVG text of the bars of a Budget, for a panel; each as a share of the whole."""
    rows, unit = contributions(found)
    picture, symbol = _bar_frame(len(rows)), unit_text(unit)
    elements = []
    for place, (name, size, share) in enumerate(rows):
        bottom = len(rows) - 1 - place
        elements.append(picture.box(0, min(100 * share, 112), bottom + 0.1, bottom + 0.42, MAIN))
        elements.append(picture.text(0, bottom + 0.46, f"{name}: ± {number_text(size, 2)} {symbol}".strip(), anchor="start"))  # fmt: skip
    return picture.svg(elements, alt)


def _heights(found, low=-WIDEST, high=WIDEST):
    """Return edges of the bins in standard uncertainties from the value, and the density of the draws in them."""
    if found.draws is None or not found.spread.magnitude:
        raise RangeProblem("There are no draws to show. Work the budget out with some: budget(..., count=100000).")
    size = _scale(found)
    edges = np.linspace(low, high, round((high - low) * _BINS) + 1)
    counts, _ = np.histogram((found.draws - found.value.magnitude) / size, edges)
    return edges, counts / (found.draws.size * (edges[1] - edges[0]))


def _reach(found):
    """Return from where to where the draws are shown, in standard uncertainties: with both ends of their interval, within reason."""
    if found.draws is None or not found.spread.magnitude:
        return -WIDEST, WIDEST
    ends = [
        (converted(end, found.value.units).magnitude - found.value.magnitude) / _scale(found) for end in found.symmetric
    ]
    return max(min(-WIDEST, ends[0] - 1), -_FARTHEST), min(max(WIDEST, ends[1] + 1), _FARTHEST)


def _scale(found):
    """Return the plain standard uncertainty that draws are measured by: of the first way, or if that sees nothing of the draws."""
    return float(found.uncertainty.magnitude) or float(found.spread.magnitude)


def _bell(places):
    return np.exp(-(places**2) / 2) / np.sqrt(2 * np.pi)


def draws_figure(found, label):
    """Return a Figure of the random draws of a Budget, with the bell that the first way takes them for.

    Dotted lines stand at the ends of the symmetric interval of the draws.  A result that the first way sees no
    uncertainty in has no bell.
    """
    unit = handy(found.value if found.value.magnitude else found.spread).units
    left, right = _reach(found)
    edges, heights = _heights(found, left, right)
    size = _scale(found)

    def there(places):
        return converted(found.value.__class__(found.value.magnitude + np.asarray(places) * size, found.value.units), unit).magnitude  # fmt: skip

    figure, axes = new_figure(6.4, 3.6)
    with styled():
        axes.stairs(heights, there(edges), fill=True, facecolor=GUESS.pale, edgecolor=GUESS.colour, linewidth=1.5, label="random draws")  # fmt: skip
        if found.uncertainty.magnitude:
            places = np.linspace(-WIDEST, WIDEST, 161)
            axes.plot(there(places), _bell(places), **SECOND.line, label="bell of the first way")
        for place, end in enumerate(found.symmetric):
            # The legend stands above the lines.
            axes.axvline(converted(end, unit).magnitude, ymax=0.76, **LIMIT.line, label=f"{100 * found.coverage:g} % of the draws" if not place else None)  # fmt: skip
        symbol = unit_text(unit)
        top = max(float(heights.max()), 0.4)
        axes.set(xlim=(float(there(left)), float(there(right))), ylim=(0, top * 1.45), yticks=[],
                 xlabel=f"{label[:1].upper()}{label[1:]}" + (f" / {symbol}" if symbol else ""), ylabel="how often")  # fmt: skip
        axes.legend(loc="upper left", ncols=2)
    return figure


def draws_words(found, label):
    """Return the words for ``draws_figure`` and ``draws_picture``, with their numbers."""
    low, high = printed_ends(found.symmetric)
    same = "" if found.agree is None else " It fits the bell." if found.agree else " It does not fit the bell."
    bell = (
        f"the bell around {printed_with(found.value, found.uncertainty)}" if found.uncertainty.magnitude else "no bell"
    )
    return (f"Random draws of the {label} as an area, beside {bell}: {100 * found.coverage:g} % of the draws "
            f"lie from {low} to {high}, their standard deviation is {printed(found.spread, 2)}.{same}")  # fmt: skip


@cache
def _draws_frame():
    figure, axes = new_figure(6.4, 2.9)
    with styled():
        ticks = range(-4, 5, 2)
        axes.set(xlim=(-WIDEST, WIDEST), ylim=(0, _TALL), yticks=[], xlabel="Standard uncertainties from the value", ylabel="how often")  # fmt: skip
        axes.set_xticks(ticks, [f"{tick:+d}".replace("-", "−") if tick else "0" for tick in ticks])
    return LivePicture(figure, axes)


def draws_picture(found, alt):
    """Return SVG text of the random draws of a Budget and the bell, for a panel; what would reach the words is cut off."""
    edges, heights = _heights(found)
    picture, size = _draws_frame(), _scale(found)
    steps = np.repeat(np.minimum(heights, _TALL * 0.74), 2)
    across = np.repeat(edges, 2)[1:-1]
    elements = [picture.area(across, np.zeros_like(steps), steps, GUESS)]
    if found.uncertainty.magnitude:
        places = np.linspace(-WIDEST, WIDEST, 161)
        elements.append(picture.line(places, _bell(places), SECOND))
    ends = [(converted(end, found.value.units).magnitude - found.value.magnitude) / size for end in found.symmetric]
    texts = printed_ends(found.symmetric)
    for place, words, anchor in zip(ends, (texts[0], texts[1]), ("end", "start")):
        elements.append(picture.line([place, place], [0, _TALL * 0.74], LIMIT))
        elements.append(picture.text(min(max(place, -WIDEST), WIDEST), _TALL * 0.76, words, anchor=anchor if abs(place) < 2.9 else None))  # fmt: skip
    elements.append(
        picture.text(
            0,
            _TALL * 0.9,
            f"area: draws, {100 * found.coverage:g} % of them between the lines; dashed: bell",
            anchor="middle",
        )
    )
    return picture.svg(elements, alt)
