"""A firing schedule from a few words a step: rises, holds and cooling, with its times and its course."""

from dataclasses import dataclass
from html import escape

import numpy as np

from labkit.data import guess, value
from labkit.data.cautions import cautions
from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.heat.trace import Trace
from labkit.units import Q, checked, nominal, number, printed, read, refuse_array, wrapped

LONGEST_STEP = 80  # characters
MOST_STEPS = 100
SHORTEST = 1 / 60  # min
LONGEST = 60 * 24 * 60.0  # min; our choice of where a firing ends
HOTTEST = 2000.0  # °C; our choice
NEAR = 0.5  # K between a straight line and the curve of natural cooling; half of the 1 K that is promised
_EXAMPLES = (
    "“to 550 °C at 5 °C/min”, “to 550 °C in 2 h”, “hold 3 h”, “cool to 60 °C at 2 °C/min”, “cool to 60 °C with 80 min”"
)


@dataclass(frozen=True)
class Step:
    """One step as understood: its text, kind, start, end and duration.

    ``kind`` is ``"ramp"``, ``"hold"`` or ``"natural"`` (cooling with the power off); ``time_constant``
    belongs to the last.
    """

    text: str
    kind: str
    start: object
    end: object
    duration: object
    time_constant: object = None


@dataclass(frozen=True, repr=False)
class Schedule:
    """A firing schedule: ``steps``, ``duration``, ``trace``.  Print it for the page with its cautions."""

    steps: tuple
    ambient: object

    @property
    def duration(self):
        """Time of all steps; quantity [time]."""
        return Q(sum(number(step.duration, "min") for step in self.steps), "min").to("h")

    @property
    def trace(self):
        """The course as a Trace; natural cooling is cut into straight lines within 1 K of the curve."""
        minutes, celsius = [np.array([0.0])], [np.array([number(self.steps[0].start, "degC")])]
        begun = 0.0
        for step in self.steps:
            passed, reading = _points(step, number(self.ambient, "degC"))
            minutes.append(begun + passed)
            celsius.append(reading)
            begun = float(minutes[-1][-1])
        return Trace(np.concatenate(minutes), np.concatenate(celsius))

    def lines(self):
        """Return the rows of the table: (step, from, to, takes, done after), all text."""
        rows, passed = [], 0.0
        for step in self.steps:
            passed += number(step.duration, "min")
            readings = [f"{number(end, 'degC'):.0f} °C" for end in (step.start, step.end)]
            rows.append((step.text, *readings, _clock(number(step.duration, "min")), _clock(passed)))
        return rows

    def page(self):
        """Return the schedule as text, without the cautions."""
        rows = [_HEADS, *self.lines()]
        widths = [max(len(row[column]) for row in rows) for column in range(len(_HEADS))]
        lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip() for row in rows]
        return "\n".join([*lines, f"In all {_clock(number(self.duration, 'min'))} (h:min)."])

    def cautions(self):
        """Return the cautions that belong to a firing and to a kiln."""
        return cautions("firing", "kiln")

    def __repr__(self):
        return self.page()

    def __str__(self):
        return f"{self.page()}\n\nCautions\n{wrapped(self.cautions(), hanging='  ')}"

    def _repr_html_(self):
        left = 'style="text-align:left;padding:4px 14px 4px 0"'
        head = "".join(f"<th {left}>{escape(cell)}</th>" for cell in _HEADS)
        body = "".join(
            "<tr>" + "".join(f"<td {left}>{escape(cell)}</td>" for cell in row) + "</tr>" for row in self.lines()
        )
        total = f"<p>In all {_clock(number(self.duration, 'min'))} (h:min).</p>"
        return f"<table><tr>{head}</tr>{body}</table>{total}{self.cautions()._repr_html_()}"


_HEADS = ("step", "from", "to", "takes", "done after")


def _clock(minutes):
    """Return minutes as hours and minutes: 2:05."""
    whole = round(minutes)
    return f"{whole // 60}:{whole % 60:02d}" if whole or not minutes else "under a minute"


def _points(step, ambient):
    """Return the minutes from the start of a step, and the readings, of the points that follow it."""
    length, last = number(step.duration, "min"), number(step.end, "degC")
    if step.kind != "natural":
        return np.array([length]), np.array([last])
    tau, far = number(step.time_constant, "min"), number(step.start, "degC") - ambient
    # A chord of width h leaves the curve by at most h²/8 of its bend, far/tau².
    count = max(int(np.ceil(length / tau * np.sqrt(far / (8 * NEAR)))), 1)
    passed = np.linspace(0, length, count + 1)[1:]
    reading = ambient + far * np.exp(-passed / tau)
    reading[-1] = last
    return passed, reading


def schedule(*steps, start="20 °C", ambient="20 °C"):
    """Return the Schedule that steps in words describe.

    Parameters
    ----------
    *steps : str
        ``"to 550 °C at 5 °C/min"`` (up or down), ``"to 550 °C in 2 h"``, ``"hold 3 h"``,
        ``"cool to 60 °C at 2 °C/min"``, and ``"cool to 60 °C with 80 min"``: natural cooling with
        that time constant.  ``"heat to"`` and ``"ramp to"`` are understood for ``"to"``.
    start : quantity [thermometer reading] or text
        Where the first step begins.
    ambient : quantity [thermometer reading] or text
        The air that natural cooling heads for.

    Raises
    ------
    ReadingProblem
        If a step can't be understood; the message names it and says what to type.
    RangeProblem
        If a step is impossible: it cools upward, is shorter than a second or longer than 60 days, or has a ±.
    UnitProblem
        If start or ambient is no reading.

    Examples
    --------
    >>> schedule("to 550 °C at 5 °C/min", "hold 3 h", "cool to 60 °C with 80 min")
    step                       from    to      takes  done after
    to 550 °C at 5 °C/min      20 °C   550 °C  1:46   1:46
    hold 3 h                   550 °C  550 °C  3:00   4:46
    cool to 60 °C with 80 min  550 °C  60 °C   3:27   8:13
    In all 8:13 (h:min).
    """
    start, ambient = (
        _one(checked(reading, "[temperature]", name, "schedule"), f"‘{name}’ of schedule()")
        for reading, name in ((start, "start"), (ambient, "ambient"))
    )
    refuse_array("schedule", start=start, ambient=ambient)
    if not 1 <= len(steps) <= MOST_STEPS:
        raise LabError(f"schedule() takes 1 to {MOST_STEPS} steps. Type for instance {_EXAMPLES}.")
    done, at, minutes = [], number(start, "degC"), 0.0
    _refuse_heat(at, "The start")
    for place, text in enumerate(steps, start=1):
        step = _step(text, at, number(ambient, "degC"), f"Step {place}, {_quoted(text)}")
        done.append(step)
        at = number(step.end, "degC")
        minutes += number(step.duration, "min")
        if minutes > LONGEST:
            raise RangeProblem(f"Step {place}, {_quoted(text)}, brings the schedule over 60 days. Check its units.")
    return Schedule(tuple(done), ambient)


def _quoted(text):
    short = str(text)[:40]
    return f"“{''.join(mark if mark.isprintable() else '□' for mark in short)}”"


def _step(text, at, ambient, name):
    """Return the Step that a text describes, which begins at ``at`` °C."""
    if not isinstance(text, str) or len(text) > LONGEST_STEP:
        raise ReadingProblem(f"{name}, is not a step. Type a text such as {_EXAMPLES}.")
    words = text.split()
    first = words[0].lower() if words else ""
    if first == "hold":
        rest = words[2:] if len(words) > 1 and words[1].lower() == "for" else words[1:]
        return _made(text, "hold", at, at, number(_value(rest, "[time]", name), "min"), name)
    cools = first == "cool"
    rest = words[1:] if first in ("cool", "heat", "ramp") else words
    joints = [place for place, word in enumerate(rest) if word.lower() in ("at", "in", "with")]
    if not rest or rest[0].lower() != "to" or len(joints) != 1:
        raise ReadingProblem(f"{name}, can't be understood. Type a step such as {_EXAMPLES}.")
    joint = joints[0]
    target = number(_value(rest[1:joint], "[temperature]", name), "degC")
    _refuse_heat(target, name)
    if target == at:
        raise RangeProblem(f"{name}, begins at {at:g} °C already. Type for instance “hold 3 h”.")
    if cools and target > at or first == "heat" and target < at:
        raise RangeProblem(f"{name}, begins at {at:g} °C, so it would {'heat' if cools else 'cool'}. "
                           f"Type “to {target:g} °C” with a rate or a time.")  # fmt: skip
    how, tail = rest[joint].lower(), rest[joint + 1 :]
    if how == "at":
        minutes = abs(target - at) / _positive(number(_value(tail, "[temperature rate]", name), "delta_degC/min"), name)
    elif how == "in":
        minutes = number(_value(tail, "[time]", name), "min")
    elif not cools:
        raise ReadingProblem(f"{name}: “with” a time constant is for natural cooling. Type “cool to 60 °C with 80 min”, "
                             "or “in” for a time.")  # fmt: skip
    else:
        return _natural(text, at, target, ambient, _positive(number(_value(tail, "[time]", name), "min"), name), name)
    return _made(text, "ramp", at, target, minutes, name)


def _natural(text, at, target, ambient, tau, name):
    if target <= ambient:
        raise RangeProblem(f"{name}: with the power off it only comes ever closer to the air around it at {ambient:g} °C and never "
                           f"gets to {target:g} °C. Choose a reading above that.")  # fmt: skip
    minutes = tau * float(np.log((at - ambient) / (target - ambient)))
    return _made(text, "natural", at, target, minutes, name, Q(tau, "min"))


def _made(text, kind, at, target, minutes, name, tau=None):
    if not SHORTEST <= minutes <= LONGEST:
        raise RangeProblem(f"{name}, would take {printed(Q(minutes, 'min'))}; a step takes from a second to 60 days. "
                           "Check its units.")  # fmt: skip
    return Step(" ".join(text.split()), kind, Q(at, "degC"), Q(target, "degC"), Q(minutes, "min"), tau)


def _value(words, need, name):
    """Return the quantity that a part of a step stands for; a schedule runs one way, so a ± is refused."""
    return _one(read(" ".join(words), need, name), f"{name},")


def _one(given, name):
    if nominal(given) is not given:
        raise RangeProblem(f"{name} needs one plain value, without ±. Make a schedule for each end instead.")
    return given


def _positive(size, name):
    if not size > 0:
        raise RangeProblem(f"{name}, needs a rate or a time of more than zero. Type for instance {_EXAMPLES}.")
    return size


def _refuse_heat(reading, name):
    if not -273.15 <= reading <= HOTTEST:
        raise RangeProblem(f"{name}: {reading:g} °C is no reading of a bench kiln, which ends at {HOTTEST:g} °C.")


def usual_schedule(rate=None, hold=None, time_constant=None):
    """Return the Schedule of a usual firing: to about 550 °C, hold, natural cooling to 60 °C.

    The aim and the hold are common practice (firing.csv, holds.csv).  The rate, likely 3 °C/min, and
    the time constant of cooling, likely 80 min, are from memory: fit your own kiln.

    Parameters
    ----------
    rate : quantity [temperature rate] or text, optional
    hold, time_constant : quantity [time] or text, optional

    Raises
    ------
    UnitProblem, ReadingProblem, RangeProblem
        As ``schedule`` does.

    Examples
    --------
    >>> [step.text for step in usual_schedule(rate="5 °C/min").steps]
    ['to 550 °C at 5 °C/min', 'hold 3 h', 'cool to 60 °C with 80 min']
    """
    rate = (
        guess("holds", "ramp").likely
        if rate is None
        else checked(rate, "[temperature rate] > 0", "rate", "usual_schedule")
    )
    hold = guess("holds", "hold").likely if hold is None else checked(hold, "[time] > 0", "hold", "usual_schedule")
    tau = guess("holds", "time constant").likely if time_constant is None else checked(
        time_constant, "[time] > 0", "time_constant", "usual_schedule")  # fmt: skip
    refuse_array("usual_schedule", rate=rate, hold=hold, time_constant=tau)
    for name, given in (("rate", rate), ("hold", hold), ("time_constant", tau)):
        _one(given, f"‘{name}’ of usual_schedule()")
    aim = number(value("firing", "aim"), "degC")
    per_minute, hours, minutes = number(rate, "delta_degC/min"), number(hold, "h"), number(tau, "min")
    return schedule(
        f"to {aim:g} °C at {per_minute:g} °C/min", f"hold {hours:g} h", f"cool to 60 °C with {minutes:g} min"
    )
