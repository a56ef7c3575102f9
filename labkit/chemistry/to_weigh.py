"""How much of each precursor to weigh for a wanted mass of powder from a mixture."""

from dataclasses import dataclass
from functools import cached_property

from labkit.chemistry.mixture import Mixture, gas_named, listed, precursor_mixture
from labkit.chemistry.thermolysis import precursors
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
    refuse_array,
    wrapped,
)

_SUM = 1e-3  # by how much shares may miss 100 %


@dataclass(frozen=True, repr=False)
class MixtureToWeigh:
    """What to weigh for a wanted mass of powder: ``total`` (Range), ``masses`` (precursor to Range), and two Mixtures.

    ``likely`` is the mixture at the likely masses; ``largest`` that at the highest, which gives the powder even
    at the lowest fractions, and the most gas.
    """

    powder: object
    total: Range
    masses: dict
    mixture: Mixture

    @cached_property
    def likely(self):
        """The Mixture at the likely masses."""
        return self._at("likely")

    @cached_property
    def largest(self):
        """The Mixture at the highest masses."""
        return self._at("high")

    def _at(self, end):
        masses = {name: getattr(span, end) for name, span in self.masses.items()}
        fractions = {part.precursor: part.fraction for part in self.mixture.parts}
        return precursor_mixture(masses, self.mixture.product, fractions)

    def cautions(self):
        """Return the cautions for firing all that is in the mixture, and for the powder."""
        return self.largest.cautions()

    @property
    def sentence(self):
        """What to weigh, in words."""
        named = listed([f"{printed_range(span)} of {name}" for name, span in self.masses.items()])
        most = f"{printed_up(gas_named(self.largest.at_most, 'NH3').volume)} of ammonia"
        if self.largest.sulfur.magnitude:
            most += f" and {printed_up(gas_named(self.largest.at_most, 'CS2').mass)} of carbon disulfide, poisonous and flammable"
        return (f"For {printed(self.powder)} of powder weigh {named}. The highest is for the lowest fraction of theory; it also "
                f"gives most gas: plan the extraction for {most}.")  # fmt: skip

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def scaled_mixture(mixture, powder_mass):
    """Return the MixtureToWeigh: as much of this mixture, in the same shares, as a wanted mass of powder takes.

    Raises
    ------
    UnitProblem, RangeProblem, ReadingProblem
        If the mass is none, is not more than zero, or there are several.

    Examples
    --------
    >>> found = precursor_mixture({"urea": "64 g", "thiourea": "3 g"}, fractions="10 % to 30 %")
    >>> print(scaled_mixture(found, "3 g").masses["urea"])
    35 to 100 g, likely 52 g
    """
    powder_mass = checked(powder_mass, "[mass] > 0", "powder mass", "scaled_mixture")
    refuse_array("scaled_mixture", powder_mass=powder_mass)
    wanted, whole = number(powder_mass, "g"), number(mixture.mass, "g")
    times = [wanted / number(end, "g") for end in reversed(mixture.expected.ends)]
    total = Range(*(Q(size * whole, "g") for size in times), mixture.expected.why, mixture.expected.drivers)
    masses = {
        part.precursor: Range(*(Q(size * number(part.mass, "g"), "g") for size in times), why=total.why)
        for part in mixture.parts
    }
    return MixtureToWeigh(Q(wanted, "g"), total, masses, mixture)


def for_powder(powder_mass, shares, product="melon", fractions=None):
    """Return the MixtureToWeigh: how much of each precursor for a wanted mass of powder.

    Parameters
    ----------
    powder_mass : quantity or text [mass]
        Wanted, more than zero.
    shares : dict
        Precursor to its share of the mass of the mixture, 100 % in all: ``{"urea": "95 %", "thiourea": "5 %"}``.
    product, fractions
        As for ``precursor_mixture``.

    Raises
    ------
    LabError
        As ``precursor_mixture`` does, or if the shares do not make 100 %.

    Examples
    --------
    >>> found = for_powder("3 g", {"urea": "95 %", "thiourea": "5 %"}, fractions="10 % to 30 %")
    >>> print(found.total, "|", found.masses["thiourea"])
    36 to 110 g, likely 54 g | 1.8 to 5.4 g, likely 2.7 g
    """
    powder_mass = checked(powder_mass, "[mass] > 0", "powder mass", "for_powder")
    if not isinstance(shares, dict) or not shares:
        raise UnitProblem(
            "Shares are a dict of precursors and percentages. Type for instance {'urea': '95 %', 'thiourea': '5 %'}."
        )
    parts = {}
    for name, share in shares.items():
        chosen(name, precursors(), "precursor called")
        share = checked(share, "[] >= 0", f"share of {name}", "for_powder")
        refuse_array("for_powder", share=share)
        parts[name] = number(share, "dimensionless")
    whole = sum(parts.values())
    if not abs(whole - 1) <= _SUM:
        raise RangeProblem(f"The shares make {number_text(100 * whole)} % in all and not 100 %. "
                           "Type for instance {'urea': '95 %', 'thiourea': '5 %'}.")  # fmt: skip
    mixture = precursor_mixture({name: Q(100 * part / whole, "g") for name, part in parts.items()}, product, fractions)
    return scaled_mixture(mixture, powder_mass)
