"""The steps of soaking, written out: amounts by hand, the order of the work, a caution beside each."""

import pytest
from helpers import Tags

from labkit.errors import RangeProblem
from labkit.solutions import Recipe, preparation_steps, stock_plan

OWN = Recipe("0.74 g", "FeCl3·6H2O", "1.6 g", "95 mL", "acetone")
STEPS = preparation_steps(OWN, time="4 h")
FLAT = " ".join(str(STEPS).split())


def place(words, steps=STEPS):
    found = [step.number for step in steps if words in f"{step.what} {step.how_much}"]
    assert found, words
    return found[0]


def test_amounts_by_hand():
    # 0.74 g of 270.3 g/mol in 95 mL: 28.8 mmol/L; seven tenths of 95 mL go in first
    for words in (
        "740 mg of FeCl₃·6H₂O",
        "28.8 mmol/L",
        "66 mL",
        "jar of 160 mL or more",  # 95 mL are 60 % of 158 mL
        "95.0 mL",
        "1.60 g",
        "4.0 h",
        "up to 95 mL of liquid with up to 740 mg",
    ):
        assert words in FLAT, words


def test_the_order_of_the_work():
    order = [
        "Label",
        "Measure the solvent",
        "Weigh the salt",
        "Add the salt to the solvent",
        "Fill up",
        "Add the powder",
        "Stir, closed and dark",
        "settle",
        "Wash",
    ]
    places = [place(words) for words in order]
    assert places == sorted(places) and len(STEPS) == 10
    assert [step.number for step in STEPS] == list(range(1, 11))


def test_a_caution_beside_every_step():
    for step in STEPS:
        assert len(step.caution) > 20, step
    # What must not be missing where: customary cautions for corrosive chlorides and flammable solvents.
    for words, step in (("no flame", "Make the place"), ("eye protection", "Make the place"), ("slow", "Add the salt"), ("never solvent onto the salt", "Add the salt"),
                        ("hydrogen chloride", "Add the salt"), ("never warm a closed jar", "Stir"), ("same day", "Stir"), ("mask", "powder"), ("never down a drain", "settle"),
                        ("no oven", "Wash"), ("no ordinary centrifuge", "Wash")):  # fmt: skip
        assert words in STEPS[place(step) - 1].caution, words
    assert "hood" in STEPS[0].how_much and "closed oven" in STEPS.cautions() and "Only a measurement" in FLAT


def test_zinc_shows_no_colour_and_does_not_attack():
    zinc = preparation_steps(Recipe("0.2 g", "ZnCl2", "1.6 g", "95 mL", "ethanol"))
    said = " ".join(str(zinc).split())
    assert "no colour that tells" in said and "attacks acetone" not in said and "about 5 h are common practice" in said
    assert "colourless, and once more" in FLAT and "attacks acetone" in FLAT


def test_water_does_not_burn():
    said = str(preparation_steps(Recipe("0.2 g", "ZnCl2", "1.6 g", "95 mL", "water")))
    assert "flammable" not in said and "safety data sheet" in said
    assert "oxychloride" in said and "hisses" in said
    iron = " ".join(str(preparation_steps(Recipe("0.2 g", "FeCl3", "1.6 g", "95 mL", "Water"))).split())
    assert "what falls out on the powder is oxide or hydroxide, not doping" in iron and "flammable" not in iron


@pytest.mark.parametrize("solvent", ["isopropanol", "methanol", "Acetone", " ethanol ", "propan-2-ol"])
def test_every_solvent_but_water_is_handled_as_flammable(solvent):
    # Isopropanol and methanol light below room temperature as acetone and ethanol do (flash points 12 and 11 °C, from memory).
    steps = preparation_steps(Recipe("0.2 g", "CuCl2·2H2O", "1.6 g", "95 mL", solvent))
    assert "flammable" in steps[1].how_much and "catch fire" in steps[2].caution
    known = solvent.strip().lower() in ("acetone", "ethanol")
    assert ("not known here: count it as flammable and poisonous" in steps[2].caution) is not known


def test_salts_of_other_metals_bring_their_own_caution():
    for salt in ("NiCl2·6H2O", "CoCl2·6H2O", "K2PtCl4"):
        steps = preparation_steps(Recipe("0.2 g", salt, "1.6 g", "95 mL", "ethanol"))
        care = steps[place("Weigh the salt", steps) - 1].caution
        assert (
            "cancer" in care
            and "asthma" in care
            and "no salts for an open bench" in care
            and "safety data sheet" in care
        )
        assert "allergy" in steps.cautions()
    assert "cancer" not in FLAT and "allergy" not in STEPS.cautions()


def test_strong_solutions_of_dry_salt_boil_and_weak_or_wet_ones_do_not():
    # 0.1 mol/L of FeCl3 (162.2 g/mol) in 100 mL are 1.622 g; about 150 kJ/mol (from memory) are 15 kJ/L, over 1.7 kJ/L/K.
    def care(mass, salt, solvent="acetone"):
        steps = preparation_steps(Recipe(mass, salt, "1.6 g", "100 mL", solvent))
        return steps[place("Add the salt", steps) - 1].caution

    assert "solvent boils" in care("1.7 g", "FeCl3") and "solvent boils" not in care("1.5 g", "FeCl3")
    assert "solvent boils" not in care("1.7 g", "FeCl3·6H2O") and "solvent boils" in care("1.7 g", "ZnCl2", "ethanol")
    assert "try a pinch" in care("1.7 g", "CuCl2·2H2O") and "try a pinch" not in care("1.7 g", "FeCl3")
    # In the first flask of a stock it is the stock's strength that counts: 240 mg in 10 mL are 0.15 mol/L, in the jar 0.0055.
    small = Recipe("90 mg", "FeCl3", "1.6 g", "100 mL", "acetone")
    plan = stock_plan(small.salt_mass, "10 mg", salt="FeCl3", solvent="acetone", marks=(10,))
    steps = preparation_steps(small, stock=plan)
    assert "solvent boils" in steps[place("Dissolve it", steps) - 1].caution


def test_more_than_a_bench_holds_is_said_before_the_work():
    large = preparation_steps(Recipe("2 g", "FeCl3·6H2O", "6 g", "620 mL", "acetone"))
    assert "beyond a bench" in large[0].caution and "beyond a bench" not in FLAT


def test_a_stock_takes_the_place_of_the_weighing():
    small = Recipe("33 mg", "FeCl3·6H2O", "1.6 g", "95 mL", "acetone")
    plan = stock_plan(small.salt_mass, "10 mg", salt=small.salt, solvent="acetone", most_volume=small.volume)
    steps = preparation_steps(small, stock=plan)
    assert (
        place("Weigh the salt for a stock", steps)
        < place("Draw from the stock", steps)
        < place("Fill up: ".rstrip(": "), steps)
    )
    assert steps[place("Draw from the stock", steps) - 1].how_much.endswith("mL")
    two = Recipe("2.5 mg", "FeCl3·6H2O", "1.6 g", "95 mL", "acetone")
    thinned = preparation_steps(two, stock=stock_plan(two.salt_mass, "10 mg"))
    assert place("Thin it", thinned) < place("Draw from the stock", thinned)
    with pytest.raises(RangeProblem, match="The stock brings"):
        preparation_steps(small, stock=stock_plan("20 mg", "10 mg"))
    with pytest.raises(RangeProblem, match="more than the"):
        preparation_steps(Recipe("33 mg", "FeCl3·6H2O", "1.6 g", "2 mL", "acetone"), stock=plan)


def test_it_fits_a_page_and_is_a_table_there():
    assert repr(STEPS) == str(STEPS) and max(len(line) for line in str(STEPS).splitlines()) <= 60
    tags = Tags(STEPS._repr_html_())
    assert tags.tags == {"table", "caption", "tr", "th", "td", "p"}
    assert "740 mg" in tags.plain and "never warm a closed jar" in tags.plain
    hostile = preparation_steps(Recipe("0.2 g", "ZnCl2", "1.6 g", "95 mL", "<script>alert(1)</script>"))
    assert Tags(hostile._repr_html_()).tags == tags.tags


@pytest.mark.parametrize("recipe, keywords, words", [
    ("iron", {}, "takes a Recipe"), (OWN, {"time": "0 h"}, "more than zero"), (Recipe("7 g", "FeCl3", "9 g", "10 mL", "acetone"), {}, "can't hold"),
])  # fmt: skip
def test_what_is_refused(recipe, keywords, words):
    with pytest.raises(RangeProblem, match=words):
        preparation_steps(recipe, **keywords)
