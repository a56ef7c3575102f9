"""Panels without a browser: set a control, read the words."""

import logging
import re
import subprocess
import sys

import pytest
from helpers import Tags
from hostile import HOSTILE, MARKUP

from labkit.errors import LabError, RangeProblem
from labkit.panels import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.panels.controls import in_plain_words
from labkit.panels.frame import CSS, STILL, STUCK
from labkit.units import Q, Range, printed

DRAWING = '<svg role="img" aria-label="A &lt;line&gt;, 3 g" xmlns="http://www.w3.org/2000/svg"><path d="M0 0"/></svg>'
OURS = {"b", "br", "div", "em", "h3", "img", "p", "path", "small", "strong", "style", "svg", "table", "td", "th", "tr"}
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
    words = Tags(head, *page(shown), shown._repr_mimebundle_()["text/html"].replace(STILL, ""))
    assert words.tags <= OURS - {"em", "img", "svg", "path"}
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
    # Nothing shrinks: the places of the picture and the table are kept, and hidden.
    for part, inside in ((picture, "<svg"), (rows, "<table")):
        assert part.startswith(f'<div class="labkit-empty" aria-hidden="true">{inside}')
    still = shown._repr_mimebundle_()["text/html"]
    assert "<table" not in still and "<img" not in still
    assert "Mind the gas" in caution  # the cautions stay
    shown.controls["mass"].box.value = "20 g"
    assert "20.0 g" in shown.sentence and page(shown)[1] == DRAWING and "labkit-empty" not in page(shown)[2]


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


def test_slider_and_box_keep_together_and_to_the_grid():
    slider = UnitSlider("Time", "h", 0.5, 6, 0.1, 2.5)
    calls = []
    slider.on_change(lambda: calls.append(slider.value.magnitude))
    assert (slider.box.value, slider.good_text) == ("2.5", "2.5 h")
    slider.slider.value = 0.1 + 0.2 + 0.5
    assert slider.box.value == "0.8" and slider.slider.value == 0.8 and slider.value == Q(0.8, "h")
    slider.box.value = "3,3"
    assert slider.slider.value == 3.3 and slider.value == Q(3.3, "h") and slider.message.value == ""
    slider.slider.value = 6
    assert slider.box.value == "6.0" and slider.value == Q(6, "h")
    assert calls == [0.8, 3.3, 6]


@pytest.mark.parametrize("text, size", [
    ("2,6", 2.6), ("2.6", 2.6), (" 2.60 eV ", 2.6), ("2,6eV", 2.6), ("2.6 eV.", 2.6), ("3", 3), ("2.", 2), ("26e-1", 2.6), ("1,8", 1.8), ("3.2 eV", 3.2),
])  # fmt: skip
def test_a_slider_reads_point_comma_and_its_own_unit(text, size):
    slider = UnitSlider("Gap", "eV", 1.8, 3.2, 0.01, 2.7)
    slider.box.value = text
    assert slider.value == Q(size, "eV") and slider.slider.value == size
    assert slider.box.value == text  # the text stays as typed
    assert slider.message.value == slider.note == ""


@pytest.mark.parametrize("text, part", [
    ("", "Nothing is typed"), ("wide", "does not start with a number"), ("5", "goes from 1.80 to 3.20 eV"), ("-2.6", "goes from 1.80 to 3.20 eV"),
    ("1e40", "goes from"), ("nan", "not a number"), ("450 nm", "counted in eV"), ("2600 meV", "counted in eV"), ("2.6 %", "counted in eV"),
    ("2.6 ± 0.1", "without ±"), ("2.6 to 2.8", "no range"), ("2,600", "two ways"), ("3.201", "goes from"), ("1.799", "goes from"),
])  # fmt: skip
def test_a_slider_tells_a_mistake_as_a_box_does(text, part):
    shown = Panel("?", {"gap": UnitSlider("Gap", "eV", 1.8, 3.2, 0.01, 2.7)}, lambda gap: Answer(printed(gap)))
    slider = shown.controls["gap"]
    slider.box.value = text
    told = Tags(slider.message.value).text
    assert part in told.replace("\u00a0", " ") and told.endswith("Still using 2.70\u00a0eV.") and ".." not in told
    assert 'role="alert"' in slider.message.value
    assert slider.box.value == text and slider.value == Q(2.7, "eV") and slider.slider.value == 2.7
    assert shown.sentence == "2.70 eV"
    assert "Showing the last good value of Gap, 2.70\u00a0eV." in Tags(*page(shown)).text
    slider.slider.value = 2.8  # the slider is a way out
    assert slider.box.value == "2.80" and slider.message.value == slider.note == "" and shown.sentence == "2.80 eV"


def test_a_number_between_the_steps_is_snapped_and_said():
    slider = UnitSlider("Gap", "eV", 1.8, 3.2, 0.05, 2.7)
    slider.box.value = "2.63"
    assert slider.value == Q(2.65, "eV") and slider.slider.value == 2.65 and slider.box.value == "2.63"
    assert slider.note == "Gap moves in steps of 0.05 eV: using 2.65 eV."
    assert 'role="status"' in slider.message.value and "using 2.65\u00a0eV." in slider.message.value
    slider.box.value = "2.65"
    assert slider.note == slider.message.value == ""


def test_hostile_text_in_the_box_of_a_slider_is_answered_calmly(caplog):
    shown = Panel("?", {"share": UnitSlider("Share", "percent", 0, 5, 0.1, 1)}, lambda share: Answer(str(share)))
    slider = shown.controls["share"]
    for text in TEXTS:
        slider.box.value = text
        found = Tags(slider.message.value, *page(shown))
        assert slider.box.value == text and 0 <= slider.value.magnitude <= 5
        assert slider.slider.value == slider.value.magnitude
        assert found.tags <= OURS and found.attributes <= {"role", "aria-live", "aria-hidden", "class"}, text[:50]
        assert shown.trouble is None and len(slider.message.value) < 1000
    assert not caplog.records


@pytest.mark.parametrize("text, told", [
    ("5", "5 without a sign is 500\u00a0%. Type 5\u00a0%. Still using 10\u00a0% to 35\u00a0%."),
    ("10 to 35", "35 without a sign is 3500\u00a0%. Type 10\u00a0% to 35\u00a0%. Still using"),
    ("500", "500 without a sign is 50000\u00a0%. 100\u00a0% is the most here. Still using"),
    ("101 %", "Share can be 100\u00a0% at most. Still using"), ("10 % to 120 %", "100\u00a0% at most"), ("90 ± 20 %", "100\u00a0% at most"),
])  # fmt: skip
def test_more_than_the_most_is_a_mistake_and_keeps_the_last_good_value(text, told):
    box = TypedBox("Share", "10 % to 35 %", "[] > 0", ranged=True, most="100 %")
    box.box.value = text
    assert told in Tags(box.message.value).text and box.value.high == Q(35, "percent") and box.box.value == text
    for good in ("100 %", "1", "0.2", "10 % to 100 %"):
        box.box.value = good
        assert box.message.value == ""


def test_the_most_may_be_any_quantity():
    box = TypedBox("Urea", "24 g", "[mass] > 0", most=Q(0.1, "kg"))
    box.box.value = "120 g"
    assert "Urea can be 0.1\u00a0kg at most." in box.message.value and box.value == Q(24, "g")
    box.box.value = "100 g"
    assert box.message.value == ""
    with pytest.raises(RangeProblem):
        TypedBox("Urea", "240 g", "[mass] > 0", most="100 g")


def test_a_box_has_a_least_and_a_most_and_a_plain_number_is_no_percentage():
    box = TypedBox("Mixing factor", "1 to 10, likely 3", "[] > 0", ranged=True, least="1", most="100")
    for text, told in (
        ("500", "Mixing factor can be 100 at most."),
        ("0.5 to 3", "Mixing factor has to be 1 at least."),
    ):
        box.box.value = text
        assert told in box.message.value and box.value.likely == Q(3), text
    room = TypedBox("Air", "3 mL", "[volume] > 0", least="0.1 mL", most="1 m³")
    for text in ("0.1 mL", "100 µL", "1 m³", "1000000 mL", "1000 L"):
        room.box.value = text
        assert not room.message.value, text


@pytest.mark.parametrize("text, told", [
    ("0 min", "Time constant has to be more than zero, but it is 0\u00a0min."), ("-5 min", "Time constant has to be more than zero, but it is -5\u00a0min."),
    ("100 to 60 min", "Type 60 to 100\u00a0min."), ("-3 min to 5 min", "Time constant has to be more than zero, but it is -3\u00a0min."),
    ("5 g", "type for instance 75\u00a0min."), ("75", "type for instance 75\u00a0min."), ("60 to", "Type a range as 60\u00a0min to 90\u00a0min, likely 75\u00a0min."),
    ("1:15", "type 1\u00a0h 15\u00a0min"),
])  # fmt: skip
def test_a_message_is_for_the_one_who_types(text, told):
    box = TypedBox("Time constant", "75 min", "[time] > 0", ranged=True)
    box.box.value = text
    said = Tags(box.message.value).text
    assert told in said and box.value.likely == Q(75, "min")
    assert not any(mark in said for mark in ("‘", "()", "='", "finite", "0.0"))


def test_a_temperature_box_understands_the_slip_of_a_bare_c_and_offers_what_fits():
    box = TypedBox("Ceiling", "880 °C", "[temperature]", ranged=True, most="1300 °C")
    for text, told in (("900 C", "For a temperature type 900\u00a0°C."), ("-300 °C", "Ceiling cannot be -300\u00a0°C: that is below absolute zero"),
                       ("900", "type for instance 880\u00a0°C."), ("2000 °C", "Ceiling can be 1300\u00a0°C at most.")):  # fmt: skip
        box.box.value = text
        assert told in Tags(box.message.value).text, text


def test_a_line_of_code_in_a_message_becomes_what_to_type():
    def reading(text):
        raise RangeProblem("That is too much. Type for instance loading='0.5 %' or ceiling='900 °C'.")

    assert in_plain_words("Type for instance loading='0.5 %'.") == "Type for instance 0.5 %."
    box = TypedBox("Loading", "0.8 %", "[] >= 0")
    box._accepted = reading
    box.box.value = "9 %"
    assert "Type for instance 0.5\u00a0% or 900\u00a0°C." in box.message.value and "=&" not in box.message.value


def two_ways():
    how = Choice("How", ["by the hour", "at once"], "by the hour")
    which = Choice("Which", ["usual", "typed below"], "usual")
    hours, own = TypedBox("Hours", "2 h", "[time] > 0"), TypedBox("My own", "3 g", "[mass] > 0")
    hours.used_with(how, "by the hour")
    own.used_with(which, "typed below", switch=True)

    def answer(hours, how, which, own):
        return Answer(f"{printed(hours)} {how} {printed(own)} {which}.")

    return Panel("?", {"how": how, "hours": hours, "which": which, "own": own}, answer)


def test_a_box_that_plays_no_part_says_so():
    shown = two_ways()
    how, hours = shown.controls["how"], shown.controls["hours"]
    assert hours.message.value == hours.note == ""
    how.box.value = "at once"
    assert "Not used: “How” says “at once”." in hours.message.value and not hours.note
    hours.box.value = "5 h"
    told = "Hours is not used: “How” says “at once”."
    assert hours.note == told and told in Tags(*page(shown)).text and how.box.value == "at once"
    hours.box.value = "5 g"  # a slip there changes nothing, and no value is said to be shown
    assert "is a mass" in hours.message.value and "Not used" in hours.message.value
    assert "last good" not in Tags(*page(shown)).text and hours.value == Q(5, "h")
    hours.box.value = "5 h"
    how.box.value = "by the hour"
    assert hours.message.value == hours.note == "" and shown.sentence.startswith("5.00 h by the hour")
    assert "not used" not in Tags(*page(shown)).text  # the answer and its notes are of one moment


def test_typing_in_a_box_chooses_it():
    shown = two_ways()
    which, own = shown.controls["which"], shown.controls["own"]
    assert "Not used: “Which” says “usual”." in own.message.value and not own.note
    own.box.value = "4 g"
    assert which.box.value == "typed below" and own.message.value == own.note == ""
    assert shown.sentence.endswith("4.00 g typed below.")
    which.box.value = "usual"
    assert own.note == "My own is not used: “Which” says “usual”."
    own.box.value = "4 mL"  # a slip chooses it too: the note on its last good value is then true
    assert which.box.value == "typed below" and own.note == "Showing the last good value of My own, 4 g."
    which.box.value = "usual"
    own.box.value = ""
    assert which.box.value == "usual"


def test_a_signed_box_asks_for_the_percent_sign():
    box = TypedBox("Loading", "0.8 %", "[] >= 0", signed=True)
    box.box.value = "0.6"
    assert "0.6 without a sign is 60\u00a0%. Type 0.6\u00a0%, or 60\u00a0% if that is meant." in box.message.value
    assert box.value == Q(0.8, "percent")
    for good in ("0", "0 %", "0,6 %"):
        box.box.value = good
        assert box.message.value == "", good


def test_no_message_ends_in_two_stops():
    box = TypedBox("Urea", "24 g", "[mass] > 0")
    box.box.value = "2.5 g."
    box.box.value = "2.5 gr"
    assert box.message.value.endswith("Still using 2.5\u00a0g.</div>")
    assert box.note == "Showing the last good value of Urea, 2.5 g."


def test_the_still_page_carries_its_styles_and_says_that_it_is_still():
    shown = panel()
    still = shown._repr_mimebundle_()["text/html"]
    assert "A still picture: run the page to move things." in Tags(still).text
    assert "still picture" not in Tags(*page(shown)).text
    cells = [tag for tag in still.split("<") if tag.startswith(("td", "th"))]
    assert len(cells) == 4 and all("text-align:left" in cell for cell in cells)
    marked = Panel("?", {}, lambda: Answer("Fine.", table=[("<td>", "b"), ("<table", 3)]))
    assert {"<td>", "<table"} <= set(re.findall(r"<t[a-z]+>?", Tags(marked._repr_mimebundle_()["text/html"]).plain))


@pytest.mark.parametrize("grid", [(400, 650, 50, 560), (0, 1, 0.1, 0.55), (0, 1, 0.3, 0.3), (0, 1, 0.1, 2)])
def test_a_slider_off_its_grid_is_refused(grid):
    with pytest.raises(RangeProblem, match="on its grid"):
        UnitSlider("Off", "g", *grid)


@pytest.mark.parametrize("unit, label", [("degC", "T (°C)"), ("mol/L", "T (mol/L)"), ("percent", "T (%)"), ("", "T")])
def test_a_slider_names_its_unit(unit, label):
    slider = UnitSlider("T", unit, 0, 10, 1, 5)
    assert slider.box.description == label
    assert slider.value == Q(5, unit or "dimensionless")


def test_labels_say_what_to_type():
    assert TypedBox("Urea", "24 g", "[mass] > 0").box.description == "Urea (a mass, such as 24\u00a0g)"
    assert TypedBox("Urea", "24 g", "[mass]", example="3 g").box.description == "Urea (a mass, such as 3\u00a0g)"
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


def test_a_sentence_in_a_table_takes_the_room_beside_it():
    table = (("What", "One", "Other"), ("note", "word " * 12, ""), ("size", "2 g", ""), ("both", "word " * 12, "3 g"))
    panel = Panel("Why?", {}, lambda: Answer("So.", table=table))
    rows = panel.parts["rows"].value.split("<tr>")[2:]
    assert [row.count("<td") for row in rows] == [2, 3, 3]
    assert 'colspan="2"' in rows[0] and "colspan" not in rows[1] + rows[2]


def test_a_value_from_the_page_is_not_sent_back_for_its_last_digit():
    # A page adds steps as floats.  What is sent back to it would undo the key that was pressed meanwhile.
    slider = UnitSlider("Loading", "percent", 0.1, 5, 0.1, 0.8)
    slider.slider.value = 0.8 + 0.1 - 1e-12
    assert slider.value.magnitude == 0.9 and slider.box.value == "0.9"
    assert slider.slider.value == 0.8 + 0.1 - 1e-12
    slider.box.value = "1.3"
    assert slider.slider.value == 1.3
