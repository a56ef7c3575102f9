"""The panel of uptake by difference against sums on paper, without a browser."""

import re

import pytest
from hostile import assert_calm

from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.panels.taken_up import taken_up_answer, taken_up_panel
from labkit.units import Q, read


def answer(
    before="612 ± 6 mg/L", after="488 ± 5 mg/L", of="metal", salt="FeCl3", lost="0 g", correlation=0.0, volume="75 mL"
):
    return taken_up_answer(read(before), read(after), of, salt, read(volume), read("1.8 g"), "acetone", read(lost), Q(correlation))  # fmt: skip


def test_the_sentence_agrees_with_sums_on_paper():
    # 9.30 mg of iron to 1.8 g: 5.167 mg/g ± 0.638; of 45.9 mg.
    said = answer().sentence
    likely, low, high = map(float, re.search(r"took up ([\d.]+) mg/g of iron, ([\d.]+) to ([\d.]+) mg/g", said).groups())  # fmt: skip
    assert (likely, low, high) == pytest.approx((5.17, 4.53, 5.80), abs=0.05)
    assert "20 % of what was offered" in said and "weigh the closed jar" in said
    rows = {row[0]: row for row in answer().table}
    assert rows["iron offered"][1] == "45.9 mg" and rows["share taken up"][1].startswith("20.3 % (")
    assert rows["one metal for each heptazine"][1] == "21.7 %"


def test_the_smallest_uptake_is_the_half_width():
    # 1.96 × √(6² + 5²) mg/L × 75 mL / 1.8 g = 0.638 mg/g, upwards.
    rows = {row[0]: row for row in answer().table}
    assert rows["smallest uptake these readings show"][1] in ("640 µg/g", "0.64 mg/g")


def test_a_small_uptake_keeps_its_units_apart():
    # 1.24 mg/L × 75 mL / 1.8 g = 51.67 µg/g, ± 6.4.
    rows = {row[0]: row for row in answer("6.12 ± 0.06 mg/L", "4.88 ± 0.05 mg/L").table}
    likely, low, high = map(
        float, re.fullmatch(r"([\d.]+) mg/g \(([\d.]+) to ([\d.]+) mg/g\)", rows["uptake"][1]).groups()
    )
    assert (likely, low, high) == pytest.approx((0.05167, 0.0453, 0.0580), abs=0.0008)


def test_loss_of_solvent_and_salt_count():
    # 3.95 g of acetone are 5 mL: 45.9 - 488 × 70 = 11.74 mg, 6.52 mg/g.
    assert "took up 6.52 mg/g" in answer(lost="3.95 g").sentence and "weigh the closed jar" not in answer(lost="3.95 g").sentence  # fmt: skip
    # Of FeCl3 34.43 % is iron.
    assert f"took up {5.1667 * 0.3443:.2f} mg/g" in answer(of="salt").sentence
    assert "of zinc" in answer(salt="ZnCl2").sentence


def test_a_difference_lost_in_its_doubt():
    found = answer(after="606 ± 6 mg/L")
    assert found.sentence.startswith("Not seen") and "at most" in found.sentence
    assert "uptake at most" in {row[0] for row in found.table}
    assert answer(after="700 ± 6 mg/L").sentence.startswith("Impossible")


def test_picture_and_cautions():
    found = answer()
    assert found.svg.startswith("<svg ") and "in percent of what was offered" in found.svg
    assert cautions("chlorides", "solvent") in found.caution and "does not prove doping" in found.caution


def test_the_panel_starts_well_and_follows_every_control():
    panel, seen = taken_up_panel(), set()
    assert panel.trouble is None and "real loading" in panel.sentence
    texts = {
        "before": ("0.001 mg/L", "612 mg/L", "1000 g/L", "600 to 620 mg/L", "612 ± 700 mg/L", "612 ± 6 mg/L"),
        "after": ("0 mg/L", "0 ± 5 mg/L", "800 ± 5 mg/L", "1 kg/L", "20 mmol/L", "488 ± 5 mg/L"),
        "volume": ("0.1 mL", "100 L", "75 ± 70 mL", "75 mL"),
        "powder_mass": ("1 mg", "10 kg", "1.8 ± 0.1 g", "1.80 g"),
        "lost": ("0 g", "1 kg", "70 g", "0.6 ± 0.1 g", "0.6 g"),
        "correlation": ("0", "0.5", "0.95", "2", "0"),
    }
    for salt in panel.controls["salt"].box.options:
        panel.controls["salt"].box.value = salt
        for of in panel.controls["of"].box.options:
            panel.controls["of"].box.value = of
            for solvent in panel.controls["solvent"].box.options:
                panel.controls["solvent"].box.value = solvent
                for name, choices in texts.items():
                    for text in choices:
                        panel.controls[name].box.value = text
                        assert panel.trouble is None, (name, text)
                        assert panel.sentence.endswith(".") and panel.controls[name].box.value == text
                        seen.add(panel.sentence)
    assert len(seen) > 60


def test_readings_without_a_doubt_get_a_kind_sentence():
    panel = taken_up_panel()
    panel.controls["before"].box.value = "612 mg/L"
    panel.controls["after"].box.value = "488 mg/L"
    assert panel.trouble is None and "says nothing without it" in panel.sentence and "before=" not in panel.sentence
    with pytest.raises(LabError, match="says nothing"):
        answer("612 mg/L", "488 mg/L")


@pytest.mark.parametrize("name", ["before", "after", "volume", "powder_mass", "lost", "correlation"])
def test_hostile_text_raises_nothing_and_leaves_no_markup(name):
    assert_calm(taken_up_panel(), name)
