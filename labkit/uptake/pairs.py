"""Two columns as plain numbers with their units: what is fitted, from readings or from quantities."""

from dataclasses import dataclass, field

import numpy as np

from labkit.errors import RangeProblem, UnitProblem
from labkit.units import Q, checked, is_quantity, nominal, number, read
from labkit.units.dimensions import agrees
from labkit.uptake.readings import Readings


@dataclass(frozen=True, eq=False)
class Pairs:
    """Arrays ``x`` and ``y`` in ``x_unit`` and ``y_unit``, the standard uncertainty ``u`` of each y or None, and notes on what was left out."""

    x: np.ndarray
    y: np.ndarray
    u: np.ndarray | None
    x_unit: str
    y_unit: str
    notes: tuple = field(default=())


def pairs_of(given, uptake, doubt, name, units, function):
    """Return the Pairs of readings or of two quantities.

    Parameters
    ----------
    given : Readings, or quantity of the column ``name``
    uptake : quantity, or None with Readings
    doubt : quantity or text, or None
        Standard uncertainty of an uptake, one for all or one for each, or a share of each.
    name : str
        ``"concentration"`` or ``"time"``.
    units : dict
        From a dimension that the column may have to the unit it is put into.
    function : str
        For messages.

    Raises
    ------
    UnitProblem, RangeProblem
        If a unit is missing or of another kind, or the lengths differ.

    Examples
    --------
    >>> found = pairs_of(Q([0.01, 0.02], "g/L"), Q([1.0, 1.5], "mg/g"), None, "concentration", {"[mass concentration]": "mg/L"}, "report")
    >>> found.x.tolist(), found.x_unit, found.y.tolist(), found.y_unit
    ([10.0, 20.0], 'mg/L', [1.0, 1.5], 'mg/g')
    """
    if isinstance(given, Readings):
        if uptake is not None:
            raise RangeProblem(f"{function}() takes readings, or {name} and uptake, but not both.")
        x, y = given.quantity(name), given.quantity("uptake")
    else:
        if not is_quantity(given) or not is_quantity(uptake):
            raise UnitProblem(f"{function}() needs readings, or a quantity for the {name} and one for the uptake. Type for instance "
                              f"uptake=Q([4.1, 6.0], 'mg/g').")  # fmt: skip
        x, y = given, uptake
    x_unit = next((unit for need, unit in units.items() if agrees(x, need)), None)
    x = checked(x, next(iter(units)), name, function) if x_unit is None else x
    y_unit = "mg/g" if agrees(y, "[]") else "mmol/g"
    if y_unit == "mmol/g" and y.dimensionality != Q(1, "mmol/g").dimensionality:
        raise UnitProblem(
            f"{function}() needs the uptake as mass of metal in a mass of powder, as in Q([4.1, 6.0], 'mg/g')."
        )
    # A bare number is no share: 4.1 would be taken as 4100 mg/g.
    if str(y.units) == "dimensionless":
        raise UnitProblem(f"{function}() needs the unit of the uptake, as in Q([4.1, 6.0], 'mg/g').")
    x, y = (np.atleast_1d(number(nominal(part), unit)).astype(float) for part, unit in ((x, x_unit), (y, y_unit)))
    if x.ndim > 1 or x.shape != y.shape:
        raise RangeProblem(f"{function}() needs one uptake for each {name}, but there are {y.size} and {x.size}.")
    u = None
    if doubt is not None:
        doubt = read(doubt) if isinstance(doubt, str) else doubt
        if is_quantity(doubt) and str(doubt.units) == "percent":
            # A share of nothing is nothing: a small uptake is known no better than a tenth of the highest.
            least = np.abs(y[np.isfinite(y)]).max(initial=0) / 10
            doubt = Q(number(nominal(doubt), "dimensionless") * np.maximum(np.abs(y), least), y_unit)
        if (
            not is_quantity(doubt)
            or str(doubt.units) == "dimensionless"
            or doubt.dimensionality != Q(1, y_unit).dimensionality
        ):
            raise UnitProblem(
                f"{function}() needs the doubt of an uptake with its unit, as in doubt='0.3 {y_unit}', or as a share of each, '5 %'."
            )
        u = np.ravel(number(nominal(doubt), y_unit))
        if u.size not in (1, x.size):
            raise RangeProblem(f"{function}() needs one doubt, or one for each of the {x.size} readings.")
        u = np.broadcast_to(u, x.shape).astype(float)
        if not (np.isfinite(u) & (u > 0)).all():
            raise RangeProblem(f"{function}() needs a doubt of more than zero.")
    good = np.isfinite(x) & np.isfinite(y) & (x >= 0)
    notes = ()
    if not good.all():
        what = f"{name}s below zero, or no number" if (x < 0).any() else "readings that are no number"
        notes = (f"{(~good).sum()} of {x.size} left out: {what}.",)
    return Pairs(x[good], y[good], None if u is None else u[good], x_unit, y_unit, notes)
