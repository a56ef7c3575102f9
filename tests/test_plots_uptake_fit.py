"""The picture of fitted uptakes: its numbers are right, and no words collide."""

import re
from pathlib import Path

import numpy as np
import pytest
from layout import collisions, word_boxes

from labkit.plots.uptake_fit import uptake_fit_figure, uptake_fit_picture, uptake_fit_words
from labkit.units import Q
from labkit.uptake import isotherm_report, kinetics_report, read_isotherm, read_kinetics

DATA = Path(__file__).resolve().parent.parent / "workbooks" / "data"
NAMES = [f"isotherm_{name}" for name in ("clean", "few", "short")] + [
    f"kinetics_{name}" for name in ("clean", "stopped", "messy")
]


def bundled(name, check="4 h"):
    path = DATA / f"invented_{name}.csv"
    return (
        isotherm_report(read_isotherm(path))
        if name.startswith("isotherm")
        else kinetics_report(read_kinetics(path), check=check)
    )


def lines_of(axes):
    return {line.get_label(): line for line in axes.lines}


def test_the_figure_has_the_readings_and_both_curves():
    report = bundled("isotherm_clean")
    main, strip = uptake_fit_figure(report).axes
    read = read_isotherm(DATA / "invented_isotherm_clean.csv")
    (points,) = [box[0] for box in main.containers]
    assert points.get_xdata() == pytest.approx(read["concentration"]) and points.get_ydata() == pytest.approx(
        read["uptake"]
    )
    x, y = lines_of(main)["Langmuir"].get_data()
    assert y == pytest.approx(
        report.langmuir.parameters["capacity"] * (k := report.langmuir.parameters["affinity"]) * x / (1 + k * x)
    )
    x, y = lines_of(main)["Freundlich"].get_data()
    assert y == pytest.approx(report.freundlich.parameters["factor"] * x ** report.freundlich.parameters["exponent"])
    assert x.max() == read["concentration"].max()  # and nothing beyond the readings
    off = strip.lines[0].get_ydata()
    assert off == pytest.approx(read["uptake"] - report.langmuir.at(read["concentration"]))
    assert (
        main.get_ylabel() == "Uptake / mg/g"
        and strip.get_xlabel() == "Left in the liquid / mg/L"
        and main.get_legend() is not None
    )
    low, _, high = report.capacity.m_as("mg/g")
    assert (main.patches[0].get_y(), main.patches[0].get_y() + main.patches[0].get_height()) == pytest.approx(
        (low, high)
    )


def test_a_course_has_its_times():
    report = bundled("kinetics_clean")
    main, strip = uptake_fit_figure(report).axes
    assert strip.get_xlabel() == "Time / h" and lines_of(main)["after 4 h"].get_xdata()[0] == 4
    low, _, high = report.time_to_95.m_as("h")
    assert (main.patches[0].get_x(), main.patches[0].get_x() + main.patches[0].get_width()) == pytest.approx(
        (low, high)
    )


def test_what_cannot_be_told_is_not_drawn():
    assert not uptake_fit_figure(bundled("isotherm_short")).axes[0].patches
    main = uptake_fit_figure(bundled("kinetics_stopped")).axes[0]
    assert not main.patches and "after 4 h" not in lines_of(main)  # long after the last reading
    assert "capacity" not in uptake_fit_words(bundled("isotherm_short"))


def test_the_words_carry_the_numbers():
    words = uptake_fit_words(bundled("isotherm_clean"))
    assert (
        words.startswith("Uptake of 9 readings from 1.60 to 176 mg/L, 1.79 to 17.7 mg/g.")
        and "A band: capacity 17.8 to 19.0 mg/g." in words
    )
    assert "A Freundlich curve misses them by up to 2.8 mg/g; weak." in words
    words = uptake_fit_words(bundled("kinetics_clean"))
    assert "A line: after 4 h." in words and re.search(r"A band: 95 % after 2 h \d\d min to 2 h \d\d min", words)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("check", ["20 min", "150 min", "5 h"])
def test_no_words_collide(name, check):
    svg = uptake_fit_picture(bundled(name, check))
    assert collisions(svg) == [] and "nan" not in svg and len(svg) < 60_000


def test_the_live_picture_marks_every_reading_once():
    report = bundled("isotherm_few")
    svg = uptake_fit_picture(report)
    assert len(re.findall(r'<circle [^>]*r="3.2"', svg)) == 6 and len(re.findall(r'<circle [^>]*r="2.6"', svg)) == 6
    assert svg.count("h6.6v6.6h-6.6z") == 6 and {words for words, _ in word_boxes(svg)} == {"Langmuir", "Freundlich"}
    assert re.search(r'aria-label="Uptake of 6 readings', svg)


def test_readings_of_odd_sizes_are_drawn():
    generator, drawn = np.random.default_rng(1), 0
    for size in (3, 5, 60):
        for scale in (1e-4, 1.0, 1e4):
            x = np.geomspace(1, 100, size) * scale
            y = 20 * x / (x + 10 * scale) * scale + generator.normal(0, 0.5, size) * scale
            for report in (
                isotherm_report(Q(x, "mg/L"), Q(y, "mg/g")),
                kinetics_report(Q(x, "min"), Q(y, "mg/g"), check="1 h"),
            ):
                svg = uptake_fit_picture(report)
                assert "nan" not in svg and "inf" not in svg and collisions(svg) == []
                drawn += 1
    assert drawn == 18
