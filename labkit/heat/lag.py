"""How a warm thing follows its surroundings: a first-order lag, also known as Newton's law of cooling.

The time constant is the time in which the distance to the surroundings falls to 37 %; after three
of them 5 % is left, after five 0.7 %.  Good for a small thing that loses heat in proportion to the
distance; a red-hot kiln also radiates, and cools faster at first than one time constant can say.
"""

from uncertainties import unumpy

from labkit.errors import RangeProblem
from labkit.units import Q, printed, refuse_array, takes

_LAG = {"start": "[temperature]", "surroundings": "[temperature]"}


def _celsius(quantity):
    """Return the magnitude in °C, an uncertainty kept."""
    return quantity.to("degC").magnitude


def _exponential(exponent):
    """Return e to the power of a number, an array, or something with an uncertainty."""
    found = unumpy.exp(exponent)
    return found.item() if getattr(found, "ndim", None) == 0 else found


def _logarithm(ratio):
    found = unumpy.log(ratio)
    return found.item() if getattr(found, "ndim", None) == 0 else found


@takes(time="[time] >= 0", time_constant="[time] > 0", **_LAG)
def temperature_after(time, start, surroundings, time_constant):
    r"""Return the temperature a thing has after a time in surroundings of one temperature.

    .. math:: T(t) = T_s + (T_0 - T_s)\,e^{-t/\tau}

    Parameters
    ----------
    time : quantity [time]
        Zero or more; may be an array.
    start, surroundings : quantity [thermometer reading]
        The reading at time zero, and the one it would settle at: the room for a thing that cools,
        the ceiling for a kiln that heats.
    time_constant : quantity [time]

    Returns
    -------
    quantity [thermometer reading], in °C

    Raises
    ------
    UnitProblem, ReadingProblem, RangeProblem
        If an argument is of another kind, can't be read, or has the wrong sign.

    Examples
    --------
    A kiln at 560 °C, switched off for one time constant:

    >>> printed(temperature_after("80 min", "560 °C", "20 °C", "80 min"))
    '219 °C'
    """
    far = _celsius(surroundings)
    left = _exponential(-(time / time_constant).m_as("dimensionless"))
    return Q(far + (_celsius(start) - far) * left, "degC")


@takes(target="[temperature]", time_constant="[time] > 0", **_LAG)
def time_to_reach(target, start, surroundings, time_constant):
    """Return the time until a reading is reached; in the unit of the time constant.

    Parameters
    ----------
    target, start, surroundings : quantity [thermometer reading]
        One of each, no arrays.
    time_constant : quantity [time]

    Raises
    ------
    RangeProblem
        If it is never reached: it lies on the other side, or at or beyond the surroundings.
    UnitProblem, ReadingProblem
        As ``temperature_after`` does.

    Examples
    --------
    >>> printed(time_to_reach("60 °C", "560 °C", "20 °C", "80 min"))
    '3.47 h'
    """
    refuse_array("time_to_reach", target=target, start=start, surroundings=surroundings, time_constant=time_constant)
    first, last, far = _celsius(start), _celsius(target), _celsius(surroundings)
    if last == first:
        return 0 * time_constant
    _refuse_unreachable(first, last, far)
    return time_constant * _logarithm((first - far) / (last - far))


@takes(later="[temperature]", time="[time] > 0", **_LAG)
def time_constant_from(start, later, surroundings, time):
    """Return the time constant that two readings a known time apart tell; in the unit of ``time``.

    Two readings carry their error straight into it: best when the distance to the surroundings has
    fallen to about a third, and worthless when it has hardly changed.  A whole log tells more.

    Parameters
    ----------
    start, later, surroundings : quantity [thermometer reading]
        One of each, no arrays; may carry an uncertainty.
    time : quantity [time]
        Between the two readings; more than zero.

    Raises
    ------
    RangeProblem
        If the reading has not moved towards the surroundings, or has reached or passed them.
    UnitProblem, ReadingProblem
        As ``temperature_after`` does.

    Examples
    --------
    >>> printed(time_constant_from("500 °C", "300 °C", "20 °C", "45 min"))
    '1.39 h'
    """
    refuse_array("time_constant_from", start=start, later=later, surroundings=surroundings, time=time)
    first, last, far = _celsius(start), _celsius(later), _celsius(surroundings)
    if last == first:
        raise RangeProblem(f"Both readings are {printed(start)}, so they tell no time constant. "
                           "Take two that lie further apart.")  # fmt: skip
    _refuse_unreachable(first, last, far)
    return time / _logarithm((first - far) / (last - far))


def _refuse_unreachable(first, last, far):
    """Raise RangeProblem unless ``last`` lies between ``first`` and the surroundings."""
    shown = [printed(Q(value, "degC"), 4) for value in (first, last, far)]
    if first == far:
        raise RangeProblem(
            f"It starts at {shown[0]} like its surroundings and stays there; it never gets to {shown[1]}."
        )
    share = (last - far) / (first - far)
    if share <= 0:
        raise RangeProblem(f"From {shown[0]} it only comes ever closer to its surroundings at {shown[2]} and never gets to "
                           f"{shown[1]}. Choose a reading between the two.")  # fmt: skip
    if share > 1:
        raise RangeProblem(f"In surroundings of {shown[2]} it moves away from {shown[1]} when it starts at {shown[0]}. "
                           "Check which reading is which.")  # fmt: skip
