"""What all panels share: boxes to type in, sliders, choices, and the frame that answers them.

A panel is a plain function from values to an ``Answer``, which can be tested without a browser,
and a ``Panel`` that wires controls to it.  There is no text of a learner or of a sum that reaches
the page unescaped.
"""

import base64
import logging
import math
import re
from dataclasses import dataclass
from decimal import Decimal
from html import escape as html_escape

import ipywidgets

from labkit.errors import LabError, RangeProblem
from labkit.units import Q, as_range, read, unit_text
from labkit.units.dimensions import EXAMPLES
from labkit.units.symbols import SYMBOLS

_log = logging.getLogger("labkit.panels")
_log.addHandler(logging.NullHandler())  # details go to whoever asks for them, never onto the page
_BEFORE_UNIT = re.compile(r"(?<=[0-9⁰¹²³⁴-⁹)]) (?=([A-Za-zµ°%]+))")
STUCK = "This panel cannot work that out. Go back to a value that worked, and all will go on from there."


def escape(text):
    """Return text as it may stand in a page; half a character, which cannot be sent, becomes a mark."""
    return html_escape(text.encode("utf-8", "replace").decode("utf-8"), quote=True)


def _set(text):
    """Return escaped text in which no line can end between a number and its unit."""
    return escape(_BEFORE_UNIT.sub(lambda gap: "\u00a0" if gap[1] in SYMBOLS else " ", text))


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


class _Control:
    """A control has a ``label``, a ``value`` for the sum and a ``view`` for the page."""

    note = ""  # what to say beside the answer when the value is not what the control shows

    def __init__(self):
        self._followers = []

    def on_change(self, follower):
        """Call ``follower()`` whenever the value, or what is to be said about it, may have changed."""
        self._followers.append(follower)

    def _changed(self, change=None):
        for follower in self._followers:
            follower()


class TypedBox(_Control):
    """A box for a quantity as people write it: ``2.5 g``.

    It answers at every keystroke.  So the number shown always belongs to the text in the box, or a
    line says that it does not: with an answer only on Enter, an old result would stand beside a new
    text until then, and someone might weigh by it.  A mistake is told in a quiet line in a place
    kept free for it; the text stays as typed and ``value`` stays at the last good one.

    Parameters
    ----------
    label : str
    start : str
        A text that can be read.
    need : str
        A dimension of ``labkit.units.dimensions.EXAMPLES``, with ``> 0`` or ``>= 0`` if wanted.
    name : str, optional
        What a message calls it; the label if left out.
    ranged : bool
        Take ``4 to 6 g, likely 5 g`` too; ``value`` is then a ``Range``.
    hint : str, optional
        Stands in brackets after the label in place of the usual example.
    """

    def __init__(self, label, start, need, name=None, ranged=False, hint=None):
        super().__init__()
        self.label, self.need, self.name, self.ranged = label, need, name or label, ranged
        words, example = EXAMPLES[need.partition(" >")[0]]
        unbroken = example.replace(" ", "\u00a0")
        hint = hint or f"{words}, such as {unbroken}" + (", or a range" if ranged else "")
        self.value = self._reading(start)  # a start that cannot be read is a slip of ours: let it be seen
        self.good_text = start
        self.box = ipywidgets.Text(value=start, description=f"{label} ({hint})", placeholder=example)
        self.message = ipywidgets.HTML().add_class("labkit-message")
        self.view = ipywidgets.VBox([self.box, self.message]).add_class("labkit-control")
        self.box.observe(self._typed, "value")

    def _reading(self, text):
        value = as_range(text, self.need, self.name) if self.ranged else read(text, self.need, self.name)
        least = value.low.magnitude if self.ranged else value.magnitude
        least = getattr(least, "nominal_value", least)
        if ">" in self.need and not (least >= 0 if ">=" in self.need else least > 0):
            limit = "zero or more" if ">=" in self.need else "more than zero"
            raise RangeProblem(f"“{text}” cannot be used for {self.name}: it has to be {limit}.")
        return value

    def _typed(self, change):
        text = change["new"]
        try:
            self.value = self._reading(text)
            self.good_text, problem = text.strip(), ""
        except LabError as trouble:
            problem = str(trouble)
        except Exception:
            _log.exception("The text %r could not be read", text)
            problem = "This cannot be read as a number with a unit."
        self.note = f"Showing the last good value of {self.label}, {self.good_text}." if problem else ""
        self.message.value = (
            f'<div role="alert" aria-live="polite" class="labkit-mistake">{_set(problem)} '
            f"Still using {_set(self.good_text)}.</div>"
            if problem
            else ""
        )
        self._changed()


class UnitSlider(_Control):
    """A slider with a unit, and a number box of the same value.

    The number box carries the label, so that a screen reader names it, and takes a value from the
    keyboard; both keep to the grid of ``step``.  ``value`` is a quantity.

    Parameters
    ----------
    label : str
    unit : str
        In pint's spelling, ``"degC"``; empty for a plain number.
    low, high, step, start : number
        The start and the high end lie on the grid that starts at ``low``.
    """

    def __init__(self, label, unit, low, high, step, start):
        super().__init__()
        self.label, self.unit, self._low, self._step = label, unit, Decimal(str(low)), Decimal(str(step))
        for name, number in (("start", start), ("high", high)):
            if self._low + self._steps_to(number) * self._step != Decimal(str(number)) or not low <= start <= high:
                raise RangeProblem(
                    f"The slider “{label}” needs {name}={number} on its grid: {low} to {high} by {step}."
                )
        symbol = unit_text(Q(1, unit or "dimensionless").units)
        ends = {"min": float(low), "max": float(high), "step": float(step), "value": float(start)}
        label_text = f"{label} ({symbol})" if symbol else label
        self.number = ipywidgets.BoundedFloatText(description=label_text, **ends).add_class("labkit-number")
        self.slider = ipywidgets.FloatSlider(readout=False, **ends)
        self.view = ipywidgets.VBox([self.number, self.slider]).add_class("labkit-control").add_class("labkit-slider")
        self.value = self._quantity(start)
        self.slider.observe(self._moved, "value")
        self.number.observe(self._moved, "value")

    def _steps_to(self, number):
        return round((Decimal(str(number)) - self._low) / self._step)

    def _quantity(self, number):
        return Q(float(number), self.unit or "dimensionless")

    def _moved(self, change):
        number = change["new"] if math.isfinite(change["new"]) else self.value.magnitude
        on_grid = float(self._low + self._steps_to(number) * self._step)
        self.slider.value = self.number.value = on_grid
        if self.value.magnitude != on_grid:  # setting the two above calls this again, which then has nothing to do
            self.value = self._quantity(on_grid)
            self._changed()


class Choice(_Control):
    """A list to choose from.

    ``options`` is a list of words, or a dict from the words shown to the value passed on; ``start``
    is one of the words.
    """

    def __init__(self, label, options, start):
        super().__init__()
        self.label = label
        self._values = dict(options) if isinstance(options, dict) else {option: option for option in options}
        if start not in self._values:
            raise LabError(f"The list “{label}” has no “{start}”. It has: {', '.join(self._values)}.")
        self.box = ipywidgets.Dropdown(options=list(self._values), value=start, description=label)
        self.view = ipywidgets.VBox([self.box]).add_class("labkit-control")
        self.box.observe(self._changed, "value")

    @property
    def value(self):
        return self._values[self.box.value]


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
        self.sentence, self.trouble, self._last_svg = "", None, ""
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
            answer = self.answer(**{name: control.value for name, control in self.controls.items()})
            shown |= _markup(answer)
            self.sentence, kind = answer.sentence, "labkit-good"
        except LabError as problem:
            self.sentence = str(problem)
        except Exception as trouble:
            _log.exception("The panel “%s” could not answer", self.title)
            self.trouble, self.sentence = trouble, STUCK
        notes = "".join(f"<small>{_set(control.note)}</small>" for control in self.controls.values() if control.note)
        shown["said"] = f'<div role="status" aria-live="polite" class="{kind}">{_set(self.sentence)}{notes}</div>'
        # Without a picture the place of the last one stays empty, so that nothing jumps.
        self._last_svg = shown["picture"] or self._last_svg
        shown["picture"] = shown["picture"] or f'<div class="labkit-empty" aria-hidden="true">{self._last_svg}</div>'
        for name, part in self.parts.items():
            part.value = shown[name]

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
        still = f"<p><strong>{escape(self.title)}</strong></p>{still}"
        return (self.view._repr_mimebundle_() or {}) | {"text/plain": repr(self), "text/html": still}


def _markup(answer):
    """Return the HTML of the parts of an answer; everything but the picture is escaped."""
    _set(answer.sentence)  # not a text: let it be seen here, before anything is shown
    if answer.svg and not answer.svg.startswith("<svg "):
        raise ValueError("svg has to come from LivePicture.svg")
    head, *body = answer.table or [()]
    rows = [_row(head, "th"), *(_row(cells, "td") for cells in body)] if head else []
    lines = "<br>".join(_set(line) for line in (answer.caution or "").splitlines())
    care = f'<div role="note" class="labkit-care"><b>Take care</b><br>{lines}</div>'
    return {
        "picture": answer.svg or "",
        "rows": f"<table>{''.join(rows)}</table>" if rows else "",
        "caution": care if lines else "",
    }


def _still(markup):
    """Return markup with a drawing turned into an image: pages that strip drawings let images pass."""
    if not markup.startswith("<svg "):
        return "" if "labkit-empty" in markup else markup
    described = re.search(r'aria-label="([^"]*)"', markup)[1]
    inside = base64.b64encode(markup.encode()).decode()
    return f'<img alt="{described}" width="614" style="max-width:100%" src="data:image/svg+xml;base64,{inside}">'


def _row(cells, tag):
    if len(cells) > 1 and cells[0] and not any(cells[1:]):  # a line that names a part of the table
        return f'<tr><th colspan="{len(cells)}">{_set(str(cells[0]))}</th></tr>'
    return "<tr>" + "".join(f"<{tag}>{_set(str(cell))}</{tag}>" for cell in cells) + "</tr>"


CSS = """
.labkit-panel { border: 1px solid var(--jp-border-color1, #bdbdbd); border-radius: 6px; padding: 10px 16px 14px;
  margin: 4px 2px; max-width: 1120px; color: var(--jp-ui-font-color1, #212121); font-size: 14px; }
.labkit-panel .widget-box { overflow: visible; }
.labkit-panel .labkit-title { font-size: 17px; font-weight: 600; line-height: 1.3; margin: 0 0 8px; }
.labkit-panel .widget-html, .labkit-panel .widget-html-content { height: auto; width: auto; margin: 0; min-width: 0;
  line-height: 1.45; font-size: 14px; overflow-wrap: anywhere; flex: 1 1 auto; color: inherit; }
.labkit-panel .labkit-sides { display: flex; flex-flow: row wrap; gap: 10px 32px; align-items: flex-start; }
.labkit-panel .labkit-controls { flex: 1 1 260px; min-width: 0; width: auto; gap: 8px; }
.labkit-panel .labkit-answer { flex: 2 1 400px; min-width: 0; width: auto; gap: 8px; }
.labkit-panel .labkit-control { width: auto; margin: 0 0 6px; }
.labkit-panel > .widget-text, .labkit-panel > .widget-dropdown { max-width: 480px; }
.labkit-panel .widget-text, .labkit-panel .widget-dropdown { display: flex; flex-flow: column; align-items: stretch;
  width: auto; height: auto; margin: 0; }
.labkit-panel .widget-label { width: auto; height: auto; text-align: left; white-space: normal; overflow: visible;
  line-height: 1.35; margin: 0 0 3px; font-size: 14px; color: inherit; }
.labkit-panel .widget-text input, .labkit-panel .widget-dropdown select { height: 32px; flex: 0 0 32px; width: 100%; margin: 0;
  font: inherit; font-size: 15px; color: inherit; background-color: var(--jp-layout-color1, #fff);
  border: 1px solid var(--jp-ui-font-color2, #616161); border-radius: 4px; box-sizing: border-box; padding: 0 8px; }
.labkit-panel .widget-dropdown select { padding-right: 28px; text-overflow: ellipsis; background-repeat: no-repeat; background-size: 6px 6px;
  background-position: right 16px center, right 10px center;
  background-image: linear-gradient(45deg, transparent 50%, currentColor 50%),
    linear-gradient(135deg, currentColor 50%, transparent 50%); }
.labkit-panel .labkit-number { flex-flow: row; align-items: center; justify-content: space-between; gap: 10px; }
.labkit-panel .labkit-number .widget-label { margin: 0; flex: 1 1 auto; }
.labkit-panel .labkit-number input { flex: 0 0 92px; width: 92px; }
.labkit-panel .widget-slider { width: auto; height: 32px; margin: 0; }
.labkit-panel .widget-slider .slider-container { margin: 0 10px; }
.labkit-panel .widget-slider .widget-label { display: none; }
.labkit-panel .noUi-connects { background: var(--jp-ui-font-color2, #616161); border-radius: 2px; }
.labkit-panel .noUi-handle { background: var(--jp-brand-color1, #1976d2); border-color: var(--jp-layout-color1, #fff); }
.labkit-panel input:focus-visible, .labkit-panel select:focus-visible, .labkit-panel .noUi-handle:focus {
  outline: 3px solid var(--jp-brand-color1, #1976d2); outline-offset: 1px; }
.labkit-panel .labkit-message { min-height: 34px; margin-top: 2px; }
.labkit-panel .labkit-message .labkit-mistake { font-size: 13px; line-height: 17px; }
.labkit-panel .labkit-said { min-height: 50px; }
.labkit-panel .labkit-good { font-size: 17px; }
.labkit-panel .labkit-good small, .labkit-panel .labkit-mistake small { display: block; font-size: 13px; }
.labkit-panel .labkit-mistake { border-left: 4px solid var(--jp-warn-color0, #b26a00); padding-left: 9px; margin-top: 3px; }
.labkit-panel .labkit-picture svg { background: #fff; border-radius: 4px; }
.labkit-panel .labkit-empty { visibility: hidden; }
.labkit-panel .labkit-rows .widget-html-content { overflow-x: auto; }
.labkit-panel table { border-collapse: collapse; font-size: 14px; }
.labkit-panel td { min-width: 96px; }
.labkit-panel th, .labkit-panel td { text-align: left; padding: 4px 18px 4px 0; vertical-align: top;
  border-bottom: 1px solid var(--jp-border-color2, #e0e0e0); overflow-wrap: normal; }
.labkit-panel .labkit-care { border-left: 4px solid var(--jp-error-color1, #d32f2f);
  padding: 2px 0 2px 9px; }
"""
