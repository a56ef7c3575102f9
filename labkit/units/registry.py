"""The one unit registry of labkit.

Offset autoconversion stays off: with it on, 20 °C as a *rise* silently becomes 293 K and a sum
comes out fifteen times too large.
"""

import pint

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

    Examples
    --------
    >>> print(f"{Q(250, 'mL').to('L'):~P}")
    0.25 L
    """
    return ureg.Quantity(value, unit)


def is_quantity(thing):
    """Return True for a quantity of labkit's own registry."""
    return isinstance(thing, ureg.Quantity)
