"""The firing and the room in a batch plan: by hand, by an independent solver, and hazards rounded up."""

import numpy as np
import pytest
from helpers import assert_close
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from labkit.bench import batch_plan
from labkit.bench.firing import as_schedule, heat_lines, room_lines
from labkit.errors import LabError
from labkit.units import Q, read

STEPS = ["to 550 °C at 5 °C/min", "hold 3 h", "cool to 60 °C with 80 min"]
PLAN = batch_plan("3 g", area="180 cm²", time="5 h", fraction="20 %", recovery="90 %", firing=STEPS,
                  power="2 kW", duty="40 %", price="0.30 €/kWh", room="42 m³", air_changes="0.9 /h", mixing_factor="2")  # fmt: skip


def test_times_energy_and_cost_by_hand():
    # 530 K at 5 K/min are 106 min; 3 h; from 530 K above the air to 40 K with 80 min: 80 ln(530/40) = 206.7 min.
    rise, cooling = 106, 80 * np.log(530 / 40)
    assert_close(
        PLAN.find("the whole firing").span.likely.to("min"), Q(rise + 180 + cooling, "min"), within=Q(0.01, "min")
    )
    assert PLAN.find("to 550 °C at 5 °C/min").text == "1 h 46 min"
    assert PLAN.find("hold 3 h").note == "done 4 h 46 min after the start"
    # 520 to 580 °C: 30 K of the rise, the hold, and 530 K to 500 K above the air on the way down.
    inside = 30 / 5 + 180 + 80 * np.log(530 / 500)
    # Straight lines stand for the curve of cooling, within 1 K: at 6 K/min that is 10 s.
    assert_close(PLAN.find("time in the window").span.likely.to("min"), Q(inside, "min"), within=Q(0.2, "min"))
    energy = 2 * 0.40 * (rise + 180) / 60  # kWh; nothing while it cools by itself
    assert_close(PLAN.find("energy").span.likely, Q(energy, "kWh"), relative=1e-9)
    assert_close(PLAN.find("cost").span.likely, Q(energy * 0.30), relative=1e-9)
    assert PLAN.find("cost").text == "1.14 €"


def test_the_room_by_an_independent_solver():
    # All nitrogen of the urea as ammonia, evenly while the schedule rises from 150 to 450 °C at 5 K/min: one hour.
    urea = PLAN.find("urea").span.high.to("g").magnitude
    litres = 2 * urea / 60.0553 * 24.465
    changes = 0.9 / 2
    solved = solve_ivp(lambda t, c: litres / 42e3 * 1e6 - changes * c, (0, 1), [0.0], rtol=1e-10, atol=1e-9)
    peak = PLAN.find("NH₃ at its peak").span
    assert_close(
        peak.likely, Q(float(solved.y[0, -1]), "ppm"), relative=1e-4
    )  # molar masses and volume in five figures
    clear = np.log(float(solved.y[0, -1]) / 20) / changes  # to the 20 ppm that the line names
    assert_close(PLAN.find("NH₃ back under 20 ppm").span.high, Q(clear, "h"), relative=1e-3)


def test_a_garage_cannot_carry_a_hundred_grams():
    for mass in ("100 g", "30 g"):
        lines = {line.item: line for line in room_lines(read(mass), "urea", as_schedule(None))}
        assert lines["fired in a room"].text == "general ventilation can't carry this"
        assert lines["isocyanic acid (HNCO)"].text == "no safe figure"
        assert all("safe to" not in line.text + line.note for line in lines.values())


def test_even_a_hall_never_reads_as_safe():
    lines = room_lines(read("1 g"), "urea", as_schedule(None), "9000 m³", "30 /h", "1")
    assert lines[0].text == "under the limits, and HNCO still has no safe figure: extraction"
    assert "outdoors" in lines[0].note and lines[-1].text == "no safe figure"


@settings(max_examples=40)
@given(
    grams=st.floats(0.5, 900),
    metres=st.floats(5, 500),
    changes=st.just(0.0) | st.floats(0.01, 12),
    mixing=st.floats(1, 10),
)
def test_printed_hazards_of_the_room_are_never_below_the_sum(grams, metres, changes, mixing):
    for line in room_lines(Q(grams, "g"), "urea", as_schedule(STEPS), Q(metres, "m**3"), Q(changes, "1/h"), mixing):
        if "peak" in line.item or "fresh air" in line.item:
            assert read(line.text) >= line.span.high * (1 - 1e-9), line
        if "back under" in line.item and np.isfinite(line.span.high.magnitude):
            shown = Q(0, "h") if line.text == "never over it" else read(line.text)
            assert shown >= line.span.high * (1 - 1e-9), line


def test_thiourea_is_judged_by_its_carbon_disulfide_too():
    items = [line.item for line in room_lines(read("20 g"), "thiourea", as_schedule(None))]
    for gas in ("NH₃", "CS₂", "SO₂", "HCN"):
        assert f"{gas} at its peak" in items
    assert "deadly" in room_lines(read("20 g"), "thiourea", as_schedule(None))[0].note
    assert "deadly" not in room_lines(read("20 g"), "urea", as_schedule(None))[0].note


@pytest.mark.parametrize("steps, words", [
    (["to 420 °C at 5 °C/min", "hold 3 h"], "Too cool"), (["to 550 °C at 5 °C/min", "hold 40 min"], "Too short"),
    (["to 720 °C at 5 °C/min", "hold 3 h"], "Too hot"), (["to 690 °C at 5 °C/min", "hold 3 h"], "Above the window"),
])  # fmt: skip
def test_a_firing_that_goes_wrong_is_said_first(steps, words):
    plan = batch_plan("3 g", area="180 cm²", time="5 h", firing=steps)
    assert any(remark.startswith(words) for remark in plan.remarks)
    assert not any(remark.startswith("Too") for remark in PLAN.remarks)


@pytest.mark.parametrize("wrong, words", [
    ({"firing": "to 550 °C"}, "list of steps"), ({"firing": ["sing"]}, "Step 1"), ({"firing": [3]}, "list of steps"), ({"power": "2 kWh"}, "power"),
    ({"duty": "140 %"}, "duty"), ({"price": "cheap"}, "tariff"), ({"room": "30 m"}, "a volume"), ({"air_changes": "-1 /h"}, "air changes"),
    ({"mixing_factor": "0.5"}, "mixing factor"), ({"firing": ["to 100 °C in 1 h", "hold 3 h"]}, "no firing. Type for instance firing="),
])  # fmt: skip
def test_mistakes_get_a_kind_word(wrong, words):
    with pytest.raises(LabError, match=words):
        batch_plan("3 g", area="180 cm²", time="5 h", **wrong)


def test_guesses_say_that_they_are():
    lines = {line.item: line.note for line in heat_lines(as_schedule(None), True)}
    assert "from memory" in lines["energy"] and "common practice" in lines["energy"]
    assert "2024" in lines["cost"] and "from memory" in lines["the whole firing"]


def test_heat_after_a_good_hold_is_not_passed_over():
    plan = batch_plan("3 g", area="180 cm²", time="5 h",
                      firing=["to 550 °C at 5 °C/min", "hold 3 h", "to 690 °C at 5 °C/min", "hold 3 h"])  # fmt: skip
    assert any("600 °C" in remark and "hydrogen cyanide" in remark for remark in plan.remarks)
    assert "hydrogen cyanide" in plan.find("time in the window").note


def test_the_room_is_remembered_but_never_mixed_up():
    """A panel asks for the same room at every keystroke; what is handed out twice must not be spoilt or taken for another."""
    asked = (Q(80, "g"), "urea", as_schedule(None))
    first = room_lines(*asked, "30 m³")
    first.clear()
    again, closed = room_lines(*asked, "30 m³"), room_lines(*asked, "30 m³", "0.1 /h")
    assert len(again) > 3 and room_lines(*asked, "30 m³") == again
    peaks = [next(line.span.high for line in lines if "peak" in line.item) for lines in (again, closed)]
    assert peaks[1] > peaks[0]
    assert "thiourea" in room_lines(Q(80, "g"), "thiourea", as_schedule(None), "30 m³")[0].note
