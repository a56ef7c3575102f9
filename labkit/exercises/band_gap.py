"""Workbook 04: gap, edge, photons of the sun, colour, a measured spectrum.  All numbers are invented."""

from math import hypot, sqrt

from labkit.data import value
from labkit.exercises.exercise import Exercise
from labkit.light import (
    gap_from_wavelength,
    irradiance_above,
    kubelka_munk,
    molar_energy_from_gap,
    photon_flux_above,
    photon_flux_total,
    reflectance_from_kubelka_munk,
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


def _crossing(first, second, level=0.0):
    """Return the energy in eV where the line through two points (eV, height) comes down to a level."""
    slope = (second[1] - first[1]) / (second[0] - first[0])
    return first[0] - (first[1] - level) / slope


_FIRST, _SECOND = (2.85, 0.420), (3.05, 1.140)


def _down(power):
    """Return the crossing in eV of 4.14, for a power of F E."""
    return _crossing((2.80, 0.0900**power), (3.00, 0.640**power))


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
    Exercise(
        "4.10",
        "A powder gives back 36.0 % of the light of one wavelength. What is its Kubelka-Munk function there, "
        "(1 − R)² over 2 R?",
        lambda: kubelka_munk("36.0 %"),
        "One minus 0.360 is 0.640. Its square, 0.4096, over 0.720.",
        slips={
            "R is a share here, not percent: 0.360.": lambda: (1 - 36.0) ** 2 / (2 * 36.0),
            "The upper part is squared.": lambda: (1 - 0.360) / (2 * 0.360),
            "Below stands twice R.": lambda: (1 - 0.360) ** 2 / 0.360,
        },
    ),
    Exercise(
        "4.11",
        "Where the Kubelka-Munk function F of a powder is 0.200, how many percent of the light come back? "
        "R is 1 + F − √(F² + 2 F).",
        lambda: reflectance_from_kubelka_munk(0.200).to("percent"),
        "F² is 0.0400 and 2 F is 0.400; the root of their sum is 0.663. Take it from 1.200.",
        slips={
            "That is the share that does not come back.": lambda: (
                Q(100, "percent") - reflectance_from_kubelka_munk(0.200).to("percent")
            ),
            "Under the root stands 2 F, not F.": lambda: Q(100 * (1.200 - sqrt(0.04 + 0.2)), "percent"),
        },
    ),
    Exercise(
        "4.12",
        "In a plot of (F E)² the straight part runs through 0.420 eV² at 2.85 eV and 1.140 eV² at 3.05 eV. "
        "Follow the line down to the axis: which gap does it give?",
        lambda: Q(_crossing(_FIRST, _SECOND), "eV"),
        "It climbs 0.720 eV² in 0.200 eV: 3.60 eV² for each eV. The 0.420 eV² take 0.420 over 3.60, 0.117 eV; go so "
        "far back from 2.85 eV.",
        slips={
            "You went up along the line; the axis lies to the left.": lambda: Q(
                2 * 2.85 - _crossing(_FIRST, _SECOND), "eV"
            ),
            "Divide the height by the slope.": lambda: Q(2.85 - 0.420 * 3.60, "eV"),
        },
    ),
    Exercise(
        "4.13",
        "The powder of such a plot also absorbs below its edge: a level ground of 0.0900 eV². The line climbs "
        "3.60 eV² for each eV. By how much does the gap grow if the line meets this ground and not the axis?",
        lambda: Q(_crossing(_FIRST, _SECOND, 0.0900) - _crossing(_FIRST, _SECOND), "eV"),
        "The line reaches 0.0900 eV² that much later: 0.0900 over 3.60.",
        slips={
            "Divide the height by the slope.": lambda: Q(0.0900 * 3.60, "eV"),
            "That is the slope over the height; turn it round.": lambda: Q(3.60 / 0.0900, "eV"),
        },
    ),
    Exercise(
        "4.14",
        "F E is 0.0900 eV at 2.80 eV and 0.640 eV at 3.00 eV; take each plot as straight between. By how much is the "
        "gap taken as direct, from (F E)², larger than the one taken as indirect, from √(F E)?",
        lambda: Q(_down(2) - _down(0.5), "eV"),
        "Direct: 0.00810 and 0.410 eV², a slope of 2.01, so 2.80 less 0.00403 eV. Indirect: 0.300 and 0.800 √eV, a slope "
        "of 2.50, so 2.80 less 0.120 eV. Take one from the other.",
        slips={
            "That is the direct gap itself; take the indirect one off.": lambda: Q(_down(2), "eV"),
            "That is the indirect gap itself; take it off the direct one.": lambda: Q(_down(0.5), "eV"),
            "You took one of them from F E itself; it is squared for direct, rooted for indirect.": lambda: Q(
                _down(1) - _down(0.5), "eV"
            ),
        },
    ),
    Exercise(
        "4.15",
        "By a photograph the gap of a powder lies from 2.55 to 3.10 eV. How many nanometres lie between the two ends "
        "of its edge? (h c is 1239.84 eV nm.)",
        lambda: wavelength_from_gap("2.55 eV") - wavelength_from_gap("3.10 eV"),
        "1239.84 over 2.55 is 486.2 nm, over 3.10 it is 399.9 nm. Take one from the other.",
        slips={
            "Turn each end into a wavelength first, and subtract then.": lambda: wavelength_from_gap(
                Q(3.10 - 2.55, "eV")
            ),
            "That is one end only; take the other off.": lambda: wavelength_from_gap("2.55 eV"),
            "That is the other end only; take it off the longer one.": lambda: wavelength_from_gap("3.10 eV"),
        },
    ),
    Exercise(
        "4.16",
        "A spectrometer steps by 2.00 nm. How far apart in energy are its points at 450.0 nm and 452.0 nm? "
        "(h c is 1239.84 eV nm.)",
        lambda: gap_from_wavelength("450.0 nm") - gap_from_wavelength("452.0 nm"),
        "1239.84 over 450.0 is 2.7552 eV, over 452.0 it is 2.7430 eV. Take one from the other.",
        slips={
            "Turn each wavelength into an energy first, and subtract then.": lambda: gap_from_wavelength("2.00 nm"),
            "That is one point only; take the other off.": lambda: gap_from_wavelength("450.0 nm"),
        },
    ),
    Exercise(
        "4.17",
        "A gap is unsure by 0.024 eV from the choice of the straight part and by 0.018 eV from the ground taken off, "
        "both standard uncertainties that do not depend on each other. What is its standard uncertainty?",
        lambda: Q(hypot(0.024, 0.018), "eV"),
        "The root of the sum of the squares: 0.000576 and 0.000324 eV² are 0.000900 eV².",
        figures=2,
        slips={
            "They seldom both pull the same way: add the squares, then take the root.": lambda: Q(0.024 + 0.018, "eV"),
            "That leaves the smaller one out.": lambda: Q(0.024, "eV"),
            "Take the root of the sum of the squares.": lambda: Q(0.024**2 + 0.018**2, "eV**2").magnitude,
        },
    ),
)
