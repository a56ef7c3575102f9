"""Uptake by difference against sums on paper, the law of propagation by hand, and a calibration line's own difference."""

import math

import numpy as np
import pytest
from helpers import assert_close
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError
from labkit.solutions import nominal_loading
from labkit.units import Q, normal, number
from labkit.uptake.calibration import calibration
from labkit.uptake.taken_up import NO_PROOF, smallest_uptake_seen, taken_up
from labkit.uptake.typed import seen_level

FE, FECL3, HEXAHYDRATE = 55.845, 162.20, 270.29  # g/mol, whole-number tables of atomic weights


def found(before="612 ± 6 mg/L", after="488 ± 5 mg/L", volume="75 mL", powder_mass="1.8 g", salt="FeCl3", **rest):
    return taken_up(before, after, volume, powder_mass, salt=salt, **rest)


def test_a_difference_on_paper():
    # (612 - 488) mg/L × 75 mL = 9.30 mg; / 1.8 g = 5.167 mg/g; √(6² + 5²) = 7.81 mg/L → 0.3254 mg/g; × 1.96 = 0.6378.
    one = found()
    assert_close(one.mass, Q(9.30, "mg"), relative=1e-9)
    assert_close(one.uptake.likely, Q(5.16667, "mg/g"), relative=1e-5)
    assert_close(one.budget.uncertainty, Q(0.32543, "mg/g"), relative=1e-4)
    assert_close(one.uptake.high, Q(5.16667 + 0.6378, "mg/g"), within=Q(0.006, "mg/g"))  # of 100 000 draws
    assert_close(one.uptake.low, Q(5.16667 - 0.6378, "mg/g"), within=Q(0.006, "mg/g"))
    assert_close(one.loading.likely, Q(100 * 5.16667e-3 / 1.00516667, "percent"), relative=1e-5)
    assert_close(one.share.likely, Q(100 * 124 / 612, "percent"), relative=1e-6)
    assert_close(one.offered, Q(45.9, "mg"), relative=1e-9)
    # √((488/612 × 6)² + 5²)/612 = 1.131 %
    assert_close(one.share.high, Q(100 * 124 / 612 + 1.96 * 1.131, "percent"), within=Q(0.05, "percent"))
    assert one.level == "seen" and one.at_most is None and one.budget.driver == "concentration before"
    assert "5.17 mg/g of iron" in str(one) and "20 % of what was" in " ".join(str(one).split())
    assert repr(one) == str(one) and max(map(len, str(one).splitlines())) <= 60


def test_loading_is_metal_over_metal_and_powder_as_everywhere():
    one = found()
    salt = Q(9.30 * FECL3 / FE, "mg")
    assert_close(one.loading.likely, nominal_loading(salt, "FeCl3", Q(1.8, "g")), relative=1e-4)


def test_masses_of_salt_and_amounts_become_metal():
    metal = found().uptake.likely
    in_salt = found(f"{612 * FECL3 / FE} ± 17 mg/L", f"{488 * FECL3 / FE} ± 14 mg/L", of="salt")
    hydrate = found(f"{612 * HEXAHYDRATE / FE} ± 17 mg/L", f"{488 * HEXAHYDRATE / FE} ± 14 mg/L", of="salt", salt="FeCl3·6H2O")  # fmt: skip
    molar = found(f"{612 / FE} ± 0.1 mmol/L", f"{488 / FE} ± 0.1 mmol/L")
    mixed = found(f"{612 / FE} ± 0.1 mmol/L", "488 ± 5 mg/L")
    for other in (in_salt, hydrate, molar, mixed):
        assert_close(other.uptake.likely, metal, relative=2e-4)  # tables of atomic weights differ in the fifth figure


def test_a_salt_with_two_metals_counts_both():
    # 3 mmol/L of Fe2(SO4)3 in 75 mL are 0.45 mmol of iron, 25.13 mg, on 1.8 g.
    both = found("11 ± 0.1 mmol/L", "8 ± 0.1 mmol/L", salt="Fe2(SO4)3", count=0)
    assert_close(both.uptake.likely, Q(2 * 3e-3 * 75 * FE / 1.8, "mg/g"), relative=1e-4)


def test_every_doubt_has_its_part():
    # ∂q/∂V = 124e-3/1.8, ∂q/∂m = -q/m; all in mg/g.
    one = found(volume="75 ± 1.5 mL", powder_mass="1.8 ± 0.09 g")
    parts = [0.06 * 75 / 18, 0.05 * 75 / 18, 0.124 * 1.5 / 1.8, 5.16667 * 0.05]
    assert number(one.budget.uncertainty, "mg/g") == pytest.approx(math.hypot(*parts), rel=1e-3)


def test_solvent_lost_makes_the_liquid_stronger():
    # 3.9495 g of acetone at 20 °C are 5.000 mL (0.7899 g/mL): afterwards 70 mL, and the same concentration means 12.99... mg more.
    told = found(solvent_lost="3.9495 g", solvent="acetone")
    assert_close(told.mass, Q(0.612 * 75 - 0.488 * 70, "mg"), relative=1e-4)
    assert_close(found(volume_after="70 mL").mass, Q(0.612 * 75 - 0.488 * 70, "mg"), relative=1e-9)
    assert "No loss of solvent" not in str(told)
    # Untold, 1 % of 75 mL at 488 mg/L hides 0.366 mg, 0.203 mg/g: upwards 0.21.
    assert "hides 210 µg/g" in " ".join(str(found()).split()) or "hides 0.21 mg/g" in " ".join(str(found()).split())


def test_all_was_solvent_that_went():
    """Nothing taken up, but 8 % evaporated: the liquid looks stronger, and the difference is negative beyond doubt."""
    fooled = found("600 ± 6 mg/L", f"{600 / 0.92} ± 6 mg/L")
    assert fooled.level == "impossible" and "more iron than was put in" in " ".join(str(fooled).split())
    assert fooled.at_most is None
    right = found("600 ± 6 mg/L", f"{600 / 0.92} ± 6 mg/L", volume_after="69 mL")
    assert right.level == "not seen"


def test_an_excess_hides_what_was_taken_up():
    # 3.90 and 3.82 g/L, each ± 1 %: 4 mg/g ± 1.96 × √(0.039² + 0.0382²) × 50 = 5.35 mg/g.
    lost = found("3.90 ± 0.039 g/L", "3.82 ± 0.0382 g/L", "60 mL", "1.2 g")
    assert lost.level == "not seen"
    assert_close(lost.at_most, Q(4.0 + 5.35, "mg/g"), within=Q(0.06, "mg/g"))
    assert "at most 9.4 mg/g" in " ".join(str(lost).split())
    assert_close(smallest_uptake_seen("3.9 g/L", "60 mL", "1.2 g", "1 %", salt="FeCl3"),
                 Q(1.96 * math.sqrt(2) * 0.01 * 3.9 * 60 / 1.2, "mg/g"), relative=1e-3)  # fmt: skip
    assert_close(smallest_uptake_seen("3.9 g/L", "60 mL", "1.2 g", "1 %", salt="FeCl3", correlation=0.75),
                 Q(1.96 * math.sqrt(0.5) * 0.01 * 3.9 * 60 / 1.2, "mg/g"), relative=1e-3)  # fmt: skip


def test_the_common_recipe_is_an_excess_that_hides_all_published_loadings():
    # Common practice: about 1 g of FeCl3 in 50 mL over 0.5 g of powder.  344.3 mg of iron to 0.5 g, so 1 % of doubt in each
    # concentration hides 1.96 × √2 × 6.886 mg / 0.5 g = 19.1 mg/g, a loading of 1.9 %.
    hidden = smallest_uptake_seen("20 g/L", "50 mL", "0.5 g", "1 %", salt="FeCl3", of="salt")
    assert_close(hidden, Q(19.1, "mg/g"), within=Q(0.05, "mg/g"))


def test_what_two_readings_share_drops_out():
    apart, together = (found("3.90 ± 0.04 g/L", "3.82 ± 0.04 g/L", "60 mL", "1.2 g", correlation=r) for r in (0, 0.9))
    assert number(together.budget.uncertainty / apart.budget.uncertainty, "") == pytest.approx(math.sqrt(0.1), rel=1e-3)
    assert apart.level == "not seen" and together.level == "seen"


def test_one_calibration_line_gives_its_own_difference():
    line = calibration("mg/L;A\n0;0.003\n4;0.124\n8;0.249\n12;0.366\n16;0.490")
    before, after = line.concentration(0.45, dilution=20), line.concentration(0.33, dilution=20)
    one, two = found(before, after, line=line), line.difference(before, after)
    assert_close(one.uptake.likely, two.value * Q(75 / 1.8, "mL/g"), relative=1e-9)
    assert_close(one.budget.uncertainty, two.uncertainty * Q(75 / 1.8, "mL/g"), relative=1e-4)
    assert_close(one.uptake.low, two.low * Q(75 / 1.8, "mL/g"), relative=1e-4)
    assert_close(one.uptake.high, two.high * Q(75 / 1.8, "mL/g"), relative=1e-4)
    with pytest.raises(LabError, match="read from it"):
        found(before, "488 ± 5 mg/L", line=line)


def test_more_than_one_metal_for_each_heptazine_is_no_doping():
    # The ceiling is 55.845 over 55.845 and 201.15, 21.7 %: 863 mg/g are 46 %.
    over = found("1.73 ± 0.01 g/L", "0 ± 0.005 g/L", "600 mL", "1.2 g")
    assert over.level == "above the ceiling" and "second solid" in str(over)
    assert "all that was offered" in " ".join(over.notes)
    assert found("1.73 ± 0.01 g/L", "1.23 ± 0.01 g/L", "60 mL", "1.2 g").level == "seen"


def test_an_interval_across_the_ceiling_says_so():
    # (6 - 0.2) g/L × 75 mL / 1.9 g = 229 mg/g ± 40: 13 to 23 %, and one iron for each heptazine is 21.7 %.
    across = found("6 ± 1 g/L", "0.2 ± 0.1 g/L", powder_mass="1.9 g", count=0)
    assert across.level == "seen" and "reaches above one metal for each heptazine, 21.7 %" in " ".join(across.notes)
    assert "reaches above" not in str(found())


def test_more_liquid_afterwards_than_before_is_asked_about():
    assert "more liquid afterwards" in str(found(volume_after="90 mL", count=0)) and "more liquid" not in str(
        found(volume_after="74 mL", count=0)
    )


def test_the_smallest_uptake_wants_one_true_concentration():
    for poor in (Q(float("nan"), "g/L"), "-4 g/L", 4, "4 g"):
        with pytest.raises(LabError):
            smallest_uptake_seen(poor, "60 mL", "1.2 g", salt="FeCl3")


def test_a_rough_one_says_so():
    rough = found("612 ± 6 mg/L", "590 ± 5 mg/L")  # 22 ± 15.3 mg/L
    assert rough.level == "seen, but roughly" and "order of magnitude" in " ".join(str(rough).split())


@pytest.mark.parametrize("low, likely, high, level", [
    (3, 4, 5, "seen"), (1, 4, 7, "seen, but roughly"), (0, 4, 8, "not seen"), (-3, -1, 1, "not seen"), (-3, -2, -0.1, "impossible"),
    (2, 4, 6, "seen"), (1.9, 4, 6.1, "seen, but roughly"),
])  # fmt: skip
def test_levels(low, likely, high, level):
    assert seen_level(low, likely, high) == level


def test_that_a_difference_proves_nothing_is_always_said():
    assert NO_PROOF in found().notes and "hydroxide" in NO_PROOF


@settings(max_examples=40, deadline=None)
@given(st.floats(1, 2000), st.floats(0, 1), st.floats(1, 500), st.floats(0.05, 50))
def test_metal_is_kept(concentration, part, volume, powder):
    one = taken_up(normal(Q(concentration, "mg/L"), "2 %"), normal(Q(concentration * (1 - part), "mg/L"), Q(0.02 * concentration, "mg/L")),
                   Q(volume, "mL"), Q(powder, "g"), salt="ZnCl2", count=200)  # fmt: skip
    gone = number(one.mass, "mg")
    assert gone + concentration * (1 - part) * volume / 1000 == pytest.approx(number(one.offered, "mg"), rel=1e-9)
    assert number(one.uptake.likely, "mg/g") * powder == pytest.approx(gone, rel=1e-9, abs=1e-12)
    q = number(one.uptake.likely, "mg/g") / 1000
    assert number(one.loading.likely, "") == pytest.approx(q / (1 + q), rel=1e-9, abs=1e-15)
    assert one.uptake.low <= one.uptake.likely <= one.uptake.high


@pytest.mark.parametrize("changes, words", [
    ({"before": "612 mg/L", "after": "488 mg/L"}, "says nothing without it"),
    ({"before": "612"}, "without a unit"),
    ({"before": "612 ± 6 g"}, "mass per volume"),
    ({"before": Q(612, "g")}, "neither"),
    ({"before": 612}, "has no unit"),
    ({"before": Q(np.array([1.0, 2.0]), "mg/L")}, "one finite concentration"),
    ({"before": "0 ± 1 mg/L"}, "needs metal"),
    ({"after": "-30 ± 5 mg/L"}, "below zero"),
    ({"volume": "0 mL"}, "more than zero"),
    ({"volume": "5 g"}, "volume"),
    ({"powder_mass": "0 g"}, "more than zero"),
    ({"solvent_lost": "1 g"}, "solvent"),
    ({"solvent_lost": "1 g", "solvent": "petrol"}, "petrol"),
    ({"solvent_lost": "80 g", "solvent": "acetone"}, "more solvent lost"),
    ({"solvent_lost": "1 g", "solvent": "acetone", "volume_after": "70 mL"}, "not both"),
    ({"correlation": 1.5}, "-1 to 1"),
    ({"after": "488 mg/L", "correlation": 0.5}, "± on both"),
    ({"salt": "NaCl"}, "one metal"),
    ({"of": "ions"}, "ions"),
])  # fmt: skip
def test_what_cannot_be_worked_out_is_said_kindly(changes, words):
    with pytest.raises(LabError, match=words):
        found(**changes)
