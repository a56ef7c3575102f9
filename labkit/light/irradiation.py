"""The energy of sunlight on an area over a time: as it is typed, as hours of full sun, as photons."""

import re
from math import isfinite

from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.light.sun import photon_flux_above
from labkit.units import Q, Range, is_quantity, number, range_from, read_range, takes

LOW_SUN = (
    "All light is counted with the spectrum of standard sunlight. A low sun has less blue than that, so early, late and "
    "winter hours give fewer photons above the gap than the sum says; a clouded sky has a little more."
)
FULL_SUN = Q(1.0, "kW/m**2")
_LEVEL_AREA = re.compile(r" ?/ ?m ?(?:²|\^2|\*\*2|2)(?![0-9]| ?/)")
_EXAMPLE = "4.2 kWh/m²"


def as_irradiation(value):
    """Return the energy of light per area as a Range, in kWh/m².

    Parameters
    ----------
    value : str, quantity or Range
        ``"4.2 kWh/m²"``, ``"15 MJ/m²"``, ``"3 to 5 kWh/m²"``, or hours of full sun, ``"4.2 h"``: the time that
        1 kW/m² takes to bring as much.  The hours of sunshine of a weather report are another thing, and mostly more.

    Raises
    ------
    ReadingProblem
        If it cannot be read, or is another kind of quantity.
    RangeProblem
        If it is below zero, or without end.

    Examples
    --------
    >>> print(as_irradiation("15 MJ/m²"), "|", as_irradiation("3 to 5 h"))
    4.17 kWh/m² | 3.0 to 5.0 kWh/m², likely 4.0 kWh/m²
    """
    wanted = f"Type the light of a day as {_EXAMPLE}, or as hours of full sun, 4.2 h."
    span = value
    if isinstance(value, str):
        body, areas = _LEVEL_AREA.subn("", value)
        try:
            span = read_range(body, "[energy]" if areas else "[time]", "the light of a day", "4.2 kWh" if areas else "4.2 h")  # fmt: skip
        except LabError:
            raise ReadingProblem(f"This cannot be read as light. {wanted}") from None
        span = Range(*(Q(end.m_as("kWh"), "kWh/m**2") for end in span.ends), why="typed") if areas else span
    elif is_quantity(value):
        span = range_from(lambda light: light, light=value)
    if not isinstance(span, Range) or span.likely.dimensionality not in (
        Q(1, "h").dimensionality,
        Q(1, "kWh/m**2").dimensionality,
    ):
        raise ReadingProblem(wanted)
    if span.low.magnitude < 0:
        raise RangeProblem(f"Light cannot be less than none. {wanted}")
    if not isfinite(span.high.magnitude):
        raise RangeProblem(f"Light without end cannot be. {wanted}")
    hours = span.likely.dimensionality == Q(1, "h").dimensionality
    ends = [number(end * FULL_SUN if hours else end, "kWh/m**2") for end in span.ends]
    return Range(*(Q(end, "kWh/m**2") for end in ends), why=span.why)


def hours_of_full_sun(irradiation, days=1):
    """Return the Range of hours at 1 kW/m² that bring an irradiation, or the mean of some days of it.

    Examples
    --------
    >>> print(hours_of_full_sun("3.1 to 4.6 kWh/m²"))
    3.1 to 4.6 h, likely 3.8 h
    """
    span = as_irradiation(irradiation)
    return Range(*(Q(float(end / days), "h") for end in span.m_as("kWh/m**2")), why=span.why)


@takes(gap="[energy] > 0")
def photons_in_irradiation(gap, irradiation):
    """Return the Range of photons above a gap in an irradiation of sunlight, in mol/m².

    Parameters
    ----------
    gap : quantity [energy]
    irradiation : str, quantity or Range
        ``"4.2 kWh/m²"``, or hours of full sun.

    Notes
    -----
    ``LOW_SUN`` belongs beside it: the spectrum is standard sunlight throughout.

    References
    ----------
    astm_g173

    Examples
    --------
    >>> print(photons_in_irradiation("2.7 eV", "4.2 kWh/m²"))
    6.26 mol/m²
    """
    flux = photon_flux_above(gap, FULL_SUN)
    return range_from(lambda time: (flux * time).to("mol/m**2"), time=hours_of_full_sun(irradiation))
