"""What hydrogen is worth beside plain things: a kettle of water, and solar cells of the same area."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from labkit.data import value
from labkit.errors import RangeProblem
from labkit.hydrogen.amount import hydrogen_from_solar_cells
from labkit.hydrogen.chain import link_text
from labkit.units import Q, Range, as_range, number, number_text, printed, takes, wrapped

_SUM_ONLY = "A sum only: hydrogen is vented, and neither stored nor burnt."


@takes(amount="[amount] >= 0", vapour="[amount] >= 0")
def burning_heat(amount, vapour=None):
    """Return the heat of burning hydrogen, in kJ: to liquid water, or with ``vapour`` that much of it to vapour.

    The first is all there is; a flame whose water leaves as vapour gives 15 % less.

    Raises
    ------
    UnitProblem, RangeProblem
        If an argument is no amount, or there is more vapour than hydrogen.

    References
    ----------
    openstax_chemistry_g

    Examples
    --------
    >>> print(f"{burning_heat('1 mol'):.1f~P}, {burning_heat('1 mol', vapour='1 mol'):.1f~P}")
    285.8 kJ, 241.8 kJ
    """
    if vapour is not None and np.any(vapour > amount):
        raise RangeProblem(
            "Hydrogen burns to as much water as there is hydrogen, so no more of it can leave as vapour."
        )
    heat = amount * value("hydrogen", "heat of burning")
    if vapour is not None:
        heat -= vapour * (value("hydrogen", "heat of burning") - value("kettle", "heat of burning to vapour"))
    return heat.to("kJ")


def kettle_water(hydrogen):
    """Return the Range of water that burning hydrogen would heat from 20 to 100 °C without any loss, in g.

    Parameters
    ----------
    hydrogen : quantity, text or Range [amount]
        The low end is burnt with its water leaving as vapour, the high end with all heat kept.

    Raises
    ------
    UnitProblem, ReadingProblem, RangeProblem
        If it is no amount.

    References
    ----------
    openstax_chemistry_g, iapws_95

    Examples
    --------
    >>> print(kettle_water("1 mol"))
    720 to 850 g, likely 720 g
    """
    moles = as_range(hydrogen, "[amount] >= 0", "hydrogen").m_as("mol")
    vapour, liquid = _grams_of_a_mole()
    return Range(*(Q(amount * grams, "g") for amount, grams in zip(moles, (vapour, vapour, liquid))))


@cache
def _grams_of_a_mole():
    """Return the grams of water that a mole of hydrogen brings from 20 to 100 °C: burnt to vapour, and to liquid."""
    per_mass = value("kettle", "heat from 20 to 100 °C")
    return tuple(number(burning_heat("1 mol", vapour) / per_mass, "g") for vapour in ("1 mol", None))


@cache
def _cells_of_an_hour():
    """Return (low, likely, high) of the mmol of hydrogen from solar cells, for a square metre and an hour of full sun."""
    return hydrogen_from_solar_cells("1 m²", "1 h").m_as("mmol")


def litres_of_tea(hydrogen):
    """Return kettles of one litre, at 20 °C, that hydrogen would bring to 100 °C, as a Range of plain numbers.

    >>> print(litres_of_tea("1 mol"))
    0.72 to 0.85, likely 0.72
    """
    litre = value("kettle", "density of water at 20 °C") * Q(1, "L")
    return Range(*((end / litre).to("dimensionless") for end in kettle_water(hydrogen).ends))


@dataclass(frozen=True, eq=False, repr=False)
class Beside:
    """A chain beside plain things.

    ``share`` of the ceiling of its light; ``cells`` is the hydrogen of solar cells with an electrolyser of the same
    area in the same sun, None for a lamp; ``times`` how many times the likely hydrogen that is, None if that is zero;
    ``water`` is what the hydrogen would heat from 20 to 100 °C.
    """

    hydrogen: Range
    share: Range
    cells: Range | None
    times: float | None
    water: Range

    @property
    def sentence(self):
        """The comparison in words."""
        part = "nothing" if not self.share.high.magnitude else link_text(self.share)
        told = f"Of the ceiling of its light that is {part}."
        if self.cells is not None:
            told += (
                f" Ordinary solar cells of the same area with an electrolyser give {link_text(self.cells)} in that sun"
            )
            told += f", {number_text(self.times, 2)} times the likely hydrogen." if self.times else "."
        water = link_text(self.water)
        if not self.water.likely.magnitude:
            water = f"at most {printed(self.water.high, 2)}"
        return f"{told} Burnt, it would heat {water} of water from 20 to 100 °C, if no heat were lost. {_SUM_ONLY}"

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def beside(chain):
    """Return a Chain Beside the ceiling of its light, electrolysis from the same area, and a kettle.

    Solar cells are taken for the area and the sun of the chain, each with its range; the figures of
    solar_cells.csv are from memory.  The water is that of the whole hydrogen of the chain: a store that nobody should
    keep.

    Examples
    --------
    >>> from labkit.hydrogen.chain import hydrogen_chain
    >>> print(beside(hydrogen_chain("2.75 eV", "120 cm²", "4 h", "donor and platinum")))
    Of the ceiling of its light that is 0.10 to 4.3 %, likely
    0.31 %. Ordinary solar cells of the same area with an
    electrolyser give 54 to 110 mmol, likely 81 mmol in that
    sun, 820 times the likely hydrogen. Burnt, it would heat 23
    to 1200 mg, likely 71 mg of water from 20 to 100 °C, if no
    heat were lost. A sum only: hydrogen is vented, and neither
    stored nor burnt.
    """
    cells = times = None
    if chain.hours is not None:
        parts = zip(_cells_of_an_hour(), chain.inputs["area"].m_as("m**2"), chain.hours.m_as("h"))
        cells = Range(*(Q(amount * area * hours, "mmol") for amount, area, hours in parts))
        likely = number(chain.hydrogen.likely, "mmol")
        times = number(cells.likely, "mmol") / likely if likely else None
    factors = {link.name: link.factor.m_as("dimensionless") for link in chain.links[2:5]}
    share = Range(*(Q(100 * absorbed * taken, "percent") for absorbed, taken in zip(factors["absorbed share"], factors["quantum yield"])))  # fmt: skip
    return Beside(chain.hydrogen, share, cells, times, kettle_water(chain.hydrogen))
