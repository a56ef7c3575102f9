"""Workbook 05: molarity, crystal water, dose, loading, places, stock.  All numbers are invented."""

from labkit.chemistry.formula import mass_fractions, molar_mass
from labkit.exercises.exercise import Exercise
from labkit.solutions import (
    dopant_dose,
    hydrate_from_anhydrous,
    loading_ceiling,
    mass_for_molarity,
    molarity,
    mole_ratio,
    nominal_loading,
    stock_volume,
    volume_for_molarity,
)
from labkit.units import Q

HEXAHYDRATE = "FeCl₃·6H₂O"
_METAL = 2400 * 0.008 / 0.992  # mg of iron for 5.4


def _zinc():
    return 320 * mass_fractions("ZnCl₂")["Zn"]  # mg


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
            "You counted C3N4 units; a heptazine unit is C₆H₃N₉.": lambda: mole_ratio(
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
            "That is one zinc for every C3N4; take C₆H₃N₉.": lambda: _of_unit("Zn", "C3N4"),
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
)
