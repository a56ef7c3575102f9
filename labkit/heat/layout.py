"""How the columns of a log are laid out: what separates them, the decimal mark, the heading, where time and temperature are."""

import csv
import re
from collections import Counter
from dataclasses import dataclass

from labkit.errors import ReadingProblem
from labkit.heat.clock import DATE_ALONE, PATTERNS

NUMBER = re.compile(rb"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_COMMA = re.compile(rb"[+-]?(?:[0-9]+,?[0-9]*|,[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
MISSING = {
    b"",
    b"-",
    b"--",
    b"---",
    b"n/a",
    b"na",
    b"nan",
    b"null",
    b"none",
    b"#n/a",
    b"?",
}  # where a reading should be
_QUOTED = b"\x1f"  # separates columns once quotation marks have been dealt with
_SAMPLE = 300  # lines looked at
_MOST_COLUMNS = 200
_CANDIDATES = (*((separator, decimal) for separator in (b"\t", b";", b",", b" ") for decimal in (b".", b",")
                 if separator != decimal), (b",", b","))  # fmt: skip  # the last for numbers in quotation marks
_IN_CELLS = re.compile(rb"[0-9] ?(?:\xc2\xb0 ?[CFcf]|\xe2\x84[\x83\x89]|deg ?[CF]|mV|min|[CFKhs])\b")
_UNITS_IN_CELLS = ("The rows have units in them. Leave the units out of the rows and put them into the heading, such as min;°C above "
                   "12;551.5.")  # fmt: skip
_TOKENS = re.compile(r"°\s?[cf]|℃|℉|[^\W\d_]+")
_TYPE_K = re.compile(r"\btype?[ -]?k\b|\bk[ -]type\b", re.IGNORECASE)  # of the probe, and not kelvin
_UNITS = {
    "°C": {"°c", "℃", "c", "degc", "celsius"},
    "°F": {"°f", "℉", "f", "degf", "fahrenheit"},
    "K": {"k", "kelvin"},
    "mV": {"mv", "millivolt", "millivolts"},
}
_TIME_UNITS = {
    "s": {"s", "sec", "secs", "second", "seconds", "sek", "sekunden"},
    "min": {"min", "mins", "minute", "minutes", "minuten"},
    "h": {"h", "hr", "hrs", "hour", "hours", "std", "stunden"},
    "d": {"d", "day", "days"},
}
_TIME_WORDS = {"time", "elapsed", "zeit", "t"}.union(*_TIME_UNITS.values())
_HOT_WORDS = {
    "temp",
    "temperature",
    "temperatur",
    "kiln",
    "furnace",
    "oven",
    "probe",
    "thermocouple",
    "ofen",
    "reading",
}
_OTHER_WORDS = {"set", "setpoint", "target", "aim", "soll", "junction", "cold", "ambient", "room", "power", "output", "duty",
                "humidity", "battery", "index", "no", "nr"}  # fmt: skip


@dataclass(frozen=True)
class Layout:
    """Separator, decimal mark, kind of times, columns (the first is 0) of time and temperature, first line of data, headings."""

    separator: bytes
    decimal: bytes
    kind: str
    time: tuple
    column: int
    first: int
    name: str
    unit: str | None
    time_unit: str | None
    quoted: bool
    blanks: bool
    written: bytes = b","
    time_name: str = ""

    def tidied(self, text):
        """Return the text with columns separated by ``separator`` alone, line for line."""
        if self.quoted:
            return b"\n".join(_QUOTED.join(split(line, self.written)) if b'"' in line else line.replace(self.written, _QUOTED)
                              for line in text.split(b"\n"))  # fmt: skip
        if self.blanks:
            return b"\n".join(b" ".join(line.split()) for line in text.split(b"\n"))
        return text


def split(line, separator):
    """Return the fields of a line; quotation marks keep a separator inside.

    >>> split(b'"1,5",20', b",")
    [b'1,5', b'20']
    """
    if separator == b" ":
        return line.replace(b'"', b"").split()
    if b'"' not in line:
        return line.split(separator)
    try:
        (fields,) = csv.reader([line.decode("utf-8", "replace")], delimiter=separator.decode())
    except (csv.Error, ValueError):
        return line.replace(b'"', b"").split(separator)
    return [field.encode("utf-8", "replace").replace(b"\n", b" ") for field in fields]


def _sample(text):
    """Return the first lines that are not blank, as pairs of their place and their text."""
    lines = text[:2_000_000].split(b"\n")
    return [(place, line[:4000]) for place, line in enumerate(lines) if line.strip()][:_SAMPLE]


def layout_of(text, column=None):
    """Return the Layout of a log given as UTF-8 bytes.

    Raises ReadingProblem if it has no rows of times and readings, or the columns can't be told apart.
    """
    found = _found(text)
    chosen = _temperature_column(found["numeric"], found["names"], column, found["wide"])
    names, time, (separator, decimal) = found["names"], found["time"], found["marks"]
    heading = names[chosen] if chosen < len(names) else ""
    unit = _unit_in(heading, _UNITS)
    if unit is None and found["in cells"]:
        raise ReadingProblem(_UNITS_IN_CELLS)
    time_unit = _unit_in(names[time[0]], _TIME_UNITS) if names and found["kind"] == "number" else None
    quoted = b'"' in text and separator != b" "
    return Layout(_QUOTED if quoted else separator, decimal, found["kind"], time, chosen, found["first"], heading[:40],
                  unit, time_unit, quoted, separator == b" ", separator, names[time[0]][:40] if names else "")  # fmt: skip


def columns_of(text):
    """Return the columns that could be the temperature, of a log given as UTF-8 bytes: from the number to the heading.

    Raises ReadingProblem as ``layout_of`` does.

    >>> columns_of("min;kiln °C;room °C\\n0;20;20\\n1;25;20".encode())
    {2: 'kiln °C', 3: 'room °C'}
    """
    found = _found(text)
    names = dict(enumerate(found["names"]))
    return {place + 1: names.get(place, "") for place in found["numeric"]}


def _found(text):
    """Return what the first lines of a log tell, whichever its column of temperatures is."""
    sample = _sample(text)
    best, rows = (0, None), []
    for separator, decimal in _CANDIDATES:
        found = [(place, *_seen(split(line, separator), decimal)) for place, line in sample]
        found = [row for row in found if row[1] and row[3]]
        score = sum(1 + len(row[3]) for row in found)
        if score > best[0]:
            best, rows = (score, (separator, decimal)), found
    in_cells = sum(bool(_IN_CELLS.search(line)) for _, line in sample) >= max(len(sample) / 2, 1)
    if not rows:
        raise ReadingProblem(_UNITS_IN_CELLS if in_cells else (
            "No line has a time and a reading. A log has rows such as 2026-05-31 14:05;551.5 or, under a heading such as "
            "min;°C, 12;551.5."))  # fmt: skip
    separator, decimal = best[1]
    (kind, time), _ = Counter((row[1], row[2]) for row in rows).most_common(1)[0]
    rows = [row for row in rows if (row[1], row[2]) == (kind, time)]
    first = _first_row(sample, rows[0][0], separator, decimal, kind, time)
    width = Counter(row[4] for row in rows).most_common(1)[0][0]
    names = _names([line for place, line in sample if place < first], separator, width, decimal)
    if kind == "number":
        time = (_time_column(names),)
    filled = Counter(place for row in rows for place in row[3])
    return {
        "marks": best[1], "kind": kind, "time": time, "first": first, "names": names, "wide": len(names) or width, "in cells": in_cells,
        "numeric": [place for place in sorted(filled) if place not in time and place < _MOST_COLUMNS],
    }  # fmt: skip


def _seen(fields, decimal):
    """Return the kind of time, its columns, the columns of numbers and how many columns a line has."""
    while len(fields) > 1 and not fields[-1].strip():
        fields = fields[:-1]
    pattern = NUMBER if decimal == b"." else _COMMA
    numeric = [place for place, field in enumerate(fields[:_MOST_COLUMNS]) if pattern.fullmatch(field.strip())]
    for place, field in enumerate(fields[:3]):
        text = field.decode("utf-8", "replace")[:64]
        for kind in ("year first", "year last", "clock"):
            if PATTERNS[kind].fullmatch(text):
                return kind, (place,), numeric, len(fields)
        if DATE_ALONE.fullmatch(text) and place + 1 < len(fields):
            both = f"{text.strip()} {fields[place + 1].decode('utf-8', 'replace')[:64].strip()}"
            for kind in ("year first", "year last"):
                if PATTERNS[kind].fullmatch(both):
                    return kind, (place, place + 1), numeric, len(fields)
    if numeric[:1] == [0] and len(numeric) > 1:
        return "number", (0,), numeric, len(fields)
    return None, (), [], len(fields)


def _first_row(sample, first, separator, decimal, kind, time):
    """Return the first line of data: of the rows just above the first reading, those that only lack a reading count too."""
    pattern = NUMBER if decimal == b"." else _COMMA
    for place, line in reversed([row for row in sample if row[0] < first]):
        fields = split(line, separator)
        if kind == "number":
            bare = [field.strip().lower() for field in fields]
            row = len(bare) > 1 and pattern.fullmatch(bare[0]) and all(
                field in MISSING or pattern.fullmatch(field) for field in bare[1:])  # fmt: skip
        else:
            row = len(fields) > time[-1] + 1 and _seen(fields, decimal)[:2] == (kind, time)
        if not row:
            break
        first = place
    return first


def _names(lines, separator, width, decimal):
    """Return the headings of the columns, units from a line of their own added; none if nothing fits."""
    split_lines = [split(line.strip().lstrip(b"#"), separator) for line in lines]
    fitting = [[field.decode("utf-8", "replace").strip() for field in fields] for fields in split_lines
               if len([field for field in fields if field.strip()]) > 1 and width <= len(fields) <= width + 5]  # fmt: skip
    if not fitting:
        narrow = [fields for fields in split_lines if 1 < len(fields) < width]
        if narrow and separator == b",":
            raise ReadingProblem(f"The heading has {len(narrow[-1])} columns but the rows have {width}: the comma seems to be the "
                                 "decimal mark as well. Save the log with semicolons between the columns.")  # fmt: skip
        return []
    return [" ".join(filter(None, parts)) for parts in zip(*(fields[:width] for fields in fitting[-2:]))]


def _tokens(heading):
    return {token.replace(" ", "") for token in _TOKENS.findall(heading.lower())}


def _unit_in(heading, units):
    """Return the one unit that a heading names, or None; a letter alone counts only if nothing longer does."""
    tokens = _tokens(_TYPE_K.sub(" ", heading))
    for words in ({token for token in tokens if len(token) > 1}, tokens):
        found = [unit for unit, names in units.items() if names & words]
        if found:
            return found[0] if len(found) == 1 else None
    return None


def _time_column(names):
    """Return the column of elapsed times: the first, unless the first is no time and another says it is one."""
    timed = [place for place, name in enumerate(names) if _tokens(name) & (_TIME_WORDS - {"t", "d", "s", "h"})]
    return timed[0] if timed and not (_tokens(names[0]) & _TIME_WORDS) else 0


def _temperature_column(numeric, names, column, width):
    if isinstance(column, bool) or not (column is None or isinstance(column, (int, str))):
        raise ReadingProblem("The column is its heading or its number, the first being 1, as in column=2.")
    if isinstance(column, int):
        if not 1 <= column <= width:
            raise ReadingProblem(f"There is no column {column}; the log has {width}. The first is 1.")
        return column - 1
    shown = ", ".join(
        f"{place + 1} “{names[place][:30]}”" if place < len(names) else f"{place + 1}" for place in numeric[:12]
    )
    if isinstance(column, str):
        word = column.strip().lower()
        exact = [place for place, name in enumerate(names) if name.lower() == word]
        part = [place for place, name in enumerate(names) if word and word in name.lower()]
        if len(exact or part) != 1:
            raise ReadingProblem(f"The column asked for is not one heading of the log. There are: {shown}.")
        return (exact or part)[0]
    words = [_tokens(names[place]) if place < len(names) else set() for place in numeric]
    numeric_words = [(place, tokens) for place, tokens in zip(numeric, words) if not tokens & _OTHER_WORDS]
    all_units = set().union(*_UNITS.values())
    hot = [place for place, tokens in numeric_words if tokens & (all_units | _HOT_WORDS)]
    left = [place for place, _ in numeric_words]
    for candidates in (numeric, hot, left):
        if len(candidates) == 1:
            return candidates[0]
    raise ReadingProblem(
        f"More than one column could be the temperature: {shown or 'none has numbers'}. Say which, as in column=2."
    )
