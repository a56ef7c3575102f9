"""A recipe's loading on a ladder: beside the places there are, what has been published, and what is wanted."""

from functools import cache

from labkit.plots.live import LivePicture
from labkit.plots.style import GUESS, LIMIT, MAIN, MEASURED, QUIET, SECOND, new_figure, styled
from labkit.solutions import loading_ceiling, metal_of, published_loadings
from labkit.units import number, number_text

ENDS = (0.03, 6000.0)  # percent; above 100 there is room for words alone
_RECIPE, _WANTED = "the recipe", "wanted"
_RIM = {"facecolor": "white", "edgecolor": "none", "pad": 1}  # no line of the grid crosses the words
_ROOM = 1.18  # on a logarithmic axis: words stand that far beyond a mark


@cache
def ladder(metal):
    """Return rows (name, percent, kind) that stay for a metal, highest first: its places, and published loadings.

    >>> [(name, round(percent)) for name, percent, _ in ladder("Zn")]
    [('one per heptazine', 25), ('zinc from water', 12)]
    """
    rows = [("one per heptazine", number(loading_ceiling(metal), "percent"), "computed")]
    for found in published_loadings(metal):
        rows.append((found.name, number(found.loading, "percent"), found.kind))
    return tuple(sorted(rows, key=lambda row: -row[1]))


def recipe_figure(check):
    """Return a Figure of the ladder of a RecipeCheck.  Show it with ``alt=recipe_words(check)``."""
    metal = metal_of(check.recipe.salt)
    figure, axes = _stage(metal)
    with styled():
        for place, percent, role, words in _marks(metal, *_sizes(check)):
            axes.plot(
                [ENDS[0], percent], [place, place], color=role.colour, linewidth=1.6, linestyle=role.line["linestyle"]
            )
            axes.plot([percent], [place], **role.points)
            axes.text(percent * _ROOM * 1.15, place, words, va="center", fontsize=12, color=role.ink, bbox=_RIM)
    return figure


def recipe_words(check):
    """Return the words for ``recipe_figure``, with its numbers."""
    metal, (nominal, wanted) = metal_of(check.recipe.salt), _sizes(check)
    rows = "; ".join(f"{name} {_told(percent, kind)} ({kind})" for name, percent, kind in ladder(metal))
    return (f"A ladder of loadings in percent on a logarithmic axis. The recipe, nominal: {number_text(nominal, 3)} %; "
            f"{rows}. Wanted: {number_text(wanted, 2)} %.")  # fmt: skip


def recipe_picture(metal, nominal, wanted, alt):
    """Return SVG text of the ladder: the nominal loading of a recipe, and the loading wanted, plain percents.

    ``metal`` is its symbol; the rows between are those of ``ladder``.
    """
    picture, elements = _frame(metal), []
    for place, percent, role, words in _marks(metal, nominal, wanted):
        elements += [
            picture.line([ENDS[0], percent], [place, place], role),
            picture.marker(percent, place, role),
            # A little lower than its place, so that the words stand level with the mark.
            picture.text(percent * _ROOM, place - 0.3, words, role, anchor="start"),
        ]
    return picture.svg(elements, alt)


def _marks(metal, nominal, wanted):
    """Give (place from below, percent within the axis, role, words) of every row."""
    rows = ((_RECIPE, nominal, "recipe"), *ladder(metal), (_WANTED, wanted, "wanted"))
    looks = {"recipe": MAIN, "wanted": MEASURED, "computed": LIMIT, "published": SECOND, "from memory": QUIET}
    for place, (_, percent, kind) in enumerate(reversed(rows)):
        ending = {"from memory": " (memory)", "recipe": ", nominal", "wanted": ", nominal"}.get(kind, "")
        words = f"{_told(percent, kind)}{ending}"
        off = percent < ENDS[0] * 1.05
        yield place, max(percent, ENDS[0] * 1.05), looks.get(kind, GUESS), f"← {words}" if off else words


def _told(percent, kind):
    """Return a loading as text, with no more figures than its kind can carry."""
    shown = f"{number_text(percent, 3 if kind in ('recipe', 'computed') else 2)} %"
    return f"up to {shown}" if kind == "from memory" else shown


def _sizes(check):
    return number(check.nominal, "percent"), number(check.loading, "percent")


def _stage(metal):
    names = [_RECIPE, *(name for name, *_ in ladder(metal)), _WANTED]
    figure, axes = new_figure(6.4, 1.1 + 0.42 * len(names))
    with styled():
        axes.set(xscale="log", xlim=ENDS, ylim=(-0.6, len(names) - 0.4), xlabel="Loading: metal over metal and powder / %",
                 yticks=range(len(names)), yticklabels=[_broken(name) for name in reversed(names)])  # fmt: skip
        axes.set_xticks([0.1, 1, 10, 100], ["0.1", "1", "10", "100"])
        axes.minorticks_off()
        axes.tick_params(axis="y", length=0)
        axes.grid(axis="y", visible=False)
    return figure, axes


def _broken(name):
    return name.replace(", ", ",\n") if len(name) > 18 else name


@cache
def _frame(metal):
    return LivePicture(*_stage(metal))
