"""Where the mass of a precursor goes: powder and gas, in percent of what was fired."""

from functools import cache

from labkit.chemistry.thermolysis import mass_shares
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, MEASURED, QUIET, SECOND, THIRD, new_figure, styled
from labkit.units import number_text

_ROWS = {"theory": 2, "expected": 1, "weighed": 0}
_LOOKS = (MAIN, SECOND, THIRD, QUIET)
_MOST = 300  # percent of the powder wanted that the picture of a batch has room for


def mass_figure(precursor="urea", axes=None):
    """Return a Figure of one bar: powder and gases of the usual route, in percent of the precursor.

    With ``axes`` the bar is drawn there and its figure returned.
    """
    if axes is None:
        _, axes = new_figure(6.4, 2.2)
    with styled():
        left = 0.0
        for look, (name, share) in zip(_LOOKS, mass_shares(precursor).items()):
            axes.barh(0, share, left=left, height=0.62, facecolor=look.pale, edgecolor=look.colour, linewidth=2)
            shown = name if share > 25 else name.replace(" ", "\n")
            axes.text(left + share / 2, 0, f"{shown}\n{share:.1f} %", ha="center", va="center", fontsize=12)
            left += share
        axes.set(xlim=(0, 100.5), ylim=(-0.5, 0.5), yticks=[], xlabel=f"Share of the mass of {precursor} / %")
        axes.set_title("At best, by the usual route", loc="left")
        axes.spines["left"].set_visible(False)
        axes.grid(axis="y", visible=False)
    return axes.figure


@cache
def _frame():
    figure, axes = new_figure(6.4, 2.9)
    with styled():
        axes.set(xlim=(0, 100), ylim=(-0.6, 2.6), xlabel="Powder / % of the mass fired",
                 yticks=list(_ROWS.values()), yticklabels=list(_ROWS))  # fmt: skip
        axes.tick_params(axis="y", length=0)
        axes.grid(axis="y", visible=False)
    return LivePicture(figure, axes)


def yield_picture(usual, bound, expected, weighed, alt):
    """Return SVG text: limits of theory, the range expected, the yield weighed.

    All in percent of the precursor's mass: ``usual`` and ``bound`` are numbers, ``expected`` is
    (low, likely, high), ``weighed`` a number.
    """
    picture = _frame()
    low, likely, high = expected
    shown, uprights = min(weighed, 99), [usual]
    elements = [
        picture.box(0, usual, 1.72, 2.28, MAIN),
        picture.box(low, high, 0.72, 1.28, GUESS),
        picture.line([usual, usual], [-0.6, 1.72], MAIN),
    ]
    if bound > usual * 1.001:
        uprights.append(bound)
        elements += [
            picture.line([bound, bound], [-0.6, 1.5], LIMIT),
            _beside(picture, bound, 0.37, f"no carbon lost {bound:.1f} %", uprights),
        ]
    elements += [
        _beside(picture, usual, 1.88, f"usual route {usual:.1f} %", ()),
        _beside(picture, low, 1.28, f"likely {likely:.2g} %", uprights, middle=likely),
        picture.marker(likely, 1, QUIET),
        _beside(picture, shown, 0, f"{number_text(weighed)} %" + (" →" if weighed > 100 else ""), uprights),
        picture.marker(shown, 0, MEASURED),
    ]
    return picture.svg(elements, alt)


def _beside(picture, place, height, words, uprights, middle=None):
    """Return words about ``middle``, or beside a place or an upright: the nearest of these with no upright through it."""
    breadth = picture.breadth(words)
    choices = [] if middle is None else [(middle, "middle", middle - breadth / 2)]
    for at in (place, *uprights):
        choices += [(at, "start", at), (at, "end", at - breadth)]
    aim = place if middle is None else middle
    for at, anchor, left in sorted(choices, key=lambda choice: abs(choice[2] + breadth / 2 - aim)):
        if 0 <= left <= 100 - breadth and not any(left < line < left + breadth for line in uprights):
            return picture.text(at, height, words, anchor=anchor)
    return picture.text(place, height, words)


@cache
def _batch_frame():
    figure, axes = new_figure(6.4, 1.7)
    with styled():
        axes.set(xlim=(0, _MOST), ylim=(0, 1), yticks=[], xticks=range(0, _MOST + 1, 50),
                 xlabel="Powder after washing / % of the powder wanted")  # fmt: skip
        axes.spines["left"].set_visible(False)
    return LivePicture(figure, axes)


def batch_picture(expected, alt):
    """Return SVG text: powder after washing as a bar from low to high, beside a line at what is wanted.

    ``expected`` is (low, likely, high) in percent of the powder wanted.  A bar that goes on beyond
    the picture has no right end, and the words say so.
    """
    picture = _batch_frame()
    low, likely, high = expected
    said = [number_text(size, 2) for size in expected]
    elements = [
        picture.box(low, min(high, _MOST + 20), 0.14, 0.5, GUESS),
        picture.upright(100),
        picture.marker(min(likely, _MOST - 3), 0.32, QUIET),
        picture.text(100, 0.8, "wanted", anchor="start"),
        picture.text(100, 0.52, f"{said[0]} to {said[2]} %, likely {said[1]} %", anchor="start"),
    ]
    if high > _MOST:
        elements.append(picture.text(_MOST, 0.22, "goes on beyond 300 % →", anchor="end"))
    return picture.svg(elements, alt)
