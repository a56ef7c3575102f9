"""Workbook 08: gas over water, what is no hydrogen in it, blanks, doubt and yields.  All numbers are invented."""

from math import sqrt

from labkit.chemistry.gas import amount_from_gas_volume, dry_pressure, water_vapour_pressure
from labkit.exercises.exercise import Exercise
from labkit.hydrogen import apparent_yield_of_lamp, drift_volume, dry_gas, hydrogen_from_photons, pressure_at_altitude
from labkit.units import Q
from labkit.units.budget import budget
from labkit.units.spread import rectangular


def _amount(volume="7.40 mL", temperature="24.0 °C", pressure="918 hPa"):
    return amount_from_gas_volume(volume, temperature, pressure).to("µmol")


def _grown(temperature="22.0 °C"):
    return drift_volume("85.0 mL", "1.60 K", temperature=temperature, over_water=False)


def _sunk():
    return drift_volume("130 mL", "0 K", "-8.00 hPa", pressure="1006 hPa", over_water=False)


def _net(sign=-1):
    return budget(lambda run, blank: run + sign * blank, count=0, run="0.482 ± 0.021 mL/h", blank="0.064 ± 0.018 mL/h")


def _yield(area="12.0 cm²", time="2.50 h"):
    return apparent_yield_of_lamp("9.30 µmol", "82.0 W/m²", area, time, "450 nm")


def _of_ceiling(electrons=2):
    claim = amount_from_gas_volume("9.50 mL", "25 °C")
    return (claim / hydrogen_from_photons("640 µmol", "100 %", electrons)).to("percent")


EXERCISES = (
    Exercise(
        "8.1",
        "In a tube over water the water stands 23.0 cm above the level outside. By how many hPa is the pressure in the "
        "tube below that outside? (Water is 998 kg/m³, and g is 9.81 m/s².)",
        lambda: dry_gas("10 mL", "20 °C", "1000 hPa", column="23.0 cm", count=0).pull,
        "998 kg/m³ times 9.81 m/s² times 0.230 m is in pascals; 100 Pa are 1 hPa.",
        slips={
            "That is a column of mercury; water is 13.6 times lighter.": lambda: Q(230, "mmHg").to("hPa"),
            "9.81 m/s² is missing: a column presses by its weight.": lambda: Q(2.30, "hPa"),
        },
    ),
    Exercise(
        "8.2",
        "The water stands equally high inside and outside. The barometer beside it shows 951 hPa; at 34.0 °C water vapour presses "
        "with 53.3 hPa. What is the pressure of the dry gas?",
        lambda: dry_pressure("951 hPa", "34.0 °C").to("hPa"),
        "951 hPa less 53.3 hPa: gas and vapour share the pressure.",
        slips={
            "That is with the vapour in it; take it off.": lambda: Q(951, "hPa"),
            "You added the vapour; it is inside the 951 hPa, so take it off.": lambda: (
                Q(951, "hPa") + water_vapour_pressure("34.0 °C")
            ),
        },
    ),
    Exercise(
        "8.3",
        "7.40 mL of wet gas stand at 24.0 °C; of the pressure in the tube 918 hPa are dry gas. How many µmol of dry gas is that? (R is 8.314 "
        "J/mol/K.)",
        _amount,
        "91 800 Pa times 7.40×10⁻⁶ m³ over 8.314 J/mol/K times 297.15 K.",
        slips={
            "22.4 L/mol holds for 0 °C and 1 atm only.": lambda: _amount(temperature="0 °C", pressure="1 atm"),
            "The temperature goes in as kelvin: 297.15, not 24.": lambda: _amount() * 297.15 / 24.0,
            "A hectopascal is 100 Pa.": lambda: _amount() / 100,
        },
    ),
    Exercise(
        "8.4",
        "A weather report says 1018 hPa, reduced to sea level. Your tube stands at 650 m, where the air of average "
        "weather presses with (1 − 0.0065 × 650 / 288.15)^5.256 of that. What would a barometer beside the tube show?",
        lambda: pressure_at_altitude("650 m", "1018 hPa"),
        "0.0065 times 650 over 288.15 is 0.01466; what is left of 1, to the power 5.256, times 1018 hPa.",
        slips={
            "That is the report as it stands, as if you were at the sea.": lambda: Q(1018, "hPa"),
            "You went the wrong way: it is less air the higher you stand.": lambda: (
                Q(1018, "hPa") ** 2 / pressure_at_altitude("650 m", "1018 hPa")
            ),
            "The power is missing.": lambda: Q(1018, "hPa") * (1 - 0.0065 * 650 / 288.15),
        },
    ),
    Exercise(
        "8.5",
        "85.0 mL of dry gas at 22.0 °C can grow freely, and warm by 1.60 K. By how many mL does the gas grow?",
        _grown,
        "Volume goes with the kelvins: 1.60 over 295.15, times 85.0 mL.",
        slips={
            "The temperature goes in as kelvin: 295.15, not 22.": lambda: _grown() * 295.15 / 22.0,
            "1/273 per kelvin holds at 0 °C; here it is 1/295.": lambda: _grown("0 °C"),
            "That is for one kelvin; it was 1.60.": lambda: _grown() / 1.60,
        },
    ),
    Exercise(
        "8.6",
        "Over a tube with 130 mL of dry gas the barometer falls from 1006 to 998 hPa. By how many mL does the gas grow?",
        _sunk,
        "130 mL times 1006 over 998 is the new volume; less 130 mL.",
        slips={
            "With less air pressing on it the gas grows.": lambda: -_sunk(),
            "That is for one hPa; it was 8.": lambda: _sunk() / 8,
        },
        tolerance=0.02,  # a difference of nearby numbers, and 130 times 8 over 1006 is near enough
    ),
    Exercise(
        "8.7",
        "Lit, a tube gains 0.482 mL of gas an hour; the same tube in the dark 0.064 mL. What is the net rate?",
        lambda: _net().value,
        "What comes without light is not due to light: 0.482 less 0.064 mL/h.",
        slips={
            "That is with the blank in it; take it off.": lambda: Q(0.482, "mL/h"),
            "You added the blank; take it off.": lambda: _net(+1).value,
        },
    ),
    Exercise(
        "8.8",
        "The rate in the light has a standard uncertainty of 0.021 mL/h, that of the blank 0.018 mL/h, and the two have nothing to do "
        "with each other. What is the standard uncertainty of the difference?",
        lambda: _net().uncertainty,
        "Square both, add, and take the root: also for a difference, as either may be off either way.",
        figures=2,
        slips={
            "Added straight they count as always off the same way; add their squares.": lambda: Q(0.039, "mL/h"),
            "Doubts never cancel in a difference; add their squares.": lambda: Q(0.003, "mL/h"),
            "The squares are added even though the rates are subtracted.": lambda: Q(sqrt(0.021**2 - 0.018**2), "mL/h"),
        },
    ),
    Exercise(
        "8.9",
        "A tube has a mark every 0.200 mL and is read to the nearest mark, so a reading may be off by up to half a "
        "step, anywhere in between alike. What is its standard uncertainty?",
        lambda: rectangular("5 mL", "0.100 mL").uncertainty,
        "Half a step, 0.100 mL, over the root of three.",
        slips={
            "That is the most it may be off; the standard uncertainty is that over the root of three.": lambda: Q(
                0.100, "mL"
            ),
            "You took the whole step; it is off by half of one at most.": lambda: Q(0.200 / sqrt(3), "mL"),
            "Over the root of three, not over three.": lambda: Q(0.100 / 3, "mL"),
        },
    ),
    Exercise(
        "8.10",
        "In 3.50 h 65.0 mg of powder gave 26.4 µmol of gas, blank taken off. What is the rate per gram of powder, in µmol/g/h?",
        lambda: Q(26.4 / 0.0650 / 3.50, "µmol/g/h"),
        "26.4 µmol over 0.0650 g over 3.50 h.",
        slips={
            "That is for the whole run; divide by its hours.": lambda: Q(26.4 / 0.0650, "µmol/g/h"),
            "That is per minute; the question asks per hour.": lambda: Q(26.4 / 0.0650 / 210, "µmol/g/h"),
            "Divide by the mass of powder: less powder for the same gas is more per gram.": lambda: Q(
                26.4 * 0.0650 / 3.50, "µmol/g/h"
            ),
        },
    ),
    Exercise(
        "8.11",
        "However long a run lasts, warming leaves a standard uncertainty of 0.060 mL on the gas that came. At 0.040 mL/h, "
        "after how many hours is the gas three times that?",
        lambda: Q(3 * 0.060 / 0.040, "h"),
        "Three times 0.060 mL, over 0.040 mL/h.",
        figures=2,
        slips={
            "Then the gas equals its standard uncertainty: nobody could tell it from nothing.": lambda: Q(1.5, "h"),
            "You multiplied; divide the volume by the rate.": lambda: Q(3 * 0.060 * 0.040, "h"),
        },
    ),
    Exercise(
        "8.12",
        "A lamp of 450 nm brings 82.0 W/m² onto 12.0 cm², and in 2.50 h 9.30 µmol of hydrogen come, with a donor. What is the apparent "
        "quantum yield, in percent? (A joule at 450 nm is 3.762 µmol of photons.)",
        _yield,
        "82.0 W/m² times 0.00120 m² times 9000 s are joules, times 3.762 µmol/J photons. Twice 9.30 µmol over those.",
        slips={
            "That counts molecules; each took two electrons.": lambda: _yield() / 2,
            "12.0 cm² are 0.00120 m²: a square metre has 10 000 cm².": lambda: _yield(area="0.120 m²"),
            "2.50 h are 9000 s, not 150.": lambda: _yield(time="150 s"),
        },
    ),
    Exercise(
        "8.13",
        "For an apparent quantum yield the gas is known to 3.8 %, the light to 8.0 % and the lit area to 2.5 %, all standard "
        "uncertainties. To how many percent is the yield known?",
        lambda: Q(sqrt(3.8**2 + 8.0**2 + 2.5**2), "percent"),
        "In a product and a quotient relative uncertainties add by their squares: 14.4, 64.0 and 6.25; then the root.",
        figures=2,
        slips={
            "Added straight they count as always off the same way; add their squares.": lambda: Q(14.3, "percent"),
            "That is the light alone; the others add a little.": lambda: Q(8.0, "percent"),
            "Take the root in the end.": lambda: Q(3.8**2 + 8.0**2 + 2.5**2, "percent"),
        },
    ),
    Exercise(
        "8.14",
        "640 µmol of photons above the gap fall on a cell in an hour, and 9.50 mL of hydrogen are claimed for it (24.47 L/mol). How many "
        "percent of the ceiling is that?",
        _of_ceiling,
        "9.50 mL over 24.47 L/mol is the claim in moles; the ceiling is half of the photons.",
        slips={
            "One H2 takes two photons, so the ceiling is half of them.": lambda: _of_ceiling(1),
            "The ceiling is half of the photons, not a quarter.": lambda: _of_ceiling(4),
            "You took 22.4 L/mol, which holds for 0 °C.": lambda: _of_ceiling() * 24.47 / 22.41,
        },
    ),
    Exercise(
        "8.15",
        "Water that is split gives two parts of hydrogen and one of oxygen. If 9.60 µmol of dry gas were that and nothing else, how much of it is "
        "hydrogen?",
        lambda: Q(9.60 * 2 / 3, "µmol"),
        "Two of three parts.",
        slips={
            "That is the oxygen.": lambda: Q(3.20, "µmol"),
            "Two to one is two of three parts, not one of two.": lambda: Q(4.80, "µmol"),
        },
    ),
)
