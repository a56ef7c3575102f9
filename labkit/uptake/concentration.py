"""What is read from a calibration line: a concentration with its interval, or an upper bound; and a difference of two."""

from dataclasses import dataclass, field

import numpy as np

from labkit.errors import LabError, RangeProblem
from labkit.units import Q, Range, checked, nominal, normal, number, number_text, rounded_up, unit_text, wrapped


@dataclass(frozen=True, eq=False, repr=False)
class Concentration:
    """A concentration of the sample before it was diluted.

    ``value`` ± ``uncertainty`` (standard, with ``dof`` degrees of freedom); ``low`` and ``high`` are the ends of the
    95 % interval.  ``kind`` is “number”, or “below” where it is too little for a number: then ``upper`` is what it is
    at most (95 % sure, on one side) and ``seen`` says whether anything is there at all.
    """

    value: object
    uncertainty: object
    low: object
    high: object
    kind: str = "number"
    upper: object = None
    seen: bool = True
    dof: float = np.inf
    absorbance: float = 0.0
    readings: int = 1
    dilution: float = 1.0
    u_dilution: float = 0.0
    notes: tuple = field(default=())

    @property
    def range(self):
        """The 95 % interval as a Range, not below zero; where there is no number, from zero to the upper bound."""
        unit = self.value.units
        low, likely, high = (max(number(end, unit), 0.0) for end in (self.low, self.value, self.high))
        if self.kind == "below":
            top = number(self.upper, unit)
            low, likely, high = 0.0, min(likely, top), top
        return Range(Q(low, unit), Q(likely, unit), Q(high, unit))

    @property
    def uncertain(self):
        """The same as an Uncertain value, for ``labkit.units.budget``."""
        return normal(self.value, self.uncertainty, self.dof)

    @property
    def text(self):
        """The concentration in a few words: ``48.9 mg/L, 95 % interval 47.6 to 50.2 mg/L``."""
        unit = unit_text(self.value.units)
        if self.kind == "below":
            words = "seen, but too little for a number" if self.seen else "not seen"
            return f"{words}: below {rounded_up(self.upper.magnitude, 2)} {unit}"
        low, high = ends_text(self.low.magnitude, self.high.magnitude)
        return f"{as_fine(self.value.magnitude, (self.high - self.low).magnitude / 2)} {unit}, 95 % interval {low} to {high} {unit}"

    def __str__(self):
        diluted = f" ({self.dilution:g}-fold dilution)" if self.dilution > 1 else ""
        return wrapped("\n".join([f"{self.text[0].upper()}{self.text[1:]}{diluted}.", *self.notes]))

    __repr__ = __str__


@dataclass(frozen=True, eq=False, repr=False)
class Difference:
    """A difference of two concentrations from one line.

    ``apart`` is the standard uncertainty that would come out if each were from a line of its own.
    """

    value: object
    uncertainty: object
    low: object
    high: object
    dof: float
    apart: object

    @property
    def seen(self):
        """True if zero lies outside the 95 % interval."""
        return not self.low.magnitude <= 0 <= self.high.magnitude

    @property
    def uncertain(self):
        """The same as an Uncertain value, for ``labkit.units.budget``."""
        return normal(self.value, self.uncertainty, self.dof)

    def __str__(self):
        unit = unit_text(self.value.units)
        low, high = ends_text(self.low.magnitude, self.high.magnitude)
        lost = "" if self.seen else " It is lost in its doubt."
        return wrapped(
            f"{as_fine(self.value.magnitude, (self.high - self.low).magnitude / 2)} {unit}, 95 % interval {low} to {high} {unit}.{lost}"
        )

    __repr__ = __str__


def doubt_of(quantity):
    """Return (plain value, plain standard uncertainty) of a quantity that may have been typed with a ±.

    >>> from labkit.units import read
    >>> doubt_of(read("10 ± 0.1"))
    (10.0, 0.1)
    """
    spread = getattr(quantity.magnitude, "std_dev", 0.0)
    return number(nominal(quantity), "dimensionless"), float(spread)


def fold_of(dilution):
    """Return (dilution, its standard uncertainty) from a number or text: 10 for 1 mL filled up to 10 mL.

    >>> fold_of("10 ± 0.1"), fold_of(1)
    ((10.0, 0.1), (1.0, 0.0))
    """
    help = "A dilution is one plain number of 1 or more: 10 for 1 mL filled up to 10 mL."
    try:
        given = checked(dilution, "[] > 0", "dilution", "concentration")
        if str(given.units) != "dimensionless" or np.ndim(given.magnitude):
            raise RangeProblem(help)
    except LabError:
        raise RangeProblem(help) from None
    fold, u = doubt_of(given)
    if not 1 <= fold <= 1e6:
        raise RangeProblem(help)
    if u > fold / 4:
        raise RangeProblem(
            "A dilution that is not known within a quarter gives no concentration. Dilute again with a pipette and a flask."
        )
    return fold, u


def as_fine(size, doubt):
    """Return a number to as many places as its doubt has with two figures.

    >>> as_fine(48.913, 0.42), as_fine(0.0304, 0.00019)
    ('48.91', '0.03040')
    """
    if not doubt or not np.isfinite(doubt):
        return number_text(size, 4)
    places = int(1 - np.floor(np.log10(float(f"{doubt:.1e}"))))
    if not 0 <= places <= 9 or abs(size) >= 1e6:
        return number_text(size, 3)
    return f"{size:.{places}f}"


def ends_text(low, high):
    """Return the two ends of an interval as texts, as fine as it takes to see its width.

    >>> ends_text(47.66, 49.97), ends_text(0.081, 0.092)
    (('47.7', '50.0'), ('0.0810', '0.0920'))
    """
    return as_fine(low, (high - low) / 2), as_fine(high, (high - low) / 2)


def with_doubt(size, doubt):
    """Return ``0.03040 ± 0.00019``.

    >>> with_doubt(0.0304, 0.00019)
    '0.03040 ± 0.00019'
    """
    return f"{as_fine(size, doubt)} ± {as_fine(doubt, doubt)}"
