"""Workbook 08: how much dry gas stands in the tube, how far that may be off, and what would make it surer."""

from functools import lru_cache

from labkit.data.cautions import cautions
from labkit.hydrogen.dissolved import air_from_warming
from labkit.hydrogen.over_water import dry_gas
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.plots.budget import budget_picture, budget_words
from labkit.units import (
    Q,
    nominal,
    number,
    number_text,
    printed,
    printed_ends,
    printed_up,
    printed_with,
    rounded,
    unit_text,
)

COUNT = 10_000  # draws: the ends move by 3 % of a standard uncertainty, and a keystroke stays quick
HERE, REPORT = "read where the tube stands", "from a weather report, reduced to sea level"
_SHOWN = {
    "not known": "not known",
    "hydrogen alone": "hydrogen alone, as with a donor",
    "hydrogen and oxygen, 2 to 1": "hydrogen and oxygen, 2 to 1, as from water alone",
}
_WARMER = Q(1.0, "delta_degC")


def over_water_answer(volume, temperature, barometer, column, place, altitude, graduation, gas, water):
    """Return the Answer for a wet volume of gas over water.

    All but ``place``, True for a pressure reduced to sea level, and ``gas``, one of ``labkit.hydrogen.over_water.GASES``, are quantities; the
    first four may carry a ±.
    """
    found = dry_gas(volume, temperature, barometer, column, graduation=graduation, altitude=altitude if place else None,
                    gas=gas, water=water, count=COUNT)  # fmt: skip
    low, high = printed_ends(found.ends)
    driver = found.budget.parts[0]
    share = number(found.vapour / found.inside, "percent")
    sentence = (
        f"{printed(nominal(volume))} of wet gas are {printed_with(found.amount, found.budget.uncertainty)} of dry gas (standard "
        f"uncertainty), {low} to {high} for 95 %. Of the wet gas {rounded(share, 2)} % are water vapour. Most of the doubt comes "
        f"from the {driver.name}, {100 * driver.share:.0f} % of the variance. {_make_up(found)}"
    )
    if found.budget.agree is False:
        sentence += f" {found.budget.draws_sentence}"
    alt = budget_words(found.budget, "dry gas")
    return Answer(
        sentence,
        budget_picture(found.budget, alt),
        _rows(found, nominal(water), nominal(temperature)),
        cautions("hydrogen"),
    )


def _make_up(found):
    if found.hydrogen is None:
        return "A volume does not tell whether it is hydrogen."
    told = f"If it is {found.gas}, {printed(found.hydrogen)} of it are hydrogen."
    return told if found.gas == "hydrogen alone" else f"{told} That mixture is explosive as it stands."


def _rows(found, water, temperature):
    inside, dry = number(found.inside, "hPa"), number(found.dry, "hPa")
    rows = [
        ("What", "How much", "How it was found"),
        ("pressure in the tube", printed(found.inside, 4, "hPa"), "outside, less the pull of the column of water"),
        ("of it water vapour", printed(found.vapour, 3, "hPa"), "saturated at the temperature of the water"),
        ("dry gas", printed(found.dry, 4, "hPa"), "what is left"),
        ("with the vapour forgotten", f"{100 * (inside / dry - 1):.1f} % too much", "the commonest slip"),
    ]
    if number(found.pull, "Pa"):
        side = "too much" if number(found.pull, "Pa") > 0 else "too little"
        rows.append(("with the column forgotten", f"{100 * abs(number(found.pull, 'hPa')) / dry:.1f} % {side}", ""))
    if number(water, "mL"):
        rows.append(
            (
                "can be dissolved in the water",
                printed_up(found.dissolved),
                "hydrogen, once it has had time; not in the tube",
            )
        )
        rows.append(("air from the water, per kelvin warmer", printed_up(_air(number(water, "mL"), round(number(temperature, "degC"), 1))),
                     "at most; it counts like hydrogen"))  # fmt: skip
    rows.append(("What brings the doubt:", "", ""))
    for part, (name, _, size, share) in zip(found.budget.parts, found.budget.rows()):
        rows.append((name, size, f"{share} of the variance; known to ±\u00a0{_known(part.value)}"))
    return tuple(rows)


def _known(given):
    """Return a standard uncertainty as text; of a plain factor in percent."""
    if not given.value.dimensionality:
        return f"{number_text(100 * given.spread, 2)} %"
    return f"{number_text(given.spread, 2)} {unit_text(given.value.units).replace('°C', 'K')}"


@lru_cache(256)
def _air(millilitres, celsius):
    return air_from_warming(Q(millilitres, "mL"), Q(celsius, "degC"), Q(celsius, "degC") + _WARMER)


def over_water_panel():
    """Return the panel of workbook 08 about gas over water."""
    place = Choice("The pressure is", {HERE: False, REPORT: True}, HERE)
    altitude = TypedBox("Height above the sea", "240 m", "[length] >= 0", hint="such as 240 m", most="5 km")
    altitude.used_with(place, REPORT, switch=True)
    controls = {
        "volume": TypedBox("Gas in the tube", "18.6 mL", "[volume] > 0", hint="wet, such as 18.6 mL or 18.6 ± 0.2 mL", least="0.01 mL", most="10 L"),
        "temperature": TypedBox("Temperature of gas and water", "21 °C", "[temperature]", hint="such as 21 °C", least="1 °C", most="59 °C"),
        "barometer": TypedBox("Air pressure", "1009 hPa", "[pressure] > 0", hint="such as 1009 hPa", least="500 hPa", most="1100 hPa"),
        "place": place,
        "altitude": altitude,
        "column": TypedBox("Water in the tube above the level outside", "4 cm", "[length]", hint="−4 cm if below it", least="-200 cm", most="200 cm"),
        "graduation": TypedBox("From mark to mark of the tube", "0.1 mL", "[volume] > 0", hint="such as 0.1 mL", most="1 L"),
        "gas": Choice("The dry gas is", {shown: gas for gas, shown in _SHOWN.items()}, _SHOWN["not known"]),
        "water": TypedBox("Water it stands over", "250 mL", "[volume] >= 0", hint="such as 250 mL", most="100 L"),
    }  # fmt: skip
    return Panel("How much dry gas stands in the tube, and how sure is that?", controls, over_water_answer)
