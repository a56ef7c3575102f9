"""Ceilings of products: half-reactions that balance, currents of ideal solar cells, and words that promise nothing."""

import re

import pytest
from helpers import assert_close, published
from scipy import constants

from labkit.chemistry import balanced, imbalance
from labkit.data import table
from labkit.errors import ChoiceProblem, LabError
from labkit.hydrogen import (
    electrons_per_molecule,
    half_reaction,
    hydrogen_ceiling,
    photocurrent_ceiling,
    product_ceiling,
    products,
)
from labkit.units import Q

FARADAY = Q(constants.value("Faraday constant"), "C/mol")
CURRENTS = published("photocurrents")


def test_the_products_are_those_of_the_work():
    assert list(products()) == ["hydrogen", "oxygen", "methanol", "ethanol"]
    assert [electrons_per_molecule(name) for name in products()] == [2, 4, 6, 12]


@pytest.mark.parametrize("product", products())
def test_a_half_reaction_loses_no_atom_and_its_charge_is_the_electrons(product):
    """Electrons have no formula, so they are taken out: what is out of balance then is their charge."""
    text = half_reaction(product)
    count = int(re.search(r"(\d+) e-", text)[1])
    left, right = text.split(" -> ")
    taken = "e-" in left
    atoms = " -> ".join(" + ".join(part for part in side.split(" + ") if "e-" not in part) for side in (left, right))
    # Charge right minus left: electrons taken on the left leave it short by as many.
    assert imbalance(atoms) == {"charge": -count if taken else count}
    assert count == electrons_per_molecule(product)


@pytest.mark.parametrize("product", [name for name in products() if name != "oxygen"])
def test_the_whole_reaction_gives_the_same_electrons(product):
    """Each oxygen molecule of water gives four electrons."""
    row = next(row for row in table("products") if row["name"] == product)
    whole = balanced(row["whole"])
    electrons = 4 * whole.coefficient("O2") / whole.coefficient(row["formula"])
    assert electrons == electrons_per_molecule(product)


@pytest.mark.parametrize("row", CURRENTS, ids=lambda row: row["case"])
def test_the_current_is_that_of_an_ideal_solar_cell(row):
    found = photocurrent_ceiling(Q(float(row["gap_eV"]), "eV"))
    assert_close(found, Q(float(row["current"]), "mA/cm**2"), within=Q(float(row["tolerance"]), "mA/cm**2"))


def test_there_are_currents_to_compare_with():
    assert len(CURRENTS) >= 5


# Rühle, Solar Energy 130 (2016) 139, doi 10.1016/j.solener.2016.02.015: about 43.8 mA/cm² at 1.12 eV and 32 at 1.42 eV
# (from memory; its table was not read).
@pytest.mark.parametrize("gap, current, within", [("1.12 eV", 43.8, 0.1), ("1.42 eV", 32.0, 0.15)])
def test_the_current_beside_tabulated_limits(gap, current, within):
    assert_close(photocurrent_ceiling(gap), Q(current, "mA/cm**2"), within=Q(within, "mA/cm**2"))


def test_the_current_of_full_sun_scales_with_the_light():
    assert_close(photocurrent_ceiling("2.7 eV", "500.185 W/m²") * 2, photocurrent_ceiling("2.7 eV"), relative=1e-6)


@pytest.mark.parametrize("product, electrons", [("hydrogen", 2), ("oxygen", 4), ("methanol", 6), ("ethanol", 12)])
def test_a_ceiling_is_the_current_over_the_electrons(product, electrons):
    expected = (Q(3.99881, "mA/cm**2") / (electrons * FARADAY)).to("mmol/m**2/h")
    assert_close(product_ceiling("2.7 eV", product).rate.likely, expected, relative=0.001)


def test_hydrogen_is_the_known_ceiling_and_a_wider_gap_gives_less():
    found = product_ceiling("2.5 to 2.9 eV, likely 2.7 eV", "hydrogen")
    assert_close(found.rate.likely, hydrogen_ceiling("2.7 eV"), relative=1e-9)
    assert_close(found.rate.low, hydrogen_ceiling("2.9 eV"), relative=1e-9)
    assert_close(found.rate.high, hydrogen_ceiling("2.5 eV"), relative=1e-9)


def test_the_mass_is_that_of_the_molecules():
    # 32.042 g/mol for methanol, 46.069 g/mol for ethanol: IUPAC 2021 abridged weights by hand.
    for product, weight in (("methanol", 12.011 + 4 * 1.008 + 15.999), ("ethanol", 2 * 12.011 + 6 * 1.008 + 15.999)):
        found = product_ceiling("2.7 eV", product)
        assert_close(found.mass.likely / found.rate.likely, Q(weight, "g/mol"), within=Q(0.002, "g/mol"))


@pytest.mark.parametrize("product", products())
def test_every_ceiling_says_how_far_practice_is_and_how_that_is_known(product):
    said = product_ceiling("2.7 eV", product).sentence
    assert said.startswith("At the very most ")
    assert "published" in said.lower() or "from memory" in said
    row = next(row for row in table("products") if row["name"] == product)
    assert ("(published" in row["practice"] or "Published" in row["practice"]) == bool(row["evidence"])


@pytest.mark.parametrize("call, words", [
    (lambda: product_ceiling("2.7 eV", "petrol"), "methanol"), (lambda: product_ceiling("1.1 eV", "methanol"), "1.23 eV"),
    (lambda: product_ceiling("2.7 nm", "methanol"), "gap"), (lambda: photocurrent_ceiling("9 eV"), "0.31 to 4.42 eV"),
    (lambda: electrons_per_molecule(""), "hydrogen"),
])  # fmt: skip
def test_mistakes_get_a_kind_word(call, words):
    with pytest.raises(LabError, match=words):
        call()


def test_an_unknown_product_is_a_choice():
    with pytest.raises(ChoiceProblem):
        half_reaction("gold")
