"""Tables of gas readings, however they were written: what is kept, what is left out, and what is taken for what."""

import datetime
import time
from pathlib import Path

import numpy as np
import pytest
from hostile import HOSTILE
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.hydrogen import gas_readings, read_gas
from labkit.units import Q

BUNDLED = sorted((Path(__file__).resolve().parent.parent / "workbooks" / "data").glob("invented_gas_*.csv"))
MINUTES, MILLILITRES = [0, 30, 60, 90], [0.10, 0.32, 0.56, 0.77]


@pytest.mark.parametrize("text", [
    "min;mL\n0;0.10\n30;0.32\n60;0.56\n90;0.77",
    "min;mL\n0;0,10\n30;0,32\n60;0,56\n90;0,77",
    "min\tmL\n0\t0,10\n30\t0,32\n60\t0,56\n90\t0,77",
    "min,mL\n0,0.10\n30,0.32\n60,0.56\n90,0.77",
    "min mL\n0 0.10\n30 0.32\n60 0.56\n90 0.77",
    "# a run (invented)\n\nTime / h;Gas / µL\n0;100\n0.5;320\n1;560\n1.5;770\n",
    "elapsed s,burette (ml)\r\n0,.10\r\n1800,.32\r\n3600,.56\r\n5400,.77\r\n",
    "time;volume cm³\n09:05;0.10\n09:35;0.32\n10:05;0.56\n10:35;0.77",
    "time;mL\n23:20;0.10\n23:50;0.32\n00:20;0.56\n00:50;0.77",
    "time;mL\n2026-05-09 23:20;0.10\n2026-05-09 23:50;0.32\n2026-05-10 00:20;0.56\n2026-05-10 00:50;0.77",
    "2026-05-09T23:20:00 0.10\n2026-05-09T23:50:00 0.32\n2026-05-10T00:20:00 0.56\n2026-05-10T00:50:00 0.77",
    "no;min;gas mL;note\n1;0;0.10;on\n2;30;0.32;\n3;60;0.56;\n4;90;0.77;off",
    "mL;min\n0.10;0\n0.32;30\n0.56;60\n0.77;90",
    "days;mL\n0;0.10\n0.0208333333333;0.32\n0.0416666666667;0.56\n0.0625;0.77",
    "min;litre\n60;0.00056\n0;0.0001\n90;0.00077\n30;0.00032",
    '"min";"mL"\n"0";"0,10"\n"30";"0,32"\n"60";"0,56"\n"90";"0,77"',
])  # fmt: skip
def test_the_same_run_in_many_hands(text):
    for source in (text, text.encode(), text.encode("utf-16"), ("\ufeff" + text).encode()):
        found = read_gas(source)
        assert found.minutes == pytest.approx(MINUTES, abs=1e-9)
        assert found.millilitres == pytest.approx(MILLILITRES, abs=1e-9)
        assert found.rows == 4 and found.left_out == 0


def test_units_may_be_said():
    plain = "0;100\n30;320\n60;560\n90;770"
    found = read_gas(plain, time_unit="min", unit="µL")
    assert found.millilitres == pytest.approx(MILLILITRES) and found.minutes == pytest.approx(MINUTES)
    assert "in µL as you said" in str(found.words())
    taken = read_gas("0;0.1\n30;0.3", time_unit="s")
    assert "taken to be in mL, because nothing says otherwise" in str(taken.words()) and taken.minutes[-1] == 0.5
    against = read_gas("min;mL\n0;100\n30;320", unit="µL")
    assert "though its heading says mL" in str(against.words()) and against.millilitres[-1] == pytest.approx(0.32)


@pytest.mark.parametrize("heading, celsius, hectopascals", [
    ("°C;hPa", "21.5", "1009"), ("degF;mbar", "70.7", "1009"), ("K;kPa", "294.65", "100.9"), ("thermometer;barometer", "21.5", "1009"),
    ("temperature °C;pressure mmHg", "21.5", "756.81"), ("°C;atm", "21.5", "0.995806"), ("temp;bar", "21.5", "1.009"),
])  # fmt: skip
def test_temperature_and_pressure_are_read_in_their_units(heading, celsius, hectopascals):
    text = f"min;mL;{heading}\n" + "\n".join(f"{m};{v};{celsius};{hectopascals}" for m, v in zip(MINUTES, MILLILITRES))
    found = read_gas(text)
    assert found.celsius == pytest.approx([21.5] * 4, abs=1e-6)
    assert found.hectopascals == pytest.approx([1009] * 4, abs=0.01)  # 1 mmHg is 133.322 Pa, 1 atm 101325 Pa


@pytest.mark.parametrize("text", [
    "min;mL;°C\n0;0,10;21\n30;0,32;21\n60;0,56;22\n90;0,77;22",  # the thermometer reads as a number either way
    "min\tmL\tno\n0\t0,10\t1\n30\t0,32\t2\n60\t0,56\t3\n90\t0,77\t4",
    "h;mL\n0,0;0,10\n0,5;0,32\n1,0;0,56\n1,5;0,77",
])  # fmt: skip
def test_a_decimal_comma_beside_whole_numbers(text):
    found = read_gas(text, column=2)
    assert found.minutes == pytest.approx(MINUTES) and found.millilitres == pytest.approx(MILLILITRES)


def test_a_thermometer_is_never_taken_for_the_tube():
    with pytest.raises(ReadingProblem, match="column=2"):
        read_gas("0;0,10;21\n30;0,32;21\n60;0,56;21", time_unit="min")


@pytest.mark.parametrize("heading, size, words", [
    ("temp", "70.5", "no heading says °C or °F"), ("pressure", "760", "no heading says hPa or mmHg"),
    ("barometer", "29.92", "not used"), ("pressure", "101.3", "not used"),
    ("temp", "21.5", "taken to be in °C, because nothing says otherwise"), ("barometer", "1009", "taken to be in hPa"),
])  # fmt: skip
def test_a_unit_that_nobody_named_is_told_or_not_used(heading, size, words):
    found = read_gas(f"min;mL;{heading}\n" + "\n".join(f"{m};{v};{size}" for m, v in zip(MINUTES, MILLILITRES)))
    used = found.celsius is not None or found.hectopascals is not None
    assert words in " ".join(str(found.words()).split()) and used == ("taken" in words)


@pytest.mark.parametrize("text, words", [
    ("min;mL\n05:00;0.10\n10:00;0.32", "minutes and seconds"), ("mm:ss;mL\n05:00;0.10\n10:00;0.32", "minutes and seconds"),
    ("min;µL\n0;980\n30;1,200\n60;1,400", "mark for thousands"), ("min;µL\n0;980\n30;1.200\n60;1.400", "mark for thousands"),
    ("min;mL\n0;1e99\n1;2e99", "over 1000 L"), ("min;mL\n0;1\n1e-99;2", "tenth of a second"),
])  # fmt: skip
def test_what_would_be_misread_by_a_great_factor_is_refused(text, words):
    with pytest.raises(LabError, match=words):
        read_gas(text)


def test_hours_and_minutes_of_a_stopwatch_are_times():
    assert read_gas("h:min;mL\n0:00;0.1\n1:30;0.3").minutes.tolist() == [0, 90]
    assert read_gas("time (hh:mm:ss);mL\n0:00:00;0.1\n0:01:30;0.3").minutes.tolist() == [0, 1.5]


def test_a_hole_in_the_thermometer_column_is_told_and_the_column_not_used():
    found = read_gas("min;mL;°C\n0;0.1;21\n30;0.3;\n60;0.5;21")
    assert found.celsius is None and len(found) == 3 and "not used" in str(found.words())
    assert read_gas("min;mL;°C\n0;0.1;21\n30;0.3;999\n60;0.5;21").celsius is None


def test_nothing_is_left_out_in_silence():
    text = "min;mL\n0;0.10\nsoon;0.2\n10;n/a\n20;broken\n30;0.32\n30;0.40\n60\n90;0.77\n60;0.56"
    found = read_gas(text)
    assert found.minutes.tolist() == MINUTES and found.millilitres == pytest.approx(MILLILITRES)
    assert found.rows == 9 and found.left_out == 5 and len(found) + found.left_out == found.rows
    assert {(line, reason) for line, _, reason in found.skipped} == {
        (3, "time not understood"), (4, "no reading"), (5, "reading not understood"), (7, "same time again"), (8, "too few columns")}  # fmt: skip
    assert "5 of 9 rows left out" in str(found.words())


def test_a_burette_on_its_head():
    falling = "min;mL\n0;50.00\n30;49.78\n60;49.54\n90;49.33"
    assert "upside_down=True" in str(read_gas(falling).words())
    turned = read_gas(falling, upside_down=True)
    assert turned.millilitres == pytest.approx([0, 0.22, 0.46, 0.67]) and "What it fell by" in str(turned.words())


@pytest.mark.parametrize("text, words", [
    ("0;0.1\n30;0.3", "time_unit='min'"),
    ("min;mL;mL\n0;0.1;2\n30;0.3;3", "column=2"),
    ("min;left;right\n0;0.1\n30;0.3", None),
    ("min;mL\n0;0.1", "two are needed"),
    ("min;mL\nx;y\nz;w", "No line has a time and a reading"),
    ("min,mL\n0,0,10\n30,0,32\n60,0,56", "semicolons between the columns"),
    ("0,0,10\n30,0,32\n60,0,56", "column=2"),
    ("only one line", "one line is no table"),
    ("", "one line is no table"),
])  # fmt: skip
def test_what_cannot_be_read_says_what_to_type(text, words):
    if words is None:
        assert len(read_gas(text)) == 2
        return
    with pytest.raises(LabError, match=words):
        read_gas(text)


def test_odd_arguments_are_refused():
    text = "min;mL\n0;0.1\n30;0.3"
    for wrong in ({"unit": "gallon"}, {"time_unit": "week"}, {"column": 9}, {"column": "nothing"}, {"column": True}):
        with pytest.raises(ReadingProblem):
            read_gas(text, **wrong)
    assert read_gas("min;left mL;right mL\n0;0.1;7\n30;0.3;9", column=3).millilitres.tolist() == [7, 9]
    assert read_gas("min;left mL;right mL\n0;0.1;7\n30;0.3;9", column="left mL").millilitres.tolist() == [0.1, 0.3]
    with pytest.raises(UnitProblem):
        read_gas(5)


def test_a_path_is_read(tmp_path):
    path = tmp_path / "run.csv"
    path.write_text("min;mL\n0;0.1\n30;0.3", encoding="utf-8")
    for source in (path, str(path)):
        assert len(read_gas(source)) == 2
    with pytest.raises(ReadingProblem, match="can't be opened"):
        read_gas(tmp_path / "none.csv")


def test_the_runs_that_come_with_the_workbook():
    assert len(BUNDLED) == 5
    for path in BUNDLED:
        text = path.read_text(encoding="utf-8")
        assert "(invented)" in text.splitlines()[0]
        lines = [line for line in text.splitlines() if line[:1].isdigit()]
        found = read_gas(path)
        assert found.rows == len(lines) > 15 and found.left_out == text.count("n/a")
        assert 0 <= found.millilitres.min() and found.millilitres.max() < 3  # a few millilitres at most
        assert (np.diff(found.minutes) > 0).all()


numbers = st.lists(st.tuples(st.integers(0, 5000), st.integers(0, 99_999)), min_size=2, max_size=40, unique_by=lambda row: row[0])  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(
    numbers,
    st.sampled_from(";\t"),
    st.sampled_from(".,"),
    st.sampled_from(["mL", "µL", "L"]),
    st.sampled_from(["s", "min", "h"]),
)
def test_what_was_written_is_what_is_read(rows, separator, mark, unit, time_unit):
    written = "\n".join(f"{when}{separator}{size / 1000:.3f}".replace(".", mark) for when, size in rows)
    found = read_gas(f"{time_unit}{separator}{unit}\n{written}")
    rows = sorted(rows)
    per, size = {"s": 1 / 60, "min": 1, "h": 60}[time_unit], {"mL": 1, "µL": 1e-3, "L": 1e3}[unit]
    assert found.minutes == pytest.approx([(when - rows[0][0]) * per for when, _ in rows])
    assert found.millilitres == pytest.approx([count / 1000 * size for _, count in rows])


def test_hostile_text_is_a_kind_word_and_quick():
    assert len(HOSTILE) > 100
    for text in HOSTILE:
        for source in (
            f"{text}\n{text}",
            f"min;mL\n0;{text}\n30;{text}\n60;0.5\n90;0.7",
            f"{text};mL\n0;1\n5;2",
            f"min;mL\n{text};1\n0;1\n9;2",
        ):
            start = time.perf_counter()
            try:
                assert len(read_gas(source)) >= 2
            except LabError as problem:
                assert str(problem)
            assert time.perf_counter() - start < 0.5
    for raw in (bytes(range(256)) * 40, b"\x00" * 5000, b"\xff\xfe\x00"):
        with pytest.raises(LabError):
            read_gas(raw)
    with pytest.raises(RangeProblem, match="Cut out the run"):
        read_gas(b"0;1\n" * 6_000_000)


# ---------------------------------------------------------------------------- readings from quantities
def test_quantities_become_readings():
    found = gas_readings(
        Q([1.0, 1.5, 2.0], "h"), Q([100, 320, 560], "µL"), Q([21, 21, 22], "degC"), Q([100.9] * 3, "kPa")
    )
    assert found.minutes.tolist() == [0, 30, 60] and found.millilitres == pytest.approx([0.1, 0.32, 0.56])
    assert found.celsius == pytest.approx([21, 21, 22]) and found.hectopascals == pytest.approx([1009] * 3)
    part = found.between("30 min", "60 min")
    assert part.millilitres == pytest.approx([0.32, 0.56]) and part.celsius == pytest.approx([21, 22])
    assert found.duration == Q(60.0, "min")


@pytest.mark.parametrize("columns, words", [
    ((Q([0, 1], "h"), Q([1, 2, 3], "mL")), "as many of one kind"),
    ((Q([0], "h"), Q([1], "mL")), "two readings or more"),
    ((Q([1, 0], "h"), Q([1, 2], "mL")), "times that rise"),
    ((Q([0, 1], "h"), Q([1, 2], "g")), "a volume"),
    ((Q([0, 1], "h"), Q([1, np.nan], "mL")), "volume"), ((Q([], "h"), Q([], "mL")), "two readings or more"),
    ((Q([[0, 1], [2, 3]], "h"), Q([[0, 1], [2, 3]], "mL")), "two readings or more"), ((Q([0, 1], "h"), Q([0, 1e99], "mL")), "1000 L"),
])  # fmt: skip
def test_quantities_that_do_not_fit_are_refused(columns, words):
    with pytest.raises(LabError, match=words):
        gas_readings(*columns)


def test_stamps_are_those_of_the_calendar():
    found = read_gas("time;mL\n2026-02-28 23:00;0\n2026-03-01 01:00;1")
    span = datetime.datetime(2026, 3, 1, 1) - datetime.datetime(2026, 2, 28, 23)
    assert found.duration == Q(span.total_seconds() / 60, "min")
