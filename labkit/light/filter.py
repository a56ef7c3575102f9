"""What stands before the powder: a coloured glass, a jar, a window; and the photons that get through."""

from dataclasses import dataclass

import numpy as np

from labkit.data import guess
from labkit.errors import RangeProblem, ReadingProblem, chosen
from labkit.light.lamp import Lamp, bell, bells_between, lit_irradiance, photons_of_one_nm, share_below
from labkit.light.photon import wavelength_from_gap
from labkit.light.sun import irradiance_total, photon_flux_above, sun_spectrum
from labkit.units import Q, Range, as_range, certain, number, refuse_array, takes

GLASSES = ("soda-lime glass", "borosilicate glass", "window glass")
SUNLIGHT = "sunlight"
_TENTHS = 2 * np.log(9)  # from a tenth to nine tenths of a step, in units of its scale
_SHARP = 1e-3  # nm: a narrower step counts as one without width
_REACH = 20  # scales from a cut-off to where a step has come to its end


@dataclass(frozen=True, repr=False)
class Filter:
    """One or more layers that light passes; each holds back short wavelengths, and a share of the rest.

    ``layers`` are (name, cut-off, width, share) with three Ranges: the wavelength at which half of what passes well
    beyond it is held back, the width from a tenth to nine tenths, and that share.  Two filters joined by ``*`` stand
    one behind the other.
    """

    layers: tuple

    def __mul__(self, other):
        return Filter(self.layers + other.layers) if isinstance(other, Filter) else NotImplemented

    def __str__(self):
        if not self.layers:
            return "nothing"
        return ", then ".join(f"{name} ({cut} cut-off, {share} beyond)" for name, cut, _, share in self.layers)

    __repr__ = __str__

    def transmission(self, wavelength, end="likely"):
        """Return the share of light of some wavelengths, plain numbers in nm, that passes.

        ``end`` is ``"low"``, ``"likely"`` or ``"high"``: the least, the likely or the most light, at each wavelength
        that of the width which passes least, or most.

        Examples
        --------
        >>> long_pass("420 nm", "10 nm").transmission([400, 420, 440]).round(2).tolist()
        [0.0, 0.5, 1.0]
        """
        wavelength = np.asarray(wavelength, dtype=float)
        passed = np.ones_like(wavelength)
        for cut, scales, share in self._steps(end):
            steps = [_step(wavelength, cut, scale, share) for scale in scales]
            passed = passed * (np.max if end == "high" else np.min)(steps, axis=0)
        return passed

    def _steps(self, end):
        """Return (cut-off, scales, share) of each layer in plain numbers; the least light has the longest cut-off."""
        other = {"low": "high", "high": "low", "likely": "likely"}[chosen(end, ("low", "likely", "high"), "end")]
        for _, cut, width, share in self.layers:
            scales = {scale / _TENTHS for scale in (width.m_as("nm")[1:2] if end == "likely" else width.m_as("nm"))}
            yield number(getattr(cut, other), "nm"), sorted(scales), number(getattr(share, end), "dimensionless")

    def corners(self, end):
        """Return the wavelengths, in nm, at which a sum over the spectrum has to look closely."""
        found = [np.empty(0)]
        for cut, scales, _ in self._steps(end):
            for scale in scales:
                found.append(cut + np.linspace(-1, 1, 161) * _REACH * scale if scale >= _SHARP else np.array([cut - 1e-9, cut + 1e-9]))  # fmt: skip
        return np.concatenate(found)


def _step(wavelength, cut, scale, share):
    if scale < _SHARP:
        return np.where(wavelength >= cut, share, 0.0)
    return share / (1 + np.exp(np.clip((cut - wavelength) / scale, -700, 700)))


NOTHING = Filter(())


def long_pass(cut_off, width="0 nm", share="100 %"):
    """Return a Filter that passes light from a wavelength on, such as a yellow glass.

    Parameters
    ----------
    cut_off : str, quantity or Range [length]
        Half way up: ``"420 nm"``.
    width : str, quantity or Range [length]
        From a tenth to nine tenths of the step; of coloured glass 10 to 30 nm (from memory).
    share : str, quantity or Range
        What passes well beyond it; 90 to 92 % of a clear plate, which throws back 8 %.

    Raises
    ------
    RangeProblem
        If the share is over 1.

    Examples
    --------
    >>> print(long_pass("420 nm", share="91 %"))
    a long-pass (420 nm cut-off, 91.0 % beyond)
    """
    return _layer("a long-pass", cut_off, width, share)


def _layer(name, cut_off, width, share):
    cut = as_range(cut_off, "[length] > 0", "cut_off")
    width = as_range(width, "[length] >= 0", "width")
    share = as_range(share, "[] >= 0", "share")
    if share.m_as("dimensionless")[2] > 1:
        raise RangeProblem("No filter passes more than all the light: the share is 100 % at most.")
    return Filter(((name, cut, width, share),))


def glass_jar(glass=GLASSES[0]):
    """Return the Filter of one clear wall of glass; what water does to this light is nothing worth counting.

    Behind the wall of a jar or a beaker may be water, which takes away most of what its inner surface throws back.

    Parameters
    ----------
    glass : str
        ``"soda-lime glass"`` (a jar), ``"borosilicate glass"`` (a beaker) or ``"window glass"``.

    Raises
    ------
    ChoiceProblem
        If there is no such glass.

    References
    ----------
    glass.csv: from memory.  Water a few centimetres deep takes less than 1 % from 280 to 600 nm (from memory).

    Examples
    --------
    >>> print(glass_jar("borosilicate glass"))
    borosilicate glass (280 to 320 nm, likely 300 nm cut-off, 82 to 95 %, likely 90 % beyond)
    """
    name = chosen(glass, GLASSES, "glass")
    behind = " in air" if name == "window glass" else ", water behind it"
    return _layer(name, *(guess("glass", row) for row in (f"cut-off of {name}", "edge of a glass", f"light through clear glass{behind}")))  # fmt: skip


@takes(gap="[energy] > 0")
def photon_flux_behind(filter, gap, light=SUNLIGHT):
    """Return the Range of photons above a gap that get through a filter, in µmol/m²/s.

    Parameters
    ----------
    filter : Filter
        ``NOTHING`` for none.
    gap : quantity [energy]
        From 0.31 to 4.42 eV for sunlight.
    light : "sunlight", str, quantity or Range [irradiance], or Lamp
        ``"600 W/m²"`` is sunlight of that strength, its spectrum scaled and not reshaped; a Lamp needs its irradiance.

    Returns
    -------
    Range of quantities [amount flux]
        Its ends are those of the filter, of the irradiance and of the lamp together.

    Raises
    ------
    UnitProblem, ReadingProblem
        If the light is neither, or a lamp has no irradiance.
    RangeProblem
        If the gap is not one gap, or its edge lies outside the spectrum of the sun.

    References
    ----------
    astm_g173

    Examples
    --------
    >>> print(photon_flux_behind(long_pass("420 nm"), "2.7 eV"))
    193 µmol/m²/s
    >>> print(photon_flux_behind(glass_jar(), "2.7 eV", "600 W/m²"))
    180 to 230 µmol/m²/s, likely 220 µmol/m²/s
    """
    if not isinstance(filter, Filter):
        raise ReadingProblem("A Filter is needed, such as long_pass('420 nm') or glass_jar().")
    refuse_array("photon_flux_behind", gap=gap)
    edge = number(wavelength_from_gap(gap), "nm")
    if isinstance(light, Lamp):
        found = [_lamp_behind(filter, edge, light, end) for end in ("low", "likely", "high")]
    else:
        strength = certain(irradiance_total()) if isinstance(light, str) and light == SUNLIGHT else as_range(light, "[irradiance] >= 0", "light")  # fmt: skip
        photon_flux_above(gap)  # refuses an edge that the spectrum does not reach
        whole = irradiance_total()
        found = [_sun_behind(filter, edge, end) * number(watts / whole, "dimensionless")
                 for end, watts in zip(("low", "likely", "high"), strength.ends)]  # fmt: skip
    return Range(*(Q(flux, "µmol/m**2/s") for flux in found))


def _sun_behind(filter, edge, end):
    wavelength, power = (part.magnitude for part in sun_spectrum())
    return _sum_up(filter, edge, end, wavelength, power)


def _lamp_behind(filter, edge, lamp, end):
    """Return the flux of a lamp; of a range of peaks and widths that one which gives least, or most."""
    watts = number(getattr(lit_irradiance(lamp, "photon_flux_behind"), end), "W/m**2")
    pairs = bells_between(lamp)[: 1 if end == "likely" else None]
    if filter.layers:
        fluxes = [_sum_up(filter, edge, end, *bell(*pair)) for pair in pairs]
    else:
        fluxes = [peak * photons_of_one_nm() * share_below(peak, width, edge) for peak, width in pairs]
    return watts * (max if end == "high" else min)(fluxes)


def _sum_up(filter, edge, end, wavelength, power):
    """Return the photons of a spectrum up to an edge behind a filter; power per nm, flux in µmol for a power in W."""
    from scipy.integrate import trapezoid

    low, high = wavelength[0], min(edge, wavelength[-1])
    if high <= low:
        return 0.0
    points = np.concatenate([wavelength, filter.corners(end), [high]])
    points = np.unique(points[(points >= low) & (points <= high)])
    density = np.interp(points, wavelength, power) * filter.transmission(points, end) * points
    return float(trapezoid(density, points)) * photons_of_one_nm()
