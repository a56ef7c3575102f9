"""Ideal gas volumes, and gas collected over water."""

from functools import cache

import numpy as np

from labkit.data import table, value
from labkit.errors import RangeProblem
from labkit.units import Q, number, takes


@takes(amount="[amount] >= 0", temperature="[temperature]", pressure="[pressure] > 0")
def gas_volume(amount, temperature="25 °C", pressure="1 atm"):
    r"""Return the volume of an ideal gas, :math:`V = nRT/p`.

    Parameters
    ----------
    amount : quantity [amount]
    temperature : quantity [thermometer reading]
    pressure : quantity [pressure]
        Total pressure of the gas; for gas over water subtract the vapour first
        (``dry_pressure``).

    Returns
    -------
    quantity [volume], in L
        Arguments and result may be single or arrays.

    Raises
    ------
    UnitProblem, RangeProblem, ReadingProblem
        If an argument is of another kind, has the wrong sign, or can't be read.

    Notes
    -----
    At 1 atm and room temperature hydrogen takes 0.06 % more room than this (real-gas factor
    1.0006 from CoolProp); ammonia and carbon dioxide take 0.5 to 1 % less.

    Examples
    --------
    >>> print(f"{gas_volume('1 mol', '25 °C'):.2f~P}")
    24.47 L
    """
    return (amount * value("constants", "gas constant") * temperature.to("K") / pressure).to("L")


@takes(volume="[volume] >= 0", temperature="[temperature] > 0", pressure="[pressure] > 0")
def amount_from_gas_volume(volume, temperature="25 °C", pressure="1 atm"):
    """Return the amount in a volume of ideal dry gas, in mol; the inverse of ``gas_volume``.

    Examples
    --------
    >>> print(f"{amount_from_gas_volume('40 mL', '20 °C').to('mmol'):.2f~P}")
    1.66 mmol
    """
    return (pressure * volume / (value("constants", "gas constant") * temperature.to("K"))).to("mol")


@takes(temperature="[temperature]")
def water_vapour_pressure(temperature):
    """Return the saturation pressure of water, in kPa.

    Valid from the triple point (0.01 °C) to 373 °C; labkit uses it from 0.01 to 100 °C, where it
    agrees with IAPWS-95 within 0.02 %.  Single or array.

    Raises
    ------
    RangeProblem
        Below 0.01 °C (ice) or above 373 °C.

    References
    ----------
    wagner_pruss_1993, coefficients in water_saturation.csv.

    Examples
    --------
    >>> print(f"{water_vapour_pressure('25 °C'):.3f~P}")
    3.170 kPa
    """
    kelvin, plain = temperature.to("K").magnitude, number(temperature, "K")
    if np.any(plain < 273.159) or np.any(plain > 646):
        raise RangeProblem("water_vapour_pressure() holds for liquid water, 0.01 to 373 °C.")
    critical_temperature, critical_pressure, terms = _saturation()
    ratio = kelvin / critical_temperature
    exponent = sum(factor * (1 - ratio) ** power for factor, power in terms) / ratio
    return Q(critical_pressure * _exponential(exponent), "kPa")


def _exponential(exponent):
    if np.asarray(exponent).dtype.kind == "f":
        return np.exp(exponent)
    from uncertainties import unumpy  # for numbers that carry a ±, single or many

    return unumpy.exp(exponent)[()]


@takes(pressure="[pressure] > 0", temperature="[temperature]")
def dry_pressure(pressure, temperature):
    """Return the pressure left for a gas collected over water: total minus water vapour, in kPa.

    Raises
    ------
    RangeProblem
        If the water would boil at that pressure, or the temperature is beyond
        ``water_vapour_pressure``.

    Examples
    --------
    >>> print(f"{dry_pressure('1013 hPa', '20 °C'):.1f~P}")
    99.0 kPa
    """
    dry = pressure.to("kPa") - water_vapour_pressure(temperature)
    if np.any(number(dry, "kPa") <= 0):
        raise RangeProblem("At that pressure the water would boil, so no gas can be collected over it.")
    return dry


@cache
def _saturation():
    """Return the critical temperature in K, the critical pressure in kPa, and (coefficient, power) of each term."""
    terms = tuple((float(row["value"]), float(row["power"])) for row in table("water_saturation") if row["power"])
    temperature, pressure = (value("water_saturation", f"critical {name}") for name in ("temperature", "pressure"))
    return number(temperature, "K"), number(pressure, "kPa"), terms
