"""Workbook 07: photons to hydrogen, gas to moles, yields and efficiencies.  All numbers are invented."""

from labkit.chemistry import molar_mass
from labkit.chemistry.gas import amount_from_gas_volume, dry_pressure, water_vapour_pressure
from labkit.data import value
from labkit.exercises.exercise import Exercise
from labkit.hydrogen import (
    apparent_quantum_yield,
    burning_heat,
    electrons_per_molecule,
    hydrogen_ceiling,
    hydrogen_from_current,
    hydrogen_from_photons,
    hydrogen_volume,
    solar_to_hydrogen,
)
from labkit.hydrogen.links import absorbed_share
from labkit.light import hours_of_full_sun, irradiance_at_distance, photons_from_energy
from labkit.units import Q


def _moist(pressure):
    return amount_from_gas_volume("18.0 mL", "30.0 °C", pressure).to("mmol")


def _yield(time=(2.00, "h")):
    return apparent_quantum_yield("4.10 µmol", photons_from_energy(Q(0.250, "W") * Q(*time), "420 nm"))


def _ceiling(area=(240, "cm**2")):
    return (hydrogen_ceiling("2.70 eV") * Q(*area) * Q(3.00, "h")).to("mmol")


def _panel(rate="31.0 mmol/h", area="2.50 m²"):
    return solar_to_hydrogen(rate, area, "1000 W/m²")


def _dissolved(water=(180, "mL"), pressure=(1, "atm")):
    return (value("hydrogen", "Henry's constant in water") * Q(*pressure) * Q(*water)).to("µmol")


def _lamp(lumens_per_watt=60.0):
    return (photons_from_energy(Q(30.0 / lumens_per_watt, "J"), "470 nm") / Q(1, "s")).to("µmol/s")


def _absorbed(depth=0.0400):
    return Q(100 * absorbed_share({"absorption": 0.120, "load": 300 * depth}), "percent")


def _methanol(electrons):
    return (Q(2.40, "mmol") / electrons * molar_mass("CH3OH")).to("mg")


def _kettle(rise=68.0):
    return (Q(300 * 4.19 * rise, "J") / burning_heat("1 mol") * Q(1, "mol")).to("mmol")


def _nearer():
    near, far = (irradiance_at_distance("1 W", distance).likely for distance in ("15.0 cm", "20.0 cm"))
    return Q(120, "W/m**2") * (near / far).to("dimensionless")


EXERCISES = (
    Exercise(
        "7.1",
        "In one hour 840 µmol of photons above the gap fall on a tube. With an apparent quantum yield of 0.350 %, "
        "how much hydrogen is that?",
        lambda: hydrogen_from_photons("840 µmol", "0.350 %"),
        "840 µmol times 0.00350 are electrons; two electrons make one H2.",
        slips={
            "Those are the electrons; two of them make one H2.": lambda: hydrogen_from_photons(
                "840 µmol", "0.350 %", 1
            ),
            "You multiplied by two; two electrons make one H2, so divide.": lambda: (
                4 * hydrogen_from_photons("840 µmol", "0.350 %")
            ),
            "0.350 % is 0.00350, not 0.350.": lambda: hydrogen_from_photons("840 µmol", 0.350),
        },
    ),
    Exercise(
        "7.2",
        "High in the hills the barometer shows 842 hPa. What volume do 26.0 µmol of dry hydrogen take at 21.0 °C? "
        "(R is 8.314 J/mol/K.)",
        lambda: hydrogen_volume("26.0 µmol", "21.0 °C", "842 hPa"),
        "n R T over p: 26.0 µmol times 8.314 J/mol/K times 294.15 K over 84 200 Pa.",
        slips={
            "That is at 1 atm, 1013 hPa; up there the air presses less.": lambda: hydrogen_volume(
                "26.0 µmol", "21.0 °C"
            ),
            "22.4 L/mol holds at 0 °C and 1 atm only.": lambda: hydrogen_volume("26.0 µmol", "0 °C"),
            "The temperature goes in as kelvin: 294.15, not 21.": lambda: (
                hydrogen_volume("26.0 µmol", "21.0 °C", "842 hPa") * 21.0 / 294.15
            ),
        },
    ),
    Exercise(
        "7.3",
        "Hydrogen made with a donor, so without oxygen, is collected over water at 30.0 °C: 18.0 mL at 1000 hPa in "
        "all. Water vapour presses with 42.5 hPa at 30.0 °C. How much hydrogen is it? (R is 8.314 "
        "J/mol/K.)",
        lambda: _moist(dry_pressure("1000 hPa", "30.0 °C")),
        "The hydrogen alone presses with 1000 less 42.5 hPa. That times 18.0 mL, over 8.314 J/mol/K times 303.15 K.",
        slips={
            "Part of that gas is water vapour; take its pressure off first.": lambda: _moist("1000 hPa"),
            "You added the vapour; it is inside the 1000 hPa, so take it off.": lambda: _moist(
                Q(1000, "hPa") + water_vapour_pressure("30.0 °C")
            ),
            "The temperature goes in as kelvin: 303.15, not 30.": lambda: (
                _moist(dry_pressure("1000 hPa", "30.0 °C")) * 303.15 / 30.0
            ),
        },
    ),
    Exercise(
        "7.4",
        "250 mW of light at 420 nm fall on a window for 2.00 h and 4.10 µmol of hydrogen come. What is the apparent "
        "quantum yield, in percent? (A joule at 420 nm is 3.511 µmol of photons.)",
        _yield,
        "250 mW for 7200 s are 1800 J; at 420 nm a joule is 3.511 µmol of photons. Twice 4.10 µmol over those photons.",
        slips={
            "That counts molecules; each took two electrons.": lambda: _yield() / 2,
            "You halved where you should double: electrons are twice the molecules.": lambda: _yield() / 4,
            "Two hours are 7200 s, not 120.": lambda: _yield((120, "s")),
        },
    ),
    Exercise(
        "7.5",
        "Full sun sends 414 µmol of photons above 2.70 eV to each square metre each second. What is the most hydrogen "
        "that a dish of 240 cm² can give in 3.00 h of it?",
        _ceiling,
        "414 µmol/m²/s times 0.0240 m² times 10 800 s, over two.",
        slips={
            "Those are the photons; two of them make one H2.": lambda: 2 * _ceiling(),
            "240 cm² are 0.0240 m²: a square metre has 10 000 cm².": lambda: _ceiling((2.40, "m**2")),
            "Per second, so 3.00 h are 10 800 s.": lambda: _ceiling() / 3600,
        },
    ),
    Exercise(
        "7.6",
        "A panel of 2.50 m² splits pure water in 1000 W/m² and gives 31.0 mmol of hydrogen an hour. What is its "
        "solar-to-hydrogen efficiency, in percent? Splitting a mole takes 237.1 kJ.",
        _panel,
        "31.0 mmol/h times 237.1 kJ/mol is the power stored, 2.04 W; the light brings 2500 W.",
        slips={
            "285.8 kJ/mol is the heat of burning; the definition takes the Gibbs energy, 237.1.": lambda: (
                _panel() * value("hydrogen", "heat of burning") / value("constants", "Gibbs energy of splitting water")
            ),
            "That is for one square metre; the light falls on 2.50.": lambda: _panel(area="1 m²"),
            "You halved: the 237.1 kJ are for a whole mole of hydrogen, both electrons.": lambda: _panel() / 2,
        },
    ),
    Exercise(
        "7.7",
        "A small electrolyser runs at 0.350 A for 40.0 min. What volume of dry hydrogen is that at 20.0 °C and 1 atm, "
        "at 24.06 L/mol? (A mole of electrons is 96 485 C.)",
        lambda: hydrogen_volume(hydrogen_from_current("0.350 A", "40.0 min"), "20.0 °C"),
        "0.350 A for 2400 s are 840 C; over 2 times 96 485 C/mol that is the amount. Times 24.06 L/mol.",
        slips={
            "One H2 takes two electrons, so divide by 2 times 96 485.": lambda: (
                2 * hydrogen_volume(hydrogen_from_current("0.350 A", "40.0 min"), "20.0 °C")
            ),
            "22.4 L/mol holds at 0 °C; at 20 °C it is 24.1.": lambda: hydrogen_volume(
                hydrogen_from_current("0.350 A", "40.0 min"), "0 °C"
            ),
            "An ampere is a coulomb per second: 40.0 min are 2400 s.": lambda: hydrogen_volume(
                hydrogen_from_current("0.350 A", "40.0 s"), "20.0 °C"
            ),
        },
    ),
    Exercise(
        "7.8",
        "A paper gives an internal quantum yield of 12.0 %: per photon absorbed. The layer absorbs 35.0 % of what "
        "falls on it. What is the apparent quantum yield, per photon that falls on it, in percent?",
        lambda: Q(0.120 * 35.0, "percent"),
        "Of 100 photons that fall on the layer 35.0 are absorbed, and 12.0 % of those do the work.",
        slips={
            "You divided; fewer photons are absorbed than fall, so the apparent yield is the smaller one.": lambda: Q(
                12.0 / 0.350, "percent"
            ),
            "You took the share that is not absorbed; take the 35.0 % that is.": lambda: Q(0.120 * 65.0, "percent"),
        },
    ),
    Exercise(
        "7.9",
        "At 25 °C water holds 7.8×10⁻⁶ mol of hydrogen per cubic metre for each pascal of hydrogen above it. How much "
        "can 180 mL hold under 1 atm of hydrogen, before the first bubble?",
        _dissolved,
        "7.8×10⁻⁶ mol/m³/Pa times 101 325 Pa times 0.000180 m³.",
        figures=2,
        slips={
            "An atmosphere is 101 325 Pa; 1013 is its number in hPa.": lambda: _dissolved(pressure=(1013.25, "Pa")),
            "180 mL are 0.000180 m³, not 0.180.": lambda: _dissolved(water=(180, "L")),
            "That is for a whole litre; you have 180 mL.": lambda: _dissolved(water=(1, "L")),
        },
    ),
    Exercise(
        "7.10",
        "A weather station prints 13.5 MJ/m² for a day. How many hours of full sun, 1 kW/m², bring as much?",
        lambda: hours_of_full_sun("13.5 MJ/m²").likely,
        "1 kW for an hour is 3.6 MJ, so an hour of full sun brings 3.6 MJ/m². 13.5 over 3.6.",
        slips={
            "Those are megajoules; a kilowatt-hour is 3.6 of them.": lambda: Q(13.5, "h"),
            "You multiplied by 3.6; an hour brings 3.6 MJ/m², so divide.": lambda: Q(13.5 * 3.6, "h"),
        },
    ),
    Exercise(
        "7.11",
        "The box of a blue lamp says 30.0 lm. Of its colour a watt of light counts as 60.0 lm, and a joule is 3.93 µmol "
        "of photons. How many photons does it send out, in µmol/s?",
        _lamp,
        "30.0 lm over 60.0 lm/W is the power of the light, 0.500 W; a watt is a joule a second. Times 3.93 µmol/J.",
        slips={
            "683 lm/W holds for green light, where the eye sees best; this lamp has 60.0.": lambda: _lamp(683),
            "Lumens are not watts: divide by 60.0 lm/W first.": lambda: _lamp(1),
            "Watts are lumens over lumens per watt; you divided the other way round.": lambda: _lamp(15.0),
        },
    ),
    Exercise(
        "7.12",
        "A lamp lights a dish with 120 W/m² from 20.0 cm. What irradiance do you expect at 15.0 cm, if the lamp is small "
        "beside both distances?",
        _nearer,
        "The same light spreads over an area that grows as the square of the distance: 120 times (20.0/15.0)².",
        slips={
            "You took the ratio of the distances; the area goes with its square.": lambda: Q(160, "W/m**2"),
            "Nearer to the lamp there is more light, so the larger distance goes on top.": lambda: Q(67.5, "W/m**2"),
        },
    ),
    Exercise(
        "7.13",
        "Water 4.00 cm deep holds 0.300 g of powder in each litre. Suppose each gram absorbs as 0.120 m² do: the share "
        "absorbed is 1 - exp(-absorption × load), with the load per lit area. How much is that, in percent?",
        _absorbed,
        "0.300 g/L are 300 g/m³; times 0.0400 m that is a load of 12.0 g/m². Times 0.120 m²/g that is 1.44, and the share "
        "is 1 less e to the power of -1.44.",
        slips={
            "That is what passes; the rest is absorbed.": lambda: Q(100, "percent") - _absorbed(),
            "Light fades as it goes deeper: more than all of it cannot be absorbed. Take 1 - exp(-1.44).": lambda: Q(
                144, "percent"
            ),
            "4.00 cm are 0.0400 m, and 0.300 g/L are 300 g/m³.": lambda: _absorbed(0.00400),
            "That is ten to the power of -1.44; this absorption goes with e.": lambda: Q(
                100 * (1 - 10**-1.44), "percent"
            ),
        },
    ),
    Exercise(
        "7.14",
        "2.40 mmol of photons above the gap each move one electron. If every electron ended in methanol, CO2 + 6 H+ + 6 e- "
        "-> CH3OH + H2O, how many milligrams would that be at the very most? (Methanol: 32.04 g/mol.)",
        lambda: _methanol(electrons_per_molecule("methanol")),
        "Six electrons make one molecule: 2.40 mmol over six. Times 32.04 g/mol.",
        slips={
            "Two electrons are for hydrogen; methanol takes six.": lambda: _methanol(2),
            "You took one electron for each molecule; the half-reaction has six.": lambda: _methanol(1),
            "You multiplied by six; six electrons go into one molecule.": lambda: _methanol(1 / 6),
        },
    ),
    Exercise(
        "7.15",
        "How much hydrogen has to burn to bring 300 g of water from 22.0 to 90.0 °C, if no heat is lost? (Water takes "
        "4.19 J/g/K; burning gives 285.8 kJ for each mole of hydrogen.)",
        _kettle,
        "300 g times 4.19 J/g/K times 68.0 K is the heat, 85.5 kJ. Over 285.8 kJ/mol.",
        slips={
            "It warms by 68.0 K: take the start off the end.": lambda: _kettle(90.0),
            "A rise needs no 273: 68.0 °C more is 68.0 K more.": lambda: _kettle(68.0 + 273.15),
            "237.1 kJ/mol is the least work to split water; burning gives 285.8.": lambda: (
                _kettle() * value("hydrogen", "heat of burning") / value("constants", "Gibbs energy of splitting water")
            ),
        },
    ),
)
