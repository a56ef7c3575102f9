"""Ranges: typed, carried through a sum, and what drives their width."""

import math

import pytest
from helpers import assert_close
from hostile import HOSTILE
from hypothesis import assume, given
from hypothesis import strategies as st
from uncertainties import ufloat

from labkit.errors import LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.units import EXAMPLES, Q, Range, agrees, as_range, certain, range_from, read_range

SMALL = st.floats(1e-3, 1e3)
SHARES = st.floats(0, 1)


def span(low, likely, high, unit="g", why=""):
    return Range(Q(low, unit), Q(likely, unit), Q(high, unit), why)


@st.composite
def spans(draw, unit="g"):
    low, likely, high = sorted(draw(st.tuples(SMALL, SMALL, SMALL)))
    return span(low, likely, high, unit)


def at(given_span, share):
    """Return the value a given share of the way from low to high."""
    low, high = given_span.low.magnitude, given_span.high.magnitude
    return Q(min(max(low + share * (high - low), low), high), given_span.low.units)


def assert_brackets(result, sample):
    slack = 1e-12 * abs(sample.magnitude)  # the last bits of a float product
    sample = sample.to(result.low.units)
    assert result.low.magnitude - slack <= sample.magnitude <= result.high.to(result.low.units).magnitude + slack


# ----------------------------------------------------------------------------- carried through a sum
@given(spans("g"), spans("percent"), spans("mL"), SHARES, SHARES, SHARES)
def test_the_range_of_a_product_and_quotient_brackets_every_sample(mass, share, volume, one, two, three):
    def concentration(mass, share, volume):
        return (mass * share / volume).to("g/L")

    result = range_from(concentration, mass=mass, share=share, volume=volume)
    assert_brackets(result, concentration(at(mass, one), at(share, two), at(volume, three)))
    assert result.low <= result.likely <= result.high


@given(spans(), spans())
def test_the_ends_are_the_worst_and_the_best_that_can_fall_together(one, two):
    result = range_from(lambda one, two: one / two, one=one, two=two)
    assert_close(result.low, one.low / two.high, relative=1e-12)
    assert_close(result.likely, one.likely / two.likely, relative=1e-12)
    assert_close(result.high, one.high / two.low, relative=1e-12)


@given(spans(), spans(), SHARES, SHARES)
def test_a_difference_is_bracketed_too(one, two, share_one, share_two):
    result = range_from(lambda one, two: one - two, one=one, two=two)
    sample = at(one, share_one) - at(two, share_two)
    slack = Q(1e-9, "g")  # a difference of nearly equal numbers keeps the bits of the larger
    assert result.low - slack <= sample <= result.high + slack


@given(spans(), spans(), spans())
def test_drivers_come_widest_first_and_only_if_they_do_anything(one, two, three):
    result = range_from(
        lambda one, two, three, still: one * two / three + still, one=one, two=two, three=three, still=Q(1, "g")
    )
    widths = [high.magnitude - low.magnitude for _, low, high in result.drivers]
    assert widths == sorted(widths, reverse=True) and all(width > 0 for width in widths)
    assert {name for name, _, _ in result.drivers} <= {"one", "two", "three"}
    assert result.driver == (result.drivers[0][0] if result.drivers else "")
    for _, low, high in result.drivers:  # one input alone never reaches beyond all together
        assert_brackets(result, low)
        assert_brackets(result, high)


def test_the_driver_is_the_input_that_was_guessed_worst():
    # 20 g ± 10 % times a share known to a factor of ten: the share drives, by hand 1 to 10 g at 20 g.
    result = range_from(lambda mass, share_kept, scale: mass * share_kept * scale,
                        mass=span(18, 20, 22), share_kept=span(0.05, 0.2, 0.5, "dimensionless"), scale=1)  # fmt: skip
    assert [name for name, _, _ in result.drivers] == ["share kept", "mass"]
    assert result.driver == "share kept"
    (_, low, high), (_, low_mass, high_mass) = result.drivers
    assert_close(low, Q(1, "g"), within=Q(1e-9, "g"))
    assert_close(high, Q(10, "g"), within=Q(1e-9, "g"))
    assert_close(low_mass, Q(3.6, "g"), within=Q(1e-9, "g"))
    assert_close(high_mass, Q(4.4, "g"), within=Q(1e-9, "g"))
    assert_close(result.low, Q(0.9, "g"), within=Q(1e-9, "g"))
    assert_close(result.high, Q(11, "g"), within=Q(1e-9, "g"))


def test_without_ranges_a_sum_has_no_width_and_no_driver():
    result = range_from(lambda mass: 2 * mass, mass=Q(3, "g"))
    assert result.low == result.likely == result.high == Q(6, "g")
    assert result.drivers == () and result.driver == ""
    assert range_from(lambda mass: 2 * mass, mass=certain(Q(3, "g"))).drivers == ()


def test_units_may_differ_between_the_ends():
    mixed = Range(Q(500, "mg"), Q(1, "g"), Q(0.002, "kg"))
    result = range_from(lambda mass: 3 * mass, mass=mixed)
    assert_close(result.low, Q(1.5, "g"), within=Q(1e-9, "g"))
    assert_close(result.high, Q(6, "g"), within=Q(1e-9, "g"))
    assert_close(mixed.to("g").low, Q(0.5, "g"), within=Q(1e-12, "g"))


def test_plain_numbers_and_thermometer_readings_can_be_carried():
    numbers = range_from(lambda x: x.magnitude**2, x=Range(1, 2, 3))
    assert (numbers.low, numbers.high) == (Q(1), Q(9)) and numbers.driver == "x"
    warm = range_from(lambda reading: reading, reading=span(500, 550, 600, "degC"))
    assert (warm.low, warm.high) == (Q(500, "degC"), Q(600, "degC")) and warm.driver == "reading"


def test_a_likely_value_outside_the_corners_still_lies_in_the_range():
    # x (1 - x) rises and falls: zero at both ends, most at the middle.
    result = range_from(lambda x: x * (1 - x), x=Range(0, 0.5, 1))
    assert result.low == Q(0) and result.high == result.likely == Q(0.25)


# --------------------------------------------------------------------------------------- by itself
def test_a_range_runs_from_low_over_likely_to_high():
    for low, likely, high in [(2, 1, 3), (1, 4, 3), (3, 2, 1), (math.nan, 1, 2), (1, math.nan, 2), (1, 2, math.nan)]:
        with pytest.raises(RangeProblem, match="low over likely to high"):
            span(low, likely, high)
    with pytest.raises(RangeProblem, match="one kind"):
        Range(Q(1, "g"), Q(2, "mL"), Q(3, "g"))
    with pytest.raises(RangeProblem, match="one kind"):
        Range(1, 2, Q(3, "g"))


def test_a_range_cannot_be_changed_and_keeps_its_reason():
    guess = span(1, 2, 3, why="from memory")
    assert guess.why == "from memory" and guess.driver == ""
    with pytest.raises(AttributeError):
        guess.low = Q(0, "g")
    assert guess.to("mg").why == "from memory"
    assert certain(Q(1, "g"), "weighed").why == "weighed"
    assert certain(2).likely == Q(2)


# ------------------------------------------------------------------------------------------- typed
@pytest.mark.parametrize("text, need, low, likely, high, unit", [
    ("4 % to 40 %", "[]", 4, 22, 40, "percent"), ("4 to 40 %", "[]", 4, 22, 40, "percent"), ("4% to 40%", "[]", 4, 22, 40, "percent"),
    ("4 % to 40 %, likely 18 %", "[]", 4, 18, 40, "percent"), ("4 to 40 %, likely 18", "[]", 4, 18, 40, "percent"), ("4 to 40 %,likely 18 %", "[]", 4, 18, 40, "percent"),
    ("5 to 12 g, likely 8 g", "[mass]", 5, 8, 12, "g"), ("5 g to 12 g", "[mass]", 5, 8.5, 12, "g"), ("500 mg to 2 g", "[mass]", 0.5, 1.25, 2, "g"),
    ("8 ± 3 g", "[mass]", 5, 8, 11, "g"), ("8 g", "[mass]", 8, 8, 8, "g"), ("8 g ± 25 %", "[mass]", 6, 8, 10, "g"), ("0,5 to 1,5 g", "[mass]", 0.5, 1, 1.5, "g"),
    ("0.5 to 5e1 g", "[mass]", 0.5, 25.25, 50, "g"), ("0.5 to 5×10¹ g", "[mass]", 0.5, 25.25, 50, "g"), ("1e-3 to 2e-3 mol/L", "[concentration]", 1e-3, 1.5e-3, 2e-3, "mol/L"),
    ("500 to 600 °C", "[temperature]", 500, 550, 600, "degC"), ("550 ± 10 °C", "[temperature]", 540, 550, 560, "degC"), ("−5 to 5 °C", "[temperature]", -5, 0, 5, "degC"),
    ("0.1 to 0.3", "[]", 0.1, 0.2, 0.3, ""), ("0.2", "[]", 0.2, 0.2, 0.2, ""), ("2 to 2 g", "[mass]", 2, 2, 2, "g"),
    ("1 to 10 likely 3", "[]", 1, 3, 10, ""), ("1 to 10; likely 3", "[]", 1, 3, 10, ""), ("4 to 40 % likely 18 %.", "[]", 4, 18, 40, "percent"),
    ("1 h 15 min to 2 h", "[time]", 75, 97.5, 120, "min"), ("1 h to 1 h 30 min, likely 70 min", "[time]", 60, 70, 90, "min"), ("0.5 to 2 per hour", "[rate]", 0.5, 1.25, 2, "1/hour"),
])  # fmt: skip
def test_a_typed_range_is_read_as_meant(text, need, low, likely, high, unit):
    for got in (read_range(text, need), as_range(text, need)):
        for found, expected in ((got.low, low), (got.likely, likely), (got.high, high)):
            assert_close(found, Q(expected, unit), within=Q(1e-9, "delta_degC" if unit == "degC" else unit))
        assert got.why == "typed"


@pytest.mark.parametrize("text, need, parts", [
    ("12 to 5 g", "[mass]", ["what you got", "lower end first"]),
    ("5 to 12 g, likely 30 g", "[mass]", ["likely value must lie between the ends.", "Type 5 to 12 g, likely 8.5 g."]),
    ("12 to 5 %", "[]", ["lower end first. Type 5 to 12 %."]),
    ("100 to 60 min", "[time]", ["lower end first. Type 60 to 100 min."]),
    ("100 to 60 min, likely 80", "[time]", ["Type 60 to 100 min, likely 80 min."]),
    ("2 h to 90 min", "[time]", ["Type 90 min to 2 h."]),
    ("580 to 520 °C", "[temperature]", ["Type 520 to 580 °C."]),
    ("2 to 0.5 /h", "[rate]", ["Type 0.5 to 2 /h."]),
    ("35-10 %", "[]", ["Type 10 to 35 %."]),
    ("1 to 1 h 30 min", "[time]", ["“1” is a number without a unit", "what you got"]),
    ("1 h to 1 h 30 min, likely 1", "[time]", ["without a unit"]),
    ("3:30 to 4 h", "[time]", ["type 3 h 30 min"]),
    ("750 to 800 C", "[temperature]", ["For a temperature type 800 °C"]),
    ("1 to 10 likely 3 likely 4", "[]", ["“likely” is not a unit"]),
    ("4-40 %", "[]", ["what you got", "“to”. Type a range as 4 % to 40 %."]),
    ("4 – 40 %", "[]", ["Type a range as 4 % to 40 %."]),
    ("4 %—40 %", "[]", ["Type a range as 4 % to 40 %."]),
    ("2.5-3 g.", "[mass]", ["Type a range as 2.5 g to 3 g."]),
    ("2g-4g", "[mass]", ["Type a range as 2 g to 4 g."]),
    ("2-4 mL", "[mass]", ["“4 mL” is a volume", "a mass"]),
    ("40-4 %", "[]", ["lower end first"]),
    ("4 to", "[mass]", ["no range yet. Type a range as 2 g to 3 g"]),
    ("4 g - 5 g - 6 g", "[mass]", ["no range yet", "2 g to 3 g"]),
    ("4 to 12", "[mass]", ["without a unit", "what you got", "2.5 g"]),
    ("4 to 12 mL", "[mass]", ["“12 mL” is a volume", "a mass", "2.5 g"]),
    ("4 mL to 12 g", "[mass]", ["“4 mL” is a volume", "a mass"]),
    ("4 ± 1 to 12 g", "[mass]", ["“to” or “±”, not both"]),
    ("4 to 12 to 20 g", "[mass]", ["two ends only", "2 g to 3 g"]),
    ("1,250 to 2,500 g", "[mass]", ["two ways"]),
    ("4 to 5 Mg", "[mass]", ["mean mg?", "what you got"]),
    (" to ", "[mass]", ["Nothing is typed", "a mass"]),
    ("low to high g", "[mass]", ["does not start with a number"]),
    ("", "[mass]", ["Nothing is typed"]),
    ("20 C", "[temperature]", ["coulomb"]),
    ("8 ± 3 mL", "[mass]", ["a volume", "a mass"]),
])  # fmt: skip
def test_a_mistyped_range_is_told_what_to_type(text, need, parts):
    for function in (read_range, as_range):
        with pytest.raises(ReadingProblem) as problem:
            function(text, need, "what you got")
        for part in parts:
            assert part in str(problem.value)
        assert len(str(problem.value)) < 400 and ".." not in str(problem.value)
        assert "One value" not in str(problem.value) and "one value" not in str(problem.value)


@pytest.mark.parametrize("need", EXAMPLES)
def test_the_range_a_message_tells_to_type_can_be_typed_and_is_of_the_kind(need):
    with pytest.raises(ReadingProblem, match="no range yet") as problem:
        read_range("4 to", need)
    typed = str(problem.value).partition(" as ")[2].rstrip(".")
    assert agrees(read_range(typed, need).likely, need)
    assert read_range(typed, need).low < read_range(typed, need).high


@pytest.mark.parametrize("example, need, told", [
    ("1 to 10, likely 3", "[]", "Type a range as 1 to 10, likely 3."), ("34 m³", "[volume]", "Type a range as 27 m³ to 41 m³, likely 34 m³."),
    ("880 °C", "[temperature]", "Type a range as 840 °C to 920 °C, likely 880 °C."), ("0.8 /h", "[rate]", "Type a range as 0.64 /h to 0.96 /h, likely 0.8 /h."),
])  # fmt: skip
def test_the_example_of_a_range_can_be_given(example, need, told):
    with pytest.raises(ReadingProblem, match="no range yet") as problem:
        read_range("4 to", need, "it", example)
    assert str(problem.value).endswith(told)
    typed = told.removeprefix("Type a range as ").rstrip(".")
    assert agrees(read_range(typed, need).likely, need)


@given(st.integers(0, 10**6), st.integers(0, 10**6), st.sampled_from(["g", "%", "°C", "/h", "m³"]))
def test_a_range_the_wrong_way_round_is_turned_with_its_own_ends(one, two, symbol):
    assume(one != two)
    need = {"g": "[mass]", "%": "[]", "°C": "[temperature]", "/h": "[rate]", "m³": "[volume]"}[symbol]
    low, high = sorted((one / 100, two / 100))
    with pytest.raises(ReadingProblem, match="lower end first") as problem:
        read_range(f"{high!r} to {low!r} {symbol}", need)
    turned = read_range(str(problem.value).partition(". Type ")[2].rstrip("."), need)
    assert (turned.low.magnitude, turned.high.magnitude) == (low, high)


def test_as_range_takes_text_numbers_quantities_and_ranges():
    assert as_range("8 g", "[mass]").likely == Q(8, "g")
    assert as_range(Q(8, "g"), "[mass]").high == Q(8, "g")
    assert as_range(0.2, "[]").low == Q(0.2)
    given_span = span(1, 2, 3)
    assert as_range(given_span, "[mass] > 0") is given_span


@pytest.mark.parametrize("value, problem", [
    (8, UnitProblem), (Q(8, "mL"), UnitProblem), (span(1, 2, 3, "mL"), UnitProblem), (None, UnitProblem), ([1, 2], UnitProblem),
    (span(-1, 2, 3), RangeProblem), (span(0, 2, 3), RangeProblem), ("-1 to 2 g", RangeProblem), ("0 g", RangeProblem), ("2 ± 3 g", RangeProblem), (Q(-8, "g"), RangeProblem),
])  # fmt: skip
def test_as_range_checks_every_end(value, problem):
    with pytest.raises(problem, match="‘what you got’"):
        as_range(value, "[mass] > 0", "what you got")


@given(
    st.text(max_size=40),
    st.sampled_from(["", "4 to ", " to 12 g", ", likely 8 g", "4 to 12 g, likely "]),
    st.booleans(),
)
def test_any_text_gives_a_range_or_a_kind_word(text, part, before):
    text = part + text if before else text + part
    for need in ("[mass]", "[temperature]", "[]"):
        try:
            assert isinstance(as_range(text, need), Range)
        except LabError as problem:
            assert 0 < len(str(problem)) < 450


def test_hostile_text_in_a_range_gets_a_kind_word():
    refused = 0
    for text in HOSTILE:
        for typed in (text, f"{text} to 5 g", f"5 to {text}", f"1 to 5 g, likely {text}"):
            try:
                assert isinstance(as_range(typed, "[mass]"), Range)
            except LabError as problem:
                refused += 1
                assert 0 < len(str(problem)) < 450
    assert refused > 600


@given(SMALL, SMALL, st.sampled_from(["g", "mL", "%", "°C"]))
def test_there_and_back(one, two, symbol):
    low, high = sorted((one, two))
    assume("e" not in f"{low!r}{high!r}")
    need = {"g": "[mass]", "mL": "[volume]", "%": "[]", "°C": "[temperature]"}[symbol]
    got = read_range(f"{low!r} to {high!r} {symbol}", need)
    assert (got.low.magnitude, got.high.magnitude) == (low, high)
    assert got.low.magnitude <= got.likely.magnitude <= got.high.magnitude


# -------------------------------------------------------------------------- numbers that carry a ±
def test_a_quantity_with_a_spread_counts_as_a_range_of_one_standard_uncertainty():
    given_mass = Q(ufloat(8, 3), "g")
    for got in (as_range(given_mass, "[mass]"), as_range("8 ± 3 g", "[mass]")):
        assert (got.low, got.likely, got.high) == (Q(5, "g"), Q(8, "g"), Q(11, "g"))
    doubled = range_from(lambda mass, times: times * mass, mass=given_mass, times=2)
    assert (doubled.low, doubled.likely, doubled.high) == (Q(10, "g"), Q(16, "g"), Q(22, "g"))
    assert doubled.driver == "mass"
    warm = as_range(Q(ufloat(550, 10), "degC"), "[temperature]")
    assert (warm.low, warm.high) == (Q(540, "degC"), Q(560, "degC"))
    with pytest.raises(RangeProblem):  # one standard uncertainty reaches below zero
        as_range(Q(ufloat(2, 3), "g"), "[mass] > 0")
