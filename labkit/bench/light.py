"""The light of a batch and the hydrogen to expect from it: the day's sun, the honest estimate, and what puts it in proportion."""

from labkit.bench.line import Line
from labkit.hydrogen import beside, hydrogen_chain, link_text, printed_hydrogen
from labkit.units import Q, Range, as_range, printed_range

FEW_DRAWS = 10_000  # a panel asks at every keystroke; two figures of a 95 % interval need no more


def light_given(time):
    """Return (light for ``hydrogen_chain``, where it is from) of what a plan was given as its light.

    Parameters
    ----------
    time : SunDay, SunYear, Range, quantity or text
        A day or the mean day of a year from ``labkit.light``, hours of full sun, or irradiation such as ``"4.2 kWh/m²"``.

    Examples
    --------
    >>> light_given("3 to 5 h")
    ('3 to 5 h', 'as you gave it')
    """
    if hasattr(time, "full_sun"):
        day = "the mean day of its year, " if hasattr(time, "months") else ""
        return time.full_sun, f"{time.where}; {day}{time.origin}"
    return time, "as you gave it"


def hydrogen_lines(gap, area, time, case, powder, temperature, pressure):
    """Return the Lines of the light and of the hydrogen of a plan.

    Parameters
    ----------
    gap, area : Range, quantity or text
    time : as for ``light_given``
    case : str
        One of ``labkit.hydrogen.cases()``.
    powder : Range [mass]
        What lies under the light, for how much of it is absorbed.
    temperature, pressure : quantity
        Of the gas.

    Returns
    -------
    list of Line
        The light, what of it lies above the gap and is absorbed, the honest estimate and its draws, the ceiling,
        and solar cells of the same area.

    Raises
    ------
    LabError
        If the light, the area, the gap or the case can't be used.
    """
    light, origin = light_given(time)
    area = as_range(area, "[area] > 0", "area")
    # Its drivers are those of the powder, which the plan tells elsewhere.
    masses, areas = powder.m_as("g"), reversed(area.m_as("m**2"))
    load = Range(*(Q(mass / size, "g/m**2") for mass, size in zip(masses, areas)))
    chain = hydrogen_chain(gap, area, light, case, load=load, temperature=temperature, pressure=pressure)
    links, drawn = {link.name: link for link in chain.links}, chain.spread(FEW_DRAWS)
    molar_volume = links["molar volume"].factor.m_as("L/mol")[1]
    cells = Range(*(Q(moles * molar_volume, "L") for moles in beside(chain).cells.m_as("mol")))
    return [
        Line("Hydrogen", "hours of full sun", printed_range(chain.hours), chain.hours, f"{origin}; one brings 1 kWh/m²"),
        Line("Hydrogen", "photons above the gap", link_text(links["gap"].value), links["gap"].value, "on the lit area"),
        Line("Hydrogen", "absorbed share", link_text(links["absorbed share"].factor), links["absorbed share"].factor,
             f"by {printed_range(load, unit='g/m**2')} of powder, all of it in the light; how strongly it absorbs is a guess "
             "from memory"),
        Line("Hydrogen", "honest estimate", printed_hydrogen(chain.volume, "mL"), chain.volume,
             f"dry, {chain.conditions}; figures {chain.kind}. {chain.evidence} For doped powder in pure water "
             "we found no published rate. It follows the light, not the mass of powder."),
        Line("Hydrogen", "95 of 100 draws", printed_hydrogen(drawn.interval, "mL"), drawn.interval,
             "each guess drawn on its own, half below its likely value: not all bad luck falls on one day"),
        Line("Hydrogen", "ceiling of the light", printed_range(chain.ceiling_volume), chain.ceiling_volume,
             "if every photon above the gap gave one electron"),
        Line("Hydrogen", "solar cells instead", printed_range(cells), cells,
             "ordinary cells of the same area with an electrolyser in the same light; figures from memory"),
    ]  # fmt: skip
