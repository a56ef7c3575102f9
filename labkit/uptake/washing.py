"""Washing: how much of the dissolved salt stays with the powder, how many washes it takes, and how to share out solvent.

Only what is dissolved in the held liquid is reckoned with.  What sits on the powder comes off by its own rules, if at all:
look at the last rinse.
"""

from dataclasses import dataclass

import numpy as np

from labkit.data import guess
from labkit.errors import RangeProblem
from labkit.units import (  # fmt: skip
    Q,
    Range,
    as_range,
    nominal,
    number,
    number_text,
    printed,
    printed_up,
    range_from,
    takes,
    wrapped,
)
from labkit.uptake.liquids import density

MOST_WASHES = 200  # more is no plan
DRIVERS = {
    "held": "held volume",
    "added": "solvent of each wash",
    "mixing": "mixing",
    "loading": "loading",
    "": "",
}  # words for what spreads a number
_FULL = Q(100, "percent")


@takes(wet="[mass] > 0", dry="[mass] > 0")
def held_volume(wet, dry, solvent, temperature="20 °C"):
    r"""Return the volume of liquid that wet powder holds, :math:`(m_{wet} - m_{dry})/\rho`, in mL.

    Parameters
    ----------
    wet, dry : quantity [mass]
        The same powder, without its jar, wet as it is washed and dry.  With ± the result has one too.
    solvent : str
        ``"acetone"``, ``"ethanol"`` or ``"water"``.
    temperature : quantity [thermometer reading]
        Of the liquid, 10 to 40 °C.

    Raises
    ------
    LabError
        If an argument can't be used, or the powder is no heavier wet than dry.

    Notes
    -----
    The liquid counts as pure solvent.  Dissolved salt makes it denser: 10 g/L by about 1 %.

    References
    ----------
    lemmon_2006, schroeder_2014, iapws_95 for the densities.

    Examples
    --------
    >>> print(f"{held_volume('7.4 g', '1.7 g', 'acetone'):.2f~P}")
    7.21 mL
    """
    if np.any(nominal(wet) <= nominal(dry)):
        raise RangeProblem("held_volume() needs a wet mass above the dry one. Type for instance wet='7.4 g', dry='1.7 g'.")  # fmt: skip
    return ((wet - dry) / density(solvent, temperature)).to("mL")


def wash_course(held, portions, mixing=_FULL, partition=1.0):
    r"""Return the share of the dissolved salt that is left after each of several washes, as an array in percent.

    .. math:: f = \prod_i \left(1 - \eta\,\frac{D v_i}{h + D v_i}\right)

    Parameters
    ----------
    held : text or quantity [volume]
        h, liquid that the powder holds after each pouring off; always as much.
    portions : list of texts or quantities [volume], or one with an array
        v, fresh solvent of each wash.
    mixing : number or percentage
        η, how near a wash comes to mixing fully with the held liquid: above 0 to 100 %.
    partition : number
        D, concentration in the fresh liquid over that in the held one when both have had their time: 1 within one
        solvent, another number for two that do not mix, as in extraction.

    Raises
    ------
    LabError
        If an argument can't be used.

    Notes
    -----
    Nothing is taken to come off the powder itself, nor to fall out on it.

    References
    ----------
    Balance of mass; as extraction iupac_extraction.

    Examples
    --------
    >>> print(f"{wash_course('6 mL', ['20 mL', '30 mL', '40 mL']):.3g~P}")
    [23.1 3.85 0.502] %
    """
    held, mixing, partition = _plain(held, mixing, partition, "wash_course")
    if isinstance(portions, (list, tuple)):
        portions = [number(nominal(_volume(portion, "portions", "wash_course")), "mL") for portion in portions]
    else:
        portions = number(nominal(_volume(portions, "portions", "wash_course")), "mL")
    portions = np.atleast_1d(np.asarray(portions, dtype=float))
    return Q(100 * np.cumprod(1 - mixing * partition * portions / (held + partition * portions)), "percent")


def wash_residual(held, added, washes, mixing=_FULL, partition=1.0):
    r"""Return the share of the dissolved salt that is left after equal washes, in percent; a Range if something is one.

    .. math:: f = \left(1 - \eta\,\frac{D v}{h + D v}\right)^n, \qquad \eta = 1,\ D = 1:\ \left(\frac{h}{h + v}\right)^n

    Parameters
    ----------
    held, added : text, quantity or Range [volume]
        Liquid that the powder holds, and fresh solvent of each wash.
    washes : int
        0 to 200.
    mixing : number, percentage or Range
    partition : number
        Both as for ``wash_course``.

    Raises
    ------
    LabError
        If an argument can't be used.

    References
    ----------
    As for ``wash_course``.

    Examples
    --------
    >>> print(f"{wash_residual('6 mL', '30 mL', 3):.3f~P}", "|", wash_residual("4 to 8 mL", "30 mL", 3, "60 to 100 %"))
    0.463 % | 0.16 to 15 %, likely 3.7 %
    """
    spans = _spans(held, added, mixing, "wash_residual")
    count = _count(washes, "wash_residual")
    _plain(spans["held"].likely, spans["mixing"].likely, partition, "wash_residual")
    found = range_from(lambda **given: Q(100 * kept(**_numbers(given), partition=partition) ** count, "percent"), **spans)  # fmt: skip
    return found if found.low != found.high else found.likely


def kept(held, added, mixing=1.0, partition=1.0):
    """Return the share, 0 to 1, that one wash leaves; plain numbers, volumes in one unit.

    >>> kept(1.0, 3.0)
    0.25
    """
    return 1 - mixing * partition * added / (held + partition * added)


def count_for(target, left):
    """Return the fewest washes that bring a share to ``target`` when each leaves ``left``; plain numbers, 0 to 1.

    >>> count_for(0.01, 0.1), count_for(0.0099, 0.1), count_for(1.5, 0.1)
    (2, 3, 0)
    """
    if target >= 1:
        return 0
    # 10 mL + 90 mL twice are exactly 1 %, but not in the last bit.
    return int(np.ceil(np.log(target) / np.log(left) - 1e-9))


@dataclass(frozen=True, eq=False, repr=False)
class WashCount:
    """How many washes reach a target: ``best``, ``likely`` and ``worst`` are whole numbers.

    ``left`` is the Range of what is left after the likely number, ``rinse`` all solvent of the worst case, and
    ``driver`` names what spreads the number most, empty if nothing does.
    """

    target: object
    best: int
    likely: int
    worst: int
    left: Range
    rinse: object
    driver: str = ""

    @property
    def sentence(self):
        """The number in words."""
        goal = printed(self.target, 2, "percent")
        if self.best == self.worst:
            return f"{_washes(self.likely)} leave {_left(self.left)} of the dissolved salt; the target is {goal}."
        return (
            f"{self.best} to {_washes(self.worst)}, likely {self.likely}, bring the dissolved salt down to {goal}; after {self.likely} "
            f"there are {_left(self.left)} left. What spreads it most is the {self.driver}."
        )

    def __str__(self):
        return wrapped(f"{self.sentence} Collect up to {printed_up(self.rinse)} of rinse for disposal.")

    __repr__ = __str__


def washes_needed(target, held, added, mixing=None):
    """Return the WashCount: how many equal washes bring the dissolved salt down to a share of itself.

    Parameters
    ----------
    target : text or quantity []
        Share that may be left, above 0, with its percent sign: ``"1 %"``.
    held, added : text, quantity or Range [volume]
        As for ``wash_residual``.
    mixing : number, percentage or Range, optional
        Left out, the guess of washing.csv.

    Raises
    ------
    LabError
        If an argument can't be used, or it takes more than 200 washes.

    Examples
    --------
    >>> washes_needed("1 %", "4 to 8 mL, likely 6 mL", "30 mL")
    3 to 10 washes, likely 5, bring the dissolved salt down to
    1.0 %; after 5 there are 0.0023 to 8.1 %, likely 0.41 %
    left. What spreads it most is the mixing. Collect up to 300
    mL of rinse for disposal.
    """
    spans = _spans(held, added, guess("washing", "mixing") if mixing is None else mixing, "washes_needed")
    share = as_range(target, "[] > 0", "target")
    if share.low != share.high or share.likely.units == Q(1).units:
        raise RangeProblem("washes_needed() needs one target with its percent sign. Type for instance target='1 %'.")
    goal = number(share.likely, "dimensionless")
    found = range_from(lambda **given: Q(float(count_for(goal, kept(**_numbers(given))))), **spans)
    best, likely, worst = (int(count) for count in found.m_as("dimensionless"))
    refuse_endless(worst, "washes_needed")
    left = as_range(wash_residual(spans["held"], spans["added"], likely, spans["mixing"]), "[]", "left")
    return WashCount(share.likely, best, likely, worst, left, worst * spans["added"].high, DRIVERS[found.driver])


def refuse_endless(washes, function):
    """Raise RangeProblem for more washes than anybody makes.

    >>> refuse_endless(12, "washes_needed")
    """
    if washes > MOST_WASHES:
        raise RangeProblem(f"It would take more than {MOST_WASHES} washes, as each takes away too little. Take more solvent for each, "
                           "let it settle better, or stir it up better.")  # fmt: skip


@dataclass(frozen=True, eq=False, repr=False)
class Split:
    """A volume of solvent shared out over 1, 2, 3 … equal washes.

    ``washes``, ``portions`` and ``left`` (in percent) are arrays; ``gain`` says how many times less one more wash
    leaves; ``limit`` is what endless tiny washes would leave.  All hold for the ``mixing`` given.
    """

    total: object
    held: object
    washes: np.ndarray
    portions: object
    left: object
    gain: np.ndarray
    limit: object
    mixing: object = _FULL

    def rows(self, washes=None):
        """Return rows of text, for all numbers of washes or some: washes, each, left, what one more brings."""
        return [(str(count), printed(portion), printed(left, 2, "percent"), f"{number_text(gain, 2)} times less")
                for count, portion, left, gain in zip(self.washes, self.portions, self.left, self.gain) if washes is None or count in washes]  # fmt: skip

    def __str__(self):
        lines = [f"  {count:>2} × {portion:<8} leave {left:<10} one more: {gain}"
                 for count, portion, left, gain in self.rows()]  # fmt: skip
        limit = (
            f"Endless tiny portions of the same {printed(self.total)} would leave {printed(self.limit, 2, 'percent')}."
        )
        mixed = (
            "if every wash mixes fully, which few do"
            if self.mixing >= _FULL
            else f"at {printed(self.mixing, 2, 'percent')} mixing"
        )
        head = f"{printed(self.total)} of solvent in equal washes of powder that holds {printed(self.held)}, {mixed}:"
        return "\n".join([wrapped(head), *lines,
                          wrapped(limit), wrapped(NOT_SCALED)])  # fmt: skip

    __repr__ = __str__


NOT_SCALED = (
    "Not in these numbers: every wash costs time, spills a little powder, and has to be stirred up; a portion smaller than the held "
    "liquid hardly stirs it (common practice)."
)


def best_split(total, held, washes=8, mixing=_FULL):
    r"""Return the Split of a volume of solvent over 1 to ``washes`` equal washes.

    .. math:: f_n = \left(1 - \eta\,\frac{V/n}{h + V/n}\right)^n \ \to\ e^{-\eta V/h}

    Equal portions leave the least for their number, and more of them always leave less, but the gain fades.

    Parameters
    ----------
    total, held : text or quantity [volume]
    washes : int
        How far to go, 1 to 50.
    mixing : number or percentage

    Raises
    ------
    LabError
        If an argument can't be used.

    Examples
    --------
    >>> found = best_split("90 mL", "6 mL", 3)
    >>> print(f"{found.left:.2g~P}", f"{found.limit:.1e~P}")
    [6.2 1.4 0.46] % 3.1×10⁻⁵ %
    """
    if not 1 <= _count(washes, "best_split") <= 50:
        raise RangeProblem("best_split() goes from 1 to 50 washes. Type for instance washes=8.")
    liquid, share, _ = _plain(held, mixing, 1.0, "best_split")
    volume = number(nominal(_volume(total, "total", "best_split")), "mL")
    counts = np.arange(1, int(washes) + 1)
    left = kept(liquid, volume / counts, share) ** counts
    more = kept(liquid, volume / (counts + 1), share) ** (counts + 1)
    return Split(Q(volume, "mL"), Q(liquid, "mL"), counts, Q(volume / counts, "mL"), Q(100 * left, "percent"), left / more,
                 Q(100 * float(np.exp(-share * volume / liquid)), "percent"), Q(100 * share, "percent"))  # fmt: skip


def _volume(given, name, function):
    return as_range(given, "[volume] > 0", f"‘{name}’ of {function}()").likely if not _is_array(given) else given


def _is_array(given):
    return np.ndim(getattr(given, "magnitude", 0)) > 0


def _spans(held, added, mixing, function):
    spans = {name: as_range(given, "[volume] > 0", f"‘{name}’ of {function}()") for name, given in (("held", held), ("added", added))}  # fmt: skip
    spans["mixing"] = as_range(mixing, "[] > 0", f"‘mixing’ of {function}()")
    if spans["mixing"].high > Q(1 + 1e-9):
        raise RangeProblem(f"{function}() takes a mixing of up to 100 %: a wash cannot do better than mix fully.")
    return spans


def _numbers(given):
    units = {"held": "mL", "added": "mL", "mixing": "dimensionless"}
    return {name: number(value, units[name]) for name, value in given.items()}


def _plain(held, mixing, partition, function):
    spans = _spans(held, held, mixing, function)
    if not np.isfinite(partition) or partition <= 0:
        raise RangeProblem(f"{function}() needs a partition above 0, 1 within one solvent.")
    return number(spans["held"].likely, "mL"), number(spans["mixing"].likely, "dimensionless"), float(partition)


def _count(washes, function):
    if isinstance(washes, bool) or not isinstance(washes, (int, np.integer)) or not 0 <= washes <= MOST_WASHES:
        raise RangeProblem(
            f"{function}() needs a whole number of washes, 0 to {MOST_WASHES}. Type for instance washes=3."
        )
    return int(washes)


def _washes(count):
    return f"{count} wash" + "es" * (count != 1)


def _left(span):
    return str(span) if span.low != span.high else printed(span.likely, 2)
