"""The panels of workbooks 01 and 09, and the practice box: right numbers, and no text can break them."""

import pytest
from helpers import Tags
from hostile import HOSTILE

from labkit.data import table
from labkit.exercises import CHAPTERS, exercises, judged
from labkit.panels import practice
from labkit.panels.batch import batch_answer, batch_panel
from labkit.panels.mass_balance import gas_table, mass_balance_panel
from labkit.units import Q, Range, certain, number_text, read, unit_text

# Script, markup and the like, cut to what a box can be expected to meet in a test of a few seconds.
SHARP = [text for text in HOSTILE if len(text) < 2000][::6]


def test_there_are_enough_hostile_texts():
    assert len(SHARP) >= 30


def boxes(panel):
    return [control for control in panel.controls.values() if hasattr(control, "good_text")]


def test_the_sentence_of_01_by_hand():
    # 72 g of urea: theory 27.91 % is 20.1 g; 20 % of that is 4.0 g; 4.4 g is 6.11 % of the urea.
    panel = mass_balance_panel()
    assert panel.trouble is None
    for words in ("20.1 g", "likely 4.0 g", "6.11 %", "plausible"):
        assert words in panel.sentence
    picture = panel.parts["picture"].value
    assert 'aria-label="' in picture and "27.9 %" in picture


def test_01_follows_its_controls():
    panel = mass_balance_panel()
    panel.controls["powder_mass"].box.value = "60 g"
    assert "impossible at all" in panel.sentence
    panel.controls["precursor"].box.value = "melamine"
    panel.controls["precursor_mass"].box.value = "100 g"
    # 100 g of melamine: 201.15 / (2 x 126.12) is 79.7 g at best, so 60 g is plausible.
    assert "79.7 g" in panel.sentence and "plausible" in panel.sentence


def test_gas_bounds_in_the_table_are_rounded_up():
    # 72 g of urea is 1.1989 mol: at most 2.398 mol NH3, 40.84 g and 58.66 L at 25 °C; HNCO 51.58 g, 29.33 L.
    rows = {row[0]: row[2] for row in gas_table(Q(72, "g"), "urea")[1:]}
    assert rows["NH₃"] == "41 g, 59 L"
    assert rows["HNCO (no safe figure here)"] == "52 g, 30 L"


def test_a_gas_outside_the_equation_is_never_called_none():
    # Schaber et al. 2004: isocyanic acid from urea above 152 °C.  Madarász & Pokol 2007: from thiourea in air
    # also HCN, COS and SO2.
    comes = {"urea": {"HNCO"}, "thiourea": {"HCN", "COS", "SO₂"}, "melamine": set(), "dicyandiamide": set()}
    for precursor, expected in comes.items():
        rows = gas_table(Q(72, "g"), precursor)[1:]
        assert len(rows) >= 3 and all(all(cells) for cells in rows)
        assert {row[0].split()[0] for row in rows if "but it comes" in row[1]} == expected
        for _, usual, most in rows:
            assert usual.startswith("not in this equation") or " g, " in usual
            assert most == "not worked out here" or " g, " in most


@pytest.mark.parametrize("precursor", ["urea", "melamine", "dicyandiamide", "thiourea"])
@pytest.mark.parametrize(
    "fired, got", [("1 mg", "1 µg"), ("3 g", "2.9 g"), ("5 kg", "30 kg"), ("72 ± 2 g", "4.4 ± 0.1 g")]
)
def test_01_has_an_answer_everywhere(precursor, fired, got):
    panel = mass_balance_panel()
    panel.controls["precursor"].box.value = precursor
    panel.controls["precursor_mass"].box.value = fired
    panel.controls["powder_mass"].box.value = got
    assert panel.trouble is None and precursor in panel.sentence
    assert not any(control.note for control in boxes(panel))


def test_09_by_hand():
    # 4 g at 0.8 % keep 3.968 g; over 90 % recovery, 20 % of theory and 27.91 % theory: 79.0 g of urea.
    panel = batch_panel()
    assert panel.trouble is None
    assert "79.0 g of urea" in panel.sentence and "almost nothing" in panel.sentence
    assert "and measure 265 mL of acetone" in panel.sentence  # 60 mL per gram of 3.968 g / 90 %
    assert "outdoors" in panel.parts["caution"].value
    # 3.968 g of 4 g are 99.2 %; at 10 % of theory and 75 % recovery 99.2 x 10/20 x 75/90, at 35 % and 98 % 189 %.
    picture = panel.parts["picture"].value
    assert "from 41 to 190 %, likely 99 %, beside a line at 100 %" in picture and "4.00 g wanted" in picture
    # One option for every row of dopants.csv and of quantum_yields.csv.
    assert len(panel.controls["salt"].box.options) == len(table("dopants"))
    assert len(panel.controls["case"].box.options) == len(table("quantum_yields"))


def test_09_without_salt_and_with_the_warning_first():
    panel = batch_panel()
    assert panel.sentence.startswith("Not in a room: general ventilation can't carry this. Fire outdoors")
    panel.controls["loading"].box.value = "0 %"
    assert panel.trouble is None and "no salt, as the loading is 0 %" in panel.sentence
    panel.controls["doped_powder"].box.value = "1 kg"
    assert "50\xa0g at most" in panel.controls["doped_powder"].message.value


def test_09_takes_a_measured_uptake():
    panel = batch_panel()
    panel.controls["uptake"].box.value = "40 to 50 %"
    assert panel.trouble is None
    # Of a nominal 0.8 % there stay 0.8 x 0.40 = 0.32 % to 0.8 x 0.50 = 0.40 %.
    assert "0.32 to 0.40 %" in panel.parts["rows"].value.replace("\N{NO-BREAK SPACE}", " ")


def test_09_answers_for_every_choice():
    panel = batch_panel()
    for name in ("precursor", "salt", "case"):
        for option in panel.controls[name].box.options:
            panel.controls[name].box.value = option
            assert panel.trouble is None, (name, option)
    answer = batch_answer(read("2 g"), "urea", Range(Q(0.1), Q(0.2), Q(0.3)), ("ZnCl2", "ethanol"), Q(1, "percent"),
                          Range(Q(0.1), Q(0.2), Q(0.3)), certain(Q(2, "kW")), read("30 m³"), read("1 dm²"), read("3 h"), "donor and platinum")  # fmt: skip
    assert "can't carry this" in answer.sentence and "kWh" in answer.sentence
    assert "ethanol" in answer.sentence and "likely" in answer.sentence


@pytest.mark.parametrize("make", [mass_balance_panel, batch_panel])
def test_no_text_breaks_a_panel(make):
    panel = make()
    controls = boxes(panel)
    assert len(controls) >= 3
    for place, control in enumerate(controls):
        # All boxes share one reader: the first box of the quicker panel meets every text, else each its share.
        texts = SHARP if place == 0 and make is mass_balance_panel else SHARP[place :: len(controls)]
        assert texts
        for text in [*texts, "1e-40 g", "1e40 g", "0 g", "-1 %", "1e30 %"]:
            control.box.value = text
            assert panel.trouble is None, (control.label, text)
            shown = control.message.value + "".join(
                part.value for name, part in panel.parts.items() if name != "picture"
            )
            assert "<script" not in shown.lower() and "<img" not in shown.lower()
            assert control.box.value == text
        control.box.value = control.good_text


@pytest.mark.parametrize("chapter", list(CHAPTERS))
def test_practice_checks_as_typed_and_keeps_what_was_typed(chapter):
    box = practice(chapter)
    first, second = exercises(chapter)[:2]
    right = first.right()
    box.box.value = typed = f"{number_text(right.magnitude, first.figures)} {unit_text(right.units)}"
    assert "Right" in box.reply.value
    box.choice.value = second.key
    assert second.key == box.exercise.key and box.box.value == ""
    box.choice.value = first.key
    assert box.box.value == typed
    box.show_working.value = True
    assert "Answer:" in box.working.value


@pytest.mark.parametrize("make", [mass_balance_panel, batch_panel])
def test_a_bare_five_for_the_fraction_leaves_the_answer_where_it_was(make):
    panel = make()
    before = {name: part.value for name, part in panel.parts.items()}
    panel.controls["fraction"].box.value = "5"
    assert "5 without a sign is 500\u00a0%. Type 5\u00a0%." in panel.controls["fraction"].message.value
    for name in ("picture", "rows", "caution"):
        assert panel.parts[name].value == before[name]
    assert "Showing the last good value" in panel.parts["said"].value


def test_a_bare_loading_leaves_the_answer_where_it_was():
    panel = batch_panel()
    sentence, rows = panel.sentence, panel.parts["rows"].value
    panel.controls["loading"].box.value = "0.6"
    assert panel.sentence == sentence and panel.parts["rows"].value == rows
    assert "without a sign" in panel.controls["loading"].message.value


@pytest.mark.parametrize("chapter", list(CHAPTERS))
def test_practice_says_which_unit_to_type_and_gives_no_answer_away(chapter):
    box = practice(chapter)
    for exercise in exercises(chapter):
        box.choice.value = exercise.key
        unit = unit_text(exercise.right().units)
        assert unit in box.box.placeholder and unit in box.box.description
        sample = box.box.placeholder.removeprefix("for instance ")
        assert sample != box.box.placeholder and not judged(exercise, sample).value_right


def test_right_and_wrong_differ_by_more_than_colour():
    box = practice("1")
    right = box.exercise.right()
    assert "✓" not in box.reply.value and "✗" not in box.reply.value
    box.box.value = f"{number_text(right.magnitude, box.exercise.figures)} {unit_text(right.units)}"
    assert "<b>✓</b> Right" in box.reply.value and "labkit-right" in box.reply.value
    box.box.value = "three"
    assert "<b>✗ Not yet.</b> " in box.reply.value and "labkit-wrong" in box.reply.value


def test_the_working_can_be_hidden_again():
    box = practice("1")
    assert box.show_working.description == "Show the working"
    box.show_working.value = True
    assert box.show_working.description == "Hide the working" and box.working.value
    box.choice.value = list(box.found)[1]
    assert box.show_working.description == "Show the working" and box.working.value == ""


@pytest.mark.parametrize("chapter", list(CHAPTERS))
def test_a_page_that_was_not_run_shows_the_questions(chapter):
    shown = practice(chapter)._repr_mimebundle_()
    still = Tags(shown["text/html"])
    assert "run the page" in still.text and still.tags <= {"p", "strong", "em", "b"}
    for exercise in exercises(chapter):
        assert exercise.question in still.plain and exercise.question in shown["text/plain"]


def test_practice_survives_hostile_text():
    box = practice("1")
    for text in SHARP:
        box.box.value = text
        assert box.reply.value and "<script" not in box.reply.value.lower()
