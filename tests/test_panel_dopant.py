"""The panel of workbook 05 against doses from a second table of atomic weights, without a browser."""

import re

import pytest
from helpers import PERIODICTABLE_SALTS, Tags
from hostile import HOSTILE
from periodictable import formula

from labkit.data import table
from labkit.data.cautions import cautions
from labkit.panels.dopant import dopant_answer, dopant_panel
from labkit.units import Q

# Salt in mg for 1 g of powder, metal over metal plus powder: worked out with periodictable's atomic
# weights, which differ from labkit's by less than 1e-4 of these salts.
DOSES = {
    ("iron in acetone", 0.5): 14.60,
    ("iron in acetone", 1): 29.34,
    ("iron in acetone", 2): 59.28,
    ("iron in acetone", 5): 152.87,
    ("iron in acetone, hexahydrate", 0.5): 24.32,
    ("iron in acetone, hexahydrate", 1): 48.89,
    ("iron in acetone, hexahydrate", 2): 98.78,
    ("iron in acetone, hexahydrate", 5): 254.74,
    ("zinc in ethanol", 0.5): 10.47,
    ("zinc in ethanol", 1): 21.06,
    ("zinc in ethanol", 2): 42.54,
    ("zinc in ethanol", 5): 109.71,
}
SALTS = {row["name"]: row["salt"] for row in table("dopants")}


def answer(dopant, loading, powder="1 g", volume=50):
    return dopant_answer(Q(float(powder.split()[0]), "g"), Q(float(loading), "percent"), dopant, Q(volume, "mL"))


@pytest.mark.parametrize("dopant, loading", DOSES)
def test_dose_molarity_and_ratio_agree_with_outside_sums(dopant, loading):
    said = answer(dopant, loading).sentence
    dose, salt = DOSES[dopant, loading], formula(PERIODICTABLE_SALTS[SALTS[dopant]]).mass
    found = re.search(r"Weigh ([\d.]+) mg of .* every ([\d.]+) heptazine.* that is ([\d.]+) mmol/L", said)
    # mg for 1 g: half a unit of the third figure printed; 201.15 is the mass of one C6H3N9.
    units, strength = (1000 / 201.15) / (dose / salt), dose / salt / 0.050
    assert float(found[1]) == pytest.approx(dose, rel=5.1e-3)
    assert float(found[2]) == pytest.approx(units, rel=0.051)
    assert float(found[3]) == pytest.approx(strength, rel=5.1e-3)


def test_the_hexahydrate_needs_more_by_its_crystal_water():
    ratio = DOSES["iron in acetone, hexahydrate", 2] / DOSES["iron in acetone", 2]
    assert ratio == pytest.approx(formula("FeCl3(H2O)6").mass / formula("FeCl3").mass, rel=2e-4)
    assert "98.8 mg" in answer("iron in acetone, hexahydrate", 2).sentence
    assert "59.3 mg" in answer("iron in acetone", 2).sentence


def test_what_may_stay_is_below_what_went_in_and_says_where_from():
    rows = {row[0]: row for row in answer("zinc in ethanol", 1).table}
    # 5, 30 and 90 % of 1 % (the metal itself is a hundredth of what it is measured against)
    assert rows["loading that may stay"][1] == "0.050 to 0.90 %, likely 0.30 %"
    assert "from memory" in rows["loading that may stay"][2]
    assert rows["zinc per heptazine"][2].endswith("24.5 %")  # 65.38 / (65.38 + 201.15)


def test_cautions_for_salt_and_solvent_stand_in_it():
    caution = answer("iron in acetone", 1).caution
    assert "Only a measurement" in caution
    lines = [line for step in ("chlorides", "solvent") for line in cautions(step).splitlines()]
    assert len(lines) >= 6 and all(line in caution for line in lines)
    assert caution.count(lines[-1]) == 1 and cautions("chlorides", "solvent").endswith(lines[-1])


@pytest.mark.parametrize("powder, protests", [("1 g", True), ("9 g", False)])
def test_a_dose_too_small_for_a_balance_is_named(powder, protests):
    # 1 % in FeCl3·6H2O is 48.9 mg for 1 g (a 10 mg step is 20 % of it) and 440 mg for 9 g (2 %)
    said = answer("iron in acetone, hexahydrate", 1, powder).sentence
    assert ("10 mg balance" in said) == protests
    assert ("20 % of that salt" in said) == protests


@pytest.mark.parametrize("dopant, loading", DOSES)
def test_the_stock_brings_the_dose(dopant, loading):
    found = answer(dopant, loading)
    dose = DOSES[dopant, loading]
    plan = re.search(r"a stock, (\d+) mg filled up to (\d+) mL, and draw ([\d.]+) mL", found.sentence)
    assert bool(plan) == (dose < 200)  # one step of 10 mg is more than 5 % below 200 mg
    rows = {row[0]: row for row in found.table}
    assert ("doubt of the dose by a stock" in rows) == bool(plan)
    if plan:
        weighed, flask, drawn = (float(part) for part in plan.groups())
        assert weighed * drawn / flask == pytest.approx(dose, rel=5.1e-3)  # drawn to three figures
        assert float(rows["doubt of the dose by a stock"][1].split()[0]) <= 5.0
        left = rows["left over in the stock"]
        assert float(left[1].split()[0]) >= (weighed - dose) * (1 - 1e-6) and "disposal" in left[2]  # rounded up


def test_more_than_dissolves_is_named():
    # 5 % for 100 g is 15.3 g of FeCl3; in 10 mL that would be 153 g per 100 mL, and 63 g dissolve.
    said = answer("iron in acetone", 5, "100 g", volume=10).sentence
    assert "will not dissolve" in said and "63 g" in said and "150 g" in said
    # The same iron as the hexahydrate is the same dry salt.
    assert "150 g" in answer("iron in acetone, hexahydrate", 5, "100 g", volume=10).sentence
    assert "dissolve" not in answer("iron in acetone", 5, "100 g", volume=30).sentence


def test_the_panel_starts_well_and_follows_every_control():
    panel = dopant_panel()
    assert panel.trouble is None and "127 mg of FeCl₃·6H₂O for 2.60 g" in panel.sentence  # 48.89 mg/g x 2.60 g
    choices, seen = panel.controls["dopant"].box.options, set()
    assert len(choices) == len(SALTS)
    for choice in choices:
        panel.controls["dopant"].box.value = choice
        for loading in (0.1, 1.0, 5.0):
            panel.controls["loading"].box.value = str(loading)
            for powder, volume in (("1 mg", "1 µL"), ("0.8 g", "40 mL"), ("2 ± 0.1 g", "60 ± 2 mL"), ("50 kg", "1 L")):
                panel.controls["powder_mass"].box.value, panel.controls["volume"].box.value = powder, volume
                assert panel.trouble is None, (choice, loading, powder)
                assert 'aria-label="Loading against' in panel.parts["picture"].value
                seen.add(panel.sentence)
    assert len(seen) == len(choices) * 12


def test_hostile_text_raises_nothing_and_leaves_no_markup():
    panel = dopant_panel()
    assert len(HOSTILE) >= 300
    shown = set()  # what was shown, each piece once: most of it stays as it was
    # All boxes share one reader: one meets many texts, each of the others a few of its own.
    for name, texts in {"powder_mass": HOSTILE[::3], "volume": HOSTILE[1::15], "loading": HOSTILE[2::15]}.items():
        control, start = panel.controls[name], panel.controls[name].good_text
        for text in texts:
            control.box.value = text
            assert panel.trouble is None, text
            shown |= {control.message.value, *(panel.parts[part].value for part in ("said", "rows", "caution"))}
        control.box.value = start
    assert len(shown) > 20
    for piece in shown:
        assert Tags(piece).tags <= {"div", "small", "table", "tr", "th", "td", "b", "br"}, piece


@pytest.mark.parametrize("name, text, words", [
    ("powder_mass", "1 ng", "1\xa0mg at least"), ("powder_mass", "5 kg", "1\xa0kg at most"), ("volume", "0.1 mL", "1\xa0mL at least"),
])  # fmt: skip
def test_what_nobody_makes_is_refused(name, text, words):
    panel = dopant_panel()
    said = panel.sentence
    panel.controls[name].box.value = text
    assert words in panel.controls[name].message.value and panel.sentence == said
