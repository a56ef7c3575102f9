"""The gas of a firing in a room against time, beside its limits: standing still, or following a panel."""

from functools import lru_cache
from math import floor, log10

import numpy as np

from labkit.air.guessed import room_ranges
from labkit.air.limits import gas_words, limits, strictest
from labkit.air.room import Room, room_course
from labkit.air.verdict import fraction_text, time_text
from labkit.data import guess
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, QUIET, Role, new_figure, styled
from labkit.units import Q, as_range, number, printed_down

SPANS = (12, 60)  # hours; the shorter one that shows the end of the gas and two hours more
DECADES = (3, 4, 5)  # the fewest that show the worst room, its words and the limits
GAS_ENDS = "gas ends (assumed)"
STOP = Role("end of the gas", QUIET.colour, (1, 2), width=1.6)
_DRAWN = {"8 h": ("8 h", "top"), "15 min": ("15 min", "bottom"), "ceiling": ("ceiling", "bottom"),
          "escape": ("escape", "bottom")}  # fmt: skip
_POINTS = 90
_WORDS = (-0.02, 0.45)  # decades of the axis that words beside a place take, from that place upward
_BESIDE = {"textcoords": "offset points", "fontsize": 12}


def room_figure(release, volume, air_changes=None, mixing_factor=None, axes=None):
    """Return a Figure of a gas in a room against time: likely as a line, the worst to the best as an area.

    Parameters
    ----------
    release : labkit.air.release.Release
        Of a gas that has limits; over 58 h at most.
    volume, air_changes, mixing_factor : Range, quantity or text
        As for ``labkit.air.guessed.room_ranges``.
    axes : matplotlib.axes.Axes, optional
        Draw here instead of in a new figure.

    Returns
    -------
    matplotlib.figure.Figure
        Lines across it are the strictest limits.  Show it with ``alt=room_words(…)`` of the same arguments.

    Raises LabError as ``room_ranges`` does.

    Examples
    --------
    >>> from labkit.air.release import firing_release
    >>> room_figure(firing_release("9 g"), "26 m³").axes[0].get_ylabel()
    'Ammonia in mixed air / ppm'
    """
    low, likely, high = room_courses(release, volume, air_changes, mixing_factor)
    span, bottom, top = shown_hours(release), _bottom(release.gas), _top((low, likely, high))
    hours, curves = _curves((low, likely, high), span, bottom)
    with styled():
        figure, axes = _stage(release.gas, span, top, axes)
        axes.fill_between(hours, curves[0], curves[2], **GUESS.fill)
        axes.plot(hours, curves[1], **MAIN.line)
        hour, ppm, place, said = _label((low, likely, high), bottom, top)
        stop, side = number(release.duration, "h"), "left" if hour < 0.4 * span else "right"
        if stop:
            axes.axvline(stop, **STOP.line)
            axes.annotate(GAS_ENDS, (stop, _topmost(top)), (7 if side == "left" else -7, 7), ha=side, **_BESIDE)
        axes.plot(hour, ppm, **MAIN.points)
        axes.annotate(said, (hour, place), (7 if side == "left" else -7, 7), ha=side, **_BESIDE)
    return figure


def room_picture(release, courses, alt):
    """Return the same picture as SVG text for a panel; only the curves are drawn anew.

    ``courses`` are the RoomCourses of the best, the likely and the worst room.
    """
    span, bottom, top = shown_hours(release), _bottom(release.gas), _top(courses)
    picture = _live(release.gas, span, top)
    hours, curves = _curves(courses, span, bottom)
    elements = [picture.area(hours, curves[0], curves[2], GUESS), picture.line(hours, curves[1], MAIN)]
    hour, ppm, place, said = _label(courses, bottom, top)
    stop, anchor = number(release.duration, "h"), "start" if hour < 0.4 * span else "end"
    if stop:
        elements += [picture.upright(stop, STOP), picture.text(stop, _topmost(top), GAS_ENDS, anchor=anchor)]
    elements += [picture.marker(hour, ppm, MAIN), picture.text(hour, place, said, anchor=anchor)]
    return picture.svg(elements, alt)


def room_words(release, volume, air_changes=None, mixing_factor=None):
    """Return what ``room_figure`` shows, in words with its numbers.

    Examples
    --------
    >>> from labkit.air.release import firing_release
    >>> room_words(firing_release("9 g"), "26 m³")[:91]
    'Ammonia (NH₃) in a room against time, on an axis of decades, with the gas coming over 2.0 h'
    """
    ranges = room_ranges(release, volume, air_changes, mixing_factor)
    return said_in_words(release, ranges.peak.ends, ranges.time_over.ends)


def said_in_words(release, peaks, times):
    """Return the words from (low, likely, high) of the peak and of the time over the strictest limit."""
    name = gas_words(release.gas)
    when = f"coming over {time_text(release.duration)}" if release.steps else "coming all at once"
    lines = ", ".join(f"{printed_down(limit.value)} ({words})" for words, limit, _ in drawn_limits(release.gas))
    low, likely, high = (fraction_text(peak) for peak in peaks)
    least, usual, most = (time_text(time, "no time", "without end") for time in times)
    return (
        f"{name[0].upper()}{name[1:]} in a room against time, on an axis of decades, with the gas {when}: highest at "
        f"{likely}, with an area from {low} to {high} for what is guessed. Level lines: {lines}. Time at or over the "
        f"lowest of them: {usual}; from {least} to {most}. Gas goes on through the hold, beyond the line that marks its end."
    )


def room_courses(release, volume, air_changes=None, mixing_factor=None):
    """Return the RoomCourses of a release in the best, the likely and the worst of guessed rooms.

    Every figure falls as volume and air changes grow and as mixing gets better, so the ends enclose the rest.
    """
    volume = as_range(volume, "[volume] > 0", "volume")
    changes = guess("air_changes", "garage closed") if air_changes is None else air_changes
    mixing = guess("air_changes", "mixing factor") if mixing_factor is None else mixing_factor
    changes = as_range(changes, "[rate] >= 0", "air changes")
    mixing = as_range(mixing, "[] > 0", "mixing factor")
    return tuple(
        room_course(Room(room, change, mixed), release)
        for room, change, mixed in zip(volume.ends[::-1], changes.ends[::-1], mixing.ends)
    )


def drawn_limits(gas):
    """Return (words, Limit, side of the words) of the limits that are drawn: the strictest of each averaging."""
    have = {limit.averaging for limit in limits(gas)}
    found = []
    for averaging, (words, side) in _DRAWN.items():
        if averaging in have or (averaging == "8 h" and "up to 10 h" in have):
            found.append((words, strictest(gas, averaging), side))
    return found


def shown_hours(release):
    """Return how many hours the picture shows."""
    return next((span for span in SPANS if number(release.duration, "h") <= span - 2), SPANS[-1])


def _bottom(gas):
    """Return the foot of the axis, in ppm: a decade and more below the strictest limit."""
    return 10.0 ** (floor(log10(strictest(gas).value.m_as("ppm"))) - 1)


def _curves(courses, span, bottom):
    """Return (hours, rows of ppm), nothing lower than the foot of the axis, for a logarithm has no zero."""
    stop = min(number(courses[0].release.duration, "h"), span)
    # Closer together at the start, where an axis of decades is steep, and a point at the end of the gas.
    rise = stop * np.linspace(0, 1, _POINTS) ** 3
    hours = np.unique(np.concatenate((rise, np.linspace(stop, span, _POINTS))))
    times = Q(hours, "h")
    return hours, [np.maximum(run.at(times).m_as("ppm"), bottom / 10) for run in courses]


def _top(courses):
    """Return the head of the axis, in ppm: no decade stands empty over the worst room, its words and the limits."""
    gas = courses[0].release.gas
    bottom = _bottom(gas)
    highest = max(run.peak[0].m_as("ppm") for run in courses) * 10 ** (2 * _WORDS[1])
    highest = max(highest, *(limit.value.m_as("ppm") * 10 ** _WORDS[1] for _, limit, _ in drawn_limits(gas)))
    return bottom * 10.0 ** next((count for count in DECADES if highest <= bottom * 10.0**count), DECADES[-1])


def _topmost(top):
    """Return where the topmost words stand, in ppm."""
    return top / 10 ** _WORDS[1]


def _label(courses, bottom, top):
    """Return (hour, ppm, place of the words, words) of the likely peak; the words stand above the area, clear of the limits."""
    (_, (peak, hour), (worst, _)) = (run.peak for run in courses)
    place = max(peak, worst).m_as("ppm")
    for _, limit, _ in sorted(drawn_limits(courses[1].release.gas), key=lambda drawn: drawn[1].value.m_as("ppm")):
        height = limit.value.m_as("ppm")
        if _WORDS[0] < log10(height / place) < _WORDS[1]:
            place = height
    place = min(place, _topmost(top) / 10 ** _WORDS[1])
    said = f"likely {fraction_text(peak)}"
    if worst > 1.02 * peak:
        beyond = worst.m_as("ppm") > top
        said += ", and beyond the top" if beyond else f", at worst {fraction_text(worst)}"
    return number(hour, "h"), peak.m_as("ppm"), max(place, bottom), said


def _stage(gas, span, top, axes=None):
    """Return (figure, axes) with all that does not follow the controls."""
    figure, axes = new_figure(6.4, 3.9) if axes is None else (axes.figure, axes)
    bottom, name = _bottom(gas), gas_words(gas).split(" (")[0]
    axes.set_yscale("log")
    axes.set(xlim=(0, span), ylim=(bottom, top), xticks=np.linspace(0, span, 7),
             xlabel="Time from the first gas / h", ylabel=f"{name.capitalize()} in mixed air / ppm")  # fmt: skip
    powers = bottom * 10.0 ** np.arange(round(log10(top / bottom)) + 1)
    axes.set_yticks(
        powers, [f"{power:,.0f}".replace(",", "\u202f") if power >= 1 else f"{power:g}" for power in powers]
    )
    axes.minorticks_off()
    for words, limit, side in drawn_limits(gas):
        height = limit.value.m_as("ppm")
        axes.axhline(height, **LIMIT.line)
        # Beside the axes, where no curve can run through the words.
        axes.annotate(f"{words}: {height:g} ppm", (1, height), (6, 1 if side == "bottom" else -1), va=side, fontsize=12,
                      xycoords=axes.get_yaxis_transform(), textcoords="offset points", annotation_clip=False)  # fmt: skip
    return figure, axes


@lru_cache(24)  # a gas or two, over the shorter or the longer time, with fewer or more decades
def _live(gas, span, top):
    with styled():
        return LivePicture(*_stage(gas, span, top))
