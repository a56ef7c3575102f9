"""What is said first of a gas in a room: that it can light, or that it kills."""

from functools import cache

from labkit.air.fire import LEVELS as FIRE_SHARES
from labkit.air.fire import flammable_range
from labkit.air.limits import gas_words, limits, single
from labkit.air.release import judged_gases, moles_per_gram
from labkit.air.room import Room
from labkit.errors import ChoiceProblem, UnitProblem
from labkit.units import Q, rounded_up

PERCENT = 1e4  # ppm; from here on a fraction is printed in percent


def fraction_text(fraction):
    """Return a fraction of the air rounded up, from 1 % on in percent; where the gas is more than the room, that in words.

    >>> fraction_text(Q(923.7, "ppm")), fraction_text(Q(0.0402, "dimensionless")), fraction_text(Q(1.2, "dimensionless"))
    ('930 ppm', '4.1 %', 'more gas than the room holds')
    """
    ppm = fraction.m_as("ppm")
    if ppm >= 1e6:
        return "more gas than the room holds"
    return f"{rounded_up(ppm / PERCENT, 2)} %" if ppm >= PERCENT else f"{rounded_up(ppm, 2)} ppm"


def fire_sentence(gas, peak, peak_at_once):
    """Return what is to be said of fire where a gas reaches a quarter of its lower fire limit; empty where it does not.

    >>> fire_sentence("NH3", Q(3.0, "percent"), Q(3.7, "percent")), fire_sentence("NH3", Q(3.0, "percent"), Q(4.1, "percent"))[:52]
    ('', 'Fire: 4.1 % of ammonia (NH₃), if it came all at once')
    """
    lower = _lower_fire_limit(gas)
    if lower is None or max(peak, peak_at_once).m_as("percent") < FIRE_SHARES["margin"] * lower:
        return ""
    mixed = peak.m_as("percent") >= FIRE_SHARES["margin"] * lower
    figure = peak if mixed else peak_at_once
    how = "at or over" if figure.m_as("percent") >= lower else "over a quarter of"
    full = figure.m_as("percent") >= 100
    much = f"more {gas_words(gas)} than the room holds" if full else f"{fraction_text(figure)} of {gas_words(gas)}"
    return (f"Fire: {much}{'' if mixed else ', if it came all at once,'} is {how} the lower fire limit, {lower:g} %. No flame, no spark, no switch; "
            "inside the kiln and in a duct the gas is far richer.")  # fmt: skip


def deadly_sentence(precursor_mass, precursor, room):
    """Return the sentence on hydrogen cyanide where the atoms allow it to reach its escape or ceiling limit; else empty.

    Only of a precursor from which it comes without overheating, thiourea (``judged_gases``).  The
    figure is for all of it at once, in mixed air, rounded up.  Raises LabError if the mass or the
    precursor can't be used, or ``room`` is no Room.

    References
    ----------
    madarasz_2007, hcn_sheet_2011, ontario_limits

    >>> deadly_sentence("3 g", "thiourea", Room("30 m³", "0.8 /h"))
    'Hydrogen cyanide (HCN) may reach 33 ppm: deadly.'
    """
    if not isinstance(room, Room):
        raise UnitProblem("deadly_sentence() needs a Room, as in room=Room('30 m³', '0.8 /h').")
    precursor_mass = single(precursor_mass, "[mass] > 0", "precursor mass")
    if "HCN" not in judged_gases(precursor):
        return ""
    amount = precursor_mass.m_as("g") * moles_per_gram(precursor)["HCN"]
    most = Q(room.filled(amount) * 1e6, "ppm") + room.background
    if most < _deadly_from():
        return ""
    if most.m_as("dimensionless") >= 1:
        return "Hydrogen cyanide (HCN) may come, more than the room holds: deadly."
    return f"Hydrogen cyanide (HCN) may reach {fraction_text(most)}: deadly."


@cache
def _deadly_from():
    """Return the lower of the escape and the ceiling limits of hydrogen cyanide."""
    return min(limit.value for limit in limits("HCN") if limit.averaging in ("escape", "ceiling"))


@cache
def _lower_fire_limit(gas):
    """Return the lower fire limit in percent, None for what has none."""
    try:
        return flammable_range(gas).lower.m_as("percent")
    except ChoiceProblem:
        return None
