"""Washing against extractions that others worked out, a balance of salt step by step, and what must always hold."""

import math

import numpy as np
import pytest
from helpers import assert_close, published
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.data import guess
from labkit.errors import LabError
from labkit.units import Q, Range
from labkit.uptake.residual import course_range, solvent_notes, washing_plan
from labkit.uptake.washing import best_split, held_volume, wash_course, wash_residual, washes_needed

ROWS = published("washing")
VOLUMES = st.floats(0.5, 500)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["case"])
def test_equal_steps_leave_what_others_found(row):
    held, added, partition, left, tolerance = (float(row[name]) for name in ("held_mL", "added_mL", "partition", "left_percent", "tolerance"))  # fmt: skip
    found = wash_residual(Q(held, "mL"), Q(added, "mL"), int(row["steps"]), partition=partition)
    assert_close(found, Q(left, "percent"), within=Q(tolerance, "percent"))


def test_there_are_rows_of_every_kind():
    assert len(ROWS) >= 12 and {"1", "10"} <= {row["partition"] for row in ROWS}


def test_the_gold_books_fraction_is_the_same():
    # E = 1 - (rD + 1)^-n, with r the ratio of the volumes.
    for ratio, partition, steps in ((0.4, 3.0, 2), (2.5, 0.7, 5), (1.0, 12.0, 1)):
        left = wash_residual(Q(10.0, "mL"), Q(10 * ratio, "mL"), steps, partition=partition)
        assert left.m_as("dimensionless") == pytest.approx((ratio * partition + 1) ** -steps, rel=1e-12)


def poured(held, portions, mixing):
    """Return what is left of 1 mg after each wash, and all that was poured off: salt followed from vessel to vessel."""
    salt, gone, left = 1.0, 0.0, []
    for added in portions:
        strength = salt / (held + added)  # if it mixed fully
        off = mixing * strength * added
        salt, gone = salt - off, gone + off
        left.append(salt)
    return left, gone


@pytest.mark.parametrize("mixing", [1.0, 0.8, 0.35])
def test_a_course_keeps_every_milligram(mixing):
    left, gone = poured(6.5, [20.0, 31.0, 8.0], mixing)
    found = wash_course("6.5 mL", ["20 mL", "31 mL", "8 mL"], Q(100 * mixing, "percent")).m_as("dimensionless")
    assert found == pytest.approx(left, rel=1e-12) and left[-1] + gone == pytest.approx(1, rel=1e-12)
    assert wash_course("6.5 mL", Q([20, 31, 8], "mL"), mixing).m_as("dimensionless") == pytest.approx(left, rel=1e-12)


def test_a_range_encloses_every_case_inside_it():
    span = wash_residual("4 to 8 mL", "25 to 30 mL", 3, "60 to 100 %")
    assert isinstance(span, Range)
    assert span.low.m_as("percent") == pytest.approx(100 * (4 / 34) ** 3)
    assert span.high.m_as("percent") == pytest.approx(100 * (1 - 0.6 * 25 / 33) ** 3)
    for held in (4, 5, 8):
        for added in (25, 28, 30):
            for mixing in (0.6, 0.9, 1.0):
                one = wash_residual(Q(held, "mL"), Q(added, "mL"), 3, mixing).m_as("percent")
                assert span.low.m_as("percent") - 1e-9 <= one <= span.high.m_as("percent") + 1e-9


@settings(max_examples=60, deadline=None)
@given(VOLUMES, VOLUMES, st.floats(0.2, 1.0), st.floats(1e-5, 0.9))
def test_the_number_of_washes_is_the_smallest_that_does(held, added, mixing, target):
    left = 1 - mixing * added / (held + added)
    if math.log(target) / math.log(left) > 150:
        return
    found = washes_needed(Q(100 * target, "percent"), Q(held, "mL"), Q(added, "mL"), mixing)
    assert found.best == found.likely == found.worst
    assert left**found.likely <= target * (1 + 1e-6)
    assert found.likely == 0 or left ** (found.likely - 1) > target * (1 - 1e-6)


def test_harveys_eight_and_a_half():
    # log(0.001) / log(0.4) = 7.54: eight for 99.9 %.  Here with a plain wash that leaves 40 % each: 2 mL and 3 mL.
    assert washes_needed("0.1 %", "2 mL", "3 mL", 1).likely == 8
    assert washes_needed("1 %", "10 mL", "90 mL", 1).likely == 2  # exactly 1 %, and not three for the last bit
    assert washes_needed("0.999 %", "10 mL", "90 mL", 1).likely == 3
    assert washes_needed("120 %", "10 mL", "90 mL", 1).likely == 0


def test_best_and_worst_follow_the_ends():
    found = washes_needed("1 %", "4 to 8 mL, likely 6 mL", "30 mL", "50 to 100 %, likely 80 %")
    for count, left in ((found.best, 4 / 34), (found.likely, 1 - 0.8 * 30 / 36), (found.worst, 1 - 0.5 * 30 / 38)):
        assert count == math.ceil(math.log(0.01) / math.log(left))
    assert found.driver == "mixing" and "mixing" in str(found)
    assert_close(found.rinse, Q(30 * found.worst, "mL"), relative=1e-12)
    assert washes_needed("1 %", "6 mL", "30 mL").likely == math.ceil(math.log(0.01) / math.log(1 - guess("washing", "mixing").likely.m_as("") * 30 / 36))  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(VOLUMES, st.lists(st.floats(0.5, 100), min_size=1, max_size=6), st.floats(0.2, 1.0))
def test_equal_portions_are_never_worse(held, portions, mixing):
    unequal = wash_course(Q(held, "mL"), Q(np.array(portions), "mL"), mixing).m_as("dimensionless")[-1]
    equal = best_split(Q(sum(portions), "mL"), Q(held, "mL"), len(portions), mixing).left.m_as("dimensionless")[-1]
    assert equal <= unequal * (1 + 1e-9)


def test_a_split_falls_to_its_limit():
    found = best_split("90 mL", "6 mL", 50)
    left = found.left.m_as("percent")
    assert (np.diff(left) < 0).all() and (left > found.limit.m_as("percent")).all()
    assert found.limit.m_as("percent") == pytest.approx(100 * math.exp(-15), rel=1e-12)
    assert left[:3] == pytest.approx([100 * 6 / 96, 100 * (6 / 51) ** 2, 100 * (6 / 36) ** 3], rel=1e-12)
    assert found.gain[0] == pytest.approx(left[0] / left[1]) and (np.diff(found.gain) < 0).all()
    assert "would leave 3.1×10⁻⁵ %" in " ".join(str(found).split()) and str(found).count("one more") == 50


def test_held_liquid_from_two_weighings():
    # 5.7 g over the densities at 20 °C of the ledger: 0.7899 g/mL of acetone, 0.7894 of ethanol, 0.9982 of water.
    for solvent, density in (("acetone", 0.7899), ("ethanol", 0.7894), ("water", 0.9982)):
        assert_close(held_volume("7.4 g", "1.7 g", solvent), Q(5.7 / density, "mL"), relative=1e-3)
    found = held_volume("7.4 ± 0.03 g", "1.7 ± 0.04 g", "water")
    assert found.magnitude.std_dev == pytest.approx(0.05 / 0.9982, rel=1e-3)
    with pytest.raises(LabError, match="above the dry one"):
        held_volume("1.7 g", "1.7 g", "water")


# ------------------------------------------------------------------------------------------ a plan
def plan(**changes):
    return washing_plan(**{"concentration": "21 mmol/L", "held": "6 mL", "added": "30 mL", "salt": "ZnCl2", "powder_mass": "1.8 g",
                           "loading": "0.3 %", "mixing": 1, **changes})  # fmt: skip


def test_a_plan_agrees_with_sums_on_paper():
    # 21 mmol/L in 6 mL: 0.126 mmol, 8.238 mg of zinc (65.38), 17.171 mg of ZnCl2 (136.28), of it 52.03 % chloride.
    # 0.3 % of 1.8 g: 5.416 mg taken up.  Each wash leaves 6/36.
    found = plan()
    assert found.counts == (2, 2, 2) and found.chosen == 2 and found.enough == "yes"
    assert found.start.likely.m_as("percent") == pytest.approx(100 * 8.238 / 5.416, rel=1e-3)
    assert found.dissolved.likely.m_as("percent") == pytest.approx(100 * 8.238 / 5.416 / 36, rel=1e-3)
    assert found.salt_left.likely.m_as("mg") == pytest.approx(17.171 / 36, rel=1e-3)
    assert found.chloride_left.likely.m_as("mg") == pytest.approx(0.5203 * 17.171 / 36, rel=1e-3)
    assert found.target.likely.m_as("percent") == pytest.approx(5 * 5.416 / 8.238, rel=1e-3)
    assert_close(found.rinse, Q(60, "mL"), relative=1e-9)
    assert_close(found.rinsed, Q(17.171, "mg"), relative=1e-3)
    assert "up to 18 mg of ZnCl₂" in str(found)  # upwards


def test_the_kind_of_concentration_does_not_matter():
    same = [plan(), plan(concentration="1.37298 g/L"), plan(concentration="2.8618 g/L", of="salt")]
    starts = [found.start.likely.m_as("percent") for found in same]
    assert starts == pytest.approx([starts[0]] * 3, rel=2e-4)


def test_the_ends_of_a_plan_are_those_of_its_corners():
    spans = {"held": "5 to 9 mL", "added": "25 to 40 mL", "mixing": "60 to 100 %", "loading": "0.2 to 0.9 %"}
    found = plan(**spans, washes=3)
    best, worst = (plan(held=held, added=added, mixing=mixing, loading=loading, washes=3)
                   for held, added, mixing, loading in (("5 mL", "40 mL", 1, "0.9 %"), ("9 mL", "25 mL", 0.6, "0.2 %")))  # fmt: skip
    assert found.counts[0] == best.counts[1] and found.counts[2] == worst.counts[1]
    for name in ("dissolved", "salt_left", "start", "each", "chloride_left"):
        span, low, high = (getattr(one, name) for one in (found, best, worst))
        assert_close(span.low, low.likely, relative=1e-9)
        assert_close(span.high, high.likely, relative=1e-9)
    # What is collected is for the worst corner: 3 × 40 mL, and the salt of 9 mL with 21 mmol/L of 136.28 g/mol.
    assert_close(found.rinse, Q(120, "mL"), relative=1e-9)
    assert_close(found.rinsed, Q(9 * 21 * 0.13628, "mg"), relative=1e-3)
    assert_close(found.dissolved.high, course_range(found.start, found.each, 3).high, relative=1e-12)


def test_how_far_a_chosen_number_does():
    spans = {"held": "6 to 9 mL", "loading": "0.3 to 0.8 %", "mixing": "50 to 100 %, likely 80 %"}
    best, likely, worst = plan(**spans).counts
    assert best < likely < worst
    assert [plan(**spans, washes=count).enough for count in (best - 1, best, likely, worst)] == ["no", "perhaps", "likely", "yes"]  # fmt: skip
    assert plan(loading="50 %").counts == (0, 0, 0)  # so much was taken up that the held liquid does not matter


def test_what_is_said_of_water():
    assert "hydrolyse" in solvent_notes("FeCl3", "acetone", "water")[0]
    assert "oxychloride" in solvent_notes("ZnCl2", "ethanol", "water")[0]
    assert "same solvent" in solvent_notes("FeCl3", "acetone", "acetone")[0]
    assert "test tube" in solvent_notes("NiCl2", "ethanol", "acetone")[0]
    assert "last rinse" in str(plan())
    # Soaked and washed in water, something does change besides the dilution.
    for salt in ("FeCl3", "ZnCl2", "FeCl3·6H2O"):
        for asked in (("water", "water"), ("Water", None), ("water", " WATER ")):
            assert (
                "hydrolyse" in solvent_notes(salt, *asked)[0]
                and "nothing changes" not in solvent_notes(salt, *asked)[0]
            )
    assert "hydrolyse" in solvent_notes("FeCl3", "acetone", "Water")[0]
    assert "colourless and once more" in solvent_notes("FeCl3", "acetone", "water")[0]


def test_no_wash_at_all_is_never_said_to_be_enough():
    none = " ".join(str(plan(loading="50 %")).split())
    assert none.startswith("By this sum alone no wash is needed to bring the dissolved") and "enough" not in none
    assert "wash once and look all the same. Unwashed, 0." in none and "still dissolved, that is" in none
    assert "Unwashed, " in plan(washes=0).sentence and "enough" not in plan(washes=0).sentence
    some = plan(loading="2 to 50 %", washes=0)
    assert some.counts[0] == 0 < some.counts[2] and some.sentence.startswith(f"Up to {some.counts[2]} wash")
    assert "wash once and look" in some.sentence


def test_one_wash_is_one():
    sentences = [
        plan(loading=f"{size} %", washes=count).sentence for size in (0.3, 2, 8, 20, 40, 60) for count in range(4)
    ]
    assert len(sentences) == 24
    for said in sentences:
        assert "1 washes" not in said and "1 are" not in said and "0 washes" not in said.replace("10 washes", "")


def test_a_split_says_how_well_it_is_mixed():
    assert "if every wash mixes fully" in " ".join(str(best_split("90 mL", "6 mL", 3)).split())
    assert "at 80 % mixing" in " ".join(str(best_split("90 mL", "6 mL", 3, "80 %")).split())


@pytest.mark.parametrize("ask, words", [
    (lambda: wash_residual("4", "3 mL", 2), "without a unit"),
    (lambda: wash_residual("4 mL", "3 mL", 2.5), "whole number"),
    (lambda: wash_residual("4 mL", "3 mL", True), "whole number"),
    (lambda: wash_residual("4 mL", "3 mL", -1), "whole number"),
    (lambda: wash_residual("4 mL", "3 mL", 2, 3), "up to 100 %"),
    (lambda: wash_residual("4 mL", "3 mL", 2, partition=0), "above 0"),
    (lambda: wash_residual("4 mL", "3 mL", 2, partition=float("nan")), "above 0"),
    (lambda: wash_residual("0 mL", "3 mL", 2), "more than zero"),
    (lambda: wash_course("4 mL", ["3 mL", "-3 mL"]), "more than zero"),
    (lambda: washes_needed("0 %", "4 mL", "3 mL"), "more than zero"),
    (lambda: washes_needed(0.05, "4 mL", "3 mL"), "percent sign"),
    (lambda: washes_needed("1 %", "400 mL", "3 mL"), "200 washes"),
    (lambda: best_split("90 mL", "6 mL", 51), "1 to 50"),
    (lambda: held_volume("7 g", "1 g", "petrol"), "petrol"),
    (lambda: plan(loading=0.3), "percent"),
    (lambda: plan(share=5), "below 100 %"),
    (lambda: plan(share="500 %"), "below 100 %"),
    (lambda: plan(concentration="0 mmol/L"), "needs salt"),
    (lambda: plan(concentration="5 g"), "mass per volume"),
    (lambda: plan(mixing=1.2), "up to 100 %"),
    (lambda: plan(washes=2.0), "whole number"),
    (lambda: plan(of="ions"), "ions"),
])  # fmt: skip
def test_what_cannot_be_worked_out_is_said_kindly(ask, words):
    with pytest.raises(LabError, match=words):
        ask()
