"""The workbooks follow the house pattern and were run from the top."""

import json
import re
from pathlib import Path

import pytest

WORKBOOKS = sorted((Path(__file__).parents[1] / "workbooks").glob("*.ipynb"))
TAGS = {"exercise", "panel", "raises-exception", "nbval-ignore-output"}
PARTS = ("Guess", "Your own numbers", "Exercises", "What you can now do", "Cautions", "Sources")


def cells(path, kind):
    notebook = json.loads(path.read_text(encoding="utf-8"))
    return [cell for cell in notebook["cells"] if cell["cell_type"] == kind]


def text(cell):
    return "".join(cell["source"])


def test_the_series_is_there():
    numbers = [path.name[:2] for path in WORKBOOKS]
    assert numbers == sorted(set(numbers))
    assert {"00", "01", "02", "03", "04", "05", "06", "07", "08", "09"} <= set(numbers)


workbook = pytest.mark.parametrize("path", WORKBOOKS, ids=lambda path: path.stem)


@workbook
def test_it_was_run_from_the_top_without_gaps(path):
    counts = [cell["execution_count"] for cell in cells(path, "code")]
    assert counts and counts == list(range(1, len(counts) + 1))


@workbook
def test_only_marked_cells_end_in_an_error(path):
    for cell in cells(path, "code"):
        failed = any(output["output_type"] == "error" for output in cell["outputs"])
        assert failed == ("raises-exception" in cell["metadata"].get("tags", [])), text(cell)


@workbook
def test_tags_are_spelt_right(path):
    used = {
        tag for kind in ("code", "markdown") for cell in cells(path, kind) for tag in cell["metadata"].get("tags", [])
    }
    assert used <= TAGS


@workbook
def test_it_has_the_parts_of_the_house_pattern(path):
    headings = " ".join(text(cell) for cell in cells(path, "markdown"))
    missing = [part for part in PARTS if part not in headings]
    assert not missing
    assert text(cells(path, "markdown")[0]).startswith(f"# {path.name[:2]} · ")


@workbook
def test_code_cells_stay_short_and_use_no_magics(path):
    lengths = [len([line for line in text(cell).splitlines() if line.strip()]) for cell in cells(path, "code")]
    assert max(lengths) <= 9  # two to six is the rule; imports and a loop with its prints may take more
    assert sorted(lengths)[len(lengths) // 2] <= 6
    assert not any("%" == text(cell)[:1] or "!" == text(cell)[:1] for cell in cells(path, "code"))


@workbook
def test_markdown_cells_are_short(path):
    longest = max(len(text(cell).split()) for cell in cells(path, "markdown") if "Sources" not in text(cell))
    assert longest <= 132


@workbook
def test_it_has_a_panel_and_at_least_six_exercises(path):
    code = [text(cell) for cell in cells(path, "code")]
    assert any("panel" in cell["metadata"].get("tags", []) for cell in cells(path, "code"))
    assert len({key for source in code for key in re.findall(r'check\("([0-9]\.[0-9]+)"', source)}) >= 6


@workbook
def test_pictures_carry_words_with_numbers(path):
    pages = [
        "".join(output["data"].get("text/html", ""))
        for cell in cells(path, "code")
        for output in cell["outputs"]
        if "data" in output
    ]
    alts = [alt for page in pages for alt in re.findall(r'<img[^>]*? alt="([^"]*)"', page)]
    assert alts
    assert all(len(alt) > 30 and re.search(r"\d", alt) for alt in alts)
    bare = [cell for cell in cells(path, "code") for output in cell["outputs"] if "image/png" in output.get("data", {})]
    assert not bare


BEFORE_THE_SUM = {
    "02": ("Outdoors, or under extraction", "Never seal the crucible", "microwave oven", "ordinary centrifuges", "licensed people decide"),
    "03": ("outdoors or under extraction", "Never seal the crucible", "microwave oven", "ordinary centrifuges", "licensed people decide"),
    "04": ("the jar stays closed", "Never look into the sun", "fitted dust mask"),
    "05": ("burn eyes and skin", "no flame, heater or spark", "Never warm a closed jar", "down a drain", "outdoors or under extraction", "licensed people decide"),
    "06": ("no flame, no hot plate", "No acetone and no ethanol in an ordinary centrifuge", "Tubes balanced", "Collect every rinse", "licensed people decide"),
    "07": ("no flame", "nothing closed or under pressure", "that mixture explodes", "never at the sun"),
    "08": ("A few millilitres, never a store", "hydrogen and oxygen 2:1", "Vent it outside", "No flame near it", "No closed glass", "licensed people decide"),
    "09": ("outdoors or under extraction", "never sealed", "away from flames"),
}  # fmt: skip


@pytest.mark.parametrize("number", BEFORE_THE_SUM)
def test_cautions_stand_before_the_first_sum(number):
    """Where a step can hurt, they are read before any cell prints something."""
    (path,) = [path for path in WORKBOOKS if path.name.startswith(number)]
    read = ""
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code" and cell["outputs"]:
            break
        read += text(cell) if cell["cell_type"] == "markdown" else ""
    missing = [words for words in BEFORE_THE_SUM[number] if words not in read]
    assert not missing


@workbook
def test_what_is_stored_as_plain_text_can_be_read(path):
    """A reader without a page, and another version of a library, get the words: no address and no inside of an object."""
    shown = [
        "".join(output.get("data", {}).get("text/plain", ""))
        for cell in cells(path, "code")
        for output in cell["outputs"]
    ]
    assert any(shown)
    assert not [words for words in shown if re.search(r" at 0x[0-9a-f]+>|Quantity\(|<labkit", words)]
