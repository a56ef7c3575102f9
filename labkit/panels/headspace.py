"""Workbook 03: hydrogen collected over water, with air over it: does it burn, and when is it time to stop?"""

from labkit.air.fire import LEAN, LEVELS, air_to_thin, energy_in_gas, headspace_verdict, stop_collecting
from labkit.chemistry.gas import water_vapour_pressure
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.plots.headspace import headspace_picture
from labkit.units import Q, nominal, number, printed, printed_down, printed_up, read, rounded_down, rounded_up

_LABELS = {
    "hydrogen_volume": "Hydrogen collected over water",
    "headspace_volume": "Air there before it came",
    "temperature": "Temperature of the gas",
}
_SIZES = (  # argument, unit, least, most, what to say
    ("hydrogen_volume", "mL", "0.001 mL", "1 m³", "The hydrogen has to be between 0.001 mL and 1 m³."),
    ("headspace_volume", "mL", "0.1 mL", "1 m³", "The air over the water has to be between 0.1 mL and 1 m³."),
    ("temperature", "K", "1 °C", "60 °C", "The temperature of the gas has to lie between 1 and 60 °C."),
)
_OXIDISERS = {"air, and the oxygen of the split water": "oxygen", "air alone": "air"}
_LEVELS = (
    ("flammable", "to the lower limit itself"),
    ("margin", "to a quarter of it, where alarms are set"),
    ("work", "to a tenth of it, for fire only"),
)
_ATMOSPHERE = Q(101.325, "kPa")


def headspace_answer(hydrogen_volume, headspace_volume, temperature, oxidiser):
    """Return the Answer for hydrogen in the air over water: its share, its energy, when to stop, air to thin it.

    Volumes and temperature are quantities without ±, ``oxidiser`` is ``"oxygen"`` or ``"air"``.  At
    1 atm.  The water vapour in the gas is counted as hydrogen, so that no figure comes out too small.
    """
    given = {"hydrogen_volume": hydrogen_volume, "headspace_volume": headspace_volume, "temperature": temperature}
    _refuse_odd(given)
    verdict = headspace_verdict(hydrogen_volume, headspace_volume, oxidiser)
    limits, stop = verdict.limits, stop_collecting(headspace_volume)
    energy = energy_in_gas(hydrogen_volume, temperature)
    air = {level: printed_up(air_to_thin(hydrogen_volume, level)) for level, _ in _LEVELS}
    ends = number(verdict.low, "percent"), number(verdict.high, "percent")
    share, burns = _span(*ends), f"{limits.lower.magnitude:g} to {limits.upper.magnitude:g} %"
    passed = hydrogen_volume > stop
    when = f"Stop collecting at {printed_down(stop)}"
    if passed:
        when = (f"It was time to stop at {printed_down(stop)}: stop now, and let the gas out in the open, away from anything "
                "that lights it")  # fmt: skip
    sentence = (
        f"{printed(hydrogen_volume)} of hydrogen with {printed(headspace_volume)} of air are {share} hydrogen, and {burns} "
        f"burns in {_with(oxidiser)}: {_level_words(verdict)}. If it burned it would set free up to {printed_up(energy)}. {when}. It "
        f"takes {air['margin']} of air in all to thin it to a quarter of the lower limit."
    )
    vapour = water_vapour_pressure(temperature) / _ATMOSPHERE
    rows = (
        ("What", "How much", "How it was found"),
        ("hydrogen in the gas", share, "a closed vessel up to one that lets gas out; the top holds more"),
        (f"burns in {_with(oxidiser)}", burns, f"the widest of {'; '.join(limits.published)}"),
        ("energy if it burns", printed_up(energy), "its heat of burning to liquid water, at most"),
        ("water vapour in the gas", printed_up(vapour.to("percent")), f"saturated at {printed(temperature)}; counted as hydrogen here"),
        ("stop collecting at", printed_down(stop), f"a quarter of the lower limit, {number(limits.margin, 'percent'):g} %; rounded down"),
        ("Air in all to thin it, well mixed:", "", ""),
        *((f"{number(limits.lower, 'percent') * LEVELS[level]:g} %", air[level], words) for level, words in _LEVELS),
    )  # fmt: skip
    alt = (f"Hydrogen in percent of the gas, {share}, as a bar on a logarithmic axis, beside the range that burns, "
           f"{burns}, and a line at {number(limits.margin, 'percent'):g} %, where to stop collecting.")  # fmt: skip
    svg = headspace_picture(ends, [number(end, "percent") for end in (limits.lower, limits.upper)],
                            number(limits.margin, "percent"), alt)  # fmt: skip
    return Answer(sentence, svg, rows, cautions("hydrogen"))


def _span(low, high):
    """Return ``7.1 to 7.7 %``: down to the low end, up to the high end."""
    if high < 0.1:
        return f"at most {printed_up(Q(high * 1e4, 'ppm'))}"
    ends = rounded_down(low, 3), rounded_up(high, 3)
    return f"{ends[0]} to {ends[1]} %" if ends[0] != ends[1] else f"{ends[0]} %"


def _with(oxidiser):
    return "air" if oxidiser == "air" else "oxygen"


def _level_words(verdict):
    return (
        f"{verdict.level} as an average, but richer at the top and where it comes in"
        if verdict.level == LEAN
        else verdict.level
    )


def _refuse_odd(given):
    for name, quantity in given.items():
        if nominal(quantity) is not quantity:
            raise RangeProblem(f"One plain value is needed for “{_LABELS[name]}”, without ±. Type the end that is worse.")  # fmt: skip
    for name, unit, least, most, words in _SIZES:
        low, high = (number(read(end), unit) for end in (least, most))
        if not low * (1 - 1e-9) <= number(given[name], unit) <= high * (1 + 1e-9):  # but for the last bits
            raise RangeProblem(words)


def headspace_panel():
    """Return the panel of workbook 03 about hydrogen over water."""
    starts = {
        "hydrogen_volume": ("28 mL", "5 mL"),
        "headspace_volume": ("360 mL", "500 mL"),
        "temperature": ("23 °C", "20 °C"),
    }
    controls = {
        **{name: TypedBox(_LABELS[name], starts[name][0], "[temperature]" if unit == "K" else "[volume] > 0",
                          hint=f"such as {starts[name][1]}", least=least, most=most) for name, unit, least, most, _ in _SIZES},
        "oxidiser": Choice("It can mix with", _OXIDISERS, next(iter(_OXIDISERS))),
    }  # fmt: skip
    return Panel("Would this hydrogen burn, and when is it time to stop?", controls, headspace_answer)
