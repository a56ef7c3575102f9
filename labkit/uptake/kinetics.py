"""How uptake goes with time: two curves side by side, how long it takes, and whether the time one has is enough."""

from dataclasses import dataclass, field
from math import isfinite

from labkit.data.cautions import cautions
from labkit.units import Note, Q, Range, checked, clock_text, number, number_text
from labkit.uptake.beside import (
    compared,
    criterion_text,
    ends_text,
    html_report,
    joint_reasons,
    kept,
    lead_of,
    printed_report,
    reasons_beside,
    share_text,
    span_text,
)
from labkit.uptake.doubts import MISFIT, NONE, WEAK, WIDE, level_of
from labkit.uptake.fit import SHARE, Fit, fitted
from labkit.uptake.models import FIRST_ORDER, SECOND_ORDER
from labkit.uptake.pairs import Pairs, pairs_of

_ENDED = 4.0  # standard errors by which a level uptake has to be above zero; our choice
SLOW = ("These curves know one pace only. A slow part, such as metal that creeps into the grains or falls out over days, is not seen within a few "
        "hours (from memory).")  # fmt: skip
STIRRED = ("All this is for powder that stays stirred up. Powder that has settled takes up more slowly, and liquid drawn for a reading or lost "
           "as vapour changes what is left (from memory).")  # fmt: skip


@dataclass(frozen=True, eq=False, repr=False)
class KineticsReport:
    """Two curves through a course in time, in min and the unit of the uptake.

    ``first`` and ``second`` are the Fits of pseudo-first and pseudo-second order.  ``time_to_95`` is the Range of the time to 95 % of
    equilibrium and ``equilibrium`` that of the uptake there, over the curves that cannot be ruled out (95 %); None if they cannot be
    told.  ``verdict`` and ``reasons`` are those of both.  ``lead`` is by how much the criterion of the first order is lower.
    ``checked`` is the time asked for, None without one.
    """

    first: Fit
    second: Fit
    pairs: Pairs
    time_to_95: Range | None
    equilibrium: Range | None
    verdict: str
    reasons: tuple
    lead: float | None
    checked: object = None
    remarks: tuple = field(default=())

    @property
    def kept(self):
        """The Fits that cannot be ruled out, the better one first."""
        return kept(self.first, self.second)

    @property
    def last(self):
        """Time of the last reading."""
        return Q(float(self.pairs.x.max()), "min")

    @property
    def comparison(self):
        """Which of the curves fits better, in words."""
        return compared(self.lead, self.first.curve.name, self.second.curve.name, self.pairs.x.size)

    def share_at(self, time):
        """Return the Range (95 %) of the share of equilibrium at a time, None if it cannot be told.

        Parameters
        ----------
        time : quantity or text [time] > 0
        """
        if self.verdict == NONE:
            return None
        minutes = number(checked(time, "[time] > 0", "time", "share_at"), "min")
        found = [fit.share(minutes) for fit in self.kept]
        ends = min(low for low, *_ in found), found[0][1], max(high for *_, high in found)
        return Range(*(Q(100 * end, "percent") for end in ends), "the curves that cannot be ruled out")

    def enough(self, time):
        """Return in words whether a time is enough for 95 % of equilibrium.

        Parameters
        ----------
        time : quantity or text [time] > 0
        """
        asked = checked(time, "[time] > 0", "time", "enough")
        said, share = clock_text(asked), self.share_at(asked)
        if share is None:
            return f"Whether {said} is enough cannot be told: {self.reasons[0][0].lower()}{self.reasons[0][1:]}."
        low, _, high = share.m_as("percent")
        after = (
            ""
            if asked <= self.last
            else f" The last reading is of {clock_text(self.last)}; what comes after it is read off the curves."
        )
        held = f"the powder then holds {percent_range(share)} of what it holds at equilibrium"
        if low >= 100 * SHARE:
            return f"{said} is enough for 95 %: {held}.{after}"
        if high < 100 * SHARE:
            return f"{said} is not enough for 95 %: {held}.{after}"
        return f"Whether {said} is enough for 95 % is open: {held}.{after}"

    def sentence(self):
        """Return the result in words."""
        asked = f" {self.enough(self.checked)}" if self.checked is not None else ""
        if self.time_to_95 is None:
            reasons = " ".join(f"{reason}." for reason in self.reasons)
            asked = f" Nor can it be told whether {clock_text(self.checked)} is enough." if asked else ""
            return f"The time to equilibrium cannot be told. {reasons}{self._flat()}{asked}"
        why = "".join(f" {reason}." for reason in self.reasons)
        return (f"95 % of equilibrium is reached after {times_text(self.time_to_95)}; {self.verdict}.{why} "
                f"The uptake at equilibrium is {span_text(self.equilibrium, self.pairs.y_unit)}. {self.comparison}{asked}")  # fmt: skip

    def _flat(self):
        """Return what can be said of readings that are all alike, after the first."""
        x, y = self.pairs.x, self.pairs.y
        after = y[x > 0]
        if "same uptake" not in " ".join(self.reasons) or after.size < 4:
            return ""
        middle, u = after.mean(), after.std(ddof=1) / after.size**0.5
        if not middle > _ENDED * u:
            return " Nor is it clear that anything was taken up."
        begun = clock_text(Q(float(x[x > 0].min()), "min"))
        return f" From {begun} on it stays near {number_text(float(middle))} {self.pairs.y_unit}: take earlier readings to see the rise."

    def rows(self):
        """Return both fits as rows of (what, pseudo-first order, pseudo-second order)."""
        unit, fits = self.pairs.y_unit, (self.first, self.second)
        over, under = unit.split("/")
        rows = [
            ("verdict", *(fit.verdict for fit in fits)),
            ("uptake at equilibrium", *(ends_text(fit, "equilibrium", unit) for fit in fits)),
            ("rate k", ends_text(self.first, "rate", "/min"), ends_text(self.second, "rate", f"{under}/({over}·min)")),
            ("95 % reached after", *(_time_text(fit) for fit in fits)),
            ("share seen in the end", *(share_text(fit, self.pairs.x.max()) for fit in fits)),
        ]
        if self.checked is not None:
            minutes = number(self.checked, "min")
            rows.append(
                (
                    f"share after {clock_text(self.checked)}",
                    *(share_text(fit, minutes) if fit.verdict != NONE else "cannot tell" for fit in fits),
                )
            )
        return [
            *rows,
            ("scatter", *(f"{number_text(fit.s, 2)}{'' if fit.u is not None else f' {unit}'}" for fit in fits)),
            ("criterion (AICc)", *(criterion_text(fit) for fit in fits)),
            *(("but", *both) for both in reasons_beside(*fits)),
        ]

    def cautions(self):
        """Return the cautions that belong to the salts and the solvent."""
        return cautions("chlorides", "solvent")

    def words(self):
        """Return the sentence and the remarks as a Note."""
        return Note("\n".join([self.sentence(), *self.remarks]))

    def __str__(self):
        return printed_report(
            self.sentence(), self.rows(), self.remarks, ("", "Pseudo-first order", "Pseudo-second order")
        )

    __repr__ = __str__

    def _repr_html_(self):
        return html_report(self.words(), self.rows(), ("", "pseudo-first order", "pseudo-second order"))


def kinetics_report(time, uptake=None, *, doubt=None, check=None):
    """Return the KineticsReport of uptakes against time.

    Parameters
    ----------
    time : Readings from ``read_kinetics``, or quantity [time]
        Since the powder came into the liquid.
    uptake : quantity, mass of metal in a mass of powder
        Such as ``Q([2.1, 3.4], "mg/g")``; left out with Readings.
    doubt : quantity or text, optional
        Standard uncertainty of an uptake, ``"0.3 mg/g"``, one for all or one for each, or a share of each, ``"5 %"``.  Left out, the scatter
        about the curve is taken, as if it were alike at small and large uptakes: if it grows with uptake, give a share, or the interval is
        too narrow.
    check : quantity or text [time], optional
        A time that may or may not be enough, ``"4 h"``.

    Raises
    ------
    LabError
        If there are fewer than three readings, or they have no units.

    Notes
    -----
    Pseudo-first order q = equilibrium·(1 - e^(-k·t)) reaches 95 % at ln 20/k, pseudo-second order q = equilibrium²·k·t/(1 + equilibrium·k·t) at
    19/(k·equilibrium).  Where both go through the readings the ranges span both.

    References
    ----------
    lagergren_1898, ho_mckay_1999

    Examples
    --------
    >>> t, q = Q([5, 10, 20, 40, 60, 90, 120, 180, 240], "min"), Q([2.2, 4.2, 7.2, 11.1, 12.9, 14.4, 14.7, 15.0, 14.9], "mg/g")
    >>> report = kinetics_report(t, q, check="4 h")
    >>> print(report.verdict, report.enough("4 h")[:27])
    usable 4 h is enough for 95 %: the
    """
    pairs = pairs_of(time, uptake, doubt, "time", {"[time]": "min"}, "kinetics_report")
    check = None if check is None else checked(check, "[time] > 0", "check", "kinetics_report")
    first, second = (fitted(curve, pairs.x, pairs.y, pairs.u) for curve in (FIRST_ORDER, SECOND_ORDER))
    fits = kept(first, second)
    # Of two that say the same, the one that has seen less of its plateau speaks.
    found = [
        (fit.verdict, reason)
        for fit in sorted(fits, key=lambda fit: fit.share(pairs.x.max()))
        for reason in fit.reasons
    ]
    # Of two that cannot be told apart, one may be the wrong one: it takes both to say that the readings follow neither.
    if any(not any(reason.startswith(MISFIT) for reason in fit.reasons) for fit in fits):
        found = [(level, reason) for level, reason in found if not reason.startswith(MISFIT)]
    time_to_95 = equilibrium = None
    if level_of(found) != NONE:
        ends = [fit.reach() for fit in fits]
        time_to_95 = _range([(low, high) for low, _, high in ends], ends[0][1], "min")
        equilibrium = _range([fit.ends["equilibrium"] for fit in fits], fits[0].parameters["equilibrium"], pairs.y_unit)
        low, likely, high = time_to_95.m_as("min")
        if len(fits) > 1 and high - low > 2 * WIDE * likely:
            found.append((WEAK, "Both curves go through the readings, and they give different times"))
    verdict = level_of(found)
    reasons = joint_reasons([pair for pair in found if pair[0] == verdict])
    return KineticsReport(
        first,
        second,
        pairs,
        time_to_95,
        equilibrium,
        verdict,
        reasons,
        lead_of(first, second),
        check,
        (*pairs.notes, SLOW, STIRRED),
    )


def times_text(span):
    """Return a Range of a time as text.

    >>> times_text(Range(Q(120, "min"), Q(135, "min"), Q(3, "h"))), times_text(Range(Q(120, "min"), Q(120.1, "min"), Q(120.2, "min")))
    ('2 h to 3 h, likely 2 h 15 min', '2 h')
    """
    low, likely, high = map(clock_text, span.ends)
    return likely if low == high else f"{low} to {high}, likely {likely}"


def percent_range(share):
    """Return a Range of a share as text, without calling anything below it 100 %.

    >>> percent_range(Range(Q(91.2, "percent"), Q(95.1, "percent"), Q(99.97, "percent")))
    '91 to over 99.9 % (likely 95 %)'
    """
    low, likely, high = (_share(end) for end in share.m_as("percent"))
    return f"{likely} %" if low == high else f"{low} to {high} % (likely {likely} %)"


def _share(size):
    if size > 99.9:
        return "over 99.9"
    return f"{size:.0f}" if size < 98.5 else f"{size:.1f}"


def _range(ends, likely, unit):
    return Range(
        *(Q(float(end), unit) for end in (min(low for low, _ in ends), likely, max(high for _, high in ends))),
        "95 % interval of the fitted curves",
    )


def _time_text(fit):
    low, likely, high = fit.reach()
    said = [clock_text(Q(end, "min")) if isfinite(end) and end < 1e8 else "no end seen" for end in (low, likely, high)]
    return (
        f"cannot tell ({said[0]} to {said[2]} if the curve holds)"
        if fit.verdict == NONE
        else f"{said[1]} ({said[0]} to {said[2]})"
    )
