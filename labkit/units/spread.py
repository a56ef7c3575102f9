"""A value that is not certain: how far it may be off, in what shape, and random draws of it."""

from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import numpy as np

from labkit.errors import RangeProblem, UnitProblem
from labkit.units.conversion import converted, number
from labkit.units.dimensions import is_reading
from labkit.units.draws import draws
from labkit.units.ranges import Range
from labkit.units.reader import read
from labkit.units.registry import Q, is_quantity, nominal, plain
from labkit.units.rounding import number_text, unit_text

_PART = {"rectangular": 3**-0.5, "triangular": 6**-0.5, "arcsine": 2**-0.5}  # standard uncertainty over half width
_CHANGE = {"degree_Celsius": "delta_degree_Celsius", "degree_Fahrenheit": "delta_degree_Fahrenheit"}


@dataclass(frozen=True)
class Uncertain:
    """A value with its standard uncertainty.

    ``shape`` is ``"normal"``, ``"rectangular"``, ``"triangular"``, ``"arcsine"`` or ``"guess"`` (of a Range, kept
    in ``span``); ``dof`` are the degrees of freedom of the uncertainty, infinite where it is taken as known.
    """

    value: object
    uncertainty: object
    shape: str = "normal"
    dof: float = np.inf
    span: Range | None = field(default=None, compare=False)

    def __str__(self):
        if self.shape == "guess":
            return f"{self.span} (guess)"
        size, unit = self.spread, unit_text(self.value.units)
        places = max(0, 1 - int(np.floor(np.log10(size)))) if size else 0
        middle = f"{self.middle:.{places}f}" if size and places < 7 else number_text(self.middle, 4)
        known = "" if np.isinf(self.dof) else f", {self.dof:g} degrees of freedom"
        return f"({middle} ± {number_text(size, 2)}) {unit} ({self.shape}{known})".replace(")  (", ") (")

    __repr__ = __str__

    @cached_property
    def middle(self):
        """The value as a plain number in its own unit."""
        return float(self.value.magnitude)

    @cached_property
    def spread(self):
        """The standard uncertainty as a plain number in the unit of the value."""
        return number(self.uncertainty, change_unit(self.value.units))

    def drawn(self, generator, count):
        """Return random draws as plain numbers in the unit of the value.

        A normal one with finite degrees of freedom is drawn from Student's t, as clause 6.4.9 of jcgm_101_2008 asks.
        """
        if self.shape == "guess":
            return draws(self.span, count, generator)
        if self.shape == "normal":
            unit = generator.standard_normal(count) if np.isinf(self.dof) else generator.standard_t(self.dof, count)
            return self.middle + self.spread * unit
        return self.at(generator.random(count))

    def at(self, share):
        """Return the value (plain number, or array) below which a share, 0 to 1, of all draws lies."""
        if self.shape == "guess":
            return _guess_at(self.span, np.asarray(share, dtype=float))
        if self.shape == "normal":
            from scipy.special import ndtri, stdtrit

            return self.middle + self.spread * (ndtri(share) if np.isinf(self.dof) else stdtrit(self.dof, share))
        half = self.spread / _PART[self.shape]
        if self.shape == "rectangular":
            return self.middle + half * (2 * share - 1)
        if self.shape == "triangular":
            side = np.where(share < 0.5, np.sqrt(2 * share) - 1, 1 - np.sqrt(2 * (1 - share)))
            return self.middle + half * side
        return self.middle - half * np.cos(np.pi * share)


def normal(value, uncertainty, dof=np.inf):
    """Return an Uncertain value with a standard uncertainty, of the shape of a bell.

    Parameters
    ----------
    value : quantity or text
        ``"20 °C"``; no ± of its own.
    uncertainty : quantity, text or number
        One standard uncertainty in a unit of the value, or in percent of it: ``"0.2 K"``, ``"1 %"``.  Percent of a
        value that has no unit itself is an amount of its own and not a share of the value.
    dof : number
        Degrees of freedom: infinite if the uncertainty is taken as known, n - 1 from n readings.

    Raises
    ------
    UnitProblem, RangeProblem, ReadingProblem
        If one can't be read, they are of different kinds, or the uncertainty is below zero.

    Examples
    --------
    >>> normal("20 °C", "0.2 K")
    (20.00 ± 0.20) °C (normal)
    """
    return _made("normal", value, uncertainty, 1.0, dof)


def rectangular(value, half_width, dof=np.inf):
    """Return an Uncertain value that may lie anywhere from ``half_width`` below to ``half_width`` above, all alike.

    The standard uncertainty is the half width over √3 (jcgm_100_2008, 4.3.7).  Arguments as for ``normal``.

    >>> rectangular("12.4 mL", "0.05 mL")
    (12.400 ± 0.029) mL (rectangular)
    """
    return _made("rectangular", value, half_width, _PART["rectangular"], dof)


def triangular(value, half_width, dof=np.inf):
    """Return an Uncertain value that is likelier near the middle: half width over √6 (jcgm_100_2008, 4.3.9).

    >>> triangular("100 mL", "0.1 mL")
    (100.000 ± 0.041) mL (triangular)
    """
    return _made("triangular", value, half_width, _PART["triangular"], dof)


def arcsine(value, half_width, dof=np.inf):
    """Return an Uncertain value that swings to and fro like a thermostat and is likeliest near its ends.

    The standard uncertainty is the half width over √2 (jcgm_100_2008, H.1.3.4).

    >>> arcsine("20 °C", "0.5 K")
    (20.00 ± 0.35) °C (arcsine)
    """
    return _made("arcsine", value, half_width, _PART["arcsine"], dof)


def from_readings(readings):
    """Return an Uncertain mean of repeated readings: s/√n, with n - 1 degrees of freedom (jcgm_100_2008, 4.2).

    Parameters
    ----------
    readings : quantity with an array, or list of texts or quantities of one kind
        At least two, each taken anew.  Repeating does not find what is wrong with all of them alike.

    Raises
    ------
    RangeProblem
        If there are fewer than two, or one is not finite.

    Examples
    --------
    >>> from_readings(["12.4 mL", "12.6 mL", "12.5 mL"])
    (12.500 ± 0.058) mL (normal, 2 degrees of freedom)
    """
    values = _plain_readings(readings)
    unit, numbers = values.units, values.magnitude
    spread = numbers.std(ddof=1) / np.sqrt(numbers.size)
    return Uncertain(Q(float(numbers.mean()), unit), Q(float(spread), change_unit(unit)), "normal", numbers.size - 1)


def readings_correlation(first, second):
    """Return the correlation, -1 to 1, of two quantities that were read together several times (jcgm_100_2008, 5.2.3).

    >>> round(readings_correlation(Q([1, 2, 3], "V"), Q([2, 3, 5], "mA")), 3)
    0.982
    """
    pair = [_plain_readings(readings).magnitude for readings in (first, second)]
    if pair[0].size != pair[1].size:
        raise RangeProblem(f"Readings that were taken together are equally many, but these are {pair[0].size} "
                           f"and {pair[1].size}.")  # fmt: skip
    if min(np.ptp(numbers) for numbers in pair) == 0:
        raise RangeProblem("Readings that are all the same have no correlation with anything.")
    return float(np.corrcoef(*pair)[0, 1])


def uncertain(value):
    """Return a value as Uncertain: of a Range, a quantity or text with ±; None if it is certain.

    A Range keeps its likely value; its standard uncertainty is that of ``labkit.units.draws``.

    >>> uncertain("12.4 ± 0.2 mL"), uncertain("12.4 mL")
    ((12.40 ± 0.20) mL (normal), None)
    """
    if isinstance(value, Uncertain):
        return value
    if isinstance(value, Range):
        if value.low == value.high:
            return None
        return Uncertain(value.likely, Q(_guess_spread(value), change_unit(value.likely.units)), "guess", span=value)
    value = read(value) if isinstance(value, str) else value
    spread = getattr(getattr(value, "magnitude", None), "std_dev", 0)
    return Uncertain(nominal(value), Q(float(spread), change_unit(value.units))) if spread else None


def _made(shape, value, width, part, dof):
    value = read(value) if isinstance(value, str) else value if is_quantity(value) else Q(value)
    if np.ndim(value.magnitude) or plain(value.magnitude) is not value.magnitude:
        raise RangeProblem(f"{shape}() takes one plain value, without ± of its own. Type for instance "
                           f'{shape}("20 °C", "0.2 K").')  # fmt: skip
    width = read(width) if isinstance(width, str) else width if is_quantity(width) else Q(width)
    unit, value = change_unit(value.units), Q(float(value.magnitude), value.units)
    if not width.dimensionality and value.dimensionality and not is_reading(value):
        width = Q(abs(value.magnitude) * number(width, "dimensionless"), unit)
    if is_reading(width):
        raise UnitProblem(f"{shape}() needs a temperature change for the uncertainty, but {width:~P} is a thermometer "
                          f"reading. Type {number_text(plain(width.magnitude), 2)} K.")  # fmt: skip
    width = converted(width, unit)
    if not 0 <= plain(width.magnitude) < np.inf or not np.isfinite(value.magnitude):
        raise RangeProblem(f"An uncertainty is zero or more, and finite, but this is {value:~P} ± {width:~P}.")
    if not dof >= 1:
        raise RangeProblem(f"There is at least 1 degree of freedom, but {dof:g} were given.")
    return Uncertain(value, Q(float(width.magnitude) * part, unit), shape, float(dof))


def _plain_readings(readings):
    if not is_quantity(readings):
        items = [read(item) if isinstance(item, str) else item if is_quantity(item) else Q(item) for item in readings]
        unit = items[0].units if items else Q(0).units
        readings = Q([float(plain(converted(item, unit).magnitude)) for item in items], unit)
    numbers = np.asarray(readings.magnitude, dtype=float)
    if numbers.ndim != 1 or numbers.size < 2 or not np.isfinite(numbers).all():
        raise RangeProblem('It takes two readings or more, all finite. Type for instance ["12.4 mL", "12.6 mL"].')
    return Q(numbers, readings.units)


@lru_cache(maxsize=512)
def change_unit(units):
    """Return the unit of a difference of two values: kelvins for degrees of a thermometer."""
    return Q(1, _CHANGE.get(str(units), units)).units


def _guess_spread(span):
    """Return the standard deviation of what ``draws`` gives for a Range, worked out and not drawn."""
    mean = square = 0.0
    ratio = not is_reading(span.likely)
    low, likely, high = span.m_as(span.likely.units)
    for start, end in ((low, likely), (likely, high)):
        if ratio and start > 0 and end > start:
            span_of_logs = np.log(end / start)
            mean += (end - start) / span_of_logs / 2
            square += (end**2 - start**2) / (2 * span_of_logs) / 2
        else:
            mean += (start + end) / 4
            square += (start**2 + start * end + end**2) / 6
    return float(np.sqrt(max(square - mean**2, 0)))


def _guess_at(span, share):
    low, likely, high = span.m_as(span.likely.units)
    below = share < 0.5
    place = 2 * np.where(below, share, share - 0.5)
    ratio = not is_reading(span.likely)

    def between(start, end):
        return start * (end / start) ** place if ratio and start > 0 else start + (end - start) * place

    return np.where(below, between(low, likely), between(likely, high))
