"""The light of a coloured lamp: what lies above a gap behind a filter, and how little of it the eye sees."""

from dataclasses import replace
from functools import cache

import numpy as np
from scipy.integrate import trapezoid

from labkit.light import luminous_efficiency, wavelength_from_gap
from labkit.light.filter import NOTHING
from labkit.light.lamp import bell, share_below
from labkit.plots.live import LivePicture
from labkit.plots.places import Places
from labkit.plots.style import LIMIT, MAIN, QUIET, SECOND, THIRD, new_figure, styled
from labkit.units import Q, nominal, number, read

USABLE = replace(MAIN, opacity=0.5)
_LAMP = replace(QUIET, width=2.0)
_ACROSS, _UP = (330.0, 640.0), (0.0, 1.32)
_SEEN = np.arange(400.0, 640.5, 4.0)  # where the curve of the eye is drawn, in nm
_OUT_AT = 1e-3  # of the curve of the eye: under it nothing can be seen in the picture


def lamp_figure(lamp, gap, filter=NOTHING):
    """Return the picture of a lamp's spectrum with the part that a powder can use filled.

    Parameters
    ----------
    lamp : labkit.light.Lamp
        Its likely peak and width are drawn; the axis reaches from 330 to 640 nm, or further if the lamp does.
    gap : quantity or text [energy]
    filter : labkit.light.Filter

    Returns
    -------
    matplotlib.figure.Figure
        Every curve is relative to its highest point.  Show it with ``alt=lamp_words(lamp, gap, filter)``.
    """
    part = _Part(lamp, gap, filter)
    with styled():
        figure, axes = _stage(part.across)
        axes.fill_between(*part.usable, **USABLE.fill)
        axes.plot(*part.curve, **_LAMP.line)
        if filter.layers:
            axes.plot(*part.passed, **SECOND.line)
        axes.axvline(part.edge, **LIMIT.line)
        axes.annotate(part.edge_text, (part.edge, 1.23), xytext=(7, 0), textcoords="offset points", fontsize=12)
        axes.annotate(part.share_text, (part.across[0], 1.23), xytext=(7, 0), textcoords="offset points", fontsize=12)
        if filter.layers:
            axes.annotate("dashed: through the filter", (part.across[0], 1.13), xytext=(7, 0), textcoords="offset points", fontsize=12)  # fmt: skip
    return figure


def lamp_svg(lamp, gap, filter=NOTHING):
    """Return the same picture as SVG text for a panel; takes what ``lamp_figure`` does."""
    part = _Part(lamp, gap, filter)
    picture, places = _live(part.across), Places(_live(part.across), part.across, _UP)
    wavelength, height = part.usable
    elements = [picture.area(wavelength, 0 * height, height, USABLE), picture.line(*part.curve, _LAMP)]
    places.line(*part.curve)
    if filter.layers:
        elements.append(picture.line(*part.passed, SECOND))
        places.line(*part.passed)
    elements.append(picture.upright(part.edge))
    places.line([part.edge, part.edge], _UP)
    left, right = part.across[0], part.across[1]
    elements.append(places.text(*((part.edge, 1.2, part.edge_text, anchor, False) for anchor in ("start", "end"))))
    corner = [(at, height, part.share_text, anchor, False) for height in (1.2, 1.1) for at, anchor in ((left, "start"), (right, "end"))]  # fmt: skip
    elements.append(places.text(*corner))
    if filter.layers:
        words = "dashed: through the filter"
        elements.append(places.text(*[(at, height, words, anchor, False) for height in (1.2, 1.1, 1.04) for at, anchor in ((right, "end"), (left, "start"))]))  # fmt: skip
    return picture.svg(elements, alt=part.said)


def lamp_words(lamp, gap, filter=NOTHING):
    """Return what ``lamp_figure`` shows, in words with its numbers."""
    return _Part(lamp, gap, filter).said


class _Part:
    """What is drawn, in plain numbers."""

    def __init__(self, lamp, gap, filter):
        gap = nominal(read(gap, "[energy] > 0", "gap") if isinstance(gap, str) else gap)
        peak, width = lamp.peak.m_as("nm")[1], lamp.width.m_as("nm")[1]
        self.edge = number(wavelength_from_gap(gap), "nm")
        wavelength, height = bell(peak, width)
        height = height / height.max()
        self.across = (min(_ACROSS[0], 20 * np.floor((peak - 2 * width) / 20)), max(_ACROSS[1], 20 * np.ceil((peak + 2 * width) / 20)))  # fmt: skip
        fine = np.linspace(*self.across, 300)
        self.passed = fine, filter.transmission(fine)
        self.curve = wavelength, height
        below = wavelength[wavelength < self.edge]
        reach = np.append(below, min(max(self.edge, wavelength[0]), wavelength[-1]))
        self.usable = reach, np.interp(reach, wavelength, height) * filter.transmission(reach)
        density = np.interp(reach, wavelength, height) * reach
        usable = trapezoid(density * filter.transmission(reach), reach) / trapezoid(height * wavelength, wavelength)  # fmt: skip
        share = 100 * (usable if filter.layers else share_below(peak, width, self.edge))
        self.share_text = (
            f"{share:.0f} % usable" if share >= 1 else f"{share:.1f} % usable" if share >= 0.1 else "nothing usable"
        )
        self.edge_text = f"edge {self.edge:.0f} nm"
        seen = float(luminous_efficiency(Q(peak, "nm")))
        behind = (
            f" that gets through {' and '.join(layer[0] for layer in filter.layers)}, drawn dashed,"
            if filter.layers
            else ""
        )
        self.said = (f"A lamp of {peak:.0f} nm, {width:.0f} nm wide at half height, as a bell curve over the wavelength; the part "
                     f"left of the edge of the powder at {self.edge:.0f} nm{behind} is filled, {self.share_text} of its photons. "
                     f"Beside it how the eye sees, highest at 555 nm; at the lamp's peak {100 * seen:.2g} % of that.")  # fmt: skip


def _stage(across):
    figure, axes = new_figure()
    seen = luminous_efficiency(Q(_SEEN, "nm"))
    axes.plot(_SEEN[seen > _OUT_AT], seen[seen > _OUT_AT], **THIRD.line)
    axes.text(582, 0.94, "the eye", fontsize=12, color=THIRD.ink)
    axes.set(xlim=across, ylim=_UP, yticks=[0, 0.25, 0.5, 0.75, 1])
    axes.set(xlabel="Wavelength / nm", ylabel="Share of its highest")
    return figure, axes


@cache
def _live(across):
    with styled():
        return LivePicture(*_stage(across))
