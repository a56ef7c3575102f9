"""Where words stand in a live picture, and what they collide with."""

import re
import xml.etree.ElementTree as ElementTree
from itertools import combinations

import numpy as np
from PIL import ImageFont

SVG = "{http://www.w3.org/2000/svg}"
ASCENT, DESCENT = 9.2, 2.6  # points above and below the line that words of size 12 stand on


def _font():
    from matplotlib import get_data_path

    return ImageFont.truetype(f"{get_data_path()}/fonts/ttf/DejaVuSans.ttf", 120)


FONT = _font()


def _changing(svg):
    """Return the part of the picture that is drawn anew, and the ends (left, top, right, bottom) of its axes."""
    root = ElementTree.fromstring(svg)
    (group,) = [part for part in root.findall(f"{SVG}g") if part.get("clip-path")]
    mark = group.get("clip-path").removeprefix("url(#").removesuffix(")")
    (frame,) = (clip[0] for clip in root.iter(f"{SVG}clipPath") if clip.get("id") == mark)
    left, top, width, height = (float(frame.get(name)) for name in ("x", "y", "width", "height"))
    return group, (left, top, left + width, top + height)


def word_boxes(svg):
    """Return [(words, (left, top, right, bottom)), …] of what is written anew, in points."""
    found = []
    for text in _changing(svg)[0].iter(f"{SVG}text"):
        words = "".join(text.itertext())
        wide, x, y = FONT.getlength(words) / 10, float(text.get("x")), float(text.get("y"))
        left = x - wide * {"start": 0, "middle": 0.5, "end": 1}[text.get("text-anchor")]
        found.append((words, (left, y - ASCENT, left + wide, y + DESCENT)))
    return found


def _lines(group):
    for path in group.iter(f"{SVG}path"):
        if path.get("fill") == "none":
            places = np.array(re.findall(r"-?[\d.]+", path.get("d")), dtype=float).reshape(-1, 2)
            along = np.linspace(0, len(places) - 1, 2000)
            yield np.column_stack([np.interp(along, range(len(places)), part) for part in places.T])
    for box in group.iter(f"{SVG}rect"):
        if box.get("stroke"):
            x, y, wide, high = (float(box.get(name)) for name in ("x", "y", "width", "height"))
            for side in (x, x + wide):
                yield np.column_stack([np.full(200, side), np.linspace(y, y + high, 200)])


def collisions(svg):
    """Return sentences on words that meet words, lines, marks or the ends of the axes; none is as it should be."""
    group, (left, top, right, bottom) = _changing(svg)
    boxes, found = word_boxes(svg), []
    assert boxes
    for (words, one), (others, two) in combinations(boxes, 2):
        if one[0] < two[2] and two[0] < one[2] and one[1] < two[3] and two[1] < one[3]:
            found.append(f"“{words}” meets “{others}”")
    marks = [(float(mark.get("cx")), float(mark.get("cy"))) for mark in group.iter(f"{SVG}circle")]
    for words, box in boxes:
        if box[0] < left or box[2] > right or box[1] < top or box[3] > bottom:
            found.append(f"“{words}” leaves the axes")
        inside = [((line > box[:2]) & (line < box[2:])).all(axis=1).any() for line in _lines(group)]
        if any(inside):
            found.append(f"a line runs through “{words}”")
        if any(box[0] - 4 < x < box[2] + 4 and box[1] - 4 < y < box[3] + 4 for x, y in marks):
            found.append(f"a mark stands on “{words}”")
    return found
