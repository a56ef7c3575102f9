"""The rows of a table in which names stand beside numbers, and a number may carry its own unit: ``S1;5 mg/L;0.12``."""

import csv
import re
from collections import Counter
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from labkit.data.columns import MISSING, Row, lines_of, number_in
from labkit.errors import RangeProblem, ReadingProblem, UnitProblem
from labkit.units import unit_from_text

MOST_ROWS = 20_000
_MARKS = (("\t", "."), ("\t", ","), (";", "."), (";", ","), (",", "."), (" ", "."), (" ", ","))
_INSIDE = re.compile(r"[0-9],[0-9]")  # a comma within a number: 2,5 0,08
_OUTSIDE = re.compile(r",(?:\s|$|,)|\s,")
_TORN = re.compile(r"[0-9] +[+-]?[0-9]")  # what is left of 2,5 0,08 between two commas
_WITH_UNIT = re.compile(
    r"([+−-]?(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,2})?) ?([^0-9\s.,;:+−-][^;]{0,20})"
)
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:[.,'’ ][0-9]{3})+")
_BOTH_MARKS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+\.[0-9]+|[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+|[1-9][0-9]{0,2}(?:['’ ][0-9]{3})+(?:[.,][0-9]+)?")  # fmt: skip


@dataclass(frozen=True)
class Cell:
    """A number with the unit written beside it (None if there is none) and that unit as text."""

    size: float
    unit: object = None
    written: str = ""


@dataclass(frozen=True)
class Rows:
    """The rows, the headings (empty if there are none), the decimal mark, and how many columns there are."""

    rows: tuple
    names: tuple
    decimal: str
    wide: int

    def cell(self, row, place):
        """Return the Cell at a place of a row, None where there is no number."""
        return cell_of(row.fields[place], self.decimal) if place < len(row.fields) else None

    def is_numeric(self, place):
        """Return True for a column in which at least half of what is written are numbers."""
        texts = [row.fields[place] for row in self.rows if place < len(row.fields)]
        texts = [text for text in texts if text.strip().lower() not in MISSING]
        found = sum(cell_of(text, self.decimal) is not None for text in texts)
        return bool(found) and 2 * found >= len(texts)


def rows_of(source, wanted, likeness, example):
    """Return the Rows in a path, in bytes or in text.

    Parameters
    ----------
    source : path, bytes or str
        Lines that start with # are passed over.  Text of one line is taken for a path.
    wanted : Wanted
        How messages call the table and what its rows have.
    likeness : callable
        Takes the fields of a line and says how many look like the heading of a column that is wanted.
    example : str
        A heading and a row as one would type them.

    Raises
    ------
    ReadingProblem, RangeProblem
        If no row has a number beside another field, or there are more than 20 000 rows.

    Examples
    --------
    >>> from labkit.data.source import Wanted
    >>> wanted = Wanted("read_standards", "table", "two numbers", "the series")
    >>> found = rows_of("name;mg/L;A\\nS1;2,5;0,08\\nS2;5;0,16", wanted, len, "mg/L;A\\n5;0.16")
    >>> found.names, found.decimal, found.cell(found.rows[0], 1).size
    (('name', 'mg/L', 'A'), ',', 2.5)
    """
    lines = lines_of(source, wanted)
    if len(lines) > MOST_ROWS:
        raise RangeProblem(f"There are more than {MOST_ROWS} rows. Cut out {wanted.part} and read that.")
    separator, decimal = _marks(lines, wanted, example)
    rows = [Row(place, line.strip(), _fields(line, separator)) for place, line in lines]
    counts = [_numbers(row.fields, decimal) for row in rows]
    full = next(place for place, row in enumerate(rows) if counts[place] and len(row.fields) >= 2)
    heads = [place for place in range(full) if _may_be_heading(rows[place].fields, counts[place])]
    # Of the lines above the first row the one that is most like a heading, and of equals the last.
    head = max(heads, key=lambda place: (likeness(rows[place].fields), place), default=None)
    names = rows[head].fields if head is not None else ()
    rows = tuple(rows[full:] if head is None else rows[head + 1 :])
    usual = Counter(len(row.fields) for row in rows if _numbers(row.fields, decimal)).most_common(1)[0][0]
    if names and usual > len(names) and separator in ", ":
        what = "comma seems to be the decimal mark as well" if separator == "," else "headings have blanks in them"
        raise ReadingProblem(f"The heading has {len(names)} columns but the rows have {usual}: the {what}. "
                             "Put semicolons between the columns.")  # fmt: skip
    lengths = {len(row.fields) for row in rows if _numbers(row.fields, decimal)}
    if separator == "," and len(lengths) > 1 and not any("." in field for row in rows for field in row.fields):
        raise ReadingProblem(f"Some rows have {min(lengths)} columns and others {max(lengths)}: the comma seems to be the decimal mark as well. "
                             "Put semicolons between the columns.")  # fmt: skip
    if names and separator == " " and usual != len(names):
        raise ReadingProblem(f"The heading has {len(names)} words but the rows have {usual} columns. Put semicolons "
                             "between the columns.")  # fmt: skip
    return Rows(rows, names, decimal, max(usual, len(names)))


@lru_cache(4096)
def cell_of(text, decimal):
    """Return the Cell in a field, None if there is no number, or something is beside it that is no unit.

    >>> found = cell_of("0,2 g/L", ",")
    >>> found.size, found.written
    (0.2, 'g/L')
    """
    text = text.strip().strip('"').replace("\u00a0", " ").replace("\u202f", " ")
    size = number_in(text, decimal)
    if not np.isnan(size):
        return Cell(size)
    hit = _WITH_UNIT.fullmatch(text)
    if not hit or np.isnan(size := number_in(hit[1], decimal)):
        return None
    unit = unit_named(hit[2])
    # Nothing here is a length, but 510 nm may stand over a column of absorbances.
    return None if unit is None or unit.dimensionality == {"[length]": 1} else Cell(size, unit, hit[2].strip())


@lru_cache(1024)
def unit_named(text):
    """Return the unit that a text names, None if it is no unit."""
    try:
        return unit_from_text(text.strip())
    except UnitProblem:
        return None


def refuse_grouped(texts, name):
    """Raise ReadingProblem for marks of thousands in the fields of a column: 1,200 may be 1200, or 1.2."""
    texts = [text.strip().strip('"').replace("\u00a0", " ").replace("\u202f", " ") for text in texts]
    both = next((text for text in texts if _BOTH_MARKS.fullmatch(text)), None)
    marked = [text for text in texts if text and not text.isdigit()]
    grouped = (
        marked and all(map(_GROUPED.fullmatch, marked)) and any(text.isdigit() and len(text) >= 3 for text in texts)
    )
    if both or grouped:
        raise ReadingProblem(f"“{both or marked[0]}” in the column of the {name} seems to have a mark for thousands. Take such marks out. "
                             "If it is a decimal mark, write all with as many decimals.")  # fmt: skip


def _marks(lines, wanted, example):
    """Return (separator, decimal mark) with which most fields are numbers."""
    best, found = 0, None
    for separator, decimal in _MARKS:
        if found and found[0] in "\t;" and separator in ", ":
            break  # a blank or a comma is then a part of what was written, as in S 1
        if (separator, decimal) == (" ", ",") and any(_OUTSIDE.search(line.strip()) for _, line in lines[:300]):
            break  # in S 1, 30, 0.5 the commas stand between columns
        split = [_fields(line, separator) for _, line in lines[:300]]
        # By what reads as a number and not by columns: 0;0,10;21 has three with a decimal comma, and two with a point.
        score = sum(_numbers(fields, decimal) for fields in split if len(fields) >= 2)
        if score > best:
            best, found = score, (separator, decimal)
    if not found:
        head, _, row = example.rpartition("\n")
        under = f" under a heading such as {head}" if head else ""
        raise ReadingProblem(f"No line has {wanted.row}. A table has rows such as {row}{under}.")
    return _comma_or_blank(lines[:300], best) if found == (",", ".") else found


def _comma_or_blank(lines, best):
    """Return (separator, decimal mark) of lines that commas split: in 2,5 0,08 the blank does, and the commas are decimal marks."""
    blank = [
        (line, _fields(line, " ")) for _, line in lines if _INSIDE.search(line) and not _OUTSIDE.search(line.strip())
    ]
    score = sum(_numbers(fields, ",") for _, fields in blank if len(fields) >= 2)
    if not score or score < best:
        return ",", "."
    if all(_TORN.search(line) and any(_TORN.search(part) for part in line.split(",")) for line, _ in blank):
        return " ", ","
    raise ReadingProblem(
        f"“{blank[0][0].strip()[:30]}” can be read in two ways: the comma may be a decimal mark. Put semicolons between the columns."
    )


def _numbers(fields, decimal):
    return sum(cell_of(field, decimal) is not None for field in fields)


def _may_be_heading(fields, count):
    return not count and len(fields) >= 2 and all(field.strip().lower() not in MISSING for field in fields)


def _fields(line, separator):
    if separator == " ":
        return _joined(line.split())
    fields = [field.strip().strip('"').strip() for field in _split(line, separator)]
    while fields and not fields[-1]:
        fields = fields[:-1]
    return tuple(fields)


def _split(line, separator):
    try:
        (fields,) = csv.reader([line.strip("\r")], delimiter=separator)
    except (csv.Error, ValueError):
        fields = line.split(separator)
    return fields


def _joined(words):
    """Return words of a line split at blanks, with a unit put back to the word before it: 5 mg/L, and c / mg/L."""
    found = []
    for word in words:
        slash = found and (word == "/" or found[-1].endswith(" /"))
        bracket = found and len(word) > 2 and word[0] + word[-1] in ("()", "[]")
        unit = (
            found and len(word) > 1 and any(cell_of(found[-1], mark) for mark in ".,") and unit_named(word) is not None
        )
        if slash or bracket or unit:
            found[-1] += " " + word
        else:
            found.append(word)
    return tuple(found)
