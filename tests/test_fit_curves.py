"""Fitted curves: certified fits of NIST, another program, made readings that come back, and noise that must not pass for a curve."""

from collections import defaultdict

import numpy as np
import pytest
from helpers import published
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, curve_fit, minimize_scalar
from scipy.stats import t as student

from labkit.errors import LabError, RangeProblem, UnitProblem
from labkit.units import Q
from labkit.uptake.doubts import NONE, USABLE, WEAK, doubts, level_of, misfit
from labkit.uptake.fit import fitted
from labkit.uptake.models import COURSES, FIRST_ORDER, FREUNDLICH, ISOTHERMS, LANGMUIR, SECOND_ORDER, Curve
from labkit.uptake.profile import Squares

RATIO = Curve("ratio", ("b1", "b2", "b3", "b4"), lambda x, b1, b2, b3, b4: b1 * (x**2 + b2 * x) / (x**2 + b3 * x + b4))
PLAIN = Curve("plain", ("b1", "b2"), lambda x, b1, b2: b1 * (1 - np.exp(-b2 * x)))
CURVES = {curve.name: curve for curve in (*ISOTHERMS, *COURSES, RATIO)}
DIGITS = 1e-6  # NIST prints eleven digits; six that agree are the usual pass mark
TRUE = {
    "Langmuir": (40.0, 0.1),
    "Freundlich": (5.0, 0.4),
    "pseudo-first order": (40.0, 0.02),
    "pseudo-second order": (40.0, 0.001),
}
PLACES = {"Langmuir": np.geomspace(1, 400, 12), "Freundlich": np.geomspace(1, 400, 12)}
TIMES = np.array([3, 6, 12, 20, 30, 45, 60, 90, 120, 180, 240, 400.0])


def readings(name):
    rows = [row for row in published("nist_readings") if row["set"] == name]
    assert len(rows) > 5
    return np.array([(float(row["x"]), float(row["y"])) for row in rows]).T


def certified():
    found = defaultdict(list)
    for row in published("nist_fits"):
        found[row["fit"]].append(row)
    assert set(found) == {"Misra1a", "Misra1d", "DanWood", "BoxBOD", "MGH09"}
    return found


# A curve that is none of ours finds no start of its own.
STARTS = [(name, start) for name, rows in certified().items() for start in ("first_start", "second_start", None)
          if start or CURVES[rows[0]["curve"]] is not RATIO]  # fmt: skip


@pytest.mark.parametrize(("name", "start"), STARTS)
def test_certified_fits_come_out_from_every_start(name, start):
    rows = certified()[name]
    curve = CURVES[rows[0]["curve"]]
    starts = None if start is None else [[float(row[start]) for row in rows]]
    fit = fitted(curve, *readings(rows[0]["set"]), starts=starts)
    assert [row["parameter"] for row in rows] == list(fit.parameters)
    for row in rows:
        assert fit.parameters[row["parameter"]] == pytest.approx(float(row["value"]), rel=DIGITS)
        assert fit.errors[row["parameter"]] == pytest.approx(float(row["error"]), rel=DIGITS)
    assert fit.squares == pytest.approx(float(rows[0]["squares"]), rel=1e-9)
    assert fit.s == pytest.approx(float(rows[0]["s"]), rel=1e-9) and fit.dof == fit.x.size - len(rows)


def test_a_trap_is_left_or_owned_up_to():
    # From (1, 1) a plain search may end on a level of 172.5, with squares of 9771.5; with some scipy it finds its way out.
    x, y = readings("BoxBOD")
    caught = fitted(PLAIN, x, y, starts=[(1, 1)])
    if caught.squares > 1200:
        assert caught.squares == pytest.approx(9771.5) and caught.verdict == NONE and caught.reasons
        assert not np.isfinite(caught.covariance).all()
    else:
        assert caught.parameters["b1"] == pytest.approx(213.80940889, rel=DIGITS)
    free = fitted(PLAIN, x, y, starts=[(1, 1), (100, 0.75)])
    assert free.parameters["b1"] == pytest.approx(213.80940889, rel=DIGITS) and free.verdict == WEAK


def test_puromycin_as_remembered():
    # From memory: R's documentation prints Vm 212.7 (6.947) and K 0.06412 (0.00828), s 10.93 on 10 degrees of freedom.
    fit = fitted(LANGMUIR, *readings("Puromycin"))
    half = fit.reach(0.5)[1]
    assert fit.parameters["capacity"] == pytest.approx(212.7, abs=0.05) and fit.errors["capacity"] == pytest.approx(
        6.947, abs=5e-4
    )
    assert half == pytest.approx(0.06412, abs=5e-6) and fit.s == pytest.approx(10.93, abs=5e-3) and fit.dof == 10
    assert half**2 * fit.errors["affinity"] == pytest.approx(0.00828, abs=5e-6)  # u(1/K) = u(K)/K²


def made(name, noise=0.0, seed=1, scale=1.0):
    x = PLACES.get(name, TIMES)
    generator = np.random.default_rng(seed)
    return x, scale * (CURVES[name](x, *TRUE[name]) + noise * generator.standard_normal(x.size))


@pytest.mark.parametrize("name", TRUE)
@pytest.mark.parametrize("u", [None, "given"])
def test_another_program_finds_the_same(name, u):
    x, y = made(name, 0.8)
    u = None if u is None else np.linspace(0.5, 1.2, x.size)
    curve = CURVES[name]
    values, covariance = curve_fit(
        curve.value, x, y, p0=np.array(TRUE[name]) * 1.2, sigma=u, absolute_sigma=u is not None, xtol=1e-14, ftol=1e-14
    )
    fit = fitted(curve, x, y, u)
    assert fit.values == pytest.approx(values, rel=1e-6)
    scale = max(1.0, fit.s) ** 2 if u is not None else 1.0  # scatter beyond the doubts given widens ours
    assert fit.covariance == pytest.approx(covariance * scale, rel=1e-4)
    size, error = fit.predict(x[3])
    slopes = np.array(
        [
            (curve(x[3], *(values + step)) - curve(x[3], *(values - step))) / (2 * step.max())
            for step in np.diag(1e-5 * values)
        ]
    )
    assert size == pytest.approx(curve(x[3], *values)) and error**2 == pytest.approx(
        slopes @ covariance @ slopes * scale, rel=1e-3
    )


def test_the_ends_of_an_interval_are_where_the_squares_rise_by_what_95_percent_allow():
    x, y = made("Langmuir", 1.5, seed=4)
    fit = fitted(LANGMUIR, x, y)
    allowed = fit.squares * (1 + 2.228139**2 / 10)  # t of 95 % with 10 degrees of freedom, as tables print it

    def least(capacity):
        found = minimize_scalar(
            lambda log: ((y - LANGMUIR(x, capacity, np.exp(log))) ** 2).sum(), bracket=(-3, -2), tol=1e-12
        )
        return found.fun - allowed

    best = fit.parameters["capacity"]
    assert fit.ends["capacity"] == pytest.approx(
        (brentq(least, best - 15, best), brentq(least, best, best + 25)), rel=1e-4
    )

    def along(affinity):
        form = affinity * x / (1 + affinity * x)
        return ((y - form * (form @ y) / (form @ form)) ** 2).sum() - allowed

    best = fit.parameters["affinity"]
    assert fit.ends["affinity"] == pytest.approx(
        (brentq(along, best / 5, best), brentq(along, best, best * 5)), rel=1e-4
    )
    low, high = fit.ends["affinity"]
    assert high - best > best - low  # lopsided, as it is


@pytest.mark.parametrize("name", TRUE)
def test_intervals_hold_what_they_promise(name):
    curve, hits, runs = CURVES[name], defaultdict(int), 300
    for seed in range(runs):
        fit = fitted(curve, *made(name, 1.5, seed))
        for parameter, true in zip(curve.parameters, TRUE[name]):
            low, high = fit.ends[parameter]
            hits[parameter] += low <= true <= high
    # 95 % of 300 are 285, with a standard deviation of 3.8.
    assert all(abs(count - 285) < 16 for count in hits.values()), dict(hits)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.sampled_from(sorted(TRUE)), st.floats(-4, 4), st.floats(-3, 3), st.integers(0, 10_000))
def test_exact_readings_come_back_in_any_units(name, up, along, seed):
    x, y = made(name)
    x, y = x * 10**along, y * 10**up
    fit = fitted(CURVES[name], x, y)
    assert fit.at(x) == pytest.approx(y, rel=1e-6)
    if name != "Freundlich":
        size, pace = CURVES[name].split(*TRUE[name])
        assert fit.values[0] == pytest.approx(size * 10**up, rel=1e-5) and fit.pace == pytest.approx(
            pace / 10**along, rel=1e-5
        )


def test_noise_alone_hardly_ever_passes_for_a_curve():
    generator, usable, weak, runs = np.random.default_rng(8), 0, 0, 0
    for curve in CURVES.values():
        if curve is RATIO:
            continue
        for level in (0.0, 20.0):
            for size in (6, 9, 14):
                for _ in range(60):
                    verdict = fitted(curve, np.geomspace(1, 100, size), level + generator.normal(0, 2, size)).verdict
                    usable, weak, runs = usable + (verdict == USABLE), weak + (verdict == WEAK), runs + 1
    assert runs == 1440 and usable == 0 and weak < 0.02 * runs


def test_a_curve_has_to_be_better_than_what_needs_no_fit():
    x, parameters = np.arange(1.0, 11), {"capacity": 10.0}
    for won, level in ((1.9, NONE), (5.0, WEAK), (20.0, USABLE)):
        found = doubts(
            x,
            10.0,
            "",
            np.eye(1),
            parameters,
            {"capacity": (9, 11)},
            30.0,
            {"a level": 30.0 + won, "nothing": 90.0},
            99.0,
            (0.9, 0.95),
            None,
        )
        assert level_of(found) == level


@pytest.mark.parametrize("curve", [LANGMUIR, FIRST_ORDER, SECOND_ORDER])
def test_a_straight_line_has_no_ceiling(curve):
    generator = np.random.default_rng(3)
    x = np.linspace(1, 30, 10)
    fit = fitted(curve, x, 0.4 * x + generator.normal(0, 0.1, 10))
    assert fit.verdict == NONE and np.isinf(fit.ends[curve.parameters[0]][1]) and fit.ends[curve.parameters[0]][0] > 12


def test_a_level_has_no_rise():
    generator = np.random.default_rng(3)
    x = np.linspace(5, 30, 10)
    fit = fitted(FIRST_ORDER, x, 12 + generator.normal(0, 0.1, 10))
    assert (
        fit.verdict == NONE
        and np.isinf(fit.ends["rate"][1])
        and "no better than the same uptake" in " ".join(fit.reasons)
    )
    low, _, high = fit.reach()
    assert low == 0 and high < 5  # 95 % before the first reading


def test_certified_numbers_may_still_be_read_off_where_nothing_was_measured():
    # Misra1d: the highest pressure is 760, 1/b2 is 3308.
    fit = fitted(LANGMUIR, *readings("Misra1"))
    assert fit.verdict == NONE and "plateau is not in sight" in fit.reasons[0]
    low, likely, high = fit.share(760)
    k = 3.0227324449e-04 * 760
    assert likely == pytest.approx(k / (1 + k), rel=1e-6) and low < likely < high < 0.5


def test_few_readings_do_not_tell():
    assert fitted(LANGMUIR, [1, 10, 40, 90], [4, 19, 31, 36]).verdict == NONE
    assert fitted(LANGMUIR, [1, 1, 1, 40, 40, 40, 90], [4, 4.1, 3.9, 31, 31.2, 31.1, 36]).verdict == NONE


def test_a_falling_uptake_is_no_curve():
    assert fitted(LANGMUIR, [1, 5, 10, 20, 40, 80], [-3, -4, -6, -7, -8, -8]).reasons == (
        "The uptake is not above zero",
    )


def test_readings_that_do_not_follow_the_curve_are_seen():
    x = np.linspace(1, 40, 14)
    generator = np.random.default_rng(2)
    fit = fitted(FIRST_ORDER, x, 6 + 0.5 * x + generator.normal(0, 0.05, 14))  # all at once, then steadily
    assert fit.verdict != USABLE and "do not follow this curve" in " ".join(fit.reasons)
    x, ends, rivals = np.arange(1.0, 11), {"capacity": (9, 11)}, {"a level": 90.0}
    for crooked, said in ((19.9, True), (20.1, False)):  # against 30: better by 10 counts
        found = doubts(x, 10.0, "", np.eye(1), {"capacity": 10.0}, ends, 30.0, rivals, crooked, (0.9, 0.95), None)
        assert said == any("straight line that does not start at zero" in reason for _, reason in found)


def test_how_much_of_a_ceiling_has_to_be_seen():
    x, ends, rivals = np.arange(1.0, 11), {"capacity": (9, 11)}, {"a level": 90.0}
    for share, level in ((0.49, NONE), (0.51, WEAK), (0.79, WEAK), (0.81, USABLE)):
        found = doubts(x, 10.0, "", np.eye(1), {"capacity": 10.0}, ends, 30.0, rivals, 99.0, (share, 0.95), None)
        assert level_of(found) == level
    for half, level in ((3.9, USABLE), (4.1, WEAK), (9.9, WEAK), (10.1, NONE)):  # of 10: 40 % is wide, 100 % useless
        ends = {"capacity": (10 - half, 10 + half)}
        found = doubts(x, 10.0, "", np.eye(1), {"capacity": 10.0}, ends, 30.0, rivals, 99.0, (0.9, 0.95), None)
        assert level_of(found) == level


def test_a_start_at_zero_is_no_reading():
    # At zero every curve is zero: a row of zeros there brings no knowledge of the scatter.
    x, y = made("pseudo-first order", 0.8, seed=5)
    alone, begun = fitted(FIRST_ORDER, x, y), fitted(FIRST_ORDER, np.append(0, x), np.append(0, y))
    assert begun.x.size == 13 and begun.dof == alone.dof == 10 and begun.s == pytest.approx(alone.s, rel=1e-9)
    assert begun.aicc == pytest.approx(alone.aicc, abs=1e-6)
    assert begun.ends["rate"] == pytest.approx(alone.ends["rate"], rel=1e-6)
    measured = fitted(FIRST_ORDER, np.append(0, x), np.append(0.3, y))  # what was read there counts
    assert measured.dof == 11
    with pytest.raises(RangeProblem, match="beside the start at zero"):
        fitted(FIRST_ORDER, [0, 5, 10], [0, 3, 4])


def stretched(x, power, pace=0.1):
    return 20 * (pace * x) ** power / (1 + (pace * x) ** power)


@pytest.mark.parametrize("power, words", [(0.6, "on and on"), (1.5, "more steeply"), (2.0, "more steeply")])
def test_a_curve_of_another_shape_does_not_pass(power, words):
    # Sips and Hill curves: their plateau lies outside of what a Langmuir curve calls its 95 % interval.
    x, runs, usable, told = np.geomspace(1.5, 240, 9), 60, 0, 0
    for seed in range(runs):
        y = stretched(x, power) + np.random.default_rng(seed).normal(0, 0.3, 9)
        fit = fitted(LANGMUIR, x, y)
        usable, told = usable + (fit.verdict == USABLE), told + (words in " ".join(fit.reasons))
    assert usable <= 3 and told > 0.9 * runs


@pytest.mark.parametrize("curve", [LANGMUIR, FIRST_ORDER, SECOND_ORDER])
def test_the_test_of_the_shape_is_that_of_one_more_parameter(curve):
    x, y = made(curve.name, 1.5, seed=11)
    fit = fitted(curve, x, y)

    def bent(x, size, log, power):
        return size * curve.form(x**power, np.exp(log))

    start = (curve.split(*fit.values)[0], np.log(fit.pace), 1.0)
    # The t of the one step is that of a straight-line fit of three slopes: worked out with numpy's lstsq.
    slopes = np.column_stack(
        [(bent(x, *(start + step)) - bent(x, *(start - step))) / (2 * step.max()) for step in 1e-5 * np.eye(3)]
    )
    steps, left, *_ = np.linalg.lstsq(slopes, fit.residuals, rcond=None)
    own = Squares(curve, x, y, np.ones_like(y)).stretch(start[0], fit.pace)
    unit = np.sqrt(np.linalg.inv(slopes.T @ slopes)[2, 2])
    assert own == pytest.approx((steps[2], unit, left[0]), rel=1e-4)
    t = steps[2] / unit / np.sqrt(left[0] / (x.size - 3))
    chance = 2 * student.sf(abs(t), x.size - 3)
    assert bool(misfit(own, x.size - 3)) == (chance < 0.05)
    for t, level in ((2.2, []), (2.3, [WEAK]), (5.2, [WEAK]), (5.4, [NONE])):  # 9 degrees: 2.262 is 5 %, 5.29 is 0.05 %
        assert [one for one, _ in misfit((t, 1.0, 9.0), 9)] == level
    assert [one for one, _ in misfit((2.0, 1.0, 9.0), None)] == [WEAK] and not misfit((1.9, 1.0, 9.0), None)


def test_readings_that_follow_a_curve_are_seldom_said_not_to():
    for name in ("Langmuir", "pseudo-first order", "pseudo-second order"):
        odd = sum(
            "do not follow" in " ".join(fitted(CURVES[name], *made(name, 0.8, seed)).reasons) for seed in range(200)
        )
        assert odd <= 22  # 5 % of 200 are 10, with a standard deviation of 3.1


def test_uncertainties_given_make_the_errors_unless_the_readings_scatter_more():
    x, y = made("Langmuir", 1.0, seed=6)
    wide, narrow = fitted(LANGMUIR, x, y, 4.0), fitted(LANGMUIR, x, y, 0.1)
    alone = fitted(LANGMUIR, x, y)
    assert wide.errors["capacity"] == pytest.approx(alone.errors["capacity"] * 4.0 / alone.s, rel=1e-6)
    assert narrow.errors["capacity"] == pytest.approx(alone.errors["capacity"], rel=1e-6)
    assert narrow.verdict == WEAK and "scatter" in narrow.reasons[0]


def test_the_criterion_is_that_of_the_textbook():
    # n ln(RSS/n) + 2k + 2k(k + 1)/(n - k - 1) with k = 3: two parameters and the scatter.
    fit = fitted(LANGMUIR, *readings("Misra1"))
    assert fit.aicc == pytest.approx(14 * np.log(5.6419295283e-02 / 14) + 6 + 24 / 10, abs=1e-9)
    other = fitted(FIRST_ORDER, *readings("Misra1"))
    assert fit.aicc < other.aicc  # 0.0564 against 0.1246


@pytest.mark.parametrize("x, y, u, words", [
    ([1, 2], [1, 2], None, "three readings"), ([1, 2, 3], [1, 2], None, "as many x as y"), ([1, 2, np.nan], [1, 2, 3], None, "none missing"),
    ([-1, 2, 3], [1, 2, 3], None, "zero or more"), ([0, 0, 3], [1, 2, 3], None, "two places"), ([1, 2, 3], [0, 0, 0], None, "all of it is zero"),
    ([1, 2, 1e30], [1, 2, 3], None, "other units"), ([1, 2, 3], [1, 2, 3], [1, 2], "one ‘u’"), ([1, 2, 3], [1, 2, 3], 0.0, "above zero"),
    (["a", "b", "c"], [1, 2, 3], None, "needs numbers"), ([[1, 2, 3]], [1, 2, 3], None, "row of numbers"),
])  # fmt: skip
def test_what_is_no_readings_is_refused(x, y, u, words):
    with pytest.raises(RangeProblem, match=words):
        fitted(LANGMUIR, x, y, u)


def test_units_and_starts_are_asked_for():
    with pytest.raises(UnitProblem, match="plain numbers"):
        fitted(LANGMUIR, Q([1, 2, 3], "mg/L"), [1, 2, 3])
    with pytest.raises(RangeProblem, match="needs starts"):
        fitted(RATIO, [1, 2, 3, 4, 5], [1, 2, 3, 4, 5])
    for start in ([(1, 2, 3)], [(1, -1)]):
        with pytest.raises(RangeProblem, match="start for the Langmuir"):
            fitted(LANGMUIR, [1, 2, 3], [1, 2, 3], starts=start)
    with pytest.raises(RangeProblem, match="no ceiling"):
        fitted(FREUNDLICH, [1, 2, 3], [1, 2, 3]).share(2)
    with pytest.raises(RangeProblem, match="2 parameters|capacity, affinity"):
        LANGMUIR(1.0, 2.0)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(
    st.sampled_from(sorted(TRUE)),
    st.lists(st.tuples(st.floats(width=32), st.floats(width=32)), max_size=14),
    st.booleans(),
)
def test_odd_readings_are_answered_or_refused_calmly(name, pairs, small):
    x, y = [pair[0] for pair in pairs], [pair[1] for pair in pairs]
    if small:  # the kind of number that gets past the checks
        x, y = np.abs(np.nan_to_num(x)) % 100, np.nan_to_num(y) % 7
    with np.errstate(all="raise", under="ignore"):
        try:
            fit = fitted(CURVES[name], x, y)
        except LabError:
            return
    assert fit.verdict in (USABLE, WEAK, NONE) and (fit.verdict == USABLE) == (not fit.reasons)
    assert str(fit) and not any(np.isnan(end) for ends in fit.ends.values() for end in ends)
