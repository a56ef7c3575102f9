"""A box for one line that is neither a plain quantity nor a choice: a latitude, a day, an angle."""

import ipywidgets

from labkit.errors import LabError, ReadingProblem
from labkit.panels.controls import TypedControl


class ReadBox(TypedControl):
    """A box for one line of text, read by a function of its own.

    Parameters
    ----------
    label : str
    start : str
        A text that can be read.
    accepted : callable
        Takes the text and returns the value, or raises a LabError with what to type.  If it takes an
        empty text, that means the same as ``start``.
    hint : str
        Stands in brackets after the label.
    """

    def __init__(self, label, start, accepted, hint, kind=ipywidgets.Text):
        self._reading = accepted
        super().__init__(label, label, start, f"{label} ({hint})", start, kind=kind)
        self.value, _ = self._accepted(start)  # a start that cannot be read is a slip of ours: let it be seen

    def _accepted(self, text):
        try:
            return self._reading(text), text.strip() or self.start
        except LabError:
            if text.strip():
                raise
            raise ReadingProblem(f"Nothing is typed yet. Type for instance {self.start}.") from None
