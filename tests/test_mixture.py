"""Precursors fired together: atom by atom nothing is lost, and one alone gives what it gives elsewhere."""

import periodictable
import pytest
from helpers import assert_close
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from labkit.chemistry.formula import atom_counts, molar_mass
from labkit.chemistry.mixture import precursor_mixture
from labkit.chemistry.thermolysis import (
    PRODUCTS,
    gases,
    gases_at_most,
    powder_from_precursor,
    precursors,
    route,
    usual_fraction,
)
from labkit.chemistry.to_weigh import for_powder, scaled_mixture
from labkit.errors import ChoiceProblem, LabError, RangeProblem, UnitProblem
from labkit.units import Q, Range

# As the second table of atomic weights spells them; SC(NH2)2 and the rest, in grams per mole.
FORMULAS = {"urea": "CH4N2O", "thiourea": "CH4N2S", "melamine": "C3H6N6", "dicyandiamide": "C2H4N4"}
MASSES = {name: periodictable.formula(formula).mass for name, formula in FORMULAS.items()}
MELON = periodictable.formula("C6H3N9").mass
# Moles of melon that a mole gives by the usual route, on paper: urea and thiourea 1/12, melamine 1/2, dicyandiamide 1/3.
YIELDS = {"urea": 1 / 12, "thiourea": 1 / 12, "melamine": 1 / 2, "dicyandiamide": 1 / 3}
SAME = 2e-4  # the two tables of atomic weights differ in the fifth figure
grams = st.one_of(st.just(0.0), st.floats(0.01, 500))


@st.composite
def mixed(draw):
    found = {name: draw(grams) for name in FORMULAS}
    assume(sum(found.values()) > 0)
    return {name: Q(mass, "g") for name, mass in found.items()}


def test_every_precursor_is_in_the_table_of_this_test():
    assert set(FORMULAS) == set(precursors())


def on_paper(masses):
    return sum(mass.m_as("g") / MASSES[name] * YIELDS[name] * MELON for name, mass in masses.items())


@settings(max_examples=40, deadline=None)
@given(mixed())
def test_theory_is_the_sum_on_paper(masses):
    assert_close(precursor_mixture(masses).theory, Q(on_paper(masses), "g"), relative=SAME)


@settings(max_examples=40, deadline=None)
@given(mixed(), st.sampled_from(list(PRODUCTS)))
def test_no_atom_is_lost(masses, product):
    found = precursor_mixture(masses, product)
    went_in, came_out = {}, {}
    for name, mass in masses.items():
        formula = route(name).formula
        for element, count in atom_counts(formula).items():
            went_in[element] = went_in.get(element, 0) + count * (mass / molar_mass(formula)).m_as("mol")
    powder = (found.theory / molar_mass(PRODUCTS[product])).m_as("mol")
    for formula, moles in [
        (PRODUCTS[product], powder),
        *((gas.formula, gas.amount.m_as("mol")) for gas in found.gases),
    ]:
        for element, count in atom_counts(formula).items():
            came_out[element] = came_out.get(element, 0) + count * moles
    assert {element for element, moles in went_in.items() if moles} == {
        element for element, moles in came_out.items() if moles
    }
    for element, moles in went_in.items():
        assert came_out.get(element, 0) == pytest.approx(moles, rel=1e-9, abs=1e-12), element
    weighed = sum((gas.mass for gas in found.gases), found.theory)
    assert_close(weighed, found.mass, relative=1e-9)


@settings(max_examples=40, deadline=None)
@given(mixed())
def test_the_bounds_are_those_of_all_atoms_in_one_pot(masses):
    """Every precursor has more carbon than it has sulfur and more nitrogen than carbon, so that bounds add up."""
    atoms = {}
    for name, mass in masses.items():
        for element, count in periodictable.formula(FORMULAS[name]).atoms.items():
            atoms[str(element)] = atoms.get(str(element), 0) + count * mass.m_as("g") / MASSES[name]
    sulfur = atoms.get("S", 0)
    one_pot = {"NH3": atoms["N"], "HNCO": min(atoms["C"], atoms["N"]), "HCN": min(atoms["C"], atoms["N"]), "CS2": min(atoms["C"], sulfur / 2),
               "COS": min(atoms["C"], sulfur), "SO2": sulfur}  # fmt: skip
    found = {gas.formula: gas for gas in precursor_mixture(masses).at_most}
    for formula, moles in one_pot.items():
        assert (formula in found) == bool(moles)
        if moles:
            assert_close(found[formula].amount, Q(moles, "mol"), relative=SAME)
            assert_close(found[formula].volume, Q(moles * 24.465, "L"), relative=1e-3)  # RT/p at 25 °C and 1 atm


@pytest.mark.parametrize("name", FORMULAS)
@pytest.mark.parametrize("product", PRODUCTS)
def test_one_alone_gives_what_it_gives_elsewhere(name, product):
    found = precursor_mixture({name: "37 g"}, product, "12 % to 40 %, likely 20 %")
    alone = powder_from_precursor("37 g", name, "12 % to 40 %, likely 20 %", product)
    for got, expected in zip(found.expected.ends, alone.ends):
        assert_close(got, expected, relative=1e-12)
    for got, expected in ((found.gases, gases("37 g", name, product)), (found.at_most, gases_at_most("37 g", name))):
        theirs = {gas.formula: gas for gas in expected}
        assert {gas.formula for gas in got} == set(theirs)
        for gas in got:
            for what in ("amount", "mass", "volume"):
                assert_close(getattr(gas, what), getattr(theirs[gas.formula], what), relative=1e-9)
    usual = precursor_mixture({name: "37 g"}, product)
    assert_close(usual.parts[0].fraction.likely, usual_fraction(name, product).likely, relative=1e-12)


def test_the_range_takes_all_the_bad_luck_together():
    found = precursor_mixture(
        {"urea": "50 g", "melamine": "10 g"}, fractions={"urea": "10 % to 30 %", "melamine": "50 % to 70 %"}
    )
    urea, melamine = 50 / MASSES["urea"] / 12 * MELON, 10 / MASSES["melamine"] / 2 * MELON
    for got, parts in zip(found.expected.ends, ((0.1, 0.5), (0.2, 0.6), (0.3, 0.7))):
        assert_close(got, Q(parts[0] * urea + parts[1] * melamine, "g"), relative=SAME)
    # 20 % of 14.0 g of theory spread more than 20 % of 8.0 g.
    assert found.expected.driver == "fraction of theory of urea"
    assert "fraction of theory of urea spreads that most" in found.sentence


def test_sulfur_and_nitrogen_are_those_of_the_formulas():
    found = precursor_mixture({"urea": "64 g", "thiourea": "3 g"}, fractions="20 %")
    # S 32.06 of 76.12 g/mol; N 28.014 of 60.056 and of 76.12.
    assert_close(found.sulfur, Q(3 * 32.06 / 76.117, "g"), relative=SAME)
    assert_close(found.nitrogen, Q(64 * 28.014 / 60.056 + 3 * 28.014 / 76.117, "g"), relative=SAME)
    powder = 0.2 * on_paper({"urea": Q(64, "g"), "thiourea": Q(3, "g")})
    assert_close(found.sulfur_loading.likely, Q(100 * 1.2636 / (1.2636 + powder), "percent"), relative=1e-3)
    assert_close(found.nitrogen_in_powder.likely, Q(9 * 14.007 / MELON * powder, "g"), relative=1e-3)
    # What is not in the powder leaves as ammonia, by the usual routes.
    ammonia = next(gas for gas in found.gases if gas.formula == "NH3")
    assert_close(ammonia.amount * Q(14.007, "g/mol") + found.theory * 9 * 14.007 / MELON, found.nitrogen, relative=1e-3)
    assert "from memory" in found.sulfur_kept.why and found.sulfur_kept.high < found.sulfur_loading.low
    assert "nearly all" in found.sentence.lower() and "carbon disulfide" in found.sentence


def test_without_thiourea_nothing_is_said_of_sulfur():
    found = precursor_mixture({"urea": "64 g", "melamine": "3 g", "thiourea": "0 g"})
    assert found.sulfur.magnitude == 0 and found.sulfur_loading is None and found.sulfur_kept is None
    assert (
        "sulfur" not in found.sentence
        and "sulfur" not in str(found.rows())
        and [part.precursor for part in found.parts] == ["urea", "melamine"]
    )


def test_cautions_come_for_each_precursor():
    both = str(precursor_mixture({"urea": "6 g", "thiourea": "1 g", "melamine": "1 g"}).cautions())
    assert "carbon disulfide" in both and "2B" in both and "Never seal" in both and "dust mask" in both
    assert "carbon disulfide" not in str(precursor_mixture({"urea": "6 g"}).cautions())


def test_hazards_are_rounded_up():
    found = precursor_mixture({"urea": "64 g", "thiourea": "3 g"})
    rows = {row[0]: row for row in found.rows()}
    # 64 g of urea and 3 g of thiourea are 1.1051 mol: 2.2102 mol of ammonia at most, 37.64 g and 54.07 L.
    assert "at most 38 g, 55 L" in rows["NH₃ at 25 °C"][2] and "55 L of ammonia" in found.sentence
    assert "no safe figure" in rows["HNCO at 25 °C"][2]
    assert "at most 1.0 % stays" in found.sentence and rows["sulfur brought"][2].endswith(
        "from memory 0 to 1.0 %, likely 0.30 %"
    )
    # 0.01971 mol of it is 1.501 g.
    assert rows["CS₂ at 25 °C"][2].startswith("at most 1.6 g")
    # Scaled up, the disulfide comes along: 76.13 g for each 2 × 76.12 g of thiourea, half its mass.
    wanted = for_powder("3 g", {"urea": "95 %", "thiourea": "5 %"}, fractions="10 % to 30 %")
    most = wanted.masses["thiourea"].high.m_as("g") * 76.13 / 2 / 76.12
    told = float(wanted.sentence.split(" ammonia and ")[1].split(" g of carbon disulfide")[0])
    assert most <= told <= 1.1 * most + 0.05
    assert "disulfide" not in for_powder("3 g", {"urea": "100 %"}).sentence


@settings(max_examples=25, deadline=None)
@given(
    wanted=st.floats(0.1, 50),
    part=st.floats(0.01, 0.99),
    other=st.sampled_from(["thiourea", "melamine", "dicyandiamide"]),
)
def test_for_a_wanted_powder_there_and_back(wanted, part, other):
    shares = {"urea": Q(1 - part), other: Q(part)}
    found = for_powder(Q(wanted, "g"), shares)
    assert_close(found.likely.expected.likely, Q(wanted, "g"), relative=1e-9)
    assert_close(found.largest.expected.low, Q(wanted, "g"), relative=1e-9)  # enough at the lowest fractions
    assert_close(found.masses[other].likely / found.total.likely, Q(part), relative=1e-9)
    assert found.largest.mass >= found.likely.mass and found.sentence.startswith("For ")
    assert str(found.total.driver).startswith("fraction of theory")
    assert found.likely.product == found.largest.product == "melon"


def test_scaling_keeps_the_shares_the_product_and_the_fractions():
    mixture = precursor_mixture({"urea": "64 g", "thiourea": "3 g"}, "ideal", "10 % to 30 %, likely 20 %")
    found = scaled_mixture(mixture, "5 g")
    assert found.largest.product == "ideal"
    assert_close(found.masses["urea"].high / found.masses["thiourea"].high, Q(64 / 3), relative=1e-12)
    # Six of urea or thiourea for one of C3N4.
    ideal = (64 / MASSES["urea"] + 3 / MASSES["thiourea"]) / 6 * periodictable.formula("C3N4").mass
    for end, fraction in zip(found.total.ends, (0.3, 0.2, 0.1)):
        assert_close(end, Q(67 * 5 / (fraction * ideal), "g"), relative=SAME)
    assert_close(found.largest.expected.low, Q(5, "g"), relative=1e-9)
    assert_close(found.likely.expected.high, Q(7.5, "g"), relative=1e-9)


@pytest.mark.parametrize("ask, kind, words", [
    (lambda: precursor_mixture({"sugar": "5 g"}), ChoiceProblem, "sugar"), (lambda: precursor_mixture({}), UnitProblem, "64 g"), (lambda: precursor_mixture("64 g"), UnitProblem, "dict"),
    (lambda: precursor_mixture({"urea": "0 g"}), RangeProblem, "nothing"), (lambda: precursor_mixture({"urea": "-1 g"}), RangeProblem, "zero or more"),
    (lambda: precursor_mixture({"urea": "5 mL"}), LabError, "volume"), (lambda: precursor_mixture({"urea": Q([1, 2], "g")}), RangeProblem, "one value"),
    (lambda: precursor_mixture({"urea": "5 g"}, "powder"), ChoiceProblem, "powder"), (lambda: precursor_mixture({"urea": "5 g"}, fractions="0 %"), LabError, "zero"),
    (lambda: precursor_mixture({"urea": "5 g"}, fractions={"sugar": "5 %"}), ChoiceProblem, "sugar"), (lambda: precursor_mixture({"urea": "5 g"}, fractions="120 %"), RangeProblem, "100 %"),
    (lambda: for_powder("3 g", {"urea": "95 %"}), RangeProblem, "95"), (lambda: for_powder("3 g", {"urea": "95 %", "thiourea": "10 %"}), RangeProblem, "105"),
    (lambda: for_powder("0 g", {"urea": "100 %"}), RangeProblem, "more than zero"), (lambda: for_powder("3 g", "urea"), UnitProblem, "dict"), (lambda: precursor_mixture({"urea": "5 g"}).part("melamine"), ChoiceProblem, "urea"),
])  # fmt: skip
def test_a_mixture_says_what_is_wrong(ask, kind, words):
    with pytest.raises(kind, match=words):
        ask()


def test_what_is_printed_fits_a_page():
    found = precursor_mixture({"urea": "64 g", "thiourea": "3 g"})
    assert repr(found) == str(found) and max(map(len, str(found).splitlines())) <= 60
    assert isinstance(found.expected, Range) and found.part("urea").mass == Q(64.0, "g")
