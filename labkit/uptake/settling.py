"""Powder that settles in a jar: how long it has to stand, and what never comes down."""

from dataclasses import dataclass
from math import log, pi

import numpy as np

from labkit.air.vapour import solvents
from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, chosen
from labkit.units import Q, Range, number, number_text, printed, takes, wrapped
from labkit.uptake.liquids import LIQUIDS, celsius_of, plain_density
from labkit.uptake.sinking import GRAVITY, Powder, plain_speed, powder

CLEAR = 0.95  # share of the powder that is down when a jar stirred by warmth counts as settled; our choice
DAY, WEEK = (
    Q(24, "h"),
    Q(7, "day"),
)  # what may stand overnight and a day, and what somebody may still wait for; our choice


@takes(diameter="[length] > 0", powder_density="[mass concentration] > 0")
def scale_height(diameter, powder_density="2.0 g/cm³", liquid="acetone", temperature="20 °C"):
    r"""Return the height over which grains at rest thin out to 37 %, :math:`k_B T/(\Delta\rho\,g\,\pi d^3/6)`, in mm.

    The warmth of the liquid keeps grains up as it keeps up the air.  Where this is much less than the jar is
    high the grains do come down, however slowly; where it is more they never do.

    Raises what ``viscosity`` does, and RangeProblem if the powder would float.

    Notes
    -----
    Grains of 0.2 µm have a scale height of less than 0.1 mm: it is not this that keeps them up, but
    that they are slow and the least warmth stirs the jar.  Only below about 0.03 µm would it be.

    Examples
    --------
    >>> print(f"{scale_height('0.2 µm'):.3f~P}, {scale_height('0.02 µm'):.0f~P}")
    0.081 mm, 81 mm
    """
    celsius = celsius_of(temperature)
    heavier = powder_density - Q(plain_density(chosen(liquid, LIQUIDS, "liquid called"), celsius), "kg/m**3")
    if not np.all(np.asarray(heavier.magnitude, dtype=float) > 0):
        raise RangeProblem(
            f"The powder has to be denser than {liquid}, or it does not sink. Type for instance 2.0 g/cm³."
        )
    warmth = value("constants", "gas constant") / value("constants", "Avogadro constant") * Q(celsius + 273.15, "K")
    return (warmth / (heavier * Q(GRAVITY, "m/s**2") * (pi / 6) * diameter**3)).to("mm")


@dataclass(frozen=True, repr=False)
class Settled:
    """How long powder takes to settle in a jar.

    ``still`` is the Range of times in a liquid at rest, ``stirred`` that until 95 % is down where warmth
    stirs it; ``haze`` is the scale height of the finest grains, ``level`` one of ``"a day"``, ``"a week"``,
    ``"longer"``.
    """

    still: Range
    stirred: Range
    haze: object
    level: str
    powder: Powder
    sentence: str

    def cautions(self):
        """Return the cautions for what stands in solvent, or in water, with dissolved chloride."""
        return cautions(*(("solvent",) if self.powder.liquid in solvents() else ()), "chlorides")

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


@takes(height="[length] > 0")
def settling_time(height, diameter=None, powder_density=None, liquid="acetone", temperature="20 °C", shape=None):
    r"""Return the Settled: how long a jar has to stand until the powder is down and the liquid can be poured off.

    In a liquid at rest the last grain is down after h/v.  The least warmth on one side stirs a jar; grains then
    leave only at the bottom, as :math:`e^{-vt/h}`, and 95 % are down after three times as long.

    Parameters
    ----------
    height : quantity or text [length]
        Of the liquid above the bottom, up to 1 m.
    diameter, powder_density, liquid, temperature, shape
        As for ``powder``.

    Raises
    ------
    LabError
        As ``powder`` does.

    Examples
    --------
    >>> print(settling_time("6 cm", "1 to 4 µm", liquid="ethanol").level)
    a week
    """
    what = powder(diameter, powder_density, liquid, temperature, shape)
    metres = _single_height(height)
    still = what.span(lambda *grain: metres / what.speed(*grain)[0] / 3600, "h")
    longer = log(1 / (1 - CLEAR))
    stirred = Range(
        *(end * longer for end in still.ends), why="until 95 % are down, stirred by warmth", drivers=still.drivers
    )
    small, thin, _ = (span.low for span in (what.diameter, what.powder_density, what.shape))
    haze = scale_height(small, thin, liquid, Q(what.celsius, "degC"))
    level = "a day" if stirred.likely <= DAY else "a week" if stirred.likely <= WEEK else "longer"
    advice = {
        "a day": "Let it stand a day, lid on, and pour off.",
        "a week": "Let it stand some days, lid on, cool and out of the sun, and pour off.",
        "longer": "Letting it stand is no way here: spin it where that is safe, filter it, or take a lower jar.",
    }[level]
    if liquid == "acetone" and level != "a day":
        soon = "iron chloride slowly attacks acetone (from memory)"
        advice = {
            "a week": f"Let it stand, lid on, cool and out of the sun, and pour off what is clear the same day, as {soon}. What is "
            "still cloudy then needs days: take ethanol, which can wait, or a lower jar.",
            "longer": f"{advice} Do it the same day, as {soon}.",
        }[level]
    up = " The finest never come down: their own warmth keeps them up as a haze." if haze > height / 10 else ""
    sentence = (f"To sink {printed(height)} through still {liquid} takes {time_words(still)}; stirred by warmth, "
                f"{time_words(stirred)} until 95 % are down. Most of that spread comes from the {still.driver or 'guess'}."
                f"{up} {advice} Your own jar tells more: mark how far its cloudy edge sinks in an hour.")  # fmt: skip
    return Settled(still, stirred, haze, level, what, sentence)


@takes(height="[length] > 0")
def _single_height(height):
    if np.ndim(height.magnitude) or height > Q(1, "m"):
        raise RangeProblem("The liquid stands up to 1 m high here; one value. Type for instance 6 cm.")
    return number(height, "m")


@takes(height="[length] > 0", time="[time] > 0")
def smallest_settled(height, time, powder_density="2.0 g/cm³", liquid="acetone", temperature="20 °C", shape=1):
    """Return the width of the smallest grains that are all down after a time in still liquid, in µm.

    What is finer goes with the liquid that is poured off, in part.  One value of each; errors as for ``powder``.

    Examples
    --------
    >>> from labkit.units import printed
    >>> print(printed(smallest_settled("6 cm", "24 h", liquid="ethanol")))
    1.12 µm
    """
    what = powder("1 µm", powder_density, liquid, temperature, shape)
    speed = _single_height(height) / number(time, "s")
    heavier = what.powder_density.m_as("kg/m**3")[1] - what.fluid
    slow = speed / what.shape.m_as("dimensionless")[1]
    width = (18 * what.viscosity * slow / (heavier * GRAVITY)) ** 0.5  # by Stokes; then by the law of drag
    for _ in range(200):
        found, _, _ = plain_speed(width, heavier, what.fluid, what.viscosity)
        if abs(found - slow) <= 1e-12 * slow:
            break
        width *= (slow / found) ** 0.5
    return Q(1e6 * width, "µm")


def time_words(span):
    """Return a Range of times as words, each end in a unit of its own, for they can be worlds apart.

    >>> time_words(Range(Q(40, "s"), Q(3, "h"), Q(900, "day")))
    '40 s to 2.5 years, likely 3.0 h'
    """
    low, likely, high = (time_text(end) for end in span.ends)
    return likely if low == high else f"{low} to {high}, likely {likely}"


def time_text(time):
    """Return one time in the unit that reads best, to two figures.

    >>> time_text(Q(90, "s"))
    '1.5 min'
    """
    seconds = number(time, "s")
    for size, name in ((31557600, "years"), (86400, "days"), (3600, "h"), (60, "min")):
        if seconds >= size * (1.5 if name in ("years", "days") else 0.9995):
            return f"{number_text(seconds / size, 2)} {name}"
    return f"{number_text(seconds, 2)} s"
