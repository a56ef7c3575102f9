"""Balancing against printed equations, another library, and the laws that atoms and charge are kept."""

import re
import time
from math import gcd

import chempy
import pytest
import sympy
from helpers import published
from hypothesis import given
from hypothesis import strategies as st

from labkit.chemistry.balance import Reaction, balanced, imbalance
from labkit.chemistry.formula import atom_counts, charge
from labkit.errors import BalanceProblem, FormulaProblem, LabError

# From urea and its kin to carbon nitride: every step that balances in one way only.
THERMOLYSIS = [
    "CO(NH2)2 -> NH3 + HNCO",
    "CO(NH2)2 + HNCO -> C2H5N3O2",
    "C2H5N3O2 + HNCO -> C3H6N4O3",
    "C3H6N4O3 -> C3H3N3O3 + NH3",
    "C3H3N3O3 -> HNCO",
    "CO(NH2)2 + HNCO -> C3H4N4O2 + H2O",
    "C3H3N3O3 + NH3 -> C3H4N4O2 + H2O",
    "C3H4N4O2 + NH3 -> C3H5N5O + H2O",
    "C3H5N5O + NH3 -> C3H6N6 + H2O",
    "HNCO -> C3H6N6 + CO2",
    "CO(NH2)2 -> C3H6N6 + NH3 + CO2",
    "HNCO + H2O -> NH3 + CO2",
    "C3H5N5O -> HNCO + CH2N2",
    "C6H6N10 -> HCN + N2",
    "C3H6N6 -> C6H9N11 + NH3",
    "C6H9N11 -> C6H6N10 + NH3",
    "C6H6N10 -> C6H3N9 + NH3",
    "C6H3N9 -> C3N4 + NH3",
    "C3H6N6 -> C3N4 + NH3",
    "C2H4N4 -> C3N4 + NH3",
    "CH2N2 -> C3N4 + NH3",
    "SC(NH2)2 -> C3N4 + NH3 + CS2",
    "CO(NH2)2 -> C3N4 + NH3 + CO2",
    "CO(NH2)2 -> C6H3N9 + NH3 + CO2",
    "CO(NH2)2 -> C3N4 + NH3 + H2O",
    "CO(NH2)2 -> C6H3N9 + NH3 + H2O",
]
TEXTBOOK = [
    "H2 + O2 -> H2O",
    "FeCl3 + NaOH -> Fe(OH)3 + NaCl",
    "ZnCl2 + AgNO3 -> Zn(NO3)2 + AgCl",
    "KMnO4 + HCl -> KCl + MnCl2 + H2O + Cl2",
    "K2Cr2O7 + FeSO4 + H2SO4 -> Cr2(SO4)3 + Fe2(SO4)3 + K2SO4 + H2O",
    "Cu + HNO3 -> Cu(NO3)2 + NO + H2O",
    "C2H5OH + O2 -> CO2 + H2O",
    "Al + H2SO4 -> Al2(SO4)3 + H2",
    "Fe2O3 + Al -> Al2O3 + Fe",
    "K4Fe(CN)6 + H2SO4 + H2O -> K2SO4 + FeSO4 + (NH4)2SO4 + CO",
    "N(CH2CH2OH)3 + O2 -> CO2 + H2O + NH3",
    "MnO4^- + Fe^2+ + H^+ -> Mn^2+ + Fe^3+ + H2O",
    "Cr2O7^2- + Fe^2+ + H^+ -> Cr^3+ + Fe^3+ + H2O",
    "FeCl3·6H2O -> FeCl3 + H2O",
]


def null_space(equation):
    """Return what an independent algebra system finds: vectors of coefficients that keep all atoms."""
    left, right = (side.split(" + ") for side in equation.split(" -> "))
    rows = {}
    for place, formula in enumerate(left + right):
        sign = 1 if place < len(left) else -1
        for element, count in [*atom_counts(formula).items(), ("charge", charge(formula))]:
            rows.setdefault(element, [0] * len(left + right))[place] += sign * count
    return sympy.Matrix(list(rows.values())).nullspace()


def one_way(equation):
    """Return the coefficients if there is exactly one balanced way, else None."""
    basis = null_space(equation)
    if len(basis) != 1:
        return None
    numbers = list(basis[0] / next(number for number in basis[0] if number))
    if not all(number > 0 for number in numbers):
        return None
    scale = sympy.ilcm(*(number.q for number in numbers))
    return [int(number * scale) for number in numbers]


def numbers_of(reaction):
    return [number for number, _ in reaction.reactants + reaction.products]


def with_other_spelling(formula):
    return re.sub(r"\^([0-9]*)([+-])", r"\2\1", formula).replace("·", "..")


# ---------------------------------------------------------------- against others


@pytest.mark.parametrize("row", published("balancing"), ids=lambda row: row["printed"])
def test_printed_equations_balance_as_printed(row):
    if row["balances"] == "no":
        assert imbalance(row["printed"])
        return
    assert imbalance(row["printed"]) == {}
    if row["one_way"] == "no":
        with pytest.raises(BalanceProblem, match="2 independent ways"):
            balanced(row["printed"])
        return
    bare = re.sub(r"(^|[ >] ?)[0-9]+ (?=[A-Z(])", r"\1", row["printed"])
    assert not re.search(r"(^| )[0-9]+ ", bare)  # the numbers really are gone before they are found again
    assert numbers_of(balanced(bare)) == numbers_of(balanced(row["printed"])) == printed_numbers(row["printed"])


def printed_numbers(equation):
    pieces = re.split(r" \+ | -> ", equation)
    return [int(re.match(r"([0-9]+) ", piece)[1]) if re.match(r"[0-9]+ ", piece) else 1 for piece in pieces]


def test_the_line_printed_wrong_is_shown_to_lose_hydrogen():
    assert imbalance("3 C3H4N4O2 -> C6H6N10 + CH2N2 + 3 CO2") == {"C": 1, "H": -4}


@pytest.mark.parametrize("equation", THERMOLYSIS + TEXTBOOK)
def test_coefficients_agree_with_two_other_libraries(equation):
    left, right = ([with_other_spelling(name) for name in side.split(" + ")] for side in equation.split(" -> "))
    theirs = chempy.balance_stoichiometry(set(left), set(right))
    found = balanced(equation)
    assert numbers_of(found) == [theirs[0][name] for name in left] + [theirs[1][name] for name in right]
    assert numbers_of(found) == one_way(equation)


def test_the_comparison_covers_enough():
    assert len(set(THERMOLYSIS + TEXTBOOK)) == len(THERMOLYSIS + TEXTBOOK) >= 25


def test_what_people_call_the_equation_of_carbon_nitride():
    # 6, 1, 8, 3 and 12, 1, 15, 6 also follow by hand: all oxygen leaves as carbon dioxide
    assert str(balanced("CO(NH2)2 -> C3N4 + NH3 + CO2")) == "6 CO(NH₂)₂ → C₃N₄ + 8 NH₃ + 3 CO₂"
    assert str(balanced("CO(NH2)2 -> C6H3N9 + NH3 + CO2")) == "12 CO(NH₂)₂ → C₆H₃N₉ + 15 NH₃ + 6 CO₂"


# ---------------------------------------------------------------- the problems, in words


@pytest.mark.parametrize(
    "equation, says",
    [
        ("H2 + O2 -> CO2", "H is on the left only, in H₂. Something with H is missing on the right."),
        ("NaCl -> Na + Cl2 + K", "K is on the right only, in K."),
        ("Fe^3+ -> Fe", "charge cannot balance: Fe³⁺"),
        ("Cl^- -> Cl2", "charge cannot balance: Cl⁻"),
        ("CO(NH2)2 -> HNCO", "No coefficients balance"),
        ("C6H12O6 -> CO2 + O2 + H2O", "only with O₂ on the other side of the arrow: C₆H₁₂O₆ + 6 O₂ → 6 CO₂ + 6 H₂O"),
        ("C3H6N6 -> C3N4 + NH3 + H2", "only without H₂: C₃H₆N₆ → C₃N₄ + 2 NH₃"),
        ("C + O2 -> CO + CO2", "in 2 independent ways"),
        ("H2 + H2 -> H2O", "stands twice on the left"),
        ("H2O + H2 -> H2O + O2", "H₂O stands on both sides"),
        ("FeCl3.6H2O + Zn -> FeCl3·6H2O", "stands on both sides"),
        ("H2O", "no arrow"),
        ("H2 -> H -> H2", "2 arrows"),
        ("H2O ⇌ H+ + OH-", "two-way arrow"),
        ("H2 + O2 <-> H2O", "two-way arrow"),
        ("H2 + -> H2O", "missing beside"),
        ("-> H2O", "missing beside"),
        ("H2 + 1/2 O2 -> H2O", "whole numbers"),
        ("H2 + 0.5 O2 -> H2O", "whole numbers"),
        ("0 H2 + O2 -> H2O", "between 1 and"),
        ("Fe^3+ + e- -> Fe^2+", "Free electrons"),
        (" + ".join(f"C{n}H{n}" for n in range(1, 13)) + " -> C + H", "14 formulas; at most 12"),
        ("H" * 1000, "at most 900"),
        (None, "of type NoneType"),
    ],
)
def test_what_cannot_be_balanced_is_explained(equation, says):
    with pytest.raises(BalanceProblem) as problem:
        balanced(equation)
    assert says in str(problem.value)


def test_two_ways_are_shown_and_each_of_them_balances():
    with pytest.raises(BalanceProblem) as problem:
        balanced("CO(NH2)2 -> C3N4 + NH3 + CO2 + H2O")
    text = str(problem.value)
    assert "2 independent ways" in text
    # both limits of the field: all oxygen out as water, or as carbon dioxide
    ways = ["3 CO(NH₂)₂ → C₃N₄ + 2 NH₃ + 3 H₂O", "6 CO(NH₂)₂ → C₃N₄ + 8 NH₃ + 3 CO₂"]
    for way in ways:
        assert way in text
        assert imbalance(way) == {}


@pytest.mark.parametrize(
    "equation",
    [
        "C2H5N3O2 + HNCO -> C3H3N3O3 + NH3",
        "C2H5N3O2 -> C3H4N4O2 + HNCO + NH3 + H2O",
        "C3H4N4O2 -> C3H5N5O + CH2N2 + CO2",
        "C3H5N5O + CH2N2 -> C6H6N10 + H2O + NH3",
        "CO + CO2 + H2 -> CH4 + H2O",
        "C + O2 + H2 -> CO + CO2 + H2O",
        "C + O2 + H2 + N2 -> CO + CO2 + H2O + NH3 + HCN",
        "H2O2 + KMnO4 + H2SO4 -> K2SO4 + MnSO4 + O2 + H2O",
    ],
)
def test_the_number_of_independent_ways_agrees_with_another_library(equation):
    ways = len(null_space(equation))
    assert ways > 1
    with pytest.raises(BalanceProblem, match=f"in {ways} independent ways") as problem:
        balanced(equation)
    shown = str(problem.value).partition("proportion: ")[2].partition(". Leave")[0].split("; and ")
    assert len(shown) == 2
    assert all(imbalance(way) == {} for way in shown)


def test_a_formula_problem_inside_an_equation_keeps_its_own_words():
    with pytest.raises(FormulaProblem, match="Did you mean Fe"):
        balanced("fe + O2 -> Fe2O3")


# ---------------------------------------------------------------- reading


@pytest.mark.parametrize(
    "equation",
    ["N2 + 3 H2 -> 2 NH3", "N2+H2->NH3", "N2 + H2 → NH3", "N2 + H2 = NH3", "N2+3H2⟶2NH3", "7 N2 + 7 H2 -> 7 NH3",
     "  N₂ + 3 H₂ --> 2 NH₃  ", "N2(g) + 3 H2(g) -> 2 NH3 (g)", "N2 + H2 => NH3"],
)  # fmt: skip
def test_arrows_states_and_typed_coefficients(equation):
    assert balanced(equation) == Reaction(((1, "N2"), (3, "H2")), ((2, "NH3"),))


@pytest.mark.parametrize(
    "equation",
    ["Fe^2+ + H2O2 + H^+ -> Fe^3+ + H2O", "Fe^2++H2O2+H^+->Fe^3++H2O", "Fe+2 + H2O2 + H+ = Fe+3 + H2O",
     "Fe²⁺+H₂O₂+H⁺→Fe³⁺+H₂O", "2 Fe^2+ + H2O2(aq) + 2H+ -> 2Fe^3+ + 2H2O(l)"],
)  # fmt: skip
def test_plus_signs_and_charges_are_told_apart(equation):
    assert str(balanced(equation)) == "2 Fe²⁺ + H₂O₂ + 2 H⁺ → 2 Fe³⁺ + 2 H₂O"


def test_coefficient_is_found_under_any_spelling():
    reaction = balanced("FeCl3·6H2O + NaOH -> Fe(OH)3 + NaCl + H2O")
    assert [reaction.coefficient(name) for name in ("FeCl3.6H2O", "FeCl₃*6H₂O", " NaOH", "H2O")] == [1, 1, 3, 6]
    with pytest.raises(BalanceProblem, match="ZnCl₂ does not take part"):
        reaction.coefficient("ZnCl2")


def test_a_reaction_that_does_not_balance_cannot_be_made():
    with pytest.raises(BalanceProblem, match="does not balance: O -1 on the right"):
        Reaction(((1, "H2"), (1, "O2")), ((1, "H2O"),))
    for number in (0, -1, 1.0):
        with pytest.raises(BalanceProblem, match="whole numbers from 1 up"):
            Reaction(((number, "H2"),), ((number, "H2"),))


# ---------------------------------------------------------------- laws

POOL = ["CO(NH2)2", "C3N4", "C6H3N9", "NH3", "CO2", "H2O", "HNCO", "C3H6N6", "O2", "N2", "H2", "CO", "HCN", "CH4"]


@given(st.lists(st.sampled_from(POOL), min_size=2, max_size=6, unique=True), st.integers(1, 5))
def test_atoms_are_kept_or_a_second_opinion_agrees_there_is_no_single_way(names, cut):
    cut = min(cut, len(names) - 1)
    equation = " -> ".join((" + ".join(names[:cut]), " + ".join(names[cut:])))
    expected = one_way(equation)
    try:
        reaction = balanced(equation)
    except BalanceProblem:
        assert expected is None
        return
    assert numbers_of(reaction) == expected
    for element in "CHNO":
        left, right = (
            sum(number * atom_counts(name).get(element, 0) for number, name in side)
            for side in (reaction.reactants, reaction.products)
        )
        assert left == right
    assert gcd(*numbers_of(reaction)) == 1


@given(st.permutations(["Cr2O7^2-", "Fe^2+", "H^+"]), st.permutations(["Cr^3+", "Fe^3+", "H2O"]))
def test_order_does_not_matter_and_charge_is_kept(left, right):
    reaction = balanced(f"{' + '.join(left)} -> {' + '.join(right)}")
    assert {name: number for number, name in reaction.reactants} == {"Cr2O7^2-": 1, "Fe^2+": 6, "H^+": 14}
    totals = [sum(n * charge(name) for n, name in side) for side in (reaction.reactants, reaction.products)]
    assert totals == [24, 24]


@given(st.text(max_size=60) | st.text("CHNO()2346+-> =→.·^eaqs", max_size=60))
def test_no_text_leaks_another_error(text):
    for read in (balanced, imbalance):
        try:
            read(text)
        except LabError:
            pass


def test_the_worst_equation_is_still_quick():
    """Twelve formulas of six elements that balance in many ways: every combination has to be tried."""
    digits = [(place * 7 + number * 5) % 9 + 1 for place in range(12) for number in range(6)]
    names = [
        "".join(
            f"{element}{digits[6 * place + number]}" for number, element in enumerate(("C", "H", "N", "O", "S", "Fe"))
        )
        for place in range(12)
    ]
    names = list(dict.fromkeys(f"{name}Cl{place + 1}" for place, name in enumerate(names)))
    start = time.perf_counter()
    with pytest.raises(BalanceProblem):
        balanced(" + ".join(names[:6]) + " -> " + " + ".join(names[6:]))
    assert time.perf_counter() - start < 50  # a few tenths of a second; a busy machine may take longer
