"""Workbook 01: a mass of precursor, an assumed fraction of theory, a weighed yield."""

from labkit.chemistry.formula import subscripted
from labkit.chemistry.thermolysis import gases, gases_at_most, powder_from_precursor, precursors, route, verdict
from labkit.data.cautions import cautions, firing_steps
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.plots.masses import yield_picture
from labkit.units import nominal, number, printed, printed_range, printed_up

_REMARKS = {
    "HNCO": " (no safe figure here)",
    "HCN": " (overheated, or thiourea in air)",
    "CS2": " (poisonous, lights at 90 °C)",
}
# Seen beside what the equation has: isocyanic acid is a step on the way of urea (Schaber et al. 2004), and of
# thiourea in air Madarász & Pokol (2007) saw the others.
_COMES_TOO = {"urea": ("HNCO",), "thiourea": ("HCN", "COS", "SO2")}


def mass_balance_answer(precursor, precursor_mass, fraction, powder_mass):
    """Return the Answer for a firing: theory, range expected, verdict on the powder weighed, gases.

    ``precursor_mass`` and ``powder_mass`` are quantities [mass], ``fraction`` a Range.
    """
    way, bound = route(precursor), route(precursor, name="carbon bound")
    expected = powder_from_precursor(precursor_mass, precursor, fraction)
    theory = (precursor_mass * way.mass_yield).to("g")
    found = verdict(precursor_mass, powder_mass, precursor)
    sentence = (f"{printed(precursor_mass)} of {precursor} could give {printed(theory)} of powder at best, as melon; "
                f"expect {printed_range(expected)}. {found.sentence}")  # fmt: skip
    fired = nominal(precursor_mass)
    shares = [number(mass / fired, "percent") for mass in expected.ends]
    limits = [number(limit.mass_yield, "percent") for limit in (way, bound)]
    got = number(found.mass_yield, "percent")
    alt = (f"Powder in percent of the {precursor} fired: theory ends at {limits[0]:.1f} %, expected are {shares[0]:.2g} "
           f"to {shares[2]:.2g} %, weighed were {got:.3g} %.")  # fmt: skip
    return Answer(
        sentence,
        svg=yield_picture(*limits, shares, got, alt),
        table=gas_table(precursor_mass, precursor),
        caution=cautions(*firing_steps(precursor), "powder"),
    )


def gas_table(precursor_mass, precursor):
    """Return the rows of the gases: by the usual route, and at most; bounds are rounded up."""
    rows = [("Gas at 25 °C", "by the usual route", "at most, by its atoms")]
    by_route = {gas.formula: gas for gas in gases(precursor_mass, precursor)}
    at_most = {gas.formula: gas for gas in gases_at_most(precursor_mass, precursor)}
    for formula in dict.fromkeys([*by_route, *at_most]):
        usual = by_route.get(formula)
        most = at_most.get(formula)
        absent = "not in this equation" + (", but it comes" if formula in _COMES_TOO.get(precursor, ()) else "")
        rows.append((
            subscripted(formula) + _REMARKS.get(formula, ""),
            f"{printed(usual.mass)}, {printed(usual.volume)}" if usual else absent,
            f"{printed_up(most.mass)}, {printed_up(most.volume)}" if most else "not worked out here",
        ))  # fmt: skip
    return tuple(rows)


def mass_balance_panel():
    """Return the panel of workbook 01."""
    controls = {
        "precursor": Choice("Precursor", precursors(), "urea"),
        "precursor_mass": TypedBox("Mass fired", "72 g", "[mass] > 0"),
        "fraction": TypedBox("Fraction of theory you assume", "10 % to 35 %, likely 20 %", "[] > 0", ranged=True,
                             hint="a range, such as 10 % to 35 %", most="100 %"),
        "powder_mass": TypedBox("Powder weighed", "4.4 g", "[mass] > 0"),
    }  # fmt: skip
    return Panel("How much powder, and is it plausible?", controls, mass_balance_answer)
