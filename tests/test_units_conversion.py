"""Units that a person types for a result: known by a closed list, never worked out, kindly refused."""

import time

import numpy as np
import pint
import pytest
from helpers import assert_close
from hostile import GROWING, HOSTILE, PYTHON, SUMS
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from labkit.errors import LabError, RangeProblem, UnitProblem
from labkit.units import (
    Q,
    Range,
    as_range,
    converted,
    nominal,
    number,
    number_text,
    printed,
    printed_range,
    range_from,
    read,
    refuse_array,
    split_need,
    unit_from_text,
    ureg,
)
from labkit.units.symbols import SLIPS, SYMBOLS

SECONDS = 0.005  # an answer while somebody is typing
MASSES = Range(Q(1, "g"), Q(2, "g"), Q(3, "g"))


# ---------------------------------------------------------------------------------- what is understood
@pytest.mark.parametrize("text, unit", [
    ("mg", "milligram"), (" mg ", "milligram"), ("mol/L", "mole / liter"), ("mol L⁻¹", "mole / liter"), ("W/m²", "watt / meter ** 2"), ("W/m**2", "watt / meter ** 2"),
    ("J/(g·K)", "joule / gram / kelvin"), ("%", "percent"), ("°C", "degree_Celsius"), ("°C/min", "delta_degree_Celsius / minute"), ("µmol/h/g", "micromole / hour / gram"),
    ("1/m**2/s", "1 / meter ** 2 / second"), ("1/mol", "1 / mole"), ("degree_Celsius", "degree_Celsius"), ("delta_degree_Fahrenheit", "delta_degree_Fahrenheit"),
    ("meter ** 3", "meter ** 3"), ("hour * watt", "hour * watt"), ("dimensionless", "dimensionless"), ("", "dimensionless"), ("electron_volt", "electron_volt"),
])  # fmt: skip
def test_a_unit_is_understood(text, unit):
    assert unit_from_text(text) == ureg.Unit(unit)


@pytest.mark.parametrize("symbol", sorted(SYMBOLS))
def test_every_symbol_and_the_librarys_own_name_for_it_are_understood(symbol):
    unit = ureg.Unit(SYMBOLS[symbol])
    assert unit_from_text(symbol) == unit
    assert unit_from_text(str(unit)) == unit
    assert unit_from_text(f"{unit} / mole" if "deg" not in str(unit) else str(unit)) is not None


# ---------------------------------------------------------------------------------- what is refused, and how
WAYS = {
    "printed": lambda unit: printed(Q(2, "g"), unit=unit),
    "range": lambda unit: MASSES.to(unit),
    "range as numbers": lambda unit: MASSES.m_as(unit),
    "printed range": lambda unit: printed_range(MASSES, unit=unit),
    "number": lambda unit: number(Q(2, "g"), unit),
    "converted": lambda unit: converted(Q(2, "g"), unit),
}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("unit, words", [
    ("mL", ["a mass", "a volume", "such as g"]), ("gramm", ["“gramm”", "not a unit"]), ("kg/0", ["“kg/0”"]), ("g)", ["part of a unit"]), ("5 mg", ["more than a unit"]),
    ("Mg", ["mean mg?"]), ("ML", ["mean mL?"]), ("9**9**9**9", ["more than a unit"]), ("g/", ["not finished"]), (3, ["type int"]), (["g"], ["type list"]), ("g" * 99, ["too long"]),
])  # fmt: skip
def test_a_slip_in_a_unit_gets_a_kind_word(way, unit, words):
    with pytest.raises(UnitProblem) as problem:
        WAYS[way](unit)
    assert all(word in str(problem.value) for word in words), str(problem.value)
    assert len(str(problem.value)) < 300


def test_a_change_and_a_reading_are_not_turned_into_each_other():
    with pytest.raises(UnitProblem, match="a temperature change"):
        printed(Q(20, "delta_degC"), unit="degC")
    assert printed(Q(20, "degC"), unit="K") == "293 K"


def test_there_are_slips_to_try():
    assert len(SLIPS) > 10 and len(HOSTILE) > 200
    for slip in SLIPS:
        with pytest.raises(UnitProblem):
            unit_from_text(slip)


@pytest.mark.parametrize(
    "text", (*HOSTILE, *(pattern * 10_000 for pattern in GROWING)), ids=lambda text: ascii(text)[1:30]
)
def test_hostile_text_for_a_unit_is_answered_kindly_and_at_once(text):
    for ask in (unit_from_text, lambda text: Q(1, text)):
        times = []
        for place in range(5):
            begin = time.perf_counter()
            try:
                ask(text)
            except UnitProblem as problem:
                message = str(problem)
                assert 0 < len(message) < 400 and message.isprintable()
                message.encode("utf-8")
            if place:  # after a warm-up
                times.append(time.perf_counter() - begin)
        assert min(times) < SECONDS


@given(st.text(alphabet="gmLol0123456789*/^()·. -+%°C_", max_size=30) | st.text(max_size=90))
def test_any_text_for_a_unit_is_a_unit_or_a_unit_problem(text):
    for ask in (unit_from_text, lambda text: Q(1, text)):
        try:
            ask(text)
        except UnitProblem as problem:
            str(problem).encode("utf-8")


def test_no_sum_reaches_the_parser_of_the_unit_library(monkeypatch):
    seen = []
    real = type(ureg).parse_units
    monkeypatch.setattr(
        type(ureg),
        "parse_units",
        lambda self, text, *rest, **more: seen.append(text) or real(self, text, *rest, **more),
    )
    ureg.Unit("kilogram * hectopascal")
    assert seen == ["kilogram * hectopascal"]  # the trap is set
    for text in (*SUMS, *PYTHON, "9**9**9", "kg/0", "g)", "(g", "2*g", "g+g", "g-g", "g**999", "g**g", "1/2"):
        for ask in (unit_from_text, lambda text: Q(1, text)):
            try:
                ask(text)
            except UnitProblem:
                pass
    for text in seen:
        assert not any(mark in text for mark in "()+'\"[]{}.:;,=<>"), text


@pytest.mark.parametrize("value, unit", [
    (1, 3), (1, None), (1, ["g"]), (1, "g)"), (1, "kg/0"), (1, "gramm"), (1, "9**9**9"), ("5", "g"), (["1", "2"], "g"), ([1, "2"], "g"), (np.array(["1"]), "g"), (None, "g"),
    ([None], "g"), ([[1], [2, 3]], "g"), ({}, "g"), (object(), "g"), (b"1", "g"), (Q(1, "g"), "mL"), (MASSES, "g"), (1j, "nonsense"),
])  # fmt: skip
def test_q_refuses_what_is_no_number_or_no_unit(value, unit):
    with pytest.raises(UnitProblem) as problem:
        Q(value, unit)
    assert 0 < len(str(problem.value)) < 300


@pytest.mark.parametrize("value", [1, 1.5, np.float64(2), np.int64(2), np.array(2.0), [1, 2], (1, 2), np.array([1.0, 2.0]), ufloat(1, 0.1), [ufloat(1, 0.1), 2], Q(1, "kg"), []])  # fmt: skip
def test_q_takes_numbers_of_every_kind(value):
    assert Q(value, "g").units == ureg.Unit("gram")


# ---------------------------------------------------------------------------------- plain numbers
def test_number_and_nominal_leave_the_uncertainty_out():
    measured, several = (
        Q(ufloat(2.5, 0.1), "g"),
        Q(np.array([[ufloat(1, 0.1), 2], [3, ufloat(4, 0.2)]], dtype=object), "g"),
    )
    assert number(measured, "mg") == 2500 and type(number(measured, "mg")) is float
    assert nominal(measured).magnitude == 2.5 and nominal(measured).units == measured.units
    assert nominal(several).magnitude.tolist() == [[1, 2], [3, 4]] and nominal(several).magnitude.dtype == float
    assert number(several, "mg").tolist() == [[1000, 2000], [3000, 4000]]
    assert number(Q(20, "degC"), "K") == pytest.approx(293.15, abs=1e-9)  # 0 °C is 273.15 K by definition
    assert number(Q([5, 10], "percent"), "dimensionless").tolist() == [0.05, 0.1]
    single = Q(3, "g")
    assert nominal(single) is single and type(number(single, "g")) is float


def test_a_range_gives_its_ends_and_their_numbers():
    assert MASSES.ends == (Q(1, "g"), Q(2, "g"), Q(3, "g"))
    assert MASSES.m_as("mg") == (1000, 2000, 3000) and all(type(size) is float for size in MASSES.m_as("mg"))


def test_the_ends_of_a_range_are_single_plain_numbers():
    for end in (Q(ufloat(1, 0.1), "g"), Q([1, 2], "g")):
        for ends in ((end, Q(5, "g"), Q(9, "g")), (Q(0, "g"), Q(1, "g"), Q(9, "g") + end), (end, end, end)):
            with pytest.raises(RangeProblem, match="range"):
                Range(*ends)
    carried = range_from(lambda share: share * Q(ufloat(10, 1), "g"), share=Range(0.1, 0.2, 0.4))
    assert [type(end.magnitude) for end in carried.ends] == [float] * 3
    assert_close(carried.high, Q(4, "g"), relative=1e-12)
    for several in (
        lambda: range_from(lambda x: x * Q([1, 2], "g"), x=Range(1, 2, 3)),
        lambda: as_range(Q([1, 2], "g"), "[mass]"),
    ):
        with pytest.raises(RangeProblem, match="array of 2"):
            several()


# ---------------------------------------------------------------------------------- what printed() refuses
@pytest.mark.parametrize("call, words", [
    (lambda: printed(Q([1, 2], "g")), "array of 2"), (lambda: printed([1, 2, 3]), "array of 3"), (lambda: printed(1.5, 0), "at least 1"), (lambda: printed(1.5, 2.5), "whole number"),
    (lambda: printed(1.5, 99), "at most 15"), (lambda: number_text(1e9, 0), "at least 1"), (lambda: printed(MASSES), "printed_range"), (lambda: printed("5 g"), "read"),
    (lambda: printed(None), "number"), (lambda: printed_range(MASSES, 0), "at least 1"),
])  # fmt: skip
def test_what_cannot_be_printed_gets_a_kind_word(call, words):
    with pytest.raises(LabError, match=words):
        call()


@pytest.mark.parametrize("need, parts", [
    ("[mass]", ("[mass]", "")), ("[mass] > 0", ("[mass]", ">")), ("[] >= 0", ("[]", ">=")), ("[temperature change]", ("[temperature change]", "")),
])  # fmt: skip
def test_a_need_is_a_dimension_and_a_sign(need, parts):
    assert split_need(need) == parts


def test_several_values_are_refused_by_name():
    refuse_array("firing", mass=Q(1, "g"))
    with pytest.raises(RangeProblem, match=r"firing\(\) takes one value at a time for ‘mass’, but it got 2"):
        refuse_array("firing", mass=Q([1, 2], "g"))


def test_the_parser_of_the_unit_library_would_work_out_a_sum():
    assert ureg.parse_expression("2 * 3 gram").magnitude == 6  # why nothing typed may reach it
    with pytest.raises(pint.DimensionalityError):
        Q(1, "g").to("mL")
    assert read("6 g") == Q(6, "g")


def test_the_short_way_gives_what_pint_gives():
    units = [ureg.Unit(name) for name in sorted({*SYMBOLS.values(), "g/L", "W/m**2", "mmol/h", "kWh/m**2", "1/h"})]
    pairs = [(a, b) for a in units for b in units if a.dimensionality == b.dimensionality]
    assert len(pairs) > 500
    for start, wanted in pairs:
        for size in (-3.7, 0.0, 451.3):
            try:
                expected = ureg.Quantity(size, start).to(wanted).magnitude
            except pint.PintError:
                with pytest.raises(UnitProblem):
                    number(ureg.Quantity(size, start), wanted)
                continue
            assert number(ureg.Quantity(size, start), wanted) == expected
            found = converted(ureg.Quantity(size, start), wanted)
            assert found.magnitude == expected and found.units == wanted
