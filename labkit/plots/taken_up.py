"""Taken up by difference: two long bars, the short one between them, and how far each may be off."""

from functools import cache

import numpy as np

from labkit.plots.live import LivePicture
from labkit.plots.places import Places
from labkit.plots.style import GUESS, LIMIT, MAIN, SECOND, Role, new_figure, styled
from labkit.units import coverage_factor, number, rounded

_ACROSS, _UP = (-30.0, 130.0), (0.0, 3.0)  # percent of the metal offered; one unit of height for each bar
_TICKS = (-20, 0, 20, 40, 60, 80, 100, 120)
DOUBT = Role("doubt", SECOND.colour)  # unbroken, because it may be very short
_BAR = (0.1, 0.5)  # of the height of each bar
_LABEL = "Metal / % of that offered"
_NAMES = ("in the liquid before", "in the liquid afterwards", "taken up")


def shares(found):
    """Return [(name, percent of the metal offered, low, high), …] of a TakenUp: before, afterwards, and the difference.

    The ends of the first two hold their concentration in 95 of 100 cases, those of the last all that is uncertain.
    """
    per_gram = number(found.offered / found.powder_mass, "mg/g")
    half = {part.name: 100 * coverage_factor(0.95) * number(part.contribution, "mg/g") / per_gram for part in found.budget.parts}  # fmt: skip
    low, likely, high = found.share.m_as("percent")
    before, after = (half.get(f"concentration {when}", 0.0) for when in ("before", "after"))
    return [(_NAMES[0], 100.0, 100 - before, 100 + before), (_NAMES[1], 100 - likely, 100 - likely - after, 100 - likely + after),
            (_NAMES[2], likely, low, high)]  # fmt: skip


def taken_up_words(found):
    """Return the words for ``taken_up_figure`` and ``taken_up_picture``, with their numbers."""
    return f"Bars of the metal in percent of what was offered, each with the ends that hold it in 95 of 100 cases: {'; '.join(map(_said, shares(found)))}."  # fmt: skip


def _said(row):
    name, middle, low, high = row
    half = max(high - middle, middle - low)
    places = int(np.clip(1 - np.floor(np.log10(half)), 0, 3)) if half > 0 else 1
    ends = f" ({low:.{places}f} to {high:.{places}f} %)" if half > 0 else ""
    return f"{name}: {rounded(middle, 3)} %{ends}"


def taken_up_figure(found):
    """Return a Figure of a TakenUp: what was in the liquid before and afterwards, and the difference with its doubt."""
    rows = shares(found)
    figure, axes = new_figure(6.4, 3.0)
    with styled():
        _dress(axes)
        for place, (name, middle, low, high) in zip((2, 1, 0), rows):
            look = MAIN if name == _NAMES[2] else GUESS
            axes.barh(place + np.mean(_BAR), middle, height=_BAR[1] - _BAR[0], facecolor=look.pale, edgecolor=look.colour, linewidth=2)  # fmt: skip
            axes.plot([low, high], [place + np.mean(_BAR)] * 2, color=DOUBT.colour, linewidth=DOUBT.width, marker="|", markersize=12)  # fmt: skip
            axes.text(2, place + 0.6, _said((name, middle, low, high)), fontsize=12)
        axes.axvline(0, **LIMIT.line)
    return figure


def _dress(axes):
    axes.set(xlim=_ACROSS, ylim=_UP, yticks=[], xlabel=_LABEL)
    axes.set_xticks(_TICKS, [f"{tick}".replace("-", "−") for tick in _TICKS])
    axes.spines["left"].set_visible(False)
    axes.grid(axis="y", visible=False)


@cache
def _frame():
    figure, axes = new_figure(6.4, 3.2)
    with styled():
        _dress(axes)
    return LivePicture(figure, axes)


def taken_up_picture(found, alt):
    """Return SVG text of a TakenUp for a panel; see ``taken_up_figure``."""
    picture = _frame()
    places, elements, labels = Places(picture, _ACROSS, _UP), [], []
    for place, (name, middle, low, high) in zip((2, 1, 0), shares(found)):
        bottom, top = place + _BAR[0], place + _BAR[1]
        look, height = MAIN if name == _NAMES[2] else GUESS, place + sum(_BAR) / 2
        ends = [float(np.clip(end, *_ACROSS)) for end in (0.0, middle)]
        elements.append(picture.box(min(ends), max(ends), bottom, top, look))
        elements.append(picture.line(np.clip([low, high], *_ACROSS), [height, height], DOUBT))
        elements += [picture.line([end, end], [bottom + 0.08, top - 0.08], DOUBT) for end in (low, high)]
        labels.append((0.0, top + 0.04, _said((name, middle, low, high)), "start", False))
        # The line at zero stops for the words.
        elements.append(picture.line([0, 0], [place, top], LIMIT))
    elements += [places.text(label) for label in labels]
    return picture.svg(elements, alt)
