"""One sum for the learner, with its worked answer and the slips people make in it."""

from dataclasses import dataclass, field

from labkit.units import Q, is_quantity, number, printed, rounded, rounded_down, rounded_up


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
    within : str
        Absolute tolerance in kelvin, ``"1 K"``, in place of the relative one: a share of a reading in °C
        means nothing, as its zero is not the zero of temperature.
    strict_figures : bool
        Do not let a spare figure pass, where figures are the lesson.
    safe_side : {"up", "down", None}
        The way to round where someone could be hurt by the other; the question says it too.
    """

    key: str
    question: str
    answer: object
    working: str
    figures: int = 3
    slips: dict = field(default_factory=dict)
    tolerance: float = 0.01
    within: str = ""
    strict_figures: bool = False
    safe_side: str | None = None

    def right(self):
        """Return the worked answer as a quantity."""
        result = self.answer()
        return result if is_quantity(result) else Q(result)

    def rounded(self, size, figures):
        """Return a number to so many figures, as a float, rounded the way the question asks."""
        way = {"up": rounded_up, "down": rounded_down, None: lambda plain, count: rounded(repr(plain), count)}
        return float(way[self.safe_side](float(size), figures))

    def in_print(self, unit):
        """Return the answer in a unit as text, to the figures and rounded the way the question asks."""
        return printed(Q(self.rounded(number(self.right(), unit), self.figures), unit), self.figures, unit)


def worked_answer(exercise):
    """Return the steps and the result of an exercise as text."""
    return f"{exercise.working}\nAnswer: {exercise.in_print(exercise.right().units)}"
