"""The account of a doping against one kept by hand: it adds up, and says what came off."""

import math

import pytest
from helpers import assert_close
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError
from labkit.units import Q, normal, number
from labkit.uptake.account import metal_account
from labkit.uptake.calibration import calibration


def account(offered=("600 ± 6 mg/L", "75 mL"), supernatant=("480 ± 5 mg/L", "68 mL"), rinses=(("85 ± 2 mg/L", "30 mL"), ("20 ± 1 mg/L", "30 mL")),
            held="7 mL", **rest):  # fmt: skip
    return metal_account("FeCl3", offered, supernatant, rinses, held=held, **rest)


def test_an_account_kept_by_hand():
    # mg: offered 45.00; poured off 32.64; rinses 2.55 and 0.60; still dissolved 20 mg/L × 7 mL = 0.14; so 9.07 stayed.
    one = account(powder_mass="1.8 g")
    by_hand = {"offered": 45.0, "supernatant": 32.64, "rinse 1": 2.55, "rinse 2": 0.6, "still dissolved": 0.14, "taken up": 9.07}  # fmt: skip
    assert {row.name: number(row.metal, "mg") for row in one.rows} == pytest.approx(by_hand, rel=1e-9)
    assert [row.name for row in one.rows] == list(by_hand)
    # 75 × 6, 68 × 5, 30 × 2, and (30 + 7) × 1 µg.
    assert number(one.budget.uncertainty, "µg") == pytest.approx(math.hypot(450, 340, 60, 37), rel=1e-4)
    assert_close(one.taken_up.high, Q(9.07 + 1.96 * 0.5684, "mg"), within=Q(0.02, "mg"))
    assert one.level == "seen" and one.budget.driver == "offered concentration"
    assert_close(one.uptake.likely, Q(9.07 / 1.8, "mg/g"), relative=1e-9)
    assert_close(one.loading.likely, Q(907 / 1809.07, "percent"), relative=1e-9)
    # Before the first wash the powder kept 45 - 480 × 75 = 9.00 mg; then -0.07 mg came off: nothing.
    assert_close(one.before_washing.likely, Q(9.0, "mg"), relative=1e-9)
    assert number(one.came_off.likely, "mg") == pytest.approx(-0.07, abs=1e-9)
    assert "nothing is seen to have come off" in " ".join(str(one).split())
    assert_close(one.waste, Q(128, "mL"), relative=1e-9)
    assert_close(one.waste_salt, Q(35.79 * 162.20 / 55.845, "mg"), relative=1e-4)
    assert "130 mL of liquid with 110 mg of FeCl₃" in " ".join(str(one).split())  # upwards: 128 mL, 103.95 mg
    assert max(map(len, str(one).splitlines())) <= 60 and "9.07 ± 0.57" in str(one)


def test_what_came_off_with_the_rinses():
    # Held: 480 mg/L × 7 mL = 3.36 mg.  Rinses of 200 and 60 mg/L bring 6.00 + 1.80 + 0.42 left: 4.86 mg more than that.
    one = account(rinses=(("200 ± 3 mg/L", "30 mL"), ("60 ± 1 mg/L", "30 mL")))
    assert number(one.came_off.likely, "mg") == pytest.approx(8.22 - 3.36, rel=1e-9)
    assert "loosely bound" in " ".join(str(one).split())
    poor = account(rinses=(("20 ± 1 mg/L", "30 mL"),))
    assert number(poor.came_off.likely, "mg") == pytest.approx(0.6 + 0.14 - 3.36, rel=1e-9)
    assert "not fully mixed" in " ".join(str(poor).split())
    assert account(held="0 mL").came_off is None and account(rinses=()).came_off is None


def test_salt_that_was_weighed():
    # 130.70 mg of FeCl3 hold 45.00 mg of iron.
    one = account("130.70 ± 0.5 mg")
    assert number(one.rows[0].metal, "mg") == pytest.approx(45.0, rel=1e-4)
    assert number(one.rows[0].uncertainty, "mg") == pytest.approx(0.5 * 55.845 / 162.20, rel=1e-3)
    hydrate = metal_account("FeCl3·6H2O", "217.8 ± 0.5 mg", ("480 ± 5 mg/L", "68 mL"))
    assert number(hydrate.rows[0].metal, "mg") == pytest.approx(45.0, rel=1e-3)


def test_whether_a_second_measurement_closes_it():
    closes = account(measured="8.5 ± 0.4 mg")
    assert number(closes.gap.likely, "mg") == pytest.approx(0.57, rel=1e-6)
    assert number(closes.gap.high - closes.gap.likely, "mg") == pytest.approx(1.96 * math.hypot(0.5684, 0.4), rel=1e-3)
    assert "The account closes" in str(closes)
    assert "does not close" in " ".join(str(account(measured="4 ± 0.4 mg")).split())


def test_nothing_stayed_or_too_much_came_out():
    none = account(supernatant=("605 ± 6 mg/L", "68 mL"))
    assert none.level == "not seen" and "kept at most" in " ".join(str(none).split())
    wrong = account(supernatant=("680 ± 5 mg/L", "68 mL"))
    assert wrong.level == "impossible" and "More iron came out" in str(wrong)


def test_what_may_hide_where_the_estimate_is_below_zero():
    # 45.00 - 45.22 - 0.42 mg (rinses 85, 20 mg/L left out): the estimate is negative, and from zero on half the interval may hide.
    none = account(supernatant=("665 ± 6 mg/L", "68 mL"), rinses=(), held="0 mL", count=0)
    half = 1.96 * math.hypot(75 * 6, 68 * 6) / 1000
    assert number(none.taken_up.likely, "mg") == pytest.approx(45 - 45.22, rel=1e-6)
    most = float(none.sentence.split("kept at most ")[1].split(" mg")[0])
    assert half <= most <= 1.1 * half  # 1.19 mg, upwards; the upper end of the interval itself is only 0.97


def test_the_doubt_of_the_powder_is_part_of_the_loading():
    # 9.07 mg ± 0.568 mg on 1.8 ± 0.3 g: 6.3 % and 16.7 % make 17.8 %.
    sure, unsure = account(powder_mass="1.8 g", count=0), account(powder_mass="1.8 ± 0.3 g", count=0)
    half = 1.96 * 9.07 / 1.8 * math.hypot(0.5684 / 9.07, 0.3 / 1.8)
    assert number(unsure.uptake.high - unsure.uptake.likely, "mg/g") == pytest.approx(half, rel=2e-3)
    assert_close(sure.uptake.likely, unsure.uptake.likely, relative=1e-9)
    assert unsure.loading.high > sure.loading.high and unsure.loading.low < sure.loading.low


def test_a_second_solid_is_told_from_doping():
    over = account(powder_mass="20 mg")  # 9.07 mg on 20 mg are 31 %, one iron for each heptazine 21.7 %
    assert "That is above one metal for each heptazine, 21.7 %" in " ".join(str(over).split())
    across = account(powder_mass="33 mg")  # 21.6 %
    assert "The interval reaches above" in " ".join(str(across).split())
    assert "heptazine" not in str(account(powder_mass="1.8 g"))


def test_liquid_that_is_missing_or_was_not_told_is_said():
    said = " ".join(str(account(held="0 mL")).split())
    assert "No held liquid was told" in said and "7.0 mL less than was put in" in said  # 75 - 68 mL
    whole = " ".join(str(account()).split())
    assert "No held liquid" not in whole and "than was put in" not in whole
    assert "more than was put in" in " ".join(str(account(supernatant=("480 ± 5 mg/L", "78 mL"))).split())


def test_one_line_for_all():
    line = calibration("mg/L;A\n0;0.003\n4;0.124\n8;0.249\n12;0.366\n16;0.490")
    before, after = line.concentration(0.45, dilution=20), line.concentration(0.33, dilution=20)
    one = account((before, "75 mL"), (after, "75 mL"), (), "0 mL", line=line)
    two = line.difference(before, after)
    assert_close(one.budget.uncertainty, two.uncertainty * Q(75, "mL"), relative=1e-4)
    apart, together = account(), account(correlation=0.8)
    assert together.budget.uncertainty < apart.budget.uncertainty


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 900), st.floats(0, 100)), min_size=0, max_size=4), st.floats(0, 20), st.floats(1, 1000))  # fmt: skip
def test_an_account_adds_up(rinses, held, offered):
    one = metal_account("ZnCl2", normal(Q(offered, "mg"), "1 %"), (Q(300.0, "mg/L"), Q(50.0, "mL")),
                        [(Q(strength, "mg/L"), Q(volume, "mL")) for strength, volume in rinses], held=Q(held, "mL"), count=0)  # fmt: skip
    first, *rest = [number(row.metal, "mg") for row in one.rows]
    assert sum(rest) == pytest.approx(first, rel=1e-9)
    assert sum(number(row.share, "") for row in one.rows[1:]) == pytest.approx(1, rel=1e-9)
    assert len(one.table()) == len(rinses) + 5


@pytest.mark.parametrize("ask, words", [
    (lambda: account(offered="45 g/L"), "a mass"),
    (lambda: account(supernatant="480 mg/L"), "a concentration and a volume"),
    (lambda: account(rinses=(("85 mg/L",),)), "rinse 1"),
    (lambda: account(("600 mg/L", "75 mL"), ("480 mg/L", "68 mL"), ()), "needs a ±"),
    (lambda: account(("0 ± 1 mg/L", "75 mL")), "metal that was offered"),
    (lambda: account(rinses=[("1 ± 1 mg/L", "1 mL")] * 51), "up to 50 rinses"),
    (lambda: account(correlation=1), "below 1"),
    (lambda: account(held="-1 mL"), "zero or more"),
    (lambda: account(of="ions"), "ions"),
    (lambda: account(measured="3 mL"), "mass"),
])  # fmt: skip
def test_what_cannot_be_worked_out_is_said_kindly(ask, words):
    with pytest.raises(LabError, match=words):
        ask()
