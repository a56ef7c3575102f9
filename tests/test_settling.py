"""Powder that sinks: viscosities against other handbooks, speeds against another library, times against sums on paper."""

import math

import numpy as np
import pytest
from chemicals import viscosity as handbook
from chemicals.dippr import EQ101
from CoolProp.CoolProp import PropsSI
from fluids.drag import v_terminal
from helpers import assert_close, published
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import ChoiceProblem, LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.units import Q, Range
from labkit.uptake.liquids import LIQUIDS, density, viscosity
from labkit.uptake.settling import scale_height, settling_time, smallest_settled, time_words
from labkit.uptake.sinking import plain_force, plain_speed, powder, settling_speed, stokes_speed

ROWS = published("spinning")
CAS = {"acetone": "67-64-1", "ethanol": "64-17-5", "water": "7732-18-5"}
BOLTZMANN = 1.380649e-23  # J/K, exact
WARM = np.arange(10, 40.5, 2.5)


def rows(want):
    found = [row for row in ROWS if row["want"] == want]
    assert found
    return found


# ------------------------------------------------------------------------------------------------ liquids
@pytest.mark.parametrize("row", rows("viscosity"), ids=lambda row: row["case"])
def test_the_viscosity_of_water_agrees_with_measurements(row):
    got = viscosity("water", Q(float(row["celsius"]), "degC"))
    assert_close(got, Q(float(row["expected"]), row["unit"]), within=Q(float(row["tolerance"]), row["unit"]))


def by_heat_atlas(liquid, celsius):
    """Return mPa·s by the coefficients of the VDI Heat Atlas (2010), another handbook than the one used."""
    handbook._load_mu_data()
    return 1e3 * handbook.PPDS9(
        celsius + 273.15, *(handbook.mu_data_VDI_PPDS_7.loc[CAS[liquid]][name] for name in "ABCDE")
    )


# Handbooks differ by as much: 0.9 % for acetone, 3 % for ethanol in the cold.
@pytest.mark.parametrize("liquid, apart", [("acetone", 0.01), ("ethanol", 0.03)])
def test_viscosities_agree_with_another_handbook(liquid, apart):
    for celsius in WARM:
        got = viscosity(liquid, Q(celsius, "degC"))
        assert_close(got, Q(by_heat_atlas(liquid, celsius), "mPa*s"), relative=apart)


# Between the points the curve is as good as at them: the points are rounded to 0.02 %.
@pytest.mark.parametrize("liquid", LIQUIDS)
def test_the_curve_between_the_points_follows_its_equation(liquid):
    handbook._load_mu_data()
    perry = [handbook.mu_data_Perrys_8E_2_313.loc[CAS["acetone"]][f"C{number}"] for number in range(1, 6)]
    for celsius in WARM:
        kelvin = celsius + 273.15
        theirs = EQ101(kelvin, *perry) if liquid == "acetone" else PropsSI("V", "T", kelvin, "P", 101325, liquid)
        assert_close(viscosity(liquid, Q(celsius, "degC")), Q(1e3 * theirs, "mPa*s"), relative=3e-4)
        weighs = PropsSI("D", "T", kelvin, "P", 101325, liquid)
        assert_close(density(liquid, Q(celsius, "degC")), Q(weighs, "kg/m**3"), within=Q(0.2, "kg/m**3"))


@pytest.mark.parametrize("ask, kind", [
    (lambda: viscosity("honey"), ChoiceProblem), (lambda: viscosity("water", "9 °C"), RangeProblem), (lambda: viscosity("water", "41 °C"), RangeProblem),
    (lambda: density("water", "20 g"), ReadingProblem), (lambda: density("acetone", Q([20, 25], "degC")), RangeProblem),
])  # fmt: skip
def test_liquids_say_what_is_wrong(ask, kind):
    with pytest.raises(kind):
        ask()


# ------------------------------------------------------------------------------------------------- sinking
def test_stokes_agrees_with_a_worked_example():
    (row,) = rows("stokes")
    got = stokes_speed("0.05 mm", "1.67 g/mL", Q(0.01, "P")).to("cm/s")
    # 9.80665 in place of 9.81 m/s²: 0.03 %.
    assert_close(got * 9.81 / 9.80665, Q(float(row["expected"]), "cm/s"), within=Q(float(row["tolerance"]), "cm/s"))
    _, reynolds, times = plain_speed(5e-5, 1670.0, 1000.0, 1e-3)
    assert reynolds == pytest.approx(0.11, abs=0.005)  # as that page says
    assert times == pytest.approx(1 + 0.15 * reynolds**0.687, rel=1e-12)  # the law of Schiller and Naumann


# Sums by hand from ρ 2016 kg/m³ and the viscosities and densities of handbooks at 25 °C: mm/h at 0.2, 1 and 5 µm.
SINKING = {"acetone": (0.316, 7.89, 197), "ethanol": (0.089, 2.23, 55.8), "water": (0.090, 2.25, 56.1)}


@pytest.mark.parametrize("liquid", SINKING)
def test_speeds_agree_with_sums_from_handbooks(liquid):
    for size, expected in zip((0.2, 1, 5), SINKING[liquid]):
        found = settling_speed(Q(size, "µm"), "2.016 g/cm³", liquid, "25 °C", shape=1)
        assert_close(found.speed.likely, Q(expected, "mm/h"), relative=0.015)  # handbooks of viscosity, three figures


@given(
    size=st.floats(1e-7, 2e-3), heavier=st.floats(100, 4000), viscosity=st.floats(2e-4, 2e-3), force=st.floats(1, 50)
)
def test_speeds_agree_with_another_library_as_far_as_laws_of_drag_do(size, heavier, viscosity, force):
    fluid = 900.0
    try:
        speed, reynolds, _ = plain_speed(size, heavier, fluid, viscosity, force)
    except RangeProblem:
        assert fluid * v_terminal(size, fluid + heavier * force, fluid, viscosity) * size / viscosity > 600
        return
    assert reynolds == pytest.approx(fluid * speed * size / viscosity, rel=1e-9)
    # A force of n × g on a difference of density is one of g on n times the difference.
    theirs = v_terminal(size, fluid + heavier * force, fluid, viscosity)
    # v_terminal has Stokes' law up to 0.01 (0.6 % there); the laws of drag differ by 6 % up to 800 (Clift et al. 1978).
    assert speed == pytest.approx(theirs, rel=0.07 if reynolds > 0.01 else 0.008)


def test_how_far_stokes_errs_is_said():
    slow = settling_speed("1 µm", "2 g/cm³", "water")
    assert "Stokes' law holds" in slow.law and slow.reynolds < 1e-5
    strained = settling_speed("80 µm", "2 g/cm³", "water", shape=1)
    assert 0.1 < strained.reynolds < 1 and "strained" in strained.law and "too fast" in strained.law
    behind = settling_speed("0.3 mm", "2 g/cm³", "water", shape=1)
    assert behind.reynolds > 1 and "left behind" in behind.law
    free = 1000 * 9.80665 * (3e-4) ** 2 / 18 / 1e-3
    assert_close(behind.speed.likely * (1 + behind.overstated.m_as("dimensionless")), Q(free, "m/s"), relative=0.01)
    with pytest.raises(RangeProblem, match="spin more slowly"):
        settling_speed("1 mm", "2 g/cm³", "water", force=1000)


def test_a_range_of_sizes_counts_twice_over():
    found = settling_speed("1 to 10 µm, likely 3 µm", "2 g/cm³", "water", shape=1)
    assert_close(found.speed.high / found.speed.low, Q(100.0), relative=1e-3)
    assert found.speed.driver == "diameter" and "diameter" in str(found)
    slowed = settling_speed("3 µm", "2 g/cm³", "water", shape="0.25 to 0.5")
    assert_close(slowed.speed.high / found.speed.likely, Q(0.5), relative=1e-6)
    assert slowed.speed.driver == "shape and pores"


def test_what_is_guessed_says_so():
    found = powder()
    assert "from memory" in found.diameter.why and "from memory" in found.powder_density.why
    # X-ray density of melon by the cell of Lotsch et al. 2007: 4 × 201.15 u in 16.7 × 12.4 × 3.2 Å.
    cell = 4 * 201.15 / 6.02214076e23 / (16.7e-8 * 12.4e-8 * 3.2e-8)
    low, likely, high = found.powder_density.m_as("g/cm**3")
    assert cell == pytest.approx(2.02, abs=0.01) and low < cell < high and likely == pytest.approx(cell, rel=0.02)


@pytest.mark.parametrize("arguments, words", [
    ({"diameter": "2 mm"}, "1 mm at most"), ({"diameter": "1e-12 m"}, "1 nm at least"), ({"powder_density": "0.7 g/cm³"}, "does not sink"), ({"shape": "1.2"}, "1 at most"),
    ({"powder_density": "0.5 to 2 g/cm³"}, "does not sink"), ({"liquid": "milk"}, "milk"), ({"diameter": "3 g"}, "length"),
])  # fmt: skip
def test_a_powder_that_cannot_be_says_why(arguments, words):
    with pytest.raises(LabError, match=words):
        powder(**arguments)


def test_a_force_is_read_as_it_is_written():
    assert [plain_force(text) for text in ("1000 × g", "1000 x g", "1000×g", "1000", 1000, Q(1000))] == [1000] * 6
    for text, kind in (
        ("1000 g", ReadingProblem),
        ("fast", ReadingProblem),
        ("0", RangeProblem),
        ("-5", RangeProblem),
        ("1e9", RangeProblem),
    ):
        with pytest.raises(kind, match="1000 × g|more than zero"):
            plain_force(text)


# ------------------------------------------------------------------------------------------------- settling
def test_the_scale_height_is_that_of_the_air_law():
    # kT/(Δρ g V) for 0.1 µm of 2.0 g/cm³ in water at 20 °C.
    volume = math.pi / 6 * (1e-7) ** 3
    by_hand = BOLTZMANN * 293.15 / ((2000 - 998.2) * 9.80665 * volume)
    assert_close(scale_height("0.1 µm", "2 g/cm³", "water"), Q(1e3 * by_hand, "mm"), relative=1e-4)
    # What keeps grains of 0.2 µm up is not their own warmth.
    assert scale_height("0.2 µm") < Q(0.1, "mm") and scale_height("0.02 µm") > Q(5, "cm")
    with pytest.raises(RangeProblem):
        scale_height("1 µm", "0.5 g/cm³")


@pytest.mark.parametrize("liquid", LIQUIDS)
def test_settling_takes_height_over_speed_and_three_times_that_when_stirred(liquid):
    grain = {"diameter": "2 µm", "powder_density": "2 g/cm³", "liquid": liquid, "shape": 1}
    found, speed = settling_time("7 cm", **grain), settling_speed(**grain).speed.likely
    assert_close(found.still.likely, (Q(7, "cm") / speed).to("h"), relative=1e-9)
    # exp(-3.0) = 5 %.
    assert_close(found.stirred.likely / found.still.likely, Q(-math.log(0.05)), relative=1e-9)


def test_what_to_do_follows_from_the_time():
    assert settling_time("6 cm", "5 µm").level == "a day"
    week, longer = settling_time("6 cm", "1 µm"), settling_time("6 cm", "0.1 µm", liquid="ethanol")
    assert week.level == "a week" and longer.level == "longer" and "no way here" in longer.sentence
    # Acetone with iron chloride is for the same day, so that it may not stand for several.
    assert "same day" in week.sentence and "same day" not in longer.sentence and "some days" not in week.sentence
    assert "Do it the same day" in settling_time("6 cm", "0.1 µm").sentence
    assert "same day" not in settling_time("6 cm", "5 µm").sentence
    fine = settling_time("6 cm", "0.02 to 0.03 µm")
    assert "never come down" in fine.sentence and "never come down" not in longer.sentence
    assert "spark" not in str(settling_time("6 cm", liquid="water").cautions()) and "flame" in str(week.cautions())
    assert repr(week) == str(week) and max(map(len, str(week).splitlines())) <= 60


@given(
    centimetres=st.floats(0.5, 90), hours=st.floats(0.1, 1e4), liquid=st.sampled_from(LIQUIDS), solid=st.floats(1.5, 4)
)
def test_the_smallest_settled_grain_takes_just_that_time(centimetres, hours, liquid, solid):
    height, solid = Q(centimetres, "cm"), Q(solid, "g/cm**3")
    size = smallest_settled(height, Q(hours, "h"), solid, liquid)
    assert_close(settling_time(height, size, solid, liquid, shape=1).still.likely, Q(hours, "h"), relative=1e-6)


@pytest.mark.parametrize("ask", [
    lambda: settling_time("2 m"), lambda: settling_time(Q([1, 2], "cm")), lambda: settling_time("0 cm"), lambda: smallest_settled("6 cm", "0 h"),
    lambda: stokes_speed("1 µm", "1 g/mL", Q(1, "g")), lambda: stokes_speed("1 µm", "1 g/mL", Q(0, "Pa*s")), lambda: settling_time("6 cm", temperature="60 °C"),
])  # fmt: skip
def test_settling_says_what_is_wrong(ask):
    with pytest.raises((RangeProblem, UnitProblem)):
        ask()


def test_times_are_worlds_apart_and_each_has_its_unit():
    span = Range(Q(2, "s"), Q(5, "h"), Q(3, "year"))
    assert time_words(span) == "2.0 s to 3.0 years, likely 5.0 h"
