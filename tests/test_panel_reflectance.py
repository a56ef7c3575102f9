"""The panel that reads a spectrum: gaps of made spectra, what is left out is told, hostile text does no harm."""

import time
from pathlib import Path

import numpy as np
import pytest
from helpers import Tags
from hostile import HOSTILE
from layout import collisions

from labkit.data.cautions import cautions
from labkit.errors import LabError
from labkit.panels import reflectance as module
from labkit.panels.reflectance import given_spectra, reflectance_answer, reflectance_panel
from labkit.units import as_range

DATA = Path(__file__).resolve().parent.parent / "workbooks" / "data"
HC = 1239.841984332  # eV nm, CODATA
NM = np.arange(340.0, 701.0, 2.0)


def written(gap=2.7, power=0.5, flat=0.0, head="nm;%R", factor=100.0):
    absorbed = {0.5: 8, 2: 12}[power] * np.maximum(HC / NM - gap, 0) ** power * NM / HC + flat
    reflectance = (1 + absorbed - np.sqrt(absorbed**2 + 2 * absorbed)) * factor
    return f"{head}\n" + "\n".join(f"{a:.0f};{b:.5f}" for a, b in zip(NM, reflectance))


def answer(text, transition=None, straight=False, region="2.8 to 3.0 eV", baseline="auto", below="1.9 to 2.3 eV", scale=None, kind=None, unit=None):  # fmt: skip
    ranges = (as_range(text_, "[energy]") for text_ in (region, below))
    region, below = ranges
    return reflectance_answer(("a spectrum (invented)", text), transition, straight, region, baseline, below, scale, kind, unit)  # fmt: skip


def table(found):
    return {row[0].strip().lower(): row[1] for row in found.table}


@pytest.mark.parametrize("transition, power", [("direct", 0.5), ("indirect", 2)])
@pytest.mark.parametrize("gap", [2.4, 2.7, 2.9])
def test_the_gap_of_a_made_spectrum_is_in_the_sentence(transition, power, gap):
    found = answer(written(gap, power), transition)
    assert f"likely {gap:.2f} eV" in found.sentence and "usable" in found.sentence
    assert f"likely {HC / gap:.0f} nm" in found.sentence  # the edge
    assert "rows" in table(found) and "181 read, 181 kept, 0 left out" in table(found)["rows"]


def test_both_are_side_by_side():
    found = answer(written(power=2))
    assert "likely 2.70 eV if indirect (usable)" in found.sentence and "direct" in found.sentence
    assert found.table[0] == ("What", "indirect", "direct") and "cannot tell which" in found.sentence
    assert found.caution == cautions("powder")


def test_what_absorbs_below_can_be_taken_off_left_in_or_crossed():
    text = written(flat=0.3)  # read off elsewhere: 2.665 eV with the axis, 2.672 eV at the crossing
    for baseline, expected in (("auto", 2.70), ("subtract", 2.70), ("below", 2.70), ("none", 2.67), ("crossing", 2.67)):
        found = answer(text, "direct", True, "2.72 to 3.05 eV", baseline)
        likely = float(found.sentence.split("likely ")[1].split(" eV")[0])
        assert likely == pytest.approx(expected, abs=0.011), baseline


def test_a_region_by_hand_counts_only_when_it_is_chosen():
    text = written()
    assert answer(text, "direct").sentence == answer(text, "direct", region="2.2 to 2.4 eV").sentence
    assert "cannot be told" in answer(text, "direct", True, "2.2 to 2.4 eV").sentence


def test_readings_are_as_chosen():
    text = written(head="nm;reading", factor=1.0)
    assert answer(text, "direct").sentence == answer(text, "direct", scale="fraction").sentence
    with pytest.raises(LabError, match="What was measured"):
        answer(written(head="nm;absorbance"))
    with pytest.raises(LabError, match="Readings are"):
        answer(written(head="nm;x", factor=1.6))
    for wrong in ({"kind": "absorbance"}, {"scale": "fraction"}):  # of percent: nothing is left
        with pytest.raises(LabError, match="no row can be one .* “What was measured”"):
            answer(written(), **wrong)
    with pytest.raises(LabError, match="First column is in"):
        answer("\n".join(f"{n};{n}" for n in range(1, 20)))


def test_nothing_is_left_out_in_silence():
    found = answer(written() + "\n710;n/a\n720;<b>oh</b>\n")
    rows = table(found)
    assert "183 read, 181 kept, 2 left out" in rows["rows"] and rows["left out: no reading"] == "1"
    assert "oh" in rows["line 184"]


def test_the_bundled_spectra_are_in_the_list_and_work():
    spectra = given_spectra(DATA)
    assert len(spectra) == 3 and all("invented" in name for name in spectra)
    sentences = [reflectance_answer((name, raw), None, False, None, "auto", None, None, None, None).sentence for name, raw in spectra.items()]  # fmt: skip
    assert sentences[0].startswith("The gap is") and sentences[1].startswith("The gap is")
    assert sentences[2].startswith("No gap can be told")


def test_without_the_data_an_outline_stands_in(tmp_path):
    panel = reflectance_panel(tmp_path)
    assert panel.trouble is None and panel.sentence.startswith("The gap is")
    assert "in outline" in panel.controls["spectrum"].value[0]


def test_no_setting_makes_trouble():
    panel = reflectance_panel(DATA)
    tried = 0
    for spectrum in panel.controls["spectrum"].box.options[:3]:
        panel.controls["spectrum"].box.value = spectrum
        for name in ("transition", "straight", "baseline", "scale", "kind", "unit"):
            box = panel.controls[name].box
            first = box.value
            for option in box.options:
                box.value = option
                assert panel.trouble is None and panel.sentence, (spectrum, name, option)
                tried += 1
            box.value = first
    assert tried > 50
    for region in ("2.7 to 2.8 eV", "0.5 to 7 eV", "430 to 450 nm", "3.0 to 2.9 eV", "2.8 eV", "", "2.80 to 2.801 eV"):
        panel.controls["region"].box.value = region
        panel.controls["below"].box.value = region
        assert panel.trouble is None, region


def test_the_parts_of_the_uncertainty_add_up_and_the_small_ones_share_a_row():
    spectra = given_spectra(DATA)
    checked = 0
    for name, raw in spectra.items():
        for transition in (None, "direct", "indirect"):
            shown = reflectance_answer((name, raw), transition, False, None, "auto", None, None, None, None).table
            rows = {row[0]: row[1:] for row in shown}
            if "Standard uncertainty" not in rows:
                continue
            parts = [cells for head, cells in rows.items() if head.startswith(" from")]
            assert 2 <= len(parts) <= 5 and " from all else" in rows
            for place, total in enumerate(rows["Standard uncertainty"]):
                sizes = [float(cells[place].split()[0]) for cells in parts if cells[place]]
                # Squares add up (GUM 5.1.2); each is printed to 0.001 eV.
                assert np.hypot.reduce(sizes) == pytest.approx(float(total.split()[0]), abs=0.0015), (name, transition)
                checked += 1
    assert checked >= 6


def test_typing_a_region_chooses_it():
    panel = reflectance_panel(DATA)
    panel.controls["region"].box.value = "2.95 to 3.10 eV"
    assert panel.controls["straight"].value is True


def test_hostile_text_raises_nothing_and_leaves_no_markup(tmp_path):
    panel = reflectance_panel(DATA)
    allowed = {"div", "br", "b", "table", "tr", "th", "td", "small", "span", "p", "strong"}
    assert len(HOSTILE) > 100
    for text in HOSTILE[::3]:
        panel.controls["spectrum"].area.value = f"{written()}\n{text};{text}\n{text}"
        panel.controls["region"].box.value = text.replace("\n", " ")
        assert panel.trouble is None, text
        markup = [part.value for name, part in panel.parts.items() if name != "picture"]
        assert Tags(*markup).tags <= allowed, text


@pytest.mark.parametrize("transition", [None, "direct", "indirect"])
def test_words_of_the_picture_stand_free(transition):
    for text in (
        written(),
        written(flat=0.2),
        written(2.4, 2),
        "nm;%R\n" + "\n".join(f"{n};80" for n in range(350, 700, 5)),
    ):
        assert collisions(answer(text, transition).svg) == []


def test_an_answer_is_quick_enough_to_follow_the_hand():
    text, times = written(), []
    for place in range(40):
        start = time.perf_counter()
        answer(text, None, True, f"{2.75 + place / 1000:.3f} to 3.0 eV")
        times.append(time.perf_counter() - start)
    assert np.median(times) < 0.05  # s; a few ms on a quiet machine


def test_messages_speak_of_the_panel_and_not_of_a_cell():
    for text in (
        written(head="nm;absorbance"),
        written(head="nm;x", factor=1.6),
        written(head="nm;F(R)"),
        "1;2\n" * 20,
    ):
        with pytest.raises(LabError) as problem:
            answer(text)
        assert not any(word in str(problem.value) for word in ("kind=", "scale=", "unit=", "column="))
    assert all("=" not in shown for _, shown in module._WORDS)
