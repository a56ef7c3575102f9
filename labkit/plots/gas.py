"""Gas against time: readings, the straight part with its line, the time before and after it, and the blank."""

from functools import lru_cache
from math import ceil, floor, log10

import numpy as np

from labkit.plots.course import Labels, strokes, thinned, time_axis
from labkit.plots.live import LivePicture
from labkit.plots.style import MAIN, MEASURED, QUIET, SECOND, new_figure, styled
from labkit.units import clock_text, nominal, number, printed

_MOST_MARKS = 60
_NICE = (1, 2, 2.5, 5, 10)
BEFORE, AFTER, AS_READ, BLANK = "no gas yet", "no more gas", "as read", "blank"


def gas_figure(rate, axes=None):
    """Return a Figure: the readings of a run with error bars, the line of its straight part, and its blank.

    With ``axes`` it is drawn there and its figure returned.  Show it with ``alt=gas_words(rate)``.
    """
    drawn = _Drawn(rate)
    figure = None
    if axes is None:
        figure, axes = new_figure()
    with styled():
        axes.set(
            xlim=(0, drawn.right), ylim=(drawn.bottom, drawn.top), xlabel=f"Time / {drawn.unit}", ylabel="Gas / mL"
        )
        for (start, end), words in drawn.bands:
            axes.axvspan(start, end, **QUIET.fill)
            axes.text((start + end) / 2, drawn.top, words, ha="center", va="bottom", fontsize=11)
        if drawn.as_read is not None:
            axes.plot(drawn.time, drawn.as_read, label=AS_READ, **QUIET.line)
        axes.errorbar(drawn.time, drawn.volume, yerr=2 * drawn.u, label=drawn.readings, capsize=2, elinewidth=1.2,
                      **(MEASURED.points | {"markersize": 4}))  # fmt: skip
        axes.plot(*drawn.line, label=drawn.line_words, **MAIN.line)
        if drawn.blank is not None:
            axes.plot(*drawn.blank, label=BLANK, **SECOND.line)
        axes.legend(loc="best")
    return figure or axes.figure


def gas_words(rate):
    """Return what the picture of a run shows, in words.

    >>> from labkit.hydrogen import gas_rate
    >>> run = "min;mL\\n0;0.10\\n30;0.32\\n60;0.55\\n90;0.77"
    >>> gas_words(gas_rate(run, headspace="40 mL"))
    'Gas in mL against time over 1 h 30 min, from 0.10 to 0.77 mL. A line from 0 min to 1 h 30 min rises by 0.448 mL/h. There is no blank.'
    """
    slope, found = rate.slope, rate.slope.found
    low, high = slope.millilitres[0], slope.millilitres[-1]
    right = " put right for what the thermometer and the barometer showed," if slope.corrected else ""
    way = f"{'rises' if slope.size >= 0 else 'falls'} by {printed(abs(nominal(rate.rate)), 3, 'mL/h')}"
    way = "stays level within its uncertainty" if abs(slope.size) < slope.u else way
    parts = [f"Gas in mL against time over {_minutes(slope.minutes[-1])},{right} from {low:.2f} to {high:.2f} mL.",
             f"A line from {clock_text(rate.start)} to {clock_text(rate.end)} {way}."]  # fmt: skip
    if slope.corrected:
        parts.insert(1, f"As read it went from {slope.as_read[0]:.2f} to {slope.as_read[-1]:.2f} mL.")
    if found.begins is not None:
        parts.append(f"No gas came for the first {_minutes(found.begins)}.")
    if found.stops is not None:
        parts.append(f"None came from {_minutes(found.stops)} on.")
    blank = "There is no blank." if rate.blank is None else f"The blank is {printed(nominal(rate.blank), 2, 'mL/h')}."
    return " ".join([*parts, blank])


def gas_picture(rate, alt):
    """Return SVG text of the same picture, for a panel."""
    drawn = _Drawn(rate)
    picture = _frame(drawn.right, drawn.unit, drawn.bottom, drawn.top)
    elements, taken = [], []
    for (start, end), _ in drawn.bands:
        elements.append(picture.band(start, end, QUIET))
    x, y = thinned(drawn.time, drawn.volume, columns=_MOST_MARKS)
    if drawn.as_read is not None:
        read = thinned(drawn.time, drawn.as_read, columns=_MOST_MARKS)
        elements.append(picture.line(*read, QUIET))
        taken.append(strokes(picture, *read))
    if drawn.blank is not None:
        elements.append(picture.line(*drawn.blank, SECOND))
        taken.append(strokes(picture, *drawn.blank))
    elements.append(picture.line(*drawn.line, MAIN))
    taken.append(strokes(picture, *drawn.line))
    for time, volume in list(zip(x, y))[:: max(1, ceil(len(x) / _MOST_MARKS))]:
        elements.append(_dot(picture, time, volume, 2 * drawn.u))
        ((right, down),) = picture.points([time], [volume])
        taken.append(np.array([[right - 4, down - 4, right + 4, down + 4]]))
    labels = Labels(picture, drawn.right, drawn.bottom, drawn.top, taken)
    high = drawn.top - (drawn.top - drawn.bottom) * 0.02
    for (start, end), words in drawn.bands:
        labels.add(
            words,
            [((start + end) / 2, height, "middle", True) for height in (high, drawn.top * 0.7 + drawn.bottom * 0.3)],
        )
    labels.add(drawn.line_words, _beside(*drawn.line, drawn), MAIN)
    if drawn.blank is not None:
        labels.add(BLANK, _beside(*drawn.blank, drawn), SECOND)
    if drawn.as_read is not None:
        labels.add(AS_READ, _beside(drawn.time, drawn.as_read, drawn), QUIET)
    return picture.svg([*elements, *labels.elements], alt)


class _Drawn:
    """The numbers of the picture, in the units of its axes."""

    def __init__(self, rate):
        slope, found = rate.slope, rate.slope.found
        self.unit, size, self.right = time_axis(slope.minutes[-1])
        self.time, self.volume, self.u = slope.minutes / size, slope.millilitres, slope.u_reading
        self.as_read = slope.as_read if slope.corrected else None
        self.readings = f"put right for {' and '.join(slope.corrected)}" if slope.corrected else "readings"
        ends = np.array([slope.minutes[found.start], slope.minutes[found.end]])
        heights = slope.line.predict(ends / 60)[0]
        self.line, self.line_words = (ends / size, heights), printed(rate.rate, 2, "mL/h")
        self.blank = None
        if rate.blank is not None:
            risen = number(nominal(rate.blank), "mL/h") * (ends[1] - ends[0]) / 60
            self.blank = (ends / size, heights[0] + np.array([0.0, risen]))
        self.bands = []
        if found.begins is not None:
            self.bands.append(((0.0, found.begins / size), BEFORE))
        if found.stops is not None:
            self.bands.append(((found.stops / size, slope.minutes[-1] / size), AFTER))
        shown = [
            self.volume,
            heights,
            *([] if self.as_read is None else [self.as_read]),
            *([] if self.blank is None else [self.blank[1]]),
        ]
        self.bottom, self.top = _axis(min(part.min() for part in shown), max(part.max() for part in shown))


def _axis(low, high):
    """Return the ends of an axis with some room: handy steps below the lowest and above the highest reading.

    >>> _axis(0.1, 1.9)
    (0.0, 2.5)
    """
    span = max(high - low, 0.05)
    power = 10.0 ** floor(log10(span / 4))
    step = next(nice * power for nice in _NICE if span / 4 <= nice * power * (1 + 1e-9))
    bottom, top = floor(low / step - 0.15), ceil(high / step + 0.25)
    return round(step * (max(bottom, 0) if low >= 0 else bottom), 9) + 0.0, round(step * top, 9)


def _minutes(minutes):
    from labkit.units import Q

    return clock_text(Q(float(minutes), "min"))


def _dot(picture, x, y, reach):
    ((right, down), (_, low), (_, high)) = picture.points([x, x, x], [y, y - reach, y + reach]).tolist()
    bar = (
        f'<path d="M{right:.1f} {low:.1f}V{high:.1f}" stroke="{MEASURED.colour}" stroke-width="1.2"/>'
        if low - high > 5
        else ""
    )
    return f'{bar}<circle cx="{right:.1f}" cy="{down:.1f}" r="2.6" fill="{MEASURED.colour}"/>'


def _beside(x, y, drawn):
    """Return places for words along a line: above and below it, from its end to its start."""
    for share in np.linspace(0.95, 0.05, 19):
        at = np.interp(share * (x[-1] - x[0]) + x[0], x, y)
        place = share * (x[-1] - x[0]) + x[0]
        for below in (False, True):
            for anchor in ("end", "start"):
                yield place, at, anchor, below
    for height in np.linspace(0.9, 0.1, 9):
        yield drawn.right * 0.02, drawn.bottom + (drawn.top - drawn.bottom) * height, "start", False


@lru_cache(48)  # each keeps a figure
def _frame(right, unit, bottom, top):
    figure, axes = new_figure(6.4, 4.0)
    with styled():
        axes.set(xlim=(0, right), ylim=(bottom, top), xlabel=f"Time / {unit}", ylabel="Gas / mL")
    return LivePicture(figure, axes)
