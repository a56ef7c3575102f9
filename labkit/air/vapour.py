"""The vapour of acetone and ethanol: how much air can hold, and what a spill makes of a room."""

from functools import cache

import numpy as np

from labkit.air.fire import level_fraction
from labkit.chemistry.formula import molar_mass
from labkit.chemistry.gas import water_vapour_pressure
from labkit.data import table, value
from labkit.errors import RangeProblem, chosen
from labkit.units import Q, nominal, number, takes

DENSITY_FROM, DENSITY_TO = -25, 75  # °C: here the curve through the published points stays within 0.015 %
_DENSITY_AT = -20, 20, 25, 50, 75  # °C
_UNIT = {"Pa": 1.0, "bar": 1e5}


def solvents():
    """Return the names of the solvents with vapour pressures here; water has its own table.

    >>> solvents()
    ['acetone', 'ethanol']
    """
    return list(_solvents())


@cache  # asked several times at every keystroke in a panel
def _solvents():
    return tuple(dict.fromkeys(row["solvent"] for row in table("antoine")))


@takes(temperature="[temperature]")
def vapour_pressure(solvent, temperature):
    r"""Return the vapour pressure of a liquid, :math:`\log_{10} p = A - B/(T + C)`, in kPa.

    Parameters
    ----------
    solvent : str
        ``"acetone"`` (-25.7 to 234 °C), ``"ethanol"`` (0 to 78.5 °C) or ``"water"``.
    temperature : quantity [thermometer reading]
        Single or array.

    Raises
    ------
    ChoiceProblem, UnitProblem, ReadingProblem
        If there is no such solvent, or the temperature is none.
    RangeProblem
        Outside the range the constants were printed for.

    Notes
    -----
    Within 1 % of the reference equations of state up to 78 °C, acetone above that within 2 %.

    References
    ----------
    nist_antoine, and poling_2001 for acetone below 10 °C; constants in antoine.csv.

    Examples
    --------
    >>> print(f"{vapour_pressure('acetone', '20 °C'):.1f~P}, {vapour_pressure('ethanol', '20 °C'):.2f~P}")
    24.6 kPa, 5.87 kPa
    """
    if chosen(solvent, [*solvents(), "water"], "solvent called") == "water":
        return water_vapour_pressure(temperature)
    kelvin, plain = temperature.to("K").magnitude, number(temperature, "K")
    _refuse_outside(solvent, plain)
    return Q(_antoine(solvent, kelvin, plain) / 1000, "kPa")


def _antoine(solvent, kelvin, plain):
    """Return Pa at ``kelvin``, which may carry a ±; ``plain`` is the same without."""
    found = None
    for piece in antoine_pieces(solvent):
        here = _UNIT[piece["unit"]] * 10 ** (piece["A"] - piece["B"] / (kelvin + piece["C"]))
        found = here if found is None else np.where(plain >= piece["from"], here, found)[()]
    return found


def vapour_pascal(solvent, kelvin):
    """Return the vapour pressure of acetone or ethanol in Pa at a temperature in K, both plain floats.

    Errors as for ``vapour_pressure``.

    >>> round(vapour_pascal("acetone", 293.15))
    24604
    """
    _refuse_outside(solvent, kelvin)
    pieces = antoine_pieces(solvent)
    piece = next((piece for piece in reversed(pieces) if kelvin >= piece["from"]), pieces[0])
    return _UNIT[piece["unit"]] * 10 ** (piece["A"] - piece["B"] / (kelvin + piece["C"]))


def _refuse_outside(solvent, kelvin):
    coldest, hottest = antoine_range(solvent)
    if np.any(kelvin < coldest - 1e-9) or np.any(kelvin > hottest + 1e-9):
        raise RangeProblem(f"The vapour pressure of {solvent} is known here from {coldest - 273.15:.1f} to "
                           f"{hottest - 273.15:.1f} °C. Type a temperature in between, for instance '20 °C'.")  # fmt: skip


@cache
def antoine_pieces(solvent):
    """Return the sets of constants of a solvent, coldest first, as dicts of plain numbers (K, unit of the row)."""
    return tuple(
        {"A": float(row["A"]), "B": float(row["B_K"]), "C": float(row["C_K"]), "unit": row["pressure_unit"],
         "from": float(row["used_from_K"]), "to": float(row["used_to_K"])}
        for row in table("antoine") if row["solvent"] == solvent
    )  # fmt: skip


def antoine_range(solvent):
    """Return the lowest and highest temperature of the constants of a solvent, in K, as plain numbers.

    Raises ChoiceProblem if there is no such solvent.

    >>> [round(kelvin) for kelvin in antoine_range("ethanol")]
    [273, 352]
    """
    pieces = antoine_pieces(chosen(solvent, solvents(), "solvent called"))
    return pieces[0]["from"], pieces[-1]["to"]


def boiling_kelvin(solvent, pascal):
    """Return the temperature in K at which the vapour pressure is ``pascal``; None outside the constants' range.

    >>> round(boiling_kelvin("acetone", 101325) - 273.15), boiling_kelvin("ethanol", 1.0)
    (56, None)
    """
    for piece in antoine_pieces(solvent):
        steepness = piece["A"] - np.log10(pascal / _UNIT[piece["unit"]])
        kelvin = piece["B"] / steepness - piece["C"] if steepness > 0 else np.inf
        if piece["from"] - 1e-3 <= kelvin <= piece["to"] + 1e-3:
            return float(kelvin)
    return None


@takes(temperature="[temperature]", pressure="[pressure] > 0")
def saturated_fraction(solvent, temperature, pressure="1 atm"):
    """Return the share of vapour in air that stands over its liquid, in percent of the volume.

    Parameters
    ----------
    solvent, temperature
        As for ``vapour_pressure``.
    pressure : quantity [pressure]
        Total pressure of air and vapour.

    Raises
    ------
    RangeProblem
        If the liquid would boil, or as ``vapour_pressure`` does.

    Examples
    --------
    >>> print(f"{saturated_fraction('acetone', '20 °C'):.1f~P}, {saturated_fraction('ethanol', '20 °C'):.1f~P}")
    24.3 %, 5.8 %
    """
    share = (vapour_pressure(solvent, temperature) / pressure).to("percent")
    refuse_boiling(solvent, number(share, "percent") >= 100)
    return share


def refuse_boiling(solvent, boils):
    """Raise RangeProblem if ``boils``, or any of it, is true."""
    if np.any(boils):
        raise RangeProblem(f"At that temperature and pressure {solvent} boils: no air is left over it. "
                           "Type a lower temperature.")  # fmt: skip


@takes(temperature="[temperature]")
def saturated_concentration(solvent, temperature):
    """Return the mass of vapour in a volume of air that stands over its liquid, in g/m³ (ideal gas).

    Raises what ``vapour_pressure`` does; for ``"acetone"`` and ``"ethanol"``.

    Examples
    --------
    >>> print(f"{saturated_concentration('acetone', '20 °C'):.0f~P}")
    586 g/m³
    """
    chosen(solvent, solvents(), "solvent called")
    moles = vapour_pressure(solvent, temperature) / (value("constants", "gas constant") * temperature.to("K"))
    return (moles * solvent_molar_mass(solvent)).to("g/m**3")


def solvent_molar_mass(solvent):
    """Return the molar mass of acetone or ethanol, in g/mol.

    >>> print(f"{solvent_molar_mass('ethanol'):.2f~P}")
    46.07 g/mol
    """
    return Q(_grams_per_mole(chosen(solvent, solvents(), "solvent called")), "g/mol")


@cache
def _grams_per_mole(solvent):
    return number(molar_mass(next(row["formula"] for row in table("antoine") if row["solvent"] == solvent)), "g/mol")


def plain_molar_mass(solvent):
    """Return the molar mass of acetone or ethanol in kg/mol, a plain float."""
    return _grams_per_mole(chosen(solvent, solvents(), "solvent called")) / 1000


@takes(temperature="[temperature]")
def liquid_density(solvent, temperature="20 °C"):
    """Return the density of liquid acetone or ethanol, in g/mL: a curve through five points of its equation of state.

    Within 0.015 % of that equation from -25 to 75 °C; above its boiling point under its own pressure.

    Raises
    ------
    RangeProblem
        Outside -25 to 75 °C.

    References
    ----------
    lemmon_2006, schroeder_2014; values in liquids.csv.

    Examples
    --------
    >>> print(f"{liquid_density('acetone', '25 °C'):.4f~P}")
    0.7847 g/mL
    """
    return Q(_grams_per_millilitre(solvent, nominal(temperature.to("K")).magnitude), "g/mL")


def plain_density(solvent, kelvin):
    """Return the density of liquid acetone or ethanol in kg/m³ at a temperature in K, both plain floats.

    Errors as for ``liquid_density``.

    >>> round(plain_density("ethanol", 293.15), 1)
    789.4
    """
    return 1000 * _grams_per_millilitre(solvent, kelvin)


def _grams_per_millilitre(solvent, kelvin):
    chosen(solvent, solvents(), "solvent called")
    celsius = kelvin - 273.15
    if np.any(celsius < DENSITY_FROM - 1e-9) or np.any(celsius > DENSITY_TO + 1e-9):
        raise RangeProblem(f"The densities of acetone and ethanol are known here from {DENSITY_FROM} to {DENSITY_TO} °C. "
                           "Type for instance '20 °C'.")  # fmt: skip
    density = 0.0
    for coefficient in _density_curve(solvent):
        density = density * (celsius - 25) + coefficient
    return density


@cache
def _density_curve(solvent):
    """Return the coefficients, highest power first, of the polynomial in °C over 25 through all points."""
    points = [number(value("liquids", f"{solvent} at {reading} °C"), "g/mL") for reading in _DENSITY_AT]
    return tuple(np.polyfit(np.array(_DENSITY_AT) - 25.0, points, len(points) - 1).tolist())


@takes(volume_of_liquid="[volume] >= 0", temperature="[temperature]", pressure="[pressure] > 0")
def vapour_volume(solvent, volume_of_liquid, temperature="25 °C", pressure="1 atm"):
    """Return the volume of pure vapour, as an ideal gas, that a volume of liquid turns into, in L.

    Arguments and errors as for ``evaporation``.

    >>> print(f"{vapour_volume('acetone', '40 mL'):.1f~P}")
    13.2 L
    """
    return Q(1000 * volume_of_liquid.to("m**3").magnitude * _growth(solvent, temperature, pressure), "L")


def _growth(solvent, temperature, pressure):
    """Return how many times its volume a liquid takes up as vapour; a ± of the pressure stays, and an array does."""
    kelvin = nominal(temperature.to("K")).magnitude
    amount = 1000 * _grams_per_millilitre(solvent, kelvin) / plain_molar_mass(solvent)
    return amount * gas_constant() * kelvin / pressure.to("Pa").magnitude


@takes(volume_of_liquid="[volume] >= 0", room_volume="[volume] > 0", temperature="[temperature]", pressure="[pressure] > 0")  # fmt: skip
def evaporation(solvent, volume_of_liquid, room_volume, temperature="25 °C", pressure="1 atm"):
    """Return the fraction in a shut room once all the liquid has evaporated and mixed, in ppm.

    At most what the air can hold.  It is an average: over the puddle and along the floor the
    vapour, heavier than air, is far richer and can burn long before the room as a whole could.

    Parameters
    ----------
    solvent : str
        ``"acetone"`` or ``"ethanol"``.
    volume_of_liquid : quantity [volume]
        Spilled, or lost in drying.
    room_volume : quantity [volume]
    temperature : quantity [thermometer reading]
        Of liquid and room.
    pressure : quantity [pressure]

    Raises
    ------
    LabError
        If an argument is of another kind or can't be read; RangeProblem outside the range of
        ``vapour_pressure`` or ``liquid_density``, or if the liquid boils.

    Notes
    -----
    Print it with ``printed_up``.  Exposure limits: ``labkit.air.limits``.

    Examples
    --------
    A knocked-over 40 mL of acetone in a 25 m³ room (invented):

    >>> from labkit.units import printed_up
    >>> print(printed_up(evaporation("acetone", "40 mL", "25 m³")))
    530 ppm
    """
    liquid, room = (volume.to("m**3").magnitude for volume in (volume_of_liquid, room_volume))
    share = 1e6 * liquid * _growth(solvent, temperature, pressure) / room
    kelvin, pascal = number(temperature, "K"), number(pressure, "Pa")
    _refuse_outside(solvent, kelvin)
    most = 1e6 * _antoine(solvent, kelvin, kelvin) / pascal
    refuse_boiling(solvent, most >= 1e6)
    full = number(Q(share, "ppm"), "ppm") > most
    return Q(np.where(full, most, share)[()], "ppm")  # a ± stays, for printed_up adds it


@takes(volume_of_liquid="[volume] >= 0", temperature="[temperature]", pressure="[pressure] > 0")
def air_for(solvent, volume_of_liquid, level="flammable", temperature="25 °C", pressure="1 atm"):
    """Return the volume of air that evaporated liquid brings to a level, in m³.

    Parameters
    ----------
    solvent, volume_of_liquid, temperature, pressure
        As for ``evaporation``.
    level : str or quantity []
        ``"flammable"`` (the lower fire limit), ``"margin"`` (a quarter of it), ``"work"`` (a
        tenth), all for fire only, or a fraction such as an exposure limit: ``"250 ppm"``.

    Raises
    ------
    LabError
        As ``evaporation`` and ``labkit.air.fire.level_fraction`` do.

    Notes
    -----
    Print it with ``printed_up``: it is both what a spill can spoil and the fresh air it takes.

    Examples
    --------
    >>> from labkit.units import printed_up
    >>> print(printed_up(air_for("acetone", "40 mL")), printed_up(air_for("acetone", "40 mL", "250 ppm")))
    530 L 53 m³
    """
    fraction = number(level_fraction(solvent, level), "dimensionless")
    return Q(volume_of_liquid.to("m**3").magnitude * _growth(solvent, temperature, pressure) / fraction, "m**3")


@cache
def gas_constant():
    """Return the gas constant in J/(mol K), a plain float.

    >>> round(gas_constant(), 4)
    8.3145
    """
    return number(value("constants", "gas constant"), "J/mol/K")
