"""Powder that is spun down: force and speed, and how long it takes.

An ordinary centrifuge sparks: ``cautions("spinning", "solvent")`` come before every number from here.
"""

from dataclasses import dataclass
from math import log, pi

import numpy as np

from labkit.air.vapour import solvents
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem, ReadingProblem, UnitProblem
from labkit.units import Q, Range, is_quantity, number, number_text, read, rounded_up, takes, ureg, wrapped
from labkit.uptake.settling import time_words
from labkit.uptake.sinking import GRAVITY, law_words, plain_force, powder

FASTEST = 2e5  # rpm; beyond it is no centrifuge
WIDEST = Q(1, "m")  # of a rotor on a bench
NO_ACETONE = (
    "An ordinary centrifuge makes sparks, and {liquid} vapour lights: do not spin {liquid} unless the maker allows "
    "flammable liquids in it. Let it settle instead, or spin once the last wash has replaced the solvent."
)


def rotor_speed(speed):
    """Return a speed of rotation in rpm, one or an array: from ``"3800 rpm"``, a plain number of rpm, or a quantity.

    Turns per time are meant, also by ``3800 /min`` and ``60 Hz``.

    Raises
    ------
    ReadingProblem, UnitProblem, RangeProblem
        If it can't be read, is something else, or is not between 0 and 200 000 rpm.

    Examples
    --------
    >>> print(rotor_speed("3800 rpm").magnitude, rotor_speed("60 Hz").magnitude)
    3800.0 3600.0
    """
    if isinstance(speed, str):
        speed = _read_speed(speed)
    elif not is_quantity(speed):
        speed = Q(speed)
    turns = _rpm(speed)
    if not np.all((np.asarray(turns) > 0) & (np.asarray(turns) <= FASTEST)):
        raise RangeProblem("The speed is more than zero and at most 200 000 rpm. Type for instance 3800 rpm.")
    return Q(turns, "rpm")


def _read_speed(text):
    short = text.strip().rstrip(".")
    short = short[:-3] if short[-3:].lower() == "rpm" else short
    try:
        return read(short)
    except ReadingProblem:
        raise ReadingProblem("A speed of rotation could not be read. Type for instance 3800 rpm.") from None


def _rpm(speed):
    if not speed.dimensionality:  # a bare number counts rpm, but nobody turns by percent
        if speed.units == ureg.dimensionless:
            return number(speed, "dimensionless")
    elif speed.dimensionality == Q(1, "1/s").dimensionality:
        turning = {"revolution", "turn", "radian", "degree"} & set(
            str(speed.units).replace("revolutions_per", "revolution ").split()
        )
        return number(speed, "rpm" if turning else "1/min")
    raise UnitProblem("A speed of rotation is counted in turns a minute. Type for instance 3800 rpm.")


@takes(radius="[length] > 0")
def relative_force(speed, radius):
    r"""Return the relative centrifugal force, :math:`\omega^2 r/g`: a plain number, as in 1000 × g.

    Parameters
    ----------
    speed : as for ``rotor_speed``
    radius : quantity [length]
        From the axis to the place meant, for a pellet the bottom of the tube.  Not the diameter.

    Raises
    ------
    ReadingProblem, UnitProblem, RangeProblem
        If an argument can't be read or used.

    Notes
    -----
    Single or arrays.  In cm and rpm it is 1.11824e-5 r N².

    Examples
    --------
    >>> print(f"{relative_force('3800 rpm', '9 cm'):.0f~P}")
    1453
    """
    omega = rotor_speed(speed).magnitude * 2 * pi / 60
    return Q(omega**2 * number(_short(radius), "m") / GRAVITY)


@takes(radius="[length] > 0")
def speed_for(force, radius):
    """Return the speed that gives a relative centrifugal force, in rpm; the inverse of ``relative_force``.

    Examples
    --------
    >>> print(f"{speed_for('1000 × g', '9 cm'):.0f~P}")
    3152 rpm
    """
    omega = (plain_force(force) * GRAVITY / number(_short(radius), "m")) ** 0.5
    return Q(omega * 60 / (2 * pi), "rpm")


def _short(radius):
    if np.any(radius > WIDEST):
        raise RangeProblem(
            "The radius is that of the rotor, from the axis to the place meant: 1 m at most. Type for instance 9 cm."
        )
    return radius


@takes(inner_radius="[length] > 0", outer_radius="[length] > 0")
def clearing_factor(speed, inner_radius, outer_radius):
    r"""Return the clearing factor (k factor) of a rotor, :math:`10^{13}\ln(r_2/r_1)/\omega^2`: in hours times svedberg.

    A time of spinning goes over to another rotor or speed as the ratio of their factors.  Arguments and
    errors as for ``time_to_pellet``.

    Examples
    --------
    >>> print(f"{clearing_factor('3800 rpm', '5 cm', '9 cm'):.0f}")
    10311
    """
    inner, outer = _radii(inner_radius, outer_radius)
    omega = one_speed(rotor_speed(speed)) * 2 * pi / 60
    return 1e13 * log(outer / inner) / omega**2 / 3600


def one_speed(speed):
    """Return a quantity in rpm as a plain number; RangeProblem if it holds several.

    >>> one_speed(rotor_speed("60 Hz"))
    3600.0
    """
    if np.ndim(speed.magnitude):
        raise RangeProblem("One speed at a time is needed here. Type for instance 3800 rpm.")
    return speed.magnitude


def _radii(inner_radius, outer_radius):
    if np.ndim(inner_radius.magnitude) or np.ndim(outer_radius.magnitude):
        raise RangeProblem("One radius at a time is needed here. Type for instance 5 cm.")
    inner, outer = (number(_short(radius), "m") for radius in (inner_radius, outer_radius))
    if inner >= outer:
        raise RangeProblem("The surface of the liquid lies nearer to the axis than the bottom of the tube: the inner radius is the "
                           "smaller one, such as 5 cm and 9 cm.")  # fmt: skip
    return inner, outer


class Spun:
    """What every answer about spinning can do: be printed, and bring its cautions."""

    def cautions(self):
        """Return the cautions for spinning, those first, and for the solvent if it is one."""
        return cautions("spinning", *(("solvent",) if getattr(self, "liquid", "acetone") in solvents() else ()))

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__


@dataclass(frozen=True, repr=False)
class Pellet(Spun):
    """How long powder has to be spun: ``time`` (Range), ``force`` at the bottom of the tube, whether it is ``allowed``.

    ``allowed`` is False for acetone and ethanol: only the maker of a centrifuge can say otherwise.
    """

    time: Range
    force: float
    reynolds: float
    liquid: str
    allowed: bool
    sentence: str


@takes(inner_radius="[length] > 0", outer_radius="[length] > 0")
def time_to_pellet(speed, inner_radius, outer_radius, diameter=None, powder_density=None, liquid="water", temperature="20 °C", shape=None):  # fmt: skip
    r"""Return the Pellet: how long it takes at full speed until all powder has reached the bottom of the tube.

    .. math:: t = \frac{18\,\mu\,\ln(r_2/r_1)}{\Delta\rho\,d^2\,\omega^2}

    Parameters
    ----------
    speed : as for ``rotor_speed``
    inner_radius, outer_radius : quantity or text [length]
        From the axis to the surface of the liquid, and to the bottom of the tube.
    diameter, powder_density, liquid, temperature, shape
        As for ``labkit.uptake.sinking.powder``.

    Raises
    ------
    LabError
        If an argument can't be used.

    Notes
    -----
    For tubes that swing out; in a tilted tube the powder meets the wall sooner.  Running up and down
    comes on top.  Where Stokes' law is strained the time is that for the drag at the bottom of the tube, all
    the way: too long rather than too short.  A real powder has no finest grain: what is left is a haze.

    References
    ----------
    schiller_naumann_1933

    Examples
    --------
    >>> found = time_to_pellet("3800 rpm", "5 cm", "9 cm", "0.3 to 4 µm")
    >>> print(found.time.driver, found.allowed)
    diameter True
    """
    inner, outer = _radii(inner_radius, outer_radius)
    turns = one_speed(rotor_speed(speed))
    omega = turns * 2 * pi / 60
    what = powder(diameter, powder_density, liquid, temperature, shape)
    force = omega**2 * outer / GRAVITY

    way = outer * log(outer / inner)
    time = what.span(lambda *grain: way / what.speed(*grain, force)[0], "s")
    _, reynolds, times = what.speed(*what.fastest, force)
    allowed = liquid not in solvents()
    warning = "" if allowed else NO_ACETONE.format(liquid=liquid) + " By the numbers alone: at"
    sentence = (f"{warning or 'At'} {number_text(turns, 3)} rpm, {rounded_up(force, 2)} × g at the bottom of the tube, the powder "
                f"is down after {time_words(time)}; most of that spread comes from the {time.driver or 'guess'}. "
                f"{law_words(reynolds, times)}")  # fmt: skip
    return Pellet(time, force, reynolds, liquid, allowed, sentence)
