"""The pictures of a run of gas: its numbers are right, and no words collide."""

import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import numpy as np
import pytest
from layout import SVG, collisions, word_boxes

from labkit.hydrogen import gas_rate, gas_readings, read_gas
from labkit.plots.gas import gas_figure, gas_picture, gas_words
from labkit.units import Q

DATA = Path(__file__).resolve().parent.parent / "workbooks" / "data"
NAMES = ("clean", "warming", "induction", "leaking")
MINUTES = np.arange(0, 301, 15.0)


def rate_of(volumes, minutes=MINUTES, blank="0.05 ± 0.02 mL/h"):
    return gas_rate(gas_readings(Q(minutes, "min"), Q(volumes, "mL")), blank, headspace="45 mL")


def bundled(name, blank=True):
    dark = read_gas(DATA / "invented_gas_dark.csv") if blank else None
    return gas_rate(read_gas(DATA / f"invented_gas_{name}.csv"), dark, headspace="45 mL")


def axes_of(svg):
    *_, clip = ElementTree.fromstring(svg).iter(f"{SVG}clipPath")
    return [float(clip[0].get(name)) for name in ("x", "y", "width", "height")]


def test_the_figure_shows_readings_line_and_blank_at_their_places():
    rate = rate_of(0.2 + 0.3 * MINUTES / 60)
    (axes,) = gas_figure(rate).axes
    lines = {line.get_label(): line for line in axes.lines if line.get_label()[:1] != "_"}
    assert lines["blank"].get_xdata().tolist() == [0, 5]
    assert lines["blank"].get_ydata() == pytest.approx([0.2, 0.2 + 0.05 * 5])
    (fitted,) = (line for label, line in lines.items() if "mL/h" in label)
    assert fitted.get_ydata() == pytest.approx([0.2, 1.7]) and fitted.get_xdata().tolist() == [0, 5]
    (points,) = axes.containers
    assert points[0].get_ydata() == pytest.approx(0.2 + 0.3 * MINUTES / 60) and points[0].get_xdata() == pytest.approx(
        MINUTES / 60
    )
    assert axes.get_xlabel() == "Time / h" and axes.get_ylabel() == "Gas / mL"
    assert axes.get_legend() is not None


def test_the_figure_marks_the_start_and_the_end_without_gas():
    rate = rate_of(0.4 + 0.01 * np.clip(MINUTES - 60, 0, 160))
    axes = gas_figure(rate).axes[0]
    assert {text.get_text() for text in axes.texts} == {"no gas yet", "no more gas"}
    spans = sorted((patch.get_x(), patch.get_x() + patch.get_width()) for patch in axes.patches)
    assert spans[0] == pytest.approx((0, 1), abs=0.1) and spans[1] == pytest.approx((220 / 60, 5), abs=0.1)
    words = gas_words(rate)
    assert (
        "No gas came for the first 1 h" in words
        and "rises by 0.600 mL/h" in words
        and "The blank is 0.050 mL/h." in words
    )
    assert re.search(r"None came from 3 h (3[5-9]|4[0-5]) min on", words)


def test_what_was_put_right_stands_beside_what_was_read():
    rate = bundled("warming")
    lines = {line.get_label(): line for line in gas_figure(rate).axes[0].lines}
    read = read_gas(DATA / "invented_gas_warming.csv").millilitres
    assert lines["as read"].get_ydata() == pytest.approx(read) and read[-1] > 1.5
    assert np.ptp(gas_figure(rate).axes[0].containers[0][0].get_ydata()) < 0.06  # three steps of the scale
    assert "put right" in gas_words(rate) and "stays level within its uncertainty" in gas_words(rate)
    assert f"As read it went from {read[0]:.2f} to {read[-1]:.2f} mL" in gas_words(rate)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("blank", [True, False])
def test_no_words_of_the_bundled_runs_collide(name, blank):
    rate = bundled(name, blank)
    svg = gas_picture(rate, gas_words(rate))
    assert collisions(svg) == [] and "nan" not in svg and len(svg) < 60_000
    assert any("mL/h" in words for words, _ in word_boxes(svg))
    assert any(words == "blank" for words, _ in word_boxes(svg)) == blank


def test_the_live_picture_has_its_readings_where_they_belong():
    rate = rate_of(0.2 + 0.3 * MINUTES / 60)
    svg = gas_picture(rate, gas_words(rate))
    left, top, wide, high = axes_of(svg)
    dots = [(float(dot.get("cx")), float(dot.get("cy"))) for dot in ElementTree.fromstring(svg).iter(f"{SVG}circle")]
    assert len(dots) == MINUTES.size
    ticks = gas_figure(rate).axes[0].get_ylim()  # the same ends of the axes
    for (x, y), minute in zip(dots, MINUTES):
        assert x == pytest.approx(left + wide * minute / 300, abs=0.2)
        height = (0.2 + 0.3 * minute / 60 - ticks[0]) / (ticks[1] - ticks[0])
        assert y == pytest.approx(top + high * (1 - height), abs=0.2)
    assert f'aria-label="{gas_words(rate)}"' in svg


@pytest.mark.parametrize("size", [3, 12, 60, 1500])
@pytest.mark.parametrize("scale", [1e-3, 0.3, 40, -2])
def test_any_size_of_run_can_be_drawn(size, scale):
    minutes = np.linspace(0, 300, size)
    rate = rate_of(scale * minutes / 300 + 0.01 * scale * np.cos(minutes), minutes)
    svg = gas_picture(rate, gas_words(rate))
    assert "nan" not in svg and len(svg) < 60_000 and collisions(svg) == []
    assert svg.count("<circle") <= 60
