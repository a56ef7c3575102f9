"""Lines in place of curves: what they give by another program, and by how much they miss certified values."""

import numpy as np
import pytest
from helpers import published
from scipy.stats import linregress

from labkit.errors import ChoiceProblem, RangeProblem
from labkit.uptake.linearised import linearised


def readings(name):
    rows = [row for row in published("nist_readings") if row["set"] == name]
    assert rows
    return np.array([(float(row["x"]), float(row["y"])) for row in rows]).T


def test_lines_miss_the_certified_capacity():
    # Misra1d: 437.37 certified; 428.1 and 420.2 by lines (worked out with linregress below).
    x, y = readings("Misra1")
    found = linearised("Langmuir", x, y)
    one, other = found.lines
    line = linregress(x, x / y)
    assert one.parameters["capacity"] == pytest.approx(1 / line.slope) == pytest.approx(428.1, abs=0.05)
    assert one.parameters["affinity"] == pytest.approx(line.slope / line.intercept) == pytest.approx(3.098e-4, abs=5e-8)
    line = linregress(1 / x, 1 / y)
    assert other.parameters["capacity"] == pytest.approx(1 / line.intercept) == pytest.approx(420.2, abs=0.05)
    assert (
        other.parameters["affinity"] == pytest.approx(line.intercept / line.slope) == pytest.approx(3.163e-4, abs=5e-8)
    )
    assert other.r_squared == pytest.approx(line.rvalue**2) and other.r_squared > 0.9999  # and yet it is 4 % off
    assert found.fit.parameters["capacity"] == pytest.approx(437.36970754, rel=1e-6)
    assert all(line.squares > found.fit.squares for line in found.lines)
    assert "428.1 by c/q against c (-2.1 %)" in found.sentence() and "420.2" in found.sentence()


def test_a_power_by_logarithms():
    x, y = readings("DanWood")
    (line,) = linearised("Freundlich", x, y).lines
    own = linregress(np.log(x), np.log(y))
    assert line.parameters["exponent"] == pytest.approx(own.slope) == pytest.approx(3.917, abs=5e-4)
    assert line.parameters["factor"] == pytest.approx(np.exp(own.intercept)) == pytest.approx(0.7499, abs=5e-5)


def test_a_second_order_by_t_over_q():
    t = np.array([0, 5, 12, 25, 50, 90, 150.0])
    q = 12**2 * 0.003 * t / (1 + 12 * 0.003 * t)
    found = linearised("pseudo-second order", t, q)
    assert found.lines[0].parameters == pytest.approx({"equilibrium": 12, "rate": 0.003}) and found.lines[0].count == 6
    assert "1 of 7 readings at or below zero had to be left out" in found.sentence()


def test_lines_that_cannot_be_drawn_are_refused():
    for name in ("Henry", "", None):
        with pytest.raises(ChoiceProblem):
            linearised(name, [1, 2, 3, 4], [1, 2, 3, 4])
    with pytest.raises(RangeProblem, match="no straight line"):
        linearised("pseudo-first order", [1, 2, 3, 4], [1, 2, 2.5, 2.6])
    with pytest.raises(RangeProblem, match="three readings"):
        linearised("Langmuir", [0, 1, 2, 3], [1, -1, 2, 3])


def test_it_prints_within_the_width_of_a_page():
    found = linearised("Langmuir", *readings("Misra1"))
    assert max(map(len, str(found).splitlines())) <= 60 and "R² 0.9999" in str(found) and "1.0000" not in str(found)
