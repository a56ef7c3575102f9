"""A wet volume of gas over water: how much dry gas that is, how far it may be off, and what water itself gives and takes."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from labkit.chemistry.gas import water_vapour_pressure
from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, chosen
from labkit.hydrogen.dissolved import dissolved_amount
from labkit.units import (
    DRAWS,
    Q,
    Range,
    checked,
    nominal,
    number,
    printed,
    printed_up,
    read,
    read_range,
    rounded,
    takes,
    wrapped,
)
from labkit.units.budget import Budget, budget, printed_ends, printed_with
from labkit.units.spread import Uncertain, rectangular, uncertain

GASES = {  # what the dry gas is taken for: share of hydrogen in it, and why
    "not known": None,
    "hydrogen alone": 1.0,  # a donor takes what would have become oxygen
    "hydrogen and oxygen, 2 to 1": 2 / 3,  # 2 H2O -> 2 H2 + O2
}
_LIMITS = (  # argument, unit, least, most, what to say
    ("temperature", "K", "1 °C", "60 °C", "the temperature from 1 to 60 °C"),
    ("barometer", "hPa", "500 hPa", "1100 hPa", "the barometer from 500 to 1100 hPa"),
    ("column", "cm", "-200 cm", "200 cm", "the column from 200 cm below to 200 cm above the level outside"),
    ("volume", "mL", "0.001 mL", "100 L", "the volume from 0.001 mL to 100 L"),
)


@dataclass(frozen=True, eq=False, repr=False)
class DryGas:
    """The dry gas in a wet volume over water.

    ``amount`` is of all dry gas, with its ``budget``; ``inside`` is the pressure in the tube, which is that outside less
    the ``pull`` of the column, ``vapour`` the part of it that is water and ``dry`` the rest; ``hydrogen`` is None where the make-up of the gas is not known;
    ``dissolved`` is the hydrogen that the ``water`` holds when it has had time, None without water; ``notes`` say
    what the figures do not.
    """

    amount: object
    budget: Budget
    inside: object
    vapour: object
    dry: object
    pull: object
    gas: str
    hydrogen: object = None
    dissolved: object = None
    notes: tuple = ()

    @property
    def ends(self):
        """The ends (low, high) between which the amount lies in 95 of 100 draws; by slopes if no draws were made."""
        half = self.budget.expanded
        return self.budget.symmetric or (self.amount - half, self.amount + half)

    @property
    def sentence(self):
        """The amount in words, with what brings most of the doubt."""
        low, high = printed_ends(self.ends)
        driver = self.budget.parts[0]
        of_it = ""
        if self.hydrogen is not None:
            of_it = f" Taken as {self.gas}, that is {printed(self.hydrogen)} of hydrogen."
        return (f"{printed_with(self.amount, self.budget.uncertainty)} of dry gas, {low} to {high} for 95 %. Most of the doubt "
                f"comes from the {driver.name}, {100 * driver.share:.0f} % of the variance.{of_it}")  # fmt: skip

    def cautions(self):
        """Return the cautions that belong to collecting hydrogen."""
        return cautions("hydrogen")

    def __str__(self):
        share = number(self.vapour / self.inside, "percent")
        pressures = (f"In the tube {printed(self.inside, 4, 'hPa')}, of it {printed(self.vapour, 3, 'hPa')} water vapour "
                     f"({rounded(share, 2)} %), so {printed(self.dry, 4, 'hPa')} dry.")  # fmt: skip
        width = max(len(name) for name, *_ in self.budget.rows())
        rows = [f"  {name:<{width}}  {size:>8}  {part:>5}" for name, _, size, part in self.budget.rows()]
        ways = [wrapped(self.budget.draws_sentence)] if self.budget.agree is False else []
        return "\n".join([wrapped(self.sentence), wrapped(pressures), *rows, *ways, *map(wrapped, self.notes)])

    __repr__ = __str__


def dry_gas(volume, temperature, barometer, column="0 cm", *, graduation=None, marks=None, altitude=None, gas="not known",
            water=None, count=DRAWS, seed=1):  # fmt: skip
    r"""Return the DryGas in a volume that was collected over water.

    .. math:: n = \frac{(p_{barometer} - \rho g h - p_{water}(T))\,V}{R\,T}

    Parameters
    ----------
    volume : quantity or text [volume]
        Of the wet gas, as it stands in the tube.  Here, and for the next three, a value with ± is taken with its own standard
        uncertainty, and an ``Uncertain`` or a Range as it is; a plain one gets what is usual (over_water.csv).
    temperature : quantity or text [thermometer reading]
        Of gas and water, 1 to 60 °C.
    barometer : quantity or text [pressure]
        Outside, where the tube stands.
    column : quantity or text [length]
        How far the water in the tube stands *above* the level outside; it pulls, so the pressure inside is lower.
        Below zero where it stands lower than outside.
    graduation : quantity or text [volume], optional
        From one mark of the tube to the next; read to half of one, so evenly half a graduation either way.
    marks : quantity or text [volume], optional
        How far the marks themselves may be off; left out for a volume that has its own uncertainty.
    altitude : quantity or text [length], optional
        If ``barometer`` is what a weather report says, which is reduced to sea level: where the tube stands.
    gas : str
        One of ``GASES``.
    water : quantity or text [volume], optional
        Water that the gas stands over, for the hydrogen dissolved in it.
    count, seed : int
        Of the random draws, as in ``labkit.units.budget``.

    Raises
    ------
    LabError
        If an argument can't be used; says what to type.

    Notes
    -----
    The gas is taken as saturated with vapour of plain water, at the temperature of the water.  Ideal, with 0.1 %
    allowed for what real gases do.  The amount is of *all* dry gas: air that was there, that leaked in or that warming
    water gave up is in it.

    References
    ----------
    wagner_pruss_1993 for the vapour, iso_385, iso_2533, iapws_g7_04

    Examples
    --------
    >>> found = dry_gas("12.4 mL", "22 °C", "1002 hPa", column="6 cm")
    >>> print(printed_with(found.amount, found.budget.uncertainty), "|", found.budget.driver)
    (490.0 ± 3.0) µmol | marks of the tube
    """
    share = GASES[chosen(gas, GASES, "make-up of the gas")]
    usual = {
        "temperature": value("over_water", "thermometer"),
        "barometer": value("over_water", "barometer"),
        "column": value("over_water", "column"),
    }
    graduation = _certain(graduation, "[volume] > 0", "graduation") if graduation is not None else value("over_water", "graduation")  # fmt: skip
    inputs = {
        "volume": _input(volume, "[volume] > 0", "volume", graduation / 2),
        "temperature": _input(temperature, "[temperature]", "temperature", usual["temperature"]),
        "barometer": _input(barometer, "[pressure] > 0", "barometer", usual["barometer"]),
        "column": _input(column, "[length]", "column", usual["column"]),
    }
    _refuse_odd(inputs)
    if marks is not None or inputs["volume"].shape == "rectangular" and not isinstance(volume, Uncertain):
        off = value("over_water", "marks of a tube of 50 mL") if marks is None else _certain(marks, "[volume] >= 0", "marks")  # fmt: skip
        inputs["marks_of_the_tube"] = rectangular(Q(0, "mL"), off)
    if inputs["column"].middle:
        off = number(value("over_water", "density of the water in the tube"), "dimensionless")
        inputs["density_of_the_water"] = rectangular(Q(1.0), Q(off))
    notes = []
    if altitude is not None:
        height = _certain(altitude, "[length] >= 0", "altitude")
        factor = number(pressure_at_altitude(height, "1 atm") / Q(1, "atm"), "dimensionless")
        off = (1 - factor) * number(value("over_water", "reduction to sea level"), "dimensionless")
        inputs["reduction_to_sea_level"] = rectangular(Q(factor), Q(off))
        notes.append(
            f"The pressure of the report was brought from sea level up to {printed(height)}: times {factor:.4f}."
        )
    inputs["ideal_gas_law"] = rectangular(Q(1.0), value("over_water", "ideal gas law"))
    found = budget(_amount, count=count, seed=seed, **inputs)
    pressures = _pressures(**{name: given.value for name, given in inputs.items()})
    outside, inside, vapour = (Q(pressure / 100, "hPa") for pressure in pressures)
    dry = inside - vapour
    hydrogen = None if share is None else found.value * share
    dissolved = None
    if water is not None:
        held = _certain(water, "[volume] >= 0", "water")
        part = dry * (share or 1.0)
        dissolved = dissolved_amount("hydrogen", held, part, inputs["temperature"].value).to("µmol")
        notes.append(f"{printed(held)} of water can hold up to {printed_up(dissolved)} of hydrogen besides, once it has had time to dissolve"
                     + ("." if share else ", if all the dry gas is hydrogen."))  # fmt: skip
    if altitude is None:
        notes.append("A barometer is read where the tube stands: what a weather report says is reduced to sea level, "
                     f"{_too_much()} % too much for every 100 m of height.")  # fmt: skip
    notes.append(_IDENTITY[gas])
    return DryGas(
        found.value,
        found,
        inside.to("hPa"),
        vapour.to("hPa"),
        dry,
        (outside - inside).to("hPa"),
        gas,
        hydrogen,
        dissolved,
        tuple(notes),
    )


@cache
def _too_much():
    return rounded(100 * (number(Q(1, "atm") / pressure_at_altitude("100 m", "1 atm"), "dimensionless") - 1), 2)


_IDENTITY = {
    "not known": "A volume does not tell which gas it is: air that was there, leaked in or came out of warming water counts "
                 "like hydrogen, and so does the vapour of an alcohol in the water.",
    "hydrogen alone": "That it is hydrogen alone is taken as told: with a donor no oxygen comes, but air and the vapour of "
                      "an alcohol may.",
    "hydrogen and oxygen, 2 to 1": "That it is what split water gives is taken as told. Such a mixture is explosive as it "
                                   "stands.",
}  # fmt: skip


@cache
def _plain(table_name, name, unit):
    return number(value(table_name, name), unit)


def _pressures(temperature, barometer, column, density_of_the_water=None, reduction_to_sea_level=None, **rest):
    """Return the pressure outside, in the tube, and that of the vapour, as plain numbers in Pa; single or arrays.

    Plain, because every draw goes through here.
    """
    outside, pull = number(barometer, "Pa"), _plain("over_water", "density of water", "kg/m**3") * number(column, "m")
    if reduction_to_sea_level is not None:
        outside = outside * number(reduction_to_sea_level, "dimensionless")
    if density_of_the_water is not None:
        pull = pull * number(density_of_the_water, "dimensionless")
    inside = outside - pull * _plain("over_water", "standard gravity", "m/s**2")
    return outside, inside, number(water_vapour_pressure(temperature), "Pa")


def _amount(volume, temperature, ideal_gas_law, marks_of_the_tube=None, **rest):
    _, inside, vapour = _pressures(temperature, **rest)
    if np.any(inside <= vapour):
        raise RangeProblem("At that pressure the water would boil, so no gas can be collected over it.")
    volume = (
        number(volume, "mL") if marks_of_the_tube is None else number(volume, "mL") + number(marks_of_the_tube, "mL")
    )
    amount = (inside - vapour) * volume / (_plain("constants", "gas constant", "J/mol/K") * number(temperature, "K"))
    return Q(amount * number(ideal_gas_law, "dimensionless") * 1e-3, "mmol")  # Pa times mL is µJ


@takes(altitude="[length] >= 0", sea_level="[pressure] > 0")
def pressure_at_altitude(altitude, sea_level="1013.25 hPa"):
    r"""Return the air pressure at a height, from that reduced to sea level, in hPa.

    .. math:: p = p_0 \left(1 - \frac{L h}{T_0}\right)^{g M / (R L)}

    Parameters
    ----------
    altitude : quantity [length]
        Up to 5 km; the standard atmosphere is one of average weather.
    sea_level : quantity [pressure]
        As a weather report gives it.  Reports differ in how they reduce: good to about 5 % of what is taken off.

    Raises
    ------
    RangeProblem
        Above 5 km.

    References
    ----------
    iso_2533, constants in over_water.csv.

    Examples
    --------
    >>> print(f"{pressure_at_altitude('500 m'):.1f~P}")
    954.6 hPa
    """
    if np.any(number(altitude, "km") > 5):
        raise RangeProblem("pressure_at_altitude() goes up to 5 km.")
    fall, warm = (value("over_water", name) for name in ("fall of temperature with height", "temperature at sea level"))
    power = value("over_water", "standard gravity") * value("over_water", "molar mass of air") / (value("constants", "gas constant") * fall)  # fmt: skip
    return (sea_level * (1 - (fall * altitude / warm).to("dimensionless")) ** number(power, "dimensionless")).to("hPa")


def _input(given, need, name, usual):
    """Return what was given as Uncertain; a plain value with what is usual, evenly either way."""
    if isinstance(given, Uncertain):
        checked(given.value, need, name, "dry_gas")
        return given
    if isinstance(given, str):
        given = read_range(given, need, name) if " to " in given else read(given, need, name)
    if isinstance(given, Range):
        for end in given.ends:
            checked(end, need, name, "dry_gas")
        return uncertain(given) or rectangular(given.likely, usual)
    given = checked(given, need, name, "dry_gas")
    return uncertain(given) or rectangular(given, usual)


def _certain(given, need, name):
    return nominal(checked(given, need, name, "dry_gas"))


@cache
def _plain_limits():
    return [(name, unit, *(number(read(end), unit) for end in ends), words) for name, unit, *ends, words in _LIMITS]


def _refuse_odd(inputs):
    for name, unit, low, high, words in _plain_limits():
        if not low <= number(inputs[name].value, unit) <= high:
            raise RangeProblem(f"dry_gas() takes {words}, but it got {printed(inputs[name].value)}.")
