"""A kiln switched on and off by hand: its temperature over a firing, beside the window it is to keep."""

import numpy as np

from labkit.plots.course import (
    Labels,
    frame,
    heat_axis,
    lost_lines,
    strokes,
    thinned,
    time_axis,
    window_band,
    window_words,
)
from labkit.plots.style import MAIN, SECOND
from labkit.units import Q

MOST_BLOCKS = 60  # of switching on that can be told apart
_POINTS = 400  # along the whole curve
_STRIP = 1.03, 1.08  # of the top of the axis: where the blocks stand


def kiln_picture(course, window, limits, switched, alt):
    """Return SVG text: the course, the window as a band, and blocks for the times it is on.

    Parameters
    ----------
    course : labkit.heat.kiln.Course
    window : (low, high) in °C
    limits : (losses, lost) in °C
        Above which the powder is being lost, and is lost; drawn if they are on the axis.
    switched : sequence of (start, end) in minutes
        When the kiln is on.
    alt : str
    """
    low, high = window
    unit, size, right = time_axis(course.minutes[-1])
    bottom, top = reach(course, window)
    picture = frame(right, unit, bottom, top, strip=True)
    x, y = drawn_course(course)
    x, y = thinned(x / size, y, right=right)
    edges = [top * share for share in _STRIP]
    elements, taken = [window_band(picture, right, low, high)], [strokes(picture, x, y)]
    lines, boxes, lost_words = lost_lines(picture, right, top, *limits)
    elements, taken = elements + lines, taken + boxes
    elements.append(picture.line(x, y, MAIN))
    if len(switched) <= MOST_BLOCKS:
        elements += [picture.box(start / size, end / size, *edges, SECOND) for start, end in switched]
    else:
        elements.append(picture.box(switched[0][0] / size, switched[-1][1] / size, *edges, SECOND))
    labels = Labels(picture, right, bottom, top * 1.1, taken)
    labels.along(window_words(low, high), [(high, False), (low, True)])
    labels.along("kiln on" if len(switched) <= MOST_BLOCKS else "kiln on and off, too often to draw",
                 [(edges[0], True)], SECOND)  # fmt: skip
    labels.limits(lost_words, top)
    return picture.svg([*elements, *labels.elements], alt)


def reach(course, window):
    """Return the lowest and the highest °C of the axis that shows a course and a window."""
    return heat_axis(course.celsius.min(), max(course.celsius.max(), window[1]))


def drawn_course(course):
    """Return (minutes, °C) along a course: at each switching, where the extremes are, and often enough in between."""
    minutes = np.unique(np.concatenate((np.linspace(0, course.minutes[-1], _POINTS), course.minutes)))
    return minutes, course.at(Q(minutes, "min")).m_as("degC")
