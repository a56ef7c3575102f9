"""One line of a plan, of which all its parts are made."""

from dataclasses import dataclass

from labkit.units import Range


@dataclass(frozen=True)
class Line:
    """One line of a plan: section, what it is, the value (text), the range behind it, a note."""

    section: str
    item: str
    text: str
    span: Range | None
    note: str = ""
