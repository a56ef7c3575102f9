"""Words that look for a free place in a live picture, so that none stands on a line, a mark or other words."""

import numpy as np

_LINE, _ASCENT, _DESCENT, _GAP = 15, 9.2, 2.6, 2.0  # points, as LivePicture.text sets its lines; a gap all around


class Places:
    """What is taken in a live picture: lines, marks, and the words written through it.

    Parameters
    ----------
    picture : LivePicture
        Its axes may be logarithmic.
    across, up : pair of numbers
        Ends of the two axes.
    """

    def __init__(self, picture, across, up):
        self._picture, self._across = picture, across
        (left, bottom), (right, top) = picture.points(across, up)
        self._box, self._boxes, self._dots = (
            (float(left), float(top), float(right), float(bottom)),
            [],
            np.empty((0, 2)),
        )

    def copy(self):
        """Return places with the same taken, to which more can be added."""
        found = Places.__new__(Places)
        found.__dict__ |= self.__dict__ | {"_boxes": list(self._boxes)}
        return found

    def line(self, x, y):
        """Keep words off a line."""
        places = self._picture.points(x, y)
        places = places[np.isfinite(places).all(axis=1)]
        steps = np.abs(np.diff(places, axis=0)).max(axis=1) / 3
        along = np.concatenate([[0], np.cumsum(steps)])
        fine = np.arange(0, along[-1] + 1)  # a dot every three points
        self._dots = np.vstack([self._dots, np.column_stack([np.interp(fine, along, part) for part in places.T])])

    def mark(self, x, y):
        """Keep words off a mark."""
        ((right, down),) = self._picture.points([x], [y]).tolist()
        self._boxes.append((right - 4.5, down - 4.5, right + 4.5, down + 4.5))

    def text(self, *choices):
        """Return SVG of the first of the choices that is free, or else of the one that meets least.

        Each choice is the arguments of ``LivePicture.text``: x, y, words, anchor, below.
        """
        best, least, breadths = None, np.inf, {}
        points = self._picture.points([choice[0] for choice in choices], [choice[1] for choice in choices])
        for choice, (at, down) in zip(choices, points.tolist()):
            words = choice[2]
            if words not in breadths:
                breadths[words] = max(self._points_of(line) for line in words.split("\n"))
            box = self._box_of(at, down, words.count("\n"), breadths[words], *choice[3:])
            met = self._meets(box)
            if met < least:
                best, least, taken = choice, met, box
            if not met:
                break
        self._boxes.append(taken)
        x, y, words, anchor, below = best
        return self._picture.text(x, y, words, anchor=anchor, below=below)

    def _points_of(self, line):
        """Return how wide a line of words is, without the room LivePicture.breadth adds."""
        left, _, right, _ = self._box
        return self._picture.breadth(line) * (right - left) / (self._across[1] - self._across[0]) - 10

    def _box_of(self, at, down, more, wide, anchor, below):
        """Return left, top, right and bottom of words with ``more`` lines after the first, as LivePicture.text sets them."""
        _, top, _, bottom = self._box
        high = _LINE * more
        start = at + {"start": 7, "middle": -wide / 2, "end": -7 - wide}[anchor]
        last = down + 14 + high if below else down - 7
        first = max(min(last, bottom - 5) - high, top + 13)
        return start, first - _ASCENT, start + wide, first + high + _DESCENT

    def _meets(self, box):
        """Return how much of the picture's lines, words and outside a box covers; 0 is free."""
        left, top, right, bottom = self._box
        out = max(0, left - box[0]) + max(0, box[2] - right) + max(0, top - box[1]) + max(0, box[3] - bottom)
        wide = box[0] - _GAP, box[1] - _GAP, box[2] + _GAP, box[3] + _GAP
        crossed = ((self._dots > wide[:2]) & (self._dots < wide[2:])).all(axis=1).sum() if len(self._dots) else 0
        shared = sum(
            min(wide[2], other[2]) - max(wide[0], other[0])
            for other in self._boxes
            if wide[0] < other[2] and other[0] < wide[2] and wide[1] < other[3] and other[1] < wide[3]
        )
        return 100 * out + shared + 3 * crossed
