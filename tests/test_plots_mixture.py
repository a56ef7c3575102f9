"""The picture of a mixture: its bars are the shares, and no words collide."""

import itertools

import pytest
from layout import collisions, word_boxes

from labkit.chemistry.mixture import precursor_mixture
from labkit.plots.mixture import mass_parts, mixture_figure, mixture_picture, mixture_words

NAMES = ("urea", "thiourea", "melamine", "dicyandiamide")
MIXED = {"urea": "40 g", "thiourea": "3 g", "melamine": "20 g", "dicyandiamide": "4 g"}


def test_each_bar_makes_a_hundred_percent():
    parts = mass_parts(precursor_mixture(MIXED))
    assert {row: pytest.approx(sum(shares.values()), abs=1e-9) for row, shares in parts.items()} == {
        "weighed in": 100,
        "at best": 100,
    }
    assert parts["weighed in"]["melamine"] == pytest.approx(100 * 20 / 67, rel=1e-9)
    # 64 g of urea and 3 g of thiourea: 1.0657 + 0.0394 mol give 15/12 as much ammonia, 23.52 g of 67 g.
    assert mass_parts(precursor_mixture({"urea": "64 g", "thiourea": "3 g"}))["at best"]["NH₃"] == pytest.approx(
        35.1, abs=0.05
    )


def test_the_figure_has_the_pieces_end_to_end():
    found = precursor_mixture(MIXED, fractions="10 % to 30 %")
    axes = mixture_figure(found).axes[0]
    rows = {}
    for bar in axes.patches:
        rows.setdefault(round(bar.get_y() + bar.get_height() / 2), []).append((bar.get_x(), bar.get_width()))
    parts = mass_parts(found)
    for row, name in ((2, "weighed in"), (1, "at best")):
        assert [width for _, width in rows[row]] == pytest.approx(list(parts[name].values()))
        for (left, width), (following, _) in itertools.pairwise(rows[row]):
            assert following == pytest.approx(left + width)
    ((left, width),) = rows[0]
    low, likely, high = (100 * end.m_as("g") / 67 for end in found.expected.ends)
    assert (left, left + width) == pytest.approx((low, high)) and axes.lines[0].get_xdata()[0] == pytest.approx(likely)
    assert "urea 59.7 %" in "".join(text.get_text() for text in axes.texts)
    assert axes.get_xlabel() == "Share of the mass of the mixture / %"


def test_no_words_collide_whatever_is_mixed():
    tried = [grams for grams in itertools.product((0, 0.5, 64), repeat=4) if any(grams)]
    assert len(tried) == 80
    for grams in tried:
        found = precursor_mixture({name: f"{mass} g" for name, mass in zip(NAMES, grams)})
        svg = mixture_picture(found, mixture_words(found))
        assert "nan" not in svg and len(svg) < 40_000
        said = " ".join(words for words, _ in word_boxes(svg))
        assert all((name in said) == bool(mass) for name, mass in zip(NAMES[1:], grams[1:]) if name != "melamine")
        assert collisions(svg) == [], grams


def test_the_words_have_the_numbers():
    words = mixture_words(precursor_mixture(MIXED, fractions="10 % to 30 %"))
    assert (
        "urea 59.7 %" in words and "CS₂ 2.24 %" in words and "Expected: 4.6 to 14 % of powder, likely 9.2 %." in words
    )
