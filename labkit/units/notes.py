"""Words for the reader of a page: plain text everywhere, and a tidy paragraph where a notebook shows it."""

import re
from html import escape

from labkit.units.lines import wrapped
from labkit.units.symbols import SYMBOLS

_BEFORE_UNIT = re.compile(r"(?<=[0-9⁰¹²³⁴-⁹)]) (?=([A-Za-zµ°%€]+))")

_BARS = {  # kind: colour of the bar on the left; each stands on light and on dark pages
    "plain": "transparent",
    "care": "#d32f2f",
    "right": "#2e7d32",
    "wrong": "#b26a00",
}


def unbroken(text):
    """Return text in which no line can end between a number and its unit.

    >>> unbroken("2.5 g of salt") == "2.5\u00a0g of salt"
    True
    """
    return _BEFORE_UNIT.sub(lambda gap: "\u00a0" if gap[1] in SYMBOLS or gap[1] == "€" else " ", text)


class Note(str):
    """Text that a notebook shows as paragraphs, one for each line.

    ``kind`` is ``"plain"``, ``"care"`` for cautions, ``"right"`` or ``"wrong"`` for a reply.  The
    words carry the meaning; the bar beside them only repeats it.
    """

    def __new__(cls, text, kind="plain"):
        note = super().__new__(cls, text)
        note.kind = kind
        return note

    def __repr__(self):
        return wrapped(self, hanging="  ")

    def _repr_html_(self):
        bar = f"border-left:4px solid {_BARS[self.kind]};padding:2px 0 2px 10px;margin:4px 0;line-height:1.45;max-width:52em"
        lines = "".join(f'<div style="margin:2px 0">{escape(unbroken(line))}</div>' for line in self.splitlines())
        return f'<div role="note" style="{bar}">{lines}</div>'
