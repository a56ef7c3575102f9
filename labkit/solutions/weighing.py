"""Weigh it, or make a stock and draw a part of it: which masses a balance can hold, and the smallest stock that helps.

The rule is that of the bench (common practice): a weighing is in doubt by one whole step of the balance, and a volume
drawn by one whole step of the pipette or syringe.  A step is what the last digit, or the distance of two lines, counts.
Cautions: see ``labkit.solutions``.
"""

from dataclasses import dataclass
from itertools import product
from math import ceil, hypot

from labkit.chemistry.formula import subscripted
from labkit.data import row, table
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, SourceProblem
from labkit.solutions.concentration import dry_salt_mass
from labkit.solutions.doping import BALANCE_STEP, solubility
from labkit.units import (
    Q,
    checked,
    nominal,
    number,
    printed,
    printed_up,
    refuse_array,
    takes,
    wrapped,
)

LIMIT = "5 %"  # our choice: a dose that is off by more is no longer the loading that was wanted
MARKS = (10, 20, 25, 50, 100)  # mL of the volumetric flasks that a bench has (common practice)
PIPETTE_STEP = "0.1 mL"  # of a syringe or graduated pipette of 5 or 10 mL (common practice)
FIRST_DRAWS = (1, 2, 5, 10)  # mL that go from one flask to the next
MOST_STAGES = 3
MUCH = Q(1, "g")  # our choice: more salt than that is not left over for the want of a balance
FINER = " So much salt for so little is waste: a finer balance needs no stock."


@dataclass(frozen=True, repr=False)
class Weighable:
    """Whether a mass can be weighed: ``doubt``, one step of the balance in percent of it, against a ``limit``.

    ``least`` is the smallest mass that the balance weighs well enough; ``good`` says whether this one is.
    """

    mass: object
    step: object
    doubt: object
    limit: object
    least: object
    good: bool

    @property
    def sentence(self):
        """The verdict in words."""
        doubt = printed(self.doubt, 2, "percent")
        said = f"One step of {printed(self.step, 2)} is {doubt} of {printed(self.mass)}"
        if self.good:
            return f"{said}, no more than {printed(self.limit, 2, 'percent')}: weigh it."
        return f"{said}: make a stock. From {printed_up(self.least)} upward this balance would do."

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


@takes(mass="[mass] > 0", step="[mass] > 0")
def weighable(mass, step=BALANCE_STEP, limit=LIMIT):
    """Return the Weighable verdict on a mass.

    Parameters
    ----------
    mass : quantity [mass] > 0
    step : quantity [mass] > 0
        What the last digit of the balance counts.
    limit : percentage
        Largest share of the mass that one step may be, below 50 %.

    Raises
    ------
    UnitProblem, RangeProblem
        If one of them is not what it should be.

    Notes
    -----
    The readout alone is in doubt by ±d/2, and a weighing has two of them; on a cheap balance drift and slope come
    on top.  One whole step d stands for all of that (common practice).

    Examples
    --------
    >>> print(weighable("31 mg", "10 mg"))
    One step of 10 mg is 32 % of 31.0 mg: make a stock. From 200
    mg upward this balance would do.
    """
    mass, step = _single("weighable", mass=mass, step=step)
    share = _limit(limit, "weighable")
    doubt = number(step / mass, "dimensionless")
    return Weighable(mass, step, Q(100 * doubt, "percent"), Q(100 * share, "percent"), (step / share).to(step.units),
                     doubt <= share * (1 + 1e-9))  # fmt: skip


@dataclass(frozen=True)
class Stage:
    """One flask of a stock: filled up to ``volume``, with ``drawn`` taken out of it."""

    volume: object
    drawn: object


@dataclass(frozen=True, repr=False)
class StockPlan:
    """How to bring a mass that is too small to weigh.

    Weigh ``weighed`` into the first of the ``stages``; draw what each says into the next, and what the last one says
    into the jar.  Without stages the mass is weighed as it is.  ``doubts`` name what is in doubt, in percent, and
    ``total`` is all of them together (root of the sum of squares); ``unused`` is the salt that is left over.
    """

    wanted: object
    weighed: object
    salt: str
    solvent: str
    stages: tuple
    doubts: dict
    total: object
    unused: object

    @property
    def delivered(self):
        """The mass that reaches the jar, worked out forward from what is weighed and drawn."""
        mass = self.weighed
        for stage in self.stages:
            mass = mass * number(stage.drawn / stage.volume, "dimensionless")
        return mass.to("mg")

    @property
    def wasteful(self):
        """Whether so much salt is left over that a finer balance is the better way."""
        return self.unused > MUCH

    @property
    def sentence(self):
        """The plan in words."""
        salt = f" of {subscripted(self.salt)}" if self.salt else ""
        total = printed(self.total, 2, "percent")
        if not self.stages:
            return f"Weigh {printed(self.wanted)}{salt}: it is in doubt by {total}."
        solvent = f" with {self.solvent}" if self.solvent else ""
        words = f"Weigh {printed(self.weighed)}{salt}"
        into = f" and fill it up{solvent} to {_mark(self.stages[0].volume)}"
        for stage, following in zip(self.stages, self.stages[1:]):
            into += f"; draw {printed(stage.drawn)} and fill that up{solvent} to {_mark(following.volume)}"
        parts = ", ".join(f"{name} {printed(size, 2, 'percent')}" for name, size in self.doubts.items())
        return (f"{words}{into}; draw {printed(self.stages[-1].drawn)} into the jar: {printed(self.delivered)}, in doubt by "
                f"{total} ({parts}). {printed_up(self.unused)} of salt is left over, for licensed disposal. If the balance "
                f"shows a little more or less, draw less or more in the same ratio.{FINER if self.wasteful else ''}")  # fmt: skip

    def cautions(self):
        """Return the cautions for salts and solvents."""
        return cautions("chlorides", "solvent")

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


@takes(mass="[mass] > 0", step="[mass] > 0", pipette_step="[volume] > 0", most_volume="[volume] > 0")
def stock_plan(mass, step=BALANCE_STEP, *, salt="", solvent="", limit=LIMIT, pipette_step=PIPETTE_STEP,
               marks=MARKS, most_volume=None):  # fmt: skip
    """Return the StockPlan that brings a small mass with a coarse balance, with as little left over as may be.

    Parameters
    ----------
    mass : quantity [mass] > 0
        What is wanted.
    step : quantity [mass] > 0
        Of the balance.
    salt, solvent : str, optional
        With both, and a known solubility, a flask that can't hold the salt is not used.
    limit : percentage
        For all doubts together (root of the sum of squares), below 50 %.
    pipette_step : quantity [volume] > 0
        One line of the pipette or syringe.
    marks : sequence of numbers
        Sizes of the flasks there are, in mL; from flasks.csv, counted as class B.
    most_volume : quantity [volume] > 0, optional
        The most that may be drawn, such as the finished solution.

    Raises
    ------
    RangeProblem
        If no such stock exists: the solvent can't hold it, or the mass is too small even for three flasks in a row.

    Notes
    -----
    One flask is tried first, the smallest first, with the smallest mass in it that keeps the limit; only then two
    or three flasks in a row.  Weighed masses are whole steps of the balance.

    Examples
    --------
    >>> print(stock_plan("23 mg", "10 mg", salt="FeCl3·6H2O", solvent="acetone"))  # doctest: +ELLIPSIS
    Weigh 220 mg of FeCl₃·6H₂O and fill it up with acetone to
    50 mL; draw 5.23 mL into the jar: 23.0 mg, in doubt by 4.9 %
    (weighing 4.5 %, drawing 1.9 %, filling up 0.24 %). 200 mg
    of salt is left over...
    """
    mass, step, drawn_step = _single("stock_plan", mass=mass, step=step, pipette_step=pipette_step)
    share = _limit(limit, "stock_plan")
    if number(step / mass, "dimensionless") <= share * (1 + 1e-9):
        doubt = (step / mass).to("percent")
        return StockPlan(mass, mass, salt, solvent, (), {"weighing": doubt}, doubt, Q(0.0, "mg"))
    flasks = {float(size): _flask_doubt(size) for size in sorted(marks)}
    most = None if most_volume is None else number(nominal(most_volume), "mL")
    milligrams, unit = number(mass, "mg"), number(step, "mg")
    line = number(drawn_step, "mL")
    held = _held(salt, solvent)
    if held is not None and milligrams > held * max(flasks):
        raise _refused(mass, salt, solvent)
    full = False
    for stages in range(1, MOST_STAGES + 1):
        best, met = _best(milligrams, unit, line, share, flasks, stages, most, held)
        full = full or met
        if best:
            return _planned(best, mass, unit, line, flasks, salt, solvent)
    if full:
        raise _refused(mass, salt, solvent)
    raise RangeProblem(f"stock_plan() finds no stock that brings {printed(mass)} within {printed(Q(100 * share, 'percent'), 2)}: a balance "
                       f"of {printed(step, 2)} and a pipette of {printed(drawn_step, 2)} are too coarse. Take a finer balance, or dope "
                       "more powder at once.")  # fmt: skip


def _best(wanted, unit, line, limit, flasks, stages, most, held):
    """Return (milligrams weighed, flasks, mL drawn from each) or None, and whether the solvent held some of them back."""
    met = False
    for volumes in sorted(product(flasks, repeat=stages), key=lambda sizes: (sum(sizes), sizes)):
        found = None
        for draws in product(FIRST_DRAWS, repeat=stages - 1):
            if any(draw >= volume for draw, volume in zip(draws, volumes[1:])) or any(
                draw >= volume for draw, volume in zip(draws, volumes)
            ):
                continue
            weighed = _smallest(wanted, unit, line, limit, flasks, volumes, draws, most)
            if weighed and held is not None and weighed[0] > held * volumes[0]:
                met = True
            elif weighed and (found is None or weighed[0] < found[0]):
                found = weighed
        if found:
            return (found[0], volumes, found[1]), met
    return None, met


def _smallest(wanted, unit, line, limit, flasks, volumes, draws, most):
    """Return the fewest milligrams, in whole steps of the balance, that keep the limit, and the mL drawn; or None."""
    filled = hypot(*(flasks[volume] for volume in volumes), *(line / draw for draw in draws))
    if filled >= limit:
        return None
    dilution = 1.0
    for draw, volume in zip(draws, volumes):
        dilution *= draw / volume
    last = volumes[-1]
    # One flask weighs more for a smaller doubt of the balance, and draws less: both doubts are squared and added.
    room = limit**2 - filled**2
    ratio = line * dilution / (last * wanted)  # doubt of the last draw, per milligram weighed
    inside = room**2 - 4 * (unit * ratio) ** 2
    if inside < 0:
        return None
    least = ((room - inside**0.5) / (2 * ratio**2)) ** 0.5
    steps = max(ceil(least / unit - 1e-9), ceil(wanted / dilution / unit - 1e-9), 1)
    weighed = steps * unit
    drawn = wanted * last / (weighed * dilution)
    if hypot(unit / weighed, line / drawn, filled) > limit * (1 + 1e-9) or drawn > last or (most and drawn > most):
        return None
    return weighed, (*draws, drawn)


def _planned(best, mass, unit, line, flasks, salt, solvent):
    weighed, volumes, draws = best
    stages = tuple(Stage(Q(volume, "mL"), Q(float(draw), "mL")) for volume, draw in zip(volumes, draws))
    parts = {
        "weighing": unit / weighed,
        "drawing": hypot(*(line / draw for draw in draws)),
        "filling up": hypot(*(flasks[volume] for volume in volumes)),
    }
    doubts = {name: Q(100 * size, "percent") for name, size in parts.items()}
    return StockPlan(mass, Q(weighed, "mg"), salt, solvent, stages, doubts, Q(100 * hypot(*parts.values()), "percent"),
                     (Q(weighed, "mg") - mass).to("mg"))  # fmt: skip


def _held(salt, solvent):
    """Return the milligrams of salt that a millilitre of solvent holds, None where that is not known."""
    most = solubility(salt, solvent) if salt and solvent else None
    if most is None:
        return None
    return number(most, "mg/mL") / number(dry_salt_mass(Q(1.0, "g"), salt), "g")


def _refused(mass, salt, solvent):
    return RangeProblem(f"{solvent} can't hold a stock of {salt} strong enough to bring {printed(mass)}. Take larger flasks, "
                        "a finer balance or another solvent.")  # fmt: skip


def _flask_doubt(size):
    """Return how far a flask of class B may be off, as a share of its volume."""
    try:
        found = row("flasks", f"{size:g} mL")
    except SourceProblem:
        known = ", ".join(entry["name"] for entry in table("flasks"))
        raise RangeProblem(f"There is no flask of {size:g} mL in flasks.csv. It has: {known}.") from None
    return 2 * float(found["value"]) / size


def _mark(volume):
    return f"{volume.m_as('mL'):g} mL"


def _limit(limit, function):
    share = nominal(checked(limit, "[] > 0", "limit", function)).to("dimensionless")
    refuse_array(function, limit=share)
    if not share.magnitude < 0.5:
        raise RangeProblem(f"{function}() takes a limit below 50 %. Type for instance limit='5 %'.")
    return share.magnitude


def _single(function, **quantities):
    refuse_array(function, **quantities)
    return tuple(nominal(value) for value in quantities.values())
