"""Text that fits the width of a page: notebooks break a long printed line in the middle of a word."""

import re
import textwrap

from labkit.units.symbols import SYMBOLS

WIDTH = 60  # what a page 600 pixels wide has room for
_BEFORE_UNIT = re.compile(r"(?<=[0-9⁰¹²³⁴-⁹)]) (?=([A-Za-zµ°%€]+))")
_KEPT = "\ue000"  # stands for a blank that no line may end at, while lines are broken


def wrapped(text, hanging=""):
    """Return ``text`` with each line broken between words at ``WIDTH``; later parts start with ``hanging``.

    No line ends between a number and its unit.

    >>> print(wrapped("one " * 30, hanging="    ").splitlines()[1][:8])
        one
    """
    lines = (
        textwrap.wrap(
            _marked(line, _KEPT), WIDTH, subsequent_indent=hanging, break_long_words=False, break_on_hyphens=False
        )
        or [""]
        for line in text.splitlines()
    )
    return "\n".join(part for parts in lines for part in parts).replace(_KEPT, " ")


def unbroken(text):
    """Return text in which no line of a page can end between a number and its unit.

    >>> unbroken("2.5 g of salt") == "2.5\u00a0g of salt"
    True
    """
    return _marked(text, "\u00a0")


def _marked(text, mark):
    return _BEFORE_UNIT.sub(lambda gap: mark if gap[1] in SYMBOLS or gap[1] == "€" else " ", text)
