"""A fitted kiln against the kiln that made the readings, and against a published decay."""

import numpy as np
import pytest
from helpers import assert_close
from hostile import HOSTILE
from scipy.optimize import curve_fit

from labkit.errors import LabError, RangeProblem
from labkit.heat.fit import _noise, kiln_fit
from labkit.heat.kiln import Kiln, course, cycles
from labkit.heat.trace import Trace
from labkit.units import Q, nominal, number

MADE = Kiln("80 min", "900 °C")


def noisy(trace, sigma, seed, together=0.0):
    """Return a trace with scatter; ``together`` is its correlation from one reading to the next."""
    random = np.random.default_rng(seed)
    scatter = random.normal(0, sigma, len(trace))
    for place in range(1, len(trace) if together else 1):
        scatter[place] = together * scatter[place - 1] + (1 - together**2) ** 0.5 * scatter[place]
    return Trace(trace.minutes, trace.celsius + scatter)


def misses(quantities, true):
    """Return how many standard uncertainties each fitted value is away."""
    return np.array([(q.magnitude.nominal_value - true) / q.magnitude.std_dev for q in quantities])


@pytest.mark.parametrize("together", [0.0, 0.7])
@pytest.mark.parametrize("kind", ["heating", "cooling"])
def test_the_kiln_is_recovered_within_the_stated_uncertainty(kind, together):
    rise = course(
        MADE,
        [("200 min", True)] if kind == "heating" else [("200 min", False)],
        start="20 °C" if kind == "heating" else "560 °C",
    ).trace()
    fits = [kiln_fit(noisy(rise, 1.5, seed, together), **{kind: ("0 min", "200 min")}) for seed in range(60)]
    assert all(fit.told for fit in fits)
    for found, true in ((misses([fit.time_constant for fit in fits], 80), 80),
                        (misses([fit.ceiling if kind == "heating" else fit.ambient for fit in fits], 900 if kind == "heating" else 20), 900)):  # fmt: skip
        assert true
        # 95 % expected inside two; of 60 at least 50 is passed by chance in all but a few of a million.
        assert (np.abs(found) < 2).sum() >= 50
        assert 0.6 < np.std(found) < 1.5
        assert abs(np.mean(found)) < 0.5


def test_a_published_decay():
    # jayjock-associates.blogspot.com, July 2013: tracer in a 20 m³ room, 16 ppm falling to 4.1; printed half-life 1.4 h,
    # read off a graph to two figures (so 5 %).  The log-linear slope of the five points is 0.487 per hour; ppm read as degrees.
    decay = Trace(60 * np.array([0, 0.5, 1, 1.4, 2.8]), [16, 12.5, 9.7, 7.9, 4.1])
    slope = np.polyfit(decay.minutes, np.log(decay.celsius), 1)[0]
    assert -60 * slope == pytest.approx(0.4868, abs=0.0001)
    fit = kiln_fit(decay, cooling=("0 min", "3 h"), ambient="0 °C")
    assert_close(nominal(fit.time_constant), Q(1.4 / np.log(2), "h"), relative=0.05)
    assert_close(nominal(fit.time_constant), Q(-1 / slope, "min"), relative=0.02)  # other weights of the same points


def test_a_short_stretch_is_told_to_be_short():
    rise = noisy(course(MADE, [("5 h", True)]).trace(), 1.0, 3)
    short = kiln_fit(rise, heating=("0 min", "50 min"))
    assert not short.told and short.ceiling is None and short.time_constant is None
    assert (
        "Log on" not in short.sentence and "Keep logging" in short.sentence
    )  # and no kiln is sent to its ceiling unwatched
    assert all(
        words in short.sentence for words in ("kiln empty", "someone beside it", "never above its rated temperature")
    )
    assert "at least" in short.sentence and number(short.at_least, "degC") < 900
    assert float(short.sentence.partition("at least ")[2].split()[0]) <= number(short.at_least, "degC")
    with pytest.raises(RangeProblem, match="whole kiln"):
        _ = short.kiln
    assert kiln_fit(rise, heating=("0 min", "160 min")).told
    fall = noisy(course(MADE, [("40 min", False)], start="560 °C").trace(), 1.0, 4)
    assert kiln_fit(fall, cooling=True).time_constant is None
    known = kiln_fit(fall, cooling=True, ambient="20 °C")  # the air is known, so a short fall tells
    assert abs(misses([known.time_constant], 80)[0]) < 4


def test_the_longest_rise_is_found_by_itself():
    firing = course(MADE, [("100 min", True), *cycles("6 min", "5 min", 15), ("5 h", False)]).trace()
    log = noisy(firing, 1.0, 5)
    rise, fall = kiln_fit(log), kiln_fit(log, cooling=True)
    assert number(rise.stretch[0], "min") < 15 and 95 < number(rise.stretch[1], "min") < 115
    assert 255 < number(fall.stretch[0], "min") < 275
    for fit, true in ((rise, 80), (fall, 80)):
        assert abs(misses([fit.time_constant], true)[0]) < 4
    switched = kiln_fit(log, switching=[("100 min", True), *cycles("6 min", "5 min", 15), ("5 h", False)])
    assert abs(misses([switched.time_constant], 80)[0]) < 4 and abs(misses([switched.ceiling], 900)[0]) < 4
    assert abs(misses([switched.ambient], 20)[0]) < 4
    assert_close(switched.kiln.likely.ceiling, Q(900, "degC"), within=Q(2, "K"))


def test_a_rise_that_was_switched_is_noticed():
    log = noisy(course(MADE, [("60 min", True), *cycles("6 min", "5 min", 15)]).trace(), 1.0, 6)
    assert "switched" in kiln_fit(log, heating=("0 min", "200 min")).sentence
    assert "switched" not in kiln_fit(log, heating=("0 min", "60 min")).sentence


def test_exact_readings_give_the_kiln_back():
    fit = kiln_fit(course(Kiln("45 min", "700 °C"), [("3 h", True)]).trace("2 min"))
    assert_close(nominal(fit.time_constant), Q(45, "min"), relative=1e-6)
    assert_close(nominal(fit.ceiling), Q(700, "degC"), within=Q(1e-3, "K"))
    assert fit.time_constant.magnitude.std_dev > 0


@pytest.mark.parametrize("arguments, words", [
    ({"heating": ("0 min", "3 min")}, "at least 5"), ({"heating": ("5 h", "6 h")}, "at least 5"), ({"cooling": ("0 min", "90 min")}, "no fall"),
    ({"heating": ("0 min",)}, "two times"), ({"heating": "2 h"}, "two times"), ({"heating": True, "cooling": True}, "one of"), ({"switching": [("9 h", False)]}, "never on"),
])  # fmt: skip
def test_what_cannot_be_fitted_is_told(arguments, words):
    with pytest.raises(LabError, match=words):
        kiln_fit(course(MADE, [("4 h", True)]).trace(), **arguments)
    with pytest.raises(LabError):
        kiln_fit("a log")


def test_hostile_text_is_refused():
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        log = course(MADE, [("100 min", True)]).trace("10 min")
        for arguments in (
            {"ambient": text},
            {"heating": (text, "2 h")},
            {"switching": [(text, True)]},
            {"switching": text},
        ):
            with pytest.raises(LabError):
                kiln_fit(log, **arguments)


@pytest.mark.parametrize("asked", [np.array([1, 2]), np.array([True]), Q([1, 2], "h"), 0, 1.5, "2 h", {}])
@pytest.mark.parametrize("kind", ["heating", "cooling"])
def test_a_stretch_that_is_none_is_told_in_plain_words(kind, asked):
    with pytest.raises(LabError, match="two times"):
        kiln_fit(course(MADE, [("4 h", True), ("4 h", False)]).trace(), **{kind: asked})


def test_a_switching_that_is_none_names_the_function_that_was_called():
    for switching in (5, [("1 h", 2)], [("1 h",)], [], [("0 h", True)], np.array([1, 2])):
        with pytest.raises(LabError) as problem:
            kiln_fit(course(MADE, [("4 h", True)]).trace(), switching=switching)
        assert "course()" not in str(problem.value)


# ------------------------------------------------------------- spreads, against those of another library
def scattered(trace, sigma):
    """Return a trace whose readings scatter to and fro, so that neighbours do not scatter together."""
    up_and_down = np.abs(np.random.default_rng(7).normal(0, sigma, len(trace))) * (-1) ** np.arange(len(trace))
    return Trace(trace.minutes, trace.celsius + up_and_down)


def lag(minutes, tau, first, end):
    return end + (first - end) * np.exp(-minutes / tau)


def spread_of(quantity):
    return quantity.magnitude.std_dev


def test_spreads_are_those_of_scipy():
    log = scattered(course(MADE, [("150 min", True)]).trace(), 1.5)
    found, covariance = curve_fit(lag, log.minutes, log.celsius, [70, 30, 800])
    fit = kiln_fit(log, heating=("0 min", "150 min"))
    assert nominal(fit.time_constant).m_as("min") == pytest.approx(found[0], rel=1e-5)
    assert spread_of(fit.time_constant) == pytest.approx(covariance[0, 0] ** 0.5, rel=0.005)
    assert spread_of(fit.ceiling) == pytest.approx(covariance[2, 2] ** 0.5, rel=0.005)
    assert number(fit.scatter, "delta_degC") == pytest.approx(
        np.sqrt(np.mean((lag(log.minutes, *found) - log.celsius) ** 2)), rel=1e-4
    )


def test_neighbours_that_scatter_together_widen_the_spread():
    log = noisy(course(MADE, [("150 min", True)]).trace(), 1.5, 3, 0.7)
    found, covariance = curve_fit(lag, log.minutes, log.celsius, [70, 30, 800])
    left = lag(log.minutes, *found) - log.celsius
    r = (left[1:] @ left[:-1]) / (left @ left)
    assert 0.5 < r < 0.9
    fit = kiln_fit(log, heating=("0 min", "150 min"))
    assert spread_of(fit.ceiling) == pytest.approx((covariance[2, 2] * (1 + r) / (1 - r)) ** 0.5, rel=0.005)


def test_the_spread_of_a_ceiling_counts_that_rise_and_air_go_together():
    rounds = [("100 min", True), ("60 min", False), ("50 min", True), ("90 min", False)]
    log = scattered(course(MADE, rounds).trace(), 2.0)

    def switched(minutes, tau, first, rise, air):
        at, begun, found = first, 0.0, np.empty_like(minutes)
        for length, on in ((100, 1), (60, 0), (50, 1), (90, 0)):
            here = (minutes >= begun) & (minutes <= begun + length)
            found[here] = lag(minutes[here] - begun, tau, at, air + on * rise)
            at, begun = lag(length, tau, at, air + on * rise), begun + length
        return found

    found, covariance = curve_fit(switched, log.minutes, log.celsius, [75, 25, 850, 22])
    fit = kiln_fit(log, switching=rounds)
    both = covariance[2, 2] + covariance[3, 3] + 2 * covariance[2, 3]
    assert covariance[2, 3] < -0.1 * covariance[2, 2]  # it matters here
    assert nominal(fit.ceiling).m_as("degC") == pytest.approx(found[2] + found[3], abs=0.01)
    assert spread_of(fit.ceiling) == pytest.approx(both**0.5, rel=0.005)
    assert spread_of(fit.ambient) == pytest.approx(covariance[3, 3] ** 0.5, rel=0.005)


@pytest.mark.parametrize("share, told", [(0.192, True), (0.208, False)])
def test_a_time_constant_is_told_if_it_is_known_to_a_fifth(share, told):
    clean = course(MADE, [("40 min", False)], start="560 °C").trace()

    def relative(sigma):
        log = scattered(clean, sigma)
        found, covariance = curve_fit(
            lambda t, tau, first: lag(t, tau, first, 20.0), log.minutes, log.celsius, [80, 560]
        )
        return covariance[0, 0] ** 0.5 / found[0]

    low, high = 1.0, 400.0
    for _ in range(30):  # the scatter that makes the spread of scipy the share asked for
        low, high = ((low + high) / 2, high) if relative((low + high) / 2) < share else (low, (low + high) / 2)
    assert relative(low) == pytest.approx(share, rel=1e-3)
    fit = kiln_fit(scattered(clean, low), cooling=("0 min", "40 min"), ambient="20 °C")
    assert fit.told == told


@pytest.mark.parametrize("minutes, told", [(78, False), (82, True)])
def test_a_stretch_has_to_last_a_time_constant(minutes, told):
    fit = kiln_fit(course(MADE, [("3 h", True)]).trace(), heating=("0 min", f"{minutes} min"))
    assert fit.told == told  # the readings are exact: nothing but the length decides


def test_the_scatter_of_single_readings_is_found_robustly():
    readings = np.linspace(20, 550, 200_000) + np.random.default_rng(2).normal(0, 1.7, 200_000)
    readings[::50] += 90  # spikes, of which a mean would know much
    # Three of 50 differences have a spike in them, which moves the median by 0.06/2/(2 × 0.318) of sigma/0.6745: 7 % up.
    clean = readings.copy()
    clean[::50] -= 90
    assert _noise(clean) == pytest.approx(1.7, rel=0.015)
    assert 1.7 < _noise(readings) < 1.9


@pytest.mark.parametrize("asked, way", [({}, "rise"), ({"cooling": True}, "fall")])
def test_a_level_log_has_nothing_to_fit(asked, way):
    with pytest.raises(RangeProblem, match=f"There is no {way} of 5 readings or more in this log"):
        kiln_fit(Trace(range(100), [550.0] * 100), **asked)
