"""Workbook 04: gap, edge, photons of the sun, colour.  All numbers are invented."""

from labkit.data import value
from labkit.exercises.exercise import Exercise
from labkit.light import (
    gap_from_wavelength,
    irradiance_above,
    molar_energy_from_gap,
    photon_flux_above,
    photon_flux_total,
    wavelength_from_gap,
)
from labkit.units import Q


def _surplus():
    return gap_from_wavelength("395 nm") - Q(2.80, "eV")


def _on_dish(flux):
    return (flux * Q(12.0, "cm") * Q(8.00, "cm") * Q(25.0, "min")).to("mmol")


def _current():
    return (photon_flux_above("2.20 eV") * value("constants", "Faraday constant")).to("mA/cm**2")


def _under_lamp(wavelength="450 nm"):
    return (Q(1480, "lux") / value("lumens", wavelength)).to("W/m**2")


def _kept():
    return (photon_flux_above("2.70 eV") * molar_energy_from_gap("2.70 eV")).to("W/m**2")


def _ratio(function):
    return (function("2.50 eV") / function("3.00 eV")).to("dimensionless")


EXERCISES = (
    Exercise(
        "4.1",
        "A powder has a gap of 2.62 eV. At what wavelength is its edge? (h c is 1239.84 eV nm.)",
        lambda: wavelength_from_gap("2.62 eV"),
        "1239.84 eV nm over 2.62 eV.",
        slips={
            "You multiplied by the gap; divide 1239.84 eV nm by it.": lambda: Q(1239.84 * 2.62, "nm"),
            "The fraction is upside down: 1239.84 eV nm over the gap.": lambda: Q(2.62 / 1239.84, "nm"),
        },
    ),
    Exercise(
        "4.2",
        "A paper gives no gap, but an absorption edge at 437 nm. What gap is that? (h c is 1239.84 eV nm.)",
        lambda: gap_from_wavelength("437 nm"),
        "1239.84 eV nm over 437 nm.",
        slips={
            "You multiplied by the wavelength; divide 1239.84 eV nm by it.": lambda: Q(1239.84 * 437, "eV"),
            "The fraction is upside down: 1239.84 eV nm over the wavelength.": lambda: Q(437 / 1239.84, "eV"),
        },
    ),
    Exercise(
        "4.3",
        "A 395 nm lamp shines on powder with a gap of 2.80 eV. How much energy of each photon is left over and turns "
        "to heat? (h c is 1239.84 eV nm.)",
        _surplus,
        "A photon of 395 nm carries 1239.84 over 395, 3.14 eV. Take 2.80 eV off; of three figures two are left.",
        figures=2,
        slips={
            "That is the whole photon; take the gap off.": lambda: gap_from_wavelength("395 nm"),
            "You took the difference of the wavelengths; energies may be subtracted, wavelengths not.": lambda: (
                gap_from_wavelength(wavelength_from_gap("2.80 eV") - Q(395, "nm"))
            ),
        },
    ),
    Exercise(
        "4.4",
        "How much energy does one mole of photons of 2.85 eV carry? (1 eV for each of a mole is 96.485 kJ/mol.)",
        lambda: molar_energy_from_gap("2.85 eV"),
        "1 eV for each of a mole is 96.485 kJ/mol; take it 2.85 times.",
        slips={
            "You divided by 96.485; multiply.": lambda: Q(2.85 / 96.485, "kJ/mol"),
            "That is two photons, as one H2 needs; the question asks for a mole of photons.": lambda: (
                2 * molar_energy_from_gap("2.85 eV")
            ),
        },
    ),
    Exercise(
        "4.5",
        "Standard sunlight brings 414 µmol/m²/s of photons above 2.70 eV. How many fall on a dish of 12.0 cm by "
        "8.00 cm in 25.0 min?",
        lambda: _on_dish(photon_flux_above("2.70 eV")),
        "Flux times area times time: 414 µmol/m²/s times 0.00960 m² times 1500 s.",
        slips={
            "The flux is per second; turn the minutes into seconds.": lambda: (
                _on_dish(photon_flux_above("2.70 eV")) / 60
            ),
            "A square metre has 10 000 square centimetres, not 100.": lambda: (
                _on_dish(photon_flux_above("2.70 eV")) * 100
            ),
            "Those are all photons of sunlight; take only the ones above the gap.": lambda: _on_dish(
                photon_flux_total()
            ),
        },
    ),
    Exercise(
        "4.6",
        "Above 2.20 eV standard sunlight has 1101 µmol/m²/s of photons. If each sets one electron going, what current "
        "per area is that, in mA/cm²? (A mole of electrons is 96 485 C.)",
        _current,
        "Times 96 485 C/mol gives A/m²; a tenth of that number is mA/cm².",
        slips={
            "One photon, one electron; the two of H2 do not enter here.": lambda: 2 * _current(),
            "That number is in A/m²; 1 A/m² is 0.1 mA/cm².": lambda: 10 * _current(),
        },
    ),
    Exercise(
        "4.7",
        "Above 2.70 eV standard sunlight brings 122 W/m² in 414 µmol/m²/s of photons. A photon is worth 2.70 eV at "
        "most, the rest of it turns to heat. How much of the 122 W/m² is not lost in this way? (1 eV for each "
        "of a mole is 96.485 kJ/mol.)",
        _kept,
        "2.70 eV is 260.5 kJ/mol; times 414 µmol/m²/s.",
        slips={
            "That is all the power above the gap; count 2.70 eV for each photon.": lambda: irradiance_above("2.70 eV"),
            "That is the part that turns to heat; the question asks for the rest.": lambda: (
                irradiance_above("2.70 eV") - _kept()
            ),
        },
    ),
    Exercise(
        "4.8",
        "A lux meter under a 450 nm lamp shows 1480 lx. At 450 nm one watt of light counts as 26.0 lumens only (CIE "
        "1924). What power per area falls on the meter?",
        _under_lamp,
        "1480 lumens per square metre over 26.0 lumens per watt.",
        slips={
            "683 lumens per watt hold at 555 nm, in the green; at 450 nm it is 26.0.": lambda: _under_lamp("555 nm"),
            "You multiplied; lumens over lumens per watt gives watts.": lambda: Q(1480 * 26.0, "W/m**2"),
        },
    ),
    Exercise(
        "4.9",
        "By its colour alone a powder is pale yellow: its gap may be anything from 2.50 to 3.00 eV. How many times as "
        "many photons of standard sunlight lie above the narrow end as above the wide one? (photon_flux_above tells.)",
        lambda: _ratio(photon_flux_above),
        "642.7 µmol/m²/s above 2.50 eV, over 192.7 µmol/m²/s above 3.00 eV.",
        slips={
            "That is the power; count the photons.": lambda: _ratio(irradiance_above),
            "That is the ratio of the gaps; count the photons above each.": lambda: Q(3.00 / 2.50),
            "It is upside down; the narrow gap has more photons above it.": lambda: 1 / _ratio(photon_flux_above),
        },
    ),
)
