"""The light of a lamp at a distance, from the angle of its beam."""

from math import atan, cos, log, pi, radians, sqrt

from labkit.errors import RangeProblem
from labkit.light.angle import angle
from labkit.units import Q, Range, as_range, checked, nominal, range_from, refuse_array

LAMBERT = 120  # degrees: a bare flat diode shines to half its strength at 60° to either side
_WIDEST = 170


def irradiance_at_distance(power, distance, beam=f"{LAMBERT}°", area=None):
    r"""Return the Range of the irradiance that a lamp throws on what stands before it, in W/m².

    .. math:: E = \frac{(m + 1) P}{2 \pi d^2}, \quad m = \frac{\ln 0.5}{\ln \cos(\theta/2)}

    Parameters
    ----------
    power : str, quantity or Range [power]
        Of its light, not its electricity.
    distance : str, quantity or Range [length]
        At least five times the size of the lamp, or the inverse square does not hold (common practice).
    beam : str or quantity
        Full angle between the directions in which it shines half as strongly, as data sheets give it;
        120° is a bare flat diode.  Up to 170°.
    area : str or quantity [area], optional
        Mean over a round target of this size, squarely in the middle of the beam; without it the very middle.

    Returns
    -------
    Range of quantities [irradiance]
        Its ends are two shapes of the beam: one that fades as a power of the cosine, which is the likely one, and
        one evenly lit up to a sharp rim at that angle.  In the very middle of a beam of 120° the two are one.

    Raises
    ------
    RangeProblem
        If an argument lies outside.

    Notes
    -----
    A lens may do anything between and beyond: measured irradiance is better.  Nothing is counted that comes back
    from walls.

    Examples
    --------
    >>> print(irradiance_at_distance("3 W", "15 cm"))
    42.4 W/m²
    >>> print(irradiance_at_distance("3 W", "15 cm", "40°"))
    260 to 350 W/m², likely 260 W/m²
    """
    power = as_range(power, "[power] >= 0", "power")
    distance = as_range(distance, "[length] > 0", "distance")
    full = angle(beam, _WIDEST, "the beam", "60°").magnitude
    if full < 1:
        raise RangeProblem("A beam under 1° is a laser: nothing here holds for it. Type for instance 60°.")
    radius = None
    if area is not None:
        area = nominal(checked(area, "[area] > 0", "area", "irradiance_at_distance"))
        refuse_array("irradiance_at_distance", area=area)
        radius = sqrt(area.m_as("m**2") / pi)

    def of_shape(shape):
        def found(power, distance):
            metres = distance.m_as("m")
            return Q(power.m_as("W") * shape(radians(full / 2), metres, radius), "W/m**2")

        return range_from(found, power=power, distance=distance)

    fading, even = of_shape(_fading), of_shape(_even)
    if radius is None and abs(full - LAMBERT) < 1e-6:  # in the very middle the two shapes are one but for the last bits
        even = fading
    return Range(
        min(fading.low, even.low), fading.likely, max(fading.high, even.high), "two shapes of a beam", fading.drivers
    )


def _fading(half, distance, radius):
    """Return the irradiance of 1 W whose beam fades as a power of the cosine."""
    order = log(0.5) / log(cos(half))
    if radius is None:
        return (order + 1) / (2 * pi * distance**2)
    return (1 - cos(atan(radius / distance)) ** (order + 1)) / (pi * radius**2)


def _even(half, distance, radius):
    """Return the irradiance of 1 W whose beam is equally strong in every direction up to a rim."""
    if radius is None:
        return 1 / (2 * pi * (1 - cos(half)) * distance**2)
    return (1 - cos(min(atan(radius / distance), half))) / (1 - cos(half)) / (pi * radius**2)
