"""Workbook 05: a recipe as it was passed on, what it really is, what is needed instead, and how to weigh that."""

from functools import lru_cache

from labkit.chemistry.formula import subscripted
from labkit.data import row
from labkit.data.cautions import cautions
from labkit.errors import LabError, RangeProblem
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.recipe import recipe_picture, recipe_words
from labkit.solutions import (
    NOT_ALL_TAKEN_UP,
    Recipe,
    checked_recipe,
    dopants,
    metal_of,
    metal_word,
    molarity_budget,
    scaled,
    stock_plan,
    weighable,
)
from labkit.solutions.weighing import FINER
from labkit.units import Q, nominal, number, number_text, printed, printed_up

_SIZES = (  # argument, label, unit, least, most, words
    ("salt_mass", "Salt in the recipe", "g", "1 mg", "1 kg"),
    ("powder_mass", "Powder in the recipe", "g", "1 mg", "1 kg"),
    ("volume", "Finished solution", "mL", "1 mL", "10 L"),
    ("batch", "Your powder", "g", "1 mg", "1 kg"),
    ("step", "Step of your balance", "mg", "0.01 mg", "10 g"),
)


def recipe_answer(salt_mass, dopant, powder_mass, volume, batch, loading, step):
    """Return the Answer for a recipe: what it is, what a loading needs, and whether that can be weighed.

    ``salt_mass``, ``powder_mass`` and ``volume`` (of finished solution) are the recipe's, ``dopant`` the name of a row
    of dopants.csv, ``batch`` the maker's own mass of powder, ``loading`` the nominal percentage that is wanted and
    ``step`` that of the balance.  Quantities without ±.
    """
    given = {"salt_mass": salt_mass, "powder_mass": powder_mass, "volume": volume, "batch": batch, "step": step}
    for name, label, unit, *_ in _SIZES:
        if nominal(given[name]) is not given[name]:
            raise RangeProblem(f"One plain value is needed for “{label}”, without ±.")
        given[name] = number(given[name], unit)
    found = row("dopants", dopant)
    return _answer(found["salt"], found["solvent"], *given.values(), number(loading, "percent"))


@lru_cache(64)
def _answer(salt, solvent, salt_mass, powder_mass, volume, batch, step, loading):
    recipe = Recipe(Q(salt_mass, "g"), salt, Q(powder_mass, "g"), Q(volume, "mL"), solvent)
    check = checked_recipe(recipe, Q(loading, "percent"))
    larger = scaled(recipe, powder_mass=Q(batch, "g"))
    dose = (check.dose * (batch / powder_mass)).to("mg")
    balance = Q(step, "mg")
    weighing, plan = weighable(dose, balance), _plan(dose, balance, salt, solvent, larger.recipe.volume)
    shown, metal = subscripted(salt), metal_word(salt)
    sentence = " ".join(
        [_what(check, metal), _needed(dose, batch, loading, shown, check.times, weighing, plan), *_dissolving(check)]
    )
    strength = molarity_budget(recipe.salt_mass, salt, recipe.volume, solvent=solvent, balance=balance, count=0) \
        if _weighs(recipe.salt_mass, balance) else None  # fmt: skip
    rows = (
        ("What", "How much", "How sure"),
        ("The recipe:", "", ""),
        *check.rows(),
        *_strength_rows(strength),
        (f"For {printed(Q(batch, 'g'))} of powder:", "", ""),
        ("the recipe, scaled", f"{printed(larger.recipe.salt_mass)} in {printed(larger.recipe.volume)}", "every ratio kept"),
        (f"{shown} for {printed(Q(loading, 'percent'), 2)} of {metal}", printed(dose), "if all were taken up; it is not"),
        ("one step of the balance", f"{printed(weighing.doubt, 2, 'percent')} of it",
         "weigh it" if weighing.good else f"weighs from {printed_up(weighing.least)} upward: make a stock"),
        *_plan_rows(plan),
        ("jar", f"{printed_up(larger.jar)} or more", f"filled to {printed(larger.fill, 2)} (common practice)"),
    )  # fmt: skip
    notes = "".join(f"• {note}\n" for note in larger.notes)
    alt = recipe_words(check)
    picture = recipe_picture(metal_of(salt), number(check.nominal, "percent"), loading, alt)
    return Answer(sentence, picture, rows, f"• {NOT_ALL_TAKEN_UP}\n{notes}{cautions('chlorides', 'solvent', 'powder')}")


def _what(check, metal):
    """Return in words what the recipe brings, beside its places and what has been published."""
    brings = (f"The recipe brings {printed(check.nominal, 3, 'percent')} of {metal} if all were taken up, {number_text(check.per_unit, 2)} "
              "atoms for each heptazine")  # fmt: skip
    if check.nominal > check.ceiling:
        brings += ", more than one each, so that the rest cannot be doping"
    if check.highest is None:
        return f"{brings}."
    over = number(check.nominal / check.highest.loading, "dimensionless")
    known = f"the highest published loading known here, {printed(check.highest.loading, 2, 'percent')}"
    return f"{brings}: {number_text(over, 2)} times {known}." if over > 1 else f"{brings}, below {known}."


def _needed(dose, batch, loading, shown, times, weighing, plan):
    """Return in words what the maker's own powder takes, and how that is weighed."""
    against = f", where the recipe, scaled, takes {number_text(times, 2)} times as much" if times > 1 else ""
    takes = f"Your {printed(Q(batch, 'g'))} of powder takes {printed(dose)} of {shown} for {printed(Q(loading, 'percent'), 2)}{against}"
    step = f"one step of the balance is {printed(weighing.doubt, 2, 'percent')} of that"
    if weighing.good:
        return f"{takes}; {step}: weigh it."
    if plan is None:
        return f"{takes}; {step}, too much, and no stock of three flasks helps: take a finer balance or dope more powder at once."
    flasks = ""
    for stage, following in zip(plan.stages, plan.stages[1:]):
        flasks += f", {printed(stage.drawn)} of that into {following.volume.m_as('mL'):g} mL"
    return (f"{takes}; {step}, so make a stock: {printed(plan.weighed)} filled up to {plan.stages[0].volume.m_as('mL'):g} mL{flasks}, and "
            f"{printed(plan.stages[-1].drawn)} of that into the jar.{FINER if plan.wasteful else ''}")  # fmt: skip


def _dissolving(check):
    if check.dissolves is not False:
        return ()
    return (
        f"As it is the recipe does not dissolve in {printed(check.recipe.volume)} of {check.recipe.solvent}: take more solvent.",
    )


def _plan_rows(plan):
    if plan is None or not plan.stages:
        return ()
    parts = ", ".join(f"{name} {printed(size, 2, 'percent')}" for name, size in plan.doubts.items())
    return (("doubt of the dose by the stock", printed(plan.total, 2, "percent"), parts),
            ("left in the stock", printed_up(plan.unused), "of salt, for licensed disposal"))  # fmt: skip


def _weighs(mass, balance):
    return balance < mass / 4


def _strength_rows(strength):
    if strength is None:
        return ()
    value, half = strength.value, strength.expanded
    return (("strength, with its doubt", f"{printed(value, 2)} ± {number_text(number(half / value, 'percent'), 2)} %",
             f"95 %, made in a jar; most comes from the {strength.driver} (purity and water are guesses)"),)  # fmt: skip


def _plan(dose, balance, salt, solvent, volume):
    try:
        return stock_plan(dose, balance, salt=salt, solvent=solvent, most_volume=volume)
    except LabError:
        return None


def recipe_panel():
    """Return the panel of workbook 05 that looks into a recipe."""
    offered = {f"{subscripted(salt)} in {solvent}": name for name, (salt, solvent) in dopants().items()}
    starts = {"salt_mass": "0.64 g", "powder_mass": "1.3 g", "volume": "85 mL", "batch": "2.2 g", "step": "10 mg"}
    boxes = {
        name: TypedBox(label, starts[name], "[volume] > 0" if unit == "mL" else "[mass] > 0", least=least, most=most)
        for name, label, unit, least, most in _SIZES
    }
    controls = {
        "salt_mass": boxes["salt_mass"],
        "dopant": Choice("Salt and solvent", offered, "FeCl₃·6H₂O in acetone"),
        "powder_mass": boxes["powder_mass"],
        "volume": boxes["volume"],
        "batch": boxes["batch"],
        "loading": UnitSlider("Loading wanted, nominal", "percent", 0.1, 5, 0.1, 0.8),
        "step": boxes["step"],
    }
    return Panel("What does this recipe really do, and what would have done?", controls, recipe_answer)
