"""The panel that builds a schedule, against sums done without labkit, and against whatever is typed into it."""

import re
from math import log

import pytest
from helpers import Tags, assert_close
from hostile import HOSTILE

from labkit.errors import LabError, ReadingProblem
from labkit.heat.energy import tariff
from labkit.panels.firing import START, firing_answer, firing_panel, read_schedule
from labkit.units import as_range

TYPED = ("steps", "power", "duty", "time_constant", "ceiling", "price")


def answer(steps=START, covered=True, power="1.5 kW", basis="duty", duty="40 %", lag="70 min", ceiling="800 °C",
           price="0.30 €/kWh"):  # fmt: skip
    return firing_answer(
        read_schedule(steps),
        covered,
        as_range(power, "[power]"),
        basis,
        as_range(duty, "[]"),
        as_range(lag, "[time]"),
        as_range(ceiling, "[temperature]"),
        tariff(price),
    )


def number(pattern, text):
    return float(re.search(pattern, text)[1])


def test_times_energy_and_cost_by_hand():
    # Up in 530/3 min, three hours of hold, then off with 75 min: 540 to 60 °C over the air of 20 °C is ln(530/40) of it.
    said = answer().sentence
    cooling = 75 * log(530 / 40)
    in_all = re.match(r"(\d+) h (\d+) min in all", said)
    assert_close(60 * int(in_all[1]) + int(in_all[2]), 530 / 3 + 180 + cooling, within=0.5)
    # From 520 °C at 3 °C/min, the hold, and the fall from 550 to 520 °C.
    inside = re.search(r"It is (\d+) h (\d+) min inside 520", said)
    assert_close(60 * int(inside[1]) + int(inside[2]), 10 + 180 + 75 * log(530 / 500), within=0.5)
    # On for 40 % of the time in which it may be on at all, which natural cooling is not.
    energy = 1.5 * (530 / 3 + 180) / 60 * 0.4
    assert_close(number(r"It takes ([\d.]+) kWh", said), energy, relative=0.005)
    assert_close(number(r"costs ([\d.]+) €", said), energy * 0.30, relative=0.005)


def test_the_lag_takes_what_leaks_and_what_is_stored():
    # On while it rises: (T - air + tau rate) over (ceiling - air), a straight line, so its mean counts; then the hold.
    rise = (0 + 530) / 2 + 70 * 3
    energy = 1.5 / 60 * (rise / 780 * 530 / 3 + 530 / 780 * 180)
    assert_close(number(r"It takes ([\d.]+) kWh", answer(basis="kiln").sentence), energy, relative=0.005)


def test_a_ramp_that_is_too_fast_for_the_kiln_is_told_and_the_picture_stays():
    found = answer("to 550 °C at 9 °C/min", basis="kiln")
    # At 550 °C it does (800 - 550)/70 °C/min at most.
    assert "No energy is given" in found.sentence and f"at most {250 / 70:.2g} °C/min" in found.sentence
    assert found.svg.startswith("<svg ")
    assert "It takes" in answer("to 550 °C at 9 °C/min", basis="duty").sentence


@pytest.mark.parametrize("steps, first", [
    ("to 720 °C at 5 °C/min\nhold 1 h", "Too hot: it is"), ("to 480 °C in 3 h", "Too cool: it peaks at 480 °C"),
    ("to 550 °C in 3 h\nhold 20 min", "Too short: it is"), ("to 640 °C in 3 h", "above 600 °C, where the powder is being lost"),
])  # fmt: skip
def test_what_matters_most_stands_first(steps, first):
    said = answer(steps).sentence
    assert first in said.split(" in all. ")[1][:70]
    assert said.index(first) < said.index("It takes")


def test_the_lid_decides_what_is_said():
    on, off = answer(covered=True), answer(covered=False)
    shown = [" ".join(" ".join(row) for row in found.table) for found in (on, off)]
    assert "must lie loose" in shown[0] and "10.3390/ma14206190" not in shown[0]
    assert "10.3390/ma14206190" in shown[1]
    # Open, 150/3 min from 400 to 550 °C, the hold, and off with 75 min down to 400 °C again.
    above = round(150 / 3 + 180 + 75 * log(530 / 380))
    assert f"Open, it is {above // 60} h {above % 60} min above 400 °C: a small open sample" in off.sentence
    assert "Open" not in on.sentence
    assert "lost if open" not in on.svg and "lost if open" in off.svg


def test_the_table_says_when_a_stage_is_entered_and_where_it_was_seen():
    rows = dict(answer().table)
    minutes = number(r"after ([\d.]+) min", rows["ammonia and isocyanic acid come off, 152 °C"])
    assert_close(minutes, (152 - 20) / 3, within=0.5)
    assert "seen open" in rows["ammonia and isocyanic acid come off, 152 °C"]
    assert rows["loss of powder grows, 600 °C"] == "not reached (from memory)"
    assert "no published rate constants" in rows["yield"]
    assert rows["hold 3 h"].startswith("3 h, done after 5 h 57 min")


def test_the_cautions_stay_with_it():
    for words in ("Never seal the crucible", "leads outside", "microwave", "never left alone", "licensed"):
        assert words in answer().caution


def test_there_is_an_answer_for_all_controls():
    panel = firing_panel()
    texts = {
        "steps": (START, "to 1100 °C in 30 min", "hold 2 h", "to 550 °C in 20 d\nhold 30 d", "cool to -10 °C at 1 °C/min"),
        "power": ("1 W", "1.2 to 1.6 kW", "400 kW"), "duty": ("0", "100 %", "20 % to 60 %, likely 50 %"),
        "time_constant": ("1 s", "60 to 100 min", "9 d"), "ceiling": ("0 °C", "300 °C", "780 to 820 °C", "1800 °F"),
        "price": ("0.25 to 0.35 €/kWh", "12 kr per 100 kWh", "90 Ft/kWh", "150 $/MWh"),
    }  # fmt: skip
    for basis, lid in zip(panel.controls["basis"].box.options, panel.controls["covered"].box.options, strict=True):
        panel.controls["basis"].box.value, panel.controls["covered"].box.value = basis, lid
        for name, choices in texts.items():
            before = panel.controls[name].box.value
            for text in choices:
                panel.controls[name].box.value = text
                assert panel.trouble is None, (name, text)
                assert not panel.controls[name].note, (name, text)
                assert panel.parts["picture"].value.startswith("<svg ")
                assert " in all. " in panel.sentence
            panel.controls[name].box.value = before


def test_a_slip_in_a_step_is_named_and_the_last_good_one_stays():
    panel = firing_panel()
    before = panel.sentence
    panel.controls["steps"].box.value = START.replace("hold", "hod")
    assert "Step 2" in panel.controls["steps"].message.value
    assert panel.sentence == before and panel.trouble is None
    with pytest.raises(ReadingProblem, match="needs a step"):
        read_schedule(" \n ")


@pytest.mark.parametrize("name", TYPED)
def test_no_text_breaks_it(name):
    texts = [text for text in HOSTILE if len(text) < 2000][TYPED.index(name) :: len(TYPED)]
    assert len(texts) > 40
    panel = firing_panel()
    for text in [*texts, f"{START}\n<script>alert(1)</script>", "0.3 <img/kWh", "1e300 kW", "to 1e9 °C in 1 h"]:
        panel.controls[name].box.value = text
        assert panel.trouble is None, text
        shown = [
            panel.controls[name].message.value,
            *(part.value for key, part in panel.parts.items() if key != "picture"),
        ]
        assert not {"script", "img", "iframe", "svg"} & Tags(*shown).tags, text


def test_reading_raises_kindly_or_reads():
    for text in HOSTILE:
        try:
            read_schedule(text)
        except LabError as problem:
            assert str(problem)


@pytest.mark.parametrize("top", [610, 680, 720])
def test_an_overheated_schedule_names_600_degrees_and_the_poison(top):
    said = answer(f"to {top} °C at 5 °C/min\nhold 1 h").sentence
    assert "600 °C" in said and "hydrogen cyanide" in said


@pytest.mark.parametrize("ceiling, first", [
    ("500 to 520 °C", "This kiln never gets to 550 °C: its ceiling is 500 to 520 °C."), ("540 °C", "This kiln never gets to 550 °C: its ceiling is 540 °C."),
    ("520 to 570 °C", "This kiln may never get to 550 °C: its ceiling is 520 to 570 °C."),
    ("600 °C", "The ramp is faster than the kiln can: "), ("740 to 900 °C", "At an end of your ranges: the ramp is faster"),
])  # fmt: skip
def test_a_schedule_that_the_kiln_cannot_follow_says_so_first(ceiling, first):
    # At 550 °C and with 70 min, 3 °C/min ask for a ceiling of 760 °C.
    said = answer(basis="kiln", ceiling=ceiling).sentence
    assert (
        said.startswith(first)
        and "As written, the schedule does this: " in said
        and said.endswith("No energy is given.")
    )
    assert said.index("No energy") > said.index(" in all. ") and "kWh" not in said


def test_typing_a_share_or_a_lag_takes_the_energy_from_it():
    panel = firing_panel()
    basis, lag = panel.controls["basis"], panel.controls["time_constant"]
    by_share = panel.sentence
    lag.box.value = "72 min"
    assert basis.value == "kiln" and panel.sentence != by_share
    panel.controls["duty"].box.value = "40 %"
    assert basis.value == "duty" and "costs" in panel.sentence
    lag.box.value = "nonsense"
    assert basis.value == "kiln" and "last good value" in lag.note
    basis.box.value = basis.box.options[0]
    assert "last good value" not in lag.note and "not used" in lag.note


def test_one_word_and_one_way_of_times():
    found = answer(duty="20 % to 60 %, likely 50 %")
    assert found.sentence.endswith("; the widest guess is the share of the time it is on.")
    shown = (
        found.sentence
        + " ".join(" ".join(row) for row in found.table)
        + re.search('aria-label="([^"]*)"', found.svg)[1]
    )
    assert "duty" not in shown and "(h:min)" not in shown
    assert not re.search(r"\d\.\d+ h\b|\d:\d\d", shown)
    assert {"2 h 57 min, done after 2 h 57 min", "3 h, done after 5 h 57 min"} <= {row[1] for row in found.table}


def test_a_share_of_nothing_is_no_bargain():
    assert answer(duty="0 %").sentence.endswith("A kiln that is on for 0 % of the time takes nothing, and stays cold.")
