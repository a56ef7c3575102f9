"""Times of several parts, ``1 h 15 min``, and kind words to what is only nearly a number with a unit.

All work on text that the reader has tidied and found short enough; no pattern tries anything twice.
"""

import re

from labkit.errors import ReadingProblem
from labkit.units.symbols import SYMBOLS

_PART = re.compile(r" ?([0-9]{1,9}(?:[.,][0-9]{1,9})?) ?([A-Za-z]+)")
_SECONDS = {"day": 86400, "hour": 3600, "minute": 60, "second": 1}
_LETTERS = {"day": "d", "hour": "h", "minute": "min", "second": "s"}
_CLOCK = re.compile(r"([0-9]{1,3})(?::| ?h ?)([0-5][0-9])(?::([0-5][0-9]))?(?: ?(?:h|hr|hrs|hours|min|mins))?[ .]*")
_FACTOR = r"([0-9]{1,6}(?:[.,][0-9]{1,6})?) ?([A-Za-zµ]*)"
_LENGTHS = re.compile(rf"{_FACTOR} ?[x*·] ?{_FACTOR}(?: ?[x*·] ?{_FACTOR})?[ .]*")


def time_in_parts(text):
    """Return (number, name of its unit) of a time of two to four parts in falling order, in the unit of the last.

    None for all that is no such time.

    Raises
    ------
    ReadingProblem
        If its parts are times, but do not fall, one is too long for its place, or one before the last has decimals.

    Examples
    --------
    >>> time_in_parts("3 h 39 min 20 s"), time_in_parts("3h30min"), time_in_parts("3 h")
    ((13160.0, 'second'), (210.0, 'minute'), None)
    """
    parts, position = [], 0
    while position < len(text):
        found = _PART.match(text, position)
        name = SYMBOLS.get(found[2]) if found else None
        if name not in _SECONDS:
            return None
        parts.append((found[1], name))
        position = found.end()
    if len(parts) < 2:
        return None
    _refuse_odd(parts, text)
    last = _SECONDS[parts[-1][1]]
    whole = sum(int(size) * (_SECONDS[name] // last) for size, name in parts[:-1])
    return whole + float(parts[-1][0].replace(",", ".")), parts[-1][1]


def _refuse_odd(parts, text):
    shown = f"“{text[:30]}”"
    for (_, longer), (size, name) in zip(parts, parts[1:]):
        if _SECONDS[name] >= _SECONDS[longer]:
            raise ReadingProblem(f"{shown}: write the longest part of a time first, as in 1 h 15 min.")
        if float(size.replace(",", ".")) * _SECONDS[name] >= _SECONDS[longer]:
            raise ReadingProblem(f"{shown}: {size} {_LETTERS[name]} is a whole {longer} or more. "
                                 "Type for instance 1 h 15 min or 75 min.")  # fmt: skip
    if any(not size.isdigit() for size, _ in parts[:-1]):
        raise ReadingProblem(f"{shown}: only the last part of a time may have decimals. Type 2.5 h or 2 h 30 min.")


def figures_of_parts(text):
    """Return how many figures a time in parts gives, counted in the unit of its last part; 0 for anything else.

    >>> figures_of_parts("1 h 15 min"), figures_of_parts("2 h 10,5 min"), figures_of_parts("3 h")
    (2, 4, 0)
    """
    tidy = text.strip(" .").replace(",", ".")
    try:
        parts = time_in_parts(tidy)
    except ReadingProblem:
        parts = None
    if not parts:
        return 0
    decimals = sum(mark.isdigit() for mark in tidy.partition(".")[2])
    return len(f"{parts[0]:.{decimals}f}".replace(".", "").lstrip("0")) or 1


def clock_advice(text):
    """Return what to type instead of ``3:30`` or ``3h30``; empty for anything else.

    >>> clock_advice("3:30"), clock_advice("3h30"), clock_advice("3:30:20")
    ('type 3 h 30 min, or 3 min 30 s if that is meant.', 'type 3 h 30 min.', 'type 3 h 30 min 20 s.')
    """
    found = _CLOCK.fullmatch(text)
    if not found:
        return ""
    first, second, third = found.groups()
    told = f"type {int(first)} h {int(second)} min"
    if third:
        return f"{told} {int(third)} s."
    return f"{told}, or {int(first)} min {int(second)} s if that is meant." if ":" in text else f"{told}."


def lengths_advice(text, factors):
    """Return what to type instead of as many lengths with a cross between, ``70 cm x 45 cm``; empty for anything else.

    >>> lengths_advice("70 cm x 45 cm", 2), lengths_advice("3 x 4 x 2.5 m", 3), lengths_advice("3 m x 4 m", 3)
    ('type the product, 3150 cm².', 'type the product, 30 m³.', '')
    """
    found = _LENGTHS.fullmatch(text)
    if not found:
        return ""
    sizes = [size for size in found.groups()[::2] if size]
    units = [unit for size, unit in zip(found.groups()[::2], found.groups()[1::2]) if size]
    unit = units[-1]
    if (
        len(sizes) != factors
        or not SYMBOLS.get(unit, "").endswith("meter")
        or any(other not in ("", unit) for other in units)
    ):
        return ""
    product = 1.0
    for size in sizes:
        product *= float(size.replace(",", "."))
    return f"type the product, {product:.10g} {unit}{'²³'[len(sizes) - 2]}."
