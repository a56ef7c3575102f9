"""Workbook 06: what the powder took up, by difference, and whether the readings can show it at all."""

from labkit.air import solvents
from labkit.chemistry.formula import subscripted
from labkit.data.cautions import cautions
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.taken_up import taken_up_picture, taken_up_words
from labkit.solutions import loading_ceiling
from labkit.units import nominal, number, printed, printed_up
from labkit.units.budget import printed_ends
from labkit.uptake.taken_up import taken_up
from labkit.uptake.typed import NOT_SEEN

COUNT = 5_000  # draws: the ends move by 5 % of a standard uncertainty, and a keystroke stays quick
SALTS = ("FeCl3", "FeCl3·6H2O", "ZnCl2")
_OF = {"the metal": "metal", "the salt, as it stands beside": "salt"}


def taken_up_answer(before, after, of, salt, volume, powder_mass, solvent, lost, correlation):
    """Return the Answer for two concentrations.

    Parameters
    ----------
    before, after : quantity [mass concentration]
        With ±.
    of : str
        ``"metal"`` or ``"salt"``.
    salt, solvent : str
    volume, powder_mass, lost : quantity [volume], [mass], [mass]
        The last is the solvent lost while stirring; 0 for not weighed.
    correlation : quantity []
        Of the two concentrations.
    """
    weighed = nominal(lost).magnitude > 0
    found = taken_up(before, after, volume, powder_mass, salt=salt, of=of, solvent_lost=lost if weighed else None, solvent=solvent,
                     correlation=number(correlation, "dimensionless"), count=COUNT)  # fmt: skip
    sentence = found.sentence + (
        "" if weighed else f" {found.notes[-1]}" if found.notes[-1].startswith("No loss") else ""
    )
    rows = [
        ("What", "How much", "How it is meant"),
        (f"{found.metal} offered", printed(found.offered.to("mg")), "in the liquid before"),
        ("uptake", _ends(found.uptake, "mg/g"), f"{found.metal} per gram of powder, 95 %"),
        ("real loading", _ends(found.loading, "percent"), f"{found.metal} over {found.metal} and powder, 95 %"),
        ("share taken up", _ends(found.share, "percent"), "of what was offered, 95 %"),
        (
            "smallest uptake these readings show",
            printed_up(found.budget.expanded),
            "anything less is lost in the doubt",
        ),
        ("one metal for each heptazine", printed(loading_ceiling(salt), 3, "percent"), "above it: a second solid"),
        ("What brings the doubt:", "", ""),
    ]
    for name, _, size, share in found.budget.rows():
        rows.append((name, size, f"{share} of the variance"))
    if found.level == NOT_SEEN:
        rows.insert(3, ("uptake at most", printed_up(found.at_most), "what may hide in the doubt"))
    alt = taken_up_words(found)
    caution = f"• {found.notes[0]}\n{cautions('chlorides', 'solvent')}"
    return Answer(sentence, taken_up_picture(found, alt), tuple(rows), caution)


def _ends(span, unit):
    low, high = printed_ends((span.low.to(unit), span.high.to(unit)))
    return f"{printed(span.likely, 3, unit)} ({low} to {high})"  # the ends have a unit of their own that is handy


def taken_up_panel():
    """Return the panel of workbook 06 about uptake by difference."""
    lost = TypedBox("Solvent lost while stirring", "0.6 g", "[mass] >= 0", hint="weighed, 0 g if not", most="1 kg")
    controls = {
        "before": TypedBox("Concentration before", "612 ± 6 mg/L", "[mass concentration] > 0", hint="with ±, such as 612 ± 6 mg/L", least="0.001 mg/L", most="1000 g/L"),
        "after": TypedBox("Concentration afterwards", "488 ± 5 mg/L", "[mass concentration] >= 0", hint="of the clear liquid, with ±", most="1000 g/L"),
        "of": Choice("These are masses of", _OF, "the metal"),
        "salt": Choice("Salt", {subscripted(salt): salt for salt in SALTS}, subscripted("FeCl3")),
        "volume": TypedBox("Liquid at the start", "75 ± 0.5 mL", "[volume] > 0", hint="such as 75 ± 0.5 mL", least="0.1 mL", most="100 L"),
        "powder_mass": TypedBox("Powder", "1.80 g", "[mass] > 0", hint="dry, before doping", least="1 mg", most="10 kg"),
        "solvent": Choice("Solvent", list(solvents()), solvents()[0]),
        "lost": lost,
        "correlation": UnitSlider("Correlation of the two concentrations", "", 0, 0.95, 0.05, 0),
    }  # fmt: skip
    return Panel("What did the powder take up, and can these readings show it?", controls, taken_up_answer)
