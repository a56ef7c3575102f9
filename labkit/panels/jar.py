"""Workbook 03: a jar of solvent shut, warmed, and spilled in a room."""

from functools import lru_cache
from math import ceil

from labkit.air.fire import LEAN
from labkit.air.jar import headspace, warmed_jar
from labkit.air.limits import LIMITS_MOVE, strictest
from labkit.air.vapour import (
    DENSITY_FROM,
    DENSITY_TO,
    air_for,
    antoine_range,
    evaporation,
    solvents,
    vapour_pressure,
)
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.plots.jar import jar_picture
from labkit.units import Q, nominal, number, printed, printed_down, printed_up, read, rounded_down, rounded_up

_SIZES = (  # argument, unit, least, most, what to say
    ("liquid_volume", "mL", "0.01 mL", "20 L", "The solvent has to be between 0.01 mL and 20 L."),
    ("jar_volume", "mL", "1 mL", "100 L", "The jar has to hold between 1 mL and 100 L."),
    ("room_volume", "m**3", "1 m³", "100000 m³", "The room has to be between 1 and 100 000 m³."),
)
_LABELS = {
    "liquid_volume": "Solvent in it when shut",
    "jar_volume": "Jar, to the brim",
    "closed_at": "Shut at",
    "warmed_to": "Warmed to",
    "room_volume": "Room, if it spills",
}
_SPILL_AT = 25.0  # °C; a warmer jar counts as warm as it is


def jar_answer(solvent, liquid_volume, jar_volume, closed_at, warmed_to, room_volume):
    """Return the Answer for a jar: its gas when shut and when warmed, its pressure, and a full spill.

    ``solvent`` is ``"acetone"`` or ``"ethanol"``; volumes and temperatures are quantities without ±,
    the liquid what is in the jar when it is shut.  At 1 atm.  Hazard figures are rounded up, and a share of vapour is given from its low end,
    rounded down, to its high end, rounded up.
    """
    given = {"liquid_volume": liquid_volume, "jar_volume": jar_volume, "closed_at": closed_at,
             "warmed_to": warmed_to, "room_volume": room_volume}  # fmt: skip
    cold, hot, liquid, jar, room = _plain(solvent, given)
    shut, warm = _shut(solvent, cold, jar, liquid), _warmed(solvent, cold, hot, jar, liquid)
    spill = _spill(solvent, max(cold, _SPILL_AT), liquid, room)
    limits = shut.verdict.limits
    held = _span(shut.verdict.low, shut.verdict.high)
    later = _span(warm.fraction.low, warm.fraction.high)
    opened = number(warm.fraction.high, "percent")
    range_said = f"{limits.lower.magnitude:g} to {limits.upper.magnitude:g} %"
    vapour = [_vapour(solvent, celsius) for celsius in (cold, hot)]
    mass = "all of it" if shut.dry else printed_up(shut.evaporated)
    pressure = f"{printed_up(warm.overpressure.high)} above the room"
    sentence = (
        f"Shut at {printed(closed_at)}, the gas in the jar is {held} {solvent} vapour (vapour pressure {vapour[0]}, "
        f"{mass} evaporated), and {range_said} burns: {_level_words(shut)}. "
        f"Never warm it closed: at {printed(warmed_to)} the pressure is up to {pressure} and up to "
        f"{printed_up(warm.evaporated.high)} has evaporated. {_spill_words(spill, liquid_volume, room_volume)}"
    )
    rows = (
        ("In the jar", f"shut at {printed(closed_at)}", f"warmed to {printed(warmed_to)}"),
        ("vapour pressure", *vapour),
        ("vapour in the gas, shut over fresh air or after standing open", held, later + (", boils once opened" if opened >= 100 else "")),
        (f"burns: {range_said}", _level_words(shut), _level_words(warm)),
        ("evaporated, at most", printed_up(shut.evaporated), printed_up(warm.evaporated.high)),
        ("above the pressure of the room", f"up to {printed_up(shut.overpressure)}, if shut at once over fresh air",
         f"{printed_up(warm.overpressure.low)} if shut after standing open, up to {printed_up(warm.overpressure.high)}"),
        ("liquid", printed(liquid_volume), f"without evaporation, grown to {printed_up(warm.grown, 3)}"),
        *_spill_rows(spill, room_volume),
        ("Where from:", "", ""),
        ("burning range", range_said, f"the widest of {'; '.join(limits.published)}"),
        ("vapour pressure", "computed", "Antoine constants: NIST Chemistry WebBook, for cold acetone Poling et al. 2001"),
    )  # fmt: skip
    marks = (cold, min(100, number(shut.fraction, "percent"))), (hot, opened)
    alt = (f"Percent of {solvent} vapour over the liquid against temperature, rising through a band of {range_said} that "
           f"burns. This jar: {_marked(marks[0])} when shut, {_marked(marks[1])} when warmed.")  # fmt: skip
    return Answer(sentence, jar_picture(solvent, *marks, alt), rows, cautions("solvent"))


# Kept apart, so that typing in one box does not work out anew what only the others change.
@lru_cache(64)
def _shut(solvent, cold, jar, liquid):
    return headspace(solvent, Q(cold, "degC"), Q(jar, "mL"), Q(liquid, "mL"))


@lru_cache(64)
def _warmed(solvent, cold, hot, jar, liquid):
    return warmed_jar(solvent, Q(liquid, "mL"), Q(jar, "mL"), Q(cold, "degC"), Q(hot, "degC"))


def _spill(solvent, celsius, liquid, room):
    """Return (fraction in the room, air made flammable, strictest and escape limit, air for the first, °C)."""
    share = evaporation(solvent, Q(liquid, "mL"), Q(room, "m**3"), Q(celsius, "degC"))
    burning, fresh = (Q(liquid * each, "m**3") for each in _air(solvent, celsius))
    return share, burning, *_exposure(solvent), fresh, celsius


@lru_cache(64)
def _vapour(solvent, celsius):
    """Return the vapour pressure as text."""
    return printed_up(vapour_pressure(solvent, Q(celsius, "degC")), 3)


@lru_cache(64)
def _air(solvent, celsius):
    """Return the m³ of air that one millilitre makes flammable, and those that thin it to the strictest limit."""
    levels = "flammable", strictest(solvent, kind="published").value
    return tuple(number(air_for(solvent, Q(1.0, "mL"), level, Q(celsius, "degC")), "m**3") for level in levels)


@lru_cache(4)
def _exposure(solvent):
    """Return the strictest and the escape limit, each as (plain ppm, its text, its label)."""
    found = strictest(solvent, kind="published"), strictest(solvent, "escape", "published")
    return tuple((number(limit.value, "ppm"), printed_down(limit.value), limit.label) for limit in found)


def _spill_words(spill, liquid_volume, room_volume):
    share, burning, limit, escape, *_ = spill
    times, flee = (number(share, "ppm") / ppm for ppm, _, _ in (limit, escape))
    found = f"the strictest limit found, {limit[1]} ({limit[2]})"
    against = f"{rounded_up(times, 2)} times {found}" if times > 1 else f"under {found}, but over it near the puddle"
    over = ""
    if flee > 1:
        over = f" That is {rounded_up(flee, 2)} times the escape limit, {escape[1]}: out at once, and do not go in to air it."
    fills = ", which is all of the room" if burning >= room_volume else ""
    return (f"Spilled, the {printed(liquid_volume)} bring a room of {printed(room_volume)} to {_share_text(share)} on average, "
            f"{against}, and can make {printed_up(burning)} of air flammable{fills}.{over}")  # fmt: skip


def _spill_rows(spill, room_volume):
    share, burning, limit, escape, fresh, celsius = spill
    over = "an average: the puddle and the floor have far more"
    if number(share, "ppm") > escape[0]:
        over = "over the escape limit: out at once, and do not go in to air it"
    return (
        (f"A full spill, all evaporated and mixed at {celsius:.3g} °C:", "", ""),
        (f"in {printed(room_volume)} of room", _share_text(share), over),
        ("strictest limit found", limit[1], f"{limit[2]}. {LIMITS_MOVE}"),
        ("escape limit (IDLH: get out)", *escape[1:]),
        ("air made flammable", printed_up(burning), "brought to the lower limit"),
        ("fresh air to thin it", printed_up(fresh), "to the strictest limit"),
    )


def _share_text(share):
    return printed_up(share.to("percent")) if number(share, "percent") >= 1 else printed_up(share.to("ppm"))


def _span(low, high):
    """Return ``18.8 to 23.4 %`` from two quantities: down to the low end, up to the high end."""
    ends = rounded_down(number(low, "percent"), 3), rounded_up(number(high, "percent"), 3)
    return f"{ends[0]} to {ends[1]} %" if ends[0] != ends[1] else f"{ends[0]} %"


def _level_words(jar):
    """Return the level, and of a lean jar how soon it burns."""
    level = jar.verdict.level
    return f"{level} as an average, but richer near the liquid, and {jar.distance}" if level == LEAN else level


def _marked(mark):
    return f"{mark[1]:.2g} % at {mark[0]:.3g} °C"


def _plain(solvent, given):
    """Return °C when shut, °C when warmed, mL of liquid, mL of jar and m³ of room, or say what is odd about them."""
    for name, quantity in given.items():
        if nominal(quantity) is not quantity:
            raise RangeProblem(f"One plain value is needed for “{_LABELS[name]}”, without ±. Type the end that is worse.")  # fmt: skip
    sizes = []
    for name, unit, least, most, words in _SIZES:
        sizes.append(number(given[name], unit))
        if not number(read(least), unit) * (1 - 1e-9) <= sizes[-1] <= number(read(most), unit) * (1 + 1e-9):
            raise RangeProblem(words)
    liquid, jar, room = sizes
    if liquid >= jar:
        raise RangeProblem("The solvent fills the jar, so there is no gas over it. Type a larger jar or less solvent.")
    cold, hot = (number(given[name], "degC") for name in ("closed_at", "warmed_to"))
    coldest = max(DENSITY_FROM, ceil(antoine_range(solvent)[0] - 273.15))
    if not (coldest <= cold <= DENSITY_TO and coldest <= hot <= DENSITY_TO):
        raise RangeProblem(f"Both temperatures of {solvent} have to lie between {coldest} and {DENSITY_TO} °C: farther out its "
                           "vapour pressure or its density is not known here. Type for instance 20 °C.")  # fmt: skip
    if hot < cold:
        raise RangeProblem(f"“{_LABELS['warmed_to']}” has to be at least {printed(given['closed_at'])}, at which the jar was shut. "
                           "A jar that cools sucks its lid down instead.")  # fmt: skip
    return cold, hot, liquid, jar, room


def jar_panel():
    """Return the panel of workbook 03 about a jar of solvent."""
    ends = {name: {"least": least, "most": most} for name, _, least, most, _ in _SIZES}
    controls = {
        "solvent": Choice("Solvent", solvents(), "acetone"),
        "liquid_volume": TypedBox(_LABELS["liquid_volume"], "65 mL", "[volume] > 0", hint="such as 40 mL", **ends["liquid_volume"]),
        "jar_volume": TypedBox(_LABELS["jar_volume"], "280 mL", "[volume] > 0", hint="such as 500 mL", **ends["jar_volume"]),
        "closed_at": TypedBox(_LABELS["closed_at"], "19 °C", "[temperature]", hint="such as 20 °C"),
        "warmed_to": TypedBox(_LABELS["warmed_to"], "38 °C", "[temperature]", hint="such as 40 °C"),
        "room_volume": TypedBox(_LABELS["room_volume"], "34 m³", "[volume] > 0", hint="such as 30 m³", **ends["room_volume"]),
    }  # fmt: skip
    return Panel("What stands in a jar of solvent, and what would it do to the room?", controls, jar_answer)
