"""A release in a room that is only guessed: each figure as a range, and what spreads it most."""

import itertools
from functools import cache, cached_property

import numpy as np

from labkit.air.limits import Limit, gas_words, limit_fraction, strictest
from labkit.air.mixing import Mixed
from labkit.air.room import Room
from labkit.data import guess
from labkit.units import Q, Range, as_range, handy, printed_down, rounded_up, unit_text, wrapped


class RoomRanges:
    """What a release comes to in a room of which only ranges are known; ``limit`` is the one the times are for.

    ``peak``, ``highest_15_min``, ``highest_8_h`` (in ppm), ``time_over`` and ``time_to_clear`` (in h) are Ranges, worked
    out when they are asked for.  ``time_to_clear`` is from the last of the gas down to that limit, which is not to
    nothing, and an end without end stands for a room that does not clear.
    ``worst`` is the Room with the fewest air changes, the worst mixing and the least volume.
    """

    def __init__(self, release, limit, spans, worst):
        self.gas, self.limit, self.worst = release.gas, limit, worst
        self._spans = {name: span.m_as(unit) for (name, span), unit in zip(spans.items(), _UNITS)}
        self._outside = worst.background.m_as("dimensionless")
        self._excess = limit_fraction(limit) - self._outside
        self._mixed = _mixed_of(release, worst.filled(1.0) * worst.volume.m_as("m**3"))

    @cached_property
    def peak(self):
        return self._spread(lambda mixed: self._ppm(mixed.peak()[0]), "ppm")

    @cached_property
    def highest_15_min(self):
        return self._spread(lambda mixed: self._ppm(mixed.highest_mean(0.25)), "ppm")

    @cached_property
    def highest_8_h(self):
        return self._spread(lambda mixed: self._ppm(mixed.highest_mean(8.0)), "ppm")

    @cached_property
    def time_over(self):
        return self._spread(lambda mixed: mixed.time_over(self._excess), "h")

    @cached_property
    def time_to_clear(self):
        return self._spread(lambda mixed: mixed.time_to_clear(self._excess), "h")

    def _ppm(self, excess):
        return 1e6 * (excess + self._outside)

    def _spread(self, figure, unit):
        """Return the Range of a figure, as ``range_from`` would, from plain ends (low, likely, high)."""
        spans = self._spans
        likely = {name: ends[1] for name, ends in spans.items()}
        middle = figure(self._mixed(*likely.values()))
        every = [middle] + [
            figure(self._mixed(*ends)) for ends in itertools.product(*((ends[0], ends[2]) for ends in spans.values()))
        ]
        drivers = []
        for name, ends in spans.items():
            alone = sorted(figure(self._mixed(*(likely | {name: end}).values())) for end in (ends[0], ends[2]))
            if alone[1] > alone[0]:
                drivers.append((name.replace("_", " "), *alone))
        drivers.sort(key=lambda driver: driver[1] - driver[2])
        return Range(*(Q(size, unit) for size in (min(every), middle, max(every))),
                     drivers=tuple((name, Q(low, unit), Q(high, unit)) for name, low, high in drivers))  # fmt: skip

    def __str__(self):
        name = self.limit.label if isinstance(self.limit, Limit) else "as given"
        words, limit = gas_words(self.gas), printed_down(self.limit_value)
        lines = [f"{words[0].upper()}{words[1:]} in mixed air, figures rounded up; limit {limit}, {name}"]
        lines += [
            f"  {title}: {printed_range_up(span, endless=endless)}{f'; driven by {span.driver}' if span.driver else ''}"
            for title, span, endless in (
                ("peak", self.peak, ""), ("worst 15 min", self.highest_15_min, ""), ("worst 8 h", self.highest_8_h, ""),
                ("time at or over the limit", self.time_over, "no end"),
                (f"back under {limit}, after the last of the gas", self.time_to_clear, "never"),
            )
        ]  # fmt: skip
        if not np.isfinite(self.time_to_clear.high.magnitude):
            lines.append("  At its worst this room does not clear.")
        if self.worst.mixing_factor.magnitude == 1:
            lines.append("  All for perfect mixing: times can be ten times as long, or longer, if it mixes badly.")
        lines.append("  Gas goes on through the hold: no time here says when to go back in.")
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
        Under 5 %, with its unit.
    limit : Limit, quantity or text, optional
        Under 5 %, with its unit; the strictest of the gas if left out.

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
    limit_fraction(limit)  # refuses what is no limit before the work begins
    worst = Room(spans["volume"].low, spans["air_changes"].low, spans["mixing_factor"].high, background)
    # Every end is a room of its own and may be refused; the worst one has been made, the best one is made here.
    Room(spans["volume"].high, spans["air_changes"].high, spans["mixing_factor"].low, background)
    return RoomRanges(release, limit, spans, worst)


_UNITS = ("m**3", "1/hour", "dimensionless")  # of volume, air changes and mixing factor


def _mixed_of(release, molar_volume):
    """Return a function from volume (m³), air changes (1/h) and mixing factor to the room, in plain numbers.

    A panel asks for many at every keystroke, so there are no quantities on the way.
    """
    hours = [duration.m_as("h") for duration, _ in release.steps]
    rates = [rate.m_as("mol/h") * molar_volume for _, rate in release.steps]
    start = release.at_once.m_as("mol") * molar_volume

    @cache
    def mixed(volume, air_changes, mixing_factor):
        return Mixed(hours, [rate / volume for rate in rates], start / volume, air_changes / mixing_factor)

    return mixed


def printed_range_up(span, figures=2, endless="no end"):
    """Return a range of hazard figures as text, each end rounded up and never down; ``endless`` is said of no end.

    Fractions are in percent where the likely one is 1 % or more.

    >>> printed_range_up(Range(Q(41.2, "ppm"), Q(79, "ppm"), Q(1201, "ppm")))
    '42 to 1300 ppm, likely 79 ppm'
    """
    unit = handy(span.likely if 0 < span.likely.magnitude < np.inf else span.high).units
    if str(unit) == "ppm" and span.likely.m_as("percent") >= 1:
        unit = Q(1.0, "percent").units
    symbol, ends = unit_text(unit), []
    for end in span.ends:
        size, text = end.m_as(unit), endless
        if np.isfinite(size):
            text = f"{rounded_up(size, figures)} {symbol}".strip()
            text = "more gas than the room holds" if symbol == "%" and size >= 100 else text
        ends.append(text)
    low, likely, high = ends
    if low == high:
        return low
    same = symbol and low.endswith(f" {symbol}") and high.endswith(f" {symbol}")
    return f"{low.removesuffix(f' {symbol}') if same else low} to {high}, likely {likely}"
