"""Draw every file in figures/: ``python -m labkit.plots.drawn [folder]``."""

import sys
from pathlib import Path

import matplotlib

from labkit.data import guess
from labkit.hydrogen import hydrogen_chain
from labkit.light import gap_report
from labkit.plots import saved
from labkit.plots.chain import chain_figure, chain_words
from labkit.plots.masses import mass_figure, mass_shares
from labkit.plots.recipe import recipe_figure, recipe_words
from labkit.plots.style import new_figure
from labkit.plots.sun import sun_figure, sun_words
from labkit.plots.tauc import tauc_figure, tauc_words
from labkit.solutions import recipe_check


def overview():
    """Return the picture of README.md and its words: mass of urea, and sunlight above the gap."""
    figure, (upper, lower) = new_figure(8.0, 6.2, nrows=2, height_ratios=(1, 2.6))
    mass_figure("urea", axes=upper)
    upper.set_title("Where the mass of urea goes at best (usual route, under a lid)", loc="left")
    gap = guess("gaps", "your powder from urea")
    sun_figure(gap, axes=lower)
    lower.set_title("Which part of sunlight the powder can use", loc="left")
    parts = ", ".join(f"{name} {share:.1f} %" for name, share in mass_shares("urea").items())
    alt = f"Two pictures. Above: the mass of urea goes to {parts}. Below: {sun_words(gap)}"
    return figure, alt


def chain():
    """Return the picture of the chain from light to hydrogen and its words, for an invented tray."""
    gap = guess("gaps", "your powder from urea")
    found = hydrogen_chain(gap, "260 cm²", "2 to 6 h, likely 4.5 h", "donor and platinum", load="8 to 20 g/m²")
    return chain_figure(found), f"With {found.conditions}, on an invented tray: {chain_words(found)}"


def tauc():
    """Return the picture of a band gap read from the invented spectrum of workbook 04, and its words."""
    found = gap_report(SPECTRUM)
    return tauc_figure(found), f"An invented spectrum, read in both ways. {tauc_words(found)}"


def loading():
    """Return the picture of an invented recipe on the ladder of known loadings, and its words."""
    check = recipe_check("2.2 g", "FeCl3·6H2O", "1.4 g", "90 mL", "acetone", "0.8 %")
    return recipe_figure(check), f"An invented recipe. {recipe_words(check)}"


FIGURES = {"overview.svg": overview, "chain.svg": chain, "tauc.svg": tauc, "loading.svg": loading}
SPECTRUM = Path(__file__).parents[2] / "workbooks" / "data" / "invented_reflectance_clean.csv"


def written(figure, path, alt):
    """Write one figure, with a note of the matplotlib that drew it: another one draws a hair otherwise."""
    saved(figure, path, alt=alt)
    note = f"<!-- drawn with matplotlib {matplotlib.__version__} -->"
    path.write_text(path.read_text(encoding="utf-8").rstrip() + f"\n{note}\n", encoding="utf-8")


def main(folder="figures"):
    """Write all figures into ``folder``."""
    for name, drawing in FIGURES.items():
        figure, alt = drawing()
        written(figure, Path(folder) / name, alt)
        print(f"{name} drawn")


if __name__ == "__main__":
    main(*sys.argv[1:])
