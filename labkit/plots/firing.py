"""A firing schedule in a picture: its course, the usual window, and the stages that were seen on the way up."""

from functools import lru_cache

import numpy as np

from labkit.data import value
from labkit.heat.kiln import trace_of
from labkit.heat.stages import stages
from labkit.plots.live import LivePicture
from labkit.plots.style import GREY, GUESS, LIMIT, MAIN, QUIET, SECOND, new_figure, styled
from labkit.units import number, printed

# Names short enough to stand beside the axes; the long ones and their sources are in stages.csv.
SHORT = {
    "urea melts": "urea melts",
    "urea decomposes": "urea decomposes",
    "ammonia and isocyanic acid come off": "NH₃ and HNCO begin",
    "cyanuric acid and ammelide begin": "cyanuric acid begins",
    "cyanuric acid and ammelide form fast": "cyanuric acid, fast",
    "cyanuric acid is lost fast": "cyanuric acid lost",
    "melam": "melam",
    "melem": "melem",
    "melon": "melon",
    "carbon nitride": "carbon nitride",
    "graphite-like solid": "graphite-like solid",
    "loss of powder grows": "loss grows (memory)",
    "powder decomposes": "decomposes",
}
_HOURS = (2, 4, 6, 8, 10, 12, 16, 20, 24, 36, 48, 72, 120, 240, 720, 1440)
_TOPS = (800, 1200, 2100)
_APART = 0.0545  # of the height of the axes, from one line of words to the next


def firing_figure(firing, covered=True):
    """Return a Figure of a schedule, log or trace: its course, the window, and the published stages beside it.

    Open (``covered`` False), a line shows where a small open sample is lost.
    """
    trace = trace_of(firing)
    extent = _extent(trace)
    figure, axes = _drawn(*extent)
    with styled():
        axes.plot(trace.minutes / 60, trace.celsius, **MAIN.line)
        if not covered:
            axes.axhline(_limits()[-1], **SECOND.line)
        for words, start, height in _words_on_lines(trace, extent, covered):
            axes.annotate(words, (start, height), (7, 5), textcoords="offset points")
    return figure


def firing_words(firing, covered=True):
    """Return what the picture shows, in words."""
    trace = trace_of(firing)
    low, high, lost, bare = _limits()
    peak, when = trace.peak
    inside = trace.time_inside(value("firing", "window low"), value("firing", "window high"))
    losses = number(value("firing", "losses"), "degC")
    words = (f"Temperature over {printed(trace.duration)}: it peaks at {printed(peak)} after {printed(when)} and is "
             f"{printed(inside)} in the window from {low:g} to {high:g} °C; a line at {lost:g} °C marks where the powder is "
             f"lost, and from {losses:g} °C it is being lost. Beside it the stages of urea, from melting at {number(stages()[0].starts, 'degC'):g} °C up.")  # fmt: skip
    return words if covered else f"{words} A second line at {bare:g} °C: above it an open sample is lost."


def firing_picture(firing, covered=True):
    """Return the same as SVG text for a panel."""
    trace = trace_of(firing)
    extent = _extent(trace)
    picture = _frame(*extent)
    elements = [picture.line(trace.minutes / 60, trace.celsius, MAIN)]
    if not covered:
        elements.append(picture.level(_limits()[-1], SECOND))
    elements += [
        picture.text(start, height, words, anchor="start")
        for words, start, height in _words_on_lines(trace, extent, covered)
    ]
    return picture.svg(elements, firing_words(trace, covered))


def _words_on_lines(trace, extent, covered):
    """Return (words, hours, °C) for the words over the level lines, where the course stays away from them."""
    hours, top = extent
    _, high, lost, bare = _limits()
    found = []
    for words, height in (("usual window", high), ("lost", lost), ("open: lost", bare))[: 2 if covered else 3]:
        wide = _frame(*extent).breadth(words)
        places = np.concatenate(([0], [hours - wide], np.linspace(0, hours - wide, 15)))
        free = (
            place for place in places if _is_free(trace, place, place + wide, height - 0.01 * top, height + 0.07 * top)
        )
        found.append((words, float(next(free, 0.0)), height))
    return found


def _is_free(trace, start, end, low, high):
    """Return whether the course, in hours and °C, has no point inside a rectangle."""
    hours = np.linspace(start, end, 60)
    celsius = np.interp(hours, trace.minutes / 60, trace.celsius, left=-1e3, right=-1e3)
    steep = np.minimum(celsius[1:], celsius[:-1]) < low
    steep &= np.maximum(celsius[1:], celsius[:-1]) > high
    return not (((celsius > low) & (celsius < high)).any() or steep.any())


def _limits():
    return [number(value("firing", name), "degC") for name in ("window low", "window high", "lost", "open loss")]


def _extent(trace):
    """Return the hours and the °C that the axes reach: the least of a few sizes, so that frames can be kept."""
    hours = number(trace.duration, "h")
    peak = float(trace.celsius.max())
    fits = [size for size in _HOURS if size >= hours * 1.02] or [_HOURS[-1]]
    tops = [size for size in _TOPS if size >= peak * 1.04] or [_TOPS[-1]]
    return fits[0], tops[0]


def _drawn(hours, top):
    """Return (figure, axes) with everything that belongs to the frame; the course is drawn on these axes."""
    figure, (axes, ladder) = new_figure(6.4, 4.2, ncols=2, sharey=True, gridspec_kw={"width_ratios": [1.75, 1]})
    low, high, lost, _ = _limits()
    with styled():
        axes.set(xlim=(0, hours), ylim=(0, top), xlabel="Time / h", ylabel="Temperature / °C")
        axes.set_xticks(np.linspace(0, hours, 6 if hours == 10 else 5))
        axes.axhspan(low, high, **GUESS.fill)
        axes.axhline(lost, **LIMIT.line)
        _draw_ladder(ladder, top)
    return figure, axes


def _draw_ladder(ladder, top):
    """Draw the stages as a stack of bars, each with its name beside it."""
    ladder.set(xlim=(0, 1), xticks=[])
    ladder.set_title("seen on the way up, at °C", loc="left", fontsize=12)
    ladder.grid(visible=False)
    ladder.spines["bottom"].set_visible(False)
    ladder.spines["left"].set_visible(False)
    ladder.tick_params(axis="y", length=0)
    seen = stages()
    starts = [number(stage.starts, "degC") for stage in seen]
    below = -np.inf
    for place, (stage, start) in enumerate(zip(seen, starts)):
        end = number(stage.ends, "degC") if stage.ends is not None else (*starts, top)[place + 1]
        look = (QUIET, GUESS)[place % 2]
        ladder.fill_between([0, 0.09], start, end, facecolor=look.pale, edgecolor=look.colour, linewidth=1)
        below = height = max(start, below + _APART * top)
        ladder.plot([0.09, 0.15], [start, height], color=GREY, linestyle="-", linewidth=1)
        ladder.text(0.17, height, f"{start:g} {SHORT[stage.name]}", va="center", fontsize=11)


@lru_cache(maxsize=24)
def _frame(hours, top):
    return LivePicture(*_drawn(hours, top))
