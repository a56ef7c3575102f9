"""The colour of a powder and the gap behind it: words only, because colour is a rough witness."""

import numpy as np

from labkit.data import guess, table
from labkit.errors import RangeProblem, chosen
from labkit.units import Q, number, takes

COLOUR_IS_ROUGH = (
    "Colour alone fixes the gap only to within some tenths of an eV: grain size, the depth of the layer, how steep "
    "the edge is and the lamp overhead all shift it. Of a powder with metal on it the colour says less still, "
    "because iron brings a brown of its own."
)


@takes(gap="[energy] > 0")
def colour_seen(gap):
    """Return the colour, in words, of a clean powder that absorbs everything above ``gap``.

    Parameters
    ----------
    gap : quantity [energy]
        One gap, from 0.31 to 4.43 eV.

    Returns
    -------
    str
        One of ``colours()``.

    Raises
    ------
    RangeProblem
        If the gap lies outside the table, or several gaps are given.

    Notes
    -----
    ``COLOUR_IS_ROUGH`` belongs beside the answer; ``gap_range_for_colour`` goes the other way.

    References
    ----------
    powder_colour: colours computed from a smooth edge in daylight; the words are labkit's.

    Examples
    --------
    >>> colour_seen('2.7 eV'), colour_seen('2.4 eV')
    ('pale yellow', 'orange-yellow')
    """
    return _band(gap, "colour_seen")["name"]


@takes(gap="[energy] > 0")
def light_absorbed(gap):
    """Return, in words, the light a powder of this gap can use: all that lies above the gap.

    Takes and refuses what ``colour_seen`` does.  Ultraviolet, which lies above every gap here, is
    named only where little else is absorbed.  Colour names of light run into one another; the
    borders used are violet to 450 nm, blue to 485, blue-green to 510, green to 565, yellow to 590,
    orange to 625 and red beyond (common practice).

    Examples
    --------
    >>> light_absorbed('2.7 eV')
    'violet and blue'
    """
    return _band(gap, "light_absorbed")["absorbed"]


def colours():
    """Return the words for colours, from the widest gap to the narrowest.

    Examples
    --------
    >>> colours()[:2]
    ['near white', 'whitish yellow']
    """
    return [row["name"] for row in table("colours")]


def gap_range_for_colour(colour):
    """Return the range of gaps that a powder of this colour may have.

    Parameters
    ----------
    colour : str
        One of ``colours()``.

    Returns
    -------
    Range of quantities [energy], in eV
        Its ends lie 0.15 eV beyond the colour's own band: some tenths of an eV in all.

    Raises
    ------
    ChoiceProblem
        If there is no such colour; the message lists the colours.

    References
    ----------
    powder_colour

    Examples
    --------
    >>> print(gap_range_for_colour('pale yellow'))
    2.5 to 3.0 eV, likely 2.8 eV
    """
    return guess("colours", chosen(" ".join(str(colour).lower().split()), colours(), "colour"))


def _band(gap, function):
    size = number(gap, "eV")
    if np.ndim(size):
        raise RangeProblem(f"{function}() names one colour at a time, but it got {np.size(size)} gaps.")
    rows = table("colours")
    for row in rows:
        if float(row["band_low_eV"]) <= size < float(row["band_high_eV"]):
            return row
    ends = rows[-1]["band_low_eV"], rows[0]["band_high_eV"]
    raise RangeProblem(f"{function}() needs a gap from {ends[0]} to {ends[1]} eV, but it is {Q(size, 'eV'):.3g~P}.")
