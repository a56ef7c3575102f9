"""Exposure limits: as printed, in mg/m³ as each body has it, and never a figure where there is none."""

import sys

import chemicals
import numpy as np
import pytest
from helpers import assert_close
from hostile import HOSTILE
from hypothesis import given
from hypothesis import strategies as st

from labkit.air.limits import (
    gas_name,
    gas_words,
    known_gases,
    limit_fraction,
    limits,
    limits_text,
    mass_concentration,
    molar_volume,
    no_safe_figure,
    single,
    strictest,
    volume_fraction,
    volume_per_mole,
)
from labkit.data import sources, table
from labkit.errors import ChoiceProblem, LabError, RangeProblem, UnitProblem
from labkit.units import Q, read

# mg/m³ as the bodies print them beside their ppm; they round to two or three figures, OSHA and NIOSH down to 18 or 35.
PRINTED = [
    ("NH3", "OSHA PEL", 50, 35, 0.5), ("NH3", "NIOSH REL", 25, 18, 0.7), ("NH3", "NIOSH STEL", 35, 27, 3), ("CO", "OSHA PEL", 50, 55, 2.5),
    ("CO", "NIOSH REL", 35, 40, 0.5), ("CO", "ACGIH TLV", 25, 29, 0.5), ("CO", "EU IOELV", 20, 23, 0.5), ("CO", "EU IOELV", 100, 117, 0.7),
    ("CO2", "OSHA PEL", 5000, 9000, 10), ("HCl", "OSHA PEL", 5, 7, 0.5), ("HCl", "ACGIH TLV", 2, 3, 0.05),
    ("acetone", "OSHA PEL", 1000, 2400, 50), ("acetone", "NIOSH REL", 250, 590, 5), ("acetone", "ACGIH TLV", 500, 1187, 1), ("acetone", "ACGIH TLV", 750, 1780, 2),
    ("acetone", "EU IOELV", 500, 1210, 5), ("acetone", "UK WEL", 1500, 3620, 5), ("ethanol", "OSHA PEL", 1000, 1900, 20), ("ethanol", "UK WEL", 1000, 1920, 6),
    ("NH3", "EU IOELV", 20, 14, 0.2), ("NH3", "EU IOELV", 50, 36, 0.7), ("HCN", "Ontario", 4.5, 5, 0.05),
]  # fmt: skip


@pytest.mark.parametrize("gas, body, ppm, milligrams, within", PRINTED)
def test_limits_in_milligrams_agree_with_the_bodies_own(gas, body, ppm, milligrams, within):
    found = [limit for limit in limits(gas) if limit.body == body and limit.value == Q(ppm, "ppm")]
    assert found
    for limit in found:
        assert_close(limit.mass_concentration, Q(milligrams, "mg/m**3"), within=Q(within, "mg/m**3"))


@pytest.mark.parametrize(
    "gas, ppm, at_25, at_20, within",
    # worked out with 24.45 and 24.06 L/mol, the molar volumes that the lists name
    [("acetone", 500, 1187, 1207, 1), ("NH3", 25, 17.40, 17.70, 0.02), ("CO2", 5000, 8994, 9148, 8), ("ethanol", 1000, 1883, 1915, 2)],
)  # fmt: skip
def test_the_reference_temperature_makes_the_difference(gas, ppm, at_25, at_20, within):
    for celsius, milligrams in ((25, at_25), (20, at_20)):
        got = mass_concentration(Q(ppm, "ppm"), gas, Q(celsius, "degC"))
        assert_close(got, Q(milligrams, "mg/m**3"), within=Q(within, "mg/m**3"))


def test_each_body_has_its_own_reference_temperature():
    rows = table("limits")
    assert len(rows) > 40
    for found in rows:
        european = found["body"].startswith(("EU", "UK"))
        assert float(found["reference_degC"]) == (20 if european else 25), found["name"]
    pair = {limit.body: limit for limit in limits("acetone") if limit.value == Q(500, "ppm")}
    assert pair["EU IOELV"].mass_concentration > pair["ACGIH TLV"].mass_concentration


@pytest.mark.parametrize(
    "gas, cas, ppm", [("CO", "630-08-0", 1.0), ("acetone", "67-64-1", 500.0), ("NH3", "7664-41-7", 25.0)]
)
def test_mass_concentration_agrees_with_another_library(gas, cas, ppm):
    # chemicals rounds the molar volume by its own temperature, 298.15 K
    witness = chemicals.ppmv_to_mgm3(ppm, chemicals.MW(cas), T=298.15, P=101325.0)
    assert_close(mass_concentration(Q(ppm, "ppm"), gas), Q(witness, "mg/m**3"), relative=1e-4)


def test_a_printed_example_of_conversion():
    # docstring of chemicals.ppmv_to_mgm3: 1 ppm of a gas of 40 g/mol is 1.63496 mg/m³; CO2 is 44.0095 g/mol
    assert_close(mass_concentration(Q(1, "ppm"), "CO2"), Q(1.6349617809430446 * 44.0095 / 40, "mg/m**3"), relative=1e-4)


@given(st.floats(0, 1), st.sampled_from(["NH3", "acetone", "HNCO"]), st.floats(-20, 60))
def test_there_and_back(fraction, gas, celsius):
    there = mass_concentration(fraction, gas, Q(celsius, "degC"))
    assert volume_fraction(there, gas, Q(celsius, "degC")).m_as("") == pytest.approx(fraction, rel=1e-9, abs=1e-15)


def test_limits_are_those_that_the_bodies_print():
    have = {(limit.gas, limit.body, limit.averaging, limit.value.m_as("ppm")) for gas in known_gases() for limit in limits(gas)}  # fmt: skip
    for wanted in [("NH3", "OSHA PEL", "8 h", 50), ("NH3", "NIOSH REL", "up to 10 h", 25), ("NH3", "NIOSH IDLH", "escape", 300),
                   ("CO", "NIOSH REL", "ceiling", 200), ("CO", "NIOSH IDLH", "escape", 1200), ("CO2", "ACGIH TLV", "15 min", 30000), ("HCl", "ACGIH TLV", "ceiling", 2),
                   ("HCN", "Ontario", "ceiling", 4.5), ("HCN", "OSHA PEL", "8 h", 10), ("acetone", "NIOSH IDLH", "escape", 2500), ("ethanol", "NIOSH IDLH", "escape", 3300)]:  # fmt: skip
        assert any(found[:3] == wanted[:3] and found[3] == pytest.approx(wanted[3]) for found in have), wanted


def test_the_ontario_rows_are_those_that_the_library_ships():
    rows = [found for found in table("limits") if found["source"] == "ontario_limits"]
    cas = {"HCN": "74-90-8", "ethanol": "64-17-5", "CS2": "75-15-0", "SO2": "7446-09-5"}
    safety = chemicals.safety
    by = {"8 h": safety.TWA, "15 min": safety.STEL, "ceiling": safety.Ceiling}
    assert rows
    for found in rows:
        shipped, unit = by[found["averaging"]](cas[found["gas"]])
        assert unit == "ppm" and float(found["value"]) <= shipped < float(found["value"]) + 0.05


def test_the_strictest_is_the_lowest_and_published_before_remembered():
    assert strictest("NH3", "8 h").value == Q(20, "ppm")
    assert strictest("NH3", "8 h", "published").value == Q(25, "ppm")
    assert strictest("acetone", "8 h").kind == "published"  # 250 ppm is in two lists, one only remembered
    assert strictest("NH3", "escape").value == Q(300, "ppm")
    for gas in known_gases():
        working = [limit for limit in limits(gas) if limit.averaging != "escape"]
        if working:
            assert strictest(gas).value == min(limit.value for limit in working)
    with pytest.raises(RangeProblem, match="no safe figure"):
        strictest("HNCO")
    with pytest.raises(ChoiceProblem):
        strictest("NH3", "fortnight")


def test_isocyanic_acid_has_no_figure_and_hydrogen_none():
    assert limits("HNCO") == limits("isocyanic acid") == limits("H2") == []
    sentence = no_safe_figure("HNCO")
    assert "no safe figure" in sentence and "outdoors" in sentence and "ppm" not in sentence and "mg/m³" not in sentence
    assert "asphyxiant" in no_safe_figure("H2")
    for gas in known_gases():  # each gas has limits or a sentence, never both
        assert bool(limits(gas)) != bool(next(row for row in table("gases") if row["name"] == gas)["without_limit"])
        page = limits_text(gas)
        assert "Limits move" in page if limits(gas) else no_safe_figure(gas) in page
    with pytest.raises(ChoiceProblem):
        no_safe_figure("NH3")


def test_every_limit_says_whose_it_is_and_remembered_ones_say_so():
    for gas in known_gases():
        for limit in limits(gas):
            assert limit.body in str(limit) and ("from memory" in str(limit)) == (limit.kind == "from memory")
            # an allowance is rounded down, never up
            shown = read(str(limit).split("(")[1].split(" at ")[0])
            assert shown <= limit.mass_concentration * (1 + 1e-11)
            assert read(str(limit).split(" (")[0]) <= limit.value * (1 + 1e-11)


def test_names_of_gases():
    assert gas_name("Ammonia") == gas_name(" nh3 ") == "NH3"
    assert gas_words("H2") == "hydrogen (H₂)"
    with pytest.raises(ChoiceProblem, match="NH3"):
        limits("phlogiston")


def test_a_limit_may_be_a_limit_a_quantity_or_text():
    for limit in (strictest("NH3", "escape"), Q(300, "ppm"), "300 ppm", "0.03 %"):
        assert limit_fraction(limit) == pytest.approx(3e-4, rel=1e-12)
    for bad in ("0 ppm", "25 g", Q([1, 2], "ppm"), "25 ± 5 ppm", "-3 ppm", None):
        with pytest.raises(LabError):
            limit_fraction(bad)
    with pytest.raises(RangeProblem, match="room_ranges"):
        single("5 ± 1 h", "[time]", "time")


@pytest.mark.parametrize("bare", ["25", "0.0003", 25, 3e-4, "1e-6", Q(25, ""), np.float64(0.01)])
def test_a_limit_without_a_unit_is_asked_for_in_ppm(bare):
    # 25 without a unit would be 25 times the air, and every answer from it would read as harmless
    with pytest.raises(UnitProblem, match="limit='25 ppm'"):
        limit_fraction(bare)


@pytest.mark.parametrize("large", ["5 %", "25 %", "100 %", "50000 ppm", "900 %"])
def test_a_limit_of_some_percent_is_no_exposure_limit(large):
    with pytest.raises(RangeProblem, match="Did you mean ppm"):
        limit_fraction(large)
    assert limit_fraction("4.9 %") == pytest.approx(0.049)  # the highest printed one is 4 % (carbon dioxide, escape)
    assert max(limit_fraction(limit) for gas in known_gases() for limit in limits(gas)) == pytest.approx(0.04)


@pytest.mark.parametrize("concentration", ["5 kg/m³", "0.7 g/L", Q([18.0, 7e5], "mg/m**3")])
def test_air_holds_no_more_of_a_gas_than_all_of_it(concentration):
    # pure ammonia of 17.031 g/mol weighs 17.031 / 24.465 = 0.696 g/L at 25 °C and 1 atm
    with pytest.raises(RangeProblem, match="mg/m³"):
        volume_fraction(concentration, "NH3")
    assert volume_fraction("0.695 g/L", "NH3").m_as("") == pytest.approx(0.9984, abs=3e-4)
    with pytest.raises(RangeProblem, match="7.183"):
        volume_fraction("5 kg/m³", "NH3")  # 5 / 0.6961


def test_one_molar_volume():
    # 24.465 L/mol at 25 °C and 24.055 at 20 °C and 1 atm (R of CODATA 2018)
    for celsius, litres in ((25, 24.465), (20, 24.055)):
        assert_close(volume_per_mole(Q(celsius, "degC")), Q(litres, "L/mol"), within=Q(0.001, "L/mol"))
        assert molar_volume(float(celsius), 1.0) * 1000 == pytest.approx(litres, abs=0.001)
    assert molar_volume(25.0, 2.0) == pytest.approx(molar_volume(25.0, 1.0) / 2, rel=1e-12)


def test_what_to_type_is_named_as_it_is_typed():
    with pytest.raises(UnitProblem, match="Type for instance air_changes="):
        single(0.8, "[rate] >= 0", "air changes")
    with pytest.raises(RangeProblem, match="‘air changes’"):
        single("1 ± 0.2 /h", "[rate] >= 0", "air changes")


@pytest.mark.parametrize("fraction", ["25", 25, "150 %", "2000000 ppm", Q([1e-5, 25], "")])
def test_a_fraction_is_at_most_all_of_the_air(fraction):
    with pytest.raises(RangeProblem, match="ppm"):
        mass_concentration(fraction, "NH3")


def test_limits_come_lowest_first_and_published_before_remembered():
    assert known_gases()
    for gas in known_gases():
        sizes = [limit.value.m_as("ppm") for limit in limits(gas)]
        assert sizes == sorted(sizes)
    first = limits("acetone")[0]  # two bodies have 250 ppm, one of them only remembered
    assert first.value == Q(250, "ppm") and first.kind == "published"
    assert "250 ppm" in limits_text("acetone").splitlines()[1]


def test_an_escape_limit_is_explained_or_said_to_be_missing():
    for gas in known_gases():
        if limits(gas):
            page = limits_text(gas)
            has = any(limit.averaging == "escape" for limit in limits(gas))
            assert page.count("get out, and do not go in") == has
            assert ("No escape limit (IDLH) of it is known" in page) != has
    assert "No escape limit" not in limits_text("HCN") + limits_text("CS2") + limits_text("SO2")


def test_a_gas_without_an_escape_limit_would_be_said_to_have_none(monkeypatch):
    rest = [limit for limit in limits("NH3") if limit.averaging != "escape"]
    assert len(rest) == len(limits("NH3")) - 1
    monkeypatch.setattr(sys.modules["labkit.air.limits"], "limits", lambda gas: rest)
    assert "No escape limit (IDLH) of it is known" in limits_text("NH3")


def test_escape_limits_of_the_gases_of_thiourea():
    # 50, 500 and 100 ppm; each was read in a second-hand source, and says so
    for gas, ppm in (("HCN", 50), ("CS2", 500), ("SO2", 100)):
        limit = strictest(gas, "escape", "published")
        assert limit.value == Q(ppm, "ppm") and limit.body == "NIOSH IDLH" and "secondary copy" in limit.note
        assert "secondary" in sources()[limit.source]["text"]
        assert strictest(gas).averaging != "escape"  # it is no limit to work by


def test_a_year_that_is_not_known_is_said_to_be_so():
    found = [limit for gas in known_gases() for limit in limits(gas)]
    assert any(not limit.year for limit in found)
    for limit in found:
        assert ("year not known" in limit.label) != bool(limit.year)


def test_gases_that_go_through_the_skin_are_those_of_the_library():
    cas = {"NH3": "7664-41-7", "CO": "630-08-0", "HCl": "7647-01-0", "HCN": "74-90-8", "acetone": "67-64-1", "ethanol": "64-17-5",
           "CS2": "75-15-0", "SO2": "7446-09-5"}  # fmt: skip
    for gas, number in cas.items():
        assert ("through the skin" in limits_text(gas)) == bool(chemicals.safety.Skin(number)), gas
    assert "through the skin" in limits_text("HCN")


def test_the_revised_escape_limit_of_ammonia_is_called_a_secondary_copy():
    assert "secondary copy" in sources()["niosh_ammonia"]["text"]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_gets_a_kind_word_from_each_reader(text):
    for call in (lambda: limits(text), lambda: limit_fraction(text), lambda: mass_concentration("1 ppm", "NH3", text)):
        try:
            call()
        except LabError:
            pass


@pytest.mark.parametrize("text", HOSTILE[::4])
def test_hostile_text_gets_a_kind_word(text):
    calls = [
        lambda: limits(text),
        lambda: strictest("NH3", text),
        lambda: strictest("NH3", None, text),
        lambda: no_safe_figure(text),
        lambda: limits_text(text),
        lambda: mass_concentration(text, "NH3"),
        lambda: mass_concentration("1 ppm", text),
        lambda: mass_concentration("1 ppm", "NH3", text),
        lambda: volume_fraction(text, "NH3"),
        lambda: limit_fraction(text),
    ]
    for call in calls:
        try:
            call()
        except LabError:
            pass


def test_arrays_pass_through():
    got = mass_concentration(Q([100, 200], "ppm"), "NH3")
    assert np.ndim(got.magnitude) == 1
    assert_close(got[1], 2 * got[0], relative=1e-12)
