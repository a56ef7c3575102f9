"""Workbook 06: standards, uptake, washing, settling and spinning.  All numbers are invented."""

from math import log, pi, sqrt

from labkit.exercises.exercise import Exercise
from labkit.units import Q, number, read
from labkit.uptake import (  # fmt: skip
    LANGMUIR,
    calibration,
    held_volume,
    relative_force,
    speed_for,
    stokes_speed,
    taken_up,
    wash_residual,
)


def _read(height=0.030, absorbance=0.384):
    """Return what a line of slope 0.0420 through three standards gives."""
    rows = "".join(f"\n{size};{height + 0.0420 * size}" for size in (0, 6, 12))
    return calibration(f"mg/L;A{rows}", u=0.001).concentration(absorbance).value


def _taken_up(before="132 ± 1.5 mg/L", after="58.0 ± 0.8 mg/L", volume="80.0 mL", **more):
    return taken_up(before, after, volume, "0.650 g", salt="FeCl3", count=0, **more)


def _evaporated(lost="4.00 g", **more):
    return _taken_up(after="61.0 ± 0.8 mg/L", solvent_lost=lost, solvent="acetone", **more).uptake.likely


def _left(washes=3, added="15.0 mL"):
    return wash_residual("4.50 mL", added, washes)


def _ratio():
    return Q(number(wash_residual("5.00 mL", "90.0 mL", 1) / wash_residual("5.00 mL", "30.0 mL", 3), "dimensionless"))


def _turned(speed="3200 rpm", radius="8.50 cm"):
    return relative_force(speed, radius)


def _hours(width="1.50 µm", height="5.00 cm"):
    return (read(height) / stokes_speed(width, "1.21 g/mL", Q(0.320, "mPa*s"))).to("h")


EXERCISES = (
    Exercise(
        "6.1",
        "A calibration line starts at an absorbance of 0.030 and rises by 0.0420 per mg/L. A sample has an absorbance of 0.384. What is its "
        "concentration, in mg/L?",
        _read,
        "0.384 less 0.030, over 0.0420 per mg/L.",
        slips={
            "The line does not start at zero; take its height off first.": lambda: Q(0.384 / 0.0420, "mg/L"),
            "You added the height of the line; take it off.": lambda: Q(0.414 / 0.0420, "mg/L"),
            "You multiplied by the slope; divide by it.": lambda: Q(0.354 * 0.0420, "mg/L"),
        },
    ),
    Exercise(
        "6.2",
        "2.00 mL of a supernatant are filled up to 25.0 mL, and that reads 6.40 mg/L. What is the concentration of the supernatant?",
        lambda: Q(6.40, "mg/L") * (Q(25.0, "mL") / Q(2.00, "mL")),
        "25.0 mL over 2.00 mL is the dilution; times 6.40 mg/L.",
        slips={
            "Filled up to 25.0 mL: the 2.00 mL are in it.": lambda: Q(6.40 * 27.0 / 2.00, "mg/L"),
            "You divided; the supernatant is the stronger one.": lambda: Q(6.40 * 2.00 / 25.0, "mg/L"),
            "That is as if 1 mL had been filled up; it was 2.00 mL.": lambda: Q(6.40 * 25.0, "mg/L"),
        },
    ),
    Exercise(
        "6.3",
        "80.0 mL with 132 mg/L of iron are stirred with 0.650 g of powder; afterwards the liquid, still 80.0 mL, has 58.0 mg/L. What is the uptake, "
        "in mg per gram of powder?",
        lambda: _taken_up().uptake.likely,
        "132 less 58.0 mg/L, times 0.0800 L, over 0.650 g.",
        slips={
            "That is what was left in the liquid; what is missing from it was taken up.": lambda: Q(
                58.0 * 0.0800 / 0.650, "mg/g"
            ),
            "That is all that was offered; take off what was left.": lambda: Q(132 * 0.0800 / 0.650, "mg/g"),
            "That is for all of the powder; divide by its mass.": lambda: Q(74.0 * 0.0800, "mg/g"),
            "80.0 mL are 0.0800 L.": lambda: Q(74.0 * 80.0 / 0.650, "mg/g"),
        },
    ),
    Exercise(
        "6.4",
        "A powder took up 45.0 mg of zinc per gram. What is its real loading, in percent?",
        lambda: taken_up("0.450 ± 0.001 g/L", "0 mg/L", "100 mL", "1 g", salt="ZnCl2", count=0).loading.likely,
        "45.0 mg over all that is there now, 1000 mg of powder and 45.0 mg of zinc.",
        slips={
            "That is per gram of powder; the loading is per gram of metal and powder together.": lambda: Q(
                4.50, "percent"
            ),
            "The metal came on top of the gram of powder; it is not a part of it.": lambda: Q(
                45.0 / 955 * 100, "percent"
            ),
        },
    ),
    Exercise(
        "6.5",
        "Settled powder holds 4.50 mL of liquid. It is washed three times with 15.0 mL each, well stirred up. How many percent of the dissolved "
        "salt are left?",
        _left,
        "4.50 over 19.5 mL is left by each wash; to the power of three.",
        slips={
            "That is one wash of 45.0 mL; three of 15.0 mL leave less.": lambda: _left(1, "45.0 mL"),
            "That is after one wash.": lambda: _left(1),
            "The salt spreads over held and fresh liquid together, 19.5 mL.": lambda: Q(
                100 * (4.50 / 15.0) ** 3, "percent"
            ),
            "That is what went; the question asks what is left.": lambda: Q(100, "percent") - _left(),
            "You divided by three; each wash leaves its share of what the one before left.": lambda: _left(1) / 3,
            "You added the three shares; they multiply.": lambda: _left(1) * 3,
        },
    ),
    Exercise(
        "6.6",
        "A rotor turns at 3200 rpm; the bottom of its tubes is 8.50 cm from the axis. What is the relative centrifugal force there, as a "
        "multiple of g? Type the number alone. (It is ω²r/g with ω = 2π times the turns per second, and g is 9.81 m/s².)",
        _turned,
        "3200 over 60, times 2π, is ω; its square times 0.0850 m, over 9.81 m/s².",
        slips={
            "A turn is 2π: ω is 2π times the turns per second.": lambda: _turned() / (2 * pi) ** 2,
            "You took the diameter; the radius counts.": lambda: _turned(radius="17.0 cm"),
            "rpm are turns per minute; divide by 60.": lambda: _turned() * 3600,
            "That is ω²r, in m/s²; divide by g.": lambda: _turned() * 9.81,
        },
    ),
    Exercise(
        "6.7",
        "Uptake follows a pseudo-first order with a rate k of 0.0150 per minute. After how many hours has the powder 95 % of what it holds at "
        "equilibrium? (That is when exp(−kt) is 0.05.)",
        lambda: Q(log(20) / 0.0150, "min").to("h"),
        "The natural logarithm of 20 over 0.0150 per minute is in minutes; over 60.",
        slips={
            "1/k is the time to 63 %.": lambda: Q(1 / 0.0150, "min").to("h"),
            "That is the time to one half.": lambda: Q(log(2) / 0.0150, "min").to("h"),
            "The logarithm is the natural one.": lambda: Q(1.30103 / 0.0150, "min").to("h"),
        },
    ),
    Exercise(
        "6.8",
        "Standards go up to 16.0 mg/L, and a supernatant has about 50.0 mg/L. 1.00 mL of it is filled up so that it reads 8.00 mg/L, in the middle. "
        "Up to how many mL?",
        lambda: Q(50.0, "mg/L") / Q(8.00, "mg/L") * Q(1.00, "mL"),
        "50.0 over 8.00, times 1.00 mL.",
        slips={
            "That brings it to the highest standard; the middle was asked.": lambda: Q(50.0 / 16.0, "mL"),
            "That is what you add; filled up, the 1.00 mL is in it.": lambda: Q(5.25, "mL"),
            "You turned the ratio over; a sample that is made weaker grows in volume.": lambda: Q(8.00 / 50.0, "mL"),
        },
    ),
    Exercise(
        "6.9",
        "132 mg/L before and 58.0 mg/L afterwards have standard uncertainties of 1.5 and 0.8 mg/L, independent of each other. With 80.0 mL and 0.650 g, both "
        "exact, what is the standard uncertainty of the uptake, in mg/g?",
        lambda: _taken_up().budget.uncertainty,
        "Root of 1.5² and 0.8² is that of the difference; times 0.0800 L, over 0.650 g.",
        figures=2,
        slips={
            "That adds the two as if each were always off that much, and the other way; add their squares.": lambda: Q(
                2.3 * 0.0800 / 0.650, "mg/g"
            ),
            "Doubts never cancel in a difference; add their squares.": lambda: Q(0.7 * 0.0800 / 0.650, "mg/g"),
            "That is for all of the powder; divide by its mass.": lambda: Q(1.7 * 0.0800, "mg/g"),
            "The squares are added even though the concentrations are subtracted.": lambda: Q(
                sqrt(1.5**2 - 0.8**2) * 0.0800 / 0.650, "mg/g"
            ),
        },
    ),
    Exercise(
        "6.10",
        "A jar with 80.0 mL of acetone, 132 mg/L of iron and 0.650 g of powder loses 4.00 g of acetone (0.790 g/mL) while it is stirred; afterwards the "
        "liquid has 61.0 mg/L. What is the uptake, in mg/g?",
        _evaporated,
        "4.00 g over 0.790 g/mL is lost, so 74.94 mL are left with 61.0 mg/L. 132 mg/L times 0.0800 L, less that, over 0.650 g.",
        slips={
            "The lost acetone is forgotten: what was left is in less liquid than 80.0 mL.": lambda: _evaporated("0 g"),
            "You put the lost acetone on top; it is gone.": lambda: Q((132 * 0.0800 - 61.0 * 0.08506) / 0.650, "mg/g"),
        },
    ),
    Exercise(
        "6.11",
        "Powder weighs 5.36 g wet with ethanol (0.789 g/mL) and 1.15 g dry. What volume of liquid did it hold, in mL?",
        lambda: held_volume("5.36 g", "1.15 g", "ethanol"),
        "5.36 g less 1.15 g is liquid; over 0.789 g/mL.",
        slips={
            "That is grams; ethanol is lighter than water, so divide by its density.": lambda: Q(4.21, "mL"),
            "You multiplied by the density; divide by it.": lambda: Q(4.21 * 0.789, "mL"),
            "The powder's own mass is in it; take it off.": lambda: Q(5.36 / 0.789, "mL"),
        },
    ),
    Exercise(
        "6.12",
        "Powder holds 5.00 mL. Four equal washes, fully mixed, are to bring the dissolved salt down to 0.10 %. How many mL of fresh solvent does each need?",
        lambda: Q(5.00 * (0.0010 ** (-1 / 4) - 1), "mL"),
        "Each wash may leave the fourth root of 0.0010, which is 0.1778, and that is 5.00 over 5.00 and the fresh solvent together. 5.00 mL over 0.1778, less 5.00 mL.",
        slips={
            "That is for three washes.": lambda: Q(45.0, "mL"),
            "That is for all four together; the question is about each.": lambda: Q(
                20.0 * (0.0010 ** (-1 / 4) - 1), "mL"
            ),
            "That is held and fresh liquid together; take off what is held.": lambda: Q(
                5.00 * 0.0010 ** (-1 / 4), "mL"
            ),
            "The shares multiply from wash to wash, so it takes the fourth root, not a quarter.": lambda: Q(
                5.00 * (1 / 0.0010 - 1) / 4, "mL"
            ),
        },
    ),
    Exercise(
        "6.13",
        "Powder holds 5.00 mL. How many times less salt do three washes of 30.0 mL leave than one of 90.0 mL? (Fully mixed.)",
        _ratio,
        "One leaves 5.00 over 95.0. Three leave the cube of 5.00 over 35.0. Divide the first by the second.",
        slips={
            "Three washes are more than three times as good.": lambda: 3,
            "That is the other way round.": lambda: 1 / _ratio(),
            "That is for one of the three washes; they multiply.": lambda: Q(35.0 / 95.0),
        },
    ),
    Exercise(
        "6.14",
        "A tube is to feel 1200 × g at its bottom, 7.00 cm from the axis. At what speed, in rpm? (ω²r/g with g = 9.81 m/s².)",
        lambda: speed_for("1200 × g", "7.00 cm"),
        "Root of 1200 times 9.81 m/s² over 0.0700 m is ω per second; times 60 over 2π.",
        slips={
            "That is ω; a turn is 2π, and a minute 60 s.": lambda: Q(sqrt(1200 * 9.81 / 0.0700), "rpm"),
            "You took the diameter; the radius counts.": lambda: speed_for("1200 × g", "14.0 cm"),
            "ω counts radians; a turn is 2π of them.": lambda: speed_for("1200 × g", "7.00 cm") * 2 * pi,
            # 3915 1/min and 65.3 Hz, which are read as angles
            "Type turns a minute as rpm: 1/min and Hz count angles here. If you did, you divided by 2π once too often.": lambda: (
                speed_for("1200 × g", "7.00 cm") / (2 * pi)
            ),
        },
    ),
    Exercise(
        "6.15",
        "A solid grain 1.50 µm wide is 1.21 g/mL denser than acetone, whose viscosity is 0.320 mPa·s. How many hours does it take to sink 5.00 cm? (Stokes: the "
        "speed is Δρ·g·d²/18µ, and g is 9.81 m/s².)",
        _hours,
        "1210 kg/m³ times 9.81 m/s² times (1.50×10⁻⁶ m)², over 18 times 0.000320 Pa·s, is the speed; 0.0500 m over it is in seconds.",
        slips={
            "d is the width of the grain, not half of it.": lambda: _hours("0.75 µm"),
            "5.00 cm are 0.0500 m.": lambda: _hours(height="5.00 mm"),
            "The width counts squared.": lambda: Q(_hours().magnitude * 1.5, "h"),
        },
    ),
    Exercise(
        "6.16",
        "A Langmuir curve has a capacity of 18.0 mg/g and K = 0.0640 L/mg. What is the uptake at 25.0 mg/L?",
        lambda: Q(float(LANGMUIR(25.0, 18.0, 0.0640)), "mg/g"),
        "K c is 0.0640 times 25.0, a plain number; over one more than itself, times 18.0 mg/g.",
        slips={
            "That is a straight line, as if the powder never filled up; divide by 1 + K c.": lambda: Q(
                18.0 * 1.6, "mg/g"
            ),
            "That is half of the capacity, which is reached at 1/K.": lambda: Q(9.0, "mg/g"),
            "That is the part still free.": lambda: Q(18.0 / 2.6, "mg/g"),
            "That is the share of the capacity; multiply by 18.0 mg/g.": lambda: Q(1.6 / 2.6, "mg/g"),
        },
    ),
)
