"""What urea goes through on the way to the powder, and what a course of temperature says about it.

Temperatures at which things were seen, and no more.  No yield is computed from a course: the published rate
constants at hand stop before carbon nitride, and none was found here for its last steps.
"""

from dataclasses import dataclass

import numpy as np

from labkit.data import guess, row, sources, table, value
from labkit.heat.kiln import trace_of
from labkit.heat.log import KilnLog, shown_reading
from labkit.heat.probe import grade_of
from labkit.units import Q, Range, clock_text, number, printed

NO_RATES = ("No yield is computed from this course: no published rate constants were found here that reach carbon nitride. "
            "Weigh the powder.")  # fmt: skip


@dataclass(frozen=True)
class Stage:
    """A stage of the firing: where it starts and ends (None if that is open), where it was seen, and the source.

    ``kind`` is as in the data: ``published`` or ``from memory``.
    """

    name: str
    starts: object
    ends: object
    where: str
    kind: str
    source: str
    note: str

    def __str__(self):
        reach = f"from {number(self.starts, 'degC'):g} °C"
        reach = (
            f"{number(self.starts, 'degC'):g} to {number(self.ends, 'degC'):g} °C" if self.ends is not None else reach
        )
        return f"{self.name}, {reach} ({self.kind})"


@dataclass(frozen=True)
class StageTime:
    """When a course first rises into a stage, None if it never does, and how long it is in it, cooling included."""

    stage: Stage
    entered: object
    inside: object

    def __str__(self):
        if self.entered is None:
            return f"{self.stage.name}: not reached"
        return f"{self.stage.name}: entered at {printed(self.entered)}, {printed(self.inside)} {'in it' if self.stage.ends is not None else 'above it'}"


def stages():
    """Return the stages of urea on the way up, as a list of Stage, lowest first.

    >>> for stage in stages()[:3]:
    ...     print(stage)
    urea melts, from 132.7 °C (published)
    urea decomposes, from 133 °C (published)
    ammonia and isocyanic acid come off, from 152 °C (published)
    """
    return [
        Stage(
            row["name"],
            Q(float(row["starts"]), row["unit"]),
            Q(float(row["ends"]), row["unit"]) if row["ends"] else None,
            row["where"],
            row["kind"],
            sources()[row["source"]]["text"],
            row["note"],
        )
        for row in table("stages")
    ]


def stage_times(firing):
    """Return when a course enters each stage on the way up and how long it is in it, as a list of StageTime.

    The probe's reading is taken for the powder's; the middle of a full crucible comes later.

    Parameters
    ----------
    firing : Schedule, log, Course or Trace
        Gaps of a log that are too long to say what happened are not counted.

    Raises
    ------
    LabError
        If it carries no trace.

    Examples
    --------
    >>> from labkit.heat.schedule import schedule
    >>> print(stage_times(schedule("to 550 °C at 5 °C/min", "hold 3 h"))[0])
    urea melts: entered at 22.5 min, 4.39 h above it
    """
    trace = trace_of(firing)
    found = []
    for stage in stages():
        inside = (
            trace.time_inside(stage.starts, stage.ends) if stage.ends is not None else trace.time_above(stage.starts)
        )
        found.append(StageTime(stage, _entered(trace, number(stage.starts, "degC")), inside))
    return found


def _entered(trace, limit):
    """Return the time of the first point above ``limit``, solved on the straight line before it."""
    celsius, minutes = trace.celsius, trace.minutes
    above = np.flatnonzero(celsius >= limit)
    if not above.size:
        return None
    first = int(above[0])
    if first == 0 or not trace.counted[first - 1]:  # it begins there, or rises in a gap: known from here on
        return Q(float(minutes[first]), "min")
    share = (limit - celsius[first - 1]) / (celsius[first] - celsius[first - 1])
    return Q(float(minutes[first - 1] + share * (minutes[first] - minutes[first - 1])), "min")


def heat_remarks(firing, covered=True):
    """Return what is to be said of a course, as a list of plain sentences, each with its source.

    Parameters
    ----------
    firing : Schedule, log, Course or Trace
        A log is warned of heat from as much below each limit as a probe of unknown grade may read too low.
    covered : bool
        True for a crucible under a loose lid, False for an open one.

    Raises
    ------
    LabError
        If it carries no trace.

    Examples
    --------
    >>> from labkit.heat.schedule import schedule
    >>> print(heat_remarks(schedule("to 450 °C at 5 °C/min", "hold 1 h"))[0])
    Too cool: it peaks at 450 °C and never gets to 520 °C, where the usual window begins (common practice).
    """
    trace = trace_of(firing)
    words = [_window_remark(trace), *_loss_remarks(trace, covered, firing), _gas_remark(trace)]
    if number(trace.gap_time, "min") > 0:
        words.append(
            f"{clock_text(trace.gap_time, np.ceil)} of the log are gaps in which nobody knows what happened; they are not counted."
        )
    return [word for word in [*words, NO_RATES] if word]


def _window_remark(trace):
    low, high = value("firing", "window low"), value("firing", "window high")
    window = f"{number(low, 'degC'):g} to {number(high, 'degC'):g} °C"
    usual: Range = guess("holds", "hold")
    usually = f"{number(usual.low, 'h'):g} to {number(usual.high, 'h'):g} h are usual ({usual.why.partition(':')[0]})"
    peak, inside = trace.peak[0], trace.time_inside(low, high)
    if number(peak, "degC") < number(low, "degC"):
        return (f"Too cool: it peaks at {printed(peak)} and never gets to {number(low, 'degC'):g} °C, where the usual "
                f"window begins ({row('firing', 'window low')['kind']}).")  # fmt: skip
    over, hold = trace.time_above(high), number(value("firing", "hold"), "min")
    spent = [number(time, "min") for time in (inside, over)]
    if spent[1] > spent[0] or spent[0] < hold <= sum(spent):  # not too little heat, but too much
        return (f"Above the window: it is {_clock(inside)} inside {window} and {_clock(over)} above it, where less powder "
                f"stays ({row('firing', 'window high')['kind']}).")  # fmt: skip
    if spent[0] < hold:
        hotter = f" and {_clock(over)} above it" if number(over, "min") >= 1 else ""
        return (f"Too short: it is {_clock(inside)} inside {window}{hotter}; {usually}. Half-way products may stay in the "
                "powder.")  # fmt: skip
    longer = (
        " It is longer than that, which costs powder." if number(inside, "h") > 1.25 * number(usual.high, "h") else ""
    )
    return f"It is {_clock(inside)} inside {window}; {usually}.{longer}"


def _loss_remarks(trace, covered, firing):
    lost, losses, bare = (value("firing", name) for name in ("lost", "losses", "open loss"))
    over = {name: trace.time_above(limit) for name, limit in (("lost", lost), ("losses", losses), ("open", bare))}
    kind = row("firing", "losses")["kind"]
    cyanide = f"Any firing may give some hydrogen cyanide, an overheated one more ({kind})."
    lid = f"where the powder is being lost even under a lid ({kind}). {cyanide}"
    may = {name: _may_be_above(trace, limit, firing) for name, limit in (("lost", lost), ("losses", losses))}
    words = []
    if number(over["lost"], "min") > 0:
        words.append(
            f"Too hot: it is {_clock(over['lost'])} above {_degrees(lost)}, where carbon nitride decomposes; {_source('lost')}"
        )
    elif may["lost"]:
        words.append(f"Too hot, perhaps: with a probe of unknown grade it may have been above {_degrees(lost)} for up to "
                     f"{may['lost']}, where carbon nitride decomposes; {_source('lost')}")  # fmt: skip
    if number(over["losses"], "min") > 0:
        words.append(f"It is {_clock(over['losses'])} above {_degrees(losses)}, {lid}")
    elif may["losses"]:
        words.append(
            f"It may have been above {_degrees(losses)} for up to {may['losses']}, with a probe of unknown grade, {lid}"
        )
    if not covered and number(over["open"], "min") > 0:
        words.append(f"Open, it is {_clock(over['open'])} above {_degrees(bare)}: a small open sample held there for long "
                     f"leaves almost nothing. Lay a loose lid on, never a tight one. {_source('open loss')}")  # fmt: skip
    elif covered and number(over["open"], "min") > 0:
        words.append("The lid must lie loose: it keeps enough gas near the powder to raise the yield, and a sealed crucible "
                     "bursts.")  # fmt: skip
    return words


def _may_be_above(trace, limit, firing):
    """Return how long a log may have been above a limit if its probe is of unknown grade, as text; empty if not at all."""
    if not isinstance(firing, KilnLog):
        return ""
    least, share, _, _ = grade_of("unknown")
    above = trace.plain_time_above(shown_reading(number(limit, "degC"), 1, least, share, firing.shift))
    return clock_text(Q(above, "min"), np.ceil) if above > 0 else ""


def _gas_remark(trace):
    """Return how soon the gas of the first stages comes."""
    rows = {row["name"]: row for row in table("stages")}
    first, seen = rows["urea decomposes"], rows["ammonia and isocyanic acid come off"]
    last = rows["cyanuric acid and ammelide form fast"]
    begins, ends = float(first["starts"]), float(last["ends"])
    entered, left = _entered(trace, begins), _entered(trace, ends)
    if entered is None:
        return ""
    source = f"{sources()[first['source']]['text']} Both gases were seen from {float(seen['starts']):g} °C by {sources()[seen['source']]['text']}"
    if left is None or left <= entered:
        return f"From {begins:g} °C on ammonia and isocyanic acid may come off: the extraction must run from the start. {source}"
    took = _clock(left - entered)
    return (f"From {begins:g} to {ends:g} °C, where ammonia and isocyanic acid come off, it takes {took} on the way up: "
            f"the extraction must run from the start and stay on, as gas comes off all the way. {source}")  # fmt: skip


def _clock(time):
    return clock_text(time, np.round)


def _degrees(limit):
    return f"{number(limit, 'degC'):g} °C"


def _source(name):
    return sources()[row("firing", name)["source"]]["text"]
