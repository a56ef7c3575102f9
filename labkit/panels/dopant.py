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
    kept = guess("handling", "uptake")
    stays = range_from(lambda uptake: nominal_loading(middle * uptake, salt, powder), uptake=kept)
    units = number_text(1 / per_unit.magnitude, 2)
    sentence = (f"Weigh {printed(dose)} of {shown} for {printed(powder_mass)} of powder: {printed(loading, 2)} of {metal} "
                f"if all were taken up, one {metal} for every {units} heptazine units. Filled up with {solvent} to "
                f"{printed(volume)} that is {printed(strength)}. {_weighing(middle)}{_dissolving(middle, volume, found)}")  # fmt: skip
    rows = (
        ("What", "How much", "How sure"),
        (f"{shown} to weigh", printed(dose), f"{metal} is {salt_shares(salt)[metal]:.1f} % of its mass"),
        (f"{metal} in it", printed(dose * salt_shares(salt)[metal] / 100), "computed"),
        ("nominal loading", printed(loading, 2), "if all the metal were taken up; it is not"),
        ("loading that may stay", printed_range(stays), "uptake from memory; only a measurement tells"),
        (f"{metal} per heptazine", printed(per_unit, 2), f"at one each it would be {printed(loading_ceiling(found["metal"]))}"),
        ("strength of the solution", printed(strength), "before the powder goes in"),
    )  # fmt: skip
    per_gram = float((middle / powder).to("mg/g").magnitude)
    percent = loading.to("percent").magnitude
    alt = (f"Loading against {shown} per gram of powder. {per_gram:.3g} mg bring {percent:.2g} % if all is taken up; "
           f"a band below shows what may stay, here {printed_range(stays)}.")  # fmt: skip
    shares = [end.to("dimensionless").magnitude for end in (kept.low, kept.likely, kept.high)]
    return Answer(sentence, loading_picture(salt, per_gram, percent, shares, alt), rows, doping_cautions())


def doping_cautions():
    """Return the cautions for salt and solvent and the word on uptake, each line once."""
    lines = "\n".join([f"• {NOT_ALL_TAKEN_UP}", cautions("chlorides"), cautions("solvent")]).splitlines()
    closing = lines[-1]
    return "\n".join([*(line for line in lines if line != closing), closing])


def _weighing(dose):
    step = float((BALANCE_STEP / dose).to("percent").magnitude)
    if step < 10:
        return ""
    return (f"One step of a {printed(BALANCE_STEP, 2)} balance is {number_text(step, 2)} % of that salt: "
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
