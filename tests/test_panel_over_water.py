"""The panel of dry gas over water against sums on paper, without a browser."""

import re

import pytest
from CoolProp.CoolProp import PropsSI
from hostile import assert_calm

from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.panels.over_water import REPORT, over_water_answer, over_water_panel
from labkit.units import Q

R = 8.314462618  # J/mol/K, CODATA
UNIT = {"nmol": 1e-3, "µmol": 1, "mmol": 1e3, "mol": 1e6}


def answer(
    volume=18.6, celsius=21.0, outside=1009.0, column=4.0, place=False, altitude=240.0, gas="not known", water=250.0
):
    return over_water_answer(Q(volume, "mL"), Q(celsius, "degC"), Q(outside, "hPa"), Q(column, "cm"), place, Q(altitude, "m"),
                             Q(0.1, "mL"), gas, Q(water, "mL"))  # fmt: skip


def on_paper(volume, celsius, outside, column):
    """Return µmol of dry gas, and the percent of vapour."""
    inside = outside * 100 - 998.2 * 9.80665 * column / 100
    vapour = PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water")
    return (inside - vapour) * volume / R / (celsius + 273.15), 100 * vapour / inside


@pytest.mark.parametrize("given", [(18.6, 21.0, 1009.0, 4.0), (2.4, 9.0, 870.0, -12.0), (640.0, 33.0, 1021.0, 0.0)])
def test_the_sentence_agrees_with_sums_on_paper(given):
    said = answer(*given).sentence
    value, spread, unit, low, high, last = re.search(
        r"are \(([\d.]+) ± ([\d.]+)\) (\S+) of dry gas \(standard uncertainty\), ([\d.]+) to ([\d.]+) (\S+) for", said
    ).groups()
    amount, vapour = on_paper(*given)
    assert float(value) * UNIT[unit] == pytest.approx(amount, abs=0.05 * float(spread) * UNIT[unit] + 2e-4 * amount)
    assert float(low) * UNIT[last] < amount < float(high) * UNIT[last]
    assert float(high) - float(low) == pytest.approx(3.9 * float(spread) * UNIT[unit] / UNIT[last], rel=0.25)
    assert float(re.search(r"Of the wet gas ([\d.]+) %", said)[1]) == pytest.approx(vapour, rel=0.03)
    assert "A volume does not tell whether it is hydrogen." in said


def test_what_is_forgotten_and_what_water_does():
    rows = {row[0]: row for row in answer().table}
    # 24.9 hPa of vapour and 3.9 hPa of column beside 980 hPa dry.
    assert rows["with the vapour forgotten"][1] == "2.5 % too much"
    assert rows["with the column forgotten"][1] == "0.4 % too much"
    assert {row[0]: row for row in answer(column=-4.0).table}["with the column forgotten"][1] == "0.4 % too little"
    assert "with the column forgotten" not in {row[0] for row in answer(column=0.0).table}
    assert rows["pressure in the tube"][1] == "1005 hPa" and rows["dry gas"][1] == "980.2 hPa"
    # 8.0e-6 mol/m³/Pa × 250 mL × 98 kPa = 196 µmol, upwards.
    assert rows["can be dissolved in the water"][1] == "200 µmol"
    assert "air from the water, per kelvin warmer" in rows
    # 1 K, 2 hPa and 0.1 mL either way, all alike: over the root of three.
    # No line ends after a ±.
    assert rows["temperature"][2].endswith("known to ±\u00a00.58 K") and rows["barometer"][2].endswith("±\u00a01.2 hPa")
    assert rows["marks of the tube"][2].endswith("±\u00a00.058 mL") and rows["ideal gas law"][2].endswith(
        "±\u00a00.058 %"
    )
    assert "can be dissolved in the water" not in {row[0] for row in answer(water=0.0).table}


def test_what_the_gas_is_taken_for():
    amount, _ = on_paper(18.6, 21.0, 1009.0, 4.0)
    split = answer(gas="hydrogen and oxygen, 2 to 1").sentence
    assert "explosive" in split and float(re.search(r"([\d.]+) µmol of it are", split)[1]) == pytest.approx(
        amount * 2 / 3, rel=2e-3
    )
    alone = answer(gas="hydrogen alone").sentence
    assert float(re.search(r"([\d.]+) µmol of it are", alone)[1]) == pytest.approx(amount, rel=2e-3)


def test_a_weather_report_is_brought_to_the_place():
    amount, _ = on_paper(18.6, 21.0, 1009.0 * (1 - 0.0065 * 800 / 288.15) ** 5.25588, 4.0)
    found = float(re.search(r"are \(([\d.]+) ±", answer(place=True, altitude=800.0).sentence)[1])
    assert found == pytest.approx(amount, rel=5e-4)
    panel = over_water_panel()
    before = panel.sentence
    panel.controls["altitude"].box.value = "800 m"  # typing a height chooses the report
    assert panel.controls["place"].box.value == REPORT and panel.sentence != before


def test_picture_and_cautions():
    found = answer()
    assert found.svg.startswith("<svg ") and "Bars of what each input brings" in found.svg
    assert found.caution == cautions("hydrogen") and "explosive" in found.caution


def test_typed_uncertainties_rule():
    panel = over_water_panel()
    panel.controls["volume"].box.value = "18.6 ± 2 mL"
    assert "comes from the volume, 100 %" in panel.sentence and panel.trouble is None


def test_the_panel_starts_well_and_follows_every_control():
    panel, seen = over_water_panel(), set()
    assert panel.trouble is None and "dry gas" in panel.sentence
    texts = {
        "volume": ("0.01 mL", "1 µL", "5 mL", "5 ± 3 mL", "10 L", "11 L", "18.6 mL"),
        "temperature": ("-5 °C", "1 °C", "59 °C", "59.9 °C", "290 K", "20 ± 8 °C", "21 °C"),
        "barometer": ("500 hPa", "760 mmHg", "1 atm", "1100 hPa", "2 bar", "1009 hPa"),
        "column": ("-200 cm", "0 mm", "−4 cm", "200 cm", "3 m", "4 cm"),
        "altitude": ("0 m", "5 km", "9 km", "240 m"),
        "graduation": ("0 mL", "1 µL", "10 mL", "0.1 mL"),
        "water": ("0 mL", "1 mL", "100 L", "250 mL"),
    }
    for name, choices in texts.items():
        for gas in panel.controls["gas"].box.options:
            panel.controls["gas"].box.value = gas
            for place in panel.controls["place"].box.options:
                panel.controls["place"].box.value = place
                for text in choices:
                    panel.controls[name].box.value = text
                    assert panel.trouble is None, (name, text)
                    assert panel.sentence.endswith(".") and panel.controls[name].box.value == text
                    seen.add(panel.sentence)
    assert len(seen) > 60


@pytest.mark.parametrize("changes, words", [
    ({"celsius": 75.0}, "from 1 to 60 °C"),
    ({"outside": 400.0}, "500 to 1100 hPa"),
    ({"column": 300.0}, "200 cm"),
    ({"gas": "neon"}, "neon"),
    ({"place": True, "altitude": 7000.0}, "up to 5 km"),
])  # fmt: skip
def test_what_cannot_be_worked_out_ends_in_a_kind_sentence(changes, words):
    with pytest.raises(LabError, match=words):
        answer(**changes)


@pytest.mark.parametrize("name", ["volume", "temperature", "barometer", "column", "altitude", "graduation", "water"])
def test_hostile_text_raises_nothing_and_leaves_no_markup(name):
    assert_calm(over_water_panel(), name)
