"""Read a reflectance spectrum, whatever wrote it, with nothing dropped silently and nothing guessed silently."""

import csv
import re
from collections import Counter

import numpy as np

from labkit.data.source import Wanted, text_of
from labkit.errors import ReadingProblem, chosen
from labkit.light.reflectance import BRIGHTEST, DARKEST, LONGEST, SHORTEST, LeftOut, Reflectance, energy_length

KINDS = ("reflectance", "absorbance", "F(R)")
UNITS = ("nm", "eV", "µm", "1/cm")
SCALES = ("%", "fraction")
REASONS = ("not a row of numbers", "no reading", "impossible wavelength", "impossible reading")
MOST_ROWS, LISTED = 200_000, 200
_WANTED = Wanted(
    "read_reflectance", "spectrum", "a wavelength and a reflectance", "the part around the edge", 20_000_000
)
_MARKS = (("\t", "."), ("\t", ","), (";", "."), (";", ","), (",", "."), (" ", "."), (" ", ","), (",", ","))
_POINT = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_COMMA = re.compile(r"[+-]?(?:[0-9]+,?[0-9]*|,[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_MISSING = {"", "-", "--", "---", "n/a", "na", "nan", "null", "none", "#n/a", "?"}
_WORDS = re.compile(
    r"log\s*\(?\s*1\s*/\s*r\)?|f\s*\(r\)|k\s*[-/]\s*m\b|cm\s*\^?\s*[-−]\s*1|1\s*/\s*cm|cm⁻¹|%\s*[rt]\b|%|[^\W\d_]+"
)
_X_UNITS = {
    "1/cm": {"cm-1", "cm^-1", "cm−1", "1/cm", "cm⁻¹", "wavenumber", "wavenumbers"},
    "eV": {"ev"},
    "µm": {"µm", "μm", "um", "micron", "microns"},
    "nm": {"nm", "nanometer", "nanometers", "nanometre", "nanometres"},
}
_X_WORDS = {"energy", "energie", "wavelength", "wavelengths", "lambda", "λ", "wellenlänge", "wl"}.union(
    *_X_UNITS.values()
)
_Y_KINDS = {
    "F(R)": {"f(r)", "k-m", "k/m", "km", "kubelka", "munk", "kubelkamunk"},
    "absorbance": {
        "absorbance",
        "abs",
        "absorption",
        "extinction",
        "extinktion",
        "log(1/r)",
        "log1/r",
        "log(1/r",
        "od",
    },
    "transmittance": {"transmittance", "transmission", "%t", "transmittanz"},
    "reflectance": {"reflectance", "reflectivity", "reflexion", "reflection", "%r", "r", "refl", "remission", "drs"},
}
_PERCENT = {"%", "%r", "percent", "prozent", "pct"}


def read_reflectance(source, *, column=None, unit=None, scale=None, kind=None):
    """Return the Reflectance in a file, in the bytes of one, or in pasted text.

    Parameters
    ----------
    source : path, bytes or str
        Two columns or more, separated by semicolons, commas, tabs or blanks, with or without a heading; a
        point or a comma as decimal mark.  Text of one line is taken for a path.
    column : str or int, optional
        The heading, a part of it, or the number (the first is 1) of the column of reflectances; left out,
        the first column of numbers after the wavelengths.
    unit : str, optional
        ``"nm"``, ``"eV"``, ``"µm"`` or ``"1/cm"`` of the first column, if the heading is silent and the size misleads.
    scale : str, optional
        ``"%"`` or ``"fraction"``.
    kind : str, optional
        ``"absorbance"`` for log(1/R), or ``"F(R)"``: turned back into reflectance, and said so.  Never guessed.

    Returns
    -------
    Reflectance
        Its notes say what was taken for what.  Rows kept and rows left out add up to the rows there are.

    Raises
    ------
    LabError
        If it is no spectrum of reflectance, or can be read in more than one way: says what to do.

    Examples
    --------
    >>> text = "nm;%R\\n" + "\\n".join(f"{nm};{20 + nm / 10:.1f}" for nm in range(350, 430, 10)).replace(".", ",")
    >>> read_reflectance(text + "\\n440;n/a").words().splitlines()[0]
    '9 rows read, 8 kept, 1 left out (1 × no reading).'
    """
    kind = None if kind is None else chosen(kind, KINDS, "kind of spectrum")
    unit = None if unit is None else chosen(unit, UNITS, "unit of a spectrum")
    scale = None if scale is None else chosen(scale, SCALES, "scale of a reflectance")
    lines = text_of(source, _WANTED).decode("utf-8", "replace").split("\n")
    if len(lines) > MOST_ROWS:
        raise ReadingProblem(
            f"This has {len(lines)} lines, far more than a spectrum. Cut out the part around the edge."
        )
    mark, decimal, names, numeric, wide = _layout(lines)
    x_place = _x_place(names)
    y_place = _y_place(names, x_place, column, numeric, wide)
    rows = _rows(lines, mark, decimal, x_place, y_place)
    x, y = np.array([row[2] for row in rows]), np.array([row[3] for row in rows])
    reasons = np.array([row[4] for row in rows], dtype=object)
    x_name, y_name = (names[place] if place < len(names) else "" for place in (x_place, y_place))
    good = reasons == ""
    if not good.any():
        raise ReadingProblem(
            f"No row has a wavelength and a reading in column {y_place + 1}. Say which column, as in column=2."
        )
    unit, unit_note = _unit(x_name, x[good], unit)
    wavelength = _wavelengths(x, unit)
    with np.errstate(invalid="ignore"):
        reasons[good & ~((wavelength >= SHORTEST) & (wavelength <= LONGEST))] = REASONS[2]
    good = reasons == ""
    if not good.any():
        raise ReadingProblem(f"In {unit}, no number of the first column is a wavelength from {SHORTEST:.0f} to {LONGEST:.0f} nm. "
                             "Say what they are, as in unit='nm'.")  # fmt: skip
    kind, kind_note = _kind(y_name, kind)
    y, scale_note, doubts = _fractions(y, good, kind, y_name, scale)
    with np.errstate(invalid="ignore"):
        reasons[good & ~((y >= DARKEST) & (y <= BRIGHTEST))] = REASONS[3]
    good = reasons == ""
    notes = [unit_note, f"Readings: column {y_place + 1}" + (f" (“{_short(y_name)}”)" if y_name else "") + f", {kind_note}{scale_note}.",
             "Numbers: a comma is taken for the decimal mark." if decimal == "," else "",
             _others(wide, x_place, y_place), _order(wavelength[good]), _bright(y[good])]  # fmt: skip
    counts = {"rows": len(rows), "kept": int(good.sum()), "reasons": dict(Counter(reasons[~good].tolist()))}
    left = tuple(LeftOut(row[0], row[1], str(reason)) for row, reason in zip(rows, reasons) if reason)[:LISTED]
    if good.sum() * 2 < len(rows):
        doubts.append("Most rows could not be used: check the column and the unit.")
    return Reflectance(wavelength[good], y[good], tuple(filter(None, notes)), tuple(doubts), left, counts)


def _split(line, mark):
    if mark == " ":
        return line.replace('"', " ").split()
    if '"' in line:
        try:
            return [field.strip() for field in next(csv.reader([line], delimiter=mark), [])]
        except csv.Error:
            return line.replace('"', "").split(mark)
    return [field.strip() for field in line.split(mark)]


def _layout(lines):
    """Return what separates columns, the decimal mark, the headings, the columns of numbers and how many columns there are."""
    sample = [line[:4000] for line in lines if line.strip()][:400]
    best, found = 0, None
    for mark, decimal in _MARKS:
        if mark == "," and decimal == "," and not any('"' in line for line in sample):
            continue
        pattern = _POINT if decimal == "." else _COMMA
        split = [_split(line, mark) for line in sample]
        numeric = [sum(bool(pattern.fullmatch(field)) for field in fields) for fields in split]
        score = sum(1 + count for count, fields in zip(numeric, split) if count > 1 and pattern.fullmatch(fields[0]))
        if score > best:
            best, found = score, (mark, decimal, split, numeric)
    if not found:
        raise ReadingProblem("No line has a wavelength and a reflectance. A spectrum has rows such as 450;32.9 under a heading such as nm;%R. "
                             "Save it as a text file with two columns.")  # fmt: skip
    mark, decimal, split, numeric = found
    pattern = _POINT if decimal == "." else _COMMA
    widths = Counter(len(fields) for fields, count in zip(split, numeric) if count > 1)
    wide = widths.most_common(1)[0][0]
    first = next(
        place for place, (count, fields) in enumerate(zip(numeric, split)) if count > 1 and len(fields) == wide
    )
    above = [[field.lstrip("# ") for field in fields] for fields in split[:first] if sum(map(bool, fields)) > 1]
    names = above[-1] if above and len(above[-1]) <= wide + 1 else []
    if mark == "," and decimal == "." and wide > (len(names) or 2) and all(
        "." not in field for fields, count in zip(split, numeric) if count > 1 for field in fields):  # fmt: skip
        raise ReadingProblem("The comma seems to stand between the columns and in the numbers too. Save the spectrum with semicolons "
                             "between the columns, or with points as decimal marks.")  # fmt: skip
    full = [fields for fields, count in zip(split, numeric) if count > 1]
    filled = Counter(place for fields in full for place, field in enumerate(fields) if pattern.fullmatch(field))
    places = [place for place in sorted(filled) if filled[place] * 2 >= len(full)]
    return mark, decimal, names, places, wide


def _rows(lines, mark, decimal, x_place, y_place):
    """Return (line, text, x, y, reason) of each line from the first with numbers on."""
    pattern, rows = (_POINT if decimal == "." else _COMMA), []
    for place, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        fields = _split(line, mark)
        x, y = (fields[at] if at < len(fields) else "" for at in (x_place, y_place))
        numeric = bool(pattern.fullmatch(x))
        if not rows and not numeric:
            continue  # still the heading
        reason, numbers = "", (np.nan, np.nan)
        if not numeric:
            reason = REASONS[0]
        elif y.lower() in _MISSING:
            reason = REASONS[1]
        elif not pattern.fullmatch(y):
            reason = REASONS[0]
        else:
            numbers = tuple(float(text.replace(",", ".")) for text in (x, y))
            if not np.isfinite(numbers).all():
                reason, numbers = REASONS[0], (np.nan, np.nan)
        rows.append((place, _short(line), *numbers, reason))
    return rows


def _short(text):
    return "".join(sign if sign.isprintable() else " " for sign in text.strip())[:60]


def _tokens(name):
    return {
        token.replace(" ", "").rstrip(")") if token.startswith("log") else token.replace(" ", "")
        for token in _WORDS.findall(name.lower())
    }


def _x_place(names):
    """Return the column of wavelengths: the first, unless another heading says that it is it."""
    said = [place for place, name in enumerate(names) if _tokens(name) & _X_WORDS]
    return said[0] if said else 0


def _y_place(names, x_place, column, numeric, wide):
    """Return the column of readings: the one asked for, the only one called reflectance, or the next with numbers."""
    if column is None:
        said = [place for place in numeric if place < len(names) and _tokens(names[place]) & _Y_KINDS["reflectance"]]
        left = [place for place in numeric if place > x_place] or [place for place in numeric if place != x_place]
        if not left:
            raise ReadingProblem("Only one column has numbers. A spectrum has two: wavelength and reflectance.")
        return said[0] if len(said) == 1 and said[0] != x_place else left[0]
    if isinstance(column, bool) or not isinstance(column, (int, str)):
        raise ReadingProblem("The column is its heading or its number, the first being 1, as in column=2.")
    if isinstance(column, int):
        if not 1 <= column <= wide:
            raise ReadingProblem(f"There is no column {column}; the spectrum has {wide}. The first is 1.")
        place = column - 1
    else:
        word = column.strip().lower()
        exact = [place for place, name in enumerate(names) if name.lower() == word]
        part = [place for place, name in enumerate(names) if word and word in name.lower()]
        if len(exact or part) != 1:
            shown = ", ".join(f"{place + 1} “{_short(name)}”" for place, name in enumerate(names[:12]))
            raise ReadingProblem(
                f"The column asked for is not one heading of the spectrum. There are: {shown or 'no headings'}."
            )
        (place,) = exact or part
    if place == x_place:
        raise ReadingProblem(f"Column {place + 1} has the wavelengths. Choose another one for the reflectance.")
    return place


def _unit(name, x, unit):
    """Return the unit of the first column, and a note on why."""
    where = f"Wavelengths: “{_short(name)}”" if name else "Wavelengths: first column"
    if unit:
        return unit, f"{where}, in {unit} as you said."
    tokens = _tokens(name)
    told = [found for found, names in _X_UNITS.items() if names & tokens]
    if len(told) == 1:
        return told[0], f"{where}, in {told[0]} as its heading says."
    low, high = np.quantile(x, (0.05, 0.95))
    if 150 <= low and high <= 3300:
        guess = "nm"
    elif 0.6 <= low and high <= 7.5 and high > 1.3:
        guess = "eV"
    elif low > 4000:
        guess = "1/cm"
    else:
        raise ReadingProblem(f"The first column goes from {x.min():.4g} to {x.max():.4g}: that may be no wavelength. Say what it is: "
                             "unit='nm', 'eV', 'µm' or '1/cm'.")  # fmt: skip
    return guess, f"{where}, taken to be in {guess} by their size."


def _wavelengths(x, unit):
    with np.errstate(all="ignore"):
        if unit == "nm":
            return x.copy()
        if unit == "µm":
            return x * 1000
        return np.where(x > 0, 1e7 / x if unit == "1/cm" else energy_length() / x, np.nan)


def _kind(name, kind):
    tokens = _tokens(name) if name.strip() != "A" else {"absorbance"}
    said = next((found for found, names in _Y_KINDS.items() if names & tokens), None)
    if kind is None:
        if said == "transmittance":
            raise ReadingProblem(
                f"“{_short(name)}” is the light that went through. Measure or export the diffuse reflectance of the powder."
            )
        if said in ("absorbance", "F(R)"):
            raise ReadingProblem(f"“{_short(name)}” is no reflectance. Export the reflectance (%R); or, if the numbers are "
                                 + ("log(1/R)" if said == "absorbance" else "(1-R)²/2R") + f" and not in arbitrary units, say so: kind='{said}'.")  # fmt: skip
        return "reflectance", "diffuse reflectance" + ("" if said else ", as nothing says otherwise")
    if kind == "absorbance":
        return kind, "absorbance, turned into reflectance as R = 10^-A, as you said"
    return (
        kind,
        "Kubelka-Munk function, turned into reflectance, as you said" if kind == "F(R)" else "reflectance as you said",
    )


def _fractions(y, good, kind, name, scale):
    """Return readings as fractions, how they were taken, and doubts."""
    if kind == "absorbance":
        return np.where(np.abs(y) < 10, 10 ** -np.clip(y, -10, 10), np.nan), "", []
    if kind == "F(R)":
        with np.errstate(invalid="ignore"):
            return np.where(y >= 0, 1 / (1 + y + np.sqrt(y * y + 2 * np.maximum(y, 0))), np.nan), "", []
    largest = float(np.quantile(y[good], 0.9))
    if scale:
        note = f", in {'percent' if scale == '%' else 'fractions'} as you said"
        return y / 100 if scale == "%" else y, note, []
    if _tokens(name) & _PERCENT:
        doubts = ["The heading says percent, but no reading is above 1.2. If they are fractions, say so: scale='fraction'."] if largest <= 1.2 else []  # fmt: skip
        return y / 100, ", in percent as its heading says", doubts
    if largest > 2:
        return y / 100, ", taken to be in percent by their size", []
    if largest <= 1.2:
        return y, ", taken to be fractions by their size", []
    raise ReadingProblem(f"The readings go up to {largest:.3g}: are they percent of a very dark powder, or fractions? Say which: "
                         "scale='%' or scale='fraction'.")  # fmt: skip


def _others(wide, x_place, y_place):
    others = wide - len({x_place, y_place})
    return f"{others} more column{'s' if others > 1 else ''} not used." if others > 0 else ""


def _order(wavelength):
    twice, rising = wavelength.size - np.unique(wavelength).size, np.diff(wavelength)
    notes = []
    if (rising > 0).any() and (rising < 0).any():
        notes.append("The rows stood out of order and were sorted.")
    if twice:
        notes.append(
            f"{twice} point{'s' if twice > 1 else ''} at a wavelength that was there before: the mean is taken."
        )
    return " ".join(notes)


def _bright(y):
    over, under = int((y > 1).sum()), int((y <= 0).sum())
    notes = []
    if over:
        notes.append(f"{over} reading{'s' if over > 1 else ''} above 100 % (up to {y.max() * 100:.1f} %): the white reference is darker than the "
                     "powder there; they count as no absorption.")  # fmt: skip
    if under:
        notes.append(f"{under} reading{'s' if under > 1 else ''} of zero or less: left out of the plot.")
    return " ".join(notes)
