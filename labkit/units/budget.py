"""Where the doubt in a result comes from, by two ways: sensitivities, and random draws through the whole sum."""

from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np

from labkit.errors import RangeProblem
from labkit.units.conversion import converted
from labkit.units.draws import DRAWS
from labkit.units.lines import wrapped
from labkit.units.propagation import Model, correlation_matrix, coverage_factor, drawn_results, effective_freedom
from labkit.units.reader import read
from labkit.units.registry import Q, is_quantity
from labkit.units.rounding import handy, number_text, printed, unit_text
from labkit.units.spread import Uncertain, change_unit, uncertain

BENDS = 0.05  # our choice: second-order terms that change the uncertainty by less are not worth a word
_FLAT = ("rectangular", "arcsine")


@dataclass(frozen=True)
class Part:
    """What one input brings: its Uncertain ``value``, the plain ``sensitivity`` of the result to it in the units of
    both, the ``contribution`` to the standard uncertainty, and its ``share`` of the variance (0 to 1)."""

    name: str
    value: Uncertain
    sensitivity: float
    contribution: object
    share: float


@dataclass(frozen=True, eq=False, repr=False)
class Budget:
    """A result with its uncertainty, by sensitivities and by draws.

    ``value`` ± ``uncertainty`` (standard); ``parts``, widest first; ``dof`` (effective degrees of freedom);
    ``factor`` and ``expanded`` for the share ``coverage``; ``second_order``: the standard uncertainty with the
    second-order terms, None where they cannot be had.  By draws: ``mean``, ``spread`` (their standard
    deviation), ``symmetric`` and ``shortest`` intervals (low, high), ``draws`` themselves as plain numbers in the
    unit of ``value``; None without draws.  ``agree``
    says whether both ways give the same interval, ``why`` what can make them differ.
    """

    value: object
    uncertainty: object
    parts: tuple
    dof: float
    coverage: float
    factor: float
    expanded: object
    second_order: object
    mean: object = None
    spread: object = None
    symmetric: tuple = ()
    shortest: tuple = ()
    agree: bool | None = None
    why: str = ""
    draws: object = None
    correlations: dict = field(default_factory=dict)

    @property
    def driver(self):
        """Name of the input that brings most of the doubt."""
        return self.parts[0].name

    @property
    def sentence(self):
        """The result in one sentence, with what brings most of the doubt."""
        size, expanded = self.uncertainty, printed(self.expanded, 2)
        said = f"{printed_with(self.value, size)} (standard uncertainty); times {self.factor:.2f}, {expanded} on either side, for {100 * self.coverage:g} %."
        if not size.magnitude:
            return f"{said} By slopes alone nothing is uncertain here."
        share = f"{100 * self.parts[0].share:.0f} % of the variance"
        if self.correlations:
            return f"{said} The inputs hang together, so that a share may lie below 0 or over 100 %; the {self.driver} brings most."
        return f"{said} Most doubt comes from the {self.driver}: {share}."

    def rows(self):
        """Return the budget as rows of text: input, its value, what it brings, its share."""
        unit = handy(self.uncertainty).units
        return [(part.name, str(part.value), printed(part.contribution, 2, unit), f"{100 * part.share:.0f} %")
                for part in self.parts]  # fmt: skip

    def __str__(self):
        rows = self.rows()
        wide = max(len(row[0]) for row in rows)
        long = max(len(row[2]) for row in rows)
        lines = [
            wrapped(self.sentence),
            *(f"  {name:<{wide}}  {size:>{long}}  {share:>5}" for name, _, size, share in rows),
        ]
        if self.draws is not None:
            lines.append(wrapped(self.draws_sentence))
        return "\n".join(lines)

    __repr__ = __str__

    @property
    def draws_sentence(self):
        """What the draws say, and whether both ways agree."""
        if self.draws is None:
            return "No draws were made."
        low, high = printed_ends(self.symmetric)
        said = f"{self.draws.size} random draws: {low} to {high} for {100 * self.coverage:g} %, whose standard deviation is {printed(self.spread, 2)}. "
        return said + ("Both ways agree." if self.agree else f"The two ways differ; take the draws. {self.why}").strip()


def printed_with(value, uncertainty):
    """Return ``(1.234 ± 0.054) g``, in a unit that is handy for the value.

    >>> printed_with(Q(1.234, "g"), Q(0.054, "g")), printed_with(Q(50.000838, "mm"), Q(32, "nm"))
    ('(1.234 ± 0.054) g', '(50.000838 ± 0.000032) mm')
    """
    unit = handy(value if value.magnitude else uncertainty).units
    size = converted(uncertainty, change_unit(unit)).magnitude
    middle = converted(value, unit).magnitude
    last = Decimal(f"{size:.1e}").adjusted() - 1 if size else 0
    if not size or not np.isfinite(size) or not -9 <= last <= 3 or abs(middle) >= 1e12:
        numbers = number_text(middle, 4), number_text(size, 2)
    else:
        numbers = (f"{Decimal(repr(float(part))).quantize(Decimal(1).scaleb(last)):f}" for part in (middle, size))
    return "({} ± {}) {}".format(*numbers, unit_text(unit)).strip()


def printed_ends(ends):
    """Return the two ends of an interval as texts to as many figures as tell them apart well; the second with the unit.

    >>> printed_ends((Q(1.08341, "g"), Q(1.38252, "g")))
    ('1.08', '1.38 g')
    """
    unit = handy(max(ends, key=lambda end: abs(end.magnitude))).units
    low, high = (converted(end, unit).magnitude for end in ends)
    places = max(0, 1 - int(np.floor(np.log10(high - low)))) if high > low else 3
    if places > 8 or max(abs(low), abs(high)) >= 1e6:
        return number_text(low, 4), f"{number_text(high, 4)} {unit_text(unit)}".strip()
    return f"{low:.{places}f}", f"{high:.{places}f} {unit_text(unit)}".strip()


def budget(function, /, *, correlations=None, coverage=0.95, count=DRAWS, seed=1, figures=1, **inputs):
    """Return the Budget of ``function(**inputs)``: how far the result may be off, and which input brings it.

    Parameters
    ----------
    function : callable
        Takes the inputs by name, as quantities, and returns one quantity or number; it has to take arrays too.
    correlations : dict, optional
        From pairs of names to correlations, -1 to 1: ``{("voltage", "current"): -0.36}``.
    coverage : float
        The share of values that the interval is to hold, 0.5 to 0.999.
    count : int
        Random draws, 100 or more; 0 for none.
    seed : int
        The same seed gives the same draws.
    figures : int
        Figures of the uncertainty that matter, 1 or 2: how closely the two ways have to agree.
    **inputs : Uncertain, quantity or text with ±, Range, or anything else
        What is certain is passed on as it is, text as a quantity.

    Raises
    ------
    RangeProblem
        If nothing is uncertain, the function takes no arrays, or a correlation is impossible.

    Notes
    -----
    First the law of propagation (jcgm_100_2008, 5.1.2 and 5.2.2) by central differences, with effective
    degrees of freedom (G.4.1, rounded down) and, without correlations, the second-order terms of the note to 5.1.2.
    With correlations the fewest degrees of freedom of any input are taken.  Then draws from the shape of each
    input through the function (jcgm_101_2008), compared as its clause 8 has it: the ends of the symmetric
    interval may differ by half a unit in the last figure of the uncertainty that matters, and by what chance does
    with so many draws.  Correlated draws keep each input's own shape (a normal copula).

    Examples
    --------
    >>> found = budget(lambda mass, volume: (mass / volume).to("g/L"), mass="20.0 ± 0.2 g", volume="500 ± 3 mL")
    >>> print(printed_with(found.value, found.uncertainty), found.driver, found.agree)
    (40.00 ± 0.47) g/L mass True
    """
    if not 0.5 <= coverage <= 0.999 or figures not in (1, 2):
        raise RangeProblem("budget() takes a coverage of 0.5 to 0.999 and 1 or 2 figures.")
    if count != int(count) or not (count == 0 or count >= 100) or seed < 0:
        raise RangeProblem("budget() takes a count of 0 or of 100 draws and more, and a seed of 0 or more.")
    given = {name: read(value) if isinstance(value, str) else value for name, value in inputs.items()}
    doubtful = {name: found for name, value in given.items() if (found := _doubt(value)) is not None}
    fixed = {name: value.value if isinstance(value, Uncertain) else getattr(value, "likely", value)
             for name, value in given.items() if name not in doubtful}  # fmt: skip
    if not doubtful:
        raise RangeProblem('budget() needs an input that is uncertain. Type for instance "20.0 ± 0.2 g".')
    model = Model(function, fixed, doubtful)
    matrix = correlation_matrix(list(doubtful), correlations or {})
    slopes, value, extra = model.slopes()  # changes of the result for one standard uncertainty of each input
    variance = float(slopes @ matrix @ slopes)
    size = np.sqrt(max(variance, 0.0))
    alone = np.allclose(matrix, np.eye(len(slopes)))
    dof = effective_freedom(slopes, [found.dof for found in doubtful.values()], size, alone)
    factor = coverage_factor(coverage, dof)
    second = np.sqrt(variance + extra) if alone and variance + extra >= 0 else None
    shares = slopes * (matrix @ slopes) / variance if variance > 0 else np.zeros_like(slopes)
    change, unit = model.change, model.unit
    parts = [Part(name.replace("_", " "), found, float(slope / found.spread), Q(float(abs(slope)), change), float(share))
             for (name, found), slope, share in zip(doubtful.items(), slopes, shares)]  # fmt: skip
    parts.sort(key=lambda part: -part.contribution.magnitude)
    drawn = {}
    if count:
        found = drawn_results(model, doubtful, matrix, count, seed, coverage)
        same = not found["lost"] and _agree(value, factor * size, size, found, figures, coverage)
        drawn = {"agree": bool(same), "why": _why(parts, size, second, found, alone), "draws": found["draws"],
                 "mean": Q(found["mean"], unit), "spread": Q(found["spread"], change),
                 **{name: tuple(Q(end, unit) for end in found[name]) for name in ("symmetric", "shortest")}}  # fmt: skip
    return Budget(Q(value, unit), Q(float(size), change), tuple(parts), dof, coverage, factor,
                  Q(float(factor * size), change), None if second is None else Q(float(second), change), **drawn,
                  correlations=dict(correlations or {}))  # fmt: skip


def shared_correlation(first, second):
    """Return the correlation of two results that were worked out from the same inputs (jcgm_100_2008, H.2.3).

    Parameters
    ----------
    first, second : Budget
        Inputs of the same name count as the same thing.

    Raises
    ------
    RangeProblem
        If one of them has no uncertainty to first order.
    """
    names = sorted({part.name for found in (first, second) for part in found.parts})
    slopes = [np.array([sum(part.sensitivity * part.value.spread for part in found.parts if part.name == name)
                        for name in names]) for found in (first, second)]  # fmt: skip
    told = {tuple(name.replace("_", " ") for name in pair): size
            for found in (first, second) for pair, size in found.correlations.items()}  # fmt: skip
    matrix = correlation_matrix(names, told)
    both = np.sqrt((slopes[0] @ matrix @ slopes[0]) * (slopes[1] @ matrix @ slopes[1]))
    if not both > 0:
        raise RangeProblem("Two results are correlated only where both have an uncertainty.")
    return float(slopes[0] @ matrix @ slopes[1] / both)


def _doubt(value):
    found = (
        uncertain(value)
        if isinstance(value, (str, Uncertain)) or is_quantity(value) or hasattr(value, "likely")
        else None
    )
    return found if found is not None and found.spread > 0 else None


def _agree(value, expanded, size, drawn, figures, coverage):
    """Return True if both intervals agree to half a unit of the last figure that matters, but for the chance of draws."""
    if not size:
        return drawn["spread"] == 0
    last = int(np.floor(np.log10(size))) - figures + 1
    if round(size / 10.0**last) >= 10**figures:  # 0.0996 to two figures is 0.10
        last += 1
    outside, reach = (1 - coverage) / 2, coverage_factor(coverage)
    # Twice the standard deviation of the end of an interval, for draws from a bell.
    chance = 2 * size * np.sqrt(outside * (1 - outside) / drawn["draws"].size * 2 * np.pi) * np.exp(reach**2 / 2)
    ends = value - expanded, value + expanded
    return max(abs(end - other) for end, other in zip(ends, drawn["symmetric"])) <= 0.5 * 10.0**last + chance


def _why(parts, size, second, drawn, alone):
    """Return in words what can make the two ways differ here."""
    told = []
    if drawn["lost"]:
        told.append(f"{drawn['lost']} draws lie where there is no result, and were left out.")
    still = [part.name for part in parts if part.contribution.magnitude < 1e-6 * drawn["spread"]]
    bent = second is None or abs(second - size) > BENDS * size
    if not size or (still and alone and bent):
        still = still or [parts[0].name]
        names = " and ".join([*filter(None, [", ".join(still[:-1])]), still[-1]])
        told.append(
            f"At the values given the result does not change with {names} alone, so the first way does not see it."
        )
    elif alone and bent:
        told.append("The result bends within the spread of its inputs, and the first way knows only straight lines.")
    widest = parts[0]
    few = [part for part in parts if part.value.dof < 10 and part.share > 0.1]
    if few:
        told.append(f"The {few[0].name} rests on few readings, {few[0].value.dof + 1:g}, so its draws reach far out.")
    if widest.share > 0.5 and widest.value.shape in _FLAT:
        told.append(f"The {widest.name} rules, and it has firm ends ({widest.value.shape}), which a bell has not.")
    if widest.share > 0.2 and widest.value.shape == "guess":
        told.append(f"The {widest.name} is a guess, which is no bell: it has firm ends and may be lopsided.")
    return " ".join(told)
