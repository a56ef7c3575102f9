"""Workbook 05: powder, loading, salt and volume give the salt to weigh and the solution it makes."""

from labkit.chemistry.formula import subscripted
from labkit.data import guess, row
from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.dopant import loading_picture
from labkit.solutions import (
    BALANCE_STEP,
    NOT_ALL_TAKEN_UP,
    dopant_dose,
    dopants,
    dry_salt_mass,
    loading_ceiling,
    metal_word,
    molarity,
    mole_ratio,
    nominal_loading,
    salt_shares,
    solubility,
    stock_plan,
    weighable,
)
from labkit.units import Q, nominal, number, number_text, printed, printed_range, printed_up, range_from


def dopant_answer(powder_mass, loading, dopant, volume):
    """Return the Answer for a dose: salt, solution, metal per unit, and what may stay.

    ``powder_mass`` is a quantity [mass], ``loading`` a percentage, ``dopant`` the name of a row of
    dopants.csv, ``volume`` that of the finished solution.
    """
    found = row("dopants", dopant)
    salt, metal, solvent = found["salt"], metal_word(found["salt"]), found["solvent"]
    shown = subscripted(salt)
    dose, powder = dopant_dose(powder_mass, loading, salt), nominal(powder_mass)
    middle = nominal(dose)
    strength, per_unit = molarity(dose, salt, volume), mole_ratio(middle, salt, powder)
    kept, ceiling = guess("handling", "uptake"), loading_ceiling(found["metal"])
    stays = range_from(lambda uptake: nominal_loading(middle * uptake, salt, powder), uptake=kept)
    weighing = weighable(middle)
    plan = None if weighing.good else _stock(middle, salt, solvent, nominal(volume))
    weighed, made, may_stay = printed(dose), printed(strength), printed_range(stays, unit="percent")
    nominal_text, units = printed(loading, 2, "percent"), number_text(1 / per_unit.magnitude, 2)
    sentence = (f"Weigh {weighed} of {shown} for {printed(powder_mass)} of powder: {nominal_text} of {metal} if all were "
                f"taken up, one {metal} for every {units} heptazine units. Filled up with {solvent} to {printed(volume)} "
                f"that is {made}. {_weighing(weighing, plan)}{_dissolving(middle, salt, solvent, volume)}").strip()  # fmt: skip
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
        *_stock_rows(plan),
    )
    per_gram, step = (number(mass / powder, "mg/g") for mass in (middle, BALANCE_STEP))
    percent = number(loading, "percent")
    alt = (f"Loading against {shown} per gram of powder. {per_gram:.3g} mg bring {percent:.2g} % if all is taken up; "
           f"a band below shows what may stay, here {may_stay}.")  # fmt: skip
    svg = loading_picture(salt, per_gram, percent, stays.m_as("percent"), kept.m_as("dimensionless"), step, alt)
    return Answer(sentence, svg, rows, f"• {NOT_ALL_TAKEN_UP}\n{cautions('chlorides', 'solvent')}")


def _weighing(weighing, plan):
    if weighing.good:
        return ""
    said = f"One step of a {printed(BALANCE_STEP, 2, 'mg')} balance is {printed(weighing.doubt, 2, 'percent')} of that salt: "
    if plan is None:
        return f"{said}take a finer balance or dope more powder at once. "
    drawn = "".join(f", {printed(stage.drawn)} of that filled up to {following.volume.m_as('mL'):g} mL"
                    for stage, following in zip(plan.stages, plan.stages[1:]))  # fmt: skip
    return (f"{said}weigh more into a stock, {printed(plan.weighed)} filled up to {plan.stages[0].volume.m_as('mL'):g} mL{drawn}, and draw "
            f"{printed(plan.stages[-1].drawn)} of it. ")  # fmt: skip


def _stock(dose, salt, solvent, volume):
    """Return the StockPlan for a dose, None where there is none."""
    try:
        return stock_plan(dose, salt=salt, solvent=solvent, most_volume=volume)
    except LabError:
        return None


def _stock_rows(plan):
    if plan is None or not plan.stages:
        return ()
    parts = ", ".join(f"{name} {printed(size, 2, 'percent')}" for name, size in plan.doubts.items())
    return (("doubt of the dose by a stock", printed(plan.total, 2, "percent"), parts),
            ("left over in the stock", printed_up(plan.unused), "of salt, for licensed disposal"))  # fmt: skip


def _dissolving(dose, salt, solvent, volume):
    most, wanted = solubility(salt, solvent), dry_salt_mass(dose, salt) / nominal(volume)
    if most is None or wanted <= most:
        return ""
    held, asked = (number(strength * Q(100, "mL"), "g") for strength in (most, wanted))
    return (f"That much will not dissolve: about {held:g} g of the dry salt go into 100 mL of {solvent}, "
            f"and this asks for {number_text(asked, 2)} g. Take more solvent.")  # fmt: skip


def dopant_panel():
    """Return the panel of workbook 05."""
    offered = {f"{subscripted(salt)} in {solvent}": name for name, (salt, solvent) in dopants().items()}
    controls = {
        "powder_mass": TypedBox("Powder", "2.6 g", "[mass] > 0", least="1 mg", most="1 kg"),
        "loading": UnitSlider("Loading, nominal", "percent", 0.1, 5, 0.1, 1),
        "dopant": Choice("Salt and solvent", offered, "FeCl₃·6H₂O in acetone"),
        "volume": TypedBox("Finished solution", "160 mL", "[volume] > 0", least="1 mL", most="10 L"),
    }
    return Panel("What do I weigh, and how much metal is that?", controls, dopant_answer)
