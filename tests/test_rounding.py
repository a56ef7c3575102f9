"""Rounding against worked examples of a textbook, Python's decimal numbers and the reader."""

import operator
from decimal import ROUND_HALF_EVEN, Context, Decimal

import numpy as np
import pytest
from helpers import assert_close, published
from hypothesis import assume, example, given
from hypothesis import strategies as st
from uncertainties import ufloat

from labkit.units import (
    Q,
    clock_text,
    figures_in,
    handy,
    number_text,
    printed,
    printed_down,
    printed_range,
    read,
    rounded,
    rounded_down,
    rounded_up,
    unit_text,
    ureg,
)
from labkit.units import rounding as rounding_module
from labkit.units.ranges import Range, certain

ROWS = published("rounding")
OPERATIONS = {"add": operator.add, "subtract": operator.sub, "multiply": operator.mul, "divide": operator.truediv}


def rows_of(*operations):
    rows = [row for row in ROWS if row["operation"] in operations]
    assert rows
    return rows


# ---------------------------------------------------------------------- worked examples of a textbook
@pytest.mark.parametrize("row", rows_of("round"), ids=lambda row: row["first"])
def test_rounding_agrees_with_the_textbook(row):
    assert rounded(row["first"], int(row["figures"])) == row["printed"]
    assert rounded(float(row["first"]), int(row["figures"])) == row["printed"]  # the float is written as it was typed


@pytest.mark.parametrize("row", rows_of("multiply", "divide"), ids=lambda row: f"{row['first']} {row['second']}")
def test_a_product_has_the_figures_of_its_poorest_factor(row):
    exact = OPERATIONS[row["operation"]](Decimal(row["first"]), Decimal(row["second"]))
    figures = min(figures_in(row[column])[1] for column in ("first", "second"))
    assert rounded(exact, figures) == row["printed"]


@pytest.mark.parametrize("row", rows_of("add", "subtract"), ids=lambda row: f"{row['first']} {row['second']}")
def test_a_sum_stops_at_the_last_place_of_its_poorest_part(row):
    parts = [Decimal(row["first"]), Decimal(row["second"])]
    exact = OPERATIONS[row["operation"]](*parts)
    last_place = max(part.as_tuple().exponent for part in parts)
    assert rounded(exact, exact.adjusted() - last_place + 1) == row["printed"]


def test_every_kind_of_row_was_used():
    assert {row["operation"] for row in ROWS} == {"round", *OPERATIONS}


def test_the_ties_tell_half_even_from_half_up():
    # Rounding half up would give 0.05107 and 421.3; rounding the binary fraction would give 0.9027.
    assert [rounded(text, 4) for text in ("0.051065", "421.25", "0.90275")] == ["0.05106", "421.2", "0.9028"]


# ------------------------------------------------------------------------- Python's decimal numbers
DIGITS = st.decimals(min_value=-(10**9), max_value=10**9, allow_nan=False, allow_infinity=False, places=9)
FLOATS = st.floats(min_value=-1e40, max_value=1e40, allow_nan=False).filter(lambda n: n == 0 or abs(n) > 1e-40)


@given(DIGITS | FLOATS, st.integers(1, 12))
def test_rounding_is_half_even_on_the_digits_as_written(number, figures):
    exact = Decimal(str(number))
    other_way = Context(prec=figures, rounding=ROUND_HALF_EVEN).plus(exact)  # by precision, not by place
    assert Decimal(rounded(number, figures)) == other_way


@given(st.integers(1, 10**6), st.integers(-9, 9), st.sampled_from([-1, 1]))
def test_a_tie_goes_to_the_even_figure(kept, places, sign):
    tie = sign * Decimal(f"{kept}5").scaleb(places)
    result = Decimal(rounded(tie, len(str(kept))))
    assert abs(result - tie) == Decimal(5).scaleb(places)
    last = result.scaleb(-places - 1)
    assert int(last) == last and last % 2 == 0


@given(DIGITS | FLOATS, st.integers(1, 12))
def test_rounding_moves_a_number_by_half_a_last_place_at_most(number, figures):
    exact = Decimal(str(number))
    assume(exact)
    half = Decimal(5).scaleb(exact.adjusted() - figures)
    assert abs(Decimal(rounded(number, figures)) - exact) <= half


@given(DIGITS | FLOATS, st.integers(1, 12))
def test_rounding_twice_changes_nothing_and_the_figures_can_be_counted(number, figures):
    text = rounded(number, figures)
    assert rounded(text, figures) == text
    assert "e" not in text.lower()
    if Decimal(text):
        fewest, most = figures_in(text)
        assert fewest <= figures <= most


@given(FLOATS, st.integers(1, 6))
def test_rounding_up_is_never_below_and_less_than_one_place_above(number, figures):
    assume(number)
    up, exact = Decimal(rounded_up(number, figures)), Decimal(repr(number))
    noise = abs(exact) * Decimal("1e-11")  # twelve figures are looked at, so that 0.1 + 0.2 counts as 0.3
    assert -noise <= up - exact < Decimal(1).scaleb(exact.adjusted() - figures + 1) + noise


def test_rounding_up_by_hand():
    assert [rounded_up(n, 2) for n in (37.82, 37.001, 37.0, 2218.0, 0.00121, 9.91, 99.1)] == [
        "38",
        "38",
        "37",
        "2300",
        "0.0013",
        "10",
        "100",
    ]
    assert rounded_up(0.1 + 0.2, 1) == "0.3"
    assert rounded_up(-37.82, 2) == "-37"
    assert rounded_up(0, 2) == "0"


def test_rounding_at_the_edges():
    assert [rounded("9.996", n) for n in (1, 2, 3, 4)] == ["10", "10", "10.0", "9.996"]
    assert [rounded("1200", n) for n in (1, 2, 3, 4, 5)] == ["1000", "1200", "1200", "1200", "1200.0"]
    assert rounded("5", 3) == "5.00"
    assert rounded(-0.0051065, 4) == "-0.005106"
    assert rounded("0.000", 3) == "0"
    assert rounded(float("nan"), 3) == "nan" and rounded(float("-inf"), 3) == "-inf"
    assert rounded(np.float64(2.5), 1) == "2" and rounded(np.int64(25), 1) == "20"
    for figures in (0, -1):
        with pytest.raises(ValueError, match="at least 1"):
            rounded("5", figures)
        with pytest.raises(ValueError, match="at least 1"):
            rounded_up(5, figures)


@pytest.mark.parametrize("text, figures", [
    ("0.0510 g", (3, 3)), ("1200", (2, 4)), ("1200.", (4, 4)), ("1200.0", (5, 5)), ("1.5e-3", (2, 2)), ("1.50×10⁻³ mol", (3, 3)), ("0.00387", (3, 3)),
    ("2,50 g", (3, 3)), ("1 250 g", (3, 4)), ("−3.0 °C", (2, 2)), ("-3.0", (2, 2)), ("+100", (1, 3)), ("100 mL", (1, 3)), ("(2.0 ± 0.1) g", (2, 2)), ("10.08", (4, 4)),
    ("70.00", (4, 4)), (".5", (1, 1)), ("0", (1, 1)), ("0.00", (1, 1)), ("", (1, 1)), ("g", (1, 1)),
    ("1 h 15 min", (2, 2)), ("2 h 48 min", (3, 3)),
])  # fmt: skip
def test_the_figures_that_a_number_can_claim(text, figures):
    assert figures_in(text) == figures


# ------------------------------------------------------------------------------- as a person writes
@pytest.mark.parametrize("value, unit, text", [
    (0.01508, "g", "15.1 mg"), (0.5, "g", "500 mg"), (2.5, "g", "2.50 g"), (1234, "g", "1.23 kg"), (999.4, "g", "999 g"), (999.6, "g", "1.00 kg"), (5e6, "g", "5000 kg"),
    (-0.5, "g", "-500 mg"), (0, "g", "0 g"), (2e-8, "kg", "20.0 µg"), (3, "ng", "3.00 ng"),
    (0.25, "L", "250 mL"), (1500, "mL", "1.50 L"), (0.02, "mL", "20.0 µL"), (2500, "L", "2.50 m³"),
    (0.0021, "mol", "2.10 mmol"), (3.4e-7, "mol", "340 nmol"), (0.03, "mol/L", "30.0 mmol/L"), (1.5, "mol/L", "1.50 mol/L"), (0.1, "molar", "100 mmol/L"),
    (7200, "s", "2.00 h"), (90, "s", "1.50 min"), (36, "h", "1.50 d"), (730.5, "day", "2.00 yr"), (2e-6, "s", "2.00 µs"),
    (450, "nm", "450 nm"), (4.5e-7, "m", "450 nm"), (0.35, "m", "350 mm"), (2.7, "eV", "2.70 eV"), (2.7, "keV", "2.70 keV"), (1234, "J", "1.23 kJ"), (5, "kWh", "5.00 kWh"),
    (5, "W*h", "5.00 h·W"), (500, "W", "500 W"), (0.5, "W", "500 mW"), (3200, "Pa", "3.20 kPa"), (1013, "hPa", "1010 hPa"), (1, "atm", "1.00 atm"), (760, "mmHg", "760 mmHg"),
    (20, "degC", "20.0 °C"), (20, "delta_degC", "20.0 °C"), (-3, "degC", "-3.00 °C"), (550, "degC", "550 °C"), (293.15, "K", "293 K"), (5, "delta_degC/min", "5.00 °C/min"),
    (5, "percent", "5.00 %"), (0.05, "", "0.0500"), (12345, "", "12300"), (25, "ppm", "25.0 ppm"),
    (100, "cm**2", "100 cm²"), (1000, "W/m**2", "1000 W/m²"), (20, "g/L", "20.0 g/L"), (60.06, "g/mol", "60.1 g/mol"), (4.18, "J/g/K", "4.18 J/g/K"), (24, "L/g", "24.0 L/g"),
    (2.494e20, "1/m**2/s", "2.49×10²⁰ 1/m²/s"), (6.02214076e23, "1/mol", "6.02×10²³ 1/mol"), (6.62607015e-34, "J*s", "6.63×10⁻³⁴ J·s"), (400, "µmol/m**2/s", "400 µmol/m²/s"),
    (0.02, "µmol/h", "20.0 nmol/h"), (600, "THz", "600 THz"), (0.5, "A", "0.500 A"), (300, "lux", "300 lx"),
])  # fmt: skip
def test_a_quantity_is_printed_as_a_person_would_write_it(value, unit, text):
    assert printed(Q(value, unit)) == text


def test_figures_and_unit_can_be_chosen():
    assert printed(Q(0.01508, "g"), figures=2) == "15 mg"
    assert printed(Q(0.01508, "g"), figures=4, unit="g") == "0.01508 g"
    assert printed(Q(20, "degC"), unit="K", figures=5) == "293.15 K"
    assert printed(Q(0.05), unit="percent", figures=2) == "5.0 %"
    assert printed(2.5) == "2.50"


@pytest.mark.parametrize("nominal, spread, unit, text", [
    (2, 0.1, "g", "(2.00 ± 0.10) g"), (2.0049, 0.012, "g", "(2.005 ± 0.012) g"), (0.0151, 0.0004, "g", "(15.10 ± 0.40) mg"), (123456, 1234, "", "(123500 ± 1200)"),
    (2, 0.0996, "g", "(2.00 ± 0.10) g"), (20, 1.5, "degC", "(20.0 ± 1.5) °C"), (18, 4, "percent", "(18.0 ± 4.0) %"), (5, 12, "g", "(5 ± 12) g"),
    (6.022e23, 3e20, "1/mol", "(6.0220×10²³ ± 3.0×10²⁰) 1/mol"), (2, 0, "g", "2.00 g"),
])  # fmt: skip
def test_a_spread_is_printed_to_two_figures(nominal, spread, unit, text):
    value = Q(ufloat(nominal, spread) if spread else nominal, unit)
    assert printed(value) == text


def test_a_spread_that_means_nothing_is_shown_as_such():
    assert printed(Q(ufloat(2, float("inf")), "g")) == "(2.000 ± inf) g"
    assert printed(Q(ufloat(2, float("nan")), "g")) == "(2.000 ± nan) g"
    assert printed(Q(float("nan"), "g")) == "nan g"


@pytest.mark.parametrize("number, text", [
    (0, "0"), (0.001, "0.00100"), (0.00099, "9.90×10⁻⁴"), (99999, "100000"), (1e5, "1.00×10⁵"), (9.996e7, "1.00×10⁸"), (-2.5e-7, "-2.50×10⁻⁷"), (float("inf"), "inf"),
])  # fmt: skip
def test_a_bare_number_is_raised_when_it_is_very_large_or_small(number, text):
    assert number_text(number) == text


@pytest.mark.parametrize("span, text", [
    (Range(Q(4.1, "g"), Q(7.9, "g"), Q(12, "g")), "4.1 to 12 g, likely 7.9 g"),
    (Range(Q(4, "percent"), Q(18, "percent"), Q(40, "percent")), "4.0 to 40 %, likely 18 %"),
    (Range(Q(410, "mg"), Q(790, "mg"), Q(1.2, "g")), "410 to 1200 mg, likely 790 mg"),
    (Range(Q(0.4, "g"), Q(2, "g"), Q(5, "g")), "0.40 to 5.0 g, likely 2.0 g"),
    (Range(Q(0, "g"), Q(0, "g"), Q(3, "g")), "0 to 3.0 g, likely 0 g"),
    (Range(Q(5, "degC"), Q(10, "degC"), Q(20, "degC")), "5.0 to 20 °C, likely 10 °C"),
    (Range(0.1, 0.2, 0.3), "0.10 to 0.30, likely 0.20"),
    (Range(Q(1e20, "1/s"), Q(2e20, "1/s"), Q(3e20, "1/s")), "1.0×10²⁰ to 3.0×10²⁰ 1/s, likely 2.0×10²⁰ 1/s"),
    (certain(Q(2.5, "g")), "2.50 g"),
    (certain(Q(0, "g")), "0 g"),
])  # fmt: skip
def test_a_range_is_printed_with_its_likely_value(span, text):
    assert printed_range(span) == str(span) == text


def test_a_range_can_be_printed_in_a_chosen_unit():
    assert printed_range(Range(Q(410, "mg"), Q(790, "mg"), Q(1.2, "g")), unit="g") == "0.41 to 1.2 g, likely 0.79 g"


# --------------------------------------------------------------- what is printed can be typed back in
READABLE = (
    "g",
    "kg",
    "mg",
    "mL",
    "L",
    "mol",
    "mmol/L",
    "h",
    "nm",
    "J",
    "W",
    "Pa",
    "hPa",
    "eV",
    "degC",
    "K",
    "percent",
    "W/m**2",
    "g/mol",
    "µmol/h",
    "mol/h/g",
)


def test_every_unit_that_a_handy_print_may_choose_can_be_typed():
    ladders = [name for ladder in rounding_module._LADDERS for name in ladder]
    assert ladders
    for name in ladders:
        assert read(f"5 {unit_text(ureg.Unit(name))}") == Q(5, name)


@given(st.floats(1e-9, 1e9), st.sampled_from(READABLE), st.integers(2, 8))
def test_what_is_printed_reads_back_to_half_a_last_figure(number, unit, figures):
    quantity = Q(number, unit)
    back = read(printed(quantity, figures))
    assert_close(back.to(unit), quantity, relative=0.5000001 * 10 ** (1 - figures))


@given(st.floats(1e-3, 1e3), st.floats(1e-3, 1), st.sampled_from(["g", "mL", "degC", "percent"]))
@example(0.015625, 0.00390625, "degC")  # a spread in powers of ten, and a number with more than four figures
def test_what_is_printed_with_a_spread_reads_back(number, fraction, unit):
    spread = number * fraction
    back = read(printed(Q(ufloat(number, spread), unit))).to(unit)
    assert_close(Q(back.magnitude.std_dev, unit), Q(spread, unit), relative=0.06)  # two figures: 0.05 of 1.0
    assert_close(
        Q(back.magnitude.nominal_value, unit),
        Q(number, unit),
        within=0.06 * Q(spread, f"delta_{unit}" if unit == "degC" else unit),
    )


@given(st.floats(1e-9, 900), st.sampled_from(["g", "L", "mol", "J"]))
def test_a_handy_unit_gives_a_number_between_one_and_a_thousand(number, unit):
    text = printed(Q(number, unit))
    smallest = {"g": 1e-9, "L": 1e-9, "mol": 1e-12, "J": 1e-3}[unit]
    assert number < smallest or 1 <= float(text.partition(" ")[0]) < 1000, text


def test_handy_never_changes_the_quantity():
    for value, unit in [
        (0.01508, "g"),
        (1500, "mL"),
        (36, "h"),
        (2.7, "eV"),
        (0.03, "mol/L"),
        (20, "degC"),
        (0, "g"),
        (-5, "kg"),
        (3, "lux"),
    ]:
        assert_close(
            handy(Q(value, unit)).to(unit), Q(value, unit), within=1e-9 * Q(1, "delta_degC" if unit == "degC" else unit)
        )


def test_a_unit_on_a_label():
    labels = {
        "mol/L": "mol/L",
        "W/m**2": "W/m²",
        "percent": "%",
        "": "",
        "degC": "°C",
        "delta_degC": "°C",
        "1/s": "1/s",
        "µmol/h/g": "µmol/g/h",
        "year": "yr",
    }
    for unit, label in labels.items():
        assert unit_text(ureg.Unit(unit or "dimensionless")) == label


@given(FLOATS, st.integers(1, 6))
def test_rounding_down_is_never_above_and_less_than_one_place_below(number, figures):
    assume(number)
    down, exact = Decimal(rounded_down(number, figures)), Decimal(repr(number))
    noise = abs(exact) * Decimal("1e-11")  # as for rounding up
    assert (
        -noise <= exact - down < Decimal(1).scaleb(exact.adjusted() - figures + 1) * (1 if number > 0 else 10) + noise
    )


def test_rounding_down_by_hand():
    assert [rounded_down(n, 2) for n in (37.82, 37.999, 37.0, 2299.0, 0.00129, 9.99)] == ["37", "37", "37", "2200", "0.0012", "9.9"]  # fmt: skip
    assert rounded_down(0, 2) == "0" and rounded_down(-37.82, 2) == "-38"
    assert printed_down(Q(2.49, "g")) == "2.4 g" and printed_down(Q(ufloat(1.0, 0.6), "g")) == "0 g"


def test_a_time_reads_as_people_say_it():
    minutes = (0, 0.4, 59.6, 60, 61, 563.3)
    assert [clock_text(Q(time, "min")) for time in minutes] == [
        "0 min",
        "24 s",
        "1 h",
        "1 h",
        "1 h 1 min",
        "9 h 23 min",
    ]
    assert (
        clock_text(Q(563.3, "min"), np.ceil) == "9 h 24 min" and clock_text(Q(563.3, "min"), np.floor) == "9 h 23 min"
    )
