"""Vapour of solvents against printed pressures, reference equations of state and conservation of mass."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from helpers import assert_close, published
from hostile import HOSTILE
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from labkit.air.balance import jar_gas
from labkit.air.vapour import (
    air_for,
    antoine_pieces,
    antoine_range,
    boiling_kelvin,
    evaporation,
    gas_constant,
    liquid_density,
    plain_density,
    plain_molar_mass,
    saturated_concentration,
    saturated_fraction,
    solvent_molar_mass,
    solvents,
    vapour_pascal,
    vapour_pressure,
    vapour_volume,
)
from labkit.errors import ChoiceProblem, LabError, RangeProblem
from labkit.units import Q, number, printed_up, read

FLUIDS = {"acetone": "Acetone", "ethanol": "Ethanol"}
COLDEST = {"acetone": -25, "ethanol": 0}


def witness_pressure(solvent, celsius):
    return Q(PropsSI("P", "T", celsius + 273.15, "Q", 0, FLUIDS[solvent]), "Pa")


@given(st.sampled_from(sorted(FLUIDS)), st.floats(0, 75))
def test_plain_numbers_are_the_same_as_quantities(solvent, celsius):
    temperature, kelvin = Q(celsius, "degC"), celsius + 273.15
    assert vapour_pascal(solvent, kelvin) == pytest.approx(
        number(vapour_pressure(solvent, temperature), "Pa"), rel=1e-12
    )
    assert plain_density(solvent, kelvin) == pytest.approx(
        number(liquid_density(solvent, temperature), "kg/m**3"), rel=1e-12
    )
    assert plain_molar_mass(solvent) == pytest.approx(number(solvent_molar_mass(solvent), "kg/mol"), rel=1e-12)
    fluid = FLUIDS[solvent]
    assert vapour_pascal(solvent, kelvin) == pytest.approx(PropsSI("P", "T", kelvin, "Q", 0, fluid), rel=0.02)
    assert plain_density(solvent, kelvin) == pytest.approx(PropsSI("D", "T", kelvin, "Q", 0, fluid), rel=0.0003)
    assert plain_molar_mass(solvent) == pytest.approx(PropsSI("M", fluid), rel=1e-4)


def test_one_gas_constant():
    assert gas_constant() == pytest.approx(8.314462618, rel=1e-9)  # CODATA 2018, exact


def test_a_range_of_constants_has_a_name():
    # acetone -25.7 to 234 °C: 247.5 K (poling_2001) and 507.6 K; ethanol 273 to 351.70 K (nist_antoine)
    for solvent, ends in (("acetone", (-25.7, 234)), ("ethanol", (0, 78.5))):
        assert [kelvin - 273.15 for kelvin in antoine_range(solvent)] == pytest.approx(ends, abs=0.5)
    with pytest.raises(ChoiceProblem, match="acetone"):
        antoine_range("water")


def test_plain_numbers_are_refused_outside_too():
    for call in (lambda: vapour_pascal("ethanol", 260.0), lambda: vapour_pascal("acetone", 600.0), lambda: plain_density("acetone", 360.0),
                 lambda: jar_gas("acetone", 293.15, 313.15, 100e-6, 99e-6, 101325.0, 0.0)):  # fmt: skip
        with pytest.raises(RangeProblem):
            call()
    with pytest.raises(ChoiceProblem):
        vapour_pascal("petrol", 300.0)


def test_every_solvent_has_a_witness():
    assert set(solvents()) == set(FLUIDS)


@pytest.mark.parametrize("row", published("vapour_pressure"), ids=lambda row: row["case"])
def test_pressures_agree_with_what_others_printed(row):
    printed, within = (Q(float(row[name]), row["unit"]) for name in ("printed", "tolerance"))
    assert_close(vapour_pressure(row["solvent"], Q(float(row["temperature_degC"]), "degC")), printed, within=within)


@pytest.mark.parametrize("solvent", FLUIDS)
def test_pressures_agree_with_the_equation_of_state(solvent):
    # Lemmon and Span 2006, Schroeder et al. 2014.  1 % is what the constants are good for; see the docstring.
    for celsius in [COLDEST[solvent], *range(0, 79, 1)]:
        assert_close(vapour_pressure(solvent, Q(celsius, "degC")), witness_pressure(solvent, celsius), relative=0.01)


def test_hot_acetone_is_within_two_percent():
    for celsius in (80, 120, 160, 200, 230):
        assert_close(
            vapour_pressure("acetone", Q(celsius, "degC")), witness_pressure("acetone", celsius), relative=0.02
        )


def test_the_two_sets_of_acetone_meet_without_a_step():
    cold, warm = antoine_pieces("acetone")
    assert cold["to"] == warm["from"]
    # 0.01 % is the step the table promises; the pressure itself grows 0.0005 % over the 2 × 10⁻⁶ K between.
    below, above = (number(vapour_pressure("acetone", Q(warm["from"] + d, "K")), "Pa") for d in (-1e-6, 1e-6))
    assert above == pytest.approx(below, rel=1.5e-4)


@pytest.mark.parametrize("solvent", FLUIDS)
def test_pressures_rise_with_temperature(solvent):
    celsius = np.arange(COLDEST[solvent], 78, 0.05)
    assert np.all(np.diff(vapour_pressure(solvent, Q(celsius, "degC")).magnitude) > 0)


@pytest.mark.parametrize("solvent", FLUIDS)
def test_temperature_of_a_pressure_goes_there_and_back(solvent):
    for celsius in range(COLDEST[solvent] + 1, 78, 3):
        pascal = number(vapour_pressure(solvent, Q(celsius, "degC")), "Pa")
        assert boiling_kelvin(solvent, pascal) == pytest.approx(celsius + 273.15, abs=1e-6)
    assert boiling_kelvin(solvent, 1.0) is None and boiling_kelvin(solvent, 1e9) is None


def test_water_is_handed_to_its_own_table():
    assert_close(vapour_pressure("water", "25 °C"), Q(23.8, "torr"), within=Q(0.1, "torr"))  # OpenStax, table 9.2


def test_many_readings_and_a_spread():
    many = vapour_pressure("acetone", Q([0.0, 5, 15, 25], "degC"))
    assert_close(many, Q([witness_pressure("acetone", t).magnitude for t in (0, 5, 15, 25)], "Pa"), relative=0.01)
    spread = vapour_pressure("acetone", Q(ufloat(20, 1), "degC")).magnitude
    # Clausius and Clapeyron: H/(R T²) with 31.0 kJ/mol (ATSDR) is 4.3 % for 1 K.
    assert spread.std_dev / spread.nominal_value == pytest.approx(31.0e3 / (8.3145 * 293.15**2), rel=0.05)


@pytest.mark.parametrize("solvent, celsius", [("acetone", -26), ("acetone", 235), ("ethanol", -1), ("ethanol", 79)])
def test_outside_the_printed_range_is_refused(solvent, celsius):
    with pytest.raises(RangeProblem, match="known here from"):
        vapour_pressure(solvent, Q(celsius, "degC"))


def test_saturated_air():
    # Two textbooks' worth of agreement: 24.66 and 5.876 kPa at 20 °C over 101.325 kPa.
    assert_close(saturated_fraction("acetone", "20 °C"), Q(24.3, "percent"), within=Q(0.1, "percent"))
    assert_close(saturated_fraction("ethanol", "20 °C"), Q(5.8, "percent"), within=Q(0.05, "percent"))
    # 24.66 kPa × 58.08 g/mol / (R × 293.15 K) = 588 g/m³, within the 0.5 % of the constants.
    assert_close(saturated_concentration("acetone", "20 °C"), Q(588, "g/m**3"), relative=0.005)
    with pytest.raises(RangeProblem, match="boils"):
        saturated_fraction("acetone", "57 °C")


@pytest.mark.parametrize("solvent", FLUIDS)
def test_densities(solvent):
    for celsius in range(COLDEST[solvent], 76, 5):
        pressure = max(101325, 1.01 * witness_pressure(solvent, celsius).magnitude)  # so that it stays liquid
        witness = Q(PropsSI("D", "T", celsius + 273.15, "P", pressure, FLUIDS[solvent]), "kg/m**3")
        assert_close(
            liquid_density(solvent, Q(celsius, "degC")), witness, relative=0.0003
        )  # 0.015 % of the curve, and how a liquid gives way to 1 atm
    with pytest.raises(RangeProblem, match="densities"):
        liquid_density(solvent, "80 °C")


def test_density_and_molar_mass_as_printed():
    assert_close(liquid_density("acetone", "25 °C"), Q(784.5, "kg/m**3"), within=Q(0.5, "kg/m**3"))  # CRC, ATSDR
    assert_close(liquid_density("ethanol", "20 °C"), Q(789.4, "kg/m**3"), within=Q(0.5, "kg/m**3"))  # CRC
    assert_close(solvent_molar_mass("acetone"), Q(58.08, "g/mol"), within=Q(0.005, "g/mol"))
    assert_close(solvent_molar_mass("ethanol"), Q(46.07, "g/mol"), within=Q(0.005, "g/mol"))


def test_a_spill_worked_out_by_hand():
    # 250 mL × 0.7847 g/mL / 58.08 g/mol × 24.465 L/mol = 82.64 L: 2754 ppm of 30 m³, and 3.3 m³ at 2.5 %.
    assert_close(evaporation("acetone", "250 mL", "30 m³"), Q(2754, "ppm"), within=Q(2, "ppm"))
    assert_close(air_for("acetone", "250 mL"), Q(3.306, "m**3"), within=Q(0.003, "m**3"))
    assert_close(air_for("acetone", "250 mL", "margin"), Q(4 * 3.306, "m**3"), within=Q(0.012, "m**3"))
    assert_close(air_for("acetone", "250 mL", "250 ppm"), Q(330.6, "m**3"), within=Q(0.3, "m**3"))
    # 76 mL of acetone, and 80 mL of ethanol at NFPA's 3.3 %, make 1 m³ just flammable at 25 °C (rounded to the mL).
    assert_close(air_for("acetone", "76 mL"), Q(1, "m**3"), within=Q(0.01, "m**3"))
    assert_close(air_for("ethanol", "80 mL", "3.3 %"), Q(1, "m**3"), within=Q(0.02, "m**3"))


def test_a_room_holds_no_more_than_saturated_air():
    most = saturated_fraction("acetone", "25 °C")
    assert_close(evaporation("acetone", "100 L", "1 m³"), most, relative=1e-12)
    many = evaporation("acetone", Q([40.0, 1e6], "mL"), "25 m³")
    assert number(many[0], "ppm") < 600 and number(many[1], "ppm") == pytest.approx(number(most, "ppm"))


def test_a_spread_of_the_volume_is_added_to_the_printed_hazard():
    text = printed_up(evaporation("acetone", "250 ± 5 mL", "30 m³"))
    assert number(read(text, "[]"), "ppm") >= 2754 * (1 + 2 * 5 / 250) - 2


@given(st.sampled_from(sorted(FLUIDS)), st.floats(1e-3, 1e4), st.floats(1, 1e4), st.floats(5, 40))
def test_what_is_printed_of_a_hazard_is_never_less(solvent, millilitres, cubic_metres, celsius):
    liquid, temperature = Q(millilitres, "mL"), Q(celsius, "degC")
    for hazard, need in ((evaporation(solvent, liquid, Q(cubic_metres, "m**3"), temperature), "[]"),
                         (air_for(solvent, liquid, "margin", temperature), "[volume]")):  # fmt: skip
        shown = read(printed_up(hazard), need)
        assert number(shown, hazard.units) >= number(hazard, hazard.units) * (1 - 1e-11)


@given(st.sampled_from(sorted(FLUIDS)), st.floats(1e-3, 1e3), st.floats(5, 40))
def test_air_times_fraction_gives_the_vapour_back(solvent, millilitres, celsius):
    liquid, temperature = Q(millilitres, "mL"), Q(celsius, "degC")
    vapour = vapour_volume(solvent, liquid, temperature)
    assert_close((air_for(solvent, liquid, "1 %", temperature) * 0.01).to("L"), vapour, relative=1e-9)
    # As mass: the vapour weighs what the liquid weighed.
    moles = number(vapour, "L") / (0.082057366 * (celsius + 273.15))  # R in L·atm/mol/K
    weight = moles * number(solvent_molar_mass(solvent), "g/mol")
    assert weight == pytest.approx(number(liquid * liquid_density(solvent, temperature), "g"), rel=1e-7)


@pytest.mark.parametrize("function", [vapour_pressure, saturated_fraction, saturated_concentration, liquid_density])
def test_an_unknown_solvent_is_told_which_there_are(function):
    with pytest.raises(ChoiceProblem, match="acetone, ethanol"):
        function("toluene", "20 °C")


@pytest.mark.parametrize("call", [
    lambda text: vapour_pressure(text, "20 °C"), lambda text: vapour_pressure("acetone", text), lambda text: saturated_fraction("acetone", "20 °C", text),
    lambda text: saturated_concentration(text, "20 °C"), lambda text: saturated_concentration("ethanol", text), lambda text: liquid_density("acetone", text),
    lambda text: liquid_density(text, "20 °C"), lambda text: evaporation(text, "40 mL", "25 m³"), lambda text: evaporation("acetone", text, "25 m³"),
    lambda text: evaporation("acetone", "40 mL", text), lambda text: evaporation("acetone", "40 mL", "25 m³", text), lambda text: air_for("acetone", text),
    lambda text: air_for("acetone", "40 mL", text), lambda text: air_for("acetone", "40 mL", "margin", text), lambda text: air_for(text, "40 mL"),
    lambda text: vapour_volume("acetone", text), lambda text: vapour_volume("acetone", "40 mL", "20 °C", text),
])  # fmt: skip
def test_whatever_is_typed_gives_a_kind_word(call):
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        try:
            call(text)
        except LabError as problem:
            assert str(problem)
