"""How fast a grain of powder sinks, in a jar or in a centrifuge.

A grain of a powder as fine as this sinks so slowly that the drag of the liquid is known (Stokes' law).
How wide its grains are is not known, and counts twice over, so that every answer is a range.
"""

from dataclasses import dataclass

import numpy as np

from labkit.data import guess, value
from labkit.errors import RangeProblem, ReadingProblem, UnitProblem, chosen
from labkit.units import Q, Range, as_range, is_quantity, number, number_text, range_from, takes, wrapped
from labkit.uptake.liquids import LIQUIDS, celsius_of, plain_density, plain_viscosity

STOKES_GOOD, DRAG_TO = (
    0.1,
    800.0,
)  # Reynolds numbers: Stokes within 3 % below the first, the law of drag up to the second
GRAVITY = number(value("over_water", "standard gravity"), "m/s**2")


@takes(diameter="[length] > 0", density_difference="[mass concentration] > 0", force="[] > 0")
def stokes_speed(diameter, density_difference, viscosity, force=1):
    r"""Return how fast a ball sinks by Stokes' law, :math:`v = \Delta\rho\,g\,d^2/18\mu`, in mm/h.

    Parameters
    ----------
    diameter : quantity [length]
    density_difference : quantity [mass / volume]
        Of the solid, less the liquid.
    viscosity : quantity, such as ``viscosity("water")`` or ``Q(1, "mPa*s")``
    force : number
        Relative centrifugal force, as in 1000 × g; 1 for a jar that stands.

    Raises
    ------
    UnitProblem, RangeProblem
        If an argument is of another kind, or not more than zero.

    Notes
    -----
    Holds while the Reynolds number stays under 0.1; ``settling_speed`` looks.

    Examples
    --------
    >>> print(f"{stokes_speed('2 µm', '1.2 g/mL', Q(0.31, 'mPa*s')):.0f~P}")
    30 mm/h
    """
    if not is_quantity(viscosity) or not viscosity.is_compatible_with("Pa*s"):
        raise UnitProblem("stokes_speed() needs a viscosity. Give viscosity('acetone', '22 °C') or Q(0.31, 'mPa*s').")
    if not np.all(np.asarray(viscosity.magnitude, dtype=float) > 0):
        raise RangeProblem("stokes_speed() needs a viscosity of more than zero.")
    return (density_difference * Q(GRAVITY, "m/s**2") * diameter**2 * force / (18 * viscosity)).to("mm/h")


def plain_speed(diameter, heavier, fluid, viscosity, force=1.0):
    """Return (speed in m/s, Reynolds number, how many times too fast Stokes' law has it) of a ball.

    All are plain floats in SI units; ``heavier`` is the density of the ball less that of the liquid.  The
    drag is that of schiller_naumann_1933, which is Stokes' law for slow balls.

    Raises
    ------
    RangeProblem
        If the Reynolds number is more than 800.

    Examples
    --------
    >>> speed, reynolds, times = plain_speed(5e-5, 1670.0, 1000.0, 1e-3)
    >>> f"{1000 * speed:.2f} mm/s, {reynolds:.2f}, {times:.3f}"
    '2.20 mm/s, 0.11, 1.033'
    """
    if heavier <= 0:
        raise RangeProblem(
            "The powder has to be denser than the liquid, or it does not sink. Type for instance 2.0 g/cm³."
        )
    free = heavier * GRAVITY * force * diameter**2 / (18 * viscosity)
    wanted = fluid * free * diameter / viscosity  # Reynolds number by Stokes' law
    if wanted > DRAG_TO * (1 + 0.15 * DRAG_TO**0.687):
        raise RangeProblem("Grains that large sink in moments and no law of slow drag holds for them: grind finer, sieve, or "
                           "spin more slowly.")  # fmt: skip
    reynolds = wanted
    for _ in range(60):  # Newton's way on Re (1 + 0.15 Re^0.687) = wanted, a curve that bends one way only
        step = (reynolds + 0.15 * reynolds**1.687 - wanted) / (1 + 0.15 * 1.687 * reynolds**0.687)
        reynolds -= step
        if abs(step) <= 1e-13 * reynolds:
            break
    times = 1 + 0.15 * reynolds**0.687
    return free / times, reynolds, times


@dataclass(frozen=True)
class Powder:
    """What sinks in what: Ranges of size, density, and shape with pores, and a liquid at a temperature."""

    diameter: Range
    powder_density: Range
    shape: Range
    liquid: str
    celsius: float

    @property
    def fluid(self):
        """Density of the liquid in kg/m³, a plain number."""
        return plain_density(self.liquid, self.celsius)

    @property
    def viscosity(self):
        """Viscosity of the liquid in Pa·s, a plain number."""
        return plain_viscosity(self.liquid, self.celsius)

    def speed(self, diameter, powder_density, shape, force=1.0):
        """Return what ``plain_speed`` does for a diameter in m and a density in kg/m³; ``shape`` slows it."""
        speed, reynolds, times = plain_speed(diameter, powder_density - self.fluid, self.fluid, self.viscosity, force)
        return speed * shape, reynolds, times

    @property
    def fastest(self):
        """The diameter, density and shape that sink fastest, in SI units, as plain numbers."""
        return self.diameter.m_as("m")[2], self.powder_density.m_as("kg/m**3")[2], self.shape.m_as("dimensionless")[2]

    def span(self, function, unit):
        """Return the Range, in a unit, of ``function(diameter, powder_density, shape)``: plain numbers in SI units in and out."""
        found = range_from(
            lambda diameter, powder_density, shape_and_pores: function(
                diameter.magnitude, powder_density.magnitude, shape_and_pores.magnitude
            ),
            diameter=_plain(self.diameter, "m"),
            powder_density=_plain(self.powder_density, "kg/m**3"),
            shape_and_pores=_plain(self.shape, "dimensionless"),
        )
        ends = (Q(end.magnitude, unit) for end in found.ends)
        return Range(
            *ends,
            drivers=tuple((name, Q(low.magnitude, unit), Q(high.magnitude, unit)) for name, low, high in found.drivers),
        )


def _plain(span, unit):
    """Return a Range of bare numbers, which range_from carries through a sum in a third of the time."""
    return Range(*(Q(end) for end in span.m_as(unit)))


def powder(diameter=None, powder_density=None, liquid="acetone", temperature="20 °C", shape=None):
    """Return the Powder that is meant; what is left out is the guess of particles.csv.

    Parameters
    ----------
    diameter : Range, quantity or text [length], optional
        Width of the grains, ``"0.3 to 4 µm"``; 1 nm to 1 mm.
    powder_density : Range, quantity or text [mass / volume], optional
        Of the solid, ``"1.9 to 2.1 g/cm³"``, and not of the loose heap.
    liquid, temperature
        As for ``viscosity``.
    shape : Range, quantity or text [], optional
        Speed as a share of that of a solid ball of this width, at most 1; ``1`` for balls.

    Raises
    ------
    LabError
        If something can't be used, or the powder would float.

    Examples
    --------
    >>> found = powder("0.3 to 4 µm", liquid="water")
    >>> print(found.diameter, "|", found.powder_density)
    0.30 to 4.0 µm, likely 2.2 µm | 1.8 to 2.2 g/cm³, likely 2.0 g/cm³
    """
    chosen(liquid, LIQUIDS, "liquid called")
    celsius = celsius_of(temperature)
    size = guess("particles", "size") if diameter is None else as_range(diameter, "[length] > 0", "diameter")
    solid = guess("particles", "density") if powder_density is None else as_range(
        powder_density, "[mass concentration] > 0", "powder density")  # fmt: skip
    slowed = guess("particles", "shape and pores") if shape is None else as_range(shape, "[] > 0", "shape")
    if size.high > Q(1, "mm") or size.low < Q(1, "nm"):
        raise RangeProblem(
            "The diameter is that of a grain of powder, 1 nm at least and 1 mm at most. Type for instance 0.3 to 4 µm."
        )
    if solid.high > Q(30, "g/mL") or solid.low <= Q(plain_density(liquid, celsius), "kg/m**3"):
        raise RangeProblem(f"The density is that of the solid and more than that of {liquid}, or it does not sink. "
                           "Type for instance 1.8 to 2.2 g/cm³.")  # fmt: skip
    if slowed.high > 1:
        raise RangeProblem("The shape is a share of the speed of a solid ball, 1 at most. Type for instance 0.2 to 1.")
    return Powder(size, solid, slowed, liquid, celsius)


@dataclass(frozen=True, repr=False)
class Sinking:
    """How fast powder sinks: ``speed`` (Range), ``reynolds`` of the fastest, ``overstated``: by how much Stokes errs there."""

    speed: Range
    force: float
    reynolds: float
    overstated: object
    law: str
    sentence: str

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


def settling_speed(diameter=None, powder_density=None, liquid="acetone", temperature="20 °C", force=1, shape=None):
    """Return the Sinking: the Range of speeds at which powder sinks, and how far Stokes' law holds for it.

    Arguments and errors are those of ``powder``; ``force`` is the relative centrifugal force.

    Notes
    -----
    For a thin suspension, below about 1 % of solid by volume: more of it sinks more slowly.  Powder that
    clumps sinks faster than its grains (from memory).  The drag is that of schiller_naumann_1933; under a
    Reynolds number of 0.1 that is Stokes' law within 3.1 %, at 1 it is 15 % slower.

    References
    ----------
    schiller_naumann_1933

    Examples
    --------
    >>> found = settling_speed("0.5 to 3 µm", liquid="ethanol", temperature="22 °C")
    >>> print(found.speed, "|", found.speed.driver)
    0.087 to 22 mm/h, likely 3.8 mm/h | diameter
    """
    what = powder(diameter, powder_density, liquid, temperature, shape)
    force = plain_force(force)
    span = what.span(lambda *grain: 3.6e6 * what.speed(*grain, force)[0], "mm/h")
    _, reynolds, times = what.speed(*what.fastest, force)
    law = law_words(reynolds, times)
    sentence = (f"The powder sinks through {liquid} at {_speeds(span)}{_at(force)}; most of that spread comes from the "
                f"{span.driver or 'guess'}. {law}")  # fmt: skip
    return Sinking(span, force, reynolds, Q(100 * (times - 1), "percent"), law, sentence)


def plain_force(force):
    """Return a relative centrifugal force as a plain number; text may be ``"1000 × g"`` or ``"1000"``.

    Raises ReadingProblem, UnitProblem or RangeProblem, which say what to type.

    >>> plain_force("1000 × g"), plain_force(250)
    (1000.0, 250.0)
    """
    if isinstance(force, str):
        text = force.strip().rstrip(".")
        if text[-1:] == "g" and text[:-1].rstrip()[-1:] in ("×", "x", "*", "·"):
            text = text[:-1].rstrip()[:-1]
        force = text.strip()
    try:
        return number(_checked_force(force), "dimensionless")
    except (UnitProblem, ReadingProblem) as problem:
        raise type(problem)(
            "A relative centrifugal force is a number of times g. Type for instance 1000 × g."
        ) from None


@takes(force="[]")
def _checked_force(force):
    if np.ndim(force.magnitude):
        raise RangeProblem("One force at a time is needed here. Type for instance 1000 × g.")
    if not force.m_as("dimensionless") > 0:
        raise RangeProblem("A relative centrifugal force is more than zero. Type for instance 1000 × g.")
    if force.m_as("dimensionless") > 1e6:
        raise RangeProblem("No centrifuge of a bench reaches a million times g. Type for instance 1000 × g.")
    return force


def _speeds(span):
    unit = "mm/h" if number(span.likely, "mm/h") < 1e3 else "mm/s"
    return str(span.to(unit))


def _at(force):
    return "" if force == 1 else f" at {number_text(force)} × g"


def law_words(reynolds, times):
    """Return a sentence on how far Stokes' law holds at a Reynolds number.

    >>> law_words(0.004, 1.0034)
    "Stokes' law holds: the Reynolds number is 0.0040 at most."
    """
    if reynolds < STOKES_GOOD:
        return f"Stokes' law holds: the Reynolds number is {number_text(reynolds, 2)} at most."
    kind = "strained" if reynolds <= 1 else "left behind"
    return (f"For the fastest grains Stokes' law is {kind}: the Reynolds number is {number_text(reynolds, 2)}, and it would have "
            f"them {100 * (times - 1):.0f} % too fast. The drag of Schiller and Naumann is used.")  # fmt: skip
