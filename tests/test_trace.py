"""A trace against sums by hand, dense sampling and the law that all time is somewhere."""

import numpy as np
import pytest
from helpers import assert_close
from hostile import HOSTILE
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError, RangeProblem, UnitProblem
from labkit.heat.trace import Trace
from labkit.units import Q

FIRING = Trace([0, 100, 280, 400], [20, 550, 550, 70])  # 5.3 K/min up, level, 4 K/min down
LITTLE = Q(1e-9, "min")  # rounding of sums of some hundred minutes


@st.composite
def traces(draw, gaps=False):
    size = draw(st.integers(2, 12))
    steps = draw(st.lists(st.floats(0.01, 100), min_size=size - 1, max_size=size - 1))
    celsius = draw(st.lists(st.one_of(st.floats(-40, 1300), st.sampled_from([500.0, 520.0, 580.0])), min_size=size, max_size=size))  # fmt: skip
    counted = draw(st.lists(st.booleans(), min_size=size - 1, max_size=size - 1)) if gaps else None
    return Trace(np.concatenate(([0], np.cumsum(steps))), celsius, counted)


def test_times_by_hand():
    # Up through 520 °C at 500/5.3 min and 280 to 287.5 min down: 100 - 94.33962 + 180 + 7.5.
    assert_close(FIRING.time_inside("520 °C", "580 °C"), Q(193.16038, "min"), within=Q(1e-4, "min"))
    assert_close(FIRING.longest_inside("520 °C", "580 °C"), Q(193.16038, "min"), within=Q(1e-4, "min"))
    assert_close(FIRING.time_above("310 °C"), Q(100 - 290 / 5.3 + 180 + 60, "min"), within=LITTLE)
    assert_close(FIRING.time_below("310 °C"), Q(290 / 5.3 + 60, "min"), within=LITTLE)
    assert_close(FIRING.duration, Q(400, "min"), within=LITTLE)
    peak, when = FIRING.peak
    assert_close(peak, Q(550, "degC"), within=Q(1e-9, "K"))
    assert_close(when, Q(100, "min"), within=LITTLE)
    assert_close(FIRING.at("50 min"), Q(285, "degC"), within=Q(1e-9, "K"))
    assert_close(FIRING.at(Q([0.0, 1.0], "h")), Q([20.0, 338.0], "degC"), within=Q(1e-9, "K"))


def test_rates_by_hand():
    heating, cooling = FIRING.fastest()
    assert_close(heating, Q(5.3, "delta_degC/min"), relative=1e-12)
    assert_close(cooling, Q(4, "delta_degC/min"), relative=1e-12)
    # Over 150 min the best window starts at the start: 530 K in 150 min, and 480 K at the end.
    heating, cooling = FIRING.fastest("150 min")
    assert_close(heating, Q(530 / 150, "delta_degC/min"), relative=1e-12)
    assert_close(cooling, Q(480 / 150, "delta_degC/min"), relative=1e-12)
    assert FIRING.fastest("1000 min")[0] == FIRING.fastest()[0]  # no such window
    assert Trace([0, 1], [20, 30]).fastest()[1].magnitude == 0


def test_a_flicker_of_the_last_digit_is_no_rate():
    minutes = np.arange(600) / 60
    flicker = Trace(minutes, 500 + 0.25 * (np.arange(600) % 2))
    assert flicker.fastest()[0].magnitude == pytest.approx(15)
    assert flicker.fastest("5 min")[0].magnitude <= 0.05 + 1e-9


def test_a_level_stretch_at_the_limit_is_inside_and_neither_above_nor_below():
    level = Trace([0, 10], [550, 550])
    assert level.time_inside("550 °C", "600 °C") == Q(10, "min")
    assert level.time_above("550 °C") == Q(0, "min") == level.time_below("550 °C")


def test_gaps_are_counted_in_nothing_and_break_a_stretch():
    trace = Trace([0, 10, 20, 30, 40], [540] * 5, [True, False, True, True])
    assert_close(trace.gap_time, Q(10, "min"), within=LITTLE)
    assert_close(trace.time_inside("520 °C", "580 °C"), Q(30, "min"), within=LITTLE)
    assert_close(trace.longest_inside("520 °C", "580 °C"), Q(20, "min"), within=LITTLE)
    assert_close(trace.duration, Q(40, "min"), within=LITTLE)
    for time in ("15 min", "-1 min", "41 min"):
        with pytest.raises(RangeProblem):
            trace.at(time)
    assert_close(trace.at("10 min"), Q(540, "degC"), within=Q(1e-9, "K"))
    ramp = Trace([0, 1, 2, 12], [0, 1, 101, 101], [True, False, True])
    assert ramp.fastest()[0].magnitude == 1
    assert ramp.fastest("4 min")[0].magnitude == 0  # only windows clear of the gap
    with pytest.raises(RangeProblem):
        Trace([0, 1], [20, 20], [False]).fastest()


@given(traces(gaps=True), st.floats(-40, 1300), st.floats(0, 500))
def test_all_time_is_somewhere(trace, low, width):
    high = low + width
    parts = trace.plain_time_below(low) + trace.plain_time_inside(low, high) + trace.plain_time_above(high)
    assert parts + trace.gap_time.magnitude == pytest.approx(trace.duration.magnitude, abs=1e-6)
    assert trace.plain_longest_inside(low, high) <= trace.plain_time_inside(low, high) + 1e-9


@settings(max_examples=40)
@given(traces(), st.floats(-40, 1300), st.floats(1, 500))
def test_crossings_agree_with_dense_sampling(trace, low, width):
    times = np.linspace(trace.minutes[0], trace.minutes[-1], 40_001)
    celsius = np.interp(times, trace.minutes, trace.celsius)
    inside = (celsius >= low) & (celsius <= low + width)
    step = times[1] - times[0]
    # Each straight line enters and leaves once: at most a step of sampling is lost or won at each crossing.
    assert trace.plain_time_inside(low, low + width) == pytest.approx(
        inside.sum() * step, abs=2 * (len(trace) + 1) * step
    )


@given(traces(gaps=True), st.integers(-40, 1300), st.integers(1, 500))
def test_the_longest_stretch_agrees_with_one_walked_line_by_line(trace, low, width):
    high, longest, running = low + width, 0.0, 0.0
    for i, known in enumerate(trace.counted):
        start, end = trace.celsius[i], trace.celsius[i + 1]
        if not known:
            running = 0.0
            continue
        # Where on the line, from 0 to 1, it is inside: cut at both limits.
        cuts = sorted({0.0, 1.0, *((limit - start) / (end - start) for limit in (low, high) if end != start and 0 < (limit - start) / (end - start) < 1)})  # fmt: skip
        for first, last in zip(cuts, cuts[1:]):
            middle = start + (end - start) * (first + last) / 2
            if not low <= middle <= high:
                running = 0.0
                continue
            running += (last - first) * (trace.minutes[i + 1] - trace.minutes[i])
            longest = max(longest, running)
    assert trace.plain_longest_inside(low, high) == pytest.approx(longest, abs=1e-6)


@settings(max_examples=40)
@given(traces(), st.floats(0.05, 60))
def test_the_fastest_window_is_not_beaten_by_any_other(trace, over):
    span = trace.minutes[-1]
    if over >= span:
        return
    starts = np.linspace(0, span - over, 4001)
    rates = (np.interp(starts + over, trace.minutes, trace.celsius) - np.interp(starts, trace.minutes, trace.celsius)) / over  # fmt: skip
    heating, cooling = trace.plain_fastest(over)
    steepest = np.abs(np.diff(trace.celsius) / np.diff(trace.minutes)).max()
    assert heating >= rates.max() - 1e-6 * steepest - 1e-9 and cooling >= -rates.min() - 1e-6 * steepest - 1e-9
    # and it is reached, within what the sampling of the starts can miss
    assert heating <= max(rates.max(), 0) + 2 * steepest * (starts[1] / over) + 1e-9


def test_what_is_no_trace_is_refused():
    for wrong in (([1], [1]), ([0, 1], [1]), ([0, 0], [1, 2]), ([1, 0], [1, 2]), ([0, 1], [1, np.nan]), ([0, np.inf], [1, 2]),
                  ("ab", "cd"), ([[0, 1]], [[1, 2]]), ([0, 1], [1, 2], [True, True])):  # fmt: skip
        with pytest.raises(RangeProblem):
            Trace(*wrong)
    with pytest.raises(RangeProblem, match="Swap"):
        FIRING.time_inside("580 °C", "520 °C")
    with pytest.raises(RangeProblem, match="one value"):
        FIRING.time_above(Q([1.0, 2.0], "degC"))
    with pytest.raises(UnitProblem):
        FIRING.time_above(Q(20, "delta_degC"))


def test_a_trace_cannot_be_changed_and_takes_quantities():
    with pytest.raises(ValueError):
        FIRING.celsius[0] = 5
    with pytest.raises(AttributeError):
        FIRING.minutes = [0, 1]
    given_list = np.array([0.0, 1.0])
    trace = Trace(given_list, [20.0, 30.0])
    given_list[0] = -5
    assert trace.minutes[0] == 0
    same = Trace(Q([0.0, 1.0], "h"), Q([68.0, 212.0], "degF"))
    assert same.minutes.tolist() == [0, 60] and same.celsius == pytest.approx([20, 100])


def test_hostile_text_ends_in_a_kind_word():
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        for ask in (FIRING.at, FIRING.time_above, FIRING.time_below, FIRING.fastest, lambda t: FIRING.time_inside(t, "580 °C"),
                    lambda t: FIRING.longest_inside("20 °C", t)):  # fmt: skip
            try:
                ask(text)
            except LabError:
                pass
