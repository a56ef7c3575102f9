"""Rates of gas against runs worked out with another library's steam and gas, and against sums on paper."""

from math import sqrt

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from helpers import assert_close, raw_spectrum
from scipy.integrate import trapezoid
from uncertainties import ufloat

from labkit.errors import LabError, RangeProblem
from labkit.hydrogen import (
    apparent_yield,
    apparent_yield_of_lamp,
    drift_volume,
    gas_rate,
    gas_readings,
    incident_photons,
    read_gas,
)
from labkit.hydrogen.segments import straight_part
from labkit.units import Q, Range, number

R = 8.314462618  # J/mol/K, CODATA
STEADY = {"temperature": "21 °C", "pressure": "1009 hPa", "temperature_move": "0 K", "pressure_move": "0 hPa"}


@np.vectorize
def steam(celsius):
    """Return the saturation pressure of water in Pa, IAPWS-95."""
    return PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water")


def shown(micromoles, celsius, hectopascals, headspace=45.0):
    """Return mL that a tube shows when dry gas is added to that of its headspace (mL at the first temperature and pressure)."""
    celsius, hectopascals, _ = np.broadcast_arrays(celsius, hectopascals, micromoles)
    dry = hectopascals * 100 - steam(celsius)
    there = dry[0] * headspace * 1e-6 / R / (celsius[0] + 273.15)
    return (there + np.asarray(micromoles) * 1e-6) * R * (celsius + 273.15) / dry * 1e6 - headspace


def run(minutes, millilitres, celsius=None, hectopascals=None):
    rest = (
        None if part is None else Q(np.asarray(part, dtype=float), unit)
        for part, unit in ((celsius, "degC"), (hectopascals, "hPa"))
    )
    return gas_readings(
        Q(np.asarray(minutes, dtype=float), "min"), Q(np.asarray(millilitres, dtype=float), "mL"), *rest
    )


# --------------------------------------------------------------------------------------------- drift
@pytest.mark.parametrize("celsius", [5, 20, 35])
@pytest.mark.parametrize("kelvin, hectopascals", [(1, 0), (-3, 0), (0, -2), (8, 5)])
def test_drift_is_that_of_steam_and_gas(celsius, kelvin, hectopascals):
    expected = shown([0, 0], [celsius, celsius + kelvin], [1009, 1009 + hectopascals], 50.0)[1]
    found = drift_volume(
        "50 mL", Q(kelvin, "K"), Q(hectopascals, "hPa"), temperature=Q(celsius, "degC"), pressure="1009 hPa"
    )
    assert_close(found, Q(expected, "mL"), within=Q(5e-4, "mL"))  # the vapour pressures agree to 0.02 %


def test_drift_of_dry_gas_is_charles_and_boyle():
    dry = {"over_water": False, "temperature": "20 °C"}
    assert_close(drift_volume("50 mL", "1 K", **dry), Q(50 / 293.15, "mL"), relative=1e-9)  # 0.17 mL
    assert_close(drift_volume("50 mL", "0 K", "1 hPa", **dry), Q(50 * (1013.25 / 1014.25 - 1), "mL"), relative=1e-6)
    assert drift_volume("50 mL", "0 K").magnitude == 0
    with pytest.raises(LabError):
        drift_volume("50 mL", "20 °C")
    with pytest.raises(RangeProblem, match="pressure left"):
        drift_volume("50 mL", "1 K", "-2000 hPa", over_water=False)


# ---------------------------------------------------------------------------------- parts of a run
def test_a_start_and_an_end_are_found_where_they_are():
    generator, missed = np.random.default_rng(8), 0
    for _ in range(200):
        size, first, last = int(generator.integers(20, 61)), generator.uniform(0.2, 0.35), generator.uniform(0.65, 0.8)
        times = np.linspace(0, 300, size)
        rise = 0.02 * np.clip(times, 300 * first, 300 * last)
        found = straight_part(times, rise + generator.normal(0, 0.02, size))
        assert found.told and found.begins is not None and found.stops is not None
        # A corner is found to about a step, or the noise over the slope.
        near = 1.5 * 300 / (size - 1) + 6
        missed += found.falls > 0 or abs(found.begins - 300 * first) > near or abs(found.stops - 300 * last) > near
    assert missed <= 4  # of 200: noise alone makes a fall, or a corner that is off, in very few


def test_a_straight_run_has_no_corners_and_noise_seldom_makes_any():
    generator, corners = np.random.default_rng(5), 0
    for size in (10, 15, 25, 60):
        times = np.linspace(0, 300, size)
        assert straight_part(times, 0.01 * times).begins is None and straight_part(times, 0.01 * times).stops is None
        for _ in range(150):
            found = straight_part(times, 0.01 * times + generator.normal(0, 0.1, size))
            corners += found.begins is not None or found.stops is not None
    assert corners <= 6  # of 600


def test_few_readings_tell_nothing_of_their_course():
    times = np.linspace(0, 300, 9)
    assert not straight_part(times, np.clip(times, 100, 200)).told
    found = gas_rate(run(times, 0.01 * np.clip(times, 100, 200)), headspace="45 mL", **STEADY)
    assert found.induction is None and "cannot tell" in str(found) and "so few readings" in str(found)


def test_a_fall_at_the_end_is_told_with_its_size():
    times = np.arange(0, 421, 15.0)
    volumes = 0.5 + 0.44 / 60 * np.clip(times, 0, 240) - 0.14 / 60 * np.clip(times - 240, 0, None)
    found = gas_rate(run(times, volumes + 0.004 * np.sin(times)), headspace="0 mL", **STEADY)
    assert_close(found.plateau, Q(240, "min"), within=Q(8, "min"))
    assert_close(Q(found.rate.magnitude.nominal_value, "mL/h"), Q(0.44, "mL/h"), relative=0.02)
    assert found.slope.found.falls * 60 == pytest.approx(
        0.14, rel=0.05
    ) and "falls by 0.14 mL/h: a leak, or cooling" in str(found.words())


def test_a_course_that_bends_is_told():
    times = np.arange(0, 300, 10.0)
    leaking = 2 * (1 - np.exp(-times / 400))
    generator = np.random.default_rng(3)
    assert "ever slower" in str(gas_rate(run(times, leaking + generator.normal(0, 0.005, 30)), headspace="45 mL").words()) or (
        gas_rate(run(times, leaking), headspace="45 mL").plateau is not None)  # fmt: skip


# -------------------------------------------------------------------------------------------- rates
def test_moles_are_those_of_dry_gas():
    minutes = np.arange(0, 301, 20.0)
    found = gas_rate(run(minutes, 0.2 + shown(12.5 * minutes / 60, 21.0, 1009.0)), headspace="45 mL", **STEADY)
    assert_close(Q(found.amount_rate.magnitude.nominal_value, "µmol/h"), Q(12.5, "µmol/h"), relative=3e-4)
    # 12.5 µmol of gas at 21 °C over water, by hand: n R T / (p - w)
    by_hand = 12.5e-6 * R * 294.15 / (100900 - steam(21.0)) * 1e6
    assert_close(Q(found.rate.magnitude.nominal_value, "mL/h"), Q(by_hand, "mL/h"), relative=3e-4)
    dry = gas_rate(run(minutes, 0.3 * minutes / 60), headspace="45 mL", over_water=False, **STEADY)
    assert_close(
        Q(dry.amount_rate.magnitude.nominal_value, "µmol/h"),
        Q(0.3e-6 * 100900 / R / 294.15 * 1e6, "µmol/h"),
        relative=1e-6,
    )


def test_warming_that_was_read_leaves_nothing_of_false_hydrogen():
    minutes = np.arange(0, 241, 15.0)
    celsius = 19.4 + 8 * (1 - np.exp(-minutes / 140))
    volumes = 0.3 + shown(0 * minutes, celsius, 1012.4)
    assert volumes[-1] - volumes[0] > 1.5  # mL of nothing but warming
    found = gas_rate(run(minutes, volumes, celsius), headspace="45 mL", pressure="1012.4 hPa")
    assert abs(found.net.magnitude.nominal_value) < 0.002 and not found.is_gas
    assert gas_rate(
        run(minutes, volumes), headspace="45 mL", temperature_move="1 K"
    ).is_gas  # unread, it looks like gas
    assert not gas_rate(run(minutes, volumes), headspace="45 mL", temperature_move="9 K").is_gas


@pytest.mark.parametrize("rate", [0.0, 0.35])
def test_the_stated_uncertainty_covers_what_it_says(rate):
    """Runs with moves and noise drawn as the notes say: 95 % intervals hold the truth in 95 of 100 runs, or a little more."""
    generator, minutes, inside = np.random.default_rng(11), np.arange(0, 241, 20.0), 0
    for _ in range(200):
        warmer, higher = generator.uniform(-1, 1), generator.uniform(-2, 2)
        # From start to end in a straight way, which is the worst that a slope can see.
        volumes = shown(rate / 24.75 * 1000 * minutes / 60, 21 + warmer * minutes / 240, 1009 + higher * minutes / 240)
        truth = rate / 24.75e-3 * 1e-6 * R * 294.15 / (100900 - steam(21.0)) * 1e6
        found = gas_rate(run(minutes, volumes + generator.normal(0, 0.01, minutes.size)), headspace="45 mL", temperature="21 °C",
                         pressure="1009 hPa", step="0.01 mL", part="0 to 240 min")  # fmt: skip
        inside += abs(found.rate.magnitude.nominal_value - truth) <= found.factor * found.rate.magnitude.std_dev
    assert inside >= 0.92 * 200


def test_uncertainties_add_as_squares():
    minutes = np.arange(0, 241, 20.0)
    readings = run(minutes, 0.4 * minutes / 60 + 0.01 * np.cos(minutes))
    found = gas_rate(readings, "0.05 ± 0.02 mL/h", headspace="45 mL", temperature="20 °C", pressure="1013.25 hPa", temperature_move="0.5 K", pressure_move="1 hPa", step="0 mL")  # fmt: skip
    parts = {what: size.magnitude for what, size in found.parts}
    gas = 45 + float(np.mean(readings.millilitres) - readings.millilitres[0])
    # Half a rectangle over the root of three, over 4 h; from steam and gas as above.
    assert parts["warming of the gas"] == pytest.approx(
        shown([0, 0], [20, 20.5], 1013.25, gas)[1] / sqrt(3) / 4, rel=2e-3
    )
    assert parts["air pressure"] == pytest.approx(
        abs(shown([0, 0], 20, [1013.25, 1014.25], gas)[1]) / sqrt(3) / 4, rel=2e-3
    )
    assert parts["blank"] == pytest.approx(0.02)
    (slope, _), covariance = np.polyfit(minutes / 60, readings.millilitres, 1, cov=True)
    # numpy scales by the degrees of freedom as well; neighbours that lean alike can only widen it
    assert parts["scatter of the readings"] >= sqrt(covariance[0, 0]) * (1 - 1e-9)
    assert found.net.magnitude.std_dev == pytest.approx(sqrt(sum(size**2 for size in parts.values())))
    assert found.net.magnitude.nominal_value == pytest.approx(slope - 0.05)


def test_the_last_digit_is_as_uncertain_as_a_rectangle():
    minutes = np.arange(0, 241, 20.0)
    found = gas_rate(run(minutes, 0.4 * minutes / 60), headspace="0 mL", step="0.05 mL", **STEADY)
    along = np.sqrt(np.sum((minutes / 60 - 2) ** 2))
    # Readings exactly in line, read to 0.05 mL: half of it over the root of three for each (GUM, F.2.2.1).
    assert dict(found.parts)["scatter of the readings"].magnitude == pytest.approx(0.025 / sqrt(3) / along, rel=1e-6)


def test_neighbours_that_lean_alike_count_for_fewer():
    generator, minutes, inside = np.random.default_rng(4), np.arange(0, 601, 10.0), 0
    for _ in range(100):
        noise = generator.normal(0, 0.02, minutes.size)
        for place in range(1, minutes.size):
            noise[place] += 0.6 * noise[place - 1]
        found = gas_rate(run(minutes, 0.4 * minutes / 60 + noise), headspace="0 mL", step="0 mL", **STEADY)
        inside += abs(found.rate.magnitude.nominal_value - 0.4) <= found.factor * found.rate.magnitude.std_dev
    assert inside >= 88  # taken as independent, the intervals hold it in about 70 of 100 runs


def test_a_headspace_that_is_not_known_widens_the_rate():
    minutes, celsius = np.arange(0, 241, 20.0), 20 + np.arange(0, 241, 20.0) / 40  # 6 K in 4 h
    volumes = shown(0 * minutes, celsius, 1009.0)
    found = gas_rate(run(minutes, volumes, celsius), headspace="30 to 60 mL", pressure="1009 hPa", pressure_move="0 hPa",
                     step="0 mL", part="0 to 240 min")  # fmt: skip
    # What warming does to the 30 mL that may be there or not, taken out again, as a rectangle.
    shrunk = 30 * 45 / (45 + volumes) - 30
    assert dict(found.parts)["size of the gas above the water"].magnitude == pytest.approx(
        -np.polyfit(minutes / 60, shrunk, 1)[0] / 2 / sqrt(3), rel=2e-3
    )
    # And what the thermometer leaves open is that of the most there may be, 60 mL: its stray of 0.3 K (gas_run.csv).
    assert dict(found.parts)["thermometer"].magnitude == pytest.approx(
        shown([0, 0], [20, 20.3], 1009.0, 60.0)[1] / 4 / sqrt(3), rel=0.02
    )


def test_limits_are_multiples_of_the_uncertainty():
    minutes = np.arange(0, 601, 5.0)
    found = gas_rate(run(minutes, 0.01 * np.sin(minutes)), "0 ± 0.03 mL/h", headspace="45 mL", **STEADY)
    u = found.net.magnitude.std_dev
    assert found.detection_limit.magnitude == pytest.approx(3 * u, rel=0.01)
    assert found.decision_limit.magnitude == pytest.approx(1.645 * u, rel=0.01)  # 5 % of a bell lie above
    few = gas_rate(run([0, 60, 120], [0, 0.02, 0.01]), headspace="0 mL", **STEADY)
    assert few.decision_limit.magnitude > 5 * few.net.magnitude.std_dev  # one degree of freedom: 6.31, Student's t


def test_a_blank_of_few_readings_is_not_taken_for_a_sure_one():
    minutes = np.arange(0, 601, 5.0)
    lit, given = run(minutes, 0.01 * np.sin(minutes)), {"headspace": "0 mL", **STEADY}
    dark = run([0, 120, 240], [0, 0.30, 0.10])
    for blank in (dark, gas_rate(dark, **given)):
        found = gas_rate(lit, blank, **given)
        # Three readings leave one degree of freedom, and the blank rules: 6.31 of Student's t (5 % above), not 1.645.
        assert found.parts[0][0] == "blank" and found.dof == pytest.approx(1, abs=0.1)
        assert found.decision_limit.magnitude == pytest.approx(6.31 * found.net.magnitude.std_dev, rel=0.01)
    leak = gas_rate(lit, leak=dark, **given)
    assert leak.dof == pytest.approx(1, abs=0.1)


def test_degrees_fahrenheit_are_as_uncertain_as_celsius():
    minutes = np.arange(0, 241, 20.0)
    given = {"headspace": "45 mL", "pressure": "1009 hPa", "temperature_move": "0 K", "pressure_move": "0 hPa"}
    ends = [gas_rate(run(minutes, 0.4 * minutes / 60), temperature=text, step="0 mL", **given).amount_rate.magnitude
            for text in ("59 to 77 °F", "15 to 25 °C")]  # fmt: skip
    assert ends[0].std_dev == pytest.approx(ends[1].std_dev, rel=1e-6) and ends[0].std_dev > 0


def test_a_blank_is_taken_off_however_it_is_given():
    minutes = np.arange(0, 241, 20.0)
    lit, dark = run(minutes, 0.40 * minutes / 60), run(minutes, 0.1 + 0.05 * minutes / 60)
    given = {"headspace": "45 mL", **STEADY}
    for blank in (dark, gas_rate(dark, **given), "0.05 mL/h", Q(50, "µL/h"), Q(ufloat(0.05, 0.01), "mL/h")):
        found = gas_rate(lit, blank, **given)
        assert found.net.to("mL/h").magnitude == pytest.approx(
            0.35
        ) or found.net.magnitude.nominal_value == pytest.approx(0.35)
    assert "no ±" in str(gas_rate(lit, "0.05 mL/h", **given).words())
    assert "There is no blank" in str(gas_rate(lit, **given).words())
    with pytest.raises(LabError):
        gas_rate(lit, "5 mL", **given)


def test_a_loss_is_put_back_but_not_twice():
    minutes = np.arange(0, 241, 20.0)
    lit, hold = run(minutes, 0.40 * minutes / 60), run(minutes, 2 - 0.08 * minutes / 60)
    given = {"headspace": "0 mL", **STEADY}
    for leak in (hold, "0.08 ± 0.01 mL/h"):
        found = gas_rate(lit, leak=leak, **given)
        assert found.net.magnitude.nominal_value == pytest.approx(0.48) and "The tube leaks" in str(found.words())
    both = gas_rate(lit, "0.01 ± 0.01 mL/h", hold, **given)
    assert both.net.magnitude.nominal_value == pytest.approx(0.39) and "not counted twice" in str(both.words())


def test_per_gram_and_per_area():
    minutes = np.arange(0, 241, 20.0)
    found = gas_rate(
        run(minutes, shown(12.5 * minutes / 60, 21.0, 1009.0)),
        headspace="45 mL",
        powder="125 mg",
        area="50 cm²",
        **STEADY,
    )
    assert_close(Q(found.per_powder.magnitude.nominal_value, "µmol/h/g"), Q(100, "µmol/h/g"), relative=1e-3)
    assert_close(Q(found.per_area.magnitude.nominal_value, "mmol/h/m**2"), Q(2.5, "mmol/h/m**2"), relative=1e-3)
    with pytest.raises(RangeProblem, match="powder='80 mg'"):
        print(gas_rate(run(minutes, 0.1 * minutes), **STEADY).per_powder)


def test_what_is_guessed_is_said():
    minutes = np.arange(0, 241, 20.0)
    words = str(gas_rate(run(minutes, 0.1 * minutes / 60)).words())
    for name in (
        "gas above the water",
        "temperature 12 to 30 °C",
        "air pressure 950 to 1040 hPa",
        "near sea level",
        "move of the temperature ± 1.0 K",
        "from memory",
    ):
        assert name in words
    known = gas_rate(run(minutes, 0.1 * minutes / 60), headspace="45 mL", **STEADY)
    assert "guessed" not in str(known.words())


@pytest.mark.parametrize("changes, words", [
    ({"part": "0 to 5 min"}, "a rate needs three"), ({"headspace": "5 g"}, "a volume"), ({"powder": "0 g"}, "powder"),
    ({"temperature_move": "20 °C"}, "temperature change"), ({"part": "5 mL"}, "a time"),
])  # fmt: skip
def test_what_does_not_fit_is_refused(changes, words):
    minutes = np.arange(0, 241, 20.0)
    with pytest.raises(LabError, match=words):
        gas_rate(run(minutes, 0.1 * minutes / 60), **changes)


def test_two_readings_make_no_rate():
    with pytest.raises(RangeProblem, match="three readings or more"):
        gas_rate(read_gas("min;mL\n0;0.1\n60;0.5"), headspace="45 mL")


def test_the_same_run_says_the_same_every_time_and_fits_a_page():
    minutes = np.arange(0, 241, 20.0)
    texts = {str(gas_rate(run(minutes, 0.3 * minutes / 60), "0.01 ± 0.02 mL/h", headspace="45 mL")) for _ in range(3)}
    (text,) = texts
    assert max(map(len, text.splitlines())) <= 66 and "prove" not in text
    assert "<table>" in gas_rate(run(minutes, 0.3 * minutes / 60), headspace="45 mL")._repr_html_()


# ------------------------------------------------------------------------------ apparent quantum yield
@pytest.mark.parametrize("amount, irradiance, area, wavelength, percent", [
    ("10 µmol", "1000 W/m²", "10 cm²", "450 nm", 0.1477), ("1 µmol", "100 W/m²", "10 cm²", "420 nm", 0.1582),
])  # fmt: skip
def test_the_closed_form(amount, irradiance, area, wavelength, percent):
    # 1 W at 450 nm with 10 µmol/h, and 100 mW at 420 nm with 1.0 µmol/h: 13 542 and 1263.9 µmol of photons an hour.
    found = apparent_yield_of_lamp(amount, irradiance, area, "1 h", wavelength)
    assert_close(found, Q(percent, "percent"), within=Q(5e-5, "percent"))
    photons = incident_photons(area, irradiance, wavelength=wavelength)
    assert_close(apparent_yield(Q(1.0, "1/h") * Q(float(amount.split()[0]), "µmol"), photons), found, relative=1e-9)


def test_the_yield_carries_the_uncertainty_of_rate_and_light():
    found = apparent_yield(Q(ufloat(12.0, 0.6), "µmol/h"), "9 ± 0.9 mmol/h")
    assert found.magnitude.nominal_value == pytest.approx(100 * 24 / 9000)
    assert found.magnitude.std_dev / found.magnitude.nominal_value == pytest.approx(sqrt(0.05**2 + 0.1**2))
    flat = apparent_yield(Q(12.0, "µmol/h"), Range(Q(8.1, "mmol/h"), Q(9, "mmol/h"), Q(9.9, "mmol/h")))
    assert flat.magnitude.std_dev / flat.magnitude.nominal_value == pytest.approx(0.1 / sqrt(3))
    assert_close(apparent_yield(Q(12.0, "µmol/h"), "9 mmol/h", 2 / 3), Q(100 * 16 / 9000, "percent"), relative=1e-12)


def test_sunlight_above_the_gap():
    nm, spectral = raw_spectrum()
    edge = 1239.841984 / 2.7
    nm, spectral = np.append(nm[nm < edge], edge), np.append(spectral[nm < edge], np.interp(edge, nm, spectral))
    # Photons of ASTM G173 up to 459.2 nm by trapezia: E λ / (h c N_A).
    flux = trapezoid(spectral * nm * 1e-9, nm) / (6.62607015e-34 * 299792458 * 6.02214076e23)
    assert_close(incident_photons("60 cm²", gap="2.7 eV"), Q(flux * 0.006 * 3600, "mol/h"), relative=2e-3)
    assert number(incident_photons("60 cm²", "500.185 W/m²", gap="2.7 eV"), "mmol/h") == pytest.approx(
        flux * 0.006 * 1.8e6, rel=2e-3
    )


def test_light_has_to_be_told_once():
    for wrong in ({}, {"gap": "2.7 eV", "wavelength": "420 nm"}, {"wavelength": "420 nm"}):
        with pytest.raises(RangeProblem):
            incident_photons("60 cm²", **wrong)
    with pytest.raises(LabError, match="a power per area"):
        incident_photons("60 cm²", "1000 W", gap="2.7 eV")
    with pytest.raises(RangeProblem):
        apparent_yield(Q(12.0, "µmol/h"), "9 mmol/h", 1.5)
