"""Schedules against sums by hand, the law of cooling, and hostile steps."""

import numpy as np
import pytest
from helpers import Tags, assert_close
from hostile import HOSTILE
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.data.cautions import cautions
from labkit.errors import LabError, RangeProblem
from labkit.heat.lag import temperature_after
from labkit.heat.schedule import schedule, usual_schedule
from labkit.units import Q, number


def test_sums_by_hand():
    plan = schedule(
        "to 550 °C at 5 °C/min", "hold 3 h", "cool to 250 °C at 2 °C/min", "to 100 °C in 2 h", start="25 °C"
    )
    # (550 - 25)/5 = 105 min; 180 min; 300/2 = 150 min; 120 min
    for step, minutes in zip(plan.steps, (105, 180, 150, 120), strict=True):
        assert_close(step.duration, Q(minutes, "min"), within=Q(1e-9, "min"))
    assert_close(plan.duration, Q(555, "min"), within=Q(1e-9, "min"))
    assert_close(plan.trace.time_inside("520 °C", "580 °C"), Q(6 + 180 + 15, "min"), within=Q(1e-9, "min"))
    assert_close(plan.trace.at("435 min"), Q(250, "degC"), within=Q(1e-9, "K"))
    assert [row[-1] for row in plan.lines()] == ["1:45", "4:45", "7:15", "9:15"]


@settings(max_examples=40)
@given(top=st.floats(60, 1200), end=st.floats(25, 55), tau=st.floats(2, 600))
def test_natural_cooling_is_within_a_kelvin(top, end, tau):
    plan = schedule(f"to {top:.3f} °C in 1 h", f"cool to {end:.3f} °C with {tau:.3f} min")
    trace, step = plan.trace, plan.steps[1]
    passed = np.linspace(0, number(step.duration, "min"), 500)
    exact = temperature_after(Q(passed, "min"), step.start, "20 °C", step.time_constant)
    assert_close(trace.at(Q(np.minimum(60 + passed, trace.minutes[-1]), "min")), exact, within=Q(1, "K"))


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(st.integers(30, 1200), st.sampled_from(["at 5 °C/min", "in 2 h", "at 300 K/h"]), st.booleans()),
        min_size=1,
        max_size=8,
    )
)
def test_the_trace_and_the_steps_agree(parts):
    steps, at = [], 20
    for target, how, hold in parts:
        if target != at:
            steps.append(f"to {target} °C {how}")
            at = target
        steps += ["hold 20 min"] if hold else []
    if not steps:
        return
    plan = schedule(*steps)
    assert_close(plan.trace.duration, plan.duration, relative=1e-9)
    assert number(plan.trace.peak[0], "degC") == max(number(step.end, "degC") for step in plan.steps)
    for before, after in zip(plan.steps, plan.steps[1:]):
        assert before.end == after.start
    assert len(plan.lines()) == len(steps)


def test_words_may_be_spelled_in_several_ways():
    first = schedule("to 550 °C at 5 °C/min", "hold 3 h", "cool to 60 °C in 4 h")
    second = schedule("Heat to 550 degC at 300 K/h", "hold for 180 min", "to 60 °C IN 240 min")
    for one, two in zip(first.steps, second.steps, strict=True):
        assert_close(one.duration, two.duration, relative=1e-12)


def test_the_usual_schedule_is_as_its_tables_say():
    plan = usual_schedule()
    assert number(plan.trace.peak[0], "degC") == 550
    assert 2 <= number(plan.trace.time_inside("549 °C", "551 °C"), "h") <= 4.1
    assert number(usual_schedule(hold="90 min", rate="120 °C/h").steps[1].duration, "h") == 1.5


def test_the_page_shows_the_cautions_and_no_markup_of_its_own():
    plan = schedule("to 550 °C at 5 °C/min")
    assert "Cautions" in str(plan) and "extraction" in plan._repr_html_()
    assert plan.cautions() == cautions("firing", "kiln") and "never left alone" in str(plan)
    assert Tags(plan._repr_html_()).tags <= {"table", "tr", "th", "td", "p", "div"}


@pytest.mark.parametrize("step, words", [
    ("to 550 °C", "can't be understood"), ("550 °C", "can't be understood"), ("", "can't be understood"), ("to 550 °C at 5 °C/min in 2 h", "can't be understood"),
    ("to 550 °C at 5 min", "Step 2"), ("to 550 in 2 h", "Step 2"), ("hold", "Step 2"), ("hold 3", "Step 2"), ("hold -3 h", "from a second"), ("hold 3 kg", "Step 2"),
    ("to 300 °C in 2 h", "already"), ("cool to 400 °C at 2 °C/min", "would heat"), ("heat to 200 °C at 2 °C/min", "would cool"), ("cool to 20 °C with 80 min", "never gets"),
    ("to 400 °C with 80 min", "natural cooling"), ("to 400 °C at 0 °C/min", "more than zero"), ("to 400 °C at -2 °C/min", "more than zero"), ("to 4000 °C in 2 h", "bench kiln"),
    ("to 400 °C at 1e-30 °C/min", "60 days"), ("hold 99 yr", "60 days"), ("to 400 °C at 1e30 °C/min", "from a second"), ("cool to 60 °C with -5 min", "more than zero"),
    (None, "Step 2"), (5, "Step 2"), ("hold 3 h" + " " * 80, "Step 2"),
])  # fmt: skip
def test_a_step_that_cannot_be_is_named(step, words):
    with pytest.raises(LabError, match=words) as problem:
        schedule("to 300 °C in 1 h", step)
    assert "Step 2" in str(problem.value)


def test_too_much_is_refused():
    for steps in ([], ["hold 1 h"] * 101, ["hold 50 days"] * 2):
        with pytest.raises(LabError):
            schedule(*steps)


def test_hostile_text_is_refused():
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        for step in (
            text,
            f"hold {text}",
            f"to {text} in 2 h",
            f"to 550 °C in {text}",
            f"to 550 °C at {text}",
            f"cool to 10 °C with {text}",
        ):
            with pytest.raises(LabError):
                schedule(step)
        for arguments in ({"start": text}, {"ambient": text}):
            with pytest.raises(LabError):
                schedule("hold 1 h", **arguments)
        with pytest.raises(LabError):
            usual_schedule(rate=text)


def test_ramp_to_is_understood_both_ways():
    up, down = schedule("ramp to 550 °C at 5 °C/min", "ramp to 200 °C in 2 h").steps
    assert up.kind == down.kind == "ramp"
    assert (number(up.duration, "min"), number(down.duration, "min")) == (pytest.approx(530 / 5), pytest.approx(120))


def test_a_spread_is_refused_and_not_dropped():
    for call in (lambda: schedule("to 550 ± 5 °C at 5 °C/min"), lambda: schedule("hold 3 ± 0.5 h"), lambda: schedule("to 550 °C at 5 ± 1 °C/min"),
                 lambda: schedule("hold 3 h", start="550 ± 5 °C"), lambda: schedule("hold 3 h", ambient="20 ± 5 °C"), lambda: usual_schedule(rate="5 ± 1 °C/min")):  # fmt: skip
        with pytest.raises(RangeProblem, match="without ±"):
            call()


def test_natural_cooling_has_as_many_lines_as_it_needs():
    # A line leaves the curve by up to 1/8 of the square of its length over the time constant, times the distance: near the
    # start, where that is 0.5 K, 122 lines are needed from 1200 to 21 °C, each 1.7 % shorter than with one fewer.
    plan = schedule("cool to 21 °C with 80 min", start="1200 °C")
    minutes = np.linspace(0, plan.trace.minutes[1], 201)
    exact = 20 + 1180 * np.exp(-minutes / 80)
    most = np.abs(np.interp(minutes, plan.trace.minutes, plan.trace.celsius) - exact).max()
    assert 0.470 < most < 0.5
