"""The pictures of sunlight: what is filled, what is written, and that it is the printed spectrum."""

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from helpers import published, raw_spectrum

from labkit.data import guess, table
from labkit.errors import LabError
from labkit.plots import figure_svg
from labkit.plots.sun import LONGEST, gaps_figure, gaps_words, sun_figure, sun_svg, sun_words
from labkit.units import Q, Range

POWER = {row["gap_eV"]: float(row["expected"]) for row in published("sun_above_gap") if row["want"] == "irradiance"}
PHOTONS = {row["gap_eV"]: float(row["expected"]) for row in published("sun_above_gap") if row["want"] == "photon flux"}
EDGES = {"2.0": 619.92, "2.4": 516.60, "2.7": 459.20, "3.0": 413.28}  # tests/published/photon_energies.csv
FROM_UREA = "2.70 to 2.88 eV, likely 2.75 eV"


def fills(figure):
    """Return the outlines of the filled parts above the gap, as arrays of (nm, W/m²/nm)."""
    found = [part.get_paths()[0].vertices for part in figure.axes[0].collections]
    return [outline for outline in found if outline[:, 1].max() > 0]


def area(outline):
    x, y = outline.T
    return abs(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])) / 2


def words_on(axes):
    return [text.get_text() for text in axes.texts]


def test_the_spectrum_drawn_is_the_printed_one():
    wavelength, power = raw_spectrum()
    outline = sun_figure("2.7 eV").axes[0].patches[0].get_xy()
    inside = wavelength <= LONGEST
    for nm, height in zip(wavelength[inside], power[inside]):
        assert any(np.isclose(outline[outline[:, 0] == nm, 1], height, rtol=1e-12)), nm


@pytest.mark.parametrize("gap", EDGES)
def test_the_filled_part_ends_at_the_edge_and_is_the_power_above_the_gap(gap):
    figure = sun_figure(f"{gap} eV")
    (filled,) = fills(figure)
    assert filled[:, 0].min() == 280 and filled[:, 0].max() == pytest.approx(EDGES[gap], abs=0.006)
    # W/m², a trapezoid over the printed points; 0.1 W/m² because its fine points are those of the table, as are ours
    assert area(filled) == pytest.approx(POWER[gap], abs=0.1)


def test_of_a_range_the_doubtful_part_is_filled_apart():
    figure = sun_figure(Range(Q(2.7, "eV"), Q(2.8, "eV"), Q(3.0, "eV")))
    sure, doubtful = fills(figure)
    assert [part.get_hatch() for part in figure.axes[0].collections if part.get_hatch()] == ["///"]
    assert "hatched: perhaps" in words_on(figure.axes[0])
    assert sure[:, 0].max() == doubtful[:, 0].min() == pytest.approx(413.28, abs=0.006)
    assert doubtful[:, 0].max() == pytest.approx(459.20, abs=0.006)
    assert area(sure) == pytest.approx(POWER["3.0"], abs=0.1)
    assert area(sure) + area(doubtful) == pytest.approx(POWER["2.7"], abs=0.1)
    line = next(line for line in figure.axes[0].lines if len(set(line.get_xdata())) == 1)
    assert line.get_xdata()[0] == pytest.approx(442.80, abs=0.006)  # the edge of the likely gap


def test_the_numbers_are_written_into_the_picture():
    axes = sun_figure("2.7 eV").axes[0]
    photons, power = 100 * PHOTONS["2.7"] / 7149.6, 100 * POWER["2.7"] / 1000.37  # 4.3056e21 photons are 7149.6 µmol
    assert f"{photons:.2f} % of the photons" in words_on(axes)
    assert f"{power:.1f} % of the power" in words_on(axes)
    assert "edge 459 nm" in words_on(axes) and "Above 2.70 eV:" in words_on(axes)


def test_axes_have_names_and_units():
    figure = sun_figure("2.7 eV")
    assert figure.axes[0].get_xlabel() == "Wavelength / nm"
    assert figure.axes[0].get_ylabel() == "Power / W/m²/nm"
    (top,) = figure.axes[0].child_axes
    assert top.get_xlabel() == "Energy of one photon / eV"
    figure.draw_without_rendering()
    for tick in top.get_xticks():  # the upper scale says the same as the lower one
        down = figure.axes[0].transData.inverted().transform(top.transData.transform((tick, 0)))[0]
        assert down * tick == pytest.approx(1239.84, rel=1e-4)


def test_words_have_the_numbers():
    said = sun_words(FROM_UREA)
    assert "gap of 2.70 to 2.88 eV" in said and "edge at 431 to 459 nm" in said  # 430.5 and 459.2 nm
    assert f"to {100 * POWER['2.7'] / 1000.37:.0f} % of the power" in said
    assert said.endswith("What only the narrower gaps reach, 431 to 459 nm, is hatched.")
    assert "hatched" not in sun_words("2.7 eV")
    assert "highest at 495 nm" in said
    assert raw_spectrum()[0][np.argmax(raw_spectrum()[1])] == 495


@pytest.mark.parametrize("gap", ["1.8 eV", "2.7 eV", "3.2 eV", FROM_UREA])
def test_the_live_picture_says_and_shows_the_same(gap):
    text = sun_svg(gap)
    root = ET.fromstring(text)
    assert root.attrib["aria-label"] == sun_words(gap)
    inside = "".join(root.itertext())
    for line in words_on(sun_figure(gap).axes[0]):
        assert line in inside
    assert text == sun_svg(gap)
    assert len(text) < 100_000  # bytes that travel at every step of a slider


def test_only_what_is_in_doubt_is_hatched():
    assert sun_svg(FROM_UREA).count("<pattern") == 1 and "<pattern" not in sun_svg("2.7 eV")
    assert "hatched: perhaps" in sun_svg(FROM_UREA) and "hatched" not in sun_svg("2.7 eV")


def test_the_live_picture_follows_the_gap():
    def right_end(gap):
        filled = re.findall(r'<path d="([^"]*)" fill="#0072B2" fill-opacity', sun_svg(gap))
        assert len(filled) == 1
        return max(float(place) for place in re.findall(r"[M ]?([0-9.]+) [0-9.]+", filled[0]))

    ends = [right_end(f"{gap} eV") for gap in EDGES]
    assert ends == sorted(ends, reverse=True) and len(set(ends)) == 4
    steps = np.diff(ends) / np.diff(list(EDGES.values()))
    assert np.allclose(steps, steps[0], rtol=0.01)  # points per nm; the picture rounds to tenths of a point


def test_pictures_are_drawn_alike_each_time():
    assert figure_svg(sun_figure("2.7 eV")) == figure_svg(sun_figure("2.7 eV"))


@pytest.mark.parametrize("slip", ["460 nm", "2.7", "-2 eV", "0 eV", "yellow", "9 eV"])
def test_what_is_no_gap_is_refused_in_words(slip):
    for picture in (sun_figure, sun_svg, sun_words):
        with pytest.raises(LabError):
            picture(slip)


def test_published_gaps_lie_on_the_curve():
    axes = gaps_figure().axes[0]
    points = [line.get_xydata()[0] for line in axes.lines if len(line.get_xdata()) == 1]
    # Zhang 2013 (abstract) 2.51, 2.58, 2.56, 2.88; Dong 2011 (abstract) about 2.7
    assert sorted(point[0] for point in points) == [2.51, 2.56, 2.58, 2.70, 2.88]
    at = dict(map(tuple, points))
    assert at[2.70] == pytest.approx(PHOTONS["2.7"], abs=0.05)
    curve = next(line for line in axes.lines if len(line.get_xdata()) > 50)
    for gap, flux in at.items():
        # 0.5 µmol/m²/s: the curve is drawn through points 0.01 eV apart
        assert np.interp(gap, *curve.get_data()) == pytest.approx(flux, abs=0.5)
    for gap in ("2.2", "2.5", "2.8", "3.0", "3.2"):
        assert np.interp(float(gap), *curve.get_data()) == pytest.approx(PHOTONS[gap], abs=0.1)
    assert axes.get_xlabel() == "Gap / eV" and axes.get_ylabel() == "Photons above the gap / µmol/m²/s"
    assert len(words_on(axes)) == 6 and "2.70 eV with 414 µmol/m²/s" in gaps_words()


def test_the_band_is_the_range_of_powder_from_urea():
    span = guess("gaps", "your powder from urea")
    assert (span.low.magnitude, span.high.magnitude) == (2.70, 2.88)
    assert any(row["name"] == "urea, Zhang 2013" for row in table("gaps"))
    (band,) = gaps_figure().axes[0].patches
    assert (band.get_x(), band.get_x() + band.get_width()) == pytest.approx((2.70, 2.88))
