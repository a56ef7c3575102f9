"""Workbook 05: precursors fired together, what they could give, and what the sulfur of thiourea comes to."""

from labkit.chemistry.mixture import precursor_mixture
from labkit.chemistry.to_weigh import scaled_mixture
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.plots.mixture import mixture_picture, mixture_words
from labkit.units import printed, printed_range

OWN, MEMORY = "the range typed below, for all", "usual of each, from memory"


def mixture_answer(urea, thiourea, melamine, dicyandiamide, own_fraction, fraction, powder):
    """Return the Answer for a mixture of precursors.

    The first four and ``powder``, the mass wanted, are quantities [mass]; ``fraction`` is a Range, used if
    ``own_fraction`` is True.
    """
    masses = {"urea": urea, "thiourea": thiourea, "melamine": melamine, "dicyandiamide": dicyandiamide}
    fractions = fraction if own_fraction else None
    found = precursor_mixture(masses, fractions=fractions)
    weigh = scaled_mixture(found, powder)
    rows = [*found.rows(), (f"For {printed(powder)} of powder, of this mixture:", "", "")]
    rows += [
        (name, printed_range(span), "the high end for the lowest fraction of theory")
        for name, span in weigh.masses.items()
    ]
    return Answer(found.sentence, mixture_picture(found, mixture_words(found)), tuple(rows), found.cautions())


def mixture_panel():
    """Return the panel of workbook 05 about mixtures of precursors."""
    known = Choice("Fraction of theory", {MEMORY: False, OWN: True}, MEMORY)
    fraction = TypedBox("Fraction of theory you assume", "10 % to 35 %, likely 20 %", "[] > 0", ranged=True,
                        hint="a range, such as 10 % to 35 %", most="100 %")  # fmt: skip
    fraction.used_with(known, OWN, switch=True)
    starts = {"urea": "64 g", "thiourea": "3 g", "melamine": "0 g", "dicyandiamide": "0 g"}
    controls = {
        name: TypedBox(name.capitalize(), start, "[mass] >= 0", hint="such as 5 g, or 0 g", most="10 kg")
        for name, start in starts.items()
    } | {
        "own_fraction": known,
        "fraction": fraction,
        "powder": TypedBox("Powder wanted", "4 g", "[mass] > 0", hint="such as 4 g", most="1 kg"),
    }  # fmt: skip
    return Panel("What do these precursors give together?", controls, mixture_answer)
