"""The picture of a log, and thinning: what can be seen stays, gaps stay open, what was left out stays visible."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from layout import collisions, word_boxes

from labkit.heat.trace import Trace
from labkit.plots.course import degrees, heat_axis, thinned, time_axis, window_words
from labkit.plots.log import log_picture, visible_gaps

BOTH = "loss and HCN from 600 °C, lost above 700 °C"
NONE = np.array([]), np.array([])
MINUTES = np.arange(0, 300.0)
CELSIUS = np.interp(MINUTES, [0, 60, 220, 299], [20, 550, 552, 150])  # an invented firing


def curve(svg):
    """Return the pieces of the curve, each an array of places in points."""
    path = re.search(r'<path d="([^"]+)" fill="none" stroke="#0072B2"', svg)[1]
    return [
        np.array(re.findall(r"-?[\d.]+", piece), dtype=float).reshape(-1, 2)
        for piece in path.split("M")
        if piece.strip()
    ]


def drawn(trace, window=(520, 580), left_out=NONE):
    return log_picture(trace, window, (600.0, 700.0), left_out, "A log.")


# ------------------------------------------------------------------------------------------ thinning
@given(st.integers(2, 30_000), st.integers(0, 2**32 - 1), st.integers(20, 400))
def test_thinning_keeps_ends_and_extremes_of_every_strip(size, seed, columns):
    chance = np.random.default_rng(seed)
    x = np.cumsum(chance.exponential(1, size))
    y = chance.normal(0, 100, size)
    few, kept = thinned(x, y, columns=columns)
    assert few.size <= 4 * columns and (np.diff(few) > 0).all()
    assert (few[0], few[-1]) == (x[0], x[-1])
    assert np.isin(few, x).all() and (y[np.searchsorted(x, few)] == kept).all()  # points of the log, none made up
    if size > 4 * columns:
        strip = np.minimum(((x - x[0]) * (columns / (x[-1] - x[0]))).astype(int), columns - 1)
        thin = strip[np.searchsorted(x, few)]
        for number in np.unique(strip)[:: max(columns // 10, 1)]:
            assert kept[thin == number].max() == y[strip == number].max()
            assert kept[thin == number].min() == y[strip == number].min()


@given(st.integers(10, 20_000), st.integers(0, 2**32 - 1))
def test_a_gap_that_can_be_seen_stays_open(size, seed):
    chance = np.random.default_rng(seed)
    steps = chance.uniform(0.5, 1, size)
    place = int(chance.integers(0, size))
    steps[place] = steps.sum() / 20
    x, counted = np.concatenate(([0.0], np.cumsum(steps))), np.ones(size, dtype=bool)
    counted[place] = False
    few, kept = thinned(x, x * 2, counted)
    (cut,) = np.flatnonzero(np.isnan(few))
    assert np.isnan(kept[cut]) and (few[cut - 1], few[cut + 1]) == (x[place], x[place + 1])


def test_thousands_of_unseen_gaps_do_not_tear_the_curve_to_dust():
    x, counted = np.arange(200_000.0), np.ones(199_999, dtype=bool)
    counted[::3] = False
    few, _ = thinned(x, np.sin(x / 9000), counted)
    assert few.size < 4000


# -------------------------------------------------------------------------------------------- axes
@pytest.mark.parametrize("minutes, unit, right", [(50, "min", 50), (119, "min", 150), (121, "h", 2.5), (300, "h", 5), (1000, "h", 20),
                                                  (6000, "d", 5), (0.02, "min", 0.02), (1e7, "d", 8000)])  # fmt: skip
def test_the_time_axis_is_in_a_unit_that_fits_and_holds_all(minutes, unit, right):
    found, size, end = time_axis(minutes)
    assert (found, end) == (unit, right) and end * size >= minutes


@given(st.floats(-200, 1500), st.floats(0, 1500))
def test_the_heat_axis_holds_all(lowest, more):
    bottom, top = heat_axis(lowest, lowest + more)
    assert bottom <= lowest and bottom % 100 == 0 and top >= lowest + more + 60 and top % 200 == 0


def test_words_of_a_window():
    assert window_words(520.0, 580.0) == "window 520 to 580 °C"
    assert degrees((970 - 32) / 1.8) == "521.1"


# ------------------------------------------------------------------------------------------ pictures
def test_the_curve_stands_on_the_scale():
    svg = drawn(Trace(MINUTES, CELSIUS))
    left, top, wide, high = (float(n) for n in re.search(r'<clipPath id="[^"]*"><rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"', svg).groups())  # fmt: skip
    (piece,) = curve(svg)
    assert len(piece) == len(MINUTES)
    assert piece[:, 0] == pytest.approx(left + wide * MINUTES / 300, abs=0.11)  # an axis of 5 h
    assert piece[:, 1] == pytest.approx(top + high * (1 - CELSIUS / 800), abs=0.11)  # of 0 to 800 °C


def test_gaps_are_open_shaded_and_named():
    keep = (MINUTES < 100) | (MINUTES > 140)
    keep &= (MINUTES < 200) | (MINUTES > 230)
    trace = Trace(MINUTES[keep], CELSIUS[keep], np.diff(MINUTES[keep]) < 5)
    svg = drawn(trace)
    assert len(curve(svg)) == 3
    assert svg.count(">gap<") == 2 and svg.count('fill="#595959" fill-opacity="0.15"') == 2
    assert visible_gaps(trace, 300) == [(99.0, 141.0), (199.0, 231.0)]
    assert collisions(svg) == []
    assert "gap" not in re.sub("aria-label", "", drawn(Trace(MINUTES, CELSIUS)))


def test_readings_left_out_are_open_marks_at_their_places_or_at_the_edge():
    svg = drawn(Trace(MINUTES, CELSIUS), left_out=(np.array([90.0, 150.0]), np.array([300.0, 1183.0])))
    rings = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="4.5" fill="#FFFFFF"', svg)
    left, top, wide, high = (float(n) for n in re.search(r'<clipPath id="[^"]*"><rect x="(\S+)" y="(\S+)" width="(\S+)" height="(\S+)"', svg).groups())  # fmt: skip
    (x1, y1), (x2, y2) = [(float(x), float(y)) for x, y in rings]
    assert (x1, y1) == pytest.approx((left + wide * 0.3, top + high * (1 - 300 / 800)), abs=0.1)
    assert x2 == pytest.approx(left + wide * 0.5, abs=0.1) and top + 4.5 < y2 < top + high * 0.1
    assert "↑ 1183 °C, left out" in svg and ">300 °C, left out" in svg
    assert collisions(svg) == []


@pytest.mark.parametrize("peak", [30, 300, 560, 690, 760, 1300])
@pytest.mark.parametrize("window", [(520, 580), (10, 699), (640, 660)])
def test_words_stand_free_wherever_the_curve_goes(peak, window):
    for shape in ([0, 1, 1, 0], [1, 1, 1, 1], [0, 1, 0, 1], [1, 0, 0.5, 0]):
        trace = Trace(MINUTES, np.interp(MINUTES, [0, 60, 220, 299], np.array(shape) * peak))
        assert collisions(drawn(trace, window, (np.array([20.0, 290.0]), np.array([peak + 50.0, 1200.0])))) == []


def test_very_many_readings_left_out_stay_a_small_picture():
    many = np.linspace(0, 299, 5000), np.full(5000, 900.0)
    assert len(drawn(Trace(MINUTES, CELSIUS), left_out=many)) < 40_000


def test_a_log_of_days_and_one_of_seconds_can_be_drawn():
    for factor, unit in ((1e-4, "min"), (1e4, "d")):
        svg = drawn(Trace(MINUTES * factor, CELSIUS))
        assert f"Time / {unit}<" in svg and len(curve(svg)[0]) == len(MINUTES)


@pytest.mark.parametrize("peak", [560, 640, 690, 760])
def test_words_on_a_limit_never_stand_where_it_is_cooler(peak):
    for shape in ([0, 1, 1, 0], [1, 1, 1, 1], [0, 1, 0, 1], [1, 0.8, 1, 0.8]):
        svg = drawn(Trace(MINUTES, np.interp(MINUTES, [0, 60, 220, 299], np.array(shape) * peak)))
        top, high = (
            float(n)
            for n in re.search(r'<clipPath id="[^"]*"><rect x="\S+" y="(\S+)" width="\S+" height="(\S+)"', svg).groups()
        )
        assert "loss and HCN from 600 °C" in svg
        words, full = dict(word_boxes(svg)), heat_axis(0, max(peak, 580))[1]
        for text, limit in (("loss and HCN from 600 °C", 600), ("powder lost above 700 °C", 700), (BOTH, 700)):
            assert text not in words or words[text][3] < top + high * (1 - limit / full), (text, shape)


def test_a_gap_is_shaded_from_its_first_minute_to_its_last():
    # Readings from 0 to 60 min and from 120 to 180 min; the shade is as wide as the hole in the curve.
    minutes = np.concatenate([np.arange(0, 61.0), np.arange(120, 181.0)])
    trace = Trace(minutes, np.full(minutes.size, 550.0) + minutes / 100, np.diff(minutes) < 30)
    svg = drawn(trace)
    before, after = curve(svg)
    hole = before[-1][0], after[0][0]
    shades = [(float(x), float(x) + float(width)) for x, width in re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', svg)]  # fmt: skip
    assert any(shade == pytest.approx(hole, abs=0.3) for shade in shades), (hole, shades)  # points, rounded to a tenth
