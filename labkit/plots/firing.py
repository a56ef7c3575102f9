"""A firing schedule in a picture: its course, the usual window, and the stages that were seen on the way up."""

from functools import lru_cache

import numpy as np

from labkit.data import value
from labkit.heat.kiln import trace_of
from labkit.heat.log import printed_times
from labkit.heat.stages import stages
from labkit.plots.course import Labels, strokes, thinned
from labkit.plots.live import LivePicture
from labkit.plots.style import GREY, GUESS, LIMIT, MAIN, QUIET, SECOND, new_figure, styled
from labkit.units import certain, number, printed

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
        for words, start, height, _, below in _labels(trace, extent, covered).placed:
            look = {"xytext": (7, -5), "va": "top"} if below else {"xytext": (7, 5)}
            axes.annotate(words, (start, height), textcoords="offset points", **look)
    return figure


def firing_words(firing, covered=True):
    """Return what the picture shows, in words."""
    trace = trace_of(firing)
    low, high, losses, lost, bare = _limits()
    peak, when = trace.peak
    inside = trace.time_inside(value("firing", "window low"), value("firing", "window high"))
    duration, when, inside = (printed_times(certain(time)) for time in (trace.duration, when, inside))
    words = (f"Temperature over {duration}: it peaks at {printed(peak)} after {when} and is {inside} in the window from {low:g} to "
             f"{high:g} °C. A line at {losses:g} °C marks from where the powder is being lost, with more hydrogen cyanide, and one at "
             f"{lost:g} °C where it is lost. Beside it the stages of urea, from melting at {number(stages()[0].starts, 'degC'):g} °C up.")  # fmt: skip
    return words if covered else f"{words} Another line at {bare:g} °C: above it an open sample is lost."


def firing_picture(firing, covered=True):
    """Return the same as SVG text for a panel."""
    trace = trace_of(firing)
    extent = _extent(trace)
    picture = _frame(*extent)
    elements = [picture.line(trace.minutes / 60, trace.celsius, MAIN)]
    if not covered:
        elements.append(picture.level(_limits()[-1], SECOND))
    elements += _labels(trace, extent, covered).elements
    return picture.svg(elements, firing_words(trace, covered))


def _labels(trace, extent, covered):
    """Return the Labels at the level lines, where neither the course nor a line runs."""
    hours, top = extent
    picture = _frame(*extent)
    low, high, losses, lost, bare = _limits()
    lines = [losses, lost] if covered else [losses, lost, bare]
    taken = [strokes(picture, [0, hours], [line, line]) for line in lines]
    labels = Labels(
        picture, hours, 0, top, [strokes(picture, *thinned(trace.minutes / 60, trace.celsius, right=hours)), *taken]
    )
    if top > _TOPS[1]:  # the two lines are too close for words in between
        wanted = [(f"{losses:g} °C: loss, HCN; {lost:g} °C: lost", lost)]
    else:
        wanted = [(f"{lost:g} °C: lost", lost), (f"{losses:g} °C: loss, HCN", losses)]
    labels.limits(wanted, top)
    if not covered:  # under the course there is little room: the axis has the degrees as well
        full, short = f"{bare:g} °C: lost if open", "lost if open"
        any(
            labels.along(words, [(bare, below)], SECOND) for words in (full, short) for below in (False, True)
        ) or labels.limits([(full, bare)], top)
    labels.along("usual window", [(low, True), (high, False)])
    return labels


def _limits():
    return [
        number(value("firing", name), "degC") for name in ("window low", "window high", "losses", "lost", "open loss")
    ]


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
    low, high, losses, lost, _ = _limits()
    with styled():
        axes.set(xlim=(0, hours), ylim=(0, top), xlabel="Time / h", ylabel="Temperature / °C")
        axes.set_xticks(np.linspace(0, hours, 6 if hours == 10 else 5))
        axes.axhspan(low, high, **GUESS.fill)
        axes.axhline(losses, **LIMIT.line)
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
