"""The one unit registry of labkit.

Offset autoconversion stays off: with it on, 20 °C as a *rise* silently becomes 293 K and a sum
comes out fifteen times too large.
"""

import re
from functools import lru_cache
from numbers import Number

import numpy as np
import pint

from labkit.errors import UnitProblem

LONGEST_UNIT = 80
ureg = pint.UnitRegistry(autoconvert_offset_to_baseunit=False, on_redefinition="ignore")
# People write a capital L on a bottle; pint's own symbol is a small l, which looks like a one.
ureg.define("liter = decimeter ** 3 = L = l = ℓ = litre")


# Names with whole powers, joined by strokes and stars.  Nothing else reaches pint's parser, which would work out sums.
_NAME = r"[A-Za-zµμΔΩ°%_]+(?: ?(?:\*\*|\^) ?-?[0-9]{1,2}|⁻?[⁰¹²³⁴-⁹]{1,2})?"
_SPELLING = re.compile(rf"(?:1|{_NAME})(?: ?[/*·] ?{_NAME})*")


@lru_cache(maxsize=1024)
def spelled_unit(text):
    """Return the unit that a text in pint's spelling names: ``"kg/m**3"``.

    Raises
    ------
    UnitProblem
        If it is anything but names and powers, or a name is not known.
    """
    if not text:
        return ureg.dimensionless
    try:
        if len(text) <= LONGEST_UNIT and _SPELLING.fullmatch(text):
            return ureg.Unit(text)
    except Exception:  # pint raises errors of many kinds, its tokenizer's too
        pass
    shown = "".join(mark if mark.isprintable() else "□" for mark in text[:30])
    raise UnitProblem(f"labkit does not know the unit “{shown}”. Type for instance g, mL or mol/L.")


def Q(value, unit="dimensionless"):
    """Return a quantity of labkit's registry.

    Parameters
    ----------
    value : number, list or array of numbers, or ``uncertainties.ufloat``
    unit : str
        A unit in pint's spelling: ``"g"``, ``"mol/L"``, ``"degC"`` for a thermometer reading,
        ``"delta_degC"`` for a temperature change.

    Raises
    ------
    UnitProblem
        If the value is not made of numbers, or the unit is not known.  Text is refused, because
        pint would try to work it out.

    Examples
    --------
    >>> print(f"{Q(250, 'mL').to('L'):~P}")
    0.25 L
    """
    if not isinstance(value, (int, float)):
        value = _numbers(value)
    if isinstance(unit, str):
        unit = spelled_unit(unit)
    elif not isinstance(unit, ureg.Unit):
        raise UnitProblem(f"Q() takes a unit as text, but this is of type {type(unit).__name__}. "
                          "Type for instance Q(2.5, 'g').")  # fmt: skip
    if is_quantity(value) and value.dimensionality != unit.dimensionality:
        raise UnitProblem(f"Q() cannot turn {value:~P} into “{unit}”. Give the number alone: Q(2.5, 'g').")
    return ureg.Quantity(value, unit)


def _numbers(value):
    """Return what Q is given, once it is known to be a number or numbers."""
    if isinstance(value, str):
        raise UnitProblem("Q() takes a number, a comma and a unit: Q(2.5, 'g'). For text there is read('2.5 g').")
    if hasattr(value, "likely"):
        raise UnitProblem("This is a range: printed_range() prints it, and range_from() carries it through a sum.")
    if hasattr(value, "nominal_value") or is_quantity(value):
        return value
    try:
        items = np.asarray(value)
        good = items.dtype.kind in "biuf" or items.dtype.kind == "O" and all(
            isinstance(item, (int, float, Number)) or hasattr(item, "nominal_value") for item in items.flat
        )  # fmt: skip
    except Exception:  # rows of unequal length, or something that only looks like a list
        good = False
    if not good:
        several = isinstance(value, (list, tuple, np.ndarray))
        found = "this list holds something else" if several else f"this is of type {type(value).__name__}"
        raise UnitProblem(f"Q() takes a number or a list of numbers, but {found}. Type for instance Q(2.5, 'g').")
    return value


def is_quantity(thing):
    """Return True for a quantity of labkit's own registry."""
    return isinstance(thing, ureg.Quantity)


def plain(magnitude):
    """Return a number or array of numbers without its ``±``; one that has none comes back as it is."""
    if isinstance(magnitude, float):  # by far the most frequent
        return magnitude
    if hasattr(magnitude, "nominal_value"):
        return magnitude.nominal_value
    if isinstance(magnitude, np.ndarray) and magnitude.dtype.kind == "O":
        numbers = [float(getattr(item, "nominal_value", item)) for item in magnitude.flat]
        return np.array(numbers).reshape(magnitude.shape)
    return magnitude


def nominal(quantity):
    """Return a quantity, single or array, without its ``±``; one that has none comes back as it is.

    >>> from uncertainties import ufloat
    >>> print(f"{nominal(Q(ufloat(2.5, 0.1), 'g')):~P}")
    2.5 g
    """
    middle = plain(quantity.magnitude)
    return quantity if middle is quantity.magnitude else ureg.Quantity(middle, quantity.units)
