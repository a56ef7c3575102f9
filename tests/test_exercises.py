"""Every worked answer is accepted, every named slip is recognised, and nothing typed can raise."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import ChoiceProblem, LabError
from labkit.exercises import CHAPTERS, check, exercises, find, judged, worked
from labkit.exercises.exercise import Exercise, _close
from labkit.units import Q, is_quantity, number, number_text, printed, unit_text

ALL = [exercise for chapter in CHAPTERS for exercise in exercises(chapter)]
SLIPS = [(exercise, hint) for exercise in ALL for hint in exercise.slips]
each = pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.key)


def as_typed(quantity, figures):
    """Return what a careful learner would type."""
    return f"{number_text(number(quantity, quantity.units), figures)} {unit_text(quantity.units)}"


def test_every_workbook_has_at_least_six():
    assert len(CHAPTERS) == 8
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
    for chapter in ("6", 6, None, "1.1"):
        with pytest.raises(ChoiceProblem, match="0, 1, 2"):
            exercises(chapter)


def test_check_speaks_about_unknown_and_empty():
    for key in ("1.999", "", None, "x", "99.1"):
        assert check(key, "12 g").startswith("There is no exercise")
    assert ALL[0].question in check(ALL[0].key, "")


def test_check_repeats_the_question_and_marks_the_reply_in_a_word_and_a_sign():
    wrong, right = check("1.2", "46.9 g"), check("1.2", "23.4 g")
    for said in (wrong, right):
        assert find("1.2").question in said and find("1.2").question in said._repr_html_()
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
