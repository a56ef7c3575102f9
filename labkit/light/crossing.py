"""The gap that a curve of absorption gives, and the uncertainty of it by part: plain numbers in eV."""

from dataclasses import dataclass, replace

import numpy as np

from labkit.light.background import UNEVEN, growth_instead, levels_below, light_kept, seen_through, unevenness
from labkit.light.edge import (
    FEW_KNOTS,
    KNOTS,
    Baseline,
    absorption,
    baseline_again,
    baseline_below,
    line_between,
    onset,
    straight_part,
    tauc_values,
)
from labkit.light.readable import WIDTH
from labkit.light.reflectance import energy_length

BEFORE, BEYOND = 0.15, 1.0  # eV around the onset in which the straight part is looked for; our choice
CLEAR = 0.06  # eV between the onset and what is taken for below it; our choice
FOOT = (0.2, 0.1)  # eV below the gap: what is absorbed there may be the foot of the edge or lie under it; our choice
ROOM = 0.15  # eV that has to be measured below the onset for a baseline; our choice
MATTERS = 0.01  # eV: a band that moves the gap by less is no matter; our choice
SLIGHT = 0.004  # of the absorption on the edge: a baseline below this changes nothing; our choice
STRAY = 0.02  # of the light, our guess from memory: never was in the powder, as gloss, or is stray light or the powder's own glow
LEVEL = 0.03  # of the light, our guess from memory: what a white reference is off alike everywhere
DRIFT = 0.01  # of the light over 100 nm, our guess from memory: what it or a lamp drifts without being seen
FAINT = 0.01  # of the light, or of the absorption: too little to look for the straight part again; our choice
SCALE_ERROR = 0.5  # nm, our guess for the wavelength scale of a bench spectrometer, from memory


@dataclass(frozen=True)
class Crossing:
    """Where the straight part meets its foot, in eV.

    ``parts`` are standard uncertainties by name.  ``baseline`` is what lies under the edge, if anything was found,
    ``taken`` how it was treated: ``"none"``, ``"subtract"`` or ``"crossing"``; ``foot`` is the line of the plot
    that was crossed, None for the axis.  ``shift`` is by how much the answer differs from subtracting.
    ``room`` is whether enough was measured below the edge for a baseline, ``seen`` whether one was found there,
    ``banded`` whether what is absorbed there is uneven, as a band of a dopant is, and that matters.
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
    banded: bool = False

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
    if region is None and best.high - best.low < WIDTH[0]:
        parts["region"] = float(np.hypot(parts["region"], _widened(curve, power, best, line.crossing, under if subtract else None) / 2))  # fmt: skip
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
        parts["baseline"] = _unseen(curve, power, best, line.crossing)
    taken_off = under if subtract else None
    parts |= _light_parts(curve, power, best, line.crossing, taken_off)
    parts |= _other_parts(curve, power, region, best, line.crossing, under, taken_off)
    parts["step"] = _step(curve, gap)
    parts["wavelength scale"] = SCALE_ERROR * gap**2 / energy_length()
    return Crossing(float(gap), parts, replace(line, bend=best.bend, misfit=best.misfit), under if subtract or matters or taken == "crossing" else None,
                    taken, foot, float(shift), room, under is not None, parts.get("band below the edge", 0.0) > MATTERS)  # fmt: skip


def _straight(curve, power, region, under, most=KNOTS):
    """Return (best Stretch, crossings, weights), found or within a region set by hand."""
    y, scatter = tauc_values(curve, power, under)
    if region is None:
        start = onset(curve)
        return straight_part(curve.energy, y, scatter, start - BEFORE, start + BEYOND, most)
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


def _widened(curve, power, best, crossing, under):
    """Return how far the crossing moves if a short stretch is made twice as long: it may be straight by chance, and has no rivals."""
    half = (best.high - best.low) / 2
    return _moved(curve, power, replace(best, low=best.low - half, high=best.high + half), crossing, under)


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


def _moved(curve, power, best, crossing, other):
    """Return how far the crossing moves if another baseline, or another curve, is taken; infinite if nothing rises then."""
    line = _line(curve, power, best, other)
    moved = abs(line.crossing - crossing) if line.slope > 0 else np.inf
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
    level, slope, flat, foot = (_moved(curve, power, best, gap, other) for other in others)
    return {"baseline scatter": float(np.hypot(level, slope)), "baseline": max(flat, foot) / 2}


def _unseen(curve, power, best, crossing):
    """Return by how much the gap moves if all that is absorbed where the spectrum begins lies under the edge too.

    Without a straight part below the edge nobody knows how much of it does.
    """
    start = float(curve.energy[0])
    level = float(absorption(curve.smooth[:3].mean()))
    return _moved(curve, power, best, crossing, Baseline(level, 0.0, start, 0.0, 0.0, start, start))


def _light_parts(curve, power, best, crossing, under):
    """Return what light that never was in the powder, and a white reference that is not quite white, add to the uncertainty."""
    far = DRIFT / 100 * energy_length() * (1 / curve.energy - 1 / best.middle)
    drifts = [1 + sign * change for change in (LEVEL, np.clip(far, -0.1, 0.1)) for sign in (-1, 1)]
    level, drift = (max(_moved_with(power, best, crossing, under, seen_through(curve, kept)) for kept in pair) for pair in (drifts[:2], drifts[2:]))  # fmt: skip
    stray = min(STRAY, curve.reflectance.min() / 2)  # two of these are no more than the darkest point has
    return {"stray light": _moved_with(power, best, crossing, under, seen_through(curve, 1 - stray, stray)),
            "white reference": float(np.hypot(level, drift))}  # fmt: skip


def _other_parts(curve, power, region, best, crossing, under, taken_off):
    """Return half of how far the crossing moves if what is below the edge is read in other ways, so that the range reaches them.

    Light may be lost and not absorbed, an absorption may grow ever faster, and a band may end or go on under the edge.
    For the first two the straight part is looked for again, as their slope changes where the edge is steepest.
    """
    parts = {}

    def again(other_curve, other):
        found = _straight(other_curve, power, region, other, FEW_KNOTS)
        return (
            0.0 if found is None else abs(found[0].crossing - crossing) / 2
        )  # what leaves no edge at all was no way to read it

    high = min(best.crossing, onset(curve)) - CLEAR
    kept = light_kept(curve, high) if high - curve.energy[0] >= ROOM else None
    if kept is not None:
        other = seen_through(curve, kept)
        if np.abs(kept - 1).max() < FAINT:
            parts["lost light"] = _moved_with(power, best, crossing, taken_off, other) / 2
        else:
            parts["lost light"] = again(other, taken_off and baseline_again(other, taken_off))
    growth = growth_instead(curve, under) if under is not None else None
    if growth is not None:
        above = growth.at(best.middle) - under.at(best.middle)
        faint = abs(above) < FAINT * np.interp(best.middle, curve.energy, curve.absorbed)
        parts["growing baseline"] = _moved(curve, power, best, crossing, growth) / 2 if faint else again(curve, growth)
    if unevenness(curve, crossing) > UNEVEN:
        others = [
            Baseline(level, 0.0, crossing, 0.0, 0.0, crossing, crossing)
            for level in (0.0, *levels_below(curve, crossing))
        ]
        parts["band below the edge"] = max(_moved(curve, power, best, crossing, other) for other in others) / 2
    return parts


def _moved_with(power, best, crossing, under, curve):
    """Return how far the crossing moves with another curve, where the baseline is fitted anew."""
    return _moved(curve, power, best, crossing, under and baseline_again(curve, under))


def _meeting(line, foot):
    """Return the energy where two lines of the plot meet."""
    return (line.slope * line.middle - line.height - foot.slope * foot.middle + foot.height) / (line.slope - foot.slope)


def _step(curve, gap):
    """Return the standard uncertainty of a place between two points, taken as even chances from one to the next."""
    place = int(np.clip(np.searchsorted(curve.energy, gap), 1, curve.energy.size - 1))
    return float((curve.energy[place] - curve.energy[place - 1]) / np.sqrt(12))
