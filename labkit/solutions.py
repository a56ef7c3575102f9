"""Solutions and doping: what to weigh, how far to dilute, and how much metal that brings.

Weighing and dissolving have their cautions: ``cautions("chlorides")`` and ``cautions("solvent")``
from ``labkit.data.cautions`` belong beside every number from here.
"""

import numpy as np

from labkit.chemistry.formula import atom_counts, mass_fractions, molar_mass, split_hydrate
from labkit.data import table
from labkit.errors import FormulaProblem, RangeProblem
from labkit.units import Q, takes, ureg

NOT_ALL_TAKEN_UP = (
    "The nominal loading is the metal that went into the jar. Part of it washes off again, often more than half "
    "(from memory), and iron(III) hydrolyses on the way (Stefánsson, Environ. Sci. Technol. 41 (2007) 6117). Only a "
    "measurement of the washed powder tells what stayed."
)
MELON = "C6H3N9"  # repeat unit of the powder: one heptazine, where one metal ion can sit

_PARTNERS = frozenset("Li Na K Rb Cs Fr Be Mg Ca Sr Ba Ra".split())  # never the metal that is meant
_NO_METALS = frozenset("H He B C N O F Ne Si P S Cl Ar Ge As Se Br Kr Sb Te I Xe At Rn Ts Og".split())


# ---------------------------------------------------------------- concentration


@takes(mass="[mass] >= 0", volume="[volume] > 0")
def molarity(mass, formula, volume):
    r"""Return the amount concentration of a solution.

    .. math:: c = m / (M V)

    Parameters
    ----------
    mass : quantity [mass] >= 0
        What was weighed.  Scalar or array.
    formula : str
        Of what was weighed, crystal water included: ``"FeCl3·6H2O"``.
    volume : quantity [volume] > 0
        Of the finished solution, not of the solvent.

    Returns
    -------
    quantity [concentration], in mol/L

    Raises
    ------
    UnitProblem, RangeProblem, FormulaProblem

    References
    ----------
    Definition; atomic weights iupac_2021.

    Examples
    --------
    >>> print(f"{molarity('1.2 g', 'ZnCl2', '80 mL'):.3f~P}")
    0.110 mol/L
    """
    return (mass / molar_mass(formula) / volume).to("mol/L")


@takes(molarity="[concentration] >= 0", volume="[volume] >= 0")
def mass_for_molarity(molarity, formula, volume):
    """Return the mass to weigh for a solution of a wanted molarity and volume, in g.

    Parameters
    ----------
    molarity : quantity [concentration] >= 0
    formula : str
        Of what stands in the jar on the shelf: the hydrate weighs more than the dry salt.
    volume : quantity [volume] >= 0
        Of the finished solution.

    Examples
    --------
    >>> for formula in ("FeCl3", "FeCl3·6H2O"):
    ...     print(f"{mass_for_molarity('0.02 mol/L', formula, '75 mL'):.3f~P}")
    0.243 g
    0.405 g
    """
    return (molarity * volume * molar_mass(formula)).to("g")


@takes(molarity="[concentration] > 0", mass="[mass] >= 0")
def volume_for_molarity(molarity, formula, mass):
    """Return the volume of solution that holds a mass at a molarity, in mL.

    Use it to see how far a weighed mass goes, or how much stock to draw.  Arguments as for
    ``mass_for_molarity``.

    Examples
    --------
    >>> print(f"{volume_for_molarity('0.02 mol/L', 'ZnCl2', '300 mg'):.0f~P}")
    110 mL
    """
    return (mass / molar_mass(formula) / molarity).to("mL")


@takes(stock_concentration="[concentration] >= 0", stock_volume="[volume] >= 0", diluted_volume="[volume] > 0")
def diluted_concentration(stock_concentration, stock_volume, diluted_volume):
    r"""Return the concentration after a stock is filled up to a larger volume, in mol/L.

    .. math:: c_1 V_1 = c_2 V_2

    The other two dilution sums solve the same equation for one volume: ``stock_volume`` for what
    to draw, ``diluted_volume`` for the mark to fill up to.

    Raises
    ------
    RangeProblem
        If the diluted volume is smaller than the stock it is made from.

    Notes
    -----
    Volumes are those of the solutions.  Solvent added to solution does not always add up.

    Examples
    --------
    >>> print(f"{diluted_concentration('0.5 mol/L', '8 mL', '40 mL'):.2f~P}")
    0.10 mol/L
    """
    _refuse_concentrating(stock_volume, diluted_volume, "diluted_concentration", "a volume no smaller than the stock's")
    return (stock_concentration * stock_volume / diluted_volume).to("mol/L")


@takes(stock_concentration="[concentration] > 0", diluted_concentration="[concentration] >= 0",
       diluted_volume="[volume] >= 0")  # fmt: skip
def stock_volume(stock_concentration, diluted_concentration, diluted_volume):
    """Return the volume of stock to draw and fill up to ``diluted_volume``, in mL.

    Raises RangeProblem if the stock is weaker than what is wanted.  See ``diluted_concentration``.

    Examples
    --------
    >>> print(f"{stock_volume('0.5 mol/L', '0.1 mol/L', '40 mL'):.1f~P}")
    8.0 mL
    """
    _refuse_concentrating(diluted_concentration, stock_concentration, "stock_volume", "a stock no weaker than that")
    return (diluted_volume * diluted_concentration / stock_concentration).to("mL")


@takes(stock_concentration="[concentration] >= 0", stock_volume="[volume] >= 0",
       diluted_concentration="[concentration] > 0")  # fmt: skip
def diluted_volume(stock_concentration, stock_volume, diluted_concentration):
    """Return the volume to fill a portion of stock up to, in mL.

    Raises RangeProblem if the stock is weaker than what is wanted.  See ``diluted_concentration``.

    Examples
    --------
    >>> print(f"{diluted_volume('0.5 mol/L', '8 mL', '0.1 mol/L'):.0f~P}")
    40 mL
    """
    _refuse_concentrating(diluted_concentration, stock_concentration, "diluted_volume", "a stock no weaker than that")
    return (stock_volume * stock_concentration / diluted_concentration).to("mL")


def _refuse_concentrating(smaller, larger, function, need):
    rounding = 1 + 1e-9  # 10 mL is no larger than 0.01 L
    if not np.all(_size(smaller) <= _size(larger) * rounding):
        raise RangeProblem(f"{function}() needs {need}: adding solvent can only make a solution weaker.")


# ---------------------------------------------------------------- crystal water


@takes(mass="[mass] >= 0")
def hydrate_from_anhydrous(mass, salt):
    """Return the mass of a hydrate that carries the same salt as ``mass`` of the dry one, in g.

    Parameters
    ----------
    mass : quantity [mass] >= 0
        Of the dry (anhydrous) salt.
    salt : str
        Formula of the hydrate: ``"FeCl3·6H2O"``.

    Raises
    ------
    FormulaProblem
        If the formula carries no crystal water.

    Notes
    -----
    For iron(III) chloride the factor is 1.666.  Baking the hydrate does not give the dry salt
    back; it gives off hydrogen chloride.

    Examples
    --------
    >>> print(f"{hydrate_from_anhydrous('300 mg', 'FeCl3·6H2O'):.3f~P}")
    0.500 g
    """
    return (mass * _hydrate_factor(salt)).to("g")


@takes(mass="[mass] >= 0")
def anhydrous_from_hydrate(mass, salt):
    """Return the mass of dry salt in ``mass`` of its hydrate, in g.  ``salt`` is the hydrate's formula.

    Examples
    --------
    >>> print(f"{anhydrous_from_hydrate('500 mg', 'FeCl3·6H2O'):.3f~P}")
    0.300 g
    """
    return (mass / _hydrate_factor(salt)).to("g")


def _hydrate_factor(salt):
    dry, waters = split_hydrate(salt)
    if not waters:
        raise FormulaProblem(f"“{salt}” carries no crystal water. Type the hydrate, for instance FeCl3·6H2O.")
    return molar_mass(salt) / molar_mass(dry)


# ---------------------------------------------------------------- doping


def metal_of(salt):
    """Return the symbol of the metal that a salt brings.

    Metals of groups 1 and 2 are only partners here, as potassium is in K2PtCl4: this kind of doping,
    by soaking and washing, is about metals that bind to nitrogen, such as Fe, Zn, Ni, Cu and Co.

    Raises
    ------
    FormulaProblem
        If there is no metal in the formula, or more than one that could be meant.

    Examples
    --------
    >>> metal_of('FeCl3·6H2O'), metal_of('K2PtCl4')
    ('Fe', 'Pt')
    """
    metals = [element for element in atom_counts(salt) if element not in _NO_METALS | _PARTNERS]
    if len(metals) != 1:
        found = f"more than one: {', '.join(metals)}" if metals else "none that counts here"
        raise FormulaProblem(f"A salt for doping brings one metal, but “{salt}” has {found}. Type for instance FeCl3.")
    return metals[0]


@takes(powder_mass="[mass] >= 0", loading="[] >= 0")
def dopant_dose(powder_mass, loading, salt):
    r"""Return the mass of salt for a wanted loading, if all the metal were taken up, in mg.

    .. math:: m_\mathrm{salt} = \frac{w}{1 - w}\,\frac{m_\mathrm{powder}}{f}

    with w the loading and f the mass fraction of the metal in the salt.

    Parameters
    ----------
    powder_mass : quantity [mass] >= 0
        Powder before doping.
    loading : percentage or number
        Mass of metal over mass of metal and powder: ``"2 %"`` or ``0.02``.
    salt : str
        Formula of what is weighed, crystal water included.

    Raises
    ------
    RangeProblem
        If the loading is 100 % or more, or a bare number: ``0.5`` typed for 0.5 % would dose a
        hundredfold, so the sign is always asked for.

    Notes
    -----
    ``NOT_ALL_TAKEN_UP`` belongs beside the result.

    References
    ----------
    Definition; atomic weights iupac_2021.

    Examples
    --------
    >>> print(f"{dopant_dose('3 g', '2 %', 'FeCl3'):.0f~P}, {dopant_dose('3 g', '2 %', 'FeCl3·6H2O'):.0f~P}")
    178 mg, 296 mg
    """
    refuse_bare_loading(loading, "dopant_dose")
    share = loading.to("dimensionless")
    if not np.all(_size(share) < 1):
        raise RangeProblem("dopant_dose() needs a loading below 100 %, metal over metal and powder. "
                           "Type for instance loading='2 %'.")  # fmt: skip
    metal_mass = powder_mass * share / (1 - share)
    return (metal_mass / _metal_fraction(salt)).to("mg")


def refuse_bare_loading(loading, function):
    """Raise RangeProblem if a loading came without its percent sign, unless it is zero."""
    if loading.units == ureg.dimensionless and np.any(_size(loading) != 0):
        raise RangeProblem(f"{function}() needs the loading in percent. {_brief(loading)} without a sign could be "
                           f"{_brief(loading)} % or a hundred times that. Type for instance loading='0.5 %'.")  # fmt: skip


@takes(salt_mass="[mass] >= 0", volume="[volume] > 0")
def refuse_insoluble(salt_mass, salt, solvent, volume):
    """Raise RangeProblem if a volume of solvent cannot hold a salt, where dopants.csv has a solubility.

    Compared as the dry salt.  A pair that the table does not know passes.
    """
    dry_salt, waters = split_hydrate(salt)
    dry_mass = anhydrous_from_hydrate(salt_mass, salt) if waters else salt_mass
    for row in table("dopants"):
        if (row["salt"], row["solvent"]) == (dry_salt, solvent) and row["solubility_g_per_100mL"]:
            most = Q(float(row["solubility_g_per_100mL"]), "g") / Q(100, "mL")
            if np.any(_size((dry_mass / volume / most).to("")) > 1):
                raise RangeProblem(f"{_brief(volume)} of {solvent} can't hold {_brief(salt_mass)} of {salt}: at most "
                                   f"{_brief(most.to('g/mL'))} of the dry salt dissolves. Take more solvent.")  # fmt: skip


@takes(salt_mass="[mass] >= 0", powder_mass="[mass] > 0")
def nominal_loading(salt_mass, salt, powder_mass):
    """Return the loading if all the metal of a salt were taken up, in percent.

    Parameters
    ----------
    salt_mass : quantity [mass] >= 0
    salt : str
        Formula of what was weighed, crystal water included.
    powder_mass : quantity [mass] > 0
        Powder before doping.

    Returns
    -------
    quantity, in percent
        Mass of metal over mass of metal and powder.  ``NOT_ALL_TAKEN_UP`` belongs beside it.

    Examples
    --------
    >>> print(f"{nominal_loading('300 mg', 'FeCl3', '3 g'):.2f~P}")
    3.33 %
    """
    metal_mass = salt_mass * _metal_fraction(salt)
    return (metal_mass / (metal_mass + powder_mass)).to("percent")


@takes(salt_mass="[mass] >= 0", powder_mass="[mass] > 0")
def mole_ratio(salt_mass, salt, powder_mass, powder=MELON):
    """Return how many metal atoms a salt brings per repeat unit of the powder.

    Parameters
    ----------
    salt_mass : quantity [mass] >= 0
    salt : str
        Formula of what was weighed, crystal water included.
    powder_mass : quantity [mass] > 0
    powder : str
        Repeat unit; melon, one heptazine, if nothing else is said.

    Returns
    -------
    quantity, a plain number
        1 is one metal for every repeat unit.

    Examples
    --------
    >>> print(f"{mole_ratio('300 mg', 'FeCl3', '3 g'):.3f~P}")
    0.124
    """
    metal_amount = salt_mass / molar_mass(salt) * atom_counts(salt)[metal_of(salt)]
    return (metal_amount / (powder_mass / molar_mass(powder))).to("dimensionless")


def loading_ceiling(metal, powder=MELON):
    """Return the loading at which every repeat unit of the powder holds one metal, in percent.

    A count of places, not a measurement: metal beyond it would have to be a second solid beside the
    powder, and real uptake stays far below.  Computed from atomic weights (iupac_2021).

    Examples
    --------
    >>> print(f"{loading_ceiling('Fe'):.1f~P}")
    21.7 %
    """
    one_metal = molar_mass(metal_of(metal))
    return (one_metal / (one_metal + molar_mass(powder))).to("percent")


def _metal_fraction(salt):
    return mass_fractions(salt)[metal_of(salt)]


def _size(quantity):
    """Number in base units, without its ±, to compare by."""
    number = quantity.to_base_units().magnitude
    return getattr(number, "nominal_value", number)


def _brief(quantity):
    return f"{quantity:.3g~P}"
