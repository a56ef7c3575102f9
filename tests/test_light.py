"""Photons, sunlight and colour against textbooks, scipy, pint, and the spectrum integrated afresh."""

import numpy as np
import pytest
from helpers import assert_close, published, raw_spectrum
from hypothesis import given
from hypothesis import strategies as st

from labkit.data import guess, table, value
from labkit.errors import ChoiceProblem, RangeProblem, ReadingProblem, UnitProblem
from labkit.light import (
    COLOUR_IS_ROUGH,
    colour_seen,
    colours,
    frequency_from_gap,
    gap_from_frequency,
    gap_from_molar_energy,
    gap_from_wavelength,
    gap_range_for_colour,
    irradiance_above,
    irradiance_total,
    light_absorbed,
    molar_energy_from_gap,
    photon_flux_above,
    photon_flux_from_irradiance,
    photon_flux_total,
    photons_from_energy,
    share_above,
    sun_spectrum,
    wavelength_from_gap,
)
from labkit.units import Q

PHOTON_ROWS = published("photon_energies")
SUN_ROWS = published("sun_above_gap")
GAPS = st.floats(0.01, 100).map(lambda size: Q(size, "eV"))
SUN_GAPS = st.floats(0.32, 4.4).map(lambda size: Q(size, "eV"))


# --- photons ---------------------------------------------------------------------------------


def answer(row):
    given_value = Q(float(row["given"]), row["given_unit"])
    if row["want"].startswith("photons in "):
        size, unit = row["want"].removeprefix("photons in ").split()
        return photons_from_energy(Q(float(size), unit), given_value)
    if given_value.check("[length]"):
        gap = gap_from_wavelength(given_value)
    else:
        gap = gap_from_frequency(given_value) if given_value.check("1/[time]") else given_value
    wanted = {"gap": lambda it: it, "wavelength": wavelength_from_gap, "frequency": frequency_from_gap,
              "molar energy": molar_energy_from_gap}  # fmt: skip
    return wanted[row["want"]](gap)


@pytest.mark.parametrize("row", PHOTON_ROWS, ids=lambda row: row["case"])
def test_photon_energies_agree_with_printed_answers(row):
    assert_close(answer(row), Q(float(row["expected"]), row["unit"]), within=Q(float(row["tolerance"]), row["unit"]))


def test_hc_over_e_agrees_with_scipy():
    from scipy import constants

    expected = Q(constants.h * constants.c / constants.e * 1e9, "nm")
    assert_close(wavelength_from_gap(Q(1, "eV")), expected, relative=1e-12)


def test_conversions_agree_with_the_spectroscopy_context_of_pint():
    gaps = Q(np.linspace(1, 5, 9), "eV")
    assert_close(wavelength_from_gap(gaps), gaps.to("nm", "spectroscopy"), relative=1e-9)
    assert_close(frequency_from_gap(gaps), gaps.to("THz", "spectroscopy"), relative=1e-9)


@given(GAPS)
def test_there_and_back_gives_the_gap(gap):
    assert_close(gap_from_wavelength(wavelength_from_gap(gap)), gap, relative=1e-12)
    assert_close(gap_from_frequency(frequency_from_gap(gap)), gap, relative=1e-12)
    assert_close(gap_from_molar_energy(molar_energy_from_gap(gap)), gap, relative=1e-12)
    # once round by three different roads
    light = wavelength_from_gap(gap_from_molar_energy(molar_energy_from_gap(gap)))
    assert_close(light * frequency_from_gap(gap), Q(299792458, "m/s"), relative=1e-12)


@given(GAPS, st.floats(1e-6, 1e6))
def test_a_mole_of_photons_carries_the_molar_energy(gap, size):
    energy = Q(size, "J")
    assert_close(photons_from_energy(energy, wavelength_from_gap(gap)) * molar_energy_from_gap(gap), energy,
                 relative=1e-12)  # fmt: skip


def test_flux_of_a_lamp_is_its_photons_per_area_and_time():
    flux = photon_flux_from_irradiance("50 W/m²", "420 nm")
    assert_close(flux * Q(2, "m**2") * Q(3, "s"), photons_from_energy("300 J", "420 nm"), relative=1e-12)


def test_typed_uncertainty_travels():
    edge = wavelength_from_gap("2.70 ± 0.27 eV").magnitude
    assert edge.std_dev / edge.nominal_value == pytest.approx(0.1)


@pytest.mark.parametrize("slip", ["450 nm", Q(2.7), 2.7, Q(20, "degC")])
def test_a_gap_must_be_an_energy(slip):
    with pytest.raises((UnitProblem, ReadingProblem), match="gap"):
        wavelength_from_gap(slip)


@pytest.mark.parametrize("size", [0.0, -2.7, float("nan"), float("inf")])
def test_a_gap_must_be_more_than_nothing(size):
    with pytest.raises(RangeProblem, match="more than zero"):
        photon_flux_above(Q(size, "eV"))


# --- sunlight --------------------------------------------------------------------------------


def sunlight(row):
    gap = Q(float(row["gap_eV"]), "eV") if row["gap_eV"] else None
    return {
        "photon flux": lambda: photon_flux_above(gap),
        "irradiance": lambda: irradiance_above(gap),
        "current": lambda: photon_flux_above(gap) * Q(1, "avogadro_constant * elementary_charge"),
        "irradiance total": irradiance_total,
        "photon flux total": lambda: photon_flux_total() * Q(1, "avogadro_constant"),
    }[row["want"]]()


@pytest.mark.parametrize("row", SUN_ROWS, ids=lambda row: row["case"])
def test_sunlight_agrees_with_the_table(row):
    assert_close(sunlight(row), Q(float(row["expected"]), row["unit"]), within=Q(float(row["tolerance"]), row["unit"]))


@pytest.mark.parametrize("edge", [281.3, 387.45, 399.99, 459.2, 516.60, 873.13, 1701.2, 3333.3, 4000.0])
def test_sunlight_agrees_with_a_fine_grid_integrated_by_scipy(edge):
    from scipy import constants
    from scipy.integrate import simpson

    wavelength, spectral = raw_spectrum()
    fine = np.linspace(280, edge, 200_001)
    power = np.interp(fine, wavelength, spectral)
    energy_of_one = constants.h * constants.c / (fine * 1e-9)
    gap = gap_from_wavelength(Q(edge, "nm"))
    # 2e-5: kinks of the spectrum fall between the points of the fine grid
    assert_close(irradiance_above(gap), Q(simpson(power, x=fine), "W/m**2"), relative=2e-5)
    expected = Q(simpson(power / energy_of_one, x=fine) / constants.N_A * 1e6, "µmol/m**2/s")
    assert_close(photon_flux_above(gap), expected, relative=2e-5)


def test_the_edge_may_lie_on_a_point_of_the_table():
    wavelength, spectral = raw_spectrum()
    gaps = gap_from_wavelength(Q(wavelength, "nm"))
    below = np.concatenate([[0], np.cumsum((spectral[1:] + spectral[:-1]) / 2 * np.diff(wavelength))])
    assert_close(irradiance_above(gaps), Q(below, "W/m**2"), within=Q(1e-6, "W/m**2"))


@given(SUN_GAPS, SUN_GAPS)
def test_photons_between_two_gaps_carry_no_less_and_no_more_than_those_gaps(one, other):
    low, high = min(one, other), max(one, other)
    power = irradiance_above(low) - irradiance_above(high)
    moles = photon_flux_above(low) - photon_flux_above(high)
    rounding = Q(1e-9, "W/m**2")
    assert moles >= 0 * moles
    least, most = (moles * molar_energy_from_gap(gap) for gap in (low, high))
    assert (least - rounding).to("W/m**2") <= power <= (most + rounding).to("W/m**2")


def test_tolerances_of_the_sun_table_would_catch_five_percent():
    for row in SUN_ROWS:
        assert float(row["tolerance"]) < 0.05 * float(row["expected"]), row["case"]
    wrong = photon_flux_above("2.7 eV") * 1.05
    with pytest.raises(AssertionError):
        assert_close(wrong, Q(414.2, "µmol/m**2/s"), within=Q(0.1, "µmol/m**2/s"))


def test_tolerances_of_the_photon_table_would_catch_five_percent():
    for row in PHOTON_ROWS:
        assert float(row["tolerance"]) < 0.05 * float(row["expected"]), row["case"]


def test_weaker_sun_has_the_same_shape():
    half = irradiance_total() / 2
    assert_close(photon_flux_above("2.7 eV", irradiance=half), photon_flux_above("2.7 eV") / 2, relative=1e-12)
    assert_close(irradiance_above("0.31 eV", irradiance="800 W/m²"), Q(800, "W/m**2"), within=Q(0.1, "W/m**2"))
    assert photon_flux_above("2.7 eV", irradiance="0 W/m²").magnitude == 0


def test_shares_are_parts_of_the_whole():
    photons, power = share_above("2.7 eV")
    # 0.24944e21 of 4.3056e21 photons, 122.10 of 1000.37 W/m²: trapezoid, tests/published/sun_above_gap.csv
    assert_close(photons, Q(100 * 0.24944 / 4.3056, "percent"), within=Q(0.001, "percent"))
    assert_close(power, Q(100 * 122.10 / 1000.37, "percent"), within=Q(0.001, "percent"))
    for share in share_above(gap_from_wavelength("4000 nm")):
        assert_close(share, Q(100, "percent"), within=Q(1e-9, "percent"))


def test_many_gaps_at_once_give_what_each_gives_alone():
    sizes = np.array([[2.4, 2.7], [3.2, 1.12]])
    together = photon_flux_above(Q(sizes, "eV"))
    assert together.shape == sizes.shape
    for place, size in np.ndenumerate(sizes):
        assert_close(together[place], photon_flux_above(Q(size, "eV")), relative=1e-12)


def test_an_uncertain_gap_gives_an_uncertain_flux():
    flux = photon_flux_above("2.70 ± 0.02 eV").magnitude
    step = photon_flux_above("2.68 eV") - photon_flux_above("2.72 eV")
    assert flux.nominal_value == pytest.approx(photon_flux_above("2.7 eV").magnitude)
    # 10 %: the spectrum is not straight between 2.68 and 2.72 eV
    assert flux.std_dev == pytest.approx(step.magnitude / 2, rel=0.1)


def test_uncertain_gaps_in_an_array_each_keep_their_own():
    from uncertainties import ufloat

    gaps = Q(np.array([ufloat(2.7, 0.02), ufloat(3.0, 0.01)]), "eV")
    for found, alone in zip(photon_flux_above(gaps).magnitude, ("2.70 ± 0.02 eV", "3.00 ± 0.01 eV")):
        expected = photon_flux_above(alone).magnitude
        assert found.nominal_value == pytest.approx(expected.nominal_value, rel=1e-12)
        assert found.std_dev == pytest.approx(expected.std_dev, rel=1e-6)


@pytest.mark.parametrize("gap", ["4.5 eV", "0.30 eV", Q(np.array([2.7, 5.0]), "eV")])
@pytest.mark.parametrize("function", [photon_flux_above, irradiance_above, share_above])
def test_an_edge_beyond_the_spectrum_is_refused(function, gap):
    with pytest.raises(RangeProblem, match=rf"{function.__name__}\(\) needs a gap from 0.31 to 4.42 eV"):
        function(gap)


def test_nobody_can_change_the_spectrum_by_drawing_it():
    wavelength, spectral = sun_spectrum()
    spectral[:] = 0 * spectral
    wavelength[:] = 0 * wavelength
    assert_close(irradiance_total(), Q(1000.37, "W/m**2"), within=Q(0.01, "W/m**2"))
    assert_close(sun_spectrum()[1].sum(), Q(raw_spectrum()[1].sum(), "W/m**2/nm"), relative=1e-12)


def test_lumens_of_a_watt_are_the_eyes_response_times_683():
    # CIE 1924 V(λ), as printed in any table of it: 0.038 at 450 nm and 1 at 555 nm
    for wavelength, response in (("450 nm", 0.038), ("555 nm", 1.0)):
        assert_close(value("lumens", wavelength), Q(683 * response, "lm/W"), within=Q(0.05, "lm/W"))


# --- colour ----------------------------------------------------------------------------------

# Lightness, chroma and hue angle (CIELAB) of a smooth edge 0.10 eV wide in daylight, computed with
# colour-science 0.4.7.  The words are allowed where a painter would use them.
COMPUTED_COLOURS = {3.2: (96.0, 1.4, 118), 3.0: (95.9, 7.4, 117), 2.9: (95.7, 15.1, 115), 2.8: (95.4, 27.1, 113),
                    2.7: (94.7, 42.5, 109), 2.6: (93.4, 58.9, 104), 2.5: (90.8, 72.6, 98), 2.4: (86.6, 80.6, 89),
                    2.3: (80.0, 81.9, 79), 2.2: (71.3, 77.5, 68), 2.1: (60.9, 68.9, 56), 2.0: (50.2, 56.3, 45),
                    1.8: (33.8, 24.9, 29)}  # fmt: skip
WORDS = {  # word: (lightness from, to), (chroma from, to), (hue angle from, to)
    "near white": ((95, 100), (0, 10), (0, 360)),
    "whitish yellow": ((90, 100), (10, 20), (100, 120)),
    "pale yellow": ((90, 100), (20, 50), (100, 120)),
    "yellow": ((85, 97), (50, 90), (92, 108)),
    "orange-yellow": ((75, 92), (60, 100), (75, 92)),
    "orange": ((55, 80), (60, 100), (55, 75)),
    "orange-red": ((45, 65), (50, 100), (30, 55)),
    "red-brown": ((20, 45), (10, 50), (10, 50)),
}


@pytest.mark.parametrize("gap", COMPUTED_COLOURS)
def test_words_for_colours_fit_the_computed_colour(gap):
    word = colour_seen(Q(gap, "eV"))
    for size, (low, high) in zip(COMPUTED_COLOURS[gap], WORDS[word]):
        assert low <= size <= high, (word, size)


@pytest.mark.parametrize(
    "gap, word",
    [
        ("290 kJ/mol", "near white"),  # ZnO, white: Petrucci, General Chemistry, 10th ed., ch. 23, problem 51
        ("250 kJ/mol", "yellow"),  # CdS, yellow: same problem
        ("193 kJ/mol", "orange-red"),  # HgS, 2.0 eV, vermilion
    ],
)
def test_words_for_colours_fit_known_pigments(gap, word):
    assert colour_seen(gap_from_molar_energy(gap)) == word


def test_published_gaps_of_urea_powder_look_as_such_powder_does():
    # whitish to pale yellow is how urea-derived powder is described
    for name in ("urea, Dong 2011", "urea, Zhang 2013"):
        assert colour_seen(guess("gaps", name).likely) in ("pale yellow", "whitish yellow")


def test_bands_of_colour_touch_without_gap_or_overlap():
    rows = table("colours")
    assert len(rows) > 5
    for wider, narrower in zip(rows, rows[1:]):
        assert wider["band_low_eV"] == narrower["band_high_eV"]


@pytest.mark.parametrize("colour", colours())
def test_a_colour_stands_for_gaps_some_tenths_apart(colour):
    span = gap_range_for_colour(colour)
    assert colour_seen(span.likely) == colour
    width = span.high - span.low
    assert width >= Q(0.4, "eV")
    row = next(row for row in table("colours") if row["name"] == colour)
    assert span.low.magnitude <= float(row["band_low_eV"]) < float(row["band_high_eV"]) <= span.high.magnitude


LIGHT = [(450, "violet"), (485, "blue"), (510, "blue-green"), (565, "green"), (590, "yellow"), (625, "orange")]


@pytest.mark.parametrize("gap", ["2.9 eV", "2.7 eV", "2.55 eV", "2.35 eV", "2.15 eV", "2.0 eV"])
def test_absorbed_light_ends_with_the_colour_at_the_edge(gap):
    edge = wavelength_from_gap(gap).magnitude
    at_edge = next(name for end, name in LIGHT if edge <= end)
    assert light_absorbed(gap).split()[-1] == at_edge


def test_colour_speaks_of_one_gap_inside_the_table():
    assert light_absorbed("3.3 eV").startswith("ultraviolet") and light_absorbed("1.0 eV") == "all visible light"
    assert "some tenths of an eV" in COLOUR_IS_ROUGH
    with pytest.raises(RangeProblem, match="0.31 to 4.43 eV"):
        colour_seen("6 eV")
    with pytest.raises(RangeProblem, match="one colour at a time"):
        colour_seen(Q(np.array([2.4, 2.7]), "eV"))
    with pytest.raises(ChoiceProblem, match="pale yellow"):
        gap_range_for_colour("mauve")
    assert gap_range_for_colour("  Pale  Yellow ") == gap_range_for_colour("pale yellow")


# --- gaps ------------------------------------------------------------------------------------


def test_gaps_are_those_of_the_papers():
    printed_gaps = {"thiourea": 2.51, "dicyandiamide": 2.58, "melamine": 2.56, "urea": 2.88}  # Zhang 2013, abstract
    for precursor, size in printed_gaps.items():
        assert_close(guess("gaps", f"{precursor}, Zhang 2013").likely, Q(size, "eV"), within=Q(1e-9, "eV"))
    span = guess("gaps", "your powder from urea")
    assert (span.low, span.high) == (Q(2.7, "eV"), Q(2.88, "eV"))  # Dong 2011, Zhang 2013
