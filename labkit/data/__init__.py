"""Every published or assumed number of labkit, with its source.

One CSV per printed table.  Each row carries ``source`` (a key of ``sources.toml``) and ``kind``:
``published``, ``common practice``, ``computed`` or ``from memory``.  A row without both is refused.
"""

import csv
import tomllib
from functools import cache
from importlib.resources import files

from labkit.errors import SourceProblem
from labkit.units import Q, Range, wrapped

KINDS = ("published", "common practice", "computed", "from memory")
_HERE = files("labkit.data")


@cache
def sources():
    """Return the bibliography: key to ``{"text": citation, ...}``."""
    return tomllib.loads(_HERE.joinpath("sources.toml").read_text(encoding="utf-8"))


def tables():
    """Return the names of all tables, sorted."""
    return sorted(path.name[:-4] for path in _HERE.iterdir() if path.name.endswith(".csv"))


@cache
def table(name):
    """Return the rows of one table as a tuple of dicts of text, in printed order.

    Raises
    ------
    SourceProblem
        If there is no such table, or a row has no known source or kind.
    """
    path = _HERE.joinpath(f"{name}.csv")
    if name not in tables():
        raise SourceProblem(f"There is no table “{name}”. There are: {', '.join(tables())}.")
    lines = (line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#"))
    rows = tuple(csv.DictReader(lines))
    for row in rows:
        check_row(row, name)
    return rows


def check_row(row, table_name):
    """Raise SourceProblem unless a row names a known source and says what kind of number it is."""
    label = row.get("name") or next(iter(row.values()), "?")
    if row.get("source") not in sources():
        raise SourceProblem(f"Row “{label}” of {table_name}.csv has no known source: {row.get('source')!r}.")
    if row.get("kind") not in KINDS:
        raise SourceProblem(f"Row “{label}” of {table_name}.csv must be one of {KINDS}, not {row.get('kind')!r}.")
    needs_page = row["kind"] == "published"
    if needs_page and not sources()[row["source"]].get("published"):
        raise SourceProblem(f"Row “{label}” of {table_name}.csv calls itself published, but its source is not.")


def row(table_name, name):
    """Return the row called ``name`` of a table.

    Raises
    ------
    SourceProblem
        If there is none; the message lists the names there are.
    """
    for candidate in table(table_name):
        if candidate["name"] == name:
            return candidate
    names = ", ".join(candidate["name"] for candidate in table(table_name))
    raise SourceProblem(f"{table_name}.csv has no row “{name}”. It has: {names}.")


def value(table_name, name):
    """Return the quantity in the ``value`` and ``unit`` columns of a row."""
    found = row(table_name, name)
    return Q(float(found["value"]), found["unit"])


def guess(table_name, name):
    """Return the Range in the ``low``, ``likely``, ``high`` and ``unit`` columns of a row."""
    found = row(table_name, name)
    low, likely, high = (Q(float(found[column]), found["unit"]) for column in ("low", "likely", "high"))
    return Range(low, likely, high, why=f"{found['kind']}: {found['note']}")


def citation(name):
    """Return where a row comes from, in one line.  ``name`` is ``"table/row"`` or a source key."""
    if name in sources():
        return sources()[name]["text"]
    table_name, _, row_name = name.partition("/")
    found = row(table_name, row_name)
    parts = [sources()[found["source"]]["text"], found.get("note")]
    return f"{row_name} ({found['kind']}): {' Note: '.join(part for part in parts if part)}"


def where_from(name):
    """Print where a number comes from: ``where_from("constants/gas constant")``."""
    print(wrapped(citation(name), hanging="  "))
