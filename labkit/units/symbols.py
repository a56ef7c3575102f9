"""The units a learner may type, each with the name pint knows it by.

The list is closed on purpose: typed text never reaches a general parser, and a prefix that is
almost always a slip (a capital M before g: megagram for milligram) is not offered at all.
"""

_PREFIXED = {  # symbol: (pint name, prefixes offered)
    "g": ("gram", "k m µ n"),
    "m": ("meter", "k d c m µ n"),
    "L": ("liter", "d c m µ"),
    "l": ("liter", "d c m µ"),
    "mol": ("mole", "k m µ n"),
    "s": ("second", "m µ n"),
    "Pa": ("pascal", "k h M"),
    "bar": ("bar", "m"),
    "J": ("joule", "k m M µ"),
    "W": ("watt", "k m M µ"),
    "eV": ("electron_volt", "k m"),
    "Wh": ("watt_hour", "k m"),
    "V": ("volt", "k m"),
    "A": ("ampere", "m µ"),
    "C": ("coulomb", "m k"),
    "K": ("kelvin", "m"),
    "Hz": ("hertz", "k M G T"),
    "M": ("molar", "m µ"),
    "lm": ("lumen", ""),
    "lx": ("lux", "k"),
    "N": ("newton", "m k"),
}
_PREFIX_NAMES = {"k": "kilo", "h": "hecto", "d": "deci", "c": "centi", "m": "milli",
                 "µ": "micro", "n": "nano", "M": "mega", "G": "giga", "T": "tera"}  # fmt: skip

SYMBOLS = {
    "h": "hour", "hr": "hour", "hrs": "hour", "min": "minute", "mins": "minute", "d": "day", "yr": "year",
    "sec": "second", "secs": "second", "cc": "milliliter", "ACH": "1/hour",
    "atm": "atmosphere", "torr": "torr", "Torr": "torr", "mmHg": "mmHg", "t": "metric_ton",
    "oz": "ounce", "lb": "pound", "in": "inch", "ft": "foot", "lux": "lux",
    "°C": "degree_Celsius", "degC": "degree_Celsius", "°F": "degree_Fahrenheit",
    "degF": "degree_Fahrenheit", "delta_degC": "delta_degree_Celsius", "Δ°C": "delta_degree_Celsius",
    "%": "percent", "ppm": "ppm", "rpm": "revolutions_per_minute", "nM": "nanomolar", "nL": "nanoliter", "pmol": "picomole",
}  # fmt: skip
for _symbol, (_name, _prefixes) in _PREFIXED.items():
    SYMBOLS[_symbol] = _name
    for _prefix in _prefixes.split():
        SYMBOLS[_prefix + _symbol] = _PREFIX_NAMES[_prefix] + _name
        if _prefix == "µ":  # keyboards without µ
            SYMBOLS["u" + _symbol] = "micro" + _name

_WORDS = ("gram mole liter litre meter metre second minute hour day year pascal joule watt volt "
          "ampere kelvin bar atmosphere percent inch foot pound ounce lumen").split()  # fmt: skip
SYMBOLS |= {word: word for word in _WORDS} | {word + "s": word for word in _WORDS}
SYMBOLS |= {
    prefix + word + ending: prefix + word
    for prefix in ("kilo", "milli", "micro")
    for word in ("gram", "mole", "liter", "litre", "meter", "metre", "pascal", "joule", "watt")
    for ending in ("", "s")
}
SYMBOLS |= {"celsius": "degree_Celsius", "Celsius": "degree_Celsius",
            **{prefix + word + ending: f"{prefix}meter" for prefix in ("centi", "nano")
               for word in ("meter", "metre") for ending in ("", "s")}}  # fmt: skip

_BY_LOWER = {}
for _symbol in SYMBOLS:
    _BY_LOWER.setdefault(_symbol.lower(), []).append(_symbol)

# What is often typed and what it should have been, where letter case alone does not tell.
SLIPS = {
    "gr": "g", "gm": "g", "gms": "g", "grs": "g", "ccm": "mL",
    "Mg": "mg", "mG": "mg", "Kg": "kg", "KG": "kg",
    "°": "°C", "deg": "°C", "wt%": "%", "pct": "%", "F": "°F",
}  # fmt: skip


def nearest_symbol(token):
    """Return the unit a mistyped one was probably meant to be, or None."""
    if token in SLIPS:
        return SLIPS[token]
    same_letters = _BY_LOWER.get(token.lower(), [])
    meanings = {SYMBOLS[symbol] for symbol in same_letters}
    if len(meanings) != 1 or (token[0] == "m" and token[1:] in SYMBOLS):
        return None  # “mPa” is milli and no slip for MPa: no advice is better than a billionfold error
    return same_letters[0]
