"""The panel of workbook 07: hydrogen in a day, from the ceiling of the light down to almost nothing."""

from functools import cache, lru_cache

from labkit.data import guess, row
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.hydrogen import (
    CEILING,
    case_evidence,
    case_shares,
    cases,
    cases_in_short,
    efficiency_ceiling,
    hydrogen_from_solar_cells,
    hydrogen_numbers,
    hydrogen_volume,
    light_factors,
    printed_hydrogen,
)
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.hydrogen import ROWS, day_decades, day_picture
from labkit.units import Q, Range, certain, nominal, printed, printed_range

_LIMITS = (  # argument, unit, least, most, what to say
    ("area", "m**2", 1e-6, 1e4, "The lit area has to lie between 1 mm² and 10 000 m²."),
    ("hours", "h", 0, 24, "A day has 24 hours, and most days bring 2 to 7 hours of full sun."),
    ("temperature", "K", 274.15, 333.15, "The temperature of the gas has to lie between 1 and 60 °C."),
    ("pressure", "hPa", 300, 1200, "The air pressure has to lie between 300 and 1200 hPa, as a barometer shows it."),
)


_DRIVERS = {"area": "lit area", "time": "hours of sun"}  # as the boxes call them


@lru_cache(64)  # the places of the slider
def _efficiency(gap):
    """Return, as text, the most solar to hydrogen that light above so many eV allows."""
    return printed(efficiency_ceiling(Q(gap, "eV")), 2)


@cache
def _cells():
    """Return (low, likely, high) of the hydrogen from solar cells, µmol per m² and hour of full sun."""
    return hydrogen_from_solar_cells("1 m²", "1 h").m_as("µmol")


def hydrogen_answer(gap, area, hours, case, temperature, pressure, over_water):
    """Return the Answer of the panel.

    Parameters
    ----------
    gap : quantity [energy]
    area, hours : Range of [area], of [time]
        Lit area, and hours of full sun in the day.
    case : str
        One of ``labkit.hydrogen.cases()``.
    temperature, pressure : quantity
        Of the gas, and of the air around it.
    over_water : bool
        True to count the water vapour in the gas.
    """
    temperature, pressure = nominal(temperature), nominal(pressure)
    _refuse_beyond_limits(area=area, hours=hours, temperature=temperature, pressure=pressure)
    light = light_factors(certain(gap), area, hours)
    volumes = day_volumes(light, hydrogen_volume(Q(1.0, "µmol"), temperature, pressure, over_water).m_as("mL"))
    drivers = hydrogen_numbers(case_shares(case), light)[1]
    unit = day_decades(volumes).unit
    state = f"{'over water' if over_water else 'dry'}, {_said(temperature)}, {_said(pressure, 4)}"
    place = f"{_span_said(area)} of {cases()[case]}; gap {_said(gap)}, {_span_said(hours)} of full sun"
    cells = f"{printed(volumes['cells'].low, 2, unit)} to {printed(volumes['cells'].high, 2, unit)}"
    most = (f"The light itself would allow {printed_range(volumes['ceiling'], unit=unit)}; "
            f"solar cells of that area with an electrolyser give {cells}.")  # fmt: skip
    said = printed_hydrogen(volumes[case], unit)
    return Answer(
        f"{said[0].upper()}{said[1:]} of hydrogen in a day ({state}). That is {place}. "
        f"The spread comes mostly from the {_DRIVERS.get(drivers[0][0], drivers[0][0])}. {most}",
        svg=day_picture(volumes, case),
        table=(
            *_inputs(case),
            (
                "Ceiling",
                f"{_efficiency(gap.m_as('eV'))} solar to hydrogen",
                "computed for the sunlight of ASTM G173-03",
            ),
        ),
        caution=cautions("hydrogen"),
    )


def day_volumes(light, per_micromole):
    """Return row of the picture to the Range of volumes, in mL.

    ``light`` is from ``labkit.hydrogen.light_factors``, ``per_micromole`` the mL that 1 µmol takes.
    """
    numbers = {key: hydrogen_numbers(CEILING if key == "ceiling" else case_shares(key), light)[0]
               for key in ROWS if key != "cells"}  # fmt: skip
    numbers["cells"] = tuple(part * area * time for part, area, time in zip(_cells(), light["area"], light["time"]))
    return {key: Range(*(Q(per_micromole * micromoles, "mL") for micromoles in numbers[key])) for key in ROWS}


def _said(quantity, figures=3):
    return printed(quantity, figures, quantity.units)


def _span_said(span):
    return printed_range(span, unit=span.likely.units)


@cache
def _inputs(case):
    """Return the rows of the table that do not follow the sliders."""
    found = row("quantum_yields", case)
    share, voltage = (
        guess("solar_cells", name) for name in ("share of light made into current", "voltage of one electrolysis cell")
    )
    return (
        ("What goes in", "Value", "Where it is from"),
        (
            "Quantum yield, apparent",
            printed_range(guess("quantum_yields", case)),
            f"{found['note']} Published: {case_evidence(case)}",
        ),
        (
            "Solar cells",
            f"{printed_range(share)} of the light as power, {printed_range(voltage)} a cell",
            "from memory",
        ),
    )


def _refuse_beyond_limits(**values):
    for name, unit, least, most, words in _LIMITS:
        value = values[name]
        low, high = (value.low, value.high) if isinstance(value, Range) else (value, value)
        if not (least <= low.m_as(unit) and high.m_as(unit) <= most):
            raise RangeProblem(words)


def hydrogen_panel():
    """Return the panel: how much hydrogen in a day?"""
    return Panel(
        "How much hydrogen in a day of sun?",
        {
            "case": Choice(
                "What is in the water with the powder",
                {words: name for name, words in cases_in_short().items()},
                cases_in_short()["plain"],
            ),
            "gap": UnitSlider("Gap", "eV", 2.0, 3.2, 0.05, 2.7),
            "area": TypedBox("Lit area", "260 cm²", "[area] > 0", ranged=True, hint="such as 100 cm², or a range"),
            "hours": TypedBox("Hours of full sun", "4.5 h", "[time] > 0", ranged=True, hint="such as 3 h, or a range"),
            "temperature": TypedBox("Temperature of the gas", "24 °C", "[temperature]", hint="such as 20 °C"),
            "pressure": TypedBox("Air pressure", "1013 hPa", "[pressure] > 0", hint="such as 985 hPa"),
            "over_water": Choice(
                "The gas is measured",
                {"over water, with its vapour": True, "dry": False},
                "over water, with its vapour",
            ),
        },
        hydrogen_answer,
    )
