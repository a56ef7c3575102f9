"""The batch plan: run forward it meets its target, its gas conserves mass, hazards round up."""

import pytest
from helpers import assert_close
from hypothesis import given
from hypothesis import strategies as st

from labkit.bench import batch_plan
from labkit.chemistry.formula import mass_fractions, molar_mass
from labkit.chemistry.thermolysis import powder_from_precursor
from labkit.data import value
from labkit.errors import LabError
from labkit.solutions import nominal_loading
from labkit.units import Q, read

PLAN = batch_plan("3 g", area="180 cm²", time="5 h")


@given(grams=st.floats(0.05, 500), percent=st.floats(0.1, 10), yielded=st.floats(5, 60), kept=st.floats(50, 100))
def test_the_plan_run_forward_meets_its_target(grams, percent, yielded, kept):
    plan = batch_plan(Q(grams, "g"), "100 cm²", "1 h", loading=Q(percent, "percent"),
                      fraction=Q(yielded, "percent"), recovery=Q(kept, "percent"))  # fmt: skip
    weighed = plan.find("urea").span.likely
    powder = powder_from_precursor(weighed, fraction=Q(yielded, "percent")).likely * kept / 100
    metal = grams * percent / 100
    assert_close(powder + Q(metal, "g"), Q(grams, "g"), relative=1e-9)


def test_the_salt_is_the_hydrate_in_the_jar():
    hydrate, anhydrous = (batch_plan("3 g", "1 cm²", "1 h", salt=salt).find(name).span.likely
                          for salt, name in (("FeCl3·6H2O", "FeCl₃·6H₂O"), ("FeCl3", "FeCl₃")))  # fmt: skip
    # 270.30 over 162.20 g/mol: the hydrate carries the same iron in 1.666 times the mass.
    assert_close(hydrate / anhydrous, Q(270.30 / 162.20), relative=1e-4)
    fired = PLAN.find("powder from the kiln").span.likely
    assert_close(nominal_loading(hydrate, "FeCl3·6H2O", fired), Q(0.5, "percent"), relative=1e-6)


def test_the_dose_by_hand():
    # 3 g at 0.5 % keep 2.985 g of powder; 90 % of what was fired is kept, so 3.317 g were fired.
    # 0.5 % of metal in metal plus powder: 3.317 x 0.005/0.995 = 16.67 mg Fe, over 20.66 % in FeCl3·6H2O: 80.7 mg.
    assert_close(PLAN.find("FeCl₃·6H₂O").span.likely, Q(80.7, "mg"), within=Q(0.1, "mg"))


def test_gas_and_powder_weigh_what_went_in():
    weighed = PLAN.find("urea").span.likely
    ammonia, carbon_dioxide = (PLAN.find(name).span.likely for name in ("NH₃", "CO₂"))
    gas = ammonia * molar_mass("NH3") + carbon_dioxide * molar_mass("CO2")
    melon = weighed * 201.1486 / (12 * 60.0553)
    assert_close((gas + melon).to("g"), weighed, relative=1e-5)


def test_air_to_thin_the_ammonia_by_hand():
    # All nitrogen of the urea as ammonia, 24.465 L/mol at 25 °C, to 25 ppm.
    weighed = PLAN.find("urea").span.high.to("g").magnitude  # the most one may weigh
    air = 2 * weighed / 60.0553 * 24.465e-3 / 25e-6
    assert_close(PLAN.find("air to thin the ammonia").span.likely, Q(air, "m**3"), relative=1e-3)
    assert value("limits", "ammonia 10 h") == Q(25, "ppm")


@given(grams=st.floats(0.01, 1000))
def test_printed_hazard_figures_are_never_below_the_sum(grams):
    plan = batch_plan(Q(grams, "g"), "1 cm²", "1 h")
    line = plan.find("NH₃ at most")
    typed = line.text.split(",")[0]
    assert read(typed) >= line.span.likely * (1 - 1e-12)
    air = plan.find("air to thin the ammonia")
    assert read(air.text) >= air.span.likely * (1 - 1e-12)


def test_the_page_says_what_matters():
    page = " ".join(str(PLAN).split())  # however the lines are broken
    for words in ("almost nothing", "a room cannot carry it", "at most", "Never seal the crucible", "licensed",
                  "yield is not known yet", "1 fire", "6 dry, weigh"):  # fmt: skip
        assert words in page
    assert max(len(line) for line in str(PLAN).splitlines()) <= 100
    assert repr(PLAN) == PLAN.page()
    shown = PLAN._repr_html_()
    assert "NH₃ at most" in shown and "<script" not in shown


def test_a_yield_of_ones_own_needs_no_trial_and_a_heap_needs_licensed_people():
    own = batch_plan("3 g", "1 cm²", "1 h", fraction="20 %")
    assert len(own.remarks) == 1 and "general ventilation" in own.remarks[0]
    heap = batch_plan("400 g", "1 cm²", "1 h", fraction="20 %")
    assert any("licensed" in remark for remark in heap.remarks)


def test_the_solvent_follows_the_salt_and_no_loading_needs_no_salt():
    assert "ethanol" in batch_plan("3 g", "1 cm²", "1 h", salt="ZnCl2").title
    with pytest.raises(LabError, match="Give one"):
        batch_plan("3 g", "1 cm²", "1 h", salt="NiCl2")
    bare = batch_plan("3 g", "1 cm²", "1 h", loading="0 %")
    assert not any("FeCl" in line.item for line in bare.lines)


@pytest.mark.parametrize("precursor, salt, solvent", [("melamine", "ZnCl2", "ethanol"), ("thiourea", "FeCl3", "acetone"), ("dicyandiamide", "FeCl3·6H2O", "acetone")])  # fmt: skip
def test_other_batches_plan_too(precursor, salt, solvent):
    plan = batch_plan("2 g", "1 dm²", "3 h", precursor=precursor, salt=salt, solvent=solvent, loading="1 %")
    page = " ".join(str(plan).split())  # however the lines are broken
    assert precursor in page and solvent in page
    assert ("CS₂ at most" in page) == ("sulfur dioxide" in page) == (precursor == "thiourea")
    assert "HNCO at most" in page and "HCN at most" in page


@pytest.mark.parametrize("wrong, words", [
    ({"doped_powder": "3 mL"}, "a mass"), ({"doped_powder": "-3 g"}, "more than zero"), ({"area": "180 cm"}, "an area"),
    ({"loading": "120 %"}, "loading"), ({"loading": "0.4"}, "in percent"), ({"loading": "40 %"}, "places for"),
    ({"solvent_volume": "0.1 mL", "loading": "20 %"}, "can't hold"), ({"salt": "HCl"}, "HCl"), ({"salt": "FeQ3"}, "Q"), ({"precursor": "sugar"}, "urea"),
    ({"fraction": "40 to 10 %"}, "lower end first"), ({"gap": "459"}, "an energy"), ({"case": "magic"}, "plain"),
    ({"temperature": "cold"}, "batch_plan"), ({"pressure": "0 hPa"}, "batch_plan"), ({"recovery": "0 %"}, "recovery"), ({"uptake": "150 %"}, "uptake"), ({"solvent_volume": "3 g"}, "a volume"),
])  # fmt: skip
def test_mistakes_get_a_kind_word(wrong, words):
    with pytest.raises(LabError, match=words):
        batch_plan(**({"doped_powder": "3 g", "area": "180 cm²", "time": "5 h"} | wrong))


def test_a_measured_temperature_does_not_garble_the_page():
    page = batch_plan("3 ± 0.1 g", "180 ± 5 cm²", "5 h", temperature="20 ± 1 °C").page()
    assert "±" not in page


def test_metal_fraction_of_the_salt_by_hand():
    assert mass_fractions("FeCl3·6H2O")["Fe"] == pytest.approx(0.2066, abs=1e-4)
