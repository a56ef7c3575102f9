"""The pictures of computed colours: what is drawn where, and in words."""

import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from layout import SVG, collisions, word_boxes
from matplotlib.colors import to_hex
from test_colour import HC, HEXES

from labkit.data import table
from labkit.light import colour_verdict, powder_colour
from labkit.plots import image_tag
from labkit.plots.colour import SPAN, colours_figure, colours_svg, colours_words
from labkit.units import Q

VERDICTS = {name: colour_verdict(*pair) for name, pair in {
    "a range": ("#E7E09F", "#F2EEE6"), "at least": ("#F4F4F2",), "no clean edge": ("#7A8FA8",), "narrow": ("#75413D",), "brown": ("#8B5A2B",), "orange": ("#FA971C",),
}.items()}  # fmt: skip


def bars(axes):
    return {round(bar.get_y() + bar.get_height() / 2, 3): bar for bar in axes.patches}


def test_the_strip_has_the_computed_colour_at_its_gap():
    strip = bars(colours_figure().axes[0])
    assert len(strip) == 90
    for gap, bar in strip.items():
        assert to_hex(bar.get_facecolor()).upper() == powder_colour(Q(gap, "eV")).hex
    # and those are the colours that another library computed (± 2 of 256, and 0.01 eV further on up to 4 more)
    for gap, (_, usual) in HEXES.items():
        if 1.6 < gap < 3.4:
            drawn = strip[min(strip, key=lambda place: abs(place - gap))].get_facecolor()
            expected = [int(usual[place : place + 2], 16) for place in (0, 2, 4)]
            assert np.abs(np.array(drawn[:3]) * 255 - expected).max() <= 12


def test_every_word_stands_in_its_band_so_that_no_colour_is_needed():
    words = {text.get_text(): text.get_position()[1] for text in colours_figure().axes[0].texts}
    rows = [row for row in table("colours") if row["name"] != "near black"]
    assert len(rows) == 8
    for row in rows:
        assert float(row["band_low_eV"]) < words[row["name"]] < float(row["band_high_eV"])


def test_the_scale_on_the_right_is_the_edge():
    figure = colours_figure()
    (edges,) = figure.axes[0].child_axes
    assert edges.get_ylabel() == "Edge / nm" and figure.axes[0].get_ylabel() == "Gap / eV"
    figure.draw_without_rendering()
    ticks = edges.get_yticks()
    assert len(ticks) > 4
    for edge in ticks:  # as high as its gap, to a tenth of a point
        place, beside = (
            axes.transData.transform((0, size))[1] for axes, size in ((edges, edge), (figure.axes[0], HC / edge))
        )
        assert place == pytest.approx(beside, abs=0.1)


def test_the_range_is_drawn_from_end_to_end():
    verdict = VERDICTS["a range"]
    lines = [line for line in colours_figure(verdict).axes[0].lines if set(line.get_xdata()) == {SPAN}]
    upright, likely = lines
    low, middle, high = verdict.gap.m_as("eV")
    assert upright.get_ydata().tolist() == pytest.approx([low, high]) and likely.get_ydata()[0] == pytest.approx(middle)


def test_powder_and_paper_are_drawn_in_their_own_colours():
    verdict = VERDICTS["a range"]
    faces = [to_hex(area.get_facecolor()[0]).upper() for area in colours_figure(verdict).axes[0].collections]
    assert faces == ["#FFFFFF", verdict.balanced]
    root = ElementTree.fromstring(colours_svg(verdict))
    fills = [box.get("fill") for box in root.iter(f"{SVG}rect") if box.get("stroke")]
    assert fills == ["#FFFFFF", verdict.balanced]


@pytest.mark.parametrize("name", VERDICTS)
def test_words_in_the_live_picture_stand_clear(name):
    svg = colours_svg(VERDICTS[name])
    assert collisions(svg) == []
    said = " ".join(words for words, _ in word_boxes(svg))
    assert VERDICTS[name].balanced in said
    expected = {"at least": "eV or more", "no clean edge": "no clean edge", "brown": "no clean edge"}.get(
        name, "likely"
    )
    assert expected in said


@pytest.mark.parametrize("name", VERDICTS)
def test_the_description_has_the_numbers_and_the_bands(name):
    said = colours_words(VERDICTS[name])
    assert VERDICTS[name].sentence in said and VERDICTS[name].balanced in said
    found = re.findall(r"from ([\d.]+) to ([\d.]+) eV", said.split(" Beside it ")[0])
    rows = table("colours")[1:-1]
    assert found == [(row["band_low_eV"], row["band_high_eV"]) for row in rows]
    assert said in image_tag(colours_figure(VERDICTS[name]), alt=said)


def test_figures_are_made_in_the_same_way_twice():
    one, two = (image_tag(colours_figure(VERDICTS["a range"]), alt="same") for _ in range(2))
    assert one == two
    assert colours_svg(VERDICTS["at least"]) == colours_svg(VERDICTS["at least"])
