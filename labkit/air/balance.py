"""The gas of a shut jar in plain numbers: molecules are counted, and the pressure is never understated."""

from functools import cache
from math import ceil, floor
from typing import NamedTuple

from labkit.air.fire import LEAN, RICH, flammable_range
from labkit.air.vapour import (
    boiling_kelvin,
    gas_constant,
    plain_density,
    plain_molar_mass,
    refuse_boiling,
    vapour_pascal,
)
from labkit.errors import RangeProblem
from labkit.units import Q, number, printed, printed_up

# Allowances on a pressure, so that it does not come out below that of the reference equations of state:
PRESSURE_ALLOWANCE = 1.01  # the Antoine constants lie up to 0.7 % below them from -25 to 75 °C
GROWTH_ALLOWANCE = 1.001  # the density curve is within 0.015 % of them at either temperature
# With less gas than this over warm liquid the pressure is a quotient of small differences, and steep.
LEAST_SPACE = 0.1  # of the jar; common practice (from memory) is to leave at least this much


class JarGas(NamedTuple):
    """The gas of a shut jar in plain numbers.

    ``overpressure`` over the room's, allowances included, and ``partial`` pressure of the vapour in
    Pa, ``share`` of the vapour, ``evaporated`` mol since it was shut, ``space`` in m³, ``dry`` if
    all liquid is gone.
    """

    overpressure: float
    partial: float
    share: float
    evaporated: float
    space: float
    dry: bool


def jar_gas(solvent, cold, hot, jar, liquid, outside, before):
    """Return the JarGas at ``hot`` of a jar shut at ``cold`` with ``before`` Pa of vapour in its air.

    Molecules are counted: the air that was shut in stays.  What evaporates also makes room:
    n = p (V - V_liquid + n v) / RT, solved for n.  The overpressure leaves that room out, and takes
    the vapour pressure 1 % and the grown liquid 0.1 % larger than the constants have them.

    Parameters
    ----------
    solvent : str
        ``"acetone"`` or ``"ethanol"``.
    cold, hot : float
        In K, the second not below the first.
    jar, liquid : float
        In m³; the liquid when the jar is shut.
    outside, before : float
        In Pa: the room, and the vapour in the air when the jar is shut.

    Raises RangeProblem if the warmed liquid leaves less than a tenth of the jar, or as
    ``vapour_pressure`` and ``liquid_density`` do.

    >>> gas = jar_gas("ethanol", 274.15, 318.15, 400e-6, 90e-6, 101325, 0.0)
    >>> print(f"{gas.share:.3f}")
    0.162
    """
    space, heat = jar - liquid, gas_constant() * hot
    first = before * space / (gas_constant() * cold)
    moles = liquid * plain_density(solvent, cold) / plain_molar_mass(solvent) + first
    per_mole, partial = plain_molar_mass(solvent) / plain_density(solvent, hot), vapour_pascal(solvent, hot)
    warmed = hot > cold
    grown = liquid
    if warmed:
        grown *= plain_density(solvent, cold) / plain_density(solvent, hot) * GROWTH_ALLOWANCE
        _refuse_bursting(solvent, hot, jar, grown)
    vapour, left = partial * (jar - moles * per_mole) / (heat - partial * per_mole), jar
    dry = vapour >= moles * (1 - 1e-12)
    if dry:
        vapour, partial = moles, moles * heat / jar
    else:
        left = jar - (moles - vapour) * per_mole
    air = (outside - before) * hot / cold * space
    # One that had stood open and is not warmed is at the pressure of the room, whatever the constants.
    cautious = partial * PRESSURE_ALLOWANCE if not dry and (warmed or not before) else partial
    squeezed = jar if dry else jar - grown
    share = partial / (air / left + partial)
    return JarGas(air / squeezed + cautious - outside, partial, share, vapour - first, left, dry)


def _refuse_bursting(solvent, hot, jar, grown):
    if jar - grown >= LEAST_SPACE * jar:
        return
    bursts = "leaves less than a tenth of the jar for gas: count on it that it bursts"
    if grown >= jar:
        bursts = "fills the jar: it bursts"
    raise RangeProblem(f"Warmed to {printed(Q(hot - 273.15, 'degC'))}, the {solvent} itself grows to "
                       f"{printed_up(Q(1e6 * grown, 'mL'), 3)} and {bursts}. Never warm a closed jar. Type a larger jar volume "
                       "or less liquid.")  # fmt: skip


def plain_jar(solvent, temperature, jar_volume, liquid_volume, pressure):
    """Return K, m³ of jar, m³ of liquid and Pa, or raise RangeProblem on what is odd about a jar that is shut there."""
    refuse_odd_pressure(pressure)
    kelvin, outside = number(temperature, "K"), number(pressure, "Pa")
    refuse_boiling(solvent, vapour_pascal(solvent, kelvin) >= outside)
    jar, liquid = number(jar_volume, "m**3"), number(liquid_volume, "m**3")
    if liquid >= jar:
        raise RangeProblem("The liquid fills the jar, so there is no gas over it. Type a larger jar volume or less liquid.")  # fmt: skip
    return kelvin, jar, liquid, outside


def refuse_odd_pressure(pressure):
    """Raise RangeProblem unless a pressure is that of a room: the fire limits say nothing of a vacuum or a cylinder."""
    if not 50 <= number(pressure, "kPa") <= 120:
        raise RangeProblem(f"The fire limits hold in a room, 50 to 120 kPa, but the pressure is {printed(pressure)}. "
                           "Type for instance 1 atm.")  # fmt: skip


def distance_words(solvent, kelvin, outside, level):
    """Return how far the temperature of a jar is from where its gas burns, for the middle of a sentence.

    ``kelvin`` and ``outside`` (Pa) are plain numbers, ``level`` is that of the FireVerdict; empty if
    it burns already.  Temperatures are rounded so that it burns sooner, distances down.

    >>> distance_words("ethanol", 278.15, 101325, LEAN)
    'flammable from 10 °C on, 5 °C warmer, which a hand warms it to'
    >>> distance_words("acetone", 293.15, 101325, RICH)
    'flammable again once it cools to 12 °C, 8 °C colder'
    """
    lower, upper = _limits(solvent)
    if level == LEAN and (edge := boiling_kelvin(solvent, lower * outside)):
        low = floor(edge - 273.15)
        return f"flammable from {low} °C on, {_degrees(low + 273.15 - kelvin)} warmer, which a hand warms it to"
    if level == RICH and (edge := boiling_kelvin(solvent, upper / (1 - upper) * outside)):
        high = ceil(edge - 273.15)
        return f"flammable again once it cools to {high} °C, {_degrees(kelvin - high - 273.15)} colder"
    return ""


def _degrees(kelvin):
    return f"{floor(kelvin + 1e-6)} °C" if kelvin >= 1 - 1e-6 else "less than 1 °C"


@cache
def _limits(solvent):
    limits = flammable_range(solvent)
    return number(limits.lower, "dimensionless"), number(limits.upper, "dimensionless")
