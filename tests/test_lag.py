"""A first-order lag against worked examples of three subjects, and against its own laws."""

import numpy as np
import pytest
from helpers import assert_close, published
from hostile import HOSTILE
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import LabError, RangeProblem, UnitProblem
from labkit.heat.lag import temperature_after, time_constant_from, time_to_reach
from labkit.units import Q

readings = st.floats(-50, 1300)
times = st.floats(0.1, 1e4)


def constant_of(row, start, surroundings):
    """Return the time constant of a row: as printed, or from the reading that the problem gives."""
    text, unit = row["time_constant"], row["time_unit"]
    if " to " not in text:
        return Q(float(text), unit)
    first, second = text.split(" to ")
    return time_constant_from(start, Q(float(second), row["unit"]), surroundings, Q(float(first.split()[0]), unit))


@pytest.mark.parametrize("row", published("cooling"), ids=lambda row: row["case"])
def test_worked_examples(row):
    start, surroundings = (Q(float(row[name]), row["unit"]) for name in ("start", "surroundings"))
    wanted, within = float(row["printed"]), float(row["tolerance"])
    if row["find"] == "later":
        time = Q(float(row["time"]), row["time_unit"])
        got = temperature_after(time, start, surroundings, constant_of(row, start, surroundings))
        assert_close(got, Q(wanted, row["unit"]), within=Q(within, f"delta_{row['unit']}"))
        return
    later = Q(float(row["later"]), row["unit"])
    if row["find"] == "time":
        got = time_to_reach(later, start, surroundings, constant_of(row, start, surroundings))
    else:
        got = time_constant_from(start, later, surroundings, Q(float(row["time"]), row["time_unit"]))
    assert_close(got, Q(wanted, row["time_unit"]), within=Q(within, row["time_unit"]))


@given(start=readings, surroundings=readings, tau=times, share=st.floats(0.01, 4))
def test_there_and_back(start, surroundings, tau, share):
    if abs(start - surroundings) < 1:
        return
    first, far, constant = Q(start, "degC"), Q(surroundings, "degC"), Q(tau, "min")
    later = temperature_after(Q(share * tau, "min"), first, far, constant)
    # A rounding of 1e-13 of 1300 K, divided by what is left of at least 1 K times e^-4.
    assert_close(time_to_reach(later, first, far, constant), Q(share * tau, "min"), relative=1e-6)
    assert_close(time_constant_from(first, later, far, Q(share * tau, "min")), constant, relative=1e-6)
    assert min(start, surroundings) - 1e-9 <= later.magnitude <= max(start, surroundings) + 1e-9


@given(start=readings, surroundings=readings, tau=times, one=times, two=times)
def test_two_waits_are_one_long_wait(start, surroundings, tau, one, two):
    far, constant = Q(surroundings, "degC"), Q(tau, "min")
    half_way = temperature_after(Q(one, "min"), Q(start, "degC"), far, constant)
    in_two = temperature_after(Q(two, "min"), half_way, far, constant)
    at_once = temperature_after(Q(one + two, "min"), Q(start, "degC"), far, constant)
    assert_close(in_two, at_once, within=Q(1e-8, "K"))


def test_many_times_and_an_uncertainty():
    many = temperature_after(Q([0, 80, 1e9], "min"), "560 °C", "20 °C", "80 min")
    assert_close(many, Q([560, 20 + 540 / np.e, 20], "degC"), within=Q(1e-9, "K"))
    # dT = distance × t/τ² × dτ: 540 e^-1 / 80 × 4 = 9.93 K
    assert temperature_after("80 min", "560 °C", "20 °C", "80 ± 4 min").magnitude.std_dev == pytest.approx(
        9.933, abs=0.001
    )
    assert time_to_reach("20 °C", "20 °C", "900 °C", "1 h") == Q(0, "h")


@pytest.mark.parametrize("target, start, surroundings, words", [
    ("900 °C", "20 °C", "850 °C", "never gets"), ("850 °C", "20 °C", "850 °C", "never gets"), ("10 °C", "560 °C", "20 °C", "never gets"),
    ("600 °C", "560 °C", "20 °C", "moves away"), ("30 °C", "20 °C", "20 °C", "stays there"),
])  # fmt: skip
def test_what_is_never_reached_is_told(target, start, surroundings, words):
    with pytest.raises(RangeProblem, match=words):
        time_to_reach(target, start, surroundings, "80 min")
    with pytest.raises(RangeProblem, match=words):
        time_constant_from(start, target, surroundings, "80 min")


def test_what_tells_nothing_is_refused():
    with pytest.raises(RangeProblem, match="no time constant"):
        time_constant_from("500 °C", "500 °C", "20 °C", "5 min")
    with pytest.raises(UnitProblem):
        temperature_after("5 min", Q(5, "delta_degC"), "20 °C", "5 min")
    with pytest.raises(RangeProblem):
        temperature_after("5 min", "50 °C", "20 °C", "0 min")


def test_hostile_text_is_refused():
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        for place in range(4):
            arguments = ["5 min", "50 °C", "20 °C", "5 min"]
            arguments[place] = text
            with pytest.raises(LabError):
                temperature_after(*arguments)
        for function, good in ((time_to_reach, "80 min"), (time_constant_from, "80 min")):
            with pytest.raises(LabError):
                function(text, "500 °C", "20 °C", good)
