"""Published efficiencies, worked out again from the inputs their papers give."""

from dataclasses import dataclass

import numpy as np

from labkit.chemistry import amount_from_gas_volume
from labkit.data import row, sources, table
from labkit.errors import chosen
from labkit.hydrogen.amount import efficiency_ceiling, rate_from_efficiency, solar_to_hydrogen
from labkit.hydrogen.products import photocurrent_ceiling
from labkit.light import gap_from_wavelength, photon_flux_above
from labkit.units import Q, figures_in, number, printed, read, rounded, unit_text, wrapped

SHARE_OF_HYDROGEN = 2 / 3  # of the mixed gas of split water: 2 H2 and 1 O2


@dataclass(frozen=True, eq=False, repr=False)
class Witness:
    """A published figure beside ours.

    ``printed`` is what the paper prints (``printed_text`` as it stands there), None where the inputs were only given another meaning; ``recomputed`` is
    what its inputs give here, and ``difference`` how much that is more, as a share, None without a printed figure.
    """

    name: str
    relation: str
    inputs: dict
    printed: object
    printed_text: str
    recomputed: object
    citation: str
    kind: str
    note: str

    @property
    def difference(self):
        """How much more is recomputed than printed, as a share of what is printed."""
        return None if self.printed is None else number(self.recomputed / self.printed, "dimensionless") - 1

    @property
    def _same(self):
        """True if the recomputed figure, to the figures printed, is the printed one."""
        figures = figures_in(self.printed_text)[1]
        ours = number(self.recomputed, self.printed.units)
        return float(rounded(ours, figures)) == number(self.printed, self.printed.units)

    @property
    def sentence(self):
        """Both figures in words, with where they are from."""
        given = ", ".join(f"{name} {text}" for name, text in self.inputs.items())
        told = f"{self.name[0].upper()}{self.name[1:]}. {self.relation[0].upper()}{self.relation[1:]}, from {given}: {printed(self.recomputed, 3)}"
        if self.printed is not None:
            part = 1 + self.difference
            more = f"{100 * part - 100:.1f} % more than" if part >= 1 else f"{100 - 100 * part:.1f} % less than"
            if part >= 1.5:
                more = f"{part:.1f} times"
            told += ", as printed" if self._same else f", {more} the {self.printed_text} printed"
        return f"{told} ({self.kind}; {self.note}). {self.citation}"

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def witnesses():
    """Return the names of the published efficiencies that can be worked out again.

    >>> witnesses()[0]
    'hematite in full sun'
    """
    return [found["name"] for found in table("efficiencies")]


def witness(name):
    """Return the Witness of one published efficiency.

    Raises
    ------
    ChoiceProblem
        If there is none of that name; the message lists them.

    References
    ----------
    kim_2013, liu_2015, silver_tantalate_2020, takata_2020, goto_2018, wang_2009, nishiyama_2021, zhou_2023

    Examples
    --------
    >>> found = witness("hematite in full sun")
    >>> print(f"{found.recomputed:.1f~P}, printed {found.printed:.0f~P}")
    34.6 %, printed 34 %
    """
    found = row("efficiencies", chosen(name, witnesses(), "published efficiency"))
    inputs = dict(part.split("=") for part in found["inputs"].split("; "))
    key = (found["evidence"] or found["source"]).split()[0]
    return Witness(
        name=name,
        relation=found["relation"],
        inputs=inputs,
        printed=Q(float(found["printed"]), found["unit"]) if found["printed"] else None,
        printed_text=f"{found['printed']} {unit_text(Q(1, found['unit']).units)}" if found["printed"] else "",
        recomputed=RELATIONS[found["relation"]](**{_word(part): read(text) for part, text in inputs.items()}),
        citation=sources()[key]["text"],
        kind=found["kind"],
        note=found["note"],
    )


def efficiency_of_yields(yields, end):
    """Return the solar-to-hydrogen efficiency that apparent quantum yields at several wavelengths add up to, in percent.

    Parameters
    ----------
    yields : dict
        Wavelength in nm to the yield as a share.
    end : quantity [length]
        Beyond it nothing is counted; below the first wavelength its yield is taken, between two a straight line.

    Notes
    -----
    Sunlight of ASTM G173-03, added up nanometre by nanometre.

    Examples
    --------
    >>> print(f"{efficiency_of_yields({300: 1.0, 400: 1.0}, Q(400, 'nm')):.2f~P}")
    1.66 %
    """
    places = np.append(np.arange(281.0, number(end, "nm")), number(end, "nm"))  # the spectrum begins at 280 nm
    above = number(photon_flux_above(_gap_of(places)), "mol/m**2/s")
    first = number(photon_flux_above(_gap_of(280.0)), "mol/m**2/s")
    photons = np.diff(above, prepend=first)
    middles = np.append(280.5, (places[:-1] + places[1:]) / 2)
    share = np.interp(middles, list(yields), list(yields.values()))
    rate = Q(float(np.sum(photons * share)) / 2, "mol/m**2/s")
    return solar_to_hydrogen((rate * Q(1, "m**2")).to("mol/h"), "1 m²", "1000.37 W/m²")


def _gap_of(nanometres):
    return gap_from_wavelength(Q(nanometres, "nm"))


def _share_of_current(current, gap):
    return (current / photocurrent_ceiling(gap)).to("percent")


def _of_yields(end, **yields):
    return efficiency_of_yields(
        {float(name.split()[0]): number(share, "dimensionless") for name, share in yields.items()}, end
    )


def _of_one_yield(gap, quantum_yield):
    return (efficiency_ceiling(gap) * quantum_yield.to("dimensionless")).to("percent")


def _of_mixed_gas(gas, temperature):
    hydrogen = amount_from_gas_volume((gas * Q(1, "cm**2") * Q(1, "h")).to("mL") * SHARE_OF_HYDROGEN, temperature)
    return solar_to_hydrogen(hydrogen / Q(1, "h"), "1 cm²")


def _rate_per_gram(hydrogen, time, powder):
    return (hydrogen / time / powder).to("µmol/h/g")


def _rate_of_efficiency(efficiency, area):
    return rate_from_efficiency(efficiency, area).to("mol/h")


def _rate_of_power(efficiency, power):
    return rate_from_efficiency(efficiency, "1 m²", power / Q(1, "m**2")).to("mol/h")


def _word(name):
    return name if name[0].isdigit() else name.replace(" ", "_")


RELATIONS = {
    "share of the ceiling current": _share_of_current,
    "efficiency from its quantum yields": _of_yields,
    "efficiency if one yield held for all its light": _of_one_yield,
    "efficiency from the gas that came": _of_mixed_gas,
    "rate per gram": _rate_per_gram,
    "hydrogen that its efficiency means": _rate_of_efficiency,
    "hydrogen that its efficiency and power mean": _rate_of_power,
}
