"""Published efficiencies worked out again: by labkit, and here by hand."""

import pytest
from helpers import assert_close, published

from labkit.data import sources, table
from labkit.errors import ChoiceProblem
from labkit.hydrogen import apparent_quantum_yield, efficiency_of_yields, witness, witnesses
from labkit.light import photons_from_energy
from labkit.units import Q

ROWS = published("efficiencies")


def test_every_published_efficiency_is_held_against_a_sum_by_hand():
    assert len(ROWS) >= 9
    assert [row["name"] for row in ROWS] == witnesses()


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["name"])
def test_recomputed_by_hand(row):
    by_hand = Q(float(row["by_hand"]), row["unit"])
    assert_close(witness(row["name"]).recomputed, by_hand, within=Q(float(row["tolerance"]), row["unit"]))


# How far a paper's own inputs may lead from what it prints: rounding of both, or what the row says of it.
FROM_PRINTED = {
    "hematite in full sun": (-0.02, 0.05),  # “about 34 %” and a gap to two figures
    "carbon dots on carbon nitride": (-0.2, 0.2),  # three wavelengths stand for the whole spectrum
    "silver tantalate": (0.5, 3.0),  # one wavelength for all of them flatters
    "strontium titanate": (0.5, 1.5),
    "a small cell of the panel of 1 m²": (-0.01, 0.01),
    "carbon nitride with platinum and a donor": (-0.005, 0.005),
}


@pytest.mark.parametrize("name", FROM_PRINTED)
def test_beside_what_the_paper_prints(name):
    low, high = FROM_PRINTED[name]
    assert low < witness(name).difference < high


def test_every_row_with_a_printed_value_is_compared_and_the_rest_says_so():
    printed = {row["name"] for row in table("efficiencies") if row["printed"]}
    assert printed == set(FROM_PRINTED)
    for name in set(witnesses()) - printed:
        found = witness(name)
        assert found.printed is None and found.difference is None and "printed" not in found.sentence


@pytest.mark.parametrize("name", witnesses())
def test_the_sentence_names_kind_and_paper(name):
    found, row = witness(name), next(row for row in table("efficiencies") if row["name"] == name)
    assert (
        f"({row['kind']};" in found.sentence
        and "doi" in found.citation
        or "PMC" in found.citation
        or "Nature" in found.citation
    )
    assert sources()[(row["evidence"] or row["source"]).split()[0]].get("published")
    assert all(len(line) <= 60 for line in str(found).splitlines())


def test_a_paper_from_memory_is_never_called_published():
    for row in table("efficiencies"):
        if "memory" in row["note"].split("(from memory)")[0]:
            assert row["kind"] == "from memory", row["name"]


def test_a_yield_of_one_up_to_an_edge_is_the_ceiling():
    # Solar-to-hydrogen at most, by edge: 400 nm 1.66 %, 460 nm 4.97 %, 500 nm 7.93 %; trapezoid over ASTM G173-03 with
    # 1.229 V over 1000 W/m², without labkit.  The Gibbs energy has 237.1 and the light 1000.37: 0.05 % each.
    for edge, percent in ((400, 1.66), (460, 4.97), (500, 7.93)):
        found = efficiency_of_yields({300: 1.0, edge: 1.0}, Q(edge, "nm"))
        assert_close(found, Q(percent, "percent"), within=Q(0.02, "percent"))
    half = efficiency_of_yields({300: 0.5, 500: 0.5}, Q(500, "nm"))
    assert_close(half, Q(7.93 / 2, "percent"), within=Q(0.01, "percent"))


def test_an_unknown_name_is_told_which_there_are():
    with pytest.raises(ChoiceProblem, match="hematite in full sun"):
        witness("magic")


def test_a_quantum_yield_of_a_textbook():
    # Atkins: 4-heptanone in 313 nm, 50 W for 100 s all absorbed, 2.8 mmol of ethene: 0.21.  Problem and answer from memory.
    photons = photons_from_energy("5000 J", "313 nm")
    assert_close(apparent_quantum_yield("2.8 mmol", photons, 1), Q(21, "percent"), within=Q(0.5, "percent"))
