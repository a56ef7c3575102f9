"""Least squares for a size times a form with one pace: the sum of squares is looked at for every pace there can be.

The best size for a pace is plain arithmetic, so nothing depends on a start, and the ends of an interval are where the sum of squares
rises by what 95 % allow, however lopsided.  Plain numbers.
"""

from dataclasses import dataclass

import numpy as np

_PER_DECADE, _FINE, _ROUNDS, _ALONG = 16, 24, 4, 241
_STEPS, _CLOSE = 60, 1e-14


class Squares:
    """The weighted sum of squares of readings about a curve, by its pace."""

    def __init__(self, curve, x, y, weights):
        self.curve, self.x, self.y, self.weights = curve, x, y, weights
        low, high = curve.paces(x[x > 0])
        self.grid = np.geomspace(low, high, int(_PER_DECADE * np.log10(high / low)) + 2)

    def at(self, paces):
        """Return (sum of squares, best size, sum of squares of the form) for an array of paces."""
        return self._of(self.curve.form(self.x, np.asarray(paces)[:, None]))

    def of(self, form):
        """Return the sum of squares for the best size of a form."""
        return float(self._of(form[None, :])[0][0])

    def _of(self, forms):
        weighted = forms * self.weights
        heights = np.einsum("ij,ij->i", weighted, forms)
        sizes = (weighted @ self.y) / np.maximum(heights, 1e-280)
        off = self.y - sizes[:, None] * forms
        return np.einsum("ij,ij,j->i", off, off, self.weights), sizes, heights

    def best(self, starts=()):
        """Return (pace, bound) of the least sum of squares; bound is “slow” or “fast” if it lies at an end of all paces."""
        found, _, _ = self.at(self.grid)
        place = int(np.argmin(found))
        pace, least = self._polished(self.grid[place])
        for start in starts:
            other, squares = self._polished(start)
            pace, least = (other, squares) if squares < least else (pace, least)
        ends = {"slow": self.of(self.curve.slow(self.x)), "fast": self.of(self.curve.fast(self.x))}
        closest = min(ends, key=ends.get)
        # Noise makes the last bits differ: an end counts if nothing in between is better by more than that.
        return pace, closest if ends[closest] <= least * (1 + 1e-9) + 1e-26 * float(self.weights @ self.y**2) else ""

    def _polished(self, pace):
        """Return (pace, sum of squares) after Gauss and Newton's steps in the logarithm of the pace, halved until they go down."""
        low, high = self.grid[0], self.grid[-1]
        pace = float(np.clip(pace, low, high))
        squares, size = self._one(pace)
        for _ in range(_STEPS):
            form, bend = self.curve.form(self.x, pace), size * self.curve.bend(self.x, pace)
            height = float(self.weights @ form**2)
            bend = bend - form * (
                float(self.weights @ (form * bend)) / max(height, 1e-280)
            )  # what a change of size does not do
            along = float(self.weights @ bend**2)
            if along <= 1e-24 * size**2 * height:
                break
            step = float(self.weights @ (bend * (self.y - size * form))) / along
            step = min(max(step, -1.5), 1.5)
            for _ in range(12):
                nearer = float(np.clip(pace * np.exp(step), low, high))
                fewer, other = self._one(nearer)
                if fewer <= squares:
                    break
                step /= 2
            else:
                break
            moved, pace, squares, size = abs(nearer / pace - 1), nearer, fewer, other
            if moved < _CLOSE:
                break
        return pace, squares

    def _one(self, pace):
        squares, sizes, _ = self.at([pace])
        return float(squares[0]), float(sizes[0])

    def covariance(self, size, pace):
        """Return the inverse of the normal equations for (size, logarithm of the pace), or None if they have none."""
        slopes = np.column_stack([self.curve.form(self.x, pace), size * self.curve.bend(self.x, pace)])
        matrix = slopes.T @ (slopes * self.weights[:, None])
        scale = np.sqrt(np.diag(matrix))
        if not (np.isfinite(scale).all() and (scale > 0).all()):
            return None
        alike = matrix / np.outer(scale, scale)
        if 1 - alike[0, 1] ** 2 < 1e-11:
            return None
        return np.linalg.inv(alike) / np.outer(scale, scale)

    def stretch(self, size, pace):
        """Return (change, its standard uncertainty for a scatter of 1, sum of squares left) of a power that ``x`` is raised to.

        One step from a power of 1: with it a Langmuir curve becomes that of Sips, and a first order a stretched one.  None if the
        readings do not tell it.
        """
        bend = size * self.curve.bend(self.x, pace)
        logs = np.log(np.where(self.x > 0, self.x, 1.0) * pace)  # about the pace, where it is least like the others
        slopes = np.column_stack([self.curve.form(self.x, pace), bend, bend * logs])
        root = np.sqrt(self.weights)
        slopes, off = slopes * root[:, None], (self.y - size * self.curve.form(self.x, pace)) * root
        scale = np.sqrt((slopes**2).sum(axis=0))
        if not (np.isfinite(scale).all() and (scale > 0).all()):
            return None
        across, worth, axes = np.linalg.svd(slopes / scale, full_matrices=False)
        if worth[-1] < 1e-6 * worth[0]:
            return None
        steps = axes.T @ ((across.T @ off) / worth) / scale
        left = off - slopes @ steps
        return float(steps[2]), float(np.sqrt((axes[:, 2] ** 2 / worth**2).sum()) / scale[2]), float(left @ left)

    def span(self, pace, allowed):
        """Return the Span of paces for which the sum of squares stays at or below what is allowed."""
        paces = np.sort(np.append(self.grid, pace))
        inside = np.flatnonzero(self.at(paces)[0] <= allowed)
        first, last = (inside[0], inside[-1]) if inside.size else (np.searchsorted(paces, pace),) * 2
        low = 0.0 if self.of(self.curve.slow(self.x)) <= allowed else self._crossing(paces, first, -1, allowed)
        high = np.inf if self.of(self.curve.fast(self.x)) <= allowed else self._crossing(paces, last, 1, allowed)
        ends = max(low, paces[0]), min(high, paces[-1])
        along = np.append(np.geomspace(*ends, _ALONG), pace) if ends[0] < ends[1] else np.array([pace])
        squares, sizes, heights = self.at(along)
        with np.errstate(invalid="ignore", divide="ignore"):
            reach = np.sqrt(np.maximum(allowed - squares, 0) / heights)
        return Span(low, high, np.concatenate([along, along]), np.concatenate([sizes - reach, sizes + reach]))

    def _crossing(self, paces, place, side, allowed):
        """Return the pace beside ``place`` at which the sum of squares passes what is allowed."""
        if not 0 <= place + side < paces.size:
            return float(paces[place])
        good, bad = paces[place], paces[place + side]
        for _ in range(_ROUNDS):
            between = np.geomspace(good, bad, _FINE)
            inside = np.flatnonzero(self.at(between)[0] <= allowed)
            last = int(inside[-1]) if inside.size else 0
            good, bad = between[last], between[min(last + 1, _FINE - 1)]
        return float(good)


@dataclass(frozen=True)
class Span:
    """Paces from ``low`` (0 if open) to ``high`` (endless if open), and the rim of the region of pace and size."""

    low: float
    high: float
    paces: np.ndarray
    sizes: np.ndarray

    def ends(self, function):
        """Return the least and the most of a function of (sizes, paces) in the region."""
        with np.errstate(all="ignore"):
            found = np.asarray(function(self.sizes, self.paces), dtype=float)
        found = found[np.isfinite(found)]
        return (float(found.min()), float(found.max())) if found.size else (-np.inf, np.inf)
