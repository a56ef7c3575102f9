"""The panel of workbook 00: what is typed is read right, and nothing typed can break it."""

import pytest
from helpers import Tags
from hostile import HOSTILE

from labkit.errors import LabError
from labkit.panels.start import SAME_IN, reading_answer, start_panel
from labkit.units import EXAMPLES


def cells(text, need):
    return {row[0]: row[1] for row in reading_answer(text, need).table}


# Expected by the definitions of the units: 0 °C is 273.15 K and 32 °F, 1 h is 3600 s, 1 atm is 101.325 kPa,
# 1 eV is 1.602176634e-19 J (exact since 2019).
@pytest.mark.parametrize(
    "text, need, words",
    [
        ("2,5 g", "[mass]", ("0.00250 kg", "2500 mg")),
        ("250 µL", "[volume]", ("0.250 mL",)),
        ("1.50 h", "[time]", ("90.0 min", "5400 s")),
        ("20 °C", "[temperature]", ("293 K", "68 °F")),
        ("20.0 °C", "[temperature]", ("293.2 K", "68.0 °F")),
        ("212 °F", "[temperature]", ("100 °C", "373 K")),
        ("9 K", "[temperature change]", ("16.2 Δ°F",)),
        ("1.5×10⁻³ mol/L", "[concentration]", ("1.50 mmol/L",)),
        ("1 atm", "[pressure]", ("101 kPa", "1010 hPa")),
        ("2.70 eV", "[energy]", ("4.33×10⁻¹⁹ J",)),
        ("5 %", "[]", ("0.0500",)),
    ],
)
def test_the_same_in_other_units(text, need, words):
    shown = cells(text, need)["in other units"]
    assert all(word in shown for word in words), shown
    typed_unit = text.split(" ", 1)[1]
    assert typed_unit not in [same.split(" ", 1)[-1] for same in shown.split(", ")], shown


def test_a_value_a_measurement_and_a_guess_are_told_apart():
    plain, measured, guessed = (reading_answer(text, "[mass]") for text in ("2.0 g", "2.0 ± 0.1 g", "1.5 to 3 g"))
    assert "does not say" in plain.sentence and "measured" in measured.sentence and "guessed" in guessed.sentence
    assert dict(row[:2] for row in measured.table)["uncertainty"] == "5.0 % of the value"  # 0.1 / 2.0
    rows = dict(row[:2] for row in guessed.table)
    assert rows["highest over lowest"] == "2.00" and "middle is taken" in rows["likely value"]
    assert "2.2 g" in guessed.sentence or "2.3 g" in guessed.sentence  # the middle, 2.25 g


@pytest.mark.parametrize("text, figures", [("0.0510 g", "3"), ("2.5 g", "2"), ("1200 g", "2 to 4")])
def test_significant_figures_are_counted(text, figures):
    assert cells(text, "[mass]")["significant figures"].startswith(figures)


@pytest.mark.parametrize(
    "text, need, words",
    [
        ("50 mL", "[mass]", "is a volume"),
        ("2.5 g", "[volume]", "is a mass"),
        ("1,250 g", "[mass]", "two ways"),
        ("20 °C", "[temperature change]", "thermometer reading"),
        ("20 C", "[temperature]", "coulomb"),
        ("-300 °C", "[temperature]", "absolute zero"),
        ("6 to 4 g", "[mass]", "lower end first"),
        ("", "[mass]", "Nothing is typed"),
    ],
)
def test_slips_get_a_kind_word(text, need, words):
    with pytest.raises(LabError, match=words):
        reading_answer(text, need)


def test_every_example_can_be_read_as_what_it_is_an_example_of():
    assert len(SAME_IN) >= 8
    panel = start_panel()
    assert len(panel.controls["need"].box.options) == len(SAME_IN)
    for need in SAME_IN:
        words, example = EXAMPLES[need]
        panel.controls["need"].box.value = words
        panel.controls["text"].box.value = example
        assert panel.sentence.startswith("labkit reads") and words in panel.sentence, panel.sentence
        assert 'aria-label="A single point' in panel.parts["picture"].value


def test_no_text_breaks_the_panel_or_leaves_markup():
    panel = start_panel()
    kinds = panel.controls["need"].box.options
    assert len(HOSTILE) >= 300
    for number, text in enumerate(HOSTILE):
        panel.controls["need"].box.value = kinds[number % len(kinds)]
        for shape in (text, (f"{text} to 5 g", f"1 to {text}")[number % 2]):
            panel.controls["text"].box.value = shape
            assert panel.trouble is None, shape
            shown = "".join(panel.parts[part].value for part in ("said", "rows", "caution"))
            assert Tags(shown).tags <= {"div", "small", "table", "tr", "th", "td", "b", "br"}, shape
