"""What the eye and a lux meter make of light, and how little that says about the blue that drives a pale powder."""

import re
from functools import cache
from math import isfinite

import numpy as np

from labkit.data import guess, value
from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.light.lamp import WIDTHS, Lamp, a_lamp
from labkit.light.observer import luminous_efficiency
from labkit.light.sun import sun_spectrum
from labkit.units import Q, Range, certain, is_quantity, range_from, read_range

BLIND = 8  # our choice: if the ends of the answer lie further apart than this factor, there is no answer
NEARLY_BLIND = (
    "A lux meter counts light as the eye sees it, and the eye sees very little of violet, blue and deep red: this is the order of "
    "magnitude at best. A meter of power or of photons tells more."
)
SUNLIGHT = "sunlight"
_GRID = 9  # values tried between the ends of a peak and of a width
_DIMENSIONS = {
    "lux": Q(1, "lux").dimensionality,
    "lumen": Q(1, "lumen").dimensionality,
}
_WORDS = {"lux": ("light in lux", "lx", "500 lux"), "lumen": ("light in lumen", "lm", "300 lm")}


def lumens_per_watt(lamp):
    r"""Return the Range of lumens in a watt of a lamp's light, in lm/W.

    .. math:: K = 683\ \mathrm{lm/W} \int V(\lambda) S(\lambda)\,d\lambda \Big/ \int S(\lambda)\,d\lambda

    Parameters
    ----------
    lamp : Lamp
        A peak without a range is taken as it is; ``irradiance_from_lux`` allows for a lamp that is not as sold.

    References
    ----------
    cie_observer_table, si_brochure

    Examples
    --------
    >>> print(lumens_per_watt(Lamp("450 nm", "20 nm")))
    27.7 lm/W
    """
    return _lumens(a_lamp(lamp).peak.m_as("nm"), lamp.width.m_as("nm"))


def _lumens(peaks, widths):
    found = [_lumens_of(peak, width) for peak in np.linspace(peaks[0], peaks[2], _GRID) for width in np.linspace(widths[0], widths[2], 3)]  # fmt: skip
    likely = _lumens_of(peaks[1], widths[1])
    return Range(*(Q(float(end), "lm/W") for end in (min(*found, likely), likely, max(*found, likely))))


def _lumens_of(peak, width):
    wavelength, seen = _eye()
    sigma = width / WIDTHS
    bell = np.exp(-(((wavelength - peak) / sigma) ** 2) / 2) / (sigma * np.sqrt(2 * np.pi))
    return value("lumens", "555 nm").magnitude * float(np.dot(seen, bell)) * (wavelength[1] - wavelength[0])


@cache
def _eye():
    wavelength = np.arange(360.0, 830.5, 0.5)
    return wavelength, luminous_efficiency(Q(wavelength, "nm"))


@cache
def sunlight_lumens_per_watt():
    """Return the lumens in a watt of standard sunlight, all of it from 280 to 4000 nm, in lm/W.

    References
    ----------
    astm_g173, cie_observer_table

    Examples
    --------
    >>> print(f"{sunlight_lumens_per_watt():.1f~P}")
    109.5 lm/W
    """
    from scipy.integrate import trapezoid

    wavelength, power = sun_spectrum()
    seen = luminous_efficiency(wavelength)
    share = trapezoid(power.magnitude * seen, wavelength.magnitude) / trapezoid(power.magnitude, wavelength.magnitude)
    return Q(value("lumens", "555 nm").magnitude * float(share), "lm/W")


def radiant_power_from_lumens(lumens, lamp):
    """Return the Range of the power of a lamp's light from its lumens, as a box of lamps gives them, in W.

    Parameters
    ----------
    lumens : str, quantity or Range
        ``"90 lm"``, ``"80 to 100 lm"``.
    lamp : Lamp
        Of one colour.  A peak without a range is taken to be 5 nm off at most (from memory).

    Raises
    ------
    RangeProblem
        If the eye sees so little of the light that the ends lie further apart than a factor of 8.

    Examples
    --------
    >>> print(radiant_power_from_lumens("90 lm", Lamp("470 nm", "25 nm")))
    1.1 to 1.6 W, likely 1.3 W
    """
    return _from_seen(lumens, "lumen", _doubted(lamp), certain(Q(100.0, "percent")), "W")


def irradiance_from_lux(illuminance, light=SUNLIGHT):
    """Return the Range of irradiance from what a lux meter shows, in W/m².

    Parameters
    ----------
    illuminance : str, quantity or Range
        ``"40000 lux"``, ``"400 to 500 lx"``.
    light : Lamp or "sunlight"

    Returns
    -------
    Range of quantities [irradiance]
        All the light of sunlight, 280 to 4000 nm; of blue light, and of deep red, see ``NEARLY_BLIND``, which is then its ``why``.

    Raises
    ------
    RangeProblem
        If a lux meter is blind to the light: its ends would lie further apart than a factor of 8.

    References
    ----------
    cie_observer_table; lamps.csv: from memory

    Examples
    --------
    >>> print(irradiance_from_lux("40000 lux"))
    280 to 490 W/m², likely 370 W/m²
    >>> print(irradiance_from_lux("400 lux", Lamp("450 nm", "20 nm")))
    5.7 to 37 W/m², likely 14 W/m²
    """
    if isinstance(light, str) and light == SUNLIGHT:
        per_watt = guess("lamps", "lumens of a watt of sunlight")
        meter = guess("lamps", "light that a lux meter shows of white light, beside what is there")
        return _from_seen(illuminance, "lux", per_watt, meter, "W/m**2")
    if not isinstance(light, Lamp):
        raise ReadingProblem("The light is “sunlight” or a Lamp of one colour, such as Lamp('450 nm', '20 nm').")
    per_watt = _doubted(light)
    faint = per_watt.likely < sunlight_lumens_per_watt()  # our choice
    meter = guess("lamps", f"light that a lux meter shows {'in the blue' if faint else 'of one colour seen well'}, beside what is there")  # fmt: skip
    return _from_seen(illuminance, "lux", per_watt, meter, "W/m**2", NEARLY_BLIND if faint else "")


def _doubted(lamp):
    """Return lumens per watt, with a peak that is not quite the one it was sold with unless its range is given."""
    peaks = a_lamp(lamp).peak.m_as("nm")
    if peaks[0] == peaks[2]:
        doubt = guess("lamps", "peak of a diode, beside the one it was sold with").m_as("nm")
        peaks = tuple(peaks[1] + end for end in doubt)
    return _lumens(peaks, lamp.width.m_as("nm"))


def _from_seen(seen, unit, per_watt, meter, wanted, why=""):
    seen = as_seen(seen, unit).m_as(unit)
    low, likely, high = per_watt.m_as("lm/W")
    shown = meter.m_as("dimensionless")
    if low <= 0 or high / low * shown[2] / shown[0] > BLIND:
        raise RangeProblem("The eye, and so a lux meter, is as good as blind to this light: from lumens or lux its power would be a "
                           "guess over a factor of more than 8. Measure its power, or count from the electricity it draws.")  # fmt: skip
    ends = seen[0] / high / shown[2], seen[1] / likely / shown[1], seen[2] / low / shown[0]
    return Range(*(Q(end, wanted) for end in ends), why=why)


def as_seen(given, unit):
    """Return light as the eye counts it, typed or not, as a Range; ``unit`` is ``"lux"`` or ``"lumen"``.

    Raises
    ------
    ReadingProblem, RangeProblem
        If it cannot be read, is another kind of quantity, or is below zero, or without end.

    Examples
    --------
    >>> print(as_seen("400 to 500 lx", "lux"))
    400 to 500 lx, likely 450 lx
    """
    words, symbol, example = _WORDS[unit]
    wanted = f"{words[0].upper()}{words[1:]} is needed. Type for instance {example}."
    span = given
    if isinstance(given, str):
        # The kinds of quantity that labkit reads have no place for what the eye sees: the number is read alone.
        body, count = re.subn(rf"(?<=[0-9 ])(?:{unit}s?|{symbol})(?![a-zA-Z])", "", given, flags=re.IGNORECASE)
        try:
            span = read_range(body, "[] >= 0", words, example) if count else None
        except LabError:
            span = None
        if span is None or span.likely.units != Q(1).units:
            raise ReadingProblem(wanted)
        span = Range(*(Q(end.magnitude, unit) for end in span.ends), why="typed")
    elif is_quantity(given):
        span = range_from(lambda light: light, light=given)
    if not isinstance(span, Range) or span.likely.dimensionality != _DIMENSIONS[unit]:
        raise ReadingProblem(wanted)
    if span.low.magnitude < 0:
        raise RangeProblem(f"Light cannot be less than none. {wanted}")
    if not isfinite(span.high.magnitude):
        raise RangeProblem(f"Light without end cannot be. {wanted}")
    return span
