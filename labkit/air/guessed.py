"""A release in a room that is only guessed: each figure as a range, and what spreads it most."""

import itertools
from dataclasses import dataclass
from functools import cache

import numpy as np

from labkit.air.limits import Limit, gas_words, limit_fraction, strictest
from labkit.air.mixing import Mixed
from labkit.air.room import Room
from labkit.data import guess
from labkit.units import Q, Range, as_range, handy, printed_down, rounded_up, unit_text, wrapped


@dataclass(frozen=True, repr=False)
class RoomRanges:
    """What a release comes to in a room of which only ranges are known; ``limit`` is the one the times are for.

    ``worst`` is the Room with the fewest air changes, the worst mixing and the least volume.
    """

    gas: str
    limit: object
    peak: Range
    highest_15_min: Range
    highest_8_h: Range
    time_over: Range
    time_to_clear: Range
    worst: Room

    def __str__(self):
        name = self.limit.label if isinstance(self.limit, Limit) else "as given"
        lines = [
            f"{gas_words(self.gas)} in mixed air, figures rounded up; limit {printed_down(self.limit_value)}, {name}"
        ]
        lines += [
            f"  {title}: {printed_range_up(span)}{f'; driven by {span.driver}' if span.driver else ''}"
            for title, span in (
                ("peak", self.peak), ("worst 15 min", self.highest_15_min), ("worst 8 h", self.highest_8_h),
                ("time at or over the limit", self.time_over), ("time to clear afterwards", self.time_to_clear),
            )
        ]  # fmt: skip
        return wrapped("\n".join(lines), hanging="    ")

    __repr__ = __str__

    @property
    def limit_value(self):
        """The limit as a quantity in ppm."""
        return Q(limit_fraction(self.limit), "dimensionless").to("ppm")


def room_ranges(release, volume, air_changes=None, mixing_factor=None, background="0 ppm", limit=None):
    """Return the RoomRanges of a release in a room whose air changes and mixing are guessed.

    Parameters
    ----------
    release : Release
    volume : Range, quantity or text [volume]
    air_changes : Range, quantity or text [rate], optional
        ``air_changes.csv``, closed garage, if left out.
    mixing_factor : Range, number or text, optional
        ``air_changes.csv``, 1 to 10, if left out.
    background : quantity or text
    limit : Limit, quantity or text, optional
        The strictest of the gas if left out.

    Raises
    ------
    LabError
        Naming what can't be used and what to type.

    Notes
    -----
    Every figure falls as the effective air changes and the volume grow, so trying the ends is exact.

    References
    ----------
    batterman_2007, mixing_factor_range

    Examples
    --------
    >>> from labkit.air.release import Release
    >>> ranges = room_ranges(Release("NH3", [("1 h", "0.2 mol/h")]), "18 m³", "1 /h to 4 /h, likely 2 /h", 1)
    >>> printed_range_up(ranges.peak), ranges.peak.driver
    ('67 to 180 ppm, likely 120 ppm', 'air changes')
    """
    spans = {
        "volume": as_range(volume, "[volume] > 0", "volume"),
        "air_changes": guess("air_changes", "garage closed")
        if air_changes is None
        else as_range(air_changes, "[rate] >= 0", "air changes"),
        "mixing_factor": guess("air_changes", "mixing factor")
        if mixing_factor is None
        else as_range(mixing_factor, "[] > 0", "mixing factor"),
    }
    limit = strictest(release.gas) if limit is None else limit
    over = limit_fraction(limit)  # refuses what is no limit before the work begins
    worst = Room(spans["volume"].low, spans["air_changes"].low, spans["mixing_factor"].high, background)
    # Every end is a room of its own and may be refused; the worst one has been made, the best one is made here.
    Room(spans["volume"].high, spans["air_changes"].high, spans["mixing_factor"].low, background)
    outside = worst.background.m_as("dimensionless")
    at = _figures_of(release, worst.filled(1.0) * worst.volume.m_as("m**3"), outside, over)
    plain = {name: span.m_as(unit) for (name, span), unit in zip(spans.items(), ("m**3", "1/hour", "dimensionless"))}
    return RoomRanges(release.gas, limit, **_spread(at, plain), worst=worst)


_UNITS = {"peak": "ppm", "highest_15_min": "ppm", "highest_8_h": "ppm", "time_over": "h", "time_to_clear": "h"}


def _figures_of(release, molar_volume, outside, limit):
    """Return a function from volume (m³), air changes (1/h) and mixing factor to the figures, as plain numbers.

    A panel asks for all of them at every keystroke, so there are no quantities on the way.
    """
    hours = [duration.m_as("h") for duration, _ in release.steps]
    rates = [rate.m_as("mol/h") * molar_volume for _, rate in release.steps]
    start = release.at_once.m_as("mol") * molar_volume

    @cache
    def figures(volume, air_changes, mixing_factor):
        excess = Mixed(hours, [rate / volume for rate in rates], start / volume, air_changes / mixing_factor)
        parts = (excess.peak()[0], excess.highest_mean(0.25), excess.highest_mean(8.0))
        return (*(1e6 * (part + outside) for part in parts), excess.time_over(limit - outside),
                excess.time_to_clear(limit - outside))  # fmt: skip

    return figures


def _spread(figures, spans):
    """Return the Range of each figure, as ``range_from`` would, from plain ends (low, likely, high)."""
    likely = {name: ends[1] for name, ends in spans.items()}
    corners = [figures(*likely.values())] + [
        figures(*ends) for ends in itertools.product(*((ends[0], ends[2]) for ends in spans.values()))
    ]
    alone = {
        name: [figures(*(likely | {name: end}).values()) for end in (ends[0], ends[2])] for name, ends in spans.items()
    }
    found = {}
    for place, (figure, unit) in enumerate(_UNITS.items()):
        every = [corner[place] for corner in corners]
        pairs = [(name.replace("_", " "), *sorted(end[place] for end in ends)) for name, ends in alone.items()]
        pairs.sort(key=lambda pair: pair[1] - pair[2])
        drivers = tuple((name, Q(low, unit), Q(high, unit)) for name, low, high in pairs if high > low)
        found[figure] = Range(*(Q(size, unit) for size in (min(every), every[0], max(every))), drivers=drivers)
    return found


def printed_range_up(span, figures=2):
    """Return a range of hazard figures as text, each end rounded up and never down.

    >>> printed_range_up(Range(Q(41.2, "ppm"), Q(79, "ppm"), Q(1201, "ppm")))
    '42 to 1300 ppm, likely 79 ppm'
    """
    unit = handy(span.likely if 0 < span.likely.magnitude < np.inf else span.high).units
    symbol = unit_text(unit)
    low, likely, high = (
        f"{rounded_up(end.m_as(unit), figures)} {symbol}".strip() if np.isfinite(end.magnitude) else "no end"
        for end in span.ends
    )
    if low == high:
        return low
    first = low if high == "no end" else low.removesuffix(f" {symbol}")
    return f"{first} to {high}, likely {likely}"
