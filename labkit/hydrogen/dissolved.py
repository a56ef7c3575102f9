"""What water takes up and gives up: dissolved hydrogen, and the air that comes out when it warms."""

from functools import cache, lru_cache

import numpy as np

from labkit.chemistry.formula import molar_mass
from labkit.chemistry.gas import dry_pressure, water_vapour_pressure
from labkit.data import row, table, value
from labkit.errors import RangeProblem
from labkit.units import Q, number, takes

AIR = ("nitrogen", "oxygen", "argon")


@takes(temperature="[temperature]")
def henry_constant(gas, temperature="25 °C"):
    r"""Return how much of a gas dissolves in water per volume and pressure, in mol/m³/Pa; single or array.

    .. math:: H = \frac{\rho_{water}}{M_{water}\,k_H(T)}

    Parameters
    ----------
    gas : str
        ``"hydrogen"``, ``"oxygen"``, ``"nitrogen"`` or ``"argon"``.
    temperature : quantity [thermometer reading]
        0 to 60 °C; the formula itself was fitted from 0 °C (hydrogen) to 5 °C (nitrogen) upward.

    Returns
    -------
    quantity
        Of plain water; salt lowers it.  sander_2023 lists 7.8e-6 mol/m³/Pa for hydrogen at 25 °C.

    Raises
    ------
    SourceProblem, RangeProblem
        If the table has no such gas, or the water would freeze or be hotter than 60 °C.

    References
    ----------
    iapws_g7_04, henry.csv; wagner_pruss_1993; iapws_95

    Examples
    --------
    >>> print(f"{henry_constant('hydrogen', '25 °C').magnitude:.1e}")
    7.8e-06
    """
    kelvin = number(temperature, "K")
    if np.any(kelvin < 273.159) or np.any(kelvin > 333.16):
        raise RangeProblem("henry_constant() holds for liquid water, 0.01 to 60 °C.")
    found = row("henry", gas)
    first, second, third = (float(found[name]) for name in "abc")
    part = kelvin / number(value("water_saturation", "critical temperature"), "K")
    power = first / part + second * (1 - part) ** 0.355 / part + third * part**-0.41 * np.exp(1 - part)
    pressure = number(water_vapour_pressure(temperature), "Pa") * np.exp(power)
    return Q(_molecules(kelvin - 273.15) / pressure, "mol/m**3/Pa")


def _molecules(celsius):
    """Return the amount of water in a volume of it, in mol/m³."""
    places, densities = _densities()
    return np.interp(celsius, places, densities) / number(molar_mass("H2O"), "kg/mol")


@cache
def _densities():
    rows = table("water_density")
    return [float(row["celsius"]) for row in rows], [float(row["value"]) for row in rows]


@takes(water="[volume] >= 0", pressure="[pressure] >= 0", temperature="[temperature]")
def dissolved_amount(gas, water, pressure, temperature="25 °C"):
    """Return the amount of a gas that water holds once it is saturated, in µmol.

    Parameters
    ----------
    gas : str
        As in ``henry_constant``.
    water : quantity [volume]
    pressure : quantity [pressure]
        Of that gas alone above the water.
    temperature : quantity [thermometer reading]

    Examples
    --------
    >>> from labkit.units import printed
    >>> printed(dissolved_amount('hydrogen', '100 mL', '1 atm'), 2, 'µmol')
    '79 µmol'
    """
    return (henry_constant(gas, temperature) * water * pressure).to("µmol")


@takes(water="[volume] >= 0", cold="[temperature]", warm="[temperature]", pressure="[pressure] > 0")
def air_from_warming(water, cold, warm, pressure="1 atm"):
    """Return the air that water gives up at most when it is warmed, as an amount in µmol: gas that is no hydrogen.

    Parameters
    ----------
    water : quantity [volume]
        Open to the air before, so that it had taken up what it could.
    cold, warm : quantity [thermometer reading]
        1 to 60 °C.  Zero if ``warm`` is the lower one: then water takes up air.
    pressure : quantity [pressure]
        Of the moist air above it.

    Returns
    -------
    quantity [amount]
        Good to a few percent.  At most: water that stands still keeps some of it back.

    References
    ----------
    iapws_g7_04, wagner_pruss_1993; shares of the air from memory

    Examples
    --------
    >>> from labkit.units import printed
    >>> printed(air_from_warming('200 mL', '15 °C', '30 °C'), 2, 'µmol')
    '42 µmol'
    """
    held = [air_in_water(water, temperature, pressure) for temperature in (cold, warm)]
    return np.maximum(held[0] - held[1], Q(0.0, "µmol"))


@takes(water="[volume] >= 0", temperature="[temperature]", pressure="[pressure] > 0")
def air_in_water(water, temperature, pressure="1 atm"):
    """Return the air (nitrogen, oxygen, argon) in water that has long stood open to moist air, in µmol.

    >>> from labkit.units import printed
    >>> printed(air_in_water('1 L', '20 °C'), 3, 'µmol')
    '838 µmol'
    """
    temperature, pressure = temperature.to("K"), pressure.to("kPa")
    if all(isinstance(size.magnitude, float) for size in (temperature, pressure)):  # no array and no ±
        return (water * _in_a_litre(temperature.magnitude, pressure.magnitude)).to("µmol")
    return _air_held(water, temperature, pressure)


@lru_cache(128)
def _in_a_litre(kelvin, kilopascals):
    return _air_held(Q(1.0, "L"), Q(kelvin, "K"), Q(kilopascals, "kPa")) / Q(1.0, "L")


def _air_held(water, temperature, pressure):
    dry = dry_pressure(pressure, temperature)
    shares = {gas: value("over_water", f"share of {gas} in dry air") for gas in AIR}
    return sum(dissolved_amount(gas, water, dry * share, temperature) for gas, share in shares.items())
