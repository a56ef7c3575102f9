"""The verdict on a claim: levels by sums on paper, impostors by other people's steam, and never a word of proof."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.hydrogen import cases, gas_rate, gas_readings, gas_verdict, incident_photons
from labkit.hydrogen.verdict import ABOVE, BELOW, CLOSER, EXTRAORDINARY, LEVELS, PLAUSIBLE, UNTOLD, WITHIN
from labkit.units import Q, number

R = 8.314462618  # J/mol/K, CODATA
MINUTES = np.arange(0, 301, 15.0)
KNOWN = {
    "headspace": "45 mL",
    "temperature": "21 °C",
    "pressure": "1009 hPa",
    "temperature_move": "0.2 K",
    "pressure_move": "0.3 hPa",
}
PLATINUM, DONOR = "donor and platinum", "donor"
WORTH = (
    (100900 - PropsSI("P", "T", 294.15, "Q", 0, "Water")) / R / 294.15
)  # µmol of dry gas in a mL at 21 °C over water


def rate_of(millilitres_per_hour, blank="0.00 ± 0.01 mL/h", minutes=MINUTES, **changes):
    volumes = 0.2 + millilitres_per_hour * minutes / 60 + 0.004 * np.cos(minutes)
    return gas_rate(gas_readings(Q(minutes, "min"), Q(volumes, "mL")), blank, **KNOWN | changes)


@pytest.mark.parametrize("micromoles, photons, case, level", [
    # Yield in percent is 200 times hydrogen over photons; with a donor all of the gas is hydrogen, else two thirds.
    (12, 9000, PLATINUM, PLAUSIBLE),  # 0.27 %, and 0.31 % is likely
    (24, 9000, PLATINUM, CLOSER),  # 0.53 %
    (240, 9000, PLATINUM, EXTRAORDINARY),  # 5.3 %, and 4.3 % is the best
    (5000, 9000, PLATINUM, ABOVE),  # 111 %
    (12, 9000, DONOR, EXTRAORDINARY),  # 0.1 % is the most there
    (12, 400000, DONOR, PLAUSIBLE),  # 0.006 %
    (12, 9000, "plain", EXTRAORDINARY),  # 0.18 % where 0.01 % is the most
    (12, 400000, "plain", CLOSER),  # 0.004 %, but likely is nothing at all
    (6700, 9000, "plain", EXTRAORDINARY),  # two thirds of it are 99.3 %
    (6800, 9000, "plain", ABOVE),  # 100.7 %
])  # fmt: skip
def test_levels_by_the_yield(micromoles, photons, case, level):
    found = gas_verdict(rate_of(micromoles / WORTH), Q(float(photons), "µmol/h"), case)
    assert found.level == level
    share = 2 / 3 if case == "plain" else 1
    assert found.apparent_yield.magnitude.nominal_value == pytest.approx(200 * share * micromoles / photons, rel=2e-3)
    assert found.ceiling.m_as("µmol/h") == pytest.approx(photons / 2 / share)


def test_the_low_end():
    # The blank of ± 0.01 and what temperature and barometer leave open make about ± 0.012 mL/h.
    blank = "0.00 ± 0.01 mL/h"
    assert gas_verdict(rate_of(0.005, blank), "9 mmol/h", PLATINUM).level == WITHIN
    assert gas_verdict(rate_of(0.028, blank), "9 mmol/h", PLATINUM).level == BELOW
    assert gas_verdict(rate_of(-0.3, blank), "9 mmol/h", PLATINUM).level == UNTOLD
    lower = rate_of(-0.03, blank)
    assert -2 * lower.decision_limit.magnitude < lower.net.magnitude.nominal_value < -lower.decision_limit.magnitude
    assert gas_verdict(lower, "9 mmol/h", PLATINUM).level == UNTOLD
    assert gas_verdict(rate_of(0.005, None), "9 mmol/h", PLATINUM).level == BELOW
    # What would be plausible asks for a closer look without a blank or with few readings.
    assert gas_verdict(rate_of(0.3, blank), "9 mmol/h", PLATINUM).level == PLAUSIBLE
    few = rate_of(0.3, blank, np.arange(0, 301, 60.0))
    for rate, words in ((rate_of(0.3, None), "there is no blank"), (few, "the readings are few")):
        found = gas_verdict(rate, "9 mmol/h", PLATINUM)
        assert found.level == CLOSER and words in found.sentence


def test_a_temperature_that_nobody_read_asks_for_a_closer_look():
    # Nothing but a cell of 150 mL of gas that the sun warms by 9 K in 5 h: 0.77 mL/h, and the blank was run in the dark.
    warming = 150 * 9 / 294.15 / 5 * 0.85
    unread = rate_of(warming, temperature_move=None, headspace="150 mL")
    found = gas_verdict(unread, "30 mmol/h", PLATINUM)
    assert found.level != PLAUSIBLE and "nobody read the temperature" in " ".join(found.sentence.split())
    # What may be warming is then the most that is guessed, 3 K, and not the likely 1 K (gas_run.csv).
    assert any(one.name == "warming by 3.0 K" for one in found.impostors)
    assert gas_verdict(rate_of(warming), "30 mmol/h", PLATINUM).level == PLAUSIBLE


def test_what_lies_within_the_uncertainty_of_the_light_is_no_certain_slip():
    # Likely 120 % of the photons, but the light is only known to a factor of ten.
    found = gas_verdict(rate_of(6.0), "25 to 2500 µmol/h", PLATINUM)
    assert found.level in (ABOVE, EXTRAORDINARY)
    found = gas_verdict(rate_of(6.0), Q(ufloat(400, 200), "µmol/h"), PLATINUM)
    words = " ".join(str(found).split())
    assert (
        found.level == ABOVE
        and "may lie below the ceiling: first the light" in words
        and "from this light alone" in words
    )


def test_a_hot_cell_has_a_verdict_too():
    # The table of air in water ends at 60 °C, the one of ethanol at 78 °C.
    for celsius in (57.0, 63.0, 80.0):
        found = gas_verdict(rate_of(0.3, temperature=Q(celsius, "degC"), temperature_move="5 K"), "9 mmol/h", PLATINUM)
        sizes = {one.name: number(one.rate, "mL/h") for one in found.impostors}
        assert found.level in LEVELS and sizes["air out of the water"] >= 0


def test_a_leaking_run_is_looked_at_closer():
    volumes = 0.3 / 60 * np.clip(MINUTES, 0, 180) - 0.1 / 60 * np.clip(MINUTES - 180, 0, None) + 0.002 * np.cos(MINUTES)
    rate = gas_rate(gas_readings(Q(MINUTES, "min"), Q(volumes, "mL")), "0.00 ± 0.01 mL/h", **KNOWN)
    found = gas_verdict(rate, "9 mmol/h", PLATINUM)
    assert found.level == CLOSER and "the volume falls in the end" in found.sentence


def test_above_the_ceiling_lists_what_it_may_be_with_sizes():
    rate = rate_of(6.0, None, headspace="60 mL", temperature_move="4 K", pressure_move="5 hPa")
    found = gas_verdict(rate, "200 µmol/h", PLATINUM, water="150 mL")
    assert found.level == ABOVE and "it is not hydrogen from this light" in found.sentence
    steam = {t: PropsSI("P", "T", t + 273.15, "Q", 0, "Water") for t in (21, 25)}
    dry = {t: 100900 - steam[t] for t in steam}
    hours = 5.0
    sizes = {one.name: number(one.rate, "mL/h") for one in found.impostors}
    # 1 % for the vapour pressures of water and ethanol; air in water is good to 10 % by its table of Henry's constants
    assert sizes["warming by 4.0 K"] == pytest.approx(60 * (298.15 / 294.15 * dry[21] / dry[25] - 1) / hours, rel=0.01)
    assert sizes["barometer down 5.0 hPa"] == pytest.approx(60 * (dry[21] / (dry[21] - 500) - 1) / hours, rel=0.01)
    assert sizes["water vapour"] == pytest.approx(60 * steam[21] / dry[21] / hours, rel=0.01)
    ethanol = PropsSI("P", "T", 294.15, "Q", 0, "Ethanol")
    # Vapour that joins moist gas pushes it aside until the pressures add up again: e / (p - w - e) of it.
    assert sizes["alcohol vapour"] == pytest.approx(60 * ethanol / (dry[21] - ethanol) / hours, rel=0.03)
    # Nitrogen and oxygen in water open to air at 21 and 25 °C: 0.812 and 0.756 mmol/L (from tables of solubility,
    # from memory: 18.3 and 17.1 mL at 0 °C and 1 atm in a litre of water)
    assert sizes["air out of the water"] == pytest.approx(0.15 * (18.3 - 17.1) / 22.414 * 1e3 / WORTH / hours, rel=0.25)
    assert list(sizes.values()) == sorted(sizes.values(), reverse=True)
    for one in found.impostors[:2]:
        assert one.words in found.sentence
    assert "factor of 1000" in found.sentence


@settings(max_examples=60, deadline=None)
@given(st.floats(-2, 3e3), st.floats(1, 1e7), st.sampled_from([*cases()]), st.booleans())
def test_no_verdict_ever_proves_hydrogen(rate, photons, case, blank):
    found = gas_verdict(rate_of(rate, "0.00 ± 0.02 mL/h" if blank else None), Q(photons, "µmol/h"), case)
    text = str(found).lower()
    assert found.level in LEVELS and text.startswith(found.level)
    assert "prove" not in text and "safe" not in text and "gas chromatograph" in text and "no flame" in text
    if found.level in (PLAUSIBLE, CLOSER, EXTRAORDINARY):
        assert "does not say which gas" in found.sentence
    if found.level == PLAUSIBLE:
        assert blank
    if case == "plain":
        assert "two parts of hydrogen to one of oxygen" in " ".join(
            str(found).split()
        ) and "no closed glass" in " ".join(str(found).split())
    hydrogen = found.apparent_yield.magnitude
    over = getattr(hydrogen, "nominal_value", hydrogen) > 100
    assert (found.level == ABOVE) == (over and found.rate.is_gas)


def test_the_same_gas_under_more_light_is_never_less_believable():
    order = [ABOVE, EXTRAORDINARY, CLOSER, PLAUSIBLE]
    rate = rate_of(0.3)
    for case in cases():
        levels = [
            order.index(gas_verdict(rate, Q(float(photons), "µmol/h"), case).level)
            for photons in np.geomspace(10, 1e8, 25)
        ]
        assert levels == sorted(levels) and levels[0] == 0


def test_it_says_what_would_tell_and_carries_cautions():
    found = gas_verdict(rate_of(0.3), incident_photons("60 cm²", gap="2.7 eV"), PLATINUM)
    assert found.cautions() == cautions("hydrogen") and "pop at a flame is no measurement" in " ".join(found.would_tell)
    assert "no doubt of it" in str(found.words()) and "no doubt of it" not in str(
        gas_verdict(rate_of(0.3), "8 to 10 mmol/h", PLATINUM).words()
    )
    assert "Published on this case" in str(found.words()) and "<table>" in found._repr_html_()
    assert max(map(len, str(found).splitlines())) <= 66 and str(found) == repr(found)
    assert str(found) == str(gas_verdict(rate_of(0.3), incident_photons("60 cm²", gap="2.7 eV"), PLATINUM))


@pytest.mark.parametrize("rate, light, case, words", [
    ("0.3 mL/h", "9 mmol/h", PLATINUM, "gas_rate"), (None, "9 mL", PLATINUM, "an amount per time"), (None, "0 mmol/h", PLATINUM, "light"),
    (None, "9 mmol/h", "magic", "magic"), (None, Q(ufloat(0, 1), "mmol/h"), PLATINUM, "light"),
    (None, Q(ufloat(-5, 1), "mmol/h"), PLATINUM, "light"), (None, Q(ufloat(5, 1), "kg/h"), PLATINUM, "light"),
])  # fmt: skip
def test_what_does_not_fit_is_refused(rate, light, case, words):
    with pytest.raises(LabError, match=words):
        gas_verdict(rate or rate_of(0.3), light, case)


@pytest.mark.parametrize("slope, shown", [(-0.4, "none: the net volume does not rise"), (0.4, "%")])
def test_gas_that_goes_has_no_yield(slope, shown):
    rows = dict(gas_verdict(rate_of(slope), "30 mmol/h", PLATINUM).rows())
    assert rows["yield, if hydrogen"].endswith(shown) and not rows["yield, if hydrogen"].startswith(("-", "(-"))
