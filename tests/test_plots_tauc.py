"""The plot a gap is read from: points where the definition puts them, the crossing at the gap, words with its numbers."""

import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from layout import collisions, word_boxes

from labkit.light import Reflectance, gap_report, tauc_gap
from labkit.plots import image_tag
from labkit.plots.tauc import tauc_figure, tauc_svg, tauc_words
from labkit.units import number

HC = 1239.841984332  # eV nm, CODATA
NM = np.arange(340.0, 701.0, 2.0)
# An invented powder: direct at 2.70 eV, something absorbing below the edge.
ABSORBED = 8 * np.sqrt(np.maximum(HC / NM - 2.7, 0)) * NM / HC
FLAT = 0.05
SPECTRUM, DOPED = (
    Reflectance(NM, 1 + absorbed - np.sqrt(absorbed**2 + 2 * absorbed)) for absorbed in (ABSORBED, ABSORBED + FLAT)
)
NOTHING = Reflectance(NM, 0.8 + 0 * NM)
CASES = {
    "direct": tauc_gap(SPECTRUM, "direct"),
    "indirect": tauc_gap(DOPED, "indirect"),
    "crossing": tauc_gap(DOPED, "direct", baseline="crossing"),
    "both": gap_report(DOPED),
    "by hand": tauc_gap(SPECTRUM, "direct", region="2.8 to 3.0 eV"),
    "nothing": tauc_gap(NOTHING, "direct"),
    "neither": gap_report(NOTHING),
}


def frame(svg):
    return [float(n) for n in re.search(r'<clipPath id="[^"]*"><rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"', svg).groups()]  # fmt: skip


def limits(figure):
    (axes,) = figure.axes
    return (*axes.get_xlim(), *axes.get_ylim())


@pytest.mark.parametrize("case", CASES)
def test_every_case_is_drawn_twice_and_nothing_collides(case):
    svg = tauc_svg(CASES[case])
    ElementTree.fromstring(svg)
    assert collisions(svg) == []
    assert word_boxes(svg)
    figure = tauc_figure(CASES[case])
    assert tauc_words(CASES[case]) in re.sub("&[a-z]+;", "", image_tag(figure, alt=tauc_words(CASES[case])))
    assert svg == tauc_svg(CASES[case])


def test_points_stand_where_the_definition_puts_them():
    svg, figure = tauc_svg(CASES["direct"]), tauc_figure(CASES["direct"])
    x0, x1, y0, y1 = limits(figure)
    left, top, wide, high = frame(svg)
    energy = HC / NM
    y = (ABSORBED * energy) ** 2
    shown = (energy >= x0) & (energy <= x1) & (y <= y1)
    expected = np.column_stack([left + wide * (energy - x0) / (x1 - x0), top + high * (y1 - y) / (y1 - y0)])[shown]
    dots = np.array(re.findall(r"M(-?[\d.]+) (-?[\d.]+)m-2.1", svg), dtype=float)
    assert len(dots) == shown.sum() > 80
    assert dots[np.argsort(dots[:, 0])] == pytest.approx(expected[np.argsort(expected[:, 0])], abs=0.2)
    (curve, *_) = figure.axes[0].get_lines()[1:]  # after the axis at zero
    assert sorted(curve.get_xdata()) == pytest.approx(sorted(energy[shown]), abs=1e-6)


def test_the_line_meets_the_axis_at_the_gap():
    svg, figure = tauc_svg(CASES["direct"]), tauc_figure(CASES["direct"])
    x0, x1, y0, y1 = limits(figure)
    left, top, wide, high = frame(svg)
    line = re.search(r'<path d="M([\d. ]+)" fill="none" stroke="#0072B2"', svg)[1].split()
    start = left + wide * (2.7 - x0) / (x1 - x0), top + high * y1 / (y1 - y0)
    assert [float(n) for n in line[:2]] == pytest.approx(start, abs=0.6)  # 0.004 eV across the picture
    cx, cy = re.search(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg).groups()
    assert (float(cx), float(cy)) == pytest.approx(start, abs=0.6)


def test_a_baseline_is_drawn_where_it_is_crossed():
    svg, found = tauc_svg(CASES["crossing"]), CASES["crossing"]
    assert svg.count('stroke="#595959"') > tauc_svg(CASES["direct"]).count('stroke="#595959"')
    assert "meets a baseline" in tauc_words(found)
    assert found.below[1] < number(found.gap.likely, "eV")


def test_the_region_by_hand_is_shaded():
    svg, figure = tauc_svg(CASES["by hand"]), tauc_figure(CASES["by hand"])
    x0, x1, _, _ = limits(figure)
    left, _, wide, _ = frame(svg)
    # Between the outermost points within it, which stand 2 nm apart: 0.014 eV there.
    places = [float(n) for n in re.search(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"[^>]*fill="#56B4E9"', svg).groups()]  # fmt: skip
    ends = x0 + (places[0] - left) / wide * (x1 - x0), x0 + (sum(places) - left) / wide * (x1 - x0)
    assert ends == pytest.approx((2.8, 3.0), abs=0.016)
    moved = tauc_gap(SPECTRUM, "direct", region="2.9 to 3.2 eV")
    assert limits(tauc_figure(moved)) == limits(figure)  # nothing jumps when the region moves


def test_words_have_the_numbers_and_say_when_there_are_none():
    words = tauc_words(CASES["both"])
    assert "2.70 eV" in words and "indirect gap" in words and "direct gap" in words and "taken off" in words
    assert "none can be told" in tauc_words(CASES["nothing"]) and "gap can be told" in tauc_svg(CASES["nothing"])
    assert tauc_words(CASES["neither"]).count("none can be told") == 2
    for case in CASES.values():
        assert "nan" not in tauc_svg(case).lower().replace("dominant", "")


@pytest.mark.parametrize("case", ["both", "neither"])
def test_two_curves_can_be_told_apart_without_their_colours(case):
    svg = tauc_svg(CASES[case])
    assert [words.split(":")[0] for words, _ in word_boxes(svg)] == ["■ indirect", "● direct"]
    shapes = {role: set(re.findall(r"[ah](?=[\d.])", path)) for path, role in re.findall(r'<path d="([^"]*)" fill="(#\w+)" fill-opacity="0.6"', svg)}  # fmt: skip
    assert shapes == {"#D55E00": {"h"}, "#0072B2": {"a"}}  # squares and circles
    markers = {line.get_color(): line.get_marker() for line in tauc_figure(CASES[case]).axes[0].get_lines() if line.get_markersize() == 3.6}  # fmt: skip
    assert markers == {"#D55E00": "s", "#0072B2": "o"}


def test_axes_are_named_after_what_is_plotted():
    names = {case: tauc_figure(CASES[case]).axes[0].get_ylabel() for case in ("direct", "indirect", "both")}
    assert names == {"direct": "(F·E)² / eV²", "indirect": "√(F·E) / √eV", "both": "Each curve, scaled"}


def test_a_very_fine_spectrum_stays_a_small_picture():
    nm = np.arange(340, 700, 0.02)
    absorbed = 8 * np.sqrt(np.maximum(HC / nm - 2.7, 0)) * nm / HC
    svg = tauc_svg(tauc_gap(Reflectance(nm, 1 + absorbed - np.sqrt(absorbed**2 + 2 * absorbed)), "direct"))
    assert len(svg) < 60_000
