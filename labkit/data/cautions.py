"""The usual cautions, by the step of the work they belong to."""

from labkit.data import table
from labkit.units import wrapped

CLOSING = "Local codes and people licensed for the work decide; this page does not."


def cautions(step):
    """Return the cautions for one step, one to a line, with the rule about local codes last.

    ``step`` is one of ``steps()``: ``firing``, ``powder``, ``chlorides``, ``solvent``, ``hydrogen``.
    """
    lines = [row["text"] for row in table("cautions") if row["step"] == step]
    if not lines:
        raise ValueError(f"There are no cautions for “{step}”. There are for: {', '.join(steps())}.")
    return "\n".join(f"• {line}" for line in [*lines, CLOSING])


def print_cautions(*chosen):
    """Print the cautions of the chosen steps, or of all, each once and the rule about local codes last."""
    lines = "\n".join(cautions(step) for step in chosen or steps()).splitlines()
    body = dict.fromkeys(line for line in lines if line != lines[-1])
    print(wrapped("\n".join([*body, lines[-1]]), hanging="  "))


def steps():
    """Return the steps that have cautions, in the order of the work."""
    return list(dict.fromkeys(row["step"] for row in table("cautions")))
