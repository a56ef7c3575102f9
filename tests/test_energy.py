"""Energy and cost of a firing against printed examples, and the balance of a lump."""

from pathlib import Path

import numpy as np
import pytest
from chemicals import Hfg, Hfs
from helpers import assert_close, published
from hostile import HOSTILE
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.heat.energy import cost, firing_energy, heat_to_decompose, tariff, usual_tariff
from labkit.heat.fit import kiln_fit
from labkit.heat.hold import fastest_rate
from labkit.heat.kiln import Kiln, course, cycles, kiln_from_power
from labkit.heat.logfile import read_log
from labkit.heat.schedule import schedule
from labkit.heat.trace import Trace
from labkit.units import Q, number

KILN = Kiln("80 min", "900 °C")
INVENTED = Path(__file__).parent.parent / "workbooks" / "data" / "invented_firing_log.csv"


@pytest.mark.parametrize("row", published("energy"), ids=lambda row: row["case"])
def test_printed_examples(row):
    power, time = Q(float(row["power_kW"]), "kW"), Q(float(row["time_h"]), "h")
    energy = firing_energy(time, power, duty=Q(float(row["duty_percent"]), "percent"))
    assert energy.low == energy.high
    if row["printed_kWh"]:
        assert_close(energy.likely, Q(float(row["printed_kWh"]), "kWh"), within=Q(float(row["kWh_tolerance"]), "kWh"))
    paid = cost(energy, f"{row['price_USD_per_kWh']} $/kWh")
    assert paid.currency == "$"
    assert_close(paid.amount.likely, float(row["printed_USD"]), within=float(row["USD_tolerance"]))


def test_without_a_duty_it_spans_what_is_usual():
    energy = firing_energy("6 h", "1.2 kW")
    assert_close(
        energy.low, Q(7.2 * 0.15, "kWh"), relative=1e-9
    )  # a potter's page: 15 % in preheat, 65 % for stoneware
    assert_close(energy.high, Q(7.2 * 0.65, "kWh"), relative=1e-9)
    assert energy.driver == "duty"
    plan = schedule("to 550 °C in 2 h", "hold 3 h", "cool to 60 °C with 80 min")
    assert_close(firing_energy(plan, "1 kW", duty="100 %").likely, Q(5, "kWh"), relative=1e-9)  # off while it cools


def test_a_kiln_takes_what_it_loses_and_stores():
    # 1.5 W/K and 7.2 kJ/K with 1.2 kW.  By hand, in kJ: ramp to 550 °C in 200 min, mean 265 K above the room: 1.5 × 265 × 12000 s =
    # 4770; stored 7.2 × 530 = 3816; hold 2 h: 1.5 × 530 × 7200 s = 5724; in all 14 310 kJ = 3.975 kWh.
    kiln = kiln_from_power("1.2 kW", "1.5 W/K", "7.2 kJ/K")
    plan = schedule("to 550 °C in 200 min", "hold 2 h", "cool to 60 °C with 80 min")
    assert_close(firing_energy(plan, "1.2 kW", kiln=kiln).likely, Q(14310, "kJ"), relative=1e-9)


@settings(max_examples=25)
@given(tau=st.floats(30, 150), ceiling=st.floats(650, 1200), minutes=st.floats(10, 300), held=st.floats(0.2, 0.9))
def test_the_course_of_a_kiln_takes_the_power_that_drove_it(tau, ceiling, minutes, held):
    kiln = Kiln(Q(tau, "min"), Q(ceiling, "degC"))
    found = course(kiln, [(Q(minutes, "min"), held), (Q(60, "min"), held)])
    spent = firing_energy(found.trace("10 s"), "1 kW", kiln=kiln)
    assert_close(
        spent.likely, Q(held * (minutes + 60) / 60, "kWh"), relative=1e-3
    )  # straight lines in place of the curve


def test_a_falling_log_never_gives_energy_back():
    fall = course(KILN, [("3 h", False)], start="560 °C").trace("1 min")
    # Each straight line of a minute is too slow by half a minute's change at its end: 1/(8 × 80) of the 0.73 kWh lost.
    assert number(firing_energy(fall, "1 kW", kiln=KILN).likely, "kWh") == pytest.approx(0, abs=1.3e-3)
    faster = schedule("cool to 60 °C at 20 °C/min", start="560 °C")
    slower = schedule("cool to 460 °C at 0.5 °C/min", start="560 °C")
    assert 0 <= number(firing_energy(faster, "1 kW", kiln=KILN).likely, "kWh") < 1e-3
    # 490 K above the room on average less 80 min × 0.5 K/min = 40 K, of 880 K: 51 % of 200 min
    assert_close(firing_energy(slower, "1 kW", kiln=KILN).likely, Q((490 - 40) / 880 * 200 / 60, "kWh"), relative=1e-9)


def test_a_crossing_is_integrated_exactly():
    # From 560 °C down to 60 °C at 4 K/min: share (T - 20 - 320)/880 is above zero down to 340 °C only: a triangle of 0.25 × 55 min / 2.
    plan = schedule("cool to 60 °C at 4 °C/min", start="560 °C")
    assert_close(firing_energy(plan, "60 kW", kiln=KILN).likely, Q(0.25 * 55 / 2, "kWh"), relative=1e-9)


def test_a_ramp_that_is_too_fast_is_told_with_what_can_be_done():
    top = fastest_rate(KILN, "550 °C").m_as("delta_degC/min")
    assert firing_energy(schedule(f"to 550 °C at {top * 0.999:.6f} °C/min"), "1 kW", kiln=KILN)
    with pytest.raises(RangeProblem, match="faster than the kiln can: at 550 °C.*at most 4.4 °C/min"):
        firing_energy(schedule(f"to 550 °C at {top * 1.01:.6f} °C/min"), "1 kW", kiln=KILN)
    with pytest.raises(RangeProblem, match="never gets to 950 °C"):
        firing_energy(schedule("to 950 °C at 0.1 °C/min"), "1 kW", kiln=KILN)


def test_a_range_of_kilns_gives_a_range():
    plan = schedule("to 550 °C at 2 °C/min", "hold 3 h")
    span = firing_energy(plan, "1.1 to 1.3 kW", kiln=Kiln("60 to 100 min", "800 to 1000 °C"))
    assert span.low < span.likely < span.high and span.driver in ("ceiling", "power", "time constant")


def test_heat_of_decomposition():
    # 281 kJ per 100 g, from the enthalpies of formation that the chemicals package ships.
    per_mole = (Hfg("7664-41-7") + Hfg("75-13-8") - Hfs("57-13-6")) / 1000
    assert_close(heat_to_decompose("100 g"), Q(per_mole / 60.0553 * 100, "kJ"), within=Q(0.5, "kJ"))
    assert_close(heat_to_decompose("100 g"), Q(281, "kJ"), within=Q(0.5, "kJ"))
    with pytest.raises(LabError, match="urea only"):
        heat_to_decompose("10 g", "melamine")


@pytest.mark.parametrize("text, per_kwh, currency", [
    ("0.30 €/kWh", 0.30, "€"), ("30 ct/kWh", 30, "ct"), ("€0.30/kWh", 0.30, "€"), ("$ 0.12 per kWh", 0.12, "$"), ("0,30 EUR / kWh", 0.30, "EUR"),
    ("28.72 €/100 kWh", 0.2872, "€"), ("287.2 €/MWh", 0.2872, "€"), ("12 Kč/kWh", 12, "Kč"), ("0.25 to 0.35 €/kWh", 0.30, "€"), ("0.25 € to 0.35 €/kWh, likely 0.31 €", 0.31, "€"),
])  # fmt: skip
def test_tariffs(text, per_kwh, currency):
    found = tariff(text)
    assert found.currency == currency
    assert found.amount.likely.m_as("1/kWh") == pytest.approx(per_kwh, rel=1e-12)


def test_the_usual_tariff_says_its_year_and_prints():
    # Eurostat, second half of 2024: 28.72 € per 100 kWh, from 10.32 (Hungary) to 39.43 (Germany).
    assert usual_tariff().amount.m_as("1/kWh") == pytest.approx((0.1032, 0.2872, 0.3943))
    assert "2024" in usual_tariff().why
    assert str(cost("7 to 11.4 kWh, likely 9 kWh", "0.30 €/kWh")) == "2.1 to 3.4 €, likely 2.7 €"
    assert str(cost("9 kWh", "0.30 €/kWh")) == "2.70 €"
    assert cost("9 kWh").currency == "€"


@pytest.mark.parametrize("text", ["", "0.30", "0.30 €", "0.30/kWh", "-0.3 €/kWh", "0.3 €/kg", "1e3 €/kWh", "0.3 €/kWh/MWh", "0.3 € $/kWh", "<b>0.3</b> €/kWh", "0.3 <script>/kWh",
                                  "0.3 " + "€" * 13 + "/kWh", "0.3 €/kWh" + " " * 60, "0.4 to 0.3 €/kWh", None, 0.3, "nan €/kWh", "0.3 €/kWh €/kWh $"])  # fmt: skip
def test_what_is_no_tariff_is_refused(text):
    with pytest.raises(ReadingProblem):
        tariff(text)


@pytest.mark.parametrize("arguments", [
    ("6 h", "1 kW", "120 %"), ("6 h", "1 kW", "-5 %"), ("0 h", "1 kW"), ("6 h", "0 kW"), ("6 h", "1 kg"), ("6 h", "1 kW", "50 %", KILN), ("6 h", "1 kW", None, KILN),
    ("6 h", "1 kW", None, "kiln"), (None, "1 kW"), (Q(np.array([1, 2]), "h"), "1 kW"),
])  # fmt: skip
def test_what_is_no_firing_is_refused(arguments):
    with pytest.raises(LabError):
        firing_energy(*arguments)


def refuse(text):
    calls = [lambda: firing_energy(text, "1 kW"), lambda: firing_energy("6 h", text), lambda: cost(text), lambda: heat_to_decompose(f"{text} kg kg"),
             lambda: tariff(text), lambda: heat_to_decompose("10 g", text)]  # fmt: skip
    for call in calls:
        with pytest.raises(LabError):
            call()
    for call in (
        lambda: firing_energy("6 h", "1 kW", duty=text),
        lambda: tariff(f"{text} €/kWh"),
        lambda: tariff(f"0.3 {text}/kWh"),
    ):
        try:
            found = call()
        except LabError:
            continue
        currency = getattr(found, "currency", "€")  # what passes is a plain number, or a word of letters
        assert all(mark.isalpha() or mark in "€$." for mark in currency) and len(currency) <= 12


def test_hostile_text_is_refused():
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        refuse(text)


@pytest.mark.parametrize("text, words", [
    ("0.25-0.35 €/kWh", "Write the word “to” between the ends of a price: 0.25 to 0.35."), ("0.25 € – 0.35 €/kWh", "Write the word “to”"),
    ("-0.1 €/kWh", "A price is not below zero."), ("0.2 to -0.1 €/kWh", "A price is not below zero."), ("€ −0.1/kWh", "A price is not below zero."),
    ("0.35 to 0.25 €/kWh", "Type the lower end of a price first."),
])  # fmt: skip
def test_slips_in_a_tariff_are_named(text, words):
    with pytest.raises(ReadingProblem) as problem:
        tariff(text)
    assert words in str(problem.value) and "0.25 to 0.35 €/kWh" in str(problem.value)


def rhythm(kiln=KILN):
    """A firing by hand: 100 min on, 18 rounds of 6 min on and 4 min off, then off: 208 min at full power."""
    return course(kiln, [("100 min", True), *cycles("6 min", "4 min", 18), ("3 h", False)])


@settings(max_examples=25)
@given(st.lists(st.tuples(st.floats(0.2, 90), st.floats(0, 1)), min_size=1, max_size=8))
def test_a_course_of_that_very_kiln_takes_its_switching(pieces):
    run = course(KILN, [(Q(minutes, "min"), share) for minutes, share in pieces])
    spent = firing_energy(run, "1.3 kW", kiln=Kiln(Q(80 / 60, "h"), "900 °C"))  # the same kiln in other words
    assert_close(spent.likely, Q(1.3 / 60 * sum(m * s for m, s in pieces), "kWh"), within=Q(1e-9, "kWh"))


@pytest.mark.parametrize("sigma, within", [(0.0, 0.003), (0.3, 0.006), (1.0, 0.012)])
def test_a_log_that_scatters_is_told_nearly_as_well(sigma, within):
    # Shares scatter by 1.4 sigma/5 min × 80 min/880 K: 0.8 % for 0.3 K; cut off at 0 and 1, by 0.4 of that too high or too low.
    run, random = rhythm().trace("1 min"), np.random.default_rng(11)
    text = "min;°C\n" + "\n".join(
        f"{m:.3f};{c:.2f}" for m, c in zip(run.minutes, run.celsius + random.normal(0, sigma, len(run)))
    )
    for firing in (read_log(text), read_log(text).trace):
        assert_close(firing_energy(firing, "1 kW", kiln=KILN).likely, Q(208 / 60, "kWh"), relative=within)


def test_the_bundled_log_and_a_kiln_with_ranges_are_taken():
    log = read_log(INVENTED)
    spent = firing_energy(log, "1.4 to 1.6 kW", kiln=kiln_fit(log).kiln)
    assert spent.low < spent.likely < spent.high and spent.why == "gaps of the log, 13 min, are left out"
    wide = firing_energy(rhythm(), "1 kW", kiln=Kiln("75 to 85 min", "880 to 920 °C"))
    assert wide.low < Q(208 / 60, "kWh") < wide.high and not wide.why


def test_gaps_are_left_out():
    # 460 °C is half of the way to the ceiling: on for half of the time, of which 30 min of 120 are not known.
    held = Trace([0, 40, 70, 120], [460.0] * 4, [True, False, True])
    spent = firing_energy(held, "1 kW", kiln=KILN)
    assert_close(spent.likely, Q(0.5 * 90 / 60, "kWh"), relative=1e-9)
    assert "30 min" in spent.why
    with pytest.raises(RangeProblem, match="nothing but gaps"):
        firing_energy(Trace([0, 60], [460, 460], [False]), "1 kW", kiln=KILN)


@pytest.mark.parametrize("rate, taken", [(8.15, True), (8.4, False)])
def test_what_clearly_asks_for_more_than_full_power_is_refused_in_words_for_a_log(rate, taken):
    # 100 min at half power, then 10 min up from 460 °C: (440 + 5 r + 80 r)/880 of full power on average, so that it asks for
    # (85 r - 440)/88 min beyond it: 2.87 and 3.11 min.  A twentieth of the 60 min on is 3 min.
    trace = Trace([0, 100, 110], [460, 460, 460 + 10 * rate])
    if taken:
        assert_close(firing_energy(trace, "1 kW", kiln=KILN).likely, Q(1, "kWh"), relative=1e-9)
    else:
        with pytest.raises(
            RangeProblem, match="more than the kiln can give: 1 h 50 min from the start.*log of another kiln"
        ) as problem:
            firing_energy(trace, "1 kW", kiln=KILN)
        assert "slower ramp" not in str(problem.value)


def test_a_course_that_another_kiln_cannot_follow_is_refused():
    assert firing_energy(rhythm(), "1 kW", kiln=Kiln("70 min", "900 °C")).likely < Q(208 / 60, "kWh")
    with pytest.raises(RangeProblem, match="another kiln"):
        firing_energy(rhythm(), "1 kW", kiln=Kiln("160 min", "900 °C"))


def test_readings_far_apart_are_one_window_each_in_a_log():
    # Natural cooling read every quarter of an hour: the mean of a line lies h²/12 tau² of the distance too high, here 0.3 % at most.
    run = course(KILN, [("3 h", False)], start="560 °C").trace("15 min")
    log = read_log("min;°C\n" + "\n".join(f"{m:g};{c:.2f}" for m, c in zip(run.minutes, run.celsius)))
    assert number(firing_energy(log, "1 kW", kiln=KILN).likely, "kWh") < 0.003 * 540 / 880 * 3


def test_a_time_may_be_a_range():
    spent = firing_energy("6 to 8 h, likely 7 h", "1 kW", duty="50 %")
    assert spent.m_as("kWh") == pytest.approx((3, 3.5, 4)) and spent.driver == "time"
