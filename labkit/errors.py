"""What labkit says when it cannot go on.  Every text is written for the person at the bench."""


class LabError(ValueError):
    """Any problem labkit can explain: what was needed, what was given, what to type."""

    def _render_traceback_(self):
        # Notebooks ask an exception for its own text; a learner needs the sentence, not the stack.
        return [f"{type(self).__name__}: {self}"]


class UnitProblem(LabError):
    """An argument has no unit, the wrong kind of unit, or is the wrong kind of temperature."""


class ReadingProblem(LabError):
    """Typed text could not be read as a quantity."""


class RangeProblem(LabError):
    """A value lies outside what the sum is valid for."""


class FormulaProblem(LabError):
    """A chemical formula could not be read."""


class BalanceProblem(LabError):
    """An equation cannot be balanced, or can be balanced in more than one independent way."""


class SourceProblem(LabError):
    """A number in the data has no known source."""
