"""Whether a gas or vapour can light: fire limits, a safety margin, and hydrogen in a headspace.

Of the published ranges the widest counts.  The limits were measured at room temperature and 1 atm,
with gas and air well mixed.  Hotter or compressed gas lights over a wider range, and a mixture
that is too lean as a whole is rich where it comes from.  Nothing here calls a mixture safe.
"""

from dataclasses import dataclass

import numpy as np

from labkit.air.breathing import POISONS, breathing_words, lean_words
from labkit.chemistry.gas import amount_from_gas_volume
from labkit.data import sources, table, value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, chosen
from labkit.units import (
    Note,
    Q,
    checked,
    handy,
    nominal,
    number,
    printed_up,
    refuse_array,
    rounded_down,
    rounded_up,
    takes,
    wrapped,
)

# Shares of the lower limit; common practice: alarms are set at a quarter, hot work needs less than a tenth.  For fire only:
# a tenth of that of acetone is its escape limit already.
LEVELS = {"flammable": 1.0, "margin": 0.25, "work": 0.10}
OXIDISERS = ("air", "oxygen")
MIXTURES = {"hydrogen": 1.0, "hydrogen and oxygen 2:1": 2 / 3}  # share of hydrogen in the volume
LEAN, BURNS, RICH = "too lean", "flammable", "too rich, and flammable as soon as air gets in"
_IN_WORDS = {"closed_at": "temperature it is shut at", "warmed_to": "temperature it warms to", "over": "time it dries in"}  # fmt: skip
_EDGE = 1e-9  # a limit itself counts as flammable, rounding of floats included
_STEP = {"H2": "hydrogen", "NH3": "firing", "CO": "firing", "HCN": "firing", "CS2": "firing"}  # whose cautions belong


@dataclass(frozen=True)
class FlammableRange:
    """Lower and upper fire limit of a substance in air or oxygen, in percent, and who published what."""

    substance: str
    oxidiser: str
    lower: object
    upper: object
    published: tuple
    sources: tuple

    @property
    def margin(self):
        """A quarter of the lower limit: where alarms are set (common practice)."""
        return self.lower * LEVELS["margin"]

    @property
    def work(self):
        """A tenth of the lower limit, for fire only (common practice): what breathing it does is another question."""
        return self.lower * LEVELS["work"]

    def __str__(self):
        return f"{self.substance}: {_ends(self)} in {self.oxidiser} ({'; '.join(self.published)})"


@dataclass(frozen=True, repr=False)
class FireVerdict:
    """Whether a mixture can light: ``level`` (one of ``LEAN``, ``BURNS``, ``RICH``) and a sentence that says why.

    ``low`` and ``high`` enclose the fraction, in percent; ``share_of_lower`` is the high end over
    the lower limit.
    """

    level: str
    low: object
    high: object
    share_of_lower: float
    limits: FlammableRange
    sentence: str
    step: str = "solvent"

    def cautions(self):
        """Return the cautions for the step of the work it belongs to."""
        return cautions(self.step)

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__

    def _repr_html_(self):
        return Note(self.sentence, "care")._repr_html_()


def substances(oxidiser="air"):
    """Return the names of the substances with fire limits; formulas do as well.

    >>> substances("oxygen"), len(substances())
    (['hydrogen'], 9)
    """
    chosen(oxidiser, OXIDISERS, "gas to burn in called")
    return list(dict.fromkeys(row["substance"] for row in table("flammable") if row["oxidiser"] == oxidiser))


def flammable_range(substance, oxidiser="air"):
    """Return the FlammableRange of a substance: the lowest lower and the highest upper limit published.

    Parameters
    ----------
    substance : str
        A name of ``substances()``, or its formula: ``"H2"``.
    oxidiser : str
        ``"air"``, or ``"oxygen"`` (hydrogen only).

    Raises ChoiceProblem if there is no such substance.

    References
    ----------
    iec_60079_20_1_2010, nfpa_497_2008; in oxygen encyclopaedia_oxyhydrogen, openstax_chemistry_9_3.

    Examples
    --------
    >>> print(flammable_range("acetone"))
    acetone: 2.5 to 14.3 % in air (IEC 60079-20-1:2010: 2.5 to 14.3 %; NFPA 497:2008: 2.5 to 12.8 %)
    """
    rows = _rows(substance, oxidiser)
    ends = [(float(row["lower_percent"]), float(row["upper_percent"])) for row in rows]
    published = tuple(f"{row['where']}: {low:g} to {high:g} %" for row, (low, high) in zip(rows, ends))
    return FlammableRange(
        rows[0]["substance"],
        oxidiser,
        Q(min(low for low, _ in ends), "percent"),
        Q(max(high for _, high in ends), "percent"),
        published,
        tuple(sources()[row["source"]]["text"] for row in rows),
    )


def flash_point(substance):
    """Return the lowest published flash point of a liquid, in °C: from there on its open surface can light.

    Raises ChoiceProblem if the substance is a gas, which needs no warming to light, or is not known.

    >>> print(f"{flash_point('ethanol'):~P}")
    12.0 °C
    """
    liquids = [row["substance"] for row in table("flammable") if row["flash_degC"]]
    rows = _rows(substance, "air")
    chosen(rows[0]["substance"], dict.fromkeys(liquids), "flash point of a gas, such as")
    return Q(min(float(row["flash_degC"]) for row in rows), "degC")


def autoignition(substance):
    """Return the lowest published temperature at which a substance lights in air without a flame, in °C.

    Measured in small glass flasks; large hot surfaces may do it from lower temperatures.

    Raises ChoiceProblem if the substance is not known.

    >>> print(f"{autoignition('acetone'):~P}, {autoignition('CS2'):~P}")
    465.0 °C, 90.0 °C
    """
    return Q(min(float(row["autoignition_degC"]) for row in _rows(substance, "air")), "degC")


def level_fraction(substance, level="flammable", oxidiser="air"):
    """Return the fraction that a level stands for, in percent.

    ``level`` is ``"flammable"`` (the lower limit), ``"margin"`` (a quarter of it), ``"work"`` (a
    tenth; all three for fire only), or a fraction: ``"250 ppm"``.  Raises LabError if the substance is not known, or the
    level is no fraction from more than 0 to 100 %.

    >>> print(f"{level_fraction('H2', 'margin'):~P}")
    1.0 %
    """
    limits = flammable_range(substance, oxidiser)
    if isinstance(level, str) and level in LEVELS:
        return limits.lower * LEVELS[level]
    fraction = checked(level, "[] > 0", "level", "level_fraction").to("percent")
    refuse_spread("level_fraction", level=fraction)
    if fraction.magnitude > 100:
        raise RangeProblem(f"A level is a share of the air, at most 100 %, but this one is {fraction.magnitude:.3g} %. "
                           "Type for instance level='margin' or level='250 ppm'.")  # fmt: skip
    return fraction


@takes(fraction="[] >= 0")
def flammability(substance, fraction, oxidiser="air"):
    """Return the FireVerdict on a fraction of a gas or vapour in air or oxygen.

    Parameters
    ----------
    substance, oxidiser : str
        As for ``flammable_range``.
    fraction : quantity []
        Share of the volume, 0 to 100 %, at about room temperature and 1 atm.

    Raises LabError if the substance is not known, or the fraction is no single share of 0 to 100 %.

    Examples
    --------
    >>> for fraction in ("1 %", "6 %", "25 %"):
    ...     print(flammability("ethanol", fraction).level)
    too lean
    flammable
    too rich, and flammable as soon as air gets in
    """
    refuse_spread("flammability", fraction=fraction)
    share = number(fraction, "percent")
    if share > 100 * (1 + _EDGE):
        raise RangeProblem(
            f"A fraction is at most 100 %, but this one is {share:.3g} %. Type for instance fraction='2.5 %'."
        )
    return verdict_between(flammable_range(substance, oxidiser), share, share)


def verdict_between(limits, low, high):
    """Return the FireVerdict when the fraction, in percent, lies somewhere from ``low`` to ``high``.

    Too lean only if the high end is, too rich only if the low end is.  Of a gas that kills first its
    escape or ceiling limit comes first (``labkit.air.breathing``), at the high end.
    """
    lower, upper = number(limits.lower, "percent"), number(limits.upper, "percent")
    shown = _shown(high)
    if high > low * (1 + 1e-6) and _shown(low) != shown:
        shown = f"{rounded_down(low, 2)} to {rounded_up(high, 2)} %"
    shown = f"{shown} of {limits.substance} in {limits.oxidiser}"
    where = " In a room: out at once. In a vessel: thin it out of doors."
    if limits.substance in POISONS:
        shown, where = f"{shown} is {breathing_words(limits.substance, high)}. For fire: it", ""
    share = high / lower
    if high < lower * (1 - _EDGE):
        level, over = LEAN, (share >= LEVELS["margin"], share >= LEVELS["work"])
        sentence = (f"{shown} is {_part(100 * share)} % of the lower limit, {lower:g} %: too lean as an average. "
                    f"Near where it comes from it is richer and may burn. {lean_words(limits.substance, high, *over)}".rstrip())  # fmt: skip
    elif low <= upper * (1 + _EDGE):
        level = BURNS
        sentence = (f"{shown} lies within the limits, {_ends(limits)}: flammable. No flame, no spark, no hot surface."
                    f"{where}")  # fmt: skip
    else:
        level = RICH
        sentence = (f"{shown} is above the upper limit, {upper:g} %: too rich, and flammable as soon as air gets in, "
                    f"so treat it as flammable. At every opening and open surface there is a layer that burns.{where}")  # fmt: skip
    formula = _rows(limits.substance, limits.oxidiser)[0]["formula"]
    return FireVerdict(level, Q(low, "percent"), Q(high, "percent"), share, limits, sentence,
                       _STEP.get(formula, "solvent"))  # fmt: skip


@takes(hydrogen_volume="[volume] >= 0", headspace_volume="[volume] > 0")
def headspace_fraction(hydrogen_volume, headspace_volume, vessel="closed"):
    """Return the fraction of hydrogen after it has mixed with the air of a headspace, in percent.

    Parameters
    ----------
    hydrogen_volume : quantity [volume]
        Let into the headspace, at the same temperature and pressure as the air was.
    headspace_volume : quantity [volume]
        Of air that was there before.
    vessel : str
        ``"closed"``: all air stays, as in a bag, a syringe or a shut flask: h/(h + V).
        ``"vented"``: mixed gas is pushed out as hydrogen comes: 1 - exp(-h/V).

    Well mixed; hydrogen rises, so the top of a headspace holds more than this.  Raises LabError if
    a volume can't be used, is no single value or carries a ±, or there is no such vessel.

    Examples
    --------
    >>> print(f"{headspace_fraction('5 mL', '95 mL'):.2f~P}")
    5.00 %
    """
    chosen(vessel, ("closed", "vented"), "vessel called")
    refuse_spread("headspace_fraction", hydrogen_volume=hydrogen_volume, headspace_volume=headspace_volume)
    ratio = number(hydrogen_volume, "L") / number(headspace_volume, "L")
    return Q(100 * (ratio / (1 + ratio) if vessel == "closed" else -np.expm1(-ratio)), "percent")


@takes(hydrogen_volume="[volume] >= 0", headspace_volume="[volume] > 0")
def headspace_verdict(hydrogen_volume, headspace_volume, oxidiser="oxygen"):
    """Return the FireVerdict on a headspace that hydrogen has come into, however it is vented.

    The high end of the fraction is h/V, which no way of mixing surpasses as an average; the low
    end is that of a closed vessel.

    Volumes and errors as for ``headspace_fraction``; one of each.  The oxidiser ``"oxygen"`` is the
    safe side, since split water gives oxygen too; ``"air"`` if there is nothing else.

    >>> headspace_verdict("5 mL", "80 mL").level
    'flammable'
    """
    refuse_spread("headspace_verdict", hydrogen_volume=hydrogen_volume, headspace_volume=headspace_volume)
    low = number(headspace_fraction(hydrogen_volume, headspace_volume), "percent")
    high = min(100.0, 100 * number(hydrogen_volume, "L") / number(headspace_volume, "L"))
    return verdict_between(flammable_range("H2", oxidiser), low, max(low, high))


@takes(headspace_volume="[volume] > 0")
def stop_collecting(headspace_volume, substance="H2"):
    """Return the volume of gas at which a headspace reaches a quarter of the lower limit, rounded down.

    ``headspace_volume`` is the air at the start, one value; ``substance`` a name or formula.  The
    share is of that air alone, so it holds for closed and vented vessels.  Two figures, never
    rounded up.  Raises LabError if the volume can't be used or the substance is not known.

    Examples
    --------
    Over a bottle with 740 mL of air (invented):

    >>> print(f"{stop_collecting('740 mL'):~P}")
    7.4 mL
    """
    refuse_spread("stop_collecting", headspace_volume=headspace_volume)
    most = handy(headspace_volume.to("L") * number(flammable_range(substance).margin, "dimensionless"))
    return Q(float(rounded_down(most.magnitude, 2)), most.units)


@takes(gas_volume="[volume] >= 0")
def air_to_thin(gas_volume, level="flammable", substance="H2"):
    """Return the volume of air that thins a gas to a level, in L: gas over fraction, the gas not taken off.

    Parameters
    ----------
    gas_volume : quantity [volume]
        At the temperature and pressure of the air.
    level : str or quantity []
        As for ``level_fraction``: for hydrogen 4, 1 and 0.4 %.
    substance : str
        A name or formula of ``substances()``.

    Only as good as the mixing.  Print it with ``printed_up``.  Raises what ``level_fraction`` does.

    Examples
    --------
    >>> print(*(printed_up(air_to_thin("80 mL", level)) for level in ("flammable", "margin", "work")))
    2.0 L 8.0 L 20 L
    """
    return (gas_volume / number(level_fraction(substance, level), "dimensionless")).to("L")


@takes(volume="[volume] >= 0", temperature="[temperature]", pressure="[pressure] > 0")
def energy_in_gas(volume, temperature="25 °C", pressure="1 atm", mixture="hydrogen"):
    """Return the heat set free when hydrogen burns to liquid water (its higher heating value), in J.

    Parameters
    ----------
    volume : quantity [volume]
        Of dry gas at the stated temperature and pressure.
    mixture : str
        ``"hydrogen"``, or ``"hydrogen and oxygen 2:1"``, of which two thirds are hydrogen.

    Heat of burning from hydrogen.csv.  Raises LabError if an argument can't be used or there is no
    such mixture.

    Examples
    --------
    >>> print(printed_up(energy_in_gas("60 mL", mixture="hydrogen and oxygen 2:1")))
    470 J
    """
    chosen(mixture, MIXTURES, "mixture called")
    amount = amount_from_gas_volume(volume, temperature, pressure) * MIXTURES[mixture]
    return (amount * value("hydrogen", "heat of burning")).to("J")


def refuse_spread(function, **arguments):
    """Raise RangeProblem if an argument is an array or carries a ±, which a verdict could not look at."""
    refuse_array(function, **arguments)
    for name, given in arguments.items():
        if nominal(given) is not given:
            words = _IN_WORDS.get(name, name.replace("_", " "))
            raise RangeProblem(f"The {words} has to be one plain value, without ±. Type the worst value, or try both ends.")  # fmt: skip


def _rows(substance, oxidiser):
    rows = [
        row for row in table("flammable") if row["oxidiser"] == chosen(oxidiser, OXIDISERS, "gas to burn in called")
    ]
    names = [name for row in rows for name in (row["substance"], row["formula"])]
    if substance not in names:
        chosen(substance, substances(oxidiser), f"substance with fire limits in {oxidiser} called")
    return [row for row in rows if substance in (row["substance"], row["formula"])]


def _ends(limits):
    return f"{limits.lower.magnitude:g} to {limits.upper.magnitude:g} %"


def _shown(percent):
    if 0 < percent < 1e-5:
        return "less than 0.1 ppm"
    return printed_up(Q(percent, "percent") if percent >= 0.1 or not percent else Q(percent * 1e4, "ppm"))


def _part(percent):
    return "less than 0.1" if 0 < percent < 0.1 else rounded_up(percent, 2)
