"""What is said to a learner's answer: value, unit and figures judged apart, and the likely slip named."""

import re
from dataclasses import dataclass

from labkit.errors import LabError
from labkit.units import (
    EXAMPLES,
    Q,
    agrees,
    figures_in,
    in_words,
    is_quantity,
    number,
    read,
    rounded,
    rounded_down,
    rounded_up,
    unit_text,
    ureg,
)
from labkit.units.dimensions import is_change, is_reading

# Constants such as 24.47 L/mol are rounded in the questions; so much may an answer lie on the unsafe side for that.
ON_THE_WAY = 0.001
# Roundings of the answer to so many figures fewer than asked pass, on the safe side.
COARSER = 2
_NUMBER_INSIDE = re.compile(r"[+−-]?[.,]?[0-9](?:.*[0-9])?")


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
        try:
            given = read(answer)
        except LabError:
            alone = _NUMBER_INSIDE.search(answer)
            if right.units != ureg.dimensionless or alone is None or alone[0] == answer:
                raise
            return _number_among_words(exercise, alone[0])
    else:
        given = answer if is_quantity(answer) else Q(float(answer))
    mixed = (is_change(right) and is_reading(given)) or (is_reading(right) and is_change(given))
    if given.dimensionality != right.dimensionality or mixed:
        return _wrong_kind(exercise, answer, given, right)
    bare = None
    if given.units == ureg.dimensionless and right.units != ureg.dimensionless:
        bare = _share_without_sign(exercise, answer, given, right)
    return bare or _reply_in_kind(exercise, answer, given, right)


def _reply_in_kind(exercise, answer, given, right):
    """Reply to an answer that has the kind of unit asked for."""
    figures_right, figures_text = _figures(exercise, answer)
    verdict = _verdict(exercise, answer, given, right)
    if verdict == "unsafe":
        way = f"Round {exercise.safe_side}: {exercise.in_print(given.units)}."
        return Reply(False, True, figures_right, f"The number is right, but it is rounded to the unsafe side. {way}")
    if verdict == "safe":
        return Reply(True, True, figures_right, "Right, and on the safe side.")
    if verdict == "unrounded" or (verdict == "right" and exercise.safe_side and not figures_right):
        way = f"Rounded {exercise.safe_side} it is {exercise.in_print(given.units)}."
        return Reply(True, True, figures_right, f"Right. {way}")
    if verdict == "right":
        remark = "Right." if figures_right else f"Right value and unit. {figures_text}"
        return Reply(True, True, figures_right, remark)
    if verdict == "coarse":
        return Reply(False, True, False, f"Close, but rounded too far: give {_in_words(exercise.figures)}.")
    start = "The unit is right, the value is not." if unit_text(right.units) else "The value is not right."
    return Reply(False, True, figures_right, f"{start} {_hint(exercise, number(given, right.units), right)}")


def _verdict(exercise, answer, given, right):
    """Return "right", "wrong" or "coarse", and where the question says how to round "safe", "unsafe" or "unrounded".

    Rounding is judged in the unit that was typed: 219 min is rounded up as well as 3.65 h is.
    """
    near = _near(exercise, given, right)
    size, expected = number(given, given.units), number(right, given.units)
    if exercise.safe_side:
        return _directed(exercise, answer, near, size, expected)
    # What a computer hands over is not rounded, so only text can be rounded too far.
    counts = _typed_figures(answer, exercise.figures - 1) if isinstance(answer, str) else ()
    coarse = any(_close(size, float(rounded(repr(float(expected)), count)), 1e-6) for count in counts)
    return "right" if near else "coarse" if coarse else "wrong"


def _directed(exercise, answer, near, size, expected):
    """Return the verdict where the question says which way to round, so that nobody is hurt by the rest."""
    to_safe, to_unsafe = (rounded_up, rounded_down) if exercise.safe_side == "up" else (rounded_down, rounded_up)
    for count in _typed_figures(answer, exercise.figures):
        near = near or _close(size, float(to_unsafe(expected, count)), 1e-9)
        if count >= exercise.figures - COARSER:
            near = near or _close(size, float(to_safe(expected, count)), 1e-9)
    if not near:
        return "wrong"
    toward = 1 if exercise.safe_side == "up" else -1
    beyond = toward * (exercise.rounded(size, exercise.figures) - exercise.rounded(expected, exercise.figures))
    short = toward * (expected - size)  # above zero on the unsafe side
    if beyond < 0 or short > ON_THE_WAY * abs(expected):
        return "unsafe"
    if beyond > 0:
        return "safe"
    return "unrounded" if short > 1e-9 * abs(expected) else "right"


def _typed_figures(answer, most):
    """Return the counts of figures, up to ``most``, that an answer may be rounded to."""
    fewest, claimed = figures_in(answer) if isinstance(answer, str) else (1, most)
    return range(fewest, min(claimed, most) + 1)


def _near(exercise, given, right):
    size, expected = number(given, right.units), number(right, right.units)
    if exercise.within:
        return abs(size - expected) <= number(read(exercise.within), "K")
    return _close(size, expected, _tolerance(exercise, right))


def _number_among_words(exercise, alone):
    """Reply to “1.66 €” and the like where the answer is a number and nothing else."""
    reply = _judged(exercise, alone)
    if reply.right:
        return Reply(True, False, reply.figures_right, "Right number. Type it alone here.")
    return Reply(False, False, reply.figures_right, f"{reply.text} Type the number alone here.")


def _share_without_sign(exercise, answer, given, right):
    """Reply to a bare number where %, ppm or the like is asked for: 80 without its sign means 8000 %.

    None for a true fraction, which is judged like any other answer.
    """
    size, unit = number(given, ""), unit_text(right.units)
    percent = right.units == ureg.percent
    if percent and _near(exercise, given, right):
        return Reply(True, True, True, f"Right: {size:g} is {100 * size:g} %.")
    typed = f"{size:g}"
    means = f"{typed} without its sign means {100 * size:g} %"
    if _verdict(exercise, answer, Q(size, right.units), right) not in ("wrong", "coarse"):
        said = f"The number is right; give its unit too, as in {_example(right)}"
        return Reply(True, False, False, f"{said}: {means}." if percent else f"{said}.")
    if percent:
        return Reply(False, False, False, f"A percentage needs its sign: {means}. Type for instance {_example(right)}.")
    if abs(size) < 1:
        return None
    return Reply(False, False, False, f"The answer is a fraction of less than one and needs its unit, {unit}. "
                 f"Type for instance {_example(right)}.")  # fmt: skip


def _in_words(figures):
    names = (
        "",
        "one significant figure",
        "two significant figures",
        "three significant figures",
        "four significant figures",
    )
    return names[figures] if figures < len(names) else f"{figures} significant figures"


def _wrong_kind(exercise, answer, given, right):
    need = next((need for need in EXAMPLES if agrees(right, need)), None)
    words, _ = EXAMPLES.get(need, ("another kind of quantity", ""))
    as_meant = Q(number(given, given.units), right.units)
    value_right = _verdict(exercise, answer, as_meant, right) not in ("wrong", "coarse")
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
