"""The ladder of a recipe: its marks stand at their numbers, in their rows, and no words collide."""

import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from layout import SVG, collisions, word_boxes

from labkit.plots.recipe import ENDS, ladder, recipe_figure, recipe_picture, recipe_words
from labkit.solutions import Recipe, checked_recipe

CHECK = checked_recipe(Recipe("0.74 g", "FeCl3·6H2O", "1.6 g", "95 mL", "acetone"), "0.7 %")
NOMINAL = 100 * 0.74 * 55.845 / 270.30 / (0.74 * 55.845 / 270.30 + 1.6)  # 8.72 %, by hand


def marks(svg):
    """Return (x, y) of every mark, in points, from above."""
    root = ElementTree.fromstring(svg)
    found = [(float(mark.get("cx")), float(mark.get("cy"))) for mark in root.iter(f"{SVG}circle")]
    for path in root.iter(f"{SVG}path"):
        if moved := re.fullmatch(r"translate\(([\d.]+) ([\d.]+)\)", path.get("transform") or ""):
            found.append((float(moved[1]), float(moved[2])))
    return sorted(found, key=lambda place: place[1])


def axes_of(svg):
    *_, clip = ElementTree.fromstring(svg).iter(f"{SVG}clipPath")
    return [float(clip[0].get(name)) for name in ("x", "y", "width", "height")]


def test_the_rows_between():
    rows = ladder("Fe")
    assert ("one per heptazine", pytest.approx(21.73, abs=0.01), "computed") in rows  # 55.845 / (55.845 + 201.15)
    assert [percent for _, percent, _ in rows] == sorted((percent for _, percent, _ in rows), reverse=True)
    assert {kind for *_, kind in rows} == {"computed", "published", "from memory"}
    assert [name for name, *_ in ladder("Zn")] == ["one per heptazine", "zinc from water"]
    assert [name for name, *_ in ladder("Mn")] == ["one per heptazine"]  # nothing known of it


def test_the_still_figure():
    (axes,) = recipe_figure(CHECK).axes
    lines = [line for line in axes.lines if len(line.get_xdata()) == 2]
    assert len(lines) == len(ladder("Fe")) + 2
    assert max(line.get_ydata()[0] for line in lines) == len(lines) - 1
    top = next(line for line in lines if line.get_ydata()[0] == len(lines) - 1)
    assert top.get_xdata()[1] == pytest.approx(NOMINAL, rel=1e-3)
    bottom = next(line for line in lines if line.get_ydata()[0] == 0)
    assert bottom.get_xdata()[1] == pytest.approx(0.7)
    labels = [label.get_text() for label in axes.get_yticklabels()]
    assert labels[-1] == "the recipe" and labels[0] == "wanted" and "one per heptazine" in labels
    written = " ".join(text.get_text() for text in axes.texts)
    assert "8.72 %, nominal" in written and "0.70 %, nominal" in written and "memory" in written
    assert "%" in axes.get_xlabel()


def test_the_words_carry_the_numbers():
    words = recipe_words(CHECK)
    for part in ("8.72 %", "21.7 % (computed)", "8.0 % (published)", "20 % (from memory)", "0.70 %", "logarithmic"):
        assert part in words, part


def test_live_marks_stand_where_they_belong():
    svg = recipe_picture("Zn", 3.3, 0.4, "A ladder up to 3.3 %.")
    assert 'aria-label="A ladder up to 3.3 %."' in svg
    left, top, width, height = axes_of(svg)
    found, rows = marks(svg), 4
    assert len(found) == rows
    for (x, y), percent, row in zip(found, (3.3, 24.53, 12.13, 0.4), range(rows)):
        share = np.log(percent / ENDS[0]) / np.log(ENDS[1] / ENDS[0])
        assert x == pytest.approx(left + width * share, abs=0.6)
        assert y == pytest.approx(top + height * (row + 0.6) / (rows + 0.2), abs=0.6)
    words = [text for text, _ in word_boxes(svg)]
    assert "3.30 %, nominal" in words and "0.40 %, nominal" in words and "12 %" in words


@pytest.mark.parametrize("metal", ["Fe", "Zn", "Mn"])
def test_no_words_collide(metal):
    for nominal in (0.001, 0.03, 0.1, 0.5, 1, 2, 5, 8, 12, 20, 21.7, 30, 45, 70, 99.9):
        for wanted in (0.1, 0.5, 1, 2, 5, 20, 90):
            svg = recipe_picture(metal, nominal, wanted, "A ladder.")
            assert collisions(svg) == [], (nominal, wanted)
            assert "nan" not in svg
    assert "← 0.00100 %" in recipe_picture(metal, 0.001, 1, "A ladder.")


def test_kinds_differ_by_more_than_colour():
    svg = recipe_picture("Fe", 3.3, 0.4, "A ladder.")
    dashes = set(re.findall(r'stroke-dasharray="([^"]+)"', svg))
    assert len(dashes) >= 2 and "memory" in svg
