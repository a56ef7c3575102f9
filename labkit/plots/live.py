"""Pictures that follow a slider: the frame is drawn once, only the curves are written anew.

matplotlib draws axes, ticks and labels to SVG text one time.  A redraw then places a few SVG
elements over that frame, in about a millisecond.
"""

import hashlib
import re
from functools import lru_cache
from html import escape

import numpy as np
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from labkit.errors import UnitProblem
from labkit.plots.style import BLACK, FONT, GUESS, LIMIT, MAIN, figure_svg, words, writable
from labkit.units import is_quantity

FONTS = f"'{FONT}', Verdana, 'Segoe UI', Arial, sans-serif"
_LINE = 15  # points from one line of words to the next
_FAR = 1e5  # points; further out is out of sight, and browsers lose count at huge numbers
_SHAPES = {  # marker: path around (0, 0), five points in radius
    "s": "M-4.5-4.5h9v9h-9z",
    "^": "M0-5.5 5 4.5h-10z",
    "D": "M0-6 5 0 0 6-5 0z",
}


class LivePicture:
    """A picture whose frame stays and whose curves change.

    Set limits, scales, labels and everything that never changes on the axes first; the frame is
    drawn when this object is made.  All coordinates are plain numbers in the units written on the
    axes.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
    axes : matplotlib.axes.Axes
        The axes of the figure that the curves belong to; its scales may be logarithmic.

    Examples
    --------
    >>> from labkit.plots import MAIN, new_figure
    >>> figure, axes = new_figure()
    >>> limits = axes.set(xlim=(0, 10), ylim=(0, 100), xlabel="Time / h", ylabel="Hydrogen / µmol")
    >>> picture = LivePicture(figure, axes)
    >>> text = picture.svg([picture.line([0, 10], [0, 80], MAIN)], alt="A straight line up to 80 µmol after 10 h.")
    >>> text[:16]
    '<svg role="img" '
    """

    def __init__(self, figure, axes):
        self._axes = axes
        text = figure_svg(figure, words_as="none")
        figure.set_layout_engine("none")  # the axes stay where the frame has them
        self.width, self.height = figure.get_size_inches() * 72
        self._scale = 72 / figure.dpi
        left, bottom, right, top = axes.bbox.extents * self._scale
        self._box = (left, self.height - top, right, self.height - bottom)
        self._mark = "labkit-" + hashlib.sha1(text.encode()).hexdigest()[:10]
        self.frame = _inside_of_page(text, self._mark)

    def points(self, x, y):
        """Return an array of SVG positions, one row per point."""
        data = np.column_stack(np.broadcast_arrays(_plain(x), _plain(y)))
        with np.errstate(all="ignore"):
            places = self._axes.transData.transform(data) * self._scale
        places = np.asarray(np.ma.filled(places, np.nan))
        places[:, 1] = self.height - places[:, 1]
        places[~np.isfinite(data).all(axis=1)] = np.nan
        return np.clip(places, -_FAR, _FAR)

    def line(self, x, y, role=MAIN):
        """Return a curve through the points; it breaks where a number is missing."""
        dashes = "".join(f" {length * role.width:.4g}" for length in role.dashes)
        pattern = f' stroke-dasharray="{dashes.strip()}"' if dashes else ""
        return (
            f'<path d="{_path(self.points(x, y))}" fill="none" stroke="{role.colour}" '
            f'stroke-width="{role.width:g}" stroke-linejoin="round"{pattern}/>'
        )

    def area(self, x, low, high, role=GUESS):
        """Return the area between two curves, such as the range of a guess."""
        edge = np.vstack([self.points(x, high), self.points(x, low)[::-1]])
        edge = edge[np.isfinite(edge).all(axis=1)]
        path = _path(edge)
        lines = f'<path d="{path}" fill="url(#{self._mark}-{role.colour[1:]})"/>' if role.hatched else ""
        return f'<path d="{path}" fill="{role.colour}" fill-opacity="{role.opacity:g}"/>{lines}'

    def band(self, x0, x1, role=GUESS):
        """Return an upright band from ``x0`` to ``x1``, as high as the axes."""
        look = f'fill="{role.colour}" fill-opacity="{role.opacity:g}"'
        return self._rectangle(x0, x1, *self._axes.get_ylim(), look)

    def box(self, x0, x1, y0, y1, role=MAIN):
        """Return a filled rectangle, such as the bar of a bar chart, with an outline; nothing shines through it."""
        return self._rectangle(x0, x1, y0, y1, f'fill="{role.pale}" stroke="{role.colour}" stroke-width="2"')

    def _rectangle(self, x0, x1, y0, y1, look):
        corners = self.points([x0, x1], [y0, y1])
        if not np.isfinite(corners).all():
            return ""
        (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
        return f'<rect x="{left:.1f}" y="{top:.1f}" width="{right - left:.1f}" height="{bottom - top:.1f}" {look}/>'

    def level(self, y, role=LIMIT):
        """Return a level line across the axes."""
        return self.line(self._axes.get_xlim(), [y, y], role)

    def upright(self, x, role=LIMIT):
        """Return an upright line across the axes."""
        return self.line([x, x], self._axes.get_ylim(), role)

    def marker(self, x, y, role=MAIN):
        """Return one point, with a white rim so that it stands out from its curve."""
        ((right, down),) = self.points([x], [y])
        if not np.isfinite([right, down]).all():
            return ""
        look = f'fill="{role.colour}" stroke="#FFFFFF" stroke-width="1.5"'
        if role.marker not in _SHAPES:
            return f'<circle cx="{right:.1f}" cy="{down:.1f}" r="5.5" {look}/>'
        return f'<path transform="translate({right:.1f} {down:.1f})" d="{_SHAPES[role.marker]}" {look}/>'

    def text(self, x, y, text, role=None, anchor=None, below=False):
        """Return words beside a place in the picture, on a white rim, kept inside the axes.

        ``anchor`` is ``"start"``, ``"middle"`` or ``"end"``: the part of the words that stands at
        ``x``.  Left out, words in the right third end at ``x`` and others start there.  They stand
        a little above ``y``, or ``below`` it; a line break starts another line.
        """
        ((right, down),) = self.points([x], [y])
        if not np.isfinite([right, down]).all():
            return ""
        left, top, far, bottom = self._box
        if anchor is None:
            anchor = "end" if right > left + (far - left) * 0.66 else "start"
        right += {"start": 7, "end": -7}.get(anchor, 0)
        lines = str(text).split("\n")
        last = down + 14 + _LINE * (len(lines) - 1) if below else down - 7
        first = max(min(last, bottom - 5) - _LINE * (len(lines) - 1), top + 13)
        look = (
            f'text-anchor="{anchor}" font-size="12" fill="{role.ink if role else BLACK}" stroke="#FFFFFF" '
            'stroke-width="3" paint-order="stroke" stroke-linejoin="round"'
        )
        return "".join(
            f'<text x="{right:.1f}" y="{first + _LINE * number:.1f}" {look}>{escape(writable(line))}</text>'
            for number, line in enumerate(lines)
        )

    def breadth(self, text):
        """Return how far words of ``text`` reach to the side, with their white rims and the space before them.

        In units of the x axis, which has to be a linear one.
        """
        left, _, right, _ = self._box
        low, high = self._axes.get_xlim()
        return (_breadth(text) + 10) * (high - low) / (right - left)

    def svg(self, elements, alt):
        """Return the whole picture as SVG text for a page, described by ``alt``.

        It fills the width it is given, up to its drawn size, and keeps its shape.
        """
        described = escape(words(alt), quote=True)
        return (
            f'<svg role="img" aria-label="{described}" xmlns="http://www.w3.org/2000/svg" '
            f'viewBox="0 0 {self.width:g} {self.height:g}" font-family="{FONTS}" '
            f'style="display:block;width:100%;max-width:{self.width * 4 / 3:.0f}px;height:auto">'
            f'{self.frame}<g clip-path="url(#{self._mark})">{"".join(elements)}</g>'
            f"{self._hatches(elements)}{self._clip()}</svg>"
        )

    def _hatches(self, elements):
        found = dict.fromkeys(re.findall(rf"url\(#{self._mark}-([0-9A-F]{{6}})\)", "".join(elements)))
        return "".join(
            f'<pattern id="{self._mark}-{colour}" width="6" height="6" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate(45)"><path d="M1 0V6" stroke="#{colour}" stroke-width="1.4"/></pattern>'
            for colour in found
        )

    def _clip(self):
        left, top, right, bottom = self._box
        return (
            f'<clipPath id="{self._mark}"><rect x="{left:.1f}" y="{top:.1f}" '
            f'width="{right - left:.1f}" height="{bottom - top:.1f}"/></clipPath>'
        )


@lru_cache(512)
def _breadth(text):
    """Return the points that words of size 12 take."""
    return text_to_path.get_text_width_height_descent(text, FontProperties(family=FONT, size=12), False)[0]


def _plain(numbers):
    """Return numbers as an array, and refuse quantities: their unit would be lost without a word."""
    if is_quantity(numbers) or (isinstance(numbers, (list, tuple)) and any(map(is_quantity, numbers))):
        raise UnitProblem("A picture needs plain numbers in the unit of its axis. Try mass.m_as('g').")
    return np.asarray(numbers, dtype=float)


def _path(places):
    """Return SVG path text; a row that is not finite lifts the pen."""
    good = np.isfinite(places).all(axis=1)
    if good.all():
        runs = [places] if len(places) else []
    else:
        runs = [run[np.isfinite(run).all(axis=1)] for run in np.split(places, np.flatnonzero(~good))]
    parts = []
    for run in runs:
        if len(run):
            # One formatting call for the whole run: ten times as fast as one for each point.
            parts.append(("M" + "%.1f %.1f " * len(run)) % tuple(run.ravel().tolist()))
    return "".join(parts).strip()


def _inside_of_page(text, mark):
    """Return the inside of a drawn SVG, made safe to stand among others in one page."""
    inside = text[text.index(">") + 1 : text.rindex("</svg>")]
    inside = re.sub(r"<metadata>.*?</metadata>|<!--.*?-->", "", inside, flags=re.DOTALL)
    # Its style rule is for every element, and would reach every drawing of the page.
    inside = re.sub(r"<defs>\s*<style.*?</defs>", "", inside, flags=re.DOTALL)
    used = set(re.findall(r'(?:xlink:href="|url\()#([^")]+)', inside))
    inside = re.sub(r' id="([^"]+)"', lambda found: f' id="{mark}-{found[1]}"' if found[1] in used else "", inside)
    inside = re.sub(r'xlink:href="#', f'href="#{mark}-', inside)
    inside = inside.replace("url(#", f"url(#{mark}-")
    inside = re.sub(r' transform="rotate\(-0 [^"]*\)"', "", inside)
    inside = re.sub(rf"font-family: '{FONT}'(?:, sans-serif)?(?=[;\"])", f"font-family: {FONTS}", inside)
    # Hundredths of a point are enough, but only for places: a tick label keeps every digit it shows.
    inside = re.sub(r"<[^>]*>", lambda tag: re.sub(r"(\.\d\d)\d+", r"\1", tag[0]), inside)
    inside = re.sub(r"\s*\n\s*", " ", inside).replace("> <", "><")
    return f'<g style="stroke-linejoin:round;stroke-linecap:butt">{inside.strip()}</g>'
