"""The sun of a place: hours of full sun on a day, through the year, and the photons that a powder can use of them."""

from functools import lru_cache

from labkit.data.cautions import cautions
from labkit.light import LOW_SUN, as_irradiation, day_of_year, day_text, photons_in_irradiation, sun_day, sun_year
from labkit.light.angle import facing, latitude, longitude
from labkit.light.days import MONTHS
from labkit.panels.frame import Answer, Choice, Panel, UnitSlider
from labkit.panels.reading import ReadBox
from labkit.plots.place import day_svg, year_svg
from labkit.units import Q, printed_range

UNKNOWN, EQUATOR, UNMEASURED = "not known", "towards the equator", "not measured"
DAY, YEAR = "the day, hour by hour", "the year, month by month"


def place_answer(latitude, longitude, day, tilt, facing, measured, gap, view):
    """Return the Answer for a day of sun at a place, and for its year.

    Parameters
    ----------
    latitude : quantity, an angle; north above zero
    longitude, facing : quantity, an angle, or None
    day : int
        Of the year, from 1.
    tilt : quantity
        Degrees from level.
    measured : Range [irradiation] or None
        Of the day, on the plane.
    gap : quantity [energy]
    view : str
        ``DAY`` or ``YEAR``: what the picture shows.
    """
    place = (
        latitude.m_as("degree"),
        tilt.magnitude,
        None if facing is None else facing.m_as("degree"),
        None if longitude is None else longitude.m_as("degree"),
    )
    today = _day(*place, day) if measured is None else _with(place, day, measured)
    year = _year(*place)
    photons = photons_in_irradiation(gap, today.irradiation)
    above = (
        f"Its photons above a gap of {gap.m_as('eV'):.2f} eV: {_of(photons, 'mol/m**2')}, if the powder misses none."
    )
    sentence = f"{today.sentence} {above if photons.high.magnitude else 'So there is no light to use.'}"
    return Answer(sentence, day_svg(today) if view == DAY else year_svg(year), _table(today, year, photons), cautions("light"))  # fmt: skip


@lru_cache(64)
def _day(north, tilt, way, along, day):
    return sun_day(*_args(north, tilt, way, along, day))


@lru_cache(32)
def _year(north, tilt, way, along):
    return sun_year(*_args(north, tilt, way, along))


def _with(place, day, measured):
    return sun_day(*_args(*place, day), measured=measured)


def _args(north, tilt, way, along, *day):
    angles = [None if size is None else Q(size, "degree") for size in (north, tilt, way, along)]
    return angles[0], *day, *angles[1:]


def _of(span, unit):
    return printed_range(span, unit=unit) if span.high.magnitude else f"no {'light' if 'kWh' in unit else 'sun'}"


def _table(today, year, photons):
    likely = [span.likely.magnitude for span in year.months]
    best, least = (place(range(12), key=likely.__getitem__) for place in (max, min))
    return (
        ("What", "How much", "How it was found"),
        (f"{day_text(today.day)}", _of(today.full_sun, "h"), f"hours of full sun, 1 kW/m²; {today.origin}"),
        ("if it is clear", _of(today.clear_irradiation, "kWh/m**2"), "two models of a clear sky, each 5 % unsure: the most there can be"),
        ("photons above the gap", printed_range(photons, unit="mol/m**2") if photons.high.magnitude else "none", LOW_SUN),
        ("mean day of the year", _of(year.full_sun, "h"), f"hours of full sun; {year.origin}"),
        (f"best month, {MONTHS[best]}", _of(year.months[best], "kWh/m**2"), "mean day"),
        (f"least, {MONTHS[least]}", _of(year.months[least], "kWh/m**2"), "mean day"),
        ("in the year", _of(year.irradiation, "kWh/m**2"), "no horizon, houses or trees are counted"),
    )  # fmt: skip


def _or_none(reading, word):
    """Return a reader that takes a word, or nothing typed, for None."""

    def read(text):
        return None if text.strip(" .").lower() in ("", word) else reading(text)

    return read


def place_panel():
    """Return the panel on the sun of a place."""
    controls = {
        "latitude": ReadBox("Latitude", "47.5°N", latitude, "such as 52°N or 33.9°S"),
        "longitude": ReadBox("Longitude", UNKNOWN, _or_none(longitude, UNKNOWN), "such as 13.4°E, for the haze there; or not known"),
        "day": ReadBox("Day", "14 May", day_of_year, "such as 21 June; or a month, for its middle"),
        "tilt": UnitSlider("Tilt from level", "degree", 0, 90, 5, 0),
        "facing": ReadBox("It faces", EQUATOR, _or_none(facing, EQUATOR), "such as south, SW or 200°; or towards the equator"),
        "measured": ReadBox("Light of that day", UNMEASURED, _or_none(as_irradiation, UNMEASURED), "on the plane, such as 4.2 kWh/m², or 4.2 h of full sun; or not measured"),
        "gap": UnitSlider("Gap", "eV", 2.0, 3.2, 0.05, 2.7),
        "view": Choice("The picture shows", [DAY, YEAR], DAY),
    }  # fmt: skip
    return Panel("How much sun does a day bring here?", controls, place_answer)
