"""The usual cautions, by the step of the work they belong to."""

from labkit.data import table
from labkit.errors import chosen
from labkit.units import Note

CLOSING = "Local codes and people licensed for the work decide; this page does not."


def cautions(*names):
    """Return the cautions for the named steps, one to a line, the rule about local codes last, as a Note.

    ``names`` are from ``steps()``; of several steps each caution is given once.

    Raises
    ------
    ChoiceProblem
        If a step has no cautions, or none is named; the message lists the steps.

    Examples
    --------
    >>> print(cautions("light"))
    • Never look into a strong lamp or at the sun; ultraviolet harms eyes unseen.
    • Local codes and people licensed for the work decide; this page does not.
    """
    names = [chosen(step, steps(), "step with cautions called") for step in names or [""]]
    lines = [row["text"] for step in names for row in table("cautions") if row["step"] == step]
    return Note("\n".join(f"• {line}" for line in [*dict.fromkeys(lines), CLOSING]), "care")


def firing_steps(precursor):
    """Return the steps whose cautions belong to firing a precursor: ``("firing", "thiourea")``."""
    return ("firing", precursor) if precursor in steps() else ("firing",)


def steps():
    """Return the steps that have cautions, in the order of the work."""
    return list(dict.fromkeys(row["step"] for row in table("cautions")))
