"""The panel of settling and spinning against sums on paper, without a browser."""

import html
import math
import re
import time

import pytest
from hostile import HOSTILE, assert_calm

from labkit.panels.spinning import ALLOWED, ORDINARY, spinning_answer, spinning_panel
from labkit.units import Q, Range, certain
from labkit.uptake.spinning import rotor_speed

UNITS = {"s": 1, "min": 60, "h": 3600, "days": 86400, "years": 31557600}
VISCOSITY, DENSITY = {"water": 0.8900e-3, "acetone": 0.3068e-3}, {"water": 997.05, "acetone": 784.5}  # handbooks, 25 °C


def answer(
    liquid="water",
    size=1.0,
    solid=2000.0,
    height=6.0,
    allowed=False,
    speed=2600,
    tube="polypropylene",
    rated=1500.0,
    apart=0.05,
):
    density = certain(Q(solid, "kg/m**3"))
    return spinning_answer(liquid, Q(25, "degC"), certain(Q(size, "µm")), density, Q(height, "cm"), allowed, rotor_speed(speed),
                           Q(5, "cm"), Q(9, "cm"), tube, rated, Q(apart, "g"))  # fmt: skip


def seconds(text):
    """Return (low, likely, high) in s of a printed range of times, each end in its own unit."""
    low, low_unit, high, high_unit, likely, likely_unit = re.search(
        r"([\d.]+) (s|min|h|days|years) to ([\d.]+) (s|min|h|days|years), likely ([\d.]+) (s|min|h|days|years)", text
    ).groups()
    return [float(number) * UNITS[unit] for number, unit in ((low, low_unit), (likely, likely_unit), (high, high_unit))]


def on_paper(liquid, size, solid):
    """Return m/s of a ball at 1 × g by Stokes' law; a flake has 0.2 to 1 of that, likely 0.6."""
    return (solid - DENSITY[liquid]) * 9.80665 * (size * 1e-6) ** 2 / 18 / VISCOSITY[liquid]


@pytest.mark.parametrize("liquid, size", [("water", 1.0), ("water", 0.4), ("acetone", 1.0)])
def test_the_times_agree_with_sums_on_paper(liquid, size):
    found = answer(liquid, size, allowed=True)
    speed = on_paper(liquid, size, 2000.0)
    omega = 2600 * 2 * math.pi / 60
    spun = math.log(9 / 5) / (speed / 9.80665 * omega**2)
    rows = {row[0]: row for row in found.table}
    for text, time_of_a_ball in (
        (rows["spun until the powder is down"][1], spun),
        (rows[f"60.0 mm of still {liquid}"][1], 0.06 / speed),
    ):
        low, likely, high = seconds(text)
        assert low == pytest.approx(time_of_a_ball, rel=0.06)  # two figures, and drag at the bottom of the tube
        assert likely == pytest.approx(time_of_a_ball / 0.6, rel=0.06)
        assert high == pytest.approx(time_of_a_ball / 0.2, rel=0.06)
    assert seconds(found.sentence) == seconds(rows["spun until the powder is down"][1])
    # 2600 rpm at 9 cm: 680.4 × g, upwards.
    assert rows["force at the bottom of the tube"][1] == "690 × g"


def test_acetone_in_an_ordinary_centrifuge_gets_no_time_of_spinning():
    for liquid in ("acetone", "ethanol"):
        found = answer(liquid)
        assert found.sentence.startswith("An ordinary centrifuge makes sparks") and "Spun at" not in found.sentence
        assert not any("spun" in row[0] for row in found.table) and ">spun<" not in found.svg
        assert "Spun at" in answer(liquid, allowed=True).sentence and ">spun<" in answer(liquid, allowed=True).svg
        assert found.caution.splitlines()[0].startswith("• An ordinary centrifuge is a source of sparks")
        assert "far from anything that can light it" in found.caution


def test_dangers_come_before_numbers():
    calm = answer().sentence
    assert calm.startswith("Spun at 2600 rpm")
    # 1500 × g at 9 cm is 3861 rpm, downwards.
    assert answer(speed=4500).sentence.startswith("Too fast: a tube for 1500 × g may turn at 3800 rpm at most.")
    assert answer("acetone", allowed=True, tube="polystyrene").sentence.startswith("No polystyrene for acetone")
    unbalanced = answer(apart=0.8).sentence
    # 0.8 g × 680 × g: 0.544 kg and 5.34 N, upwards.
    assert (
        "5.4 N" in unbalanced
        and "550 g" in unbalanced
        and unbalanced.index("Do not start it") < unbalanced.index("Spun at")
    )


def test_the_panel_starts_well_and_follows_every_control():
    panel, seen = spinning_panel(), set()
    assert panel.trouble is None and panel.sentence.startswith("An ordinary centrifuge makes sparks")
    texts = {
        "temperature": ("10", "40", "25.4", "22"), "diameter": ("0.02 µm", "0.1 to 0.3 µm", "500 nm", "90 to 900 µm", "2 mm", "0.3 to 4 µm, likely 1 µm"),
        "powder_density": ("1.7 g/mL", "0.5 g/cm³", "40 g/cm³", "1.8 to 2.2 g/cm³"), "height": ("1 mm", "90 cm", "2 m", "6 cm"),
        "speed": ("100 rpm", "9000", "60 Hz", "0 rpm", "1e9 rpm", "5 g", "2600 rpm"), "inner_radius": ("1 cm", "9 cm", "2 m", "5 cm"),
        "outer_radius": ("4 cm", "30 cm", "9 cm"), "rated_force": ("200 × g", "1000 g", "9000", "1500 × g"), "mass_difference": ("0 g", "3 g", "2 kg", "0.05 g"),
    }  # fmt: skip
    for liquid in panel.controls["liquid"].box.options:
        for centrifuge in (ORDINARY, ALLOWED):
            panel.controls["liquid"].box.value, panel.controls["centrifuge"].box.value = liquid, centrifuge
            for name, choices in texts.items():
                for text in choices:
                    box = panel.controls[name].box
                    box.value = text
                    assert panel.trouble is None, (name, text)
                    assert (
                        panel.sentence.endswith(".")
                        and "nan" not in panel.sentence
                        and "inf" not in panel.sentence.split()
                    )
                    seen.add(panel.sentence)
            for tube in panel.controls["tube"].box.options:
                panel.controls["tube"].box.value = tube
                assert panel.trouble is None
                seen.add(panel.sentence)
            panel.controls["tube"].box.value = "polypropylene"
    assert len(seen) > 70


def test_a_speed_is_typed_as_people_write_it():
    panel = spinning_panel()
    panel.controls["liquid"].box.value = "water"
    for text in ("3000 rpm", "3000", "50 Hz"):
        panel.controls["speed"].box.value = text
        assert "Spun at 3000 rpm" in panel.sentence, text
    panel.controls["speed"].box.value = "quick"
    assert "Spun at 3000 rpm" in panel.sentence and "3800 rpm" in html.unescape(
        panel.controls["speed"].message.value
    ).replace("\u00a0", " ")


def test_the_picture_describes_itself():
    found = answer(size=1.0)
    alt = re.search(r'aria-label="([^"]*)"', found.svg)[1]
    assert alt.startswith("Time until powder is down") and "in water" in alt
    assert isinstance(certain(Q(1, "µm")), Range)


@pytest.mark.parametrize("name", ["diameter", "height", "speed", "rated_force", "mass_difference"])
def test_hostile_text_raises_nothing_and_leaves_no_markup(name):
    panel = spinning_panel()
    panel.controls["liquid"].box.value = "water"
    assert_calm(panel, name, HOSTILE[::2])


def test_an_answer_comes_within_a_frame():
    panel, took = spinning_panel(), []
    panel.controls["liquid"].box.value = "water"
    for turns in range(2000, 2200, 10):
        start = time.perf_counter()
        panel.controls["speed"].box.value = f"{turns} rpm"
        took.append(time.perf_counter() - start)
    assert min(took) < 0.016  # the best: a busy machine only adds time


@pytest.mark.parametrize("text", ["-5", "0", "-5 × g", "two million", "2000000"])
def test_a_force_that_cannot_be_is_told_without_names_of_our_code(text):
    panel = spinning_panel()
    panel.controls["rated_force"].box.value = text
    said = panel.controls["rated_force"].message.value
    assert "1000" in said and "()" not in said and "_" not in said and panel.trouble is None


def test_what_plays_no_part_is_said():
    panel = spinning_panel()
    assert "not used" in panel.parts["rows"].value
    panel.controls["liquid"].box.value = "water"
    assert "not used" not in panel.parts["rows"].value
