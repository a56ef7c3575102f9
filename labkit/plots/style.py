"""One look for every picture: roles instead of colours, and a line pattern with every hue.

Nothing here changes a global setting: the settings hold inside ``styled()`` and end with it, and
figures are made without pyplot, so none is left open.
"""

import io
import re
from contextlib import contextmanager
from dataclasses import dataclass

import matplotlib
from cycler import cycler
from matplotlib.figure import Figure

from labkit.errors import LabError

# Okabe & Ito (2008), "Color Universal Design (CUD): How to make figures and presentations that are
# friendly to colorblind people", https://jfly.uni-koeln.de/color/ .  Its yellow, orange and sky blue are
# too pale for a line on white, so lines use the other five and sky blue only fills an area.
BLACK, SKY_BLUE, GREEN, BLUE, VERMILION, PURPLE = "#000000", "#56B4E9", "#009E73", "#0072B2", "#D55E00", "#CC79A7"
GREY, GRID = "#595959", "#D9D9D9"
# Good enough for a line, the brighter hues are too pale for letters: of these the same hue, darker.
_INK = {GREEN: "#007A59", VERMILION: "#B34F00", PURPLE: "#9C4A74", SKY_BLUE: "#1F6F9F"}


@dataclass(frozen=True)
class Role:
    """What a line, point or area stands for, and how it therefore looks.

    ``dashes`` are on and off lengths in line widths (empty for an unbroken line), ``width`` is in
    points, ``marker`` is one of ``o s ^ D``, ``opacity`` is that of a filled area, and a ``hatched``
    area has slanted lines across it.
    """

    name: str
    colour: str
    dashes: tuple = ()
    width: float = 2.4
    marker: str = "o"
    opacity: float = 0.3
    hatched: bool = False

    @property
    def line(self):
        """Keywords for ``axes.plot`` and its kin: ``axes.plot(x, y, **MAIN.line)``."""
        return {"color": self.colour, "linestyle": (0, self.dashes) if self.dashes else "-", "linewidth": self.width}

    @property
    def points(self):
        """Keywords for ``axes.plot`` that draw markers without a line."""
        return {"color": self.colour, "linestyle": "none", "marker": self.marker, "markersize": 8}

    @property
    def ink(self):
        """The colour of words about it: ``axes.text(x, y, words, color=MAIN.ink)``."""
        return _INK.get(self.colour, self.colour)

    @property
    def fill(self):
        """Keywords for ``axes.axvspan``, ``axes.fill_between`` and their kin."""
        if self.hatched:  # opaque, for an SVG of matplotlib would make the hatching as faint as the face
            return {"facecolor": self.pale, "edgecolor": self.colour, "hatch": "///", "linewidth": 0}
        return {"facecolor": self.colour, "alpha": self.opacity, "edgecolor": "none"}

    @property
    def pale(self):
        """The colour of a filled area on white, opaque: no line of the grid shines through a bar."""
        parts = (int(self.colour[place : place + 2], 16) for place in (1, 3, 5))
        return "#" + "".join(f"{round(255 - (255 - part) * self.opacity):02X}" for part in parts)


MAIN = Role("main", BLUE)
SECOND = Role("second", VERMILION, (4, 1.6), marker="s")
THIRD = Role("third", GREEN, (5, 1.4, 1, 1.4), marker="^")
FOURTH = Role("fourth", PURPLE, (1, 1.2), marker="D")
LIMIT = Role("limit", BLACK, (2, 1.5), width=2.0, opacity=0.12)
GUESS = Role("guess", SKY_BLUE, width=2.0)
MEASURED = Role("measured", BLACK, marker="D")
QUIET = Role("quiet", GREY, width=2.0, opacity=0.15)
ROLES = (MAIN, SECOND, THIRD, FOURTH, LIMIT, GUESS, MEASURED, QUIET)
LINES = (MAIN, SECOND, THIRD, FOURTH)

FONT = "DejaVu Sans"  # comes with matplotlib, so a picture is laid out alike on every machine
STYLE = {
    "font.family": FONT,
    "font.size": 12.0,
    "axes.titlesize": 13.0,
    "axes.labelsize": 13.0,
    "xtick.labelsize": 12.0,
    "ytick.labelsize": 12.0,
    "legend.fontsize": 12.0,
    "legend.frameon": False,
    "mathtext.fontset": "dejavusans",
    "lines.linewidth": 2.4,
    "lines.markersize": 8.0,
    "axes.linewidth": 1.2,
    "axes.edgecolor": GREY,
    "axes.labelcolor": BLACK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.unicode_minus": True,
    "hatch.linewidth": 1.2,
    "axes.prop_cycle": cycler(
        color=[role.colour for role in LINES],
        linestyle=[role.line["linestyle"] for role in LINES],
        linewidth=[role.width for role in LINES],
    ),
    "grid.color": GRID,
    "grid.linewidth": 0.8,
    "xtick.color": GREY,
    "ytick.color": GREY,
    "xtick.labelcolor": BLACK,
    "ytick.labelcolor": BLACK,
    "xtick.major.width": 1.2,
    "ytick.major.width": 1.2,
    "figure.facecolor": "#FFFFFF",
    "axes.facecolor": "#FFFFFF",
    "savefig.facecolor": "#FFFFFF",
    "figure.dpi": 72.0,  # one point is one unit of the SVG
    "savefig.dpi": "figure",
    "savefig.bbox": None,
    "svg.fonttype": "path",
    "svg.hashsalt": "labkit",
    "svg.image_inline": True,
    "path.simplify": True,
    "text.usetex": False,
}


@contextmanager
def styled(**changes):
    """Hold labkit's matplotlib settings for the length of a ``with`` block.

    ``changes`` are further settings, with a double underscore for the dot: ``font__size=14``.
    Not safe in two threads at once: matplotlib has one set of settings for all, and within the block
    it is labkit's.
    """
    with matplotlib.rc_context(STYLE | {name.replace("__", "."): value for name, value in changes.items()}):
        yield


def new_figure(width=6.4, height=4.0, **keywords):
    """Return (figure, axes) in labkit's style, without pyplot.

    Parameters
    ----------
    width, height : float
        In inches.  6.4 by 4 inches fills the answer side of a panel on a 1280 pixel screen.
    **keywords
        Passed on to ``Figure.subplots``, so ``nrows=2`` gives an array of axes.
    """
    with styled():
        figure = Figure(figsize=(width, height), layout="constrained")
        return figure, figure.subplots(**keywords)


def figure_svg(figure, words_as="path"):
    """Return the SVG text of a figure, without date or version: equal figures give equal text.

    ``words_as`` is ``"path"`` (letters become outlines and look alike everywhere) or ``"none"``
    (letters stay text, which is smaller and quicker).
    """
    buffer = io.StringIO()
    with styled(svg__fonttype=words_as):
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
    text = buffer.getvalue()
    return text[text.index("<svg") :]  # without the XML prologue, so that it may stand inside a page


def words(alt):
    """Return the description of a picture on one line, or raise if there is none."""
    if not isinstance(alt, str) or not alt.strip():
        raise LabError(
            "A picture needs words for those who cannot see it. Give alt='…': what is seen, with its number."
        )
    return writable(" ".join(alt.split()))


def writable(text):
    """Return text without the characters that no SVG file may hold; each becomes a replacement mark."""
    return re.sub("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]", "\ufffd", text)
