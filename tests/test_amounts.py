"""Amounts, mass balance, limiting reagent and yield against worked examples, and the conservation of mass."""

from decimal import Decimal

import pytest
from helpers import assert_close, published
from hypothesis import given
from hypothesis import strategies as st
from test_balance import TEXTBOOK, THERMOLYSIS

from labkit.chemistry.amounts import (
    amount_from_mass,
    limiting_reagent,
    mass_balance,
    mass_from_amount,
    percent_yield,
)
from labkit.chemistry.balance import balanced
from labkit.chemistry.formula import atom_counts, molar_mass, plain_text
from labkit.errors import BalanceProblem, FormulaProblem, RangeProblem, ReadingProblem, UnitProblem
from labkit.units import Q, read

CLOSES = 1e-12  # of the mass; rounding leaves a few 1e-16, a lost hydrogen at least 1e-3


def rows(kind):
    found = [row for row in published("amounts") if row["kind"] == kind]
    assert found, f"no {kind} rows"
    return found


def printed_answer(row):
    """Return the book's answer and one unit of its last digit: books round steps on the way."""
    digit = Decimal(1).scaleb(Decimal(row["printed"]).as_tuple().exponent)
    return Q(float(row["printed"]), row["unit"]), Q(float(digit), row["unit"])


def given_in(row):
    return dict(piece.split(": ") for piece in row["given"].split("; "))


def name_of(row):
    return row["source"].partition(", ")[2]


# ---------------------------------------------------------------- worked examples


@pytest.mark.parametrize("row", rows("amount"), ids=name_of)
def test_moles_in_a_mass(row):
    ((formula, mass),) = given_in(row).items()
    expected, within = printed_answer(row)
    assert_close(amount_from_mass(mass, formula), expected, within=within)
    assert_close(mass_from_amount(amount_from_mass(mass, formula), formula), read(mass), relative=1e-12)


@pytest.mark.parametrize("row", rows("needed"), ids=name_of)
def test_what_belongs_to_a_given_substance(row):
    ((formula, given_text),) = given_in(row).items()
    start = read(given_text)
    mass = mass_from_amount(start, formula) if row["unit"] == "mol" else start
    line = mass_balance(row["equation"], mass, of=formula).line(row["wanted"])
    expected, within = printed_answer(row)
    assert_close(line.amount if row["unit"] == "mol" else line.mass, expected, within=within)


@pytest.mark.parametrize("row", rows("limiting"), ids=name_of)
def test_which_reactant_runs_out(row):
    found = limiting_reagent(row["equation"], given_in(row))
    assert found.formula == row["wanted"]
    assert str(found).startswith(f"{row['wanted'].replace('2', '₂')} runs out first")
    if row["printed"]:
        expected, within = printed_answer(row)
        assert_close(found.extent, expected, within=within)  # one product formula is made per reaction


def test_the_silicon_example_step_by_step():
    # OpenStax Chemistry 2e, Example 4.12 prints 0.0712 mol Si and 0.0535 mol N2
    assert_close(amount_from_mass("2.00 g", "Si"), Q(0.0712, "mol"), within=Q(0.0001, "mol"))
    assert_close(amount_from_mass("1.50 g", "N2"), Q(0.0535, "mol"), within=Q(0.0001, "mol"))


@pytest.mark.parametrize("row", rows("yield"), ids=name_of)
def test_percent_yield(row):
    reactants = given_in(row)
    if len(reactants) == 1:
        ((formula, mass),) = reactants.items()
        theory = mass_balance(row["equation"], mass, of=formula).line(row["wanted"]).mass
    else:
        theory = limiting_reagent(row["equation"], reactants).products[plain_text(row["wanted"])]
    expected, within = printed_answer(row)
    assert_close(percent_yield(row["actual"], theory), expected, within=within)


def test_the_oxalate_exercise_names_its_limiting_reagent():
    # OpenStax Chemistry 2e, exercise 4.73: sodium oxalate limits
    (row,) = [row for row in rows("yield") if "exercise 4.73" in row["source"]]
    assert limiting_reagent(row["equation"], given_in(row)).formula == "Na2C2O4"


def test_the_copper_theory_is_as_printed():
    # OpenStax Chemistry 2e, Example 4.13 prints 0.5072 g of copper from 1.274 g of copper sulfate
    line = mass_balance("CuSO4 + Zn -> Cu + ZnSO4", "1.274 g").line("Cu")
    assert_close(line.mass, Q(0.5072, "g"), within=Q(0.0001, "g"))


# ---------------------------------------------------------------- mass balance

# Two programs with other atomic weights agree on these shares of the urea that goes in, in wt%.
SHARES = {"C3N4": 25.55, "NH3": 37.81, "CO2": 36.64}


@pytest.mark.parametrize("formula, percent", SHARES.items())
def test_where_the_urea_goes(formula, percent):
    balance = mass_balance("CO(NH2)2 -> C3N4 + NH3 + CO2", "64 g")
    # 0.02 wt%: the atomic weights differ in the fifth figure, the shares are printed to four
    assert_close(balance.line(formula).mass / Q(64, "g"), Q(percent, "percent").to(""), within=2e-4)


def test_the_table_is_aligned_and_says_that_it_closes():
    text = str(mass_balance("CO(NH2)2 -> C3N4 + NH3 + CO2", "64 g"))
    first, *lines, last = text.splitlines()
    assert first == "6 CO(NH₂)₂ → C₃N₄ + 8 NH₃ + 3 CO₂"
    assert len(lines) == 4
    assert len({len(line) for line in lines}) == 1
    assert lines[0].split() == ["in", "CO(NH₂)₂", "1.066", "mol", "64.00", "g"]
    assert last == "64.00 g in, 64.00 g out: no mass is lost."


def test_a_product_can_be_the_start_and_text_is_enough():
    balance = mass_balance("FeCl3 + H2O -> FeCl3·6H2O", "10.81 g", of="FeCl₃.6H₂O")
    assert [line.side for line in balance.lines] == ["in", "in", "out"]
    assert_close(balance.line("FeCl3").mass + balance.line("H2O").mass, Q(10.81, "g"), relative=CLOSES)
    # hexahydrate over anhydrous salt is 1.6664 by two other programs
    assert_close(balance.total_out / balance.line("FeCl3").mass, Q(1.6664), within=0.0002)


def test_an_uncertain_mass_stays_uncertain_and_still_closes():
    balance = mass_balance("CO(NH2)2 -> C3N4 + NH3 + CO2", "64.0 ± 0.5 g")
    product = balance.line("C3N4").mass.magnitude
    assert product.std_dev / product.nominal_value == pytest.approx(0.5 / 64)
    assert abs(balance.closure) < CLOSES
    assert "64.00 ± 0.50) g in" in str(balance)


EQUATIONS = THERMOLYSIS + TEXTBOOK
masses = st.floats(1e-6, 1e6)


@given(st.sampled_from(EQUATIONS), masses, st.data())
def test_mass_and_atoms_are_kept(equation, mass, data):
    reaction = balanced(equation)
    known = data.draw(st.sampled_from(reaction.formulas))
    balance = mass_balance(reaction, Q(mass, "g"), of=known)
    assert abs(balance.closure) < CLOSES
    assert_close(balance.total_in, balance.total_out, relative=CLOSES)
    assert_close(balance.line(known).mass, Q(mass, "g"), relative=CLOSES)
    for element in atom_counts(
        "".join(f"({name.partition('^')[0]})" for name in reaction.formulas).replace("·6H2O", "(H2O)6")
    ):
        left, right = (
            sum(line.amount * atom_counts(line.formula).get(element, 0) for line in balance.lines if line.side == side)
            for side in ("in", "out")
        )
        assert_close(left, right, relative=CLOSES)


@given(st.sampled_from(EQUATIONS), st.lists(masses, min_size=6, max_size=6))
def test_nothing_is_lost_when_one_reactant_runs_out(equation, grams):
    reaction = balanced(equation)
    amounts = {name: Q(mass, "g") for (_, name), mass in zip(reaction.reactants, grams)}
    found = limiting_reagent(reaction, amounts)
    after = sum(found.left_over.values()) + sum(found.products.values())
    assert_close(after, sum(amounts.values()), relative=1e-9)  # differences of masses up to 10¹² apart
    assert found.left_over[found.formula] == Q(0, "g")
    assert all(mass >= Q(0, "g") for mass in found.left_over.values())
    assert all(found.extent <= amount_from_mass(amounts[name], name) / number * (1 + CLOSES)
               for number, name in reaction.reactants)  # fmt: skip


@given(st.sampled_from(EQUATIONS), masses)
def test_reactants_that_fit_each_other_leave_nothing(equation, mass):
    balance = mass_balance(equation, Q(mass, "g"))
    found = limiting_reagent(equation, {line.formula: line.mass for line in balance.lines if line.side == "in"})
    assert all(rest == Q(0, "g") for rest in found.left_over.values())
    if len(found.left_over) > 1:
        assert str(found).startswith("Nothing is left over")


# ---------------------------------------------------------------- yield and uncertainty


def test_uncertainty_of_a_yield_is_carried_on():
    found = percent_yield("4.6 ± 0.1 g", "22.9 g").magnitude
    # relative uncertainties of a quotient add in squares; here there is only one
    assert found.nominal_value == pytest.approx(100 * 4.6 / 22.9)
    assert found.std_dev == pytest.approx(100 * 0.1 / 22.9)
    both = percent_yield("4.6 ± 0.1 g", "22.9 ± 0.4 g").magnitude
    assert both.std_dev / both.nominal_value == pytest.approx(((0.1 / 4.6) ** 2 + (0.4 / 22.9) ** 2) ** 0.5)


def test_a_yield_over_one_hundred_percent_is_not_hidden():
    assert_close(percent_yield("12 g", "10 g"), Q(120, "percent"), relative=CLOSES)
    assert_close(percent_yield("30 mmol", "0.02 mol"), Q(150, "percent"), relative=CLOSES)
    assert percent_yield("0 g", "10 g") == Q(0, "percent")


@pytest.mark.parametrize(
    "actual, theoretical, problem, says",
    [
        ("1 g", "0 g", RangeProblem, "‘theoretical’ to be more than zero"),
        ("1 g", "-2 g", RangeProblem, "‘theoretical’ to be more than zero"),
        ("-1 g", "2 g", RangeProblem, "‘actual’ to be zero or more"),
        ("1 g", "2 mol", UnitProblem, "like with like"),
        ("1 mL", "2 mL", UnitProblem, "needs a mass for ‘theoretical’"),
        (1, 2, UnitProblem, "no unit"),
        ("some", "2 g", ReadingProblem, "does not start with a number"),
        (Q(float("nan"), "g"), "2 g", RangeProblem, "finite"),
    ],
)
def test_a_yield_that_makes_no_sense_is_refused(actual, theoretical, problem, says):
    with pytest.raises(problem, match=says):
        percent_yield(actual, theoretical)


@pytest.mark.parametrize(
    "amounts, problem, says",
    [
        ({"Si": "2 g"}, BalanceProblem, "N₂ is not given"),
        ({"Si": "2 g", "N2": "1 g", "O2": "1 g"}, BalanceProblem, "O₂ is not a reactant"),
        ({"Si": "2 g", "N2": "1 g", "N₂": "1 g"}, BalanceProblem, "N₂ is given twice"),
        ({"Si": "2 g", "N2": "1 L"}, UnitProblem, "needs a mass for ‘N2’"),
        ({"Si": "0 g", "N2": "1 g"}, RangeProblem, "‘Si’ to be more than zero"),
        ({"si": "2 g", "N2": "1 g"}, FormulaProblem, "Did you mean S"),
        ("2 g", BalanceProblem, "needs a dict"),
    ],
)
def test_amounts_that_do_not_fit_the_reaction_are_refused(amounts, problem, says):
    with pytest.raises(problem, match=says):
        limiting_reagent("Si + N2 -> Si3N4", amounts)


def test_masses_and_moles_can_be_mixed():
    by_mass = limiting_reagent("Si + N2 -> Si3N4", {"Si": "2 g", "N2": Q(1.5, "g")})
    mixed = limiting_reagent("Si + N2 -> Si3N4", {"N2": "1.5 g", "Si": Q(2, "g") / molar_mass("Si")})
    assert mixed.formula == by_mass.formula == "Si"
    assert_close(mixed.products["Si3N4"], by_mass.products["Si3N4"], relative=CLOSES)


@pytest.mark.parametrize("mass", ["-1 g", "1 mL", 5, "", None, Q(20, "degC")])
def test_a_mass_must_be_a_mass(mass):
    with pytest.raises((UnitProblem, RangeProblem, ReadingProblem)):
        amount_from_mass(mass, "H2O")
    with pytest.raises((UnitProblem, RangeProblem, ReadingProblem)):
        mass_balance("H2 + O2 -> H2O", mass)


def test_a_mass_balance_starts_from_something_that_takes_part():
    with pytest.raises(BalanceProblem, match="ZnCl₂ does not take part"):
        mass_balance("H2 + O2 -> H2O", "1 g", of="ZnCl2")
    with pytest.raises(RangeProblem, match="more than zero"):
        mass_balance("H2 + O2 -> H2O", "0 g")


def test_several_masses_at_once_get_a_kind_word():
    with pytest.raises(RangeProblem, match="one value at a time"):
        mass_balance("C3H6N6 -> C3N4 + NH3", Q([1, 2], "g"))
    with pytest.raises(RangeProblem, match="one value at a time"):
        limiting_reagent("Si + N2 -> Si3N4", {"Si": Q([1, 2], "g"), "N2": "1.50 g"})
    assert_close(percent_yield(Q([1, 2], "g"), "4 g"), Q([25, 50], "percent"), relative=1e-12)
