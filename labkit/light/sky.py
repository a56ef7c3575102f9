"""The sun's path and a clear sky over one place, in plain numbers: what labkit.light.place adds up."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from labkit.data import guess, table
from labkit.light.days import DAYS, LENGTHS, MONTHS

_STARTS = np.concatenate([[0], np.cumsum(LENGTHS)])
_MIDDLES = (_STARTS[:-1] + _STARTS[1:] + 1) / 2  # day of the year
_RISE = np.sin(np.radians(-0.833))  # the rim of the sun at the horizon, lifted by the air: common practice
_LOWEST = 0.01745  # of the sine of the sun's height, as in pvlib: below 1° a ratio to it says nothing


@dataclass(frozen=True)
class Sky:
    """A clear sky over one place, every array one row per day and one column per step of the day.

    ``up``, ``east`` and ``north`` are the parts of the direction to the sun, ``outside`` is the light above the
    air on a plane that faces the sun; ``models`` are pairs (light of the sun on such a plane, light of the sky on
    level ground), all in W/m², the first of them the likely one.  Of ``daylight`` there is one number a day.
    ``source`` says where the haze is from.
    """

    hours: np.ndarray  # by the sun: at noon it is highest
    up: np.ndarray
    east: np.ndarray
    north: np.ndarray
    outside: np.ndarray
    daylight: np.ndarray  # hours from sunrise to sunset of each day
    models: tuple
    source: str


def turbidity(latitude, longitude, days):
    """Return (Linke turbidity of the days, one for hazier air or None, where they are from); plain degrees.

    With a longitude it is that of the place, from the file that comes with pvlib; else, or if that file cannot be
    opened, the median of the latitude.

    References
    ----------
    linke_turbidity
    """
    found = _turbidity_of_place(latitude, longitude) if longitude is not None else None
    if found is not None:
        return _on_days(found, days), None, "the haze of this place, by month"
    rows = sorted(table("turbidity"), key=lambda row: float(row["latitude_deg"]))
    centres = [float(row["latitude_deg"]) for row in rows]
    months = [np.interp(latitude, centres, [float(row[month[:3].lower()]) for row in rows]) for month in MONTHS]
    hazy = np.interp(latitude, centres, [float(row["hazy"]) for row in rows])
    why = "the usual haze of this latitude"
    if longitude is not None:
        why += ", because the map of hazes cannot be opened here"
    middle = _on_days(np.array(months), days)
    return middle, np.maximum(middle, hazy), why


@lru_cache(256)
def _turbidity_of_place(latitude, longitude):
    """Return the twelve monthly values, or None if the file cannot be opened."""
    try:
        import pandas
        from pvlib.clearsky import lookup_linke_turbidity

        times = pandas.DatetimeIndex([f"2001-{month:02d}-15" for month in range(1, 13)], tz="UTC")
        return lookup_linke_turbidity(times, latitude, longitude, interp_turbidity=False).to_numpy(dtype=float)
    except (OSError, ImportError, KeyError, IndexError):
        return None


def _on_days(months, days):
    return np.interp(days, _MIDDLES, months, period=DAYS)


@lru_cache(64)
def clear_sky(latitude, longitude, altitude, days, steps):
    """Return the Sky of some days of the year at a place.

    Parameters
    ----------
    latitude, longitude : float
        Degrees, north and east above zero; a longitude of None is one not known.
    altitude : float
        Metres above the sea.
    days : tuple of int
        1 is the first of January.
    steps : int
        Steps of a day; the sun stands where it is in the middle of each.

    References
    ----------
    ineichen_perez_2002, ineichen_2008
    """
    # pvlib brings pandas and takes most of a second, so it waits until the sun is needed.
    from pvlib.atmosphere import alt2pres, get_absolute_airmass, get_relative_airmass
    from pvlib.clearsky import ineichen, simplified_solis
    from pvlib.irradiance import get_extra_radiation
    from pvlib.solarposition import declination_spencer71

    number = np.array(days, dtype=float)
    hours = (np.arange(steps) + 0.5) * 24 / steps
    turn = np.radians(15 * (hours - 12))[None, :]
    tilt = declination_spencer71(number)[:, None]
    here = np.radians(latitude)
    up = np.sin(here) * np.sin(tilt) + np.cos(here) * np.cos(tilt) * np.cos(turn)
    north = np.cos(here) * np.sin(tilt) - np.sin(here) * np.cos(tilt) * np.cos(turn)
    east = -np.cos(tilt) * np.sin(turn) + 0 * up
    outside = np.broadcast_to(get_extra_radiation(number)[:, None], up.shape)
    height = np.degrees(np.arcsin(np.clip(up, -1, 1)))
    lifted = height + 1.02 / 60 / np.tan(np.radians(height + 10.3 / (height + 5.11))) * (height > -1)  # refraction
    pressure = alt2pres(altitude)
    middle, hazy, source = turbidity(latitude, longitude, number)
    models = []
    with np.errstate(all="ignore"):  # at night the formulas divide by zero; what comes out is left out below
        mass = get_absolute_airmass(get_relative_airmass(90 - lifted), pressure)
        for haze in (middle, hazy):
            if haze is not None:
                found = ineichen(90 - lifted, mass, haze[:, None], altitude=altitude, dni_extra=outside)
                models.append((found["dni"], found["dhi"]))
        found = simplified_solis(np.maximum(lifted, 0.01), pressure=pressure, dni_extra=outside)
        models.append((found["dni"], found["dhi"]))
    day = up > 0
    models = tuple(tuple(_kept(np.where(day, np.nan_to_num(part), 0)) for part in model) for model in models)
    with np.errstate(all="ignore"):  # at the poles there is neither sunrise nor sunset
        rise = (_RISE - np.sin(here) * np.sin(tilt)) / (np.cos(here) * np.cos(tilt))
    daylight = np.degrees(np.arccos(np.clip(rise, -1, 1)))[:, 0] * 2 / 15
    return Sky(*(_kept(part) for part in (hours, up, east, north, outside, daylight)), models, source)


def _kept(array):
    array = np.array(array, dtype=float)
    array.setflags(write=False)
    return array


def on_plane(sky, model, tilt, facing, ground="likely"):
    """Return (clear, clouded): W/m² on a plane under a clear sky and under a closed cloud.

    ``tilt`` from level and ``facing``, clockwise from north, are plain degrees; ``model`` is one of ``sky.models``;
    ``ground`` is the end of the guess at what the ground throws back.

    References
    ----------
    hay_davies_1980
    """
    direct, diffuse = model
    lean, way = np.radians(tilt), np.radians(facing)
    toward = sky.up * np.cos(lean) + np.sin(lean) * (sky.east * np.sin(way) + sky.north * np.cos(way))
    toward = np.maximum(toward, 0) * (sky.up > 0)
    whole = direct * np.maximum(sky.up, 0) + diffuse
    open_sky = (1 + np.cos(lean)) / 2
    thrown = _share("back from the ground", ground) * (1 - np.cos(lean)) / 2
    around_sun = direct / sky.outside
    ratio = toward / np.maximum(sky.up, _LOWEST)
    clear = direct * toward + diffuse * (around_sun * ratio + (1 - around_sun) * open_sky) + whole * thrown
    clouded = _share("under a closed cloud") * whole * (open_sky + thrown)
    return clear, clouded


def mixed(clear, clouded, share):
    """Return a sum of light when the share of a clear sky's light that reaches level ground is ``share``.

    The sky is taken to be clear for a part of the time and closed for the rest; under a share that even a closed
    sky exceeds, the cloud is thicker.
    """
    least = _share("under a closed cloud")
    part = np.maximum(share - least, 0) / (1 - least)
    return part * clear + (1 - part) * clouded * np.minimum(share / least, 1)


@lru_cache(8)
def _share(name, end="likely"):
    return getattr(guess("sky", name), end).m_as("dimensionless")


def by_month(values):
    """Return the means of the months of 365 daily values."""
    return np.add.reduceat(np.asarray(values), _STARTS[:-1]) / LENGTHS
