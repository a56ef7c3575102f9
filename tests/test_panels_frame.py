"""Panels without a browser: set a control, read the words."""

import logging
import subprocess
import sys

import pytest
from helpers import Tags
from hostile import HOSTILE, MARKUP

from labkit.errors import LabError, RangeProblem
from labkit.panels import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.panels.frame import CSS, STUCK
from labkit.units import Q, Range, printed

DRAWING = '<svg role="img" aria-label="A &lt;line&gt;, 3 g" xmlns="http://www.w3.org/2000/svg"><path d="M0 0"/></svg>'
OURS = {"b", "br", "div", "h3", "img", "p", "path", "small", "strong", "style", "svg", "table", "td", "th", "tr"}
TEXTS = [*HOSTILE, *(text * 2000 for text in MARKUP), "<script>" + "x" * 100_000, "5 g" * 100_000]


def weighing(mass, heat, vessel="dish"):
    return Answer(
        f"{printed(mass)} at {printed(heat)} in a {vessel}.",
        svg=DRAWING,
        table=[("What", "How much"), ("mass", printed(mass))],
        caution="• Mind the heat.\n• Mind the gas.",
    )


def panel(answer=weighing, **more):
    controls = {
        "mass": TypedBox("Urea", "24 g", "[mass] > 0"),
        "heat": UnitSlider("Temperature", "degC", 400, 650, 5, 550),
    }
    return Panel("How much? (invented)", controls | more, answer)


def page(some_panel):
    return [part.value for part in some_panel.parts.values()]


def test_a_panel_answers_at_once():
    shown = panel()
    assert shown.sentence == "24.0 g at 550 °C in a dish." and shown.trouble is None
    words = Tags(*page(shown))
    assert "24.0\u00a0g at 550\u00a0°C in a dish." in words.text
    assert "What" in words.text and "Mind the gas." in words.text
    assert words.tags <= OURS and {"svg", "table", "th", "td"} <= words.tags


def test_every_control_reaches_the_answer():
    shown = panel(vessel=Choice("Vessel", {"an open dish": "dish", "a covered crucible": "crucible"}, "an open dish"))
    shown.controls["mass"].box.value = "0,03 kg"
    shown.controls["heat"].slider.value = 600
    shown.controls["vessel"].box.value = "a covered crucible"
    assert shown.sentence == "30.0 g at 600 °C in a crucible."


def test_a_mistake_keeps_the_text_and_the_last_good_value_and_says_so():
    shown = panel()
    box = shown.controls["mass"]
    box.box.value = "30 g"
    before = page(shown)
    box.box.value = "2.5 mL"
    assert box.box.value == "2.5 mL"
    assert box.value == Q(30, "g")
    told = Tags(box.message.value)
    assert "“2.5\u00a0mL” is a volume" in told.text and "Still using 30\u00a0g." in told.text
    assert 'role="alert"' in box.message.value and 'aria-live="polite"' in box.message.value
    assert "Showing the last good value of Urea, 30\u00a0g." in Tags(*page(shown)).text
    box.box.value = "30 g"
    assert box.message.value == "" and page(shown) == before


@pytest.mark.parametrize(
    "text, word", [("0 g", "more than zero"), ("-3 g", "more than zero"), ("", "Nothing is typed")]
)
def test_what_cannot_be_weighed_is_a_mistake(text, word):
    box = TypedBox("Urea", "24 g", "[mass] > 0")
    box.box.value = text
    assert word in box.message.value and box.value == Q(24, "g")


def test_zero_is_allowed_where_it_makes_sense():
    box = TypedBox("Loading", "2 %", "[] >= 0")
    box.box.value = "0 %"
    assert box.message.value == "" and box.value == Q(0, "percent")


def test_a_box_for_ranges_reads_a_range_and_a_single_value():
    box = TypedBox("Share", "4 % to 40 %, likely 18 %", "[] > 0", ranged=True)
    assert isinstance(box.value, Range) and box.value.likely.m_as("percent") == pytest.approx(18)
    box.box.value = "20 %"
    assert box.value.low == box.value.high == Q(20, "percent")
    box.box.value = "-1 % to 40 %"
    assert "more than zero" in box.message.value and box.value.low == Q(20, "percent")
    box.box.value = "8 ± 9 %"  # one standard uncertainty reaches below zero
    assert "more than zero" in box.message.value and box.value.low == Q(20, "percent")


def test_a_reading_below_absolute_zero_is_a_mistake():
    box = TypedBox("Oven", "550 °C", "[temperature]")
    box.box.value = "-300 °C"
    assert "absolute zero" in box.message.value and box.value == Q(550, "degC")


@pytest.mark.parametrize("ranged", [False, True])
def test_hostile_text_is_answered_calmly_and_never_becomes_markup(ranged, caplog):
    shown = Panel("?", {"mass": TypedBox("Urea", "24 g", "[mass] > 0", ranged=ranged)}, lambda mass: Answer(str(mass)))
    box = shown.controls["mass"]
    assert len(TEXTS) > 300
    for text in TEXTS:
        box.box.value = text
        found = Tags(box.message.value, *page(shown))
        assert box.box.value == text
        assert found.tags <= OURS and found.attributes <= {"role", "aria-live", "aria-hidden", "class"}, text[:50]
        assert len(box.message.value) < 1000, text[:50]
        assert shown.trouble is None
        shown._repr_mimebundle_()["text/html"].encode()  # could be sent to the page
        assert box.value is not None
    assert not caplog.records  # every one had an answer that was meant for it


@pytest.mark.parametrize("text", MARKUP)
def test_whatever_an_answer_says_is_escaped(text):
    shown = Panel(text, {}, lambda: Answer(text, table=[(text, "b"), (text, 3)], caution=text))
    head = shown.view.children[0].value.replace(CSS, "")
    words = Tags(head, *page(shown), shown._repr_mimebundle_()["text/html"])
    assert words.tags <= OURS - {"img", "svg", "path"}
    places, pages = 5, 2  # title, sentence, two cells and caution; the live page and the still one
    assert words.plain.count(text) == places * pages


def test_a_number_stays_with_its_unit_and_a_part_of_a_table_is_named_across_it():
    table = [("What", "How much"), ("Weigh:", ""), ("urea", "2 to 7 g, at 25 °C")]
    shown = Panel("?", {}, lambda: Answer("5 mol/L, 3 of 4.", table=table))
    said, _, rows, _ = page(shown)
    assert "5\u00a0mol/L, 3 of 4." in said and shown.sentence == "5 mol/L, 3 of 4."
    assert "<td>2 to 7\u00a0g, at 25\u00a0°C</td>" in rows
    assert '<tr><th colspan="2">Weigh:</th></tr>' in rows


def test_a_problem_we_can_explain_becomes_the_sentence():
    def answer(mass, heat):
        if mass > Q(100, "g"):
            raise RangeProblem("More than 100 g <at once> is not for this oven.")
        return weighing(mass, heat)

    shown = panel(answer)
    shown.controls["mass"].box.value = "200 g"
    assert shown.sentence == "More than 100 g <at once> is not for this oven."
    assert shown.trouble is None
    said, picture, rows, caution = page(shown)
    assert "labkit-mistake" in said and "&lt;at once&gt;" in said
    assert picture.startswith('<div class="labkit-empty" aria-hidden="true"><svg') and rows == ""
    assert "Mind the gas" in caution  # the cautions stay
    shown.controls["mass"].box.value = "20 g"
    assert "20.0 g" in shown.sentence and page(shown)[1] == DRAWING


@pytest.mark.parametrize(
    "wrong",
    [
        lambda mass, heat: 1 / 0,
        lambda mass: Answer("takes too few"),
        lambda mass, heat: "not an Answer",
        lambda mass, heat: Answer(None),
        lambda mass, heat: Answer("Fine.", svg="<script>alert(1)</script>"),
        lambda mass, heat: Answer("Fine.", table=3),
    ],
)
def test_a_slip_of_ours_is_a_calm_sentence_on_the_page_and_a_detail_in_the_log(wrong, caplog, capfd):
    with caplog.at_level(logging.ERROR, logger="labkit.panels"):
        shown = panel(wrong)
    assert shown.sentence == STUCK and isinstance(shown.trouble, Exception)
    assert caplog.records and caplog.records[0].exc_info
    text = "".join(page(shown))
    assert "Traceback" not in text and type(shown.trouble).__name__ not in text and "script" not in text


def test_the_detail_does_not_reach_a_page_where_no_log_is_set_up():
    code = "from labkit.panels import Panel; Panel('?', {}, lambda: 1 / 0)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_slider_and_number_keep_together_and_to_the_grid():
    slider = UnitSlider("Time", "h", 0.5, 6, 0.1, 2.5)
    calls = []
    slider.on_change(lambda: calls.append(slider.value.magnitude))
    slider.slider.value = 0.1 + 0.2 + 0.5
    assert slider.number.value == slider.slider.value == 0.8 and slider.value == Q(0.8, "h")
    slider.number.value = 3.33
    assert slider.number.value == slider.slider.value == 3.3
    slider.number.value = 99
    assert slider.value == Q(6, "h")
    slider.number.value = float("nan")
    assert slider.number.value == slider.slider.value == 6
    assert calls == [0.8, 3.3, 6]


@pytest.mark.parametrize("grid", [(400, 650, 50, 560), (0, 1, 0.1, 0.55), (0, 1, 0.3, 0.3), (0, 1, 0.1, 2)])
def test_a_slider_off_its_grid_is_refused(grid):
    with pytest.raises(RangeProblem, match="on its grid"):
        UnitSlider("Off", "g", *grid)


@pytest.mark.parametrize("unit, label", [("degC", "T (°C)"), ("mol/L", "T (mol/L)"), ("percent", "T (%)"), ("", "T")])
def test_a_slider_names_its_unit(unit, label):
    slider = UnitSlider("T", unit, 0, 10, 1, 5)
    assert slider.number.description == label
    assert slider.value == Q(5, unit or "dimensionless")


def test_labels_say_what_to_type():
    assert TypedBox("Urea", "24 g", "[mass] > 0").box.description == "Urea (a mass, such as 2.5\u00a0g)"
    assert TypedBox("Urea", "24 g", "[mass]", hint="in g").box.description == "Urea (in g)"
    assert TypedBox("Share", "4 %", "[]", ranged=True).box.description.endswith(", or a range)")


def test_a_start_that_is_wrong_is_seen_by_its_author():
    with pytest.raises(LabError):
        TypedBox("Urea", "24", "[mass]")
    with pytest.raises(LabError, match="open dish"):
        Choice("Vessel", ["open dish"], "bowl")


def test_what_a_page_without_widgets_shows_is_the_same_every_time():
    first, second = panel()._repr_mimebundle_(), panel()._repr_mimebundle_()
    widget = "application/vnd.jupyter.widget-view+json"
    assert first.pop(widget)["model_id"] != second.pop(widget)["model_id"]
    assert first == second
    assert first["text/plain"] == "How much? (invented)\n24.0 g at 550 °C in a dish."
    still = Tags(first["text/html"])
    assert "24.0\u00a0g at 550\u00a0°C" in still.text and "svg" not in still.tags
    assert 'alt="A &lt;line&gt;, 3 g"' in first["text/html"]


def test_show_displays_the_panel(monkeypatch):
    shown = []
    monkeypatch.setattr("IPython.display.display", shown.append)
    one = panel()
    one.show()
    assert shown == [one]


def test_the_look_reaches_nothing_outside_panels():
    rules = [rule.split("{")[0] for rule in CSS.split("}") if "{" in rule]
    selectors = [selector.strip() for rule in rules for selector in rule.split(",")]
    assert len(selectors) > 20
    assert all(selector.startswith(".labkit-panel") for selector in selectors)
    assert "</" not in CSS


def test_panels_load_no_drawing_library():
    code = "import sys, labkit.panels.frame; sys.exit('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0
