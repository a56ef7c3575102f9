"""The salt and the washing of a plan, by hand and against the sums they are made of."""

import pytest
from helpers import assert_close
from hypothesis import given
from hypothesis import strategies as st

from labkit.bench import batch_plan
from labkit.errors import LabError
from labkit.units import Q, read
from labkit.uptake import taken_up

PLAN = batch_plan("3 g", area="320 cm²", time="5 h")


def test_washes_and_what_is_left_by_hand():
    # 80.7 mg of hexahydrate bring 16.67 mg of iron in 199 mL; the guess of uptake ends at 5 %, so up to 0.0796 mg/mL stay.
    # 2.985 g of powder hold 4 mL/g (likely), 11.94 mL with 0.950 mg.  Likely 0.15 % stay: 4.484 mg, 5 % of which are 0.224 mg.
    # A wash of 59.7 mL that mixes to 80 % leaves 1 - 0.8 x 59.7/71.64 = 0.3333: once leaves 0.317 mg, twice 0.106 mg.
    assert PLAN.find("washes").span.likely == Q(2)
    # 0.1056 mg of iron over 20.66 % are 0.511 mg of the hexahydrate.
    assert_close(PLAN.find("dissolved salt left").span.likely, Q(0.511, "mg"), within=Q(0.005, "mg"))
    assert_close(PLAN.find("solvent of each wash").span.likely, Q(59.7, "mL"), within=Q(0.05, "mL"))


def test_the_range_of_washes_by_hand():
    # Worst: 10 mL/g held with 0.0796 mg/mL are 2.376 mg against 5 % of 0.746 mg (0.025 % stay), and a wash that mixes to 50 %
    # leaves 1 - 0.5 x 20/30 = 0.6667: ln(0.0373/2.376)/ln(0.6667) = 10.25, so 11.  Best: 2 mL/g, 0.475 mg against 5 % of
    # 13.5 mg (0.45 %): less than the target before any wash, but one wash is always made.
    assert [end.magnitude for end in PLAN.find("washes").span.ends] == [1, 2, 11]


def test_more_powder_needs_as_many_washes():
    assert batch_plan("30 g", area="320 cm²", time="5 h").find("washes").text == PLAN.find("washes").text


@given(grams=st.floats(0.05, 500), percent=st.floats(0.1, 8))
def test_what_is_collected_never_rounds_below_the_sum(grams, percent):
    plan = batch_plan(Q(grams, "g"), "100 cm²", "1 h", loading=Q(percent, "percent"))
    line = plan.find("rinses to collect")
    assert read(line.text) >= line.span.likely * (1 - 1e-12)
    poured = plan.find("acetone").span.likely + plan.find("washes").span.high.magnitude * plan.find("solvent of each wash").span.likely  # fmt: skip
    assert_close(line.span.likely, poured, relative=1e-9)


def measured(after):
    return taken_up("0.100 ± 0.001 g/L", after, "150 mL", "2.5 g", salt="FeCl3·6H2O", of="metal")


def test_a_measured_uptake_takes_the_place_of_the_guess():
    found = measured("0.060 ± 0.001 g/L")
    plan = batch_plan("3 g", area="320 cm²", time="5 h", uptake=found)
    # 0.040 of 0.100 g/L went in, 40 %; of the nominal 0.5 % that is 0.20 %.
    line = plan.find("metal in the powder")
    assert_close(line.span.likely, Q(0.20, "percent"), within=Q(0.001, "percent"))
    assert "as measured before" in line.note
    assert line.span.high - line.span.low < Q(0.05, "percent") < PLAN.find("metal in the powder").span.high


def test_an_uptake_that_was_not_seen_gives_no_number_of_washes():
    plan = batch_plan("3 g", area="320 cm²", time="5 h", uptake=measured("0.0999 ± 0.001 g/L"))
    assert plan.find("metal in the powder").span.low == Q(0, "percent")
    assert "no number" in plan.find("washes").text
    assert "licensed disposal" in plan.find("rinses to collect").note  # there are rinses all the same


def test_an_impossible_uptake_or_a_second_solid_is_not_planned_with():
    for after, words in (("0.13 ± 0.001 g/L", "impossible"), ("0 ± 0.001 g/L", "ceiling")):
        before, powder = ("0.1 ± 0.001 g/L", "1.8 g") if words == "impossible" else ("12 ± 0.1 g/L", "1.8 g")
        poor = taken_up(before, after, "75 mL", powder, salt="FeCl3", count=0)
        with pytest.raises(LabError, match=words):
            batch_plan("3 g", area="320 cm²", time="5 h", uptake=poor)


def test_one_wash_is_made_whatever_the_sum_says():
    # 95 % stay: the liquid of the soaking holds next to nothing, and still its rinse is one of the fired mass's 60 mL/g and one wash.
    plan = batch_plan("3 g", area="320 cm²", time="5 h", uptake="95 % to 99 %", held="3 mL")
    assert plan.find("washes").text == "1" and plan.find("5 wash").text.startswith("once: ")
    assert "after 1;" in plan.find("dissolved salt left").note


def test_salts_of_other_metals_bring_their_caution():
    assert "allergy" in batch_plan("3 g", area="320 cm²", time="5 h", salt="NiCl2·6H2O", solvent="ethanol").cautions()
    assert "allergy" not in PLAN.cautions()


def test_iron_in_water_is_warned_of():
    plan = batch_plan("3 g", area="320 cm²", time="5 h", solvent="water")
    assert "hydrolyses" in plan.find("water").note


def test_held_liquid_and_portions_as_typed():
    plan = batch_plan("3 g", area="320 cm²", time="5 h", uptake="30 % to 50 %", held="9 to 12 mL", wash_volume="30 mL")
    # At most 0.7 x 16.67 mg in 199 mL, 0.0586 mg/mL; 10.5 mL hold 0.616 mg, against 5 % of the 0.2 % that likely stay
    # (5.98 mg): 0.299 mg.  A wash leaves 1 - 0.8 x 30/40.5 = 0.407: one is enough.
    assert plan.find("washes").span.likely == Q(1)
    assert plan.find("5 wash").text.startswith("once: ")
    assert plan.find("solvent of each wash").note.startswith("as you asked")


@pytest.mark.parametrize("given", [{"held": "12 g"}, {"held": "-3 mL"}, {"wash_volume": "30"}, {"uptake": "120 %"},
                                   {"wash_volume": "1 µL"}, {"held": "a lot"}])  # fmt: skip
def test_refusals_are_kind(given):
    with pytest.raises(LabError) as told:
        batch_plan("3 g", area="320 cm²", time="5 h", **given)
    assert any(words in str(told.value) for words in ("ype for instance", "more than zero", "Take more solvent"))


def test_without_salt_there_is_nothing_to_wash_out():
    plan = batch_plan("3 g", area="320 cm²", time="5 h", loading="0 %")
    assert not [line for line in plan.lines if line.section == "Washing"]
