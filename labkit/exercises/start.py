"""Workbook 00: units, decimal comma, percent, figures, readings, ranges.  All numbers are invented."""

from labkit.exercises.exercise import Exercise
from labkit.units import Q, as_range, range_from, read

_BATH = (Q(45.0, "degC") - Q(18.0, "degC")).to("K")
_RATE = Q(0.50, "K/min")


def _powder_left():
    return range_from(lambda loss: Q(7.50, "g") * (1 - loss), loss=as_range("5 % to 20 %, likely 12 %", "[]"))


def _weighing():
    reading = read("2.40 ± 0.06 g").magnitude
    return Q(100 * reading.std_dev / reading.nominal_value, "percent")


EXERCISES = (
    Exercise(
        "0.1",
        "One spoon of powder weighs 340 mg. What do six spoons weigh, in grams?",
        lambda: (6 * Q(340, "mg")).to("g"),
        "6 times 340 mg, divided by the 1000 mg in a gram.",
        slips={
            "That is one spoon; there are six.": lambda: Q(0.34, "g"),
            "A gram is 1000 mg, not 100.": lambda: Q(20.4, "g"),
        },
    ),
    Exercise(
        "0.2",
        "A balance with a decimal comma shows 31,62 g for an empty jar and 34,05 g for the jar with powder. How much "
        "powder is in it?",
        lambda: Q(34.05, "g") - Q(31.62, "g"),
        "34,05 g minus 31,62 g. The comma is only a decimal mark.",
        slips={
            "You left out the comma: 34,05 g is not 3405 g.": lambda: Q(243, "g"),
            "You added; take the jar away.": lambda: Q(65.67, "g"),
            "That is the full jar; take the empty one away.": lambda: Q(34.05, "g"),
        },
    ),
    Exercise(
        "0.3",
        "8.40 g of moist powder loses 5.0 % of its mass when it dries. How much is left?",
        lambda: Q(8.40, "g") * (1 - 0.05),
        "5.0 % is 0.050. What stays is 1 minus 0.050 of 8.40 g.",
        slips={
            "That is what was lost; the question is what is left.": lambda: Q(0.42, "g"),
            "You added the 5.0 %; drying takes it away.": lambda: Q(8.82, "g"),
            "You took away half: 5.0 % is 0.050, not 0.50.": lambda: Q(4.20, "g"),
        },
    ),
    Exercise(
        "0.4",
        "6.50 g of powder were ground and washed; 5.20 g came back. What percentage is that?",
        lambda: (Q(5.20, "g") / Q(6.50, "g")).to("percent"),
        "What came back over what went in: 5.20 g over 6.50 g.",
        slips={
            "That is the share that was lost.": lambda: Q(20.0, "percent"),
            "You divided what went in by what came back; turn it over.": lambda: Q(125, "percent"),
        },
    ),
    Exercise(
        "0.5",
        "3.6 g of powder are shared among 7 jars. How much goes into each? Write no more figures than 3.6 supports.",
        lambda: Q(3.6 / 7, "g"),
        "3.6 g over 7. The jars are counted and exact; 3.6 has two figures, and so has the answer.",
        figures=2,
        strict_figures=True,
        slips={
            "You divided the jars by the powder; turn it over.": lambda: Q(7 / 3.6, "g"),
            "You multiplied; sharing is dividing.": lambda: Q(3.6 * 7, "g"),
        },
    ),
    Exercise(
        "0.6",
        "A water bath at 18.0 °C warms by 0.500 K every minute. How long until the thermometer shows 45.0 °C? Three figures.",
        lambda: (_BATH / _RATE).to("min"),
        "The change is 45.0 °C minus 18.0 °C. Divide it by 0.500 K/min.",
        slips={
            "You divided the reading of 45.0 °C; take the change, from 18.0 °C on.": lambda: Q(90.0, "min"),
            "You turned only one of the readings into kelvin.": lambda: Q((318.15 - 18.0) / 0.50, "min"),
            "You multiplied by the rate; divide by it.": lambda: Q(13.5, "min"),
        },
    ),
    Exercise(
        "0.7",
        "80.0 mL of a solution hold 1.50×10⁻³ mol/L. How much substance is that, in mmol?",
        lambda: (Q(1.50e-3, "mol/L") * Q(80.0, "mL")).to("mmol"),
        "1.50×10⁻³ mol/L is 1.50 mmol/L. Times 0.0800 L.",
        slips={
            "You divided by the volume; multiply.": lambda: Q(1.50 / 0.0800, "mmol"),
            "You left the volume in mL; 80.0 mL are 0.0800 L.": lambda: Q(120, "mmol"),
            "That is what one litre holds; you have 80.0 mL.": lambda: Q(1.50, "mmol"),
        },
    ),
    Exercise(
        "0.8",
        "Washing loses 5 % to 20 % of a powder, likely 12 %. From 7.50 g, what is the least you should count on? Three figures.",
        lambda: _powder_left().low,
        "The least is left when the loss is greatest: 7.50 g times (1 minus 0.20).",
        slips={
            "That is the most: it goes with the smallest loss.": lambda: _powder_left().high,
            "That is the likely value; the question is the least.": lambda: _powder_left().likely,
            "That is what is lost; the question is what is left.": lambda: Q(1.50, "g"),
        },
    ),
    Exercise(
        "0.9",
        "A balance shows 2.40 g ± 0.060 g. What percentage is the uncertainty? Two figures.",
        _weighing,
        "0.060 g over 2.40 g.",
        figures=2,
        strict_figures=True,
        slips={
            "That is the whole width; ± counts one side.": lambda: Q(5.0, "percent"),
            "You divided the mass by its uncertainty; turn it over.": lambda: Q(4000, "percent"),
        },
    ),
)
