"""From precursor to powder by heat: what could come out, what to weigh, was the yield plausible.

The powder is written in two ways.  ``"melon"``, C6H3N9, is the polymer that a covered crucible
gives; ``"ideal"``, C3N4, is the formula on most labels.  The claim that all hydrogen burns away is
wrong: melon keeps 1.5 wt% of it, by its formula.  That the product is melon: lau_2016 and
botari_2017 in sources.toml; what urea goes through on the way: schaber_2004.
"""

from dataclasses import dataclass
from functools import cache

from labkit.chemistry.amounts import mass_balance
from labkit.chemistry.balance import Reaction, balanced
from labkit.chemistry.formula import atom_counts, molar_mass, subscripted
from labkit.chemistry.gas import gas_volume
from labkit.data import guess, table
from labkit.errors import RangeProblem, chosen
from labkit.units import Q, Range, as_range, nominal, number, printed, range_from, refuse_array, takes, wrapped

PRODUCTS = {"melon": "C6H3N9", "ideal": "C3N4"}


@dataclass(frozen=True)
class Route:
    """One way from precursor to powder: a balanced reaction and what it takes for granted."""

    name: str
    precursor: str
    formula: str
    product: str
    reaction: Reaction
    assumption: str

    @property
    def mass_yield(self):
        """Mass of powder per mass of precursor if everything goes this way, in percent."""
        made = self.reaction.coefficient(self.product) * molar_mass(self.product)
        used = self.reaction.coefficient(self.formula) * molar_mass(self.formula)
        return (made / used).to("percent")


@dataclass(frozen=True)
class Gas:
    """One gas of a firing: formula, amount, mass and volume at the stated temperature."""

    formula: str
    amount: object
    mass: object
    volume: object


def precursors():
    """Return the names of the precursors labkit knows.

    >>> precursors()
    ['urea', 'melamine', 'dicyandiamide', 'thiourea']
    """
    return list(dict.fromkeys(row["precursor"] for row in table("routes")))


def route(precursor="urea", product="melon", name="usual"):
    """Return the Route from a precursor to a product.

    Parameters
    ----------
    precursor : str
        One of ``precursors()``.
    product : str
        ``"melon"`` (the real polymer, C6H3N9) or ``"ideal"`` (C3N4).
    name : str
        ``"usual"``, or ``"carbon bound"``: no carbon lost, which nothing of this composition can
        beat.  For melamine and dicyandiamide the usual route already is the carbon bound.

    Raises
    ------
    ChoiceProblem
        If there is no such precursor, product or route; the message lists those there are.

    References
    ----------
    routes.csv: thiourea madarasz_2007; the coefficients are computed.

    Examples
    --------
    >>> print(route("urea", "ideal").reaction)
    6 CO(NH₂)₂ → C₃N₄ + 8 NH₃ + 3 CO₂
    >>> print(f"{route('urea', 'ideal').mass_yield:.2f~P} {route('urea').mass_yield:.2f~P}")
    25.55 % 27.91 %
    """
    chosen(precursor, precursors(), "route from")
    chosen(product, PRODUCTS, "product called")
    chosen(name, ("usual", "carbon bound"), "route called")
    return _route(precursor, product, name)


@cache
def _route(precursor, product, name):
    rows = {row["route"]: row for row in table("routes") if (row["precursor"], row["product"]) == (precursor, product)}
    row = rows.get(name, rows["usual"])
    reaction = balanced(row["reaction"])
    return Route(name, precursor, row["formula"], PRODUCTS[product], reaction, row["assumption"])


def usual_fraction(precursor="urea", product="melon"):
    """Return the Range of the fraction of theory that a covered firing gives, from yields.csv.

    From memory, so a start for a plan and nothing more: weigh your own.  Raises ChoiceProblem as
    ``route`` does.

    >>> print(usual_fraction("urea"))
    3.6 to 43 %, likely 18 %
    """
    theory = route(precursor, product).mass_yield
    span = guess("yields", precursor)
    return Range(*((end / theory).to("percent") for end in span.ends), why=span.why)


def assumed_fraction(fraction=None, precursor="urea", product="melon"):
    """Return an assumed fraction of theory as a Range: as given, or ``usual_fraction``.

    Raises
    ------
    RangeProblem
        Unless it runs from more than 0 % to at most 100 %.
    UnitProblem, ReadingProblem
        If it is no share or can't be read.

    Examples
    --------
    >>> print(assumed_fraction("10 % to 30 %"))
    10 to 30 %, likely 20 %
    """
    span = (
        usual_fraction(precursor, product) if fraction is None else as_range(fraction, "[] > 0", "fraction of theory")
    )
    low, _, high = span.m_as("dimensionless")
    if low <= 0 or high > 1:
        raise RangeProblem("The fraction of theory runs from more than 0 % to 100 %; type for instance 10 % to 30 %.")
    return span


@takes(precursor_mass="[mass] > 0")
def powder_from_precursor(precursor_mass, precursor="urea", fraction=None, product="melon"):
    """Return the Range of powder to expect from a mass of precursor.

    Parameters
    ----------
    precursor_mass : quantity [mass]
        More than zero; one mass, no array.
    precursor, product : str
        As for ``route``.
    fraction : Range, quantity or text, optional
        Assumed fraction of theory, such as ``"10 % to 30 %"``; ``usual_fraction`` if left out.

    Returns
    -------
    Range of quantities [mass], in g

    Raises
    ------
    ChoiceProblem, UnitProblem, RangeProblem, ReadingProblem
        As ``route`` and ``assumed_fraction`` do, or if the mass is none or there are several.

    Examples
    --------
    Of 24 g of urea (invented):

    >>> print(powder_from_precursor("24 g", fraction="10 % to 30 %"))
    0.67 to 2.0 g, likely 1.3 g
    """
    refuse_array("powder_from_precursor", precursor_mass=precursor_mass)
    theory = route(precursor, product).mass_yield
    return range_from(
        lambda fraction_of_theory, precursor_mass: (precursor_mass * theory * fraction_of_theory).to("g"),
        fraction_of_theory=assumed_fraction(fraction, precursor, product),
        precursor_mass=precursor_mass,
    )


@takes(powder_mass="[mass] > 0")
def precursor_for_powder(powder_mass, precursor="urea", fraction=None, product="melon"):
    """Return the Range of precursor to weigh for a wanted mass of powder.

    The high end gives the target even at the lowest assumed fraction; it also gives the most gas.
    Takes and refuses what ``powder_from_precursor`` does.

    Examples
    --------
    >>> print(precursor_for_powder("2 g", fraction="10 % to 30 %"))
    24 to 72 g, likely 36 g
    """
    refuse_array("precursor_for_powder", powder_mass=powder_mass)
    theory = route(precursor, product).mass_yield
    return range_from(
        lambda fraction_of_theory, powder_mass: (powder_mass / (theory * fraction_of_theory)).to("g"),
        fraction_of_theory=assumed_fraction(fraction, precursor, product),
        powder_mass=powder_mass,
    )


@takes(precursor_mass="[mass] > 0", temperature="[temperature]", pressure="[pressure] > 0")
def gases(precursor_mass, precursor="urea", product="melon", name="usual", temperature="25 °C", pressure="1 atm"):
    """Return the gases that a route gives off, as a list of Gas, most moles first.

    Assumes that everything follows the route.  A real firing leaves less powder and so more gas;
    for the safe side see ``gases_at_most``.  Volumes are ideal at the stated temperature.

    Parameters
    ----------
    precursor_mass : quantity [mass]
        More than zero; one mass, no array.
    precursor, product, name : str
        As for ``route``.
    temperature : quantity [thermometer reading]
    pressure : quantity [pressure]

    Raises
    ------
    ChoiceProblem, UnitProblem, RangeProblem, ReadingProblem
        As ``route`` and ``gas_volume`` do, or if the mass is none or there are several.

    Examples
    --------
    >>> for gas in gases("24 g", "urea"):
    ...     print(gas.formula, printed(gas.amount), printed(gas.volume))
    NH3 500 mmol 12.2 L
    CO2 200 mmol 4.89 L
    """
    refuse_array("gases", precursor_mass=precursor_mass)
    way = route(precursor, product, name)
    balance = mass_balance(way.reaction, precursor_mass, of=way.formula)
    given_off = [line for line in balance.lines if line.side == "out" and line.formula != way.product]
    found = [_gas(line.formula, line.amount, temperature, pressure) for line in given_off]
    return sorted(found, key=lambda gas: -number(gas.amount, "mol"))


@takes(precursor_mass="[mass] > 0", temperature="[temperature]", pressure="[pressure] > 0")
def gases_at_most(precursor_mass, precursor="urea", temperature="25 °C", pressure="1 atm"):
    """Return the most of each harmful gas that the atoms of the precursor allow, as a list of Gas.

    Each is a bound of its own and not to be added to the others: all nitrogen as ammonia, all
    carbon (or nitrogen, whichever is short) as isocyanic acid and as hydrogen cyanide, all sulfur
    as carbon disulfide, carbonyl sulfide and sulfur dioxide.  Air and its moisture may supply the
    hydrogen and oxygen.  Hydrogen cyanide comes from overheated powder, and from thiourea in air;
    the sulfur gases were seen by Madarász & Pokol 2007 (madarasz_2007).

    Arguments, and what is refused, are as for ``gases``; print these with ``printed_up``.

    Examples
    --------
    >>> from labkit.units import printed_up
    >>> print({gas.formula: printed_up(gas.mass) for gas in gases_at_most("24 g", "urea")})
    {'NH3': '14 g', 'HCN': '11 g', 'HNCO': '18 g'}
    """
    refuse_array("gases_at_most", precursor_mass=precursor_mass)
    formula = route(precursor).formula
    atoms = atom_counts(formula)
    moles = (precursor_mass / molar_mass(formula)).to("mol")
    per_mole = {"NH3": atoms["N"], "HCN": min(atoms["C"], atoms["N"])}
    per_mole["HNCO"] = per_mole["HCN"]
    if "S" in atoms:
        per_mole |= {"CS2": min(atoms["C"], atoms["S"] / 2), "COS": min(atoms["C"], atoms["S"]), "SO2": atoms["S"]}
    return [_gas(gas, moles * count, temperature, pressure) for gas, count in per_mole.items()]


def _gas(formula, amount, temperature, pressure):
    return Gas(formula, amount, (amount * molar_mass(formula)).to("g"), gas_volume(amount, temperature, pressure))


@dataclass(frozen=True)
class Verdict:
    """Whether a yield can be true: ``level``, the share of theory, and a sentence with the reason.

    ``level`` is one of ``"next to nothing"``, ``"plausible"``, ``"impossible on the usual route"``
    and ``"impossible at all"``.
    """

    level: str
    mass_yield: object
    fraction_of_theory: object
    sentence: str

    def __str__(self):
        return wrapped(self.sentence)


@takes(precursor_mass="[mass] > 0", powder_mass="[mass] > 0")
def verdict(precursor_mass, powder_mass, precursor="urea"):
    """Return the Verdict on a yield, judged on the melon basis, the larger of the two.

    Parameters
    ----------
    precursor_mass, powder_mass : quantity [mass]
        More than zero; one of each, no arrays.
    precursor : str
        One of ``precursors()``.

    Raises
    ------
    ChoiceProblem, UnitProblem, RangeProblem, ReadingProblem
        As ``route`` does, or if a mass is none or there are several.

    Examples
    --------
    >>> verdict("82 g", "4.6 g").level, verdict("82 g", "60 g").level
    ('plausible', 'impossible at all')
    """
    refuse_array("verdict", precursor_mass=precursor_mass, powder_mass=powder_mass)
    got = (powder_mass / precursor_mass).to("percent")
    theory, bound = (route(precursor, "melon", name).mass_yield for name in ("usual", "carbon bound"))
    fraction = (got / theory).to("percent")
    share = nominal(got)
    facts = (f"{printed(powder_mass)} of powder from {printed(precursor_mass)} of {precursor} is "
             f"{printed(got)} of its mass, {printed(fraction)} of theory for melon")  # fmt: skip
    if share > bound:
        level, why = "impossible at all", (
            f"as its carbon allows {printed(bound)} of the mass fired: either it is not powder yet, since precursor and "
            "half-way products weigh more and will give off gas again when heated, or a tare or a weighing slipped")  # fmt: skip
    elif share > theory:
        level, why = "impossible on the usual route", (
            f"as theory is {printed(theory)} of the mass fired: it is probably wet, not fired through (melamine and "
            "melem still in it), carries crucible dust, or was weighed wrongly")  # fmt: skip
    elif share < guess("yields", precursor).low / 2:
        level, why = (
            "next to nothing",
            "less than is usual: too hot, too long, or the lid lay too loosely (never seal it)",
        )
    else:
        level, why = "plausible", "which is plausible"
    return Verdict(level, got, fraction, f"{facts}: {level}, {why}." if level != "plausible" else f"{facts}, {why}.")


def mass_shares(precursor="urea"):
    """Return name to percent of the precursor's mass on the usual route to melon; powder first.

    Examples
    --------
    >>> {name: round(share, 1) for name, share in mass_shares("urea").items()}
    {'powder (melon)': 27.9, 'NH₃': 35.4, 'CO₂': 36.6}
    """
    shares = {"powder (melon)": route(precursor).mass_yield.m_as("percent")}
    return shares | {subscripted(gas.formula): gas.mass.m_as("g") for gas in gases(Q(100, "g"), precursor)}
