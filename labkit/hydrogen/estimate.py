"""The honest estimate: how much hydrogen lit powder may give, beside the ceiling of its light."""

from dataclasses import dataclass
from functools import cache, lru_cache
from math import prod

from labkit.data import citation, guess, row, table
from labkit.errors import chosen
from labkit.hydrogen.amount import hydrogen_ceiling, refuse_narrow
from labkit.light import irradiance_total
from labkit.units import Q, Range, as_range, number, printed, printed_range, wrapped

CEILING = (1.0, 1.0, 1.0)  # the quantum yield that nothing can beat


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
    >>> printed_hydrogen(Range(Q(0, "mL"), Q(0, "mL"), Q(0.25, "mL")), "mL")
    'almost nothing, likely 0 and at most 0.25 mL'
    >>> printed_hydrogen(Range(Q(2, "mL"), Q(3, "mL"), Q(5, "mL")))
    '2.0 to 5.0 mL, likely 3.0 mL'
    """
    if not span.likely.magnitude:
        return f"almost nothing, likely 0 and at most {printed(span.high, 2, unit)}"
    return printed_range(span, unit=unit)


@dataclass(frozen=True)
class Estimate:
    """Hydrogen to expect: the range, the ceiling, the case with its conditions, and the evidence.

    ``kind`` says where the ends of the range come from, such as ``from memory``; ``evidence`` is
    what has been published about the case.
    """

    case: str
    conditions: str
    hydrogen: Range
    ceiling: Range
    quantum_yield: Range
    kind: str
    evidence: str

    @property
    def sentence(self):
        """The estimate in words, with what drives it."""
        conditions = f"With {self.conditions}"
        amount = f"{printed_hydrogen(self.hydrogen)} of hydrogen ({self.kind})"
        most = f"the ceiling of the light is {printed_range(self.ceiling)}"
        spread = f"The spread comes mostly from the {self.hydrogen.driver}. " if self.hydrogen.likely.magnitude else ""
        return f"{conditions}: {amount}; {most}. {spread}{self.evidence}"

    def __str__(self):
        return wrapped(self.sentence)


def hydrogen_estimate(gap, area, time, case="plain", irradiance=None):
    """Return the honest Estimate of hydrogen from an area of lit powder.

    Parameters
    ----------
    gap : quantity, text or Range [energy]
        Band gap of the powder.
    area : quantity, text or Range [area]
        Lit area facing the light.
    time : quantity, text or Range [time]
        Time in that light: with the default spectrum, hours of full sun.
    case : str
        One of ``cases()``.  The default has neither noble metal nor donor, and its answer is:
        almost nothing (zhang_2016).
    irradiance : quantity, text or Range [irradiance], optional
        Scales AM1.5G; 1000.37 W/m² if left out.

    Returns
    -------
    Estimate
        One value of each input at a time, or a range of it; no arrays.

    Raises
    ------
    ChoiceProblem
        If there is no such case.
    UnitProblem, ReadingProblem, RangeProblem
        If an input is of another kind, or a gap is under 1.23 eV.

    Notes
    -----
    An apparent quantum yield measured at one wavelength is applied to all photons above the gap,
    which flatters the result.  The ceiling uses a quantum yield of 1.

    References
    ----------
    zhang_2016, materials_advances_2021, li_2019, wang_2009; astm_g173

    Examples
    --------
    >>> found = hydrogen_estimate("2.75 eV", "120 cm²", "4 h", "donor")
    >>> print(found.hydrogen, "| ceiling", found.ceiling)
    0 to 32 µmol, likely 3.2 µmol | ceiling 31.6 mmol
    """
    found = row("quantum_yields", chosen(case, cases(), "case"))
    gap = as_range(gap, "[energy] > 0", "gap")
    refuse_narrow(gap.low, "hydrogen_estimate")
    light = light_factors(
        gap,
        as_range(area, "[area] > 0", "area"),
        as_range(time, "[time] > 0", "time"),
        None if irradiance is None else as_range(irradiance, "[irradiance] > 0", "irradiance"),
    )
    return Estimate(
        case=case,
        conditions=found["conditions"],
        hydrogen=_range(*hydrogen_numbers(case_shares(case), light)),
        ceiling=_range(*hydrogen_numbers(CEILING, light)),
        quantum_yield=guess("quantum_yields", case),
        kind=found["kind"],
        evidence=f"Published: {case_evidence(case)}",
    )


def light_factors(gap, area, time, irradiance=None):
    """Return what the hydrogen of the light is a product of: name to (low, likely, high) as plain numbers.

    All arguments are Ranges.  The numbers stand for µmol of hydrogen per m² and hour, m², h, and times
    standard sunlight; the widest gap gives the lowest.  Plain, because a slider has to be followed.

    Raises
    ------
    RangeProblem
        If the gap is under 1.23 eV, or its edge is not in the spectrum.

    Examples
    --------
    >>> from labkit.units import read_range
    >>> factors = light_factors(*map(read_range, ("2.7 eV", "1 to 3 m²", "2 h"), ("[energy]", "[area]", "[time]")))
    >>> [round(rate) for rate in factors["gap"]], factors["area"]
    ([745576, 745576, 745576], (1.0, 2.0, 3.0))
    """
    factors = {
        "gap": tuple(_rate_above(size) for size in reversed(gap.m_as("eV"))),
        "area": area.m_as("m**2"),
        "time": time.m_as("h"),
    }
    if irradiance is not None:
        factors["irradiance"] = tuple(size / _whole_sun() for size in irradiance.m_as("W/m**2"))
    return factors


@cache
def case_shares(case):
    """Return (low, likely, high) of the quantum yield of a case, as shares.

    Examples
    --------
    >>> [f"{share:.4f}" for share in case_shares("donor")]
    ['0.0000', '0.0001', '0.0010']
    """
    return guess("quantum_yields", case).m_as("dimensionless")


def hydrogen_numbers(shares, light):
    """Return ((low, likely, high), drivers) of the hydrogen in µmol, as plain numbers.

    ``shares`` are the quantum yield, as from ``case_shares``, and ``light`` is from ``light_factors``.
    Everything is a product, so its lowest is that of the lowest factors.  Each driver is (name, low,
    high) with the other factors at their likely values, widest first, as in ``range_from``.

    Examples
    --------
    >>> light = {"gap": (700.0, 720.0, 750.0), "area": (1.0, 2.0, 3.0), "time": (1.0, 1.0, 1.0)}
    >>> hydrogen_numbers(CEILING, light)
    ((700.0, 1440.0, 2250.0), (('area', 720.0, 2160.0), ('gap', 1400.0, 1500.0)))
    """
    factors = {"quantum yield": shares, **light}
    drivers = []
    for name, (low, _, high) in factors.items():
        others = prod(likely for other, (_, likely, _) in factors.items() if other != name)
        drivers.append((name, low * others, high * others))
    drivers.sort(key=lambda driver: driver[1] - driver[2])
    return tuple(map(prod, zip(*factors.values()))), tuple(driver for driver in drivers if driver[2] > driver[1])


def _range(ends, drivers):
    drivers = tuple((name, Q(low, "µmol"), Q(high, "µmol")) for name, low, high in drivers)
    return Range(*(Q(end, "µmol") for end in ends), drivers=drivers)


@lru_cache(64)  # the places of a slider
def _rate_above(gap):
    return number(hydrogen_ceiling(Q(gap, "eV")), "µmol/m**2/h")


@cache
def _whole_sun():
    return number(irradiance_total(), "W/m**2")
