"""Light: the energy of a photon, the photons of the sun, and the colour of a powder."""

from labkit.light.beam import irradiance_at_distance
from labkit.light.colour import (
    COLOUR_IS_ROUGH,
    PowderColour,
    colour_seen,
    colours,
    gap_range_for_colour,
    light_absorbed,
    powder_colour,
)
from labkit.light.days import day_of_year, day_text
from labkit.light.filter import NOTHING, Filter, glass_jar, long_pass, photon_flux_behind
from labkit.light.irradiation import LOW_SUN, as_irradiation, hours_of_full_sun, photons_in_irradiation
from labkit.light.lamp import (
    Lamp,
    lamp_flux_above,
    lamp_share_above,
    lamp_spectrum,
    photons_per_joule,
    radiant_power_from_electrical,
)
from labkit.light.lux import NEARLY_BLIND, irradiance_from_lux, lumens_per_watt, radiant_power_from_lumens
from labkit.light.observer import luminous_efficiency, srgb_from_xyz, xyz_from_reflectance
from labkit.light.photograph import ColourVerdict, colour_verdict, gap_range_from_colour, srgb_from_text
from labkit.light.photon import (
    frequency_from_gap,
    gap_from_frequency,
    gap_from_molar_energy,
    gap_from_wavelength,
    molar_energy_from_gap,
    photon_flux_from_irradiance,
    photons_from_energy,
    wavelength_from_gap,
)
from labkit.light.place import SunDay, SunYear, sun_day, sun_year
from labkit.light.reflectance import Reflectance, kubelka_munk, reflectance_from_kubelka_munk
from labkit.light.spectrum import read_reflectance
from labkit.light.sun import (
    irradiance_above,
    irradiance_total,
    photon_flux_above,
    photon_flux_total,
    share_above,
    sun_spectrum,
)
from labkit.light.tauc import GapFit, GapReport, gap_report, tauc_gap

__all__ = ["COLOUR_IS_ROUGH", "ColourVerdict", "Filter", "GapFit", "GapReport", "LOW_SUN", "Lamp", "NEARLY_BLIND", "NOTHING",
           "PowderColour", "Reflectance", "SunDay", "SunYear", "as_irradiation", "colour_seen", "colour_verdict", "colours",
           "day_of_year", "day_text", "frequency_from_gap", "gap_from_frequency", "gap_from_molar_energy",
           "gap_from_wavelength", "gap_range_for_colour", "gap_report", "gap_range_from_colour", "glass_jar", "hours_of_full_sun",
           "irradiance_above", "irradiance_at_distance", "irradiance_from_lux", "irradiance_total",
           "kubelka_munk", "lamp_flux_above", "lamp_share_above", "lamp_spectrum", "light_absorbed", "long_pass",
           "lumens_per_watt", "luminous_efficiency", "molar_energy_from_gap", "photon_flux_above",
           "photon_flux_behind", "photon_flux_from_irradiance", "photon_flux_total", "photons_from_energy",
           "photons_in_irradiation", "photons_per_joule", "powder_colour", "radiant_power_from_electrical",
           "radiant_power_from_lumens", "read_reflectance", "reflectance_from_kubelka_munk", "share_above", "srgb_from_text", "srgb_from_xyz", "sun_day", "sun_spectrum",
           "sun_year", "tauc_gap", "wavelength_from_gap", "xyz_from_reflectance"]  # fmt: skip
