"""Choose a gap: where its edge lies, what the powder looks like, and how much sunlight is above it."""

from functools import cache

from labkit.data.cautions import cautions
from labkit.light import (
    colour_seen,
    irradiance_above,
    light_absorbed,
    photon_flux_above,
    share_above,
    wavelength_from_gap,
)
from labkit.panels.frame import Answer, Panel, UnitSlider
from labkit.plots.sun import sun_svg
from labkit.units import Q, Range, printed


def band_gap_answer(gap, unsure):
    """Return what a gap, known to within ``unsure``, says about colour and sunlight.

    The sentence is about the likely gap; the table has the ends of the range beside it.

    Parameters
    ----------
    gap, unsure : quantity [energy]
        ``gap - unsure`` and ``gap + unsure`` lie between 0.69 and 4.42 eV.

    Returns
    -------
    Answer

    Examples
    --------
    >>> from labkit.units import Q
    >>> print(band_gap_answer(Q(2.7, "eV"), Q(0, "eV")).sentence)
    A gap of 2.70 eV has its edge at 459 nm: clean powder looks pale yellow and absorbs violet and blue. Counting ultraviolet, 5.79 % of the photons of standard sunlight lie above the gap: the most it can absorb, far more than becomes hydrogen.
    """
    # Sliders count in hundredths; 2.7 - 0.1 would not be 2.6 to the last digit.
    middle, half = (round(quantity.to("eV").magnitude * 100) for quantity in (gap, unsure))
    hundredths = (middle - half, middle, middle + half) if half else (middle,)
    columns = [_facts(size) for size in hundredths]
    span = Range(*(Q(size / 100, "eV") for size in (middle - half, middle, middle + half)))
    rows = zip(("Gap", "Edge", "Colour", "Light absorbed", "Photons above", "Power above"), *columns)
    return Answer(_sentence(columns), sun_svg(span), tuple(rows), cautions("light"))


def _sentence(columns):
    gap, edge, colour, absorbed, photons, _ = columns[len(columns) // 2]
    share = photons.partition("(")[2].rstrip(")")
    return (
        f"A gap of {gap} has its edge at {edge}: clean powder looks {colour} and absorbs {absorbed}. Counting "
        f"ultraviolet, {share} of the photons of standard sunlight lie above the gap: the most it can absorb, "
        "far more than becomes hydrogen."
    )


@cache
def _facts(hundredths):
    """Return the column of one gap, as text; the slider comes back to the same few hundred gaps."""
    gap = Q(hundredths / 100, "eV")
    photons, power = share_above(gap)
    return (
        printed(gap, 3),
        printed(wavelength_from_gap(gap), 3),
        colour_seen(gap),
        light_absorbed(gap),
        f"{printed(photon_flux_above(gap), 3)} ({printed(photons, 3)})",
        f"{printed(irradiance_above(gap), 3)} ({printed(power, 3)})",
    )


def band_gap_panel():
    """Return the panel of workbook 04."""
    controls = {
        "gap": UnitSlider("Gap", "eV", 1.8, 3.2, 0.01, 2.75),
        "unsure": UnitSlider("Unsure by ±", "eV", 0, 0.2, 0.01, 0.1),
    }
    return Panel("How much of the sun can a powder with this gap use?", controls, band_gap_answer)
