"""Routes, yields, gases and verdicts: atoms and mass are conserved, and practice is called plausible."""

import math

import pytest
from helpers import assert_close
from hypothesis import given
from hypothesis import strategies as st

from labkit.chemistry.formula import atom_counts, mass_fractions, molar_mass
from labkit.chemistry.thermolysis import (
    gases,
    gases_at_most,
    mass_shares,
    powder_from_precursor,
    precursor_for_powder,
    precursors,
    route,
    usual_fraction,
    verdict,
)
from labkit.errors import ChoiceProblem, LabError, RangeProblem
from labkit.units import Q

ROUTES = [
    (p, product, name) for p in precursors() for product in ("melon", "ideal") for name in ("usual", "carbon bound")
]
masses = st.floats(1e-3, 1e4).map(lambda grams: Q(grams, "g"))


def test_there_are_routes_for_all_precursors():
    assert len(ROUTES) == 16 and {"urea", "melamine", "dicyandiamide", "thiourea"} == set(precursors())


# By hand from whole-number atomic weights H 1.008, C 12.011, N 14.007, O 15.999, S 32.06:
# urea 60.056, C3N4 92.061, melon 201.153, melamine 126.123, dicyandiamide 84.082, thiourea 76.117.
BY_HAND = {
    ("urea", "ideal", "usual"): 92.061 / (6 * 60.056),
    ("urea", "melon", "usual"): 201.153 / (12 * 60.056),
    ("urea", "ideal", "carbon bound"): 92.061 / (3 * 60.056),
    ("urea", "melon", "carbon bound"): 201.153 / (6 * 60.056),
    ("melamine", "ideal", "usual"): 92.061 / 126.123,
    ("melamine", "melon", "usual"): 201.153 / (2 * 126.123),
    ("dicyandiamide", "ideal", "usual"): 2 * 92.061 / (3 * 84.082),
    ("dicyandiamide", "melon", "usual"): 201.153 / (3 * 84.082),
    ("thiourea", "ideal", "usual"): 92.061 / (6 * 76.117),
    ("thiourea", "melon", "usual"): 201.153 / (12 * 76.117),
    ("thiourea", "ideal", "carbon bound"): 92.061 / (3 * 76.117),
}


@pytest.mark.parametrize("key", BY_HAND, ids="-".join)
def test_theory_agrees_with_the_sum_by_hand(key):
    # 1e-4: the two sets of atomic weights differ in the fifth figure.
    assert_close(route(*key).mass_yield, Q(100 * BY_HAND[key], "percent"), relative=1e-4)


@pytest.mark.parametrize("product, name, percent", [("ideal", "usual", 25.55), ("melon", "usual", 27.91), ("ideal", "carbon bound", 51.1), ("melon", "carbon bound", 55.8)])  # fmt: skip
def test_theory_for_urea_is_the_figure_known_for_it(product, name, percent):
    assert_close(route("urea", product, name).mass_yield, Q(percent, "percent"), within=Q(0.05, "percent"))


@pytest.mark.parametrize("key", ROUTES, ids="-".join)
def test_atoms_are_conserved(key):
    reaction = route(*key).reaction
    tally = {}
    for sign, side in ((1, reaction.reactants), (-1, reaction.products)):
        for count, formula in side:
            for element, atoms in atom_counts(formula).items():
                tally[element] = tally.get(element, 0) + sign * count * atoms
    assert tally and not any(tally.values())


@given(mass=masses, key=st.sampled_from(ROUTES))
def test_mass_is_conserved(mass, key):
    precursor, product, name = key
    powder = mass * route(*key).mass_yield
    given_off = sum((gas.mass for gas in gases(mass, precursor, product, name)), Q(0.0, "g"))
    assert_close((powder + given_off).to("g"), mass, relative=1e-12)


@given(mass=masses, key=st.sampled_from(ROUTES))
def test_the_bound_is_never_below_a_route(mass, key):
    at_most = {gas.formula: gas for gas in gases_at_most(mass, key[0])}
    for gas in gases(mass, *key):
        if gas.formula in at_most:
            assert gas.mass <= at_most[gas.formula].mass * (1 + 1e-12)


@given(mass=masses, percent=st.floats(0.1, 100), precursor=st.sampled_from(precursors()))
def test_there_and_back(mass, percent, precursor):
    to_weigh = precursor_for_powder(mass, precursor, Q(percent, "percent")).likely
    assert_close(powder_from_precursor(to_weigh, precursor, Q(percent, "percent")).likely, mass, relative=1e-9)


def test_ranges_run_the_right_way_and_name_their_driver():
    to_weigh = precursor_for_powder("5 g", fraction="10 % to 40 %, likely 20 %")
    assert_close(to_weigh.high / to_weigh.low, Q(4.0), relative=1e-9)
    assert to_weigh.driver == "fraction of theory"
    assert "from memory" in usual_fraction("urea").why


def test_gas_of_a_firing_agrees_with_the_sum_by_hand():
    # 6 urea give 8 NH3 and 3 CO2 on the way to C3N4: 100 g of urea give 2.220 mol of ammonia,
    # 37.8 g, 54.3 L at 25 °C and 1 atm (24.465 L/mol).
    ammonia, carbon_dioxide = gases("100 g", "urea", "ideal")
    assert (ammonia.formula, carbon_dioxide.formula) == ("NH3", "CO2")
    assert_close(ammonia.amount, Q(2.220, "mol"), within=Q(0.001, "mol"))
    assert_close(ammonia.mass, Q(37.8, "g"), within=Q(0.05, "g"))
    assert_close(ammonia.volume, Q(54.3, "L"), within=Q(0.05, "L"))
    assert_close(carbon_dioxide.amount, Q(0.833, "mol"), within=Q(0.001, "mol"))


def test_hazard_bounds_take_every_atom():
    # 100 g of urea is 1.665 mol: at most 3.330 mol NH3 and 1.665 mol HNCO (71.6 g).
    at_most = {gas.formula: gas for gas in gases_at_most("100 g")}
    assert_close(at_most["NH3"].amount, Q(3.330, "mol"), within=Q(0.001, "mol"))
    assert_close(at_most["HNCO"].mass, Q(71.6, "g"), within=Q(0.05, "g"))
    assert "CS2" in {gas.formula for gas in gases_at_most("100 g", "thiourea")}


def test_volume_is_taken_at_the_stated_temperature():
    cold, hot = (gases("1 g", temperature=t)[0].volume for t in ("25 °C", "550 °C"))
    assert_close(hot / cold, Q(823.15 / 298.15), relative=1e-9)


# Common practice, no source: 150 g of urea fired covered gives about 10 g of powder.  A check value only.
def test_common_practice_is_called_plausible():
    found = verdict("150 g", "10 g")
    assert found.level == "plausible"
    # About a quarter of theory on either basis: 24 % for melon, 26 % for C3N4.
    assert_close(found.fraction_of_theory, Q(25, "percent"), within=Q(2, "percent"))
    ideal = (Q(10 / 150) / route("urea", "ideal").mass_yield).to("percent")
    assert_close(ideal, Q(25, "percent"), within=Q(2, "percent"))


def test_too_much_is_called_impossible_and_why():
    assert verdict("150 g", "45 g").level == "impossible on the usual route"
    assert "wet" in verdict("150 g", "45 g").sentence
    assert verdict("150 g", "90 g").level == "impossible at all"
    assert "weighing slip" in verdict("150 g", "90 g").sentence
    assert verdict("150 g", "0.1 g").level == "next to nothing"


@given(mass=masses, share=st.floats(0.001, 1.5), precursor=st.sampled_from(precursors()))
def test_verdict_and_bounds_agree(mass, share, precursor):
    level = verdict(mass, mass * share, precursor).level
    usual, bound = (route(precursor, "melon", name).mass_yield.to("").magnitude for name in ("usual", "carbon bound"))
    if not any(math.isclose(share, limit, rel_tol=1e-9) for limit in (usual, bound)):
        assert (level == "impossible at all") == (share > bound)
        assert (level == "impossible on the usual route") == (usual < share <= bound)


def test_melon_keeps_its_hydrogen():
    # 3 x 1.008 / 201.153 = 1.503 wt%: “all hydrogen burns off” is wrong by that much.
    assert mass_fractions("C6H3N9")["H"] == pytest.approx(0.01503, abs=2e-5)
    assert_close(molar_mass("C6H3N9"), Q(201.15, "g/mol"), within=Q(0.01, "g/mol"))


@pytest.mark.parametrize("call", [
    lambda: route("sugar"), lambda: route("urea", "gold"), lambda: route("urea", "melon", "magic"),
    lambda: precursor_for_powder("5 g", fraction="0 %"), lambda: precursor_for_powder("5 g", fraction="120 %"),
    lambda: precursor_for_powder("5 mL"), lambda: powder_from_precursor("-5 g"), lambda: verdict("5 g", "0 g"),
])  # fmt: skip
def test_mistakes_get_a_kind_word(call):
    with pytest.raises(LabError):
        call()


@pytest.mark.parametrize("call", [lambda: route("sugar"), lambda: route("urea", "gold"), lambda: route("urea", "melon", "magic"), lambda: route(["urea"])])  # fmt: skip
def test_a_word_not_on_the_list_is_told_the_list(call):
    with pytest.raises(ChoiceProblem, match="Type one of"):
        call()


@pytest.mark.parametrize("call", [powder_from_precursor, precursor_for_powder, gases, gases_at_most, lambda masses: verdict(masses, "1 g"),
                                  lambda masses: verdict("9 g", masses)])  # fmt: skip
def test_several_masses_at_once_get_a_kind_word(call):
    with pytest.raises(RangeProblem, match="one value at a time"):
        call(Q([10, 20], "g"))


def test_shares_of_the_mass_sum_to_all_of_it():
    for precursor in precursors():
        assert sum(mass_shares(precursor).values()) == pytest.approx(100, abs=1e-9)
