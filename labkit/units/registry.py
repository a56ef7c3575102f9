"""The one unit registry of labkit.

Offset autoconversion stays off: with it on, 20 °C as a *rise* silently becomes 293 K and a sum
comes out fifteen times too large.
"""

import pint

from labkit.errors import UnitProblem

ureg = pint.UnitRegistry(autoconvert_offset_to_baseunit=False, on_redefinition="ignore")
# People write a capital L on a bottle; pint's own symbol is a small l, which looks like a one.
ureg.define("liter = decimeter ** 3 = L = l = ℓ = litre")


def Q(value, unit="dimensionless"):
    """Return a quantity of labkit's registry.

    Parameters
    ----------
    value : number, array or ``uncertainties.ufloat``
    unit : str
        A unit in pint's spelling: ``"g"``, ``"mol/L"``, ``"degC"`` for a thermometer reading,
        ``"delta_degC"`` for a temperature change.

    Raises
    ------
    UnitProblem
        If the value is text, which pint would try to work out, or the unit is not known.

    Examples
    --------
    >>> print(f"{Q(250, 'mL').to('L'):~P}")
    0.25 L
    """
    if isinstance(value, str):
        raise UnitProblem("Q() takes a number, a comma and a unit: Q(2.5, 'g'). For text there is read('2.5 g').")
    try:
        return ureg.Quantity(value, unit)
    except pint.UndefinedUnitError:
        raise UnitProblem(f"Q() does not know the unit {unit!r}. Type for instance Q(2.5, 'g').") from None


def is_quantity(thing):
    """Return True for a quantity of labkit's own registry."""
    return isinstance(thing, ureg.Quantity)


def nominal(quantity):
    """Return a quantity without its ``±``; one that has none comes back as it is."""
    magnitude = quantity.magnitude
    return Q(magnitude.nominal_value, quantity.units) if hasattr(magnitude, "nominal_value") else quantity
