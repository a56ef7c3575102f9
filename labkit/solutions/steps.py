"""The steps of soaking a powder in a salt solution, written out with amounts and a caution beside each."""

from dataclasses import dataclass
from html import escape

from labkit.air import solvents
from labkit.chemistry.formula import split_hydrate, subscripted
from labkit.errors import RangeProblem
from labkit.solutions.concentration import molarity
from labkit.solutions.doping import METALS, NOT_ALL_TAKEN_UP, metal_of, refuse_insoluble, solubility
from labkit.solutions.recipe import IN_WATER, Recipe, burns, recipe_cautions
from labkit.solutions.scaling import BENCH, scaled
from labkit.units import Q, checked, nominal, printed, printed_up, refuse_array, unbroken, wrapped

FIRST_PART = 0.7  # of the solvent goes in before the salt (common practice)
# Iron(III) chloride gives off about 150 kJ/mol in water (from memory): 0.1 mol/L of it, stirred into the first part, would
# warm acetone (1.7 J/mL/K, from memory) by 12 K.
STRONG = Q(0.1, "mol/L")
OTHER_METAL = (
    "nickel and cobalt salts can cause cancer, and chloroplatinates asthma (from memory): no salts for an open bench; read its safety "
    "data sheet before the jar is opened"
)
STIRRED = "about 5 h are common practice; a kinetics of your own tells"


@dataclass(frozen=True)
class Step:
    """One step: its number, what is done, how much, and what to take care of."""

    number: int
    what: str
    how_much: str
    caution: str


@dataclass(frozen=True, repr=False)
class Steps:
    """The steps of a preparation in order; shows itself as text or, in a notebook, as a table."""

    title: str
    steps: tuple
    closing: str
    salt: str

    def __len__(self):
        return len(self.steps)

    def __iter__(self):
        return iter(self.steps)

    def __getitem__(self, place):
        return self.steps[place]

    def cautions(self):
        """Return the full cautions for salts, solvents and powder, and for metals other than iron and zinc."""
        return recipe_cautions(self.salt)

    def __str__(self):
        lines = [wrapped(self.title)]
        for step in self.steps:
            lines.append(wrapped(f"{step.number}. {step.what}: {step.how_much}", hanging="   "))
            lines.append(wrapped(f"   Care: {step.caution}", hanging="   "))
        return "\n".join([*lines, wrapped(self.closing)])

    __repr__ = __str__

    def _repr_html_(self):
        cell = "text-align:left;vertical-align:top;padding:4px 14px 4px 0;white-space:normal;border-bottom:1px solid #bdbdbd"
        head = "".join(f'<th scope="col" style="{cell}">{name}</th>' for name in ("", "Step", "How much", "Take care"))
        rows = "".join(
            "<tr>" + "".join(f'<td style="{cell}">{escape(unbroken(str(part)))}</td>' for part in
                             (step.number, step.what, step.how_much, step.caution)) + "</tr>"
            for step in self.steps
        )  # fmt: skip
        return (f'<table style="border-collapse:collapse;max-width:60em"><caption style="text-align:left;font-weight:bold">'
                f"{escape(unbroken(self.title))}</caption><tr>{head}</tr>{rows}</table>"
                f"<p>{escape(unbroken(self.closing))}</p>")  # fmt: skip


def preparation_steps(recipe, *, stock=None, time=None):
    """Return the Steps of soaking a powder in a salt solution.

    Parameters
    ----------
    recipe : Recipe
    stock : StockPlan, optional
        If the salt is too little to weigh: the stock to make and the part of it to draw.
    time : quantity or text [time], optional
        How long it is stirred.

    Raises
    ------
    RangeProblem
        If the solvent can't hold the salt, or a stock brings another mass than the recipe takes.

    Notes
    -----
    The order is common practice.  Room temperature throughout: a closed jar of solvent is never warmed.

    Examples
    --------
    >>> steps = preparation_steps(Recipe("0.32 g", "FeCl3·6H2O", "2.3 g", "85 mL", "acetone"), time="4 h")
    >>> print(steps[3].what, "|", steps[3].how_much)
    Weigh the salt | 320 mg of FeCl₃·6H₂O; close its jar at once
    """
    if not isinstance(recipe, Recipe):
        raise RangeProblem("preparation_steps() takes a Recipe. Type for instance Recipe('0.32 g', 'FeCl3·6H2O', '2.3 g', '85 mL', "
                           "'acetone').")  # fmt: skip
    refuse_insoluble(recipe.salt_mass, recipe.salt, recipe.solvent, recipe.volume)
    if stock is not None and abs((stock.delivered / recipe.salt_mass).m_as("dimensionless") - 1) > 0.005:
        raise RangeProblem(
            f"The stock brings {printed(stock.delivered)}, but the recipe takes {printed(recipe.salt_mass)}."
        )
    drawn = nominal(stock.stages[-1].drawn) if stock is not None and stock.stages else None
    if drawn is not None and drawn > recipe.volume:
        raise RangeProblem(f"The stock takes {printed(drawn)}, more than the {printed(recipe.volume)} of solution. Plan it with "
                           "most_volume.")  # fmt: skip
    for_time = STIRRED
    if time is not None:
        time = checked(time, "[time] > 0", "time", "preparation_steps")
        refuse_array("preparation_steps", time=time)
        for_time = printed(nominal(time), 2)
    lines = [*_before(recipe, drawn), *_salt(recipe, stock), *_after(recipe, for_time)]
    steps = tuple(Step(number, *line) for number, line in enumerate(lines, start=1))
    return Steps(f"To do, in order: {recipe.sentence}", steps, NOT_ALL_TAKEN_UP, recipe.salt)


def _before(recipe, drawn):
    solvent, volume, flammable = recipe.solvent, recipe.volume, burns(recipe.solvent)
    first = ((volume if drawn is None else volume - drawn) * FIRST_PART).to(volume.units)
    vapour = (
        "its vapour can catch fire some way off; keep it shut in between"
        if flammable
        else "the salt heats it; read the safety data sheet of the salt"
    )
    if flammable and solvent not in solvents():
        vapour = f"{solvent} is not known here: count it as flammable and poisonous, and read its safety data sheet; {vapour}"
    much = (
        f"; {printed_up(volume)} of flammable solvent is beyond a bench: split it"
        if flammable and volume > BENCH
        else ""
    )
    strength = printed(molarity(recipe.salt_mass, recipe.salt, volume))
    return (
        ("Make the place ready", "outdoors or in a hood; cold water beside you, everything at hand",
         f"no flame, heater, hot plate or spark; eye protection, gloves{much}"),
        ("Label the jar before it is full", f"{subscripted(recipe.salt)} in {solvent}, {strength}, date, maker, “corrosive{', flammable' if flammable else ''}”",
         "an unlabelled jar is the next person's accident"),
        ("Measure the solvent", f"about {printed(first, 2)} of {solvent} into a glass jar of {printed_up(scaled(recipe, volume=volume).jar)} or more that stands in cold water", vapour),
    )  # fmt: skip


def _salt(recipe, stock):
    shown, care = (
        subscripted(recipe.salt),
        "burns eyes and skin, and takes up water from the air: be quick, keep solvent away from the balance",
    )
    if metal_of(recipe.salt) not in METALS:
        care = f"{care}; {OTHER_METAL}"
    slowly = (
        "it warms, and gives off hydrogen chloride where it is moist: slow, cool, stirred; never solvent onto the salt"
    )
    dry = not split_hydrate(recipe.salt)[1]
    if dry and recipe.solvent == "water":
        slowly = f"dry salt hisses in water and spits acid: pinch by pinch, face shield; {slowly}"
    if dry and _strongest(recipe, stock) > STRONG:
        slowly = f"this strong it can warm by 10 K and more (estimated), and solvent boils: ice water around it, a thermometer in it; {slowly}"
    if solubility(recipe.salt, recipe.solvent) is None:
        slowly = f"try a pinch in a test tube first, how much dissolves is not known here; {slowly}"
    if stock is None or not stock.stages:
        return (
            ("Weigh the salt", f"{printed(recipe.salt_mass)} of {shown}; close its jar at once", care),
            ("Add the salt to the solvent", "in small portions, stirred, each dissolved before the next", slowly),
        )
    first, last = stock.stages[0], stock.stages[-1]
    lines = [("Weigh the salt for a stock", f"{printed(stock.weighed)} of {shown}; close its jar at once", care),
             ("Dissolve it in a part of the solvent, then fill up to the mark", f"{first.volume.m_as('mL'):g} mL flask", slowly)]  # fmt: skip
    for stage, following in zip(stock.stages, stock.stages[1:]):
        lines.append(("Thin it", f"{printed(stage.drawn)} into a {following.volume.m_as('mL'):g} mL flask, filled up",
                      "never draw by mouth; label every flask"))  # fmt: skip
    lines.append(("Draw from the stock into the jar", printed(last.drawn),
                  f"never draw by mouth; {printed_up(stock.unused)} of salt stays in the stock, for licensed disposal"))  # fmt: skip
    return lines


def _strongest(recipe, stock):
    """Return the strength where the salt is dissolved: in the jar, or in the first flask of a stock."""
    if stock is None or not stock.stages:
        return molarity(recipe.salt_mass, recipe.salt, recipe.volume)
    return molarity(stock.weighed, recipe.salt, stock.stages[0].volume)


def _after(recipe, for_time):
    seen = ("until the last rinse is colourless, and once more" if metal_of(recipe.salt) == "Fe" else
            "count the washes: this salt has no colour that tells" if metal_of(recipe.salt) == "Zn" else "count the washes")  # fmt: skip
    dark = "iron chloride slowly attacks acetone: cool, dark, the same day; " if _attacks(recipe) else ""
    if recipe.solvent == "water" and metal_of(recipe.salt) in IN_WATER:
        dark = IN_WATER[metal_of(recipe.salt)].rstrip(".") + "; "
    return (
        ("Fill up", f"with {recipe.solvent} to {printed(recipe.volume)}, once it is cool again", "filled while it is warm, it ends up too strong"),
        ("Add the powder", f"{printed(recipe.powder_mass)}, dry, slowly, stirred", "fitted dust mask; wipe up wet, never sweep"),
        ("Stir, closed and dark, at room temperature", for_time,
         f"{dark}open it now and then with the mouth turned away; never warm a closed jar"),
        ("Let it settle and pour off", f"up to {printed_up(recipe.volume)} of liquid with up to {printed_up(recipe.salt_mass)} of salt",
         "collect it and all rinses in glass, labelled, for licensed disposal; never down a drain, never in metal"),
        ("Wash, dry, measure", f"{seen}; dry in moving air, then have the metal measured",
         "no oven and no ordinary centrifuge while solvent is in it"),
    )  # fmt: skip


def _attacks(recipe):
    return recipe.solvent == "acetone" and metal_of(recipe.salt) == "Fe"
