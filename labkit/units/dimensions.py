"""Dimensions in words, and whether a quantity has the one that is needed.

``[temperature]`` is a thermometer reading and ``[temperature change]`` a difference: labkit keeps
the two apart because mixing them up is the commonest slip in heat sums.
"""

from functools import cache

from labkit.units.registry import ureg

EXAMPLES = {  # dimension: (in words, an example to type)
    "[mass]": ("a mass", "2.5 g"),
    "[volume]": ("a volume", "50 mL"),
    "[length]": ("a length", "450 nm"),
    "[area]": ("an area", "100 cm²"),
    "[time]": ("a time", "3 h"),
    "[amount]": ("an amount of substance", "0.1 mol"),
    "[concentration]": ("a concentration", "0.1 mol/L"),
    "[molar mass]": ("a molar mass", "60.06 g/mol"),
    "[temperature]": ("a thermometer reading", "20 °C"),
    "[temperature change]": ("a temperature change", "20 K"),
    "[pressure]": ("a pressure", "1013 hPa"),
    "[energy]": ("an energy", "2.7 eV"),
    "[molar energy]": ("an energy per mole", "260 kJ/mol"),
    "[frequency]": ("a frequency", "600 THz"),
    "[rate]": ("a number per time", "0.8 /h"),
    "[temperature rate]": ("a temperature change per time", "5 °C/min"),
    "[velocity]": ("a velocity", "0.5 m/s"),
    "[volumetric flow]": ("a volume per time", "900 m³/h"),
    "[voltage]": ("a voltage", "22.8 mV"),
    "[power]": ("a power", "5 W"),
    "[irradiance]": ("a power per area", "1000 W/m²"),
    "[current]": ("an electric current", "0.5 A"),
    "[charge]": ("an electric charge", "100 C"),
    "[amount rate]": ("an amount per time", "10 µmol/h"),
    "[amount rate per mass]": ("an amount per time and mass", "100 µmol/h/g"),
    "[amount flux]": ("an amount per area and time", "400 µmol/m²/s"),
    "[mass concentration]": ("a mass per volume", "20 g/L"),
    "[volume per mass]": ("a volume per mass", "24 L/g"),
    "[]": ("a plain number or a percentage", "5 %"),
}
_PINT = {
    "[volume]": "[length]**3",
    "[area]": "[length]**2",
    "[amount]": "[substance]",
    "[concentration]": "[substance]/[length]**3",
    "[molar mass]": "[mass]/[substance]",
    "[temperature change]": "[temperature]",
    "[pressure]": "[mass]/[length]/[time]**2",
    "[energy]": "[mass]*[length]**2/[time]**2",
    "[molar energy]": "[mass]*[length]**2/[time]**2/[substance]",
    "[frequency]": "1/[time]",
    "[rate]": "1/[time]",
    "[temperature rate]": "[temperature]/[time]",
    "[velocity]": "[length]/[time]",
    "[volumetric flow]": "[length]**3/[time]",
    "[voltage]": "[mass]*[length]**2/[time]**3/[current]",
    "[power]": "[mass]*[length]**2/[time]**3",
    "[irradiance]": "[mass]/[time]**3",
    "[charge]": "[current]*[time]",
    "[amount rate]": "[substance]/[time]",
    "[amount rate per mass]": "[substance]/[time]/[mass]",
    "[amount flux]": "[substance]/[length]**2/[time]",
    "[mass concentration]": "[mass]/[length]**3",
    "[volume per mass]": "[length]**3/[mass]",
    "[]": "[]",
}


@cache
def _dimensionality(need):
    return ureg.get_dimensionality(_PINT.get(need, need)) if need != "[]" else ureg.dimensionless.dimensionality


@cache
def split_need(need):
    """Return the dimension and the sign that a ``need`` asks for; the sign is ``""``, ``">"`` or ``">="``.

    >>> split_need("[mass] > 0"), split_need("[] >= 0"), split_need("[time]")
    (('[mass]', '>'), ('[]', '>='), ('[time]', ''))
    """
    dimension, _, limit = need.partition(" >")
    return dimension, "" if not limit else ">=" if limit.startswith("=") else ">"


def is_reading(quantity):
    """Return True for a thermometer reading on an offset scale (°C or °F)."""
    return str(quantity.units) in ("degree_Celsius", "degree_Fahrenheit")


def is_change(quantity):
    """Return True for a temperature difference written as such (``delta_degC``)."""
    return str(quantity.units) in ("delta_degree_Celsius", "delta_degree_Fahrenheit")


def agrees(quantity, need):
    """Return True if a quantity has the dimension ``need`` (one of ``EXAMPLES``; a sign is not looked at)."""
    need, _ = split_need(need)
    if quantity.dimensionality != _dimensionality(need):
        return False
    if need == "[temperature]":
        return not is_change(quantity)
    return need != "[temperature change]" or not is_reading(quantity)


def in_words(quantity):
    """Return what a quantity is, in words: ``a volume``."""
    if is_reading(quantity):
        return EXAMPLES["[temperature]"][0]
    if is_change(quantity):
        return EXAMPLES["[temperature change]"][0]
    if not quantity.dimensionality:
        return "a number without a unit" if quantity.units == ureg.dimensionless else "a plain number or a percentage"
    if quantity.dimensionality == _dimensionality("[rate]"):  # light is counted in hertz, air changes per hour
        return EXAMPLES["[frequency]" if "hertz" in str(quantity.units) else "[rate]"][0]
    for need, (words, _) in EXAMPLES.items():
        if quantity.dimensionality == _dimensionality(need):
            return words
    return f"in {quantity.units:~P}, some other kind of quantity"
