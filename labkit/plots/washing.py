"""Washing: what is left dissolved after each wash on a logarithmic axis, and a volume shared out over more and more washes."""

from functools import cache

import numpy as np

from labkit.plots.live import LivePicture
from labkit.plots.places import Places
from labkit.plots.style import GUESS, LIMIT, MAIN, SECOND, Role, new_figure, styled
from labkit.units import number, printed, printed_range

_UP = (0.01, 10_000.0)  # percent of the metal taken up
_TICKS = {0.01: "0.01", 0.1: "0.1", 1: "1", 10: "10", 100: "100", 1000: "1000", 10_000: "10 000"}
WIDTHS = (12, 30, 80, 200)  # washes that the axis goes to: the narrowest that shows what matters
CHOSEN = Role("chosen", SECOND.colour, marker=SECOND.marker)  # unbroken, because it may be very short
_ACROSS, _ABOVE = "Washes", "Dissolved metal / % of that taken up"


def reach(plan):
    """Return how many washes a picture of a WashingPlan goes to."""
    wanted = max(plan.chosen, plan.counts[1])
    return next((width for width in WIDTHS if wanted <= width), WIDTHS[-1])


def course(plan, washes):
    """Return (washes, low, likely, high): whole numbers from 0 on, and dissolved metal in percent of that taken up."""
    counts = np.arange(washes + 1)
    first, left = np.array(plan.start.m_as("percent")), np.array(plan.each.m_as("dimensionless"))
    return counts, *(first[:, None] * left[:, None] ** counts)


def washing_words(plan):
    """Return the words for ``washing_figure`` and ``washing_picture``, with their numbers."""
    best, likely, worst = plan.counts
    return (
        f"Dissolved metal as a share of the metal taken up, falling with each wash from {printed_range(plan.start, unit='percent')}. It comes "
        f"below {printed(plan.goal, 2, 'percent')} after {best} washes at best, {likely} likely and {worst} at worst; after {plan.chosen} it is "
        f"{printed_range(plan.dissolved, unit='percent')}."
    )


def _limits(washes):
    return (-0.02 * washes, washes * 1.02)


def _dress(axes, washes):
    axes.set(yscale="log", xlim=_limits(washes), ylim=_UP, xlabel=_ACROSS, ylabel=_ABOVE)
    axes.set_yticks(list(_TICKS), list(_TICKS.values()))
    axes.minorticks_off()
    step = max(1, washes // 12) if washes <= 12 else {30: 5, 80: 10, 200: 25}[washes]
    axes.set_xticks(range(0, washes + 1, step))


def washing_figure(plan):
    """Return a Figure of a WashingPlan: dissolved metal after each wash with its range, the goal, and the chosen number."""
    washes = reach(plan)
    counts, low, likely, high = course(plan, washes)
    figure, axes = new_figure(6.4, 4.0)
    with styled():
        _dress(axes, washes)
        axes.fill_between(counts, low, high, **GUESS.fill, label="range")
        axes.plot(counts, likely, **MAIN.line, label="likely")
        goal = number(plan.goal, "percent")
        axes.axhline(goal, **LIMIT.line, label=f"goal, {printed(plan.goal, 2, 'percent')}")
        axes.plot([plan.chosen], [likely[plan.chosen]], **SECOND.points, label=f"after {plan.chosen}")
        axes.legend(loc="upper right")
    return figure


@cache
def _frame(washes):
    figure, axes = new_figure(6.4, 4.0)
    with styled():
        _dress(axes, washes)
    return LivePicture(figure, axes)


def washing_picture(plan, alt):
    """Return SVG text of a WashingPlan for a panel; see ``washing_figure``."""
    washes = reach(plan)
    counts, low, likely, high = course(plan, washes)
    picture, across = _frame(washes), _limits(washes)
    places = Places(picture, across, _UP)
    goal, at = number(plan.goal, "percent"), min(plan.chosen, washes)
    shown = np.clip([low, likely, high], _UP[0] / 1e3, _UP[1] * 1e3)  # far below the axis a line would leave the page
    elements = [
        picture.area(counts, shown[0], shown[2], GUESS),
        picture.line(counts, shown[1], MAIN),
        picture.level(goal, LIMIT),
        picture.line([at, at], [max(shown[0][at], _UP[0]), min(shown[2][at], _UP[1])], CHOSEN),
    ]
    for line in shown:  # ends of the range too: words stand better outside or inside than across
        places.line(counts, line)
    places.line(across, [goal, goal])
    places.line([at, at], [max(shown[0][at], _UP[0]), min(max(shown[2][at], _UP[0]), _UP[1])])
    middle = float(np.clip(likely[at], _UP[0] * 1.3, _UP[1] / 1.3))
    inside = _UP[0] <= likely[at] <= _UP[1]
    if inside:
        elements.append(picture.marker(at, middle, CHOSEN))
        places.mark(at, middle)
    said = f"after {plan.chosen}: {printed(plan.dissolved.likely, 2, 'percent')}"
    said += "" if inside else " ↓" if likely[at] < _UP[0] else " ↑"  # beyond the axis
    goal_said = f"goal: {printed(plan.goal, 2, 'percent')}"
    right, left = across[1], across[0]
    elements.append(places.text(*_around(at, middle, said, across)))
    if _UP[0] * 2 < goal < _UP[1] / 2:
        elements.append(places.text((right, goal, goal_said, "end", False), (left, goal, goal_said, "start", False), (right, goal, goal_said, "end", True),
                                    (left, goal, goal_said, "start", True), ((left + right) / 2, goal, goal_said, "middle", False)))  # fmt: skip
    elements.append(places.text((right, 5000, "line: likely, area: range", "end", False), (right, 0.02, "line: likely, area: range", "end", False),
                                (left, 0.02, "line: likely, area: range", "start", False)))  # fmt: skip
    return picture.svg(elements, alt)


def _around(x, y, words, across):
    """Return places for words about a mark, near ones first."""
    step = (across[1] - across[0]) / 40
    found = []
    for far in (1.0, 2.0, 4.0, 9.0, 20.0, 60.0):
        for side, anchor in ((step, "start"), (-step, "end")):
            for height in (y * far, y / far):
                if _UP[0] * 1.2 < height < _UP[1] / 1.5:
                    found += [(x + side, height, words, anchor, False), (x + side, height, words, anchor, True)]
    return found


def split_figure(split):
    """Return a Figure of a Split: what equal washes of one volume leave, and what endless tiny ones would."""
    figure, axes = new_figure(6.4, 3.6)
    left, limit = split.left.m_as("percent"), number(split.limit, "percent")
    floor = 10 ** np.floor(np.log10(max(min(left.min(), 1e3) / 3, 1e-9)))
    with styled():
        axes.plot(split.washes, left, **MAIN.points)
        axes.plot(split.washes, left, **MAIN.line, label=f"{printed(split.total)} in equal washes")
        if limit > floor:
            axes.axhline(limit, **LIMIT.line, label="endless tiny washes")
        axes.set(yscale="log", ylim=(floor, 130), xlim=(0.5, split.washes[-1] + 0.5), xlabel=_ACROSS,
                 ylabel="Dissolved salt left / %")  # fmt: skip
        if floor >= 1e-4:  # plain numbers, where they are short
            powers = range(round(np.log10(floor)), 3)
            axes.set_yticks(
                [10.0**power for power in powers], [f"{10.0**power:.{max(0, -power)}f}" for power in powers]
            )
            axes.minorticks_off()
        axes.set_xticks(split.washes[:: max(1, len(split.washes) // 10)])
        axes.legend(loc="upper right")
    return figure


def split_words(split):
    """Return the words for ``split_figure``, with its numbers."""
    parts = ", ".join(f"{count}: {printed(left, 2, 'percent')}" for count, left in zip(split.washes, split.left))
    return (f"{printed(split.total)} of solvent shared out over equal washes of powder that holds {printed(split.held)}. Dissolved salt left, by "
            f"number of washes: {parts}; endless tiny washes would leave {printed(split.limit, 2, 'percent')}.")  # fmt: skip
