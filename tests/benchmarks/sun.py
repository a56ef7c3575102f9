"""How fast sums of sunlight are beside doing each alone.

Run ``python tests/benchmarks/sun.py``.  (a) The photons above a thousand gaps by the running integral, beside
integrating the spectrum anew for each.  (b) A year of clear hours at once, beside pvlib asked hour after hour, as
a plain loop would do.  That both give the same is tested in ``tests/test_lamp.py`` and ``tests/test_place.py``.
"""

import time
import warnings

import numpy as np
import pandas
from pvlib.irradiance import get_extra_radiation, get_total_irradiance
from pvlib.location import Location

from labkit.light import photon_flux_above, sun_spectrum, wavelength_from_gap
from labkit.light.lamp import photons_of_one_nm
from labkit.light.sky import clear_sky, on_plane
from labkit.units import Q

GAPS = np.linspace(0.4, 4.2, 1000)
PLACE = (48.0, 0.0, 0.0)  # degrees north and east, metres
LEAST = 100  # times as fast, of the gaps


def seconds(work, times=5):
    """Return the best of some runs, after one to warm up."""
    work()
    best = np.inf
    for _ in range(times):
        begin = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - begin)
    return best


def each_gap_alone():
    """Return the photon flux above every gap, each from its own sum over the spectrum."""
    nm, power = (part.magnitude for part in sun_spectrum())
    found = []
    for edge in wavelength_from_gap(Q(GAPS, "eV")).magnitude:
        ends = np.append(nm[nm < edge], edge)
        heights, middles = np.interp(ends, nm, power), (ends[1:] + ends[:-1]) / 2
        parts = (
            ends[:-1] * heights[:-1] + 4 * middles * (heights[1:] + heights[:-1]) / 2 + ends[1:] * heights[1:]
        )  # Simpson's rule is exact for straight lines times a wavelength
        found.append(np.dot(np.diff(ends), parts) / 6 * photons_of_one_nm())
    return np.array(found)


def all_gaps():
    """Return the same by the running integral."""
    return photon_flux_above(Q(GAPS, "eV")).magnitude


def year_at_once():
    """Return kWh/m² of a clear year on a tilted plane."""
    clear_sky.cache_clear()
    sky = clear_sky(*PLACE, tuple(range(1, 366)), 24)
    return on_plane(sky, sky.models[0], 35, 180)[0].sum() / 1000


def hour_after_hour(hours):
    """Return kWh/m² of some clear hours of the year, each asked of pvlib alone."""
    site, total = Location(PLACE[0], 0.0, "UTC", PLACE[2]), 0.0
    start = pandas.Timestamp("2023-01-01 00:30", tz="UTC")
    for hour in hours:
        when = pandas.DatetimeIndex([start + pandas.Timedelta(hours=hour)])
        sun = site.get_solarposition(when)
        sky = site.get_clearsky(when, solar_position=sun)
        plane = get_total_irradiance(35, 180, sun["apparent_zenith"], sun["azimuth"], sky["dni"], sky["ghi"], sky["dhi"],
                                     dni_extra=get_extra_radiation(when), albedo=0.2, model="haydavies")  # fmt: skip
        total += float(np.nan_to_num(plane["poa_global"].iloc[0])) / 1000
    return total


def main():
    """Print both ratios; complain if the first is under ``LEAST``."""
    assert np.allclose(all_gaps(), each_gap_alone(), rtol=1e-9)
    slow, fast = seconds(each_gap_alone, 3), seconds(all_gaps)
    print(
        f"1000 gaps: {1000 * slow:.1f} ms each alone, {1000 * fast:.2f} ms by the running integral, ratio {slow / fast:.0f}"
    )
    assert slow / fast >= LEAST, f"less than {LEAST} times as fast"
    hours = range(0, 8760, 97)  # 97 runs through the hours of a day and the days of a year alike
    warnings.simplefilter("ignore")
    part, year = seconds(lambda: hour_after_hour(hours), 1) * 8760 / len(hours), seconds(year_at_once)
    print(f"a year of hours: {part:.0f} s hour after hour (scaled from {len(hours)}), {1000 * year:.1f} ms at once, ratio {part / year:.0f}")  # fmt: skip
    print(f"clear year, from a sample of its hours: {hour_after_hour(hours) * 8760 / len(hours):.0f} kWh/m² hour after hour, {year_at_once():.0f} at once")  # fmt: skip


if __name__ == "__main__":
    main()
