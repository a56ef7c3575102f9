"""The pictures of a jar and of a headspace: their numbers are right, and no words collide."""

import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from layout import SVG, collisions, word_boxes

from labkit.panels.headspace import headspace_answer
from labkit.plots.headspace import headspace_picture
from labkit.plots.jar import jar_figure, jar_picture, jar_words, vapour_curve
from labkit.units import Q

FLUIDS = {"acetone": "Acetone", "ethanol": "Ethanol"}
BURNS = {"acetone": (2.5, 14.3), "ethanol": (3.1, 19.0)}
SOLVENTS = sorted(FLUIDS)


def share(solvent, celsius):
    """Return the percent of vapour by the equation of state, 100 where it boils."""
    return min(100.0, PropsSI("P", "T", celsius + 273.15, "Q", 0, FLUIDS[solvent]) / 1013.25)


def axes_of(svg):
    """Return left, top, width and height of the axes, in points."""
    *_, clip = ElementTree.fromstring(svg).iter(f"{SVG}clipPath")  # that of the live part is the last
    return [float(clip[0].get(name)) for name in ("x", "y", "width", "height")]


@pytest.mark.parametrize("solvent", SOLVENTS)
def test_the_curve_by_an_equation_of_state(solvent):
    temperature, percent = vapour_curve(solvent)
    assert len(temperature) == 70 and np.all(np.diff(percent) > 0)
    for celsius, height in zip(temperature, percent):
        # Antoine constants keep to 1 %; at the cold end of acetone, outside 0 to 55 °C, to 1.5 %
        assert height == pytest.approx(share(solvent, celsius), rel=0.015)
    assert percent[-1] == pytest.approx(100, abs=0.1) if solvent == "acetone" else percent[-1] < 90


@pytest.mark.parametrize("solvent", SOLVENTS)
def test_the_still_figure_shows_curve_band_and_words(solvent):
    (axes,) = jar_figure(solvent).axes
    edges = sorted(float(line.get_ydata()[0]) for line in axes.lines if len(line.get_xdata()) == 2)
    assert edges == list(BURNS[solvent])
    assert any(len(line.get_xdata()) == 70 for line in axes.lines)
    written = [text.get_text() for text in axes.texts]
    assert f"burns: {BURNS[solvent][0]:g} to {BURNS[solvent][1]:g} %" in written
    assert "°C" in axes.get_xlabel() and solvent.capitalize() in axes.get_ylabel() and "%" in axes.get_ylabel()
    assert "safe" not in " ".join(written) and jar_words(solvent).startswith(f"Percent of {solvent} vapour")


def test_marks_stand_where_they_belong_and_say_their_numbers():
    svg = jar_picture("ethanol", (21.0, share("ethanol", 21)), (47.0, share("ethanol", 47)), "A jar at 21 and 47 °C.")
    assert 'aria-label="A jar at 21 and 47 °C."' in svg
    words = " ".join(text for text, _ in word_boxes(svg))
    assert "shut at 21 °C: 6.2 %" in words and "warmed to 47 °C: 25 %" in words  # 6.24 and 25.3 %, CoolProp
    (mark,) = ElementTree.fromstring(svg).iter(f"{SVG}circle")
    left, top, width, height = axes_of(svg)
    # -1 to 76 °C across, 0.7 to 500 % up on a logarithmic axis; places are written to 0.1 point
    assert float(mark.get("cx")) == pytest.approx(left + width * 22 / 77, abs=0.2)
    up = np.log(share("ethanol", 21) / 0.7) / np.log(500 / 0.7)
    assert float(mark.get("cy")) == pytest.approx(top + height * (1 - up), abs=0.6)


@pytest.mark.parametrize("solvent", SOLVENTS)
def test_no_words_of_the_jar_collide(solvent):
    first, tried = (-25 if solvent == "acetone" else 0), 0
    for cold in range(first, 56 if solvent == "acetone" else 74, 5):
        for hot in sorted({cold + 1, *range(cold + 4, 76, 9), 75}):
            svg = jar_picture(solvent, (cold, share(solvent, cold)), (hot, share(solvent, hot)), "A jar.")
            assert collisions(svg) == [], (cold, hot)
            assert "nan" not in svg
            tried += 1
    assert tried > 80


@pytest.mark.parametrize("oxidiser", ["air", "oxygen"])
def test_no_words_of_the_headspace_collide(oxidiser):
    for hydrogen in (0.001, 0.1, 1, 2, 3, 3.7, 4, 8, 13, 15, 28, 80, 280, 360, 5000, 1e6):
        for air in (0.5, 30, 360, 1e4, 1e6):
            svg = headspace_answer(Q(float(hydrogen), "mL"), Q(float(air), "mL"), Q(23.0, "degC"), oxidiser).svg
            assert collisions(svg) == [], (hydrogen, air)
            assert "nan" not in svg


@pytest.mark.parametrize("share", [(0.3, 0.31), (0.9, 0.95), (2.70, 2.78), (3.5, 3.6), (7.21, 7.78), (60.0, 65.0)])
def test_the_words_of_the_bar_stand_over_its_end_and_not_beyond(share):
    svg = headspace_picture(share, (4, 77), 1, "A bar.")
    assert collisions(svg) == []
    (_, (_, top, right, bottom)) = next(box for box in word_boxes(svg) if " to " in box[0] and "burns" not in box[0])
    left, _, width, _ = axes_of(svg)
    end = left + width * np.log(share[1] / 0.03) / np.log(150 / 0.03)
    lower = left + width * np.log(4 / 0.03) / np.log(150 / 0.03)
    assert right <= end + 0.5 or share[1] < 0.5  # near the left end of the axis the words have to reach beyond
    assert right < lower or share[1] > 4  # what does not burn is not written where it burns
    (bar,) = (box for box in ElementTree.fromstring(svg).iter(f"{SVG}rect") if box.get("stroke"))
    assert bottom < float(bar.get("y")) and top > float(bar.get("y")) - 25


def test_the_bar_ends_at_the_share():
    svg = headspace_picture((7.21, 7.78), (4, 77), 1, "A bar up to 7.78 %.")
    words = [text for text, _ in word_boxes(svg)]
    assert words == ["burns: 4 to 77 %", "stop collecting: 1 %", "7.21 to 7.78 %"]
    root = ElementTree.fromstring(svg)
    left, _, width, _ = axes_of(svg)
    (bar,) = (box for box in root.iter(f"{SVG}rect") if box.get("stroke"))
    end = float(bar.get("x")) + float(bar.get("width"))
    assert end == pytest.approx(left + width * np.log(7.21 / 0.03) / np.log(150 / 0.03), abs=0.3)
