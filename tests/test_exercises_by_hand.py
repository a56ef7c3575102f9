"""The worked answer of every exercise against a sum done without labkit, from the question alone."""

import re

import numpy as np
import pytest
from helpers import assert_close, published, raw_spectrum
from scipy import constants
from scipy.integrate import simpson

from labkit.exercises import CHAPTERS, exercises
from labkit.units import Q

ROWS = published("exercises")
ALL = {exercise.key: exercise for chapter in CHAPTERS for exercise in exercises(chapter)}
# Which question quotes which flux of sunlight, in µmol/m²/s, above which gap in eV.
QUOTED = {"4.5": 2.70, "4.6": 2.20, "4.7": 2.70, "7.5": 2.70, "9.7": 2.75}


def test_every_exercise_was_worked_by_hand_once():
    keys = [row["key"] for row in ROWS]
    assert len(keys) > 45
    assert sorted(keys) == sorted(ALL)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["key"])
def test_the_answer_agrees_with_the_sum_by_hand(row):
    expected = Q(float(row["answer"]), row["unit"])
    assert_close(ALL[row["key"]].right(), expected, relative=float(row["relative_tolerance"]))


def test_the_tolerance_would_catch_one_per_cent():
    for row in ROWS:
        assert float(row["relative_tolerance"]) <= 0.005, row["key"]


@pytest.mark.parametrize("key", QUOTED)
def test_the_sunlight_a_question_quotes_is_that_of_the_table(key):
    """Integrated on a fine grid by scipy, from the file of pvlib read line by line."""
    edge = constants.h * constants.c / (QUOTED[key] * constants.e)
    metres = np.linspace(280e-9, edge, 200_001)
    power = np.interp(metres * 1e9, *raw_spectrum()) * 1e9
    flux = simpson(power * metres / (constants.h * constants.c), x=metres) / constants.N_A * 1e6
    quoted = float(re.search(r"(\d+) µmol", ALL[key].question)[1])
    assert quoted == pytest.approx(flux, abs=0.51)  # quoted in whole µmol/m²/s
