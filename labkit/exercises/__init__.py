"""The sums of the series: ask, check, and show the worked answer.

``check("1.3", "12.3 g")`` judges value, unit and significant figures separately and names the likely
slip.  It never raises on a learner's answer.
"""

from importlib import import_module

from labkit.errors import chosen
from labkit.exercises.exercise import Exercise, worked_answer
from labkit.exercises.reply import Reply, judged
from labkit.units import Note

# Workbook number to the module that holds its exercises.
CHAPTERS = {
    "0": "start", "1": "mass_balance", "2": "firing", "3": "room_air", "4": "band_gap", "5": "dopant", "6": "uptake", "7": "hydrogen", "8": "gas", "9": "batch",
}  # fmt: skip


def exercises(chapter):
    """Return the exercises of one workbook, in order.

    Raises
    ------
    ChoiceProblem
        If the workbook has none; the message lists those that have.

    Examples
    --------
    >>> [exercise.key for exercise in exercises("1")][:2]
    ['1.1', '1.2']
    """
    chapter = chosen(str(chapter), CHAPTERS, "set of exercises for workbook")
    return import_module(f"labkit.exercises.{CHAPTERS[chapter]}").EXERCISES


def find(key):
    """Return the exercise ``key``, or None if there is none of that number."""
    chapter = str(key).partition(".")[0]
    if chapter not in CHAPTERS:
        return None
    return next((exercise for exercise in exercises(chapter) if exercise.key == str(key)), None)


def check(key, answer=None):
    """Return the question, and the reply if an answer is given, as a Note that a notebook shows.

    Parameters
    ----------
    key : str
        Number of the exercise, such as ``"1.3"``.
    answer : text, quantity or number, optional
        Text such as ``"12.3 g"``; only text can be judged for significant figures.

    Examples
    --------
    >>> print(check("1.1", "0.749 mol"))
    1.1  You tip 45.0 g of urea, CO(NH₂)₂, into the crucible. How many moles are that?
    ✓ Right.
    """
    exercise = find(key)
    if exercise is None:
        return Note(f"There is no exercise {str(key)[:20]}.")
    question = f"{exercise.key}  {exercise.question}"
    if answer is None or (isinstance(answer, str) and not answer.strip()):
        return Note(question)
    reply = judged(exercise, answer)
    return Note(f"{question}\n{'✓' if reply.right else '✗'} {reply.text}", "right" if reply.right else "wrong")


def worked(key):
    """Return the steps and the answer of an exercise as a Note."""
    exercise = find(key)
    if exercise is None:
        return Note(f"There is no exercise {str(key)[:20]}.")
    return Note(f"{exercise.key}  {worked_answer(exercise)}")


__all__ = ["Exercise", "Reply", "check", "exercises", "find", "judged", "worked"]
