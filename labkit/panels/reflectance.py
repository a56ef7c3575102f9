"""A spectrum of one's own: the gap it gives, as direct and as indirect, and whether it can carry one at all."""

from functools import lru_cache

from labkit.data.cautions import cautions
from labkit.errors import LabError, ReadingProblem
from labkit.light import gap_report, read_reflectance, tauc_gap
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.panels.texts import FileBox, given_files
from labkit.plots.tauc import tauc_svg

FOLDER = "data"
GIVEN = {
    "a clean powder (invented)": "invented_reflectance_clean.csv",
    "a doped powder (invented)": "invented_reflectance_doped.csv",
    "a spectrum cut short (invented)": "invented_reflectance_short.csv",
}
# For a workbook that was moved without its data (invented).
OUTLINE = ("nm;%R (invented)\n600;92.0\n580;91.9\n560;91.7\n540;91.3\n520;90.2\n510;89.0\n500;87.0\n495;85.6\n490;83.9\n485;81.6\n480;78.7\n475;75.0\n"
           "470;70.4\n465;64.8\n460;58.3\n455;51.2\n450;44.3\n445;38.2\n440;33.2\n435;29.0\n430;25.6\n425;23.0\n420;20.9\n415;19.3\n410;18.0\n400;16.0\n"
           "390;14.6\n380;13.6\n370;12.8\n360;12.2\n350;11.7\n")  # fmt: skip
EXAMPLE = "nm;%R\n500;87.0\n490;83.9\n480;78.7\n470;70.4"
BOTH = "both, side by side"
TRANSITIONS = {BOTH: None, "indirect": "indirect", "direct": "direct"}
FOUND, BY_HAND = "found in the spectrum", "set by hand below"
TAKEN_OFF_HERE = "taken off, fitted where I say below"
BASELINES = {
    "taken off if there is any that matters": "auto",
    "left in": "none",
    "taken off": "subtract",
    "crossed in the plot": "crossing",
    TAKEN_OFF_HERE: "below",
}
SCALES = {"as the file tells": None, "percent": "%", "fractions": "fraction"}
KINDS = {"reflectance": None, "absorbance, log(1/R)": "absorbance", "Kubelka-Munk function F(R)": "F(R)"}
UNITS = {"as the file tells": None, "nm": "nm", "eV": "eV", "µm": "µm", "1/cm": "1/cm"}
_SHOWN = 8  # rows left out that are listed; all are counted
_TELLING, _MOST_PARTS = 0.4, 4  # of the uncertainty: a smaller part alone adds a tenth to it at most
# What the library asks to be typed in a cell, as a panel has it.
_WORDS = (
    (" Say which: scale='%' or scale='fraction'.", " Choose under “Readings are”."),
    (", say so: kind='absorbance'", ", choose absorbance under “What was measured”"),
    (", say so: kind='F(R)'", ", choose that under “What was measured”"),
    (" Say what it is: unit='nm', 'eV', 'µm' or '1/cm'.", " Choose under “First column is in”."),
    (" Say what they are, as in unit='nm'.", " Choose under “First column is in”."),
    (" Say which column, as in column=2.", " Check the file, and what was chosen here."),
    (", say so: scale='fraction'", ", choose that under “Readings are”"),
    (" as you said", " as chosen"),
    (
        ", but there are 0. Measure it in smaller steps.",
        ", but no row can be one as it is read here. Check “Readings are” and “What was measured”.",
    ),
)


def reflectance_answer(spectrum, transition, straight, region, baseline, below, scale, kind, unit):
    """Return the Answer for a spectrum.

    Parameters
    ----------
    spectrum : (name, bytes or text)
    transition : "direct", "indirect" or None for both
    straight : bool
        Whether ``region``, a Range of [energy], is used.
    baseline : str
        As in ``tauc_gap``, or ``"below"`` to take off a line fitted over the Range ``below``.
    scale, kind, unit : str or None
        As in ``read_reflectance``; None to take the file's word.
    """
    name, content = spectrum
    raw = content.encode("utf-8", "replace") if isinstance(content, str) else content
    read, problem = _read(raw, scale, kind, unit)
    if problem:
        raise ReadingProblem(f"{name}: {problem}")
    settings = {"region": region if straight else None, "baseline": "subtract" if baseline == "below" else baseline,
                "below": below if baseline == "below" else None}  # fmt: skip
    found = tauc_gap(read, transition, **settings) if transition else gap_report(read, **settings)
    return Answer(_reworded(found.sentence()), tauc_svg(found), _table(name, read, found), cautions("powder"))


@lru_cache(4)  # a region that moves does not read the file again
def _read(raw, scale, kind, unit):
    """Return (Reflectance, "") or (None, what is wrong with the spectrum)."""
    try:
        return read_reflectance(raw, scale=scale, kind=kind, unit=unit), ""
    except LabError as problem:
        return None, _reworded(str(problem))


def _reworded(text):
    for given, shown in _WORDS:
        text = text.replace(given, shown)
    return text


def _table(name, read, found):
    fits = (found,) if hasattr(found, "transition") else (found.indirect, found.direct)
    telling = _telling(fits)
    columns = [_first(_fit_rows(fit, telling)) for fit in fits]
    names = dict.fromkeys(name for column in columns for name in column)
    rows = [("What", *(fit.transition for fit in fits)), *((_headed(name), *(column.get(name, "") for column in columns)) for name in names)]  # fmt: skip
    wide = len(rows[0])
    lines = [(f"What was read from “{name}”:", ""), *((_headed(what), words) for what, words in _reading_rows(read))]
    return tuple(rows) + tuple((*line, *[""] * (wide - len(line))) for line in lines)


def _telling(fits):
    """Return the names of the parts of the uncertainty that are worth a row, in the order of their size."""
    sizes = {}
    for fit in fits:
        whole = fit.uncertainty.m_as("eV") if fit.parts else 0.0
        for name, part in fit.parts.items():
            sizes[name] = max(sizes.get(name, 0.0), part.m_as("eV") / whole)
    return [name for name in sorted(sizes, key=lambda name: -sizes[name]) if sizes[name] > _TELLING][:_MOST_PARTS]


def _fit_rows(fit, telling):
    """Return the rows of a fit, with the parts that hardly count in one."""
    rows = [row for row in fit.rows() if not row[0].startswith(" ")]
    if fit.gap is None:
        return rows
    rest = sum(part.m_as("eV") ** 2 for name, part in fit.parts.items() if name not in telling) ** 0.5
    parts = [(f" from the {name}", f"{fit.parts[name].m_as('eV'):.3f} eV") for name in telling if name in fit.parts]
    place = 1 + next(place for place, row in enumerate(rows) if row[0] == "standard uncertainty")
    return rows[:place] + parts + [(" from all else", f"{rest:.3f} eV")] + rows[place:]


def _headed(name):
    """Return the name of a row with a capital, but for a part of the row above it."""
    return name if name.startswith(" ") else f"{name[:1].upper()}{name[1:]}"


def _first(rows):
    """Return rows as a dict, those of the same name in one."""
    found = {}
    for name, text in rows:
        found[name] = f"{found[name]}. {text}" if name in found else text
    return found


def _reading_rows(read):
    counts = {"rows": len(read), "kept": len(read), "reasons": {}} | read.counts
    rows = [("rows", f"{counts['rows']} read, {counts['kept']} kept, {counts['rows'] - counts['kept']} left out")]
    rows += [(f"left out: {reason}", f"{count}") for reason, count in counts["reasons"].items()]
    rows += [(f"line {one.row}", f"“{one.text}”: {one.reason}") for one in read.left_out[:_SHOWN]]
    for note in (*read.notes, *read.doubts):
        what, _, words = note.partition(": ") if ": " in note[:20] else ("note", "", note)
        rows.append((what.lower(), _reworded(words)))
    return rows


def given_spectra(folder=FOLDER):
    """Return the spectra that come with the workbook as {words: bytes}, or an invented outline if none is there."""
    return given_files(folder, GIVEN) or {"an invented spectrum in outline": OUTLINE.encode()}


def reflectance_panel(folder=FOLDER):
    """Return the panel of workbook 04 that reads a spectrum.

    ``folder`` is that of the spectra shown first, from the folder of the workbook; an invented outline stands in
    if there is none.
    """
    hand = Choice("Straight part", {FOUND: False, BY_HAND: True}, FOUND)
    baseline = Choice("Absorption below the edge is", BASELINES, next(iter(BASELINES)))
    controls = {
        "spectrum": FileBox("Spectrum", given_spectra(folder), EXAMPLE, "wavelength, reflectance", "read_reflectance"),
        "transition": Choice("Taken as", TRANSITIONS, BOTH),
        "straight": hand,
        "region": TypedBox("Straight part by hand", "2.95 to 3.20 eV", "[energy] > 0", ranged=True, least="0.3 eV", most="8 eV"),
        "baseline": baseline,
        "below": TypedBox("Below the edge by hand", "1.8 to 2.3 eV", "[energy] > 0", ranged=True, least="0.3 eV", most="8 eV"),
        "scale": Choice("Readings are", SCALES, "as the file tells"),
        "kind": Choice("What was measured", KINDS, "reflectance"),
        "unit": Choice("First column is in", UNITS, "as the file tells"),
    }  # fmt: skip
    controls["region"].used_with(hand, BY_HAND, switch=True)
    controls["below"].used_with(baseline, TAKEN_OFF_HERE, switch=True)
    return Panel("Which gap does this spectrum give, and can it be trusted?", controls, reflectance_answer)
