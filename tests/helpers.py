"""What several tests share: tables printed by others, a comparison with a tolerance that has a unit, tags of a page."""

import csv
import html.parser
from functools import cache
from pathlib import Path

import numpy as np

from labkit.units import Q, is_quantity

PUBLISHED = Path(__file__).resolve().parent / "published"
# Salts of dopants.csv as periodictable, the second table of atomic weights, spells them.
PERIODICTABLE_SALTS = {"FeCl3": "FeCl3", "FeCl3·6H2O": "FeCl3(H2O)6", "ZnCl2": "ZnCl2"}


def published(name):
    """Return the rows of ``tests/published/<name>.csv`` as dicts of text.

    Blank lines and lines that start with ``#`` are skipped.  Asserts that there are rows and that
    each says in its ``source`` column where it was printed.
    """
    path = PUBLISHED / f"{name}.csv"
    assert path.is_file(), f"there is no {path.name} in {path.parent.name}"
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line.strip() and line[0] != "#"]
    rows = list(csv.DictReader(lines))
    assert rows, f"{path.name} has no rows"
    for number, row in enumerate(rows, start=1):
        assert None not in row and None not in row.values(), f"row {number} of {path.name} does not fit the heading"
        assert (row.get("source") or "").strip(), f"row {number} of {path.name} has no source: {row}"
    return rows


def all_published():
    """Return the names of all tables in ``tests/published``, sorted; asserts that there are some."""
    names = sorted(path.stem for path in PUBLISHED.glob("*.csv"))
    assert names, f"no tables in {PUBLISHED.name}"
    return names


def assert_close(got, expected, within=None, relative=None):
    """Raise AssertionError unless two numbers or quantities agree.

    Parameters
    ----------
    got, expected : number, array or quantity
        Compared in the unit of ``expected``; a quantity of another kind fails.
    within : quantity (number, if ``expected`` is a number), optional
        Largest difference allowed.  For temperatures a difference: ``Q(1, "K")``.
    relative : float, optional
        Largest difference allowed as a fraction of ``expected``.

    Exactly one of ``within`` and ``relative`` is given.  Arrays must have the same shape and agree
    everywhere; NaN and values with uncertainty (by their nominal value) never pass by accident.
    """
    if (within is None) == (relative is None):
        raise TypeError("assert_close() needs exactly one of within and relative")
    for value, other in ((got, expected), (expected, got)):
        if is_quantity(value) and value.dimensionality and not is_quantity(other):
            raise AssertionError(f"got {got}, expected {expected}: only one of them has a unit")
    wanted, found = _numbers(expected, like=None), _numbers(got, like=expected)
    assert wanted.size, f"nothing to compare: expected {expected!r}"
    assert found.shape == wanted.shape, f"shapes differ: got {got!r}, expected {expected!r}"
    allowed = relative * np.abs(wanted) if within is None else _difference(within, expected)
    difference = np.abs(found - wanted)
    if not np.all(difference <= allowed):  # written so that NaN fails
        limit = f"{within}" if within is not None else f"{relative:g} of it"
        raise AssertionError(f"got {got}, expected {expected}; they differ by {np.max(difference):.6g}, "
                             f"more than {limit} (in the unit of what was expected)")  # fmt: skip


def _numbers(value, like):
    if like is not None and is_quantity(value) | is_quantity(like):
        value = value if is_quantity(value) else Q(value)
        unit = like.units if is_quantity(like) else "dimensionless"
        if not value.is_compatible_with(unit):
            raise AssertionError(f"got {value}, which cannot be compared with {like}: another kind of quantity")
        value = value.to(unit)
    value = np.asarray(value.magnitude if is_quantity(value) else value, dtype=object)
    return np.vectorize(lambda item: float(getattr(item, "nominal_value", item)), otypes=[float])(value)


def _difference(within, expected):
    if not is_quantity(expected) or not expected.dimensionality:
        within = within if is_quantity(within) else Q(within)
    elif not is_quantity(within):
        raise TypeError(f"within needs a unit, as expected has one ({expected.units})")
    name = str(expected.units) if is_quantity(expected) else "dimensionless"
    if name in ("degree_Celsius", "degree_Fahrenheit"):  # a tolerance on a reading is a difference
        name = f"delta_{name}"
    return float(within.to(name).magnitude)


@cache
def raw_spectrum():
    """Return (nm, W/m²/nm) of the file in the pvlib wheel, read without pvlib's or labkit's readers."""
    import pvlib

    with open(Path(pvlib.__file__).parent / "data" / "ASTMG173.csv", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    column = next(row for row in rows if "global" in row).index("global")
    numbers = np.array([(float(row[0]), float(row[column])) for row in rows if row[0][:1].isdigit()]).T
    assert numbers.shape == (2, 2002)
    return numbers


class Tags(html.parser.HTMLParser):
    """What a browser would take for tags, their attributes and words in some pieces of markup."""

    def __init__(self, *markup):
        super().__init__()
        self.tags, self.attributes, self.text = set(), set(), ""
        for piece in markup:
            self.feed(piece)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data):
        self.text += data

    @property
    def plain(self):
        """The words with ordinary blanks."""
        return self.text.replace("\u00a0", " ")
