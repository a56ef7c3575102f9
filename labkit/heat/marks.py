"""Whether the mark in the numbers of a log stands for decimals or for thousands: ``1,022`` may be either.

Read the wrong way, 1022 °F become -17 °C and a firing that was long enough seems never to have been hot.
"""

import re

import numpy as np

from labkit.errors import ReadingProblem

MOST_LOOKED_AT = 10_000  # once there are as many numbers with a mark in a column, more would tell nothing new
_NUMBER = re.compile(rb"[+-]?(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_THOUSANDS = re.compile(rb"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}")
_NAMES = {b",": "comma", b".": "point"}


def marked(fields, mark):
    """Return the numbers among some fields that have the mark in them, as a list of bytes.

    >>> marked(np.array([b"980", b"1,022", b"n,a"]), b",")
    [b'1,022']
    """
    found = fields[np.char.find(fields, mark) >= 0]
    return [text for text in np.char.strip(found).tolist() if _NUMBER.fullmatch(text)]


def refuse_thousands(readings, times, mark, possible, count):
    """Raise ReadingProblem if the marks of a log may be those of thousands.

    They may if each is followed by exactly three digits, and most readings without it are possible ones; or if most
    readings have no mark at all, as where 9,999 among 550 and 551 is that of an open probe.

    Parameters
    ----------
    readings, times : list of bytes
        Numbers that have the mark, as ``marked`` finds them.
    mark : bytes
    possible : callable
        Takes an array of readings and returns for each whether a kiln can have it.
    count : int
        Of readings that were looked at, with a mark or without.
    """
    numbers = [*readings, *times]
    if not numbers or not all(_THOUSANDS.fullmatch(text) for text in numbers):
        return
    whole = np.array([float(text.replace(mark, b"")) for text in readings])
    if whole.size >= max(count / 2, 1) and possible(whole).mean() < 0.5:
        return
    shown, name = numbers[0].decode(), _NAMES[mark]
    raise ReadingProblem(f"Numbers such as {shown} can be read two ways: does their {name} mark thousands or decimals? Save the log without "
                         f"marks for thousands ({shown.replace(mark.decode(), '')}), or with one or two decimals.")  # fmt: skip


def mark_note(mark):
    """Return the note that says which mark was taken for that of decimals.

    >>> mark_note(b",")
    'Numbers: a comma is taken for the decimal mark.'
    """
    return f"Numbers: a {_NAMES[mark]} is taken for the decimal mark."
