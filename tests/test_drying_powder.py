"""Drying to constant mass: what two weighings can tell, against the odds of a balance that rounds, and masses by hand."""

import numpy as np
import pytest
from helpers import assert_close

from labkit.air import drying
from labkit.errors import LabError
from labkit.units import Q, number
from labkit.uptake.drying import drying_report, read_weighings, solvent_left


def report(minutes=(0, 60, 120, 180), grams=(8.42, 3.05, 1.91, 1.90), **rest):
    return drying_report(Q(np.array(minutes, float), "min"), Q(np.array(grams, float), "g"), solvent="acetone", **rest)


def test_the_doubt_of_a_loss_is_that_of_two_weighings():
    generator = np.random.default_rng(2)
    steps = generator.uniform(-1, 1, 400_000) - generator.uniform(-1, 1, 400_000)
    half = np.quantile(np.abs(steps), 0.95)  # 1.553
    found = report(balance="10 mg").rate
    assert number(found.likely, "mg/h") == pytest.approx(10, rel=1e-6)
    assert number(found.high - found.likely, "mg/h") == pytest.approx(10 * half, rel=0.01)
    assert number(found.likely - found.low, "mg/h") == pytest.approx(10 * half, rel=0.01)
    slower = report((0, 60, 180), (8.42, 1.91, 1.90)).rate  # the same step over twice the time
    assert number(slower.high - slower.likely, "mg/h") == pytest.approx(5 * half, rel=0.01)


@pytest.mark.parametrize("grams, level", [
    ((8.42, 3.05, 1.91, 1.90), "dry to the balance"),
    ((8.42, 3.05, 1.90, 1.90), "dry to the balance"),
    ((8.42, 3.05, 1.93, 1.90), "still losing"),
    ((8.42, 3.05, 1.90, 1.93), "gaining"),
])  # fmt: skip
def test_levels(grams, level):
    assert report(grams=grams).level == level


def test_a_finer_balance_sees_more():
    assert report(balance="1 mg").level == "still losing"


def test_two_weighings_too_close_together_prove_nothing():
    # 1.91 and 1.90 are alike, but only ten minutes apart: compared with 3.05 instead.
    found = report((0, 60, 170, 180))
    assert found.level == "still losing" and hours_close_to(found.between, 2.0)
    assert number(found.rate.likely, "mg/h") == pytest.approx((3050 - 1900) / 2)
    soon = report((0, 10), (3.0, 3.0))
    assert soon.level == "cannot tell" and soon.rate is None and "30 min" in str(soon)
    # 15.5 mg in ten minutes may still be leaving: 93 mg/h of 3 g are 3.1 %.
    assert report((0, 10), (3.0, 3.0), apart="5 min").level == "cannot tell"
    assert report((0, 10), (3.0, 3.0), apart="5 min", balance="1 mg").level == "dry to the balance"


def test_a_balance_too_coarse_for_the_powder_cannot_tell():
    # Two weighings of a 1 g balance hide 1.55 g of 8.42 g, 18 % in an hour; of a 100 mg balance 0.155 g, 1.8 %.
    coarse = report((0, 60), (8.42, 8.42), balance="1 g")
    assert coarse.level == "cannot tell" and "1600 mg/h may still be leaving" in " ".join(str(coarse).split())
    assert "nothing near that can light it" in " ".join(str(coarse).split())
    finer = report((0, 60), (8.42, 8.42), balance="100 mg")
    assert finer.level == "dry to the balance" and "No loss was seen at all" in str(finer)
    assert "No loss" not in str(report())


def test_constant_but_far_too_heavy_is_not_called_dry():
    # 1.90 g of 1.40 g before doping: half a gram of something is still there.
    heavy = report(powder_mass="1.40 g")
    assert heavy.level == "cannot tell" and "500 mg lie beyond the 1.40 g" in " ".join(str(heavy).split())
    assert report(powder_mass="1.75 g").level == "dry to the balance"
    assert "1.0 h or more apart" in " ".join(str(report((0, 30), (3.0, 3.0), apart="1 h")).split())


def hours_close_to(quantity, hours):
    return number(quantity, "h") == pytest.approx(hours)


def test_masses_by_hand():
    found = report(vessel="0.40 g", powder_mass="1.40 g")
    assert_close(found.given_off, Q(6.52, "g"), relative=1e-9)
    assert_close(found.mass, Q(1.50, "g"), relative=1e-9)
    assert_close(found.share, Q(100 * 6.52 / 8.02, "percent"), relative=1e-9)
    assert_close(found.still_held, Q(0.10, "g"), relative=1e-6)
    assert found.most_given_off > found.given_off
    assert "6.6 g of acetone went into the air" in " ".join(str(found).split())  # upwards
    assert "holds 100 mg" in " ".join(str(found).split()) or "holds 110 mg" in " ".join(str(found).split())
    assert "missing" in str(report(powder_mass="2.5 g"))
    assert max(map(len, str(found).splitlines())) <= 60


def test_the_vapour_goes_on_to_the_air_of_the_room():
    found = report()
    assert found.air("20 m³/h", over="3 h").sentence == drying("acetone", found.most_given_off, "20 m³/h", over="3 h").sentence  # fmt: skip
    assert "More vapour is to come" in str(report(grams=(8.42, 3.05, 2.4, 1.9)))
    assert "not proof" in " ".join(str(found).split())


def test_a_table_that_was_typed():
    readings = read_weighings("time / h;mass (g)\n0;8,42\n1;5,11\n2;lost\n3;5,10")
    found = drying_report(readings, solvent="ethanol")
    assert readings.left_out == 1 and found.level == "dry to the balance"
    assert hours_close_to(found.between, 2.0) and "left out" not in found.sentence


def test_what_is_left_in_damp_powder():
    assert_close(solvent_left("2.15 g", "1.72 g"), Q(20, "percent"), relative=1e-9)
    assert_close(solvent_left("2 g", "2 g"), Q(0, "percent"), within=Q(1e-12, "percent"))


@pytest.mark.parametrize("ask, words", [
    (lambda: report((0,), (1.0,)), "two weighings"),
    (lambda: report((0, 0), (1.0, 1.0)), "times that rise"),
    (lambda: report((0, 30), (1.0, 0.9), vessel="1 g"), "no powder"),
    (lambda: report((0, 30), (1.0, np.nan)), "finite"),
    (lambda: report(balance="0 mg"), "more than zero"),
    (lambda: report(powder_mass="2 mL"), "mass"),
    (lambda: drying_report(Q([0, 60], "min"), Q([2, 1], "g"), solvent="water"), "water"),
    (lambda: drying_report(Q([0, 60], "min"), Q([2, 1], "mL"), solvent="acetone"), "a mass"),
    (lambda: drying_report(Q([0, 60], "min"), None, solvent="acetone"), "mass"),
    (lambda: solvent_left("1 g", "2 g"), "no lighter"),
])  # fmt: skip
def test_what_cannot_be_worked_out_is_said_kindly(ask, words):
    with pytest.raises(LabError, match=words):
        ask()


@pytest.mark.parametrize("balance, shown", [("10 mg", "1.90 g"), ("1 mg", "1.900 g"), ("0.1 g", "1.9 g")])
def test_a_mass_has_no_more_figures_than_the_balance_shows(balance, shown):
    said = report((0, 60, 120, 2400), balance=balance, powder_mass="1.8 g").sentence
    assert f" {shown}" in said and " 1.9000" not in said and "1900" not in said
