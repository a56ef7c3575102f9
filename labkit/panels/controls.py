"""What stands on the left of a panel: boxes to type in, sliders and choices.

A control has a ``label``, a ``value`` for the sum, a ``note`` and a ``view`` for the page, and calls
back through ``on_change``.  ``set_text`` prepares words for the page; there is no text of a learner
that reaches it unescaped.
"""

import logging
import math
import re
from decimal import Decimal
from html import escape as html_escape

import ipywidgets

from labkit.errors import LabError, RangeProblem, chosen
from labkit.units import EXAMPLES, Q, as_range, checked, split_need, unit_text
from labkit.units.symbols import SYMBOLS

log = logging.getLogger("labkit.panels")
log.addHandler(logging.NullHandler())  # details go to whoever asks for them, never onto the page
_BEFORE_UNIT = re.compile(r"(?<=[0-9⁰¹²³⁴-⁹)]) (?=([A-Za-zµ°%]+))")


def escape(text):
    """Return text as it may stand in a page; half a character, which cannot be sent, becomes a mark."""
    return html_escape(text.encode("utf-8", "replace").decode("utf-8"), quote=True)


def set_text(text):
    """Return escaped text in which no line can end between a number and its unit."""
    return escape(_BEFORE_UNIT.sub(lambda gap: "\u00a0" if gap[1] in SYMBOLS else " ", text))


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
        words, example = EXAMPLES[split_need(need)[0]]
        unbroken = example.replace(" ", "\u00a0")
        hint = hint or f"{words}, such as {unbroken}" + (", or a range" if ranged else "")
        self.value = self._reading(start)  # a start that cannot be read is a slip of ours: let it be seen
        self.good_text = start
        self.box = ipywidgets.Text(value=start, description=f"{label} ({hint})", placeholder=example)
        self.message = ipywidgets.HTML().add_class("labkit-message")
        self.view = ipywidgets.VBox([self.box, self.message]).add_class("labkit-control")
        self.box.observe(self._typed, "value")

    def _reading(self, text):
        return (as_range if self.ranged else checked)(text, self.need, self.name)

    def _typed(self, change):
        text = change["new"]
        try:
            self.value = self._reading(text)
            self.good_text, problem = text.strip(), ""
        except LabError as trouble:
            problem = str(trouble)
        except Exception:
            log.exception("The text %r could not be read", text)
            problem = "This cannot be read as a number with a unit."
        self.note = f"Showing the last good value of {self.label}, {self.good_text}." if problem else ""
        self.message.value = (
            f'<div role="alert" aria-live="polite" class="labkit-mistake">{set_text(problem)} '
            f"Still using {set_text(self.good_text)}.</div>"
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
        start = chosen(start, self._values, f"choice under “{label}” called")
        self.box = ipywidgets.Dropdown(options=list(self._values), value=start, description=label)
        self.view = ipywidgets.VBox([self.box]).add_class("labkit-control")
        self.box.observe(self._changed, "value")

    @property
    def value(self):
        return self._values[self.box.value]
