"""Can general ventilation carry a firing?  What the air of a room comes to, beside every limit.

No answer here says that air may be breathed: isocyanic acid has no figure to compare with.
"""

from dataclasses import dataclass
from html import escape

import numpy as np

from labkit.air.extraction import flow_needed
from labkit.air.limits import Limit, gas_words, limits, single, strictest
from labkit.air.release import firing_release
from labkit.air.room import Room, course
from labkit.chemistry.formula import subscripted
from labkit.chemistry.gas import gas_volume
from labkit.chemistry.thermolysis import gases, gases_at_most
from labkit.data import guess
from labkit.data.cautions import cautions, firing_steps
from labkit.errors import UnitProblem
from labkit.units import Note, Q, printed, printed_down, printed_up, wrapped

LEVELS = (
    "under the limits, and HNCO still has no safe figure: extraction",
    "over a limit",
    "general ventilation can't carry this",
)
OUTSIDE = "Fire outdoors or under extraction that leads outside."
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
    once) are for the strictest limit, ``limit``; ``peak_at_once`` is if all came in one moment.
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
        """Return rows of text: gas, limit, what the air comes to, over or under, time over."""
        return [
            (subscripted(found.gas), f"{printed_down(check.limit.value)}, {check.limit.label}", fraction_text(check.figure),
             "over" if check.over else "under", time_text(check.time_over))
            for found in self.figures for check in found.checks
        ]  # fmt: skip

    def cautions(self):
        """Return the cautions for firing this precursor."""
        return cautions(*firing_steps(self.precursor))

    def __str__(self):
        lines = [
            f"  {gas}: {got} beside {limit}: {word}; {time} at or over it"
            for gas, limit, got, word, time in self.rows()
        ]
        return wrapped("\n".join([self.sentence, *lines]), hanging="    ")

    __repr__ = __str__

    def _repr_html_(self):
        cell = 'style="text-align:left;padding:4px 14px 4px 0"'
        head = ("gas", "limit", "the air comes to", "", "time at or over it")
        body = "".join(
            "<tr>" + "".join(f"<{tag} {cell}>{escape(text)}</{tag}>" for text in line) + "</tr>"
            for tag, line in [("th", head), *(("td", line) for line in self.rows())]
        )
        return f"{Note(self.sentence, 'care')._repr_html_()}<table>{body}</table>"


def time_text(time, none="no time"):
    """Return a time rounded up, or that it has no end; ``none`` is said of none at all.

    >>> time_text(Q(4.66, "h")), time_text(Q(0, "h")), time_text(Q(float("inf"), "h"))
    ('4.7 h', 'no time', 'as long as one waits')
    """
    if not time.magnitude:
        return none
    return printed_up(time) if np.isfinite(time.magnitude) else "as long as one waits"


def fraction_text(fraction):
    """Return a fraction of the air rounded up; where the gas is more than the room itself, that in words.

    >>> fraction_text(Q(923.7, "ppm")), fraction_text(Q(1.2, "dimensionless"))
    ('930 ppm', 'more gas than the room holds')
    """
    return printed_up(fraction.to("ppm")) if fraction.m_as("dimensionless") < 1 else "more gas than the room holds"


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
        Judge this one; without it ammonia, and for thiourea carbon disulfide too.

    Raises
    ------
    LabError
        Naming what can't be used and what to type.

    Notes
    -----
    Highest 8 h mean beside limits for 8 to 10 h, highest 15 min mean beside those for 15 min, the
    peak beside ceilings and escape.  "Over a limit" too if one would be reached all at once, since
    when the gas comes is an assumption.  "General ventilation can't carry this": the escape limit is
    reached, or a limit would be even with the 12 air changes an hour of a good laboratory (or the
    room's own, if more).  All for well mixed air: near the kiln it is worse.

    References
    ----------
    laboratory_air_range, tinnerberg_2024

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
    asked = dict(precursor=precursor, over=over, share=share, product=product)
    found = []
    for one in _judged(precursor_mass, precursor) if gas is None else [gas]:
        release = firing_release(precursor_mass, gas=one, profile=profile, **asked)
        at_once = firing_release(precursor_mass, gas=one, profile="all at once", **asked)
        found.append((_level(room, release, at_once), _figures(room, release, at_once)))
    found.sort(key=lambda pair: (pair[0], (pair[1].peak / pair[1].limit.value).m_as("dimensionless")), reverse=True)
    level, figures = LEVELS[found[0][0]], tuple(figure for _, figure in found)
    sentence = _sentence(precursor_mass, precursor, share, room, release, level, figures)
    return RoomVerdict(level, sentence, figures, precursor)


def _judged(mass, precursor):
    """Return the gases of the usual route that atoms bound too and that have limits: NH3, and CS2 from thiourea."""
    usual = [gas.formula for gas in gases(mass, precursor)]
    return [gas.formula for gas in gases_at_most(mass, precursor) if gas.formula in usual and limits(gas.formula)]


def _checks(room, release):
    run = course(room, release)
    figures = {
        "15 min": run.highest_mean("15 min"),
        "8 h": run.highest_mean("8 h"),
        "ceiling": run.peak[0],
        "escape": run.peak[0],
    }
    figures["up to 10 h"] = figures["8 h"]  # never lower than the mean over 10 h
    return run, figures, tuple(
        Check(limit, figures[limit.averaging], bool(figures[limit.averaging] >= limit.value), run.time_over(limit))
        for limit in limits(release.gas)
    )  # fmt: skip


def _level(room, release, at_once):
    """Return the place in LEVELS of one gas in a room; under the limits only if it is so all at once too."""
    _, _, checks = _checks(room, release)
    if any(check.over and check.limit.averaging == "escape" for check in checks):
        return 2
    if not any(check.over for check in checks):
        return int(any(check.over for check in _checks(room, at_once)[2]))
    most = max(guess("air_changes", "laboratory ventilated").high, room.air_changes)
    best = Room(room.volume, most, room.mixing_factor, room.background, room.temperature, room.pressure)
    return 2 if any(check.over for check in _checks(best, release)[2]) else 1


def _figures(room, release, at_once):
    run, figures, checks = _checks(room, release)
    limit = strictest(release.gas)
    spare = limit.value.m_as("dimensionless") - room.background.m_as("dimensionless")
    volume = gas_volume(release.amount, room.temperature, room.pressure).m_as("m**3")
    flow = None
    if release.steps and spare > 0:
        flow = flow_needed(
            release.highest_rate, limit, room.mixing_factor, room.background, room.temperature, room.pressure
        )
    return GasFigures(
        release.gas, *run.peak, figures["15 min"], figures["8 h"], course(room, at_once).peak[0], checks, limit,
        run.time_over(limit), run.time_to_clear(limit), Q(volume / spare if spare > 0 else np.inf, "m**3"), flow,
    )  # fmt: skip


def _sentence(mass, precursor, share, room, release, level, figures):
    when = f"over {printed(release.duration)}" if release.steps else "all at once"
    parts = [f"{printed(mass)} of {precursor}, its gas {when}, in {room}: {level}."]
    for found in figures:
        words, over = gas_words(found.gas), [check for check in found.checks if check.over]
        at_once = f", and {fraction_text(found.peak_at_once)} if it came all at once" if release.steps else ""
        parts.append(
            f"{words[0].upper()}{words[1:]}, {_SHARE_WORDS[share]}, reaches {fraction_text(found.peak)} in mixed air "
            f"({fraction_text(found.highest_15_min)} over the worst 15 min, {fraction_text(found.highest_8_h)} over the worst "
            f"8 h), more near the kiln{at_once}. These figures are at or over {len(over)} of {len(found.checks)} limits."
        )
        strict = f"{printed_down(found.limit.value)} ({found.limit.label})"
        if found.time_over.magnitude > 0:
            parts.append(f"The air is at or over {strict} for {time_text(found.time_over)} in all, and clear of it after "
                         f"{time_text(found.time_to_clear)} without new gas.")  # fmt: skip
        if found.flow_needed is not None:
            turns = Q(found.flow_needed.m_as("m**3/h") / room.volume.m_as("m**3"), "dimensionless")
            parts.append(f"To hold it at {strict} takes {printed_up(found.flow_needed)} of fresh air, {printed_up(turns)} air "
                         "changes an hour.")  # fmt: skip
        elif np.isfinite(found.air_needed.magnitude):
            parts.append(f"To thin it to {strict} takes {printed_up(found.air_needed)} of fresh air.")
    acid = next(gas for gas in gases_at_most(mass, precursor) if gas.formula == "HNCO")
    parts.append(
        f"Isocyanic acid (HNCO) may come too, up to {printed_up(acid.mass)} by the atoms, and has no safe figure here."
    )
    return " ".join([*parts, OUTSIDE])
