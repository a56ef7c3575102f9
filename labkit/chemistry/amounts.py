"""How much of each substance: mass and moles, mass balance, the limiting reagent, percent yield."""

from dataclasses import dataclass

from labkit.chemistry.balance import Reaction, balanced
from labkit.chemistry.formula import molar_mass, plain_text, subscripted
from labkit.errors import BalanceProblem, UnitProblem
from labkit.units import agrees, checked, handy, is_quantity, number, printed, read, refuse_array, takes

_SAME = 1e-12  # relative; floating point leaves a few 1e-16, a lost atom at least 1e-5


@takes(mass="[mass] >= 0")
def amount_from_mass(mass, formula):
    """Return the amount of substance in a mass.

    Parameters
    ----------
    mass : quantity [mass] or text
        Zero or more; may carry an uncertainty.  Of the substance alone: divide out the purity first.
    formula : str
        As read by ``labkit.chemistry.formula``; crystal water counts.

    Returns
    -------
    quantity [amount], in mol
        Single or array, as ``mass`` is.

    Raises
    ------
    UnitProblem, RangeProblem, ReadingProblem
        If the mass is none, is negative, or can't be read.
    FormulaProblem
        If the formula can't be read.

    Examples
    --------
    >>> print(f"{amount_from_mass('25 g', 'C12H22O11'):.3f~P}")
    0.073 mol
    """
    return (mass / molar_mass(formula)).to("mol")


@takes(amount="[amount] >= 0")
def mass_from_amount(amount, formula):
    """Return the mass of an amount of substance, in g.

    Takes and refuses what ``amount_from_mass`` does, the other way round.

    >>> print(f"{mass_from_amount('0.25 mol', 'ZnCl2'):.1f~P}")
    34.1 g
    """
    return (amount * molar_mass(formula)).to("g")


@dataclass(frozen=True)
class Line:
    """One substance in a mass balance: ``side`` is ``"in"`` or ``"out"``."""

    formula: str
    side: str
    coefficient: int
    amount: object
    mass: object


@dataclass(frozen=True)
class MassBalance:
    """What goes in and what comes out of a reaction that runs to its end; ``print`` shows a table."""

    reaction: Reaction
    lines: tuple

    @property
    def total_in(self):
        """Mass of all reactants."""
        return sum(line.mass for line in self.lines if line.side == "in")

    @property
    def total_out(self):
        """Mass of all products."""
        return sum(line.mass for line in self.lines if line.side == "out")

    @property
    def closure(self):
        """Mass out over mass in, less 1: a plain number, zero but for rounding in the last digit."""
        return number(self.total_out / self.total_in, "dimensionless") - 1

    def line(self, formula):
        """Return the Line of a formula, however it is spelled; BalanceProblem if it takes no part."""
        self.reaction.coefficient(formula)
        return next(line for line in self.lines if line.formula == plain_text(formula))

    def __str__(self):
        amount_unit = handy(max((line.amount for line in self.lines), key=lambda amount: number(amount, "mol"))).units
        mass_unit = handy(max((line.mass for line in self.lines), key=lambda mass: number(mass, "g"))).units
        cells = [
            (line.side, subscripted(line.formula), _fixed(line.amount, amount_unit), _fixed(line.mass, mass_unit))
            for line in self.lines
        ]
        wide = [max(len(row[column]) for row in cells) for column in range(4)]
        table = [
            f"{side:<{wide[0]}}  {name:<{wide[1]}}  {amount:>{wide[2]}}  {mass:>{wide[3]}}"
            for side, name, amount, mass in cells
        ]
        total_in, total_out = printed(self.total_in, 4, mass_unit), printed(self.total_out, 4, mass_unit)
        verdict = "no mass is lost" if abs(self.closure) < _SAME else f"they differ by {self.closure:.1e} of it"
        return "\n".join([str(self.reaction), *table, f"{total_in} in, {total_out} out: {verdict}."])


@takes(mass="[mass] > 0")
def mass_balance(reaction, mass, of=None):
    """Return what every substance of a reaction weighs, from the mass of one of them.

    Parameters
    ----------
    reaction : Reaction or str
        Text is balanced first.
    mass : quantity [mass] or text
        Mass of ``of``, more than zero.  One mass; no array.
    of : str, optional
        Any formula of the reaction, reactant or product; the first reactant if left out.

    Returns
    -------
    MassBalance
        ``lines`` (formula, side, coefficient, amount in mol, mass in g), ``total_in``,
        ``total_out`` and ``closure``.

    Raises
    ------
    BalanceProblem
        If ``of`` does not take part or the text does not balance.
    UnitProblem, RangeProblem, ReadingProblem
        If the mass is none, is not more than zero, or there are several.

    Notes
    -----
    The reaction as written and nothing beside it: complete, no side reactions, no vapour lost.

    Examples
    --------
    >>> print(mass_balance("C3H6N6 -> C3N4 + NH3", "40 g"))
    C₃H₆N₆ → C₃N₄ + 2 NH₃
    in   C₃H₆N₆  317.2 mmol  40.00 g
    out  C₃N₄    317.2 mmol  29.20 g
    out  NH₃     634.3 mmol  10.80 g
    40.00 g in, 40.00 g out: no mass is lost.
    """
    refuse_array("mass_balance", mass=mass)
    reaction = _as_reaction(reaction)
    known = reaction.formulas[0] if of is None else of
    extent = amount_from_mass(mass, known) / reaction.coefficient(known)
    sides = (("in", reaction.reactants), ("out", reaction.products))
    lines = tuple(
        Line(formula, side, number, number * extent, mass_from_amount(number * extent, formula))
        for side, pairs in sides
        for number, formula in pairs
    )
    return MassBalance(reaction, lines)


@dataclass(frozen=True)
class Limiting:
    """Which reactant runs out: its formula, the extent in mol, what is left over and what is made."""

    reaction: Reaction
    formula: str
    extent: object
    left_over: dict
    products: dict

    def __str__(self):
        rest = [f"{printed(mass)} of {subscripted(name)}" for name, mass in self.left_over.items() if number(mass, "g")]
        made = " and ".join(f"{printed(mass)} of {subscripted(name)}" for name, mass in self.products.items())
        if len(self.left_over) > 1 and not rest:
            return f"Nothing is left over: the reactants fit each other. At most {made} can form."
        over = f"; {' and '.join(rest)} {'are' if len(rest) > 1 else 'is'} left over" if rest else ""
        return f"{subscripted(self.formula)} runs out first{over}. At most {made} can form."


def limiting_reagent(reaction, amounts):
    """Return which reactant runs out first, and what that leaves and makes.

    Parameters
    ----------
    reaction : Reaction or str
    amounts : dict
        Every reactant's formula to its mass or its amount of substance (quantity or text), more
        than zero.

    Returns
    -------
    Limiting
        ``formula``, ``extent`` (moles of reaction as written), ``left_over`` and ``products``
        (formula to mass, in g).  Where two run out together the first as written is named.

    Raises
    ------
    BalanceProblem
        If a reactant is left out, given twice, or takes no part.
    UnitProblem
        If something is neither a mass nor an amount.

    Examples
    --------
    >>> print(limiting_reagent("Si + N2 -> Si3N4", {"Si": "2.00 g", "N2": "1.50 g"}))
    Si runs out first; 170 mg of N₂ is left over. At most 3.33 g of Si₃N₄ can form.
    """
    reaction = _as_reaction(reaction)
    given = _given_amounts(reaction, amounts)
    extents = {formula: given[formula] / number for number, formula in reaction.reactants}
    limiting = min(extents, key=lambda formula: number(extents[formula], "mol"))
    extent = extents[limiting]
    left_over = {
        formula: _left(given[formula], number * extent, formula, limiting) for number, formula in reaction.reactants
    }
    products = {formula: mass_from_amount(number * extent, formula) for number, formula in reaction.products}
    return Limiting(reaction, limiting, extent, left_over, products)


def percent_yield(actual, theoretical):
    """Return what was got as a share of what could have been got.

    Parameters
    ----------
    actual, theoretical : quantity or text
        Both masses or both amounts of substance.  ``theoretical`` is more than zero.  Uncertainties
        (``"4.6 ± 0.1 g"``) are carried on to the result.  Single or array.

    Returns
    -------
    quantity, in percent
        May be over 100 %: that tells of a wet or impure product, or of a slip in the theory.

    Raises
    ------
    UnitProblem
        If one is a mass and the other an amount, or something else.
    RangeProblem
        If ``theoretical`` is not more than zero, or ``actual`` is negative.

    Examples
    --------
    >>> from labkit.units import printed
    >>> print(printed(percent_yield("0.392 g", "0.5072 g")), printed(percent_yield("4.6 ± 0.1 g", "22.9 g")))
    77.3 % (20.09 ± 0.44) %
    """
    theoretical = _mass_or_amount(theoretical, "> 0", "theoretical", "percent_yield")
    actual = _mass_or_amount(actual, ">= 0", "actual", "percent_yield")
    if actual.dimensionality != theoretical.dimensionality:
        raise UnitProblem("percent_yield() compares like with like: give both as masses, or both as amounts in mol.")
    return (actual / theoretical).to("percent")


def _as_reaction(reaction):
    return reaction if isinstance(reaction, Reaction) else balanced(reaction)


def _given_amounts(reaction, amounts):
    """Return reactant to amount of substance, one for each, from masses or amounts."""
    names = [formula for _, formula in reaction.reactants]
    if not isinstance(amounts, dict):
        raise BalanceProblem(f"limiting_reagent() needs a dict such as {{'{names[0]}': '2.5 g'}} for ‘amounts’.")
    given = {}
    for formula, value in amounts.items():
        name = plain_text(formula)
        if name not in names:
            raise BalanceProblem(f"{subscripted(name)} is not a reactant of {reaction}.")
        if name in given:
            raise BalanceProblem(f"{subscripted(name)} is given twice. Add the two up first.")
        value = _mass_or_amount(value, "> 0", name, "limiting_reagent")
        refuse_array("limiting_reagent", **{name: value})
        given[name] = amount_from_mass(value, name) if agrees(value, "[mass]") else value.to("mol")
    missing = [subscripted(name) for name in names if name not in given]
    if missing:
        raise BalanceProblem(f"limiting_reagent() needs every reactant; {' and '.join(missing)} is not given. "
                             "If there is plenty of it, use mass_balance().")  # fmt: skip
    return given


def _left(given, used, formula, limiting):
    """Return the mass of what was not used: none of the limiting reactant, nor of one that just fits."""
    rest = given - used
    if formula == limiting or abs(number(rest, "mol")) <= _SAME * number(given, "mol"):
        rest = 0 * given
    return (rest * molar_mass(formula)).to("g")


def _mass_or_amount(value, sign, name, function):
    value = read(value, name=f"‘{name}’ of {function}()") if isinstance(value, str) else value
    need = "[amount]" if is_quantity(value) and agrees(value, "[amount]") else "[mass]"
    return checked(value, f"{need} {sign}", name, function)


def _fixed(quantity, unit):
    return printed(quantity, 4, unit)
