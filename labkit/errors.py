"""What labkit says when it cannot go on.  Every text is written for the person at the bench."""

import textwrap


class LabError(ValueError):
    """Any problem labkit can explain: what was needed, what was given, what to type."""

    def _render_traceback_(self):
        # Notebooks ask an exception for its own text; a learner needs the sentence, not the stack.  A notebook breaks
        # long lines in the middle of a word, so they are broken here.
        return textwrap.wrap(f"{type(self).__name__}: {self}", 60, break_long_words=False, break_on_hyphens=False)


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


class ChoiceProblem(LabError):
    """A word is not one of those there are to choose from."""


def chosen(word, allowed, what):
    """Return ``word`` if it is one of ``allowed``, or say which words there are.

    Parameters
    ----------
    word : str
    allowed : iterable of str
        A dict stands for its keys.
    what : str
        What is chosen, as it reads after “There is no”: ``"precursor"``.

    Raises
    ------
    ChoiceProblem
        If the word is not among them; the message lists them.

    Examples
    --------
    >>> chosen("urea", ["urea", "melamine"], "precursor")
    'urea'
    >>> chosen("sugar", ["urea", "melamine"], "precursor")
    Traceback (most recent call last):
    labkit.errors.ChoiceProblem: There is no precursor “sugar”. Type one of: urea, melamine.
    """
    words = list(allowed)
    if isinstance(word, str) and word in words:
        return word
    shown = "".join(mark if mark.isprintable() else "□" for mark in str(word)[:30])
    raise ChoiceProblem(f"There is no {what} “{shown}”. Type one of: {', '.join(words)}.")
