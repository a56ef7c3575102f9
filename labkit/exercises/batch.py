"""Workbook 09: the sums of a whole batch.  All numbers are invented."""

from labkit.air.extraction import flow_needed
from labkit.chemistry.formula import mass_fractions
from labkit.chemistry.gas import gas_volume
from labkit.chemistry.thermolysis import gases, gases_at_most, route
from labkit.exercises.exercise import Exercise
from labkit.heat.energy import firing_energy
from labkit.hydrogen import hydrogen_ceiling, hydrogen_from_photons, hydrogen_volume
from labkit.light import photon_flux_above
from labkit.solutions import dopant_dose, molarity
from labkit.units import Q, read


def _to_weigh(wanted, fraction, kept=1.0):
    return (Q(wanted, "g") / route().mass_yield / fraction / kept).to("g")


def _ceiling(area, hours):
    return (hydrogen_ceiling("2.75 eV") * Q(area, "cm**2") * Q(hours, "h")).to("mmol")


def _day(hours, area, absorbed):
    photons = (photon_flux_above("2.70 eV", "1000 W/m²") * hours * read(area)).to("µmol")
    return hydrogen_from_photons(photons * read(absorbed).to("dimensionless"), "0.0500 %")


EXERCISES = (
    Exercise(
        "9.1",
        "You want 4.00 g of washed powder. You assume 18.0 % of theory (melon, usual route: 27.91 % of the mass of "
        "urea), and that 88.0 % of the powder survives grinding and washing. How much urea do you weigh?",
        lambda: _to_weigh(4.00, 0.18, 0.88),
        "Before washing there must be 4.00 g over 0.880. Divide by 27.91 % and by 0.180; the trace of metal is left out.",
        slips={
            "You left out what is lost in washing; divide by 0.880 too.": lambda: _to_weigh(4.00, 0.18),
            "You multiplied by the share that survives; to go back, divide.": lambda: _to_weigh(4.00, 0.18) * 0.88,
            "That would need a yield of theory; divide by 0.180 too.": lambda: _to_weigh(4.00, 1.0, 0.88),
        },
    ),
    Exercise(
        "9.2",
        "90.5 g of urea give only 6.00 % of theory (melon, usual route: 27.91 % of the mass of urea), and 88.0 % of that "
        "powder survives grinding and washing. How much washed powder is that?",
        lambda: (Q(90.5, "g") * route().mass_yield * 0.06 * 0.88).to("g"),
        "90.5 g times 27.91 %, times 0.0600, times 0.880.",
        slips={
            "You left out what is lost in washing.": lambda: (Q(90.5, "g") * route().mass_yield * 0.06).to("g"),
            "That is 6 % of the urea; take 6 % of theory.": lambda: Q(90.5 * 0.06 * 0.88, "g"),
        },
    ),
    Exercise(
        "9.3",
        "4.55 g of fired powder shall carry 0.800 % of iron, metal over metal plus powder, if all is taken up. How "
        "much FeCl₃·6H₂O do you weigh?",
        lambda: dopant_dose("4.55 g", "0.800 %", "FeCl₃·6H₂O").to("mg"),
        "Iron: 4.55 g times 0.00800 over 0.99200. Divide by the share of iron in FeCl₃·6H₂O, 20.66 %.",
        slips={
            "That is the mass of iron; the salt is heavier.": lambda: Q(4550 * 0.008 / 0.992, "mg"),
            "That is anhydrous FeCl₃; the jar holds the hexahydrate.": lambda: dopant_dose(
                "4.55 g", "0.800 %", "FeCl₃"
            ).to("mg"),
            "You multiplied by the share of iron in the salt; divide.": lambda: Q(
                4550 * 0.008 / 0.992 * mass_fractions("FeCl₃·6H₂O")["Fe"], "mg"
            ),
        },
    ),
    Exercise(
        "9.4",
        "155 mg of FeCl₃·6H₂O are dissolved and filled up to 270 mL with acetone. What is the molarity in mmol/L?",
        lambda: molarity("155 mg", "FeCl₃·6H₂O", "270 mL").to("mmol/L"),
        "155 mg over 270.30 mg/mmol is the amount; divide by 0.270 L.",
        slips={
            "You took the molar mass of anhydrous FeCl₃.": lambda: molarity("155 mg", "FeCl₃", "270 mL").to("mmol/L"),
            "That is mg per mL; divide by the molar mass.": lambda: Q(155 / 270, "mmol/L"),
        },
    ),
    Exercise(
        "9.5",
        "For the extraction you plan for the worst: every nitrogen of 90.5 g of urea leaves as ammonia. What volume "
        "is that at 25 °C and 1 atm, at 24.47 L/mol?",
        lambda: gases_at_most("90.5 g")[0].volume.to("L"),
        "90.5 g over 60.06 g/mol, times two nitrogens, times 24.47 L/mol.",
        slips={
            "Urea has two nitrogens.": lambda: gases_at_most("90.5 g")[0].volume.to("L") / 2,
            "That is the usual route; the worst case has all nitrogen as ammonia.": lambda: gases("90.5 g")[
                0
            ].volume.to("L"),
            "22.4 L/mol holds at 0 °C.": lambda: gas_volume(gases_at_most("90.5 g")[0].amount, "0 °C"),
        },
    ),
    Exercise(
        "9.6",
        "How many cubic metres of fresh air thin 74.0 L of ammonia to 25 ppm?",
        lambda: Q(74.0e-3 / 25e-6, "m**3"),
        "25 ppm is 25 parts in a million: 0.0740 m³ over 0.000025.",
        slips={
            "You took 25 ppm for 25 parts in a thousand.": lambda: Q(74.0e-3 / 25e-3, "m**3"),
            "You counted litres as cubic metres.": lambda: Q(74.0 / 25e-6, "m**3"),
        },
    ),
    Exercise(
        "9.7",
        "The ceiling: 250 cm² in full sun for 4.00 h, gap 2.75 eV, every photon above the gap gives one electron. How "
        "many millimoles of hydrogen? The sun has 365 µmol of such photons per square metre and second.",
        lambda: _ceiling(250, 4.0),
        "365 µmol/m²/s times 0.0250 m² times 14400 s, over two electrons per molecule.",
        slips={
            "Two electrons make one hydrogen; divide by two.": lambda: 2 * _ceiling(250, 4.0),
            "250 cm² are 0.0250 m², not 2.50.": lambda: 100 * _ceiling(250, 4.0),
            "4 h are 14400 s.": lambda: _ceiling(250, 4.0) / 60,
        },
        tolerance=0.015,
    ),
    Exercise(
        "9.8",
        "With a donor and platinum, 84.0 mmol of photons above the gap and an apparent quantum yield of 0.310 %: "
        "what volume of dry hydrogen at 20 °C and 1 atm, at 24.06 L/mol?",
        lambda: hydrogen_volume(hydrogen_from_photons("84.0 mmol", "0.310 %"), "20 °C"),
        "84.0 mmol times 0.00310 over 2, times 24.06 mL/mmol.",
        slips={
            "Two electrons make one hydrogen; divide by two.": lambda: (
                2 * hydrogen_volume(hydrogen_from_photons("84.0 mmol", "0.310 %"), "20 °C")
            ),
            "0.310 % is 0.00310.": lambda: (
                100 * hydrogen_volume(hydrogen_from_photons("84.0 mmol", "0.310 %"), "20 °C")
            ),
        },
    ),
    Exercise(
        "9.9",
        "The elements of a kiln take 1.80 kW while they are on, and in a firing of 5.95 h (cooling not counted) they are "
        "on for 46.0 % of the time. How many kWh is that?",
        lambda: firing_energy("5.95 h", "1.80 kW", "46.0 %").likely,
        "1.80 kW times 5.95 h times 0.460.",
        slips={
            "The elements are not on all the time; 46.0 % of 5.95 h.": lambda: Q(1.80 * 5.95, "kWh"),
            "A kilowatt-hour is power times time; you divided.": lambda: Q(1.80 / 5.95 * 0.46, "kWh"),
        },
    ),
    Exercise(
        "9.10",
        "The plan's worst case is 1.60 mol of ammonia, coming evenly over 100 min. How many cubic metres of fresh air an "
        "hour, perfectly mixed, hold it at 25 ppm? Take 24.47 L/mol, and round up to two figures.",
        lambda: flow_needed(Q(1.60 / (100 / 60), "mol/h"), "25 ppm"),
        "1.60 mol over 100 min are 0.960 mol/h, or 0.02349 m³/h of ammonia. Divide by 0.000025. A room mixes worse "
        "than that.",
        figures=2,
        slips={
            "That is for the whole amount in one hour; it comes over 100 min.": lambda: flow_needed(
                "1.60 mol/h", "25 ppm"
            ),
            "That is for each minute; the question asks for an hour.": lambda: Q(
                1.60 / 100 * 24.465e-3 / 25e-6, "m**3/h"
            ),
        },
        tolerance=0.03,
        safe_side="up",
    ),
    Exercise(
        "9.11",
        "A day brings 5.20 kWh/m² to a tray of 320 cm²; each kWh/m² of sunlight carries 1.49 mol/m² of photons above 2.70 eV. "
        "The layer absorbs 85.0 % of them, and 0.0500 % of the absorbed ones move an electron into hydrogen. How many "
        "micromoles of hydrogen are that?",
        lambda: _day(Q(5.20, "h"), "320 cm²", "85.0 %"),
        "5.20 times 1.49 mol/m² times 0.0320 m² are the photons; times 0.850, times 0.000500, over 2 electrons a molecule.",
        slips={
            "Those are the electrons; two of them make one H2.": lambda: 2 * _day(Q(5.20, "h"), "320 cm²", "85.0 %"),
            "You left out that the layer absorbs 85.0 % only.": lambda: _day(Q(5.20, "h"), "320 cm²", "100 %"),
            "0.0500 % is 0.000500, not 0.0500.": lambda: 100 * _day(Q(5.20, "h"), "320 cm²", "85.0 %"),
        },
    ),
)
