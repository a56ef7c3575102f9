"""Workbook 02: the lag of a kiln, its duty and ripple, a log and its probe, energy and cost.  All numbers are invented."""

from math import log10

from labkit.exercises.exercise import Exercise
from labkit.heat.energy import cost, firing_energy
from labkit.heat.hold import duty_to_hold, ripple
from labkit.heat.kiln import Kiln
from labkit.heat.lag import temperature_after, time_constant_from, time_to_reach
from labkit.heat.probe import probe_temperature
from labkit.heat.trace import Trace
from labkit.units import Q, number

_RIPPLING = Kiln("70.0 min", "860 °C")
_THREE = Trace([0, 20, 50], [500, 560, 530])


def _shares(kiln, temperature):
    return number(duty_to_hold(kiln, temperature), "percent")


EXERCISES = (
    Exercise(
        "2.1",
        "Left on, a kiln heads for 760 °C with a time constant of 64.0 min. How long does it take from 20 °C to 530 °C?",
        lambda: time_to_reach("530 °C", "20 °C", "760 °C", "64.0 min"),
        "The distance to the ceiling falls from 740 to 230 K. 64.0 min times the natural logarithm of 740 over 230.",
        slips={
            "You went straight, as if it did not slow down: divide the distances and take the natural logarithm.": (
                lambda: Q(64.0 * 510 / 740, "min")
            ),
            "You took the logarithm to base 10; the natural one, ln, belongs here.": (
                lambda: Q(64.0 * log10(740 / 230), "min")
            ),
            "You divided by the distance gone, 510 K; divide by the distance that is left, 230 K.": (
                lambda: Q(time_to_reach("250 °C", "20 °C", "760 °C", "64.0 min").m_as("min"), "min")
            ),
        },
    ),
    Exercise(
        "2.2",
        "Switched off in air of 20 °C, a kiln falls from 480 °C to 300 °C in 35.0 min. What is its time constant?",
        lambda: time_constant_from("480 °C", "300 °C", "20 °C", "35.0 min"),
        "The distance to the air falls from 460 to 280 K. 35.0 min over the natural logarithm of 460 over 280.",
        slips={
            "You took the readings themselves; take off the air, 20 °C, from both first.": (
                lambda: time_constant_from("480 °C", "300 °C", "0 °C", "35.0 min")
            ),
            "You took the logarithm to base 10; the natural one, ln, belongs here.": (
                lambda: Q(35.0 / log10(460 / 280), "min")
            ),
            "You multiplied by the logarithm; divide by it.": lambda: time_to_reach(
                "300 °C", "480 °C", "20 °C", "35.0 min"
            ),
        },
    ),
    Exercise(
        "2.3",
        "A kiln at 600 °C is switched off in air of 20 °C. Its time constant is 80.0 min. What does it read 100 min later, "
        "in °C?",
        lambda: temperature_after("100 min", "600 °C", "20 °C", "80.0 min"),
        "Of the 580 K above the air e to the power of minus 100 over 80.0 is left, 166 K. Add the air, 20 °C.",
        slips={
            "That is the distance to the air; add the air itself, 20 °C.": lambda: Q(
                number(temperature_after("100 min", "580 °C", "0 °C", "80.0 min"), "degC"), "degC"
            ),
            "That is what it has lost, added to the air; keep what is left of the distance.": (
                lambda: temperature_after("100 min", "20 °C", "600 °C", "80.0 min")
            ),
        },
        within="1 K",
    ),
    Exercise(
        "2.4",
        "A kiln with a ceiling of 835 °C stands in air of 15 °C. For what percentage of the time must it be on to hold "
        "545 °C?",
        lambda: duty_to_hold(Kiln("70 min", "835 °C", "15 °C"), "545 °C"),
        "545 less 15, over 835 less 15, in percent.",
        slips={
            "That is the share of the time it is off.": lambda: Q(
                100 - _shares(Kiln("70 min", "835 °C", "15 °C"), "545 °C"), "percent"
            ),
            "You put kelvin in both: what counts is the distance to the air, not to absolute zero.": (
                lambda: Q(100 * 818.15 / 1108.15, "percent")
            ),
            "You turned it over: a share of the time is below 100 %.": lambda: Q(100 * 820 / 530, "percent"),
        },
    ),
    Exercise(
        "2.5",
        "In steady rhythm a kiln is 12.0 min on and 8.0 min off. Its time constant is 70.0 min, its ceiling 860 °C, the "
        "air 20 °C. To what reading, in °C, does it climb each time?",
        lambda: ripple(_RIPPLING, "12.0 min", "8.0 min").high,
        "840 K times (1 − e^(−12.0/70.0)) over (1 − e^(−20.0/70.0)), and the air on top.",
        slips={
            "That is the mean, 60.0 % of the way to the ceiling; the top is higher.": (
                lambda: ripple(_RIPPLING, "12.0 min", "8.0 min").mean
            ),
            "That is the lowest reading, at the end of the time off.": (
                lambda: ripple(_RIPPLING, "12.0 min", "8.0 min").low
            ),
        },
        within="1 K",
    ),
    Exercise(
        "2.6",
        "A type K probe gives 20.90 mV. Its wires end at a meter of 28 °C. From the table: 28 °C is 1.122 mV, 530 °C is "
        "21.924 mV, 540 °C is 22.350 mV. What is the kiln at, in °C?",
        lambda: probe_temperature("20.90 mV", junction="28 °C"),
        "Voltages add up: 20.90 and 1.122 mV are 22.022 mV. That is 530 °C and 10 °C times (22.022 − 21.924) over "
        "(22.350 − 21.924). Adding 28 degrees to the reading of 20.90 mV instead is almost 2 °C off.",
        slips={
            "You left out the meter's own 28 °C: add its 1.122 mV first.": lambda: probe_temperature("20.90 mV"),
            "You took the 1.122 mV off; add them, as the wires end warmer than 0 °C.": (
                lambda: probe_temperature("19.778 mV")
            ),
        },
        within="0.5 K",
    ),
    Exercise(
        "2.7",
        "Three lines of a log: 10:00 500 °C, 10:20 560 °C, 10:50 530 °C, and straight lines in between. How long was it "
        "above 540 °C?",
        lambda: _THREE.time_above("540 °C"),
        "On the way up it crosses after 40 of 60 K, on the way down after 20 of 30 K: the last third of 20 min and the "
        "first two thirds of 30 min.",
        slips={
            "You counted readings; solve the two crossings on the straight lines.": lambda: Q(50 / 3, "min"),
            "That is the time below 540 °C.": lambda: _THREE.time_below("540 °C"),
            "That is the way down alone; there is a part of the way up too.": lambda: Q(20.0, "min"),
        },
    ),
    Exercise(
        "2.8",
        "Elements of 1.60 kW are on for 45.0 % of a firing of 6.50 h. What energy does it take, in kWh?",
        lambda: firing_energy("6.50 h", "1.60 kW", duty="45 %").likely,
        "Power times time times the share of the time on: 1.60 kW times 6.50 h times 0.450.",
        slips={
            "That is for elements that are always on; take 45.0 % of it.": lambda: Q(1.60 * 6.50, "kWh"),
            "That is the time off; they are on for 45.0 %.": lambda: Q(1.60 * 6.50 * 0.55, "kWh"),
            "You divided by the hours; power times time is energy.": lambda: Q(1.60 * 0.45 / 6.50, "kWh"),
        },
    ),
    Exercise(
        "2.9",
        "A firing takes 5.30 kWh, and 100 kWh cost 31.4 euros. How many euros does it cost? Type the number alone.",
        lambda: cost("5.30 kWh", "31.4 €/100 kWh").amount.likely,
        "One kWh costs 31.4 over 100 euros; times 5.30.",
        slips={
            "That is the price of one kWh over the energy; multiply.": lambda: Q(0.314 / 5.30, ""),
            "You divided the energy by the price; multiply.": lambda: Q(5.30 / 0.314, ""),
        },
    ),
    Exercise(
        "2.10",
        "An old controller shows 986 °F. What is that in °C?",
        lambda: Q(986.0, "degF").to("degC"),
        "Take off 32, then divide by 1.8.",
        slips={
            "You forgot to take off the 32 first.": lambda: Q(986 / 1.8, "degC"),
            "You multiplied by 1.8; divide.": lambda: Q((986 - 32) * 1.8, "degC"),
            "That is in kelvin: take off 273.15.": lambda: Q(986.0, "degF").to("degC").magnitude + 273.15,
        },
        within="0.5 K",
    ),
)
