"""Numbers as a person writes them: significant figures, sensible units, raised exponents."""

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from functools import cache, lru_cache
from numbers import Integral

import numpy as np

from labkit.errors import RangeProblem
from labkit.units.conversion import converted
from labkit.units.parts import figures_of_parts
from labkit.units.registry import Q, is_quantity, plain, ureg

MOST_FIGURES = 15  # a float holds no more
# Versions of pint differ in which micro sign and which dot they print; a page needs one of each.
_ONE_SIGN = {0x03BC: "µ", 0x22C5: "·"}
_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
_LADDERS = (  # small to large; the largest unit with a magnitude of at least one is used
    ("ng", "µg", "mg", "g", "kg"),
    ("nL", "µL", "mL", "L", "m**3"),
    ("pmol", "nmol", "µmol", "mmol", "mol"),
    ("µs", "ms", "s", "min", "h", "day", "year"),
    ("nm", "µm", "mm", "m", "km"),
    ("mJ", "J", "kJ", "MJ"),
    ("mW", "W", "kW"),
    ("Pa", "kPa"),
    ("µmol/L", "mmol/L", "mol/L"),
    ("nmol/h", "µmol/h", "mmol/h", "mol/h"),
)
_KEEP = ("eV", "meV", "keV", "kWh", "Wh", "h*W", "atm", "mmHg", "torr", "hPa", "mbar", "bar", "month")


def rounded(number, figures):
    """Return text of ``number`` to ``figures`` significant figures, half to even.

    Rounding works on the decimal digits as written (``str(number)``), so ``0.90275`` to four
    figures is ``0.9028``: the printed tie, not the binary fraction behind it, decides.

    >>> rounded("28683.5", 5), rounded(0.051065, 4), rounded("1200", 2)
    ('28684', '0.05106', '1200')
    """
    _check_figures(figures)
    exact = Decimal(str(number))
    return _to_figures(exact, figures, ROUND_HALF_EVEN) if exact.is_finite() else str(number)


def rounded_up(number, figures):
    """Return text of ``number`` rounded up to ``figures`` figures: for hazards, never down.

    >>> rounded_up(37.82, 2), rounded_up(2218.0, 2)
    ('38', '2300')
    """
    _check_figures(figures)
    exact = Decimal(f"{float(number):.12g}")  # so that 0.1 + 0.2 stays 0.3 and does not become 0.4
    return _to_figures(exact, figures, ROUND_CEILING) if exact.is_finite() else str(number)


def rounded_down(number, figures):
    """Return text of ``number`` rounded down to ``figures`` figures: for what may be had or done at most.

    >>> rounded_down(37.82, 2), rounded_down(2299.0, 2)
    ('37', '2200')
    """
    _check_figures(figures)
    exact = Decimal(f"{float(number):.12g}")
    return _to_figures(exact, figures, ROUND_FLOOR) if exact.is_finite() else str(number)


def _check_figures(figures):
    if not (isinstance(figures, Integral) and 1 <= figures <= MOST_FIGURES):
        raise RangeProblem(f"The significant figures are a whole number, at least 1 and at most {MOST_FIGURES}, "
                           f"but {figures!r} were asked for. Type for instance printed(value, 3).")  # fmt: skip


def _to_figures(exact, figures, rounding):
    if exact == 0:
        return "0"
    step = Decimal(1).scaleb(exact.adjusted() - figures + 1)
    result = exact.quantize(step, rounding=rounding)
    if result.adjusted() > exact.adjusted():  # 9.996 to 3 figures is 10.0, not 10.00
        result = result.quantize(step.scaleb(1))
    return f"{result:f}"


def figures_in(text):
    """Return (fewest, most) significant figures that the number in ``text`` can claim.

    Trailing zeros without a decimal mark may or may not count, so ``"1200"`` gives (2, 4).

    >>> figures_in("0.0510 g"), figures_in("1200"), figures_in("1.5e-3"), figures_in("1 h 15 min")
    ((3, 3), (2, 4), (2, 2), (2, 2))
    """
    counted = figures_of_parts(text)
    if counted:  # “1 h 15 min” says as much as 75 min
        return counted, counted
    digits = text.strip().lstrip("+-−( ").replace(",", ".").lower().split("e")[0]
    mantissa = ""
    for character in digits.replace(" ", ""):
        if character not in "0123456789.":
            break
        mantissa += character
    counted = mantissa.replace(".", "").lstrip("0")
    if not counted:
        return (1, 1)
    return (len(counted), len(counted)) if "." in mantissa else (len(counted.rstrip("0")), len(counted))


def printed(value, figures=3, unit=None):
    """Return a number or quantity as a person would write it.

    Parameters
    ----------
    value : number or quantity
        May carry an uncertainty, which is then written to two figures after ``±``.
    figures : int
        Significant figures of the number.
    unit : str, optional
        Unit to write in, as a person types it or in pint's spelling.  Without it a unit with a
        handy magnitude is chosen.

    Raises
    ------
    UnitProblem
        If the unit is not known or of another kind.
    RangeProblem
        If there is more than one number, or less than one figure is asked for.

    Examples
    --------
    >>> from labkit.units import Q
    >>> printed(Q(0.01508, 'g')), printed(Q(2.494e20, '1/m**2/s')), printed(Q(20, 'degC'))
    ('15.1 mg', '2.49×10²⁰ 1/m²/s', '20.0 °C')
    """
    if not is_quantity(value):
        value = Q(value)
    if np.ndim(value.magnitude):
        raise RangeProblem(f"printed() writes one number, but this is an array of {np.size(value.magnitude)}. "
                           "Print them one by one: for value in values: print(printed(value)).")  # fmt: skip
    value = converted(value, unit) if unit else handy(value)
    magnitude = value.magnitude
    if getattr(magnitude, "std_dev", 0):
        number = _with_spread(magnitude.nominal_value, magnitude.std_dev)
    else:
        number = number_text(plain(magnitude), figures)
    symbol = unit_text(value.units)
    return f"{number} {symbol}".strip()


def printed_up(quantity, figures=2):
    """Return a hazard figure as a person would write it, rounded up and never down.

    Two standard uncertainties are added first if the quantity carries any.

    >>> from labkit.units import Q
    >>> printed_up(Q(37.82, "g")), printed_up(Q(0.0741, "m**3"))
    ('38 g', '75 L')
    """
    magnitude = quantity.magnitude
    if hasattr(magnitude, "nominal_value"):
        quantity = Q(magnitude.nominal_value + 2 * magnitude.std_dev, quantity.units)
    shown = handy(quantity)
    return f"{rounded_up(shown.magnitude, figures)} {unit_text(shown.units)}".strip()


def printed_down(quantity, figures=2):
    """Return what is allowed at most as a person would write it, rounded down and never up.

    Two standard uncertainties are taken off first if the quantity carries any, though not below zero.

    >>> from labkit.units import Q
    >>> printed_down(Q(37.82, "g")), printed_down(Q(0.0749, "m**3"))
    ('37 g', '74 L')
    """
    magnitude = quantity.magnitude
    if hasattr(magnitude, "nominal_value"):
        quantity = Q(max(magnitude.nominal_value - 2 * magnitude.std_dev, 0), quantity.units)
    shown = handy(quantity)
    return f"{rounded_down(shown.magnitude, figures)} {unit_text(shown.units)}".strip()


def clock_text(time, rounding=np.round):
    """Return a time in hours and minutes, in seconds below a minute, rounded by ``rounding`` such as ``np.ceil``.

    >>> clock_text(Q(134.2, "min"), np.ceil), clock_text(Q(40, "min")), clock_text(Q(3, "h"))
    ('2 h 15 min', '40 min', '3 h')
    """
    minutes = converted(time, "min").magnitude
    if 0 < minutes < 1:
        return f"{int(rounding(round(minutes * 60, 6)))} s"
    hours, minutes = divmod(int(rounding(round(minutes, 6))), 60)
    return " ".join(
        part for part in (f"{hours} h" * bool(hours), f"{minutes} min" * bool(minutes or not hours)) if part
    )


def number_text(number, figures=3):
    """Return a bare number to ``figures`` figures, as 2.49×10²⁰ when it is very large or small.

    >>> number_text(0.5), number_text(2.494e20)
    ('0.500', '2.49×10²⁰')
    """
    _check_figures(figures)
    number = float(number)
    if number == 0 or not np.isfinite(number):
        return "0" if number == 0 else str(number)
    if 1e-3 <= abs(number) < 1e5:
        return rounded(repr(number), figures)
    mantissa, exponent = f"{Decimal(repr(number)):.{figures - 1}e}".split("e")
    return f"{mantissa}×10{str(int(exponent)).translate(_RAISED)}"


def _with_spread(nominal, spread):
    if not np.isfinite(spread):  # a fit that failed says so with an infinite spread
        return f"({number_text(nominal, 4)} ± {spread})"
    last = Decimal(f"{spread:.1e}").adjusted() - 1  # after rounding: 0.0996 is written 0.10
    if -5 <= last <= 3:
        step = Decimal(1).scaleb(last)
        both = (Decimal(repr(float(n))).quantize(step, rounding=ROUND_HALF_EVEN) for n in (nominal, spread))
        return "({:f} ± {:f})".format(*both)
    figures = Decimal(repr(float(nominal))).adjusted() - last + 1 if nominal else 1  # both end at the same place
    return f"({number_text(nominal, min(max(figures, 1), MOST_FIGURES))} ± {number_text(spread, 2)})"


def handy(quantity):
    """Return the quantity in the unit of its kind that gives a magnitude easy to read; one value, no array.

    >>> from labkit.units import Q
    >>> print(f"{handy(Q(0.25, 'L')):~P}")
    250.0 mL
    """
    steps = _steps(quantity.units)
    size = abs(float(plain(quantity.magnitude))) if steps else 0
    if not size or not np.isfinite(size):
        return quantity
    fitting = [unit for unit, factor in steps if size * factor >= 0.9995]
    return quantity.to(fitting[-1] if fitting else steps[0][0])


@cache
def _steps(units):
    """Return (unit, factor) for the units on the ladder of ``units``, or () where none fits.

    Kept, because a panel asks for the same few units at every keystroke.
    """
    if f"{units:~C}" in _KEEP:
        return ()
    one = ureg.Quantity(1.0, units)
    ladder = next((ladder for ladder in _LADDERS if one.is_compatible_with(ladder[0])), ())
    return tuple((ureg.Unit(name), one.to(name).magnitude) for name in ladder)


@lru_cache(maxsize=512)
def unit_text(units):
    """Return a unit as it stands on a label: ``mol/L``, ``W/m²``, ``%``; empty for a plain number.

    >>> unit_text(ureg.Unit("W/m**2")), unit_text(ureg.Unit("percent"))
    ('W/m²', '%')
    """
    if units == ureg.dimensionless:
        return ""
    text = f"{units:~P}".translate(_ONE_SIGN).replace("Δ°C", "°C")
    if text == "a":  # pint's symbol for a year, which few read as one
        return "yr"
    return text.replace(" / ", "/") if text != "percent" else "%"
