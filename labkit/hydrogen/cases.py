"""The cases of the honest estimate: what is in the water with the powder, and what has been published about it."""

from labkit.data import citation, row, table
from labkit.errors import chosen
from labkit.units import printed, printed_range


def cases():
    """Return the cases of the estimate: name to conditions, most modest first.

    Examples
    --------
    >>> list(cases())
    ['plain', 'donor', 'donor and platinum']
    """
    return {found["name"]: found["conditions"] for found in table("quantum_yields")}


def cases_in_short():
    """Return the cases of the estimate: name to a few words, for a list or beside a bar.

    Examples
    --------
    >>> cases_in_short()["plain"]
    'Powder and water only'
    """
    return {found["name"]: found["short"] for found in table("quantum_yields")}


def case_evidence(case):
    """Return the citation of what has been published about a case.

    Raises
    ------
    ChoiceProblem
        If there is no such case.

    Examples
    --------
    >>> case_evidence("plain")[:37]
    'G. Zhang et al., Chem. Sci. 7 (2016),'
    """
    return citation(row("quantum_yields", chosen(case, cases(), "case"))["evidence"].split()[0])


def printed_hydrogen(span, unit=None):
    """Return a Range of hydrogen in words, which say so where it is almost nothing.

    Examples
    --------
    >>> from labkit.units import Q, Range
    >>> printed_hydrogen(Range(Q(0, "mL"), Q(0, "mL"), Q(0.25, "mL")), "mL")
    'almost nothing, likely 0 and at most 0.25 mL'
    >>> printed_hydrogen(Range(Q(2, "mL"), Q(3, "mL"), Q(5, "mL")))
    '2.0 to 5.0 mL, likely 3.0 mL'
    """
    if not span.likely.magnitude:
        return f"almost nothing, likely 0 and at most {printed(span.high, 2, unit)}"
    return printed_range(span, unit=unit)
