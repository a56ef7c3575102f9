"""The stages of urea: sources, times on the way up, and what is said of a course."""

import numpy as np
import pytest
from chemicals import Tm
from helpers import assert_close
from hostile import HOSTILE

from labkit.data import citation
from labkit.errors import LabError
from labkit.heat.kiln import Kiln, course
from labkit.heat.logfile import read_log
from labkit.heat.schedule import schedule
from labkit.heat.stages import heat_remarks, stage_times, stages
from labkit.heat.trace import Trace
from labkit.units import Q, number

PLAN = schedule("to 550 °C at 5 °C/min", "hold 3 h", "cool to 50 °C at 5 °C/min", start="50 °C")


def test_stages_rise_and_have_sources():
    found = stages()
    starts = [number(stage.starts, "degC") for stage in found]
    assert len(found) > 8 and all(stage.source and stage.kind for stage in found)
    assert starts[:4] == sorted(starts[:4]) and all(stage.ends is None or stage.ends > stage.starts for stage in found)
    assert {stage.kind for stage in found} == {"published", "from memory"}
    # CAS Common Chemistry as another package ships it; others print 132.4 to 133.4 °C
    assert_close(found[0].starts, Q(Tm("57-13-6", method="COMMON_CHEMISTRY"), "K").to("degC"), within=Q(0.1, "K"))


def test_times_by_hand():
    times = {one.stage.name: one for one in stage_times(PLAN)}
    # from 50 °C at 5 K/min: 152 °C after 20.4 min, and as long again at the end
    gas = times["ammonia and isocyanic acid come off"]
    assert_close(gas.entered, Q(20.4, "min"), within=Q(1e-9, "min"))
    assert_close(gas.inside, PLAN.duration - Q(40.8, "min"), within=Q(1e-6, "min"))
    fast = times["cyanuric acid and ammelide form fast"]  # 190 to 250 °C, twice 12 min
    assert_close(fast.inside, Q(24, "min"), within=Q(1e-9, "min"))
    assert times["powder decomposes"].entered is None and times["powder decomposes"].inside.magnitude == 0
    assert "not reached" in str(times["powder decomposes"])


def test_a_rise_in_a_gap_is_known_only_from_its_end():
    log = Trace([0, 10, 100, 110], [20, 30, 300, 310], counted=[True, False, True])
    assert stage_times(log)[0].entered == Q(100, "min")
    assert any("gaps" in remark for remark in heat_remarks(log))


@pytest.mark.parametrize("steps, covered, words", [
    (("to 450 °C at 5 °C/min", "hold 2 h"), True, "Too cool"), (("to 550 °C at 5 °C/min", "hold 30 min"), True, "Too short"), (("to 550 °C at 5 °C/min", "hold 3 h"), True, "loose"),
    (("to 550 °C at 5 °C/min", "hold 3 h"), False, "Zhu"), (("to 720 °C at 5 °C/min", "hold 1 h"), True, "Too hot"), (("to 720 °C at 5 °C/min", "hold 1 h"), True, "Hang"),
    (("to 650 °C at 5 °C/min", "hold 1 h"), True, "from memory"), (("to 550 °C at 5 °C/min", "hold 9 h"), True, "longer than that"), (("to 200 °C at 5 °C/min",), True, "extraction"),
    (("to 550 °C at 5 °C/min", "hold 3 h"), True, "extraction"),
])  # fmt: skip
def test_remarks(steps, covered, words):
    remarks = heat_remarks(schedule(*steps), covered)
    assert words in " ".join(remarks)
    assert "No yield is computed" in remarks[-1]


def test_a_good_firing_is_not_scolded():
    text = " ".join(heat_remarks(PLAN))
    assert not any(word in text for word in ("Too", "lost", "Open", "longer than that"))


def test_whatever_carries_a_trace_will_do():
    run = course(Kiln("80 min", "900 °C"), [("2 h", True), ("2 h", False)])
    assert stage_times(run)[0].entered is not None
    assert stage_times(run.trace())[0].entered == stage_times(run)[0].entered
    for text in (*HOSTILE, None, 5, [20, 550]):
        for function in (stage_times, heat_remarks):
            with pytest.raises(LabError):
                function(text)


def test_a_course_above_the_window_is_not_called_too_short():
    for steps, hours in (("to 610 °C at 5 °C/min", "hold 9 h"), ("to 720 °C at 5 °C/min", "hold 2 h")):
        said = heat_remarks(schedule(steps, hours))[0]
        assert said.startswith("Above the window"), said
    assert heat_remarks(schedule("to 550 °C at 5 °C/min", "hold 40 min"))[0].startswith("Too short")


def test_gas_is_told_of_from_the_lower_of_the_published_temperatures():
    # Jones and Rollinson 2013: from about 133 °C; Schaber et al. 2004: from 152 °C.
    remark = next(remark for remark in heat_remarks(PLAN) if "extraction" in remark)
    assert (
        remark.startswith("From 133 to 250 °C") and "Rollinson" in remark and "152 °C" in remark and "Schaber" in remark
    )
    # from 133 to 250 °C at 5 K/min
    assert "it takes 23 min" in remark
    assert (
        stages()[1].starts == Q(133, "degC") and "2013" in stages()[1].source and stages()[2].starts == Q(152, "degC")
    )


def log_to(top, **told):
    return read_log(
        "min;°C\n"
        + "\n".join(
            f"{m};{c:.2f}" for m, c in enumerate(np.interp(range(400), [0, 100, 300, 399], [20, top, top, 20]))
        ),
        **told,
    )


@pytest.mark.parametrize("top, words", [(690, "Too hot, perhaps"), (592, "It may have been above 600 °C")])
def test_a_log_is_warned_as_much_earlier_as_a_probe_of_unknown_grade_may_be_wrong(top, words):
    # 2 % of 690 °C are 14 K, of 592 °C 12 K
    remarks = heat_remarks(log_to(top))
    assert any(remark.startswith(words) and "unknown grade" in remark for remark in remarks)
    assert any("hydrogen cyanide" in remark for remark in remarks)
    assert not any("perhaps" in remark or "may have been" in remark for remark in heat_remarks(log_to(top).trace))
    assert not any("may have been" in remark for remark in heat_remarks(log_to(585)))


def test_every_remark_on_overheating_stands_beside_one_on_the_poison():
    for top in (605, 650, 699, 720):
        text = " ".join(heat_remarks(schedule(f"to {top} °C at 5 °C/min", "hold 1 h")))
        assert "hydrogen cyanide" in text and "600 °C" in text


def test_where_a_number_comes_from_is_said_once():
    assert citation("firing/lost").count("melamine") == 1
    assert "from memory" in citation("iec_60584_2") and "from memory" in citation("astm_e230")


def test_time_that_is_missing_inside_but_stood_above_is_not_too_short():
    said = heat_remarks(
        schedule("to 550 °C at 20 °C/min", "hold 90 min", "to 590 °C in 2 min", "hold 80 min", "to 60 °C in 1 h")
    )[0]
    assert said.startswith("Above the window")


@pytest.mark.parametrize("hours, longer", [(4.9, False), (5.1, True)])
def test_a_quarter_more_than_the_longest_usual_hold_is_called_longer(hours, longer):
    firing = Trace([0, 60 * hours], [550, 550])  # 4 h is the longest that is usual
    assert ("longer than that" in heat_remarks(firing)[0]) == longer
