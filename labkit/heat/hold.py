"""How a kiln holds a temperature by switching: ripple, duty, on and off times, and whether it can at all."""

import math
from dataclasses import dataclass

from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.heat.kiln import needs_kiln, plain_kiln, plain_window
from labkit.units import (
    Note,
    Q,
    Range,
    number,
    printed,
    printed_down,
    printed_up,
    range_from,
    refuse_array,
    takes,
    wrapped,
)

STUCK = "If the switch sticks"
LITTLE = 0.9  # our choice: a kiln that must be on for more of the time than this has little reserve


@dataclass(frozen=True, repr=False)
class Ripple:
    """What a kiln does between two switchings after many cycles: lowest, highest and mean reading, and duty."""

    low: object
    high: object
    mean: object
    duty: object

    def cautions(self):
        """Return the cautions that belong to a firing and to a kiln."""
        return _cautions()

    def __str__(self):  # rounded outward: the high end is a hazard
        return (f"{printed_down(self.low, 3)} to {printed_up(self.high, 3)}, mean {printed(self.mean)}, "
                f"on for {printed(self.duty)} of the time")  # fmt: skip

    __repr__ = __str__


@dataclass(frozen=True, repr=False)
class Switching:
    """On and off times that keep a kiln just inside a window, once it is there."""

    on: object
    off: object

    @property
    def duty(self):
        """Share of the time the kiln is on, in percent."""
        return (self.on / (self.on + self.off)).to("percent")

    def cautions(self):
        """Return the cautions that belong to a firing and to a kiln."""
        return _cautions()

    def __str__(self):  # both are the most that is allowed, so they are rounded down
        on, off = printed_down(self.on, 3), printed_down(self.off, 3)
        return f"at most {on} on and {off} off at a time: on for {printed(self.duty)} of the time"

    __repr__ = __str__


def _cautions():
    return cautions("firing", "kiln")


@takes(on="[time] > 0", off="[time] > 0")
def ripple(kiln, on, off):
    r"""Return the steady Ripple of a kiln that is switched on and off in the same rhythm; exact.

    .. math:: T_\mathrm{high} - T_a = (T_c - T_a)\,\frac{1 - e^{-on/\tau}}{1 - e^{-(on + off)/\tau}}

    Parameters
    ----------
    kiln : Kiln
        Without ranges.
    on, off : quantity [time]
        More than zero.

    Raises
    ------
    RangeProblem
        If the kiln has ranges or a time is not more than zero.
    UnitProblem, ReadingProblem
        If a time is none or can't be read.

    Examples
    --------
    >>> from labkit.heat.kiln import Kiln
    >>> print(ripple(Kiln("80 min", "900 °C"), "6 min", "4 min"))
    534 °C to 562 °C, mean 548 °C, on for 60.0 % of the time
    """
    refuse_array("ripple", on=on, off=off)
    tau, ceiling, ambient = plain_kiln(kiln, "ripple")
    heated, rested = number(on, "min") / tau, number(off, "min") / tau
    top = (ceiling - ambient) * math.expm1(-heated) / math.expm1(-(heated + rested))
    duty = heated / (heated + rested)
    readings = (ambient + top * math.exp(-rested), ambient + top, ambient + duty * (ceiling - ambient))
    return Ripple(*(Q(reading, "degC") for reading in readings), Q(100 * duty, "percent"))


@takes(temperature="[temperature]")
def duty_to_hold(kiln, temperature):
    """Return the share of the time a kiln must be on to hold a temperature, in percent.

    A Range if the kiln's ceiling is one.

    Raises
    ------
    RangeProblem
        If it lies above the ceiling (at its low end) or below the ambient.
    UnitProblem, ReadingProblem
        If it is no reading or can't be read.

    Examples
    --------
    >>> from labkit.heat.kiln import Kiln
    >>> printed(duty_to_hold(Kiln("80 min", "900 °C"), "550 °C"))
    '60.2 %'
    """
    needs_kiln(kiln, "duty_to_hold")
    refuse_array("duty_to_hold", temperature=temperature)
    reading, ambient = number(temperature, "degC"), number(kiln.ambient, "degC")
    if reading < ambient:
        raise RangeProblem(
            f"A kiln can't hold {printed(temperature)} in air of {printed(kiln.ambient)}; it has no cooling."
        )

    def duty(ceiling):
        top = number(ceiling, "degC")
        if reading > top:
            raise RangeProblem(
                f"This kiln cannot hold {printed(temperature)}: its ceiling is below, at {printed(ceiling)}."
            )
        return Q(100 * (reading - ambient) / (top - ambient), "percent")

    if isinstance(kiln.ceiling, Range):
        return range_from(duty, ceiling=kiln.ceiling)
    return duty(kiln.ceiling)


@takes(temperature="[temperature]")
def fastest_rate(kiln, temperature):
    """Return the fastest heating a kiln can do as it passes a temperature; quantity [temperature rate].

    >>> from labkit.heat.kiln import Kiln
    >>> printed(fastest_rate(Kiln("80 min", "900 °C"), "550 °C"))
    '4.38 °C/min'
    """
    refuse_array("fastest_rate", temperature=temperature)
    tau, ceiling, _ = plain_kiln(kiln, "fastest_rate")
    return Q(max(ceiling - number(temperature, "degC"), 0.0) / tau, "delta_degC/min")


@takes(low="[temperature]", high="[temperature]")
def switching_to_hold(kiln, low, high):
    """Return the Switching that lets a kiln go up and down between the edges of a window; exact.

    Parameters
    ----------
    kiln : Kiln
        Without ranges.
    low, high : quantity [thermometer reading]

    Raises
    ------
    RangeProblem
        If the kiln has ranges, its ceiling is not above the window or its ambient not below it.
    UnitProblem, ReadingProblem
        If an edge is no reading or can't be read.

    Examples
    --------
    >>> from labkit.heat.kiln import Kiln
    >>> print(switching_to_hold(Kiln("80 min", "900 °C"), "540 °C", "560 °C"))
    at most 4.57 min on and 3.01 min off at a time: on for 60.2 % of the time
    """
    bottom, top = plain_window("switching_to_hold", low, high)
    tau, ceiling, ambient = plain_kiln(kiln, "switching_to_hold")
    if ceiling <= bottom:
        raise RangeProblem(f"This kiln cannot hold {printed(low)} to {printed(high)}: its ceiling is below, "
                           f"at {printed(kiln.ceiling)}.")  # fmt: skip
    if ceiling <= top:
        raise RangeProblem(f"Left on, this kiln settles inside the window, at {printed(kiln.ceiling)}: "
                           "it never needs switching off to stay below the upper edge.")  # fmt: skip
    if ambient >= bottom:
        raise RangeProblem(f"The window must lie above the air around the kiln, {printed(kiln.ambient)}.")
    on = tau * math.log((ceiling - bottom) / (ceiling - top))
    return Switching(Q(on, "min"), Q(tau * math.log((top - ambient) / (bottom - ambient)), "min"))


@dataclass(frozen=True, repr=False)
class HoldVerdict:
    """Whether a kiln can hold a window: ``level`` and a sentence, with the numbers behind them.

    ``level`` is one of ``"can hold"``, ``"little reserve"``, ``"may hold"`` (only if the guesses
    turn out well) and ``"cannot hold"``.  ``duty``, ``warm_up`` (time to the lower edge), ``on`` and ``off`` are
    Ranges; None where the kiln does not get there.
    """

    level: str
    sentence: str
    duty: Range | None = None
    warm_up: Range | None = None
    on: Range | None = None
    off: Range | None = None

    def cautions(self):
        """Return the cautions that belong to a firing and to a kiln."""
        return _cautions()

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__

    def _repr_html_(self):
        # Never the colour of a right answer: to hold a window is not to be safe.
        return Note(
            self.sentence, "plain" if self.level == "can hold" and STUCK not in self.sentence else "care"
        )._repr_html_()


def hold_verdict(kiln, low=None, high=None):
    """Return the HoldVerdict on a kiln and a window.

    Parameters
    ----------
    kiln : Kiln
        Its time constant and ceiling may be Ranges.
    low, high : quantity [thermometer reading] or text, optional
        The window of firing.csv if left out: 520 to 580 °C.

    Raises
    ------
    RangeProblem, UnitProblem, ReadingProblem
        If the window is none.

    Examples
    --------
    >>> from labkit.heat.kiln import Kiln
    >>> print(hold_verdict(Kiln("80 min", "500 °C")))
    The kiln cannot hold 520 to 580 °C: its ceiling, 500 °C, is below. Insulate
    better or use another kiln; more power is work for a licensed electrician.
    """
    low = value("firing", "window low") if low is None else low
    high = value("firing", "window high") if high is None else high
    return _hold_verdict(kiln, low, high)


@takes(low="[temperature]", high="[temperature]")
def _hold_verdict(kiln, low, high):
    needs_kiln(kiln, "hold_verdict")
    bottom, top = plain_window("hold_verdict", low, high)
    if number(kiln.ambient, "degC") >= bottom:
        raise RangeProblem(f"The window must lie above the air around the kiln, {printed(kiln.ambient)}.")
    window = f"{bottom:g} to {top:g} °C"
    taus, ceilings = (_three(end, unit) for end, unit in ((kiln.time_constant, "min"), (kiln.ceiling, "degC")))
    ambient = number(kiln.ambient, "degC")
    ceiling = kiln.ceiling if isinstance(kiln.ceiling, Range) else printed(kiln.ceiling)
    if max(ceilings) <= bottom:
        return HoldVerdict("cannot hold", f"The kiln cannot hold {window}: its ceiling, {ceiling}, is below. "
                           "Insulate better or use another kiln; more power is work for a licensed electrician.")  # fmt: skip
    stuck = stuck_words(max(ceilings))
    if min(ceilings) <= bottom:
        words = (f"The kiln may hold {window}, but only if its ceiling, {ceiling}, turns out above it. "
                 "Let it run empty, with someone beside it, and read where it settles before you fire.")  # fmt: skip
        return HoldVerdict("may hold", f"{words} {stuck}".strip())
    aim = min((bottom + top) / 2, min(ceilings))
    duty = _over(taus, ceilings, "percent", lambda tau, end: 100 * (aim - ambient) / (end - ambient))
    warm_up = _over(taus, ceilings, "min", lambda tau, end: tau * math.log((end - ambient) / (end - bottom)))
    little = number(duty.high, "dimensionless") > LITTLE
    words = [f"The kiln can {'only just ' * little}hold {window}: it must be on for {duty} of the time at {aim:g} °C, "
             f"and from {printed(kiln.ambient)} it takes {warm_up} to reach {bottom:g} °C."]  # fmt: skip
    on = off = None
    if min(ceilings) > top:
        on = _over(taus, ceilings, "min", lambda tau, end: tau * math.log((end - bottom) / (end - top)))
        off = _over(taus, ceilings, "min", lambda tau, end: tau * math.log((top - ambient) / (bottom - ambient)))
        words.append(f"To keep between the edges, switch it on for at most {printed_down(on.low)} and off for at most "
                     f"{printed_down(off.low)} at a time.")  # fmt: skip
    else:
        words.append("Left on, it may settle inside the window by itself.")
    if little:
        words.append("That is little reserve: a cold day, a weak supply or an old element may take it.")
    return HoldVerdict(
        "little reserve" if little else "can hold", " ".join([*words, stuck]).strip(), duty, warm_up, on, off
    )


def stuck_words(ceiling):
    """Return what a switch that sticks does to a kiln of this ceiling (°C), or nothing if the powder stands it.

    >>> stuck_words(590.0)
    ''
    """
    lost, losses = (number(value("firing", name), "degC") for name in ("lost", "losses"))
    if ceiling <= losses:
        return ""
    where = (
        f"beyond {lost:g} °C, where the powder is lost"
        if ceiling > lost
        else f"beyond {losses:g} °C, from where powder is being lost"
    )
    return (f"{STUCK}, it heats up to {printed_up(Q(ceiling, 'degC'), 3)}, {where}, with more hydrogen cyanide: give it a second "
            "cut-out that opens by itself.")  # fmt: skip


def _three(end, unit):
    """Return the low, likely and high number of a Range, or the one number of a quantity."""
    return end.m_as(unit) if isinstance(end, Range) else (number(end, unit),)


def _over(taus, ceilings, unit, function):
    """Return the Range of a function of time constant and ceiling, as ``range_from`` does, on plain numbers.

    What it is used for rises or falls steadily in each, so the ends are found at the ends.
    """
    middle = taus[len(taus) // 2], ceilings[len(ceilings) // 2]
    likely = function(*middle)
    corners = [likely] + [function(tau, end) for tau in (taus[0], taus[-1]) for end in (ceilings[0], ceilings[-1])]
    drivers = []
    for name, found in (("time constant", [function(tau, middle[1]) for tau in (taus[0], taus[-1])]),
                        ("ceiling", [function(middle[0], end) for end in (ceilings[0], ceilings[-1])])):  # fmt: skip
        if max(found) > min(found):
            drivers.append((name, Q(min(found), unit), Q(max(found), unit)))
    drivers.sort(key=lambda driver: driver[1].magnitude - driver[2].magnitude)
    return Range(Q(min(corners), unit), Q(likely, unit), Q(max(corners), unit), drivers=tuple(drivers))
