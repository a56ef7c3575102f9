"""The same quantity in another unit, and the bare number that it then is."""

from functools import lru_cache

import numpy as np
import pint

from labkit.errors import UnitProblem
from labkit.units.dimensions import in_words
from labkit.units.reader import unit_from_text
from labkit.units.registry import plain, ureg


def converted(quantity, unit):
    """Return a quantity in another unit of its kind.

    Parameters
    ----------
    quantity : quantity
        Single or array; may carry an uncertainty.
    unit : str or unit
        Text is read by ``unit_from_text``, so it may come from a person.

    Raises
    ------
    UnitProblem
        If the unit is not known, or belongs to another kind of quantity.

    Examples
    --------
    >>> from labkit.units import Q
    >>> print(f"{converted(Q(250, 'mL'), 'L'):~P}")
    0.25 L
    """
    unit = unit if isinstance(unit, ureg.Unit) else unit_from_text(unit)
    magnitude = quantity.magnitude
    if type(magnitude) is float:
        factor = _factor(quantity.units, unit)
        if factor is not None:
            return ureg.Quantity(magnitude * factor, unit)
    try:
        return quantity.to(unit)
    except pint.DimensionalityError:
        size = f"{quantity:~P}" if not np.ndim(quantity.magnitude) else "an array"
        raise UnitProblem(f"{size} is {in_words(quantity)}, but “{unit:~P}” is the unit of something else: "
                          f"{in_words(ureg.Quantity(1, unit))}. Type a unit that fits, such as "
                          f"{quantity.units:~P}.") from None  # fmt: skip


def number(quantity, unit):
    """Return the plain number, or array of numbers, that a quantity is in a unit; a ``±`` is left out.

    Raises UnitProblem as ``converted`` does.

    Examples
    --------
    >>> from labkit.units import Q
    >>> number(Q(250, "mL"), "L"), number(Q([20, 30], "percent"), "dimensionless").tolist()
    (0.25, [0.2, 0.3])
    """
    magnitude = quantity.magnitude
    if type(magnitude) is float:
        factor = _factor(quantity.units, unit if isinstance(unit, ureg.Unit) else unit_from_text(unit))
        if factor is not None:
            return magnitude * factor
    found = plain(converted(quantity, unit).magnitude)
    return found if isinstance(found, np.ndarray) and found.ndim else float(found)


@lru_cache(4096)  # a panel converts hundreds of times at every keystroke, among a few dozen pairs of units
def _factor(unit, wanted):
    """Return by what a number in one unit is multiplied in another, or None where that is not all there is to it."""
    try:
        zero, one = (ureg.Quantity(size, unit).to(wanted).magnitude for size in (0.0, 1.0))
    except pint.PintError:
        return None
    return one if zero == 0 else None  # a thermometer's scales differ in their zero too
