"""The pictures of workbooks 05 and 00: the numbers and words in them are the right ones."""

import re

import numpy as np
import pytest
from helpers import PERIODICTABLE_SALTS
from periodictable import elements, formula

from labkit.plots.dopant import SALTS, loading_picture, salt_figure, salt_words
from labkit.plots.start import place, value_picture
from labkit.solutions import loading_curve, salt_shares

METAL = {"FeCl3": "Fe", "FeCl3·6H2O": "Fe", "ZnCl2": "Zn"}


@pytest.mark.parametrize("salt", SALTS)
def test_shares_agree_with_a_second_table_of_atomic_weights(salt):
    shares, mass = salt_shares(salt), formula(PERIODICTABLE_SALTS[salt]).mass
    metal = "iron" if METAL[salt] == "Fe" else "zinc"
    # 0.01 percentage points: tables differ in the fifth figure of Fe, Cl and Zn
    assert shares[metal] == pytest.approx(100 * elements.symbol(METAL[salt]).mass / mass, abs=0.01)
    assert sum(shares.values()) == pytest.approx(100, abs=1e-9)
    assert ("crystal water" in shares) == ("H2O" in salt)


def test_water_of_the_hexahydrate():
    assert salt_shares("FeCl3·6H2O")["crystal water"] == pytest.approx(39.99, abs=0.01)  # 6 x 18.015 / 270.29


def test_every_bar_fills_a_hundred_percent_and_is_labelled():
    (axes,) = salt_figure().axes
    ends = {}
    for bar in axes.patches:
        place = round(bar.get_y() + bar.get_height() / 2)
        ends[place] = max(ends.get(place, 0), bar.get_x() + bar.get_width())
    assert len(ends) == len(SALTS) and all(end == pytest.approx(100) for end in ends.values())
    words = " ".join(text.get_text() for text in axes.texts)
    assert "crystal water\n40.0 %" in words and "iron\n20.7 %" in words and "zinc\n48.0 %" in words
    assert [label.get_text() for label in axes.get_yticklabels()] == ["ZnCl₂", "FeCl₃·6H₂O", "FeCl₃"]
    assert "%" in axes.get_xlabel()
    assert "crystal water 40.0 %" in salt_words() and "FeCl₃" in salt_words()


def test_the_curve_passes_through_a_dose_from_outside():
    # 98.78 mg of FeCl3·6H2O per gram bring 2 %, 14.60 mg of FeCl3 0.5 %, 109.71 mg of ZnCl2 5 %; the
    # curve has 40 points, between which a straight line is good to 1 %.
    for salt, mass, loading in (("FeCl3·6H2O", 98.78, 2), ("FeCl3", 14.60, 0.5), ("ZnCl2", 109.71, 5)):
        assert np.interp(mass, *loading_curve(salt)) == pytest.approx(loading, rel=0.01)


def test_the_live_picture_tells_its_numbers():
    svg = loading_picture("FeCl3", 29.34, 1.0, (0.05, 0.3, 0.9), (0.05, 0.3, 0.9), 4.0, "Loading 1 % at 29.34 mg.")
    assert 'aria-label="Loading 1 % at 29.34 mg."' in svg
    assert "nominal 1 %" in svg and "likely stays<" in svg and ">0.3 %<" in svg
    assert "← under one balance step" in svg
    near, far = (
        loading_picture("FeCl3", 29.34, 1.0, (0.05, 0.3, 0.9), (0.05, 0.3, 0.9), step, "Loading 1 %.")
        for step in (0.01, 1e9)
    )
    assert "balance" not in near and ">under one balance step" in far and "nan" not in far


def test_a_range_is_a_bar_and_a_value_is_a_point():
    bar = value_picture((4, 5, 6), ("4 g", "5 g", "6 g"), "A bar from 4 to 6 g.")
    point = value_picture((5, 5, 5), ("5 g", "5 g", "5 g"), "A point at 5 g.")
    assert "4 g" in bar and "6 g" in bar and len(re.findall("<rect", bar)) == len(re.findall("<rect", point)) + 1
    assert place(5, 4, 6) == pytest.approx(0.5) and place(4, 4, 6) < place(4.5, 4, 6) < place(6, 4, 6)
    assert place(7, 7, 7) == 0.5
