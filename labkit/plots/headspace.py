"""Hydrogen in a headspace: its share of the gas as a bar, beside the range of shares that burns."""

from functools import cache

from labkit.plots.jar import BURNS
from labkit.plots.live import LivePicture
from labkit.plots.places import Places
from labkit.plots.style import LIMIT, MAIN, new_figure, styled
from labkit.units import rounded_down, rounded_up

_ACROSS, _UP = (0.03, 150.0), (0.0, 1.0)  # percent on a logarithmic axis; fractions of the height
_BAR = (0.16, 0.42)
_ROW = (0.45, 0.63)  # where the words of the bar stand: upright lines stop for them


@cache
def _frame():
    figure, axes = new_figure(6.4, 2.5)
    with styled():
        ticks = [0.1, 1, 10, 100]
        axes.set(xscale="log", xlim=_ACROSS, ylim=_UP, yticks=[], xlabel="Hydrogen in the gas / % of the volume")
        axes.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
        axes.spines["left"].set_visible(False)
    return LivePicture(figure, axes)


def headspace_picture(fraction, burns, stop, alt):
    """Return SVG text: a bar up to the share of hydrogen, the range that burns, and where to stop.

    All in percent: ``fraction`` is (low, high), between which the share lies, ``burns`` is (lower,
    upper limit), ``stop`` the share at which collecting ends.
    """
    picture, places = _frame(), Places(_frame(), _ACROSS, _UP)
    low, high = (min(max(share, _ACROSS[0]), 100) for share in fraction)
    lower, upper = burns
    bottom, top = _BAR
    elements = [
        picture.band(lower, upper, BURNS),
        *(picture.line([x, x], part, LIMIT) for x in (lower, upper, stop) for part in ((0, _ROW[0]), (_ROW[1], 1))),
        picture.box(_ACROSS[0] / 2, low, bottom, top, MAIN),
    ]
    if high > low * 1.001:
        elements.append(picture.line([low, high], [(bottom + top) / 2] * 2, MAIN))
        elements.append(picture.line([high, high], [bottom + 0.06, top - 0.06], MAIN))
    places.line([low, high], [(bottom + top) / 2] * 2)
    for edge in (low, high):
        places.line([edge, edge], [bottom, top])
    for upright in (lower, upper, stop):
        places.line([upright, upright], (_ROW[1], 1))
    elements.append(places.text(((lower * upper) ** 0.5, 0.82, f"burns: {lower:g} to {upper:g} %", "middle", False)))
    elements.append(places.text((stop, 0.82, f"stop collecting: {stop:g} %", "end", False)))
    said = f"{rounded_down(fraction[0], 3)} to {rounded_up(fraction[1], 3)} %"
    if fraction[0] < 1e-3:
        said = "less than 0.001 %" if fraction[1] < 1e-3 else f"up to {rounded_up(fraction[1], 3)} %"
    # Over the end of the bar, and never beyond it: a share below the range that burns does not reach into it.
    elements.append(places.text((high, _ROW[0], said, "end", False), (_ACROSS[0], _ROW[0], said, "start", False)))
    return picture.svg(elements, alt)
