"""Tables of standards, samples, isotherms, kinetics and photographs, however they were written."""

import time
from pathlib import Path

import numpy as np
import pytest
from hostile import HOSTILE
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError, RangeProblem, ReadingProblem
from labkit.units import Q
from labkit.uptake import read_isotherm, read_kinetics, read_photo, read_samples, read_standards
from labkit.uptake.readings import ABSORBANCE, CONCENTRATION, Column, read_columns, readings_of

BUNDLED = Path(__file__).resolve().parent.parent / "workbooks" / "data"
C, A = [0.0, 2.5, 5.0, 10.0], [0.004, 0.081, 0.158, 0.312]


@pytest.mark.parametrize("text", [
    "c / mg/L;A\n0;0.004\n2.5;0.081\n5;0.158\n10;0.312",
    "c (mg/L);A\n0;0,004\n2,5;0,081\n5,0;0,158\n10;0,312",
    "Conc [mg/L]\tabs\n0\t0.004\n2.5\t0.081\n5\t0.158\n10\t0.312",
    "name,concentration mg/L,absorbance\nblank,0,0.004\nS1,2.5,0.081\nS2,5,0.158\nS3,10,0.312",
    "# standards (invented)\r\n\r\nA;g/L\r\n.004;0\r\n.081;.0025\r\n.158;.005\r\n.312;.010\r\n",
    "c / mg/L A\n0 0.004\n2.5 0.081\n5 0.158\n10 0.312",
    "0;0,004\n2,5;0,081\n5;0,158\n10;0,312",
    "S0 0 0.004\nS1 2.5 0.081\nS2 5 0.158\nS3 10 0.312",
    "jar;c;A (510 nm)\nS 0;0 mg/L;0.004\nS 1;2500 µg/L;0.081\nS 2;5 mg/L;0.158\nS 3;0.01 g/L;0.312",
    "mg/L;510 nm\n0;0.004\n2.5;0.081\n5;0.158\n10;0.312",
    "Series of May;;\nname;mg Fe/L;A;note\nb;0;0.004;\nS1;2.5;0.081;cloudy\nS2;5;0.158\nS3;10;0.312;",
    '"mg/L";"A"\n"0";"0,004"\n"2,5";"0,081"\n"5";"0,158"\n"10";"0,312"',
    "c/µg/mL;mAU\n0;4 mAU\n2.5;81 mAU\n5;158 mAU\n10;312 mAU",
    "A;c/mg/L\n0.004;0\n0.081;2.5\n0.158;5\n0.312;10",
    "blank;;0.004\nS1;2.5;0.081\nS2;5;0.158\nS3;10;0.312",
])  # fmt: skip
def test_the_same_standards_in_many_hands(text):
    for source in (text, text.encode(), text.encode("utf-16"), ("\ufeff" + text).encode()):
        found = read_standards(source)
        assert found["concentration"] == pytest.approx(C, abs=1e-9) and found["absorbance"] == pytest.approx(
            A, abs=1e-9
        )
        assert found.rows == 4 and found.left_out == 0 and found.units == {"concentration": "mg/L", "absorbance": ""}
        assert found.quantity("concentration")[1].to("g/L").magnitude == pytest.approx(0.0025)


def test_masses_and_amounts_mix_with_a_formula_only():
    text = "c;A\n5 mg/L;0.1\n0.2 mmol/L;0.3\n10;0.4"
    with pytest.raises(ReadingProblem, match="Line 3: amounts .* formula='Fe'"):
        read_standards(text)
    # 0.2 mmol/L of iron, 55.845 g/mol: 11.169 mg/L
    assert read_standards(text, formula="Fe")["concentration"] == pytest.approx([5, 11.169, 10], rel=1e-4)
    molar = read_standards("c (mM);A\n0.1;0.1\n0.2;0.2")
    assert molar.units["concentration"] == "mmol/L" and molar["concentration"].tolist() == [0.1, 0.2]
    # FeCl3, 162.20 g/mol
    assert read_standards("c / mol/L;A\n0.001;0.1\n0.002;0.2", formula="FeCl3")["concentration"] == pytest.approx(
        [162.20, 324.40], rel=1e-4
    )


@pytest.mark.parametrize("text, words", [
    ("c;A\n5 s;0.1\n6;0.3", "Line 2: “5 s” is no concentration"), ("c (ppm);A\n1;0.1\n2;0.2", "1 mg/L only in water"),
    ("c;%T\n1;90\n2;80", "2 - log10"), ("c (min);A\n1;0.1\n2;0.2", "min is no unit of it"), ("mg/L;A;A\n1;2;3\n2;3;4", r"places=\{'absorbance': 2\}"),
    ("c;A\n1,000;0.1\n2,000;0.2\n500;0.05", "mark for thousands"), ("c;A\n1.000,5;0,1\n2;0,2", "mark for thousands"), ("c;A\n1'000;0.1\n500;0.2\n20;0.3", "mark for thousands"),
    ("c,A\n1,5,0,12\n2,5,0,24", "decimal mark as well"), ("1,5,0,12\n2,5,0,24", "no heading"), ("c;A\n1;0.1", "could read 1 row"),
    ("c;A\nx;y\nz;w", "No line has a number"), ("no table", "one line is no table"), ("", "one line is no table"), ("c d A\n1 2\n3 4", "semicolons between"),
])  # fmt: skip
def test_what_could_be_read_in_two_ways_is_refused(text, words):
    with pytest.raises(LabError, match=words):
        read_standards(text)


@pytest.mark.parametrize("text", [
    "2,5 0,08\n5,0 0,16\n10,0 0,31", "c A\n2,5 0,08\n5,0 0,16\n10,0 0,31", "S1 2,5 0,08\nS2 5,0 0,16\nS3 10,0 0,31", "2,5  0,08\n5,0  0,16\n10,0  0,31",
])  # fmt: skip
def test_decimal_commas_between_blanks_are_no_columns(text):
    # As three columns, 2 | 5 0 | 08, it would be an absorbance of 8.
    found = read_standards(text)
    assert found["concentration"].tolist() == [2.5, 5, 10] and found["absorbance"].tolist() == [0.08, 0.16, 0.31]
    assert read_kinetics("0,5 1,5\n5,5 15,2", units={"time": "min"})["uptake"].tolist() == [1.5, 15.2]
    assert read_standards("1, 2\n3, 4\n5, 6")["absorbance"].tolist() == [2, 4, 6]
    labelled = read_standards("name, c (g/L), A\nS 0, 30, 1\nS 1, 1.000, 0")
    assert labelled["concentration"].tolist() == [30_000, 1000] and labelled["absorbance"].tolist() == [1, 0]
    with pytest.raises(ReadingProblem, match="decimal mark as well"):
        read_standards("concentration, mmol/L,A\n2476,0,800\n917,0,1\n2703,000,0,1")
    with pytest.raises(ReadingProblem, match="a 0,2.*two ways.*semicolons"):
        read_samples("a 0,2\nb 0,3")  # a sample a with 0.2, or a sample “a 0” with 2


@pytest.mark.parametrize(
    "heading", ["c (gFe/L)", "c g per L", "c (wt%)", "molarity", "c / æg/L", "c (gpl)", "Conc. (MG/L)", "c g/litter"]
)
def test_a_unit_that_is_not_understood_is_no_missing_unit(heading):
    with pytest.raises(ReadingProblem, match="its unit is not understood.*mg/L"):
        read_standards(f"{heading};A\n2;0.1\n4;0.2")
    assert read_standards(f"{heading};A\n2;0.1\n4;0.2", units={"concentration": "g/L"})["concentration"].tolist() == [
        2000,
        4000,
    ]
    assert read_standards("c (Fe);A\n2;0.1\n4;0.2")["concentration"].tolist() == [2, 4]


@pytest.mark.parametrize("reader, text, words", [
    (read_standards, "mg/L;A (%)\n2;5\n4;10", "no percentage"), (read_standards, "mg/L;T\n2;0.9\n4;0.8", "share of light"), (read_standards, "mg/L;T (%)\n2;9\n4;8", "share of light"),
    (read_standards, "mg/L;%\n2;9\n4;8", "Which column is the absorbance"), (read_standards, "absorbance (mg/L);c\n2;9\n4;8", "It is a plain number"),
    (read_kinetics, "min;A\n0;0.3\n5;0.2", "Which column is the uptake"), (read_kinetics, "min;share %\n0;3\n5;20", "Which column is the uptake"),
    (read_kinetics, "min;q %\n0;0\n5;1", "unit is not understood"),
    (read_kinetics, "time;q mg/g\n9:00;0\n9:05;1\n1:10;2", "Line 4: the clock goes back to 1:10.*13:10"), (read_isotherm, "c0;ce;V;m\n20;12;0.025;100\n40;28;0.025;100", "what the volume is in"),
    (read_isotherm, "c0;ce;V / mL;m\n20;12;25;100\n40;28;25;100", "what the powder mass is in"), (read_photo, "n;mg/L;red %;green %;blue %\na;1;9;9;9\nb;2;8;8;8", "no percentage"),
    (read_samples, "s;A;dilution\na;0.2;1:10\nb;0.3;1:5", "dilution not understood"), (read_samples, "s;A;thinned\na;0.2;1:10\nb;0.3;1:5", "1:10” seems to be a dilution"),
    (read_samples, "s;A;thinned\na;0.2;10x\nb;0.3;5x", "seems to be a dilution"), (read_samples, "s;A;dilution (%)\na;0.2;10\nb;0.3;5", "no percentage"),
    (read_standards, "c;A\n1.250;0,125\n2.500;0,250", "Points and commas are mixed"),
])  # fmt: skip
def test_what_would_be_taken_for_something_else_is_refused(reader, text, words):
    with pytest.raises(LabError, match=words):
        reader(text)


def test_a_column_that_is_not_used_is_told():
    found = read_samples("s;A;verd\na;0.2;10\nb;0.3;5")
    assert found["dilution"].tolist() == [1, 1] and "Not used: column 3 (“verd”)" in str(found.words())


def test_nothing_is_left_out_in_silence():
    text = "name;c / mg/L;A\nblank;;0.01\nS1;5;0.1\nS2;-1;0.1\nS3;4\nS4;5;0,1\nS5;soon;0.2\nS6;10;0.2;7\nS7;10;n/a\nS8;1e12;0.3\nS9;15;0.3"
    found = read_standards(text)
    assert found.labels == ("blank", "S1", "S9") and found["concentration"].tolist() == [0, 5, 15]
    assert found.rows == 10 and found.left_out == 7 and len(found) + found.left_out == found.rows
    assert {line: reason for line, _, reason in found.skipped} == {
        4: "concentration below zero", 5: "no absorbance", 6: "absorbance not understood", 7: "concentration not understood",
        8: "more numbers than columns", 9: "no absorbance", 10: "concentration over 1.00×10⁹"}  # fmt: skip
    said = str(found.words())
    assert (
        "7 of 10 rows left out" in said
        and "…" in said
        and repr(found).startswith("3 readings: concentration 0 to 15.00 mg/L")
    )


def test_what_was_taken_for_what_is_told():
    said = str(read_standards("0;0.1\n5;0.2").words())
    assert "There is no heading" in said and "taken to be in mg/L, because nothing says otherwise" in said
    assert "in mg/L as its heading says" in str(read_standards("c / mg/L;A\n0;0.1\n5;0.2").words())
    assert "in mmol/L as you said" in str(
        read_standards("c;A\n0;0.1\n5;0.2", units={"concentration": "mmol/L"}).words()
    )
    assert "do not say which column is which" in str(read_standards("x;y\n0;0.1\n5;0.2").words())
    assert "2 cells have their own unit (line 2, “5 mg/L”)" in str(
        read_standards("c;A\n5 mg/L;0.1\n0.2 g/L;0.3").words()
    )


def test_columns_may_be_named():
    text = "a;b;d\n5;0.1;3\n2;0.3;4"
    found = read_standards(text, places={"concentration": 1, "absorbance": "d"})
    assert found["concentration"].tolist() == [5, 2] and found["absorbance"].tolist() == [3, 4]
    for wrong in ({"absorbance": 9}, {"absorbance": "q"}, {"colour": 1}, {"absorbance": True}):
        with pytest.raises(ReadingProblem):
            read_standards(text, places=wrong)
    for wrong in ({"concentration": "min"}, {"colour": "mg/L"}):
        with pytest.raises(LabError):
            read_standards("c;A\n1;2\n3;4", units=wrong)


def test_samples():
    found = read_samples("sample;A;dilution\nsupernatant;0,412;20\nwash 1;0,214;\nwash 2;n/a;2")
    assert (
        found.labels == ("supernatant", "wash 1")
        and found["absorbance"].tolist() == [0.412, 0.214]
        and found["dilution"].tolist() == [20, 1]
    )
    assert read_samples("1;x;0.3\n2;y;0.4", places={"absorbance": 3})["absorbance"].tolist() == [0.3, 0.4]
    assert read_samples("no;A\n1;0.3\n2;0.4").labels == ("1", "2")
    with pytest.raises(RangeProblem, match="1 mL filled up to 10 mL"):
        read_samples("s;A;dilution\na;0.3;0.1\nb;0.3;1")
    with pytest.raises(ReadingProblem, match="2 columns of numbers and no heading"):
        read_samples("1;0.3\n2;0.4")  # which is the number of the sample, and which the dilution?


@pytest.mark.parametrize("text", [
    "c / mg/L;q / mg/g\n12;1.6\n28;2.4", "Ce [mg/L],qe [mg/g]\n12,1.6\n28,2.4", "12;1,6\n28;2,4", "q (mg/g)\tc (g/L)\n1.6\t0.012\n2.4\t0.028",
    "c0 / mg/L;ce / mg/L;V / mL;m / g\n20;12;25;0.125\n40;28;25;0.125", "start (mg/L);end (mg/L);volume (L);powder (mg)\n20;12;0.025;125\n40;28;0.025;125",
    "initial concentration (mg/L);final concentration (mg/L);mL;g\n20;12;25;.125\n40;28;25;.125",
])  # fmt: skip
def test_an_isotherm(text):
    found = read_isotherm(text)
    # by hand: (20 - 12) mg/L × 0.025 L / 0.125 g = 1.6 mg/g; (40 - 28) gives 2.4
    assert (
        found["concentration"] == pytest.approx([12, 28])
        and found["uptake"] == pytest.approx([1.6, 2.4])
        and list(found.columns) == ["concentration", "uptake"]
    )


def test_a_share_is_no_uptake():
    for text in ("c / mg/L;q (%)\n12;1.6\n28;2.4", "c / mg/L;q\n12;1.6 %\n28;2.4 mg/g"):
        with pytest.raises(ReadingProblem, match="no unit of it|is no uptake"):
            read_isotherm(text)


def test_an_isotherm_from_start_and_end():
    found = read_isotherm("c₀ (mmol/L);cₑ (mmol/L)\n1.0;0.4\n2.0;2.1", volume="20 mL", powder_mass="0.1 g")
    # (1.0 - 0.4) mmol/L × 0.02 L / 0.1 g = 0.12 mmol/g; the second is below zero and is told
    assert found["uptake"] == pytest.approx([0.12, -0.02]) and found.units == {
        "concentration": "mmol/L",
        "uptake": "mmol/g",
    }
    assert "1 of them below zero" in str(found.words())
    with pytest.raises(ReadingProblem, match="needs the volume.*volume='25 mL'"):
        read_isotherm("start mg/L;end mg/L\n1;0.5\n3;2")
    with pytest.raises(ReadingProblem, match="formula='Fe'"):
        read_isotherm("start mg/L;end mmol/L\n1;0.5\n3;2", volume="25 mL", powder_mass="0.1 g")


@pytest.mark.parametrize("text", [
    "t [min];q [mg/g]\n0;0\n30;1.2\n90;1.8", "h;mg/g\n0;0\n0.5;1.2\n1.5;1.8", "time;q mg/g\n09:50;0\n10:20;1.2\n11:20;1.8", "time;uptake mg/g\n23:30;0\n00:00;1.2\n01:00;1.8",
    "q mg/g;s\n1.8;5400\n0;0\n1.2;1800", "time;q mg/g\n2026-05-31 23:30;0\n2026-06-01 00:00;1.2\n2026-06-01 01:00;1.8",
])  # fmt: skip
def test_kinetics(text):
    found = read_kinetics(text)
    assert (
        found["time"] == pytest.approx([0, 30, 90])
        and found["uptake"] == pytest.approx([0, 1.2, 1.8])
        and found.units["time"] == "min"
    )


def test_kinetics_from_concentrations():
    # (30 - c) mg/L × 0.04 L / 0.2 g
    found = read_kinetics("min;c mg/L\n90;21\n0;30\n30;24", volume="40 mL", powder_mass="0.2 g")
    assert found["uptake"] == pytest.approx([0, 1.2, 1.8]) and found["time"].tolist() == [0, 30, 90]
    assert read_kinetics("min;c mg/L\n30;24\n90;21", start="30 mg/L", volume="40 mL", powder_mass="0.2 g")[
        "uptake"
    ] == pytest.approx([1.2, 1.8])
    for wrong, words in (
        ({}, "no reading at time zero"),
        ({"start": "1 mmol/L"}, "a mass per volume"),
        ({"start": Q(1, "mmol/L")}, "both as masses"),
        ({"start": "30 mg/L"}, "needs the volume"),
    ):
        with pytest.raises(LabError, match=words):
            read_kinetics(
                "min;c mg/L\n30;24\n90;21",
                **({"volume": "40 mL", "powder_mass": "0.2 g"} if wrong.get("start") != "30 mg/L" else {}) | wrong,
            )
    for text, words in (
        ("0;0\n1;2", "No heading says what the time is in"),
        ("min;mg/g\n05:30;0\n06:30;2", "minutes and seconds"),
    ):
        with pytest.raises(ReadingProblem, match=words):
            read_kinetics(text)


def test_a_photograph():
    found = read_photo(
        "name;mg/L;red;green;blue\nwhite;;245;243;240\nblank;;243;242;238\nS1;5;240;232;198\nS2;10;240;300;160\nx;;238;229;-\nwash;;238;229;190"
    )
    assert found.labels == ("white", "blank", "S1", "wash") and found.left_out == 2
    assert (
        np.isnan(found["concentration"][[0, 3]]).all()
        and found["concentration"][[1, 2]].tolist() == [0, 5]
        and found["green"].tolist() == [243, 242, 232, 229]
    )
    assert {reason for *_, reason in found.skipped} == {"green over 255", "no blue"}


def test_quantities_and_own_columns():
    found = readings_of(
        function="mine", concentration=(Q([1, 2], "g/L"), CONCENTRATION), absorbance=(Q([0.1, 0.2], ""), ABSORBANCE)
    )
    assert (
        found["concentration"].tolist() == [1000, 2000]
        and len(found) == 2
        and "absorbance" in found
        and "time" not in found
    )
    assert found.where(np.array([False, True]))["absorbance"].tolist() == [0.2]
    with pytest.raises(RangeProblem, match="There is no “time”"):
        found["time"]
    for wrong in (Q([1], "g/L"), Q([1, np.nan], "g/L"), Q([1, 1e15], "g/L")):
        with pytest.raises(RangeProblem):
            readings_of(
                function="mine", concentration=(wrong, CONCENTRATION), absorbance=(Q([0.1, 0.2], ""), ABSORBANCE)
            )
    own = Column("mass", "[mass] > 0", "g", "mass weight")
    weighed = read_columns("day;weight / mg\n1;250\n2;0\n3;240", (own,), function="mine", least=1)
    assert (
        weighed["mass"] == pytest.approx([0.25, 0.24])
        and weighed.skipped[0][2] == "mass is zero"
        and weighed.units == {"mass": "g"}
    )


rows = st.lists(st.tuples(st.integers(0, 99_999), st.integers(0, 3000)), min_size=2, max_size=30)


@settings(max_examples=60, deadline=None)
@given(
    rows,
    st.sampled_from(";\t"),
    st.sampled_from(".,"),
    st.sampled_from(["mg/L", "g/L", "µg/L"]),
    st.booleans(),
    st.booleans(),
)
def test_what_was_written_is_what_is_read(rows, separator, mark, unit, named, turned):
    pairs = [(f"{c / 1000:.4f}".replace(".", mark), f"{a / 1000:.4f}".replace(".", mark)) for c, a in rows]
    fields = [(a, c) if turned else (c, a) for c, a in pairs]
    head = ("A", f"c ({unit})") if turned else (f"c ({unit})", "A")
    if named:
        fields, head = [(f"S {place}", *pair) for place, pair in enumerate(fields)], ("name", *head)
    found = read_standards("\n".join(separator.join(line) for line in [head, *fields]))
    per = {"mg/L": 1, "g/L": 1000, "µg/L": 1e-3}[unit]
    assert found["concentration"] == pytest.approx([c / 1000 * per for c, _ in rows]) and found[
        "absorbance"
    ] == pytest.approx([a / 1000 for _, a in rows])
    assert not named or found.labels[1] == "S 1"


def test_the_tables_that_come_with_the_workbook_are_marked():
    paths = sorted([*BUNDLED.glob("invented_standards_*.csv"), *BUNDLED.glob("invented_photo_*.csv")])
    assert len(paths) >= 4
    for path in paths:
        text = path.read_text(encoding="utf-8")
        reader = read_photo if "photo" in path.name else read_standards
        found = reader(path)
        assert "(invented)" in text.splitlines()[0] and found.rows == len(text.splitlines()) - 2 and len(found) >= 8


@pytest.mark.parametrize("reader", [read_standards, read_samples, read_isotherm, read_kinetics, read_photo])
def test_hostile_text_is_a_kind_word_and_quick(reader):
    assert len(HOSTILE) > 100
    for text in HOSTILE[::2]:
        for source in (
            f"{text}\n{text}",
            f"{text};A;{text}\n1;2;3\n4;5;6",
            f"c;A\n{text};1\n0;{text}\n9;2",
            f"S1;{text}\n{text};1;2\n1;2;3",
        ):
            start = time.perf_counter()
            try:
                assert len(reader(source)) >= 1
            except LabError as problem:
                assert str(problem)
            assert time.perf_counter() - start < 0.5
    for raw in (bytes(range(256)) * 40, b"\x00" * 5000, b"\xff\xfe\x00"):
        with pytest.raises(LabError):
            reader(raw)
    with pytest.raises(RangeProblem, match="Cut out"):
        reader(b"c;1\n" * 30_000)
