"""Workbook 02: a kiln log of one's own, what was left out of it, and whether the powder got its time at heat."""

from functools import lru_cache
from pathlib import Path

import numpy as np

from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.heat.junction import JUNCTION
from labkit.heat.log import heat_report, printed_times
from labkit.heat.logfile import read_log
from labkit.heat.probe import probes
from labkit.heat.verdict import gap_text
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.panels.kiln import window_ends
from labkit.panels.texts import FileBox
from labkit.plots.course import degrees
from labkit.plots.log import log_picture
from labkit.units import Q, Range, as_range, certain, nominal, number, printed

PATH = "data/invented_firing_log.csv"
# For a workbook that was moved without its data: a firing in outline (invented).
OUTLINE = ("min;kiln °C (invented)\n0;19\n15;152\n30;264\n45;357\n60;430\n75;489\n90;533\n105;556\n120;549\n135;558\n150;551\n"
           "165;547\n180;556\n195;552\n210;549\n225;555\n240;548\n255;471\n270;404\n285;346\n300;296\n315;254\n")  # fmt: skip
EXAMPLE = "min;°C\n0;20\n60;430\n120;550\n180;552"
UNITS = {"as its heading says": None, "°C": "°C", "°F": "°F", "mV of type K": "mV"}
TIMES = {"as the log says": None, "minutes": "min", "hours": "h", "seconds": "s"}
DATES = {"as the log tells": None, "day before month": True, "month before day": False}
COLUMNS = {"found by its heading": None} | {f"number {place}": place for place in range(2, 11)}
_SHOWN = 12  # rows left out, and gaps, that are listed; all are counted
_LONGEST = 60  # signs of a row that are shown
# What read_log asks to be typed in a cell, as a panel has it.
_HINTS = (
    ("time_unit=", "The times are plain numbers, and no heading says of what. Choose minutes, hours or seconds under “Times as plain numbers are in”."),
    ("day_first=", "Day and month of the dates can't be told apart. Choose their order under “Dates are written”."),
    ("There is no column", "The log has no such column. Choose another one under “Column of temperatures”."),
    ("junction=", "The junction is where the probe meets the logger, at a room's temperature. Type for instance 20 °C."),
)  # fmt: skip
_WORDS = (
    ("Say which, as in column=2", "Choose one under “Column of temperatures”"),
    ("or give them: unit='°C', column=2", "and choose others if they are not those"),
    ("; give unit='°F' if they are not", "; choose another unit if they are not"),
    (" as you said", " as chosen"),
)


def log_answer(log, window, hold, probe, unit, junction, times, dates, column):
    """Return the Answer for a log.

    Parameters
    ----------
    log : (name, bytes or text)
    window : Range of [temperature]
    hold : quantity [time]
        The least time inside the window that is wanted.
    probe : str
        One of ``labkit.heat.probe.probes()``.
    unit, times, dates, column : str, str, bool, int or None
        As ``unit``, ``time_unit``, ``day_first`` and ``column`` of ``read_log``; None to take the log's word.
    junction : quantity or Range [temperature]
        For voltages.
    """
    name, content = log
    ends = window_ends(window)
    losses, lost = (number(value("firing", limit), "degC") for limit in ("losses", "lost"))
    if ends[1] > lost:
        raise RangeProblem(f"Above {lost:g} °C the powder is lost, so the window has to end below that.")
    # A text typed goes as bytes, so that it is never taken for the path of a file.
    raw = content.encode("utf-8", "replace") if isinstance(content, str) else content
    read, spikes = _reading(
        raw, unit, as_range(junction, "[temperature]", "junction").m_as("degC"), times, dates, column
    )
    report = heat_report(read, tuple(Q(end, "degC") for end in ends), probe=probe, hold=nominal(hold))
    verdict, counts = report.verdict, read.counts
    level = verdict.level.replace(": ", ", and ").capitalize()
    peak = f"{number(report.peak.likely, 'degC'):.0f} °C"
    out = f"{counts['skipped']} of {counts['rows']} rows were left out" if counts["skipped"] else "No row was left out"
    holes = f", and {_gap_words(read)}" if read.gaps and _gap_words(read) not in verdict.sentence else ""
    sentence = f"{level}: {verdict.sentence} The peak was {peak}. {out}{holes}."
    named = f"{degrees(ends[0])} to {degrees(ends[1])} °C"
    alt = (f"Temperature against time of {name}, over {_time(read.trace.duration)}: it peaks at {peak} after {_time(report.peak_time)} "
           f"and is inside the band from {named} for {printed_times(report.inside)}; {len(read.gaps)} gaps, and {spikes[0].size} "
           "readings left out as open marks.")  # fmt: skip
    svg = log_picture(read.trace, ends, (losses, lost), spikes, alt)
    return Answer(sentence, svg, _table(name, read, report), cautions("firing", "kiln"))


def _reading(raw, unit, junction, times, dates, column):
    """Return (KilnLog, readings left out as spikes); LabError in the words of the panel."""
    found, problem = _read(raw, unit, junction, times, dates, column)
    if problem:
        raise ReadingProblem(problem)
    return found


@lru_cache(8)  # a window that moves does not read the file again
def _read(raw, unit, junction, times, dates, column):
    """Return ((KilnLog, spikes), "") or (None, what is wrong with the log)."""
    junction = Range(*(Q(end, "degC") for end in junction))
    settings = {"unit": unit, "junction": junction, "time_unit": times, "day_first": dates, "column": column}
    try:
        read = read_log(raw, **settings)
        return (read, _spikes(read)), ""
    except LabError as problem:
        return None, next((words for sign, words in _HINTS if sign in str(problem)), _reworded(str(problem)))


def _reworded(text):
    for given, shown in _WORDS:
        text = text.replace(given, shown)
    return text


def _spikes(read):
    """Return the times (min) and readings (°C) of the spikes that are listed."""
    found = [(one.minutes, one.celsius) for one in read.skipped if one.reason == "spike"]
    return tuple(np.array(found, dtype=float).reshape(-1, 2).T)


def _gap_words(read):
    return gap_text(len(read.gaps), read.trace.gap_time)


def _time(time):
    return printed_times(certain(time))


def _table(name, read, report):
    counts = read.counts
    rows = [("What", "How much")]
    rows += [(what, text) for what, text in report.rows()]
    rows.append((f"What was read from {name}:", ""))
    rows.append(("rows", f"{counts['rows']} read, {counts['kept']} kept, {counts['skipped']} left out"))
    rows += [(f"left out: {reason}", f"{count}") for reason, count in counts["reasons"].items() if count]
    rows += [(f"line {one.row}", f"“{_short(one.text)}”: {one.reason}") for one in read.skipped[:_SHOWN]]
    if counts["skipped"] > _SHOWN:
        rows.append(("and", f"{counts['skipped'] - _SHOWN} more lines left out"))
    if counts["out of order"]:
        rows.append(("out of order", f"{counts['out of order']}, sorted by time"))
    rows += [("gap", f"from {_time(start)} to {_time(end)} after the start") for start, end in read.gaps[:_SHOWN]]
    if len(read.gaps) > _SHOWN:
        rows.append(("and", f"{len(read.gaps) - _SHOWN} more gaps"))
    for note in read.notes:
        what, _, words = note.partition(": ") if ": " in note[:20] else ("note", "", note)
        rows.append((what.lower(), _reworded(words)))
    rows.append(("probe", f"{_probe_words(report)} The ranges above are what that leaves open."))
    return tuple(rows)


def _probe_words(report):
    if report.probe == "unknown":
        return "Its grade is not known: taken as our guess, from memory."
    return f"{report.probe}, as bought; heat makes it drift."


def _short(text):
    tidy = "".join(sign if sign.isprintable() else "□" for sign in text.replace("\t", " ").replace("\x1f", " "))
    return tidy if len(tidy) <= _LONGEST else f"{tidy[:_LONGEST]}…"


def given_log(path=PATH):
    """Return the log that comes with the workbook as {words: bytes}, or an outline of one if it is not there."""
    try:
        found = Path(path).read_bytes()
    except (OSError, ValueError):
        found = b""
    return {"the invented log": found} if found else {"an invented log in outline": OUTLINE.encode()}


def log_panel(path=PATH):
    """Return the panel of workbook 02 that reads a log.

    ``path`` is that of the log shown first, from the folder of the workbook; an invented outline stands in
    if there is none.
    """
    hold = value("firing", "hold")
    window = (f"{degrees(number(value('firing', 'window low'), 'degC'))} to "
              f"{degrees(number(value('firing', 'window high'), 'degC'))} °C")  # fmt: skip
    controls = {
        "log": FileBox("Log", given_log(path), EXAMPLE),
        "window": TypedBox("Window", window, "[temperature]", ranged=True,
                           hint="where the powder forms: 520\u00a0to\u00a0580\u00a0°C"),
        "hold": TypedBox("Time wanted inside it", printed(hold, 1), "[time] > 0"),
        "probe": Choice("Grade of the probe", probes(), "unknown"),
        "unit": Choice("Temperatures are in", UNITS, "as its heading says"),
        "junction": TypedBox("Junction, for mV", JUNCTION, "[temperature]", ranged=True,
                             hint="where the probe ends; 0 °C if the logger adds it"),
        "times": Choice("Times as plain numbers are in", TIMES, "as the log says"),
        "dates": Choice("Dates are written", DATES, "as the log tells"),
        "column": Choice("Column of temperatures", COLUMNS, "found by its heading"),
    }  # fmt: skip
    return Panel("Did the powder get its time at heat?", controls, log_answer)
