"""The panel on a lamp against sums on paper, without a browser."""

import math
import re

import numpy as np
import pytest
from hostile import assert_calm
from layout import collisions
from scipy import constants

from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.panels.lamp import ELECTRIC, LUX, MEASURED, lamp_answer, lamp_panel
from labkit.units import Q, as_range

NUMBER = r"([\d.]+)"
PER_WATT = 1e-9 / constants.h / constants.c / constants.N_A * 1e6  # µmol in a joule of light of 1 nm
EDGE = 459.2007  # nm, of 2.70 eV


def answer(peak=450.0, width=20.0, doubt=False, known=MEASURED, irradiance="65 W/m²", electricity="8 W", distance="14 cm",
           beam=120.0, lux="900 lux", filter="nothing", gap=2.7):  # fmt: skip
    seen = Q(float(lux.split()[0]), "lux")
    return lamp_answer(Q(peak, "nm"), Q(width, "nm"), doubt, known, as_range(irradiance, "[irradiance]"), as_range(electricity, "[power]"),
                       as_range(distance, "[length]"), Q(beam, "degree"), as_range_of_lux(seen), filter, Q(gap, "eV"))  # fmt: skip


def as_range_of_lux(seen):
    from labkit.units import certain

    return certain(seen)


def share(peak, width, edge=EDGE):
    """The share of a bell's photons below an edge, as a plain sum."""
    nm = np.linspace(peak - 4 * width, peak + 4 * width, 200_001)
    photons = nm * 2.0 ** (-((2 * (nm - peak) / width) ** 2))
    return float(photons[nm <= edge].sum() / photons.sum())


@pytest.mark.parametrize("peak, width, watts", [(450, 20, 65), (440, 18, 20), (460, 22, 120), (405, 15, 33)])
def test_the_sentence_agrees_with_sums_on_paper(peak, width, watts):
    said = answer(float(peak), float(width), irradiance=f"{watts} W/m²").sentence
    part = share(peak, width)
    flux = watts * peak * PER_WATT * part
    found = re.search(rf"at {NUMBER} µmol/m²/s\. The light there is {NUMBER} W/m²; the share of its photons above the gap is {NUMBER} %", said)  # fmt: skip
    assert float(found[1]) == pytest.approx(flux, rel=0.005) and float(found[2]) == watts
    assert float(found[3]) == pytest.approx(100 * part, rel=0.005)
    # Full sun gives 414.2 µmol/m²/s above 2.70 eV.
    assert f"{100 * flux / 414.2:.0f} % of what full sun gives there, 414 µmol/m²/s" in said


def test_a_lamp_as_sold_may_be_off():
    said = answer(doubt=True).sentence
    low, high = (65 * peak * PER_WATT * share(peak, 20) for peak in (455, 445))
    found = re.search(rf"at {NUMBER} to {NUMBER} µmol/m²/s, likely {NUMBER}", said)
    assert float(found[1]) == pytest.approx(low, rel=0.05) and float(found[2]) == pytest.approx(high, rel=0.05)
    assert "mostly from where the peak really lies" in said


def test_electricity_and_distance():
    said = answer(known=ELECTRIC).sentence
    watts = [share * 8 / math.pi / 0.14**2 for share in (0.3, 0.45, 0.6)]
    found = re.search(rf"The light there is {NUMBER} to {NUMBER} W/m², likely {NUMBER} W/m²", said)
    assert [float(found[1]), float(found[3]), float(found[2])] == pytest.approx(watts, rel=0.03)
    assert "mostly from the light that arrives" in said
    narrow = answer(known=ELECTRIC, beam=40.0).sentence
    assert float(re.search(rf"likely {NUMBER} W/m²", narrow)[1]) > 4 * watts[1]


def test_lux_in_the_blue_is_wide_and_in_the_violet_refused():
    said = answer(known=LUX).sentence
    found = re.search(rf"The light there is {NUMBER} to {NUMBER} W/m², likely {NUMBER} W/m²", said)
    assert float(found[3]) == pytest.approx(900 / 27.6, rel=0.05) and float(found[2]) / float(found[1]) > 4
    with pytest.raises(RangeProblem, match="blind"):
        answer(405.0, known=LUX)
    rows = {row[0]: row for row in answer(405.0).table}
    assert "blind" in rows["lumens in a watt"][2]
    assert "order of magnitude" in {row[0]: row for row in answer().table}["lumens in a watt"][2]


def test_glass_takes_its_share():
    bare, behind = (answer(filter=name).sentence for name in ("nothing", "soda-lime glass"))
    first, second = (float(re.search(rf"likely {NUMBER} µmol|at {NUMBER} µmol", said)[group]) for said, group in ((bare, 2), (behind, 1)))  # fmt: skip
    assert second == pytest.approx(0.9 * first, rel=0.02) and "through soda-lime glass" in behind
    rows = {row[0]: row for row in answer(filter="soda-lime glass").table}
    assert "from memory" in rows["usable photons"][2]


def test_the_table_by_hand():
    rows = {row[0]: row[1] for row in answer().table}
    assert rows["photons in a joule"] == f"{450 * PER_WATT:.2f} µmol/J"
    assert float(rows["lumens in a watt"].split()[0]) == pytest.approx(27.6, rel=0.01)
    hourly = 65 * 450 * PER_WATT * share(450, 20) * 3600 / 1000
    assert float(rows["usable in an hour"].split()[0]) == pytest.approx(hourly, rel=0.01)


def test_cautions_stand_beside_it():
    assert answer().caution == cautions("light") and "Never look" in answer().caution


def test_the_panel_starts_well_and_follows_every_control():
    panel, seen = lamp_panel(), set()
    assert panel.trouble is None and "µmol/m²/s" in panel.sentence
    controls = panel.controls
    for known in (MEASURED, ELECTRIC, LUX):
        controls["known"].box.value = known
        for filter in controls["filter"].box.options:
            controls["filter"].box.value = filter
            for doubt in controls["doubt"].box.options:
                controls["doubt"].box.value = doubt
                for peak, width, gap in ((365, 5, 2.0), (420, 60, 3.2), (450, 20, 2.7), (500, 30, 2.4), (500, 5, 3.2)):
                    for name, size in (("peak", peak), ("width", width), ("gap", gap)):
                        controls[name].slider.value = size
                        assert panel.trouble is None, (known, filter, doubt, peak, width, gap)
                    assert panel.sentence.endswith(".")
                    seen.add(panel.sentence)
                    svg = panel.parts["picture"].value
                    assert "blind" in panel.sentence or collisions(svg) == []
    assert len(seen) > 60


def test_a_box_that_is_typed_in_is_used():
    panel = lamp_panel()
    panel.controls["lux"].box.value = "700 lx"
    assert panel.controls["known"].value == LUX and "The light there is 10 to 64 W/m²" in panel.sentence
    panel.controls["distance"].box.value = "30 cm"
    assert panel.controls["known"].value == ELECTRIC
    panel.controls["beam"].box.value = "500°"
    assert (
        "Type something" in panel.controls["beam"].message.value
        or "type something" in panel.controls["beam"].message.value
    )
    assert panel.trouble is None


@pytest.mark.parametrize("name", ["irradiance", "electricity", "distance", "beam", "lux"])
def test_hostile_text_raises_nothing_and_leaves_no_markup(name):
    assert_calm(lamp_panel(), name)
