"""Columns of numbers out of a table: nothing dropped silently, nothing guessed silently."""

import re
from dataclasses import dataclass, field

import numpy as np

from labkit.chemistry import molar_mass
from labkit.data.columns import MISSING, clock_minutes
from labkit.data.source import Wanted
from labkit.errors import RangeProblem, ReadingProblem
from labkit.units import Note, Q, checked, nominal, number, number_text, unit_from_text
from labkit.uptake.headings import (
    is_share_of_light,
    likeness_to,
    named_column,
    places_of,
    seems_to_have_unit,
    unit_in,
    unit_words,
)
from labkit.uptake.rows import cell_of, refuse_grouped, rows_of

LISTED = 200  # rows left out that are kept with their text; all are counted
_CLOCK = re.compile(r"(?:[0-9]{4}-[0-9]{2}-[0-9]{2}[T ])?[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?")
_STOPWATCH = {"s", "ss", "sec", "secs", "seconds", "min", "mins", "minutes"}
_SHORT, _MANY = "too few columns", "more numbers than columns"
_BLANK, _TIME = "blank", "time"


@dataclass(frozen=True, eq=False, repr=False)
class Readings:
    """Columns of numbers, as they were read.

    ``columns`` are arrays of plain numbers by name, also ``readings["absorbance"]``; ``units`` their units by name;
    ``labels`` the names of the rows, empty texts where none was written.  ``rows`` counts all rows there were,
    ``skipped`` are (line, text, reason) of the first left out, and ``notes`` say what was taken for what.
    """

    columns: dict
    units: dict
    labels: tuple = ()
    rows: int = 0
    left_out: int = 0
    skipped: tuple = ()
    notes: tuple = field(default=())

    def __getitem__(self, name):
        if name not in self.columns:
            raise RangeProblem(
                f"There is no “{str(name)[:30]}” among these readings. There are: {', '.join(self.columns)}."
            )
        return self.columns[name]

    def __contains__(self, name):
        return name in self.columns

    def __len__(self):
        return next(iter(self.columns.values())).size

    def quantity(self, name):
        """Return a column as a quantity with its unit."""
        return Q(self[name], self.units[name] or "dimensionless")

    def where(self, kept):
        """Return the Readings of some rows: an array of True and False, or of places."""
        places = np.arange(len(self))[kept]
        columns = {name: column[places] for name, column in self.columns.items()}
        return Readings(columns, self.units, tuple(self.labels[place] for place in places) if self.labels else (), self.rows, self.left_out,
                        self.skipped, self.notes)  # fmt: skip

    def words(self):
        """Return in plain sentences what was read, what was left out and what was taken for what."""
        spans = ", ".join(_span(name, column, self.units[name]) for name, column in self.columns.items())
        lines = [f"{len(self)} readings: {spans}.", *self.notes]
        if self.left_out:
            shown = "; ".join(f"line {line}, “{text}”: {reason}" for line, text, reason in self.skipped[:5])
            lines.append(
                f"{self.left_out} of {self.rows} rows left out: {shown}" + ("." if self.left_out <= 5 else " …")
            )
        return Note("\n".join(lines))

    def __repr__(self):
        return repr(self.words())

    __str__ = __repr__

    def _repr_html_(self):
        return self.words()._repr_html_()


def read_columns(source, columns, *, function, formula=None, units=None, places=None, least=2, part="the readings"):
    """Return the Readings in a file, in the bytes of one, or in pasted text.

    Parameters
    ----------
    source : path, bytes or str
        Columns separated by semicolons, commas, tabs or blanks, with or without a heading; a point or a comma as
        decimal mark; lines that start with # are passed over.  Text of one line is taken for a path.
    columns : sequence of Column
        In the order they are taken in where there is no heading; those that are not needed want one.
    function : str
        What messages call the function.
    formula : str, optional
        Of what the amounts are: with it mmol/L becomes mg/L, and without it they do not mix.
    units : dict, optional
        From names of columns to units, where no heading says.
    places : dict, optional
        From names of columns to their number (the first is 1) or heading.
    least : int
        Rows that there have to be.

    Raises
    ------
    LabError
        If a column is not found or can be read in more than one way, a number has a unit of another kind, or too
        few rows are left; says what to type.

    Notes
    -----
    Rows kept and rows left out add up to the rows there are.  A number may have its own unit beside it (5 mg/L).

    Examples
    --------
    >>> from labkit.uptake.readings import ABSORBANCE, CONCENTRATION
    >>> read_columns("jar;mg/L;A\\nS1;2,5;0,08\\nS2;5,0;n/a\\nS3;0,01 g/L;0,33", (CONCENTRATION, ABSORBANCE), function="read_standards")
    2 readings: concentration 2.500 to 10.00 mg/L, absorbance
      0.08000 to 0.3300.
    Concentration: column 2 (“mg/L”), in mg/L as its heading
      says. 1 cell has its own unit (line 4, “0,01 g/L”).
    Absorbance: column 3 (“A”).
    1 of 3 rows left out: line 3, “S2;5,0;n/a”: no absorbance.
    """
    table = table_for(source, columns, function, part)
    return readings_from(table, columns, function, formula, units, places, least)


def readings_of(*, function, **given):
    """Return Readings of quantities that are worked with instead of a table: ``concentration=(quantity, Column)``.

    Raises
    ------
    UnitProblem, RangeProblem
        If one is of another kind, their lengths differ, or a number is missing or out of its limits.
    """
    arrays, units = {}, {}
    for name, (value, column) in given.items():
        unit = column.unit
        if column.molar and hasattr(value, "units") and column.kind(value.units) == "molar":
            unit, value = column.molar, np.atleast_1d(number(nominal(value), column.molar))
        else:
            value = np.atleast_1d(
                number(nominal(checked(value, column.need, name.replace("_", " "), function)), unit or "dimensionless")
            )
        arrays[column.name], units[column.name] = value.astype(float), unit
        if not (np.isfinite(value).all() and (np.abs(value) <= column.most).all()):
            raise RangeProblem(
                f"{function}() needs finite numbers for the {column.name}, of {number_text(column.most, 3)} at most."
            )
    if len({array.size for array in arrays.values()}) != 1 or any(array.ndim > 1 for array in arrays.values()):
        raise RangeProblem(f"{function}() needs as many of one kind as of the other.")
    return Readings(arrays, units, rows=next(iter(arrays.values())).size)


def table_for(source, columns, function, part):
    """Return the Rows of a source, its heading looked for among those of the columns; ``part`` is what to cut out of a huge one."""
    needed = [column for column in columns if column.needed]
    head = ";".join(
        f"{column.name} ({unit_words(column.unit)})" if column.unit else column.name for column in needed[:2]
    )
    wanted = Wanted(function, "table", "a number and another field beside it", part, 20_000_000)
    return rows_of(
        source,
        wanted,
        likeness_to(columns),
        f"{head}\n" + ";".join(("5", "0.16")[: len(needed)] if len(needed) > 1 else ("S1", "0.16")),
    )


def readings_from(table, columns, function, formula, units, asked, least, blank=""):
    """Return the Readings of a table; ``blank`` names the column that is zero where a row is called a blank and has none."""
    for name, unit in (units or {}).items():
        column = next((column for column in columns if column.name == name), None)
        if column is None or column.kind(unit_from_text(unit)) is None:
            raise ReadingProblem(
                f"‘units’ goes from the name of a column to its unit, as in units={{{columns[0].name!r}: {columns[0].unit!r}}}."
            )
    found, label, notes = places_of(table, columns, asked, function)
    labels = tuple(
        row.fields[label][:60] if label is not None and label < len(row.fields) else "" for row in table.rows
    )
    wide, reasons, arrays, told = len(table.names) or table.wide, {}, {}, {}
    for index, row in enumerate(table.rows):
        if any(table.cell(row, place) for place in range(wide, len(row.fields))):
            reasons[index] = _MANY
    for column in columns:
        if column.name not in found:
            continue
        zero = {index for index, text in enumerate(labels) if blank == column.name and _BLANK in text.lower()}
        arrays[column.name], told[column.name], more = _numbers(
            table, column, found[column.name], formula, (units or {}).get(column.name), zero, reasons
        )
        notes += more
    kept = np.array([index for index in range(len(table.rows)) if index not in reasons], dtype=int)
    left = tuple((table.rows[index].line, table.rows[index].text[:80], reasons[index]) for index in sorted(reasons))
    if kept.size < least:
        shown = "".join(f" Line {line}, “{text[:40]}”: {reason}." for line, text, reason in left[:2])
        other = "." if table.decimal == "," else ","
        if any(
            cell_of(field, other) and not cell_of(field, table.decimal)
            for index in reasons
            for field in table.rows[index].fields
        ):
            shown += f" Points and commas are mixed: write all with “{table.decimal}” as the decimal mark, and none for thousands."
        raise ReadingProblem(f"{function}() could read {kept.size} row{'s' * (kept.size != 1)}; {least} {'is' if least == 1 else 'are'} "
                             f"needed at least.{shown}")  # fmt: skip
    if _TIME in arrays:
        arrays[_TIME], notes = _from_first(table, found[_TIME], arrays[_TIME], kept, notes)
    return Readings({name: array[kept] for name, array in arrays.items()}, told, tuple(labels[index] for index in kept) if any(labels) else (),
                    len(table.rows), len(left), left[:LISTED], notes)  # fmt: skip


def _numbers(table, column, place, formula, asked, zero, reasons):
    """Return (numbers, their unit, notes) of a column; why a row has none is put into ``reasons``."""
    texts = [row.fields[place] if place < len(row.fields) else "" for row in table.rows]
    refuse_grouped(texts, column.name)
    heading = table.names[place] if place < len(table.names) else ""
    unit, _, foreign = unit_in(heading, column) if heading else (None, "", None)
    if column.name == _TIME and sum(bool(_CLOCK.fullmatch(text.strip())) for text in texts) > len(texts) / 2:
        return _clock(table, column, place, texts, heading, reasons)
    _refuse_odd_heading(column, heading, foreign)
    how = "as its heading says"
    if asked:
        unit, how = unit_from_text(asked), "as you said"
    cells = [cell_of(text, table.decimal) for text in texts]
    if unit is None and column.unit and any(cell and cell.unit is None for cell in cells):
        if column.sure:
            raise ReadingProblem(f"No heading says what the {column.name} is in. Write it there, as in “{column.name} ({column.unit})”, or type "
                                 f"units={{{column.name!r}: {column.unit!r}}}.")  # fmt: skip
        if seems_to_have_unit(heading):
            raise ReadingProblem(f"“{heading[:40]}” is taken for the {column.name}, but its unit is not understood. Write for instance "
                                 f"{unit_words(column.unit)} there, or type units={{{column.name!r}: {column.unit!r}}}.")  # fmt: skip
        how = "because nothing says otherwise"
    sizes, kinds, own = np.full(len(texts), np.nan), {}, []
    for index, (cell, text) in enumerate(zip(cells, texts)):
        if cell is None:
            if text.strip().lower() not in MISSING:
                reasons.setdefault(index, f"{column.name} not understood")
            elif index in zero:
                sizes[index] = 0.0
            elif not column.gaps:
                short = place >= len(table.rows[index].fields) and len(table.rows[index].fields) < 2
                reasons.setdefault(index, _SHORT if short else f"no {column.name}")
            continue
        kind = "mass" if cell.unit is None and unit is None else column.kind(cell.unit or unit)
        if kind is None and index not in reasons:
            raise ReadingProblem(f"Line {table.rows[index].line}: “{text[:30]}” is no {column.name}" + (f" in {unit_words(column.unit)}." if column.unit else ", which is a plain number."))  # fmt: skip
        if kind is None:
            continue
        if cell.unit is not None:
            own.append(index)
        kinds.setdefault(kind, []).append(index)
        base = column.molar if kind == "molar" else column.unit
        sizes[index] = cell.size * (_factor(cell.unit or unit, base) if (cell.unit or unit) is not None else 1.0)
    final, more = _in_one_unit(table, column, sizes, kinds, formula)
    for index, size in enumerate(sizes):
        if np.isfinite(size) and (size < 0 and column.sign or size <= 0 and column.sign == ">"):
            reasons.setdefault(index, f"{column.name} {'below zero' if size < 0 else 'is zero'}")
        elif np.isfinite(size) and abs(size) > column.most:
            reasons.setdefault(index, f"{column.name} over {number_text(column.most, 3)}")
    said = (
        f", in {unit_words(unit)} {how}"
        if unit is not None
        else f", taken to be in {unit_words(column.unit)}, {how}"
        if column.unit and how != "as its heading says"
        else ""
    )
    note = f"{column.name.capitalize()}: {named_column(table, place)}{said}."
    if own:
        first = table.rows[own[0]]
        note += f" {len(own)} cell{'s have their' if len(own) > 1 else ' has its'} own unit (line {first.line}, “{texts[own[0]][:30]}”)."
    return sizes, final, (note + more,)


def _in_one_unit(table, column, sizes, kinds, formula):
    """Put masses and amounts in one unit, in ``sizes``; return the unit and a note."""
    if "molar" not in kinds:
        return column.unit, ""
    if formula is None and "mass" in kinds:
        odd = min(kinds.values(), key=len)[0]
        raise ReadingProblem(f"Line {table.rows[odd].line}: amounts ({column.molar}) and masses ({column.unit}) stand in one column. Say of what "
                             "they are, as in formula='Fe', or write all of one kind.")  # fmt: skip
    if formula is None:
        return column.molar, ""
    mass = molar_mass(formula)
    sizes[kinds["molar"]] *= number(Q(1, column.molar) * mass, column.unit)
    return (
        column.unit,
        f" {column.molar} are turned into {column.unit} of {formula}, {number(mass, 'g/mol'):.2f} g/mol.",
    )


def _refuse_odd_heading(column, heading, foreign):
    if not column.unit and is_share_of_light(heading):
        raise ReadingProblem(
            f"“{heading[:30]}” is a share of light and no absorbance. Absorbance = 2 - log10 of the percentage."
        )
    if not column.unit and "%" in heading:
        raise ReadingProblem(
            f"“{heading[:30]}” is taken for the {column.name}, which is a plain number and no percentage."
        )
    if foreign and foreign.lower() in ("ppm", "ppb"):
        raise ReadingProblem(
            f"“{heading[:30]}”: ppm is a share by mass, and 1 mg/L only in water. Write mg/L or mmol/L."
        )
    if foreign:
        raise ReadingProblem(
            f"“{heading[:40]}” is taken for the {column.name}, but {foreign} is no unit of it. "
            + (f"Write for instance {unit_words(column.unit)}." if column.unit else "It is a plain number.")
        )


def _clock(table, column, place, texts, heading, reasons):
    words = set(re.findall("[a-z]+", heading.lower()))
    if words & _STOPWATCH and not words & {"h", "hh", "hr", "hrs", "hours"}:
        raise ReadingProblem(f"Times such as {texts[0][:10]} are read as hours and minutes, but the heading is “{heading[:40]}”. "
                             "If they are minutes and seconds, type them as minutes: 5.5.")  # fmt: skip
    minutes = clock_minutes(texts)
    known = [index for index in np.flatnonzero(np.isfinite(minutes)).tolist() if "-" not in texts[index]]
    back = next((index for before, index in zip(known, known[1:]) if minutes[index] < minutes[before]), None)
    if back is not None:
        raise ReadingProblem(f"Line {table.rows[back].line}: the clock goes back to {texts[back][:10]}. Write times of 24 hours, 13:10 for ten past one, "
                             "and in their order.")  # fmt: skip
    for index in np.flatnonzero(np.isnan(minutes)).tolist():
        reasons.setdefault(index, "no time" if texts[index].strip().lower() in MISSING else "time not understood")
    return minutes, "min", (f"Time: {named_column(table, place)}, clock times.",)


def _from_first(table, place, minutes, kept, notes):
    """Return times of a clock from the first of the rows kept; other times as they are."""
    if any(note.endswith("clock times.") for note in notes):
        return minutes - minutes[kept].min(), notes
    return minutes, notes


def _factor(unit, base):
    return number(Q(1.0, unit), base or "dimensionless")


def _span(name, column, unit):
    known = column[np.isfinite(column)]
    if not known.size:
        return f"{name} in none"
    ends = " to ".join(dict.fromkeys(number_text(float(end), 4) for end in (known.min(), known.max())))
    return f"{name} {ends} {unit_words(unit) if unit else ''}".rstrip()
