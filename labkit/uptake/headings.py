"""Which column of a table is which: by the words and the units of its headings, and by order where there are none."""

import re
from dataclasses import dataclass

from labkit.errors import ReadingProblem
from labkit.units import Q, split_need, unit_text
from labkit.uptake.rows import unit_named

_WORDS = re.compile(r"[a-zà-ÿ]+[0-9]?|[0-9]+")
_LOWERED = str.maketrans({"_": "", "₀": "0", "₁": "1", "ₑ": "e", "ₜ": "t"})
_SLOTS = re.compile(r"[(\[]([^()\[\]]{1,24})[)\]]")
_METAL = re.compile(r"\b([µumk]?(?:g|mol)) (?:[A-Z][A-Za-z0-9]{0,10}) ?/ ?")  # mg Fe/L
LABELS = {"label", "name", "sample", "jar", "standard", "vial", "wash", "no", "nr", "number", "id", "tube"}
_PLAIN = {"au", "a.u.", "abs", "1", "-", "absorbance units"}  # what stands for no unit beside an absorbance
_SHARES = {"percent", "ppm", "ppb", "permille"}
# What is another quantity, and so not the one that is lacking: an absorbance is no uptake.
_OTHERS = {
    "a",
    "abs",
    "absorbance",
    "extinction",
    "t",
    "transmittance",
    "transmission",
    "share",
    "removal",
    "ph",
    "temperature",
    "error",
    "sd",
}
_UNITLIKE = re.compile(r"/|%|‰|\bper\b|\bpercent\b|⁻|\^-|[a-z]-1\b|molar|\bpp[mbt]\b|[(\[] *[a-zµμ]{1,4} *[)\]]")


@dataclass(frozen=True)
class Column:
    """A column that is wanted.

    Parameters
    ----------
    name : str
        What it is called: ``"concentration"``.
    need : str
        Its dimension and the sign of its numbers, as for ``takes``: ``"[mass concentration] >= 0"``.
    unit : str
        The unit its numbers are given in; ``""`` for plain numbers.
    words : str
        Words of a heading that name it, with blanks between: ``"c conc concentration"``.
    molar : str
        A unit of amount instead of mass that is taken too: ``"mmol/L"``.
    needed : bool
        False if a table may do without it.
    gaps : bool
        True if a row may do without it; its number then is not a number.
    most : float
        The largest number it can have.
    sure : bool
        True if its unit has to be said, and is not taken for granted.
    """

    name: str
    need: str
    unit: str
    words: str
    molar: str = ""
    needed: bool = True
    gaps: bool = False
    most: float = 1e9
    sure: bool = False

    @property
    def sign(self):
        """The sign asked for: ``""``, ``">"`` or ``">="``."""
        return split_need(self.need)[1]

    def kind(self, unit):
        """Return “mass” or “molar” for a unit that its numbers may have, else None."""
        if str(unit) in _SHARES:
            return None
        if not self.unit:
            return "mass" if "absorbance" in str(unit) else None
        for kind, own in (("mass", self.unit), ("molar", self.molar)):
            if own and Q(1, own).dimensionality == Q(1, unit).dimensionality:
                return kind
        return None


def likeness_to(columns):
    """Return a function that says how many of the fields of a line look like the heading of one of the columns."""

    def likeness(fields):
        return sum(any(_hits(column, field) for column in columns) for field in fields)

    return likeness


def places_of(table, columns, asked, function):
    """Return ({name: place}, place of the labels or None, notes) of a table.

    Parameters
    ----------
    table : Rows
    columns : sequence of Column
    asked : dict
        From names to the number (the first is 1) or the heading of a column.

    Raises
    ------
    ReadingProblem
        If a needed column is not found, or may be more than one; says what to type.
    """
    found = {}
    for name, where in (asked or {}).items():
        if name not in {column.name for column in columns}:
            raise ReadingProblem(f"There is no column “{str(name)[:30]}” in {function}(). There are: {', '.join(column.name for column in columns)}.")  # fmt: skip
        found[name] = _asked(table, where)
    numeric = [place for place in range(table.wide) if place not in found.values() and table.is_numeric(place)]
    named = _by_headings(table, columns, found, numeric, function) if table.names else {}
    found |= named
    label = _label(table, set(found.values()), numeric)
    rest = [place for place in numeric if place not in found.values() and place != label]
    lacking = [column for column in columns if column.needed and column.name not in found]
    note = ""
    if lacking:
        if len(lacking) != len(rest) or (table.names and len(lacking) > 1 and named):
            raise ReadingProblem(_lacking(table, lacking, rest, function))
        if any(
            is_other(name) or is_share_of_light(name) and lacking[0].unit
            for name in (table.names[place] for place in rest if place < len(table.names))
        ):
            raise ReadingProblem(_lacking(table, lacking, rest, function))
        found |= {column.name: place for column, place in zip(lacking, rest)}
        how = "The headings do not say which column is which" if table.names else "There is no heading"
        names = [column.name for column in columns if column.name in found]
        note = f"{how}: the columns are taken to be {', '.join(names)}, in this order."
        if len(lacking) == 1:
            note = f"The {lacking[0].name} is taken from the one column of numbers that was left."
    unused = [place for place in numeric if place not in found.values() and place != label and place < len(table.names)]
    left = "Not used: " + ", ".join(named_column(table, place) for place in unused) + "." if unused else ""
    return found, label, tuple(filter(None, (note, left)))


def unit_in(heading, column):
    """Return (unit that a heading names for a column or None, its text, a unit of another kind in its place or None)."""
    foreign = None
    texts, slots = _unit_texts(heading)
    for place, text in enumerate(texts):
        unit = unit_named(text)
        if unit is None:
            if not column.unit and text.lower() in _PLAIN:
                return None, text, None
            continue
        if column.kind(unit):
            return unit, text, None
        # One letter, such as the t of a time, is a name and no unit; and so is a word that names the column.
        if not column.unit and place < slots and not (unit.dimensionality == {"[length]": 1} or unit.dimensionless):
            foreign = foreign or text
        if (
            column.unit
            and (slots and place < slots or text == heading.strip() and len(text) > 1)
            and not _names(column, text)
        ):
            foreign = foreign or text
    return None, "", foreign


def is_share_of_light(heading):
    """Return True for a heading of a transmittance: ``%T``, ``T (%)``, ``transmission``.

    >>> is_share_of_light("%T"), is_share_of_light("T"), is_share_of_light("t / min")
    (True, True, False)
    """
    plain = re.sub(r"[^a-zA-Z%]", "", heading)
    return plain in ("T", "%T", "T%", "%t", "t%", "Tpercent") or "transmi" in heading.lower()


def is_other(heading):
    """Return True for a heading that names a quantity which is none of those that may be guessed.

    >>> is_other("T"), is_other("%"), is_other("y")
    (False, True, False)
    """
    if is_share_of_light(heading):
        return False  # that has a word of its own
    return "%" in heading or bool(set(_WORDS.findall(heading.lower())) & _OTHERS)


def seems_to_have_unit(heading):
    """Return True for a heading that seems to name a unit, whether it is understood or not.

    >>> seems_to_have_unit("c (gFe/L)"), seems_to_have_unit("c (wt%)"), seems_to_have_unit("c (Fe)")
    (True, True, False)
    """
    return bool(_UNITLIKE.search(heading.lower() if "(" not in heading else heading))


def named_column(table, place):
    """Return “column 2 (“mg/L”)”."""
    name = table.names[place] if place < len(table.names) else ""
    return f"column {place + 1}" + (f" (“{name[:40]}”)" if name else "")


def unit_words(unit):
    """Return a unit, or its text, as printed text.

    >>> unit_words("mg/L")
    'mg/L'
    """
    return unit_text(Q(1, unit).units)


def _unit_texts(heading):
    """Return parts of a heading that may be its unit, the likeliest first, and how many stand where a unit does."""
    heading = _METAL.sub(r"\1/", heading.strip())
    found = [hit.strip() for hit in _SLOTS.findall(heading)]
    if " / " in heading:
        found.append(heading.split(" / ", 1)[1].strip())
    elif "/" in heading and not found:
        found.append(heading.split("/", 1)[1].strip())
    slots = 0 if unit_named(heading) is not None else len(found)  # the L of mg/L is a part of a unit
    words = heading.split()
    found += [heading, *(" ".join(words[place:]) for place in range(1, len(words))), *words]
    return [text for text in dict.fromkeys(found) if text], slots


def _names(column, heading):
    """Return True if a word of a heading is one of those of a column."""
    return bool(set(_WORDS.findall(heading.lower().translate(_LOWERED))) & set(column.words.split()))


def _hits(column, heading):
    """Return how well a heading fits a column: 2 by its words, 1 by its unit alone, 3 by both, 0 not at all."""
    unit, text, _ = unit_in(heading, column)
    rest = heading.replace(text, " ", 1) if text and unit is not None else heading
    return 2 * _names(column, rest) + (unit is not None and bool(column.unit))


def _by_headings(table, columns, taken, numeric, function):
    """Return {name: place} of the columns that the headings name."""
    free = [place for place in range(len(table.names)) if place not in taken.values()]
    scores = {column: {place: _hits(column, table.names[place]) for place in free} for column in columns if column.name not in taken}  # fmt: skip
    found = {}
    for wanted in (3, 2, 1):
        again = True
        while again:  # what one column takes may leave the last place for another
            again = False
            for column, score in scores.items():
                hits = [place for place in free if score[place] == wanted and place not in found.values()]
                if (
                    column.name in found
                    or not hits
                    or max(score[place] for place in free if place not in found.values()) > wanted
                ):
                    continue
                with_numbers = [place for place in hits if place in numeric]
                hits = with_numbers or hits
                if len(hits) > 1 and wanted > 1 and column.needed:
                    listed = ", ".join(f"{place + 1} “{table.names[place][:30]}”" for place in hits)
                    raise ReadingProblem(f"Which column is the {column.name}? There are: {listed}. Say which, as in "
                                         f"{function}(…, places={{{column.name!r}: {hits[0] + 1}}}).")  # fmt: skip
                if len(hits) == 1:
                    found[column.name] = hits[0]
                    again = True
    return found


def _label(table, taken, numeric):
    """Return the place of the names of the rows, None if there is none."""
    free = [place for place in range(table.wide) if place not in taken]
    for place in free:
        if place < len(table.names) and set(_WORDS.findall(table.names[place].lower())) & LABELS:
            return place
    texts = [
        place
        for place in free
        if place not in numeric and any(place < len(row.fields) and row.fields[place] for row in table.rows)
    ]
    return texts[0] if texts else None


def _asked(table, where):
    if isinstance(where, int) and not isinstance(where, bool) and 1 <= where <= table.wide:
        return where - 1
    hits = [
        place
        for place, name in enumerate(table.names)
        if isinstance(where, str) and where.strip().lower() == name.lower()
    ]
    if len(hits) != 1:
        raise ReadingProblem(f"There is no such column. The table has {table.wide}; the first is 1.")
    return hits[0]


def _lacking(table, lacking, rest, function):
    names = " and ".join(column.name for column in lacking)
    if not table.names:
        return (f"{function}() needs {names}, but there are {len(rest)} columns of numbers and no heading. Put one above, "
                f"such as {'; '.join(f'{column.name} ({unit_words(column.unit)})' if column.unit else column.name for column in lacking)}.")  # fmt: skip
    listed = (
        ", ".join(f"{place + 1} “{table.names[place][:30] if place < len(table.names) else ''}”" for place in rest)
        or "none"
    )
    return (f"Which column is the {names}? Columns of numbers that are left: {listed}. Write it into the heading, or say which, as in "
            f"{function}(…, places={{{lacking[0].name!r}: 2}}).")  # fmt: skip
