"""The straight line against printed fits, certified values and other people's code."""

from pathlib import Path

import numpy as np
import pytest
import scipy
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import RangeProblem, UnitProblem
from labkit.units import Q
from labkit.units.straight_line import straight_line

# GUM (JCGM 100:2008) H.3: thermometer readings t and corrections b, both in °C, printed in its Table H.6.
THERMOMETER = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
CORRECTION = np.array([-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160])


def test_the_thermometer_of_the_guide():
    found = straight_line(THERMOMETER - 20, CORRECTION)
    # Printed: y1 = -0.1712(29), y2 = 0.00218(67), r = -0.930, s = 0.0035, b(30 °C) = -0.1494(41); to the last digit.
    assert found.intercept == pytest.approx(-0.1712, abs=5e-5) and found.u_intercept == pytest.approx(0.0029, abs=5e-5)
    assert found.slope == pytest.approx(0.00218, abs=5e-6) and found.u_slope == pytest.approx(0.00067, abs=5e-6)
    assert found.correlation == pytest.approx(-0.930, abs=5e-4)
    assert found.s == pytest.approx(0.0035, abs=5e-5) and found.dof == 9
    at_30, u = found.predict(10)
    assert at_30 == pytest.approx(-0.1494, abs=5e-5) and u == pytest.approx(0.0041, abs=5e-5)


def test_another_zero_of_the_scale_leaves_the_line_where_it_is():
    near, far = straight_line(THERMOMETER - 20, CORRECTION), straight_line(THERMOMETER + 1e6, CORRECTION)
    for size, other in zip(near.predict(10), far.predict(1e6 + 30)):
        assert other == pytest.approx(size, rel=1e-6)
    assert far.u_slope == pytest.approx(near.u_slope, rel=1e-6) and far.correlation == pytest.approx(-1, abs=1e-6)


def test_the_certified_line_of_the_ozone_monitor():
    path = Path(scipy.__file__).parent / "stats" / "tests" / "data" / "nist_linregress" / "Norris.dat"
    if not path.is_file():
        pytest.skip("this copy of scipy comes without its test data")
    lines = path.read_text().splitlines()
    y, x = np.array([line.split() for line in lines[60:96]], dtype=float).T
    assert x.size == 36
    found = straight_line(x, y)
    # NIST StRD Norris, as certified to fifteen figures; a sum in doubles keeps about eleven.
    assert found.intercept == pytest.approx(-0.262323073774029, rel=1e-10)
    assert found.slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert found.u_intercept == pytest.approx(0.232818234301152, rel=1e-9)
    assert found.u_slope == pytest.approx(0.429796848199937e-3, rel=1e-9)
    assert found.s == pytest.approx(0.884796396144373, rel=1e-9)


readings = st.integers(3, 30).flatmap(lambda size: st.tuples(
    st.lists(st.floats(-50, 50), min_size=size, max_size=size, unique=True),
    st.lists(st.floats(-9, 9), min_size=size, max_size=size),
    st.lists(st.floats(0.05, 3), min_size=size, max_size=size),
))  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(readings)
def test_weighted_lines_agree_with_another_programs(numbers):
    x, y, u = (np.array(part) for part in numbers)
    if np.ptp(x) < 1:
        return
    found = straight_line(x, y, u)
    (slope, intercept), covariance = np.polyfit(x, y, 1, w=1 / u, cov="unscaled")
    assert found.slope == pytest.approx(slope, rel=1e-6, abs=1e-9)
    assert found.intercept == pytest.approx(intercept, rel=1e-6, abs=1e-8)
    assert [found.u_slope, found.u_intercept] == pytest.approx(np.sqrt(np.diag(covariance)), rel=1e-6)
    assert found.covariance == pytest.approx(covariance[0, 1], rel=1e-6, abs=1e-9)
    chi_squared = float((((y - intercept - slope * x) / u) ** 2).sum())
    assert found.s**2 * found.dof == pytest.approx(chi_squared, rel=1e-6, abs=1e-9)


def test_one_uncertainty_for_all_is_as_good_as_the_same_for_each():
    one, each = (straight_line([0, 1, 2, 5], [0, 1.2, 1.9, 5.1], u) for u in (0.2, [0.2] * 4))
    assert one == each and one.given and one.coverage() == pytest.approx(1.96, abs=0.005)


def test_the_stated_uncertainty_is_that_of_many_repeats():
    generator, x = np.random.default_rng(7), np.linspace(0, 9, 10)
    fits = [straight_line(x, 3 + 0.5 * x + generator.normal(0, 0.2, 10)) for _ in range(4000)]
    # 4000 repeats tell a standard deviation to about 1 %.
    slopes, ends = np.array([fit.slope for fit in fits]), np.array([fit.predict(14)[0] for fit in fits])
    exact = straight_line(x, 3 + 0.5 * x, 0.2)
    assert slopes.std() == pytest.approx(exact.u_slope, rel=0.05) and ends.std() == pytest.approx(
        exact.predict(14)[1], rel=0.05
    )
    covered = np.mean([abs(fit.slope - 0.5) < fit.coverage() * fit.u_slope for fit in fits])
    assert covered == pytest.approx(0.95, abs=0.015)


def test_few_readings_are_covered_more_widely():
    # Student's t for 8 and for 2 degrees of freedom, 95 %: GUM Table G.2
    assert straight_line(range(10), [*range(9), 9.5]).coverage() == pytest.approx(2.31, abs=0.005)
    assert straight_line([0, 1, 2, 3], [0, 1, 2, 3.3]).coverage() == pytest.approx(4.30, abs=0.005)


@pytest.mark.parametrize("x, y, u, words", [
    ([0, 1], [0, 1], None, "three readings or more"),
    ([0, 1, 2], [0, 1], None, "as many x as y"),
    ([2, 2, 2], [0, 1, 3], None, "same x"),
    ([0, 1, np.nan], [0, 1, 3], None, "none missing"),
    ([0, 1, 2], [0, np.inf, 3], None, "none endless"),
    ([0, 1, 2], [0, 1, 3], 0, "more than zero"),
    ([0, 1, 2], [0, 1, 3], [1, 2], "one for each of the 3"),
    ([0, 1, 2], ["a", 1, 3], None, "needs numbers for ‘y’"),
    (None, [0, 1, 3], None, "row of numbers for ‘x’"),
    (1, 2, None, "row of numbers for ‘x’"),
    ([1e-200, 2e-200, 3e-200], [0, 1, 3], None, "other units"),
    ([1e200, 2e200, 3e200], [0, 1, 3], None, "other units"),
    ([0, 1, 2], [0, 1e200, 3], None, "other units"),
    ([0, 1, 2], [0, 1, 3], 1e-200, "more than zero"),
])  # fmt: skip
def test_what_is_no_line_is_refused(x, y, u, words):
    with pytest.raises(RangeProblem, match=words):
        straight_line(x, y, u)


def test_units_are_not_lost_in_silence():
    for x in (Q([0, 1, 2], "h"), [Q(0, "h"), Q(1, "h"), Q(2, "h")]):
        with pytest.raises(UnitProblem, match="m_as"):
            straight_line(x, [0, 1, 2])
