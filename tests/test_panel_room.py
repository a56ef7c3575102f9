"""The panel of workbook 03 against a sum done by hand, and the safe side of that workbook's exercises."""

import math
import re
from itertools import product

import pytest
from helpers import Tags, assert_close
from hostile import HOSTILE

from labkit.air.guessed import room_ranges
from labkit.air.release import firing_release
from labkit.data import guess
from labkit.errors import RangeProblem
from labkit.exercises.room_air import EXERCISES
from labkit.panels.room import ROOMS, room_answer, room_panel
from labkit.units import as_range, number, read
from labkit.units.rounding import rounded, rounded_down, rounded_up

MOLAR = 8.314462618 * 298.15 / 101325  # m³/mol at 25 °C and 1 atm
UREA = 60.055  # g/mol; all its nitrogen as ammonia is two molecules
NO_FIGURE = "isocyanic acid (HNCO) has no safe figure"


def answer(mass="12 g", precursor="urea", at_once=False, over="2 h", volume="30 m³", ventilation=None,
           air_changes="0.8 /h", mixing_factor="1", opening="0.3 m²", face_velocity="0.5 m/s"):  # fmt: skip
    return room_answer(
        precursor, read(mass), at_once, read(over), as_range(volume, "[volume]"), ventilation,
        as_range(air_changes, "[rate]"), as_range(mixing_factor, "[]"), read(opening), read(face_velocity),
    )  # fmt: skip


def rows(said):
    return {row[0]: row[1:] for row in said.table}


def peak_ppm(grams, hours, changes, volume):
    rate = 2 * grams / UREA / hours
    return rate * MOLAR / (changes * volume) * -math.expm1(-changes * hours) * 1e6


def assert_rounded_up(text, exact, unit="ppm"):
    """Two figures, never lower than the exact one and at most a tenth higher."""
    if text in ("never over it", "under it already"):
        assert exact == 0
        return
    shown = read(text).m_as(unit)
    assert exact <= shown * (1 + 1e-9) and shown <= 1.1 * exact, (text, exact)


@pytest.mark.parametrize("grams, hours, changes, volume", [(12, 2, 0.8, 30), (5, 1.5, 4, 60), (100, 2, 0.77, 30)])
def test_peak_means_and_times_by_hand(grams, hours, changes, volume):
    said = answer(f"{grams} g", over=f"{hours} h", air_changes=f"{changes} /h", volume=f"{volume} m³")
    peak = peak_ppm(grams, hours, changes, volume)
    found = rows(said)
    assert_rounded_up(re.search(r"may reach ([\d.]+ ppm)", said.sentence)[1], peak)
    for text in found["peak"]:
        assert_rounded_up(text, peak)
    assert_rounded_up(
        found["back under 20 ppm, after the last of the gas"][1], max(0, math.log(peak / 20) / changes), "h"
    )
    # Highest mean over 8 h is that from the start: all gas in, less what is still there, over the air of 8 h.
    left = peak * math.exp(-changes * (8 - hours))
    entered = 2 * grams / UREA * MOLAR / volume * 1e6
    assert_rounded_up(found["highest mean over 8 h"][1], (entered - left) / changes / 8)


def test_over_and_under_follow_the_averaged_figures():
    found = rows(answer("2 g", air_changes="0.5 /h", volume="30 m³", over="1 h"))
    # 42.7 ppm at most, some 13 ppm over 8 h: over the 15 min limits of 35 and 50 ppm, under those for 8 h
    assert_close(peak_ppm(2, 1, 0.5, 30), 42.7, within=0.05)
    assert found["35 ppm: NIOSH STEL of 1994, 15 min"] == ("over",) * 3
    assert found["50 ppm: EU IOELV of 2000, 15 min, from memory"] == ("under",) * 3
    assert found["25 ppm: NIOSH REL of 1994, up to 10 h"] == ("under",) * 3
    assert found["300 ppm: NIOSH IDLH of 1994, escape"] == ("under",) * 3


def test_a_full_crucible_in_a_garage_is_refused_in_so_many_words():
    for ventilation in ROOMS.values():
        said = answer("100 g", ventilation=ventilation, mixing_factor="1 to 10, likely 3")
        assert "general ventilation can't carry this" in said.sentence and NO_FIGURE in said.sentence
        assert said.sentence.endswith("Fire outdoors or under extraction that leads outside.")


def test_under_every_limit_is_still_no_leave_to_fire():
    said = answer("0.2 g", air_changes="12 /h", volume="90 m³")
    assert {word for name, cells in rows(said).items() if " ppm: " in name for word in cells} == {"under"}
    assert "HNCO still has no safe figure: extraction" in said.sentence and "Fire outdoors" in said.sentence
    assert "Isocyanic acid (HNCO): no safe figure" in rows(said)
    assert "safe " not in said.sentence.replace("safe figure", "")


def test_the_extraction_by_hand_and_its_speed():
    found = rows(answer("100 g", opening="0.6 m²", face_velocity="0.5 m/s"))
    assert found["air it draws, rounded down"][-1] in ("1000 m³/h", "1080 m³/h")  # 0.6 m² · 0.5 m/s · 3600 s/h
    exact = 2 * 100 / UREA / 2 * MOLAR / 1080 * 1e6
    assert_rounded_up(found["ammonia (NH₃) in its outlet, all taken in"][-1], exact)
    # 60 to 125 ft/min (copies of ANSI Z9.5 and others), which is 0.305 to 0.635 m/s
    for speed, word in (
        ("0.2 m/s", "too slow"),
        ("0.35 m/s", "at the low end of usual"),
        ("0.5 m/s", "a usual speed"),
        ("0.8 m/s", "too fast"),
    ):
        assert any(word in name for name in rows(answer(face_velocity=speed))), speed
    assert rows(answer(at_once=True))["ammonia (NH₃) in its outlet, all taken in"][-1] == "one puff"


@pytest.mark.parametrize("name", [name for name in ROOMS.values() if name])
def test_its_figures_are_those_of_the_library_for_a_guessed_room(name):
    found = rows(answer("12 g", ventilation=name, volume="25 to 40 m³", mixing_factor="1 to 10, likely 3"))
    ranges = room_ranges(firing_release("12 g", share="at most"), "25 to 40 m³", guess("air_changes", name))
    for text, exact in zip(found["peak"], ranges.peak.ends):
        assert_rounded_up(text, exact.m_as("ppm"))
    for text, exact in zip(found["time at or over 20 ppm"], ranges.time_over.ends):
        assert_rounded_up(text, exact.m_as("h"), "h")


def test_it_names_the_guess_that_moves_the_peak_most():
    assert "by the mixing" in answer(mixing_factor="1 to 10, likely 3").sentence
    assert "by the air changes" in answer(air_changes="0.1 /h to 8 /h, likely 1 /h").sentence
    assert "by the volume of the room" in answer(volume="10 to 90 m³, likely 30 m³").sentence
    assert "spread" not in answer().sentence


def test_sulfur_dioxide_comes_first_for_thiourea_and_the_others_follow():
    said = answer("12 g", precursor="thiourea")
    heads = [name for name in rows(said) if "in mixed air" in name]
    assert "Sulfur dioxide (SO₂)" in said.sentence and heads[0].startswith("Sulfur dioxide")
    assert {head.split(" in mixed")[0] for head in heads} == {
        "Ammonia (NH₃)",
        "Carbon disulfide (CS₂)",
        "Hydrogen cyanide (HCN)",
        "Sulfur dioxide (SO₂)",
    }
    assert "Thiourea" in said.caution and any(name.startswith("Carbonyl sulfide (COS)") for name in rows(said))
    assert any(name.startswith("Hydrogen cyanide (HCN): may come if it is overheated") for name in rows(answer()))


def test_perfect_mixing_and_the_hold_are_said():
    assert any("perfectly mixed: times can be ten times as long, or longer" in name for name in rows(answer()))
    assert not any("perfectly" in name for name in rows(answer(mixing_factor="1 to 10, likely 3")))
    assert any("no time here says when to go back in" in name for name in rows(answer()))


def test_ammonia_that_could_burn_is_said_first():
    # 1 kg in 2 m³: 41 % of the air, beside a lower fire limit of 15 %
    said = answer("1 kg", volume="2 m³", air_changes="0 /h")
    assert "Fire: 41 %" in said.sentence and "15 %" in said.sentence and "Fire:" not in answer().sentence


def test_cautions_of_firing_and_of_the_room_stand_with_it():
    said = answer()
    assert "Never seal the crucible" in said.caution and "out at once" in said.caution


@pytest.mark.parametrize("change, words", [
    ({"mass": "20 kg"}, "10 kg"), ({"volume": "1 L"}, "10 000 m³"), ({"over": "3 day"}, "48 h"),
    ({"mixing_factor": "0.5"}, "perfect mixing"), ({"air_changes": "100 /h"}, "60 /h"), ({"opening": "1 mm²"}, "10 cm²"),
    ({"mass": "12 ± 1 g"}, "without ±"), ({"opening": "0.3 ± 0.1 m²"}, "without ±"),
])  # fmt: skip
def test_what_no_room_is_like_is_refused_kindly(change, words):
    with pytest.raises(RangeProblem, match=re.escape(words)):
        answer(**change)


def test_no_setting_of_the_controls_is_in_trouble():
    panel = room_panel()
    controls = panel.controls
    choices = [controls[name].box for name in ("precursor", "at_once", "ventilation")]
    for setting in product(*(box.options for box in choices)):
        for box, option in zip(choices, setting):
            box.value = option
        assert panel.trouble is None and NO_FIGURE in panel.sentence, setting
    settings = {"precursor_mass": ("10 mg", "10 kg"), "over": ("1 min", "48 h"), "volume": ("2 m³", "30 ± 5 m³", "10000 m³"),
                "air_changes": ("0 /h", "0 /h to 60 /h"), "mixing_factor": ("1", "1 to 100"), "opening": ("10 cm²", "20 m²")}  # fmt: skip
    for at_once, ventilation in product(controls["at_once"].box.options, ("typed below", "closed garage")):
        controls["at_once"].box.value, controls["ventilation"].box.value = at_once, ventilation
        for name, texts in settings.items():
            for text in texts:
                controls[name].box.value = text
                assert panel.trouble is None and NO_FIGURE in panel.sentence, (name, text)
                assert panel.parts["picture"].value.startswith("<svg ") and "last good" not in controls[name].note
    for twentieths in range(1, 31):
        controls["face_velocity"].slider.value = twentieths / 20
        assert panel.trouble is None and "labkit-good" in panel.parts["said"].value


def test_typed_air_changes_are_used_and_a_slip_in_them_is_told_truly():
    panel = room_panel()
    ventilation, changes = panel.controls["ventilation"], panel.controls["air_changes"]
    garage = panel.sentence
    assert "Not used: “Air changes” says “closed garage”." in changes.message.value and not changes.note
    changes.box.value = "0 /h"
    assert ventilation.box.value == "typed below" and panel.sentence != garage
    # 12 g of urea in 34 m³ that is shut: all of its ammonia stays
    assert_rounded_up(re.search(r"may reach ([\d.]+ ppm)", panel.sentence)[1], 2 * 12 / UREA * MOLAR / 34 * 1e6)
    changes.box.value = "70 /h"
    assert "can be 60 /h at most" in changes.message.value and changes.value.high.m_as("1/h") == 0
    assert changes.note == "Showing the last good value of Air changes, if typed, 0 /h."
    ventilation.box.value = "closed garage"
    assert panel.sentence == garage and changes.note.endswith("is not used: “Air changes” says “closed garage”.")


def test_a_time_typed_beside_the_worst_case_does_not_make_it_milder():
    panel = room_panel()
    timing, over = panel.controls["at_once"], panel.controls["over"]
    timing.box.value = "all at once, the worst"
    worst = panel.sentence
    over.box.value = "9 h"
    assert timing.box.value == "all at once, the worst" and panel.sentence == worst
    assert "Time over which it comes is not used" in Tags(panel.parts["said"].value).text
    timing.box.value = "evenly over the time below"
    assert "its gas over 9.00 h" in panel.sentence and not over.note


@pytest.mark.parametrize("name, text, told", [
    ("precursor_mass", "20 kg", "can be 10 kg at most"), ("precursor_mass", "1 mg", "has to be 0.01 g at least"), ("over", "3 day", "can be 48 h at most"),
    ("over", "20 s", "has to be 1 min at least"), ("volume", "1 L", "has to be 2 m³ at least"), ("volume", "30 to 20000 m³", "can be 10000 m³ at most"),
    ("air_changes", "70 /h", "can be 60 /h at most"), ("air_changes", "-1 /h", "has to be zero or more, but it is -1 /h"), ("mixing_factor", "0.5", "has to be 1 at least"),
    ("mixing_factor", "500", "can be 100 at most"), ("opening", "1 mm²", "has to be 10 cm² at least"), ("opening", "25 m²", "can be 20 m² at most"),
    ("opening", "70 cm x 45 cm", "type the product, 3150 cm²"), ("volume", "50", "type for instance 34 m³"), ("mixing_factor", "10 to 1", "Type 1 to 10."),
    ("air_changes", "1 to", "Type a range as 0.5 /h to 2 /h, likely 1 /h."),
])  # fmt: skip
def test_a_box_refuses_what_the_panel_would(name, text, told):
    panel = room_panel()
    before, control = panel.sentence, panel.controls[name]
    control.box.value = text
    assert told in Tags(control.message.value).text.replace("\u00a0", " ") and control.good_text == control.start
    if name != "air_changes":  # typing there chooses them
        assert panel.sentence == before
    assert "labkit-good" in panel.parts["said"].value


def test_hydrogen_cyanide_of_thiourea_is_said_first_of_all_to_be_deadly():
    said = answer("12 g", precursor="thiourea").sentence
    # CN2H4S at 76.12 g/mol: one HCN from each molecule at most, in 30 m³ with 0.8 changes for 2 h; deadly from 4.5 ppm on (Ontario ceiling)
    rate = 12 / 76.12 / 2
    peak = rate * MOLAR / (0.8 * 30) * -math.expm1(-1.6) * 1e6
    assert_rounded_up(re.search(r"Hydrogen cyanide \(HCN\) may reach ([\d.]+ ppm): deadly\.", said)[1], peak)
    assert re.search(
        r"\(HCN\) may reach [\d.]+ to [\d.]+ ppm: deadly\.",
        answer("12 g", precursor="thiourea", mixing_factor="1 to 10, likely 3").sentence,
    )
    little = answer("20 mg", precursor="thiourea").sentence
    assert "deadly" not in little and re.search(r"\(HCN\) may reach [\d.]+ ppm, beside a limit of 4\.5 ppm\.", little)
    assert "HCN" not in answer().sentence.split("HNCO")[0]


def test_a_shut_room_never_clears():
    found = rows(answer(air_changes="0 /h"))
    assert set(found["time at or over 20 ppm"]) == {"for good"}
    assert set(found["back under 20 ppm, after the last of the gas"]) == {"never: this room does not clear"}
    assert_rounded_up(found["peak"][0], 2 * 12 / UREA * MOLAR / 30 * 1e6)


def test_words_never_get_past_the_boxes():
    panel = room_panel()
    texts = HOSTILE[::4]  # all boxes share one reader, which the tests of the units try with every text
    assert len(texts) > 100
    typed = [control for control in panel.controls.values() if hasattr(control, "message")]
    refused = 0
    for text in texts:
        for control in typed:
            control.box.value = text
            refused += "Still using" in control.message.value
            assert panel.trouble is None
            assert not any("<script" in part.value or "onerror" in part.value for part in panel.parts.values())
    assert refused > len(texts)


def test_the_page_holds_our_markup_only():
    panel = room_panel()
    for name, part in panel.parts.items():
        if name != "picture":
            assert Tags(part.value).tags <= {"div", "small", "table", "tr", "th", "td", "br", "b"}
    assert panel.parts["picture"].value.startswith('<svg role="img" aria-label="Ammonia')


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda exercise: exercise.key)
def test_where_a_question_says_how_to_round_the_worked_answer_goes_that_way(exercise):
    right = exercise.right()
    size = number(right, right.units)
    for words, way in (("Round up", rounded_up), ("Round down", rounded_down)):
        if words in exercise.question:
            assert rounded(f"{size:.12g}", exercise.figures) == way(size, exercise.figures)


def test_most_exercises_say_how_to_round():
    assert sum("Round" in exercise.question for exercise in EXERCISES) >= 8
