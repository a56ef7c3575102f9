"""The pictures of a day and of a year of sun: areas are energies, bars are months, and no words collide."""

import xml.etree.ElementTree as ET

import numpy as np
import pytest
from layout import SVG, collisions, word_boxes
from scipy.integrate import trapezoid

from labkit.light import sun_day, sun_year
from labkit.plots import figure_svg
from labkit.plots.place import day_figure, day_svg, day_words, year_figure, year_svg, year_words

# Sums of clear days made elsewhere for these places (Ineichen's model): 7.45, 3.92, 0.88 kWh/m² in London.
LONDON = {"latitude": "51.5°N", "longitude": "0.12°W"}


def kilowatt_hours(x, y):
    return trapezoid(y, x) / 1000


@pytest.mark.parametrize("day, printed", [("21 June", 7.45), ("20 March", 3.92), ("21 December", 0.88)])
def test_the_area_under_the_curve_is_the_clear_day(day, printed):
    axes = day_figure(sun_day(day=day, **LONDON)).axes[0]
    curve, box = (line.get_xydata() for line in axes.lines)
    assert kilowatt_hours(*curve.T) == pytest.approx(printed, rel=0.025)
    assert axes.get_xlim() == (0, 24) and "by the sun" in axes.get_xlabel() and "W/m²" in axes.get_ylabel()
    # Sixty percent of a clear day, from memory, as a box 1000 W/m² high.
    assert kilowatt_hours(*box.T) == pytest.approx(0.6 * printed, rel=0.025)
    assert box[:, 1].max() == 1000 and box[0, 0] + box[-1, 0] == pytest.approx(24)


def test_a_measured_day_is_the_box():
    day = sun_day(day="3 May", measured="4.2 kWh/m²", **LONDON)
    box = day_figure(day).axes[0].lines[1].get_xydata()
    assert kilowatt_hours(*box.T) == pytest.approx(4.2)
    assert "Dashed: measured, as 4.2 h of full sun" in day_words(day)


def test_bars_lines_and_diamonds_of_a_year():
    values = [0.9, 1.7, 2.9, 4.2, 5.1, 5.4, 5.3, 4.6, 3.4, 2.1, 1.1, 0.7]  # invented
    year = sun_year("50°N", measured=[f"{0.8 * value} to {1.2 * value} kWh/m²" for value in values])
    axes = year_figure(year).axes[0]
    assert [bar.get_height() for bar in axes.patches] == pytest.approx(values)
    lines = [line.get_ydata() for line in axes.lines]
    ranges = [line for line in lines if len(line) == 2]
    assert np.array(ranges) == pytest.approx(np.outer(values, [0.8, 1.2]))
    assert [line[0] for line in lines if len(line) == 1] == pytest.approx(year.clear)
    assert [label.get_text() for label in axes.get_xticklabels()][::11] == ["Jan", "Dec"]
    assert "kWh/m²" in axes.get_ylabel() and axes.get_ylim()[1] > 1.2 * max(year.clear)
    assert "Jun " in year_words(year) and "5.4" in year_words(year)


PLACES = ["90°S", "66°S", "33.9°S", "0°", "23°N", "47.5°N", "71°N", "90°N"]


@pytest.mark.parametrize("place", PLACES)
def test_no_words_collide(place):
    for tilt in ("0°", "45°", "90°"):
        for month in ("21 March", "21 June", "1 December"):
            svg = day_svg(sun_day(place, month, tilt))
            assert collisions(svg) == [] and "nan" not in svg, (place, tilt, month)
        svg = year_svg(sun_year(place, tilt))
        assert collisions(svg) == [] and "nan" not in svg, (place, tilt)
    bright = day_svg(sun_day(place, "21 June", measured="12 to 15 kWh/m²"))
    assert collisions(bright) == []


def test_live_pictures_say_the_same():
    day, year = sun_day("47.5°N", "14 May"), sun_year("47.5°N", "30°")
    for svg, said, figure in ((day_svg(day), day_words(day), day_figure(day)), (year_svg(year), year_words(year), year_figure(year))):  # fmt: skip
        assert ET.fromstring(svg).attrib["aria-label"] == said
        assert [words for words, _ in word_boxes(svg)] == [text.get_text() for text in figure.axes[0].texts]
    bars = [box for box in ET.fromstring(year_svg(year)).iter(f"{SVG}rect") if box.get("stroke")]
    heights = [float(bar.get("height")) for bar in bars]
    likely = [span.likely.magnitude for span in year.months]
    assert len(bars) == 12 and heights == pytest.approx(np.array(likely) * heights[5] / likely[5], abs=0.2)
    assert "does not rise" in day_words(sun_day("80°N", "1 January"))


def test_pictures_are_drawn_alike_each_time():
    year = sun_year("47.5°N")
    assert figure_svg(year_figure(year)) == figure_svg(year_figure(year))
    assert day_svg(sun_day("5°S", "1 May")) == day_svg(sun_day("5°S", "1 May"))
