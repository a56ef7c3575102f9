"""Readings of a tube or burette of gas: whatever was written down, with nothing dropped silently and nothing guessed silently."""

import re
from dataclasses import dataclass, field

import numpy as np

from labkit.data.columns import MISSING, Table, clock_minutes, number_in, table_of
from labkit.data.source import Wanted
from labkit.errors import RangeProblem, ReadingProblem
from labkit.units import Note, Q, checked, nominal, number

_WANTED = Wanted("read_gas", "table", "a time and a reading", "the run", 20_000_000)
LISTED = 200  # rows left out that are kept with their text; all are counted
MOST_ROWS = 100_000
_MOST_MILLILITRES, _MOST_MINUTES = 1e6, 5e6  # a cubic metre and ten years: more is a slip
_HOT, _THIN = 45, 850  # °C and hPa beyond which a number without a unit may as well be °F, or mmHg
_PER_MINUTE = {"s": 1 / 60, "min": 1.0, "h": 60.0, "d": 1440.0}
_PER_MILLILITRE = {"µL": 1e-3, "mL": 1.0, "L": 1e3}
_PER_HECTOPASCAL = {"Pa": 0.01, "hPa": 1.0, "kPa": 10.0, "bar": 1000.0, "mmHg": 1.3332239, "atm": 1013.25}
_UNITS = {  # words of a heading to the unit they name, kind by kind
    "time": {"s": "s sec secs second seconds", "min": "min mins minute minutes", "h": "h hr hrs hour hours std", "d": "d day days"},
    "volume": {"µL": "µl ul mm³ microlitre microliter", "mL": "ml cm³ cm3 ccm cc millilitre milliliter millilitres milliliters", "L": "l litre liter"},
    "temperature": {"degC": "°c degc ℃ c celsius", "degF": "°f degf ℉ f fahrenheit", "K": "k kelvin"},
    "pressure": {"Pa": "pa", "hPa": "hpa mbar mb", "kPa": "kpa", "bar": "bar", "mmHg": "mmhg torr", "atm": "atm"},
}  # fmt: skip
_WORDS = {
    "time": {"time", "elapsed", "clock", "zeit"},
    "volume": {"gas", "volume", "vol", "burette", "tube", "reading", "collected", "hydrogen"},
    "temperature": {"temperature", "temp", "thermometer"},
    "pressure": {"pressure", "barometer", "baro"},
}
_GROUPED = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
_TOKENS = re.compile(r"°\s?[cf]|℃|℉|cm³|mm³|[a-zµ]+3?")
_REASONS = ("too few columns", "time not understood", "no reading", "reading not understood", "same time again")
_SHORT, _NO_TIME, _NONE, _NO_NUMBER, _AGAIN = _REASONS


@dataclass(frozen=True, eq=False, repr=False)
class GasReadings:
    """Volumes of gas against time, as they were read.

    ``minutes`` from the first reading and ``millilitres`` are arrays of plain numbers; ``celsius`` and
    ``hectopascals`` are arrays too, or None if they were not written down.  ``skipped`` are (line, text, reason) of
    the first rows left out, ``rows`` counts all there were, and ``notes`` say what was taken for what.
    """

    minutes: np.ndarray
    millilitres: np.ndarray
    celsius: np.ndarray | None = None
    hectopascals: np.ndarray | None = None
    rows: int = 0
    left_out: int = 0
    skipped: tuple = ()
    notes: tuple = field(default=())

    def __len__(self):
        return self.minutes.size

    @property
    def duration(self):
        """Time from the first to the last reading, in min."""
        return Q(float(self.minutes[-1] - self.minutes[0]), "min")

    def between(self, start, end):
        """Return the readings from ``start`` to ``end``, times from the first reading such as ``"30 min"``.

        >>> print(gas_readings(Q([0, 10, 20, 30], "min"), Q([0, 1, 2, 3], "mL")).between("10 min", "30 min").words())
        3 readings over 20.0 min, 1.00 to 3.00 mL.
        """
        ends = [
            number(nominal(checked(end, "[time] >= 0", name, "between")), "min")
            for name, end in (("start", start), ("end", end))
        ]
        inside = (self.minutes >= ends[0] - 1e-9) & (self.minutes <= ends[1] + 1e-9)
        if inside.sum() < 2:
            raise RangeProblem("There are fewer than two readings in that part of the run. Take a longer one.")
        rest = (None if part is None else part[inside] for part in (self.celsius, self.hectopascals))
        return GasReadings(self.minutes[inside], self.millilitres[inside], *rest, notes=self.notes)

    def words(self):
        """Return in plain sentences what was read, what was left out and what was taken for what."""
        low, high = self.millilitres.min(), self.millilitres.max()
        lines = [
            f"{self.minutes.size} readings over {self.duration.magnitude:.1f} min, {low:.2f} to {high:.2f} mL.",
            *self.notes,
        ]
        if self.left_out:
            shown = "; ".join(f"line {line}, “{text}”: {reason}" for line, text, reason in self.skipped[:5])
            lines.append(
                f"{self.left_out} of {self.rows} rows left out: {shown}" + ("." if self.left_out <= 5 else " …")
            )
        return Note("\n".join(lines))

    def __repr__(self):
        return repr(self.words())

    def _repr_html_(self):
        return self.words()._repr_html_()


def gas_readings(time, volume, temperature=None, pressure=None):
    """Return the GasReadings of quantities: times, volumes and, if they were read, temperatures and pressures.

    Parameters
    ----------
    time : quantity [time]
        An array of at least two, rising.
    volume : quantity [volume]
    temperature : quantity [temperature], optional
        Of the gas.
    pressure : quantity [pressure], optional
        Of the air around, as a barometer shows it.

    Raises
    ------
    UnitProblem, RangeProblem
        If one is of another kind, their lengths differ, times do not rise or a number is missing.

    Examples
    --------
    >>> gas_readings(Q([0, 0.5, 1], "h"), Q([0.10, 0.35, 0.61], "mL"))
    3 readings over 60.0 min, 0.10 to 0.61 mL.
    """
    needs = (
        (time, "[time]", "time", "min"),
        (volume, "[volume]", "volume", "mL"),
        (temperature, "[temperature]", "temperature", "degC"),
        (pressure, "[pressure] > 0", "pressure", "hPa"),
    )
    columns = []
    for given, need, name, unit in needs:
        found = None
        if given is not None:
            found = np.atleast_1d(number(nominal(checked(given, need, name, "gas_readings")), unit)).astype(float)
        columns.append(found)
    sizes = {column.size for column in columns if column is not None}
    if len(sizes) > 1 or min(sizes) < 2 or max(column.ndim for column in columns if column is not None) > 1:
        raise RangeProblem("gas_readings() needs two readings or more, and as many of one kind as of the other.")
    if not (np.diff(columns[0]) > 0).all():
        raise RangeProblem("gas_readings() needs times that rise from reading to reading.")
    _refuse_beyond(columns[0], columns[1])
    return GasReadings(columns[0] - columns[0][0], *columns[1:], rows=columns[0].size)


def read_gas(source, *, unit=None, time_unit=None, column=None, upside_down=False):
    """Return the GasReadings in a file, in the bytes of one, or in pasted text.

    Parameters
    ----------
    source : path, bytes or str
        Columns separated by semicolons, commas, tabs or blanks, with or without a heading; a point or a comma as
        decimal mark.  Time and volume, and temperature and pressure if the headings name them: ``min;mL;°C;hPa``.
        Times are numbers since the start, clock times (14:05) or stamps (2026-05-31 14:05).  Text of one line is
        taken for a path.
    unit : str, optional
        ``"µL"``, ``"mL"`` or ``"L"``, if the heading does not say; mL is taken if nothing does.
    time_unit : str, optional
        ``"s"``, ``"min"``, ``"h"`` or ``"d"`` for times that are numbers, if the heading does not say.
    column : int or str, optional
        Number (the first is 1) or heading of the column of volumes.
    upside_down : bool
        True for a burette that stands on its head: its reading falls as gas comes, and what it fell by is the gas.

    Raises
    ------
    LabError
        If there are no two readings in it, or it can be read in more than one way; says what to type.

    Notes
    -----
    Rows kept and rows left out add up to the rows there are.  Of two readings at one time the first stays.

    Examples
    --------
    >>> read_gas("min;mL;°C\\n0;0,10;21,5\\n30;0,32;21,6\\n60;n/a;21,6\\n90;0,77;21,5")
    3 readings over 90.0 min, 0.10 to 0.77 mL.
    Time: column 1 (“min”), in min as its heading says.
    Gas: column 2 (“mL”), in mL as its heading says.
    Temperature: column 3 (“°C”).
    1 of 4 rows left out: line 4, “60;n/a;21,6”: no reading.
    """
    _refuse_odd(unit, _PER_MILLILITRE, "unit")
    _refuse_odd(time_unit, _PER_MINUTE, "time_unit")
    table = table_of(source, _WANTED, "min;mL\n30;0.42")
    if len(table.rows) > MOST_ROWS:
        raise RangeProblem(f"There are more than {MOST_ROWS} rows. Cut out the run, or keep every tenth row.")
    places = _places(table, column)
    unit, unit_note = _unit_of(table, places["volume"], "volume", unit, "mL", "unit")
    if table.clock:
        _refuse_stopwatch(table.names[0] if table.names else "")
        minutes, per, time_note = clock_minutes([row.fields[0] for row in table.rows]), 1.0, "clock times"
    else:
        time_unit, time_note = _unit_of(table, places["time"], "time", time_unit, None, "time_unit")
        minutes, per = _column(table, places["time"]), _PER_MINUTE[time_unit]
    volumes = _column(table, places["volume"])
    kept, skipped = _kept(table, places["volume"], minutes, volumes)
    if kept.size < 2:
        raise ReadingProblem(f"There are {kept.size} readings that could be read; two are needed at least. A table has "
                             "rows such as 30;0.42 under a heading such as min;mL.")  # fmt: skip
    for kind in ("time", "volume"):
        _refuse_grouped([table.rows[index].fields[places[kind]] for index in kept])
    minutes, millilitres = minutes[kept] * per, volumes[kept] * _PER_MILLILITRE[unit]
    if upside_down:
        millilitres = millilitres[0] - millilitres
    _refuse_beyond(minutes, millilitres)
    celsius, pressures, more = _surroundings(table, places, kept)
    turned = " What it fell by is taken as gas." if upside_down else _falling(millilitres)
    return GasReadings(minutes - minutes[0], millilitres, celsius, pressures, len(table.rows), len(skipped), tuple(skipped[:LISTED]),
                       (f"Time: {_named(table, places['time'])}, {time_note}.", f"Gas: {_named(table, places['volume'])}, {unit_note}.{turned}", *more))  # fmt: skip


def _refuse_odd(unit, known, name):
    if unit is not None and unit not in known:
        raise ReadingProblem(f"‘{name}’ is one of {', '.join(known)}. Type for instance {name}={list(known)[1]!r}.")


def _refuse_beyond(minutes, millilitres):
    """Raise RangeProblem for what no tube of gas shows, which sums of squares could not hold either."""
    if not np.abs(millilitres).max() <= _MOST_MILLILITRES:
        raise RangeProblem("A reading is over 1000 L. Is the unit of the volumes right?")
    if not 1e-3 <= np.ptp(minutes) <= _MOST_MINUTES:
        raise RangeProblem("The run takes less than a tenth of a second, or more than ten years. Is the unit of the times right?")  # fmt: skip


def _refuse_grouped(fields):
    """Raise ReadingProblem where 980 and 1,200 stand in one column: then the mark is one of thousands and no decimal mark."""
    fields = [field.strip().strip('"') for field in fields]
    marked = [field for field in fields if not field.isdigit()]
    if marked and all(map(_GROUPED.fullmatch, marked)) and any(len(field) == 3 for field in fields):
        raise ReadingProblem(f"“{marked[0]}” seems to have a mark for thousands. Take it out: {re.sub('[.,]', '', marked[0])}. "
                             "If it is a decimal mark, write all with as many decimals.")  # fmt: skip


def _refuse_stopwatch(heading):
    """Raise ReadingProblem if times like 05:30 stand under a heading of minutes or seconds: of a clock they are hours."""
    words = _tokens(heading)
    if words & {"s", "ss", "sec", "secs", "seconds", "min", "mins", "minutes"} and not words & {
        "h",
        "hh",
        "hr",
        "hrs",
        "hours",
    }:
        raise ReadingProblem(f"Times such as 05:30 are read as hours and minutes, but the heading is “{heading[:40]}”. "
                             "If they are minutes and seconds, type them as minutes: 5.5.")  # fmt: skip


def _tokens(heading):
    found = heading.lower().replace("μ", "µ")
    return {token.replace(" ", "") for token in _TOKENS.findall(found)}


def _named_unit(heading, kind):
    """Return the unit of a kind that a heading names, or None; a letter alone only counts if nothing longer does."""
    tokens = _tokens(heading)
    units = {word: unit for unit, words in _UNITS[kind].items() for word in words.split()}
    for found in ([word for word in tokens if len(word) > 1], tokens):
        hits = {units[word] for word in found if word in units}
        if hits:
            return hits.pop() if len(hits) == 1 else None
    return None


def _is(kind, heading):
    return bool(_tokens(heading) & _WORDS[kind]) or _named_unit(heading, kind) is not None


def _places(table: Table, column):
    """Return the column (the first is 0) of each kind that is there."""
    found, names = {"time": 0}, dict(enumerate(table.names))
    if names and not table.clock and not _is("time", names[0]):
        found["time"] = next((place for place, name in names.items() if _is("time", name)), 0)
    for kind in ("temperature", "pressure"):
        hits = [
            place
            for place, name in names.items()
            if place != found["time"] and _is(kind, name) and not _is("volume", name)
        ]
        if hits:
            found[kind] = hits[0]
    if column is not None:
        found["volume"] = _asked(table, column)
        return {kind: place for kind, place in found.items() if kind == "volume" or place != found["volume"]}
    rest = [
        place for place in range(table.wide) if place not in found.values() and np.isfinite(_column(table, place)).any()
    ]
    named = [place for place in rest if _is("volume", names.get(place, ""))]
    hits = named or rest
    if len(hits) != 1:
        listed = ", ".join(f"{place + 1} “{names.get(place, '')[:30]}”" for place in hits)
        raise ReadingProblem(f"Which column is the volume of gas? There are: {listed or 'none beside the time'}. "
                             "Say which, as in column=2.")  # fmt: skip
    found["volume"] = hits[0]
    return found


def _asked(table, column):
    if isinstance(column, int) and not isinstance(column, bool) and 1 <= column <= table.wide:
        return column - 1
    hits = [
        place
        for place, name in enumerate(table.names)
        if isinstance(column, str) and column.strip().lower() == name.lower()
    ]
    if len(hits) != 1:
        raise ReadingProblem(f"There is no such column. The table has {table.wide}; the first is column=1.")
    return hits[0]


def _named(table, place):
    name = table.names[place] if place < len(table.names) else ""
    return f"column {place + 1}" + (f" (“{name[:40]}”)" if name else "")


def _unit_of(table, place, kind, asked, usual, argument):
    """Return the unit of a column and how it came about."""
    heading = _named_unit(table.names[place], kind) if place < len(table.names) else None
    if asked:
        return asked, f"in {asked} as you said" + (
            f", though its heading says {heading}" if heading not in (None, asked) else ""
        )
    if heading:
        return heading, f"in {heading} as its heading says"
    if usual is None:
        raise ReadingProblem(
            f"The times are numbers, but no heading says of what. Type {argument}='min', or 's' or 'h'."
        )
    return usual, f"taken to be in {usual}, because nothing says otherwise"


def _column(table, place):
    return np.array(
        [number_in(row.fields[place], table.decimal) if place < len(row.fields) else np.nan for row in table.rows]
    )


def _kept(table, place, minutes, volumes):
    """Return the places of the rows kept, in the order of time, and (line, text, reason) of those left out."""
    reasons = {}
    for index, row in enumerate(table.rows):
        if place >= len(row.fields):
            reasons[index] = _SHORT
        elif np.isnan(minutes[index]):
            reasons[index] = _NO_TIME
        elif np.isnan(volumes[index]):
            reasons[index] = _NONE if row.fields[place].strip().lower() in MISSING else _NO_NUMBER
    good = np.array([index for index in range(len(table.rows)) if index not in reasons], dtype=int)
    order = good[np.argsort(minutes[good], kind="stable")]
    again = np.concatenate(([False], np.diff(minutes[order]) <= 0))[: order.size]
    reasons |= dict.fromkeys(order[again].tolist(), _AGAIN)
    left = [(table.rows[index].line, table.rows[index].text[:80], reasons[index]) for index in sorted(reasons)]
    return order[~again], left


def _surroundings(table, places, kept):
    """Return temperatures in °C and pressures in hPa, each None if not there or not complete, and notes."""
    found, notes = {"temperature": None, "pressure": None}, []
    for kind, usual, word in (("temperature", "degC", "Temperature"), ("pressure", "hPa", "Pressure")):
        if kind not in places:
            continue
        where, named = _named(table, places[kind]), _named_unit(table.names[places[kind]], kind)
        unit = named or usual
        sizes = _column(table, places[kind])[kept]
        celsius = kind == "temperature"
        sizes = number(Q(sizes, unit), "degC") if celsius else sizes * _PER_HECTOPASCAL[unit]
        low, high, what = (-20, 100, "°C") if celsius else (300, 1200, "hPa")
        if np.isnan(sizes).any() or not ((sizes >= low) & (sizes <= high)).all():
            notes.append(f"{word}: {where}, not used: a reading is missing, or none of {low} to {high} {what}.")
        elif named is None and (sizes.max() > _HOT if celsius else sizes.min() < _THIN):
            other = "°F" if celsius else "mmHg"
            notes.append(f"{word}: {where}, not used: no heading says {what} or {other}, and it may be either.")
        else:
            found[kind] = sizes
            said = "" if named else f", taken to be in {what}, because nothing says otherwise"
            notes.append(f"{word}: {where}{said}.")
    return found["temperature"], found["pressure"], notes


def _falling(millilitres):
    if millilitres[-1] < millilitres[0] and millilitres.size > 2:
        return " The readings fall: for a burette that stands on its head say upside_down=True."
    return ""
