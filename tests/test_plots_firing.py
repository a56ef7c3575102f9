"""The picture of a schedule: its course is where the schedule says, the stages are those of the data, words stand free."""

import re

import numpy as np
import pytest
from helpers import assert_close
from layout import collisions

from labkit.data import table
from labkit.heat.schedule import schedule
from labkit.heat.trace import Trace
from labkit.plots.firing import SHORT, firing_figure, firing_picture, firing_words

USUAL = schedule("to 550 °C at 3 °C/min", "hold 3 h", "cool to 60 °C at 2 °C/min")
PLANS = (
    USUAL,
    schedule("to 1150 °C at 5 °C/min", "hold 30 min", "cool to 60 °C with 100 min"),
    schedule("to 2000 °C in 30 min"),
    schedule("to 560 °C in 30 min", "hold 40 min"),
    schedule("to 720 °C in 4 h", "hold 10 h", "to 30 °C in 40 h"),
    schedule("to 590 °C in 2 min", "hold 30 d"),
    schedule("to 410 °C in 6 h", "hold 3 h", "to 700 °C in 2 h"),
    schedule("cool to -10 °C in 1 h"),
)


def test_the_course_is_that_of_the_schedule():
    axes, ladder = firing_figure(USUAL).axes
    (course,) = [line for line in axes.lines if len(line.get_xdata()) > 2]
    # By hand: 530 °C at 3 a minute, three hours, 490 °C at 2 a minute.
    up, down = 530 / 3 / 60, 490 / 2 / 60
    assert_close(course.get_xdata(), np.array([0, up, up + 3, up + 3 + down]), within=1e-9)
    assert_close(course.get_ydata(), np.array([20, 550, 550, 60.0]), within=1e-9)
    assert axes.get_xlim()[1] >= up + 3 + down
    assert "h" in axes.get_xlabel() and "°C" in axes.get_ylabel()
    assert ladder.get_ylim() == axes.get_ylim()


def test_every_stage_of_the_data_stands_beside_it_at_its_temperature():
    rows = table("stages")
    assert len(rows) > 10 and set(SHORT) == {row["name"] for row in rows}
    ladder = firing_figure(USUAL).axes[1]
    shown = [text.get_text() for text in ladder.texts]
    assert shown == [f"{float(row['starts']):g} {SHORT[row['name']]}" for row in rows]
    leaders = [line.get_ydata()[0] for line in ladder.lines]
    assert leaders == [float(row["starts"]) for row in rows]
    bands = [area.get_paths()[0].get_extents() for area in ladder.collections]
    for band, row in zip(bands, rows, strict=True):
        assert_close(band.y0, float(row["starts"]), within=1e-9)
        if row["ends"]:
            assert_close(band.y1, float(row["ends"]), within=1e-9)
    heights = [text.get_position()[1] for text in ladder.texts]
    assert min(np.diff(heights)) >= 0.05 * ladder.get_ylim()[1]  # no name stands on another


def test_what_is_from_memory_says_so():
    for row in table("stages"):
        assert ("memory" in SHORT[row["name"]]) == (row["kind"] == "from memory")


@pytest.mark.parametrize("firing", PLANS, ids=range(len(PLANS)))
@pytest.mark.parametrize("covered", [True, False])
def test_words_of_the_live_picture_stand_free(firing, covered):
    assert collisions(firing_picture(firing, covered)) == []


def test_open_adds_its_line_and_its_words():
    axes = {covered: firing_figure(USUAL, covered).axes[0] for covered in (True, False)}
    level = [line.get_ydata()[0] for line in axes[False].lines if set(line.get_ydata()) == {400}]
    assert level == [400]
    assert len(axes[False].lines) == len(axes[True].lines) + 1
    assert [text.get_text() for text in axes[False].texts] == [
        "700 °C: lost", "600 °C: loss, HCN", "lost if open", "usual window"]  # fmt: skip
    assert "400 °C" in firing_words(USUAL, covered=False) and "400 °C" not in firing_words(USUAL)


def test_the_words_have_the_numbers():
    words = firing_words(USUAL)
    # 10 min up from 520 °C, 180 min, 15 min down to it: 205 min.
    assert "3 h 25 min in the window from 520 to 580 °C" in words
    assert "peaks at 550 °C after 2 h 57 min" in words  # 530/3 min
    assert (
        "600 °C marks from where the powder is being lost, with more hydrogen cyanide" in words
        and "700 °C where it is lost" in words
    )
    assert words in firing_picture(USUAL)


def test_the_live_course_has_the_places_of_the_figure():
    text = firing_picture(USUAL)
    path = re.findall(r'<path d="(M[^"]*)" fill="none"', text)[-1]
    places = np.array(re.findall(r"-?[\d.]+", path), dtype=float).reshape(-1, 2)
    assert places.shape == (4, 2)
    minutes = np.array([0, 530 / 3, 530 / 3 + 180, 530 / 3 + 180 + 245])
    celsius = np.array([20, 550, 550, 60])
    for along, wanted in zip(places.T, (minutes, celsius)):
        share = (along - along[0]) / (along[1] - along[0])
        expected = (wanted - wanted[0]) / (wanted[1] - wanted[0])
        assert_close(share, expected, within=0.003)  # places are written to 0.1 point


@pytest.mark.parametrize("firing", PLANS, ids=range(len(PLANS)))
def test_each_line_has_its_degrees_and_the_poison(firing):
    svg = firing_picture(firing, covered=False)
    for words in ("600 °C: loss, HCN", "700 °C: lost", "lost if open"):
        assert words in svg


def test_a_log_is_drawn_as_well():
    trace = Trace([0, 60, 180, 300], [20, 540, 560, 80])
    assert "peaks at 560 °C after 3 h" in firing_words(trace)
    assert collisions(firing_picture(trace)) == []


def test_the_window_and_the_limits_are_drawn_where_they_are():
    axes = firing_figure(USUAL).axes[0]
    levels = sorted({float(line.get_ydata()[0]) for line in axes.lines if len(set(line.get_ydata())) == 1})
    # 600 °C: loss, with hydrogen cyanide; 700 °C: lost; 520 to 580 °C: the usual window.
    assert {600.0, 700.0} <= set(levels)
    (band,) = [patch for patch in axes.patches if patch.get_height() == pytest.approx(60)]
    assert (band.get_y(), band.get_y() + band.get_height()) == pytest.approx((520, 580))
