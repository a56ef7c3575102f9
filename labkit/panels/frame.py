"""What all panels share: the answer to a setting of the controls, and the frame that shows it.

A panel is a plain function from values to an ``Answer``, which can be tested without a browser,
and a ``Panel`` that wires controls to it.  There is no text of a learner or of a sum that reaches
the page unescaped.
"""

import base64
import re
from dataclasses import dataclass
from importlib.resources import files

import ipywidgets

from labkit.errors import LabError
from labkit.panels.controls import Choice, TypedBox, UnitSlider, escape, in_plain_words, log, set_text

__all__ = ["CSS", "STUCK", "Answer", "Choice", "Panel", "TypedBox", "UnitSlider"]

CSS = files("labkit.panels").joinpath("panel.css").read_text(encoding="utf-8")
STUCK = "This panel cannot work that out. Go back to a value that worked, and all will go on from there."
STILL = "<p><em>A still picture: run the page to move things.</em></p>"
_CELL = ("text-align:left;vertical-align:top;padding:4px 18px 4px 0;border:none;border-bottom:1px solid #bdbdbd;"
         "white-space:normal;max-width:none")  # fmt: skip
_LONG = 40  # letters of a sentence in a table, and no value
_INLINE = {  # openings of tags, none of which can come from an escaped text, to the style they get in a still page
    "<table": "border-collapse:collapse;margin:0 0 10px;font-size:14px",
    "<tr": "background-color:transparent",
    "<td": f"{_CELL};min-width:96px",
    "<th": _CELL,
    '<div role="status" aria-live="polite" class="labkit-good"': "font-size:17px;margin:0 0 10px",
    '<div role="note" class="labkit-care"': "border-left:4px solid #d32f2f;padding:2px 0 2px 9px",
}


@dataclass(frozen=True)
class Answer:
    """What a panel says to one setting of its controls.

    Parameters
    ----------
    sentence : str
        The answer in words, with its number and unit and the values it was worked out from.
    svg : str, optional
        A picture from ``LivePicture.svg``; the only part that is not escaped.
    table : sequence of rows, optional
        The first row is the head.
    caution : str, optional
        For instance ``labkit.data.cautions.cautions("firing")``; one caution to a line.
    """

    sentence: str
    svg: str | None = None
    table: tuple = ()
    caution: str | None = None


class Panel:
    """Controls on one side, the answer on the other; show it as the last line of a cell.

    Parameters
    ----------
    title : str
        The question that the panel answers.
    controls : dict
        From the name of an argument of ``answer`` to its control.
    answer : callable
        Takes the values of the controls by name and returns an ``Answer``.  A ``LabError`` becomes
        the sentence; anything else becomes a calm sentence, is kept in ``trouble`` and goes to the
        log ``labkit.panels``.

    Attributes
    ----------
    sentence : str
        What the panel says now, as plain text.
    trouble : Exception or None
        What went wrong in our own code with the present values; a test of a panel asks that it is None.
    """

    def __init__(self, title, controls, answer):
        self.title, self.controls, self.answer = title, dict(controls), answer
        self.sentence, self.trouble, self._last = "", None, {"picture": "", "rows": ""}
        self._known = ({}, None)
        self.parts = {
            name: ipywidgets.HTML().add_class(f"labkit-{name}") for name in ("said", "picture", "rows", "caution")
        }
        head = ipywidgets.HTML(f'<style>{CSS}</style><h3 class="labkit-title">{escape(title)}</h3>')
        sides = [
            ipywidgets.VBox([control.view for control in self.controls.values()]).add_class("labkit-controls"),
            ipywidgets.VBox(list(self.parts.values())).add_class("labkit-answer"),
        ]
        self.view = ipywidgets.VBox([head, ipywidgets.Box(sides).add_class("labkit-sides")]).add_class("labkit-panel")
        for control in self.controls.values():
            control.on_change(self.refresh)
        self.refresh()

    def refresh(self):
        """Work out the answer for the present values and show it."""
        self.trouble, kind = None, "labkit-mistake"
        # Cautions belong to the work, not to one value: they stay when there is no answer.
        shown = {"picture": "", "rows": "", "caution": self.parts["caution"].value}
        try:
            sentence, markup = self._worked_out({name: control.value for name, control in self.controls.items()})
            shown |= markup
            self.sentence, kind = sentence, "labkit-good"
        except LabError as problem:
            self.sentence = in_plain_words(str(problem))
        except Exception as trouble:
            log.exception("The panel “%s” could not answer", self.title)
            self.trouble, self.sentence = trouble, STUCK
        notes = "".join(
            f"<small>{set_text(control.note)}</small>" for control in self.controls.values() if control.note
        )
        shown["said"] = f'<div role="status" aria-live="polite" class="{kind}">{set_text(self.sentence)}{notes}</div>'
        # Without an answer the places of the last picture and table stay empty, so that nothing jumps.
        for name, last in self._last.items():
            self._last[name] = shown[name] or last
            if last and not shown[name]:
                shown[name] = f'<div class="labkit-empty" aria-hidden="true">{last}</div>'
        for name, part in self.parts.items():
            part.value = shown[name]

    def _worked_out(self, values):
        """Return the sentence and the markup for the values; those of before if a text was refused and no value is new."""
        before, known = self._known
        if known is None or any(values[name] is not before[name] for name in values):
            self._known = (values, None)
            answer = self.answer(**values)
            known = (answer.sentence, _markup(answer))
            self._known = (values, known)
        return known

    def show(self):
        """Show the panel where it is called; a panel in the last line of a cell shows itself."""
        from IPython.display import display

        display(self)

    def __repr__(self):
        return f"{self.title}\n{self.sentence}"

    def _repr_mimebundle_(self, include=None, exclude=None):
        # Where no widgets can be shown, as in a workbook that is only looked at, a still page stands in.
        # The checks of a workbook compare its words.
        still = "".join(_still(part.value) for part in self.parts.values())
        still = f"<p><strong>{escape(self.title)}</strong></p>{STILL}{still}"
        return (self.view._repr_mimebundle_() or {}) | {"text/plain": repr(self), "text/html": still}


def _markup(answer):
    """Return the HTML of the parts of an answer; everything but the picture is escaped."""
    set_text(answer.sentence)  # not a text: let it be seen here, before anything is shown
    if answer.svg and not answer.svg.startswith("<svg "):
        raise ValueError("svg has to come from LivePicture.svg")
    head, *body = answer.table or [()]
    rows = [_row(head, "th"), *(_row(cells, "td") for cells in body)] if head else []
    lines = "<br>".join(set_text(line) for line in (answer.caution or "").splitlines())
    care = f'<div role="note" class="labkit-care"><b>Take care</b><br>{lines}</div>'
    return {
        "picture": answer.svg or "",
        "rows": f"<table>{''.join(rows)}</table>" if rows else "",
        "caution": care if lines else "",
    }


def _still(markup):
    """Return markup that looks the same without our style sheet, with a drawing turned into an image.

    Pages that strip drawings let images pass, and the styles that stand in a tag itself.
    """
    if not markup.startswith("<svg "):
        if markup.startswith('<div class="labkit-empty"'):
            return ""
        for opening, style in _INLINE.items():
            markup = markup.replace(opening, f'{opening} style="{style}"')
        return markup
    described = re.search(r'aria-label="([^"]*)"', markup)[1]
    inside = base64.b64encode(markup.encode()).decode()
    return f'<img alt="{described}" width="614" style="max-width:100%" src="data:image/svg+xml;base64,{inside}">'


def _row(cells, tag):
    if len(cells) > 1 and cells[0] and not any(cells[1:]):  # a line that names a part of the table
        return f'<tr><th colspan="{len(cells)}">{set_text(str(cells[0]))}</th></tr>'
    cells = [str(cell) for cell in cells]
    filled = next((place for place in range(len(cells), 0, -1) if cells[place - 1]), 0)
    if 1 < filled < len(cells) and len(cells[filled - 1]) > _LONG:  # a sentence with nothing beside it takes the room
        last = f'<{tag} colspan="{len(cells) - filled + 1}">{set_text(cells[filled - 1])}</{tag}>'
        return "<tr>" + "".join(f"<{tag}>{set_text(cell)}</{tag}>" for cell in cells[: filled - 1]) + f"{last}</tr>"
    return "<tr>" + "".join(f"<{tag}>{set_text(cell)}</{tag}>" for cell in cells) + "</tr>"
