"""The panel of workbook 04 against sunlight integrated without labkit, and without a browser."""

import math
import re

import pytest
from helpers import Tags, published
from hostile import HOSTILE

from labkit.panels.band_gap import band_gap_answer, band_gap_panel
from labkit.units import Q

# Trapezoid over the printed points of ASTM G173-03 (see the head of the table).
SUN = {(row["gap_eV"], row["want"]): float(row["expected"]) for row in published("sun_above_gap") if row["gap_eV"]}
EDGES = {row["given"]: float(row["expected"]) for row in published("photon_energies") if row["want"] == "wavelength"}
WHOLE_POWER = 1000.37  # W/m², printed in the pvlib documentation
WHOLE_PHOTONS = 4.3056e21 / 6.02214076e23 * 1e6  # µmol/m²/s, the same trapezoid
GAPS = [gap for gap in ("1.8", "2.0", "2.2", "2.4", "2.6", "2.7", "2.8", "3.0", "3.2") if (gap, "photon flux") in SUN]


def three(number):
    """Return a number to three figures, as Python writes it and not as labkit does."""
    places = 2 - math.floor(math.log10(number))
    return f"{round(number, places):.{max(places, 0)}f}"


def assert_printed(text, expected):
    """The number in ``text`` is the expected one, to half a unit in its last place and 3e-4 (four figures outside)."""
    half = 0.5 * 10.0 ** -len(text.partition(".")[2])
    assert float(text) == pytest.approx(expected, abs=half + 3e-4 * expected)


def test_there_are_gaps_to_test():
    assert len(GAPS) >= 7


@pytest.mark.parametrize("gap", GAPS)
def test_the_sentence_has_the_numbers_of_the_table(gap):
    said = band_gap_answer(Q(float(gap), "eV"), Q(0, "eV")).sentence
    photons = SUN[gap, "photon flux"]
    assert f"edge at {three(EDGES[gap])} nm" in said
    assert_printed(re.search(r"([0-9.]+) % of the photons", said)[1], 100 * photons / WHOLE_PHOTONS)
    assert len(said.split()) <= 48


def test_the_table_has_the_photons_and_the_power():
    answer = band_gap_answer(Q(2.7, "eV"), Q(0.1, "eV"))
    rows = {row[0]: row[1:] for row in answer.table}
    assert rows["Gap"] == ("2.60 eV", "2.70 eV", "2.80 eV")
    assert rows["Edge"] == ("477 nm", "459 nm", "443 nm")
    for text, gap in zip(rows["Photons above"], ("2.6", "2.7", "2.8")):
        assert text.startswith(f"{three(SUN[gap, 'photon flux'])} µmol/m²/s (")
    for text, gap in zip(rows["Power above"], ("2.6", "2.7", "2.8")):
        assert text.startswith(f"{three(SUN[gap, 'irradiance'])} W/m² (")
        assert_printed(re.search(r"\(([0-9.]+) %\)", text)[1], 100 * SUN[gap, "irradiance"] / WHOLE_POWER)


def test_a_gap_in_doubt_has_its_ends_in_the_table():
    answer = band_gap_answer(Q(2.7, "eV"), Q(0.1, "eV"))
    rows = {row[0]: row[1:] for row in answer.table}
    for text, gap in zip(rows["Photons above"], ("2.6", "2.7", "2.8")):
        assert_printed(re.search(r"\(([0-9.]+) %\)", text)[1], 100 * SUN[gap, "photon flux"] / WHOLE_PHOTONS)
    assert rows["Colour"] == ("yellow", "pale yellow", "pale yellow")  # computed colours, tests/test_light.py
    assert answer.sentence == band_gap_answer(Q(2.7, "eV"), Q(0, "eV")).sentence


def test_it_says_that_light_is_not_hydrogen_and_how_to_spare_the_eyes():
    answer = band_gap_answer(Q(2.75, "eV"), Q(0.1, "eV"))
    assert "far more than becomes hydrogen" in answer.sentence
    assert "sun" in answer.caution and "eyes" in answer.caution


def test_no_place_of_the_sliders_is_in_trouble():
    panel = band_gap_panel()
    gap, unsure = panel.controls["gap"], panel.controls["unsure"]
    seen = set()
    for half in (0, 0.01, 0.1, 0.2):
        unsure.box.value = str(half)
        for hundredths in range(180, 321, 1 if half == 0.2 else 20):
            gap.slider.value = hundredths / 100
            assert panel.trouble is None and gap.note == "", panel.sentence
            assert panel.sentence.startswith(f"A gap of {hundredths / 100:.2f} eV ")
            assert "labkit-good" in panel.parts["said"].value
            seen.add(panel.sentence)
    assert len(seen) == 141  # one for each hundredth from 1.80 to 3.20 eV; the ± stands in the table


def test_a_narrower_gap_never_has_less_light():
    shares = [
        float(band_gap_answer(Q(size / 100, "eV"), Q(0, "eV")).table[4][1].partition(" ")[0])
        for size in range(180, 321)
    ]
    assert shares == sorted(shares, reverse=True) and len(set(shares)) > 100


def test_words_never_get_past_the_number_boxes():
    panel = band_gap_panel()
    assert len(HOSTILE) >= 300
    for control, texts in ((panel.controls["gap"], HOSTILE), (panel.controls["unsure"], HOSTILE[::10])):
        refused = 0
        for text in texts:
            control.box.value = text
            refused += "Still using" in control.message.value
            assert panel.trouble is None and panel.sentence.startswith("A gap of ")
            assert Tags(control.message.value).tags <= {"div"}, text
            assert 1.8 <= panel.controls["gap"].value.magnitude <= 3.2
        assert refused > 0.9 * len(texts)
    assert not any("<script" in part.value or "onerror" in part.value for part in panel.parts.values())


@pytest.mark.parametrize("number", ["-5", "0", "1e300", "inf", "-inf", "nan"])
def test_numbers_out_of_reach_are_refused(number):
    panel = band_gap_panel()
    panel.controls["gap"].box.value = number
    assert panel.controls["gap"].value == Q(2.75, "eV")
    assert panel.trouble is None and panel.sentence.startswith("A gap of 2.75 eV")


def test_the_page_holds_our_markup_only():
    panel = band_gap_panel()
    for name, part in panel.parts.items():
        if name != "picture":
            assert Tags(part.value).tags <= {"div", "small", "table", "tr", "th", "td", "br", "b"}
    assert panel.parts["picture"].value.startswith('<svg role="img" aria-label="Standard sunlight')
    assert "script" not in Tags(panel.parts["picture"].value).tags
