"""When washing is done: the dissolved salt that wet powder still holds, against the metal that it took up."""

from dataclasses import dataclass

from labkit.chemistry.formula import subscripted
from labkit.data import guess
from labkit.errors import RangeProblem, chosen
from labkit.solutions import METALS, metal_of, metal_word, refuse_bare_loading, salt_shares, solubility
from labkit.units import (
    Q,
    Range,
    as_range,
    checked,
    nominal,
    number,
    printed,
    printed_range,
    printed_up,
    range_from,
    refuse_array,
    wrapped,
)
from labkit.uptake.typed import OF, metal_per_millilitre, middle_of, typed_concentration
from labkit.uptake.washing import DRIVERS, count_for, kept, refuse_endless

DISSOLVED = Q(
    5.0, "percent"
)  # our choice: dissolved metal below this part of the metal taken up is no longer worth a wash
LOOK = (
    "Nothing that sits on the powder is in these numbers: it may come off later, or not at all. The last rinse decides: it looks and "
    "measures like fresh solvent (colour, absorbance, conductivity)."
)


@dataclass(frozen=True, eq=False, repr=False)
class WashingPlan:
    """Washes until the dissolved metal is a small part of the metal taken up.

    ``washes`` is a Range of whole numbers and ``target`` of the share of dissolved salt that may be left.  For ``chosen``
    washes: ``salt_left`` (as typed in ``salt``), ``chloride_left`` (None without chloride), and ``dissolved``, the metal
    dissolved as a share of the metal taken up.  ``rinse`` is the solvent of the chosen washes and ``rinsed`` the salt in it,
    both at most.  ``start`` is ``dissolved`` before the first wash and ``each`` what a wash leaves of it.  ``driver`` spreads the number of washes most.
    """

    salt: str
    washes: Range
    target: Range
    chosen: int
    salt_left: Range
    chloride_left: Range | None
    dissolved: Range
    rinse: object
    rinsed: object
    goal: object
    start: Range
    each: Range
    driver: str = ""
    notes: tuple = ()

    @property
    def counts(self):
        """Fewest, likely and most washes as whole numbers."""
        return tuple(int(count) for count in self.washes.m_as("dimensionless"))

    @property
    def enough(self):
        """Whether the chosen number is enough: ``"yes"``, ``"likely"``, ``"perhaps"`` or ``"no"``."""
        best, likely, worst = self.counts
        return "yes" if self.chosen >= worst else "likely" if self.chosen >= likely else "perhaps" if self.chosen >= best else "no"  # fmt: skip

    @property
    def sentence(self):
        """The plan in words."""
        best, likely, worst = self.counts
        metal = metal_word(self.salt)
        goal = f"the dissolved {metal} below {printed(self.goal, 2, 'percent')} of what the powder took up"
        es, s = "es" * (worst > 1), "s" * (worst == 1)
        spread = f" What spreads the number most is the {self.driver}." if best != worst else ""
        if not worst:
            first = f"By this sum alone no wash is needed to bring {goal}; wash once and look all the same."
        elif not best:
            first = f"Up to {worst} wash{es}, likely {likely or 'none'}, bring{s} {goal}."
        else:
            count = f"{best}" if best == worst else f"{best} to {worst}, likely {likely},"
            first = f"{count} wash{es} bring{s} {goal}."
        enough = {"yes": " enough", "likely": " likely enough", "perhaps": "may be enough", "no": " not enough"}[self.enough]  # fmt: skip
        one = self.chosen == 1
        then = f"{self.chosen} {('is' if one else 'are') * enough.startswith(' ')}{enough} and leave{'s' * one}"
        left = printed_range(self.dissolved, unit="percent")
        if not self.chosen:
            # What sits loosely on the powder is not in the sum.
            may = (
                "By this sum alone that may do, but wash once and look: unwashed,"
                if self.enough != "no" and worst
                else "Unwashed,"
            )
            then, left = may, f"{left}{',' * (', ' in left)} is still dissolved"
        return f"{first}{spread} {then} {left}, that is {printed_range(self.salt_left)} of {subscripted(self.salt)} in the held liquid."

    def __str__(self):
        waste = f"Collect {printed_up(self.rinse)} of rinse with up to {printed_up(self.rinsed)} of {subscripted(self.salt)} for disposal."  # fmt: skip
        return "\n".join(wrapped(line) for line in (self.sentence, waste, *self.notes))

    __repr__ = __str__


def washing_plan(concentration, held, added, *, salt, powder_mass, loading, of="metal", share=DISSOLVED, mixing=None, washes=None,
                 solvent=None, wash_solvent=None):  # fmt: skip
    r"""Return the WashingPlan: how many washes until dissolved metal is a small part of the metal taken up.

    .. math:: c\,h\,\left(1 - \eta\,\frac{v}{h + v}\right)^n \le s\,\frac{w}{1 - w}\,m

    Parameters
    ----------
    concentration : text or quantity [concentration] or [mass concentration]
        c, of the liquid that was poured off before the first wash; a ± plays no part.
    held, added : text, quantity or Range [volume]
        h, liquid that the wet powder holds, and v, fresh solvent of each wash.
    salt : str
    powder_mass : text or quantity [mass]
    loading : text, percentage or Range
        w, real loading that is there or hoped for, with its percent sign.
    of : str
        ``"metal"`` or ``"salt"``, what a mass concentration is the mass of.
    share : text or percentage
        s, dissolved metal over metal taken up, where washing may stop; 5 % is our choice.
    mixing : percentage or Range, optional
        η, the guess of washing.csv if left out.
    washes : int, optional
        A number to look at; the likely one if left out.
    solvent, wash_solvent : str, optional
        Of the soaking and of the washing, for what is to be said of them.

    Raises
    ------
    LabError
        If an argument can't be used, or it takes more than 200 washes.

    Examples
    --------
    >>> plan = washing_plan("21 mmol/L", "6 to 9 mL", "30 mL", salt="FeCl3", powder_mass="1.8 g", loading="0.3 to 0.8 %")
    >>> plan.counts, plan.driver
    ((2, 3, 8), 'mixing')
    """
    chosen(of, OF, "choice of what the concentration is of:")
    strength = nominal(middle_of(typed_concentration(concentration, "concentration", "washing_plan")))
    metal = metal_per_millilitre(strength, salt, of)(strength)
    if not metal > 0:
        raise RangeProblem("washing_plan() needs salt in the liquid. Type for instance concentration='21 mmol/L'.")
    powder_mass = checked(powder_mass, "[mass] > 0", "powder_mass", "washing_plan")
    refuse_array("washing_plan", powder_mass=powder_mass)
    mass = number(nominal(powder_mass), "mg")
    goal = checked(share, "[] > 0", "share", "washing_plan")
    part = number(goal, "dimensionless")
    if goal.units == Q(1).units or not part < 1:
        raise RangeProblem(
            "washing_plan() needs the share below 100 %, with its percent sign. Type for instance share='5 %'."
        )
    spans = {name: as_range(given, "[volume] > 0", name) for name, given in (("held", held), ("added", added))}
    spans["mixing"] = as_range(guess("washing", "mixing") if mixing is None else mixing, "[] > 0", "mixing")
    spans["loading"] = as_range(loading, "[] > 0", "loading")
    refuse_bare_loading(spans["loading"].likely, "washing_plan")
    if (
        number(spans["mixing"].high, "dimensionless") > 1 + 1e-9
        or not number(spans["loading"].high, "dimensionless") < 1
    ):
        raise RangeProblem("washing_plan() needs a mixing up to 100 % and a loading below 100 %.")

    # In one unit each from here on, so that a panel does not convert them dozens of times at every keystroke.
    for name, unit in (("held", "mL"), ("added", "mL"), ("mixing", "dimensionless"), ("loading", "dimensionless")):
        spans[name] = Range(*(Q(float(end), unit) for end in spans[name].m_as(unit)))

    def plain(held, added, mixing, loading):
        """Return metal dissolved over metal taken up before washing, and what each wash leaves, as plain numbers."""
        liquid, fraction = held.magnitude, loading.magnitude
        return (metal * liquid / (mass * fraction / (1 - fraction)), kept(liquid, added.magnitude, mixing.magnitude))

    def needed(**given):
        start, left = plain(**given)
        return Q(float(count_for(part / start, left)))

    found = range_from(needed, **spans)
    refuse_endless(found.high.magnitude, "washing_plan")
    count = int(found.likely.magnitude) if washes is None else washes
    if isinstance(count, bool) or not isinstance(count, int) or not 0 <= count <= 200:
        raise RangeProblem("washing_plan() needs a whole number of washes, 0 to 200. Type for instance washes=4.")

    # More held liquid is worse in every way, and so are less solvent, worse mixing and less metal taken up.
    corners = [
        (
            getattr(spans["held"], end),
            getattr(spans["added"], other),
            getattr(spans["mixing"], other),
            getattr(spans["loading"], other),
        )
        for end, other in (("low", "high"), ("likely", "likely"), ("high", "low"))
    ]
    ends = [plain(*corner) for corner in corners]
    start, each = (Range(*(Q(100 * pair[place], "percent") for pair in ends)) for place in (0, 1))
    target = Range(*(Q(min(100.0, 100 * part / pair[0]), "percent") for pair in reversed(ends)))
    in_salt = metal_per_millilitre(Q(1.0, "g/L"), salt, "salt")(Q(1.0, "g/L"))  # mass of metal in a mass of salt
    salt_left = Range(
        *(Q(metal / in_salt * number(corner[0], "mL") * left**count, "mg") for corner, (_, left) in zip(corners, ends))
    )
    chloride = salt_shares(salt)["chloride"] / 100 if "Cl" in salt else None
    return WashingPlan(
        salt,
        found,
        target,
        count,
        salt_left,
        None if chloride is None else Range(*(end * chloride for end in salt_left.ends)),
        course_range(start, each, count),
        count * spans["added"].high,
        Q(metal * number(spans["held"].high, "mL") / in_salt, "mg"),
        goal,
        start,
        each,
        DRIVERS[found.driver],
        (*solvent_notes(salt, solvent, wash_solvent), LOOK),
    )


def course_range(start, each, washes):
    """Return the Range of dissolved metal over metal taken up after a number of washes, in percent.

    >>> from labkit.units import certain
    >>> print(course_range(certain(Q(400.0, "percent")), certain(Q(25.0, "percent")), 2))
    25.0 %
    """
    pairs = zip(start.m_as("percent"), each.m_as("dimensionless"))
    return Range(*(Q(first * left**washes, "percent") for first, left in pairs))


def solvent_notes(salt, solvent=None, wash_solvent=None):
    """Return what is to be said of washing out a salt with a solvent, as a tuple of sentences.

    Parameters
    ----------
    salt : str
    solvent, wash_solvent : str, optional
        Of the soaking, and of the washes; the same one if left out.

    References
    ----------
    stefansson_2007 for iron, encyclopaedia_zinc_chloride for zinc; the rest is common practice.

    Examples
    --------
    >>> print(solvent_notes("ZnCl2", "ethanol", "water")[0])
    Much water turns zinc chloride into an acidic oxychloride (an encyclopaedia), which stays as a solid: wash with ethanol first.
    """
    solvent, wash_solvent = (
        None if name is None else " ".join(name.split()).lower() for name in (solvent, wash_solvent)
    )
    metal, first = metal_of(salt), solvent or "the solvent of the soaking"
    wash_solvent = wash_solvent or solvent
    if solvent == wash_solvent == "water" and metal in ("Fe", "Zn"):
        solid = "oxide and hydroxide" if metal == "Fe" else "an oxychloride"
        return (f"Water makes {METALS[metal]} salts hydrolyse, the more the thinner they get (Stefánsson 2007 for iron(III), an encyclopaedia for zinc): {solid} "
                "may fall out on the powder while it is washed, and no wash takes that away.",)  # fmt: skip
    if wash_solvent == solvent:
        return ("Wash with the same solvent first: then nothing changes but the dilution (common practice).",)
    if wash_solvent == "water" and metal == "Fe":
        return (f"Water makes iron(III) hydrolyse (Stefánsson 2007): oxide and hydroxide fall out on the powder, and no wash takes them "
                f"away. Wash with {first} first, until the rinse is colourless and once more.",)  # fmt: skip
    if wash_solvent == "water" and metal == "Zn":
        return (f"Much water turns zinc chloride into an acidic oxychloride (an encyclopaedia), which stays as a solid: wash with {first} "
                "first.",)  # fmt: skip
    if solubility(salt, wash_solvent) is None:
        return (f"How much {salt} goes into {wash_solvent} is not known here: try it in a test tube before you wash with it.",)  # fmt: skip
    return (
        f"Another solvent has to mix with {first}, and the first wash of it meets the most salt (common practice).",
    )
