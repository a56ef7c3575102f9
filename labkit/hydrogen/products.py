"""What the electrons of light could make at the very most: hydrogen, oxygen, or alcohols from carbon dioxide.

Ceilings only.  A ceiling says what the light allows and nothing of what a powder does.
"""

from dataclasses import dataclass

from labkit.chemistry import molar_mass
from labkit.data import row, table, value
from labkit.errors import chosen
from labkit.hydrogen.amount import refuse_narrow
from labkit.light import photon_flux_above
from labkit.units import Range, as_range, printed_range, range_from, takes, wrapped


def products():
    """Return the products there are: name to formula.

    >>> products()
    {'hydrogen': 'H2', 'oxygen': 'O2', 'methanol': 'CH3OH', 'ethanol': 'C2H5OH'}
    """
    return {found["name"]: found["formula"] for found in table("products")}


def electrons_per_molecule(product):
    """Return how many electrons a molecule of a product takes; oxygen gives them.

    Raises
    ------
    ChoiceProblem
        If there is no such product.

    Examples
    --------
    >>> electrons_per_molecule("methanol")
    6
    """
    return int(_row(product)["electrons"])


def half_reaction(product):
    """Return the half-reaction of a product as text.

    >>> half_reaction("hydrogen")
    '2 H+ + 2 e- -> H2'
    """
    return _row(product)["half_reaction"]


@takes(gap="[energy] > 0", irradiance="[irradiance] > 0")
def photocurrent_ceiling(gap, irradiance=None):
    """Return the current per area if every photon of sunlight above a gap moves one electron, in mA/cm².

    Parameters
    ----------
    gap : quantity [energy]
        From 0.31 to 4.42 eV.  Scalar or array.
    irradiance : quantity [irradiance], optional
        Scales ASTM G173-03, 1000.37 W/m², its shape kept.

    Raises
    ------
    UnitProblem, RangeProblem
        If an argument is of another kind, or the edge lies outside the spectrum.

    References
    ----------
    astm_g173, codata

    Examples
    --------
    >>> print(f"{photocurrent_ceiling('2.7 eV'):.2f~P}")
    4.00 mA/cm²
    """
    return (photon_flux_above(gap, irradiance) * value("constants", "Faraday constant")).to("mA/cm**2")


@dataclass(frozen=True, eq=False, repr=False)
class ProductCeiling:
    """The most of a product that sunlight above a gap allows: ``rate`` in mmol/m²/h and ``mass`` in g/m²/h.

    ``practice`` says how far practice is.
    """

    product: str
    electrons: int
    rate: Range
    mass: Range
    practice: str

    @property
    def sentence(self):
        """The ceiling in words, with how far practice is."""
        return (f"At the very most {printed_range(self.rate, unit='mmol/m**2/h')} of {self.product} in full sun, "
                f"{printed_range(self.mass, unit='g/m**2/h')}, with {self.electrons} electrons for each molecule. "
                f"{self.practice}")  # fmt: skip

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def product_ceiling(gap, product, irradiance=None):
    """Return the ProductCeiling of sunlight above a gap.

    Parameters
    ----------
    gap : quantity, text or Range [energy]
    product : str
        One of ``products()``.
    irradiance : quantity, text or Range [irradiance], optional
        Scales ASTM G173-03.

    Raises
    ------
    ChoiceProblem
        If there is no such product.
    UnitProblem, ReadingProblem, RangeProblem
        If another input is of another kind, or the gap is under 1.23 eV.

    Notes
    -----
    One photon moves one electron and all of them end in this product: no powder does that.  The oxygen of water is
    the other half of all of them but hydrogen from a donor.

    References
    ----------
    astm_g173, zhang_2016, nishiyama_2021, dong_2019

    Examples
    --------
    >>> print(product_ceiling("2.7 eV", "methanol").rate)
    249 mmol/h/m²
    """
    found = _row(product)
    gap = as_range(gap, "[energy] > 0", "gap")
    refuse_narrow(gap.low, "product_ceiling")
    electrons = electrons_per_molecule(product)
    light = {} if irradiance is None else {"irradiance": as_range(irradiance, "[irradiance] > 0", "irradiance")}

    def rate(gap, irradiance=None):
        return (photon_flux_above(gap, irradiance) / electrons).to("mmol/m**2/h")

    rates = range_from(rate, gap=gap, **light)
    mass = molar_mass(found["formula"])
    return ProductCeiling(
        product=product,
        electrons=electrons,
        rate=rates,
        mass=Range(*((end * mass).to("g/m**2/h") for end in rates.ends)),
        practice=found["practice"],
    )


def _row(product):
    return row("products", chosen(product, products(), "product"))
