"""Doping: which metal a salt brings, how much of the salt to weigh, and what loading that can be.

References
----------
Definitions; atomic weights iupac_2021; hydrolysis of iron(III) stefansson_2007; dopants.csv.
"""

from functools import lru_cache

import numpy as np

from labkit.chemistry.formula import atom_counts, mass_fractions, molar_mass, split_hydrate
from labkit.chemistry.thermolysis import PRODUCTS
from labkit.data import table
from labkit.errors import FormulaProblem, RangeProblem
from labkit.solutions.concentration import dry_salt_mass
from labkit.units import Q, nominal, takes, ureg

NOT_ALL_TAKEN_UP = (
    "The nominal loading is the metal that went into the jar. Part of it washes off again, often more than half "
    "(from memory), and iron(III) hydrolyses on the way (Stefánsson, Environ. Sci. Technol. 41 (2007) 6117). Only a "
    "measurement of the washed powder tells what stayed."
)
MELON = PRODUCTS["melon"]  # repeat unit of the powder: one heptazine, where one metal ion can sit
BALANCE_STEP = Q(10, "mg")  # of a common inexpensive balance (common practice)
SALT_PER_POWDER = (0.3, 400)  # mg/g, the ends of ``loading_curve``: room for 0.1 to 5 % of each salt
METALS = {"Fe": "iron", "Zn": "zinc"}  # words for the metals of dopants.csv

_PARTNERS = frozenset("Li Na K Rb Cs Fr Be Mg Ca Sr Ba Ra".split())  # never the metal that is meant
_NO_METALS = frozenset("H He B C N O F Ne Si P S Cl Ar Ge As Se Br Kr Sb Te I Xe At Rn Ts Og".split())


def dopants():
    """Return what labkit dopes with by soaking: the name of a row of dopants.csv to (salt, solvent).

    What goes in by other ways is in ``labkit.solutions.dopant_ways``.

    Examples
    --------
    >>> dopants()["zinc in ethanol"]
    ('ZnCl2', 'ethanol')
    """
    return {found["name"]: (found["salt"], found["solvent"]) for found in table("dopants")}


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


def metal_word(salt):
    """Return the metal that a salt brings in words, or its symbol where labkit has no word for it.

    >>> metal_word("FeCl3·6H2O"), metal_word("CuCl2")
    ('iron', 'Cu')
    """
    metal = metal_of(salt)
    return METALS.get(metal, metal)


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
    if not np.all(nominal(share) < 1):
        raise RangeProblem("dopant_dose() needs a loading below 100 %, metal over metal and powder. "
                           "Type for instance loading='2 %'.")  # fmt: skip
    metal_mass = powder_mass * share / (1 - share)
    return (metal_mass / _metal_fraction(salt)).to("mg")


def refuse_bare_loading(loading, function):
    """Raise RangeProblem if a loading came without its percent sign, unless it is zero.

    ``function`` is named in the message.

    >>> refuse_bare_loading(Q(0.5, "percent"), "dopant_dose")
    """
    if loading.units == ureg.dimensionless and np.any(nominal(loading).magnitude != 0):
        raise RangeProblem(f"{function}() needs the loading in percent. {_brief(loading)} without a sign could be "
                           f"{_brief(loading)} % or a hundred times that. Type for instance loading='0.5 %'.")  # fmt: skip


def solubility(salt, solvent):
    """Return the most dry salt that a solvent holds, in g/mL; None where dopants.csv has no figure.

    Parameters
    ----------
    salt : str
        Formula.  Of a hydrate the figure of its dry salt is given.
    solvent : str
        As in dopants.csv: ``"acetone"``.

    References
    ----------
    encyclopaedia_iron_chloride, encyclopaedia_zinc_chloride: good for the order of magnitude.

    Examples
    --------
    >>> print(f"{solubility('FeCl3·6H2O', 'acetone'):~P}", solubility("NiCl2", "acetone"))
    0.63 g/mL None
    """
    if not isinstance(solvent, str):
        raise RangeProblem("A solvent is told by its name. Type for instance acetone.")
    dry_salt, solvent = split_hydrate(salt)[0], " ".join(solvent.split()).lower()
    for found in table("dopants"):
        if (found["salt"], found["solvent"]) == (dry_salt, solvent) and found["solubility_g_per_100mL"]:
            return (Q(float(found["solubility_g_per_100mL"]), "g") / Q(100, "mL")).to("g/mL")
    return None


@takes(salt_mass="[mass] >= 0", volume="[volume] > 0")
def refuse_insoluble(salt_mass, salt, solvent, volume):
    """Raise RangeProblem if a volume of solvent cannot hold a salt, where its ``solubility`` is known.

    Compared as the dry salt.  A pair without a figure passes.

    Examples
    --------
    >>> refuse_insoluble("2 g", "FeCl3", "acetone", "30 mL")
    """
    most = solubility(salt, solvent)
    if most is not None and np.any(nominal(dry_salt_mass(salt_mass, salt) / volume) > most):
        raise RangeProblem(f"{_brief(volume)} of {solvent} can't hold {_brief(salt_mass)} of {salt}: at most "
                           f"{_brief(most)} of the dry salt dissolves. Take more solvent.")  # fmt: skip


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
        Scalars and arrays broadcast as in NumPy.

    Raises
    ------
    FormulaProblem
        As ``metal_of``.
    UnitProblem, RangeProblem
        If a mass is not one, or has an impossible size.

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

    Raises
    ------
    UnitProblem, RangeProblem, FormulaProblem
        As for ``nominal_loading``.

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

    Raises
    ------
    FormulaProblem
        If ``metal`` is not one metal or a salt of one, or ``powder`` is not a formula.

    Examples
    --------
    >>> print(f"{loading_ceiling('Fe'):.1f~P}")
    21.7 %
    """
    one_metal = molar_mass(metal_of(metal))
    return (one_metal / (one_metal + molar_mass(powder))).to("percent")


def salt_shares(salt):
    """Return name to percent of a metal chloride's mass: the metal, chloride, crystal water if any.

    Raises
    ------
    FormulaProblem
        If the salt is not a chloride of one metal.

    Examples
    --------
    >>> {name: round(share, 1) for name, share in salt_shares("FeCl3·6H2O").items()}
    {'iron': 20.7, 'chloride': 39.3, 'crystal water': 40.0}
    """
    fractions, metal, waters = mass_fractions(salt), metal_of(salt), split_hydrate(salt)[1]
    if "Cl" not in fractions:
        raise FormulaProblem(f"“{salt}” is no chloride. Type for instance FeCl3.")
    shares = {metal_word(salt): 100 * fractions[metal], "chloride": 100 * fractions["Cl"]}
    if waters:
        shares["crystal water"] = (waters * molar_mass("H2O") / molar_mass(salt)).m_as("percent")
    return shares


@lru_cache(16)
def loading_curve(salt):
    """Return salt per gram of powder in mg and the nominal loading in percent, as two arrays to draw.

    They are kept for the next call, and cannot be changed.

    Examples
    --------
    >>> mass, loading = loading_curve("FeCl3")
    >>> f"{mass[0]:.1f} to {mass[-1]:.0f} mg/g bring {loading[0]:.3f} to {loading[-1]:.0f} %"
    '0.3 to 400 mg/g bring 0.010 to 12 %'
    """
    mass = np.geomspace(*SALT_PER_POWDER, 40)
    loading = nominal_loading(Q(mass, "mg"), salt, Q(1, "g")).m_as("percent")
    for numbers in (mass, loading):
        numbers.setflags(write=False)
    return mass, loading


def _metal_fraction(salt):
    return mass_fractions(salt)[metal_of(salt)]


def _brief(quantity):
    return f"{quantity:.3g~P}"
