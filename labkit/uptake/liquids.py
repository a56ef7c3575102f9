"""The liquids that powder sinks through: how thick they flow and what they weigh, from 10 to 40 °C."""

from functools import cache

import numpy as np

from labkit.air.vapour import liquid_density, solvents
from labkit.data import table
from labkit.errors import RangeProblem, chosen
from labkit.units import Q, number, takes

LIQUIDS = ("acetone", "ethanol", "water")
COLDEST, WARMEST = 10.0, 40.0  # °C, ends of viscosities.csv


def viscosity(liquid, temperature="20 °C"):
    """Return the viscosity of acetone, ethanol or water, in mPa·s: a curve through points every 5 °C.

    Parameters
    ----------
    liquid : str
        One of ``LIQUIDS``.
    temperature : quantity or text [thermometer reading]
        10 to 40 °C; one value.

    Raises
    ------
    ChoiceProblem, UnitProblem, ReadingProblem
        If there is no such liquid, or the temperature is none.
    RangeProblem
        Outside 10 to 40 °C.

    Notes
    -----
    Handbooks differ by 1 % for acetone, 2 % for ethanol; of the pure liquid: salt makes it thicker.

    References
    ----------
    perry_2008, kiselev_2005, huber_2009; values in viscosities.csv.

    Examples
    --------
    >>> from labkit.units import printed
    >>> print(printed(viscosity("acetone", "25 °C")), "and", printed(viscosity("water", "22 °C")))
    0.307 mPa·s and 0.954 mPa·s
    """
    celsius = celsius_of(temperature)
    return Q(1000 * plain_viscosity(chosen(liquid, LIQUIDS, "liquid called"), celsius), "mPa*s")


def density(liquid, temperature="20 °C"):
    """Return the density of acetone, ethanol or water, in g/mL.

    Takes and refuses what ``viscosity`` does.

    References
    ----------
    lemmon_2006, schroeder_2014, iapws_95

    Examples
    --------
    >>> print(f"{density('water', '25 °C'):.4f~P}")
    0.9970 g/mL
    """
    celsius = celsius_of(temperature)
    return Q(plain_density(chosen(liquid, LIQUIDS, "liquid called"), celsius) / 1000, "g/mL")


@takes(temperature="[temperature]")
def celsius_of(temperature):
    """Return a temperature as a plain number in °C; RangeProblem outside 10 to 40 °C.

    >>> celsius_of("22 °C")
    22.0
    """
    celsius = number(temperature, "degC")
    if np.ndim(celsius):
        raise RangeProblem("One temperature at a time is needed here. Type for instance '22 °C'.")
    if not COLDEST - 1e-9 <= celsius <= WARMEST + 1e-9:
        raise RangeProblem(
            f"These liquids are known here from {COLDEST:g} to {WARMEST:g} °C. Type for instance '22 °C'."
        )
    return celsius


@cache
def _viscosity_curve(liquid):
    """Return the polynomial of ln(mPa·s), in °C over 25, through all points of a liquid."""
    rows = [row for row in table("viscosities") if row["liquid"] == liquid]
    places = np.array([float(row["celsius"]) for row in rows]) - 25
    return np.polyfit(places, np.log([float(row["value"]) for row in rows]), len(rows) - 1)


@cache
def _water_curve():
    rows = table("water_density")
    places = np.array([float(row["celsius"]) for row in rows]) - 25
    return np.polyfit(places, [float(row["value"]) for row in rows], len(rows) - 1)


@cache
def plain_viscosity(liquid, celsius):
    """Return the viscosity of a liquid at a temperature in °C, in Pa·s; plain floats.

    >>> round(plain_viscosity("water", 20.0), 7)
    0.0010016
    """
    return float(np.exp(np.polyval(_viscosity_curve(liquid), celsius - 25))) / 1000


@cache
def plain_density(liquid, celsius):
    """Return the density of a liquid at a temperature in °C, in kg/m³; plain floats.

    >>> round(plain_density("acetone", 25.0), 1)
    784.7
    """
    if liquid in solvents():
        return number(liquid_density(liquid, Q(celsius, "degC")), "kg/m**3")
    return float(np.polyval(_water_curve(), celsius - 25))
