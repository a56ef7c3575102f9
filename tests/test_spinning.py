"""Spinning against printed forces, Newton's laws and sums on paper; rotor and tubes."""

import math

import numpy as np
import pytest
from helpers import assert_close, published
from hypothesis import given
from hypothesis import strategies as st

from labkit.data import table
from labkit.errors import ChoiceProblem, LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.units import Q
from labkit.uptake.liquids import LIQUIDS
from labkit.uptake.rotor import counterweight, highest_speed, imbalance_force, speed_down, tube_words, tubes
from labkit.uptake.settling import settling_time
from labkit.uptake.spinning import clearing_factor, relative_force, rotor_speed, speed_for, time_to_pellet

ROWS = published("spinning")
G = 9.80665  # m/s², standard


def rows(want):
    found = [row for row in ROWS if row["want"] == want]
    assert found
    return found


@pytest.mark.parametrize("row", rows("force"), ids=lambda row: row["case"])
def test_forces_agree_with_print(row):
    got = relative_force(float(row["speed"]), Q(float(row["outer"]), "cm"))
    assert_close(got, Q(float(row["expected"])), within=Q(float(row["tolerance"])))


def test_the_constant_of_the_textbooks():
    # 1.118e-5 r[cm] N²[rpm].
    assert_close(relative_force("1 rpm", "1 cm"), Q(1.118e-5), within=Q(5e-9))


@given(turns=st.floats(10, 5e4), centimetres=st.floats(1, 50))
def test_force_and_speed_there_and_back(turns, centimetres):
    radius = Q(centimetres, "cm")
    force = relative_force(turns, radius)
    # Circular motion on paper: v²/r.
    around = 2 * math.pi * centimetres / 100 * turns / 60
    assert_close(force, Q(around**2 / (centimetres / 100) / G), relative=1e-12)
    if force.magnitude <= 1e6:
        assert_close(speed_for(force, radius), Q(turns, "rpm"), relative=1e-12)


def test_turns_are_counted_and_not_radians():
    for given_as in (
        3600,
        "3600 rpm",
        "3600rpm",
        "3600 RPM.",
        "3600 /min",
        "60 Hz",
        Q(3600, "rpm"),
        Q(60, "Hz"),
        Q(3600, "1/min"),
        Q(120 * math.pi, "rad/s"),
    ):
        assert_close(rotor_speed(given_as), Q(3600, "rpm"), relative=1e-12)
    both = relative_force(Q([1000, 2000], "rpm"), "9 cm")
    assert_close(both[1] / both[0], Q(4.0), relative=1e-12)


@pytest.mark.parametrize("ask, kind", [
    (lambda: rotor_speed("fast"), ReadingProblem), (lambda: rotor_speed("5 g"), UnitProblem), (lambda: rotor_speed("5 %"), UnitProblem), (lambda: rotor_speed("0 rpm"), RangeProblem),
    (lambda: rotor_speed(-3), RangeProblem), (lambda: rotor_speed("9e9 rpm"), RangeProblem), (lambda: rotor_speed(float("nan")), RangeProblem), (lambda: relative_force(3000, "2 m"), RangeProblem),
    (lambda: speed_for("1000 × g", "0 cm"), RangeProblem), (lambda: clearing_factor(3000, "9 cm", "5 cm"), RangeProblem), (lambda: time_to_pellet([1, 2], "5 cm", "9 cm"), RangeProblem),
    (lambda: counterweight("4 g", "5 g", "oil"), ChoiceProblem), (lambda: tube_words("paper", "water"), ChoiceProblem), (lambda: imbalance_force(Q([1, 2], "g"), 3000, "9 cm"), RangeProblem),
])  # fmt: skip
def test_spinning_says_what_is_wrong(ask, kind):
    with pytest.raises(kind):
        ask()


def test_the_clearing_factor_agrees_with_print():
    (row,) = rows("clearing")
    got = clearing_factor(float(row["speed"]), Q(float(row["inner"]), "cm"), Q(float(row["outer"]), "cm"))
    assert got == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


# ---------------------------------------------------------------------------------------------------- pellets
BALL = {"powder_density": "2.016 g/cm³", "temperature": "25 °C", "shape": 1}


def test_the_time_to_a_pellet_agrees_with_sums_on_paper():
    got = time_to_pellet(4000, "5 cm", "9 cm", "0.2 µm", liquid="acetone", **BALL)
    # 374.6 s from the mean of two handbooks of viscosity, which differ by 0.7 %.
    assert_close(got.time.likely, Q(374.6, "s"), relative=0.005)
    omega = 4000 * 2 * math.pi / 60
    water = 18 * 0.8900e-3 * math.log(9 / 5) / ((2016 - 997.05) * (2e-7) ** 2 * omega**2)
    # 2e-4: the drag at the bottom of the tube, instead of Stokes' law.
    assert_close(
        time_to_pellet(4000, "5 cm", "9 cm", "0.2 µm", liquid="water", **BALL).time.likely, Q(water, "s"), relative=4e-4
    )
    # 1 µm of 1900 kg/m³ in ethanol at 1000 × g goes 3 cm in 53 s (sum by hand); a long arm makes that force even.
    speed = speed_for("1000 × g", "90 cm")
    even = time_to_pellet(speed, "87 cm", "90 cm", "1 µm", "1.9 g/cm³", "ethanol", "25 °C", 1)
    assert_close(even.time.likely, Q(53, "s"), relative=0.03)


def test_the_clearing_factor_scales_the_time():
    slow, fast = (
        time_to_pellet(turns, "5 cm", "9 cm", "0.2 µm", liquid="water", **BALL).time.likely for turns in (1000, 3000)
    )
    ratio = clearing_factor(1000, "5 cm", "9 cm") / clearing_factor(3000, "5 cm", "9 cm")
    assert ratio == pytest.approx(9, rel=1e-12)
    assert_close(slow / fast, Q(ratio), relative=1e-3)


def test_steps_through_the_tube_agree_where_the_drag_is_stokes():
    """A grain followed from ring to ring takes as long as the logarithm says."""
    omega, edges = 2500 * 2 * math.pi / 60, np.linspace(0.05, 0.09, 2001)
    middle = (edges[1:] + edges[:-1]) / 2
    seconds = sum(
        step / ((2016 - 997.05) * (5e-7) ** 2 * omega**2 * radius / 18 / 0.8900e-3)
        for step, radius in zip(np.diff(edges), middle)
    )
    assert_close(
        time_to_pellet(2500, "5 cm", "9 cm", "0.5 µm", liquid="water", **BALL).time.likely,
        Q(seconds, "s"),
        relative=1e-3,
    )


def test_fast_grains_take_rather_too_long():
    found = time_to_pellet(6000, "5 cm", "9 cm", "20 µm", liquid="water", **BALL)
    omega = 6000 * 2 * math.pi / 60
    stokes = 18 * 0.8900e-3 * math.log(9 / 5) / ((2016 - 997.05) * (2e-5) ** 2 * omega**2)
    assert found.reynolds > 1 and found.time.likely > Q(stokes * 1.15, "s") and "Schiller and Naumann" in found.sentence


def test_spinning_beats_standing_by_the_force():
    spun = time_to_pellet(2600, "5 cm", "9 cm", "1 µm", liquid="water", **BALL).time.likely
    stood = settling_time("4 cm", "1 µm", liquid="water", **BALL).still.likely
    # Mean force over the way: (r2 - r1)/ln(r2/r1).
    mean = relative_force(2600, Q(4 / math.log(9 / 5), "cm"))
    assert_close(stood / spun, mean, relative=2e-3)


def test_solvent_is_not_for_ordinary_centrifuges_and_that_comes_first():
    for liquid in LIQUIDS:
        found = time_to_pellet(2600, "5 cm", "9 cm", liquid=liquid)
        assert found.allowed == (liquid == "water")
        assert found.sentence.startswith("An ordinary centrifuge makes sparks") == (liquid != "water")
        assert "source of sparks" in str(found.cautions()).splitlines()[0]
        assert ("cannot" in str(found.cautions()) or "flame" in str(found.cautions())) == (liquid != "water")
        assert repr(found) == str(found) and max(map(len, str(found).splitlines())) <= 60


# ------------------------------------------------------------------------------------------------------ rotor
def test_the_pull_out_of_balance_is_that_of_circular_motion():
    found = imbalance_force("0.8 g", 3800, "9 cm")
    pull = 0.8e-3 * (2 * math.pi * 3800 / 60) ** 2 * 0.09
    assert_close(found.pull, Q(pull, "N"), relative=1e-12)
    assert_close(found.weight, Q(pull / G, "kg"), relative=1e-12)
    assert not found.within and "Do not start it" in found.sentence and "12 N" in found.sentence  # 11.4 N, upwards
    assert imbalance_force("0.8 g", 3800, "9 cm", limit="1 g").within
    assert imbalance_force("0.1 g", 3800, "9 cm").within and not imbalance_force("0.11 g", 3800, "9 cm").within
    assert "sheet of the centrifuge rules" in imbalance_force("0.1 g", 3800, "9 cm").sentence
    assert imbalance_force("0 g", 3800, "9 cm").sentence == "The tubes weigh alike: nothing pulls sideways."


@given(first=st.floats(1, 100), second=st.floats(1, 100), liquid=st.sampled_from(LIQUIDS))
def test_what_is_added_makes_the_tubes_alike(first, second, liquid):
    found = counterweight(Q(first, "g"), Q(second, "g"), liquid, "20 °C")
    # Densities of handbooks at 20 °C, g/mL.
    added = found.volume.m_as("mL") * {"acetone": 0.7903, "ethanol": 0.7894, "water": 0.9982}[liquid]
    tubes_after = {"first": first + added - second, "second": second + added - first, "neither": first - second}
    assert abs(tubes_after[found.tube]) <= 2e-4 * added + 1e-9 and found.volume.magnitude >= 0


def test_a_counterweight_is_no_leave_to_spin_solvent():
    for liquid in ("acetone", "ethanol"):
        assert f"do not spin {liquid}" in counterweight("41.7 g", "43.3 g", liquid).sentence
    water = counterweight("41.7 g", "43.3 g").sentence
    assert "do not spin" not in water and "share the powder" not in water
    assert "share the powder and its liquid out again" in counterweight("41.7 g", "47.7 g").sentence  # 6 mL


def test_no_tube_turns_faster_than_it_is_rated_for():
    most = highest_speed("4000 × g", "9 cm")
    assert_close(relative_force(most, "9 cm"), Q(4000.0), relative=1e-9)
    assert highest_speed("4000 × g", "9 cm", "6000 rpm") == Q(6000, "rpm")
    # A filling denser than 1.2 g/mL: the same pull on the wall at √(1.2/1.8) of the speed.
    assert_close(highest_speed("4000 × g", "9 cm", filling="1.8 g/mL") / most, Q(math.sqrt(1.2 / 1.8)), relative=1e-9)
    assert speed_down(Q(5999.9, "rpm")) == "5900 rpm" and speed_down(Q(6000, "rpm")) == "6000 rpm"
    assert speed_down(highest_speed("900000 × g", "1 mm")) == "200000 rpm"  # no rotor of a bench turns faster
    with pytest.raises(LabError):
        highest_speed("4000 g", "9 cm")


def test_every_tube_has_a_word_for_every_liquid():
    assert len(tubes()) > 4 and all(row["kind"] == "from memory" for row in table("tubes"))
    for tube in tubes():
        for liquid in LIQUIDS:
            assert "from memory" in tube_words(tube, liquid) and liquid in tube_words(tube, liquid)
    # What every table of resistance agrees on.
    for tube in ("polystyrene", "polycarbonate"):
        assert tube_words(tube, "acetone").startswith("No ")
    assert tube_words("polypropylene", "acetone").startswith("Tubes of polypropylene stand acetone")
    assert tube_words("polystyrene", "ethanol").startswith("Ask the maker")
