"""Where the mass of a precursor goes: powder and gas, in percent of what was fired."""

from functools import cache

from labkit.chemistry.thermolysis import mass_shares
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, MEASURED, QUIET, SECOND, THIRD, new_figure, styled

_ROWS = {"theory": 2, "expected": 1, "weighed": 0}
_LOOKS = (MAIN, SECOND, THIRD, QUIET)


def mass_figure(precursor="urea", axes=None):
    """Return a Figure of one bar: powder and gases of the usual route, in percent of the precursor.

    With ``axes`` the bar is drawn there and its figure returned.
    """
    if axes is None:
        _, axes = new_figure(6.4, 1.9)
    with styled():
        left = 0.0
        for look, (name, share) in zip(_LOOKS, mass_shares(precursor).items()):
            axes.barh(
                0, share, left=left, height=0.62, facecolor=look.colour, alpha=0.28, edgecolor=look.colour, linewidth=2
            )
            axes.text(left + share / 2, 0, f"{name}\n{share:.1f} %", ha="center", va="center", fontsize=12)
            left += share
        axes.set(xlim=(0, 100.5), ylim=(-0.5, 0.5), yticks=[], xlabel=f"Share of the mass of {precursor} / %")
        axes.spines["left"].set_visible(False)
        axes.grid(axis="y", visible=False)
    return axes.figure


@cache
def _frame():
    figure, axes = new_figure(6.4, 2.9)
    with styled():
        axes.set(xlim=(0, 100), ylim=(-0.6, 2.6), xlabel="Powder / % of the mass fired",
                 yticks=list(_ROWS.values()), yticklabels=list(_ROWS))  # fmt: skip
        axes.tick_params(axis="y", length=0)
        axes.grid(axis="y", visible=False)
    return LivePicture(figure, axes)


def yield_picture(usual, bound, expected, weighed, alt):
    """Return SVG text: limits of theory, the range expected, the yield weighed.

    All in percent of the precursor's mass: ``usual`` and ``bound`` are numbers, ``expected`` is
    (low, likely, high), ``weighed`` a number.
    """
    picture = _frame()
    low, likely, high = expected
    wide = usual > 60  # then the words fit into the bar, and else beside it
    said = max(high, usual) if high < usual < high + 25 else high  # no line through the words
    shown = min(weighed, 99)
    elements = [
        picture.box(0, usual, 1.72, 2.28, MAIN),
        picture.line([usual, usual], [-0.6, 2.28], MAIN),
        picture.text(usual, 1.9, f"usual route {usual:.1f} %", anchor="end" if wide else "start"),
        picture.box(low, high, 0.72, 1.28, GUESS),
        picture.marker(likely, 1, GUESS),
        picture.text(said, 0.93, f"likely {likely:.2g} %", anchor="end" if said > 75 else "start"),
        picture.marker(shown, 0, MEASURED),
        picture.text(shown, 0, f"{weighed:.3g} %" + (" (off the scale)" if weighed > 100 else "")),
    ]
    if bound > usual * 1.001:
        elements += [
            picture.line([bound, bound], [-0.6, 1.5], LIMIT),
            picture.text(bound, 0.5, f"carbon bound {bound:.1f} %", anchor="start"),
        ]
    return picture.svg(elements, alt)
