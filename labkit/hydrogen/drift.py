"""Gas that is none: what the gas over the water does when it warms or the air pressure moves, and what warm water gives up."""

from functools import lru_cache

import numpy as np

from labkit.chemistry.gas import dry_pressure
from labkit.errors import RangeProblem
from labkit.units import Q, takes


@takes(
    headspace="[volume] >= 0",
    temperature_change="[temperature change]",
    pressure_change="[pressure]",
    temperature="[temperature]",
    pressure="[pressure] > 0",
)
def drift_volume(headspace, temperature_change, pressure_change="0 hPa", *, temperature="20 °C", pressure="1013.25 hPa",
                 over_water=True):  # fmt: skip
    r"""Return by how much an enclosed gas grows when it warms and the air pressure changes, in mL: no hydrogen at all.

    .. math:: \Delta V = V \left(\frac{T'}{T}\cdot\frac{p - w(T)}{p' - w(T')} - 1\right)

    Parameters
    ----------
    headspace : quantity [volume]
        Gas that is there, at ``temperature`` and ``pressure``; it is free to grow against the air.
    temperature_change : quantity [temperature change]
        ``"1 K"``; negative for cooling.
    pressure_change : quantity [pressure]
        Of the air; a falling barometer lets the gas grow.
    temperature, pressure : quantity
        At the start.
    over_water : bool
        True for gas that stays saturated with water vapour :math:`w(T)`, which adds two fifths to what a kelvin does
        at 20 °C; False for dry gas.

    Returns
    -------
    quantity [volume], in mL, negative where the gas shrinks
        Scalars and arrays broadcast as in NumPy.

    Raises
    ------
    UnitProblem, RangeProblem
        If an argument is of another kind, or the water would freeze or boil.

    Examples
    --------
    >>> print(f"{drift_volume('50 mL', '1 K', over_water=False):.2f~P}, {drift_volume('50 mL', '1 K'):.2f~P}")
    0.17 mL, 0.25 mL
    >>> print(f"{drift_volume('50 mL', '0 K', '-1 hPa', over_water=False):.3f~P}")
    0.049 mL
    """
    if np.any(pressure + pressure_change <= Q(0, "hPa")):
        raise RangeProblem("drift_volume() needs some pressure left after the change.")
    later = Q(temperature.to("K").magnitude + temperature_change.to("delta_degC").magnitude, "K")
    ratio = amount_factor(temperature, pressure, over_water) / amount_factor(
        later, pressure + pressure_change, over_water
    )
    return (headspace * (ratio - 1)).to("mL")


def amount_factor(temperature, pressure, over_water=True):
    """Return the pressure of the dry gas over its temperature, in kPa/K: what a volume is worth in moles, but for R.

    >>> print(f"{amount_factor(Q(20, 'degC'), Q(1013.25, 'hPa')):.5f~P}")
    0.33766 kPa/K
    """
    temperature, pressure = temperature.to("K"), pressure.to("kPa")
    if all(isinstance(size.magnitude, float) for size in (temperature, pressure)):  # no array and no ±
        return _known(temperature.magnitude, pressure.magnitude, over_water)
    return _worth(temperature, pressure, over_water)


@lru_cache(512)  # the same few states of the gas are asked for again and again in one run
def _known(kelvin, kilopascals, over_water):
    return _worth(Q(kelvin, "K"), Q(kilopascals, "kPa"), over_water)


def _worth(temperature, pressure, over_water):
    return (dry_pressure(pressure, temperature) if over_water else pressure) / temperature


def corrected_volumes(millilitres, celsius, hectopascals, headspace, over_water=True):
    """Return what volumes (mL, gas collected) would be if temperature and pressure had stayed as at the first reading.

    ``celsius`` and ``hectopascals`` are arrays, or single numbers where they did not change; ``headspace`` is all gas
    in mL that was there at the first reading, in the tube as well.  The dry gas is followed, and the vapour goes along with it.

    >>> corrected_volumes(np.array([0.0, 0.2459]), np.array([20.0, 21.0]), 1013.25, 50.0).round(3) + 0.0
    array([0., 0.])
    """
    worth = amount_factor(Q(np.asarray(celsius, dtype=float), "degC"), Q(np.asarray(hectopascals, dtype=float), "hPa"),
                          over_water).magnitude  # fmt: skip
    share = worth / np.atleast_1d(worth)[0]
    first = millilitres[0]
    return first + (headspace + millilitres - first) * share - headspace
