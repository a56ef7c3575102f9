"""What a gas does to those who breathe it, set beside whether it burns: long before it burns it may kill."""

from functools import cache

from labkit.air.limits import gas_name, strictest
from labkit.data import row
from labkit.errors import ChoiceProblem, RangeProblem
from labkit.units import number, printed_down, rounded_up

POISONS = ("ammonia", "carbon monoxide", "hydrogen cyanide", "carbon disulfide")  # they kill long before they burn
_ORDERS = (("escape", "escape limit"), ("ceiling", "ceiling limit"), (None, "strictest limit found"))
_OUT = "out at once, and do not go in to air it"
_LEAVE = "leave, and let air in from outside"


def breathing_words(gas, percent):
    """Return how a fraction of the air stands to the published limits for breathing, and what to do.

    Parameters
    ----------
    gas : str
        A name or formula.
    percent : float
        Of the volume.

    Returns
    -------
    str
        For the middle of a sentence.  The escape limit is looked at first, then the ceiling, then
        the strictest of all; empty if labkit knows no published limit of the gas.  The number of
        times is rounded up.

    Notes
    -----
    Under the escape limit one leaves.  Of a gas without escape and ceiling limit here, or one that goes
    in through the skin, every figure over a limit means out at once.

    >>> breathing_words("NH3", 1.0)
    '34 times the escape limit, 300 ppm (NIOSH IDLH of 1994, escape): out at once, and do not go in to air it'
    >>> breathing_words("NH3", 0.001)
    'under the strictest limit found, 25 ppm (NIOSH REL of 1994, up to 10 h), which is no promise'
    """
    known, always = _known(gas)
    for averaging, word, ppm, shown in known:
        if percent * 1e4 >= ppm * (1 - 1e-9):
            order = _OUT if averaging or always else _LEAVE
            return f"{rounded_up(percent * 1e4 / ppm, 2)} times the {word}, {shown}: {order}"
    return f"under the {known[-1][1]}, {known[-1][3]}, which is no promise" if known else ""


def lean_words(gas, percent, over_margin, over_tenth):
    """Return the sentence on a gas too lean to burn: which part of the lower limit, and what breathing it asks for.

    ``over_margin`` and ``over_tenth`` tell whether it is over a quarter and over a tenth of the
    lower limit.  Of ``POISONS`` breathing has been spoken of before, so only an alarm is added.

    >>> lean_words("hydrogen", 0.5, False, True)
    'It is over a tenth of the lower limit: let air in from outside before going on.'
    """
    part = "It is over a quarter of the lower limit, where alarms are set: no flame, no spark"
    if not over_margin:
        part = f"It is {'over' if over_tenth else 'under'} a tenth of the lower limit"
    if gas in POISONS:
        return f"{part}." if over_margin else ""
    if breathing := breathing_words(gas, percent):
        return f"{part}; as the air of a room it is {breathing}."
    leave = "; in a room get out, and let air in from outside" if over_margin else ""
    if gas == "hydrogen":  # it stifles only where it has long been able to burn
        return f"{part}{': let air in from outside before going on' if over_tenth and not over_margin else leave}."
    return f"{part}{leave}; no limit for breathing it is known here{': leave first' if over_tenth and not over_margin else ''}."


@cache  # asked at every keystroke in a panel
def _known(gas):
    found = []
    for averaging, word in _ORDERS:
        try:
            limit = strictest(gas, averaging, "published")
        except (ChoiceProblem, RangeProblem):
            continue
        found.append((averaging, word, number(limit.value, "ppm"), f"{printed_down(limit.value)} ({limit.label})"))
    skin = bool(found) and bool(row("gases", gas_name(gas))["skin"])  # no mask keeps it out
    return tuple(found), skin or len(found) == 1
