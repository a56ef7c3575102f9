"""The cold junction of a logged voltage: what is added for it, and how far a guess of it moves the readings."""

from functools import cache

import numpy as np

from labkit.errors import RangeProblem
from labkit.heat.probe import celsius_of, emf
from labkit.units import as_range

JUNCTION = "0 to 45 °C, likely 20 °C"  # our guess where none is given; at 0 °C is that of a logger that adds it itself
LOWEST, HIGHEST = -50.0, 150.0  # °C: a junction beside the hottest kiln is colder than this


@cache
def guessed_junction():
    """Return the Range that is taken where no junction is given.

    >>> print(guessed_junction())
    0 to 45 °C, likely 20 °C
    """
    return as_range(JUNCTION, "[temperature]", "junction")


def junction_voltages(junction):
    """Return the voltages (mV) of the junction at its low, likely and high temperature, and a note."""
    span = guessed_junction() if junction is None else as_range(junction, "[temperature]", "junction")
    low, likely, high = span.m_as("degC")
    if not LOWEST <= low <= high <= HIGHEST:
        raise RangeProblem(
            "The junction is where the probe meets the logger, at a room's temperature. Type junction='20 °C'."
        )
    if junction is None:
        note = f"The junction was taken to be at {likely:g} °C, a guess that moves all readings with it: give yours."
    elif low < high:
        note = f"The voltage of a junction at {likely:g} °C was added; from {low:g} to {high:g} °C are left open."
    else:
        note = f"The voltage of a junction at {likely:g} °C was added."
    return tuple(float(emf(end)) for end in (low, likely, high)), note


def junction_shift(celsius, colds):
    """Return how far (K, low and high) another temperature of the junction would move any of the readings."""
    low, likely, high = colds
    voltages = emf(celsius)
    moved = [celsius_of(voltages + (cold - likely)) - celsius for cold in (low, high)]
    return float(np.nanmin(moved[0], initial=0)), float(np.nanmax(moved[1], initial=0))
