"""The pictures of the chain: bars where the numbers say, a fall that follows the likely values, a place for zero."""

import math
import re

import pytest
from helpers import assert_close
from hypothesis import given, settings
from hypothesis import strategies as st
from layout import collisions

from labkit.hydrogen import cases, hydrogen_chain
from labkit.plots.chain import (
    FALL,
    axis_decades,
    chain_figure,
    chain_picture,
    chain_words,
    fall_decades,
    spread_figure,
    spread_words,
    tornado_figure,
    tornado_words,
)
from labkit.units import Q


def chain(case="donor and platinum", **changes):
    return hydrogen_chain(
        **{"gap": "2.6 to 2.9 eV, likely 2.7 eV", "area": "240 cm²", "light": "3 to 5 h", "case": case, **changes}
    )


def bars(axes):
    """Return (y, left, right) of the bars, top row first."""
    found = [bar for bar in axes.patches if 0.2 < bar.get_height() < 0.5]
    return sorted(
        ((bar.get_y() + bar.get_height() / 2, bar.get_x(), bar.get_x() + bar.get_width()) for bar in found),
        reverse=True,
    )


def marks(axes):
    return [
        tuple(float(x[0]) for x in line.get_data())
        for line in axes.lines
        if line.get_marker() not in ("None", None, "")
    ]


@pytest.mark.parametrize("case", cases())
def test_a_bar_for_each_link_runs_from_low_to_high_in_decades(case):
    found = chain(case)
    (axes,) = chain_figure(found).axes
    bottom = fall_decades(found).bottom
    links = {link.name: link.value.m_as("mol") for link in found.links if link.name in FALL}
    drawn = bars(axes)
    assert len(drawn) == len(FALL) == 5
    for name, (_, left, right) in zip(FALL, drawn):
        for place, size in ((left, links[name][0]), (right, links[name][2])):
            if size:
                assert_close(10 ** (place + bottom), size, relative=1e-9)
            else:
                assert place < -0.5  # left of the break
    zero = axes.get_xticks()[0]
    for name, (place, _) in zip(FALL, marks(axes)):
        assert_close(place, math.log10(links[name][1]) - bottom if links[name][1] else zero, within=1e-9)


def test_the_fall_goes_from_one_likely_value_down_to_the_next():
    (axes,) = chain_figure(chain()).axes
    steps = [line.get_data() for line in axes.lines if len(line.get_xdata()) == 3]
    places = marks(axes)
    assert len(steps) == len(FALL) - 1
    for (x, y), (here, above), (there, below) in zip(steps, places, places[1:]):
        assert list(x) == [here, there, there] and list(y) == [above, above, below]
        assert there <= here  # it falls


def test_ticks_with_a_name_stand_on_their_decade():
    found = chain()
    (axes,) = chain_figure(found).axes
    bottom = fall_decades(found).bottom
    named = {
        label.get_text(): place for label, place in zip(axes.get_xticklabels(), axes.get_xticks()) if label.get_text()
    }
    for name, power in (("1 µmol", -6), ("1 mmol", -3), ("1 mol", 0)):
        assert named[name] == power - bottom
    assert named["0"] == min(axes.get_xticks()) < 0


@pytest.mark.parametrize("case", cases())
def test_both_pictures_say_the_same_and_the_volume_is_in_them(case):
    found = chain(case)
    shown = [text.get_text() for text in chain_figure(found).axes[0].texts]
    assert len(shown) == len(FALL)
    picture = chain_picture(found)
    assert picture.startswith("<svg ") and picture.count("stroke-dasharray") >= len(FALL) - 1
    for words in shown:
        assert words in chain_words(found) and words.replace("&", "&amp;") in picture
    assert shown[-1].startswith("hydrogen: ") and "L" in shown[-1]


@pytest.mark.parametrize("case", cases())
@pytest.mark.parametrize("load", [None, "0.01 g/L", "0.4 g/L", "20 g/L"])
def test_no_line_runs_through_words(case, load):
    for area in ("1 cm²", "340 cm²", "20 m²"):
        layer = {"load": load, "depth": "3 cm"} if load else {}
        assert collisions(chain_picture(chain(case, area=area, **layer))) == [], area


def test_words_stay_inside_the_axes():
    for case in cases():
        figure = chain_figure(chain(case, load="0.2 g/L", depth="2 to 4 cm", area="123 to 456 cm²"))
        figure.draw_without_rendering()
        (axes,) = figure.axes
        for text in axes.texts:
            assert text.get_window_extent().x1 <= axes.bbox.x1 + 1, text.get_text()


def test_the_frame_stays_while_a_box_is_changed():
    frame = re.compile(r"^<svg.*?</g><g clip", re.DOTALL)
    same = {
        re.sub(r'aria-label="[^"]*"', "", frame.search(chain_picture(chain(gap=Q(gap, "eV"))))[0])
        for gap in (2.6, 2.7, 2.8)
    }
    assert len(same) == 1


@pytest.mark.parametrize("case", cases())
def test_a_tornado_has_its_widest_bar_on_top_and_all_together_below(case):
    found = chain(case, area="200 to 300 cm²")
    (axes,) = tornado_figure(found).axes
    drawn = bars(axes)
    bottom = axis_decades([end for name, *ends in found.volume.drivers for end in (q.m_as("L") for q in ends)]
                          + [found.volume.m_as("L")[1], *found.volume.m_as("L")], "L", 3).bottom  # fmt: skip
    names = [text.get_text().partition(":")[0] for text in axes.texts][::-1]
    assert names[-1] == "all together" and len(names) == len(drawn)
    assert names[:-1] == [name for name, _, _ in found.volume.drivers]
    for (_, left, right), (_, low, high) in zip(drawn, found.volume.drivers):
        assert_close(10 ** (right + bottom), high.m_as("L"), relative=1e-9)
        if low.magnitude:
            assert_close(10 ** (left + bottom), low.m_as("L"), relative=1e-9)
    assert all(name in tornado_words(found) for name in names[:-1])


def test_a_tornado_of_almost_nothing_has_no_line_at_nothing():
    (axes,) = tornado_figure(chain("plain")).axes
    assert not [line for line in axes.lines if len(set(line.get_xdata())) == 1 and line.get_linestyle() != "-"]
    assert "quantum yield alone 0 to " in tornado_words(chain("plain"))


@pytest.mark.parametrize("case", cases())
def test_the_bars_of_the_draws_add_up_to_all_of_them(case):
    spread = chain(case).spread(20_000)
    (axes,) = spread_figure(spread).axes
    heights = [bar.get_height() for bar in axes.patches if 0.1 < bar.get_width() < 0.7 and bar.get_height() != 1]
    assert_close(sum(heights), 100, within=1e-6)
    assert spread.sentence in spread_words(spread)


def test_the_upright_lines_stand_at_the_interval():
    spread = chain().spread(20_000)
    (axes,) = spread_figure(spread).axes
    shown = [text.get_text() for text in axes.texts]
    assert [words.partition("\n")[0] for words in shown] == ["2.5 %", "half", "97.5 %"]
    x = [text.xy[0] for text in axes.texts]
    assert_close(10 ** (x[2] - x[0]), spread.high / spread.low, relative=1e-9)


def test_the_words_over_the_lines_keep_clear_of_each_other():
    for changes in ({}, {"quantum_yield": "0.3 %"}, {"quantum_yield": "0.1 to 0.6 %, likely 0.3 %"}):
        figure = spread_figure(chain(**changes).spread(20_000))
        figure.draw_without_rendering()
        boxes = [text.get_window_extent() for text in figure.axes[0].texts]
        assert len(boxes) >= 2
        for left, right in zip(boxes, boxes[1:]):
            assert left.x1 < right.x0, changes


@settings(max_examples=30)
@given(st.floats(1e-4, 1e4), st.floats(0.01, 9000), st.sampled_from(sorted(cases())))
def test_everything_stays_on_the_axis(area, hours, case):
    found = chain(case, area=Q(area, "m**2"), light=Q(hours, "h"))
    decades = fall_decades(found)
    for name in FALL:
        for size in next(link for link in found.links if link.name == name).value.m_as("mol"):
            place = decades.place(size)
            assert place <= decades.top - decades.bottom
            if size:
                assert_close(10 ** (place + decades.bottom), size, relative=1e-9)  # not cut off
