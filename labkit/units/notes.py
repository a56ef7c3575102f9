"""Words for the reader of a page: plain text everywhere, and a tidy paragraph where a notebook shows it."""

from html import escape

from labkit.units.lines import unbroken, wrapped

_BARS = {  # kind: colour of the bar on the left; each stands on light and on dark pages
    "plain": "transparent",
    "care": "#d32f2f",
    "right": "#2e7d32",
    "wrong": "#b26a00",
}


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
