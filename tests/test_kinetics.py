"""Courses in time: the time to 95 %, whether a time is enough, and when nothing can be told."""

from pathlib import Path

import numpy as np
import pytest
from helpers import published
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError, UnitProblem
from labkit.units import Q
from labkit.uptake import read_kinetics
from labkit.uptake.kinetics import kinetics_report

DATA = Path(__file__).resolve().parent.parent / "workbooks" / "data"
T = np.array([0, 4, 9, 16, 25, 40, 60, 90, 130, 180, 240, 320.0])


def first(t, q=13.0, k=0.021):
    return q * (1 - np.exp(-k * t))


def second(t, q=13.0, k=0.004):
    return q**2 * k * t / (1 + q * k * t)


def noisy(y, size=0.1, seed=2):
    return y + np.random.default_rng(seed).normal(0, size, np.shape(y))


def report(q, t=T, **more):
    return kinetics_report(Q(t, "min"), Q(q, "mg/g"), **more)


def bundled(name, **more):
    return kinetics_report(read_kinetics(DATA / f"invented_kinetics_{name}.csv"), **more)


def test_time_to_95_percent_of_a_first_order():
    found = report(noisy(first(T)), check="4 h")
    low, likely, high = found.time_to_95.m_as("min")
    assert low < np.log(20) / 0.021 < high and high - low < 25 and found.verdict == "usable"
    assert found.kept == [found.first] and found.first.parameters["rate"] == pytest.approx(0.021, rel=0.05)
    assert "4 h is enough for 95 %" in found.sentence()


def test_time_to_95_percent_of_a_second_order():
    found = report(noisy(second(T)), check="4 h")
    low, likely, high = found.time_to_95.m_as("min")
    assert low < 19 / (0.004 * 13) < high and found.kept == [found.second]
    share = found.share_at("240 min").m_as("percent")
    true = 100 * 0.004 * 13 * 240 / (1 + 0.004 * 13 * 240)  # 92.6 %
    assert share[0] < true < share[2] < 95 and "4 h is not enough for 95 %" in found.sentence()


def test_the_curves_are_those_of_certified_fits():
    rows = [row for row in published("nist_readings") if row["set"] == "Misra1"]
    assert len(rows) == 14
    x, y = (np.array([float(row[name]) for row in rows]) for name in "xy")
    found = kinetics_report(Q(x, "min"), Q(y, "mg/g"))
    # Misra1a is a first order, and Misra1d a second order with b1 = q and b2 = k q.
    assert found.first.parameters["rate"] == pytest.approx(5.5015643181e-04, rel=1e-6)
    assert found.second.parameters["rate"] == pytest.approx(3.0227324449e-04 / 4.3736970754e02, rel=1e-6)
    assert found.verdict == "cannot tell" and found.time_to_95 is None


@pytest.mark.parametrize("share", [0.5, 0.9, 0.95])
def test_where_a_share_is_reached_the_curve_has_it(share):
    found = report(noisy(second(T)))
    for fit in (found.first, found.second):
        (_, likely, _), ceiling = fit.reach(share), fit.parameters["equilibrium"]
        assert fit.at(likely) == pytest.approx(share * ceiling, rel=1e-9) and fit.share(likely)[1] == pytest.approx(
            share
        )


def test_a_run_stopped_too_early_tells_nothing():
    found = bundled("stopped", check="5 h")
    assert found.verdict == "cannot tell" and found.share_at("5 h") is None and found.equilibrium is None
    said = found.sentence()
    assert "plateau is not in sight" in said and "Nor can it be told whether 5 h is enough" in said
    assert "cannot be told" in found.enough("5 h") and said.count("plateau") == 1


def test_a_time_between_is_left_open():
    found = report(noisy(first(T), 0.25))
    low, likely, high = found.time_to_95.m_as("min")
    said = found.enough(Q(likely, "min"))
    assert said.startswith("Whether") and "is open" in said


def test_where_both_curves_fit_the_range_spans_both():
    t = T[:8]
    q = noisy(first(t, k=0.035), 0.5, seed=6)
    found = report(q, t)
    assert len(found.kept) == 2 and abs(found.lead) < 10
    if found.time_to_95 is not None:
        ends = [end for fit in found.kept for end in (fit.reach()[0], fit.reach()[2])]
        assert found.time_to_95.m_as("min")[::2] == pytest.approx((min(ends), max(ends)))
    assert found.verdict != "usable"


def test_where_both_curves_fit_the_share_spans_both():
    t = np.array([0, 5, 12, 25, 45, 70, 110, 170, 250, 330.0])
    found = report(noisy(first(t, k=0.03), 0.7, seed=3), t)
    assert len(found.kept) == 2 and found.share_at("2 h") is not None
    low, _, high = found.share_at("2 h").m_as("percent")
    assert low == pytest.approx(100 * found.second.share(120)[0]) and high == pytest.approx(
        100 * found.first.share(120)[2]
    )
    assert low < 95 < high and "is open" in found.enough("2 h")


@pytest.mark.parametrize("course", [lambda t: 2 * np.log(1 + 0.3 * t), lambda t: 0.7 * np.sqrt(t)])
def test_uptake_without_an_end_gives_no_time(course):
    # Uptake that goes with log t or √t has no equilibrium to be 95 % of.
    verdicts = [report(noisy(course(T), 0.15, seed)).verdict for seed in range(40)]
    assert "usable" not in verdicts and verdicts.count("cannot tell") > 15


def test_what_comes_after_the_last_reading_is_said_to():
    found = report(noisy(first(T)))
    assert "The last reading is of 5 h 20 min" in found.enough("9 h") and "last reading" not in found.enough("4 h")


def test_a_level_from_the_first_reading_on():
    t = np.array([0, 30, 60, 90, 120, 180, 240.0])
    found = report(np.append(0, noisy(np.full(6, 9.0), 0.1)), t)
    assert found.verdict == "cannot tell" and "From 30 min on it stays near 9" in found.sentence()
    nothing = report(np.append(0, noisy(np.zeros(6), 0.1)), t)
    assert "From" not in nothing.sentence() and nothing.verdict == "cannot tell"


@pytest.mark.parametrize("name, true", [("clean", np.log(20) / 0.0205), ("messy", 19 / (0.0030 * 13.2))])
def test_the_bundled_runs_give_what_they_were_drawn_with(name, true):
    found = bundled(name)
    low, _, high = found.time_to_95.m_as("min")
    assert found.verdict == "usable" and low < true < high
    assert (DATA / f"invented_kinetics_{name}.csv").read_text(encoding="utf-8").splitlines()[0].endswith("(invented)")


def test_the_messy_page_is_read_with_its_bad_rows_told():
    found = read_kinetics(DATA / "invented_kinetics_messy.csv")
    assert len(found) == 10 and found.left_out == 4 and len(found.skipped) == 4


def test_units_go_all_the_way():
    one = report(noisy(first(T)))
    other = kinetics_report(Q(T / 60, "h"), Q(noisy(first(T)), "mg/g"))
    assert other.time_to_95.m_as("min") == pytest.approx(one.time_to_95.m_as("min"), rel=1e-9)
    for bad in (Q(T, "g"), T):
        with pytest.raises(UnitProblem):
            kinetics_report(bad, Q(first(T), "mg/g"))
    for check in ("-2 h", "0 h", "2 g", "soon"):
        with pytest.raises(LabError):
            report(noisy(first(T)), check=check)


def test_it_prints_within_the_width_of_a_page_and_with_its_limits():
    found = report(noisy(first(T)), check="5 h")
    assert (
        max(map(len, str(found).splitlines())) <= 60 and repr(found) == str(found) and "<table>" in found._repr_html_()
    )
    assert (
        "stirred up" in str(found) and "slow part" in str(found).replace("\n", " ") and "share after 5 h" in str(found)
    )
    assert "100 %" not in str(found)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.sampled_from(["first", "second"]), st.floats(1, 80), st.floats(0.005, 0.2), st.integers(0, 10_000))
def test_made_courses_come_back_within_their_interval_or_close_by(kind, q, pace, seed):
    t = np.append(0, np.geomspace(0.1, 12 if kind == "first" else 60, 11)) / pace
    exact = first(t, q, pace) if kind == "first" else second(t, q, pace / q)
    found = report(noisy(exact, 0.01 * q, seed), t)
    true = (np.log(20) if kind == "first" else 19) / pace
    low, likely, high = found.time_to_95.m_as("min")
    assert likely == pytest.approx(true, rel=0.2)
    # Intervals of 95 % miss one in twenty; four times as wide they hold all but 1 in 10 000 or so.
    assert low - 3 * (likely - low) < true < high + 3 * (high - likely)
