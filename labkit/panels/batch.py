"""Workbook 09: a whole first batch from eleven boxes."""

from labkit.bench import SECTIONS, batch_plan
from labkit.chemistry.formula import subscripted
from labkit.chemistry.thermolysis import precursors
from labkit.hydrogen import cases_in_short
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.plots.masses import batch_picture
from labkit.solutions import dopants
from labkit.units import number, number_text, printed


def batch_answer(doped_powder, precursor, fraction, salt, loading, uptake, power, room, area, time, case):
    """Return the Answer for a batch: the plan as a table, its short form in words."""
    formula, solvent = salt
    plan = batch_plan(doped_powder, area, time, precursor=precursor, fraction=fraction, salt=formula,
                      solvent=solvent, loading=loading, uptake=uptake, case=case, power=power, room=room)  # fmt: skip
    weighed = plan.find(precursor)
    kept, hydrogen = plan.find("powder after washing"), plan.find("honest estimate")
    dissolved, washing = "no salt, as the loading is 0 %", ""
    if loading.magnitude:
        dissolved = f"{plan.find(subscripted(formula)).text} of {subscripted(formula)}, and measure {plan.find(solvent).text} of {solvent}"
        washing = f"Then wash with {plan.find('solvent of each wash').text} of {solvent} each time; washes: {plan.find('washes').text}. "
    warning = " ".join(remark for remark in plan.remarks if "outdoors" in remark)
    sentence = (f"{warning} For {printed(doped_powder)} of doped powder weigh {weighed.text} of {precursor} and "
                f"{dissolved}. {washing}The firing takes {plan.find('the whole firing').text} and {plan.find('energy').text}. Expect "
                f"{kept.text} after washing, and of hydrogen {hydrogen.text}.").strip()  # fmt: skip
    rows = [("What", "How much", "Why, and how sure")]
    for section in SECTIONS:
        rows.append((f"{section}:", "", ""))
        rows += [(line.item, line.text, line.note) for line in plan.lines if line.section == section]
    shares = [number(mass / doped_powder, "percent") for mass in kept.span.ends]
    low, likely, high = (number_text(share, 2) for share in shares)
    alt = (f"Powder after washing, its metal not counted, in percent of the {printed(doped_powder)} wanted: a bar from "
           f"{low} to {high} %, likely {likely} %, beside a line at 100 %.")  # fmt: skip
    return Answer(sentence, batch_picture(shares, alt), tuple(rows), plan.cautions())


def batch_panel():
    """Return the panel of workbook 09."""
    offered = {f"{subscripted(salt)} in {solvent}": (salt, solvent) for salt, solvent in dopants().values()}
    in_the_water = {words: name for name, words in cases_in_short().items()}
    controls = {
        "doped_powder": TypedBox("Doped powder wanted", "4 g", "[mass] > 0", least="10 mg", most="50 g"),
        "precursor": Choice("Precursor", precursors(), "urea"),
        "fraction": TypedBox("Fraction of theory you assume", "10 % to 35 %, likely 20 %", "[] > 0", ranged=True,
                             hint="a range, such as 10 % to 35 %", most="100 %"),
        "salt": Choice("Salt and solvent", offered, "FeCl₃·6H₂O in acetone"),
        "loading": TypedBox("Loading aimed at", "0.8 %", "[] >= 0", hint="metal over metal plus powder, such as 1 %",
                            signed=True),
        "uptake": TypedBox("Uptake, metal that stays", "5 to 90 %, likely 30 %", "[] > 0", ranged=True, signed=True,
                           hint="of what you weigh; workbook 06 measures it", most="100 %"),
        "power": TypedBox("Power of the kiln", "1.5 to 2.5 kW", "[power] > 0", ranged=True, hint="on its plate; or a range, such as 1 to 2 kW"),
        "room": TypedBox("Room you might fire in", "30 m³", "[volume] > 0", hint="its volume, such as 30 m³", least="1 m³"),
        "area": TypedBox("Lit area", "250 cm²", "[area] > 0"),
        "time": TypedBox("Hours of full sun", "2 to 6 h, likely 4 h", "[time] > 0", ranged=True,
                         hint="of the day, from workbook 07; or one value, such as 4 h"),
        "case": Choice("In the water with it", in_the_water, cases_in_short()["plain"]),
    }  # fmt: skip
    return Panel("What do I weigh, and what comes out?", controls, batch_answer)
