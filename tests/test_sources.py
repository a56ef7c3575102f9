"""Every source in the bibliography is used, and every key that is named is in the bibliography."""

import re
from pathlib import Path

import pytest

import labkit
from labkit import data

PACKAGE = Path(labkit.__file__).parent
TOP = PACKAGE.parent
SOURCES = data.sources()
ROWS = [(name, row) for name in data.tables() for row in data.table(name)]


def named():
    """Return the keys that stand in a table, or as a whole word in a module or a workbook."""
    in_tables = {key for _, row in ROWS for key in (row["source"], *(row.get("evidence") or "").split())}
    texts = [path.read_text(encoding="utf-8") for path in [*PACKAGE.rglob("*.py"), *TOP.glob("workbooks/*.ipynb")]]
    assert len(texts) > 30
    in_words = {word for text in texts for word in re.findall(r"[a-z][a-z0-9_]*", text)}
    return in_tables | (in_words & set(SOURCES))


def test_no_source_stands_there_for_nothing():
    assert len(SOURCES) > 20
    assert not set(SOURCES) - named()


def test_a_planted_source_would_be_found(monkeypatch):
    planted = "nobody_" + "cites_this"
    monkeypatch.setitem(globals(), "SOURCES", {**SOURCES, planted: {"text": "Planted."}})
    assert set(SOURCES) - named() == {planted}


def test_what_is_named_as_evidence_is_published():
    keys = [key for _, row in ROWS for key in (row.get("evidence") or "").split()]
    assert len(keys) > 5
    for key in keys:
        assert SOURCES[key].get("published"), key


@pytest.mark.parametrize("module", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.name)
def test_keys_under_references_are_in_the_bibliography(module):
    """A word with a year at its end, under the heading References of a docstring, is meant as a key."""
    text = module.read_text(encoding="utf-8")
    for part in re.findall(r"^ *References\n *-{5,}\n(.*?)(?:\n\n|\"\"\")", text, flags=re.DOTALL | re.MULTILINE):
        for key in re.findall(r"\b[a-z][a-z0-9_]*_\d{4}\b", part):
            assert key in SOURCES, key
