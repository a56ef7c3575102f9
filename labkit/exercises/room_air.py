"""Workbook 03: build-up, purging, limits, extraction, spilled solvent, hydrogen.  All numbers are invented.

Where a question says which way to round, its givens are such that the plain rounding goes that way too.
"""

from labkit.air.extraction import extraction_flow, flow_needed
from labkit.air.fire import flammable_range, headspace_fraction, stop_collecting
from labkit.air.limits import mass_concentration
from labkit.air.room import Room, build_up, purge_time
from labkit.air.vapour import air_for, evaporation
from labkit.exercises.exercise import Exercise
from labkit.units import Q, number

_SHED = Room("24.0 m³", "1.50 /h")


def _after(time):
    return build_up("0.180 mol/h", _SHED, time)


def _in_steady_air(rate, flow):
    """Return the fraction that a rate in mol/h makes in a flow in m³/h at 25 °C and 1 atm, in ppm."""
    return Q(rate * 0.0244654 / flow * 1e6, "ppm")


EXERCISES = (
    Exercise(
        "3.1",
        "Ammonia comes steadily, 0.180 mol an hour, into well mixed air: 24.0 m³ with 1.50 air changes an hour. How many "
        "ppm are there after 50.0 min? One mole takes 24.47 L at 25 °C. Round up: it is a hazard.",
        lambda: _after("50.0 min"),
        "G is 0.180 mol/h times 0.02447 m³/mol, Q is 1.50 /h times 24.0 m³. G over Q is 122 ppm, where it would end. "
        "Times one minus e to the minus (1.50 /h times 0.833 h).",
        slips={
            "That is where it would end after many hours; multiply by 1 − e^(−nt).": lambda: _in_steady_air(
                0.180, 36.0
            ),
            "That leaves the fresh air out: all the gas in 24 m³.": lambda: _in_steady_air(0.180 * 50 / 60, 24.0),
            "That is what is still missing, e^(−nt); take 1 − e^(−nt).": lambda: (
                _in_steady_air(0.180, 36.0) - _after("50.0 min")
            ),
        },
        safe_side="up",
    ),
    Exercise(
        "3.2",
        "A firing has stopped; ammonia stands at 86.0 ppm. With 0.800 air changes an hour and a mixing factor "
        "of 2.00, how long until it is down to 20.0 ppm? Round up, so that nobody goes in too early.",
        lambda: purge_time("0.800 /h", "86.0 ppm", "20.0 ppm", 2.00),
        "Mixing factor over air changes, 2.00 over 0.800 /h, times the natural logarithm of 86.0 over 20.0.",
        slips={
            "You left out the mixing factor; a badly mixed room takes longer.": lambda: purge_time(
                "0.800 /h", "86.0 ppm", "20.0 ppm"
            ),
            "That is the logarithm to base ten; take the natural one.": lambda: (
                purge_time("0.800 /h", "86.0 ppm", "20.0 ppm", 2.00) / 2.302585
            ),
            "The mixing factor makes it slower: multiply by it.": lambda: (
                purge_time("0.800 /h", "86.0 ppm", "20.0 ppm") / 2
            ),
        },
        safe_side="up",
    ),
    Exercise(
        "3.3",
        "A steady 0.155 mol of ammonia an hour is to be held at 20.0 ppm by fresh air, with a mixing factor of 3.00. How "
        "many m³ of fresh air an hour does that take, at 24.47 L/mol? Round up.",
        lambda: flow_needed("0.155 mol/h", "20.0 ppm", 3.00),
        "0.155 mol/h times 0.02447 m³/mol over 20.0 parts in a million, times 3.00.",
        slips={
            "That is for perfect mixing; multiply by the mixing factor.": lambda: flow_needed(
                "0.155 mol/h", "20.0 ppm"
            ),
            "You divided by the mixing factor; bad mixing asks for more air.": lambda: (
                flow_needed("0.155 mol/h", "20.0 ppm") / 3
            ),
            "22.4 L/mol holds at 0 °C; at 25 °C it is 24.47.": lambda: flow_needed(
                "0.155 mol/h", "20.0 ppm", 3.00, temperature="0 °C"
            ),
        },
        safe_side="up",
    ),
    Exercise(
        "3.4",
        "A British list has ethanol (46.07 g/mol) at 1000 ppm, and converts at 20 °C, where a mole takes 24.055 L. "
        "What is that in mg/m³, to four figures? Round down, as it is an upper bound.",
        lambda: mass_concentration("1000 ppm", "ethanol", "20 °C"),
        "1000 mL of vapour in a m³ is 1.000 L; over 24.055 L/mol, times 46.07 g/mol, in mg.",
        figures=4,
        slips={
            "22.4 L/mol holds at 0 °C; this list converts at 20 °C.": lambda: mass_concentration(
                "1000 ppm", "ethanol", "0 °C"
            ),
            "You left out the molar mass: 1 mL is not 1 mg.": lambda: Q(1000.0, "mg/m**3"),
            "That is the molar mass of acetone; ethanol has 46.07 g/mol.": lambda: mass_concentration(
                "1000 ppm", "acetone", "20 °C"
            ),
        },
        safe_side="down",
    ),
    Exercise(
        "3.5",
        "Two bodies have the same limit in ppm. One converts to mg/m³ at 20 °C, the other at 25 °C. By how many percent is "
        "the first figure the larger?",
        lambda: (mass_concentration("25 ppm", "NH3", "20 °C") / mass_concentration("25 ppm", "NH3", "25 °C") - 1).to(
            "percent"
        ),
        "A mole of gas takes room in proportion to kelvin: 298.15 over 293.15, less one.",
        slips={
            "Kelvin, not °C: 298.15 over 293.15.": lambda: Q(25.0, "percent"),
            "That is the ratio itself; take one off.": lambda: Q(298.15 / 293.15 * 100, "percent"),
        },
    ),
    Exercise(
        "3.6",
        "The opening of an extraction is 80.0 cm by 25.0 cm, and the air goes in at 0.400 m/s. How many m³ an hour does it "
        "draw? Round down, as it is what you count on.",
        lambda: extraction_flow("0.400 m/s", "80.0 cm", "25.0 cm"),
        "0.800 m times 0.250 m times 0.400 m/s, times 3600 s/h.",
        slips={
            "That is m³ a second; an hour has 3600.": lambda: Q(0.0800, "m**3/h"),
            "That is m³ a minute; an hour has 60.": lambda: Q(4.80, "m**3/h"),
            "You left out the speed of the air.": lambda: Q(720.0, "m**3/h"),
        },
        safe_side="down",
    ),
    Exercise(
        "3.7",
        "43.0 mL of acetone (0.785 g/mL, 58.08 g/mol) are knocked over in a shut 25.0 m³ shed and evaporate. How many ppm "
        "is that once mixed, at 24.47 L/mol? Round up.",
        lambda: evaporation("acetone", "43.0 mL", "25.0 m³"),
        "43.0 mL times 0.785 g/mL over 58.08 g/mol, times 24.47 L/mol, over 25 000 L.",
        slips={
            "You took the millilitres as grams; multiply by 0.785 g/mL.": lambda: (
                evaporation("acetone", "43.0 mL", "25.0 m³") / 0.785
            ),
            "Liquid is not vapour: it grows some three hundred times.": lambda: Q(43.0 / 25.0, "ppm"),
            "22.4 L/mol holds at 0 °C; at 25 °C it is 24.47.": lambda: (
                evaporation("acetone", "43.0 mL", "25.0 m³") * 273.15 / 298.15
            ),
        },
        safe_side="up",
    ),
    Exercise(
        "3.8",
        "Which volume of air can 55.0 mL of spilled ethanol (0.785 g/mL, 46.07 g/mol) bring to its lower limit, 3.10 % by "
        "volume, at 24.47 L/mol? Round up.",
        lambda: air_for("ethanol", "55.0 mL"),
        "55.0 mL times 0.785 g/mL over 46.07 g/mol, times 24.47 L/mol, over 0.0310.",
        slips={
            "That is the vapour alone; divide by 0.0310.": lambda: (
                air_for("ethanol", "55.0 mL") * number(flammable_range("ethanol").lower, "")
            ),
            "You took the millilitres as grams; multiply by 0.785 g/mL.": lambda: air_for("ethanol", "55.0 mL") / 0.785,
            "That is acetone's lower limit; ethanol's is 3.10 %.": lambda: air_for("ethanol", "55.0 mL", "2.5 %"),
        },
        safe_side="up",
    ),
    Exercise(
        "3.9",
        "9.00 mL of hydrogen go into a closed flask that holds 141 mL of air, all at one pressure in the end. What "
        "percentage of the gas is hydrogen?",
        lambda: headspace_fraction("9.00 mL", "141 mL"),
        "All the gas is 141 mL and 9.00 mL. 9.00 mL over that.",
        slips={
            "Divide by all the gas, the hydrogen included.": lambda: Q(900 / 141, "percent"),
            "The hydrogen does not take the place of air here; it comes on top.": lambda: Q(900 / 132, "percent"),
        },
    ),
    Exercise(
        "3.10",
        "Over the water stand 430 mL of air. At how many mL of hydrogen do you stop, so that it stays at a quarter of the "
        "lower limit of 4.0 %? Round down.",
        lambda: stop_collecting("430 mL"),
        "430 mL times 4.0 % over 4.",
        figures=2,
        slips={
            "That is the lower limit itself, where it burns; stop at a quarter of it.": lambda: Q(17.2, "mL"),
            "A percent is a hundredth, and 4.0 % over 4 is 1.0 %.": lambda: Q(430.0, "mL"),
            "That is a tenth of the limit; a quarter was asked for.": lambda: Q(1.72, "mL"),
        },
        safe_side="down",
    ),
)
