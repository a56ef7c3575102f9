"""A room with ventilation: how the gas of a firing builds up in it and when it is gone again.

One well mixed box.  Near the source there is more than the box says, so the box is the friendly case.
"""

from dataclasses import dataclass

import numpy as np

from labkit.air.extraction import refuse_mixing
from labkit.air.limits import LARGEST, limit_fraction, molar_volume, refuse_large, single
from labkit.air.mixing import Mixed
from labkit.air.release import Release
from labkit.errors import RangeProblem, UnitProblem
from labkit.units import Q, nominal, number, printed, takes


@dataclass(frozen=True)
class Room:
    """A room: volume, air changes, how badly it mixes, and what the outside air carries in.

    Parameters
    ----------
    volume : quantity or text [volume]
    air_changes : quantity or text [rate]
        Fresh air per hour over the volume; 0 for a shut room.
    mixing_factor : number
        1 for perfect mixing to 10 for very poor; the air changes are divided by it.  The 1 that is
        taken if none is given is the friendly end: times to clear can be ten times as long, or longer.
    background : quantity or text
        Fraction of the gas in the fresh air, and in the room at the start; under 5 %, with its unit.
    temperature, pressure : quantity or text
        Of the room's air, for the volume of the gas.

    Raises
    ------
    LabError
        Naming what can't be used.  One plain value each: for guesses see ``room_ranges``.

    Examples
    --------
    A workshop (invented), badly mixed:

    >>> print(Room("45 m³", "2.4 /h", mixing_factor=3).effective_air_changes.round(3))
    0.8 / hour
    """

    volume: object
    air_changes: object
    mixing_factor: object = 1
    background: object = "0 ppm"
    temperature: object = "25 °C"
    pressure: object = "1 atm"

    def __post_init__(self):
        needs = {"volume": ("[volume] > 0", "m**3"), "air_changes": ("[rate] >= 0", "1/hour"),
                 "mixing_factor": ("[] > 0", "dimensionless"), "background": ("[] >= 0", "ppm"),
                 "temperature": ("[temperature] > 0", "degC"), "pressure": ("[pressure] > 0", "atm")}  # fmt: skip
        refuse_large(single(self.background, "[] >= 0", "background"), "background")
        for name, (need, unit) in needs.items():
            object.__setattr__(self, name, single(getattr(self, name), need, name.replace("_", " ")).to(unit))
        refuse_mixing(self.mixing_factor)

    @property
    def effective_air_changes(self):
        """Air changes over the mixing factor, in 1/h: what thins the gas."""
        return self.air_changes / self.mixing_factor

    def filled(self, amount):
        """Return the plain fraction of the room's air that an amount of gas, in mol, makes up."""
        return amount * molar_volume(self.temperature.magnitude, self.pressure.magnitude) / self.volume.magnitude

    def __str__(self):
        factor = self.mixing_factor.magnitude
        mixed = "perfectly mixed" if factor == 1 else f"mixing factor {factor:.3g}"
        changes = f"{self.air_changes.magnitude:.3g}"
        return (
            f"{printed(self.volume, unit='m³')}, {changes} air change{'' if changes == '1' else 's'} an hour, {mixed}"
        )


def excess(room, release, changes=None):
    """Return the Mixed excess of the released gas in the room, in plain numbers; ``changes``, in 1/h, if not its own."""
    hours = [duration.magnitude for duration, _ in release.steps]  # a Release keeps h, mol/h and mol
    rates = [room.filled(rate.magnitude) for _, rate in release.steps]
    own = room.air_changes.magnitude / room.mixing_factor.magnitude
    return Mixed(hours, rates, room.filled(release.at_once.magnitude), own if changes is None else changes)


class RoomCourse:
    """The fraction of a gas in a room against time, from the start of a release; made by ``room_course``.

    Exact for a well mixed room.  All figures include the background.  Print them with ``printed_up``.
    """

    def __init__(self, room, release):
        self.room, self.release = room, release
        self._excess = excess(room, release)
        self._background = number(room.background, "dimensionless")

    def _ppm(self, excess):
        return Q((excess + self._background) * 1e6, "ppm")

    @takes(times="[time]")
    def at(self, times):
        """Return the fraction at one time or many, in ppm; the background before the start."""
        return self._ppm(self._excess.at(number(times, "h"))[()])

    @property
    def peak(self):
        """(Highest fraction in ppm, time in h at which it is reached)."""
        excess, hours = self._excess.peak()
        return self._ppm(excess), Q(hours, "h")

    def highest_mean(self, window="15 min"):
        """Return the highest mean over any stretch as long as ``window``, in ppm; exact.

        Raises LabError unless it is a time of more than zero.
        """
        return self._ppm(self._excess.highest_mean(single(window, "[time] > 0", "window").m_as("h")))

    def time_over(self, limit):
        """Return how long the room is at or over a limit, decay included, in h; infinite if it stays so.

        ``limit`` is a Limit, a quantity or text.  Raises LabError if it is none.
        """
        return Q(self._excess.time_over(limit_fraction(limit) - self._background), "h")

    def time_to_clear(self, limit):
        """Return the time from the end of the release until the room is down to a limit, in h.

        Zero if it is already; infinite if it never gets there, in a shut room or under a background
        as high as the limit.  With a mixing factor of 1 it is for perfect mixing: bad mixing makes it
        ten times as long, or longer.  Down to a limit is not gone, gas goes on through the hold, and
        other gases may still be there.  Raises LabError if ``limit`` is none.
        """
        return Q(self._excess.time_to_clear(limit_fraction(limit) - self._background), "h")

    def __repr__(self):
        return f"RoomCourse({self.release.gas} in {self.room})"


def room_course(room, release):
    """Return the RoomCourse of a release in a room.

    Parameters
    ----------
    room : Room
    release : Release

    Raises
    ------
    UnitProblem
        If they are something else.

    Notes
    -----
    Assumes one well mixed box (for bad mixing see ``mixing_factor`` of the Room), and gas that neither sticks nor reacts.  The room the gas takes up
    itself is left out, which overstates fractions of more than some percent.

    Examples
    --------
    >>> from labkit.units import printed_up
    >>> shed = room_course(Room("18 m³", "3 /h"), Release("NH3", [("1 h", "0.2 mol/h")]))
    >>> printed_up(shed.peak[0]), printed_up(shed.time_to_clear("25 ppm"))
    ('87 ppm', '25 min')
    """
    if not (isinstance(room, Room) and isinstance(release, Release)):
        raise UnitProblem("room_course() needs a Room and a Release, as in room_course(Room('30 m³', '0.8 /h'), "
                          "firing_release('24 g')).")  # fmt: skip
    return RoomCourse(room, release)


@takes(release_rate="[amount rate] >= 0", time="[time] >= 0")
def build_up(release_rate, room, time):
    r"""Return the fraction in a room after a steady release, in ppm.

    .. math:: c = b + \frac{G}{nV}\,(1 - e^{-nt})

    with n the effective air changes and b the background.  ``time`` may be an array, without ±.

    Raises
    ------
    UnitProblem, RangeProblem, ReadingProblem
        If an argument is of another kind, negative, carries a ±, or can't be read, or ``room`` is no Room.

    Examples
    --------
    >>> print(f"{build_up('0.2 mol/h', Room('18 m³', '3 /h'), '1 h'):.1f~P}")
    86.1 ppm
    """
    if not isinstance(room, Room):
        raise UnitProblem("build_up() needs a Room, as in room=Room('30 m³', '0.8 /h').")
    if nominal(time) is not time:
        raise RangeProblem("The time has to be plain, without ±: a hazard is not averaged. Type the longest time, or try both "
                           "ends.")  # fmt: skip
    hours = number(time, "h")
    rate = room.filled(number(single(release_rate, "[amount rate] >= 0", "release rate"), "mol/h"))
    reach = max(float(np.max(hours)), 1.0) + 1.0
    return Q(Mixed([reach], [rate], 0.0, number(room.effective_air_changes, "1/hour")).at(hours)[()] * 1e6, "ppm") + (
        room.background
    )


@takes(air_changes="[rate] > 0", start="[] > 0", target="[] > 0", mixing_factor="[] > 0", background="[] >= 0")
def purge_time(air_changes, start, target, mixing_factor=1, background="0 ppm"):
    r"""Return the time in which fresh air brings a fraction down, :math:`(K/n)\,\ln(c_1/c_2)`, in h.

    Parameters
    ----------
    air_changes : quantity [rate]
    start, target : quantity [plain number, percentage or ppm]
        From and to, both with their unit or both without; for a share removed take ``"100 %"`` and
        what is left, such as ``"1 %"``.
    mixing_factor : number
        1 for perfect mixing to 10 for very poor; the time grows with it.  **Without it the time is
        for perfect mixing, and up to ten times as long if the room mixes badly.**
    background : quantity
        In the fresh air; under 5 %, with its unit.

    Returns
    -------
    quantity [time], in h
        Zero if it is there already.  Print it with ``printed_up``.

    Raises
    ------
    RangeProblem
        If the background keeps it from ever getting there, a value has the wrong sign or is more
        than the air, or it is there already with a target of 5 % or more, as from a slip of the unit.
    UnitProblem, ReadingProblem
        If an argument is of another kind or can't be read, or one of the two has a unit and one none.

    Examples
    --------
    >>> from labkit.units import printed_up
    >>> printed_up(purge_time("6 /h", "100 %", "1 %"))
    '47 min'
    """
    refuse_mixing(single(mixing_factor, "[] > 0", "mixing factor"))
    _refuse_slips(single(start, "[] > 0", "start"), single(target, "[] > 0", "target"))
    refuse_large(single(background, "[] >= 0", "background"), "background")
    outside, high, low, changes = (
        number(single(value, need, name), unit)
        for name, value, need, unit in (
            ("background", background, "[] >= 0", "dimensionless"),
            ("start", start, "[] > 0", "dimensionless"),
            ("target", target, "[] > 0", "dimensionless"),
            ("air changes", air_changes, "[rate] > 0", "1/hour"),
        )
    )
    if high <= low:
        return Q(0.0, "h")
    if low <= outside:
        raise RangeProblem(
            "With that background in the fresh air the room never gets so low. Ask for more than the background."
        )
    return Q(float(number(mixing_factor, "dimensionless") / changes * np.log((high - outside) / (low - outside))), "h")


def _refuse_slips(start, target):
    """Raise LabError where a unit was forgotten: from "900 ppm" down to "25" would take no time at all."""
    high, low = start.m_as("dimensionless"), target.m_as("dimensionless")
    if max(high, low) > 1 + 1e-9:
        raise RangeProblem(f"‘start’ and ‘target’ are at most 1, all of the air, but one is {max(high, low):.4g}. Did you mean "
                           "ppm? Type for instance start='900 ppm', target='25 ppm'.")  # fmt: skip
    bare = Q(1.0, "dimensionless").units
    if (start.units == bare) != (target.units == bare):
        raise UnitProblem("One of ‘start’ and ‘target’ has no unit. Type both with theirs, as in start='900 ppm', "
                          "target='25 ppm'.")  # fmt: skip
    if high <= low and low >= LARGEST * (1 - 1e-9):
        raise RangeProblem(f"A target of {printed(100 * low)} % of the air is not under the start, and is taken for a slip of the "
                           "unit. Did you mean ppm? Type for instance target='25 ppm'.")  # fmt: skip
