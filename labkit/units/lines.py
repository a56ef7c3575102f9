"""Text that fits the width of a page: notebooks break a long printed line in the middle of a word."""

import textwrap

WIDTH = 60  # what a page 600 pixels wide has room for


def wrapped(text, hanging=""):
    """Return ``text`` with each line broken between words at ``WIDTH``; later parts start with ``hanging``.

    >>> print(wrapped("one " * 30, hanging="    ").splitlines()[1][:8])
        one
    """
    lines = (
        textwrap.wrap(line, WIDTH, subsequent_indent=hanging, break_long_words=False, break_on_hyphens=False) or [""]
        for line in text.splitlines()
    )
    return "\n".join(part for parts in lines for part in parts)
