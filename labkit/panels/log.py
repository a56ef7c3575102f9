"""Workbook 02: a kiln log of one's own, what was left out of it, and whether the powder got its time at heat."""

from functools import lru_cache
from pathlib import Path

import numpy as np

from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import LabError, ReadingProblem
from labkit.heat.junction import HIGHEST, JUNCTION, LOWEST, guessed_junction
from labkit.heat.log import heat_report, printed_times
from labkit.heat.logfile import log_columns, read_log
from labkit.heat.probe import probes
from labkit.heat.verdict import gap_text
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.panels.kiln import WindowBox, window_ends
from labkit.panels.texts import FileBox
from labkit.plots.course import degrees, limit_words
from labkit.plots.log import log_picture, reach
from labkit.units import Q, Range, as_range, certain, number, printed

PATH = "data/invented_firing_log.csv"
# For a workbook that was moved without its data: a firing in outline (invented).
OUTLINE = ("min;kiln °C (invented)\n0;19\n15;152\n30;264\n45;357\n60;430\n75;489\n90;533\n105;556\n120;549\n135;558\n150;551\n"
           "165;547\n180;556\n195;552\n210;549\n225;555\n240;548\n255;471\n270;404\n285;346\n300;296\n315;254\n")  # fmt: skip
EXAMPLE = "min;°C\n0;20\n10;101\n20;171\n30;233"
UNITS = {"as its heading says": None, "°C": "°C", "°F": "°F", "mV of type K": "mV"}
TIMES = {"as the log says": None, "minutes": "min", "hours": "h", "seconds": "s"}
DATES = {"as the log tells": None, "day before month": True, "month before day": False}
FOUND = "found by its heading"
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
    read, spikes = _reading(_raw(content), unit, _span(junction), times, dates, column)
    report = _report(read, ends, probe, number(hold, "min"))
    verdict, counts = report.verdict, read.counts
    level = verdict.level.replace(": ", ", and ").capitalize()
    peak = f"{number(report.peak.likely, 'degC'):.0f} °C"
    # A few readings that happen to be possible are no peak.
    top = "" if read.impossible else f" The peak was {peak}."
    out = f"{counts['skipped']} of {counts['rows']} rows were left out" if counts["skipped"] else "No row was left out"
    holes = f", and {_gap_words(read)}" if read.gaps and _gap_words(read) not in verdict.sentence else ""
    sentence = f"{level}: {verdict.sentence}{top} {out}{holes}.{_junction_words(read, unit, junction)}"
    named = f"{degrees(ends[0])} to {degrees(ends[1])} °C"
    drawn = [limit for limit in (losses, lost) if limit < reach(read.trace, ends)[1]]
    alt = (f"Temperature against time of {name}, over {_time(read.trace.duration)}: it peaks at {peak} after {_time(report.peak_time)} "
           f"and is inside the band from {named} for {printed_times(report.inside)}; {_many(len(read.gaps), 'gap')}, and "
           f"{_many(spikes[0].size, 'reading')} left out as open marks.{limit_words(drawn, losses)}")  # fmt: skip
    svg = log_picture(read.trace, ends, (losses, lost), spikes, alt)
    return Answer(sentence, svg, _table(name, read, report), cautions("firing", "kiln"))


def _raw(content):
    """Return the bytes of a log; a text typed goes as bytes, so that it is never taken for the path of a file."""
    return content.encode("utf-8", "replace") if isinstance(content, str) else content


def _span(junction):
    return as_range(junction, "[temperature]", "junction").m_as("degC")


def _junction_words(read, unit, junction):
    """Return a sentence on a junction of one's own that changes nothing as the log has no voltages, or nothing.

    Of a unit that was chosen the box itself says so.
    """
    if unit or read.unit == "mV" or _span(junction) == guessed_junction().m_as("degC"):
        return ""
    return f" The junction of {as_range(junction, '[temperature]')} is not used: the readings are in {read.unit}, not in mV."


def _many(count, what):
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def _reading(raw, unit, junction, times, dates, column):
    """Return (KilnLog, readings left out as spikes); LabError in the words of the panel."""
    found, problem = _read(raw, unit, junction, times, dates, column)
    if problem:
        raise ReadingProblem(problem)
    return found


@lru_cache(2)  # a window that moves does not read the file again; more would keep many large files
def _read(raw, unit, junction, times, dates, column):
    """Return ((KilnLog, spikes), "") or (None, what is wrong with the log)."""
    junction = Range(*(Q(end, "degC") for end in junction))
    settings = {"unit": unit, "junction": junction, "time_unit": times, "day_first": dates, "column": column}
    try:
        read = read_log(raw, **settings)
        return (read, _spikes(read)), ""
    except LabError as problem:
        return None, next((words for sign, words in _HINTS if sign in str(problem)), _reworded(str(problem)))


@lru_cache(2)  # a large log takes its time, and other controls leave its report alone
def _report(read, ends, probe, hold):
    return heat_report(read, tuple(Q(end, "degC") for end in ends), probe=probe, hold=Q(hold, "min"))


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
    rows += [] if read.impossible else report.rows()
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
    if not read.impossible:
        rows.append(("probe", f"{_probe_words(report)} The ranges above are what that leaves open."))
    return tuple(rows)


def _probe_words(report):
    if report.probe == "unknown":
        return "Its grade is not known: taken as our guess, from memory."
    return f"{report.probe}, as bought; heat makes it drift."


def _short(text):
    tidy = "".join(sign if sign.isprintable() else "□" for sign in text.replace("\t", " ").replace("\x1f", " "))
    return tidy if len(tidy) <= _LONGEST else f"{tidy[:_LONGEST]}…"


class ColumnChoice(Choice):
    """A list of the columns that a log has, which follows the log."""

    def __init__(self, label, files):
        self._files, self._columns = files, {}
        super().__init__(label, self._offered(), FOUND)
        files.on_change(self._follow)

    def _offered(self):
        """Return the words for each column, with its number."""
        try:
            self._columns = log_columns(_raw(self._files.value[1]))
        except LabError:  # what is wrong with the log is told beside it
            self._columns = {}
        return {FOUND: None} | {
            f"{place}" + (f", “{_short(name)}”" if name else ""): place for place, name in self._columns.items()
        }

    def _follow(self):
        self._values = self._offered()
        if list(self._values) != list(self.box.options):
            chosen = self.box.value if self.box.value in self._values else FOUND
            # One change in all: in between, an answer would be given for a column that is not chosen.
            with self.box.hold_trait_notifications():
                self.box.options = list(self._values)
                self.box.value = chosen


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

    files = FileBox("Log", given_log(path), EXAMPLE)
    controls = {
        "log": files,
        "window": WindowBox("Window", window, "[temperature]", ranged=True,
                            hint="where the powder forms: 520\u00a0to\u00a0580\u00a0°C"),
        "hold": TypedBox("Time wanted inside it", printed(hold, 1), "[time] > 0"),
        "probe": Choice("Grade of the probe", probes(), "unknown"),
        "unit": Choice("Temperatures are in", UNITS, "as its heading says"),
        "junction": TypedBox("Junction, for mV", JUNCTION, "[temperature]", name="The junction", ranged=True, least=f"{LOWEST:g} °C", most=f"{HIGHEST:g} °C",
                             hint="where the probe ends; 0 °C if the logger adds it"),
        "times": Choice("Times as plain numbers are in", TIMES, "as the log says"),
        "dates": Choice("Dates are written", DATES, "as the log tells"),
        "column": ColumnChoice("Column of temperatures", files),
    }  # fmt: skip
    controls["junction"].used_with(controls["unit"], *(words for words, unit in UNITS.items() if unit in (None, "mV")))
    return Panel("Did the powder get its time at heat?", controls, log_answer)
