"""The guard that stands before every public sum: the right kind of quantity, or a kind word."""

import functools
import inspect

import numpy as np

from labkit.errors import RangeProblem, UnitProblem
from labkit.units.dimensions import EXAMPLES, agrees, in_words, is_change, is_reading, split_need
from labkit.units.reader import read
from labkit.units.registry import Q, is_quantity, plain, ureg
from labkit.units.rounding import unit_text

COLD = "above absolute zero"


def takes(**needs):
    """Return a decorator that checks the dimension, and if asked the sign, of named arguments.

    Each keyword names an argument and gives its dimension from
    ``labkit.units.dimensions.EXAMPLES``, optionally followed by ``> 0`` or ``>= 0``:
    ``@takes(mass="[mass] > 0", rise="[temperature change]")``.  A thermometer reading is counted
    from absolute zero, and never passes below it.

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
                if bound.arguments[name] is not None or signature.parameters[name].default is not None:
                    bound.arguments[name] = checked(bound.arguments[name], need, name, function.__name__)
            return function(*bound.args, **bound.kwargs)

        guarded.needs = needs
        return guarded

    return decorate


def checked(value, need, name, function=None):
    """Return ``value`` as a quantity of dimension ``need``, or raise the message a learner gets."""
    need, sign = split_need(need)
    if isinstance(value, str):
        value = read(value, need, f"‘{name}’ of {function}()" if function else f"‘{name}’")
    caller = f"{function}()" if function else "This sum"
    words, example = EXAMPLES[need]
    if not is_quantity(value):
        if need != "[]" or not _is_number(value):
            raise UnitProblem(f"{caller} needs {words} for ‘{name}’, but {_brief(value)} {_fault(value, need)}. "
                              f"Type for instance {name}={example!r}.")  # fmt: skip
        value = Q(value)
    if not agrees(value, need):
        raise UnitProblem(f"{caller} needs {words} for ‘{name}’, but {_brief(value)} is "
                          f"{in_words(value)}. {_advice(value, need, name, example)}")  # fmt: skip
    _check_size(value, need, sign, name, caller)
    return value


def refuse_array(function, **arguments):
    """Raise RangeProblem if a named argument, already a quantity, holds more than one number."""
    for name, value in arguments.items():
        if np.ndim(value.magnitude):
            raise RangeProblem(f"{function}() takes one value at a time for ‘{name}’, but it got "
                               f"{np.size(value.magnitude)}. Call it once for each.")  # fmt: skip


def _fault(value, need):
    if hasattr(value, "dimensionality"):
        return "belongs to another unit registry; make it with Q from labkit.units"
    if hasattr(value, "likely"):
        return "is a range; range_from() carries a range through a sum"
    return "is not a number" if need == "[]" else "has no unit"


def _advice(value, need, name, example):
    if need == "[temperature change]" and is_reading(value):
        degrees = _brief(value.magnitude)
        return f"Try {name}=Q({degrees}, 'delta_degC'), or subtract one reading from another."
    if need == "[temperature]" and is_change(value):
        return f"Try {name}='20 °C' for what a thermometer shows."
    return f"Type for instance {name}={example!r}."


def _is_number(value):
    if hasattr(value, "dimensionality"):  # a foreign quantity passes questions on to its number
        return False
    try:
        items = np.asarray(value)
    except ValueError:  # rows of unequal length
        return False
    if items.dtype.kind != "O":
        return items.dtype.kind in "iuf"
    return all(hasattr(item, "nominal_value") for item in items.flat)


def size_fault(value, need):
    """Return what is wrong with the size of a quantity of the dimension needed, as it reads after its name; empty if nothing.

    >>> size_fault(Q(0.0, "min"), "[time] > 0"), size_fault(Q(-5.0, "percent"), "[] >= 0"), size_fault(Q(3, "g"), "[mass] > 0")
    ('has to be more than zero, but it is 0 min', 'has to be zero or more, but it is -5 %', '')
    """
    need, sign = split_need(need)
    limit = _fault_of_size(value, need, sign)
    if limit == COLD:
        return f"cannot be {typed_text(value)}: that is below absolute zero (-273.15 °C)"
    return f"has to be {limit.removesuffix(' and finite')}, but it is {typed_text(value)}" if limit else ""


def _fault_of_size(value, need, sign):
    """Return what a size should be and is not: ``COLD`` for a reading below absolute zero, empty if all is well."""
    numbers = np.asarray(plain((value.to("kelvin") if need == "[temperature]" else value).magnitude), dtype=float)
    if need == "[temperature]" and np.any(numbers < 0):
        return COLD
    good, limit = np.isfinite(numbers), "finite"
    if sign:
        good &= numbers >= 0 if sign == ">=" else numbers > 0
        limit = "zero or more and finite" if sign == ">=" else "more than zero and finite"
    return "" if np.all(good) else limit


def _check_size(value, need, sign, name, caller):
    limit = _fault_of_size(value, need, sign)
    if limit == COLD:
        raise RangeProblem(f"{caller} got {_brief(value)} for ‘{name}’, which is below absolute zero (-273.15 °C).")
    if limit:
        raise RangeProblem(f"{caller} needs ‘{name}’ to be {limit}, but it is {_brief(value)}.")


def typed_text(quantity):
    """Return one quantity as a person would type it: ``0.8 /h``, ``5 %``; ``read`` gives the same back.

    >>> typed_text(Q(0.8, "1/hour")), typed_text(Q(5, "percent")), typed_text(Q(100.0, "cm**2")), typed_text(Q(3))
    ('0.8 /h', '5 %', '100 cm²', '3')
    """
    symbol = "Δ" * is_change(quantity) + unit_text(quantity.units)
    symbol = symbol.removeprefix("1") if symbol.startswith("1/") else symbol
    return f"{plain(quantity.magnitude):.12g} {symbol}".strip()


def _brief(value):
    if is_quantity(value):
        value = value if value.units != ureg.dimensionless else value.magnitude
    text = f"{value:~P}" if is_quantity(value) else str(value)
    return text if len(text) <= 40 else text[:37] + "…"
