"""What a firing gives off: the mass balance is kept whatever the timing."""

import numpy as np
import pytest
from helpers import assert_close
from hostile import HOSTILE
from hypothesis import given
from hypothesis import strategies as st

from labkit.air.release import GAS_FROM, GAS_TO, Release, firing_release, moles_per_gram
from labkit.chemistry.formula import molar_mass
from labkit.errors import ChoiceProblem, LabError, RangeProblem, UnitProblem
from labkit.units import Q


class Course:
    """A trace as far as a release asks for one."""

    def __init__(self, minutes, celsius, counted=None):
        self.minutes, self.celsius = np.array(minutes, dtype=float), np.array(celsius, dtype=float)
        if counted is not None:
            self.counted = np.array(counted)


RAMP = Course([0, 100, 300], [50, 550, 550])  # 5 K/min: 150 °C at 20 min, 450 °C at 80 min


def litres(release):
    return release.amount.m_as("mol") * 8.314462618 * 298.15 / 101325 * 1000


def test_the_worked_default():
    # 6 CO(NH2)2 -> C3N4 + 8 NH3 + 3 CO2; 100 g is 1.665 mol, so 2.220 mol of ammonia, 54.3 L, and 0.833 mol of CO2
    ammonia = firing_release("100 g", product="ideal")
    assert_close(ammonia.amount, Q(2.220, "mol"), within=Q(0.0005, "mol"))
    assert litres(ammonia) == pytest.approx(54.3, abs=0.05)
    assert_close(firing_release("100 g", gas="CO2", product="ideal").amount, Q(0.833, "mol"), within=Q(0.0005, "mol"))
    # if every mole goes to NH3 and HNCO: 40.7 L and 71.6 g
    assert litres(firing_release("100 g", share="split")) == pytest.approx(40.7, abs=0.05)
    acid = firing_release("100 g", share="split", gas="HNCO").amount * molar_mass("HNCO")
    assert_close(acid.to("g"), Q(71.6, "g"), within=Q(0.05, "g"))


def test_at_most_is_at_least_the_others():
    for product in ("melon", "ideal"):
        usual = firing_release("37 g", product=product).amount
        assert firing_release("37 g", share="at most").amount >= usual
    # two nitrogens in each urea of 60.055 g/mol
    assert_close(firing_release("37 g", share="at most").amount, Q(37 / 60.055 * 2, "mol"), relative=1e-4)


@given(st.lists(st.tuples(st.floats(0.01, 5), st.floats(0.01, 1)), min_size=1, max_size=6))
def test_the_gas_is_all_there_whatever_the_profile(steps):
    whole = sum(part for _, part in steps)
    profile = [(Q(hours, "h"), part / whole) for hours, part in steps]
    spread = firing_release("37 g", profile=profile)
    assert_close(spread.amount, firing_release("37 g").amount, relative=1e-9)
    assert_close(spread.duration, Q(sum(hours for hours, _ in steps), "h"), relative=1e-9)


def test_evenly_over_a_ramp():
    release = firing_release("37 g", profile=RAMP)
    assert_close(release.duration, Q(1, "h"), relative=1e-9)
    assert_close(release.amount, firing_release("37 g").amount, relative=1e-9)
    assert len(release.steps) == 1 and "150 to 450 °C" in release.assumption


@pytest.mark.parametrize("finer", [1, 7, 400])
def test_a_finer_log_says_the_same(finer):
    minutes = np.linspace(0, 300, 300 * finer + 1)
    release = firing_release("37 g", profile=Course(minutes, np.interp(minutes, RAMP.minutes, RAMP.celsius)))
    assert_close(release.duration, Q(1, "h"), relative=1e-6)
    assert len(release.steps) == 1


def test_a_dip_gives_no_gas():
    # up through 150 °C at 10 min, down through it at 20, up again at 30, 450 °C at 60
    release = firing_release("37 g", profile=Course([0, 15, 25, 60], [50, 200, 100, 450 + 0]))
    dry = [duration.m_as("min") for duration, rate in release.steps if rate.magnitude == 0]
    assert len(release.steps) == 3 and dry == [pytest.approx(5 + 35 * 50 / 350)]
    assert_close(release.amount, firing_release("37 g").amount, relative=1e-9)


def test_what_is_not_counted_makes_the_rest_stronger():
    gap = Course([0, 20, 50, 80, 100], [50, 150, 300, 450, 550], [True, True, False, True])
    whole = Course([0, 20, 50, 80, 100], [50, 150, 300, 450, 550])
    strong, even = (firing_release("37 g", profile=profile) for profile in (gap, whole))
    assert_close(strong.highest_rate, 2 * even.highest_rate, relative=1e-9)
    assert_close(strong.amount, even.amount, relative=1e-9)


def test_a_trace_that_stops_short_of_the_top():
    # highest 300 °C: counted until it first comes within 5 K of it
    release = firing_release("37 g", profile=Course([0, 100, 600], [50, 300, 300]))
    assert_close(release.duration, Q((295 - 150) / 2.5, "min"), relative=1e-9)


def test_anything_that_has_a_trace_will_do():
    class Holder:
        trace = RAMP

    class Caller:
        def trace(self):
            return RAMP

    for holder in (Holder(), Caller()):
        assert firing_release("37 g", profile=holder).steps == firing_release("37 g", profile=RAMP).steps
    heat = pytest.importorskip("labkit.heat.trace")
    real = firing_release("37 g", profile=heat.Trace(RAMP.minutes, RAMP.celsius))
    assert real.steps == firing_release("37 g", profile=RAMP).steps


@given(st.lists(st.floats(0, 900), min_size=2, max_size=40), st.integers(0, 10**6))
def test_any_trace_keeps_the_amount_or_is_refused(readings, seed):
    gaps = np.random.default_rng(seed).uniform(0.1, 30, len(readings))
    try:
        release = firing_release("37 g", profile=Course(np.cumsum(gaps), readings))
    except RangeProblem:
        # only where nothing is passed on the way up: a cold trace, or one that starts at the top of its own range
        top = min(GAS_TO, max(readings) - 5)
        assert top <= GAS_FROM or readings[0] >= top
        return
    assert_close(release.amount, firing_release("37 g").amount, relative=1e-9)
    assert release.duration.m_as("min") <= np.sum(gaps) * (1 + 1e-9)


@pytest.mark.parametrize("profile", [Course([0, 60], [20, 120]), Course([0, 60], [500, 550]), [("1 h", "50 %")], [("1 h", "150 %")], "fast", 5, [("1 h",)], ["1 h"], [],
                                     [("1 h", "nonsense")], [("0 h", "100 %")], [("1 h", "-20 %"), ("1 h", "120 %")]])  # fmt: skip
def test_profiles_that_do_not_do(profile):
    with pytest.raises(LabError):
        firing_release("37 g", profile=profile)


def odd(minutes, celsius, counted=None):
    """A trace whose parts are handed over as they are."""
    return type("Odd", (), {"minutes": minutes, "celsius": celsius, "counted": counted})()


@pytest.mark.parametrize("trace, words", [
    (odd([0, 60, 120], [20, 550]), "one reading for each time"), (odd([[0, 60]], [[20, 550]]), "one reading for each time"),
    (odd(None, None), "one reading for each time"), (odd([], []), "at least two"), (odd([0], [550]), "at least two"),
    (odd([0, 60, 120], [20, float("nan"), 550]), "not numbers"), (odd([0, float("inf"), 120], [20, 300, 550]), "not numbers"),
    (odd([0, 120, 60], [20, 300, 550]), "have to rise"), (odd([0, 60, 60], [20, 300, 550]), "have to rise"),
    (odd(["now", "later"], [20, 550]), "plain numbers"), (odd([0, 60], [20, 550], [True, True]), "‘counted’"),
    (odd({"a": 1}, [20]), "plain numbers"),
])  # fmt: skip
def test_an_odd_trace_is_refused_in_words(trace, words):
    with pytest.raises(RangeProblem, match=words) as caught:
        firing_release("37 g", profile=trace)
    assert "over='2 h'" in str(caught.value) and "all at once" in str(caught.value)


def test_words_that_do_not_do():
    for asked in ({"gas": "CO"}, {"share": "some"}, {"precursor": "sugar"}, {"product": "diamond"}, {"gas": "HCN"}):
        with pytest.raises(ChoiceProblem):
            firing_release("37 g", **asked)
    with pytest.raises(ChoiceProblem, match="urea"):
        firing_release("37 g", "melamine", share="split")
    for mass in ("0 g", "-3 g", "37 ± 2 g", Q([1, 2], "g"), "37 mL", 37):
        with pytest.raises(LabError):
            firing_release(mass)
    with pytest.raises(UnitProblem):
        Release("NH3", "1 h")


def test_a_release_says_what_it_takes_for_granted():
    assert "Assumed: all at once" in str(firing_release("37 g", profile="all at once")).replace("\n", " ")
    assert "extraction" in firing_release("37 g").cautions()
    assert "out at once" in firing_release("37 g").cautions()  # of the room, beside those of the firing
    for profile in (None, RAMP):
        assert "in bursts" in firing_release("37 g", profile=profile).assumption
    # Schaber 2004: isocyanic acid above 152 °C; Jones and Rollinson 2013: major decomposition from about 133 °C
    said = firing_release("37 g", profile=RAMP).assumption
    assert "133 °C" in said and "through the hold" in said and "higher peak" in said


def test_the_shorter_span_makes_the_higher_peak():
    longer = [(Q((450 - 133) / 5, "min"), "100 %")]  # as if it came from 133 °C on, at 5 K/min
    assert firing_release("37 g", profile=RAMP).highest_rate > firing_release("37 g", profile=longer).highest_rate


def test_amounts_that_are_kept_can_not_be_changed():
    kept = moles_per_gram("urea")
    with pytest.raises(TypeError):
        kept["NH3"] = 0.0
    assert kept["NH3"] == pytest.approx(2 / 60.055, rel=1e-4)  # two nitrogens in each urea


def test_thiourea_has_its_own_cautions():
    assert "carbon disulfide" in firing_release("37 g", "thiourea", gas="CS2").cautions()


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_gets_a_kind_word_from_each_reader(text):
    for call in (lambda: firing_release(text), lambda: firing_release("37 g", gas=text)):
        try:
            call()
        except LabError:
            pass


@pytest.mark.parametrize("text", HOSTILE[::4])
def test_hostile_text_gets_a_kind_word(text):
    calls = [
        lambda: firing_release(text),
        lambda: firing_release("37 g", precursor=text),
        lambda: firing_release("37 g", over=text),
        lambda: firing_release("37 g", gas=text),
        lambda: firing_release("37 g", share=text),
        lambda: firing_release("37 g", profile=text),
        lambda: firing_release("37 g", profile=[(text, "100 %")]),
        lambda: firing_release("37 g", profile=[("1 h", text)]),
        lambda: firing_release("37 g", product=text),
        lambda: Release(text),
        lambda: Release("NH3", [(text, text)]),
        lambda: Release("NH3", (), text),
    ]
    for call in calls:
        try:
            call()
        except LabError:
            pass
