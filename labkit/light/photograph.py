"""Back from a colour in a photograph, beside white paper, to the gaps that could have made it."""

import re
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from labkit.errors import RangeProblem, ReadingProblem
from labkit.light.colour import colour_seen, edge_step, photon_energies
from labkit.light.observer import (
    chroma_and_hue,
    hex_from_srgb,
    lab_from_xyz,
    linear_from_srgb,
    linear_from_xyz,
    srgb_from_xyz,
    xyz_from_linear,
    xyz_on_grid,
)
from labkit.light.photon import wavelength_from_gap
from labkit.units import Q, Range, as_range, printed_range, wrapped

SOFTNESS = "0.05 to 0.15 eV, likely 0.10 eV"  # from memory of how such spectra look
HUE_ERROR = (3.0, 0.15)  # our choice for a telephone beside paper: units of CIELAB, and per unit of chroma (9°)
CHROMA_ERROR = (3.0, 0.20)  # the same along the chroma: telephones make colours livelier or duller by a fifth
BRIGHT = (0.5, 1.3)  # our choice: brightness of clean powder beside paper, a light shadow on either included
DULL = 0.75  # below this share of the paper's brightness something else may absorb
_GAPS = np.round(np.arange(1.40, 3.605, 0.01), 2)  # eV
_WIDEST = 4.43  # eV, end of the table of words
_FLOORS = np.array([0.02, 0.05, 0.08, 0.12, 0.18, 0.25, 0.30])  # reflectance above the gap over that below, from memory
_STRENGTHS = (10.0, 40.0)  # absorption over scattering of grains, K/S = strength·√(E - gap)/E, E in eV; from memory
_BACKGROUND = 0.002  # absorption over scattering below the edge, from memory
_BLACK, _DUSKY, _GREY = 28.0, 75.0, 6.0  # lightness, lightness and chroma, our choice: black, and grey and not white
_FURTHER = 0.4  # our choice: edges that are bright enough may be so much further off in hue than darker ones
_CLOSE = 0.8  # our choice: the best has to lie inside the tolerance and not at its end
_LEAST = 0.1  # eV, our choice: nearer than that no colour fixes a gap
_RUSTY = 90.0  # hue, our choice: from orange-yellow on iron and char have the colour that an edge has
_STEP = 0.05  # eV; colour tells nothing finer, so the ends are rounded outwards to it
_NUMBER = r"([0-9]{1,3})"
_THREE = re.compile(rf"(?:rgb)? *\(? *{_NUMBER}(?: *[,;] *| +){_NUMBER}(?: *[,;] *| +){_NUMBER} *\)?", re.IGNORECASE)
_HEX = re.compile(r"#?([0-9a-f]{6})|#([0-9a-f]{3})", re.IGNORECASE)
_TYPE = "Type six digits such as #F1F6A1, or three whole numbers from 0 to 255 such as 241 246 161."
_NAMES = ("the softness and shape of the edge", "the camera and the lamp", "the darkness above the gap")


@dataclass(frozen=True, repr=False)
class ColourVerdict:
    """What a photographed colour says of the gap.

    ``kind`` is “a range”, “at least” (only the lower end of ``gap`` means something) or “no clean edge”
    (``gap`` is None); ``sentence`` says it in words, ``notes`` what makes the picture doubtful; ``powder``
    and ``paper`` are the colours as photographed, ``balanced`` the powder's as beside white, ``word`` its name.
    """

    kind: str
    gap: Range | None
    sentence: str
    notes: tuple
    powder: str
    paper: str
    balanced: str
    word: str

    def __str__(self):
        return wrapped("\n".join((self.sentence, *self.notes)))

    __repr__ = __str__


def srgb_from_text(text, name="colour"):
    """Return red, green and blue (0 to 255) of a colour as pages and drawing programs write it.

    Parameters
    ----------
    text : str or three whole numbers
        ``"#F1F6A1"``, ``"241 246 161"`` or ``"rgb(241, 246, 161)"``.
    name : str
        What a message calls it.

    Raises
    ------
    ReadingProblem
        Says what to type.

    Examples
    --------
    >>> srgb_from_text("#F1F6A1"), srgb_from_text("rgb(241, 246, 161)"), srgb_from_text("#fc0")
    ((241, 246, 161), (241, 246, 161), (255, 204, 0))
    """
    if not isinstance(text, str):
        text = " ".join(str(part) for part in text) if isinstance(text, (tuple, list, np.ndarray)) else ""
    text = text.strip(" .") if len(text) <= 60 else ""
    found = _HEX.fullmatch(text)
    if found:
        digits = found[1] or "".join(2 * digit for digit in found[2])
        return tuple(int(digits[place : place + 2], 16) for place in (0, 2, 4))
    found = _THREE.fullmatch(text)
    if not found:
        raise ReadingProblem(f"This is no colour for the {name}. {_TYPE}")
    parts = tuple(int(part) for part in found.groups())
    if max(parts) > 255:
        raise ReadingProblem(f"A part of the {name} is {max(parts)}, but 255 is the most. {_TYPE}")
    return parts


def gap_range_from_colour(powder, paper="#FFFFFF", softness=SOFTNESS):
    """Return the range of gaps that could have made the colour of a clean powder.

    Takes what ``colour_verdict`` does and gives its range, with its sentence as ``why``.

    Raises
    ------
    RangeProblem
        If no clean edge explains the colour; the message says what it may be.

    Examples
    --------
    >>> print(gap_range_from_colour("#E7E095", paper="#F2EEE6"))
    2.4 to 3.0 eV, likely 2.6 eV
    """
    verdict = colour_verdict(powder, paper, softness)
    if verdict.gap is None:
        raise RangeProblem(verdict.sentence)
    return verdict.gap


def colour_verdict(powder, paper="#FFFFFF", softness=SOFTNESS):
    """Return what the colour of a powder, photographed beside white paper, says of its gap.

    Parameters
    ----------
    powder, paper : str or three whole numbers
        sRGB, picked from the same photograph: see ``srgb_from_text``.  The powder is divided by the
        paper, part by part in linear light, which takes out the exposure and most of the lamp.
    softness : Range, quantity [energy] or text
        See ``powder_colour``.

    Returns
    -------
    ColourVerdict

    Raises
    ------
    ReadingProblem
        If a colour cannot be read.
    RangeProblem
        If the paper cannot have been white in that light, or the softness is not from 0.02 to 0.40 eV.

    Notes
    -----
    Edges of every gap from 1.4 to 3.6 eV are tried: smooth steps of each softness, and grains that
    absorb as √(E - gap)/E with a tail below (Kubelka-Munk), each with several depths of the dark
    side.  Those count that agree in hue to about 9°, in chroma to about a fifth, and whose
    brightness beside the paper is between 0.5 and 1.3: our choices, for no camera is calibrated.
    A lamp that lacks violet, or a metal on the powder, shifts the colour in ways that this cannot see.

    References
    ----------
    powder_colour, cie_observer_table, iec_srgb_1999, cielab_1976

    Examples
    --------
    >>> colour_verdict("#E7E095", paper="#F2EEE6").kind, colour_verdict("#7A8FA8").kind
    ('a range', 'no clean edge')
    """
    powder, paper = srgb_from_text(powder, "powder"), srgb_from_text(paper, "paper")
    soft = as_range(softness, "[energy] > 0", "softness").m_as("eV")
    if not 0.02 <= soft[0] <= soft[2] <= 0.40:
        raise RangeProblem("The softness of the edge has to lie from 0.02 to 0.40 eV. Type for instance 0.10 eV.")
    xyz = _balanced(powder, paper)
    lab = lab_from_xyz(xyz)
    family, brightness = _family(soft), xyz[1] / _family(soft).light
    off, fits = _agreement(lab, family, brightness)
    kind, gap, best = _range(off, fits, family)
    if lab[0] < _BLACK or (lab[0] < _DUSKY and chroma_and_hue(lab)[0] < _GREY):
        kind, gap = "no clean edge", None
    if gap is None:
        reason = _other(lab)
        word, sentence = reason.partition(":")[0], f"No clean edge explains this colour. It is {reason}"
    else:
        word, sentence = colour_seen(gap.likely), gap.why
    notes = _notes(powder, paper, lab, None if gap is None else brightness[best])
    rgb, _ = srgb_from_xyz(xyz)
    return ColourVerdict(kind, gap, sentence, notes, hex_from_srgb(powder), hex_from_srgb(paper), hex_from_srgb(rgb),
                         word)  # fmt: skip


def _balanced(powder, paper):
    """Return X, Y and Z of the powder as beside paper that is white."""
    if min(paper) < 60 or max(linear_from_srgb(paper)) > 3.5 * min(linear_from_srgb(paper)):
        raise RangeProblem("The paper is too dark or too coloured to be white paper in a fair light. Take the picture "
                           "in daylight, and pick the paper where no shadow falls.")  # fmt: skip
    share = linear_from_srgb(powder) / linear_from_srgb(paper)
    if share.max() > 1.4:
        raise RangeProblem("The powder is much brighter than the paper, so the paper lies in a shadow. Pick another "
                           "place on it, or take the picture anew.")  # fmt: skip
    return xyz_from_linear(share)


@dataclass(frozen=True, eq=False)
class _Family:
    """Colours on axes (shape, gap, floor): lightness, a, b and light (Y); ``likely`` is the place of the shape."""

    lab: np.ndarray
    light: np.ndarray
    likely: int


@lru_cache(maxsize=8)
def _family(soft):
    low, likely, high = soft
    widths = sorted({low, (low + likely) / 2, likely, (likely + high) / 2, high})
    shapes = [edge_step(_GAPS, width) for width in widths]
    shapes += [_grains(width, strength) for width in widths for strength in _STRENGTHS]
    steps = xyz_on_grid(np.stack(shapes))[:, :, None, :]
    white = xyz_on_grid(np.ones_like(photon_energies()))
    floors = _FLOORS[:, None]
    linear = np.maximum(linear_from_xyz(floors * white + (1 - floors) * steps), 0)  # a camera has no less than nothing
    xyz = xyz_from_linear(linear)
    return _Family(lab_from_xyz(xyz), xyz[..., 1], widths.index(likely))


def _grains(width, strength):
    """Return reflectance along the grid of deep powder that absorbs as √(E - gap)/E, with a tail that joins it.

    The tail falls e-fold in half the width, because reflectance follows the root of a small absorption.
    """
    energy, gaps = photon_energies(), _GAPS[:, None]
    away, join = energy - gaps, width / 4  # there the root is as steep as the tail
    above = np.sqrt(np.maximum(away, join)) / np.where(away > join, energy, gaps + join)
    tail = np.exp(np.clip((away - join) / (width / 2), -60, 0))
    absorbed = strength * above * tail + _BACKGROUND
    return 1 + absorbed - np.sqrt(absorbed**2 + 2 * absorbed)


def _agreement(lab, family, brightness):
    """Return how far each of the family is off, 1 at the end of the tolerance, and whether it fits in brightness too."""
    scale = (lab[0] + 16) / (family.lab[..., 0] + 16)  # a and b as they would be at the same lightness
    a, b = family.lab[..., 1] * scale, family.lab[..., 2] * scale
    chroma, _ = chroma_and_hue(lab)
    along = np.hypot(a, b) - chroma
    across = np.sqrt(np.maximum((a - lab[1]) ** 2 + (b - lab[2]) ** 2 - along**2, 0))
    off = np.maximum(np.abs(along) / (CHROMA_ERROR[0] + CHROMA_ERROR[1] * chroma),
                     across / (HUE_ERROR[0] + HUE_ERROR[1] * chroma))  # fmt: skip
    return off, (off <= 1) & (brightness >= BRIGHT[0]) & (brightness <= BRIGHT[1])


def _range(off, fits, family):
    """Return the kind of answer, the Range of gaps, its ends rounded outwards, and the place of the likely one."""
    found = _GAPS[fits.any(axis=(0, 2))]
    if not found.size or off[fits].min() > min(off.min() + _FURTHER, _CLOSE):
        return "no clean edge", None, None
    usual = off + 0.02 * np.abs(np.log(_FLOORS / 0.06))  # among equals the usual depth
    usual = np.where(fits, usual, np.inf)
    shape = family.likely if fits[family.likely].any() else np.unravel_index(usual.argmin(), usual.shape)[0]
    place, floor = np.unravel_index(usual[shape].argmin(), usual[shape].shape)
    low, high = np.floor(found[0] / _STEP + 1e-6) * _STEP, np.ceil(found[-1] / _STEP - 1e-6) * _STEP
    likely = round(_GAPS[place] / _STEP) * _STEP
    low, high = min(low, likely - _LEAST), max(high, likely + _LEAST)
    kind = "at least" if found[-1] == _GAPS[-1] else "a range"
    high = _WIDEST if kind == "at least" else high
    drivers = () if kind == "at least" else _drivers(usual, fits, shape, floor)
    ends = (Q(round(float(end), 2), "eV") for end in (low, likely, high))
    gap = Range(*ends, drivers=drivers)
    return kind, Range(*gap.ends, why=_fitted(kind, gap), drivers=drivers), (shape, place, floor)


def _drivers(usual, fits, likely, floor):
    """Return (name, lowest, highest gap) for each thing that widens the range when it alone is moved, widest first."""
    shapes = [_GAPS[here.min(axis=1).argmin()] for here in usual if np.isfinite(here).any()]
    camera = _GAPS[fits[likely, :, floor]]
    depths = [_GAPS[here.argmin()] for here in usual[likely].T if np.isfinite(here).any()]
    found = [(name, Q(float(min(gaps)), "eV"), Q(float(max(gaps)), "eV"))
             for name, gaps in zip(_NAMES, (shapes, camera, depths)) if len(gaps) and min(gaps) < max(gaps)]  # fmt: skip
    return tuple(sorted(found, key=lambda driver: driver[1] - driver[2]))


def _fitted(kind, gap):
    if kind == "at least":
        return (f"This colour is that of a gap of {gap.low.magnitude:.2f} eV or more, or of no edge at all: such an edge "
                "lies in the violet or beyond, where the eye and a camera see little of it.")  # fmt: skip
    edges = Range(*(wavelength_from_gap(end) for end in reversed(gap.ends)))
    drives = f" What widens this most is {gap.driver}." if gap.driver else ""
    return (f"This colour fits a gap of {printed_range(gap, 3, 'eV')}, where clean powder looks {colour_seen(gap.likely)}: "
            f"an edge at {printed_range(edges, 3, 'nm')}.{drives}")  # fmt: skip


def _other(lab):
    """Return what a colour may be that no clean edge explains."""
    chroma, hue = (float(part) for part in chroma_and_hue(lab))
    if lab[0] < _BLACK:
        return "near black: char, metal or a gap below 1.6 eV look alike."
    if chroma < _GREY:
        return "grey: soot, metal or a shadow takes all colours alike, and an edge does not."
    if 125 <= hue < 200:
        return "greenish: an edge leaves yellow to red. A metal salt or the lamp may be green."
    if 200 <= hue < 300:
        return (
            "bluish: an edge takes blue first. Light of another kind on the paper, or a metal salt, may be the cause."
        )
    if hue >= 300 or hue < 20:
        return "pink or purple: an edge takes violet and blue first. A dye, a salt or the lamp may be the cause."
    if lab[0] >= _DUSKY and chroma < 50:
        return ("beige: paler than an edge of this hue leaves. A metal such as iron, char, or a lamp unlike the one on "
                "the paper may be the cause.")  # fmt: skip
    if chroma > 75:
        return "too vivid: more strongly coloured than powder in daylight. The picture may be livened up."
    return ("brown or dull: an edge of this hue would leave a brighter powder. A metal such as iron, char or a shadow "
            "takes the rest.")  # fmt: skip


def _notes(powder, paper, lab, brightness):
    """Return what makes a picture doubtful; ``brightness`` is None where no edge was found."""
    notes = []
    if brightness is not None and chroma_and_hue(lab)[1] < _RUSTY:
        notes.append(
            "Iron and char have this hue too. If a metal was put on the powder, or it was fired hot, this range is not its gap."
        )
    if brightness is not None and brightness < DULL:
        notes.append("The powder is dull beside the paper: a shadow, char or a metal may have its part in the colour.")
    if max(powder) >= 254:
        notes.append("A part of the powder's colour is at the end of the scale: over-exposed, so it may be deeper.")
    if min(powder) <= 2:
        notes.append("A part of the powder's colour is zero: deeper than the picture can show.")
    if paper == (255, 255, 255):
        notes.append(
            "The paper is at the end of the scale, or none was given: the lamp and the exposure are not taken out."
        )
    elif max(paper) >= 254:
        notes.append("The paper is over-exposed, so the lamp is taken out only in part.")
    return tuple(notes)
