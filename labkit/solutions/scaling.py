"""A recipe made larger or smaller: what keeps its ratio, and what does not grow along."""

from dataclasses import dataclass
from math import ceil

from labkit.air import air_for, solvents
from labkit.errors import RangeProblem
from labkit.solutions.recipe import Recipe, burns, recipe_cautions
from labkit.units import Q, checked, nominal, number, number_text, printed, printed_up, refuse_array, wrapped

FILL = "60 %"  # of a jar that is stirred: the rest is room for vapour and splashes (common practice)
MOST_FILL = 80  # percent; fuller than that, a jar that warms has no room left (common practice)
SOLID = Q(0.5, "mL/g")  # of powder without its pores, at 2.0 g/mL (particles.csv)
TUBE = Q(40, "mL")  # what goes into a 50 mL tube that is closed and spun (common practice)
BENCH = Q(500, "mL")  # of flammable solvent; beyond it the work is no longer one for a bench (our choice)


@dataclass(frozen=True, repr=False)
class Scaled:
    """A ``recipe`` at another size, ``factor`` times the old one, for a jar of ``jar`` or more, filled to ``fill``.

    ``notes`` say what must not be scaled blindly.
    """

    recipe: Recipe
    factor: float
    jar: object
    fill: object
    notes: tuple

    @property
    def sentence(self):
        """The new amounts in words."""
        return (f"{number_text(self.factor, 3)} times the recipe: {self.recipe.sentence}. It takes a jar of "
                f"{printed_up(self.jar)} or more, filled to {printed(self.fill, 2, 'percent')} at most.")  # fmt: skip

    def cautions(self):
        """Return the cautions for salts, solvents and powder."""
        return recipe_cautions(self.recipe.salt)

    def __str__(self):
        return "\n".join([wrapped(self.sentence), *(wrapped(f"• {note}", hanging="  ") for note in self.notes)])

    __repr__ = __str__


def scaled(recipe, *, powder_mass=None, volume=None, salt_mass=None, jar_volume=None, fill=FILL):
    """Return a Recipe at another size, as Scaled: every ratio stays, and so does the strength of the solution.

    Parameters
    ----------
    recipe : Recipe
    powder_mass, volume, salt_mass, jar_volume : quantity or text, one of them
        What is wanted: of powder, of finished solution, of salt; or the jar that is there, to its brim.
    fill : percentage
        How much of the jar the solution may take: up to 80 %.

    Raises
    ------
    RangeProblem
        Unless exactly one size is given, or if the jar is filled too far.

    Notes
    -----
    The powder itself takes about 0.5 mL per gram; with it the jar is never filled beyond 80 %.  Jar and tubes are common practice;
    the air that a spill can make flammable is that of ``labkit.air.air_for`` at 25 °C.

    Examples
    --------
    >>> recipe = Recipe("0.42 g", "FeCl3·6H2O", "1.9 g", "75 mL", "acetone")
    >>> larger = scaled(recipe, powder_mass="4.1 g")
    >>> print(printed(larger.recipe.salt_mass), "in", printed(larger.recipe.volume))
    906 mg in 162 mL
    """
    given = {"powder_mass": powder_mass, "volume": volume, "salt_mass": salt_mass, "jar_volume": jar_volume}
    asked = {name: value for name, value in given.items() if value is not None}
    if len(asked) != 1:
        raise RangeProblem("scaled() takes one size: powder_mass, volume, salt_mass or jar_volume. Type for instance "
                           "powder_mass='2.5 g'.")  # fmt: skip
    ((name, wanted),) = asked.items()
    wanted = nominal(checked(wanted, "[mass] > 0" if name.endswith("mass") else "[volume] > 0", name, "scaled"))
    refuse_array("scaled", **{name: wanted})
    share = _fill(fill)
    if name == "jar_volume":
        name, wanted = "volume", (wanted * _room(recipe, share)).to("mL")
    factor = number(wanted / getattr(recipe, name), "dimensionless")
    if not 1e-6 < factor < 1e6:
        raise RangeProblem(f"That is {factor:.3g} times the recipe, which is no longer the same work.")
    sizes = {part: getattr(recipe, part) * factor for part in ("salt_mass", "powder_mass", "volume")}
    found = Recipe(sizes["salt_mass"], recipe.salt, sizes["powder_mass"], sizes["volume"], recipe.solvent)
    jar = (found.volume / _room(recipe, share)).to("mL")
    return Scaled(found, factor, jar, share, tuple(_notes(found, factor)))


def _room(recipe, share):
    """Return how much of a jar the solution may take: the fill, or less where the powder needs much of the room."""
    solid = number(recipe.powder_mass * SOLID / recipe.volume, "dimensionless")  # mL of powder for each mL of solution
    return min(number(share, "dimensionless"), MOST_FILL / 100 / (1 + solid))


def _fill(fill):
    share = nominal(checked(fill, "[] > 0", "fill", "scaled"))
    bare, share = share.units == Q(1).units, share.to("percent")
    refuse_array("scaled", fill=share)
    if share.magnitude < 1 or bare:
        raise RangeProblem("scaled() needs the fill in percent. Type for instance fill='60 %'.")
    if share.magnitude > MOST_FILL:
        raise RangeProblem(
            f"A jar filled to {printed(share, 2)} has no room left for vapour. Type {MOST_FILL} % or less."
        )
    return share


def _notes(recipe, factor):
    """Give what does not grow along with a recipe."""
    if recipe.volume > BENCH and burns(recipe.solvent):
        yield (f"{printed_up(recipe.volume)} of flammable solvent is beyond a bench: split it into several days, or leave it "
               "to people licensed for it.")  # fmt: skip
    yield ("Stirring: no powder may lie still at the bottom; a wider jar needs more than a faster stirrer." if factor > 1 else
           "Stirring: a small jar splashes; slower is enough as long as no powder lies still.")  # fmt: skip
    yield ("Heat: it grows with the salt, the wall that cools it does not; add the salt in portions, the jar in cold water."
           if factor > 1 else
           "Heat: the salt still warms the solvent; add it slowly.")  # fmt: skip
    if recipe.solvent in solvents():
        yield (f"Vapour: if all {printed_up(recipe.volume)} spill, they can make {printed_up(air_for(recipe.solvent, recipe.volume))} "
               "of air flammable.")  # fmt: skip
    elif burns(recipe.solvent):
        yield f"Vapour: {recipe.solvent} is not known here; count it as flammable and poisonous, and read its safety data sheet."
    tubes = ceil(number(recipe.volume / TUBE, "dimensionless") - 1e-9)
    sparks = f"; no {recipe.solvent} in an ordinary centrifuge, which sparks" if burns(recipe.solvent) else ""
    yield (f"Tubes: {tubes + tubes % 2} of 50 mL, never one alone, filled to {printed(TUBE, 2)} or less, if it is spun at all; opposite ones "
           f"alike in mass{sparks}.")  # fmt: skip
    yield "Time: it does not scale; a larger batch is done when a sample says so."
