"""The panel of the whole chain: from sunlight, link by link, to millilitres at the bench."""

from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.hydrogen import beside, cases, cases_in_short, hydrogen_chain, link_text
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.plots.chain import chain_picture
from labkit.units import Range, nominal, printed, printed_range

ALL, LOAD = "all above the gap", "what the load below takes up"
DRAWN = 10_000  # enough for the two figures that are shown, and quick enough to follow a box
_LIMITS = (  # argument, unit, least, most, what to say
    ("gap", "eV", 1.23, 4.42, "The gap has to lie between 1.23 eV, the least that can split water, and 4.42 eV."),
    ("area", "m**2", 1e-6, 1e4, "The lit area has to lie between 1 mm² and 10 000 m²."),
    ("hours", "h", 1e-6, 8784, "A year has 8784 hours at most, and most days bring 2 to 7 hours of full sun."),
    ("load", "g/L", 1e-4, 1000, "The powder in the water has to lie between 0.1 mg/L and 1 kg/L."),
    ("depth", "m", 1e-5, 10, "The depth of the water has to lie between 0.01 mm and 10 m."),
    ("temperature", "K", 274.15, 333.15, "The temperature of the gas has to lie between 1 and 60 °C."),
    ("pressure", "hPa", 300, 1200, "The air pressure has to lie between 300 and 1200 hPa, as a barometer shows it."),
)


def chain_answer(gap, area, hours, case, counted, load, depth, temperature, pressure):
    """Return the Answer of the panel.

    Parameters
    ----------
    gap, area, hours : Range of [energy], [area], [time]
        Band gap, lit area, and hours of full sun.
    case : str
        One of ``labkit.hydrogen.cases()``.
    counted : bool
        True if the load decides how much light is absorbed; else all above the gap is.
    load, depth : Range of [mass concentration], [length]
        Powder in the water, and how deep the light goes through it.
    temperature, pressure : quantity
        Of the gas, which stands over water.
    """
    temperature, pressure = nominal(temperature), nominal(pressure)
    _refuse_beyond_limits(gap=gap, area=area, hours=hours, temperature=temperature, pressure=pressure)
    layer = {}
    if counted:
        _refuse_beyond_limits(load=load, depth=depth)
        layer = {"load": load, "depth": depth}
    chain = hydrogen_chain(gap, area, hours, case, **layer, temperature=temperature, pressure=pressure, over_water=True)
    drawn = chain.spread(DRAWN)
    others, said = beside(chain), link_text(chain.volume)
    place = f"{_said(area)} of {cases()[case]}, gap {_said(gap, 3)}, {_said(hours)} of full sun"
    drives = f"The spread comes mostly from the {chain.volume.driver}. " if chain.volume.likely.magnitude else ""
    return Answer(
        f"{said[0].upper()}{said[1:]} of hydrogen ({chain.state}; {chain.kind}). That is {place}. "
        f"{drives}The light itself would allow {printed_range(chain.ceiling_volume)}.",
        svg=chain_picture(chain),
        table=(
            ("Link", "What is left", "Factor, and where it is from"),
            *((words, left, f"{factor}; {source}") for words, left, factor, source in chain.rows()),
            ("if each guess is as likely as it says", _drawn_text(drawn), f"{DRAWN} random draws"),
            ("share of the ceiling", link_text(others.share), "absorbed share times quantum yield"),
            (
                "solar cells and electrolysis there",
                link_text(others.cells),
                "ordinary cells feeding a plain electrolyser; figures from memory",
            ),
            ("water it would bring from 20 to 100 °C", link_text(others.water), "burnt, and no heat lost"),
            ("what to know", chain.evidence or "your own yield", " ".join(chain.notes)),
        ),
        caution=cautions("hydrogen"),
    )


def _drawn_text(drawn):
    if not drawn.median.magnitude:
        return f"half of the draws give nothing, and 97.5 of 100 less than {printed(drawn.high, 2)}"
    return f"95 of 100 draws between {printed(drawn.low, 2)} and {printed(drawn.high, 2)}, half below {printed(drawn.median, 2)}"


def _said(span, figures=2):
    return printed_range(span, figures, span.likely.units)


def _refuse_beyond_limits(**values):
    for name, unit, least, most, words in _LIMITS:
        if name in values:
            value = values[name]
            low, high = (value.low, value.high) if isinstance(value, Range) else (value, value)
            if not (least * (1 - 1e-9) <= low.m_as(unit) and high.m_as(unit) <= most * (1 + 1e-9)):
                raise RangeProblem(words)


def chain_panel():
    """Return the panel: what becomes of the light, link by link?"""
    controls = {
        "case": Choice(
            "What is in the water with the powder",
            {words: name for name, words in cases_in_short().items()},
            cases_in_short()["plain"],
        ),
        "gap": TypedBox("Gap", "2.70 to 2.88 eV, likely 2.75 eV", "[energy] > 0", ranged=True, hint="such as 2.7 eV, or a range", least="1.23 eV", most="4.42 eV"),
        "area": TypedBox("Lit area", "340 cm²", "[area] > 0", ranged=True, hint="such as 100 cm², or a range", least="1 mm²", most="10000 m²"),
        "hours": TypedBox("Hours of full sun", "3 to 6 h, likely 4.5 h", "[time] > 0", ranged=True, hint="of a day or a year, such as 4 h, or a range", most="8784 h"),
        "counted": Choice(
            "Light that is absorbed",
            {ALL: False, LOAD: True},
            ALL,
        ),
        "load": TypedBox("Powder in the water", "0.4 g/L", "[mass concentration] > 0", ranged=True, hint="such as 0.5 g/L, or a range", least="0.1 mg/L", most="1000 g/L"),
        "depth": TypedBox("Depth of the water", "3 cm", "[length] > 0", ranged=True, hint="such as 2 cm, or a range", least="0.01 mm", most="10 m"),
        "temperature": TypedBox("Temperature of the gas", "24 °C", "[temperature]", hint="such as 20 °C", least="1 °C", most="60 °C"),
        "pressure": TypedBox("Air pressure", "1013 hPa", "[pressure] > 0", hint="such as 985 hPa", least="300 hPa", most="1200 hPa"),
    }  # fmt: skip
    for name in ("load", "depth"):
        controls[name].used_with(controls["counted"], LOAD, switch=True)
    return Panel("What becomes of the light?", controls, chain_answer)
