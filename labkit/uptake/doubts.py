"""What speaks against a fitted curve, in words: whether it is usable, weak, or nothing can be told."""

from math import sqrt

import numpy as np

USABLE, WEAK, NONE = "usable", "weak", "cannot tell"
FEWEST = 5  # readings with which the information criterion exists for a size, a pace and the scatter
# Fall of the criterion that is asked for: over 10 the simpler curve has “essentially no support”, below 2 neither can be told
# from the other (rules of thumb of Burnham and Anderson, from memory).
EVIDENCE, ALIKE = 10.0, 2.0
SURE = 16.0  # the same, before a curve is believed at all: noise about a level then passes in fewer than 1 of 5000 cases (computed)
# Share of the ceiling that the last reading has for sure: below the first the ceiling was not seen, below the second barely; our choice.
UNSEEN, BARELY = 0.5, 0.8
WIDE, USELESS = (
    0.4,
    1.0,
)  # half of the 95 % interval over the value: weak above the first, nothing above the second; our choice
MISFIT = "The readings do not follow this curve"
# Chance with which readings that do follow the curve would look as unlike it as these: weak below the first, nothing below the second.
_ODD, _SURELY_ODD = 0.05, 0.0005
_TOO_MUCH = 0.01  # chance of a scatter as large as this if the uncertainties given were right
_NAMES = {"capacity": "the capacity", "equilibrium": "the uptake at equilibrium", "affinity": "the affinity", "rate": "the rate",
          "factor": "the factor", "exponent": "the exponent"}  # fmt: skip


def level_of(found):
    """Return the worst level of (level, reason) pairs; “usable” if there are none.

    >>> level_of([("weak", "few readings")]), level_of([])
    ('weak', 'usable')
    """
    levels = {level for level, _ in found}
    return NONE if NONE in levels else WEAK if WEAK in levels else USABLE


def doubts(x, size, bound, covariance, parameters, ends, criterion, rivals, crooked, shares, given, count=None):
    """Return [(level, reason), …] against a fit of a size times a form.

    Parameters
    ----------
    x : array
    size : float
    bound : str
        ``"slow"`` or ``"fast"`` if the least squares lie at an end of all paces, else empty.
    covariance : array or None
    parameters, ends : dicts by name
    criterion : float
    rivals : dict
        What a simpler curve is, in words, to its criterion.
    crooked : float
        The criterion of a straight line that need not start at zero.
    shares : (low, likely) or None
        Share of the ceiling at the last reading.
    given : (s, dof) or None
        Where uncertainties of the readings were given.
    count : int, optional
        Readings that count; a start at zero does not.
    """
    found, places = [], np.unique(x[x > 0]).size
    count = x.size if count is None else count
    if count < FEWEST or places < 4:
        found.append((NONE, f"{count} readings at {places} places are too few to see whether they follow the curve"))
    if size <= 0:
        return [*found, (NONE, "The uptake is not above zero")]
    if bound == "slow" and shares:
        found.append((NONE, "The readings rise in a straight line: the ceiling is not in sight"))
    elif bound == "fast" and shares:
        found.append((NONE, "The curve is flat over all readings: if there is a rise, it lies before the first"))
    elif bound:
        found.append((NONE, "The exponent goes to an end of what there can be"))
    elif covariance is None:
        found.append((NONE, "The readings do not tell the two numbers of the curve apart"))
    if count >= FEWEST:
        found += _evidence(criterion, rivals, crooked)
    if shares and not bound:
        if shares[0] < UNSEEN:
            found.append(
                (
                    NONE,
                    f"The plateau is not in sight: the last reading may have as little as {100 * shares[0]:.0f} % of it",
                )
            )
        elif shares[0] < BARELY:
            found.append((WEAK, f"The plateau is barely seen: the last reading may have {100 * shares[0]:.0f} % of it"))
    if not bound and not any(level == NONE for level, _ in found):
        found += _widths(parameters, ends)
    if given and given[0] > 1 and _chance(*given) < _TOO_MUCH:
        found.append((WEAK, f"The readings scatter {given[0]:.1f} times as much as their uncertainties allow"))
    return found


def misfit(stretch, dof):
    """Return [(level, reason)] if readings show that a curve is too steep or too flat for them; see ``Squares.stretch``.

    ``dof`` are the degrees of freedom left, None where the uncertainties of the readings are known.
    """
    if stretch is None or (dof is not None and dof < 1):
        return []
    change, unit, left = stretch
    away = abs(change) / unit / (1.0 if dof is None else max(sqrt(left / dof), 1e-300))
    chance = _tail(away, dof)
    if chance > _ODD:
        return []
    how = "rise on and on, more slowly than it can" if change < 0 else "rise more steeply than it can"
    return [(NONE if chance < _SURELY_ODD else WEAK, f"{MISFIT}: they {how}")]


def _evidence(criterion, rivals, crooked):
    closest = min(rivals, key=rivals.get)
    won = rivals[closest] - criterion
    if won < ALIKE:
        return [(NONE, f"The curve is no better than {closest}")]
    found = [(WEAK, f"The curve is hardly better than {closest}")] if won < SURE else []
    if criterion - crooked > EVIDENCE:
        found.append(
            (
                WEAK,
                f"{MISFIT}: a straight line that does not start at zero fits them better",
            )
        )
    return found


def _widths(parameters, ends, useless=NONE):
    found = []
    for name, value in parameters.items():
        low, high = ends[name]
        what, wide = _NAMES.get(name, name), (high - low) / 2 / max(abs(value), 1e-300)
        if not wide < USELESS:
            found.append((useless, f"The 95 % interval of {what} is as wide as its value or wider"))
        elif wide > WIDE:
            found.append((WEAK, f"{what[0].upper()}{what[1:]} is only known within about {100 * wide:.0f} %"))
    return found


def _tail(away, dof):
    from scipy.special import ndtr, stdtr

    return float(2 * (ndtr(-away) if dof is None else stdtr(dof, -away)))


def _chance(s, dof):
    from scipy.special import chdtrc

    return float(chdtrc(dof, s**2 * dof))


def free_doubts(size, parameters, ends, covariance, criterion, level, agreed, tried):
    """Return [(level, reason), …] against a fit of any curve from several starts."""
    if covariance is None:
        return [(NONE, "The readings do not tell the numbers of the curve apart, or the search ended beside them")]
    found = []
    if size < len(parameters) + 3:
        found.append((NONE, f"{size} readings are too few for {len(parameters)} numbers"))
    else:
        found += _evidence(criterion, {"a level": level}, np.inf)
    if agreed < 2:
        found.append((NONE, f"Only one of {tried} starts came to this curve"))
    return found + _widths(parameters, ends, WEAK)
