"""The panel of washing against sums on paper, without a browser."""

import pytest
from hostile import assert_calm

from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.panels.washing import TOTAL, washing_answer, washing_panel
from labkit.units import Q, as_range, read

IRON, ZINC = "iron in acetone", "zinc in ethanol"


def answer(dopant=ZINC, concentration="21 mmol/L", loading="0.3 %", held="6 mL", whole=False, volume="30 mL", washes=2, share="5 %",
           mixing="100 %", wash_solvent=None):  # fmt: skip
    return washing_answer(dopant, read(concentration), read("1.8 g"), as_range(loading, "[]"), as_range(held, "[volume]"), whole, read(volume),
                          Q(float(washes)), read(share), as_range(mixing, "[]"), wash_solvent)  # fmt: skip


def test_the_sentence_agrees_with_sums_on_paper():
    # 8.238 mg of zinc dissolved beside 5.416 mg taken up; a wash leaves 6/36: 152, 25.4, 4.22 %; 17.17 mg of ZnCl2 / 36 = 0.477 mg.
    said = answer().sentence
    assert "2 washes bring the dissolved zinc below 5.0 %" in said and "2 are enough and leave 4.22 %, that is 477 µg of ZnCl₂" in said  # fmt: skip
    rows = {row[0]: row for row in answer().table}
    assert rows["zinc dissolved before washing"][1] == "152 %" and rows["one wash leaves"][1] == "16.7 %"
    assert rows["of it chloride"][1] == "248 µg"  # 52.03 %
    assert rows["rinse to collect"][1] == "60 mL" and "up to 18 mg of ZnCl₂" in rows["rinse to collect"][2]
    assert rows["2 × 30.0 mL"][1] == "leaves 2.8 %" and rows["1 × 60.0 mL"][1] == "leaves 9.1 %"  # (6/36)², 6/66


def test_a_total_is_shared_out():
    each, whole = answer(volume="30 mL", washes=3), answer(volume="90 mL", washes=3, whole=True)
    assert "30.0 mL each, 90.0 mL in all" in whole.sentence
    assert each.table == whole.table and each.svg == whole.svg


def test_too_few_and_perhaps():
    assert "1 is not enough" in answer(washes=1).sentence
    many = {"held": "6 to 9 mL", "loading": "0.3 to 0.8 %", "mixing": "50 to 100 %, likely 80 %"}
    assert (
        "2 may be enough" in answer(**many, washes=2).sentence
        and "3 are likely enough" in answer(**many, washes=3).sentence
    )
    assert "is the mixing" in answer(**many).sentence


def test_what_water_does_is_said():
    assert "hydrolyse" in answer(IRON, wash_solvent="water").sentence
    assert "oxychloride" in answer(wash_solvent="water").sentence
    assert "same solvent" in answer().sentence


def test_picture_and_cautions():
    found = answer()
    assert found.svg.startswith("<svg ") and "falling with each wash" in found.svg
    assert cautions("chlorides", "solvent") in found.caution and "last rinse" in found.caution


def test_the_panel_starts_well_and_follows_every_control():
    panel, seen = washing_panel(), set()
    assert panel.trouble is None and "wash" in panel.sentence
    texts = {
        "concentration": ("1 nmol/L", "20 mol/L", "21 ± 2 mmol/L", "3 g/L", "21 mmol/L"),
        "powder_mass": ("1 mg", "10 kg", "1.8 ± 0.1 g", "1.8 g"),
        "loading": ("0.0001 %", "60 %", "0.5", "0.1 to 5 %", "0.3 to 0.8 %"),
        "held": ("0.001 mL", "50 L", "6 to 90 mL", "6 to 9 mL"),
        "solvent_volume": ("0.01 mL", "500 L", "30 ± 2 mL", "30 mL"),
        "washes": ("1", "12", "13", "3"),
        "share": ("0.0001 %", "100 %", "5", "5 %"),
        "mixing": ("5 %", "100 %", "5 to 100 %", "110 %", "50 to 100 %, likely 80 %"),
    }
    for dopant in panel.controls["dopant"].box.options:
        panel.controls["dopant"].box.value = dopant
        for whole in panel.controls["whole"].box.options:
            panel.controls["whole"].box.value = whole
            for wash_solvent in panel.controls["wash_solvent"].box.options:
                panel.controls["wash_solvent"].box.value = wash_solvent
                assert panel.trouble is None, wash_solvent
            for name, choices in texts.items():
                for text in choices:
                    panel.controls[name].box.value = text
                    assert panel.trouble is None, (name, text)
                    assert panel.sentence.endswith(".") and panel.controls[name].box.value == text
                    seen.add(panel.sentence)
    assert len(seen) > 60 and TOTAL in panel.controls["whole"].box.options


@pytest.mark.parametrize("changes, words", [
    ({"volume": "0.05 mL"}, "200 washes"),
    ({"dopant": "gold in beer"}, "gold"),
    ({"loading": "0 %"}, "more than zero"),
    ({"mixing": "120 %"}, "up to 100 %"),
])  # fmt: skip
def test_what_cannot_be_worked_out_ends_in_a_kind_sentence(changes, words):
    with pytest.raises(LabError, match=words):
        answer(**changes)


@pytest.mark.parametrize("name", ["concentration", "powder_mass", "loading", "held", "solvent_volume", "washes", "share", "mixing"])  # fmt: skip
def test_hostile_text_raises_nothing_and_leaves_no_markup(name):
    assert_calm(washing_panel(), name)
