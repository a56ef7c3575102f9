"""The gap that a curve of absorption gives, and the uncertainty of it by part: plain numbers in eV."""

from dataclasses import dataclass, replace

import numpy as np

from labkit.light.edge import (
    Baseline,
    absorption,
    baseline_below,
    curve_from,
    line_between,
    onset,
    straight_part,
    tauc_values,
)
from labkit.light.reflectance import energy_length

BEFORE, BEYOND = 0.15, 1.0  # eV around the onset in which the straight part is looked for; our choice
CLEAR = 0.06  # eV between the onset and what is taken for below it; our choice
FOOT = (0.2, 0.1)  # eV below the gap: what is absorbed there may be the foot of the edge or lie under it; our choice
ROOM = 0.15  # eV that has to be measured below the onset for a baseline; our choice
SLIGHT = 0.004  # of the absorption on the edge: a baseline below this changes nothing; our choice
STRAY = (
    0.01  # of the light, our guess from memory: never was in the powder, as gloss, or is stray light of the instrument
)
REFERENCE = (
    0.01,
    0.05,
)  # by how much the white reference may be off, our guess from memory: as dim as the powder, within these
SCALE_ERROR = 0.5  # nm, our guess for the wavelength scale of a bench spectrometer, from memory


@dataclass(frozen=True)
class Crossing:
    """Where the straight part meets its foot, in eV.

    ``parts`` are standard uncertainties by name.  ``baseline`` is what lies under the edge, if anything was found,
    ``taken`` how it was treated: ``"none"``, ``"subtract"`` or ``"crossing"``; ``foot`` is the line of the plot
    that was crossed, None for the axis.  ``shift`` is by how much the answer differs from subtracting.
    ``room`` is whether enough was measured below the edge for a baseline, ``seen`` whether one was found there.
    """

    gap: float
    parts: dict
    stretch: object
    baseline: Baseline | None
    taken: str
    foot: object = None
    shift: float = 0.0
    room: bool = True
    seen: bool = True

    @property
    def uncertainty(self):
        return float(np.sqrt(sum(part**2 for part in self.parts.values())))


def crossing_of(curve, power, region=None, baseline="auto", below=None):
    """Return the Crossing of a curve, or None if nothing rises.

    Parameters
    ----------
    curve : labkit.light.edge.Curve
    power : float
        2 for a direct transition, 1/2 for an indirect one.
    region : (low, high) in eV, optional
        Of the straight part; found if left out.
    baseline : "auto", "none", "subtract" or "crossing"
        “auto” subtracts a baseline if there is one that matters.
    below : (low, high) in eV, optional
        Where the baseline is fitted; found if left out.
    """
    found = _straight(curve, power, region, None)
    if found is None:
        return None
    under, room, matters = None, True, False
    for _ in range(2):  # the baseline needs to know where the edge begins, and moves it a little
        under, room, matters = _under(curve, found[0], below)
        if under is None or baseline in ("none", "crossing") or (baseline == "auto" and not matters):
            break
        found = _straight(curve, power, region, under) or found
    subtract = under is not None and (baseline == "subtract" or (baseline == "auto" and matters))
    taken = "subtract" if subtract else "crossing" if under is not None and baseline == "crossing" else "none"
    best, crossings, weights = found
    line = _line(curve, power, best, under if subtract else None)
    if line is None or not line.slope > 0 or not np.isfinite(line.crossing):
        return None
    parts = {"region": float(np.sqrt((weights * (crossings - best.crossing) ** 2).sum() / weights.sum()))}
    gap, foot, shift = line.crossing, None, 0.0
    if taken == "crossing":
        y, scatter = tauc_values(curve, power)
        foot = line_between(curve.energy, y, scatter, under.low, under.high)
        gap = _meeting(line, foot)
    parts["noise"] = line.error
    if under is not None:
        parts |= _baseline_parts(curve, power, best, under)
        if not subtract and (matters or taken == "crossing"):
            shift = gap - _line(curve, power, best, under).crossing
            parts["baseline"] = float(np.hypot(parts["baseline"], shift / 2))  # so that the range reaches it
    elif baseline != "none":
        parts["baseline"] = _unseen(curve, power, best)
    parts |= _light_parts(curve, power, best, under if subtract else None)
    parts["step"] = _step(curve, gap)
    parts["wavelength scale"] = SCALE_ERROR * gap**2 / energy_length()
    return Crossing(float(gap), parts, replace(line, bend=best.bend, misfit=best.misfit), under if subtract or matters or taken == "crossing" else None,
                    taken, foot, float(shift), room, under is not None)  # fmt: skip


def _straight(curve, power, region, under):
    """Return (best Stretch, crossings, weights), found or within a region set by hand."""
    y, scatter = tauc_values(curve, power, under)
    if region is None:
        start = onset(curve)
        return straight_part(curve.energy, y, scatter, start - BEFORE, start + BEYOND)
    low, high = region
    best = line_between(curve.energy, y, scatter, low, high)
    if best is None or best.slope <= 0:
        return None
    shifts = np.array([-0.2, 0.0, 0.2]) * (high - low)  # how far a hand might have set the ends otherwise
    others = [line_between(curve.energy, y, scatter, low + one, high + two) for one in shifts for two in shifts]
    crossings = np.array([other.crossing for other in others if other is not None and other.slope > 0])
    return best, crossings, np.ones(crossings.size)


def _line(curve, power, stretch, under):
    y, scatter = tauc_values(curve, power, under)
    return line_between(curve.energy, y, scatter, stretch.low, stretch.high)


def _under(curve, best, below):
    """Return the Baseline below the edge (or None), whether there was room for one, and whether it matters."""
    middle = float(np.interp(best.middle, curve.energy, curve.absorbed))
    if below is not None:
        under, room = baseline_below(curve, below[1], middle, below[0]), True
    else:
        high = min(best.crossing, onset(curve)) - CLEAR
        room = high - curve.energy[0] >= ROOM
        under = baseline_below(curve, high, middle) if room else None
    if under is None:
        return None, room, False
    if abs(under.slope) < 2 * under.slope_error:
        under = replace(under, slope=0.0)
    error = np.hypot(under.level_error, under.slope_error * (best.crossing - under.pivot))
    return (
        under,
        room,
        bool(abs(under.at(best.crossing)) > max(3 * error, SLIGHT * abs(middle - under.at(best.middle)))),
    )


def _moved(curve, power, best, under, other, other_curve=None):
    """Return how far the crossing moves if another baseline, or another curve, is taken; infinite if nothing rises then."""
    first = _line(curve, power, best, under)
    second = _line(other_curve or curve, power, best, other)
    moved = abs(second.crossing - first.crossing) if second.slope > 0 else np.inf
    return float(moved) if np.isfinite(moved) else np.inf


def _baseline_parts(curve, power, best, under):
    """Return what the baseline adds to the uncertainty: its own scatter, and that it need not go on straight."""
    gap = _line(curve, power, best, under).crossing
    foot = (curve.energy >= gap - FOOT[0]) & (curve.energy <= gap - FOOT[1])
    more = float(np.mean(absorption(curve.smooth[foot]) - under.at(curve.energy[foot]))) if foot.any() else 0.0
    others = (
        replace(under, level=under.level + under.level_error),
        replace(under, slope=under.slope + under.slope_error),
        replace(under, level=under.at(under.high), slope=0.0),
        replace(under, level=under.level + max(more, 0.0)),  # as if the foot of the edge lay under it
    )
    level, slope, flat, foot = (_moved(curve, power, best, under, other) for other in others)
    return {"baseline scatter": float(np.hypot(level, slope)), "baseline": max(flat, foot) / 2}


def _unseen(curve, power, best):
    """Return by how much the gap moves if all that is absorbed where the spectrum begins lies under the edge too.

    Without a straight part below the edge nobody knows how much of it does.
    """
    start = float(curve.energy[0])
    level = float(absorption(curve.smooth[:3].mean()))
    return _moved(curve, power, best, None, Baseline(level, 0.0, start, 0.0, 0.0, start, start))


def _light_parts(curve, power, best, under):
    """Return what light that never was in the powder, and a white reference that is not white, add to the uncertainty."""
    stray = min(STRAY, curve.reflectance.min() / 2)
    dim = float(np.clip(1 - curve.smooth.max(), *REFERENCE))
    changes = {
        "stray light": (curve.reflectance - stray) / (1 - stray),
        "white reference": curve.reflectance / (1 - dim),
    }
    parts = {}
    for name, reflectance in changes.items():
        other, moved = curve_from(curve.energy, reflectance), under
        if under is not None:  # the baseline moves with the curve
            inside = (curve.energy >= under.low - 1e-9) & (curve.energy <= under.high + 1e-9)
            moved = replace(under, level=under.level + float(np.mean(other.absorbed[inside] - curve.absorbed[inside])))
        parts[name] = _moved(curve, power, best, under, moved, other)
    return parts


def _meeting(line, foot):
    """Return the energy where two lines of the plot meet."""
    return (line.slope * line.middle - line.height - foot.slope * foot.middle + foot.height) / (line.slope - foot.slope)


def _step(curve, gap):
    """Return the standard uncertainty of a place between two points, taken as even chances from one to the next."""
    place = int(np.clip(np.searchsorted(curve.energy, gap), 1, curve.energy.size - 1))
    return float((curve.energy[place] - curve.energy[place - 1]) / np.sqrt(12))
