"""Workbook 01: moles, theory, fraction of theory, gas.  All numbers are invented."""

from labkit.chemistry.formula import atom_fractions, mass_fractions, molar_mass
from labkit.chemistry.gas import gas_volume
from labkit.chemistry.thermolysis import gases, precursor_for_powder, route
from labkit.exercises.exercise import Exercise
from labkit.units import Q


def _theory(mass, **way):
    return (Q(mass, "g") * route(**way).mass_yield).to("g")


def _ammonia(mass, product="melon"):
    return next(gas for gas in gases(Q(mass, "g"), "urea", product) if gas.formula == "NH3")


EXERCISES = (
    Exercise(
        "1.1",
        "You tip 45.0 g of urea, CO(NH₂)₂, into the crucible. How many moles are that?",
        lambda: (Q(45.0, "g") / molar_mass("CO(NH₂)₂")).to("mol"),
        "Moles are mass over molar mass: 45.0 g over 60.06 g/mol.",
        slips={
            "You multiplied mass and molar mass; divide.": lambda: Q(45.0 * 60.0553, "mol"),
            "You divided the molar mass by the mass; turn it over.": lambda: Q(60.0553 / 45.0, "mol"),
            "You counted one NH₂ only; CO(NH₂)₂ has two.": lambda: (Q(45.0, "g") / molar_mass("CONH₂")).to("mol"),
        },
    ),
    Exercise(
        "1.2",
        "What mass of melon could 84.0 g of urea give at best on the usual route, 12 CO(NH₂)₂ to one C₆H₃N₉?",
        lambda: _theory(84.0),
        "12 CO(NH₂)₂ give one C₆H₃N₉, so 84.0 g times 201.15 over (12 times 60.06).",
        slips={
            "That is the ideal C3N4; the question asks for melon, C₆H₃N₉.": lambda: _theory(84.0, product="ideal"),
            "That keeps all the carbon; on the usual route half of it leaves as CO2.": lambda: _theory(
                84.0, name="carbon bound"
            ),
        },
    ),
    Exercise(
        "1.3",
        "64.0 g of urea left 4.10 g of powder. What percentage of theory is that, for melon on the usual route (27.91 % "
        "of the mass of urea)?",
        lambda: (Q(4.10, "g") / _theory(64.0)).to("percent"),
        "Theory is 64.0 g times 27.91 %, 17.86 g. Divide 4.10 g by it.",
        slips={
            "That is powder over urea; divide by theory, 27.91 % of the urea.": lambda: Q(4.10 / 64.0 * 100, "percent"),
            "That is on the C3N4 basis; use melon, 27.91 %.": lambda: (
                Q(4.10, "g") / _theory(64.0, product="ideal")
            ).to("percent"),
            "You divided theory by the powder; turn it over.": lambda: (_theory(64.0) / Q(4.10, "g")).to("percent"),
        },
    ),
    Exercise(
        "1.4",
        "You want 6.00 g of powder and trust 20.0 % of theory (melon, usual route: 27.91 % of the mass of urea). How much "
        "urea do you weigh?",
        lambda: precursor_for_powder("6.00 g", fraction="20 %").likely,
        "6.00 g over (27.91 % times 20.0 %).",
        slips={
            "That would do if the yield were theory; divide by 0.200 as well.": lambda: (
                Q(6.00, "g") / route().mass_yield
            ).to("g"),
            "You left out theory: 20 % of the urea's mass is not what comes out.": lambda: Q(30.0, "g"),
            "You multiplied by the fractions; to go back, divide.": lambda: (_theory(6.00) * 0.2).to("g"),
        },
    ),
    Exercise(
        "1.5",
        "What mass of ammonia leaves with 50.0 g of urea on the usual route to melon, 15 NH₃ for 12 CO(NH₂)₂?",
        lambda: _ammonia(50.0).mass.to("g"),
        "12 urea give 15 NH3: 50.0 g over 60.06 g/mol, times 15 over 12, times 17.03 g/mol.",
        slips={
            "That is one NH3 per urea; the equation gives 15 for 12.": lambda: Q(50.0 / 60.0553 * 17.0305, "g"),
            "That is the route to C3N4, 8 NH3 for 6 urea; to melon it is 15 for 12.": lambda: _ammonia(
                50.0, "ideal"
            ).mass.to("g"),
        },
    ),
    Exercise(
        "1.6",
        "50.0 g of urea go the usual route to melon, 15 NH₃ for 12 CO(NH₂)₂. What volume does the ammonia take at 25 °C "
        "and 1 atm, at 24.47 L/mol?",
        lambda: _ammonia(50.0).volume.to("L"),
        "50.0 g over 60.06 g/mol, times 15 over 12, is 1.041 mol. Times 24.47 L/mol.",
        slips={
            "22.4 L/mol holds at 0 °C; at 25 °C it is 24.5.": lambda: gas_volume(_ammonia(50.0).amount, "0 °C"),
            "The temperature goes in as kelvin: 298.15, not 25.": lambda: _ammonia(50.0).volume.to("L") * 25 / 298.15,
        },
    ),
    Exercise(
        "1.7",
        "What mass of melon could 30.0 g of melamine give at best, 2 C₃H₆N₆ to one C₆H₃N₉?",
        lambda: _theory(30.0, precursor="melamine"),
        "2 C₃H₆N₆ give one C₆H₃N₉ and 3 NH3: 30.0 g times 201.15 over (2 times 126.12).",
        slips={
            "Two melamine make one C₆H₃N₉; you took one for one.": lambda: 2 * _theory(30.0, precursor="melamine"),
            "That is the ideal C3N4; the question asks for melon.": lambda: _theory(
                30.0, precursor="melamine", product="ideal"
            ),
            "That is urea's theory; melamine loses far less.": lambda: _theory(30.0),
        },
    ),
    Exercise(
        "1.8",
        "“All the hydrogen burns away.” What percentage by mass of melon, C₆H₃N₉, is hydrogen?",
        lambda: Q(100 * mass_fractions("C₆H₃N₉")["H"], "percent"),
        "3 times 1.008 over 201.15.",
        slips={
            "That counts atoms; weigh them by their masses.": lambda: Q(100 * atom_fractions("C₆H₃N₉")["H"], "percent"),
            "There are three hydrogens in the unit, not one.": lambda: Q(
                100 / 3 * mass_fractions("C₆H₃N₉")["H"], "percent"
            ),
        },
    ),
)
