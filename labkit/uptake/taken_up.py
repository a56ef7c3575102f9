"""What the powder took up, by difference: metal in the liquid before, less metal in the liquid afterwards."""

from dataclasses import dataclass

import numpy as np

from labkit.air import liquid_density, solvents
from labkit.errors import RangeProblem, chosen
from labkit.solutions import loading_ceiling, metal_word
from labkit.units import (  # fmt: skip
    DRAWS,
    Q,
    Range,
    budget,
    coverage_factor,
    nominal,
    number,
    printed,
    printed_up,
    rounded,
    takes,
    wrapped,
)
from labkit.units.budget import Budget, printed_ends
from labkit.units.spread import Uncertain
from labkit.uptake.typed import (
    IMPOSSIBLE,
    NOT_SEEN,
    OF,
    ROUGH,
    SEEN,
    interval,
    line_correlation,
    metal_per_millilitre,
    middle_of,
    seen_level,
    typed_concentration,
    typed_value,
)

ABOVE = "above the ceiling"
NO_PROOF = (
    "A difference counts all that left the liquid, oxide or hydroxide of the metal that fell out on powder or glass too. "
    "It does not prove doping."
)
_CONCENTRATIONS = ("concentration_before", "concentration_after")


@dataclass(frozen=True, eq=False, repr=False)
class TakenUp:
    """What a powder took up, by difference.

    ``uptake`` (mg of metal per gram of powder), ``loading`` (real loading, metal over metal and powder) and ``share``
    (of the metal offered) are Ranges: the value, and the ends that hold it in 95 of 100 cases; ends below zero are
    kept, because they are what the readings say.  ``level`` is one of "seen", "seen, but roughly", "not seen",
    "impossible" and "above the ceiling"; ``at_most`` is the uptake that may hide in the doubt where it is not seen,
    else None.  ``mass`` is of metal taken up, ``offered`` that in the liquid at the start, ``powder_mass`` that of the dry powder; ``budget`` is that of the uptake.
    """

    salt: str
    uptake: Range
    loading: Range
    share: Range
    mass: object
    offered: object
    powder_mass: object
    level: str
    budget: Budget
    at_most: object = None
    notes: tuple = ()

    @property
    def metal(self):
        """The metal in words."""
        return metal_word(self.salt)

    @property
    def sentence(self):
        """The result in words."""
        ends, driver = f"{_spread(self.uptake)} for 95 %", self.budget.driver
        share = f"{rounded(number(self.share.likely, 'percent'), 2)} % of what was offered"
        if self.level == IMPOSSIBLE:
            return (
                f"Impossible: afterwards the liquid holds more {self.metal} than was put in, {ends}. Solvent was lost, "
                "samples or dilutions were mixed up, or the standards do not fit."
            )
        if self.level == NOT_SEEN:
            most = number(self.at_most, "mg/g") / 1000
            return (
                f"Not seen: the difference of {printed(self.uptake.likely, 2, 'mg/g')} is lost in its doubt ({ends}). "
                f"The powder took up at most {printed_up(self.at_most.to('mg/g'))} of {self.metal}, a loading of at most "
                f"{printed_up(Q(100 * most / (1 + most), 'percent'))}. Most of the doubt comes from the {driver}."
            )
        rough = " Only the order of magnitude is known." if self.level == ROUGH else ""
        if self.level == ABOVE:
            ceiling = printed(loading_ceiling(self.salt), 3, "percent")
            rough = f" That is above one metal for each heptazine, {ceiling}: a second solid or hydrolysis, not doping."
        return (
            f"The powder took up {printed(self.uptake.likely, 3, 'mg/g')} of {self.metal}, {ends}: a real loading of "
            f"{_spread(self.loading, 'percent')} and {share}.{rough} Most of the doubt comes from the {driver}."
        )

    def __str__(self):
        width = max(len(name) for name, *_ in self.budget.rows())
        rows = [f"  {name:<{width}}  {size:>10}  {part:>5}" for name, _, size, part in self.budget.rows()]
        return "\n".join([wrapped(self.sentence), *rows, *map(wrapped, self.notes)])

    __repr__ = __str__


def taken_up(before, after, volume, powder_mass, *, salt, of="metal", volume_after=None, solvent_lost=None, solvent=None,
             temperature="20 °C", correlation=0.0, line=None, count=DRAWS, seed=1):  # fmt: skip
    r"""Return the TakenUp: metal that left the liquid while the powder was in it.

    .. math:: q = \frac{c_0 V_0 - c_1 V_1}{m}, \qquad w = \frac{q}{1 + q}

    Parameters
    ----------
    before, after : text, quantity, Uncertain, Range, or a result with ``value`` and ``uncertainty``
        Concentrations of the clear liquid, with ±: ``"612 ± 6 mg/L"`` or ``"11.0 ± 0.1 mmol/L"``.  At least one of
        them has to be uncertain: a difference says nothing without its doubt.
    volume : text or quantity [volume], with or without ±
        Of the liquid at the start.
    powder_mass : text or quantity [mass], with or without ±
        Dry powder before doping.
    salt : str
        Formula; a mass concentration of salt is of this formula, crystal water included.
    of : str
        ``"metal"`` or ``"salt"``: what a mass concentration is the mass of.  Molar ones count the salt's formula units.
    volume_after : text or quantity [volume], optional
        Of all liquid at the end, what the powder holds included.
    solvent_lost : text or quantity [mass], optional
        What closed jar and stirrer lost on the balance; better than a second volume.  Needs ``solvent``.
    solvent : str, optional
        ``"acetone"`` or ``"ethanol"``, at ``temperature``.
    correlation : number, -1 to 1
        Of the two concentrations; above zero if both were read from one calibration line.
    line : Calibration, optional
        That both concentrations were read from, if they are its own results: it knows their correlation, and the interval
        is then Student's with the freedom of the line.
    count, seed : int
        Of the random draws, as in ``labkit.units.budget``.

    Raises
    ------
    LabError
        If an argument can't be used; says what to type.

    Notes
    -----
    Everything that leaves the liquid counts: ``NO_PROOF``.  Metal dissolved in the liquid that wet powder holds has
    not left it; washing and ``metal_account`` deal with that.  Volumes of solution and of solvent are taken as alike.

    References
    ----------
    Definitions; doubt by jcgm_100_2008 and jcgm_101_2008; ceiling from atomic weights iupac_2021.

    Examples
    --------
    >>> found = taken_up("612 ± 6 mg/L", "488 ± 5 mg/L", "75 mL", "1.8 g", salt="FeCl3", solvent_lost="0.6 g", solvent="acetone")
    >>> print(found.level, "|", found.uptake)
    seen | 4.7 to 6.0 mg/g, likely 5.4 mg/g
    """
    chosen(of, OF, "choice of what the concentration is of:")
    if line is not None:
        correlation, count = line_correlation(line, before, after, "taken_up"), 0
    inputs = {
        "concentration_before": typed_concentration(before, "before", "taken_up"),
        "concentration_after": typed_concentration(after, "after", "taken_up"),
        "volume": typed_value(volume, "[volume] > 0", "volume", "taken_up"),
        "powder_mass": typed_value(powder_mass, "[mass] > 0", "powder_mass", "taken_up"),
    }
    if not any(isinstance(inputs[name], Uncertain) for name in _CONCENTRATIONS):
        raise RangeProblem("taken_up() needs the doubt of the concentrations: a difference says nothing without it. Type for instance "
                           "before='612 ± 6 mg/L'.")  # fmt: skip
    kind = metal_per_millilitre(nominal(middle_of(inputs["concentration_before"])), salt, of)
    other = metal_per_millilitre(nominal(middle_of(inputs["concentration_after"])), salt, of)
    notes = [NO_PROOF]
    if volume_after is not None and solvent_lost is not None:
        raise RangeProblem("taken_up() takes volume_after or solvent_lost, not both. Leave one out.")
    if volume_after is not None:
        inputs["volume_after"] = typed_value(volume_after, "[volume] > 0", "volume_after", "taken_up")
        if nominal(middle_of(inputs["volume_after"])) > nominal(middle_of(inputs["volume"])):
            notes.append("There is more liquid afterwards than before: that counts only if fresh solvent was added.")
    density = 1.0
    if solvent_lost is not None:
        inputs["solvent_lost"] = typed_value(solvent_lost, "[mass] >= 0", "solvent_lost", "taken_up")
        density = number(liquid_density(chosen(solvent, solvents(), "solvent called"), temperature), "g/mL")

    def gone(concentration_before, concentration_after, volume, volume_after=None, solvent_lost=None, **rest):
        """Return offered and left metal as plain numbers in mg; single or arrays."""
        start = number(volume, "mL")
        end = start if volume_after is None else number(volume_after, "mL")
        end = end if solvent_lost is None else start - number(solvent_lost, "g") / density
        return kind(concentration_before) * start, other(concentration_after) * end

    def uptake(powder_mass, **given):
        offered, left = gone(**given)
        return Q((offered - left) / number(powder_mass, "g"), "mg/g")

    def share(powder_mass, **given):
        offered, left = gone(**given)
        return Q(100 * (1 - left / offered), "percent")

    middles = {name: nominal(middle_of(value)) for name, value in inputs.items()}
    offered, left = gone(**middles)
    if not offered > 0:
        raise RangeProblem("taken_up() needs metal in the liquid before: type for instance before='612 ± 6 mg/L'.")
    if solvent_lost is not None and number(middles["solvent_lost"], "g") / density >= number(middles["volume"], "mL"):
        raise RangeProblem("taken_up() got more solvent lost than there was. Type for instance solvent_lost='0.6 g'.")
    correlations = None
    if correlation:
        if not all(isinstance(inputs[name], Uncertain) for name in _CONCENTRATIONS):
            raise RangeProblem("taken_up() needs a ± on both concentrations where they are correlated.")
        correlations = {_CONCENTRATIONS: float(correlation)}
    found = budget(uptake, correlations=correlations, count=count, seed=seed, **inputs)
    part = budget(share, correlations=correlations, count=count, seed=seed, **inputs)
    span = interval(found)
    low, likely, high = span.m_as("mg/g")
    loading = Range(*(Q(100 * q / (1 + q), "percent") for q in np.maximum(np.array([low, likely, high]) / 1000, -0.9).tolist()))  # fmt: skip
    level, ceiling = seen_level(low, likely, high), number(loading_ceiling(salt), "percent")
    if level in (SEEN, ROUGH) and number(loading.low, "percent") <= ceiling < number(loading.high, "percent"):
        notes.append(f"The interval reaches above one metal for each heptazine, {printed(loading_ceiling(salt), 3, 'percent')}: part of it is a second solid or "
                     "hydrolysis, if not all.")  # fmt: skip
    if level in (SEEN, ROUGH) and number(loading.low, "percent") > ceiling:
        level = ABOVE
    most = Q(at_most((low, likely, high)), "mg/g") if level == NOT_SEEN else None
    if volume_after is None and solvent_lost is None:
        hidden = left * 0.01 / number(middles["powder_mass"], "g")
        if hidden > 0.01 * abs(likely):
            notes.append(f"No loss of solvent was told. Each 1 % that evaporates makes the liquid afterwards stronger and hides {printed_up(Q(hidden, 'mg/g'))} "
                         "of uptake: weigh the closed jar before and after.")  # fmt: skip
    if level in (SEEN, ROUGH, ABOVE) and number(interval(part).high, "percent") >= 100:
        notes.append("Within the doubt, all that was offered was taken up.")
    return TakenUp(salt, span, loading, interval(part), Q(offered - left, "mg"), Q(offered, "mg"), middles["powder_mass"], level, found, most, tuple(notes))  # fmt: skip


@takes(volume="[volume] > 0", powder_mass="[mass] > 0", doubt="[] > 0")
def smallest_uptake_seen(concentration, volume, powder_mass, doubt="1 %", *, salt, of="metal", correlation=0.0):
    r"""Return the smallest uptake that a difference can show, in mg/g: less is lost in the doubt.

    .. math:: q = 1.96\,\sqrt{2 (1 - r)}\,\frac{u\,c\,V}{m}

    Parameters
    ----------
    concentration : text or quantity [mass concentration] or [concentration]
        Before; that afterwards is about the same, which is just where a difference is weak.
    doubt : number or percentage
        Standard uncertainty of each concentration, as a share of it.
    correlation : number
        Of both, -1 to below 1.

    Examples
    --------
    An excess of salt hides what a powder takes up (invented):

    >>> print(f"{smallest_uptake_seen('4 g/L', '60 mL', '1.2 g', '1 %', salt='FeCl3'):.1f~P}")
    5.5 mg/g
    """
    if not -1 <= correlation < 1:
        raise RangeProblem("smallest_uptake_seen() needs a correlation from -1 to below 1.")
    given = nominal(middle_of(typed_concentration(concentration, "concentration", "smallest_uptake_seen")))
    metal = metal_per_millilitre(given, salt, chosen(of, OF, "choice of what the concentration is of:"))(given)
    factor = coverage_factor(0.95) * np.sqrt(2 * (1 - correlation)) * number(doubt, "dimensionless")
    return Q(factor * metal * number(volume, "mL") / number(powder_mass, "g"), "mg/g")


def at_most(ends):
    """Return what may hide in the doubt of a difference that is not seen, from (low, likely, high): plain numbers.

    >>> at_most((-5, -3, -1)), at_most((-1, 2, 5))
    (2.0, 5.0)
    """
    low, likely, high = ends
    return float(max(likely, 0.0) + max(high - likely, likely - low))


def _spread(span, unit="mg/g"):
    """Return ``4.7 to 6.0 mg/g`` of the ends of a Range."""
    low, high = printed_ends((span.low.to(unit), span.high.to(unit)))
    return f"{low} to {high}"
