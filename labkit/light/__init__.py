"""Light: the energy of a photon, the photons of the sun, and the colour of a powder."""

from labkit.light.colour import COLOUR_IS_ROUGH, colour_seen, colours, gap_range_for_colour, light_absorbed
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
from labkit.light.sun import (
    irradiance_above,
    irradiance_total,
    photon_flux_above,
    photon_flux_total,
    share_above,
    sun_spectrum,
)

__all__ = ["COLOUR_IS_ROUGH", "colour_seen", "colours", "frequency_from_gap", "gap_from_frequency",
           "gap_from_molar_energy", "gap_from_wavelength", "gap_range_for_colour", "irradiance_above",
           "irradiance_total", "light_absorbed", "molar_energy_from_gap", "photon_flux_above",
           "photon_flux_from_irradiance", "photon_flux_total", "photons_from_energy", "share_above",
           "sun_spectrum", "wavelength_from_gap"]  # fmt: skip
