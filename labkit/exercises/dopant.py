"""Workbook 05: molarity, crystal water, dose, loading, places, stock, doubt, jar and mixture.  All numbers are invented."""

from math import sqrt

from labkit.chemistry.formula import mass_fractions, molar_mass
from labkit.chemistry.mixture import precursor_mixture
from labkit.exercises.exercise import Exercise
from labkit.solutions import (
    Recipe,
    concentration_budget,
    dopant_dose,
    hydrate_from_anhydrous,
    loading_ceiling,
    mass_for_molarity,
    molarity,
    mole_ratio,
    nominal_loading,
    recipe_check,
    scaled,
    stock_volume,
    volume_for_molarity,
    weighable,
)
from labkit.units import Q, normal, rectangular

HEXAHYDRATE = "FeCl₃·6H₂O"
_METAL = 2400 * 0.008 / 0.992  # mg of iron for 5.4


def _zinc():
    return 320 * mass_fractions("ZnCl₂")["Zn"]  # mg


def _strength_doubt():
    found = concentration_budget(
        normal("0.640 g", "0.008 g"), rectangular("50.0 mL", "2.0 mL"), formula="ZnCl₂", count=0
    )
    return (found.uncertainty / found.value).to("percent")


def _times(salt):
    return recipe_check("0.900 g", salt, "1.60 g", "95 mL", "acetone", loading="1.00 %").times


def _sulfur_share():
    brought = precursor_mixture({"urea": "42.0 g", "thiourea": "2.50 g"}).sulfur
    return (Q(3.60, "g") * Q(0.400, "percent") / brought).to("percent")


def _of_unit(metal, unit):
    return (molar_mass(metal) / (molar_mass(metal) + molar_mass(unit))).to("percent")


EXERCISES = (
    Exercise(
        "5.1",
        "You dissolve 0.960 g of ZnCl₂ in ethanol and fill up to 120 mL. What is the molarity?",
        lambda: molarity("0.960 g", "ZnCl₂", "120 mL"),
        "Moles: 0.960 g over 136.29 g/mol. Divide by 0.120 L.",
        slips={
            "That is grams per litre; divide by the molar mass as well.": lambda: Q(0.960 / 0.120, "mol/L"),
            "You counted one chlorine; ZnCl₂ has two.": lambda: molarity("0.960 g", "ZnCl", "120 mL"),
            "Those are moles; divide by the volume too.": lambda: Q(0.960 / 136.286, "mol/L"),
        },
    ),
    Exercise(
        "5.2",
        "The jar says FeCl₃·6H₂O. What mass makes 90.0 mL of a 0.0250 mol/L solution in acetone?",
        lambda: mass_for_molarity("0.0250 mol/L", HEXAHYDRATE, "90.0 mL"),
        "0.0250 mol/L times 0.0900 L, times 270.30 g/mol.",
        slips={
            "That is for dry FeCl₃; the jar holds the hexahydrate.": lambda: mass_for_molarity(
                "0.0250 mol/L", "FeCl₃", "90.0 mL"
            ),
            "The crystal water is counted twice.": lambda: hydrate_from_anhydrous(
                mass_for_molarity("0.0250 mol/L", HEXAHYDRATE, "90.0 mL"), HEXAHYDRATE
            ),
        },
    ),
    Exercise(
        "5.3",
        "A recipe (invented) asks for 420 mg of dry FeCl₃. Your jar holds FeCl₃·6H₂O. What mass brings the same iron?",
        lambda: hydrate_from_anhydrous("420 mg", HEXAHYDRATE).to("mg"),
        "420 mg times 270.30 over 162.20.",
        slips={
            "The hydrate is the heavier one: multiply, do not divide.": lambda: Q(420 * 162.2037 / 270.2954, "mg"),
            "You added one water; the hexahydrate has six.": lambda: Q(420 * (1 + 18.0153 / 162.2037), "mg"),
            "You took the same mass; 40 % of the hexahydrate is water.": lambda: Q(420, "mg"),
        },
    ),
    Exercise(
        "5.4",
        "2.40 g of powder shall carry 0.800 % of iron, metal over metal plus powder, if all is taken up. How much "
        "FeCl₃·6H₂O do you weigh?",
        lambda: dopant_dose("2.40 g", "0.800 %", HEXAHYDRATE).to("mg"),
        "Iron: 2.40 g times 0.00800 over 0.99200. Divide by the share of iron in FeCl₃·6H₂O, 20.66 %.",
        slips={
            "That is the mass of iron; the salt is heavier.": lambda: Q(_METAL, "mg"),
            "That is dry FeCl₃; the jar holds the hexahydrate.": lambda: dopant_dose("2.40 g", "0.800 %", "FeCl₃"),
            "You multiplied by the share of iron in the salt; divide.": lambda: Q(
                _METAL * mass_fractions(HEXAHYDRATE)["Fe"], "mg"
            ),
        },
    ),
    Exercise(
        "5.5",
        "320 mg of ZnCl₂ went in with 3.20 g of powder. What is the nominal loading, metal over metal plus powder?",
        lambda: nominal_loading("320 mg", "ZnCl₂", "3.20 g"),
        "Zinc: 320 mg times 47.97 %. Divide by itself plus 3200 mg.",
        slips={
            "That counts the chloride as metal.": lambda: Q(100 * 320 / 3520, "percent"),
            "That is metal over powder; divide by metal plus powder.": lambda: Q(100 * _zinc() / 3200, "percent"),
            "That is salt over powder; only the zinc counts.": lambda: Q(100 * 320 / 3200, "percent"),
        },
    ),
    Exercise(
        "5.6",
        "150 mg of FeCl₃·6H₂O went in with 1.80 g of powder. How many iron atoms is that per heptazine unit, C₆H₃N₉?",
        lambda: mole_ratio("150 mg", HEXAHYDRATE, "1.80 g"),
        "Iron: 0.150 g over 270.30 g/mol. Units: 1.80 g over 201.15 g/mol. Divide the first by the second.",
        slips={
            "That is dry FeCl₃; the jar holds the hexahydrate.": lambda: mole_ratio("150 mg", "FeCl₃", "1.80 g"),
            "You counted C₃N₄ units; a heptazine unit is C₆H₃N₉.": lambda: mole_ratio(
                "150 mg", HEXAHYDRATE, "1.80 g", powder="C3N4"
            ),
            "That is units per iron atom; turn it over.": lambda: 1 / mole_ratio("150 mg", HEXAHYDRATE, "1.80 g"),
            "That is a ratio of masses; divide each by its molar mass first.": lambda: Q(0.150 / 1.80),
        },
    ),
    Exercise(
        "5.7",
        "If every heptazine unit, C₆H₃N₉, held one zinc atom: what loading would that be, metal over metal plus powder?",
        lambda: loading_ceiling("Zn"),
        "65.38 over (65.38 plus 201.15).",
        slips={
            "That is metal over powder; divide by metal plus powder.": lambda: Q(100 * 65.38 / 201.1486, "percent"),
            "That is one zinc for every C₃N₄; take C₆H₃N₉.": lambda: _of_unit("Zn", "C3N4"),
            "That is iron; the question is about zinc.": lambda: loading_ceiling("Fe"),
        },
    ),
    Exercise(
        "5.8",
        "Your stock is 0.0800 mol/L FeCl₃ in acetone. How much of it makes 60.0 mL of 0.00500 mol/L?",
        lambda: stock_volume("0.0800 mol/L", "0.00500 mol/L", "60.0 mL"),
        "60.0 mL times 0.00500 over 0.0800.",
        slips={
            "That is the acetone to add; the question is about the stock.": lambda: Q(56.25, "mL"),
            "You turned the ratio over: a portion of stock is smaller than what it makes.": lambda: Q(960, "mL"),
        },
    ),
    Exercise(
        "5.9",
        "You dissolve 0.750 g of FeCl₃·6H₂O and fill up to 45.0 mL. How much of that holds 18.0 mg of FeCl₃·6H₂O?",
        lambda: volume_for_molarity(molarity("0.750 g", HEXAHYDRATE, "45.0 mL"), HEXAHYDRATE, "18.0 mg"),
        "45.0 mL times 18.0 mg over 750 mg. The same salt is weighed and wanted, so no molar mass is needed.",
        slips={
            "Both are the hexahydrate; there is no crystal water to correct for.": lambda: (
                volume_for_molarity(molarity("0.750 g", HEXAHYDRATE, "45.0 mL"), HEXAHYDRATE, "18.0 mg")
                * (270.2954 / 162.2037)
            ),
            "You divided by the volume instead of multiplying: 750 mg are in 45.0 mL.": lambda: Q(
                750 / 45.0 / 18.0, "mL"
            ),
        },
    ),
    Exercise(
        "5.10",
        "Your balance counts in steps of 10.0 mg, and you count one whole step as its doubt. From what mass on is that no "
        "more than 4.00 % of what you weigh?",
        lambda: weighable("80 mg", "10.0 mg", limit="4.00 %").least.to("mg"),
        "One step over the share: 10.0 mg over 0.0400.",
        slips={
            "That is 4 % of a step; it is the step that shall be 4 % of the mass.": lambda: Q(0.4, "mg"),
            "You took half a step; the question counts a whole one.": lambda: Q(125, "mg"),
            "You multiplied the step by four; divide it by 0.04.": lambda: Q(40, "mg"),
        },
    ),
    Exercise(
        "5.11",
        "A recipe (invented) has 0.700 g of FeCl₃·6H₂O for 2.50 g of powder in 140 mL of solution. Your jar holds 500 mL to "
        "the brim, and the solution shall fill 60.0 % of it. How much powder goes in, at the same ratios?",
        lambda: (
            scaled(
                Recipe("0.700 g", HEXAHYDRATE, "2.50 g", "140 mL", "acetone"), jar_volume="500 mL", fill="60.0 %"
            ).recipe.powder_mass
        ),
        "Solution in the jar: 500 mL times 0.600. Divide by 140 mL, multiply by 2.50 g.",
        slips={
            "That fills the jar to its brim; leave the room above the solution.": lambda: Q(2.50 * 500 / 140, "g"),
            "That is the salt; the question is about the powder.": lambda: Q(0.700 * 300 / 140, "g"),
            "That would fit the room above the solution, the other 40 %.": lambda: Q(2.50 * 200 / 140, "g"),
        },
    ),
    Exercise(
        "5.12",
        "You weigh 0.640 g of ZnCl₂ with a standard uncertainty of 0.008 g and fill up to 50.0 mL in a jar whose line may be "
        "off by 2.0 mL either way, every value alike. What is the standard uncertainty of the molarity, in percent of it?",
        _strength_doubt,
        "Mass: 0.008 over 0.640. Volume: 2.0 mL over the root of 3, over 50.0 mL. Add their squares and take the root.",
        slips={
            "Ends that are all alike have a standard uncertainty smaller by the root of 3.": lambda: Q(
                100 * sqrt((0.008 / 0.640) ** 2 + (2 / 50) ** 2), "percent"
            ),
            "You added them; independent doubts add as squares.": lambda: Q(
                100 * (0.008 / 0.640 + 2 / sqrt(3) / 50), "percent"
            ),
            "That is the volume alone; the mass is in doubt too.": lambda: Q(100 * 2 / sqrt(3) / 50, "percent"),
            "That is the mass alone; the volume is in doubt too.": lambda: Q(100 * 0.008 / 0.640, "percent"),
        },
    ),
    Exercise(
        "5.13",
        "A recipe (invented) takes 0.900 g of FeCl₃·6H₂O for 1.60 g of powder. How many times the salt is that which a nominal "
        "loading of 1.00 % needs, metal over metal plus powder?",
        lambda: Q(_times(HEXAHYDRATE)),
        "Iron for 1.00 %: 1.60 g times 0.0100 over 0.9900. Salt: divide by 20.66 %. Divide 0.900 g by that.",
        slips={
            "That is dry FeCl₃; the recipe has the hexahydrate.": lambda: Q(_times("FeCl₃")),
            "You divided salt by iron; work out the salt that brings the iron.": lambda: Q(0.900 / (1.60 / 99)),
        },
    ),
    Exercise(
        "5.14",
        "42.0 g of urea are fired with 2.50 g of thiourea, CH₄N₂S. 3.60 g of powder come out, and an analysis (invented) finds "
        "0.400 % of sulfur in it. What share of the sulfur that went in is that?",
        _sulfur_share,
        "Sulfur in the powder: 3.60 g times 0.00400. Sulfur that went in: 2.50 g times 32.06 over 76.12. Divide.",
        slips={
            "That is a share of the thiourea; only its sulfur counts.": lambda: Q(100 * 0.0144 / 2.50, "percent"),
            "That is the share that left as gas.": lambda: Q(100, "percent") - _sulfur_share(),
            "You took 0.400 % of the mixture, and not of the powder.": lambda: _sulfur_share() * (44.5 / 3.60),
        },
    ),
)
