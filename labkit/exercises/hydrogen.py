"""Workbook 07: photons to hydrogen, gas to moles, yields and efficiencies.  All numbers are invented."""

from labkit.chemistry.gas import amount_from_gas_volume, dry_pressure, water_vapour_pressure
from labkit.data import value
from labkit.exercises.exercise import Exercise
from labkit.hydrogen import (
    apparent_quantum_yield,
    hydrogen_ceiling,
    hydrogen_from_current,
    hydrogen_from_photons,
    hydrogen_volume,
    solar_to_hydrogen,
)
from labkit.light import photons_from_energy
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
)
