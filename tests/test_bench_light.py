"""The light of a plan: where it is from, what it brings, and that it meets the sums it is made of."""

import pytest
from helpers import assert_close

from labkit.bench import batch_plan
from labkit.bench.light import FEW_DRAWS, hydrogen_lines, light_given
from labkit.errors import LabError
from labkit.hydrogen import hydrogen_chain, hydrogen_from_solar_cells, hydrogen_volume
from labkit.light import sun_day, sun_year
from labkit.units import Q, as_range

POWDER = as_range("1.5 to 4.9 g, likely 3.0 g", "[mass]")
AIR = Q(293.15, "K"), Q(1, "atm")


def lines(time="6 h", case="plain", powder=POWDER, gap="2.70 eV", area="320 cm²"):
    return {line.item: line for line in hydrogen_lines(gap, area, time, case, powder, *AIR)}


def test_photons_and_ceiling_by_hand():
    found = lines()
    # G173 above 2.70 eV: 414.2 µmol/m²/s at 1000.37 W/m² (ledger value of the same spectrum by another sum), so
    # 414.05 at 1000 W/m²; times 0.0320 m² and 21 600 s are 286.2 mmol, and half of that as gas at 24.055 L/mol.
    assert_close(found["photons above the gap"].span.likely, Q(286.2, "mmol"), within=Q(0.3, "mmol"))
    assert_close(found["ceiling of the light"].span.likely, Q(0.2862 / 2 * 24.055, "L"), relative=2e-3)


def test_the_absorbed_share_by_hand():
    # 3.0 g on 0.0320 m² are 93.75 g/m²; the guess is 0.1 to 5 m²/g, likely 1, and exp(-4.6875) is 0.00921.
    share = lines()["absorbed share"].span
    assert_close(share.low, Q(99.08, "percent"), within=Q(0.02, "percent"))
    # A tenth of a gram on the same tray lets light through: at 0.1 m²/g it takes 1 - exp(-0.3125) of it.
    thin = lines(powder=as_range("0.1 g", "[mass]"))["absorbed share"].span
    assert_close(thin.low, Q(26.84, "percent"), within=Q(0.02, "percent"))


def test_less_powder_never_gives_more_gas():
    sizes = [lines(case="donor", powder=as_range(f"{grams} g", "[mass]"))["honest estimate"].span.likely.m_as("mL")
             for grams in (0.01, 0.1, 1, 10)]  # fmt: skip
    assert sizes == sorted(sizes) and sizes[0] < 0.5 * sizes[-1]
    assert sizes[-1] - sizes[-2] < 1e-3 * sizes[-1]  # once it takes in the light, more powder gives no more


def test_a_day_is_the_light_of_its_place():
    june = sun_day("47°N", "20 June")
    light, origin = light_given(june)
    assert light.ends == june.full_sun.ends and "47°N" in origin and "clear sky" in origin
    plan = batch_plan("3 g", "320 cm²", june)
    assert plan.find("hours of full sun").span.ends == june.full_sun.ends
    assert "47°N" in plan.find("hours of full sun").note
    year = sun_year("47°N")
    mean = batch_plan("3 g", "320 cm²", year).find("hours of full sun")
    assert mean.span.high < june.full_sun.high and "mean day" in mean.note and "mean day" not in origin


def test_irradiation_and_hours_are_one():
    typed, counted = lines("4.2 kWh/m²"), lines("4.2 h")
    for item, line in typed.items():
        unit = line.span.likely.units
        assert line.span.m_as(unit) == pytest.approx(counted[item].span.m_as(unit), rel=1e-9), item


def test_the_draws_lie_within_the_worst_cases():
    for case in ("plain", "donor", "donor and platinum"):
        found = lines("2 to 6 h, likely 4 h", case, gap="2.70 to 2.88 eV, likely 2.75 eV")
        whole, drawn = found["honest estimate"].span, found["95 of 100 draws"].span
        assert whole.low <= drawn.low <= drawn.likely <= drawn.high < whole.high, case
    assert lines()["95 of 100 draws"].text.startswith("almost nothing")


def test_few_draws_are_enough_for_two_figures():
    chain = hydrogen_chain("2.70 to 2.88 eV, likely 2.75 eV", "320 cm²", "2 to 6 h", "donor and platinum")
    few, many = chain.spread(FEW_DRAWS), chain.spread(400_000)
    for name in ("low", "median", "high"):
        # One in the second figure of the smallest two-figure number is 10 %; a third of that is not seen.
        assert_close(getattr(few, name), getattr(many, name), relative=0.033)


def test_solar_cells_are_those_of_the_chapter_on_hydrogen():
    # The same sum as workbook 07 does for single values.
    found = lines("6 h")["solar cells instead"].span
    amount = hydrogen_from_solar_cells("320 cm²", "6 h")
    for end, mole in zip(found.ends, amount.ends):
        assert_close(end, hydrogen_volume(mole, *AIR), relative=1e-9)
    # By hand: 18 % of 1000 W/m² over 2.0 V are 90 A/m²; on 0.0320 m² for 6 h, over 2 F, at 24.055 L/mol.
    assert_close(found.likely, Q(90 * 0.0320 * 21600 / (2 * 96485.33) * 24.055, "L"), relative=1e-3)


@pytest.mark.parametrize("time", ["5 kg", "soon", "-2 h", "0 h", None, 7])
def test_what_is_no_light_is_refused_in_words(time):
    with pytest.raises(LabError):
        batch_plan("3 g", "320 cm²", time)
