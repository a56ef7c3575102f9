"""Doping: what the mass of a salt is made of, and what loading a mass of salt can bring."""

from functools import cache

import numpy as np

from labkit.chemistry.formula import mass_fractions, molar_mass, split_hydrate, subscripted
from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, QUIET, THIRD, new_figure, styled
from labkit.solutions import metal_of, nominal_loading
from labkit.units import Q

SALTS = ("FeCl3", "FeCl3·6H2O", "ZnCl2")
METALS = {"Fe": "iron", "Zn": "zinc"}
_LOOKS = {"chloride": QUIET, "crystal water": THIRD}
_HATCHES = {"chloride": "", "crystal water": "..."}
_MOST_SALT, _MOST_LOADING = 270, 5.5  # mg per gram and percent: 5 % as the hexahydrate just fits


def salt_shares(salt):
    """Return name to percent of a metal chloride's mass: the metal, chloride, crystal water if any.

    >>> {name: round(share, 1) for name, share in salt_shares("FeCl3·6H2O").items()}
    {'iron': 20.7, 'chloride': 39.3, 'crystal water': 40.0}
    """
    fractions, metal, waters = mass_fractions(salt), metal_of(salt), split_hydrate(salt)[1]
    shares = {METALS.get(metal, metal): 100 * fractions[metal], "chloride": 100 * fractions["Cl"]}
    if waters:
        water = waters * molar_mass("H2O") / molar_mass(salt)
        shares["crystal water"] = float(100 * water.to("dimensionless").magnitude)
    return shares


def salt_figure(salts=SALTS):
    """Return a Figure with one bar per salt: metal, chloride and crystal water in percent of its mass."""
    figure, axes = new_figure(6.4, 1.0 + 0.75 * len(salts))
    with styled():
        for place, salt in enumerate(reversed(salts)):
            left = 0.0
            for name, share in salt_shares(salt).items():
                look = _LOOKS.get(name, MAIN)
                axes.barh(place, share, left=left, height=0.66, facecolor="none", edgecolor=look.colour, linewidth=2)
                axes.barh(place, share, left=left, height=0.66, facecolor=look.colour, alpha=0.28,
                          hatch=_HATCHES.get(name, "//"), edgecolor=look.colour, linewidth=0)  # fmt: skip
                box = {"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "boxstyle": "round,pad=0.15"}
                axes.text(left + share / 2, place, f"{name}\n{share:.1f} %", ha="center", va="center", fontsize=12,
                          linespacing=1.1, bbox=box)  # fmt: skip
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
    figure, axes = new_figure(6.4, 3.6)
    with styled():
        axes.set(xlim=(0, _MOST_SALT), ylim=(0, _MOST_LOADING), xlabel="Salt per gram of powder / mg",
                 ylabel="Loading / %")  # fmt: skip
    return LivePicture(figure, axes)


@cache
def loading_curve(salt):
    """Return salt per gram of powder in mg and the nominal loading in percent, as two arrays."""
    mass = np.linspace(0, _MOST_SALT, 60)
    return mass, nominal_loading(Q(mass, "mg"), salt, Q(1, "g")).to("percent").magnitude


def loading_picture(salt, salt_per_gram, loading, kept, alt):
    """Return SVG text: nominal loading against salt, the band that may stay, and the dose chosen.

    ``salt_per_gram`` is in mg, ``loading`` in percent, both plain numbers; ``kept`` are the lowest,
    likely and highest share of the metal that stays, from 0 to 1.
    """
    picture = _frame()
    mass, nominal = loading_curve(salt)
    low, likely, high = (loading * share for share in kept)
    beside = salt_per_gram < 0.66 * _MOST_SALT
    turn = 30 if salt_per_gram > 0.45 * _MOST_SALT else 52  # words of the curve, out of the marker's way
    return picture.svg(
        [
            picture.area(mass, nominal * kept[0], nominal * kept[2], GUESS),
            picture.line(mass, nominal * kept[1], QUIET),
            picture.line(mass, nominal, MAIN),
            picture.text(mass[turn], nominal[turn] + 0.45, "all taken up", MAIN, anchor="end"),
            picture.line([salt_per_gram] * 2, [low, high], LIMIT),
            picture.marker(salt_per_gram, loading, MAIN),
            picture.marker(salt_per_gram, likely, QUIET),
            picture.text(
                salt_per_gram, likely - 0.15, f"likely stays {likely:.2g} %", anchor="start" if beside else "end"
            ),
            picture.text(salt_per_gram, loading, f"{loading:.3g} %", MAIN, anchor="end"),
        ],
        alt,
    )
