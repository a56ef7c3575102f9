"""The salt of a batch: what to weigh and dissolve, what of its metal may stay, and how the rest is washed out."""

from dataclasses import dataclass

from labkit.bench.line import Line
from labkit.chemistry.formula import mass_fractions, subscripted
from labkit.data import guess
from labkit.errors import RangeProblem
from labkit.solutions import (
    NOT_ALL_TAKEN_UP,
    dopant_dose,
    metal_of,
    molarity,
    refuse_insoluble,
    weighable,
)
from labkit.solutions.recipe import IN_WATER
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
)
from labkit.uptake import TakenUp, washing_plan
from labkit.uptake.taken_up import ABOVE
from labkit.uptake.typed import IMPOSSIBLE

SOLVENT_PER_POWDER = Q(60, "mL/g")  # our choice: enough for the powder to be stirred freely
WASH_PER_POWDER = Q(20, "mL/g")  # our choice: several times what settled powder holds
_HELD = "held liquid per gram of powder"


@dataclass(frozen=True)
class Soak:
    """The Lines of a soak: ``weigh`` and ``expect`` for the salt, ``washing``, and ``wash``, the step in short."""

    weigh: tuple = ()
    expect: tuple = ()
    washing: tuple = ()
    wash: str = "let settle, pour off, fresh solvent"


def soak(fired, kept, salt, solvent, solvent_volume, loading, uptake=None, held=None, wash_volume=None):
    """Return the Soak of a batch.

    Parameters
    ----------
    fired : quantity [mass]
        Powder from the kiln that is soaked, the likely mass.
    kept : Range [mass]
        Powder after washing.
    salt, solvent : str
    solvent_volume : text or quantity [volume], optional
        To soak in; 60 mL per gram if None.
    loading : percentage
        Nominal, above zero.
    uptake : text, percentage, Range or TakenUp, optional
        Share of the metal that stays: as measured with an earlier batch, typed, or the guess of handling.csv.
    held : text, quantity or Range [volume], optional
        Liquid that the wet powder holds; the guess of washing.csv, per gram, if left out.
    wash_volume : text or quantity [volume], optional
        Fresh solvent of each wash; 20 mL per gram if left out.

    Raises
    ------
    LabError
        If a value can't be used, or the solvent can't hold the salt.
    """
    dose = dopant_dose(fired, loading, salt)
    volume, why = _volume(solvent_volume, SOLVENT_PER_POWDER, fired, "solvent volume")
    refuse_insoluble(dose, salt, solvent, volume)
    if " ".join(solvent.split()).lower() == "water" and metal_of(salt) in IN_WATER:
        why = f"{why}. {IN_WATER[metal_of(salt)].rstrip('.')}"
    share, origin = _uptake(uptake)
    real = range_from(lambda loading, uptake: (loading * uptake).to("percent"), loading=loading, uptake=share)
    washes, step = _washing(dose, volume, kept, salt, solvent, loading, share, held, wash_volume)
    return Soak(
        (
            Line("Weigh", subscripted(salt), printed(dose), certain(dose), _salt_note(dose, fired, loading)),
            Line("Weigh", solvent, printed(volume), certain(volume), f"{why}; makes {printed(molarity(dose, salt, volume))}"),
        ),
        (Line("Expect", "metal in the powder", printed_range(real), real, f"{origin}. {NOT_ALL_TAKEN_UP}"),),
        washes,
        step,
    )  # fmt: skip


def _volume(given, per_powder, powder, name):
    """Return a volume as typed or by the mass of powder, and why."""
    if given is None:
        stir = ", enough to stir" if per_powder is SOLVENT_PER_POWDER else ""
        return (powder * per_powder).to("mL"), f"our choice: {per_powder.magnitude:g} mL per gram{stir}"
    return nominal(checked(given, "[volume] > 0", name, "batch_plan")), "as you asked"


def _salt_note(dose, fired, loading):
    each, found = printed((dose / fired).to("mg/g"), unit="mg/g"), weighable(dose)
    small = f"; one step of a 10 mg balance is {printed(found.doubt, 2, 'percent')} of that: draw it from a stock"
    small = "" if found.good else small
    return f"for {printed(loading)} if all were taken up; weigh the fired powder first and take {each}{small}"


def _uptake(given):
    """Return the share of the metal that stays as a Range, and where it is from."""
    if isinstance(given, TakenUp):
        if given.level in (IMPOSSIBLE, ABOVE):
            raise RangeProblem(
                f"This uptake can't be planned with, it is “{given.level}”: look at its sentence, and measure again."
            )
        zero, whole = Q(0.0, "percent"), Q(100.0, "percent")
        ends = (min(max(end.to("percent"), zero), whole) for end in given.share.ends)
        return Range(*ends), "uptake as measured before, at its dose; another dose may keep another share"
    span = guess("handling", "uptake") if given is None else as_range(given, "[] > 0", "uptake")
    if not Q(0, "percent") < span.low <= span.high <= Q(100, "percent"):
        raise RangeProblem("The uptake is a share, from more than 0 % to 100 %; type for instance 60 % to 90 %.")
    return span, "uptake from memory" if given is None else "uptake as you gave it"


def _washing(dose, volume, kept, salt, solvent, loading, share, held, wash_volume):
    """Return the Lines of the washing, and the step in short."""
    each, why = _volume(wash_volume, WASH_PER_POWDER, kept.likely, "wash volume")
    if held is None:
        # By the likely mass alone: more powder holds more and gets more, which leaves the number of washes as it is.
        liquid, wet = (
            Range(*((kept.likely * each).to("mL") for each in guess("washing", _HELD).ends)),
            "held liquid and mixing from memory",
        )
    else:
        liquid, wet = as_range(held, "[volume] > 0", "held"), "held liquid as you gave it, mixing from memory"
    pour = Line("Washing", "solvent of each wash", printed(each), certain(each), f"{why}; settle, pour off, fill up, stir every lump up")  # fmt: skip
    if not share.low > Q(0, "percent"):
        none = Line("Washing", "washes", "no number: the uptake may be nothing", None, "wash until the last rinse looks and measures like fresh solvent")  # fmt: skip
        waste = Line("Washing", "rinses to collect", "all of them", None,
                     f"with the liquid of the soaking: {solvent} with up to {printed_up(dose)} of {subscripted(salt)} in all, for licensed disposal")  # fmt: skip
        return (none, pour, waste), f"let settle, pour off, {printed(each)} of fresh {solvent}, again and again"
    left = 1 - share.low.to("dimensionless").magnitude
    strength = dose * mass_fractions(salt)[metal_of(salt)] * max(left, 1e-6) / volume
    real = Range(*((loading * end).to("percent") for end in share.ends))
    asked = {"salt": salt, "powder_mass": kept.likely, "loading": real, "solvent": solvent}
    plan = washing_plan(strength.to("g/L"), liquid, each, **asked)
    # One wash at least, whatever the sum says: it takes what sits loosely on the powder.
    best, likely, worst = (max(count, 1) for count in plan.counts)
    if likely > plan.chosen:
        plan = washing_plan(strength.to("g/L"), liquid, each, **asked, washes=likely)
    rinse = (volume + worst * each).to("mL")
    lines = (
        Line("Washing", "washes", f"{best} to {worst}, likely {likely}" if best != worst else f"{likely}",
             Range(*(Q(float(count)) for count in (best, likely, worst)), plan.washes.why),
             f"until the dissolved metal is below {printed(plan.goal, 2, 'percent')} of the metal taken up (our choice); {wet}; driven by the "
             f"{plan.driver or 'target alone'}. The last rinse decides: it looks and measures like fresh solvent"),
        pour,
        Line("Washing", "dissolved salt left", printed_range(plan.salt_left), plan.salt_left,
             f"of {subscripted(salt)} in the held liquid after {likely}; what sits on the powder is not in it"),
        Line("Washing", "rinses to collect", printed_up(rinse), certain(rinse),
             f"from the likely mass of powder, with the liquid of the soaking: {solvent} with up to {printed_up(dose)} of {subscripted(salt)} in all, for licensed disposal"),
    )  # fmt: skip
    return lines, f"{_times(likely)}: let settle, pour off, {printed(each)} of fresh {solvent}"


def _times(count):
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
