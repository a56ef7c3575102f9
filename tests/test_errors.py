"""What labkit says when it cannot go on: every problem is a LabError with a text for a person."""

import inspect

import pytest
from hostile import HOSTILE

from labkit import errors
from labkit.errors import ChoiceProblem, LabError, chosen

PROBLEMS = [kind for _, kind in inspect.getmembers(errors, inspect.isclass)]


def test_every_problem_is_a_laberror():
    assert len(PROBLEMS) > 6
    assert all(issubclass(kind, LabError) and issubclass(kind, ValueError) for kind in PROBLEMS)


def test_a_notebook_shows_the_sentence_and_no_stack():
    assert ChoiceProblem("No such thing.")._render_traceback_() == ["ChoiceProblem: No such thing."]


@pytest.mark.parametrize("allowed", [["urea", "melamine"], ("urea", "melamine"), {"urea": 1, "melamine": 2}, iter(["urea", "melamine"])])  # fmt: skip
def test_a_word_on_the_list_is_returned(allowed):
    assert chosen("melamine", allowed, "precursor") == "melamine"


@pytest.mark.parametrize(
    "word", [*HOSTILE, None, 3, ["urea"], b"urea", object(), "Urea"], ids=lambda word: ascii(word)[:20]
)
def test_anything_else_is_told_the_list(word):
    with pytest.raises(ChoiceProblem) as problem:
        chosen(word, ["urea", "melamine"], "precursor")
    text = str(problem.value)
    assert text.startswith("There is no precursor “") and text.endswith("Type one of: urea, melamine.")
    assert len(text) < 100 and text.isprintable()
    text.encode("utf-8")
