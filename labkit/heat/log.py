"""What a kiln log says: what was read and left out, and whether the firing was long and hot enough."""

from dataclasses import dataclass, field
from html import escape

import numpy as np

from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, UnitProblem
from labkit.heat.probe import _grade
from labkit.heat.trace import Trace
from labkit.units import Note, Q, Range, as_range, certain, checked, nominal, number, printed_range, wrapped

LISTED = 1000  # rows left out that are kept with their text; all are counted
RATE_WINDOW = 5.0  # min over which a rate is taken, our choice: long enough for a flickering last digit
_PARTS = np.linspace(-1, 1, 9)  # parts of the tolerance; a time inside a window may be longest in between
LEVELS = ("enough", "may be enough", "too short", "too hot: lost", "may have been too hot", "cannot say")


@dataclass(frozen=True)
class Skipped:
    """A row that was left out: its line in the file (the first is 1), its text and why.

    ``minutes`` from the start of the trace and ``celsius`` are None where they could not be read.
    """

    row: int
    text: str
    reason: str
    minutes: float | None = field(default=None, repr=False)
    celsius: float | None = field(default=None, repr=False)


@dataclass(frozen=True, eq=False, repr=False)
class KilnLog:
    """A log as it was read.

    ``trace`` is its course; ``skipped`` lists the first rows left out and ``counts`` counts all of
    them under ``reasons``, beside ``rows``, ``kept``, ``skipped`` and ``out of order``; ``gaps`` are pairs of
    quantities [time] from the start between which nobody knows what happened; ``notes`` say what was
    taken for what, and why.
    """

    trace: Trace
    skipped: tuple = ()
    counts: dict = field(default_factory=dict)
    gaps: tuple = ()
    notes: tuple = ()

    def words(self):
        """Return in plain sentences what was read, what was left out and what was taken for what."""
        size = len(self.trace)
        counts = {"rows": size, "kept": size, "skipped": 0, "out of order": 0, "reasons": {}} | self.counts
        reasons = ", ".join(f"{count} × {reason}" for reason, count in counts["reasons"].items() if count)
        lines = [f"{_rows(counts['rows'])} read, {counts['kept']} kept, {counts['skipped']} left out"
                 + (f" ({reasons})." if reasons else "."), *self.notes]  # fmt: skip
        if counts["out of order"]:
            lines.append(f"{_rows(counts['out of order'])} stood out of order; all were sorted by time.")
        if self.gaps:
            lines.append(f"{len(self.gaps)} gap{'s' if len(self.gaps) > 1 else ''} of together "
                         f"{_clock(self.trace.gap_time, np.ceil)} not counted: what happened there is not known.")  # fmt: skip
        return Note("\n".join(lines))

    def __repr__(self):
        return repr(self.words())

    def _repr_html_(self):
        return self.words()._repr_html_()


@dataclass(frozen=True)
class Verdict:
    """One of ``LEVELS``, and the sentence that says why and what to do."""

    level: str
    sentence: str

    def __str__(self):
        return f"{self.level}: {self.sentence}"


@dataclass(frozen=True, repr=False)
class HeatReport:
    """What a firing was, each as the Range that the probe's tolerance leaves.

    ``inside``, ``longest``: time from ``window[0]`` to ``window[1]``, and its longest stretch;
    ``above``, ``over``: time above the window and above ``lost``; ``peak``, ``peak_time``;
    ``heating``, ``cooling``: fastest over 5 min; ``gap_time``: time not counted in any of them.
    """

    window: tuple
    lost: object
    hold: object
    inside: Range
    longest: Range
    above: Range
    over: Range
    peak: Range
    peak_time: object
    heating: Range
    cooling: Range
    gap_time: object
    probe: str
    verdict: Verdict

    def rows(self):
        """Return the report as rows of (what, value)."""
        low, high = (f"{number(end, 'degC'):g}" for end in self.window)
        rows = [
            (f"inside {low} to {high} °C", printed_times(self.inside)),
            ("longest stretch inside", printed_times(self.longest)),
            (f"above {high} °C", printed_times(self.above)),
            (f"above {number(self.lost, 'degC'):g} °C", printed_times(self.over)),
            ("peak", printed_range(self.peak, 3, "degC")),
            ("time of peak", _clock(self.peak_time, np.round)),
            ("fastest heating", _rate(self.heating)),
            ("fastest cooling", _rate(self.cooling)),
        ]
        return [*rows, ("not known (gaps)", _clock(self.gap_time, np.ceil))] if self.gap_time.magnitude else rows

    def cautions(self):
        """Return the cautions that belong to a firing."""
        return cautions("firing")

    def __str__(self):
        width = max(len(what) for what, _ in self.rows())
        lines = [wrapped(str(self.verdict)), *(f"  {what:<{width}}  {text}" for what, text in self.rows())]
        return "\n".join([*lines, wrapped(self._probe_words())])

    __repr__ = __str__

    def _probe_words(self):
        if not self.probe:
            return "Taken as it stands, without the tolerance of a probe."
        kind = "a probe of unknown grade" if self.probe == "unknown" else f"a probe of {self.probe}"
        return f"Each range is what {kind} leaves open."

    def _repr_html_(self):
        left = 'style="text-align:left;vertical-align:top;padding:4px 14px 4px 0"'
        body = "".join(
            f"<tr><td {left}>{escape(what)}</td><td {left}><b>{escape(text)}</b></td></tr>"
            for what, text in self.rows()
        )
        kind = "plain" if self.verdict.level in ("enough", "may be enough") else "care"
        notes = Note(str(self.verdict), kind)._repr_html_(), Note(self._probe_words())._repr_html_()
        return f"{notes[0]}<table>{body}</table>{notes[1]}"


def heat_report(log_or_trace, window=None, lost=None, probe="unknown", hold=None):
    """Return what a firing was and whether that is enough, with what the probe leaves open.

    Parameters
    ----------
    log_or_trace : KilnLog or Trace
    window : Range, text or pair of readings [temperature], optional
        Within which the powder forms: ``"520 to 580 °C"``, the default (firing.csv, common practice).
    lost : quantity or text [temperature], optional
        Above which the powder decomposes; 700 °C by default (firing.csv).
    probe : str or None
        One of ``labkit.heat.probe.probes()``; None for a plan, which has no probe.
    hold : quantity or text [time], optional
        The least time inside the window that counts as enough; 2 h by default (firing.csv, common practice).

    Returns
    -------
    HeatReport
        Every range holds for any error of the probe up to its tolerance in the same direction
        throughout.  Nothing is counted in gaps; what they could hide is in the verdict.

    Raises
    ------
    LabError
        If an argument can't be used; says what to type.

    Examples
    --------
    >>> firing = Trace([0, 100, 300, 420], [20, 550, 550, 70])
    >>> print(heat_report(firing, probe="IEC class 2").verdict.level)
    enough
    """
    trace = _course(log_or_trace)
    low, high = _window(window)
    lost = value("firing", "lost") if lost is None else nominal(checked(lost, "[temperature]", "lost", "heat_report"))
    hold = value("firing", "hold") if hold is None else nominal(checked(hold, "[time] > 0", "hold", "heat_report"))
    limit = number(lost, "degC")
    if limit < high:
        raise RangeProblem(f"heat_report() needs ‘lost’ above the window, but {limit:g} °C is below {high:g} °C.")
    parts, (least, share) = ([0.0], (0.0, 0.0)) if probe is None else (_PARTS, _grade(probe)[:2])
    seen = [_seen(trace, [_reading(end, part, least, share) for end in (low, high, limit)]) for part in parts]
    found = {name: _span([each[name] for each in seen], "min") for name in seen[0]}
    top, off = float(trace.celsius.max()), max(least, share * float(np.abs(trace.celsius).max()))
    found["peak"] = _span([top - off, top, top + off] if off else [top], "degC")
    rates = trace._fastest(RATE_WINDOW) if trace.counted.any() else (0.0, 0.0)
    for name, rate in zip(("heating", "cooling"), rates):
        found[name] = _span([rate * (1 - share), rate, rate * (1 + share)] if share else [rate], "delta_degC/min")
    # What a gap could hide is judged by the hottest that the probe leaves open.
    first, _, last = (_reading(end, parts[-1], least, share) for end in (low, high, limit))
    hidden, hottest = _hidden(trace, first, *(rates if trace.counted.any() else (np.inf, np.inf)))
    verdict = _verdict(found["inside"], found["over"], number(hold, "min"), hidden, hottest > last, (low, high, limit))
    return HeatReport(window=(Q(low, "degC"), Q(high, "degC")), lost=lost, hold=hold, **found, peak_time=trace.peak[1],
                      gap_time=trace.gap_time, probe=probe or "", verdict=verdict)  # fmt: skip


def printed_times(span):
    """Return a Range of times as ``1 h 52 min to 2 h 40 min, likely 2 h 15 min``: the low end rounded down, the high up.

    >>> printed_times(Range(Q(112.9, "min"), Q(135, "min"), Q(159.1, "min")))
    '1 h 52 min to 2 h 40 min, likely 2 h 15 min'
    """
    if span.low == span.high:
        return _clock(span.likely, np.round) if span.likely.magnitude else "0 min"
    low, high = _clock(span.low, np.floor), _clock(span.high, np.ceil)
    return f"{low} to {high}, likely {_clock(span.likely, np.round)}"


def _clock(time, rounding):
    minutes = number(time, "min")
    if 0 < minutes < 1:
        return f"{int(rounding(round(minutes * 60, 6)))} s"
    hours, minutes = divmod(int(rounding(round(minutes, 6))), 60)
    return " ".join(
        part for part in (f"{hours} h" * bool(hours), f"{minutes} min" * bool(minutes or not hours)) if part
    )


def _rate(span):
    text = printed_range(span)
    low, _, rest = text.partition(" to ")
    return rest.partition(",")[0] if rest.startswith(f"{low} ") else text  # a probe's tolerance hardly moves a rate


def _rows(count):
    return f"{count} row" if count == 1 else f"{count} rows"


def _course(log_or_trace):
    trace = getattr(log_or_trace, "trace", log_or_trace)
    if not isinstance(trace, Trace):
        raise UnitProblem(f"heat_report() needs a log or a trace, but this is of type {type(log_or_trace).__name__}. "
                          "Type for instance heat_report(read_log('firing.csv')).")  # fmt: skip
    return trace


def _window(window):
    if window is None:
        low, high = value("firing", "window low"), value("firing", "window high")
    elif isinstance(window, (tuple, list)) and len(window) == 2:
        low, high = (nominal(checked(end, "[temperature]", "window", "heat_report")) for end in window)
    else:
        span = as_range(window, "[temperature]", "window")
        low, high = span.low, span.high
    low, high = number(low, "degC"), number(high, "degC")
    if not low < high:
        raise RangeProblem(f"The window runs from low to high, but it is {low:g} to {high:g} °C. "
                           "Type for instance window='520 to 580 °C'.")  # fmt: skip
    return low, high


def _reading(celsius, part, least, share):
    """Return what the probe shows at a true temperature if the truth is its reading plus ``part`` of its tolerance."""
    scaled = celsius / (1 + part * share) if celsius >= 0 else celsius / (1 - part * share)
    return scaled if share * abs(scaled) >= least else celsius - part * least


def _seen(trace, limits):
    """Return the times that a trace shows between and above three limits, in minutes."""
    low, high, lost = limits
    return {"inside": trace._time_inside(low, high), "longest": trace._longest_inside(low, high),
            "above": trace._time_above(high), "over": trace._time_above(lost)}  # fmt: skip


def _span(found, unit):
    likely = found[len(found) // 2]
    return (
        certain(Q(likely, unit)) if len(found) == 1 else Range(*(Q(n, unit) for n in (min(found), likely, max(found))))
    )


def _hidden(trace, low, heating, cooling):
    """Return how long the gaps could have been at ``low`` or above (min), and the hottest they could have been (°C).

    Within a gap it heats and cools no faster than anywhere in the log.
    """
    gaps = ~trace.counted
    if not gaps.any():
        return 0.0, -np.inf
    minutes, start, end = np.diff(trace.minutes)[gaps], trace.celsius[:-1][gaps], trace.celsius[1:][gaps]
    # To get from one end to the other at all, it must have been at least that fast.
    heating = np.maximum(heating, np.maximum(end - start, 0) / minutes)
    cooling = np.maximum(cooling, np.maximum(start - end, 0) / minutes)
    with np.errstate(invalid="ignore", divide="ignore"):
        rising = np.where(heating + cooling > 0, (end - start + cooling * minutes) / (heating + cooling), 0)
        top = np.where(np.isfinite(heating), start + heating * rising, np.inf)
    return float(minutes[top >= low].sum()), float(top.max())


def _verdict(inside, over, hold, hidden, hot_gap, limits):
    low, high, lost = limits
    least, _, most = inside.m_as("min")
    again = "fire again, lid on, outdoors or under extraction"
    times, needed = printed_times(inside), _clock(Q(hold, "min"), np.ceil)
    window = f"{low:g} to {high:g} °C"
    if over.low.magnitude > 0:
        return Verdict("too hot: lost", f"it stood above {lost:g} °C, where carbon nitride decomposes, for {printed_times(over)}. "
                       "Expect little or no powder; weigh what is there, and set the kiln lower.")  # fmt: skip
    if over.high.magnitude > 0:
        return Verdict("may have been too hot", f"within what the probe leaves open it may have stood above {lost:g} °C, where carbon "
                       f"nitride decomposes, for up to {_clock(over.high, np.ceil)}. Weigh the powder against what "
                       "you expect, and check the probe.")  # fmt: skip
    if most >= hold and hot_gap:
        return Verdict("cannot say", f"{times} inside {window} would do, but in a gap of the log it could have passed {lost:g} °C. "
                       "Weigh the powder against what you expect.")  # fmt: skip
    if least >= hold:
        return Verdict("enough", f"{times} inside {window}, and {needed} are needed.")
    if most >= hold:
        return Verdict("may be enough", f"{times} inside {window}, and {needed} are needed: the probe decides. "
                       "Check it, or hold longer next time.")  # fmt: skip
    if most + hidden >= hold:
        return Verdict("cannot say", f"{times} inside {window} are short of {needed}, but the gaps of the log could "
                       f"hide the rest. Look at the colour and weigh the powder; if it is pale or heavy, {again}.")  # fmt: skip
    missing = _clock(Q(hold - least, "min"), np.ceil)
    return Verdict(
        "too short", f"{times} inside {window}, and {needed} are needed. To make up for up to {missing}, {again}."
    )
