"""Sunlight, and the part of it above a gap: standing still, or following a slider."""

from dataclasses import dataclass, replace
from functools import cache, lru_cache

import numpy as np

from labkit.data import guess
from labkit.light import (
    photon_flux_above,
    share_above,
    sun_spectrum,
    wavelength_from_gap,
)
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, MEASURED, QUIET, new_figure, styled
from labkit.units import Q, as_range, number_text, printed

ABOVE = replace(MAIN, opacity=0.6)  # usable whichever gap in the range is the true one
MAYBE = replace(MAIN, opacity=0.2, hatched=True)  # usable only if the gap is a narrow one
SPECTRUM = replace(QUIET, width=1.2, opacity=0.25)
LONGEST = 1800.0  # nm; further out little is left, and all of it would only squeeze the visible part
_LABELS = (980, (1.42, 1.27, 1.12, 0.97))  # where the shares are written: nm, and W/m²/nm line by line
# Borders between the names of light as in labkit.light.colour; the tints are chosen by eye.
_VISIBLE = ((380, "#7F4FC9"), (450, "#2F6FE4"), (485, "#18A7A7"), (510, "#2FA84F"), (565, "#E8CF2A"),
            (590, "#F0902A"), (625, "#D8382E"), (750, None))  # fmt: skip
_PUBLISHED = (  # row of gaps.csv, words beside its point, and where they stand: points right, points up
    ("thiourea, Zhang 2013", "thiourea", 9, 5),
    ("melamine, Zhang 2013", "melamine", -9, -13),
    ("dicyandiamide, Zhang 2013", "dicyandiamide", 9, 3),
    ("urea, Dong 2011", "urea (Dong 2011)", 9, 5),
    ("urea, Zhang 2013", "urea (Zhang 2013)", 9, 5),
)


def sun_figure(gap, axes=None):
    """Return the picture of standard sunlight with the part above a gap filled.

    Parameters
    ----------
    gap : Range, quantity [energy] or text
        From 0.69 to 4.42 eV, so that the edge lies in the picture.  Of a Range the part that only
        the narrower gaps can use is hatched.
    axes : matplotlib.axes.Axes, optional
        Draw here instead of in a new figure.

    Returns
    -------
    matplotlib.figure.Figure
        The area under the line is power.  Show it with ``alt=sun_words(gap)``.

    References
    ----------
    astm_g173

    Examples
    --------
    >>> figure = sun_figure("2.7 eV")
    >>> figure.axes[0].get_xlabel()
    'Wavelength / nm'
    """
    part = _part(gap)
    with styled():
        figure, axes = _stage(axes)
        for curve, role in part.filled:
            axes.fill_between(*curve, **role.fill)
        axes.axvline(part.edges[1], **LIMIT.line)
        beside = {"xytext": (7, 0), "textcoords": "offset points", "va": "bottom", "fontsize": 12}
        axes.annotate(part.edge_text, (part.edges[1], 1.78), **beside)
        for height, line in zip(_LABELS[1], part.lines):
            axes.text(_LABELS[0], height, line, va="bottom", fontsize=12)
    return figure


def sun_svg(gap):
    """Return the same picture as SVG text for a panel; only what follows the gap is drawn anew.

    Takes what ``sun_figure`` does.
    """
    part, picture = _part(gap), _live()
    elements = [picture.area(wavelength, 0 * power, power, role) for (wavelength, power), role in part.filled]
    elements += [picture.upright(part.edges[1]), picture.text(part.edges[1], 1.75, part.edge_text, anchor="start")]
    for height, line in zip(_LABELS[1], part.lines):
        elements.append(picture.text(_LABELS[0], height, line, anchor="start"))
    return picture.svg(elements, alt=_said(part))


def sun_words(gap):
    """Return what ``sun_figure`` shows, in words with its numbers.

    Examples
    --------
    >>> sun_words("2.7 eV").split(". ")[1]
    'The part above a gap of 2.70 eV, left of its edge at 459 nm, is filled: 12.2 % of the power and 5.79 % of the photons.'
    """
    return _said(_part(gap))


def gaps_figure():
    """Return the picture of the photons above a gap, with published gaps of carbon nitride on the curve.

    References
    ----------
    astm_g173, dong_2011, zhang_2013
    """
    gaps = np.linspace(2.2, 3.2, 101)
    with styled():
        figure, axes = new_figure()
        axes.plot(gaps, photon_flux_above(Q(gaps, "eV")).magnitude, **MAIN.line)
        span = guess("gaps", "your powder from urea")
        low, _, high = span.m_as("eV")
        axes.axvspan(low, high, **GUESS.fill)
        middle = (low + high) / 2
        axes.text(middle, 1060, "your powder\nfrom urea", ha="center", va="top", fontsize=12)
        for name, words, right, up in _PUBLISHED:
            gap = guess("gaps", name).likely
            place = (gap.magnitude, photon_flux_above(gap).magnitude)
            axes.plot(*place, **MEASURED.points)
            side = "left" if right > 0 else "right"
            axes.annotate(words, place, xytext=(right, up), textcoords="offset points", ha=side, fontsize=12)
        axes.set(xlim=(2.2, 3.2), ylim=(0, 1120), xlabel="Gap / eV", ylabel="Photons above the gap / µmol/m²/s")
    return figure


def gaps_words():
    """Return what ``gaps_figure`` shows, in words with its numbers."""
    points = [(words, guess("gaps", name).likely) for name, words, _, _ in _PUBLISHED]
    listed = ", ".join(
        f"{words} {printed(gap, 3)} with {printed(photon_flux_above(gap), 3)}"
        for words, gap in sorted(points, key=lambda it: it[1])
    )
    ends = [printed(photon_flux_above(gap), 3) for gap in ("2.2 eV", "3.2 eV")]
    return (
        f"Photons of standard sunlight above a gap, falling ever more gently from {ends[0]} at 2.2 eV to {ends[1]} "
        f"at 3.2 eV. Published gaps lie on the curve: {listed}."
    )


@dataclass(frozen=True)
class _Part:
    """The part of sunlight above a gap, in plain numbers: each row is at the narrowest, likely and widest gap."""

    gaps: tuple  # eV
    edges: tuple  # nm
    photons: tuple  # %
    power: tuple  # %

    @property
    def gap_text(self):
        return _ends(self.gaps, 3, "eV")

    @property
    def edge_text(self):
        return f"edge {_ends(self.edges[::-1], 3, 'nm')}"

    @property
    def shares(self):
        return _ends(self.power[::-1], 2, "%"), _ends(self.photons[::-1], 2, "%")

    @property
    def lines(self):
        power, photons = self.shares
        doubt = ("hatched: perhaps",) if self.doubtful else ()
        return f"Above {self.gap_text}:", f"{power} of the power", f"{photons} of the photons", *doubt

    @property
    def doubtful(self):
        """True if there is a part of the spectrum that only the narrower gaps can use."""
        return self.edges[0] > self.edges[2]

    @property
    def filled(self):
        """[((wavelength, power), role), …]: what is surely above the gap, and what may be."""
        sure = [(_between(_curve()[0][0], self.edges[2]), ABOVE)]
        return sure + ([(_between(self.edges[2], self.edges[0]), MAYBE)] if self.doubtful else [])


def _part(gap):
    gaps = as_range(gap, "[energy] > 0", "gap").m_as("eV")
    return _Part(gaps, *zip(*(_numbers(size) for size in gaps)))


@lru_cache(256)  # a slider has some hundred places and comes back to them
def _numbers(size):
    gap = Q(size, "eV")
    photons, power = share_above(gap)
    return wavelength_from_gap(gap).magnitude, photons.magnitude, power.magnitude


def _ends(numbers, figures, unit):
    """Return ``431 to 459 nm``; a single value, to three figures, if the range has no width."""
    first, _, last = numbers
    if first == last:
        return f"{number_text(first)} {unit}"
    return f"{number_text(first, figures)} to {number_text(last, figures)} {unit}"


def _said(part):
    power, photons = part.shares
    wavelength, height = _curve()
    doubt = (
        f" What only the narrower gaps reach, {_ends(part.edges[::-1], 3, 'nm')}, is hatched." if part.doubtful else ""
    )
    return (
        f"Standard sunlight, power against wavelength: highest at {wavelength[np.argmax(height)]:.0f} nm, drawn to "
        f"{LONGEST:.0f} nm. The part above a gap of {part.gap_text}, left of its {part.edge_text.replace('edge', 'edge at')}, "
        f"is filled: {power} of the power and {photons} of the photons.{doubt}"
    )


@cache
def _curve():
    wavelength, power = (part.magnitude for part in sun_spectrum())
    seen = wavelength <= LONGEST
    curve = wavelength[seen], power[seen]
    for numbers in curve:  # kept for every later picture
        numbers.setflags(write=False)
    return curve


def _between(start, end):
    """Return the curve from one wavelength to another, both ends included."""
    wavelength, power = _curve()
    inside = np.concatenate([[start], wavelength[(wavelength > start) & (wavelength < end)], [end]])
    return inside, np.interp(inside, wavelength, power)


def _stage(axes=None):
    """Return (figure, axes) with all that does not follow the gap."""
    figure, axes = new_figure() if axes is None else (axes.figure, axes)
    wavelength, power = _curve()
    closed = np.pad(wavelength, 1, mode="edge"), np.pad(power, 1)  # one path, drawn and filled: half the text
    axes.fill(
        *closed, facecolor=(SPECTRUM.colour, SPECTRUM.opacity), edgecolor=SPECTRUM.colour, linewidth=SPECTRUM.width
    )
    for (start, tint), (end, _) in zip(_VISIBLE, _VISIBLE[1:]):
        axes.fill_between([start, end], -0.11, -0.03, facecolor=tint, edgecolor="none")
    axes.text(765, -0.072, "visible light", va="center", fontsize=11)
    one = wavelength_from_gap("1 eV").magnitude
    top = axes.secondary_xaxis(
        "top", functions=(lambda nm: one / np.maximum(nm, 1), lambda eV: one / np.maximum(eV, 0.1))
    )
    top.set_xticks([4, 3, 2, 1.5, 1, 0.8], ["4", "3", "2", "1.5", "1", "0.8"])
    top.set_xlabel("Energy of one photon / eV")
    axes.set(xlim=(280, LONGEST), ylim=(-0.14, 1.95), yticks=[0, 0.5, 1, 1.5])
    axes.set(xlabel="Wavelength / nm", ylabel="Power / W/m²/nm")
    return figure, axes


@cache
def _live():
    with styled():
        return LivePicture(*_stage())
