"""The time constant and the ceiling of your own kiln, from a log of one long rise or fall.

Least squares on one lump with a first-order lag.  The uncertainties are standard uncertainties from
the scatter of the readings about the curve, widened when neighbours scatter together; they know
nothing of a probe that reads wrong or of a kiln that radiates, so fit near the temperature that counts.
"""

import math
from dataclasses import dataclass

import numpy as np
from uncertainties import ufloat

from labkit.errors import LabError, RangeProblem
from labkit.heat.kiln import Kiln, read_switching, trace_of
from labkit.units import Note, Q, checked, nominal, number, printed, printed_down, printed_up, refuse_array, wrapped

MOST_POINTS = 4000  # more readings than this are thinned: the fit gains nothing from them
FEWEST_POINTS = 5
SHORTEST = 1.0  # our choice: a stretch of fewer time constants than this does not tell where it would end
VAGUE = 0.2  # our choice: nor does a fit that knows the rest of the way to no better than this share of it
_KEEP_HEATING = ("Keep logging until the rise has slowed to a third, with the kiln empty, someone beside it, "
                 "and never above its rated temperature.")  # fmt: skip


@dataclass(frozen=True, repr=False)
class KilnFit:
    """What a stretch of a log tells of a kiln.

    Attributes
    ----------
    kind : str
        ``"heating"``, ``"cooling"`` or ``"switched"``.
    stretch : (quantity [time], quantity [time])
        From when to when the readings were used.
    time_constant, ceiling, ambient : quantities with ``±``, or None
        None where the stretch cannot tell; ``ambient`` is as given, or fitted to a fall.
    at_least, at_most : quantity [thermometer reading] or None
        Where the end of the way cannot be told: the ceiling lies above, or the ambient below, this.
    scatter : quantity [temperature change]
        Root mean square of the readings about the curve.
    told : bool
    sentence : str
    """

    kind: str
    stretch: tuple
    time_constant: object
    ceiling: object
    ambient: object
    scatter: object
    told: bool
    sentence: str
    at_least: object = None
    at_most: object = None

    @property
    def kiln(self):
        """The fitted Kiln, its ± as ranges; RangeProblem if the stretch did not tell all of it."""
        if self.time_constant is None or self.ceiling is None:
            raise RangeProblem(f"This fit does not tell a whole kiln. {self.sentence}")
        return Kiln(self.time_constant, self.ceiling, "20 °C" if self.ambient is None else nominal(self.ambient))

    def __str__(self):
        return wrapped(self.sentence)

    __repr__ = __str__

    def _repr_html_(self):
        return Note(self.sentence, "plain" if self.told else "wrong")._repr_html_()


def kiln_fit(log, ambient=None, switching=None, heating=None, cooling=None):
    """Return the KilnFit of a log, a trace, or anything else that carries a trace.

    Parameters
    ----------
    log : KilnLog, Trace, Schedule or Course
    ambient : quantity [thermometer reading] or text, optional
        The air around the kiln.  Given, it is not fitted, which makes a short fall tell more.
    switching : sequence of (time, on), optional
        As for ``labkit.heat.kiln.course``, from the first reading on; then the whole log is used.
    heating, cooling : (from, to) or True, optional
        The stretch of one steady rise at full power, or of one fall with the power off, as two times;
        True finds the largest.  Left out, the largest rise is taken.

    Raises
    ------
    LabError
        If it is no log, or both heating and cooling are asked for.
    RangeProblem
        If the stretch holds fewer than five readings, or the reading does not rise (or fall) in it.
    UnitProblem, ReadingProblem
        If a value is of another kind or can't be read.

    Examples
    --------
    >>> from labkit.heat.kiln import course
    >>> firing = course(Kiln("80 min", "900 °C"), [("3 h", True), ("5 h", False)]).trace("5 min")
    >>> fit = kiln_fit(firing)
    >>> print(f"{nominal(fit.time_constant):.1f~P}, {nominal(fit.ceiling):.1f~P}")
    80.0 min, 900.0 °C
    >>> kiln_fit(firing, heating=("0 min", "40 min")).ceiling is None
    True
    """
    trace = trace_of(log)
    if ambient is not None:
        ambient = nominal(checked(ambient, "[temperature]", "ambient", "kiln_fit"))
        refuse_array("kiln_fit", ambient=ambient)
    wanted = [asked is not None and asked is not False for asked in (switching, heating, cooling)]
    if sum(wanted) > 1:
        raise LabError("kiln_fit() takes one of ‘switching’, ‘heating’ and ‘cooling’ at a time. Call it once for each.")
    if switching is not None:
        return _switched(trace, ambient, switching)
    kind, asked = ("cooling", cooling) if wanted[2] else ("heating", heating)
    sign = -1 if kind == "cooling" else 1
    chosen = isinstance(asked, (tuple, list))
    if not chosen and not any(asked is one for one in (None, True, False)):  # “in” would compare an array
        raise RangeProblem(
            f"A stretch is two times, or True to find the largest. Type for instance {kind}=('10 min', '2 h')."
        )
    minutes, celsius = _between(trace, asked) if chosen else _largest_rise(trace, sign)
    if minutes.size < FEWEST_POINTS and not chosen:
        raise RangeProblem(
            f"There is no {_WAY[kind]} of {FEWEST_POINTS} readings or more in this log, so there is nothing to fit."
        )
    if minutes.size < FEWEST_POINTS:
        raise RangeProblem(f"A fit needs at least {FEWEST_POINTS} readings in one {_WAY[kind]}, but this stretch has "
                           f"{minutes.size}. Choose a longer one: {kind}=('0 min', '90 min').")  # fmt: skip
    if not sign * (celsius[-1] - celsius[0]) > 0:
        raise RangeProblem(f"There is no {_WAY[kind]} from {minutes[0]:g} to {minutes[-1]:g} min: it goes from "
                           f"{celsius[0]:.0f} to {celsius[-1]:.0f} °C. Choose another stretch, or the other way.")  # fmt: skip
    fixed = number(ambient, "degC") if kind == "cooling" and ambient is not None else None
    return _lag_fit(kind, minutes, celsius, fixed, ambient)


def _sure(value, spread):
    """Return a number with its ±, which is never quite zero even if the readings lie on the curve."""
    return ufloat(value, max(spread, 1e-9 * abs(value), 1e-12))


_WAY = {"heating": "rise", "cooling": "fall"}


def _thinned(minutes, celsius):
    step = max(-(-minutes.size // MOST_POINTS), 1)
    return minutes[::step], celsius[::step]


def _between(trace, ends):
    """Return the readings between two times that were asked for."""
    if len(ends) != 2:
        raise RangeProblem("A stretch is two times. Type for instance heating=('10 min', '2 h').")
    first, last = (checked(end, "[time]", "stretch", "kiln_fit") for end in ends)
    refuse_array("kiln_fit", start=first, end=last)
    first, last = number(first, "min"), number(last, "min")
    inside = (trace.minutes >= first) & (trace.minutes <= last)
    return _thinned(trace.minutes[inside], trace.celsius[inside])


def _noise(celsius):
    """Return the scatter of single readings about their neighbours, robustly, from second differences."""
    bends = np.abs(np.diff(celsius, 2))
    return 1.4826 * float(np.median(bends)) / math.sqrt(6) if bends.size else 0.0


def _largest_rise(trace, sign):
    """Return the readings of the largest rise (fall, if ``sign`` is -1) that is not broken by a step back.

    A step back of six times the scatter, and at least 1 K, ends it: a controller has switched.
    """
    minutes, celsius = _thinned(trace.minutes, trace.celsius)
    height = sign * celsius
    allowed = max(1.0, 6 * _noise(celsius))
    best, start, top = (0.0, 0, 0), 0, 0
    for at, value in enumerate(height.tolist()):
        if value > height[top]:
            top = at
        if value < height[start] or value < height[top] - allowed:
            start = top = at
        if height[top] - height[start] > best[0]:
            best = (height[top] - height[start], start, top)
    rise, start, top = best
    # The first stretch, where a probe has not felt the heat yet, does not belong to the curve.
    while start < top and height[start] < height[top] - 0.95 * rise:
        start += 1
    return minutes[start : top + 1], celsius[start : top + 1]


def _lag_fit(kind, minutes, celsius, fixed, ambient):
    """Return the KilnFit of one rise or fall; the end of the way is fitted unless ``fixed``."""
    from scipy.optimize import least_squares

    time, scale = minutes - minutes[0], float(minutes[-1] - minutes[0])

    def curve(parameters):
        first, end = parameters[1], fixed if fixed is not None else parameters[2]
        return end + (first - end) * np.exp(-time / (scale * math.exp(parameters[0])))

    taus = np.linspace(-4, 4, 81)  # logarithms of the time constant over the stretch
    best = min(
        (_linear(time / (scale * math.exp(tau)), celsius, fixed) + (tau,) for tau in taus), key=lambda found: found[0]
    )
    _, first, end, tau = best
    begin = [tau, first] if fixed is not None else [tau, first, end]
    fit = least_squares(lambda parameters: curve(parameters) - celsius, begin, x_scale="jac", method="trf")
    spreads, scatter = _spreads(fit)
    log_tau = _sure(fit.x[0], spreads[0])
    minutes_constant = scale * math.exp(log_tau.nominal_value)
    end = fixed if fixed is not None else float(fit.x[2])
    end_spread = 0.0 if fixed is not None else spreads[2]
    left = abs(end - celsius[-1]) + 1e-9
    told = math.isfinite(spreads[0]) and spreads[0] < VAGUE
    told &= fixed is not None or (
        scale >= SHORTEST * minutes_constant and end_spread < max(VAGUE * left, 0.05 * abs(end - fit.x[1]))
    )
    stretch = (Q(float(minutes[0]), "min"), Q(float(minutes[-1]), "min"))
    remark = _remark(fit.fun, celsius, scatter, kind)
    tau_found = Q(_sure(minutes_constant, minutes_constant * spreads[0]), "min") if told else None
    end_found = Q(_sure(end, end_spread), "degC") if told else None
    words = f"From {_clock(stretch[0])} to {_clock(stretch[1])} it {'rises' if kind == 'heating' else 'falls'} from "
    words += f"{celsius[0]:.0f} to {celsius[-1]:.0f} °C"
    last = Q(float(celsius[-1]), "degC")
    if told:
        fitted = "" if fixed is not None else f", and it would settle at {printed(end_found)}"
        words += f": time constant {printed(tau_found, unit='min')}{fitted}. {remark}"
        words += "± is one standard uncertainty from the scatter alone."
    elif kind == "heating":
        words += (f", which is too little of the way to tell where it would end: the ceiling is at least {printed_down(last, 3)}, "
                  f"and no number is given. {_KEEP_HEATING} {remark}")  # fmt: skip
    elif fixed is not None:
        words += f", in which the scatter hides the time constant. Take the log of a longer fall. {remark}"
    else:
        words += (f", which is too little of the way to tell where it would end: below {printed_up(last, 3)}, and no number is given. "
                  f"Keep logging while it cools, or type the air around the kiln: ambient='20 °C'. {remark}")  # fmt: skip
    heats = kind == "heating"
    return KilnFit(kind, stretch, tau_found, end_found if heats else None, ambient if heats or fixed is not None else end_found,
                   Q(scatter, "delta_degC"), bool(told), words.strip(),
                   at_least=None if told or not heats else last,
                   at_most=None if told or heats or fixed is not None else last)  # fmt: skip


def _linear(passed, celsius, fixed):
    """Return (sum of squares, first, end) of the best curve of one given time constant."""
    left = np.exp(-passed)
    if fixed is not None:
        first = fixed + float(left @ (celsius - fixed)) / float(left @ left)
        return float(np.sum((fixed + (first - fixed) * left - celsius) ** 2)), first, fixed
    columns = np.column_stack([left, 1 - left])
    (first, end), *_ = np.linalg.lstsq(columns, celsius, rcond=None)
    return float(np.sum((columns @ [first, end] - celsius) ** 2)), float(first), float(end)


def _spreads(fit):
    """Return the standard uncertainties of the parameters and the root mean square of the residuals.

    Neighbours that scatter together tell less than their number: with a correlation r from one to
    the next the variance is larger by (1 + r)/(1 - r).
    """
    residuals, count = fit.fun, len(fit.fun)
    free = max(count - len(fit.x), 1)
    squares = float(residuals @ residuals)
    together = float(residuals[1:] @ residuals[:-1]) / squares if squares > 0 else 0.0
    together = min(max(together, 0.0), 0.98)
    widened = squares / free * (1 + together) / (1 - together)
    try:
        spread = np.sqrt(np.abs(np.diag(np.linalg.inv(fit.jac.T @ fit.jac))) * widened)
    except np.linalg.LinAlgError:
        spread = np.full(len(fit.x), np.inf)
    return [float(one) for one in spread], math.sqrt(squares / count)


def _remark(residuals, celsius, scatter, kind):
    """Return a sentence if the readings do not follow one curve, or nothing."""
    if scatter > 1 + 4 * _noise(celsius):
        return (f"The readings leave the curve by {scatter:.1f} K on average, more than they scatter: was the heater "
                f"{'switched' if kind != 'cooling' else 'off all the time, and the lid shut,'} in this stretch? ")  # fmt: skip
    return ""


def _clock(time):
    return f"{number(time, 'min'):.0f} min"


def _switched(trace, ambient, switching):
    """Return the KilnFit of a whole log whose switching is known."""
    from scipy.optimize import least_squares

    times, shares = read_switching(switching, "kiln_fit")
    ends = np.concatenate([[0.0], np.cumsum(times)])
    inside = trace.minutes - trace.minutes[0] <= ends[-1] * (1 + 1e-9)
    minutes, celsius = _thinned(trace.minutes[inside], trace.celsius[inside])
    if minutes.size < FEWEST_POINTS:
        raise RangeProblem(f"A fit needs at least {FEWEST_POINTS} readings, but the switching covers {minutes.size}.")
    if not shares.any():
        raise RangeProblem("This switching is never on, so it tells no ceiling. Use cooling=True.")
    time = minutes - minutes[0]
    piece = np.clip(np.searchsorted(ends, time, side="right") - 1, 0, len(shares) - 1)
    fixed = None if ambient is None else number(ambient, "degC")
    air = fixed if fixed is not None else float(min(celsius[0], celsius.min()))

    def curve(parameters):
        tau, first, rise = math.exp(parameters[0]), parameters[1], parameters[2]
        rest = fixed if fixed is not None else parameters[3]
        at, starts = first, []
        for length, share in zip(times, shares):
            starts.append(at)
            target = rest + share * rise
            at = target + (at - target) * math.exp(-length / tau)
        targets = rest + shares[piece] * rise
        return targets + (np.array(starts)[piece] - targets) * np.exp(-(time - ends[piece]) / tau)

    span = float(time[-1]) or 1.0
    height = float(celsius.max()) - air or 1.0
    begins = [[math.log(span * part), float(celsius[0]), height * more] + ([] if fixed is not None else [air])
              for part in (0.03, 0.1, 0.3, 1) for more in (1.1, 2, 4)]  # fmt: skip
    begin = min(begins, key=lambda one: float(np.sum((curve(one) - celsius) ** 2)))
    fit = least_squares(lambda parameters: curve(parameters) - celsius, begin, x_scale="jac")
    spreads, scatter = _spreads(fit)
    stretch = (Q(float(minutes[0]), "min"), Q(float(minutes[-1]), "min"))
    told = bool(np.all(np.isfinite(spreads))) and spreads[0] < VAGUE and spreads[2] < VAGUE * abs(fit.x[2])
    rest = Q(fixed, "degC") if fixed is not None else Q(_sure(fit.x[3], spreads[3]), "degC")
    words = f"From {_clock(stretch[0])} to {_clock(stretch[1])}, switched {len(shares)} times"
    remark = _remark(fit.fun, celsius, scatter, "switched")
    top = Q(float(celsius.max()), "degC")
    if not told:
        words += (f": too little of the way to tell a kiln. Its ceiling is at least {printed_down(top, 3)}. "
                  f"{_KEEP_HEATING} Or type the air around it: ambient='20 °C'. {remark}")  # fmt: skip
        return KilnFit(
            "switched", stretch, None, None, ambient, Q(scatter, "delta_degC"), False, words.strip(), at_least=top
        )
    tau = math.exp(fit.x[0])
    tau_found = Q(_sure(tau, tau * spreads[0]), "min")
    ceiling = Q(
        _sure((fixed if fixed is not None else fit.x[3]) + fit.x[2], _ceiling_spread(fit, spreads, fixed)), "degC"
    )
    words += (f": time constant {printed(tau_found, unit='min')}, ceiling {printed(ceiling)}. {remark}"
              "± is one standard uncertainty from the scatter alone.")  # fmt: skip
    return KilnFit("switched", stretch, tau_found, ceiling, rest, Q(scatter, "delta_degC"), True, words)


def _ceiling_spread(fit, spreads, fixed):
    """Return the uncertainty of rise plus ambient, their correlation counted."""
    if fixed is not None:
        return spreads[2]
    covariance = np.linalg.inv(fit.jac.T @ fit.jac)
    scale = spreads[2] ** 2 / covariance[2, 2]
    return float(math.sqrt(max(scale * (covariance[2, 2] + covariance[3, 3] + 2 * covariance[2, 3]), 0.0)))
