"""From a spectrum to a colour: the standard eye, standard daylight, and the colour of a screen."""

from functools import cache

import numpy as np

from labkit.data import table
from labkit.errors import RangeProblem
from labkit.units import number, takes

# IEC 61966-2-1 (sRGB): linear red, green and blue to X, Y and Z, with the white of D65 at x 0.3127, y 0.3290.
_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_FROM_XYZ = np.linalg.inv(_TO_XYZ)
_WHITE = np.array([0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290])
_LEAST, _MOST = 420.0, 680.0  # nm, our choice: beyond lie 3 % of Z and under 1 % of X and Y (computed)
_OUT = 0.5 / 255  # what rounding to 256 steps hides is not called clipped


@cache
def _observer():
    """Wavelength in nm; the weights of X, Y and Z in daylight, normed to Y = 1 for perfect white; and V."""
    rows = table("cie_observer")
    columns = {name: np.array([float(row[name]) for row in rows]) for name in ("wavelength_nm", "x", "y", "z", "d65")}
    weights = np.stack([columns[name] * columns["d65"] for name in ("x", "y", "z")])
    kept = columns["wavelength_nm"], weights / weights[1].sum(), columns["y"]
    for array in kept:
        array.setflags(write=False)
    return kept


@takes(wavelength="[length] > 0")
def luminous_efficiency(wavelength):
    """Return how strongly the eye in daylight sees light of a wavelength, as a share of its best, at 555 nm.

    Parameters
    ----------
    wavelength : quantity [length] > 0
        Scalar or array.

    Returns
    -------
    plain number or array
        V, the y of the standard observer, straight between the rows 5 nm apart; zero outside 360 to 830 nm.

    References
    ----------
    cie_observer_table

    Examples
    --------
    A lux meter sees little of the light that drives a pale powder:

    >>> print(f"{luminous_efficiency('450 nm'):.3f} of its best at 450 nm, {luminous_efficiency('420 nm'):.3f} at 420 nm")
    0.038 of its best at 450 nm, 0.004 at 420 nm
    """
    grid, _, seen = _observer()
    found = np.interp(number(wavelength, "nm"), grid, seen, left=0.0, right=0.0)
    return found if np.ndim(found) else float(found)


def daylight_grid():
    """Return the wavelengths of the table of the observer, 360 to 830 nm by 5 nm, as plain numbers in nm.

    >>> daylight_grid()[[0, -1]].tolist()
    [360.0, 830.0]
    """
    return _observer()[0]


def xyz_on_grid(reflectance):
    """Return X, Y and Z of reflectances given on ``daylight_grid``, in daylight D65; Y of perfect white is 1.

    Parameters
    ----------
    reflectance : array of plain numbers, its last axis along the grid

    References
    ----------
    cie_observer_table

    Examples
    --------
    >>> xyz_on_grid(np.full(95, 0.5)).round(3).tolist()
    [0.475, 0.5, 0.544]
    """
    return np.asarray(reflectance, dtype=float) @ _observer()[1].T


@takes(wavelength="[length] > 0", reflectance="[]")
def xyz_from_reflectance(wavelength, reflectance):
    """Return X, Y and Z of a surface in daylight D65, for the 2° observer; Y of perfect white is 1.

    Parameters
    ----------
    wavelength : quantity [length], array
        In any order, at least from 420 to 680 nm.
    reflectance : plain numbers or percentages, array
        One for each wavelength; straight in between, and held beyond the ends.

    Returns
    -------
    array of three plain numbers

    Raises
    ------
    RangeProblem
        If the two do not match, or the spectrum leaves out a part that the eye sees.

    Notes
    -----
    Summed over the 5 nm steps of the table; a step in the spectrum sharper than that is smeared.

    References
    ----------
    cie_observer_table

    Examples
    --------
    >>> from labkit.units import Q
    >>> xyz = xyz_from_reflectance(Q([400, 700], "nm"), Q([50, 50], "percent"))
    >>> hex_from_srgb(srgb_from_xyz(xyz)[0])
    '#BCBCBC'
    """
    places = np.atleast_1d(number(wavelength, "nm"))
    heights = np.atleast_1d(number(reflectance, "dimensionless"))
    if places.shape != heights.shape or places.ndim != 1:
        raise RangeProblem(f"xyz_from_reflectance() needs one reflectance for each wavelength, but it got "
                           f"{heights.size} for {places.size}.")  # fmt: skip
    if not places.size or not (places.min() <= _LEAST and places.max() >= _MOST):
        raise RangeProblem(f"The colour needs a spectrum at least from {_LEAST:.0f} to {_MOST:.0f} nm, but this one "
                           f"{f'runs from {places.min():.4g} to {places.max():.4g} nm' if places.size else 'is empty'}.")  # fmt: skip
    order = np.argsort(places, kind="stable")
    return xyz_on_grid(np.interp(daylight_grid(), places[order], heights[order]))


def srgb_from_xyz(xyz):
    """Return the colour of a screen, and whether a screen can show it.

    Parameters
    ----------
    xyz : array of plain numbers, its last axis X, Y, Z
        In daylight D65; Y of white is 1.

    Returns
    -------
    (array of whole numbers from 0 to 255, True or False, an array of them for many colours)
        Red, green and blue of sRGB.  True says that a part lay outside and was clipped: the powder
        is deeper in colour than a screen can show.

    References
    ----------
    iec_srgb_1999

    Examples
    --------
    >>> rgb, clipped = srgb_from_xyz([0.9505, 1.0, 1.0890])
    >>> rgb.tolist(), clipped
    ([255, 255, 255], False)
    """
    linear = linear_from_xyz(xyz)
    if not np.isfinite(linear).all():
        raise RangeProblem("srgb_from_xyz() needs finite X, Y and Z.")
    clipped = ((linear < -_OUT / 12.92) | (linear > 1 + _OUT * 2)).any(axis=-1)
    linear = np.clip(linear, 0, 1)
    coded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    rgb = np.rint(coded * 255).astype(int)
    return rgb, (clipped if np.ndim(clipped) else bool(clipped))


def linear_from_srgb(rgb):
    """Return the light behind red, green and blue of a screen (0 to 255), each as a share of white's (0 to 1).

    Source: iec_srgb_1999.

    >>> linear_from_srgb([255, 188, 0]).round(3).tolist()
    [1.0, 0.503, 0.0]
    """
    coded = np.asarray(rgb, dtype=float) / 255
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def linear_from_xyz(xyz):
    """Return linear red, green and blue of X, Y and Z; below 0 or above 1 where a screen cannot follow.

    Source: iec_srgb_1999.

    >>> linear_from_xyz([0.9505, 1.0, 1.089]).round(3).tolist()
    [1.0, 1.0, 1.0]
    """
    return np.asarray(xyz, dtype=float) @ _FROM_XYZ.T


def xyz_from_linear(linear):
    """Return X, Y and Z of linear red, green and blue (0 to 1).  Source: iec_srgb_1999.

    >>> xyz_from_linear([1, 1, 1]).round(4).tolist()
    [0.9505, 1.0, 1.089]
    """
    return np.asarray(linear, dtype=float) @ _TO_XYZ.T


def lab_from_xyz(xyz):
    """Return lightness, a and b (CIELAB) beside the white of D65; a grey has a and b of zero.

    Parameters
    ----------
    xyz : array of plain numbers, its last axis X, Y, Z; Y of white is 1

    Returns
    -------
    array of the same shape
        Lightness from 0 to 100; a to the red, b to the yellow side.

    References
    ----------
    cielab_1976

    Examples
    --------
    >>> lab_from_xyz([0.17, 0.2, 0.05]).round(1).tolist()
    [51.8, -10.7, 45.3]
    """
    share = np.asarray(xyz, dtype=float) / _WHITE
    root = np.where(share > (6 / 29) ** 3, np.cbrt(share), share / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = np.moveaxis(root, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def chroma_and_hue(lab):
    """Return how far a colour is from grey, and its hue angle in degrees: 0 red, 90 yellow, 180 green, 270 blue.

    Source: cielab_1976.

    >>> [part.round(1).item() for part in chroma_and_hue([90, -10, 40])]
    [41.2, 104.0]
    """
    _, a, b = np.moveaxis(np.asarray(lab, dtype=float), -1, 0)
    return np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360


def hex_from_srgb(rgb):
    """Return red, green and blue of a screen as pages write them.

    >>> hex_from_srgb([241, 246, 161])
    '#F1F6A1'
    """
    return "#" + "".join(f"{int(part):02X}" for part in rgb)
