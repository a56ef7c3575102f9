"""Every number in the data says where it comes from, and does not claim more than is true."""

import csv
import re
from pathlib import Path

import pytest
import scipy.constants
from helpers import PUBLISHED, all_published, assert_close, published

import labkit.data as data
from labkit.data import cautions as caution_room
from labkit.data.cautions import CLOSING, cautions, steps
from labkit.errors import ChoiceProblem, SourceProblem
from labkit.units import Q, Range, read

FOLDER = Path(data.__file__).parent
TABLES = data.tables()
WORKBOOKS = sorted(Path(__file__).parent.parent.glob("workbooks/*.ipynb"))
ROWS = [(name, row) for name in TABLES for row in data.table(name)]
# What a printed text is known by: a year, an edition, a numbered standard, or a plain word that it is only second hand.
LOOKED_UP = re.compile(
    r"\b(1[89]|20)\d\d\b|\b\d+(st|nd|rd|th)? ?edition\b|\b\de\b|\b[A-Z]+ [A-Z]?\d+-\d\d\b|secondary source"
)
OWN_WORD = {"memory": "from memory", "common_practice": "common practice", "computed": "computed"}


def test_there_are_tables_with_rows_and_sources():
    assert {"constants", "cautions"} <= set(TABLES)
    assert len(TABLES) == len(list(FOLDER.glob("*.csv")))
    assert all(data.table(name) for name in TABLES) and len(ROWS) > 300
    assert len(data.sources()) > 5


@pytest.mark.parametrize("name", TABLES)
def test_every_row_has_a_known_source_and_an_honest_kind(name):
    assert data.table(name)
    for row in data.table(name):
        data.check_row(row, name)
        source, kind = row["source"], row["kind"]
        is_published = bool(data.sources()[source].get("published"))
        assert kind in data.KINDS, row
        if kind == "published":
            assert is_published and source not in OWN_WORD, row
        if kind in ("from memory", "common practice"):  # a remembered number must not borrow a printed source
            assert not is_published, row
        if source in OWN_WORD:
            assert kind == OWN_WORD[source], row


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_well_formed(name):
    lines = [
        line for line in (FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines() if line and line[0] != "#"
    ]
    heading, *rows = list(csv.reader(lines))
    assert rows and {"source", "kind"} <= set(heading)
    assert len(set(heading)) == len(heading)
    for row in rows:
        assert len(row) == len(heading), row
        assert [cell.strip() for cell in row] == row, f"blanks around a cell: {row}"
    if "name" in heading:
        names = [row[heading.index("name")] for row in rows]
        assert all(names) and len(set(names)) == len(names), "two rows with one name"


@pytest.mark.parametrize("name", [n for n in TABLES if {"name", "value", "unit"} <= set(data.table(n)[0])])
def test_every_value_becomes_a_quantity(name):
    for row in data.table(name):
        assert data.value(name, row["name"]).units == Q(1, row["unit"]).units


@pytest.mark.parametrize(
    "name", [n for n in TABLES if {"name", "low", "likely", "high", "unit"} <= set(data.table(n)[0])]
)
def test_every_guess_becomes_a_range_that_says_why(name):
    for row in data.table(name):
        guess = data.guess(name, row["name"])
        assert isinstance(guess, Range)
        assert guess.why.startswith(row["kind"])


# ----------------------------------------------------------------------------------------- sources
def test_every_source_is_well_formed():
    for key, source in data.sources().items():
        assert re.fullmatch(r"[a-z][a-z0-9_]*", key), key
        assert set(source) <= {"text", "published"}, key
        text = source["text"]
        assert len(text) > 20 and text == text.strip() and text.endswith("."), key
        assert source.get("published", True) is True, f"{key}: leave the word out rather than write false"
        if source.get("published"):
            assert LOOKED_UP.search(text), f"{key} names no year"
            assert key not in OWN_WORD


def test_every_source_is_cited_somewhere():
    cited = {key for _, row in ROWS for key in [row["source"], *(row.get("evidence") or "").split()]}
    assert WORKBOOKS and cited
    for path in [*FOLDER.parent.rglob("*.py"), *WORKBOOKS]:
        cited.update(re.findall(r"\w+", path.read_text(encoding="utf-8")))
    assert set(data.sources()) - cited == set()


def test_memory_and_practice_are_never_called_published():
    for key in OWN_WORD:
        assert not data.sources()[key].get("published")
    assert "not checked" in data.sources()["memory"]["text"].lower()


def test_the_tables_that_tests_compare_with_name_their_sources_too():
    for name in all_published():
        assert published(name)
    with pytest.raises(AssertionError, match="no nothing_here.csv"):
        published("nothing_here")


def test_a_published_table_without_rows_or_sources_is_noticed(tmp_path, monkeypatch):
    monkeypatch.setattr("helpers.PUBLISHED", tmp_path)
    assert PUBLISHED != tmp_path
    for text, complaint in [("# only words\n", "no rows"), ("a,source\n", "no rows"), ("a,source\n1,\n", "no source"), ("a\n1\n", "no source"),
                            ("a,source\n1,x,y\n", "does not fit"), ("a,b,source\n1,x\n", "does not fit")]:  # fmt: skip
        (tmp_path / "planted.csv").write_text(text, encoding="utf-8")
        with pytest.raises(AssertionError, match=complaint):
            published("planted")
    (tmp_path / "planted.csv").unlink()
    with pytest.raises(AssertionError, match="no tables"):
        all_published()


# ----------------------------------------------------------------------------------- planted orphans
@pytest.mark.parametrize("changes, complaint", [
    ({"source": "somebody_said"}, "no known source: 'somebody_said'"),
    ({"source": ""}, "no known source"),
    ({"source": None}, "no known source"),
    ({"kind": ""}, "must be one of"),
    ({"kind": "measured"}, "must be one of"),
    ({"kind": None}, "must be one of"),
    ({"source": "memory"}, "calls itself published"),
    ({"source": "common_practice"}, "calls itself published"),
    ({"source": "computed"}, "calls itself published"),
    ({"evidence": "si_brochure somebody_said"}, "evidence that is no known source: 'somebody_said'"),
])  # fmt: skip
def test_an_orphan_row_is_refused(changes, complaint):
    good = {"name": "planted", "value": "1", "unit": "g", "source": "si_brochure", "kind": "published"}
    data.check_row(good, "planted_table")
    with pytest.raises(SourceProblem, match=complaint) as problem:
        data.check_row(good | changes, "planted_table")
    assert "“planted”" in str(problem.value) and "planted_table.csv" in str(problem.value)


def test_a_row_without_the_columns_is_refused():
    for row in ({"name": "planted"}, {"name": "planted", "source": "si_brochure"}, {}):
        with pytest.raises(SourceProblem):
            data.check_row(row, "planted_table")


def forget():
    """Let the loader read its files again."""
    for remembered in (data.table, data.sources, data._number_and_unit, data._ends_and_unit):
        remembered.cache_clear()


@pytest.fixture
def own_folder(tmp_path, monkeypatch):
    """Let the loader read from a folder of this test alone."""
    (tmp_path / "sources.toml").write_text((FOLDER / "sources.toml").read_text(encoding="utf-8"), encoding="utf-8")
    monkeypatch.setattr(data, "_HERE", tmp_path)
    forget()
    yield tmp_path
    forget()


def test_a_table_with_one_orphan_is_refused_whole(own_folder):
    heading = "# a remark\nname,value,unit,source,kind,note\n\n"
    (own_folder / "planted.csv").write_text(heading + "good,2.5,g,si_brochure,published,\n", encoding="utf-8")
    assert data.tables() == ["planted"]
    assert data.value("planted", "good") == Q(2.5, "g")
    for orphan in (
        "bad,2.5,g,nowhere,published,\n",
        "bad,2.5,g,memory,published,\n",
        "bad,2.5,g,memory,,\n",
        "bad,2.5,g\n",
    ):
        forget()
        with open(own_folder / "planted.csv", "w", encoding="utf-8") as file:
            file.write(heading + "good,2.5,g,si_brochure,published,\n" + orphan)
        with pytest.raises(SourceProblem, match="“bad” of planted.csv"):
            data.value("planted", "good")


def test_a_source_that_is_struck_out_orphans_its_rows(own_folder):
    (own_folder / "planted.csv").write_text(
        "name,value,unit,source,kind,note\ngood,2.5,g,si_brochure,published,\n", encoding="utf-8"
    )
    (own_folder / "sources.toml").write_text('[memory]\ntext = "From memory; not checked."\n', encoding="utf-8")
    data.sources.cache_clear()
    with pytest.raises(SourceProblem, match="no known source: 'si_brochure'"):
        data.table("planted")


# ---------------------------------------------------------------------------------- asked by a reader
@pytest.mark.parametrize("name", [name for name in TABLES if data.table(name)[0].get("name")])
def test_where_from_prints_row_kind_and_source(name, capsys):
    for row in data.table(name):
        assert data.where_from(f"{name}/{row['name']}") is None
        text = " ".join(capsys.readouterr().out.split())  # however the lines are broken
        for part in (row["name"], f"({row['kind']})", data.sources()[row["source"]]["text"], row.get("note") or ""):
            assert " ".join(part.split()) in text, row["name"]


def test_where_from_prints_a_source_by_its_key(capsys):
    data.where_from("si_brochure")
    assert "SI Brochure" in capsys.readouterr().out


@pytest.mark.parametrize(
    "question", ["nonsense", "nonsense/row", "constants/nonsense", "", "/", "constants", "constants/"]
)
def test_a_question_about_nothing_is_told_what_there_is(question):
    with pytest.raises(SourceProblem) as problem:
        data.where_from(question)
    assert "constants" in str(problem.value) or "Planck constant" in str(problem.value)


def test_the_message_lists_what_there_is():
    with pytest.raises(SourceProblem, match="Planck constant"):
        data.row("constants", "plank constant")
    with pytest.raises(SourceProblem, match="cautions"):
        data.table("constnats")


# --------------------------------------------------------------------- constants against another copy
@pytest.mark.parametrize("name, theirs, unit", [
    ("Planck constant", scipy.constants.h, "J*s"), ("speed of light", scipy.constants.c, "m/s"), ("elementary charge", scipy.constants.e, "C"),
    ("Avogadro constant", scipy.constants.N_A, "1/mol"), ("gas constant", scipy.constants.R, "J/mol/K"), ("standard atmosphere", scipy.constants.atm, "Pa"),
    ("Faraday constant", scipy.constants.value("Faraday constant"), "C/mol"),
])  # fmt: skip
def test_the_constants_agree_with_scipys_copy_of_codata(name, theirs, unit):
    # All are exact since 2019.  Some versions of scipy print what is derived to ten figures only.
    relative = 1e-10 if name in ("Faraday constant", "gas constant") else 1e-15
    assert_close(data.value("constants", name), Q(theirs, unit), relative=relative)


def test_an_atmosphere_that_is_typed_is_the_standard_one():
    assert_close(read("1 atm").to("Pa"), data.value("constants", "standard atmosphere"), relative=1e-12)


def test_the_faraday_constant_is_the_charge_of_a_mole_of_electrons():
    charge = data.value("constants", "elementary charge") * data.value("constants", "Avogadro constant")
    assert_close(data.value("constants", "Faraday constant"), charge, relative=1e-13)


def test_the_gas_constant_follows_from_boltzmann_and_avogadro():
    assert_close(data.value("constants", "gas constant"), Q(1.380649e-23 * 6.02214076e23, "J/mol/K"), relative=1e-14)


# --------------------------------------------------------------------------- what is handed out stays as it is
def test_nobody_can_change_a_table_or_the_bibliography():
    with pytest.raises(TypeError):
        data.table("constants")[0]["value"] = "1"
    with pytest.raises(TypeError):
        data.sources()["planted"] = {}
    with pytest.raises(TypeError):
        data.sources()["memory"]["published"] = True
    before = data.value("constants", "gas constant")
    data.value("constants", "gas constant").ito("kJ/mol/K")
    data.guess("gaps", "melon").low.ito("J")
    assert data.value("constants", "gas constant").units == before.units
    assert str(data.guess("gaps", "melon").low.units) == "electron_volt"


@pytest.mark.parametrize("ask, words", [
    (lambda: data.where_from("cautions/firing"), "no names"), (lambda: data.row("cautions", "firing"), "no names"),
    (lambda: data.value("gaps", "melon"), "guess"), (lambda: data.guess("constants", "gas constant"), "value"),
    (lambda: data.value("routes", "urea usual melon"), "no single value"), (lambda: data.guess("routes", "urea usual melon"), "no range"),
])  # fmt: skip
def test_a_row_of_another_kind_gets_a_kind_word(ask, words):
    with pytest.raises(SourceProblem, match=words):
        ask()


# ------------------------------------------------------------------------------------------ cautions
def test_the_steps_with_cautions_are_those_of_the_work():
    assert set(steps()) == {
        "firing",
        "thiourea",
        "melamine",
        "powder",
        "chlorides",
        "other metals",
        "solvent",
        "spinning",
        "hydrogen",
        "light",
        "kiln",
        "room",
    }
    assert len(steps()) == len(set(steps()))


@pytest.mark.parametrize("step", steps())
def test_cautions_are_given_and_end_with_who_decides(step):
    lines = cautions(step).splitlines()
    assert len(lines) >= 2
    assert lines[-1] == f"• {CLOSING}"
    assert all(re.fullmatch(r"• \S.{20,}\.", line) for line in lines), lines
    assert len(set(lines)) == len(lines)


def test_the_closing_line_leaves_it_to_local_codes_and_licensed_people():
    assert "local codes" in CLOSING.lower() and "licensed" in CLOSING


# Which word must not be missing from which step: what customary cautions agree on.
@pytest.mark.parametrize("step, words", [
    ("firing", ["ammonia", "isocyanic acid", "outdoors", "Never seal", "microwave"]),
    ("powder", ["mask", "eye protection", "Label"]),
    ("chlorides", ["gloves", "eye protection", "hydrogen chloride", "Never heat zinc chloride", "disposal"]),
    ("solvent", ["no flame", "no spark", "closed oven"]),
    ("hydrogen", ["4 %", "outdoors", "oxygen", "explosive", "No flame"]),
    ("light", ["Never look", "ltraviolet"]),
])  # fmt: skip
def test_the_caution_that_matters_most_is_there(step, words):
    text = cautions(step)
    for word in words:
        assert word in text


def test_an_unknown_step_is_told_which_there_are():
    for names in (("cooking",), ("firing", "cooking"), (), (None,)):
        with pytest.raises(ChoiceProblem, match="firing"):
            caution_room.cautions(*names)


# ---------------------------------------------------------------- the comparison that every test uses
@pytest.mark.parametrize("got, expected, tolerance", [
    (Q(1.1, "g"), Q(1, "g"), {"within": Q(0.01, "g")}), (Q(1.1, "g"), Q(1, "g"), {"relative": 0.05}), (Q(1, "g"), Q(1, "mL"), {"relative": 1}),
    (1, Q(1, "g"), {"relative": 1}), (Q(1, "g"), 1, {"relative": 1}), (Q(float("nan"), "g"), Q(1, "g"), {"relative": 1}), (Q([1, 1], "g"), Q(1, "g"), {"relative": 1}),
    (Q([1, 2], "g"), Q([1, 3], "g"), {"within": Q(0.5, "g")}), (Q(20, "degC"), Q(20, "K"), {"within": Q(1, "K")}), (Q(5), Q(5, "percent"), {"relative": 0.1}),
    (Q([], "g"), Q([], "g"), {"relative": 1}), (1.0, 1.1, {"within": 0.01}),
])  # fmt: skip
def test_the_comparison_fails_when_it_should(got, expected, tolerance):
    with pytest.raises(AssertionError, match="got|expected"):
        assert_close(got, expected, **tolerance)


def test_the_comparison_passes_when_it_should():
    assert_close(Q(1, "kg"), Q(1001, "g"), within=Q(2, "g"))
    assert_close(Q(293.15, "K"), Q(20, "degC"), within=Q(0.01, "K"))
    assert_close(Q(20, "degC"), Q(293.15, "K"), within=Q(0.01, "delta_degC"))
    assert_close(0.05, Q(5, "percent"), relative=1e-9)
    assert_close(Q([1.0, 2.0], "g"), Q([1.0, 2.0], "g"), within=Q(1e-9, "g"))
    for tolerance in ({}, {"within": Q(1, "g"), "relative": 1}, {"within": 1}):
        with pytest.raises(TypeError):
            assert_close(Q(1, "g"), Q(1, "g"), **tolerance)
