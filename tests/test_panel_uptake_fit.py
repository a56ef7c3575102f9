"""The panel of fitted uptakes: figures against sums on paper, hostile text, and every control."""

import re
import time
from pathlib import Path

import numpy as np
import pytest
from helpers import Tags
from hostile import HOSTILE, assert_calm
from layout import collisions

from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.panels import uptake_fit as module
from labkit.panels.uptake_fit import COURSE, GIVEN, ISOTHERM, given_readings, uptake_fit_answer, uptake_fit_panel
from labkit.units import Q

BUNDLED = Path(__file__).resolve().parent.parent / "workbooks" / "data"
C = np.array([1.5, 4, 8, 15, 28, 50, 90, 150, 240])
T = np.array([0, 5, 12, 25, 45, 70, 110, 170, 250, 330.0])


def isotherm(capacity=22.0, affinity=0.09, head="c / mg/L;q / mg/g"):
    return f"{head}\n" + "\n".join(f"{c:g};{capacity * affinity * c / (1 + affinity * c):.4f}" for c in C)


def course(q=13.0, k=0.021, head="min;q / mg/g"):
    return f"{head}\n" + "\n".join(f"{t:g};{q * (1 - np.exp(-k * t)):.4f}" for t in T)


def answer(text, kind=None, volume="25 mL", powder="0.2 g", check="4 h", name="my jars"):
    return uptake_fit_answer(
        (name, text), kind, *(Q(float(part.split()[0]), part.split()[1]) for part in (volume, powder, check))
    )


def test_the_capacity_is_that_of_the_readings():
    found = answer(isotherm())
    capacity = re.search(r"The capacity is ([\d.]+) mg/g|likely ([\d.]+) mg/g", found.sentence)
    assert float(capacity[1] or capacity[2]) == pytest.approx(22.0, abs=0.05) and "usable" in found.sentence
    assert "Half of it is taken up at 11 mg/L" in found.sentence  # 1/0.09
    assert found.table[0] == ("What", "Langmuir", "Freundlich")
    # 15 mg/L was left: 22 × 0.09 × 15 / (1 + 0.09 × 15) = 12.64 mg/g, and a line through c/q finds the same capacity
    rows = {row[0]: row[1] for row in found.table}
    assert "capacity 22.0" in rows["c/q against c"] and "138 mg/g" in str(found.table)


def test_the_time_is_that_of_the_readings():
    found = answer(course(), check="100 min")
    assert "reached after 2 h 23 min" in found.sentence  # ln 20 / 0.021 = 142.7 min
    share = re.search(r"100 % of|(\d\d) %", found.sentence.split("then holds")[1])
    assert (
        float(share[1]) == pytest.approx(100 * (1 - np.exp(-2.1)), abs=0.6)
        and "1 h 40 min is not enough" in found.sentence
    )


def test_uptake_is_worked_out_from_concentrations_and_the_jar():
    ends = 22.0 * 0.09 * C / (1 + 0.09 * C)
    starts = C + ends * 0.2 / 0.025  # 25 mL over 0.2 g: 1 mg/g takes 8 mg/L
    text = "c0 (mg/L);ce (mg/L)\n" + "\n".join(f"{a:.4f};{b:.4f}" for a, b in zip(starts, C))
    found = answer(text)
    assert found.sentence.startswith("With 25.0 mL of liquid and 200 mg of powder in a jar: The capacity is 22")
    assert "The capacity is 44" in answer(text, volume="50 mL").sentence
    left = "min;c (mg/L)\n" + "\n".join(f"{t:g};{150 - 13 * (1 - np.exp(-0.021 * t)) * 8:.4f}" for t in T)
    assert "The uptake at equilibrium is 13.00 mg/g" in answer(left).sentence


def test_the_readings_that_come_with_the_workbook_tell_their_stories():
    given = given_readings(BUNDLED)
    assert list(given) == list(GIVEN) and all("(invented)" in words for words in given)
    said = [answer(content, name=words).sentence for words, content in given.items()]
    assert re.match(r"The capacity is 1\d\.\d to 1\d\.\d mg/g, likely 18\.\d mg/g", said[0])  # drawn with 18.4
    assert "cannot be told apart with 6 readings" in said[1] and "is below 1/K" in said[2]
    assert (
        "4 h is enough" in said[3]
        and "Nor can it be told whether 4 h is enough" in said[4]
        and "4 h is not enough" in said[5]
    )


@pytest.mark.parametrize("text, kind", [
    (isotherm(head="left (mg/L);uptake (mg/g)"), ISOTHERM), (isotherm(head="Conc. mg/L;q mg/g"), ISOTHERM), (course(head="t [min];q (mg/g)"), COURSE), (course(head="time / min;uptake / mg/g"), COURSE),
])  # fmt: skip
def test_the_heading_tells_what_was_measured(text, kind):
    found = answer(text)
    assert found.table[0][1] == ("Langmuir" if kind == ISOTHERM else "pseudo-first order")


def test_without_a_heading_it_is_asked_and_the_choice_holds():
    bare = "\n".join(isotherm().splitlines()[1:])
    with pytest.raises(LabError, match="Choose it under “The first column is”"):
        answer(bare)


@pytest.mark.parametrize("text, words", [
    ("c / mg/L;q / mg/g\n5;3", "Rows that could be read: 1"), ("min;c / mg/L\n5;20\n10;18\n20;15", "Add a row for time zero"), ("t;q / mg/g\n5;3\n10;4\n20;5", "Write the unit into the heading"),
    ("no table", "No heading says"), (str(BUNDLED / "invented_isotherm_clean.csv"), "No heading says"), (bytes(range(256)) * 40, ""),
    ("c / mg/L;q / mg/g\n5;3\n10;5", "three readings"), ("c / mg/L;q / mg/g\n5;0\n10;0\n20;0", "all of it is zero"),
])  # fmt: skip
def test_what_cannot_be_read_is_told_in_the_words_of_the_panel(text, words):
    with pytest.raises(LabError) as problem:
        answer(text)
    assert (
        words in str(problem.value)
        and not re.search(r"read_\w+\(|\w+=['{\w]", str(problem.value))
        and str(problem.value).startswith("my jars: ")
    )


def test_nothing_is_left_out_in_silence():
    text = isotherm() + "".join(f"\n{n};broken" for n in range(400, 420))
    table = answer(text).table
    assert ("rows", "29 read, 9 kept, 20 left out", "") in table and ("and", "12 more lines left out", "") in table


def test_cautions_stand_beside_it():
    found = answer(isotherm())
    assert found.caution == cautions("chlorides", "solvent") and "safe" not in found.sentence.lower()
    assert any("hydroxide" in row[1] for row in found.table) and any(
        "No published isotherm of iron" in row[1] for row in found.table
    )


def test_without_the_files_an_invented_outline_stands_in(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert list(given_readings()) == ["an invented isotherm in outline"]
    panel = uptake_fit_panel()
    assert panel.trouble is None and panel.sentence.startswith("The capacity is ")


def test_the_panel_follows_every_control_and_never_breaks():
    panel, seen = uptake_fit_panel(BUNDLED), set()
    texts = {
        "check": ("1 s", "90 min", "2 d", "0 h", "3 g"),
        "volume": ("10 mL", "2 L", "-1 mL", "5"),
        "powder_mass": ("80 mg", "1 kg", "0 g", "3 mL"),
    }
    for option in panel.controls["readings"].box.options:
        panel.controls["readings"].box.value = option
        for kind in panel.controls["kind"].box.options:
            panel.controls["kind"].box.value = kind
            assert panel.trouble is None, (option, kind)
            seen.add(panel.sentence)
        panel.controls["kind"].box.value = panel.controls["kind"].box.options[0]
        for name, typed in texts.items():
            start = panel.controls[name].box.value
            for text in typed:
                panel.controls[name].box.value = text
                assert panel.trouble is None and "nan" not in panel.sentence, (option, name, text)
                seen.add(panel.sentence)
            panel.controls[name].box.value = start
    assert len(seen) > 15


def test_hostile_text_breaks_nothing_and_leaves_no_tags():
    panel, size = uptake_fit_panel(BUNDLED), 0
    assert len(HOSTILE) > 100
    for text in HOSTILE[::3]:
        panel.controls["readings"].area.value = (
            isotherm(head=f"c / mg/L;q / mg/g;{text}").replace("\n", f";{text}\n", 3) + f"\n{text};{text}"
        )
        assert panel.trouble is None, text
        drawn = Tags(*(panel.parts[part].value for part in ("said", "rows", "caution", "picture")))
        assert not drawn.tags & {"script", "img", "iframe", "a", "input"}, text
        size += 1
    assert size > 40
    for name in ("check", "volume", "powder_mass"):
        assert_calm(panel, name)


def test_a_time_to_check_alone_does_not_fit_again(monkeypatch):
    calls = []
    monkeypatch.setattr(
        module, "kinetics_report", lambda *a, report=module.kinetics_report: calls.append(1) or report(*a)
    )
    module._known.cache_clear()
    panel = uptake_fit_panel(BUNDLED)
    panel.controls["readings"].box.value = panel.controls["readings"].box.options[3]
    for minutes in range(60, 90):
        panel.controls["check"].box.value = f"{minutes} min"
    assert len(calls) == 1 and panel.trouble is None


def test_an_answer_comes_within_a_frame():
    panel, took = uptake_fit_panel(BUNDLED), []
    panel.controls["readings"].box.value = panel.controls["readings"].box.options[3]
    for minutes in range(60, 100):
        start = time.perf_counter()
        panel.controls["check"].box.value = f"{minutes} min"
        took.append(time.perf_counter() - start)
    assert min(took) < 0.016  # the best: a busy machine only adds time


def test_the_picture_describes_itself():
    found = answer(isotherm())
    alt = re.search(r'aria-label="([^"]*)"', found.svg)[1]
    assert alt.startswith("Uptake of 9 readings from 1.50 to 240 mg/L") and collisions(found.svg) == []


@pytest.mark.parametrize("rows, words", [
    ("c / mg/L;q / mg/g\n10;5\n20;5\n30;5\n40;5\n50;5", "The curve is flat"),
    ("c / mg/L;q / mg/g\n10;8\n20;2\n30;9\n40;1\n50;5", "cannot be told"),
    ("c / mg/L;q / mg/g\n10;0\n20;0\n30;0\n40;0", "all of it is zero"),
    ("min;q / mg/g\n0;0\n10;5\n20;5\n40;5\n80;5\n160;5", "cannot be told"),
])  # fmt: skip
def test_readings_that_do_not_rise_are_answered_too(rows, words):
    panel = uptake_fit_panel()
    panel.controls["readings"].area.value = rows
    assert panel.trouble is None and words in panel.sentence and "()" not in panel.sentence
    assert "same at every reading" not in panel.sentence
