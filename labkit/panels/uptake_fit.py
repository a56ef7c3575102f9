"""An isotherm or a course in time of one's own: how much the powder takes up, how long that takes, and whether it can be told."""

import re
from dataclasses import replace
from functools import lru_cache

from labkit.errors import LabError, ReadingProblem
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.panels.texts import FileBox, given_files, without_code
from labkit.plots.uptake_fit import uptake_fit_picture, uptake_fit_words
from labkit.units import Q, number, number_text, printed
from labkit.uptake import isotherm_report, kinetics_report, linearised, read_isotherm, read_kinetics

FOLDER = "data"
ISOTHERM, COURSE = "isotherm", "kinetics"
GIVEN = {  # words for readings that come with the workbook, and their file
    "isotherm, nine jars (invented)": "invented_isotherm_clean.csv",
    "isotherm, six jars in a hurry (invented)": "invented_isotherm_few.csv",
    "isotherm, thin solutions alone (invented)": "invented_isotherm_short.csv",
    "in time, to the end (invented)": "invented_kinetics_clean.csv",
    "in time, stopped early (invented)": "invented_kinetics_stopped.csv",
    "in time, typed off roughly (invented)": "invented_kinetics_messy.csv",
}
# For a workbook that was moved without its data: an isotherm in outline (invented).
OUTLINE_NAME = "an invented isotherm in outline"
OUTLINE = "c / mg/L;q / mg/g (invented)\n1.6;1.8\n4.1;4.6\n8.3;7.5\n15.2;10.3\n27.5;12.7\n46;14.6\n71;15.5\n118;16.6\n176;17.3\n"
EXAMPLE = "c / mg/L;q / mg/g\n4.1;4.7\n15;10.3\n46;14.5\n118;16.3"
KINDS = {"as its heading says": None, "a concentration": ISOTHERM, "a time": COURSE}
_TIME = re.compile(
    r"(?<![a-z/])(?:t|time|elapsed|clock|s|secs?|seconds?|min|mins|minutes?|h|hrs?|hours?|d|days?)(?![a-z/])"
)
_CONCENTRATION = re.compile(r"mg/l|mol/l|g/l|(?<![a-z])(?:c[0e1]?|conc|concentration|start|initial)(?![a-z])")
_CLOCK = re.compile(r"\s*(?:[0-9-]{10}[T ])?[0-9]{1,2}:[0-9]{2}\b")
_HINTS = (
    ("places=", "Write over each column what it is: c / mg/L or min, and q / mg/g."),
    ("units=", "Write the unit into the heading, such as c / mg/L or q / mg/g."),
    ("formula=", "Write all concentrations as masses (mg/L), or all as amounts (mmol/L)."),
    ("start=", "Add a row for time zero with the concentration before the powder came in."),
)
_WORKED_OUT = "× volume / powder mass"
_SHOWN = 8  # rows left out that are listed; all are counted


def uptake_fit_answer(readings, kind, volume, powder_mass, check):
    """Return the Answer for readings.

    Parameters
    ----------
    readings : (name, bytes or text)
    kind : str or None
        ``ISOTHERM`` or ``COURSE``; None to take the heading's word.
    volume, powder_mass : quantities
        Of the liquid and the powder in each jar, where the table holds concentrations and no uptake.
    check : quantity [time]
        A time that may or may not be enough, for a course.
    """
    name, content = readings
    raw = content.encode("utf-8", "replace") if isinstance(content, str) else content
    report, read, problem = _known(raw, kind, number(volume, "mL"), number(powder_mass, "g"))
    if problem:
        raise ReadingProblem(f"{name}: {problem}")
    if hasattr(report, "first"):
        report = replace(report, checked=check)
    sentence = report.sentence()
    if any(_WORKED_OUT in note for note in read.notes) and not {"volume", "powder mass"} <= set(read.columns):
        sentence = f"With {printed(volume, 3)} of liquid and {printed(powder_mass, 3)} of powder in a jar: {sentence}"
    return Answer(
        sentence, uptake_fit_picture(report, uptake_fit_words(report)), _table(name, report, read), report.cautions()
    )


@lru_cache(24)  # a time to check does not fit the curves again
def _known(raw, kind, millilitres, grams):
    """Return (report, Readings, what is wrong)."""
    try:
        jar = {"volume": Q(millilitres, "mL"), "powder_mass": Q(grams, "g")}
        kind = kind or _kind(raw)
        read = read_isotherm(raw, **jar) if kind == ISOTHERM else read_kinetics(raw, **jar)
        return (isotherm_report if kind == ISOTHERM else kinetics_report)(read), read, ""
    except LabError as trouble:
        return None, None, _reworded(str(trouble))


def _kind(raw):
    """Return whether a table is an isotherm or a course in time, by its heading or its clock times."""
    lines = [
        line
        for line in raw[:4000].decode("utf-8", "replace").splitlines()
        if line.strip() and not line.lstrip().startswith("#")
    ]
    head = lines[0].lower() if lines else ""
    if _TIME.search(head) or (len(lines) > 1 and _CLOCK.match(lines[1])) or _CLOCK.match(head):
        return COURSE
    if _CONCENTRATION.search(head):
        return ISOTHERM
    raise ReadingProblem(
        "No heading says whether the first column is a concentration or a time. Choose it under “The first column is”."
    )


def _reworded(text):
    text = re.sub(r"read_\w+\(\) needs", "A table needs", text)
    text = re.sub(r"read_\w+\(\) could read (\d+) rows?;", r"Rows that could be read: \1;", text)
    return without_code(text, _HINTS)


def _table(name, report, read):
    isotherm = hasattr(report, "langmuir")
    fits = (report.langmuir, report.freundlich) if isotherm else (report.first, report.second)
    rows = [("What", *(fit.curve.name for fit in fits)), *report.rows(), *_lines(fits)]
    if isotherm:
        rows += [("What others measured, all from water:", "", ""), *report.published()]
    rows += [
        (f"What was read from “{name}”:", "", ""),
        ("rows", f"{read.rows} read, {len(read)} kept, {read.left_out} left out", ""),
    ]
    rows += [(f"line {line}", f"“{_short(text)}”: {reason}", "") for line, text, reason in read.skipped[:_SHOWN]]
    if read.left_out > _SHOWN:
        rows.append(("and", f"{read.left_out - _SHOWN} more lines left out", ""))
    for note in read.notes:
        what, _, words = note.partition(": ")
        rows.append((what.lower(), words, "") if words else ("note", note, ""))
    return tuple(rows) + tuple(("note", note, "") for note in report.remarks)


@lru_cache(24)
def _lines(fits):
    """Return rows of what straight lines give, to see why not."""
    rows = []
    for place, fit in enumerate(fits):
        try:
            found = linearised(fit.curve, fit.x, fit.y).lines
        except LabError:  # too few readings above zero, or a curve that no line stands for
            continue
        for line in found:
            text = ", ".join(f"{what} {number_text(size, 3)}" for what, size in line.parameters.items())
            rows.append((f"{line.axes}", *("" if other != place else text for other in range(2))))
    return [("By straight lines, only to see why not:", "", ""), *rows] if rows else []


def _short(text):
    return "".join(sign if sign.isprintable() else "□" for sign in text.replace("\t", " "))[:60]


def given_readings(folder=FOLDER):
    """Return the readings that come with the workbook as {words: bytes}, or an invented outline if none are there."""
    return given_files(folder, GIVEN) or {OUTLINE_NAME: OUTLINE.encode()}


def uptake_fit_panel(folder=FOLDER):
    """Return the panel of workbook 06 that fits an isotherm or a course in time.

    ``folder`` is that of the readings shown first, from the folder of the workbook; an invented outline stands in if they are not there.
    """
    controls = {
        "readings": FileBox("Readings", given_readings(folder), EXAMPLE, "concentration or time, uptake", "read_isotherm"),
        "kind": Choice("The first column is", KINDS, next(iter(KINDS))),
        "check": TypedBox("Is this time enough?", "4 h", "[time] > 0", name="the time", hint="for readings in time, such as 90 min", least="1 s", most="1000 h"),
        "volume": TypedBox("Liquid in each jar", "25 mL", "[volume] > 0", hint="if no uptake was written down", least="0.01 mL", most="100 L"),
        "powder_mass": TypedBox("Powder in each jar", "0.2 g", "[mass] > 0", hint="if no uptake was written down", least="0.1 mg", most="10 kg"),
    }  # fmt: skip
    return Panel("How much goes in, how fast, and can it be told?", controls, uptake_fit_answer)
