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

from labkit.errors import LabError, RangeProblem, ReadingProblem, chosen
from labkit.units import EXAMPLES, Q, checked, nominal, read, read_range, split_need, unbroken, unit_text
from labkit.units.guard import size_fault, typed_text

log = logging.getLogger("labkit.panels")
log.addHandler(logging.NullHandler())  # details go to whoever asks for them, never onto the page
_ARGUMENT = re.compile(r"\b[a-z_]{1,30}='([^'=]{1,40})'")  # loading='0.5 %', as a line of code has it


def escape(text):
    """Return text as it may stand in a page; half a character, which cannot be sent, becomes a mark."""
    return html_escape(text.encode("utf-8", "replace").decode("utf-8"), quote=True)


def set_text(text):
    """Return escaped text in which no line can end between a number and its unit."""
    return escape(unbroken(text))


def in_plain_words(text):
    """Return a message of the library as it reads to someone who types into a box and not into a cell.

    >>> in_plain_words("Type for instance loading='0.5 %'.")
    'Type for instance 0.5 %.'
    """
    return _ARGUMENT.sub(r"\1", text)


class Control:
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


class TypedControl(Control):
    """A control with a text ``box``: it answers at every keystroke, and keeps the text as typed.

    So the number shown always belongs to the text in the box, or a line says that it does not: with
    an answer only on Enter, an old result would stand beside a new text until then, and someone
    might weigh by it.  A mistake is told in a quiet line in a place kept free for it; ``value``
    stays at the last good one, which is ``good_text``.
    """

    def __init__(self, label, name, start, described, example, kind=ipywidgets.Text):
        super().__init__()
        self.label, self.name, self.start, self.good_text = label, name, start, start
        self._uses, self._idle, self._problem = None, "", ""
        self.box = kind(value=start, description=described, placeholder=example)
        self.message = ipywidgets.HTML().add_class("labkit-message")
        self.view = ipywidgets.VBox([self.box, self.message]).add_class("labkit-control")
        self.box.observe(self._typed, "value")

    def _typed(self, change):
        text = change["new"]
        try:
            self.value, self.good_text, self._problem = *self._accepted(text), ""
        except LabError as trouble:
            self._problem = in_plain_words(str(trouble))
        except Exception:
            log.exception("The text %r could not be read", text)
            self._problem = "This cannot be read as a number with a unit."
        if self._uses and self._uses[2] and text.strip():
            choice, options, _ = self._uses
            if choice.box.value not in options:
                choice.box.value = options[0]
        self._tell()
        self._settled()
        self._changed()

    def _tell(self):
        """Say under the box, and beside the answer, what became of the text."""
        problem, idle = self._problem, self._idle
        if idle:
            self.note = f"{self.label} is not used: {idle}" if self.box.value != self.start else ""
            kind, said = (
                'role="status" aria-live="polite" class="labkit-snapped"',
                f"{problem} Not used: {idle}".strip(),
            )
        else:
            self.note = f"Showing the last good value of {self.label}, {self.good_text}." if problem else ""
            kind = 'role="alert" aria-live="polite" class="labkit-mistake"'
            said = f"{problem} Still using {self.good_text}." if problem else ""
        self.message.value = f"<div {kind}>{set_text(said)}</div>" if said else ""

    def used_with(self, choice, *options, switch=False):
        """Let the box play a part only while a Choice shows one of the ``options``; else a line under it says so.

        Call it before both are given to a panel.  With ``switch`` typing here chooses the first of the
        options, so that nobody types in vain.
        """
        self._uses = choice, options, switch
        self._follow()
        choice.on_change(self._follow)

    def _follow(self):
        choice, options, _ = self._uses
        shown = choice.box.value
        self._idle = "" if shown in options else f"“{choice.label}” says “{shown}”."
        self._tell()

    def _settled(self):
        """Do what has to follow a new value before anyone is told of it."""


class TypedBox(TypedControl):
    """A box for a quantity as people write it: ``2.5 g``.

    Parameters
    ----------
    label : str
    start : str
        A text that can be read.
    need : str
        A dimension of ``labkit.units.dimensions.EXAMPLES``, with ``> 0`` or ``>= 0`` if wanted.
    name : str, optional
        What a message calls it; the label if left out.
    example : str, optional
        What a message, and the label without a ``hint``, give to type; the start if left out.
    ranged : bool
        Take ``4 to 6 g, likely 5 g`` too; ``value`` is then a ``Range``.
    hint : str, optional
        Stands in brackets after the label in place of the usual example.
    least, most : str or quantity, optional
        The smallest and largest value, or ends of a range, that make sense: ``most="100 %"``.
    signed : bool
        Ask for the percent sign: a bare number is a mistake, unless it is zero.
    """

    def __init__(
        self, label, start, need, name=None, ranged=False, hint=None, most=None, signed=False, least=None, example=None
    ):
        self.need, self.ranged, self.signed, self.example = need, ranged, signed, example or start
        self.least, self.most = (
            checked(end, split_need(need)[0], name or label) if end is not None else None for end in (least, most)
        )
        words, example = EXAMPLES[split_need(need)[0]][0], self.example
        unbroken = example.replace(" ", "\u00a0")
        hint = hint or f"{words}, such as {unbroken}" + (", or a range" if ranged and " to " not in example else "")
        super().__init__(label, name or label, start, f"{label} ({hint})", example)
        self.value, _ = self._accepted(start)  # a start that cannot be read is a slip of ours: let it be seen

    def _accepted(self, text):
        value = (read_range if self.ranged else read)(text, self.need, self.name, self.example)
        ends = [nominal(end) for end in (value.ends if self.ranged else (value,))]
        name = self.name[:1].upper() + self.name[1:]
        for end in ends:
            fault = size_fault(end, self.need)
            if fault:
                raise RangeProblem(f"{name} {fault}.")
        over = self.most is not None and _beyond(ends[-1], self.most, 1)
        share = self.signed or (self.most is not None and self.most.units == Q(1, "percent").units)
        bare = split_need(self.need)[0] == "[]" and ends[-1].units == Q(1).units and ends[-1].magnitude != 0
        if share and bare and (over or self.signed):
            raise RangeProblem(_without_sign(ends, self.most))
        if over:
            raise RangeProblem(f"{name} can be {typed_text(self.most)} at most.")
        if self.least is not None and _beyond(ends[0], self.least, -1):
            raise RangeProblem(f"{name} has to be {typed_text(self.least)} at least.")
        return value, text.strip().rstrip(" .")  # “2.5 g.” can be read, and a message ends with a stop of its own


def _beyond(end, limit, side):
    """Return True above a limit (``side`` 1) or below it (-1): not for the last bits of 1000000 mL beside 1 m³."""
    size = limit.magnitude
    return side * (end.to(limit.units).magnitude - size) > 1e-9 * abs(size)


def _without_sign(ends, most):
    """Return what to say to numbers without a percent sign, which may be meant a hundred times smaller."""
    last = f"{ends[-1].magnitude:g}"
    told = f"{last} without a sign is {100 * ends[-1].magnitude:g} %."
    if most is not None and Q(ends[-1].magnitude, "percent") > most:
        return f"{told} {typed_text(most)} is the most here."
    low = "" if ends[0] == ends[-1] else f"{ends[0].magnitude:g} % to "
    if most is not None and ends[-1] > most:
        return f"{told} Type {low}{last} %."
    return f"{told} Type {low}{last} %, or {100 * ends[-1].magnitude:g} % if that is meant."


class UnitSlider(TypedControl):
    """A slider with a unit, and a box with the same value to type in.

    The box carries the label, so that a screen reader names it, and takes a number with a decimal
    point or comma, with or without the unit; the slider has the arrow keys.  The value keeps to
    the grid of ``step``, and a line says so when that is not the number typed.  ``value`` is a quantity.

    Parameters
    ----------
    label : str
    unit : str
        In pint's spelling, ``"degC"``; empty for a plain number.
    low, high, step, start : number
        The start and the high end lie on the grid that starts at ``low``.
    """

    def __init__(self, label, unit, low, high, step, start):
        self.unit, self._low, self._high, self._step = unit, *(Decimal(str(size)) for size in (low, high, step))
        for name, number in (("start", start), ("high", high)):
            if self._on_grid(number) != Decimal(str(number)) or not low <= start <= high:
                raise RangeProblem(
                    f"The slider “{label}” needs {name}={number} on its grid: {low} to {high} by {step}."
                )
        self._symbol = unit_text(Q(1, unit or "dimensionless").units)
        self._decimals = max(0, *(-size.normalize().as_tuple().exponent for size in (self._low, self._step)))
        first, example = (self._figures(Decimal(str(size))) for size in (start, low))
        super().__init__(label, label, first, f"{label} ({self._symbol})" if self._symbol else label, example)
        self.good_text, self.value = self._said(start), self._quantity(start)
        self.box.add_class("labkit-number")
        ends = {"min": float(low), "max": float(high), "step": float(step), "value": float(start)}
        self.slider = ipywidgets.FloatSlider(readout=False, **ends)
        self.view.children = (self.box, self.slider, self.message)
        self.view.add_class("labkit-slider")
        self.slider.observe(self._moved, "value")

    def _on_grid(self, number):
        return self._low + round((Decimal(str(number)) - self._low) / self._step) * self._step

    def _figures(self, number):
        return f"{number:.{self._decimals}f}"

    def _said(self, number):
        return f"{self._figures(number)} {self._symbol}".strip()

    def _quantity(self, number):
        return Q(float(number), self.unit or "dimensionless")

    def _accepted(self, text):
        found = self._number(text)
        if not self._low <= found <= self._high:
            ends = f"{self._figures(self._low)} to {self._said(self._high)}"
            raise RangeProblem(f"{self.label} goes from {ends} here.")
        on_grid = self._on_grid(found)
        return self._quantity(on_grid), self._said(on_grid)

    def _number(self, text):
        """Return the number typed as a Decimal; the unit may be left out, another one may not."""
        example = f"Type for instance {self.good_text}."
        try:
            given = read(text)
        except ReadingProblem as problem:
            raise ReadingProblem(str(problem) if "Type " in str(problem) else f"{problem} {example}") from None
        if given.units not in (Q(1).units, self._quantity(1).units):
            raise ReadingProblem(f"{self.label} is counted in {self._symbol or 'numbers without a unit'}. {example}")
        if not isinstance(given.magnitude, (int, float)):
            raise ReadingProblem(f"One value is needed here, without ±. {example}")
        return Decimal(str(given.magnitude))

    def _settled(self):
        # Not for a last digit: a value sent back to a page would undo the key that was pressed meanwhile.
        if self._on_grid(self.slider.value) != Decimal(str(self.value.magnitude)):
            self.slider.value = self.value.magnitude
        if not self.note and self._number(self.box.value) != Decimal(str(self.value.magnitude)):
            self.note = (
                f"{self.label} moves in steps of {typed_text(self._quantity(self._step))}: using {self.good_text}."
            )
            self.message.value = (
                f'<div role="status" aria-live="polite" class="labkit-snapped">{set_text(self.note)}</div>'
            )

    def _moved(self, change):
        number = change["new"] if math.isfinite(change["new"]) else self.value.magnitude
        on_grid = self._on_grid(number)
        if self.value.magnitude != float(on_grid):  # otherwise the slider only follows what was typed
            self.box.value = self._figures(on_grid)


class Choice(Control):
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
