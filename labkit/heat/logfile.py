"""Read a kiln log: whatever a logger or a hand wrote, with nothing dropped silently and nothing guessed silently.

What separates columns, the decimal mark, the kind of times and the heading are found from the first
rows.  The rows are then read all at once as arrays of bytes; only the odd ones one by one.  Nothing
in a log is ever evaluated.
"""

from collections import Counter

import numpy as np

from labkit.data import value
from labkit.data.source import Wanted, text_of
from labkit.errors import ReadingProblem, chosen
from labkit.heat.clock import clock_doubt, times_read
from labkit.heat.junction import junction_shift, junction_voltages
from labkit.heat.layout import MISSING, NUMBER, columns_of, layout_of
from labkit.heat.log import LISTED, KilnLog, Skipped
from labkit.heat.marks import MOST_LOOKED_AT, mark_note, marked, refuse_thousands
from labkit.heat.probe import celsius_of
from labkit.heat.trace import Trace
from labkit.units import Q, checked, nominal, number, printed

COLDEST, HOTTEST = -50.0, 1372.0  # °C: no kiln is colder, and type K ends
UNITS = {"°C": "°C", "degC": "°C", "C": "°C", "°F": "°F", "degF": "°F", "F": "°F", "K": "K", "mV": "mV"}
TIME_UNITS = {"s": 1 / 60, "min": 1.0, "h": 60.0, "d": 1440.0}
SPIKE_RATE, SPIKE_SIZE = "50 °C/min", 20.0  # from memory: faster than a bench kiln; and K, more than noise
SHORTEST_GAP = "2 min"  # our choice
LONGEST_BRIDGE, STEPS_BRIDGED = 15.0, 1.5  # min, and usual steps of a slow log: no longer pause is bridged; our choice
_WANTED = Wanted("read_log", "log", "a time and a temperature", "the firing")
_CHUNK = 100_000  # rows read at once
_LONGEST_TEXT, _LONGEST_FIELD = 200, 64
REASONS = ("too few columns", "time not understood", "no reading", "reading not understood",
           "impossible reading", "same time again", "spike")  # fmt: skip
_SHORT, _NO_TIME, _NONE, _NO_NUMBER, _IMPOSSIBLE, _AGAIN, _SPIKE = range(1, 8)


def read_log(source, *, unit=None, junction=None, column=None, time_unit=None, day_first=None, spike_rate=SPIKE_RATE,
             shortest_gap=SHORTEST_GAP):  # fmt: skip
    """Return the KilnLog in a file, in the bytes of one, or in pasted text.

    Parameters
    ----------
    source : path, bytes or str
        Columns separated by semicolons, commas, tabs or blanks, with or without a heading; a point
        or a comma as decimal mark; UTF-8, UTF-16 or Latin-1.  Text of one line is taken for a path.
        Times are stamps (2026-05-31 14:05, or day and month first), clock times, or numbers since the start;
        13:05 is hours and minutes, or minutes and seconds if the heading says min:s or mm:ss.
    unit : str, optional
        ``"°C"``, ``"°F"``, ``"K"`` or ``"mV"`` (type K) if the heading does not say.
    junction : quantity, Range or text [temperature], optional
        For mV: of the junction that the voltage was measured against, 0 °C for a logger that adds it itself.
        Left out, ``"0 to 45 °C, likely 20 °C"``, which leaves too much open for most verdicts.
    column : str or int, optional
        The heading, a part of it, or the number (the first is 1) of the column of temperatures.
    time_unit : str, optional
        ``"s"``, ``"min"``, ``"h"`` or ``"d"``, for times that are numbers, if the heading does not say.
    day_first : bool, optional
        Needed only if dates can be read two ways.
    spike_rate : quantity or text [temperature rate]
        A single reading that jumps away by more than 20 K, faster than this on both sides, and comes
        back is left out as a spike.  Type ``"1e9 °C/min"`` to keep all.
    shortest_gap : quantity or text [time]
        Pauses longer than this and than five usual steps, of 15 min in all or one and a half steps at most, are not
        counted; nor is one in which two readings or more were left out that may have been above 600 °C.

    Raises
    ------
    LabError
        If it is no log, or can be read in more than one way, such as 1,022 for 1022 or 1.022: says what to type.

    Notes
    -----
    Rows kept and rows left out add up to the rows there are.  Impossible readings are those below
    -50 °C or above 1372 °C, such as of an open probe.

    Examples
    --------
    >>> log = read_log("min;°C\\n0;20,0\\n10;75,5\\n20;n/a\\n30;180,0")
    >>> print(log.trace, "|", log.skipped[0])
    Trace of 3 points over 30.0 min, 20 to 180 °C | Skipped(row=4, text='20;n/a', reason='no reading')
    """
    unit = None if unit is None else UNITS[chosen(unit, UNITS, "unit of temperature here")]
    if time_unit is not None:
        chosen(time_unit, TIME_UNITS, "unit of time here")
    if day_first not in (None, True, False):
        raise ReadingProblem("day_first is True or False.")
    rate = number(nominal(checked(spike_rate, "[temperature rate] > 0", "spike_rate", "read_log")), "delta_degC/min")
    least_gap = number(nominal(checked(shortest_gap, "[time] > 0", "shortest_gap", "read_log")), "min")
    colds, junction_note = junction_voltages(junction)

    text = text_of(source, _WANTED)
    layout = layout_of(text, column)
    written, text = text, layout.tidied(text) + b"\n"
    data = np.frombuffer(text, dtype=np.uint8)
    starts, ends, lines = _rows(data, _filled(written), layout.first)
    unit, unit_note, doubt, against = _unit(unit, layout)
    minutes, celsius, reasons, time_note, time_doubt = _columns(
        data, starts, ends, layout, unit, colds[1], time_unit, day_first
    )
    order, late = _ordered(minutes, celsius, reasons, rate)
    impossible = _impossible_words(reasons, unit, layout.unit)
    if order.size < 2:
        raise ReadingProblem(f"{impossible} " * bool(impossible)
                             + f"A log needs at least two readings, but only {order.size} of {starts.size} rows could be kept"
                             f"{_why(reasons)}. Check the unit and the column, or give them: unit='°C', column=2.")  # fmt: skip
    hot = _hot_left_out(minutes, celsius, reasons)
    trace = _trace(minutes[order], celsius[order], least_gap, minutes[hot])
    words = _hot_words(celsius, lines, reasons, hot)
    return KilnLog(
        trace=trace,
        skipped=_skipped(written, layout, starts, ends, lines, reasons, minutes - minutes[order[0]], celsius),
        counts=_counts(reasons, late),
        gaps=_gaps(trace),
        notes=tuple(filter(None, (
            _heading_note(layout, text),
            mark_note(layout.decimal),
            f"Times: {time_note}.",
            unit_note + (f" {junction_note}" if unit == "mV" else ""),
            _spike_note(celsius, lines, reasons, printed(Q(rate, "delta_degC/min"), 2)),
        ))),
        shift=junction_shift(celsius[order], colds) if unit == "mV" else (0.0, 0.0),
        doubts=tuple(filter(None, (doubt, time_doubt, words if hot.size > 1 else ""))),
        remarks=(words,) if hot.size == 1 else (),
        unit=unit,
        against=against,
        impossible=impossible,
    )  # fmt: skip


def _filled(written):
    """Return for each line of the text whether anything is written in it."""
    data = np.frombuffer(written + b"\n", dtype=np.uint8)
    ends = np.flatnonzero(data == 10)
    return np.logical_or.reduceat(data > 32, np.concatenate(([0], ends[:-1] + 1)))


def _rows(data, filled, first):
    """Return where the rows of data start and end, and their line numbers; blank lines are no rows."""
    ends = np.flatnonzero(data == 10)
    starts = np.concatenate(([0], ends[:-1] + 1))
    places = np.flatnonzero(filled & (np.arange(filled.size) >= first))
    return starts[places], ends[places], places + 1


def _columns(data, starts, ends, layout, unit, cold, time_unit, day_first):
    """Return minutes, °C and the number of a reason for each row (0 if it is kept so far), how times were taken, and any doubt of that."""
    separators = np.flatnonzero(data == layout.separator[0])
    first = np.searchsorted(separators, starts)
    there = np.searchsorted(separators, ends) - first
    size = starts.size
    reasons = np.where(there < max(layout.time[-1], layout.column), np.int8(_SHORT), np.int8(0))
    celsius, times = np.full(size, np.nan), []
    bounds = separators, first, there, starts, ends
    marks, looked_at = ([], []), 0
    for begin in range(0, size, _CHUNK):
        rows = slice(begin, min(begin + _CHUNK, size))
        times.append(_fields(data, bounds, rows, layout.time[0], layout.time[-1]))
        fields = _fields(data, bounds, rows, layout.column, layout.column)
        celsius[rows] = _numbers(fields, layout.decimal)
        if len(marks[0]) < MOST_LOOKED_AT:
            marks[0].extend(marked(fields, layout.decimal))
            looked_at += int(np.isfinite(celsius[rows]).sum())
        if layout.kind == "number" and len(marks[1]) < MOST_LOOKED_AT:
            marks[1].extend(marked(times[-1], layout.decimal))
        odd = np.isnan(celsius[rows]) & (reasons[rows] == 0)
        empty = np.isin(np.char.lower(np.char.strip(fields[odd])), list(MISSING))
        reasons[rows][odd] = np.where(empty, _NONE, _NO_NUMBER)
    refuse_thousands(*marks, layout.decimal, lambda readings: _possible(_in_celsius(readings, unit, cold)), looked_at)
    doubt = ""
    if layout.kind == "number":
        factor, note = _time_factor(time_unit, layout)
        minutes = np.concatenate([_numbers(part, layout.decimal) for part in times]) * factor
    else:
        width = max(part.dtype.itemsize for part in times)
        times = np.concatenate([part.astype(f"S{width}") for part in times])
        minutes, note = times_read(times, layout.kind, day_first, layout.time_name)
        doubt = clock_doubt(times, layout.time_name) if layout.kind == "clock" else ""
    reasons[np.isnan(minutes) & (reasons != _SHORT)] = _NO_TIME
    celsius = _in_celsius(celsius, unit, cold)
    reasons[~_possible(celsius) & (reasons == 0)] = _IMPOSSIBLE
    return minutes, celsius, reasons, note, doubt


def _in_celsius(readings, unit, cold):
    """Return readings of a unit in °C; ``cold`` is the voltage of the junction (mV)."""
    if unit == "mV":
        return celsius_of(readings + cold)
    return {"°C": lambda: readings, "K": lambda: readings - 273.15, "°F": lambda: (readings - 32) / 1.8}[unit]()


def _possible(celsius):
    return (celsius >= COLDEST) & (celsius <= HOTTEST)


def _fields(data, bounds, rows, column, last):
    """Return the fields from ``column`` to ``last`` of some rows as an array of bytes, cut at 64."""
    separators, first, there, starts, ends = (bounds[0], *(array[rows] for array in bounds[1:]))
    places = np.append(separators, 0)
    begin = starts if column == 0 else np.where(there >= column, places[np.minimum(first + column - 1, separators.size)] + 1, ends)  # fmt: skip
    end = np.where(there > last, places[np.minimum(first + last, separators.size)], ends)
    begin, end = begin.astype(np.int32), end.astype(np.int32)  # a log is far smaller than what they can hold
    lengths = np.clip(end - begin, 0, _LONGEST_FIELD)
    width = max(int(lengths.max(initial=0)), 1)
    steps = np.arange(width, dtype=np.int32)
    index = np.minimum(begin[:, None] + steps, data.size - 1)
    signs = np.where(steps < lengths[:, None], data[index], np.uint8(0))
    return np.ascontiguousarray(signs).view(f"S{width}").reshape(-1)


def _numbers(fields, decimal):
    """Return fields as numbers, NaN where one is none."""
    if decimal == b",":
        fields = np.where(np.char.find(fields, b".") >= 0, b"?", fields)  # a point has no place there
        fields = np.char.replace(fields, b",", b".")
    width = fields.dtype.itemsize
    signs = np.ascontiguousarray(fields).view(np.uint8).reshape(fields.size, width)
    usual = np.zeros(256, dtype=bool)
    usual[list(b"\x00 +-.0123456789")] = True
    plain = usual[signs].all(axis=1) & ((signs >= 48) & (signs <= 57)).any(axis=1)
    numbers = np.full(fields.size, np.nan)
    try:
        numbers[plain] = fields[plain].astype(float)
    except ValueError:
        plain[:] = False
    for row in np.flatnonzero(~plain):
        text = fields[row].strip()
        if NUMBER.fullmatch(text):
            numbers[row] = float(text)
    numbers[np.isinf(numbers)] = np.nan
    return numbers


def _time_factor(time_unit, layout):
    if time_unit is None:
        time_unit, why = layout.time_unit, "as its heading says"
        if time_unit is None:
            raise ReadingProblem(
                "The times are numbers, but no heading says of what. Type time_unit='min', or 's' or 'h'."
            )
    else:
        why = "as you said"
    return TIME_UNITS[time_unit], f"numbers in {time_unit} since the start, {why}"


def _heading_note(layout, text):
    above = text.split(b"\n", layout.first)[: layout.first]
    count = sum(bool(line.strip()) for line in above)
    return (
        f"The first {count} lines are its heading." if count > 1 else "The first line is its heading." if count else ""
    )


def _unit(unit, layout):
    where = f"column {layout.column + 1}" + (f" (“{layout.name}”)" if layout.name else "")
    if unit:
        said = f", though its heading says {layout.unit}" if layout.unit and layout.unit != unit else ""
        against = (f"though the heading says {layout.unit}, the readings were taken to be in {unit}: if the heading is right, "
                   "this verdict is wrong.") if said else ""  # fmt: skip
        return unit, f"Temperatures: {where}, in {unit} as you said{said}.", "", against
    if layout.unit:
        return layout.unit, f"Temperatures: {where}, in {layout.unit} as its heading says.", "", ""
    return (
        "°C",
        f"Temperatures: {where}, taken to be in °C because nothing says otherwise; give unit='°F' if they are not.",
        "No unit stands in the log: its readings were taken to be in °C. If they are in °F or K, this verdict is wrong.",
        "",
    )


def _impossible_words(reasons, unit, heading):
    """Return a sentence if most rows are impossible readings, so that nothing can be said of the firing; else nothing."""
    count = int((reasons == _IMPOSSIBLE).sum())
    if count <= reasons.size / 2:
        return ""
    told = f"{count} of {reasons.size} readings cannot be {'millivolts of type K' if unit == 'mV' else f'{unit} of a kiln'}"
    if heading and heading != unit:
        return f"{told}; the heading says {heading}. Choose {heading}."
    return f"{told}: check the unit, the column and the plug of the probe."


def log_columns(source):
    """Return the columns of a log that could be the temperature: from the number, as ``column`` of ``read_log``, to the heading.

    >>> log_columns("min;°C\\n0;20\\n1;25")
    {2: '°C'}
    """
    return columns_of(text_of(source, _WANTED))


def _ordered(minutes, celsius, reasons, rate):
    """Return the places of the rows to keep, by time, and how many stood out of order; marks repeats and spikes."""
    good = np.flatnonzero(reasons == 0)
    late = 0
    if good.size:
        late = int((minutes[good] < np.maximum.accumulate(minutes[good])).sum())
    order = good[np.argsort(minutes[good], kind="stable")] if late else good
    again = np.concatenate(([False], np.diff(minutes[order]) <= 0))[: order.size]
    reasons[order[again]] = _AGAIN
    order = order[~again]
    spikes = _spikes(minutes[order], celsius[order], rate)
    reasons[order[spikes]] = _SPIKE
    return np.delete(order, spikes), late


def _spikes(minutes, celsius, rate):
    """Return the places of single readings that jump away and back faster than a kiln can."""
    if celsius.size < 5:
        return np.array([], dtype=int)
    jumps = np.diff(celsius)
    fast = (np.abs(jumps) > rate * np.diff(minutes)) & (np.abs(jumps) > SPIKE_SIZE)
    places = np.flatnonzero(fast[:-1] & fast[1:] & (np.sign(jumps[:-1]) == -np.sign(jumps[1:]))) + 1
    # Of readings that jump to and fro, those go that are far from most of their neighbours.
    around = np.clip(places, 2, celsius.size - 3)[:, None] + np.arange(-2, 3)
    middle = np.median(celsius[around], axis=1)
    return places[np.abs(celsius[places] - middle) > SPIKE_SIZE / 2]


def _trace(minutes, celsius, least_gap, hot):
    """Return the Trace of the readings kept; ``hot`` are the minutes of those left out that may have been hot."""
    steps = np.diff(minutes)
    usual = float(np.median(steps))
    bridged = min(5 * usual, max(LONGEST_BRIDGE, STEPS_BRIDGED * usual))
    missing = np.bincount(np.searchsorted(minutes, hot), minlength=minutes.size + 1)[1 : minutes.size]
    return Trace(minutes - minutes[0], celsius, (steps <= max(bridged, least_gap)) & (missing < 2))


def _hot_left_out(minutes, celsius, reasons):
    """Return the places of readings that were left out and, if they were true, were above where powder is being lost."""
    doubtful = np.isin(reasons, (_IMPOSSIBLE, _SPIKE)) & ~np.isnan(minutes)
    return np.flatnonzero(doubtful & ~(celsius <= number(value("firing", "losses"), "degC")))


def _hot_words(celsius, lines, reasons, hot):
    """Return a sentence for the verdict on hot readings that were left out, or nothing."""
    if not hot.size:
        return ""
    top = hot[np.argmax(np.nan_to_num(celsius[hot], nan=-1e9))]
    size = f"{celsius[top]:.0f} °C" if np.isfinite(celsius[top]) else "beyond type K"
    if hot.size == 1:
        return f"A reading of {size} in line {lines[top]} was left out as {'a spike' if reasons[top] == _SPIKE else 'impossible'}."
    limit = number(value("firing", "losses"), "degC")
    return (f"{hot.size} readings above {limit:g} °C, the hottest {size} in line {lines[top]}, were left out as spikes or as impossible: "
            "check the probe and its plug.")  # fmt: skip


def _gaps(trace):
    places = np.flatnonzero(~trace.counted)[:LISTED]
    return tuple((Q(float(trace.minutes[i]), "min"), Q(float(trace.minutes[i + 1]), "min")) for i in places)


def _skipped(written, layout, starts, ends, lines, reasons, minutes, celsius):
    """Return the first rows left out, with their text as it was written, and with time and reading where those are known."""
    tidied = written.split(b"\n") if layout.quoted or layout.blanks else None
    listed = []
    for row in np.flatnonzero(reasons)[:LISTED]:
        line = tidied[lines[row] - 1] if tidied else written[starts[row] : ends[row]]
        shown = line[: 4 * _LONGEST_TEXT].decode("utf-8", "replace")[:_LONGEST_TEXT]
        known = (float(size) if np.isfinite(size) else None for size in (minutes[row], celsius[row]))
        listed.append(Skipped(int(lines[row]), shown, REASONS[reasons[row] - 1], *known))
    return tuple(listed)


def _counts(reasons, late):
    found = Counter(reasons.tolist())
    return {"rows": reasons.size, "kept": found[0], "skipped": reasons.size - found[0], "out of order": late,
            "reasons": {name: found[code] for code, name in enumerate(REASONS, start=1) if found[code]}}  # fmt: skip


def _why(reasons):
    found = _counts(reasons, 0)["reasons"]
    return f" ({', '.join(f'{count} × {name}' for name, count in found.items())})" if found else ""


def _spike_note(celsius, lines, reasons, rate):
    spikes = np.flatnonzero(reasons == _SPIKE)
    if not spikes.size:
        return ""
    hottest = spikes[np.argmax(celsius[spikes])]
    return (f"A spike is one reading that jumps more than {SPIKE_SIZE:g} K away and back faster than {rate}. The hottest one left out "
            f"is {celsius[hottest]:.0f} °C in line {lines[hottest]}.")  # fmt: skip
