"""The rotor and its tubes: balance, the pull of what is out of balance, and what they are rated for.

``cautions("spinning")`` come before every number from here.
"""

from dataclasses import dataclass

import numpy as np

from labkit.air.vapour import solvents
from labkit.data import row, table
from labkit.errors import RangeProblem, chosen
from labkit.units import (
    Q,
    nominal,
    number,
    printed,
    printed_down,
    printed_up,
    rounded_down,
    rounded_up,
    takes,
)
from labkit.uptake.liquids import LIQUIDS, celsius_of, plain_density
from labkit.uptake.sinking import GRAVITY
from labkit.uptake.spinning import FASTEST, NO_ACETONE, Spun, one_speed, relative_force, rotor_speed, speed_for

# Rotors are rated for a filling of this density (common practice; read the sheet of yours).
DESIGNED_FOR = Q(1.2, "g/mL")
MOST_ADDED = Q(5, "mL")  # to a tube of 50 mL filled to 40 mL (our choice)


@dataclass(frozen=True, repr=False)
class Imbalance(Spun):
    """What an unbalanced rotor pulls sideways: ``pull`` in N, ``weight`` of which mass that is, and whether it is ``within``."""

    pull: object
    weight: object
    within: bool
    sentence: str


@takes(mass_difference="[mass] >= 0", radius="[length] > 0", limit="[mass] > 0")
def imbalance_force(mass_difference, speed, radius, limit="0.1 g"):
    r"""Return the Imbalance: the sideways pull of tubes that differ in mass, :math:`\Delta m\,\omega^2 r`.

    Parameters
    ----------
    mass_difference : quantity or text [mass]
        Of two opposite tubes, with liquid, cap and adapter.
    speed : as for ``rotor_speed``
    radius : quantity or text [length]
        From the axis to the bottom of the tubes, which is on the safe side.
    limit : quantity or text [mass]
        The difference that the maker of the centrifuge allows; 0.1 g is common practice.

    Raises
    ------
    LabError
        If an argument can't be used.

    Examples
    --------
    >>> found = imbalance_force("0.8 g", "3800 rpm", "9 cm")
    >>> print(printed_up(found.weight), found.within)
    1.2 kg False
    """
    grams, most = (number(_one(mass), "g") for mass in (mass_difference, limit))
    force = number(relative_force(one_speed(rotor_speed(speed)), _one(radius)), "dimensionless")
    weight = Q(grams / 1000 * force, "kg")
    pull = Q(grams / 1000 * force * GRAVITY, "N")
    within = grams <= most * (1 + 1e-9)
    verdict = (f"That is within the {printed_down(_one(limit))} allowed here; the sheet of the centrifuge rules." if within else
               f"Do not start it: {printed_down(_one(limit))} is allowed. Add liquid to the lighter tube.")  # fmt: skip
    sentence = "The tubes weigh alike: nothing pulls sideways." if not grams else (
        f"A difference of {printed(nominal(mass_difference))} pulls the axle sideways with {rounded_up(pull.magnitude, 2)} N, the weight "
        f"of {printed_up(weight)}, once every turn. {verdict}")  # fmt: skip
    return Imbalance(pull, weight, within, sentence)


def _one(quantity):
    if np.ndim(quantity.magnitude):
        raise RangeProblem("One value at a time is needed here.")
    return nominal(quantity)


@dataclass(frozen=True, repr=False)
class Counterweight(Spun):
    """What to add for balance: ``volume`` of liquid, to the ``"first"`` or the ``"second"`` tube, or to ``"neither"``."""

    volume: object
    tube: str
    liquid: str
    sentence: str


@takes(first="[mass] > 0", second="[mass] > 0")
def counterweight(first, second, liquid="water", temperature="20 °C"):
    """Return the Counterweight: how much liquid makes two opposite tubes weigh alike.

    Parameters
    ----------
    first, second : quantity or text [mass]
        Of the filled tubes with their caps and adapters.
    liquid, temperature
        As for ``labkit.uptake.liquids.density``; the liquid that is in the tubes already, so that their
        middles of mass lie at the same radius.

    Raises
    ------
    LabError
        If an argument can't be used.

    Examples
    --------
    >>> print(counterweight("41.7 g", "43.3 g").sentence)
    Add 1.60 mL of water to the first tube, and weigh again. Balance like with like: the same liquid, as much powder.
    """
    chosen(liquid, LIQUIDS, "liquid called")
    grams = number(_one(second), "g") - number(_one(first), "g")
    volume = Q(abs(grams) / plain_density(liquid, celsius_of(temperature)) * 1000, "mL")
    tube = "first" if grams > 0 else "second" if grams < 0 else "neither"
    like = "Balance like with like: the same liquid, as much powder."
    if volume > MOST_ADDED:
        like = f"That is much for a tube: share the powder and its liquid out again instead. {like}"
    if liquid in solvents():
        like = f"{like} {NO_ACETONE.format(liquid=liquid)}"
    sentence = f"The tubes weigh alike. {like}" if tube == "neither" else (
        f"Add {printed(volume)} of {liquid} to the {tube} tube, and weigh again. {like}")  # fmt: skip
    return Counterweight(volume, tube, liquid, sentence)


@takes(radius="[length] > 0", filling="[mass concentration] > 0")
def highest_speed(rated_force, radius, rated_speed=None, filling="1.0 g/mL"):
    r"""Return the highest speed that tube and rotor are rated for, in rpm; print it with ``speed_down``.

    Parameters
    ----------
    rated_force : number or text
        Of the tube, ``"4000 × g"``, as printed on it or in its sheet: the weakest part counts, so also
        that of the adapter.
    radius : quantity or text [length]
        From the axis to the bottom of the tube.
    rated_speed : as for ``rotor_speed``, optional
        Of the rotor.
    filling : quantity or text [mass / volume]
        Density of what is in the tube.  Over 1.2 g/mL, for which rotors are rated (common practice), the
        speed goes down as :math:`\sqrt{1.2/\rho}`.

    Raises
    ------
    LabError
        If an argument can't be used.

    Notes
    -----
    For new, uncracked tubes that stand the liquid, ``tube_words``.  The sheets of rotor and tube rule.

    Examples
    --------
    >>> speed_down(highest_speed("4000 × g", "9 cm", "6000 rpm"))
    '6000 rpm'
    >>> speed_down(highest_speed("2000 × g", "9 cm", "6000 rpm"))
    '4400 rpm'
    """
    by_tube = min(one_speed(speed_for(rated_force, _one(radius))), FASTEST)
    speed = by_tube if rated_speed is None else min(by_tube, one_speed(rotor_speed(rated_speed)))
    return Q(speed * min(1.0, number(DESIGNED_FOR / _one(filling), "dimensionless")) ** 0.5, "rpm")


def speed_down(speed):
    """Return a speed that is allowed at most as text, rounded down to two figures.

    >>> speed_down(Q(4493.9, "rpm"))
    '4400 rpm'
    """
    return f"{rounded_down(one_speed(rotor_speed(speed)), 2)} rpm"


def tubes():
    """Return what the tubes of tubes.csv are made of.

    >>> tubes()[:2]
    ['polypropylene', 'glass']
    """
    return [found["name"] for found in table("tubes")]


def tube_words(tube, liquid):
    """Return a sentence on whether a tube stands a liquid, from memory: ask the maker of yours.

    Raises ChoiceProblem if there is no such tube or liquid; the message lists those there are.

    >>> tube_words("polystyrene", "acetone")
    'No polystyrene for acetone (from memory); acetone dissolves it. The force it is rated for stands on the tube or in its sheet.'
    """
    found = row("tubes", chosen(tube, tubes(), "tube of"))
    stands = found[chosen(liquid, LIQUIDS, "liquid called")]
    said = {
        "yes": f"Tubes of {tube} stand {liquid}",
        "no": f"No {tube} for {liquid}",
    }.get(stands, f"Ask the maker whether {tube} stands {liquid} in a centrifuge")
    return f"{said} ({found['kind']}); {found['note']}. The force it is rated for stands on the tube or in its sheet."
