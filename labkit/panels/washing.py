"""Workbook 06: when washing is done, and how to share out the solvent."""

from labkit.chemistry.formula import subscripted
from labkit.data.cautions import cautions
from labkit.errors import chosen
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.washing import washing_picture, washing_words
from labkit.solutions import dopants, metal_word
from labkit.units import Range, nominal, number, printed, printed_range, printed_up
from labkit.uptake.residual import washing_plan
from labkit.uptake.washing import best_split

EACH, TOTAL = "for each wash", "for all washes together"
SAME = "the same as for soaking"
_SHOWN = (1, 2, 3, 4, 6, 8, 12)  # washes that the table shares the solvent out to


def washing_answer(dopant, concentration, powder_mass, loading, held, whole, solvent_volume, washes, share, mixing, wash_solvent):  # fmt: skip
    """Return the Answer for a way of washing.

    Parameters
    ----------
    dopant : str
        A name of ``labkit.solutions.dopants()``.
    concentration : quantity [concentration]
        Of the salt in the liquid poured off before the first wash.
    powder_mass : quantity [mass]
    loading, held, mixing : Range [], [volume], []
    whole : bool
        True if ``solvent_volume`` is for all washes together.
    solvent_volume : quantity [volume]
    washes : quantity, a whole number
    share : quantity []
        Dissolved metal over metal taken up where washing may stop.
    wash_solvent : str or None
        None for the one of the soaking.
    """
    salt, solvent = dopants()[chosen(dopant, dopants(), "dopant called")]
    count, volume = int(number(washes, "dimensionless")), nominal(solvent_volume)
    added = volume / count if whole else volume
    plan = washing_plan(concentration, held, added, salt=salt, powder_mass=nominal(powder_mass), loading=loading, share=nominal(share),
                        mixing=mixing, washes=count, solvent=solvent, wash_solvent=wash_solvent or solvent)  # fmt: skip
    shown, metal = subscripted(salt), metal_word(salt)
    each = f"{printed(added)} each" if not whole else f"{printed(added)} each, {printed(volume)} in all"
    sentence = f"With {each}: {plan.sentence} {plan.notes[0]}"
    rows = [
        ("What", "How much", "How it is meant"),
        (f"{metal} dissolved before washing", printed_range(plan.start, unit="percent"), "of that taken up"),
        ("one wash leaves", printed_range(plan.each, unit="percent"), "of what was dissolved"),
        (f"after {count}: {shown}", printed_range(plan.salt_left), "in the liquid the powder holds; dries into it"),
    ]
    if plan.chloride_left is not None:
        rows.append(("of it chloride", printed_range(plan.chloride_left), ""))
    rows += [
        ("rinse to collect", printed_up(plan.rinse), f"with up to {printed_up(plan.rinsed)} of {shown}, besides what was poured off before"),
        (f"{printed(added * count)} shared out, fully mixed:", "", ""),
    ]  # fmt: skip
    split = best_split(added * count, nominal(held.likely if isinstance(held, Range) else held), max(_SHOWN))
    rows += [
        (f"{count_of} × {portion}", f"leaves {left}", f"one more: {gain}")
        for count_of, portion, left, gain in split.rows(_SHOWN)
    ]
    alt = washing_words(plan)
    caution = f"• {plan.notes[-1]}\n{cautions('chlorides', 'solvent')}"
    return Answer(sentence, washing_picture(plan, alt), tuple(rows), caution)


def washing_panel():
    """Return the panel of workbook 06 about washing."""
    controls = {
        "dopant": Choice("Dopant", list(dopants()), next(iter(dopants()))),
        "concentration": TypedBox("Salt in the liquid poured off", "21 mmol/L", "[concentration] > 0", hint="such as 21 mmol/L", least="1 nmol/L", most="20 mol/L"),
        "powder_mass": TypedBox("Powder", "1.8 g", "[mass] > 0", hint="dry, such as 1.8 g", least="1 mg", most="10 kg"),
        "loading": TypedBox("Loading it has or should have", "0.3 to 0.8 %", "[] > 0", ranged=True, signed=True, hint="such as 0.3 to 0.8 %", least="0.0001 %", most="60 %"),
        "held": TypedBox("Liquid the wet powder holds", "6 to 9 mL", "[volume] > 0", ranged=True, hint="wet less dry, such as 6 to 9 mL", least="0.001 mL", most="50 L"),
        "whole": Choice("The solvent typed below is", {EACH: False, TOTAL: True}, EACH),
        "solvent_volume": TypedBox("Fresh solvent", "30 mL", "[volume] > 0", hint="such as 30 mL", least="0.01 mL", most="500 L"),
        "washes": UnitSlider("Washes", "", 1, 12, 1, 3),
        "share": TypedBox("Stop when the dissolved metal is below", "5 %", "[] > 0", signed=True, hint="of the metal taken up, such as 5 %", least="0.0001 %", most="99 %"),
        "mixing": TypedBox("How fully each wash mixes", "50 to 100 %, likely 80 %", "[] > 0", ranged=True, hint="such as 50 to 100 %", least="5 %", most="100 %"),
        "wash_solvent": Choice("Washed with", {SAME: None, "acetone": "acetone", "ethanol": "ethanol", "water": "water"}, SAME),
    }  # fmt: skip
    return Panel("When is the powder washed?", controls, washing_answer)
