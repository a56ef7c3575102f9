"""Air through an opening, and how much of it a limit asks for."""

import pytest
from helpers import assert_close
from hostile import HOSTILE
from hypothesis import given
from hypothesis import strategies as st

from labkit.air.extraction import (
    OUTLET,
    exhaust_concentration,
    extraction_flow,
    face_velocity_verdict,
    flow_needed,
    usual_face_velocity,
)
from labkit.air.limits import strictest
from labkit.air.release import firing_release
from labkit.errors import LabError, RangeProblem
from labkit.units import Q, printed_down, printed_up, read


def test_the_worked_default():
    # an opening of 1.2 m by 0.5 m at 0.5 m/s: 1080 m³/h; 54.3 L of ammonia over 2 h in it: 25 ppm
    flow = extraction_flow("0.5 m/s", "1.2 m", "0.5 m")
    assert_close(flow, Q(1080, "m**3/h"), relative=1e-12)
    assert_close(extraction_flow("0.5 m/s", area="0.6 m²"), flow, relative=1e-12)
    rate = firing_release("100 g", product="ideal").highest_rate
    assert_close(exhaust_concentration(rate, flow), Q(25, "ppm"), within=Q(0.5, "ppm"))


@pytest.mark.parametrize("pounds, molar_mass, minutes", [(1, 17.031, 60), (0.25, 58.08, 30), (3, 46.07, 480)])
def test_the_american_form_of_the_formula(pounds, molar_mass, minutes):
    # dilution air in cfm = 387 lb/(M min) · 10⁶/ppm: 387 ft³ is the volume of a pound-mole at 70 °F, printed to a whole number
    cfm = 387 * pounds / (molar_mass * minutes) * 1e6 / 25
    rate = Q(pounds, "pound").to("g") / Q(molar_mass, "g/mol") / Q(minutes, "min")
    assert_close(flow_needed(rate, "25 ppm", temperature="70 °F"), Q(cfm, "foot**3/minute"), relative=0.0015)
    assert_close(flow_needed(rate, "25 ppm", 4, temperature="70 °F"), Q(4 * cfm, "foot**3/minute"), relative=0.0015)


@given(st.floats(1e-4, 10), st.floats(1, 5000), st.floats(1, 10), st.floats(0, 0.9))
def test_the_flow_needed_holds_the_limit(rate, ppm, mixing, part):
    limit, background = Q(ppm, "ppm"), Q(ppm * part, "ppm")
    flow = flow_needed(Q(rate, "mol/h"), limit, mixing, background)
    got = exhaust_concentration(Q(rate * mixing, "mol/h"), flow, background)
    assert_close(got, limit, relative=1e-9)
    shown = read(printed_up(flow))
    assert shown >= flow * (1 - 1e-11)  # rounded up, so what is printed holds it too
    assert exhaust_concentration(Q(rate * mixing, "mol/h"), shown, background) <= limit * (1 + 1e-11)


@given(st.floats(0.01, 5), st.floats(0.05, 3), st.floats(0.05, 3))
def test_what_there_is_is_rounded_down_and_hazard_up(speed, width, height):
    flow = extraction_flow(Q(speed, "m/s"), Q(width, "m"), Q(height, "m"))
    assert read(printed_down(flow)) <= flow * (1 + 1e-11)
    found = exhaust_concentration(Q(0.7, "mol/h"), flow)
    assert read(printed_up(found)) >= found * (1 - 1e-11)


def test_usual_speeds():
    # 60 to 125 ft/min are 0.305 to 0.635 m/s, 100 ft/min is 0.508
    for got, wanted in zip(usual_face_velocity().m_as("m/s"), (0.305, 0.508, 0.635)):
        assert got == pytest.approx(wanted, abs=5e-4)
    assert "Too slow" in face_velocity_verdict("0.2 m/s") and "Too fast" in face_velocity_verdict("0.9 m/s")
    assert "usual" in face_velocity_verdict("0.5 m/s")
    assert "neighbours" in OUTLET and "windows" in OUTLET


def test_the_low_end_of_usual_is_said_to_be_that():
    # 60 ft/min as advised and 80 ft/min of ANSI Z9.5 as quoted in 1997: 0.305 and 0.406 m/s
    for speed in ("0.32 m/s", "0.36 m/s", "0.40 m/s"):
        said = face_velocity_verdict(speed)
        assert (
            "low end of usual" in said
            and "Z9.5 0.41 m/s" in said
            and "secondary copies" in said
            and said.kind == "care"
        )
    for speed in ("0.41 m/s", "0.5 m/s", "0.2 m/s"):
        assert "low end" not in face_velocity_verdict(speed)


@pytest.mark.parametrize("bare", ["5", "0.5", 5, "25 %"])
def test_what_fresh_air_carries_in_needs_its_unit(bare):
    with pytest.raises(LabError, match="ppm"):
        exhaust_concentration("1 mol/h", "900 m³/h", bare)
    with pytest.raises(LabError, match="ppm"):
        flow_needed("1 mol/h", "25 ppm", background=bare)
    assert_close(exhaust_concentration("0 mol/h", "900 m³/h", "5 ppm"), Q(5, "ppm"), relative=1e-12)
    assert exhaust_concentration("0 mol/h", "900 m³/h", 0).magnitude == 0


@pytest.mark.parametrize("limit", ["25", 25, "25 %"])
def test_no_flow_is_offered_for_a_limit_without_ppm(limit):
    with pytest.raises(LabError, match="25 ppm"):
        flow_needed("1 mol/h", limit)


def test_the_outlet_warns_of_what_ammonia_does_to_metals():
    assert "copper, zinc and aluminium" in OUTLET  # ICSC 0414


def test_a_limit_may_be_one_of_the_table():
    by_name = flow_needed("1 mol/h", strictest("NH3", "8 h", "published"))
    assert_close(by_name, flow_needed("1 mol/h", "25 ppm"), relative=1e-12)


def test_what_is_refused():
    for opening in (
        {},
        {"width": "1 m"},
        {"height": "1 m"},
        {"width": "1 m", "height": "1 m", "area": "1 m²"},
        {"width": "1 m", "area": "1 m²"},
    ):
        with pytest.raises(RangeProblem, match="opening"):
            extraction_flow("0.5 m/s", **opening)
    with pytest.raises(RangeProblem, match="mixing"):
        flow_needed("1 mol/h", "25 ppm", 0.5)
    with pytest.raises(RangeProblem, match="fresh air"):
        flow_needed("1 mol/h", "25 ppm", background="25 ppm")
    for bad in (("0 m/s", "1 m", "1 m"), ("1 m", "1 m", "1 m"), ("0.5 m/s", "-1 m", "1 m")):
        with pytest.raises(LabError):
            extraction_flow(*bad)


@pytest.mark.parametrize("text", HOSTILE[::2])
def test_hostile_text_gets_a_kind_word(text):
    calls = [
        lambda: extraction_flow(text, "1 m", "1 m"),
        lambda: extraction_flow("0.5 m/s", text, text),
        lambda: extraction_flow("0.5 m/s", area=text),
        lambda: usual_face_velocity(text),
        lambda: face_velocity_verdict(text),
        lambda: exhaust_concentration(text, "900 m³/h"),
        lambda: exhaust_concentration("1 mol/h", text),
        lambda: flow_needed("1 mol/h", text),
        lambda: flow_needed("1 mol/h", "25 ppm", text),
    ]
    for call in calls:
        try:
            call()
        except LabError:
            pass


@pytest.mark.parametrize("feet", [60, 125])
def test_the_ends_of_the_usual_range_are_usual(feet):
    # 60 to 125 ft/min are usual, 0.305 to 0.635 m/s; an end typed in its own unit is inside, one beyond it is not
    assert "Too" not in face_velocity_verdict(Q(feet, "foot/minute"))
    assert "Too" not in face_velocity_verdict(f"{feet} ft/min")
    beyond = feet * (1.001 if feet > 100 else 0.999)
    assert face_velocity_verdict(Q(beyond, "foot/minute")).startswith("Too")


@pytest.mark.parametrize("speed", ["0.635 m/s", "63.5 cm/s", "2.286 km/h", "38.1 m/min", "0.3048 m/s", "1.09728 km/h"])
def test_an_end_typed_in_metric_units_is_inside_too(speed):
    # a foot is 0.3048 m exactly, so these are 125 and 60 ft/min; the last digit of a float decides nothing
    assert "Too" not in face_velocity_verdict(speed)


def test_the_stricter_low_end_is_usual_too():
    # 80 ft/min, what ANSI Z9.5 asks for
    low = usual_face_velocity("hood opening by Z9.5").low
    assert face_velocity_verdict(low).startswith("A usual speed")
    assert face_velocity_verdict(0.999 * low).startswith("At the low end")
