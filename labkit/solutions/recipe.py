"""A recipe for doping by soaking, and what it really is: strength, metal for each place, and how much too much.

Cautions: ``cautions("chlorides")``, ``cautions("solvent")``, ``cautions("powder")`` belong beside every recipe.
"""

from dataclasses import dataclass
from functools import lru_cache

from labkit.chemistry.formula import subscripted
from labkit.data import row, table
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, chosen
from labkit.solutions.concentration import dry_salt_mass, molarity
from labkit.solutions.doping import (
    METALS,
    dopant_dose,
    loading_ceiling,
    metal_of,
    metal_word,
    mole_ratio,
    nominal_loading,
    refuse_bare_loading,
    solubility,
)
from labkit.units import (
    Q,
    checked,
    nominal,
    number,
    number_text,
    printed,
    printed_up,
    refuse_array,
    takes,
    wrapped,
)

SUPPORT = "carbon nitride"  # the powder, as loadings.csv names it
NOT_COMPARED = (
    "No measured uptake of iron by carbon nitride from acetone or ethanol was found, and how the powder with the highest loading was "
    "made was not read."
)
IN_WATER = {"Fe": "In water iron(III) hydrolyses (Stefánsson 2007): what falls out on the powder is oxide or hydroxide, not doping.",
            "Zn": "Much water turns zinc chloride into an acidic oxychloride (an encyclopaedia), which falls out as a solid."}  # fmt: skip


@dataclass(frozen=True, repr=False)
class Recipe:
    """A salt, a powder and a solvent: ``salt_mass`` of ``salt`` for ``powder_mass`` in ``volume`` of finished solution.

    Masses and volumes may be text or quantities, without ±; they are kept as quantities.  ``salt`` is the
    formula of what is weighed, crystal water included.

    >>> print(Recipe("0.42 g", "FeCl3·6H2O", "1.9 g", "75 mL", "acetone"))
    420 mg of FeCl₃·6H₂O for 1.90 g of powder in 75.0 mL of
    acetone
    """

    salt_mass: object
    salt: str
    powder_mass: object
    volume: object
    solvent: str

    def __post_init__(self):
        metal_of(self.salt)
        for name, need in (("salt_mass", "[mass] > 0"), ("powder_mass", "[mass] > 0"), ("volume", "[volume] > 0")):
            found = checked(getattr(self, name), need, name, "Recipe")
            refuse_array("Recipe", **{name: found})
            object.__setattr__(self, name, nominal(found))
        if not isinstance(self.solvent, str) or not self.solvent.strip():
            raise RangeProblem("A recipe names its solvent. Type for instance 'acetone'.")
        # “Acetone ” burns as acetone does, and has its solubility.
        object.__setattr__(self, "solvent", " ".join(self.solvent.split()).lower())

    @property
    def sentence(self):
        """The recipe in words."""
        return (f"{printed(self.salt_mass)} of {subscripted(self.salt)} for {printed(self.powder_mass)} of "
                f"powder in {printed(self.volume)} of {self.solvent}")  # fmt: skip

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def burns(solvent):
    """Return whether a solvent has to be handled as flammable: all but water, also one that is not known here.

    >>> burns("isopropanol"), burns("water")
    (True, False)
    """
    return solvent != "water"


def recipe_cautions(salt):
    """Return the cautions for a salt, its solvent and the powder; those for other metals if it brings neither iron nor zinc.

    >>> "asthma" in str(recipe_cautions("K2PtCl4")), "asthma" in str(recipe_cautions("ZnCl2"))
    (True, False)
    """
    other = () if metal_of(salt) in METALS else ("other metals",)
    return cautions(*other, "chlorides", "solvent", "powder")


@dataclass(frozen=True)
class PublishedLoading:
    """A loading that was found or made, of carbon nitride: ``loading`` in percent (metal over metal and powder).

    ``uptake`` is the same in mg of metal per gram of powder, ``medium`` what it was taken up from; ``kind`` and
    ``note`` are those of its row in loadings.csv.
    """

    name: str
    metal: str
    loading: object
    uptake: object
    medium: str
    kind: str
    note: str


@lru_cache(64)
def published_loadings(metal=None):
    """Return the rows of loadings.csv on carbon nitride as PublishedLoadings, highest first.

    Those of one metal if it, or a salt of it, is named.  Some are only from memory: look at ``kind``.

    Raises
    ------
    FormulaProblem
        If ``metal`` is neither a metal nor the salt of one.

    References
    ----------
    single_iron_patent_2023, metals_on_sheets; the rest from memory.

    Examples
    --------
    >>> for found in published_loadings("Zn"):
    ...     print(found.name, f"{found.loading:.1f~P}", found.kind)
    zinc from water 12.1 % published
    """
    wanted = metal_of(metal) if metal is not None else None
    rows = [found for found in table("loadings") if found["support"] == SUPPORT and wanted in (None, found["metal"])]
    return tuple(sorted(map(_published, rows), key=lambda found: -found.loading.magnitude))


def _published(found):
    value = Q(float(found["value"]), found["unit"])
    if found["what"] == "uptake":
        uptake, loading = value, (value / (1 + value)).to("percent")
    else:
        share = value.m_as("dimensionless")
        uptake, loading = Q(1000 * share / (1 - share), "mg/g"), value
    return PublishedLoading(
        found["name"], found["metal"], loading, uptake, found["medium"], found["kind"], found["note"]
    )


def usual_recipe(name="iron by soaking"):
    """Return a recipe of recipes.csv, as it is passed on (common practice): to be checked, not to be followed.

    Raises
    ------
    ChoiceProblem
        If there is no such recipe.
    """
    found = row("recipes", chosen(name, [found["name"] for found in table("recipes")], "recipe called"))
    return Recipe(*(found[part] for part in ("salt_mass", "salt", "powder_mass", "volume", "solvent")))


@dataclass(frozen=True, repr=False)
class RecipeCheck:
    """What a recipe is.

    ``molarity`` of the solution; ``per_unit``: metal atoms for each heptazine unit; ``nominal`` loading if all
    were taken up, ``ceiling`` at one metal for each heptazine, ``highest`` the highest PublishedLoading of the
    metal on carbon nitride (None if there is none).  ``dose`` of salt would do for the ``loading`` chosen, ``times``
    as much is used.  ``left_at_best`` is the mass of salt that stays in the liquid even if every heptazine took
    one metal.  ``dissolves`` is None where no solubility is known.  ``verdict`` is ``"more than the powder has
    places for"``, ``"more than any published one known here"``, ``"within what was published"`` or ``"nothing to compare with"``.
    """

    recipe: Recipe
    molarity: object
    per_unit: float
    nominal: object
    ceiling: object
    highest: PublishedLoading | None
    loading: object
    dose: object
    times: float
    left_at_best: object
    dissolves: bool | None
    verdict: str
    sentence: str

    def rows(self):
        """Return rows of text: what, how much, how sure."""
        metal, highest = metal_word(self.recipe.salt), self.highest
        return [
            ("strength of the solution", printed(self.molarity), "before the powder goes in"),
            (f"{metal} atoms for each heptazine", number_text(self.per_unit, 3), "computed"),
            ("nominal loading", printed(self.nominal, 3, "percent"), "if all were taken up"),
            ("one for each heptazine", printed(self.ceiling, 3, "percent"), "a count of places, computed"),
            ("highest published", printed(highest.loading, 2, "percent") if highest else "none known",
             f"{highest.name} ({highest.kind})" if highest else ""),
            ("loading chosen", printed(self.loading, 2, "percent"), "nominal too"),
            ("salt that would do", printed(self.dose), f"the recipe takes {number_text(self.times, 2)} times as much"),
            ("left in the liquid at best", printed_up(self.left_at_best) if self.left_at_best else "0 mg",
             "at least; plan for all of it"),
        ]  # fmt: skip

    def cautions(self):
        """Return the cautions for salts, solvents and powder, and for metals other than iron and zinc."""
        return recipe_cautions(self.recipe.salt)

    def __str__(self):
        rows = self.rows()
        wide = max(len(name) for name, *_ in rows)
        return "\n".join([wrapped(self.sentence), *(f"  {name:<{wide}}  {size}" for name, size, _ in rows)])

    __repr__ = __str__


@takes(loading="[] >= 0")
def recipe_check(salt_mass, salt, powder_mass, volume, solvent, loading="1 %"):
    """Return the RecipeCheck of a recipe: what it makes, what it would bring, and what would have done.

    Parameters
    ----------
    salt_mass, powder_mass : quantity or text [mass] > 0
    salt : str
        Formula of what is weighed, crystal water included: with it and without it are two recipes.
    volume : quantity or text [volume] > 0
        Of the finished solution.
    solvent : str
    loading : percentage
        What the maker wants, nominal, below 100 %.

    Raises
    ------
    UnitProblem, RangeProblem, FormulaProblem
        If one of them is not what it should be, or the loading came without its percent sign.

    Notes
    -----
    Every loading here counts all metal as taken up, which it is not.  ``left_at_best`` counts places alone; plan
    the disposal for all of the salt.

    References
    ----------
    Definitions; atomic weights iupac_2021; loadings.csv.

    Examples
    --------
    >>> found = recipe_check("1.6 g", "FeCl3·6H2O", "2.1 g", "120 mL", "acetone")
    >>> print(found.verdict, "|", f"{found.times:.0f} times", "|", f"{found.nominal:.1f~P}")
    more than any published one known here | 16 times | 13.6 %
    """
    refuse_bare_loading(loading, "recipe_check")
    return checked_recipe(Recipe(salt_mass, salt, powder_mass, volume, solvent), loading)


@takes(loading="[] >= 0")
def checked_recipe(recipe, loading="1 %"):
    """Return the RecipeCheck of a Recipe; see ``recipe_check``.

    >>> print(checked_recipe(Recipe("30 mg", "ZnCl2", "1.7 g", "65 mL", "ethanol")).verdict)
    within what was published
    """
    if not isinstance(recipe, Recipe):
        raise RangeProblem(
            "checked_recipe() takes a Recipe. Type for instance Recipe('0.4 g', 'FeCl3', '2 g', '60 mL', 'acetone')."
        )
    refuse_bare_loading(loading, "checked_recipe")
    loading = nominal(loading.to("percent"))
    if not loading.magnitude > 0:
        raise RangeProblem("The loading that is wanted has to be more than 0 %. Type for instance loading='1 %'.")
    salt, powder = recipe.salt, recipe.powder_mass
    per_unit = mole_ratio(recipe.salt_mass, salt, powder).magnitude
    found = nominal_loading(recipe.salt_mass, salt, powder)
    ceiling, dose = loading_ceiling(salt), dopant_dose(powder, loading, salt)
    highest = next((entry for entry in published_loadings(salt) if entry.kind == "published"), None)
    filled = dopant_dose(powder, ceiling, salt)
    left = max(recipe.salt_mass - filled, Q(0.0, "mg")).to("mg")
    times = number(recipe.salt_mass / dose, "dimensionless")
    verdict = _verdict(found, ceiling, highest)
    parts = {
        "recipe": recipe, "molarity": molarity(recipe.salt_mass, salt, recipe.volume), "per_unit": float(per_unit),
        "nominal": found, "ceiling": ceiling, "highest": highest, "loading": loading, "dose": dose, "times": times,
        "left_at_best": left, "dissolves": _dissolves(recipe), "verdict": verdict,
    }  # fmt: skip
    return RecipeCheck(**parts, sentence=_sentence(parts))


def _verdict(found, ceiling, highest):
    if found > ceiling:
        return "more than the powder has places for"
    if highest is None:
        return "nothing to compare with"
    return "more than any published one known here" if found > highest.loading else "within what was published"


def _dissolves(recipe):
    most = solubility(recipe.salt, recipe.solvent)
    return None if most is None else bool(dry_salt_mass(recipe.salt_mass, recipe.salt) / recipe.volume <= most)


def _sentence(parts):
    """Return the sentence of a RecipeCheck from its parts by name."""
    recipe, found, highest, loading, dose = (
        parts[name] for name in ("recipe", "nominal", "highest", "loading", "dose")
    )
    metal, shown, times = metal_word(recipe.salt), subscripted(recipe.salt), parts["times"]
    words = [f"{recipe.sentence}: {printed(parts['molarity'])}, {number_text(parts['per_unit'], 2)} {metal} atoms for each "
             f"heptazine, a nominal loading of {printed(found, 3, 'percent')}."]  # fmt: skip
    if parts["verdict"] == "more than the powder has places for":
        words.append(f"That is more than one {metal} atom for each heptazine, {printed(parts['ceiling'], 3, 'percent')}: the rest "
                     "cannot be doping.")  # fmt: skip
    if highest is None:
        words.append(f"No published loading of {metal} on carbon nitride is known here.")
    else:
        over = number(found / highest.loading, "dimensionless")
        known = f"the highest published one known here, {printed(highest.loading, 2, 'percent')} ({highest.name})"
        words.append(f"The loading is {number_text(over, 2)} times {known}." if over > 1 else
                     f"The loading is below {known}; whether it stays is another matter.")  # fmt: skip
    if metal == "iron":
        words.append(NOT_COMPARED)
    wanted = printed(loading, 2, "percent")
    if times >= 1:
        words.append(f"For {wanted} {printed(dose)} of {shown} would do, if all were taken up: the recipe takes "
                     f"{number_text(times, 2)} times as much.")  # fmt: skip
    else:
        words.append(f"For {wanted} it would take {printed(dose)} of {shown}, more than the recipe has.")
    if parts["left_at_best"].magnitude > 0:
        words.append(f"Even if every heptazine took one, {printed_up(parts['left_at_best'])} of salt would stay in the liquid; plan the "
                     f"disposal for all {printed_up(recipe.salt_mass)}.")  # fmt: skip
    else:
        words.append(
            f"Plan the disposal for all {printed_up(recipe.salt_mass)} of salt: most of it may stay in the liquid."
        )
    if recipe.solvent == "water" and metal_of(recipe.salt) in IN_WATER:
        words.append(IN_WATER[metal_of(recipe.salt)])
    elif parts["dissolves"] is None:
        words.append(
            f"How much {shown} dissolves in {recipe.solvent} is not known here: try a pinch in a test tube first."
        )
    if parts["dissolves"] is False:
        most = number(solubility(recipe.salt, recipe.solvent) * Q(100, "mL"), "g")
        words.append(f"It does not dissolve: 100 mL of {recipe.solvent} hold about {most:g} g of the dry salt. Take more solvent.")  # fmt: skip
    return " ".join(words)
