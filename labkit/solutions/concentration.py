"""Concentration: what to weigh for a molarity, how far to dilute, and what crystal water adds.

All of it goes by the finished solution, filled up to its volume.  Cautions: see ``labkit.solutions``.
"""

import numpy as np

from labkit.chemistry.formula import molar_mass, split_hydrate
from labkit.errors import FormulaProblem, RangeProblem
from labkit.units import nominal, takes


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
    UnitProblem, RangeProblem
        If the mass or the volume is not one, or has an impossible size.
    FormulaProblem
        If the formula cannot be read.

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

    Returns
    -------
    quantity [mass], in g
        Scalars and arrays broadcast as in NumPy.

    Raises
    ------
    UnitProblem, RangeProblem, FormulaProblem
        As for ``molarity``.

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

    Use it to see how far a weighed mass goes, or how much stock to draw.  Arguments and errors are
    those of ``mass_for_molarity``.

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

    The relation is that of ``diluted_concentration``.

    Raises
    ------
    RangeProblem
        If the stock is weaker than what is wanted.

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

    The relation is that of ``diluted_concentration``.

    Raises
    ------
    RangeProblem
        If the stock is weaker than what is wanted.

    Examples
    --------
    >>> print(f"{diluted_volume('0.5 mol/L', '8 mL', '0.1 mol/L'):.0f~P}")
    40 mL
    """
    _refuse_concentrating(diluted_concentration, stock_concentration, "diluted_volume", "a stock no weaker than that")
    return (stock_volume * stock_concentration / diluted_concentration).to("mL")


def _refuse_concentrating(smaller, larger, function, need):
    rounding = 1 + 1e-9  # 10 mL is no larger than 0.01 L
    if not np.all(nominal(smaller) <= nominal(larger) * rounding):
        raise RangeProblem(f"{function}() needs {need}: adding solvent can only make a solution weaker.")


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

    Raises
    ------
    FormulaProblem
        If the formula carries no crystal water.

    Examples
    --------
    >>> print(f"{anhydrous_from_hydrate('500 mg', 'FeCl3·6H2O'):.3f~P}")
    0.300 g
    """
    return (mass / _hydrate_factor(salt)).to("g")


@takes(mass="[mass] >= 0")
def dry_salt_mass(mass, salt):
    """Return the mass of dry salt in ``mass`` of a salt as it stands in the jar, hydrate or not, in g.

    Examples
    --------
    >>> for salt in ("FeCl3", "FeCl3·6H2O"):
    ...     print(f"{dry_salt_mass('500 mg', salt):.3f~P}")
    0.500 g
    0.300 g
    """
    return anhydrous_from_hydrate(mass, salt) if split_hydrate(salt)[1] else mass.to("g")


def _hydrate_factor(salt):
    dry, waters = split_hydrate(salt)
    if not waters:
        raise FormulaProblem(f"“{salt}” carries no crystal water. Type the hydrate, for instance FeCl3·6H2O.")
    return molar_mass(salt) / molar_mass(dry)
