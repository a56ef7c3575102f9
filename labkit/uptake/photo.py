"""Concentration from a photograph: a series of known solutions and the sample against white, all in one picture."""

from dataclasses import dataclass, field
from math import sqrt

import numpy as np

from labkit.errors import RangeProblem, chosen
from labkit.light.observer import linear_from_srgb
from labkit.light.photograph import srgb_from_text
from labkit.units import Q, coverage_factor, number_text, rounded_up, wrapped
from labkit.uptake.concentration import Concentration, as_fine, fold_of
from labkit.uptake.readings import Readings, read_photo
from labkit.uptake.straight import BENT, bend_of

CHANNELS = ("red", "green", "blue")
WHITE, DARK = 253, 15  # of 255, our choice: above, a part is cut off; below, noise and the camera's own curve rule
FEWEST = 5  # our choice: each is left out in turn, and four have to be left
UNDER = 3.0  # our choice: so many critical values below none a sample is no jar of this picture
STEPS = 1  # of 255, our choice: colours picked twice from one jar differ by that much at least
CARE = (
    "One picture for all: the white, every standard and the sample, in daylight and without flash. A camera chooses exposure and white "
    "balance anew for each picture, so colours from two pictures do not compare. Jars alike, filled to the same depth, and the "
    "colour picked where nothing shines."
)
_WHITES = {"white", "paper"}
_COVER, _SIDE = 0.95, 0.90


@dataclass(frozen=True, eq=False, repr=False)
class PhotoScale:
    """A scale from colour to concentration.

    ``channel`` is the part of the colour that tells most; ``concentrations`` and ``depths`` are those of the standards,
    depth being log10(white / channel) in linear light; ``parts`` are the factors of x², x and 1 of the curve through
    them (the first is 0 for a line).  ``error`` is the standard deviation of a standard's concentration when it is left
    out and read from the others; ``errors`` those of the channels that could be used, ``refused`` why others could not.
    """

    channel: str
    concentrations: np.ndarray
    depths: np.ndarray
    labels: tuple
    parts: tuple
    error: float
    unit: str
    white: tuple
    errors: dict
    refused: dict
    notes: tuple = field(default=())

    @property
    def curved(self):
        """True if the curve is a parabola, and not a line."""
        return self.parts[0] != 0

    @property
    def dof(self):
        """Degrees of freedom of ``error``."""
        return self.depths.size - (3 if self.curved else 2)

    @property
    def half_width(self):
        """Half of the 95 % interval of a sample, plain, in ``unit``."""
        return coverage_factor(_COVER, self.dof) * self.error

    def wider_than(self, line):
        """Return how many times wider the interval is than that of a photometer: a Calibration in the same unit, at its middle."""
        if line.unit != self.unit:
            raise RangeProblem(f"The picture is in {self.unit} and the line in {line.unit}: give both of one kind.")
        found = line.concentration(line.line.predict(sum(line.ends) / 2)[0])
        return 2 * self.half_width / (found.high.magnitude - found.low.magnitude)

    def error_at(self, concentration):
        """Return the error at a concentration, plain: larger where a curve flattens, and a step of depth means more.

        By the root of how much flatter it is: the error of standards left out has the flat part in it already (our choice).
        """
        x, (square, slope, _) = self.concentrations, self.parts
        usual = (self.curve(x.max()) - self.curve(x.min())) / np.ptp(x)
        steep = 2 * square * min(concentration, x.max()) + slope
        return self.error * (sqrt(max(1.0, usual / max(steep, usual / 10))) if self.curved else 1.0)

    def curve(self, concentration):
        """Return the depth of the curve at concentrations, plain numbers in ``unit``."""
        return np.polyval(self.parts, concentration)

    def depth(self, colour):
        """Return the depth of a colour from the same picture: ``"240 232 198"``, ``"#F0E8C6"`` or three numbers.

        Raises
        ------
        RangeProblem
            If it is too dark, or at the end of the scale.
        """
        place = CHANNELS.index(self.channel)
        size = srgb_from_text(colour, "sample")[place]
        if size < DARK:
            raise RangeProblem(f"The sample is nearly black in {self.channel} ({size} of 255): nothing can be read there. Dilute it and take "
                               "another picture of all.")  # fmt: skip
        if size > WHITE:
            raise RangeProblem(
                f"The {self.channel} of the sample is {size}, at the end of the scale: over-exposed. Take the picture darker."
            )
        if size > self.white[place] + 3 * STEPS:
            raise RangeProblem(
                f"The sample is brighter in {self.channel} than the white. Is it in the same picture, and picked where nothing shines?"
            )
        return float(_depths(size, self.white[place]))

    def concentration(self, colour, dilution=1):
        """Return the Concentration of a sample in the same picture.

        Parameters
        ----------
        colour : text or three whole numbers
            sRGB, picked from the picture: ``"238 229 190"``.
        dilution : number or text
            As for ``Calibration.concentration``.

        Raises
        ------
        RangeProblem
            If the sample is above the highest standard, nearly black, or at the end of the scale.

        Notes
        -----
        Its uncertainty is the error of standards that were left out in turn; with Student's t for the interval.

        Examples
        --------
        >>> scale = photo_scale(EXAMPLE)
        >>> scale.concentration("240 231 187")
        7.7 mg/L, 95 % interval 6.6 to 8.8 mg/L.
        """
        fold, u_fold = fold_of(dilution)
        y = self.depth(colour)
        x, highest = self._x(y), float(self.concentrations.max())
        if not x <= highest + self.error:
            raise RangeProblem(f"The sample is deeper in {self.channel} than the highest standard ({number_text(highest, 3)} {self.unit}), where nothing was "
                               "measured. Dilute it 2-fold or more and take another picture of all.")  # fmt: skip
        error = self.error_at(x)
        u, known = sqrt((error * fold) ** 2 + (x * u_fold) ** 2), coverage_factor(_COVER, np.inf)
        far = sqrt((coverage_factor(_COVER, self.dof) * error * fold) ** 2 + (known * x * u_fold) ** 2)
        side = coverage_factor(_SIDE, self.dof) * error
        if x < -UNDER * side:
            raise RangeProblem(f"The sample is paler in {self.channel} than a jar with none in it. Is it in the same picture, in the same light, and in a "
                               "jar like the others?")  # fmt: skip
        kind, upper, seen = "number", None, True
        if x < 2 * side:  # as for a line: seen from the critical value on, a number from twice it (currie_1995)
            kind, seen, upper = "below", x >= side, Q((fold + known * u_fold) * (max(x, 0.0) + side), self.unit)
        return Concentration(Q(x * fold, self.unit), Q(u, self.unit), Q(x * fold - far, self.unit), Q(x * fold + far, self.unit), kind=kind, upper=upper,
                             seen=seen, dof=self.dof, absorbance=y, dilution=fold, u_dilution=u_fold)  # fmt: skip

    def detection_limit(self, dilution=1):
        """Return the detection limit: twice what counts as seen (currie_1995)."""
        fold, _ = fold_of(dilution)
        return Q(2 * fold * coverage_factor(_SIDE, self.dof) * self.error, self.unit)

    def _x(self, depth):
        return _inverse(self.parts, depth)

    def __str__(self):
        shape = "a curve" if self.curved else "a line"
        half, highest = self.half_width, self.concentrations.max()
        others = "; ".join(f"{name} {why}" for name, why in self.refused.items())
        lines = [f"The {self.channel} tells most, along {shape} through {self.depths.size} standards of up to {number_text(highest, 3)} {self.unit}. Left out "
                 f"in turn, they come back to ± {as_fine(half, half)} {self.unit} (95 %), {100 * half / highest:.0f} % of the highest. Below "
                 f"{rounded_up(self.detection_limit().magnitude, 2)} {self.unit} there is no number."]  # fmt: skip
        return wrapped("\n".join([*lines, *([f"Not used: {others}."] if others else []), *self.notes]))

    __repr__ = __str__


EXAMPLE = (  # invented
    "name;mg/L;red;green;blue\nwhite;;246;245;243\nblank;0;244;243;240\nS1;2;243;240;227\nS2;4;242;237;214\nS3;6;241;234;198\n"
    "S4;8;240;231;186\nS5;12;237;224;160\n"
)


def photo_scale(picture, white=None, channel=None, formula=None):
    """Return the PhotoScale of a picture of standards against white.

    Parameters
    ----------
    picture : Readings, path, bytes or text
        As ``read_photo`` takes and gives them: rows of standards with their concentration, and a row named white.
    white : text or three whole numbers, optional
        Colour of the white in the same picture, if no row has it.
    channel : str, optional
        ``"red"``, ``"green"`` or ``"blue"`` instead of the one that tells most.
    formula : str, optional
        As for ``read_columns``.

    Raises
    ------
    RangeProblem
        If there is no white, there are fewer than five standards, or no channel can be used; says why for each.

    Notes
    -----
    Channels become linear light by iec_srgb_1999; a camera's own curve differs, which is why a parabola is taken where
    a line bends.  Yellow iron takes blue light, so blue tells most.

    Examples
    --------
    >>> photo_scale(EXAMPLE)
    The blue tells most, along a line through 6 standards of up
    to 12.0 mg/L. Left out in turn, they come back to ± 1.1 mg/L
    (95 %), 9 % of the highest. Below 1.7 mg/L there is no
    number.
    """
    found = picture if isinstance(picture, Readings) else read_photo(picture, formula=formula)
    channel = None if channel is None else chosen(channel, CHANNELS, "channel")
    paper = _white(found, white)
    x = found["concentration"]
    known = np.isfinite(x)
    if known.sum() < FEWEST or np.unique(x[known]).size < 4:
        raise RangeProblem(
            f"A picture needs {FEWEST} standards or more, at four concentrations at least, but it has {known.sum()}."
        )
    usable, refused = {}, {}
    for place, name in enumerate(CHANNELS):
        if channel is not None and name != channel:
            continue
        levels = found[name][known]
        if paper[place] > WHITE:
            refused[name] = f"is over-exposed in the white ({paper[place]:g} of 255: take the picture darker)"
            continue
        clear = (levels >= DARK) & (levels <= WHITE)
        if clear.sum() < FEWEST or np.unique(x[known][clear]).size < 4:
            refused[name] = f"is nearly black or over-exposed in {(~clear).sum()} of {clear.size} standards"
            continue
        step = _depths(levels[clear] - STEPS, levels[clear]).max()
        fitted = _fitted(x[known][clear], _depths(levels[clear], paper[place]), step)
        if isinstance(fitted, str):
            refused[name] = fitted
        else:
            usable[name] = (*fitted, clear)
    if not usable:
        raise RangeProblem(
            "No part of the colour can be used: " + "; ".join(f"{name} {why}" for name, why in refused.items()) + "."
        )
    best = min(usable, key=lambda name: usable[name][1])
    parts, error, clear = usable[best]
    kept = np.flatnonzero(known)[clear]
    lost = int((~clear).sum())
    notes = (
        [f"{lost} standard{'s are' if lost > 1 else ' is'} nearly black or over-exposed in {best}, and left out."]
        if lost
        else []
    )
    if paper[CHANNELS.index(best)] < found[best][kept].max() - 3 * STEPS:
        notes.append(f"The white is darker in {best} than a standard: is it white, and in the same light?")
    labels = tuple(found.labels[place] for place in kept) if found.labels else ()
    return PhotoScale(best, x[kept], _depths(found[best][kept], paper[CHANNELS.index(best)]), labels, parts, error, found.units["concentration"],
                      tuple(paper), {name: fitted[1] for name, fitted in usable.items()}, refused, tuple(notes))  # fmt: skip


def _white(found, white):
    if white is not None:
        return np.array(srgb_from_text(white, "white"), dtype=float)
    unknown = np.isnan(found["concentration"])
    rows = [
        place for place, label in enumerate(found.labels) if unknown[place] and _WHITES & set(label.lower().split())
    ]
    if not rows:
        raise RangeProblem(
            'There is no white in the table. Add a row named “white” with the colour of the paper, or type white="246 245 243".'
        )
    return np.array([found[name][rows].mean() for name in CHANNELS])


def _depths(level, white):
    return np.log10(linear_from_srgb(white) / linear_from_srgb(level))


def _fitted(x, y, step):
    """Return (parts of the curve, error of standards left out), or why there is no curve; ``step`` is the depth of one of 255."""
    bend, sure = bend_of(x, y)
    curved = sure and bend > BENT and np.unique(x).size >= 5
    if np.polyfit(x, y, 1)[0] <= 0 or np.corrcoef(x, y)[0, 1] < 0.9:
        return "does not deepen with concentration"
    parts = _parts(x, y, curved)
    if curved and not _rises(parts, x):
        return "turns round within the standards"
    errors = []
    for place in range(x.size):
        rest = np.arange(x.size) != place
        errors.append(_inverse(_parts(x[rest], y[rest], curved), y[place]) - x[place])
    error = max(sqrt(float(np.mean(np.square(errors)))), step * np.ptp(x) / np.ptp(np.polyval(parts, x)))
    if not np.isfinite(error) or error > np.ptp(x) / 4:
        return "scatters too much"
    return tuple(float(part) for part in parts), float(error)


def _parts(x, y, curved):
    found = np.polyfit(x, y, 2 if curved else 1)
    return found if curved else np.append(0.0, found)


def _rises(parts, x):
    return min(2 * parts[0] * x.min() + parts[1], 2 * parts[0] * x.max() + parts[1]) > 0


def _inverse(parts, depth):
    """Return the concentration at which a curve has a depth, on its rising side; endless where it never has it."""
    square, slope, height = parts
    if square == 0:
        return (depth - height) / slope
    root = slope**2 - 4 * square * (height - depth)
    if root < 0 and square > 0:
        return -slope / (2 * square)  # paler than the curve ever is: its lowest point
    return np.inf if root < 0 else float((-slope + sqrt(root)) / (2 * square))
