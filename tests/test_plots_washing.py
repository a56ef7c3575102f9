"""The pictures of washing and of uptake by difference carry the right numbers, and no words collide."""

import numpy as np
import pytest
from layout import collisions, word_boxes

from labkit.plots.style import figure_svg
from labkit.plots.taken_up import shares, taken_up_figure, taken_up_picture, taken_up_words
from labkit.plots.washing import (
    WIDTHS,
    reach,
    split_figure,
    split_words,
    washing_figure,
    washing_picture,
    washing_words,
)
from labkit.uptake.residual import washing_plan
from labkit.uptake.taken_up import taken_up
from labkit.uptake.washing import best_split


def plan(**changes):
    return washing_plan(**{"concentration": "21 mmol/L", "held": "6 mL", "added": "30 mL", "salt": "ZnCl2", "powder_mass": "1.8 g",
                           "loading": "0.3 %", "mixing": 1, **changes})  # fmt: skip


def difference(before="612 ± 6 mg/L", after="488 ± 5 mg/L", **rest):
    return taken_up(before, after, "75 mL", "1.8 g", salt="FeCl3", count=2000, **rest)


# 8.238 mg of zinc dissolved beside 5.416 mg taken up, and each wash leaves 6/36: see test_washing.
START = 100 * 8.238 / 5.416


def test_the_curve_of_washing():
    (axes,) = washing_figure(plan()).axes
    line = next(line for line in axes.lines if len(line.get_xdata()) > 3)
    counts = np.arange(13)
    assert line.get_xdata() == pytest.approx(counts)
    assert line.get_ydata() == pytest.approx(START / 6.0**counts, rel=1e-3)
    levels = [line.get_ydata()[0] for line in axes.lines if len(line.get_xdata()) == 2]
    assert levels == pytest.approx([5])
    (mark,) = [line for line in axes.lines if len(line.get_xdata()) == 1]
    assert (mark.get_xdata()[0], mark.get_ydata()[0]) == pytest.approx((2, START / 36), rel=1e-3)
    assert axes.get_yscale() == "log" and axes.get_xlabel() == "Washes" and "% of that taken up" in axes.get_ylabel()
    said = washing_words(plan())
    assert "from 152 %" in said and "after 2 washes at best, 2 likely and 2 at worst; after 2 it is 4.22 %" in said


def test_the_axis_goes_as_far_as_it_must():
    assert reach(plan()) == WIDTHS[0] and reach(plan(washes=12)) == 12 and reach(plan(washes=13)) == 30
    assert reach(plan(washes=200)) == 200


@pytest.mark.parametrize("changes", [
    {}, {"washes": 0}, {"washes": 1}, {"washes": 12}, {"washes": 40}, {"washes": 200}, {"loading": "0.001 %"}, {"loading": "40 %"},
    {"held": "4 to 10 mL", "loading": "0.1 to 2 %", "mixing": "50 to 100 %"}, {"held": "4 to 10 mL", "mixing": "50 to 100 %", "washes": 7},
    {"added": "3 mL", "mixing": 0.6}, {"share": "50 %"}, {"share": "0.01 %"}, {"concentration": "5 mol/L"}, {"concentration": "1 µmol/L"},
])  # fmt: skip
def test_no_words_collide_in_washing(changes):
    found = plan(**changes)
    svg = washing_picture(found, washing_words(found))
    assert collisions(svg) == [] and "nan" not in svg
    said = [words for words, _ in word_boxes(svg)]
    assert any(words.startswith(f"after {found.chosen}: ") for words in said)
    beyond = not 0.01 <= found.dissolved.likely.m_as("percent") <= 10_000
    assert beyond == any(words.endswith(("↓", "↑")) for words in said)
    assert "nan" not in figure_svg(washing_figure(found))


def test_bars_of_a_difference():
    rows = shares(difference())
    assert [row[1] for row in rows] == pytest.approx([100, 100 * 488 / 612, 100 * 124 / 612], rel=1e-6)
    assert rows[0][3] - 100 == pytest.approx(1.96 * 100 * 6 / 612, rel=1e-3)
    assert rows[1][3] - rows[1][1] == pytest.approx(1.96 * 100 * 5 / 612, rel=1e-3)
    (axes,) = taken_up_figure(difference()).axes
    assert [patch.get_width() for patch in axes.patches] == pytest.approx([row[1] for row in rows])
    assert "taken up: 20.3 %" in taken_up_words(difference()) and axes.get_xlabel() == "Metal / % of that offered"


@pytest.mark.parametrize("given", [
    {}, {"after": "605 ± 6 mg/L"}, {"after": "0 ± 1 mg/L"}, {"after": "700 ± 5 mg/L"}, {"after": "3000 ± 5 mg/L"}, {"after": "500 ± 900 mg/L"},
    {"after": "488 mg/L"}, {"before": "612 mg/L"}, {"volume_after": "60 ± 2 mL"},
])  # fmt: skip
def test_no_words_collide_in_a_difference(given):
    found = difference(**given)
    svg = taken_up_picture(found, taken_up_words(found))
    assert collisions(svg) == [] and "nan" not in svg
    assert len(word_boxes(svg)) == 3 and "nan" not in figure_svg(taken_up_figure(found))


def test_the_curve_of_a_split():
    found = best_split("90 mL", "6 mL", 6)
    (axes,) = split_figure(found).axes
    counts = np.arange(1, 7)
    for line in [line for line in axes.lines if len(line.get_xdata()) == 6]:
        assert line.get_ydata() == pytest.approx(100 * (6 / (6 + 90 / counts)) ** counts, rel=1e-9)
    assert "1: 6.2 %, 2: 1.4 %, 3: 0.46 %" in split_words(found)
    assert "nan" not in figure_svg(split_figure(best_split("1 L", "1 mL", 50)))
