"""Read what a learner types: ``2.5 g``, ``1,5 mol/L``, ``20 °C``, ``2 ± 0.1 g``, ``1 h 15 min``.

Nothing typed is ever evaluated, and no pattern here can be made to run long: text over
``LONGEST`` characters is refused before it is looked at.
"""

import re
from functools import cache, lru_cache

from uncertainties import ufloat

from labkit.errors import ReadingProblem, UnitProblem
from labkit.units.dimensions import EXAMPLES, agrees, in_words, split_need
from labkit.units.parts import clock_advice, lengths_advice, time_in_parts
from labkit.units.registry import Q, spelled_unit, ureg
from labkit.units.symbols import SYMBOLS, nearest_symbol

LONGEST = 80
_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")
_TIDY = str.maketrans({"−": "-", "–": "-", "‐": "-", "‑": "-", "μ": "µ", "º": "°", "˚": "°",
                       "\u00a0": " ", "\u202f": " ", "\u2009": " ", "⋅": "·", "∙": "·",
                       "×": "x"})  # fmt: skip
_NUMBER = re.compile(r"[+-]?(?:[0-9][0-9., ]*|[.,][0-9]+)")
# A bare exponent needs its sign: “2 x 10-3” has only lost its superscript, “2 x 103” may be a sum.
_POWER = re.compile(
    r"(?:[eE]([+-]?[0-9]{1,3})(?![0-9])| ?[x·*] ?10(?: ?(?:\^|\*\*) ?([+-]?[0-9]{1,3})|([+-][0-9]{1,3}))(?![0-9]))"
)
_PLUS_MINUS = re.compile(r"±|\+/-|\+-")
_DEGREES = {  # dimension: (what it is called here, what a C alone was meant for)
    "[temperature]": ("a temperature", "°C"),
    "[temperature change]": ("a temperature change", "K"),
    "[temperature rate]": ("a temperature change per time", "°C"),
}
_FACTORS = {"[area]": 2, "[volume]": 3}  # how many lengths multiply to it
_NAMES = re.compile(r"[A-Za-zµ°Δ%_]+")
_UNIT = re.compile(r"([A-Za-zµ°Δ%_]+)(?: ?(?:\^|\*\*) ?([+-]?[0-9]{1,2})|([+-]?[0-9]{1,2}))?")


def read(text, need=None, name="value", example=None):
    """Return the quantity that a typed text stands for.

    Parameters
    ----------
    text : str
        A number, an optional ``± number``, and a unit.  A decimal comma, a Unicode minus,
        superscripts and ``×10⁻³`` are understood, and a time may have parts, ``1 h 15 min``.  No
        sums are worked out.
    need : str, optional
        The dimension wanted, such as ``"[mass]"``; see ``labkit.units.dimensions``.
    name : str
        What the text is for; used in the message when it cannot be read.
    example : str, optional
        What a message gives to type; the usual one of ``need`` if left out.

    Returns
    -------
    quantity
        The magnitude is a float, or an ``uncertainties`` number when ``±`` was typed
        (read as one standard uncertainty).

    Raises
    ------
    ReadingProblem
        Says what was needed, what was given and what to type.

    Examples
    --------
    >>> print(f"{read('2,5 g'):~P}", "|", f"{read('1.5×10⁻³ mol/L'):~P}", "|", f"{read('1 h 15 min'):~P}")
    2.5 g | 0.0015 mol/L | 75.0 min
    """
    try:
        known = _number_and_unit_of(text) if isinstance(text, str) and len(text) <= LONGEST else None
        value = _quantity(text) if known is None else Q(*known)
    except ReadingProblem as problem:
        told = _advice(text, need)
        raise ReadingProblem(told or f"{problem} {_wanted(need, name, example)}".strip()) from None
    if need is not None and not agrees(value, need):
        told = _hint(text, need) or f"{_shown(text)} is {in_words(value)}. {_wanted(need, name, example)}"
        raise ReadingProblem(told)
    return value


@lru_cache(maxsize=1024)
def _number_and_unit_of(text):
    """Return what makes up the quantity of a text, kept because defaults such as “25 °C” are read again and again.

    None for one with ``±``: two readings of the same text are two measurements, and not one and the same.
    """
    value = _quantity(text)
    return (value.magnitude, value.units) if isinstance(value.magnitude, float) else None


def _wanted(need, name, example=None):
    if need is None:
        return ""
    words, usual = EXAMPLES[split_need(need)[0]]
    return f"Needed for {name}: {words}; type for instance {example or usual}."


def _advice(text, need):
    """Return what to type instead of a clock’s “3:30” or of lengths with a cross between; empty for anything else."""
    if not isinstance(text, str) or len(text) > LONGEST:
        return ""
    dimension = split_need(need)[0] if need else ""
    told = ""
    if dimension in ("[time]", ""):
        told = clock_advice(_tidied(text))
    elif dimension in _FACTORS:
        told = lengths_advice(_tidied(text), _FACTORS[dimension])
    return f"{_shown(text)}: {told}" if told else ""


def _hint(text, need):
    """Return what to type for a C that was meant for degrees; empty for all else."""
    dimension, _ = split_need(need)
    if dimension not in _DEGREES:
        return ""
    words, sign = _DEGREES[dimension]
    meant = re.sub(r"(?<=[0-9]) ?C\b", f" {sign}", text.strip(" ."), count=1)
    try:
        fits = agrees(_quantity(meant), need)
    except ReadingProblem:
        return ""
    return f"For {words} type {_shown(meant)[1:-1]}. C alone means coulomb." if fits else ""


def _shown(text):
    short = text if len(text) <= 30 else text[:27] + "…"
    # Marks that cannot be seen could turn the message itself around or cut it short.
    return f"“{''.join(mark if mark.isprintable() else '□' for mark in short)}”"


def _quantity(text):
    if not isinstance(text, str):
        raise ReadingProblem(f"Text was needed, but this is a {type(text).__name__}.")
    if len(text) > LONGEST:
        raise ReadingProblem(
            f"{_shown(text)} is {len(text)} characters long; a number and a unit take under {LONGEST}."
        )
    tidy = _tidied(text)
    if not tidy:
        raise ReadingProblem("Nothing is typed yet.")
    if any(ch.isdigit() and not "0" <= ch <= "9" for ch in tidy):
        raise ReadingProblem(f"{_shown(text)}: please type digits as 0 to 9.")
    if "'" in tidy or "’" in tidy:  # thousands in one country, the decimal mark in another, feet in a third
        raise ReadingProblem(f"{_shown(text)}: an apostrophe can be read in several ways. Type 1250 or 1.25.")
    bracketed = re.fullmatch(r"\(([^()]*)\)(.*)", tidy)
    if bracketed and _PLUS_MINUS.search(bracketed[1]):
        tidy = bracketed[1] + " " + bracketed[2]
    parts = _PLUS_MINUS.split(tidy)
    if len(parts) > 2:
        raise ReadingProblem(f"{_shown(text)} has more than one ±.")
    value, unit, rest = _number_and_unit(parts[0], text, lone=len(parts) == 1)
    if len(parts) == 1:
        return Q(value, unit)
    spread, spread_unit, _ = _number_and_unit(parts[1], text, lone=True)
    return _with_uncertainty(value, unit, spread, spread_unit, text)


def _tidied(text):
    """Return text with the many signs for one thing made the same: minus, degree, dot and raised digits."""
    tidy = re.sub(r"([0-9A-Za-zµ°])([⁺⁻]?[⁰¹²³⁴-⁹]+)", lambda m: m[1] + "^" + m[2].translate(_SUPERSCRIPTS), text)
    tidy = tidy.translate(_TIDY).replace("℃", "°C").replace("℉", "°F").strip()
    tidy = re.sub(r"(?<=[0-9]) 1/(?=[A-Za-zµ°])", "/", tidy)  # “0.8 1/h”, as a unit library prints it
    tidy = re.sub(r"(?<=[0-9]) per (?=[A-Za-zµ])", "/", tidy)  # “0.8 per hour”
    tidy = re.sub(r"\b(cubic|square) ([A-Za-zµ]+)", lambda m: m[2] + ("^3" if m[1] == "cubic" else "^2"), tidy)
    tidy = re.sub(r"(?<=[0-9 ])deg(?:rees?)? ?([CF])\b", r"°\1", tidy)
    return re.sub(r"° +([CF])", r"°\1", tidy)


def unit_from_text(text):
    """Return the unit that a text names: ``mg``, ``mol/L``, ``J/(g·K)``, ``µmol h⁻¹``.

    Read from the same closed list as the units of typed quantities.  The spellings of the unit
    library, such as ``1/m**2/s`` and ``degree_Celsius``, are names and powers too and are understood.

    Raises
    ------
    UnitProblem
        If it is no such unit; says what was given and what to type.

    Examples
    --------
    >>> print(unit_from_text("mol L⁻¹"), "|", unit_from_text("1/m**2/s"))
    mole / liter | 1 / meter ** 2 / second
    """
    if not isinstance(text, str):
        raise UnitProblem(f"A unit is text such as mg or mol/L, but this is of type {type(text).__name__}.")
    if len(text) > LONGEST:
        raise UnitProblem(f"{_shown(text)} is too long for a unit. Type for instance mg or mol/L.")
    return _unit_from_text(text)


@lru_cache(maxsize=1024)
def _unit_from_text(text):
    try:
        return _unit(_tidied(text), text)
    except ReadingProblem as problem:
        slip = any(name not in SYMBOLS and nearest_symbol(name) for name in _NAMES.findall(text))
        if not slip:  # “ML” is a megalitre to the library; a person who types it meant mL
            try:
                return spelled_unit(text.strip())
            except UnitProblem:
                pass
        why = str(problem).removeprefix(f"{_shown(text)}: ")
        if "number" in why or "sum" in why:  # written for quantities, of which a number is a part
            why = f"{_shown(text)} is more than a unit."
        raise UnitProblem(f"A unit was needed, such as mg, mL or mol/L. {why}") from None


def _with_uncertainty(value, unit, spread, spread_unit, text):
    if spread < 0:
        raise ReadingProblem(f"{_shown(text)}: the part after ± can't be negative.")
    if unit == ureg.dimensionless:
        unit = spread_unit
    if spread_unit == ureg.percent and unit != ureg.percent:
        spread, spread_unit = abs(value) * spread / 100, unit
    if spread_unit not in (unit, ureg.dimensionless):
        raise ReadingProblem(f"{_shown(text)}: write both numbers in the same unit, as in 2.0 ± 0.1 g.")
    return Q(ufloat(value, spread) if spread else value, unit)


def _number_and_unit(piece, text, lone):
    piece = piece.strip()
    parts = time_in_parts(piece.rstrip(" ."))
    if parts:
        return parts[0], _named(parts[1]), ""
    found = _NUMBER.match(piece)
    if not found:
        word = piece.split()[0].lower() if piece else ""
        if word.lstrip("+-") in ("nan", "inf", "infinity"):
            raise ReadingProblem(f"{_shown(text)} is not a number that can be weighed or measured.")
        raise ReadingProblem(f"{_shown(text)} does not start with a number.")
    digits = _decimal(found[0].rstrip(" "), text)
    rest = piece[found.end() :]
    power = _POWER.match(rest)
    if power and not (power[0][0] in "eE" and rest[1:2].isalpha()):
        exponent = int(power[1] or power[2] or power[3])
        if abs(exponent) > 40:
            raise ReadingProblem(f"{_shown(text)}: a power of ten beyond ±40 does not occur on a bench.")
        digits = f"{digits}e{exponent}"  # read in one go, so that no last figure is lost
        rest = rest[power.end() :]
    value = float(digits)
    if value and not 1e-45 < abs(value) < 1e45:
        raise ReadingProblem(f"{_shown(text)} is too large or too small for anything on a bench.")
    return value, _unit(rest.strip(), text), rest


def _decimal(digits, text):
    if digits.count(",") and digits.count("."):
        raise ReadingProblem(f"{_shown(text)} has a comma and a point. Use one decimal mark and no grouping: 1250.5.")
    if digits.count(",") + digits.count(".") > 1:
        raise ReadingProblem(f"{_shown(text)} has more than one decimal mark. Type 1250.5 or 1250,5.")
    if re.fullmatch(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}", digits):
        whole, part = digits.split(",")
        raise ReadingProblem(f"{_shown(text)} can be read two ways. Type {whole}.{part} or {whole}{part}.")
    if " " in digits and not re.fullmatch(r"[+-]?[0-9]{1,3}( [0-9]{3})+([.,][0-9]+)?", digits):
        raise ReadingProblem(f"{_shown(text)} has a gap inside the number. Close it up, as in 1250.5.")
    return digits.replace(" ", "").replace(",", ".")


def _unit(rest, text):
    if not rest:
        return ureg.dimensionless
    if re.match(r"(?:to|-) ?[0-9]", rest):  # “2 to 4 g”, “2-4 g”
        raise ReadingProblem(f"{_shown(text)}: one value is needed here, no range and no sum.")
    if re.match(r"[-+*/^x·( ]*[0-9(]|[-+*^=]", rest) or re.search(r" [-+*=] ", rest):
        raise ReadingProblem(
            f"{_shown(text)} looks like a sum still to be worked out. Work it out first, then type the result."
        )
    unit, position, mark, slashed, bracket = ureg.dimensionless, 0, "", False, False
    while position < len(rest):
        here = rest[position]
        token = _UNIT.match(rest, position)
        if token:
            if slashed and mark != "/" and not bracket:
                raise ReadingProblem(
                    f"{_shown(text)}: a product after “/” can be read two ways. Write J/(g·K) or J/g/K."
                )
            below = slashed if bracket else mark == "/"
            if below and "-" in token[0]:
                raise ReadingProblem(f"{_shown(text)}: write either “/” or a negative power, as in g/mol or g mol⁻¹.")
            compound = slashed or unit != ureg.dimensionless or token.end() < len(rest.rstrip(" .·*"))
            unit = unit * _power_of(token, compound, text) ** (-1 if below else 1)
            position, mark = token.end(), ""
            continue
        if here == "/" and not bracket and mark != "/":
            mark, slashed = "/", True
        elif here == "(" and mark == "/":
            bracket = True
        elif here == ")" and bracket:
            bracket, mark = False, ""
        elif here in "0123456789":
            raise ReadingProblem(f"{_shown(text)} has a second number. Type one number and one unit, as in 2.5 h.")
        elif here not in "·*. ":
            raise ReadingProblem(f"{_shown(text)}: {here!r} is not part of a unit.")
        position += 1
    if bracket or mark == "/":
        raise ReadingProblem(f"{_shown(text)}: the unit is not finished.")
    if unit != ureg.percent and "percent" in str(unit):
        raise ReadingProblem(f"{_shown(text)}: “%” stands alone, not beside another unit.")
    return unit


def _power_of(token, compound, text):
    symbol, exponent = token[1], int(token[2] or token[3] or 1)
    if symbol == "to":
        raise ReadingProblem(f"{_shown(text)}: one value is needed here, no range.")
    if symbol == "per":
        raise ReadingProblem(f"{_shown(text)}: write “per” as a stroke, as in g/mol.")
    if symbol not in SYMBOLS:
        meant = nearest_symbol(symbol)
        advice = f" Did you mean {meant}?" if meant else ""
        raise ReadingProblem(f"{_shown(text)}: “{symbol[:20]}” is not a unit labkit knows.{advice}")
    if not 0 < abs(exponent) <= 6:
        raise ReadingProblem(f"{_shown(text)}: a unit to the power {exponent} does not occur on a bench.")
    name = SYMBOLS[symbol]
    if compound and name in ("degree_Celsius", "degree_Fahrenheit"):
        name = "delta_" + name
    return _named(name) ** exponent


@cache
def _named(name):
    return ureg.Unit(name)  # a name of the list of symbols; looked up once, because a panel reads at every keystroke
