"""The picture of a switched kiln: the curve, the band and the blocks are where the numbers say."""

import math
import re

import numpy as np
import pytest
from layout import collisions, word_boxes

from labkit.heat.kiln import Kiln, course, cycles
from labkit.plots.kiln import drawn_course, kiln_picture, reach
from labkit.units import Q

BOTH = "loss and HCN from 600 °C, lost above 700 °C"
TAU, CEILING, AIR = 70.0, 870.0, 15.0  # an invented kiln


def firing(count=6, ceiling=CEILING, on=9, off=6):
    switching = [("80 min", True), *((time, not state) for time, state in cycles(f"{off} min", f"{on} min", count))]
    blocks, at = [(0.0, 80.0)], 80.0
    for _ in range(count):
        blocks.append((at + off, at + off + on))
        at += off + on
    return course(Kiln(Q(TAU, "min"), Q(float(ceiling), "degC"), Q(AIR, "degC")), switching), blocks


def axes(svg):
    """Return the ends (left, top, width, height) of the axes, in points."""
    return tuple(float(n) for n in re.search(r'<clipPath id="[^"]*"><rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"', svg).groups())  # fmt: skip


def test_the_curve_passes_through_the_exponentials():
    found, _ = firing()
    minutes, celsius = drawn_course(found)
    warm = minutes <= 80
    assert warm.sum() > 100
    assert np.allclose(celsius[warm], CEILING + (AIR - CEILING) * np.exp(-minutes[warm] / TAU), atol=1e-6)
    top = CEILING + (AIR - CEILING) * math.exp(-80 / TAU)
    after = (minutes >= 80) & (minutes <= 86)
    assert after.sum() > 5
    assert np.allclose(celsius[after], AIR + (top - AIR) * np.exp(-(minutes[after] - 80) / TAU), atol=1e-6)
    assert {0, 80, 86, 95, 170} <= set(np.round(minutes, 9))  # each switching has a point of its own


def test_band_line_and_curve_stand_on_the_scale():
    found, blocks = firing()
    svg = kiln_picture(found, (520, 580), (600.0, 700.0), blocks, "A kiln.")
    left, top, wide, high = axes(svg)

    def height(celsius):  # the axis goes from 0 to 800 °C, and a tenth further for the blocks
        return top + high * (1 - celsius / 880)

    band = np.array(
        re.findall(r"-?[\d.]+", re.search(r'<path d="([^"]+)" fill="#56B4E9"', svg)[1]), dtype=float
    ).reshape(-1, 2)
    assert band[:, 1].min() == pytest.approx(height(580), abs=0.1) and band[:, 1].max() == pytest.approx(
        height(520), abs=0.1
    )
    curve = np.array(
        re.findall(r"-?[\d.]+", re.search(r'<path d="([^"]+)" fill="none" stroke="#0072B2"', svg)[1]), dtype=float
    ).reshape(-1, 2)
    peak = CEILING + (AIR - CEILING) * math.exp(-80 / TAU)
    assert curve[0] == pytest.approx((left, height(AIR)), abs=0.1)
    assert curve[:, 1].min() == pytest.approx(height(max(peak, found.celsius.max())), abs=0.1)
    assert curve[-1, 0] == pytest.approx(left + wide * (170 / 60) / 3, abs=0.1)  # 170 min on an axis of 3 h


def test_each_time_on_has_a_block():
    found, blocks = firing()
    svg = kiln_picture(found, (520, 580), (600.0, 700.0), blocks, "A kiln.")
    left, _, wide, _ = axes(svg)
    boxes = [
        (float(x), float(w))
        for x, w in re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"[^>]*stroke-width="2"', svg)
    ]
    assert len(boxes) == len(blocks) == 7
    for (x, width), (start, end) in zip(boxes, blocks):
        assert x == pytest.approx(left + wide * start / 180, abs=0.1) and width == pytest.approx(wide * (end - start) / 180, abs=0.11)  # fmt: skip


def test_thousands_of_blocks_become_one_and_say_so():
    found, blocks = firing(2500, on=0.6, off=0.5)
    svg = kiln_picture(found, (520, 580), (600.0, 700.0), blocks, "A kiln.")
    assert len(svg) < 60_000 and "too often to draw" in svg
    assert len(re.findall('stroke-width="2"/?>', svg)) < 10


@pytest.mark.parametrize("ceiling", [400, 560, 700, 870, 1300, 1900])
@pytest.mark.parametrize("window", [(520, 580), (200, 205), (690, 699), (100, 900)])
def test_words_stand_free_wherever_the_curve_goes(ceiling, window):
    for count in (1, 6, 25):
        found, blocks = firing(count, ceiling)
        svg = kiln_picture(found, window, (600.0, 700.0), blocks, "A kiln.")
        assert collisions(svg) == [], count
        assert any("kiln on" in words for words, _ in word_boxes(svg))


@pytest.mark.parametrize("ceiling", [600, 760, 870, 1100])
def test_words_on_a_limit_never_stand_where_it_is_cooler(ceiling):
    for count in (1, 6, 25):
        for on in (9, 14, 30):
            found, blocks = firing(count, ceiling, on=on)
            svg = kiln_picture(found, (520, 580), (600.0, 700.0), blocks, "A kiln.")
            left, top, wide, high = axes(svg)
            words = dict(word_boxes(svg))
            assert {"loss and HCN from 600 °C", BOTH} & set(words)
            full = 1.1 * reach(found, (520, 580))[1]
            for text, limit in (("loss and HCN from 600 °C", 600), ("powder lost above 700 °C", 700), (BOTH, 700)):
                if text in words:
                    assert words[text][3] < top + high * (1 - limit / full), (text, count, on)
