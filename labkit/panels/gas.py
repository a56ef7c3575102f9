"""Workbook 08: a measured tube of gas, and whether the claim holds: the rate, what is no hydrogen in it, and the ceiling."""

from functools import lru_cache

from labkit.data.cautions import cautions
from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.hydrogen import cases, cases_in_short, gas_rate, gas_verdict, incident_photons, read_gas
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.panels.texts import FileBox, given_files
from labkit.plots.gas import gas_picture, gas_words
from labkit.units import Q, Range, certain

FOLDER = "data"
RUNS = {  # words for a run that comes with the workbook, and its file
    "a steady run (invented)": "invented_gas_clean.csv",
    "from the shade into the sun (invented)": "invented_gas_warming.csv",
    "a late start and an early end (invented)": "invented_gas_induction.csv",
    "lamp off, tube left closed (invented)": "invented_gas_leaking.csv",
}
DARK = "invented_gas_dark.csv"
# For a workbook that was moved without its data: a run and a blank in outline (invented).
OUTLINE = ("min;mL;°C;hPa (invented)\n0;0.36;21.2;1009\n30;0.52;21.2;1009\n60;0.67;21.2;1009\n90;0.83;21.2;1009\n120;0.98;21.2;1009\n"
           "150;1.14;21.2;1009\n180;1.29;21.2;1009\n210;1.45;21.2;1009\n240;1.60;21.2;1009\n270;1.76;21.2;1009\n")  # fmt: skip
OUTLINE_DARK = OUTLINE.splitlines()[0] + "".join(
    f"\n{30 * step};{0.24 + 0.006 * step:.2f};21.0;1011" for step in range(10)
)
EXAMPLE = "min;mL;°C\n0;0.10;21.0\n30;0.32;21.2\n60;0.55;21.1"
TIMES = {"as the table says": None, "minutes": "min", "hours": "h", "seconds": "s"}
NONE, TYPED, GIVEN = "none was run", "the rate typed below", "the run in the dark (invented)"
SUN, LAMP = "the sun, or a lamp like it", "a lamp of one colour"
OUTLINE_NAME = "an invented run in outline"
FOREIGN = " The invented run in the dark is no blank of yours, so none was taken off: type the rate of your own."
_LIMITS = (  # argument, unit, least, most, what to say
    ("headspace", "mL", 0, 1e5, "The gas above the water has to be 0 mL to 100 L."),
    ("temperature", "degC", 1, 60, "The temperature of the gas has to lie between 1 and 60 °C."),
    ("pressure", "hPa", 300, 1200, "The air pressure has to lie between 300 and 1200 hPa, as a barometer shows it."),
    ("move", "delta_degC", 0, 30, "The gas can have warmed or cooled by 0 to 30 K here."),
    ("irradiance", "W/m**2", 1e-3, 1e6, "The light has to lie between 0.001 and 1 000 000 W/m²."),
    ("area", "cm**2", 1e-3, 1e6, "The lit area has to lie between 0.1 mm² and 100 m²."),
    ("wavelength", "nm", 200, 1000, "The wavelength has to lie between 200 and 1000 nm."),
    ("blank_rate", "mL/h", -1e4, 1e4, "The blank has to lie between -10 and 10 L/h."),
)  # fmt: skip
_HINTS = (
    ("time_unit=", "The times are plain numbers, and no heading says of what. Choose minutes, hours or seconds under “Times as plain numbers are in”."),
    ("column=", "More than one column may be the gas, or none. Write mL over the one that is, and what the others are."),
)  # fmt: skip
_SHOWN = 8  # rows left out that are listed; all are counted


def gas_answer(run, times, upside_down, headspace, move, temperature, pressure, blank, blank_rate, light, irradiance,
               wavelength, area, gap, case):  # fmt: skip
    """Return the Answer for a run.

    Parameters
    ----------
    run : (name, bytes or text)
    times : str or None
        As ``time_unit`` of ``read_gas``.
    upside_down : bool
        For a burette on its head.
    headspace, temperature, pressure, irradiance, area : Range
    move : quantity [temperature change]
        How far the gas may have warmed where no temperatures stand in the run.
    blank : str or bytes
        ``NONE``, ``TYPED``, or the blank run itself.
    blank_rate : Range [volumetric flow]
    light : str
        ``SUN`` or ``LAMP``.
    wavelength, gap : quantity
    case : str
        One of ``labkit.hydrogen.cases()``.
    """
    spans = {"headspace": headspace, "temperature": temperature, "pressure": pressure, "irradiance": irradiance,
             "area": area, "blank_rate": blank_rate, "move": certain(move), "wavelength": certain(wavelength)}  # fmt: skip
    _refuse_beyond_limits(spans)
    name, content = run
    # The run in the dark is of the tube of those that come with the workbook, and says nothing of another one.
    foreign = isinstance(blank, bytes) and name not in (*RUNS, OUTLINE_NAME)
    taken = blank_rate.m_as("mL/h") if blank == TYPED else blank if isinstance(blank, bytes) and not foreign else None
    key = (_raw(content), times, upside_down, headspace.m_as("mL"), spans["move"].m_as("delta_degC")[1], temperature.m_as("degC"),
           pressure.m_as("hPa"), taken)  # fmt: skip
    rate, svg = _known(name, *key)
    found = gas_verdict(rate, _photons(light, irradiance, wavelength, area, gap), case)
    sentence = f"{found.level.capitalize()}: {found.sentence}" + (FOREIGN if foreign else "")
    return Answer(
        sentence,
        svg,
        _table(name, _read(key[0], times, upside_down), found),
        "\n".join([cautions("hydrogen"), *(f"• {line}" for line in found.would_tell)]),
    )


def _known(name, *key):
    """Return (GasRate, picture); LabError in the words of the panel."""
    (rate, svg), problem = _rate(*key)
    if problem:
        raise ReadingProblem(f"{name}: {problem}")
    return rate, svg


@lru_cache(16)  # what changes light and powder alone does not fit the run again
def _rate(raw, times, upside_down, headspace, move, temperature, pressure, taken):
    try:
        blank = (
            _read(taken, None, False) if isinstance(taken, bytes) else None if taken is None else _range(taken, "mL/h")
        )
        rate = gas_rate(_read(raw, times, upside_down), blank, headspace=_range(headspace, "mL"), temperature=_range(temperature, "degC"),
                        pressure=_range(pressure, "hPa"), temperature_move=Q(move, "delta_degC"))  # fmt: skip
    except LabError as problem:
        return (None, None), next((words for sign, words in _HINTS if sign in str(problem)), str(problem))
    return (rate, gas_picture(rate, gas_words(rate))), ""


@lru_cache(8)
def _read(raw, times, upside_down):
    return read_gas(raw, time_unit=times, upside_down=upside_down)


def _range(ends, unit):
    return Range(*(Q(end, unit) for end in ends))


def _raw(content):
    """Return the bytes of a table; a text typed goes as bytes, so that it is never taken for the path of a file."""
    return content.encode("utf-8", "replace") if isinstance(content, str) else content


def _photons(light, irradiance, wavelength, area, gap):
    """Return the Range of photons that arrive per time; everything is a product."""
    colour = {"wavelength": wavelength} if light == LAMP else {"gap": gap}
    likely = incident_photons(Q(1.0, "cm**2"), Q(1.0, "W/m**2"), **colour)
    ends = [per_area * size for per_area, size in zip(irradiance.m_as("W/m**2"), area.m_as("cm**2"))]
    return Range(*(likely * end for end in ends))


def _refuse_beyond_limits(spans):
    for name, unit, least, most, words in _LIMITS:
        low, _, high = spans[name].m_as(unit)
        if not (least <= low * (1 + 1e-12) + 1e-12 and high * (1 - 1e-12) <= most):
            raise RangeProblem(words)


def _table(name, readings, found):
    rate = found.rate
    rows = [("What", "How much"), *_parted(found.rows()), ("How fast:", ""), *rate.rows(), (f"What was read from “{name}”:", ""),
            ("rows", f"{readings.rows} read, {len(readings)} kept, {readings.left_out} left out")]  # fmt: skip
    rows += [(f"line {line}", f"“{_short(text)}”: {reason}") for line, text, reason in readings.skipped[:_SHOWN]]
    if readings.left_out > _SHOWN:
        rows.append(("and", f"{readings.left_out - _SHOWN} more lines left out"))
    for note in readings.notes:
        what, _, words = note.partition(": ")
        rows.append(
            (
                what.lower(),
                words.replace("say upside_down=True", "choose so under “The burette stands”").replace(
                    " as you said", " as chosen"
                ),
            )
        )
    return tuple(rows) + tuple(("note", _reworded(remark)) for remark in found.remarks)


def _parted(rows):
    """Return the rows with what else the gas may be under a heading of its own."""
    others = [(what.removeprefix("or "), size) for what, size in rows if what.startswith("or ")]
    rows = [row for row in rows if not row[0].startswith("or ")]
    return rows + ([("What else a rate may be:", ""), *others] if others else [])


def _reworded(remark):
    return remark.replace(
        "give one, such as 8 to 10 mmol/h", "type one under “Light that arrives”, such as 900 to 1050 W/m²"
    )


def _short(text):
    return "".join(sign if sign.isprintable() else "□" for sign in text.replace("\t", " "))[:60]


def given_runs(folder=FOLDER):
    """Return ({words: bytes} of the runs that come with the workbook, bytes of the one in the dark), or outlines if they are not there."""
    runs, dark = given_files(folder, RUNS), given_files(folder, {DARK: DARK})
    if runs and dark:
        return runs, dark[DARK]
    return {OUTLINE_NAME: OUTLINE.encode()}, OUTLINE_DARK.encode()


def gas_panel(folder=FOLDER):
    """Return the panel of workbook 08 that judges a measured tube of gas.

    ``folder`` is that of the runs shown, from the folder of the workbook; an invented outline stands in if they are not there.
    """
    runs, dark = given_runs(folder)
    # Each control's limits are also the panel's, so that a slip is told beside the box.
    ends = {name: {"least": least, "most": most} for name, least, most in (
        ("headspace", "0 mL", "100 L"), ("temperature", "1 °C", "60 °C"), ("pressure", "300 hPa", "1200 hPa"))}  # fmt: skip
    controls = {
        "run": FileBox("Run", runs, EXAMPLE, columns="time, volume, temperature", reader="read_gas"),
        "times": Choice("Times as plain numbers are in", TIMES, "as the table says"),
        "upside_down": Choice("The burette stands", {"upright, its reading rises with gas": False, "on its head, its reading falls": True}, "upright, its reading rises with gas"),
        "headspace": TypedBox("Gas above the water at the start", "45 mL", "[volume] >= 0", ranged=True, hint="in flask, tubing and tube", **ends["headspace"]),
        "move": TypedBox("It may have warmed by", "1 K", "[temperature change] >= 0", name="the warming", hint="if no temperatures were read", most="30 K"),
        "temperature": TypedBox("Temperature of the gas", "21 °C", "[temperature]", ranged=True, hint="if none was read", **ends["temperature"]),
        "pressure": TypedBox("Air pressure", "1009 hPa", "[pressure] > 0", ranged=True, hint="if none was read", **ends["pressure"]),
        "blank": Choice("Blank", {GIVEN: dark, NONE: NONE, TYPED: TYPED}, GIVEN),
        "blank_rate": TypedBox("Rate of the blank", "0.02 ± 0.03 mL/h", "[volumetric flow]", ranged=True, hint="such as 0 ± 0.05 mL/h", least="-10 L/h", most="10 L/h"),
        "case": Choice("What is in the water with the powder", {words: name for name, words in cases_in_short().items()}, cases_in_short()[list(cases())[-1]]),
        "light": Choice("Light", {SUN: SUN, LAMP: LAMP}, SUN),
        "irradiance": TypedBox("Light that arrives", "1000 W/m²", "[irradiance] > 0", ranged=True, hint="measured where the powder is", least="0.001 W/m²", most="1000000 W/m²"),
        "wavelength": TypedBox("Colour of the lamp", "420 nm", "[length] > 0", hint="the wavelength of its peak", least="200 nm", most="1000 nm"),
        "area": TypedBox("Lit area", "60 cm²", "[area] > 0", ranged=True, hint="facing the light", least="0.1 mm²", most="100 m²"),
        "gap": UnitSlider("Gap", "eV", 2.0, 3.2, 0.05, 2.7),
    }  # fmt: skip
    controls["blank_rate"].used_with(controls["blank"], TYPED, switch=True)
    controls["wavelength"].used_with(controls["light"], LAMP, switch=True)
    return Panel("Does the claim hold?", controls, gas_answer)
