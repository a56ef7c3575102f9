"""A first batch on one page: what to weigh, what to expect, and how sure that is."""

import textwrap
from dataclasses import dataclass

from labkit.chemistry.formula import subscripted
from labkit.chemistry.thermolysis import assumed_fraction, gases, gases_at_most, powder_from_precursor, route
from labkit.data import guess, value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.hydrogen import hydrogen_estimate, hydrogen_volume
from labkit.solutions import NOT_ALL_TAKEN_UP, dopant_dose, molarity
from labkit.units import (
    Q,
    Range,
    as_range,
    certain,
    checked,
    nominal,
    printed,
    printed_range,
    printed_up,
    range_from,
    wrapped,
)

_BOUND = {
    "NH3": "bound from the atoms; plan the extraction for this",
    "HNCO": "isocyanic acid, bound from the atoms; no safe figure is known here, so none may reach a person",
    "CS2": "carbon disulfide, bound from the atoms; lights at about 90 °C on a hot surface",
}
SECTIONS = ("Weigh", "Expect", "Gas from the firing", "Hydrogen")


@dataclass(frozen=True)
class Line:
    """One line of a plan: section, what it is, the value (text), the range behind it, a note."""

    section: str
    item: str
    text: str
    span: Range
    note: str = ""


@dataclass(frozen=True)
class Plan:
    """A batch plan.  Print it, or take single results from ``lines`` and ``find``."""

    title: str
    lines: tuple
    steps: tuple = ("firing", "powder", "chlorides", "solvent", "hydrogen")

    def find(self, item):
        """Return the Line called ``item``."""
        for line in self.lines:
            if line.item == item:
                return line
        raise KeyError(f"The plan has no line “{item}”; it has: {', '.join(line.item for line in self.lines)}.")

    def page(self):
        """Return the plan as text, without the cautions; notes stand under their lines."""
        width = max(len(line.item) for line in self.lines)
        parts = [self.title]
        for section in SECTIONS:
            parts.append(f"\n{section}")
            for line in self.lines:
                if line.section == section:
                    parts.append(f"  {line.item:<{width}}  {line.text}")
                    parts += textwrap.wrap(
                        line.note, 96, initial_indent=" " * (width + 6), subsequent_indent=" " * (width + 6)
                    )
        return "\n".join(parts)

    def cautions(self):
        """Return the cautions for every step of the batch, in the order of the work."""
        lines = "\n".join(cautions(step) for step in self.steps).splitlines()
        rule = lines[-1]
        return wrapped("\n".join([*dict.fromkeys(line for line in lines if line != rule), rule]), hanging="  ")

    def __str__(self):
        return f"{self.page()}\n\nCautions\n{self.cautions()}"


def batch_plan(
    doped_powder,
    area,
    time,
    *,
    precursor="urea",
    fraction=None,
    salt="FeCl3·6H2O",
    solvent="acetone",
    solvent_volume=None,
    loading="0.5 %",
    recovery=None,
    uptake=None,
    gap="2.70 eV to 2.88 eV, likely 2.75 eV",
    case="plain",
    temperature="20 °C",
    pressure="1 atm",
):
    """Return the Plan for a wanted mass of doped powder and the light it will stand in.

    Parameters
    ----------
    doped_powder : quantity or text [mass]
        Wanted after washing and drying.
    area, time : quantity or text
        Lit area, and hours of full sun (AM1.5G) on it.
    precursor : str
        One of ``labkit.chemistry.thermolysis.precursors()``.
    fraction, recovery, uptake : Range or text, optional
        Fraction of theory that the firing gives; share of powder kept through washing; share of
        the metal taken up.  Defaults are from memory (yields.csv, handling.csv) and say so.
    salt, solvent, solvent_volume : text
        The salt as it stands in the jar, hydrate included.  Without a volume, 60 mL per gram.
    loading : quantity or text
        Metal over metal plus powder, if everything were taken up.
    gap : Range or text [energy]
    case : str
        One of ``labkit.hydrogen.cases()``.

    Raises
    ------
    LabError
        Naming the input that can't be used and what to type instead.

    Notes
    -----
    Ranges are worst case against worst case (``labkit.units.range_from``).  Gas is worked out for
    the mass to weigh for the likely yield; weigh more and there is more gas.
    """
    doped_powder = nominal(checked(doped_powder, "[mass] > 0", "doped powder", "batch_plan"))
    loading = nominal(checked(loading, "[] >= 0", "loading", "batch_plan")).to("percent")
    if not loading < Q(50, "percent"):
        raise RangeProblem(
            f"The loading is metal over metal plus powder and under 50 %; {printed(loading)} is no powder."
        )
    recovery = _share(recovery, "recovery")
    support = (doped_powder * (1 - loading.to("").magnitude)).to("g")
    firing = _firing_lines(support, recovery, precursor, fraction)
    weighed = firing[0].span.likely
    lines = [
        *firing,
        *_salt_lines(support, recovery, salt, solvent, solvent_volume, loading, uptake),
        *_gas_lines(weighed, precursor),
        *_hydrogen_lines(gap, area, time, case, temperature, pressure),
    ]
    title = f"Batch plan: {printed(doped_powder)} of doped powder from {precursor}, {subscripted(salt)} in {solvent}"
    return Plan(title, tuple(lines))


def _firing_lines(support, recovery, precursor, fraction):
    way = route(precursor)
    theory = way.mass_yield
    guesses = {"fraction_of_theory": assumed_fraction(fraction, precursor), "recovery": recovery}
    wanted = range_from(lambda fraction_of_theory, recovery: (support / (theory * fraction_of_theory * recovery)).to("g"),
                        **guesses)  # fmt: skip
    weighed = wanted.likely
    fired = powder_from_precursor(weighed, precursor, fraction)
    kept = range_from(lambda fraction_of_theory, recovery: (weighed * theory * fraction_of_theory * recovery).to("g"),
                      **guesses)  # fmt: skip
    return [
        Line("Weigh", precursor, printed(weighed), wanted,
             f"{printed_range(wanted)}; the high end is the safe one; driven by the {_driver(wanted)}"),
        Line("Expect", "powder from the kiln", printed_range(fired), fired,
             f"theory is {printed(theory, 4)} of the precursor's mass, as melon"),
        Line("Expect", "powder after washing", printed_range(kept), kept, f"driven by the {_driver(kept)}"),
    ]  # fmt: skip


def _share(given, name):
    """Return a share as typed, or the remembered guess; refuse more than all."""
    span = guess("handling", name) if given is None else as_range(given, "[] > 0", name)
    if not Q(0, "percent") < span.low <= span.high <= Q(100, "percent"):
        raise RangeProblem(f"The {name} is a share, from more than 0 % to 100 %; type for instance 60 % to 90 %.")
    return span


def _driver(span):
    return span.driver or "weighing alone"


def _salt_lines(support, recovery, salt, solvent, solvent_volume, loading, uptake):
    fired = (support / recovery.likely).to("g")
    dose = dopant_dose(fired, loading, salt)
    volume = "60 mL/g" if solvent_volume is None else solvent_volume
    if solvent_volume is None:
        volume = (fired * checked(volume, "[volume per mass]", "solvent volume", "batch_plan")).to("mL")
        why = "our choice: 60 mL per gram, enough to stir"
    else:
        volume, why = nominal(checked(volume, "[volume] > 0", "solvent volume", "batch_plan")), "as you asked"
    strength = molarity(dose, salt, volume)
    share = _share(uptake, "uptake")
    real = range_from(lambda loading, uptake: (loading * uptake).to("percent"), loading=loading, uptake=share)
    return [
        Line("Weigh", f"{subscripted(salt)}", printed(dose), certain(dose), f"for {printed(loading)} if all were taken up"),
        Line("Weigh", f"{solvent}", printed(volume), certain(volume), f"{why}; makes {printed(strength)}"),
        Line("Expect", "metal in the powder", printed_range(real), real, NOT_ALL_TAKEN_UP),
    ]  # fmt: skip


def _gas_lines(weighed, precursor):
    limit = value("limits", "ammonia 8 h")
    lines = [
        Line("Gas from the firing", subscripted(gas.formula), f"{printed(gas.amount)}, {printed(gas.mass)}, "
             f"{printed(gas.volume)} at 25 °C", certain(gas.amount), "if all went by the usual route")
        for gas in gases(weighed, precursor)
    ]  # fmt: skip
    for gas in gases_at_most(weighed, precursor):
        if gas.formula in ("NH3", "HNCO", "CS2"):
            lines.append(Line("Gas from the firing", f"{subscripted(gas.formula)} at most",
                              f"{printed_up(gas.amount)}, {printed_up(gas.mass)}, {printed_up(gas.volume)} at 25 °C",
                              certain(gas.amount), _BOUND.get(gas.formula, "bound from the atoms")))  # fmt: skip
        if gas.formula == "NH3":
            air = (gas.volume / limit).to("m**3")
            lines.append(Line("Gas from the firing", "air to thin the ammonia", f"{printed_up(air)}", certain(air),
                              f"to {printed(limit, 2)} (NIOSH, up to 10 h); a room cannot carry it: outdoors or extraction"))  # fmt: skip
    return lines


def _hydrogen_lines(gap, area, time, case, temperature, pressure):
    estimate = hydrogen_estimate(gap, area, time, case)
    molar_volume = hydrogen_volume("1 mol", temperature, pressure) / Q(1, "mol")
    honest, ceiling = (
        range_from(lambda amount: (amount * molar_volume).to("mL"), amount=span)
        for span in (estimate.hydrogen, estimate.ceiling)
    )
    words = (
        printed_range(honest) if honest.likely.magnitude else f"almost nothing: 0, at most {printed(honest.high, 2)}"
    )
    return [
        Line("Hydrogen", "honest estimate", words, honest, f"dry, {estimate.conditions}. {estimate.evidence}"),
        Line("Hydrogen", "ceiling of the light", printed_range(ceiling), ceiling,
             "if every photon above the gap gave one electron; driven by the gap"),
    ]  # fmt: skip
