"""A kiln log: its readings against time, the window as a band, gaps left open, what was left out as open marks."""

import numpy as np

from labkit.plots.course import (
    Labels,
    degrees,
    frame,
    heat_axis,
    lost_lines,
    strokes,
    thinned,
    time_axis,
    window_band,
    window_words,
)
from labkit.plots.style import BLACK, MAIN, QUIET

_MOST_GAPS, _MOST_MARKS = 40, 60


def log_picture(trace, window, limits, left_out, alt):
    """Return SVG text: the log, the window as a band, gaps shaded and open, readings left out as open marks.

    Parameters
    ----------
    trace : labkit.heat.trace.Trace
    window : (low, high) in °C
    limits : (losses, lost) in °C
        Above which the powder is being lost, and is lost; drawn if they are on the axis.
    left_out : (minutes, °C)
        Arrays: readings that were left out; one above or below the axis stands at its edge.
    alt : str
    """
    low, high = window
    minutes = trace.minutes - trace.minutes[0]
    unit, size, right = time_axis(minutes[-1])
    bottom, top = reach(trace, window)
    picture = frame(right, unit, bottom, top)
    x, y = thinned(minutes / size, trace.celsius, trace.counted, right)
    elements, taken = [window_band(picture, right, low, high)], [strokes(picture, x, y)]
    gaps = visible_gaps(trace, right * size)
    elements += [picture.band(start / size, end / size, QUIET) for start, end in gaps]
    lines, boxes, lost_words = lost_lines(picture, right, top, *limits)
    elements, taken = elements + lines, taken + boxes
    elements.append(picture.line(x, y, MAIN))
    marks = [(time / size, reading) for time, reading in zip(*left_out)][:_MOST_MARKS]
    margin = (top - bottom) * 0.04  # a mark and its words, level with it, stay whole at the edge
    for time, reading in marks:
        mark, box = _open_mark(picture, time, min(max(reading, bottom + margin), top - margin))
        elements.append(mark)
        taken.append(box)
    labels = Labels(picture, right, bottom, top, taken)
    labels.along(window_words(low, high), [(high, False), (low, True)])
    labels.limits(lost_words, top)
    for time, reading in marks[:3]:
        height, arrow = min(max(reading, bottom + margin), top - margin), "↑ " if reading > top else ""
        labels.add(f"{arrow}{degrees(round(reading))} °C, left out", [
            (time + side * right * 0.014, height + up * margin, anchor, True)
            for up in (1.04, 0, 3, -1, 5) for side, anchor in ((1, "start"), (-1, "end"))])  # fmt: skip
    for start, end in gaps[:3]:
        middle = (start + end) / 2 / size
        labels.add(
            "gap", [(middle, bottom + (top - bottom) * share, "middle", False) for share in (0.03, 0.3, 0.6, 0.9)]
        )
    return picture.svg([*elements, *labels.elements], alt)


def reach(trace, window):
    """Return the lowest and the highest °C of the axis that shows a log and a window."""
    return heat_axis(trace.celsius.min(), max(trace.celsius.max(), window[1]))


def visible_gaps(trace, right):
    """Return the gaps (start, end), in minutes from the first reading, that are wide enough to be shaded.

    ``right`` are the minutes across the picture.  The longest come first, if there are too many for all.
    """
    start = trace.minutes[:-1][~trace.counted] - trace.minutes[0]
    length = np.diff(trace.minutes)[~trace.counted]
    order = np.argsort(-length, kind="stable")[:_MOST_GAPS]
    return [(float(start[i]), float(start[i] + length[i])) for i in order if length[i] > right / 400]


def _open_mark(picture, x, y):
    """Return a ring around a place, and the box it takes."""
    ((right, down),) = picture.points([x], [y])
    ring = f'<circle cx="{right:.1f}" cy="{down:.1f}" r="4.5" fill="#FFFFFF" stroke="{BLACK}" stroke-width="1.8"/>'
    return ring, np.array([[right - 9, down - 9, right + 9, down + 9]])
