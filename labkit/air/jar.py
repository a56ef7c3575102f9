"""What stands in a closed jar of solvent, what warming it does, and what drying gives to the air.

Ideal gas throughout, and air that holds all the vapour it can.  A jar that has stood open or
breathes through its lid is at the pressure of the room; one shut at once over fresh air holds the
same vapour on top of all its air, so that the share of vapour is smaller and the pressure larger.
Both are looked at, and the worse one decides.  What is in a jar is counted in molecules: the air
that was shut in stays, however much it is warmed or squeezed.
"""

from dataclasses import dataclass
from math import ceil, floor

from labkit.air.balance import distance_words, jar_gas, plain_jar, refuse_odd_pressure
from labkit.air.fire import LEAN, RICH, FireVerdict, flammable_range, refuse_spread, verdict_between
from labkit.air.limits import Limit, strictest
from labkit.air.vapour import (
    antoine_range,
    boiling_kelvin,
    liquid_density,
    plain_density,
    plain_molar_mass,
    saturated_concentration,
    saturated_fraction,
    solvents,
    vapour_pascal,
    vapour_volume,
)
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, chosen
from labkit.units import Note, Q, Range, number, printed, printed_down, printed_up, rounded_up, takes, wrapped

_PASSED = " On the way there it went through the flammable range."


class _Words:
    """What every answer about a jar can do: be printed, be shown on a page, bring its cautions."""

    def cautions(self):
        """Return the cautions for work with solvents."""
        return cautions("solvent")

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__

    def _repr_html_(self):
        return Note(self.sentence, "care")._repr_html_()


@dataclass(frozen=True, repr=False)
class Headspace(_Words):
    """The gas over a solvent: ``fraction`` of vapour at the pressure of the room, ``closed_fraction`` over fresh air.

    Of a jar shut at once over fresh air, ``evaporated`` is the mass of vapour, ``space`` the gas
    volume, ``overpressure`` how far its pressure is above the room's, and ``dry`` tells whether all
    liquid is gone.  ``verdict`` is the FireVerdict on everything from ``closed_fraction`` to
    ``fraction``; ``distance`` says how far the temperature is from where it burns, if it does not.
    """

    solvent: str
    temperature: object
    fraction: object
    closed_fraction: object
    evaporated: object
    space: object
    overpressure: object
    dry: bool
    verdict: FireVerdict
    distance: str
    sentence: str


@dataclass(frozen=True, repr=False)
class WarmedJar(_Words):
    """A jar shut cold and warmed: its pressure, its vapour, its growing liquid, and whether its gas can burn.

    ``overpressure`` and ``evaporated`` (since it was shut) are Ranges: the low and likely ends hold
    for a jar that had stood open with vapour in it, the high end for one shut at once over fresh
    air.  ``grown`` is the volume of the liquid once warm, if none evaporated.  ``fraction`` is the
    Range of the share of vapour: low in a jar shut at once over fresh air, likely in one that had
    stood open, both still shut; high once the lid is off, or if it breathes.  ``verdict`` is the
    FireVerdict on everything from low to high; ``distance`` is as in a Headspace, of one too lean.
    """

    overpressure: Range
    evaporated: Range
    grown: object
    fraction: Range
    verdict: FireVerdict
    distance: str
    sentence: str


@dataclass(frozen=True, repr=False)
class TemperatureWindow(_Words):
    """The temperatures at which the air over a solvent can burn inside its jar, rounded outward to whole °C.

    ``low`` to ``high`` for a jar at the pressure of the room; up to ``closed_high`` for one shut
    over fresh air.  ``beyond`` names the ends that lie outside the constants and are cut there.
    """

    solvent: str
    low: object
    high: object
    closed_high: object
    beyond: tuple
    sentence: str


@dataclass(frozen=True, repr=False)
class Drying(_Words):
    """Solvent carried off by moving air: what it takes at least, and what keeps the exhaust from burning.

    ``least_air`` and ``least_time``: exhaust full of vapour, which nothing can beat.
    ``exhaust``: average fraction when it dries evenly over the stated time.  ``airflow_needed``:
    keeps that average at a quarter of the lower limit, for fire only; ``time_needed``: so does
    drying this slowly in the given airflow.  ``breathing_airflow``: keeps it at ``breathing_limit``,
    the strictest published Limit for breathing, if the air mixes perfectly.
    """

    least_air: object
    least_time: object
    exhaust: object
    airflow_needed: object
    time_needed: object
    breathing_airflow: object
    breathing_limit: Limit
    verdict: FireVerdict
    sentence: str


@takes(temperature="[temperature]", jar_volume="[volume] > 0", liquid_volume="[volume] > 0", pressure="[pressure] > 0")
def headspace(solvent, temperature, jar_volume, liquid_volume, pressure="1 atm"):
    """Return the Headspace over a solvent in a jar that has stood long enough.

    Parameters
    ----------
    solvent : str
        ``"acetone"`` or ``"ethanol"``.
    temperature : quantity [thermometer reading]
        Of jar and liquid: acetone -25 to 56 °C, ethanol 0 to 75 °C; one value, without ±.
    jar_volume, liquid_volume : quantity [volume]
        The jar to the brim, and the liquid in it when it is shut: of a jar shut at once, what was
        poured in; of one that had stood open, what was left.
    pressure : quantity [pressure]
        Of the room, 50 to 120 kPa.

    Raises
    ------
    LabError
        If an argument can't be used, the liquid fills the jar, or it boils.

    Notes
    -----
    For a jar shut at this temperature.  One shut colder and warmed since holds more air than this
    and can burn where this says too rich: ``warmed_jar``, which also goes above the boiling point.
    Even a few drops left in a jar that had stood open are held to have filled its air with vapour.

    Examples
    --------
    >>> for solvent in ("ethanol", "acetone"):
    ...     print(headspace(solvent, "20 °C", "400 mL", "90 mL").verdict.level)
    flammable
    too rich, and flammable as soon as air gets in
    """
    refuse_spread("headspace", temperature=temperature, jar_volume=jar_volume, liquid_volume=liquid_volume, pressure=pressure)  # fmt: skip
    kelvin, jar, liquid, outside = plain_jar(solvent, temperature, jar_volume, liquid_volume, pressure)
    vapour = vapour_pascal(solvent, kelvin)
    fresh, fraction = jar_gas(solvent, kelvin, kelvin, jar, liquid, outside, 0.0), 100 * vapour / outside
    limits, closed = flammable_range(solvent), 100 * fresh.share
    verdict = verdict_between(limits, closed, max(closed, fraction))
    mass = Q(1000 * fresh.evaporated * plain_molar_mass(solvent), "g")
    left = f"{printed_up(mass)} of it stands in the gas as vapour"
    if fresh.dry:
        left = "all of it evaporates if the jar is shut at once over fresh air"
    distance = distance_words(solvent, kelvin, outside, verdict.level)
    later = f" Its gas is {distance}." if distance else ""
    if verdict.level == RICH:
        later = f"{_PASSED}{later} A jar shut colder and warmed since holds more air and may lie within the range."
    sentence = f"Over {solvent} at {printed(temperature)}, {left}. {verdict.sentence}{later}"
    return Headspace(solvent, temperature, Q(fraction, "percent"), Q(closed, "percent"), mass,
                     Q(1e6 * fresh.space, "mL"), Q(max(0.0, fresh.overpressure) / 1000, "kPa"), fresh.dry, verdict, distance, sentence)  # fmt: skip


@takes(liquid_volume="[volume] > 0", jar_volume="[volume] > 0", closed_at="[temperature]", warmed_to="[temperature]", pressure="[pressure] > 0")  # fmt: skip
def warmed_jar(solvent, liquid_volume, jar_volume, closed_at, warmed_to, pressure="1 atm"):
    """Return the WarmedJar: the pressure above the room's once a shut jar is warmed, and whether its gas can burn.

    Adds the air that is heated, squeezed by the liquid that grows, and the vapour that comes out
    of the liquid.  The jar neither leaks nor gives way.

    Parameters
    ----------
    solvent : str
        ``"acetone"`` or ``"ethanol"``.
    liquid_volume, jar_volume : quantity [volume]
        Of the liquid in it when it was shut, and of the jar to the brim.  Of a jar shut at once
        that is what was poured in; of one that had stood open, what was left.
    closed_at, warmed_to : quantity [thermometer reading]
        -25 to 75 °C (ethanol from 0 °C), and at the first the solvent must not boil; the second is
        the warmer, or the same: a jar shut over fresh air fills with vapour without being warmed.
    pressure : quantity [pressure]
        Of the room, 50 to 120 kPa.

    Raises
    ------
    LabError
        If an argument can't be used; RangeProblem if the warm liquid leaves less than a tenth of
        the jar for gas, or if it was cooled.

    Notes
    -----
    Ideal gas, with allowances that keep the pressure from coming out too small: 1 % on the vapour
    pressure, 0.1 % on the grown liquid.  A jar in which the warm liquid leaves less than a tenth for
    gas gets no figure: count on it that it bursts.  How much a jar stands is not known: a screw jar
    is no pressure vessel.  The fire limits were measured at room temperature and 1 atm; hotter and
    compressed gas burns over a wider range.

    Examples
    --------
    >>> jar = warmed_jar("acetone", "90 mL", "400 mL", "20 °C", "45 °C")
    >>> print(printed_up(jar.overpressure.high))
    79 kPa

    At 47 °C a jar of ethanol is too rich if it was shut there, but not if it was shut cold, for
    then all its cold air is still inside:

    >>> print(headspace("ethanol", "47 °C", "400 mL", "90 mL").verdict.level)
    too rich, and flammable as soon as air gets in
    >>> print(warmed_jar("ethanol", "90 mL", "400 mL", "2 °C", "47 °C").verdict.level)
    flammable
    """
    refuse_spread("warmed_jar", liquid_volume=liquid_volume, jar_volume=jar_volume, closed_at=closed_at, warmed_to=warmed_to, pressure=pressure)  # fmt: skip
    cold, jar, liquid, outside = plain_jar(solvent, closed_at, jar_volume, liquid_volume, pressure)
    hot = number(warmed_to, "K")
    if hot < cold - 1e-6:  # a reading in another unit may be off in the last digit
        raise RangeProblem(f"The temperature it warms to has to be at least {printed(closed_at)}, at which the jar was shut. "
                           "A jar that cools sucks its lid down instead.")  # fmt: skip
    hot = hot if hot > cold + 1e-6 else cold
    before = vapour_pascal(solvent, cold)
    stood, fresh = (jar_gas(solvent, cold, hot, jar, liquid, outside, vapour) for vapour in (before, 0.0))
    grown = Q(1e6 * liquid * plain_density(solvent, cold) / plain_density(solvent, hot), "mL")
    low = max(0.0, stood.overpressure) / 1000
    high = max(low, fresh.overpressure / 1000)
    overpressure = Range(*(Q(pressure, "kPa") for pressure in (low, low, high)),
                         why="shut after standing open, up to shut at once over fresh air",
                         drivers=(("air when shut", Q(low, "kPa"), Q(high, "kPa")),))  # fmt: skip
    grams = 1000 * plain_molar_mass(solvent)
    less = grams * max(0.0, stood.evaporated)
    more = max(less, grams * fresh.evaporated)
    evaporated = Range(*(Q(mass, "g") for mass in (less, less, more)), why=overpressure.why)
    shut = 100 * fresh.share
    after = max(shut, 100 * stood.share)
    # With the lid off the same vapour stands at the pressure of the room, and more comes out of what is left.
    opened = max(after, min(100.0, 100 * max(stood.partial, fresh.partial) / outside))
    fraction = Range(*(Q(share, "percent") for share in (shut, after, opened)),
                     why="shut at once over fresh air, up to opened once warm",
                     drivers=(("air when shut, and the lid", Q(shut, "percent"), Q(opened, "percent")),))  # fmt: skip
    verdict = verdict_between(flammable_range(solvent), shut, opened)
    # Cooled again, a jar that was too rich burns from higher temperatures on than one shut there: no figure for that.
    distance = distance_words(solvent, hot, outside, verdict.level) if verdict.level == LEAN else ""
    far = f" Its gas is {distance}." if distance else ""
    warmed, grows = f"warmed to {printed(warmed_to)}", f"; the {solvent} grows to {printed_up(grown, 3)}"
    if hot == cold:
        warmed, grows = "not warmed", ""
    stands = f"{printed_up(overpressure.likely)} above the room, and" if low > 1e-9 * high else (
        "at the pressure of the room if it had stood open, and")  # fmt: skip
    sentence = (f"Never warm a closed jar. Shut at {printed(closed_at)} and {warmed}, this one stands {stands} up to "
                f"{printed_up(overpressure.high)} above it if it was shut at once over fresh air{grows}. Its gas, still shut or once opened: {verdict.sentence}"
                f"{far}{_PASSED if verdict.level == RICH else ''} The jar can burst, or spray when opened; let it cool before "
                "the lid is touched.")  # fmt: skip
    return WarmedJar(overpressure, evaporated, grown, fraction, verdict, distance, sentence)


@takes(pressure="[pressure] > 0")
def temperature_window(solvent, pressure="1 atm"):
    """Return the TemperatureWindow in which the air over a solvent is flammable inside its jar.

    The temperatures at which the saturated fraction meets the fire limits.  Colder it is too lean,
    warmer too rich, and flammable all the same at every opening.  A jar that has not stood long
    enough, or holds too little liquid, can be flammable at any temperature, and one shut colder and
    warmed since at higher ones: ``warmed_jar``.

    Parameters
    ----------
    solvent : str
        ``"acetone"`` or ``"ethanol"``.
    pressure : quantity [pressure]
        Of the room, 50 to 120 kPa.

    Raises
    ------
    LabError
        If there is no such solvent, or at that pressure the whole window lies outside the
        constants of ``vapour_pressure``.

    Examples
    --------
    >>> for solvent in ("ethanol", "acetone"):
    ...     window = temperature_window(solvent)
    ...     print(f"{window.low:~P}, {window.high:~P}, {window.closed_high:~P}")
    10 °C, 42 °C, 46 °C
    -23 °C, 9 °C, 12 °C
    """
    chosen(solvent, solvents(), "solvent called")
    refuse_spread("temperature_window", pressure=pressure)
    refuse_odd_pressure(pressure)
    limits, outside = flammable_range(solvent), number(pressure, "Pa")
    lower, upper = number(limits.lower, "dimensionless"), number(limits.upper, "dimensionless")
    coldest, hottest = antoine_range(solvent)
    ends, beyond = [], []
    for name, vapour in (("low", lower * outside), ("high", upper * outside),
                         ("closed_high", upper / (1 - upper) * outside)):  # fmt: skip
        kelvin = boiling_kelvin(solvent, vapour)
        if kelvin is None:
            beyond.append(name)
            kelvin = coldest if vapour < vapour_pascal(solvent, coldest) else hottest
        ends.append(kelvin - 273.15)
    if ends[0] >= ends[2]:
        raise RangeProblem(f"At {printed(pressure)} the window of {solvent} lies outside the temperatures its vapour pressure "
                           "is known for. Type a pressure near 1 atm.")  # fmt: skip
    low, high, closed = floor(ends[0]), ceil(ends[1]), ceil(ends[2])
    cut = (
        " The end that could not be found lies outside the published constants: the window reaches farther."
        if beyond
        else ""
    )
    sentence = (f"From about {low} to {high} °C (to {closed} °C in a jar shut there over fresh air) the air over {solvent} holds "
                f"{limits.lower.magnitude:g} to {limits.upper.magnitude:g} % of vapour: it can burn inside the jar. Colder it is too "
                "lean; warmer it is too rich, and flammable as soon as air gets in. A jar shut colder and warmed since holds "
                f"more air and can burn at higher temperatures still.{cut}")  # fmt: skip
    return TemperatureWindow(solvent, Q(low, "degC"), Q(high, "degC"), Q(closed, "degC"), tuple(beyond), sentence)


@takes(mass="[mass] > 0", airflow="[volumetric flow] > 0", temperature="[temperature]", over="[time] > 0", pressure="[pressure] > 0")  # fmt: skip
def drying(solvent, mass, airflow, temperature="20 °C", over="1 h", pressure="1 atm"):
    """Return the Drying of solvent-wet powder in moving air: lower bounds, and the airflow the exhaust needs.

    Parameters
    ----------
    solvent : str
        ``"acetone"`` or ``"ethanol"``.
    mass : quantity [mass]
        Of solvent still in the powder.
    airflow : quantity [volumetric flow]
        Of air over the powder, free of vapour when it comes.
    temperature : quantity [thermometer reading]
        Of air and powder; wet powder cools, and then dries more slowly.
    over : quantity [time]
        In which it dries, evenly.
    pressure : quantity [pressure]
        Of the room, 50 to 120 kPa.

    Raises
    ------
    LabError
        If an argument can't be used, or the solvent boils.

    Notes
    -----
    ``least_air`` and ``least_time`` are bounds: the exhaust is full of vapour, which for acetone
    and warm ethanol means flammable or richer.  The average hides that wet powder gives off most
    at the start: plan for several times the airflow.  Print with ``printed_up``.

    Examples
    --------
    >>> plan = drying("acetone", "30 g", "20 m³/h")
    >>> print(printed_up(plan.least_air), printed_up(plan.airflow_needed), printed_up(plan.breathing_airflow))
    52 L 2.0 m³/h 50 m³/h
    """
    refuse_spread("drying", mass=mass, airflow=airflow, temperature=temperature, over=over, pressure=pressure)
    refuse_odd_pressure(pressure)
    full = saturated_fraction(solvent, temperature, pressure)
    limits = flammable_range(solvent)
    least_air = (mass / saturated_concentration(solvent, temperature)).to("L")
    least_time = (least_air / airflow).to("min")
    vapour = vapour_volume(solvent, mass / liquid_density(solvent, temperature), temperature, pressure)
    exhaust = min((vapour / (airflow * over)).to("percent"), full.to("percent"))
    margin = number(limits.margin, "dimensionless")
    airflow_needed, time_needed = (vapour / margin / over).to("m**3/h"), (vapour / margin / airflow).to("min")
    limit = strictest(solvent, kind="published")
    breathing_airflow = (vapour / number(limit.value, "dimensionless") / over).to("m**3/h")
    verdict = verdict_between(limits, number(exhaust, "percent"), number(exhaust, "percent"))
    rushed = f" {printed(over)} is too short for that much air: it will not be dry." if over < least_time else ""
    breathing = rounded_up(number(breathing_airflow, "m**3/h"), 2)
    sentence = (f"{printed(mass)} of {solvent} at {printed(temperature)}, dried evenly over {printed(over)}: to breathe beside it takes "
                f"at least {breathing} m³/h of air to stay under {printed_down(limit.value)} ({limit.label}), if it mixes perfectly, "
                f"and up to ten times as much if badly. In this airflow {verdict.sentence} For fire only, to stay under a quarter of "
                f"the lower limit, it takes at least {rounded_up(number(airflow_needed, 'm**3/h'), 2)} m³/h, or {printed_up(time_needed)} "
                f"in this airflow.{rushed} Wet powder gives off most at the start, so plan for several times that.")  # fmt: skip
    return Drying(
        least_air, least_time, exhaust, airflow_needed, time_needed, breathing_airflow, limit, verdict, sentence
    )
