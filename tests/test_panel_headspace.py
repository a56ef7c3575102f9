"""The panel of hydrogen over water against sums on paper, without a browser."""

import re

import pytest
from hostile import assert_calm
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.panels.headspace import headspace_answer, headspace_panel
from labkit.units import Q

R = 8.314462618  # J/mol/K, CODATA
BURNING = 285.83e3  # J/mol, heat of formation of liquid water (CODATA key values, 1989)
UNIT = {"nL": 1e-6, "µL": 1e-3, "mL": 1, "L": 1e3, "m³": 1e6, "mJ": 1e-3, "J": 1, "kJ": 1e3, "MJ": 1e6}
SHARE = {"%": 1, "ppm": 1e-4}
NUMBER = r"([\d.]+)"


def answer(hydrogen=28.0, air=360.0, celsius=23.0, oxidiser="oxygen"):
    return headspace_answer(Q(hydrogen, "mL"), Q(air, "mL"), Q(celsius, "degC"), oxidiser)


def figures(said):
    """Return low and high share in %, J, mL at which to stop, mL of fresh air."""
    share = re.search(rf"air are (?:{NUMBER} to )?(?:at most )?{NUMBER} (%|ppm) hydrogen", said)
    energy = re.search(rf"set free up to {NUMBER} (\w+)", said)
    stop = re.search(rf"(?:time to stop|Stop collecting) at {NUMBER} (\S+?)[:.]", said)
    air = re.search(rf"It takes {NUMBER} (\S+) of air in all", said)
    high = float(share[2]) * SHARE[share[3]]
    return (float(share[1]) if share[1] else 0.0 if "at most" in said else high, high, *(
        float(hit[1]) * UNIT[hit[2]] for hit in (energy, stop, air)))  # fmt: skip


@pytest.mark.parametrize("hydrogen, air, celsius", [(28, 360, 23), (2.1, 360, 15), (150, 600, 31), (0.2, 95, 20)])
def test_the_sentence_agrees_with_sums_on_paper(hydrogen, air, celsius):
    low, high, energy, stop, fresh = figures(answer(float(hydrogen), float(air), float(celsius)).sentence)
    assert low == pytest.approx(100 * hydrogen / (hydrogen + air), rel=0.01)
    assert high == pytest.approx(100 * hydrogen / air, rel=0.01)
    moles = 101325 * hydrogen * 1e-6 / R / (celsius + 273.15)
    assert BURNING * moles <= energy <= 1.1 * BURNING * moles  # two figures, upwards
    assert 0.9 * air / 100 <= stop <= air / 100 * (1 + 1e-9)  # a quarter of 4 %, downwards
    assert 100 * hydrogen <= fresh <= 110 * hydrogen


def test_levels_and_what_to_do():
    said = answer().sentence
    assert "4 to 97 % burns in oxygen: flammable." in said and "It was time to stop at 3.6 mL: stop now" in said
    assert "4 to 77 % burns in air: flammable." in answer(oxidiser="air").sentence
    little = answer(2.0).sentence
    assert "too lean as an average, but richer at the top" in little and "Stop collecting at 3.6 mL" in little
    # h/(h + V) of 3.95 % and h/V of 4.11 %: it may burn, so it counts as burning.
    assert "burns in oxygen: flammable" in answer(14.8, 360.0).sentence
    rich = answer(9000.0, 360.0, oxidiser="air").sentence
    assert "too rich, and flammable as soon as air gets in" in rich


def test_air_for_the_three_levels():
    rows = {row[0]: row for row in answer(80.0).table}
    assert [rows[level][1] for level in ("4 %", "1 %", "0.4 %")] == ["2.0 L", "8.0 L", "20 L"]
    # A tenth of the lower limit is a matter of fire, and no word on breathing.
    assert rows["0.4 %"][2] == "to a tenth of it, for fire only"
    # Water at 23 °C: 2.811 kPa (steam tables), of 101.325 kPa.
    assert rows["water vapour in the gas"][1] == "2.8 %"


@settings(max_examples=100, deadline=None)
@given(st.floats(0.01, 1e5), st.floats(0.2, 1e5), st.floats(1, 60), st.sampled_from(["oxygen", "air"]))
def test_hazards_are_rounded_up_and_the_place_to_stop_down(hydrogen, air, celsius, oxidiser):
    said = answer(hydrogen, air, celsius, oxidiser).sentence
    low, high, energy, stop, fresh = figures(said)
    assert "safe" not in said.lower()
    closed, vented = 100 * hydrogen / (hydrogen + air), min(100, 100 * hydrogen / air)
    vented = max(closed, vented)
    assert low <= closed * (1 + 1e-9) and high >= vented * (1 - 1e-9)
    assert low >= 0.98 * closed or low == 0
    # Two figures of a number as small as 1.0 µL.
    assert 0.89 * air / 100 <= stop <= air / 100 * (1 + 1e-9)
    exact = BURNING * 101325 * hydrogen * 1e-6 / R / (celsius + 273.15)
    assert energy >= exact * 0.99999 and energy <= exact * 1.101  # heats of formation agree to 1e-5
    assert 100 * hydrogen * (1 - 1e-9) <= fresh <= 100 * hydrogen * 1.101
    upper = {"oxygen": 97, "air": 77}[oxidiser]
    assert (": flammable." in said) == (vented >= 4 and closed <= upper)


def test_the_range_that_burns_names_its_sources():
    row = next(row for row in answer().table if row[0].startswith("burns in"))
    assert row[2].startswith("the widest of Wikipedia, article on oxyhydrogen") and "OpenStax Chemistry 2e" in row[2]


def test_its_words_for_those_who_cannot_see_it_give_the_share_once():
    alt = re.search(r'aria-label="([^"]*)"', answer().svg)[1]
    assert "Hydrogen in percent of the gas, 7.21 to 7.78 %, as a bar" in alt and "up to 7.21 to" not in alt


def test_a_box_refuses_what_the_panel_would():
    panel = headspace_panel()
    for name, text, told in (("hydrogen_volume", "5 m³", "can be 1 m³ at most"), ("headspace_volume", "1 µL", "has to be 0.1 mL at least"),
                             ("temperature", "90 °C", "can be 60 °C at most"), ("temperature", "20 C", "For a temperature type 20 °C.")):  # fmt: skip
        panel.controls[name].box.value = text
        assert told in panel.controls[name].message.value.replace("\u00a0", " ") and "flammable" in panel.sentence


def test_cautions_stand_beside_it():
    assert answer().caution == cautions("hydrogen") and "explosive" in answer().caution


def test_the_panel_starts_well_and_follows_every_control():
    panel, seen = headspace_panel(), set()
    assert panel.trouble is None and "flammable" in panel.sentence
    texts = {
        "hydrogen_volume": ("1 nL", "0.001 mL", "2.1 mL", "3.6 mL", "28 mL", "4 ± 1 mL", "2 L", "1 m³", "5 m³"),
        "headspace_volume": ("1 µL", "0.1 mL", "77 mL", "360 mL", "1 m³", "3 km³"),
        "temperature": ("-300 °C", "-40 °C", "0 °C", "1 °C", "23 °C", "60 °C", "61 °C", "290 K", "5000 °C"),
    }
    for oxidiser in panel.controls["oxidiser"].box.options:
        panel.controls["oxidiser"].box.value = oxidiser
        for hydrogen in texts["hydrogen_volume"]:
            panel.controls["hydrogen_volume"].box.value = hydrogen
            for air in texts["headspace_volume"]:
                panel.controls["headspace_volume"].box.value = air
                for temperature in texts["temperature"]:
                    panel.controls["temperature"].box.value = temperature
                    assert panel.trouble is None, (hydrogen, air, temperature)
                    assert panel.sentence.endswith(".") and "safe" not in panel.sentence
                    assert panel.controls["hydrogen_volume"].box.value == hydrogen
                    seen.add(panel.sentence)
    assert len(seen) > 100


@pytest.mark.parametrize("changes, words", [
    ({"celsius": 0.5}, "between 1 and 60 °C"),
    ({"celsius": 90.0}, "between 1 and 60 °C"),
    ({"hydrogen": 1e-5}, "The hydrogen has to be"),
    ({"air": 1e7}, "The air over the water has to be"),
    ({"oxidiser": "fluorine"}, "fluorine"),
])  # fmt: skip
def test_what_cannot_be_worked_out_ends_in_a_kind_sentence(changes, words):
    with pytest.raises(LabError, match=words):
        answer(**changes)


@pytest.mark.parametrize("name", ["hydrogen_volume", "headspace_volume", "temperature"])
def test_hostile_text_raises_nothing_and_leaves_no_markup(name):
    assert_calm(headspace_panel(), name)
