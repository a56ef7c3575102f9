"""The panel on the sun of a place against sums made elsewhere, without a browser."""

import re

import pytest
from hostile import assert_calm
from layout import collisions

from labkit.data.cautions import cautions
from labkit.panels.place import DAY, YEAR, place_answer, place_panel
from labkit.units import Q, as_range

NUMBER = r"([\d.]+)"


def answer(north=51.5, east=-0.12, day=172, tilt=0.0, way=None, measured=None, gap=2.7, view=DAY):
    way, east = (None if size is None else Q(size, "degree") for size in (way, east))
    return place_answer(Q(north, "degree"), east, day, Q(tilt, "degree"), way, measured, Q(gap, "eV"), view)


@pytest.mark.parametrize("day, clear, daylight", [(172, 7.45, 16.57), (355, 0.88, 7.77)])
def test_a_day_in_london_agrees_with_sums_made_elsewhere(day, clear, daylight):
    said = answer(day=day).sentence
    found = re.search(rf"A clear sky would bring {NUMBER} to {NUMBER} kWh/m², likely {NUMBER} kWh/m², in {NUMBER} h of daylight", said)  # fmt: skip
    assert float(found[3]) == pytest.approx(clear, rel=0.025) and float(found[4]) == pytest.approx(daylight, abs=0.1)
    assert float(found[1]) < clear < float(found[2])
    hours = float(re.search(rf"likely {NUMBER} h of full sun", said)[1])
    assert hours == pytest.approx(0.6 * clear, rel=0.035)  # 60 %, from memory, printed to two figures
    assert "from memory" in said


def test_photons_of_a_measured_day():
    from labkit.light import as_irradiation

    said = answer(measured=as_irradiation("3.6 kWh/m²")).sentence
    # 414.2 µmol/m²/s above 2.70 eV in 1000.37 W/m², summed elsewhere.
    expected = 414.2e-6 * 3600 * 3.6 / 1.00037
    assert float(re.search(rf"above a gap of 2\.70 eV: {NUMBER} mol/m²", said)[1]) == pytest.approx(expected, rel=0.005)
    assert "3.60 h of full sun (measured)" in said
    assert "check the unit" in answer(day=355, measured=as_irradiation("7 kWh/m²")).sentence


def test_no_sun_is_said_plainly():
    said = answer(north=80.0, east=None, day=1).sentence
    assert "0 h of full sun" in said and said.endswith("So there is no light to use.")
    assert "does not rise" in answer(north=80.0, east=None, day=1).svg


def test_the_table_has_the_year_beside_it():
    rows = {row[0]: row for row in answer().table}
    assert "best month, June" in rows and "least, December" in rows and "21 June" in rows
    low, high = (float(number) for number in re.match(rf"{NUMBER} to {NUMBER} kWh/m²", rows["in the year"][1]).groups())
    assert low < 1000 < high  # London has about 1000 kWh/m² a year on level ground (from memory)
    assert "spectrum of standard sunlight" in rows["photons above the gap"][2]
    south = {row[0] for row in answer(north=-33.9, east=18.4).table}
    assert {"best month, December", "least, June"} <= south


def test_the_picture_is_of_the_day_or_of_the_year():
    assert "hour by the sun" in answer(view=DAY).svg and "by month" in answer(view=YEAR).svg
    assert collisions(answer(view=DAY).svg) == collisions(answer(view=YEAR).svg) == []


def test_cautions_stand_beside_it():
    assert answer().caution == cautions("light")


def test_the_panel_starts_well_and_follows_every_control():
    panel, seen = place_panel(), set()
    assert panel.trouble is None and "h of full sun" in panel.sentence
    texts = {"latitude": ("90 S", "33.9°S", "0", "52°N", "80°N", "95°N", "north"), "longitude": ("not known", "", "13.4°E", "179 W", "52°N"),
             "day": ("1 January", "June", "21 June", "31 June", "tomorrow"), "facing": ("towards the equator", "SW", "200°", "", "up"),
             "measured": ("not measured", "4.2 kWh/m²", "3 to 5 h", "0 h", "42 kWh/m²", "lots")}  # fmt: skip
    assert set(texts) <= set(panel.controls)
    for view in panel.controls["view"].box.options:
        panel.controls["view"].box.value = view
        for tilt in (0, 35, 90):
            panel.controls["tilt"].slider.value = tilt
            for name, typed in texts.items():
                start = panel.controls[name].box.value
                for text in (*typed, start):
                    panel.controls[name].box.value = text
                    assert panel.trouble is None, (name, text)
                    assert panel.controls[name].box.value == text and panel.sentence.endswith(".")
                    seen.add(panel.sentence)
            for latitude in texts["latitude"]:
                for day in texts["day"]:
                    panel.controls["latitude"].box.value, panel.controls["day"].box.value = latitude, day
                    assert panel.trouble is None, (latitude, day)
                    seen.add(panel.sentence)
    assert len(seen) > 50


def test_what_is_refused_says_what_to_type():
    panel = place_panel()
    for name, text, told in (("latitude", "95°N", "52°N"), ("latitude", "paris", "52°N"), ("day", "31 June", "30 days"), ("facing", "up", "south"),
                             ("measured", "4 W/m²", "4.2 kWh/m²"), ("longitude", "52°N", "13.4°E")):  # fmt: skip
        panel.controls[name].box.value = text
        assert told in panel.controls[name].message.value.replace("\u00a0", " "), name
        assert "h of full sun" in panel.sentence
    assert as_range("4 h", "[time]").likely == Q(4, "h")


@pytest.mark.parametrize("name", ["latitude", "longitude", "day", "facing", "measured"])
def test_hostile_text_raises_nothing_and_leaves_no_markup(name):
    assert_calm(place_panel(), name)


def test_an_empty_box_is_met_kindly_and_what_is_used_has_a_name():
    panel = place_panel()
    for name in ("latitude", "day"):
        panel.controls[name].box.value = " "
        said = panel.controls[name].message.value
        assert f"Nothing is typed yet. Type for instance {panel.controls[name].start}." in said.replace("\u00a0", " ")
    for name in ("longitude", "facing", "measured"):  # here an empty box means what it started with
        panel.controls[name].box.value = ""
        assert not panel.controls[name].message.value
        panel.controls[name].box.value = "banana"
        assert f"Still using {panel.controls[name].start}." in panel.controls[name].message.value
    assert panel.trouble is None
