"""A guess is a range: lowest, likely and highest, and what drives the spread of a result."""

import itertools
import re
from dataclasses import dataclass, field

import numpy as np

from labkit.errors import RangeProblem, ReadingProblem
from labkit.units.conversion import converted, number
from labkit.units.dimensions import EXAMPLES, agrees, split_need
from labkit.units.guard import checked, typed_text
from labkit.units.parts import time_in_parts
from labkit.units.reader import LONGEST, read
from labkit.units.registry import Q, is_quantity, nominal, plain, ureg
from labkit.units.rounding import handy, printed

_DASHED = re.compile(
    r" *([0-9]+(?:[.,][0-9]+)?) ?([^-–—0-9 .,]*) ?[-–—] ?([0-9]+(?:[.,][0-9]+)?) ?([^-–—0-9 .,]*)[ .]*"
)
_LIKELY = re.compile(r"[ ,;]*\blikely\b:?")
_BEGUN = re.compile(r" *[0-9][0-9.,]* ?[^-–—0-9 ]* ?(?:to\b|[-–—] ?[0-9])")  # “2 to”, “2 g - 4 x”


@dataclass(frozen=True)
class Range:
    """Lowest, likely and highest value of something that is only guessed.

    The ends are judgements, not confidence limits.  ``why`` says where the guess comes from;
    ``drivers`` lists, widest first, which inputs spread a computed range and by how much.
    """

    low: object
    likely: object
    high: object
    why: str = ""
    drivers: tuple = field(default=(), compare=False)

    def __post_init__(self):
        low, likely, high = (value if is_quantity(value) else Q(value) for value in (self.low, self.likely, self.high))
        for name, value in (("low", low), ("likely", likely), ("high", high)):
            object.__setattr__(self, name, value)
            if not isinstance(value.magnitude, (int, float)):
                _refuse_end(name, value)
        if low.units == likely.units == high.units:  # nearly always, and then plain numbers tell
            rising = low.magnitude <= likely.magnitude <= high.magnitude
        elif low.dimensionality == likely.dimensionality == high.dimensionality:
            rising = low <= likely <= high
        else:
            raise RangeProblem(
                f"A range has three values of one kind, but these are {low:~P}, {likely:~P} and {high:~P}."
            )
        if not rising:
            raise RangeProblem(f"A range runs from low over likely to high, but this one is {self}.")

    def __str__(self):
        return printed_range(self)

    @property
    def ends(self):
        """The three quantities (low, likely, high)."""
        return self.low, self.likely, self.high

    def m_as(self, unit):
        """Return the three plain numbers (low, likely, high) in a unit."""
        return tuple(number(end, unit) for end in self.ends)

    def to(self, unit):
        """Return the same range in another unit; UnitProblem if that is of another kind."""
        return Range(*(converted(end, unit) for end in self.ends), self.why, self.drivers)

    @property
    def driver(self):
        """Name of the input that spreads this range most; empty if nothing does."""
        return self.drivers[0][0] if self.drivers else ""


def _refuse_end(name, value):
    """Raise RangeProblem if an end of a range is not one plain number."""
    if np.ndim(value.magnitude):
        raise RangeProblem(
            f"A range has single values, but its {name} value is an array of {np.size(value.magnitude)}."
        )
    if plain(value.magnitude) is not value.magnitude:
        raise RangeProblem(f"The ends of a range have no ± of their own, but its {name} value is {value:~P}. "
                           "Type either “to” or “±”.")  # fmt: skip


def certain(value, why=""):
    """Return a range of no width.

    >>> from labkit.units import Q
    >>> print(certain(Q(2.5, "g")))
    2.50 g
    """
    return Range(value, value, value, why)


def printed_range(span, figures=2, unit=None):
    """Return ``4.1 to 12 g, likely 7.9 g``; a single value, to one figure more, if the range has no width.

    Parameters
    ----------
    span : Range
    figures : int
        Significant figures of each number; more, up to three more, where the three would look the same.
    unit : str, optional
        Unit to write in; without it a unit with a handy magnitude is chosen.

    Raises
    ------
    UnitProblem
        If the unit is not known or of another kind.

    Examples
    --------
    >>> from labkit.units import Q
    >>> printed_range(Range(Q(410, "mg"), Q(790, "mg"), Q(1.2, "g")), unit="g")
    '0.41 to 1.2 g, likely 0.79 g'
    """
    unit = unit or handy(span.likely if span.likely.magnitude else span.high).units
    low, likely, high = (converted(value, unit) for value in span.ends)
    if low == high:
        return printed(likely, figures + 1, unit)
    for more in range(4):
        ends = [printed(value, figures + more, unit) for value in (low, likely, high)]
        if len(set(ends)) == len({end.magnitude for end in (low, likely, high)}):
            break
    symbol = ends[2].partition(" ")[2]
    return f"{ends[0].partition(' ')[0]} to {ends[2]}, likely {ends[1].partition(' ')[0]} {symbol}".strip()


def spanned(value):
    """Return a quantity with ``±`` as the Range of one standard uncertainty; anything else as it is."""
    magnitude = getattr(value, "magnitude", None)
    if not hasattr(magnitude, "std_dev"):
        return value
    middle, spread = magnitude.nominal_value, magnitude.std_dev
    return Range(*(Q(number, value.units) for number in (middle - spread, middle, middle + spread)), "typed")


def range_from(function, **inputs):
    """Return the range of ``function(**inputs)`` when some inputs are ranges.

    Every combination of the ends is tried, so the result is exact wherever the function rises or
    falls steadily in each input, which holds for the products and quotients of a bench plan.
    It assumes that all the bad luck can fall together.  Each driver is found by moving that input
    alone over its range with the others at their likely values.

    Parameters
    ----------
    function : callable
        Takes the inputs by name and returns one quantity or number.
    **inputs : Range or anything else
        Ranges are varied, and a quantity with ``±`` as its range of one standard uncertainty; the
        rest is passed on.

    Raises
    ------
    RangeProblem
        If the function returns an array: ranges are of single values.

    Examples
    --------
    >>> from labkit.units import Q
    >>> share = Range(Q(10, "percent"), Q(20, "percent"), Q(40, "percent"))
    >>> powder = range_from(lambda mass, share: (mass * share).to("g"), mass=Q(30, "g"), share=share)
    >>> print(powder, "| driven by", powder.driver)
    3.0 to 12 g, likely 6.0 g | driven by share
    """
    inputs = {name: spanned(value) for name, value in inputs.items()}
    ranges = {name: value for name, value in inputs.items() if isinstance(value, Range)}
    fixed = {name: value for name, value in inputs.items() if name not in ranges}
    known = {}

    def at(**ends):
        """Return the result with the named inputs at an end and the others at their likely values."""
        values = {name: getattr(span, ends.get(name, "likely")) for name, span in ranges.items()}
        key = tuple(ends.get(name, "likely") for name in ranges)
        if key not in known:  # with one range the corners are its drivers' ends: no need to work them out twice
            found = function(**fixed, **values)
            found = nominal(found if is_quantity(found) else Q(found))
            if np.ndim(found.magnitude):
                _refuse_end("likely", found)
            known[key] = found
        return known[key]

    likely = at()
    unit = likely.units
    # Plain numbers in one unit are compared, since a panel asks for many ranges at every keystroke.
    corners = [_plain_in(unit, likely)] + [
        _plain_in(unit, at(**dict(zip(ranges, ends))))
        for ends in itertools.product(("low", "high"), repeat=len(ranges))
    ]
    drivers = []
    for name in ranges:
        ends = sorted(_plain_in(unit, at(**{name: end})) for end in ("low", "high"))
        if ends[1] > ends[0]:
            drivers.append((name.replace("_", " "), *ends))
    drivers.sort(key=lambda driver: driver[1] - driver[2])
    drivers = tuple((name, Q(low, unit), Q(high, unit)) for name, low, high in drivers)
    return Range(Q(min(corners), unit), likely, Q(max(corners), unit), drivers=drivers)


def _plain_in(unit, quantity):
    return quantity.magnitude if quantity.units == unit else quantity.to(unit).magnitude


def read_range(text, need, name="value", example=None):
    """Return the range that a learner typed: ``4 % to 40 %``, ``5 to 12 g, likely 8 g``, ``8 ± 3 g``.

    A single value gives a range of no width.  Without ``likely`` the middle is taken.  ``example`` is what
    a message gives to type, a single value or a range; the usual one of ``need`` if left out.

    Raises
    ------
    ReadingProblem
        Says what to type.

    Examples
    --------
    >>> print(read_range("4 to 40 %, likely 18 %", "[]"), "|", read_range("8 ± 3 g", "[mass]"))
    4.0 to 40 %, likely 18 % | 5.0 to 11 g, likely 8.0 g
    """
    if isinstance(text, str) and " to " in text and len(text) <= 120:
        body, *middle = _LIKELY.split(text, maxsplit=1)
        first, _, last = body.partition(" to ")
        if " to " in last:
            raise ReadingProblem(f"For {name}, type two ends only. {_as_in(need, example)}")
        high = _end(last, None, need, name, example)
        # A bare number has the unit of the other end, but a time in parts has several: which one is meant?
        unit = None if _in_parts(last) else high.units
        low = _end(first, unit, need, name, example)
        middle = middle[0].strip(" .") if middle else ""
        likely = _end(middle, unit, need, name, example) if middle else _halfway(low, high)
        if not low <= high:
            raise ReadingProblem(f"For {name}, type the lower end first. {_turned(high, low, likely, middle)}")
        if not low <= likely <= high:
            told = _turned(low, high, _halfway(low, high), True)
            raise ReadingProblem(f"For {name}: the likely value must lie between the ends. {told}")
        return Range(low, likely, high, "typed")
    try:
        value = read(text, need, name, example)
    except ReadingProblem as problem:
        raise _range_slip(text, need, name, example) or problem from None
    span = spanned(value)
    return span if isinstance(span, Range) else certain(span, "typed")


def _halfway(low, high):
    """Return the middle of two ends, by magnitudes, because thermometer readings cannot be added."""
    return Q((low.to(high.units).magnitude + high.magnitude) / 2, high.units)


def _turned(low, high, likely, told):
    """Return how the learner's own ends are typed; the likely value too if it was ``told`` and lies between them."""
    ends = [typed_text(end) for end in (low, high)]
    middle = f", likely {typed_text(likely)}" if told and low <= likely <= high else ""
    if low.units == high.units:  # one unit is enough
        ends[0] = f"{low.magnitude:.12g}"
    return f"Type {ends[0]} to {ends[1]}{middle}."


def _in_parts(text):
    try:
        return time_in_parts(text.strip(" .")) is not None
    except ReadingProblem:
        return True


def _as_in(need, example=None):
    """Return how a range of the kind needed is typed."""
    if example and " to " in example:
        return f"Type a range as {example}."
    value = nominal(read(example or EXAMPLES[split_need(need)[0]][1]))
    parts = (0.95, 1.05) if split_need(need)[0] == "[temperature]" else (0.8, 1.2)
    low, high = (typed_text(Q(float(f"{value.magnitude * part:.2g}"), value.units)) for part in parts)
    return f"Type a range as {low} to {high}, likely {typed_text(value)}."


def _range_slip(text, need, name, example=None):
    """Return the problem of a range typed with a dash, ``10-35 %``, or not finished; None if it is neither."""
    if not isinstance(text, str) or len(text) > LONGEST or not _BEGUN.match(text):
        return None
    parts = _DASHED.fullmatch(text)
    if not parts:
        return ReadingProblem(f"For {name}, this is no range yet. {_as_in(need, example)}")
    low, low_unit, high, unit = parts.groups()
    meant = f"{low} {low_unit or unit}".strip() + f" to {high} {unit}".rstrip()
    try:
        read_range(meant, need, name, example)
    except ReadingProblem as problem:  # of another kind, or the wrong way round
        return problem
    return ReadingProblem(f"For {name}, write the word “to”. Type a range as {meant}.")


def _end(text, unit, need, name, example=None):
    """Return one end of a typed range; one without a unit has that of the other end: “4 to 40 %”."""
    try:
        value = read(text)
    except ReadingProblem:
        value = read(text, need, name, example)  # fails again, and says what was needed
    if unit is not None and value.units == ureg.dimensionless:
        value = Q(value.magnitude, unit)
    if hasattr(value.magnitude, "nominal_value"):
        raise ReadingProblem(f"For {name}, type either “to” or “±”, not both.")
    return value if agrees(value, need) else read(text, need, name, example)


def as_range(value, need, name="value"):
    """Return text, number, quantity or Range as a Range of dimension ``need``.

    Parameters
    ----------
    value : str, number, quantity or Range
        A quantity with ``±`` counts as its range of one standard uncertainty.
    need : str
        A dimension of ``EXAMPLES``, with ``> 0`` or ``>= 0`` if wanted, which then holds for each end.
    name : str
        What a message calls it.

    Raises
    ------
    ReadingProblem, UnitProblem, RangeProblem
        If it can't be read, is of another kind, or an end has the wrong sign.

    Examples
    --------
    >>> print(as_range("5 to 12 g, likely 8 g", "[mass] > 0"), "|", as_range("8 g", "[mass]"))
    5.0 to 12 g, likely 8.0 g | 8.00 g
    """
    if isinstance(value, str):
        value = read_range(value, need, name)
    if not isinstance(value, Range):
        value = spanned(checked(value, need, name))
        value = value if isinstance(value, Range) else certain(value)
    for end in value.ends:
        checked(end, need, name)
    return value
