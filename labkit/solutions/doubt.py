"""How far the strength of a solution may be off, and what brings most of it: balance, flask, salt or warmth."""

from functools import lru_cache

import numpy as np

from labkit.air import liquid_density, solvents
from labkit.chemistry.formula import molar_mass, split_hydrate
from labkit.data import guess, row, table
from labkit.errors import LabError, RangeProblem
from labkit.solutions.doping import BALANCE_STEP
from labkit.units import (
    DRAWS,
    Q,
    Uncertain,
    agrees,
    as_range,
    budget,
    nominal,
    number,
    read,
    rectangular,
    refuse_array,
    takes,
    triangular,
)

FLASKS = ("flask", "flask A", "flask B")
JAR_LINES = 0.05  # of the volume: how far the printed lines of a jar or beaker may be off (common practice)
DROP = Q(0.05, "mL")  # one drop too much or too little at the mark (common practice)
MOST_SWING = 20  # K: as far as all three liquids are known on both sides of 20 °C
SWING = "4 K"  # how far the room may be from the 20 °C that flasks are made for (quam_2012 takes as much)


def concentration_budget(mass, volume, *, formula=None, purity=1.0, water=0.0, filling=None, warmth=None,
                         coverage=0.95, count=DRAWS):  # fmt: skip
    """Return the Budget of mass × purity × (1 - water) / (volume + filling + warmth), over the molar mass with a formula.

    Parameters
    ----------
    mass, volume : Uncertain, Range, quantity or text
        What was weighed, and the volume of the vessel at its mark.
    formula : str, optional
        With it the result is in mol/L, without it in mg/L.
    purity, water : Uncertain, Range, quantity, text or number
        Shares: of the substance in what was weighed once it is dry, and of water that came on top.
    filling, warmth : Uncertain volumes around zero, optional
        How well the mark was met, and how far the liquid has grown or shrunk.
    coverage, count
        As for ``labkit.units.budget``.

    Raises
    ------
    LabError
        As ``labkit.units.budget`` and ``molar_mass``.

    References
    ----------
    quam_2012, example A1, is this sum: 1002.7 mg/L with a standard uncertainty of 0.9 mg/L.

    Examples
    --------
    >>> from labkit.units import normal, printed_with
    >>> found = concentration_budget(normal("100.28 mg", "0.05 mg"), triangular("100 mL", "0.1 mL"), filling=normal("0 mL", "0.02 mL"),
    ...                              purity=rectangular(Q(0.9999), Q(0.0001)), warmth=rectangular("0 mL", "0.084 mL"))
    >>> print(printed_with(found.value, found.uncertainty), found.driver)
    (1002.70 ± 0.84) mg/L mass
    """
    for name, share in (("purity", purity), ("water", water)):
        _refuse_over_all(share, name)
    over, unit = (molar_mass(formula), "mol/L") if formula else (Q(1.0), "mg/L")
    none = Q(0.0, "mL")

    def strength(mass, purity, water_in_the_salt, volume, filling, warmth):
        return (mass * purity * (1 - water_in_the_salt) / (over * (volume + filling + warmth))).to(unit)

    return budget(strength, coverage=coverage, count=count, mass=mass, purity=purity, water_in_the_salt=water, volume=volume,
                  filling=none if filling is None else filling, warmth=none if warmth is None else warmth)  # fmt: skip


@takes(mass="[mass] > 0", volume="[volume] > 0", balance="[mass] > 0", swing="[temperature change] >= 0")
def molarity_budget(mass, formula, volume, *, solvent="acetone", balance=BALANCE_STEP, vessel="jar", purity=None,
                    water=None, swing=SWING, coverage=0.95, count=DRAWS):  # fmt: skip
    """Return the Budget of the molarity of a solution that was weighed and filled up on a bench.

    Parameters
    ----------
    mass : quantity [mass] > 0
        What the balance shows, vessel taken off.
    formula : str
        Of what stands in the jar on the shelf, crystal water included.
    volume : quantity [volume] > 0
        Of the finished solution.
    solvent : str
        ``"acetone"``, ``"ethanol"`` or ``"water"``: how much it grows with warmth.
    balance : quantity [mass] > 0
        Its step.  Each of the two weighings may be off by one whole step either way, all alike (common practice),
        so that their difference is triangular.
    vessel : str or quantity
        ``"jar"`` (its lines may be off by 5 %, common practice), ``"flask"`` (class B), ``"flask A"``, or how far
        the volume may be off: ``"0.5 mL"``, ``"2 %"``.
    purity : percentage, Range or text, optional
        From the label, ``"99 %"`` or ``"97 to 100 %"``; a guess of salt_doubts.csv if left out.
    water : percentage, Range or text, optional
        Taken up from the air, as a share of what is weighed; a guess of salt_doubts.csv if left out.  ``"0 %"``
        for a jar that was just opened.
    swing : quantity [temperature change] >= 0
        How far the solution may be from 20 °C when it is filled up.

    Raises
    ------
    LabError
        If one of them is not what it should be, a flask has no such size, or the solvent is not known.

    Notes
    -----
    The value itself has purity and water in it, so it lies below ``molarity`` of what the balance shows.  Glass
    grows a hundred times less than the solvent and is left out.

    References
    ----------
    jcgm_100_2008, quam_2012; lemmon_2006, schroeder_2014 and iapws_95 for the growth of the liquid; flasks.csv and
    salt_doubts.csv, mostly from memory.

    Examples
    --------
    >>> found = molarity_budget("1.24 g", "ZnCl2", "100 mL", solvent="ethanol", vessel="flask", count=0)
    >>> print(found.driver, f"{found.parts[0].share:.0%}")
    water in the salt 74%
    """
    refuse_array("molarity_budget", mass=mass, volume=volume, balance=balance, swing=swing)
    mass, volume = nominal(mass), nominal(volume)
    weighed = triangular(mass, 2 * nominal(balance))
    grown = number(volume, "mL") * _growth(solvent, number(swing, "delta_degC"))
    vessel, filling = _vessel(vessel, volume)
    return concentration_budget(
        weighed,
        vessel,
        formula=formula,
        purity=_share(purity, "purity", "purity"),
        water=_share(water, "water", _water_row(formula)),
        filling=filling,
        warmth=rectangular(Q(0.0, "mL"), Q(grown, "mL")),
        coverage=coverage,
        count=count,
    )


def _share(given, name, row_name):
    """Return a share typed by the maker, or the guess that stands for it."""
    if given is None:
        return guess("salt_doubts", row_name).to("dimensionless")
    if isinstance(given, Uncertain):
        return given  # concentration_budget looks at its size
    span = as_range(given, "[] >= 0", name)
    if any(end.units == Q(1).units and end.magnitude > 0 for end in span.ends):
        raise RangeProblem(f"molarity_budget() needs ‘{name}’ in percent. Type for instance {name}='98 %'.")
    if span.high > Q(100, "percent"):
        raise RangeProblem(f"‘{name}’ can be 100 % at most.")
    return span.to("dimensionless")


def _refuse_over_all(share, name):
    """Raise RangeProblem if a share is below nothing or more than all: 98 typed for 98 % would be a hundredfold."""
    span = as_range(share.value if isinstance(share, Uncertain) else share, "[] >= 0", name)
    if number(span.high, "dimensionless") > 1 + 1e-9:
        raise RangeProblem(f"‘{name}’ is a share from 0 to 100 %. Type for instance {name}='98 %'.")


def _water_row(formula):
    dry, waters = split_hydrate(formula)
    name = f"water in {dry}·{waters}H2O" if waters else f"water in {dry}"
    return name if any(found["name"] == name for found in table("salt_doubts")) else "water in another salt"


def _vessel(vessel, volume):
    """Return the volume as Uncertain, and how well its mark is met (None where the lines are coarser than a drop)."""
    if vessel == "jar":
        return rectangular(volume, volume * JAR_LINES), None
    if vessel in FLASKS:
        size = f"{number(volume, 'mL'):g} mL"
        known = [found["name"] for found in table("flasks")]
        if size not in known:
            raise RangeProblem(
                f"There is no volumetric flask of {size}. Type one of {', '.join(known)}, or vessel='jar'."
            )
        off = Q(float(row("flasks", size)["value"]) * (1 if vessel == "flask A" else 2), "mL")
        return triangular(volume, off), rectangular(Q(0.0, "mL"), DROP)
    return rectangular(volume, _typed_tolerance(vessel, volume)), None


def _typed_tolerance(vessel, volume):
    """Return how far a volume may be off: typed as a volume or as a share of it."""
    try:
        off = nominal(read(vessel) if isinstance(vessel, str) else vessel)
        share = agrees(off, "[]")
    except (LabError, AttributeError):
        share = None
    if share is None or not (share or agrees(off, "[volume]")):
        raise RangeProblem(
            "A vessel is 'jar', 'flask', 'flask A' or how far its volume may be off, such as '0.5 mL' or '2 %'."
        )
    refuse_array("molarity_budget", vessel=off)
    if share and off.units == Q(1).units and off.magnitude:
        raise RangeProblem("molarity_budget() needs a share of the volume in percent. Type for instance vessel='2 %'.")
    off = (volume * off.to("dimensionless") if share else off).to("mL")
    if not 0 <= off < volume:
        raise RangeProblem("A volume can't be off by more than all of it. Type for instance vessel='0.5 mL'.")
    return off


@lru_cache(64)
def _growth(solvent, kelvin):
    """Return by what share of its volume a liquid grows over ``kelvin`` above 20 °C, half the way from as far below."""
    if kelvin > MOST_SWING:
        raise RangeProblem(
            f"The growth of a solvent is known here up to {MOST_SWING} K from 20 °C. Type for instance swing='4 K'."
        )
    cold, hot = (_density(solvent, 20 + way * kelvin) for way in (-1, 1))
    return (cold - hot) / 2 / _density(solvent, 20)


def _density(solvent, celsius):
    if solvent == "water":
        return _density_of_water(celsius)
    if solvent not in solvents():
        raise RangeProblem(
            f"The growth of {solvent} with warmth is not known here. Type one of {', '.join(solvents())}, water."
        )
    return number(liquid_density(solvent, Q(float(celsius), "degC")), "g/mL")


def _density_of_water(celsius):
    """Return the density of water in g/mL between the rows of water_density.csv, by the polynomial through all of them."""
    rows = table("water_density")
    places, sizes = ([float(found[part]) for found in rows] for part in ("celsius", "value"))
    if not places[0] <= celsius <= places[-1]:
        raise RangeProblem(f"The density of water is known here from {places[0]:g} to {places[-1]:g} °C.")
    return float(np.polyval(np.polyfit(places, sizes, len(places) - 1), celsius)) / 1000
