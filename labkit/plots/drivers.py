"""What spreads a result: one bar per input, widest on top."""

from labkit.plots.style import GUESS, MAIN, new_figure, styled
from labkit.units import handy, number_text, printed_range, unit_text


def driver_figure(span, label):
    """Return a Figure of the drivers of a computed Range, and of the range itself.

    Each bar shows the result when one input alone runs over its range and the others stay at their
    likely values; the lowest bar lets all of them run together.

    Parameters
    ----------
    span : Range
        From ``range_from``; its ``drivers`` give the bars.
    label : str
        What the result is, for the axis.
    """
    unit = handy(span.likely if span.likely.magnitude else span.high).units
    bars = [*((name, low, high) for name, low, high in span.drivers), ("all together", span.low, span.high)]
    figure, axes = new_figure(6.4, 1.3 + 0.55 * len(bars))
    with styled():
        for place, (name, low, high) in enumerate(reversed(bars)):
            left, right = (end.to(unit).magnitude for end in (low, high))
            look = MAIN if name != "all together" else GUESS
            axes.barh(
                place, right - left, left=left, height=0.55, facecolor=look.pale, edgecolor=look.colour, linewidth=2
            )
            axes.annotate(f"{number_text(left, 2)} to {number_text(right, 2)}", (right, place), (7, 0), va="center",
                          textcoords="offset points", fontsize=12,
                          bbox={"facecolor": "#FFFFFF", "edgecolor": "none", "pad": 1.5})  # fmt: skip
        axes.axvline(span.likely.to(unit).magnitude, **{**MAIN.line, "linestyle": ":"})
        axes.set(yticks=range(len(bars)), yticklabels=[bar[0] for bar in reversed(bars)], ylim=(-0.6, len(bars) - 0.4),
                 xlim=(0, span.high.to(unit).magnitude * 1.3), xlabel=f"{label} / {unit_text(unit)}" if unit_text(unit) else label)  # fmt: skip
        axes.tick_params(axis="y", length=0)
        axes.grid(axis="y", visible=False)
    return figure


def driver_words(span, label):
    """Return the words for ``driver_figure``, with its numbers."""
    unit = handy(span.likely if span.likely.magnitude else span.high).units
    symbol = unit_text(unit)
    parts = [f"{name} alone {number_text(low.to(unit).magnitude, 2)} to {number_text(high.to(unit).magnitude, 2)} {symbol}".strip()
             for name, low, high in span.drivers]  # fmt: skip
    return (
        "; ".join([f"Bars of what spreads {label}: {printed_range(span, unit=unit)}", ", ".join(parts)]).removesuffix(
            "; "
        )
        + "."
    )
