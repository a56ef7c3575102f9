"""Every worked answer is accepted, every named slip is recognised, and nothing typed can raise."""

from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import pytest
from helpers import published
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import ChoiceProblem, LabError
from labkit.exercises import CHAPTERS, check, exercises, find, judged, worked
from labkit.exercises.exercise import Exercise
from labkit.exercises.reply import _close
from labkit.units import Q, is_quantity, number, number_text, printed, unit_text

ALL = [exercise for chapter in CHAPTERS for exercise in exercises(chapter)]
SLIPS = [(exercise, hint) for exercise in ALL for hint in exercise.slips]
each = pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.key)


def as_typed(quantity, figures):
    """Return what a careful learner would type."""
    return f"{number_text(number(quantity, quantity.units), figures)} {unit_text(quantity.units)}"


def test_every_workbook_has_at_least_six():
    assert len(CHAPTERS) == 10
    for chapter in CHAPTERS:
        keys = [exercise.key for exercise in exercises(chapter)]
        assert len(keys) >= 6 and len(set(keys)) == len(keys)
        assert all(key.startswith(f"{chapter}.") for key in keys)
        assert all(find(key) is not None for key in keys)


@each
def test_the_worked_answer_is_right_as_text_and_as_quantity(exercise):
    right = exercise.right()
    typed = judged(exercise, as_typed(right, exercise.figures))
    assert typed.right and typed.figures_right, typed.text
    assert judged(exercise, right).right


@each
def test_five_per_cent_off_is_wrong(exercise):
    right = exercise.right()
    if number(right, right.units):
        for factor in (0.95, 1.05):  # by the number shown, since a thermometer reading cannot be multiplied
            assert not judged(exercise, Q(number(right, right.units) * factor, right.units)).right


@pytest.mark.parametrize("exercise, hint", SLIPS, ids=lambda item: getattr(item, "key", None) or item[:30])
def test_each_slip_gets_its_hint(exercise, hint):
    slip = exercise.slips[hint]()
    slip = slip if is_quantity(slip) else Q(slip, exercise.right().units)
    reply = judged(exercise, slip)
    assert not reply.right
    assert hint in reply.text


@each
def test_slips_do_not_coincide_with_the_answer(exercise):
    right = exercise.right()
    for hint, slip in exercise.slips.items():
        value = slip()
        value = value if is_quantity(value) else Q(value, right.units)
        assert not _close(number(value, right.units), number(right, right.units), 0.03), hint


@each
def test_the_working_ends_in_the_answer(exercise):
    assert worked(exercise.key).endswith(printed(exercise.right(), exercise.figures, exercise.right().units))


SAMPLE = Exercise("1.99", "How much?", lambda: Q(12.34, "g"), "Weigh.", 3, {"Hydrate forgotten.": lambda: Q(20.6, "g")})


@pytest.mark.parametrize(
    "answer, value, unit, figures, words",
    [
        ("12.3 g", True, True, True, "Right."),
        ("12.34 g", True, True, True, "Right."),
        ("0.0123 kg", True, True, True, "Right."),
        ("12.34000 g", True, True, False, "7 significant figures"),
        ("12 g", False, True, False, "rounded too far"),
        ("13 g", False, True, False, "value is not"),
        ("12.3", True, False, False, "give its unit too"),
        ("12.3 mL", True, False, False, "a volume"),
        ("20.6 g", False, True, True, "Hydrate forgotten."),
        ("12300 g", False, True, True, "thousand times too large"),
        ("6.17 g", False, True, True, "half the answer"),
        ("hello", False, False, False, "does not start with a number"),
    ],
)
def test_value_unit_and_figures_are_judged_apart(answer, value, unit, figures, words):
    reply = judged(SAMPLE, answer)
    assert (reply.value_right, reply.unit_right, reply.figures_right) == (value, unit, figures), reply.text
    assert words in reply.text


def test_kelvin_for_celsius_is_named():
    sample = Exercise("1.98", "How hot?", lambda: Q(25.0, "degC"), "Read it.", 3)
    assert judged(sample, "25.0 °C").right
    assert judged(sample, "298.15 K").right
    assert "°C and K" in judged(sample, "298.15 °C").text


@given(st.text(max_size=100))
def test_no_text_can_raise(text):
    assert judged(SAMPLE, text).text


@pytest.mark.parametrize(
    "thing", [object(), [], {}, 1j, float("nan"), float("inf"), b"12 g", True, Q([1, 2], "g"), LabError("x")]
)
def test_no_object_can_raise(thing):
    assert judged(SAMPLE, thing).text


def test_a_workbook_without_exercises_is_told_which_have_some():
    for chapter in ("10", 10, None, "1.1"):
        with pytest.raises(ChoiceProblem, match="0, 1, 2"):
            exercises(chapter)


def test_check_speaks_about_unknown_and_empty():
    for key in ("1.999", "", None, "x", "99.1"):
        assert check(key, "12 g").startswith("There is no exercise")
    assert ALL[0].question in check(ALL[0].key, "")


def test_check_repeats_the_question_and_marks_the_reply_in_a_word_and_a_sign():
    wrong, right = check("1.2", "46.9 g"), check("1.2", "23.4 g")
    for said in (wrong, right):
        assert find("1.2").question in said and find("1.2").question in said._repr_html_().replace("\xa0", " ")
    assert "✗" in wrong and "keeps all the carbon" in wrong and "✓ Right" in right
    assert "<b>" not in check("1.2", "<b>1</b>")._repr_html_()


PERCENT = Exercise("1.97", "What share?", lambda: Q(80.0, "percent"), "Divide.", 3)
FIGURES = Exercise("1.96", "How much?", lambda: Q(0.5143, "g"), "Divide.", 2, strict_figures=True)


@pytest.mark.parametrize("exercise, answer, right, words", [
    (PERCENT, "80.0", False, "8000 %"), (PERCENT, "0.800", True, "Right"), (PERCENT, "12", False, "needs its sign"),
    (PERCENT, "80.0 %", True, "Right"), (SAMPLE, "12 g", False, "rounded too far: give three"),
    (SAMPLE, "10 g", False, "rounded too far"), (FIGURES, "0.51 g", True, "Right."), (FIGURES, "0.514 g", True, "three"),
    (FIGURES, "0.5 g", False, "rounded too far: give two"),
])  # fmt: skip
def test_signs_and_figures_get_a_reply_of_their_own(exercise, answer, right, words):
    reply = judged(exercise, answer)
    assert reply.right == right and words in reply.text, reply.text
    assert reply.figures_right == (words in ("Right", "Right.")) or not right


DIRECTED = [exercise for exercise in ALL if exercise.safe_side]
BY_HAND = {row["key"]: row for row in published("exercises")}


def by_hand(exercise, figures, way):
    """Return the sum done by hand, rounded by the decimal module, as exact number and as text with its unit."""
    row = BY_HAND[exercise.key]
    exact = Decimal(row["answer"])
    result = exact.quantize(Decimal(1).scaleb(exact.adjusted() - figures + 1), rounding=way)
    return exact, result, f"{result:f} {row['unit'].replace('**', '^')}"


def test_a_question_and_its_exercise_name_the_same_direction():
    for exercise in ALL:
        named = [side for side in ("up", "down") if f"round {side}" in exercise.question.lower()]
        assert named == ([exercise.safe_side] if exercise.safe_side else []), exercise.key
    assert {exercise.key.partition(".")[0] for exercise in DIRECTED} == {"3", "9"}
    assert [exercise.safe_side for exercise in DIRECTED].count("up") >= 5
    assert [exercise.safe_side for exercise in DIRECTED].count("down") >= 3


@pytest.mark.parametrize("figures", [1, 2, 3, 4])
@pytest.mark.parametrize("exercise", DIRECTED, ids=lambda exercise: exercise.key)
def test_rounding_to_the_safe_side_is_right_and_to_the_other_side_is_not(exercise, figures):
    safe, unsafe = (ROUND_CEILING, ROUND_FLOOR) if exercise.safe_side == "up" else (ROUND_FLOOR, ROUND_CEILING)
    exact, value, typed = by_hand(exercise, figures, safe)
    reply = judged(exercise, typed)
    assert reply.right == (figures >= exercise.figures - 2), (typed, reply.text)
    if reply.right and figures < exercise.figures and value != exact and value != by_hand(exercise, 3, safe)[1]:
        assert reply.text == "Right, and on the safe side.", typed
    assert judged(exercise, f"{exact} {BY_HAND[exercise.key]['unit'].replace('**', '^')}").right
    _, value, typed = by_hand(exercise, figures, unsafe)
    reply = judged(exercise, typed)
    if value == exact or figures > exercise.figures:  # a spare figure still rounds to what is asked
        assert reply.right, (typed, reply.text)
    else:
        assert not reply.right and reply.unit_right, typed
        asked = by_hand(exercise, exercise.figures, safe)[1]
        assert "rounded to the unsafe side. Round" in reply.text and f"{asked:f} " in reply.text, (typed, reply.text)


@pytest.mark.parametrize("key, answer, right, words", [
    ("3.2", "3.65 h", True, "Right."), ("3.2", "3.7 h", True, "Right, and on the safe side."),
    ("3.2", "3.64 h", False, "The number is right, but it is rounded to the unsafe side. Round up: 3.65 h."),
    ("3.2", "3.63 h", False, "unsafe side"), ("3.2", "219 min", True, "Right."), ("3.2", "3.68 h", True, "safe side."),
    ("3.2", "218 min", False, "Round up: 219 min."), ("3.2", "3.646 h", True, "Rounded up it is 3.65 h."),
    ("3.2", Q(3.6465, "h"), True, "Right"), ("3.2", "3.9 h", False, "too large"), ("3.2", "3.4 h", False, "too small"),
    ("3.3", "566 m³/h", False, "Round up: 569 m³/h."), ("3.3", "600 m³/h", True, "on the safe side"),
    ("3.4", "1916 mg/m³", False, "Round down: 1915 mg/m³."), ("3.4", "1920 mg/m³", False, "unsafe"),
    ("3.4", "1.915 g/m³", True, "Right."), ("3.4", "1900 mg/m³", True, "on the safe side"),
    ("3.6", "289 m³/h", False, "unsafe"), ("3.6", "290 m³/h", False, "unsafe"), ("3.6", "280 m³/h", True, "safe side"),
    ("3.8", "740 L", True, "Right."), ("3.8", "739 L", False, "Round up: 740 L."), ("3.10", "4 mL", True, "safe side"),
    ("9.10", "936 m³/h", False, "Round up: 940 m³/h."), ("9.10", "920 m³/h", False, "unsafe"),
    ("9.10", "1000 m³/h", True, "on the safe side"),
])  # fmt: skip
def test_the_side_of_a_rounding(key, answer, right, words):
    reply = judged(find(key), answer)
    assert reply.right == right and words in reply.text, reply.text


@each
def test_a_bare_number_is_asked_for_its_unit(exercise):
    right = exercise.right()
    unit = unit_text(right.units)
    reply = judged(exercise, number_text(number(right, right.units), exercise.figures))
    assert reply.value_right
    if unit:
        assert not reply.right and reply.text.startswith("The number is right; give its unit too, as in")
        assert f"“12.3 {unit}”" in reply.text


@pytest.mark.parametrize("key, answer, value_right, words", [
    ("3.1", "87.2", True, "The number is right; give its unit too, as in “12.3 ppm”."),
    ("3.1", "88", True, "give its unit too"), ("3.7", "568.9", True, "give its unit too"),
    ("3.1", "55", False, "needs its unit, ppm"), ("3.1", "0.0000873", True, "Right"), ("3.2", "3.7", True, "give its unit"),
    ("2.9", "1.66 €", True, "Right number. Type it alone here."), ("2.9", "€1,66", True, "Type it alone"),
    ("2.9", "about 1.66 euros", True, "Type it alone"), ("2.9", "16.6 €", False, "ten times too large"),
    ("2.9", "1.66", True, "Right."), ("2.9", "€", False, "does not start with a number"),
])  # fmt: skip
def test_a_unit_too_few_and_a_word_too_many(key, answer, value_right, words):
    reply = judged(find(key), answer)
    assert reply.value_right == value_right and words in reply.text, reply.text
    assert reply.right == reply.text.startswith("Right.") or answer == "0.0000873"


def test_readings_are_judged_in_kelvin():
    readings = [exercise for exercise in ALL if str(exercise.right().units) == "degree_Celsius"]
    assert [exercise.key for exercise in readings] == ["2.3", "2.5", "2.6", "2.10"]
    assert all(exercise.within in ("0.5 K", "1 K") for exercise in readings)
    for exercise in readings:
        exact, limit = Decimal(BY_HAND[exercise.key]["answer"]), Decimal(exercise.within.split()[0])
        for off, right in ((0, True), ("0.9", True), ("-0.9", True), ("1.1", False), ("-1.1", False)):
            assert judged(exercise, f"{exact + limit * Decimal(off)} °C").right == right, (exercise.key, off)


@pytest.mark.parametrize("answer, right", [
    ("552 °C", True), ("552.5 °C", True), ("553 °C", True), ("825.6 K", True), ("549.7 °C", False), ("550 °C", False),
    ("555.1 °C", False), ("551 °C", False),
])  # fmt: skip
def test_the_top_of_a_ripple_is_judged_to_a_degree(answer, right):
    assert judged(find("2.5"), answer).right == right


# What no learner has by heart and no formula gives; molar masses follow from the formula.
CONSTANTS = ("24.47", "24.06", "24.055", "27.91 %", "8.314", "96 485", "96.485", "1239.84", "3.511", "237.1")


def test_a_question_gives_every_constant_that_its_working_uses():
    seen = [(exercise, each) for exercise in ALL for each in CONSTANTS if each in exercise.working]
    assert len(seen) > 15
    for exercise, constant in seen:
        assert constant in exercise.question, (exercise.key, constant)
    assert not any(exercise.question.startswith("That ") for exercise in ALL)
