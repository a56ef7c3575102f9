"""Fire limits against two standards and what others print; hydrogen against a schoolbook and its heat of burning."""

import math
import re

import pytest
from helpers import assert_close, published
from hostile import HOSTILE
from hypothesis import given
from hypothesis import strategies as st

from labkit.air.fire import (
    BURNS,
    LEAN,
    LEVELS,
    RICH,
    air_to_thin,
    autoignition,
    energy_in_gas,
    flammability,
    flammable_range,
    flash_point,
    headspace_fraction,
    headspace_verdict,
    level_fraction,
    stop_collecting,
    substances,
    verdict_between,
)
from labkit.data import table
from labkit.data.cautions import CLOSING
from labkit.errors import ChoiceProblem, LabError, RangeProblem
from labkit.units import Q, number, printed_up, read

CAS = {"acetone": "67-64-1", "ethanol": "64-17-5", "2-propanol": "67-63-0", "methanol": "67-56-1", "ammonia": "7664-41-7",
       "hydrogen": "1333-74-0", "carbon monoxide": "630-08-0", "hydrogen cyanide": "74-90-8", "carbon disulfide": "75-15-0"}  # fmt: skip
PAIRS = [(name, "air") for name in substances()] + [("hydrogen", "oxygen")]


def ends(substance, oxidiser="air"):
    limits = flammable_range(substance, oxidiser)
    return number(limits.lower, "percent"), number(limits.upper, "percent")


# ------------------------------------------------------------------------------------ the table
def test_the_table_is_what_the_standards_say():
    """Row by row against the package that ships both standards."""
    safety = pytest.importorskip("chemicals.safety")
    methods = {"IEC": "IEC 60079-20-1 (2010)", "NFPA": "NFPA 497 (2008)"}
    checked = 0
    for row in table("flammable"):
        if row["oxidiser"] != "air":
            continue
        cas, method = CAS[row["substance"]], methods[row["name"].split()[-1]]
        assert float(row["lower_percent"]) == pytest.approx(100 * safety.LFL(CASRN=cas, method=method), rel=1e-9)
        assert float(row["upper_percent"]) == pytest.approx(100 * safety.UFL(CASRN=cas, method=method), rel=1e-9)
        kelvin = safety.T_autoignition(cas, method=method)
        assert float(row["autoignition_degC"]) == pytest.approx(kelvin - 273.15, abs=0.01)
        if row["flash_degC"]:
            assert float(row["flash_degC"]) == pytest.approx(safety.T_flash(cas, method=method) - 273.15, abs=0.01)
        checked += 1
    assert checked == 18


@pytest.mark.parametrize("row", published("flammable"), ids=lambda row: row["case"])
def test_nothing_printed_elsewhere_is_wider_or_lower(row):
    lower, upper = ends(row["substance"], row["oxidiser"])
    assert not row["lower_percent"] or lower <= float(row["lower_percent"])
    assert not row["upper_percent"] or upper >= float(row["upper_percent"])
    if row["flash_degC"]:
        assert number(flash_point(row["substance"]), "degC") <= float(row["flash_degC"])
    if row["autoignition_degC"]:
        assert number(autoignition(row["substance"]), "degC") <= float(row["autoignition_degC"])


@pytest.mark.parametrize("substance, lower, upper", [
    ("acetone", 2.5, 14.3), ("ethanol", 3.1, 19), ("NH3", 15, 33.6), ("H2", 4, 77), ("CO", 10.9, 74), ("HCN", 5.4, 46), ("CS2", 0.6, 60),
])  # fmt: skip
def test_the_widest_of_both_standards_is_taken(substance, lower, upper):
    assert ends(substance) == (lower, upper)
    shown = str(flammable_range(substance))
    assert "IEC 60079-20-1:2010" in shown and "NFPA 497:2008" in shown and len(flammable_range(substance).sources) == 2


def test_every_figure_names_who_published_it():
    for substance, oxidiser in PAIRS:
        said = flammable_range(substance, oxidiser).published
        assert len(said) >= 2
        for words in said:
            # A title and figures, not a kind of book.
            assert re.fullmatch(r"(IEC|NFPA) [\d-]+:\d{4}: .*|(OpenStax|Wikipedia)\b.*", words), words
    assert any(
        "oxyhydrogen" in words and words.endswith(": 4 to 95 %") for words in flammable_range("H2", "oxygen").published
    )


def test_lowest_temperatures_are_taken():
    assert_close(autoignition("acetone"), Q(465, "degC"), within=Q(0.1, "K"))
    assert_close(autoignition("ethanol"), Q(363, "degC"), within=Q(0.1, "K"))
    assert_close(autoignition("H2"), Q(500, "degC"), within=Q(0.1, "K"))
    assert_close(flash_point("HCN"), Q(-20, "degC"), within=Q(0.1, "K"))
    with pytest.raises(ChoiceProblem, match="gas"):
        flash_point("hydrogen")


def test_name_and_formula_are_the_same():
    for row in table("flammable"):
        assert flammable_range(row["formula"], row["oxidiser"]) == flammable_range(row["substance"], row["oxidiser"])


# --------------------------------------------------------------------------------- the verdict
@pytest.mark.parametrize("substance, oxidiser", PAIRS)
def test_the_limits_themselves_are_flammable(substance, oxidiser):
    lower, upper = ends(substance, oxidiser)
    for share, level in ((0, LEAN), (lower * 0.999, LEAN), (lower, BURNS), ((lower + upper) / 2, BURNS), (upper, BURNS), (upper * 1.001, RICH), (100, RICH)):  # fmt: skip
        assert flammability(substance, Q(share, "percent"), oxidiser).level == level, share


def test_split_water_is_flammable_whatever_the_air():
    assert flammability("H2", Q(2 / 3), "oxygen").level == BURNS
    assert flammability("H2", Q(2 / 3), "air").level == BURNS


def test_hydrogen_with_a_little_oxygen_as_in_the_schoolbook():
    # OpenStax Chemistry 2e, section 9.3: 34.5 atm in all, 33.2 atm of it hydrogen: 3.8 % of oxygen, explosive.  With
    # less than 3.0 % it would not be.
    assert flammability("H2", Q(33.2 / 34.5), "oxygen").level == BURNS
    assert flammability("H2", "96.99 %", "oxygen").level == BURNS
    assert flammability("H2", "97.1 %", "oxygen").level == RICH


@pytest.mark.parametrize("share, word", [(0.009, "under a tenth"), (0.1, "over a tenth"), (0.24, "over a tenth"), (0.25, "over a quarter"), (0.99, "over a quarter")])  # fmt: skip
def test_a_lean_mixture_is_held_against_the_margin(share, word):
    sentence = flammability("acetone", Q(2.5 * share, "percent")).sentence
    assert word in sentence and "richer" in sentence


# IDLH of NIOSH: ammonia 300, carbon monoxide 1200, hydrogen cyanide 50, carbon disulfide 500 ppm.  Below them the ceiling of
# Ontario for hydrogen cyanide, 4.5 ppm, and its limit for 8 h of carbon disulfide, 1 ppm: both go in through the skin.
@pytest.mark.parametrize("gas, share, limit", [
    ("NH3", "1 %", 300), ("NH3", "4 %", 300), ("NH3", "20 %", 300), ("CO", "0.5 %", 1200), ("CO", "2 %", 1200), ("CO", "80 %", 1200),
    ("CO", "250 ppm", 200), ("HCN", "0.3 %", 50), ("HCN", "1 %", 50), ("HCN", "10 %", 50), ("CS2", "499 ppm", 1), ("CS2", "30 %", 500),
    ("HCN", "49 ppm", 4.5), ("HCN", "4.5 ppm", 4.5), ("HCN", "50 ppm", 50), ("CS2", "10 ppm", 1), ("CS2", "500 ppm", 500),
])  # fmt: skip
def test_a_poison_is_told_by_its_escape_or_ceiling_limit_first(gas, share, limit):
    said = flammability(gas, share).sentence
    first, _, fire = said.partition(" For fire: ")
    exact = number(read(share, "[]"), "ppm") / limit
    times = float(re.search(r" is ([0-9.]+) times the (?:escape|ceiling|strictest) limit", first)[1])
    assert exact * (1 - 1e-9) <= times <= exact * 1.1  # two figures, upwards
    assert first.endswith("out at once, and do not go in to air it.") and f" {limit} ppm" in first.replace(
        "1.0 ppm", "1 ppm"
    )
    # Nobody is sent in to air it, and nothing of fire softens the order.
    assert "air the place" not in said and "let air in" not in said and "under a tenth" not in said and "limit" in fire


@pytest.mark.parametrize(
    "gas, share, order", [("NH3", "100 ppm", "leave"), ("CO", "60 ppm", "leave"), ("NH3", "10 ppm", "no promise")]
)
def test_a_poison_under_its_escape_limit_is_still_told_first(gas, share, order):
    first = flammability(gas, share).sentence.partition(" For fire: ")[0]
    assert order in first and "strictest limit found, 25 ppm" in first and "out at once" not in first


@given(st.sampled_from(["NH3", "CO", "HCN", "CS2"]), st.floats(0, 100))
def test_no_poison_over_its_limits_is_without_an_order(gas, percent):
    first = flammability(gas, Q(percent, "percent")).sentence.partition(" For fire: ")[0]
    escape = {"NH3": 300, "CO": 200, "HCN": 4.5, "CS2": 1}[gas]
    assert ("out at once" in first) == (percent * 1e4 >= escape * (1 - 1e-9))


def test_a_tenth_is_for_fire_only():
    # OSHA 2008 prints 2500 ppm for acetone: a tenth of its lower limit is the escape limit itself.
    assert_close(flammable_range("acetone").work, Q(2500, "ppm"), within=Q(1e-6, "ppm"))
    words = type(flammable_range("acetone")).work.__doc__
    assert "for fire only" in words and "to work in" not in words
    for share, word in (("0.25 %", "1.0 times the escape limit, 2500 ppm"), ("2 %", "8.0 times the escape limit"), ("0.1 %", "4.0 times the strictest limit found, 250 ppm")):  # fmt: skip
        said = flammability("acetone", share).sentence
        assert f"as the air of a room it is {word}" in said and ("out at once" in said) == ("escape" in said)
    assert "In a room: out at once" in flammability("ethanol", "5 %").sentence
    assert "no limit for breathing it is known here: leave first" in flammability("methanol", "1 %").sentence


@given(st.sampled_from(PAIRS), st.floats(0, 100))
def test_no_verdict_says_safe_and_every_figure_is_rounded_up(pair, percent):
    verdict = flammability(pair[0], Q(percent, "percent"), pair[1])
    assert "safe" not in verdict.sentence and CLOSING in verdict.cautions()
    shown = read(verdict.sentence.partition(" of ")[0].removeprefix("less than "), "[]")
    assert number(shown, "percent") >= percent * (1 - 1e-9)
    if verdict.level == LEAN:
        share = re.search(r" is (?:less than )?([0-9.]+) % of the lower limit", verdict.sentence)[1]
        assert float(share) >= 100 * verdict.share_of_lower * (1 - 1e-9)


@given(st.sampled_from(PAIRS), st.floats(0, 100), st.floats(0, 100))
def test_the_worse_end_decides(pair, one, other):
    low, high = sorted((one, other))
    level = verdict_between(flammable_range(*pair), low, high).level
    levels = {flammability(pair[0], Q(low + (high - low) * i / 20, "percent"), pair[1]).level for i in range(21)}
    assert level == BURNS if BURNS in levels or len(levels) > 1 else {level} == levels


def test_more_than_all_is_refused_and_next_to_nothing_is_said_so():
    with pytest.raises(RangeProblem, match="100 %"):
        flammability("acetone", "120 %")
    with pytest.raises(RangeProblem, match="±"):
        flammability("acetone", "2.0 ± 0.5 %")
    assert "less than 0.1 ppm" in flammability("acetone", Q(1e-30)).sentence
    with pytest.raises(RangeProblem, match="one value"):
        flammability("acetone", Q([1.0, 2.0], "percent"))
    with pytest.raises(RangeProblem, match="100 %"):
        level_fraction("acetone", 3)


# ------------------------------------------------------------------------------------ hydrogen
def test_heat_of_burning():
    # 100 mL of 2:1 gas at 25 °C and 1 atm: 66.67 mL / 24.465 L/mol × 285.83 kJ/mol = 779 J.
    assert_close(energy_in_gas("100 mL", mixture="hydrogen and oxygen 2:1"), Q(779, "J"), within=Q(1, "J"))
    # 141.79 MJ/kg (higher heating value) over 2.0159 g/mol and the real molar volume 24.480 L/mol: 11.68 kJ per litre.
    assert_close(
        energy_in_gas("1 L"), Q(141.79e3 * 2.0159e-3 / 24.480, "kJ"), relative=0.001
    )  # gas is 0.06 % from ideal


def test_air_to_thin_hydrogen():
    # 100 mL over 4, 1 and 0.4 %.
    for level, litres in zip(LEVELS, (2.5, 10, 25)):
        assert_close(air_to_thin("100 mL", level), Q(litres, "L"), within=Q(1e-9, "L"))
    assert_close(air_to_thin("100 mL", "2 %"), Q(5, "L"), within=Q(1e-9, "L"))


def test_headspaces():
    assert_close(headspace_fraction("20 mL", "80 mL"), Q(20, "percent"), within=Q(1e-9, "percent"))
    # Well mixed and vented: what is left of the air falls as e to the minus one when its own volume has come in.
    assert_close(headspace_fraction("80 mL", "80 mL", "vented"), Q(63.2, "percent"), within=Q(0.05, "percent"))
    assert headspace_verdict("0.5 mL", "80 mL").level == LEAN
    assert headspace_verdict("5 mL", "80 mL").level == BURNS
    assert headspace_verdict("160 mL", "80 mL").level == BURNS
    assert headspace_verdict("900 mL", "80 mL", "air").level == RICH
    assert headspace_verdict("900 mL", "80 mL", "oxygen").level == BURNS


@pytest.mark.parametrize("hydrogen, headspace", [("5 ± 1 mL", "95 mL"), ("5 mL", "95 ± 3 mL")])
@pytest.mark.parametrize("vessel", ["closed", "vented"])
def test_a_share_of_hydrogen_does_not_drop_its_uncertainty(hydrogen, headspace, vessel):
    # at 6 mL it would be a fifth more: a hazard figure never comes from the middle of a guess
    with pytest.raises(RangeProblem, match="without ±"):
        headspace_fraction(hydrogen, headspace, vessel)


@given(st.floats(1e-6, 1e3), st.floats(1e-3, 1e3))
def test_the_verdict_encloses_every_way_of_venting(hydrogen, headspace):
    verdict = headspace_verdict(Q(hydrogen, "mL"), Q(headspace, "mL"))
    for vessel in ("closed", "vented"):
        share = number(headspace_fraction(Q(hydrogen, "mL"), Q(headspace, "mL"), vessel), "percent")
        assert verdict.low.magnitude * (1 - 1e-9) <= share <= verdict.high.magnitude * (1 + 1e-9)


@given(st.floats(1e-3, 1e5))
def test_stop_collecting_is_never_more_than_a_quarter_of_the_limit(millilitres):
    headspace = Q(millilitres, "mL")
    stop = stop_collecting(headspace)
    assert 0.9 * 0.01 * millilitres < number(stop, "mL") <= 0.01 * millilitres * (1 + 1e-9)
    for vessel in ("closed", "vented"):
        assert number(headspace_fraction(stop, headspace, vessel), "percent") <= 1 + 1e-9
    assert headspace_verdict(stop, headspace).level == LEAN


def test_stop_collecting_by_hand():
    assert_close(stop_collecting("749 mL"), Q(7.4, "mL"), within=Q(1e-9, "mL"))
    assert_close(stop_collecting("2 L"), Q(20, "mL"), within=Q(1e-9, "mL"))


@given(st.floats(1e-3, 1e6), st.sampled_from(sorted(LEVELS)))
def test_air_and_energy_are_printed_up(millilitres, level):
    volume = Q(millilitres, "mL")
    for hazard, need in ((air_to_thin(volume, level), "[volume]"), (energy_in_gas(volume), "[energy]")):
        assert number(read(printed_up(hazard), need), hazard.units) >= hazard.magnitude * (1 - 1e-11)


# --------------------------------------------------------------------------------- what is typed
@pytest.mark.parametrize("call", [
    lambda text: flammable_range(text), lambda text: flammable_range("H2", text), lambda text: flash_point(text), lambda text: autoignition(text),
    lambda text: flammability(text, "2 %"), lambda text: flammability("H2", text), lambda text: flammability("H2", "2 %", text), lambda text: substances(text),
    lambda text: level_fraction("H2", text), lambda text: headspace_fraction(text, "80 mL"), lambda text: headspace_fraction("5 mL", text),
    lambda text: headspace_fraction("5 mL", "80 mL", text), lambda text: headspace_verdict(text, "80 mL"), lambda text: headspace_verdict("5 mL", text),
    lambda text: headspace_verdict("5 mL", "80 mL", text), lambda text: stop_collecting(text), lambda text: stop_collecting("80 mL", text),
    lambda text: air_to_thin(text), lambda text: air_to_thin("5 mL", text), lambda text: air_to_thin("5 mL", "work", text), lambda text: energy_in_gas(text),
    lambda text: energy_in_gas("5 mL", text), lambda text: energy_in_gas("5 mL", "20 °C", text), lambda text: energy_in_gas("5 mL", mixture=text),
])  # fmt: skip
def test_whatever_is_typed_gives_a_kind_word(call):
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        try:
            call(text)
        except LabError as problem:
            assert str(problem)


@pytest.mark.parametrize("odd", [None, 3, ["acetone"], {"a": 1}, b"acetone", math.nan])
def test_what_is_no_name_is_refused_kindly(odd):
    with pytest.raises(ChoiceProblem, match="acetone"):
        flammable_range(odd)
