"""A calibration line: absorbance of standards against concentration, and back from an absorbance to a concentration."""

from dataclasses import dataclass, field
from functools import cached_property
from math import hypot, sqrt

import numpy as np

from labkit.errors import RangeProblem
from labkit.solutions import metal_of
from labkit.units import Line, Q, checked, coverage_factor, nominal, number, number_text, straight_line, wrapped
from labkit.uptake.concentration import Concentration, Difference, fold_of, with_doubt
from labkit.uptake.readings import ABSORBANCE, CONCENTRATION, Readings, read_standards, readings_of
from labkit.uptake.straight import BENT, absorbances, bend_of, doubts_of, farthest, mean_of, straight_up_to, widened

DARK = 1.5  # absorbance, common practice: beyond it stray light has a part in what is read
WEAK = 0.25  # our choice: a line whose slope is known no better gives no concentration
WILD = 3.0  # our choice: readings of a sample that scatter so many times as much as the standards have their own t
COLOURLESS = set("Zn Al Mg Ca Ag Sn Ti Zr In Ga La Y Bi Sb Pb Cd".split())  # from memory: as chlorides
FINEST = 3e-4  # a photometer shows thousandths (common practice): 0.001/√12 of them is lost in rounding
UNDER = 3.0  # our choice: a sample so many critical values below none was not read against the same zero
_SIDE, _COVER = 0.90, 0.95  # a two-sided 90 % leaves 5 % on one side
_FOLDS = (2, 2.5, 3, 4, 5, 8, 10, 20, 25, 50, 100, 200, 250, 500, 1000)
DISAGREE = (
    "The readings of this sample disagree too much for a number. Look for bubbles or cloudiness, and read it again."
)
CARE = (
    "Standards belong in the same solvent, with the same water in it and of the same age as the samples. Iron chloride in "
    "acetone changes with light and time (from memory): read all on the same day, from the dark."
)


@dataclass(frozen=True, eq=False, repr=False)
class Calibration:
    """A line through standards.

    ``standards`` are the Readings it goes through and ``left`` those above ``up_to`` that were left out; ``line`` is the
    Line of absorbance against concentration in ``unit``.  ``level`` is “straight”, “bends” or “too few to tell”;
    ``bend`` is the largest shift that a bend makes, as a share of the highest standard; ``straight_to`` is the
    highest concentration to which the lower part is straight, None if it bends all along.  ``u`` are the standard
    uncertainties of the absorbances if they were given.
    """

    standards: Readings
    line: Line
    unit: str
    level: str
    bend: float
    straight_to: float | None = None
    left: Readings | None = None
    u: np.ndarray | None = None
    notes: tuple = field(default=())

    @property
    def ends(self):
        """The lowest and the highest standard, as plain numbers in ``unit``."""
        concentration = self.standards["concentration"]
        return float(concentration.min()), float(concentration.max())

    @cached_property
    def residuals(self):
        """Absorbance of each standard less that of the line."""
        return self.standards["absorbance"] - self.line.predict(self.standards["concentration"])[0]

    def doubt_at(self, absorbance):
        """Return the standard uncertainty of a single reading: the scatter of the standards, or what was given."""
        if self.u is None:
            return max(self.line.s, FINEST)
        order = np.argsort(self.standards["absorbance"])
        return float(np.interp(absorbance, self.standards["absorbance"][order], self.u[order]))

    def critical(self, readings=1, dilution=1.0):
        """Return the concentration from which a sample counts as seen, plain, in ``unit``: 5 % risk of a false alarm.

        Source: currie_1995, with Student's t in place of 1.645 where the scatter is known from the standards alone.
        """
        zero = self.line.intercept
        doubt = hypot(self.doubt_at(zero) / sqrt(readings), self.line.predict(0.0)[1])
        return dilution * self.line.coverage(_SIDE) * doubt / self.line.slope

    def detection_limit(self, readings=1, dilution=1):
        """Return the detection limit: what is overlooked in 5 % of cases only.

        Twice the critical value, near enough where the scatter is the same all along (currie_1995).
        """
        return Q(2 * self.critical(readings, fold_of(dilution)[0]), self.unit)

    def concentration(self, absorbance, readings=None, dilution=1):
        r"""Return the Concentration of a sample.

        .. math:: x = \frac{y - a}{b},\quad u^2(x) = \frac{s^2/m + u^2_\mathrm{line}(x)}{b^2}

        Parameters
        ----------
        absorbance : number, text or list of numbers
            Of the sample, in the same cell; several readings of the same sample count as their mean.
        readings : int, optional
            How many readings the absorbance is the mean of; 1, or as many as are listed.
        dilution : number or text
            10 for 1 mL filled up to 10 mL; may have an uncertainty, ``"10 ± 0.1"``.

        Raises
        ------
        RangeProblem
            If the line bends, or the sample is above the highest standard: says how far to dilute.

        Notes
        -----
        The 95 % interval is that of Fieller, with Student's t: exact for a line, and a little wider on the upper side.
        Below the critical value it is not seen, and below the detection limit no number is given but an upper bound.

        References
        ----------
        jcgm_100_2008 (5.1.2, law of propagation), currie_1995

        Examples
        --------
        >>> found = calibration("mg/L;A\n0;0.003\n4;0.124\n8;0.249\n12;0.366\n16;0.490")
        >>> found.concentration("0.300", dilution=5)
        48.8 mg/L, 95 % interval 47.7 to 50.0 mg/L (5-fold
        dilution).
        """
        self._refuse_bend()
        y, m, scatter = mean_of(absorbance, readings)
        fold, u_fold = fold_of(dilution)
        x, single, dof = self._x(y), self.doubt_at(y), np.inf if self.line.given else self.line.dof
        wild = m > 1 and scatter > WILD * single
        dof = min(dof, m - 1) if wild else dof
        single = max(single, scatter)
        doubt, cover, side = single / sqrt(m), coverage_factor(_COVER, dof), coverage_factor(_SIDE, dof)
        u = hypot(doubt, self.line.predict(x)[1]) / self.line.slope
        self._refuse_above(x, u, y, fold)
        low, high = self._fieller(y, doubt, cover)
        size, known = x * fold, coverage_factor(_COVER, np.inf)
        far = known * x * u_fold
        ends = (size - hypot((x - low) * fold, far), size + hypot((high - x) * fold, far))
        kind, upper, seen = "number", None, True
        critical = side * hypot(doubt, self.line.predict(0.0)[1]) / self.line.slope
        if wild and x < 2 * critical:
            raise RangeProblem(DISAGREE)
        if x < -UNDER * critical:
            raise RangeProblem(f"An absorbance of {number_text(y, 3)} is below that of none at all ({number_text(self.line.intercept, 3)}). Was it read against "
                               "another blank, or in another cell? Set the zero again, and read all again.")  # fmt: skip
        if x < 2 * critical:
            kind, seen = "below", x >= critical
            upper = Q((fold + known * u_fold) * max(self._fieller(y, doubt, side)[1], critical), self.unit)
        return Concentration(
            Q(size, self.unit), Q(hypot(u * fold, x * u_fold), self.unit), *(Q(end, self.unit) for end in ends), kind=kind, upper=upper, seen=seen,
            dof=dof, absorbance=y, readings=m, dilution=fold, u_dilution=u_fold, notes=tuple(self._remarks(x, y, single)))  # fmt: skip

    def covariance(self, first, second):
        """Return the covariance of two Concentrations read from this line, plain, in ``unit`` squared: what the line brings to both."""
        away = [self._x(found.absorbance) - self.line.middle for found in (first, second)]
        shared = self.line.u_middle**2 + away[0] * away[1] * self.line.u_slope**2
        return first.dilution * second.dilution * shared / self.line.slope**2

    def correlation(self, first, second):
        """Return the correlation, -1 to 1, of two Concentrations read from this line.

        >>> line = calibration("mg/L;A\\n0;0.003\\n4;0.124\\n8;0.249\\n12;0.366\\n16;0.490")
        >>> round(line.correlation(line.concentration(0.45), line.concentration(0.42)), 2)
        0.3
        """
        sizes = [number(found.uncertainty, self.unit) for found in (first, second)]
        return float(np.clip(self.covariance(first, second) / (sizes[0] * sizes[1]), -1, 1)) if all(sizes) else 0.0

    def difference(self, first, second):
        """Return the Difference ``first`` less ``second`` of two Concentrations read from this line.

        What is wrong with the line is wrong with both: with equal dilutions its height drops out, and only its slope
        and the two readings are left.

        >>> line = calibration("mg/L;A\\n0;0.003\\n4;0.124\\n8;0.249\\n12;0.366\\n16;0.490")
        >>> line.difference(line.concentration(0.45), line.concentration(0.42))
        0.99 mg/L, 95 % interval 0.70 to 1.28 mg/L.
        """
        size = number(first.value, self.unit) - number(second.value, self.unit)
        parts = [number(found.uncertainty, self.unit) for found in (first, second)]
        variance = parts[0] ** 2 + parts[1] ** 2 - 2 * self.covariance(first, second)
        u, dof = sqrt(max(variance, 0.0)), min(first.dof, second.dof, np.inf if self.line.given else self.line.dof)
        far = coverage_factor(_COVER, dof) * u
        apart = sqrt(parts[0] ** 2 + parts[1] ** 2)
        return Difference(
            Q(size, self.unit),
            Q(u, self.unit),
            Q(size - far, self.unit),
            Q(size + far, self.unit),
            dof,
            Q(apart, self.unit),
        )

    def _x(self, y):
        return (y - self.line.intercept) / self.line.slope

    def _fieller(self, y, doubt, t):
        """Return (low, high) between which the true concentration lies."""
        line = self.line
        rise = y - line.intercept - line.slope * line.middle
        a = line.slope**2 - (t * line.u_slope) ** 2
        if a <= 0:  # the slope is not known well enough for so few readings of the sample
            raise RangeProblem(DISAGREE)
        c = rise**2 - t**2 * (doubt**2 + line.u_middle**2)
        root = sqrt(max((line.slope * rise) ** 2 - a * c, 0.0))
        return line.middle + (line.slope * rise - root) / a, line.middle + (line.slope * rise + root) / a

    def _refuse_bend(self):
        if self.level == "bends":
            advice = "Make standards over a smaller range." if self.straight_to is None else (
                f"Use the lower part, which is straight up to {number_text(self.straight_to, 3)} {self.unit}: "
                f"up_to=\"{number_text(self.straight_to, 3)} {self.unit}\", and dilute samples into it.")  # fmt: skip
            raise RangeProblem(
                f"The standards bend: a line would be off by up to {100 * self.bend:.0f} % of the highest. {advice}"
            )

    def _refuse_above(self, x, u, y, fold):
        lowest, highest = self.ends
        if x <= highest + u:
            return
        wanted = 2 * x / (lowest + highest)
        more = min(_FOLDS, key=lambda step: abs(np.log(step / wanted)))
        whole = f", {fold * more:g}-fold in all" if fold > 1 else ""
        least = " at least" if y > DARK else ""
        raise RangeProblem(f"An absorbance of {number_text(y, 3)} is above the highest standard ({number_text(highest, 3)} {self.unit}), where nothing was "
                           f"measured. Dilute the sample{least} {more:g}-fold{' more' if fold > 1 else ''} (1 mL filled up to {more:g} mL{whole}) and read "
                           "again, which brings it near the middle; or make a higher standard.")  # fmt: skip

    def _remarks(self, x, y, single):
        lowest, highest = self.ends
        if x > highest:
            yield "This is at the very end of the standards."
        if 0 < x < lowest * (1 - 1e-9):
            yield f"This is below the lowest standard, {number_text(lowest, 3)} {self.unit}."
        if y > DARK:
            yield f"An absorbance over {DARK:g} is not to be trusted (common practice): stray light makes it read low. Dilute."
        if single > self.doubt_at(y):
            yield "The readings of this sample scatter more than the standards do, so its doubt is taken from them."

    def __str__(self):
        line, unit = self.line, self.unit
        lowest, highest = (number_text(end, 3) for end in self.ends)
        told = {"straight": "No bend is seen.", "too few to tell": "There are too few standards to see a bend.",
                "bends": f"It bends, by up to {100 * self.bend:.0f} % of the highest: use the lower part"
                         + ("." if self.straight_to is None else f", up to {number_text(self.straight_to, 3)} {unit}.")}[self.level]  # fmt: skip
        slope, height = with_doubt(line.slope, line.u_slope), with_doubt(line.intercept, line.u_intercept)
        said = [f"Absorbance rises by {slope} per {unit} from {height} (standard uncertainties), over {lowest} to {highest} {unit}, "
                f"{line.count} standards. {told}"]  # fmt: skip
        if self.level != "bends":
            said.append(f"Detection limit {number_text(self.detection_limit().magnitude, 2)} {unit} with one reading.")
        return wrapped("\n".join([*said, *self.notes]))

    __repr__ = __str__


def calibration(standards, blank=None, *, u=None, up_to=None, salt=None, reagent=None, formula=None):
    """Return the Calibration of standards.

    Parameters
    ----------
    standards : Readings, path, bytes, text, or (concentrations, absorbances)
        As ``read_standards`` takes and gives them; a pair is a quantity and numbers.
    blank : number or list of numbers, optional
        Absorbance of solvent without the salt, if it is not among the standards: a standard of none.
    u : number, list of numbers or text such as ``"2 %"``, optional
        Standard uncertainties of the absorbances, or their share of each.  Each standard then counts by 1/u², and the
        doubt is larger where they scatter more than that; left out, all count alike and their scatter makes the doubt.
        Give a share where absorbance scatters more the higher it is: left out, high samples get too narrow an interval.
    up_to : quantity or text, optional
        Standards above it are left out.
    salt : str, optional
        What is measured, so that a salt without a colour is refused.
    reagent : str, optional
        What gave it a colour, if it has none of its own.
    formula : str, optional
        As for ``read_columns``.

    Raises
    ------
    RangeProblem
        If there are fewer than three standards at two concentrations, or absorbance does not rise with concentration.

    Notes
    -----
    The bend is that of a parabola through the same standards: it counts if Student's t of its square term is beyond
    95 % and it shifts a standard by more than 2 % of the highest (our choice).  An r² near 1 shows no straightness.

    Examples
    --------
    >>> calibration("mg/L;A\\n0;0.003\\n4;0.124\\n8;0.249\\n12;0.366\\n16;0.490")
    Absorbance rises by 0.03040 ± 0.00016 per mg/L from 0.0032 ±
    0.0015 (standard uncertainties), over 0 to 16.0 mg/L, 5
    standards. No bend is seen.
    Detection limit 0.39 mg/L with one reading.
    """
    _refuse_colourless(salt, reagent)
    found = _standards(standards, formula)
    unit = found.units["concentration"]
    if blank is not None:
        found = _with_blank(found, absorbances(blank, "blank"))
    left = None
    if up_to is not None:
        top = _in_unit(up_to, unit)
        inside = found["concentration"] <= top * (1 + 1e-9)
        found, left = found.where(inside), found.where(~inside)
    x, y = found["concentration"], found["absorbance"]
    if x.size < 3:
        raise RangeProblem(f"A calibration line needs three standards or more, but there are {x.size}.")
    doubts = None if u is None else doubts_of(u, y)
    if x.min() == x.max():
        raise RangeProblem(
            "All standards are of one concentration. A line needs standards at two places or more, better five."
        )
    line, doubts = (straight_line(x, y), None) if doubts is None else widened(x, y, doubts)
    g, (bend, sure) = line.coverage(_COVER) * line.u_slope, bend_of(x, y, doubts)
    if not line.slope > 0 or g > WEAK * line.slope:
        _refuse_line(found, unit, line.slope > 0 and sure and bend > BENT, farthest(x, y))
    level = "too few to tell" if x.size < 5 or np.unique(x).size < 4 else "straight"
    level = "bends" if sure and bend > BENT else level
    straight_to = straight_up_to(x, y, doubts) if level == "bends" else None
    return Calibration(
        found, line, unit, level, bend, straight_to, left, doubts, tuple(_notes(found, line, sure, bend, doubts))
    )


def _refuse_line(found, unit, bends, odd):
    x = found["concentration"]
    if bends:
        lower = straight_up_to(x, found["absorbance"])
        least = np.unique(x)[len(np.unique(x)) // 2] if lower is None else lower
        raise RangeProblem("The standards bend so much that they make no line. Use the lower part: "
                           f'up_to="{number_text(float(least), 3)} {unit}", with more standards there.')  # fmt: skip
    if odd is not None:
        raise RangeProblem(f"{_named(found, unit, odd)} lies far off the line through the others, so the standards make no line. Read it again, or make it anew.")  # fmt: skip
    raise RangeProblem("Absorbance does not rise clearly with concentration: these standards make no line. Look for mixed-up "
                       "vials, another wavelength, or a higher concentration.")  # fmt: skip


def _named(found, unit, place):
    name = found.labels[place] if found.labels and found.labels[place] else "the standard"
    return f"{name[0].upper()}{name[1:]} ({number_text(float(found['concentration'][place]), 3)} {unit})"


def _refuse_colourless(salt, reagent):
    if salt is None or reagent:
        return
    metal = metal_of(salt)
    if metal in COLOURLESS:
        raise RangeProblem(f"{salt} has no colour, so no absorbance of its own measures it. A titration or a reagent kit for {metal} in water can, "
                           "on a dilute rinse and by its own sheet; if one gave the colour, say so: reagent='its name'.")  # fmt: skip


def _standards(standards, formula):
    if isinstance(standards, Readings):
        return standards
    if isinstance(standards, tuple) and len(standards) == 2:
        absorbance = absorbances(standards[1], "absorbances")
        return readings_of(
            function="calibration",
            concentration=(standards[0], CONCENTRATION),
            absorbance=(Q(absorbance, ""), ABSORBANCE),
        )
    return read_standards(standards, formula=formula)


def _with_blank(found, blank):
    columns = {
        "concentration": np.append(np.zeros(blank.size), found["concentration"]),
        "absorbance": np.append(blank, found["absorbance"]),
    }
    labels = ("blank",) * blank.size + (found.labels or ("",) * len(found))
    return Readings(columns, found.units, labels, found.rows, found.left_out, found.skipped, found.notes)


def _in_unit(value, unit):
    need = "[concentration] > 0" if "mol" in unit else "[mass concentration] > 0"
    return number(nominal(checked(value, need, "up_to", "calibration")), unit)


def _notes(found, line, sure, bend, doubts):
    if sure and bend <= BENT:
        yield f"A slight bend is there, of {100 * bend:.1f} % of the highest standard at most: let pass."
    if found["absorbance"].max() > DARK:
        yield f"A standard reads over {DARK:g}, where stray light makes absorbance read low (common practice)."
    if doubts is not None and not line.given:
        yield f"The standards scatter {number_text(line.s, 2)} times as much as the uncertainties that were given say: all doubts are made larger by that."
    elif doubts is not None and line.s < 0.4:
        yield f"The standards scatter {number_text(line.s, 2)} times as much as the uncertainties that were given say."
    odd = farthest(found["concentration"], found["absorbance"]) if doubts is None else None
    if odd is not None:
        yield f"{_named(found, found.units['concentration'], odd)} lies far off the line through the others: look for a slip there."
    if found["concentration"].min() > 0 and abs(line.intercept) > line.coverage(_COVER) * line.u_intercept:
        yield "The line misses zero, and there is no blank among the standards: read one."
    if not np.allclose(found["concentration"], found["concentration"][0]) and found.left_out:
        yield f"{found.left_out} of {found.rows} rows were left out in reading."
