"""Workbook 03: a jar of solvent shut, warmed, and spilled in a room."""

from functools import lru_cache
from math import ceil

from labkit.air.fire import LEAN, flammable_range, verdict_between
from labkit.air.jar import headspace, warmed_jar
from labkit.air.limits import LIMITS_MOVE, strictest
from labkit.air.vapour import (
    DENSITY_FROM,
    DENSITY_TO,
    air_for,
    antoine_range,
    evaporation,
    solvent_molar_mass,
    solvents,
    vapour_pressure,
)
from labkit.data import value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.plots.jar import jar_picture
from labkit.units import Q, nominal, number, printed, printed_down, printed_up, rounded_down, rounded_up

_SIZES = (  # argument, unit, least, most, what to say
    ("liquid_volume", "mL", 0.01, 2e4, "The solvent has to be between 0.01 mL and 20 L."),
    ("jar_volume", "mL", 1, 1e5, "The jar has to hold between 1 mL and 100 L."),
    ("room_volume", "m**3", 1, 1e5, "The room has to be between 1 and 100 000 m³."),
)
_LABELS = {
    "liquid_volume": "Solvent in it",
    "jar_volume": "Jar, to the brim",
    "closed_at": "Shut at",
    "warmed_to": "Warmed to",
    "room_volume": "Room, if it spills",
}
_ROOM = 101.325  # kPa, the pressure of the room
_SPILL_AT = 25.0  # °C; a warmer jar counts as warm as it is


def jar_answer(solvent, liquid_volume, jar_volume, closed_at, warmed_to, room_volume):
    """Return the Answer for a jar: its gas when shut and when warmed, its pressure, and a full spill.

    ``solvent`` is ``"acetone"`` or ``"ethanol"``; volumes and temperatures are quantities without ±.
    At 1 atm.  Hazard figures are rounded up, and a share of vapour is given from its low end,
    rounded down, to its high end, rounded up.
    """
    given = {"liquid_volume": liquid_volume, "jar_volume": jar_volume, "closed_at": closed_at,
             "warmed_to": warmed_to, "room_volume": room_volume}  # fmt: skip
    cold, hot, liquid, jar, room = _plain(solvent, given)
    shut, warm = _shut(solvent, cold, jar, liquid), _warmed(solvent, cold, hot, jar, liquid)
    spill = _spill(solvent, max(cold, _SPILL_AT), liquid, room)
    limits = shut.verdict.limits
    held = _span(shut.verdict.low, shut.verdict.high)
    later = _span(warm.verdict.low, warm.verdict.high)
    range_said = f"{limits.lower.magnitude:g} to {limits.upper.magnitude:g} %"
    vapour = [_vapour(solvent, celsius)[1] for celsius in (cold, hot)]
    mass = "all of it" if shut.dry else printed_up(shut.evaporated)
    pressure = f"{printed_up(warm.jar.overpressure.high)} above the room"
    sentence = (
        f"Shut at {printed(closed_at)}, the gas in the jar is {held} {solvent} vapour (vapour pressure {vapour[0]}, "
        f"{mass} evaporated), and {range_said} burns: {_level_words(shut.verdict)}. "
        f"Never warm it closed: at {printed(warmed_to)} the pressure is up to {pressure} and up to "
        f"{printed_up(warm.jar.evaporated.high)} has evaporated. {_spill_words(spill, liquid_volume, room_volume)}"
    )
    rows = (
        ("In the jar", f"shut at {printed(closed_at)}", f"warmed to {printed(warmed_to)}"),
        ("vapour pressure", *vapour),
        ("vapour in the gas, shut over fresh air or after standing open", held, later + (", boils once opened" if warm.boils else "")),
        (f"burns: {range_said}", _level_words(shut.verdict), _level_words(warm.verdict)),
        ("evaporated, at most", printed_up(shut.evaporated), printed_up(warm.jar.evaporated.high)),
        ("above the pressure of the room", f"up to {printed_up(shut.fraction.to('') * Q(_ROOM, 'kPa'))}, if shut at once over fresh air",
         f"{printed_up(warm.jar.overpressure.low)} if shut after standing open, up to {printed_up(warm.jar.overpressure.high)}"),
        ("liquid", printed(liquid_volume), f"without evaporation, grown to {printed_up(warm.jar.grown, 3)}"),
        *_spill_rows(spill, room_volume),
        ("Where from:", "", ""),
        ("burning range", range_said, f"the widest of {'; '.join(limits.published)}"),
        ("vapour pressure", "computed", "Antoine constants: NIST Chemistry WebBook, for cold acetone Poling et al. 2001"),
    )  # fmt: skip
    marks = (cold, min(100, number(shut.fraction, "percent"))), (hot, warm.opened)
    alt = (f"Percent of {solvent} vapour over the liquid against temperature, rising through a band of {range_said} that "
           f"burns. This jar: {_marked(marks[0])} when shut, {_marked(marks[1])} when warmed.")  # fmt: skip
    return Answer(sentence, jar_picture(solvent, *marks, alt), rows, cautions("solvent"))


class _Warm:
    """The jar once warmed: WarmedJar, the FireVerdict on its gas, percent of vapour if opened, and if it boils then."""

    def __init__(self, solvent, cold, hot, jar, liquid):
        self.jar = found = warmed_jar(solvent, Q(liquid, "mL"), Q(jar, "mL"), Q(cold, "degC"), Q(hot, "degC"))
        # Shares by counting molecules: what evaporated, over that and the air that was shut in.
        constant, weight = _constants(solvent)
        heat, space = constant * (cold + 273.15), (jar - liquid) * 1e-6
        before = 1000 * _vapour(solvent, cold)[0]
        partial, shares = [], []
        for first, more, over in (
            (before, found.evaporated.low, found.overpressure.low),
            (0.0, found.evaporated.high, found.overpressure.high),
        ):
            vapour = first * space / heat + number(more, "g") / weight
            air = (1000 * _ROOM - first) * space / heat
            shares.append(vapour / (vapour + air))
            partial.append(shares[-1] * (_ROOM + number(over, "kPa")))
        self.opened = min(100.0, 100 * max(partial) / _ROOM)
        self.boils = self.opened >= 100
        low = 100 * min(shares)
        self.verdict = verdict_between(flammable_range(solvent), low, max(low, self.opened))


# Kept apart, so that typing in one box does not work out anew what only the others change.
@lru_cache(64)
def _shut(solvent, cold, jar, liquid):
    return headspace(solvent, Q(cold, "degC"), Q(jar, "mL"), Q(liquid, "mL"))


@lru_cache(64)
def _warmed(solvent, cold, hot, jar, liquid):
    return _Warm(solvent, cold, hot, jar, liquid)


def _spill(solvent, celsius, liquid, room):
    """Return (fraction in the room, air made flammable, strictest limit, limit to flee from, air for the limit, °C)."""
    share = evaporation(solvent, Q(liquid, "mL"), Q(room, "m**3"), Q(celsius, "degC"))
    limit, escape = _exposure(solvent)
    burning, fresh = (Q(liquid * each, "m**3") for each in _air(solvent, celsius))
    return share, burning, limit, escape, fresh, celsius


@lru_cache(64)
def _vapour(solvent, celsius):
    """Return the vapour pressure in kPa and as text."""
    found = vapour_pressure(solvent, Q(celsius, "degC"))
    return number(found, "kPa"), printed_up(found, 3)


@lru_cache(64)
def _air(solvent, celsius):
    """Return the m³ of air that one millilitre makes flammable, and those that thin it to the strictest limit."""
    levels = "flammable", _exposure(solvent)[0].value
    return tuple(number(air_for(solvent, Q(1.0, "mL"), level, Q(celsius, "degC")), "m**3") for level in levels)


@lru_cache(4)
def _constants(solvent):
    return number(value("constants", "gas constant"), "J/mol/K"), number(solvent_molar_mass(solvent), "g/mol")


@lru_cache(4)
def _exposure(solvent):
    return strictest(solvent, kind="published"), strictest(solvent, "escape", "published")


def _spill_words(spill, liquid_volume, room_volume):
    share, burning, limit, _, _, _ = spill
    times = number(share / limit.value, "dimensionless")
    found = f"the strictest limit found, {printed_down(limit.value)} ({limit.label})"
    against = f"{rounded_up(times, 2)} times {found}" if times > 1 else f"under {found}, but over it near the puddle"
    fills = ", which is all of the room" if burning >= room_volume else ""
    return (f"Spilled, the {printed(liquid_volume)} bring a room of {printed(room_volume)} to {_share_text(share)} on average, "
            f"{against}, and can make {printed_up(burning)} of air flammable{fills}.")  # fmt: skip


def _spill_rows(spill, room_volume):
    share, burning, limit, escape, fresh, celsius = spill
    over = (
        "over the limit to flee from" if share > escape.value else "an average: the puddle and the floor have far more"
    )
    return (
        (f"A full spill, all evaporated and mixed at {celsius:.3g} °C:", "", ""),
        (f"in {printed(room_volume)} of room", _share_text(share), over),
        ("strictest limit found", printed_down(limit.value), f"{limit.label}. {LIMITS_MOVE}"),
        ("limit to flee from (IDLH)", printed_down(escape.value), escape.label),
        ("air made flammable", printed_up(burning), "brought to the lower limit"),
        ("fresh air to thin it", printed_up(fresh), "to the strictest limit"),
    )


def _share_text(share):
    return printed_up(share.to("percent")) if number(share, "percent") >= 1 else printed_up(share.to("ppm"))


def _span(low, high):
    """Return ``18.8 to 23.4 %`` from two quantities: down to the low end, up to the high end."""
    ends = rounded_down(number(low, "percent"), 3), rounded_up(number(high, "percent"), 3)
    return f"{ends[0]} to {ends[1]} %" if ends[0] != ends[1] else f"{ends[0]} %"


def _level_words(verdict):
    return (
        f"{verdict.level} as an average, but richer near the liquid and when warmed"
        if verdict.level == LEAN
        else verdict.level
    )


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
        if not least <= sizes[-1] <= most:
            raise RangeProblem(words)
    liquid, jar, room = sizes
    if liquid >= jar:
        raise RangeProblem("The solvent fills the jar, so there is no gas over it. Type a larger jar or less solvent.")
    cold, hot = (number(given[name], "degC") for name in ("closed_at", "warmed_to"))
    coldest = max(DENSITY_FROM, ceil(antoine_range(solvent)[0] - 273.15))
    if not (coldest <= cold <= DENSITY_TO and coldest <= hot <= DENSITY_TO):
        raise RangeProblem(f"Both temperatures of {solvent} have to lie between {coldest} and {DENSITY_TO} °C: farther out its "
                           "vapour pressure or its density is not known here. Type for instance 20 °C.")  # fmt: skip
    if hot <= cold:
        raise RangeProblem(f"“{_LABELS['warmed_to']}” has to be above {printed(given['closed_at'])}, at which the jar was shut. "
                           "A jar that cools sucks its lid down instead.")  # fmt: skip
    return cold, hot, liquid, jar, room


def jar_panel():
    """Return the panel of workbook 03 about a jar of solvent."""
    controls = {
        "solvent": Choice("Solvent", solvents(), "acetone"),
        "liquid_volume": TypedBox(_LABELS["liquid_volume"], "65 mL", "[volume] > 0", hint="such as 40 mL"),
        "jar_volume": TypedBox(_LABELS["jar_volume"], "280 mL", "[volume] > 0", hint="such as 500 mL"),
        "closed_at": TypedBox(_LABELS["closed_at"], "19 °C", "[temperature]", hint="such as 20 °C"),
        "warmed_to": TypedBox(_LABELS["warmed_to"], "38 °C", "[temperature]", hint="such as 40 °C"),
        "room_volume": TypedBox(_LABELS["room_volume"], "34 m³", "[volume] > 0", hint="such as 30 m³"),
    }
    return Panel("What stands in a jar of solvent, and what would it do to the room?", controls, jar_answer)
