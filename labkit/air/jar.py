"""What stands in a closed jar of solvent, what warming it does, and what drying gives to the air.

Ideal gas throughout, and air that holds all the vapour it can.  A jar that has stood open or
breathes through its lid is at the pressure of the room; one shut at once over fresh air holds the
same vapour on top of all its air, so that the share of vapour is smaller and the pressure larger.
Both are looked at, and the worse one decides.
"""

from dataclasses import dataclass
from math import ceil, floor

from labkit.air.fire import FireVerdict, flammable_range, refuse_spread, verdict_between
from labkit.air.vapour import (
    antoine_range,
    boiling_kelvin,
    liquid_density,
    saturated_concentration,
    saturated_fraction,
    solvent_molar_mass,
    solvents,
    vapour_pressure,
    vapour_volume,
)
from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, chosen
from labkit.units import Note, Q, Range, number, printed, printed_up, rounded_up, takes, wrapped


class _Words:
    """What every answer about a jar can do: be printed, be shown on a page, bring its cautions."""

    def cautions(self):
        """Return the cautions for work with solvents."""
        return cautions("solvent")

    def __str__(self):
        return wrapped(self.sentence)

    def _repr_html_(self):
        return Note(self.sentence, "care")._repr_html_()


@dataclass(frozen=True, repr=False)
class Headspace(_Words):
    """The gas over a solvent: ``fraction`` of vapour at the pressure of the room, ``closed_fraction`` over fresh air.

    ``evaporated`` is the mass of vapour, ``space`` the gas volume, ``dry`` tells whether all liquid
    is gone, ``verdict`` is the FireVerdict.
    """

    solvent: str
    temperature: object
    fraction: object
    closed_fraction: object
    evaporated: object
    space: object
    dry: bool
    verdict: FireVerdict
    sentence: str


@dataclass(frozen=True, repr=False)
class WarmedJar(_Words):
    """A jar shut cold and warmed: ``overpressure`` and ``evaporated`` as Range, ``grown`` the liquid's volume then.

    The low and likely ends hold for a jar that had stood open with vapour in it, the high end for
    one shut at once over fresh air.
    """

    overpressure: Range
    evaporated: Range
    grown: object
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
    keeps that average at a quarter of the lower limit; ``time_needed``: so does drying this slowly
    in the given airflow.
    """

    least_air: object
    least_time: object
    exhaust: object
    airflow_needed: object
    time_needed: object
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
        The jar to the brim, and the liquid before any of it evaporates.
    pressure : quantity [pressure]
        Of the room, 50 to 120 kPa.

    Raises
    ------
    LabError
        If an argument can't be used, the liquid fills the jar, or it boils.

    Examples
    --------
    >>> for solvent in ("ethanol", "acetone"):
    ...     print(headspace(solvent, "20 °C", "400 mL", "90 mL").verdict.level)
    flammable
    too rich, and flammable as soon as air gets in
    """
    refuse_spread("headspace", temperature=temperature, jar_volume=jar_volume, liquid_volume=liquid_volume, pressure=pressure)  # fmt: skip
    _refuse_odd_pressure(pressure)
    saturated_fraction(solvent, temperature, pressure)  # refuses what boils
    kelvin, jar, liquid, outside = _plain(temperature, jar_volume, liquid_volume, pressure)
    moles = _moles(solvent, temperature, liquid_volume)
    _refuse_full(jar, liquid)
    vapour, evaporated, space = _vapour_in(solvent, kelvin, jar, moles)
    fraction, closed = vapour / outside, vapour / (outside + vapour)
    limits = flammable_range(solvent)
    verdict = verdict_between(limits, 100 * closed, 100 * min(1.0, fraction))
    mass = (Q(evaporated, "mol") * solvent_molar_mass(solvent)).to("g")
    dry = evaporated >= moles * (1 - 1e-12)
    left = "all of it has evaporated" if dry else f"{printed_up(mass)} of it stands in the gas as vapour"
    passed = " On the way there it went through the flammable range." if verdict.level.startswith("too rich") else ""
    sentence = f"Over {solvent} at {printed(temperature)}, {left}. {verdict.sentence}{passed}"
    return Headspace(solvent, temperature, Q(100 * fraction, "percent"), Q(100 * closed, "percent"), mass,
                     Q(space, "m**3").to("mL"), dry, verdict, sentence)  # fmt: skip


@takes(liquid_volume="[volume] > 0", jar_volume="[volume] > 0", closed_at="[temperature]", warmed_to="[temperature]", pressure="[pressure] > 0")  # fmt: skip
def warmed_jar(solvent, liquid_volume, jar_volume, closed_at, warmed_to, pressure="1 atm"):
    """Return the WarmedJar: pressure above the room's once a shut jar is warmed.

    Adds the air that is heated, squeezed by the liquid that grows, and the vapour that comes out
    of the liquid.  The jar neither leaks nor gives way.

    Parameters
    ----------
    solvent : str
        ``"acetone"`` or ``"ethanol"``.
    liquid_volume, jar_volume : quantity [volume]
        Of the liquid when the jar was shut, and of the jar to the brim.
    closed_at, warmed_to : quantity [thermometer reading]
        -25 to 75 °C (ethanol from 0 °C); the second is the warmer.
    pressure : quantity [pressure]
        Of the room, 50 to 120 kPa.

    Raises
    ------
    LabError
        If an argument can't be used; RangeProblem if the liquid alone would fill the jar, or if it
        was not warmed.

    Notes
    -----
    Ideal gas.  How much a jar stands is not known: a screw jar is no pressure vessel.

    Examples
    --------
    >>> jar = warmed_jar("acetone", "90 mL", "400 mL", "20 °C", "45 °C")
    >>> print(printed_up(jar.overpressure.high))
    78 kPa
    """
    refuse_spread("warmed_jar", liquid_volume=liquid_volume, jar_volume=jar_volume, closed_at=closed_at, warmed_to=warmed_to, pressure=pressure)  # fmt: skip
    _refuse_odd_pressure(pressure)
    saturated_fraction(solvent, closed_at, pressure)  # refuses what boils
    cold, jar, liquid, outside = _plain(closed_at, jar_volume, liquid_volume, pressure)
    hot = number(warmed_to, "K")
    if hot <= cold:
        raise RangeProblem(f"warmed_jar() needs ‘warmed_to’ to be above {printed(closed_at)}, at which the jar was shut. "
                           "A jar that cools sucks its lid down instead.")  # fmt: skip
    _refuse_full(jar, liquid)
    grown = liquid_volume * number(liquid_density(solvent, closed_at) / liquid_density(solvent, warmed_to), "")
    if number(grown, "m**3") >= jar:
        raise RangeProblem(f"Warmed to {printed(warmed_to)}, the {solvent} itself grows to {printed_up(grown)} and fills the "
                           "jar: it bursts. Never warm a closed jar. Type a larger jar_volume or less liquid.")  # fmt: skip
    moles, space = _moles(solvent, closed_at, liquid_volume), jar - liquid
    results = []
    for vapour in (number(vapour_pressure(solvent, closed_at), "Pa"), 0.0):  # stood open; shut over fresh air
        before = vapour * space / (_gas_constant() * cold)
        partial, after, left = _vapour_in(solvent, hot, jar, moles + before)
        air = (outside - vapour) * hot / cold * space / left
        results.append((air + partial - outside, after - before))
    (low, less), (high, more) = results
    weight = solvent_molar_mass(solvent)
    overpressure = Range(*(Q(number, "Pa").to("kPa") for number in (low, low, max(low, high))),
                         why="shut after standing open, up to shut at once over fresh air",
                         drivers=(("air when shut", Q(low, "Pa").to("kPa"), Q(max(low, high), "Pa").to("kPa")),))  # fmt: skip
    evaporated = Range(*((Q(max(0.0, number), "mol") * weight).to("g") for number in (less, less, max(less, more))),
                       why=overpressure.why)  # fmt: skip
    sentence = (f"Never warm a closed jar. Shut at {printed(closed_at)} and warmed to {printed(warmed_to)}, this one stands "
                f"{printed_up(overpressure.likely)} above the room, and up to {printed_up(overpressure.high)} if it was shut "
                f"at once over fresh air; the {solvent} grows to {printed_up(grown.to('mL'), 3)}. It can burst, or spray when "
                "opened; let it cool before the lid is touched.")  # fmt: skip
    return WarmedJar(overpressure, evaporated, grown.to("mL"), sentence)


@takes(pressure="[pressure] > 0")
def temperature_window(solvent, pressure="1 atm"):
    """Return the TemperatureWindow in which the air over a solvent is flammable inside its jar.

    The temperatures at which the saturated fraction meets the fire limits.  Colder it is too lean,
    warmer too rich, and flammable all the same at every opening.  A jar that has not stood long
    enough, or holds too little liquid, can be flammable at any temperature.

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
    _refuse_odd_pressure(pressure)
    limits, outside = flammable_range(solvent), number(pressure, "Pa")
    lower, upper = number(limits.lower, "dimensionless"), number(limits.upper, "dimensionless")
    coldest, hottest = antoine_range(solvent)
    ends, beyond = [], []
    for name, vapour in (("low", lower * outside), ("high", upper * outside),
                         ("closed_high", upper / (1 - upper) * outside)):  # fmt: skip
        kelvin = boiling_kelvin(solvent, vapour)
        if kelvin is None:
            beyond.append(name)
            kelvin = coldest if vapour < _pascal(solvent, coldest) else hottest
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
    sentence = (f"From about {low} to {high} °C (to {closed} °C in a jar shut over fresh air) the air over {solvent} holds "
                f"{limits.lower.magnitude:g} to {limits.upper.magnitude:g} % of vapour: it can burn inside the jar. Colder it is too "
                f"lean; warmer it is too rich, and flammable as soon as air gets in.{cut}")  # fmt: skip
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
    >>> print(printed_up(plan.least_air), printed_up(plan.airflow_needed.to("m³/h")))
    52 L 2.0 m³/h
    """
    refuse_spread("drying", mass=mass, airflow=airflow, temperature=temperature, over=over, pressure=pressure)
    _refuse_odd_pressure(pressure)
    full = saturated_fraction(solvent, temperature, pressure)
    limits = flammable_range(solvent)
    least_air = (mass / saturated_concentration(solvent, temperature)).to("L")
    least_time = (least_air / airflow).to("min")
    vapour = vapour_volume(solvent, mass / liquid_density(solvent, temperature), temperature, pressure)
    exhaust = min((vapour / (airflow * over)).to("percent"), full.to("percent"))
    margin = number(limits.margin, "dimensionless")
    airflow_needed, time_needed = (vapour / margin / over).to("m**3/h"), (vapour / margin / airflow).to("min")
    verdict = verdict_between(limits, number(exhaust, "percent"), number(exhaust, "percent"))
    rushed = f" {printed(over)} is shorter than that: it will not be dry." if over < least_time else ""
    sentence = (f"{printed(mass)} of {solvent} at {printed(temperature)} fills at least {printed_up(least_air)} of air, so it "
                f"takes at least {printed_up(least_time)} in this airflow, and in truth longer.{rushed} Dried evenly over "
                f"{printed(over)}: {verdict.sentence} To stay under a quarter of the lower limit it takes at least "
                f"{rounded_up(number(airflow_needed, 'm**3/h'), 2)} m³/h, or {printed_up(time_needed)} in this airflow; wet powder "
                "gives off most at the start, so plan for several times that.")  # fmt: skip
    return Drying(least_air, least_time, exhaust, airflow_needed, time_needed, verdict, sentence)


def _refuse_odd_pressure(pressure):
    """The fire limits were measured near 1 atm, and say nothing of a vacuum or a cylinder."""
    if not 50 <= number(pressure, "kPa") <= 120:
        raise RangeProblem(f"The fire limits hold in a room, 50 to 120 kPa, but the pressure is {printed(pressure)}. "
                           "Type for instance pressure='1 atm'.")  # fmt: skip


def _plain(temperature, jar_volume, liquid_volume, pressure):
    return (number(temperature, "K"), number(jar_volume, "m**3"), number(liquid_volume, "m**3"), number(pressure, "Pa"))  # fmt: skip


def _moles(solvent, temperature, liquid_volume):
    return number(liquid_density(solvent, temperature) * liquid_volume / solvent_molar_mass(solvent), "mol")


def _gas_constant():
    return number(value("constants", "gas constant"), "J/mol/K")


def _pascal(solvent, kelvin):
    return number(vapour_pressure(solvent, Q(kelvin, "K")), "Pa")


def _refuse_full(jar, liquid):
    if liquid >= jar:
        raise RangeProblem("The liquid fills the jar, so there is no gas over it. Type a jar_volume larger than liquid_volume.")  # fmt: skip


def _vapour_in(solvent, kelvin, jar, moles):
    """Return vapour pressure in Pa, moles of vapour and gas volume in m³, of ``moles`` of solvent in a jar of m³.

    What evaporates also makes room: n = p (V - V_liquid + n v) / RT, solved for n.
    """
    per_mole = number(solvent_molar_mass(solvent) / liquid_density(solvent, Q(kelvin, "K")), "m**3/mol")
    pressure, heat = _pascal(solvent, kelvin), _gas_constant() * kelvin
    vapour = pressure * (jar - moles * per_mole) / (heat - pressure * per_mole)
    if vapour >= moles:
        return moles * heat / jar, moles, jar
    return pressure, vapour, jar - (moles - vapour) * per_mole
