"""The pictures of a budget: bars, draws and bell carry the right numbers, and no words collide."""

import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from layout import SVG, collisions, word_boxes
from scipy import stats

from labkit.errors import RangeProblem
from labkit.plots.budget import (
    MOST,
    budget_figure,
    budget_picture,
    budget_words,
    contributions,
    draws_figure,
    draws_picture,
    draws_words,
)
from labkit.plots.style import figure_svg
from labkit.units import Q, budget, normal, rectangular


def total(**spreads):
    """Return the budget of a sum of masses, each with its standard uncertainty in g."""
    return budget(lambda **given: sum(given.values()), count=20_000,
                  **{name: normal("10 g", Q(spread, "g")) for name, spread in spreads.items()})  # fmt: skip


FOUR = total(scale=0.3, tare=0.4, damp=1.2, dust=0.0001)  # all together 1.3 g but for the last


def test_bars_show_what_each_input_brings():
    (axes,) = budget_figure(FOUR, "powder").axes
    widths = {label.get_text(): patch.get_width() for label, patch in zip(axes.get_yticklabels(), axes.patches)}
    assert widths == pytest.approx(
        {"damp": 1.2, "tare": 0.4, "scale": 0.3, "dust": 0.0001, "all together": 1.3}, rel=1e-5
    )
    assert axes.get_xlabel() == "Standard uncertainty of the powder / g"
    said = budget_words(FOUR, "powder")
    assert "(40.0 ± 1.3) g: damp 1.2 g, tare 0.40 g, scale 0.30 g" in said and said.endswith("all together 1.3 g.")


def test_many_inputs_are_put_together():
    many = total(**{f"part_{place}": 2.0 for place in range(4)}, **{f"small_{place}": 0.3 for place in range(4)})
    rows, unit = contributions(many)
    assert len(rows) == MOST and rows[-1][0] == "the other 3" and str(unit) == "gram"
    assert rows[-1][1] == pytest.approx(0.3 * 3**0.5, rel=1e-5)
    assert sum(share**2 for *_, share in rows) == pytest.approx(1, rel=1e-6)
    assert len(budget_figure(many, "powder").axes[0].patches) == MOST + 1


def test_the_bars_of_a_panel_have_the_length_of_their_share():
    svg = budget_picture(FOUR, "Bars.")
    assert 'aria-label="Bars."' in svg
    assert [text for text, _ in word_boxes(svg)] == [
        "damp: ± 1.2 g",
        "tare: ± 0.40 g",
        "scale: ± 0.30 g",
        "dust: ± 1.0×10⁻⁴ g",
    ]
    bars = [box for box in ElementTree.fromstring(svg).iter(f"{SVG}rect") if box.get("stroke")]
    lengths = [float(box.get("width")) for box in bars]
    assert np.array(lengths[:3]) / lengths[0] == pytest.approx([1, 0.4 / 1.2, 0.3 / 1.2], rel=0.005)
    *_, clip = ElementTree.fromstring(svg).iter(f"{SVG}clipPath")
    assert lengths[0] == pytest.approx(float(clip[0].get("width")) * 100 * 1.2 / 1.3 / 112, abs=0.3)


def test_draws_of_a_bell_lie_on_the_bell():
    (axes,) = draws_figure(FOUR, "powder").axes
    (stairs,) = [patch for patch in axes.patches if hasattr(patch, "get_data")]
    heights, edges, _ = stairs.get_data()
    # 20 000 draws in bins of an eighth of 1.3 g: the tallest holds 1000, give or take 3 %.
    middle = (edges[1:] + edges[:-1]) / 2
    assert heights == pytest.approx(stats.norm(40, 1.3).pdf(middle) * 1.3, abs=0.04)
    bell = next(line for line in axes.lines if len(line.get_xdata()) == 161)
    assert bell.get_ydata() == pytest.approx(stats.norm(40, 1.3).pdf(bell.get_xdata()) * 1.3, rel=1e-3)
    ends = sorted(line.get_xdata()[0] for line in axes.lines if len(line.get_xdata()) == 2)
    assert ends == pytest.approx(stats.norm(40, 1.3).ppf([0.025, 0.975]), abs=0.08)
    assert axes.get_xlabel() == "Powder / g" and "It fits the bell." in draws_words(FOUR, "powder")


def test_draws_that_reach_far_are_shown_with_both_ends_of_their_interval():
    """Of the exponential of a bell of 0.7 the interval is known: its ends are the exponentials of ∓ 1.96 times 0.7."""
    (axes,) = draws_figure(budget(lambda x: np.exp(x.magnitude), x=normal(Q(0.0), Q(0.7))), "factor").axes
    ends = sorted(line.get_xdata()[0] for line in axes.lines if len(line.get_xdata()) == 2)
    assert ends == pytest.approx([np.exp(-1.96 * 0.7), np.exp(1.96 * 0.7)], rel=0.02)  # 100 000 draws
    left, right = axes.get_xlim()
    assert left < ends[0] and ends[1] < right
    (stairs,) = [patch for patch in axes.patches if hasattr(patch, "get_data")]
    heights, edges, _ = stairs.get_data()
    assert edges[0] == pytest.approx(left) and edges[-1] == pytest.approx(right)
    inside = stats.lognorm(0.7).cdf(right)  # density per standard uncertainty, which is 0.7 here
    assert (heights * np.diff(edges)).sum() / 0.7 == pytest.approx(inside, abs=0.002)


def test_draws_that_the_first_way_does_not_see():
    square = budget(lambda x: x**2, x=normal("0 V", "1 V"))
    figure = draws_figure(square, "square")
    assert not [line for line in figure.axes[0].lines if len(line.get_xdata()) == 161]
    assert "beside no bell" in draws_words(square, "square") and "does not fit" in draws_words(square, "square")
    assert draws_picture(square, "A square.").startswith("<svg ") and "nan" not in figure_svg(figure)
    with pytest.raises(RangeProblem, match="no draws"):
        draws_figure(budget(lambda x: x, x=normal("1 V", "1 V"), count=0), "voltage")


@pytest.mark.parametrize("found", [
    FOUR,
    total(a_rather_long_name_of_an_input=0.3, another=0.2),
    budget(lambda x: x**2, x=normal("1 V", "1 V")),
    budget(lambda x: x**2, x=normal("0 V", "1 V")),
    budget(lambda x: x, x=rectangular("5 mL", "1 mL")),
    budget(lambda x: np.exp(x.magnitude), x=normal(Q(0.0), Q(0.7))),
], ids=["four", "two", "square", "square at zero", "flat", "bent"])  # fmt: skip
def test_no_words_collide(found):
    for svg in (budget_picture(found, "Bars."), draws_picture(found, "Draws.")):
        assert collisions(svg) == [] and "nan" not in svg
