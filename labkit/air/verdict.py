"""Can general ventilation carry a firing?  What the air of a room comes to, beside every limit.

No answer here says that air may be breathed: isocyanic acid has no figure to compare with.
"""

from dataclasses import dataclass
from functools import cache
from html import escape

import numpy as np

from labkit.air.danger import deadly_sentence, fire_sentence, fraction_text
from labkit.air.extraction import OUTLET
from labkit.air.limits import Limit, gas_words, limits, single, strictest
from labkit.air.mixing import Mixed
from labkit.air.release import firing_release, judged_gases, moles_per_gram
from labkit.air.room import Room, excess
from labkit.chemistry.formula import molar_mass, subscripted
from labkit.data import guess
from labkit.data.cautions import cautions, firing_steps
from labkit.errors import UnitProblem
from labkit.units import Note, Q, nominal, printed, printed_down, printed_up, wrapped

LEVELS = (
    "under the limits, and HNCO still has no safe figure: extraction",
    "over a limit",
    "general ventilation can't carry this",
)
OUTSIDE = "Fire outdoors or under extraction that leads outside."
STILL_THERE = "These times do not say when to go back in: gas goes on through the hold, and isocyanic acid (HNCO) may still be there."
BADLY = 10  # mixing factor of a very poor room, the far end of mixing_factor_range
_SHARE_WORDS = {
    "usual": "by the usual route, which a real firing exceeds",
    "at most": "by the most that the atoms allow",
    "split": "if all urea split into NH₃ and HNCO",
}


@dataclass(frozen=True)
class Check:
    """One limit beside the figure that it speaks of: ``over`` is True at the limit too."""

    limit: Limit
    figure: object
    over: bool
    time_over: object


@dataclass(frozen=True)
class GasFigures:
    """What one gas comes to: peak and its time, highest means, checks, times, and air to thin it.

    ``time_over``, ``time_to_clear``, ``air_needed`` (volume) and ``flow_needed`` (None for gas all at
    once, or where no flow is enough) are for the strictest limit, ``limit``, and for the mixing factor
    of the room.  ``peak_at_once`` and ``over_at_once``, a number of limits, are if all came in one
    moment.  ``over_at_once`` and ``time_to_clear_badly`` are for a mixing factor of 10 where the room is
    given as perfectly mixed.
    """

    gas: str
    peak: object
    peak_time: object
    highest_15_min: object
    highest_8_h: object
    peak_at_once: object
    checks: tuple
    limit: Limit
    time_over: object
    time_to_clear: object
    air_needed: object
    flow_needed: object
    over_at_once: int
    time_to_clear_badly: object


@dataclass(frozen=True, repr=False)
class RoomVerdict:
    """Verdict on firing in a room: ``level`` (one of ``LEVELS``), ``sentence``, and ``figures`` for each gas.

    The figures of the gas that decides are at hand as attributes of the same names: ``peak``, ``checks`` …
    """

    level: str
    sentence: str
    figures: tuple
    precursor: str

    def __getattr__(self, name):
        if name in GasFigures.__dataclass_fields__:
            return getattr(self.figures[0], name)
        raise AttributeError(name)

    def rows(self):
        """Return rows of text: gas, limit, what is in the air, over or under, time over."""
        return [
            (subscripted(found.gas), f"{printed_down(check.limit.value)}, {check.limit.label}", fraction_text(check.figure),
             "over" if check.over else "under", time_text(check.time_over, endless="for good"))
            for found in self.figures for check in found.checks
        ]  # fmt: skip

    def cautions(self):
        """Return the cautions for firing this precursor, and for the room it is in."""
        return cautions(*firing_steps(self.precursor), "room")

    def __str__(self):
        never = time_text(Q(0.0, "h"))
        lines = [
            f"  {gas}: {got} beside {limit}: {word}; {time if time == never else f'{time} at or over it'}"
            for gas, limit, got, word, time in self.rows()
        ]
        return wrapped("\n".join([self.sentence, *lines, OUTLET]), hanging="    ")

    __repr__ = __str__

    def _repr_html_(self):
        cell = 'style="text-align:left;padding:4px 14px 4px 0"'
        head = ("gas", "limit", "in the air", "", "time at or over it")
        body = "".join(
            "<tr>" + "".join(f"<{tag} {cell}>{escape(text)}</{tag}>" for text in line) + "</tr>"
            for tag, line in [("th", head), *(("td", line) for line in self.rows())]
        )
        return f"{Note(self.sentence, 'care')._repr_html_()}<table>{body}</table>{OUTLET._repr_html_()}"


def time_text(time, none="never over it", endless="never: this room does not clear"):
    """Return a time rounded up; ``none`` is said of none at all, ``endless`` of one without end.

    >>> time_text(Q(4.66, "h")), time_text(Q(0, "h")), time_text(Q(float("inf"), "h"))
    ('4.7 h', 'never over it', 'never: this room does not clear')
    """
    if not time.magnitude:
        return none
    return printed_up(time) if np.isfinite(time.magnitude) else endless


def room_verdict(
    precursor_mass, room, over="2 h", precursor="urea", gas=None, share="at most", profile=None, product="melon"
):
    """Return the RoomVerdict on firing a mass of precursor in a room without extraction.

    Parameters
    ----------
    precursor_mass, over, precursor, share, profile, product
        As for ``firing_release``; the share is "at most" here, the side to be on.
    room : Room
        For a guessed room take the worst: ``room_ranges(...).worst``.
    gas : str, optional
        Judge this one; without it all of ``judged_gases`` that the share gives.

    Raises
    ------
    LabError
        Naming what can't be used and what to type.

    Notes
    -----
    Highest 8 h mean beside limits for 8 to 10 h, highest 15 min mean beside those for 15 min, the
    peak beside ceilings and escape.  "Over a limit" too if one would be reached all at once, since
    when the gas comes is an assumption, and badly mixed, if nothing but perfect mixing was given.  "General ventilation can't carry this": the escape limit is
    reached, or a limit would be even with the 12 air changes an hour of a good laboratory (or the
    room's own, if more).  All for well mixed air: near the kiln it is worse.  A mixing factor of 1
    promises perfect mixing, and the sentence says what bad mixing would make of it.
    Whatever is asked of thiourea, ``deadly_sentence`` on its hydrogen cyanide comes second.

    References
    ----------
    laboratory_air_range, mixing_factor_range, tinnerberg_2024

    Examples
    --------
    24 g of urea in a closed shed (both invented):

    >>> verdict = room_verdict("24 g", Room("20 m³", "0.5 /h"), over="90 min")
    >>> verdict.level, printed_up(verdict.peak)
    ("general ventilation can't carry this", '690 ppm')
    """
    if not isinstance(room, Room):
        raise UnitProblem("room_verdict() needs a Room, as in room=Room('30 m³', '0.8 /h').")
    precursor_mass = single(precursor_mass, "[mass] > 0", "precursor mass")
    asked = dict(precursor=precursor, over=over, share=share, profile=profile, product=product)
    if gas is None:
        release = firing_release(precursor_mass, **asked)  # ammonia comes from all; says what can't be used
        given = moles_per_gram(precursor, share, product)
        rest = [one for one in judged_gases(precursor) if one in given and one != release.gas]
        releases = [release, *(firing_release(precursor_mass, gas=one, **asked) for one in rest)]
    else:
        releases = [firing_release(precursor_mass, gas=gas, **asked)]
    found = [_judged(room, release) for release in releases]
    found.sort(key=lambda pair: (pair[0], (pair[1].peak / pair[1].limit.value).m_as("dimensionless")), reverse=True)
    level, figures = LEVELS[found[0][0]], tuple(figure for _, figure in found)
    sentence = _sentence(precursor_mass, precursor, share, room, releases[0], level, figures)
    return RoomVerdict(level, sentence, figures, precursor)


def _judged(room, release):
    """Return (place in LEVELS, GasFigures) of one gas; under the limits only if it is so all at once too."""
    bounds = [(limit, limit.value.m_as("ppm"), limit.averaging) for limit in limits(release.gas)]
    # They come lowest first; strictest says so where there is none.
    strict = next((limit for limit, _, kind in bounds if kind != "escape"), None) or strictest(release.gas)
    outside, amount = room.background.m_as("ppm"), release.amount.magnitude
    run, factor = excess(room, release), room.mixing_factor.magnitude
    slowest = run.changes / BADLY if factor == 1 else run.changes  # perfect mixing is taken for granted, not known
    puff = Mixed([], [], room.filled(amount), slowest)
    reached, all_at_once = (reached_figures(air, outside) for air in (run, puff))
    checks = tuple(
        Check(limit, Q(reached[kind], "ppm"), reached[kind] >= bound, Q(run.time_over((bound - outside) * 1e-6), "h"))
        for limit, bound, kind in bounds
    )
    over_at_once = sum(all_at_once[kind] >= bound for _, bound, kind in bounds)
    if any(check.over and check.limit.averaging == "escape" for check in checks):
        place = 2
    elif not any(check.over for check in checks):
        place = int(over_at_once > 0)
    else:
        most = max(guess("air_changes", "laboratory ventilated").high.m_as("1/hour"), room.air_changes.magnitude)
        best = reached_figures(excess(room, release, most / factor), outside)
        place = 2 if any(best[kind] >= bound for _, bound, kind in bounds) else 1
    spare = (strict.value.m_as("ppm") - outside) * 1e-6  # the share of the air that is left for the gas
    whole = room.filled(amount) * room.volume.magnitude * factor  # m³ of gas, times what bad mixing asks for
    rate = room.filled(release.highest_rate.magnitude) * room.volume.magnitude * factor
    flow = Q(rate / spare, "m**3/h") if release.steps and spare > 0 else None
    badly = excess(room, release, slowest).time_to_clear(spare)
    return place, GasFigures(
        release.gas, Q(reached["ceiling"], "ppm"), Q(run.peak()[1], "h"), Q(reached["15 min"], "ppm"), Q(reached["8 h"], "ppm"),
        Q(all_at_once["ceiling"], "ppm"), checks, strict, Q(run.time_over(spare), "h"), Q(run.time_to_clear(spare), "h"),
        Q(whole / spare if spare > 0 else np.inf, "m**3"), flow, over_at_once, Q(badly, "h"),
    )  # fmt: skip


def reached_figures(air, outside=0.0):
    """Return averaging to the figure that a limit for it speaks of, in ppm, from a Mixed and the ppm that come from outside.

    For limits of up to 10 h the mean over 8 h, which is never the lower.
    """
    figures = {"15 min": air.highest_mean(0.25), "8 h": air.highest_mean(8.0), "ceiling": air.peak()[0]}
    figures = {kind: part * 1e6 + outside for kind, part in figures.items()}
    return figures | {"up to 10 h": figures["8 h"], "escape": figures["ceiling"]}


def _sentence(mass, precursor, share, room, release, level, figures):
    """Return the sentences, a line for each gas and one for what is not judged."""
    when = f"over {printed(release.duration)}" if release.steps else "all at once"
    assumed = " When it comes is assumed; in truth it comes in bursts, most of it early." if release.steps else ""
    lines = [
        f"{printed(mass)} of {precursor}, its gas {when}, in {room}: {level}.{assumed}",
        deadly_sentence(mass, precursor, room),
    ]
    lines += [_of_gas(found, share, room, bool(release.steps)) for found in figures]
    lines += [fire_sentence(found.gas, found.peak, found.peak_at_once) for found in figures]
    if any(found.time_over.magnitude or found.time_to_clear_badly.magnitude for found in figures):
        lines.append(STILL_THERE)
    lines.append(_not_judged(mass, precursor, [found.gas for found in figures]))
    return "\n".join(line for line in (*lines, OUTSIDE) if line)


def _of_gas(found, share, room, spread):
    """Return what one gas comes to, how long, and what air it would take."""
    perfect = room.mixing_factor.magnitude == 1
    words, over = gas_words(found.gas), [check for check in found.checks if check.over]
    at_once = f", and {fraction_text(found.peak_at_once)} if it came all at once" if spread else ""
    more = (
        f", and {found.over_at_once} if it came all at once{' and mixed badly' if perfect else ''}, which counts too"
        if found.over_at_once > len(over)
        else ""
    )
    parts = [
        f"{words[0].upper()}{words[1:]}, {_SHARE_WORDS[share]}, reaches {fraction_text(found.peak)} in mixed air "
        f"({fraction_text(found.highest_15_min)} over the worst 15 min, {fraction_text(found.highest_8_h)} over the worst 8 h), "
        f"more near the kiln{at_once}. That is at or over {len(over)} of {len(found.checks)} limits{more}."
    ]
    escapes = [check for check in found.checks if check.limit.averaging == "escape"]
    if not escapes:
        parts.append("No escape limit (IDLH) of it is known here.")
    elif escapes[0].over:
        parts.append(
            f"From {printed_down(escapes[0].limit.value)} on (IDLH, immediately dangerous to life or health): get out."
        )
    parts += [_time_sentence(found, perfect), _air_sentence(found, room, perfect)]
    return " ".join(part for part in parts if part)


def _strict(found):
    return f"{printed_down(found.limit.value)} ({found.limit.label})"


def _time_sentence(found, perfect):
    badly = printed_up(found.time_to_clear_badly) if np.isfinite(found.time_to_clear_badly.magnitude) else ""
    if not np.isfinite(found.time_over.magnitude):
        return f"Once at {_strict(found)} the air stays over it: this room does not clear."
    if not found.time_over.magnitude:
        if not (perfect and found.time_to_clear_badly.magnitude):
            return ""
        return f"If the air mixes badly it may be over {_strict(found)} until {badly} after the last of the gas."
    clear = time_text(found.time_to_clear, "before the last of the gas")
    clear = clear if not found.time_to_clear.magnitude else f"{clear} after the last of the gas"
    mixing = (
        f" if the air mixes perfectly, and up to {badly} after if it mixes badly (mixing factor {BADLY})"
        if perfect
        else ""
    )
    return f"The air is at or over {_strict(found)} for {printed_up(found.time_over)} in all, and back under it {clear}{mixing}."


def _air_sentence(found, room, perfect):
    mixing = " if the air mixes perfectly, and up to ten times as much if it mixes badly" if perfect else ""
    if found.flow_needed is not None:
        turns = Q(found.flow_needed.magnitude / room.volume.magnitude, "dimensionless")
        return (f"To hold it at {_strict(found)} takes {printed_up(found.flow_needed)} of fresh air ({printed_up(turns)} air "
                f"changes an hour){mixing}.")  # fmt: skip
    if not np.isfinite(found.air_needed.magnitude):
        return (f"No amount of fresh air is enough to hold it at {_strict(found)}: the air from outside brings "
                f"{fraction_text(room.background)} of its own.")  # fmt: skip
    return f"To thin it to {_strict(found)} takes {printed_up(found.air_needed)} of fresh air{mixing}."


def _not_judged(mass, precursor, judged):
    """Return the sentences on what may come and is held against nothing here."""
    parts = []
    for gas, moles in moles_per_gram(precursor).items():
        if gas in judged:
            continue
        most = printed_up(Q(mass.m_as("g") * moles * _grams_per_mole(gas), "g"))
        words = gas_words(gas)
        name = f"{words[0].upper()}{words[1:]}"
        if gas == "HNCO":
            parts.append(f"{name} may come too, up to {most} by the atoms, and has no safe figure here.")
        elif gas == "HCN" and gas not in judged_gases(precursor):
            parts.append(f"If it is overheated, {words} may come, up to {most} by the atoms: not judged here.")
        elif limits(gas):
            parts.append(f"{name} comes too, up to {most} by the atoms: not judged here.")
        else:
            parts.append(
                f"{name} may come, up to {most} by the atoms: no limit of it is known here, so it has no figure at all."
            )
    return " ".join(parts)


@cache
def _grams_per_mole(gas):
    return nominal(molar_mass(gas)).m_as("g/mol")
