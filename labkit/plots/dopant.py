"""Doping: what the mass of a salt is made of, and what loading a mass of salt can bring."""

from functools import cache

from labkit.chemistry.formula import subscripted
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, QUIET, THIRD, new_figure, styled
from labkit.solutions import dopants, loading_curve, salt_shares

SALTS = tuple(dict.fromkeys(salt for salt, _ in dopants().values()))
_LOOKS = {"chloride": QUIET, "crystal water": THIRD}
# Ends of the axes: room for 0.1 to 5 % of each salt, and at the right and on top for words beside the marks.
_SALT_ENDS, _LOADING_ENDS = (0.25, 1400), (0.003, 30)  # mg/g, percent
_BALANCE_WORDS = "under one balance step"
_BALANCE_ROOM = 8  # mg/g: a zone up to here holds its words


def salt_figure(salts=SALTS):
    """Return a Figure with one bar per salt: metal, chloride and crystal water in percent of its mass."""
    figure, axes = new_figure(6.4, 1.0 + 0.75 * len(salts))
    with styled():
        for place, salt in enumerate(reversed(salts)):
            left = 0.0
            for name, share in salt_shares(salt).items():
                look = _LOOKS.get(name, MAIN)
                axes.barh(place, share, left=left, height=0.66, facecolor=look.pale, edgecolor=look.colour, linewidth=2)
                axes.text(left + share / 2, place, f"{name}\n{share:.1f} %", ha="center", va="center", fontsize=12)
                left += share
        axes.set(xlim=(0, 100.5), ylim=(-0.5, len(salts) - 0.5), xlabel="Share of the salt's mass / %",
                 yticks=range(len(salts)), yticklabels=[subscripted(salt) for salt in reversed(salts)])  # fmt: skip
        axes.tick_params(axis="y", length=0)
        axes.spines["left"].set_visible(False)
        axes.grid(axis="y", visible=False)
    return figure


def salt_words(salts=SALTS):
    """Return the words for ``salt_figure``, with its numbers."""
    bars = "; ".join(
        f"{subscripted(salt)}: " + ", ".join(f"{name} {share:.1f} %" for name, share in salt_shares(salt).items())
        for salt in salts
    )
    return f"One bar per salt shows what its mass is made of. {bars}."


@cache
def _frame():
    figure, axes = new_figure(6.4, 4.0)
    with styled():
        axes.set(xscale="log", yscale="log", xlim=_SALT_ENDS, ylim=_LOADING_ENDS,
                 xlabel="Salt per gram of powder / mg", ylabel="Loading / %")  # fmt: skip
        axes.set(xticks=[1, 10, 100, 1000], xticklabels=["1", "10", "100", "1000"])
        axes.set(yticks=[0.01, 0.1, 1, 10], yticklabels=["0.01", "0.1", "1", "10"])
    return LivePicture(figure, axes)


def loading_picture(salt, salt_per_gram, loading, stays, kept, step, alt):
    """Return SVG text: nominal loading against salt, the band that may stay, and the dose chosen.

    All are plain numbers.  ``salt_per_gram`` and ``step``, one step of a balance, are in mg per gram
    of powder; ``loading`` and ``stays`` (lowest, likely, highest) in percent; ``kept`` is the lowest,
    likely and highest share of the metal that stays, from 0 to 1.
    """
    picture = _frame()
    mass, nominal = loading_curve(salt)
    elements = [
        picture.area(mass, nominal * kept[0], nominal * kept[2], GUESS),
        picture.line(mass, nominal * kept[1], QUIET),
        picture.line(mass, nominal, MAIN),
        picture.line([salt_per_gram] * 2, [stays[0], stays[2]], LIMIT),
        picture.marker(salt_per_gram, loading, MAIN),
        picture.marker(salt_per_gram, stays[1], QUIET),
        picture.text(salt_per_gram, loading, f"nominal {loading:.3g} %", MAIN, anchor="end"),
        # Below and to the right: that is where no line runs, for every line rises.
        picture.text(salt_per_gram, stays[1], f"likely stays\n{stays[1]:.2g} %", anchor="start", below=True),
    ]
    left, right = _SALT_ENDS
    if step > left:
        elements[:0] = [picture.band(left, min(step, right), QUIET)]
        inside = step > _BALANCE_ROOM  # on top, where no line comes; a narrow zone has its words beside it
        words = _BALANCE_WORDS if inside else f"← {_BALANCE_WORDS}"
        elements += [picture.text(left if inside else step, _LOADING_ENDS[1], words, anchor="start")]
    return picture.svg(elements, alt)
