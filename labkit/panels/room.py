"""The panel of workbook 03: a firing in a room, what the air comes to, and what an extraction carries."""

from functools import lru_cache

from labkit.air.extraction import exhaust_concentration, extraction_flow, face_velocity_verdict
from labkit.air.limits import gas_words, limit_fraction
from labkit.air.mixing import Mixed
from labkit.air.release import firing_release
from labkit.air.room import Room, excess, molar_volume, room_course
from labkit.air.verdict import (
    OUTSIDE,
    fire_sentence,
    fraction_text,
    judged_gases,
    reached_figures,
    room_verdict,
    time_text,
)
from labkit.chemistry.thermolysis import precursors
from labkit.data import guess
from labkit.data.cautions import cautions, firing_steps
from labkit.errors import RangeProblem
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.room import room_picture, said_in_words
from labkit.units import Q, Range, nominal, number, number_text, printed, printed_down, read

ROOMS = {"closed garage": "garage closed", "closed house": "house closed",
         "ventilated laboratory": "laboratory ventilated", "typed below": None}  # fmt: skip
TIMING = {"evenly over the time below": False, "all at once, the worst": True}
_LIMITS = (  # argument, unit, least, most, what to say
    ("precursor_mass", "g", "0.01 g", "10 kg", "The mass has to lie between 0.01 g and 10 kg."),
    ("over", "h", "1 min", "48 h", "The gas has to come over 1 min to 48 h."),
    ("volume", "m**3", "2 m³", "10000 m³", "The volume of the room has to lie between 2 and 10 000 m³."),
    ("air_changes", "1/hour", "0 /h", "60 /h", "The air changes have to lie between 0 and 60 /h."),
    ("mixing_factor", "dimensionless", "1", "100",
     "The mixing factor is 1 for perfect mixing and up to 10 for very poor; type for instance 1 to 10, likely 3."),
    ("opening", "m**2", "10 cm²", "20 m²", "The opening has to lie between 10 cm² and 20 m²."),
)  # fmt: skip
_SCALARS = {"precursor_mass": "mass", "over": "time", "opening": "opening"}
_WHOSE = {"volume": "the volume of the room", "air_changes": "the air changes", "mixing_factor": "the mixing"}


def room_answer(
    precursor, precursor_mass, at_once, over, volume, ventilation, air_changes, mixing_factor, opening, face_velocity
):
    """Return the Answer of the panel.

    Parameters
    ----------
    precursor : str
        One of ``labkit.chemistry.thermolysis.precursors()``.
    precursor_mass, over : quantity [mass], [time]
    at_once : bool
        True for all the gas in the first moment; ``over`` then plays no part.
    volume : Range [volume]
    ventilation : str or None
        A row of ``air_changes.csv``; None for what ``air_changes`` says.
    air_changes, mixing_factor : Range [rate], []
    opening, face_velocity : quantity [area], [velocity]
        Of the extraction.
    """
    changes = guess("air_changes", ventilation) if ventilation else air_changes
    given = {"precursor_mass": precursor_mass, "over": over, "volume": volume, "air_changes": changes,
             "mixing_factor": mixing_factor, "opening": opening}  # fmt: skip
    plain = _plain(given)
    found = _room(
        precursor, plain["precursor_mass"], None if at_once else plain["over"],
        plain["volume"], plain["air_changes"], plain["mixing_factor"],
    )  # fmt: skip
    rows = (*found.rows, *_extraction(found.release, opening, face_velocity))
    return Answer(found.sentence, found.svg, rows, f"{cautions(*firing_steps(precursor), 'room')}")


class _Found:
    """What does not follow the slider of the extraction: release, sentence, picture and the rows above."""

    def __init__(self, release, sentence, svg, rows):
        self.release, self.sentence, self.svg, self.rows = release, sentence, svg, rows


@lru_cache(16)  # the slider of the extraction changes nothing here
def _room(precursor, grams, hours, volume, changes, mixing):
    """Return the _Found of plain numbers: g, h (None for all at once), and ends in m³, 1/h and a plain number."""
    mass = Q(grams, "g")
    when = {"profile": "all at once"} if hours is None else {"over": Q(hours, "h")}
    spans = {"volume": _span(volume, "m**3"), "air_changes": _span(changes, "1/hour"),
             "mixing_factor": _span(mixing, "dimensionless")}  # fmt: skip
    # Every figure falls as volume and air changes grow and as mixing gets better, so the ends enclose the rest.
    rooms = [
        Room(room, change, mixed)
        for room, change, mixed in zip(
            spans["volume"].ends[::-1], spans["air_changes"].ends[::-1], spans["mixing_factor"].ends
        )
    ]
    verdict = room_verdict(mass, rooms[-1], precursor=precursor, **when)
    rows = [("Rounded up", "at best", "likely", "at worst")]
    found, others = [], []
    for figures in verdict.figures:  # the gas that decides comes first
        release = firing_release(mass, precursor, gas=figures.gas, share="at most", **when)
        runs = [room_course(room, release) for room in rooms]
        found.append((release, runs))
        others += [_other_gas(figures, [run.peak[0] for run in runs])] if len(found) > 1 else []
        rows += _rows(figures, [excess(room, release) for room in rooms], perfect=mixing[2] == 1)
    rows += _unjudged(precursor)
    release, runs = found[0]
    peaks, limit = [run.peak[0] for run in runs], verdict.limit
    alt = said_in_words(release, peaks, [run.time_over(limit) for run in runs])
    sentence = _sentence(
        mass,
        precursor,
        release,
        volume,
        verdict.level,
        limit,
        peaks,
        _driver(release, volume, changes, mixing),
        others + [fire_sentence(one.gas, one.peak, one.peak_at_once) for one in verdict.figures],
    )
    return _Found(release, sentence, room_picture(release, runs, alt), tuple(rows))


def _sentence(mass, precursor, release, volume, level, limit, peaks, driver, more):
    when = f"over {printed(release.duration)}" if release.steps else "all at once"
    spread = _spread(peaks)
    spread += f", spread mostly by {driver}" if " to " in spread else ""
    name = gas_words(release.gas)
    return (
        f"{printed(mass)} of {precursor}, its gas {when}, in {_numbers(volume, 'm³')}: {level}. {name[0].upper()}{name[1:]} "
        f"may reach {spread}, beside a limit of {printed_down(limit.value)} ({limit.label}); isocyanic acid (HNCO) has no "
        f"safe figure. {''.join(f'{one} ' for one in more if one)}{OUTSIDE}"
    )


def _spread(peaks):
    """Return ``41 to 120 ppm`` from the peaks of the best, the likely and the worst room."""
    low, _, high = (fraction_text(peak) for peak in peaks)
    same = low.partition(" ")[2] == high.partition(" ")[2]
    return high if low == high else f"{low.partition(' ')[0] if same else low} to {high}"


def _other_gas(figures, peaks):
    """Return a sentence on a gas that is not the first: hydrogen cyanide always, the others where an escape limit is reached."""
    most = max(peaks[-1], figures.peak_at_once)
    reached = {one.limit.averaging: one.limit for one in figures.checks if most >= one.limit.value}
    if figures.gas == "HCN":
        judged = (
            ": deadly"
            if {"escape", "ceiling"} & set(reached)
            else f", beside a limit of {printed_down(figures.limit.value)}"
        )
    elif "escape" in reached:
        judged = f", beside an escape limit of {printed_down(reached['escape'].value)}"
    else:
        return ""
    name = gas_words(figures.gas)
    return f"{name[0].upper()}{name[1:]} may reach {_spread(peaks)}{judged}."


def _driver(release, volume, changes, mixing):
    """Return in words which guess alone, of (low, likely, high) in m³, 1/h and a plain number, moves the peak the most."""
    one = molar_volume(25.0, 1.0)
    hours, rates = [step.magnitude for step, _ in release.steps], [rate.magnitude * one for _, rate in release.steps]
    spans = {"volume": volume, "air_changes": changes, "mixing_factor": mixing}

    def swing(name):
        peaks = []
        for end in (0, 2):
            room, change, mixed = (span[end if other == name else 1] for other, span in spans.items())
            start = release.at_once.magnitude * one / room
            peaks.append(Mixed(hours, [rate / room for rate in rates], start, change / mixed).peak()[0])
        return abs(peaks[1] - peaks[0])

    return _WHOSE[max(spans, key=swing)]


def _rows(figures, airs, perfect):
    """Return the rows of one gas: what it comes to in the best, likely and worst room, and each limit beside that."""
    name, limit = gas_words(figures.gas), printed_down(figures.limit.value)
    mixed = (
        "perfectly mixed: times can be ten times as long, or longer, if it mixes badly"
        if perfect
        else "more near the kiln"
    )
    reached, share = [reached_figures(air) for air in airs], limit_fraction(figures.limit)
    yield (f"{name[0].upper()}{name[1:]} in mixed air, the most that the atoms allow; {mixed}", "", "", "")
    for words, kind in (("peak", "ceiling"), ("highest mean over 15 min", "15 min"), ("highest mean over 8 h", "8 h")):
        yield (words, *(fraction_text(Q(found[kind], "ppm")) for found in reached))
    yield (f"time at or over {limit}", *(time_text(Q(air.time_over(share), "h"), endless="for good") for air in airs))
    yield (f"back under {limit}, after the last of the gas",
           *(time_text(Q(air.time_to_clear(share), "h"), "under it already") for air in airs))  # fmt: skip
    for one in (check.limit for check in figures.checks):
        bound = one.value.m_as("ppm")
        words = ("over" if found[one.averaging] >= bound else "under" for found in reached)
        yield (f"{printed_down(one.value)}: {one.label}", *words)
    if all(check.limit.averaging != "escape" for check in figures.checks):
        yield ("no escape limit (IDLH) of it is known here", "", "", "")


def _unjudged(precursor):
    """Return the rows about times, and about gases that have no figures here."""
    yield ("Gas goes on through the hold: no time here says when to go back in", "", "", "")
    if "HCN" not in judged_gases(precursor):
        yield ("Hydrogen cyanide (HCN): may come if it is overheated, not judged here", "", "", "")
    if precursor == "thiourea":
        yield ("Carbonyl sulfide (COS): may come, and no limit of it is known here", "", "", "")


def _extraction(release, opening, face_velocity):
    """Return the rows about an extraction; its outlet carries all that it takes in."""
    flow = extraction_flow(face_velocity, area=opening)
    said = str(face_velocity_verdict(face_velocity)).splitlines()[0].split(". ")[0].rstrip(".")
    carried = fraction_text(exhaust_concentration(release.highest_rate, flow)) if release.steps else "one puff"
    yield ("Isocyanic acid (HNCO): no safe figure", "", "", "")
    yield (f"Extraction, {printed(opening)} at {printed(face_velocity, 2)}: {said[0].lower()}{said[1:]}", "", "", "")
    yield ("air it draws, rounded down", "", "", printed_down(flow))
    yield (f"{gas_words(release.gas)} in its outlet, all taken in", "", "", carried)


def _plain(given):
    """Return argument to its plain number, or (low, likely, high), and refuse what no room or firing is like."""
    found = {}
    for name, unit, least, most, words in _LIMITS:
        value = given[name]
        ends = value.ends if isinstance(value, Range) else (value,)
        if any(nominal(end) is not end for end in ends):
            raise RangeProblem(f"Type the {_SCALARS[name]} without ±: the value that is worst.")
        numbers = tuple(number(end, unit) for end in ends)
        low, high = (number(read(end), unit) for end in (least, most))
        if not (low * (1 - 1e-9) <= min(numbers) and max(numbers) <= high * (1 + 1e-9)):  # but for the last bits
            raise RangeProblem(words)
        found[name] = numbers if isinstance(value, Range) else numbers[0]
    return found


def _span(numbers, unit):
    return Range(*(Q(size, unit) for size in numbers))


def _numbers(ends, symbol):
    low, likely, high = (number_text(end, 3) for end in ends)
    return f"{likely} {symbol}" if low == high else f"{low} to {high} {symbol}"


def room_panel():
    """Return the panel of workbook 03: can this room carry the gas of a firing?"""
    ends = {name: {"least": least, "most": most} for name, _, least, most, _ in _LIMITS}
    even, typed = next(iter(TIMING)), list(ROOMS)[-1]
    controls = {
        "precursor": Choice("Precursor", precursors(), "urea"),
        "precursor_mass": TypedBox("Precursor to fire", "12 g", "[mass] > 0", **ends["precursor_mass"]),
        "at_once": Choice("Its gas comes", TIMING, even),
        "over": TypedBox("Time over which it comes", "2 h", "[time] > 0", hint="such as 90 min", **ends["over"]),
        "volume": TypedBox("Volume of the room", "34 m³", "[volume] > 0", ranged=True,
                           hint="such as 30 m³, or a range", **ends["volume"]),
        "ventilation": Choice("Air changes", ROOMS, "closed garage"),
        "air_changes": TypedBox("Air changes, if typed", "0.5 /h to 2 /h, likely 1 /h", "[rate] >= 0", ranged=True,
                                name="the number of air changes", hint="such as 0.8 /h, or a range", **ends["air_changes"]),
        "mixing_factor": TypedBox("Mixing factor", "1 to 10, likely 3", "[] > 0", ranged=True,
                                  hint="1 perfect, 10 very poor; a range", **ends["mixing_factor"]),
        "opening": TypedBox("Opening of an extraction", "0.3 m²", "[area] > 0", hint="such as 1500 cm²", **ends["opening"]),
        "face_velocity": UnitSlider("Speed of the air through it", "m/s", 0.05, 1.5, 0.05, 0.5),
    }  # fmt: skip
    # To type air changes is to choose them; a time typed beside the worst case does not make it milder.
    controls["air_changes"].used_with(controls["ventilation"], typed, switch=True)
    controls["over"].used_with(controls["at_once"], even)
    return Panel("Can this room carry the gas?", controls, room_answer)
