"""What a kiln log says: what was read and left out, and whether the firing was long and hot enough."""

from dataclasses import dataclass, field
from html import escape

import numpy as np

from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import LabError, RangeProblem, UnitProblem
from labkit.heat.kiln import trace_of
from labkit.heat.probe import grade_of
from labkit.heat.trace import Trace
from labkit.heat.verdict import GOOD, LEVELS, Facts, Verdict, heat_verdict, printed_times
from labkit.units import Note, Q, Range, as_range, certain, checked, clock_text, nominal, number, printed_range, wrapped

__all__ = ["LEVELS", "HeatReport", "KilnLog", "Skipped", "Verdict", "heat_report", "printed_times"]

LISTED = 1000  # rows left out that are kept with their text; all are counted
RATE_WINDOW = 5.0  # min over which a rate is taken, our choice: long enough for a flickering last digit
_PARTS = np.linspace(-1, 1, 9)  # parts of the tolerance; a time inside a window may be longest in between
COARSE = 15.0  # min, our choice: with fewer readings than one in so long nobody knows what was in between
RISE = 200.0  # K, our choice: a log that never rises (falls) so far does not tell how fast its kiln can
ANY_RATE = 50.0  # °C/min, from memory: faster than a bench kiln; taken where the log does not tell


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
    taken for what, and why.  ``shift`` is how far (K, low and high) a junction that is only guessed may move the
    readings; ``doubts`` are sentences that leave nothing “enough”, ``remarks`` those that a verdict repeats.
    ``unit`` is that of the readings as they were taken, ``against`` says so if the heading has another one, and
    ``impossible`` is why nothing can be said of the firing if most readings are impossible.
    """

    trace: Trace
    skipped: tuple = ()
    counts: dict = field(default_factory=dict)
    gaps: tuple = ()
    notes: tuple = ()
    shift: tuple = (0.0, 0.0)
    doubts: tuple = ()
    remarks: tuple = ()
    unit: str = ""
    against: str = ""
    impossible: str = ""

    def words(self):
        """Return in plain sentences what was read, what was left out and what was taken for what."""
        size = len(self.trace)
        counts = {"rows": size, "kept": size, "skipped": 0, "out of order": 0, "reasons": {}} | self.counts
        reasons = ", ".join(f"{count} × {reason}" for reason, count in counts["reasons"].items() if count)
        lines = [f"{_rows(counts['rows'])} read, {counts['kept']} kept, {counts['skipped']} left out"
                 + (f" ({reasons})." if reasons else "."), *filter(None, [self.impossible]), *self.notes]  # fmt: skip
        if counts["out of order"]:
            lines.append(f"{_rows(counts['out of order'])} stood out of order; all were sorted by time.")
        if self.gaps:
            lines.append(f"{len(self.gaps)} gap{'s' if len(self.gaps) > 1 else ''} of together "
                         f"{clock_text(self.trace.gap_time, np.ceil)} not counted: what happened there is not known.")  # fmt: skip
        return Note("\n".join(lines))

    def __repr__(self):
        return repr(self.words())

    def _repr_html_(self):
        return self.words()._repr_html_()


@dataclass(frozen=True, repr=False)
class HeatReport:
    """What a firing was, each as the Range that the probe's tolerance leaves.

    ``inside``, ``longest``: time from ``window[0]`` to ``window[1]``, and its longest stretch;
    ``above``, ``losing``, ``over``: time above the window, above ``losses`` and above ``lost``; ``peak``, ``peak_time``;
    ``heating``, ``cooling``: fastest over 5 min; ``gap_time``: time not counted in any of them.
    """

    window: tuple
    losses: object
    lost: object
    hold: object
    inside: Range
    longest: Range
    above: Range
    losing: Range
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
            (f"above {number(self.losses, 'degC'):g} °C", printed_times(self.losing)),
            (f"above {number(self.lost, 'degC'):g} °C", printed_times(self.over)),
            ("peak", _peak(self.peak)),
            ("time of peak", clock_text(self.peak_time, np.round)),
            ("fastest heating", _rate(self.heating)),
            ("fastest cooling", _rate(self.cooling)),
        ]
        if self.gap_time.magnitude:
            rows.append(("not known (gaps)", clock_text(self.gap_time, np.ceil)))
        return list(dict(rows).items())  # two limits may be the same

    def cautions(self):
        """Return the cautions that belong to a firing and to a kiln."""
        return cautions("firing", "kiln")

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
        kind = "plain" if self.verdict.level in GOOD else "care"
        notes = Note(str(self.verdict), kind)._repr_html_(), Note(self._probe_words())._repr_html_()
        return f"{notes[0]}<table>{body}</table>{notes[1]}"


def heat_report(log_or_trace, window=None, lost=None, probe="", hold=None):
    """Return what a firing was and whether that is enough, with what the probe leaves open.

    Parameters
    ----------
    log_or_trace : KilnLog, Trace, Schedule or Course
    window : Range, text or pair of readings [temperature], optional
        Within which the powder forms: ``"520 to 580 °C"``, the default (firing.csv, common practice).
    lost : quantity or text [temperature], optional
        Above which the powder decomposes; 700 °C by default (firing.csv).  From 600 °C (firing.csv, from memory)
        it is being lost, and no verdict calls that enough.
    probe : str or None, optional
        One of ``labkit.heat.probe.probes()``; None for a plan, which has no probe.  Left out, None for a Schedule
        or a Course, and ``"unknown"`` for readings: a log or a Trace.
    hold : quantity or text [time], optional
        The least time inside the window that is wanted; 2 h by default, the least that is usual (firing.csv, common practice).

    Returns
    -------
    HeatReport
        Every range holds for any error of the probe up to its tolerance, and of a guessed junction, in
        the same direction throughout.  Nothing is counted in gaps; what they could hide is in the verdict.
        All of it is of the probe: the powder in the crucible lags behind.

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
    if probe == "":
        probe = "unknown" if isinstance(log_or_trace, (KilnLog, Trace)) else None
    low, high = _window(window)
    lost = value("firing", "lost") if lost is None else nominal(checked(lost, "[temperature]", "lost", "heat_report"))
    wanted = hold is not None
    hold = nominal(checked(hold, "[time] > 0", "hold", "heat_report")) if wanted else value("firing", "hold")
    limit = number(lost, "degC")
    if limit < high:
        raise RangeProblem(f"heat_report() needs ‘lost’ above the window, but {limit:g} °C is below {high:g} °C.")
    limits = low, high, min(number(value("firing", "losses"), "degC"), limit), limit
    least, share = (0.0, 0.0) if probe is None else grade_of(probe)[:2]
    shift = getattr(log_or_trace, "shift", (0.0, 0.0))
    parts = _PARTS if least or any(shift) else [0.0]
    seen = [_seen(trace, [shown_reading(end, part, least, share, shift) for end in limits]) for part in parts]
    found = {name: _span([each[name] for each in seen], "min") for name in seen[0]}
    peaks = _ends(float(trace.celsius.max()), least, share, shift)
    found["peak"] = _span(peaks if len(parts) > 1 else peaks[1:2], "degC")
    rates = trace.plain_fastest(RATE_WINDOW) if trace.counted.any() else (0.0, 0.0)
    for name, rate in zip(("heating", "cooling"), rates):
        found[name] = _span([rate * (1 - share), rate, rate * (1 + share)] if share else [rate], "delta_degC/min")
    # What was not seen is judged by the hottest that the probe leaves open.
    first = shown_reading(low, parts[-1], least, share, shift)
    hidden, tops = _hidden(trace, first, *(max(rate, floor) for rate, floor in zip(rates, _floors(trace))))
    hot = [_too_hot(each, number(hold, "min")) for each in seen]
    facts = Facts(
        **{name: found[name] for name in ("inside", "longest", "above", "losing", "over")}, limits=limits, hold=number(hold, "min"),
        wanted=wanted, hot=hot[len(hot) // 2], may_be_hot=any(hot), hidden=hidden,
        gap_tops=tuple(_ends(top, least, share, shift)[2] for top in tops), gaps=number(trace.gap_time, "min"),
        edges=_edges(trace, first) if isinstance(log_or_trace, KilnLog) or probe is not None else "",
        coarse=_coarse(trace) if isinstance(log_or_trace, KilnLog) else 0.0, shift=shift,
        doubts=getattr(log_or_trace, "doubts", ()), remarks=getattr(log_or_trace, "remarks", ()),
        against=getattr(log_or_trace, "against", ""), impossible=getattr(log_or_trace, "impossible", ""),
    )  # fmt: skip
    return HeatReport(window=(Q(low, "degC"), Q(high, "degC")), losses=Q(limits[2], "degC"), lost=lost, hold=hold, **found,
                      peak_time=trace.peak[1], gap_time=trace.gap_time, probe=probe or "", verdict=heat_verdict(facts))  # fmt: skip


def _too_hot(seen, hold):
    """Return whether a firing was hotter than the window rather than too short for it."""
    inside, above = seen["inside"], seen["above"]
    return above > inside or inside < hold <= inside + above


def _edges(trace, low):
    """Return ``begins``, ``ends``, both, or nothing: where a log is at ``low`` or hotter at its very end."""
    return " and ".join(
        word for word, reading in (("begins", trace.celsius[0]), ("ends", trace.celsius[-1])) if reading >= low
    )


def _coarse(trace):
    step = float(np.median(np.diff(trace.minutes)))
    return step if step > COARSE else 0.0


def _floors(trace):
    """Return the rates (°C/min) of heating and of cooling to be reckoned with where the log does not tell."""
    runs = np.split(trace.celsius, np.flatnonzero(~trace.counted) + 1)
    rise, fall = (
        max(float((sign * run - np.minimum.accumulate(sign * run)).max()) for run in runs) for sign in (1, -1)
    )
    return tuple(0.0 if way >= RISE else ANY_RATE for way in (rise, fall))


def _peak(span):
    """Return a peak as text, the low end rounded down and the high end up: it is a hazard."""
    low, likely, high = span.m_as("degC")
    if low == high:
        return printed_range(span, 3, "degC")
    return f"{np.floor(low + 1e-9):.0f} to {np.ceil(high - 1e-9):.0f} °C, likely {likely:.0f} °C"


def _ends(celsius, least, share, shift):
    """Return the lowest, the shown and the highest truth (°C) behind a reading."""
    low, high = (celsius + end for end in shift)
    return [low - max(least, share * abs(low)), celsius, high + max(least, share * abs(high))]


def _rate(span):
    text = printed_range(span)
    low, _, rest = text.partition(" to ")
    return rest.partition(",")[0] if rest.startswith(f"{low} ") else text  # a probe's tolerance hardly moves a rate


def _rows(count):
    return f"{count} row" if count == 1 else f"{count} rows"


def _course(log_or_trace):
    try:
        return trace_of(log_or_trace)
    except LabError:
        raise UnitProblem(f"heat_report() needs a log or a trace, but this is of type {type(log_or_trace).__name__}. "
                          "Type for instance heat_report(read_log('firing.csv')).") from None  # fmt: skip


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


def shown_reading(celsius, part, least, share, shift):
    """Return what a log shows (°C) at a true temperature if the truth is its reading plus ``part`` of what is left open.

    That is the tolerance of the probe, ``least`` (K) or a ``share`` of the reading, and ``shift`` (K) of its junction.

    >>> round(shown_reading(600, 1, *grade_of("IEC class 2")[:2], (0.0, 0.0)), 2)
    595.53
    """
    return _reading(celsius, part, least, share) - abs(part) * shift[int(part > 0)]


def _seen(trace, limits):
    """Return the times that a trace shows between and above limits, in minutes."""
    low, high, losses, lost = limits
    return {"inside": trace.plain_time_inside(low, high), "longest": trace.plain_longest_inside(low, high), "above": trace.plain_time_above(high),
            "losing": trace.plain_time_above(losses), "over": trace.plain_time_above(lost)}  # fmt: skip


def _span(found, unit):
    likely = found[len(found) // 2]
    return (
        certain(Q(likely, unit)) if len(found) == 1 else Range(*(Q(n, unit) for n in (min(found), likely, max(found))))
    )


def _hidden(trace, low, heating, cooling):
    """Return how long the gaps could have been at ``low`` or above (min), and the hottest each could have been (°C).

    Within a gap it heats and cools no faster than ``heating`` and ``cooling`` (°C/min).
    """
    gaps = ~trace.counted
    if not gaps.any():
        return 0.0, []
    minutes, start, end = np.diff(trace.minutes)[gaps], trace.celsius[:-1][gaps], trace.celsius[1:][gaps]
    # To get from one end to the other at all, it must have been at least that fast.
    heating = np.maximum(heating, np.maximum(end - start, 0) / minutes)
    cooling = np.maximum(cooling, np.maximum(start - end, 0) / minutes)
    with np.errstate(invalid="ignore", divide="ignore"):
        rising = np.where(heating + cooling > 0, (end - start + cooling * minutes) / (heating + cooling), 0)
        top = np.where(np.isfinite(heating), start + heating * rising, np.inf)
    return float(minutes[top >= low].sum()), top.tolist()
