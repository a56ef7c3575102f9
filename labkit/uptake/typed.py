"""Amounts as they are typed, with or without a doubt: concentrations as metal, values, and what an interval says."""

import numpy as np

from labkit.chemistry.formula import atom_counts, mass_fractions, molar_mass
from labkit.errors import RangeProblem, UnitProblem
from labkit.solutions import metal_of
from labkit.units import Range, agrees, checked, is_quantity, nominal, number, printed, read, read_range
from labkit.units.spread import Uncertain, uncertain

OF = ("metal", "salt")  # what a mass concentration is the mass of
SEEN, ROUGH, NOT_SEEN, IMPOSSIBLE = "seen", "seen, but roughly", "not seen", "impossible"
ROUGHLY = 0.5  # our choice: an interval that reaches farther than this part of the value to either side is rough


def seen_level(low, likely, high):
    """Return in words what an interval for 95 % says of a difference: plain numbers of one unit.

    >>> seen_level(3, 4, 5), seen_level(-1, 2, 5), seen_level(-5, -3, -1), seen_level(1, 4, 7)
    ('seen', 'not seen', 'impossible', 'seen, but roughly')
    """
    if high < 0:
        return IMPOSSIBLE
    if low <= 0:
        return NOT_SEEN
    return ROUGH if max(high - likely, likely - low) > ROUGHLY * likely else SEEN


def interval(found):
    """Return the Range of a Budget: its value between the ends for its coverage, of the draws if there are any.

    >>> from labkit.units import budget
    >>> print(interval(budget(lambda mass: 2 * mass, mass="10 ± 1 g", count=0)))
    16 to 24 g, likely 20 g
    """
    ends = found.symmetric or (found.value - found.expanded, found.value + found.expanded)
    return Range(min(ends[0], found.value), found.value, max(ends[1], found.value), "95 of 100")


def metal_per_millilitre(concentration, salt, of="metal"):
    """Return the function that turns concentrations of a kind into plain mg of metal per mL.

    Parameters
    ----------
    concentration : quantity [mass concentration] or [concentration]
        One of the kind; others of its kind may be arrays.
    salt : str
    of : str
        ``"metal"`` or ``"salt"``, for a mass concentration.

    Raises
    ------
    LabError
        If it is neither, or the salt brings no metal.

    Examples
    --------
    >>> from labkit.units import Q
    >>> in_metal = metal_per_millilitre(Q(1, "mmol/L"), "FeCl3")
    >>> round(in_metal(Q(20, "mmol/L")), 3)
    1.117
    """
    metal = metal_of(salt)
    if agrees(concentration, "[concentration]"):
        grams = number(molar_mass(metal), "g/mol") * atom_counts(salt)[metal]
        return lambda given: number(given, "mol/L") * grams
    if agrees(concentration, "[mass concentration]"):
        part = mass_fractions(salt)[metal] if of == "salt" else 1.0
        return lambda given: number(given, "g/L") * part
    raise UnitProblem(f"A concentration is a mass or an amount in a volume, but {concentration:~P} is neither. Type for instance "
                      "'612 ± 6 mg/L' or '11.0 ± 0.1 mmol/L'.")  # fmt: skip


def typed_concentration(given, name, function):
    """Return a concentration as Uncertain, or as a quantity if it has no doubt; refuse one below zero beyond its doubt.

    ``given`` is text, a quantity, an Uncertain, a Range, or a result with ``value``, ``uncertainty`` and perhaps ``dof``.

    >>> typed_concentration("612 ± 6 mg/L", "before", "taken_up")
    (612.0 ± 6.0) mg/L (normal)
    """
    if hasattr(given, "value") and hasattr(given, "uncertainty") and not isinstance(given, Uncertain):
        given = Uncertain(nominal(given.value), nominal(given.uncertainty), "normal", float(getattr(given, "dof", np.inf)))  # fmt: skip
    if isinstance(given, str):
        molar = "mol" in given.replace("mole", "")
        need = "[concentration]" if molar else "[mass concentration]"
        given = read_range(given, need, name, "612 to 630 mg/L") if " to " in given else read(given, need, name, "612 ± 6 mg/L")  # fmt: skip
    elif not isinstance(given, (Range, Uncertain)) and not is_quantity(given):
        checked(given, "[mass concentration]", name, function)  # raises, and says what to type
    found = uncertain(given) or (given.likely if isinstance(given, Range) else given)
    middle = nominal(middle_of(found))
    metal_per_millilitre(middle, "FeCl3")  # a concentration at all?
    if np.ndim(middle.magnitude) or not np.isfinite(middle.magnitude):
        raise RangeProblem(f"{function}() needs one finite concentration {name}. Type for instance {name}='612 ± 6 mg/L'.")  # fmt: skip
    below = -middle.magnitude - (2 * found.spread if isinstance(found, Uncertain) else 0)
    if below > 0:
        raise RangeProblem(f"A concentration cannot be below zero, but {name} is {printed(middle)}: look at the blank.")
    return found


def line_correlation(line, first, second, function):
    """Return the correlation of two results of one Calibration; RangeProblem if they are none.

    >>> from labkit.uptake.calibration import calibration
    >>> line = calibration("mg/L;A\\n0;0.003\\n4;0.124\\n8;0.249\\n12;0.366\\n16;0.490")
    >>> round(line_correlation(line, line.concentration(0.45), line.concentration(0.42), "taken_up"), 1)
    0.3
    """
    if not all(hasattr(found, "absorbance") and hasattr(found, "dilution") for found in (first, second)):
        raise RangeProblem(f"{function}() takes a line only with concentrations read from it: line.concentration(0.45). With typed ones, "
                           "type a correlation.")  # fmt: skip
    return line.correlation(first, second)


def typed_value(given, need, name, function):
    """Return what was given as Uncertain, or as a quantity if it has no doubt.

    >>> typed_value("75 ± 1 mL", "[volume] > 0", "volume", "taken_up"), str(typed_value("75 mL", "[volume]", "volume", "taken_up"))
    ((75.0 ± 1.0) mL (normal), '75.0 milliliter')
    """
    if isinstance(given, str):
        given = read_range(given, need, name) if " to " in given else read(given, need, name)
    for value in given.ends if isinstance(given, Range) else (given.value if isinstance(given, Uncertain) else given,):
        value = checked(value, need, name, function)
        if np.ndim(nominal(value).magnitude):
            raise RangeProblem(f"{function}() takes one {name.replace('_', ' ')} at a time.")
    return uncertain(given) or (given.likely if isinstance(given, Range) else given)


def middle_of(given):
    """Return the value of an Uncertain, and anything else as it is."""
    return given.value if isinstance(given, Uncertain) else given
