"""Light behind glass against the spectrum summed afresh."""

import numpy as np
import pytest
from helpers import assert_close, raw_spectrum
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants
from scipy.integrate import trapezoid

from labkit.errors import ChoiceProblem, LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.light import NOTHING, Lamp, glass_jar, lamp_flux_above, long_pass, photon_flux_above, photon_flux_behind
from labkit.light.filter import GLASSES
from labkit.units import Q

HC = constants.h * constants.c
SCALE = 1e6 * 1e-9 / HC / constants.N_A  # µmol of photons in 1 J at 1 nm


def edge_gap(nm):
    return Q(HC / (nm * 1e-9) / constants.e, "eV")


def summed(passes, edge):
    """Photons of the printed spectrum up to an edge, on a grid of 0.01 nm."""
    nm = np.arange(280, edge, 0.01)
    return SCALE * trapezoid(np.interp(nm, *raw_spectrum()) * passes(nm) * nm, nm)


def test_a_sharp_edge_gives_the_bands_of_the_spectrum():
    # Bands of ASTM G173 summed elsewhere: 420 to 460 nm 197.9, 280 to 420 nm 221.0 µmol/m²/s.
    band = photon_flux_behind(long_pass("420 nm"), edge_gap(460))
    assert_close(band.likely, Q(197.9, "µmol/m**2/s"), within=Q(0.1, "µmol/m**2/s"))
    assert band.low == band.high
    rest = photon_flux_behind(NOTHING, edge_gap(460)).likely - band.likely
    assert_close(rest, Q(221.0, "µmol/m**2/s"), within=Q(0.1, "µmol/m**2/s"))


@pytest.mark.parametrize("gap", ["1.5 eV", "2.7 eV", "3.1 eV"])
def test_nothing_before_it_changes_nothing(gap):
    assert_close(
        photon_flux_behind(NOTHING, gap).likely, photon_flux_above(gap), relative=2e-5
    )  # trapezia in place of parabolas
    assert_close(photon_flux_behind(NOTHING, gap, "600 W/m²").likely, photon_flux_above(gap, "600 W/m²"), relative=2e-5)
    lamp = Lamp("450 nm", "20 nm", irradiance="70 W/m²")
    assert_close(photon_flux_behind(NOTHING, gap, lamp).likely, lamp_flux_above(lamp, gap).likely, relative=1e-6)
    clear = long_pass("205 nm")  # passes all there is: the same by another way
    whole = Q(70 * SCALE * 450, "µmol/m**2/s")
    assert_close(photon_flux_behind(clear, gap, lamp).likely, lamp_flux_above(lamp, gap).likely, within=whole * 1e-5)


@pytest.mark.parametrize("cut, width, share", [(420, 15, 0.91), (400, 30, 1.0), (455, 5, 0.5), (330, 25, 0.9)])
def test_a_soft_edge_by_a_sum_of_our_own(cut, width, share):
    def passes(nm):  # a tenth at half a width below, nine tenths at half a width above
        return share / (1 + 81.0 ** (-(nm - cut) / width))

    assert passes(cut + width / 2) == pytest.approx(0.9 * share)
    got = photon_flux_behind(long_pass(Q(float(cut), "nm"), Q(float(width), "nm"), share), "2.6 eV")
    assert_close(got.likely, Q(summed(passes, HC / (2.6 * constants.e) * 1e9), "µmol/m**2/s"), relative=5e-4)


def test_tenths_and_halves_of_a_step():
    step = long_pass("420 nm", "20 nm", "90 %")
    assert step.transmission([410, 420, 430, 600]) == pytest.approx([0.09, 0.45, 0.81, 0.9], abs=1e-6)
    assert long_pass("420 nm").transmission([419.9, 420.1]).tolist() == [0, 1]


def test_two_layers_multiply():
    one, two = long_pass("400 nm", "20 nm", "90 %"), glass_jar()
    nm = np.linspace(300, 700, 50)
    assert (one * two).transmission(nm) == pytest.approx(one.transmission(nm) * two.transmission(nm))
    assert len((one * two).layers) == 2 and str(one * two) == f"{one}, then {two}" and str(NOTHING) == "nothing"
    assert (one * NOTHING).layers == one.layers


@pytest.mark.parametrize("glass", GLASSES)
def test_a_clear_glass_takes_a_little_and_its_ends_are_in_order(glass):
    span = photon_flux_behind(glass_jar(glass), "2.7 eV")
    bare = photon_flux_above("2.7 eV")
    assert span.low < span.likely < span.high < bare
    # Fresnel's surfaces of glass with an index of 1.52, one after the other, with air (1.00) or water (1.33) behind.
    after = 1.0 if glass == "window glass" else 1.33
    most = (1 - (0.52 / 2.52) ** 2) * (1 - ((1.52 - after) / (1.52 + after)) ** 2)
    assert glass_jar(glass).transmission(700.0, "high") == pytest.approx(
        most, abs=0.005
    )  # the table has whole percents
    assert span.high / bare < most + 0.005 and span.low / bare > 0.7
    assert np.all(np.diff(glass_jar(glass).transmission(np.linspace(280, 700, 300))) >= 0)
    low, likely, high = (glass_jar(glass).transmission(360, end) for end in ("low", "likely", "high"))
    assert low < likely < high


def test_only_ultraviolet_powders_mind_the_kind_of_glass():
    jar, beaker = glass_jar("soda-lime glass"), glass_jar("borosilicate glass")
    ratios = {gap: photon_flux_behind(jar, gap).likely / photon_flux_behind(beaker, gap).likely for gap in ("2.7 eV", "3.4 eV")}  # fmt: skip
    assert ratios["2.7 eV"] > 0.95 and ratios["3.4 eV"] < 0.93


@settings(max_examples=60, deadline=None)
@given(st.floats(300, 600), st.floats(0, 40), st.floats(0.05, 1), st.floats(1.8, 3.8))
def test_a_filter_never_adds_light(cut, width, share, gap):
    filter = long_pass(Q(cut, "nm"), Q(width, "nm"), share)
    got = photon_flux_behind(filter, Q(gap, "eV"))
    bare = photon_flux_above(Q(gap, "eV")).magnitude
    assert 0 <= got.likely.magnitude <= share * bare * 1.001
    twice = photon_flux_behind(filter * filter, Q(gap, "eV"))
    assert twice.likely.magnitude <= got.likely.magnitude * (1 + 1e-9)


def test_ranges_of_lamp_light_and_glass_come_together():
    lamp = Lamp("445 to 455 nm", "20 nm", irradiance="50 to 70 W/m²")
    wide = photon_flux_behind(glass_jar(), "2.7 eV", lamp)
    sure = photon_flux_behind(glass_jar(), "2.7 eV", Lamp("450 nm", "20 nm", irradiance="60 W/m²"))
    assert wide.low < sure.low < sure.high < wide.high and wide.likely == sure.likely
    bare = lamp_flux_above(lamp, "2.7 eV")
    assert_close(wide.high, bare.high * 0.95, relative=2e-3)
    assert_close(wide.low, bare.low * 0.82, relative=2e-3)


def test_a_width_that_is_not_sure_spreads_what_gets_through():
    """A step close before the edge lets little through, and the more the softer it is."""
    sharp, soft = (photon_flux_behind(long_pass("455 nm", width), "2.7 eV").likely for width in ("0 nm", "40 nm"))
    span = photon_flux_behind(long_pass("455 nm", "0 to 40 nm"), "2.7 eV")
    assert soft > 1.8 * sharp and span.low <= sharp < span.likely < soft <= span.high
    step = long_pass("420 nm", "10 to 30 nm")
    for nm in (405, 435):
        ends = [long_pass("420 nm", width).transmission(nm) for width in ("10 nm", "30 nm")]
        assert [step.transmission(nm, end) for end in ("low", "high")] == pytest.approx(sorted(ends))


@pytest.mark.parametrize("filter", [NOTHING, long_pass("430 nm", "10 nm")])
def test_most_gets_through_for_a_peak_inside_its_range(filter):
    """From 400 to 500 nm neither end is the best peak for a gap of 2.7 eV."""
    lamp = Lamp("400 to 500 nm", "20 nm", irradiance="80 W/m²")
    most = max(photon_flux_behind(filter, "2.7 eV", Lamp(Q(float(peak), "nm"), "20 nm", irradiance="80 W/m²")).likely
               for peak in range(400, 501, 2))  # fmt: skip
    span = photon_flux_behind(filter, "2.7 eV", lamp)
    assert_close(span.high, most, relative=0.02)  # peaks are tried a sixth of a width apart
    if not filter.layers:
        assert_close(lamp_flux_above(lamp, "2.7 eV").high, most, relative=0.02)


@pytest.mark.parametrize("gap", ["0.3 eV", "5 eV", Q([2.6, 2.8], "eV")])
def test_sunlight_behind_a_filter_has_the_ends_of_its_spectrum(gap):
    with pytest.raises(RangeProblem):
        photon_flux_behind(long_pass("420 nm"), gap)


@pytest.mark.parametrize("call, problem", [
    (lambda: long_pass("420 nm").transmission([400.0], "middle"), ChoiceProblem),
    (lambda: glass_jar("sugar glass"), ChoiceProblem), (lambda: long_pass("420"), ReadingProblem), (lambda: long_pass("420 nm", share="130 %"), RangeProblem),
    (lambda: long_pass("420 nm", "-3 nm"), LabError), (lambda: photon_flux_behind("glass", "2.7 eV"), ReadingProblem),
    (lambda: photon_flux_behind(NOTHING, "2.7 eV", "moonlight"), ReadingProblem), (lambda: photon_flux_behind(NOTHING, "2.7 eV", Lamp("450 nm", "20 nm")), UnitProblem),
    (lambda: photon_flux_behind(NOTHING, "yellow"), ReadingProblem), (lambda: photon_flux_behind(NOTHING, "2.7 eV", "-3 W/m²"), LabError),
])  # fmt: skip
def test_what_cannot_be_is_refused_in_words(call, problem):
    with pytest.raises(problem):
        call()
