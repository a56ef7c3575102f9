"""The panel that reads a sample from standards: figures against sums on paper, hostile text, and every control."""

import re
import time
from pathlib import Path

import numpy as np
import pytest
from helpers import Tags
from hostile import HOSTILE, assert_calm
from layout import collisions
from scipy.stats import t as student

from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.panels.calibration import (
    ALL,
    IRON,
    LOWER,
    REAGENT,
    TABLES,
    ZINC,
    calibration_answer,
    calibration_panel,
    given_tables,
    readings_typed,
)
from labkit.units import Q

BUNDLED = Path(__file__).resolve().parent.parent / "workbooks" / "data"
X, Y = np.array([0, 4, 8, 12, 16.0]), np.array([0.003, 0.124, 0.249, 0.366, 0.490])
TEXT = "mg/L;A\n" + "\n".join(f"{x:g};{y}" for x, y in zip(X, Y))


def answer(table=TEXT, salt=IRON, use=ALL, absorbance=(0.3,), colour=(241, 230, 200), dilution=1.0):
    table = table if isinstance(table, tuple) else ("my table", table)
    return calibration_answer(table, salt, use, absorbance, colour, Q(dilution, ""))


def test_the_sentence_agrees_with_sums_on_paper():
    slope, height = np.polyfit(X, Y, 1)
    s = np.sqrt(((Y - height - slope * X) ** 2).sum() / 3)
    away = (0.3 - Y.mean()) / slope
    half = student.ppf(0.975, 3) * s / slope * np.sqrt(1 + 1 / 5 + away**2 / ((X - X.mean()) ** 2).sum())
    found = re.search(r"means ([\d.]+) mg/L, 95 % interval ([\d.]+) to ([\d.]+) mg/L", answer(dilution=5.0).sentence)
    value, low, high = (float(part) for part in found.groups())
    assert value == pytest.approx(5 * (0.3 - height) / slope, abs=0.06)
    # Fieller's ends are those of the usual formula to a few thousandths here; printed to a tenth.
    assert high - low == pytest.approx(2 * 5 * half, abs=0.15)
    assert "An absorbance of 0.300, diluted 5-fold," in answer(dilution=5.0).sentence
    assert "mean of 2" in answer(absorbance=(0.3, 0.302)).sentence


def test_the_tables_that_come_with_the_workbook_tell_their_stories():
    given = given_tables(BUNDLED)
    assert list(given) == list(TABLES) and all("(invented)" in words for words in given)
    clean, bent, rough, photo = ((words, content) for words, content in given.items())
    assert "means" in answer(clean).sentence and answer(clean).svg
    assert (
        answer(bent).sentence.startswith("The standards bend") and LOWER in answer(bent).sentence and answer(bent).svg
    )
    assert (
        "means" in answer(bent, use=LOWER).sentence
        and ("not used", "6 standards above 20.0 mg/L") in answer(bent, use=LOWER).table
    )
    assert dict(row for row in answer(rough).table if len(row) == 2)["rows"] == "11 read, 8 kept, 3 left out"
    assert (
        answer(photo).sentence.startswith("The colour 241 230 200 means") and "white balance" in answer(photo).caution
    )


@pytest.mark.parametrize("changes, words", [
    ({"absorbance": (0.003,)}, "is not seen: below"), ({"absorbance": (0.012,)}, "seen, but too little for a number: below"), ({"absorbance": (0.9,)}, "Dilute the sample 4-fold"),
    ({"absorbance": (0.5,), "dilution": 10.0}, "in all"), ({"absorbance": (0.1, 0.2, 0.7)}, "disagree too much"),
])  # fmt: skip
def test_what_cannot_be_a_number_is_told_in_words(changes, words):
    assert words in answer(**changes).sentence


@pytest.mark.parametrize("changes, words", [
    ({"salt": ZINC}, "no colour.*titration"), ({"table": "c;A\n1;2\n3;x"}, "^my table: .*could read 1 row"), ({"table": "c;A;A\n1;2;3\n3;4;5\n5;5;5"}, "Write c / mg/L and A"),
    ({"table": "c;A\n1 mg/L;2\n3 mmol/L;4\n5;5"}, "as masses"), ({"table": "mg/L;R;G;B\n1;200;190;180\n3;200;190;170"}, "row named “white”"), ({"table": "A;c\n1;0\n1;5\n1;9"}, "make no line"),
    ({"table": bytes(range(256)) * 40}, "."), ({"table": str(BUNDLED / "invented_standards_clean.csv")}, "No line has"),
])  # fmt: skip
def test_what_cannot_be_read_is_told_in_the_words_of_the_panel(changes, words):
    with pytest.raises(LabError, match=words) as problem:
        answer(**changes)
    assert not re.search(r"\w+=['\w{\"]", str(problem.value))


def test_a_reagent_gives_zinc_a_colour_and_cautions_stand_beside_it():
    assert "means" in answer(salt=REAGENT).sentence
    assert answer().caution.endswith(cautions("chlorides", "solvent")) and "same solvent" in answer().caution


def test_several_readings_are_typed_with_blanks():
    assert readings_typed("0.31 0,32;0.33") == (0.31, 0.32, 0.33)
    for text in ("", "x", "0.3 g", "1 " * 300, "50", "nan"):
        with pytest.raises(LabError):
            readings_typed(text)


def test_without_the_files_an_invented_outline_stands_in(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert list(given_tables()) == ["invented standards in outline"]
    panel = calibration_panel()
    assert panel.trouble is None and "means" in panel.sentence


def test_the_panel_follows_every_control_and_never_breaks():
    panel, seen = calibration_panel(BUNDLED), set()
    texts = {"absorbance": ("0", "-0.01", "0.02", "0.4 0.401", "3", "nothing"), "colour": ("#F1E6C8", "255 255 255", "0 0 0", "241 238 230"),
             "dilution": ("1", "10 ± 0.1", "250", "0.5", "1e9")}  # fmt: skip
    for table in panel.controls["table"].box.options:
        panel.controls["table"].box.value = table
        for name in ("salt", "use"):
            for option in panel.controls[name].box.options:
                panel.controls[name].box.value = option
                for box, typed in texts.items():
                    start = panel.controls[box].box.value
                    for text in typed:
                        panel.controls[box].box.value = text
                        assert panel.trouble is None, (table, option, text)
                        assert "nan" not in panel.sentence and "inf" not in panel.sentence
                        seen.add(panel.sentence)
                    panel.controls[box].box.value = start
            panel.controls[name].box.value = panel.controls[name].box.options[0]
    assert len(seen) > 30


def test_hostile_text_breaks_nothing_and_leaves_no_tags():
    panel = calibration_panel(BUNDLED)
    assert_calm(panel, "absorbance", HOSTILE[::2])
    assert_calm(panel, "dilution", HOSTILE[1::2])
    panel.controls["table"].box.value = list(TABLES)[-1]
    assert_calm(panel, "colour", HOSTILE[::3])
    size = 0
    for text in HOSTILE[::5]:
        panel.controls[
            "table"
        ].area.value = f"{text};mg/L;A;{text}\nS1;0;0.1;{text}\n{text};5;0.3\nS3;10;{text}\nS4;10;0.5\nS5;15;0.7"
        assert panel.trouble is None, text
        tags = Tags(*(panel.parts[name].value for name in ("said", "caution", "rows")))
        assert tags.tags <= {"div", "b", "br", "small", "table", "tr", "th", "td"}, text
        assert not Tags(panel.parts["picture"].value).tags & {"script", "img", "iframe", "a", "b", "input"}, text
        size += 1
    assert size > 40


def test_an_answer_comes_within_a_frame():
    panel, took = calibration_panel(BUNDLED), []
    for size in range(60):
        start = time.perf_counter()
        panel.controls["absorbance"].box.value = f"{0.1 + size / 200:.4f}"
        took.append(time.perf_counter() - start)
    assert panel.trouble is None and min(took) < 0.016  # the best: a busy machine only adds time


def test_the_picture_describes_itself():
    found = answer()
    alt = re.search(r'aria-label="([^"]*)"', found.svg)[1]
    assert (
        alt.startswith("Absorbance of 5 standards from 0 to 16.0 mg/L")
        and "9.76 mg/L" in alt
        and collisions(found.svg) == []
    )
