"""Uncertainty budgets against the worked examples of the guides, the package uncertainties and known distributions."""

import math

import numpy as np
import pytest
import uncertainties
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from uncertainties import umath

from labkit.errors import LabError, RangeProblem
from labkit.units import (
    Q,
    Range,
    arcsine,
    budget,
    coverage_factor,
    from_readings,
    normal,
    printed_ends,
    printed_with,
    readings_correlation,
    rectangular,
    shared_correlation,
    triangular,
)

MILLION = 1_000_000


def plain(*inputs, **options):
    """Return the budget of the sum of the inputs."""
    names = {f"x{place}": value for place, value in enumerate(inputs)}
    return budget(lambda **given: sum(given.values()), **names, **options)


# ------------------------------------------------------------------------------ JCGM 100:2008, H.1: an end gauge
def end_gauge(standard, d0, d1, d2, expansion, between, difference, bath, swing):
    return standard + d0 + d1 + d2 - standard * (between * (bath + swing) + expansion * difference)


GAUGE = {
    "standard": normal("50000623 nm", "25 nm", 18),
    "d0": normal("215 nm", "5.8 nm", 24),
    "d1": normal("0 nm", "3.9 nm", 5),
    "d2": normal("0 nm", "6.7 nm", 8),
    "expansion": rectangular(Q(11.5e-6, "1/K"), Q(2e-6, "1/K")),
    "between": rectangular(Q(0, "1/K"), Q(1e-6, "1/K"), 50),
    "difference": rectangular(Q(0, "K"), Q(0.05, "K"), 2),
    "bath": normal(Q(-0.1, "K"), Q(0.2, "K")),
    "swing": arcsine(Q(0, "K"), Q(0.5, "K")),
}


@pytest.fixture(scope="module")
def gauge():
    return budget(end_gauge, coverage=0.99, count=MILLION, **GAUGE)


def test_end_gauge_by_slopes(gauge):
    # Published: 50 000 838 nm, u 32 nm, 16 degrees of freedom, k 2.92, U 93 nm (from u rounded to 32: 92.5 unrounded),
    # and 34 nm with the second-order terms.  Parts: 25, 9.7 (of 5.8, 3.9, 6.7), 2.9 and 16.6 nm.
    assert gauge.value.m_as("nm") == pytest.approx(50_000_838, abs=0.5)
    assert gauge.uncertainty.m_as("nm") == pytest.approx(32, abs=0.5)
    assert math.floor(gauge.dof) == 16
    assert gauge.factor == pytest.approx(2.92, abs=0.005)
    assert gauge.expanded.m_as("nm") == pytest.approx(93, abs=1)
    assert gauge.second_order.m_as("nm") == pytest.approx(34, abs=0.5)
    parts = {part.name: part.contribution.m_as("nm") for part in gauge.parts}
    assert [part.name for part in gauge.parts][:2] == ["standard", "difference"] and gauge.driver == "standard"
    assert parts["standard"] == pytest.approx(25, abs=0.01) and parts["difference"] == pytest.approx(16.6, abs=0.05)
    assert parts["between"] == pytest.approx(2.9, abs=0.05)
    assert np.hypot.reduce([parts[name] for name in ("d0", "d1", "d2")]) == pytest.approx(9.7, abs=0.05)
    assert parts["expansion"] == parts["bath"] == parts["swing"] == 0


def test_end_gauge_by_draws(gauge):
    # JCGM 101:2008, 9.5 gives a standard uncertainty of 36 nm (from memory), with ends of two rectangles that are
    # themselves not sure, which adds less than 1 nm and is left out here.
    assert gauge.spread.m_as("nm") == pytest.approx(36, abs=1.2)
    assert gauge.draws.size == MILLION and gauge.mean.m_as("nm") == pytest.approx(50_000_838, abs=0.5)


# ---------------------------------------------------------- JCGM 100:2008, H.2: resistance, reactance, impedance
VOLTS = Q([5.007, 4.994, 5.005, 4.990, 4.999], "V")
AMPS = Q([19.663, 19.639, 19.640, 19.685, 19.678], "mA")
PHASE = Q([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
IMPEDANCE = {
    "resistance": lambda volts, amps, phase: (volts / amps).to("ohm") * np.cos(phase.magnitude),
    "reactance": lambda volts, amps, phase: (volts / amps).to("ohm") * np.sin(phase.magnitude),
    "impedance": lambda volts, amps, phase: (volts / amps).to("ohm") + 0 * phase * Q(1, "ohm"),
}
# Table H.4: value, standard uncertainty and correlations.  Those of the resistance were read; the columns of the
# other two are from memory.
PRINTED = {"resistance": (127.732, 0.071), "reactance": (219.847, 0.295), "impedance": (254.260, 0.236)}


@pytest.fixture(scope="module")
def impedance():
    together = {
        ("volts", "amps"): readings_correlation(VOLTS, AMPS),
        ("volts", "phase"): readings_correlation(VOLTS, PHASE),
        ("amps", "phase"): readings_correlation(AMPS, PHASE),
    }
    inputs = {"volts": from_readings(VOLTS), "amps": from_readings(AMPS), "phase": from_readings(PHASE)}
    return {name: budget(function, correlations=together, **inputs) for name, function in IMPEDANCE.items()}


@pytest.mark.parametrize("name", PRINTED)
def test_correlated_readings(impedance, name):
    value, spread = PRINTED[name]
    found = impedance[name]
    assert found.value.m_as("ohm") == pytest.approx(value, abs=0.001)
    assert found.uncertainty.m_as("ohm") == pytest.approx(spread, abs=0.001)
    assert found.dof == 4 and found.second_order is None
    assert sum(part.share for part in found.parts) == pytest.approx(1)
    assert "hang together" in str(found)


def test_correlations_between_results(impedance):
    found = [shared_correlation(impedance[first], impedance[second])
             for first, second in (("resistance", "reactance"), ("resistance", "impedance"), ("reactance", "impedance"))]  # fmt: skip
    assert found == pytest.approx([-0.588, -0.485, 0.993], abs=0.001)


def test_without_the_correlations_the_answer_is_wrong():
    # The same example with r left out gives 0.195 ohm, nearly three times too much.
    inputs = {"volts": from_readings(VOLTS), "amps": from_readings(AMPS), "phase": from_readings(PHASE)}
    alone = budget(IMPEDANCE["resistance"], count=0, **inputs)
    assert alone.uncertainty.m_as("ohm") == pytest.approx(0.195, abs=0.001)


def test_correlated_draws():
    # The difference of two bells of 1 with correlation r has a variance of 2 - 2 r.
    found = budget(lambda x, y: x - y, x=normal("5 g", "1 g"), y=normal("3 g", "1 g"), correlations={("y", "x"): 0.8})
    assert found.spread.m_as("g") == pytest.approx(math.sqrt(0.4), rel=0.01)
    assert found.uncertainty.m_as("g") == pytest.approx(math.sqrt(0.4), rel=1e-6)
    # Correlated rectangles keep their ends, and their rank correlation is that of the copula: 6/π asin(r/2).
    flat = budget(
        lambda x, y: x - y, x=rectangular("5 g", "1 g"), y=rectangular("5 g", "1 g"), correlations={("x", "y"): 0.5}
    )
    rank = 6 / np.pi * np.arcsin(0.25)
    assert flat.spread.m_as("g") == pytest.approx(math.sqrt((2 - 2 * rank) / 3), rel=0.01)
    assert np.abs(flat.draws).max() < 2


# ------------------------------------------------------------------------------------------- JCGM 101:2008, 9.2, 9.3
@pytest.mark.parametrize("made, shape", [(normal, "bell"), (rectangular, "sum of rectangles")])
def test_sum_of_four(made, shape):
    # Four inputs of standard uncertainty 1: u = 2.00 whatever their shape.  95 % of a bell: ±3.92; of four
    # rectangles ±3.88 (9.2.3, from memory; an independent sum by convolution gives 3.88).
    width = 1 if made is normal else math.sqrt(3)
    found = plain(*[made("0 g", Q(width, "g"))] * 4, count=MILLION)
    assert found.uncertainty.m_as("g") == pytest.approx(2, abs=1e-6)
    assert found.spread.m_as("g") == pytest.approx(2, abs=0.006)
    expected = 3.92 if made is normal else 3.88
    assert [abs(end.m_as("g")) for end in found.symmetric] == pytest.approx([expected] * 2, abs=0.015)
    assert found.agree is True


def test_ten_times_as_wide():
    # 9.2.4: three rectangles of 1 and one of 10.  u 10.1; draws ±17.0 against ±19.9 by the first way (from memory;
    # the ends of the one rectangle alone are ±17.3).
    flat = [rectangular("0 g", Q(math.sqrt(3) * size, "g")) for size in (1, 1, 1, 10)]
    found = plain(*flat, count=MILLION)
    assert found.uncertainty.m_as("g") == pytest.approx(math.sqrt(103), rel=1e-6)
    assert found.expanded.m_as("g") == pytest.approx(19.9, abs=0.05)
    assert found.symmetric[1].m_as("g") == pytest.approx(17.0, abs=0.1)
    assert budget(lambda **x: sum(x.values()), figures=2, **{f"x{i}": x for i, x in enumerate(flat)}).agree is False
    assert "firm ends" in found.why


def test_mass_calibration():
    # 9.3.  First order 0.0539, with higher orders 0.0750, draws 0.0754 mg, shortest interval 1.0834 to 1.3825 mg.  The inputs
    # were read; the published answers are from memory (table 6).
    found = budget(
        lambda mass, more, air, weight, reference: (
            (mass + more) * (1 + (air - Q(1.2, "kg/m**3")) * (1 / weight - 1 / reference)) - Q(100_000, "mg")
        ),
        mass=normal("100000 mg", "0.050 mg"), more=normal("1.234 mg", "0.020 mg"),
        air=rectangular(Q(1.2, "kg/m**3"), Q(0.1, "kg/m**3")), weight=rectangular(Q(8000, "kg/m**3"), Q(1000, "kg/m**3")),
        reference=rectangular(Q(8000, "kg/m**3"), Q(50, "kg/m**3")), count=MILLION,
    )  # fmt: skip
    assert found.value.m_as("mg") == pytest.approx(1.234, abs=1e-6)
    assert found.uncertainty.m_as("mg") == pytest.approx(0.0539, abs=5e-5)
    assert found.second_order.m_as("mg") == pytest.approx(0.0750, abs=5e-5)
    assert found.spread.m_as("mg") == pytest.approx(0.0754, abs=2e-4)
    # A million draws scatter the ends of the shortest interval by some 0.001 mg.
    assert [end.m_as("mg") for end in found.shortest] == pytest.approx([1.0834, 1.3825], abs=0.002)
    assert found.agree is False and "does not change with air, weight and reference alone" in found.why
    assert "take the draws" in " ".join(str(found).split())


# ------------------------------------------------------------------------------------------------ Eurachem QUAM, 2012
def test_cadmium_standard():
    # Example A1: 1002.7 mg/L with u 0.9 mg/L; unrounded 0.835 as a second program prints.
    found = budget(
        lambda mass, purity, volume, repeat, warmth: (mass * purity / (volume + repeat + warmth)).to("mg/L"),
        mass=normal("100.28 mg", "0.05 mg"), purity=rectangular(Q(0.9999), Q(0.0001)), volume=triangular("100 mL", "0.1 mL"),
        repeat=normal("0 mL", "0.02 mL"), warmth=rectangular("0 mL", "0.084 mL"),
    )  # fmt: skip
    assert found.value.m_as("mg/L") == pytest.approx(1002.7, abs=0.05)
    assert found.uncertainty.m_as("mg/L") == pytest.approx(0.8352, abs=0.0005)
    assert found.agree is True


def test_alkali_by_weighed_acid():
    # Example A2: 0.1021 mol/L, u 1.0e-4 (a second program prints 0.102136 and 1.005e-4 from unrounded parts; with the
    # volume's 0.013 mL as the guide rounds it 0.98e-4).
    found = budget(
        lambda mass, again, purity, molar, volume, repeat: (repeat * (mass + again) * purity / (molar * volume)).to("mol/L"),
        mass=rectangular("0.3888 g", "0.15 mg"), again=rectangular("0 g", "0.15 mg"), purity=rectangular(Q(1.0), Q(0.0005)),
        molar=normal("204.2212 g/mol", "0.0038 g/mol"), volume=normal("18.64 mL", "0.013 mL"), repeat=normal(Q(1.0), Q(0.0005)),
    )  # fmt: skip
    assert found.value.m_as("mol/L") == pytest.approx(0.102136, abs=1e-6)
    assert found.uncertainty.m_as("mol/L") == pytest.approx(1.0e-4, abs=0.03e-4)


def test_mean_of_daily_maxima():
    # NIST TN 1900, E2 (from memory): 95 % interval 23.8 to 27.4 °C.
    maxima = [18.75, 28.25, 25.75, 28.00, 28.50, 20.75, 21.00, 22.75, 18.50, 27.25, 20.75, 26.50, 28.00, 23.25, 28.00,
              21.75, 26.00, 26.50, 28.00, 33.25, 32.00, 29.50]  # fmt: skip
    found = budget(lambda mean: mean, mean=from_readings(Q(maxima, "degC")))
    assert found.value.m_as("degC") == pytest.approx(25.59, abs=0.005) and found.dof == pytest.approx(21)
    half = found.expanded.m_as("delta_degC")
    assert (25.591 - half, 25.591 + half) == pytest.approx((23.8, 27.4), abs=0.05)
    assert [end.m_as("degC") for end in found.symmetric] == pytest.approx([23.8, 27.4], abs=0.06)
    assert found.agree is True


# ---------------------------------------------------------------------------------------------- independent witnesses
@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(1, 50), st.floats(0.001, 0.03), st.floats(-2, 2)), min_size=2, max_size=5))
def test_slopes_against_the_package_uncertainties(parts):
    inputs = {f"x{place}": (value, value * share) for place, (value, share, _) in enumerate(parts)}
    powers = [power for *_, power in parts]

    def product(log, **given):
        result = 1.0
        for value, power in zip(given.values(), powers):
            result = result * value**power
        return result + log(given["x0"])

    witness = product(umath.log, **{name: uncertainties.ufloat(*pair) for name, pair in inputs.items()})
    found = budget(lambda **given: Q(product(np.log, **{name: value.magnitude for name, value in given.items()})), count=0,
                   **{name: normal(Q(value, "g"), Q(spread, "g")) for name, (value, spread) in inputs.items()})  # fmt: skip
    assert found.value.magnitude == pytest.approx(witness.nominal_value, rel=1e-12)
    # Central differences over a hundredth of the uncertainty, and rounding where one part swamps the rest.
    assert found.uncertainty.magnitude == pytest.approx(
        witness.std_dev, rel=1e-5, abs=1e-11 * abs(witness.nominal_value)
    )
    by_name = {part.name: part.sensitivity for part in found.parts}
    for variable, slope in witness.derivatives.items():
        name = next(name for name, pair in inputs.items() if pair == (variable.nominal_value, variable.std_dev))
        if len({pair for pair in inputs.values()}) == len(inputs):
            assert by_name[name] == pytest.approx(
                slope, rel=1e-4, abs=1e-9 * abs(witness.nominal_value / inputs[name][1])
            )


@settings(max_examples=20, deadline=None)
@given(st.lists(st.floats(-3, 3), min_size=2, max_size=4).filter(lambda slopes: max(map(abs, slopes)) > 0.1))
def test_both_ways_agree_on_straight_lines_of_bells(slopes):
    found = budget(lambda **x: sum(slope * value for slope, value in zip(slopes, x.values())),
                   **{f"x{place}": normal("2 g", "0.1 g") for place in range(len(slopes))})  # fmt: skip
    exact = 0.1 * math.hypot(*slopes)
    assert found.uncertainty.m_as("g") == pytest.approx(exact, rel=1e-6)
    assert found.second_order.m_as("g") == pytest.approx(exact, rel=1e-6)
    assert found.spread.m_as("g") == pytest.approx(exact, rel=0.015)  # 100 000 draws: 0.22 % standard deviation
    assert found.agree is True and sum(part.share for part in found.parts) == pytest.approx(1)


def test_a_square_at_zero_is_seen_only_by_the_draws():
    found = budget(lambda x: x**2, x=normal("0 V", "1 V"))
    assert found.uncertainty.magnitude == 0 and found.agree is False
    assert found.second_order.m_as("V**2") == pytest.approx(math.sqrt(2), rel=1e-6)  # of chi-square with one degree
    ends = stats.chi2(1).ppf([0.025, 0.975])
    assert [end.m_as("V**2") for end in found.symmetric] == pytest.approx(ends, abs=0.1)
    assert found.shortest[0].m_as("V**2") == pytest.approx(0, abs=1e-3)
    assert found.shortest[1].m_as("V**2") == pytest.approx(stats.chi2(1).ppf(0.95), abs=0.08)
    assert "does not change with x alone" in found.why and "By slopes alone nothing is uncertain" in str(found)


def test_a_bent_result_and_a_lognormal():
    found = budget(lambda x: np.exp(x.magnitude), x=normal(Q(0.0), Q(0.5)), count=MILLION)
    witness = stats.lognorm(0.5)
    assert found.uncertainty.magnitude == pytest.approx(0.5, rel=1e-4)
    assert found.spread.magnitude == pytest.approx(witness.std(), rel=0.01)
    assert found.mean.magnitude == pytest.approx(witness.mean(), rel=0.003)
    assert [end.magnitude for end in found.symmetric] == pytest.approx(witness.ppf([0.025, 0.975]), rel=0.01)
    assert found.agree is False and "bends" in found.why
    # ½ f″² + f′f‴ with all derivatives 1: variance 0.25 + 1.5 × 0.0625.
    assert found.second_order.magnitude == pytest.approx(math.sqrt(0.25 + 1.5 / 16), rel=0.01)


def test_few_readings_reach_far_out():
    inputs = {"few": from_readings(["10.0 g", "10.4 g", "10.1 g"]), "other": normal("2 g", "0.01 g")}
    found = budget(lambda few, other: few + other, **inputs)
    assert found.factor == pytest.approx(stats.t(2).ppf(0.975), rel=1e-6) and found.dof == pytest.approx(2, abs=0.05)
    assert "rests on few readings, 3" in found.why


def test_a_guess_is_carried_with_its_own_shape():
    guess = Range(Q(0.1, "percent"), Q(0.3, "percent"), Q(4.3, "percent"))
    found = budget(lambda share, mass: (share * mass).to("mg"), share=guess, mass=normal("10 g", "0.1 g"))
    assert found.value.m_as("mg") == pytest.approx(30)
    assert np.median(found.draws) == pytest.approx(30, rel=0.02) and found.agree is False and "guess" in found.why
    assert found.symmetric[0].m_as("mg") > 9 and found.symmetric[1].m_as("mg") < 440
    certain = Range(*[Q(0.3, "percent")] * 3)
    same = budget(lambda share, mass: (share * mass).to("mg"), share=certain, mass="10 ± 0.1 g")
    assert same.uncertainty.m_as("mg") == pytest.approx(0.3) and len(same.parts) == 1


def test_degrees_of_freedom_and_factors():
    for dof, printed in ((1, 12.71), (4, 2.78), (10, 2.23), (50, 2.01)):  # table G.2 of JCGM 100:2008, 95 %
        assert coverage_factor(0.95, dof) == pytest.approx(printed, abs=0.005)
    assert coverage_factor(0.95) == pytest.approx(1.960, abs=0.0005)
    assert coverage_factor(0.95, 10.9) == coverage_factor(0.95, 10)


def test_thermometer_readings():
    found = budget(lambda temperature: temperature.to("K") * 2, temperature=normal("20 °C", "0.5 K"))
    assert found.value.m_as("K") == pytest.approx(586.3) and found.uncertainty.m_as("K") == pytest.approx(1.0)
    assert "20.00 ± 0.50" in found.rows()[0][1]


def test_the_same_seed_gives_the_same_page():
    first, again = (str(plain(normal("5 g", "1 g"), rectangular("2 g", "1 g"))) for _ in range(2))
    other = plain(normal("5 g", "1 g"), rectangular("2 g", "1 g"), seed=2)
    assert first == again and not np.array_equal(
        other.draws, plain(normal("5 g", "1 g"), rectangular("2 g", "1 g")).draws
    )
    assert max(map(len, first.splitlines())) <= 60 and repr(plain(normal("5 g", "1 g"))).startswith("(5.0 ± 1.0) g")


def test_without_draws():
    found = plain(normal("5 g", "1 g"), count=0)
    assert found.draws is None and found.agree is None and "draws" not in str(found)


def test_second_order_terms_are_those_of_the_guide():
    # GUM, note to 5.1.2, by hand: the sum over i and j of (f_ij²/2 + f_i f_ijj) u_i² u_j².
    cube = budget(lambda x: x**3, x=normal(Q(2.0), Q(0.3)), count=0)  # derivatives 12, 12 and 6
    assert cube.second_order.magnitude == pytest.approx(math.sqrt(144 * 0.3**2 + (72 + 72) * 0.3**4), rel=1e-5)
    both = budget(lambda x, y: x * y**2, x=normal(Q(2.0), Q(0.3)), y=normal(Q(3.0), Q(0.4)), count=0)
    # f_x = 9, f_y = 12, f_yy = 4, f_xy = 6 (counted twice), f_xyy = 2
    exact = (9 * 0.3) ** 2 + (12 * 0.4) ** 2 + 8 * 0.4**4 + (36 + 18) * (0.3 * 0.4) ** 2
    assert both.second_order.magnitude == pytest.approx(math.sqrt(exact), rel=1e-5)
    other = budget(lambda y, x: x * y**2, y=normal(Q(3.0), Q(0.4)), x=normal(Q(2.0), Q(0.3)), count=0)
    assert other.second_order.magnitude == pytest.approx(math.sqrt(exact), rel=1e-5)


def test_printed_to_the_figures_of_the_uncertainty():
    for value, spread, text in ((Q(1002.6997, "mg/L"), Q(0.8352, "mg/L"), "(1002.70 ± 0.84) mg/L"), (Q(1234, "mL"), Q(321, "mL"), "(1.23 ± 0.32) L"),
                                (Q(0.0, "g"), Q(0.0, "g"), "(0 ± 0) g"), (Q(20, "degC"), Q(0.1, "delta_degC"), "(20.00 ± 0.10) °C"),
                                (Q(5.0), Q(0.0996), "(5.00 ± 0.10)"), (Q(40, "g"), Q(123, "g"), "(40 ± 120) g")):  # fmt: skip
        assert printed_with(value, spread) == text
    assert printed_ends((Q(-3.88, "g"), Q(3.92, "g"))) == ("-3.9", "3.9 g")
    assert printed_ends((Q(484.2, "µmol"), Q(495.8, "µmol"))) == ("484", "496 µmol")


@pytest.mark.parametrize("made, words", [
    (lambda: plain("5 g", Q(3, "g")), "needs an input that is uncertain"),
    (lambda: budget(lambda x: math.exp(x.magnitude), x=normal(Q(1.0), Q(0.1))), "arrays of many values"),
    (lambda: budget(lambda x: np.array([1.0, 2.0]) * x, x=normal(Q(1.0), Q(0.1))), "one finite result"),
    (lambda: budget(lambda x: np.sqrt(x.magnitude), x=normal(Q(-1.0), Q(0.1))), "one finite result"),
    (lambda: budget(lambda x: np.log(x.magnitude), x=normal(Q(0.001), Q(5.0))), "More than half of the draws|finds no slope"),
    (lambda: plain(normal("1 g", "1 g"), coverage=1.0), "coverage of 0.5 to 0.999"),
    (lambda: plain(normal("1 g", "1 g"), count=-1), "count of 0 or of 100"),
    (lambda: plain(normal("1 g", "1 g"), count=2), "count of 0 or of 100"),
    (lambda: plain(normal("1 g", "1 g"), count=1000.5), "count of 0 or of 100"),
    (lambda: plain(normal("1 g", "1 g"), seed=-1), "seed of 0 or more"),
    (lambda: plain(normal("1 g", "1 g"), normal("1 g", "1 g"), correlations={("x0", "x1"): 1.2}), "from -1 to 1"),
    (lambda: plain(normal("1 g", "1 g"), normal("1 g", "1 g"), correlations={("x0", "mass"): 0.2}), "two uncertain inputs"),
    (lambda: plain(*[normal("1 g", "1 g")] * 3, correlations={("x0", "x1"): 0.9, ("x1", "x2"): 0.9, ("x0", "x2"): -0.9}), "contradict"),
])  # fmt: skip
def test_what_has_no_budget_is_refused_kindly(made, words):
    with np.errstate(all="ignore"), pytest.raises(RangeProblem, match=words):
        made()


def test_draws_without_a_result_are_left_out_and_told():
    found = budget(lambda x: np.sqrt(x.magnitude), x=normal(Q(1.0), Q(0.7)))
    assert found.agree is False and "there is no result" in found.why and np.isfinite(found.draws).all()


def test_a_problem_of_the_sum_itself_is_passed_on():
    def strict(x):
        if np.any(x.magnitude < 0):
            raise RangeProblem("There is no mass below zero.")
        return x

    with pytest.raises(LabError, match="no mass below zero"):
        budget(strict, x=normal("1 g", "1 g"))
