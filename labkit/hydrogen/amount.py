"""Amounts of hydrogen: from photons and from current, at the ceiling of the light, and as an efficiency."""

import numpy as np

from labkit.chemistry.gas import dry_pressure, gas_volume
from labkit.data import guess, value
from labkit.errors import RangeProblem
from labkit.light import irradiance_total, photon_flux_above
from labkit.units import number, range_from, takes

ELECTRONS_PER_HYDROGEN = 2  # 2 H+ + 2 e- -> H2


@takes(photons="[amount] >= 0", quantum_yield="[] >= 0", electrons="[] > 0")
def hydrogen_from_photons(photons, quantum_yield, electrons=ELECTRONS_PER_HYDROGEN):
    """Return the amount of hydrogen from an amount of photons.

    Parameters
    ----------
    photons : quantity [amount]
        Absorbed photons with a quantum yield, or photons that arrive above the gap with an
        *apparent* quantum yield.  IUPAC keeps the two apart: the first counts photons absorbed,
        the second photons incident.  Do not multiply an apparent yield by the absorbed share again.
    quantum_yield : quantity or number
        Electrons that end in hydrogen per photon, 0 to 1 or in percent.
    electrons : number
        Electrons per molecule: 2 for hydrogen.

    Returns
    -------
    quantity [amount], in the unit of ``photons``
        Scalars and arrays broadcast as in NumPy.

    Raises
    ------
    RangeProblem
        If the quantum yield is over 1: one photon moves one electron.

    References
    ----------
    iupac_photocatalysis_2011

    Examples
    --------
    >>> from labkit.units import printed
    >>> printed(hydrogen_from_photons('1264 µmol', '0.1582 %'), 3, unit='µmol')
    '1.00 µmol'
    """
    _refuse_over_one(quantum_yield, "A quantum yield for hydrogen")
    return photons * quantum_yield.to("dimensionless") / electrons


@takes(amount="[amount] >= 0", photons="[amount] > 0", electrons="[] > 0")
def apparent_quantum_yield(amount, photons, electrons=ELECTRONS_PER_HYDROGEN):
    """Return electrons that ended in product per incident photon, in percent: 2 n(H2) / n(photons).

    Scalars and arrays broadcast as in NumPy.

    Raises
    ------
    UnitProblem, RangeProblem
        If an argument is not an amount, or there are no photons.

    Examples
    --------
    >>> print(f"{apparent_quantum_yield('5 µmol', '4 mmol'):.2f~P}")
    0.25 %
    """
    return (electrons * amount / photons).to("percent")


@takes(amount="[amount] >= 0", temperature="[temperature]", pressure="[pressure] > 0")
def hydrogen_volume(amount, temperature="20 °C", pressure="1 atm", over_water=False):
    """Return the volume that hydrogen takes, in mL, dry or collected over water.

    Over water the gas carries vapour and so takes more room at the same total pressure: 2.4 % at
    20 °C.  Ideal gas; a real one takes 0.06 % more.

    Raises
    ------
    RangeProblem
        If ``over_water`` is asked for where water is ice or would boil.

    Examples
    --------
    >>> print(f"{hydrogen_volume('1 mmol', '25 °C'):.2f~P}")
    24.47 mL
    """
    gas_pressure = dry_pressure(pressure, temperature) if over_water else pressure
    return gas_volume(amount, temperature, gas_pressure).to("mL")


@takes(gap="[energy] > 0", irradiance="[irradiance] > 0")
def hydrogen_ceiling(gap, irradiance=None):
    """Return the most hydrogen that light above a gap can give, in mmol/m²/h.

    Every photon of AM1.5G above the gap is taken to give one electron.  Holds for one absorber;
    with ``irradiance`` the spectrum is scaled, its shape kept.

    Scalars and arrays broadcast as in NumPy.

    Raises
    ------
    RangeProblem
        If the gap is under 1.23 eV: such photons cannot split water with one electron each.

    References
    ----------
    astm_g173

    Examples
    --------
    >>> print(f"{hydrogen_ceiling('2.7 eV'):.0f~P}")
    746 mmol/h/m²
    """
    refuse_narrow(gap, "hydrogen_ceiling")
    return (photon_flux_above(gap, irradiance) / ELECTRONS_PER_HYDROGEN).to("mmol/m**2/h")


@takes(rate="[amount rate] >= 0", area="[area] > 0", irradiance="[irradiance] > 0")
def solar_to_hydrogen(rate, area, irradiance="1000 W/m²"):
    """Return the solar-to-hydrogen efficiency of a rate from an area, in percent.

    Gibbs energy of splitting liquid water, 237.1 kJ/mol, over the light that falls on the area.
    Only meaningful in pure water, without a sacrificial donor and without a bias voltage.

    Raises
    ------
    UnitProblem, RangeProblem
        If an argument is of another kind, or the area or the light is not more than zero.

    References
    ----------
    openstax_chemistry_g; the example is the panel of nishiyama_2021

    Examples
    --------
    >>> print(f"{solar_to_hydrogen('11.54 mol/h', '100 m²'):.2f~P}")
    0.76 %
    """
    return (rate * _energy_of_splitting() / (irradiance * area)).to("percent")


@takes(efficiency="[] >= 0", area="[area] > 0", irradiance="[irradiance] > 0")
def rate_from_efficiency(efficiency, area, irradiance="1000 W/m²"):
    """Return the rate of hydrogen that a solar-to-hydrogen efficiency, at most 1, means, in mmol/h.

    Raises
    ------
    RangeProblem
        If the efficiency is over 1.

    Examples
    --------
    >>> print(f"{rate_from_efficiency('0.5 %', '2 m²'):.0f~P}")
    152 mmol/h
    """
    _refuse_over_one(efficiency, "A solar-to-hydrogen efficiency")
    return (efficiency * irradiance * area / _energy_of_splitting()).to("mmol/h")


@takes(gap="[energy] > 0", irradiance="[irradiance] > 0")
def efficiency_ceiling(gap, irradiance=None):
    """Return the highest solar-to-hydrogen efficiency of one absorber with this gap, in percent.

    Raises
    ------
    RangeProblem
        If the gap is under 1.23 eV: such photons cannot split water with one electron each.

    Examples
    --------
    >>> print(f"{efficiency_ceiling('2.7 eV'):.1f~P}")
    4.9 %
    """
    light = irradiance_total() if irradiance is None else irradiance
    return (hydrogen_ceiling(gap, irradiance) * _energy_of_splitting() / light).to("percent")


@takes(current="[current] >= 0", time="[time] >= 0", faradaic="[] >= 0")
def hydrogen_from_current(current, time, faradaic=1):
    """Return the hydrogen that a current gives by Faraday's law, in mmol.

    ``faradaic`` is the share of the current that makes hydrogen, 1 at best.

    Raises
    ------
    RangeProblem
        If ``faradaic`` is over 1.

    References
    ----------
    codata

    Examples
    --------
    >>> print(f"{hydrogen_from_current('1 A', '1 h'):.3f~P}")
    18.656 mmol
    """
    _refuse_over_one(faradaic, "The share of the current that makes hydrogen")
    return (faradaic * current * time / (ELECTRONS_PER_HYDROGEN * value("constants", "Faraday constant"))).to("mmol")


@takes(area="[area] > 0", time="[time] > 0", irradiance="[irradiance] > 0")
def hydrogen_from_solar_cells(area, time, irradiance="1000 W/m²"):
    """Return the Range of hydrogen from ordinary solar cells that feed an electrolyser, in mmol.

    Parameters
    ----------
    area : quantity [area]
        Of the cells, facing the light.
    time : quantity [time]
    irradiance : quantity [irradiance]

    Raises
    ------
    UnitProblem, RangeProblem
        If an argument is of another kind, or not more than zero.

    Notes
    -----
    One value at a time.  Assumes silicon panels that make 15 to 22 % of the light into electrical power, cells for water
    that take 1.8 to 2.5 V each, enough of them in a row to use all that power, and no current
    lost.  The figures are from memory.  Laboratory systems reach 30 % solar-to-hydrogen
    (nishiyama_2021, abstract), twice the upper end here.

    References
    ----------
    solar_cells.csv: from memory.

    Examples
    --------
    >>> print(hydrogen_from_solar_cells('1 m²', '1 h').to('mol'))
    1.1 to 2.3 mol, likely 1.7 mol
    """

    def amount(share_of_the_light, voltage):
        return hydrogen_from_current((share_of_the_light * irradiance * area / voltage).to("A"), time)

    return range_from(
        amount,
        share_of_the_light=guess("solar_cells", "share of light made into current"),
        voltage=guess("solar_cells", "voltage of one electrolysis cell"),
    )


def refuse_narrow(gap, function):
    """Raise RangeProblem, in the name of ``function``, if photons of a gap are too weak to split water."""
    # Two electrons a molecule, one photon each: half of 237.1 kJ/mol is 1.23 eV.
    carried = gap * value("constants", "Avogadro constant") * ELECTRONS_PER_HYDROGEN
    if np.any(number(carried, "kJ/mol") < number(_energy_of_splitting(), "kJ/mol")):
        raise RangeProblem(f"{function}() needs a gap of 1.23 eV or more: photons that carry less cannot split "
                           "water with one electron each.")  # fmt: skip


def _refuse_over_one(share, what):
    given = number(share, "dimensionless")
    if np.any(given > 1):
        raise RangeProblem(f"{what} can't be over 100 %. If {np.max(given):g} was meant in percent, "
                           f"type “{np.max(given):g} %”.")  # fmt: skip


def _energy_of_splitting():
    return value("constants", "Gibbs energy of splitting water")
