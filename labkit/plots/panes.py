"""Two axes above each other in a live picture, such as readings and, below, by how much a curve misses them."""

import numpy as np

from labkit.plots.live import LivePicture
from labkit.plots.style import styled


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
