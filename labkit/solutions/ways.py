"""How each dopant of the trade goes in, and what the metal in a loading weighs and costs.

References
----------
dopant_ways.csv; definitions.
"""

import re

from labkit.data import table
from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.solutions.doping import refuse_bare_loading
from labkit.units import Q, nominal, number_text, read_range, refuse_array, takes

LONGEST_PRICE = 60  # characters
_PRICE = re.compile(r"(?P<amount>[^/]*?)\s*(?P<currency>[^\W\d_]{1,12}|[€$£¥₹])\s*(?:/|per)\s*(?P<unit>mg|g|kg)\s*")
_DASHED = re.compile(r"[0-9] ?[-–—] ?[0-9]")


def dopant_ways():
    """Return how every dopant of the trade goes in: its name to (way, what brings it, steps whose cautions belong to it).

    The way is ``"soak"`` (a salt from a solution, as ``dopants`` lists them), ``"precursor"`` (fired together
    with the urea) or ``"benchmark"`` (another powder, to compare with).

    Examples
    --------
    >>> way, brought_by, steps = dopant_ways()["sulfur"]
    >>> print(way, "|", brought_by, "|", *steps)
    precursor | thiourea | firing thiourea
    """
    return {
        found["name"]: (found["way"], found["brought_by"], tuple(found["steps"].split()))
        for found in table("dopant_ways")
    }


@takes(powder_mass="[mass] >= 0", loading="[] >= 0")
def metal_mass(powder_mass, loading):
    r"""Return the mass of metal in a powder of a loading, in mg.

    .. math:: m_\mathrm{metal} = \frac{w}{1 - w}\,m_\mathrm{powder}

    Parameters
    ----------
    powder_mass : quantity [mass] >= 0
        Powder without the metal.
    loading : percentage
        Mass of metal over mass of metal and powder, with its percent sign.

    Raises
    ------
    RangeProblem
        If the loading is 100 % or more, or a bare number.

    Examples
    --------
    Platinum on titanium dioxide, the powder that others compare with:

    >>> print(f"{metal_mass('3 g', '1 %'):.1f~P}")
    30.3 mg
    """
    refuse_array("metal_mass", powder_mass=powder_mass, loading=loading)
    refuse_bare_loading(loading, "metal_mass")
    share = loading.to("dimensionless")
    if not nominal(share).magnitude < 1:
        raise RangeProblem("metal_mass() needs a loading below 100 %. Type for instance loading='1 %'.")
    return (powder_mass * share / (1 - share)).to("mg")


@takes(mass="[mass] >= 0")
def metal_cost(mass, price):
    """Return what a mass of metal costs as text, from a price that is typed; labkit knows no market price.

    Parameters
    ----------
    mass : quantity [mass] >= 0
    price : text
        A number or a range, a currency and ``/g``, ``/mg`` or ``/kg``, as ``"33 €/g"`` or ``"30 to 36 €/g"``.
        Of the metal; a salt of it costs more per gram of metal.

    Raises
    ------
    ReadingProblem
        If the price can't be read; says what to type.

    Examples
    --------
    A price (invented) for 30.3 mg:

    >>> metal_cost("30.3 mg", "40 to 60 €/g")
    '1.2 to 1.8 €, likely 1.5 €'
    """
    refuse_array("metal_cost", mass=mass)
    advice = "Type a price such as 30 €/g or 30 to 36 €/g."
    if not isinstance(price, str) or len(price) > LONGEST_PRICE:
        raise ReadingProblem(f"A price is a text of at most {LONGEST_PRICE} characters. {advice}")
    if _DASHED.search(price):
        raise ReadingProblem(f"Write the word “to” between the ends of a price. {advice}")
    found = _PRICE.fullmatch(price.strip())
    try:
        amount = read_range(found["amount"], "[] >= 0", "the price") if found else None
    except LabError:
        amount = None
    if amount is None or any(end.units != Q(1).units or not end.magnitude >= 0 for end in amount.ends):
        raise ReadingProblem(f"This price can't be read. {advice}")
    grams = nominal(mass).m_as(found["unit"])
    low, likely, high = (grams * end.magnitude for end in amount.ends)
    if low == high:
        return f"{number_text(likely)} {found['currency']}"
    ends = [number_text(end, 2) for end in (low, high, likely)]
    return f"{ends[0]} to {ends[1]} {found['currency']}, likely {ends[2]} {found['currency']}"
