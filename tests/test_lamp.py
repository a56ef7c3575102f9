"""Coloured lamps against integrals done afresh, the standard eye of another library, and the books of energy."""

import math

import numpy as np
import pytest
from helpers import assert_close, raw_spectrum
from hostile import HOSTILE
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants
from scipy.integrate import quad, trapezoid
from uncertainties import ufloat

from labkit.data import guess
from labkit.errors import LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.light import (
    NEARLY_BLIND,
    Lamp,
    irradiance_at_distance,
    irradiance_from_lux,
    lamp_flux_above,
    lamp_share_above,
    lamp_spectrum,
    lumens_per_watt,
    photon_flux_above,
    photons_per_joule,
    radiant_power_from_electrical,
    radiant_power_from_lumens,
)
from labkit.light.lux import sunlight_lumens_per_watt
from labkit.units import Q, Range

HC = constants.h * constants.c
# Peak and width at half height in nm; share of photons above 2.70 eV and µmol/J, summed elsewhere in steps of 1 nm.
DIODES = [(365, 10, 1.0, 3.059), (395, 14, 1.0, 3.302), (405, 15, 1.0, 3.386), (420, 17, 1.0, 3.511), (440, 18, 0.994, 3.678),
          (450, 20, 0.864, 3.762), (455, 20, 0.696, 3.804), (460, 22, 0.471, 3.845), (470, 25, 0.156, 3.929), (525, 35, 0.0, 4.389)]  # fmt: skip
LUMENS = {365: 0.01, 395: 0.19, 405: 0.61, 420: 3.58, 440: 16.5, 450: 27.6, 455: 34.8, 460: 43.9, 470: 68.6, 525: 507.5}


def bell(peak, width):
    return lambda nm: 2 ** (-((2 * (nm - peak) / width) ** 2))


def photons(peak, width, low, high):
    """Integral of the bell times the wavelength, by another library's quadrature."""
    return quad(lambda nm: nm * bell(peak, width)(nm), low, high, epsabs=1e-10, epsrel=1e-10, limit=400)[0]


def diode(peak, width, **more):
    return Lamp(Q(float(peak), "nm"), Q(float(width), "nm"), **more)


@pytest.mark.parametrize("peak, width, share, per_joule", DIODES)
def test_shares_and_photons_per_joule_agree_with_a_table_of_sums(peak, width, share, per_joule):
    lamp = diode(peak, width)
    # A sum in steps of 1 nm takes the bin of the edge whole: at most half a step of a bell 20 nm wide, 0.024.
    assert_close(lamp_share_above(lamp, "2.7 eV").likely, Q(share, ""), within=Q(0.47 / width + 5e-4, ""))
    # The table's sums begin at 360 nm, which cuts the bell at 365 nm.
    assert_close(photons_per_joule(lamp).likely, Q(per_joule, "µmol/J"), relative=3e-3 if peak == 365 else 2e-4)


@settings(max_examples=80, deadline=None)
@given(st.floats(300, 700), st.floats(5, 60), st.floats(1.8, 4.0))
def test_the_share_is_the_integral_of_the_bell(peak, width, gap):
    edge = HC / (gap * constants.e) * 1e9
    whole = photons(peak, width, peak - 4 * width, peak + 4 * width)
    end = min(max(edge, peak - 4 * width), peak + 4 * width)
    below = photons(peak, width, peak - 4 * width, peak)
    below += photons(peak, width, peak, end) if end > peak else -photons(peak, width, end, peak)
    got = lamp_share_above(diode(peak, width), Q(gap, "eV")).likely
    assert_close(got, Q(below / whole, ""), within=Q(1e-6, ""))


@pytest.mark.parametrize("peak, width", [(405, 15), (450, 20), (525, 35)])
def test_the_mean_energy_of_its_photons_is_that_of_the_peak(peak, width):
    wavelength, height = lamp_spectrum(diode(peak, width))
    assert trapezoid(height, wavelength) == pytest.approx(1, abs=1e-6)  # cut off at six standard deviations
    count = trapezoid(height * wavelength, wavelength) * 1e-9 / HC / constants.N_A * 1e6
    assert_close(photons_per_joule(diode(peak, width)).likely, Q(count, "µmol/J"), relative=1e-6)
    half = wavelength[height > height.max() / 2]
    assert half[-1] - half[0] == pytest.approx(width, abs=0.02 * width)  # points stand 1/50 of the width apart


def test_flux_above_is_light_times_photons_times_share():
    lamp = diode(450, 20, irradiance="50 to 80 W/m², likely 60 W/m²")
    found = lamp_flux_above(lamp, "2.7 eV")
    share = photons(450, 20, 370, 1239.841984 / 2.7) / photons(450, 20, 370, 530)
    for end, watts in zip(found.ends, (50, 60, 80)):
        assert_close(end, Q(watts * share * 450e-9 / HC / constants.N_A * 1e6, "µmol/m**2/s"), relative=1e-6)
    with pytest.raises(UnitProblem, match="irradiance"):
        lamp_flux_above(diode(450, 20), "2.7 eV")


def test_a_peak_that_is_not_sure_spreads_the_share():
    span = lamp_share_above(Lamp("445 to 455 nm", "20 nm"), "2.7 eV")
    low, high = (100 * photons(peak, 20, 370, 1239.841984 / 2.7) / photons(peak, 20, 370, 540) for peak in (455, 445))
    assert span.m_as("percent") == pytest.approx((low, span.m_as("percent")[1], high), rel=1e-4)
    assert span.driver == "lamp peak"


def test_a_gap_with_a_range():
    span = lamp_share_above(diode(450, 20), "2.65 to 2.75 eV")
    for end, gap in zip(span.ends, ("2.75 eV", "2.70 eV", "2.65 eV")):
        assert_close(end, lamp_share_above(diode(450, 20), gap).likely, relative=1e-9)


@pytest.mark.parametrize("arguments, problem", [
    (("450", "20 nm"), ReadingProblem), (("450 nm", "2.7 eV"), ReadingProblem), (("450 nm", "0 nm"), LabError), (("450 nm", "200 nm"), RangeProblem),
    (("90 nm", "10 nm"), RangeProblem), (("5 µm", "10 nm"), RangeProblem), (("-450 nm", "20 nm"), LabError), (("450 nm", "20 nm", "5 W"), ReadingProblem),
    ((450, 20), UnitProblem),
])  # fmt: skip
def test_what_is_no_lamp_is_refused(arguments, problem):
    with pytest.raises(problem):
        Lamp(*arguments)


@pytest.mark.parametrize("call", [
    photons_per_joule, lumens_per_watt, lamp_spectrum, lambda lamp: lamp_share_above(lamp, "2.7 eV"),
    lambda lamp: lamp_flux_above(lamp, "2.7 eV"), lambda lamp: radiant_power_from_lumens("90 lm", lamp),
])  # fmt: skip
@pytest.mark.parametrize("given", ["450 nm", None, Q(450.0, "nm")])
def test_a_wavelength_alone_is_no_lamp(call, given):
    with pytest.raises(ReadingProblem, match="A Lamp is needed"):
        call(given)


def test_electricity_becomes_light_by_a_guess_or_by_what_is_typed():
    assert radiant_power_from_electrical("10 W").m_as("W") == pytest.approx((3, 4.5, 6))
    assert radiant_power_from_electrical("10 W", "93 %").likely == Q(9.3, "W")
    assert guess("lamps", "light of a blue diode, share of its electricity").why.startswith("from memory")
    with pytest.raises(RangeProblem, match="100 %"):
        radiant_power_from_electrical("10 W", "120 %")


# --- the beam ---------------------------------------------------------------------------------------


def test_a_bare_flat_diode_follows_lamberts_law():
    # P / (π d²) on the axis of a flat source: any book of photometry.
    assert_close(irradiance_at_distance("2 W", "20 cm").likely, Q(2 / math.pi / 0.04, "W/m**2"), relative=1e-9)


@pytest.mark.parametrize("beam", [10, 36, 60, 90, 120, 150])
def test_the_whole_beam_carries_the_whole_power(beam):
    """The mean over a hemisphere-wide target, and the integral over rings, give the power back."""
    half = math.radians(beam / 2)
    order = math.log(0.5) / math.log(math.cos(half))
    rings = quad(lambda angle: 2 * math.pi * math.sin(angle) * math.cos(angle) ** order, 0, math.pi / 2)[0]
    span = irradiance_at_distance("3 W", "50 cm", f"{beam}°")
    assert_close(span.likely, Q(3 / rings / 0.25, "W/m**2"), relative=1e-6)
    cone = 2 * math.pi * (1 - math.cos(half))
    assert_close(max(span.high, span.low, key=lambda end: abs(end.magnitude - span.likely.magnitude)), Q(3 / cone / 0.25, "W/m**2"), relative=1e-6)  # fmt: skip
    huge = Q(1e4, "m**2")
    for end in irradiance_at_distance("3 W", "50 cm", f"{beam}°", huge).ends:
        assert 2.9 < (end * huge).m_as("W") <= 3 + 1e-9  # what passes the rim of 56 m is under 3 %


@settings(max_examples=60, deadline=None)
@given(st.floats(0.05, 5), st.floats(5, 170), st.floats(1e-5, 1))
def test_distance_and_target(distance, beam, area):
    near, far = (
        irradiance_at_distance("1 W", Q(metres, "m"), Q(beam, "degree")) for metres in (distance, 2 * distance)
    )
    assert_close(near.likely, far.likely * 4, relative=1e-9)
    over = irradiance_at_distance("1 W", Q(distance, "m"), Q(beam, "degree"), Q(area, "m**2"))
    assert (over.high * Q(area, "m**2")).m_as("W") <= 1 + 1e-9  # never more than the lamp gives
    assert over.high <= near.high * (1 + 1e-9)  # and nowhere brighter than in the middle
    small = irradiance_at_distance("1 W", Q(distance, "m"), Q(beam, "degree"), Q(1e-9 * distance**2, "m**2"))
    assert_close(small.likely, near.likely, relative=1e-5)


@pytest.mark.parametrize("beam", ["119.99°", "120°", "120.01°"])
def test_the_mean_over_a_target_keeps_both_shapes(beam):
    """Close before a lamp of 120°: a power of the cosine, sin² over the target, or an even cone."""
    span = irradiance_at_distance("3 W", "5 cm", beam, "50 cm²")
    slant = math.atan(math.sqrt(0.005 / math.pi) / 0.05)
    assert_close(span.low, Q(3 * math.sin(slant) ** 2 / 0.005, "W/m**2"), relative=1e-3)
    assert_close(span.high, Q(3 * 2 * (1 - math.cos(slant)) / 0.005, "W/m**2"), relative=1e-3)


def test_ranges_go_through_the_beam():
    span = irradiance_at_distance("2 to 4 W, likely 3 W", "10 to 12 cm, likely 11 cm")
    assert_close(span.low, Q(2 / math.pi / 0.0144, "W/m**2"), relative=1e-9)
    assert_close(span.high, Q(4 / math.pi / 0.01, "W/m**2"), relative=1e-9)
    assert span.driver == "power"


@pytest.mark.parametrize("arguments", [("2 W", "0 cm"), ("2 W", "20 cm", "0.2°"), ("2 W", "20 cm", "180°"), ("-2 W", "20 cm"),
                                       ("2 W", "20 cm", "wide"), ("2 W", "20 cm", "60°", "-3 cm²"), ("2 lm", "20 cm")])  # fmt: skip
def test_a_beam_that_cannot_be_is_refused(arguments):
    with pytest.raises(LabError):
        irradiance_at_distance(*arguments)


# --- the eye ----------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def eye():
    """The 1924 eye by 1 nm, from another library: (nm, V)."""
    from colour_library import colour

    table = colour.SDS_LEFS["CIE 1924 Photopic Standard Observer"]
    return table.wavelengths, table.values


@pytest.mark.parametrize("peak, width", [row[:2] for row in DIODES])
def test_lumens_in_a_watt_by_another_librarys_eye(peak, width, eye):
    nm, seen = eye
    expected = 683 * trapezoid(seen * bell(peak, width)(nm), nm) / quad(bell(peak, width), peak - 4 * width, peak + 4 * width)[0]  # fmt: skip
    got = lumens_per_watt(diode(peak, width)).likely
    # Straight lines between rows 5 nm apart, where V bends: 1 % in the blue, 4 % in the violet, where hardly anything is seen.
    assert_close(got, Q(float(expected), "lm/W"), relative=0.04 if peak < 430 else 0.012)
    assert_close(got, Q(LUMENS[peak], "lm/W"), relative=0.5 if peak < 380 else 0.03)


def test_sunlight_is_about_109_lumens_a_watt(eye):
    nm, power = raw_spectrum()
    expected = 683 * trapezoid(power * np.interp(nm, *eye, left=0, right=0), nm) / trapezoid(power, nm)
    assert_close(sunlight_lumens_per_watt(), Q(float(expected), "lm/W"), relative=1e-3)
    # 109 495 lux of 1000.37 W/m², summed elsewhere.
    assert_close(sunlight_lumens_per_watt(), Q(109495 / 1000.37, "lm/W"), relative=2e-3)
    assert guess("lamps", "lumens of a watt of sunlight").likely.magnitude == pytest.approx(109.5, abs=0.1)


def test_sunlight_from_lux():
    # 2000 µmol/m²/s of 400 to 700 nm are 108 000 lux in sunlight (a maker of light meters); standard sunlight has 1978.
    span = irradiance_from_lux("108000 lux")
    assert_close(span.likely, Q(1000.37 * 2000 / 1977.9, "W/m**2"), relative=0.03)
    assert span.low < Q(1000, "W/m**2") < span.high and span.why == ""


def test_lumens_of_a_green_lamp_are_quite_sure_and_of_a_blue_one_less():
    green, blue = (radiant_power_from_lumens("90 lm", diode(*pair)) for pair in ((525, 35), (450, 20)))
    assert green.high / green.low < 1.5 < blue.high / blue.low
    assert_close(green.likely, Q(90 / 507.5, "W"), relative=0.01)


def test_a_lux_meter_in_the_blue_gives_the_order_of_magnitude_and_says_so():
    span = irradiance_from_lux("400 lux", diode(450, 20))
    assert span.why == NEARLY_BLIND
    assert_close(span.likely, Q(400 / 27.6, "W/m**2"), relative=0.01)
    # A peak 5 nm off, and a meter off by two either way.
    assert span.high / span.likely > 2 and span.likely / span.low > 2
    assert irradiance_from_lux("400 lux", diode(525, 35)).why == ""
    red = irradiance_from_lux("400 lux", diode(660, 20))
    assert "deep red" in red.why and red.high / red.likely > 2


def test_of_one_colour_a_meter_for_white_light_is_less_sure():
    green, sun = irradiance_from_lux("400 lux", diode(555, 20)), irradiance_from_lux("400 lux")
    assert green.high / green.likely > 1.24 and green.likely / green.low > 1.24
    # Luminous efficacies of daylight in print go up to 131 lm/W, with 120 as a mean; a low sun has less.
    assert sun.low <= Q(400 / 130 / 1.1, "W/m**2") * 1.001 and sun.high >= Q(400 / 90 / 0.9, "W/m**2") * 0.999


@pytest.mark.parametrize("peak", [365, 385, 395, 405, 415, 420])
def test_where_a_lux_meter_is_blind_there_is_no_number(peak):
    for refused in (
        lambda: irradiance_from_lux("400 lux", diode(peak, 15)),
        lambda: irradiance_from_lux("40 lux", Lamp("400 to 450 nm", "20 nm")),
    ):
        with pytest.raises(RangeProblem, match="blind"):
            refused()


@pytest.mark.parametrize("text", ["400", "400 W", "lux", "400 lm", "-5 lux", "", "400 luxury", "4 lux lux x", "400 lux/m²", None, 400, Q(400, "lm"), Q(float("inf"), "lux"), Q(float("nan"), "lux")])  # fmt: skip
def test_what_is_not_lux_is_refused(text):
    with pytest.raises(LabError):
        irradiance_from_lux(text)


def test_hostile_text_is_refused_or_read_and_nothing_else():
    assert len(HOSTILE) >= 300
    for text in HOSTILE:
        for call in (
            irradiance_from_lux,
            lambda beam: irradiance_at_distance("1 W", "10 cm", beam),
            lambda both: Lamp(both, both),
        ):
            try:
                assert call(text) is not None
            except LabError as problem:
                assert len(str(problem)) < 400


@pytest.mark.parametrize(
    "text",
    ["400 lux", "400 lx", "400lux", " 400  lux ", "0.4e3 lux", "350 to 450 lux", "400 ± 30 lx", "400 Lux", "400 LUX"],
)
def test_lux_as_people_write_it(text):
    assert irradiance_from_lux(text).likely.m_as("W/m**2") == pytest.approx(400 / 109.5, rel=1e-3)
    assert irradiance_from_lux(Q(400.0, "lux")).likely == irradiance_from_lux("400 lux").likely
    assert irradiance_from_lux(Q(ufloat(400, 30), "lux")).high == irradiance_from_lux("370 to 430 lux").high
    with pytest.raises(ReadingProblem, match="Lamp"):
        irradiance_from_lux(text, np.array([1.0, 2.0]))


def test_a_lamp_says_what_it_is():
    lamp = diode(450, 20, irradiance="80 W/m²", power=Range(Q(1, "W"), Q(2, "W"), Q(3, "W")))
    assert (
        str(lamp) == repr(lamp) and "450 nm" in str(lamp) and "80.0 W/m²" in str(lamp) and "likely 2.0 W" in str(lamp)
    )


# --- the sun's integral -----------------------------------------------------------------------------


def test_the_running_integral_equals_each_gap_integrated_alone():
    """The spectrum as straight lines, its photons summed anew for each gap by Simpson's rule, which is exact for them."""
    nm, power = raw_spectrum()
    gaps = np.linspace(0.35, 4.3, 200)
    found = photon_flux_above(Q(gaps, "eV")).m_as("µmol/m**2/s")
    scale = 1e6 * 1e-9 / HC / constants.N_A
    for gap, flux in zip(gaps, found):
        edge = HC / (gap * constants.e) * 1e9
        ends = np.append(nm[nm < edge], edge)
        heights = np.interp(ends, nm, power)
        middles = (ends[1:] + ends[:-1]) / 2
        parts = ends[:-1] * heights[:-1] + 4 * middles * np.interp(middles, nm, power) + ends[1:] * heights[1:]
        assert flux == pytest.approx(scale * np.dot(np.diff(ends), parts) / 6, rel=1e-9)
