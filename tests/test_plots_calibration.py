"""The picture of a calibration: its numbers, its words, and nothing that stands on something else."""

import re
from pathlib import Path

import numpy as np
import pytest
from layout import collisions

from labkit.plots.calibration import READING, SURE, calibration_figure, calibration_picture, calibration_words
from labkit.uptake import calibration, photo_scale

BUNDLED = Path(__file__).resolve().parent.parent / "workbooks" / "data"
SERIES = "mg/L;A\n0;0.003\n4;0.124\n8;0.249\n12;0.366\n16;0.490"


def pictures():
    clean, bent = (calibration(BUNDLED / f"invented_standards_{name}.csv") for name in ("clean", "bent"))
    lower, photo = (
        calibration(BUNDLED / "invented_standards_bent.csv", up_to="20 mg/L"),
        photo_scale(BUNDLED / "invented_photo_series.csv"),
    )
    yield "clean", clean, clean.concentration(0.31, dilution=10)
    yield "high", clean, clean.concentration(0.655)
    yield "nothing", clean, clean.concentration(0.004)
    yield "bent", bent, None
    yield "lower", lower, lower.concentration(0.7)
    yield "photo", photo, photo.concentration("241 230 200", dilution=2)
    yield "weighted", calibration(SERIES, u="3 %"), None


PICTURES = list(pictures())


def test_the_figure_holds_the_standards_their_line_and_the_sample():
    found = calibration(SERIES)
    sample = found.concentration(0.3)
    figure = calibration_figure(found, sample)
    main, strip = figure.axes
    lines = {line.get_label(): line for line in main.get_lines()}
    assert lines["standards"].get_xydata().tolist() == [[0, 0.003], [4, 0.124], [8, 0.249], [12, 0.366], [16, 0.49]]
    slope, height = np.polyfit([0, 4, 8, 12, 16], [0.003, 0.124, 0.249, 0.366, 0.49], 1)
    x, y = lines["line through 5 standards"].get_data()
    assert y == pytest.approx(height + slope * x, abs=1e-12)
    assert strip.get_lines()[1].get_ydata() == pytest.approx(
        np.array([0.003, 0.124, 0.249, 0.366, 0.49]) - height - slope * np.array([0, 4, 8, 12, 16]), abs=1e-12
    )
    bar = next(line for label, line in lines.items() if label.startswith("sample"))
    assert bar.get_xdata() == pytest.approx([sample.low.magnitude, sample.high.magnitude])
    assert {text.get_text() for text in figure.legends[0].get_texts()} >= {SURE, READING}
    assert (main.get_ylabel(), strip.get_xlabel()) == ("Absorbance", "Concentration / mg/L")


def test_the_band_of_the_line_lies_inside_that_of_a_reading():
    main = calibration_figure(calibration(SERIES)).axes[0]
    bands = {band.get_label(): band.get_paths()[0].get_extents() for band in main.collections}
    assert bands[SURE].height < bands[READING].height and set(bands) == {SURE, READING}


@pytest.mark.parametrize("name, found, sample", PICTURES, ids=[name for name, *_ in PICTURES])
def test_nothing_stands_on_anything(name, found, sample):
    svg = calibration_picture(found, sample)
    assert collisions(svg) == []
    alt = re.search(r'aria-label="([^"]*)"', svg)[1]
    assert alt.startswith(("Absorbance of", "Depth in blue of")) and svg.count("<circle") >= 2 * len(
        found.depths if name == "photo" else found.standards
    )


def test_words_hold_the_numbers():
    found = calibration(SERIES)
    said = calibration_words(found, found.concentration(0.3))
    assert (
        "5 standards from 0 to 16.0 mg/L, 0.00300 to 0.490" in said
        and "A sample at 0.300" in said
        and "9.76 mg/L" in said
    )
    bent = next(found for name, found, _ in PICTURES if name == "bent")
    assert "bend" in calibration_words(bent) and "6 more are drawn but not used" in calibration_words(PICTURES[4][1])
    assert "below" in calibration_words(PICTURES[2][1], PICTURES[2][2])
