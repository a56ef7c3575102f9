"""What a calibration line, or a photograph of standards, says of a sample, and how far it can be trusted."""

import re
from functools import lru_cache

from labkit.data.cautions import cautions
from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.panels.colour import ColourBox
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.panels.reading import ReadBox
from labkit.panels.texts import FileBox, given_files, without_code
from labkit.plots.calibration import calibration_picture, calibration_words
from labkit.units import number_text, rounded_up, unit_text
from labkit.uptake import calibration, photo_scale, read_photo, read_standards
from labkit.uptake.calibration import CARE, absorbances
from labkit.uptake.concentration import ends_text, with_doubt
from labkit.uptake.photo import CARE as PHOTO_CARE
from labkit.uptake.photo import PhotoScale

FOLDER = "data"
TABLES = {  # words for a table that comes with the workbook, and its file
    "iron standards (invented)": "invented_standards_clean.csv",
    "standards that bend (invented)": "invented_standards_bent.csv",
    "a table with rough rows (invented)": "invented_standards_rough.csv",
    "jars in a photograph (invented)": "invented_photo_series.csv",
}
# For a workbook that was moved without its data: standards in outline (invented).
OUTLINE_NAME = "invented standards in outline"
OUTLINE = "name;c / mg/L;A (invented)\nblank;0;0.003\nS1;4;0.168\nS2;8;0.331\nS3;12;0.498\nS4;16;0.660\n"
EXAMPLE = "name;mg/L;A\nblank;0;0.003\nS1;4;0.168\nS2;8;0.331\nS3;12;0.498"
ALL, LOWER = "all standards", "the lower part, as far as it is straight"
IRON, REAGENT, ZINC = "iron(III) chloride", "a colour that a reagent gives", "zinc chloride as it is"
MOST_READINGS = 30
_PHOTO = re.compile(r"\bblue\b|\bb\b", re.IGNORECASE)
_SHOWN = 8  # rows left out that are listed; all are counted
_HINTS = (("up_to=", "Choose “" + LOWER + "” under “Use”, and dilute samples into it."),
          ("places=", "More than one column may be meant, or none. Write c / mg/L and A over the two."),
          ("units=", "Write the unit into the heading, such as c / mg/L."),
          ("formula=", "Write all concentrations as masses (mg/L), or all as amounts (mmol/L)."),
          ("reagent=", "A titration or a reagent kit for the metal in water can, on a dilute rinse and by its own sheet; if one gave the colour, choose so."), ("white=", "Add a row named “white” with the colour of the paper."))  # fmt: skip


def calibration_answer(table, salt, use, absorbance, colour, dilution):
    """Return the Answer for standards and a sample.

    Parameters
    ----------
    table : (name, bytes or text)
        Of absorbances, or of colours in a photograph.
    salt : str
        One of ``IRON``, ``REAGENT`` and ``ZINC``.
    use : str
        ``ALL`` or ``LOWER``.
    absorbance : tuple of numbers
        Readings of the sample, if the table holds absorbances.
    colour : three whole numbers
        Of the sample, if it holds colours.
    dilution : quantity, plain
    """
    name, content = table
    raw = content.encode("utf-8", "replace") if isinstance(content, str) else content
    found, readings, problem = _known(raw, salt, use)
    if problem:
        raise ReadingProblem(f"{name}: {problem}" if salt != ZINC else problem)
    photo = isinstance(found, PhotoScale)
    sample, said = None, ""
    try:
        sample = (
            found.concentration(colour, dilution) if photo else found.concentration(list(absorbance), dilution=dilution)
        )
    except RangeProblem as trouble:
        said = without_code(str(trouble), _HINTS)
    care = f"• {PHOTO_CARE if photo else CARE}\n{cautions('chlorides', 'solvent')}"
    return Answer(said or _sentence(found, sample, colour), calibration_picture(found, sample, calibration_words(found, sample)),
                  _table(name, found, readings, sample), care)  # fmt: skip


@lru_cache(32)  # a sample alone does not fit the line again
def _known(raw, salt, use):
    """Return (Calibration or PhotoScale, Readings, what is wrong)."""
    try:
        if salt == ZINC:
            calibration(OUTLINE, salt="ZnCl2")  # says itself what could measure it
        if _is_photo(raw):
            readings = read_photo(raw)
            return photo_scale(readings), readings, ""
        readings = read_standards(raw)
        found = calibration(readings)
        if use == LOWER and found.level == "bends" and found.straight_to is not None:
            found = calibration(readings, up_to=f"{found.straight_to!r} {found.unit}")
        return found, readings, ""
    except LabError as trouble:
        return None, None, without_code(str(trouble), _HINTS)


def _is_photo(raw):
    """Return True if the first line that is no remark names a blue and a green."""
    lines = [
        line for line in raw[:4000].decode("utf-8", "replace").splitlines() if line.strip() and not line.startswith("#")
    ]
    head = lines[0].lower() if lines else ""
    return bool(_PHOTO.search(head) and re.search(r"\bgreen\b|\bg\b", head))


def _sentence(found, sample, colour):
    photo = isinstance(found, PhotoScale)
    what = (
        f"The colour {' '.join(str(part) for part in colour)}"
        if photo
        else f"An absorbance of {number_text(sample.absorbance, 3)}"
    )
    if sample.readings > 1:
        what += f" (mean of {sample.readings})"
    if sample.dilution > 1:
        what += f", diluted {sample.dilution:g}-fold,"
    words = f"{what} means {sample.text}." if sample.kind == "number" else f"{what} is {sample.text}."
    return " ".join([words, *sample.notes])


def _table(name, found, readings, sample):
    rows = [("What", "How much")]
    unit = unit_text(sample.value.units) if sample else found.unit
    if sample and sample.kind == "number":
        low, high = ends_text(sample.low.magnitude, sample.high.magnitude)
        rows += [("sample", f"{with_doubt(sample.value.magnitude, sample.uncertainty.magnitude)} {unit} (standard uncertainty)"),
                 ("95 % interval", f"{low} to {high} {unit}")]  # fmt: skip
    elif sample:
        rows.append(("sample", f"below {rounded_up(sample.upper.magnitude, 2)} {unit} (95 % sure)"))
    rows.append(
        (
            "detection limit",
            f"{rounded_up(found.detection_limit().magnitude, 2)} {found.unit} in the sample as it is read",
        )
    )
    if isinstance(found, PhotoScale):
        rows += [("The scale:", ""), ("part of the colour", found.channel), ("shape", "a curve" if found.curved else "a line"),
                 ("left out in turn", f"± {number_text(found.half_width, 2)} {found.unit} (95 %)"),
                 *((name, f"not used: {why}") for name, why in found.refused.items())]  # fmt: skip
    else:
        line = found.line
        rows += [("The line:", ""), ("slope", f"{with_doubt(line.slope, line.u_slope)} per {found.unit}"), ("height at zero", with_doubt(line.intercept, line.u_intercept)),
                 ("correlation of these two", f"{line.correlation:.2f}"), ("scatter", f"{number_text(line.s, 2)} in absorbance"),
                 ("bend", {"straight": "none seen", "bends": f"up to {100 * found.bend:.0f} % of the highest", "too few to tell": "too few standards to see one"}[found.level])]  # fmt: skip
        if found.left is not None and len(found.left):
            rows.append(("not used", f"{len(found.left)} standards above {number_text(found.ends[1], 3)} {found.unit}"))
    rows += [("note", note) for note in found.notes]
    rows += [
        (f"What was read from “{name}”:", ""),
        ("rows", f"{readings.rows} read, {len(readings)} kept, {readings.left_out} left out"),
    ]
    rows += [(f"line {line}", f"“{_short(text)}”: {reason}") for line, text, reason in readings.skipped[:_SHOWN]]
    if readings.left_out > _SHOWN:
        rows.append(("and", f"{readings.left_out - _SHOWN} more lines left out"))
    for note in readings.notes:
        what, _, words = note.partition(": ")
        rows.append((what.lower(), words) if words else ("note", note))
    return tuple(rows)


def _short(text):
    return "".join(sign if sign.isprintable() else "□" for sign in text.replace("\t", " "))[:60]


def readings_typed(text):
    """Return the absorbances in a text, with blanks or semicolons between several: ``"0.412; 0.409"``.

    >>> readings_typed("0,412 0,409")
    (0.412, 0.409)
    """
    parts = [part for part in re.split(r"[;\s]+", text.strip()) if part] if len(text) <= 400 else []
    if not parts or len(parts) > MOST_READINGS:
        raise ReadingProblem("Type an absorbance such as 0.412, or several of the same sample with blanks between.")
    return tuple(absorbances(parts, "readings").tolist())


def given_tables(folder=FOLDER):
    """Return {words: bytes} of the tables that come with the workbook, or an outline if they are not there."""
    return given_files(folder, TABLES) or {OUTLINE_NAME: OUTLINE.encode()}


def calibration_panel(folder=FOLDER):
    """Return the panel that reads a sample from standards.

    ``folder`` is that of the tables shown, from the folder of the workbook; an invented outline stands in if they are not there.
    """
    colour = ColourBox("Colour of the sample, for a photograph", "241 230 200")
    colour.name = "sample"
    controls = {
        "table": FileBox("Standards", given_tables(folder), EXAMPLE, columns="name, concentration, absorbance", reader="read_standards"),
        "salt": Choice("What gives the colour", {words: words for words in (IRON, REAGENT, ZINC)}, IRON),
        "use": Choice("Use", {ALL: ALL, LOWER: LOWER}, ALL),
        "absorbance": ReadBox("Absorbance of the sample", "0.312", readings_typed, "for a table of absorbances; several readings with blanks between"),
        "colour": colour,
        "dilution": TypedBox("Dilution of the sample", "10", "[] > 0", hint="10 for 1 mL filled up to 10 mL; 1 for none", least="1", most="100000"),
    }  # fmt: skip
    return Panel("What is in the sample?", controls, calibration_answer)
