"""figures/ holds what the drawing code draws today, and pictures say what they show."""

import re
from pathlib import Path

import pytest

from labkit.plots.drawn import FIGURES, written
from labkit.plots.drivers import driver_figure, driver_words
from labkit.plots.masses import mass_figure, mass_shares
from labkit.units import Q, Range, range_from

FOLDER = Path(__file__).parents[1] / "figures"
NUMBER = re.compile(r"-?\d+\.?\d*(?:e-?\d+)?")


def anatomy(text):
    """Return the words of an SVG and its numbers apart, so that the numbers can differ by a hair."""
    text = re.sub(r"(?<=[\"#])[a-zA-Z]*[0-9a-f]{10,}", "ID", text)
    return NUMBER.sub("#", text), [float(number) for number in NUMBER.findall(text)]


def test_the_folder_holds_just_the_figures():
    assert FIGURES
    assert {path.name for path in FOLDER.iterdir()} == set(FIGURES)


@pytest.mark.parametrize("name", FIGURES)
def test_the_file_is_current(name, tmp_path):
    figure, alt = FIGURES[name]()
    written(figure, tmp_path / name, alt)
    there, now = (path.read_text(encoding="utf-8") for path in (FOLDER / name, tmp_path / name))
    words = re.search(r"<desc[^>]*>(.*?)</desc>", now, re.DOTALL)[1]
    assert words in there, "draw it anew: python -m labkit.plots.drawn"
    if drawn_with(there) != drawn_with(now):
        pytest.skip(f"drawn with {drawn_with(there)}, here is {drawn_with(now)}; the words agree")
    shape, numbers = anatomy(now)
    old_shape, old_numbers = anatomy(there)
    assert shape == old_shape, "draw it anew: python -m labkit.plots.drawn"
    # Half a point: less is invisible, and other machines round otherwise.
    assert all(abs(a - b) <= 0.5 for a, b in zip(numbers, old_numbers))


def drawn_with(text):
    return re.search(r"<!-- drawn with (matplotlib [^ ]+) -->", text)[1]


def test_shares_of_the_mass_are_all_of_it():
    for precursor in ("urea", "melamine", "dicyandiamide", "thiourea"):
        shares = mass_shares(precursor)
        assert len(shares) >= 2
        assert sum(shares.values()) == pytest.approx(100, abs=1e-9)
    # Route to melon, by hand: 0.27912, 0.35448 and 0.36641 of the urea.
    assert list(mass_shares("urea").values()) == pytest.approx([27.912, 35.448, 36.641], abs=0.002)


def test_the_bar_of_masses_fills_the_axis():
    axes = mass_figure("thiourea").axes[0]
    assert sum(patch.get_width() for patch in axes.patches) == pytest.approx(100)
    assert "thiourea" in axes.get_xlabel()
    assert axes.get_title(loc="left") == "At best, by the usual route"
    assert all(patch.get_facecolor()[3] == 1 for patch in axes.patches)  # no grid shines through


def test_words_of_a_narrow_bar_stay_in_it():
    figure = mass_figure("thiourea")
    figure.draw_without_rendering()
    (axes,) = figure.axes
    assert len(axes.texts) == len(axes.patches) == 3
    for words, bar in zip(axes.texts, axes.patches):
        inner, outer = words.get_window_extent(), bar.get_window_extent()
        assert outer.x0 + 2 < inner.x0 and inner.x1 < outer.x1 - 2 and outer.y0 < inner.y0 and inner.y1 < outer.y1


def test_bars_of_drivers_are_the_drivers():
    span = range_from(lambda mass, share: mass * share, mass=Range(Q(1.0, "g"), Q(2.0, "g"), Q(4.0, "g")),
                      share=Range(Q(0.4), Q(0.5), Q(0.6)))  # fmt: skip
    axes = driver_figure(span, "Powder").axes[0]
    assert [patch.get_width() for patch in axes.patches] == pytest.approx([2.4 - 0.4, 1.2 - 0.8, 2.0 - 0.5])
    assert [label.get_text() for label in axes.get_yticklabels()] == ["all together", "share", "mass"]
    words = driver_words(span, "the powder")
    assert "mass alone 0.50 to 2.0" in words and "share alone 0.80 to 1.2" in words
