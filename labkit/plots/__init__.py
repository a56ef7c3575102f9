"""Pictures: quantities in, a matplotlib Figure out, and ``show(figure, alt=…)`` puts it on the page."""

import base64
from html import escape
from pathlib import Path

from labkit.plots.live import LivePicture
from labkit.plots.style import (
    FOURTH,
    GUESS,
    LIMIT,
    MAIN,
    MEASURED,
    QUIET,
    SECOND,
    THIRD,
    Role,
    figure_svg,
    new_figure,
    styled,
    words,
)

__all__ = ["FOURTH", "GUESS", "LIMIT", "MAIN", "MEASURED", "QUIET", "SECOND", "THIRD", "LivePicture", "Role",
           "figure_svg", "image_tag", "new_figure", "saved", "show", "styled"]  # fmt: skip


def image_tag(figure, *, alt):
    """Return the HTML image of a figure, the picture itself inside it and ``alt`` as its description."""
    described = escape(words(alt), quote=True)
    picture = base64.b64encode(figure_svg(figure).encode()).decode()
    # White of its own with round corners, so that it looks like a sheet of paper on a dark page too.
    sheet = (
        "box-sizing:border-box;max-width:100%;height:auto;margin:8px 0;padding:8px;border-radius:8px;background:#fff"
    )
    width, height = (round(inches * 96) + 16 for inches in figure.get_size_inches())
    return (
        f'<img alt="{described}" width="{width}" height="{height}" style="{sheet}" '
        f'src="data:image/svg+xml;base64,{picture}">'
    )


def show(figure, *, alt):
    """Show a figure in a notebook, described in words.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
    alt : str
        What is seen, with its numbers worked out by code: this is what a screen reader says and
        what the checks of the workbooks compare.  It may not be left out or empty.
    """
    from IPython.display import HTML, display

    display(HTML(image_tag(figure, alt=alt)))


def saved(figure, path, *, alt):
    """Write a figure to an SVG file that carries its description, and return the path.

    The first sentence of ``alt`` becomes the title, the whole of it the description.
    """
    described = words(alt)
    title = described.split(". ")[0].rstrip(".")
    head, inside = figure_svg(figure).split(">", 1)
    names = (
        f' role="img" aria-labelledby="title desc">\n <title id="title">{escape(title)}</title>'
        f'\n <desc id="desc">{escape(described)}</desc>'
    )
    path = Path(path)
    path.write_text(head + names + inside, encoding="utf-8", newline="\n")
    return path
