"""What may come out of a chain of guesses: random draws of every link, and how much each of them matters."""

from dataclasses import dataclass
from math import prod

import numpy as np

from labkit.errors import RangeProblem
from labkit.units import DRAWS, Q, Range, checked, draws, handy, number, printed, unit_text, wrapped

PART = 95  # percent of the draws that lie within the interval


@dataclass(frozen=True, eq=False, repr=False)
class Spread:
    """Random draws of a volume of hydrogen.

    ``volumes`` are plain numbers in mL; ``median``, ``low`` and ``high`` are quantities, the last two the ends that
    2.5 % of the draws lie beyond on either side.  ``zero`` is the share of draws that give nothing, ``below`` that
    below ``detection``.  ``parts`` are pairs (link, share of the variance of the logarithm), largest first; empty
    where a draw may be zero, which has no logarithm.
    """

    volumes: np.ndarray
    median: object
    low: object
    high: object
    zero: float
    detection: object = None
    below: float | None = None
    parts: tuple = ()

    @property
    def interval(self):
        """The Range that 95 % of the draws lie in, its likely value the median."""
        return Range(self.low, self.median, self.high, f"{PART} % of the draws")

    @property
    def sentence(self):
        """The draws in words."""
        unit = unit_text(handy(self.median if self.median.magnitude else self.high).units)
        low, middle, high = (printed(end, 2, unit) for end in (self.low, self.median, self.high))
        told = f"{PART} of 100 draws lie between {low} and {high}; half of them are below {middle}."
        if not self.median.magnitude:
            told = (f"{_hundredths(self.zero)} of 100 draws give nothing at all, and all but 2 or 3 of 100 less than {high}: "
                    "that says almost nothing but that it is little.")  # fmt: skip
        elif self.zero >= 0.005:
            told += f" {_hundredths(self.zero)} of 100 draws give nothing at all."
        if self.below is not None:
            told += (
                f" {_hundredths(self.below)} of 100 are too little to tell from nothing ({printed(self.detection, 2)})."
            )
        if self.parts:
            told += f" Of the spread in decades, {_listed(self.parts)}."
        elif self.zero:
            told += " No link can be given a share of the spread, because the yield may be zero."
        else:
            told += " Nothing in it is uncertain."
        return told

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def spread_from(inputs, factors, count=DRAWS, seed=1, detection=None):
    """Return the Spread of the product of ``factors`` over random draws of its inputs.

    Parameters
    ----------
    inputs : dict
        From the name of an input to its Range in the unit that ``factors`` takes.
    factors : callable
        Takes a dict from name to an array, or a number where an input is certain, and returns a dict from the name
        of a link to its factor; their product is a volume in mL.  No two links may share an input.
    count, seed : int
    detection : quantity or text [volume], optional

    Raises
    ------
    RangeProblem
        If fewer than one draw is asked for.

    Examples
    --------
    >>> light = Range(Q(1.0), Q(2.0), Q(4.0))
    >>> found = spread_from({"light": light}, lambda values: {"light": values["light"]}, 10_000)
    >>> print(found)
    95 of 100 draws lie between 1.0 mL and 3.9 mL; half of them
    are below 2.0 mL. Of the spread in decades, 100 % comes from
    the light.
    """
    if count < 1:
        raise RangeProblem(f"spread() needs a count of at least 1, but it is {count}.")
    generator = np.random.default_rng(seed)  # one for all: each input has draws of its own
    drawn = {}
    for name, span in inputs.items():
        width = span.low.magnitude != span.high.magnitude
        drawn[name] = draws(span, count, generator) if width else float(span.likely.magnitude)
    found = factors(drawn)
    volumes = np.broadcast_to(np.asarray(prod(found.values()), dtype=float), (count,)).copy()
    volumes.setflags(write=False)
    low, median, high = np.percentile(volumes, [(100 - PART) / 2, 50, (100 + PART) / 2])
    zero = float(np.mean(volumes == 0))
    if (
        zero > 0.5 - 1.5 / count**0.5
    ):  # half of the draws are meant to be zero, and chance decides on which side of the half
        median = 0.0
    limit = None if detection is None else checked(detection, "[volume] > 0", "detection")
    return Spread(
        volumes=volumes,
        median=Q(float(median), "mL"),
        low=Q(float(low), "mL"),
        high=Q(float(high), "mL"),
        zero=zero,
        detection=limit,
        below=None if limit is None else float(np.mean(volumes < number(limit, "mL"))),
        parts=_parts(found),
    )


def _parts(factors):
    """Return pairs (link, share of the variance of the logarithm of the product), largest first."""
    varied = {name: factor for name, factor in factors.items() if np.ndim(factor)}
    if any(factor.min() <= 0 for factor in varied.values()):
        return ()
    variances = {name: float(np.var(np.log(factor))) for name, factor in varied.items()}
    whole = sum(variances.values())
    found = ((name, variance / whole) for name, variance in variances.items() if variance > 0)
    return tuple(sorted(found, key=lambda part: -part[1])) if whole else ()


def _hundredths(share):
    count = round(100 * share)
    if 0 < share and not count:
        return "Fewer than 1"
    return str(count) if count else "None"


def _listed(parts):
    shown = [(name, share) for name, share in parts if share >= 0.005] or list(parts[:1])
    words = [f"{100 * share:.0f} % comes from the {name}" if place == 0 else f"{100 * share:.0f} % from the {name}"
             for place, (name, share) in enumerate(shown)]  # fmt: skip
    return ", ".join(words)
