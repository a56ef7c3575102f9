"""No words of a panel's picture stand on other words, on a line, on a mark or outside, wherever the controls are."""

import pytest
from layout import collisions

from labkit.chemistry.thermolysis import precursors
from labkit.panels.band_gap import band_gap_answer
from labkit.panels.dopant import dopant_answer
from labkit.panels.mass_balance import mass_balance_answer
from labkit.plots import GUESS, LIMIT, LivePicture, new_figure
from labkit.plots.masses import batch_picture
from labkit.solutions import dopants
from labkit.units import Q, as_range


def test_collisions_are_noticed():
    figure, axes = new_figure()
    axes.set(xlim=(0, 10), ylim=(0, 10))
    picture = LivePicture(figure, axes)

    def found(*elements):
        return collisions(picture.svg(elements, alt="Words."))

    words = picture.text(5, 5, "some words", anchor="start")
    assert found(words, picture.text(5, 2, "others")) == []
    assert found(words, picture.text(5.2, 5.1, "others")) == ["“some words” meets “others”"]
    assert found(words, picture.upright(5.5, LIMIT)) == ["a line runs through “some words”"]
    assert found(words, picture.box(5.5, 9, 0, 9, GUESS)) == ["a line runs through “some words”"]
    assert found(words, picture.marker(5.5, 5.3)) == ["a mark stands on “some words”"]
    assert found(picture.text(9, 5, "some words", anchor="start")) == ["“some words” leaves the axes"]


@pytest.mark.parametrize("unsure", [0, 0.05, 0.2])
def test_sunlight(unsure):
    for hundredths in range(180, 321, 5):
        assert collisions(band_gap_answer(Q(hundredths / 100, "eV"), Q(unsure, "eV")).svg) == [], hundredths


@pytest.mark.parametrize("dopant", list(dopants()))
@pytest.mark.parametrize("powder", [0.001, 0.06, 0.3, 1.2, 2.6, 40])  # grams: a balance step is all, much, none
def test_loading(dopant, powder):
    for tenths in (1, 2, 3, 5, 8, 12, 18, 25, 33, 42, 48, 50):  # tenths of a percent, over the whole slider
        answer = dopant_answer(Q(powder, "g"), Q(tenths / 10, "percent"), dopant, Q(160, "mL"))
        assert collisions(answer.svg) == [], (dopant, powder, tenths)
        assert ("balance step" in answer.svg) == (powder < 30)  # 10 mg for 40 g is left of the axis


@pytest.mark.parametrize("precursor", precursors())
@pytest.mark.parametrize("fraction", ["10 to 35 %, likely 20 %", "1 to 3 %", "60 to 99 %", "40 to 60 %", "15 %"])
def test_yield(precursor, fraction):
    for weighed in (0.02, 1, 4.4, 8, 12, 17, 19.5, 21, 25, 30, 38, 41, 55, 57, 60, 70, 90, 300):
        answer = mass_balance_answer(precursor, Q(72.0, "g"), as_range(fraction, "[]"), Q(float(weighed), "g"))
        assert collisions(answer.svg) == [], weighed


@pytest.mark.parametrize("ends", [(41, 99, 190), (99, 99, 99), (0.2, 95, 101), (41, 99, 301), (60, 100, 12345)])
def test_batch(ends):
    svg = batch_picture(ends, "Powder.")
    assert collisions(svg) == []
    assert ("beyond 300 %" in svg) == (ends[2] > 300)
    assert "wanted" in svg and "e+" not in svg
