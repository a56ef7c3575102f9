"""Isotherms: capacities against certified fits and made readings, and when none is told."""

import re
from pathlib import Path

import numpy as np
import pytest
from helpers import published
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.data import sources, table
from labkit.errors import LabError, RangeProblem
from labkit.units import Q
from labkit.uptake import read_isotherm
from labkit.uptake.isotherm import isotherm_report

DATA = Path(__file__).resolve().parent.parent / "workbooks" / "data"
C = np.array([1.5, 4, 8, 15, 28, 50, 90, 150, 240])
BUNDLED = {
    "clean": (18.4, 0.085, 0.3),
    "few": (14.0, 0.03, 0.8),
    "short": (18.4, 0.03, 0.12),
}  # drawn with: capacity, affinity, scatter


def langmuir(c, capacity=22.0, affinity=0.09):
    return capacity * affinity * c / (1 + affinity * c)


def noisy(y, size=0.3, seed=2):
    return y + np.random.default_rng(seed).normal(0, size, np.shape(y))


def report(c=C, q=None, **more):
    return isotherm_report(Q(c, "mg/L"), Q(noisy(langmuir(c)) if q is None else q, "mg/g"), **more)


def test_a_clean_isotherm_gives_its_capacity():
    found = report()
    low, likely, high = found.capacity.m_as("mg/g")
    assert found.verdict == "usable" and low < 22.0 < high and high - low < 2.5
    assert found.half.m_as("mg/L")[0] < 1 / 0.09 < found.half.m_as("mg/L")[2]
    assert found.comparison == "The Langmuir curve fits clearly better than the Freundlich one."
    assert f"likely {likely:.1f} mg/g (95 %)" in found.sentence()


def test_the_capacity_is_that_of_a_certified_fit():
    # Puromycin, treated: from memory R prints 212.7 and 0.06412 for the concentration of half the rate.
    rows = [row for row in published("nist_readings") if row["set"] == "Puromycin"]
    assert len(rows) == 12
    x, y = (np.array([float(row[name]) for row in rows]) for name in "xy")
    found = isotherm_report(Q(x, "mmol/L"), Q(y, "mg/g"))
    assert found.capacity.m_as("mg/g")[1] == pytest.approx(212.7, abs=0.05)
    assert found.half.m_as("mmol/L")[1] == pytest.approx(0.06412, abs=5e-6)


def test_no_capacity_is_read_off_beyond_the_readings():
    # Misra1d is fitted to 1 % in its capacity, and its highest pressure reaches up to a fifth of it.
    rows = [row for row in published("nist_readings") if row["set"] == "Misra1"]
    assert len(rows) == 14
    x, y = (np.array([float(row[name]) for row in rows]) for name in "xy")
    found = isotherm_report(Q(x, "mg/L"), Q(y, "mg/g"))
    assert found.capacity is None and found.verdict == "cannot tell"
    assert "760 mg/L, is below 1/K" in found.sentence() and "81.8 mg/g, at 760 mg/L" in found.sentence()
    assert "437" not in found.sentence()


def test_freundlich_readings_have_no_capacity():
    found = report(q=noisy(3 * C**0.4, 0.15))
    assert found.capacity is None and found.lead < -10
    assert "Freundlich curve, which has no ceiling, fits clearly better" in found.sentence()
    assert found.freundlich.parameters["exponent"] == pytest.approx(0.4, abs=0.03)
    factor = dict((what, other) for what, _, other in found.rows())["uptake at 1 mg/L"]
    assert re.match(r"[23]\.\d\d \(.*\) mg/g", factor)


def test_two_curves_with_few_readings_cannot_be_told_apart():
    found = isotherm_report(read_isotherm(DATA / "invented_isotherm_few.csv"))
    assert found.comparison == "The Langmuir and the Freundlich curve cannot be told apart with 6 readings."
    assert abs(found.lead) < 2 and found.verdict == "cannot tell" and found.capacity is None
    three = report(C[[1, 4, 7]], langmuir(C[[1, 4, 7]]))
    assert three.lead is None and "cannot be compared" in three.comparison and three.verdict == "cannot tell"


@pytest.mark.parametrize("name", BUNDLED)
def test_the_bundled_readings_are_drawn_with_honest_scatter(name):
    capacity, affinity, scatter = BUNDLED[name]
    text = (DATA / f"invented_isotherm_{name}.csv").read_text(encoding="utf-8")
    assert text.splitlines()[0].startswith("# ") and text.splitlines()[0].endswith("(invented)")
    found = read_isotherm(DATA / f"invented_isotherm_{name}.csv")
    off = found["uptake"] - langmuir(found["concentration"], capacity, affinity)
    assert 0.6 * scatter < off.std() < 1.5 * scatter and found.left_out == 0


def test_the_bundled_stories():
    said = {name: isotherm_report(read_isotherm(DATA / f"invented_isotherm_{name}.csv")) for name in BUNDLED}
    low, _, high = said["clean"].capacity.m_as("mg/g")
    assert said["clean"].verdict == "usable" and low < 18.4 < high
    assert said["short"].verdict == "cannot tell" and "is below 1/K" in said["short"].sentence()


def test_uptake_between_the_readings_and_nothing_beyond():
    found = report()
    low, likely, high = found.uptake_at("60 mg/L").m_as("mg/g")
    assert low < langmuir(60.0) < high and high - low < 1.5 and low < likely < high
    size, u = found.langmuir.predict(60.0)  # 2.364624 is Student's t of 95 % with seven degrees of freedom
    assert (low, high) == pytest.approx((size - 2.364624 * u, size + 2.364624 * u), rel=1e-6)
    for c in ("0.5 mg/L", "300 mg/L"):
        with pytest.raises(RangeProblem, match="outside of what was measured"):
            found.uptake_at(c)
    with pytest.raises(LabError, match="mass per volume"):
        found.uptake_at("3 mmol/L")
    # Where both curves are possible the range spans both.
    short = isotherm_report(read_isotherm(DATA / "invented_isotherm_short.csv"))
    ends = short.uptake_at("12 mg/L").m_as("mg/g")
    assert ends[0] < short.langmuir.at(12.0) < ends[2] and ends[0] < short.freundlich.at(12.0) < ends[2]


def test_units_go_all_the_way():
    one = report()
    other = isotherm_report(Q(C / 1000, "g/L"), Q(noisy(langmuir(C)) / 10, "percent"))
    assert other.capacity.m_as("mg/g") == pytest.approx(one.capacity.m_as("mg/g"), rel=1e-9)
    molar = isotherm_report(Q(C / 55.845, "mmol/L"), Q(noisy(langmuir(C)) / 55.845, "mmol/g"))
    assert molar.capacity.m_as("mmol/g") == pytest.approx([end / 55.845 for end in one.capacity.m_as("mg/g")], rel=1e-9)
    assert dict((what, text) for what, text, _ in molar.rows())["affinity K"].endswith("L/mmol")


def test_a_doubt_may_be_given():
    wide, alone = report(doubt="1.2 mg/g"), report()
    assert np.ptp(wide.capacity.m_as("mg/g")) > 2 * np.ptp(alone.capacity.m_as("mg/g"))
    assert report(doubt=Q(np.full(C.size, 1.2), "mg/g")).capacity.m_as("mg/g") == pytest.approx(
        wide.capacity.m_as("mg/g")
    )
    for doubt in ("0.3", "0.3 g", 0.3, Q([0.1, 0.2], "mg/g"), "0 mg/g"):
        with pytest.raises(LabError):
            report(doubt=doubt)


def test_a_doubt_may_be_a_share_of_each():
    q = noisy(langmuir(C))
    own = Q(0.05 * np.maximum(q, q.max() / 10), "mg/g")  # but of small ones a share of a tenth of the highest
    assert report(doubt="5 %").capacity.m_as("mg/g") == pytest.approx(report(doubt=own).capacity.m_as("mg/g"), rel=1e-9)
    held = []
    for seed in range(150):
        q = langmuir(C) * (1 + 0.05 * np.random.default_rng(seed).normal(0, 1, C.size))
        low, _, high = report(q=q, doubt="5 %").capacity.m_as("mg/g")
        held.append(low <= 22.0 <= high)
    assert sum(held) >= 135  # 95 % of 150 are 142, with a standard deviation of 2.7


@pytest.mark.parametrize("c, q, words", [
    ([1, 2, 3], Q([1, 2, 3], "mg/g"), "needs readings"), (Q([1, 2, 3], "mg/L"), [1, 2, 3], "needs readings"), (Q([1, 2, 3], "mg/L"), Q([1, 2, 3]), "unit of the uptake"),
    (Q([1, 2, 3], "g"), Q([1, 2, 3], "mg/g"), "mass per volume"), (Q([1, 2, 3], "mg/L"), Q([1, 2, 3], "mg"), "mass of metal"),
    (Q([1, 2, 3], "mg/L"), Q([1, 2], "mg/g"), "one uptake for each"), (Q([1, 2], "mg/L"), Q([1, 2], "mg/g"), "three readings"),
])  # fmt: skip
def test_what_is_no_isotherm_is_refused(c, q, words):
    with pytest.raises(LabError, match=words):
        isotherm_report(c, q)


def test_a_concentration_below_zero_is_left_out_and_told():
    found = report(np.append(C, -0.4), np.append(noisy(langmuir(C)), 0.1))
    assert found.remarks[0].startswith("1 of 10 left out") and found.langmuir.x.size == 9


def test_what_others_measured_stands_beside_it():
    rows = report().published()
    text = str(rows)
    assert len(rows) >= 7 and "138 mg/g" in text and "42.1 mg/g" in text and "94.4 mg/g" in text
    assert all(row["kind"] == "published" and sources()[row["source"]]["published"] for row in table("capacities"))
    # The abstracts: 94.4 mg/g of cadmium, and 90 mg/g with magnesium oxide.
    assert [float(row["value"]) for row in table("capacities")] == [94.4, 90.0]
    assert "No published isotherm of iron on carbon nitride in acetone" in str(report()).replace("\n", " ")


def test_it_prints_within_the_width_of_a_page_and_as_a_table():
    found = report()
    assert max(map(len, str(found).splitlines())) <= 60 and repr(found) == str(found)
    assert "<table>" in found._repr_html_() and "safe" not in str(found) and "hydroxide" in str(found)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.floats(5, 200), st.floats(0.01, 1.0), st.integers(0, 10_000))
def test_made_isotherms_come_back_within_their_interval_or_close_by(capacity, affinity, seed):
    c = np.geomspace(0.05, 20, 10) / affinity
    found = report(c, noisy(langmuir(c, capacity, affinity), 0.01 * capacity, seed))
    low, likely, high = found.capacity.m_as("mg/g")
    assert likely == pytest.approx(capacity, rel=0.05)
    # Intervals of 95 % miss one in twenty; four times as wide they hold all but 1 in 10 000 or so.
    assert low - 3 * (likely - low) < capacity < high + 3 * (high - likely)
