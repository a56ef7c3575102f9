"""Two axes above each other in a live picture, such as readings and, below, by how much a curve misses them."""

from functools import lru_cache
from math import floor, log10

import numpy as np

from labkit.plots.live import LivePicture
from labkit.plots.style import new_figure, styled
from labkit.units import number_text

HIGH = 4.6  # inches of a picture with a strip below it
_RATIOS = (3.4, 1.0)
_NICE = (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10)


class Pane:
    """One of several axes of a figure, and where its numbers lie in the whole picture, 0 to 1 either way.

    The layout of the figure is settled before.
    """

    def __init__(self, axes):
        box = axes.get_position()
        self._left, self._bottom, self._wide, self._high = box.x0, box.y0, box.width, box.height
        self._across, self._up = axes.get_xlim(), axes.get_ylim()

    def at(self, x, y):
        """Return (across, up) of places given in numbers of the axes; nothing lies beyond the axes."""
        x, y = (np.asarray(part, dtype=float) for part in (x, y))
        across = self._left + self._wide * (x - self._across[0]) / (self._across[1] - self._across[0])
        up = self._bottom + self._high * (y - self._up[0]) / (self._up[1] - self._up[0])
        return np.clip(across, self._left, self._left + self._wide), np.clip(
            up, self._bottom, self._bottom + self._high
        )


def panes_of(figure, *axes):
    """Return (LivePicture, a Pane for each of the axes); the picture's own axes run from 0 to 1 over all of the figure."""
    with styled():
        figure.draw_without_rendering()
        figure.set_layout_engine("none")
        whole = figure.add_axes((0, 0, 1, 1), frameon=False, xlim=(0, 1), ylim=(0, 1), xticks=(), yticks=())
    return LivePicture(figure, whole), tuple(map(Pane, axes))


def axis_end(size):
    """Return a handy number no smaller than ``size``, to end an axis.

    >>> axis_end(16.3), axis_end(0.51)
    (20.0, 0.6)
    """
    size = max(float(size), 1e-9)
    power = 10.0 ** floor(log10(size))
    return float(f"{next(nice for nice in _NICE if size <= nice * power * (1 + 1e-9)) * power:.6g}")


def stage(right, bottom, top, half, across, up):
    """Return (figure, axes, strip): readings above, and by how much a curve misses them below.

    ``right``, ``bottom``, ``top`` and ``half``, of the strip, are the ends of the axes; ``across`` and ``up`` their labels.
    """
    figure, (main, strip) = new_figure(6.4, HIGH, nrows=2, sharex=True, gridspec_kw={"height_ratios": _RATIOS})
    with styled():
        main.set(xlim=(0, right), ylim=(bottom, top), ylabel=up)
        strip.set(ylim=(-half, half), xlabel=across, ylabel="Missed by", yticks=(-half, 0, half))
        strip.set_yticklabels([number_text(-half, 2).replace("-", "−"), "0", number_text(half, 2)])
        figure.align_ylabels()
    return figure, main, strip


@lru_cache(48)  # each keeps a figure
def staged(*ends):
    """Return (LivePicture, (Pane, Pane)) of a ``stage``, kept for the next picture of the same size."""
    return panes_of(*stage(*ends))
