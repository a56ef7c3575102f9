"""How uptake goes with concentration: two curves side by side, a capacity if one can be told, and what others measured."""

from dataclasses import dataclass, field

from labkit.data import table
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.units import Note, Q, Range, checked, number, number_text, printed
from labkit.uptake.beside import (
    compared,
    criterion_text,
    ends_text,
    html_report,
    kept,
    lead_of,
    printed_report,
    reasons_beside,
    share_text,
    span_text,
)
from labkit.uptake.doubts import ALIKE, EVIDENCE, MISFIT, NONE, WEAK, level_of
from labkit.uptake.fit import Fit, fitted
from labkit.uptake.models import FREUNDLICH, LANGMUIR
from labkit.uptake.pairs import Pairs, pairs_of

_UNITS = {"[mass concentration]": "mg/L", "[concentration]": "mmol/L"}
NO_PROOF = ("That a curve fits does not show how the metal is held: metal that falls out as hydroxide on the powder, or beside it, gives such "
            "curves too (common knowledge, from memory).")  # fmt: skip
OTHERS = ("Published capacities are of metals in water. No published isotherm of iron on carbon nitride in acetone or ethanol was found, so none "
          "is there to compare with.")  # fmt: skip


@dataclass(frozen=True, eq=False, repr=False)
class IsothermReport:
    """Two curves through an isotherm, and the capacity.

    ``langmuir`` and ``freundlich`` are Fits in the units of ``pairs``.  ``capacity`` is a Range (95 %), None if it cannot be
    told; ``verdict`` and ``reasons`` are those of the capacity.  ``lead`` is by how much the criterion of the Langmuir curve is lower than that of the
    other: above 10 it fits clearly better, below 2 they cannot be told apart, None with too few readings.
    ``remarks`` are sentences.
    """

    langmuir: Fit
    freundlich: Fit
    pairs: Pairs
    capacity: Range | None
    verdict: str
    reasons: tuple
    lead: float | None
    remarks: tuple = field(default=())

    @property
    def covered(self):
        """Range of the concentrations that were measured; likely is their middle."""
        low, high = float(self.pairs.x.min()), float(self.pairs.x.max())
        return Range(*(Q(end, self.pairs.x_unit) for end in (low, (low + high) / 2, high)), "concentrations measured")

    @property
    def half(self):
        """Range of the concentration at which half of the capacity is taken up; None without a capacity."""
        if self.capacity is None:
            return None
        low, likely, high = self.langmuir.reach(0.5)
        return Range(*(Q(end, self.pairs.x_unit) for end in (low, likely, high)), "half of the capacity")

    @property
    def comparison(self):
        """Which of the curves fits better, in words."""
        return compared(self.lead, self.langmuir.curve.name, self.freundlich.curve.name, self.pairs.x.size)

    def uptake_at(self, concentration):
        """Return the Range (95 %) of the uptake at a concentration, by the curves that cannot be ruled out.

        Parameters
        ----------
        concentration : quantity or text [mass concentration], or [concentration] if that was fitted

        Raises
        ------
        RangeProblem
            If it lies outside of what was measured, or neither curve can be used.
        """
        need = next(need for need, unit in _UNITS.items() if unit == self.pairs.x_unit)
        c = number(checked(concentration, f"{need} >= 0", "concentration", "uptake_at"), self.pairs.x_unit)
        low, _, high = self.covered.m_as(self.pairs.x_unit)
        if not low <= c <= high:
            raise RangeProblem(f"{number_text(c)} {self.pairs.x_unit} lies outside of what was measured, {number_text(low)} to {number_text(high)} {self.pairs.x_unit}. "
                               "A fitted curve says nothing there.")  # fmt: skip
        fits = [fit for fit in kept(self.langmuir, self.freundlich) if _within(fit)]
        if not fits:
            raise RangeProblem("Neither curve can be used: " + "; ".join(self.langmuir.reasons) + ".")
        found = [(fit.predict(c), fit.factor) for fit in fits]
        ends = [size + side * factor * u for (size, u), factor in found for side in (-1, 1)]
        return Range(
            *(Q(float(end), self.pairs.y_unit) for end in (min(ends), found[0][0][0], max(ends))), "the fitted curves"
        )

    def sentence(self):
        """Return the result in words."""
        unit, x_unit = self.pairs.y_unit, self.pairs.x_unit
        place = int(self.pairs.y.argmax())
        most = f"The highest uptake seen is {number_text(self.pairs.y[place])} {unit}, at {number_text(self.pairs.x[place])} {x_unit}."
        if self.capacity is None:
            return f"The capacity cannot be told. {' '.join(f'{reason}.' for reason in self.reasons)} {most} {self.comparison}"
        why = "".join(f" {reason}." for reason in self.reasons)
        return (f"The capacity is {span_text(self.capacity, unit)} (95 %), by a Langmuir curve; {self.verdict}.{why} Half of it is taken up "
                f"at {printed(self.half.likely, 2, x_unit)}. {self.comparison}")  # fmt: skip

    def rows(self):
        """Return both fits as rows of (what, Langmuir, Freundlich)."""
        unit, x_unit = self.pairs.y_unit, self.pairs.x_unit
        one, other = self.langmuir, self.freundlich
        return [
            ("verdict", one.verdict, other.verdict),
            ("capacity", ends_text(one, "capacity", unit), "has none"),
            ("affinity K", ends_text(one, "affinity", _inverse(x_unit)), ""),
            (f"uptake at 1 {x_unit}", "", ends_text(other, "factor", unit)),
            ("exponent 1/n", "", ends_text(other, "exponent", "")),
            ("scatter", *(f"{number_text(fit.s, 2)}{'' if fit.u is not None else f' {unit}'}" for fit in (one, other))),
            ("criterion (AICc)", *(criterion_text(fit) for fit in (one, other))),
            (
                "criterion of a line through zero",
                *([criterion_text(one, one.rivals["a straight line through zero"])] * 2),
            ),
            ("share of the ceiling seen", share_text(one, self.pairs.x.max()), ""),
            *(("but", *both) for both in reasons_beside(one, other)),
        ]

    def published(self):
        """Return what others measured as rows of (metal and where from, capacity, on what)."""
        rows = [row for row in table("loadings") if row["what"] == "uptake"] + list(table("capacities"))
        return [
            (row["name"], printed(Q(float(row["value"]), row["unit"]), 3, row["unit"]), row["support"]) for row in rows
        ]

    def cautions(self):
        """Return the cautions that belong to the salts and the solvent."""
        return cautions("chlorides", "solvent")

    def words(self):
        """Return the sentence and the remarks as a Note."""
        return Note("\n".join([self.sentence(), *self.remarks]))

    def __str__(self):
        return printed_report(self.sentence(), self.rows(), self.remarks, ("", "Langmuir", "Freundlich"))

    __repr__ = __str__

    def _repr_html_(self):
        return html_report(self.words(), self.rows(), ("", "Langmuir", "Freundlich"))


def isotherm_report(concentration, uptake=None, *, doubt=None):
    """Return the IsothermReport of uptakes at equilibrium.

    Parameters
    ----------
    concentration : Readings from ``read_isotherm``, or quantity [mass concentration] or [concentration]
        Of what is left in the liquid at the end.
    uptake : quantity, mass of metal in a mass of powder
        Such as ``Q([4.1, 6.0], "mg/g")``; left out with Readings.
    doubt : quantity or text, optional
        Standard uncertainty of an uptake, ``"0.3 mg/g"``, one for all or one for each, or a share of each, ``"5 %"``.  Left out, the scatter
        about the curve is taken, as if it were alike at small and large uptakes: if it grows with uptake, give a share, or the interval is
        too narrow.

    Raises
    ------
    LabError
        If there are fewer than three readings, or they have no units.

    Notes
    -----
    Langmuir q = capacity·K·c/(1 + K·c) has a ceiling, Freundlich q = K·c^(1/n) has none.  Their K are not the same thing, and that of Freundlich has a
    unit that changes with n, (mg/g)/(mg/L)^(1/n): here it is the uptake at 1 mg/L.  A capacity is only told where readings reach up to it: at c = 1/K
    half of it is taken up, and below that it is read off a curve where nothing was measured.

    References
    ----------
    langmuir_1918, freundlich_1906

    Examples
    --------
    >>> c, q = Q([2, 5, 10, 20, 40, 80, 160], "mg/L"), Q([6.3, 13.6, 20.1, 26.2, 31.9, 35.7, 37.4], "mg/g")
    >>> report = isotherm_report(c, q)
    >>> print(report.capacity, report.verdict)
    39 to 41 mg/g, likely 40 mg/g usable
    """
    pairs = pairs_of(concentration, uptake, doubt, "concentration", _UNITS, "isotherm_report")
    langmuir, freundlich = (fitted(curve, pairs.x, pairs.y, pairs.u) for curve in (LANGMUIR, FREUNDLICH))
    lead = lead_of(langmuir, freundlich)
    found = [(langmuir.verdict, reason) for reason in langmuir.reasons]
    if langmuir.pace * pairs.x.max() < 1 and langmuir.verdict == NONE:
        found.insert(
            0,
            (
                NONE,
                f"The highest concentration, {number_text(float(pairs.x.max()))} {pairs.x_unit}, is below 1/K, where half of the capacity would be taken up",
            ),
        )
    elif lead is not None and (langmuir.verdict != NONE or all(reason.startswith(MISFIT) for _, reason in found)):
        if lead < -EVIDENCE:
            found.append((NONE, "The Freundlich curve, which has no ceiling, fits clearly better"))
        elif lead < ALIKE:
            found.append((WEAK, "The Freundlich curve, which has no ceiling, fits as well"))
    verdict = level_of(found)
    capacity = None
    if verdict != NONE:
        low, high = langmuir.ends["capacity"]
        capacity = Range(
            *(Q(float(end), pairs.y_unit) for end in (low, langmuir.parameters["capacity"], high)),
            "95 % interval of a Langmuir curve",
        )
    reasons = tuple(dict.fromkeys(reason for level, reason in found if level == verdict))
    return IsothermReport(
        langmuir, freundlich, pairs, capacity, verdict, reasons, lead, (*pairs.notes, NO_PROOF, OTHERS)
    )


def _within(fit):
    """Return True if a fit can be used between its readings, whatever lies beyond."""
    closest = min(fit.rivals.values())
    return fit.aicc < closest and all(error < float("inf") for error in fit.errors.values())


def _inverse(unit):
    over, under = unit.split("/")
    return f"{under}/{over}"
