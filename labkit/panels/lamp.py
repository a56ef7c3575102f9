"""A coloured lamp in place of the sun: the photons of it that a powder can use, and what a lux meter makes of it."""

from functools import lru_cache

from labkit.data import guess
from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.light import (
    Lamp,
    glass_jar,
    irradiance_at_distance,
    irradiance_from_lux,
    lamp_share_above,
    long_pass,
    lumens_per_watt,
    photon_flux_above,
    photon_flux_behind,
    photons_per_joule,
    radiant_power_from_electrical,
)
from labkit.light.angle import angle
from labkit.light.filter import GLASSES, NOTHING
from labkit.light.lux import as_seen
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.panels.reading import ReadBox
from labkit.plots.lamp import lamp_svg
from labkit.units import Q, Range, printed, printed_range

MEASURED, ELECTRIC, LUX = "its power per area, measured", "its electricity and distance", "lux, from a lux meter"
_SOLD, _KNOWN = "as sold, perhaps 5 nm off", "measured"
_YELLOW = "a yellow glass from 420 nm"
_FILTERS = ("nothing", *GLASSES, _YELLOW)


def lamp_answer(peak, width, doubt, known, irradiance, electricity, distance, beam, lux, filter, gap):
    """Return the Answer for a lamp on powder: photons above the gap behind a filter, and what they hang on.

    Parameters
    ----------
    peak, width : quantity [length]
    doubt : bool
        True if the peak is as sold, and perhaps some nanometres off.
    known : str
        ``MEASURED``, ``ELECTRIC`` or ``LUX``: which of the following says how strong the light is.
    irradiance, electricity, distance, lux : Range
    beam : quantity, an angle
    filter : str
        ``"nothing"``, a glass of ``labkit.light.filter.GLASSES``, or a yellow glass.
    gap : quantity [energy]
    """
    peaks = _peaks(peak.m_as("nm"), doubt)
    bare, before = Lamp(peaks, width), _filter(filter)
    light = _light(bare, known, irradiance, electricity, distance, beam, lux)
    lamp = Lamp(peaks, width, irradiance=light)
    share, flux = lamp_share_above(bare, gap), photon_flux_behind(before, gap, lamp)
    through = f" through {filter}" if before.layers else ""
    sentence = (f"Photons above the gap of {printed(gap)} reach the powder{through} at {_of(flux, 'µmol/m**2/s')}. The light there is "
                f"{_of(light, 'W/m**2')}; the share of its photons above the gap is {_of(share, 'percent')}. "
                f"{_spread(share, light, flux)}{_beside_sun(flux, gap, before)}")  # fmt: skip
    return Answer(sentence, lamp_svg(lamp, gap, before), _table(bare, light, share, flux, known, filter), cautions("light"))  # fmt: skip


def _peaks(peak, doubt):
    ends = guess("lamps", "peak of a diode, beside the one it was sold with").m_as("nm") if doubt else (0, 0, 0)
    return Range(*(Q(peak + end, "nm") for end in ends))


@lru_cache(8)
def _filter(name):
    if name == _YELLOW:
        return long_pass("420 nm", "20 nm", "82 to 92 %, likely 90 %")
    return NOTHING if name == "nothing" else glass_jar(name)


def _light(lamp, known, irradiance, electricity, distance, beam, lux):
    if known == MEASURED:
        return irradiance
    if known == LUX:
        return irradiance_from_lux(lux, lamp)
    return irradiance_at_distance(radiant_power_from_electrical(electricity), distance, beam)


def _of(span, unit):
    return printed_range(span, unit=unit)


def _spread(share, light, flux):
    """Return what spreads the answer most, in a sentence; nothing if hardly anything does."""
    low, _, high = flux.m_as("µmol/m**2/s")
    if high <= 1.03 * low:
        return ""
    causes = {
        "where the peak really lies": _ratio(share),
        "the light that arrives": _ratio(light),
    }
    causes["what the glass lets through"] = _ratio(flux) / causes["the light that arrives"] / causes["where the peak really lies"]  # fmt: skip
    return f"The spread comes mostly from {max(causes, key=causes.get)}. "


def _ratio(span):
    low, _, high = (end.magnitude for end in span.ends)
    return high / low if low > 0 else 1e9


def _beside_sun(flux, gap, before):
    sun = _sun(gap.m_as("eV"), before)
    times = flux.likely.m_as("µmol/m**2/s") / sun
    said = f"{100 * times:.0f} % of" if times < 2 else f"{times:.1f} times"
    if times < 0.01:
        said = "less than 1 % of"
    return f"That is likely {said} what full sun gives there, {printed(Q(sun, 'µmol/m**2/s'), 3)}."


@lru_cache(512)
def _sun(gap, before):
    found = photon_flux_behind(before, Q(gap, "eV")).likely if before.layers else photon_flux_above(Q(gap, "eV"))
    return found.m_as("µmol/m**2/s")


@lru_cache(256)
def _seen(peak, width):
    """Return (lumens per watt, what a lux meter does with such a lamp), as text."""
    lamp = Lamp(Q(peak, "nm"), Q(width, "nm"))
    try:
        shown = irradiance_from_lux("1000 lux", lamp)
        meter = f"1000 lux of it are {_of(shown, 'W/m**2')}"
        meter += ": only the order of magnitude" if shown.why else ""
    except LabError:
        meter = "a lux meter is as good as blind to it"
    return printed_range(lumens_per_watt(lamp), unit="lm/W"), meter


def _table(lamp, light, share, flux, known, filter):
    lumens, meter = _seen(lamp.peak.likely.m_as("nm"), lamp.width.likely.m_as("nm"))
    how = {MEASURED: "as typed", ELECTRIC: "30 to 60 % of the electricity as light (from memory), spread over the beam",
           LUX: "from lux, as the eye sees the lamp (CIE 1931 observer)"}  # fmt: skip
    return (
        ("What", "How much", "How it was found"),
        ("light on the powder", _of(light, "W/m**2"), how[known]),
        ("photons in a joule", _of(photons_per_joule(lamp), "µmol/J"), "of the peak, by the energy of one photon"),
        ("share above the gap", _of(share, "percent"), "of a bell curve; a real diode has a longer tail to the red"),
        ("usable photons", _of(flux, "µmol/m**2/s"), f"behind {filter}" + ("" if filter == "nothing" else " (its edge from memory)")),
        ("usable in an hour", printed_range(_hourly(flux), unit="mmol/m**2"), "before any is scattered, or missed by the powder"),
        ("lumens in a watt", lumens, meter),
    )  # fmt: skip


def _hourly(flux):
    return Range(*((end * Q(1.0, "h")).to("mmol/m**2") for end in flux.ends))


def lamp_panel():
    """Return the panel on a coloured lamp."""
    known = Choice("Its light is known by", [MEASURED, ELECTRIC, LUX], MEASURED)
    controls = {
        "peak": UnitSlider("Peak of the lamp", "nm", 365, 500, 1, 450),
        "width": UnitSlider("Width at half height", "nm", 5, 60, 1, 20),
        "doubt": Choice("The peak is", {_SOLD: True, _KNOWN: False}, _SOLD),
        "gap": UnitSlider("Gap", "eV", 2.0, 3.2, 0.05, 2.7),
        "filter": Choice("Before the powder", list(_FILTERS), "nothing"),
        "known": known,
        "irradiance": TypedBox("Power of the light per area", "65 W/m²", "[irradiance] > 0", ranged=True,
                               hint="such as 50 W/m², or a range", most="100 kW/m²"),
        "electricity": TypedBox("Electricity it draws", "8 W", "[power] > 0", ranged=True, hint="such as 6 W, or a range", most="10 kW"),
        "distance": TypedBox("Distance to the powder", "14 cm", "[length] > 0", ranged=True, hint="such as 20 cm, or a range",
                             least="1 cm", most="10 m"),
        "beam": ReadBox("Beam", "120°", lambda text: angle(text, 170, "the beam", "60°"), "full angle to half strength; such as 60°"),
        "lux": ReadBox("Lux meter", "900 lux", lambda text: as_seen(text, "lux"), "such as 500 lux, or a range"),
    }  # fmt: skip
    for name, option in (("irradiance", MEASURED), ("electricity", ELECTRIC), ("distance", ELECTRIC), ("beam", ELECTRIC), ("lux", LUX)):  # fmt: skip
        controls[name].used_with(known, option, switch=True)
    return Panel("How many photons of this lamp can the powder use?", controls, lamp_answer)
