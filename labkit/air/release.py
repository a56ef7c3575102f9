"""What a firing gives off, and when: how much gas, spread over which minutes.

How much follows from the mass balance.  When is an assumption, and a ``Release`` says which: no
published rate reaches from urea to the powder.
"""

from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np

from labkit.air.limits import gas_name, gas_words, limits, single
from labkit.chemistry.formula import molar_mass
from labkit.chemistry.thermolysis import gases, gases_at_most, precursors, route
from labkit.data.cautions import cautions, firing_steps
from labkit.errors import LabError, RangeProblem, UnitProblem, chosen
from labkit.units import Q, nominal, printed, printed_up, wrapped

SHARES = ("usual", "at most", "split")
# Gas is taken to come between these readings on the way up.  Isocyanic acid was seen above 152 °C (schaber_2004), the
# major decomposition of urea from about 133 °C (jones_2013); the upper one is labkit's choice, about where melem is
# complete, though ammonia comes through the hold too.  Of the spans the shorter one is taken: the same gas in less time
# makes the higher peak.
GAS_FROM, GAS_TO, GAS_SEEN_FROM = 150.0, 450.0, 133.0  # °C
# Seen from thiourea in air beside the gases of its usual route (madarasz_2007).  From the others hydrogen cyanide
# comes only where they are overheated, so it is named and not judged.
_SEEN_TOO = {"thiourea": ("HCN", "SO2")}
NEAR_TOP = (
    5.0  # K; a trace that never passes GAS_TO gives its gas until it first comes this near to its highest reading
)
_EVEN = "spread evenly over the time given, though it comes in bursts, most of it early"
_ON_THE_WAY = (
    f"spread evenly over the minutes from {GAS_FROM:g} to {GAS_TO:g} °C on the way up. Gas has been seen from {GAS_SEEN_FROM:g} °C, "
    "comes in bursts, and goes on through the hold; the shorter span makes the higher peak"
)
_AT_ONCE = "all at once, the worst that can happen"


@dataclass(frozen=True)
class Release:
    """Gas given off into a room: first ``at_once``, then ``steps`` of (duration, amount rate), one after the other.

    Parameters
    ----------
    gas : str
        Formula or word; one of ``labkit.air.limits.known_gases()``.
    steps : sequence of (time, amount rate)
        Quantities or text; durations more than zero, rates zero or more.
    at_once : quantity or text [amount]
        Set free in the very first moment.
    assumption : str
        What the timing takes for granted, in words.
    precursor : str
        For the cautions.

    Raises
    ------
    LabError
        Naming what can't be used and what to type.

    Examples
    --------
    >>> leak = Release("NH3", [("30 min", "0.4 mol/h"), ("1 h", "0.1 mol/h")])
    >>> print(f"{leak.amount:.2f~P}", f"{leak.duration:.1f~P}")
    0.30 mol 1.5 h
    """

    gas: str
    steps: tuple = ()
    at_once: object = "0 mol"
    assumption: str = ""
    precursor: str = "urea"

    def __post_init__(self):
        object.__setattr__(self, "gas", gas_name(self.gas))
        pairs = [_pair(step, "(duration, amount rate), as in ('30 min', '0.4 mol/h')") for step in _listed(self.steps)]
        steps = tuple(
            (single(duration, "[time] > 0", "duration").to("h"), single(rate, "[amount rate] >= 0", "rate").to("mol/h"))
            for duration, rate in pairs
        )
        object.__setattr__(self, "steps", steps)
        object.__setattr__(self, "at_once", single(self.at_once, "[amount] >= 0", "at once").to("mol"))
        hours, rates = self._plain
        if not np.isfinite([hours.sum(), (hours * rates).sum()]).all():
            raise RangeProblem("This release is too large or too long to be worked out.")

    @property
    def _plain(self):
        """Durations in h and rates in mol/h, as arrays."""
        return (np.array([pair[place].magnitude for pair in self.steps], dtype=float) for place in (0, 1))

    @property
    def amount(self):
        """All the gas, in mol."""
        hours, rates = self._plain
        return Q(float(self.at_once.magnitude + (hours * rates).sum()), "mol")

    @property
    def duration(self):
        """Time from the first moment to the end of the last step, in h."""
        hours, _ = self._plain
        return Q(float(hours.sum()), "h")

    @property
    def highest_rate(self):
        """Highest amount rate of the steps, in mol/h; what comes at once has none and is left out."""
        _, rates = self._plain
        return Q(float(rates.max(initial=0.0)), "mol/h")

    def cautions(self):
        """Return the cautions for firing this precursor, and for the room it is in."""
        return cautions(*firing_steps(self.precursor), "room")

    def __str__(self):
        when = f" over {printed(self.duration)}" if self.steps else ""
        return wrapped(f"{printed_up(self.amount)} of {gas_words(self.gas)}{when}. {self.assumption}".strip())


def firing_release(
    precursor_mass, precursor="urea", over="2 h", gas="NH3", share="usual", profile=None, product="melon"
):
    """Return the Release of one gas from the firing of a precursor.

    Parameters
    ----------
    precursor_mass : quantity or text [mass]
        More than zero.
    precursor : str
        One of ``labkit.chemistry.thermolysis.precursors()``.
    over : quantity or text [time]
        The gas comes evenly over this time, if no profile is given.
    gas : str
        One of those that the share asked for gives.
    share : str
        ``"usual"``: by the usual route, as if nothing else happened.  ``"at most"``: what the atoms
        allow (``gases_at_most``), the side to plan for.  ``"split"``: all urea falls apart into
        ammonia and isocyanic acid and goes no further.
    profile : optional
        ``"all at once"``, the worst case; or a list of (duration, share), as in
        ``[("30 min", "20 %"), ("1 h", "80 %")]``, whose shares make 100 %; or a trace of the
        temperature (with ``minutes`` and ``celsius``, or something with such a ``trace``): the gas
        is then spread evenly over the minutes from 150 to 450 °C on the way up, though it has been
        seen from 133 °C and goes on through the hold: the shorter span makes the higher peak.
        Stretches that the trace does not count are left out, which makes the rest stronger.
    product : str
        ``"melon"`` or ``"ideal"``, for the usual share.

    Raises
    ------
    LabError
        Naming what can't be used and what to type.

    Notes
    -----
    Timing is assumed, not known: gas really comes in bursts, most of it early.  Look at
    ``"all at once"`` beside any other.  A firing belongs outdoors or under extraction.

    References
    ----------
    schaber_2004, jones_2013

    Examples
    --------
    Of 24 g of urea (invented), over 90 minutes:

    >>> from labkit.units import printed_up
    >>> usual, most = (firing_release("24 g", over="90 min", share=share) for share in ("usual", "at most"))
    >>> printed_up(usual.highest_rate), printed_up(most.amount)
    ('340 mmol/h', '800 mmol')
    """
    precursor_mass = single(precursor_mass, "[mass] > 0", "precursor mass")
    route(precursor, product)  # says which words there are
    gas = gas_name(gas)
    if chosen(share, SHARES, "share called") == "split":
        chosen(precursor, ("urea",), "split into ammonia and isocyanic acid for")
    each = moles_per_gram(precursor, share, product)
    amount = Q(precursor_mass.m_as("g") * each[chosen(gas, each, f"gas of {precursor} ({share})")], "mol")
    counted = {
        "usual": f"By the usual route to {product}.",
        "at most": "The most that the atoms of the precursor allow.",
        "split": "As if all urea split into NH3 and HNCO and went no further.",
    }[share]
    if isinstance(profile, str) and profile == "all at once":
        return Release(gas, (), amount, f"{counted} Assumed: {_AT_ONCE}.", precursor)
    pairs, assumed = _profile(profile, over)
    steps = [(duration, amount * part / duration) for duration, part in pairs]
    return Release(gas, steps, "0 mol", f"{counted} Assumed: {assumed}.", precursor)


@cache  # plain numbers: a panel asks at every keystroke
def moles_per_gram(precursor, share="at most", product="melon"):
    """Return formula to mol of each gas from a gram of precursor.

    >>> {gas: round(moles, 4) for gas, moles in moles_per_gram("urea").items()}
    {'NH3': 0.0333, 'HCN': 0.0167, 'HNCO': 0.0167}
    """
    gram = Q(1.0, "g")
    if share == "split":
        moles = nominal(gram / molar_mass(route("urea").formula)).m_as("mol")
        return MappingProxyType({"NH3": moles, "HNCO": moles})
    found = gases(gram, precursor, product) if share == "usual" else gases_at_most(gram, precursor)
    return MappingProxyType({gas.formula: nominal(gas.amount).m_as("mol") for gas in found})


def judged_gases(precursor):
    """Return the gases of a precursor that a verdict holds against limits, as a list of formulas.

    Those of the usual route that have limits, and what was seen from thiourea beside them.  Isocyanic
    acid and carbonyl sulfide have no limit here, and hydrogen cyanide comes from the others only where
    they are overheated: a verdict names them all.  Raises ChoiceProblem, which lists the precursors.

    References
    ----------
    madarasz_2007

    Examples
    --------
    >>> judged_gases("urea"), judged_gases("thiourea")
    (['NH3'], ['NH3', 'HCN', 'CS2', 'SO2'])
    """
    return list(_judged_gases(chosen(precursor, precursors(), "precursor called")))


@cache
def _judged_gases(precursor):
    usual = (*moles_per_gram(precursor, "usual"), *_SEEN_TOO.get(precursor, ()))
    return tuple(gas for gas in moles_per_gram(precursor) if gas in usual and limits(gas))


def _profile(profile, over):
    """Return (duration, plain share) pairs and what they assume, in words."""
    if profile is None:
        return [(single(over, "[time] > 0", "over").to("h"), 1.0)], _EVEN
    if isinstance(profile, str):
        chosen(profile, ("all at once",), "profile called")
    trace = _trace(profile)
    if trace is not None:
        return _from_trace(*trace), _ON_THE_WAY
    pairs = [_pair(step, "(duration, share), as in ('30 min', '20 %')") for step in _listed(profile)]
    pairs = [
        (single(time, "[time] > 0", "duration").to("h"), single(part, "[] >= 0", "share").m_as("dimensionless"))
        for time, part in pairs
    ]
    whole = sum(part for _, part in pairs)
    if not abs(whole - 1) <= 1e-6:
        raise RangeProblem(f"The shares of a profile make 100 % together, but these make {whole:.4g} of 1. "
                           "Type for instance profile=[('30 min', '20 %'), ('1 h', '80 %')].")  # fmt: skip
    return [(time, part / whole) for time, part in pairs], "spread as the profile says"


def _trace(profile):
    """Return (minutes, celsius, counted) of a trace, or of what has one; None if it is neither."""
    if not hasattr(profile, "minutes"):
        profile = getattr(profile, "trace", None)
        if callable(profile):
            profile = profile()
    if not (hasattr(profile, "minutes") and hasattr(profile, "celsius")):
        return None
    try:
        minutes, celsius = (np.asarray(array, dtype=float) for array in (profile.minutes, profile.celsius))
        counted = getattr(profile, "counted", None)
        counted = np.ones(max(minutes.size - 1, 0), dtype=bool) if counted is None else np.asarray(counted, dtype=bool)
    except (TypeError, ValueError):
        raise _odd_trace("its times and readings have to be lists of plain numbers, in min and °C") from None
    if minutes.ndim != 1 or celsius.shape != minutes.shape:
        raise _odd_trace("it has to have one reading for each time, in two plain lists of the same length")
    if minutes.size < 2:
        raise _odd_trace("it needs at least two times with a reading each")
    if counted.shape != (minutes.size - 1,):
        raise _odd_trace("‘counted’ has to have one True or False for each stretch between two readings")
    if not (np.isfinite(minutes).all() and np.isfinite(celsius).all()):
        raise _odd_trace("some of its times or readings are not numbers; leave those out")
    if np.any(np.diff(minutes) <= 0):
        raise _odd_trace("its times have to rise from each reading to the next")
    return minutes, celsius, counted


def _odd_trace(why):
    return RangeProblem(f"This trace of the temperature can't be used: {why}. Or leave the profile out and give a time, as in "
                        "over='2 h', or take profile='all at once'.")  # fmt: skip


def _from_trace(minutes, celsius, counted):
    """Return (duration, share) pairs: the stretches from GAS_FROM up, before GAS_TO is first reached."""
    top = min(GAS_TO, celsius.max() - NEAR_TOP)
    if top <= GAS_FROM:
        raise RangeProblem(f"This trace hardly passes {GAS_FROM:g} °C, so it does not say when the gas comes. Leave the profile "
                           "out and give a time, as in over='2 h', or take profile='all at once'.")  # fmt: skip
    reached = int(np.argmax(celsius >= top))  # first point at or over the top
    minutes, celsius, counted = minutes[: reached + 1], celsius[: reached + 1], counted[:reached]
    if not reached:
        return _none_on_the_way()
    start, end, low, high = minutes[:-1], minutes[1:], celsius[:-1], celsius[1:]
    rise = np.where(high == low, 1.0, high - low)
    with np.errstate(over="ignore"):  # readings that differ by next to nothing
        cross, stop = (np.clip((level - low) / rise, 0, 1) for level in (GAS_FROM, top))
    begin = np.where(low >= GAS_FROM, 0.0, np.where(high > GAS_FROM, cross, 1.0))  # as parts of each stretch
    finish = np.where(high >= GAS_FROM, 1.0, np.where(low > GAS_FROM, cross, 0.0))
    finish = np.where(high > top, stop, finish)
    inside = np.where(counted, np.maximum(finish - begin, 0.0), 0.0) * (end - start)
    whole = inside.sum()
    if not whole > 0:
        return _none_on_the_way()
    # On and off in turn; neighbours of one kind are joined, so that a log of many readings makes a short release.
    edges = [(a + x * (b - a), a + x * (b - a) + w) for a, b, x, w in zip(start, end, begin, inside) if w > 0]
    joined = [list(edges[0])]
    for left, right in edges[1:]:
        if left - joined[-1][1] <= 1e-9:
            joined[-1][1] = right
        else:
            joined.append([left, right])
    pairs, before = [], joined[0][0]
    for left, right in joined:
        if left > before:
            pairs.append((Q((left - before) / 60, "h"), 0.0))
        pairs.append((Q((right - left) / 60, "h"), (right - left) / whole))
        before = right
    return pairs


def _none_on_the_way():
    raise RangeProblem(f"This trace has no reading on the way up from {GAS_FROM:g} to {GAS_TO:g} °C that counts, so it does not "
                       "say when the gas comes. Give a time, as in over='2 h', or take profile='all at once'.")  # fmt: skip


def _listed(steps):
    try:
        if isinstance(steps, str):
            raise TypeError
        return list(steps)
    except LabError:
        raise
    except Exception:
        raise UnitProblem(f"A list of steps was needed, such as [('30 min', '20 %'), ('1 h', '80 %')], but this is of type "
                          f"{type(steps).__name__}.") from None  # fmt: skip


def _pair(step, example):
    try:
        if isinstance(step, str):
            raise TypeError
        first, second = step
    except Exception:
        raise UnitProblem(f"Each step is a pair: {example}.") from None
    return first, second
