"""Energy and cost of a firing: power times the share of the time it is on, or from the lag of your kiln."""

import re
import unicodedata
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from labkit.chemistry.formula import molar_mass
from labkit.chemistry.thermolysis import route
from labkit.data import guess, row, value
from labkit.errors import ChoiceProblem, LabError, RangeProblem, ReadingProblem
from labkit.heat.kiln import Course, Kiln, plain_kiln, trace_of
from labkit.heat.log import KilnLog
from labkit.heat.schedule import Schedule
from labkit.heat.share import mean_minutes_on, means_along
from labkit.units import (
    Note,
    Q,
    Range,
    as_range,
    checked,
    clock_text,
    is_quantity,
    number,
    number_text,
    range_from,
    read_range,
    refuse_array,
    takes,
)

LONGEST_TARIFF = 60  # characters
LONGEST_CURRENCY = 12
_PER = {"kWh": 1.0, "1kWh": 1.0, "100kWh": 100.0, "MWh": 1000.0}
_PER_UNIT = re.compile(r" ?(?:/|\bper ) ?(1 ?|100 ?)?(kWh|MWh)\b")
_WORDS = re.compile(r"[0-9]+(?:[.,][0-9]+)*|,|[^\s0-9,]+")
_BELOW = re.compile(r"(?:^[^0-9]*|\bto )[-\u2212] ?[.,]?[0-9]")
_DASHED = re.compile(r"([0-9][0-9.,]*)(?:(?!\bto\b)[^0-9]){0,14}?[-–—\u2212] ?([0-9][0-9.,]*)")
_TOO_FAST = 1e-6  # share of the power by which rounding may pass the most a kiln has


def firing_energy(firing, power, duty=None, kiln=None):
    """Return the Range of electric energy of a firing, in kWh.

    Without a kiln it is power times time times duty, the share of the time the elements are on.
    With one it is what the lag of the kiln takes: the loss at each temperature and what the ramp
    stores.  Natural cooling takes nothing; the charge and its reactions are not counted.
    Of a Course of that very kiln it is its switching, exactly.  Of a log, a Trace or another Course the share
    is told from mean rates over 5 to 10 min and kept between 0 and 1; gaps of a log are left out with a
    kiln (``why`` of the Range says so) and counted without one.

    Parameters
    ----------
    firing : quantity [time] or Range, text such as ``"6 h"`` or ``"6 to 8 h"``, Schedule, Course, log or Trace
        Without a kiln only its duration counts, natural cooling left out of a Schedule.
    power : quantity [power], text or Range
        Of the elements at full power, for which the kiln's ceiling holds.
    duty : Range, quantity or text, optional
        0 to 100 %; the row ``firing`` of duty.csv if left out (common practice: 15 to 65 %).
    kiln : Kiln, optional
        May have ranges.

    Returns
    -------
    Range of quantities [energy], in kWh

    Raises
    ------
    RangeProblem
        If a share lies outside 0 to 100 %, a ramp is faster than the kiln can, or a log clearly so: the message says where.
    LabError
        If both duty and kiln are given, or a kiln without a course.
    UnitProblem, ReadingProblem
        If a value is of another kind or can't be read.

    Notes
    -----
    What a log scatters makes shares that are cut off at 0 while it cools and at 1 on full power.  So the energy of a
    firing comes out too high by up to about 0.4 s/5 min × time constant / (ceiling - ambient) of the time it
    cools, s being 1.4 times the scatter of the readings, and too low by as much of the time at full power:
    for 0.3 K and the kiln below 0.3 % of each.

    Examples
    --------
    >>> print(firing_energy("6 h", "1.2 kW"))
    1.1 to 4.7 kWh, likely 3.6 kWh
    >>> from labkit.heat.schedule import schedule
    >>> firing = schedule("to 550 °C at 3 °C/min", "hold 3 h", "cool to 60 °C with 80 min")
    >>> print(firing_energy(firing, "1.2 kW", kiln=Kiln("80 min", "900 °C")))
    4.20 kWh
    """
    power = as_range(power, "[power] > 0", "power")
    if kiln is not None:
        if duty is not None:
            raise LabError("firing_energy() takes ‘duty’ or ‘kiln’, not both: the kiln tells its duty.")
        return _from_kiln(firing, power, kiln)
    duty = guess("duty", "firing") if duty is None else as_range(duty, "[] >= 0", "duty")
    if duty.m_as("dimensionless")[2] > 1:
        raise RangeProblem("The duty is a share of the time from 0 to 100 %. Type for instance 40 % to 60 %.")
    return range_from(
        lambda power, duty, time: (power * time * duty).to("kWh"), power=power, duty=duty, time=_heated_time(firing)
    )


def _heated_time(firing):
    """Return the time in which a kiln may be on: of a Schedule without its natural cooling."""
    if isinstance(firing, Range) or isinstance(firing, str) and " to " in firing:
        return as_range(firing, "[time] > 0", "firing")
    if isinstance(firing, str) or is_quantity(firing):
        time = checked(firing, "[time] > 0", "firing", "firing_energy")
        refuse_array("firing_energy", firing=time)
        return time
    if isinstance(firing, Schedule):
        return Q(sum(number(step.duration, "min") for step in firing.steps if step.kind != "natural"), "min")
    return trace_of(firing).duration


def _from_kiln(firing, power, kiln):
    if not isinstance(kiln, Kiln):
        raise LabError("firing_energy() needs a Kiln for ‘kiln’. Type for instance kiln=Kiln('80 min', '900 °C').")
    if isinstance(firing, (str, Range)) or is_quantity(firing):
        raise LabError(
            "With a kiln, firing_energy() needs a schedule, a log or a trace, for the temperatures on the way."
        )
    fixed = {"time_constant": kiln.time_constant, "ceiling": kiln.ceiling}
    ambient = number(kiln.ambient, "degC")
    minutes_on, why = _asked(firing, kiln)
    minutes_on = cache(minutes_on)  # the same few kilns come with every power

    def energy(power, **values):
        one = fixed | values
        plain = number(one["time_constant"], "min"), number(one["ceiling"], "degC"), ambient
        return Q(number(power, "kW") * minutes_on(plain) / 60, "kWh")

    found = range_from(energy, power=power, **kiln.ranges)
    return replace(found, why=why or found.why)


def _asked(firing, kiln):
    """Return a function of one plain kiln (min, °C, °C) for the minutes at full power that a firing asks of it, and what was left out of them."""
    if isinstance(firing, Schedule):
        pieces = _pieces(firing)
        return lambda one: _minutes_on(one, *pieces), ""
    if isinstance(firing, Course) and not kiln.ranges and plain_kiln(kiln, "") == plain_kiln(firing.kiln, ""):
        _, ceiling, ambient = plain_kiln(kiln, "firing_energy")
        on = float(((firing.targets - ambient) / (ceiling - ambient)) @ np.diff(firing.minutes))
        return lambda one: on, ""
    trace = trace_of(firing)
    means = means_along(trace, lines=not isinstance(firing, KilnLog))
    gaps = number(trace.gap_time, "min")
    why = f"gaps of the log, {clock_text(trace.gap_time, np.ceil)}, are left out" if gaps else ""
    return lambda one: mean_minutes_on(one, *means), why


def _pieces(firing):
    """Return the times and readings of the straight lines of a Schedule, and which may take power."""
    trace = trace_of(firing)
    ends = np.cumsum([number(step.duration, "min") for step in firing.steps])
    middle = (trace.minutes[1:] + trace.minutes[:-1]) / 2
    of_step = np.minimum(np.searchsorted(ends, middle), len(ends) - 1)
    natural = np.array([step.kind == "natural" for step in firing.steps])
    return trace.minutes, trace.celsius, ~natural[of_step]


def _minutes_on(kiln, minutes, celsius, powered):
    """Return the minutes at full power: loss and storage of straight lines, integrated exactly."""
    tau, ceiling, ambient = kiln
    length = np.diff(minutes)
    rate = np.diff(celsius) / length
    first = (celsius[:-1] - ambient + tau * rate) / (ceiling - ambient)
    last = (celsius[1:] - ambient + tau * rate) / (ceiling - ambient)
    most = np.where(powered, np.maximum(first, last), 0)
    if most.max() > 1 + _TOO_FAST:
        worst = int(np.argmax(most))
        at = max(celsius[worst], celsius[worst + 1])
        fastest = max(ceiling - at, 0) / tau
        if not fastest > 0:
            raise RangeProblem(
                f"This kiln never gets to {at:.0f} °C: left on for ever it would settle at its ceiling, {ceiling:.0f} °C. Aim lower, "
                "or use a kiln with a higher ceiling."
            )
        raise RangeProblem(
            f"The ramp is faster than the kiln can: at {at:.0f} °C, {clock_text(Q(minutes[worst + 1], 'min'), np.round)} from the start, it asks for "
            f"{rate[worst]:.2g} °C/min, but this kiln (time constant {tau:.0f} min, ceiling {ceiling:.0f} °C) does at most "
            f"{fastest:.2g} °C/min there. Ask for a slower ramp."
        )
    # Where the share falls below zero the kiln is simply off.
    low, high = np.minimum(first, last), np.maximum(first, last)
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = np.where(high > low, high**2 / (2 * (high - low)), 0)
    share = np.where(low >= 0, (low + high) / 2, np.where(high <= 0, 0, crossing))
    return float((share * length)[powered].sum())


@takes(precursor_mass="[mass] > 0")
def heat_to_decompose(precursor_mass, precursor="urea"):
    """Return the heat that urea takes up as it goes to ammonia and isocyanic acid, in kJ.

    From enthalpies of formation at 25 °C (heats.csv): computed, for the first step and nothing
    after it, and small beside what the kiln itself takes.

    Raises
    ------
    ChoiceProblem
        For a precursor other than urea: no enthalpies are at hand.
    UnitProblem, ReadingProblem, RangeProblem
        If the mass is none.

    Examples
    --------
    >>> from labkit.units import printed
    >>> printed(heat_to_decompose("24 g"))
    '67.3 kJ'
    """
    if precursor != "urea":
        raise ChoiceProblem("heat_to_decompose() knows urea only; no enthalpies are at hand for another precursor.")
    per_mole = value("heats", "NH3 (gas)") + value("heats", "HNCO (gas)") - value("heats", "urea (solid)")
    return (precursor_mass / molar_mass(route(precursor).formula) * per_mole).to("kJ")


# --------------------------------------------------------------------------------------------- cost
@dataclass(frozen=True)
class Tariff:
    """What a kWh costs: ``amount``, a Range per kWh, and ``currency``, the text as typed; nothing is converted."""

    amount: Range
    currency: str

    def __str__(self):
        return f"{_money(self.amount.m_as('1/kWh'), self.currency)} per kWh"

    @property
    def why(self):
        """Where it comes from."""
        return self.amount.why


@dataclass(frozen=True, repr=False)
class Cost:
    """What a firing costs: ``amount``, a Range of plain numbers, in the ``currency`` of the tariff."""

    amount: Range
    currency: str

    def __str__(self):
        return _money(self.amount.m_as("dimensionless"), self.currency)

    __repr__ = __str__

    def _repr_html_(self):
        return Note(str(self))._repr_html_()

    @property
    def driver(self):
        """Name of what spreads it most."""
        return self.amount.driver


def _money(ends, currency):
    low, likely, high = (number_text(end, 2) for end in ends)
    if ends[0] == ends[2]:
        return f"{number_text(ends[1], 3)} {currency}"
    return f"{low} to {high} {currency}, likely {likely} {currency}"


def tariff(text):
    """Return the Tariff that a text such as ``"0.30 €/kWh"`` stands for.

    Parameters
    ----------
    text : str
        A number or a range, a currency (up to 12 letters or signs) and ``/kWh``, ``/100 kWh`` or ``/MWh``.

    Raises
    ------
    ReadingProblem
        If it can't be read; says what to type.

    Examples
    --------
    >>> print(tariff("0.25 to 0.35 €/kWh"), "|", tariff("28.72 € / 100 kWh"), "|", tariff("0.15 $ per kWh"))
    0.25 to 0.35 €, likely 0.30 € per kWh | 0.287 € per kWh | 0.150 $ per kWh
    """
    advice = "Type a tariff such as 0.30 €/kWh or 0.25 to 0.35 €/kWh."
    if not isinstance(text, str) or len(text) > LONGEST_TARIFF:
        raise ReadingProblem(f"This is no tariff: it must be a text of at most {LONGEST_TARIFF} characters. {advice}")
    if _BELOW.search(text):
        raise ReadingProblem(f"A price is not below zero. {advice}")
    if dashed := _DASHED.search(text):
        raise ReadingProblem(f"Write the word “to” between the ends of a price: {dashed[1]} to {dashed[2]}. {advice}")
    units = {(found[1] or "").strip() + found[2] for found in _PER_UNIT.finditer(text)}
    if len(units) != 1:
        raise ReadingProblem(f"A tariff is a price per kWh, 100 kWh or MWh. {advice}")
    per = _PER[units.pop()]
    kept, currencies = [], set()
    for word in _WORDS.findall(_PER_UNIT.sub("", text)):
        if word in ("to", "likely", ",") or "0" <= word[0] <= "9":
            kept.append(word)
        else:
            currencies.add(word)
    if len(currencies) != 1 or not _is_currency(*currencies):
        raise ReadingProblem(f"A tariff has one currency, of at most {LONGEST_CURRENCY} letters or a sign. {advice}")
    try:
        amount = read_range(" ".join(kept).replace(" ,", ","), "[]", "the tariff")
    except LabError as problem:
        if "lower end first" in str(problem):
            raise ReadingProblem(f"Type the lower end of a price first. {advice}") from None
        raise ReadingProblem(f"The price can't be read. {advice}") from None
    return Tariff(Range(*(Q(end / per, "1/kWh") for end in amount.m_as("dimensionless")), why="typed"), *currencies)


def _is_money(mark):
    return mark.isalpha() or unicodedata.category(mark) == "Sc"


def _is_currency(text):
    return 0 < len(text) <= LONGEST_CURRENCY and all(_is_money(mark) or mark == "." for mark in text)


def usual_tariff():
    """Return the Tariff of EU households, second half of 2024 (Eurostat, read in a secondary copy).

    >>> print(usual_tariff(), "|", usual_tariff().why[:23])
    0.10 to 0.39 €, likely 0.29 € per kWh | second half of 2024: pu
    """
    span = guess("tariffs", "EU household")
    found = row("tariffs", "EU household")
    return Tariff(Range(*span.ends, why=f"{found['when']}: {span.why}"), found["currency"])


def cost(energy, price=None):
    """Return the Cost of an energy at a tariff.

    Parameters
    ----------
    energy : Range, quantity [energy] or text
    price : Tariff or text, optional
        ``usual_tariff()`` if left out.

    Raises
    ------
    UnitProblem, ReadingProblem, RangeProblem
        If the energy is none or the tariff can't be read.

    Examples
    --------
    >>> print(cost("7 to 11 kWh, likely 9 kWh", "0.30 €/kWh"))
    2.1 to 3.3 €, likely 2.7 €
    """
    price = usual_tariff() if price is None else price if isinstance(price, Tariff) else tariff(price)
    spent = range_from(
        lambda energy, tariff: (energy * tariff).to("dimensionless"),
        energy=as_range(energy, "[energy] >= 0", "energy"),
        tariff=price.amount,
    )
    return Cost(spent, price.currency)
