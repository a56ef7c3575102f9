"""Drying to constant mass: when the balance sees no more loss, how much vapour went into the room, and what is still held."""

from dataclasses import dataclass
from math import floor, log10

import numpy as np

from labkit.air import drying, solvents
from labkit.errors import RangeProblem, chosen
from labkit.units import Q, Range, checked, nominal, number, printed, printed_up, takes, wrapped
from labkit.units.budget import printed_ends
from labkit.uptake.readings import TIME, Column, Readings, read_columns, readings_of

DRY, LOSING, GAINING, SOON = "dry to the balance", "still losing", "gaining", "cannot tell"
APART = Q(30.0, "min")  # between the two weighings that are compared (common practice)
MASS = Column("mass", "[mass] > 0", "g", "m mass weight weighed balance")
SLOW = Q(
    2.0, "percent"
)  # of the powder in an hour: a balance that cannot rule out a faster loss cannot tell (our choice)
MUCH = Q(10.0, "percent")  # more than that beyond the powder before doping is not called dry (our choice)
_EDGE = 2 * (
    1 - 0.05**0.5
)  # two errors, each evenly within one step: their difference is within this many steps in 95 of 100


@dataclass(frozen=True, eq=False, repr=False)
class DryingReport:
    """What a series of weighings of drying powder says.

    ``level`` is "dry to the balance", "still losing", "gaining" or "cannot tell".  ``rate`` is the Range for 95 % of the
    loss per hour between the last weighing and the one it is compared with, ``between`` the time between them.  ``mass``
    is the last one without the vessel, ``given_off`` the vapour so far, and ``most_given_off`` that at most, for the room.
    ``still_held`` is what the powder holds beyond its own mass, if that was told, else None.  ``why`` says in words why it
    cannot tell, else it is empty.  ``weighed`` is the mass to the last figure that the balance shows.
    """

    level: str
    rate: Range | None
    between: object
    mass: object
    given_off: object
    most_given_off: object
    share: object
    solvent: str
    still_held: object = None
    notes: tuple = ()
    why: str = ""
    weighed: str = ""

    @property
    def sentence(self):
        """The verdict in words."""
        so_far = f"So far {printed_up(self.most_given_off)} of {self.solvent} went into the air."
        if self.level == SOON:
            return f"Cannot tell: {self.why}. {so_far}"
        low, high = printed_ends((self.rate.low, self.rate.high))
        over = f"over the last {printed(self.between, 2)}"
        told = f"{low} to {high} lost {over}"
        if self.level == DRY:
            return f"Dry as far as the balance can tell: {told}, which may be nothing. The powder weighs {self.weighed}. {so_far}"
        if self.level == GAINING:
            low, high = printed_ends((-self.rate.high, -self.rate.low))
            return f"Gaining {low} to {high} {over}: it takes up water from the air, or the balance drifts. This is no dry mass. {so_far}"
        return f"Not dry yet: {told}. The dry powder weighs less than {self.weighed}. {so_far}"

    def air(self, airflow, over="1 h", temperature="20 °C"):
        """Return ``labkit.air.drying`` of all vapour given off so far: what air it takes."""
        return drying(self.solvent, self.most_given_off, airflow, over=over, temperature=temperature)

    def __str__(self):
        return "\n".join(wrapped(line) for line in (self.sentence, *self.notes))

    __repr__ = __str__


def read_weighings(source):
    """Return the Readings of a table of times and masses: ``"time"`` in min and ``"mass"`` in g.

    Parameters
    ----------
    source : path, bytes or str
        Rows such as ``0;8.42`` under a heading such as ``min;g``, as for ``read_columns``.

    Examples
    --------
    >>> read_weighings("min;g\\n0;8.42\\n60;5.11")["mass"].tolist()
    [8.42, 5.11]
    """
    return read_columns(source, (TIME, MASS), function="read_weighings", part="the drying")


@takes(balance="[mass] > 0", vessel="[mass] >= 0", apart="[time] > 0")
def drying_report(time, mass=None, *, solvent, balance="10 mg", vessel="0 g", powder_mass=None, apart=APART):
    """Return the DryingReport of weighings at several times.

    Parameters
    ----------
    time : quantity [time] with an array, or Readings of ``read_weighings``
        From any start, rising.
    mass : quantity [mass] with an array
        Of powder, and of the vessel if it was weighed with it; left out with Readings.
    solvent : str
        ``"acetone"`` or ``"ethanol"``.
    balance : quantity [mass]
        One step of the balance.  A weighing counts as good to one whole step either way, all alike (common practice).
    vessel : quantity [mass]
        Weighed empty.
    powder_mass : quantity [mass], optional
        Dry powder before doping, for what may still be held.
    apart : quantity [time]
        The last weighing is compared with the latest one that lies at least this much earlier.  It is only called dry if no
        more than 2 % of the powder may be leaving in an hour, and no more than 10 % lie beyond ``powder_mass`` (our choice).

    Raises
    ------
    LabError
        If an argument can't be used, or there are fewer than two weighings.

    Notes
    -----
    Constant mass says that nothing more leaves at this temperature that the balance can see.  A crust or a cold room
    slow drying down, and salt that draws water gains while solvent leaves.

    Examples
    --------
    >>> drying_report(Q([0, 60, 120, 180], "min"), Q([8.42, 3.05, 1.91, 1.90], "g"), solvent="acetone").level
    'dry to the balance'
    """
    chosen(solvent, solvents(), "solvent called")
    found = time if isinstance(time, Readings) else readings_of(function="drying_report", time=(time, TIME), mass=(mass, MASS))  # fmt: skip
    minutes, grams = found["time"], found["mass"] - number(nominal(vessel), "g")
    if minutes.size < 2 or not (np.diff(minutes) > 0).all():
        raise RangeProblem("drying_report() needs two weighings or more, at times that rise.")
    if grams.min() <= 0:
        raise RangeProblem("drying_report() finds no powder: the vessel weighs as much as vessel and powder together.")
    half = _EDGE * number(nominal(balance), "g")
    weighed = _as_weighed(grams[-1], number(nominal(balance), "g"))
    gap = number(nominal(apart), "min")
    before = np.flatnonzero(minutes <= minutes[-1] - gap + 1e-9)
    rate, level, between = None, SOON, None
    if before.size:
        place = before[-1]
        hours, loss = (minutes[-1] - minutes[place]) / 60, grams[place] - grams[-1]
        rate = Range(*(Q(float(1000 * part / hours), "mg/h") for part in (loss - half, loss, loss + half)))
        level = DRY if abs(loss) <= half + 1e-12 else LOSING if loss > 0 else GAINING
        between = Q(float(hours), "h")
    why = f"no two weighings are {printed(nominal(apart), 2)} or more apart" if rate is None else ""
    given_off = max(float(grams[0] - grams.min()), 0.0)
    notes = list(found.notes)
    held = None
    if powder_mass is not None:
        own = number(nominal(checked(powder_mass, "[mass] > 0", "powder_mass", "drying_report")), "g")
        held = Q(float(grams[-1]) - own, "g")
        if grams[-1] - own > half:
            notes.append(f"Beyond its {printed(Q(own, 'g'))} before doping the powder holds {printed_up(held)}: solvent, salt or metal, and more if powder "
                         "was lost on the way.")  # fmt: skip
        elif own - grams[-1] > half:
            notes.append(f"{printed_up(-held)} of powder are missing from the {printed(Q(own, 'g'))} before doping: lost in washing and pouring off.")  # fmt: skip
        if level == DRY and grams[-1] - own > number(MUCH, "dimensionless") * own:
            level = SOON
            why = (f"the mass stays the same, but {printed_up(held)} lie beyond the {printed(Q(own, 'g'))} before doping: a crust, a lid or cold may "
                   "hold solvent back")  # fmt: skip
    if level == DRY and number(rate.high, "g/h") > number(SLOW, "dimensionless") * grams[-1]:
        level = SOON
        why = (f"up to {printed_up(rate.high)} may still be leaving {weighed}. Take a finer balance, or weigh farther "
               "apart")  # fmt: skip
    if level == DRY and given_off <= half:
        notes.append("No loss was seen at all: only powder that lay open in moving air can tell.")
    if level in (LOSING, SOON):
        notes.append("More vapour is to come: keep the air moving, and nothing near that can light it.")
    if level == DRY:
        notes.append("Constant mass is not proof that nothing is held: what sits fast, or under a crust, leaves too slowly for the balance.")  # fmt: skip
    return DryingReport(level, rate, between, Q(float(grams[-1]), "g"), Q(given_off, "g"), Q(given_off + half, "g"),
                        Q(100 * given_off / float(grams[0]), "percent"), solvent, held, tuple(notes), why, weighed)  # fmt: skip


def _as_weighed(grams, step):
    """Return a mass in g as a balance of that step, in g, shows it.

    >>> _as_weighed(0.61, 0.01), _as_weighed(12.3, 0.5), _as_weighed(1240.0, 10.0)
    ('0.61 g', '12.3 g', '1240 g')
    """
    return f"{grams:.{max(0, -floor(log10(step)))}f} g"


@takes(damp="[mass] > 0", dry="[mass] > 0")
def solvent_left(damp, dry):
    """Return how much of a damp powder is solvent, in percent of its mass.

    Parameters
    ----------
    damp, dry : quantity [mass]
        The same powder, as it is and dried to constant mass; with ± the result has one too.

    Raises
    ------
    RangeProblem
        If it is lighter damp than dry.

    Examples
    --------
    >>> print(f"{solvent_left('2.15 g', '1.72 g'):.1f~P}")
    20.0 %
    """
    if np.any(nominal(damp) < nominal(dry)):
        raise RangeProblem("solvent_left() needs a damp powder that is no lighter than the dry one. Type for instance "
                           "damp='2.15 g', dry='1.72 g'.")  # fmt: skip
    return ((damp - dry) / damp).to("percent")
