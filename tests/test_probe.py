"""Type K against printed tables, and tolerances against the standards' own words."""

import time

import numpy as np
import pytest
from helpers import assert_close, published
from hostile import HOSTILE
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import ChoiceProblem, LabError, RangeProblem, UnitProblem
from labkit.heat.probe import probe_temperature, probe_tolerance, probe_voltage, probes
from labkit.units import Q

ROWS = published("type_k")
LAST_DIGIT = Q(0.00051, "mV")  # tables are printed to 0.001 mV; half of that, and a tie at 600 °C


def test_there_are_enough_rows_on_both_sides_of_zero():
    assert sum(float(row["temperature_degC"]) < 0 for row in ROWS) > 5 and len(ROWS) > 25


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["temperature_degC"])
def test_voltages_agree_with_printed_tables(row):
    temperature = Q(float(row["temperature_degC"]), "degC")
    assert_close(probe_voltage(temperature), Q(float(row["emf_mV"]), "mV"), within=LAST_DIGIT)


@pytest.mark.parametrize("row", [row for row in ROWS if float(row["temperature_degC"]) >= -200], ids=lambda row: row["temperature_degC"])  # fmt: skip
def test_temperatures_agree_with_printed_tables(row):
    # 0.0005 mV of rounding is 0.04 °C at -200 °C, where type K gives 0.015 mV per degree, and less above.
    found = probe_temperature(Q(float(row["emf_mV"]), "mV"))
    assert_close(found, Q(float(row["temperature_degC"]), "degC"), within=Q(0.04, "K"))


@given(st.floats(-270, 1372), st.floats(-20, 60))
def test_there_and_back(celsius, junction):
    there = probe_voltage(Q(celsius, "degC"), Q(junction, "degC"))
    try:
        back = probe_temperature(there, Q(junction, "degC"))
    except RangeProblem:  # a rounding beyond either end
        assert celsius < -269.999 or celsius > 1371.999
    else:
        assert_close(back, Q(celsius, "degC"), within=Q(0.001, "K"))


def test_the_junction_is_added_as_voltage():
    # Law of intermediate temperatures, with the printed voltages: E(550, 25) = E(550, 0) - E(25, 0).
    assert_close(probe_voltage("550 °C", "25 °C"), Q(22.776 - 1.000, "mV"), within=Q(0.001, "mV"))
    assert_close(probe_temperature("21.776 mV", "25 °C"), Q(550, "degC"), within=Q(0.02, "K"))
    # The slip of adding degrees: the table puts 21.776 mV at 526.5 °C, and 25 more are not 550.
    wrong = probe_temperature("21.776 mV").magnitude + 25
    assert wrong == pytest.approx(551.5, abs=0.1)


def test_a_million_voltages_are_turned_at_once():
    millivolts = Q(np.linspace(-6, 54, 1_000_000), "mV")
    probe_temperature("20 mV")
    start = time.perf_counter()
    celsius = probe_temperature(millivolts).magnitude
    assert time.perf_counter() - start < 1  # 0.1 s on an idle machine; room for a busy one
    assert np.all(np.diff(celsius) > 0)


@pytest.mark.parametrize("grade, celsius, kelvin", [
    ("ASTM standard", 100, 2.2), ("ASTM standard", 550, 4.125), ("ASTM standard", 700, 5.25), ("ASTM special", 550, 2.2),
    ("ASTM special", 700, 2.8), ("IEC class 1", 375, 1.5), ("IEC class 1", 20, 1.5), ("IEC class 1", 1000, 4.0),
    ("IEC class 2", 333, 2.5), ("IEC class 2", 700, 5.25),
])  # fmt: skip
def test_tolerances_are_those_of_the_standards(grade, celsius, kelvin):
    # The crossing points 375 °C and 333 °C are printed in the tolerance tables; exact but for 0.1 % there.
    assert_close(probe_tolerance(Q(celsius, "degC"), grade), Q(kelvin, "K"), relative=1e-3)


def test_an_unknown_probe_is_worse_than_any_known_one():
    known = [grade for grade in probes() if grade != "unknown"]
    assert len(known) == 4
    for celsius in (20, 550, 900):
        worst = max(probe_tolerance(Q(celsius, "degC"), grade).magnitude for grade in known)
        assert probe_tolerance(Q(celsius, "degC")).magnitude > worst


def test_arrays_and_text_give_the_same():
    assert_close(probe_voltage(Q([20.0, 550.0], "degC"))[1], probe_voltage("550 °C"), relative=1e-12)
    assert_close(probe_voltage("1022 °F"), probe_voltage("550 °C"), relative=1e-9)
    assert probe_tolerance(Q([20.0, 550.0], "degC"), "ASTM special").magnitude.tolist() == pytest.approx([1.1, 2.2])


def test_what_cannot_be_is_refused():
    for ask in (lambda: probe_voltage("1400 °C"), lambda: probe_voltage("20 °C", "1400 °C"), lambda: probe_temperature("60 mV"),
                lambda: probe_temperature("-7 mV"), lambda: probe_tolerance("1100 °C", "IEC class 1")):  # fmt: skip
        with pytest.raises(RangeProblem):
            ask()
    with pytest.raises(UnitProblem):
        probe_voltage(Q(20, "delta_degC"))
    with pytest.raises(ChoiceProblem, match="ASTM special"):
        probe_tolerance("20 °C", "class 1")


def test_hostile_text_ends_in_a_kind_word():
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        for ask in (lambda t: probe_voltage(t), lambda t: probe_voltage("20 °C", t), lambda t: probe_temperature(t),
                    lambda t: probe_temperature("5 mV", t), lambda t: probe_tolerance(t), lambda t: probe_tolerance("20 °C", t)):  # fmt: skip
            try:
                ask(text)
            except LabError:
                pass


def test_a_spread_is_refused_and_not_dropped():
    for call in (lambda: probe_voltage("550 ± 5 °C"), lambda: probe_voltage("550 °C", "20 ± 2 °C"), lambda: probe_temperature("22 ± 0.1 mV"),
                 lambda: probe_temperature("22 mV", "20 ± 2 °C"), lambda: probe_tolerance("550 ± 5 °C")):  # fmt: skip
        with pytest.raises(RangeProblem, match="without ±"):
            call()
