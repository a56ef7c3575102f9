"""Solutions and doping against a textbook, a second table of atomic weights, and conservation of mass."""

import numpy as np
import pytest
from helpers import assert_close, published
from hypothesis import given
from hypothesis import strategies as st

from labkit.data import table
from labkit.errors import FormulaProblem, RangeProblem, UnitProblem
from labkit.solutions import (
    NOT_ALL_TAKEN_UP,
    anhydrous_from_hydrate,
    diluted_concentration,
    diluted_volume,
    dopant_dose,
    dopants,
    dry_salt_mass,
    hydrate_from_anhydrous,
    loading_ceiling,
    loading_curve,
    mass_for_molarity,
    metal_of,
    molarity,
    mole_ratio,
    nominal_loading,
    refuse_insoluble,
    salt_shares,
    solubility,
    stock_volume,
    volume_for_molarity,
)
from labkit.units import Q

ROWS = published("solutions")
SALTS = st.sampled_from(["FeCl3", "FeCl3·6H2O", "ZnCl2", "NiCl2·6H2O", "CuSO4·5H2O", "Fe2(SO4)3"])
MASSES = st.floats(1e-3, 1e3).map(lambda size: Q(size, "g"))
SHARES = st.floats(1e-4, 0.2).map(lambda size: Q(100 * size, "percent"))


def answer(row):
    return {
        "molarity": lambda: molarity(row["mass"], row["formula"], row["volume"]),
        "mass": lambda: mass_for_molarity(row["concentration"], row["formula"], row["volume"]),
        "volume": lambda: volume_for_molarity(row["concentration"], row["formula"], row["mass"]),
        "diluted concentration": lambda: diluted_concentration(row["concentration"], row["volume"], row["new_volume"]),
        "diluted volume": lambda: diluted_volume(row["concentration"], row["volume"], row["new_concentration"]),
        "stock volume": lambda: stock_volume(row["concentration"], row["new_concentration"], row["new_volume"]),
        "anhydrous": lambda: anhydrous_from_hydrate(row["mass"], row["formula"]),
        "hydrate": lambda: hydrate_from_anhydrous(row["mass"], row["formula"]),
        "dose": lambda: dopant_dose(row["powder_mass"], row["loading"], row["formula"]),
    }[row["want"]]()


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["case"])
def test_answers_agree_with_printed_ones(row):
    assert_close(answer(row), Q(float(row["expected"]), row["unit"]), within=Q(float(row["tolerance"]), row["unit"]))


def test_every_kind_of_sum_has_a_printed_answer():
    assert {row["want"] for row in ROWS} == {"molarity", "mass", "volume", "diluted concentration", "diluted volume",
                                             "stock volume", "anhydrous", "hydrate", "dose"}  # fmt: skip


def test_tolerances_would_catch_five_percent():
    for row in ROWS:
        assert float(row["tolerance"]) < 0.05 * float(row["expected"]), row["case"]
    with pytest.raises(AssertionError):
        assert_close(1.05 * dopant_dose("1 g", "1 %", "FeCl3"), Q(29.34, "mg"), within=Q(0.01, "mg"))


def test_the_misprint_is_the_molar_mass_and_nothing_else():
    """The book divides by 128.9 g/mol for CoCl2 and prints 0.674 M; its other givens are right."""
    as_printed = Q(6.52, "g") / Q(128.9, "g/mol") / Q(75.0, "mL")
    assert_close(as_printed, Q(0.674, "mol/L"), within=Q(0.001, "mol/L"))
    ours = molarity("6.52 g", "CoCl2", "75.0 mL")
    # Co 58.93 + 2 Cl 35.45 = 129.83 g/mol by any table of atomic weights
    assert_close(ours, as_printed * (128.9 / 129.83), relative=1e-4)
    with pytest.raises(AssertionError):
        assert_close(ours, Q(0.674, "mol/L"), within=Q(0.001, "mol/L"))


@pytest.mark.parametrize(
    "salt, metal", [("FeCl3", "Fe"), ("ZnCl2", "Zn"), ("NiCl2", "Ni"), ("CuSO4", "Cu"), ("CoCl2", "Co")]
)
def test_doses_agree_with_a_second_table_of_atomic_weights(salt, metal):
    from periodictable import elements, formula

    share, powder = 0.03, 2.2
    metal_mass = share / (1 - share) * powder
    expected = Q(metal_mass * formula(salt).mass / elements.symbol(metal).mass, "g")
    # 2e-4: older and newer atomic weights of S, Cl and Zn differ in the fifth figure
    assert_close(dopant_dose(Q(powder, "g"), Q(100 * share, "percent"), salt), expected, relative=2e-4)


# --- there and back --------------------------------------------------------------------------


@given(MASSES, SALTS, st.floats(1e-3, 100))
def test_mass_to_molarity_and_back(mass, salt, litres):
    volume = Q(litres, "L")
    concentration = molarity(mass, salt, volume)
    assert_close(mass_for_molarity(concentration, salt, volume), mass, relative=1e-12)
    assert_close(volume_for_molarity(concentration, salt, mass), volume, relative=1e-12)


@given(st.floats(1e-3, 10), st.floats(1, 1000), st.floats(1, 1000))
def test_dilution_keeps_the_amount(strength, millilitres, times):
    stock, portion = Q(strength, "mol/L"), Q(millilitres, "mL")
    filled_up = portion * times
    weak = diluted_concentration(stock, portion, filled_up)
    assert_close(weak * filled_up, stock * portion, relative=1e-12)
    assert_close(diluted_volume(stock, portion, weak), filled_up, relative=1e-12)
    assert_close(stock_volume(stock, weak, filled_up), portion, relative=1e-12)


@given(MASSES, st.sampled_from(["FeCl3·6H2O", "CuSO4·5H2O", "Na2SO4·10H2O"]))
def test_hydrate_to_dry_salt_and_back_weighs_the_water(mass, salt):
    dry = anhydrous_from_hydrate(mass, salt)
    assert_close(hydrate_from_anhydrous(dry, salt), mass, relative=1e-12)
    waters = int(salt.split("·")[1].removesuffix("H2O"))
    moles = molarity(mass, salt, Q(1, "L")) * Q(1, "L")
    # 18.015 g/mol, to the 0.001 in which tables of atomic weights differ
    assert_close(mass - dry, moles * waters * Q(18.015, "g/mol"), relative=1e-4)


@given(MASSES, SHARES, SALTS)
def test_dose_to_nominal_loading_and_back(powder_mass, loading, salt):
    dose = dopant_dose(powder_mass, loading, salt)
    assert_close(nominal_loading(dose, salt, powder_mass), loading, relative=1e-10)


@given(MASSES, SHARES)
def test_dry_salt_and_hydrate_bring_the_same_metal(powder_mass, loading):
    dry, wet = (dopant_dose(powder_mass, loading, salt) for salt in ("FeCl3", "FeCl3·6H2O"))
    assert_close(hydrate_from_anhydrous(dry, "FeCl3·6H2O"), wet, relative=1e-12)
    assert_close(mole_ratio(dry, "FeCl3", powder_mass), mole_ratio(wet, "FeCl3·6H2O", powder_mass), relative=1e-12)


def test_sums_take_arrays():
    shares = Q(np.array([0.5, 1, 2, 5]), "percent")
    # the dose table for one gram of powder, in one go
    assert_close(dopant_dose("1 g", shares, "ZnCl2"), Q(np.array([10.47, 21.06, 42.54, 109.71]), "mg"),
                 within=Q(0.02, "mg"))  # fmt: skip


def test_typed_uncertainty_travels():
    dose = dopant_dose("3.0 ± 0.3 g", "2 %", "FeCl3").magnitude
    assert dose.std_dev / dose.nominal_value == pytest.approx(0.1)
    share = dopant_dose("3 g", "2.0 ± 0.2 %", "FeCl3").magnitude
    # w/(1-w) rises 1/(1-w) faster than w
    assert share.std_dev / share.nominal_value == pytest.approx(0.1 / 0.98)


# --- places for the metal --------------------------------------------------------------------


def test_one_iron_for_every_heptazine():
    # computed apart: 21.7 wt% iron at one Fe per C6H3N9, and 4.97 mmol of C6H3N9 in a gram
    assert_close(loading_ceiling("Fe"), Q(21.7, "percent"), within=Q(0.05, "percent"))
    salt_mass = Q(4.97, "mmol") * Q(162.20, "g/mol")
    assert_close(mole_ratio(salt_mass, "FeCl3", "1 g"), Q(1), within=0.001)
    assert_close(nominal_loading(salt_mass, "FeCl3", "1 g"), loading_ceiling("Fe"), within=Q(0.03, "percent"))


def test_both_irons_of_iron_sulphate_are_counted():
    # Fe2(SO4)3 is 399.88 g/mol (CRC Handbook, as in any catalogue), and one mole brings two moles of iron
    assert_close(mole_ratio("399.88 g", "Fe2(SO4)3", "201.15 g"), Q(2), within=0.001)


@pytest.mark.parametrize(
    "salt, metal",
    [("FeCl3", "Fe"), ("FeCl3·6H2O", "Fe"), ("ZnCl2", "Zn"), ("Ni(NO3)2·6H2O", "Ni"), ("CuSO4·5H2O", "Cu"),
     ("CoCl2", "Co"), ("Fe(NO3)3·9H2O", "Fe"), ("K2PtCl4", "Pt"), ("(NH4)6Mo7O24·4H2O", "Mo"),
     ("Zn", "Zn")],
)  # fmt: skip
def test_the_metal_of_a_salt(salt, metal):
    assert metal_of(salt) == metal


@pytest.mark.parametrize("salt", ["CO(NH2)2", "NH4Cl", "ZnFe2O4", "KNaC4H4O6", "NaCl", "MgCl2"])
def test_no_metal_or_two_is_refused(salt):
    with pytest.raises(FormulaProblem, match="one metal"):
        metal_of(salt)


# --- what cannot be --------------------------------------------------------------------------


@pytest.mark.parametrize("loading", ["100 %", "250 %"])
def test_a_loading_of_everything_is_refused(loading):
    with pytest.raises(RangeProblem, match="below 100 %"):
        dopant_dose("3 g", loading, "FeCl3")


def test_a_bare_number_that_lost_its_percent_sign_is_refused():
    for loading in (0.5, "0.2", 0.02, 5):
        with pytest.raises(RangeProblem, match="in percent.*loading='0.5 %'"):
            dopant_dose("3 g", loading, "FeCl3")
    assert dopant_dose("3 g", "50 %", "FeCl3") > Q(3, "g")  # said plainly, so answered


def test_more_than_the_solvent_holds_is_refused():
    # 63 g of FeCl3 in 100 mL of acetone (dopants.csv): 7 g in 10 mL is over it, 6 g is not.
    refuse_insoluble("6 g", "FeCl3", "acetone", "10 mL")
    with pytest.raises(RangeProblem, match="can't hold"):
        refuse_insoluble("7 g", "FeCl3", "acetone", "10 mL")
    # The hexahydrate carries 60 % of dry salt: 10 g hold 6.0 g of it, 12 g hold 7.2 g.
    refuse_insoluble("10 g", "FeCl3·6H2O", "acetone", "10 mL")
    with pytest.raises(RangeProblem, match="can't hold"):
        refuse_insoluble("12 g", "FeCl3·6H2O", "acetone", "10 mL")
    refuse_insoluble("99 g", "NiCl2", "acetone", "1 mL")  # not in the table


def test_solubility_is_that_of_the_dry_salt():
    # 63 g of FeCl3 in 100 mL of acetone, 430 g of ZnCl2 in 100 mL of ethanol: as printed in the articles cited
    assert_close(solubility("FeCl3", "acetone"), Q(0.63, "g/mL"), relative=1e-12)
    assert_close(solubility("FeCl3·6H2O", "acetone"), Q(0.63, "g/mL"), relative=1e-12)
    assert_close(solubility("ZnCl2", "ethanol"), Q(4.3, "g/mL"), relative=1e-12)
    assert solubility("ZnCl2", "acetone") is None and solubility("NiCl2", "ethanol") is None
    for salt, solvent in dopants().values():
        assert solubility(salt, solvent) is not None, (salt, solvent)


def test_dry_mass_of_a_jar():
    # 162.2 of 270.3 g/mol is salt
    assert_close(dry_salt_mass("1 g", "FeCl3·6H2O"), Q(162.2 / 270.3, "g"), relative=1e-3)
    assert_close(dry_salt_mass("1 g", "FeCl3"), Q(1, "g"), relative=1e-15)


def test_shares_are_of_a_chloride():
    with pytest.raises(FormulaProblem, match="no chloride"):
        salt_shares("CuSO4·5H2O")


def test_nobody_can_change_the_kept_curve():
    for numbers in loading_curve("FeCl3"):
        with pytest.raises(ValueError, match="read-only"):
            numbers[0] = 1


def test_solvent_cannot_make_a_solution_stronger():
    with pytest.raises(RangeProblem, match="weaker"):
        diluted_concentration("1 mol/L", "50 mL", "40 mL")
    with pytest.raises(RangeProblem, match="weaker"):
        stock_volume("0.1 mol/L", "0.2 mol/L", "40 mL")
    with pytest.raises(RangeProblem, match="weaker"):
        diluted_volume("0.1 mol/L", "40 mL", "0.2 mol/L")


def test_a_formula_without_water_is_no_hydrate():
    with pytest.raises(FormulaProblem, match="no crystal water"):
        hydrate_from_anhydrous("1 g", "FeCl3")


def test_a_molar_mass_is_not_a_mass():
    with pytest.raises(UnitProblem, match="‘mass’"):
        molarity(Q(2, "g/mol"), "ZnCl2", "80 mL")
    with pytest.raises(RangeProblem, match="‘volume’"):
        molarity("2 g", "ZnCl2", "0 mL")


def test_the_warning_says_what_to_do():
    assert "washes off" in NOT_ALL_TAKEN_UP and "measurement of the washed powder" in NOT_ALL_TAKEN_UP


# --- the table of salts ----------------------------------------------------------------------


@pytest.mark.parametrize("row", table("dopants"), ids=lambda row: row["name"])
def test_salts_of_the_table_bring_the_metal_it_names(row):
    assert metal_of(row["salt"]) == row["metal"]


def test_no_dose_of_the_dose_table_comes_near_saturation():
    """Even 5 % on a gram of powder is a quarter of a gram; 10 mL of solvent dissolve several grams."""
    known = [row for row in table("dopants") if row["solubility_g_per_100mL"]]
    assert known
    for row in known:
        assert dopant_dose("1 g", "5 %", row["salt"]) < Q(float(row["solubility_g_per_100mL"]) / 10, "g")


def test_typed_uncertainty_is_compared_by_its_middle():
    assert_close(stock_volume("0.5 ± 0.01 mol/L", "0.1 mol/L", "40 mL"), Q(8, "mL"), within=Q(0.001, "mL"))
    with pytest.raises(RangeProblem, match="0.5 %"):
        dopant_dose("3 g", "0.5 ± 0.1", "FeCl3")
