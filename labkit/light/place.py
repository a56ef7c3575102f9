"""The sun of a place: what a day or a year of it brings to a plane, from a clear sky down to a usual one."""

import re
from dataclasses import dataclass

import numpy as np

from labkit.data import guess
from labkit.errors import RangeProblem
from labkit.light.angle import angle, facing, facing_text, latitude, longitude
from labkit.light.days import DAYS, LENGTHS, MONTHS, day_of_year, day_text
from labkit.light.irradiation import as_irradiation, hours_of_full_sun
from labkit.light.sky import by_month, clear_sky, mixed, on_plane
from labkit.units import Q, Range, as_range, certain, checked, nominal, number, printed_range, refuse_array, wrapped

_LONGEST = 1500  # characters of twelve values that somebody typed
_STEPS = 144  # of a day, ten minutes each; a year is counted by the hour


@dataclass(frozen=True)
class SunDay:
    """The light of one day on a plane.

    ``hours`` (by the sun: at 12 it is highest) and ``clear`` (W/m² on the plane under a clear sky) are arrays of
    plain numbers to draw.  ``clear_irradiation`` is the Range of two models of a clear sky, ``irradiation`` what is
    to be expected or was measured, both in kWh/m²; ``origin`` says which.  ``daylight`` is from sunrise to sunset.
    """

    where: str
    day: int
    hours: np.ndarray
    clear: np.ndarray
    clear_irradiation: Range
    irradiation: Range
    daylight: object
    origin: str
    remark: str

    @property
    def full_sun(self):
        """The Range of hours of full sun, 1 kW/m², that bring as much."""
        return hours_of_full_sun(self.irradiation)

    @property
    def sentence(self):
        """The day in words."""
        clear = printed_range(self.clear_irradiation, unit="kWh/m**2")
        return (f"{self.where}, {day_text(self.day)}: {_said(self.full_sun)} of full sun ({self.origin}). A clear sky would "
                f"bring {clear}, in {self.daylight.magnitude:.1f} h of daylight.{self.remark and ' ' + self.remark}")  # fmt: skip

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


@dataclass(frozen=True)
class SunYear:
    """The light of a year on a plane, by month.

    ``clear`` are twelve plain numbers, kWh/m² of a clear day; ``months`` the twelve Ranges of a mean day, in
    kWh/m²; ``irradiation`` is the Range of the whole year, in kWh/m².
    """

    where: str
    clear: tuple
    months: tuple
    irradiation: Range
    origin: str
    remark: str

    @property
    def full_sun(self):
        """The Range of hours of full sun of the year's mean day."""
        return hours_of_full_sun(self.irradiation, DAYS)

    @property
    def rows(self):
        """Twelve rows to show: month, clear day, mean day, in words."""
        return tuple((month, f"{clear:.1f} kWh/m²", printed_range(span, unit="kWh/m**2"))
                     for month, clear, span in zip(MONTHS, self.clear, self.months))  # fmt: skip

    @property
    def sentence(self):
        """The year in words."""
        likely = [span.likely.magnitude for span in self.months]
        best, least = MONTHS[int(np.argmax(likely))], MONTHS[int(np.argmin(likely))]
        return (f"{self.where}: {printed_range(self.irradiation, unit='kWh/m**2')} in a year ({self.origin}), a mean day of "
                f"{_said(self.full_sun)} of full sun. {best} brings most, {_said(hours_of_full_sun(self.months[MONTHS.index(best)]))} "
                f"a day, and {least} least, {_said(hours_of_full_sun(self.months[MONTHS.index(least)]))}."
                f"{self.remark and ' ' + self.remark}")  # fmt: skip

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def sun_day(latitude, day, tilt="0°", facing=None, longitude=None, altitude="0 m", sky=None, measured=None):
    """Return the SunDay of a place: the light that one day brings to a plane.

    Parameters
    ----------
    latitude : str or quantity
        ``"52°N"``, ``"33.9 S"``, ``"-33.9°"``; any, the poles included.
    day : str, int or date
        ``"21 June"``, ``"2027-06-21"``, ``"June"`` for its middle, or the day of the year; 29 February counts as the 28th.
    tilt : str or quantity
        Of the plane, from level; powder in an open tray lies level.
    facing : str or quantity, optional
        ``"south"``, ``"SW"``, ``"200°"``; towards the equator if left out.
    longitude : str or quantity, optional
        With it the haze is that of the place, without it that of the latitude.
    altitude : str or quantity [length]
        Above the sea, up to 5000 m.
    sky : str or Range, optional
        What reaches level ground as a share of a clear day, such as ``"40 to 90 %"``; else a guess from memory.
    measured : str, quantity or Range, optional
        The irradiation of the day, measured on the plane: ``"4.2 kWh/m²"``, or hours of full sun, which are not the
        hours of sunshine of a weather report.

    Returns
    -------
    SunDay

    Raises
    ------
    ReadingProblem, RangeProblem, UnitProblem
        If something cannot be read or lies outside.

    Notes
    -----
    No horizon, trees or houses.  The ground is taken to throw back 10 to 40 %; fresh snow throws back 80 %, and gives a
    steep plane more than is counted.  A clear day is an upper bound and not a usual day, and two models of it differ by
    up to a sixth.  Of a clouded day a part of the time is taken as clear and the rest as a closed sky that
    leaves 25 %, from all sides alike (from memory).  Time is that of the sun.

    References
    ----------
    ineichen_perez_2002, ineichen_2008, linke_turbidity, hay_davies_1980; sky.csv: from memory.

    Examples
    --------
    >>> found = sun_day("48°N", "21 June")
    >>> print(found.full_sun, "|", found.clear_irradiation)
    0.38 to 9.1 h, likely 4.9 h | 7.5 to 9.1 kWh/m², likely 8.2 kWh/m²
    """
    place = _Place.of(latitude, tilt, facing, longitude, altitude)
    number_of_day = day_of_year(day)
    clears, clouded, found = place.sums((number_of_day,), _STEPS)
    clear = _span([float(part[0]) for part in clears])
    told = None if measured is None else as_irradiation(measured)
    share = guess("sky", "a day") if sky is None else as_range(sky, "[] >= 0", "sky")
    span = told or _usual([part[0] for part in clears], [part[0] for part in clouded], share)
    shown = on_plane(found, found.models[0], place.tilt, place.facing)[0][0]
    remark = _too_much(told, clear, "a clear day") if told else place.remark(found)
    return SunDay(place.words, number_of_day, found.hours, shown, clear, span, Q(float(found.daylight[0]), "h"),
                  _origin(told, sky, share), remark)  # fmt: skip


def sun_year(latitude, tilt="0°", facing=None, longitude=None, altitude="0 m", sky=None, measured=None):
    """Return the SunYear of a place: the light that a year brings to a plane, by month.

    Takes what ``sun_day`` does, but for the day; ``measured`` are then twelve irradiations of a mean day, January
    first, each as there.

    Raises
    ------
    ReadingProblem, RangeProblem, UnitProblem
        If something cannot be read or lies outside, or ``measured`` are not twelve.

    Notes
    -----
    A year varies less than its months, so its range is narrower than their sum.  Under a clouded sky the gain of a
    tilt comes out a few percent high, because hazy sun is left out.

    Examples
    --------
    >>> found = sun_year("48°N", tilt="30°")
    >>> print(found.full_sun)
    2.2 to 6.3 h, likely 4.0 h
    """
    place = _Place.of(latitude, tilt, facing, longitude, altitude)
    clears, clouded, found = place.sums(tuple(range(1, DAYS + 1)), 24)
    months = [[by_month(part) for part in parts] for parts in (clears, clouded)]
    clear = tuple(float(value) for value in months[0][0])
    highest = np.max(months[0], axis=0)
    if measured is not None:
        spans = _twelve(measured)
        ends = zip(*(span.m_as("kWh/m**2") for span in spans))
        whole = Range(*(Q(float(np.dot(end, LENGTHS)), "kWh/m**2") for end in ends), why="measured")
        remarks = [_too_much(span, certain(Q(float(high), "kWh/m**2")), f"a clear {month}") for month, span, high in zip(MONTHS, spans, highest)]  # fmt: skip
        return SunYear(place.words, clear, spans, whole, "measured", " ".join(filter(None, remarks)))
    share = None if sky is None else as_range(sky, "[] >= 0", "sky")
    spans = tuple(_usual([part[month] for part in months[0]], [part[month] for part in months[1]], share or guess("sky", "a month"))
                  for month in range(12))  # fmt: skip
    whole = _usual([part.sum() for part in clears], [part.sum() for part in clouded], share or guess("sky", "a year"))
    return SunYear(place.words, clear, spans, whole, _origin(None, sky, share or guess("sky", "a year")), place.remark(found))  # fmt: skip


def _single(given, need, name, unit):
    value = nominal(checked(given, need, name))
    refuse_array("A place", **{name: value})
    return float(number(value, unit))


@dataclass(frozen=True)
class _Place:
    """A plane at a place, in plain degrees and metres."""

    latitude: float
    longitude: float | None
    altitude: float
    tilt: float
    facing: float

    @classmethod
    def of(cls, place, tilt, way, along, height):
        north = latitude(place).magnitude
        metres = _single(height, "[length]", "altitude", "m")
        if not -500 <= metres <= 5000:
            raise RangeProblem("The altitude has to lie between -500 and 5000 m. Type for instance 350 m.")
        toward = (180.0 if north >= 0 else 0.0) if way is None else facing(way).magnitude
        lean = angle(tilt, 90, "the tilt", "30°").magnitude
        return cls(north, None if along is None else longitude(along).magnitude, metres, lean, toward)

    def sums(self, days, steps):
        """Return (clear sky by each model and ground, closed cloud by each, Sky); kWh/m² of each day, the likely first."""
        found = clear_sky(self.latitude, self.longitude, self.altitude, days, steps)
        step = 24 / steps / 1000
        grounds = ("likely", "low", "high") if self.tilt else ("likely",)
        pairs = [on_plane(found, model, self.tilt, self.facing, ground) for ground in grounds for model in found.models]
        return *([part.sum(axis=1) * step for part in parts] for parts in zip(*pairs)), found

    @property
    def words(self):
        side = "N" if self.latitude >= 0 else "S"
        plane = "a level plane" if not self.tilt else f"a plane tilted {self.tilt:g}° and {facing_text(self.facing)}"
        return f"{abs(self.latitude):g}°{side}, {plane}"

    def remark(self, found):
        return f"Clear sky with {found.source}." if "cannot" in found.source else ""


def _span(values, why="models of a clear sky"):
    """Return the Range of values of which the first is the likely one, as wide as a model of a clear sky is unsure."""
    low, _, high = guess("sky", "a model of a clear sky").m_as("dimensionless")
    return Range(
        *(Q(float(value), "kWh/m**2") for value in (low * min(values), values[0], high * max(values))), why=why
    )


def _usual(clears, clouded, share):
    """Return the Range of light under a usual sky: models and the Range of the share together."""
    ends = share.m_as("dimensionless")
    if ends[2] > 1.3:
        raise RangeProblem("A clouded sky brings at most about 130 % of a clear one, for moments. Type a share such as 40 to 90 %.")  # fmt: skip
    found = [mixed(clear, cloud, end) for clear, cloud in zip(clears, clouded) for end in (ends[1], ends[0], ends[2])]
    return _span(found, share.why)


def _too_much(told, clear, what):
    if told.low.magnitude > 1.1 * clear.high.magnitude:
        return f"That is more than {what} brings here, {clear.high.magnitude:.1f} kWh/m² at most: check the unit and the plane."
    return ""


def _twelve(measured):
    if isinstance(measured, str):
        measured = re.split("[;\n]", measured.strip(" ;\n")) if len(measured) <= _LONGEST else [measured]
    try:
        values = list(measured)
    except TypeError:  # a single quantity
        values = [measured]
    if len(values) != 12:
        said = "is one value" if len(values) == 1 else f"are {len(values)} values"
        raise RangeProblem(f"A year has twelve months, but there {said}. Type twelve, with “;” between.")
    return tuple(as_irradiation(value) for value in values)


def _origin(told, sky, share):
    if told:
        return "measured"
    low, likely, high = share.m_as("percent")
    of = f"{low:g} to {high:g} %, likely {likely:g} %" if low != high else f"{likely:g} %"
    return f"a clear sky times {of}, {'from memory' if sky is None else 'as you say'}"


def _said(span):
    return printed_range(span, unit="h") if span.high.magnitude else "0 h"
