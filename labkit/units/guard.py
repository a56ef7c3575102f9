"""The guard that stands before every public sum: the right kind of quantity, or a kind word."""

import functools
import inspect

import numpy as np

from labkit.errors import RangeProblem, UnitProblem
from labkit.units.dimensions import EXAMPLES, agrees, in_words, is_change, is_reading
from labkit.units.reader import read
from labkit.units.registry import Q, is_quantity, ureg


def takes(**needs):
    """Return a decorator that checks the dimension, and if asked the sign, of named arguments.

    Each keyword names an argument and gives its dimension from
    ``labkit.units.dimensions.EXAMPLES``, optionally followed by ``> 0`` or ``>= 0``:
    ``@takes(mass="[mass] > 0", rise="[temperature change]")``.

    A guarded argument may be a quantity or text such as ``"2.5 g"``; the function always
    receives a quantity.  ``"[]"`` takes plain numbers too.  An argument left at a default of
    ``None`` is passed on untouched.

    Raises
    ------
    UnitProblem
        Naming the function, the argument, what it needs, what it got and what to type.
    RangeProblem
        If the sign is wrong or the value is not finite.
    """

    def decorate(function):
        signature = inspect.signature(function)

        @functools.wraps(function)
        def guarded(*args, **kwargs):
            bound = signature.bind(*args, **kwargs)
            bound.apply_defaults()
            for name, need in needs.items():
                if bound.arguments[name] is not None:
                    bound.arguments[name] = checked(bound.arguments[name], need, name, function.__name__)
            return function(*bound.args, **bound.kwargs)

        guarded.needs = needs
        return guarded

    return decorate


def checked(value, need, name, function="this sum"):
    """Return ``value`` as a quantity of dimension ``need``, or raise the message a learner gets."""
    need, _, sign = need.partition(" >")
    if isinstance(value, str):
        value = read(value, need, f"‘{name}’ of {function}()")
    words, example = EXAMPLES[need]
    if not is_quantity(value):
        if need != "[]" or isinstance(value, bool) or not _is_number(value):
            raise UnitProblem(f"{function}() needs {words} for ‘{name}’, but {_brief(value)} has no unit. "
                              f"Type for instance {name}={example!r}.")  # fmt: skip
        value = Q(value)
    if not agrees(value, need):
        raise UnitProblem(f"{function}() needs {words} for ‘{name}’, but {_brief(value)} is "
                          f"{in_words(value)}. {_advice(value, need, name, example)}")  # fmt: skip
    if sign:
        _check_sign(value, sign, name, function)
    return value


def _advice(value, need, name, example):
    if need == "[temperature change]" and is_reading(value):
        degrees = _brief(value.magnitude)
        return f"Try {name}=Q({degrees}, 'delta_degC'), or subtract one reading from another."
    if need == "[temperature]" and is_change(value):
        return f"Try {name}='20 °C' for what a thermometer shows."
    return f"Type for instance {name}={example!r}."


def _is_number(value):
    return isinstance(value, (int, float, list, tuple, np.ndarray, np.number)) or hasattr(value, "nominal_value")


def _check_sign(value, sign, name, function):
    nominal = np.asarray(getattr(value.magnitude, "nominal_value", value.magnitude), dtype=float)
    zero_allowed = sign.startswith("=")
    good = np.isfinite(nominal) & (nominal >= 0 if zero_allowed else nominal > 0)
    if not np.all(good):
        limit = "zero or more" if zero_allowed else "more than zero"
        raise RangeProblem(f"{function}() needs ‘{name}’ to be {limit} and finite, but it is {_brief(value)}.")


def _brief(value):
    if is_quantity(value):
        value = value if value.units != ureg.dimensionless else value.magnitude
    text = f"{value:~P}" if is_quantity(value) else str(value)
    return text if len(text) <= 40 else text[:37] + "…"
