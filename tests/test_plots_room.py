"""The picture of workbook 03 against the sum of a well mixed room, done without labkit's rooms."""

import re

import numpy as np
import pytest

from labkit.air.guessed import room_ranges
from labkit.air.release import Release, firing_release
from labkit.plots.drivers import driver_words
from labkit.plots.room import drawn_limits, room_courses, room_figure, room_picture, room_words, shown_hours
from labkit.units import Q, Range, range_from

MOLAR = 8.314462618 * 298.15 / 101325  # m³/mol at 25 °C and 1 atm
LEAK = Release("NH3", [("2 h", "0.3 mol/h")])
SPANS = {"volume": "20 m³", "air_changes": "0.5 /h to 2 /h, likely 1 /h", "mixing_factor": "1 to 4, likely 2"}
ENDS = (2.0, 0.5, 0.125)  # effective air changes an hour: best, likely, worst


def room_ppm(hours, changes, rate=0.3, volume=20.0, stop=2.0):
    """G/Q (1 - e^(-nt)) up to the end of the gas, and its decay from there."""
    flow = changes * volume
    risen = rate * MOLAR / flow * 1e6 * -np.expm1(-changes * np.minimum(hours, stop))
    return risen * np.exp(-changes * np.maximum(hours - stop, 0.0))


def curve(axes):
    (line,) = [line for line in axes.lines if len(line.get_xdata()) > 50]
    return line.get_data()


def test_the_line_is_the_relation_for_the_likely_room():
    hours, ppm = curve(room_figure(LEAK, **SPANS).axes[0])
    seen = ppm > 0.5
    assert seen.sum() > 100 and hours[-1] == 12
    np.testing.assert_allclose(ppm[seen], room_ppm(hours[seen], ENDS[1]), rtol=1e-9)


def test_the_area_runs_from_the_best_to_the_worst_room():
    axes = room_figure(LEAK, **SPANS).axes[0]
    (area,) = axes.collections
    edge = area.get_paths()[0].vertices
    for hour in (1.0, 2.0, 5.0):
        near = edge[np.abs(edge[:, 0] - hour) < 0.08]
        assert near[:, 1].max() == pytest.approx(room_ppm(hour, ENDS[2]), rel=0.06)  # a point lies up to 0.08 h off
        assert near[:, 1].min() == pytest.approx(room_ppm(hour, ENDS[0]), rel=0.2)


def test_limits_are_drawn_at_their_height_with_their_name_beside_the_axes():
    axes = room_figure(LEAK, **SPANS).axes[0]
    # NIOSH 1994: 35 ppm for 15 min, escape 300 ppm; 20 ppm for 8 h is that of the European Union (from memory)
    expected = {"8 h: 20 ppm": 20.0, "15 min: 35 ppm": 35.0, "escape: 300 ppm": 300.0}
    levels = [
        line.get_ydata()[0] for line in axes.lines if len(set(line.get_ydata())) == 1 and len(line.get_ydata()) == 2
    ]
    words = {text.get_text(): text for text in axes.texts}
    for name, height in expected.items():
        assert height in levels and words[name].xy == (1, height)
    assert axes.get_yscale() == "log" and axes.get_ylim() == (1, 1e4)


@pytest.mark.parametrize("grams, decades", [("0.1 g", 3), ("3 g", 3), ("12 g", 4), ("60 g", 5), ("5 kg", 5)])
def test_no_decade_stands_empty_above_the_curve_and_the_limits(grams, decades):
    release = firing_release(grams, share="at most")
    courses = room_courses(release, "34 m³")
    bottom, top = room_figure(release, "34 m³").axes[0].get_ylim()
    worst = max(run.peak[0].m_as("ppm") for run in courses)
    assert (bottom, top) == (1, 10**decades)
    assert decades == 5 or worst < top / 7  # there is room for two rows of words
    assert decades == 3 or worst > top / 100  # one decade less would be too few


def test_the_strictest_of_each_averaging_is_drawn():
    assert [limit.value.m_as("ppm") for _, limit, _ in drawn_limits("NH3")] == [20, 35, 300]
    assert [words for words, _, _ in drawn_limits("HCl")] == ["8 h", "15 min", "ceiling", "escape"]
    assert [limit.value.m_as("ppm") for _, limit, _ in drawn_limits("CS2")] == [1, 500]


def test_its_words_carry_the_figures_rounded_up():
    said = room_words(LEAK, **SPANS)
    best, likely, worst = (room_ppm(2.0, changes) for changes in ENDS)
    numbers = [float(text) for text in re.findall(r"([\d.]+) ppm", said)]
    for text, exact in zip(numbers, (likely, best, worst)):
        assert exact <= text <= 1.1 * exact  # two figures, upward
    assert "20 ppm (8 h), 35 ppm (15 min), 300 ppm (escape)" in said and "Ammonia" in said
    assert "through the hold" in said
    shut = room_words(LEAK, "20 m³", "0 /h", 1)
    assert "without end" in shut and "waits" not in shut


def test_the_live_picture_shows_the_same_and_keeps_its_frame():
    courses = room_courses(LEAK, **SPANS)
    first = room_picture(LEAK, courses, "Ammonia up to 200 ppm.")
    other = Release("NH3", [("1 h", "0.5 mol/h")])
    second = room_picture(other, room_courses(other, **SPANS), "Ammonia up to 600 ppm.")
    frame = re.compile(r"^<svg.*?</g><g clip", re.DOTALL)
    assert len({re.sub(r'aria-label="[^"]*"', "", frame.search(text)[0]) for text in (first, second)}) == 1
    assert first != second and "gas ends (assumed)" in first and "likely" in first


def test_all_at_once_starts_at_its_height_and_has_no_end_of_the_gas():
    puff = firing_release("9 g", share="at most", profile="all at once")
    hours, ppm = curve(room_figure(puff, "30 m³", "1 /h", 1).axes[0])
    full = 9 / 60.055 * 2 * MOLAR / 30 * 1e6  # two NH3 from each urea
    seen = ppm > 0.5  # below the foot of the axis the line is held
    np.testing.assert_allclose(ppm[seen], full * np.exp(-hours[seen]), rtol=1e-4)
    assert "gas ends" not in room_picture(puff, room_courses(puff, "30 m³", "1 /h", 1), "Ammonia, 240 ppm.")
    assert "all at once" in room_words(puff, "30 m³", "1 /h", 1)


@pytest.mark.parametrize("grams, over", [("1 mg", "1 min"), ("12 g", "9 h"), ("100 g", "20 h"), ("9 kg", "48 h")])
def test_there_is_a_picture_from_next_to_nothing_to_beyond_the_top(grams, over):
    release = firing_release(grams, over=over, share="at most")
    picture = room_picture(release, room_courses(release, "20 m³"), "Ammonia, 1 ppm.")
    assert picture.startswith("<svg ") and "nan" not in picture and "inf" not in picture
    assert shown_hours(release) == (12 if over in ("1 min", "9 h") else 60)
    assert room_figure(release, "20 m³").axes[0].get_xlim() == (0, shown_hours(release))


def test_the_three_courses_are_the_ends_of_the_ranges():
    ranges = room_ranges(LEAK, **SPANS)
    for course, peak, time in zip(room_courses(LEAK, **SPANS), ranges.peak.ends, ranges.time_over.ends):
        assert course.peak[0].m_as("ppm") == pytest.approx(peak.m_as("ppm"), rel=1e-12)
        assert course.time_over("20 ppm").m_as("h") == pytest.approx(time.m_as("h"), rel=1e-12)


def test_the_words_for_bars_of_drivers_give_each_its_unit():
    def kept(mass, share):
        return mass * share

    mass, share = Range(Q(2, "g"), Q(3, "g"), Q(5, "g")), Range(Q(0.4), Q(0.5), Q(0.6))
    said = driver_words(range_from(kept, mass=mass, share=share), "the powder")
    # 2 and 5 g at 0.5, and 3 g at 0.4 and 0.6
    assert said.endswith("mass alone 1.0 to 2.5 g, share alone 1.2 to 1.8 g.") and "0.80 to 3.0 g" in said
    assert driver_words(range_from(kept, mass=Q(2), share=share), "it").endswith("share alone 0.80 to 1.2.")
    assert driver_words(range_from(kept, mass=Q(2), share=Q(3)), "it").endswith(".") and not said.endswith(" .")
