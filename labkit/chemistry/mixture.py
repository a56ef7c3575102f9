"""Precursors fired together: what powder could come out, what gas, and what sulfur and nitrogen they bring.

Each precursor is counted as if it were fired alone, by its own route of ``labkit.chemistry.thermolysis``.  In one
crucible they react with each other too: melamine raises the yield of urea, for instance (negro_2024).  So a
mixture is a plan to be weighed against what comes out.
"""

from dataclasses import dataclass
from functools import cache

from labkit.chemistry.formula import mass_fractions, subscripted
from labkit.chemistry.thermolysis import (
    PRODUCTS,
    Gas,
    assumed_fraction,
    gases,
    gases_at_most,
    precursors,
    route,
    usual_fraction,
)
from labkit.data import guess
from labkit.data.cautions import cautions, firing_steps
from labkit.errors import RangeProblem, UnitProblem, chosen
from labkit.units import (
    Q,
    Range,
    checked,
    number,
    number_text,
    printed,
    printed_range,
    printed_up,
    range_from,
    refuse_array,
    wrapped,
)

_REMARKS = {
    "HNCO": "no safe figure is known here",
    "HCN": "deadly; when overheated, and from thiourea in air",
    "CS2": "poisonous, lights at about 90 °C",
    "COS": "poisonous; from thiourea in air",
    "SO2": "hurts the lungs; from thiourea in air",
}


@dataclass(frozen=True)
class Part:
    """One precursor of a mixture: its mass, the powder in theory, the Range to expect, and what it brings.

    ``gases`` are those of the usual route, ``at_most`` the bounds by its atoms; ``sulfur`` and ``nitrogen`` are
    masses.
    """

    precursor: str
    mass: object
    theory: object
    fraction: Range
    expected: Range
    gases: tuple
    at_most: tuple
    sulfur: object
    nitrogen: object


@dataclass(frozen=True, repr=False)
class Mixture:
    """Precursors fired together: their ``parts``, and what they make and give off in all.

    ``theory`` and ``expected`` are powder; ``gases`` those of the usual routes, ``at_most`` bounds, each of its
    own; ``sulfur`` is what the precursors bring, ``sulfur_loading`` a Range of what that would be over sulfur plus
    powder if all of it stayed (None without sulfur), ``sulfur_kept`` the Range from memory of what does;
    ``nitrogen`` is brought, ``nitrogen_in_powder`` the Range that the powder holds by its formula.
    """

    product: str
    parts: tuple
    mass: object
    theory: object
    expected: Range
    gases: tuple
    at_most: tuple
    sulfur: object
    sulfur_loading: Range | None
    sulfur_kept: Range | None
    nitrogen: object
    nitrogen_in_powder: Range
    sentence: str

    def part(self, precursor):
        """Return the Part of a precursor; ChoiceProblem, which lists those there are, if it is not in the mixture."""
        chosen(precursor, [part.precursor for part in self.parts], "precursor in this mixture called")
        return next(part for part in self.parts if part.precursor == precursor)

    def cautions(self):
        """Return the cautions for firing all that is in the mixture, and for the powder."""
        steps = [step for part in self.parts for step in firing_steps(part.precursor)]
        return cautions(*dict.fromkeys(steps), "powder")

    def rows(self):
        """Return the rows of a table: what goes in, the powder, and the gases with their bounds rounded up."""
        rows = [("What", "By the usual routes", "How sure")]
        rows += [
            (f"powder from {printed(part.mass)} of {part.precursor}", printed(part.theory),
             f"at best; expect {printed_range(part.expected)}")
            for part in self.parts
        ]  # fmt: skip
        rows.append(("powder in all", printed(self.theory), f"at best; expect {printed_range(self.expected)}"))
        usual = {gas.formula: gas for gas in self.gases}
        most = {gas.formula: gas for gas in self.at_most}
        for formula in dict.fromkeys([*usual, *most]):
            told = (
                f"{printed(usual[formula].mass)}, {printed(usual[formula].volume)}"
                if formula in usual
                else "not in these equations"
            )
            bound = (
                f"at most {printed_up(most[formula].mass)}, {printed_up(most[formula].volume)}"
                if formula in most
                else "not worked out here"
            )
            why = f"; {_REMARKS[formula]}" if formula in _REMARKS else ""
            rows.append((f"{subscripted(formula)} at 25 °C", told, bound + why))
        rows.append(("nitrogen brought", printed(self.nitrogen), f"{printed_range(self.nitrogen_in_powder)} of it in the powder; the rest leaves, most as ammonia"))  # fmt: skip
        if self.sulfur_loading is not None:
            rows.append(("sulfur brought", printed(self.sulfur), f"{printed_range(self.sulfur_loading, unit='percent')} of the powder if all stayed; "
                         f"from memory {printed_range(self.sulfur_kept, unit='percent')}"))  # fmt: skip
        return tuple(rows)

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def precursor_mixture(masses, product="melon", fractions=None):
    """Return the Mixture of precursors fired together.

    Parameters
    ----------
    masses : dict
        Precursor, one of ``precursors()``, to quantity or text [mass], zero or more, not all zero:
        ``{"urea": "64 g", "thiourea": "3 g"}``.
    product : str
        ``"melon"`` (the real polymer) or ``"ideal"`` (C3N4).
    fractions : dict, Range or text, optional
        Fraction of theory of each precursor, or one for all; ``usual_fraction`` (from memory) if left out.

    Raises
    ------
    ChoiceProblem, UnitProblem, RangeProblem, ReadingProblem
        If there is no such precursor or product, or a mass or fraction can't be used.

    Notes
    -----
    Theory adds up exactly, the yields do not: those of mixtures were not found in print.  A bound of ``at_most``
    takes all atoms of its kind, from every precursor, and bounds are not to be added to each other.

    References
    ----------
    madarasz_2007 for the gases of thiourea, negro_2024 for mixtures with melamine; otherwise computed.

    Examples
    --------
    >>> found = precursor_mixture({"urea": "64 g", "thiourea": "3 g"}, fractions="10 % to 30 %")
    >>> print(f"{found.theory:.2f~P}", "|", found.expected, "|", f"{found.sulfur:.2f~P}")
    18.52 g | 1.9 to 5.6 g, likely 3.7 g | 1.26 g
    >>> [gas.formula for gas in found.gases]
    ['NH3', 'CO2', 'CS2']
    """
    given = _masses(masses)
    chosen(product, PRODUCTS, "product called")
    wanted = _fractions(fractions, given)
    parts = tuple(_part(name, mass, product, wanted.get(name)) for name, mass in given.items())
    total, theory = (Q(sum(number(getattr(part, what), "g") for part in parts), "g") for what in ("mass", "theory"))
    expected = _added(parts)
    sulfur, nitrogen = (
        Q(sum(number(getattr(part, what), "g") for part in parts), "g") for what in ("sulfur", "nitrogen")
    )
    loading = kept = None
    if sulfur.magnitude:
        loading = range_from(lambda powder: (sulfur / (sulfur + powder)).to("percent"), powder=expected)
        kept = guess("sulfur", "sulfur kept")
    held = mass_fractions(PRODUCTS[product])["N"]
    in_powder = Range(*(Q(held * number(end, "g"), "g") for end in expected.ends), expected.why, expected.drivers)
    usual, most = (_pooled(gas for part in parts for gas in getattr(part, what)) for what in ("gases", "at_most"))
    found = Mixture(
        product, parts, total, theory, expected, usual, most, sulfur, loading, kept, nitrogen, in_powder, ""
    )
    object.__setattr__(found, "sentence", _sentence(found))
    return found


def _masses(masses):
    """Return precursor to mass, those that are not zero."""
    if not isinstance(masses, dict) or not masses:
        raise UnitProblem(
            "A mixture is a dict of precursors and masses. Type for instance {'urea': '64 g', 'thiourea': '3 g'}."
        )
    found = {}
    for name, mass in masses.items():
        chosen(name, precursors(), "precursor called")
        found[name] = checked(mass, "[mass] >= 0", name, "precursor_mixture")
        refuse_array("precursor_mixture", **{name: found[name]})
    found = {name: Q(number(mass, "g"), "g") for name, mass in found.items() if number(mass, "g")}
    if not found:
        raise RangeProblem(
            "There is nothing in this mixture. Type a mass of more than zero for one precursor, such as 64 g."
        )
    return found


def _fractions(fractions, given):
    """Return precursor to what was given as its fraction of theory."""
    if not isinstance(fractions, dict):
        return dict.fromkeys(given, fractions)
    for name in fractions:
        chosen(name, precursors(), "precursor called")
    return fractions


@cache  # of one gram, in plain numbers: a panel asks at every keystroke
def _of_a_gram(precursor, product):
    """Return grams of powder, sulfur and nitrogen, and (formula, mol, g, L) of the gases and of the bounds."""
    gram, way = Q(1.0, "g"), route(precursor, product)
    shares = mass_fractions(way.formula)
    usual, most = (
        tuple((gas.formula, number(gas.amount, "mol"), number(gas.mass, "g"), number(gas.volume, "L")) for gas in found)
        for found in (gases(gram, precursor, product), gases_at_most(gram, precursor))
    )
    return number(way.mass_yield, "dimensionless"), shares.get("S", 0.0), shares.get("N", 0.0), usual, most


def _part(precursor, mass, product, fraction):
    grams = number(mass, "g")
    made, sulfur, nitrogen, usual, most = _of_a_gram(precursor, product)
    span = _usual(precursor, product) if fraction is None else assumed_fraction(fraction, precursor, product)
    expected = Range(*(Q(grams * made * end, "g") for end in span.m_as("dimensionless")), span.why)
    usual, most = (
        tuple(_gas(name, *(grams * size for size in sizes)) for name, *sizes in found) for found in (usual, most)
    )
    return Part(
        precursor,
        mass,
        Q(grams * made, "g"),
        span,
        expected,
        usual,
        most,
        Q(grams * sulfur, "g"),
        Q(grams * nitrogen, "g"),
    )


def _usual(precursor, product):
    ends, why = _usual_ends(precursor, product)
    return Range(*(Q(end, "percent") for end in ends), why)


@cache  # plain numbers, and not the Range, which whoever is given it could change
def _usual_ends(precursor, product):
    span = usual_fraction(precursor, product)
    return span.m_as("percent"), span.why


def _gas(formula, moles, grams, litres):
    return Gas(formula, Q(moles, "mol"), Q(grams, "g"), Q(litres, "L"))


def _added(parts):
    """Return the Range of the sum of the parts, each of which may turn out well or badly."""
    theory = {f"fraction_of_theory_of_{part.precursor}": part.theory.magnitude for part in parts}
    spans = {name: part.fraction.to("dimensionless") for name, part in zip(theory, parts)}
    return range_from(lambda **ends: Q(sum(theory[name] * end.magnitude for name, end in ends.items()), "g"), **spans)


def _pooled(found):
    """Return the gases of all parts, those of one formula as one, most moles first."""
    sums = {}
    for gas in found:
        sizes = gas.amount.magnitude, gas.mass.magnitude, gas.volume.magnitude  # in mol, g and L, as _gas made them
        sums[gas.formula] = [one + other for one, other in zip(sums.get(gas.formula, (0.0, 0.0, 0.0)), sizes)]
    ordered = sorted(sums.items(), key=lambda item: -item[1][0])
    return tuple(_gas(formula, *sizes) for formula, sizes in ordered)


def _sentence(found):
    named = listed([f"{printed(part.mass)} of {part.precursor}" for part in found.parts])
    driver = f" (the {found.expected.driver} spreads that most)" if found.expected.driver else ""
    alone = ", as if each were fired alone" if len(found.parts) > 1 else ""
    said = (f"{named} could give {printed(found.theory)} of powder at best, as {found.product}; expect "
            f"{printed_range(found.expected)}{driver}{alone}. Plan the extraction for {printed_up(gas_named(found.at_most, 'NH3').volume)} of "
            "ammonia (at 25 °C).")  # fmt: skip
    if found.sulfur_loading is not None:
        share = number_text(found.sulfur_loading.likely.m_as("percent"), 2)
        said += (f" Nearly all of the {printed(found.sulfur)} of sulfur leaves as gas, poisonous and flammable: up to "
                 f"{printed_up(gas_named(found.at_most, 'CS2').mass)} of carbon disulfide. Were all to stay, it would be {share} % of the powder; "
                 f"from memory at most {printed_up(found.sulfur_kept.high)} stays, and only an analysis tells.")  # fmt: skip
    return said


def listed(words):
    """Return words as a list in a sentence.

    >>> listed(["urea", "thiourea", "melamine"])
    'urea, thiourea and melamine'
    """
    return " and ".join(filter(None, [", ".join(words[:-1]), words[-1]]))


def gas_named(pooled, formula):
    """Return the Gas of a formula among several."""
    return next(gas for gas in pooled if gas.formula == formula)
