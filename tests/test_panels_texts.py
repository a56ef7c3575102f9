"""Controls for longer texts: nothing typed or chosen is lost, and no file or text can break them."""

from datetime import UTC, datetime

import pytest
from hostile import HOSTILE

from labkit.errors import RangeProblem, ReadingProblem
from labkit.panels import Answer, Choice, FileBox, LinesBox, Panel
from labkit.panels.texts import MOST_BYTES

GIVEN = {"the invented log": "0;20\n60;550"}
SHARP = [text for text in HOSTILE if len(text) < 2000][::6]


def numbers(text):
    try:
        return [float(line) for line in text.splitlines()]
    except ValueError:
        raise ReadingProblem("Type one number to a line.") from None


def chosen_file(name, content):
    return ({"name": name, "type": "text/csv", "size": len(content), "content": memoryview(content),
             "last_modified": datetime(2026, 5, 4, tzinfo=UTC)},)  # fmt: skip


def test_lines_keep_what_is_typed_and_the_last_good_value():
    control, heard = LinesBox("Steps", "1\n2", numbers, "one to a line"), []
    control.on_change(lambda: heard.append(control.value))
    control.box.value = "3\n4\n5"
    assert control.value == [3, 4, 5] and not control.note
    control.box.value = "3\nfour"
    assert control.value == [3, 4, 5] and control.box.value == "3\nfour"
    assert "Type one number" in control.message.value and "last good text" in control.message.value and control.note
    control.box.value = "6"
    assert control.value == [6] and not control.note and not control.message.value
    assert heard[-1] == [6]


def test_lines_that_play_no_part_say_so():
    control, choice = LinesBox("Steps", "1\n2", numbers, "one to a line"), Choice("Which", ["mine", "usual"], "usual")
    control.used_with(choice, "mine", switch=True)
    panel = Panel("?", {"which": choice, "steps": control}, lambda which, steps: Answer(f"{which} {steps}"))
    assert "Not used: “Which” says “usual”." in control.message.value and not control.note
    control.box.value = "3\nfour"
    assert choice.box.value == "mine" and control.note == "Showing the last good text of Steps."
    assert "last good text of Steps" in panel.parts["said"].value  # beside the answer of the same moment
    choice.box.value = "usual"
    assert control.note == "Steps is not used: “Which” says “usual”."


def test_a_start_that_cannot_be_read_is_seen():
    with pytest.raises(ReadingProblem):
        LinesBox("Steps", "one", numbers, "one to a line")


def test_a_file_and_a_table_stand_beside_each_other():
    control = FileBox("Log", GIVEN, "0;20")
    assert control.value == ("the invented log", GIVEN["the invented log"])
    control.upload.value = chosen_file("kiln.csv", b"0,21\n5,80\n")
    assert control.value == ("kiln.csv", b"0,21\n5,80\n") and control.box.value == "my file"
    control.area.value = "0 20\n10 90"
    assert control.value == ("the table typed below", "0 20\n10 90")
    control.box.value = "my file"
    assert control.value == ("kiln.csv", b"0,21\n5,80\n") and control.area.value == "0 20\n10 90"
    control.box.value = "the invented log"
    assert control.value[1] == GIVEN["the invented log"] and not control.note


def test_nothing_chosen_says_so_and_keeps_the_answer():
    control = FileBox("Log", GIVEN, "0;20")
    for option, words in (("my file", "No file is chosen yet"), ("the table typed below", "Nothing is typed there")):
        control.box.value = option
        assert words in control.message.value and control.note
        assert control.value == ("the invented log", GIVEN["the invented log"])


def test_a_file_too_large_or_empty_is_refused_kindly():
    control = FileBox("Log", GIVEN, "0;20")
    control.upload.value = chosen_file("big.csv", b"0" * (MOST_BYTES + 1))
    assert "read_log" in control.message.value and control.value[0] == "the invented log"
    control.upload.value = chosen_file("empty.csv", b"")
    assert "empty" in control.message.value and control.value[0] == "the invented log"


def test_what_is_refused_or_emptied_is_heard_beside_the_answer():
    control, heard = FileBox("Log", GIVEN, "0;20"), []
    control.on_change(lambda: heard.append(control.note))
    control.upload.value = chosen_file("big.csv", b"0" * (MOST_BYTES + 1))
    assert heard == ["Showing the invented log."]  # once, and with the name of what is still shown
    assert "The file is 8.1 MB; here 8 MB can be taken" in control.message.value
    control.area.value = "0 20\n10 90"
    control.area.value = ""
    assert control.value[1] == "0 20\n10 90" and heard[-1] == "Showing the table typed last."
    assert "Nothing is typed there. Still showing the table typed last." in control.message.value
    control.box.value = "the invented log"
    assert not control.note and heard[-1] == ""
    control.area.value = " "  # while another one is shown it changes nothing
    assert not control.note and control.value[0] == "the invented log"


def test_the_same_file_can_be_chosen_again_and_a_choice_given_up_loses_nothing():
    control, file = FileBox("Log", GIVEN, "0;20"), chosen_file("kiln.csv", b"0,21\n5,80\n")
    for _ in range(2):
        control.upload.value = file
        assert control.value == ("kiln.csv", b"0,21\n5,80\n") and control.upload.value == ()
        control.box.value = "the invented log"
    control.upload.value = chosen_file("empty.csv", b"")  # refused: the file before is kept
    control.box.value = "my file"
    assert control.value[0] == "kiln.csv" and not control.note
    control.upload.value = ()
    assert control.value[0] == "kiln.csv" and not control.note


@pytest.mark.parametrize("name", ["the invented log", "my file", "the table typed below"])
def test_a_file_named_like_an_option_is_told_apart(name):
    control = FileBox("Log", GIVEN, "0;20")
    control.upload.value = chosen_file(name, b"0,21\n5,80\n")
    assert control.value == (f"file: {name}", b"0,21\n5,80\n")
    if name not in GIVEN:
        with pytest.raises(RangeProblem, match="needs a name"):
            FileBox("Log", {name: "0;20"}, "0;20")


def test_no_name_and_no_text_reaches_the_page_as_markup():
    assert len(SHARP) >= 30
    control = FileBox("Log", GIVEN, "0;20")
    lines = LinesBox("Steps", "1", numbers, "one to a line")
    panel = Panel("Both?", {"log": control, "steps": lines}, lambda log, steps: Answer(f"{log[0]} {steps}"))
    for text in SHARP:
        control.upload.value = chosen_file(text or "x", text.encode("utf-8", "replace") or b"0")
        lines.box.value = text
        control.area.value = text
        control.box.value = "my file"
        assert panel.trouble is None and lines.box.value == text
        shown = control.message.value + lines.message.value + panel.parts["said"].value
        assert "<script" not in shown.lower() and "<img" not in shown.lower()
