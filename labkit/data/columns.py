"""A small table that somebody typed: what separates its columns, its decimal mark, its heading and its times.

For files of up to some thousand rows, such as gas against time or absorbance against concentration.
"""

import csv
import re
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from labkit.data.source import text_of
from labkit.errors import ReadingProblem

MISSING = {"", "-", "--", "n/a", "na", "nan", "null", "none", "?"}  # where a reading should be
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?")
_CLOCK = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}))?")
_STAMP = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2})?")
_DAY = 1440.0
_MARKS = (("\t", "."), ("\t", ","), (";", "."), (";", ","), (",", "."), (" ", "."), (" ", ","))
_LONGEST = 400  # signs of a line that are looked at


@dataclass(frozen=True)
class Row:
    """A row of readings: its line in the file (the first is 1), its text and its fields."""

    line: int
    text: str
    fields: tuple


@dataclass(frozen=True)
class Table:
    """Rows, the headings (empty if there are none), the decimal mark, how many columns, and whether times are of a clock."""

    rows: tuple
    names: tuple
    decimal: str
    wide: int
    clock: bool


def lines_of(source, wanted):
    """Return [(its number, the first is 1, its text), …] of the lines of a table that are not empty and no # lines.

    >>> from labkit.data.source import Wanted
    >>> lines_of("# invented\\nmin;mL\\n\\n0;0.10", Wanted("read_gas", "table", "a time and a volume", "the run"))
    [(2, 'min;mL'), (4, '0;0.10')]
    """
    text = text_of(source, wanted).decode("utf-8", "replace").replace("\x00", "")
    lines = [(place, line[:_LONGEST]) for place, line in enumerate(text.split("\n"), start=1)]
    return [(place, line) for place, line in lines if line.strip() and not line.lstrip().startswith("#")]


def table_of(source, wanted, example="0;0.10"):
    """Return the Table in a path, in bytes or in text.

    Parameters
    ----------
    source : path, bytes or str
        Lines that start with # are passed over.  Text of one line is taken for a path.
    wanted : Wanted
        How messages call the table and what its rows have.
    example : str
        A row as one would type it, and with a line break its heading above it.

    Raises
    ------
    ReadingProblem
        If no row starts with a number or a time and has a number beside it.

    Examples
    --------
    >>> from labkit.data.source import Wanted
    >>> found = table_of("min;mL\\n0;0,10\\n30;0,32", Wanted("read_gas", "table", "a time and a volume", "the run"))
    >>> found.names, found.decimal, found.rows[1].fields
    (('min', 'mL'), ',', ('30', '0,32'))
    """
    lines = lines_of(source, wanted)
    best, found = 0, None
    for separator, decimal in _MARKS:
        split = [(place, line, _fields(line, separator)) for place, line in lines[:300]]
        # By what reads as a number and not by columns: 0;0,10;21 has three with a decimal comma, and two with a point.
        score = sum(_typed_numbers(fields, decimal) for _, _, fields in split if _is_row(fields, decimal))
        if score > best:
            best, found = score, (separator, decimal)
    if not found:
        head, _, row = example.rpartition("\n")
        under = f" under a heading such as {head}" if head else ""
        raise ReadingProblem(f"No line has {wanted.row}. A table has rows such as {row}{under}.")
    separator, decimal = found
    rows = [Row(place, line.strip(), _fields(line, separator)) for place, line in lines]
    first = next(place for place, row in enumerate(rows) if _is_row(row.fields, decimal))
    head = rows[first - 1].fields if first else ()
    rows = tuple(rows[first:])
    typed = [row for row in rows if _is_row(row.fields, decimal)]
    wide = max(len(row.fields) for row in typed)
    if separator == "," and 1 < len(head) < wide:
        raise ReadingProblem(f"The heading has {len(head)} columns but the rows have {wide}: the comma seems to be the decimal mark as "
                             "well. Put semicolons between the columns.")  # fmt: skip
    clock = sum(_time_of_day(row.fields[0]) is not None for row in typed) > len(typed) / 2
    return Table(rows, head if len(head) >= 2 else (), decimal, max(wide, len(head)), clock)


def number_in(text, decimal):
    """Return the number in a field, NaN if there is none.

    >>> number_in(" 0,42 ", ","), number_in("0,42", ".")
    (0.42, nan)
    """
    text = text.strip().strip('"').replace("−", "-")
    if decimal == ",":
        text = "" if "." in text else text.replace(",", ".")
    return float(text) if len(text) <= 40 and _NUMBER.fullmatch(text) else float("nan")


def clock_minutes(texts):
    """Return the minutes of clock times or stamps, NaN where one is none; a fall of more than half a day is midnight.

    >>> clock_minutes(["23:50", "0:20", "soon"])
    array([1430., 1460.,   nan])
    """
    minutes, day, last = [], 0.0, None
    for text in texts:
        found = _time_of_day(text)
        if found is not None and not _STAMP.fullmatch(text.strip().strip('"')):
            if last is not None and found < last - _DAY / 2:
                day += _DAY
            last = found
            found += day
        minutes.append(np.nan if found is None else found)
    return np.array(minutes)


def _time_of_day(text):
    """Return minutes of a clock time, or since a fixed date of a stamp; None if it is neither."""
    text = text.strip().strip('"')
    if _STAMP.fullmatch(text):
        try:
            return (datetime.fromisoformat(text.replace(" ", "T")) - datetime(2000, 1, 1)).total_seconds() / 60
        except ValueError:
            return None
    hit = _CLOCK.fullmatch(text)
    if not hit or int(hit[1]) > 23 or int(hit[2]) > 59:
        return None
    return int(hit[1]) * 60 + int(hit[2]) + int(hit[3] or 0) / 60


def _typed_numbers(fields, decimal):
    """Return how many fields are a time or a number."""
    timed = _time_of_day(fields[0]) is not None
    return timed + sum(not np.isnan(number_in(field, decimal)) for field in fields[timed:])


def _is_row(fields, decimal):
    timed = bool(fields) and (_time_of_day(fields[0]) is not None or not np.isnan(number_in(fields[0], decimal)))
    return timed and any(not np.isnan(number_in(field, decimal)) for field in fields[1:])


def _fields(line, separator):
    if separator == " ":
        joined = re.sub(r"^\s*([0-9]{4}-[0-9]{2}-[0-9]{2}) ([0-9]{2}:)", r"\1T\2", line)
        return tuple(joined.split())
    try:
        (fields,) = csv.reader([line.strip("\r")], delimiter=separator)
    except (csv.Error, ValueError):
        fields = line.split(separator)
    while fields and not fields[-1].strip():
        fields = fields[:-1]
    return tuple(field.strip() for field in fields)
