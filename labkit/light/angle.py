"""Angles as they are typed: a latitude, the way a plane faces, its tilt, the beam of a lamp."""

import re

from labkit.errors import RangeProblem, ReadingProblem, UnitProblem
from labkit.units import Q, is_quantity, nominal, refuse_array

LONGEST = 40
_NUMBER = r"([+-]?[0-9]{1,4}(?:[.,][0-9]{1,9})?)"
_ANGLE = re.compile(rf"{_NUMBER} ?(?:°|deg|degrees?)?(?: ?([0-9]{{1,2}}(?:[.,][0-9]{{1,6}})?) ?')?(?: ?([0-9]{{1,2}}(?:[.,][0-9]{{1,6}})?) ?\")?")  # fmt: skip
_TIDY = str.maketrans({"−": "-", "–": "-", "º": "°", "˚": "°", "’": "'", "′": "'", "″": '"', "”": '"', "\u00a0": " ", "\u202f": " ", "\u2009": " "})  # fmt: skip
_WORDS = {"north": "N", "south": "S", "east": "E", "west": "W", "northern": "N", "southern": "S"}
_SIDE = re.compile(r"^([NSEW])(?![A-Za-z]) ?|(?<![A-Z]) ?([NSEW])$")
_POINTS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")


def latitude(value):
    """Return a latitude in degrees, north above zero and south below.

    Parameters
    ----------
    value : str or quantity
        ``"52°N"``, ``"33.9 S"``, ``"-33.9°"``, ``"51°30' N"``; a bare number counts as north.

    Raises
    ------
    ReadingProblem
        If it cannot be read, or has a minus and a letter.
    RangeProblem
        If it lies beyond a pole.

    Examples
    --------
    >>> print(f"{latitude('33.9 S'):~P}", f"{latitude('51°30′N'):~P}")
    -33.9 deg 51.5 deg
    """
    return _with_side(value, "NS", 90, "a latitude", "52°N or 33.9°S")


def longitude(value):
    """Return a longitude in degrees, east above zero and west below; takes what ``latitude`` does, with E or W.

    >>> print(f"{longitude('0.1° W'):~P}")
    -0.1 deg
    """
    return _with_side(value, "EW", 180, "a longitude", "13.4°E or 0.1°W")


def facing(value):
    """Return where a plane faces, in degrees clockwise from north: 90 is east, 180 south.

    Parameters
    ----------
    value : str or quantity
        ``"south"``, ``"SW"``, ``"south-west"``, ``"200°"``.

    Raises
    ------
    ReadingProblem
        If it is neither a point of the compass nor an angle.

    Examples
    --------
    >>> print(f"{facing('SW'):~P}", f"{facing('200°'):~P}")
    225.0 deg 200.0 deg
    """
    if isinstance(value, str) and len(value) <= LONGEST:
        word = re.sub(r"[^a-z]", "", value.lower())
        for name, letter in _WORDS.items():
            word = word.replace(name, letter)
        if word.upper() in _POINTS and not re.search(r"[0-9]", value):
            return Q(22.5 * _POINTS.index(word.upper()), "degree")
    degrees = _degrees(value, "the way it faces", "south, SW or 200°")
    if not -360 <= degrees <= 360:
        raise RangeProblem(
            "The way a plane faces is counted clockwise from north, up to 360°. Type for instance south, or 200°."
        )
    return Q(degrees % 360, "degree")


def facing_text(degrees):
    """Return where a plane faces in words, from plain degrees clockwise from north.

    >>> facing_text(180), facing_text(200.0)
    ('facing south', 'facing 200° (east is 90°, south 180°)')
    """
    names = {0: "north", 90: "east", 180: "south", 270: "west"}
    place, rest = divmod(degrees % 360, 22.5)
    if rest:
        return f"facing {degrees:g}° (east is 90°, south 180°)"
    return f"facing {names.get(degrees % 360, _POINTS[int(place)])}"


def angle(value, most=90, name="an angle", example="30°"):
    """Return an angle from 0 to ``most`` degrees, such as the tilt of a plane from level.

    Raises
    ------
    ReadingProblem, RangeProblem
        If it can't be read, or lies outside.

    Examples
    --------
    >>> print(f"{angle('35°'):~P}")
    35.0 deg
    """
    degrees = _degrees(value, name, example)
    if not 0 <= degrees <= most:
        raise RangeProblem(f"For {name}, type something from 0° to {most:g}°, for instance {example}.")
    return Q(degrees, "degree")


def _with_side(value, sides, most, name, example):
    text, side = value, ""
    if isinstance(value, str) and len(value) <= LONGEST:
        text = value.translate(_TIDY).strip(" .")
        for word, letter in _WORDS.items():
            text = re.sub(rf"\b{word}\b", letter, text, flags=re.IGNORECASE)
        text = re.sub(r"(?<![a-zA-Z])[nsew](?![a-zA-Z])", lambda found: found[0].upper(), text)
        found = _SIDE.search(text)
        if found:
            side = found[1] or found[2]
            text = _SIDE.sub("", text, count=1).strip()
        if side and side not in sides:
            raise ReadingProblem(f"{_shown(value)} is not {name}, which ends in {sides[0]} or {sides[1]}. "
                                 f"Type for instance {example}.")  # fmt: skip
    degrees = _degrees(text, name, example, value)
    if side and (degrees < 0 or (isinstance(text, str) and text[:1] in "+-")):
        raise ReadingProblem(f"{_shown(value)} has a sign and a letter. Type one of the two: {example}.")
    if side == sides[1]:
        degrees = -degrees
    if not -most <= degrees <= most:
        raise RangeProblem(
            f"{name[0].upper()}{name[1:]} goes up to {most}° either way, but this is {degrees:g}°. "
            f"Type for instance {example}."
        )
    return Q(degrees, "degree")


def _degrees(value, name, example, typed=None):
    if is_quantity(value):
        if value.dimensionality or value.units == Q(1).units:
            raise UnitProblem(f"For {name} an angle is needed. Type for instance {example}.")
        refuse_array("An angle", **{name: value})
        return float(nominal(value).to("degree").magnitude)
    if isinstance(value, (int, float)) and not isinstance(value, bool) and -1e4 < value < 1e4:
        return float(value)
    found = None
    if isinstance(value, str) and len(value) <= LONGEST:
        found = _ANGLE.fullmatch(value.translate(_TIDY).strip(" ."))
    if not found:
        raise ReadingProblem(f"{_shown(value if typed is None else typed)} cannot be read as {name}. Type for instance {example}.")  # fmt: skip
    whole, minutes, seconds = (float((part or "0").replace(",", ".")) for part in found.groups())
    if minutes >= 60 or seconds >= 60:
        raise ReadingProblem(f"A degree has 60 minutes of 60 seconds each. Type for instance {example}.")
    if (minutes or seconds) and whole % 1 or seconds and minutes % 1:
        raise ReadingProblem(f"{_shown(value if typed is None else typed)} has a fraction and smaller parts after it. "
                             f"Type one of the two, for instance {example}.")  # fmt: skip
    part = minutes / 60 + seconds / 3600
    return whole - part if found[1].startswith("-") else whole + part


def _shown(value):
    text = str(value)
    short = text if len(text) <= 30 else text[:27] + "…"
    return f"“{''.join(mark if mark.isprintable() else '□' for mark in short)}”"
