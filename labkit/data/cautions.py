"""The usual cautions, by the step of the work they belong to."""

from labkit.data import table
from labkit.errors import LabError
from labkit.units import wrapped

CLOSING = "Local codes and people licensed for the work decide; this page does not."


def cautions(*chosen):
    """Return the cautions for the chosen steps, one to a line, with the rule about local codes last.

    ``chosen`` are names from ``steps()``; of several steps each caution is given once.
    """
    unknown = [step for step in chosen if step not in steps()]
    if unknown or not chosen:
        raise LabError(f"There are no cautions for “{', '.join(unknown)}”. There are for: {', '.join(steps())}.")
    lines = [row["text"] for step in chosen for row in table("cautions") if row["step"] == step]
    return "\n".join(f"• {line}" for line in [*dict.fromkeys(lines), CLOSING])


def firing_steps(precursor):
    """Return the steps whose cautions belong to firing a precursor: ``("firing", "thiourea")``."""
    return ("firing", precursor) if precursor in steps() else ("firing",)


def print_cautions(*chosen):
    """Print ``cautions`` with its lines broken between words."""
    print(wrapped(cautions(*chosen), hanging="  "))


def steps():
    """Return the steps that have cautions, in the order of the work."""
    return list(dict.fromkeys(row["step"] for row in table("cautions")))
