"""Where the mass of a mixture of precursors goes: what was weighed in, powder and gas at best, and powder to expect."""

from dataclasses import replace
from functools import cache

from labkit.chemistry.formula import subscripted
from labkit.plots.live import LivePicture
from labkit.plots.style import FOURTH, GUESS, MAIN, QUIET, SECOND, THIRD, new_figure, styled
from labkit.units import number_text

_ROWS = {"weighed in": 2, "at best": 1, "expected": 0}
_LOOKS = tuple(replace(look, opacity=0.35) for look in (MAIN, SECOND, THIRD, FOURTH))
_RIM = {"facecolor": "white", "edgecolor": "none", "pad": 1}  # no line of the grid crosses the words
_HALF, _ACROSS, _UP = 0.17, (0.0, 100.0), (-0.4, 2.85)


def mass_parts(mixture):
    """Return {"weighed in": {…}, "at best": {…}}: names to percent of the mass of the mixture.

    >>> from labkit.chemistry.mixture import precursor_mixture
    >>> parts = mass_parts(precursor_mixture({"urea": "64 g", "thiourea": "3 g"}))
    >>> {name: round(share, 1) for name, share in parts["at best"].items()}
    {'powder': 27.6, 'NH₃': 35.1, 'CO₂': 35.0, 'CS₂': 2.2}
    """
    whole = mixture.mass.m_as("g")
    came = {"powder": mixture.theory} | {subscripted(gas.formula): gas.mass for gas in mixture.gases}
    weighed = {part.precursor: part.mass for part in mixture.parts}
    return {
        row: {name: 100 * mass.m_as("g") / whole for name, mass in masses.items()}
        for row, masses in (("weighed in", weighed), ("at best", came))
    }


def mixture_figure(mixture, axes=None):
    """Return a Figure of three bars: the precursors, powder and gas by the usual routes, and the powder to expect.

    The words over a bar name its pieces from left to right.  With ``axes`` it is drawn there and its figure
    returned.  Show it with ``alt=mixture_words(mixture)``.
    """
    figure, axes = _stage(axes)
    low, likely, high = _expected(mixture)
    with styled():
        for row, shares in mass_parts(mixture).items():
            left = 0.0
            for look, share in zip(_LOOKS, shares.values()):
                axes.barh(
                    _ROWS[row],
                    share,
                    left=left,
                    height=2 * _HALF,
                    facecolor=look.pale,
                    edgecolor=look.colour,
                    linewidth=2,
                )
                left += share
            axes.text(
                1, _ROWS[row] + _HALF + 0.05, "\n".join(_lines(shares, _frame())), va="bottom", fontsize=11, bbox=_RIM
            )
        axes.barh(0, high - low, left=low, height=2 * _HALF, facecolor=GUESS.pale, edgecolor=GUESS.colour, linewidth=2)
        axes.plot([likely], [0], **QUIET.points)
        axes.text(1, _HALF + 0.05, _expected_words(low, likely, high), va="bottom", fontsize=11, bbox=_RIM)
    return figure


def _lines(shares, picture):
    """Return the pieces of a bar in words, from left to right, on as many lines as they need."""
    lines, words = [""], [f"{name} {number_text(share, 2 if share < 10 else 3)} %" for name, share in shares.items()]
    for place, said in enumerate(words):
        said += "," * (place < len(words) - 1)
        longer = f"{lines[-1]} {said}".strip()
        if picture.breadth(longer) < _ACROSS[1] - 2:
            lines[-1] = longer
        else:
            lines.append(said)
    return lines


def mixture_words(mixture):
    """Return the words for ``mixture_figure``, with its numbers.

    >>> from labkit.chemistry.mixture import precursor_mixture
    >>> mixture_words(precursor_mixture({"urea": "64 g"}, fractions="10 % to 30 %"))[-47:]
    'Expected: 2.8 to 8.4 % of powder, likely 5.6 %.'
    """
    parts = mass_parts(mixture)
    weighed, best = (", ".join(f"{name} {share:.3g} %" for name, share in parts[row].items()) for row in parts)
    return (f"Shares of the mass of the mixture. Weighed in: {weighed}. At best, by the usual routes: {best}. Expected: "
            f"{_expected_words(*_expected(mixture))}.")  # fmt: skip


def mixture_picture(mixture, alt):
    """Return SVG text: the bars of ``mixture_figure`` for a panel."""
    picture, elements = _frame(), []
    low, likely, high = _expected(mixture)
    for row, shares in mass_parts(mixture).items():
        left, height = 0.0, _ROWS[row]
        for look, share in zip(_LOOKS, shares.values()):
            elements.append(picture.box(left, left + share, height - _HALF, height + _HALF, look))
            left += share
        elements.append(picture.text(0, height + _HALF, "\n".join(_lines(shares, picture)), anchor="start"))
    elements += [
        picture.box(low, high, -_HALF, _HALF, GUESS),
        picture.marker(likely, 0, QUIET),
        picture.text(0, _HALF, _expected_words(low, likely, high), anchor="start"),
    ]
    return picture.svg(elements, alt)


def _expected(mixture):
    whole = mixture.mass.m_as("g")
    return tuple(100 * mass / whole for mass in mixture.expected.m_as("g"))


def _expected_words(low, likely, high):
    return f"{number_text(low, 2)} to {number_text(high, 2)} % of powder, likely {number_text(likely, 2)} %"


def _stage(axes=None):
    figure, axes = new_figure(6.4, 3.7) if axes is None else (axes.figure, axes)
    with styled():
        axes.set(
            xlim=_ACROSS,
            ylim=_UP,
            xlabel="Share of the mass of the mixture / %",
            yticks=list(_ROWS.values()),
            yticklabels=list(_ROWS),
        )
        axes.tick_params(axis="y", length=0)
        axes.grid(axis="y", visible=False)
    return figure, axes


@cache
def _frame():
    return LivePicture(*_stage())
