"""The slope of a run of gas readings, put right for temperature and pressure, with what is left open in it."""

from dataclasses import dataclass
from math import sqrt

import numpy as np

from labkit.data import guess
from labkit.errors import RangeProblem
from labkit.hydrogen.drift import corrected_volumes, drift_volume
from labkit.hydrogen.segments import Parts, straight_part
from labkit.units import Q, Range, as_range, number
from labkit.units.propagation import effective_freedom
from labkit.units.straight_line import Line, straight_line

SCATTER, SIZE = "scatter of the readings", "size of the gas above the water"
_SHORTEST = 3  # readings in a part chosen by hand


@dataclass(frozen=True)
class Setting:
    """What surrounds the readings: gas there before (Range), its temperature and pressure (Range), over water or dry,
    half the range of their moves over a run (None: what is usual), and the step of the scale in mL (None: as found)."""

    headspace: Range
    temperature: Range
    pressure: Range
    over_water: bool = True
    temperature_move: object = None
    pressure_move: object = None
    step: float | None = None


@dataclass(frozen=True)
class Slope:
    """A rate in mL/h before anything is taken off it: ``size``, its parts of uncertainty (name, mL/h, degrees of freedom),
    the Line (h, mL) and the Parts it was fitted to, all minutes, the volumes (mL) put right for what is named in ``corrected``
    (temperature, pressure), and the temperatures and
    volumes as they were read; ``u_reading`` (mL) is the standard uncertainty of one reading."""

    size: float
    parts: tuple
    line: Line
    found: Parts
    minutes: np.ndarray
    millilitres: np.ndarray
    corrected: tuple = ()
    read_celsius: np.ndarray | None = None
    as_read: np.ndarray | None = None
    u_reading: float = 0.0

    @property
    def u(self):
        """Standard uncertainty, mL/h."""
        return sqrt(sum(u**2 for _, u, _ in self.parts))

    @property
    def dof(self):
        """Effective degrees of freedom of ``u``: few if most of it is the scatter of few readings."""
        return effective_freedom([u for _, u, _ in self.parts], [free for *_, free in self.parts], self.u, True)


def slope_of(readings, setting, part=None, whole=False):
    """Return the Slope of readings in a Setting: of the straight part that is found, of one chosen by hand, or of the ``whole``."""
    minutes, volumes, corrected = readings.minutes, readings.millilitres, []
    there = setting.headspace.m_as("mL")
    read = {"temperature": readings.celsius, "pressure": readings.hectopascals}
    if any(column is not None for column in read.values()):
        around = [setting.temperature.m_as("degC")[1], setting.pressure.m_as("hPa")[1]]
        around = [flat if column is None else column for flat, column in zip(around, read.values())]
        ends = [corrected_volumes(volumes, *around, size, setting.over_water) for size in there]
        volumes, corrected = ends[1], [name for name, column in read.items() if column is not None]
    found = _part(minutes, volumes, part) if part is not None else None
    if found is None:
        found = Parts(0, minutes.size - 1, False) if whole or minutes.size < 3 else straight_part(minutes, volumes)
    inside = slice(found.start, found.end + 1)
    if minutes[inside].size < 3:
        raise RangeProblem("A rate needs three readings or more in its straight part. Two only make a line, without any uncertainty.")  # fmt: skip
    hours = minutes[inside] / 60
    line, like = straight_line(hours, volumes[inside]), (1 + found.likeness) / (1 - found.likeness)
    step = _step(readings.millilitres) if setting.step is None else setting.step
    u_reading = max(line.s * sqrt(like), step / sqrt(12))
    away = hours - hours.mean()
    parts = [(SCATTER, u_reading / sqrt(float(away @ away)), line.dof)]
    # The gas that can drift is what was there and what came; where that is a guess, at its most.
    came = float(volumes[inside].mean() - volumes[0])
    gas = Q(max(there[2] + came, 0.0), "mL")
    for name, u in _moves(gas, setting, corrected).items():
        parts.append((name, u / float(np.ptp(hours)), np.inf))
    if corrected and there[2] > there[0]:
        low, high = (straight_line(hours, end[inside]).slope for end in (ends[0], ends[2]))
        parts.append((SIZE, abs(high - low) / 2 / sqrt(3), np.inf))
    return Slope(line.slope, tuple(parts), line, found, minutes, volumes, tuple(corrected),
                 readings.celsius, readings.millilitres, u_reading)  # fmt: skip


def _moves(gas, setting, corrected):
    """Return {what: standard uncertainty in mL} of what moves of temperature and pressure leave open over a run."""
    at = {
        "temperature": setting.temperature.likely,
        "pressure": setting.pressure.likely,
        "over_water": setting.over_water,
    }
    warmer, higher = left_open(setting, corrected)
    names = ("thermometer" if "temperature" in corrected else "warming of the gas",
             "barometer" if "pressure" in corrected else "air pressure")  # fmt: skip
    grown = drift_volume(gas, warmer, **at), drift_volume(gas, "0 K", higher, **at)
    return {name: abs(number(size, "mL")) / sqrt(3) for name, size in zip(names, grown)}


def left_open(setting, corrected, most=False):
    """Return how far temperature and pressure may have moved, up or down, beyond what was put right; as two quantities.

    Where that is a guess, its likely value, or with ``most`` its high end.
    """
    found = []
    for name, given, stray in (
        ("temperature", setting.temperature_move, "stray of the thermometer"),
        ("pressure", setting.pressure_move, "stray of the barometer"),
    ):
        if name in corrected:
            span = guess("gas_run", stray)
            found.append(span.high if most else span.likely)
        elif given is None:
            span = guess("gas_run", f"move of the {'air pressure' if name == 'pressure' else name}")
            found.append(span.high if most else span.likely)
        else:
            found.append(given)
    return found


def _part(minutes, volumes, part):
    low, _, high = as_range(part, "[time] >= 0", "part").m_as("min")
    inside = np.flatnonzero((minutes >= low - 1e-9) & (minutes <= high + 1e-9))
    if inside.size < _SHORTEST:
        raise RangeProblem(
            f"There are {inside.size} readings in the part chosen; a rate needs three. Take a longer part."
        )
    return Parts(int(inside[0]), int(inside[-1]), True)


def _step(millilitres):
    """Return the smallest step between two readings, at most a twentieth of what came: the last digit that was read."""
    steps = np.diff(np.unique(np.round(millilitres, 9)))
    return min(float(steps.min()), float(np.ptp(millilitres)) / 20) if steps.size else 0.0
