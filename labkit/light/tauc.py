"""The gap of a powder from its reflectance: a straight line through its edge, and what that is worth.

A plot of (F E)^2 against the energy E of a photon is straight above a direct gap, one of (F E)^(1/2)
above an indirect gap, F being the Kubelka-Munk function.  Papers write the exponent in two opposite
ways, so here it is only ever named by the transition.
"""

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from labkit.errors import RangeProblem, UnitProblem, chosen
from labkit.light.crossing import crossing_of
from labkit.light.edge import curve_from, onset, tauc_values
from labkit.light.photon import wavelength_from_gap
from labkit.light.readable import NONE, USABLE, WEAK, after_fit, before_fit, level_of
from labkit.light.reflectance import Reflectance, energy_length
from labkit.light.spectrum import read_reflectance
from labkit.units import Q, Range, as_range, printed_range, wrapped

POWERS = {"direct": 2.0, "indirect": 0.5}
BASELINES = ("auto", "none", "subtract", "crossing")
COVERED = 2  # standard uncertainties between the likely value and an end of the range
BOTH = ("This plot alone cannot tell which transition it is. Carbon nitride is called indirect in many papers and direct in others (from memory), "
        "so the difference between the two is part of the honest range.")  # fmt: skip

ONE = ("That is no proof that it is the one which can be read: this plot alone cannot tell which transition it is, and carbon nitride is called "
       "indirect in many papers and direct in others (from memory).")  # fmt: skip


@dataclass(frozen=True, repr=False, eq=False)
class GapFit:
    """A gap read from a plot, or why none can be.

    ``gap`` is a Range whose ends lie two standard uncertainties from the likely value, None if the verdict is
    “cannot tell”; ``uncertainty`` is one standard uncertainty, ``parts`` what it is made of, each a quantity.
    ``region`` and ``below`` are where the straight part and the baseline were fitted (below is None without one);
    ``baseline`` is “none”, “subtract” or “crossing”, as it was done.  ``energy`` (eV) and ``values`` are the points
    of the plot, ``line`` and ``foot`` ((slope, intercept), in eV) what is drawn through them;
    ``onset`` (eV) is where the reflectance begins to fall.
    """

    transition: str
    verdict: str
    reasons: tuple
    gap: Range | None
    uncertainty: object
    parts: dict
    region: tuple | None
    below: tuple | None
    baseline: str
    baseline_words: str
    energy: np.ndarray = field(repr=False)
    values: np.ndarray = field(repr=False)
    line: tuple | None = None
    foot: tuple | None = None
    points: int = 0
    onset: float = 0.0

    @property
    def edge(self):
        """Range of the wavelength of the edge; None without a gap."""
        if self.gap is None:
            return None
        return Range(*(wavelength_from_gap(end) for end in self.gap.ends[::-1]))

    def sentence(self):
        """Return the result in words."""
        if self.gap is None:
            return f"Taken as {self.transition}, the gap cannot be told. {' '.join(f'{reason}.' for reason in self.reasons)}"
        why = " " + " ".join(f"{reason}." for reason in self.reasons) if self.reasons else ""
        return (f"Taken as {self.transition}, the gap is {printed_range(self.gap, 3, 'eV')} (edge {printed_range(self.edge, 3, 'nm')}); "
                f"{self.verdict}.{why}")  # fmt: skip

    def rows(self):
        """Return the fit as rows of (what, value)."""
        rows = [("verdict", self.verdict)]
        if self.gap is not None:
            rows += [("gap", printed_range(self.gap, 3, "eV")), ("edge", printed_range(self.edge, 3, "nm")),
                     ("standard uncertainty", f"{self.uncertainty.m_as('eV'):.3f} eV")]  # fmt: skip
            rows += [(f"  from the {name}", f"{part.m_as('eV'):.3f} eV") for name, part in sorted(self.parts.items(), key=lambda item: -item[1].m_as("eV"))]  # fmt: skip
        if self.region:
            rows.append(("straight part", f"{_span(self.region)}, {self.points} points"))
        rows.append(("baseline", self.baseline_words))
        return rows + [("but", reason) for reason in self.reasons]

    def __str__(self):
        return wrapped("\n".join([self.sentence(), f"Baseline: {self.baseline_words}."]
                                 + ([f"Straight part: {_span(self.region)}, {self.points} points."] if self.region else [])))  # fmt: skip

    __repr__ = __str__


@dataclass(frozen=True, repr=False, eq=False)
class GapReport:
    """Both transitions side by side.  ``gap`` spans both; None if neither can be told."""

    direct: GapFit
    indirect: GapFit
    gap: Range | None
    verdict: str

    def sentence(self):
        """Return both results in one: the honest range."""
        if self.gap is None:
            reasons = dict.fromkeys((*self.direct.reasons, *self.indirect.reasons))
            return f"No gap can be told from this spectrum. {' '.join(f'{reason}.' for reason in reasons)}"
        parts = [f"{printed_range(fit.gap, 3, 'eV')} if {fit.transition} ({fit.verdict})" for fit in (self.indirect, self.direct) if fit.gap is not None]  # fmt: skip
        missing = [f"As {fit.transition} it cannot be told: {fit.reasons[0][0].lower()}{fit.reasons[0][1:]}. " for fit in (self.indirect, self.direct) if fit.gap is None]  # fmt: skip
        low, _, high = self.gap.m_as("eV")
        both = f": {low:.2f} to {high:.2f} eV in all" if len(parts) == 2 else ""
        return f"The gap is {'; '.join(parts)}{both}. {''.join(missing)}{BOTH if len(parts) == 2 else ONE}"

    def __str__(self):
        reasons = [f"As {fit.transition}: {reason}." for fit in (self.indirect, self.direct) if fit.gap is not None for reason in fit.reasons]  # fmt: skip
        return wrapped("\n".join([self.sentence(), *reasons]))

    __repr__ = __str__


def tauc_gap(spectrum, transition, region=None, baseline="auto", *, below=None):
    """Return the GapFit of a spectrum: where the straight part of its plot meets the axis or the baseline.

    Parameters
    ----------
    spectrum : Reflectance, or what ``read_reflectance`` takes
    transition : "direct" or "indirect"
    region : Range or text [energy], optional
        The straight part, such as ``"2.80 to 3.05 eV"``.  Left out, the longest straight part near the steepest slope.
    baseline : "auto", None, "subtract", "crossing", or Range or text [energy]
        What to do with absorption below the edge, as of a doped powder.  “auto” takes it off the Kubelka-Munk
        function first if there is any that matters; None leaves it in; “crossing” meets a line through
        it in the plot.  A range such as ``"1.9 to 2.2 eV"`` takes off what a line through that part gives.
    below : Range or text [energy], optional
        Where the baseline is fitted, for “subtract” and “crossing”; found if left out.

    Returns
    -------
    GapFit
        Uncertain by the choice of the straight part (from all that would do nearly as well), noise, the baseline, the
        step between points, 0.5 nm of the wavelength scale, 2 % of light that never was in the powder, and a white
        reference that is off by 3 % and drifts by 1 % over 100 nm unseen (these our guesses, from memory).  The
        range also reaches what comes out if light that is missing below the edge was lost and not absorbed (up to
        20 %, drifting by up to 25 % over 1 eV), if an absorption there grows on exponentially, and if a band there ends
        or goes on under the edge.  Not in it: the choice of transition, a thin or loose layer, another exponent, a
        lamp or detector that changes only where the powder absorbs.

    Raises
    ------
    LabError
        If the spectrum can't be read, or an argument can't be used.

    Notes
    -----
    Subtracting first gives back the gap of made spectra; leaving the absorption in makes it too small, and meeting a
    baseline in the plot makes an indirect gap too large (computed).  For modified powders a plain line misleads.

    References
    ----------
    makula_2018, kubelka_munk_1931

    Examples
    --------
    >>> from labkit.light.reflectance import reflectance_from_kubelka_munk
    >>> nm = np.arange(350, 601.0)
    >>> absorption = 8 * np.sqrt(np.maximum(1239.842 / nm - 2.7, 0)) * nm / 1239.842
    >>> fit = tauc_gap(Reflectance(nm, reflectance_from_kubelka_munk(absorption).m_as("")), "direct")
    >>> fit.verdict, f"{fit.gap.likely:.2f~P}"
    ('usable', '2.70 eV')
    """
    transition = _transition(transition)
    spectrum = _spectrum(spectrum)
    region = _pair(region, "region")
    below = _pair(below, "below")
    if baseline is None:
        baseline = "none"
    elif isinstance(baseline, Range) or (isinstance(baseline, str) and baseline[:1].isdigit()):
        below, baseline = _pair(baseline, "baseline"), "subtract"
    baseline = chosen(baseline, BASELINES, "baseline")
    return _fit(spectrum, transition, region, baseline, below)


def gap_report(spectrum, region=None, baseline="auto", *, below=None):
    """Return the GapReport of a spectrum: the gap as a direct and as an indirect one, and the range that spans both.

    Takes and raises what ``tauc_gap`` does; a ``region`` set by hand holds for both.

    References
    ----------
    makula_2018, lopez_gomez_2012
    """
    spectrum = _spectrum(spectrum)
    direct, indirect = (tauc_gap(spectrum, transition, region, baseline, below=below) for transition in ("direct", "indirect"))  # fmt: skip
    told = [fit for fit in (direct, indirect) if fit.gap is not None]
    if not told:
        return GapReport(direct, indirect, None, NONE)
    lows, likely, highs = zip(*(fit.gap.m_as("eV") for fit in told))
    gap = Range(*(Q(float(end), "eV") for end in (min(lows), np.mean(likely), max(highs))), "both transitions")
    return GapReport(
        direct, indirect, gap, USABLE if all(fit.verdict == USABLE for fit in (direct, indirect)) else WEAK
    )


def _transition(transition):
    if not isinstance(transition, str):
        raise UnitProblem(
            "Name the transition, not its exponent, which papers write in two opposite ways: transition='direct' or 'indirect'."
        )
    return chosen(transition, POWERS, "transition")


def _spectrum(spectrum):
    return spectrum if isinstance(spectrum, Reflectance) else read_reflectance(spectrum)


def _pair(span, name):
    """Return the ends of a region as plain eV, None for None; a pair of wavelengths is not an energy."""
    if span is None:
        return None
    low, _, high = as_range(span, "[energy] > 0", name).m_as("eV")
    if high - low < 0.02:
        raise RangeProblem(
            f"The {name} needs two ends, at least 0.02 eV apart. Type for instance {name}='2.80 to 3.05 eV'."
        )
    return low, high


@lru_cache(8)  # a panel asks for both transitions, and again whenever another control moves
def _curve(spectrum):
    positive = spectrum.reflectance > 0
    return (
        curve_from(energy_length() / spectrum.wavelength[positive], spectrum.reflectance[positive])
        if positive.sum() >= 8
        else None
    )


@lru_cache(16)
def _fit(spectrum, transition, region, baseline, below):
    curve, power = _curve(spectrum), POWERS[transition]
    if curve is None:
        return GapFit(transition, NONE, ("Hardly any reading is above zero",), None, None, {}, None, None, "none", "none", np.array([]), np.array([]))  # fmt: skip
    found = before_fit(curve)
    crossing = crossing_of(curve, power, region, baseline, below)
    if crossing is None:
        y, _ = tauc_values(curve, power)
        what = (
            "There are too few points in the region, or nothing rises there"
            if region
            else "Nothing rises as an edge does"
        )
        return GapFit(transition, NONE, _reasons([*found, (NONE, what)]), None, None, {}, region, None, "none", "none", curve.energy, y, onset=onset(curve))  # fmt: skip
    found += after_fit(curve, crossing)
    found += [(WEAK, doubt.rstrip(".")) for doubt in spectrum.doubts]
    if baseline in ("subtract", "crossing") and crossing.taken == "none":
        found.append((WEAK, "There is no straight part below the edge for a baseline: nothing was taken off"))
    elif not crossing.room:
        found.append((WEAK, "Too little was measured below the edge to see what is absorbed there"))
    elif not crossing.seen:
        found.append((WEAK, "What is absorbed below the edge changes too unevenly to be taken off"))
    level, under, line, foot = level_of(found), crossing.baseline, crossing.stretch, crossing.foot
    y, _ = tauc_values(curve, power, under if crossing.taken == "subtract" else None)
    gap = None
    if level != NONE:
        half = COVERED * crossing.uncertainty
        gap = Range(
            *(Q(float(crossing.gap + side * half), "eV") for side in (-1, 0, 1)), f"{transition} gap from reflectance"
        )
    return GapFit(
        transition, level, _reasons(found), gap, Q(crossing.uncertainty, "eV") if gap else None,
        {name: Q(float(part), "eV") for name, part in crossing.parts.items()} if gap else {}, (line.low, line.high),
        (under.low, under.high) if under else None, crossing.taken, _baseline_words(crossing, baseline), curve.energy, y,
        (line.slope, line.height - line.slope * line.middle) if gap else None,
        (foot.slope, foot.height - foot.slope * foot.middle) if foot and gap else None, line.points, onset(curve),
    )  # fmt: skip


def _reasons(found):
    """Return the reasons of the worst level, each once: what is weak besides is no news where nothing can be told."""
    level = level_of(found)
    return tuple(dict.fromkeys(reason for found_level, reason in found if found_level == level))


def _baseline_words(crossing, asked):
    under = crossing.baseline
    if crossing.taken == "subtract":
        shape = "level" if under.slope == 0 else "sloping"
        return f"a {shape} absorption, F = {under.at(crossing.gap):.3f} at the gap, fitted from {_span((under.low, under.high))}, was taken off first"  # fmt: skip
    if crossing.taken == "crossing":
        return (f"the line meets one through the points from {_span((under.low, under.high))} in the plot, which moves the gap by "
                f"{crossing.shift:+.3f} eV from taking it off first")  # fmt: skip
    if asked == "auto":
        return "none was needed" if crossing.seen else "none could be found"
    return (
        "none taken off"
        if under is None
        else f"an absorption of F = {under.at(crossing.gap):.3f} at the gap was left in"
    )


def _span(ends):
    return f"{ends[0]:.2f} to {ends[1]:.2f} eV"
