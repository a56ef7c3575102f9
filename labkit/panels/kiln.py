"""Workbook 02: an improvised kiln, switched on and off by hand, and the window it is to keep."""

from dataclasses import replace
from functools import lru_cache
from math import ceil, floor, log

from labkit.data import guess, value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.heat.hold import hold_verdict, ripple, stuck_words
from labkit.heat.kiln import Kiln, course
from labkit.heat.log import printed_times
from labkit.panels.frame import Answer, Panel, TypedBox, UnitSlider
from labkit.plots.course import degrees, limit_words
from labkit.plots.kiln import MOST_BLOCKS, kiln_picture, reach
from labkit.units import Q, Range, as_range, certain, nominal, number, number_text, printed_down

HOTTEST = 2000  # °C
NEARLY = 0.9  # share of the time inside from which a rhythm needs a touch only; our choice
LONGER = 1.25  # times the longest usual hold from which that is said, as in the remarks on a schedule
WARM_UP = 5  # time constants after which a kiln is as good as settled: it is not left on for longer
_WIDE = "The swing is wider than the window: take shorter times for both."
_LEAD = {
    "can hold": "This kiln can hold {window}.",
    "little reserve": "This kiln can only just hold {window}, with little reserve.",
}


class WindowBox(TypedBox):
    """A box for a window, which has two ends and ends where powder is left; what is refused never becomes the last good value."""

    def _accepted(self, text):
        window, text = super()._accepted(text)
        window_ends(window)
        return window, text


def window_ends(window):
    """Return (low, high) of a window in °C, as plain numbers; RangeProblem if powder can't be fired in it."""
    low, high = (number(end, "degC") for end in (window.low, window.high))
    if not low < high:
        raise RangeProblem("A window has two ends. Type for instance 520 to 580 °C.")
    lost = number(value("firing", "lost"), "degC")
    if high > lost:
        raise RangeProblem(f"Above {lost:g} °C the powder is lost, so the window has to end below that.")
    return low, high


def kiln_answer(time_constant, ceiling, ambient, window, on, off, hold):
    """Return the Answer for a kiln that is left on until it is in the window, then switched in a rhythm.

    Parameters
    ----------
    time_constant, ceiling : Range of [time], of [temperature]
        The picture and the time inside are those of the likely values.
    ambient : quantity [temperature]
    window : Range of [temperature]
    on, off : quantity [time]
        Of the rhythm.
    hold : quantity [time]
        How long the rhythm is kept up.
    """
    ends, hold = window_ends(window), nominal(hold)
    kiln, ones = _kilns(time_constant, ceiling, nominal(ambient))
    verdict = _verdict(kiln, ends)
    losses, lost = (number(value("firing", name), "degC") for name in ("losses", "lost"))
    minutes = [number(time, "min") for time in (on, off, hold)]
    swings = [ripple(one, on, off) for one in ones]  # the likely kiln first, then the ends of what is guessed
    firing, switching, inside = _firing(ones[0], swings[0], ends, *minutes)
    insides = [inside, *(_firing(*pair, ends, *minutes)[2] for pair in zip(ones[1:], swings[1:]))]
    low, high = _outward(swings[0])
    named, rhythm = f"{degrees(ends[0])} to {degrees(ends[1])} °C", f"{_minutes(on)} on and {_minutes(off)} off"
    lead = _LEAD.get(verdict.level, verdict.sentence).format(window=named)
    if ends[1] > losses:
        lead = f"{lead} Above {losses:g} °C powder is being lost, with more hydrogen cyanide."
    advice = _advice(swings, ends, losses, lost, inside / minutes[2], verdict.level != "cannot hold")
    said = (lead, f"With {rhythm} it settles to a swing between {low} and {high} °C, and of {_time(hold)} in this rhythm it is inside "
            f"for {_clock(inside)} ({_percent(inside / minutes[2])}).", advice, _longer(inside))  # fmt: skip
    sentence = " ".join(filter(None, said))
    drawn = [limit for limit in (losses, lost) if limit < reach(firing, ends)[1]]
    blocks = _blocks(switching)
    strip = (
        "Blocks above show when it is on." if len(blocks) <= MOST_BLOCKS else "It is on and off too often to draw each."
    )
    alt = (f"Temperature against time: from {degrees(firing.celsius[0])} °C left on for {_clock(firing.minutes[1])} to "
           f"{firing.celsius[1]:.0f} °C, then {_minutes(off)} off and {_minutes(on)} on in turn for {_time(hold)}, at last between "
           f"{low} and {high} °C, beside a band from {named}. {strip}{limit_words(drawn, losses)}")  # fmt: skip
    svg = kiln_picture(firing, ends, (losses, lost), blocks, alt)
    table = _table(kiln, ones, verdict, swings, insides, ends, hold)
    return Answer(sentence, svg, table, f"{_stuck(ones)}{cautions('firing', 'kiln')}")


@lru_cache(16)
def _kilns(time_constant, ceiling, ambient):
    """Return the kiln as typed, and the likely one with those at the ends of its ranges."""
    kiln = Kiln(time_constant, ceiling, ambient)
    return kiln, (kiln.likely, *kiln.corners) if kiln.ranges else (kiln,)


@lru_cache(64)  # it does not change with the rhythm, and its ranges take time
def _verdict(kiln, ends):
    return hold_verdict(kiln, *(Q(end, "degC") for end in ends))


def _firing(kiln, swing, ends, on, off, hold):
    """Return the course of a firing, its switching, and the minutes inside the window while the rhythm is kept up."""
    switching = _switching(_warm_up(kiln, ends, number(swing.high, "degC")), on, off, hold)
    whole, low, high = course(kiln, switching), *(Q(end, "degC") for end in ends)
    rhythm = replace(whole, minutes=whole.minutes[1:], celsius=whole.celsius[1:], targets=whole.targets[1:])
    return whole, switching, number(rhythm.time_inside(low, high), "min")


def _warm_up(kiln, ends, top):
    """Return the minutes it is left on: to the top of its swing if that is in the upper half of the window.

    Else to the nearer end of that half, and never for longer than makes sense.
    """
    tau = number(kiln.time_constant, "min")
    ambient, ceiling = number(kiln.ambient, "degC"), number(kiln.ceiling, "degC")
    aim = min(max(top, sum(ends) / 2), ends[1])
    return min(tau * log((ceiling - ambient) / (ceiling - aim)), WARM_UP * tau) if ceiling > aim else WARM_UP * tau


def _switching(up, on, off, hold):
    """Return the switching of a firing, as pairs of a time and on or off; the rhythm begins with off."""
    whole, rest = divmod(hold, on + off)
    pieces = [(Q(up, "min"), True), *((f"{off!r} min", False), (f"{on!r} min", True)) * int(whole)]
    for length, is_on in ((min(rest, off), False), (rest - off, True)):
        if length > 1e-9:
            pieces.append((Q(length, "min"), is_on))
    return pieces


def _blocks(switching):
    """Return when it is on, as pairs (start, end) in minutes."""
    at, found = 0.0, []
    for time, is_on in switching:
        start, at = at, at + (float(time.removesuffix(" min")) if isinstance(time, str) else number(time, "min"))
        if is_on:
            found.append((start, at))
    return found


def _outward(swing):
    """Return the lowest and the highest reading of a swing in whole °C, rounded outward: the high end is a hazard."""
    return floor(number(swing.low, "degC")), ceil(number(swing.high, "degC"))


def _longer(inside):
    """Return what is to be said of a rhythm kept up for longer than is usual, or nothing."""
    usual = guess("holds", "hold")
    if inside <= LONGER * number(usual.high, "min"):
        return ""
    return f"{number(usual.low, 'h'):g} to {number(usual.high, 'h'):g} h inside are usual (common practice); longer costs powder."


def _advice(swings, ends, losses, lost, share, able):
    """Return what to change in a rhythm that is inside for a ``share`` of the time; ``able`` is whether the kiln gets there."""
    low, high = (number(end, "degC") for end in (swings[0].low, swings[0].high))
    hottest = max(number(swing.high, "degC") for swing in swings)
    for limit, what in ((lost, "where the powder is lost"), (losses, "from where powder is being lost")):
        if hottest > limit:
            goes = "That goes" if high > limit else "Within your ranges it may go"
            words = f"{goes} beyond {limit:g} °C, {what}, with more hydrogen cyanide"
            wide = hottest <= lost and low < ends[0] and high > ends[1]
            return f"{words}. {_WIDE}" if wide else f"{words}: leave it on for less."
    under, over = low < ends[0], high > ends[1]
    if under and over:
        return _WIDE
    if under and not able:  # no rhythm helps
        return ""
    if under and share >= NEARLY:
        return "It dips a little below the window: leave it on a little longer, or off for a little less."
    if under:
        return "That is too little heat: leave it on longer, or off for less."
    if over and share >= NEARLY:
        return "It rises a little above the window: leave it on for a little less, or off a little longer."
    return "That is too much heat: leave it on for less, or off longer." if over else ""


def _table(kiln, ones, verdict, swings, insides, ends, hold):
    lows, highs = ([number(getattr(swing, end), "degC") for swing in swings] for end in ("low", "high"))
    guessed = len(ones) > 1
    over, mean = (", over your ranges" if guessed else ""), number(swings[0].mean, "degC")
    spent = _clock(insides[0])
    if guessed:
        spent = printed_times(Range(*(Q(time, "min") for time in (min(insides), insides[0], max(insides)))))
    rows = [
        ("What", "How much", "What that means"),
        ("swings between", f"{floor(min(lows))} to {ceil(max(highs))} °C",
         f"once it has settled{over}; likely {number_text(highs[0] - lows[0], 2)} K up and down about {mean:.0f} °C"),
        ("on for", f"{number_text(number(swings[0].duty, 'percent'), 3)} % of the time", "in this rhythm"),
        ("inside the window", spent, f"of {_time(hold)} in this rhythm" + (", likely and at the ends of your ranges" if guessed else "")),
    ]  # fmt: skip
    if verdict.duty is not None:
        middle = min(sum(ends) / 2, *(number(one.ceiling, "degC") for one in ones))
        rows += [
            ("duty needed", str(verdict.duty), f"share of the time it must be on to hold {degrees(middle)} °C"),
            ("warm-up", printed_times(verdict.warm_up), f"left on, from {degrees(number(kiln.ambient, 'degC'))} to {degrees(ends[0])} °C"),
        ]  # fmt: skip
    if verdict.on is not None:
        for name, span in (("on", verdict.on), ("off", verdict.off)):
            rows.append((f"{name}, at most", printed_down(span.low),
                         "at a time, from edge to edge of the window" + (f"; {span}{over}" if guessed else "")))  # fmt: skip
    rows += [
        ("left on", _degree_span(kiln.ceiling), "where it settles, and where one forgotten switch takes it"),
        ("how far to trust this", "one lump, one lag", "A hot kiln cools faster, and the crucible lags behind the probe: fit yours from a log."),
    ]  # fmt: skip
    return tuple(rows)


def _stuck(ones):
    words = stuck_words(max(number(one.ceiling, "degC") for one in ones))
    return f"• {words}\n" if words else ""


def _degree_span(span):
    span = as_range(span, "[temperature]")
    low, high = (number(end, "degC") for end in (span.low, span.high))
    return f"{low:.0f} °C" if low == high else f"{low:.0f} to {high:.0f} °C"


def _minutes(time):
    return f"{number(time, 'min'):g} min"


def _time(time):
    return printed_times(certain(time))


def _clock(minutes):
    return _time(Q(minutes, "min"))


def _percent(share):
    percent = 100 * share
    if 99.5 <= percent < 100 - 1e-6:
        return "almost 100 %"
    return f"{percent:.0f} %"


def kiln_panel():
    """Return the panel of workbook 02 on an improvised kiln."""
    controls = {
        "time_constant": TypedBox("Time constant", "75 min", "[time] > 0", ranged=True, hint="63 % of the way in this time; such as 80 min, or 60 to 100 min",
                                  most="7 day"),
        "ceiling": TypedBox("Ceiling", "880 °C", "[temperature]", ranged=True, hint="where it settles if left on; such as 900 °C, or a range", most=f"{HOTTEST} °C"),
        "ambient": TypedBox("Air around it", "18 °C", "[temperature]", hint="such as 20 °C"),
        "window": WindowBox("Window", "520 to 580 °C", "[temperature]", ranged=True,
                            hint="where the powder forms: 520\u00a0to\u00a0580\u00a0°C"),
        "on": UnitSlider("On for", "min", 0.5, 30, 0.5, 8),
        "off": UnitSlider("Off for", "min", 0.5, 30, 0.5, 5),
        "hold": TypedBox("Time in this rhythm", "3 h", "[time] > 0", most="48 h"),
    }  # fmt: skip
    return Panel("Can this kiln hold the window by hand?", controls, kiln_answer)
