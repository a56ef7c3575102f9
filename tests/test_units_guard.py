"""The guard before every sum: the right kind of quantity comes through, the rest gets a sentence."""

import math

import numpy as np
import pint
import pytest
from helpers import assert_close
from hostile import HOSTILE
from uncertainties import ufloat

from labkit.errors import LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.units import Q, Range, certain, checked, is_quantity, read, takes
from labkit.units.dimensions import EXAMPLES, agrees, in_words
from labkit.units.guard import size_fault, typed_text

ONE_GRAM = Q(1, "g")


@takes(mass="[mass] > 0", rise="[temperature change]", factor="[] >= 0", firing="[temperature]", gas="[volume] >= 0")
def batch(mass=ONE_GRAM, rise=None, factor=1, firing=None, gas=None, note="anything"):
    """Return what came through the guard."""
    return {"mass": mass, "rise": rise, "factor": factor, "firing": firing, "gas": gas, "note": note}


@takes(mass="[mass]")
def weighed(mass):
    return mass


def message_of(problem, function, *args, **kwargs):
    with pytest.raises(problem) as raised:
        function(*args, **kwargs)
    assert type(raised.value) is problem
    message = str(raised.value)
    assert 0 < len(message) < 400
    return message


# ---------------------------------------------------------------------------------- what comes through
@pytest.mark.parametrize("argument, given, expected", [
    ("mass", "2.5 g", Q(2.5, "g")), ("mass", "2,5 kg", Q(2.5, "kg")), ("mass", Q(3, "mg"), Q(3, "mg")),
    ("rise", "20 K", Q(20, "K")), ("rise", Q(20, "delta_degC"), Q(20, "K")), ("rise", Q(-20, "K"), Q(-20, "K")), ("rise", "5 Δ°C", Q(5, "K")),
    ("firing", "550 °C", Q(823.15, "K")), ("firing", Q(0, "K"), Q(0, "K")), ("firing", "-10 °C", Q(263.15, "K")), ("firing", "68 °F", Q(293.15, "K")),
    ("factor", 0.05, Q(0.05)), ("factor", "5 %", Q(0.05)), ("factor", Q(5, "percent"), Q(0.05)), ("factor", 0, Q(0)), ("factor", np.float64(2), Q(2)),
    ("factor", np.int32(2), Q(2)), ("factor", "0.05", Q(0.05)), ("gas", "0 mL", Q(0, "L")), ("gas", Q(1, "cm**3"), Q(1, "mL")),
])  # fmt: skip
def test_the_right_kind_comes_through_as_a_quantity(argument, given, expected):
    got = batch(**{argument: given})[argument]
    assert is_quantity(got)
    assert_close(got.to(expected.units), expected, within=1e-9 * Q(1, str(expected.units)))


def test_a_quantity_is_passed_on_in_the_unit_it_came_in():
    given = Q(3, "mg")
    assert batch(mass=given)["mass"] is given


def test_arguments_by_position_defaults_and_unguarded_ones_are_left_alone():
    assert batch(Q(2, "g"))["mass"] == Q(2, "g")
    got = batch()
    assert got["rise"] is None and got["factor"] == Q(1) and got["note"] == "anything"
    assert batch(note=7)["note"] == 7
    assert batch(rise=None)["rise"] is None


def test_the_function_keeps_its_name_and_its_words():
    assert batch.__name__ == "batch" and "came through" in batch.__doc__
    assert batch.needs["mass"] == "[mass] > 0"


def test_arrays_come_through_whole():
    masses = Q(np.array([1.0, 2.0, 3.0]), "g")
    assert_close(batch(mass=masses)["mass"], masses, relative=1e-15)
    for plain in ([0.1, 0.2], (0.1, 0.2), np.array([0.1, 0.2])):
        assert_close(batch(factor=plain)["factor"], Q(np.array([0.1, 0.2])), within=Q(1e-15))


def test_uncertain_numbers_come_through_with_their_spread():
    assert batch(mass=Q(ufloat(2, 0.1), "g"))["mass"].magnitude.std_dev == 0.1
    assert batch(mass="2 ± 0.1 g")["mass"].magnitude.std_dev == 0.1
    assert batch(factor=ufloat(2, 0.1))["factor"].magnitude.std_dev == 0.1
    several = Q(np.array([ufloat(1, 0.1), ufloat(2, 0.1)]), "g")
    assert batch(mass=several)["mass"] is several
    assert batch(factor=[ufloat(1, 0.1), ufloat(2, 0.1)])["factor"].magnitude[1].std_dev == 0.1


# --------------------------------------------------------------------------------- what is refused
def test_a_thermometer_reading_is_no_temperature_change():
    message = message_of(UnitProblem, batch, rise=Q(20, "degC"))
    for part in (
        "batch()",
        "‘rise’",
        "a temperature change",
        "20 °C is a thermometer reading",
        "rise=Q(20, 'delta_degC')",
        "subtract",
    ):
        assert part in message
    message = message_of(ReadingProblem, batch, rise="20 °C")
    for part in ("batch()", "‘rise’", "a temperature change", "“20 °C” is a thermometer reading", "20 K"):
        assert part in message
    message_of(UnitProblem, batch, rise=Q(68, "degF"))
    message_of(UnitProblem, batch, rise=Q(np.array([20.0, 30.0]), "degC"))


def test_a_temperature_change_is_no_thermometer_reading():
    message = message_of(UnitProblem, batch, firing=Q(20, "delta_degC"))
    for part in ("batch()", "‘firing’", "a thermometer reading", "is a temperature change", "firing='20 °C'"):
        assert part in message


@pytest.mark.parametrize("argument, given, parts", [
    ("mass", 2.5, ["a mass", "2.5 has no unit", "mass='2.5 g'"]),
    ("mass", Q(5, "mL"), ["a mass", "5 mL is a volume", "mass='2.5 g'"]),
    ("mass", Q(5, "percent"), ["a mass", "percentage", "mass='2.5 g'"]),
    ("mass", Q(5), ["a mass", "5 is a number without a unit", "mass='2.5 g'"]),
    ("mass", Q(5, "kg*m"), ["a mass", "some other kind of quantity", "mass='2.5 g'"]),
    ("firing", 550, ["a thermometer reading", "550 has no unit", "firing='20 °C'"]),
    ("factor", Q(5, "g"), ["a plain number or a percentage", "5 g is a mass", "factor='5 %'"]),
    ("gas", Q(2, "mol"), ["a volume", "an amount of substance", "gas='50 mL'"]),
    ("mass", Q(np.arange(100.0), "L"), ["a mass", "is a volume", "mass='2.5 g'"]),
])  # fmt: skip
def test_the_wrong_kind_is_named_with_function_argument_need_given_and_what_to_type(argument, given, parts):
    message = message_of(UnitProblem, batch, **{argument: given})
    for part in ["batch()", f"‘{argument}’", *parts]:
        assert part in message


@pytest.mark.parametrize("thing", [True, False, np.bool_(True), [True], np.array([True]), "text", ["a"], [1, [2, 3]], 1j, None, ..., b"5", {}, {5}, object(), [None], len],
                         ids=lambda thing: repr(thing)[:20])  # fmt: skip
def test_things_that_are_no_numbers_are_refused(thing):
    @takes(factor="[]", mass="[mass]")
    def sum_of(factor=1, mass=ONE_GRAM):
        return factor, mass

    for argument in ("factor", "mass"):
        with pytest.raises((UnitProblem, ReadingProblem)) as raised:
            sum_of(**{argument: thing})
        message = str(raised.value)
        assert "sum_of()" in message and f"‘{argument}’" in message and len(message) < 400


def test_an_argument_that_was_left_out_by_mistake_is_named():
    assert "None has no unit" in message_of(UnitProblem, weighed, None)
    assert "Ellipsis has no unit" in message_of(UnitProblem, weighed, ...)  # answer = ... in an exercise


@pytest.mark.parametrize("argument, given", [
    ("mass", Q(0, "g")), ("mass", Q(-1, "g")), ("mass", "-1 g"), ("mass", "0 g"), ("mass", Q(math.nan, "g")), ("mass", Q(math.inf, "g")),
    ("mass", Q(np.array([1.0, -1.0]), "g")), ("mass", Q(np.array([1.0, math.nan]), "g")), ("mass", Q(ufloat(-1, 0.1), "g")),
    ("mass", Q(np.array([ufloat(1, 0.1), ufloat(-1, 0.1)]), "g")), ("gas", Q(-1, "mL")), ("factor", -0.1), ("factor", "-5 %"),
    ("rise", Q(math.nan, "K")), ("rise", Q(-math.inf, "K")),
])  # fmt: skip
def test_the_wrong_sign_and_what_is_not_finite_are_refused(argument, given):
    message = message_of(RangeProblem, batch, **{argument: given})
    assert "batch()" in message and f"‘{argument}’" in message and "finite" in message


def test_zero_is_told_from_more_than_zero():
    assert "more than zero" in message_of(RangeProblem, batch, mass=Q(0, "g"))
    assert "zero or more" in message_of(RangeProblem, batch, gas=Q(-1, "mL"))
    assert batch(gas=Q(0, "mL"))["gas"] == Q(0, "mL")


@pytest.mark.parametrize(
    "given", [Q(-274, "degC"), Q(-460, "degF"), Q(-1, "K"), "-300 °C", Q(np.array([20.0, -280.0]), "degC")]
)
def test_nothing_is_colder_than_absolute_zero(given):
    assert "absolute zero" in message_of(RangeProblem, batch, firing=given)


def test_the_sign_of_a_reading_counts_from_absolute_zero():
    assert checked("-10 °C", "[temperature] > 0", "room").magnitude == -10
    message_of(RangeProblem, checked, Q(0, "K"), "[temperature] > 0", "room")


def test_a_quantity_of_another_registry_is_told_so():
    other = pint.UnitRegistry()
    for argument, thing in (
        ("mass", other.Quantity(5, "g")),
        ("factor", other.Quantity(5)),
        ("rise", other.Quantity(5, "K")),
    ):
        message = message_of(UnitProblem, batch, **{argument: thing})
        assert "another unit registry" in message and f"‘{argument}’" in message and "labkit.units" in message


def test_a_range_is_told_what_carries_ranges():
    for span in (Range(Q(1, "g"), Q(2, "g"), Q(3, "g")), certain(Q(1, "g"))):
        message = message_of(UnitProblem, batch, mass=span)
        assert "is a range" in message and "range_from()" in message


def test_without_a_function_the_message_still_reads_well():
    message = message_of(UnitProblem, checked, Q(5, "mL"), "[mass]", "mass")
    assert message.startswith("This sum needs a mass for ‘mass’") and "()" not in message
    assert "‘mass’" in message_of(ReadingProblem, checked, "5 mL", "[mass]", "mass")


@pytest.mark.parametrize("value, need, words", [
    (Q(0.0, "min"), "[time] > 0", "has to be more than zero, but it is 0 min"), (Q(-0.5, "1/hour"), "[rate] >= 0", "has to be zero or more, but it is -0.5 /h"),
    (Q(-300.0, "degC"), "[temperature]", "cannot be -300 °C: that is below absolute zero (-273.15 °C)"), (Q(math.inf, "g"), "[mass]", "has to be finite, but it is inf g"),
    (Q(0.0, "g"), "[mass] >= 0", ""), (Q(-5, "degC"), "[temperature]", ""), (Q(ufloat(-1, 0.1), "g"), "[mass] > 0", "has to be more than zero, but it is -1 g"),
])  # fmt: skip
def test_a_fault_of_size_is_said_without_names_of_code(value, need, words):
    assert size_fault(value, need) == words


@pytest.mark.parametrize(
    "text",
    [
        "0.8 /h",
        "5 %",
        "100 cm²",
        "34 m³",
        "20 °C",
        "5 Δ°C",
        "0.1 mol/L",
        "75 min",
        "3",
        "-0.25 g",
        "1013.25 hPa",
        "5 °C/min",
    ],
)
def test_typed_text_is_what_a_person_types(text):
    typed = typed_text(read(text))
    assert read(typed) == read(text)
    assert typed == text or "/" in text  # a rate of heating is read as a change


def test_hostile_text_in_an_argument_gets_a_kind_word():
    refused = 0
    for text in HOSTILE:
        try:
            assert agrees(batch(mass=text)["mass"], "[mass]")
        except LabError as problem:
            refused += 1
            assert 0 < len(str(problem)) < 450, ascii(text)[:60]
    assert refused > 200


def test_a_notebook_is_given_the_sentence_alone():
    with pytest.raises(UnitProblem) as raised:
        batch(mass=2.5)
    lines = raised.value._render_traceback_()
    assert " ".join(lines) == f"UnitProblem: {raised.value}" and max(map(len, lines)) <= 60


def test_q_takes_numbers_and_leaves_text_to_read():
    for text in ("2.5", "2.5 g", "9**9**9**9", "nonsense"):
        assert "read(" in message_of(UnitProblem, Q, text, "g")
    assert "gramm" in message_of(UnitProblem, Q, 2.5, "gramm")


@pytest.mark.parametrize("need", EXAMPLES)
def test_each_kind_is_called_by_its_own_words(need):
    words, example = EXAMPLES[need]
    got = checked(example, need, "it")
    if need not in ("[temperature change]", "[]"):  # 20 K may be either; 5 % is told apart from 5
        assert in_words(got) == words
    others = [other for other in EXAMPLES if other != need and agrees(got, other)]
    alike = ([], ["[temperature]"], ["[temperature change]"], ["[rate]"], ["[frequency]"])
    assert others in alike, f"{need} also passes as {others}"
