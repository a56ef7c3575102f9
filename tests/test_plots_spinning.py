"""The picture of how long powder takes to come down: its numbers are right, and no words collide."""

import math
import re

import numpy as np
import pytest
from layout import collisions, word_boxes

from labkit.plots.spinning import sinking_times, spinning_figure, spinning_picture, spinning_words
from labkit.units import Q
from labkit.uptake.settling import settling_time
from labkit.uptake.sinking import powder
from labkit.uptake.spinning import time_to_pellet

TURNING = (2600 * 2 * math.pi / 60, 0.05, 0.09)
SIZE = "1 µm"


def at_one_micrometre(sizes, times):
    return float(np.exp(np.interp(0.0, np.log(sizes), np.log(times))))


@pytest.mark.parametrize("liquid", ["acetone", "water"])
def test_the_bands_are_the_ends_of_the_guess(liquid):
    what = powder(SIZE, liquid=liquid)
    stood = settling_time("6 cm", SIZE, liquid=liquid).still
    spun = time_to_pellet(2600, "5 cm", "9 cm", SIZE, liquid=liquid).time
    for span, turning in ((stood, None), (spun, TURNING)):
        sizes, least, longest = sinking_times(what, 0.06, turning)
        assert np.isfinite(least).any() and np.all(longest[np.isfinite(longest)] > 0)
        for times, end in ((least, span.low), (longest, span.high)):
            assert at_one_micrometre(sizes, times) == pytest.approx(
                end.m_as("s"), rel=0.01
            )  # between points of a curve


def test_times_fall_as_the_square_of_the_size():
    sizes, least, _ = sinking_times(powder(SIZE, liquid="water"), 0.06)
    assert least[0] / least[5] == pytest.approx((sizes[5] / sizes[0]) ** 2, rel=1e-3)


def test_the_figure_shows_both_ways_and_the_sizes():
    what = powder("0.3 to 4 µm", liquid="water")
    axes = spinning_figure(what, 0.06, TURNING).axes[0]
    lines = {line.get_label(): line for line in axes.lines}
    assert set(lines) == {"in a jar that stands", "spun"} and axes.get_xlabel() == "Width of the grains / µm"
    for name, turning in (("in a jar that stands", None), ("spun", TURNING)):
        _, least, longest = sinking_times(what, 0.06, turning)
        assert lines[name].get_ydata() == pytest.approx(np.sqrt(least * longest), nan_ok=True)
    (band,) = axes.patches
    assert (band.get_x(), band.get_x() + band.get_width()) == pytest.approx((0.3, 4.0))
    assert {text.get_text() for text in axes.get_yticklabels()} >= {"1 h", "1 day", "1 year"}
    assert len(spinning_figure(what, 0.06).axes[0].lines) == 1


@pytest.mark.parametrize("liquid", ["acetone", "ethanol", "water"])
@pytest.mark.parametrize(
    "size", ["0.02 to 0.04 µm", "0.2 to 5 µm, likely 1 µm", "1 µm", "20 to 900 µm", "60 to 900 µm"]
)
@pytest.mark.parametrize("turns", [None, 60, 1500, 2600, 9000, 40000])
def test_no_words_collide(liquid, size, turns):
    what = powder(size, liquid=liquid)
    turning = turns and (turns * 2 * math.pi / 60, 0.05, 0.09)
    svg = spinning_picture(what, 0.06, turning, spinning_words(what, 0.06, turning))
    assert "nan" not in svg and len(svg) < 60_000
    found = {words for words, _ in word_boxes(svg)}
    assert found >= {"grains as guessed", "in a jar that stands"} and ("spun" in found) == bool(turns)
    assert collisions(svg) == []


def test_the_words_have_the_numbers():
    what = powder("0.3 to 4 µm", liquid="water")
    words = spinning_words(what, 0.06, TURNING)
    hours = re.search(r"after (\d+) h to ([\d.]+) days in a jar that stands", words)
    stood = settling_time("6 cm", SIZE, liquid="water").still
    assert float(hours[1]) == pytest.approx(stood.low.m_as("h"), rel=0.03)
    assert float(hours[2]) == pytest.approx(stood.high.m_as("day"), rel=0.03)
    assert "0.30 to 4.0 µm marked" in words and "spun" in words
    assert f'aria-label="{words}"' in spinning_picture(what, 0.06, TURNING, words)
    assert Q(1, "µm") == what.diameter.low.to("µm") / 0.3
