"""Workbook 05: powder, loading, salt and volume give the salt to weigh and the solution it makes."""

from labkit.chemistry.formula import split_hydrate, subscripted
from labkit.data import guess, row, table
from labkit.data.cautions import cautions
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.dopant import METALS, loading_picture, salt_shares
from labkit.solutions import (
    NOT_ALL_TAKEN_UP,
    anhydrous_from_hydrate,
    dopant_dose,
    loading_ceiling,
    molarity,
    mole_ratio,
    nominal_loading,
)
from labkit.units import Q, nominal, number_text, printed, printed_range, range_from

BALANCE_STEP = Q(10, "mg")  # a common inexpensive balance


def dopant_answer(powder_mass, loading, dopant, volume):
    """Return the Answer for a dose: salt, solution, metal per unit, and what may stay.

    ``powder_mass`` is a quantity [mass], ``loading`` a percentage, ``dopant`` the name of a row of
    dopants.csv, ``volume`` that of the finished solution.
    """
    found = row("dopants", dopant)
    salt, metal, solvent = found["salt"], METALS.get(found["metal"], found["metal"]), found["solvent"]
    shown = subscripted(salt)
    dose, powder = dopant_dose(powder_mass, loading, salt), nominal(powder_mass)
    middle = nominal(dose)
    strength, per_unit = molarity(dose, salt, volume), mole_ratio(middle, salt, powder)
    kept, ceiling = guess("handling", "uptake"), loading_ceiling(found["metal"])
    stays = range_from(lambda uptake: nominal_loading(middle * uptake, salt, powder), uptake=kept)
    weighed, made, may_stay = printed(dose), printed(strength), printed_range(stays, unit="percent")
    nominal_text, units = printed(loading, 2, "percent"), number_text(1 / per_unit.magnitude, 2)
    sentence = (f"Weigh {weighed} of {shown} for {printed(powder_mass)} of powder: {nominal_text} of {metal} if all were "
                f"taken up, one {metal} for every {units} heptazine units. Filled up with {solvent} to {printed(volume)} "
                f"that is {made}. {_weighing(middle)}{_dissolving(middle, volume, found)}").strip()  # fmt: skip
    share = salt_shares(salt)[metal]
    rows = (
        ("What", "How much", "How sure"),
        (f"{shown} to weigh", weighed, f"{metal} is {share:.1f} % of its mass"),
        (f"{metal} in it", printed(dose * share / 100, unit="mg"), "computed"),
        ("nominal loading", nominal_text, "if all the metal were taken up; it is not"),
        ("loading that may stay", may_stay, "uptake from memory; only a measurement tells"),
        (
            f"{metal} per heptazine",
            number_text(per_unit.magnitude, 2),
            f"one each would be {printed(ceiling, 3, 'percent')}",
        ),
        ("strength of the solution", made, "before the powder goes in"),
    )
    per_gram, step = (float((mass / powder).to("mg/g").magnitude) for mass in (middle, BALANCE_STEP))
    percent = loading.to("percent").magnitude
    alt = (f"Loading against {shown} per gram of powder. {per_gram:.3g} mg bring {percent:.2g} % if all is taken up; "
           f"a band below shows what may stay, here {may_stay}.")  # fmt: skip
    ends = [end.to("percent").magnitude for end in (stays.low, stays.likely, stays.high)]
    shares = [end.to("dimensionless").magnitude for end in (kept.low, kept.likely, kept.high)]
    svg = loading_picture(salt, per_gram, percent, ends, shares, step, alt)
    return Answer(sentence, svg, rows, f"• {NOT_ALL_TAKEN_UP}\n{cautions('chlorides', 'solvent')}")


def _weighing(dose):
    step = float((BALANCE_STEP / dose).to("percent").magnitude)
    if step < 10:
        return ""
    return (f"One step of a {printed(BALANCE_STEP, 2, 'mg')} balance is {number_text(step, 2)} % of that salt: "
            "weigh more into a stock and draw a part of it. ")  # fmt: skip


def _dissolving(dose, volume, found):
    hydrate = split_hydrate(found["salt"])[1]
    dry = anhydrous_from_hydrate(dose, found["salt"]) if hydrate else dose
    known = found["solubility_g_per_100mL"] or _same_metal(found)
    wanted = float((dry / nominal(volume)).to("g/mL").magnitude) * 100
    if wanted <= float(known):
        return ""
    return (f"That much will not dissolve: about {known} g of the dry salt go into 100 mL of {found['solvent']}, "
            f"and this asks for {number_text(wanted, 2)} g. Take more solvent.")  # fmt: skip


def _same_metal(found):
    """Solubility of the dry salt in the same solvent, for a hydrate without a figure of its own."""
    same = [
        other for other in table("dopants") if (other["metal"], other["solvent"]) == (found["metal"], found["solvent"])
    ]
    return next(other["solubility_g_per_100mL"] for other in same if other["solubility_g_per_100mL"])


def dopant_panel():
    """Return the panel of workbook 05."""
    offered = {f"{subscripted(found['salt'])} in {found['solvent']}": found["name"] for found in table("dopants")}
    controls = {
        "powder_mass": TypedBox("Powder", "2.6 g", "[mass] > 0"),
        "loading": UnitSlider("Loading, nominal", "percent", 0.1, 5, 0.1, 1),
        "dopant": Choice("Salt and solvent", offered, "FeCl₃·6H₂O in acetone"),
        "volume": TypedBox("Finished solution", "160 mL", "[volume] > 0"),
    }
    return Panel("What do I weigh, and how much metal is that?", controls, dopant_answer)
