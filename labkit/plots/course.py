"""Temperature against time: what the pictures of a kiln and of a log have in common.

The frame, a curve thinned to what can be seen, the window as a band, and words that stand where no
line runs.
"""

from functools import lru_cache
from math import ceil, log10

import numpy as np

from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, new_figure, styled
from labkit.units import number_text

COLUMNS = 500  # upright strips a curve is thinned to: each is narrower than its line
_UNITS = ((120, "min", 1.0), (5760, "h", 60.0), (float("inf"), "d", 1440.0))  # minutes up to which, unit, its minutes
_NICE = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10)
_APART = 22  # points between two lines that leave room for words
_UP, _DOWN, _SIDE, _HIGH, _DEEP = 7, 14, 7, 10.5, 4  # points: where LivePicture.text puts words, and their size


@lru_cache(64)  # each keeps a figure
def frame(right, unit, bottom, top, strip=False):
    """Return the LivePicture of empty axes: 0 to ``right`` in ``unit``, ``bottom`` to ``top`` in °C.

    With ``strip`` there is a place above ``top``, a tenth as high, for what is on and off.
    """
    figure, axes = new_figure(6.4, 4.0)
    step = next(step for step in (50, 100, 200, 500) if (top - bottom) / step <= 9)
    with styled():
        axes.set(xlim=(0, right), ylim=(bottom, top * 1.1 if strip else top), xlabel=f"Time / {unit}", ylabel="Temperature / °C",
                 yticks=range(bottom, top + 1, step))  # fmt: skip
    return LivePicture(figure, axes)


def time_axis(minutes):
    """Return (unit, minutes in it, right end in it) for an axis that holds so many minutes.

    >>> time_axis(250)
    ('h', 60.0, 5.0)
    """
    unit, size = next((unit, size) for most, unit, size in _UNITS if minutes <= most)
    long = max(minutes / size, 1e-3)
    power = 10.0 ** (ceil(log10(long)) - 1)
    return unit, size, round(next(nice * power for nice in _NICE if long <= nice * power * (1 + 1e-9)), 9)


def heat_axis(lowest, highest):
    """Return (bottom, top) in °C, whole hundreds, with some room above.

    >>> heat_axis(18, 580)
    (0, 800)
    """
    return (-100 * max(ceil(-lowest / 100), 1) if lowest < 0 else 0), 200 * ceil(max(highest + 60, 200) / 200)


def thinned(x, y, counted=None, right=None, columns=COLUMNS):
    """Return (x, y) that look the same with far fewer points, a missing number at each gap that can be seen.

    Of each upright strip the first, the last, the highest and the lowest point stay, so no peak
    is lost.  ``counted`` is False where neighbours are not joined.
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    counted = np.ones(max(x.size - 1, 0), dtype=bool) if counted is None else np.asarray(counted, dtype=bool)
    if x.size > 4 * columns:
        keep = _seen(x, y, x[0], (x[-1] if right is None else right) - x[0], columns)
        # A gap shows only where both its ends are kept; what lies between two in one strip is narrower than a line.
        gaps = np.flatnonzero(~counted)
        visible = np.isin(gaps, keep) & np.isin(gaps + 1, keep)
        x, y, cuts = x[keep], y[keep], np.searchsorted(keep, gaps[visible]) + 1
    else:
        cuts = np.flatnonzero(~counted) + 1
    return np.insert(x, cuts, np.nan), np.insert(y, cuts, np.nan)


def _seen(x, y, start, length, columns):
    column = np.minimum(((x - start) * (columns / length)).astype(int), columns - 1)
    firsts = np.flatnonzero(np.concatenate(([True], np.diff(column) > 0)))
    lasts = np.append(firsts[1:], x.size) - 1
    by_height = np.lexsort((y, column))  # within a column, from the lowest to the highest; firsts and lasts still hold
    return np.unique(np.concatenate((firsts, lasts, by_height[firsts], by_height[lasts])))


def window_band(picture, right, low, high):
    """Return the band of a window across the axes."""
    return picture.area([0, right], [low, low], [high, high], GUESS)


def lost_lines(picture, right, top, losses, lost):
    """Return the level lines above which powder is being lost and is lost, those that are on the axis, with their words.

    The answer is (elements, strokes, [(words, °C), ...]).
    """
    found = [(f"powder lost above {lost:g} °C", lost)]
    if losses < lost:
        found.append((f"loss and HCN from {losses:g} °C", losses))
    found = [(words, limit) for words, limit in found if limit < top]
    limits = [limit for _, limit in found]
    if len(found) == 2 and np.ptp(picture.points([0, 0], limits)[:, 1]) < _APART:
        both = f"loss and HCN from {losses:g} °C, lost above {lost:g} °C"
        found = [(f"{both}|{found[1][0]}|{found[0][0]}", lost)]
    return (
        [picture.level(limit, LIMIT) for limit in limits],
        [strokes(picture, [0, right], [limit, limit]) for limit in limits],
        found,
    )


def limit_words(drawn, losses):
    """Return what a description says of the lines that are drawn, with a space before it; nothing if none is.

    >>> limit_words([600.0, 700.0], 600.0)
    ' A line at 600 °C: above it powder is being lost, with more hydrogen cyanide. A line at 700 °C: above it the powder is lost.'
    """
    what = {True: "powder is being lost, with more hydrogen cyanide", False: "the powder is lost"}
    return "".join(f" A line at {limit:g} °C: above it {what[limit == losses]}." for limit in drawn)


def strokes(picture, x, y):
    """Return the boxes (left, top, right, bottom) of the pieces of a curve, for words to keep off; in points."""
    places = picture.points(x, y)
    first, last = places[:-1], places[1:]
    good = np.isfinite(first).all(axis=1) & np.isfinite(last).all(axis=1)
    first, last = first[good], last[good]
    shares = np.linspace(0, 1, 25 if len(first) < 200 else 2)  # few points: a long line is cut into short pieces
    cut = first[:, None] + shares[:, None] * (last - first)[:, None]
    ends = np.stack((cut[:, :-1].reshape(-1, 2), cut[:, 1:].reshape(-1, 2)))
    return np.hstack((ends.min(axis=0) - 1.2, ends.max(axis=0) + 1.2))


class Labels:
    """Words in a picture, each where nothing is in its way.

    ``elements`` is what is drawn, ``placed`` where: (words, x, y, anchor, below).  ``taken`` are arrays of boxes (left, top, right, bottom) in points, such as from ``strokes``; what
    is written is taken as well from then on.  The scales of the picture are linear.
    """

    def __init__(self, picture, right, bottom, top, taken):
        self._picture, self._right, self._taken = picture, right, list(taken)
        (self._left, self._floor), (self._far, self._ceiling) = picture.points([0, right], [bottom, top]).tolist()
        self._bottom, self._top = bottom, top
        self.elements, self.placed = [], []

    def add(self, words, places, role=None):
        """Write words at the first free one of ``places``: (x, y, anchor, below); nowhere if none is free."""
        wide = self._picture.breadth(words) * (self._far - self._left) / self._right - 10
        for x, y, anchor, below in places:
            box = self._box(wide, x, y, anchor, below)
            if box is not None and not any(_meets(box, boxes) for boxes in self._taken):
                self._taken.append(np.array([box]))
                self.placed.append((words, x, y, anchor, below))
                self.elements.append(self._picture.text(x, y, words, role, anchor, below))
                return True
        return False

    def along(self, words, heights, role=None):
        """Write words above or below a level, as far to the left as there is room.

        ``heights`` are pairs (y, below).
        """
        starts = np.linspace(0, 1, 21) * self._right
        return self.add(words, ((x, y, "start", below) for x in starts for y, below in heights), role)

    def limits(self, lost_words, top):
        """Write the words of ``lost_lines``, each above its line.

        Where no place is free there they stand below a higher line or ``top``, or anywhere above; shorter words that
        will do follow after a “|”.  So words on a limit never stand where it is cooler, as in the band of a window.
        """
        higher = [top]
        for words, limit in lost_words:
            lines = [*reversed(higher), *np.linspace(top, limit, 9)[1:-1]]  # at last anywhere above its line
            places = [(limit, False), *((line, True) for line in lines)]
            any(self.along(one, [place], LIMIT) for one in words.split("|") for place in places)
            higher.append(limit)

    def _box(self, wide, x, y, anchor, below):
        """Return the box that words take, or None where they would leave the axes."""
        at = self._left + (self._far - self._left) * x / self._right
        down = self._floor + (self._ceiling - self._floor) * (y - self._bottom) / (self._top - self._bottom)
        left = {"start": at + _SIDE, "middle": at - wide / 2, "end": at - _SIDE - wide}[anchor]
        base = down + _DOWN if below else down - _UP
        if left < self._left or left + wide > self._far or base - 13 < self._ceiling or base + 5 > self._floor:
            return None
        return left - 1, base - _HIGH, left + wide + 1, base + _DEEP


def _meets(box, boxes):
    left, top, right, bottom = box
    return bool(((boxes[:, 0] < right) & (boxes[:, 2] > left) & (boxes[:, 1] < bottom) & (boxes[:, 3] > top)).any())


def window_words(low, high):
    """Return the words for a window in °C.

    >>> window_words(520.0, 580.0)
    'window 520 to 580 °C'
    """
    return f"window {degrees(low)} to {degrees(high)} °C"


def degrees(celsius):
    """Return a reading in °C as text, to the degree, or to a tenth if it has one.

    >>> degrees(520.0), degrees(537.7777)
    ('520', '537.8')
    """
    return f"{round(celsius, 1):g}" if abs(celsius) < 1e5 else number_text(celsius)
