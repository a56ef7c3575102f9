"""How a kiln holds a temperature by switching: ripple, duty, on and off times, and whether it can at all."""

import math
from dataclasses import dataclass

from labkit.data import value
from labkit.errors import RangeProblem
from labkit.heat.kiln import Kiln, _window
from labkit.units import Note, Q, Range, number, printed, printed_up, range_from, refuse_array, takes, wrapped

LITTLE = 0.9  # our choice: a kiln that must be on for more of the time than this has little reserve


@dataclass(frozen=True)
class Ripple:
    """What a kiln does between two switchings after many cycles: lowest, highest and mean reading, and duty."""

    low: object
    high: object
    mean: object
    duty: object

    def __str__(self):
        return (f"{printed(self.low)} to {printed(self.high)}, mean {printed(self.mean)}, "
                f"on for {printed(self.duty)} of the time")  # fmt: skip


@dataclass(frozen=True)
class Switching:
    """On and off times that keep a kiln just inside a window, once it is there."""

    on: object
    off: object

    @property
    def duty(self):
        """Share of the time the kiln is on, in percent."""
        return (self.on / (self.on + self.off)).to("percent")

    def __str__(self):
        return f"{printed(self.on)} on, {printed(self.off)} off: on for {printed(self.duty)} of the time"


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
    >>> print(ripple(Kiln("80 min", "900 °C"), "6 min", "4 min"))
    535 °C to 561 °C, mean 548 °C, on for 60.0 % of the time
    """
    refuse_array("ripple", on=on, off=off)
    tau, ceiling, ambient = kiln._numbers("ripple")
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
    >>> printed(duty_to_hold(Kiln("80 min", "900 °C"), "550 °C"))
    '60.2 %'
    """
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

    >>> printed(fastest_rate(Kiln("80 min", "900 °C"), "550 °C"))
    '4.38 °C/min'
    """
    refuse_array("fastest_rate", temperature=temperature)
    tau, ceiling, _ = kiln._numbers("fastest_rate")
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
    >>> print(switching_to_hold(Kiln("80 min", "900 °C"), "540 °C", "560 °C"))
    4.57 min on, 3.02 min off: on for 60.2 % of the time
    """
    bottom, top = _window("switching_to_hold", low, high)
    tau, ceiling, ambient = kiln._numbers("switching_to_hold")
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


@dataclass(frozen=True)
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

    def __str__(self):
        return wrapped(self.sentence)

    def _repr_html_(self):
        return Note(self.sentence, "right" if self.level == "can hold" else "wrong")._repr_html_()


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
    >>> print(hold_verdict(Kiln("80 min", "500 °C")))
    The kiln cannot hold 520 to 580 °C: its ceiling, 500 °C, is below. Raise the
    power, lower the loss, or use another kiln.
    """
    low = value("firing", "window low") if low is None else low
    high = value("firing", "window high") if high is None else high
    return _hold_verdict(kiln, low, high)


@takes(low="[temperature]", high="[temperature]")
def _hold_verdict(kiln, low, high):
    bottom, top = _window("hold_verdict", low, high)
    if number(kiln.ambient, "degC") >= bottom:
        raise RangeProblem(f"The window must lie above the air around the kiln, {printed(kiln.ambient)}.")
    window = f"{bottom:g} to {top:g} °C"
    ceilings = [number(corner.ceiling, "degC") for corner in kiln.corners]
    ceiling = kiln.ceiling if isinstance(kiln.ceiling, Range) else printed(kiln.ceiling)
    if max(ceilings) <= bottom:
        return HoldVerdict("cannot hold", f"The kiln cannot hold {window}: its ceiling, {ceiling}, is below. "
                           "Raise the power, lower the loss, or use another kiln.")  # fmt: skip
    if min(ceilings) <= bottom:
        return HoldVerdict("may hold", f"The kiln may hold {window}, but only if its ceiling, {ceiling}, turns out above it. "
                           "Let it run empty and read where it settles before you fire.")  # fmt: skip
    aim = min((bottom + top) / 2, min(ceilings))
    duty = _over(kiln, lambda one: duty_to_hold(one, Q(aim, "degC")))
    warm_up = _over(kiln, lambda one: Q(_minutes_to(one, bottom), "min"))
    words = [f"The kiln can hold {window}: it must be on for {duty} of the time at {aim:g} °C, "
             f"and from {printed(kiln.ambient)} it takes {warm_up} to reach {bottom:g} °C."]  # fmt: skip
    on = off = None
    if min(ceilings) > top:
        on = _over(kiln, lambda one: switching_to_hold(one, low, high).on)
        off = _over(kiln, lambda one: switching_to_hold(one, low, high).off)
        words.append(f"Kept between the edges it is on for {on} and off for {off} at a time.")
    else:
        words.append("Left on, it may settle inside the window by itself.")
    lost = value("firing", "lost")
    if max(ceilings) > number(lost, "degC"):
        words.append(f"If the switch sticks it goes on to {printed_up(Q(max(ceilings), 'degC'), 3)}, beyond {printed(lost)} where the powder is "
                     "lost: give it a second cut-out that opens by itself.")  # fmt: skip
    level = "little reserve" if number(duty.high, "dimensionless") > LITTLE else "can hold"
    if level == "little reserve":
        words.append("That is little reserve: a cold day, a weak supply or an old element may take it.")
    return HoldVerdict(level, " ".join(words), duty, warm_up, on, off)


def _minutes_to(kiln, bottom):
    tau, ceiling, ambient = kiln._numbers("hold_verdict")
    return tau * math.log((ceiling - ambient) / (ceiling - bottom))


def _over(kiln, function):
    """Return the Range of a function of a kiln, its likely value taken at the likely kiln."""

    def at(**values):
        return function(
            Kiln(**{"time_constant": kiln.time_constant, "ceiling": kiln.ceiling} | values, ambient=kiln.ambient)
        )

    return range_from(at, **kiln.ranges)
