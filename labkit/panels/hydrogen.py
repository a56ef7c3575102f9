"""The panel of workbook 07: hydrogen in a day, from the ceiling of the light down to about nothing."""

from functools import cache
from math import prod

from labkit.data import citation, guess, row
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.hydrogen import (
    cases,
    efficiency_ceiling,
    hydrogen_ceiling,
    hydrogen_from_solar_cells,
    hydrogen_volume,
)
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.hydrogen import ROWS, day_decades, day_picture
from labkit.units import Q, Range, nominal, printed, printed_range

_LIMITS = (  # argument, unit, least, most, what to say
    ("area", "m**2", 1e-6, 1e4, "The lit area has to lie between 1 mm² and 10 000 m²."),
    ("hours", "h", 0, 24, "A day has 24 hours, and most days bring 2 to 7 hours of full sun."),
    ("temperature", "K", 274.15, 333.15, "The temperature of the gas has to lie between 1 and 60 °C."),
    ("pressure", "hPa", 300, 1200, "The air pressure has to lie between 300 and 1200 hPa, as a barometer shows it."),
)


@cache
def _light(gap):
    """Return (mol of hydrogen per m² and hour, solar to hydrogen as text) that light above so many eV allows."""
    gap = Q(gap, "eV")
    return hydrogen_ceiling(gap).m_as("mol/m**2/h"), printed(efficiency_ceiling(gap), 2)


@cache
def _shares():
    """Return row to (low, likely, high) of the hydrogen, in shares of the ceiling."""
    spans = {case: guess("quantum_yields", case) for case in cases()}
    return {"ceiling": (1, 1, 1)} | {case: _ends(span, "dimensionless") for case, span in spans.items()}


@cache
def _cells():
    """Return (low, likely, high) of the hydrogen from solar cells, mol per m² and hour of full sun."""
    return _ends(hydrogen_from_solar_cells("1 m²", "1 h"), "mol")


def _ends(span, unit):
    return tuple(end.m_as(unit) for end in (span.low, span.likely, span.high))


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
    per_mole = hydrogen_volume(Q(1.0, "mol"), temperature, pressure, over_water).m_as("mL")
    rate, efficiency = _light(gap.m_as("eV"))
    light = list(zip(_ends(area, "m**2"), _ends(hours, "h")))
    volumes = _volumes(rate, light, per_mole)
    unit = day_decades(volumes).unit
    state = f"{'over water' if over_water else 'dry'}, {_said(temperature)}, {_said(pressure, 4)}"
    place = f"{_span_said(area)} of {cases()[case]}; gap {_said(gap)}, {_span_said(hours)} of full sun"
    cells = f"{printed(volumes['cells'].low, 2, unit)} to {printed(volumes['cells'].high, 2, unit)}"
    most = (f"The light itself would allow {printed_range(volumes['ceiling'], unit=unit)}; "
            f"solar cells of that area with an electrolyser give {cells}.")  # fmt: skip
    return Answer(
        f"{_amount(volumes[case], unit)} in a day ({state}). That is {place}. "
        f"The spread comes mostly from the {_driver(light, _shares()[case])}. {most}",
        svg=day_picture(volumes, case),
        table=(
            *_inputs(case),
            ("Ceiling", f"{efficiency} solar to hydrogen", "computed for the sunlight of ASTM G173-03"),
        ),
        caution=cautions("hydrogen"),
    )


def _volumes(rate, light, per_mole):
    """Return row to the Range of volumes, from plain numbers: quantities are too slow to follow a slider."""
    parts = {key: [rate * share for share in shares] for key, shares in _shares().items()} | {"cells": _cells()}
    return {
        key: Range(*(Q(per_mole * part * area * hours, "mL") for part, (area, hours) in zip(parts[key], light)))
        for key in ROWS
    }


def _said(quantity, figures=3):
    return printed(quantity, figures, quantity.units)


def _span_said(span):
    return printed_range(span, unit=span.likely.units)


def _amount(volume, unit):
    if not volume.likely.magnitude:
        return f"About nothing: likely 0, at most {printed(volume.high, 2, unit)} of hydrogen"
    return f"{printed_range(volume, unit=unit)} of hydrogen"


def _driver(light, share):
    """Return the input that spreads the product most, the others at their likely values."""
    areas, hours = zip(*light)
    inputs = {"lit area": areas, "hours of sun": hours, "quantum yield": share}

    def spread(name):
        low, _, high = inputs[name]
        return (high - low) * prod(likely for other, (_, likely, _) in inputs.items() if other != name)

    return max(inputs, key=spread)


@cache
def _inputs(case):
    """Return the rows of the table that do not follow the sliders."""
    found = row("quantum_yields", case)
    share, voltage = (
        guess("solar_cells", name) for name in ("share of light made into current", "voltage of one electrolysis cell")
    )
    return (
        ("What goes in", "Value", "Where it is from"),
        ("Quantum yield, apparent", printed_range(guess("quantum_yields", case)), f"{found['kind']}: {found['note']}"),
        ("What is published", "", citation(found["evidence"])),
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
                {
                    "nothing: no noble metal, no donor": "plain",
                    "a donor that is used up, no noble metal": "donor",
                    "platinum on the powder, and a donor": "donor and platinum",
                },
                "nothing: no noble metal, no donor",
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
