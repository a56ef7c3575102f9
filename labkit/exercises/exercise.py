"""One sum for the learner, with its worked answer and the slips people make in it."""

from dataclasses import dataclass, field

from labkit.errors import LabError
from labkit.units import (
    EXAMPLES,
    Q,
    agrees,
    figures_in,
    in_words,
    is_quantity,
    number,
    printed,
    read,
    rounded,
    unit_text,
    ureg,
)
from labkit.units.dimensions import is_change, is_reading


@dataclass(frozen=True)
class Exercise:
    """A question with one numerical answer.

    Parameters
    ----------
    key : str
        Workbook and number, ``"1.3"``.
    question : str
        Complete: all givens, and what is asked, with the unit wanted if it matters.
    answer : callable
        Returns the worked answer as a quantity in the unit of the reply; labkit works it out.
    working : str
        The steps in words, in the order of the sum.  The result itself is added by the code.
    figures : int
        Significant figures that the givens support.
    slips : dict
        Hint to a callable that returns the wrong answer which that slip gives.
    tolerance : float
        Relative, for rounding on the way.
    strict_figures : bool
        Do not let a spare figure pass, where figures are the lesson.
    """

    key: str
    question: str
    answer: object
    working: str
    figures: int = 3
    slips: dict = field(default_factory=dict)
    tolerance: float = 0.01
    strict_figures: bool = False

    def right(self):
        """Return the worked answer as a quantity."""
        result = self.answer()
        return result if is_quantity(result) else Q(result)


@dataclass(frozen=True)
class Reply:
    """What ``judged`` found: value, unit and figures each on their own, and the words for it."""

    value_right: bool
    unit_right: bool
    figures_right: bool
    text: str

    @property
    def right(self):
        """True if value and unit are right; figures are good manners."""
        return self.value_right and self.unit_right


def judged(exercise, answer):
    """Return the Reply to an answer, given as text, quantity or number.  Never raises."""
    try:
        return _judged(exercise, answer)
    except LabError as problem:
        return Reply(False, False, False, str(problem))
    except Exception as problem:  # a learner's answer must never end in a stack of code
        return Reply(False, False, False, f"That answer could not be read ({type(problem).__name__}). "
                     f"Type a number and a unit, for instance {_example(exercise.right())}.")  # fmt: skip


def _judged(exercise, answer):
    right = exercise.right()
    if isinstance(answer, str):
        given = read(answer)
    elif is_quantity(answer):
        given = answer
    else:
        given = Q(float(answer))
    need = next((need for need in EXAMPLES if agrees(right, need)), None)
    mixed = (is_change(right) and is_reading(given)) or (is_reading(right) and is_change(given))
    if given.dimensionality != right.dimensionality or mixed:
        return _wrong_kind(exercise, given, right, need)
    if right.units == ureg.percent and given.units == ureg.dimensionless:
        return _percent_without_sign(exercise, given, right)
    figures_right, figures_text = _figures(exercise, answer)
    size = number(given, right.units)
    if _close(size, number(right, right.units), _tolerance(exercise, right)):
        praise = "Right."
        if not figures_right:
            praise = f"Right value and unit. {figures_text}"
        return Reply(True, True, figures_right, praise)
    if _rounded_too_far(exercise, answer, size, right):
        wanted = _in_words(exercise.figures)
        return Reply(False, True, False, f"Close, but rounded too far: give {wanted}.")
    return Reply(False, True, figures_right, f"The unit is right, the value is not. {_hint(exercise, size, right)}")


def _percent_without_sign(exercise, given, right):
    """Reply to a bare number where a percentage is asked for: 80 without its sign means 8000 %."""
    size, expected = number(given, ""), number(right, "percent")
    if _close(100 * size, expected, _tolerance(exercise, right)):
        return Reply(True, True, True, f"Right: {size:g} is {100 * size:g} %.")
    close = _close(size, expected, _tolerance(exercise, right))
    typed = f"{size:g}"
    if close:
        return Reply(True, False, False, f"The number is right, but {typed} without its sign means {100 * size:g} %. "
                     f"Type “{typed} %”.")  # fmt: skip
    return Reply(False, False, False, f"A percentage needs its sign: {typed} without it means {100 * size:g} %. "
                 "Type for instance “12.3 %”.")  # fmt: skip


def _rounded_too_far(exercise, answer, size, right):
    if not isinstance(answer, str):
        return False
    fewest, most = figures_in(answer)
    expected = repr(number(right, right.units))
    too_few = range(fewest, min(most, exercise.figures - 1) + 1)
    return any(_close(size, float(rounded(expected, figures)), 1e-6) for figures in too_few)


def _in_words(figures):
    names = (
        "",
        "one significant figure",
        "two significant figures",
        "three significant figures",
        "four significant figures",
    )
    return names[figures] if figures < len(names) else f"{figures} significant figures"


def _wrong_kind(exercise, given, right, need):
    words, _ = EXAMPLES.get(need, ("another kind of quantity", ""))
    size = number(given, given.units)
    value_right = _close(size, number(right, right.units), _tolerance(exercise, right))
    if not given.dimensionality and value_right:
        return Reply(True, False, False, f"The number is right; give its unit too, as in {_example(right)}.")
    kind = in_words(given)
    return Reply(
        value_right, False, False, f"The answer is {words}, but this is {kind}. Type for instance {_example(right)}."
    )


def _figures(exercise, answer):
    if not isinstance(answer, str):
        return True, ""
    fewest, most = figures_in(answer)
    spare = 0 if exercise.strict_figures else 1
    if fewest <= exercise.figures <= most or most == exercise.figures + spare:
        return True, ""
    return False, f"It is written to {_in_words(most)}; the question supports {_in_words(exercise.figures)}."


def _hint(exercise, size, right):
    expected = number(right, right.units)
    for hint, wrong in exercise.slips.items():
        slip = wrong()
        slip = slip if is_quantity(slip) else Q(slip, right.units)
        if slip.dimensionality == right.dimensionality and _close(
            size, number(slip, right.units), max(exercise.tolerance, 0.01)
        ):
            return hint
    if expected and size:
        ratio = size / expected
        for factor, hint in _GENERAL:
            if _close(ratio, factor, 0.02):
                return hint
    if is_reading(right) and _close(abs(size - expected), 273.15, 0.005):
        return "It is off by 273: °C and K are mixed up."
    way = "too large" if size > expected else "too small"
    return f"It is {way}. Write the sum with its units and see whether they cancel."


_GENERAL = (
    (1000, "It is a thousand times too large: a milli or kilo has slipped in."),
    (0.001, "It is a thousand times too small: a milli or kilo has slipped in."),
    (1e6, "It is a million times too large: look at the prefixes, micro above all."),
    (1e-6, "It is a million times too small: look at the prefixes, micro above all."),
    (100, "It is a hundred times too large: a percentage was taken as a number."),
    (0.01, "It is a hundred times too small: divide by 100 only once."),
    (2, "It is twice the answer: something should be divided by two."),
    (0.5, "It is half the answer: something was divided by two once too often."),
    (60, "It is sixty times too large: minutes and hours, or seconds, are mixed up."),
    (1 / 60, "It is sixty times too small: minutes and hours, or seconds, are mixed up."),
    (3600, "It is 3600 times too large: seconds and hours are mixed up."),
    (1 / 3600, "It is 3600 times too small: seconds and hours are mixed up."),
    (10, "It is ten times too large: look at the decimal mark."),
    (0.1, "It is ten times too small: look at the decimal mark."),
    (-1, "The sign is the wrong way round."),
)


def _tolerance(exercise, right):
    """Return the wider of the exercise's own tolerance and half a unit in its last figure."""
    size = abs(number(right, right.units))
    if not size:
        return exercise.tolerance
    leading = size / 10 ** int(f"{size:e}".split("e")[1])
    return max(exercise.tolerance, 0.51 * 10 ** (1 - exercise.figures) / leading)


def _close(size, expected, tolerance):
    return abs(size - expected) <= tolerance * abs(expected) if expected else abs(size) <= tolerance


def _example(right):
    unit = unit_text(right.units)
    return f"“12.3 {unit}”" if unit else "“0.123”"


def worked_answer(exercise):
    """Return the steps and the result of an exercise as text."""
    return f"{exercise.working}\nAnswer: {printed(exercise.right(), exercise.figures, exercise.right().units)}"
