"""The colour of a powder and the gap behind it, in words and computed; colour is a rough witness either way."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from labkit.data import guess, table
from labkit.errors import RangeProblem, chosen
from labkit.light.observer import chroma_and_hue, daylight_grid, hex_from_srgb, lab_from_xyz, srgb_from_xyz, xyz_on_grid
from labkit.light.photon import gap_from_wavelength, wavelength_from_gap
from labkit.units import Q, nominal, number, printed, refuse_array, takes, wrapped

COLOUR_IS_ROUGH = (
    "Colour alone fixes the gap only to within some tenths of an eV: grain size, the depth of the layer, how steep "
    "the edge is and the lamp overhead all shift it. Of a powder with metal on it the colour says less still, "
    "because iron brings a brown of its own."
)


@takes(gap="[energy] > 0")
def colour_seen(gap):
    """Return the colour, in words, of a clean powder that absorbs everything above ``gap``.

    Parameters
    ----------
    gap : quantity [energy]
        One gap, from 0.31 to 4.43 eV.

    Returns
    -------
    str
        One of ``colours()``.

    Raises
    ------
    RangeProblem
        If the gap lies outside the table, or several gaps are given.

    Notes
    -----
    ``COLOUR_IS_ROUGH`` belongs beside the answer; ``gap_range_for_colour`` goes the other way.

    References
    ----------
    powder_colour: colours computed from a smooth edge in daylight; the words are labkit's.

    Examples
    --------
    >>> colour_seen('2.7 eV'), colour_seen('2.4 eV')
    ('pale yellow', 'orange-yellow')
    """
    return _band(gap, "colour_seen")["name"]


@takes(gap="[energy] > 0")
def light_absorbed(gap):
    """Return, in words, the light a powder of this gap can use: all that lies above the gap.

    Takes and refuses what ``colour_seen`` does.  Ultraviolet, which lies above every gap here, is
    named only where little else is absorbed.  Colour names of light run into one another; the
    borders used are violet to 450 nm, blue to 485, blue-green to 510, green to 565, yellow to 590,
    orange to 625 and red beyond (common practice).

    Examples
    --------
    >>> light_absorbed('2.7 eV')
    'violet and blue'
    """
    return _band(gap, "light_absorbed")["absorbed"]


def colours():
    """Return the words for colours, from the widest gap to the narrowest.

    Examples
    --------
    >>> colours()[:2]
    ['near white', 'whitish yellow']
    """
    return [row["name"] for row in table("colours")]


def gap_range_for_colour(colour):
    """Return the range of gaps that a powder of this colour may have.

    Parameters
    ----------
    colour : str
        One of ``colours()``.

    Returns
    -------
    Range of quantities [energy], in eV
        Its ends lie 0.15 eV beyond the colour's own band: some tenths of an eV in all.

    Raises
    ------
    ChoiceProblem
        If there is no such colour; the message lists the colours.

    References
    ----------
    powder_colour

    Examples
    --------
    >>> print(gap_range_for_colour('pale yellow'))
    2.5 to 3.0 eV, likely 2.8 eV
    """
    return guess("colours", chosen(" ".join(str(colour).lower().split()), colours(), "colour"))


@dataclass(frozen=True, repr=False)
class PowderColour:
    """How a clean powder looks in daylight, as computed.

    ``hex`` and ``rgb`` (0 to 255) are sRGB, ``clipped`` if a screen cannot show all of it; ``xyz`` has Y of
    white as 1; ``lab`` is CIELAB; ``chroma`` is how far from grey, ``hue`` its angle in degrees (90 yellow,
    60 orange); ``word`` is one of ``colours()``.
    """

    gap: object
    hex: str
    rgb: tuple
    xyz: tuple
    lab: tuple
    chroma: float
    hue: float
    clipped: bool
    word: str

    def __str__(self):
        edge = printed(wavelength_from_gap(self.gap), 3, "nm")
        deep = " A screen cannot show all of its depth." * self.clipped
        return wrapped(f"{self.word}, {self.hex} on a screen, hue {self.hue:.0f}°: gap {printed(self.gap, 3)}, "
                       f"edge {edge}.{deep}")  # fmt: skip

    __repr__ = __str__


@takes(gap="[energy] > 0", softness="[energy] > 0", darkest="[] >= 0", brightest="[] > 0")
def powder_colour(gap, softness="0.10 eV", darkest=0.05, brightest=0.90):
    r"""Return the colour that a clean powder of this gap has in daylight.

    .. math:: R(E) = R_{dark} + (R_{bright} - R_{dark}) / (1 + e^{(E - E_{gap}) / w})

    Parameters
    ----------
    gap : quantity [energy]
        One gap, from 0.31 to 4.43 eV.
    softness : quantity [energy] > 0
        w: over 4.4 times as much the reflectance falls from nine tenths of its step to one tenth.
    darkest, brightest : plain number or percentage
        Reflectance far above and far below the gap.  The 0.05 and 0.90, like the 0.10 eV, are
        ours, from memory of how such spectra look; strong absorbers in a deep layer look deeper.

    Returns
    -------
    PowderColour

    Raises
    ------
    RangeProblem
        If the gap lies outside the table of words, or the reflectances are not in order.

    References
    ----------
    powder_colour, cie_observer_table, iec_srgb_1999, cielab_1976

    Examples
    --------
    >>> powder_colour("2.8 eV")
    pale yellow, #F1F6C1 on a screen, hue 113°: gap 2.80 eV, edge
    443 nm.
    """
    gap = nominal(gap)
    _band(gap, "powder_colour")
    refuse_array("powder_colour", softness=softness, darkest=darkest, brightest=brightest)
    low, high = (float(nominal(part).m_as("dimensionless")) for part in (darkest, brightest))
    if not low < high <= 1:
        raise RangeProblem(f"powder_colour() needs darkest below brightest, and both from 0 to 1, but they are "
                           f"{low:g} and {high:g}.")  # fmt: skip
    step = edge_step(number(gap, "eV"), number(nominal(softness), "eV"))
    xyz = xyz_on_grid(low + (high - low) * step)
    lab = lab_from_xyz(xyz)
    rgb, clipped = srgb_from_xyz(xyz)
    chroma, hue = chroma_and_hue(lab)
    plain = (tuple(float(part) for part in parts) for parts in (xyz, lab))
    return PowderColour(gap, hex_from_srgb(rgb), tuple(rgb.tolist()), *plain, float(chroma), float(hue), clipped,
                        colour_word(lab))  # fmt: skip


def photon_energies():
    """Return the photon energy, a plain number in eV, at each wavelength of ``daylight_grid``."""
    return _energies()


@cache
def _energies():
    found = gap_from_wavelength(Q(daylight_grid(), "nm")).magnitude
    found.setflags(write=False)
    return found


def edge_step(gaps, softness):
    """Return the share of the step in reflectance, 1 below the gap and 0 above, along ``daylight_grid``.

    ``gaps`` and ``softness`` are plain numbers in eV; an array of gaps gives a row for each.

    >>> edge_step(2.755, 0.1)[18].round(2).item()  # 450 nm is 2.755 eV
    0.5
    """
    away = (photon_energies() - np.asarray(gaps, dtype=float)[..., None]) / softness
    return 1 / (1 + np.exp(np.clip(away, -60, 60)))


def colour_word(lab):
    """Return the word of ``colours()`` for the computed colour nearest to lightness, a and b (CIELAB).

    >>> colour_word([94.7, -13.8, 40.2])
    'pale yellow'
    """
    words, known = _worded()
    return words[int(np.argmin(((known - np.asarray(lab, dtype=float)) ** 2).sum(axis=-1)))]


@cache
def _worded():
    """The word and the computed colour of gaps 0.02 eV apart, none of them on a border between two words."""
    gaps = np.arange(1.01, 3.6, 0.02)
    words = tuple(colour_seen(Q(float(gap), "eV")) for gap in gaps)
    return words, lab_from_xyz(xyz_on_grid(0.05 + 0.85 * edge_step(gaps, 0.10)))


def _band(gap, function):
    size = number(gap, "eV")
    if np.ndim(size):
        raise RangeProblem(f"{function}() names one colour at a time, but it got {np.size(size)} gaps.")
    rows = table("colours")
    for row in rows:
        if float(row["band_low_eV"]) <= size < float(row["band_high_eV"]):
            return row
    ends = rows[-1]["band_low_eV"], rows[0]["band_high_eV"]
    raise RangeProblem(f"{function}() needs a gap from {ends[0]} to {ends[1]} eV, but it is {Q(size, 'eV'):.3g~P}.")
