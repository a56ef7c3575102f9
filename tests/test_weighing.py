"""Weigh it or make a stock: by hand, by trying every mass, and forward from what is weighed to what arrives."""

from math import hypot

import pytest
from helpers import assert_close
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError, RangeProblem
from labkit.solutions import dopant_dose, stock_plan, weighable
from labkit.solutions.weighing import MARKS
from labkit.units import Q

CLASS_B = {10: 0.05, 20: 0.08, 25: 0.08, 50: 0.12, 100: 0.2}  # mL, ISO 1042, from memory: twice class A


@pytest.mark.parametrize(
    "milligrams, step, percent, good",
    [(200, 10, 5, True), (199, 10, 5.025, False), (31, 10, 32.26, False), (31, 1, 3.226, True), (0.5, 0.1, 20, False)],
)
def test_one_step_against_the_mass(milligrams, step, percent, good):
    found = weighable(Q(milligrams, "mg"), Q(step, "mg"))
    assert found.doubt.m_as("percent") == pytest.approx(percent, rel=1e-3) and found.good is good
    assert_close(found.least, Q(20 * step, "mg"), relative=1e-12)  # 5 % of it is one step
    assert ("weigh it" in str(found)) == good and ("make a stock" in str(found)) != good


def test_the_limit_is_the_makers():
    assert weighable("50 mg", "10 mg", limit="20 %").good and not weighable("49 mg", "10 mg", limit="20 %").good
    assert weighable("50 mg").limit == Q(5, "percent")  # and the balance of the bench, 10 mg


def test_a_plan_by_hand():
    # 40 mg with 10 mg and 0.1 mL.  In 25 mL: 240 mg are 4.17 %, 4.17 mL drawn are 2.40 %, the flask 0.32 %: 4.82 %.  230 mg: 4.35 %, 4.35 mL 2.30 %: 4.93 %.
    found = stock_plan("40 mg", "10 mg", marks=(25,))
    (stage,) = found.stages
    assert found.weighed == Q(230, "mg") and stage.volume == Q(25, "mL")
    assert_close(stage.drawn, Q(25 * 40 / 230, "mL"), relative=1e-12)
    assert found.total.m_as("percent") == pytest.approx(
        100 * hypot(10 / 230, 0.1 / (25 * 40 / 230), 0.08 / 25), rel=1e-12
    )
    assert found.doubts["weighing"].m_as("percent") == pytest.approx(4.35, abs=0.005)
    assert_close(found.unused, Q(190, "mg"), relative=1e-12)
    said = " ".join(str(found).split())
    assert "Weigh 230 mg" in said and "25 mL" in said and "4.35 mL" in said and "40.0 mg" in said


def test_what_can_be_weighed_is_weighed():
    found = stock_plan("400 mg", "10 mg")
    assert found.stages == () and found.weighed == found.delivered == Q(400, "mg") and found.unused.magnitude == 0
    assert "Weigh 400 mg" in str(found) and "2.5 %" in str(found)


@given(st.floats(5, 199), st.sampled_from([1.0, 5.0, 10.0]), st.sampled_from([3.0, 5.0, 8.0]))
@settings(max_examples=60)
def test_no_smaller_mass_and_no_smaller_flask_would_do(milligrams, step, limit):
    """By trying every whole step of the balance in every flask."""
    if step / milligrams <= limit / 100:
        return
    tried = []
    for size in MARKS:
        for steps in range(1, 400):
            weighed = steps * step
            drawn = size * milligrams / weighed
            if weighed >= milligrams and hypot(step / weighed, 0.1 / drawn, CLASS_B[size] / size) <= limit / 100:
                tried.append((size, weighed))
                break
    if not tried:
        assert len(_stages(milligrams, step, limit)) != 1
        return
    found = stock_plan(Q(milligrams, "mg"), Q(step, "mg"), limit=Q(limit, "percent"))
    (stage,) = found.stages
    assert (stage.volume.m_as("mL"), found.weighed.m_as("mg")) == pytest.approx(tried[0])


def _stages(milligrams, step, limit):
    try:
        return stock_plan(Q(milligrams, "mg"), Q(step, "mg"), limit=Q(limit, "percent")).stages
    except RangeProblem:
        return ()


@given(st.floats(0.05, 500), st.sampled_from([0.1, 1.0, 10.0, 100.0]), st.floats(2, 20))
@settings(max_examples=150)
def test_forward_the_dose_arrives(milligrams, step, limit):
    try:
        found = stock_plan(Q(milligrams, "mg"), Q(step, "mg"), limit=Q(limit, "percent"))
    except RangeProblem as problem:
        assert "too coarse" in str(problem)
        return
    mass = found.weighed.m_as("mg")
    for stage in found.stages:
        assert 0 < stage.drawn.m_as("mL") <= stage.volume.m_as("mL")
        mass *= stage.drawn.m_as("mL") / stage.volume.m_as("mL")
    assert mass == pytest.approx(milligrams, rel=1e-9) == found.delivered.m_as("mg")
    parts = [step / found.weighed.m_as("mg")]
    if found.stages:
        parts += [0.1 / stage.drawn.m_as("mL") for stage in found.stages]
        parts += [CLASS_B[round(stage.volume.m_as("mL"))] / stage.volume.m_as("mL") for stage in found.stages]
        for stage, following in zip(found.stages, found.stages[1:]):
            assert stage.drawn < following.volume
        whole = found.weighed.m_as("mg") / step
        assert whole == pytest.approx(round(whole), abs=1e-6)
    assert found.total.m_as("percent") == pytest.approx(100 * hypot(*parts), rel=1e-6)
    assert found.total.m_as("percent") <= limit * (1 + 1e-6)


def test_a_dose_reaches_the_powder_through_a_stock():
    dose = dopant_dose("1.9 g", "0.6 %", "FeCl3·6H2O")  # 0.006/0.994 x 1.9 g over 0.2066
    found = stock_plan(dose, "10 mg", salt="FeCl3·6H2O", solvent="acetone", most_volume="80 mL")
    assert_close(found.delivered, Q(1000 * 1.9 * 0.006 / 0.994 * 270.30 / 55.845, "mg"), relative=1e-3)
    assert "FeCl₃·6H₂O" in str(found) and "acetone" in str(found) and "disposal" in str(found)


def test_small_doses_are_thinned_step_by_step():
    assert [len(stock_plan(mass, "10 mg").stages) for mass in ("90 mg", "3 mg", "0.1 mg")] == [1, 2, 3]
    said = " ".join(str(stock_plan("3 mg", "10 mg")).split())
    assert said.count("fill it up") == 1 and said.count("fill that up") == 1 and said.count("; draw ") == 2


def test_no_more_is_drawn_than_the_jar_takes():
    free, held = stock_plan("150 mg", "10 mg"), stock_plan("150 mg", "10 mg", most_volume="7.2 mL")
    assert free.stages[-1].drawn <= Q(7.2, "mL") and held.stages[-1].drawn <= Q(7.2, "mL")
    assert free.stages[-1].drawn > Q(5, "mL")
    with pytest.raises(RangeProblem, match="too coarse"):
        stock_plan("150 mg", "10 mg", most_volume="1 mL")


def test_a_solvent_that_cannot_hold_the_stock():
    # 63 g of FeCl3 in 100 mL of acetone. 30 g with steps of 10 g would need 200 g of it in 100 mL at most.
    with pytest.raises(RangeProblem, match="can't hold"):
        stock_plan("30 g", "10 g", salt="FeCl3", solvent="acetone")
    # 6 g with steps of 0.4 g: 8 g and more, which 10 mL can't hold (6.3 g) and 20 mL can.
    found = stock_plan("6 g", "0.4 g", salt="FeCl3", solvent="acetone")
    assert found.weighed.m_as("g") / found.stages[0].volume.m_as("mL") <= 0.63
    assert stock_plan("6 g", "0.4 g").stages[0].volume < found.stages[0].volume
    # of the hexahydrate 63 g of dry salt are 105 g
    assert stock_plan("6 g", "0.4 g", salt="FeCl3·6H2O", solvent="acetone").stages[0].volume <= found.stages[0].volume


@pytest.mark.parametrize("change, words", [
    ({"mass": "0 mg"}, "more than zero"), ({"step": "0 mg"}, "more than zero"), ({"limit": "60 %"}, "below 50"), ({"limit": "0 %"}, "more than zero"),
    ({"marks": (33,)}, "no flask of 33"), ({"pipette_step": "0 mL"}, "more than zero"), ({"mass": "1 ng"}, "too coarse"), ({"mass": Q([1, 2], "mg")}, "one value"),
])  # fmt: skip
def test_what_cannot_be_planned(change, words):
    with pytest.raises(RangeProblem, match=words):
        stock_plan(**{"mass": "40 mg", "step": "10 mg"} | change)


def test_hostile_arguments_stay_calm():
    tried = 0
    for mass in ("", "five", "1e999 g", "nan mg", None, [], "5 mL", "-5 mg"):
        for step in ("10 mg", "", None):
            with pytest.raises(LabError):
                stock_plan(mass, step)
            with pytest.raises(LabError):
                weighable(mass, step)
            tried += 1
    assert tried == 24


def test_what_is_printed_fits_a_page():
    for found in (
        stock_plan("3 mg", "10 mg", salt="FeCl3·6H2O", solvent="acetone"),
        weighable("31 mg"),
        stock_plan("0.1 mg"),
    ):
        assert repr(found) == str(found) and max(len(line) for line in str(found).splitlines()) <= 60
    assert "disposal" in stock_plan("3 mg").cautions()


def test_much_salt_for_little_is_called_waste():
    # 86 mg with a balance of 0.5 g a step: a stock takes over 10 g, of which over 1 g is left over.
    found = stock_plan("86 mg", "0.5 g", salt="FeCl3·6H2O", solvent="acetone")
    assert found.wasteful and found.sentence.endswith("a finer balance needs no stock.")
    assert not stock_plan("86 mg", "10 mg", salt="FeCl3·6H2O", solvent="acetone").wasteful
