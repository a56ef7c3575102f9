"""The eye, daylight and the colour of a screen, against colour-science, which carries the tables of the CIE."""

import numpy as np
import pytest
from colour_library import colour
from helpers import assert_close
from hypothesis import given
from hypothesis import strategies as st

from labkit.data import table
from labkit.errors import RangeProblem, ReadingProblem, UnitProblem
from labkit.light import luminous_efficiency, srgb_from_xyz, xyz_from_reflectance
from labkit.light.observer import (
    chroma_and_hue,
    daylight_grid,
    hex_from_srgb,
    lab_from_xyz,
    linear_from_srgb,
    linear_from_xyz,
    xyz_from_linear,
    xyz_on_grid,
)
from labkit.units import Q

OBSERVER = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
D65 = colour.SDS_ILLUMINANTS["D65"]
WHITE = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
ROWS = table("cie_observer")


# --- the table -------------------------------------------------------------------------------
def test_the_table_is_that_of_the_standard_observer():
    assert [int(row["wavelength_nm"]) for row in ROWS] == list(range(360, 831, 5))
    for row in ROWS:
        assert row["name"] == f"{row['wavelength_nm']} nm"
        ours = [float(row[name]) for name in ("x", "y", "z")]
        assert ours == pytest.approx(OBSERVER[float(row["wavelength_nm"])], rel=1e-9, abs=1e-12)


def test_the_table_has_the_daylight_of_the_standard():
    shared = [row for row in ROWS if 300 <= float(row["wavelength_nm"]) <= 780]
    assert len(shared) == 85
    for row in shared:
        assert float(row["d65"]) == pytest.approx(D65[float(row["wavelength_nm"])], rel=1e-7)
    # beyond 780 nm from S0, S1 and S2 at the correlated colour temperature of D65, 6500 K times 1.4388/1.4380
    daylight = colour.sd_CIE_illuminant_D_series(colour.temperature.CCT_to_xy_CIE_D(6500 * 1.4388 / 1.4380))
    rest = [row for row in ROWS if float(row["wavelength_nm"]) > 780]
    assert len(rest) == 10
    for row in rest:
        assert float(row["d65"]) == pytest.approx(daylight[float(row["wavelength_nm"])], abs=1e-3)
        assert "computed" in row["note"]


@pytest.mark.parametrize("wavelength, seen, daylight", [
    # CIE 1931 as printed in many tables; the eye's response and D65
    (450, (0.3362, 0.038, 1.77211), 117.008), (550, (0.43345, 0.99495, 0.00875), 104.046), (600, (1.0622, 0.631, 0.0008), 90.0062),
])  # fmt: skip
def test_some_rows_as_they_are_printed(wavelength, seen, daylight):
    (row,) = (row for row in ROWS if row["wavelength_nm"] == str(wavelength))
    assert [float(row[name]) for name in ("x", "y", "z")] == pytest.approx(seen, abs=1e-6)
    assert float(row["d65"]) == daylight


# --- the eye ---------------------------------------------------------------------------------
@pytest.mark.parametrize("wavelength, response", [("555 nm", 1.0), ("450 nm", 0.038), ("420 nm", 0.0040), ("510 nm", 0.503), ("650 nm", 0.107)])  # fmt: skip
def test_the_eye_responds_as_the_cie_printed_in_1924(wavelength, response):
    assert luminous_efficiency(wavelength) == pytest.approx(response, abs=6e-5)  # printed to four places


def test_between_the_rows_the_eye_is_as_good_as_the_1_nm_table():
    fine = np.arange(360.0, 831.0)
    ours = luminous_efficiency(Q(fine, "nm"))
    # 5 nm apart, straight lines leave up to 0.0035 at the top and at the steepest place
    assert np.abs(ours - OBSERVER.values[:, 1]).max() < 0.0035
    assert luminous_efficiency("0.3 µm") == 0 and luminous_efficiency("1 µm") == 0
    assert isinstance(luminous_efficiency("500 nm"), float)


@pytest.mark.parametrize("slip", ["2.7 eV", 450, "-5 nm", "0 nm"])
def test_a_wavelength_is_a_length(slip):
    with pytest.raises((UnitProblem, RangeProblem, ReadingProblem), match="wavelength"):
        luminous_efficiency(slip)


# --- spectra ---------------------------------------------------------------------------------
def theirs(reflectance, shape=(360, 830)):
    spectrum = colour.SpectralDistribution(reflectance, daylight_grid())
    grid = colour.SpectralShape(*shape, 5)
    lamp = colour.sd_CIE_illuminant_D_series(colour.temperature.CCT_to_xy_CIE_D(6500 * 1.4388 / 1.4380))
    lamp = lamp.copy().align(grid)
    return colour.sd_to_XYZ(spectrum, cmfs=OBSERVER.copy().align(grid), illuminant=lamp, method="Integration", shape=grid) / 100  # fmt: skip


@pytest.mark.parametrize("seed", range(5))
def test_colours_of_smooth_spectra_agree(seed):
    knots = np.random.default_rng(seed).random(12)
    reflectance = np.interp(daylight_grid(), np.linspace(360, 830, 12), knots)
    # 1e-4: theirs is summed with the table of the illuminant to two places
    assert xyz_on_grid(reflectance) == pytest.approx(theirs(reflectance), abs=1e-4)


def test_white_is_white_whatever_the_sampling():
    for places in (np.array([400.0, 700.0]), np.arange(380.0, 781.0, 1.0), np.array([780.0, 380.0, 500.0])):
        xyz = xyz_from_reflectance(Q(places, "nm"), np.ones_like(places))
        rgb, clipped = srgb_from_xyz(xyz)
        assert hex_from_srgb(rgb) == "#FFFFFF" and not clipped
        assert np.abs(lab_from_xyz(xyz)[1:]).max() < 0.05  # CIELAB; a hundredth of what an eye sees


def test_percent_and_order_do_not_matter():
    wavelength = np.arange(400.0, 701.0, 10.0)
    reflectance = np.linspace(0.1, 0.8, wavelength.size)
    once = xyz_from_reflectance(Q(wavelength, "nm"), reflectance)
    again = xyz_from_reflectance(Q(wavelength[::-1] / 1000, "µm"), Q(100 * reflectance[::-1], "percent"))
    assert again == pytest.approx(once, rel=1e-12)


@pytest.mark.parametrize("wavelength, reflectance, words", [
    ([450, 700], [0.5, 0.5], "420 to 680"), ([400, 600], [0.5, 0.5], "420 to 680"), ([400, 700], [0.5], "one reflectance"), ([], [], "is empty"),
])  # fmt: skip
def test_a_spectrum_has_to_cover_what_the_eye_sees(wavelength, reflectance, words):
    with pytest.raises(RangeProblem, match=words):
        xyz_from_reflectance(Q(wavelength, "nm"), reflectance)


# --- screens ---------------------------------------------------------------------------------
PARTS = st.tuples(*[st.integers(0, 255)] * 3)


@given(PARTS)
def test_screen_colours_come_back_as_they_were(rgb):
    found, clipped = srgb_from_xyz(xyz_from_linear(linear_from_srgb(rgb)))
    assert tuple(found.tolist()) == rgb and clipped is False


@given(PARTS)
def test_screen_colours_agree(rgb):
    linear = linear_from_srgb(rgb)
    assert linear == pytest.approx(colour.models.eotf_sRGB(np.array(rgb) / 255), abs=1e-9)
    with np.errstate(all="ignore"):
        expected = colour.sRGB_to_XYZ(np.array(rgb) / 255)
    assert xyz_from_linear(linear) == pytest.approx(expected, abs=2e-4)  # the standard's matrix has four places
    lab = lab_from_xyz(expected)
    assert lab == pytest.approx(colour.XYZ_to_Lab(expected, WHITE), abs=1e-6)
    chroma, hue = chroma_and_hue(lab)
    if chroma > 0.1:
        assert [chroma, hue] == pytest.approx(colour.models.Lab_to_LCHab(lab)[1:], abs=1e-6)


def test_what_a_screen_cannot_show_is_clipped_and_said():
    green = xyz_from_linear([-0.2, 0.8, 0.1])
    rgb, clipped = srgb_from_xyz(green)
    assert clipped is True and rgb[0] == 0
    assert linear_from_xyz(green) == pytest.approx([-0.2, 0.8, 0.1])
    many, flags = srgb_from_xyz(np.stack([green, xyz_from_linear([0.5, 0.5, 0.5])]))
    assert many.shape == (2, 3) and flags.tolist() == [True, False]
    # a hair beyond white, less than half a step of 256, is no loss
    assert srgb_from_xyz(xyz_from_linear([1.003, 1.0, -0.0001]))[1] is False


@pytest.mark.parametrize("part", [np.nan, np.inf])
def test_what_is_no_number_has_no_colour(part):
    with pytest.raises(RangeProblem, match="finite"):
        srgb_from_xyz([part, 1.0, 1.0])


def test_a_step_of_the_transfer_curve_is_where_the_standard_has_it():
    # IEC 61966-2-1: 0.0031308 · 12.92 = 0.04045; code 10 lies below, 11 above
    assert_close(linear_from_srgb([10, 11, 0])[0], 10 / 255 / 12.92, relative=1e-12)
    assert_close(linear_from_srgb([10, 11, 0])[1], ((11 / 255 + 0.055) / 1.055) ** 2.4, relative=1e-12)
