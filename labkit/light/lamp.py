"""A coloured lamp, such as a diode: the photons of its light, and how many of them lie above a gap."""

from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import product
from math import ceil, erf, exp, pi, sqrt

import numpy as np

from labkit.data import guess
from labkit.errors import RangeProblem, ReadingProblem, UnitProblem
from labkit.light.photon import photons_from_energy, wavelength_from_gap
from labkit.units import Q, Range, as_range, range_from

WIDTHS = 2 * sqrt(2 * np.log(2))  # widths at half height are so many standard deviations of a bell
_LEAST, _MOST = 200.0, 2000.0  # nm
_NARROW = 0.25  # of the peak: a wider bell would reach to no wavelength at all
_TAILS = 6  # standard deviations from the peak to where nothing is left of a bell


@dataclass(frozen=True, repr=False)
class Lamp:
    """A lamp whose light is a bell curve over the wavelength.

    Parameters
    ----------
    peak : str, quantity or Range [length]
        Where its light is strongest, 200 to 2000 nm: ``"450 nm"``, ``"445 to 455 nm"``.
    width : str, quantity or Range [length]
        Width of the bell at half its height, up to a quarter of the peak; 15 to 25 nm for blue diodes.
    irradiance : str, quantity or Range [irradiance], optional
        Power of its light per area, where the powder is: ``"80 W/m²"``.
    power : str, quantity or Range [power], optional
        Power of all its light; not the electricity that it draws.

    Raises
    ------
    UnitProblem, ReadingProblem, RangeProblem
        If one is of another kind, or lies outside.

    Notes
    -----
    A real diode has a longer tail to the red than a bell: near the edge of a powder a spectrum measured is better.

    Examples
    --------
    >>> print(Lamp("450 nm", "20 nm", irradiance="80 W/m²"))
    a lamp of 450 nm, 20.0 nm wide at half height, 80.0 W/m²
    """

    peak: Range
    width: Range
    irradiance: Range | None = None
    power: Range | None = None

    def __post_init__(self):
        for name, need in (
            ("peak", "[length] > 0"),
            ("width", "[length] > 0"),
            ("irradiance", "[irradiance] >= 0"),
            ("power", "[power] >= 0"),
        ):
            given = getattr(self, name)
            if given is not None:
                object.__setattr__(self, name, as_range(given, need, name))
        low, _, high = self.peak.m_as("nm")
        if not _LEAST <= low <= high <= _MOST:
            raise RangeProblem("The peak of a lamp has to lie between 200 and 2000 nm. Type for instance 450 nm.")
        if self.width.m_as("nm")[2] > _NARROW * low:
            raise RangeProblem("This lamp is too wide for a bell curve: at most a quarter of its peak. "
                               "Type for instance width='20 nm'.")  # fmt: skip

    def __str__(self):
        parts = [f"a lamp of {self.peak}, {self.width} wide at half height"]
        return ", ".join([*parts, *(str(span) for span in (self.irradiance, self.power) if span is not None)])

    __repr__ = __str__


def lamp_spectrum(lamp):
    """Return (wavelength, share of its power per nm) of the likely lamp, plain arrays in nm and 1/nm, to draw or add up.

    Examples
    --------
    >>> wavelength, height = lamp_spectrum(Lamp("450 nm", "20 nm"))
    >>> round(float(height.max() * 20), 2)
    0.94
    """
    lamp = a_lamp(lamp)
    return bell(lamp.peak.m_as("nm")[1], lamp.width.m_as("nm")[1])


def a_lamp(given):
    """Return what was given if it is a Lamp, or raise ReadingProblem: a wavelength alone has no width."""
    if not isinstance(given, Lamp):
        raise ReadingProblem(
            "A Lamp is needed, such as Lamp('450 nm', '20 nm'): its peak and its width at half height."
        )
    return given


def bells_between(lamp):
    """Return (peak, width) in nm of bells between the ends of a lamp, the likely one first.

    What passes an edge or a filter can be most for a peak inside its range, so the ends alone are not enough.

    >>> [round(peak, 1) for peak, width in bells_between(Lamp("440 to 460 nm", "20 nm"))]
    [450.0, 440.0, 442.9, 445.7, 448.6, 451.4, 454.3, 457.1, 460.0]
    """
    peaks, widths = a_lamp(lamp).peak.m_as("nm"), lamp.width.m_as("nm")
    # A sixth of a width apart: what passes is a bump in the peak at least as wide as the bell, so 2 % can be missed.
    count = 2 + min(ceil(6 * (peaks[2] - peaks[0]) / widths[0]), 120)
    tried = product(np.linspace(peaks[0], peaks[2], count).tolist(), widths[::2])
    return list(dict.fromkeys([(peaks[1], widths[1]), *tried]))


def bell(peak, width):
    """Return (wavelength, height) of a bell curve of area 1, from its peak and its width at half height in nm.

    >>> round(float(bell(450.0, 20.0)[0][300]), 3)
    450.0
    """
    sigma = width / WIDTHS
    offset, height = _bell()
    return peak + sigma * offset, height / sigma


@cache
def _bell():
    offset = np.linspace(-_TAILS, _TAILS, 601)
    return offset, np.exp(-(offset**2) / 2) / sqrt(2 * pi)


def photons_per_joule(lamp):
    """Return the Range of photons in a joule of a lamp's light, in µmol/J.

    The mean wavelength of a bell is its peak, and so the photons are those of the peak.

    References
    ----------
    si_brochure

    Examples
    --------
    >>> print(photons_per_joule(Lamp("450 nm", "20 nm")))
    3.76 µmol/J
    """
    return Range(*(Q(peak * photons_of_one_nm(), "µmol/J") for peak in a_lamp(lamp).peak.m_as("nm")), why=lamp.peak.why)


@cache
def photons_of_one_nm():
    """Return the µmol of photons in a joule of light of 1 nm, a plain number: so many times a wavelength in nm.

    >>> round(450 * photons_of_one_nm(), 3)
    3.762
    """
    return float(photons_from_energy(Q(1.0, "J"), Q(1.0, "nm")).m_as("µmol"))


def lamp_share_above(lamp, gap):
    r"""Return the Range of the share of a lamp's photons that carry at least ``gap``, in %.

    .. math:: \Phi(z) - \frac{\sigma}{\lambda_0}\varphi(z), \quad z = (\lambda_{edge} - \lambda_0)/\sigma

    Parameters
    ----------
    lamp : Lamp
    gap : str, quantity or Range [energy]

    Notes
    -----
    Near its edge the share leaps: of a diode of 20 nm, 5 nm to either side of 450 nm make 95 % into 68 %.

    Examples
    --------
    >>> print(lamp_share_above(Lamp("450 nm", "20 nm"), "2.7 eV"))
    85.6 %
    >>> print(lamp_share_above(Lamp("445 to 455 nm", "20 nm"), "2.7 eV"))
    68 to 95 %, likely 86 %
    """
    lengths = _lengths(lamp, gap)
    return range_from(_percent_above, **{name: span.to("nm") for name, span in lengths.items()})


def _lengths(lamp, gap):
    """Return the Ranges that a share depends on, by name."""
    gap = as_range(gap, "[energy] > 0", "gap")
    edge = Range(*(wavelength_from_gap(end) for end in reversed(gap.ends)), why=gap.why)
    return {"lamp_peak": a_lamp(lamp).peak, "lamp_width": lamp.width, "edge": edge}


def _percent_above(lamp_peak, lamp_width, edge):
    """Return the share of three lengths that are in nm already, since a panel asks for many."""
    return Q(100 * share_below(lamp_peak.magnitude, lamp_width.magnitude, edge.magnitude), "percent")


@lru_cache(4096)  # a panel moves one of the three at a time
def share_below(peak, width, edge):
    """Return the share of the photons of a bell at wavelengths below an edge; all in nm, the width at half height.

    >>> round(share_below(450.0, 20.0, 450.0), 3)
    0.492
    """
    sigma = width / WIDTHS
    z = (edge - peak) / sigma
    share = (1 + erf(z / sqrt(2))) / 2 - sigma / peak * exp(-z * z / 2) / sqrt(2 * pi)
    return min(max(share, 0.0), 1.0)


def lamp_flux_above(lamp, gap):
    """Return the Range of photons of a lamp above a gap that fall on an area, in µmol/m²/s.

    Raises
    ------
    UnitProblem
        If the lamp has no irradiance: how much of its light arrives has to be measured, or comes from
        ``irradiance_at_distance``.

    Examples
    --------
    >>> print(lamp_flux_above(Lamp("450 nm", "20 nm", irradiance="80 W/m²"), "2.7 eV"))
    258 µmol/m²/s
    """
    light = lit_irradiance(lamp, "lamp_flux_above").to("W/m**2")
    lengths = _lengths(lamp, gap)

    def flux(irradiance, lamp_peak, lamp_width, edge):
        peak, width, edge = lamp_peak.magnitude, lamp_width.magnitude, edge.magnitude  # in nm and W/m² already
        share = share_below(peak, width, edge)
        return Q(irradiance.magnitude * share * peak * photons_of_one_nm(), "µmol/m**2/s")

    found = range_from(flux, irradiance=light, **{name: span.to("nm") for name, span in lengths.items()})
    low, _, high = found.m_as("µmol/m**2/s")
    for watts, edge in zip(light.m_as("W/m**2")[::2], lengths["edge"].m_as("nm")[::2]):
        tried = [
            watts * peak * share_below(peak, width, edge) * photons_of_one_nm() for peak, width in bells_between(lamp)
        ]
        low, high = min(low, *tried), max(high, *tried)
    return Range(Q(low, "µmol/m**2/s"), found.likely, Q(high, "µmol/m**2/s"), drivers=found.drivers)


def lit_irradiance(lamp, function):
    """Return the irradiance of a lamp as a Range, or raise UnitProblem in the name of ``function`` if it has none."""
    if a_lamp(lamp).irradiance is None:
        raise UnitProblem(f"{function}() needs a lamp with an irradiance, the power of its light on each area of the powder. "
                          "Type for instance Lamp('450 nm', '20 nm', irradiance='80 W/m²').")  # fmt: skip
    return lamp.irradiance


def radiant_power_from_electrical(power, efficiency=None):
    """Return the Range of the power of a lamp's light from the electricity that it draws.

    Parameters
    ----------
    power : str, quantity or Range [power]
        What the lamp itself draws.  Its driver takes more from the wall; a part sold as “10 W” often draws less.
    efficiency : str, quantity or Range, optional
        Light per electricity; for a blue diode on a bench 30 to 60 % if left out (from memory).

    Raises
    ------
    RangeProblem
        If the efficiency is over 1.

    Notes
    -----
    Measured light is better.  Blue diodes of the laboratory reach 93 %.

    References
    ----------
    lamps.csv: from memory; kusuma_2020

    Examples
    --------
    >>> print(radiant_power_from_electrical("10 W"))
    3.0 to 6.0 W, likely 4.5 W
    """
    power = as_range(power, "[power] >= 0", "power")
    efficiency = guess("lamps", "light of a blue diode, share of its electricity") if efficiency is None else as_range(efficiency, "[] >= 0", "efficiency")  # fmt: skip
    if efficiency.m_as("dimensionless")[2] > 1:
        raise RangeProblem("No lamp gives more light than it takes electricity: the efficiency is 100 % at most.")
    return range_from(lambda power, efficiency: (power * efficiency).to("W"), power=power, efficiency=efficiency)
