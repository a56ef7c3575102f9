"""Ideal gas volumes, and gas collected over water."""

import numpy as np
from uncertainties import umath

from labkit.data import value
from labkit.errors import RangeProblem
from labkit.units import Q, nominal, takes

# W. Wagner, A. Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783, equation for the saturation
# pressure: (coefficient, power of 1 - T/Tc).  See sources.toml, wagner_pruss_1993.
_CRITICAL_TEMPERATURE = Q(647.096, "K")
_CRITICAL_PRESSURE = Q(22.064, "MPa")
_SATURATION = ((-7.85951783, 1), (1.84408259, 1.5), (-11.7866497, 3),
               (22.6807411, 3.5), (-15.9618719, 4), (1.80122502, 7.5))  # fmt: skip


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

    Notes
    -----
    At 1 atm and room temperature hydrogen takes 0.06 % more room than this (real-gas factor
    1.0006 from CoolProp); ammonia and carbon dioxide take 0.5 to 1 % less.

    Examples
    --------
    >>> print(f"{gas_volume('1 mol', '25 °C'):.2f~P}")
    24.47 L
    """
    return (amount * _gas_constant() * temperature.to("K") / pressure).to("L")


@takes(volume="[volume] >= 0", temperature="[temperature] > 0", pressure="[pressure] > 0")
def amount_from_gas_volume(volume, temperature="25 °C", pressure="1 atm"):
    """Return the amount in a volume of ideal dry gas, in mol; the inverse of ``gas_volume``."""
    return (pressure * volume / (_gas_constant() * temperature.to("K"))).to("mol")


@takes(temperature="[temperature]")
def water_vapour_pressure(temperature):
    """Return the saturation pressure of water, in kPa.

    Valid from the triple point (0.01 °C) to 373 °C; labkit uses it from 0.01 to 100 °C, where it
    agrees with IAPWS-95 within 0.02 %.  Source: Wagner & Pruss 1993.

    Raises
    ------
    RangeProblem
        Below 0.01 °C (ice) or above 373 °C.

    Examples
    --------
    >>> print(f"{water_vapour_pressure('25 °C'):.3f~P}")
    3.170 kPa
    """
    kelvin = temperature.to("K").magnitude
    plain = np.asarray(nominal(temperature).to("K").magnitude)
    if np.any(plain < 273.159) or np.any(plain > 646):
        raise RangeProblem("water_vapour_pressure() holds for liquid water, 0.01 to 373 °C.")
    ratio = kelvin / _CRITICAL_TEMPERATURE.magnitude
    exponent = sum(factor * (1 - ratio) ** power for factor, power in _SATURATION) / ratio
    exponential = umath.exp if hasattr(exponent, "nominal_value") else np.exp
    return (_CRITICAL_PRESSURE * exponential(exponent)).to("kPa")


@takes(pressure="[pressure] > 0", temperature="[temperature]")
def dry_pressure(pressure, temperature):
    """Return the pressure left for a gas collected over water: total minus water vapour, in kPa.

    Raises
    ------
    RangeProblem
        If the water would boil at that pressure.
    """
    dry = pressure.to("kPa") - water_vapour_pressure(temperature)
    if np.any(np.asarray(nominal(dry).magnitude) <= 0):
        raise RangeProblem("At that pressure the water would boil, so no gas can be collected over it.")
    return dry


def _gas_constant():
    return value("constants", "gas constant")
