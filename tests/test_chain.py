"""The chain from light to millilitres, against sums by hand, against the estimate, and against the laws of its draws."""

import math
import time as clock

import numpy as np
import pytest
from helpers import assert_close
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants

from labkit.data import guess
from labkit.errors import LabError
from labkit.hydrogen import (
    beside,
    burning_heat,
    cases,
    hydrogen_ceiling,
    hydrogen_chain,
    hydrogen_from_photons,
    kettle_water,
    link_text,
    litres_of_tea,
)
from labkit.light import sun_year
from labkit.units import Q, Range, as_range

# Photons of ASTM G173-03, trapezoid over the table of pvlib without labkit: the whole 4.3056e21 /m²/s and 1000.37 W/m²,
# above 2.7 eV 2.4944e20 /m²/s.
WHOLE, ABOVE, SUN = 4.3056e21 / constants.N_A, 2.4944e20 / constants.N_A, 1000.37
HOUR = 3600 * 1000 / SUN  # seconds of the spectrum that bring 1 kWh/m²


def value(chain, name):
    return next(link.value for link in chain.links if link.name == name)


def factor(chain, name):
    return next(link.factor for link in chain.links if link.name == name)


# --------------------------------------------------------------------------------------- link by link
def test_every_link_by_hand():
    # 250 cm², 4 h of full sun, 2.7 eV, a yield of 0.2 %, dry gas at 25 °C and 1 atm.
    chain = hydrogen_chain("2.7 eV", "250 cm²", "4 h", quantum_yield="0.2 %", temperature="25 °C")
    photons = ABOVE * HOUR * 4 * 0.025
    assert_close(value(chain, "light").likely, Q(WHOLE * HOUR * 4, "mol/m**2"), relative=1e-4)
    assert_close(value(chain, "area").likely, Q(WHOLE * HOUR * 4 * 0.025, "mol"), relative=1e-4)
    assert_close(value(chain, "gap").likely, Q(photons, "mol"), relative=3e-4)
    assert_close(value(chain, "absorbed share").likely, Q(photons, "mol"), relative=3e-4)
    assert_close(value(chain, "quantum yield").likely, Q(photons * 0.002, "mol"), relative=3e-4)
    assert_close(chain.hydrogen.likely, Q(photons * 0.001, "mol").to("µmol"), relative=3e-4)
    litres = photons * 0.001 * constants.R * 298.15 / 101325 * 1000
    assert_close(chain.volume.likely, Q(litres, "L").to("mL"), relative=3e-4)
    assert_close(chain.ceiling_volume.likely, Q(litres / 0.002, "L").to("mL"), relative=3e-4)
    assert_close(chain.per_area.likely, Q(photons * 0.001 / 0.025, "mol/m**2").to("µmol/m**2"), relative=3e-4)


def test_the_order_is_that_of_the_light_and_the_last_link_is_the_result():
    chain = hydrogen_chain("2.7 to 2.9 eV", "200 to 300 cm²", "3 to 5 h", "donor", load="0.3 to 3 g/L", depth="2 cm")
    names = [link.name for link in chain.links]
    assert names == ["light", "area", "gap", "absorbed share", "quantum yield", "electrons", "molar volume"]
    assert chain.links[-1].value == chain.volume
    for before, after in zip(chain.links, chain.links[1:]):
        product = [end * part for end, part in zip(before.value.ends, after.factor.ends)]
        for ours, theirs in zip(after.value.ends, product):
            assert_close(ours, theirs.to(ours.units), within=1e-9 * abs(ours) + Q(1e-30, ours.units))


def test_an_irradiance_for_a_time_by_hand():
    """Photons above the gap, times area, time and yield, over two: without the chain."""
    for case in cases():
        chain = hydrogen_chain("2.7 to 2.9 eV", "120 cm²", "600 W/m²", case, time="3 to 5 h")
        shares = guess("quantum_yields", case).m_as("dimensionless")
        for ours, most, gap, hours, share in zip(
            chain.hydrogen.ends, chain.ceiling.ends, (2.9, 2.8, 2.7), (3, 4, 5), shares
        ):
            ceiling = (hydrogen_ceiling(Q(gap, "eV"), "600 W/m²") * Q(120, "cm**2") * Q(hours, "h")).to("µmol")
            assert_close(most, ceiling, relative=1e-9)
            assert_close(ours, ceiling * share, within=1e-9 * ceiling)
        assert "doi" in chain.evidence


def test_hours_and_irradiation_are_the_same_light():
    hours, energy, quantity = (
        hydrogen_chain("2.7 eV", "1 m²", light, "donor").hydrogen.likely
        for light in ("4.5 h", "4.5 kWh/m²", Q(16.2, "MJ/m**2"))
    )
    assert_close(hours, energy, relative=1e-12)
    assert_close(hours, quantity, relative=1e-12)  # 3.6 MJ is a kWh


def test_the_sun_of_a_year_is_taken_whole_and_not_as_its_mean_day():
    year = sun_year("48 N", measured=["1 kWh/m²"] * 12)  # 365 kWh/m²
    found = hydrogen_chain("2.7 eV", "1 m²", year, "donor").hydrogen
    assert_close(found.likely, hydrogen_chain("2.7 eV", "1 m²", "365 h", "donor").hydrogen.likely, relative=0.003)


def test_a_lamp_counts_its_photons_once():
    # 300 µmol/m²/s above the gap for 2 h on 50 cm²: 10.8 mmol; the gap takes no second share.
    chain = hydrogen_chain("2.7 eV", "50 cm²", "300 µmol/m²/s", "donor and platinum", time="2 h")
    assert_close(value(chain, "gap").likely, Q(0.0108, "mol"), relative=1e-9)
    assert chain.hours is None
    assert "gap" not in [name for name, *_ in chain.volume.drivers]
    low, likely, high = guess("quantum_yields", "donor and platinum").m_as("dimensionless")
    for ours, share in zip(chain.hydrogen.ends, (low, likely, high)):
        assert_close(ours, hydrogen_from_photons("10.8 mmol", share).to("µmol"), relative=1e-9)


# --------------------------------------------------------------------------------------- the layer
@pytest.mark.parametrize("load, depth, expected", [
    ("0.2 g/m²", None, 1 - math.exp(-0.4)), ("2 g/m²", None, 1 - math.exp(-4)), ("100 g/m²", None, 1.0),
    ("0.02 g/L", "1 cm", 1 - math.exp(-0.4)), ("20 g/m³", "1 cm", 1 - math.exp(-0.4)),
])  # fmt: skip
def test_the_absorbed_share_is_that_of_a_layer(load, depth, expected):
    chain = hydrogen_chain("2.7 eV", "1 m²", "1 h", "donor", load=load, depth=depth, absorption="2 m²/g")
    assert_close(factor(chain, "absorbed share").likely, Q(100 * expected, "percent"), relative=1e-9)
    assert_close(
        chain.hydrogen.likely / hydrogen_chain("2.7 eV", "1 m²", "1 h", "donor").hydrogen.likely,
        Q(expected),
        relative=1e-9,
    )


def test_the_ceiling_of_the_light_knows_no_load():
    thin, whole = (hydrogen_chain("2.7 eV", "1 m²", "1 h", "donor", **layer) for layer in ({"load": "0.1 g/m²"}, {}))
    assert thin.ceiling == whole.ceiling and thin.ceiling_volume == whole.ceiling_volume


def test_without_a_load_all_counts_as_absorbed_and_it_is_said():
    chain = hydrogen_chain("2.7 eV", "1 m²", "1 h", "donor")
    assert factor(chain, "absorbed share").likely == Q(100, "percent")
    assert any("lets nothing through" in note for note in chain.notes)


def test_what_can_hurt_stands_beside_the_volume():
    for case, words in (("plain", "oxygen comes with it where water is split, and the two can detonate"),
                        ("donor", "lights in air from 4 % upward"), ("donor and platinum", "lights in air from 4 % upward")):  # fmt: skip
        text = " ".join(str(hydrogen_chain("2.7 eV", "80 cm²", "3 h", case)).split())
        assert words in text and "no closed glass, no flame" in text
    assert "neither stored nor burnt" in " ".join(
        str(beside(hydrogen_chain("2.7 eV", "80 cm²", "3 h", "donor"))).split()
    )


def test_with_a_load_the_guess_is_named_and_nothing_is_counted_twice():
    chain = hydrogen_chain("2.7 eV", "1 m²", "1 h", "donor", load="1 g/m²")
    assert any("guess" in note and "a second time" in note for note in chain.notes)
    assert "memory" in next(link.source for link in chain.links if link.name == "absorbed share")
    low, _, high = factor(chain, "absorbed share").m_as("percent")
    assert low < 15 < 90 < high  # 0.1 to 5 m²/g: 9.5 to 99 %


def test_powder_that_is_spread_thin_is_pointed_out():
    thin = hydrogen_chain("2.7 eV", "1 m²", "1 h", "donor", powder="0.3 g")
    deep = hydrogen_chain("2.7 eV", "100 cm²", "1 h", "donor", powder="8 g")
    assert any("give load=" in note for note in thin.notes)
    assert not any("give load=" in note for note in deep.notes)


def test_per_gram_by_mass_and_by_load():
    chain = hydrogen_chain("2.7 eV", "200 cm²", "1 h", "donor and platinum", powder="0.5 g")
    assert_close(chain.per_gram.likely, chain.hydrogen.likely / Q(0.5, "g"), relative=1e-12)
    thick = hydrogen_chain("2.7 eV", "200 cm²", "1 h", "donor and platinum", load="1 to 4 g/m²", absorption="2 m²/g")
    # By hand at the ends: the thin layer gives a gram more light.
    whole = hydrogen_chain("2.7 eV", "1 m²", "1 h", "donor and platinum").hydrogen
    assert_close(thick.per_gram.high, whole.high * (1 - math.exp(-2)) / Q(1, "g"), relative=1e-9)
    assert_close(thick.per_gram.low, whole.low * (1 - math.exp(-8)) / Q(4, "g"), relative=1e-9)


def test_published_rates_per_gram_lie_within_the_chain():
    """107 µmol/h/g with platinum and a donor in visible light (Wang 2009; total from a secondary copy, mass from memory)."""
    chain = hydrogen_chain("2.7 eV", "40 cm²", "1 h", "donor and platinum", powder="0.1 g")
    assert chain.per_gram.low < Q(107, "µmol/g") < chain.per_gram.high


# ------------------------------------------------------------------------------------ ends and drivers
def test_the_ends_are_those_of_every_corner():
    """All inputs at every combination of their ends, by calling the chain anew: none beats the ends."""
    spans = {"gap": "2.6 to 2.9 eV, likely 2.7 eV", "area": "200 to 300 cm²", "light": "3 to 5 h", "load": "0.5 to 2 g/m²",
             "absorption": "0.5 to 3 m²/g", "quantum_yield": "0.1 to 0.4 %", "temperature": "15 to 30 °C", "pressure": "960 to 1030 hPa"}  # fmt: skip
    whole = hydrogen_chain(**spans, over_water=True)
    dims = {"gap": "[energy]", "area": "[area]", "light": "[time]", "quantum_yield": "[]", "temperature": "[temperature]", "pressure": "[pressure]"}  # fmt: skip
    ends = {name: as_range(text, dims[name]).ends if name in dims else None for name, text in spans.items()}
    ends["load"], ends["absorption"] = (
        (Q(0.5, "g/m**2"), None, Q(2, "g/m**2")),
        (Q(0.5, "m**2/g"), None, Q(3, "m**2/g")),
    )
    rng, found = np.random.default_rng(7), []
    for _ in range(60):  # of the 256 corners
        picked = {name: triple[rng.choice([0, 2])] for name, triple in ends.items()}
        found.append(hydrogen_chain(**picked, over_water=True).volume.likely.m_as("mL"))
    least = {name: triple[2 if name in ("gap", "pressure") else 0] for name, triple in ends.items()}
    found.append(hydrogen_chain(**least, over_water=True).volume.likely.m_as("mL"))
    assert_close(min(found), whole.volume.low.m_as("mL"), relative=1e-9)
    assert max(found) <= whole.volume.high.m_as("mL") * (1 + 1e-9)


def test_a_driver_moves_one_input_alone():
    chain = hydrogen_chain("2.7 eV", "100 to 400 cm², likely 200 cm²", "4 h", "donor and platinum")
    drivers = {name: (low, high) for name, low, high in chain.volume.drivers}
    assert set(drivers) == {"area", "quantum yield"}
    assert_close(drivers["area"][1] / drivers["area"][0], Q(4), relative=1e-9)
    assert_close(drivers["area"][0], chain.volume.likely / 2, relative=1e-9)
    assert chain.volume.driver == "quantum yield"


def test_plain_powder_says_almost_nothing():
    chain = hydrogen_chain("2.7 eV", "260 cm²", "4 h")
    assert "almost nothing" in chain.sentence and "The spread comes" not in chain.sentence
    assert any("little more than that" in note for note in chain.notes)
    found = chain.spread(detection="0.1 mL")
    assert found.parts == () and "says almost nothing" in found.sentence and found.median.magnitude == 0


@given(
    gap=st.floats(1.4, 4.0),
    area=st.floats(1e-4, 100),
    hours=st.floats(0.1, 3000),
    case=st.sampled_from(sorted(cases())),
)
def test_nothing_beats_the_ceiling_and_more_light_gives_more(gap, area, hours, case):
    chain = hydrogen_chain(Q(gap, "eV"), Q(area, "m**2"), Q(hours, "h"), case)
    assert Q(0, "mL") <= chain.volume.low <= chain.volume.likely <= chain.volume.high <= chain.ceiling_volume.high
    assert_close(chain.over(Q(2 * hours, "h")).volume.high, 2 * chain.volume.high, relative=1e-9)


def test_a_year_is_the_same_chain_in_other_light():
    day = hydrogen_chain("2.75 eV", "0.3 m²", "3 to 5 h", "donor", load="2 g/m²", over_water=True, temperature="24 °C")
    year = day.over("1100 to 1500 h")
    assert year.state == day.state and year.notes == day.notes
    assert_close(year.volume.high / day.volume.high, Q(1500 / 5), relative=1e-9)


# --------------------------------------------------------------------------------------------- draws
def test_the_draws_of_a_ratio_have_the_spread_that_a_sum_by_hand_gives():
    """Half log-uniform over [a, m], half over [m, b]: mean and variance of the logarithm follow from the two halves."""
    chain = hydrogen_chain("2.7 eV", "50 to 800 cm², likely 100 cm²", "4 h", quantum_yield="0.1 to 4 %, likely 0.3 %")
    found = chain.spread(400_000)

    def variance(low, likely, high):
        down, up = math.log(likely / low), math.log(high / likely)
        mean = (up - down) / 4
        return (down**2 + up**2) / 6 - mean**2

    parts = {"area": variance(50, 100, 800), "quantum yield": variance(0.1, 0.3, 4)}
    assert dict(found.parts).keys() == parts.keys()
    for name, share in found.parts:
        assert_close(share, parts[name] / sum(parts.values()), within=0.005)  # 400 000 draws: some 0.002
    assert_close(float(np.var(np.log(found.volumes))), sum(parts.values()), relative=0.01)
    # Of one uncertain input the median is the likely value; of two lopsided ones it need not be.
    one = hydrogen_chain("2.7 eV", "100 cm²", "4 h", quantum_yield="0.1 to 4 %, likely 0.3 %")
    assert_close(one.spread(400_000).median, one.volume.likely, relative=0.01)


def test_the_interval_leaves_one_in_forty_on_either_side():
    chain = hydrogen_chain("2.7 eV", "100 cm²", "4 h", quantum_yield="1 to 4 %")
    found, likely = chain.spread(200_000), chain.volume.likely.m_as("mL")
    # One input, by ratio on either side of its likely 2.5 %: of the lower half 5 % lie below 1 (2.5)^0.05 %, of the upper
    # half 5 % above 2.5 (1.6)^0.95 %.
    assert found.low.m_as("mL") == pytest.approx(likely * 2.5**0.05 / 2.5, rel=0.005)
    assert found.high.m_as("mL") == pytest.approx(likely * 1.6**0.95, rel=0.005)


def test_draws_stay_within_the_ends_and_their_parts_add_up():
    chain = hydrogen_chain("2.6 to 2.9 eV", "200 to 300 cm²", "3 to 5 h", "donor and platinum", load="0.5 to 2 g/m²",
                           temperature="15 to 30 °C", pressure="960 to 1030 hPa", over_water=True)  # fmt: skip
    found = chain.spread(20_000)
    low, _, high = chain.volume.m_as("mL")
    assert low <= found.volumes.min() and found.volumes.max() <= high
    assert found.low < found.median < found.high
    assert_close(sum(share for _, share in found.parts), 1.0, within=1e-9)
    names = [name for name, _ in found.parts]
    assert set(names) == {"light", "area", "gap", "absorbed share", "quantum yield", "molar volume"}


def test_each_input_has_draws_of_its_own():
    """Two equal ranges drawn together would have four times the variance of one, on their own they have twice."""
    one = hydrogen_chain("2.7 eV", "50 to 200 cm², likely 100 cm²", "4 h", quantum_yield="1 %").spread(50_000)
    two = hydrogen_chain("2.7 eV", "50 to 200 cm², likely 100 cm²", "2 to 8 h, likely 4 h", quantum_yield="1 %").spread(
        50_000
    )
    ratio = float(np.var(np.log(two.volumes)) / np.var(np.log(one.volumes)))
    assert_close(ratio, 2.0, within=0.05)


def test_the_same_seed_gives_the_same_and_another_gives_another():
    chain = hydrogen_chain("2.7 eV", "250 cm²", "4 h", "donor")
    first, again, other = chain.spread(1000), chain.spread(1000), chain.spread(1000, seed=2)
    assert np.array_equal(first.volumes, again.volumes) and not np.array_equal(first.volumes, other.volumes)


def test_the_share_that_cannot_be_told_from_nothing():
    # Plain: half of the draws are zero, and the other half lies evenly up to the top: half of it is under half the top.
    chain = hydrogen_chain("2.7 eV", "260 cm²", "4 h")
    found = chain.spread(100_000, detection=chain.volume.high / 2)
    assert_close(found.zero, 0.5, within=0.006)
    assert_close(found.below, 0.75, within=0.006)
    assert chain.spread(1000).below is None


def test_something_certain_has_no_spread():
    found = hydrogen_chain("2.7 eV", "250 cm²", "4 h", quantum_yield="1 %").spread(100)
    assert found.low == found.high == found.median and found.parts == () and found.zero == 0
    assert "Nothing in it is uncertain" in found.sentence


def test_draws_cannot_be_changed():
    found = hydrogen_chain("2.7 eV", "250 cm²", "4 h", "donor").spread(10)
    with pytest.raises(ValueError):
        found.volumes[0] = 1


def test_a_lamp_is_drawn_too():
    chain = hydrogen_chain("2.6 to 2.9 eV", "50 cm²", "200 to 400 µmol/m²/s", "donor and platinum", time="2 h")
    found = chain.spread(5000)
    assert "gap" not in dict(found.parts) and found.volumes.max() <= chain.volume.high.m_as("mL")


def test_a_million_draws_take_about_a_second():
    chain = hydrogen_chain("2.6 to 2.9 eV", "200 to 300 cm²", "3 to 5 h", "donor and platinum", load="0.5 to 2 g/m²")
    chain.spread(10)
    begin = clock.process_time()
    assert chain.spread(1_000_000).volumes.size == 1_000_000
    assert clock.process_time() - begin < 5  # 0.4 s alone; a busy machine takes longer


# --------------------------------------------------------------------------------- beside other things
def test_the_heat_of_burning_by_hand():
    # OpenStax Chemistry 2e, appendix G: 285.83 kJ/mol to liquid water, 241.82 to vapour.
    assert_close(burning_heat("2 mol"), Q(571.66, "kJ"), within=Q(0.01, "kJ"))
    assert_close(burning_heat("2 mol", "2 mol"), Q(483.64, "kJ"), within=Q(0.01, "kJ"))


def test_the_likely_kettle_loses_the_heat_of_its_steam():
    low, likely, high = kettle_water("2 mol").m_as("g")  # 241.82 and 285.83 kJ/mol over 335.05 J/g
    assert (low, likely, high) == pytest.approx((1443.5, 1443.5, 1706.2), rel=1e-3)


def test_no_more_vapour_than_hydrogen():
    with pytest.raises(LabError, match="as much water as there is hydrogen"):
        burning_heat("1 mol", "2 mol")


def test_a_kettle_by_hand():
    # 4.184 J/g/K over 80 K is 334.7 kJ/kg: a round figure of textbooks, 0.1 % off the equation of state.
    water = kettle_water("1 mol")
    assert_close(water.high, Q(285.83 / 334.7, "kg").to("g"), relative=0.003)
    assert_close(water.low, Q(241.82 / 334.7, "kg").to("g"), relative=0.003)
    assert_close(litres_of_tea("1 mol").high, Q(285.83 / 334.7 / 0.9982), relative=0.003)


def test_beside_solar_cells_by_hand():
    # 18 % of 1000 W/m² over 2.0 V: 90 A/m², 1.679 mol in an hour; 0.02 m² and 4 h.
    chain = hydrogen_chain("2.7 eV", "200 cm²", "4 h", "donor and platinum")
    found = beside(chain)
    mole = 90 * 3600 / (2 * constants.value("Faraday constant"))
    assert_close(found.cells.likely, Q(mole * 0.02 * 4, "mol").to("mmol"), relative=1e-6)
    assert_close(found.times, mole * 0.02 * 4 / chain.hydrogen.likely.m_as("mol"), relative=1e-6)
    for ours, share in zip(
        found.share.m_as("percent"), guess("quantum_yields", "donor and platinum").m_as("dimensionless")
    ):
        assert_close(ours, 100 * share, relative=1e-9)


def test_beside_a_lamp_there_are_no_solar_cells():
    found = beside(hydrogen_chain("2.7 eV", "50 cm²", "300 µmol/m²/s", "donor", time="2 h"))
    assert found.cells is None and "solar cells" not in found.sentence


@pytest.mark.parametrize("case", cases())
def test_words_fit_the_page_and_say_where_numbers_are_from(case):
    chain = hydrogen_chain("2.7 to 2.9 eV", "250 cm²", "4 h", case, load="0.3 g/L", depth="2 cm")
    for shown in (chain, beside(chain), chain.spread(1000, detection="0.1 mL")):
        assert all(len(line) <= 60 for line in repr(shown).splitlines()), repr(shown)
    assert "from memory" in chain.sentence
    page = chain._repr_html_()
    assert page.count("<tr>") == 8 and "ASTM G173" in page


def test_a_likely_value_that_meets_an_end_costs_no_figures():
    assert link_text(Range(Q(72.8, "mmol"), Q(84.2399, "mmol"), Q(84.24, "mmol"))) == "73 to 84 mmol, likely 84 mmol"
    assert link_text(Range(Q(1.0, "mL"), Q(2.0, "mL"), Q(4.0, "mL"))) == "1.0 to 4.0 mL, likely 2.0 mL"


# ---------------------------------------------------------------------------------------------- slips
@pytest.mark.parametrize("words, change", [
    ("how long", {"light": "600 W/m²"}), ("leave time=", {"light": "4 h", "time": "3 h"}), ("hours of full sun", {"light": "5 g"}),
    ("lower end first", {"light": "5 to 2 h"}), ("no unit", {"light": 5}), ("more than zero", {"light": "-1 kWh/m²"}),
    ("more than zero", {"light": "0 h"}), ("load beside", {"depth": "3 cm"}), ("load beside", {"absorption": "3 m²/g"}),
    ("mass per area", {"load": "3 g"}), ("load", {"load": "3 g/m²", "depth": "2 cm"}), ("quantum_yield='3 %'", {"quantum_yield": 3}),
    ("1.23 eV", {"gap": "1.1 eV"}), ("case", {"case": "iron"}), ("area", {"area": "3 cm"}), ("absorption", {"load": "3 g/m²", "absorption": "3 m²"}),
    ("more than zero", {"load": "0 g/m²"}), ("boil", {"temperature": "99.99 °C", "over_water": True, "pressure": "300 hPa"}),
    ("array", {"light": Q([1.0, 2.0], "kWh/m**2")}), ("time", {"light": "600 W/m²", "time": "3 g"}), ("powder", {"powder": "3 mL"}),
    ("irradiation", {"light": ""}), ("irradiation", {"light": "to"}), ("no unit", {"light": None}), ("light", {"light": Q(3, "g")}),
])  # fmt: skip
def test_a_slip_gets_a_kind_word(words, change):
    with pytest.raises(LabError, match=words):
        hydrogen_chain(**{"gap": "2.7 eV", "area": "100 cm²", "light": "4 h", "case": "donor", **change})


def test_per_gram_without_a_mass_is_told_what_to_type():
    with pytest.raises(LabError, match="powder='0.3 g'"):
        assert hydrogen_chain("2.7 eV", "100 cm²", "4 h").per_gram


def test_no_draws_are_refused():
    with pytest.raises(LabError, match="at least 1"):
        hydrogen_chain("2.7 eV", "100 cm²", "4 h").spread(0)


@settings(max_examples=60)
@given(
    st.sampled_from(["light", "load", "absorption", "depth", "area", "quantum_yield", "gap", "time"]),
    st.text(max_size=12),
)
def test_no_text_breaks_it(name, text):
    try:
        hydrogen_chain(**{"gap": "2.7 eV", "area": "100 cm²", "light": "4 h", "case": "donor", name: text})
    except LabError:
        pass
