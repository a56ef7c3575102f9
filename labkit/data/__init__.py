"""Every published or assumed number of labkit, with its source.

One CSV per printed table.  Each row carries ``source`` (a key of ``sources.toml``) and ``kind``:
``published``, ``common practice``, ``computed`` or ``from memory``.  A row without both is refused.
``evidence`` may name more keys: what has been published about the matter.
"""

import csv
import tomllib
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from labkit.errors import SourceProblem
from labkit.units import Q, Range, wrapped

__all__ = ["KINDS", "check_row", "citation", "guess", "row", "sources", "table", "tables", "value", "where_from"]

KINDS = ("published", "common practice", "computed", "from memory")
_HERE = files("labkit.data")


@cache
def sources():
    """Return the bibliography: key to ``{"text": citation, ...}``; it can be read but not changed.

    >>> sources()["memory"]["text"]
    'Not checked against a published source; treat it as a guess.'
    """
    found = tomllib.loads(_HERE.joinpath("sources.toml").read_text(encoding="utf-8"))
    return MappingProxyType({key: MappingProxyType(source) for key, source in found.items()})


def tables():
    """Return the names of all tables, sorted.

    >>> "constants" in tables()
    True
    """
    return sorted(path.name[:-4] for path in _HERE.iterdir() if path.name.endswith(".csv"))


@cache
def table(name):
    """Return the rows of one table, in printed order: column to text.  They can be read but not changed.

    Raises
    ------
    SourceProblem
        If there is no such table, or a row has no known source or kind.

    Examples
    --------
    >>> [row["name"] for row in table("handling")]
    ['recovery', 'uptake']
    """
    path = _HERE.joinpath(f"{name}.csv")
    if name not in tables():
        raise SourceProblem(f"There is no table “{name}”. There are: {', '.join(tables())}.")
    lines = (line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#"))
    rows = tuple(MappingProxyType(row) for row in csv.DictReader(lines))
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
    for key in (row.get("evidence") or "").split():
        if key not in sources():
            raise SourceProblem(f"Row “{label}” of {table_name}.csv has evidence that is no known source: {key!r}.")
    needs_page = row["kind"] == "published"
    if needs_page and not sources()[row["source"]].get("published"):
        raise SourceProblem(f"Row “{label}” of {table_name}.csv calls itself published, but its source is not.")


def row(table_name, name):
    """Return the row called ``name`` of a table.

    Raises
    ------
    SourceProblem
        If there is none; the message lists the names there are.

    Examples
    --------
    >>> row("constants", "gas constant")["source"]
    'codata'
    """
    rows = table(table_name)
    if not rows or "name" not in rows[0]:
        raise SourceProblem(f"The rows of {table_name}.csv have no names, so they can only be read as a whole, "
                            f"with table({table_name!r}).")  # fmt: skip
    for candidate in rows:
        if candidate["name"] == name:
            return candidate
    names = ", ".join(candidate["name"] for candidate in rows)
    raise SourceProblem(f"{table_name}.csv has no row “{name}”. It has: {names}.")


def value(table_name, name):
    """Return the quantity in the ``value`` and ``unit`` columns of a row.

    Raises
    ------
    SourceProblem
        If there is no such row, or it holds something else than a single value.

    Examples
    --------
    >>> print(f"{value('constants', 'speed of light'):~P}")
    299792458.0 m/s
    """
    return Q(*_number_and_unit(table_name, name))


@cache  # the pair and not the quantity, which whoever is given it could change
def _number_and_unit(table_name, name):
    found = row(table_name, name)
    if not {"value", "unit"} <= set(found):
        has = "a range: guess() gives it" if "likely" in found else "no single value"
        raise SourceProblem(f"The row “{name}” of {table_name}.csv holds {has}.")
    return float(found["value"]), Q(1, found["unit"]).units


def guess(table_name, name):
    """Return the Range in the ``low``, ``likely``, ``high`` and ``unit`` columns of a row.

    Raises
    ------
    SourceProblem
        If there is no such row, or it holds no range.

    Examples
    --------
    >>> print(guess("handling", "recovery"))
    75 to 98 %, likely 90 %
    """
    ends, unit, why = _ends_and_unit(table_name, name)
    return Range(*(Q(end, unit) for end in ends), why=why)


@cache
def _ends_and_unit(table_name, name):
    found = row(table_name, name)
    if not {"low", "likely", "high", "unit"} <= set(found):
        has = "a single value: value() gives it" if "value" in found else "no range"
        raise SourceProblem(f"The row “{name}” of {table_name}.csv holds {has}.")
    ends = tuple(float(found[column]) for column in ("low", "likely", "high"))
    return ends, Q(1, found["unit"]).units, f"{found['kind']}: {found['note']}"


def citation(name):
    """Return where a row comes from, in one line.  ``name`` is ``"table/row"`` or a source key.

    Raises SourceProblem if there is no such row or key.

    >>> citation("constants/gas constant")[:24]
    'gas constant (published)'
    """
    name = str(name)
    if name in sources():
        return sources()[name]["text"]
    table_name, _, row_name = name.partition("/")
    found = row(table_name, row_name)
    parts = [sources()[found["source"]]["text"], found.get("note")]
    return f"{row_name} ({found['kind']}): {' Note: '.join(part for part in parts if part)}"


def where_from(name):
    """Print where a number comes from, as ``citation`` finds it.

    >>> where_from("handling/uptake")  # doctest: +ELLIPSIS
    uptake (from memory): Not checked against a published source...
    """
    print(wrapped(citation(name), hanging="  "))
