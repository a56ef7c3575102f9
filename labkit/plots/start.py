"""One typed value on its own scale: a point, or a bar from low over likely to high."""

from functools import cache

from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, MAIN, new_figure, styled

_LEFT, _RIGHT = 0.2, 0.8


@cache
def _frame():
    figure, axes = new_figure(6.4, 1.5)
    with styled():
        axes.set(xlim=(0, 1), ylim=(0, 1), xticks=[], yticks=[], xlabel="smaller to the left, larger to the right")
        axes.spines["left"].set_visible(False)
        axes.grid(visible=False)
    return LivePicture(figure, axes)


def place(value, low, high):
    """Return where a number between ``low`` and ``high`` stands in the picture, from 0 to 1."""
    return 0.5 if low == high else _LEFT + (_RIGHT - _LEFT) * (value / (high - low) - low / (high - low))


def value_picture(ends, texts, alt):
    """Return SVG text: (low, likely, high) as a bar with a point in it; equal numbers as a point alone.

    ``ends`` are plain numbers in one unit, ``texts`` the words to write at them.
    """
    picture = _frame()
    low, likely, high = (place(value, ends[0], ends[2]) for value in ends)
    elements = [
        picture.marker(likely, 0.5, MAIN),
        picture.text(likely, 0.72, texts[1], MAIN, anchor="middle"),
    ]
    if low < high:
        elements[:0] = [picture.box(low, high, 0.36, 0.64, GUESS)]
        elements += [
            picture.text(low, 0.04, texts[0], anchor="middle"),
            picture.text(high, 0.04, texts[2], anchor="middle"),
        ]
    return picture.svg(elements, alt)
