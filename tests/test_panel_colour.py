"""The panel on the colour of a powder, without a browser."""

import re
import time

import pytest
from helpers import Tags
from hostile import HOSTILE
from test_colour import HC, HEXES, photograph, step

from labkit.panels.colour import ColourBox, colour_answer, colour_panel
from labkit.units import Q, Range, certain

USUAL = Range(Q(0.05, "eV"), Q(0.10, "eV"), Q(0.15, "eV"))


def numbers(sentence):
    """Return (low, likely, high) in eV and in nm as the sentence has them."""
    gap = re.search(r"gap of ([\d.]+) to ([\d.]+) eV, likely ([\d.]+) eV", sentence)
    edge = re.search(r"edge at (\d+) to (\d+) nm, likely (\d+) nm", sentence)
    return tuple(tuple(float(found[place]) for place in (1, 3, 2)) for found in (gap, edge))


@pytest.mark.parametrize("gap", [2.0, 2.2, 2.4, 2.6, 2.7, 2.8, 2.9])
def test_the_sentence_holds_the_gap_that_made_the_colour(gap):
    said = colour_answer(HEXES[gap][1], "#FFFFFF", USUAL, False).sentence
    (low, likely, high), (long, middle, short) = numbers(said)
    assert low <= gap <= high and likely == pytest.approx(gap, abs=0.051)  # its last step
    assert (short, middle, long) == pytest.approx((HC / low, HC / likely, HC / high), abs=0.51)


def test_a_photograph_by_lamp_light_is_typed_in():
    powder, paper = photograph(step(2.7, 0.09, 0.07, 0.85), "LED-B3")
    panel = colour_panel()
    panel.controls["powder"].box.value = "rgb({}, {}, {})".format(*powder)
    panel.controls["paper"].box.value = "{} {} {}".format(*paper)
    (low, _, high), _ = numbers(panel.sentence)
    assert panel.trouble is None and low <= 2.7 <= high


def test_the_table_has_the_ends_and_what_drives_them():
    answer = colour_answer("#F1F6A1", "#FFFFFF", USUAL, False)
    rows = {row[0]: row[1:] for row in answer.table}
    (low, likely, high), _ = numbers(answer.sentence)
    assert rows["Gap"] == (f"{low:.2f} eV", f"{likely:.2f} eV", f"{high:.2f} eV")
    assert rows["Clean powder looks"][1] == "pale yellow"
    drivers = [row for name, row in rows.items() if name.startswith("Only ")]
    assert len(drivers) == 3
    for first, _, last in drivers:
        assert low <= float(first.split()[0]) <= float(last.split()[0]) <= high


def test_near_white_and_no_edge_have_no_upper_end():
    white = colour_answer("#F4F4F2", "#FFFFFF", USUAL, False)
    assert "or more" in white.sentence and white.table[1][2:] == ("not known", "not known")
    blue = colour_answer("#7A8FA8", "#FFFFFF", USUAL, False)
    assert blue.sentence.startswith("No clean edge") and blue.table == ()
    assert blue.svg.startswith("<svg ")


def test_metal_and_the_mask_are_spoken_of():
    plain, metal = (colour_answer("#C8B080", "#F0EEE8", USUAL, there) for there in (False, True))
    assert "plain powder instead" in metal.sentence and "plain powder instead" not in plain.sentence
    assert "mask" in plain.caution and "some tenths of an eV" in plain.caution


def test_no_place_of_the_controls_is_in_trouble():
    panel = colour_panel()
    seen = set()
    for metal in ("none", "iron, zinc or another"):
        panel.controls["metal"].box.value = metal
        for softness in ("0.05 to 0.15 eV, likely 0.10 eV", "0.10 eV", "0.02 to 0.40 eV"):
            panel.controls["softness"].box.value = softness
            for powder in (
                "#F1F6A1",
                "#FFFFFF",
                "#000000",
                "#808080",
                "#8B5A2B",
                "#7A8FA8",
                "255 0 0",
                "1 2 3",
                "#FB0",
            ):
                for paper in ("#FFFFFF", "#F2EEE6", "#202020"):
                    panel.controls["powder"].box.value, panel.controls["paper"].box.value = powder, paper
                    assert panel.trouble is None and panel.sentence
                    seen.add(panel.sentence)
    assert len(seen) > 40


def test_what_is_picked_and_what_is_typed_follow_each_other():
    control = ColourBox("Powder", "#E7E09F")
    heard = []
    control.on_change(lambda: heard.append(control.value))
    control.field.value = "#aabbcc"
    assert control.box.value == "#AABBCC" and control.value == (170, 187, 204)
    control.box.value = "1 2 3"
    assert control.field.value == "#010203" and control.box.value == "1 2 3"
    assert heard == [(170, 187, 204), (1, 2, 3)]
    control.field.value = "red"  # a word that the field knows, and we do not
    assert control.value == (1, 2, 3)


def test_hostile_texts_never_get_past_the_boxes():
    panel = colour_panel()
    assert len(HOSTILE) >= 300
    first = panel.sentence
    for name, texts in (("powder", HOSTILE), ("paper", HOSTILE[::7]), ("softness", HOSTILE[::7])):
        refused = 0
        for text in texts:
            panel.controls[name].box.value = text
            refused += "Still using" in panel.controls[name].message.value
            assert panel.trouble is None and panel.sentence == first
            assert Tags(panel.controls[name].message.value).tags <= {"div"}, text
        assert refused == len(texts)
        panel.controls[name].box.value = panel.controls[name].start
    assert not any("<script" in part.value or "onerror" in part.value for part in panel.parts.values())


def test_the_page_holds_our_markup_only():
    panel = colour_panel()
    for name, part in panel.parts.items():
        if name != "picture":
            assert Tags(part.value).tags <= {"div", "small", "table", "tr", "th", "td", "br", "b"}
    assert panel.parts["picture"].value.startswith('<svg role="img" aria-label="Strip of the computed colours')
    assert "script" not in Tags(panel.parts["picture"].value).tags


def test_an_answer_comes_while_a_hand_moves():
    soft = certain(Q(0.1, "eV"))
    colour_answer("#F1F6A1", "#FFFFFF", soft, False)  # the frame and the family of edges are made once
    times = []
    for size in range(60):
        start = time.perf_counter()
        colour_answer((200 + size % 50, 190 + size % 60, 100 + size), "#F2EEE6", soft, False)
        times.append(time.perf_counter() - start)
    assert sorted(times)[30] < 0.016  # seconds, half of them; the picture itself is a millisecond
