"""The picture of a lamp: its curves are the lamp's, the filled part is what is usable, and no words collide."""

import itertools
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from layout import collisions, word_boxes
from scipy.integrate import quad

from labkit.light import NOTHING, Lamp, glass_jar, long_pass
from labkit.plots import figure_svg
from labkit.plots.lamp import lamp_figure, lamp_svg, lamp_words
from labkit.units import Q

YELLOW = long_pass("420 nm", "20 nm", "90 %")


def diode(peak, width=20):
    return Lamp(Q(float(peak), "nm"), Q(float(width), "nm"))


def passes(nm):
    return 0.9 / (1 + 81.0 ** (-(nm - 420) / 20))


def usable(peak, width, edge, through=lambda nm: 1.0):
    """Percent of the photons below an edge and through a filter, by quadrature."""

    def photons(nm):
        return nm * 2 ** (-((2 * (nm - peak) / width) ** 2))

    start = peak - 3 * width
    end = min(edge, peak + 3 * width)
    return 100 * quad(lambda nm: photons(nm) * through(nm), start, end, limit=300)[0] / quad(photons, start, peak + 3 * width, limit=300)[0]  # fmt: skip


@pytest.mark.parametrize("peak, width, gap, edge", [(450, 20, "2.7 eV", 459.2), (405, 15, "2.7 eV", 459.2), (470, 25, "2.4 eV", 516.6)])  # fmt: skip
def test_the_share_written_and_filled_is_the_integral(peak, width, gap, edge):
    expected = usable(peak, width, edge)
    figure = lamp_figure(diode(peak, width), gap)
    written = [text.get_text() for text in figure.axes[0].texts]
    assert f"{expected:.0f} % usable" in written and f"edge {edge:.0f} nm" in written
    (filled,) = figure.axes[0].collections
    nm, height = filled.get_paths()[0].vertices.T
    assert nm.max() == pytest.approx(min(edge, peak + 2.6 * width), abs=2)
    assert height.max() == pytest.approx(1, abs=0.01) and height.min() == 0
    filtered = [text.get_text() for text in lamp_figure(diode(peak, width), gap, YELLOW).axes[0].texts]
    assert f"{usable(peak, width, edge, passes):.0f} % usable" in filtered and "dashed: through the filter" in filtered


def test_the_curves():
    axes = lamp_figure(diode(450), "2.7 eV", YELLOW).axes[0]
    curves = [line.get_xydata() for line in axes.lines if len(line.get_xdata()) > 50]
    assert len(curves) == 3
    eye, lamp, glass = curves
    assert np.interp([450, 555, 600], *eye.T) == pytest.approx([0.038, 1.0, 0.631], abs=0.005)  # CIE 1924
    assert np.interp([440, 450, 460], *lamp.T) == pytest.approx([0.5, 1, 0.5], abs=0.01)
    assert np.interp([410, 420, 430], *glass.T) == pytest.approx([0.09, 0.45, 0.81], abs=0.01)
    (edge,) = (line.get_xdata()[0] for line in axes.lines if len(line.get_xdata()) == 2)
    assert edge == pytest.approx(459.2, abs=0.01)
    assert axes.get_xlabel() == "Wavelength / nm" and "highest" in axes.get_ylabel()


def test_a_lamp_beyond_the_usual_axis_is_seen_whole():
    for peak, width in ((300, 12), (700, 30), (450, 60)):
        low, high = lamp_figure(diode(peak, width), "2.7 eV").axes[0].get_xlim()
        assert low <= peak - 2 * width and high >= peak + 2 * width


@pytest.mark.parametrize("filter", [NOTHING, YELLOW, glass_jar(), YELLOW * glass_jar("window glass")])
def test_no_words_collide(filter):
    tried = 0
    for peak, width, gap in itertools.product(range(365, 501, 15), (5, 20, 60), ("2 eV", "2.3 eV", "2.7 eV", "3.2 eV")):
        svg = lamp_svg(diode(peak, width), gap, filter)
        assert collisions(svg) == [], (peak, width, gap)
        assert "nan" not in svg
        tried += 1
    assert tried > 100


def test_words_and_live_picture_say_the_same():
    said = lamp_words(diode(450), "2.7 eV", glass_jar())
    assert "450 nm" in said and "459 nm" in said and "soda-lime glass" in said and "3.8 %" in said
    svg = lamp_svg(diode(450), "2.7 eV", glass_jar())
    assert ET.fromstring(svg).attrib["aria-label"] == said
    written = [words for words, _ in word_boxes(svg)]
    for text in lamp_figure(diode(450), "2.7 eV", glass_jar()).axes[0].texts:
        assert text.get_text() in (*written, "the eye")
    assert svg == lamp_svg(diode(450), "2.7 eV", glass_jar())
    assert "nothing usable" in lamp_words(diode(500, 10), "3.2 eV")


def test_pictures_are_drawn_alike_each_time():
    assert figure_svg(lamp_figure(diode(450), "2.7 eV")) == figure_svg(lamp_figure(diode(450), "2.7 eV"))
