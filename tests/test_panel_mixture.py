"""The panel of mixtures against sums on paper, without a browser."""

import html
import re
import time

import pytest
from hostile import assert_calm

from labkit.chemistry.thermolysis import precursors
from labkit.errors import LabError
from labkit.panels.mixture import OWN, mixture_answer, mixture_panel
from labkit.units import Q, Range

# g/mol and moles of melon (201.153 g/mol) per mole by the usual routes.
PAPER = {
    "urea": (60.056, 1 / 12),
    "thiourea": (76.117, 1 / 12),
    "melamine": (126.123, 1 / 2),
    "dicyandiamide": (84.082, 1 / 3),
}
SPAN = Range(Q(10, "percent"), Q(20, "percent"), Q(30, "percent"))


def answer(urea=64.0, thiourea=3.0, melamine=0.0, dicyandiamide=0.0, own=True, fraction=SPAN, powder=4.0):
    masses = (Q(mass, "g") for mass in (urea, thiourea, melamine, dicyandiamide))
    return mixture_answer(*masses, own, fraction, Q(powder, "g"))


def theory(**masses):
    return sum(mass / PAPER[name][0] * PAPER[name][1] * 201.153 for name, mass in masses.items())


@pytest.mark.parametrize(
    "masses", [{"urea": 64.0, "thiourea": 3.0}, {"urea": 20.0, "melamine": 9.0}, {"dicyandiamide": 12.0, "urea": 0.0}]
)
def test_the_sentence_agrees_with_sums_on_paper(masses):
    said = answer(**{"urea": 0.0, "thiourea": 0.0, **masses}).sentence
    best = float(re.search(r"could give ([\d.]+) g of powder at best", said)[1])
    assert best == pytest.approx(theory(**masses), rel=5e-3)
    low, high, likely = map(float, re.search(r"expect ([\d.]+) to ([\d.]+) g, likely ([\d.]+) g", said).groups())
    for got, part in ((low, 0.1), (likely, 0.2), (high, 0.3)):
        assert got == pytest.approx(part * theory(**masses), rel=0.05)  # two figures


def test_without_a_fraction_of_ones_own_the_usual_yields_count():
    # yields.csv: urea 1, 5 and 12 % of its mass, thiourea 5, 11 and 15 %.
    low, high, likely = map(
        float, re.search(r"expect ([\d.]+) to ([\d.]+) g, likely ([\d.]+) g", answer(own=False).sentence).groups()
    )
    for got, urea, thiourea in ((low, 0.01, 0.05), (likely, 0.05, 0.11), (high, 0.12, 0.15)):
        assert got == pytest.approx(64 * urea + 3 * thiourea, rel=0.03)


def test_the_gas_to_plan_for_takes_all_nitrogen():
    # 64/60.056 + 3/76.117 = 1.1051 mol, with two nitrogens each: 54.07 L at 25 °C, upwards.
    said = answer().sentence
    assert "55 L of ammonia" in said and "1.6 g of carbon disulfide" in said
    assert "carbon disulfide" not in answer(thiourea=0.0).sentence


def test_what_to_weigh_for_a_wanted_powder():
    rows = {row[0]: row for row in answer().table}
    per_gram = theory(urea=64.0, thiourea=3.0) / 67
    low, high, likely = map(float, re.search(r"([\d.]+) to ([\d.]+) g, likely ([\d.]+) g", rows["urea"][1]).groups())
    for got, part in ((low, 0.3), (likely, 0.2), (high, 0.1)):
        assert got == pytest.approx(4 / per_gram / part * 64 / 67, rel=0.05)
    assert "high end" in rows["thiourea"][2]


def test_cautions_follow_what_is_in_it():
    assert (
        "no precursor for a first batch" in answer().caution
        and "no precursor for a first batch" not in answer(thiourea=0.0).caution
    )
    assert "2B" in answer(melamine=1.0).caution


def test_the_panel_starts_well_and_follows_every_control():
    panel, seen = mixture_panel(), set()
    assert panel.trouble is None and "64.0 g of urea and 3.00 g of thiourea" in panel.sentence
    assert set(precursors()) <= set(panel.controls)
    texts = {name: ("0 g", "1 mg", "12 g", "9 kg", "12 kg", "5 mL", "64 g") for name in precursors()}
    texts |= {
        "powder": ("0 g", "1 mg", "4 ± 1 g", "1 kg", "4 g"),
        "fraction": ("5 %", "10 % to 35 %", "0.2 to 0.3", "0 %", "200 %", "20 %"),
    }
    for name, choices in texts.items():
        for text in choices:
            panel.controls[name].box.value = text
            assert panel.trouble is None, (name, text)
            assert panel.sentence.endswith(".") and "nan" not in panel.sentence
            seen.add(panel.sentence)
    assert panel.controls["own_fraction"].box.value == OWN and len(seen) > 15


def test_an_empty_pot_is_a_kind_word():
    panel = mixture_panel()
    for name in precursors():
        panel.controls[name].box.value = "0 g"
    assert panel.trouble is None and "nothing in this mixture" in panel.sentence
    with pytest.raises(LabError, match="nothing"):
        answer(urea=0.0, thiourea=0.0)


def test_the_picture_describes_itself_and_the_table_shows():
    panel = mixture_panel()
    alt = re.search(r'aria-label="([^"]*)"', panel.parts["picture"].value)[1]
    assert "urea 95.5 %" in alt and "CS₂" in alt
    assert "no safe figure is known here" in html.unescape(panel.parts["rows"].value).replace("\u00a0", " ")


@pytest.mark.parametrize("name", ["urea", "thiourea", "fraction", "powder"])
def test_hostile_text_raises_nothing_and_leaves_no_markup(name):
    assert_calm(mixture_panel(), name)


def test_an_answer_comes_within_a_frame():
    panel, took = mixture_panel(), []
    for grams in range(30, 50):
        start = time.perf_counter()
        panel.controls["urea"].box.value = f"{grams} g"
        took.append(time.perf_counter() - start)
    assert min(took) < 0.016  # the best: a busy machine only adds time
