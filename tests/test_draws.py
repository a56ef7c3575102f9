"""Random draws from a guessed range and from an uncertain value, against scipy's distributions and plain reasoning."""

import numpy as np
import pytest
from scipy import stats

from labkit.errors import RangeProblem, UnitProblem
from labkit.units import (
    DRAWS,
    Q,
    Range,
    arcsine,
    draws,
    from_readings,
    normal,
    readings_correlation,
    rectangular,
    triangular,
    uncertain,
)

GUESS = Range(Q(0.01, "percent"), Q(0.1, "percent"), Q(10, "percent"))


def test_half_of_the_draws_lie_below_the_likely_value_and_none_beyond_the_ends():
    found = draws(GUESS)
    assert found.size == DRAWS and found.min() >= 0.01 and found.max() <= 10
    # 100 000 fair coins: the share of heads has a standard deviation of 0.16 %.
    assert (found < 0.1).mean() == pytest.approx(0.5, abs=0.007)


def test_each_decade_of_a_guess_over_decades_gets_its_share():
    found = draws(GUESS)
    # One decade below, two above: the halves are spread evenly by ratio, so 50, 25 and 25 %.
    shares = np.histogram(np.log10(found), [-2, -1, 0, 1])[0] / found.size
    assert shares == pytest.approx([0.5, 0.25, 0.25], abs=0.007)


def test_a_guess_from_zero_or_below_is_spread_by_difference():
    found = draws(Range(Q(0, "g"), Q(1, "g"), Q(4, "g")))
    assert stats.kstest(found[found <= 1], stats.uniform(0, 1).cdf).pvalue > 1e-3
    below = draws(Range(Q(-2, "K"), Q(0, "K"), Q(1, "K")))
    assert np.quantile(below, [0, 0.25, 0.5, 0.75, 1]) == pytest.approx([-2, -1, 0, 0.5, 1], abs=0.02)


def test_a_thermometer_is_drawn_alike_in_every_unit():
    # 41, 50 and 86 °F are 5, 10 and 30 °C: the same draws, and as a thermometer has no natural zero, by difference.
    celsius, fahrenheit = (Range(*(Q(float(size), unit) for size in ends))
                           for unit, ends in (("degC", (5, 10, 30)), ("degF", (41, 50, 86))))  # fmt: skip
    assert draws(celsius, 1000) == pytest.approx((draws(fahrenheit, 1000) - 32) / 1.8)
    assert np.quantile(draws(celsius), [0.25, 0.75]) == pytest.approx([7.5, 20], abs=0.3)
    assert uncertain(celsius).spread == pytest.approx(draws(celsius).std(), rel=0.01)
    assert uncertain(celsius).at([0.25, 0.75]) == pytest.approx([7.5, 20])


def test_the_same_seed_gives_the_same_draws():
    assert np.array_equal(draws(GUESS, 50, 3), draws(GUESS, 50, 3))
    assert not np.array_equal(draws(GUESS, 50, 3), draws(GUESS, 50, 4))
    generator = np.random.default_rng(3)
    assert np.array_equal(draws(GUESS, 50, generator), draws(GUESS, 50, 3))
    assert not np.array_equal(draws(GUESS, 50, generator), draws(GUESS, 50, 3))  # it goes on


def test_a_range_without_width_and_no_draws_at_all():
    same = Q(2.5, "g")
    assert draws(Range(same, same, same), 4).tolist() == [2.5] * 4
    with pytest.raises(RangeProblem, match="at least 1"):
        draws(GUESS, 0)


SHAPES = {  # of half width 0.3 about 5, but the bells: (ours, the same by scipy)
    "normal": (normal("5 mL", "0.3 mL"), stats.norm(5, 0.3)),
    "few readings": (normal("5 mL", "0.3 mL", 6), stats.t(6, 5, 0.3)),
    "rectangular": (rectangular("5 mL", "0.3 mL"), stats.uniform(4.7, 0.6)),
    "triangular": (triangular("5 mL", "0.3 mL"), stats.triang(0.5, 4.7, 0.6)),
    "arcsine": (arcsine("5 mL", "0.3 mL"), stats.arcsine(4.7, 0.6)),
    # A guess is two halves, each even by ratio: reciprocal distributions.
    "guess": (uncertain(Range(Q(2, "mL"), Q(5, "mL"), Q(20, "mL"))), None),
}


@pytest.mark.parametrize("name", SHAPES)
def test_shapes_against_scipy(name):
    ours, witness = SHAPES[name]
    found = ours.drawn(np.random.default_rng(2), 20_000)
    share = np.array([0.02, 0.2, 0.5, 0.77, 0.98])
    if witness is None:
        low, high = stats.reciprocal(2, 5), stats.reciprocal(5, 20)
        expected = np.where(share < 0.5, low.ppf(np.minimum(2 * share, 1)), high.ppf(np.maximum(2 * share - 1, 0)))
        mean = (low.mean() + high.mean()) / 2
        square = (low.moment(2) + high.moment(2)) / 2
        spread = np.sqrt(square - mean**2)
        assert stats.kstest(found[found < 5], low.cdf).pvalue > 1e-3
        assert stats.kstest(found[found > 5], high.cdf).pvalue > 1e-3
    else:
        expected, spread = witness.ppf(share), 0.3 if name == "few readings" else witness.std()
        assert stats.kstest(found, witness.cdf).pvalue > 1e-3
    assert ours.at(share) == pytest.approx(expected, rel=1e-9)
    assert ours.spread == pytest.approx(spread, rel=1e-9)


def test_the_spread_of_a_guess_from_zero():
    # Half of it lies evenly from 0 to 1, half by ratio from 1 to 4.
    below, above = stats.uniform(0, 1), stats.reciprocal(1, 4)
    spread = ((below.moment(2) + above.moment(2)) / 2 - ((below.mean() + above.mean()) / 2) ** 2) ** 0.5
    assert uncertain(Range(Q(0, "g"), Q(1, "g"), Q(4, "g"))).spread == pytest.approx(spread, rel=1e-9)


def test_repeated_readings():
    # NIST TN 1900 (2015), example E2, daily maxima in °C: mean 25.59, standard uncertainty 0.872 with 21 degrees of
    # freedom.  Data and answer from memory; they reproduce each other.
    maxima = [18.75, 28.25, 25.75, 28.00, 28.50, 20.75, 21.00, 22.75, 18.50, 27.25, 20.75, 26.50, 28.00, 23.25, 28.00,
              21.75, 26.00, 26.50, 28.00, 33.25, 32.00, 29.50]  # fmt: skip
    found = from_readings(Q(maxima, "degC"))
    assert found.middle == pytest.approx(25.59, abs=0.005) and found.spread == pytest.approx(0.872, abs=0.0006)
    assert found.dof == 21 and str(found.value.units) == "degree_Celsius"
    assert from_readings(["12.4 mL", "0.0126 L"]).middle == pytest.approx(12.5)


def test_readings_that_hang_together():
    # JCGM 100:2008, H.2, table H.2: correlations of the means -0.36, 0.86, -0.65.
    volts, amps = [5.007, 4.994, 5.005, 4.990, 4.999], [19.663, 19.639, 19.640, 19.685, 19.678]
    phase = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
    pairs = readings_correlation(volts, amps), readings_correlation(volts, phase), readings_correlation(amps, phase)
    assert pairs == pytest.approx((-0.36, 0.86, -0.65), abs=0.006)


def test_uncertainties_in_percent_and_of_thermometers():
    assert normal("50 mL", "2 %").spread == pytest.approx(1.0)
    assert normal("20 °C", "0.2 K").spread == normal("293.15 K", "0.2 K").spread == 0.2
    assert normal("40 %", "2 %").spread == pytest.approx(2)  # of a share, percent are its own unit
    assert normal("20 °C", Q(0.36, "delta_degF")).spread == pytest.approx(0.2)


@pytest.mark.parametrize("made, problem, words", [
    (lambda: normal("20 °C", "0.2 °C"), UnitProblem, "thermometer reading"),
    (lambda: normal("20 mL", "0.2 g"), UnitProblem, "something else"),
    (lambda: normal("20 mL", "-0.2 mL"), RangeProblem, "zero or more"),
    (lambda: normal("20 ± 1 mL", "0.2 mL"), RangeProblem, "without ±"),
    (lambda: normal("20 mL", "0.2 mL", 0), RangeProblem, "1 degree of freedom"),
    (lambda: from_readings(["12.4 mL"]), RangeProblem, "two readings or more"),
    (lambda: from_readings([]), RangeProblem, "two readings or more"),
    (lambda: from_readings(Q([1, np.nan], "g")), RangeProblem, "all finite"),
    (lambda: readings_correlation([1, 2], [1, 2, 3]), RangeProblem, "equally many"),
    (lambda: readings_correlation([1, 1], [1, 2]), RangeProblem, "all the same"),
])  # fmt: skip
def test_what_is_no_uncertain_value(made, problem, words):
    with pytest.raises(problem, match=words):
        made()


def test_what_is_certain():
    assert uncertain("12.4 mL") is None and uncertain(Range(Q(1, "g"), Q(1, "g"), Q(1, "g"))) is None
    assert uncertain(normal("5 mL", "1 mL")).shape == "normal"
    assert str(uncertain("12.4 ± 0.2 mL")) == "(12.40 ± 0.20) mL (normal)"
