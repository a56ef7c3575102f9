"""The photons and the power of standard sunlight above a gap.

Standard sunlight is ASTM G173-03, AM1.5 global: a clear day, the sun 48° from overhead, falling
on a plane tilted 37° towards it, 1000.37 W/m² from 280 to 4000 nm.
"""

from functools import cache

import numpy as np
from uncertainties import wrap

from labkit.errors import RangeProblem
from labkit.light.photon import photon_flux_from_irradiance, wavelength_from_gap
from labkit.units import Q, number, printed, takes


@cache
def _spectrum():
    # pvlib brings pandas and takes a second, so it waits until the sun is needed.
    from pvlib.spectrum import get_reference_spectra

    table = get_reference_spectra(standard="ASTM G173-03")["global"]
    return _kept(table.index.to_numpy(dtype=float), table.to_numpy(dtype=float))


def _kept(*arrays):
    """Copies that nobody can change: they stay for every later call."""
    arrays = tuple(np.array(array) for array in arrays)
    for array in arrays:
        array.setflags(write=False)
    return arrays


@cache
def _to_the_table_points():
    """Integrals of E and of E·λ from 280 nm up to every point of the table; nm and W/m²/nm."""
    wavelength, spectral = _spectrum()
    step = np.diff(wavelength)
    power, photons = _within_bin(wavelength[:-1], spectral[:-1], np.diff(spectral) / step, step)
    return _kept(*(np.concatenate([[0.0], np.cumsum(part)]) for part in (power, photons)))


def _within_bin(wavelength, spectral, slope, width):
    """Integrals of E and E·λ over ``width`` from a point on, for E a straight line: no approximation."""
    power = spectral * width + slope * width**2 / 2
    photons = (spectral * wavelength) * width + (spectral + slope * wavelength) * width**2 / 2 + slope * width**3 / 3
    return power, photons


def _up_to(edge):
    """Integrals of E (W/m²) and E·λ (W/m²·nm) from 280 nm to ``edge`` in nm."""
    wavelength, spectral = _spectrum()
    edge = np.clip(np.asarray(edge, dtype=float), wavelength[0], wavelength[-1])
    start = np.clip(np.searchsorted(wavelength, edge, side="right") - 1, 0, len(wavelength) - 2)
    slope = (spectral[start + 1] - spectral[start]) / (wavelength[start + 1] - wavelength[start])
    parts = _within_bin(wavelength[start], spectral[start], slope, edge - wavelength[start])
    return tuple((whole[start] + part)[()] for whole, part in zip(_to_the_table_points(), parts))


def _integral(which, gap, function):
    if np.asarray(gap.magnitude).dtype.kind == "O":  # a ± travels by the slope of the integral
        edge = wavelength_from_gap(gap)
        _refuse_beyond_the_table(np.asarray(number(edge, "nm")), function)
        carried = wrap(lambda here: float(_up_to(here)[which]))
        return np.vectorize(carried, otypes=[object])(edge.magnitude)[()]
    edge = _nanometres_of_an_electronvolt() / number(gap, "eV")  # plain numbers: a thousand gaps are asked for at once
    _refuse_beyond_the_table(np.asarray(edge), function)
    return _up_to(edge)[which]


@cache
def _nanometres_of_an_electronvolt():
    return float(wavelength_from_gap(Q(1.0, "eV")).magnitude)


def _refuse_beyond_the_table(edge, function):
    shortest, longest = _spectrum()[0][[0, -1]]
    slack = 1e-9  # 280 nm turned into eV and back is still 280 nm
    if np.all((edge >= shortest * (1 - slack)) & (edge <= longest * (1 + slack))):
        return
    raise RangeProblem(f"{function}() needs a gap from 0.31 to 4.42 eV, because the standard spectrum runs from "
                       f"{shortest:.0f} to {longest:.0f} nm; this gap has its edge at {_edge_text(edge)}.")  # fmt: skip


def _edge_text(edges):
    ends = [printed(Q(float(end), "nm"), 4, "nm") for end in (edges.min(), edges.max())]
    return ends[0] if ends[0] == ends[1] else " to ".join(ends)


def _photons(integral):
    """Photon flux of an integral of E·λ: the flux that 1 W/m² has at 1 nm, so many times."""
    return integral * _photons_of_a_watt()


@cache
def _photons_of_a_watt():
    return photon_flux_from_irradiance(Q(1.0, "W/m**2"), Q(1.0, "nm"))


def _scale(irradiance):
    return 1.0 if irradiance is None else (irradiance / irradiance_total()).to("dimensionless").magnitude


@takes(gap="[energy] > 0", irradiance="[irradiance] >= 0")
def photon_flux_above(gap, irradiance=None):
    """Return the photons of sunlight that carry at least ``gap``, per area and time.

    Parameters
    ----------
    gap : quantity [energy]
        From 0.31 to 4.42 eV (edge from 280 to 4000 nm).  Scalar or array.
    irradiance : quantity [irradiance] >= 0, optional
        What a pyranometer shows.  Without it, standard sunlight, 1000.37 W/m².  The spectrum is
        scaled, not reshaped: fair on a clear day around noon.  Low sun has less blue than that,
        a blue sky alone has more.

    Returns
    -------
    quantity [amount flux], in µmol/m²/s
        ``(flux * Q(1, "avogadro_constant")).to("1/m**2/s")`` gives single photons.

    Raises
    ------
    RangeProblem
        If the edge lies outside the spectrum.

    Notes
    -----
    Every photon above the gap is counted, absorbed or not.  The spectrum is taken as straight
    lines between its 2002 printed points and integrated exactly, the bin of the edge included.

    References
    ----------
    astm_g173

    Examples
    --------
    >>> from labkit.units import printed
    >>> printed(photon_flux_above('2.7 eV'), 3, unit='µmol/m**2/s')
    '414 µmol/m²/s'
    >>> printed(photon_flux_above('2.7 eV', irradiance='600 W/m²'), 3, unit='µmol/m**2/s')
    '248 µmol/m²/s'
    """
    return _photons(_integral(1, gap, "photon_flux_above")) * _scale(irradiance)


@takes(gap="[energy] > 0", irradiance="[irradiance] >= 0")
def irradiance_above(gap, irradiance=None):
    """Return the power of sunlight in photons that carry at least ``gap``, per area.

    Takes and refuses what ``photon_flux_above`` does; returns a quantity [irradiance], in W/m².
    Source: astm_g173.

    Examples
    --------
    >>> print(f"{irradiance_above('2.7 eV'):.0f~P}")
    122 W/m²
    """
    return Q(_integral(0, gap, "irradiance_above"), "W/m**2") * _scale(irradiance)


@takes(gap="[energy] > 0")
def share_above(gap):
    """Return (share of the photons, share of the power) of standard sunlight above ``gap``, in %.

    The whole is 280 to 4000 nm.  Takes and refuses what ``photon_flux_above`` does.  Source:
    astm_g173.

    Examples
    --------
    >>> photons, power = share_above('2.7 eV')
    >>> print(f"{photons:.1f~P} of the photons, {power:.1f~P} of the power")
    5.8 % of the photons, 12.2 % of the power
    """
    parts = (_integral(which, gap, "share_above") / _to_the_table_points()[which][-1] for which in (1, 0))
    return tuple(Q(part * 100, "percent") for part in parts)


def irradiance_total():
    """Return the whole power of standard sunlight, 280 to 4000 nm, in W/m².  Source: astm_g173.

    Examples
    --------
    >>> print(f"{irradiance_total():.2f~P}")
    1000.37 W/m²
    """
    return Q(_to_the_table_points()[0][-1], "W/m**2")


def photon_flux_total():
    """Return the whole photon flux of standard sunlight, 280 to 4000 nm, in µmol/m²/s.

    Source: astm_g173.

    Examples
    --------
    >>> from labkit.units import printed
    >>> printed(photon_flux_total(), 4, unit='µmol/m**2/s')
    '7150 µmol/m²/s'
    """
    return _photons(_to_the_table_points()[1][-1])


def sun_spectrum():
    """Return (wavelength in nm, power per area and wavelength in W/m²/nm), 2002 points each, to draw.

    Source: astm_g173.

    Examples
    --------
    >>> wavelength, spectral = sun_spectrum()
    >>> print(f"{wavelength[0]:~P} to {wavelength[-1]:~P}")
    280.0 nm to 4000.0 nm
    """
    wavelength, spectral = _spectrum()
    return Q(wavelength.copy(), "nm"), Q(spectral.copy(), "W/m**2/nm")
